//! A closed chain of pieces: the shape of a steel outline, a hole, a slot, a plate.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use kurbo::{Point, Rect, Vec2};

use super::{AreaMoments, CircularArc, Motion, Piece, SAME_POINT_MM, SpanIndex};

/// A closed chain of pieces.
///
/// What construction guarantees: nothing beyond holding the pieces. What the caller must keep: each piece ends where the
/// next begins and the last ends where the first begins ([`Contour::largest_gap`] tells), and the chain does not cross
/// itself ([`super::outline_faults`] tells) before its area means anything.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Contour {
    /// The pieces, in order of travel.
    pub pieces: Vec<Piece>,
}

/// The place on a contour nearest to a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// Index of the piece.
    pub piece: usize,
    /// Parameter on that piece, 0..=1.
    pub t: f64,
    /// The place itself.
    pub at: Point,
    /// Distance from the asked point, mm.
    pub distance: f64,
}

impl Contour {
    /// A full circle, counterclockwise, as two half circles starting at the right.
    #[must_use]
    pub fn circle(center: Point, radius: f64) -> Self {
        let half = |start_angle| {
            Piece::Arc(CircularArc {
                center,
                radius,
                start_angle,
                sweep: PI,
            })
        };
        Self {
            pieces: vec![half(0.0), half(PI)],
        }
    }

    /// An obround slot, counterclockwise: `length` over all along direction `angle_rad`, `width` across. A slot no
    /// longer than wide is a circle.
    #[must_use]
    pub fn slot(center: Point, length: f64, width: f64, angle_rad: f64) -> Self {
        if length <= width {
            return Self::circle(center, width / 2.0);
        }
        let r = width / 2.0;
        let along = Vec2::from_angle(angle_rad) * (length / 2.0 - r);
        let across = Vec2::from_angle(angle_rad + FRAC_PI_2) * r;
        let end = |c: Point, start_angle| {
            Piece::Arc(CircularArc {
                center: c,
                radius: r,
                start_angle,
                sweep: PI,
            })
        };
        let (right, left) = (center + along, center - along);
        Self {
            pieces: vec![
                Piece::line(left - across, right - across),
                end(right, angle_rad - FRAC_PI_2),
                Piece::line(right + across, left + across),
                end(left, angle_rad + FRAC_PI_2),
            ],
        }
    }

    /// An upright rectangle with rounded corners, counterclockwise; `corner_radius` is cut down to half the shorter
    /// side, and zero leaves the corners sharp. A rectangle of no size, or of negative or unknown size, is empty.
    #[must_use]
    pub fn rounded_rect(rect: Rect, corner_radius: f64) -> Self {
        let shorter = rect.width().min(rect.height());
        if !(shorter > 0.0 && (rect.width() + rect.height()).is_finite()) {
            return Self::default();
        }
        let r = corner_radius.max(0.0).min(shorter / 2.0);
        let corner = |x: f64, y: f64, start_angle: f64| {
            Piece::Arc(CircularArc {
                center: Point::new(x, y),
                radius: r,
                start_angle,
                sweep: FRAC_PI_2,
            })
        };
        let (x0, y0, x1, y1) = (rect.x0, rect.y0, rect.x1, rect.y1);
        let mut pieces = Vec::with_capacity(8);
        let mut side = |from: (f64, f64), to: (f64, f64), arc: Piece| {
            // Where the rounding takes the whole side, what rounding errors leave of it is no piece.
            if (to.0 - from.0).abs() + (to.1 - from.1).abs() > SAME_POINT_MM {
                pieces.push(Piece::line(from.into(), to.into()));
            }
            if r > 0.0 {
                pieces.push(arc);
            }
        };
        side((x0 + r, y0), (x1 - r, y0), corner(x1 - r, y0 + r, 1.5 * PI));
        side((x1, y0 + r), (x1, y1 - r), corner(x1 - r, y1 - r, 0.0));
        side(
            (x1 - r, y1),
            (x0 + r, y1),
            corner(x0 + r, y1 - r, FRAC_PI_2),
        );
        side((x0, y1 - r), (x0, y0 + r), corner(x0 + r, y0 + r, PI));
        Self { pieces }
    }

    /// A polygon through the given corners, closed.
    #[must_use]
    pub fn polygon(corners: &[Point]) -> Self {
        let next = corners.iter().cycle().skip(1);
        Self {
            pieces: corners
                .iter()
                .zip(next)
                .map(|(a, b)| Piece::line(*a, *b))
                .collect(),
        }
    }

    /// Exact area, centroid and second moments; the area is negative for a clockwise contour.
    #[must_use]
    pub fn moments(&self) -> AreaMoments {
        AreaMoments::of_pieces(&self.pieces)
    }

    /// Cut length in mm.
    #[must_use]
    pub fn perimeter(&self) -> f64 {
        self.pieces.iter().map(Piece::length).sum()
    }

