//! Exact area, centroid and second moments of closed contours by Green's theorem on the pieces.
//!
//! With `w = x dy − y dx` along the boundary, run counterclockwise,
//! `A = ½∮w`, `∫x dA = ⅓∮x w`, `∫x² dA = ¼∮x² w`, `∫xy dA = ¼∮x y w` (each piece sweeps a fan of triangles
//! about the origin; the factor is that of the homogeneous integrand over a triangle with its apex there).
//! On a cubic, `w` is a polynomial of degree 4 and the longest integrand one of degree 10, so a Gauss–Legendre
//! rule of six points (exact to degree 11; Abramowitz & Stegun, Handbook of Mathematical Functions, table 25.4)
//! gives the integral itself, not an approximation. Arcs use the closed form of the circular sector; a flat arc, whose
//! sector is so much larger than the sliver over its chord that the difference would lose digits, the same rule instead.

use std::f64::consts::FRAC_PI_2;

use kurbo::{CubicBez, Line, Point, Vec2};

use super::{CircularArc, Piece};

/// Area, centroid and second moments about the centroid of a plane region. Signed: a clockwise contour gives
/// negative area and negative second moments, so regions can be added and taken away.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AreaMoments {
    /// Area in mm².
    pub area: f64,
    /// Centroid in mm; the origin where the area is zero.
    pub centroid: Point,
    /// `∫(y − y_c)² dA` in mm⁴.
    pub ixx: f64,
    /// `∫(x − x_c)² dA` in mm⁴.
    pub iyy: f64,
    /// `∫(x − x_c)(y − y_c) dA` in mm⁴.
    pub ixy: f64,
}

/// Plain integrals about one fixed origin; what the boundary integrals give before they are centered.
#[derive(Clone, Copy, Debug, Default)]
struct Raw {
    area: f64,
    sx: f64,
    sy: f64,
    sxx: f64,
    syy: f64,
    sxy: f64,
}

impl AreaMoments {
    /// Moments of the region inside a closed chain of pieces. The chain must be closed and simple for the result to
    /// mean a region; neither is checked here.
    #[must_use]
    pub fn of_pieces(pieces: &[Piece]) -> Self {
        let Some(first) = pieces.first() else {
            return Self::default();
        };
        // A local origin keeps the sums small, so that a far-away contour loses no digits.
        let origin = first.start().to_vec2();
        let mut raw = Raw::default();
        for piece in pieces {
            raw.add(&match piece {
                Piece::Line(line) => Raw::fan_of_line(line, origin),
                Piece::Cubic(cubic) => Raw::fan_of_cubic(cubic, origin),
                Piece::Arc(arc) => Raw::fan_of_arc(arc, origin),
            });
        }
        raw.centered(origin)
    }

    /// A full disc.
    #[must_use]
    pub fn disc(center: Point, radius: f64) -> Self {
        let area = std::f64::consts::PI * radius * radius;
        let i = area * radius * radius / 4.0;
        Self {
            area,
            centroid: center,
            ixx: i,
            iyy: i,
            ixy: 0.0,
        }
    }

    /// An obround slot as [`Contour::slot`](super::Contour::slot) makes it: a rectangle between the middles of two half
    /// discs. A slot no longer than wide is a disc.
    ///
    /// With `a` the straight run and `r` half the width, `A = 2ar + πr²`, about the long axis
    /// `I = a(2r)³/12 + πr⁴/4`, about the short axis `I = 2r·a³/12 + πr⁴/4 + πr²·a²/4 + 4r³a/3`: the half discs by the
    /// parallel-axis theorem, `2r³/3` being the first moment of one about its diameter.
    #[must_use]
    pub fn slot(center: Point, length: f64, width: f64, angle_rad: f64) -> Self {
        let disc = Self::disc(center, width / 2.0);
        if length <= width {
            return disc;
        }
        let (a, r) = (length - width, width / 2.0);
        let across = 2.0 * a * r * r * r / 3.0 + disc.ixx;
        let along =
            r * a * a * a / 6.0 + disc.iyy + disc.area * a * a / 4.0 + 4.0 * r * r * r * a / 3.0;
        // Turned by the angle: the tensor's mean stays, its half difference turns by twice as much.
        let (mean, half) = (f64::midpoint(along, across), (along - across) / 2.0);
        let (sin, cos) = (2.0 * angle_rad).sin_cos();
        Self {
            area: 2.0 * a * r + disc.area,
            centroid: center,
            ixx: mean - half * cos,
            iyy: mean + half * cos,
            ixy: half * sin,
        }
    }

    /// The region with the opposite sign, for taking it away.
    #[must_use]
    pub fn negated(&self) -> Self {
        Self {
            area: -self.area,
            centroid: self.centroid,
            ixx: -self.ixx,
            iyy: -self.iyy,
            ixy: -self.ixy,
        }
    }

