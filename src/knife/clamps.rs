//! What is clamped, and whether it is as it was.

use super::{Id, Knife};

/// Something that is clamped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clamped {
    /// A node of the outline.
    Node(Id),
    /// A cut-out.
    CutOut(Id),
    /// A row of holes.
    Row(Id),
}

impl Knife {
    /// The first thing that is clamped on both knives and is not on the other as it is here: nodes and cut-outs keep their shape, rows their path.
    #[must_use]
    pub fn clamped_astray(&self, after: &Self) -> Option<Clamped> {
        self.clamped.intersection(&after.clamped).find_map(|id| {
            let shape = |knife: &Self| knife.cut_out(*id).map(|cut| cut.shape.clone());
            let path = |knife: &Self| knife.row(*id).map(|row| row.path);
            if self.outline.node(*id) != after.outline.node(*id) {
                Some(Clamped::Node(*id))
            } else if shape(self) != shape(after) {
                Some(Clamped::CutOut(*id))
            } else {
                (path(self) != path(after)).then_some(Clamped::Row(*id))
            }
        })
    }
}
