//! What mends a finding without judgment: found by the finding itself, tried on a copy, and offered only where the finding is gone after it and nothing
//! graver came of it.

use super::bench::Bench;
use super::ready::mends;
use super::{Finding, Severity, Subject, Thresholds, check};
use crate::geometry::outline_faults;
use crate::knife::{
    CutOut, CutShape, Filling, Id, Knife, KnifeSet, Mend, Purpose, guess_landmarks, knife_faults,
};
use crate::weighing::{WeighUp, weigh};

/// Holes are not made smaller than this to leave a web, mm: no usual drill is.
const LEAST_HOLE_MM: f64 = 1.0;
/// A size that is asked for is passed by this, mm, so that rounding leaves the finding behind.
const PAST_MM: f64 = 1e-6;

/// A mend of a finding, and what it does.
#[derive(Clone, Debug, PartialEq)]
pub struct ShopMend {
    /// The mend.
    pub mend: Mend,
    /// Before and after, in a line.
    pub told: String,
}

/// The mend of a finding of [`check`] on a knife; `None` where mending takes judgment. `up` must be the weigh-up of the same knife in the same set.
#[must_use]
pub fn shop_mend(
    knife: &Knife,
    set: &KnifeSet,
    up: &WeighUp,
    finding: &Finding,
    thresholds: &Thresholds,
) -> Option<ShopMend> {
    let bench = Bench::new(knife, set, up, thresholds);
    let mend = candidate(&bench, finding)?;
    let before = check(knife, set, up, thresholds);
    works(&mend, knife, set, finding.code, (&before, thresholds)).then(|| ShopMend {
        told: mends::told(&mend, knife),
        mend,
    })
}

/// What would mend it, untried.
fn candidate(bench: &Bench<'_>, finding: &Finding) -> Option<Mend> {
    match finding.code {
        "outline-zero-piece" | "outline-doubled" => {
            let outline = &bench.knife.outline;
            let faults = outline_faults(&bench.steel.pieces);
            faults
                .iter()
                .find_map(|fault| mends::of_fault(outline, None, fault))
        }
        "cut-out-unsound" => mends::of_unsound(bench, finding),
        "cut-outs-overlap" => mends::double(bench, finding)?.1,
        "inside-corner" | "shoulder-radius" | "cut-out-corner" => mends::of_corner(bench, finding),
        "drill-size" | "pin-fit" | "tube-fit" | "lanyard-hole" => {
            sized(bench, finding, finding.wanted_mm?)
        }
        "small-for-cutting" => {
            // What is cut undersize is drawn that much larger.
            let under = size_of(bench, finding)? - finding.measured_mm?;
            sized(bench, finding, finding.wanted_mm? + under)
        }
        "web-outline" | "web-holes" => narrowed(bench, finding),
        "landmark-missing" => landmarks(bench, None),
        "landmark-off" => match finding.about {
            Some(Subject::Landmark(kind)) => landmarks(bench, Some(kind)),
            _ => None,
        },
        "guard-tight" | "guard-loose" => {
            let clearance_mm = finding.wanted_mm? / 2.0;
            Some(Mend::FitGuard { clearance_mm })
        }
        _ => None,
    }
}

/// The cut-outs and rows a finding speaks of.
fn spoken_of(finding: &Finding) -> Option<(Vec<Id>, Vec<Id>)> {
    let Some(Subject::CutOuts(names)) = &finding.about else {
        return None;
    };
    let (mut cut_outs, mut rows) = (Vec::new(), Vec::new());
    for name in names {
        match name.split_once('.') {
            Some((row, _)) => rows.push(row.parse().ok()?),
            None => cut_outs.push(name.parse().ok()?),
        }
    }
    rows.dedup();
    Some((cut_outs, rows))
}

/// The size the first of them has, mm.
fn size_of(bench: &Bench<'_>, finding: &Finding) -> Option<f64> {
    let Some(Subject::CutOuts(names)) = &finding.about else {
        return None;
    };
    let first = names.first()?;
    let own = bench.openings.iter().find(|o| o.name() == *first)?;
    own.width_mm()
}

/// All of them at one size. A row is only made even that was even.
fn sized(bench: &Bench<'_>, finding: &Finding, size_mm: f64) -> Option<Mend> {
    let (cut_outs, rows) = spoken_of(finding)?;
    let even = |id: &Id| {
        let row = bench.knife.rows.iter().find(|row| row.id == *id);
        row.is_some_and(|row| row.first_diameter_mm == row.last_diameter_mm)
    };
    rows.iter().all(even).then_some(Mend::SizeHoles {
        cut_outs,
        rows,
        size_mm,
    })
}

/// A hole that only lightens gives way to a web that is too thin: its rim goes back by what is missing.
fn narrowed(bench: &Bench<'_>, finding: &Finding) -> Option<Mend> {
    let missing = finding.wanted_mm? - finding.measured_mm?;
    let (cut_outs, _) = spoken_of(finding)?;
    let (id, diameter_mm) = cut_outs.iter().find_map(|id| {
        let cut = bench.knife.cut_outs.iter().find(|c| c.id == *id)?;
        lightening(cut)
    })?;
    let size_mm = diameter_mm - 2.0 * missing - PAST_MM;
    (size_mm >= LEAST_HOLE_MM).then_some(Mend::SizeHoles {
        cut_outs: vec![id],
        rows: Vec::new(),
        size_mm,
    })
}

