//! Shapes and knives the truths are tried on.

use std::sync::Arc;

use crate::bare_knife::bare_knife;
use tangwright::geometry::{AreaMoments, CircularArc, Contour, CubicBez, Piece, Point, Vec2};
use tangwright::knife::{
    CutOut, CutShape, Filling, Guard, Knife, KnifeSet, Material, Node, Outline, Purpose,
};

pub(crate) fn at(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

pub(crate) fn line(a: (f64, f64), b: (f64, f64)) -> Piece {
    Piece::line(a.into(), b.into())
}

pub(crate) fn cubic(p: [(f64, f64); 4]) -> Piece {
    let [a, b, c, d] = p.map(Point::from);
    Piece::Cubic(CubicBez::new(a, b, c, d))
}

pub(crate) fn arc(center: (f64, f64), radius: f64, start_angle: f64, sweep: f64) -> Piece {
    Piece::Arc(CircularArc {
        center: center.into(),
        radius,
        start_angle,
        sweep,
    })
}

pub(crate) fn chain(pieces: Vec<Piece>) -> Contour {
    Contour { pieces }
}

pub(crate) fn polygon(corners: &[(f64, f64)]) -> Contour {
    let corners: Vec<Point> = corners.iter().map(|c| Point::from(*c)).collect();
    Contour::polygon(&corners)
}

/// The least relative error asked of quantities that are exact.
pub(crate) const EXACT: f64 = 1e-9;

/// Whether a number is right to [`EXACT`], measured by the truth or, where that is small by cancellation, by `scale`.
#[track_caller]
pub(crate) fn close(found: f64, truth: f64, scale: f64) {
    let error = (found - truth).abs() / truth.abs().max(scale);
    assert!(error <= EXACT, "{found} is not {truth}: off by {error:e}");
}

/// Area, centroid, and second moments `(∫y², ∫x², ∫xy)` about the origin.
pub(crate) struct Truth {
    pub(crate) area: f64,
    pub(crate) centroid: (f64, f64),
    pub(crate) ixx: Option<f64>,
    pub(crate) iyy: Option<f64>,
    pub(crate) ixy: Option<f64>,
}

impl Truth {
    pub(crate) fn new(area: f64, centroid: (f64, f64)) -> Self {
        Self {
            area,
            centroid,
            ixx: None,
            iyy: None,
            ixy: None,
        }
    }

    pub(crate) fn about_origin(self, ixx: f64, iyy: f64) -> Self {
        Self {
            ixx: Some(ixx),
            iyy: Some(iyy),
            ..self
        }
    }

    pub(crate) fn product(self, ixy: f64) -> Self {
        Self {
            ixy: Some(ixy),
            ..self
        }
    }

    /// Holds the moments of a counterclockwise contour against the truth, and those of the clockwise one.
    #[track_caller]
    pub(crate) fn holds_for(&self, contour: &Contour) {
        self.is(&contour.moments());
        let clockwise = contour.reversed().moments();
        assert!(clockwise.area < 0.0);
        self.is(&clockwise.negated());
    }

    #[track_caller]
    pub(crate) fn is(&self, found: &AreaMoments) {
        let size = self.area.abs().sqrt();
        close(found.area, self.area, 0.0);
        close(found.centroid.x, self.centroid.0, size);
        close(found.centroid.y, self.centroid.1, size);
        let (ixx, iyy, ixy) = found.second_moments_about(Point::ZERO);
        for (found, truth) in [(ixx, self.ixx), (iyy, self.iyy), (ixy, self.ixy)] {
            if let Some(truth) = truth {
                close(found, truth, 0.0);
            }
        }
    }
}

/// An outline through the ends of lines and cubics.
pub(crate) fn outline_of(contour: &Contour, first_id: u32) -> Outline {
    let n = contour.pieces.len();
    let handle = |piece: &Piece, outgoing: bool| match piece {
        Piece::Cubic(c) if outgoing => Some(c.p1 - c.p0),
        Piece::Cubic(c) => Some(c.p2 - c.p3),
        _ => None,
    };
    let nodes = contour.pieces.iter().enumerate().map(|(i, piece)| Node {
        handle_in: handle(&contour.pieces[(i + n - 1) % n], false),
        handle_out: handle(piece, true),
        ..Node::corner(first_id + i as u32, piece.start())
    });
    Outline {
        nodes: nodes.collect(),
    }
}

pub(crate) fn material(key: &str, density: f64, spread: f64) -> Material {
    Material {
        key: key.to_owned(),
        name: key.to_owned(),
        density_g_cm3: density,
        density_low: density - spread,
        density_high: density + spread,
        data_sheet: String::new(),
    }
}

/// A set with carbon steel (7.85 g/cm³), brass (8.53) and resin (1.15).
pub(crate) fn set() -> KnifeSet {
    KnifeSet {
        name: "test bench".to_owned(),
        knives: Vec::new(),
        materials: vec![
            material("steel", 7.85, 0.05),
            material("brass", 8.53, 0.10),
            material("resin", 1.15, 0.05),
        ],
        next_id: 1,
    }
}

/// A knife of carbon steel with the given outline, 4 mm thick.
pub(crate) fn knife(contour: &Contour) -> Knife {
    bare_knife(outline_of(contour, 0))
}

pub(crate) fn cut(id: u32, shape: CutShape) -> CutOut {
    CutOut {
        id,
        shape,
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    }
}

pub(crate) fn round(id: u32, x: f64, y: f64, diameter_mm: f64) -> CutOut {
    let center = at(x, y);
    cut(
        id,
        CutShape::Round {
            center,
            diameter_mm,
        },
    )
}

pub(crate) fn slot(id: u32, x: f64, y: f64, length_mm: f64, width_mm: f64, angle: f64) -> CutOut {
    cut(
        id,
        CutShape::Slot {
            center: at(x, y),
            length_mm,
            width_mm,
            angle_rad: angle,
        },
    )
}

pub(crate) fn free(id: u32, contour: &Contour) -> CutOut {
    let outline = outline_of(contour, 10_000 + id * 100);
    cut(id, CutShape::Free { outline })
}

/// A guard of brass that fits the plate knife.
pub(crate) fn guard() -> Guard {
    Guard {
        id: 900,
        name: "guard".to_owned(),
        width_mm: 12.0,
        height_mm: 40.0,
        middle_y_mm: 0.0,
        corner_radius_mm: 6.0,
        thickness_mm: 6.0,
        material: "brass".to_owned(),
        clearance_mm: 0.1,
        slot_corner_mm: 0.5,
    }
}

/// A plain plate from `x = −60` to `60`, `y = ±12.5`.
pub(crate) fn plate() -> Contour {
    polygon(&[(-60.0, -12.5), (60.0, -12.5), (60.0, 12.5), (-60.0, 12.5)])
}

/// A camp blade with a full tang: three lines, the rest cubics.
pub(crate) fn camp_outline() -> Contour {
    chain(vec![
        line((0.0, -9.0), (12.0, -22.0)),
        cubic([(12.0, -22.0), (70.0, -27.0), (140.0, -26.0), (190.0, 12.0)]),
        cubic([(190.0, 12.0), (170.0, 16.0), (130.0, 20.0), (80.0, 20.0)]),
        line((80.0, 20.0), (0.0, 20.0)),
        cubic([(0.0, 20.0), (-40.0, 20.0), (-80.0, 24.0), (-118.0, 13.0)]),
        cubic([
            (-118.0, 13.0),
            (-130.0, 9.0),
            (-130.0, -15.0),
            (-114.0, -17.0),
        ]),
        cubic([(-114.0, -17.0), (-80.0, -20.0), (-60.0, 0.0), (-30.0, -6.0)]),
        line((-30.0, -6.0), (0.0, -9.0)),
    ])
}

/// Adds a knife to a set, as the rack does.
pub(crate) fn on_the_rack(mut set: KnifeSet, knife: Knife) -> KnifeSet {
    set.next_id = set.next_id.max(knife.id + 1);
    set.knives.push(Arc::new(knife));
    set
}

/// The pieces as a `kurbo` path; arcs are not among them.
pub(crate) fn kurbo_path(contour: &Contour) -> kurbo::BezPath {
    let mut path = kurbo::BezPath::new();
    for (i, piece) in contour.pieces.iter().enumerate() {
        if i == 0 {
            path.move_to(piece.start());
        }
        match piece {
            Piece::Cubic(c) => path.curve_to(c.p1, c.p2, c.p3),
            other => path.line_to(other.end()),
        }
    }
    path.close_path();
    path
}

/// A quarter of a turn.
pub(crate) fn quarter_turn(v: Vec2) -> Vec2 {
    Vec2::new(-v.y, v.x)
}
