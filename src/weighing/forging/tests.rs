use super::*;
use crate::catalog::practice_rule;
use crate::knife::{Layer, Layering};
use proptest::prelude::*;

fn near(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-12 * b.abs().max(1.0), "{a} {b}");
}

/// A strip 200 × 30 × 3 mm.
fn strip() -> WantedBlank {
    WantedBlank {
        volume_mm3: 18_000.0,
        area_mm2: 6_000.0,
        perimeter_mm: 460.0,
    }
}

/// Start volume = finished volume / (1 − loss), plain arithmetic: 18,000 mm³ with a loss of a tenth are 20,000.
#[test]
fn losses_are_put_back() {
    let losses = ForgingLosses {
        scale_per_heat: 0.1,
        heats: 1,
        ..ForgingLosses::none()
    };
    let need = forging_need(&strip(), &losses).unwrap();
    near(need.start_mm3, 20_000.0);
    near(need.forged_mm3, 18_000.0);
    // Two sets of heats leave 0.81, and a weld that loses a tenth 0.729: 24,691.358 mm³.
    let losses = ForgingLosses {
        heats: 2,
        weld: 0.1,
        ..losses
    };
    let need = forging_need(&strip(), &losses).unwrap();
    near(need.start_mm3, 18_000.0 / 0.729);
    near(share_lost(&losses).unwrap(), 0.271);
}

/// A disc of radius 50 and 4 mm thick with 2 mm around and 0.5 mm on each face is one of radius 52 and 5 mm thick.
#[test]
fn allowances_make_the_blank_larger_all_round() {
    let disc = WantedBlank {
        volume_mm3: PI * 2500.0 * 4.0,
        area_mm2: PI * 2500.0,
        perimeter_mm: PI * 100.0,
    };
    let losses = ForgingLosses {
        grinding_per_side_mm: 0.5,
        grinding_profile_mm: 2.0,
        ..ForgingLosses::none()
    };
    let need = forging_need(&disc, &losses).unwrap();
    near(need.forged_mm3, PI * 52.0 * 52.0 * 5.0);
    near(need.forged_thickness_mm, 5.0);
}

/// A stadium of 100 mm between the middles of its ends, 30 high: grown by 2 mm its half rounds have a radius of 17.
#[test]
fn an_outline_of_straights_and_rounds_grows_exactly() {
    let stadium = |r: f64| 100.0 * 2.0 * r + PI * r * r;
    let wanted = WantedBlank {
        volume_mm3: stadium(15.0) * 3.0,
        area_mm2: stadium(15.0),
        perimeter_mm: 200.0 + PI * 30.0,
    };
    let losses = ForgingLosses {
        grinding_profile_mm: 2.0,
        ..ForgingLosses::none()
    };
    let need = forging_need(&wanted, &losses).unwrap();
    near(need.forged_mm3, stadium(17.0) * 3.0);
}

/// 18,000 mm³ are 120 mm of a bar 25 × 6, and 130 mm with 5 mm cropped from each end; or, between the same crops of a billet of 100 × 25,
/// a stack of 8 mm.
#[test]
fn bars_and_stacks_hold_the_volume() {
    let losses = ForgingLosses {
        end_crop_mm: 5.0,
        ..ForgingLosses::none()
    };
    let cropped = forging_need(&strip(), &losses).unwrap();
    let plain = forging_need(&strip(), &ForgingLosses::none()).unwrap();
    near(bar_length_mm(&plain, 25.0, 6.0).unwrap(), 120.0);
    near(bar_length_mm(&cropped, 25.0, 6.0).unwrap(), 130.0);
    near(stack_thickness_mm(&cropped, 100.0, 25.0).unwrap(), 8.0);
    near(stack_thickness_mm(&plain, 90.0, 25.0).unwrap(), 8.0);
}

/// The defaults lie within what the rows of practice say.
#[test]
fn usual_losses_are_those_of_practice() {
    let within = |key: &str, value: f64| {
        let (low, high) = practice_rule(key).expect(key).range();
        assert!(low <= value && value <= high, "{key}: {value}");
    };
    for losses in [ForgingLosses::of_bar(), ForgingLosses::of_billet()] {
        within("forging.scale-per-heat", losses.scale_per_heat * 100.0);
        within("forging.grinding-per-side", losses.grinding_per_side_mm);
        within("forging.grinding-profile", losses.grinding_profile_mm);
    }
    let bar = ForgingLosses::of_bar();
    within("forging.scale-loss", share_lost(&bar).unwrap() * 100.0);
    // A thick blank of 250 × 45 × 6 mm from a billet of 200 × 40 mm: everything lost together, as percent of what was stacked.
    let blank = WantedBlank {
        volume_mm3: 250.0 * 45.0 * 6.0,
        area_mm2: 250.0 * 45.0,
        perimeter_mm: 590.0,
    };
    let need = forging_need(&blank, &ForgingLosses::of_billet()).unwrap();
    let stacked = stack_thickness_mm(&need, 200.0, 40.0).unwrap() * 200.0 * 40.0;
    let lost = (1.0 - blank.volume_mm3 / stacked) * 100.0;
    within("forging.billet-loss", lost);
}

