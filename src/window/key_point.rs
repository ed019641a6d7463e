//! A point that arrow keys move over the drawing, for whoever works without a mouse: it stands in for the pointer, so that every tool works with it.

use egui::{Context, Event, Key, Modifiers, Plugin, PointerButton, Pos2, RawInput, Rect};

use super::app::Workshop;
use super::bench::BenchPage;
use super::hands;
use super::tools::Gesture;

/// How far one press of an arrow key moves the point, mm.
const STEP_MM: f64 = 1.0;
/// Said while it is in hand.
const TOLD: &str = "Arrow keys move the point, Space presses; Escape puts it away";

/// The point, and what of the window it has to know. What it does with the keys of a frame is done before anything else sees them.
#[derive(Debug, Default)]
struct KeyPoint {
    /// Where the drawing is, while a point may be moved over it.
    ground: Option<Rect>,
    /// Whether the keyboard is on a control, whose keys arrows and Space then are.
    elsewhere: bool,
    /// Whether the keyboard is to come to the drawing.
    calls: bool,
    /// Scale of the drawing.
    px_per_mm: f64,
    /// Whether something is under way that Escape drops first.
    busy: bool,
    /// Where the point is, while it is in hand.
    at: Option<Pos2>,
    /// Whether it is pressed down.
    down: bool,
}

impl Plugin for KeyPoint {
    fn debug_name(&self) -> &'static str {
        "a point moved by keys"
    }

    fn input_hook(&mut self, ctx: &Context, input: &mut RawInput) {
        let Some(ground) = self.ground else { return };
        let mouse = ctx.pointer_latest_pos();
        for event in std::mem::take(&mut input.events) {
            match event {
                Event::Key {
                    key,
                    pressed,
                    repeat,
                    modifiers,
                    ..
                } => {
                    let held = Held { modifiers, repeat };
                    match self.take_key((key, pressed), held, (ground, mouse)) {
                        Some(instead) => input.events.extend(instead),
                        None => input.events.push(event),
                    }
                }
                // The mouse itself has been taken in hand.
                Event::PointerMoved(_) => {
                    input.events.extend(self.put_away(Modifiers::NONE));
                    input.events.push(event);
                }
                _ => input.events.push(event),
            }
        }
    }
}

/// What comes with a key.
#[derive(Clone, Copy)]
struct Held {
    modifiers: Modifiers,
    repeat: bool,
}

impl KeyPoint {
    /// What the pointer does because of a key; `None` when the key is none of the point's.
    fn take_key(
        &mut self,
        (key, pressed): (Key, bool),
        held: Held,
        (ground, mouse): (Rect, Option<Pos2>),
    ) -> Option<Vec<Event>> {
        let plain = held.modifiers.is_none();
        let Some(at) = self.at.filter(|_| !self.elsewhere) else {
            if !(pressed && plain && hands::POINT.has(key)) {
                return None;
            }
            let at = self.at.or(mouse).filter(|pos| ground.contains(*pos));
            let at = at.unwrap_or(ground.center());
            self.at = Some(at);
            self.calls = true;
            return Some(vec![Event::PointerMoved(at)]);
        };
        if hands::POINT.has(key) && plain || hands::DROP.has(key) && !self.busy {
            return Some(if pressed {
                self.put_away(held.modifiers)
            } else {
                Vec::new()
            });
        }
        if hands::POINT_PRESS.has(key) {
            // A key that is held repeats itself; the button is down already.
            if pressed && held.repeat {
                return Some(Vec::new());
            }
            self.down = pressed;
            return Some(vec![button(at, pressed, held.modifiers)]);
        }
        let way = hands::way(key)?;
        if !pressed {
            return Some(Vec::new());
        }
        let by = way * hands::reach(held.modifiers) * STEP_MM * self.px_per_mm;
        let to = ground.clamp(at + egui::vec2(by.x as f32, -by.y as f32));
        self.at = Some(to);
        Some(vec![Event::PointerMoved(to)])
    }

    /// Lets go, if it is pressed down, and is gone.
    fn put_away(&mut self, modifiers: Modifiers) -> Vec<Event> {
        let at = self.at.take();
        let down = std::mem::take(&mut self.down);
        let let_go = at.filter(|_| down);
        let_go
            .map(|at| button(at, false, modifiers))
            .into_iter()
            .collect()
    }
}

fn button(pos: Pos2, pressed: bool, modifiers: Modifiers) -> Event {
    Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed,
        modifiers,
    }
}

impl Workshop {
    /// Tells the point how the window stands, and the window where the point is.
    pub(super) fn tend_key_point(&mut self, ctx: &Context) {
        let session = &mut self.session;
        let here = session.page == BenchPage::Drawing
            && !session.dialog_open()
            && !ctx.text_edit_focused();
        let begun = matches!(
            session.gesture,
            Gesture::Draft { .. } | Gesture::DrawOver { .. }
        );
        let point = ctx.plugin_or_default::<KeyPoint>();
        let mut point = point.lock();
        // Nor does it stay on the button an outline was begun with.
        if std::mem::take(&mut point.calls) || (begun && !point.busy) {
            ctx.memory_mut(|m| {
                if let Some(id) = m.focused() {
                    m.surrender_focus(id);
                }
            });
        }
        point.elsewhere = ctx.memory(|m| m.focused()).is_some() && !session.object_has_focus;
        point.ground = session.canvas.filter(|_| here);
        point.px_per_mm = session.view().px_per_mm;
        point.busy = !matches!(session.gesture, Gesture::Idle | Gesture::Nudge);
        if point.at.is_some() && session.key_point.is_none() {
            session.message = Some(TOLD.to_owned());
        }
        let put_away = point.at.is_none() && session.key_point.is_some();
        if put_away && session.message.as_deref() == Some(TOLD) {
            session.message = None;
        }
        session.key_point = point.at;
    }
}
