//! Finding room for words on a sheet: each goes to the first of its places where it covers nothing.

use std::collections::BTreeMap;

use super::font;
use super::model::{Anchor, Entity, text_corners};
use crate::geometry::{Point, Rect, SpanIndex};

/// Free space kept around words, mm.
const AIR_MM: f64 = 0.6;

/// Steps along each side of a box at which it is asked whether it lies in the steel. A box of words is a few millimeters high, so this
/// looks at every millimeter or two.
const STEPS: u32 = 12;

/// Where words may stand with respect to the steel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ground {
    /// Wholly on the steel.
    Inside,
    /// Wholly off it.
    Outside,
}

/// Width of the strips that taken boxes are filed by, mm: about the length of a word, so that few strips are looked at.
const STRIP_MM: f64 = 8.0;

/// Keeps what is taken.
pub(super) struct Placer<'a> {
    steel: &'a SpanIndex,
    /// Taken boxes by the upright strips they reach into.
    taken: BTreeMap<i64, Vec<Rect>>,
}

/// Numbers of the strips a box reaches into.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a cast of a float saturates, and drawings are meters, not light-years"
)]
fn strips(bounds: Rect) -> std::ops::RangeInclusive<i64> {
    (bounds.x0 / STRIP_MM).floor() as i64..=(bounds.x1 / STRIP_MM).floor() as i64
}

impl<'a> Placer<'a> {
    pub(super) fn new(steel: &'a SpanIndex) -> Self {
        Self {
            steel,
            taken: BTreeMap::new(),
        }
    }

    /// Marks a box as taken.
    pub(super) fn take(&mut self, bounds: Rect) {
        for strip in strips(bounds) {
            self.taken.entry(strip).or_default().push(bounds);
        }
    }

    /// The words at the first of the places where they stand on the asked ground and cover nothing taken; that room is
    /// taken then. `None` when there is no such place.
    pub(super) fn place(
        &mut self,
        words: &str,
        height_mm: f64,
        ground: Ground,
        places: &[(Point, Anchor)],
    ) -> Option<Entity> {
        let width = font::width_mm(words, height_mm);
        places.iter().find_map(|(at, anchor)| {
            let [low, _, high, _] = text_corners(*at, width, height_mm, *anchor, 0.0);
            let bounds = Rect::from_points(low, high).inflate(AIR_MM, AIR_MM);
            (self.is_free(bounds) && self.stands_on(bounds, ground)).then(|| {
                self.take(bounds);
                Entity::label(*at, height_mm, words, *anchor)
            })
        })
    }

    fn is_free(&self, bounds: Rect) -> bool {
        let apart = |other: &Rect| {
            other.x1 <= bounds.x0
                || bounds.x1 <= other.x0
                || other.y1 <= bounds.y0
                || bounds.y1 <= other.y0
        };
        self.taken
            .range(strips(bounds))
            .flat_map(|(_, boxes)| boxes)
            .all(apart)
    }

    fn stands_on(&self, bounds: Rect, ground: Ground) -> bool {
        let wanted = ground == Ground::Inside;
        (0..=STEPS).all(|i| {
            let f = f64::from(i) / f64::from(STEPS);
            let x = bounds.x0 + f * bounds.width();
            let y = bounds.y0 + f * bounds.height();
            [
                Point::new(x, bounds.y0),
                Point::new(x, bounds.y1),
                Point::new(bounds.x0, y),
                Point::new(bounds.x1, y),
            ]
            .into_iter()
            .all(|p| self.steel.contains(p) == wanted)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::model::Shape;
    use super::*;
    use crate::geometry::Contour;

    #[test]
    fn words_keep_off_each_other_and_on_their_ground() {
        let steel = Contour::rounded_rect(Rect::new(0.0, 0.0, 60.0, 20.0), 0.0).index();
        let mut placer = Placer::new(&steel);
        let places = [
            (Point::new(10.0, 8.0), Anchor::Start),
            (Point::new(30.0, 30.0), Anchor::Start),
            (Point::new(30.0, 8.0), Anchor::Start),
        ];
        let mut at = |ground| {
            placer
                .place("heel", 3.0, ground, &places)
                .map(|label| match label.shape {
                    Shape::Text(text) => text.at,
                    other => panic!("words expected, got {other:?}"),
                })
        };
        assert_eq!(at(Ground::Inside), Some(places[0].0));
        assert_eq!(at(Ground::Inside), Some(places[2].0));
        assert_eq!(at(Ground::Inside), None);
        assert_eq!(at(Ground::Outside), Some(places[1].0));
        assert_eq!(at(Ground::Outside), None);
    }

    #[test]
    fn words_over_the_edge_stand_nowhere() {
        let steel = Contour::rounded_rect(Rect::new(0.0, 0.0, 60.0, 20.0), 0.0).index();
        let mut placer = Placer::new(&steel);
        let over = [(Point::new(58.0, 8.0), Anchor::Start)];
        assert_eq!(placer.place("heel", 3.0, Ground::Inside, &over), None);
        assert_eq!(placer.place("heel", 3.0, Ground::Outside, &over), None);
    }
}
