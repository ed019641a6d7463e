//! `new` and `template`: what is written, that it is the same each time, and that nothing is written when anything is wrong.

use std::fs;
use std::path::Path;

use tangwright::reading::design_file;

use super::bench::{at_home, drilled_plate, folder, hole, names_in, plate, run, saved, written};

/// Name and bytes of everything in a folder.
fn contents(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let names = names_in(folder).into_iter();
    names
        .map(|name| {
            let bytes = fs::read(folder.join(&name)).expect("a file can be read");
            (name, bytes)
        })
        .collect()
}

#[test]
fn every_form_begins_a_design() {
    for form in tangwright::knife::starter_forms() {
        let folder = folder();
        let (first, second) = (
            folder.path().join("first.tangwright"),
            folder.path().join("second.tangwright"),
        );
        for file in [&first, &second] {
            let ran = run(&arguments!["new", form.key, "--out", file]);
            assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{}", form.key);
        }
        let bytes = fs::read(&first).expect("it was written");
        assert_eq!(
            bytes,
            fs::read(&second).expect("it was written"),
            "{}",
            form.key
        );
        let set = design_file::read(&bytes).expect("it is a design file");
        assert_eq!(set.knives.len(), 1);
        assert_eq!(set.knives[0].form, form.key);
        assert_eq!(set.knives[0].name, form.name);
        let ran = run(&arguments!["weigh", first]);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{}", form.key);
    }
}

#[test]
fn a_design_that_is_there_is_kept() {
    let folder = folder();
    let file = written(folder.path(), "mine.tangwright", b"years of work");
    let ran = run(&arguments!["new", "paring", "--out", file]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(1), ""));
    assert!(
        ran.err.contains("mine.tangwright") && ran.err.contains("another name"),
        "{}",
        ran.err
    );
    assert_eq!(fs::read(&file).expect("still there"), b"years of work");
    assert_eq!(names_in(folder.path()), ["mine.tangwright"]);
}

#[test]
fn new_says_where_it_cannot_write() {
    let folder = folder();
    let inside_nothing = folder.path().join("no such folder").join("x.tangwright");
    let mut places = vec![inside_nothing, folder.path().to_owned()];
    if cfg!(target_os = "linux") {
        places.push("/dev/full".into());
    }
    for place in places {
        let ran = run(&arguments!["new", "paring", "--out", place]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(1), ""), "{place:?}");
        assert!(
            ran.err.contains(&place.display().to_string()),
            "{}",
            ran.err
        );
    }
    assert_eq!(names_in(folder.path()), [""; 0]);
}

/// Endings of the files written with given flags.
fn endings(flags: &[&str]) -> Vec<String> {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    let out = folder.path().join("out");
    let mut arguments = arguments!["template", file, "--out", out];
    arguments.extend(flags.iter().map(Into::into));
    let ran = run(&arguments);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{flags:?}");
    for name in names_in(&out) {
        assert!(
            ran.out.contains(&name),
            "{name} is not told of in {}",
            ran.out
        );
        assert!(!fs::read(out.join(&name)).expect("written").is_empty());
    }
    let ending = |name: String| name.rsplit('.').next().unwrap_or_default().to_owned();
    let mut endings: Vec<String> = names_in(&out).into_iter().map(ending).collect();
    endings.sort();
    endings.dedup();
    endings
}

#[test]
fn formats_are_those_asked_for_or_all() {
    assert_eq!(endings(&[]), ["dxf", "pdf", "svg"]);
    assert_eq!(endings(&["--svg"]), ["svg"]);
    assert_eq!(endings(&["--dxf"]), ["dxf"]);
    assert_eq!(endings(&["--dxf-r12"]), ["dxf"]);
    assert_eq!(endings(&["--dxf-splines"]), ["dxf"]);
    assert_eq!(endings(&["--pdf", "--paper", "a3"]), ["pdf"]);
    assert_eq!(
        endings(&["--pdf", "--svg", "--paper", "letter"]),
        ["pdf", "svg"]
    );
}

