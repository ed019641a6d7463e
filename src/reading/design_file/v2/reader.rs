//! From the tree of a version 2 file to a set.

use super::super::record::Record;
use super::super::v1::reader::{Fitted, material, read_knife, read_set};
use super::super::v1::words::TANGS;
use super::grinding_reader::grinding;
use super::words::LANDMARKS;
use crate::knife::{Grinding, KnifeSet, Layer, Layering, MOST_LAYERS, Stock};

/// Reads the set; `None` when a problem was noted.
pub(in super::super) fn read(root: Record<'_>) -> Option<KnifeSet> {
    read_set(root, material, |from| {
        let fitted = |_: &mut Record<'_>| Some(Fitted::default());
        read_knife(from, (LANDMARKS, TANGS), stock, ground, fitted)
    })
}

/// What is ground off a knife.
pub(in super::super) fn ground(knife: &mut Record<'_>) -> Option<Grinding> {
    knife.inner("grinding", grinding)
}

pub(in super::super) fn stock(mut from: Record<'_>) -> Option<Stock> {
    let thickness_mm = from.number("thickness_mm");
    let tolerance_mm = from.number("tolerance_mm");
    let material = from.text("material");
    let layering = from.optional_inner("layering", layering);
    from.close();
    Some(Stock {
        thickness_mm: thickness_mm?,
        tolerance_mm: tolerance_mm?,
        material: material?,
        layering: layering?.unwrap_or_default(),
    })
}

fn layering(mut from: Record<'_>) -> Option<Layering> {
    let outer = from.list("outer", MOST_LAYERS, layer);
    let core_offset_mm = from.number("core_offset_mm");
    let waviness_mm = from.number("waviness_mm");
    from.close();
    Some(Layering {
        outer: outer?,
        core_offset_mm: core_offset_mm?,
        waviness_mm: waviness_mm?,
    })
}

fn layer(mut from: Record<'_>) -> Option<Layer> {
    let name = from.text("name");
    let material = from.text("material");
    let thickness_mm = from.number("thickness_mm");
    from.close();
    Some(Layer {
        name: name?,
        material: material?,
        thickness_mm: thickness_mm?,
    })
}
