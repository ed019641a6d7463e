//! What a closed contour is: a round hole, a slot, or a shape of its own.

use std::f64::consts::{FRAC_PI_2, PI};

use kurbo::{Point, Vec2};

use super::imported::OpeningShape;
use crate::catalog::nearest_drills;
use crate::geometry::{AreaMoments, Contour, Motion, Piece};

/// A contour that stays within this of a circle or slot is one, mm: less than a drill wanders.
const WITHIN_MM: f64 = 0.02;
/// On small holes this share of the radius is asked instead, or a tiny square would be round.
const WITHIN_SHARE: f64 = 0.01;
/// Fewest sides of a polygon that stands for a circle.
const FEWEST_SIDES: usize = 12;
/// A polygon's longest side to its shortest, at most.
const EVEN: f64 = 1.05;
/// A polygon of [`FEWEST_SIDES`] has 0.955 of the area of its circle.
const AREA_SHARE: (f64, f64) = (0.94, 1.06);
/// Sizes that passed through single precision are true to this, mm.
const COARSE_MM: f64 = 6e-5;
/// A slot that is less than this longer than wide is a round hole that was drawn badly, or a shape of its own.
const LEAST_SLOT: f64 = 1.01;

/// The shape of a sealed contour that came from `pieces` as they were drawn. `coarse` says that the numbers passed through single precision; a size within
/// its rounding of a drill's, or of a ten-thousandth of a millimeter, is taken for that then.
pub(super) fn shape_of(pieces: &[Piece], coarse: bool) -> Option<OpeningShape> {
    let clean = |mm: f64| if coarse { cleaned(mm) } else { mm };
    if let Some((center, radius)) = round(pieces) {
        return Some(OpeningShape::Round {
            center,
            diameter_mm: clean(2.0 * radius),
        });
    }
    let (center, length, width, angle_rad) = slot(pieces)?;
    Some(OpeningShape::Slot {
        center,
        length_mm: clean(length),
        width_mm: clean(width),
        angle_rad: if coarse && angle_rad.abs() < 1e-5 {
            0.0
        } else {
            angle_rad
        },
    })
}

fn cleaned(mm: f64) -> f64 {
    let drill = nearest_drills(mm, 1)
        .first()
        .map(|drill| drill.diameter_mm)
        .filter(|size| (size - mm).abs() <= COARSE_MM);
    drill.unwrap_or_else(|| (mm * 1e4).round() / 1e4)
}

fn within(radius: f64) -> f64 {
    WITHIN_MM.min(WITHIN_SHARE * radius)
}

/// Center and radius, if the contour is a circle, or an even polygon with its corners on one.
fn round(pieces: &[Piece]) -> Option<(Point, f64)> {
    if matches!(pieces.first(), Some(Piece::Arc(_))) {
        let contour = Contour {
            pieces: pieces.to_vec(),
        };
        if let Some(circle) = contour.as_circle() {
            return Some(circle);
        }
    }
    let corners: Vec<Point> = pieces.iter().map(Piece::start).collect();
    let lines = pieces.iter().all(|p| matches!(p, Piece::Line(_)));
    if lines && (corners.len() < FEWEST_SIDES || !even_sides(pieces)) {
        return None;
    }
    let mut probes = corners.clone();
    if !lines {
        let inner = [0.25, 0.5, 0.75];
        probes.extend(pieces.iter().flat_map(|p| inner.map(|t| p.eval(t))));
    }
    // Nodes lie on the circle, the cubics between them a little outside; so the nodes tell its size where there are enough.
    let by_corners = (corners.len() >= 3).then(|| fitted(&corners)).flatten();
    let on = |circle: &(Point, f64)| {
        let (center, radius) = *circle;
        let near = |p: &Point| (p.distance(center) - radius).abs() <= within(radius);
        radius > 0.0 && probes.iter().all(near)
    };
    let circle = by_corners
        .filter(on)
        .or_else(|| fitted(&probes).filter(on))?;
    let area = AreaMoments::of_pieces(pieces).area.abs();
    let share = area / (PI * circle.1 * circle.1);
    (AREA_SHARE.0..=AREA_SHARE.1)
        .contains(&share)
        .then_some(circle)
}

