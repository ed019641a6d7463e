//! Figures bounded by straight lines and cubic curves, against published tables.

use tangwright::geometry::{AreaMoments, Contour, Piece, Point, Rect};

use super::bench::{Truth, chain, close, cubic, kurbo_path, line, polygon};

/// Trapezoid, base a = 40, top b = 25, height h = 30: Roark's Formulas for Stress and Strain, 7th ed., Table A.1;
/// A = (a + b)h/2, ȳ = h(a + 2b)/(3(a + b)), I = h³(a² + 4ab + b²)/(36(a + b)).
#[test]
fn trapezoid() {
    let m = polygon(&[(0.0, 0.0), (40.0, 0.0), (32.0, 30.0), (7.0, 30.0)]).moments();
    close(m.area, 975.0, 0.0);
    close(m.centroid.y, 13.846_153_85, 0.0);
    close(m.ixx, 71_826.923_08, 0.0);
    // Section moduli at base and top.
    close(m.ixx / m.centroid.y, 5187.5, 0.0);
    close(m.ixx / (30.0 - m.centroid.y), 4_446.428_571, 0.0);
}

/// Triangle by its corners: the moment sums of a polygon (Green's theorem; e.g. P. Bourke, "Calculating the area and
/// centroid of a polygon", 1988), worked out in whole numbers.
#[test]
fn triangle_by_corners() {
    Truth::new(629.5, (68.0 / 3.0, 44.0 / 3.0))
        .about_origin(163_145.416_7, 375_916.416_7)
        .product(210_620.208_3)
        .holds_for(&polygon(&[(3.0, 2.0), (47.0, 9.0), (18.0, 33.0)]));
}

/// An irregular outline of eight corners, by the same sums in whole numbers.
#[test]
fn eight_corners() {
    Truth::new(4646.0, (472_519.0 / 4646.0, 1252.0 / 101.0))
        .about_origin(2_781_755.0 / 3.0, 63_245_114.17)
        .product(6_197_267.5)
        .holds_for(&polygon(&[
            (0.0, 0.0),
            (150.0, 0.0),
            (205.0, 9.0),
            (214.0, 14.0),
            (196.0, 24.0),
            (98.0, 27.0),
            (98.0, 22.0),
            (0.0, 22.0),
        ]));
}

/// Wedge triangle, base b = 4, height h = 30: Roark, 7th ed., Table A.1; I = bh³/36, about the middle plane hb³/48.
#[test]
fn wedge_triangle() {
    let m = polygon(&[(-2.0, 0.0), (2.0, 0.0), (0.0, 30.0)]).moments();
    close(m.area, 60.0, 0.0);
    close(m.ixx, 3000.0, 0.0);
    close(m.iyy, 40.0, 0.0);
    close(m.ixy, 0.0, m.ixx);
    close(m.ixx / 10.0, 300.0, 0.0);
    close(m.ixx / 20.0, 150.0, 0.0);
}

/// A flat with a double bevel down to an edge of 0.5 mm, as a section: a rectangle and a trapezoid together;
/// A = (H − Hb)T + Hb(T + e)/2, I about the middle plane = (H − Hb)T³/12 + Hb(T⁴ − e⁴)/(48(T − e)).
#[test]
fn beveled_section() {
    let m = polygon(&[
        (-0.25, 0.0),
        (0.25, 0.0),
        (2.0, 18.0),
        (2.0, 30.0),
        (-2.0, 30.0),
        (-2.0, 18.0),
    ])
    .moments();
    close(m.area, 88.5, 0.0);
    close(m.centroid.y, 18.203_389_83, 0.0);
    close(m.iyy, 91.421_875, 0.0);
    close(m.ixx, 4_973.338_983, 0.0);
}

/// A rectangle 30 × 3 about an axis 5 mm off its middle: the parallel-axis theorem, any text on statics; I + A·d².
/// Its own I = bh³/12: Machinery's Handbook, section moduli.
#[test]
fn parallel_axis() {
    let m = polygon(&[(-15.0, -1.5), (15.0, -1.5), (15.0, 1.5), (-15.0, 1.5)]).moments();
    close(m.ixx, 67.5, 0.0);
    close(m.second_moments_about(Point::new(0.0, 5.0)).0, 2317.5, 0.0);
    close(m.second_moments_about(Point::new(0.0, -5.0)).0, 2317.5, 0.0);
    close(m.polar(), 67.5 + 3.0 * 27_000.0 / 12.0, 0.0);
}

