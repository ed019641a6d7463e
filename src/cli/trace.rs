//! `trace`: the outline of a knife in a picture to a design, the picture laid under it.

use serde::Serialize;

use super::complaint::{Complaint, one_line};
use super::table::{Side, aligned};
use super::trace_args::TraceArguments;
use super::{Answer, new, open};
use crate::catalog::{known_sheet, known_sheets};
use crate::files::{Over, open_picture, save_design};
use crate::geometry::Point;
use crate::knife::{Knife, KnifeSet, LaidPicture, SquaredBy, set_faults};
use crate::reading::drawing::{FIRST_THICKNESS_MM, knife_of_outline, level_motion, name_of_file};
use crate::tracing::{GroundArea, Pixels, TraceJob, Traced, trace};

/// The answer as data.
#[derive(Debug, Serialize)]
struct TraceAnswer {
    out: String,
    picture: String,
    name: String,
    pieces: usize,
    size_mm: [f64; 2],
    area_mm2: f64,
    wander_mm: f64,
    pixel_mm: f64,
    darkness: f64,
    shadow: bool,
    thickness_mm: f64,
    material: &'static str,
}

pub(super) fn run(asked: &TraceArguments) -> Result<Answer, Complaint> {
    new::free(&asked.out)?;
    let bad = |reason: &dyn std::fmt::Display| Complaint::bad_file(&asked.picture, &reason);
    let pixels = open_picture(&asked.picture).map_err(|error| bad(&error))?;
    let laid = laid(asked, &pixels)?;
    let job = TraceJob {
        pixels: &pixels,
        bench_from_picture: laid
            .bench_from_picture()
            .ok_or_else(|| bad(&"these places make the picture no true size: give others"))?,
        ground: GroundArea::of(&laid),
        darkness: asked.darkness,
    };
    let traced = trace(&job, &mut |_| true).map_err(|error| bad(&error))?;
    let knife = knife_of(&traced, &laid, &asked.picture.to_string_lossy());
    let set = KnifeSet {
        name: new::name_after(&asked.out),
        ..new::set_of(knife)
    };
    if let Some(fault) = set_faults(&set).first() {
        return Err(Complaint::bad_file(&asked.out, fault));
    }
    save_design(&asked.out, &set, Over::Anything)
        .map_err(|error| Complaint::bad_file(&asked.out, &error))?;
    told(asked, &set, &traced)
}

/// How the picture lies, made true by what was given.
fn laid(asked: &TraceArguments, pixels: &Pixels) -> Result<LaidPicture, Complaint> {
    let whole = std::path::absolute(&asked.picture).unwrap_or_else(|_| asked.picture.clone());
    let strange = "the path has signs that can't be kept: rename the file or its folder";
    let file = whole
        .to_str()
        .ok_or_else(|| Complaint::bad_file(&asked.picture, &strange))?;
    let size = LaidPicture::size_px(pixels.taken().size());
    let plain = LaidPicture::new(file.to_owned(), size, Point::ZERO, f64::from(size.0));
    if let (Some(key), Some(corners)) = (&asked.sheet, &asked.corners) {
        let known = known_sheet(key).ok_or_else(|| {
            let keys: Vec<&str> = known_sheets().map(|sheet| sheet.key).collect();
            Complaint::wrong_use(format!(
                "there is no sheet '{}'; there are {}",
                one_line(key),
                keys.join(", ")
            ))
        })?;
        let corners = <[Point; 4]>::try_from(corners.0.clone()).ok();
        let sheet = corners
            .and_then(|own| SquaredBy::of(own, known.sides_mm, asked.beside || known.beside));
        let sheet = sheet.ok_or_else(|| {
            Complaint::wrong_use("--corners makes no sheet: give its four corners, each once")
        })?;
        return Ok(plain.squared_by(sheet));
    }
    let scale = match (asked.apart, &asked.places, asked.scale) {
        (Some(mm), Some(places), _) => match places.0.as_slice() {
            [a, b] if a != b && mm > 0.0 => mm / a.distance(*b),
            _ => {
                let two =
                    "--places takes two places that lie apart, --apart a length above nothing";
                return Err(Complaint::wrong_use(two));
            }
        },
        (.., Some(scale)) => scale,
        // The arguments ask for one of the three.
        _ => 1.0,
    };
    Ok(LaidPicture { scale, ..plain })
}

/// The knife, laid level, and the picture under it.
fn knife_of(traced: &Traced, laid: &LaidPicture, file: &str) -> Knife {
    let found = traced.outline.contour();
    let level = level_motion(&found);
    let outline = found.moved(&level);
    let name = name_of_file(file);
    Knife {
        picture: Some(laid.moved(&level)),
        ..knife_of_outline(&outline, &name, FIRST_THICKNESS_MM, new::FIRST_BAR)
    }
}

fn told(asked: &TraceArguments, set: &KnifeSet, traced: &Traced) -> Result<Answer, Complaint> {
    let Some(knife) = set.knives.first() else {
        return Ok(Answer::default());
    };
    let contour = knife.contour();
    let bounds = contour.bounds();
    let answer = TraceAnswer {
        out: asked.out.display().to_string(),
        picture: asked.picture.display().to_string(),
        name: knife.name.clone(),
        pieces: contour.pieces.len(),
        size_mm: [bounds.width(), bounds.height()],
        area_mm2: contour.moments().area,
        wander_mm: traced.wander_mm,
        pixel_mm: traced.pixel_mm,
        darkness: traced.darkness,
        shadow: traced.shadow,
        thickness_mm: FIRST_THICKNESS_MM,
        material: new::FIRST_BAR,
    };
    let text = if asked.json {
        open::json(&answer)?
    } else {
        in_words(&answer)
    };
    Ok(Answer {
        text,
        ..Answer::default()
    })
}

fn in_words(answer: &TraceAnswer) -> String {
    let [length, height] = answer.size_mm;
    let shadow = if answer.shadow {
        "told from the knife and left out"
    } else {
        "none"
    };
    let rows = [
        ("size", format!("{length:.1} × {height:.1} mm")),
        ("outline", format!("{} pieces", answer.pieces)),
        (
            "off the edge",
            format!(
                "{:.2} mm on average; a pixel is {:.2} mm",
                answer.wander_mm, answer.pixel_mm
            ),
        ),
        ("shadow", shadow.to_owned()),
        ("darkness", format!("{:.2}", answer.darkness)),
    ];
    let rows = rows.map(|(head, words)| vec![head.to_owned(), words]);
    format!(
        "{}: traced from {}\n{}The bar is taken as {:.2} mm, nothing ground: set it in the window.\n{}\n",
        one_line(&answer.name),
        one_line(&answer.picture),
        aligned(&rows, &[Side::Left, Side::Left], "  "),
        answer.thickness_mm,
        one_line(&answer.out)
    )
}
