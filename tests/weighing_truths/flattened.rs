//! Against the `geo` library on outlines flattened finely.
//!
//! A polyline whose chords leave the curves by no more than `e` encloses an area that is off by at most `e` times the
//! perimeter, has a perimeter short by a share of at most (e/chord)²·8/3 for each chord, and a centroid off by about the
//! error of the area times the size over the area.

use geo::{Area, Centroid, Contains, Coord, Euclidean, Length, LineString, Polygon};
use proptest::prelude::*;
use tangwright::geometry::{Contour, Motion, Point, Vec2};
use tangwright::knife::{LandmarkKind, Spot};
use tangwright::weighing::weigh;

use super::bench::{at, camp_outline, knife, on_the_rack, round, set, slot};

const FLAT_MM: f64 = 1e-5;

fn ring(contour: &Contour, tolerance: f64) -> LineString<f64> {
    let points = contour.flattened(tolerance);
    let closing = points.first().copied();
    points
        .into_iter()
        .chain(closing)
        .map(|p| Coord { x: p.x, y: p.y })
        .collect()
}

fn polygon(outline: &Contour, holes: &[Contour]) -> Polygon<f64> {
    let holes = holes.iter().map(|h| ring(h, FLAT_MM)).collect();
    Polygon::new(ring(outline, FLAT_MM), holes)
}

#[test]
fn camp_blade_with_holes() {
    let mut camp = knife(&camp_outline());
    camp.cut_outs = vec![
        round(500, -20.0, 8.0, 6.0),
        round(501, -90.0, 2.0, 8.0),
        slot(502, -55.0, 6.0, 30.0, 9.0, 0.2),
        slot(503, 40.0, 5.0, 24.0, 5.0, -0.1),
    ];
    let holes: Vec<Contour> = camp.cut_outs.iter().map(|c| c.shape.contour()).collect();
    let theirs = polygon(&camp_outline(), &holes);
    let up = weigh(&camp, &on_the_rack(set(), camp.clone()));
    assert_eq!(up.missing, vec![]);
    let perimeter = up.steel.perimeter_mm.unwrap();
    let area = up.steel.area_mm2.unwrap();
    let area_bound = FLAT_MM * perimeter;
    assert!((area - theirs.unsigned_area()).abs() <= area_bound);
    let their_perimeter: f64 = std::iter::once(theirs.exterior())
        .chain(theirs.interiors())
        .map(|ring| Euclidean.length(ring))
        .sum();
    // Chords shorter than 0.02 mm are not made at this tolerance: the share is below (1e-5/0.02)²·8/3 = 7e-7.
    assert!((0.0..=7e-7 * perimeter).contains(&(perimeter - their_perimeter)));
    let [x, y, z] = up.steel.centroid_mm.unwrap();
    let their_center = theirs.centroid().unwrap();
    let center_bound = area_bound * 200.0 / area;
    assert!((x - their_center.x()).abs() <= center_bound, "{x}");
    assert!((y - their_center.y()).abs() <= center_bound, "{y}");
    assert_eq!(z, 0.0);
    assert_eq!(up.steel.balance_mm, Some(x));
    // Mass: area × 4 mm × 7.85 g/cm³.
    let mass = theirs.unsigned_area() * 4.0 * 7.85e-3;
    assert!((up.steel.drilled_mass_g.unwrap() - mass).abs() <= area_bound * 4.0 * 7.85e-3);
    assert_eq!(up.steel.pierces, 5);
}

#[test]
fn extent_of_the_camp_blade() {
    let mut camp = knife(&camp_outline());
    assert_eq!(weigh(&camp, &set()).steel.extent.edge_mm, None);
    camp.set_landmark(LandmarkKind::Heel, Spot { node: 1, t: 0.0 });
    let up = weigh(&camp, &set());
    assert_eq!(up.steel.extent.edge_mm, Some(190.0 - 12.0));
    let fine = camp_outline().flattened(1e-7);
    let span = |f: fn(&Point) -> f64| {
        let all = fine.iter().map(f);
        all.clone().fold(f64::NEG_INFINITY, f64::max) - all.fold(f64::INFINITY, f64::min)
    };
    let extent = up.steel.extent;
    assert!((extent.overall_mm - span(|p| p.x)).abs() < 1e-6);
    assert!((extent.bar_width_mm - span(|p| p.y)).abs() < 1e-6);
    assert!((extent.blade_mm - 190.0).abs() < 1e-9);
    let bar = extent.overall_mm * extent.bar_width_mm * 4.0 * 7.85e-3;
    assert!((up.steel.bar_mass_g.unwrap() - bar).abs() < 1e-9);
    // The depth at any x is top less bottom of the polyline there.
    let steps = 4000;
    let index = camp_outline().index();
    let brute = (0..steps)
        .filter_map(|i| index.depth_at(190.0 * f64::from(i) / f64::from(steps)))
        .map(|(low, high)| high - low)
        .fold(0.0, f64::max);
    assert!((extent.height_mm - brute).abs() < 1e-3 && extent.height_mm >= brute);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    /// Any plate with a few holes at any place and angle.
    #[test]
    fn turned_plates(turn in 0.0..7.0, dx in -200.0..200.0, dy in -200.0..200.0, d in 1.0..9.0, x in -80.0..-30.0) {
        let motion = Motion { mirrored: false, turn_rad: turn, shift: Vec2::new(dx, dy) };
        let outline = camp_outline().moved(&motion);
        let holes = [
            Contour::circle(motion.apply(at(x, 2.0)), d / 2.0),
            Contour::slot(motion.apply(at(60.0, 0.0)), d * 3.0, d, turn + 0.1),
        ];
        let theirs = polygon(&outline, &holes);
        let ours = holes
            .iter()
            .fold(outline.moments(), |sum, hole| sum.plus(&hole.moments().negated()));
        let bound = FLAT_MM * 800.0;
        prop_assert!((ours.area - theirs.unsigned_area()).abs() <= bound);
        let c = theirs.centroid().unwrap();
        prop_assert!(ours.centroid.distance(Point::new(c.x(), c.y())) <= bound * 600.0 / ours.area);
        // Inside tests agree wherever the point is clear of the boundary.
        let index = outline.index();
        let solid = Polygon::new(ring(&outline, 1e-4), Vec::new());
        for i in 0..20 {
            let p = motion.apply(at(-140.0 + 17.3 * f64::from(i), -20.0 + 2.3 * f64::from(i)));
            if outline.nearest(p).is_some_and(|n| n.distance > 1e-3) {
                prop_assert_eq!(index.contains(p), solid.contains(&geo::Point::new(p.x, p.y)));
            }
        }
    }
}
