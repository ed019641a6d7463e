//! Reduced motion: asked for, kept over a restart, and what it does to menus and dialogs.

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use tangwright::files::{Folders, Settings};
use tangwright::window::{Action, Command, StartOptions, Workshop};

use crate::common::{press, set, window};

#[test]
fn motion_is_reduced_when_asked_and_comes_back() {
    let mut harness = window(Workshop::new(set()));
    let time = |harness: &Harness<'_, Workshop>| {
        let style = harness.ctx.style_of(egui::Theme::Dark);
        style.animation_time
    };
    let ask = |harness: &mut Harness<'_, Workshop>| {
        harness.state_mut().ask(Action::Do(Command::Still));
        harness.run_steps(4);
    };
    ask(&mut harness);
    assert!(harness.state().session().preferences.still);
    assert_eq!(time(&harness), 0.0);
    let style = harness.ctx.style_of(egui::Theme::Light);
    assert_eq!(style.scroll_animation, egui::style::ScrollAnimation::none());
    ask(&mut harness);
    assert!(time(&harness) > 0.0);
}

/// A window over a folder, in frames as short as a screen's.
fn started(home: &std::path::Path) -> Harness<'static, Workshop> {
    let workshop = Workshop::start(StartOptions {
        file: None,
        folders: Some(Folders::under(home)),
        native_dialogs: false,
        set: Some(set()),
    });
    let mut harness = Harness::builder()
        .with_size(egui::vec2(1280.0, 720.0))
        .with_step_dt(1.0 / 60.0)
        .build_eframe(|_| workshop);
    harness.run_steps(4);
    harness
}

#[test]
fn a_restart_keeps_motion_reduced_and_brings_it_back() {
    let home = tempfile::tempdir().expect("a folder");
    for still in [true, false] {
        let mut harness = started(home.path());
        assert_eq!(harness.state().session().preferences.still, !still);
        harness.state_mut().ask(Action::Do(Command::Still));
        harness.run_steps(4);
        assert_eq!(harness.state().session().preferences.still, still);
        harness.state_mut().end_session();
        drop(harness);
        let again = started(home.path());
        assert_eq!(again.state().session().preferences.still, still);
        // A window without a screen has no motion until it is given one.
        let style = again.ctx.style_of(egui::Theme::Dark);
        assert!(!still || style.scroll_animation == egui::style::ScrollAnimation::none());
        let kept = Settings::load(&Folders::under(home.path())).settings;
        assert_eq!(kept.reduced_motion, still);
    }
}

/// A word as it is painted: where, and how strongly, which its spare color tells as well as its own.
#[derive(Clone, Debug)]
struct Painted {
    word: String,
    at: egui::Pos2,
    color: egui::Color32,
}

impl Painted {
    /// Whether it is painted the same. A dialog's height is rounded once more when it has been measured: a point up or down is no motion.
    fn is_like(&self, other: &Self) -> bool {
        let near = self.at.distance(other.at) <= 1.5;
        self.word == other.word && self.color == other.color && near
    }
}

/// All words of the last frame.
fn words_painted(harness: &Harness<'_, Workshop>) -> Vec<Painted> {
    fn gather(shape: &egui::Shape, words: &mut Vec<Painted>) {
        match shape {
            egui::Shape::Text(text) => words.push(Painted {
                word: text.galley.text().to_owned(),
                at: text.pos,
                color: text.fallback_color,
            }),
            egui::Shape::Vec(inner) => inner.iter().for_each(|shape| gather(shape, words)),
            _ => {}
        }
    }
    let mut words = Vec::new();
    for clipped in &harness.output().shapes {
        gather(&clipped.shape, &mut words);
    }
    words
}

/// Of the frame in which a word is there for the first time, the words that are painted another way, or not at all, when all motion is over.
fn still_coming(harness: &mut Harness<'_, Workshop>, word: &str) -> Vec<Painted> {
    let there = |harness: &Harness<'_, Workshop>| {
        let nodes = harness.query_all_by_label_contains(word);
        nodes.count() > 0
    };
    let mut frames = 0;
    while !there(harness) {
        harness.step();
        frames += 1;
        assert!(frames < 6, "{word} does not come");
    }
    let first = words_painted(harness);
    harness.run_steps(12);
    assert!(there(harness), "{word} is gone again");
    let last = words_painted(harness);
    let unlike = |own: &[Painted], other: &[Painted]| -> Vec<Painted> {
        let missing = |word: &&Painted| !other.iter().any(|there| there.is_like(word));
        own.iter().filter(missing).cloned().collect()
    };
    let mut coming = unlike(&first, &last);
    coming.extend(unlike(&last, &first));
    coming
}

/// A menu and a dialog fade in over some frames; with motion reduced all their words are in their places at once, in full color. (Cards have no motion.)
#[test]
fn with_motion_reduced_menus_and_dialogs_are_whole_in_their_first_frame() {
    let home = tempfile::tempdir().expect("a folder");
    for still in [false, true] {
        let harness = &mut started(home.path());
        // A window without a screen has no motion until it is given one.
        let usual = egui::Style::default().animation_time;
        harness
            .ctx
            .all_styles_mut(|style| style.animation_time = usual);
        if still {
            harness.state_mut().ask(Action::Do(Command::Still));
            harness.run_steps(4);
        }
        harness.get_by_role_and_label(Role::Button, "Bench").click();
        let menu = still_coming(harness, "Shop figures…");
        press(harness, Modifiers::NONE, Key::Escape);
        harness.state_mut().ask(Action::Do(Command::Figures));
        let dialog = still_coming(harness, "The checks go by these figures");
        for coming in [menu, dialog] {
            assert_eq!(coming.is_empty(), still, "{coming:?}");
        }
    }
}
