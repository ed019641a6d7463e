//! The spine strip: the spine of a tapered knife unrolled to its own length, as wide at each place as the steel is to be left there.
//!
//! Along a spine that curves, places along the knife and places along the spine are not the same; this strip is cut out and glued on the spine, its
//! front end at the tip, and the steel is taken down to its sides.

use super::super::error::Refused;
use super::super::model::Sheet;
use super::super::parts::{Steel, stock_note};
use super::super::template::CAUTION;
use super::band::{Band, Line, Station, View};
use super::{AIR_MM, LEAST_ROOM_MM, Layout, unit_word};
use crate::geometry::crossings_of;
use crate::knife::{Knife, KnifeSet, LandmarkKind, Run, RunPath, Tang};
use crate::units::{Length, LengthFormat};
use crate::weighing::{FaceHeights, thickness_places_mm};

/// From one named place to the next, mm along the spine; the bends of the taper are named besides.
const STEP_MM: f64 = 25.0;
/// A step nearer than this to a bend or an end is not named, mm.
const CROWDED_MM: f64 = 6.0;
/// Corners of the strip are no farther apart than this, mm along the spine: the sides are straight between.
const CORNER_MM: f64 = 1.0;
/// Places nearer than this are one, mm.
const SAME_MM: f64 = 1e-6;

/// A place on the spine.
#[derive(Clone, Copy, Debug)]
struct Way {
    /// From the tip along the spine, mm.
    from_tip_mm: f64,
    /// From the shoulder line along the knife, mm.
    x_mm: f64,
    named: bool,
}

/// The spine strip of a knife, its tip at `x = 0` and its rear end at minus the length of the spine; `None` for a knife without a taper or without a
/// spine between its landmarks. A full tang's spine goes on to the butt.
///
/// # Errors
/// The outline or that of a free cut-out has faults.
pub fn spine_strip(
    knife: &Knife,
    set: &KnifeSet,
    lengths: LengthFormat,
) -> Result<Option<Sheet>, Refused> {
    if knife.grinding.taper.is_none() {
        return Ok(None);
    }
    Steel::of(knife)?;
    let Some(spine) = spine_of(knife) else {
        return Ok(None);
    };
    let long = spine.length_mm();
    let mut page = Layout {
        lengths: lengths.caliper(),
        left: -long,
        room: long.max(LEAST_ROOM_MM),
        y: 0.0,
        out: Vec::new(),
    };
    let note = stock_note(knife, set, lengths);
    page.title(&knife.name, &[&note, CAUTION]);
    page.y -= AIR_MM;
    let heading = format!(
        "spine strip, the spine unrolled, {}: glue it on with its front end at the tip, its dashed line on the middle of the bar; at each place: from the shoulder line | thickness left, in {}",
        View::Above.words(),
        unit_word(page.lengths)
    );
    page.words(&heading);
    let stations = ways(knife, &spine)
        .into_iter()
        .rev()
        .map(|way| {
            let faces = FaceHeights::at(knife, way.x_mm);
            let numbers = [way.x_mm, faces.thickness_mm()];
            let words = numbers.map(|mm| page.lengths.print_bare(Length::mm(mm)));
            Station {
                x_mm: -way.from_tip_mm,
                faces,
                words: if way.named {
                    words.join(" | ")
                } else {
                    String::new()
                },
            }
        })
        .collect::<Vec<_>>();
    let middle = Line {
        points: vec![Some(0.0); stations.len()],
        dashed: true,
    };
    let band = Band {
        view: View::Above,
        stations,
        lines: vec![middle],
    };
    page.y = band.draw(page.y, &mut page.out);
    Ok(Some(Sheet {
        name: format!("{}: spine strip", knife.name),
        note,
        entities: page.out,
    }))
}

/// The spine from the tip back to the upper shoulder, or to the butt of a full tang.
fn spine_of(knife: &Knife) -> Option<RunPath> {
    let back_to = |to| {
        knife.run_path(Run {
            from: LandmarkKind::Tip,
            to,
        })
    };
    let whole = matches!(knife.tang, Tang::Full(_))
        .then(|| back_to(LandmarkKind::Butt))
        .flatten();
    whole.or_else(|| back_to(LandmarkKind::UpperShoulder))
}

