//! Layers as they are seen: where the core comes out on the drawing, from above, and in the section.

use egui::epaint::{Mesh, PathShape};
use egui::{Color32, Pos2, Shape};
use tangwright::geometry::Point;
use tangwright::knife::Face;
use tangwright::thickness::{LineKind, RevealPart};
use tangwright::window::KnifeResults;

use super::bench::{Bench, clad, picnic, tapered};

/// Everything that was drawn, groups taken apart.
fn drawn(bench: &Bench) -> Vec<Shape> {
    fn flat(shape: &Shape, into: &mut Vec<Shape>) {
        match shape {
            Shape::Vec(all) => all.iter().for_each(|one| flat(one, into)),
            one => into.push(one.clone()),
        }
    }
    let mut all = Vec::new();
    for clipped in &bench.0.output().shapes {
        flat(&clipped.shape, &mut all);
    }
    all
}

/// Meshes of one color, with it.
fn meshes(shapes: &[Shape]) -> Vec<(Color32, &Mesh)> {
    let plain = |mesh: &Mesh| {
        let first = mesh.vertices.first()?.color;
        let same = mesh.vertices.iter().all(|v| v.color == first);
        same.then_some(first)
    };
    let all = shapes.iter().filter_map(|shape| match shape {
        Shape::Mesh(mesh) => Some((plain(mesh)?, mesh.as_ref())),
        _ => None,
    });
    all.collect()
}

fn results(bench: &Bench) -> &KnifeResults {
    bench.0.state().results().of(1).unwrap()
}

/// Top and bottom of a mesh on the screen.
fn reach(mesh: &Mesh) -> (f32, f32) {
    let ys = || mesh.vertices.iter().map(|v| v.pos.y);
    (
        ys().fold(f32::INFINITY, f32::min),
        ys().fold(f32::NEG_INFINITY, f32::max),
    )
}

/// The same of its end at the spine, which lies to the right in a section.
fn reach_at_spine(mesh: &Mesh) -> (f32, f32) {
    let spine = mesh.calc_bounds().right() - 0.01;
    let ys = || {
        let there = mesh.vertices.iter().filter(move |v| v.pos.x >= spine);
        there.map(|v| v.pos.y)
    };
    (
        ys().fold(f32::INFINITY, f32::min),
        ys().fold(f32::NEG_INFINITY, f32::max),
    )
}

/// Half of 0.9, then 0.15 more, then the face at 1.2: what each layer spans over the mid-plane, its right side first.
const SPANS: [(f64, f64); 5] = [
    (-0.45, 0.45),
    (0.45, 0.6),
    (-0.6, -0.45),
    (0.6, 1.2),
    (-1.2, -0.6),
];

/// From above the layers of the even bar are drawn from the butt to the tip, each as thick as it is; each kind has its color.
#[test]
fn layers_are_seen_from_above() {
    let mut set = picnic();
    set.knife_mut(1).unwrap().grinding.taper = None;
    let bench = Bench::new(set);
    let strip = bench.0.state().session().strip.unwrap();
    let shapes = drawn(&bench);
    let own: Vec<(Color32, &Mesh)> = meshes(&shapes)
        .into_iter()
        .filter(|(_, mesh)| strip.rect.contains_rect(mesh.calc_bounds()))
        .collect();
    let mut colors = Vec::new();
    for (low, high) in SPANS {
        let found = own.iter().find(|(_, mesh)| {
            let (top, bottom) = reach(mesh);
            (top - strip.y(low)).abs() < 0.1 && (bottom - strip.y(high)).abs() < 0.1
        });
        let (color, _) = found.unwrap_or_else(|| panic!("no layer from {low} to {high}"));
        colors.push(*color);
    }
    assert!(colors[0] != colors[1] && colors[1] != colors[3] && colors[0] != colors[3]);
    assert_eq!((colors[1], colors[3]), (colors[2], colors[4]));
}

/// The folded line tells foils as thin as they are.
#[test]
fn layers_are_told_to_the_hundredth() {
    let bench = Bench::new(picnic());
    assert!(bench.has("Layers: core 0.90 · shim 0.15 · cladding 0.60"));
}

/// Stations of a taper stand under their own places on the drawing, and keep to them when it is moved and enlarged.
#[test]
fn stations_stand_under_their_places() {
    let mut bench = Bench::new(tapered());
    let stand = |bench: &Bench| {
        let session = bench.0.state().session();
        let (view, canvas) = (session.view(), session.canvas.unwrap());
        for (i, x) in [(1, -110.0), (2, 0.0), (3, 240.0)] {
            let under = view.screen_from_model(canvas, Point::new(x, 0.0)).x;
            let name = format!("thickness station {i} at");
            if !canvas.x_range().contains(under) {
                continue;
            }
            let off = (bench.place_of(&name).x - under).abs();
            assert!(off < 0.5, "{name}: {off}");
        }
    };
    stand(&bench);
    let view = bench.0.state_mut().session_mut().view_mut().unwrap();
    view.px_per_mm *= 1.3;
    view.middle += tangwright::geometry::Vec2::new(7.0, 3.0);
    bench.0.run_steps(3);
    stand(&bench);
}

