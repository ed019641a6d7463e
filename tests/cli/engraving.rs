//! `engrave`: a name set, moved, kept and taken off from the command line.

use tangwright::geometry::Point;
use tangwright::knife::Engraving;
use tangwright::reading::design_file;

use super::bench::{folder, hole, names_in, plate, run, saved};

fn engraved(path: &std::path::Path) -> Option<Engraving> {
    let set = design_file::read(&std::fs::read(path).expect("it was written")).expect("a design");
    set.knives[0].engraving.clone()
}

/// A plate of 100 by 50 whose lower left corner is at the shoulder line: the name stands where it is put, and keeps what is not asked for.
#[test]
fn a_name_is_set_moved_and_taken_off() {
    let folder = folder();
    let file = saved(folder.path(), vec![plate("Plain", 100.0, 50.0, 4.0)]);
    let step = |n: usize| folder.path().join(format!("{n}.tangwright"));
    let ran = run(&arguments![
        "engrave",
        file,
        "--words",
        "A7",
        "--letters",
        "5",
        "--at",
        "40,25",
        "--out",
        step(1)
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    assert!(
        ran.out
            .starts_with("Plain: 'A7' in letters of 5.0 mm, its middle at x 40.0 mm, y 25.0 mm\n"),
        "{}",
        ran.out
    );
    let name = |height_mm, at: (f64, f64)| Engraving {
        words: "A7".to_owned(),
        height_mm,
        at: Some(Point::from(at)),
    };
    assert_eq!(engraved(&step(1)), Some(name(5.0, (40.0, 25.0))));
    let ran = run(&arguments![
        "engrave",
        step(1),
        "--at",
        "60.5,20",
        "--out",
        step(2)
    ]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert_eq!(engraved(&step(2)), Some(name(5.0, (60.5, 20.0))));
    let ran = run(&arguments![
        "engrave",
        step(2),
        "--letters",
        "3",
        "--out",
        step(3)
    ]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert_eq!(engraved(&step(3)), Some(name(3.0, (60.5, 20.0))));
    let ran = run(&arguments!["engrave", step(3), "--off", "--out", step(4)]);
    assert!(
        ran.out.starts_with("Plain: no name is engraved\n"),
        "{}",
        ran.out
    );
    assert_eq!(engraved(&step(4)), None);
}

/// Over a hole, over the edge, with a sign that has no letter, or without words: the reason is told, and nothing is written.
#[test]
fn a_name_that_can_t_be_cut_is_refused() {
    let folder = folder();
    let mut knife = plate("Plain", 100.0, 50.0, 4.0);
    hole(&mut knife, 40.0, 25.0, 8.0);
    let file = saved(folder.path(), vec![knife]);
    let out = folder.path().join("out.tangwright");
    for (words, at, code, told) in [
        ("A7", "40,25", 1, "finds no room there"),
        ("A7", "0,25", 1, "finds no room there"),
        ("A7", "40", 2, "two numbers in mm"),
        ("é", "70,25", 2, "A to Z"),
    ] {
        let ran = run(&arguments![
            "engrave", file, "--words", words, "--at", at, "--out", out
        ]);
        assert_eq!(ran.code, Some(code), "{words} {at}: {}", ran.err);
        assert!(ran.err.contains(told), "{}", ran.err);
    }
    let ran = run(&arguments!["engrave", file, "--letters", "3", "--out", out]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("give --words"), "{}", ran.err);
    // The plate lies ahead of the shoulder line: there is no tang to find room on.
    let ran = run(&arguments!["engrave", file, "--words", "A7", "--out", out]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.err.contains("no room on the tang"), "{}", ran.err);
    assert_eq!(names_in(folder.path()).len(), 1);
}
