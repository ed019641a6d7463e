//! The orchard set: four ground knives for an orchard and its table, to open, to take apart and to start from.

use std::sync::Arc;

use kurbo::Point;

use super::{
    CutOut, CutShape, Filling, Fixing, Grind, Guard, Id, Knife, KnifeSet, LandmarkKind, Layer,
    Layering, Liner, Material, Purpose, Rise, RiseStation, Row, RowPath, Sides, StarterError,
    StarterSizes, guess_landmarks, make_starter, usual_bevel, usual_false_edge, usual_handle,
    usual_taper,
};

const TOOL_STEEL: &str = "steel_80crv2";
const BEARING_STEEL: &str = "steel_52100";
const STAINLESS: &str = "ss_410";
const COPPER: &str = "copper_c110";
const BRASS: &str = "brass_c260";
const EPOXY: &str = "epoxy_cured";
const CHERRY: &str = "wood_cherry_black";
const WALNUT: &str = "wood_walnut_english";
const FIBRE: &str = "vulcan_fibre";

/// The orchard set: brush chopper, grafting knife, picnic knife and paring knife, as they come from the grinder before hardening.
#[must_use]
pub fn orchard_set() -> KnifeSet {
    // The sizes below are fixed and a test makes them; an empty set would still open.
    build().unwrap_or_default()
}

fn build() -> Result<KnifeSet, StarterError> {
    let knives: Vec<Arc<Knife>> = [
        brush_chopper()?,
        grafting_knife()?,
        picnic_knife()?,
        paring_knife()?,
    ]
    .into_iter()
    .zip(1..)
    .map(|(knife, id)| Arc::new(Knife { id, ..knife }))
    .collect();
    let next_id = knives.iter().map(|k| k.id + 1).max().unwrap_or(1);
    Ok(KnifeSet {
        name: "Orchard set".to_owned(),
        knives,
        materials: materials(),
        next_id,
    })
}

/// Densities and their spread are those of the catalog; a test compares them.
fn materials() -> Vec<Material> {
    let material = |key: &str, name: &str, density_g_cm3, density_low, density_high| Material {
        key: key.to_owned(),
        name: name.to_owned(),
        density_g_cm3,
        density_low,
        density_high,
        data_sheet: String::new(),
    };
    vec![
        material(TOOL_STEEL, "Tool steel 80CrV2 (1.2235)", 7.85, 7.80, 7.87),
        material(
            BEARING_STEEL,
            "Bearing steel AISI/SAE 52100 (100Cr6, 1.3505)",
            7.81,
            7.80,
            7.85,
        ),
        material(STAINLESS, "Stainless AISI 410", 7.74, 7.65, 7.80),
        material(COPPER, "Copper C11000 (ETP)", 8.94, 8.89, 8.96),
        material(BRASS, "Cartridge brass C26000", 8.53, 8.50, 8.55),
        material(EPOXY, "Epoxy resin, cured, unfilled", 1.15, 1.12, 1.18),
        material(
            CHERRY,
            "Cherry, black (Prunus serotina)",
            0.56,
            0.504,
            0.616,
        ),
        material(WALNUT, "Walnut, European (Juglans regia)", 0.64, 0.58, 0.7),
        material(FIBRE, "Vulcanised fibre liner sheet", 1.25, 1.1, 1.45),
    ]
}

fn sizes(overall_mm: f64, blade_mm: f64, height_mm: f64, stock_mm: f64) -> StarterSizes {
    StarterSizes {
        overall_mm,
        blade_mm,
        height_mm,
        stock_mm,
    }
}

