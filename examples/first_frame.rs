//! How long the program takes from its start to the end of its first frame, on the display at hand.
//!
//! `cargo run --release --example first_frame`, or on a machine without a screen
//! `LIBGL_ALWAYS_SOFTWARE=1 xvfb-run cargo run --release --example first_frame`.

#![expect(clippy::print_stdout, reason = "a measurement prints its result")]

use std::time::Instant;

use tangwright::knife::orchard_set;
use tangwright::window::Workshop;

/// The window, closed as soon as its second frame begins: by then the first one is on the screen.
struct Once {
    workshop: Workshop,
    start: Instant,
    frames: u32,
}

impl eframe::App for Once {
    fn logic(&mut self, ctx: &egui::Context, frame: &mut eframe::Frame) {
        if self.frames == 1 {
            let elapsed = self.start.elapsed().as_secs_f64();
            println!("first frame on the screen after {elapsed:.2} s");
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        }
        self.workshop.logic(ctx, frame);
    }

    fn ui(&mut self, ui: &mut egui::Ui, frame: &mut eframe::Frame) {
        self.frames += 1;
        self.workshop.ui(ui, frame);
        ui.ctx().request_repaint();
    }
}

fn main() -> Result<(), eframe::Error> {
    let start = Instant::now();
    eframe::run_native(
        "Tangwright",
        eframe::NativeOptions::default(),
        Box::new(move |_| {
            Ok(Box::new(Once {
                workshop: Workshop::new(orchard_set()),
                start,
                frames: 0,
            }))
        }),
    )
}
