//! Which caution stands at which step: those of the catalog, where they matter, and who has the last word in the fire.

use super::holes::skates;
use super::work::Work;
use crate::catalog::{MaterialCategory, cautions, material};
use crate::knife::{Filling, Fixing, TangHole};
use crate::weighing::SCRIBE_FIRST;

/// Who has the last word.
const LICENSED: &str = "Local codes and licensed practice come first.";
const FIRE: &str = "The steel maker's data sheet decides; this program gives no recipe.";

/// A caution by its key in the catalog, or one of our own; in the order they are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Caution {
    /// Local codes and licensed practice.
    Licensed,
    /// No recipe.
    Fire,
    /// Lines come before the grinder.
    ScribeFirst,
    /// One of the catalog.
    Of(&'static str),
}

/// Its words.
pub(super) fn said(caution: Caution) -> Option<String> {
    match caution {
        Caution::Licensed => Some(LICENSED.to_owned()),
        Caution::Fire => Some(FIRE.to_owned()),
        Caution::ScribeFirst => {
            let mut words = SCRIBE_FIRST.to_owned();
            if let Some(first) = words.get_mut(..1) {
                first.make_ascii_uppercase();
            }
            Some(words + ".")
        }
        Caution::Of(key) => {
            let own = cautions().find(|rule| rule.key.strip_prefix("caution.") == Some(key))?;
            Some(own.text.clone())
        }
    }
}

/// The cautions a knife calls for in a step.
pub(super) fn cautions_of(heading: &str, work: &Work<'_>) -> Vec<Caution> {
    let always: &[&str] = match heading {
        "Profile to the template" => &[
            "print-scale",
            "laser-skin",
            "grinding-eyes",
            "grinding-noise",
            "grinder-rest",
        ],
        "Drill before hardening" => &["drilling"],
        "Grind" => &["grinding-eyes", "grinding-noise", "dust", "silica"],
        "Heat treatment" => &[
            "heat-treatment",
            "forge-gas",
            "quench",
            "quench-fire",
            "quench-water",
        ],
        "Grind after hardening" => &[
            "grinding-eyes",
            "grinding-noise",
            "hardened-grinding",
            "dust",
        ],
        "Fit the guard" => &["sharp-edge"],
        "Fit the handle" => &["sharp-edge"],
        "Finish and weigh" => &["sharp-edge", "law", "no-certificate"],
        _ => &[],
    };
    let mut all: Vec<Caution> = always.iter().map(|key| Caution::Of(key)).collect();
    match heading {
        "Cut the stock" if work.knife.forging.is_some() && !work.knife.stock.is_laminated() => {
            all.extend([Caution::Licensed, Caution::Of("forge-gas")]);
        }
        // A bar of layers is welded in the fire, by the maker or by who sells it.
        "Cut the stock" if work.knife.stock.is_laminated() => {
            all.extend([
                Caution::Licensed,
                Caution::Of("forge-gas"),
                Caution::Of("metal-fume"),
            ]);
        }
        "Heat treatment" => all.extend([Caution::Licensed, Caution::Fire]),
        "Fit the guard" => {
            let guard = work
                .knife
                .guard
                .as_ref()
                .map(|guard| guard.material.as_str());
            all.extend(
                guard
                    .filter(|key| fumes(key))
                    .map(|_| Caution::Of("metal-fume")),
            );
        }
        "Fit the handle" => all.extend(of_handle(work)),
        "Drill before hardening" if skates(work) => all.push(Caution::Of("skates")),
        "Scribe before grinding" => all.push(Caution::ScribeFirst),
        "Finish and weigh" => all.push(Caution::Licensed),
        _ => {}
    }
    all
}

/// Metals of copper and zinc, which fume when they are made hot.
fn fumes(key: &str) -> bool {
    ["brass", "bronze", "copper", "nickel_silver", "solder"]
        .iter()
        .any(|metal| key.starts_with(metal))
}

