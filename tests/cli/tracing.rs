//! `trace`: a picture to a design, held against the outline it was rendered from; and that nothing is written when anything is wrong.

use std::fs;

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, RgbImage};
use serde_json::Value;
use tangwright::files::open_design;
use tangwright::geometry::{Contour, Point};
use tangwright::knife::{Knife, orchard_set};
use tangwright::tracing::Pixels;

use super::bench::{folder, names_in, number, run, written};
use super::pictured::{carried, png, typed_corners};
use super::scene::{Dice, Scene};
use super::traces::{any_starter, beside_card, nearness, on_sheet};

/// A knife on a sheet of A4, in perspective, noise and shadow.
fn scene() -> Scene {
    let mut dice = Dice(3);
    let knife = any_starter(&mut dice, 270.0);
    on_sheet(&mut dice, &knife)
}

#[test]
fn a_picture_on_a_sheet_becomes_a_design_with_the_picture_under_it() {
    let folder = folder();
    let scene = scene();
    let picture = written(folder.path(), "pruner_photo.png", &png(&scene.rendered()));
    let out = folder.path().join("set.tangwright");
    let corners = typed_corners(&scene);
    let ran = run(&arguments![
        "trace",
        picture,
        "--sheet",
        "a4",
        "--corners",
        corners,
        "--out",
        out,
        "--json"
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(answer["name"], "pruner photo");
    assert!(number(&answer, "/pieces") <= 40.0);
    let (set, _) = open_design(&out).expect("a design");
    let knife = &set.knives[0];
    let laid = knife
        .picture
        .as_ref()
        .expect("the picture is laid under it");
    assert_eq!(laid.file, picture.display().to_string());
    // Below the design it is named from there.
    let text = fs::read_to_string(&out).expect("text");
    assert!(text.contains("\"file\": \"pruner_photo.png\""), "{text}");
    // The truth, moved to where the squared picture lies: knife and picture fit each other, and the size is right.
    let truth = scene.outline.moved(&carried(&scene, laid));
    let near = nearness(&truth, &knife.contour());
    assert!(near.at_95 <= 0.3 && near.farthest <= 1.0, "{near:?}");
    let ran = run(&arguments!["weigh", out]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    assert!(ran.out.contains("pruner photo"), "{}", ran.out);
    // Nothing but the design was written.
    let names = names_in(folder.path());
    assert_eq!(names, ["pruner_photo.png", "set.tangwright"]);
}

/// A knife on a sheet of letter paper, 11 by 8 1/2 inches (ANSI/ASME Y14.1).
fn on_letter() -> Scene {
    let mut dice = Dice(5);
    let knife = any_starter(&mut dice, 250.0);
    let half = Point::new(25.4 * 11.0 / 2.0, 25.4 * 8.5 / 2.0);
    Scene {
        paper: (Point::new(-half.x, -half.y), half),
        ..on_sheet(&mut dice, &knife)
    }
}

/// The outline a traced picture gave, and the one it was rendered from, laid alike.
fn both(scene: &Scene, picture: &[u8], name: &str, sheet: &[&str]) -> (Contour, Contour, Knife) {
    let folder = folder();
    let picture = written(folder.path(), name, picture);
    let out = folder.path().join("set.tangwright");
    let corners = typed_corners(scene);
    let mut all = arguments![
        "trace",
        picture,
        "--corners",
        corners,
        "--out",
        out,
        "--sheet"
    ];
    all.extend(sheet.iter().map(std::ffi::OsString::from));
    let ran = run(&all);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{sheet:?}");
    let (set, _) = open_design(&out).expect("a design");
    let knife = Knife::clone(&set.knives[0]);
    let laid = knife.picture.as_ref().expect("it lies under the knife");
    let truth = scene.outline.moved(&carried(scene, laid));
    (truth, knife.contour(), knife)
}

/// Four corners of each sheet that is known by name make its size true: butt, back and edge stand within 0.3 mm of where they were seen, and so do
/// nineteen parts of twenty of the outline.
#[test]
fn each_known_sheet_squares_its_picture_to_size() {
    let orchard = orchard_set();
    let chopper = orchard.knives.first().expect("there is one");
    let cases: [(&[&str], Scene); 3] = [
        (&["a4"], scene()),
        (&["letter"], on_letter()),
        (&["card", "--beside"], beside_card(&mut Dice(100), chopper)),
    ];
    for (sheet, scene) in cases {
        let (truth, found, _) = both(&scene, &png(&scene.rendered()), "knife.png", sheet);
        let (wanted, own) = (truth.bounds(), found.bounds());
        let mut off = [
            own.x0 - wanted.x0,
            own.x1 - wanted.x1,
            own.y0 - wanted.y0,
            own.y1 - wanted.y1,
        ];
        off.sort_by(|a, b| a.abs().total_cmp(&b.abs()));
        // The farthest of the four sides is the tip, which the blur of the lens makes blunt.
        assert!(
            off[..3].iter().all(|mm| mm.abs() <= 0.3) && off[3].abs() <= 1.0,
            "{sheet:?}: {off:?} of {wanted:?}"
        );
        let near = nearness(&truth, &found);
        assert!(near.at_95 <= 0.3, "{sheet:?}: {near:?}");
    }
}

/// A picture as a telephone keeps it.
fn jpeg(pixels: &Pixels, quality: u8) -> Vec<u8> {
    let side = |n: usize| u32::try_from(n).expect("a picture's side");
    let raw = pixels.rgb().iter().flatten().copied().collect();
    let picture = RgbImage::from_raw(side(pixels.width()), side(pixels.height()), raw);
    let mut bytes = Vec::new();
    DynamicImage::from(picture.expect("it is filled"))
        .write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, quality))
        .expect("it is kept");
    bytes
}

#[test]
fn a_jpeg_is_traced_as_near_as_a_png() {
    let scene = scene();
    let pixels = scene.rendered();
    let file = jpeg(&pixels, 85);
    assert!(file.starts_with(&[0xFF, 0xD8]) && file.len() < png(&pixels).len());
    let (truth, found, knife) = both(&scene, &file, "knife.jpg", &["a4"]);
    let near = nearness(&truth, &found);
    assert!(near.at_95 <= 0.3 && near.farthest <= 1.0, "{near:?}");
    assert!(knife.outline.nodes.len() <= 40);
}

/// A dark plate of 300 × 80 pixels on light ground.
fn plate() -> Vec<u8> {
    let dark = |i: usize| (50..350).contains(&(i % 400)) && (60..140).contains(&(i / 400));
    let rgb = (0..400 * 200).map(|i| [if dark(i) { 30 } else { 200 }; 3]);
    let pixels = tangwright::tracing::Pixels::new(400, 200, rgb.collect(), 1.0);
    png(&pixels.expect("it is filled"))
}

#[test]
fn two_places_or_the_size_of_a_pixel_make_it_true() {
    let folder = folder();
    let picture = written(folder.path(), "plate.png", &plate());
    for (i, size) in [
        vec!["--apart", "100 mm", "--places", "0,50 400,50"],
        vec!["--apart", "1in", "--places", "10,10 111.6,10"],
        vec!["--scale", "0.25"],
    ]
    .into_iter()
    .enumerate()
    {
        let out = folder.path().join(format!("{i}.tangwright"));
        let mut all = arguments!["trace", picture, "--out", out];
        all.extend(size.iter().map(std::ffi::OsString::from));
        let ran = run(&all);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{size:?}");
        assert!(ran.out.contains("75.0 × 20.0 mm"), "{}", ran.out);
        assert!(ran.out.contains("4 pieces"), "{}", ran.out);
    }
}

#[test]
fn what_is_wrong_is_told_and_nothing_is_written() {
    let folder = folder();
    let picture = written(folder.path(), "plate.png", &plate());
    let words = written(folder.path(), "words.png", b"no picture");
    let out = folder.path().join("set.tangwright");
    let tried = |picture: &std::path::Path, rest: &[&str]| {
        let mut all = arguments!["trace", picture, "--out", out];
        all.extend(rest.iter().map(std::ffi::OsString::from));
        let ran = run(&all);
        assert!(ran.out.is_empty() && !out.exists(), "{rest:?}");
        (ran.code, ran.err)
    };
    let (code, told) = tried(&words, &["--scale", "0.25"]);
    assert_eq!(code, Some(1));
    assert!(
        told.contains("words.png") && told.contains("neither PNG nor JPEG"),
        "{told}"
    );
    let (code, told) = tried(&folder.path().join("none.png"), &["--scale", "0.25"]);
    assert_eq!(code, Some(1));
    assert!(told.contains("none.png is not there"), "{told}");
    // The sheet ends within the plate.
    let sheet = ["--sheet", "a4", "--corners", "60,190 340,190 340,10 60,10"];
    let (code, told) = tried(&picture, &sheet);
    assert_eq!(code, Some(1));
    assert!(
        told.contains("leave plain ground all round the knife"),
        "{told}"
    );
    for (rest, what) in [
        (vec![], "--scale"),
        (vec!["--scale", "0"], "size of a pixel"),
        (vec!["--sheet", "a4"], "--corners"),
        (
            vec!["--sheet", "wall", "--corners", "1,90 90,90 90,1 1,1"],
            "letter",
        ),
        (
            vec!["--sheet", "a4", "--corners", "1,90 90,90 90,1"],
            "four corners",
        ),
        (
            vec!["--sheet", "a4", "--corners", "1,90 9,90 5,90 1,1"],
            "four corners",
        ),
        (vec!["--apart", "10", "--places", "5,5 5,5"], "two places"),
        (vec!["--apart", "10", "--places", "5"], "x,y"),
        (vec!["--scale", "1", "--darkness", "2"], "0 to 1"),
        (
            vec!["--scale", "1", "--sheet", "a4", "--corners", "1,1 2,2"],
            "cannot be used",
        ),
    ] {
        let (code, told) = tried(&picture, &rest);
        assert_eq!(code, Some(2), "{rest:?}: {told}");
        assert!(told.contains(what), "{rest:?}: {told}");
    }
}
