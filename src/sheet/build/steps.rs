//! The steps themselves: headings, what each knife needs there, cautions.

use super::tell::{
    Work, finish, grind_hard, grind_soft, guard, handle, heat, holes, profile, scribe, stock,
};
use crate::catalog::cautions;
use crate::knife::{Knife, KnifeSet};
use crate::units::LengthFormat;

/// Who has the last word in the fire.
const FIRE: &str = "The steel maker's data sheet decides; this program gives no recipe. Local codes and licensed practice come first.";

/// What one knife needs in a step.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// Its name.
    pub knife: String,
    /// A line for each thing to do or to know.
    pub lines: Vec<String>,
}

/// One step of the work.
#[derive(Clone, Debug, PartialEq)]
pub struct BuildStep {
    /// What is done.
    pub heading: &'static str,
    /// What each knife needs; knives that need nothing are left out.
    pub shares: Vec<Share>,
    /// What could hurt the maker or spoil the steel.
    pub cautions: Vec<String>,
}

type Tell = fn(&Work<'_>) -> Vec<String>;

/// The steps of these knives, in the order of the work; steps nobody needs are left out.
#[must_use]
pub fn build_steps<'a>(
    knives: impl IntoIterator<Item = &'a Knife>,
    set: &KnifeSet,
    lengths: LengthFormat,
) -> Vec<BuildStep> {
    let works: Vec<Work<'_>> = knives
        .into_iter()
        .map(|knife| Work::new(knife, set, lengths))
        .collect();
    let all: [(&'static str, Tell, &[&str]); 10] = [
        ("Cut the stock", stock, &[]),
        (
            "Profile to the template",
            profile,
            &["grinding-eyes", "grinder-rest", "laser-skin"],
        ),
        ("Drill before hardening", holes, &["drilling"]),
        ("Scribe before grinding", scribe, &[]),
        (
            "Grind",
            grind_soft,
            &["grinding-eyes", "grinding-noise", "dust"],
        ),
        (
            "Heat treatment",
            heat,
            &["heat-treatment", "quench", "quench-fire", "quench-water"],
        ),
        ("Grind after hardening", grind_hard, &["hardened-grinding"]),
        ("Fit the guard", guard, &["sharp-edge"]),
        (
            "Fit the handle",
            handle,
            &["sharp-edge", "epoxy", "wood-dust"],
        ),
        ("Finish and weigh", finish, &["law", "no-certificate"]),
    ];
    all.into_iter()
        .filter_map(|(heading, tell, keys)| {
            let shares: Vec<Share> = works
                .iter()
                .map(|work| Share {
                    knife: work.knife.name.clone(),
                    lines: tell(work),
                })
                .filter(|share| !share.lines.is_empty())
                .collect();
            let mut said: Vec<String> = keys.iter().filter_map(|key| caution(key)).collect();
            if heading == "Heat treatment" {
                said.insert(0, FIRE.to_owned());
            }
            (!shares.is_empty()).then_some(BuildStep {
                heading,
                shares,
                cautions: said,
            })
        })
        .collect()
}

/// The catalog's caution of this key.
fn caution(key: &str) -> Option<String> {
    let own = cautions().find(|rule| rule.key.strip_prefix("caution.") == Some(key))?;
    Some(own.text.clone())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::orchard_set;

    fn steps() -> Vec<BuildStep> {
        let set = orchard_set();
        build_steps(
            set.knives.iter().map(AsRef::as_ref),
            &set,
            LengthFormat::default(),
        )
    }

    fn step(heading: &str) -> BuildStep {
        steps()
            .into_iter()
            .find(|step| step.heading == heading)
            .unwrap()
    }

    #[test]
    fn the_work_goes_side_by_side_in_its_order() {
        let headings: Vec<&str> = steps().iter().map(|s| s.heading).collect();
        let at = |heading: &str| headings.iter().position(|own| *own == heading).unwrap();
        assert!(at("Cut the stock") < at("Drill before hardening"));
        assert!(at("Drill before hardening") < at("Scribe before grinding"));
        assert!(at("Scribe before grinding") < at("Grind"));
        assert!(at("Grind") < at("Heat treatment") && at("Heat treatment") < at("Fit the handle"));
        // All four are cut, drilled and ground; only the paring knife has a guard.
        assert_eq!(step("Drill before hardening").shares.len(), 4);
        assert_eq!(step("Grind").shares.len(), 4);
        assert_eq!(step("Fit the guard").shares.len(), 1);
        assert_eq!(step("Fit the handle").shares.len(), 2);
    }

    #[test]
    fn holes_are_told_by_their_drills() {
        // The chopper: three holes of 6.1 mm for pins, one of 8 mm for the lanyard.
        let chopper = &step("Drill before hardening").shares[0];
        assert!(
            chopper
                .lines
                .contains(&"3 × 6.10 mm for pin, drill 6.1 mm".to_owned()),
            "{chopper:?}"
        );
        assert!(chopper.lines.iter().any(|l| l.contains("annealed first")));
    }

    #[test]
    fn cautions_stand_at_the_step_where_they_matter() {
        let heat = step("Heat treatment");
        assert!(
            heat.cautions[0].contains("gives no recipe")
                && heat.cautions[0].contains("Local codes")
        );
        assert!(heat.cautions.len() >= 4, "{:?}", heat.cautions);
        for own in steps() {
            for line in &own.cautions {
                assert!(!line.is_empty());
            }
        }
        assert_eq!(step("Drill before hardening").cautions.len(), 1);
    }

    #[test]
    fn each_stage_is_foretold_with_room_for_the_scale() {
        for heading in [
            "Profile to the template",
            "Drill before hardening",
            "Grind",
            "Finish and weigh",
        ] {
            for share in step(heading).shares {
                let last = share.lines.last().unwrap();
                assert!(
                    last.starts_with("On the scale: ") && last.ends_with("______"),
                    "{last}"
                );
            }
        }
    }
}
