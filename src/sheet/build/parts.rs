//! The lists of parts: what the guard and the handle are made of, with the size and the mass of each piece.

use super::steps::{BuildTable, Item};
use super::work::Work;
use crate::knife::{CutShape, Filling, Fixing, Handle, HandlePart, PartKind, TangHole};
use crate::sheet::pilot_holes;
use crate::units::MISSING;
use crate::weighing::guard_slot;

pub(super) fn guard(work: &Work<'_>) -> Vec<Item> {
    let Some(guard) = &work.knife.guard else {
        return Vec::new();
    };
    let mut lines = vec![format!(
        "{} by {} by {} of {}",
        work.mm(guard.height_mm),
        work.mm(guard.width_mm),
        work.mm(guard.thickness_mm),
        work.material(&guard.material)
    )];
    if let Some(weighed) = &work.up.guard {
        let half = weighed.mass_band_g.half_width();
        lines.push(format!("weighs {}", work.mass(weighed.mass_g, half)));
    }
    if let Some(slot) = guard_slot(work.knife, guard, &work.steel, None) {
        lines.push(format!(
            "slot {} by {}",
            work.caliper(slot.rect.height()),
            work.caliper(slot.rect.width())
        ));
        if let Some((drill, places)) = pilot_holes(&slot) {
            lines.push(format!(
                "{} pilot holes, drill {}, then file to the line",
                places.len(),
                drill.label
            ));
        }
    }
    super::tell::items(lines)
}

pub(super) fn handle(work: &Work<'_>) -> Vec<Item> {
    let Some(handle) = &work.knife.handle else {
        return Vec::new();
    };
    let mut rows: Vec<Vec<String>> = Vec::new();
    let ends = handle.parts.iter().skip(1).map(|part| part.from_x_mm);
    let ends = ends.chain([rear(work, handle)]);
    for (place, (part, end)) in handle.parts.iter().zip(ends).enumerate() {
        rows.push(part_row(work, handle, part, place, end));
    }
    if let Some(liner) = handle.liner() {
        let (front, back) = (handle.front_x_mm(), rear(work, handle));
        rows.push(vec![
            "liner".to_owned(),
            "2".to_owned(),
            work.bare(front - back),
            high(work, handle, back, front).map_or_else(|| MISSING.to_owned(), |h| work.bare(h)),
            work.bare_caliper(liner.thickness_mm),
            work.material(&liner.material),
            mass_of(work, "liners"),
        ]);
    }
    rows.extend(through(work, handle));
    if let Some(glue) = &handle.glue {
        let mut row = vec!["glue".to_owned()];
        row.extend(["", "", ""].map(str::to_owned));
        row.extend([
            work.bare_caliper(glue.gap_mm),
            work.material(&glue.material),
            mass_of(work, "glue"),
        ]);
        rows.push(row);
    }
    let table = BuildTable {
        title: format!(
            "parts of the handle, each before it is shaped, {}",
            work.unit()
        ),
        columns: [
            "part",
            "pieces",
            "long",
            "high",
            "thick",
            "material",
            "mass, all",
        ]
        .map(str::to_owned)
        .to_vec(),
        rows,
    };
    let mut found = vec![Item::Table(table)];
    found.extend(tang_hole(work, handle).map(Item::Line));
    found
}

/// Where the handle ends, mm from the shoulder line.
fn rear(work: &Work<'_>, handle: &Handle) -> f64 {
    let own = handle.outline.as_ref().map(|o| o.contour().bounds().x0);
    own.unwrap_or_else(|| work.steel.bounds().x0)
}

/// Height of the box around the handle between two places, mm.
fn high(work: &Work<'_>, handle: &Handle, from: f64, to: f64) -> Option<f64> {
    /// Places looked at; a handle's sides are smooth.
    const STEPS: u32 = 24;
    let own = handle.outline.as_ref().map(|o| o.contour().index());
    let index = own.as_ref().unwrap_or(&work.steel);
    let sides = (0..=STEPS).filter_map(|i| {
        // A hair inside: at the very end there may be no steel to measure.
        let share = (f64::from(i) / f64::from(STEPS)).clamp(1e-3, 1.0 - 1e-3);
        index.depth_at(from + (to - from) * share)
    });
    let (low, high) = sides.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), (low, high)| {
        (a.min(low), b.max(high))
    });
    (high > low).then_some(high - low)
}

