//! From a drawing read to a knife.

use crate::geometry::{Contour, Piece, Vec2};
use crate::knife::{
    CutOut, CutShape, Filling, FullTang, HiddenTang, Id, Knife, LARGEST_MM, MOST_NODES, Outline,
    Purpose, SMALLEST_MM, Stock, Tang, TangEnd, guess_landmarks,
};

use super::error::ImportError;
use super::imported::{Imported, OpeningShape, placed};
use super::sorting::Sorted;

/// How far bar is usually off its nominal thickness, as a share: common practice, no source.
const STOCK_OFF: f64 = 0.025;
/// Where a blade's depth at the shoulder is taken, as a share of its length: past a choil's rounding.
const AHEAD: f64 = 0.03;
/// Where a tang's is taken, as a share of the tang's length: past the rounding at the shoulder.
const BEHIND: f64 = 0.1;
/// A hidden tang has at most this share of the blade's depth ...
const NARROW_SHARE: f64 = 0.7;
/// ... and at most this, mm: what is wider is a handle itself. Common practice, no source.
const NARROW_MM: f64 = 18.0;
/// Longest name taken from a file's.
const LONGEST_NAME: usize = 80;

/// Whether what was found keeps the rules of a knife.
pub(super) fn judge(sorted: &Sorted) -> Result<(), ImportError> {
    let bounds = Contour {
        pieces: sorted.outline.clone(),
    }
    .bounds();
    let (width_mm, height_mm) = (bounds.width(), bounds.height());
    if width_mm.max(height_mm) > LARGEST_MM {
        return Err(ImportError::TooWide {
            width_mm,
            height_mm,
        });
    }
    if width_mm.min(height_mm) < SMALLEST_MM {
        return Err(ImportError::TooSmall {
            width_mm,
            height_mm,
        });
    }
    judge_pieces("the outline", &sorted.outline)?;
    for opening in &sorted.openings {
        if let OpeningShape::Free { pieces } = opening {
            let at = Contour {
                pieces: pieces.clone(),
            }
            .bounds()
            .center();
            judge_pieces(&format!("the shape at {}", placed(at)), pieces)?;
        }
    }
    Ok(())
}

fn judge_pieces(what: &str, pieces: &[Piece]) -> Result<(), ImportError> {
    if pieces.len() > MOST_NODES {
        return Err(ImportError::TooManyNodes {
            what: what.to_owned(),
            nodes: pieces.len(),
        });
    }
    let on_bench = |v: Vec2| v.x.abs() <= LARGEST_MM && v.y.abs() <= LARGEST_MM;
    let far = pieces.iter().any(|piece| match piece {
        Piece::Cubic(c) => ![c.p0.to_vec2(), c.p1 - c.p0, c.p2 - c.p3]
            .into_iter()
            .all(on_bench),
        other => !on_bench(other.start().to_vec2()),
    });
    if far {
        return Err(ImportError::TooFar {
            what: what.to_owned(),
        });
    }
    Ok(())
}

/// The shape as a knife keeps it.
pub(super) fn cut_shape(shape: &OpeningShape, next_id: &mut Id) -> CutShape {
    match shape {
        OpeningShape::Round {
            center,
            diameter_mm,
        } => CutShape::Round {
            center: *center,
            diameter_mm: *diameter_mm,
        },
        OpeningShape::Slot {
            center,
            length_mm,
            width_mm,
            angle_rad,
        } => CutShape::Slot {
            center: *center,
            length_mm: *length_mm,
            width_mm: *width_mm,
            angle_rad: *angle_rad,
        },
        OpeningShape::Free { pieces } => CutShape::Free {
            outline: Outline::of_pieces(pieces, next_id),
        },
    }
}

/// The knife of an outline that was found by tracing, laid as a knife lies: nothing ground, nothing drilled, its landmarks and its tang guessed by its
/// shape. Its bar has so many millimeters of a material of the set.
#[must_use]
pub fn knife_of_outline(
    outline: &Contour,
    name: &str,
    thickness_mm: f64,
    material_key: &str,
) -> Knife {
    let mut next_id: Id = 1;
    let own = Outline::of_pieces(&outline.pieces, &mut next_id);
    let landmarks = guess_landmarks(&own);
    let stock = Stock::plain(thickness_mm, thickness_mm * STOCK_OFF, material_key);
    let mut knife = Knife {
        next_id,
        ..Knife::bare(name, own, stock, tang(outline))
    };
    knife.seat_landmarks(&landmarks);
    knife
}

/// The knife of a drawing.
pub(super) fn knife(read: &Imported, name: &str, thickness_mm: f64, material_key: &str) -> Knife {
    let bare = knife_of_outline(&read.outline, name, thickness_mm, material_key);
    let mut next_id = bare.next_id;
    let mut cut_outs = Vec::with_capacity(read.openings.len());
    for opening in &read.openings {
        let id = next_id;
        next_id = next_id.saturating_add(1);
        cut_outs.push(CutOut {
            id,
            shape: cut_shape(&opening.shape, &mut next_id),
            purpose: Purpose::default(),
            filling: Filling::default(),
        });
    }
    Knife {
        cut_outs,
        next_id,
        ..bare
    }
}

/// The kind of the tang and what it would be made anew from; the drawn one is kept until the maker asks for that. A tang much narrower than the
/// blade right ahead of it, and too narrow to hold, goes into a handle.
fn tang(outline: &Contour) -> Tang {
    let steel = outline.index();
    let bounds = steel.bounds();
    let length_mm = (-bounds.x0).clamp(SMALLEST_MM, LARGEST_MM);
    let depth = |x: f64| steel.depth_at(x).map_or(0.0, |(low, high)| high - low);
    let ahead = depth(bounds.x1 * AHEAD);
    let root = depth(-length_mm * BEHIND);
    let end = depth(-length_mm * (1.0 - AHEAD));
    let size = |mm: f64| mm.clamp(SMALLEST_MM, LARGEST_MM);
    if root > 0.0 && root <= NARROW_SHARE * ahead && root <= NARROW_MM {
        return Tang::Hidden(HiddenTang {
            length_mm,
            shoulder_width_mm: size(root),
            end_width_mm: size(end),
            shoulder_radius_mm: 0.0,
            end: TangEnd::Square,
        });
    }
    Tang::Full(FullTang {
        length_mm,
        butt_height_mm: size(end.max(root)),
        belly_mm: 0.0,
        drop_mm: 0.0,
        finger_mm: 0.0,
        hook_mm: 0.0,
    })
}

/// A knife's name from a file's: without folder and ending, without signs a line of text can't hold.
#[must_use]
pub fn name_of_file(file_name: &str) -> String {
    let file = file_name.rsplit(['/', '\\']).next().unwrap_or_default();
    let stem = match file.rsplit_once('.') {
        Some((stem, _)) if !stem.is_empty() => stem,
        _ => file,
    };
    let clean: String = stem
        .chars()
        .map(|c| if c.is_control() || c == '_' { ' ' } else { c })
        .take(LONGEST_NAME)
        .collect();
    match clean.trim() {
        "" => "Knife".to_owned(),
        name => name.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_come_from_files() {
        for (file, name) in [
            ("drawings/brush_chopper.dxf", "brush chopper"),
            ("C:\\x\\paring.v2.svg", "paring.v2"),
            (".svg", ".svg"),
            ("", "Knife"),
            ("a\n.dxf", "a"),
        ] {
            assert_eq!(name_of_file(file), name, "{file}");
        }
    }
}
