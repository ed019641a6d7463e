//! The folded template: both faces on one paper, joined by a strip as wide as the spine is thick. Folded over the spine, outline, holes and grind lines lie
//! on both faces at the same places.
//!
//! ```text
//!      left face, mirrored
//!   - - - - - - - - - - - - - -   fold
//!   -- -- -- -- -- -- -- -- --    middle of the spine
//!   - - - - - - - - - - - - - -   fold
//!      right face, as drawn
//! ```
//!
//! The fold is straight: it lies on the two places of the upper side that a steel rule laid on it would touch, or level over the highest one where the rule
//! would rock. Where the steel is thinner in front the two
//! folds close in on each other, and one face is the other mirrored in the middle line between them, so that the paper is neither stretched nor torn.

use super::error::Refused;
use super::font;
use super::model::{Anchor, Entity, Role, Shape, Sheet};
use super::template::{CAUTION, TemplateOptions, template};
use crate::geometry::{Motion, Piece, Point, Vec2, hull};
use crate::knife::{Face, Knife, KnifeSet, Tang};
use crate::thickness::LineKind;
use crate::units::{Length, LengthFormat};
use crate::weighing::{FaceHeights, Scale};

/// From one place of a grind line to the next, mm.
const STEP_MM: f64 = 1.0;
/// How far chords may leave the outline where the fold is looked for, mm: on a back of a meter's radius the place a rule touches is found within a millimeter, over
/// which no taper takes a hundredth.
const CHORD_MM: f64 = 1e-4;
/// A rule that touches at two places nearer than this share of the whole length rocks: the fold lies level then.
const STEADY: f64 = 0.25;
/// A place so little behind the shoulder line belongs to the blade, mm.
const SHOULDER_MM: f64 = 1.0;
/// How far the folds reach beyond the steel, mm.
const BEYOND_MM: f64 = 8.0;
/// Dash and gap of the folds, mm, and of the middle line between them.
const FOLD_MM: (f64, f64) = (4.0, 2.0);
const MIDDLE_MM: (f64, f64) = (8.0, 1.5);
/// Height of the name and of the words below it, and from line to line, mm.
const NAME_MM: f64 = 4.0;
const LINE_MM: f64 = 2.4;
const PITCH_MM: f64 = 4.6;
/// Room for a line of words, mm, however short the knife is.
const LEAST_ROOM_MM: f64 = 110.0;

/// Where the paper is folded: on the right face from `rear` to `front`, over a spine so thick at either.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Fold {
    rear: Point,
    front: Point,
    rear_mm: f64,
    front_mm: f64,
}

impl Fold {
    /// Over the upper side of a knife.
    fn over(knife: &Knife) -> Self {
        let corners = hull(&knife.contour().flattened(CHORD_MM));
        let bounds = knife.contour().bounds();
        let thick = |x: f64| FaceHeights::at(knife, x).thickness_mm();
        // A hidden tang is lower than the blade: a rule on both would lie aslant over the spine.
        let full = matches!(knife.tang, Tang::Full(_));
        // Counterclockwise, the upper side is gone over from the front to the rear.
        let next = corners.iter().cycle().skip(1);
        let longest = corners
            .iter()
            .zip(next)
            .filter(|(a, b)| b.x < a.x && (full || b.x >= -SHOULDER_MM))
            .max_by(|(a, b), (c, d)| a.distance(**b).total_cmp(&c.distance(**d)));
        match longest {
            Some((front, rear)) if front.distance(*rear) >= STEADY * bounds.width() => Self {
                rear: *rear,
                front: *front,
                rear_mm: thick(rear.x),
                front_mm: thick(front.x),
            },
            _ => {
                let top = corners.iter().max_by(|a, b| a.y.total_cmp(&b.y));
                let thick = thick(top.map_or(0.0, |p| p.x));
                Self {
                    rear: Point::new(bounds.x0, bounds.y1),
                    front: Point::new(bounds.x1, bounds.y1),
                    rear_mm: thick,
                    front_mm: thick,
                }
            }
        }
    }