    /// The region with positive area, whichever way its boundary was run.
    #[must_use]
    pub fn turned_positive(&self) -> Self {
        if self.area < 0.0 {
            self.negated()
        } else {
            *self
        }
    }

    /// All moments times a factor (thickness × density turns areas into masses).
    #[must_use]
    pub fn scaled_by(&self, factor: f64) -> Self {
        Self {
            area: self.area * factor,
            centroid: self.centroid,
            ixx: self.ixx * factor,
            iyy: self.iyy * factor,
            ixy: self.ixy * factor,
        }
    }

    /// The sum of two regions, by the parallel-axis theorem.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        let area = self.area + other.area;
        if area == 0.0 {
            return Self {
                area,
                ixx: self.ixx + other.ixx,
                iyy: self.iyy + other.iyy,
                ixy: self.ixy + other.ixy,
                ..*self
            };
        }
        let d = other.centroid - self.centroid;
        let centroid = self.centroid + d * (other.area / area);
        // Both transfers together: A1·d1² + A2·d2² = (A1·A2/A)·d².
        let joint = self.area * other.area / area;
        Self {
            area,
            centroid,
            ixx: self.ixx + other.ixx + joint * d.y * d.y,
            iyy: self.iyy + other.iyy + joint * d.x * d.x,
            ixy: self.ixy + other.ixy + joint * d.x * d.y,
        }
    }

    /// Second moments `(∫y² dA, ∫x² dA, ∫xy dA)` about another point, mm⁴.
    #[must_use]
    pub fn second_moments_about(&self, point: Point) -> (f64, f64, f64) {
        let d = self.centroid - point;
        (
            self.ixx + self.area * d.y * d.y,
            self.iyy + self.area * d.x * d.x,
            self.ixy + self.area * d.x * d.y,
        )
    }

    /// Polar second moment about the centroid, `ixx + iyy`.
    #[must_use]
    pub fn polar(&self) -> f64 {
        self.ixx + self.iyy
    }
}

/// Half abscissas and weights of the six-point Gauss–Legendre rule on −1..1.
const GAUSS_6: [(f64, f64); 3] = [
    (0.238_619_186_083_196_9, 0.467_913_934_572_691_04),
    (0.661_209_386_466_264_5, 0.360_761_573_048_138_6),
    (0.932_469_514_203_152, 0.171_324_492_379_170_36),
];

/// Below this sweep (radians) an arc is integrated by the six-point rule. Its error there is below 1e-13 of the result,
/// as is the rounding of the closed form above it; at a thousandth of this the closed form would keep one digit or two.
const FLAT_SWEEP: f64 = 0.25;

impl Raw {
    fn add(&mut self, o: &Self) {
        self.area += o.area;
        self.sx += o.sx;
        self.sy += o.sy;
        self.sxx += o.sxx;
        self.syy += o.syy;
        self.sxy += o.sxy;
    }

    fn minus(&self, o: &Self) -> Self {
        Self {
            area: self.area - o.area,
            sx: self.sx - o.sx,
            sy: self.sy - o.sy,
            sxx: self.sxx - o.sxx,
            syy: self.syy - o.syy,
            sxy: self.sxy - o.sxy,
        }
    }

    /// The triangle (0, p, q) by its corners.
    fn triangle(p: Vec2, q: Vec2) -> Self {
        let cross = p.cross(q);
        Self {
            area: cross / 2.0,
            sx: cross * (p.x + q.x) / 6.0,
            sy: cross * (p.y + q.y) / 6.0,
            sxx: cross * (p.x * p.x + p.x * q.x + q.x * q.x) / 12.0,
            syy: cross * (p.y * p.y + p.y * q.y + q.y * q.y) / 12.0,
            sxy: cross * (2.0 * p.x * p.y + p.x * q.y + q.x * p.y + 2.0 * q.x * q.y) / 24.0,
        }
    }

    fn fan_of_line(line: &Line, origin: Vec2) -> Self {
        Self::triangle(line.p0.to_vec2() - origin, line.p1.to_vec2() - origin)
    }

    fn fan_of_cubic(c: &CubicBez, origin: Vec2) -> Self {
        // Power basis: p(t) = a + t·(b + t·(c + t·d)).
        let a = c.p0.to_vec2() - origin;
        let b = 3.0 * (c.p1 - c.p0);
        let q = 3.0 * (c.p2.to_vec2() - 2.0 * c.p1.to_vec2() + c.p0.to_vec2());
        let d = (c.p3 - c.p0) - 3.0 * (c.p2 - c.p1);
        let mut raw = Self::default();
        for (x, weight) in GAUSS_6 {
            for t in [0.5 - 0.5 * x, 0.5 + 0.5 * x] {
                let p = a + t * (b + t * (q + t * d));
                let v = b + t * (2.0 * q + (3.0 * t) * d);
                // The rule lives on −1..1, hence half of every weight.
                raw.add_swept(p, 0.5 * weight * p.cross(v));
            }
        }
        raw.fan_factors()
    }

