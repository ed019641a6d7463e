//! Rules of what is ground off: taper, grinds and fullers.

use std::collections::BTreeSet;

use super::judge::Judge;
use super::{
    LARGEST_MM, MOST_FULLERS, MOST_GRINDS, MOST_STATIONS, SMALLEST_MM, THICKEST_MM, judge_outline,
};
use crate::knife::{
    Cut, CutForm, Fuller, Grind, Id, Knife, PlungeLine, Rise, RiseStation, Run, Sides, Taper,
};

/// Coarsest hand that is believed, mm.
const COARSEST_MM: f64 = 10.0;
/// A bevel flatter than this has no end, one steeper is no bevel; degrees of one face.
const BEVEL_DEG: (f64, f64) = (0.2, 80.0);
/// A plunge line nearer to the run than this would run along it, degrees.
const PLUNGE_DEG: (f64, f64) = (10.0, 170.0);
/// Most nodes of a fuller's path.
const MOST_PATH_NODES: usize = 200;
/// Largest wheel that leaves a plunge's wall, mm.
const WIDEST_PLUNGE_MM: f64 = 100.0;

pub(super) fn judge_grinding(judge: &mut Judge<'_>, knife: &Knife, ids: &mut BTreeSet<Id>) {
    let grinding = &knife.grinding;
    if let Some(taper) = &grinding.taper {
        judge_taper(&mut judge.at("taper"), taper);
    }
    judge.within("tolerance_mm", grinding.tolerance_mm, 0.0, COARSEST_MM);
    for (field, n, most) in [
        ("grinds", grinding.grinds.len(), MOST_GRINDS),
        ("fullers", grinding.fullers.len(), MOST_FULLERS),
    ] {
        if n > most {
            judge.fault(
                field,
                format!("{n} {field}; at most {most} fit on one knife"),
            );
            return;
        }
    }
    judge.each("grinds", &grinding.grinds, |at, grind| {
        at.id(ids, grind.id, knife.next_id);
        judge_grind(at, grind, knife);
    });
    judge.each("fullers", &grinding.fullers, |at, fuller| {
        at.id(ids, fuller.id, knife.next_id);
        judge_fuller(at, fuller, ids, knife.next_id);
    });
}

fn judge_taper(judge: &mut Judge<'_>, taper: &Taper) {
    if !number_of_stations(judge, taper.stations.len()) {
        return;
    }
    let mut before = f64::NEG_INFINITY;
    judge.each("stations", &taper.stations, |at, station| {
        if at.within("x_mm", station.x_mm, -LARGEST_MM, LARGEST_MM) {
            rising(at, "x_mm", &mut before, station.x_mm);
        }
        at.within(
            "thickness_mm",
            station.thickness_mm,
            SMALLEST_MM,
            THICKEST_MM,
        );
    });
}

/// Whether there is one station and not too many; a fault where not.
fn number_of_stations(judge: &mut Judge<'_>, n: usize) -> bool {
    let good = (1..=MOST_STATIONS).contains(&n);
    if !good {
        judge.fault(
            "stations",
            format!("{n} stations; give between 1 and {MOST_STATIONS}"),
        );
    }
    good
}

/// Stations stand in rising order of place, no two at one place.
fn rising(at: &mut Judge<'_>, field: &str, before: &mut f64, place: f64) {
    if place <= *before {
        at.fault(
            field,
            format!(
                "{place} does not lie beyond the station before it, at {before}; move one of them"
            ),
        );
    }
    *before = before.max(place);
}

