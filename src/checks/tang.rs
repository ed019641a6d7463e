//! The tang against what makers usually give it.

use super::bench::Bench;
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::geometry::Point;
use crate::knife::{Purpose, Tang};

/// How far behind the shoulder's rounding a hidden tang is measured, mm.
const PAST_ROUNDING_MM: f64 = 1.0;

/// A size on the end of its range is within it, mm.
const SLACK_MM: f64 = 0.01;

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    if !bench.sound {
        return;
    }
    let length = -bench.index.bounds().x0;
    if length <= 0.0 {
        return;
    }
    found.extend(shoulder_thickness(bench, behind_rounding(bench, length)));
    match bench.knife.tang {
        Tang::Hidden(_) => {
            found.extend(hidden_width(bench, behind_rounding(bench, length)));
            found.extend(hidden_length(bench, length));
        }
        Tang::Partial(_) => {
            found.extend(partial_height(bench, behind_rounding(bench, length)));
            found.extend(partial_pins(bench, length));
        }
        Tang::Full(_) => found.extend(grip(bench, length)),
    }
}

/// Where a narrow tang is measured across: just behind the rounding at its shoulder.
fn behind_rounding(bench: &Bench<'_>, length: f64) -> f64 {
    let rounding = bench.knife.tang.shoulder_radius_mm();
    -(rounding + PAST_ROUNDING_MM).min(length / 2.0)
}

/// Thickness that a taper leaves the tang where it meets the blade and is bent most.
fn shoulder_thickness(bench: &Bench<'_>, x: f64) -> Option<Finding> {
    let (low, high) = bench.index.depth_at(x)?;
    let thick = bench.knife.thickness_at(x);
    let least = bench.thresholds.shoulder_share * bench.knife.stock.thickness_mm;
    if thick >= least - SLACK_MM {
        return None;
    }
    let what = say("The tang is thin at the shoulder: ")
        .mm(thick)
        .say(", usual is at least ")
        .mm(least);
    Some(
        Finding::new(Severity::Warn, "tang-thin", what)
            .across(Point::new(x, low), Point::new(x, high))
            .about(Subject::Tang)
            .measured(thick, least)
            .why(say("it bends or breaks where it meets the blade"))
            .mend(
                say("Leave it ")
                    .mm(least - thick)
                    .say(" thicker there, and let the taper begin behind"),
            ),
    )
}

/// Height of a partial tang at the shoulder, where it breaks.
fn partial_height(bench: &Bench<'_>, x: f64) -> Option<Finding> {
    let (low, high) = bench.index.depth_at(x)?;
    let (height, least) = (high - low, bench.thresholds.stub_width_mm);
    if height >= least - SLACK_MM {
        return None;
    }
    let what = say("The partial tang is thin at the shoulder: ")
        .mm(height)
        .say(", usual is at least ")
        .mm(least);
    Some(
        Finding::new(Severity::Note, "tang-width", what)
            .across(Point::new(x, low), Point::new(x, high))
            .about(Subject::Tang)
            .measured(height, least)
            .why(say("a low tang bends or breaks at the shoulder"))
            .mend(say("Make it ").mm(least - height).say(" higher")),
    )
}

/// Pins of a partial tang: one holds a short one, two a longer one.
fn partial_pins(bench: &Bench<'_>, length: f64) -> Option<Finding> {
    let holds = |cut: &&super::opening::Opening<'_>| {
        let pin = matches!(cut.purpose, Purpose::Pin | Purpose::Tube);
        pin && cut.center.x < 0.0 && cut.center.x > -length
    };
    let pins = bench.openings.iter().filter(holds).count();
    let most = bench.thresholds.stub_length_mm;
    let (word, mend) = match pins {
        0 => ("no pin", say("Drill for a pin through it")),
        1 if length > most + SLACK_MM => (
            "only one pin",
            say("Drill for a second pin, or shorten the tang to ").mm(most),
        ),
        _ => return None,
    };
    let middle = bench
        .index
        .depth_at(-length / 2.0)
        .map_or(0.0, |(low, high)| f64::midpoint(low, high));
    let what = say("The partial tang is ")
        .mm(length)
        .say(format!(" long and has {word}"));
    Some(
        Finding::new(Severity::Note, "tang-pins", what)
            .at(Some(Point::new(-length / 2.0, middle)))
            .about(Subject::Tang)
            .measured(length, most)
            .why(say("the scales reach past it, and pry at the glue"))
            .mend(mend),
    )
}

