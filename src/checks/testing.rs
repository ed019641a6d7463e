//! Small knives for the tests of the checks: a plate with corners at (0, 0) and (length, height), and what is put on it.

use std::sync::Arc;

use super::{Finding, Thresholds, check};
use crate::geometry::Point;
use crate::knife::{
    CutOut, CutShape, Faces, Filling, Fixing, FullTang, Guard, Handle, HandlePart, HandleStation,
    HiddenTang, Id, Knife, KnifeSet, LandmarkKind, Material, Node, Outline, PartKind, Purpose,
    Spot, Stock, Tang, TangEnd, Taper, ThicknessStation, fit_tang,
};
use crate::weighing::weigh;

/// A rectangle of the given size, of `steel`, without landmarks.
pub(super) fn plate(length: f64, height: f64, thickness_mm: f64) -> Knife {
    let corners = [(0.0, 0.0), (length, 0.0), (length, height), (0.0, height)];
    from_corners(&corners, thickness_mm)
}

/// A polygon as a knife.
pub(super) fn from_corners(corners: &[(f64, f64)], thickness_mm: f64) -> Knife {
    let nodes: Vec<Node> = (0..)
        .zip(corners)
        .map(|(id, at)| Node::corner(id, Point::from(*at)))
        .collect();
    let next_id = nodes.len() as Id;
    Knife {
        next_id,
        ..Knife::bare(
            "plate",
            Outline { nodes },
            Stock::plain(thickness_mm, 0.1, "steel"),
            Tang::Full(FullTang::straight(100.0, 25.0)),
        )
    }
}

/// An L, 4 mm thick, with its inside corner at (40, 15), which is node 4.
pub(super) fn angle() -> Knife {
    from_corners(&ANGLE, 4.0)
}

/// The corners of the L.
pub(super) const ANGLE: [(f64, f64); 6] = [
    (0.0, 0.0),
    (100.0, 0.0),
    (100.0, 30.0),
    (40.0, 30.0),
    (40.0, 15.0),
    (0.0, 15.0),
];

/// A plate from −100 to 120 with its shoulders, nodes 1 and 4, at `x`, and without landmarks.
pub(super) fn shouldered(x: f64) -> Knife {
    let corners = [
        (-100.0, 0.0),
        (x, 0.0),
        (120.0, 0.0),
        (120.0, 30.0),
        (x, 30.0),
        (-100.0, 30.0),
    ];
    from_corners(&corners, 4.0)
}

/// A blade with a hidden tang of the given shoulder radius.
pub(super) fn hidden(radius: f64) -> Knife {
    let mut knife = plate(100.0, 30.0, 4.0);
    let spot = |node| Spot { node, t: 0.0 };
    knife.set_landmark(LandmarkKind::LowerShoulder, spot(0));
    knife.set_landmark(LandmarkKind::UpperShoulder, spot(3));
    let tang = Tang::Hidden(HiddenTang {
        length_mm: 90.0,
        shoulder_width_mm: 12.0,
        end_width_mm: 9.0,
        shoulder_radius_mm: radius,
        end: TangEnd::Round,
    });
    fit_tang(&mut knife, tang).unwrap();
    knife
}

/// A plate of 200 × 60 × 4 mm with a square window of 20 mm.
pub(super) fn windowed() -> Knife {
    let mut knife = plate(200.0, 60.0, 4.0);
    free(
        &mut knife,
        &[(40.0, 20.0), (60.0, 20.0), (60.0, 40.0), (40.0, 40.0)],
    );
    knife
}

/// A plate of 100 × 30 × 4 mm with more nodes after its second corner, (100, 0).
pub(super) fn with_nodes(extra: &[(f64, f64)]) -> Knife {
    let mut knife = plate(100.0, 30.0, 4.0);
    for (i, at) in extra.iter().enumerate() {
        let node = Node::corner(knife.take_id(), Point::from(*at));
        knife.outline.nodes.insert(2 + i, node);
    }
    knife
}

/// A blade 30 high ahead of a tang 12 high and 80 long, 4 mm thick, with a sharp-cornered guard of 6 mm, 40 high, that leaves its tang no play.
pub(super) fn guarded(width_mm: f64) -> Knife {
    let mut knife = from_corners(
        &[
            (-80.0, -6.0),
            (0.0, -6.0),
            (0.0, -15.0),
            (100.0, -15.0),
            (100.0, 15.0),
            (0.0, 15.0),
            (0.0, 6.0),
            (-80.0, 6.0),
        ],
        4.0,
    );
    let id = knife.take_id();
    knife.guard = Some(Guard {
        id,
        name: "guard".to_owned(),
        width_mm,
        height_mm: 40.0,
        middle_y_mm: 0.0,
        corner_radius_mm: 3.0,
        thickness_mm: 6.0,
        material: "brass".to_owned(),
        clearance_mm: 0.0,
        slot_corner_mm: 0.0,
    });
    knife
}

