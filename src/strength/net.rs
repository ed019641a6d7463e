//! A net section: area, centroid, second moments and section moduli of the steel across the knife, openings taken out.
//!
//! The steel is cut into cells up the blade. In each the two faces are followed by parabolas through five places; a cell in which they are no
//! parabolas (a grind line, the edge of a hollow) is halved until they are, or too small to matter. Simpson's rule sums what parabolas enclose;
//! it is exact where faces are straight, which makes every integrand a cubic at most.

/// The steel across the knife at one place, as a beam sees it. The `y` axis runs up the blade, `z` through the thickness, right face positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NetSection {
    /// Place along the knife, mm.
    pub x_mm: f64,
    /// Area of steel, mm².
    pub area_mm2: f64,
    /// Centroid `(y, z)`, mm.
    pub centroid_mm: (f64, f64),
    /// Second moment for bending in the plane of the blade, `∫(y − y_c)² dA`, mm⁴.
    pub edgewise_mm4: f64,
    /// Second moment for bending out of that plane, `∫(z − z_c)² dA`, mm⁴.
    pub flatwise_mm4: f64,
    /// Lowest and highest steel, mm.
    pub span_mm: (f64, f64),
    /// Steel farthest to the left and to the right of the mid-plane, as `z`, mm.
    pub faces_mm: (f64, f64),
}

impl NetSection {
    /// Section modulus edgewise on the edge side, `I/(y_c − y_low)`, mm³.
    #[must_use]
    pub fn edge_side_mm3(&self) -> f64 {
        self.edgewise_mm4 / (self.centroid_mm.0 - self.span_mm.0)
    }

    /// Section modulus edgewise on the spine side, `I/(y_high − y_c)`, mm³.
    #[must_use]
    pub fn spine_side_mm3(&self) -> f64 {
        self.edgewise_mm4 / (self.span_mm.1 - self.centroid_mm.0)
    }

    /// The lesser section modulus edgewise, mm³.
    #[must_use]
    pub fn edgewise_mm3(&self) -> f64 {
        self.edge_side_mm3().min(self.spine_side_mm3())
    }

    /// The lesser section modulus flatwise, mm³.
    #[must_use]
    pub fn flatwise_mm3(&self) -> f64 {
        let z = self.centroid_mm.1;
        self.flatwise_mm4 / (z - self.faces_mm.0).max(self.faces_mm.1 - z)
    }
}

/// Heights of the right and the left face over the mid-plane, mm, each counted outward.
pub(super) type Heights = (f64, f64);

/// Cells to begin with, so that nothing narrower than an eighth of the steel is stepped over.
const CELLS: u32 = 8;

/// Faces this near to a parabola are one, mm: a hundredth of what a grinder holds.
const FLAT_MM: f64 = 1e-4;

/// Halvings of a cell: the last is a 30 000th of the steel, below which no grind line is seen.
const HALVINGS: u32 = 12;

/// Integrals over steel, about `y` and `z` zero.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sums {
    area: f64,
    y: f64,
    z: f64,
    yy: f64,
    zz: f64,
    span: (f64, f64),
    faces: (f64, f64),
}

impl Default for Sums {
    fn default() -> Self {
        Self {
            area: 0.0,
            y: 0.0,
            z: 0.0,
            yy: 0.0,
            zz: 0.0,
            span: (f64::INFINITY, f64::NEG_INFINITY),
            faces: (f64::INFINITY, f64::NEG_INFINITY),
        }
    }
}

/// A place and the heights there.
#[derive(Clone, Copy)]
struct Place {
    y: f64,
    right: f64,
    left: f64,
}

