//! When to drill: before hardening, in annealed bar.

use super::bench::Bench;
use super::words::say;
use super::{Finding, Severity, Subject};

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    if bench.openings.is_empty() {
        return;
    }
    let material = bench.set.material(&bench.knife.stock.material);
    let bar = material
        .map(|m| m.name.as_str())
        .filter(|name| !name.is_empty())
        .map_or_else(|| "bar".to_owned(), |name| format!("{name} bar"));
    let n = bench.openings.len();
    let what = if n == 1 {
        "There is one opening to make".to_owned()
    } else {
        format!("There are {n} openings to make")
    };
    found.push(
        Finding::new(Severity::Note, "drill-before-hardening", say(what))
            .about(Subject::Knife)
            .why(say("hardened steel turns every drill"))
            .mend(say(format!(
                "Drill before hardening; the {bar} must be annealed"
            ))),
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
            "Drill before hardening; the steel bar must be annealed"
        );
    }
}
