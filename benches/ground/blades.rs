//! Ground blades of any number of pieces and cut-outs.

use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{
    Cut, CutForm, CutOut, CutShape, Faces, Filling, FullTang, Grind, Grinding, Knife, KnifeSet,
    Landmark, LandmarkKind, Layer, Layering, Material, Node, Outline, Purpose, Rise, RiseStation,
    Run, Sides, Spot, Stock, Tang, Taper, ThicknessStation,
};

/// A set with what the blades are made of.
pub(crate) fn set() -> KnifeSet {
    let material = |key: &str, density: f64| Material {
        key: key.to_owned(),
        name: key.to_owned(),
        density_g_cm3: density,
        density_low: density - 0.05,
        density_high: density + 0.05,
        data_sheet: String::new(),
    };
    KnifeSet {
        materials: vec![material("core", 7.81), material("cladding", 7.7)],
        ..KnifeSet::default()
    }
}

/// A three-layer blade of about `pieces` pieces: bevel and false edge on both faces, distal taper and tapered tang, round holes in tang and blade.
pub(crate) fn blade(pieces: u32, holes: u32) -> Knife {
    let node = |id, at: (f64, f64), into: Option<(f64, f64)>, out: Option<(f64, f64)>| Node {
        handle_in: into.map(Vec2::from),
        handle_out: out.map(Vec2::from),
        ..Node::corner(id, Point::from(at))
    };
    let mut knife = Knife {
        landmarks: [
            (LandmarkKind::Tip, 3),
            (LandmarkKind::Plunge, 1),
            (LandmarkKind::FalseEdge, 4),
        ]
        .map(|(kind, node)| Landmark {
            kind,
            spot: Spot { node, t: 0.0 },
        })
        .to_vec(),
        grinding: grinding(),
        cut_outs: (0..holes).map(hole).collect(),
        next_id: 5_000,
        ..Knife::bare(
            "bench",
            Outline {
                nodes: vec![
                    node(0, (-110.0, -12.0), Some((-3.0, 8.0)), Some((35.0, 4.0))),
                    node(1, (0.0, -14.0), Some((-30.0, 0.0)), Some((20.0, 0.0))),
                    node(2, (60.0, -14.0), Some((-20.0, 0.0)), Some((25.0, 0.0))),
                    node(3, (130.0, 7.0), Some((-16.0, -12.0)), Some((-20.0, 2.5))),
                    node(4, (75.0, 12.0), Some((20.0, 0.0)), Some((-25.0, 0.0))),
                    node(5, (0.0, 11.0), Some((25.0, 0.4)), Some((-35.0, -0.6))),
                    node(6, (-110.0, 10.0), Some((35.0, 2.0)), Some((-5.0, -6.0))),
                ],
            },
            Stock {
                layering: Layering {
                    outer: vec![Layer {
                        name: "cladding".to_owned(),
                        material: "cladding".to_owned(),
                        thickness_mm: 1.3,
                    }],
                    ..Layering::default()
                },
                ..Stock::plain(4.0, 0.1, "core")
            },
            Tang::Full(FullTang::straight(110.0, 22.0)),
        )
    };
    // Pieces divided again and again, each in its turn.
    let mut turn = 0;
    while (knife.outline.nodes.len() as u32) < pieces {
        let index = turn % knife.outline.nodes.len();
        let node = knife.outline.nodes[index].id;
        let _ = knife.split_outline(Spot { node, t: 0.5 });
        turn += 2;
    }
    knife
}

fn grinding() -> Grinding {
    let grind = |id, name: &str, from, to, height: f64, edge_mm| Grind {
        id,
        name: name.to_owned(),
        run: Run { from, to },
        sides: Sides::Both(Cut {
            form: CutForm::Flat,
            rise: Rise::Height(vec![
                RiseStation {
                    at: 0.0,
                    value: height,
                },
                RiseStation {
                    at: 1.0,
                    value: height * 0.9,
                },
            ]),
        }),
        edge_mm,
        edge_offset_mm: 0.0,
        plunge_from: None,
        plunge_to: None,
        after_hardening: false,
    };
    let station = |x_mm, thickness_mm| ThicknessStation { x_mm, thickness_mm };
    Grinding {
        taper: Some(Taper {
            stations: vec![
                station(-110.0, 2.0),
                station(-10.0, 4.0),
                station(30.0, 4.0),
                station(130.0, 2.4),
            ],
            faces: Faces::Both,
        }),
        grinds: vec![
            grind(
                900,
                "bevel",
                LandmarkKind::Plunge,
                LandmarkKind::Tip,
                16.0,
                0.4,
            ),
            grind(
                901,
                "false edge",
                LandmarkKind::Tip,
                LandmarkKind::FalseEdge,
                6.0,
                0.8,
            ),
        ],
        ..Grinding::default()
    }
}

/// Every third hole in the blade, within the bevel; the others in the tang.
fn hole(i: u32) -> CutOut {
    let center = if i % 3 == 2 {
        Point::new(
            12.0 + 6.0 * f64::from(i / 3 % 12),
            -5.0 + 5.0 * f64::from(i / 36),
        )
    } else {
        Point::new(
            -100.0 + 4.2 * f64::from(i % 24),
            -5.0 + 4.5 * f64::from(i / 24 % 3),
        )
    };
    CutOut {
        id: 1_000 + i,
        shape: CutShape::Round {
            center,
            diameter_mm: 3.0,
        },
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    }
}
