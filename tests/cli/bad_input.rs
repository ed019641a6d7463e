//! Files that are no design, and designs that are no knives: a message with file, place and mend; nothing written.

use std::path::{Path, PathBuf};

use tangwright::reading::design_file;

use super::bench::{drilled_plate, folder, names_in, plate, run, saved, set, written};

/// Every command that reads refuses the file the same way, and writes nothing. Gives what was said.
fn refused(file: &Path) -> String {
    let folder = folder();
    let out = folder.path().join("out");
    let mut said = Vec::new();
    for arguments in [
        arguments!["weigh", file],
        arguments!["weigh", file, "--json"],
        arguments!["check", file],
        arguments!["template", file, "--out", out],
    ] {
        let ran = run(&arguments);
        assert_eq!(ran.code, Some(1), "{arguments:?}: {}", ran.err);
        assert_eq!(ran.out, "", "{arguments:?}");
        let name = file.display().to_string();
        assert!(ran.err.lines().count() >= 1, "{arguments:?} says nothing");
        for line in ran.err.lines() {
            assert!(line.contains(&name), "{name} is not named in: {line}");
        }
        said.push(ran.err);
    }
    assert_eq!(names_in(&out), [""; 0], "nothing may be written");
    said.swap_remove(0)
}

/// A design file with one piece of text exchanged.
fn changed(folder: &Path, from: &str, to: &str) -> PathBuf {
    let text = design_file::write(&set(vec![drilled_plate()]));
    assert!(text.contains(from), "'{from}' is not in the file");
    written(
        folder,
        "changed.tangwright",
        text.replacen(from, to, 1).as_bytes(),
    )
}

#[test]
fn what_is_not_there_or_is_no_file() {
    let folder = folder();
    refused(&folder.path().join("missing.tangwright"));
    refused(folder.path());
    refused(&folder.path().join("no such folder").join("x.tangwright"));
}

#[test]
fn what_is_no_design() {
    let folder = folder();
    let text = design_file::write(&set(vec![drilled_plate()]));
    let half = &text.as_bytes()[..text.len() / 2];
    refused(&written(folder.path(), "empty.tangwright", b""));
    refused(&written(folder.path(), "half.tangwright", half));
    refused(&written(
        folder.path(),
        "binary.tangwright",
        &[0, 159, 146, 150, 255, 0, 1],
    ));
    refused(&written(folder.path(), "other.json", b"{\"a\": [1, 2, 3]}"));
    refused(&written(
        folder.path(),
        "deep.tangwright",
        "[".repeat(200_000).as_bytes(),
    ));
    let newer = refused(&written(
        folder.path(),
        "newer.tangwright",
        b"{\"tangwright\": 999}",
    ));
    assert!(newer.contains("newer"), "{newer}");
}

#[test]
fn numbers_that_are_none() {
    let folder = folder();
    for bad in ["NaN", "1e999", "-4", "0", "1e300"] {
        let said = refused(&changed(
            folder.path(),
            "\"thickness_mm\": 4",
            &format!("\"thickness_mm\": {bad}"),
        ));
        assert!(
            said.contains("thickness_mm") || said.contains("line "),
            "{bad}: {said}"
        );
    }
}

#[test]
fn ids_given_twice_are_named_with_their_place() {
    let folder = folder();
    let mut knife = drilled_plate();
    knife.cut_outs[1].id = knife.cut_outs[0].id;
    let said = refused(&saved(folder.path(), vec![knife]));
    assert!(said.contains("knives[0].cut_outs[1].id"), "{said}");
}

#[test]
fn ten_thousand_knives_are_too_many() {
    let folder = folder();
    let knives = vec![plate("One of many", 100.0, 20.0, 3.0); 10_000];
    let said = refused(&saved(folder.path(), knives));
    assert!(
        said.contains("10000 knives") || said.contains("at most 1000"),
        "{said}"
    );
}

#[test]
fn names_cannot_steer_the_terminal() {
    let folder = folder();
    let file = saved(
        folder.path(),
        vec![plate("Red\u{1b}[31m\nalert", 100.0, 20.0, 3.0)],
    );
    for name in ["weigh", "check"] {
        let ran = run(&arguments![name, file]);
        assert_eq!(ran.code, Some(0));
        assert!(!ran.out.contains('\u{1b}'), "{:?}", ran.out);
        assert!(ran.out.starts_with("Red [31m alert"), "{:?}", ran.out);
    }
}

#[test]
#[cfg(unix)]
fn file_names_need_not_be_text() {
    use std::ffi::OsString;
    use std::os::unix::ffi::OsStringExt;

    let odd = OsString::from_vec(b"odd\xff.tangwright".to_vec());
    let ran = run(&arguments!["weigh", odd]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(1), ""));
    let ran = run(&arguments!["weigh", "x", "--knife", odd]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
}
