//! Fields that take a length, an angle, a number or words: they show what was understood, and a message beside what was not.
//!
//! A field holds the printed value until it is focused; then it holds a draft. Enter, or leaving the field, makes the draft one
//! edit; Escape drops it. A draft that was not touched is never read back, so looking at a value does not round it.

mod entry;

use std::fmt::Debug;
use std::hash::Hash;

use egui::{RichText, Ui};

use crate::knife::Id;
use crate::units::{
    Angle, Lead, Length, LengthFormat, Mass, ReadError, Reckoned, print_angle, print_mass,
    print_number, read_angle, read_length, read_mass, read_number, reckon,
};

use super::action::Action;
use super::desk::Desk;
use super::hands;
use entry::{Name, Reading, core, edit};

/// One step of an arrow key in a length field, mm.
const STEP_MM: f64 = 0.1;

/// Between the edge of a field and what is in it, screen points.
pub(super) const FIELD_MARGIN: egui::Vec2 = egui::vec2(6.0, 3.0);

/// Longest name of a knife or a set, characters: more does not fit in the rack or on a template.
const LONGEST_NAME: usize = 80;

/// Names one field for as long as its knife and the thing on it live.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct FieldId(egui::Id);

impl FieldId {
    /// A field of a knife.
    #[must_use]
    pub fn new(knife: Id, name: &str) -> Self {
        Self(egui::Id::unique(("field", knife, name)))
    }

    /// A field of a thing on a knife.
    #[must_use]
    pub fn of(knife: Id, name: &str, thing: impl Hash + Debug) -> Self {
        Self(egui::Id::unique(("field", knife, name)).with(&thing))
    }

    /// A field of the window or a dialog.
    #[must_use]
    pub fn plain(name: &str) -> Self {
        Self(egui::Id::unique(("field", name)))
    }

    /// The id of its widget.
    #[must_use]
    pub fn widget(self) -> egui::Id {
        self.0
    }
}

/// A line beside a field.
#[derive(Clone, Debug, PartialEq)]
struct Note {
    field: FieldId,
    text: String,
    wrong: bool,
}

/// Texts being typed, and what there is to say about them.
#[derive(Clone, Debug, Default)]
pub struct FieldDrafts {
    /// The field with the focus and the text in it.
    draft: Option<(FieldId, String)>,
    /// What the last field touched has to say.
    note: Option<Note>,
    /// The field whose edit is on its way.
    sent: Option<FieldId>,
    /// Everything is selected once the pointer lets go.
    select_on_release: bool,
    /// An arrow key is held; its steps are one undo step.
    stepping: bool,
    /// A field that shall have the focus as soon as it is drawn.
    wanted: Option<FieldId>,
}

impl FieldDrafts {
    /// Whether something is being typed.
    #[must_use]
    pub fn typing(&self) -> bool {
        self.draft.is_some()
    }

    /// Whether this field is being typed in.
    #[must_use]
    pub fn typing_in(&self, field: FieldId) -> bool {
        self.draft.as_ref().is_some_and(|(own, _)| *own == field)
    }

    /// Gives a field the focus when it is drawn next.
    pub fn focus(&mut self, field: FieldId) {
        self.wanted = Some(field);
    }

    /// Says beside the field that sent the last edit why it was not done.
    pub(super) fn refused(&mut self, reason: &str) {
        if let Some(field) = self.sent.take() {
            self.wrong(field, reason);
        }
    }

    /// Says beside a field why what was typed in it is not taken.
    pub(super) fn wrong(&mut self, field: FieldId, reason: &str) {
        self.note = Some(Note {
            field,
            text: reason.to_owned(),
            wrong: true,
        });
    }

    /// The last edit sent was done.
    pub(super) fn accepted(&mut self) {
        self.sent = None;
    }
}

/// Ends the undo step of a held arrow key when the key is let go. Called once a frame, wherever the field has gone.
pub(super) fn end_steps(ui: &Ui, desk: &mut Desk<'_>) {
    let held = ui.input(|i| hands::ARROWS.down(i));
    if desk.session.fields.stepping && !held {
        desk.session.fields.stepping = false;
        desk.actions.push(Action::End);
    }
}