/// The parabola y = h·x²/b² as a cubic: the degree of the quadratic with control height 0 raised by one.
fn parabola(b: f64, h: f64) -> Piece {
    cubic([(-b, h), (-b / 3.0, -h / 3.0), (b / 3.0, -h / 3.0), (b, h)])
}

/// Parabolic segment: tables of centroids in textbooks of statics; A = 4bh/3, ȳ = 3h/5, I about the tangent 4bh³/7.
#[test]
fn parabolic_segment() {
    let (b, h) = (40.0, 12.0);
    let m = chain(vec![parabola(b, h), line((b, h), (-b, h))]).moments();
    close(m.area, 640.0, 0.0);
    close(m.centroid.y, 7.2, 0.0);
    close(m.centroid.x, 0.0, 10.0);
    close(m.ixx, 6_319.542_857, 0.0);
    close(m.second_moments_about(Point::ZERO).0, 39_497.142_86, 0.0);
}

/// Spandrels under y = h(x/b)ⁿ: tables of centroids in textbooks of statics; A = bh/(n + 1), x̄ = (n + 1)b/(n + 2),
/// ȳ = (n + 1)h/(4n + 2).
#[test]
fn spandrels() {
    let (b, h) = (40.0, 12.0);
    let corner = |curve: Piece| {
        chain(vec![
            line((0.0, 0.0), (b, 0.0)),
            line((b, 0.0), (b, h)),
            curve,
        ])
    };
    let square = cubic([(b, h), (2.0 * b / 3.0, h / 3.0), (b / 3.0, 0.0), (0.0, 0.0)]);
    Truth::new(160.0, (30.0, 3.6)).holds_for(&corner(square));
    let cube = cubic([(b, h), (2.0 * b / 3.0, 0.0), (b / 3.0, 0.0), (0.0, 0.0)]);
    Truth::new(120.0, (32.0, 3.428_571_429)).holds_for(&corner(cube));
}

/// A cubic that ends where it begins; area (3/20)(x₁y₂ − x₂y₁). Exact integrals of the polynomials.
#[test]
fn closed_cubic() {
    Truth::new(1410.0, (30.0, 135.0 / 7.0))
        .about_origin(49_702_500.0 / 77.0, 119_286_000.0 / 77.0)
        .holds_for(&chain(vec![cubic([
            (0.0, 0.0),
            (120.0, 10.0),
            (20.0, 80.0),
            (0.0, 0.0),
        ])]));
}

/// A cubic arch on its chord: exact integrals of the polynomials; the top where y' = 0 at t = (7 − √31)/3; the length
/// by numerical integration to 15 figures.
#[test]
fn cubic_arch() {
    let arch = cubic([(120.0, 0.0), (90.0, 25.0), (40.0, 30.0), (0.0, 0.0)]);
    let contour = chain(vec![line((0.0, 0.0), (120.0, 0.0)), arch]);
    Truth::new(1695.0, (47_805.0 / 791.0, 13_215.0 / 1582.0))
        .about_origin(168_172.889_6, 7_447_762.987)
        .holds_for(&contour);
    close(arch.length(), 129.314_424_5, 0.0);
    close(contour.perimeter(), 249.314_424_5, 0.0);
    close(contour.bounds().y1, 20.667_439_16, 0.0);
    let top = contour.index().depth_at(60.862_706_98);
    assert!(top.is_some_and(|(low, high)| low == 0.0 && (high - 20.667_439_16).abs() < 1e-8));
    close(
        contour.index().largest_depth(0.0, 120.0),
        20.667_439_16,
        0.0,
    );
}

/// Two cubics and a line: exact integrals of the polynomials.
#[test]
fn two_cubics_and_a_line() {
    let contour = chain(vec![
        cubic([(0.0, 20.0), (60.0, 32.0), (150.0, 30.0), (200.0, 10.0)]),
        cubic([(200.0, 10.0), (190.0, 0.0), (120.0, -4.0), (0.0, 0.0)]),
        line((0.0, 0.0), (0.0, 20.0)),
    ]);
    Truth::new(4664.0, (4_416_815.0 / 48_972.0, 392_531.0 / 32_648.0))
        .about_origin(931_503.567_1, 50_018_203.46)
        .holds_for(&contour.reversed());
}