/// The greatest thickness over all of the handle between two places, mm.
fn swell(handle: &Handle, from: f64, to: f64) -> f64 {
    let own = handle.stations.iter().map(|s| s.x_mm);
    own.filter(|x| (from..=to).contains(x))
        .chain([from, to])
        .map(|x| handle.thickness_at(x))
        .fold(0.0, f64::max)
}

fn part_row(
    work: &Work<'_>,
    handle: &Handle,
    part: &HandlePart,
    place: usize,
    end: f64,
) -> Vec<String> {
    let (front, back) = (part.from_x_mm, end);
    let over_all = swell(handle, back, front);
    let (pieces, thick, name) = match (&handle.fixing, part.kind) {
        (Fixing::Scales { liner }, kind) => {
            let steel = work
                .knife
                .thickness_at(front)
                .min(work.knife.thickness_at(back));
            let liner = liner.as_ref().map_or(0.0, |liner| liner.thickness_mm);
            let name = if kind == PartKind::Grip {
                "scale"
            } else {
                kind.name()
            };
            (2, ((over_all - steel) / 2.0 - liner).max(0.0), name)
        }
        (Fixing::Block { .. }, PartKind::Grip) => (1, over_all, "block"),
        (Fixing::Block { .. }, kind) => (1, over_all, kind.name()),
    };
    let tall = high(work, handle, back, front);
    vec![
        name.to_owned(),
        pieces.to_string(),
        work.bare(front - back),
        tall.map_or_else(|| MISSING.to_owned(), |h| work.bare(h)),
        work.bare(thick),
        work.material(&part.material),
        mass_of(work, &format!("{} {}", part.kind.name(), place + 1)),
    ]
}

/// The mass of a part of the weigh-up by its name.
fn mass_of(work: &Work<'_>, name: &str) -> String {
    work.up
        .parts
        .iter()
        .find(|part| part.name == name)
        .map_or_else(
            || MISSING.to_owned(),
            |part| work.mass(part.mass_g, part.mass_band_g.half_width()),
        )
}

/// Pins and tubes, alike ones together: as long as the handle is thick where they stand.
fn through(work: &Work<'_>, handle: &Handle) -> Vec<Vec<String>> {
    let mut rows: Vec<(Vec<String>, usize)> = Vec::new();
    for (_, cut) in work.knife.all_cut_outs(&work.steel) {
        let CutShape::Round {
            center,
            diameter_mm,
        } = cut.shape
        else {
            continue;
        };
        let mut across = diameter_mm;
        let what = match &cut.filling {
            Filling::Pin { rod_mm, .. } => {
                across = rod_mm.unwrap_or(across);
                "pin".to_owned()
            }
            Filling::Tube { bore_mm, .. } => format!("tube, bore {}", work.bare(*bore_mm)),
            Filling::Epoxy { .. } | Filling::Nothing => continue,
        };
        let Some(key) = cut.filling.material() else {
            continue;
        };
        let row = vec![
            what,
            String::new(),
            work.bare(handle.thickness_at(center.x)),
            format!("{} round", work.bare_caliper(across)),
            String::new(),
            work.material(key),
            String::new(),
        ];
        match rows.iter_mut().find(|(own, _)| *own == row) {
            Some((_, count)) => *count += 1,
            None => rows.push((row, 1)),
        }
    }
    rows.into_iter()
        .map(|(mut row, count)| {
            if let Some(pieces) = row.get_mut(1) {
                *pieces = count.to_string();
            }
            row
        })
        .collect()
}

fn tang_hole(work: &Work<'_>, handle: &Handle) -> Option<String> {
    match handle.fixing {
        Fixing::Scales { .. } => None,
        Fixing::Block {
            hole: TangHole::BurntIn,
        } => Some("burn the tang in, then glue".to_owned()),
        Fixing::Block {
            hole:
                TangHole::Drilled {
                    width_mm,
                    height_mm,
                    depth_mm,
                },
        } => Some(format!(
            "hole for the tang {} by {}, {} deep",
            work.mm(width_mm),
            work.mm(height_mm),
            work.mm(depth_mm)
        )),
    }
}

#[cfg(test)]
mod tests;
