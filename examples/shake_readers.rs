//! Shakes the readers of drawings: `cargo run --example shake_readers -- SECONDS [FOLDER or -] [SEED]`.
//!
//! Takes valid drawings (our own files of the orchard set, and those of FOLDER), changes some bytes, reads them, and complains of every panic, of every
//! answer that takes longer than two seconds, and of every knife that breaks the rules. What it complains of is kept in the folder
//! `target/shaken`; the smallest of a kind belongs in `tests/import/corpus.rs`. The same seed throws the same dice.

#![expect(
    clippy::print_stdout,
    clippy::expect_used,
    reason = "a tool for the bench that speaks and may stop"
)]

#[path = "../tests/import/judging.rs"]
mod judging;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::{Duration, Instant};

use tangwright::files::write_atomically;
use tangwright::knife::orchard_set;
use tangwright::sheet::exports::{ExportKind, ExportOptions, export_set};

use judging::judged;

/// Longest time an answer may take.
const LONGEST: Duration = Duration::from_secs(2);

/// What is put into drawings: numbers out of bounds, marks of both formats.
const WORDS: [&str; 40] = [
    "1e308",
    "-1e308",
    "1e-308",
    "NaN",
    "inf",
    "0",
    "-0",
    "-1",
    "9999999",
    "10000001",
    "1e7",
    "2147483648",
    "\"",
    "'",
    "<",
    ">",
    "/>",
    "&",
    "&#0;",
    "\u{feff}",
    "\n",
    "\r",
    "\n0\n",
    "0\nENDSEC\n",
    "0\nENDBLK\n",
    "0\nINSERT\n2\nb\n10\n0\n20\n0\n",
    "42\n1e9\n",
    "41\n0\n",
    "50\n1e9\n",
    "71\n3\n",
    "230\n-1\n",
    "%",
    "em",
    "Z",
    "M",
    "A1 1 0 0 0 0 0",
    "</g>",
    "<g>",
    "transform=\"scale(0)\" ",
    "<use href=\"#cut\"/>",
];

fn main() {
    let mut words = std::env::args().skip(1);
    let seconds: u64 = words.next().and_then(|w| w.parse().ok()).unwrap_or(10);
    let folder = words.next().filter(|folder| folder != "-");
    let mut dice = Dice(words.next().and_then(|w| w.parse().ok()).unwrap_or(1));
    let seeds = seeds(folder.as_deref());
    let end = Instant::now() + Duration::from_secs(seconds);
    std::panic::set_hook(Box::new(|_| {}));
    let (mut shaken, mut read, mut found) = (0_u64, 0_u64, 0_u64);
    let mut slowest = Duration::ZERO;
    while Instant::now() < end {
        let bytes = changed(&seeds, &mut dice);
        shaken += 1;
        let begin = Instant::now();
        let answer = catch_unwind(AssertUnwindSafe(|| judged(&bytes)));
        let took = begin.elapsed();
        slowest = slowest.max(took);
        let complaint = match answer {
            Err(_) => Some("panic".to_owned()),
            Ok(Err(why)) => Some(why),
            Ok(Ok(_)) if took > LONGEST => Some(format!("{} ms", took.as_millis())),
            Ok(Ok(was_read)) => {
                read += u64::from(was_read);
                None
            }
        };
        if let Some(complaint) = complaint {
            found += 1;
            let kept = Path::new("target/shaken").join(format!("{found}.drawing"));
            std::fs::create_dir_all("target/shaken").expect("a folder for what is found");
            write_atomically(&kept, &bytes).expect("what is found can be kept");
            println!("{}: {complaint}", kept.display());
        }
    }
    println!(
        "{shaken} drawings shaken, {read} of them read, {found} complaints, slowest answer {} ms",
        slowest.as_millis()
    );
}

/// Valid drawings.
fn seeds(folder: Option<&str>) -> Vec<Vec<u8>> {
    let set = orchard_set();
    let options = ExportOptions {
        kinds: vec![
            ExportKind::Svg,
            ExportKind::Dxf,
            ExportKind::DxfSplines,
            ExportKind::DxfR12,
        ],
        ..ExportOptions::default()
    };
    let files = export_set(set.knives.iter().map(AsRef::as_ref), &set, &options)
        .expect("the orchard set can be exported");
    let mut seeds: Vec<Vec<u8>> = files.into_iter().map(|file| file.bytes).collect();
    seeds.extend(
        SMALL
            .iter()
            .map(|text| text.replace('|', "\n").into_bytes()),
    );
    if let Some(folder) = folder {
        let entries = std::fs::read_dir(folder).expect("the folder can be read");
        seeds.extend(
            entries
                .flatten()
                .filter_map(|entry| std::fs::read(entry.path()).ok()),
        );
    }
    seeds
}

