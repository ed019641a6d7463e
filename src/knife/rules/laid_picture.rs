//! Rules of the picture under the drawing.

use std::f64::consts::TAU;

use super::LARGEST_MM;
use super::judge::Judge;
use crate::geometry::Point;
use crate::knife::laid_picture::{LaidPicture, MOST_PICTURE_SIDE_PX, PICTURE_SCALE};

/// Corners of a sheet lie within so many widths of the picture; farther out nobody has marked one.
const MOST_WIDTHS: f64 = 10.0;

pub(super) fn judge_laid_picture(judge: &mut Judge<'_>, own: &LaidPicture) {
    judge.text("file", &own.file);
    if own.file.is_empty() {
        judge.fault("file", "the picture has no file: name one, or take it away");
    }
    let before = judge.faults.len();
    for (name, side) in [("width_px", own.width_px), ("height_px", own.height_px)] {
        if !(1..=MOST_PICTURE_SIDE_PX).contains(&side) {
            judge.fault(
                name,
                format!("{side} is not between 1 and {MOST_PICTURE_SIDE_PX} pixels"),
            );
        }
    }
    judge.point("middle", own.middle);
    judge.within("turn_rad", own.turn_rad, -TAU, TAU);
    judge.within("scale", own.scale, PICTURE_SCALE.0, PICTURE_SCALE.1);
    judge.within("strength", own.strength, 0.0, 1.0);
    if let Some(sheet) = &own.squared {
        let mut at = judge.at("squared");
        let most = MOST_WIDTHS * f64::from(own.width_px.max(own.height_px));
        let fine = |p: &Point| p.x.abs() <= most && p.y.abs() <= most;
        if !sheet.corners.iter().all(fine) {
            at.fault("corners", "a corner lies far off the picture; mark it anew");
        }
        at.size("width_mm", sheet.width_mm);
        at.size("height_mm", sheet.height_mm);
        if sheet.width_mm.max(sheet.height_mm) * own.scale > LARGEST_MM {
            at.fault(
                "width_mm",
                "the sheet is larger than any bench; give its true size",
            );
        }
        if !is_upright(sheet.corners) {
            at.fault(
                "corners",
                "go from the lower left corner to the lower right, upper right and upper left one; mark them anew",
            );
        }
    }
    if judge.faults.len() == before && own.bench_from_picture().is_none() {
        judge.fault(
            "squared",
            "the corners of the sheet make no four-sided figure; mark them anew",
        );
    }
}

/// Whether the corners are named so that the picture is not mirrored by them.
fn is_upright([a, b, c, _]: [Point; 4]) -> bool {
    (b - a).cross(c - b) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::rules::Fault;
    use crate::knife::{Place, SquaredBy};

    fn faults(own: &LaidPicture) -> Vec<String> {
        let mut faults: Vec<Fault> = Vec::new();
        let place = Place::Root;
        let mut judge = Judge {
            place,
            faults: &mut faults,
        };
        judge_laid_picture(&mut judge.at("picture"), own);
        faults.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn nonsense_is_refused_with_its_place() {
        let good = LaidPicture::new("a.jpg".into(), (400, 300), Point::ZERO, 200.0);
        assert_eq!(faults(&good), [""; 0]);
        let nan = f64::NAN;
        let with = |change: fn(&mut LaidPicture)| {
            let mut own = good.clone();
            change(&mut own);
            faults(&own).join("; ")
        };
        assert!(with(|own| own.scale = 0.0).starts_with("picture.scale: 0 is not between"));
        assert!(with(|own| own.scale = -1.0).contains("picture.scale"));
        assert!(with(|own| own.turn_rad = f64::INFINITY).contains("picture.turn_rad"));
        assert!(with(|own| own.strength = 1.5).contains("picture.strength"));
        assert!(with(|own| own.file.clear()).contains("picture.file: the picture has no file"));
        assert!(with(|own| own.width_px = 0).contains("picture.width_px"));
        let mut own = good.clone();
        own.middle.x = nan;
        assert!(faults(&own)[0].contains("picture.middle[0]"));
    }

    #[test]
    fn corners_that_make_no_sheet_are_refused() {
        let good = LaidPicture::new("a.jpg".into(), (400, 300), Point::ZERO, 200.0);
        let with = |corners: [(f64, f64); 4], width_mm: f64| {
            let squared = Some(SquaredBy {
                corners: corners.map(Point::from),
                width_mm,
                height_mm: 210.0,
                beside: false,
            });
            let own = LaidPicture {
                squared,
                scale: 1.0,
                ..good.clone()
            };
            faults(&own).join("; ")
        };
        let fine = [(50.0, 250.0), (350.0, 250.0), (330.0, 60.0), (60.0, 50.0)];
        assert_eq!(with(fine, 297.0), "");
        assert!(with(fine, f64::NAN).contains("picture.squared.width_mm"));
        assert!(with(fine, 0.0).contains("picture.squared.width_mm"));
        let mut off = fine;
        off[2].0 = f64::NAN;
        assert!(with(off, 297.0).contains("picture.squared.corners"));
        off[2].0 = 1e6;
        assert!(with(off, 297.0).contains("far off the picture"));
        // Dented, and the other way round.
        let dented = [(50.0, 250.0), (350.0, 250.0), (200.0, 240.0), (60.0, 50.0)];
        assert!(with(dented, 297.0).contains("no four-sided figure"));
        let [a, b, c, d] = fine;
        assert!(with([a, d, c, b], 297.0).contains("lower left corner"));
    }
}
