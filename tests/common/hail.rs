//! A window under a hail of random hands: keys, clicks, drags, typed words, commands; and what must hold whatever they do.

#![expect(
    clippy::unwrap_used,
    reason = "helpers of a test may stop it with a message"
)]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::accesskit::Role;
use egui::{Event, Key, Modifiers, PointerButton, Pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use tangwright::checks::{Finding, Thresholds, check};
use tangwright::files::{Folders, Over, save_design};
use tangwright::knife::{Id, Knife, KnifeSet, LaidPicture, Material, orchard_set, set_faults};
use tangwright::weighing::{WeighUp, weigh};
use tangwright::window::{Action, Command, Dialog, StartOptions, Workshop};

/// Size of the window, points.
const SIZE: (f32, f32) = (1280.0, 720.0);

/// Keys hands may hit: all that a command has, and all letters, digits and function keys.
const KEYS: [Key; 67] = [
    Key::Escape,
    Key::Enter,
    Key::Tab,
    Key::Space,
    Key::Delete,
    Key::Backspace,
    Key::ArrowUp,
    Key::ArrowDown,
    Key::ArrowLeft,
    Key::ArrowRight,
    Key::Home,
    Key::End,
    Key::PageUp,
    Key::PageDown,
    Key::Plus,
    Key::Minus,
    Key::Equals,
    Key::Comma,
    Key::Period,
    Key::Num0,
    Key::Num1,
    Key::Num2,
    Key::Num3,
    Key::Num4,
    Key::Num5,
    Key::Num6,
    Key::Num7,
    Key::Num8,
    Key::Num9,
    Key::F1,
    Key::F2,
    Key::F3,
    Key::F4,
    Key::F5,
    Key::F6,
    Key::F7,
    Key::F8,
    Key::F9,
    Key::F10,
    Key::F11,
    Key::F12,
    Key::A,
    Key::B,
    Key::C,
    Key::D,
    Key::E,
    Key::F,
    Key::G,
    Key::H,
    Key::I,
    Key::J,
    Key::K,
    Key::L,
    Key::M,
    Key::N,
    Key::O,
    Key::P,
    Key::Q,
    Key::R,
    Key::S,
    Key::T,
    Key::U,
    Key::V,
    Key::W,
    Key::X,
    Key::Y,
    Key::Z,
];
const WORDS: [&str; 12] = [
    "3", "12.5", "-4", "1/8\"", "abc", "0", "1e9", "25 mm", "NaN", "7.85", "é ½ ß", "100",
];

/// A window and the dice that play on it.
pub(crate) struct Hail {
    pub(crate) window: Harness<'static, Workshop>,
    /// Nothing is read or written outside it.
    folder: PathBuf,
    state: u64,
    fresh: BTreeMap<Id, Fresh>,
}

/// What a weigh-up and the checks told of a knife, and all they went by.
struct Fresh {
    knife: Arc<Knife>,
    materials: Vec<Material>,
    thresholds: Thresholds,
    weigh: WeighUp,
    findings: Vec<Finding>,
}

impl Fresh {
    fn of(knife: &Arc<Knife>, set: &KnifeSet, thresholds: &Thresholds) -> Self {
        let up = weigh(knife, set);
        Self {
            knife: Arc::clone(knife),
            materials: set.materials.clone(),
            thresholds: thresholds.clone(),
            findings: check(knife, set, &up, thresholds),
            weigh: up,
        }
    }

    /// Whether it would come out the same again.
    fn is_of(&self, knife: &Arc<Knife>, set: &KnifeSet, thresholds: &Thresholds) -> bool {
        Arc::ptr_eq(&self.knife, knife)
            && self.materials == set.materials
            && self.thresholds == *thresholds
    }
}

/// A picture of 400 × 200 pixels with a dark plate on it, in this folder, across a knife.
fn laid(folder: &Path, knife: &Knife) -> LaidPicture {
    let path = folder.join("plate.png");
    let dark = |x: u32, y: u32| (50..350).contains(&x) && (60..140).contains(&y);
    let gray = |x, y| image::Luma([if dark(x, y) { 30_u8 } else { 200 }]);
    image::GrayImage::from_fn(400, 200, gray)
        .save(&path)
        .unwrap();
    let bounds = knife.contour().bounds();
    let file = path.display().to_string();
    LaidPicture::new(file, (400, 200), bounds.center(), bounds.width())
}

impl Hail {
    /// A window on the orchard set, saved in this folder, with all it keeps there too. With every odd seed a picture lies under the first knife.
    pub(crate) fn new(folder: &Path, seed: u64) -> Self {
        let file = folder.join("set.tangwright");
        let mut set = orchard_set();
        if !seed.is_multiple_of(2) {
            let knife = Arc::make_mut(&mut set.knives[0]);
            knife.picture = Some(laid(folder, knife));
        }
        save_design(&file, &set, Over::Anything).unwrap();
        let workshop = Workshop::start(StartOptions {
            file: Some(file),
            folders: Some(Folders::under(&folder.join("home"))),
            native_dialogs: false,
            set: None,
        });
        let mut window = Harness::builder()
            .with_size(vec2(SIZE.0, SIZE.1))
            .build_eframe(|_| workshop);
        window.step();
        Self {
            window,
            folder: folder.to_owned(),
            state: seed,
            fresh: BTreeMap::new(),
        }
    }

    /// S. Vigna's SplitMix64, public domain reference code.
    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }

    fn place(&mut self) -> Pos2 {
        let (x, y) = (self.below(1000), self.below(1000));
        Pos2::new(SIZE.0 * x as f32 / 1000.0, SIZE.1 * y as f32 / 1000.0)
    }

    fn button(&mut self, at: Pos2, pressed: bool, modifiers: Modifiers) {
        self.window.event(Event::PointerButton {
            pos: at,
            button: PointerButton::Primary,
            pressed,
            modifiers,
        });
    }

    /// The pointer goes on over the whole window, as a hand does, for one frame.
    pub(crate) fn wander(&mut self, i: u64) {
        let turn = i as f32 * 0.01;
        let (half_x, half_y) = (SIZE.0 / 2.0, SIZE.1 / 2.0);
        let at = Pos2::new(
            half_x * (1.0 + 0.94 * turn.cos()),
            half_y * (1.0 + 0.94 * (0.7 * turn).sin()),
        );
        self.window.event(Event::PointerMoved(at));
        self.window.step();
    }

    /// Shuts the dialog of a path that has left the folder, before hands take it.
    fn stay_inside(&mut self) {
        if !matches!(self.window.state().session().dialog, Dialog::Path(_)) {
            return;
        }
        let field = self.window.query_by_role_and_label(Role::TextInput, "Path");
        let typed = field.and_then(|field| field.value()).unwrap_or_default();
        if !Path::new(&typed).starts_with(&self.folder) {
            self.window.state_mut().session_mut().dialog = Dialog::None;
        }
    }

    /// One random action, and the frames it takes.
    pub(crate) fn act(&mut self) {
        self.stay_inside();
        match self.below(10) {
            0 | 1 => {
                let at = self.place();
                self.window.event(Event::PointerMoved(at));
                self.button(at, true, Modifiers::NONE);
                self.button(at, false, Modifiers::NONE);
            }
            2 | 3 => {
                let (from, to) = (self.place(), self.place());
                self.window.event(Event::PointerMoved(from));
                self.button(from, true, Modifiers::NONE);
                self.window.step();
                for i in 1..=3 {
                    let on = from + (to - from) * (i as f32 / 3.0);
                    self.window.event(Event::PointerMoved(on));
                    self.window.step();
                }
                self.button(to, false, Modifiers::NONE);
            }
            4..=6 => self.key(),
            7 => {
                let word = WORDS[self.below(WORDS.len())];
                self.window.event(Event::Text(word.to_owned()));
            }
            8 => {
                let delta = vec2(0.0, self.below(200) as f32 - 100.0);
                let at = self.place();
                self.window.event(Event::PointerMoved(at));
                self.window.event(Event::MouseWheel {
                    unit: egui::MouseWheelUnit::Point,
                    delta,
                    phase: egui::TouchPhase::Move,
                    source: egui::MouseWheelSource::Unknown,
                    modifiers: Modifiers::NONE,
                });
            }
            _ => {
                let command = Command::ALL[self.below(Command::ALL.len())];
                if !matches!(command, Command::Close) {
                    self.window.state_mut().ask(Action::Do(command));
                }
            }
        }
        self.window.step();
        self.window.step();
    }

    fn key(&mut self) {
        let key = KEYS[self.below(KEYS.len())];
        let modifiers = match self.below(8) {
            // A window that is closed has nothing to look at any more.
            0 | 1 if matches!(key, Key::Q | Key::W) => Modifiers::NONE,
            0 => Modifiers::COMMAND,
            1 => Modifiers::COMMAND | Modifiers::SHIFT,
            2 => Modifiers::SHIFT,
            3 => Modifiers::ALT,
            _ => Modifiers::NONE,
        };
        self.window.key_press_modifiers(modifiers, key);
    }

    /// What holds after every action.
    pub(crate) fn check(&mut self) {
        // What the last frame asked for is done in the next; then nothing waits.
        self.window.step();
        self.window.step();
        let state = self.window.state();
        let set = state.history().set();
        assert_eq!(set_faults(set), vec![]);
        let here = state.session().knife;
        assert!(here.is_none_or(|id| set.knife(id).is_some()), "{here:?}");
        let preferences = &state.session().preferences;
        let (mut thresholds, _) = Thresholds::with_changes(&preferences.figures);
        if let Some(service) = preferences.services.chosen() {
            thresholds = thresholds.for_service(&service);
        }
        self.fresh.retain(|id, _| set.knife(*id).is_some());
        for knife in &set.knives {
            let shown = state.results().of(knife.id).unwrap();
            assert!(Arc::ptr_eq(&shown.knife, knife), "{} is old", knife.name);
            let fresh = self.fresh.remove(&knife.id);
            let fresh = fresh.filter(|fresh| fresh.is_of(knife, set, &thresholds));
            let fresh = fresh.unwrap_or_else(|| Fresh::of(knife, set, &thresholds));
            assert_eq!(shown.weighed.up, fresh.weigh, "{}", knife.name);
            assert_eq!(shown.weighed.findings, fresh.findings, "{}", knife.name);
            self.fresh.insert(knife.id, fresh);
        }
        let view = state.session().view();
        assert!(view.px_per_mm.is_finite() && view.px_per_mm > 0.0);
        assert!(view.middle.x.is_finite() && view.middle.y.is_finite());
        let depth = state.history().undo_depth();
        assert_eq!(depth > 0, state.history().undo_label().is_some());
    }

    /// Everything undone and done again: the same set.
    pub(crate) fn there_and_back(&self) {
        let mut history = self.window.state().history().clone();
        history.end_gesture();
        while history.redo() {}
        let end = history.set().clone();
        while history.undo() {
            assert_eq!(set_faults(history.set()), vec![]);
        }
        while history.redo() {}
        assert!(*history.set() == end, "undone and done again");
    }
}
