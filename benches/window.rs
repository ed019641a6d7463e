//! How long the window works on one frame, without rendering: three ground, laminated knives with handles and 500 holes in all, all views open.
//!
//! `cargo bench --bench window` prints the median, the 99th percentile and the longest frame of drags of a node and of a hole, with the cards open in turn, and of
//! frames while the hole planner, nesting or tracing works beside. The goals: a 99th percentile of 4 ms, and no frame over 16 ms beside a work.
//! `cargo bench --bench window -- drags`, or `bevel`, `both` (half of the drags each), `planner`, `nester`, `tracer`, does one part.
//!
//! Frames come as a screen of 60 frames a second asks for them, and count from then on. Drags are timed while no screen reader listens; beside a work the harness
//! has what one is told made in every frame. A node's drag tells too how many frames its weigh-up came behind: it is made beside the window.

#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]
#![expect(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    reason = "what must not be stops the bench with a message"
)]

#[path = "window/beside.rs"]
mod beside;
#[path = "window/hand.rs"]
mod hand;
#[path = "window/knives.rs"]
mod knives;
#[path = "../tests/common/mask.rs"]
mod mask;
#[path = "../tests/common/pictured.rs"]
#[expect(dead_code, reason = "shared with tests")]
mod pictured;
#[path = "../tests/common/scene.rs"]
mod scene;
#[path = "window/timing.rs"]
mod timing;
#[path = "../tests/traces/bench.rs"]
#[expect(dead_code, reason = "shared with tests")]
mod traces;

use hand::{CARDS, Held, Window, dragged, open_every_part, open_only, place, take_hold};
use knives::Ground;
use std::sync::Arc;
use tangwright::knife::{Knife, KnifeSet, set_faults};
use tangwright::window::Action;
use timing::Frames;

const FRAMES: usize = 500;

/// Drags with these cards open, and all their parts if that is wanted too. What is taken opens its own card, so cards are opened and shut while it is held.
fn drag(name: &str, window: &mut Window, held: Held, cards: &[&str], parts: bool) {
    window.state_mut().ask(Action::Pick(Vec::new()));
    window.run_steps(2);
    let depth = window.state().history().undo_depth();
    let from = place(window, held).expect("what is held is seen");
    take_hold(window, from);
    open_only(window, cards);
    if parts {
        open_every_part(window);
    }
    // Frames in which a snap holds on to where the thing is have little to do, and are not counted.
    let mut frames = Frames::default();
    let mut behind = Behind::default();
    let mut i = 0;
    while frames.n() < FRAMES {
        i += 1;
        assert!(i < 10 * FRAMES, "the knife changes");
        let before = window.state().history().revision();
        frames.step_unheard(window, from + dragged(i));
        if window.state().history().revision() == before {
            frames.forget_last();
        } else {
            behind.look(window);
        }
    }
    let end = from + dragged(i);
    hand::point_at(window, end);
    window.step();
    // Letting go is a frame like the others; at it the knife is weighed as it is told.
    hand::let_go(window, end);
    frames.step(window);
    window.run_steps(2);
    frames.tell(&format!("{held:?} dragged, {name}").to_lowercase());
    behind.tell();
    let now = window.state().history().undo_depth();
    assert_eq!(now, depth + 1, "the drag was one gesture");
    window.state_mut().ask(Action::Undo);
    window.run_steps(2);
}

/// How many frames the weigh-up of a dragged knife comes behind its drawing.
#[derive(Debug, Default)]
struct Behind {
    drawn: Vec<Arc<Knife>>,
    by: Vec<usize>,
}

impl Behind {
    fn look(&mut self, window: &Window) {
        let state = window.state();
        let on_drawing = state.session().knife;
        let Some(own) = on_drawing.and_then(|id| state.results().of(id)) else {
            return;
        };
        self.drawn.push(Arc::clone(&own.knife));
        let weighed = |knife: &Arc<Knife>| Arc::ptr_eq(knife, &own.weighed.knife);
        self.by.extend(self.drawn.iter().rev().position(weighed));
    }

    fn tell(&self) {
        let most = self.by.iter().copied().max().unwrap_or(0);
        let n = |by: usize| self.by.iter().filter(|b| **b == by).count();
        let told: Vec<String> = (0..=most).map(|by| format!("{} by {by}", n(by))).collect();
        println!("    weighed behind, frames: {}", told.join(", "));
    }
}

/// Drags with one card open after the other, then with all, and all their parts.
fn drags(set: &KnifeSet) {
    let mut window = hand::window(set.clone());
    let findings = window
        .state()
        .results()
        .of(1)
        .map(|r| r.weighed.findings.len());
    println!("{} findings on the first knife", findings.unwrap_or(0));
    for held in [Held::Node, Held::Hole] {
        drag("no card open", &mut window, held, &[], false);
        for card in CARDS {
            drag(&format!("{card} open"), &mut window, held, &[card], false);
        }
        drag("all cards open", &mut window, held, &CARDS, false);
        drag("all parts open", &mut window, held, &CARDS, true);
    }
}

fn main() {
    let part = std::env::args().skip(1).find(|a| !a.starts_with('-'));
    let asked = |name: &str| part.as_deref().is_none_or(|part| part == name);
    let sets = [Ground::Bevel, Ground::FalseEdgeToo].map(knives::set);
    for set in &sets {
        assert_eq!(set.knives.len(), 3, "three knives");
        assert_eq!(set_faults(set), vec![], "the knives are sound");
    }
    let [plain, set] = sets;
    println!(
        "one frame of the window, {} holes on three knives, all views open, no rendering",
        knives::HOLES
    );
    timing::tell_head();
    if asked("drags") || asked("bevel") {
        println!("bevel");
        drags(&plain);
    }
    if asked("drags") || asked("both") {
        println!("bevel and false edge");
        drags(&set);
    }
    if asked("planner") {
        beside::planner(set.clone());
    }
    if asked("nester") {
        beside::nester(set.clone());
    }
    if asked("tracer") {
        let folder = tempfile::tempdir().expect("a folder can be made");
        beside::tracer(set, folder.path());
    }
}
