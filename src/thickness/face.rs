//! How far a face lies over the mid-plane along the knife, before any grind: the bar's half thickness, or what a taper leaves.

use crate::knife::{Face, Faces, Stock, Taper};

/// The height of one face along the knife, piecewise linear; level beyond its first and last corner.
#[derive(Clone, Debug, PartialEq)]
pub struct FaceHeight {
    /// Corners `(x, height)`, mm, in strictly rising order of `x`; at least one.
    corners: Vec<(f64, f64)>,
    /// What is straight, from the level part before the first corner to that after the last, rising.
    legs: Vec<Leg>,
    /// Half the bar's thickness, mm.
    half_stock: f64,
}

/// A straight part of a face, up to the next: `height + slope·(x − from)`.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Leg {
    begins: f64,
    from: f64,
    height: f64,
    slope: f64,
}

impl Leg {
    fn at(&self, x: f64) -> f64 {
        self.height + self.slope * (x - self.from)
    }
}

impl FaceHeight {
    /// The height of a face of a bar with a taper.
    ///
    /// A taper on both faces leaves half its thickness on each; one that is on a single face leaves the other as it is.
    #[must_use]
    pub fn of(stock: &Stock, taper: Option<&Taper>, face: Face) -> Self {
        let half_stock = stock.thickness_mm / 2.0;
        let level = Self::through(vec![(0.0, half_stock)], half_stock);
        let Some(taper) = taper else {
            return level;
        };
        if !taper.faces.has(face) {
            return level;
        }
        let height = |thickness: f64| match taper.faces {
            Faces::Both => thickness / 2.0,
            Faces::Right | Faces::Left => thickness - half_stock,
        };
        let mut corners: Vec<(f64, f64)> = Vec::with_capacity(taper.stations.len() + 2);
        let mut before: Option<(f64, f64)> = None;
        for station in &taper.stations {
            let (x, t) = (station.x_mm, station.thickness_mm);
            // Where the wanted thickness passes that of the bar there is a corner too.
            if let Some((x0, t0)) = before
                && (t0 > stock.thickness_mm) != (t > stock.thickness_mm)
            {
                let at = x0 + (x - x0) * (stock.thickness_mm - t0) / (t - t0);
                push_rising(&mut corners, at, half_stock);
            }
            push_rising(&mut corners, x, height(t.min(stock.thickness_mm)));
            before = Some((x, t));
        }
        if corners.is_empty() {
            return level;
        }
        Self::through(corners, half_stock)
    }

    fn through(corners: Vec<(f64, f64)>, half_stock: f64) -> Self {
        let leg = |begins: f64, (from, height): (f64, f64), slope: f64| Leg {
            begins,
            from,
            height,
            slope,
        };
        let mut legs = Vec::with_capacity(corners.len() + 1);
        legs.extend(corners.first().map(|c| leg(f64::NEG_INFINITY, *c, 0.0)));
        legs.extend(corners.windows(2).filter_map(|pair| match pair {
            [a, b] => Some(leg(a.0, *a, (b.1 - a.1) / (b.0 - a.0))),
            _ => None,
        }));
        if corners.len() > 1 {
            legs.extend(corners.last().map(|c| leg(c.0, *c, 0.0)));
        }
        Self {
            corners,
            legs,
            half_stock,
        }
    }

    /// Height over the mid-plane at a place, mm.
    #[must_use]
    pub fn at(&self, x: f64) -> f64 {
        self.leg(x).map_or(self.half_stock, |leg| leg.at(x))
    }

    /// The straight part that a place lies on.
    fn leg(&self, x: f64) -> Option<&Leg> {
        let (mut on, rest) = self.legs.split_first()?;
        // From the first on: there are few, and most of a knife lies near its shoulder.
        for leg in rest {
            if leg.begins > x {
                break;
            }
            on = leg;
        }
        Some(on)
    }

    /// The height at one of two places and how it changes for each millimeter, where both lie on one straight part.
    pub(super) fn straight_over(&self, x: f64, other: f64) -> Option<(f64, f64)> {
        let leg = self.leg(x)?;
        let same = self.leg(other)?.begins == leg.begins;
        same.then(|| (leg.at(x), leg.slope))
    }

    /// The places where it bends, rising; none where the face is level.
    pub fn bends(&self) -> impl Iterator<Item = f64> + '_ {
        let any = self.corners.len() > 1;
        self.corners.iter().filter(move |_| any).map(|c| c.0)
    }

    /// Its corners `(x, height)`.
    #[must_use]
    pub fn corners(&self) -> &[(f64, f64)] {
        &self.corners
    }

    /// The greatest height anywhere, mm.
    #[must_use]
    pub fn greatest(&self) -> f64 {
        self.corners
            .iter()
            .map(|c| c.1)
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// Whether it is the same all along.
    #[must_use]
    pub fn is_level(&self) -> bool {
        self.corners.len() == 1
    }

    /// Whether the bar's own face is left at a place.
    #[must_use]
    pub fn is_untouched_at(&self, x: f64) -> bool {
        self.is_untouched(self.at(x))
    }

    /// Whether a height of this face is that of the bar.
    pub(super) fn is_untouched(&self, height: f64) -> bool {
        height >= self.half_stock
    }
}

fn push_rising(corners: &mut Vec<(f64, f64)>, x: f64, height: f64) {
    if corners.last().is_none_or(|last| x > last.0) {
        corners.push((x, height));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::ThicknessStation;

    fn taper(faces: Faces, stations: &[(f64, f64)]) -> Taper {
        Taper {
            stations: stations
                .iter()
                .map(|&(x_mm, thickness_mm)| ThicknessStation { x_mm, thickness_mm })
                .collect(),
            faces,
        }
    }

    /// Hand-computed from a bar of 4 mm.
    #[test]
    fn a_taper_leaves_half_on_each_face_or_all_on_one() {
        let stock = Stock::plain(4.0, 0.0, "steel");
        let both = taper(Faces::Both, &[(0.0, 4.0), (100.0, 2.0)]);
        let right = FaceHeight::of(&stock, Some(&both), Face::Right);
        assert_eq!(
            (right.at(-5.0), right.at(50.0), right.at(300.0)),
            (2.0, 1.5, 1.0)
        );
        let one = taper(Faces::Right, &[(0.0, 4.0), (100.0, 1.0)]);
        assert_eq!(
            FaceHeight::of(&stock, Some(&one), Face::Right).at(100.0),
            -1.0
        );
        assert_eq!(
            FaceHeight::of(&stock, Some(&one), Face::Left).at(100.0),
            2.0
        );
    }

    /// A station of 6 mm on a bar of 4 mm: the line from 6 to 2 passes 4 halfway.
    #[test]
    fn a_station_above_the_bar_leaves_the_bar() {
        let stock = Stock::plain(4.0, 0.0, "steel");
        let high = taper(Faces::Both, &[(0.0, 6.0), (100.0, 2.0)]);
        let face = FaceHeight::of(&stock, Some(&high), Face::Right);
        assert_eq!(
            (face.at(25.0), face.at(50.0), face.at(75.0)),
            (2.0, 2.0, 1.5)
        );
        assert!(face.is_untouched_at(49.0) && !face.is_untouched_at(51.0));
    }
}
