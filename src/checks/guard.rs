//! The guard: a plate its slot fits on, and a slot the tang goes through without play.

use super::bench::Bench;
use super::words::{Words, say};
use super::{Finding, Severity, Subject};
use crate::geometry::Point;
use crate::knife::Guard;
use crate::weighing::Missing;

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let Some(guard) = &bench.knife.guard else {
        return;
    };
    let place = Some(Point::new(0.0, guard.middle_y_mm));
    for reason in &bench.up.missing {
        let (code, what, mend) = match reason {
            Missing::GuardSlot => (
                "guard-without-tang",
                "The guard finds no tang behind the shoulder line",
                "Lengthen the tang, or remove the guard",
            ),
            Missing::GuardPlate => (
                "guard-plate",
                "The guard's slot does not fit on its plate",
                "Make the plate wider or higher, or move its middle onto the tang",
            ),
            _ => continue,
        };
        found.push(
            Finding::new(Severity::Stop, code, say(what))
                .at(place)
                .about(Subject::Guard)
                .why(say("the tang has to go through the guard"))
                .mend(say(mend)),
        );
    }
    found.extend(play(bench, guard, place));
    found.extend(corners(guard, place));
}

/// Slot width less tang thickness: the clearance counts on both faces.
fn play(bench: &Bench<'_>, guard: &Guard, place: Option<Point>) -> Option<Finding> {
    let (least, most) = bench.thresholds.guard_slot_mm;
    let play = 2.0 * guard.clearance_mm;
    // Half a micrometer: what twice a typed clearance may be off by.
    let slack = 5e-4;
    let (severity, code, what, wanted, mend) = if play < least - slack {
        (
            Severity::Warn,
            "guard-tight",
            slot(play)
                .say("; the shop presses on at ")
                .mm(least)
                .say(" of play or more"),
            least,
            say("Open the slot by ").mm(least - play),
        )
    } else if play > most + slack {
        (
            Severity::Note,
            "guard-loose",
            slot(play)
                .say("; the shop allows ")
                .mm(most)
                .say(" of play"),
            most,
            say("Close the slot by ").mm(play - most),
        )
    } else {
        return None;
    };
    let why = if severity == Severity::Warn {
        "it will not go on, or will split the guard"
    } else {
        "a guard is pressed on; a loose one shows a gap and works loose"
    };
    Some(
        Finding::new(severity, code, what)
            .at(place)
            .about(Subject::Guard)
            .measured(play, wanted)
            .why(say(why))
            .mend(mend),
    )
}

/// How the slot and the tang differ.
fn slot(play: f64) -> Words {
    let word = if play < 0.0 { "narrower" } else { "wider" };
    say("The guard's slot is ")
        .mm(play.abs())
        .say(format!(" {word} than the tang is thick"))
}

/// The largest radius of a slot's corners that a tang with square ones goes through, mm: (r − c)·√2 − r = 0 gives r = c·(2 + √2). Without play the slot
/// has to be as square as the tang.
pub(super) fn corner_that_passes_mm(clearance_mm: f64) -> f64 {
    clearance_mm.max(0.0) * (2.0 + std::f64::consts::SQRT_2)
}

