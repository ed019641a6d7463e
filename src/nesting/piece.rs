//! Odd pieces of stock: as typed corner by corner, or as drawn like a knife, with the flaws that are marked on them.

use super::problem::Stock;
use crate::geometry::{Contour, Point, Vec2, hull};
use crate::knife::{Flaw, Knife};
use crate::units::{LengthUnit, read_length};

/// A hair crack is kept out of as if it were at least so wide to either side, mm.
const LEAST_REACH_MM: f64 = 0.25;
/// A flaw of more straight pieces than these is kept out of as a whole, with all that lies between its bends.
const MOST_STRETCHES: usize = 12;
/// Most corners that are typed.
pub const MOST_TYPED: usize = 500;

/// Why typed words are no corners or no flaws.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TypedError {
    /// A word that is not two or three numbers.
    #[error("'{word}' is not {wanted}: write it as {example}")]
    Word {
        /// The word.
        word: String,
        /// What was wanted there.
        wanted: &'static str,
        /// How it is written.
        example: &'static str,
    },
    /// Too few corners enclose nothing.
    #[error("{count} corners enclose nothing: give three or more, as 0,0 300,0 280,60")]
    TooFew {
        /// How many there are.
        count: usize,
    },
    /// More than anybody types.
    #[error("{count} are more than the {MOST_TYPED} that can be typed: draw the piece instead")]
    TooMany {
        /// How many there are.
        count: usize,
    },
}

impl Stock {
    /// A knife that was drawn as the piece to cut from: its outline, kept out of its marked flaws and out of what is cut out of it.
    #[must_use]
    pub fn of_knife(knife: &Knife) -> Self {
        let index = knife.contour().index();
        let holes = knife.all_cut_outs(&index);
        let holes = holes.into_iter().map(|(_, cut)| cut.shape.contour());
        Self::Odd {
            outline: knife.contour(),
            flaws: knife
                .flaws
                .iter()
                .flat_map(flaw_areas)
                .chain(holes)
                .collect(),
        }
    }
}

/// The areas a flaw keeps blanks out of: each straight piece of its line with all within its reach, or the whole of a flaw of many bends.
#[must_use]
pub fn flaw_areas(flaw: &Flaw) -> Vec<Contour> {
    let reach = flaw.reach_mm.max(LEAST_REACH_MM);
    let stretches: Vec<(Point, Point)> = flaw.segments().collect();
    if stretches.len() > MOST_STRETCHES {
        return vec![around(&flaw.line, reach)];
    }
    stretches
        .into_iter()
        .map(|(a, b)| {
            let along = b - a;
            let length = along.hypot() + 2.0 * reach;
            Contour::slot(a.midpoint(b), length, 2.0 * reach, along.atan2())
        })
        .collect()
}

/// The convex outline of everything within reach of some points; chords leave the round corners outward.
fn around(points: &[Point], reach: f64) -> Contour {
    const SIDES: u32 = 16;
    let out = reach / (std::f64::consts::PI / f64::from(SIDES)).cos();
    let corners: Vec<Point> = points
        .iter()
        .flat_map(|p| {
            (0..SIDES).map(move |k| {
                let turn = std::f64::consts::TAU * f64::from(k) / f64::from(SIDES);
                *p + Vec2::from_angle(turn) * out
            })
        })
        .collect();
    Contour::polygon(&hull(&corners))
}

/// Corners as typed, `0,0 300,0 280,60`, in order around the piece; each length may carry a unit, else it is of `unit`.
///
/// # Errors
/// A word that is no corner, too few or too many of them. Whether they enclose a sound outline is judged by the search.
pub fn typed_corners(text: &str, unit: LengthUnit) -> Result<Vec<Point>, TypedError> {
    let words = words(text)?;
    let corners: Vec<Point> = words
        .iter()
        .map(|word| match numbers(word, unit).as_deref() {
            Some([x, y]) => Ok(Point::new(*x, *y)),
            _ => Err(TypedError::Word {
                word: (*word).to_owned(),
                wanted: "a corner",
                example: "120,35",
            }),
        })
        .collect::<Result<_, _>>()?;
    if corners.len() < 3 {
        return Err(TypedError::TooFew {
            count: corners.len(),
        });
    }
    Ok(corners)
}

/// Flaws as typed, `120,30,4` each: a place and how far it reaches around it.
///
/// # Errors
/// A word that is no flaw, or too many of them.
pub fn typed_flaws(text: &str, unit: LengthUnit) -> Result<Vec<Contour>, TypedError> {
    let circle = |word: &&str| match numbers(word, unit).as_deref() {
        Some([x, y, reach]) if *reach >= 0.0 => Ok(Contour::circle(
            Point::new(*x, *y),
            reach.max(LEAST_REACH_MM),
        )),
        _ => Err(TypedError::Word {
            word: (*word).to_owned(),
            wanted: "a flaw",
            example: "120,30,4: its place and how far it reaches",
        }),
    };
    words(text)?.iter().map(circle).collect()
}

