//! The drawing with one knife on it, driven without a screen: pointer, keys, and fields by their labels.

#![expect(
    clippy::expect_used,
    reason = "helpers of a test may stop it with a message"
)]

use std::sync::Arc;

use egui::{Event, Key, Modifiers, PointerButton, Pos2};
use egui_kittest::{Harness, kittest::Queryable};
use tangwright::geometry::Point;
use tangwright::knife::{Knife, KnifeSet, Material, default_sizes, make_starter};
use tangwright::window::{Tool, Workshop};

/// A set of one brush chopper.
pub(crate) fn set() -> KnifeSet {
    let sizes = default_sizes("chopper").expect("the form exists");
    let mut knife = make_starter("chopper", &sizes, "steel").expect("the sizes fit");
    knife.id = 1;
    KnifeSet {
        name: "test bench".into(),
        knives: vec![Arc::new(knife)],
        materials: vec![Material {
            key: "steel".into(),
            name: "steel".into(),
            density_g_cm3: 7.85,
            density_low: 7.8,
            density_high: 7.9,
            data_sheet: String::new(),
        }],
        next_id: 2,
    }
}

/// The window with the set on the bench.
pub(crate) struct Bench<'a>(pub(crate) Harness<'a, Workshop>);

impl Bench<'_> {
    pub(crate) fn new() -> Self {
        Self::of(set())
    }

    pub(crate) fn of(set: KnifeSet) -> Self {
        let harness = Harness::builder()
            .with_size(egui::vec2(1440.0, 900.0))
            .with_max_steps(60)
            .build_eframe(|_| Workshop::new(set));
        let mut bench = Self(harness);
        // The first frame lays the drawing out, the next ones fit the knife into it.
        bench.0.run_steps(3);
        bench
    }

    pub(crate) fn knife(&self) -> Arc<Knife> {
        Arc::clone(&self.0.state().history().set().knives[0])
    }

    pub(crate) fn set(&self) -> KnifeSet {
        self.0.state().history().set().clone()
    }

    pub(crate) fn pos(&self, p: Point) -> Pos2 {
        let session = self.0.state().session();
        let canvas = session.canvas.expect("the drawing was laid out");
        session.view().screen_from_model(canvas, p)
    }

    pub(crate) fn take(&mut self, tool: Tool) {
        self.0.get_by_label(tool.name()).click();
        self.0.run_steps(2);
        assert_eq!(self.0.state().session().tool, tool);
    }

    pub(crate) fn button(&mut self, pos: Pos2, pressed: bool, modifiers: Modifiers) {
        self.0.event(Event::PointerButton {
            pos,
            button: PointerButton::Primary,
            pressed,
            modifiers,
        });
    }

    pub(crate) fn move_to(&mut self, pos: Pos2) {
        self.0.event(Event::PointerMoved(pos));
        self.0.run_steps(1);
    }

    pub(crate) fn drag(&mut self, from: Pos2, to: Pos2) {
        self.hold(from, to);
        self.button(to, false, Modifiers::NONE);
        self.0.run_steps(2);
    }

    /// Presses, moves in steps, and does not let go.
    pub(crate) fn hold(&mut self, from: Pos2, to: Pos2) {
        self.move_to(from);
        self.button(from, true, Modifiers::NONE);
        self.0.run_steps(1);
        for i in 1..=6u8 {
            self.move_to(from.lerp(to, f32::from(i) / 6.0));
        }
        self.0.run_steps(1);
    }

    pub(crate) fn click(&mut self, pos: Pos2) {
        self.move_to(pos);
        self.button(pos, true, Modifiers::NONE);
        self.0.run_steps(1);
        self.button(pos, false, Modifiers::NONE);
        self.0.run_steps(2);
    }

    pub(crate) fn key(&mut self, key: Key, modifiers: Modifiers) {
        self.0.key_down_modifiers(modifiers, key);
        self.0.run_steps(1);
        self.0.key_up_modifiers(modifiers, key);
        self.0.run_steps(2);
    }

    pub(crate) fn snaps_off(&mut self) {
        let snaps = &mut self.0.state_mut().session_mut().preferences.snaps;
        snaps.grid = false;
        snaps.nodes = false;
        snaps.level = false;
        snaps.middle_line = false;
        snaps.spacing = false;
    }

    pub(crate) fn mass(&self) -> f64 {
        let id = self.knife().id;
        let results = self.0.state().results().of(id).expect("it was weighed");
        results.weighed.up.total.expect("it can be weighed").mass_g
    }

    /// Types into a field and leaves it with Enter.
    pub(crate) fn enter(&mut self, label: &str, text: &str) {
        self.write(label, text);
        self.key(Key::Enter, Modifiers::NONE);
    }

    /// Types into a field.
    pub(crate) fn write(&mut self, label: &str, text: &str) {
        self.0.get_by_label(label).focus();
        self.0.run_steps(2);
        self.0.get_by_label(label).type_text(text);
        self.0.run_steps(2);
    }

    /// Presses a button of that name.
    pub(crate) fn push(&mut self, label: &str) {
        self.0.get_by_label(label).click();
        self.0.run_steps(4);
    }

    /// What stands in the line below the drawing.
    pub(crate) fn message(&self) -> String {
        let message = &self.0.state().session().message;
        message.clone().unwrap_or_default()
    }

    pub(crate) fn says(&self, words: &str) -> bool {
        self.0.query_all_by_label_contains(words).next().is_some()
    }

    pub(crate) fn undo(&mut self) {
        self.0.state_mut().ask(tangwright::window::Action::Undo);
        self.0.run_steps(2);
    }

    pub(crate) fn steps(&self) -> usize {
        self.0.state().history().undo_depth()
    }
}
