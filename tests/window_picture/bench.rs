//! A window with pictures to drop on it.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use egui::{Event, Key, Modifiers, PointerButton, Pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use tangwright::files::Folders;
use tangwright::geometry::Point;
use tangwright::knife::{Knife, LaidPicture};
use tangwright::window::{StartOptions, Tool, Workshop};

use crate::dropped::Dropped;
use crate::pictured::png;
use crate::shell::{set, window};

/// A window and the folder of its files.
pub(crate) struct Shop {
    pub(crate) window: Harness<'static, Workshop>,
    pub(crate) home: tempfile::TempDir,
}

impl Shop {
    pub(crate) fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        let window = started(home.path(), None);
        Self { window, home }
    }

    /// A dark plate of 300 × 80 pixels on light ground, 400 × 200, as a file.
    pub(crate) fn plate(&self) -> PathBuf {
        let dark = |i: usize| (50..350).contains(&(i % 400)) && (60..140).contains(&(i / 400));
        self.gray("plate.png", |i| if dark(i) { 30 } else { 200 })
    }

    /// A gray picture of 400 × 200 pixels as a file.
    pub(crate) fn gray(&self, name: &str, gray: impl Fn(usize) -> u8) -> PathBuf {
        let rgb = (0..400 * 200).map(|i| [gray(i); 3]).collect();
        let pixels = tangwright::tracing::Pixels::new(400, 200, rgb, 1.0).unwrap();
        self.written(name, &png(&pixels))
    }

    pub(crate) fn written(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let path = self.home.path().join(name);
        tangwright::files::write_atomically(&path, bytes).unwrap();
        path
    }

    pub(crate) fn drop(&mut self, path: &Path) {
        let file = Dropped(path.to_owned());
        self.window.input_mut().dropped_files.push(Arc::new(file));
        self.window.step();
    }

    /// Drops a picture and waits until it is laid.
    pub(crate) fn lay(&mut self, path: &Path) -> LaidPicture {
        self.drop(path);
        self.wait("it is laid", |shop| shop.knife().picture.is_some());
        self.frames(3);
        self.picture()
    }

    /// Steps frames until something is so; reading and tracing never take this long.
    pub(crate) fn wait(&mut self, what: &str, so: impl Fn(&Self) -> bool) {
        let end = Instant::now() + Duration::from_secs(100);
        while !so(self) {
            assert!(Instant::now() < end, "waited in vain: {what}");
            std::thread::sleep(Duration::from_millis(5));
            self.window.step();
        }
    }

    pub(crate) fn frames(&mut self, n: usize) {
        self.window.run_steps(n);
    }

    pub(crate) fn knife(&self) -> Arc<Knife> {
        let workshop = self.window.state();
        let id = workshop.session().knife.unwrap();
        let set = workshop.history().set();
        Arc::clone(set.knives.iter().find(|k| k.id == id).unwrap())
    }

    pub(crate) fn picture(&self) -> LaidPicture {
        self.knife().picture.clone().unwrap()
    }

    /// Where a place of the bench is on the screen.
    pub(crate) fn pos(&self, p: Point) -> Pos2 {
        let session = self.window.state().session();
        session.view().screen_from_model(session.canvas.unwrap(), p)
    }

    /// Where a pixel of the picture is on the screen.
    pub(crate) fn pixel(&self, x: f64, y: f64) -> Pos2 {
        let way = self.picture().bench_from_picture().unwrap();
        self.pos(way.apply(Point::new(x, y)).unwrap())
    }

    pub(crate) fn drag(&mut self, from: Pos2, to: Pos2) {
        self.press_at(from);
        for i in 1..=6_u8 {
            self.move_to(from.lerp(to, f32::from(i) / 6.0));
        }
        self.frames(1);
        self.button(to, false);
        self.frames(2);
    }

    pub(crate) fn press_at(&mut self, pos: Pos2) {
        self.move_to(pos);
        self.button(pos, true);
        self.frames(1);
    }

    pub(crate) fn button(&mut self, pos: Pos2, pressed: bool) {
        self.window.event(Event::PointerButton {
            pos,
            button: PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        });
    }

    pub(crate) fn move_to(&mut self, pos: Pos2) {
        self.window.event(Event::PointerMoved(pos));
        self.frames(1);
    }

    pub(crate) fn key(&mut self, key: Key) {
        self.window.key_down(key);
        self.frames(1);
        self.window.key_up(key);
        self.frames(2);
    }

    pub(crate) fn click(&mut self, label: &str) {
        self.window.get_by_label(label).click_accesskit();
        self.frames(3);
    }

    /// Types into the field of a label, in place of what stands there.
    pub(crate) fn type_into(&mut self, label: &str, text: &str) {
        self.window.get_by_label(label).focus();
        self.frames(2);
        self.window.key_press_modifiers(Modifiers::COMMAND, Key::A);
        self.frames(1);
        self.window.get_by_label(label).type_text(text);
        self.frames(1);
        self.key(Key::Enter);
    }

    /// Whether something with words like these is seen or said.
    pub(crate) fn says(&self, words: &str) -> bool {
        self.window.query_all_by_label_contains(words).count() > 0
    }

    pub(crate) fn undo(&mut self) -> Option<String> {
        let label = self
            .window
            .state()
            .history()
            .undo_label()
            .map(str::to_owned);
        self.window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        self.frames(3);
        label
    }

    pub(crate) fn tool(&self) -> Tool {
        self.window.state().session().tool
    }
}

/// A window as the program starts it.
pub(crate) fn started(home: &Path, file: Option<&Path>) -> Harness<'static, Workshop> {
    window(Workshop::start(StartOptions {
        file: file.map(Path::to_owned),
        folders: Some(Folders::under(&home.join("home"))),
        native_dialogs: false,
        set: Some(set()),
    }))
}
