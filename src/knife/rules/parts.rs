//! Rules of the tang, the cut-outs and the fittings.

use std::collections::BTreeSet;

use super::judge::{Judge, Keys};
use super::{LARGEST_MM, MOST_IN_ROW, judge_outline};
use crate::knife::{CutOut, CutShape, Filling, Guard, Id, Row, RowPath, Tang};

pub(super) fn judge_tang(judge: &mut Judge<'_>, tang: &Tang) {
    match tang {
        Tang::Full(t) => {
            judge.size("length_mm", t.length_mm);
            judge.size("butt_height_mm", t.butt_height_mm);
            judge.within("belly_mm", t.belly_mm, -LARGEST_MM, LARGEST_MM);
            judge.within("drop_mm", t.drop_mm, -LARGEST_MM, LARGEST_MM);
            judge.within("finger_mm", t.finger_mm, -LARGEST_MM, LARGEST_MM);
            judge.within("hook_mm", t.hook_mm, -LARGEST_MM, LARGEST_MM);
        }
        Tang::Hidden(t) | Tang::Partial(t) => {
            judge.size("length_mm", t.length_mm);
            judge.size("shoulder_width_mm", t.shoulder_width_mm);
            judge.size("end_width_mm", t.end_width_mm);
            judge.within("shoulder_radius_mm", t.shoulder_radius_mm, 0.0, LARGEST_MM);
        }
    }
}

fn judge_filling(judge: &mut Judge<'_>, filling: &Filling, hole_mm: Option<f64>, keys: &Keys<'_>) {
    if let Some(key) = filling.material() {
        judge.material("material", key, keys);
    }
    if let Filling::Pin {
        rod_mm: Some(rod_mm),
        ..
    } = filling
    {
        match hole_mm {
            Some(hole) if *rod_mm > hole => judge.fault(
                "rod_mm",
                format!("{rod_mm} does not go into a hole of {hole} mm; take a thinner rod or drill larger"),
            ),
            Some(_) => {
                judge.size("rod_mm", *rod_mm);
            }
            None => judge.fault(
                "rod_mm",
                "a rod goes through round holes only; leave its size out where the pin fills the hole",
            ),
        }
    }
    if let Filling::Tube { bore_mm, .. } = filling {
        match hole_mm {
            Some(outside) if *bore_mm == outside => judge.fault(
                "bore_mm",
                format!(
                    "{bore_mm} leaves no wall in a hole of {outside} mm; make the bore smaller"
                ),
            ),
            Some(outside) => {
                judge.within("bore_mm", *bore_mm, 0.0, outside);
            }
            None => judge.fault(
                "kind",
                "a tube fills round holes only; choose a pin or epoxy",
            ),
        }
    }
}

pub(super) fn judge_cut_out(
    judge: &mut Judge<'_>,
    cut: &CutOut,
    keys: &Keys<'_>,
    ids: &mut BTreeSet<Id>,
    next_id: Id,
) {
    let mut hole_mm = None;
    match &cut.shape {
        CutShape::Round {
            center,
            diameter_mm,
        } => {
            judge.point("center", *center);
            let sized = judge.size("diameter_mm", *diameter_mm);
            hole_mm = Some(if sized { *diameter_mm } else { LARGEST_MM });
        }
        CutShape::Slot {
            center,
            length_mm,
            width_mm,
            angle_rad,
        } => {
            judge.point("center", *center);
            judge.size("width_mm", *width_mm);
            judge.size("length_mm", *length_mm);
            if length_mm < width_mm {
                judge.fault(
                    "length_mm",
                    format!(
                        "{length_mm} is less than the width {width_mm}; lengthen it or narrow it"
                    ),
                );
            }
            judge.within("angle_rad", *angle_rad, -100.0, 100.0);
        }
        CutShape::Free { outline } => {
            judge_outline(&mut judge.at("outline"), outline, ids, next_id);
        }
    }
    judge_filling(&mut judge.at("filling"), &cut.filling, hole_mm, keys);
}

pub(super) fn judge_row(judge: &mut Judge<'_>, row: &Row, keys: &Keys<'_>) {
    match row.path {
        RowPath::Line { from, to } => {
            judge.point("from", from);
            judge.point("to", to);
        }
        RowPath::TangMiddle { from_x, to_x } => {
            judge.within("from_x", from_x, -LARGEST_MM, LARGEST_MM);
            judge.within("to_x", to_x, -LARGEST_MM, LARGEST_MM);
        }
    }
    if !(1..=MOST_IN_ROW).contains(&row.count) {
        judge.fault(
            "count",
            format!("{} holes; a row has between 1 and {MOST_IN_ROW}", row.count),
        );
    }
    let first = judge.size("first_diameter_mm", row.first_diameter_mm);
    let last = judge.size("last_diameter_mm", row.last_diameter_mm);
    let smaller = if first && last {
        row.first_diameter_mm.min(row.last_diameter_mm)
    } else {
        LARGEST_MM
    };
    judge_filling(&mut judge.at("filling"), &row.filling, Some(smaller), keys);
}

pub(super) fn judge_guard(judge: &mut Judge<'_>, guard: &Guard, keys: &Keys<'_>) {
    judge.text("name", &guard.name);
    judge.size("width_mm", guard.width_mm);
    judge.size("height_mm", guard.height_mm);
    judge.size("thickness_mm", guard.thickness_mm);
    judge.within("middle_y_mm", guard.middle_y_mm, -LARGEST_MM, LARGEST_MM);
    judge.within("corner_radius_mm", guard.corner_radius_mm, 0.0, LARGEST_MM);
    judge.within("clearance_mm", guard.clearance_mm, -1.0, 10.0);
    judge.within("slot_corner_mm", guard.slot_corner_mm, 0.0, LARGEST_MM);
    judge.material("material", &guard.material, keys);
}
