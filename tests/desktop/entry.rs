//! The desktop's files against the specifications of freedesktop.org: "Desktop Entry Specification" 1.4, "Desktop Menu Specification" 1.1 appendix A,
//! "Shared MIME-info Database" 0.21, "Icon Theme Specification" 0.13.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use usvg::roxmltree::Document;

use crate::icon;

fn asset(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("assets")
        .join(name)
}

fn text(name: &str) -> String {
    std::fs::read_to_string(asset(name)).unwrap()
}

/// What is wrong with a desktop entry.
fn faults(text: &str) -> Vec<String> {
    const STRINGS: [&str; 9] = [
        "Version",
        "Name",
        "GenericName",
        "Comment",
        "Icon",
        "Exec",
        "TryExec",
        "StartupWMClass",
        "Type",
    ];
    const LISTS: [&str; 3] = ["Categories", "MimeType", "Keywords"];
    const SWITCHES: [&str; 2] = ["Terminal", "StartupNotify"];
    // Of the registered categories those that can be meant here.
    const MAIN: [&str; 3] = ["Graphics", "Education", "Utility"];
    const ADDITIONAL: [&str; 3] = ["2DGraphics", "VectorGraphics", "Engineering"];
    let mut faults = Vec::new();
    let mut lines = text.lines();
    if lines.next() != Some("[Desktop Entry]") {
        faults.push("it begins with its group".to_owned());
    }
    let mut keys = BTreeMap::new();
    for line in lines {
        let Some((key, value)) = line.split_once('=') else {
            faults.push(format!("no key: {line}"));
            continue;
        };
        if !key.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-') {
            faults.push(format!("no name of a key: {key}"));
        }
        if keys.insert(key, value).is_some() {
            faults.push(format!("twice: {key}"));
        }
        let listed = LISTS.contains(&key);
        if listed && !value.ends_with(';') {
            faults.push(format!("a list ends with a semicolon: {key}"));
        }
        if SWITCHES.contains(&key) && !matches!(value, "true" | "false") {
            faults.push(format!("true or false: {key}"));
        }
        if !(listed || STRINGS.contains(&key) || SWITCHES.contains(&key)) {
            faults.push(format!("unknown: {key}"));
        }
    }
    let of = |key: &str| keys.get(key).copied().unwrap_or_default();
    for needed in ["Type", "Name", "Exec", "Icon"] {
        if of(needed).is_empty() {
            faults.push(format!("missing: {needed}"));
        }
    }
    if of("Type") != "Application" {
        faults.push("it is an application".to_owned());
    }
    let codes = of("Exec").matches('%').count();
    if codes != 1 || !of("Exec").ends_with(" %f") {
        faults.push("one file is opened at a time".to_owned());
    }
    let categories: Vec<&str> = of("Categories").split_terminator(';').collect();
    if !categories.iter().any(|c| MAIN.contains(c)) {
        faults.push("no main category".to_owned());
    }
    let unknown = |c: &&&str| !MAIN.contains(*c) && !ADDITIONAL.contains(*c);
    faults.extend(
        categories
            .iter()
            .filter(unknown)
            .map(|c| format!("category {c}")),
    );
    faults
}

#[test]
fn the_entry_keeps_to_the_specification() {
    let entry = text("desktop/tangwright.desktop");
    assert_eq!(faults(&entry), Vec::<String>::new());
    // Planted faults are found.
    for (from, to) in [
        ("[Desktop Entry]", "[Entry]"),
        ("Terminal=false", "Terminal=no"),
        ("Categories=Graphics;2DGraphics;", "Categories=Knives;"),
        ("+json;", "+json"),
        ("%f", "%f %U"),
        ("Name=Tangwright", "Nom=Tangwright"),
        ("Icon=tangwright", "Icon=tangwright\nIcon=other"),
    ] {
        assert!(entry.contains(from), "{from}");
        let broken = entry.replacen(from, to, 1);
        assert_ne!(faults(&broken), Vec::<String>::new(), "{to}");
    }
    // The program it starts, the window it belongs to and the icon are ours.
    assert!(entry.contains("\nExec=tangwright %f\n") && entry.contains("\nIcon=tangwright\n"));
    assert!(entry.contains("\nStartupWMClass=tangwright\n"));
    let cargo = text("../Cargo.toml");
    assert!(cargo.contains("[[bin]]\nname = \"tangwright\""));
}

#[test]
fn the_kind_of_file_is_well_formed_and_the_same_in_both_files() {
    const SPACE: &str = "http://www.freedesktop.org/standards/shared-mime-info";
    let xml = text("desktop/tangwright.xml");
    let document = Document::parse(&xml).unwrap();
    let root = document.root_element();
    assert!(root.has_tag_name((SPACE, "mime-info")));
    let kinds: Vec<_> = root
        .children()
        .filter(usvg::roxmltree::Node::is_element)
        .collect();
    assert_eq!(kinds.len(), 1);
    let kind = kinds[0];
    assert!(kind.has_tag_name((SPACE, "mime-type")));
    let name = kind.attribute("type").unwrap();
    let (family, own) = name.split_once('/').unwrap();
    assert!(
        family == "application" && own.starts_with("x-"),
        "not registered: {name}"
    );
    let child = |tag: &str| {
        let found = kind.children().find(|n| n.has_tag_name((SPACE, tag)));
        found.unwrap_or_else(|| panic!("no {tag}"))
    };
    assert_eq!(child("glob").attribute("pattern"), Some("*.tangwright"));
    assert_eq!(
        child("sub-class-of").attribute("type"),
        Some("application/json")
    );
    assert!(!child("comment").text().unwrap().is_empty());
    let entry = text("desktop/tangwright.desktop");
    assert!(entry.contains(&format!("\nMimeType={name};\n")));
    // What is not well formed does not pass.
    assert!(Document::parse(&xml.replace("</mime-info>", "")).is_err());
}

/// The pictures are those the program draws: of the size in their name, clear in the corners, and none of them is stale.
#[test]
fn the_icon_is_there_in_every_size() {
    for size in icon::SIZES {
        let path = asset(&format!("icon/tangwright-{size}.png"));
        let read = image::open(&path).unwrap().into_rgba8();
        assert_eq!((read.width(), read.height()), (size, size));
        assert_eq!(read.get_pixel(0, 0).0[3], 0, "clear in the corner");
        let drawn = icon::pixels(size);
        let far = read
            .as_raw()
            .iter()
            .zip(&drawn)
            .filter(|(a, b)| a.abs_diff(**b) > 1);
        assert_eq!(far.count(), 0, "{size}: run the example again");
    }
    for needed in [16, 32, 48, 256] {
        assert!(icon::SIZES.contains(&needed));
    }
}

#[test]
fn the_drawn_icon_is_read_by_another_reader() {
    let svg = text("icon/tangwright.svg");
    assert_eq!(svg, icon::svg(), "run the example again");
    let tree = usvg::Tree::from_str(&svg, &usvg::Options::default()).unwrap();
    assert_eq!((tree.size().width(), tree.size().height()), (64.0, 64.0));
    assert_eq!(tree.root().children().len(), 8);
}
