//! A name engraved on the tang: its words, how high, and where it finds room.

use super::letters::strokes;
use super::{Knife, LandmarkKind};
use crate::geometry::{Contour, Point, SpanIndex, Vec2, contour_gap};

/// Most signs of a name.
pub const LONGEST_NAME: usize = 40;
/// Least and most height of the letters, mm: below it a cutter only burns a spot, above it no tang is high enough.
pub const LETTER_MM: (f64, f64) = (1.0, 30.0);
/// Height of letters until the maker says otherwise, mm.
pub const USUAL_LETTER_MM: f64 = 4.0;
/// Steel kept clear round the name, to the outline and to any opening, mm.
const CLEAR_MM: f64 = 1.0;
/// Steps of the search for room, mm.
const STEP_MM: f64 = 1.0;
/// Most steps along the tang, and to either side of its middle.
const MOST_STEPS: u32 = 400;
const MOST_ASIDE: i32 = 6;

/// A name to be engraved.
#[derive(Clone, Debug, PartialEq)]
pub struct Engraving {
    /// The words; small letters are cut as capitals.
    pub words: String,
    /// Height of the letters, mm.
    pub height_mm: f64,
    /// The middle of the name; none to find room on the tang.
    pub at: Option<Point>,
}

/// A name where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Engraved {
    /// The strokes, each a chain of corners.
    pub strokes: Vec<Vec<Point>>,
    /// The middle of the name.
    pub middle: Point,
}

/// Why a name can't be engraved.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EngravingError {
    /// A sign that is not in the list of letters.
    #[error("'{sign}' can't be engraved: write A to Z, 0 to 9, blanks and - + / . , : ' &")]
    Sign {
        /// The sign.
        sign: char,
    },
    /// The tang, or the chosen place, has no room.
    #[error(
        "the name '{words}' is {width_mm:.1} mm long and finds no room {where_}: make its letters smaller, or choose a place"
    )]
    NoRoom {
        /// The words.
        words: String,
        /// How long they are, mm.
        width_mm: f64,
        /// Where it was looked.
        where_: &'static str,
    },
}

/// Where a name that finds no room by itself is offered first, mm: on the tang, behind the shoulder line.
const FIRST_PLACE: Point = Point::new(-30.0, 0.0);

impl Engraving {
    /// Where it is held to be moved: where it stands, where it is wanted though there is no room, or a place to begin from.
    #[must_use]
    pub fn held_at(&self, knife: &Knife) -> Point {
        if let Some(at) = self.at {
            return at;
        }
        let contour = knife.contour();
        let found = self.on(knife, &contour, &contour.index());
        found.map_or(FIRST_PLACE, |engraved| engraved.middle)
    }

    /// How long and high it is, mm; `None` where a sign has no letter.
    #[must_use]
    pub fn size_mm(&self) -> Option<Vec2> {
        let (_, width) = strokes(&self.words).ok()?;
        Some(Vec2::new(width, 1.0) * self.height_mm)
    }

    /// The name where it stands on a knife of this outline.
    ///
    /// # Errors
    /// A sign has no letter, or the name finds no room.
    pub fn on(
        &self,
        knife: &Knife,
        contour: &Contour,
        steel: &SpanIndex,
    ) -> Result<Engraved, EngravingError> {
        let (chains, width) = strokes(&self.words).map_err(|sign| EngravingError::Sign { sign })?;
        let size = Vec2::new(width, 1.0) * self.height_mm;
        let room = Room {
            openings: knife
                .all_cut_outs(steel)
                .iter()
                .map(|(_, cut)| cut.shape.contour())
                .collect(),
            contour,
            steel,
        };
        let found = match self.at {
            Some(at) => room.holds(at, size).then_some(at),
            None => room.on_tang(knife, size),
        };
        let middle = found.ok_or_else(|| EngravingError::NoRoom {
            words: self.words.clone(),
            width_mm: size.x,
            where_: if self.at.is_some() {
                "there"
            } else {
                "on the tang"
            },
        })?;
        let corner = middle - size / 2.0;
        let strokes = chains
            .into_iter()
            .map(|chain| {
                let own = chain.into_iter();
                own.map(|p| corner + p.to_vec2() * self.height_mm).collect()
            })
            .collect();
        Ok(Engraved { strokes, middle })
    }
}

/// The steel a name can stand on.
struct Room<'a> {
    contour: &'a Contour,
    steel: &'a SpanIndex,
    openings: Vec<Contour>,
}

