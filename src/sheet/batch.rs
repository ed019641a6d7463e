//! Knives for one order in one cutting file: each as often as it is wanted, side by side; and how many, in the names of files of their own.

use std::collections::BTreeMap;

use super::model::{Entity, Sheet};
use super::together::{Spot, packed};
use crate::geometry::{Motion, Rect, Vec2};
use crate::knife::Id;

/// A batch is no wider than this unless a knife is, mm: a service's table takes a meter.
const WIDE_MM: f64 = 1000.0;
/// And as high as it takes, mm.
const HIGH_MM: f64 = 1e7;

/// How many of each knife; one where nothing is said.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// By knife.
    pub of: BTreeMap<Id, usize>,
}

impl Counts {
    /// How many of a knife.
    #[must_use]
    pub fn of_knife(&self, knife: Id) -> usize {
        self.of.get(&knife).copied().unwrap_or(1)
    }

    /// What stands behind the name of a knife's own cutting file: nothing while no counts are given, else the number, so that who cuts it
    /// need not ask: `-x4`.
    #[must_use]
    pub(super) fn ending(&self, knife: Id) -> String {
        if self.of.is_empty() {
            String::new()
        } else {
            format!("-x{}", self.of_knife(knife))
        }
    }
}

/// Cutting sheets of one bar, each so many times, side by side with air between; the first lies at the origin.
#[must_use]
pub(super) fn batch_sheet(name: &str, cutting: &[(&Sheet, usize)]) -> Sheet {
    let copies: Vec<(&Sheet, Rect)> = cutting
        .iter()
        .flat_map(|(sheet, count)| {
            let bounds = sheet.bounds().unwrap_or(Rect::ZERO);
            std::iter::repeat_n((*sheet, bounds), *count)
        })
        .collect();
    let sizes: Vec<(f64, f64)> = copies
        .iter()
        .map(|(_, bounds)| (bounds.width(), bounds.height()))
        .collect();
    let wide = sizes.iter().map(|(w, _)| *w).fold(WIDE_MM, f64::max);
    let spots = packed(&sizes, (wide, HIGH_MM));
    let entities = copies
        .iter()
        .zip(&spots)
        .filter_map(|(copy, spot)| spot.map(|spot| (copy, spot)))
        .flat_map(|((sheet, bounds), spot)| placed(sheet, *bounds, spot))
        .collect();
    Sheet {
        name: name.to_owned(),
        note: cutting
            .first()
            .map_or_else(String::new, |(s, _)| s.note.clone()),
        entities,
    }
}

/// No box is turned: the page is as wide as the widest.
fn placed(sheet: &Sheet, bounds: Rect, spot: Spot) -> impl Iterator<Item = Entity> {
    let motion = Motion::shift(spot.at.to_vec2() - Vec2::new(bounds.x0, bounds.y0));
    sheet.entities.iter().map(move |e| e.carried(&motion))
}

/// Sheets with their counts by the bar they are cut from, in the order they come: one file can hold only one thickness of one steel.
pub(super) fn by_bar(cutting: &[(Sheet, usize)]) -> Vec<(&str, Vec<(&Sheet, usize)>)> {
    let mut bars: Vec<(&str, Vec<(&Sheet, usize)>)> = Vec::new();
    for (sheet, count) in cutting.iter().filter(|(_, count)| *count > 0) {
        match bars.iter_mut().find(|(note, _)| *note == sheet.note) {
            Some((_, own)) => own.push((sheet, *count)),
            None => bars.push((&sheet.note, vec![(sheet, *count)])),
        }
    }
    bars
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Contour, Point};
    use crate::sheet::{Role, Shape};

    /// A plate with a hole in its middle.
    fn plate(note: &str, w: f64, h: f64) -> Sheet {
        Sheet {
            name: "plate".to_owned(),
            note: note.to_owned(),
            entities: vec![
                Entity::new(
                    Role::Cut,
                    Shape::Contour(Contour::rounded_rect(
                        Rect::new(-5.0, 2.0, w - 5.0, h + 2.0),
                        0.0,
                    )),
                ),
                Entity::new(
                    Role::Drill,
                    Shape::Circle {
                        center: Point::new(w / 2.0 - 5.0, h / 2.0 + 2.0),
                        radius: 2.0,
                    },
                ),
            ],
        }
    }

    #[test]
    fn every_copy_lies_apart_with_its_hole() {
        let (long, short) = (plate("thin", 300.0, 40.0), plate("thin", 120.0, 25.0));
        let sheet = batch_sheet("batch", &[(&long, 5), (&short, 7)]);
        let boxes: Vec<Rect> = sheet
            .of_role(Role::Cut)
            .filter_map(|e| e.shape.bounds())
            .collect();
        assert_eq!(boxes.len(), 12);
        // By hand: 5 plates of 300 × 40 and 7 of 120 × 25.
        let area: f64 = boxes.iter().map(|b| b.area()).sum();
        assert!((area - 5.0 * 12_000.0 - 7.0 * 3_000.0).abs() < 1e-6);
        let holes: Vec<Point> = sheet
            .of_role(Role::Drill)
            .filter_map(|e| e.shape.bounds())
            .map(|b| b.center())
            .collect();
        assert_eq!(holes.len(), 12);
        for (i, a) in boxes.iter().enumerate() {
            let middle = |p: &&Point| p.distance(a.center()) < 1e-9;
            assert_eq!(holes.iter().filter(middle).count(), 1);
            for b in &boxes[i + 1..] {
                assert!(
                    !a.inflate(2.4, 2.4).overlaps(b.inflate(2.4, 2.4)),
                    "{a:?} {b:?}"
                );
            }
        }
        let around = sheet.bounds().expect("plates");
        assert!(
            around.width() <= WIDE_MM && around.height() < 200.0,
            "{around:?}"
        );
        assert!(around.x0.abs() < 1e-9 && around.y0.abs() < 1e-9);
    }

    #[test]
    fn each_bar_has_its_own_file() {
        let all = [
            (plate("thin", 100.0, 20.0), 2),
            (plate("thick", 90.0, 20.0), 1),
            (plate("thin", 80.0, 20.0), 3),
            (plate("none", 80.0, 20.0), 0),
        ];
        let bars = by_bar(&all);
        let told: Vec<(&str, Vec<usize>)> = bars
            .iter()
            .map(|(note, own)| (*note, own.iter().map(|(_, n)| *n).collect()))
            .collect();
        assert_eq!(told, [("thin", vec![2, 3]), ("thick", vec![1])]);
    }

    #[test]
    fn a_count_is_told_once_counts_are_given() {
        let mut counts = Counts::default();
        assert_eq!(counts.ending(7), "");
        counts.of.insert(7, 4);
        assert_eq!(
            (counts.ending(7), counts.ending(8)),
            ("-x4".to_owned(), "-x1".to_owned())
        );
    }
}
