//! `weigh --json` of ground steel, the rest of it: what layers and grinds are called, of what they are, and where the center lies up the blade and
//! through its thickness.

use std::f64::consts::PI;

use serde_json::Value;

use tangwright::knife::{Cut, CutForm, Knife, Rise, Sides};

use super::bench::{folder, hole, near, number};
use super::ground::{BEVEL, CORE, EDGE, H, L, SHIMMED, T0, T1, bar, weighed, whole, within};

/// A flat of this height.
fn flat(height_mm: f64) -> Cut {
    Cut {
        form: CutForm::Flat,
        rise: Rise::even_height(height_mm),
    }
}

/// The bar of plain steel and of even thickness.
fn plain() -> Knife {
    let mut knife = bar();
    knife.stock.layering.outer.clear();
    knife.grinding.taper = None;
    knife
}

/// Moment along y of the steel within `half` of the mid-plane: a strip H high less two triangles at the edge, `half − e/2` wide and
/// `y* = 2·h·(half − e/2)/(T − e)` high with their center at a third of that; with `T − e = a − kx`, `∫ dx/(a − kx)² = (1/(a − kL) − 1/a)/k`.
fn up_within(half: f64) -> f64 {
    let (a, k) = (T0 - EDGE, (T0 - T1) / L);
    let inverse = (1.0 / (a - k * L) - 1.0 / a) / k;
    half * H * H * L - 4.0 / 3.0 * BEVEL * BEVEL * (half - EDGE / 2.0).powi(3) * inverse
}

/// The same of all the steel: the section's moment is `T·H²/2 − (T − e)·h²/6`.
fn up_whole() -> f64 {
    let mean = f64::midpoint(T0, T1);
    L * (mean * H * H / 2.0 - (mean - EDGE) * BEVEL * BEVEL / 6.0)
}

#[test]
fn json_tells_how_far_up_the_center_lies() {
    let folder = folder();
    let answer = weighed(folder.path(), bar());
    let (core, shims, all) = (within(CORE).0, within(SHIMMED).0, whole().0);
    let mass = 7.85 * core + 8.9 * (shims - core) + 7.6 * (all - shims);
    let (core, shims) = (up_within(CORE), up_within(SHIMMED));
    let moment = 7.85 * core + 8.9 * (shims - core) + 7.6 * (up_whole() - shims);
    let found = number(&answer["knives"][0], "/steel/ground_centroid_mm/1");
    near(found, moment / mass, 1e-6, "center up the blade");
}

/// A chisel on a bar of 5 mm: a triangle of 20 by 4.5 is missing from 30 × 5, its center a third up and a third of its side below the right face.
#[test]
fn json_tells_how_a_chisel_leans() {
    let folder = folder();
    for (sides, toward) in [
        (Sides::Right(flat(BEVEL)), -1.0),
        (Sides::Left(flat(BEVEL)), 1.0),
    ] {
        let mut knife = plain();
        knife.grinding.grinds[0].sides = sides;
        let answer = weighed(folder.path(), knife);
        let steel = &answer["knives"][0]["steel"];
        let (gone, left) = (45.0, 105.0);
        let z = toward * gone * (2.5 - 4.5 / 3.0) / left;
        near(number(steel, "/ground_centroid_mm/2"), z, 1e-9, "z");
        let y = (150.0 * 15.0 - gone * 20.0 / 3.0) / left;
        near(number(steel, "/ground_centroid_mm/1"), y, 1e-9, "y");
        near(number(steel, "/ground_centroid_mm/0"), 100.0, 1e-9, "x");
        near(number(steel, "/ground_volume_mm3"), left * L, 1e-9, "mm³");
    }
}

#[test]
fn json_names_layers_grinds_and_their_steels() {
    let folder = folder();
    let mut knife = bar();
    let mut second = knife.grinding.grinds[0].clone();
    second.id = knife.take_id();
    second.name = "second bevel".to_owned();
    second.edge_mm = 0.0;
    second.sides = Sides::Both(Cut {
        form: CutForm::Flat,
        rise: Rise::even_angle(20_f64.to_radians()),
    });
    knife.grinding.grinds.push(second);
    let answer = weighed(folder.path(), knife);
    let knife = &answer["knives"][0];
    let texts = |list: &str, field: &str| -> Vec<String> {
        let all = knife[list].as_array().expect("a list");
        all.iter()
            .map(|one| one[field].as_str().expect("a text").to_owned())
            .collect()
    };
    let names = [
        "core",
        "shim, right",
        "shim, left",
        "cladding, right",
        "cladding, left",
    ];
    assert_eq!(texts("layers", "name"), names);
    // The key of the material in the file.
    let materials = ["steel", "shim", "shim", "cladding", "cladding"];
    assert_eq!(texts("layers", "material"), materials);
    assert_eq!(texts("grinds", "name"), ["bevel", "second bevel"]);
    let taken = |i: usize| number(knife, &format!("/grinds/{i}/removed_g"));
    assert!(taken(0) > 10.0 * taken(1) && taken(1) > 0.0);
    let keys = |value: &Value| -> Vec<String> {
        let mut keys: Vec<String> = value
            .as_object()
            .expect("an object")
            .keys()
            .cloned()
            .collect();
        keys.sort();
        keys
    };
    let of_layer = [
        "blank_mass_g",
        "ground_mass_g",
        "ground_volume_mm3",
        "material",
        "name",
        "thickness_mm",
    ];
    assert_eq!(keys(&knife["layers"][0]), of_layer);
    assert_eq!(keys(&knife["grinds"][0]), ["name", "removed_g"]);
}

/// In the blank a layer weighs what lies under the outline, as `steel.blank_mass_g` does: a hole changes neither. Ground it lacks the hole.
#[test]
fn json_weighs_layers_in_the_blank_before_its_holes() {
    let folder = folder();
    let mut knife = bar();
    knife.grinding.taper = None;
    knife.grinding.grinds.clear();
    hole(&mut knife, 60.0, 15.0, 10.0);
    let answer = weighed(folder.path(), knife);
    let knife = &answer["knives"][0];
    let layers = knife["layers"].as_array().expect("a list");
    let mut together = 0.0;
    for layer in layers {
        let rho = match layer["material"].as_str() {
            Some("steel") => 7.85,
            Some("shim") => 8.9,
            _ => 7.6,
        };
        let per_mm2 = number(layer, "/thickness_mm") * rho / 1000.0;
        let blank = number(layer, "/blank_mass_g");
        near(blank, H * L * per_mm2, 1e-12, "blank");
        let ground = (H * L - PI * 25.0) * per_mm2;
        near(number(layer, "/ground_mass_g"), ground, 1e-9, "ground");
        together += blank;
    }
    let blank = number(knife, "/steel/blank_mass_g");
    near(together, blank, 1e-12, "all layers");
}
