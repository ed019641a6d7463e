//! Outlines found in rendered pictures against the outlines they were rendered from.

use tangwright::geometry::{Contour, Point, outline_faults};
use tangwright::knife::{Knife, orchard_set};
use tangwright::tracing::{GroundArea, MOST_PIECES};

use super::bench::{any_starter, beside_card, nearness, on_cloth, on_sheet, traced};
use super::scene::{Dice, Scene};

/// Nineteen parts of twenty of either outline lie this near the other, mm.
const NEAR_MM: f64 = 0.3;
/// And no place of either is farther off, mm: tips and notches are not blunted.
const FARTHEST_MM: f64 = 1.0;

/// Traces a scene and holds the outline against the one it was rendered from.
fn check(case: u64, what: &str, scene: &Scene, ground: GroundArea) {
    let found = traced(scene, ground).unwrap_or_else(|e| panic!("case {case}, {what}: {e}"));
    let contour = found.outline.contour();
    let near = nearness(&scene.outline, &contour);
    assert!(
        near.at_95 <= NEAR_MM && near.farthest <= FARTHEST_MM,
        "case {case}, {what}: {near:?}"
    );
    let pieces = contour.pieces.len();
    assert!(
        pieces <= MOST_PIECES,
        "case {case}, {what}: {pieces} pieces"
    );
    assert_eq!(outline_faults(&contour.pieces), [], "case {case}, {what}");
    assert!(contour.moments().area > 0.0, "it runs counterclockwise");
}

/// Any knife on a sheet of the scene's own.
fn check_any(case: u64, scene: impl Fn(&mut Dice, &Knife) -> Scene) {
    let mut dice = Dice(case);
    let knife = any_starter(&mut dice, 270.0);
    let scene = scene(&mut dice, &knife);
    let ground = GroundArea::Within(scene.paper_seen());
    check(case, &knife.form, &scene, ground);
}

#[test]
fn knives_on_a_sheet_in_perspective_noise_and_shadow() {
    for case in [2, 3, 5, 10] {
        check_any(case, on_sheet);
    }
}

#[test]
fn the_orchard_set_beside_a_card_on_a_plain_bench() {
    for (case, knife) in (100..).zip(&orchard_set().knives) {
        let scene = beside_card(&mut Dice(case), knife);
        let ground = GroundArea::Beside(scene.paper_seen());
        check(case, &knife.name, &scene, ground);
    }
}

#[test]
fn bright_steel_on_dark_cloth() {
    check_any(205, on_cloth);
}

#[test]
fn openings_do_not_part_the_outline() {
    check_any(300, |dice, knife| {
        let mut scene = on_sheet(dice, knife);
        let middle = scene.outline.bounds().center();
        let hole = |x: f64| Contour::circle(Point::new(middle.x + x, middle.y), 3.0);
        scene.holes = vec![hole(-30.0), hole(0.0), hole(20.0)];
        scene
    });
}
