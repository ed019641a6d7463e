//! Frames while something works beside the window, on threads of its own.

use std::path::Path;
use std::time::{Duration, Instant};

use egui_kittest::kittest::Queryable;
use tangwright::edit::{Change, Edit};
use tangwright::knife::{KnifeSet, SquaredBy};
use tangwright::planning::Wanted;
use tangwright::window::{Action, BenchPage, Beside, PictureWish, Tool};

use super::hand::{Held, Window, dragged, let_go, place, point_at, take_hold, wandering, window};
use super::pictured::png;
use super::scene::Dice;
use super::timing::Frames;
use super::traces::{A4, any_starter, on_sheet};

/// So long frames are timed beside each work.
const FOR: Duration = Duration::from_secs(8);
/// Reading a picture takes no longer.
const WAIT: Duration = Duration::from_secs(60);

/// Hands on the drawing: one wanders, one drags a hole.
const ON_DRAWING: [Option<Held>; 2] = [None, Some(Held::Hole)];

/// Times frames while a work goes on and hands wander, or drag what they hold; `begin` asks for it (again).
fn timed(
    name: &str,
    window: &mut Window,
    hands: &[Option<Held>],
    work: Beside,
    begin: &mut dyn FnMut(&mut Window),
) {
    for held in hands {
        begin(window);
        window.run_steps(2);
        let from = held.and_then(|held| place(window, held));
        assert_eq!(from.is_some(), held.is_some(), "what is held is seen");
        if let Some(from) = from {
            take_hold(window, from);
        }
        let mut frames = Frames::default();
        let (mut beside, mut i) = (0, 0);
        let end = Instant::now() + FOR;
        while Instant::now() < end {
            if !window.state().is_at_work(work) {
                begin(window);
            }
            let to = from.map_or_else(|| wandering(window, i), |from| from + dragged(i));
            point_at(window, to);
            frames.step_when_due(window);
            beside += usize::from(window.state().is_at_work(work));
            i += 1;
        }
        if let Some(from) = from {
            let_go(window, from);
            window.step();
        }
        let what = match held {
            None => "the pointer wanders",
            Some(_) => "a hole is dragged",
        };
        frames.tell(&format!("{name}, {what}"));
        // Frames in which it ended count too, so it can't have been all.
        assert!(
            beside * 2 > frames.n(),
            "it was at work in {beside} of {} frames",
            frames.n()
        );
        window.run_steps(2);
    }
}

/// The hole planner: asked by the marker on the beam, and again as soon as it has answered.
pub(crate) fn planner(set: KnifeSet) {
    let mut window = window(set);
    let marker = window.get_by_label("wanted balance").rect().center();
    take_hold(&mut window, marker);
    let to = marker + egui::vec2(15.0, 0.0);
    point_at(&window, to);
    window.step();
    let_go(&window, to);
    window.run_steps(2);
    let mut i = 0_u32;
    let mut begin = |window: &mut Window| {
        i += 1;
        // To and fro, so that no wish is the one before.
        let mm = 40.0 + f64::from(i % 7);
        window.state_mut().ask(Action::Plan(Wanted::BalanceMm(mm)));
    };
    timed(
        "beside the planner",
        &mut window,
        &ON_DRAWING,
        Beside::Planner,
        &mut begin,
    );
}

/// Nesting, seen on its own page and while the drawing is worked on.
pub(crate) fn nester(set: KnifeSet) {
    for page in [BenchPage::Nest, BenchPage::Drawing] {
        let mut window = window(set.clone());
        let knives: Vec<_> = set.knives.iter().map(|knife| knife.id).collect();
        let counts = &mut window.state_mut().session_mut().nest.counts;
        counts.extend(knives.into_iter().map(|id| (id, 3)));
        window.state_mut().ask(Action::ShowPage(page));
        let mut begin = |window: &mut Window| window.state_mut().ask(Action::StartNest);
        let (name, hands) = match page {
            BenchPage::Nest => ("beside the nester, nest seen", &ON_DRAWING[..1]),
            _ => ("beside the nester, drawing seen", &ON_DRAWING[..]),
        };
        timed(name, &mut window, hands, Beside::Nester, &mut begin);
    }
}

/// Tracing a picture of twelve megapixels, the size a hand-held camera makes.
pub(crate) fn tracer(set: KnifeSet, folder: &Path) {
    let mut dice = Dice(3);
    let knife = any_starter(&mut dice, 270.0);
    let mut scene = on_sheet(&mut dice, &knife);
    let larger = 4000.0 / scene.camera.width as f64;
    (scene.camera.width, scene.camera.height) = (4000, 3000);
    scene.camera.focal *= larger;
    scene.blur *= larger;
    let path = folder.join("photo.png");
    tangwright::files::write_atomically(&path, &png(&scene.rendered())).expect("it can be written");
    let mut window = window(set);
    window
        .state_mut()
        .ask(Action::Picture(PictureWish::Lay(path)));
    let end = Instant::now() + WAIT;
    while laid(&window).is_none() {
        assert!(Instant::now() < end, "the picture is read");
        std::thread::sleep(Duration::from_millis(5));
        window.step();
    }
    let (id, mut picture) = laid(&window).expect("it is laid");
    picture.squared = SquaredBy::of(scene.paper_seen(), A4, false);
    let picture = Some(Box::new(picture));
    let change = Change::LayPicture { picture };
    let app = window.state_mut();
    app.ask(Action::Edit(Edit::knife(id, change)));
    app.ask(Action::Take(Tool::Shift));
    window.run_steps(4);
    let mut begin = |window: &mut Window| {
        window.state_mut().ask(Action::Picture(PictureWish::Trace));
    };
    timed(
        "beside the tracer",
        &mut window,
        &ON_DRAWING,
        Beside::Tracer,
        &mut begin,
    );
}

fn laid(window: &Window) -> Option<(u32, tangwright::knife::LaidPicture)> {
    let id = window.state().session().knife?;
    let knife = window.state().history().set().knife(id)?;
    Some((id, knife.picture.clone()?))
}
