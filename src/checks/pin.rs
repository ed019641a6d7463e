//! Pins, tubes and the drills for them: sizes that do not go together.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use super::bench::Bench;
use super::hole_size::{names, size_key, these};
use super::opening::Opening;
use super::pin_fit::PinFit;
use super::words::{Words, say};
use super::{Finding, Severity};
use crate::catalog::{Drill, StockKind, StockSize, drills, stock_of};
use crate::knife::{Filling, Purpose};

/// All drills, thinnest first.
static BY_SIZE: LazyLock<Vec<&'static Drill>> = LazyLock::new(|| {
    let mut all: Vec<&'static Drill> = drills().iter().collect();
    all.sort_by(|a, b| a.diameter_mm.total_cmp(&b.diameter_mm));
    all
});

/// Play of a pin in its drilled hole that drill tables aim at, mm: metric pins are given 0.1 to 0.2, 1/8 in rod 0.075 to
/// 0.09.
const USUAL_PLAY_MM: f64 = 0.1;

/// Sizes in the tables carry up to seven digits; a play that is exactly on an end is inside.
const ROUNDING_MM: f64 = 1e-9;

/// What the size of a hole is judged against.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    /// The rod the maker gave, by the key of its size.
    Own(i64),
    Rod,
    Tube,
    Lanyard,
    Drill,
}

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let mut groups: BTreeMap<(Fit, i64), Vec<&Opening<'_>>> = BTreeMap::new();
    for opening in bench.openings.iter().filter(|o| o.is_round()) {
        let fit = match (opening.filling, opening.purpose) {
            (
                Filling::Pin {
                    rod_mm: Some(rod), ..
                },
                _,
            ) => Fit::Own(size_key(*rod)),
            (Filling::Pin { .. }, _) => Fit::Rod,
            (Filling::Tube { .. }, _) => Fit::Tube,
            (_, Purpose::Lanyard) => Fit::Lanyard,
            // How large a lightening hole is matters to the gram, not to the tenth.
            (_, Purpose::Lightening) => continue,
            _ => Fit::Drill,
        };
        if let Some(d) = opening.width_mm() {
            groups.entry((fit, size_key(d))).or_default().push(opening);
        }
    }
    for ((fit, _), group) in groups {
        let Some(d) = group.first().and_then(|o| o.width_mm()) else {
            continue;
        };
        let finding = match fit {
            Fit::Own(_) => own_rod(bench, &group, d),
            Fit::Rod => slip(bench, &group, d, StockKind::PinRod),
            Fit::Tube => slip(bench, &group, d, StockKind::TubeOutside),
            Fit::Lanyard => lanyard(bench, &group, d),
            Fit::Drill => None,
        };
        found.extend(finding.or_else(|| no_drill(bench, &group, d)));
    }
}

/// The size of this kind nearest to a diameter.
fn nearest_stock(kind: StockKind, d: f64) -> Option<&'static StockSize> {
    let off = |size: &&StockSize| (size.size_mm - d).abs();
    stock_of(kind).min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// The drill nearest to a diameter.
fn nearest_drill(d: f64) -> Option<&'static Drill> {
    let after = BY_SIZE.partition_point(|drill| drill.diameter_mm < d);
    let around = BY_SIZE.get(after.saturating_sub(1)..(after + 1).min(BY_SIZE.len()))?;
    let off = |drill: &&Drill| (drill.diameter_mm - d).abs();
    around
        .iter()
        .copied()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// Whether the rod the maker gave sits tight, slips, or has room to swell.
fn own_rod(bench: &Bench<'_>, group: &[&Opening<'_>], d: f64) -> Option<Finding> {
    let Filling::Pin {
        rod_mm: Some(rod), ..
    } = *group.first()?.filling
    else {
        return None;
    };
    let play = d - rod;
    let fits = PinFit::ALL.into_iter().any(|fit| {
        let (least, most) = fit.clearance_mm(rod, bench.thresholds);
        (least - ROUNDING_MM..=most + ROUNDING_MM).contains(&play)
    });
    if fits {
        return None;
    }
    let wanted = nearest_drill(rod + USUAL_PLAY_MM)?;
    let what = these(group, d).say("; its rod is ").mm(rod);
    Some(
        Finding::new(Severity::Note, "pin-fit", what)
            .at(group.first().map(|o| o.center))
            .about(names(group))
            .measured(d, wanted.diameter_mm)
            .why(
                say("a slip fit has ")
                    .mm(bench.thresholds.slip_mm.0)
                    .say(" to ")
                    .mm(bench.thresholds.slip_mm.1)
                    .say(" of play, and this is not the room a pin has that is peened"),
            )
            .mend(drill_it(wanted).say(" for that rod")),
    )
}

