//! Lines and shading of the ground faces: grind lines and reveal lines where similar triangles put them, shading by the slope of the surface.

use tangwright::geometry::Point;
use tangwright::knife::{Face, Knife, LandmarkKind, Run, Sides, orchard_set};
use tangwright::thickness::{LineKind, Relief, RevealPart};
use tangwright::weighing::Scale;

use crate::bench::{bar, flat, grind};
use crate::turns::{relief, swedged};
use crate::weighed::laminated;

/// All places of the lines of a kind on a face.
fn places(relief: &Relief, face: Face, wanted: impl Fn(LineKind) -> bool) -> Vec<Point> {
    let lines = relief.lines.iter();
    lines
        .filter(|line| line.face == face && wanted(line.kind))
        .flat_map(|line| line.points.iter().copied())
        .collect()
}

fn reveal(boundary: f64, wanted: RevealPart) -> impl Fn(LineKind) -> bool {
    move |kind| {
        matches!(kind, LineKind::Reveal { boundary_mm, part }
            if (boundary_mm - boundary).abs() < 1e-9 && part == wanted)
    }
}

/// Every place lies at `y`, and together they reach over the whole run.
#[track_caller]
fn level(places: &[Point], y: f64, (from, to): (f64, f64)) {
    assert!(places.len() > 1, "there is no such line");
    for at in places {
        assert!((at.y - y).abs() < 1e-6, "{at:?} is not at {y}");
    }
    let low = places.iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
    let high = places.iter().map(|p| p.x).fold(0.0, f64::max);
    assert!(
        low - from < 1.0 && to - high < 1.0,
        "from {low} to {high} of {from} to {to}"
    );
}

/// A bar of a core of 1.6, shims of 0.2 and claddings, 4 together.
fn five_layers(mut knife: Knife, waviness: f64, offset: f64) -> Knife {
    laminated(&mut knife, &[("shim", 0.2), ("clad", 1.0)], offset);
    knife.stock.layering.waviness_mm = waviness;
    knife
}

/// Similar triangles: a flat of 18 from 0.25 to 2 over the mid-plane passes a boundary at k at `y = 18·(k − 0.25)/1.75`: the core's (0.8) at 5.65714, the shim's (1.0)
/// at 7.71429, and the face at 18. A boundary that wanders by 0.1 lies between 4.62857 and 6.68571.
#[test]
fn reveal_lines_lie_where_layers_end() {
    let mut plain = bar(100.0, 30.0);
    plain.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    let found = relief(&five_layers(plain.clone(), 0.0, 0.0));
    for (face, toward) in [(Face::Right, 1.0), (Face::Left, -1.0)] {
        let whole = (0.0, 100.0);
        let of = |k: f64, part| places(&found, face, reveal(toward * k, part));
        level(&of(0.8, RevealPart::Middle), 5.657_142_857, whole);
        level(&of(1.0, RevealPart::Middle), 7.714_285_714, whole);
        let grind = |kind| kind == LineKind::Grind { id: 500 };
        level(&places(&found, face, grind), 18.0, whole);
        assert!(of(0.8, RevealPart::Inner).is_empty() && of(0.8, RevealPart::Outer).is_empty());
    }
    let wavy = relief(&five_layers(plain, 0.1, 0.0));
    for (face, toward) in [(Face::Right, 1.0), (Face::Left, -1.0)] {
        let whole = (0.0, 100.0);
        let of = |k: f64, part| places(&wavy, face, reveal(toward * k, part));
        level(&of(0.8, RevealPart::Inner), 4.628_571_429, whole);
        level(&of(0.8, RevealPart::Middle), 5.657_142_857, whole);
        level(&of(0.8, RevealPart::Outer), 6.685_714_286, whole);
        // The shim's band: 18·(0.9 − 0.25)/1.75 and 18·(1.1 − 0.25)/1.75.
        level(&of(1.0, RevealPart::Inner), 6.685_714_286, whole);
        level(&of(1.0, RevealPart::Outer), 8.742_857_143, whole);
    }
}

/// A core 0.1 toward the right face ends at 0.9 there and at 0.7 on the left: 6.68571 and 4.62857 up the bevel.
#[test]
fn a_core_off_the_middle_shows_more_on_one_face() {
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    let found = relief(&five_layers(knife, 0.0, 0.1));
    let whole = (0.0, 100.0);
    let right = places(&found, Face::Right, reveal(0.9, RevealPart::Middle));
    level(&right, 6.685_714_286, whole);
    let left = places(&found, Face::Left, reveal(-0.7, RevealPart::Middle));
    level(&left, 4.628_571_429, whole);
}

