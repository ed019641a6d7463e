//! What is picked among the cut-outs: places, sizes, purpose and filling, for one, for a row, for several.

use egui::Ui;

use super::choice::{Use, use_ui};
use super::drill::hole_drills_ui;
use super::pin_fit::Taken;
use super::profile_pick::place_ui;
use super::{OnCard, group, heading_ui, order, stretch};
use crate::edit::{Change, Edit, Thing};
use crate::geometry::Point;
use crate::knife::{CutOut, CutShape, Filling, Id, MOST_IN_ROW, Purpose, Row, RowPath};
use crate::window::desk::Desk;
use crate::window::fields::{
    FieldId, angle_field, count_field, field_row, length_field, size_field,
};

/// Draws the part of the Drill card for what is picked; `false` when nothing picked is a cut-out.
pub(super) fn picked_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) -> bool {
    let cuts = |t: &Thing| {
        matches!(
            t,
            Thing::CutOut(_) | Thing::CutOutNode { .. } | Thing::Row(_) | Thing::RowEnd { .. }
        )
    };
    let things: Vec<Thing> = desk.session.picked.iter().copied().filter(cuts).collect();
    match things.as_slice() {
        [] => return false,
        [Thing::CutOut(id) | Thing::CutOutNode { cut_out: id, .. }] => {
            if let Some(cut) = on.knife.cut_out(*id) {
                cut_out_ui(ui, desk, on, cut);
                if let Some(Thing::CutOutNode { node, .. }) = things.first() {
                    stretch::cut_out_corner_ui(ui, desk, on, cut, *node);
                }
            }
        }
        [Thing::Row(id) | Thing::RowEnd { row: id, .. }] => {
            if let Some(row) = on.knife.row(*id) {
                row_ui(ui, desk, on, row);
            }
        }
        several => {
            heading_ui(ui, desk, &format!("Picked: {} cut-outs", several.len()));
            if ui.button("Remove them").clicked() {
                let things = several.to_vec();
                desk.change(on.knife.id, Change::Remove { things });
            }
            // Where nodes are picked too, the Profile card moves them all.
            if several.len() == desk.session.picked.len() {
                group::group_ui(ui, desk, on, several);
                order::step_off_ui(ui, desk, on);
            }
        }
    }
    true
}

fn cut_out_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, cut: &CutOut) {
    let name = match cut.shape {
        CutShape::Round { .. } => "hole",
        CutShape::Slot { .. } => "slot",
        CutShape::Free { .. } => "free shape",
    };
    heading_ui(ui, desk, &format!("Picked: {name} {}", cut.id));
    place_ui(ui, desk, on, Thing::CutOut(cut.id));
    shape_ui(ui, desk, on, cut);
    let size = match cut.shape {
        CutShape::Round { diameter_mm, .. } => diameter_mm,
        CutShape::Slot { width_mm, .. } => width_mm,
        CutShape::Free { .. } => 0.0,
    };
    let now = (cut.purpose, &cut.filling);
    let round = matches!(cut.shape, CutShape::Round { .. });
    if let Some(new) = filled_ui(ui, desk, on, cut.id, now, (size, round)) {
        let cut_out = CutOut {
            purpose: new.purpose,
            filling: new.filling,
            ..cut.clone()
        };
        set_with(desk, on, new.first, Change::SetCutOut { cut_out });
    }
    ui.horizontal_wrapped(|ui| {
        if ui.button(format!("Remove {name}")).clicked() {
            let things = vec![Thing::CutOut(cut.id)];
            desk.change(on.knife.id, Change::Remove { things });
        }
        stretch::clamp_ui(ui, desk, on);
    });
    order::step_off_ui(ui, desk, on);
}

/// Makes a change that may need materials first, as one step.
fn set_with(desk: &mut Desk<'_>, on: OnCard<'_>, first: Vec<Edit>, change: Change) {
    let mut edits = first;
    let label = change.label();
    edits.push(Edit::knife(on.knife.id, change));
    desk.change_together(label, edits);
}

fn shape_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, cut: &CutOut) {
    let field = |name: &str| FieldId::of(on.knife.id, name, cut.id);
    let format = on.say.fine;
    let mut new = None;
    match cut.shape {
        CutShape::Round {
            center,
            diameter_mm,
        } => {
            let id = field("diameter");
            let typed = field_row(ui, desk, 1, &[id], |columns, desk| {
                let ui = columns.first_mut()?;
                size_field(ui, desk, id, "diameter", diameter_mm, format)
            });
            let now = (cut.purpose, &cut.filling);
            let drill = hole_drills_ui(ui, desk, now, diameter_mm, on.say);
            let typed = typed.map(|mm| Taken::Drill(mm).by(diameter_mm, &cut.filling));
            new = typed.or(drill).map(|(diameter_mm, filling)| {
                let shape = CutShape::Round {
                    center,
                    diameter_mm,
                };
                (shape, filling)
            });
        }
        CutShape::Slot {
            center,
            length_mm,
            width_mm,
            angle_rad,
        } => {
            let ids = ["length", "width", "angle"].map(field);
            field_row(ui, desk, 3, &ids, |columns, desk| {
                let [a, b, c] = columns else { return };
                let (mut l, mut w, mut r) = (length_mm, width_mm, angle_rad);
                let length = size_field(a, desk, ids[0], "length", l, format).map(|mm| l = mm);
                let width = size_field(b, desk, ids[1], "width", w, format).map(|mm| w = mm);
                let angle = angle_field(c, desk, ids[2], "angle", r).map(|rad| r = rad);
                new = length.or(width).or(angle).map(|()| {
                    let shape = CutShape::Slot {
                        center,
                        length_mm: l,
                        width_mm: w,
                        angle_rad: r,
                    };
                    (shape, cut.filling.clone())
                });
            });
        }
        CutShape::Free { .. } => {}
    }
    if let Some((shape, filling)) = new {
        let cut_out = CutOut {
            shape,
            filling,
            ..cut.clone()
        };
        desk.change(on.knife.id, Change::SetCutOut { cut_out });
    }
}

