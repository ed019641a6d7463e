//! Hostile pictures: each is read or refused in bounded time and memory, and nothing panics.
//!
//! Each input is read by a process of its own, this test program started again: the kernel ends it when its processor time is spent (`ulimit
//! -t`), and it tells the most memory it ever held (`VmHWM`). Sources: setrlimit(2), proc_pid_status(5).

#![expect(
    clippy::unwrap_used,
    clippy::print_stderr,
    reason = "helpers of a test may stop it, and a child tells its memory"
)]

use std::process::Command;
use std::time::Instant;

use image::{DynamicImage, GrayImage};
use tangwright::reading::picture::read_picture;

use super::bench::{jpeg, png, slope};

/// Names the input a child reads.
const INPUT: &str = "TANGWRIGHT_HOSTILE_PICTURE";
/// Most memory, MB.
const MOST_MB: u64 = 1_100;
/// Most processor time, s; the whole input is made in it too.
const MOST_SECONDS: u32 = 60;

/// What each input is called, what the answer must hold ("" for read), and what makes it.
type Input = (&'static str, &'static str, fn() -> Vec<u8>);

const INPUTS: &[Input] = &[
    ("png as large as may be", "", || {
        png(&DynamicImage::ImageLuma8(GrayImage::new(10_000, 10_000)))
    }),
    ("png too large", "100 million", || {
        png_head(10_001, 10_000, 8, 2)
    }),
    ("png of all numbers", "100 million", || {
        png_head(0x7FFF_FFFF, 0x7FFF_FFFF, 16, 6)
    }),
    ("png deep and large", "too much memory", || {
        png_head(10_000, 10_000, 16, 6)
    }),
    ("png of large words", "", || {
        let mut bytes = png(&DynamicImage::ImageRgb8(slope(40, 40)));
        let words = vec![b'a'; 60 << 20];
        let chunk = chunk(b"tEXt", &[b"k\0".as_slice(), &words].concat());
        bytes.splice(33..33, chunk);
        bytes
    }),
    ("jpeg as large as may be", "", || {
        jpeg(&slope(10_000, 10_000), Some(6))
    }),
    ("jpeg too large", "100 million", || {
        jpeg_head(65_535, 65_535, 0xC0, 1)
    }),
    ("jpeg cut short", "", || {
        let mut bytes = jpeg(&slope(9_000, 9_000), None);
        bytes.truncate(bytes.len() / 3);
        bytes
    }),
    ("jpeg in passes without end", "passes", || {
        let mut bytes = jpeg_head(10_000, 10_000, 0xC2, 1);
        for _ in 0..1_000_000 {
            bytes.extend(EMPTY_PASS);
        }
        bytes
    }),
    ("jpeg in as many passes as may be", "", || {
        let mut bytes = jpeg_head(10_000, 10_000, 0xC2, 3);
        for _ in 0..15 {
            bytes.extend(EMPTY_PASS);
        }
        bytes
    }),
];

/// A pass of the first color without data.
const EMPTY_PASS: [u8; 10] = [0xFF, 0xDA, 0, 8, 1, 1, 0, 0, 0, 0];

/// A chunk of a PNG: W3C PNG specification, section 5.3, with the CRC of annex D.
fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let mut bytes = u32::try_from(data.len()).unwrap().to_be_bytes().to_vec();
    bytes.extend(kind);
    bytes.extend(data);
    let mut crc = u32::MAX;
    for byte in &bytes[4..] {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = (crc >> 1) ^ (0xEDB8_8320 * (crc & 1));
        }
    }
    bytes.extend((!crc).to_be_bytes());
    bytes
}

/// A PNG of which only the header is there.
fn png_head(width: u32, height: u32, depth: u8, color: u8) -> Vec<u8> {
    let mut head = width.to_be_bytes().to_vec();
    head.extend(height.to_be_bytes());
    head.extend([depth, color, 0, 0, 0]);
    let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
    bytes.extend(chunk(b"IHDR", &head));
    bytes.extend(chunk(b"IDAT", &[0x78, 0x9C]));
    bytes
}

/// The head of a JPEG of so many colors with the tables that a pass needs.
fn jpeg_head(width: u16, height: u16, frame: u8, colors: u8) -> Vec<u8> {
    let mut bytes = vec![0xFF, 0xD8, 0xFF, 0xDB, 0, 67, 0];
    bytes.extend([1; 64]);
    bytes.extend([0xFF, frame, 0, 8 + 3 * colors, 8]);
    bytes.extend(height.to_be_bytes());
    bytes.extend(width.to_be_bytes());
    bytes.push(colors);
    for color in 1..=colors {
        bytes.extend([color, 0x11, 0]);
    }
    for class in [0x00, 0x10] {
        bytes.extend([0xFF, 0xC4, 0, 20, class, 1]);
        bytes.extend([0; 15]);
        bytes.push(0);
    }
    bytes.extend(EMPTY_PASS);
    bytes
}

#[test]
fn a_child_reads_one_input() {
    let Ok(name) = std::env::var(INPUT) else {
        return;
    };
    let (_, _, make) = INPUTS.iter().find(|(own, ..)| *own == name).unwrap();
    let bytes = make();
    // What making the input took does not count.
    let forget = std::fs::OpenOptions::new()
        .write(true)
        .open("/proc/self/clear_refs");
    std::io::Write::write_all(&mut forget.unwrap(), b"5").unwrap();
    match read_picture(&bytes) {
        Ok(read) => eprintln!("answer: read {} × {}", read.width(), read.height()),
        Err(error) => eprintln!("answer: {error}"),
    }
    eprintln!("{}", std::fs::read_to_string("/proc/self/status").unwrap());
}

#[test]
fn hostile_pictures_stay_within_bounds() {
    let own = std::env::current_exe().unwrap();
    for (name, wanted, _) in INPUTS {
        let begun = Instant::now();
        let script = format!(
            "ulimit -t {MOST_SECONDS}; exec \"$0\" --exact hostile::a_child_reads_one_input --nocapture"
        );
        let out = Command::new("sh")
            .args(["-c", &script])
            .arg(&own)
            .env(INPUT, name)
            .output()
            .unwrap();
        let told = String::from_utf8_lossy(&out.stderr);
        let answer = told.lines().find_map(|line| line.split_once("answer: "));
        let (_, answer) = answer.unwrap_or_else(|| panic!("{name}: no answer\n{told}"));
        let fits = if wanted.is_empty() {
            answer.starts_with("read ")
        } else {
            answer.contains(wanted)
        };
        assert!(fits, "{name}: {answer}");
        let peak = told.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let peak: u64 = peak
            .unwrap()
            .trim()
            .trim_end_matches(" kB")
            .parse()
            .unwrap();
        eprintln!("{name}: {answer}, {} MB, {:?}", peak >> 10, begun.elapsed());
        assert!(peak >> 10 < MOST_MB, "{name}: {} MB", peak >> 10);
    }
}

#[test]
fn broken_bytes_anywhere_are_read_or_refused() {
    let whole = [
        png(&DynamicImage::ImageRgb8(slope(33, 21))),
        jpeg(&slope(33, 21), Some(6)),
    ];
    let mut seed = 1_u64;
    let mut next = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (seed >> 33) as usize
    };
    for bytes in whole {
        for _ in 0..4_000 {
            let mut broken = bytes.clone();
            for _ in 0..1 + next() % 4 {
                let at = next() % broken.len();
                broken[at] = next() as u8;
            }
            if next() % 4 == 0 {
                broken.truncate(next() % broken.len());
            }
            // The answer does not matter; that there is one does.
            let _ = read_picture(&broken);
        }
    }
}
