//! The whole weigh-up of a knife against closed forms: plates that taper, layers, grinds, bands.

#![expect(clippy::expect_used, reason = "a helper of tests stops the test")]

use std::f64::consts::PI;
use std::sync::Arc;

use tangwright::knife::{
    CutForm, Faces, Knife, KnifeSet, LandmarkKind, Layer, Material, Sides, Taper, ThicknessStation,
};
use tangwright::weighing::{GroundWeight, WeighUp, weigh};

use crate::bench::{arc_nodes, bar, blade, close, corners, flat, grind};

/// Share that closed forms may differ by.
pub(crate) const SHARE: f64 = 1e-9;

fn material(key: &str, density: f64) -> Material {
    Material {
        key: key.to_owned(),
        name: key.to_owned(),
        density_g_cm3: density,
        density_low: 0.99 * density,
        density_high: 1.02 * density,
        data_sheet: String::new(),
    }
}

/// Steel of 7.8, core of 8, cladding of 7.6 and brass of 8.5 g/cm³.
pub(crate) fn set() -> KnifeSet {
    KnifeSet {
        name: "truths".to_owned(),
        knives: Vec::<Arc<Knife>>::new(),
        materials: [
            ("steel", 7.8),
            ("core", 8.0),
            ("clad", 7.6),
            ("shim", 8.9),
            ("brass", 8.5),
        ]
        .map(|(key, density)| material(key, density))
        .to_vec(),
        next_id: 1,
    }
}

#[track_caller]
pub(crate) fn weighed(knife: &Knife) -> (WeighUp, GroundWeight) {
    let up = weigh(knife, &set());
    assert_eq!(up.missing, [], "everything can be weighed");
    let ground = up.ground.expect("the ground steel has a weight");
    assert!(ground.error_bound <= 1e-5 && ground.balance_error_mm <= 0.01);
    (up, ground)
}

pub(crate) fn tapered(knife: &mut Knife, faces: Faces, stations: &[(f64, f64)]) {
    knife.grinding.taper = Some(Taper {
        stations: stations
            .iter()
            .map(|&(x_mm, thickness_mm)| ThicknessStation { x_mm, thickness_mm })
            .collect(),
        faces,
    });
}

pub(crate) fn laminated(knife: &mut Knife, outer: &[(&str, f64)], offset: f64) {
    knife.stock.material = "core".to_owned();
    knife.stock.layering.core_offset_mm = offset;
    knife.stock.layering.outer = outer
        .iter()
        .map(|&(key, thickness_mm)| Layer {
            name: key.to_owned(),
            material: key.to_owned(),
            thickness_mm,
        })
        .collect();
}

/// The same bevel on a prism: rectangle and trapezoid (T = 4, e = 0.5, bevel 18 of 30 high: 88.5 mm², center 18.20338983 above the edge).
/// Polar moment of a prism `L` long about its center: `A·L³/12 + L·∫(y − ȳ)² dA`; across the height the section has 4973.338983 mm⁴ (rectangle and trapezoid, parallel
/// axes).
#[test]
fn a_ground_bar_is_a_prism() {
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    let (up, ground) = weighed(&knife);
    close(ground.volume_mm3, 8850.0, SHARE);
    close(ground.mass_g, 8.85 * 7.8, SHARE);
    close(ground.balance_mm, 50.0, SHARE);
    close(ground.centroid_mm[1], 18.203_389_830_508_474, SHARE);
    assert!(ground.centroid_mm[2].abs() < 1e-9);
    let polar = 88.5 * 1e6 / 12.0 + 100.0 * 4_973.338_983_050_847;
    close(ground.inertia_g_mm2, polar * 7.8e-3, 1e-8);
    // What all grinds take and what is left make up the drilled bar.
    let taken: f64 = up.grinds.iter().map(|g| g.removed_g).sum();
    close(
        taken + ground.mass_g,
        up.steel.drilled_mass_g.unwrap(),
        SHARE,
    );
    close(taken, 31.5 * 100.0 * 7.8e-3, SHARE);
}

/// A bar that tapers in width and thickness is a prismoid: `V = L/6 (A0 + 4 Am + A1)`, from 30 × 5 to 20 × 2 on 200 mm 18000 mm³ with
/// its center at 2150/27 (prismoidal formula, Machinery's Handbook; center by integrating `x·w(x)·t(x)`).
#[test]
fn a_taper_in_width_and_thickness_is_a_prismoid() {
    let mut knife = blade(
        corners(&[(0.0, -15.0), (200.0, -10.0), (200.0, 10.0), (0.0, 15.0)]),
        &[],
    );
    knife.stock.thickness_mm = 5.0;
    tapered(&mut knife, Faces::Both, &[(0.0, 5.0), (200.0, 2.0)]);
    let (_, ground) = weighed(&knife);
    close(ground.volume_mm3, 18_000.0, 1e-12);
    close(ground.balance_mm, 2150.0 / 27.0, 1e-12);
    assert!(ground.centroid_mm[1].abs() < 1e-9 && ground.centroid_mm[2].abs() < 1e-9);
    assert!(ground.error_bound < 1e-10);
}

