//! Blade and bar against usual sizes: of the blade for its use, of bars that are sold.

use super::bench::Bench;
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::catalog::{BladeUse, StockKind, size_range, stock_of};
use crate::geometry::Point;
use crate::knife::LandmarkKind;

/// A size on the end of its range is within it, mm.
const SLACK_MM: f64 = 0.05;

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    stock(bench, found);
    if !bench.sound {
        return;
    }
    blade(bench, found);
    bar(bench, found);
    bar_length(bench, found);
}

/// What the blade is for, by the key of its form.
pub(super) fn blade_use(form: &str) -> Option<BladeUse> {
    match form {
        "kitchen" => Some(BladeUse::Chef),
        other => BladeUse::from_key(other),
    }
}

fn blade(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let Some(purpose) = blade_use(&bench.knife.form) else {
        return;
    };
    let usual = size_range(purpose);
    let extent = &bench.up.steel.extent;
    let tip = bench.knife.landmark_point(LandmarkKind::Tip);
    let middle = Point::new(extent.blade_mm / 2.0, bench.index.bounds().center().y);
    let sizes = [
        (
            "blade-length",
            "long",
            extent.blade_mm,
            usual.length_mm,
            Subject::Knife,
            tip.unwrap_or(middle),
        ),
        (
            "blade-height",
            "high",
            extent.height_mm,
            usual.height_mm,
            Subject::Knife,
            middle,
        ),
        (
            "blade-stock",
            "thick",
            bench.thickness_mm(),
            usual.stock_mm,
            Subject::Stock,
            middle,
        ),
    ];
    for (code, word, measured, (least, most), subject, place) in sizes {
        let wanted = measured.clamp(least, most);
        if (measured - wanted).abs() <= SLACK_MM {
            continue;
        }
        let name = purpose.label().to_lowercase();
        let what = say("The blade is ")
            .mm(measured)
            .say(format!(" {word}; a {name} is usually "))
            .mm(least)
            .say(" to ")
            .mm(most);
        found.push(
            Finding::new(Severity::Note, code, what)
                .at(Some(place))
                .about(subject)
                .measured(measured, wanted)
                .why(say("far from the usual size it may not do its work well"))
                .mend(say("Change it if this was not meant")),
        );
    }
}

/// Whether bar of this thickness is sold.
fn stock(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let thickness = bench.thickness_mm();
    let off = |size: f64| (size - thickness).abs();
    let nearest =
        stock_of(StockKind::BladeBar).min_by(|a, b| off(a.size_mm).total_cmp(&off(b.size_mm)));
    let Some(nearest) = nearest.filter(|s| off(s.size_mm) > bench.thresholds.stock_off_mm) else {
        return;
    };
    let what = say("Bar ").mm(thickness).say(format!(
        " thick is not a usual size; nearest is {}",
        nearest.label
    ));
    found.push(
        Finding::new(Severity::Note, "stock-size", what)
            .about(Subject::Stock)
            .measured(thickness, nearest.size_mm)
            .why(
                say("more than ")
                    .mm(bench.thresholds.stock_off_mm)
                    .say(" off a size that is sold it has to be ground or ordered specially"),
            )
            .mend(say(format!(
                "Use {}, or keep it if you have such a bar",
                nearest.label
            ))),
    );
}

fn bar(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let width = bench.up.steel.extent.bar_width_mm;
    let widest = bench.thresholds.widest_bar_mm;
    if width <= widest + 1e-6 {
        return;
    }
    let what = say("The outline needs a bar ")
        .mm(width)
        .say(" wide; the widest that is usually sold is ")
        .mm(widest);
    let bounds = bench.index.bounds();
    let x = widest_at(bench).unwrap_or(bounds.center().x);
    found.push(
        Finding::new(Severity::Note, "bar-width", what)
            .across(Point::new(x, bounds.y0), Point::new(x, bounds.y1))
            .about(Subject::Stock)
            .measured(width, widest)
            .why(say("it is cut from sheet, or laid slanting on the bar"))
            .mend(
                say("Take ")
                    .mm(width - widest)
                    .say(" off its height, or buy sheet"),
            ),
    );
}

/// The outline against the longest bar at hand, which holds nothing against it until the maker has told it.
fn bar_length(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let bounds = bench.index.bounds();
    let (long, longest) = (bounds.width(), bench.thresholds.longest_bar_mm);
    if longest <= 0.0 || long <= longest + 1e-6 {
        return;
    }
    let what = say("The outline needs a bar ")
        .mm(long)
        .say(" long; the longest at hand is ")
        .mm(longest);
    let y = bounds.center().y;
    found.push(
        Finding::new(Severity::Warn, "bar-length", what)
            .across(Point::new(bounds.x0, y), Point::new(bounds.x1, y))
            .about(Subject::Stock)
            .measured(long, longest)
            .why(say("it can't be cut from a bar that is shorter"))
            .mend(
                say("Shorten blade or tang by ")
                    .mm(long - longest)
                    .say(", or find a longer bar; its length stands among the shop figures"),
            ),
    );
}

