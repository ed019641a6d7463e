//! When to drill: before hardening, in annealed bar.

use super::bench::Bench;
use super::words::say;
use super::{Finding, Severity, Subject};

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    if bench.openings.is_empty() {
        return;
    }
    let first = bench.openings.first().map(|opening| opening.center);
    let n = bench.openings.len();
    let noun = if n == 1 { "opening" } else { "openings" };
    let bar = bench.set.material(&bench.knife.stock.material);
    let bar = bar.map_or("the bar", |material| material.name.as_str());
    let what = say(format!("{n} {noun} to make in {bar}"));
    found.push(
        Finding::new(Severity::Note, "drill-before-hardening", what)
            .at(first)
            .about(Subject::Knife)
            .why(say("hardened steel turns every drill"))
            .mend(say("Drill before hardening; the bar must be annealed")),
    );
}

#[cfg(test)]
mod tests {
    use super::super::testing::{codes, find, hole, plate};

    #[test]
    fn it_is_told_once_and_only_with_holes() {
        let mut knife = plate(200.0, 60.0, 4.0);
        assert!(!codes(&knife).contains(&"drill-before-hardening"));
        hole(&mut knife, 50.0, 30.0, 6.0);
        hole(&mut knife, 90.0, 30.0, 6.0);
        let f = find(&knife, "drill-before-hardening");
        assert_eq!(
            f.mend.to_string(),
            "Drill before hardening; the bar must be annealed"
        );
        assert_eq!(f.what.to_string(), "2 openings to make in steel");
    }
}
