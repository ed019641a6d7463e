//! The steel against the furnace and the quench tank of the shop.

use super::bench::Bench;
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::geometry::Point;

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    if !bench.sound {
        return;
    }
    let t = bench.thresholds;
    let places = [
        (
            "furnace-short",
            "furnace",
            t.furnace_mm,
            "what stays outside does not come to heat",
        ),
        (
            "tank-short",
            "quench tank",
            t.tank_mm,
            "what stays out of the quench does not harden, and the blade warps",
        ),
    ];
    let bounds = bench.index.bounds();
    let long = bounds.width();
    for (code, name, room, why) in places {
        // Nothing is held against a size the maker has not told.
        if room <= 0.0 || long <= room {
            continue;
        }
        let y = bounds.center().y;
        let what = say("The steel is ")
            .mm(long)
            .say(format!(" long; the {name} takes "))
            .mm(room);
        found.push(
            Finding::new(Severity::Warn, code, what)
                .across(Point::new(bounds.x0, y), Point::new(bounds.x1, y))
                .about(Subject::Knife)
                .measured(long, room)
                .why(say(why))
                .mend(
                    say("Shorten blade or tang by ")
                        .mm(long - room)
                        .say(", or find a larger one; its size stands among the shop figures"),
                ),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::Thresholds;
    use super::super::testing::{findings_by, plate};

    /// A plate of 200 mm against a furnace of 199.9 and one of 200.
    #[test]
    fn steel_longer_than_the_furnace_or_the_tank_is_told() {
        let knife = plate(200.0, 30.0, 4.0);
        let told = |furnace_mm: f64, tank_mm: f64| -> Vec<(&str, f64)> {
            let figures = Thresholds {
                furnace_mm,
                tank_mm,
                ..Thresholds::default()
            };
            let found = findings_by(&knife, &figures);
            let own = found.iter().filter(|f| f.code.ends_with("-short"));
            own.map(|f| (f.code, f.measured_mm.unwrap_or(0.0)))
                .collect()
        };
        assert_eq!(told(0.0, 0.0), vec![], "no size is no limit");
        assert_eq!(told(200.0, 200.0), vec![]);
        assert_eq!(told(199.9, 0.0), vec![("furnace-short", 200.0)]);
        assert_eq!(told(300.0, 150.0), vec![("tank-short", 200.0)]);
    }
}