    /// The smallest upright box around the contour.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        self.pieces
            .iter()
            .map(Piece::bounds)
            .reduce(|a, b| a.union(b))
            .unwrap_or(Rect::ZERO)
    }

    /// The index for repeated questions.
    #[must_use]
    pub fn index(&self) -> SpanIndex {
        SpanIndex::new(&self.pieces)
    }

    /// The contour run the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self {
            pieces: self.pieces.iter().rev().map(Piece::reversed).collect(),
        }
    }

    /// The contour after a rigid motion. Mirroring turns the sense of travel round; the result is reversed then, so that a
    /// counterclockwise contour stays counterclockwise.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Self {
        let moved = Self {
            pieces: self.pieces.iter().map(|p| p.moved(motion)).collect(),
        };
        if motion.mirrored {
            moved.reversed()
        } else {
            moved
        }
    }

    /// The place on the contour nearest to a point; `None` for an empty contour.
    #[must_use]
    pub fn nearest(&self, point: Point) -> Option<Nearest> {
        self.nearest_within(point, f64::INFINITY)
    }

    /// The same, if it is nearer than `within` mm; quicker the less that is.
    #[must_use]
    pub fn nearest_within(&self, point: Point, within: f64) -> Option<Nearest> {
        let mut best: Option<Nearest> = None;
        for (piece, curve) in self.pieces.iter().enumerate() {
            let limit = best.map_or(within, |b| b.distance);
            if box_distance(curve.hull_bounds(), point) >= limit {
                continue;
            }
            let (t, distance) = curve.nearest(point);
            if distance < limit {
                best = Some(Nearest {
                    piece,
                    t,
                    at: curve.eval(t),
                    distance,
                });
            }
        }
        best
    }

    /// The place so far along the closed contour from another, mm of its length, back where negative; `None` where there is no such piece or no length.
    #[must_use]
    pub fn walked(&self, (piece, t): (usize, f64), by_mm: f64) -> Option<(usize, f64)> {
        let lengths: Vec<f64> = self.pieces.iter().map(Piece::length).collect();
        let whole: f64 = lengths.iter().sum();
        if !(whole.is_finite() && whole > SAME_POINT_MM && by_mm.is_finite()) {
            return None;
        }
        let gone = self
            .pieces
            .get(piece)?
            .part(0.0, t.clamp(0.0, 1.0))
            .length();
        let before: f64 = lengths.iter().take(piece).sum();
        let mut left = (before + gone + by_mm).rem_euclid(whole);
        for (i, (own, length)) in self.pieces.iter().zip(&lengths).enumerate() {
            if left <= *length {
                let share = if *length > 0.0 { left / length } else { 0.0 };
                return Some((i, own.at_share(share, *length)));
            }
            left -= length;
        }
        Some((self.pieces.len() - 1, 1.0))
    }

    /// The widest gap between the end of one piece and the start of the next, mm; infinite where an end is not
    /// finite.
    #[must_use]
    pub fn largest_gap(&self) -> f64 {
        let next = self.pieces.iter().cycle().skip(1);
        self.pieces
            .iter()
            .zip(next)
            .map(|(a, b)| a.end().distance(b.start()))
            .map(|gap| if gap.is_nan() { f64::INFINITY } else { gap })
            .fold(0.0, f64::max)
    }

    /// Whether every piece begins where the one before ends, within [`SAME_POINT_MM`].
    #[must_use]
    pub fn is_closed(&self) -> bool {
        !self.pieces.is_empty() && self.largest_gap() <= SAME_POINT_MM
    }

    /// Points along the contour whose chords leave it by no more than `tolerance` mm (no piece is cut in more than 1e5
    /// chords). The first point is not repeated.
    #[must_use]
    pub fn flattened(&self, tolerance: f64) -> Vec<Point> {
        let mut points = Vec::new();
        for piece in &self.pieces {
            flatten_piece(piece, tolerance, &mut points);
        }
        points
    }

    /// The center and radius, if the contour is one full circle made of arcs.
    #[must_use]
    pub fn as_circle(&self) -> Option<(Point, f64)> {
        let Some(Piece::Arc(first)) = self.pieces.first() else {
            return None;
        };
        let mut sweep = 0.0;
        for piece in &self.pieces {
            match piece {
                Piece::Arc(arc)
                    if arc.center.distance(first.center) <= SAME_POINT_MM
                        && (arc.radius - first.radius).abs() <= SAME_POINT_MM =>
                {
                    sweep += arc.sweep;
                }
                _ => return None,
            }
        }
        let round = (sweep.abs() - TAU).abs() < 1e-9 && self.is_closed();
        round.then_some((first.center, first.radius))
    }
}

/// Distance from a point to a box; zero inside.
pub(super) fn box_distance(rect: Rect, point: Point) -> f64 {
    let dx = (rect.x0 - point.x).max(point.x - rect.x1).max(0.0);
    let dy = (rect.y0 - point.y).max(point.y - rect.y1).max(0.0);
    dx.hypot(dy)
}

/// Appends points from the start of the piece up to, but not including, its end.
fn flatten_piece(piece: &Piece, tolerance: f64, points: &mut Vec<Point>) {
    let steps = match piece {
        Piece::Line(_) => 1.0,
        Piece::Arc(arc) => {
            // Chord error of an arc of half angle a is r·(1 − cos a) = 2r·sin²(a/2).
            let half = 2.0 * (tolerance / (2.0 * arc.radius)).sqrt().min(0.7).asin();
            (arc.sweep.abs() / (2.0 * half)).ceil()
        }
        Piece::Cubic(c) => {
            // Wang's bound: n = sqrt(3·2/8 · largest second difference / tolerance) chords suffice for a cubic
            // (G. Wang, "The subdivision method for finding the intersection between two Bézier curves", 1984).
            let d1 = (c.p0.to_vec2() - 2.0 * c.p1.to_vec2() + c.p2.to_vec2()).hypot();
            let d2 = (c.p1.to_vec2() - 2.0 * c.p2.to_vec2() + c.p3.to_vec2()).hypot();
            (0.75 * d1.max(d2) / tolerance).sqrt().ceil()
        }
    };
    let steps = steps.clamp(1.0, 1e5);
    let mut i = 0.0;
    while i < steps {
        points.push(piece.eval(i / steps));
        i += 1.0;
    }
}
