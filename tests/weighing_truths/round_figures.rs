//! Figures bounded by arcs, against published tables.

use std::f64::consts::{FRAC_PI_2, PI};

use tangwright::geometry::{AreaMoments, Contour, CubicBez, Piece, Point, Rect, Vec2};

use super::bench::{Truth, arc, at, chain, close, line};

/// Circular segment, half angle 40°, r = 50: Roark's Formulas for Stress and Strain, 7th ed., Table A.1.
/// A = r²/2·(2a − sin 2a), x̄ = 4r sin³a/(3(2a − sin 2a)); second moments by integration.
#[test]
fn circular_segment() {
    let a = 40.0_f64.to_radians();
    let (sin, cos) = a.sin_cos();
    let (p, q) = ((50.0 * cos, -50.0 * sin), (50.0 * cos, 50.0 * sin));
    let contour = chain(vec![arc((0.0, 0.0), 50.0, -a, 2.0 * a), line(q, p)]);
    Truth::new(514.319_560_7, (43.031_670_16, 0.0))
        .about_origin(109_523.245_9, 957_229.164)
        .holds_for(&contour);
    close(contour.moments().iyy, 4_850.962_318, 0.0);
    close(contour.bounds().height(), 64.278_760_97, 0.0);
    close(contour.bounds().width(), 11.697_777_84, 0.0);
    close(contour.perimeter(), 64.278_760_97 + 100.0 * a, 0.0);
}

/// Semicircle, r = 30: Roark, 7th ed., Table A.1; ȳ = 4r/(3π), I about the base πr⁴/8, about the centroid
/// (π/8 − 8/(9π))r⁴.
#[test]
fn semicircle() {
    let contour = chain(vec![
        arc((0.0, 0.0), 30.0, 0.0, PI),
        line((-30.0, 0.0), (30.0, 0.0)),
    ]);
    Truth::new(1_413.716_694, (0.0, 12.732_395_45))
        .about_origin(318_086.256_2, 318_086.256_2)
        .holds_for(&contour);
    close(contour.moments().ixx, 88_903.138_12, 0.0);
}

/// Quarter circle, r = 20: Roark, 7th ed., Table A.1; I = πr⁴/16, Ixy about the corner r⁴/8.
#[test]
fn quarter_circle() {
    let contour = chain(vec![
        line((0.0, 0.0), (20.0, 0.0)),
        arc((0.0, 0.0), 20.0, 0.0, FRAC_PI_2),
        line((0.0, 20.0), (0.0, 0.0)),
    ]);
    Truth::new(314.159_265_4, (8.488_263_632, 8.488_263_632))
        .about_origin(31_415.926_54, 31_415.926_54)
        .product(20_000.0)
        .holds_for(&contour);
    let m = contour.moments();
    close(m.ixx, 8_780.556_852, 0.0);
    close(m.ixy, -2_635.369_684, 0.0);
}

/// Circular sector, half angle 35°, r = 45: Roark, 7th ed., Table A.1; A = ar², x̄ = 2r sin a/(3a),
/// I = r⁴/4·(a ∓ sin 2a/2).
#[test]
fn circular_sector() {
    let a = 35.0_f64.to_radians();
    let (sin, cos) = a.sin_cos();
    let contour = chain(vec![
        line((0.0, 0.0), (45.0 * cos, -45.0 * sin)),
        arc((0.0, 0.0), 45.0, -a, 2.0 * a),
        line((45.0 * cos, 45.0 * sin), (0.0, 0.0)),
    ]);
    Truth::new(1_237.002_107, (28.168_722_03, 0.0))
        .about_origin(144_566.435_2, 1_107_898.198)
        .holds_for(&contour);
}

/// Ring, R = 6, r = 4: any text on statics; A = π(R² − r²), I = π(R⁴ − r⁴)/4.
#[test]
fn ring() {
    let outer = Contour::circle(at(3.0, 4.0), 6.0).moments();
    let ring = outer.plus(&Contour::circle(at(3.0, 4.0), 4.0).moments().negated());
    close(ring.area, 62.831_853_07, 0.0);
    close(ring.ixx, 816.814_089_9, 0.0);
    close(ring.iyy, 816.814_089_9, 0.0);
    let disc = AreaMoments::disc(at(3.0, 4.0), 6.0);
    close(disc.ixx, outer.ixx, 0.0);
    close(disc.area, outer.area, 0.0);
}

