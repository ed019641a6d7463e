//! One fuller on the Grind card.

use egui::Ui;

use crate::edit::Change;
use crate::knife::{Faces, Fuller};
use crate::window::cards::switch::switch_ui;
use crate::window::cards::{OnCard, hint_ui, read_out_ui};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field, text_field};

/// Draws an open fuller.
pub(super) fn body_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, fuller: &Fuller) {
    let id = on.knife.id;
    let fields = ["name", "nose", "depth"].map(|name| FieldId::of(id, "fuller", (fuller.id, name)));
    let mut new: Option<Fuller> = None;
    field_row(ui, desk, 3, &fields, |columns, desk| {
        let [a, b, c] = columns else { return };
        if let Some(name) = text_field(a, desk, fields[0], "called", &fuller.name) {
            new = Some(Fuller {
                name,
                ..fuller.clone()
            });
        }
        let now = fuller.nose_radius_mm;
        let typed = length_field(b, desk, fields[1], "nose radius", now, on.say.fine);
        if let Some(nose_radius_mm) = typed {
            new = Some(Fuller {
                nose_radius_mm,
                ..fuller.clone()
            });
        }
        let typed = length_field(c, desk, fields[2], "depth", fuller.depth_mm, on.say.fine);
        if let Some(depth_mm) = typed {
            new = Some(Fuller {
                depth_mm,
                ..fuller.clone()
            });
        }
    });
    let words = [
        (Faces::Both, "Both"),
        (Faces::Right, "Right"),
        (Faces::Left, "Left"),
    ];
    if let Some(faces) = switch_ui(ui, desk, "faces", "", &words, fuller.faces) {
        new = Some(Fuller {
            faces,
            ..fuller.clone()
        });
    }
    let width = on.say.fine(2.0 * fuller.half_width_mm());
    read_out_ui(ui, desk, "width at the face", &width);
    hint_ui(
        ui,
        desk,
        "Drag the nodes of its middle line on the drawing.",
    );
    if let Some(fuller) = new {
        desk.change(id, Change::SetFuller { fuller });
    }
    if ui.button("Remove fuller").clicked() {
        desk.change(id, Change::RemoveFuller { id: fuller.id });
        desk.session.grind_part = None;
    }
}
