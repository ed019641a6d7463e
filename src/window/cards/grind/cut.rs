//! The surface of a grind on one face: its form, and how far it rises.

use egui::Ui;

use super::words;
use crate::knife::{Cut, CutForm, Face, Grind, Id, Rise, RiseStation, USUAL_WHEEL_RADIUS_MM};
use crate::window::cards::OnCard;
use crate::window::cards::switch::{beside_fields_ui, switch_ui};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, angle_field, field_row, length_field, number_field};
use crate::window::usual_grind::{even_angle, even_height, usual_bow_mm};

/// Whose cut it is, for the names of its fields.
pub(super) struct Named<'a> {
    pub knife: Id,
    pub grind: &'a Grind,
    /// The face that is ground; the right one when both are ground alike.
    pub side: Face,
    /// `right`, `left`, or empty when there is but one.
    pub face: &'static str,
    /// Where the run begins.
    pub from: &'static str,
    /// Where it ends.
    pub to: &'static str,
}

impl Named<'_> {
    fn field(&self, name: &str, i: usize) -> FieldId {
        FieldId::of(self.knife, "cut", (self.grind.id, self.face, name, i))
    }

    fn label(&self, words: &str) -> String {
        if self.face.is_empty() {
            words.to_owned()
        } else {
            format!("{words}, {}", self.face)
        }
    }
}

/// Draws a cut and changes it as it is typed.
pub(super) fn cut_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    named: &Named<'_>,
    cut: &mut Cut,
) {
    form_ui(ui, desk, on, named, cut);
    let flat = matches!(cut.form, CutForm::Flat);
    let by_angle = matches!(cut.rise, Rise::Angle(_));
    if flat {
        let words = [(false, "By height"), (true, "By angle")];
        let chosen = switch_ui(ui, desk, "given", named.face, &words, by_angle);
        match chosen {
            Some(true) => cut.rise = even_angle(on.knife, named.grind, named.side, &cut.rise),
            Some(false) => cut.rise = even_height(on.knife, named.grind, named.side, &cut.rise),
            None => {}
        }
    }
    rise_ui(ui, desk, on, named, &mut cut.rise);
}

#[derive(Clone, Copy, PartialEq)]
enum Form {
    Flat,
    Hollow,
    Convex,
}

fn form_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, named: &Named<'_>, cut: &mut Cut) {
    let forms = [
        (Form::Flat, CutForm::Flat),
        (
            Form::Hollow,
            CutForm::Hollow {
                wheel_radius_mm: USUAL_WHEEL_RADIUS_MM,
            },
        ),
        (
            Form::Convex,
            CutForm::Convex {
                radius_mm: usual_bow_mm(on.knife, named.grind, named.side, &cut.rise),
            },
        ),
    ];
    let now = match cut.form {
        CutForm::Flat => Form::Flat,
        CutForm::Hollow { .. } => Form::Hollow,
        CutForm::Convex { .. } => Form::Convex,
    };
    let choices = forms.map(|(form, usual)| (form, words::form(usual)));
    if let Some(chosen) = switch_ui(ui, desk, "form", named.face, &choices, now) {
        if let Some((_, form)) = forms.into_iter().find(|(form, _)| *form == chosen) {
            cut.form = form;
        }
        // Only a flat can be given by its angle.
        if chosen != Form::Flat && matches!(cut.rise, Rise::Angle(_)) {
            cut.rise = even_height(on.knife, named.grind, named.side, &cut.rise);
        }
    }
    let (label, radius) = match &mut cut.form {
        CutForm::Flat => return,
        CutForm::Hollow { wheel_radius_mm } => ("wheel radius", wheel_radius_mm),
        CutForm::Convex { radius_mm } => ("bow radius", radius_mm),
    };
    let field = named.field("radius", 0);
    field_row(ui, desk, 2, &[field], |columns, desk| {
        let [a, _] = columns else { return };
        let label = named.label(label);
        if let Some(mm) = length_field(a, desk, field, &label, *radius, on.say.lengths) {
            *radius = mm;
        }
    });
}

/// One field while the rise is even, else a row for each station.
fn rise_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, named: &Named<'_>, rise: &mut Rise) {
    let by_angle = matches!(rise, Rise::Angle(_));
    let what = if by_angle {
        "angle, one side"
    } else {
        "bevel height"
    };
    let value_ui = |ui: &mut Ui, desk: &mut Desk<'_>, field, label: &str, now: f64| {
        if by_angle {
            angle_field(ui, desk, field, label, now)
        } else {
            length_field(ui, desk, field, label, now, on.say.fine)
        }
    };
    let stations = rise.stations_mut();
    if let [only] = stations.as_mut_slice() {
        let field = named.field("rise", 0);
        let mut vary = false;
        field_row(ui, desk, 2, &[field], |columns, desk| {
            let [a, b] = columns else { return };
            if let Some(value) = value_ui(a, desk, field, &named.label(what), only.value) {
                only.value = value;
            }
            vary = beside_fields_ui(b, "Vary along", &named.label("Vary along"));
        });
        if vary {
            let value = only.value;
            *stations = vec![
                RiseStation { at: 0.0, value },
                RiseStation { at: 1.0, value },
            ];
        }
        return;
    }
    let mut remove = None;
    for (i, station) in stations.iter_mut().enumerate() {
        let fields = [named.field("at", i), named.field("rise", i)];
        field_row(ui, desk, 3, &fields, |columns, desk| {
            let [a, b, c] = columns else { return };
            let label = named.label(&format!("place {}, % along", i + 1));
            if let Some(percent) = number_field(a, desk, fields[0], &label, 100.0 * station.at, 0) {
                station.at = percent / 100.0;
            }
            let label = named.label(&format!("{what} {}", i + 1));
            if let Some(value) = value_ui(b, desk, fields[1], &label, station.value) {
                station.value = value;
            }
            let name = named.label(&format!("Remove place {}", i + 1));
            if beside_fields_ui(c, "Remove", &name) {
                remove = Some(i);
            }
        });
    }
    if let Some(i) = remove {
        stations.remove(i);
    }
    let hint = format!("0 % is at the {}, 100 % at the {}", named.from, named.to);
    let more = ui.button("Add place").on_hover_text(hint);
    let more = more.accessible_name(named.label("Add place"));
    if more.clicked() {
        add_between(stations);
    }
    stations.sort_by(|a, b| a.at.total_cmp(&b.at));
}

/// One more station in the middle of the widest gap, at the value that is there.
fn add_between(stations: &mut Vec<RiseStation>) {
    let gap = stations.windows(2).enumerate().max_by(|(_, a), (_, b)| {
        let width = |pair: &[RiseStation]| match pair {
            [a, b] => b.at - a.at,
            _ => 0.0,
        };
        width(a).total_cmp(&width(b))
    });
    let Some((i, [a, b])) = gap else { return };
    let between = RiseStation {
        at: f64::midpoint(a.at, b.at),
        value: f64::midpoint(a.value, b.value),
    };
    stations.insert(i + 1, between);
}
