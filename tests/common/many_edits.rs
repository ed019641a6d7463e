//! Edit after edit of the orchard set, as a long day at the bench makes them.

use tangwright::edit::{Change, Edit, Thing};
use tangwright::geometry::Vec2;
use tangwright::knife::KnifeSet;

/// 200 MB for 10 000 steps of undo.
pub(crate) const BYTES_A_STEP: u64 = 20_000;

/// The edit made as the `i`-th: nodes and holes moved there and back, words, figures and materials changed.
pub(crate) fn edit(set: &KnifeSet, i: usize) -> Edit {
    let knife = &set.knives[i % set.knives.len()];
    let way = if (i / set.knives.len()).is_multiple_of(2) {
        0.1
    } else {
        -0.1
    };
    let change = match i % 7 {
        0..=2 => {
            let node = &knife.outline.nodes[(i / 14) % knife.outline.nodes.len()];
            Change::Shift {
                things: vec![Thing::Node(node.id)],
                by: Vec2::new(0.0, way),
            }
        }
        3 | 4 => match knife.cut_outs.first() {
            Some(cut) => Change::Shift {
                things: vec![Thing::CutOut(cut.id)],
                by: Vec2::new(way, 0.0),
            },
            None => Change::SetNotes {
                notes: format!("looked at {i} times"),
            },
        },
        5 => Change::SetGrindTolerance {
            tolerance_mm: 0.05 + (i % 100) as f64 * 1e-4,
        },
        _ => {
            let mut material = set.materials[0].clone();
            material.density_g_cm3 = material.density_low
                + (material.density_high - material.density_low) * (i % 50) as f64 / 50.0;
            return Edit::SetMaterial { material };
        }
    };
    Edit::knife(knife.id, change)
}
