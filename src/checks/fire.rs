//! The steel against the furnace and the quench tank of the shop.

use super::bench::Bench;
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::geometry::{Point, Rect};

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    if !bench.sound {
        return;
    }
    let t = bench.thresholds;
    let furnace = Hold {
        code: "furnace-short",
        name: "furnace",
        room_mm: t.furnace_mm,
        why: "what stays outside does not come to heat",
    };
    let tank = Hold {
        code: "tank-short",
        name: "quench tank",
        room_mm: t.tank_mm,
        why: "what stays out of the quench does not harden, and the blade warps",
    };
    let bounds = bench.index.bounds();
    let too_short = [furnace, tank]
        .into_iter()
        .filter(|hold| hold.room_mm > 0.0 && bounds.width() > hold.room_mm);
    found.extend(too_short.map(|hold| hold.tell(bounds)));
}

/// What the steel has to go into. Nothing is held against one whose size the maker has not told.
struct Hold {
    code: &'static str,
    name: &'static str,
    room_mm: f64,
    why: &'static str,
}

impl Hold {
    fn tell(self, bounds: Rect) -> Finding {
        let (long, y) = (bounds.width(), bounds.center().y);
        let what = say("The steel is ")
            .mm(long)
            .say(format!(" long; the {} takes ", self.name))
            .mm(self.room_mm);
        Finding::new(Severity::Warn, self.code, what)
            .across(Point::new(bounds.x0, y), Point::new(bounds.x1, y))
            .about(Subject::Knife)
            .measured(long, self.room_mm)
            .why(say(self.why))
            .mend(
                say("Shorten blade or tang by ")
                    .mm(long - self.room_mm)
                    .say(", or find a larger one; its size stands among the shop figures"),
            )
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