/// Places along the spine from the tip back: corners close to one another, the bends of the taper and even steps named.
fn ways(knife: &Knife, spine: &RunPath) -> Vec<Way> {
    let (from, to) = spine.reach_mm();
    let bends = thickness_places_mm(knife, from, to);
    let long = spine.length_mm();
    let mut all = Vec::new();
    let mut add = |place: Option<crate::knife::RunPlace>, named: bool| {
        all.extend(place.map(|place| Way {
            from_tip_mm: place.at * long,
            x_mm: place.point.x,
            named,
        }));
    };
    add(spine.start(), true);
    add(spine.end(), true);
    for (i, piece) in spine.pieces().iter().enumerate() {
        for x in &bends {
            let mut places = Vec::new();
            crossings_of(|t| piece.eval(t).x - x, &mut places);
            for t in places {
                add(spine.place(i, t), true);
            }
        }
        let corners = corners_on(piece.length());
        for k in 1..=corners {
            add(spine.place(i, f64::from(k) / f64::from(corners)), false);
        }
    }
    all.sort_by(|a, b| {
        a.from_tip_mm
            .total_cmp(&b.from_tip_mm)
            .then(b.named.cmp(&a.named))
    });
    all.dedup_by(|b, a| b.from_tip_mm - a.from_tip_mm < SAME_MM);
    let told: Vec<f64> = all
        .iter()
        .filter(|way| way.named)
        .map(|way| way.from_tip_mm)
        .collect();
    let mut step = STEP_MM;
    while step < long {
        let crowded = told.iter().any(|own| (own - step).abs() < CROWDED_MM);
        if !crowded && let Some(place) = spine.at_share(step / long) {
            all.push(Way {
                from_tip_mm: step,
                x_mm: place.point.x,
                named: true,
            });
        }
        step += STEP_MM;
    }
    all.sort_by(|a, b| a.from_tip_mm.total_cmp(&b.from_tip_mm));
    all
}

