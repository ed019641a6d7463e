//! The picture under the drawing, from its record and to it.

use super::super::record::Record;
use super::super::tree::Value;
use super::writer::{list, number, point, record, text, whole};
use crate::geometry::Point;
use crate::knife::{LaidPicture, SquaredBy};

pub(super) fn read(mut from: Record<'_>) -> Option<LaidPicture> {
    let file = from.text("file");
    let width_px = from.whole("width_px");
    let height_px = from.whole("height_px");
    let squared = from.optional_inner("squared", squared);
    let middle = from.point("middle");
    let turn_rad = from.number("turn_rad");
    let mirrored = from.truth("mirrored");
    let scale = from.number("scale");
    let strength = from.number("strength");
    let locked = from.truth("locked");
    from.close();
    Some(LaidPicture {
        file: file?,
        width_px: width_px?,
        height_px: height_px?,
        squared: squared?,
        middle: middle?,
        turn_rad: turn_rad?,
        mirrored: mirrored?,
        scale: scale?,
        strength: strength?,
        locked: locked?,
    })
}

fn squared(mut from: Record<'_>) -> Option<SquaredBy> {
    let corners = from.list("corners", 4, |mut from| {
        let at = from.point("at");
        from.close();
        at
    });
    let corners = corners.and_then(|found| match <[Point; 4]>::try_from(found) {
        Ok(corners) => Some(corners),
        Err(found) => {
            let n = found.len();
            from.note("corners", format!("has {n} corners; a sheet has 4"));
            None
        }
    });
    let width_mm = from.number("width_mm");
    let height_mm = from.number("height_mm");
    let beside = from.truth("beside");
    from.close();
    Some(SquaredBy {
        corners: corners?,
        width_mm: width_mm?,
        height_mm: height_mm?,
        beside: beside?,
    })
}

pub(super) fn write(own: &LaidPicture) -> Value<'_> {
    let mut fields = vec![
        ("file", text(&own.file)),
        ("width_px", whole(own.width_px)),
        ("height_px", whole(own.height_px)),
    ];
    if let Some(sheet) = &own.squared {
        let corner = |at: &Point| record(vec![("at", point(*at))]);
        let sheet = record(vec![
            ("corners", list(&sheet.corners, corner)),
            ("width_mm", number(sheet.width_mm)),
            ("height_mm", number(sheet.height_mm)),
            ("beside", Value::Truth(sheet.beside)),
        ]);
        fields.push(("squared", sheet));
    }
    fields.extend([
        ("middle", point(own.middle)),
        ("turn_rad", number(own.turn_rad)),
        ("mirrored", Value::Truth(own.mirrored)),
        ("scale", number(own.scale)),
        ("strength", number(own.strength)),
        ("locked", Value::Truth(own.locked)),
    ]);
    record(fields)
}
