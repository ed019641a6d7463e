//! The layer test: each room (a folder under `src/`) names only the rooms before it.
//!
//! One crate has no walls the compiler would keep, so this test keeps them. It reads every source file under `src/`,
//! blanks out comments, strings and character literals, cuts the rest into words and signs, and follows every path that
//! starts at `crate`, `self`, `super`, `tangwright` or `std`, also through grouped `use` trees and inside inline modules.
//!
//! It does not follow macros that build paths from pieces, nor a method of a lower room that hands out a type of a
//! higher one (which could not be written without naming the higher one somewhere).

#[path = "layers/codes.rs"]
mod codes;
#[path = "layers/source.rs"]
mod source;
#[path = "layers/walk.rs"]
mod walk;

use std::fmt;
use std::path::{Path, PathBuf};

use source::{blank_out, tokens};
use walk::Walk;

/// Each room with the rooms it may name besides itself. A room stands below all that it may name, so the table itself
/// shows that there is no circle.
const ROOMS: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("geometry", &["units"]),
    ("catalog", &["units"]),
    ("knife", &["units", "geometry"]),
    ("thickness", &["units", "geometry", "knife"]),
    (
        "weighing",
        &["units", "geometry", "catalog", "knife", "thickness"],
    ),
    (
        "strength",
        &[
            "units",
            "geometry",
            "catalog",
            "knife",
            "thickness",
            "weighing",
        ],
    ),
    (
        "checks",
        &[
            "units",
            "geometry",
            "catalog",
            "knife",
            "thickness",
            "weighing",
            "strength",
        ],
    ),
    ("nesting", &["units", "geometry", "knife"]),
    (
        "planning",
        &[
            "units",
            "geometry",
            "catalog",
            "knife",
            "thickness",
            "weighing",
            "strength",
            "checks",
        ],
    ),
    (
        "sheet",
        &[
            "units",
            "geometry",
            "catalog",
            "knife",
            "thickness",
            "weighing",
            "strength",
            "checks",
            "nesting",
        ],
    ),
    ("tracing", &["units", "geometry", "knife"]),
    (
        "reading",
        &["units", "geometry", "catalog", "knife", "tracing"],
    ),
    ("edit", &["units", "geometry", "catalog", "knife"]),
    (
        "files",
        &[
            "units", "geometry", "catalog", "knife", "tracing", "reading",
        ],
    ),
    (
        "window",
        &[
            "units",
            "geometry",
            "catalog",
            "knife",
            "thickness",
            "weighing",
            "strength",
            "checks",
            "nesting",
            "planning",
            "sheet",
            "tracing",
            "reading",
            "edit",
            "files",
        ],
    ),
    (
        "cli",
        &[
            "units",
            "geometry",
            "catalog",
            "knife",
            "thickness",
            "weighing",
            "strength",
            "checks",
            "nesting",
            "planning",
            "sheet",
            "tracing",
            "reading",
            "edit",
            "files",
        ],
    ),
];

/// The file that only starts things: it may name any room.
const MAIN: &str = "main.rs";
/// The file that lists the rooms.
const LIB: &str = "lib.rs";

/// Crates that draw windows, and who may name them.
const WINDOW_CRATES: &[&str] = &[
    "egui", "eframe", "rfd", "epaint", "emath", "ecolor", "winit",
];
const MAY_DRAW: &[&str] = &["window", MAIN];

/// Parts of the standard library that reach outside the program, and who may name them.
const OUTSIDE: &[&str] = &["fs", "thread", "time", "net", "process", "env"];
const MAY_REACH_OUTSIDE: &[&str] = &["files", "window", "cli", MAIN];

/// Something named where it may not be.
#[derive(Debug, PartialEq)]
struct Fault {
    file: String,
    line: usize,
    what: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "src/{}:{}: {}", self.file, self.line, self.what)
    }
}

#[test]
fn every_room_names_only_what_stands_before_it() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    source_files(&root, &mut files).expect("src/ can be read");
    assert!(
        files.iter().any(|file| file.ends_with(LIB)),
        "no source was found under {}",
        root.display()
    );
    let mut faults = Vec::new();
    for file in files {
        let name = file
            .strip_prefix(&root)
            .expect("it was found under src/")
            .to_string_lossy()
            .replace('\\', "/");
        let source = std::fs::read_to_string(&file).expect("a source file can be read");
        faults.extend(faults_in(&name, &source));
    }
    let lines: Vec<String> = faults.iter().map(Fault::to_string).collect();
    assert!(
        faults.is_empty(),
        "{} faults\n{}",
        faults.len(),
        lines.join("\n")
    );
}

