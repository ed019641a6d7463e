//! Rules of the handle, the flaws and the weigh-ins.

use std::collections::BTreeSet;

use super::judge::{Judge, Keys};
use super::{LARGEST_MM, MOST_FLAWS, MOST_PARTS, MOST_STATIONS, MOST_WEIGH_INS, judge_outline};
use crate::knife::{Fixing, Flaw, Handle, Id, MOST_FLAW_POINTS, ROUNDING, TangHole, WeighIn};

/// Heaviest thing a weigh-in can tell of, g.
const HEAVIEST_G: f64 = 100_000.0;
/// Longest date, characters: a day and an hour, with room.
const LONGEST_DATE: usize = 40;

pub(super) fn judge_handle(
    judge: &mut Judge<'_>,
    handle: &Handle,
    keys: &Keys<'_>,
    ids: &mut BTreeSet<Id>,
    next_id: Id,
) {
    judge_fixing(&mut judge.at("fixing"), &handle.fixing, keys);
    match (&handle.outline, &handle.fixing) {
        (Some(outline), _) => judge_outline(&mut judge.at("outline"), outline, ids, next_id),
        (None, Fixing::Block { .. }) => judge.fault(
            "outline",
            "a block has a shape of its own; give it an outline",
        ),
        (None, Fixing::Scales { .. }) => {}
    }
    let n = handle.stations.len();
    if !(1..=MOST_STATIONS).contains(&n) {
        judge.fault(
            "stations",
            format!("{n} stations; it takes between 1 and {MOST_STATIONS}"),
        );
    } else {
        judge.each("stations", &handle.stations, |at, station| {
            at.within("x_mm", station.x_mm, -LARGEST_MM, LARGEST_MM);
            at.size("thickness_mm", station.thickness_mm);
        });
        if handle
            .stations
            .windows(2)
            .any(|p| matches!(p, [a, b] if a.x_mm >= b.x_mm))
        {
            judge.fault(
                "stations",
                "stations must rise from butt to front; sort them",
            );
        }
    }
    judge.within("rounding", handle.rounding, ROUNDING.0, ROUNDING.1);
    let n = handle.parts.len();
    if !(1..=MOST_PARTS).contains(&n) {
        judge.fault(
            "parts",
            format!("{n} parts; a handle has between 1 and {MOST_PARTS}"),
        );
    } else {
        judge.each("parts", &handle.parts, |at, part| {
            at.id(ids, part.id, next_id);
            at.within("from_x_mm", part.from_x_mm, -LARGEST_MM, 0.0);
            at.material("material", &part.material, keys);
        });
        if handle
            .parts
            .windows(2)
            .any(|p| matches!(p, [a, b] if a.from_x_mm <= b.from_x_mm))
        {
            judge.fault(
                "parts",
                "each part must begin behind the one before it; sort them from the front back",
            );
        }
    }
    if let Some(glue) = &handle.glue {
        let mut at = judge.at("glue");
        at.material("material", &glue.material, keys);
        at.within("gap_mm", glue.gap_mm, 0.0, 10.0);
    }
}

fn judge_fixing(judge: &mut Judge<'_>, fixing: &Fixing, keys: &Keys<'_>) {
    match fixing {
        Fixing::Scales { liner: Some(liner) } => {
            let mut at = judge.at("liner");
            at.material("material", &liner.material, keys);
            at.size("thickness_mm", liner.thickness_mm);
        }
        Fixing::Block {
            hole:
                TangHole::Drilled {
                    width_mm,
                    height_mm,
                    depth_mm,
                },
        } => {
            let mut at = judge.at("hole");
            at.size("width_mm", *width_mm);
            at.size("height_mm", *height_mm);
            at.size("depth_mm", *depth_mm);
        }
        Fixing::Scales { liner: None }
        | Fixing::Block {
            hole: TangHole::BurntIn,
        } => {}
    }
}

pub(super) fn judge_flaws(
    judge: &mut Judge<'_>,
    flaws: &[Flaw],
    ids: &mut BTreeSet<Id>,
    next_id: Id,
) {
    let n = flaws.len();
    if n > MOST_FLAWS {
        judge.fault(
            "flaws",
            format!("{n} flaws; at most {MOST_FLAWS} are kept, such steel is scrap"),
        );
        return;
    }
    judge.each("flaws", flaws, |at, flaw| {
        at.id(ids, flaw.id, next_id);
        at.within("reach_mm", flaw.reach_mm, 0.0, LARGEST_MM);
        if let Some(depth) = flaw.depth_mm {
            at.within("depth_mm", depth, 0.0, LARGEST_MM);
        }
        let n = flaw.line.len();
        if (1..=MOST_FLAW_POINTS).contains(&n) {
            at.each("line", &flaw.line, |at, point| at.point("at", *point));
        } else {
            at.fault(
                "line",
                format!("{n} points; it takes between 1 and {MOST_FLAW_POINTS}"),
            );
        }
    });
}

pub(super) fn judge_weigh_ins(
    judge: &mut Judge<'_>,
    weigh_ins: &[WeighIn],
    ids: &mut BTreeSet<Id>,
    next_id: Id,
) {
    let n = weigh_ins.len();
    if n > MOST_WEIGH_INS {
        judge.fault(
            "weigh_ins",
            format!("{n} weigh-ins; at most {MOST_WEIGH_INS} are kept, take old ones out"),
        );
        return;
    }
    judge.each("weigh_ins", weigh_ins, |at, weigh_in| {
        at.id(ids, weigh_in.id, next_id);
        at.within("mass_g", weigh_in.mass_g, 0.001, HEAVIEST_G);
        if let Some(x) = weigh_in.balance_mm {
            at.within("balance_mm", x, -LARGEST_MM, LARGEST_MM);
        }
        if weigh_in.date.chars().count() > LONGEST_DATE {
            at.fault(
                "date",
                format!("a date of more than {LONGEST_DATE} characters; shorten it"),
            );
        }
    });
}
