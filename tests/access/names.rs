//! What a screen reader is told: a name for all that can be worked, a value for all that has one.

use std::collections::BTreeSet;

use egui::accesskit::Role;
use egui_kittest::kittest::NodeT;
use tangwright::window::ThemeChoice;

use crate::screens::{each, orchard};

#[test]
fn all_that_can_be_worked_has_a_name_and_a_value() {
    let mut window = orchard(ThemeChoice::Blue);
    let mut nameless: BTreeSet<String> = BTreeSet::new();
    let mut seen = 0;
    each(&mut window, |screen, window| {
        for node in window.root().children_recursive() {
            let own = node.accesskit_node();
            let role = own.role();
            let worked = matches!(
                role,
                Role::Button
                    | Role::CheckBox
                    | Role::RadioButton
                    | Role::ComboBox
                    | Role::Slider
                    | Role::SpinButton
                    | Role::TextInput
                    | Role::Link
            );
            if !worked {
                continue;
            }
            seen += 1;
            let name = own.label().or_else(|| {
                let by = own.labelled_by();
                by.filter_map(|l| l.label().or_else(|| l.value())).next()
            });
            let place = format!("{role:?} in {screen} at {:?}", node.rect());
            if name.is_none_or(|name| name.trim().is_empty()) {
                nameless.insert(place.clone());
            }
            let told = match role {
                Role::Slider | Role::SpinButton => {
                    own.numeric_value().is_some() || own.value().is_some()
                }
                Role::CheckBox | Role::RadioButton => own.toggled().is_some(),
                Role::TextInput => own.value().is_some(),
                _ => true,
            };
            if !told {
                nameless.insert(format!("no value: {place}"));
            }
        }
    });
    assert!(seen > 1_000, "{seen} widgets");
    assert!(
        nameless.is_empty(),
        "{} without: {nameless:#?}",
        nameless.len()
    );
}