    /// Direction of the middle line between the folds, radians, and a point on it.
    ///
    /// Each end of the right fold lies half the thickness there below it, so that over the fold's length `L` it turns away by `asin((f − r)/2L)`.
    fn middle(&self) -> (Point, f64) {
        let along = self.front - self.rear;
        let turn = ((self.front_mm - self.rear_mm) / (2.0 * along.hypot())).clamp(-1.0, 1.0);
        let angle = along.atan2() + turn.asin();
        let up = Vec2::new(-angle.sin(), angle.cos());
        (self.rear + up * (self.rear_mm / 2.0), angle)
    }

    /// What carries the right face onto the left: mirroring in the middle line.
    fn across(&self) -> Motion {
        let (on, angle) = self.middle();
        let over = Motion {
            mirrored: true,
            ..Motion::turn(2.0 * angle)
        };
        over.about(on)
    }
}

/// The folded template of a knife; the right face lies in the knife's own coordinates.
///
/// # Errors
/// The outline or that of a free cut-out has faults, or a cut-out's measures are no measures.
pub fn folded_template(
    knife: &Knife,
    set: &KnifeSet,
    lengths: LengthFormat,
) -> Result<Sheet, Refused> {
    let options = TemplateOptions {
        lengths,
        marks: true,
        words: false,
    };
    let drawn = template(knife, set, &options)?;
    let fold = Fold::over(knife);
    let across = fold.across();
    let (right, left) = ground_lines(knife, set);
    let mut entities = drawn.entities;
    let left_face: Vec<Entity> = entities
        .iter()
        .chain(&left)
        .map(|entity| entity.carried(&across))
        .collect();
    entities.extend(right);
    entities.extend(left_face);
    entities.extend(fold_lines(knife, &fold, &across));
    let mut sheet = Sheet {
        name: format!("{}: folded over the spine", knife.name),
        note: drawn.note,
        entities,
    };
    let words = words(&sheet, knife, &fold, lengths);
    sheet.entities.extend(words);
    Ok(sheet)
}

/// The grind lines of the right and of the left face, as they lie on the knife seen from the right.
fn ground_lines(knife: &Knife, set: &KnifeSet) -> (Vec<Entity>, Vec<Entity>) {
    let mut scale = Scale::default();
    // What it weighs stands on the other papers; here the lines that come with it are wanted.
    let _ = scale.weigh(knife, set);
    let Some(relief) = scale.relief() else {
        return (Vec::new(), Vec::new());
    };
    let of = |face: Face| {
        relief
            .lines
            .iter()
            .filter(|line| line.face == face && matches!(line.kind, LineKind::Grind { .. }))
            .map(|line| {
                let pieces = Piece::lines_through(&line.drawn(STEP_MM));
                Entity::new(Role::Scribe, Shape::Open(pieces))
            })
            .filter(|entity| entity.shape.bounds().is_some())
            .collect()
    };
    (of(Face::Right), of(Face::Left))
}

/// Both folds and the middle of the spine, beyond the steel at either end.
fn fold_lines(knife: &Knife, fold: &Fold, across: &Motion) -> Vec<Entity> {
    let bounds = knife.contour().bounds();
    let corners = [
        (bounds.x0, bounds.y0),
        (bounds.x0, bounds.y1),
        (bounds.x1, bounds.y0),
        (bounds.x1, bounds.y1),
    ];
    let reach = |from: Point, along: Vec2| {
        let ways = corners.map(|corner| (Point::from(corner) - from).dot(along));
        let low = ways.into_iter().fold(0.0, f64::min) - BEYOND_MM;
        let high = ways.into_iter().fold(0.0, f64::max) + BEYOND_MM;
        (from + along * low, from + along * high)
    };
    let (on, angle) = fold.middle();
    let (rear, front) = reach(fold.rear, (fold.front - fold.rear).normalize());
    let mut out = dashed(rear, front, FOLD_MM);
    out.extend(dashed(across.apply(rear), across.apply(front), FOLD_MM));
    let (rear, front) = reach(on, Vec2::from_angle(angle));
    out.extend(dashed(rear, front, MIDDLE_MM));
    out
}

