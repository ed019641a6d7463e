//! The name engraved on the tang, on the Template card: its words, how high, and where.

use egui::Ui;

use super::{OnCard, caution_ui};
use crate::edit::Change;
use crate::geometry::Point;
use crate::knife::{Engraving, USUAL_LETTER_MM};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, length_field, note_ui, text_field};

/// Draws the fields of the name.
pub(super) fn engrave_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let own = on.knife.engraving.as_ref();
    let words = own.map_or("", |name| name.words.as_str());
    let field = FieldId::plain("engraved-words");
    let typed = text_field(ui, desk, field, "name to engrave on the tang", words);
    note_ui(ui, desk, &[field]);
    if let Some(words) = typed.filter(|new| !new.is_empty() && new != words) {
        let name = Engraving {
            words,
            ..own.cloned().unwrap_or(Engraving {
                words: String::new(),
                height_mm: USUAL_LETTER_MM,
                at: None,
            })
        };
        engrave(desk, on, Some(name));
    }
    let Some(name) = own else { return };
    let found = on.results.engraving.as_ref();
    let middle = on.results.engraving_held;
    place_ui(ui, desk, on, name, middle);
    if let Some(Err(reason)) = found {
        caution_ui(ui, desk, &super::sentence(&reason.to_string()));
    }
}

/// The height of the letters and the middle of the name, and the button that takes it off.
fn place_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    name: &Engraving,
    middle: Option<Point>,
) {
    let lengths = desk.session.preferences.lengths();
    let mut new = None;
    ui.columns(3, |columns| {
        let [height, x, y] = columns else { return };
        let field = FieldId::plain("engraved-height");
        if let Some(height_mm) =
            length_field(height, desk, field, "letters", name.height_mm, lengths)
        {
            new = Some(Engraving {
                height_mm,
                ..name.clone()
            });
        }
        if let Some(at) = middle {
            let field = FieldId::plain("engraved-x");
            if let Some(to) = length_field(x, desk, field, "middle x", at.x, lengths) {
                new = Some(placed(name, Point::new(to, at.y)));
            }
            let field = FieldId::plain("engraved-y");
            if let Some(to) = length_field(y, desk, field, "middle y", at.y, lengths) {
                new = Some(placed(name, Point::new(at.x, to)));
            }
        }
    });
    if ui.button("Take the engraved name off").clicked() {
        engrave(desk, on, None);
    }
    if let Some(new) = new {
        engrave(desk, on, Some(new));
    }
}

fn placed(name: &Engraving, at: Point) -> Engraving {
    Engraving {
        at: Some(at),
        ..name.clone()
    }
}

fn engrave(desk: &mut Desk<'_>, on: OnCard<'_>, name: Option<Engraving>) {
    desk.change(on.knife.id, Change::Engrave { name });
}
