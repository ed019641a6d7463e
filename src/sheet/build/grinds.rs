//! What is scribed before grinding and what the grinder is told: tables by station along the knife, before and after hardening.

use super::steps::{BuildTable, Item};
use super::work::Work;
use crate::geometry::Point;
use crate::knife::{CutForm, Face, Fuller, Grind, Knife, Rise, RunPath, Stage, Taper};
use crate::thickness::{EdgeSide, GroundBlade};
use crate::units::{Angle, MISSING, print_angle};
use crate::weighing::{EdgeScribing, FromFaces, ScribingRow, TaperRow, scribing_heights};

/// Shares of a run at which a grind is told, besides its own stations: clear of the plunge and of the very tip, where there is no height to measure.
const SHARES: [f64; 5] = [0.04, 0.25, 0.5, 0.75, 0.96];
/// The maker's own stations at the ends of a run are told this far inside.
const INSIDE: f64 = 0.005;
/// Shares nearer than this are one station.
const SAME_SHARE: f64 = 0.02;
/// Faces that differ by less are alike, mm.
const ALIKE_MM: f64 = 1e-6;

/// The lines on every edge, and what a taper takes.
pub(super) fn scribe(work: &Work<'_>) -> Vec<Item> {
    let heights = scribing_heights(work.knife);
    let mut found: Vec<Item> = heights
        .edges
        .iter()
        .map(|edge| Item::Table(edge_table(work, edge)))
        .collect();
    if !heights.taper.is_empty() {
        found.push(Item::Table(taper_table(work, &heights.taper)));
    }
    found.extend(heights.missing.iter().map(|m| Item::Line(m.to_string())));
    found
}

fn edge_table(work: &Work<'_>, edge: &EdgeScribing) -> BuildTable {
    let alike = |row: &ScribingRow| match (row.right_line, row.left_line) {
        (Some(right), Some(left)) => (right.right_mm - left.left_mm).abs() < ALIKE_MM,
        (None, None) => true,
        _ => false,
    };
    let both = edge.rows.iter().all(alike);
    let laminated = edge.rows.iter().any(|row| row.core.is_some());
    let off = |line: Option<FromFaces>, of: fn(FromFaces) -> f64| {
        line.map_or_else(|| MISSING.to_owned(), |line| work.bare_caliper(of(line)))
    };
    let rows = edge.rows.iter().map(|row| {
        let mut cells = vec![
            work.bare(row.x_mm),
            work.bare_caliper(row.faces.thickness_mm()),
            off(row.right_line, |l| l.right_mm),
            off(row.middle, |l| l.right_mm),
            off(row.left_line, |l| l.right_mm),
        ];
        if !both {
            cells.push(off(row.left_line, |l| l.left_mm));
            cells.push(off(row.right_line, |l| l.left_mm));
        }
        if let Some(core) = row.core {
            cells.push(off(core.right, |l| l.right_mm));
            cells.push(off(core.left, |l| l.left_mm));
        }
        cells
    });
    let mut columns = vec!["at", "thick", "near line", "middle", "far line"];
    if !both {
        columns.extend(["left: near", "left: far"]);
    }
    if laminated {
        columns.extend(["core, right", "core, left"]);
    }
    let faces = if both {
        "either face"
    } else {
        "the right face"
    };
    BuildTable {
        title: format!(
            "{}: edge left {}; lines off {faces}, {}",
            named(&edge.name),
            work.caliper(edge.edge_mm),
            work.unit()
        ),
        columns: columns.into_iter().map(str::to_owned).collect(),
        rows: rows.collect(),
    }
}

fn taper_table(work: &Work<'_>, rows: &[TaperRow]) -> BuildTable {
    let cells = |row: &TaperRow| {
        vec![
            work.bare(row.x_mm),
            work.bare_caliper(row.faces.thickness_mm()),
            work.bare_caliper(row.off_right_mm),
            work.bare_caliper(row.off_left_mm),
        ]
    };
    BuildTable {
        title: format!(
            "taper, along the back; off the bar's faces, {}",
            work.unit()
        ),
        columns: ["at", "thick", "off right", "off left"]
            .map(str::to_owned)
            .to_vec(),
        rows: rows.iter().map(cells).collect(),
    }
}