fn three_layers(thickness_mm: f64, side_mm: f64, offset_mm: f64) -> Stock {
    let mut stock = Stock::plain(thickness_mm, 0.1, "core steel");
    stock.layering = Layering {
        outer: vec![Layer {
            name: "cladding".to_owned(),
            material: "soft steel".to_owned(),
            thickness_mm: side_mm,
        }],
        core_offset_mm: offset_mm,
        waviness_mm: 0.0,
    };
    stock
}

fn stacks(pieces: &[BilletPiece]) -> Vec<f64> {
    pieces.iter().map(|piece| piece.stack_mm).collect()
}

/// A bar of 4 mm with a core of a third, forged down to a fifth: three pieces of 6.667 mm in a stack of 20.
#[test]
fn pieces_are_the_layers_times_the_ratio() {
    let stock = three_layers(4.0, 4.0 / 3.0, 0.0);
    let pieces = billet_stack(&stock, &Reduction::even(5.0), 0.0).unwrap();
    for piece in &pieces {
        near(piece.stack_mm, 20.0 / 3.0);
    }
    let names: Vec<&str> = pieces.iter().map(|piece| piece.name.as_str()).collect();
    assert_eq!(names, ["cladding, left", "core", "cladding, right"]);
    assert_eq!(pieces[1].material, "core steel");
    // With 0.6 mm for grinding on each face the sides are 5 · 0.6 = 3 mm thicker.
    let pieces = billet_stack(&stock, &Reduction::even(5.0), 0.6).unwrap();
    near(pieces[0].stack_mm, 29.0 / 3.0);
    near(pieces[1].stack_mm, 20.0 / 3.0);
    near(pieces[2].forged_mm, 4.0 / 3.0 + 0.6);
    // The core 0.2 mm to the right: sides of 1.5333 and 1.1333 mm.
    let stock = three_layers(4.0, 4.0 / 3.0, 0.2);
    let pieces = billet_stack(&stock, &Reduction::even(3.0), 0.0).unwrap();
    near(pieces[0].stack_mm, 4.6);
    near(pieces[2].stack_mm, 3.4);
}

/// Sides that thin to a sixth while the core thins to a fourth.
#[test]
fn layers_may_have_ratios_of_their_own() {
    let stock = three_layers(3.0, 0.8, 0.0);
    let reduction = Reduction {
        all: 4.0,
        core: None,
        outer: vec![Some(6.0)],
    };
    let pieces = billet_stack(&stock, &reduction, 0.0).unwrap();
    let [left, core, right] = stacks(&pieces)[..] else {
        panic!("three pieces");
    };
    near(left, 4.8);
    near(core, 5.6);
    near(right, 4.8);
}

/// Plain steel is one piece and carries both allowances.
#[test]
fn plain_steel_is_a_stack_of_one() {
    let pieces = billet_stack(&Stock::plain(3.0, 0.1, "a"), &Reduction::even(2.0), 0.5).unwrap();
    assert_eq!(stacks(&pieces), [8.0]);
}

