//! Hostile design files of 64 MB: each is refused with a message, in at most 2 s of processor time and 500 MB of memory.
//!
//! Each input is read by a process of its own, this test program started again: the kernel ends it at 2 s of processor time (`ulimit -t`), and
//! it tells the most memory it ever held (`VmHWM`), the input itself included. Sources: setrlimit(2), proc_pid_status(5).

#![expect(
    clippy::expect_used,
    clippy::print_stderr,
    reason = "helpers of a test may stop it with a message, and a child tells its memory"
)]

use tangwright::reading::design_file::{MOST_BYTES, read};

/// Names the input a child reads at full size.
const INPUT: &str = "TANGWRIGHT_HOSTILE_INPUT";

/// `piece` again and again between `start` and `end`, `bytes` long in all.
fn filled(start: &str, piece: &str, end: &str, bytes: usize) -> Vec<u8> {
    let room = bytes - start.len() - end.len();
    let mut text = String::with_capacity(bytes);
    text.push_str(start);
    text.push_str(&piece.repeat(room / piece.len()));
    text.push_str(end);
    text.push_str(&" ".repeat(bytes - text.len()));
    text.into_bytes()
}

/// A file of one knife whose field `name` is `value`.
fn knife_with(name: &str, value: &str) -> (String, String) {
    let fields = [
        ("id", "1"),
        ("name", "\"\""),
        ("form", "\"\""),
        ("notes", "\"\""),
        (
            "stock",
            r#"{"thickness_mm": 2, "tolerance_mm": 0, "material": "s"}"#,
        ),
        (
            "tang",
            r#"{"kind": "full", "length_mm": 9, "butt_height_mm": 9, "belly_mm": 0, "drop_mm": 0, "finger_mm": 0, "hook_mm": 0}"#,
        ),
        (
            "outline",
            r#"{"nodes": [{"id": 1, "at": [0, 0], "joint": "corner"}, {"id": 2, "at": [9, 9], "joint": "corner"}]}"#,
        ),
        ("landmarks", "[]"),
        (
            "grinding",
            r#"{"grinds": [], "fullers": [], "tolerance_mm": 0}"#,
        ),
        ("cut_outs", "[]"),
        ("rows", "[]"),
        ("next_id", "4000000000"),
    ];
    let mut before = String::new();
    for (own, value) in fields.iter().filter(|(own, _)| *own != name) {
        before.push_str(&format!("\"{own}\": {value}, "));
    }
    (format!("{{{before}\"{name}\": {value}"), "}".to_owned())
}

/// A design up to its knives.
const HEAD: &str = r#"{"tangwright": 2, "name": "", "next_id": 4000000000, "materials": [{"key": "s", "name": "", "density_g_cm3": 7, "density_low": 7, "density_high": 7}], "knives": "#;

/// Whole files: a name, what the message must hold, the start (`HEAD` stands for a design up to its knives), what is repeated, and the end.
const WHOLE: &[[&str; 5]] = &[
    ["brackets", "nested deeper", "", "[", ""],
    ["braces", "nested deeper", "", r#"{"":"#, ""],
    ["numbers", "too many to open", "[", "1,", "1]"],
    [
        "long numbers",
        "not a design file",
        "[",
        "0.1234567890123456789012345678901234567890123456789,",
        "1]",
    ],
    ["one digit row", "line 1, column", "", "9", ""],
    ["empty records", "too many to open", "[", "{},", "{}]"],
    [
        "small records",
        "too many to open",
        "[",
        r#"{"a":0},"#,
        "{}]",
    ],
    ["one text", "not a design file", "\"", "a", "\""],
    [
        "one escaped text",
        "not a design file",
        "\"",
        r"\u00e9",
        "\"",
    ],
    [
        "one long name",
        "is not a field",
        "HEAD[], \"",
        "a",
        "\": 1}",
    ],
    [
        "unknown fields",
        "and ",
        "HEAD[]",
        r#", "a field that no version of the file ever knew": 1"#,
        "}",
    ],
    [
        "doubled fields",
        "is given twice",
        "HEAD[]",
        r#", "name": "a name that is given again and again""#,
        "}",
    ],
    [
        "knives",
        "at most 1000",
        "HEAD[",
        r#"{"name": "a knife that has nothing but its name and so lacks all other fields"},"#,
        "{}]}",
    ],
    ["blanks", "empty", "", " ", ""],
    ["zeros", "not text", "", "\0", ""],
];

/// Files of one knife: a name, what the message must hold, a field of the knife, and its value: start, what is repeated, end.
const IN_A_KNIFE: &[[&str; 6]] = &[
    [
        "long notes",
        "at most 20000 are kept",
        "notes",
        "\"",
        "many words",
        "\"",
    ],
    [
        "nodes",
        "at most 20000",
        "outline",
        r#"{"nodes": ["#,
        r#"{"id": 1, "at": [0, 0], "in": [0, 0], "joint": "corner"},"#,
        "{}]}",
    ],
    [
        "landmarks",
        "at most 8",
        "landmarks",
        "[",
        r#"{"kind": "tip", "node": 1, "t": 0},"#,
        "{}]",
    ],
    [
        "stations of a taper",
        "at most 200",
        "grinding",
        r#"{"grinds": [], "fullers": [], "tolerance_mm": 0, "taper": {"faces": "both", "stations": ["#,
        r#"{"x_mm": 0, "thickness_mm": 1},"#,
        "{}]}}",
    ],
    [
        "fullers",
        "at most 50",
        "grinding",
        r#"{"grinds": [], "tolerance_mm": 0, "fullers": ["#,
        r#"{"id": 1, "name": "", "faces": "both", "nose_radius_mm": 1, "depth_mm": 1, "path": {"nodes": []}},"#,
        "{}]}",
    ],
    [
        "cut-outs",
        "at most 5000",
        "cut_outs",
        "[",
        r#"{"id": 1, "kind": "round", "center": [0, 0], "diameter_mm": 1, "purpose": "pin"},"#,
        "{}]",
    ],
];

/// The file that passes every cap.
const FULL: [&str; 2] = ["full to the caps", "is used twice"];

/// The names of all inputs.
fn names() -> impl Iterator<Item = &'static str> {
    let whole = WHOLE.iter().map(|[name, ..]| *name);
    let in_a_knife = IN_A_KNIFE.iter().map(|[name, ..]| *name);
    whole.chain(in_a_knife).chain([FULL[0]])
}

