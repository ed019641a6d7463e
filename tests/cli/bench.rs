//! What every test of the command line uses: a folder, a design made by code, and a run of the program.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Arc;

use serde_json::Value;
use tangwright::geometry::Point;
use tangwright::knife::{
    CutOut, CutShape, Filling, FullTang, Id, Knife, KnifeSet, Material, Node, Outline, Purpose,
    Stock, Tang,
};
use tangwright::reading::design_file;

/// What a run of the program left behind.
#[derive(Debug)]
pub(crate) struct Ran {
    pub(crate) code: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// A run without a display, with nothing to read.
pub(crate) fn command(arguments: &[impl AsRef<OsStr>]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tangwright"));
    command
        .args(arguments)
        // The settings of whoever runs the tests do not matter; this folder is not there.
        .env(
            "TANGWRIGHT_HOME",
            concat!(env!("CARGO_TARGET_TMPDIR"), "/nobody"),
        )
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .stdin(Stdio::null());
    command
}

/// Runs to the end. Whatever is asked, the program never panics.
pub(crate) fn run(arguments: &[impl AsRef<OsStr>]) -> Ran {
    finish(&mut command(arguments))
}

/// Runs to the end with the settings of this folder.
pub(crate) fn at_home(home: &Path, arguments: &[impl AsRef<OsStr>]) -> Ran {
    finish(command(arguments).env("TANGWRIGHT_HOME", home))
}

/// Runs a prepared command to the end.
pub(crate) fn finish(command: &mut Command) -> Ran {
    let output = command.output().expect("the program can be started");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("what is printed is text");
    let ran = Ran {
        code: output.status.code(),
        out: text(output.stdout),
        err: text(output.stderr),
    };
    assert!(!ran.err.contains("panicked"), "{}", ran.err);
    ran
}

/// A folder that goes away with the test.
pub(crate) fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a temporary folder can be made")
}

/// A plate with its lower left corner at the origin, of the material `steel`.
pub(crate) fn plate(name: &str, length: f64, height: f64, thickness_mm: f64) -> Knife {
    let corners = [(0.0, 0.0), (length, 0.0), (length, height), (0.0, height)];
    let nodes: Vec<Node> = (1..)
        .zip(corners)
        .map(|(id, at)| Node::corner(id, Point::from(at)))
        .collect();
    let next_id = nodes.len() as Id + 1;
    Knife {
        next_id,
        ..Knife::bare(
            name,
            Outline { nodes },
            Stock::plain(thickness_mm, 0.1, "steel"),
            Tang::Full(FullTang::straight(100.0, 25.0)),
        )
    }
}

/// Cuts a round lightening hole.
pub(crate) fn hole(knife: &mut Knife, x: f64, y: f64, diameter_mm: f64) {
    let id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape: CutShape::Round {
            center: Point::new(x, y),
            diameter_mm,
        },
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
}

/// The plate with a row of holes: 120 × 25 × 4, holes of 5 mm at x = 20, 50, 80 and of 6 mm at (105, 10).
pub(crate) fn drilled_plate() -> Knife {
    let mut knife = plate("Test plate", 120.0, 25.0, 4.0);
    for x in [20.0, 50.0, 80.0] {
        hole(&mut knife, x, 12.5, 5.0);
    }
    hole(&mut knife, 105.0, 10.0, 6.0);
    knife
}

/// A set of knives with one material, `steel`, of 7.85 g/cm³ (7.80 to 7.90).
pub(crate) fn set(knives: Vec<Knife>) -> KnifeSet {
    let knives: Vec<Arc<Knife>> = (1..)
        .zip(knives)
        .map(|(id, knife)| Arc::new(Knife { id, ..knife }))
        .collect();
    KnifeSet {
        name: "test set".to_owned(),
        next_id: knives.len() as Id + 1,
        knives,
        materials: vec![Material {
            key: "steel".to_owned(),
            name: "Test steel".to_owned(),
            density_g_cm3: 7.85,
            density_low: 7.80,
            density_high: 7.90,
            data_sheet: String::new(),
        }],
    }
}

/// Writes a set as a design file into a folder.
pub(crate) fn saved(folder: &Path, knives: Vec<Knife>) -> PathBuf {
    written(
        folder,
        "set.tangwright",
        design_file::write(&set(knives)).as_bytes(),
    )
}

/// Writes bytes into a folder.
#[expect(
    clippy::disallowed_methods,
    reason = "a test makes its own input; nobody else looks at it"
)]
pub(crate) fn written(folder: &Path, name: &str, bytes: &[u8]) -> PathBuf {
    let path = folder.join(name);
    std::fs::write(&path, bytes).expect("a file can be written in a temporary folder");
    path
}

/// A number at a place of an answer.
pub(crate) fn number(value: &Value, path: &str) -> f64 {
    value
        .pointer(path)
        .and_then(Value::as_f64)
        .unwrap_or_else(|| panic!("{path} is no number in {value}"))
}

/// Whether a number is the wanted one within a share of it.
#[track_caller]
pub(crate) fn near(found: f64, wanted: f64, relative: f64, what: &str) {
    let off = (found - wanted).abs();
    assert!(
        off <= relative * wanted.abs().max(1e-12),
        "{what}: {found}, not {wanted}"
    );
}

/// The names in a folder, in order; none when it is not there.
pub(crate) fn names_in(folder: &Path) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut names: Vec<String> = entries
        .map(|entry| {
            let entry = entry.expect("a folder can be listed");
            entry.file_name().to_string_lossy().into_owned()
        })
        .collect();
    names.sort();
    names
}