/// Whether a rod or tube that is sold slips into the hole.
fn slip(bench: &Bench<'_>, group: &[&Opening<'_>], d: f64, kind: StockKind) -> Option<Finding> {
    let (least, most) = bench.thresholds.slip_mm;
    let slips =
        |size: &StockSize| (least - ROUNDING_MM..=most + ROUNDING_MM).contains(&(d - size.size_mm));
    if stock_of(kind).any(slips) {
        return None;
    }
    let nearest = nearest_stock(kind, d)?;
    let (code, noun) = match kind {
        StockKind::TubeOutside => ("tube-fit", "tube"),
        _ => ("pin-fit", "rod"),
    };
    let play = d - nearest.size_mm;
    let label = nearest.label.trim_end_matches(" OD");
    let what = these(group, d);
    let what = if play < least {
        what.say(format!("; {label} {noun} does not go in"))
    } else {
        what.say(format!("; {label} {noun} is loose by ")).mm(play)
    };
    let wanted = nearest_drill(nearest.size_mm + USUAL_PLAY_MM)?;
    Some(
        Finding::new(Severity::Note, code, what)
            .at(group.first().map(|o| o.center))
            .about(names(group))
            .measured(d, wanted.diameter_mm)
            .why(
                say("a hole of the nominal size does not take the rod, and a loose one shows a ring of glue; a slip fit has ")
                    .mm(least)
                    .say(" to ")
                    .mm(most)
                    .say(" of play"),
            )
            .mend(drill_it(wanted).say(format!(" for {label} {noun}"))),
    )
}

fn drill_it(drill: &Drill) -> Words {
    say(format!("Drill {}", drill.label))
}

fn lanyard(bench: &Bench<'_>, group: &[&Opening<'_>], d: f64) -> Option<Finding> {
    let wanted = bench.thresholds.lanyard_hole_mm;
    (d < wanted).then(|| {
        let what = these(group, d)
            .say("; a lanyard wants at least ")
            .mm(wanted);
        Finding::new(Severity::Note, "lanyard-hole", what)
            .at(group.first().map(|o| o.center))
            .about(names(group))
            .measured(d, wanted)
            .why(say("usual cord does not go through twice"))
            .mend(say("Make it ").mm(wanted).say(" or more"))
    })
}

