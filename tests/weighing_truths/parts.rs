//! Plates with holes, fillings, bands, the guard, and the knife as a whole.

use std::f64::consts::PI;

use tangwright::geometry::{Contour, Rect};
use tangwright::knife::{Filling, Purpose, Row, RowPath};
use tangwright::weighing::{Missing, weigh};

use super::bench::{camp_outline, close, guard, knife, plate, polygon, round, set, slot};

/// Plate 120 × 25 × 4 with holes of 5, 5, 5 and 6 mm: composite areas, A = WH − Σπd²/4 and x̄ = ΣAx/ΣA, worked out by hand.
#[test]
fn plate_with_a_row_of_holes() {
    let mut plate = knife(&polygon(&[
        (0.0, 0.0),
        (120.0, 0.0),
        (120.0, 25.0),
        (0.0, 25.0),
    ]));
    plate.cut_outs = vec![round(500, 105.0, 10.0, 6.0)];
    plate.rows = vec![Row {
        id: 501,
        path: RowPath::Line {
            from: (20.0, 12.5).into(),
            to: (80.0, 12.5).into(),
        },
        count: 3,
        first_diameter_mm: 5.0,
        last_diameter_mm: 5.0,
        purpose: Purpose::Pin,
        filling: Filling::Nothing,
    }];
    let up = weigh(&plate, &set());
    assert_eq!(up.missing, vec![]);
    close(up.steel.area_mm2.unwrap(), 2_912.820_804, 0.0);
    let [x, y, _] = up.steel.centroid_mm.unwrap();
    close(x, 59.765_417_63, 0.0);
    close(y, 12.524_267_14, 0.0);
    close(up.steel.drilled_mass_g.unwrap(), 91.462_573_24, 0.0);
    close(up.steel.blank_mass_g.unwrap(), 94.2, 0.0);
    close(up.steel.bar_mass_g.unwrap(), 94.2, 0.0);
    close(up.steel.volume_mm3.unwrap(), 4.0 * 2_912.820_804, 0.0);
    close(up.steel.perimeter_mm.unwrap(), 290.0 + PI * 21.0, 0.0);
    assert_eq!(up.steel.pierces, 5);
    let names: Vec<&str> = up.cut_outs.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["500", "501.1", "501.2", "501.3"]);
    close(
        up.cut_outs[1].removed_g.unwrap(),
        PI * 25.0 / 4.0 * 4.0 * 7.85e-3,
        0.0,
    );
    assert_eq!(up.cut_outs[1].filling_g, Some(0.0));
    // Inertia about the center of mass by composite areas: WH(W² + H²)/12 + A·d² less π d⁴/32 + A·d² of every hole.
    let hole = |hx: f64, hy: f64, d: f64| {
        let a = PI * d * d / 4.0;
        a * d * d / 8.0 + a * ((hx - x).powi(2) + (hy - y).powi(2))
    };
    let block = 3000.0 * (120.0_f64.powi(2) + 25.0_f64.powi(2)) / 12.0
        + 3000.0 * ((60.0 - x).powi(2) + (12.5 - y).powi(2));
    let holes = hole(20.0, 12.5, 5.0)
        + hole(50.0, 12.5, 5.0)
        + hole(80.0, 12.5, 5.0)
        + hole(105.0, 10.0, 6.0);
    close(
        up.steel.inertia_g_mm2.unwrap(),
        (block - holes) * 4.0 * 7.85e-3,
        0.0,
    );
    // With nothing else on it the knife is its steel.
    let total = up.total.unwrap();
    close(total.mass_g, 91.462_573_24, 0.0);
    close(total.balance_mm, x, 0.0);
}

/// A brass tube 6.35 × 4.763 mm through 22 mm: m = ρ·π/4·(D² − d²)·L, by arithmetic.
#[test]
fn tube_filling() {
    let mut block = knife(&plate());
    block.stock.thickness_mm = 22.0;
    block.cut_outs = vec![round(500, -30.0, 0.0, 6.35)];
    block.cut_outs[0].filling = Filling::Tube {
        material: "brass".to_owned(),
        bore_mm: 4.763,
    };
    let up = weigh(&block, &set());
    assert_eq!(up.missing, vec![]);
    close(up.cut_outs[0].filling_g.unwrap(), 2.599_380_367, 0.0);
    // The knife with it, by x̄ = Σmx/Σm.
    let steel = up.steel.drilled_mass_g.unwrap();
    let total = up.total.unwrap();
    close(total.mass_g, steel + 2.599_380_367, 0.0);
    let moment = steel * up.steel.balance_mm.unwrap() - 30.0 * 2.599_380_367;
    close(total.balance_mm, moment / total.mass_g, 0.0);
}