#[test]
fn the_same_design_gives_the_same_bytes() {
    let folder = folder();
    let twice = vec![
        drilled_plate(),
        drilled_plate(),
        plate("Bare", 90.0, 20.0, 3.0),
    ];
    let file = saved(folder.path(), twice);
    let (a, b) = (folder.path().join("a"), folder.path().join("b"));
    for out in [&a, &b] {
        let ran = run(&arguments!["template", file, "--out", out]);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    }
    let written = contents(&a);
    assert_eq!(written, contents(&b));
    // Two knives of one name do not write over each other: three knives, three files of each kind.
    for ending in [".svg", ".pdf"] {
        let count = written
            .iter()
            .filter(|(name, _)| name.ends_with(ending))
            .count();
        assert_eq!(count % 3, 0, "{ending}");
        assert!(count >= 3, "{ending}");
    }
    // Written again over the old ones, nothing else appears.
    let ran = run(&arguments!["template", file, "--out", a]);
    assert_eq!(ran.code, Some(0));
    assert_eq!(contents(&a), written);
}

#[test]
fn one_knife_can_be_asked_for() {
    let folder = folder();
    let knives = vec![drilled_plate(), plate("Bare", 90.0, 20.0, 3.0)];
    let file = saved(folder.path(), knives);
    let out = folder.path().join("out");
    let ran = run(&arguments![
        "template", file, "--out", out, "--svg", "--knife", "bare"
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let all = folder.path().join("all");
    run(&arguments!["template", file, "--out", all, "--svg"]);
    assert!(names_in(&out).len() < names_in(&all).len());
    let ran = run(&arguments![
        "template",
        file,
        "--out",
        folder.path().join("none"),
        "--knife",
        "bear"
    ]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("'Bare'"), "{}", ran.err);
    assert!(!folder.path().join("none").exists());
}

/// Knives printed together are one file beside those that are asked for each; folded ones are a file for each.
#[test]
fn papers_are_for_each_knife_or_for_all() {
    let folder = folder();
    let knives = vec![drilled_plate(), plate("Bare", 90.0, 20.0, 3.0)];
    let file = saved(folder.path(), knives);
    let names = |flags: &[&str]| {
        let out = folder.path().join(flags.join(""));
        let mut arguments = arguments!["template", file, "--out", out];
        arguments.extend(flags.iter().map(Into::into));
        let ran = run(&arguments);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{flags:?}");
        for (name, bytes) in contents(&out) {
            assert!(
                !name.ends_with(".pdf") || bytes.starts_with(b"%PDF"),
                "{name}"
            );
        }
        names_in(&out)
    };
    let together = names(&["--together"]);
    assert_eq!(together.len(), 1, "{together:?}");
    assert!(together[0].ends_with("-together-a4.pdf"), "{together:?}");
    assert_eq!(names(&["--together", "--pdf"]), together);
    assert_eq!(
        names(&["--folded", "--paper", "letter"]),
        ["bare-folded-letter.pdf", "test-plate-folded-letter.pdf"]
    );
    assert_eq!(
        names(&["--dxf", "--count", "3", "--count", "Bare=0"]),
        ["test-plate-x3.dxf"]
    );
    let out = folder.path().join("nobody");
    let ran = run(&arguments![
        "template", file, "--out", out, "--count", "Nobody=2"
    ]);
    assert_eq!(ran.code, Some(2), "{}", ran.err);
    assert!(ran.err.contains("'Nobody'") && !out.exists(), "{}", ran.err);
    let both = names(&["--folded", "--together", "--svg"]);
    assert_eq!(both.len(), 4, "{both:?}");
}

#[test]
fn a_design_with_a_stop_writes_nothing() {
    let folder = folder();
    let mut bad = plate("Bad", 100.0, 50.0, 5.0);
    hole(&mut bad, 50.0, 49.0, 6.0);
    let file = saved(folder.path(), vec![drilled_plate(), bad]);
    let out = folder.path().join("out");
    let ran = run(&arguments!["template", file, "--out", out]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(1), ""));
    for word in ["set.tangwright", "Bad", "stop", "Move it"] {
        assert!(ran.err.contains(word), "{word}: {}", ran.err);
    }
    assert!(!out.exists());
    // The sound knife alone can be had.
    let ran = run(&arguments![
        "template",
        file,
        "--out",
        out,
        "--knife",
        "Test plate"
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
}

#[test]
fn template_says_where_it_cannot_write() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    let mut places = vec![
        written(folder.path(), "a file", b"kept"),
        file.join("inside"),
    ];
    if cfg!(target_os = "linux") {
        places.push("/dev/full".into());
        places.push("/proc/tangwright".into());
    }
    for place in places {
        let ran = run(&arguments!["template", file, "--out", place]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(1), ""), "{place:?}");
        assert!(
            ran.err.contains(&place.display().to_string()),
            "{}",
            ran.err
        );
    }
    assert_eq!(
        fs::read(folder.path().join("a file")).expect("still there"),
        b"kept"
    );
}

#[test]
fn a_name_that_is_taken_by_a_folder_leaves_all_as_it_was() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    let probe = folder.path().join("probe");
    run(&arguments!["template", file, "--out", probe]);
    let names = names_in(&probe);
    let last = names.last().expect("something is written");
    let out = folder.path().join("out");
    fs::create_dir_all(out.join(last)).expect("a folder can be made");
    let ran = run(&arguments!["template", file, "--out", out]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(1), ""));
    assert!(ran.err.contains(last.as_str()), "{}", ran.err);
    assert_eq!(
        names_in(&out),
        [last.as_str()],
        "half of the files may not stay"
    );
}

