//! From a set to the tree of a version 3 file. The order of fields is the order of the file.

use std::borrow::Cow;

use kurbo::{Point, Vec2};

use super::super::VERSION;
use super::super::tree::{Field, Value};
use super::super::v1::words::{
    ALONG, Along, FILLINGS, FillingKind, JOINTS, PURPOSES, SHAPES, ShapeKind, TANG_ENDS, TangKind,
};
use super::super::v2::words::{LANDMARKS, word_for};
use super::fitted_writer::{flaw, handle, weigh_in};
use super::grinding_writer::grinding;
use super::words::TANGS;
use crate::knife::{
    CutOut, CutShape, Engraving, Filling, Guard, HiddenTang, Knife, KnifeSet, Landmark, Layer,
    Layering, Material, Node, Outline, Row, RowPath, Stock, Tang,
};

/// The tree of the whole file; texts are borrowed from the set.
pub(in super::super) fn write(set: &KnifeSet) -> Value<'_> {
    record(vec![
        (VERSION, whole(3)),
        ("name", text(&set.name)),
        ("next_id", whole(set.next_id)),
        ("materials", list(&set.materials, material)),
        ("knives", list(&set.knives, |own| knife(own))),
    ])
}

pub(super) fn record<'a>(fields: Vec<(&'static str, Value<'a>)>) -> Value<'a> {
    let named = fields
        .into_iter()
        .map(|(name, value)| -> Field<'a> { (Cow::Borrowed(name), value) });
    Value::Record(named.collect())
}

pub(super) fn list<'a, T>(items: &'a [T], one: impl Fn(&'a T) -> Value<'a>) -> Value<'a> {
    Value::List(items.iter().map(one).collect())
}

pub(super) fn whole(number: u32) -> Value<'static> {
    Value::Whole(u64::from(number))
}

pub(super) fn number(number: f64) -> Value<'static> {
    Value::Number(number)
}

pub(super) fn text(own: &str) -> Value<'_> {
    Value::Text(Cow::Borrowed(own))
}

pub(super) fn point(at: Point) -> Value<'static> {
    Value::List(Box::new([number(at.x), number(at.y)]))
}

fn vector(own: Vec2) -> Value<'static> {
    point(own.to_point())
}

fn material(own: &Material) -> Value<'_> {
    let mut fields = vec![
        ("key", text(&own.key)),
        ("name", text(&own.name)),
        ("density_g_cm3", number(own.density_g_cm3)),
        ("density_low", number(own.density_low)),
        ("density_high", number(own.density_high)),
    ];
    if !own.data_sheet.is_empty() {
        fields.push(("data_sheet", text(&own.data_sheet)));
    }
    record(fields)
}

fn knife(own: &Knife) -> Value<'_> {
    let mut fields = vec![
        ("id", whole(own.id)),
        ("name", text(&own.name)),
        ("form", text(&own.form)),
        ("notes", text(&own.notes)),
        ("stock", stock(&own.stock)),
        ("tang", tang(&own.tang)),
        ("outline", outline(&own.outline)),
        ("landmarks", list(&own.landmarks, landmark)),
        ("grinding", grinding(&own.grinding)),
        ("cut_outs", list(&own.cut_outs, cut_out)),
        ("rows", list(&own.rows, row)),
    ];
    if let Some(own) = &own.guard {
        fields.push(("guard", guard(own)));
    }
    if let Some(own) = &own.handle {
        fields.push(("handle", handle(own)));
    }
    if !own.heat_words.is_empty() {
        fields.push(("heat_words", text(&own.heat_words)));
    }
    if let Some(own) = &own.engraving {
        fields.push(("engraving", engraving(own)));
    }
    if let Some(own) = &own.picture {
        fields.push(("picture", super::laid_picture::write(own)));
    }
    if let Some(own) = &own.forging {
        fields.push(("forging", super::forging::write(own)));
    }
    if !own.clamped.is_empty() {
        let ids = own
            .clamped
            .iter()
            .map(|id| record(vec![("id", whole(*id))]));
        fields.push(("clamped", Value::List(ids.collect())));
    }
    fields.extend([
        ("flaws", list(&own.flaws, flaw)),
        ("weigh_ins", list(&own.weigh_ins, weigh_in)),
    ]);
    fields.push(("next_id", whole(own.next_id)));
    record(fields)
}

fn engraving(own: &Engraving) -> Value<'_> {
    let mut fields = vec![
        ("words", text(&own.words)),
        ("height_mm", number(own.height_mm)),
    ];
    if let Some(at) = own.at {
        fields.push(("at", point(at)));
    }
    record(fields)
}

fn stock(own: &Stock) -> Value<'_> {
    let mut fields = vec![
        ("thickness_mm", number(own.thickness_mm)),
        ("tolerance_mm", number(own.tolerance_mm)),
        ("material", text(&own.material)),
    ];
    if own.layering != Layering::default() {
        fields.push(("layering", layering(&own.layering)));
    }
    record(fields)
}

fn layering(own: &Layering) -> Value<'_> {
    record(vec![
        ("outer", list(&own.outer, layer)),
        ("core_offset_mm", number(own.core_offset_mm)),
        ("waviness_mm", number(own.waviness_mm)),
    ])
}

fn layer(own: &Layer) -> Value<'_> {
    record(vec![
        ("name", text(&own.name)),
        ("material", text(&own.material)),
        ("thickness_mm", number(own.thickness_mm)),
    ])
}

