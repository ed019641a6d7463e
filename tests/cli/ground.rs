//! `weigh` of ground, tapered and laminated steel: a whole knife by closed form, and the orchard set for sense.

use std::path::Path;

use serde_json::Value;

use tangwright::knife::{
    Cut, CutForm, Faces, Grind, Knife, Landmark, LandmarkKind, Layer, Layering, Material, Rise,
    Run, Sides, Spot, Taper, ThicknessStation, orchard_set,
};
use tangwright::reading::design_file;

use super::bench::{folder, near, number, plate, run, set, written};

/// Length and height of the bar, mm.
pub(super) const L: f64 = 200.0;
pub(super) const H: f64 = 30.0;
/// Thickness at the butt and at the tip.
pub(super) const T0: f64 = 5.0;
pub(super) const T1: f64 = 2.0;
/// Height of the bevel and thickness of the edge.
pub(super) const BEVEL: f64 = 20.0;
pub(super) const EDGE: f64 = 0.5;
/// Half the core, and core with shims.
pub(super) const CORE: f64 = 0.6;
pub(super) const SHIMMED: f64 = 0.8;

/// A bar 200 × 30 of three layers with shims, tapered from 5 to 2 mm, with one flat bevel along all of its lower side.
pub(super) fn bar() -> Knife {
    let mut knife = plate("Ground bar", L, H, T0);
    let at = |kind, node| Landmark {
        kind,
        spot: Spot { node, t: 0.0 },
    };
    knife.landmarks = vec![at(LandmarkKind::Plunge, 1), at(LandmarkKind::Tip, 2)];
    knife.landmarks.sort_by_key(|l| l.kind);
    let layer = |name: &str, thickness_mm| Layer {
        name: name.to_owned(),
        material: name.to_owned(),
        thickness_mm,
    };
    knife.stock.layering = Layering {
        outer: vec![
            layer("shim", SHIMMED - CORE),
            layer("cladding", T0 / 2.0 - SHIMMED),
        ],
        ..Layering::default()
    };
    let station = |x_mm, thickness_mm| ThicknessStation { x_mm, thickness_mm };
    knife.grinding.taper = Some(Taper {
        stations: vec![station(0.0, T0), station(L, T1)],
        faces: Faces::Both,
    });
    let id = knife.take_id();
    knife.grinding.grinds.push(Grind {
        id,
        name: "bevel".to_owned(),
        run: Run {
            from: LandmarkKind::Plunge,
            to: LandmarkKind::Tip,
        },
        sides: Sides::Both(Cut {
            form: CutForm::Flat,
            rise: Rise::even_height(BEVEL),
        }),
        edge_mm: EDGE,
        edge_offset_mm: 0.0,
        plunge_from: None,
        plunge_to: None,
        after_hardening: false,
    });
    knife
}

