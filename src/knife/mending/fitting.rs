//! Holes brought to another size.

use super::MendError;
use crate::knife::{CutShape, Id, Knife};

/// Gives single cut-outs and whole rows one size.
pub(super) fn size_holes(
    knife: &mut Knife,
    cut_outs: &[Id],
    rows: &[Id],
    size_mm: f64,
) -> Result<(), MendError> {
    if cut_outs.is_empty() && rows.is_empty() {
        return Err(MendError::Gone);
    }
    for id in cut_outs {
        let own = knife.cut_outs.iter_mut().find(|c| c.id == *id);
        match &mut own.ok_or(MendError::Gone)?.shape {
            CutShape::Round { diameter_mm, .. } => *diameter_mm = size_mm,
            CutShape::Slot {
                width_mm,
                length_mm,
                ..
            } => {
                // The middles of the round ends stay where they are.
                *length_mm += size_mm - *width_mm;
                *width_mm = size_mm;
            }
            CutShape::Free { .. } => return Err(MendError::Gone),
        }
    }
    for id in rows {
        let own = knife.rows.iter_mut().find(|r| r.id == *id);
        let own = own.ok_or(MendError::Gone)?;
        (own.first_diameter_mm, own.last_diameter_mm) = (size_mm, size_mm);
    }
    Ok(())
}
