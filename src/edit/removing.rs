//! Removing nodes, handles, cut-outs, rows and stations of the taper.

use super::moving::{gone, loose};
use super::{EditError, Thing};
use crate::knife::{CutShape, Knife};

/// Removes things, each once; landmarks among them stay.
pub(super) fn remove(knife: &mut Knife, things: &[Thing]) -> Result<(), EditError> {
    let mut left = loose(things);
    let landmarks = left.iter().filter(|t| matches!(t, Thing::Landmark(_)));
    if !left.is_empty() && landmarks.count() == left.len() {
        return Err(EditError::LandmarkStays);
    }
    knife
        .cut_outs
        .retain(|cut| !left.remove(&Thing::CutOut(cut.id)));
    knife.rows.retain(|row| {
        let id = row.id;
        // A row has no ends of its own to lose: it goes as a whole. All three are asked, none shall be left over.
        let picked = [
            Thing::Row(id),
            Thing::RowEnd {
                row: id,
                last: false,
            },
            Thing::RowEnd {
                row: id,
                last: true,
            },
        ]
        .map(|thing| left.remove(&thing));
        !picked.contains(&true)
    });
    if let Some(taper) = &mut knife.grinding.taper {
        let mut place = 0;
        taper.stations.retain(|_| {
            let picked = left.remove(&Thing::TaperStation(place));
            place += 1;
            !picked
        });
        if taper.stations.is_empty() {
            knife.grinding.taper = None;
        }
    }
    for thing in left {
        remove_one(knife, thing)?;
    }
    Ok(())
}

fn remove_one(knife: &mut Knife, thing: Thing) -> Result<(), EditError> {
    match thing {
        Thing::Node(id) => {
            knife.outline.node(id).ok_or(gone(thing))?;
            if !knife.remove_node(id) {
                return Err(EditError::TooFewNodes);
            }
        }
        Thing::Handle { node, outgoing } => {
            super::thing_point(knife, thing).ok_or(gone(thing))?;
            knife.outline.set_handle(node, outgoing, None);
        }
        Thing::CutOutNode { cut_out, node } => {
            let cut = knife.cut_out_mut(cut_out);
            let Some(CutShape::Free { outline }) = cut.map(|c| &mut c.shape) else {
                return Err(gone(thing));
            };
            outline.node(node).ok_or(gone(thing))?;
            if outline.remove(node).is_none() {
                return Err(EditError::TooFewNodes);
            }
        }
        Thing::FullerNode { fuller, node } => {
            let fuller = knife.grinding.fullers.iter_mut().find(|f| f.id == fuller);
            let path = &mut fuller.ok_or(gone(thing))?.path;
            path.node(node).ok_or(gone(thing))?;
            if path.remove_from_chain(node).is_none() {
                return Err(EditError::PathTooShort);
            }
        }
        Thing::Landmark(_) => {}
        Thing::Name => {
            knife.engraving.take().ok_or(gone(thing))?;
        }
        // Those that are there went before.
        Thing::CutOut(_) | Thing::Row(_) | Thing::RowEnd { .. } | Thing::TaperStation(_) => {
            return Err(gone(thing));
        }
    }
    Ok(())
}