impl Room<'_> {
    /// Whether a box about a middle lies within the steel, clear of its edges.
    fn holds(&self, middle: Point, size: Vec2) -> bool {
        let half = size / 2.0;
        let corner = |x: f64, y: f64| middle + Vec2::new(x * half.x, y * half.y);
        let corners = [
            corner(-1.0, -1.0),
            corner(1.0, -1.0),
            corner(1.0, 1.0),
            corner(-1.0, 1.0),
        ];
        if !(middle.is_finite() && corners.iter().all(|c| self.steel.contains(*c))) {
            return false;
        }
        let name = Contour::polygon(&corners);
        let clear =
            |other: &Contour| contour_gap(&name, other).is_some_and(|(gap, ..)| gap >= CLEAR_MM);
        let beside = |opening: &Contour| {
            let (own, other) = (name.bounds(), opening.bounds());
            // One within the other has a gap too.
            !own.contains(other.center()) && !other.contains(own.center()) && clear(opening)
        };
        clear(self.contour) && self.openings.iter().all(beside)
    }

    /// The first place with room from the shoulder line rearward, nearest to the middle of the tang.
    fn on_tang(&self, knife: &Knife, size: Vec2) -> Option<Point> {
        let butt = knife.landmark_point(LandmarkKind::Butt);
        let rear = butt.map_or(self.steel.bounds().x0, |p| p.x);
        for step in 0..MOST_STEPS {
            let x = -size.x / 2.0 - CLEAR_MM - f64::from(step) * STEP_MM;
            if x - size.x / 2.0 < rear {
                break;
            }
            let Some((low, high)) = self.steel.depth_at(x) else {
                continue;
            };
            let middle = f64::midpoint(low, high);
            for aside in 0..=MOST_ASIDE {
                for side in [1.0, -1.0] {
                    let y = middle + side * f64::from(aside) * STEP_MM;
                    if self.holds(Point::new(x, y), size) {
                        return Some(Point::new(x, y));
                    }
                }
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::{CutOut, CutShape, Filling, Purpose, default_sizes, make_starter};

    fn hunter() -> Knife {
        make_starter("hunter", &default_sizes("hunter").unwrap(), "steel").unwrap()
    }

    fn on(name: &Engraving, knife: &Knife) -> Result<Engraved, EngravingError> {
        let contour = knife.contour();
        name.on(knife, &contour, &contour.index())
    }

    fn name(height_mm: f64) -> Engraving {
        Engraving {
            words: "ORCHARD 7".to_owned(),
            height_mm,
            at: None,
        }
    }

    /// Every corner of every stroke is in the steel, a millimeter clear of the outline and the openings, by the distances of the geometry room.
    #[test]
    fn a_name_stands_clear_on_the_tang() {
        let mut knife = hunter();
        let first = on(&name(3.0), &knife).unwrap().middle;
        let id = knife.take_id();
        knife.cut_outs.push(CutOut {
            id,
            shape: CutShape::Round {
                center: first,
                diameter_mm: 6.0,
            },
            purpose: Purpose::Pin,
            filling: Filling::Nothing,
        });
        let Engraved { strokes, middle } = on(&name(3.0), &knife).unwrap();
        assert!(middle.distance(first) > 3.0, "it makes room for the hole");
        let (steel, outline) = (knife.contour().index(), knife.contour());
        for p in strokes.iter().flatten() {
            assert!(p.x < 0.0 && steel.contains(*p));
            assert!(outline.nearest(*p).unwrap().distance >= CLEAR_MM - 1e-9);
            assert!(p.distance(first) >= 3.0 + CLEAR_MM - 1e-9);
        }
    }

    #[test]
    fn a_name_is_held_where_it_stands_or_where_it_is_wanted() {
        let knife = hunter();
        let small = name(3.0);
        assert_eq!(small.held_at(&knife), on(&small, &knife).unwrap().middle);
        // Without room there is a place to begin from, and a wanted one stays wanted.
        assert_eq!(name(25.0).held_at(&knife), FIRST_PLACE);
        let away = Point::new(0.0, 500.0);
        let wanted = Engraving {
            at: Some(away),
            ..small
        };
        assert_eq!(wanted.held_at(&knife), away);
        // As long as the box that is kept clear; nothing with a sign that has no letter.
        let size = wanted.size_mm().unwrap();
        assert!(size.y == 3.0 && size.x > 9.0, "{size:?}");
        let odd = Engraving {
            words: "é".to_owned(),
            ..wanted
        };
        assert_eq!(odd.size_mm(), None);
    }

    #[test]
    fn what_finds_no_room_is_refused() {
        let knife = hunter();
        assert!(matches!(
            on(&name(25.0), &knife),
            Err(EngravingError::NoRoom {
                where_: "on the tang",
                ..
            })
        ));
        let away = Engraving {
            at: Some(Point::new(0.0, 500.0)),
            ..name(3.0)
        };
        assert!(matches!(
            on(&away, &knife),
            Err(EngravingError::NoRoom {
                where_: "there",
                ..
            })
        ));
        let odd = Engraving {
            words: "é€".to_owned(),
            ..name(3.0)
        };
        assert_eq!(
            on(&odd, &knife).unwrap_err(),
            EngravingError::Sign { sign: 'é' }
        );
    }
}