/// Purpose and filling, and the bore of a tube or the rod of a pin.
fn filled_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    id: Id,
    (purpose, filling): (Purpose, &Filling),
    (size_mm, round): (f64, bool),
) -> Option<Use> {
    let field = |name: &str| FieldId::of(on.knife.id, name, id);
    let lists = ["purpose", "filling", "filled"].map(field);
    let new = use_ui(ui, desk, lists, purpose, filling, size_mm);
    let (name, now) = match filling {
        Filling::Tube { bore_mm, .. } => ("bore", *bore_mm),
        // A pin in a slot has no rod.
        Filling::Pin { .. } if !round => return new,
        Filling::Pin { rod_mm, .. } => ("rod", rod_mm.unwrap_or(size_mm)),
        Filling::Nothing | Filling::Epoxy { .. } => return new,
    };
    let id = field(name);
    let typed = field_row(ui, desk, 2, &[id], |columns, desk| {
        let ui = columns.first_mut()?;
        size_field(ui, desk, id, name, now, on.say.fine)
    });
    let mut filling = filling.clone();
    match (&mut filling, typed) {
        (Filling::Tube { bore_mm, .. }, Some(mm)) => *bore_mm = mm,
        (Filling::Pin { rod_mm, .. }, Some(mm)) => *rod_mm = Some(mm),
        _ => return new,
    }
    let first = Vec::new();
    Some(Use {
        purpose,
        filling,
        first,
    })
}

fn row_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, row: &Row) {
    heading_ui(
        ui,
        desk,
        &format!("Picked: row {} of {} holes", row.id, row.count),
    );
    let field = |name: &str| FieldId::of(on.knife.id, name, row.id);
    let ids = ["count", "first", "last"].map(field);
    let format = on.say.fine;
    field_row(ui, desk, 3, &ids, |columns, desk| {
        let [a, b, c] = columns else { return };
        let mut new = row.clone();
        let count =
            count_field(a, desk, ids[0], "holes", row.count, MOST_IN_ROW).map(|n| new.count = n);
        let first = size_field(b, desk, ids[1], "first hole", row.first_diameter_mm, format)
            .map(|mm| new.first_diameter_mm = mm);
        let last = size_field(c, desk, ids[2], "last hole", row.last_diameter_mm, format)
            .map(|mm| new.last_diameter_mm = mm);
        if count.or(first).or(last).is_some() {
            desk.change(on.knife.id, Change::SetRow { row: new });
        }
    });
    ends_ui(ui, desk, on, row);
    let size = row.first_diameter_mm.min(row.last_diameter_mm);
    let now = (row.purpose, &row.filling);
    if let Some(new) = filled_ui(ui, desk, on, row.id, now, (size, true)) {
        let row = Row {
            purpose: new.purpose,
            filling: new.filling,
            ..row.clone()
        };
        set_with(desk, on, new.first, Change::SetRow { row });
    }
    ui.horizontal(|ui| {
        if ui
            .button("Break up")
            .on_hover_text("Makes every hole one of its own")
            .clicked()
        {
            desk.change(on.knife.id, Change::BreakRow { row: row.id });
        }
        if ui.button("Remove row").clicked() {
            let things = vec![Thing::Row(row.id)];
            desk.change(on.knife.id, Change::Remove { things });
        }
    });
}

/// Where the row begins and ends.
fn ends_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, row: &Row) {
    let field = |name: &str| FieldId::of(on.knife.id, name, row.id);
    let format = on.say.fine;
    let path = match row.path {
        RowPath::TangMiddle { from_x, to_x } => {
            let ids = ["from x", "to x"].map(field);
            field_row(ui, desk, 2, &ids, |columns, desk| {
                let [a, b] = columns else { return None };
                let from = length_field(a, desk, ids[0], "from x", from_x, format);
                let to = length_field(b, desk, ids[1], "to x", to_x, format);
                from.or(to).map(|_| RowPath::TangMiddle {
                    from_x: from.unwrap_or(from_x),
                    to_x: to.unwrap_or(to_x),
                })
            })
        }
        RowPath::Line { from, to } => {
            let new_from = end_ui(ui, desk, on, row, ["from x", "from y"], from);
            let new_to = end_ui(ui, desk, on, row, ["to x", "to y"], to);
            new_from.or(new_to).map(|_| RowPath::Line {
                from: new_from.unwrap_or(from),
                to: new_to.unwrap_or(to),
            })
        }
    };
    if let Some(path) = path {
        let row = Row {
            path,
            ..row.clone()
        };
        desk.change(on.knife.id, Change::SetRow { row });
    }
}

/// The place of one end of a straight row; gives the new one when it was typed.
fn end_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    row: &Row,
    names: [&str; 2],
    at: Point,
) -> Option<Point> {
    let ids = names.map(|name| FieldId::of(on.knife.id, name, row.id));
    let [x_name, y_name] = names;
    field_row(ui, desk, 2, &ids, |columns, desk| {
        let [left, right] = columns else { return None };
        let x = length_field(left, desk, ids[0], x_name, at.x, on.say.fine);
        let y = length_field(right, desk, ids[1], y_name, at.y, on.say.fine);
        x.or(y)
            .map(|_| Point::new(x.unwrap_or(at.x), y.unwrap_or(at.y)))
    })
}