fn named(name: &str) -> &str {
    if name.is_empty() { "grind" } else { name }
}

pub(super) fn grind_soft(work: &Work<'_>) -> Vec<Item> {
    let grinding = &work.knife.grinding;
    let mut found = Vec::new();
    if let Some(taper) = &grinding.taper {
        found.push(Item::Line(taper_line(work, taper)));
    }
    found.extend(grind_items(work, false));
    for fuller in &grinding.fullers {
        found.push(Item::Line(fuller_line(work, fuller)));
    }
    let later = grinding.grinds.iter().any(|grind| grind.after_hardening);
    // Also of a knife that is all ground hard.
    if work.knife.guard.is_some() && (later || !found.is_empty()) {
        found.push(Item::Line(
            "File the guard's seat square on the shoulders now, while the steel is soft".to_owned(),
        ));
    }
    if !found.is_empty() && !later {
        found.extend(work.weigh_line(Stage::Ground).map(Item::Line));
    }
    found
}

pub(super) fn grind_hard(work: &Work<'_>) -> Vec<Item> {
    let mut found = grind_items(work, true);
    if !found.is_empty() {
        let cool = "Keep the steel cool: bare hands, frequent water";
        found.push(Item::Line(cool.to_owned()));
        found.extend(work.weigh_line(Stage::Ground).map(Item::Line));
    }
    found
}

fn taper_line(work: &Work<'_>, taper: &Taper) -> String {
    let stations: Vec<String> = taper
        .stations
        .iter()
        .map(|s| format!("{} at {}", work.caliper(s.thickness_mm), work.place(s.x_mm)))
        .collect();
    format!(
        "taper first, {}: {}",
        taper.faces.name(),
        stations.join("; ")
    )
}

fn fuller_line(work: &Work<'_>, fuller: &Fuller) -> String {
    let xs = fuller.path.nodes.iter().map(|node| node.at.x);
    let (from, to) = xs.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| {
        (a.min(x), b.max(x))
    });
    format!(
        "{}, {}: from {} to {}, nose radius {}, {} deep",
        fuller.name,
        fuller.faces.name(),
        work.place(from),
        work.place(to),
        work.mm(fuller.nose_radius_mm),
        work.caliper(fuller.depth_mm)
    )
}

fn grind_items(work: &Work<'_>, hard: bool) -> Vec<Item> {
    let grinds = &work.knife.grinding.grinds;
    grinds
        .iter()
        .enumerate()
        .filter(|(_, grind)| grind.after_hardening == hard)
        .map(|(place, grind)| grind_item(work, place, grind))
        .collect()
}

/// A grind by station; where it can't be measured, in a line of what was asked for.
fn grind_item(work: &Work<'_>, place: usize, grind: &Grind) -> Item {
    let title = format!(
        "{}, {}: {}; edge {}",
        named(&grind.name),
        grind.sides.faces().name(),
        forms(work, grind),
        work.caliper(grind.edge_mm)
    );
    let stations = stations(work.knife, place, grind);
    if stations.is_empty() {
        let values: Vec<String> = grind
            .sides
            .cuts()
            .map(|cut| asked(work, &cut.rise))
            .collect();
        return Item::Line(format!("{title}; {}", values.join(" / ")));
    }
    let alike = |s: &GrindStation| match (s.sides[0], s.sides[1]) {
        (Some(a), Some(b)) => (a.height_mm - b.height_mm).abs() < ALIKE_MM,
        _ => false,
    };
    let mut columns = vec![format!("at, {}", work.unit()), "bar thick".to_owned()];
    let sides: &[(usize, &str)] = if stations.iter().all(alike) {
        &[(0, "")]
    } else {
        match grind.sides.faces() {
            crate::knife::Faces::Both => &[(0, "right "), (1, "left ")],
            crate::knife::Faces::Right => &[(0, "")],
            crate::knife::Faces::Left => &[(1, "")],
        }
    };
    for (_, name) in sides {
        columns.extend(["high", "angle"].map(|what| format!("{name}{what}")));
    }
    let rows = stations.iter().map(|s| {
        let mut cells = vec![work.bare(s.x_mm), work.bare_caliper(s.thickness_mm)];
        for (side, _) in sides {
            cells.extend(match s.sides[*side] {
                Some(side) => [
                    work.bare(side.height_mm),
                    print_angle(Angle::radians(side.angle_rad), 1),
                ],
                None => [MISSING, MISSING].map(str::to_owned),
            });
        }
        cells
    });
    Item::Table(BuildTable {
        title,
        columns,
        rows: rows.collect(),
    })
}