/// Cuts an empty lightening hole.
pub(super) fn hole(knife: &mut Knife, x: f64, y: f64, diameter_mm: f64) -> &mut CutOut {
    let center = Point::new(x, y);
    put(
        knife,
        CutShape::Round {
            center,
            diameter_mm,
        },
    )
}

/// Cuts an empty level slot.
pub(super) fn slot(
    knife: &mut Knife,
    x: f64,
    y: f64,
    length_mm: f64,
    width_mm: f64,
) -> &mut CutOut {
    let center = Point::new(x, y);
    put(
        knife,
        CutShape::Slot {
            center,
            length_mm,
            width_mm,
            angle_rad: 0.0,
        },
    )
}

/// Cuts a polygon.
pub(super) fn free<'a>(knife: &'a mut Knife, corners: &[(f64, f64)]) -> &'a mut CutOut {
    let nodes = corners
        .iter()
        .map(|at| Node::corner(knife.take_id(), Point::from(*at)))
        .collect();
    put(
        knife,
        CutShape::Free {
            outline: Outline { nodes },
        },
    )
}

fn put(knife: &mut Knife, shape: CutShape) -> &mut CutOut {
    let id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape,
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
    knife.cut_outs.last_mut().unwrap()
}

/// A set of one knife with the materials `steel` and `brass`.
pub(super) fn set_of(knife: &Knife) -> KnifeSet {
    let material = |key: &str, density| Material {
        key: key.to_owned(),
        name: key.to_owned(),
        density_g_cm3: density,
        density_low: density,
        density_high: density,
        data_sheet: String::new(),
    };
    KnifeSet {
        name: "test".to_owned(),
        knives: vec![Arc::new(knife.clone())],
        materials: vec![material("steel", 7.85), material("brass", 8.5)],
        next_id: 1,
    }
}

/// Everything found with given figures.
pub(super) fn findings_by(knife: &Knife, thresholds: &Thresholds) -> Vec<Finding> {
    let set = set_of(knife);
    check(knife, &set, &weigh(knife, &set), thresholds)
}

/// Everything found with the usual figures.
pub(super) fn findings(knife: &Knife) -> Vec<Finding> {
    findings_by(knife, &Thresholds::default())
}

/// The codes of everything found.
pub(super) fn codes(knife: &Knife) -> Vec<&'static str> {
    findings(knife).iter().map(|f| f.code).collect()
}

/// The one finding with this code.
pub(super) fn find(knife: &Knife, code: &str) -> Finding {
    let all = findings(knife);
    let mut with_code = all.iter().filter(|f| f.code == code);
    let first = with_code.next();
    assert!(with_code.next().is_none(), "{code} is found twice");
    first
        .unwrap_or_else(|| {
            let codes: Vec<_> = all.iter().map(|f| f.code).collect();
            panic!("{code} is not found, only {codes:?}")
        })
        .clone()
}

/// A blade 100 by 60 ahead of a square tang.
pub(super) fn tanged(length: f64, height: f64, tang: fn(HiddenTang) -> Tang) -> Knife {
    let h = height / 2.0;
    let mut knife = from_corners(
        &[
            (-length, -h),
            (0.0, -h),
            (0.0, -30.0),
            (100.0, -30.0),
            (100.0, 30.0),
            (0.0, 30.0),
            (0.0, h),
            (-length, h),
        ],
        4.0,
    );
    knife.tang = tang(HiddenTang {
        length_mm: length,
        shoulder_width_mm: height,
        end_width_mm: height,
        shoulder_radius_mm: 0.0,
        end: TangEnd::Square,
    });
    knife
}

/// A taper on both faces by places along the knife and thicknesses there, mm.
pub(super) fn taper(stations: &[(f64, f64)]) -> Option<Taper> {
    let station = |(x_mm, thickness_mm): &(f64, f64)| ThicknessStation {
        x_mm: *x_mm,
        thickness_mm: *thickness_mm,
    };
    Some(Taper {
        stations: stations.iter().map(station).collect(),
        faces: Faces::Both,
    })
}

/// A bar with its tang from −80 to 0 and 10 high, and a handle on it, so thick.
pub(super) fn handled(fixing: Fixing, outline: Option<&[(f64, f64)]>, thickness_mm: f64) -> Knife {
    let corners = [(-80.0, 0.0), (100.0, 0.0), (100.0, 10.0), (-80.0, 10.0)];
    let mut knife = from_corners(&corners, 4.0);
    let outline = outline.map(|corners| Outline {
        nodes: corners
            .iter()
            .map(|at| Node::corner(knife.take_id(), Point::from(*at)))
            .collect(),
    });
    let id = knife.take_id();
    knife.handle = Some(Handle {
        fixing,
        outline,
        stations: vec![HandleStation {
            x_mm: -40.0,
            thickness_mm,
        }],
        rounding: 2.5,
        parts: vec![HandlePart {
            id,
            kind: PartKind::Grip,
            material: "steel".to_owned(),
            from_x_mm: 0.0,
        }],
        glue: None,
    });
    knife
}