/// Pins and resin fill the opening: ρ·A·t.
#[test]
fn solid_fillings() {
    let mut knife = knife(&plate());
    knife.cut_outs = vec![
        round(500, -30.0, 0.0, 5.0),
        slot(501, 20.0, 2.0, 20.0, 6.0, 0.1),
    ];
    knife.cut_outs[0].filling = Filling::pin("brass");
    knife.cut_outs[1].filling = Filling::Epoxy {
        material: "resin".to_owned(),
    };
    let up = weigh(&knife, &set());
    let pin = PI * 25.0 / 4.0 * 4.0 * 8.53e-3;
    let resin = (14.0 * 6.0 + PI * 9.0) * 4.0 * 1.15e-3;
    close(up.cut_outs[0].filling_g.unwrap(), pin, 0.0);
    close(up.cut_outs[1].filling_g.unwrap(), resin, 0.0);
    let steel = (3000.0 - PI * 25.0 / 4.0 - 14.0 * 6.0 - PI * 9.0) * 4.0 * 7.85e-3;
    close(up.total.unwrap().mass_g, steel + pin + resin, 0.0);
    // Bands: every mass ± its density spread and the stock tolerance of 0.1 in 4 mm.
    let low =
        |mass: f64, density: f64, spread: f64| mass * (1.0 - 0.025) * (density - spread) / density;
    let high =
        |mass: f64, density: f64, spread: f64| mass * (1.0 + 0.025) * (density + spread) / density;
    let band = up.steel.mass_band_g.unwrap();
    close(band.low, low(steel, 7.85, 0.05), 0.0);
    close(band.high, high(steel, 7.85, 0.05), 0.0);
    let band = up.total.unwrap().mass_band_g;
    close(
        band.low,
        low(steel, 7.85, 0.05) + low(pin, 8.53, 0.1) + low(resin, 1.15, 0.05),
        0.0,
    );
    close(
        band.high,
        high(steel, 7.85, 0.05) + high(pin, 8.53, 0.1) + high(resin, 1.15, 0.05),
        0.0,
    );
    // Flat steel of one kind balances where it does whatever it weighs; the whole knife within its band.
    let steel_band = up.steel.balance_band_mm.unwrap();
    assert_eq!(steel_band.half_width(), 0.0);
    let total = up.total.unwrap();
    assert!(total.balance_band_mm.contains(total.balance_mm));
    // By trying both ends of all three masses.
    let ends = |mass: f64, density: f64, spread: f64| {
        [low(mass, density, spread), high(mass, density, spread)]
    };
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    let x = up.steel.balance_mm.unwrap();
    for s in ends(steel, 7.85, 0.05) {
        for p in ends(pin, 8.53, 0.1) {
            for r in ends(resin, 1.15, 0.05) {
                let balance = (s * x - 30.0 * p + 20.0 * r) / (s + p + r);
                least = least.min(balance);
                most = most.max(balance);
            }
        }
    }
    assert!((total.balance_band_mm.low - least).abs() < 1e-12);
    assert!((total.balance_band_mm.high - most).abs() < 1e-12);
}

/// A bar that may be anything from nothing to twice its thickness still has a balance band.
#[test]
fn a_tolerance_as_large_as_the_stock() {
    let mut knife = knife(&plate());
    knife.stock.tolerance_mm = knife.stock.thickness_mm;
    knife.cut_outs = vec![round(500, -30.0, 0.0, 5.0)];
    knife.cut_outs[0].filling = Filling::pin("brass");
    let up = weigh(&knife, &set());
    assert_eq!(up.missing, vec![]);
    assert_eq!(up.steel.mass_band_g.unwrap().low, 0.0);
    let total = up.total.unwrap();
    // Either part may be nothing: the balance may be that of the other.
    close(total.balance_band_mm.low, -30.0, 0.0);
    close(
        total.balance_band_mm.high,
        up.steel.balance_mm.unwrap(),
        0.0,
    );
    knife.cut_outs.clear();
    assert!(weigh(&knife, &set()).total.is_some());
}