/// All of a taper from the right face, 4 down to 1 mm over 100: the right face at 2 − 0.03 x, the left at −2. Integrals by hand: `V = 20·250`, `∫x dV = 20·(20000 − 10000)`,
/// `∫z dV = 20·∫((2 − 0.03x)² − 4)/2 dx = 20·(−150)`… with `∫(−0.12x + 0.0009x²)/2 = −300 + 150`.
#[test]
fn a_taper_on_one_face_leans() {
    let mut knife = bar(100.0, 20.0);
    tapered(&mut knife, Faces::Right, &[(0.0, 4.0), (100.0, 1.0)]);
    let (_, ground) = weighed(&knife);
    close(ground.volume_mm3, 5000.0, 1e-12);
    close(
        ground.balance_mm,
        (4.0 * 5000.0 - 0.03 * 1e6 / 3.0) / 250.0,
        1e-12,
    );
    close(ground.centroid_mm[2], -150.0 / 250.0, 1e-12);
}

/// A bevel around half a disc, by the second theorem of Pappus, whole knife: disc less `2π(H − z0)(R·h/2 − h²/6)`. Its center by `ȳ = −∫ ρ·cos`, the mean of
/// −sin over the half turn being −2/π: `∫y dV = −2∫ρ²·t(ρ) dρ`.
#[test]
fn a_belly_is_turned() {
    let (r, h, climb) = (50.0_f64, 20.0_f64, 1.8);
    let nodes = arc_nodes(0, (0.0, 0.0), r, -PI, PI, 16);
    let mut knife = blade(nodes, &[(LandmarkKind::Plunge, 0), (LandmarkKind::Tip, 16)]);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(h)), 0.4)];
    let (_, ground) = weighed(&knife);
    let taken = 2.0 * PI * climb * (r * h / 2.0 - h * h / 6.0);
    let volume = 2.0 * PI * r * r - taken;
    close(ground.volume_mm3, volume, 1e-8);
    // ∫₀ʰ (1 − d/h)(r − d)² dd
    let second = h * r * r / 2.0 - r * h * h / 3.0 + h * h * h / 12.0;
    let moment = -2.0 * (4.0 * r.powi(3) / 3.0 - 2.0 * climb * second);
    close(ground.centroid_mm[1], moment / volume, 1e-7);
    assert!(ground.balance_mm.abs() < 1e-6);
}

/// Ground to nothing over all its height a bar is a wedge: half of it, its center a third below the spine.
#[test]
fn a_full_flat_bar_is_a_wedge() {
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(30.0)), 0.0)];
    let (_, ground) = weighed(&knife);
    close(ground.volume_mm3, 6000.0, SHARE);
    close(ground.centroid_mm[1], 20.0, SHARE);
}

/// A hollow takes the circular segment of its chord more than a flat (Machinery's Handbook): wheel of 127, chord 25: 10.28257704 mm² on each face.
#[test]
fn a_hollow_bar_lacks_two_segments() {
    let climb = 1.75_f64;
    let height = (625.0 - climb * climb).sqrt();
    let mut knife = bar(100.0, 40.0);
    let mut cut = flat(height);
    cut.form = CutForm::Hollow {
        wheel_radius_mm: 127.0,
    };
    knife.grinding.grinds = vec![grind(Sides::Both(cut), 0.5)];
    let (_, ground) = weighed(&knife);
    let section = 160.0 - 2.0 * (height * climb / 2.0 + 10.282_577_04);
    close(ground.volume_mm3, section * 100.0, 1e-9);
}

/// A chisel leans away from its ground face: a triangle of 20 × 3.5 with its center at 2 − 3.5/3 is missing from a section of 30 × 4.
#[test]
fn a_chisel_leans() {
    for (sides, toward) in [
        (Sides::Right(flat(20.0)), -1.0),
        (Sides::Left(flat(20.0)), 1.0),
    ] {
        let mut knife = bar(100.0, 30.0);
        knife.grinding.grinds = vec![grind(sides, 0.5)];
        let (_, ground) = weighed(&knife);
        close(ground.volume_mm3, 8500.0, SHARE);
        close(
            ground.centroid_mm[2],
            toward * 35.0 * (2.0 - 3.5 / 3.0) / 85.0,
            SHARE,
        );
    }
}

/// Area of a layer from `a` to `b` over the mid-plane that a flat bevel leaves on one side of it: the surface goes from `z0` to `half` over `height`, above which the layer is
/// whole. `min(z, b) − a` integrated: nothing below `a`, then a triangle, then the rest.
fn left_of_layer((a, b): (f64, f64), z0: f64, half: f64, height: f64, whole: f64) -> f64 {
    let place = |z: f64| ((z - z0) / (half - z0)).clamp(0.0, 1.0) * height;
    let (ya, yb) = (place(a), place(b));
    let start = (z0 - a).max(0.0).min(b - a);
    (start + (b - a)) / 2.0 * (yb - ya) + (b - a) * (whole - yb)
}

