//! Shakes a reader: `cargo run --example shake_readers -- READER SECONDS [FOLDER or -] [SEED]`, with READER one of svg, dxf, design, picture, settings, typed.
//!
//! Takes what the reader can read (our own files, small ones made for it, and the files of FOLDER), changes some bytes, reads it, and complains of every
//! panic, of every answer that takes longer than two seconds, and of every answer that breaks a rule ([`readers`] says which). What it complains of is
//! kept in the folder `target/shaken`; the smallest of a kind belongs in the tests beside the reader. SECONDS are those of the processor where the system
//! tells them. The same seed throws the same dice.

#![expect(
    clippy::print_stdout,
    clippy::expect_used,
    reason = "a tool for the bench that speaks and may stop"
)]

#[path = "../../tests/import/judging.rs"]
mod judging;
#[path = "../../tests/pictures/bench.rs"]
mod pictures;
mod readers;
mod seeds;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::{Duration, Instant};

use tangwright::files::write_atomically;

use readers::{READERS, Reader};

/// Longest time an answer may take.
const LONGEST: Duration = Duration::from_secs(2);

fn main() {
    let mut words = std::env::args().skip(1);
    let name = words.next().unwrap_or_default();
    let reader = READERS
        .iter()
        .find(|reader| reader.name == name)
        .expect("READER is one of svg, dxf, design, picture, settings, typed");
    let seconds: u64 = words.next().and_then(|w| w.parse().ok()).unwrap_or(10);
    let folder = words.next().filter(|folder| folder != "-");
    let mut dice = Dice(words.next().and_then(|w| w.parse().ok()).unwrap_or(1));
    let seeds = (reader.seeds)(folder.as_deref());
    let clock = Clock::start();
    std::panic::set_hook(Box::new(|_| {}));
    let (mut shaken, mut read, mut found) = (0_u64, 0_u64, 0_u64);
    let mut slowest = Duration::ZERO;
    while shaken % 64 != 0 || clock.worked() < Duration::from_secs(seconds) {
        let bytes = changed(reader, &seeds, &mut dice);
        shaken += 1;
        let (answer, mut took) = asked(reader, &bytes);
        if took > LONGEST {
            // Asked again: the machine may have been held up.
            took = took.min(asked(reader, &bytes).1);
        }
        slowest = slowest.max(took);
        let complaint = match answer {
            Err(_) => "panic".to_owned(),
            Ok(Err(why)) => why,
            Ok(Ok(_)) if took > LONGEST => format!("{} ms", took.as_millis()),
            Ok(Ok(was_read)) => {
                read += u64::from(was_read);
                continue;
            }
        };
        found += 1;
        let kept = Path::new("target/shaken").join(format!("{name}-{found}"));
        std::fs::create_dir_all("target/shaken").expect("a folder for what is found");
        write_atomically(&kept, &bytes).expect("what is found can be kept");
        println!("{}: {complaint}", kept.display());
    }
    println!(
        "{name}: {shaken} shaken in {} s, {read} of them read, {found} complaints, slowest answer {} ms, most memory {}",
        clock.worked().as_secs(),
        slowest.as_millis(),
        most_memory()
    );
}

/// What the reader makes of the bytes, and how long it takes; an error for a panic.
fn asked(reader: &Reader, bytes: &[u8]) -> (std::thread::Result<Result<bool, String>>, Duration) {
    let begin = Instant::now();
    let answer = catch_unwind(AssertUnwindSafe(|| (reader.judge)(bytes)));
    (answer, begin.elapsed())
}

/// One of the seeds, changed in one to eight places.
fn changed(reader: &Reader, seeds: &[Vec<u8>], dice: &mut Dice) -> Vec<u8> {
    // The last ones are small: read in no time, and a change of theirs matters more often.
    let many = seeds.len();
    let which = if dice.below(3) > 0 {
        many.saturating_sub(1 + dice.below(reader.small.min(many)))
    } else {
        dice.below(many)
    };
    let mut bytes = seeds.get(which).cloned().unwrap_or_default();
    for _ in 0..=dice.below(8) {
        change(reader, &mut bytes, dice);
    }
    (reader.mend)(&mut bytes, dice);
    bytes
}

/// Changes one place.
fn change(reader: &Reader, bytes: &mut Vec<u8>, dice: &mut Dice) {
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
            let place = dice.below(n).min(bytes.len());
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
        _ => put_word(reader, bytes, at, dice),
    }
}

/// Puts a word in, in place of a number mostly: that is where words are read.
fn put_word(reader: &Reader, bytes: &mut Vec<u8>, at: usize, dice: &mut Dice) {
    let word = reader.words.get(dice.below(reader.words.len()));
    let word = word.copied().unwrap_or_default();
    let number = |b: &u8| b.is_ascii_digit();
    let found = bytes.iter().skip(at).position(number);
    let from = found.map_or(at, |i| at + i).min(bytes.len());
    let digits = bytes.iter().skip(from);
    let digits = digits
        .take_while(|b| b.is_ascii_digit() || **b == b'.')
        .count();
    let to = if dice.below(4) == 0 {
        from
    } else {
        from + digits
    };
    bytes.splice(from..to, word.iter().copied());
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

/// How long the processor has worked for this process since the start; by the clock where the system does not tell.
struct Clock {
    begin: Instant,
    before: Option<Duration>,
}

impl Clock {
    fn start() -> Self {
        Self {
            begin: Instant::now(),
            before: processor(),
        }
    }

    fn worked(&self) -> Duration {
        let told = processor().zip(self.before);
        told.map_or_else(|| self.begin.elapsed(), |(now, before)| now - before)
    }
}

/// Fields 14 and 15 of proc_pid_stat(5), in ticks of 10 ms.
fn processor() -> Option<Duration> {
    let stat = std::fs::read_to_string("/proc/self/stat").ok()?;
    let (_, after) = stat.rsplit_once(')')?;
    let mut fields = after.split_whitespace().skip(11);
    let mut ticks = || fields.next()?.parse::<u64>().ok();
    Some(Duration::from_millis(10 * (ticks()? + ticks()?)))
}

/// The most memory ever held, by proc_pid_status(5).
fn most_memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let told = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    told.unwrap_or("unknown").trim().to_owned()
}
