//! A plane seen by a camera: the straight-line map between two planes that carries four points to four others.

use kurbo::{Point, Vec2};

/// Four corners whose doubled area, or that of any three of them, is below this share of their spread squared lie in a line.
const FLAT: f64 = 1e-9;

/// A map between two planes that keeps straight lines straight, as a lens without distortion makes it.
///
/// `x' = (m0 x + m1 y + m2) / w`, `y' = (m3 x + m4 y + m5) / w`, `w = m6 x + m7 y + m8`. The sign is such that `w` is positive on the side of the
/// horizon where the four points lie that it was made from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Projection {
    m: [f64; 9],
}

impl Projection {
    /// The map that leaves every point where it is.
    pub const STILL: Self = Self {
        m: [1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0],
    };

    /// The map that carries the corners of one four-sided figure to those of another, in order.
    ///
    /// Both must be convex, with corners in turn; `None` when one is not, when three corners lie in a line, or a number is not finite. Going
    /// through the unit square is exact up to rounding.
    ///
    /// Source: P. S. Heckbert, "Fundamentals of Texture Mapping and Image Warping", Master's thesis, UC Berkeley 1989, section 2.2.3.
    #[must_use]
    pub fn of_corners(from: [Point; 4], to: [Point; 4]) -> Option<Self> {
        let back = Self::of_square(from)?.inverse()?;
        back.then(&Self::of_square(to)?).signed_at(from)
    }

    /// The map of the unit square, corner (0, 0), (1, 0), (1, 1), (0, 1), to four corners.
    fn of_square(to: [Point; 4]) -> Option<Self> {
        if !is_convex(to) {
            return None;
        }
        let [a, b, c, d] = to;
        let (d1, d2, s) = (b - c, d - c, (a - b) + (c - d));
        let whole = d1.cross(d2);
        let (g, h) = (s.cross(d2) / whole, d1.cross(s) / whole);
        let (u, v) = ((b - a) + g * b.to_vec2(), (d - a) + h * d.to_vec2());
        let m = [u.x, v.x, a.x, u.y, v.y, a.y, g, h, 1.0];
        m.iter().all(|n| n.is_finite()).then_some(Self { m })
    }

    /// Gives the matrix the sign that makes `w` positive at all of these points.
    fn signed_at(mut self, points: [Point; 4]) -> Option<Self> {
        if self.w(points[0]) < 0.0 {
            self.m = self.m.map(|n| -n);
        }
        points.iter().all(|p| self.w(*p) > 0.0).then_some(self)
    }

    fn w(&self, p: Point) -> f64 {
        let [.., g, h, i] = self.m;
        g * p.x + h * p.y + i
    }

    /// Where a point comes to; `None` on the horizon and beyond it, where nothing of the other plane is seen.
    #[must_use]
    pub fn apply(&self, p: Point) -> Option<Point> {
        let [a, b, c, d, e, f, ..] = self.m;
        let w = self.w(p);
        let to = Point::new((a * p.x + b * p.y + c) / w, (d * p.x + e * p.y + f) / w);
        (w > 0.0 && to.is_finite()).then_some(to)
    }

    /// The way back; `None` when the map has flattened its plane.
    #[must_use]
    pub fn inverse(&self) -> Option<Self> {
        let [a, b, c, d, e, f, g, h, i] = self.m;
        // The adjugate: a matrix times any factor is the same map. Its sign keeps `w` positive wherever it is on the way there.
        let det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
        let m = [
            e * i - f * h,
            c * h - b * i,
            b * f - c * e,
            f * g - d * i,
            a * i - c * g,
            c * d - a * f,
            d * h - e * g,
            b * g - a * h,
            a * e - b * d,
        ]
        .map(|n| n / det);
        m.iter().all(|n| n.is_finite()).then_some(Self { m })
    }

    /// This map, and another one after it.
    #[must_use]
    pub fn then(&self, after: &Self) -> Self {
        let mut m = [0.0; 9];
        for (row, of_after) in after.m.chunks_exact(3).enumerate() {
            for column in 0..3 {
                let own = self.m.iter().skip(column).step_by(3);
                let sum: f64 = of_after.iter().zip(own).map(|(p, q)| p * q).sum();
                if let Some(cell) = m.get_mut(3 * row + column) {
                    *cell = sum;
                }
            }
        }
        Self { m }
    }

