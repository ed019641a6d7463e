//! When to drill: before hardening, in annealed bar; and whether this bar may be too hard for a drill as it comes.

use super::bench::Bench;
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::catalog::may_skate;
use crate::knife::Stock;

/// Whether a drill may skate on a bar as it comes: of a steel that is often sold hard, or of layers, which were forged together. Practice `caution.skates`.
#[must_use]
pub fn bar_skates(stock: &Stock) -> bool {
    stock.is_laminated() || may_skate(&stock.material)
}

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let Some(first) = bench.openings.first() else {
        return;
    };
    let n = bench.openings.len();
    let noun = if n == 1 { "opening" } else { "openings" };
    let stock = &bench.knife.stock;
    let (what, mend) = if bar_skates(stock) {
        let bar = bench.set.material(&stock.material);
        let bar = bar.map_or("the bar", |material| material.name.as_str());
        (
            say(format!(
                "{n} {noun} to make, and a drill may skate on {bar}"
            )),
            say("Anneal the bar first, and drill before hardening"),
        )
    } else {
        (
            say(format!("{n} {noun} to make while the steel is soft")),
            say("Drill before hardening; the bar must be annealed"),
        )
    };
    found.push(
        Finding::new(Severity::Note, "drill-before-hardening", what)
            .at(Some(first.center))
            .about(Subject::Knife)
            .why(say("hardened steel turns every drill"))
            .mend(mend),
    );
}

#[cfg(test)]
mod tests {
    use super::super::testing::{codes, find, hole, plate};
    use crate::geometry::Point;
    use crate::knife::{Layer, Stock};

    #[test]
    fn it_is_told_once_and_only_with_holes() {
        let mut knife = plate(200.0, 60.0, 4.0);
        assert!(!codes(&knife).contains(&"drill-before-hardening"));
        hole(&mut knife, 50.0, 30.0, 6.0);
        hole(&mut knife, 90.0, 30.0, 6.0);
        let f = find(&knife, "drill-before-hardening");
        assert_eq!(f.place, Some(Point::new(50.0, 30.0)));
        assert_eq!(
            f.mend.to_string(),
            "Drill before hardening; the bar must be annealed"
        );
        assert_eq!(
            f.what.to_string(),
            "2 openings to make while the steel is soft"
        );
    }

    /// Practice `caution.skates` names 1095, 52100 and forged bars. The set of the tests knows neither steel by name.
    #[test]
    fn a_steel_that_skates_is_named_and_annealed_first() {
        let told = |stock: Stock| {
            let mut knife = plate(200.0, 60.0, 4.0);
            hole(&mut knife, 50.0, 30.0, 6.0);
            knife.stock = stock;
            find(&knife, "drill-before-hardening")
        };
        for key in ["steel_1095", "steel_52100"] {
            let f = told(Stock::plain(4.0, 0.1, key));
            assert_eq!(
                f.what.to_string(),
                "1 opening to make, and a drill may skate on the bar"
            );
            assert_eq!(
                f.mend.to_string(),
                "Anneal the bar first, and drill before hardening"
            );
        }
        let mut forged = Stock::plain(4.0, 0.1, "steel");
        forged.layering.outer = vec![Layer {
            name: "cladding".to_owned(),
            material: "steel".to_owned(),
            thickness_mm: 1.0,
        }];
        let f = told(forged);
        assert!(
            f.what.to_string().ends_with("may skate on steel"),
            "{}",
            f.what
        );
    }
}