/// A guard of brass: obround plate less a slot for the tang with four fillets (Machinery's Handbook, areas).
#[test]
fn guard_on_a_straight_tang() {
    let mut knife = knife(&plate());
    knife.guard = Some(guard());
    let up = weigh(&knife, &set());
    assert_eq!(up.missing, vec![]);
    let weight = up.guard.unwrap();
    // The tang is 25 high and 4 thick; 0.1 mm play all round; corners of 0.5.
    let opening = 25.2 * 4.2 - (4.0 - PI) * 0.25;
    let area = 28.0 * 12.0 + PI * 36.0 - opening;
    close(weight.volume_mm3, area * 6.0, 0.0);
    close(weight.mass_g, area * 6.0 * 8.53e-3, 0.0);
    close(weight.mass_band_g.low, area * 6.0 * 8.43e-3, 0.0);
    close(weight.mass_band_g.high, area * 6.0 * 8.63e-3, 0.0);
    close(weight.x_mm, -3.0, 0.0);
    let total = up.total.unwrap();
    let steel = up.steel.drilled_mass_g.unwrap();
    close(total.mass_g, steel + weight.mass_g, 0.0);
    close(total.balance_mm, -3.0 * weight.mass_g / total.mass_g, 0.0);
}

#[test]
fn guards_that_do_not_fit_are_missing() {
    let tried = |change: fn(&mut tangwright::knife::Guard)| {
        let mut knife = knife(&plate());
        let mut guard = guard();
        change(&mut guard);
        knife.guard = Some(guard);
        let up = weigh(&knife, &set());
        assert_eq!((up.guard, up.total), (None, None));
        assert!(up.steel.drilled_mass_g.is_some());
        up.missing
    };
    // Plate no higher than the slot; slot beside the plate; a press fit that leaves no slot; slot in the corner that the
    // rounding takes away.
    assert_eq!(tried(|g| g.height_mm = 25.0), [Missing::GuardPlate]);
    assert_eq!(tried(|g| g.middle_y_mm = 60.0), [Missing::GuardPlate]);
    assert_eq!(tried(|g| g.clearance_mm = -2.5), [Missing::GuardPlate]);
    assert_eq!(tried(|g| g.width_mm = 4.0), [Missing::GuardPlate]);
    assert_eq!(tried(|g| g.thickness_mm = 80.0), [Missing::GuardSlot]);
    let unknown = Missing::Material {
        key: "horn".to_owned(),
    };
    assert_eq!(tried(|g| g.material = "horn".to_owned()), [unknown]);
}

#[test]
fn a_slot_of_negative_size_is_no_slot() {
    let mut guard = guard();
    guard.clearance_mm = -1.0;
    let slot = guard.slot([0.75, 0.75], -5.0, 5.0);
    assert!(slot.rect.width() < 0.0);
    assert_eq!(slot.contour(), Contour::default());
    let slot = guard.slot([2.0, 2.0], -5.0, 5.0);
    assert_eq!(slot.rect, Rect::new(-1.0, -4.0, 1.0, 4.0));
}

#[test]
fn unknown_materials_are_told_once_each() {
    let mut knife = knife(&camp_outline());
    let mut hole = round(500, -20.0, 8.0, 6.0);
    for (id, key) in [(500, "horn"), (501, "amber"), (502, "horn")] {
        hole.id = id;
        hole.shape = hole.shape.shifted((-20.0, 0.0).into());
        hole.filling = Filling::pin(key);
        knife.cut_outs.push(hole.clone());
    }
    knife.stock.material = "horn".to_owned();
    let up = weigh(&knife, &set());
    let keys: Vec<&Missing> = up.missing.iter().collect();
    let told = |key: &str| Missing::Material {
        key: key.to_owned(),
    };
    assert_eq!(keys, [&told("horn"), &told("amber")]);
    // Areas and balance need no material; masses do, and are missing.
    assert!(up.steel.area_mm2.is_some() && up.steel.balance_mm.is_some());
    assert_eq!(up.steel.drilled_mass_g, None);
    assert_eq!(up.steel.blank_mass_g, None);
    assert_eq!(up.steel.inertia_g_mm2, None);
    assert!(
        up.cut_outs
            .iter()
            .all(|c| c.removed_g.is_none() && c.filling_g.is_none())
    );
    assert!(up.cut_outs.iter().all(|c| c.balance_shift_mm.is_some()));
    assert_eq!(up.total, None);
}