fn even_sides(pieces: &[Piece]) -> bool {
    let lengths = || pieces.iter().map(Piece::length);
    let (least, most) = (
        lengths().fold(f64::INFINITY, f64::min),
        lengths().fold(0.0, f64::max),
    );
    most <= EVEN * least
}

/// The circle nearest to some points, by least squares of its equation (I. Kåsa, "A circle fitting procedure and its error analysis", IEEE
/// Transactions on Instrumentation and Measurement 25 (1976), pp. 8-14). With u, v counted from the points' mean, its center solves
///
/// ```text
/// Σu²·a + Σuv·b = ½ Σu(u² + v²)
/// Σuv·a + Σv²·b = ½ Σv(u² + v²)
/// ```
///
/// and its radius is √(a² + b² + (Σu² + Σv²)/n).
fn fitted(points: &[Point]) -> Option<(Point, f64)> {
    let n = f64::from(u32::try_from(points.len()).ok()?);
    let sum = points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
    let mean = (sum / n).to_point();
    let (mut uu, mut uv, mut vv, mut ru, mut rv) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for point in points {
        let d = *point - mean;
        let square = d.hypot2();
        uu += d.x * d.x;
        uv += d.x * d.y;
        vv += d.y * d.y;
        ru += d.x * square / 2.0;
        rv += d.y * square / 2.0;
    }
    let det = uu * vv - uv * uv;
    if det <= 1e-9 * uu * vv {
        return None;
    }
    let center = Vec2::new((ru * vv - rv * uv) / det, (rv * uu - ru * uv) / det);
    let radius = (center.hypot2() + (uu + vv) / n).sqrt();
    Some((mean + center, radius)).filter(|(c, r)| c.is_finite() && r.is_finite())
}

