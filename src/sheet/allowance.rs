//! What a cutting file leaves for the bench: steel on the outline for the grinder, holes undersize for the reamer, marks where a hole is too small to
//! be cut.

use super::error::{Reason, Refused};
use super::model::{Entity, Role, Shape, Sheet};
use super::parts::cutting_sheet;
use crate::catalog::Limit;
use crate::geometry::{Point, moved_outward};
use crate::knife::{Knife, KnifeSet};
use crate::units::{Length, LengthFormat};

/// Half the width of the cross that marks a hole to drill, mm.
const CROSS_MM: f64 = 1.0;

/// What is left for the bench; nothing by default.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LeftForBench {
    /// Steel left on outside the drawn outline, mm; 0 for none, at most 50.
    pub allowance_mm: f64,
    /// How much smaller than drawn round holes are cut across, mm.
    pub holes_under_mm: f64,
    /// Round holes below this are marked and not cut: the smallest the way of cutting makes, by the stock's thickness.
    pub smallest_hole: Option<Limit>,
}

/// What a service cuts of a knife: its cutting sheet with what is left for the bench.
///
/// # Errors
/// The knife can't be cut as it stands, or what is to be left on can't be.
pub fn as_cut(
    knife: &Knife,
    set: &KnifeSet,
    left: &LeftForBench,
    lengths: LengthFormat,
) -> Result<Sheet, Refused> {
    left_for_bench(cutting_sheet(knife, set, lengths)?, knife, left, lengths)
}

/// A cutting sheet with what is left for the bench. The kerf is the service's own.
pub(super) fn left_for_bench(
    sheet: Sheet,
    knife: &Knife,
    left: &LeftForBench,
    lengths: LengthFormat,
) -> Result<Sheet, Refused> {
    if *left == LeftForBench::default() {
        return Ok(sheet);
    }
    let smallest = left
        .smallest_hole
        .map_or(0.0, |limit| limit.at(knife.stock.thickness_mm));
    let mut reasons = Vec::new();
    let mut entities = Vec::with_capacity(sheet.entities.len() + 8);
    // The outline comes first.
    for (place, entity) in sheet.entities.into_iter().enumerate() {
        match (&entity.shape, entity.role) {
            (Shape::Contour(outline), Role::Cut) if place == 0 && left.allowance_mm != 0.0 => {
                match moved_outward(outline, left.allowance_mm) {
                    Ok(moved) => entities.push(Entity::new(Role::Cut, Shape::Contour(moved))),
                    Err(fault) => reasons.push(Reason::Allowance { fault }),
                }
            }
            (&Shape::Circle { center, radius }, Role::Drill) if 2.0 * radius < smallest => {
                entities.extend(cross(center));
            }
            (&Shape::Circle { center, radius }, Role::Drill) => {
                let radius = radius - left.holes_under_mm / 2.0;
                if radius > 0.0 {
                    entities.push(Entity::new(Role::Drill, Shape::Circle { center, radius }));
                } else {
                    reasons.push(Reason::NotANumber {
                        what: format!("the hole at x {:.1} mm, cut undersize,", center.x),
                    });
                }
            }
            _ => entities.push(entity),
        }
    }
    if !reasons.is_empty() {
        return Err(Refused {
            knife: knife.name.clone(),
            reasons,
        });
    }
    let mut note = sheet.note;
    for (mm, what) in [
        (left.allowance_mm, "left on all round"),
        (left.holes_under_mm, "taken off every hole"),
    ] {
        if mm != 0.0 {
            note.push_str(&format!(", {} {what}", lengths.print(Length::mm(mm))));
        }
    }
    Ok(Sheet {
        name: sheet.name,
        note,
        entities,
    })
}