/// Where along the knife the steel is deepest, among places close together.
fn widest_at(bench: &Bench<'_>) -> Option<f64> {
    /// As many places as a knife has millimeters, roughly: the bar is drawn, not measured, there.
    const PLACES: u32 = 256;
    let bounds = bench.index.bounds();
    let step = bounds.width() / f64::from(PLACES);
    (0..=PLACES)
        .filter_map(|i| {
            let x = bounds.x0 + step * f64::from(i);
            bench.depth_at(x).map(|(low, high)| (x, high - low))
        })
        .reduce(|best, next| {
            if next.1 > best.1 + SLACK_MM {
                next
            } else {
                best
            }
        })
        .map(|(x, _)| x)
}

#[cfg(test)]
mod tests {
    use super::super::Thresholds;
    use super::super::testing::{codes, find, findings_by, plate};

    #[test]
    fn a_blade_is_held_against_its_use() {
        // Hunter: 90 to 115 long, 24 to 32 high, 3 to 4 thick. The plate is all blade, its tip at x = 120.
        let mut knife = plate(120.0, 30.0, 4.0);
        assert!(!codes(&knife).contains(&"blade-length"), "without a use");
        "hunter".clone_into(&mut knife.form);
        let f = find(&knife, "blade-length");
        assert_eq!((f.measured_mm, f.wanted_mm), (Some(120.0), Some(115.0)));
        assert_eq!(
            f.what.to_string(),
            "The blade is 120 mm long; a hunter is usually 90 mm to 115 mm"
        );
        assert!(!codes(&knife).contains(&"blade-height"));
        assert!(!codes(&knife).contains(&"blade-stock"));
        knife.stock.thickness_mm = 5.0;
        assert_eq!(find(&knife, "blade-stock").wanted_mm, Some(4.0));
        let mut low = plate(115.0, 20.0, 4.0);
        "hunter".clone_into(&mut low.form);
        assert!(!codes(&low).contains(&"blade-length"));
        assert_eq!(find(&low, "blade-height").wanted_mm, Some(24.0));
    }

    #[test]
    fn odd_stock_is_a_note() {
        for usual in [4.0, 3.2, 4.7625] {
            assert!(!codes(&plate(100.0, 30.0, usual)).contains(&"stock-size"));
        }
        // Between 3.556 (0.140 in) and 3.5 there is 3.62: 0.048 from 9/64 in; 3.7 is 0.128 from it.
        assert!(!codes(&plate(100.0, 30.0, 3.62)).contains(&"stock-size"));
        let f = find(&plate(100.0, 30.0, 3.7), "stock-size");
        assert!(
            f.what.to_string().ends_with("nearest is 9/64 in"),
            "{}",
            f.what
        );
    }

    #[test]
    fn a_wide_outline_needs_sheet() {
        assert!(!codes(&plate(200.0, 76.2, 4.0)).contains(&"bar-width"));
        let f = find(&plate(200.0, 80.0, 4.0), "bar-width");
        assert!((f.measured_mm.unwrap() - 80.0).abs() < 1e-9);
        assert!(f.mend.to_string().starts_with("Take 3.8 mm off"));
    }

    /// A plate of 200 mm against bars of 200 and of 199.9; one that is not told is no limit.
    #[test]
    fn steel_longer_than_the_bar_at_hand_is_told() {
        let knife = plate(200.0, 30.0, 4.0);
        let told = |longest: f64| {
            let changes = [("longest-bar".to_owned(), longest)].into_iter().collect();
            let (own, passed_over) = Thresholds::with_changes(&changes);
            assert!(passed_over.is_empty(), "{passed_over:?}");
            let mut found = findings_by(&knife, &own);
            found.retain(|f| f.code == "bar-length");
            found.first().map(|f| f.mend.to_string())
        };
        assert_eq!((told(0.0), told(200.0)), (None, None));
        let words = told(199.9).unwrap();
        assert!(
            words.starts_with("Shorten blade or tang by 0.1 mm"),
            "{words}"
        );
        assert_eq!(Thresholds::default().longest_bar_mm, 0.0);
    }

    /// A plate 80 high whose upper corner at the butt is cut off: it is deepest from x = 50 on, where the bar is drawn.
    #[test]
    fn the_bar_s_width_is_drawn_where_the_steel_is_deepest() {
        let corners = [
            (0.0, 0.0),
            (200.0, 0.0),
            (200.0, 80.0),
            (50.0, 80.0),
            (0.0, 10.0),
        ];
        let f = find(
            &super::super::testing::from_corners(&corners, 4.0),
            "bar-width",
        );
        let (low, high) = f.across.unwrap();
        assert!(low.x >= 49.0 && low.x < 52.0 && low.x == high.x, "{low}");
        assert_eq!((low.y, high.y), (0.0, 80.0));
    }
}