/// Center, length over all, width and direction, if the contour is an obround.
fn slot(pieces: &[Piece]) -> Option<(Point, f64, f64, f64)> {
    // Its sides tell the direction.
    let longest = pieces
        .iter()
        .filter(|piece| matches!(piece, Piece::Line(_)))
        .max_by(|a, b| a.length().total_cmp(&b.length()))?;
    // Quickly told: few shapes have two like sides against each other.
    let side = longest.end() - longest.start();
    let against = |piece: &Piece| {
        let other = piece.end() - piece.start();
        matches!(piece, Piece::Line(_))
            && (side + other).hypot() <= WITHIN_SHARE * side.hypot() + WITHIN_MM
    };
    if !pieces.iter().any(against) {
        return None;
    }
    let mut angle = side.atan2();
    if angle > FRAC_PI_2 {
        angle -= PI;
    } else if angle <= -FRAC_PI_2 {
        angle += PI;
    }
    let turned = Contour {
        pieces: pieces
            .iter()
            .map(|p| p.moved(&Motion::turn(-angle)))
            .collect(),
    };
    let bounds = turned.bounds();
    let (length, width) = (bounds.width(), bounds.height());
    if length < LEAST_SLOT * width {
        return None;
    }
    let (radius, middle) = (width / 2.0, bounds.center());
    let half = (length - width) / 2.0;
    let off = |p: Point| {
        let along = (p.x - middle.x).clamp(-half, half);
        (p.distance(Point::new(middle.x + along, middle.y)) - radius).abs()
    };
    let probes = turned
        .pieces
        .iter()
        .flat_map(|piece| [0.0, 0.25, 0.5, 0.75].map(|t| piece.eval(t)));
    if probes.map(off).any(|off| off > within(radius)) {
        return None;
    }
    let area = AreaMoments::of_pieces(pieces).area.abs();
    let truth = (length - width) * width + PI * radius * radius;
    ((area / truth - 1.0).abs() <= WITHIN_SHARE).then(|| {
        let center = Motion::turn(angle).apply(middle);
        (center, length, width, angle)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{CubicBez, arc_cubics};
    use proptest::prelude::*;

    fn regular(n: u32, radius: f64, turn: f64) -> Vec<Piece> {
        let corner = |i: u32| {
            let angle = turn + std::f64::consts::TAU * f64::from(i) / f64::from(n);
            Point::new(30.0, -4.0) + Vec2::from_angle(angle) * radius
        };
        let corners: Vec<Point> = (0..n).map(corner).collect();
        Contour::polygon(&corners).pieces
    }

    fn as_cubics(pieces: &[Piece]) -> Vec<Piece> {
        pieces
            .iter()
            .flat_map(|p| match p {
                Piece::Arc(arc) => arc_cubics(arc).into_iter().map(Piece::Cubic).collect(),
                other => vec![*other],
            })
            .collect()
    }

    /// The usual circle of four cubics, handles 0.5523 of the radius; it leaves the circle by 2.7e-4 of the radius.
    fn four_cubics(center: Point, r: f64) -> Vec<Piece> {
        let k = 0.552_284_749_830_793_4 * r;
        let at = |x: f64, y: f64| center + Vec2::new(x, y);
        [
            [at(r, 0.0), at(r, k), at(k, r), at(0.0, r)],
            [at(0.0, r), at(-k, r), at(-r, k), at(-r, 0.0)],
            [at(-r, 0.0), at(-r, -k), at(-k, -r), at(0.0, -r)],
            [at(0.0, -r), at(k, -r), at(r, -k), at(r, 0.0)],
        ]
        .map(|[a, b, c, d]| Piece::Cubic(CubicBez::new(a, b, c, d)))
        .to_vec()
    }

    proptest! {
        #[test]
        fn circles_are_found_however_they_were_drawn(
            n in 12_u32..200, diameter in 0.5_f64..40.0, turn in 0.0..6.0, x in -200.0..200.0,
        ) {
            let center = Point::new(x, 7.0);
            let r = diameter / 2.0;
            let shapes = [
                Contour::circle(center, r).pieces,
                as_cubics(&Contour::circle(center, r).pieces),
                four_cubics(center, r),
                regular(n, r, turn).iter().map(|p| p.moved(&Motion::shift(center - Point::new(30.0, -4.0)))).collect(),
            ];
            for shape in shapes {
                let Some(OpeningShape::Round { center: found, diameter_mm }) = shape_of(&shape, false) else {
                    return Err(TestCaseError::fail("no circle"));
                };
                prop_assert!(found.distance(center) < 1e-8 && (diameter_mm - diameter).abs() < 1e-8);
            }
        }

        #[test]
        fn slots_are_found_turned_any_way(
            width in 1.0_f64..12.0, more in 0.5_f64..40.0, angle in -1.57_f64..1.57, x in -100.0..100.0,
        ) {
            let center = Point::new(x, 3.0);
            let exact = Contour::slot(center, width + more, width, angle).pieces;
            for pieces in [exact.clone(), as_cubics(&exact)] {
                let Some(OpeningShape::Slot { center: found, length_mm, width_mm, angle_rad }) = shape_of(&pieces, false) else {
                    return Err(TestCaseError::fail("no slot"));
                };
                prop_assert!(found.distance(center) < 1e-5);
                prop_assert!((width_mm - width).abs() < 1e-5 && (length_mm - width - more).abs() < 1e-5);
                prop_assert!((angle_rad - angle).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn other_shapes_stay_what_they_are() {
        let square = kurbo::Rect::new(0.0, 0.0, 10.0, 10.0);
        let ellipse: Vec<Piece> = four_cubics(Point::ZERO, 5.0)
            .into_iter()
            .map(|p| match p {
                Piece::Cubic(c) => Piece::Cubic(kurbo::Affine::scale_non_uniform(1.2, 1.0) * c),
                other => other,
            })
            .collect();
        for shape in [
            Contour::rounded_rect(square, 0.0).pieces,
            Contour::rounded_rect(square, 2.0).pieces,
            Contour::rounded_rect(kurbo::Rect::new(0.0, 0.0, 0.08, 0.08), 0.0).pieces,
            regular(11, 5.0, 0.0),
            regular(6, 5.0, 0.0),
            ellipse,
        ] {
            assert_eq!(shape_of(&shape, false), None);
        }
    }

    #[test]
    fn sizes_from_single_precision_are_cleaned() {
        let size = |mm: f64| match shape_of(&four_cubics(Point::ZERO, mm / 2.0), true) {
            Some(OpeningShape::Round { diameter_mm, .. }) => diameter_mm,
            other => panic!("{other:?}"),
        };
        assert_eq!(size(3.200_014), 3.2);
        // 5/32 in is 3.96875 mm, which has five decimals.
        assert_eq!(size(3.968_73), 3.968_75);
        assert_eq!(size(3.333_312), 3.3333);
    }
}