impl Sums {
    /// Adds the steel between two places, its faces given by a function of `y`.
    pub(super) fn add(&mut self, low: f64, high: f64, heights: &impl Fn(f64) -> Heights) {
        if high <= low {
            return;
        }
        let at = |y: f64| {
            let (right, left) = heights(y);
            // Where the grinds have met there is no steel.
            if right + left > 0.0 {
                Place { y, right, left }
            } else {
                Place {
                    y,
                    right: 0.0,
                    left: 0.0,
                }
            }
        };
        let step = (high - low) / f64::from(CELLS);
        let mut a = at(low);
        for i in 1..=CELLS {
            let b = at(low + step * f64::from(i));
            let m = at(f64::midpoint(a.y, b.y));
            self.cell([a, m, b], &at, HALVINGS);
            a = b;
        }
    }

    fn cell(&mut self, [a, m, b]: [Place; 3], at: &impl Fn(f64) -> Place, halvings: u32) {
        let (p, q) = (at(f64::midpoint(a.y, m.y)), at(f64::midpoint(m.y, b.y)));
        let off = |f: fn(&Place) -> f64| {
            let near = |a: f64, b: f64, p: f64| (0.375 * a + 0.75 * f(&m) - 0.125 * b - p).abs();
            near(f(&a), f(&b), f(&p)).max(near(f(&b), f(&a), f(&q)))
        };
        if halvings > 0 && off(|p| p.right).max(off(|p| p.left)) > FLAT_MM {
            self.cell([a, p, m], at, halvings - 1);
            self.cell([m, q, b], at, halvings - 1);
            return;
        }
        for [a, m, b] in [[a, p, m], [m, q, b]] {
            let sixth = (b.y - a.y) / 6.0;
            self.take(&a, sixth);
            self.take(&m, 4.0 * sixth);
            self.take(&b, sixth);
            // An end where the steel runs out to nothing still bounds it.
            if m.right + m.left > 0.0 {
                self.span = (self.span.0.min(a.y), self.span.1.max(b.y));
            }
        }
    }

    fn take(&mut self, p: &Place, weight: f64) {
        let (y, r, l) = (p.y, p.right, p.left);
        let thick = weight * (r + l);
        self.area += thick;
        self.y += thick * y;
        self.yy += thick * y * y;
        self.z += weight * (r * r - l * l) / 2.0;
        self.zz += weight * (r * r * r + l * l * l) / 3.0;
        if r + l > 0.0 {
            self.faces = (self.faces.0.min(-l), self.faces.1.max(r));
        }
    }