fn lightening(cut: &CutOut) -> Option<(Id, f64)> {
    match cut.shape {
        CutShape::Round { diameter_mm, .. }
            if cut.purpose == Purpose::Lightening && cut.filling == Filling::Nothing =>
        {
            Some((cut.id, diameter_mm))
        }
        _ => None,
    }
}

/// Landmarks where the outline's own shape says they are: this one, or all that are missing.
fn landmarks(bench: &Bench<'_>, only: Option<crate::knife::LandmarkKind>) -> Option<Mend> {
    let knife = bench.knife;
    let places: Vec<_> = guess_landmarks(&knife.outline)
        .into_iter()
        .filter(|(kind, _)| match only {
            Some(only) => *kind == only,
            None => knife.landmark(*kind).is_none(),
        })
        .filter_map(|(kind, place)| Some((kind, place?)))
        .collect();
    (!places.is_empty()).then_some(Mend::SeatLandmarks { places })
}

/// Whether a mend leaves fewer findings of its kind, and no more that stop or warn.
fn works(
    mend: &Mend,
    knife: &Knife,
    set: &KnifeSet,
    code: &str,
    (before, thresholds): (&[Finding], &Thresholds),
) -> bool {
    let mut mended = knife.clone();
    if mend.make(&mut mended).is_err() || !knife_faults(&mended, set).is_empty() {
        return false;
    }
    let up = weigh(&mended, set);
    let after = check(&mended, set, &up, thresholds);
    let of_code = |found: &[Finding]| found.iter().filter(|f| f.code == code).count();
    let grave = |found: &[Finding]| {
        found
            .iter()
            .filter(|f| f.severity != Severity::Note)
            .count()
    };
    of_code(&after) < of_code(before) && grave(&after) <= grave(before)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{find, hole, plate, set_of};
    use super::*;

    /// The mend of the first finding with this code, made; the knife after it has none of that code left.
    fn mended(knife: &Knife, code: &str) -> (Knife, ShopMend) {
        let (set, figures) = (set_of(knife), Thresholds::default());
        let finding = find(knife, code);
        let up = weigh(knife, &set);
        let own = shop_mend(knife, &set, &up, &finding, &figures)
            .unwrap_or_else(|| panic!("{code} has a mend"));
        let mut after = knife.clone();
        own.mend.make(&mut after).unwrap();
        let up = weigh(&after, &set);
        let left = check(&after, &set, &up, &figures);
        assert!(left.iter().all(|f| f.code != code), "{code} is gone");
        (after, own)
    }

    fn diameter(knife: &Knife, i: usize) -> f64 {
        match knife.cut_outs[i].shape {
            CutShape::Round { diameter_mm, .. } => diameter_mm,
            _ => 0.0,
        }
    }

    /// 2.9 mm in 6 mm stock: the cutting table wants max(0.5 · 6, 1.5) = 3 mm.
    #[test]
    fn a_hole_too_small_to_cut_is_made_as_large_as_can_be_cut() {
        let mut knife = plate(200.0, 60.0, 6.0);
        hole(&mut knife, 50.0, 30.0, 2.9);
        let (after, own) = mended(&knife, "small-for-cutting");
        assert!((diameter(&after, 0) - 3.0).abs() < 1e-9);
        assert_eq!(own.mend.label(), "size the hole");
        assert!(own.told.contains("3.00 mm after"), "{}", own.told);
    }

    /// A lightening hole of 10 mm whose rim is 1 mm from the edge gives back twice what the web lacks; one with a pin in it is left to the maker.
    #[test]
    fn a_lightening_hole_gives_way_to_a_web_and_a_pin_does_not() {
        let mut knife = plate(200.0, 60.0, 4.0);
        hole(&mut knife, 50.0, 6.0, 10.0);
        knife.cut_outs[0].purpose = Purpose::Lightening;
        let web = find(&knife, "web-outline");
        let (after, _) = mended(&knife, "web-outline");
        let lacking = web.wanted_mm.unwrap() - web.measured_mm.unwrap();
        assert!((web.measured_mm.unwrap() - 1.0).abs() < 1e-6);
        assert!((diameter(&after, 0) - (10.0 - 2.0 * lacking)).abs() < 1e-5);
        knife.cut_outs[0].purpose = Purpose::Pin;
        let (set, figures) = (set_of(&knife), Thresholds::default());
        let up = weigh(&knife, &set);
        let web = find(&knife, "web-outline");
        assert_eq!(shop_mend(&knife, &set, &up, &web, &figures), None);
    }

    #[test]
    fn missing_landmarks_are_set_where_the_outline_says() {
        let knife = plate(200.0, 60.0, 4.0);
        assert!(knife.landmarks.is_empty());
        let finding = find(&knife, "landmark-missing");
        let set = set_of(&knife);
        let up = weigh(&knife, &set);
        let own = shop_mend(&knife, &set, &up, &finding, &Thresholds::default());
        if let Some(own) = own {
            let mut after = knife.clone();
            own.mend.make(&mut after).unwrap();
            assert!(!after.landmarks.is_empty());
        }
    }

    #[test]
    fn a_mend_that_finds_nothing_says_so() {
        let mut knife = plate(200.0, 60.0, 4.0);
        let gone = Mend::SizeHoles {
            cut_outs: vec![99],
            rows: vec![],
            size_mm: 3.0,
        };
        assert!(gone.make(&mut knife).is_err());
        assert!(
            Mend::FitGuard { clearance_mm: 0.0 }
                .make(&mut knife)
                .is_err()
        );
    }
}
