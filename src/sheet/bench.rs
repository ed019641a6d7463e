//! Knives for the tests of this room.

use std::sync::Arc;

use crate::geometry::{Point, Vec2};
use crate::knife::{
    CutOut, CutShape, Filling, FullTang, Guard, HiddenTang, Joint, Knife, KnifeSet, LandmarkKind,
    Material, Node, Outline, Purpose, Row, RowPath, Stock, Tang, TangEnd, fit_tang,
};

/// The one steel of the test sets.
pub(super) const STEEL: &str = "carbon";

fn node(id: u32, at: (f64, f64), into: Option<(f64, f64)>, out: Option<(f64, f64)>) -> Node {
    Node {
        id,
        at: at.into(),
        handle_in: into.map(Vec2::from),
        handle_out: out.map(Vec2::from),
        joint: Joint::Corner,
    }
}

fn blade(name: &str, length: f64, height: f64) -> Knife {
    let low = -height * 0.6;
    let high = height * 0.4;
    let nodes = vec![
        node(1, (0.0, low * 0.5), None, None),
        node(2, (5.0, low * 0.5), None, None),
        node(3, (6.0, low), None, Some((length * 0.5, -3.0))),
        node(
            4,
            (length, high * 0.5),
            Some((-length * 0.12, -height * 0.4)),
            Some((-length * 0.2, height * 0.12)),
        ),
        node(
            5,
            (length * 0.6, high),
            Some((length * 0.15, 0.5)),
            Some((-length * 0.2, -0.5)),
        ),
        node(6, (0.0, high * 0.9), Some((length * 0.2, 0.5)), None),
        node(7, (-10.0, 0.0), None, None),
    ];
    let mut knife = Knife {
        id: 1,
        next_id: 10,
        ..Knife::bare(
            name,
            Outline { nodes },
            Stock::plain(4.0, 0.1, STEEL),
            Tang::Full(FullTang::straight(1.0, 1.0)),
        )
    };
    for (kind, at) in [
        (LandmarkKind::LowerShoulder, (0.0, low * 0.5)),
        (LandmarkKind::UpperShoulder, (0.0, high * 0.9)),
        (LandmarkKind::Heel, (6.0, low)),
        (LandmarkKind::Tip, (length, high * 0.5)),
        (LandmarkKind::SpineStart, (length * 0.6, high)),
    ] {
        let spot = knife.outline.nearest_spot(at.into()).expect("an outline");
        knife.set_landmark(kind, spot);
    }
    knife
}

fn hole(id: u32, at: (f64, f64), diameter_mm: f64, purpose: Purpose) -> CutOut {
    CutOut {
        id,
        shape: CutShape::Round {
            center: at.into(),
            diameter_mm,
        },
        purpose,
        filling: Filling::Nothing,
    }
}

/// A long knife with a full tang, a tapered row, pin holes, a slot and a free opening.
pub(super) fn chopper() -> Knife {
    let mut knife = blade("Brush chopper", 226.0, 57.0);
    let tang = Tang::Full(FullTang {
        length_mm: 140.0,
        butt_height_mm: 30.0,
        belly_mm: 3.0,
        drop_mm: 2.0,
        finger_mm: 0.0,
        hook_mm: 0.0,
    });
    fit_tang(&mut knife, tang).expect("the tang fits");
    knife.cut_outs = vec![
        hole(20, (-25.0, 0.0), 6.0, Purpose::Pin),
        hole(21, (-115.0, -1.0), 6.0, Purpose::Pin),
        CutOut {
            id: 22,
            shape: CutShape::Slot {
                center: Point::new(60.0, 5.0),
                length_mm: 30.0,
                width_mm: 8.0,
                angle_rad: 0.1,
            },
            purpose: Purpose::Lightening,
            filling: Filling::Nothing,
        },
        CutOut {
            id: 23,
            shape: CutShape::Free {
                outline: Outline {
                    nodes: vec![
                        node(30, (100.0, -5.0), None, Some((8.0, -6.0))),
                        node(31, (130.0, 0.0), Some((-2.0, -8.0)), None),
                        node(32, (110.0, 8.0), None, None),
                    ],
                },
            },
            purpose: Purpose::Lightening,
            filling: Filling::Nothing,
        },
    ];
    knife.rows = vec![Row {
        id: 24,
        path: RowPath::TangMiddle {
            from_x: -100.0,
            to_x: -40.0,
        },
        count: 4,
        first_diameter_mm: 6.0,
        last_diameter_mm: 9.0,
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    }];
    knife.next_id = 40;
    knife
}

/// A small knife with a hidden tang and a guard.
pub(super) fn paring() -> Knife {
    let mut knife = blade("Paring knife", 90.0, 24.0);
    let tang = Tang::Hidden(HiddenTang {
        length_mm: 80.0,
        shoulder_width_mm: 9.0,
        end_width_mm: 6.0,
        shoulder_radius_mm: 1.5,
        end: TangEnd::Round,
    });
    fit_tang(&mut knife, tang).expect("the tang fits");
    knife.guard = Some(Guard {
        id: 50,
        name: "guard".to_owned(),
        width_mm: 14.0,
        height_mm: 26.0,
        middle_y_mm: 0.0,
        corner_radius_mm: 7.0,
        thickness_mm: 5.0,
        material: STEEL.to_owned(),
        clearance_mm: 0.1,
        slot_corner_mm: 0.5,
    });
    knife
}

/// A set of the given knives with their steel.
pub(super) fn set(knives: Vec<Knife>) -> KnifeSet {
    KnifeSet {
        name: "Test set".to_owned(),
        knives: knives.into_iter().map(Arc::new).collect(),
        materials: vec![Material {
            key: STEEL.to_owned(),
            name: "carbon steel".to_owned(),
            density_g_cm3: 7.85,
            density_low: 7.8,
            density_high: 7.87,
            data_sheet: String::new(),
        }],
        next_id: 10,
    }
}
