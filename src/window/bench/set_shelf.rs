//! The table of the set and the comparison of two knives, worked out when something changed and only while the maker looks at it.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::knife::{Id, Knife, KnifeSet, Material};
use crate::weighing::{BarNeed, MassAt, RackColumn, RackRow, bars_needed, mass_along, sort_rack};
use crate::window::results::Results;

/// How the knives of the set are looked at.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetView {
    /// Whether two lie one over the other; else all lie side by side.
    pub over: bool,
    /// The knife that the one on the drawing is compared with, if the maker has said.
    pub with: Option<Id>,
    /// The order of the table and whether it falls; as in the rack while there is none.
    pub sort: Option<(RackColumn, bool)>,
    /// The material whose numbers are shown.
    pub material: Option<String>,
}

impl SetView {
    /// The knife on the drawing and the one it is compared with: the chosen one, or its neighbor in the rack.
    #[must_use]
    pub fn compared(&self, set: &KnifeSet, here: Option<Id>) -> Option<[Id; 2]> {
        let here = here.filter(|id| set.knife(*id).is_some())?;
        let chosen = self
            .with
            .filter(|id| *id != here && set.knife(*id).is_some());
        let place = set.knives.iter().position(|k| k.id == here)?;
        let beside = set.knives.get(place + 1).or(set.knives.first());
        let beside = beside.map(|k| k.id).filter(|id| *id != here);
        Some([here, chosen.or(beside)?])
    }

    /// Puts the table in the order of a column; asked again, the other way round, then as in the rack.
    pub(super) fn sort_by(&mut self, column: RackColumn) {
        self.sort = match self.sort {
            Some((own, false)) if own == column => Some((column, true)),
            Some((own, true)) if own == column => None,
            _ => Some((column, false)),
        };
    }
}

/// What the table is made for.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::window) struct SetWish {
    /// Its order.
    pub sort: Option<(RackColumn, bool)>,
    /// How many of each knife are cut.
    pub counts: BTreeMap<Id, u32>,
    /// The two whose steel is summed along them, while they lie one over the other.
    pub compared: Option<[Id; 2]>,
}

/// How a knife's steel lies along it.
#[derive(Clone, Debug)]
struct Along {
    of: Arc<Knife>,
    line: Option<Vec<MassAt>>,
}

/// The table last looked at.
#[derive(Debug, Default)]
pub(in crate::window) struct SetShelf {
    wish: Option<SetWish>,
    knives: Vec<Arc<Knife>>,
    materials: Vec<Material>,
    rows: Vec<RackRow>,
    bars: Vec<BarNeed>,
    left_out: Vec<String>,
    along: Vec<Along>,
}

impl SetShelf {
    /// A row for each knife, in the order asked for.
    pub(in crate::window) fn rows(&self) -> &[RackRow] {
        &self.rows
    }

    /// The row of a knife.
    pub(super) fn row(&self, knife: Id) -> Option<&RackRow> {
        self.rows.iter().find(|row| row.knife == knife)
    }

    /// The bar that is needed.
    pub(in crate::window) fn bars(&self) -> &[BarNeed] {
        &self.bars
    }

    /// Names of the knives whose bar can't be told.
    pub(super) fn left_out(&self) -> &[String] {
        &self.left_out
    }

    /// How the steel of a compared knife lies along it.
    pub(super) fn along(&self, knife: Id) -> Option<&[MassAt]> {
        let own = self.along.iter().find(|own| own.of.id == knife)?;
        own.line.as_deref()
    }

    /// Brings the table up to date; without a wish forgets it.
    pub(in crate::window) fn refresh(
        &mut self,
        set: &KnifeSet,
        results: &Results,
        wish: Option<SetWish>,
    ) {
        let Some(wish) = wish else {
            if self.wish.is_some() {
                *self = Self::default();
            }
            return;
        };
        let same_materials = self.materials == set.materials;
        if self.wish.as_ref() == Some(&wish) && same_materials && self.is_of(&set.knives) {
            return;
        }
        let weighed = || {
            let all = set.knives.iter();
            all.filter_map(|knife| Some((knife.as_ref(), &results.of(knife.id)?.weighed.up)))
        };
        self.rows = weighed()
            .map(|(knife, up)| RackRow::of(knife, set, up))
            .collect();
        if let Some((column, falling)) = wish.sort {
            sort_rack(&mut self.rows, column, falling);
        }
        let count = |knife: &Knife| wish.counts.get(&knife.id).copied().unwrap_or(1);
        (self.bars, self.left_out) = bars_needed(weighed(), set, count);
        if !same_materials {
            self.along.clear();
        }
        self.lay_along(set, results, wish.compared);
        self.knives.clone_from(&set.knives);
        self.materials.clone_from(&set.materials);
        self.wish = Some(wish);
    }