fn words(text: &str) -> Result<Vec<&str>, TypedError> {
    let words: Vec<&str> = text
        .split([' ', ';', '\n', '\r', '\t'])
        .filter(|word| !word.is_empty())
        .collect();
    if words.len() > MOST_TYPED {
        return Err(TypedError::TooMany { count: words.len() });
    }
    Ok(words)
}

fn numbers(word: &str, unit: LengthUnit) -> Option<Vec<f64>> {
    word.split(',')
        .map(|part| Some(read_length(part, unit).ok()?.to_mm()))
        .collect()
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::knife::{Faces, FlawKind, orchard_set};

    fn flaw(line: &[(f64, f64)], reach_mm: f64) -> Flaw {
        Flaw {
            id: 1,
            kind: FlawKind::Crack,
            line: line.iter().map(|p| Point::from(*p)).collect(),
            reach_mm,
            faces: Faces::Both,
            depth_mm: None,
        }
    }

    fn area(contour: &Contour) -> f64 {
        contour.moments().area.abs()
    }

    /// A crack of 40 mm that reaches 2 mm to either side: a slot of area 4·40 + π·2²; a pit is a disc.
    #[test]
    fn flaws_are_kept_out_of_with_all_within_their_reach() {
        let crack = flaw_areas(&flaw(&[(10.0, 5.0), (50.0, 5.0)], 2.0));
        assert_eq!(crack.len(), 1);
        assert!((area(&crack[0]) - (160.0 + 4.0 * PI)).abs() < 1e-9);
        let bounds = crack[0].bounds();
        assert!((bounds.x0 - 8.0).abs() < 1e-9 && (bounds.x1 - 52.0).abs() < 1e-9);
        let pit = flaw_areas(&flaw(&[(10.0, 5.0)], 3.0));
        assert!((area(&pit[0]) - 9.0 * PI).abs() < 1e-9);
        // A hair crack has a width all the same.
        let hair = flaw_areas(&flaw(&[(0.0, 0.0), (0.0, 10.0)], 0.0));
        assert!((area(&hair[0]) - (10.0 * 0.5 + PI * 0.0625)).abs() < 1e-9);
        assert_eq!(
            flaw_areas(&flaw(&[(0.0, 0.0), (5.0, 0.0), (5.0, 5.0)], 1.0)).len(),
            2
        );
    }

    /// Many bends on a half circle of radius 20: nothing within reach of any of its points is left out.
    #[test]
    fn a_flaw_of_many_bends_is_kept_out_of_as_a_whole() {
        let bends: Vec<(f64, f64)> = (0..=30)
            .map(|i| PI * f64::from(i) / 30.0)
            .map(|t| (20.0 * t.cos(), 20.0 * t.sin()))
            .collect();
        let areas = flaw_areas(&flaw(&bends, 1.5));
        assert_eq!(areas.len(), 1);
        let inside = areas[0].index();
        for (x, y) in bends {
            for k in 0..32 {
                let off = Vec2::from_angle(f64::from(k) * PI / 16.0) * 1.499;
                assert!(inside.contains(Point::new(x, y) + off), "{x} {y} {k}");
            }
        }
    }

    #[test]
    fn a_knife_drawn_as_a_forging_is_a_piece_with_its_flaws_and_holes() {
        let set = orchard_set();
        let mut knife = Knife::clone(&set.knives[0]);
        let holes = knife.all_cut_outs(&knife.contour().index()).len();
        knife.flaws.push(flaw(&[(60.0, 0.0), (80.0, 0.0)], 1.0));
        let Stock::Odd { outline, flaws } = Stock::of_knife(&knife) else {
            panic!("an odd piece");
        };
        assert_eq!(outline, knife.contour());
        assert_eq!(flaws.len(), holes + 1);
    }

    #[test]
    fn corners_and_flaws_are_typed() {
        let mm = LengthUnit::Mm;
        let corners = typed_corners("0,0 300,0\n1in,60.5;0,60", mm).unwrap();
        assert_eq!(corners.len(), 4);
        assert!(corners[2].distance(Point::new(25.4, 60.5)) < 1e-12);
        let flaws = typed_flaws("120,30,4  20,20,0", mm).unwrap();
        assert!((area(&flaws[0]) - 16.0 * PI).abs() < 1e-9 && area(&flaws[1]) > 0.0);
        assert_eq!(typed_flaws("", mm), Ok(Vec::new()));
        for (text, told) in [
            ("", "0 corners"),
            ("0,0 10,0", "2 corners"),
            ("0,0 10,0 wide", "'wide' is not a corner"),
            ("0,0 10,0 1,2,3", "'1,2,3' is not a corner"),
        ] {
            let error = typed_corners(text, mm).unwrap_err().to_string();
            assert!(error.contains(told), "{text}: {error}");
        }
        assert!(typed_corners(&"1,1 ".repeat(501), mm).is_err());
        for bad in ["1,2", "1,2,-3", "x", "1,2,NaN"] {
            assert!(typed_flaws(bad, mm).is_err(), "{bad}");
        }
    }
}
