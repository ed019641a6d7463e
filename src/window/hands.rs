//! What hands do that no menu names: keys of a place or of what is under way, keys held while the pointer works, and the pointer alone. Together
//! with the commands this is the whole table of keys: the program asks it, and Help lists it.

use egui::{Context, InputState, Key, KeyboardShortcut, Modifiers};

use crate::geometry::Vec2;

/// How far one press of an arrow key moves what is drawn, mm.
pub(super) const ARROW_MM: f64 = 0.1;

/// One thing hands do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Hand {
    /// Its keys; none where the pointer alone does it.
    keys: &'static [KeyboardShortcut],
    /// Keys held while something else is done; any of them will do.
    held: &'static [Modifiers],
    /// How it is told: `{}` stands for the keys.
    told: &'static str,
    /// What comes of it.
    pub(super) does: &'static str,
}

const fn plain(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::NONE, key)
}

const fn arrows(held: Modifiers) -> [KeyboardShortcut; 4] {
    [
        KeyboardShortcut::new(held, Key::ArrowLeft),
        KeyboardShortcut::new(held, Key::ArrowRight),
        KeyboardShortcut::new(held, Key::ArrowUp),
        KeyboardShortcut::new(held, Key::ArrowDown),
    ]
}

/// What is pressed.
const fn press(keys: &'static [KeyboardShortcut], told: &'static str, does: &'static str) -> Hand {
    let held = &[];
    Hand {
        keys,
        held,
        told,
        does,
    }
}

/// What is held meanwhile.
const fn hold(held: &'static [Modifiers], told: &'static str, does: &'static str) -> Hand {
    let keys = &[];
    Hand {
        keys,
        held,
        told,
        does,
    }
}

/// What the pointer does, or words that are typed.
const fn do_so(told: &'static str, does: &'static str) -> Hand {
    press(&[], told, does)
}

/// Names each hand and lists them all, so that none is left out of the list.
macro_rules! hands {
    ($($name:ident = $hand:expr;)*) => {
        $(pub(super) const $name: Hand = $hand;)*
        /// All of them, in the order Help lists them.
        pub(super) const ALL: &[Hand] = &[$($name),*];
    };
}

hands! {
    DROP = press(&[plain(Key::Escape)], "{}", "drop what is under way, or close a dialog");
    FINISH = press(&[plain(Key::Enter)], "{}", "take what is typed, close an outline, press a dialog's first button");
    TAKE_BACK = press(
        &[plain(Key::Backspace)],
        "{} while scribing or setting corners",
        "take the last place back",
    );
    ARROWS = press(const { &arrows(Modifiers::NONE) }, "Arrow keys", "move what is picked by 0.1 mm, step a number, roll a page");
    ARROWS_FINE = press(const { &arrows(Modifiers::ALT) }, "Alt and arrow keys", "a tenth of that");
    ARROWS_WIDE = press(const { &arrows(Modifiers::SHIFT) }, "Shift and arrow keys", "ten times that");
    NEXT_CONTROL = press(&[plain(Key::Tab)], "{}", "go to the next control");
    PREVIOUS_CONTROL = press(
        &[KeyboardShortcut::new(Modifiers::SHIFT, Key::Tab)],
        "{}",
        "go to the previous control",
    );
    PRESS_CONTROL = press(&[plain(Key::Enter), plain(Key::Space)], "{} on a control", "press it");
    MENUS = press(&[plain(Key::F10)], "{}", "go to the menus");
    OPEN_MENU = press(&[plain(Key::ArrowDown)], "Arrow down on a menu", "open it");
    RENAME = press(&[plain(Key::F2)], "{} on a knife of the rack", "give it another name");
    KNIFE_UP = press(
        &[KeyboardShortcut::new(Modifiers::ALT, Key::ArrowUp)],
        "Alt and arrow up on a knife of the rack",
        "move it one place up",
    );
    KNIFE_DOWN = press(
        &[KeyboardShortcut::new(Modifiers::ALT, Key::ArrowDown)],
        "Alt and arrow down on a knife of the rack",
        "move it one place down",
    );
    NEXT_PAGE = press(&[plain(Key::PageDown)], "{} on the build sheet", "go to the next page");
    PREVIOUS_PAGE = press(&[plain(Key::PageUp)], "{} on the build sheet", "go to the page before");
    FIRST_PAGE = press(&[plain(Key::Home)], "{} on the build sheet", "go to the first page");
    LAST_PAGE = press(&[plain(Key::End)], "{} on the build sheet", "go to the last page");
    POINT = press(
        &[plain(Key::Num0)],
        "{} on the drawing",
        "take a point in hand: arrow keys move it by 1 mm",
    );
    POINT_PRESS = press(&[plain(Key::Space)], "{} with the point in hand", "press it, drag while held");
    LOOK = do_so("Wheel", "look closer or from farther away, at the pointer");
    ASIDE = hold(&[Modifiers::SHIFT], "{} and wheel", "move the paper sideways");
    PAPER = press(&[plain(Key::Space)], "Drag with the middle button, or with {}", "move the paper");
    PAST_SNAPS = hold(&[Modifiers::ALT], "{} while dragging", "go past what snaps");
    PICK_MORE = hold(&[Modifiers::SHIFT, Modifiers::COMMAND], "{} and click, or a frame", "pick more");
    ROUND = do_so("Drag the arc beside a picked corner", "round it");
    STATION = do_so("Double-click on the knife from above", "set a station of the taper");
    HOLD_SECTION = do_so("Click on the knife from above", "hold the section there");
    TYPE = do_so("Enter or double-click on a number", "type it");
    SO_MUCH = do_so(
        "+3, \u{2212}2, *1.1, /2 in a number",
        "so much more, less, times, part of what it is now",
    );
    FROM_HERE = do_so("now \u{2212} 3 in a place", "so much back from where it is now");
}