#[test]
fn a_build_sheet_tells_the_work_and_is_printed() {
    let folder = folder();
    let text = tangwright::reading::design_file::write(&tangwright::knife::orchard_set());
    let file = super::bench::written(folder.path(), "set.tangwright", text.as_bytes());
    let out = folder.path().join("bench.pdf");
    let ran = run(&arguments!["build", file, "--out", out]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    for words in [
        "Drill before hardening",
        "3 × 6.10 mm  pin",
        "this program gives no recipe",
        "On the scale: ",
    ] {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
    let pdf = std::fs::read(&out).expect("written");
    assert!(pdf.starts_with(b"%PDF-"));
    // One knife alone has only its own steps: the picnic knife has no guard.
    let ran = run(&arguments!["build", file, "--knife", "Picnic knife"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(!ran.out.contains("Fit the guard") && ran.out.contains("cladding"));
}

/// 0.5 mm on all sides of a plate of 200 × 30 mm, by Steiner: `A + P·p + π·p²`.
#[test]
fn steel_is_left_on_as_asked_and_as_the_shop_does() {
    let work = folder();
    let design = saved(work.path(), vec![plate("plate", 200.0, 30.0, 4.0)]);
    let area = |name: &str, flags: &[&str], home: Option<&str>| {
        let out = work.path().join(name);
        let mut asked = arguments!["template", design, "--dxf", "--out", out];
        asked.extend(flags.iter().map(std::ffi::OsString::from));
        let own = work.path().join("home");
        if let Some(figures) = home {
            let config = own.join("config");
            std::fs::create_dir_all(&config).unwrap();
            written(&config, "settings.json", figures.as_bytes());
        }
        let ran = match home {
            Some(_) => at_home(&own, &asked),
            None => run(&asked),
        };
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        let drawing = dxf::Drawing::load_file(out.join("plate.dxf")).unwrap();
        let outline = drawing.entities().find_map(|e| match &e.specific {
            dxf::entities::EntityType::LwPolyline(line) => Some(line.clone()),
            _ => None,
        });
        let corners = outline.expect("an outline").vertices;
        let n = corners.len();
        (0..n)
            .map(|i| {
                let (a, b) = (&corners[i], &corners[(i + 1) % n]);
                // Half the cross product, and the segment of the arc of bulge tan(θ/4) over the chord.
                let chord2 = (b.x - a.x).powi(2) + (b.y - a.y).powi(2);
                let theta = 4.0 * a.bulge.atan();
                let segment = if a.bulge == 0.0 {
                    0.0
                } else {
                    let radius2 = chord2 / (4.0 * (theta / 2.0).sin().powi(2));
                    radius2 / 2.0 * (theta - theta.sin())
                };
                (a.x * b.y - b.x * a.y) / 2.0 + segment
            })
            .sum::<f64>()
    };
    let wanted = 6000.0 + 460.0 * 0.5 + std::f64::consts::PI * 0.25;
    assert!((area("plain", &[], None) - 6000.0).abs() < 1e-3);
    let asked = area("asked", &["--allowance", "0.5"], None);
    assert!((asked - wanted).abs() < 1e-3, "{asked}");
    let figures = r#"{"tangwright_settings": 1, "thresholds": {"left-on": 0.5}}"#;
    let usual = area("usual", &[], Some(figures));
    assert!((usual - wanted).abs() < 1e-3, "{usual}");
    let none = area("none", &["--allowance", "0"], Some(figures));
    assert!((none - 6000.0).abs() < 1e-3, "{none}");
    let out = work.path().join("bad");
    let ran = run(&arguments![
        "template",
        design,
        "--allowance",
        "-1",
        "--out",
        out
    ]);
    assert_eq!(ran.code, Some(2));
}