/// Fillet between two square tangents, r = 3: Machinery's Handbook, areas; A = r²(1 − π/4), centroid from either tangent
/// r(10 − 3π)/(3(4 − π)).
#[test]
fn fillet() {
    let contour = chain(vec![
        line((0.0, 0.0), (3.0, 0.0)),
        arc((3.0, 3.0), 3.0, -FRAC_PI_2, -FRAC_PI_2),
        line((0.0, 3.0), (0.0, 0.0)),
    ]);
    Truth::new(1.931_416_529, (0.670_103_816_8, 0.670_103_816_8)).holds_for(&contour);
}

/// Obround, L = 30, w = 8: rectangle and two semicircles (Roark, 7th ed., Table A.1) together.
#[test]
fn obround() {
    let level = Contour::slot(at(0.0, 0.0), 30.0, 8.0, 0.0);
    Truth::new(226.265_482_5, (0.0, 0.0))
        .about_origin(1_139.728_596, 15_259.185_31)
        .holds_for(&level);
    close(level.perimeter(), 69.132_741_23, 0.0);
    // At any angle the principal moments stay; Ixy follows the double angle (Mohr's circle).
    let (long, short) = (15_259.185_31, 1_139.728_596);
    for angle in [0.3, 1.0, 2.5, -0.7] {
        let (mean, half) = ((long + short) / 2.0, (long - short) / 2.0);
        for m in [
            Contour::slot(at(40.0, -7.0), 30.0, 8.0, angle).moments(),
            AreaMoments::slot(at(40.0, -7.0), 30.0, 8.0, angle),
        ] {
            close(m.area, 226.265_482_5, 0.0);
            assert!(m.centroid.distance(at(40.0, -7.0)) < 1e-9);
            close(m.iyy, mean + half * (2.0 * angle).cos(), 0.0);
            close(m.ixx, mean - half * (2.0 * angle).cos(), 0.0);
            close(m.ixy, half * (2.0 * angle).sin(), 0.0);
        }
    }
    assert_eq!(
        AreaMoments::slot(at(1.0, 1.0), 8.0, 8.0, 0.4),
        AreaMoments::disc(at(1.0, 1.0), 4.0)
    );
    // No longer than wide: a circle.
    let round = Contour::slot(at(1.0, 1.0), 8.0, 8.0, 0.4);
    assert_eq!(round.as_circle(), Some((at(1.0, 1.0), 4.0)));
    assert_eq!(level.as_circle(), None);
    // The same half twice is no circle.
    let half = arc((1.0, 1.0), 4.0, 0.3, PI);
    assert_eq!(chain(vec![half, half]).as_circle(), None);
    assert_eq!(chain(vec![half, half.reversed()]).as_circle(), None);
}

/// Ellipse, a = 60, b = 25, as 400 cubics with its own tangents: Roark, 7th ed., Table A.1; perimeter 4aE(k) with
/// k² = 1 − b²/a², Abramowitz & Stegun, Handbook of Mathematical Functions, ch. 17. The cubics leave it by less than
/// 1e-10 of its size (their error falls with the sixth power of their number).
#[test]
fn ellipse() {
    let n = 400;
    let step = 2.0 * PI / f64::from(n);
    let on = |u: f64| Point::new(60.0 * u.cos(), 25.0 * u.sin());
    let along =
        |u: f64| Vec2::new(-60.0 * u.sin(), 25.0 * u.cos()) * (4.0 / 3.0 * (step / 4.0).tan());
    let pieces = (0..n).map(|i| {
        let (u, v) = (step * f64::from(i), step * f64::from(i + 1));
        Piece::Cubic(CubicBez::new(
            on(u),
            on(u) + along(u),
            on(v) - along(v),
            on(v),
        ))
    });
    let contour = chain(pieces.collect());
    Truth::new(4_712.388_98, (0.0, 0.0))
        .about_origin(736_310.778_2, 4_241_150.082)
        .holds_for(&contour);
    close(contour.perimeter(), 278.479_746_9, 0.0);
}