fn judge_grind(judge: &mut Judge<'_>, grind: &Grind, knife: &Knife) {
    judge.text("name", &grind.name);
    judge_run(&mut judge.at("run"), grind.run, knife);
    let mut sides = judge.at("sides");
    match &grind.sides {
        Sides::Both(cut) | Sides::Right(cut) | Sides::Left(cut) => {
            judge_cut(&mut sides.at("cut"), cut);
        }
        Sides::Each { right, left } => {
            judge_cut(&mut sides.at("right"), right);
            judge_cut(&mut sides.at("left"), left);
        }
    }
    judge.within("edge_mm", grind.edge_mm, 0.0, THICKEST_MM);
    let half = THICKEST_MM / 2.0;
    judge.within("edge_offset_mm", grind.edge_offset_mm, -half, half);
    for (field, line) in [
        ("plunge_from", grind.plunge_from),
        ("plunge_to", grind.plunge_to),
    ] {
        if let Some(line) = line {
            judge_plunge(&mut judge.at(field), line);
        }
    }
}

fn judge_run(judge: &mut Judge<'_>, run: Run, knife: &Knife) {
    if run.from == run.to {
        judge.fault(
            "to",
            format!(
                "the run begins and ends at the {}; end it at another landmark",
                run.to.name()
            ),
        );
    }
    for (field, kind) in [("from", run.from), ("to", run.to)] {
        if knife.landmark(kind).is_none() {
            judge.fault(
                field,
                format!(
                    "the landmark '{}' is not set; set it or run the grind to another",
                    kind.name()
                ),
            );
        }
    }
}

fn judge_plunge(judge: &mut Judge<'_>, line: PlungeLine) {
    angle(judge, "angle_rad", line.angle_rad, PLUNGE_DEG);
    judge.within(
        "wheel_radius_mm",
        line.wheel_radius_mm,
        0.0,
        WIDEST_PLUNGE_MM,
    );
}

/// Whether an angle lies in a range of degrees; a fault in degrees where it does not.
fn angle(judge: &mut Judge<'_>, field: &str, angle_rad: f64, (low, high): (f64, f64)) {
    // Degrees brought to radians come back a hair off; the ends belong to the range.
    let hair = 1e-9;
    let degrees = angle_rad.to_degrees();
    if !(low - hair..=high + hair).contains(&degrees) {
        let told = (degrees * 1e6).round() / 1e6;
        judge.fault(
            field,
            format!("{told} degrees are not between {low} and {high}"),
        );
    }
}

fn judge_cut(judge: &mut Judge<'_>, cut: &Cut) {
    let mut form = judge.at("form");
    match cut.form {
        CutForm::Flat => {}
        CutForm::Hollow { wheel_radius_mm } => {
            form.size("wheel_radius_mm", wheel_radius_mm);
        }
        CutForm::Convex { radius_mm } => {
            form.size("radius_mm", radius_mm);
        }
    }
    let mut rise = judge.at("rise");
    if cut.form != CutForm::Flat && matches!(cut.rise, Rise::Angle(_)) {
        rise.fault(
            "kind",
            format!(
                "a {} grind rises by its height; give heights, or make it flat",
                cut.form.name()
            ),
        );
    }
    let stations = cut.rise.stations();
    if !number_of_stations(&mut rise, stations.len()) {
        return;
    }
    let mut before = f64::NEG_INFINITY;
    rise.each("stations", stations, |at, station: &RiseStation| {
        if at.within("at", station.at, 0.0, 1.0) {
            rising(at, "at", &mut before, station.at);
        }
        match cut.rise {
            Rise::Height(_) => {
                at.size("height_mm", station.value);
            }
            Rise::Angle(_) => angle(at, "angle_rad", station.value, BEVEL_DEG),
        }
    });
}

fn judge_fuller(judge: &mut Judge<'_>, fuller: &Fuller, ids: &mut BTreeSet<Id>, next_id: Id) {
    judge.text("name", &fuller.name);
    let n = fuller.path.nodes.len();
    if n > MOST_PATH_NODES {
        let message = format!("{n} nodes; at most {MOST_PATH_NODES} make a path");
        judge.at("path").fault("nodes", message);
        return;
    }
    judge_outline(&mut judge.at("path"), &fuller.path, ids, next_id);
    judge.size("nose_radius_mm", fuller.nose_radius_mm);
    judge.within("depth_mm", fuller.depth_mm, SMALLEST_MM, THICKEST_MM);
}