fn hidden_width(bench: &Bench<'_>, x: f64) -> Option<Finding> {
    let (low, high) = bench.index.depth_at(x)?;
    let width = high - low;
    let (least, most) = bench.thresholds.hidden_width_mm;
    let (wanted, word, mend, why) = if width < least - SLACK_MM {
        (
            least,
            "narrow",
            "Widen",
            "a narrow tang bends or breaks at the shoulder",
        )
    } else if width > most + SLACK_MM {
        (
            most,
            "wide",
            "Narrow",
            "a wide tang leaves the handle little wood beside it",
        )
    } else {
        return None;
    };
    let what = say(format!("The hidden tang is {word} at the shoulder: "))
        .mm(width)
        .say(", usual is ")
        .mm(least)
        .say(" to ")
        .mm(most);
    Some(
        Finding::new(Severity::Note, "tang-width", what)
            .across(Point::new(x, low), Point::new(x, high))
            .about(Subject::Tang)
            .measured(width, wanted)
            .why(say(why))
            .mend(say(format!("{mend} it by ")).mm((wanted - width).abs())),
    )
}

fn hidden_length(bench: &Bench<'_>, length: f64) -> Option<Finding> {
    let (least, most) = bench.thresholds.hidden_length_mm;
    let (wanted, word, mend, why) = if length < least - SLACK_MM {
        (
            least,
            "short",
            "Lengthen",
            "a short tang gives the glue and the pin little to hold; it wants a pin and a small blade",
        )
    } else if length > most + SLACK_MM {
        (
            most,
            "long",
            "Shorten",
            "a longer tang comes out of usual handles",
        )
    } else {
        return None;
    };
    let what = say(format!("The hidden tang is {word}: "))
        .mm(length)
        .say(", usual is ")
        .mm(least)
        .say(" to ")
        .mm(most);
    let middle = bench
        .index
        .depth_at(-length / 2.0)
        .map_or(0.0, |(low, high)| f64::midpoint(low, high));
    Some(
        Finding::new(Severity::Note, "tang-length", what)
            .across(Point::new(-length, middle), Point::new(0.0, middle))
            .about(Subject::Tang)
            .measured(length, wanted)
            .why(say(why))
            .mend(say(format!("{mend} it by ")).mm((wanted - length).abs())),
    )
}

