//! The tang against what makers usually give it.

use super::bench::Bench;
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::geometry::Point;
use crate::knife::Tang;

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
    match bench.knife.tang {
        Tang::Hidden(tang) => {
            let x = -(tang.shoulder_radius_mm.max(0.0) + PAST_ROUNDING_MM);
            found.extend(hidden_width(bench, x.max(-length / 2.0)));
            found.extend(hidden_length(bench, length));
        }
        Tang::Full(_) => found.extend(grip(bench, length)),
    }
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
    use super::super::testing::{codes, find, from_corners};
    use super::*;
    use crate::knife::{HiddenTang, Knife, TangEnd};

    /// A blade 100 × 30 with a tang of the given length and height.
    fn knife(length: f64, height: f64) -> Knife {
        let h = height / 2.0;
        from_corners(
            &[
                (-length, -h),
                (0.0, -h),
                (0.0, -30.0),
                (100.0, -30.0),
                (100.0, 30.0),
                (0.0, 30.0),
                (0.0, h),
                (-length, h),
            ],
            4.0,
        )
    }

    fn hidden(length: f64, height: f64) -> Knife {
        let mut knife = knife(length, height);
        knife.tang = Tang::Hidden(HiddenTang {
            length_mm: length,
            shoulder_width_mm: height,
            end_width_mm: height,
            shoulder_radius_mm: 0.0,
            end: TangEnd::Square,
        });
        knife
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

    #[test]
    fn a_tall_grip_is_a_note() {
        let f = find(&knife(100.0, 35.0), "grip-height");
        assert_eq!(f.mend.to_string(), "Take 3 mm off its height");
        assert!(!codes(&knife(100.0, 32.0)).contains(&"grip-height"));
        // A hidden tang is not held by hand.
        assert!(!codes(&hidden(100.0, 35.0)).contains(&"grip-height"));
    }
}
