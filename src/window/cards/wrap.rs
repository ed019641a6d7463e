//! The outline's part of the Handle card: flush with the tang, or round it with so much wood on all sides.

use egui::Ui;

use super::OnCard;
use super::switch::switch_ui;
use crate::knife::{Fixing, Handle, USUAL_WRAP_MM, wrap_round};
use crate::window::action::Action;
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field};

/// How much wood the next outline that goes round a tang keeps on all sides, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WrapWish(f64);

impl Default for WrapWish {
    fn default() -> Self {
        Self(USUAL_WRAP_MM)
    }
}

/// Draws the part; whether the outline changed.
pub(super) fn wrap_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, new: &mut Handle) -> bool {
    let mut wish = None;
    if let Fixing::Scales { .. } = new.fixing {
        let words = [(false, "the tang's"), (true, "round the tang")];
        let now = new.outline.is_some();
        match switch_ui(ui, desk, "outline", "handle outline", &words, now) {
            Some(false) => {
                new.outline = None;
                return true;
            }
            Some(true) => wish = Some(desk.session.wrap.0),
            None => {}
        }
    }
    if new.outline.is_some() {
        let id = FieldId::of(on.knife.id, "handle", "wood round the tang");
        field_row(ui, desk, 2, &[id], |columns, desk| {
            let [left, right] = columns else { return };
            let now = desk.session.wrap.0;
            wish = length_field(left, desk, id, "wood round the tang", now, on.say.lengths);
            right.add_space(14.0);
            let again = right
                .button("Fit round the tang")
                .on_hover_text("Makes the outline anew, with so much wood on all sides");
            if again.clicked() {
                wish = Some(now);
            }
        });
    }
    let Some(around_mm) = wish else { return false };
    let Some(outline) = wrap_round(on.knife, around_mm) else {
        let text = "no handle goes round this tang with so much wood: give it between 0 and 60 mm, and a tang behind the shoulder line";
        desk.actions.push(Action::Say(text.to_owned()));
        return false;
    };
    desk.session.wrap = WrapWish(around_mm);
    new.outline = Some(outline);
    true
}
