//! Opening a window without a screen and driving it by names and keys.

#![expect(
    clippy::unwrap_used,
    reason = "helpers of a test may stop it with a message"
)]

use egui::accesskit::Role;
use egui::{Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use tangwright::edit::{Edit, apply};
use tangwright::knife::{KnifeSet, Material, default_sizes, make_starter};
use tangwright::window::Workshop;

/// A set with two knives.
pub(crate) fn set() -> KnifeSet {
    let mut set = KnifeSet {
        name: "Test rack".into(),
        ..KnifeSet::default()
    };
    for key in ["hunter", "paring"] {
        let sizes = default_sizes(key).unwrap();
        let edit = Edit::AddKnife {
            knife: Box::new(make_starter(key, &sizes, "steel_80crv2").unwrap()),
            materials: vec![Material {
                key: "steel_80crv2".into(),
                name: "80CrV2".into(),
                density_g_cm3: 7.85,
                density_low: 7.8,
                density_high: 7.87,
                data_sheet: String::new(),
            }],
        };
        set = apply(&set, &edit).unwrap();
    }
    set
}

/// A window of 1280 × 720 points.
pub(crate) fn window(workshop: Workshop) -> Harness<'static, Workshop> {
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 720.0))
        .build_eframe(|_| workshop);
    harness.run();
    harness
}

/// Presses a key.
pub(crate) fn press(harness: &mut Harness<'_, Workshop>, modifiers: Modifiers, key: Key) {
    harness.key_press_modifiers(modifiers, key);
    // Work beside the window may go on for longer than the harness waits.
    harness.run_steps(4);
}

/// Opens a menu by its name and takes an entry.
pub(crate) fn choose(harness: &mut Harness<'_, Workshop>, menu: &str, entry: &str) {
    harness.get_by_role_and_label(Role::Button, menu).click();
    harness.run();
    harness.get_by_label(entry).click();
    harness.run();
}