/// Collects every `.rs` below `folder`, in the order of names.
fn source_files(folder: &Path, files: &mut Vec<PathBuf>) -> std::io::Result<()> {
    let mut entries = std::fs::read_dir(folder)?
        .map(|entry| Ok(entry?.path()))
        .collect::<std::io::Result<Vec<_>>>()?;
    entries.sort();
    for path in entries {
        if path.is_dir() {
            source_files(&path, files)?;
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
    Ok(())
}

/// All faults in one file; `name` is its path below `src/`, with forward slashes.
fn faults_in(name: &str, source: &str) -> Vec<Fault> {
    let (owner, room) = match name.split_once('/') {
        Some((folder, _)) => match ROOMS.iter().find(|(room, _)| *room == folder) {
            Some((room, _)) => (*room, Some(*room)),
            None => {
                return vec![Fault {
                    file: name.to_owned(),
                    line: 1,
                    what: format!("the folder `{folder}` is not in the table of rooms"),
                }];
            }
        },
        None if name == MAIN || name == LIB => (name, None),
        None => {
            return vec![Fault {
                file: name.to_owned(),
                line: 1,
                what: "a room is a folder: only main.rs and lib.rs lie in src/ itself".to_owned(),
            }];
        }
    };
    let blanked = blank_out(source);
    let tokens = tokens(&blanked);
    let mut walk = Walk {
        name,
        owner,
        room,
        tokens: &tokens,
        faults: Vec::new(),
    };
    walk.run();
    walk.faults
}

#[test]
fn the_table_has_no_circle() {
    for (i, (room, may)) in ROOMS.iter().enumerate() {
        for known in *may {
            let place = ROOMS.iter().position(|(name, _)| name == known);
            assert!(
                place.is_some_and(|place| place < i),
                "`{room}` may name `{known}`, which does not stand before it"
            );
        }
    }
}

/// The lines at fault in `source`, were it the file `name`.
fn lines(name: &str, source: &str) -> Vec<usize> {
    faults_in(name, source)
        .iter()
        .map(|fault| fault.line)
        .collect()
}

#[test]
fn planted_room_faults_are_caught() {
    for (name, source) in [
        ("units/a.rs", "use crate::geometry::Outline;"),
        ("units/a.rs", "fn f() { crate::knife::weigh(); }"),
        ("units/a.rs", "use ::tangwright::window;"),
        ("units/a.rs", "use tangwright::{cli};"),
        ("geometry/a.rs", "use crate::{units::Length, knife::Knife};"),
        (
            "geometry/a.rs",
            "use crate::{units::{Length, Mass}, catalog};",
        ),
        ("geometry/a.rs", "use crate::{{units, knife}, units::Mass};"),
        (
            "geometry/a.rs",
            "use {crate::units::Length, crate::knife::Knife};",
        ),
        ("geometry/a.rs", "use super::super::knife::Knife;"),
        ("geometry/mod.rs", "use super::knife::Knife;"),
        ("geometry/a.rs", "use super::{b::c, super::knife};"),
        ("geometry/a.rs", "use self::super::super::knife;"),
        (
            "geometry/a/b.rs",
            "use super::super::super::{units, weighing as w};",
        ),
        (
            "geometry/a.rs",
            "mod tests { use super::super::super::knife; }",
        ),
        (
            "geometry/a.rs",
            "mod tests { fn f() {} } use super::super::knife;",
        ),
        ("knife/a.rs", "pub(in crate::catalog) fn f() {}"),
        (
            "knife/a.rs",
            "macro_rules! m { () => { $crate::catalog::x() } }",
        ),
        ("knife/a.rs", "fn f(x: &crate::r#catalog::Steel) {}"),
        ("knife/a.rs", "fn f() -> Vec<crate :: catalog :: Steel> {}"),
        ("files/a.rs", "use crate::edit::Edit;"),
        ("cli/a.rs", "use crate::window::App;"),
        ("window/a.rs", "use crate::cli::Args;"),
        ("weighing/a.rs", "use crate::checks::Finding;"),
        ("edit/a.rs", "use crate::Shortcut;"),
        ("edit/a.rs", "use crate::*;"),
        ("edit/a.rs", "use crate as root; use root::window;"),
        ("edit/a.rs", "use crate::{self as root};"),
        ("edit/a.rs", "use super::super as root;"),
        ("edit/a.rs", "extern crate self as root;"),
        ("edit/a.rs", "#[path = \"../window/a.rs\"] mod a;"),
        ("edit/a.rs", "include!(\"../window/a.rs\");"),
        ("attic/a.rs", "fn f() {}"),
        ("attic.rs", "fn f() {}"),
    ] {
        assert_eq!(lines(name, source), [1], "{name}: {source}");
    }
}

#[test]
fn planted_outside_faults_are_caught() {
    for (name, source) in [
        ("units/a.rs", "use egui::Ui;"),
        ("sheet/a.rs", "fn f(ui: &mut egui::Ui) {}"),
        ("files/a.rs", "use eframe;"),
        ("cli/a.rs", "fn f() { rfd::FileDialog::new(); }"),
        ("lib.rs", "use ::egui as e;"),
        ("edit/a.rs", "use {egui, std::fmt};"),
        ("edit/a.rs", "fn f() { return ::std::process::exit(1); }"),
        ("catalog/a.rs", "use std::fs;"),
        ("catalog/a.rs", "fn f() { ::std::fs::read(\"x\"); }"),
        ("reading/a.rs", "use std::{fmt, fs::File};"),
        (
            "reading/a.rs",
            "use std::{fmt::{self, Write}, io::{Read}, time};",
        ),
        ("edit/a.rs", "let t = std::time::Instant::now();"),
        ("edit/a.rs", "use core::time::Duration;"),
        ("weighing/a.rs", "std::thread::spawn(f);"),
        ("weighing/a.rs", "use std as s;"),
        ("weighing/a.rs", "use std::*;"),
        ("lib.rs", "use std::env;"),
    ] {
        assert_eq!(lines(name, source), [1], "{name}: {source}");
    }
}

#[test]
fn the_line_is_the_line_of_the_word() {
    let source = "//! Doc.\n/* two\nlines */\nuse crate::{\n    units,\n    window,\n};\nlet s = \"a\nb\"; use crate::cli;\n";
    assert_eq!(lines("sheet/a.rs", source), [6, 9]);
    let fault = Fault {
        file: "sheet/a.rs".to_owned(),
        line: 6,
        what: "`sheet` may not know `window`".to_owned(),
    };
    assert_eq!(faults_in("sheet/a.rs", source).first(), Some(&fault));
    assert_eq!(
        fault.to_string(),
        "src/sheet/a.rs:6: `sheet` may not know `window`"
    );
}

#[test]
fn what_is_allowed_passes() {
    for (name, source) in [
        (
            "geometry/a.rs",
            "use crate::units::{Length, LengthUnit as Unit, self}; use crate::geometry::b;",
        ),
        (
            "geometry/a.rs",
            "use super::{b, c::{d, e}}; use super::b as c; pub(crate) fn f() {} pub(super) struct S; pub(in crate::geometry) use b;",
        ),
        (
            "geometry/a.rs",
            "mod tests { use super::*; use super::super::b; use crate::units; }",
        ),
        (
            "geometry/mod.rs",
            "mod tests { use super::*; mod deep { use super::super::a; } } use self::a::knife;",
        ),
        (
            "window/a.rs",
            "use egui::Ui; use std::{fs, thread, time}; use crate::{edit::Edit, files};",
        ),
        ("files/a.rs", "use std::fs; use crate::reading;"),
        (
            "main.rs",
            "use tangwright::{cli, window}; fn main() { eframe::run_native(); std::process::exit(2); }",
        ),
        ("lib.rs", "pub mod units; pub mod window;"),
        (
            "edit/a.rs",
            "fn f(time: f64) { let thread = time; self.fs(); std::mem::take(&mut x); x.std; std::io::stdin(); }",
        ),
        (
            "edit/a.rs",
            "impl A { fn f(self) -> a::window::B { knife::crate_x(); b::std::fs() } }",
        ),
    ] {
        assert_eq!(faults_in(name, source), [], "{name}: {source}");
    }
}

#[test]
fn comments_and_literals_do_not_count() {
    for source in [
        "// crate::window",
        "/// [`crate::window`] and egui::Ui",
        "/* crate::window /* nested */ egui::x */",
        "let s = \"crate::window\";",
        "let s = \"a\\\" crate::window \\\\\";",
        "let s = r\"crate::window\\\"; let t = 1;",
        "let s = r#\"a\" crate::window\"#;",
        "let s = br##\"\"# crate::window\"##;",
        "let s = b\"crate::window\"; let t = c\"egui::x\";",
        "let s = \"one\ncrate::window\ntwo\";",
    ] {
        assert_eq!(faults_in("units/a.rs", source), [], "{source}");
    }
}

#[test]
fn what_follows_a_literal_still_counts() {
    for source in [
        "let c = '\"'; use crate::window;",
        "let c = '\\''; use crate::window;",
        "let c = b'\\\\'; use crate::window;",
        "let c = '\\u{22}'; use crate::window;",
        "fn f<'a>(x: &'a str) { 'o: loop { use crate::window; } }",
        "let s = r\"\\\"; use crate::window;",
        "let s = r#\"\"\"#; use crate::window;",
        "let r#type = 1; use crate::window;",
        "let s = \"//\"; use crate::window;",
        "/* \" */ use crate::window;",
        "/**/ use crate::window; //",
        "let var\"\"; use crate::window;",
        "let s = \"\\\\\"; use crate::window;",
    ] {
        assert_eq!(lines("units/a.rs", source), [1], "{source}");
    }
}
