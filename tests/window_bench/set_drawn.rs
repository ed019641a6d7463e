//! What the Set page draws, measured on its own lines: one scale, one shoulder line, and room for many knives.

use egui::{Pos2, Rect, Shape};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use crate::set::at_the_set;
use tangwright::edit::{Edit, apply};
use tangwright::knife::{Knife, KnifeSet, orchard_set};
use tangwright::weighing::weigh;
use tangwright::window::Workshop;

/// Width of the lines of the knife on the drawing, and of the dashed one over it, screen points.
const BRIGHT_PX: f32 = 1.8;

/// Every shape of the last frame, out of its groups.
pub(crate) fn shapes(window: &Harness<'static, Workshop>) -> Vec<Shape> {
    fn flat(shape: &Shape, all: &mut Vec<Shape>) {
        match shape {
            Shape::Vec(inner) => inner.iter().for_each(|shape| flat(shape, all)),
            other => all.push(other.clone()),
        }
    }
    let mut all = Vec::new();
    for clipped in &window.output().shapes {
        flat(&clipped.shape, &mut all);
    }
    all
}

/// The boxes of closed lines of many points, the widest first: outlines of knives, then those of their windows.
fn outlines(shapes: &[Shape]) -> Vec<Rect> {
    let mut boxes: Vec<Rect> = shapes
        .iter()
        .filter_map(|shape| match shape {
            Shape::Path(path) if path.closed && path.points.len() > 20 => {
                Some(Rect::from_points(&path.points))
            }
            _ => None,
        })
        .collect();
    boxes.sort_by(|a, b| b.width().total_cmp(&a.width()));
    boxes
}

/// The box of a knife's steel, mm, up as on the knife.
#[expect(
    clippy::cast_possible_truncation,
    reason = "screen places are single precision"
)]
fn steel(knife: &Knife) -> Rect {
    let own = knife.contour().index().bounds();
    let corner = |x: f64, y: f64| Pos2::new(x as f32, y as f32);
    Rect::from_min_max(corner(own.x0, own.y0), corner(own.x1, own.y1))
}

/// Scale and shoulder line by which a knife of known steel was drawn in a box.
fn scale_and_shoulder(steel: Rect, drawn: Rect) -> (f32, f32) {
    let scale = drawn.width() / steel.width();
    (scale, drawn.left() - scale * steel.left())
}

/// Outlines are to each other as the knives are long, and their shoulder lines are one line, within a screen point.
#[test]
fn side_by_side_all_knives_have_one_scale_and_one_shoulder_line() {
    let set = orchard_set();
    let window = at_the_set(set.clone());
    let mut steels: Vec<Rect> = set.knives.iter().map(|k| steel(k)).collect();
    steels.sort_by(|a, b| b.width().total_cmp(&a.width()));
    let drawn = outlines(&shapes(&window));
    let (scale, shoulder) = scale_and_shoulder(steels[0], drawn[0]);
    assert!(
        scale > 0.5,
        "large enough to be seen: {scale} points to the mm"
    );
    for (steel, own) in steels.iter().zip(&drawn) {
        assert!((own.width() - scale * steel.width()).abs() < 1.0, "{own:?}");
        let left = shoulder + scale * steel.left();
        assert!((own.left() - left).abs() < 1.0, "{own:?}");
    }
}

/// The dashed knife reaches as far from the bright one's shoulder line as it should at the same scale; below both lie a full and a dashed line of mass.
#[test]
fn one_over_the_other_both_share_scale_and_shoulder_line() {
    let set = orchard_set();
    let mut window = at_the_set(set.clone());
    window.get_by_label("One over the other").click();
    window.run();
    let shapes = shapes(&window);
    let (here, other) = (steel(&set.knives[0]), steel(&set.knives[1]));
    let full = outlines(&shapes)[0];
    let (scale, shoulder) = scale_and_shoulder(here, full);
    // A dash that meets a corner goes round it, in a few short pieces.
    let dashes: Vec<[Pos2; 2]> = shapes
        .iter()
        .flat_map(|shape| match shape {
            Shape::LineSegment { points, stroke } if stroke.width == BRIGHT_PX => vec![*points],
            Shape::Path(path)
                if !path.closed && path.stroke.width == BRIGHT_PX && path.points.len() <= 50 =>
            {
                path.points.array_windows().copied().collect()
            }
            _ => Vec::new(),
        })
        .collect();
    // The outline lies beside the bright one, the line of mass below all steel. On the page `y` points down, on the knife up.
    let level = full.bottom() + scale * here.top();
    let lowest = level - scale * here.top().min(other.top());
    let below = |points: &[Pos2; 2]| points.iter().all(|p| p.y > lowest + 2.0);
    let (mass, outline): (Vec<_>, Vec<_>) = dashes.into_iter().partition(below);
    let across = |dashes: &[[Pos2; 2]]| Rect::from_points(&dashes.concat());
    let (own, line) = (across(&outline), across(&mass));
    let left = shoulder + scale * other.left();
    assert!((own.left() - left).abs() < 1.0, "{own:?}: {left}");
    // The tip may fall between two dashes.
    let right = shoulder + scale * other.right();
    assert!((own.right() - right).abs() < 4.5, "{own:?}: {right}");
    assert!(mass.len() > 10, "{} dashes of mass", mass.len());
    assert!(
        (line.left() - left).abs() < 2.0,
        "the line of mass begins at the butt"
    );
    let open = shapes.iter().any(|shape| match shape {
        Shape::Path(path) => {
            let own = Rect::from_points(&path.points);
            !path.closed && path.points.len() > 50 && own.width() > 0.9 * full.width()
        }
        _ => false,
    });
    assert!(open, "the line of mass of the bright knife");
}

