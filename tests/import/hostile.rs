//! Hostile drawings: each gives a message (or is read), in at most 2 s of processor time and 500 MB of memory, and nothing panics.
//!
//! Each input is read by a process of its own, this test program started again: the kernel ends it at 2 s of processor time (`ulimit -t`), and
//! it tells the most memory it ever held (`VmHWM`), the input itself included. Sources: setrlimit(2), proc_pid_status(5).

#![expect(clippy::print_stderr, reason = "a child tells its memory")]

use tangwright::reading::drawing::{ImportOptions, read_drawing};

use super::hostile_inputs::inputs;

/// Names the input a child reads.
const INPUT: &str = "TANGWRIGHT_HOSTILE_DRAWING";

#[test]
fn each_is_refused_in_time_and_memory() {
    if std::env::var_os(INPUT).is_some() {
        return;
    }
    let own = std::env::current_exe().expect("this program has a path");
    let mut failures = Vec::new();
    for (name, may_be_read, _) in inputs() {
        let ran = std::process::Command::new("sh")
            .arg("-c")
            .arg("ulimit -t 4; exec \"$0\" --exact --nocapture hostile::a_child_reads_one")
            .arg(&own)
            .env(INPUT, name)
            .output()
            .expect("a shell can be started");
        let err = String::from_utf8_lossy(&ran.stderr).into_owned();
        let told = |key: &str| {
            err.lines()
                .find_map(|line| line.strip_prefix(key))
                .map(str::to_owned)
        };
        let (Some(answer), Some(memory), Some(time)) =
            (told("answer: "), told("kB: "), told("ms: "))
        else {
            failures.push(format!("{name}: {:?} {err}", ran.status));
            continue;
        };
        let kb: u64 = memory.parse().expect("a number");
        let ms: u64 = time.parse().expect("a number");
        let read = answer.starts_with("read");
        if kb > 500 * 1024 || ms > 2_000 || (read && !may_be_read) || !ran.status.success() {
            failures.push(format!("{name}: {kb} kB, {ms} ms, {answer}"));
        }
        if std::env::var_os("TANGWRIGHT_TELL").is_some() {
            eprintln!("{name}: {} MB, {ms} ms, {answer}", kb / 1024);
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Does nothing unless the test above started it.
#[test]
fn a_child_reads_one() {
    let Some(wanted) = std::env::var_os(INPUT) else {
        return;
    };
    let inputs = inputs();
    let (.., make) = inputs
        .iter()
        .find(|(name, ..)| *wanted == **name)
        .expect("it is in the list");
    let text = make();
    let before = cpu_ms();
    let answer = match read_drawing(text.as_bytes(), "hostile", &ImportOptions::default()) {
        Ok(read) => format!("read {} cut-outs", read.openings.len()),
        Err(error) => {
            let message = error.to_string();
            assert!(
                message.len() < 500 && message.starts_with(|c: char| !c.is_uppercase()),
                "{message}"
            );
            message
        }
    };
    eprintln!("answer: {answer}");
    eprintln!("ms: {}", cpu_ms() - before);
    eprintln!("kB: {}", most_memory_kb());
}

/// Processor time of this process so far, ms: fields 14 and 15 of proc_pid_stat(5), in ticks of 10 ms.
fn cpu_ms() -> u64 {
    let stat = std::fs::read_to_string("/proc/self/stat").expect("linux tells it");
    let after = stat.rsplit_once(')').expect("the name ends").1;
    let fields: Vec<&str> = after.split_whitespace().collect();
    let ticks = |i: usize| fields[i].parse::<u64>().expect("a number");
    10 * (ticks(11) + ticks(12))
}

fn most_memory_kb() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").expect("linux tells it");
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .expect("it is told");
    line.trim()
        .trim_end_matches(" kB")
        .parse()
        .expect("a number")
}