/// Layers of a flat bevel on a bar. With the core from −cT/2 to cT/2 the core shows up to `y = Hb (cT − e)/(T − e)`.
#[test]
fn layers_are_cut_where_the_bevel_passes_them() {
    let cases: [(&[(&str, f64)], f64); 4] = [
        (&[("clad", 1.2)], 0.0),
        (&[("clad", 1.2)], 0.15),
        (&[("shim", 0.2), ("clad", 1.1)], 0.0),
        (&[("shim", 0.2), ("clad", 1.1)], -0.12),
    ];
    for (outer, offset) in cases {
        let mut knife = bar(100.0, 30.0);
        laminated(&mut knife, outer, offset);
        knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
        let (up, ground) = weighed(&knife);
        let laid = knife.stock.laid_layers();
        assert_eq!(up.layers.len(), laid.len());
        let (mut mass, mut lean) = (0.0, 0.0);
        for (layer, told) in laid.iter().zip(&up.layers) {
            // Each face cuts what lies on its side of the mid-plane; the core has two.
            let mut area = 0.0;
            for (low, high) in [(layer.from_mm, layer.to_mm), (-layer.to_mm, -layer.from_mm)] {
                if high > 0.0 {
                    area += left_of_layer((low.max(0.0), high), 0.25, 2.0, 18.0, 30.0);
                }
            }
            let density = set().material(&layer.material).unwrap().density_g_cm3 * 1e-3;
            close(told.ground_volume_mm3, area * 100.0, SHARE);
            close(told.ground_mass_g, area * 100.0 * density, SHARE);
            let whole = (layer.to_mm - layer.from_mm) * 3000.0 * density;
            close(told.blank_mass_g, whole, SHARE);
            mass += area * 100.0 * density;
            lean += f64::midpoint(layer.from_mm, layer.to_mm);
        }
        close(ground.mass_g, mass, SHARE);
        let leans = ground.centroid_mm[2].abs() > 1e-6;
        assert_eq!(
            leans,
            offset != 0.0,
            "only a core off the middle leans: {lean}"
        );
    }
}

/// Unlike densities move the balance: a taper takes only cladding at first. Core of 1.6 at 8.0, cladding at 7.6; from 4 mm down to 2 over 100: the cladding is
/// `2.4 − 0.02x` thick. And thinner than the core, from 4 down to 1: past x = 80 the core is all there is.
#[test]
fn a_taper_goes_through_the_layers() {
    let mut knife = bar(100.0, 30.0);
    laminated(&mut knife, &[("clad", 1.2)], 0.0);
    tapered(&mut knife, Faces::Both, &[(0.0, 4.0), (100.0, 2.0)]);
    let (up, ground) = weighed(&knife);
    let (core, clad) = (1.6 * 3000.0 * 8e-3, 1.4 * 3000.0 * 7.6e-3);
    close(ground.mass_g, core + clad, SHARE);
    let moment = core * 50.0 + 30.0 * 7.6e-3 * (2.4 * 5000.0 - 0.02 * 1e6 / 3.0);
    close(ground.balance_mm, moment / (core + clad), SHARE);
    close(up.layers[0].ground_volume_mm3, 4800.0, SHARE);

    tapered(&mut knife, Faces::Both, &[(0.0, 4.0), (100.0, 1.0)]);
    let (up, _) = weighed(&knife);
    close(
        up.layers[0].ground_volume_mm3,
        30.0 * (1.6 * 80.0 + 1.3 * 20.0),
        SHARE,
    );
    let sides: f64 = up.layers[1..].iter().map(|l| l.ground_volume_mm3).sum();
    close(sides, 30.0 * 2.4 * 80.0 / 2.0, SHARE);
}

/// Bands of a prism by hand. Untouched steel follows the bar: A·Δ; on the bevel the surface follows by as much as it has climbed, half a triangle's share, and the ground
/// face by the hand's tolerance on both faces.
#[test]
fn bands_of_a_ground_bar() {
    let mut knife = bar(100.0, 30.0);
    knife.stock.tolerance_mm = 0.1;
    knife.grinding.tolerance_mm = 0.0;
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    let (_, ground) = weighed(&knife);
    // Per mm of stock: 12 mm of flat, and of the bevel the mean climb, one half.
    let stock = (12.0 + 18.0 / 2.0) * 0.1 / 88.5;
    close(
        ground.mass_band_g.high,
        ground.mass_g * 1.02 * (1.0 + stock),
        SHARE,
    );
    close(
        ground.mass_band_g.low,
        ground.mass_g * 0.99 * (1.0 - stock),
        SHARE,
    );
    knife.stock.tolerance_mm = 0.0;
    knife.grinding.tolerance_mm = 0.05;
    let (_, ground) = weighed(&knife);
    let hand = 2.0 * 18.0 * 0.05 / 88.5;
    close(
        ground.mass_band_g.high,
        ground.mass_g * 1.02 * (1.0 + hand),
        SHARE,
    );
    close(
        ground.mass_band_g.low,
        ground.mass_g * 0.99 * (1.0 - hand),
        SHARE,
    );
    assert!(ground.balance_band_mm.contains(ground.balance_mm));
    assert!(ground.balance_band_mm.half_width() < 1e-9);
}
