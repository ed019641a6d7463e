//! Grinds, tapers and layers in the window: typed on the Grind card, dragged on the drawing and on the knife from above, undone in one
//! step.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "helpers of a test may stop it"
)]

#[path = "window_grind/answers.rs"]
mod answers;
#[path = "window_grind/bench.rs"]
mod bench;
#[path = "window_grind/card.rs"]
mod card;
#[path = "window_grind/fire.rs"]
mod fire;
#[path = "window_grind/grips.rs"]
mod grips;
#[path = "../benches/window/knives.rs"]
mod knives;
#[path = "window_grind/layers.rs"]
mod layers;
#[path = "window_grind/many_holes.rs"]
mod many_holes;
#[path = "window_grind/scribing.rs"]
mod scribing;
#[path = "window_grind/strip.rs"]
mod strip;
#[path = "window_grind/typed.rs"]
mod typed;
