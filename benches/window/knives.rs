//! Three choppers with all a knife can have, and small holes in a lattice over their blades.

use std::sync::Arc;

use tangwright::geometry::Point;
use tangwright::knife::{
    CutOut, CutShape, Filling, Fixing, Grind, Handle, Knife, KnifeSet, LandmarkKind, Layer,
    Layering, Liner, Purpose, default_sizes, guess_landmarks, make_starter, orchard_set,
    usual_bevel, usual_false_edge, usual_handle, usual_taper,
};

/// Holes on the three knives together.
pub(crate) const HOLES: u32 = 500;
const KNIVES: u32 = 3;

/// What of the blades is ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ground {
    /// The bevel alone.
    Bevel,
    /// A false edge too: the rays of two grinds meet.
    FalseEdgeToo,
}

/// The set the window is timed with; its materials are the orchard set's.
pub(crate) fn set(ground: Ground) -> KnifeSet {
    let each = HOLES / KNIVES;
    let knives = (1..=KNIVES).filter_map(|id| {
        let holes = if id == KNIVES {
            HOLES - each * (KNIVES - 1)
        } else {
            each
        };
        Some(Arc::new(sieve(id, holes, ground)?))
    });
    KnifeSet {
        name: "sieves".into(),
        knives: knives.collect(),
        materials: orchard_set().materials,
        next_id: KNIVES + 1,
    }
}

/// A laminated chopper with bevel, false edge if that is wanted, taper, scales over liners, three pins, and so many holes in all.
fn sieve(id: u32, holes: u32, ground: Ground) -> Option<Knife> {
    let sizes = default_sizes("chopper")?;
    let mut knife = make_starter("chopper", &sizes, "steel_52100").ok()?;
    knife.id = id;
    knife.name = format!("Sieve {id}");
    let pins = [-18.0, -55.0, -92.0];
    for x in pins {
        round(&mut knife, Point::new(x, 0.0), 5.0, Purpose::Pin);
    }
    for i in 0..holes.checked_sub(3)? {
        let (column, row) = (f64::from(i / 7), f64::from(i % 7));
        let center = Point::new(30.0 + column * 7.5, -16.0 + row * 4.4);
        round(&mut knife, center, 2.5, Purpose::Lightening);
    }
    laminate(&mut knife);
    knife.grinding.taper = usual_taper(&knife);
    let mut places = guess_landmarks(&knife.outline);
    places.retain(|(kind, _)| *kind == LandmarkKind::FalseEdge);
    knife.seat_landmarks(&places);
    let mut grinds = vec![usual_bevel(&knife)?];
    if ground == Ground::FalseEdgeToo {
        grinds.push(usual_false_edge(&knife)?);
    }
    for grind in grinds {
        let id = knife.take_id();
        knife.grinding.grinds.push(Grind { id, ..grind });
    }
    knife.handle = Some(scales(&mut knife)?);
    Some(knife)
}

fn round(knife: &mut Knife, center: Point, diameter_mm: f64, purpose: Purpose) {
    let id = knife.take_id();
    let filling = match purpose {
        Purpose::Pin => Filling::pin("brass_c260"),
        _ => Filling::Nothing,
    };
    knife.cut_outs.push(CutOut {
        id,
        shape: CutShape::Round {
            center,
            diameter_mm,
        },
        purpose,
        filling,
    });
}

/// A core between copper shims and stainless claddings, hammered a little.
fn laminate(knife: &mut Knife) {
    let layer = |name: &str, material: &str, thickness_mm: f64| Layer {
        name: name.to_owned(),
        material: material.to_owned(),
        thickness_mm,
    };
    knife.stock.layering = Layering {
        outer: vec![
            layer("shim", "copper_c110", 0.15),
            layer("cladding", "ss_410", 0.3 * knife.stock.thickness_mm),
        ],
        core_offset_mm: 0.0,
        waviness_mm: 0.03,
    };
}

fn scales(knife: &mut Knife) -> Option<Handle> {
    let mut handle = usual_handle(knife, "wood_walnut_english", "epoxy_cured")?;
    handle.fixing = Fixing::Scales {
        liner: Some(Liner {
            material: "vulcan_fibre".to_owned(),
            thickness_mm: 0.8,
        }),
    };
    for part in &mut handle.parts {
        part.id = knife.take_id();
    }
    Some(handle)
}