fn dashed(from: Point, to: Point, (dash, gap): (f64, f64)) -> Vec<Entity> {
    let length = from.distance(to);
    let mut out = Vec::new();
    let mut way = 0.0;
    while way < length {
        let end = (way + dash).min(length);
        let [a, b] = [way, end].map(|way| from.lerp(to, way / length));
        out.push(Entity::line(Role::Frame, a, b));
        way = end + gap;
    }
    out
}

/// Name, stock and how it is folded, below the right face.
fn words(sheet: &Sheet, knife: &Knife, fold: &Fold, lengths: LengthFormat) -> Vec<Entity> {
    let Some(around) = sheet.bounds() else {
        return Vec::new();
    };
    let print = |mm: f64| lengths.caliper().print(Length::mm(mm));
    let room = around.width().max(LEAST_ROOM_MM);
    let spine = if print(fold.rear_mm) == print(fold.front_mm) {
        format!("{} thick", print(fold.rear_mm))
    } else {
        format!(
            "{} thick behind and {} in front",
            print(fold.rear_mm),
            print(fold.front_mm)
        )
    };
    let how = format!(
        "right face below, left face above, made for a spine {spine}: cut along both outlines but leave the strip between them, fold it along both short-dashed lines, lay it over the spine and glue it on either face"
    );
    let mut y = around.y0 - PITCH_MM - NAME_MM;
    let label = |y: f64, height: f64, text: String| {
        Entity::label(Point::new(around.x0, y), height, text, Anchor::Start)
    };
    let mut out = Vec::new();
    let name = font::fitted(&knife.name, NAME_MM, room);
    if !name.is_empty() {
        out.push(label(y, NAME_MM, name));
    }
    for line in [sheet.note.as_str(), &how, CAUTION] {
        for part in font::wrapped(line, LINE_MM, room) {
            y -= PITCH_MM;
            out.push(label(y, LINE_MM, part));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Contour;
    use crate::knife::{CutShape, Faces, Taper, ThicknessStation, orchard_set, starter_forms};
    use crate::sheet::bench::{chopper, set};
    use crate::sheet::{PageOptions, tiles};

    fn folded(knife: &Knife) -> Sheet {
        let set = set(vec![knife.clone()]);
        folded_template(knife, &set, LengthFormat::default()).expect("sound")
    }

    fn contours(sheet: &Sheet) -> Vec<&Contour> {
        sheet
            .of_role(Role::Cut)
            .filter_map(|e| match &e.shape {
                Shape::Contour(contour) => Some(contour),
                _ => None,
            })
            .collect()
    }

    /// A bar of 4 mm, 120 × 25, a hole 5 mm below its upper edge: by hand it lies 5 mm above the other fold on the left face.
    #[test]
    fn faces_lie_a_spine_apart() {
        let mut knife = chopper();
        knife.rows.clear();
        knife.cut_outs.truncate(1);
        let corner = |id, x: f64, y: f64| crate::knife::Node {
            id,
            at: Point::new(x, y),
            handle_in: None,
            handle_out: None,
            joint: crate::knife::Joint::Corner,
        };
        knife.outline.nodes = vec![
            corner(1, -60.0, 0.0),
            corner(2, 60.0, 0.0),
            corner(3, 60.0, 25.0),
            corner(4, -60.0, 25.0),
        ];
        knife.landmarks.clear();
        knife.cut_outs[0].shape = CutShape::Round {
            center: Point::new(-25.0, 20.0),
            diameter_mm: 6.0,
        };
        let sheet = folded(&knife);
        let found = contours(&sheet);
        let bounds: Vec<_> = found.iter().map(|c| c.bounds()).collect();
        assert_eq!(bounds.len(), 2);
        assert!((bounds[0].y1 - 25.0).abs() < 1e-9 && (bounds[1].y0 - 29.0).abs() < 1e-9);
        assert!((bounds[1].y1 - 54.0).abs() < 1e-9);
        assert!((bounds[1].x0 + 60.0).abs() < 1e-9 && (bounds[1].x1 - 60.0).abs() < 1e-9);
        let holes: Vec<Point> = sheet
            .of_role(Role::Drill)
            .filter_map(|e| match e.shape {
                Shape::Circle { center, .. } => Some(center),
                _ => None,
            })
            .collect();
        assert_eq!(holes.len(), 2);
        assert!(holes[1].distance(Point::new(-25.0, 34.0)) < 1e-9);
        let texts = sheet.entities.iter().filter_map(|e| match &e.shape {
            Shape::Text(text) => Some(text.text.as_str()),
            _ => None,
        });
        assert!(
            texts
                .collect::<Vec<_>>()
                .join(" ")
                .contains("4.00 mm thick")
        );
    }

    /// The paper between the folds is not stretched: as wide as the spine at either place it touches, and both folds equally long; mirroring keeps
    /// every distance, so that both halves are the knife.
    #[test]
    fn a_tapered_spine_is_folded_without_stretching() {
        let mut knife = chopper();
        knife.grinding.taper = Some(Taper {
            stations: [(-140.0, 2.0), (0.0, 4.0), (226.0, 1.5)]
                .map(|(x_mm, thickness_mm)| ThicknessStation { x_mm, thickness_mm })
                .to_vec(),
            faces: Faces::Both,
        });
        let fold = Fold::over(&knife);
        let across = fold.across();
        let [rear, front] = [fold.rear, fold.front].map(|p| across.apply(p));
        assert!((fold.rear.distance(rear) - fold.rear_mm).abs() < 1e-9);
        assert!((fold.front.distance(front) - fold.front_mm).abs() < 1e-9);
        assert!((rear.distance(front) - fold.rear.distance(fold.front)).abs() < 1e-9);
        assert!(fold.rear.distance(fold.front) > 90.0, "{fold:?}");
        assert!((fold.rear_mm - fold.front_mm).abs() > 0.1, "{fold:?}");
        let sheet = folded(&knife);
        let areas: Vec<f64> = contours(&sheet)
            .iter()
            .map(|c| c.moments().area.abs())
            .collect();
        let n = areas.len() / 2;
        for (right, left) in areas[..n].iter().zip(&areas[n..]) {
            assert!((right / left - 1.0).abs() < 1e-12);
        }
    }

    /// No point of either face lies on the strip between the folds, whatever the form.
    #[test]
    fn every_form_lies_below_its_fold() {
        for form in starter_forms() {
            let sizes = crate::knife::default_sizes(form.key).expect("a form");
            let knife = crate::knife::make_starter(form.key, &sizes, "steel").expect("a knife");
            let fold = Fold::over(&knife);
            let up = (fold.front - fold.rear).normalize();
            let up = Vec2::new(-up.y, up.x);
            for p in knife.contour().flattened(0.05) {
                assert!((p - fold.rear).dot(up) < 1.1e-4, "{} {p:?}", form.key);
            }
        }
    }

    #[test]
    fn grind_lines_stand_on_both_faces() {
        let orchard = orchard_set();
        let knife = orchard.knives[0].as_ref();
        let sheet = folded_template(knife, &orchard, LengthFormat::default()).expect("sound");
        let (right, left) = ground_lines(knife, &orchard);
        assert!(!right.is_empty() && right.len() == left.len());
        let across = Fold::over(knife).across();
        for line in &right {
            assert!(sheet.entities.contains(line));
        }
        for line in &left {
            assert!(sheet.entities.contains(&line.carried(&across)));
        }
        assert!(sheet.is_finite());
        assert!(tiles(&sheet, &PageOptions::default()).is_ok());
        let mut broken = knife.clone();
        broken.outline.nodes.swap(1, 3);
        assert!(folded_template(&broken, &orchard, LengthFormat::default()).is_err());
    }
}
