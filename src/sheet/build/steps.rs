//! The steps themselves: headings, what each knife needs there, cautions.

use super::cautions::{Caution, said};
use super::grinds::{grind_hard, grind_soft, scribe};
use super::holes::holes;
use super::parts::{guard, handle};
use super::tell::{finish, heat, profile, stock};
use super::work::Work;
use crate::knife::{Knife, KnifeSet};
use crate::units::{LengthFormat, MassUnit};

/// How a build sheet is told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BuildOptions {
    /// How lengths are printed.
    pub lengths: LengthFormat,
    /// How masses are printed.
    pub masses: MassUnit,
    /// Steel that is left on outside the drawn line until the grinder comes to it, mm; 0 for none.
    pub left_on_mm: f64,
}

impl Default for BuildOptions {
    fn default() -> Self {
        Self {
            lengths: LengthFormat::default(),
            masses: MassUnit::Gram,
            left_on_mm: 0.0,
        }
    }
}

/// Something told in a step.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A line to do or to know.
    Line(String),
    /// Numbers in columns.
    Table(BuildTable),
}

/// Numbers in columns.
#[derive(Clone, Debug, PartialEq)]
pub struct BuildTable {
    /// What the numbers are.
    pub title: String,
    /// The head of each column.
    pub columns: Vec<String>,
    /// As many cells as there are columns.
    pub rows: Vec<Vec<String>>,
}

/// What one knife needs in a step.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// Its name.
    pub knife: String,
    /// What there is to do or to know.
    pub items: Vec<Item>,
}

impl Share {
    /// The lines among its items.
    pub fn lines(&self) -> impl Iterator<Item = &str> {
        self.items.iter().filter_map(|item| match item {
            Item::Line(line) => Some(line.as_str()),
            Item::Table(_) => None,
        })
    }

    /// The tables among its items.
    pub fn tables(&self) -> impl Iterator<Item = &BuildTable> {
        self.items.iter().filter_map(|item| match item {
            Item::Line(_) => None,
            Item::Table(table) => Some(table),
        })
    }
}

/// One step of the work.
#[derive(Clone, Debug, PartialEq)]
pub struct BuildStep {
    /// What is done.
    pub heading: &'static str,
    /// What each knife needs; knives that need nothing are left out.
    pub shares: Vec<Share>,
    /// What could hurt the maker or spoil the steel.
    pub cautions: Vec<String>,
}

type Tell = fn(&Work<'_>) -> Vec<Item>;

/// The steps in the order of the work.
pub(super) const STEPS: [(&str, Tell); 10] = [
    ("Cut the stock", stock),
    ("Profile to the template", profile),
    ("Drill before hardening", holes),
    ("Scribe before grinding", scribe),
    ("Grind", grind_soft),
    ("Heat treatment", heat),
    ("Grind after hardening", grind_hard),
    ("Fit the guard", guard),
    ("Fit the handle", handle),
    ("Finish and weigh", finish),
];

/// One knife, told step by step: kept while the knife stays as it is, and brought together with others by [`steps_of`].
#[derive(Clone, Debug, PartialEq)]
pub struct ToldKnife {
    name: String,
    /// What it needs in each step, and which cautions it calls for.
    steps: Vec<(Vec<Item>, Vec<Caution>)>,
}

impl ToldKnife {
    /// Tells a knife of a set.
    #[must_use]
    pub fn new(knife: &Knife, set: &KnifeSet, options: BuildOptions) -> Self {
        let work = Work::new(knife, set, options);
        let steps = STEPS.iter().map(|(heading, tell)| {
            let items = tell(&work);
            let cautions = if items.is_empty() {
                Vec::new()
            } else {
                super::cautions::cautions_of(heading, &work)
            };
            (items, cautions)
        });
        Self {
            name: knife.name.clone(),
            steps: steps.collect(),
        }
    }
}

/// The steps of knives that were told, in the order of the work; steps nobody needs are left out.
#[must_use]
pub fn steps_of(knives: &[&ToldKnife]) -> Vec<BuildStep> {
    let step = |place: usize, heading: &'static str| {
        let own = |knife: &&ToldKnife| knife.steps.get(place).cloned();
        let mut shares = Vec::new();
        let mut cautions: Vec<Caution> = Vec::new();
        for knife in knives {
            let Some((items, called)) = own(knife).filter(|(items, _)| !items.is_empty()) else {
                continue;
            };
            shares.push(Share {
                knife: knife.name.clone(),
                items,
            });
            cautions.extend(called);
        }
        cautions.sort_unstable();
        cautions.dedup();
        (!shares.is_empty()).then(|| BuildStep {
            heading,
            shares,
            cautions: cautions.into_iter().filter_map(said).collect(),
        })
    };
    STEPS
        .iter()
        .enumerate()
        .filter_map(|(place, (heading, _))| step(place, heading))
        .collect()
}

/// The steps of these knives, in the order of the work; steps nobody needs are left out.
#[must_use]
pub fn build_steps<'a>(
    knives: impl IntoIterator<Item = &'a Knife>,
    set: &KnifeSet,
    options: BuildOptions,
) -> Vec<BuildStep> {
    let told: Vec<ToldKnife> = knives
        .into_iter()
        .map(|knife| ToldKnife::new(knife, set, options))
        .collect();
    steps_of(&told.iter().collect::<Vec<_>>())
}

#[cfg(test)]
mod tests;
