//! The rules of the service work goes to, each to be changed; those of a way of cutting become the maker's own by the first change.

use egui::{Context, RichText, Ui};

use super::sheet::{Foot, FootButton, Sheet, Turn, acting_ui};
use crate::catalog::{Service, ServiceError, ServiceField, usual_service};
use crate::units::print_number;
use crate::window::action::Action;
use crate::window::cards::as_own;
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, length_field, note_ui, number_field, text_field};
use crate::window::session::Session;
use crate::window::shown::Shown;

/// The rules two by two, by their keys: what belongs together stands side by side, fields beside fields and words beside words.
const ROWS: [[&str; 2]; 10] = [
    ["process", "unit"],
    ["hole-times", "hole"],
    ["web-times", "web"],
    ["inside-radius", "kerf"],
    ["heat-edge", "left-on"],
    ["holes-under", "join"],
    ["tabs", "tab"],
    ["part", "layers"],
    ["marks-small", "draws-kerf"],
    ["dxf", "curves"],
];
/// Decimals of a share.
const DECIMALS: u8 = 2;

/// Draws the dialog. Rules act as soon as they are typed; closing changes nothing.
pub(super) fn service_ui(
    ctx: &Context,
    shown: &Shown<'_>,
    session: &mut Session,
    fresh: bool,
    actions: &mut Vec<Action>,
) -> Turn {
    let Some(service) = chosen(shown, session) else {
        return Turn::Done;
    };
    let sheet = Sheet {
        heading: "Rules of the service",
        width: 560.0,
        fresh,
        focus_default: true,
    };
    let own = is_own(session, &service);
    let forget = FootButton {
        label: "Forget it",
        enabled: own,
    };
    let on = (shown, &mut *session, actions);
    let foot = acting_ui(ctx, on, sheet, forget, |ui, desk| {
        body_ui(ui, desk, &service, own);
    });
    match foot {
        Foot::Nothing => Turn::Stay,
        Foot::Button(1) => {
            session.preferences.services.remove(&service.name);
            Turn::Stay
        }
        Foot::Button(_) | Foot::Escape => Turn::Done,
    }
}

/// The service that is spoken of, as the preferences have it in this very frame.
fn chosen(shown: &Shown<'_>, session: &Session) -> Option<Service> {
    let services = &session.preferences.services;
    services.chosen().or_else(|| shown.results.service())
}

fn is_own(session: &Session, service: &Service) -> bool {
    let own = &session.preferences.services.own;
    own.iter().any(|s| s.name == service.name)
}

fn body_ui(ui: &mut Ui, desk: &mut Desk<'_>, service: &Service, own: bool) {
    let palette = desk.shown.palette;
    let told = if own {
        "Ask your service and type what it answers; files are written and checked by these rules."
    } else {
        "These are general figures. Change one, and it becomes a service of your own."
    };
    ui.label(RichText::new(told).color(palette.quiet));
    if own {
        let field = FieldId::plain("service-name");
        if let Some(name) = text_field(ui, desk, field, "name", &service.name) {
            rename(desk, service, &name);
        }
        note_ui(ui, desk, &[field]);
    } else {
        ui.label(RichText::new(&service.name).strong().color(palette.line));
    }
    ui.add_space(4.0);
    for row in ROWS {
        ui.columns(2, |columns| {
            for (ui, key) in columns.iter_mut().zip(row) {
                if let Some(field) = ServiceField::ALL.iter().find(|f| f.key == key) {
                    field_ui(ui, desk, service, *field);
                }
            }
        });
    }
}

fn field_ui(ui: &mut Ui, desk: &mut Desk<'_>, service: &Service, field: ServiceField) {
    let id = FieldId::plain(field.key);
    let now = field.value(service);
    let given = if field.choices().is_empty() {
        typed_ui(ui, desk, service, field)
    } else {
        let quiet = desk.shown.palette.quiet;
        ui.label(RichText::new(field.name).small().color(quiet));
        let mut given = None;
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            for word in field.choices() {
                let spoken = format!("{word}, {}", field.name);
                let button = ui.add(egui::Button::selectable(*word == now, *word));
                if button.accessible_name(spoken).clicked() && *word != now {
                    given = Some((*word).to_owned());
                }
            }
        });
        given
    };
    if let Some(hint) = field.hint() {
        let quiet = desk.shown.palette.quiet;
        // Not spread over the width, as columns would have it.
        ui.vertical(|ui| ui.label(RichText::new(hint).small().color(quiet)));
    }
    note_ui(ui, desk, &[id]);
    if let Some(value) = given {
        match field.set(service, &value) {
            Ok(changed) => keep(desk, service, changed),
            Err(reason) => wrong(desk, id, &reason),
        }
    }
}

/// A number or a name; gives it as it is typed into the rules.
fn typed_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    service: &Service,
    field: ServiceField,
) -> Option<String> {
    let id = FieldId::plain(field.key);
    match field.number(service) {
        Some(value) if field.is_count() => {
            number_field(ui, desk, id, field.name, value, 0).map(|n| print_number(n, 0))
        }
        Some(value) if field.is_times() => number_field(ui, desk, id, field.name, value, DECIMALS)
            .map(|n| print_number(n, 6).replace('−', "-")),
        Some(value) => {
            let lengths = desk.session.preferences.caliper_lengths();
            length_field(ui, desk, id, field.name, value, lengths).map(|mm| mm.to_string())
        }
        None => text_field(ui, desk, id, field.name, &field.value(service)),
    }
}

/// Keeps a service with a changed rule, and goes by it.
fn keep(desk: &mut Desk<'_>, before: &Service, changed: Service) {
    let services = &mut desk.session.preferences.services;
    let named = as_own(services, before).name;
    let own = Service {
        name: named,
        ..changed
    };
    services.chosen.clone_from(&own.name);
    if let Err(reason) = services.put(own) {
        services.chosen.clone_from(&before.name);
        desk.session.message = Some(reason.to_string());
    }
}

fn rename(desk: &mut Desk<'_>, service: &Service, name: &str) {
    let field = FieldId::plain("service-name");
    if name == service.name {
        return;
    }
    if let Err(reason) = Service::judge_name(name) {
        wrong(desk, field, &reason);
        return;
    }
    let services = &mut desk.session.preferences.services;
    let taken = services.own.iter().any(|s| s.name == name) || usual_service(name).is_some();
    if taken {
        let reason = format!("there is a service '{name}' already: give this one another name");
        desk.session.fields.wrong(field, &reason);
        return;
    }
    if let Some(own) = services.own.iter_mut().find(|s| s.name == service.name) {
        name.clone_into(&mut own.name);
        name.clone_into(&mut services.chosen);
    }
}

fn wrong(desk: &mut Desk<'_>, field: FieldId, reason: &ServiceError) {
    desk.session.fields.wrong(field, &reason.to_string());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_stands_in_the_dialog_once() {
        let mut shown = ROWS.concat();
        let mut all = ServiceField::ALL.map(|field| field.key);
        shown.sort_unstable();
        all.sort_unstable();
        assert_eq!(shown, all);
    }
}