/// Drawings of what our own files do not have.
const SMALL: [&str; 3] = [
    "0|SECTION|2|HEADER|9|$INSUNITS|70|1|0|ENDSEC|0|SECTION|2|TABLES|0|LAYER|2|a|70|1|62|-1|0|ENDSEC|0|SECTION|2|BLOCKS|\
     0|BLOCK|8|0|2|b|70|0|10|1|20|1|0|LWPOLYLINE|8|0|70|1|10|0|20|0|42|0.2|10|9|20|0|10|9|20|2|10|0|20|2|0|INSERT|8|0|2|c|10|2|20|1|70|3|71|2|44|1|45|0.1|0|ENDBLK|\
     0|BLOCK|2|c|0|CIRCLE|10|0|20|0|40|0.2|0|ENDBLK|0|ENDSEC|0|SECTION|2|ENTITIES|0|INSERT|2|b|10|4|20|5|41|1|42|-1|50|30|230|-1|\
     0|ELLIPSE|10|3|20|4|11|1|21|0.5|40|0.4|41|0|42|4|0|ARC|10|3|20|4|40|1|50|10|51|300|0|TEXT|10|1|20|1|1|x|0|ENDSEC|0|EOF|",
    "0|SECTION|2|HEADER|9|$INSUNITS|70|4|0|ENDSEC|0|SECTION|2|ENTITIES|0|SPLINE|70|8|71|2|40|0|40|0|40|0|40|1|40|2|40|3|40|4|40|4|40|4|\
     41|1|41|2|41|1|41|1|41|3|41|1|10|0|20|0|10|50|20|-9|10|90|20|3|10|80|20|20|10|5|20|18|10|0|20|0|\
     0|POLYLINE|66|1|70|1|0|VERTEX|10|20|20|8|42|0.3|0|VERTEX|10|32|20|8|0|VERTEX|10|32|20|11|0|SEQEND|0|ENDSEC|0|EOF|",
    "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"4in\" viewBox=\"0 0 400 100\"><style>.c,g>path:first-child{fill:none;stroke:#000}</style>\
     <defs><g id=\"d\"><circle r=\"5\" cx=\"60\" cy=\"50\"/></g><clipPath id=\"k\"><rect width=\"9\" height=\"9\"/></clipPath></defs>\
     <g transform=\"rotate(3) skewX(4)\"><path class=\"c\" d=\"M10 20 H300 q60 20 60 60 c-40 10-90 5-120 5 A300 300 0 0 1 10 80 z m30 5 l9 0 0 9 z\"/><use href=\"#d\"/>\
     <use href=\"#d\" x=\"40\" transform=\"matrix(1 .1 0 2 3 4)\"/><g clip-path=\"url(#k)\"><polyline points=\"100,40 130,40 130,60 100,60 100,40\"/></g></g>\
     <symbol id=\"s\" viewBox=\"0 0 9 9\"><ellipse rx=\"2\" ry=\"3\" cx=\"4\" cy=\"4\"/></symbol><use href=\"#s\" width=\"30\" height=\"20\" x=\"200\" y=\"40\"/>\
     <svg x=\"150\" y=\"30\" width=\"20%\" height=\"40\" viewBox=\"0 0 10 10\"><rect rx=\"2\" width=\"8\" height=\"6\"/></svg><switch><g/></switch></svg>",
];

/// One of the seeds, changed in one to eight places.
fn changed(seeds: &[Vec<u8>], dice: &mut Dice) -> Vec<u8> {
    // Small drawings are read in no time, and a change of theirs matters more often.
    let many = seeds.len();
    let which = if dice.below(3) > 0 {
        many - 1 - dice.below(SMALL.len().min(many))
    } else {
        dice.below(many)
    };
    let mut bytes = seeds.get(which).cloned().unwrap_or_default();
    for _ in 0..=dice.below(8) {
        let n = bytes.len().max(1);
        let at = dice.below(n);
        match dice.below(8) {
            0 => bytes.truncate(at),
            1 => {
                let to = (at + 1 + dice.below(60)).min(bytes.len());
                bytes.drain(at.min(to)..to);
            }
            2 => {
                let to = (at + 1 + dice.below(600)).min(bytes.len());
                let piece = bytes.get(at..to).unwrap_or_default().to_vec();
                let place = dice.below(n);
                bytes.splice(place..place, piece);
            }
            3 => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte = u8::try_from(dice.below(256)).unwrap_or_default();
                }
            }
            4 => {
                // Another digit.
                if let Some(byte) = bytes.iter_mut().skip(at).find(|b| b.is_ascii_digit()) {
                    *byte = b'0' + u8::try_from(dice.below(10)).unwrap_or_default();
                }
            }
            _ => {
                let word = WORDS
                    .get(dice.below(WORDS.len()))
                    .copied()
                    .unwrap_or_default();
                // In place of a number, mostly: that is where words are read.
                let from = bytes
                    .iter()
                    .skip(at)
                    .position(u8::is_ascii_digit)
                    .map_or(at, |i| at + i);
                let digits = bytes
                    .iter()
                    .skip(from)
                    .take_while(|b| b.is_ascii_digit() || **b == b'.')
                    .count();
                let to = if dice.below(4) == 0 {
                    from
                } else {
                    from + digits
                };
                bytes.splice(from..to, word.bytes());
            }
        }
    }
    bytes
}

/// Marsaglia's xorshift ("Xorshift RNGs", Journal of Statistical Software 8 (2003)): the same numbers every time.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        let n = u64::try_from(n.max(1)).unwrap_or(1);
        usize::try_from(self.0 % n).unwrap_or_default()
    }
}