/// Into how many parts a piece of a spine is cut.
fn corners_on(length_mm: f64) -> u32 {
    // More than a knife has, so that a wild outline takes no time.
    const MOST: u32 = 4000;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a cast of a float saturates, and lengths are not negative"
    )]
    let parts = (length_mm / CORNER_MM).ceil() as u32;
    parts.clamp(1, MOST)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Contour, Point, Vec2};
    use crate::knife::{Faces, Joint, Node, Taper, ThicknessStation};
    use crate::sheet::bench::{chopper, set};
    use crate::sheet::{PageOptions, Role, Shape, tiles};

    fn tapered(mut knife: Knife, stations: &[(f64, f64)], faces: Faces) -> Knife {
        knife.grinding.taper = Some(Taper {
            stations: stations
                .iter()
                .map(|&(x_mm, thickness_mm)| ThicknessStation { x_mm, thickness_mm })
                .collect(),
            faces,
        });
        knife
    }

    fn strip_of(knife: &Knife) -> Sheet {
        let set = set(vec![knife.clone()]);
        spine_strip(knife, &set, LengthFormat::default())
            .expect("sound")
            .expect("tapered")
    }

    fn outline(sheet: &Sheet) -> &Contour {
        let found = sheet.of_role(Role::Cut).find_map(|e| match &e.shape {
            Shape::Contour(contour) => Some(contour),
            _ => None,
        });
        found.expect("a strip")
    }

    /// Whatever the curve: the strip is as long as `kurbo` measures the spine, and its area is the thickness summed along it.
    #[test]
    fn a_strip_is_as_long_as_its_spine_and_as_wide_as_the_steel() {
        use kurbo::ParamCurveArclen as _;
        let knife = tapered(chopper(), &[(0.0, 4.0), (226.0, 1.5)], Faces::Both);
        let sheet = strip_of(&knife);
        let bounds = outline(&sheet).bounds();
        let spine = spine_of(&knife).expect("a spine");
        let mut long = 0.0;
        let mut area = 0.0;
        for piece in spine.pieces() {
            let n = 4000;
            long += match piece {
                crate::geometry::Piece::Cubic(cubic) => cubic.arclen(1e-9),
                crate::geometry::Piece::Line(line) => line.arclen(1e-9),
                crate::geometry::Piece::Arc(arc) => arc.radius * arc.sweep.abs(),
            };
            for k in 0..n {
                let [a, b] = [k, k + 1].map(|k| piece.eval(f64::from(k) / f64::from(n)));
                // The taper of the test: 4 mm up to the shoulder line, then evenly to 1.5 mm at 226 mm.
                let x = f64::midpoint(a.x, b.x).clamp(0.0, 226.0);
                area += a.distance(b) * (4.0 - 2.5 * x / 226.0);
            }
        }
        assert!((bounds.width() - long).abs() < 1e-6, "{bounds:?} {long}");
        assert!(bounds.x1.abs() < 1e-9 && (bounds.height() - 4.0).abs() < 1e-9);
        let own = outline(&sheet).moments().area;
        assert!((own / area - 1.0).abs() < 1e-5, "{own} {area}");
        assert!(long > 366.0 + 5.0, "the spine is longer than the knife");
    }

    /// By hand: a level spine of 100 mm from the tip at (100, 10), 4 mm thick at the shoulder and 2 mm at the tip.
    #[test]
    fn places_are_told_from_the_shoulder_with_what_is_left() {
        let node = |id, x: f64, y: f64| Node {
            id,
            at: Point::new(x, y),
            handle_in: None::<Vec2>,
            handle_out: None,
            joint: Joint::Corner,
        };
        let mut knife = chopper();
        knife.cut_outs.clear();
        knife.rows.clear();
        knife.outline.nodes = vec![
            node(1, 0.0, -10.0),
            node(2, 80.0, -10.0),
            node(3, 100.0, 10.0),
            node(4, 0.0, 10.0),
            node(5, -50.0, 10.0),
            node(6, -50.0, -10.0),
        ];
        for (kind, at) in [
            (LandmarkKind::Tip, (100.0, 10.0)),
            (LandmarkKind::UpperShoulder, (0.0, 10.0)),
            (LandmarkKind::Butt, (-50.0, 10.0)),
        ] {
            let spot = knife.outline.nearest_spot(Point::from(at)).expect("there");
            knife.set_landmark(kind, spot);
        }
        let knife = tapered(knife, &[(0.0, 4.0), (100.0, 2.0)], Faces::Both);
        let sheet = strip_of(&knife);
        let words: Vec<&str> = sheet
            .entities
            .iter()
            .filter_map(|e| match &e.shape {
                Shape::Text(text) if text.text.contains(" | ") && text.text.len() < 20 => {
                    Some(text.text.as_str())
                }
                _ => None,
            })
            .collect();
        let wanted = [
            "\u{2212}50.00 | 4.00",
            "\u{2212}25.00 | 4.00",
            "0.00 | 4.00",
            "25.00 | 3.50",
            "50.00 | 3.00",
            "75.00 | 2.50",
            "100.00 | 2.00",
        ];
        assert_eq!(words, wanted);
        assert_eq!(
            tiles(&sheet, &PageOptions::default()).map(|pages| pages.len()),
            Ok(1)
        );
        // Ground from the right face alone, the strip lies on the left face's side of the middle.
        let one_sided = tapered(knife, &[(0.0, 4.0), (100.0, 2.0)], Faces::Right);
        let sheet = strip_of(&one_sided);
        let corners = outline(&sheet).flattened(1.0);
        let front: Vec<f64> = corners
            .iter()
            .filter(|p| p.x.abs() < 1e-9)
            .map(|p| p.y)
            .collect();
        let top = outline(&sheet).bounds().y1;
        assert!(
            front.iter().any(|y| (y - top).abs() < 1e-9),
            "the left face stays: seen from above it is up"
        );
        assert!(front.iter().any(|y| (top - y - 2.0).abs() < 1e-9));
    }

    #[test]
    fn what_has_no_spine_strip() {
        let knife = chopper();
        let of =
            |knife: &Knife| spine_strip(knife, &set(vec![knife.clone()]), LengthFormat::default());
        assert_eq!(of(&knife), Ok(None));
        let mut lost = tapered(knife, &[(0.0, 4.0), (226.0, 1.5)], Faces::Both);
        lost.landmarks.retain(|l| l.kind != LandmarkKind::Tip);
        assert_eq!(of(&lost), Ok(None));
        let mut broken = tapered(chopper(), &[(0.0, 4.0), (226.0, 1.5)], Faces::Both);
        broken.outline.nodes.swap(1, 3);
        assert!(of(&broken).is_err());
    }
}
