//! What a cutting file leaves for the bench: steel on the outline for the grinder, holes undersize for the reamer, marks where a hole is too small to
//! be cut.

use smallvec::{SmallVec, smallvec};

use super::error::{Reason, Refused};
use super::model::{Entity, Role, Shape, Sheet};
use super::parts::cutting_sheet;
use super::tabs::{self, Tabs};
use crate::catalog::{Limit, Service};
use crate::geometry::{Point, moved_inward, moved_outward};
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
    /// Width of the cut, mm: the round ends of two cuts beside a tab take half of it each.
    pub kerf_mm: f64,
    /// Whether the file allows for the kerf: the outline goes out by half of it, openings go in. If not, the service does, as they usually want to.
    pub draws_kerf: bool,
    /// Tabs that hold the part in the sheet; none by default.
    pub tabs: Tabs,
    /// Round holes below this are marked and not cut: the smallest the way of cutting makes, by the stock's thickness.
    pub smallest_hole: Option<Limit>,
}

impl LeftForBench {
    /// What the rules of a service say.
    #[must_use]
    pub fn of(service: &Service) -> Self {
        Self {
            allowance_mm: service.left_on_mm,
            holes_under_mm: service.holes_under_mm,
            kerf_mm: service.kerf_mm,
            draws_kerf: service.draws_kerf,
            tabs: Tabs {
                count: service.tabs,
                width_mm: service.tab_mm,
            },
            smallest_hole: service.marks_below(),
        }
    }

    /// The same without tabs: where parts are laid side by side each is whole.
    #[must_use]
    pub fn whole(self) -> Self {
        Self {
            tabs: Tabs::default(),
            ..self
        }
    }

    /// The kerf the file allows for, mm.
    pub(super) fn drawn_kerf_mm(&self) -> f64 {
        if self.draws_kerf { self.kerf_mm } else { 0.0 }
    }

    /// How far the outline is moved out, mm.
    pub(super) fn outward_mm(&self) -> f64 {
        self.allowance_mm + self.drawn_kerf_mm() / 2.0
    }

    /// What is cut where a cutting sheet has an entity. Marked holes are those below `smallest_mm`.
    fn cut(
        &self,
        entity: Entity,
        is_outline: bool,
        smallest_mm: f64,
    ) -> Result<SmallVec<[Entity; 2]>, Reason> {
        let kerf = self.drawn_kerf_mm();
        let moved = |contour| Entity::new(Role::Cut, Shape::Contour(contour));
        let own = match (&entity.shape, entity.role) {
            (Shape::Contour(outline), Role::Cut) if is_outline && self.outward_mm() != 0.0 => {
                let outward = moved_outward(outline, self.outward_mm());
                moved(outward.map_err(|fault| Reason::Allowance { fault })?)
            }
            (Shape::Contour(opening), Role::Cut) if !is_outline && kerf != 0.0 => {
                let inward = moved_inward(opening, kerf / 2.0);
                moved(inward.map_err(|fault| Reason::Kerf { fault })?)
            }
            (&Shape::Circle { center, radius }, Role::Drill)
                if smallest_mm > 0.0 && 2.0 * radius - self.holes_under_mm < smallest_mm =>
            {
                return Ok(cross(center).into());
            }
            (&Shape::Circle { center, radius }, Role::Drill) => {
                let radius = radius - (self.holes_under_mm + kerf) / 2.0;
                if radius <= 0.0 {
                    return Err(Reason::NotANumber {
                        what: format!("the hole at x {:.1} mm, cut undersize,", center.x),
                    });
                }
                Entity::new(Role::Drill, Shape::Circle { center, radius })
            }
            _ => entity,
        };
        Ok(smallvec![own])
    }

    /// What the note of a cutting sheet says of it.
    pub(super) fn told(&self, lengths: LengthFormat) -> String {
        let mut told = String::new();
        for (mm, what) in [
            (self.allowance_mm, "left on all round"),
            (self.holes_under_mm, "taken off every hole"),
            (self.drawn_kerf_mm(), "of kerf allowed for"),
        ] {
            if mm != 0.0 {
                told.push_str(&format!(", {} {what}", lengths.print(Length::mm(mm))));
            }
        }
        if self.tabs.count > 0 {
            let width = lengths.print(Length::mm(self.tabs.width_mm));
            told.push_str(&format!(", {} tabs of {width}", self.tabs.count));
        }
        told
    }
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

/// A cutting sheet with what is left for the bench.
pub(super) fn left_for_bench(
    sheet: Sheet,
    knife: &Knife,
    left: &LeftForBench,
    lengths: LengthFormat,
) -> Result<Sheet, Refused> {
    let smallest_mm = left
        .smallest_hole
        .map_or(0.0, |limit| limit.at(knife.stock.thickness_mm));
    let mut reasons = Vec::new();
    let mut entities = Vec::with_capacity(sheet.entities.len() + 8);
    // The outline comes first.
    for (place, entity) in sheet.entities.into_iter().enumerate() {
        match left.cut(entity, place == 0, smallest_mm) {
            Ok(own) => entities.extend(own),
            Err(reason) => reasons.push(reason),
        }
    }
    if left.tabs.count > 0
        && reasons.is_empty()
        && let Some(Shape::Contour(outline)) = entities.first().map(|e| &e.shape)
    {
        match tabs::chains(
            outline,
            Some(knife),
            left.tabs,
            left.outward_mm(),
            left.kerf_mm,
        ) {
            Ok(chains) => {
                let open = chains
                    .into_iter()
                    .map(|chain| Entity::new(Role::Cut, Shape::Open(chain)));
                entities.splice(0..1, open);
            }
            Err(reason) => reasons.push(reason),
        }
    }
    if !reasons.is_empty() {
        return Err(Refused {
            knife: knife.name.clone(),
            reasons,
        });
    }
    Ok(Sheet {
        name: sheet.name,
        note: sheet.note + &left.told(lengths),
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

    /// A round cutter of 1 mm that follows the file with its middle leaves what is drawn: the outline is 0.5 mm out, a hole's radius 0.5 mm less. Both areas
    /// by Steiner, as above.
    #[test]
    fn a_kerf_that_is_allowed_for_goes_to_the_waste_side() {
        let left = LeftForBench {
            kerf_mm: 1.0,
            draws_kerf: true,
            ..LeftForBench::default()
        };
        let (_, plain, ready) = ready(&left);
        let ready = ready.expect("it can be cut");
        assert!(
            ready.note.contains("1.0 mm of kerf allowed for"),
            "{}",
            ready.note
        );
        let mut seen = [0, 0, 0];
        for (place, (a, b)) in plain.entities.iter().zip(&ready.entities).enumerate() {
            match (&a.shape, &b.shape) {
                (Shape::Circle { radius: a, .. }, Shape::Circle { radius: b, .. }) => {
                    seen[0] += 1;
                    assert!((a - b - 0.5).abs() < 1e-12);
                }
                (Shape::Contour(a), Shape::Contour(b)) => {
                    let out = if place == 0 { 0.5 } else { -0.5 };
                    seen[if place == 0 { 1 } else { 2 }] += 1;
                    let (old, new) = (a.moments().area.abs(), b.moments().area.abs());
                    let strip = out * (a.perimeter() + b.perimeter()) / 2.0;
                    assert!((new - old - strip).abs() < 1.0, "{new} {old} {strip}");
                }
                _ => panic!("shapes stay what they are"),
            }
        }
        assert!(seen[0] > 0 && seen[1] == 1, "{seen:?}");
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