/// Height of a full tang halfway to the butt, where the hand closes.
fn grip(bench: &Bench<'_>, length: f64) -> Option<Finding> {
    let x = -length / 2.0;
    let (low, high) = bench.index.depth_at(x)?;
    let height = high - low;
    let most = bench.thresholds.grip_height_mm;
    if height <= most + SLACK_MM {
        return None;
    }
    let what = say("The tang is ")
        .mm(height)
        .say(" high in the middle of the grip, usual is up to ")
        .mm(most);
    Some(
        Finding::new(Severity::Note, "grip-height", what)
            .across(Point::new(x, low), Point::new(x, high))
            .about(Subject::Tang)
            .measured(height, most)
            .why(say("few hands close round more"))
            .mend(say("Take ").mm(height - most).say(" off its height")),
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::{codes, find, hole, tanged, taper};
    use super::*;
    use crate::knife::{FullTang, Knife};

    fn hidden(length: f64, height: f64) -> Knife {
        tanged(length, height, Tang::Hidden)
    }

    fn full(length: f64, height: f64) -> Knife {
        tanged(length, height, |_| {
            Tang::Full(FullTang::straight(100.0, 25.0))
        })
    }

    /// A tang ground to 2.3 mm of a bar of 4 is under its share of 0.6 at the shoulder, one of 2.5 is not; nor is one that only thins toward the butt.
    #[test]
    fn a_tang_keeps_its_thickness_at_the_shoulder() {
        let ground = |at_shoulder: f64| {
            let mut own = hidden(90.0, 12.0);
            own.grinding.taper = taper(&[(-90.0, 1.0), (-20.0, at_shoulder)]);
            own
        };
        let f = find(&ground(2.3), "tang-thin");
        assert!((f.measured_mm.unwrap() - 2.3).abs() < 1e-9);
        assert!((f.wanted_mm.unwrap() - 2.4).abs() < 1e-9);
        assert!(!codes(&ground(2.5)).contains(&"tang-thin"));
        assert!(!codes(&ground(4.0)).contains(&"tang-thin"));
    }

    #[test]
    fn a_hidden_tang_is_measured_across() {
        let f = find(&hidden(90.0, 7.0), "tang-width");
        assert!((f.measured_mm.unwrap() - 7.0).abs() < 1e-9);
        assert_eq!(f.mend.to_string(), "Widen it by 2 mm");
        let f = find(&hidden(90.0, 18.0), "tang-width");
        assert_eq!(f.mend.to_string(), "Narrow it by 2 mm");
        for height in [9.0, 16.0] {
            assert!(!codes(&hidden(90.0, height)).contains(&"tang-width"));
        }
    }

    #[test]
    fn a_hidden_tang_is_measured_along() {
        let f = find(&hidden(60.0, 12.0), "tang-length");
        assert!((f.measured_mm.unwrap() - 60.0).abs() < 1e-9);
        assert_eq!(f.mend.to_string(), "Lengthen it by 10 mm");
        let f = find(&hidden(120.0, 12.0), "tang-length");
        assert_eq!(f.mend.to_string(), "Shorten it by 10 mm");
        for length in [70.0, 110.0] {
            assert!(!codes(&hidden(length, 12.0)).contains(&"tang-length"));
        }
    }

    fn partial(length: f64, height: f64, pins: &[f64]) -> Knife {
        let mut knife = tanged(length, height, Tang::Partial);
        for x in pins {
            hole(&mut knife, *x, 0.0, 3.0).purpose = Purpose::Pin;
        }
        knife
    }

    #[test]
    fn a_partial_tang_is_measured_at_the_shoulder() {
        let f = find(&partial(60.0, 11.0, &[-30.0]), "tang-width");
        assert!((f.measured_mm.unwrap() - 11.0).abs() < 1e-9);
        assert_eq!(f.mend.to_string(), "Make it 2 mm higher");
        assert!(!codes(&partial(60.0, 13.0, &[-30.0])).contains(&"tang-width"));
        // Sharp inside corners of a tang lower than its shoulder are told as those of a hidden one.
        let square = partial(60.0, 14.0, &[-30.0]);
        let corners = codes(&square);
        let sharp = corners.iter().filter(|code| **code == "shoulder-radius");
        assert_eq!(sharp.count(), 2, "one at each side");
    }

    #[test]
    fn a_partial_tang_wants_pins_by_its_length() {
        let f = find(&partial(60.0, 14.0, &[]), "tang-pins");
        assert!(f.what.to_string().ends_with("has no pin"), "{}", f.what);
        let f = find(&partial(80.0, 14.0, &[-30.0]), "tang-pins");
        assert!(f.what.to_string().ends_with("only one pin"), "{}", f.what);
        for knife in [
            partial(64.0, 14.0, &[-30.0]),
            partial(80.0, 14.0, &[-30.0, -60.0]),
        ] {
            assert!(!codes(&knife).contains(&"tang-pins"));
        }
    }

    #[test]
    fn a_tall_grip_is_a_note() {
        let f = find(&full(100.0, 35.0), "grip-height");
        assert_eq!(f.mend.to_string(), "Take 3 mm off its height");
        assert!(!codes(&full(100.0, 32.0)).contains(&"grip-height"));
        // A hidden tang is not held by hand.
        assert!(!codes(&hidden(100.0, 35.0)).contains(&"grip-height"));
    }
}
