//! The corners of a cut-out window: rounded by dragging the arc in their angle, and by a typed radius.

use std::f64::consts::PI;
use std::sync::Arc;

use tangwright::edit::Thing;
use tangwright::geometry::Point;
use tangwright::knife::{CutOut, CutShape, Filling, Id, Node, Outline, Purpose};
use tangwright::window::{Action, Gesture};

use crate::drawing::{Bench, set};

/// The window's sides, mm.
const SIDES: (f64, f64) = (30.0, 16.0);

/// The bench with an oblong window in the blade, its lower left corner picked: its id, that corner's, and its place.
fn windowed() -> (Bench<'static>, Id, Id, Point) {
    let mut set = set();
    let knife = Arc::make_mut(&mut set.knives[0]);
    let steel = knife.contour().index();
    let (low, high) = steel.depth_at(90.0).unwrap_or_default();
    let corner = Point::new(75.0, f64::midpoint(low, high) - SIDES.1 / 2.0);
    let nodes = [(0.0, 0.0), (SIDES.0, 0.0), SIDES, (0.0, SIDES.1)]
        .map(|(x, y)| Node::corner(knife.take_id(), Point::new(corner.x + x, corner.y + y)));
    let node = nodes[0].id;
    let id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape: CutShape::Free {
            outline: Outline {
                nodes: nodes.to_vec(),
            },
        },
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
    let mut bench = Bench::of(set);
    bench.snaps_off();
    pick(&mut bench, id, node);
    (bench, id, node, corner)
}

fn pick(bench: &mut Bench<'_>, cut_out: Id, node: Id) {
    let things = vec![Thing::CutOutNode { cut_out, node }];
    bench.0.state_mut().ask(Action::Pick(things));
    bench.0.run_steps(3);
}

/// What the window takes away, mm².
fn area(bench: &Bench<'_>, id: Id) -> f64 {
    let knife = bench.knife();
    let shape = knife.cut_out(id).map(|cut| cut.shape.contour());
    shape.map_or(f64::NAN, |contour| contour.moments().area.abs())
}

/// What a square corner loses when it is rounded by `r`: r² less the quarter of the circle.
fn lost(r: f64) -> f64 {
    r * r * (1.0 - PI / 4.0)
}

#[test]
fn a_window_s_corner_is_rounded_by_dragging_its_arc() {
    let (mut bench, id, node, corner) = windowed();
    let before = bench.set();
    let whole = area(&bench, id);
    assert!((whole - SIDES.0 * SIDES.1).abs() < 1e-9, "{whole}");
    assert!(
        bench.says("rounding of node 1 of shape"),
        "its grip is there"
    );
    // The grip stands 26 points into the angle, which is the window's own; the arc of radius r passes r (√2 − 1) from the corner on the way in.
    let way = egui::vec2(1.0, -1.0).normalized();
    let base = bench.pos(corner);
    let r = 4.0;
    let in_mm = r * (2.0_f64.sqrt() - 1.0) / 2.0_f64.sqrt();
    let to = bench.pos(Point::new(corner.x + in_mm, corner.y + in_mm));
    bench.hold(base + way * 26.0, to);
    let Gesture::Round { radius_mm, .. } = bench.0.state().session().gesture else {
        panic!(
            "nothing is rounded: {:?}",
            bench.0.state().session().gesture
        );
    };
    assert!((radius_mm - r).abs() < 0.2, "{radius_mm}");
    bench.button(to, false, egui::Modifiers::NONE);
    bench.0.run_steps(2);
    let gone = whole - area(&bench, id);
    assert!(
        (gone - lost(radius_mm)).abs() < 0.01,
        "{gone} of {}",
        lost(radius_mm)
    );
    assert_eq!(
        (bench.steps(), bench.0.state().history().undo_label()),
        (1, Some("round the corner"))
    );
    let knife = bench.knife();
    let kept = knife.cut_out(id).map(|cut| cut.shape.clone());
    assert!(
        matches!(kept, Some(CutShape::Free { outline }) if outline.nodes.len() == 5 && outline.node(node).is_none()),
        "an arc stands in its place"
    );
    bench.undo();
    assert_eq!(bench.set(), before);
}

#[test]
fn a_window_s_corner_radius_is_typed() {
    let (mut bench, id, node, _) = windowed();
    let (before, whole) = (bench.set(), area(&bench, id));
    bench.enter("corner radius", "3");
    let gone = whole - area(&bench, id);
    assert!((gone - lost(3.0)).abs() < 0.01, "{gone} of {}", lost(3.0));
    bench.undo();
    assert_eq!(bench.set(), before);
    // More than the window has room for is told beside the field.
    pick(&mut bench, id, node);
    bench.enter("corner radius", "40");
    assert!(bench.says("finds no room"), "it is told");
    assert_eq!(bench.set(), before);
}