/// On the false edge the same, counted down from the spine: of 6 from 0.5 to 2 the core's 0.8 is met 6·0.3/1.5 = 1.2 below it, the shim's 1.0 2.0 below, and with a
/// waviness of 0.1 the core's band goes from 0.8 to 1.6 below.
#[test]
fn the_false_edge_shows_the_layers_too() {
    let found = relief(&five_layers(swedged(), 0.1, 0.0));
    for (face, toward) in [(Face::Right, 1.0), (Face::Left, -1.0)] {
        let run = (40.0, 100.0);
        let of = |k: f64, part| places(&found, face, reveal(toward * k, part));
        level(&of(0.8, RevealPart::Inner), 29.2, run);
        level(&of(0.8, RevealPart::Middle), 28.8, run);
        level(&of(0.8, RevealPart::Outer), 28.4, run);
        level(&of(1.0, RevealPart::Middle), 28.0, run);
        let grind = |kind| kind == LineKind::Grind { id: 500 };
        level(&places(&found, face, grind), 24.0, run);
    }
}

/// Edge and false edge on one blade: each has its own lines, as if the other were not there (they do not meet: 18 and 6 of 30).
#[test]
fn edge_and_false_edge_have_their_own_lines() {
    let mut knife = swedged();
    // From the plunge along the edge and up the front: only the edge is ground, so its run ends at a heel set at the front's foot.
    knife.set_landmark(
        LandmarkKind::Heel,
        tangwright::knife::Spot { node: 1, t: 0.0 },
    );
    let mut bevel = grind(Sides::Both(flat(18.0)), 0.5);
    bevel.id = 502;
    bevel.run = Run {
        from: LandmarkKind::Plunge,
        to: LandmarkKind::Heel,
    };
    knife.grinding.grinds.insert(0, bevel);
    let found = relief(&five_layers(knife, 0.0, 0.0));
    let core = places(&found, Face::Right, reveal(0.8, RevealPart::Middle));
    let (edge, spine): (Vec<Point>, Vec<Point>) = core.into_iter().partition(|at| at.y < 15.0);
    level(&edge, 5.657_142_857, (0.0, 100.0));
    level(&spine, 28.8, (40.0, 100.0));
    for (id, y, run) in [(502, 18.0, (0.0, 100.0)), (500, 24.0, (40.0, 100.0))] {
        let own = places(&found, Face::Right, |kind| kind == LineKind::Grind { id });
        level(&own, y, run);
    }
}

/// The slope a patch is shaded by is that of the very surface that is weighed, by central difference of its height along the climb, at every corner of every patch of
/// the orchard set but those on the rim of a patch, where one surface passes into another.
#[test]
fn patches_climb_as_the_surface_does() {
    const STEP: f64 = 1e-3;
    let set = orchard_set();
    let mut compared = 0;
    for knife in &set.knives {
        let mut scale = Scale::default();
        assert_eq!(scale.weigh(knife, &set).missing, []);
        let (Some(blade), Some(relief)) = (scale.blade(), scale.relief()) else {
            panic!("'{}' is ground", knife.name);
        };
        let (mut sound, mut beside) = (0, 0);
        for patch in &relief.patches {
            let height = |at: Point| {
                let place = blade.place_at(at);
                match patch.face {
                    Face::Right => place.right_mm,
                    Face::Left => place.left_mm,
                }
            };
            for ray in patch.corners.chunks_exact(5) {
                for corner in &ray[1..4] {
                    let length = corner.climb.hypot();
                    if length < 1e-9 {
                        continue;
                    }
                    let along = corner.climb / length;
                    let slope = |from: f64, to: f64| {
                        (height(corner.at + along * to) - height(corner.at + along * from))
                            / (to - from)
                    };
                    let (before, after) = (slope(-STEP, 0.0), slope(0.0, STEP));
                    if (before - after).abs() > 2e-3 {
                        // On a ridge or the foot of a wall: one of its two surfaces.
                        beside += 1;
                        continue;
                    }
                    let off = (f64::midpoint(before, after) - length).abs();
                    assert!(
                        off < 2e-3,
                        "'{}' at {:?}: {length} for {before} and {after}",
                        knife.name,
                        corner.at
                    );
                    sound += 1;
                }
            }
        }
        assert!(
            sound > 200 && beside * 10 < sound,
            "'{}': {sound} and {beside}",
            knife.name
        );
        compared += 1;
    }
    assert_eq!(compared, 4);
}