fn brush_chopper() -> Result<Knife, StarterError> {
    let mut knife = make_starter("chopper", &sizes(370.0, 250.0, 55.0, 5.0), TOOL_STEEL)?;
    name(
        &mut knife,
        "Brush chopper",
        "Drill everything before hardening, and taper the tang before the bevels. The false edge stays blunt. The tube takes the lanyard and holds the rear of the scales.",
    );
    // Holes for pins of 6 mm rod. Pins and lightening holes take turns, so that every web is at least as wide as the larger hole beside it.
    for x in [-11.0, -41.5, -72.5] {
        pin(&mut knife, x, 6.1);
    }
    let tube = Filling::Tube {
        material: BRASS.to_owned(),
        bore_mm: 6.0,
    };
    hole(&mut knife, -105.0, 8.0, Purpose::Lanyard, tube);
    let id = knife.take_id();
    knife.rows.push(Row {
        id,
        path: RowPath::TangMiddle {
            from_x: -26.5,
            to_x: -87.5,
        },
        count: 3,
        first_diameter_mm: 8.0,
        last_diameter_mm: 6.5,
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
    knife.grinding.taper = usual_taper(&knife);
    bevel(&mut knife);
    narrow_toward_the_tip(&mut knife);
    if let Some(mut grind) = usual_false_edge(&knife) {
        seat_false_edge(&mut knife);
        // It swells behind the tip and narrows again toward the hand.
        let heights = [(0.0, 4.0), (0.3, 6.5), (0.65, 5.5), (1.0, 3.0)];
        let stations = heights.map(|(at, value)| RiseStation { at, value });
        if let Sides::Both(cut) = &mut grind.sides {
            cut.rise = Rise::Height(stations.to_vec());
        }
        add(&mut knife, grind);
    }
    Ok(knife)
}

/// The bevel falls to half its height at the tip, so that its line runs out clear of the false edge.
fn narrow_toward_the_tip(knife: &mut Knife) {
    let heights = [(0.0, 32.0), (0.6, 32.0), (1.0, 18.0)];
    let stations = heights.map(|(at, value)| RiseStation { at, value });
    if let Some(grind) = knife.grinding.grinds.first_mut()
        && let Sides::Both(cut) = &mut grind.sides
    {
        cut.rise = Rise::Height(stations.to_vec());
    }
}

fn grafting_knife() -> Result<Knife, StarterError> {
    let mut knife = make_starter("grafting", &sizes(180.0, 68.0, 19.0, 2.5), BEARING_STEEL)?;
    name(
        &mut knife,
        "Grafting knife",
        "Grind the right face only; the left stays flat and lies on the cut.",
    );
    pin(&mut knife, -14.0, 4.0);
    pin(&mut knife, -56.0, 4.0);
    let tube = Filling::Tube {
        material: BRASS.to_owned(),
        bore_mm: 4.0,
    };
    hole(&mut knife, -98.0, 5.5, Purpose::Lanyard, tube);
    bevel(&mut knife);
    handle(&mut knife, WALNUT);
    if let Some(handle) = &mut knife.handle {
        handle.fixing = Fixing::Scales {
            liner: Some(Liner {
                material: FIBRE.to_owned(),
                thickness_mm: 0.8,
            }),
        };
    }
    Ok(knife)
}

fn picnic_knife() -> Result<Knife, StarterError> {
    let mut knife = make_starter("utility", &sizes(240.0, 122.0, 26.0, 2.4), BEARING_STEEL)?;
    name(
        &mut knife,
        "Picnic knife",
        "For bread, cheese and sausage. The core cuts; copper shims keep its carbon from the stainless sides, and show as a line along the bevel.",
    );
    for x in [-12.0, -58.0, -104.0] {
        pin(&mut knife, x, 4.0);
    }
    // They leave 0.9 mm of core in 2.4 mm.
    let layer = |name: &str, material: &str, thickness_mm: f64| Layer {
        name: name.to_owned(),
        material: material.to_owned(),
        thickness_mm,
    };
    knife.stock.layering = Layering {
        outer: vec![
            layer("shim", COPPER, 0.15),
            layer("cladding", STAINLESS, 0.6),
        ],
        core_offset_mm: 0.0,
        waviness_mm: 0.03,
    };
    bevel(&mut knife);
    Ok(knife)
}

fn paring_knife() -> Result<Knife, StarterError> {
    let mut knife = make_starter("paring", &sizes(165.0, 85.0, 21.0, 2.0), BEARING_STEEL)?;
    name(
        &mut knife,
        "Paring knife",
        "Flat from the edge to the spine on both faces. The guard goes on from behind; the pin holds the handle block.",
    );
    pin(&mut knife, -36.0, 2.5);
    let id = knife.take_id();
    knife.guard = Some(Guard {
        id,
        name: "Guard".to_owned(),
        width_mm: 14.0,
        height_mm: 20.0,
        middle_y_mm: 0.0,
        corner_radius_mm: 5.0,
        thickness_mm: 4.0,
        material: BRASS.to_owned(),
        clearance_mm: 0.025,
        slot_corner_mm: 0.08,
    });
    bevel(&mut knife);
    handle(&mut knife, CHERRY);
    Ok(knife)
}

/// The handle that is usual on the tang, of one wood.
fn handle(knife: &mut Knife, wood: &str) {
    let Some(mut handle) = usual_handle(knife, wood, EPOXY) else {
        return;
    };
    let nodes = handle.outline.iter_mut().flat_map(|o| &mut o.nodes);
    for id in nodes
        .map(|node| &mut node.id)
        .chain(handle.parts.iter_mut().map(|part| &mut part.id))
    {
        *id = knife.take_id();
    }
    knife.handle = Some(handle);
}

/// The bevel that is usual for the knife's use.
fn bevel(knife: &mut Knife) {
    if let Some(grind) = usual_bevel(knife) {
        add(knife, grind);
    }
}

fn add(knife: &mut Knife, grind: Grind) {
    let id = knife.take_id();
    knife.grinding.grinds.push(Grind { id, ..grind });
}

/// Seats the landmark of a false edge where it usually begins.
fn seat_false_edge(knife: &mut Knife) {
    let mut places = guess_landmarks(&knife.outline);
    places.retain(|(kind, _)| *kind == LandmarkKind::FalseEdge);
    knife.seat_landmarks(&places);
}

fn name(knife: &mut Knife, name: &str, notes: &str) {
    name.clone_into(&mut knife.name);
    notes.clone_into(&mut knife.notes);
}

/// A brass pin through the tang's middle.
fn pin(knife: &mut Knife, x: f64, diameter_mm: f64) {
    hole(knife, x, diameter_mm, Purpose::Pin, Filling::pin(BRASS));
}

/// A round hole on the tang's middle line, its height rounded to 0.1 mm as a maker would scribe it.
fn hole(knife: &mut Knife, x: f64, diameter_mm: f64, purpose: Purpose, filling: Filling) {
    let steel = knife.contour().index();
    let middle = steel
        .depth_at(x)
        .map_or(0.0, |(low, high)| f64::midpoint(low, high));
    let id: Id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape: CutShape::Round {
            center: Point::new(x, (middle * 10.0).round() / 10.0),
            diameter_mm,
        },
        purpose,
        filling,
    });
}
