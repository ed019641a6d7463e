//! From what is fitted to a knife, and what happened to it, to their records.

use super::super::tree::Value;
use super::super::v2::words::{FACES, word_for};
use super::words::{FIXINGS, FLAWS, FixingKind, HOLES, HoleKind, PARTS, STAGES};
use super::writer::{list, number, outline, point, record, text, whole};
use crate::knife::{
    Fixing, Flaw, Glue, Handle, HandlePart, HandleStation, Liner, TangHole, WeighIn,
};

pub(super) fn handle(own: &Handle) -> Value<'_> {
    let mut fields = vec![("fixing", fixing(&own.fixing))];
    fields.extend(own.outline.as_ref().map(|own| ("outline", outline(own))));
    fields.extend([
        ("stations", list(&own.stations, station)),
        ("rounding", number(own.rounding)),
        ("parts", list(&own.parts, part)),
    ]);
    fields.extend(own.glue.as_ref().map(|own| ("glue", glue(own))));
    record(fields)
}

fn fixing(own: &Fixing) -> Value<'_> {
    let kind = |kind| ("kind", text(word_for(FIXINGS, kind)));
    record(match own {
        Fixing::Scales { liner: own } => {
            let mut fields = vec![kind(FixingKind::Scales)];
            fields.extend(own.as_ref().map(|own| ("liner", liner(own))));
            fields
        }
        Fixing::Block { hole: own } => vec![kind(FixingKind::Block), ("hole", hole(*own))],
    })
}

fn liner(own: &Liner) -> Value<'_> {
    record(vec![
        ("material", text(&own.material)),
        ("thickness_mm", number(own.thickness_mm)),
    ])
}

fn hole(own: TangHole) -> Value<'static> {
    let kind = |kind| ("kind", text(word_for(HOLES, kind)));
    record(match own {
        TangHole::BurntIn => vec![kind(HoleKind::BurntIn)],
        TangHole::Drilled {
            width_mm,
            height_mm,
            depth_mm,
        } => vec![
            kind(HoleKind::Drilled),
            ("width_mm", number(width_mm)),
            ("height_mm", number(height_mm)),
            ("depth_mm", number(depth_mm)),
        ],
    })
}

fn station(own: &HandleStation) -> Value<'_> {
    record(vec![
        ("x_mm", number(own.x_mm)),
        ("thickness_mm", number(own.thickness_mm)),
    ])
}

fn part(own: &HandlePart) -> Value<'_> {
    record(vec![
        ("id", whole(own.id)),
        ("kind", text(word_for(PARTS, own.kind))),
        ("material", text(&own.material)),
        ("from_x_mm", number(own.from_x_mm)),
    ])
}

fn glue(own: &Glue) -> Value<'_> {
    record(vec![
        ("material", text(&own.material)),
        ("gap_mm", number(own.gap_mm)),
    ])
}

pub(super) fn flaw(own: &Flaw) -> Value<'_> {
    let mut fields = vec![
        ("id", whole(own.id)),
        ("kind", text(word_for(FLAWS, own.kind))),
        (
            "line",
            list(&own.line, |at| record(vec![("at", point(*at))])),
        ),
        ("reach_mm", number(own.reach_mm)),
        ("faces", text(word_for(FACES, own.faces))),
    ];
    fields.extend(own.depth_mm.map(|mm| ("depth_mm", number(mm))));
    record(fields)
}

pub(super) fn weigh_in(own: &WeighIn) -> Value<'_> {
    let mut fields = vec![
        ("id", whole(own.id)),
        ("stage", text(word_for(STAGES, own.stage))),
        ("date", text(&own.date)),
        ("mass_g", number(own.mass_g)),
    ];
    fields.extend(own.balance_mm.map(|mm| ("balance_mm", number(mm))));
    record(fields)
}
