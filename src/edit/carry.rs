//! Copying part of one knife to another of the set.

use super::grinding::seat_ends;
use super::{EditError, clamping, fitted, outline_edits};
use crate::geometry::{Point, SpanIndex, Vec2};
use crate::knife::{CutOut, CutShape, Id, Knife, KnifeSet, RowPath};

/// How near the rim of a hole is followed to see whether it lies in the steel, mm: a scribed line.
const RIM_MM: f64 = 0.1;

/// What is copied from one knife to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Carried {
    /// Its grinds and how true they are held; taper and fullers stay with the knife.
    Grind,
    /// Its cut-outs and rows of holes.
    Holes,
    /// Its handle.
    Handle,
}

impl Carried {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Grind, Self::Holes, Self::Handle];

    /// The word for it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Grind => "grind",
            Self::Holes => "holes",
            Self::Handle => "handle",
        }
    }

    /// Whether a knife has any of it.
    #[must_use]
    pub fn is_on(self, knife: &Knife) -> bool {
        match self {
            Self::Grind => !knife.grinding.grinds.is_empty(),
            Self::Holes => !(knife.cut_outs.is_empty() && knife.rows.is_empty()),
            Self::Handle => knife.handle.is_some(),
        }
    }
}

/// Copies part of one knife to another, in place of what that has of it.
pub(super) fn carry(set: &mut KnifeSet, from: Id, to: Id, what: Carried) -> Result<(), EditError> {
    let source = set.knife(from).ok_or(EditError::NoKnife)?.clone();
    if from == to {
        return Ok(());
    }
    if !what.is_on(&source) {
        return Err(EditError::NothingToCopy { what: what.name() });
    }
    let before = set.knife(to).ok_or(EditError::NoKnife)?.clone();
    let target = set.knife_mut(to).ok_or(EditError::NoKnife)?;
    match what {
        Carried::Grind => grinds(&source, target),
        Carried::Holes => holes(&source, target)?,
        Carried::Handle => fitted::fit_handle(target, source.handle.as_ref()),
    }
    clamping::held(&before, target)?;
    target.let_go_of_what_is_gone();
    Ok(())
}

/// The grinds themselves. Landmarks their runs lack are seated where they usually are, or else where the other knife has them.
fn grinds(source: &Knife, target: &mut Knife) {
    target.grinding.tolerance_mm = source.grinding.tolerance_mm;
    target.grinding.grinds.clear();
    for grind in &source.grinding.grinds {
        seat_ends(target, grind);
        for kind in [grind.run.from, grind.run.to] {
            if target.landmark(kind).is_none() {
                target.seat_landmarks(&[(kind, source.landmark_point(kind))]);
            }
        }
        let mut grind = grind.clone();
        grind.id = target.take_id();
        target.grinding.grinds.push(grind);
    }
}

/// Every hole as far from the shoulder line as it was, and as far from the middle of the steel there. None is lost or left hanging in the air: where one
/// finds no steel, nothing is copied.
fn holes(source: &Knife, target: &mut Knife) -> Result<(), EditError> {
    let (there, here) = (source.contour().index(), target.contour().index());
    target.cut_outs.clear();
    target.rows.clear();
    for cut in &source.cut_outs {
        let by = step(&there, &here, cut.shape.center().x);
        let mut shape = cut.shape.shifted(by);
        if let CutShape::Free { outline } = &mut shape {
            outline_edits::adopt(outline, target)?;
        }
        within(&shape, &here)?;
        let id = target.take_id();
        target.cut_outs.push(CutOut {
            id,
            shape,
            ..cut.clone()
        });
    }
    for source_row in &source.rows {
        let mut row = source_row.clone();
        row.id = target.take_id();
        if let RowPath::Line { from, to } = &mut row.path {
            *from += step(&there, &here, from.x);
            *to += step(&there, &here, to.x);
        } else if let Some((lost, _)) = source_row
            .holes(&there)
            .into_iter()
            .find(|(center, _)| here.depth_at(center.x).is_none())
        {
            return Err(EditError::NotInSteel { at: lost });
        }
        for hole in row.cut_outs(&here) {
            within(&hole.shape, &here)?;
        }
        target.rows.push(row);
    }
    Ok(())
}

/// Refuses a cut-out that reaches over the steel, or hangs beside it.
fn within(shape: &CutShape, steel: &SpanIndex) -> Result<(), EditError> {
    let rim = shape.contour().flattened(RIM_MM);
    if rim.iter().all(|at| steel.contains(*at)) {
        Ok(())
    } else {
        Err(EditError::NotInSteel { at: shape.center() })
    }
}

/// From the middle of one steel to that of the other; none where either has no steel.
fn step(there: &SpanIndex, here: &SpanIndex, x: f64) -> Vec2 {
    let middle = |steel: &SpanIndex| steel.depth_at(x).map(|(a, b)| f64::midpoint(a, b));
    match (middle(there), middle(here)) {
        (Some(from), Some(to)) => Point::new(x, to) - Point::new(x, from),
        _ => Vec2::ZERO,
    }
}