    /// The fan over an arc: the triangle over its chord, plus the circular segment between chord and arc.
    fn fan_of_arc(arc: &CircularArc, origin: Vec2) -> Self {
        if arc.sweep.abs() < FLAT_SWEEP {
            return Self::fan_of_flat_arc(arc, origin);
        }
        let p = arc.eval(0.0) - arc.center;
        let q = arc.eval(1.0) - arc.center;
        let segment = Self::sector(arc).minus(&Self::triangle(p, q));
        let center = arc.center.to_vec2() - origin;
        let mut raw = Self::triangle(center + p, center + q);
        raw.add(&segment.shifted(center));
        raw
    }

    /// The fan over an arc of small sweep by the six-point rule. Points are reached from the arc's start along their
    /// chord, `2r·sin(u/2)` long and turned `u/2` from the tangent, so that a large radius costs no digits.
    fn fan_of_flat_arc(arc: &CircularArc, origin: Vec2) -> Self {
        let start = arc.eval(0.0).to_vec2() - origin;
        let tangent = arc.start_angle + arc.sweep.signum() * FRAC_PI_2;
        let mut raw = Self::default();
        for (x, weight) in GAUSS_6 {
            for t in [0.5 - 0.5 * x, 0.5 + 0.5 * x] {
                let u = t * arc.sweep;
                let chord = 2.0 * arc.radius * (u.abs() / 2.0).sin();
                let p = start + Vec2::from_angle(tangent + u / 2.0) * chord;
                let v = Vec2::from_angle(tangent + u) * (arc.radius * arc.sweep.abs());
                raw.add_swept(p, 0.5 * weight * p.cross(v));
            }
        }
        raw.fan_factors()
    }

    /// Adds one node of a boundary integral: `w` is the weight times `p × dp`.
    fn add_swept(&mut self, p: Vec2, w: f64) {
        self.area += w;
        self.sx += w * p.x;
        self.sy += w * p.y;
        self.sxx += w * p.x * p.x;
        self.syy += w * p.y * p.y;
        self.sxy += w * p.x * p.y;
    }

    /// Applies the factors of the homogeneous integrands: ½ for areas, ⅓ for first, ¼ for second moments.
    fn fan_factors(self) -> Self {
        Self {
            area: self.area / 2.0,
            sx: self.sx / 3.0,
            sy: self.sy / 3.0,
            sxx: self.sxx / 4.0,
            syy: self.syy / 4.0,
            sxy: self.sxy / 4.0,
        }
    }

    /// The circular sector about the arc's own center.
    fn sector(arc: &CircularArc) -> Self {
        let (r, s) = (arc.radius, arc.sweep);
        let (sin_a, cos_a) = arc.start_angle.sin_cos();
        let (sin_b, cos_b) = (arc.start_angle + s).sin_cos();
        let r3 = r * r * r / 3.0;
        let r4 = r * r * r * r / 8.0;
        let double = sin_b * cos_b - sin_a * cos_a;
        Self {
            area: r * r * s / 2.0,
            sx: r3 * (sin_b - sin_a),
            sy: r3 * (cos_a - cos_b),
            sxx: r4 * (s + double),
            syy: r4 * (s - double),
            sxy: r4 * (sin_b * sin_b - sin_a * sin_a),
        }
    }

    /// The same region with its plane moved by `d`.
    fn shifted(&self, d: Vec2) -> Self {
        Self {
            area: self.area,
            sx: self.sx + self.area * d.x,
            sy: self.sy + self.area * d.y,
            sxx: self.sxx + 2.0 * d.x * self.sx + self.area * d.x * d.x,
            syy: self.syy + 2.0 * d.y * self.sy + self.area * d.y * d.y,
            sxy: self.sxy + d.x * self.sy + d.y * self.sx + self.area * d.x * d.y,
        }
    }

    fn centered(&self, origin: Vec2) -> AreaMoments {
        if self.area == 0.0 {
            return AreaMoments::default();
        }
        let c = Vec2::new(self.sx / self.area, self.sy / self.area);
        AreaMoments {
            area: self.area,
            centroid: (origin + c).to_point(),
            ixx: self.syy - self.area * c.y * c.y,
            iyy: self.sxx - self.area * c.x * c.x,
            ixy: self.sxy - self.area * c.x * c.y,
        }
    }
}
