//! What frames take: by the clock, and of the processor's own time.

use std::time::{Duration, Instant};

use eframe::App as _;
use egui::{Context, Event, FullOutput, Plugin, Pos2, RawInput};
use egui_kittest::Harness;
use tangwright::window::Workshop;

/// A screen shows so many frames in a second.
const FRAMES_A_SECOND: f64 = 60.0;

/// Frames that were timed.
#[derive(Debug, Default)]
pub(crate) struct Frames {
    /// By the clock.
    wall: Vec<Duration>,
    /// What the thread itself worked of it; shorter where others had the processor.
    own: Vec<Duration>,
    /// When the next frame is due, if frames come as a screen asks for them.
    due: Option<Instant>,
}

impl Frames {
    /// How many.
    pub(crate) fn n(&self) -> usize {
        self.wall.len()
    }

    /// Works on one frame at once.
    pub(crate) fn step(&mut self, window: &mut Harness<'_, Workshop>) {
        self.timed(Instant::now(), window);
    }

    /// Works on one frame in which the pointer has moved, as the window does while no screen reader listens: the harness always has it told. It comes when the
    /// screen asks for it, so that what is weighed beside the window has the time between frames that it has in use.
    pub(crate) fn step_unheard(&mut self, window: &mut Harness<'_, Workshop>, pos: Pos2) {
        let due = self.wait();
        let ctx = window.ctx.clone();
        let input = RawInput {
            events: vec![Event::PointerMoved(pos)],
            ..window.input().clone()
        };
        let mut frame = eframe::Frame::_new_kittest();
        let workshop = window.state_mut();
        ctx.disable_accesskit();
        let worked = thread_time();
        let output = ctx.run_ui(input, |ui| {
            workshop.logic(ui.ctx(), &mut frame);
            workshop.ui(ui, &mut frame);
        });
        self.wall.push(due.elapsed());
        let both = worked.zip(thread_time());
        let own = both.map(|(before, now)| now.saturating_sub(before));
        self.own.extend(own);
        drop(output);
        ctx.enable_accesskit();
    }

    /// Takes the last frame out of the count.
    pub(crate) fn forget_last(&mut self) {
        self.wall.pop();
        self.own.pop();
    }

    /// Waits until the screen wants the next frame, and works on it. Its time counts from when it was due: to be woken late is to be late.
    pub(crate) fn step_when_due(&mut self, window: &mut Harness<'_, Workshop>) {
        let due = self.wait();
        self.timed(due, window);
    }

    /// Waits until the next frame is due.
    fn wait(&mut self) -> Instant {
        let due = self.due.unwrap_or_else(Instant::now).max(Instant::now());
        std::thread::sleep(due.saturating_duration_since(Instant::now()));
        self.due = Some(due + Duration::from_secs_f64(1.0 / FRAMES_A_SECOND));
        due
    }

    fn timed(&mut self, from: Instant, window: &mut Harness<'_, Workshop>) {
        let watch = window.ctx.plugin_or_default::<Watch>();
        *watch.lock() = Watch::default();
        window.step();
        let watch = watch.lock();
        let end = watch.end.unwrap_or_else(Instant::now);
        self.wall.push(end.saturating_duration_since(from));
        self.own.extend(watch.begun.map(|_| watch.own));
    }

    /// A line of the table.
    pub(crate) fn tell(&self, name: &str) {
        let own = if self.own.is_empty() {
            "not told by this system".to_owned()
        } else {
            told(&self.own)
        };
        println!(
            "{name:<44} {:>5} frames, by the clock {}; own work {own}",
            self.n(),
            told(&self.wall)
        );
    }
}

/// The head of the table.
pub(crate) fn tell_head() {
    println!("median / 99th percentile / longest, ms");
}

fn told(frames: &[Duration]) -> String {
    let mut frames = frames.to_vec();
    frames.sort();
    let at = |percent: usize| {
        let frame = frames.get(frames.len().saturating_sub(1) * percent / 100);
        frame.map_or(f64::NAN, |f| f.as_secs_f64() * 1e3)
    };
    format!("{:.2} / {:.2} / {:.2}", at(50), at(99), at(100))
}

/// Watches a frame from its input to its output: what the harness does with that is no work of the window.
#[derive(Debug, Default)]
struct Watch {
    begun: Option<Duration>,
    own: Duration,
    end: Option<Instant>,
}

impl Plugin for Watch {
    fn debug_name(&self) -> &'static str {
        "a watch"
    }

    fn input_hook(&mut self, _ctx: &Context, _input: &mut RawInput) {
        self.begun = thread_time();
    }

    fn output_hook(&mut self, _ctx: &Context, _output: &mut FullOutput) {
        let both = self.begun.zip(thread_time());
        self.own += both.map_or(Duration::ZERO, |(begun, now)| now.saturating_sub(begun));
        self.end = Some(Instant::now());
    }
}

/// Time the processor gave to this thread so far.
#[cfg(target_os = "linux")]
fn thread_time() -> Option<Duration> {
    use rustix::time::{ClockId, clock_gettime};
    Duration::try_from(clock_gettime(ClockId::ThreadCPUTime)).ok()
}

#[cfg(not(target_os = "linux"))]
fn thread_time() -> Option<Duration> {
    None
}