/// In the section each layer is drawn as wide as it lies between the faces: of 2.4 mm 0.9, 0.15 twice and 0.6 twice.
#[test]
fn layers_are_seen_in_the_section() {
    let mut bench = Bench::new(picnic());
    bench.enter("section at", "40");
    let strip = bench.0.state().session().strip.unwrap();
    let shapes = drawn(&bench);
    let all = meshes(&shapes);
    // The colors as the strip has them.
    let colors: Vec<Color32> = SPANS
        .iter()
        .map(|(low, high)| {
            let found = all.iter().find(|(_, mesh)| {
                let (top, bottom) = reach(mesh);
                strip.rect.contains_rect(mesh.calc_bounds())
                    && (top - strip.y(*low)).abs() < 0.1
                    && (bottom - strip.y(*high)).abs() < 0.1
            });
            found.unwrap().0
        })
        .collect();
    let own: Vec<&(Color32, &Mesh)> = all
        .iter()
        .filter(|(color, mesh)| {
            colors.contains(color) && mesh.calc_bounds().top() > strip.rect.bottom()
        })
        .collect();
    // The whole section, and its edge enlarged.
    assert!(
        !own.is_empty() && own.len().is_multiple_of(5),
        "{}",
        own.len()
    );
    for figure in own.chunks(5) {
        let reaches: Vec<(f32, f32)> = figure
            .iter()
            .map(|(_, mesh)| reach_at_spine(mesh))
            .collect();
        let top = reaches.iter().map(|r| r.0).fold(f32::INFINITY, f32::min);
        let bottom = reaches.iter().map(|r| r.1).fold(0.0, f32::max);
        let scale = f64::from(bottom - top) / 2.4;
        let middle = f64::from(f32::midpoint(top, bottom));
        for (((low, high), own), (color, (a, b))) in SPANS
            .iter()
            .zip(&colors)
            .zip(figure.iter().map(|f| f.0).zip(reaches))
        {
            assert_eq!(color, *own);
            assert!(
                (f64::from(a) - middle - low * scale).abs() < 0.3,
                "{low} at {a}"
            );
            assert!(
                (f64::from(b) - middle - high * scale).abs() < 0.3,
                "{high} at {b}"
            );
        }
    }
}

/// The middle lines of the boundaries on the face toward the viewer, with their heights.
fn middle_lines(results: &KnifeResults) -> Vec<(f64, &[Point])> {
    let lines = &results.weighed.scale.relief().unwrap().lines;
    let own = lines.iter().filter(|line| line.face == Face::Right);
    own.filter_map(|line| match line.kind {
        LineKind::Reveal {
            boundary_mm,
            part: RevealPart::Middle,
        } => Some((boundary_mm, line.points.as_slice())),
        _ => None,
    })
    .collect()
}

/// Whether a place lies in a triangle, whichever way round it goes.
fn inside(p: Point, a: Point, b: Point, c: Point) -> bool {
    let sides = [(a, b), (b, c), (c, a)].map(|(from, to)| (to - from).cross(p - from));
    sides.iter().all(|s| *s >= -1e-6) || sides.iter().all(|s| *s <= 1e-6)
}

/// Where core and shim end on the bevel lines are drawn through the very places that were computed, and the bands their boundaries wander in lie around them.
#[test]
fn core_and_shim_are_drawn_where_they_show() {
    let mut bench = Bench::new(picnic());
    bench.0.run_steps(2);
    let found = results(&bench);
    let lines = middle_lines(found);
    let heights: Vec<f64> = lines.iter().map(|l| l.0).collect();
    for boundary in [0.45, 0.6] {
        assert!(
            heights.iter().any(|h| (h - boundary).abs() < 1e-9),
            "{heights:?}"
        );
    }
    let session = bench.0.state().session();
    let (view, canvas) = (session.view(), session.canvas.unwrap());
    let shapes = drawn(&bench);
    let paths: Vec<&PathShape> = shapes
        .iter()
        .filter_map(|shape| match shape {
            Shape::Path(path) => Some(path),
            _ => None,
        })
        .collect();
    for (boundary, points) in &lines {
        let on_screen: Vec<Pos2> = points
            .iter()
            .map(|p| view.screen_from_model(canvas, *p))
            .collect();
        let through = |path: &&PathShape| on_screen.iter().all(|p| path.points.contains(p));
        let there = paths.iter().any(through);
        assert!(there, "the line at {boundary} is not drawn");
    }
    // Each wandering boundary has its band, which holds the middle line.
    assert_eq!(found.weighed.wandering.len(), lines.len());
    for (boundary, band) in &found.weighed.wandering {
        let (_, points) = lines.iter().find(|(own, _)| own == boundary).unwrap();
        let held = points.iter().filter(|p| {
            band.triangles.chunks_exact(3).any(|t| {
                let [a, b, c] = [t[0], t[1], t[2]].map(|i| band.corners[i as usize]);
                inside(**p, a, b, c)
            })
        });
        assert!(held.count() * 10 > points.len() * 8);
    }
}

/// The Weigh-up card tells of each layer what grinding left of it and what the blank had, both sides together: of 5 mm a core of 2 is two fifths of the blank, the claddings
/// three. What is left of them is what is left of all.
#[test]
fn the_weigh_up_tells_each_layer_before_and_after() {
    let bench = Bench::new(clad());
    let up = &results(&bench).weighed.up;
    let blank = up.steel.blank_mass_g.unwrap();
    let told = |name: &str, share: f64| -> f64 {
        let texts = bench.beside(name);
        let (left, of) = texts
            .iter()
            .find_map(|text| text.split_once(" of "))
            .unwrap_or_else(|| panic!("{name}: {texts:?}"));
        let number = |text: &str| text.trim_end_matches(" g").parse::<f64>().unwrap();
        assert!(
            (number(of) - share * blank).abs() < 0.6,
            "{name}: {of} of {blank}"
        );
        number(left)
    };
    let left = told("core", 0.4) + told("cladding", 0.6);
    let ground = up.ground.unwrap().mass_g;
    assert!((left - ground).abs() < 1.1, "{left} {ground}");
}