/// How a field with a unit reads and says its measure.
struct Measure<'a> {
    /// Reads one quantity.
    read: &'a dyn Fn(&str) -> Result<f64, ReadError>,
    /// What it is now, and what a sign in front of a quantity means: `+3`, `*1.1` and the like start from here.
    now: (f64, Lead),
    /// What was understood, where that is not plain from the text.
    say: &'a dyn Fn(f64) -> String,
    /// The text so many steps further.
    step: &'a dyn Fn(f64, f64) -> String,
}

/// A measure with a unit; gives the new one when it was typed and left.
fn measure_field(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    printed: &str,
    measure: &Measure<'_>,
) -> Option<f64> {
    let (now, lead) = measure.now;
    let read = |text: &str| reckon(text, now, lead, measure.read);
    let text = core(
        ui,
        desk,
        field,
        label,
        printed,
        &Reading {
            judge: &|text| {
                let Reckoned { value, by_sum } = read(text).map_err(|e| e.to_string())?;
                let understood = (measure.say)(value);
                Ok(if by_sum {
                    Some(format!("= {understood}"))
                } else {
                    converted(text, &understood)
                })
            },
            step: Some(&|text, times| {
                let now = read(text).ok()?.value;
                Some((measure.step)(now, times))
            }),
            words: false,
        },
    )?;
    Some(read(&text).ok()?.value)
}

/// A length that may lie below zero, as a place does; gives the new one, mm, when it was typed and left.
pub(super) fn length_field(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    value_mm: f64,
    format: LengthFormat,
) -> Option<f64> {
    any_length_field(ui, desk, field, label, (value_mm, Lead::Place), format)
}

/// A size, never below nothing: `-2` typed into it is two less. Gives the new one, mm, when it was typed and left.
pub(super) fn size_field(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    value_mm: f64,
    format: LengthFormat,
) -> Option<f64> {
    any_length_field(ui, desk, field, label, (value_mm, Lead::Size), format)
}

/// A place along the knife that is told with its sign everywhere: `+12` is a place, not twelve more. Gives the new one, mm, when it was typed
/// and left.
pub(super) fn signed_field(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    value_mm: f64,
    format: LengthFormat,
) -> Option<f64> {
    any_length_field(ui, desk, field, label, (value_mm, Lead::Signed), format)
}

fn any_length_field(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    (value_mm, lead): (f64, Lead),
    format: LengthFormat,
) -> Option<f64> {
    let fine = LengthFormat {
        decimals: format.decimals.max(2),
        ..format
    };
    // What was typed in another unit is said to the last digit that tells it from its neighbors.
    let finest = LengthFormat {
        decimals: fine.decimals + 1,
        ..format
    };
    measure_field(
        ui,
        desk,
        field,
        label,
        &format.print(Length::mm(value_mm)),
        &Measure {
            read: &|text| read_length(text, format.unit).map(Length::to_mm),
            now: (value_mm, lead),
            say: &|mm| finest.print(Length::mm(mm)),
            step: &|mm, times| fine.print(Length::mm(mm + times * STEP_MM)),
        },
    )
}

/// An angle; gives the new one, radians, when it was typed and left.
pub(super) fn angle_field(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    value_rad: f64,
) -> Option<f64> {
    let print = |angle: Angle| print_angle(angle, 1);
    measure_field(
        ui,
        desk,
        field,
        label,
        &print(Angle::radians(value_rad)),
        &Measure {
            read: &|text| read_angle(text).map(Angle::to_radians),
            now: (value_rad, Lead::Place),
            say: &|rad| print(Angle::radians(rad)),
            step: &|rad, times| print(Angle::degrees(rad.to_degrees() + times)),
        },
    )
}

/// A mass; gives the new one, g, when it was typed and left.
pub(super) fn mass_field(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    value_g: f64,
) -> Option<f64> {
    let unit = desk.session.preferences.mass_unit;
    let print = |g: f64| print_mass(Mass::g(g), unit, 1);
    measure_field(
        ui,
        desk,
        field,
        label,
        &print(value_g),
        &Measure {
            read: &|text| read_mass(text, unit).map(Mass::to_g),
            now: (value_g, Lead::Size),
            say: &print,
            step: &|g, times| print(g + times),
        },
    )
}