fn no_drill(bench: &Bench<'_>, group: &[&Opening<'_>], d: f64) -> Option<Finding> {
    let nearest = nearest_drill(d)?;
    if (nearest.diameter_mm - d).abs() <= bench.thresholds.drill_off_mm {
        return None;
    }
    let what = these(group, d).say("; there is no such drill");
    Some(
        Finding::new(Severity::Note, "drill-size", what)
            .at(group.first().map(|o| o.center))
            .about(names(group))
            .measured(d, nearest.diameter_mm)
            .why(
                say("the hole will be as large as the drill that is there, and that is more than ")
                    .mm(bench.thresholds.drill_off_mm)
                    .say(" off"),
            )
            .mend(drill_it(nearest).say(", ").mm(nearest.diameter_mm)),
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::{codes, find, hole, plate};
    use super::*;
    use crate::knife::Knife;

    fn with(d: f64, purpose: Purpose, filling: Filling) -> Knife {
        let mut knife = plate(200.0, 60.0, 4.0);
        let cut = hole(&mut knife, 50.0, 30.0, d);
        cut.purpose = purpose;
        cut.filling = filling;
        knife
    }

    fn brass() -> String {
        "brass".to_owned()
    }

    fn pinned(d: f64) -> Knife {
        with(d, Purpose::Pin, Filling::pin(brass()))
    }

    #[test]
    fn a_pin_of_the_very_size_does_not_go_in() {
        // 3 mm rod wants a hole 0.1 mm larger: the 3.1 mm drill.
        let f = find(&pinned(3.0), "pin-fit");
        assert_eq!(f.severity, Severity::Note);
        assert_eq!(f.mend.to_string(), "Drill 3.1 mm for 3 mm rod");
        assert!(f.what.to_string().ends_with("does not go in"), "{}", f.what);
        for d in [3.1, 3.2] {
            assert!(!codes(&pinned(d)).contains(&"pin-fit"), "{d}");
        }
        // 3.25 mm is the usual drill for 1/8 in rod (3.175 mm).
        assert!(!codes(&pinned(3.25)).contains(&"pin-fit"));
    }

    #[test]
    fn a_loose_pin_is_told_with_its_play() {
        // 3.6 mm: 1/8 in rod is 3.6 − 3.175 = 0.425 loose, 5/32 in (3.96875) too thick; 5/32 is nearer, by 0.369.
        let f = find(&pinned(3.6), "pin-fit");
        assert!(
            f.what.to_string().contains("5/32 in rod does not go in"),
            "{}",
            f.what
        );
        // 5.5 mm: 5 mm rod is 0.5 loose, as near as 6 mm; the metric 5 comes first.
        let f = find(&pinned(5.3), "pin-fit");
        assert_eq!(
            f.what.to_string(),
            "The hole at 50 mm is 5.3 mm across; 5 mm rod is loose by 0.3 mm"
        );
        assert_eq!(f.mend.to_string(), "Drill 5.1 mm for 5 mm rod");
    }

    /// A maker's own example: a 3/16 in pin in a 1/4 in hole (practice `pin.tang-hole-oversize`), which is no slip fit and right for peening.
    #[test]
    fn a_rod_that_is_named_is_judged_by_its_own_play() {
        let rod = |d: f64, rod_mm: f64| {
            let material = brass();
            let rod_mm = Some(rod_mm);
            with(d, Purpose::Pin, Filling::Pin { material, rod_mm })
        };
        let quarter = 25.4 / 4.0;
        assert!(!codes(&rod(quarter, 25.4 * 3.0 / 16.0)).contains(&"pin-fit"));
        assert!(!codes(&rod(3.25, 3.175)).contains(&"pin-fit"));
        let f = find(&rod(quarter, 3.175), "pin-fit");
        assert_eq!(
            f.what.to_string(),
            "The hole at 50 mm is 6.35 mm across; its rod is 3.17 mm"
        );
        assert_eq!(f.mend.to_string(), "Drill #30 for that rod");
    }

    #[test]
    fn tubes_have_sizes_of_their_own() {
        let tube = |d| {
            let material = brass();
            codes(&with(
                d,
                Purpose::Tube,
                Filling::Tube {
                    material,
                    bore_mm: 3.0,
                },
            ))
            .contains(&"tube-fit")
        };
        // 1/4 in tube is 6.35 mm; 6.4 takes it with 0.05 of play; 7 takes none.
        assert!(!tube(6.4));
        assert!(tube(7.0));
    }

    #[test]
    fn holes_that_no_drill_makes_are_told() {
        let empty = |d| with(d, Purpose::Alignment, Filling::Nothing);
        let f = find(&empty(3.36), "drill-size");
        // #29 is 0.1360 in = 3.4544, 3.4 mm is 0.04 off, 3.3 is 0.06 off.
        assert_eq!(f.mend.to_string(), "Drill 3.4 mm, 3.4 mm");
        assert!(!codes(&empty(3.4)).contains(&"drill-size"));
        assert!(!codes(&empty(3.419)).contains(&"drill-size"));
        let light = with(3.36, Purpose::Lightening, Filling::Nothing);
        assert!(!codes(&light).contains(&"drill-size"));
    }

    #[test]
    fn a_lanyard_wants_room() {
        let lanyard = |d| with(d, Purpose::Lanyard, Filling::Nothing);
        let f = find(&lanyard(4.5), "lanyard-hole");
        assert_eq!((f.measured_mm, f.wanted_mm), (Some(4.5), Some(5.0)));
        assert!(!codes(&lanyard(5.0)).contains(&"lanyard-hole"));
    }

    #[test]
    fn the_nearest_drill_is_the_nearest_of_all() {
        // Against a plain scan of the table.
        for hundredth in 10..2600 {
            let d = f64::from(hundredth) * 0.01;
            let off = |drill: &Drill| (drill.diameter_mm - d).abs();
            let best = drills().iter().map(off).fold(f64::INFINITY, f64::min);
            assert_eq!(off(nearest_drill(d).unwrap()), best, "{d}");
        }
    }
}
