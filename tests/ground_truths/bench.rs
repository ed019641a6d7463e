//! Blades the truths are tried on, and the survey of them.

use crate::bare_knife::bare_knife;
use tangwright::geometry::{Contour, Point, Vec2};
use tangwright::knife::{
    Cut, CutForm, Grind, Knife, Landmark, LandmarkKind, Node, Outline, Rise, Run, Sides, Spot,
};
use tangwright::thickness::{BladeLayers, GrindFault, GroundBlade, Removed, Surveyor};

/// A knife of steel 4 mm thick through corners with optional handles (in, out); its landmarks are `(kind, node)`.
pub(crate) fn blade(nodes: Vec<Node>, landmarks: &[(LandmarkKind, u32)]) -> Knife {
    let mut knife = bare_knife(Outline { nodes });
    for &(kind, node) in landmarks {
        knife.landmarks.push(Landmark {
            kind,
            spot: Spot { node, t: 0.0 },
        });
    }
    knife.landmarks.sort_by_key(|l| l.kind);
    knife
}

pub(crate) fn corners(points: &[(f64, f64)]) -> Vec<Node> {
    (0..)
        .zip(points)
        .map(|(id, &(x, y))| Node::corner(id, Point::new(x, y)))
        .collect()
}

/// A bar `length × height`, edge from (0, 0) to (length, 0): plunge at its beginning, tip at its end.
pub(crate) fn bar(length: f64, height: f64) -> Knife {
    blade(
        corners(&[(0.0, 0.0), (length, 0.0), (length, height), (0.0, height)]),
        &[(LandmarkKind::Plunge, 0), (LandmarkKind::Tip, 1)],
    )
}

pub(crate) fn flat(height: f64) -> Cut {
    Cut {
        form: CutForm::Flat,
        rise: Rise::even_height(height),
    }
}

pub(crate) fn grind(sides: Sides, edge_mm: f64) -> Grind {
    Grind {
        id: 500,
        name: "bevel".to_owned(),
        run: Run {
            from: LandmarkKind::Plunge,
            to: LandmarkKind::Tip,
        },
        sides,
        edge_mm,
        edge_offset_mm: 0.0,
        plunge_from: None,
        plunge_to: None,
        after_hardening: false,
    }
}

/// The blade ready for questions.
pub(crate) fn ready(knife: &Knife) -> Result<(GroundBlade, Contour), Vec<GrindFault>> {
    let contour = knife.contour();
    let index = contour.index();
    Ok((GroundBlade::new(knife, &contour, &index)?, contour))
}

/// What all grinds take, weights 1.
pub(crate) fn survey(knife: &Knife) -> Result<Removed, GrindFault> {
    let (blade, contour) = ready(knife).map_err(|mut faults| faults.remove(0))?;
    let layers = BladeLayers::of(&knife.stock, &knife.stock.laid_layers());
    let weights = vec![1.0; layers.count()];
    let blank = contour.moments().area.abs() * knife.stock.thickness_mm;
    Surveyor::new(&blade, &layers, &weights, blank).whole()
}

pub(crate) fn volume(removed: &Removed) -> f64 {
    removed.layers.iter().map(|l| l.volume).sum()
}

/// Nodes of a chain of cubics for an arc, `pieces` of them; the last point is a node without an outgoing handle.
pub(crate) fn arc_nodes(
    first_id: u32,
    center: (f64, f64),
    radius: f64,
    from: f64,
    sweep: f64,
    pieces: u32,
) -> Vec<Node> {
    let step = sweep / f64::from(pieces);
    let handle = 4.0 / 3.0 * (step / 4.0).tan() * radius;
    (0..=pieces)
        .map(|i| {
            let angle = from + step * f64::from(i);
            let at = Point::from(center) + Vec2::from_angle(angle) * radius;
            let along = Vec2::new(-angle.sin(), angle.cos()) * handle;
            Node {
                handle_in: (i > 0).then_some(-along),
                handle_out: (i < pieces).then_some(along),
                ..Node::corner(first_id + i, at)
            }
        })
        .collect()
}

#[track_caller]
pub(crate) fn close(found: f64, truth: f64, relative: f64) {
    let error = (found - truth).abs() / truth.abs().max(1e-30);
    assert!(
        error <= relative,
        "{found} is not {truth}: off by {error:e}"
    );
}
