//! Several things picked together: moved by typed steps.

use egui::Ui;

use super::{OnCard, order};
use crate::edit::{Change, Thing};
use crate::geometry::Vec2;
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field};

/// Draws what can be done with all that is picked.
pub(super) fn group_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, things: &[Thing]) {
    let id = on.knife.id;
    let fields = ["move along", "move up"].map(|name| FieldId::of(id, name, things));
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [left, right] = columns else { return };
        let fine = on.say.fine;
        let along = length_field(left, desk, fields[0], "move along", 0.0, fine);
        let up = length_field(right, desk, fields[1], "move up", 0.0, fine);
        let by = Vec2::new(along.unwrap_or(0.0), up.unwrap_or(0.0));
        if by != Vec2::ZERO {
            let things = things.to_vec();
            desk.change(id, Change::Shift { things, by });
        }
    });
    order::order_ui(ui, desk, on, things);
}