fn cross(center: Point) -> [Entity; 2] {
    let (x, y) = (center.x, center.y);
    let line =
        |a: (f64, f64), b: (f64, f64)| Entity::line(Role::Scribe, Point::from(a), Point::from(b));
    [
        line((x - CROSS_MM, y), (x + CROSS_MM, y)),
        line((x, y - CROSS_MM), (x, y + CROSS_MM)),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::cutting_process;
    use crate::knife::{CutShape, orchard_set};

    fn ready(left: &LeftForBench) -> (Knife, Sheet, Result<Sheet, Refused>) {
        let set = orchard_set();
        let knife = set.knives[0].as_ref().clone();
        let plain = cutting_sheet(&knife, &set, LengthFormat::default()).expect("sound");
        let ready = left_for_bench(plain.clone(), &knife, left, LengthFormat::default());
        (knife, plain, ready)
    }

    #[test]
    fn steel_is_left_outside_and_holes_stay() {
        let left = LeftForBench {
            allowance_mm: 0.5,
            ..LeftForBench::default()
        };
        let (_, plain, ready) = ready(&left);
        let ready = ready.expect("it can be cut");
        let area = |sheet: &Sheet| match &sheet.entities[0].shape {
            Shape::Contour(outline) => (outline.moments().area, outline.perimeter()),
            _ => panic!("the outline comes first"),
        };
        let ((old, around), (new, _)) = (area(&plain), area(&ready));
        // Steiner for any simple outline: A + P·p + π·p², less what its hollows give back; arcs are within a micrometer of the curves.
        let most = 0.5 * around + std::f64::consts::PI * 0.25 + 1e-3 * around;
        assert!(
            (most - 3.0..=most).contains(&(new - old)),
            "{} of {most}",
            new - old
        );
        assert_eq!(plain.entities[1..], ready.entities[1..]);
        assert!(
            ready.note.contains("0.5 mm left on all round"),
            "{}",
            ready.note
        );
    }

    /// Whatever form and allowance: one clean outline, by Steiner no larger than for a convex one.
    #[test]
    fn every_form_can_be_given_any_usual_allowance() {
        for form in crate::knife::starter_forms() {
            let sizes = crate::knife::default_sizes(form.key).expect("a form");
            let knife = crate::knife::make_starter(form.key, &sizes, "steel").expect("a knife");
            let outline = knife.contour();
            for by in [0.1, 0.25, 0.5, 1.0, 2.0, 5.0] {
                let moved = moved_outward(&outline, by);
                let moved = moved.unwrap_or_else(|e| panic!("{} {by}: {e}", form.key));
                let most = outline.moments().area
                    + (outline.perimeter() + std::f64::consts::PI * by) * by
                    + 1e-3 * outline.perimeter();
                assert!(moved.moments().area <= most, "{} {by}", form.key);
            }
        }
    }

    /// The chopper's bar is 5 mm: plasma wants holes of twice that (max(2·T, 6 mm)); its 6.1 to 8 mm holes are all marked.
    #[test]
    fn holes_too_small_to_cut_are_marked() {
        let left = LeftForBench {
            smallest_hole: cutting_process("plasma").and_then(|p| p.hole),
            ..LeftForBench::default()
        };
        let (knife, plain, ready) = ready(&left);
        let ready = ready.expect("it can be cut");
        let circles = |sheet: &Sheet| {
            let round = |e: &&Entity| matches!(e.shape, Shape::Circle { .. });
            sheet.entities.iter().filter(round).count()
        };
        let holes = knife
            .all_cut_outs(&knife.contour().index())
            .iter()
            .filter(|(_, cut)| matches!(cut.shape, CutShape::Round { diameter_mm, .. } if diameter_mm < 10.0))
            .count();
        assert!(holes > 0);
        assert_eq!(circles(&plain) - circles(&ready), holes);
        let marks = ready.entities.iter().filter(|e| e.role == Role::Scribe);
        assert_eq!(marks.count(), 2 * holes);
    }

    #[test]
    fn holes_are_cut_undersize_until_they_are_gone() {
        let under = |mm: f64| {
            let left = LeftForBench {
                holes_under_mm: mm,
                ..LeftForBench::default()
            };
            ready(&left)
        };
        let (_, plain, less) = under(0.3);
        let less = less.expect("it can be cut");
        for (a, b) in plain.entities.iter().zip(&less.entities) {
            if let (Shape::Circle { radius: a, .. }, Shape::Circle { radius: b, .. }) =
                (&a.shape, &b.shape)
            {
                assert!((a - b - 0.15).abs() < 1e-12);
            }
        }
        assert!(under(20.0).2.is_err());
    }
}
