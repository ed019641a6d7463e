use super::*;
use proptest::prelude::*;

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} {b}");
}

/// Trigonometry: T = 4, e = 0.5, a bevel of 18 mm: 5.552971033° a side; 5° a side want 20.00259153 mm.
#[test]
fn bevel_height_and_angle_are_a_triangle() {
    let plan = EdgePlan::even(4.0, 0.5);
    for face in Face::ALL {
        let angle = plan.angle_for_height_rad(face, 18.0).unwrap();
        near(angle.to_degrees(), 5.552_971_033, 1e-9);
        let height = plan
            .height_for_angle_mm(face, 5.0_f64.to_radians())
            .unwrap();
        near(height, 20.002_591_53, 1e-8);
    }
}

/// Similar triangles: T = 4, a core of a third, e = 0.3, a bevel of 20 mm: 5.585585586 mm of core show.
#[test]
fn the_band_of_core_is_a_smaller_triangle() {
    let plan = EdgePlan::even(4.0, 0.3);
    let core = 4.0 / 3.0;
    let band = plan
        .core_band_mm(Face::Left, (-core / 2.0, core / 2.0), 20.0)
        .unwrap();
    near(band.to_mm, 5.585_585_586, 1e-9);
    assert_eq!(band.from_mm, 0.0);
    let height = plan
        .height_for_core_band_mm((-core / 2.0, core / 2.0), 5.585_585_586)
        .unwrap();
    near(height, 20.0, 1e-8);
    let wanted = plan.core_for_band_mm(0.0, 5.585_585_586, 20.0).unwrap();
    near(wanted, core, 1e-9);
}

/// A core 0.2 mm off toward the right shows from the edge up to (0.8667 − 0.15)/1.85 of the bevel on the right, (0.4667 − 0.15)/1.85 on the left.
/// The left is the smaller side: for 5 mm of core there the bevel is 5·1.85/0.31667 = 29.2105 mm high.
#[test]
fn a_core_off_the_middle_counts_by_its_smaller_side() {
    let plan = EdgePlan::even(4.0, 0.3);
    let (low, high) = (0.2 - 2.0 / 3.0, 0.2 + 2.0 / 3.0);
    let width = |face| {
        plan.core_band_mm(face, (low, high), 20.0)
            .unwrap()
            .width_mm()
    };
    near(
        width(Face::Right),
        20.0 * (13.0 / 15.0 - 0.15) / 1.85,
        1e-12,
    );
    near(width(Face::Left), 20.0 * (7.0 / 15.0 - 0.15) / 1.85, 1e-12);
    let height = plan.height_for_core_band_mm((low, high), 5.0).unwrap();
    near(height, 29.210_526_315_789_5, 1e-9);
    near(
        plan.core_for_band_mm(0.2, 5.0, height).unwrap(),
        4.0 / 3.0,
        1e-12,
    );
}

/// T = 3 ground on the right face to an edge of 0.2 on the left: the surface rises 2.8 mm. A core from −0.5 to 0.5 begins 0.8 mm above the edge's
/// upper side at −1.3 and is 1 mm thick: shares 0.8/2.8 and 1.8/2.8 of a bevel of 14 mm, so from 4 to 9 mm.
#[test]
fn a_chisel_bevel_shows_the_core_between_its_claddings() {
    let plan = EdgePlan::chisel(3.0, 0.2, Face::Right);
    near(
        plan.angle_for_height_rad(Face::Right, 14.0).unwrap(),
        0.2_f64.atan(),
        1e-12,
    );
    let band = plan.core_band_mm(Face::Right, (-0.5, 0.5), 14.0).unwrap();
    near(band.from_mm, 4.0, 1e-12);
    near(band.to_mm, 9.0, 1e-12);
    near(
        plan.height_for_core_band_mm((-0.5, 0.5), 5.0).unwrap(),
        14.0,
        1e-12,
    );
    near(plan.core_for_band_mm(0.0, 5.0, 14.0).unwrap(), 1.0, 1e-12);
    assert_eq!(
        plan.core_band_mm(Face::Left, (-0.5, 0.5), 14.0),
        Err(WantedError::NotGround)
    );
    // A core on the left face, from −1.5 to −0.5, shows from the edge up: 0.8 of the 2.8 mm.
    let band = plan.core_band_mm(Face::Right, (-1.5, -0.5), 14.0).unwrap();
    near(band.to_mm, 4.0, 1e-12);
    assert_eq!(band.from_mm, 0.0);
    near(plan.core_for_band_mm(-1.0, 4.0, 14.0).unwrap(), 1.0, 1e-12);
    // The same from the other side.
    let mirrored = EdgePlan::chisel(3.0, 0.2, Face::Left);
    let band = mirrored
        .core_band_mm(Face::Left, (-0.5, 0.5), 14.0)
        .unwrap();
    near(band.from_mm, 4.0, 1e-12);
}

