//! Typed sizes: stretching the blade or the tang until a length or height is as asked.

use super::EditError;
use crate::geometry::{Point, Vec2};
use crate::knife::{Knife, LandmarkKind, RowPath, Tang, extent};

/// Smallest size that can be stretched, mm.
const NOTHING_MM: f64 = 1e-6;

pub(super) fn set_blade_length(knife: &mut Knife, length_mm: f64) -> Result<(), EditError> {
    let now = knife.contour().bounds().x1;
    if now <= NOTHING_MM {
        return Err(EditError::NothingToStretch {
            what: "the blade's length",
        });
    }
    stretch(
        knife,
        |p| p.x > NOTHING_MM,
        Vec2::new(length_mm / now, 1.0),
        0.0,
    );
    Ok(())
}

pub(super) fn set_tang_length(knife: &mut Knife, length_mm: f64) -> Result<(), EditError> {
    let now = -knife.contour().bounds().x0;
    if now <= NOTHING_MM {
        return Err(EditError::NothingToStretch {
            what: "the tang's length",
        });
    }
    stretch(
        knife,
        |p| p.x < -NOTHING_MM,
        Vec2::new(length_mm / now, 1.0),
        0.0,
    );
    match &mut knife.tang {
        Tang::Full(tang) => tang.length_mm = length_mm,
        Tang::Hidden(tang) => tang.length_mm = length_mm,
    }
    Ok(())
}

/// Stretches the depth of the blade below the height of the upper shoulder. The largest depth need not lie where the shoulder's
/// height passes, so the factor is closed in on by repeated stretching.
pub(super) fn set_height(knife: &mut Knife, height_mm: f64) -> Result<(), EditError> {
    let level = knife
        .landmark_point(LandmarkKind::UpperShoulder)
        .map_or_else(|| knife.contour().bounds().y1, |p| p.y);
    for _ in 0..12 {
        let now = extent(knife, &knife.contour().index()).height_mm;
        if now <= NOTHING_MM {
            return Err(EditError::NothingToStretch {
                what: "the blade's height",
            });
        }
        if (now - height_mm).abs() < 1e-9 {
            break;
        }
        stretch(
            knife,
            |p| p.x > NOTHING_MM,
            Vec2::new(1.0, height_mm / now),
            level,
        );
    }
    Ok(())
}

/// Scales everything on one side of the shoulder line about the point (0, `level`).
fn stretch(knife: &mut Knife, on_side: impl Fn(Point) -> bool, scale: Vec2, level: f64) {
    let point = |p: Point| Point::new(p.x * scale.x, level + (p.y - level) * scale.y);
    let vector = |v: Vec2| Vec2::new(v.x * scale.x, v.y * scale.y);
    let n = knife.outline.nodes.len();
    let sides: Vec<bool> = knife.outline.nodes.iter().map(|n| on_side(n.at)).collect();
    for (i, node) in knife.outline.nodes.iter_mut().enumerate() {
        // A handle of a node on the shoulder line belongs to the piece it shapes.
        let next = sides.get((i + 1) % n).copied().unwrap_or(false);
        let before = sides.get((i + n - 1) % n).copied().unwrap_or(false);
        let own = on_side(node.at);
        if own || next {
            node.handle_out = node.handle_out.map(vector);
        }
        if own || before {
            node.handle_in = node.handle_in.map(vector);
        }
        if own {
            node.at = point(node.at);
        }
    }
    for cut in &mut knife.cut_outs {
        let center = cut.shape.center();
        if on_side(center) {
            let by = point(center) - center;
            // A hole keeps its size: it is drilled, not stretched.
            cut.shape = cut.shape.shifted(by);
        }
    }
    for row in &mut knife.rows {
        match &mut row.path {
            RowPath::Line { from, to } => {
                for end in [from, to] {
                    if on_side(*end) {
                        *end = point(*end);
                    }
                }
            }
            RowPath::TangMiddle { from_x, to_x } => {
                for x in [from_x, to_x] {
                    let p = Point::new(*x, level);
                    if on_side(p) {
                        *x = point(p).x;
                    }
                }
            }
        }
    }
}
