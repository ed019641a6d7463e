//! What the tests of single edits share: small sets, and ways to measure an outline that owe nothing to the code under test.

use std::sync::Arc;

use tangwright::edit::{Change, Edit, EditError, apply};
use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{
    CutOut, CutShape, Filling, FullTang, Id, Knife, KnifeSet, LandmarkKind, Material, Node,
    Outline, Purpose, Spot, Stock, Tang, default_sizes, make_starter, starter_forms,
};

pub(crate) fn material(key: &str, density_g_cm3: f64) -> Material {
    Material {
        key: key.to_owned(),
        name: key.to_owned(),
        density_g_cm3,
        density_low: density_g_cm3 * 0.99,
        density_high: density_g_cm3 * 1.01,
        data_sheet: String::new(),
    }
}

/// A set of one knife, id 0, with `steel` and `brass`.
pub(crate) fn set_of(knife: Knife) -> KnifeSet {
    KnifeSet {
        name: "orchard set".to_owned(),
        knives: vec![Arc::new(Knife { id: 0, ..knife })],
        materials: vec![material("steel", 7.85), material("brass", 8.5)],
        next_id: 1,
    }
}

pub(crate) fn starter(form: &str) -> Knife {
    make_starter(form, &default_sizes(form).unwrap(), "steel").unwrap()
}

pub(crate) fn starters() -> Vec<Knife> {
    starter_forms().iter().map(|f| starter(f.key)).collect()
}

/// The only knife.
pub(crate) fn knife(set: &KnifeSet) -> &Knife {
    set.knife(0).unwrap()
}

/// The set after a change of knife 0 that must be taken.
pub(crate) fn changed(set: &KnifeSet, change: Change) -> KnifeSet {
    apply(set, &Edit::knife(0, change)).unwrap()
}

/// Why a change of knife 0 is refused.
pub(crate) fn refused(set: &KnifeSet, change: Change) -> EditError {
    apply(set, &Edit::knife(0, change)).unwrap_err()
}

/// A polygon as a knife; node ids count from 0.
pub(crate) fn polygon(corners: &[(f64, f64)]) -> Knife {
    let nodes: Vec<Node> = (0..)
        .zip(corners)
        .map(|(id, at)| Node::corner(id, Point::from(*at)))
        .collect();
    Knife {
        next_id: nodes.len() as Id,
        ..Knife::bare(
            "plate",
            Outline { nodes },
            Stock::plain(4.0, 0.1, "steel"),
            Tang::Full(FullTang::straight(100.0, 30.0)),
        )
    }
}

/// A plate from −100 to 120 and from 0 to 30 with nodes on the shoulder line and every landmark:
///
/// ```text
///   5 -------- 4 ---------- 3
///   |          :            |
///   0 -------- 1 ---------- 2
/// ```
pub(crate) fn plate() -> Knife {
    let mut knife = polygon(&[
        (-100.0, 0.0),
        (0.0, 0.0),
        (120.0, 0.0),
        (120.0, 30.0),
        (0.0, 30.0),
        (-100.0, 30.0),
    ]);
    for (kind, node, t) in [
        (LandmarkKind::LowerShoulder, 1, 0.0),
        (LandmarkKind::Heel, 1, 0.1),
        (LandmarkKind::Plunge, 1, 0.2),
        (LandmarkKind::Tip, 2, 0.0),
        (LandmarkKind::SpineStart, 3, 0.5),
        (LandmarkKind::UpperShoulder, 4, 0.0),
        (LandmarkKind::Butt, 5, 0.5),
    ] {
        knife.set_landmark(kind, Spot { node, t });
    }
    knife
}

/// Cuts an opening; gives its id.
pub(crate) fn cut(knife: &mut Knife, shape: CutShape) -> Id {
    let id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape,
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
    id
}

pub(crate) fn hole(knife: &mut Knife, x: f64, y: f64, diameter_mm: f64) -> Id {
    let center = Point::new(x, y);
    cut(
        knife,
        CutShape::Round {
            center,
            diameter_mm,
        },
    )
}

/// Points all along the outline, each piece at even parameters by Bernstein's formula: extremes of them are right to about the square
/// of the step.
pub(crate) fn sampled(outline: &Outline) -> Vec<Point> {
    const STEPS: u32 = 20_000;
    let nodes = &outline.nodes;
    let mut points = Vec::new();
    for (i, a) in nodes.iter().enumerate() {
        let b = &nodes[(i + 1) % nodes.len()];
        let [p0, p3] = [a.at.to_vec2(), b.at.to_vec2()];
        let straight = a.handle_out.is_none() && b.handle_in.is_none();
        let third = if straight {
            (p3 - p0) / 3.0
        } else {
            Vec2::ZERO
        };
        let p1 = p0 + a.handle_out.unwrap_or(third);
        let p2 = p3 + b.handle_in.unwrap_or(-third);
        for k in 0..=STEPS {
            let t = f64::from(k) / f64::from(STEPS);
            let u = 1.0 - t;
            let p = p0 * (u * u * u)
                + p1 * (3.0 * u * u * t)
                + p2 * (3.0 * u * t * t)
                + p3 * (t * t * t);
            points.push(p.to_point());
        }
    }
    points
}

pub(crate) fn near(a: f64, b: f64, within: f64) -> bool {
    (a - b).abs() <= within
}

#[track_caller]
pub(crate) fn assert_near(a: f64, b: f64, within: f64) {
    assert!(near(a, b, within), "{a} is not within {within} of {b}");
}

#[track_caller]
pub(crate) fn assert_at(a: Point, b: Point, within: f64) {
    assert!(
        a.distance(b) <= within,
        "{a:?} is not within {within} of {b:?}"
    );
}