/// A slot with round corners does not take a tang with square ones, unless the clearance makes up for it.
fn corners(guard: &Guard, place: Option<Point>) -> Option<Finding> {
    let (r, c) = (guard.slot_corner_mm, guard.clearance_mm);
    // The tang's corner is r − c in from the arc's center both ways, so √2·(r − c) from it. It passes within r.
    let over = (r - c) * std::f64::consts::SQRT_2 - r;
    // A slot that presses everywhere presses at the corners too.
    let pressed = -c.min(0.0) * std::f64::consts::SQRT_2;
    if over <= pressed + 1e-3 {
        return None;
    }
    // Rounding a square corner by q takes (√2 − 1)·q off its diagonal, and moves the arcs' centers alike: q = r − c keeps
    // the clearance all round.
    let mend = say("Round the tang's corners by ").mm(r - c);
    let passes = corner_that_passes_mm(c);
    let mend = if passes > 0.0 {
        mend.say(", or file the slot's to ").mm(passes)
    } else {
        mend.say(", or file the slot's square")
    };
    let what = say("The guard's slot has corners of ")
        .mm(r)
        .say("; a square tang stands ")
        .mm(over)
        .say(" into them");
    Some(
        Finding::new(Severity::Note, "guard-corner", what)
            .at(place)
            .about(Subject::Guard)
            .measured(over, 0.0)
            .why(say("the guard stops short of the shoulder"))
            .mend(mend),
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::{self, codes, find};
    use super::*;
    use crate::knife::{HiddenTang, Knife, Tang, TangEnd};

    /// A blade 30 high ahead of a tang 12 high and 80 long, 4 mm thick, with a guard 12 × 40.
    fn guarded(clearance_mm: f64, slot_corner_mm: f64) -> Knife {
        let mut knife = testing::guarded(12.0);
        knife.tang = Tang::Hidden(HiddenTang {
            length_mm: 80.0,
            shoulder_width_mm: 12.0,
            end_width_mm: 12.0,
            shoulder_radius_mm: 0.0,
            end: TangEnd::Square,
        });
        if let Some(guard) = &mut knife.guard {
            guard.clearance_mm = clearance_mm;
            guard.slot_corner_mm = slot_corner_mm;
        }
        knife
    }

    fn guard_codes(knife: &Knife) -> Vec<&'static str> {
        codes(knife)
            .into_iter()
            .filter(|c| c.starts_with("guard"))
            .collect()
    }

    #[test]
    fn the_slot_is_neither_tight_nor_loose() {
        for clearance in [-0.025, 0.0, 0.025] {
            assert_eq!(guard_codes(&guarded(clearance, 0.0)), [""; 0]);
        }
        // 0.03 a side less: 0.06 under the tang; 0.05 is the most.
        let f = find(&guarded(-0.03, 0.0), "guard-tight");
        assert_eq!(f.severity, Severity::Warn);
        assert!((f.measured_mm.unwrap() + 0.06).abs() < 1e-12);
        assert_eq!(f.mend.to_string(), "Open the slot by 0.01 mm");
        let f = find(&guarded(0.1, 0.0), "guard-loose");
        assert_eq!(f.severity, Severity::Note);
        assert_eq!(f.mend.to_string(), "Close the slot by 0.15 mm");
    }

    #[test]
    fn a_slot_larger_than_its_plate_is_a_stop() {
        let mut knife = guarded(0.0, 0.0);
        if let Some(guard) = &mut knife.guard {
            guard.height_mm = 12.5;
        }
        assert_eq!(guard_codes(&knife), [""; 0]);
        if let Some(guard) = &mut knife.guard {
            guard.height_mm = 11.5;
        }
        assert_eq!(find(&knife, "guard-plate").severity, Severity::Stop);
    }

    #[test]
    fn a_guard_wants_a_tang() {
        let mut knife = guarded(0.0, 0.0);
        // The whole knife ahead of the shoulder line.
        for node in &mut knife.outline.nodes {
            node.at.x += 100.0;
        }
        assert_eq!(find(&knife, "guard-without-tang").severity, Severity::Stop);
    }

    #[test]
    fn round_slot_corners_stop_a_square_tang() {
        // Without clearance the corner stands (√2 − 1)·r over; r = 1: 0.414.
        let f = find(&guarded(0.0, 1.0), "guard-corner");
        assert!((f.measured_mm.unwrap() - (2.0_f64.sqrt() - 1.0)).abs() < 1e-12);
        assert_eq!(
            f.mend.to_string(),
            "Round the tang's corners by 1 mm, or file the slot's square"
        );
        let f = find(&guarded(0.02, 1.0), "guard-corner");
        assert_eq!(
            f.mend.to_string(),
            "Round the tang's corners by 0.98 mm, or file the slot's to 0.07 mm"
        );
        // It clears when c = r·(1 − 1/√2); for r = 0.08 that is 0.0234.
        assert_eq!(guard_codes(&guarded(0.025, 0.08)), [""; 0]);
    }
}
