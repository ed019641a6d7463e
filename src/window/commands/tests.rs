//! Names and keys of the commands.

use std::collections::HashSet;
use std::fs::{read_dir, read_to_string};
use std::path::{Path, PathBuf};

use super::pressed::by_key;
use super::*;

#[test]
fn names_and_keys_are_unique() {
    let mut names = HashSet::new();
    let mut keys = HashSet::new();
    let mut commands = HashSet::new();
    for command in Command::ALL {
        assert!(commands.insert(command), "{command:?} is listed twice");
        assert!(names.insert(command.name()), "{command:?} shares its name");
        for key in command.keys() {
            assert!(keys.insert(*key), "{command:?} shares the key {key:?}");
        }
    }
}

#[test]
fn every_tool_snap_and_unit_is_a_command() {
    for tool in Tool::ALL {
        assert!(Command::ALL.contains(&Command::Take(tool)));
    }
    for work in Work::ON_OUTLINE.into_iter().chain(Work::ON_SEVERAL) {
        assert!(Command::ALL.contains(&Command::Work(work)));
    }
    for snap in Snap::ALL {
        assert!(Command::ALL.contains(&Command::Snap(snap)));
    }
}

#[test]
fn typing_keeps_its_own_keys() {
    let command = Modifiers::COMMAND;
    // A field undoes, marks and erases by itself.
    for key in [Key::Z, Key::A, Key::Y, Key::Delete, Key::Backspace] {
        assert!(by_key(key, command, false).is_some(), "{key:?}");
        assert_eq!(by_key(key, command, true), None, "{key:?}");
    }
    for key in [Key::Num1, Key::F, Key::Minus, Key::C, Key::Delete] {
        assert!(by_key(key, Modifiers::NONE, false).is_some(), "{key:?}");
        assert_eq!(by_key(key, Modifiers::NONE, true), None, "{key:?}");
    }
    assert_eq!(by_key(Key::S, command, true), Some(Command::Save));
}

#[test]
fn shift_tells_commands_apart_and_plus_needs_it_not() {
    let both = Modifiers::COMMAND | Modifiers::SHIFT;
    assert_eq!(
        by_key(Key::S, Modifiers::COMMAND, false),
        Some(Command::Save)
    );
    assert_eq!(by_key(Key::S, both, false), Some(Command::SaveAs));
    assert_eq!(
        by_key(Key::Plus, Modifiers::SHIFT, false),
        Some(Command::Closer)
    );
    assert_eq!(by_key(Key::F, Modifiers::SHIFT, false), None);
}

#[test]
fn a_snap_flips_itself_alone() {
    for snap in Snap::ALL {
        let mut snaps = Snaps::default();
        snap.flip(&mut snaps);
        for other in Snap::ALL {
            assert_eq!(other.of(snaps), other != snap);
        }
    }
}

/// All sources of a folder.
fn sources(folder: &Path) -> Vec<PathBuf> {
    let entries = read_dir(folder).expect("a folder of the project");
    let paths = entries.map(|entry| entry.expect("an entry").path());
    paths
        .flat_map(|path| match path.is_dir() {
            true => sources(&path),
            false => vec![path],
        })
        .collect()
}

#[test]
fn no_key_is_looked_for_past_the_tables() {
    let window = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/window");
    let tables = [
        window.join("commands"),
        window.join("commands.rs"),
        window.join("hands.rs"),
    ];
    let mut looked = 0;
    for path in sources(&window) {
        if path.ends_with("tests.rs") || tables.iter().any(|table| path.starts_with(table)) {
            continue;
        }
        looked += 1;
        let text = read_to_string(&path).expect("a source of the project");
        let text = text.split("#[cfg(test)]").next().unwrap_or_default();
        for own in [
            "Key::",
            "key_pressed",
            "key_down",
            "consume_key",
            "modifiers.alt",
            "modifiers.shift",
            "modifiers.command",
        ] {
            assert!(
                !text.contains(own),
                "{} looks for keys by itself: {own}",
                path.display()
            );
        }
    }
    assert!(looked > 100, "only {looked} sources were looked at");
}