/// A regular polygon in place of a circle: A = (n/2)R² sin(2π/n). Geometry.
#[test]
fn polygon_in_a_circle() {
    use std::f64::consts::{PI, TAU};
    let ring = |n: u32| {
        let corners: Vec<(f64, f64)> = (0..n)
            .map(|i| (TAU * f64::from(i) / f64::from(n)).sin_cos())
            .map(|(s, c)| (10.0 * c, 10.0 * s))
            .collect();
        polygon(&corners)
    };
    close(ring(64).moments().area, 313.654_849_1, 0.0);
    // Chord error R(1 − cos(π/n)); as many sides as flattening takes for a hundredth of a millimeter are at least 71.
    close(10.0 * (1.0 - (PI / 64.0).cos()), 0.012_045_437_95, 0.0);
    let taken = Contour::circle(Point::ZERO, 10.0).flattened(0.01).len();
    assert!((71..=74).contains(&taken), "{taken}");
}

/// Sums and differences of parts, by the rectangle with a bore: Machinery's Handbook; I = bh³/12 − πd⁴/64.
#[test]
fn rectangle_less_a_bore() {
    let block = polygon(&[(-14.0, -10.0), (14.0, -10.0), (14.0, 10.0), (-14.0, 10.0)]).moments();
    let bored = block.plus(&AreaMoments::disc(Point::ZERO, 4.0).negated());
    close(bored.area, 509.734_517_5, 0.0);
    close(bored.ixx, 18_465.604_74, 0.0);
    close(bored.ixx / 10.0, 1_846.560_474, 0.0);
}

/// The four parts of a knife as weights on a line: statics, x̄ = Σmx/Σm.
#[test]
fn composite_balance() {
    let parts = [(142.0, 118.0), (31.0, -3.0), (46.0, -62.0), (9.0, -58.0)];
    let whole = parts.iter().fold(AreaMoments::default(), |sum, (mass, x)| {
        sum.plus(&AreaMoments {
            area: *mass,
            centroid: Point::new(*x, 0.0),
            ..AreaMoments::default()
        })
    });
    close(whole.area, 228.0, 0.0);
    close(whole.centroid.x, 13_289.0 / 228.0, 0.0);
    // Second moment of the weights: Σm(x − x̄)².
    let spread: f64 = parts
        .iter()
        .map(|(m, x)| m * (x - whole.centroid.x).powi(2))
        .sum();
    close(whole.iyy, spread, 0.0);
}

/// Against the moments that `kurbo` gives for the same path; its product and squares are signed by direction.
#[test]
fn kurbo_agrees() {
    let outlines = [
        super::bench::camp_outline(),
        chain(vec![cubic([
            (0.0, 0.0),
            (120.0, 10.0),
            (20.0, 80.0),
            (0.0, 0.0),
        ])]),
        polygon(&[(3.0, 2.0), (47.0, 9.0), (18.0, 33.0)]),
    ];
    for contour in outlines {
        let path = kurbo_path(&contour);
        let theirs = kurbo::ParamCurveMoments::moments(&path);
        let ours = contour.moments();
        let area = kurbo::Shape::area(&path);
        close(ours.area, area, 0.0);
        let sign = if theirs.moment_xx * ours.iyy < 0.0 {
            -1.0
        } else {
            1.0
        };
        close(ours.centroid.x * area, sign * theirs.moment_x, ours.area);
        close(ours.centroid.y * area, sign * theirs.moment_y, ours.area);
        let (ixx, iyy, ixy) = ours.second_moments_about(Point::ZERO);
        close(ixx, sign * theirs.moment_yy, 0.0);
        close(iyy, sign * theirs.moment_xx, 0.0);
        close(ixy, sign * theirs.moment_xy, ixx);
        close(
            contour.perimeter(),
            kurbo::Shape::perimeter(&path, 1e-10),
            0.0,
        );
        let b: Rect = kurbo::Shape::bounding_box(&path);
        close(contour.bounds().area(), b.area(), 0.0);
    }
}