#[test]
fn questions_without_an_answer_are_told() {
    let plan = EdgePlan::even(4.0, 0.3);
    for wrong in [0.0, -1.0, f64::NAN, FRAC_PI_2] {
        let told = plan.height_for_angle_mm(Face::Right, wrong);
        assert!(matches!(told, Err(WantedError::NoAngle { .. })));
    }
    assert!(
        plan.angle_for_height_rad(Face::Right, f64::INFINITY)
            .is_err()
    );
    assert_eq!(
        EdgePlan::even(2.0, 2.0).rise_mm(Face::Right),
        Err(WantedError::NothingToGrind)
    );
    // An edge of 1.4 mm covers a core of 1.333.
    let thick = EdgePlan::even(4.0, 1.4);
    let core = (-2.0 / 3.0, 2.0 / 3.0);
    assert_eq!(
        thick.core_band_mm(Face::Right, core, 20.0),
        Err(WantedError::NoCore)
    );
    assert_eq!(
        thick.height_for_core_band_mm(core, 5.0),
        Err(WantedError::NoCore)
    );
    assert!(matches!(
        plan.core_for_band_mm(0.0, 20.0, 20.0),
        Err(WantedError::AboveBevel { .. })
    ));
    assert_eq!(
        EdgePlan::even(4.0, 0.3).core_for_band_mm(0.0, -1.0, 20.0),
        Err(WantedError::NotPositive {
            what: "the band of core",
            value: -1.0
        })
    );
    // A core far off the middle would have to be thicker than the bar.
    assert!(plan.core_for_band_mm(1.5, 15.0, 20.0).is_err());
}

proptest! {
    /// Both answers bring back the band that was asked for.
    #[test]
    fn answers_give_what_was_asked(
        thickness in 1.5..8.0_f64, edge in 0.0..0.5_f64, share in 0.4..0.6_f64, offset in -0.1..0.1_f64, height in 5.0..40.0_f64, chisel in 0..3_usize
    ) {
        let plan = match chisel {
            0 => EdgePlan::even(thickness, edge),
            1 => EdgePlan::chisel(thickness, edge, Face::Right),
            _ => EdgePlan::chisel(thickness, edge, Face::Left),
        };
        let half = thickness * share / 2.0;
        let core = (offset - half, offset + half);
        let smaller = |core, height| {
            plan.ground_faces()
                .map(|face| plan.core_band_mm(face, core, height).unwrap().width_mm())
                .fold(f64::INFINITY, f64::min)
        };
        let band = smaller(core, height);
        let again = plan.height_for_core_band_mm(core, band).unwrap();
        prop_assert!((again / height - 1.0).abs() < 1e-9);
        let thick = plan.core_for_band_mm(offset, band, height).unwrap();
        prop_assert!((thick / (2.0 * half) - 1.0).abs() < 1e-9, "{thick} {half}");
    }
}
