//! How long the window works on one frame of a drag, without rendering: three knives with 500 holes in all, a node or a hole dragged.
//!
//! `cargo bench --bench window` prints the median, the 99th percentile and the longest frame. The goal is a 99th percentile of 4 ms.

#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

use std::sync::Arc;
use std::time::{Duration, Instant};

use egui::{Event, Modifiers, PointerButton, Pos2};
use egui_kittest::Harness;
use tangwright::edit::{Thing, thing_point};
use tangwright::geometry::Point;
use tangwright::knife::{
    CutOut, CutShape, Filling, Knife, KnifeSet, Material, Purpose, default_sizes, make_starter,
};
use tangwright::window::Workshop;

const FRAMES: u16 = 1500;
const HOLES: u16 = 500;

/// A chopper with so many small holes in a lattice over its blade.
fn sieve(id: u32, holes: u16) -> Option<Knife> {
    let sizes = default_sizes("chopper")?;
    let mut knife = make_starter("chopper", &sizes, "steel").ok()?;
    knife.id = id;
    for i in 0..holes {
        let (column, row) = (f64::from(i / 7), f64::from(i % 7));
        let center = Point::new(30.0 + column * 7.5, -16.0 + row * 4.4);
        let id = knife.take_id();
        knife.cut_outs.push(CutOut {
            id,
            shape: CutShape::Round {
                center,
                diameter_mm: 2.5,
            },
            purpose: Purpose::Lightening,
            filling: Filling::Nothing,
        });
    }
    Some(knife)
}

fn set() -> KnifeSet {
    let counts = [HOLES / 3, HOLES / 3, HOLES - 2 * (HOLES / 3)];
    KnifeSet {
        name: "sieves".into(),
        knives: (1u32..)
            .zip(counts)
            .filter_map(|(id, holes)| sieve(id, holes))
            .map(Arc::new)
            .collect(),
        materials: vec![Material {
            key: "steel".into(),
            name: "steel".into(),
            density_g_cm3: 7.85,
            density_low: 7.8,
            density_high: 7.9,
            data_sheet: String::new(),
        }],
        next_id: 4,
    }
}

fn place(harness: &Harness<'_, Workshop>, thing: Thing) -> Option<Pos2> {
    let app = harness.state();
    let at = thing_point(app.history().set().knives.first()?, thing)?;
    let session = app.session();
    Some(session.view().screen_from_model(session.canvas?, at))
}

fn button(harness: &Harness<'_, Workshop>, pos: Pos2, pressed: bool) {
    harness.event(Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    });
}

fn drag(name: &str, pick: impl Fn(&Knife) -> Option<Thing>) -> Option<()> {
    let mut harness = Harness::builder()
        .with_size(egui::vec2(1440.0, 900.0))
        .build_eframe(|_| Workshop::new(set()));
    harness.run_steps(4);
    let thing = pick(harness.state().history().set().knives.first()?)?;
    let from = place(&harness, thing)?;
    harness.event(Event::PointerMoved(from));
    harness.step();
    button(&harness, from, true);
    harness.step();
    let mut frames: Vec<Duration> = Vec::new();
    for i in 0..FRAMES {
        let turn = f32::from(i) * 0.05;
        let to = from + egui::vec2(12.0 * turn.sin(), 8.0 * (1.3 * turn).cos());
        harness.event(Event::PointerMoved(to));
        let start = Instant::now();
        harness.step();
        frames.push(start.elapsed());
    }
    button(&harness, from, false);
    harness.run_steps(2);
    assert_eq!(
        harness.state().history().undo_depth(),
        1,
        "the drag was one gesture that changed something"
    );
    frames.sort();
    let at = |percent: usize| {
        let frame = frames.get((frames.len() - 1) * percent / 100);
        frame.map_or(f64::NAN, |f| f.as_secs_f64() * 1e3)
    };
    println!(
        "{name}: median {:.2} ms, 99th percentile {:.2} ms, longest {:.2} ms",
        at(50),
        at(99),
        at(100)
    );
    Some(())
}

fn main() {
    println!("one frame of a drag, {HOLES} holes on three knives, {FRAMES} frames, no rendering");
    let node = drag("a node", |k| Some(Thing::Node(k.outline.nodes.get(1)?.id)));
    let hole = drag("a hole", |k| Some(Thing::CutOut(k.cut_outs.get(40)?.id)));
    assert!(node.is_some() && hole.is_some(), "the bench was not set up");
}