    /// Whether the table is of these very knives.
    fn is_of(&self, knives: &[Arc<Knife>]) -> bool {
        let pairs = self.knives.iter().zip(knives);
        self.knives.len() == knives.len() && pairs.into_iter().all(|(a, b)| Arc::ptr_eq(a, b))
    }

    /// Sums the steel along the compared knives, unless that is known.
    fn lay_along(&mut self, set: &KnifeSet, results: &Results, compared: Option<[Id; 2]>) {
        let old = std::mem::take(&mut self.along);
        let along = |id: Id| {
            let knife = set.knife(id)?;
            if let Some(known) = old.iter().find(|own| Arc::ptr_eq(&own.of, knife)) {
                return Some(known.clone());
            }
            let own = results.of(id);
            Some(Along {
                of: Arc::clone(knife),
                line: own.and_then(|r| mass_along(knife, set, &r.weighed.scale, &r.steel)),
            })
        };
        self.along = compared.into_iter().flatten().filter_map(along).collect();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::orchard_set;

    #[test]
    fn a_heading_asked_again_turns_the_order_and_then_leaves_it() {
        let mut view = SetView::default();
        view.sort_by(RackColumn::Balance);
        assert_eq!(view.sort, Some((RackColumn::Balance, false)));
        view.sort_by(RackColumn::Balance);
        assert_eq!(view.sort, Some((RackColumn::Balance, true)));
        view.sort_by(RackColumn::Balance);
        assert_eq!(view.sort, None);
        view.sort_by(RackColumn::Balance);
        view.sort_by(RackColumn::Name);
        assert_eq!(view.sort, Some((RackColumn::Name, false)));
    }

    /// Summing along a knife takes long: it is done for two that lie one over the other, and for none whose line nobody sees.
    #[test]
    fn steel_is_summed_along_only_the_two_that_are_compared() {
        let set = orchard_set();
        let mut results = Results::default();
        results.refresh(&set);
        let ids: Vec<Id> = set.knives.iter().map(|k| k.id).collect();
        let wish = |compared| SetWish {
            sort: None,
            counts: BTreeMap::new(),
            compared,
        };
        let mut shelf = SetShelf::default();
        shelf.refresh(&set, &results, Some(wish(None)));
        assert_eq!(shelf.rows().len(), 4);
        assert!(ids.iter().all(|id| shelf.along(*id).is_none()));
        shelf.refresh(&set, &results, Some(wish(Some([ids[0], ids[2]]))));
        let seen: Vec<bool> = ids.iter().map(|id| shelf.along(*id).is_some()).collect();
        assert_eq!(seen, [true, false, true, false]);
        shelf.refresh(&set, &results, None);
        assert!(shelf.rows().is_empty() && shelf.along(ids[0]).is_none());
    }

    #[test]
    fn a_knife_is_compared_with_its_neighbor_until_another_is_chosen() {
        let set = orchard_set();
        let ids: Vec<Id> = set.knives.iter().map(|k| k.id).collect();
        let mut view = SetView::default();
        assert_eq!(view.compared(&set, Some(ids[0])), Some([ids[0], ids[1]]));
        assert_eq!(view.compared(&set, Some(ids[3])), Some([ids[3], ids[0]]));
        view.with = Some(ids[2]);
        assert_eq!(view.compared(&set, Some(ids[0])), Some([ids[0], ids[2]]));
        // Never with itself, never with one that is gone.
        assert_eq!(view.compared(&set, Some(ids[2])), Some([ids[2], ids[3]]));
        view.with = Some(999);
        assert_eq!(view.compared(&set, Some(ids[0])), Some([ids[0], ids[1]]));
        assert_eq!(view.compared(&set, None), None);
    }
}