fn tang(own: &Tang) -> Value<'static> {
    match own {
        Tang::Full(own) => record(vec![
            ("kind", text(word_for(TANGS, TangKind::Full))),
            ("length_mm", number(own.length_mm)),
            ("butt_height_mm", number(own.butt_height_mm)),
            ("belly_mm", number(own.belly_mm)),
            ("drop_mm", number(own.drop_mm)),
            ("finger_mm", number(own.finger_mm)),
            ("hook_mm", number(own.hook_mm)),
        ]),
        Tang::Hidden(own) => narrow_tang(TangKind::Hidden, own),
        Tang::Partial(own) => narrow_tang(TangKind::Partial, own),
    }
}

fn narrow_tang(kind: TangKind, own: &HiddenTang) -> Value<'static> {
    record(vec![
        ("kind", text(word_for(TANGS, kind))),
        ("length_mm", number(own.length_mm)),
        ("shoulder_width_mm", number(own.shoulder_width_mm)),
        ("end_width_mm", number(own.end_width_mm)),
        ("shoulder_radius_mm", number(own.shoulder_radius_mm)),
        ("end", text(word_for(TANG_ENDS, own.end))),
    ])
}

pub(super) fn outline(own: &Outline) -> Value<'_> {
    record(vec![("nodes", list(&own.nodes, node))])
}

fn node(own: &Node) -> Value<'_> {
    let mut fields = vec![("id", whole(own.id)), ("at", point(own.at))];
    if let Some(handle) = own.handle_in {
        fields.push(("in", vector(handle)));
    }
    if let Some(handle) = own.handle_out {
        fields.push(("out", vector(handle)));
    }
    fields.push(("joint", text(word_for(JOINTS, own.joint))));
    record(fields)
}

fn landmark(own: &Landmark) -> Value<'_> {
    record(vec![
        ("kind", text(word_for(LANDMARKS, own.kind))),
        ("node", whole(own.spot.node)),
        ("t", number(own.spot.t)),
    ])
}

fn cut_out(own: &CutOut) -> Value<'_> {
    let mut fields = vec![("id", whole(own.id))];
    let kind = |kind| ("kind", text(word_for(SHAPES, kind)));
    match &own.shape {
        CutShape::Round {
            center,
            diameter_mm,
        } => fields.extend([
            kind(ShapeKind::Round),
            ("center", point(*center)),
            ("diameter_mm", number(*diameter_mm)),
        ]),
        CutShape::Slot {
            center,
            length_mm,
            width_mm,
            angle_rad,
        } => fields.extend([
            kind(ShapeKind::Slot),
            ("center", point(*center)),
            ("length_mm", number(*length_mm)),
            ("width_mm", number(*width_mm)),
            ("angle_rad", number(*angle_rad)),
        ]),
        CutShape::Free { outline: own } => {
            fields.extend([kind(ShapeKind::Free), ("outline", outline(own))]);
        }
    }
    fields.push(("purpose", text(word_for(PURPOSES, own.purpose))));
    fields.extend(filling(&own.filling));
    record(fields)
}

/// The field of a filling; none where nothing fills.
fn filling(own: &Filling) -> Option<(&'static str, Value<'_>)> {
    let kind = |kind| ("kind", text(word_for(FILLINGS, kind)));
    let fields = match own {
        Filling::Nothing => return None,
        Filling::Pin { material, rod_mm } => {
            let rod = rod_mm.map(|mm| ("rod_mm", number(mm)));
            let own = [kind(FillingKind::Pin), ("material", text(material))];
            own.into_iter().chain(rod).collect()
        }
        Filling::Tube { material, bore_mm } => vec![
            kind(FillingKind::Tube),
            ("material", text(material)),
            ("bore_mm", number(*bore_mm)),
        ],
        Filling::Epoxy { material } => vec![kind(FillingKind::Epoxy), ("material", text(material))],
    };
    Some(("filling", record(fields)))
}

fn row(own: &Row) -> Value<'_> {
    let mut fields = vec![("id", whole(own.id))];
    let along = |along| ("along", text(word_for(ALONG, along)));
    match own.path {
        RowPath::Line { from, to } => {
            fields.extend([along(Along::Line), ("from", point(from)), ("to", point(to))])
        }
        RowPath::TangMiddle { from_x, to_x } => fields.extend([
            along(Along::TangMiddle),
            ("from_x", number(from_x)),
            ("to_x", number(to_x)),
        ]),
    }
    fields.extend([
        ("count", whole(own.count)),
        ("first_diameter_mm", number(own.first_diameter_mm)),
        ("last_diameter_mm", number(own.last_diameter_mm)),
        ("purpose", text(word_for(PURPOSES, own.purpose))),
    ]);
    fields.extend(filling(&own.filling));
    record(fields)
}

fn guard(own: &Guard) -> Value<'_> {
    record(vec![
        ("id", whole(own.id)),
        ("name", text(&own.name)),
        ("width_mm", number(own.width_mm)),
        ("height_mm", number(own.height_mm)),
        ("middle_y_mm", number(own.middle_y_mm)),
        ("corner_radius_mm", number(own.corner_radius_mm)),
        ("thickness_mm", number(own.thickness_mm)),
        ("material", text(&own.material)),
        ("clearance_mm", number(own.clearance_mm)),
        ("slot_corner_mm", number(own.slot_corner_mm)),
    ])
}
