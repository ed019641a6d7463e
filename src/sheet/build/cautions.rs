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
        "Profile to the template" => {
            &["print-scale", "laser-skin", "grinding-eyes", "grinder-rest"]
        }
        "Drill before hardening" => &["drilling"],
        "Grind" => &["grinding-eyes", "grinding-noise", "dust", "silica"],
        "Heat treatment" => &[
            "heat-treatment",
            "forge-gas",
            "quench",
            "quench-fire",
            "quench-water",
        ],
        "Grind after hardening" => &["grinding-eyes", "hardened-grinding", "dust"],
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

    /// Every caution of the catalog stands at some step of some knife; a misspelt key would leave one without a place.
    #[test]
    fn every_caution_of_the_catalog_has_its_step() {
        let set = orchard_set();
        let mut told: Vec<Caution> = Vec::new();
        for own in &set.knives {
            let mut knife = Knife::clone(own);
            for wood in ["wood_cocobolo", "wood_padauk_african", "g10"] {
                if let Some(handle) = &mut knife.handle {
                    for key in handle.materials_mut() {
                        wood.clone_into(key);
                    }
                }
                for (heading, _) in super::super::steps::STEPS {
                    told.extend(called(&knife, &set, heading));
                    told.extend(called(own, &set, heading));
                }
            }
        }
        for rule in cautions() {
            let key = rule.key.trim_start_matches("caution.");
            assert!(told.contains(&Caution::Of(key)), "{key}");
        }
        for caution in told {
            assert!(
                said(caution).is_some_and(|words| !words.is_empty()),
                "{caution:?}"
            );
        }
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
