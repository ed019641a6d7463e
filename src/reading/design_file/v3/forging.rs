//! The plan a blank is forged by, from its record and to it.

use super::super::record::Record;
use super::super::tree::Value;
use super::super::v2::words::word_for;
use super::words::{STARTS, StartKind};
use super::writer::{list, number, record, text, whole};
use crate::knife::{ForgePlan, ForgeStart, ForgingLosses, MOST_LAYERS, OwnRatio};

pub(super) fn read(mut from: Record<'_>) -> Option<ForgePlan> {
    // Without a kind nobody knows which fields belong here, so the record is not closed then.
    let kind = from.word("from", STARTS)?;
    let start = match kind {
        StartKind::Bar => {
            let width_mm = from.number("width_mm");
            let thickness_mm = from.number("thickness_mm");
            width_mm
                .zip(thickness_mm)
                .map(|(width_mm, thickness_mm)| ForgeStart::Bar {
                    width_mm,
                    thickness_mm,
                })
        }
        StartKind::Billet => {
            let width_mm = from.number("width_mm");
            let reduction = from.number("reduction");
            let own_ratios = from.list("own_ratios", MOST_LAYERS + 1, own_ratio);
            match (width_mm, reduction, own_ratios) {
                (Some(width_mm), Some(reduction), Some(own_ratios)) => Some(ForgeStart::Billet {
                    width_mm,
                    reduction,
                    own_ratios,
                }),
                _ => None,
            }
        }
    };
    let losses = from.inner("losses", losses);
    from.close();
    Some(ForgePlan {
        start: start?,
        losses: losses?,
    })
}

fn own_ratio(mut from: Record<'_>) -> Option<OwnRatio> {
    let layer = from.whole("layer");
    let ratio = from.number("ratio");
    from.close();
    Some(OwnRatio {
        layer: layer?,
        ratio: ratio?,
    })
}

fn losses(mut from: Record<'_>) -> Option<ForgingLosses> {
    let scale_per_heat = from.number("scale_per_heat");
    let heats = from.whole("heats");
    let grinding_per_side_mm = from.number("grinding_per_side_mm");
    let grinding_profile_mm = from.number("grinding_profile_mm");
    let end_crop_mm = from.number("end_crop_mm");
    let weld = from.number("weld");
    from.close();
    Some(ForgingLosses {
        scale_per_heat: scale_per_heat?,
        heats: heats?,
        grinding_per_side_mm: grinding_per_side_mm?,
        grinding_profile_mm: grinding_profile_mm?,
        end_crop_mm: end_crop_mm?,
        weld: weld?,
    })
}

pub(super) fn write(own: &ForgePlan) -> Value<'_> {
    let kind = |kind| ("from", text(word_for(STARTS, kind)));
    let mut fields = match &own.start {
        ForgeStart::Bar {
            width_mm,
            thickness_mm,
        } => vec![
            kind(StartKind::Bar),
            ("width_mm", number(*width_mm)),
            ("thickness_mm", number(*thickness_mm)),
        ],
        ForgeStart::Billet {
            width_mm,
            reduction,
            own_ratios,
        } => vec![
            kind(StartKind::Billet),
            ("width_mm", number(*width_mm)),
            ("reduction", number(*reduction)),
            (
                "own_ratios",
                list(own_ratios, |own| {
                    record(vec![
                        ("layer", whole(own.layer)),
                        ("ratio", number(own.ratio)),
                    ])
                }),
            ),
        ],
    };
    let losses = &own.losses;
    let lost = record(vec![
        ("scale_per_heat", number(losses.scale_per_heat)),
        ("heats", whole(losses.heats)),
        ("grinding_per_side_mm", number(losses.grinding_per_side_mm)),
        ("grinding_profile_mm", number(losses.grinding_profile_mm)),
        ("end_crop_mm", number(losses.end_crop_mm)),
        ("weld", number(losses.weld)),
    ]);
    fields.push(("losses", lost));
    record(fields)
}
