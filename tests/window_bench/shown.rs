//! Findings on the drawing: a mark of its own shape for each severity at the place, a bar across what was measured, the one looked at larger with its figure,
//! and brought into view. What is looked for is what was painted, by shape and place; colors are not asked.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "helpers of a test may stop it"
)]

use std::collections::BTreeSet;
use std::sync::Arc;

use egui::{Pos2, Shape};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use crate::common::window;
use tangwright::checks::{Finding, Severity};
use tangwright::geometry::Point;
use tangwright::knife::{
    CutOut, CutShape, Filling, Grind, Knife, KnifeSet, LandmarkKind, Purpose, Rise, orchard_set,
};
use tangwright::window::Workshop;

type Window = Harness<'static, Workshop>;

/// As far as a mark that is looked at reaches, points.
const REACH: f32 = 16.0;

/// A set of the orchard's first knife, changed.
fn changed(change: impl FnOnce(&mut Knife)) -> Window {
    let orchard = orchard_set();
    let mut knife = orchard.knives.first().unwrap().clone();
    change(Arc::make_mut(&mut knife));
    let mut window = window(Workshop::new(KnifeSet {
        knives: vec![knife],
        ..orchard
    }));
    window.run();
    window
}

fn drill(knife: &mut Knife, center: Point, diameter_mm: f64) {
    let id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape: CutShape::Round {
            center,
            diameter_mm,
        },
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
}

fn findings(window: &Window) -> Vec<Finding> {
    let state = window.state();
    let id = state.session().knife.unwrap();
    state.results().of(id).unwrap().weighed.findings.clone()
}

fn the(window: &Window, code: &str) -> Finding {
    let found = findings(window).into_iter().find(|f| f.code == code);
    found.unwrap_or_else(|| panic!("no {code} among {:?}", findings(window)))
}

fn pos(window: &Window, place: Point) -> Pos2 {
    let session = window.state().session();
    session
        .view()
        .screen_from_model(session.canvas.unwrap(), place)
}

/// All that was painted in the last frame.
fn painted(window: &Window) -> Vec<Shape> {
    fn flat(shape: &Shape, into: &mut Vec<Shape>) {
        match shape {
            Shape::Vec(own) => own.iter().for_each(|shape| flat(shape, into)),
            other => into.push(other.clone()),
        }
    }
    let mut shapes = Vec::new();
    for clipped in &window.output().shapes {
        flat(&clipped.shape, &mut shapes);
    }
    shapes
}

fn near(a: Pos2, b: Pos2) -> bool {
    a.distance(b) < 0.05
}

/// The marks at a place, with half their width in points.
fn marks_at(shapes: &[Shape], at: Pos2) -> Vec<(Severity, f32)> {
    let mut found = Vec::new();
    let mut arms = BTreeSet::new();
    for shape in shapes {
        match shape {
            // A cross: two strokes through the place, one up to the right, one down.
            Shape::LineSegment { points: [a, b], .. } => {
                let arm = (*b - *a) / 2.0;
                let slanting = (arm.x.abs() - arm.y.abs()).abs() < 1e-3 && arm.x > 2.0;
                if near(*a + arm, at) && slanting && arm.x < REACH {
                    arms.insert(arm.y > 0.0);
                    if arms.len() == 2 {
                        found.push((Severity::Stop, arm.x));
                    }
                }
            }
            // A triangle round the place, one corner straight above.
            Shape::Path(path) if path.closed && path.points.len() == 3 => {
                let [top, right, left] = path.points.as_slice() else {
                    continue;
                };
                let half = (right.x - left.x) / 2.0;
                let middle = left.x + half;
                if (top.x - at.x).abs() < 0.05
                    && (middle - at.x).abs() < 0.05
                    && (1.0..REACH).contains(&(at.y - top.y))
                    && (1.0..REACH).contains(&(right.y - at.y))
                {
                    found.push((Severity::Warn, half));
                }
            }
            // A ring with a dot in it.
            Shape::Circle(ring) if near(ring.center, at) && ring.fill.a() == 0 => {
                let dot = shapes.iter().any(|shape| match shape {
                    Shape::Circle(dot) => {
                        near(dot.center, at) && dot.fill.a() > 0 && dot.radius < ring.radius / 2.0
                    }
                    _ => false,
                });
                if dot && ring.radius < REACH {
                    found.push((Severity::Note, ring.radius));
                }
            }
            _ => {}
        }
    }
    found
}

