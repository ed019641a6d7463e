//! Knives whose sections are handbook shapes, and the orchard set.

use super::*;
use crate::knife::{
    CutOut, CutShape, Filling, HiddenTang, Id, Material, Node, Outline, Purpose, Stock, TangEnd,
    orchard_set,
};
use crate::knife::{FullTang, Tang};
use std::sync::Arc;

/// A plate 30 high and 4 thick from −100 to 100, its middle line at y = 0.
fn plate() -> (Knife, KnifeSet) {
    let corners = [
        (-100.0, -15.0),
        (100.0, -15.0),
        (100.0, 15.0),
        (-100.0, 15.0),
    ];
    knife_of(&corners)
}

fn knife_of(corners: &[(f64, f64)]) -> (Knife, KnifeSet) {
    let nodes = (1..)
        .zip(corners)
        .map(|(id, at)| Node::corner(id, Point::from(*at)))
        .collect();
    let knife = Knife {
        id: 1,
        next_id: 100,
        ..Knife::bare(
            "plate",
            Outline { nodes },
            Stock::plain(4.0, 0.1, "steel"),
            Tang::Full(FullTang::straight(100.0, 30.0)),
        )
    };
    let set = KnifeSet {
        name: "set".to_owned(),
        knives: vec![Arc::new(knife.clone())],
        materials: vec![Material {
            key: "steel".to_owned(),
            name: "Steel".to_owned(),
            density_g_cm3: 7.85,
            density_low: 7.8,
            density_high: 7.9,
            data_sheet: String::new(),
        }],
        next_id: 2,
    };
    (knife, set)
}