    /// The section they make; `None` without steel.
    pub(super) fn section(&self, x_mm: f64) -> Option<NetSection> {
        let (y, z) = (self.y / self.area, self.z / self.area);
        let section = NetSection {
            x_mm,
            area_mm2: self.area,
            centroid_mm: (y, z),
            edgewise_mm4: self.yy - self.area * y * y,
            flatwise_mm4: self.zz - self.area * z * z,
            span_mm: self.span,
            faces_mm: self.faces,
        };
        let sound = section.area_mm2 > 0.0
            && section.edgewise_mm4 > 0.0
            && section.flatwise_mm4 > 0.0
            && section.edgewise_mm3().is_finite();
        sound.then_some(section)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn section(parts: &[(f64, f64)], heights: impl Fn(f64) -> Heights) -> NetSection {
        let mut sums = Sums::default();
        for (low, high) in parts {
            sums.add(*low, *high, &heights);
        }
        sums.section(0.0).unwrap()
    }

    fn near(a: f64, b: f64, share: f64) {
        assert!((a - b).abs() <= share * b.abs(), "{a} is not {b}");
    }

    /// A blade 30 high and 4 thick with a bevel of 18 to an edge of 0.5, as a rectangle and a trapezoid (closed form): 88.5 mm², centroid
    /// 18.20338983 over the edge, 91.421875 mm⁴ about the middle plane and 4973.338983 mm⁴ across the height.
    #[test]
    fn flats_and_bevel_are_rectangle_and_trapezoid() {
        let half = |y: f64| (0.25 + 1.75 * y / 18.0).min(2.0);
        let s = section(&[(0.0, 30.0)], |y| (half(y), half(y)));
        near(s.area_mm2, 88.5, 1e-7);
        near(s.centroid_mm.0, 18.203_389_83, 1e-7);
        near(s.flatwise_mm4, 91.421_875, 1e-7);
        near(s.edgewise_mm4, 4_973.338_983, 1e-7);
        assert!(s.centroid_mm.1.abs() < 1e-12);
    }

    /// Bar 30 × 4 with a hole of 6 through its middle (Machinery's Handbook, section moduli; from memory): flatwise I = (b − d)t³/12 = 128 and Z
    /// = 64, edgewise I = t(b³ − d³)/12 = 8928 and Z = 595.2; solid flatwise 160 and 80.
    #[test]
    fn a_hole_through_the_middle_is_the_handbooks() {
        let plate = |_| (2.0, 2.0);
        let s = section(&[(-15.0, -3.0), (3.0, 15.0)], plate);
        near(s.flatwise_mm4, 128.0, 1e-12);
        near(s.flatwise_mm3(), 64.0, 1e-12);
        near(s.edgewise_mm4, 8928.0, 1e-12);
        near(s.edgewise_mm3(), 595.2, 1e-12);
        let solid = section(&[(-15.0, 15.0)], plate);
        near(solid.flatwise_mm4, 160.0, 1e-12);
        near(solid.flatwise_mm3(), 80.0, 1e-12);
    }

    /// A block 28 × 20 bored 8 along its length (Machinery's Handbook; parts read at en.wikibooks.org, Statics, Geometric Properties of Lines and
    /// Areas): A = bh − πd²/4 = 509.7345175, I = bh³/12 − πd⁴/64 = 18465.60474, Z = 1846.560474. The bore is taken as what two halves of the
    /// block leave out.
    #[test]
    fn a_bored_block_is_the_handbooks() {
        // Height 20 up y, 28 through z. One half at a time, from the bore's wall to the face: twice that half is the block.
        let bore = |y: f64| (16.0 - y * y).max(0.0).sqrt();
        let s = section(&[(-10.0, 10.0)], |y| (14.0, -bore(y)));
        near(2.0 * s.area_mm2, 509.734_517_5, 1e-5);
        near(2.0 * s.edgewise_mm4, 18_465.604_74, 1e-5);
        near(2.0 * s.edgewise_mm3(), 1_846.560_474, 1e-5);
    }

    /// A full flat grind: a triangle 4 at the spine and 30 high (Roark, 7th ed., Table A.1; read at en.wikibooks.org for I): A = bh/2 = 60, I =
    /// bh³/36 = 3000, Z at the base bh²/12 = 300 and at the apex bh²/24 = 150, about the middle plane hb³/48 = 40.
    #[test]
    fn a_full_flat_grind_is_a_triangle() {
        let s = section(&[(0.0, 30.0)], |y| (y / 15.0, y / 15.0));
        near(s.area_mm2, 60.0, 1e-12);
        near(s.edgewise_mm4, 3000.0, 1e-10);
        near(s.spine_side_mm3(), 300.0, 1e-10);
        near(s.edge_side_mm3(), 150.0, 1e-6);
        near(s.flatwise_mm4, 40.0, 1e-10);
    }

    /// A chisel grind leans: right angled triangle of legs 3 through z and 12 up y (Roark, 7th ed., Table A.1: I = hb³/36 about its own centroid,
    /// from memory).
    #[test]
    fn a_chisel_grind_bends_about_its_own_centroid() {
        let s = section(&[(0.0, 12.0)], |y| (y / 4.0 - 1.5, 1.5));
        near(s.area_mm2, 18.0, 1e-10);
        near(s.centroid_mm.1, -0.5, 1e-10);
        near(s.flatwise_mm4, 12.0 * 27.0 / 36.0, 1e-10);
        near(s.flatwise_mm3(), 9.0 / 2.0, 1e-4);
    }

    #[test]
    fn no_steel_makes_no_section() {
        assert_eq!(Sums::default().section(0.0), None);
        let mut sums = Sums::default();
        sums.add(0.0, 5.0, &|_| (1.0, -1.5));
        assert_eq!(sums.section(0.0), None);
    }
}