fn kinds_at(window: &Window, at: Pos2) -> BTreeSet<Severity> {
    let marks = marks_at(&painted(window), at);
    marks.into_iter().map(|(severity, _)| severity).collect()
}

fn half_at(window: &Window, finding: &Finding) -> f32 {
    let at = pos(window, finding.place.unwrap());
    let marks = marks_at(&painted(window), at);
    let own = marks.iter().filter(|(s, _)| *s == finding.severity);
    own.map(|(_, half)| *half).fold(0.0, f32::max)
}

fn has_bar(window: &Window, finding: &Finding) -> bool {
    let (from, to) = finding.across.unwrap();
    let ends = (pos(window, from), pos(window, to));
    assert!(ends.0.distance(ends.1) > 0.5, "a bar of nothing");
    painted(window).iter().any(|shape| match shape {
        Shape::LineSegment { points: [a, b], .. } => {
            near(*a, ends.0) && near(*b, ends.1) || near(*a, ends.1) && near(*b, ends.0)
        }
        _ => false,
    })
}

fn says(window: &Window, words: &str, at: Pos2) -> bool {
    painted(window).iter().any(|shape| match shape {
        Shape::Text(text) => text.galley.text() == words && text.pos.distance(at) < 60.0,
        _ => false,
    })
}

/// A hole of 6 mm whose steel to the edge is 2 mm: the edge of the chopper's blade at x = 60.
fn thin_web(knife: &mut Knife) {
    let (low, _) = knife.contour().index().depth_at(60.0).unwrap();
    drill(knife, Point::new(60.0, low + 5.0), 6.0);
}

#[test]
fn a_hole_near_the_edge_is_marked_where_the_steel_is_thin() {
    let window = changed(thin_web);
    let web = the(&window, "web-outline");
    assert!(web.place.unwrap().distance(Point::new(60.0, 0.0)) < 60.0);
    assert!(half_at(&window, &web) > 0.0);
    assert!(has_bar(&window, &web));
    // The same place of the knife without the hole bears no mark.
    let plain = changed(|_| {});
    assert!(kinds_at(&plain, pos(&plain, web.place.unwrap())).is_empty());
    // Small beside the hole itself, which is 6 mm.
    let hole = 6.0 * window.state().session().view().px_per_mm;
    assert!(f64::from(half_at(&window, &web)) < hole, "{hole}");
}

#[test]
fn a_bevel_too_tall_is_marked_at_its_station() {
    let taller = |grind: &mut Grind| {
        for cut in grind.sides.cuts_mut() {
            cut.rise = Rise::even_height(200.0);
        }
    };
    let window = changed(|knife| {
        let edge = knife.grinding.grinds.iter_mut();
        edge.filter(|grind| grind.run.to == LandmarkKind::Tip)
            .for_each(taller);
    });
    let bevel = the(&window, "bevel-too-tall");
    assert!(has_bar(&window, &bevel));
    assert!(half_at(&window, &bevel) > 0.0);
    // As deep as the blade is there, which is what the bevel is held against.
    let (from, to) = bevel.across.unwrap();
    assert!((from.distance(to) - bevel.wanted_mm.unwrap()).abs() < 1e-6);
}

/// A hole through the outline is a stop, a web too thin a warning, drilling a note: each has its own shape, and none has another's.
#[test]
fn the_three_severities_differ_in_shape() {
    let window = changed(|knife| {
        thin_web(knife);
        let (_, high) = knife.contour().index().depth_at(110.0).unwrap();
        drill(knife, Point::new(110.0, high), 9.0);
    });
    let all = findings(&window);
    let mut seen = BTreeSet::new();
    for finding in all.iter().filter(|f| f.place.is_some()) {
        let at = pos(&window, finding.place.unwrap());
        let here = all
            .iter()
            .filter(|f| f.place.is_some_and(|p| pos(&window, p).distance(at) < 0.05));
        let expected: BTreeSet<Severity> = here.map(|f| f.severity).collect();
        assert_eq!(kinds_at(&window, at), expected, "{}", finding.code);
        seen.extend(expected);
    }
    assert_eq!(seen.len(), 3, "{seen:?}");
}