pub(super) fn weighed(folder: &Path, knife: Knife) -> Value {
    let mut set = set(vec![knife]);
    for (key, density) in [("shim", 8.9), ("cladding", 7.6)] {
        set.materials.push(Material {
            key: key.to_owned(),
            name: key.to_owned(),
            density_g_cm3: density,
            density_low: density,
            density_high: density,
            data_sheet: String::new(),
        });
    }
    let text = design_file::write(&set);
    let file = written(folder, "set.tangwright", text.as_bytes());
    let ran = run(&arguments!["weigh", file, "--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    serde_json::from_str(&ran.out).expect("JSON")
}

/// Volume and its moment along x of the steel within `half` of the mid-plane. The section at x is a strip `2·half` wide less two
/// triangles at the edge, `half − e/2` wide and `2·h·(half − e/2)/(T − e)` high, and T falls evenly: with `a = T0 − e`, `k` the fall,
/// `∫ dx/(a − kx) = ln(a/(a − kL))/k` and `∫ x dx/(a − kx) = −L/k + a/k²·ln(a/(a − kL))`.
pub(super) fn within(half: f64) -> (f64, f64) {
    let (a, k) = (T0 - EDGE, (T0 - T1) / L);
    let log = (a / (a - k * L)).ln();
    let missing = 2.0 * BEVEL * (half - EDGE / 2.0).powi(2);
    (
        2.0 * half * H * L - missing * log / k,
        half * H * L * L - missing * (a / (k * k) * log - L / k),
    )
}

/// The same of all the steel: the section's area is `(H − h/2)·T + h·e/2`.
pub(super) fn whole() -> (f64, f64) {
    let (alpha, beta, k) = (H - BEVEL / 2.0, BEVEL * EDGE / 2.0, (T0 - T1) / L);
    (
        L * (alpha * (T0 + T1) / 2.0 + beta),
        alpha * (T0 * L * L / 2.0 - k * L.powi(3) / 3.0) + beta * L * L / 2.0,
    )
}

#[test]
fn json_holds_the_numbers_of_a_ground_tapered_laminated_bar() {
    let folder = folder();
    let answer = weighed(folder.path(), bar());
    let knife = &answer["knives"][0];
    let bound = number(knife, "/error_bound");
    assert!(bound > 0.0 && bound <= 1e-5, "{bound:e}");
    let (volume, moment) = whole();
    let found = number(knife, "/steel/ground_volume_mm3");
    near(found, volume, bound.max(1e-12), "volume");
    let (core, shims) = (within(CORE), within(SHIMMED));
    let parts = [
        ("core", 7.85, core),
        ("shim", 8.9, (shims.0 - core.0, shims.1 - core.1)),
        ("cladding", 7.6, (volume - shims.0, moment - shims.1)),
    ];
    let mass: f64 = parts.iter().map(|(_, rho, (v, _))| rho * v / 1000.0).sum();
    let lever: f64 = parts.iter().map(|(_, rho, (_, m))| rho * m / 1000.0).sum();
    near(number(knife, "/steel/ground_mass_g"), mass, 1e-5, "mass");
    let balance = number(knife, "/steel/ground_balance_mm");
    assert!(
        (balance - lever / mass).abs() <= 1e-3,
        "{balance}, not {}",
        lever / mass
    );
    let centroid = number(knife, "/steel/ground_centroid_mm/0");
    assert!((centroid - balance).abs() < 1e-12);
    assert!(number(knife, "/steel/ground_centroid_mm/2").abs() < 1e-9);
    // Each outer layer lies on both sides of the core, in like shares.
    let layers = knife["layers"].as_array().expect("a list");
    assert_eq!(layers.len(), 5);
    for (name, rho, (v, _)) in parts {
        let of_name: Vec<&Value> = layers
            .iter()
            .filter(|l| l["name"].as_str().is_some_and(|own| own.starts_with(name)))
            .collect();
        let share = v / of_name.len() as f64;
        for layer in of_name {
            near(number(layer, "/ground_volume_mm3"), share, 1e-5, name);
            near(
                number(layer, "/ground_mass_g"),
                rho * share / 1000.0,
                1e-5,
                name,
            );
            let thick = number(layer, "/thickness_mm");
            let blank = thick * H * L * rho / 1000.0;
            near(number(layer, "/blank_mass_g"), blank, 1e-12, name);
        }
    }
    // What the taper leaves is 30·200·3.5 of mixed layers; the bevel takes the rest down to the ground mass.
    let taper_leaves = |half: f64| 2.0 * half * H * L;
    let (c, s) = (taper_leaves(CORE), taper_leaves(SHIMMED));
    let tapered = (7.85 * c + 8.9 * (s - c) + 7.6 * (H * L * 3.5 - s)) / 1000.0;
    near(
        number(&knife["grinds"][0], "/removed_g"),
        tapered - mass,
        1e-4,
        "bevel",
    );
}

#[test]
fn the_table_tells_layers_grinds_and_the_ground_mass() {
    let folder = folder();
    weighed(folder.path(), bar());
    let ran = run(&arguments!["weigh", folder.path().join("set.tangwright")]);
    let line = |start: &str| {
        let mut lines = ran.out.lines().map(str::trim);
        lines
            .find(|line| line.starts_with(start))
            .unwrap_or_else(|| panic!("{start} is not in {}", ran.out))
            .to_owned()
    };
    let mass = {
        let (core, shims, all) = (within(CORE).0, within(SHIMMED).0, whole().0);
        (7.85 * core + 8.9 * (shims - core) + 7.6 * (all - shims)) / 1000.0
    };
    assert!(
        line("ground  ").contains(&format!("{mass:.0} g ±")),
        "{} {mass}",
        line("ground  ")
    );
    let volume = line("ground volume");
    assert!(volume.contains("15000.0 mm³, within"), "{volume}");
    assert!(line("core").contains("1.20 mm"));
    assert!(line("shim, right").contains("0.20 mm"));
    assert!(line("bevel").ends_with('g'));
}

#[test]
fn the_orchard_set_adds_up() {
    let folder = folder();
    let text = design_file::write(&orchard_set());
    let file = written(folder.path(), "set.tangwright", text.as_bytes());
    let ran = run(&arguments!["weigh", file, "--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let knives = answer["knives"].as_array().expect("a list");
    assert_eq!(knives.len(), 4);
    for knife in knives {
        let name = knife["name"].as_str().expect("a name");
        let ground = number(knife, "/steel/ground_mass_g");
        let drilled = number(knife, "/steel/drilled_mass_g");
        assert!(ground < drilled, "{name}: grinding takes steel away");
        let sum = |list: &str, field: &str| -> f64 {
            let all = knife[list].as_array().expect("a list");
            all.iter().map(|one| number(one, field)).sum()
        };
        near(sum("layers", "/ground_mass_g"), ground, 1e-9, name);
        assert!(sum("grinds", "/removed_g") > 0.0, "{name}");
        let bound = number(knife, "/error_bound");
        assert!(bound > 0.0 && bound <= 1e-5, "{name}: {bound:e}");
        let low = number(knife, "/steel/ground_mass_band_g/0");
        let high = number(knife, "/steel/ground_mass_band_g/1");
        assert!(low < ground && ground < high, "{name}");
    }
    let picnic = knives
        .iter()
        .find(|k| k["name"].as_str().is_some_and(|n| n.contains("icnic")))
        .expect("the picnic knife");
    assert_eq!(picnic["layers"].as_array().map(Vec::len), Some(5));
}