#[test]
fn what_can_not_be_is_told() {
    let told = |losses: ForgingLosses| {
        forging_need(&strip(), &losses)
            .expect_err("impossible")
            .to_string()
    };
    let none = ForgingLosses::none();
    assert_eq!(
        told(ForgingLosses { weld: 1.0, ..none }),
        "the loss in welding is 100 percent: give it at least 0 and less than 100"
    );
    for wrong in [f64::NAN, f64::INFINITY, -0.1] {
        assert!(
            told(ForgingLosses {
                end_crop_mm: wrong,
                ..none
            })
            .contains("the end crop")
        );
        assert!(
            told(ForgingLosses {
                scale_per_heat: wrong,
                ..none
            })
            .contains("scale")
        );
        let blank = WantedBlank {
            volume_mm3: wrong,
            ..strip()
        };
        assert!(forging_need(&blank, &none).is_err());
    }
    let need = forging_need(
        &strip(),
        &ForgingLosses {
            end_crop_mm: 20.0,
            ..none
        },
    )
    .unwrap();
    assert_eq!(
        stack_thickness_mm(&need, 40.0, 25.0).unwrap_err(),
        ForgingError::AllCropped {
            length_mm: 40.0,
            crop_mm: 20.0
        }
    );
    assert!(bar_length_mm(&need, 0.0, 6.0).is_err() && bar_length_mm(&need, 25.0, -6.0).is_err());
    let stock = three_layers(4.0, 1.0, 0.0);
    let stack = |reduction: &Reduction| billet_stack(&stock, reduction, 0.0);
    assert!(matches!(
        stack(&Reduction::even(0.9)),
        Err(ForgingError::Thickens { .. })
    ));
    assert!(stack(&Reduction::even(f64::NAN)).is_err());
    let other = Reduction {
        outer: vec![None, None],
        ..Reduction::even(2.0)
    };
    assert_eq!(
        stack(&other).unwrap_err(),
        ForgingError::OtherLayers {
            given: 2,
            layers: 1
        }
    );
    // The core moved so far that one side has no cladding left.
    let gone = three_layers(4.0, 1.0, 1.0);
    assert!(matches!(
        billet_stack(&gone, &Reduction::even(2.0), 0.0),
        Err(ForgingError::NotPositive { .. })
    ));
}

proptest! {
    /// The volume in the fire is the volume of the bar less its crops, whatever bar is chosen; and of the stack.
    #[test]
    fn volume_is_constant(
        volume in 1e3..1e6_f64, area in 1e2..1e5_f64, perimeter in 50.0..2e3_f64,
        scale in 0.0..0.05_f64, heats in 0..6_u32, weld in 0.0..0.3_f64, crop in 0.0..20.0_f64,
        width in 5.0..80.0_f64, thickness in 2.0..40.0_f64
    ) {
        let wanted = WantedBlank { volume_mm3: volume, area_mm2: area, perimeter_mm: perimeter };
        let losses = ForgingLosses { scale_per_heat: scale, heats, weld, end_crop_mm: crop, ..ForgingLosses::of_bar() };
        let need = forging_need(&wanted, &losses).unwrap();
        let left = need.start_mm3 * (1.0 - share_lost(&losses).unwrap());
        prop_assert!((left / need.forged_mm3 - 1.0).abs() < 1e-12);
        prop_assert!(need.forged_mm3 > volume);
        let length = bar_length_mm(&need, width, thickness).unwrap();
        prop_assert!(((length - 2.0 * crop) * width * thickness / need.start_mm3 - 1.0).abs() < 1e-9);
        // A stack as long and as wide as that bar is as thick as it.
        let stack = stack_thickness_mm(&need, length, width).unwrap();
        prop_assert!((stack / thickness - 1.0).abs() < 1e-9);
    }

    /// An even ratio keeps the shares of the layers, and the stack is the bar times the ratio.
    #[test]
    fn even_forging_keeps_the_shares(thickness in 1.0..10.0_f64, side in 0.05..0.45_f64, ratio in 1.0..30.0_f64) {
        let stock = three_layers(thickness, thickness * side, 0.0);
        let pieces = billet_stack(&stock, &Reduction::even(ratio), 0.0).unwrap();
        let stack: f64 = pieces.iter().map(|piece| piece.stack_mm).sum();
        prop_assert!((stack / (thickness * ratio) - 1.0).abs() < 1e-12);
        let again = stock.rolled_to(stack);
        prop_assert!((again.core_thickness_mm() - pieces[1].stack_mm).abs() < 1e-9 * stack);
    }

    /// Forging the stack by the very ratios gives the bar again.
    #[test]
    fn a_stack_forged_out_is_the_bar(
        thickness in 1.0..10.0_f64, side in 0.05..0.45_f64, core_ratio in 1.0..20.0_f64, side_ratio in 1.0..20.0_f64
    ) {
        let stock = three_layers(thickness, thickness * side, 0.0);
        let reduction = Reduction { all: core_ratio, core: None, outer: vec![Some(side_ratio)] };
        let pieces = billet_stack(&stock, &reduction, 0.0).unwrap();
        let mut stack = stock.clone();
        stack.thickness_mm = pieces.iter().map(|piece| piece.stack_mm).sum();
        stack.layering.outer[0].thickness_mm = pieces[0].stack_mm;
        let forged = stack.forged_to(thickness, &[core_ratio, side_ratio]).unwrap();
        prop_assert!((forged.core_thickness_mm() - stock.core_thickness_mm()).abs() < 1e-9 * thickness);
        prop_assert!((forged.layering.outer[0].thickness_mm / stock.layering.outer[0].thickness_mm - 1.0).abs() < 1e-9);
    }
}
