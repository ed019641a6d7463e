//! The tools that change a knife, driven through the window as a maker drives them.

#[path = "common/drawing.rs"]
mod drawing;

#[path = "window_edit/cut_out.rs"]
mod cut_out;
#[path = "window_edit/order.rs"]
mod order;
#[path = "window_edit/outline.rs"]
mod outline;
#[path = "window_edit/point.rs"]
mod point;
#[path = "window_edit/typed.rs"]
mod typed;
#[path = "window_edit/whole.rs"]
mod whole;
