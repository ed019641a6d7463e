//! The working of every field: focus, draft, keys, and when a draft becomes an edit.

use egui::text::{CCursor, CCursorRange};
use egui::{RichText, TextEdit, Ui};

use super::{FIELD_MARGIN, FieldDrafts, FieldId, Note};
use crate::knife::LONGEST_TEXT;
use crate::window::action::Action;
use crate::window::desk::Desk;
use crate::window::hands;

/// Most characters a field takes at all: room for a long name and a slip, not for a pasted page.
const MOST_TYPED: usize = 200;

/// What a reader makes of a text: words to show beside it, if there is anything to say.
pub(super) type Judged = Result<Option<String>, String>;

/// The text so many usual steps further.
pub(super) type Step<'a> = &'a dyn Fn(&str, f64) -> Option<String>;

/// How a field reads, judges and steps its text.
pub(super) struct Reading<'a> {
    pub judge: &'a dyn Fn(&str) -> Judged,
    /// What an arrow key does: `±1`, `±10` or `±0.1` times the usual step.
    pub step: Option<Step<'a>>,
    /// Whether an empty text may be left in the field.
    pub words: bool,
}

/// How a field is named to a screen reader.
#[derive(Clone, Copy)]
pub(super) enum Name<'a> {
    /// By the label with this id.
    Label(egui::Id),
    /// By these words.
    Spoken(&'a str),
}

/// A field with its label above.
pub(super) fn core(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    printed: &str,
    reading: &Reading<'_>,
) -> Option<String> {
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        let words = RichText::new(label).small();
        let label = ui.label(words.color(desk.shown.palette.quiet));
        edit(ui, desk, field, Name::Label(label.id), printed, reading)
    })
    .inner
}

/// The text itself: focus, draft, keys.
pub(super) fn edit(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    name: Name<'_>,
    printed: &str,
    reading: &Reading<'_>,
) -> Option<String> {
    let id = field.widget();
    let mut text = match &desk.session.fields.draft {
        Some((own, draft)) if *own == field => draft.clone(),
        _ => printed.to_owned(),
    };
    let focused = ui.memory(|m| m.has_focus(id));
    let stepped = focused
        .then(|| step(ui, desk, &mut text, reading))
        .flatten();
    let wrong = desk.session.fields.note.as_ref();
    let wrong = wrong.is_some_and(|n| n.field == field && n.wrong);
    let color = if wrong {
        desk.shown.palette.stop
    } else {
        desk.shown.palette.line
    };
    let output = TextEdit::singleline(&mut text)
        .id(id)
        .desired_width(f32::INFINITY)
        .char_limit(MOST_TYPED)
        .margin(FIELD_MARGIN)
        .text_color(color)
        .show(ui);
    let response = match name {
        Name::Label(label) => output.response.response.labelled_by(label),
        Name::Spoken(words) => output.response.response.accessible_name(words),
    };
    let fields = &mut desk.session.fields;
    if fields.wanted == Some(field) {
        fields.wanted = None;
        response.request_focus();
    }
    select_all(ui, &response, fields, output.state, &text);
    if response.has_focus() {
        let judged = (reading.judge)(&text);
        if response.changed() || stepped.is_some() {
            fields.note = match &judged {
                Ok(words) => words.clone().map(|text| Note {
                    field,
                    text,
                    wrong: false,
                }),
                // Half a number is no mistake yet.
                Err(reason) => Some(Note {
                    field,
                    text: reason.clone(),
                    wrong: false,
                }),
            };
        }
        fields.draft = Some((field, text));
        return stepped.inspect(|_| fields.sent = Some(field));
    }
    let ours = fields.draft.as_ref().is_some_and(|(own, _)| *own == field);
    if !ours && !response.changed() {
        return None;
    }
    fields.draft = None;
    leave(ui, desk, field, &response, &text, printed, reading)
}

/// A field of several lines with its label above. Enter begins a new line; leaving the field makes what was typed one edit, Escape drops it.
pub(super) fn area(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    value: &str,
    rows: usize,
) -> Option<String> {
    let palette = desk.shown.palette;
    let fields = &mut desk.session.fields;
    let mut text = match &fields.draft {
        Some((own, draft)) if *own == field => draft.clone(),
        _ => value.to_owned(),
    };
    let label = ui.label(RichText::new(label).small().color(palette.quiet));
    let area = TextEdit::multiline(&mut text)
        .id(field.widget())
        .desired_width(f32::INFINITY)
        .desired_rows(rows)
        .char_limit(LONGEST_TEXT)
        .margin(FIELD_MARGIN);
    let response = ui.add(area).labelled_by(label.id);
    if fields.wanted == Some(field) {
        fields.wanted = None;
        response.request_focus();
    }
    if response.has_focus() {
        fields.draft = Some((field, text));
        return None;
    }
    let ours = fields.draft.as_ref().is_some_and(|(own, _)| *own == field);
    if !ours {
        return None;
    }
    fields.draft = None;
    let dropped = ui.input(|i| hands::DROP.pressed(i));
    (!dropped && text != value).then(|| {
        fields.sent = Some(field);
        text
    })
}

/// The draft is finished: gives it if it says something new.
fn leave(
    ui: &Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    response: &egui::Response,
    text: &str,
    printed: &str,
    reading: &Reading<'_>,
) -> Option<String> {
    let fields = &mut desk.session.fields;
    let own_note = fields.note.as_ref().is_some_and(|n| n.field == field);
    if ui.input(|i| hands::DROP.pressed(i)) || text == printed {
        if own_note {
            fields.note = None;
        }
        return None;
    }
    match (reading.judge)(text) {
        Ok(_) => {
            fields.note = None;
            fields.sent = Some(field);
            Some(text.to_owned())
        }
        Err(reason) => {
            let kept = if reading.words || ui.input(|i| hands::FINISH.pressed(i)) {
                reason
            } else {
                format!("{reason}; {printed} stays")
            };
            fields.note = Some(Note {
                field,
                text: kept,
                wrong: true,
            });
            if ui.input(|i| hands::FINISH.pressed(i)) {
                fields.draft = Some((field, text.to_owned()));
                response.request_focus();
            }
            None
        }
    }
}

/// Selects the whole text when the field takes the focus, so that typing replaces it.
fn select_all(
    ui: &Ui,
    response: &egui::Response,
    fields: &mut FieldDrafts,
    mut state: egui::text_edit::TextEditState,
    text: &str,
) {
    let pressed = ui.input(|i| i.pointer.any_down());
    if response.gained_focus() && pressed {
        fields.select_on_release = true;
        return;
    }
    let released = fields.select_on_release && !pressed && response.has_focus();
    if !released && !response.gained_focus() {
        return;
    }
    fields.select_on_release = false;
    // A pointer that was drawn across part of the text has chosen that part.
    let dragged = state.cursor.char_range().is_some_and(|r| !r.is_empty());
    if released && dragged {
        return;
    }
    let end = CCursor::new(text.chars().count());
    state
        .cursor
        .set_char_range(Some(CCursorRange::two(CCursor::new(0), end)));
    state.store(ui.ctx(), response.id);
}

/// Arrow keys step the value at once; a held key is one undo step.
fn step(ui: &Ui, desk: &mut Desk<'_>, text: &mut String, reading: &Reading<'_>) -> Option<String> {
    let further = reading.step?;
    let times = ui.input_mut(hands::arrow_steps).y;
    if times == 0.0 {
        return None;
    }
    *text = further(text, times)?;
    if !desk.session.fields.stepping {
        desk.session.fields.stepping = true;
        desk.actions.push(Action::Begin("step a size".to_owned()));
    }
    Some(text.clone())
}