/// Which way each arrow key goes, `y` up.
const WAYS: [(Key, Vec2); 4] = [
    (Key::ArrowLeft, Vec2::new(-1.0, 0.0)),
    (Key::ArrowRight, Vec2::new(1.0, 0.0)),
    (Key::ArrowUp, Vec2::new(0.0, 1.0)),
    (Key::ArrowDown, Vec2::new(0.0, -1.0)),
];

impl Hand {
    /// Whether one of its keys was pressed since the last frame.
    pub(super) fn pressed(&self, input: &InputState) -> bool {
        self.keys.iter().any(|keys| {
            input.key_pressed(keys.logical_key) && input.modifiers.matches_logically(keys.modifiers)
        })
    }

    /// Whether one of its keys was pressed since the last frame; the press is used up.
    pub(super) fn taken(&self, input: &mut InputState) -> bool {
        taken(input, self.keys)
    }

    /// Whether one of its keys is down.
    pub(super) fn down(&self, input: &InputState) -> bool {
        self.keys
            .iter()
            .any(|keys| input.key_down(keys.logical_key))
    }

    /// Whether what it wants held is held.
    pub(super) fn held(&self, modifiers: Modifiers) -> bool {
        self.held.iter().any(|held| modifiers.contains(*held))
    }

    /// Whether all that its keys want held is held.
    fn held_with(&self, held: Modifiers) -> bool {
        self.keys.iter().all(|keys| held.contains(keys.modifiers))
    }

    /// Whether this key, with whatever is held, is one of its.
    pub(super) fn has(&self, key: Key) -> bool {
        self.keys.iter().any(|keys| keys.logical_key == key)
    }

    /// What hands do, with the keys by their names on this platform.
    pub(super) fn told(&self, ctx: &Context) -> String {
        let keys = self.keys.iter().map(|keys| ctx.format_shortcut(keys));
        let held = self.held.iter().map(|held| ctx.format_modifiers(*held));
        let names: Vec<String> = keys.chain(held).collect();
        self.told.replace("{}", &names.join(" or "))
    }
}

/// Whether one of these keys was pressed since the last frame; the press is used up.
pub(super) fn taken(input: &mut InputState, keys: &[KeyboardShortcut]) -> bool {
    keys.iter().any(|keys| input.consume_shortcut(keys))
}

/// Which way an arrow key goes, `y` up; `None` for other keys.
pub(super) fn way(key: Key) -> Option<Vec2> {
    let (_, way) = WAYS.iter().find(|(arrow, _)| *arrow == key)?;
    Some(*way)
}

/// How many steps an arrow key goes with what is held.
pub(super) fn reach(held: Modifiers) -> f64 {
    if ARROWS_WIDE.held_with(held) {
        10.0
    } else if ARROWS_FINE.held_with(held) {
        0.1
    } else {
        1.0
    }
}

/// How many steps the arrow keys have asked for since the last frame, `y` up; the presses are used up.
pub(super) fn arrow_steps(input: &mut InputState) -> Vec2 {
    let mut steps = Vec2::ZERO;
    // What has more held comes first, for a plain arrow is also found with Alt or Shift held.
    for hand in [ARROWS_WIDE, ARROWS_FINE, ARROWS] {
        for keys in hand.keys {
            let n = input.count_and_consume_key(keys.modifiers, keys.logical_key);
            let way = way(keys.logical_key).unwrap_or(Vec2::ZERO);
            steps += way * reach(keys.modifiers) * f64::from(u32::try_from(n).unwrap_or(0));
        }
    }
    steps
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_hand_tells_its_keys() {
        let ctx = Context::default();
        for hand in ALL {
            let told = hand.told(&ctx);
            for keys in hand.keys {
                let arrow = WAYS.iter().any(|(key, _)| *key == keys.logical_key);
                let name = if arrow {
                    "rrow".to_owned()
                } else {
                    ctx.format_shortcut(keys)
                };
                assert!(told.contains(&name), "{told} does not name {name}");
                if arrow && keys.modifiers != Modifiers::NONE {
                    let held = ctx.format_modifiers(keys.modifiers);
                    assert!(told.contains(&held), "{told} does not name {held}");
                }
            }
            for held in hand.held {
                let name = ctx.format_modifiers(*held);
                assert!(told.contains(&name), "{told} does not name {name}");
            }
            assert!(!told.contains("{}") && !hand.does.is_empty());
        }
    }

    #[test]
    fn arrows_step_by_what_is_held() {
        let steps = |modifiers: Modifiers, key: Key| {
            let mut input = InputState::default();
            for pressed in [true, true, false] {
                input.events.push(egui::Event::Key {
                    key,
                    physical_key: None,
                    pressed,
                    repeat: false,
                    modifiers,
                });
            }
            let steps = arrow_steps(&mut input);
            let left = if way(key).is_some() { 1 } else { 3 };
            assert_eq!(input.events.len(), left, "presses of arrows are used up");
            steps
        };
        assert_eq!(steps(Modifiers::NONE, Key::ArrowLeft), Vec2::new(-2.0, 0.0));
        assert_eq!(steps(Modifiers::SHIFT, Key::ArrowUp), Vec2::new(0.0, 20.0));
        assert_eq!(steps(Modifiers::ALT, Key::ArrowDown), Vec2::new(0.0, -0.2));
        assert_eq!(steps(Modifiers::NONE, Key::Enter), Vec2::ZERO);
    }
}