    /// How a small step is carried at a point: the images of a unit step along `x` and of one along `y`.
    #[must_use]
    pub fn steps_at(&self, p: Point) -> Option<(Vec2, Vec2)> {
        let to = self.apply(p)?;
        let [a, b, _, d, e, _, g, h, _] = self.m;
        let w = self.w(p);
        let along = |x: f64, y: f64, of_w: f64| Vec2::new(x - to.x * of_w, y - to.y * of_w) / w;
        Some((along(a, d, g), along(b, e, h)))
    }

    /// By how much lengths grow at a point, on the mean over all directions: the root of how areas grow.
    #[must_use]
    pub fn scale_at(&self, p: Point) -> Option<f64> {
        let (x, y) = self.steps_at(p)?;
        Some(x.cross(y).abs().sqrt())
    }
}

/// Whether four points in turn make a convex figure, either way round, no three of them in a line.
#[must_use]
pub fn is_convex(corners: [Point; 4]) -> bool {
    if !corners.iter().all(|p| p.is_finite()) {
        return false;
    }
    let [a, b, c, d] = corners;
    let turns = [(a, b, c), (b, c, d), (c, d, a), (d, a, b)].map(|(p, q, r)| (q - p).cross(r - q));
    let spread = (c - a).hypot2().max((d - b).hypot2());
    let least = spread * FLAT;
    spread > 0.0 && (turns.iter().all(|t| *t > least) || turns.iter().all(|t| *t < -least))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn corners(numbers: [[f64; 2]; 4]) -> [Point; 4] {
        numbers.map(|[x, y]| Point::new(x, y))
    }

    /// The direct linear transform, solved by elimination: R. Hartley and A. Zisserman, "Multiple View Geometry in Computer Vision", 2nd ed.,
    /// Cambridge 2004, equation (4.1) with h33 = 1 (inhomogeneous solution, section 4.1.2).
    fn by_direct_linear_transform(from: [Point; 4], to: [Point; 4]) -> [f64; 9] {
        let mut rows: Vec<Vec<f64>> = Vec::new();
        for (p, q) in from.iter().zip(to) {
            rows.push(vec![
                p.x,
                p.y,
                1.0,
                0.0,
                0.0,
                0.0,
                -p.x * q.x,
                -p.y * q.x,
                q.x,
            ]);
            rows.push(vec![
                0.0,
                0.0,
                0.0,
                p.x,
                p.y,
                1.0,
                -p.x * q.y,
                -p.y * q.y,
                q.y,
            ]);
        }
        for i in 0..8 {
            let pivot = (i..8)
                .max_by(|a, b| rows[*a][i].abs().total_cmp(&rows[*b][i].abs()))
                .unwrap();
            rows.swap(i, pivot);
            let lead = rows[i].clone();
            for (j, row) in rows.iter_mut().enumerate() {
                if j != i {
                    let factor = row[i] / lead[i];
                    for (own, other) in row.iter_mut().zip(&lead) {
                        *own -= factor * other;
                    }
                }
            }
        }
        let mut h = [1.0; 9];
        for i in 0..8 {
            h[i] = rows[i][8] / rows[i][i];
        }
        h
    }

    #[test]
    fn it_is_what_the_direct_linear_transform_gives() {
        let from = corners([
            [812.0, 1904.0],
            [2893.0, 1733.0],
            [2571.0, 402.0],
            [1003.0, 511.0],
        ]);
        let to = corners([[0.0, 0.0], [297.0, 0.0], [297.0, 210.0], [0.0, 210.0]]);
        let own = Projection::of_corners(from, to).unwrap();
        let other = by_direct_linear_transform(from, to);
        for (x, y) in [(1500.0, 1000.0), (900.0, 1800.0), (2600.0, 1600.0)] {
            let w = other[6] * x + other[7] * y + other[8];
            let expected = Point::new(
                (other[0] * x + other[1] * y + other[2]) / w,
                (other[3] * x + other[4] * y + other[5]) / w,
            );
            let found = own.apply(Point::new(x, y)).unwrap();
            assert!(found.distance(expected) < 1e-9, "{found} {expected}");
        }
    }

    /// A pinhole camera: Hartley and Zisserman, section 6.1, P = K R [I | −C], looking at the plane z = 0.
    fn camera(tilt: f64, turn: f64, height: f64, p: Point) -> Point {
        let (x, y) = (
            p.x * turn.cos() - p.y * turn.sin(),
            p.x * turn.sin() + p.y * turn.cos(),
        );
        let depth = height + y * tilt.sin();
        let focal = 3000.0;
        Point::new(
            2000.0 + focal * x / depth,
            1500.0 - focal * y * tilt.cos() / depth,
        )
    }

    proptest! {
        #[test]
        fn four_corners_true_every_point_of_a_plane_seen_by_a_camera(
            tilt in -0.9..0.9_f64, turn in -3.2..3.2_f64, height in 400.0..900.0_f64,
            x in -180.0..180.0_f64, y in -180.0..180.0_f64,
        ) {
            let sheet = corners([[-148.5, -105.0], [148.5, -105.0], [148.5, 105.0], [-148.5, 105.0]]);
            let seen = sheet.map(|p| camera(tilt, turn, height, p));
            let trued = Projection::of_corners(seen, sheet).unwrap();
            let p = Point::new(x, y);
            let back = trued.apply(camera(tilt, turn, height, p)).unwrap();
            prop_assert!(back.distance(p) < 1e-6, "{} {}", back, p);
        }

        #[test]
        fn there_and_back_is_nothing(
            a in -0.3..0.3_f64, b in -0.3..0.3_f64, c in -0.3..0.3_f64, d in -0.3..0.3_f64,
            x in 0.0..1.0_f64, y in 0.0..1.0_f64,
        ) {
            let from = corners([[a, 0.0], [1.0, b], [1.0 + c, 1.0], [0.0, 1.0 + d]]);
            let to = corners([[0.0, d], [2.0, 0.0], [2.0, 3.0 + a], [b, 3.0]]);
            let there = Projection::of_corners(from, to).unwrap();
            let back = there.inverse().unwrap();
            let p = Point::new(x, y);
            if let Some(q) = there.apply(p) {
                prop_assert!(back.apply(q).unwrap().distance(p) < 1e-9);
                // The step that a small move makes is the derivative.
                let (along, _) = there.steps_at(p).unwrap();
                let e = 1e-6;
                let near = there.apply(Point::new(x + e, y)).unwrap();
                prop_assert!(((near - q) / e - along).hypot() < 1e-3 * (1.0 + along.hypot()));
            }
        }
    }

    #[test]
    fn what_lies_beyond_the_horizon_is_not_seen() {
        // A floor whose far edge is half as wide: the sides meet at y = 2.
        let from = corners([[-1.0, 0.0], [1.0, 0.0], [0.5, 1.0], [-0.5, 1.0]]);
        let to = corners([[-1.0, 0.0], [1.0, 0.0], [1.0, 1.0], [-1.0, 1.0]]);
        let map = Projection::of_corners(from, to).unwrap();
        assert!(map.apply(Point::new(0.0, 1.99)).is_some());
        assert_eq!(map.apply(Point::new(0.0, 2.01)), None);
    }

    #[test]
    fn corners_in_a_line_crossed_or_without_number_are_refused() {
        let square = corners([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]);
        for bad in [
            corners([[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [0.0, 1.0]]),
            corners([[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.0]]),
            corners([[0.0, 0.0], [1.0, 0.0], [0.2, 0.2], [0.0, 1.0]]),
            corners([[0.0, 0.0], [1.0, 0.0], [1.0, f64::NAN], [0.0, 1.0]]),
            corners([[0.0, 0.0]; 4]),
        ] {
            assert_eq!(Projection::of_corners(bad, square), None, "{bad:?}");
            assert_eq!(Projection::of_corners(square, bad), None, "{bad:?}");
        }
    }
}