/// What the handle's own materials call for.
fn of_handle(work: &Work<'_>) -> Vec<Caution> {
    let Some(handle) = &work.knife.handle else {
        return Vec::new();
    };
    let mut keys = Vec::new();
    let wooden = |key: &str| {
        key.starts_with("wood_")
            || material(key).is_some_and(|m| m.category == MaterialCategory::Wood)
    };
    for key in handle.materials() {
        let of = material(key).map(|m| m.category);
        if wooden(key) {
            keys.push("wood-dust");
        } else if matches!(
            of,
            Some(
                MaterialCategory::Composite
                    | MaterialCategory::Other
                    | MaterialCategory::Nonferrous
            )
        ) {
            keys.push("dust");
        }
        if key.starts_with("wood_cocobolo") {
            keys.extend(["cocobolo", "protected-wood"]);
        }
        if key.starts_with("wood_rosewood") {
            keys.push("protected-wood");
        }
        if key.starts_with("wood_padauk") || key.starts_with("wood_ipe") {
            keys.push("padauk-ipe");
        }
    }
    let cast = |filling: &Filling| matches!(filling, Filling::Epoxy { .. });
    let glued = handle.glue.is_some()
        || work.knife.cut_outs.iter().any(|cut| cast(&cut.filling))
        || work.knife.rows.iter().any(|row| cast(&row.filling));
    if glued {
        keys.push("epoxy");
    }
    let mut all: Vec<Caution> = keys.into_iter().map(Caution::Of).collect();
    let burnt = Fixing::Block {
        hole: TangHole::BurntIn,
    };
    if handle.fixing == burnt {
        all.push(Caution::Licensed);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::{Knife, KnifeSet, orchard_set};
    use crate::sheet::build::steps::BuildOptions;

    fn called(knife: &Knife, set: &KnifeSet, heading: &str) -> Vec<Caution> {
        cautions_of(heading, &Work::new(knife, set, BuildOptions::default()))
    }

    /// Where each caution of the catalog stands, first to last.
    const PLACES: [(&str, &[&str]); 24] = [
        ("metal-fume", &["Cut the stock", "Fit the guard"]),
        ("forge-gas", &["Cut the stock", "Heat treatment"]),
        ("print-scale", &["Profile to the template"]),
        ("laser-skin", &["Profile to the template"]),
        ("grinder-rest", &["Profile to the template"]),
        ("grinding-eyes", &GRINDER),
        ("grinding-noise", &GRINDER),
        ("drilling", &["Drill before hardening"]),
        ("skates", &["Drill before hardening"]),
        ("silica", &["Grind"]),
        (
            "dust",
            &["Grind", "Grind after hardening", "Fit the handle"],
        ),
        ("heat-treatment", &["Heat treatment"]),
        ("quench", &["Heat treatment"]),
        ("quench-fire", &["Heat treatment"]),
        ("quench-water", &["Heat treatment"]),
        ("hardened-grinding", &["Grind after hardening"]),
        ("wood-dust", &["Fit the handle"]),
        ("cocobolo", &["Fit the handle"]),
        ("padauk-ipe", &["Fit the handle"]),
        ("protected-wood", &["Fit the handle"]),
        ("epoxy", &["Fit the handle"]),
        (
            "sharp-edge",
            &["Fit the guard", "Fit the handle", "Finish and weigh"],
        ),
        ("law", &["Finish and weigh"]),
        ("no-certificate", &["Finish and weigh"]),
    ];
    /// The steps at the grinder.
    const GRINDER: [&str; 3] = ["Profile to the template", "Grind", "Grind after hardening"];

    /// Knives that call for everything between them: the orchard set as it is, and with handles of other materials.
    fn knives(set: &KnifeSet) -> Vec<Knife> {
        let mut all: Vec<Knife> = set.knives.iter().map(|k| Knife::clone(k)).collect();
        for own in &set.knives {
            for material in ["wood_cocobolo", "wood_padauk_african", "g10"] {
                let mut knife = Knife::clone(own);
                if let Some(handle) = &mut knife.handle {
                    for key in handle.materials_mut() {
                        material.clone_into(key);
                    }
                }
                all.push(knife);
            }
        }
        all
    }

    /// Every caution stands where it matters and nowhere else, none of the catalog is left out, and each has its words.
    #[test]
    fn every_caution_stands_at_the_steps_where_it_matters() {
        let set = orchard_set();
        let knives = knives(&set);
        let told: Vec<(&str, Vec<Caution>)> = super::super::steps::STEPS
            .iter()
            .map(|(heading, _)| {
                let of = |knife| called(knife, &set, heading);
                (*heading, knives.iter().flat_map(of).collect())
            })
            .collect();
        for (key, wanted) in PLACES {
            let at: Vec<&str> = told
                .iter()
                .filter(|(_, cautions)| cautions.contains(&Caution::Of(key)))
                .map(|(heading, _)| *heading)
                .collect();
            assert_eq!(at, wanted, "{key}");
        }
        for rule in cautions() {
            let key = rule.key.trim_start_matches("caution.");
            assert!(PLACES.iter().any(|(own, _)| *own == key), "{key}");
        }
        for caution in told.iter().flat_map(|(_, cautions)| cautions) {
            let words = said(*caution);
            assert!(words.is_some_and(|words| !words.is_empty()), "{caution:?}");
        }
    }

    /// Who has the last word is told before the fire, at stock that is forged, at a tang that is burnt in, and at the end; the recipe is nobody's but the mill's.
    #[test]
    fn local_codes_come_first_at_every_fire_and_at_the_end() {
        let set = orchard_set();
        let of = |knife: &Knife, heading| called(knife, &set, heading);
        for knife in set.knives.iter().map(AsRef::as_ref) {
            let fire = of(knife, "Heat treatment");
            assert!(fire.contains(&Caution::Licensed) && fire.contains(&Caution::Fire));
            assert!(of(knife, "Finish and weigh").contains(&Caution::Licensed));
            assert_eq!(
                of(knife, "Scribe before grinding"),
                [Caution::ScribeFirst],
                "{}",
                knife.name
            );
        }
        // The paring knife's tang is burnt in; the grafting knife has scales.
        let handle = |place: usize| of(&set.knives[place], "Fit the handle");
        assert!(handle(3).contains(&Caution::Licensed));
        assert!(!handle(1).contains(&Caution::Licensed));
        let mut forged = Knife::clone(&set.knives[3]);
        assert!(of(&forged, "Cut the stock").is_empty());
        forged.forging = Some(crate::knife::ForgePlan::from_bar(&forged.stock));
        let stock = of(&forged, "Cut the stock");
        assert_eq!(stock, [Caution::Licensed, Caution::Of("forge-gas")]);
    }

    #[test]
    fn what_only_some_materials_call_for_is_not_told_of_others() {
        let set = orchard_set();
        // The grafting knife's scales are walnut.
        let grafting = &set.knives[1];
        let handle = called(grafting, &set, "Fit the handle");
        assert!(handle.contains(&Caution::Of("wood-dust")), "{handle:?}");
        assert!(!handle.contains(&Caution::Of("cocobolo")), "{handle:?}");
        // Only the picnic knife's bar is welded of layers, with copper in it.
        assert!(called(grafting, &set, "Cut the stock").is_empty());
        let picnic = called(&set.knives[2], &set, "Cut the stock");
        assert!(picnic.contains(&Caution::Of("metal-fume")) && picnic.contains(&Caution::Licensed));
    }
}