fn forms(work: &Work<'_>, grind: &Grind) -> String {
    let words: Vec<String> = grind
        .sides
        .cuts()
        .map(|cut| match cut.form {
            CutForm::Flat => "flat".to_owned(),
            CutForm::Hollow { wheel_radius_mm } => {
                format!("hollow on a wheel of {}", work.mm(2.0 * wheel_radius_mm))
            }
            CutForm::Convex { radius_mm } => format!("convex, radius {}", work.mm(radius_mm)),
        })
        .collect();
    words.join(" / ")
}

fn asked(work: &Work<'_>, rise: &Rise) -> String {
    let values: Vec<String> = rise
        .stations()
        .iter()
        .map(|s| match rise {
            Rise::Height(_) => format!("{} high", work.mm(s.value)),
            Rise::Angle(_) => print_angle(Angle::radians(s.value), 1),
        })
        .collect();
    values.join(", ")
}

/// A grind at a place of its run.
struct GrindStation {
    x_mm: f64,
    /// Of the bar there, tapers taken into account.
    thickness_mm: f64,
    /// On the right and on the left face.
    sides: [Option<EdgeSide>; 2],
}

/// The grind as it is when it has just been done: later ones on its run are not there yet. From the rear to the front.
fn stations(knife: &Knife, place: usize, grind: &Grind) -> Vec<GrindStation> {
    let Some(path) = knife.run_path(grind.run) else {
        return Vec::new();
    };
    let mut so_far = knife.clone();
    let mut at = 0;
    so_far.grinding.grinds.retain(|other| {
        at += 1;
        other.run != grind.run || at <= place + 1
    });
    let contour = so_far.contour();
    let index = contour.index();
    if !crate::geometry::outline_faults(&contour.pieces).is_empty() {
        return Vec::new();
    }
    let Ok(blade) = GroundBlade::new(&so_far, &contour, &index) else {
        return Vec::new();
    };
    let mut found: Vec<GrindStation> = shares(grind)
        .into_iter()
        .filter_map(|share| station(knife, &blade, &path, grind, share))
        .collect();
    found.sort_by(|a, b| a.x_mm.total_cmp(&b.x_mm));
    found
}

fn station(
    knife: &Knife,
    blade: &GroundBlade,
    path: &RunPath,
    grind: &Grind,
    share: f64,
) -> Option<GrindStation> {
    let at: Point = path.at_share(share)?.point;
    let edge = blade.edge_at(at)?;
    let on = |face: Face, side: Option<EdgeSide>| {
        let (cut, side) = grind.sides.on(face).zip(side)?;
        // Beside a plunge or a ridge less can be measured than the grind was given.
        Some(match cut.rise {
            Rise::Height(_) => EdgeSide {
                height_mm: cut.rise.value_at(share),
                ..side
            },
            Rise::Angle(_) => side,
        })
    };
    Some(GrindStation {
        x_mm: at.x,
        thickness_mm: knife.thickness_at(at.x),
        sides: [on(Face::Right, edge.right), on(Face::Left, edge.left)],
    })
}

/// Where along its run a grind is told: its own stations first, then evenly spread ones that are not beside one of them.
fn shares(grind: &Grind) -> Vec<f64> {
    let inside = |at: f64| at.clamp(INSIDE, 1.0 - INSIDE);
    let own = grind
        .sides
        .cuts()
        .filter(|cut| cut.rise.stations().len() > 1)
        .flat_map(|cut| cut.rise.stations())
        .map(|s| inside(s.at));
    let mut all: Vec<f64> = Vec::new();
    for share in own.chain(SHARES) {
        if all.iter().all(|other| (other - share).abs() > SAME_SHARE) {
            all.push(share);
        }
    }
    all
}

#[cfg(test)]
mod tests;