fn choose(window: &mut Window, finding: &Finding) {
    window.get_by_label_contains("findings: ").click();
    window.run();
    let text = finding.text(&|mm| format!("{mm:.2} mm"));
    let row = window.query_all_by_label_contains(&text).last();
    row.unwrap_or_else(|| panic!("no row says {text}")).click();
    window.run();
}

#[test]
fn a_chosen_finding_is_brought_into_view_larger_with_its_figure() {
    let mut window = changed(thin_web);
    let web = the(&window, "web-outline");
    let small = half_at(&window, &web);
    let session = window.state_mut().session_mut();
    session.show_template = true;
    session.view_mut().unwrap().pan(egui::vec2(5000.0, 3000.0));
    window.run();
    choose(&mut window, &web);
    assert!(!window.state().session().show_template);
    let at = pos(&window, web.place.unwrap());
    let canvas = window.state().session().canvas.unwrap();
    assert!(canvas.shrink(30.0).contains(at), "{at}");
    let chosen = window.state().session().finding;
    let large = half_at(&window, &web);
    assert!(large > 1.4 * small, "{chosen:?} {large} {small}");
    let figure = format!("{:.2} mm", web.measured_mm.unwrap());
    assert!(says(&window, &figure, at), "{figure}");
    // Chosen once more it stays where it is.
    let view = window.state().session().view();
    choose(&mut window, &web);
    assert_eq!(window.state().session().view(), view);
}

/// The note on drilling speaks of the knife: nothing is picked, and its place is marked all the same.
#[test]
fn a_finding_that_picks_nothing_is_marked_all_the_same() {
    let mut window = changed(thin_web);
    let note = the(&window, "drill-before-hardening");
    let small = half_at(&window, &note);
    assert!(small > 0.0);
    let view = window.state_mut().session_mut().view_mut().unwrap();
    view.pan(egui::vec2(-4000.0, 0.0));
    window.run();
    choose(&mut window, &note);
    assert!(window.state().session().picked.is_empty());
    let at = pos(&window, note.place.unwrap());
    assert!(window.state().session().canvas.unwrap().contains(at));
    assert!(half_at(&window, &note) > 1.4 * small);
}

#[test]
fn a_mark_under_the_pointer_tells_its_figure() {
    let mut window = changed(thin_web);
    let web = the(&window, "web-outline");
    let at = pos(&window, web.place.unwrap());
    let figure = format!("{:.2} mm", web.measured_mm.unwrap());
    assert!(!says(&window, &figure, at));
    window.event(egui::Event::PointerMoved(at));
    window.run();
    assert!(says(&window, &figure, at));
    window.event(egui::Event::PointerMoved(at + egui::vec2(0.0, 40.0)));
    window.run();
    assert!(!says(&window, &figure, at));
}

/// The ready check's marks are of the same shapes; those of its stops are crosses as well.
#[test]
fn the_services_findings_have_the_same_shapes() {
    let mut window = Harness::builder()
        .with_size(egui::vec2(1440.0, 2600.0))
        .with_max_steps(60)
        .build_eframe(|_| {
            let mut set = orchard_set();
            let knife = Arc::make_mut(set.knives.first_mut().unwrap());
            let (low, high) = knife.contour().index().depth_at(60.0).unwrap();
            // Far from every edge: only its size is asked about.
            drill(knife, Point::new(60.0, f64::midpoint(low, high)), 0.9);
            Workshop::new(set)
        });
    window.run_steps(6);
    window
        .query_all_by_label_contains("0.90 mm across")
        .last()
        .unwrap()
        .click();
    window.run_steps(4);
    assert!(window.state().session().ready.shown.is_some());
    let small = the(&window, "small-for-cutting");
    let at = pos(&window, small.place.unwrap());
    let halves: Vec<(Severity, f32)> = marks_at(&painted(&window), at);
    let wide = halves.iter().filter(|(_, half)| *half > 10.0);
    assert!(wide.count() >= 1, "{halves:?}");
}
