//! The screens of the window, each as a maker comes to it: cards, pages, menus, dialogs.

#![expect(clippy::unwrap_used, reason = "helpers of a test may stop it")]

use std::path::Path;

use egui::accesskit::Role;
use egui::{Key, Modifiers, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use tangwright::edit::Thing;
use tangwright::files::open_design;
use tangwright::window::{Action, BenchPage, Command, GrindPart, ThemeChoice, Workshop};

pub(crate) type Window = Harness<'static, Workshop>;

/// A window on the orchard set, tall enough for every card to be read without scrolling.
pub(crate) fn orchard(theme: ThemeChoice) -> Window {
    orchard_in(vec2(1440.0, 2400.0), 1.0, theme)
}

/// A window on the orchard set of so many points, on a screen of so many pixels to a point.
pub(crate) fn orchard_in(size: Vec2, pixels_per_point: f32, theme: ThemeChoice) -> Window {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/orchard-set.tangwright");
    let (set, _) = open_design(&path).unwrap();
    let mut workshop = Workshop::new(set);
    workshop.session_mut().preferences.theme = theme;
    let mut window = Harness::builder()
        .with_size(size)
        .with_pixels_per_point(pixels_per_point)
        .with_max_steps(60)
        .build_eframe(|_| workshop);
    window.run_steps(6);
    window
}

/// Visits every screen of a window, by its name.
pub(crate) fn each(window: &mut Window, mut visit: impl FnMut(&str, &mut Window)) {
    visit_knives(window, &mut visit);
    visit_picks(window, &mut visit);
    for page in BenchPage::ALL {
        act(window, Action::ShowPage(page));
        visit(page.name(), window);
    }
    act(window, Action::ShowPage(BenchPage::Drawing));
    for menu in ["File", "Edit", "Bench", "Help"] {
        window.get_by_role_and_label(Role::Button, menu).click();
        window.run_steps(4);
        visit(menu, window);
        window.key_press(Key::Escape);
        window.run_steps(4);
    }
    each_dialog(window, visit);
}

/// Visits every dialog that a command opens.
pub(crate) fn each_dialog(window: &mut Window, mut visit: impl FnMut(&str, &mut Window)) {
    for command in [
        Command::NewKnife,
        Command::OpenByPath,
        Command::SaveByPath,
        Command::Calibrate,
        Command::Printer,
        Command::Figures,
        Command::Keys,
        Command::Cautions,
        Command::About,
    ] {
        act(window, Action::Do(command));
        visit(command.name(), window);
        window.key_press(Key::Escape);
        window.run_steps(4);
        assert!(!window.state().session().dialog_open(), "{command:?}");
    }
}

fn visit_knives(window: &mut Window, visit: &mut impl FnMut(&str, &mut Window)) {
    // The Handle card is shut at first.
    window.get_by_label("Handle card").click();
    window.run_steps(6);
    let ids: Vec<_> = knives(window);
    for (id, name) in ids {
        act(window, Action::ShowKnife(id));
        visit(&name, window);
    }
}

fn knives(window: &Window) -> Vec<(u32, String)> {
    let set = window.state().history().set();
    set.knives.iter().map(|k| (k.id, k.name.clone())).collect()
}

/// With things picked, and with the parts of the Grind card open.
fn visit_picks(window: &mut Window, visit: &mut impl FnMut(&str, &mut Window)) {
    for (id, name) in knives(window) {
        act(window, Action::ShowKnife(id));
        let set = window.state().history().set();
        let knife = set.knife(id).unwrap().clone();
        let mut things = vec![Thing::Node(knife.outline.nodes[1].id)];
        things.extend(knife.cut_outs.first().map(|c| Thing::CutOut(c.id)));
        things.extend(knife.rows.first().map(|r| Thing::Row(r.id)));
        things.extend(knife.landmarks.first().map(|l| Thing::Landmark(l.kind)));
        for thing in things {
            act(window, Action::Pick(vec![thing]));
            visit(&format!("{name}, {thing:?}"), window);
        }
        act(window, Action::Pick(Vec::new()));
        let grind = knife
            .grinding
            .grinds
            .first()
            .map(|g| GrindPart::Grind(g.id));
        if let Some(part) = grind {
            window.state_mut().session_mut().grind_part = Some(part);
            window.run_steps(6);
            visit(&format!("{name}, a grind"), window);
        }
    }
}

pub(crate) fn act(window: &mut Window, action: Action) {
    window.state_mut().ask(action);
    // Results are worked out beside the window, and cards open over some frames.
    for _ in 0..3 {
        window.run_steps(4);
    }
}

/// Presses a key a number of frames long enough to be seen.
pub(crate) fn press(window: &mut Window, key: Key) {
    window.key_press_modifiers(Modifiers::NONE, key);
    window.run_steps(2);
}
