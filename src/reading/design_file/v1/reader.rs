//! From the tree of a version 1 file to a set. Later versions read with these what they have in common with it.

use std::sync::Arc;

use super::super::VERSION;
use super::super::record::Record;
use super::words::{
    ALONG, Along, FILLINGS, FillingKind, JOINTS, LANDMARKS, PURPOSES, SHAPES, ShapeKind, TANG_ENDS,
    TANGS, TangKind, Words,
};
use crate::knife::{
    CutOut, CutShape, Engraving, Fault, Filling, Flaw, ForgePlan, FullTang, Grinding, Guard,
    Handle, HiddenTang, Knife, KnifeSet, LaidPicture, Landmark, LandmarkKind, Layering,
    MOST_CUT_OUTS, MOST_KNIVES, MOST_NODES, Material, Node, Outline, Row, RowPath, Spot, Stock,
    Tang, WeighIn, knife_faults,
};

/// Most materials in one file. The table the program brings has about a hundred; every reference is looked up among them, so a hostile file
/// with many of both would take long.
pub const MOST_MATERIALS: usize = 1_000;

/// Reads the set; `None` when a problem was noted.
pub(in super::super) fn read(root: Record<'_>) -> Option<KnifeSet> {
    read_set(root, material, knife)
}

/// Reads the set whose materials are read by `material` and its knives by `knife`; `None` when a problem was noted. Knives that are whole are judged by the rules even when
/// others are not, so that the maker sees as much as possible at once.
pub(in super::super) fn read_set(
    mut root: Record<'_>,
    material: impl Fn(Record<'_>) -> Option<Material>,
    knife: impl Fn(Record<'_>) -> Option<Knife>,
) -> Option<KnifeSet> {
    let problems = root.problems();
    root.whole(VERSION);
    let name = root.text("name");
    let next_id = root.whole("next_id");
    let materials = root.list("materials", MOST_MATERIALS, material);
    let knives = root.each("knives", MOST_KNIVES, knife);
    root.close();
    let (materials, knives) = (materials?, knives?);
    let sound = problems.none();
    let mut set = KnifeSet {
        name: name.unwrap_or_default(),
        knives: Vec::new(),
        materials,
        next_id: next_id.unwrap_or_default(),
    };
    if sound {
        set.knives = knives.into_iter().flatten().map(Arc::new).collect();
        return Some(set);
    }
    for (index, knife) in knives.iter().enumerate() {
        let faults = knife.iter().flat_map(|knife| knife_faults(knife, &set));
        let placed = faults.map(|fault| Fault {
            place: format!("knives[{index}].{}", fault.place),
            ..fault
        });
        problems.extend(placed.collect());
    }
    None
}

pub(in super::super) fn material(from: Record<'_>) -> Option<Material> {
    material_with(from, |_| Some(String::new()))
}

/// Reads a material whose data sheet is read by `data_sheet`.
pub(in super::super) fn material_with(
    mut from: Record<'_>,
    data_sheet: impl Fn(&mut Record<'_>) -> Option<String>,
) -> Option<Material> {
    let key = from.text("key");
    let name = from.text("name");
    let density_g_cm3 = from.number("density_g_cm3");
    let density_low = from.number("density_low");
    let density_high = from.number("density_high");
    let data_sheet = data_sheet(&mut from);
    from.close();
    Some(Material {
        key: key?,
        name: name?,
        density_g_cm3: density_g_cm3?,
        density_low: density_low?,
        density_high: density_high?,
        data_sheet: data_sheet?,
    })
}

/// Reads a knife as it was in version 1.
fn knife(from: Record<'_>) -> Option<Knife> {
    read_knife(
        from,
        (LANDMARKS, TANGS),
        stock,
        |_| Some(Grinding::default()),
        |_| Some(Fitted::default()),
    )
}

/// What later versions know of a knife beyond its steel.
#[derive(Default)]
pub(in super::super) struct Fitted {
    pub(in super::super) handle: Option<Handle>,
    pub(in super::super) engraving: Option<Engraving>,
    pub(in super::super) picture: Option<LaidPicture>,
    pub(in super::super) flaws: Vec<Flaw>,
    pub(in super::super) weigh_ins: Vec<WeighIn>,
    pub(in super::super) heat_words: String,
    pub(in super::super) forging: Option<ForgePlan>,
    pub(in super::super) clamped: std::collections::BTreeSet<crate::knife::Id>,
}

/// Reads a knife whose bar is read by `stock`, what is ground off it by `grinding` and what is fitted to it by `fitted`, with the words for
/// landmarks and tangs of the file's version.
pub(in super::super) fn read_knife(
    mut from: Record<'_>,
    (landmarks, tangs): (Words<LandmarkKind>, Words<TangKind>),
    stock: impl Fn(Record<'_>) -> Option<Stock>,
    grinding: impl Fn(&mut Record<'_>) -> Option<Grinding>,
    fitted: impl Fn(&mut Record<'_>) -> Option<Fitted>,
) -> Option<Knife> {
    let id = from.whole("id");
    let name = from.text("name");
    let form = from.text("form");
    let notes = from.text("notes");
    let stock = from.inner("stock", stock);
    let tang = from.inner("tang", |from| tang(from, tangs));
    let outline = from.inner("outline", outline);
    let most = landmarks.len();
    let landmarks = from.list("landmarks", most, |from| landmark(from, landmarks));
    let grinding = grinding(&mut from);
    let cut_outs = from.list("cut_outs", MOST_CUT_OUTS, cut_out);
    let rows = from.list("rows", MOST_CUT_OUTS, row);
    let guard = from.optional_inner("guard", guard);
    let fitted = fitted(&mut from);
    let next_id = from.whole("next_id");
    from.close();
    let mut landmarks = landmarks?;
    let fitted = fitted?;
    // The model keeps them in the order of kinds; a file edited by hand may not.
    landmarks.sort_by_key(|landmark| landmark.kind);
    Some(Knife {
        id: id?,
        name: name?,
        form: form?,
        outline: outline?,
        landmarks,
        stock: stock?,
        forging: fitted.forging,
        grinding: grinding?,
        tang: tang?,
        cut_outs: cut_outs?,
        rows: rows?,
        guard: guard?,
        handle: fitted.handle,
        engraving: fitted.engraving,
        picture: fitted.picture,
        flaws: fitted.flaws,
        weigh_ins: fitted.weigh_ins,
        notes: notes?,
        heat_words: fitted.heat_words,
        clamped: fitted.clamped,
        next_id: next_id?,
    })
}

fn stock(mut from: Record<'_>) -> Option<Stock> {
    let thickness_mm = from.number("thickness_mm");
    let tolerance_mm = from.number("tolerance_mm");
    let material = from.text("material");
    from.close();
    Some(Stock {
        thickness_mm: thickness_mm?,
        tolerance_mm: tolerance_mm?,
        material: material?,
        layering: Layering::default(),
    })
}

fn tang(mut from: Record<'_>, kinds: Words<TangKind>) -> Option<Tang> {
    let kind = from.word("kind", kinds)?;
    match kind {
        TangKind::Full => {
            let length_mm = from.number("length_mm");
            let butt_height_mm = from.number("butt_height_mm");
            let belly_mm = from.number("belly_mm");
            let drop_mm = from.number("drop_mm");
            let finger_mm = from.number("finger_mm");
            let hook_mm = from.number("hook_mm");
            from.close();
            Some(Tang::Full(FullTang {
                length_mm: length_mm?,
                butt_height_mm: butt_height_mm?,
                belly_mm: belly_mm?,
                drop_mm: drop_mm?,
                finger_mm: finger_mm?,
                hook_mm: hook_mm?,
            }))
        }
        TangKind::Hidden | TangKind::Partial => {
            let length_mm = from.number("length_mm");
            let shoulder_width_mm = from.number("shoulder_width_mm");
            let end_width_mm = from.number("end_width_mm");
            let shoulder_radius_mm = from.number("shoulder_radius_mm");
            let end = from.word("end", TANG_ENDS);
            from.close();
            let narrow = HiddenTang {
                length_mm: length_mm?,
                shoulder_width_mm: shoulder_width_mm?,
                end_width_mm: end_width_mm?,
                shoulder_radius_mm: shoulder_radius_mm?,
                end: end?,
            };
            Some(match kind {
                TangKind::Partial => Tang::Partial(narrow),
                _ => Tang::Hidden(narrow),
            })
        }
    }
}

pub(in super::super) fn outline(mut from: Record<'_>) -> Option<Outline> {
    let nodes = from.list("nodes", MOST_NODES, node);
    from.close();
    Some(Outline { nodes: nodes? })
}

fn node(mut from: Record<'_>) -> Option<Node> {
    let id = from.whole("id");
    let at = from.point("at");
    let handle_in = from.optional_vector("in");
    let handle_out = from.optional_vector("out");
    let joint = from.word("joint", JOINTS);
    from.close();
    Some(Node {
        id: id?,
        at: at?,
        handle_in: handle_in?,
        handle_out: handle_out?,
        joint: joint?,
    })
}

fn landmark(mut from: Record<'_>, kinds: Words<LandmarkKind>) -> Option<Landmark> {
    let kind = from.word("kind", kinds);
    let node = from.whole("node");
    let t = from.number("t");
    from.close();
    Some(Landmark {
        kind: kind?,
        spot: Spot { node: node?, t: t? },
    })
}

pub(in super::super) fn cut_out(mut from: Record<'_>) -> Option<CutOut> {
    let id = from.whole("id");
    let purpose = from.word("purpose", PURPOSES);
    let filling = from.optional_inner("filling", filling);
    // Without a kind nobody knows which fields belong here, so the record is not closed then.
    let shape = match from.word("kind", SHAPES)? {
        ShapeKind::Round => {
            let center = from.point("center");
            let diameter_mm = from.number("diameter_mm");
            center
                .zip(diameter_mm)
                .map(|(center, diameter_mm)| CutShape::Round {
                    center,
                    diameter_mm,
                })
        }
        ShapeKind::Slot => slot(&mut from),
        ShapeKind::Free => from
            .inner("outline", outline)
            .map(|outline| CutShape::Free { outline }),
    };
    from.close();
    Some(CutOut {
        id: id?,
        shape: shape?,
        purpose: purpose?,
        filling: filling?.unwrap_or_default(),
    })
}

fn slot(from: &mut Record<'_>) -> Option<CutShape> {
    let center = from.point("center");
    let length_mm = from.number("length_mm");
    let width_mm = from.number("width_mm");
    let angle_rad = from.number("angle_rad");
    Some(CutShape::Slot {
        center: center?,
        length_mm: length_mm?,
        width_mm: width_mm?,
        angle_rad: angle_rad?,
    })
}

fn filling(mut from: Record<'_>) -> Option<Filling> {
    let material = from.text("material");
    let kind = from.word("kind", FILLINGS)?;
    let filling = match kind {
        FillingKind::Pin => material
            .zip(from.optional_number("rod_mm"))
            .map(|(material, rod_mm)| Filling::Pin { material, rod_mm }),
        FillingKind::Tube => material
            .zip(from.number("bore_mm"))
            .map(|(material, bore_mm)| Filling::Tube { material, bore_mm }),
        FillingKind::Epoxy => material.map(|material| Filling::Epoxy { material }),
    };
    from.close();
    filling
}

pub(in super::super) fn row(mut from: Record<'_>) -> Option<Row> {
    let id = from.whole("id");
    let count = from.whole("count");
    let first_diameter_mm = from.number("first_diameter_mm");
    let last_diameter_mm = from.number("last_diameter_mm");
    let purpose = from.word("purpose", PURPOSES);
    let filling = from.optional_inner("filling", filling);
    let path = match from.word("along", ALONG)? {
        Along::Line => {
            let (a, b) = (from.point("from"), from.point("to"));
            a.zip(b).map(|(from, to)| RowPath::Line { from, to })
        }
        Along::TangMiddle => {
            let (a, b) = (from.number("from_x"), from.number("to_x"));
            a.zip(b)
                .map(|(from_x, to_x)| RowPath::TangMiddle { from_x, to_x })
        }
    };
    from.close();
    Some(Row {
        id: id?,
        path: path?,
        count: count?,
        first_diameter_mm: first_diameter_mm?,
        last_diameter_mm: last_diameter_mm?,
        purpose: purpose?,
        filling: filling?.unwrap_or_default(),
    })
}

pub(in super::super) fn guard(mut from: Record<'_>) -> Option<Guard> {
    let id = from.whole("id");
    let name = from.text("name");
    let width_mm = from.number("width_mm");
    let height_mm = from.number("height_mm");
    let middle_y_mm = from.number("middle_y_mm");
    let corner_radius_mm = from.number("corner_radius_mm");
    let thickness_mm = from.number("thickness_mm");
    let material = from.text("material");
    let clearance_mm = from.number("clearance_mm");
    let slot_corner_mm = from.number("slot_corner_mm");
    from.close();
    Some(Guard {
        id: id?,
        name: name?,
        width_mm: width_mm?,
        height_mm: height_mm?,
        middle_y_mm: middle_y_mm?,
        corner_radius_mm: corner_radius_mm?,
        thickness_mm: thickness_mm?,
        material: material?,
        clearance_mm: clearance_mm?,
        slot_corner_mm: slot_corner_mm?,
    })
}