/// Fulcrums of a page: three corners, the uppermost first; whether it is filled.
fn fulcrums(shapes: &[Shape]) -> Vec<(Pos2, bool)> {
    let found = shapes.iter().filter_map(|shape| match shape {
        Shape::Path(path) if path.closed && path.points.len() == 3 => {
            let [at, a, b] = path.points[..] else {
                return None;
            };
            // As high as wide, near enough: no arrow of a list.
            let stands = (a.x + b.x - 2.0 * at.x).abs() < 0.01 && a.y == b.y && a.y > at.y + 8.0;
            stands.then_some((at, path.fill != egui::Color32::TRANSPARENT))
        }
        _ => None,
    });
    found.collect()
}

/// What is told as a balance after a name, mm, and half of its last digit.
fn told_balance(words: &str, name: &str) -> Option<(f64, f64)> {
    let part = words.split("; ").find(|part| part.starts_with(name))?;
    let (_, told) = part.split_once("balance ")?;
    let number = told.trim_end_matches(" mm").replace('\u{2212}', "-");
    let decimals = number.split_once('.').map_or(0, |(_, d)| d.len());
    let half = 0.5 * 0.1_f64.powi(i32::try_from(decimals).ok()?);
    Some((number.parse().ok()?, half))
}

/// Both balance points are those of the two weigh-ups: in words, and as two fulcrums at their places under the shoulder line they share, the bright knife's
/// filled, the dashed one's in outline.
#[test]
fn one_over_the_other_both_balance_where_the_weigh_up_says() {
    let set = orchard_set();
    let mut window = at_the_set(set.clone());
    window.get_by_label("One over the other").click();
    window.run();
    let mut pairs = 0;
    for other in 1..set.knives.len() {
        let (first, second) = (&set.knives[0], &set.knives[other]);
        window.state_mut().session_mut().set.with = Some(second.id);
        window.run();
        let balance = |knife: &Knife| weigh(knife, &set).total.unwrap().balance_mm;
        let (here, there) = (balance(first), balance(second));
        let node = window.get_by_label("one over the other");
        let words = node.accesskit_node().value().unwrap();
        for (knife, mm) in [(first, here), (second, there)] {
            let (told, half) = told_balance(&words, &knife.name).unwrap();
            assert!((told - mm).abs() <= half + 1e-9, "{words}: {mm}");
        }
        let shapes = shapes(&window);
        let (scale, shoulder) = scale_and_shoulder(steel(first), outlines(&shapes)[0]);
        let found = fulcrums(&shapes);
        assert_eq!(found.len(), 2, "{found:?}");
        for (mm, filled) in [(here, true), (there, false)] {
            let (at, _) = found.iter().find(|(_, own)| *own == filled).unwrap();
            let wanted = shoulder + scale * mm as f32;
            assert!((at.x - wanted).abs() < 1.0, "{at:?}: {wanted}");
        }
        // They are told apart, or the test would not see them changed.
        pairs += usize::from((scale * (here - there) as f32).abs() > 4.0);
    }
    assert!(pairs >= 1, "no two knives balance apart");
}

/// Twenty knives do not shrink to threads: the page is rolled, and the last is reached and taken.
#[test]
fn many_knives_are_rolled() {
    let mut set: KnifeSet = orchard_set();
    for i in 0..16 {
        let knife = set.knives[i].id;
        set = apply(&set, &Edit::DoubleKnife { knife }).unwrap();
    }
    let last = set.knives.last().unwrap().clone();
    let window = &mut at_the_set(set);
    let tile = format!("{}  ·  ", last.name);
    let place = |window: &Harness<'static, Workshop>| window.get_by_label_contains(&tile).rect();
    let bottom = place(window).bottom();
    assert!(bottom > 1000.0, "it lies below what is seen: {bottom}");
    assert!(place(window).height() > 40.0);
    window.get_by_label_contains(&tile).scroll_to_me();
    window.run();
    assert!(place(window).bottom() < 500.0, "{:?}", place(window));
    window.get_by_label_contains(&tile).click();
    window.run();
    assert_eq!(window.state().session().knife, Some(last.id));
}