/// A plain number, such as a density; gives the new one when it was typed and left.
pub(super) fn number_field(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    value: f64,
    decimals: u8,
) -> Option<f64> {
    let printed = print_number(value, decimals);
    let read = |text: &str| reckon(text, value, Lead::Size, &read_number);
    let text = core(
        ui,
        desk,
        field,
        label,
        &printed,
        &Reading {
            judge: &|text| {
                let Reckoned { value, by_sum } = read(text).map_err(|e| e.to_string())?;
                Ok(by_sum.then(|| format!("= {}", print_number(value, decimals))))
            },
            step: None,
            words: false,
        },
    )?;
    Some(read(&text).ok()?.value)
}

/// A count from 1 to `most`; gives the new one when it was typed and left.
pub(super) fn count_field(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    value: u32,
    most: u32,
) -> Option<u32> {
    let read = |text: &str| {
        let given = text.trim().parse::<u32>().ok();
        given.filter(|n| (1..=most).contains(n))
    };
    let text = core(
        ui,
        desk,
        field,
        label,
        &value.to_string(),
        &Reading {
            judge: &|text| match read(text) {
                Some(_) => Ok(None),
                None => Err(format!("give a whole number from 1 to {most}")),
            },
            step: Some(&|text, times| {
                let step = if times > 0.0 { 1 } else { -1 };
                let next = text.trim().parse::<u32>().ok()?.checked_add_signed(step)?;
                (1..=most).contains(&next).then(|| next.to_string())
            }),
            words: false,
        },
    )?;
    read(&text)
}

/// Words; gives the new ones when they were typed and left. Empty words are not taken.
pub(super) fn text_field(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    value: &str,
) -> Option<String> {
    let text = core(ui, desk, field, label, value, &words())?;
    Some(text.trim().to_owned())
}

/// Words in a place too tight for a label; only a screen reader says it.
pub(super) fn spoken_text_field(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    value: &str,
) -> Option<String> {
    let text = edit(ui, desk, field, Name::Spoken(label), value, &words())?;
    Some(text.trim().to_owned())
}

/// Words of several lines; gives the new ones when they were typed and left. They may be empty.
pub(super) fn words_area(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    value: &str,
    rows: usize,
) -> Option<String> {
    entry::area(ui, desk, field, label, value, rows)
}

/// How names are read.
fn words() -> Reading<'static> {
    Reading {
        judge: &|text| {
            if text.trim().is_empty() {
                Err("give it a name".to_owned())
            } else if text.chars().count() > LONGEST_NAME {
                Err(format!("keep it within {LONGEST_NAME} characters"))
            } else {
                Ok(None)
            }
        },
        step: None,
        words: true,
    }
}

/// `= 3.18 mm` when the text was not simply a number.
fn converted(text: &str, understood: &str) -> Option<String> {
    let plain = text
        .trim()
        .chars()
        .all(|c| c.is_ascii_digit() || ".,+-\u{2212}".contains(c));
    (!plain && text.trim() != understood).then(|| format!("= {understood}"))
}

/// A row of fields side by side, and beneath it what one of them has to say.
pub(super) fn field_row<R>(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    n_columns: usize,
    fields: &[FieldId],
    add: impl FnOnce(&mut [Ui], &mut Desk<'_>) -> R,
) -> R {
    let inner = ui.columns(n_columns, |columns| add(columns, desk));
    note_ui(ui, desk, fields);
    inner
}

/// What one of these fields has to say.
pub(super) fn note_ui(ui: &mut Ui, desk: &Desk<'_>, fields: &[FieldId]) {
    if let Some(note) = &desk.session.fields.note
        && fields.contains(&note.field)
    {
        let palette = desk.shown.palette;
        let color = if note.wrong {
            palette.stop
        } else {
            palette.guide
        };
        ui.label(RichText::new(&note.text).small().color(color));
    }
}

#[cfg(test)]
mod tests {
    use super::converted;

    #[test]
    fn only_what_was_put_in_other_words_is_said_again() {
        assert_eq!(converted("1/8\"", "3.18 mm"), Some("= 3.18 mm".to_owned()));
        assert_eq!(converted("5", "5.00 mm"), None);
        assert_eq!(converted("\u{2212}5.2", "\u{2212}5.20 mm"), None);
        assert_eq!(converted("5.00 mm", "5.00 mm"), None);
    }
}
