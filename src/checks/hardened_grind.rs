//! Grinding after hardening: the caution about heat.

use super::bench::Bench;
use super::ground::name_of;
use super::landmark::listed;
use super::words::say;
use super::{Finding, Severity, Subject};

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let hardened = bench
        .knife
        .grinding
        .grinds
        .iter()
        .filter(|grind| grind.after_hardening);
    let first_run = hardened.clone().next().map(|grind| grind.run);
    let names: Vec<(u32, String)> = hardened.map(|grind| (grind.id, name_of(grind))).collect();
    let about = match names.as_slice() {
        [] => return,
        [(only, _)] => Subject::Grind(*only),
        _ => Subject::Knife,
    };
    let place = first_run.and_then(|run| bench.knife.run_path(run)?.at_share(0.5));
    let words: Vec<&str> = names.iter().map(|(_, name)| name.as_str()).collect();
    let verb = if words.len() == 1 { "is" } else { "are" };
    // Practice `caution.hardened-grinding`.
    found.push(
        Finding::new(
            Severity::Note,
            "grind-after-hardening",
            say(format!("{} {verb} ground after hardening", listed(&words))),
        )
        .at(place.map(|place| place.point))
        .about(about)
        .why(say(
            "an edge that gets hot loses its hardness before it shows any color",
        ))
        .mend(say(
            "Keep the steel cool: fresh belts, bare fingers on the blade, and water after every pass",
        )),
    );
}

#[cfg(test)]
mod tests {
    use super::super::ground::bench::{bevel, blade, false_edge};
    use super::super::testing::{codes, find};
    use super::*;

    #[test]
    fn heat_is_told_once_and_only_of_hardened_steel() {
        let mut knife = blade(10.0);
        knife.grinding.grinds = vec![bevel(20.0, 0.5), false_edge(8.0, 1.0)];
        assert!(!codes(&knife).contains(&"grind-after-hardening"));
        knife.grinding.grinds[0].after_hardening = true;
        let f = find(&knife, "grind-after-hardening");
        assert_eq!(f.what.to_string(), "'bevel' is ground after hardening");
        assert_eq!(f.about, Some(Subject::Grind(70)));
        assert_eq!(f.severity, Severity::Note);
        knife.grinding.grinds[1].after_hardening = true;
        let f = find(&knife, "grind-after-hardening");
        assert_eq!(
            f.what.to_string(),
            "'bevel' and 'false edge' are ground after hardening"
        );
    }
}