/// The sliver a hollow grind takes, wheel radius 127, width 25: Machinery's Handbook, segment of a circle;
/// depth R − √(R² − (w/2)²), area of the circular segment.
#[test]
fn hollow_sliver() {
    let a = (12.5_f64 / 127.0).asin();
    let contour = chain(vec![
        arc((0.0, 0.0), 127.0, FRAC_PI_2 - a, 2.0 * a),
        line((-12.5, 127.0 * a.cos()), (12.5, 127.0 * a.cos())),
    ]);
    close(contour.bounds().height(), 0.616_654_578_2, 0.0);
    close(contour.moments().area, 10.282_577_04, 0.0);
}

/// Segments larger and smaller than a half, r = 15, with the chord 5 mm off the middle: the bases of the two ungulas in
/// Machinery's Handbook, portion of cylinder.
#[test]
fn large_and_small_segment() {
    let a = (5.0_f64 / 15.0).acos();
    let (x, h) = (5.0, 15.0 * a.sin());
    let small = chain(vec![
        arc((0.0, 0.0), 15.0, -a, 2.0 * a),
        line((x, h), (x, -h)),
    ]);
    close(small.moments().area, 206.255_190_8, 0.0);
    let large = chain(vec![
        arc((0.0, 0.0), 15.0, a, 2.0 * (PI - a)),
        line((x, -h), (x, h)),
    ]);
    close(large.moments().area, 500.603_156_3, 0.0);
}

/// A barely bent arc, 100 mm long with a rise of 0.01 mm (radius 125 m), over its chord. Against the parabolic segment
/// (A = 4bh/3, ȳ = 3h/5 from the vertex), which differs from it by (h/b)² only: 4e-8.
#[test]
fn very_flat_segment() {
    let (b, h) = (50.0_f64, 0.01_f64);
    let r = (b * b + h * h) / (2.0 * h);
    let half = (b / r).asin();
    let contour = chain(vec![
        arc((0.0, h - r), r, FRAC_PI_2 - half, 2.0 * half),
        line((-b, 0.0), (b, 0.0)),
    ]);
    let m = contour.moments();
    let near =
        |found: f64, truth: f64| assert!((found / truth - 1.0).abs() < 1e-6, "{found} {truth}");
    near(m.area, 4.0 * b * h / 3.0);
    near(m.centroid.y, 0.4 * h);
    // About the axis of symmetry a parabolic segment has I = 4hb³/15.
    near(m.iyy, 4.0 * h * b * b * b / 15.0);
}

/// Small and large sweeps meet: an arc cut in any number of parts keeps its moments.
#[test]
fn arcs_in_parts() {
    let whole = arc((3.0, -8.0), 70.0, 0.4, 2.1);
    let (p, q) = (whole.start(), whole.end());
    let truth = chain(vec![whole, Piece::line(q, p)]).moments();
    for n in [2, 7, 8, 9, 40, 300] {
        let cut = (0..n)
            .map(|i| whole.part(f64::from(i) / f64::from(n), f64::from(i + 1) / f64::from(n)));
        let m = chain(cut.chain([Piece::line(q, p)]).collect()).moments();
        Truth::new(truth.area, (truth.centroid.x, truth.centroid.y)).is(&m);
        close(m.ixx, truth.ixx, 0.0);
        close(m.iyy, truth.iyy, 0.0);
        close(m.ixy, truth.ixy, 0.0);
    }
}

/// A rounded rectangle is the rectangle less four fillets (Machinery's Handbook, areas).
#[test]
fn rounded_rectangle() {
    let rect = Rect::new(-6.0, -20.0, 6.0, 20.0);
    let m = Contour::rounded_rect(rect, 3.0).moments();
    close(m.area, 480.0 - 4.0 * 1.931_416_529, 0.0);
    close(m.centroid.x, 0.0, 10.0);
    close(m.centroid.y, 0.0, 10.0);
    // Rounded all the way it is an obround.
    let full = Contour::rounded_rect(rect, 99.0).moments();
    let slot = Contour::slot(at(0.0, 0.0), 40.0, 12.0, FRAC_PI_2).moments();
    close(full.area, slot.area, 0.0);
    close(full.iyy, slot.iyy, 0.0);
}