/// What the message must hold, and the bytes of an input.
fn input(name: &str, bytes: usize) -> (&'static str, Vec<u8>) {
    if let Some([_, said, start, piece, end]) = WHOLE.iter().find(|[own, ..]| *own == name) {
        let start = start.replace("HEAD", HEAD);
        return (said, filled(&start, piece, end, bytes));
    }
    if let Some([_, said, field, open, piece, close]) =
        IN_A_KNIFE.iter().find(|[own, ..]| *own == name)
    {
        let (start, end) = knife_with(field, open);
        // Blanks keep the count of values below its cap, so that the cap of the list is met.
        let piece = format!("{piece}{}", " ".repeat(5 * piece.len()));
        let start = format!("{HEAD}[{start}");
        return (
            said,
            filled(&start, &piece, &format!("{close}{end}]}}"), bytes),
        );
    }
    assert_eq!(name, FULL[0], "an input has a name");
    (FULL[1], full_to_the_caps(bytes))
}

/// Passes every cap on the way and is only stopped by the rules: knives full of cut-outs with the same id, each filled with the last of many
/// materials whose names differ at their ends only.
fn full_to_the_caps(bytes: usize) -> Vec<u8> {
    let key = |i: usize| {
        format!(
            "a material with a {}long name and number {i:04}",
            "very, ".repeat(40)
        )
    };
    let materials: Vec<String> = (0..if bytes == MOST_BYTES { 1_000 } else { 3 })
        .map(|i| {
            let key = key(i);
            format!(r#"{{"key": "{key}", "name": "", "density_g_cm3": 7, "density_low": 7, "density_high": 7}}"#)
        })
        .collect();
    let last = key(materials.len() - 1);
    let cut = format!(
        r#"{{"id": 1, "kind": "round", "center": [0, 0], "diameter_mm": 1, "purpose": "pin", "filling": {{"kind": "pin", "material": "{last}"}}}}"#
    );
    let (start, end) = knife_with("cut_outs", "[");
    let start = start.replace("\"s\"", &format!("\"{last}\""));
    let mut text = format!(
        r#"{{"tangwright": 2, "name": "", "next_id": 4000000000, "materials": [{}], "knives": ["#,
        materials.join(",")
    );
    while text.len() + start.len() + 6_000 < bytes {
        text.push_str(if text.ends_with('[') { "" } else { "," });
        text.push_str(&start);
        let room = (bytes - text.len() - 100) / (cut.len() + 1);
        text.push_str(&vec![cut.as_str(); room.min(5_000)].join(","));
        text.push(']');
        text.push_str(&end);
    }
    text.push_str("]}");
    text.into_bytes()
}

/// Reads one input and gives the message of its refusal.
fn refusal(name: &str, bytes: &[u8]) -> String {
    let said = read(bytes)
        .map(|_| ())
        .expect_err("a hostile file is refused")
        .to_string();
    // 51 problems of a line each, each of a place and a message.
    assert!(said.len() < 51 * 500, "{name}: {} bytes", said.len());
    said
}

/// At a hundredth of the size in this process, where some are caught by another rule; a child reads one at full size and tells its memory.
#[test]
fn each_is_refused_with_its_reason() {
    let Ok(chosen) = std::env::var(INPUT) else {
        for name in names() {
            refusal(name, &input(name, MOST_BYTES / 100).1);
        }
        return;
    };
    let (wanted, bytes) = input(&chosen, MOST_BYTES);
    assert!(
        bytes.len() <= MOST_BYTES && bytes.len() > MOST_BYTES - 10_000,
        "{}",
        bytes.len()
    );
    let said = refusal(&chosen, &bytes);
    assert!(said.contains(wanted), "{chosen}: {said}");
    let status = std::fs::read_to_string("/proc/self/status").expect("the kernel tells");
    let line = status
        .lines()
        .find(|line| line.starts_with("VmHWM:"))
        .expect("the most memory held");
    eprintln!("{line}");
}

#[cfg(target_os = "linux")]
#[test]
fn each_stays_within_time_and_memory() {
    use std::process::Command;

    const MOST_KB: u64 = 500 * 1024;
    let program = std::env::current_exe().expect("this program has a path");
    for name in names() {
        let child = Command::new("sh")
            .args(["-c", "ulimit -t 2 && exec \"$@\"", "sh"])
            .arg(&program)
            .args(["--exact", "each_is_refused_with_its_reason", "--nocapture"])
            .env(INPUT, name)
            .output()
            .expect("a shell can be started");
        let said = String::from_utf8_lossy(&child.stderr);
        assert!(child.status.success(), "{name}: {}\n{said}", child.status);
        let held: u64 = said
            .lines()
            .find_map(|line| line.strip_prefix("VmHWM:"))
            .and_then(|rest| rest.trim().strip_suffix(" kB"))
            .and_then(|kb| kb.trim().parse().ok())
            .expect("the child tells its memory");
        assert!(held <= MOST_KB, "{name}: {held} kB");
    }
}
