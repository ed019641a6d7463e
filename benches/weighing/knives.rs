//! Knives of any number of pieces and cut-outs, and the same as polygons.

use std::f64::consts::TAU;

use geo::{Coord, LineString, Polygon};
use tangwright::geometry::{Contour, Point, Vec2};
use tangwright::knife::{
    CutOut, CutShape, Filling, FullTang, Knife, KnifeSet, LandmarkKind, Material, Node, Outline,
    Purpose, Spot, Stock, Tang,
};

const LENGTH_MM: f64 = 300.0;
const HEIGHT_MM: f64 = 44.0;

/// An outline 300 × 44 mm of `n` pieces: an ellipse, one piece in four straight, the others cubics along it.
fn outline(n: u32) -> Outline {
    let step = TAU / f64::from(n);
    let at = |u: f64| Vec2::new(LENGTH_MM / 2.0 * u.cos(), HEIGHT_MM / 2.0 * u.sin());
    let along = |u: f64| Vec2::new(-LENGTH_MM / 2.0 * u.sin(), HEIGHT_MM / 2.0 * u.cos());
    let handle = 4.0 / 3.0 * (step / 4.0).tan();
    let straight = |i: u32| i.is_multiple_of(4);
    let nodes = (0..n).map(|i| {
        let u = step * f64::from(i);
        Node {
            handle_out: (!straight(i)).then(|| along(u) * handle),
            handle_in: (!straight((i + n - 1) % n)).then(|| along(u) * -handle),
            ..Node::corner(i, at(u).to_point())
        }
    });
    Outline {
        nodes: nodes.collect(),
    }
}

/// `n` cut-outs on a grid, apart from each other and from the outline: every fifth a slot, the others round; every
/// third filled with a pin.
fn cut_outs(n: u32) -> Vec<CutOut> {
    let cut = |i: u32| {
        let (column, line) = (f64::from(i / 4), f64::from(i % 4));
        let center = Point::new(-97.5 + 5.0 * column, -9.0 + 6.0 * line);
        let shape = if i % 5 == 4 {
            CutShape::Slot {
                center,
                length_mm: 4.0,
                width_mm: 2.0,
                angle_rad: 0.1 + f64::from(i),
            }
        } else {
            CutShape::Round {
                center,
                diameter_mm: 2.4,
            }
        };
        let filling = if i.is_multiple_of(3) {
            Filling::pin("brass")
        } else {
            Filling::Nothing
        };
        CutOut {
            id: 10_000 + i,
            shape,
            purpose: Purpose::Lightening,
            filling,
        }
    };
    (0..n).map(cut).collect()
}

fn material(key: &str, density: f64) -> Material {
    Material {
        key: key.to_owned(),
        name: key.to_owned(),
        density_g_cm3: density,
        density_low: density - 0.05,
        density_high: density + 0.05,
        data_sheet: String::new(),
    }
}

/// A set with what the knives below are made of.
pub(crate) fn set() -> KnifeSet {
    KnifeSet {
        materials: vec![material("steel", 7.85), material("brass", 8.53)],
        ..KnifeSet::default()
    }
}

/// A knife with an outline of that many pieces and that many cut-outs.
pub(crate) fn knife(n_pieces: u32, n_cut_outs: u32) -> Knife {
    let mut knife = Knife {
        cut_outs: cut_outs(n_cut_outs),
        next_id: 20_000,
        ..Knife::bare(
            "bench",
            outline(n_pieces),
            Stock::plain(4.0, 0.1, "steel"),
            Tang::Full(FullTang {
                length_mm: 100.0,
                butt_height_mm: 25.0,
                belly_mm: 2.0,
                drop_mm: 0.0,
                finger_mm: 0.0,
                hook_mm: 0.0,
            }),
        )
    };
    knife.set_landmark(LandmarkKind::Tip, Spot { node: 0, t: 0.0 });
    knife.set_landmark(LandmarkKind::Heel, Spot { node: 1, t: 0.5 });
    knife
}

/// The steel as a polygon whose chords leave the curves by no more than `tolerance` mm.
pub(crate) fn polygon(knife: &Knife, tolerance: f64) -> Polygon<f64> {
    let ring = |contour: &Contour| -> LineString<f64> {
        let points = contour.flattened(tolerance);
        points
            .iter()
            .chain(points.first())
            .map(|p| Coord { x: p.x, y: p.y })
            .collect()
    };
    let holes = knife.cut_outs.iter().map(|c| ring(&c.shape.contour()));
    Polygon::new(ring(&knife.contour()), holes.collect())
}