fn drill(knife: &mut Knife, id: Id, x: f64, y: f64, d: f64) {
    knife.cut_outs.push(CutOut {
        id,
        shape: round(x, y, d),
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
}

fn round(x: f64, y: f64, diameter_mm: f64) -> CutShape {
    CutShape::Round {
        center: Point::new(x, y),
        diameter_mm,
    }
}

fn vise(at_mm: f64) -> StrengthOptions {
    StrengthOptions {
        hold: Some(Hold::Clamped { at_mm }),
        ..StrengthOptions::default()
    }
}

fn near(a: f64, b: f64, share: f64) {
    assert!((a - b).abs() <= share * b.abs(), "{a} is not {b}");
}

/// Plate 30 × 4 held at −100, 100 N at the tip: M = 20 N·m, edgewise Z = 4·900/6 = 600 and stress 33.3333 MPa, deflection PL³/3EI with I = 9000;
/// flatwise Z = 80 and I = 160.
#[test]
fn a_plate_is_a_handbook_cantilever() {
    let (knife, set) = plate();
    let s = strength(&knife, &set, &vise(-100.0)).unwrap();
    assert_eq!((s.load_mm, s.weakest_edgewise), (100.0, Some(0)));
    let first = &s.stations[0];
    near(first.moment_nmm, 20_000.0, 1e-12);
    near(first.edgewise.peak_mpa, 20_000.0 / 600.0, 1e-9);
    near(first.flatwise.net_mpa, 20_000.0 / 80.0, 1e-9);
    let give = |i: f64| 100.0 * 200.0_f64.powi(3) / (3.0 * 205e3 * i);
    // Up to its own height from the load; the rest is straight: less by P·30³/3EI.
    near(s.deflection_edgewise_mm.unwrap(), give(9000.0), 4e-3);
    near(s.deflection_flatwise_mm.unwrap(), give(160.0), 4e-3);
    assert_eq!((s.shoulder_factor, s.openings.len()), (None, 0));
}

/// A hole of 6 in the middle of the plate, half way: net Z = 595.2 and 64 of 600 and 80 (Machinery's Handbook). Edgewise its wall carries
/// 2·M·3/I, less than the outside; flatwise it is raised by the factor for u = 6/4 and x = 6/30.
#[test]
fn a_hole_costs_what_the_handbook_says() {
    let (mut knife, set) = plate();
    drill(&mut knife, 7, 0.0, 0.0, 6.0);
    let s = strength(&knife, &set, &vise(-100.0)).unwrap();
    let cost = &s.openings[0];
    assert_eq!((cost.name.as_str(), cost.x_mm), ("7", 0.0));
    near(cost.edgewise_kept, 595.2 / 600.0, 1e-9);
    near(cost.flatwise_kept, 64.0 / 80.0, 1e-9);
    let at_hole = |s: &Station| s.kind == StationKind::Opening("7".to_owned());
    let station = s.stations.iter().find(|s| at_hole(s)).unwrap();
    near(station.moment_nmm, 10_000.0, 1e-9);
    near(station.edgewise.peak_mpa, 10_000.0 / 595.2, 1e-9);
    near(station.flatwise.net_mpa, 10_000.0 / 64.0, 1e-9);
    let factor = (1.79 + 0.25 / 1.89 + 0.81 / 3.25 - 0.26 / 4.375) * (1.0 - 0.208 + 0.0488);
    near(station.flatwise.peak_mpa, factor * 10_000.0 / 64.0, 1e-9);
    assert_eq!(s.weakest_edgewise, Some(0));
    let weakest = &s.stations[s.weakest_flatwise.unwrap()];
    assert!(at_hole(weakest), "{weakest:?}");
}

/// A hole off the middle: tension over it by the net section's own axis and bending about its middle, worked by hand for a hole of 6 at y = 9:
/// net area 96, y_c = −24·9/96 = −2.25, I = 9000 − (4·216/12 + 24·81) − 96·2.25² = 6498; width 12, K(0.5) = 2.15875.
#[test]
fn a_hole_near_the_side_is_tension_and_bending_together() {
    let (mut knife, set) = plate();
    drill(&mut knife, 7, 0.0, 9.0, 6.0);
    let s = strength(&knife, &set, &vise(-100.0)).unwrap();
    let at_hole = |s: &&Station| s.kind == StationKind::Opening("7".to_owned());
    let station = s.stations.iter().find(at_hole).unwrap();
    near(station.section.edgewise_mm4, 6498.0, 1e-9);
    let even = 10_000.0 * 11.25 / 6498.0 * 2.158_75;
    let own = 10_000.0 * 3.0 / 6498.0 * 2.0;
    near(station.edgewise.peak_mpa, even + own, 1e-6);
    near(station.edgewise.net_mpa, 10_000.0 * 17.25 / 6498.0, 1e-9);
}

/// A slot along the knife raises the stress at both its ends, as a round hole of its width does.
#[test]
fn a_slot_is_looked_at_at_both_ends() {
    let (mut knife, set) = plate();
    knife.cut_outs.push(CutOut {
        id: 7,
        shape: CutShape::Slot {
            center: Point::new(-20.0, 0.0),
            length_mm: 46.0,
            width_mm: 6.0,
            angle_rad: 0.0,
        },
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
    let s = strength(&knife, &set, &vise(-100.0)).unwrap();
    let ends: Vec<f64> = s
        .stations
        .iter()
        .filter(|s| s.kind != StationKind::Plain)
        .map(|s| s.section.x_mm)
        .collect();
    assert_eq!(ends, [-40.0, 0.0]);
    near(s.openings[0].flatwise_kept, 0.8, 1e-9);
}

/// A tang 12 wide behind a blade of 30, its corners rounded by 3 in name: steps of 9, ratio 3.
#[test]
fn shoulders_are_marked() {
    let corners = [
        (-80.0, -6.0),
        (0.0, -6.0),
        (0.0, -15.0),
        (100.0, -15.0),
        (100.0, 15.0),
        (0.0, 15.0),
        (0.0, 6.0),
        (-80.0, 6.0),
    ];
    let (mut knife, set) = knife_of(&corners);
    knife.tang = Tang::Hidden(HiddenTang {
        length_mm: 80.0,
        shoulder_width_mm: 12.0,
        end_width_mm: 12.0,
        shoulder_radius_mm: 3.0,
        end: TangEnd::Square,
    });
    let s = strength(&knife, &set, &StrengthOptions::default()).unwrap();
    let factor = shoulder_in_edgewise_bending(9.0, 3.0, 12.0);
    assert_eq!(s.shoulder_factor, Some(factor));
    assert!(factor > 1.2 && factor < 2.0, "{factor}");
    let weakest = &s.stations[s.weakest_edgewise.unwrap()];
    assert_eq!(weakest.kind, StationKind::Shoulder);
    near(
        weakest.edgewise.peak_mpa,
        factor * weakest.edgewise.net_mpa,
        1e-12,
    );
}

/// m = 0.228 kg, I = 0.0019 kg·m², 0.090 m ahead of the pivot: 0.1825925926 m (b = I/mp; mechanics texts). A uniform rod of 300 held at its end:
/// two thirds.
#[test]
fn percussion_is_the_textbooks() {
    near(
        percussion_mm(228.0, 1_900_000.0, 90.0).unwrap(),
        182.592_592_6,
        1e-9,
    );
    let rod = 300.0 * 300.0 / 12.0;
    near(percussion_mm(1.0, rod, 150.0).unwrap(), 200.0, 1e-12);
    assert_eq!(percussion_mm(1.0, rod, 0.0), None);
    assert_eq!(percussion_mm(0.0, rod, 10.0), None);
    let (knife, set) = plate();
    let options = StrengthOptions {
        load_at: LoadAt::Percussion,
        ..vise(-100.0)
    };
    // A plate 200 × 30 pivoted at its rear end: (200² + 30²)/12/100 + 100.
    let s = strength(&knife, &set, &options).unwrap();
    near(s.load_mm, -100.0 + 100.0 + 40_900.0 / 1200.0, 1e-9);
}

#[test]
fn what_makes_no_sense_is_refused() {
    let (knife, set) = plate();
    let ask = |options: StrengthOptions| strength(&knife, &set, &options).unwrap_err();
    let load = |force_n| StrengthOptions {
        force_n,
        ..StrengthOptions::default()
    };
    assert_eq!(ask(load(0.0)), NoStrength::NoNumber);
    assert_eq!(ask(load(f64::NAN)), NoStrength::NoNumber);
    assert!(matches!(ask(vise(-101.0)), NoStrength::Hold { .. }));
    assert!(matches!(ask(vise(f64::NAN)), NoStrength::Hold { .. }));
    let behind = StrengthOptions {
        load_at: LoadAt::Place(-20.0),
        ..vise(-10.0)
    };
    assert!(matches!(ask(behind), NoStrength::Load { .. }));
    let mut crossed = knife.clone();
    crossed.outline.nodes.swap(0, 1);
    let none = strength(&crossed, &set, &StrengthOptions::default());
    assert_eq!(none.unwrap_err(), NoStrength::NotWeighed);
}

/// More openings never make the tang stronger, and none change nothing.
#[test]
fn the_tang_keeps_what_openings_leave() {
    let (mut knife, set) = plate();
    drill(&mut knife, 7, -30.0, 0.0, 4.0);
    let mut scale = Scale::default();
    let up = scale.weigh(&knife, &set);
    let steel = knife.contour().index();
    let options = StrengthOptions::default();
    let bench = StrengthBench::new(&knife, &up, scale.blade().unwrap(), &steel, &options).unwrap();
    let before = bench.tang_stress(&[]).unwrap();
    assert_eq!(bench.tang_kept(before, &[]), Some(1.0));
    // The greatest moment is at the front of the hand, 15.5 behind the shoulder line: a hole of 6 there leaves 64 of 80 flatwise.
    near(
        bench.tang_kept(before, &[round(-15.5, 0.0, 6.0)]).unwrap(),
        0.8,
        1e-9,
    );
    let small = bench.tang_kept(before, &[round(-70.0, 0.0, 6.0)]).unwrap();
    assert_eq!(small, 1.0);
    // The sections are told wherever they lie: two holes, the larger leaves 20 of 30, edgewise 1 − (10/30)³.
    let holes = [round(-70.0, 0.0, 6.0), round(-50.0, 0.0, 10.0)];
    near(bench.sections_kept(&holes[..1]).unwrap(), 0.8, 1e-9);
    near(bench.sections_kept(&holes).unwrap(), 2.0 / 3.0, 1e-9);
    assert_eq!(bench.sections_kept(&[]), Some(1.0));
    assert_eq!(bench.sections_kept(&[round(-50.0, 0.0, 31.0)]), None);
    // One that takes the whole height leaves no section.
    assert_eq!(bench.tang_kept(before, &[round(-50.0, 0.0, 31.0)]), None);
}

/// A bar of 4 mm thinned to 1 at its rear end and to 2 at its tip, by hand: a section `t` thick is as strong as its height times `t`² flatwise and `t`
/// edgewise, so the square of `t/4` is left where it is thinnest. The hand reaches back to −80: `t` = 1.6. The section 30 mm behind the tip is the
/// last that is as far from the load as it is high: `t` = 2.6.
#[test]
fn a_taper_keeps_what_its_thinnest_section_does() {
    let (knife, set) = plate();
    let station = |x_mm, thickness_mm| crate::knife::ThicknessStation { x_mm, thickness_mm };
    let kept = |stations: [crate::knife::ThicknessStation; 2]| {
        let mut thin = knife.clone();
        thin.grinding.taper = Some(crate::knife::Taper {
            stations: stations.to_vec(),
            faces: crate::knife::Faces::Both,
        });
        let steel = knife.contour().index();
        let options = StrengthOptions::default();
        let (mut one, mut other) = (Scale::default(), Scale::default());
        let (up, thin_up) = (one.weigh(&knife, &set), other.weigh(&thin, &set));
        let (thick_blade, thin_blade) = (one.blade().unwrap(), other.blade().unwrap());
        let before = StrengthBench::new(&knife, &up, thick_blade, &steel, &options).unwrap();
        let after = StrengthBench::new(&thin, &thin_up, thin_blade, &steel, &options).unwrap();
        before.sections_kept_by(&after).unwrap()
    };
    near(
        kept([station(-100.0, 1.0), station(0.0, 4.0)]),
        0.4_f64.powi(2),
        1e-9,
    );
    near(
        kept([station(0.0, 4.0), station(100.0, 2.0)]),
        0.65_f64.powi(2),
        1e-4,
    );
    near(kept([station(0.0, 4.0), station(100.0, 4.0)]), 1.0, 1e-12);
}

/// Every knife of the orchard set has a strength, and its weakest place is where its steel is least for its moment.
#[test]
fn orchard_knives_are_told() {
    let set = orchard_set();
    for knife in &set.knives {
        for load_at in [LoadAt::Tip, LoadAt::Percussion] {
            let options = StrengthOptions {
                load_at,
                ..StrengthOptions::default()
            };
            let s = strength(knife, &set, &options).expect(&knife.name);
            let highest = s.stations.iter().map(|s| s.flatwise.peak_mpa);
            let highest = highest.fold(0.0, f64::max);
            let weakest = &s.stations[s.weakest_flatwise.unwrap()];
            assert_eq!(weakest.flatwise.peak_mpa, highest, "{}", knife.name);
            assert!(highest > weakest.edgewise.peak_mpa, "{}", knife.name);
            let give = (
                s.deflection_edgewise_mm.unwrap(),
                s.deflection_flatwise_mm.unwrap(),
            );
            assert!(give.0 > 0.0 && give.1 > give.0, "{}: {give:?}", knife.name);
            assert!(
                s.openings
                    .iter()
                    .all(|o| o.edgewise_kept <= 1.0 && o.edgewise_kept > 0.3)
            );
        }
    }
}
