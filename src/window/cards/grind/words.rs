//! What is ground, in the words of the bench: for folded lines and summaries.

use crate::knife::{
    Cut, CutForm, Face, Faces, Fuller, Grind, Knife, LandmarkKind, Rise, Run, Sides,
};
use crate::units::{Angle, Length, print_angle};
use crate::window::cards::Say;

/// Landmarks in the order they come along the outline.
pub(super) const ALONG: [LandmarkKind; 8] = [
    LandmarkKind::LowerShoulder,
    LandmarkKind::Heel,
    LandmarkKind::Plunge,
    LandmarkKind::Tip,
    LandmarkKind::SpineStart,
    LandmarkKind::FalseEdge,
    LandmarkKind::UpperShoulder,
    LandmarkKind::Butt,
];

/// `edge, plunge to tip`.
pub(super) fn run(run: Run) -> String {
    let place = |kind| ALONG.iter().position(|k| *k == kind);
    let tip = place(LandmarkKind::Tip);
    let (from, to) = (place(run.from), place(run.to));
    let side = if from < tip && to <= tip && from < to {
        "edge, "
    } else if from >= tip && to > from && run.to != LandmarkKind::Butt {
        "spine, "
    } else {
        ""
    };
    format!("{side}{} to {}", run.from.name(), run.to.name())
}

/// The least and the most a grind rises, and whether that is the same all along.
fn span(rise: &Rise) -> (f64, f64, bool) {
    let values = || rise.stations().iter().map(|s| s.value);
    let low = values().fold(f64::INFINITY, f64::min);
    let high = values().fold(f64::NEG_INFINITY, f64::max);
    (low, high, high - low < 1e-9 || !low.is_finite())
}

/// A height or an angle, as the rise is given.
fn size(rise: &Rise, value: f64, say: Say) -> String {
    match rise {
        Rise::Height(_) => say.length(value),
        Rise::Angle(_) => print_angle(Angle::radians(value), 1),
    }
}

/// `flat 24.0 mm`, `hollow 12.0 to 18.0 mm`, `flat 4.3°`.
fn cut(cut: &Cut, say: Say) -> String {
    let (low, high, even) = span(&cut.rise);
    let most = size(&cut.rise, high, say);
    let rises = match &cut.rise {
        _ if even => most,
        Rise::Height(_) => format!("{} to {most}", say.bare(low)),
        Rise::Angle(_) => format!("{} to {most}", size(&cut.rise, low, say)),
    };
    format!("{} {rises}", cut.form.name())
}

/// `flat 24.0 mm`, `hollow to 18.0 mm`: for a line that tells of several.
fn brief(cut: &Cut, say: Say) -> String {
    let (_, high, even) = span(&cut.rise);
    let to = if even { "" } else { "to " };
    format!("{} {to}{}", cut.form.name(), size(&cut.rise, high, say))
}

/// One grind: what the folded line says of it.
pub(super) fn grind(grind: &Grind, say: Say) -> String {
    match &grind.sides {
        Sides::Both(both) => cut(both, say),
        Sides::Right(right) => format!("{}, right face", cut(right, say)),
        Sides::Left(left) => format!("{}, left face", cut(left, say)),
        Sides::Each { right, left } => {
            format!("right {}, left {}", cut(right, say), cut(left, say))
        }
    }
}

/// `3.0 mm deep, 8.0 mm wide`.
pub(super) fn fuller(fuller: &Fuller, say: Say) -> String {
    format!(
        "{} deep, {} wide",
        say.bare(fuller.depth_mm),
        say.length(2.0 * fuller.half_width_mm())
    )
}

/// `3.0 · 5.0 · 2.6 mm`, or that the bar is even.
pub(super) fn taper(knife: &Knife, say: Say) -> String {
    let Some(taper) = &knife.grinding.taper else {
        return format!("none, {} throughout", say.length(knife.stock.thickness_mm));
    };
    let n = taper.stations.len();
    let mut text = String::new();
    for (i, station) in taper.stations.iter().enumerate() {
        if n > 4 && i > 0 && i + 1 < n {
            if i == 1 {
                text.push_str("… ");
            }
            continue;
        }
        if i > 0 {
            text.push_str("· ");
        }
        if i + 1 == n {
            text.push_str(&say.length(station.thickness_mm));
        } else {
            text.push_str(&say.bare(station.thickness_mm));
            text.push(' ');
        }
    }
    match taper.faces {
        Faces::Both => text,
        one => format!("{text}, {}", one.name()),
    }
}

/// `plain`, or `core 1.40 · shim 0.15 · cladding 1.15`: foils are thinner than a tenth can tell.
pub(super) fn layers(knife: &Knife, say: Say) -> String {
    let stock = &knife.stock;
    if !stock.is_laminated() {
        return "plain, one steel".to_owned();
    }
    let fine = |mm: f64| say.fine.print_bare(Length::mm(mm));
    let core = format!("core {}", fine(stock.core_thickness_mm()));
    stock.layering.outer.iter().fold(core, |text, layer| {
        format!("{text} · {} {}", layer.name, fine(layer.thickness_mm))
    })
}

/// The whole card in a line: `flat 24.0 mm · false edge to 7.0 mm`.
pub(super) fn summary(knife: &Knife, say: Say) -> String {
    let grinding = &knife.grinding;
    let mut parts: Vec<String> = Vec::new();
    for (i, one) in grinding.grinds.iter().enumerate() {
        // The first bevel needs no name.
        let words = match one.sides.on(Face::Right).or(one.sides.on(Face::Left)) {
            Some(own) => brief(own, say),
            None => continue,
        };
        parts.push(if i == 0 {
            words
        } else {
            format!("{} {}", one.name, words.trim_start_matches("flat "))
        });
    }
    if let Some(fuller) = grinding.fullers.first() {
        parts.push(fuller.name.clone());
    }
    if parts.is_empty() && grinding.taper.is_some() {
        parts.push("tapered".to_owned());
    }
    if parts.is_empty() && knife.stock.is_laminated() {
        parts.push("layered, not ground".to_owned());
    }
    if parts.is_empty() {
        return "nothing ground".to_owned();
    }
    parts.join(" · ")
}

/// The name of a form with what it needs.
pub(super) fn form(form: CutForm) -> &'static str {
    match form {
        CutForm::Flat => "Flat",
        CutForm::Hollow { .. } => "Hollow",
        CutForm::Convex { .. } => "Convex",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_are_told_by_edge_and_spine() {
        let words = |from, to| run(Run { from, to });
        assert_eq!(
            words(LandmarkKind::Plunge, LandmarkKind::Tip),
            "edge, plunge to tip"
        );
        assert_eq!(
            words(LandmarkKind::Tip, LandmarkKind::FalseEdge),
            "spine, tip to false edge"
        );
        assert_eq!(
            words(LandmarkKind::Butt, LandmarkKind::Heel),
            "butt to heel"
        );
    }
}
