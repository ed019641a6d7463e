//! The knives of a set as a table: one row of numbers for each, to be put in order.

use super::bands::Band;
use super::weigh_up::WeighUp;
use crate::knife::{Id, Knife, KnifeSet};

/// What a column of the table tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RackColumn {
    /// The knife's name.
    Name,
    /// The steel of its core.
    Steel,
    /// Thickness of the bar.
    Thickness,
    /// From butt to tip.
    Overall,
    /// From the shoulder line to the tip.
    Blade,
    /// Largest depth of the blade.
    Height,
    /// Mass of the straight bar it is cut from.
    Bar,
    /// Mass of the ground steel.
    Ground,
    /// Mass of the finished knife.
    Finished,
    /// Where the finished knife balances.
    Balance,
    /// How hard the finished knife is to swing.
    Swing,
}

/// What the number of a column is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RackMeasure {
    /// Words.
    Words,
    /// A length, mm.
    Length,
    /// A place from the shoulder line, mm.
    Place,
    /// A mass, g.
    Mass,
    /// A moment of inertia, kg·cm².
    Swing,
}

impl RackColumn {
    /// All of them, from left to right.
    pub const ALL: [Self; 11] = [
        Self::Name,
        Self::Steel,
        Self::Thickness,
        Self::Overall,
        Self::Blade,
        Self::Height,
        Self::Bar,
        Self::Ground,
        Self::Finished,
        Self::Balance,
        Self::Swing,
    ];

    /// Its heading.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Name => "knife",
            Self::Steel => "steel",
            Self::Thickness => "thick",
            Self::Overall => "overall",
            Self::Blade => "blade",
            Self::Height => "height",
            Self::Bar => "bar",
            Self::Ground => "ground",
            Self::Finished => "finished",
            Self::Balance => "balance",
            Self::Swing => "swing",
        }
    }

    /// One line on what it tells.
    #[must_use]
    pub fn hint(self) -> &'static str {
        match self {
            Self::Name => "the knife's name",
            Self::Steel => "the steel, or that of the core",
            Self::Thickness => "thickness of the bar",
            Self::Overall => "from butt to tip",
            Self::Blade => "from the shoulder line to the tip",
            Self::Height => "greatest height of the blade",
            Self::Bar => "mass of the straight piece of bar the outline needs",
            Self::Ground => "mass of the steel, drilled and ground",
            Self::Finished => "mass of the finished knife",
            Self::Balance => "where the finished knife balances, from the shoulder line",
            Self::Swing => "how hard the finished knife is to swing about its balance point",
        }
    }

    /// What its numbers are.
    #[must_use]
    pub fn measure(self) -> RackMeasure {
        match self {
            Self::Name | Self::Steel => RackMeasure::Words,
            Self::Thickness | Self::Overall | Self::Blade | Self::Height => RackMeasure::Length,
            Self::Bar | Self::Ground | Self::Finished => RackMeasure::Mass,
            Self::Balance => RackMeasure::Place,
            Self::Swing => RackMeasure::Swing,
        }
    }
}

/// g·mm² in one kg·cm².
const G_MM2_PER_KG_CM2: f64 = 1e5;

/// One knife of the table. What can't be known is `None`, never zero.
#[derive(Clone, Debug, PartialEq)]
pub struct RackRow {
    /// The knife.
    pub knife: Id,
    /// Its name.
    pub name: String,
    /// The name of its steel, or of its core's.
    pub steel: String,
    /// Thickness of the bar, mm.
    pub thickness_mm: f64,
    /// From butt to tip, mm.
    pub overall_mm: Option<f64>,
    /// From the shoulder line to the tip, mm.
    pub blade_mm: Option<f64>,
    /// Largest depth of the blade, mm.
    pub height_mm: Option<f64>,
    /// Mass of the straight bar the outline needs, g.
    pub bar_g: Option<f64>,
    /// Mass of the ground steel, g.
    pub ground_g: Option<f64>,
    /// Mass of the finished knife, g.
    pub finished_g: Option<f64>,
    /// How far that mass may be off, g.
    pub finished_band_g: Option<Band>,
    /// Balance point of the finished knife, mm from the shoulder line.
    pub balance_mm: Option<f64>,
    /// Moment of inertia of the finished knife about its balance point, kg·cm².
    pub swing_kg_cm2: Option<f64>,
}

impl RackRow {
    /// The row of a knife with its weigh-up.
    #[must_use]
    pub fn of(knife: &Knife, set: &KnifeSet, up: &WeighUp) -> Self {
        let key = &knife.stock.material;
        // An outline whose numbers are not finite has no lengths at all.
        let measured = |mm: f64| (up.steel.extent.overall_mm > 0.0).then_some(mm);
        Self {
            knife: knife.id,
            name: knife.name.clone(),
            steel: set.material(key).map_or(key, |m| &m.name).clone(),
            thickness_mm: knife.stock.thickness_mm,
            overall_mm: measured(up.steel.extent.overall_mm),
            blade_mm: measured(up.steel.extent.blade_mm),
            height_mm: measured(up.steel.extent.height_mm),
            bar_g: up.steel.bar_mass_g,
            ground_g: up.ground.map(|ground| ground.mass_g),
            finished_g: up.total.map(|total| total.mass_g),
            finished_band_g: up.total.map(|total| total.mass_band_g),
            balance_mm: up.total.map(|total| total.balance_mm),
            swing_kg_cm2: up.total.map(|total| total.inertia_g_mm2 / G_MM2_PER_KG_CM2),
        }
    }

    /// The number of a column: mm, g or kg·cm², as [`RackColumn::measure`] says; `None` for words and for what is missing.
    #[must_use]
    pub fn number(&self, column: RackColumn) -> Option<f64> {
        match column {
            RackColumn::Name | RackColumn::Steel => None,
            RackColumn::Thickness => Some(self.thickness_mm),
            RackColumn::Overall => self.overall_mm,
            RackColumn::Blade => self.blade_mm,
            RackColumn::Height => self.height_mm,
            RackColumn::Bar => self.bar_g,
            RackColumn::Ground => self.ground_g,
            RackColumn::Finished => self.finished_g,
            RackColumn::Balance => self.balance_mm,
            RackColumn::Swing => self.swing_kg_cm2,
        }
    }

    /// The words of a column; empty for numbers.
    #[must_use]
    pub fn words(&self, column: RackColumn) -> &str {
        match column {
            RackColumn::Name => &self.name,
            RackColumn::Steel => &self.steel,
            _ => "",
        }
    }
}

/// Puts rows in the order of a column, rising or falling. Equal ones keep the order they had; what is missing stands last either way.
pub fn sort_rack(rows: &mut [RackRow], column: RackColumn, falling: bool) {
    use std::cmp::Ordering;
    let turned = |order: Ordering| if falling { order.reverse() } else { order };
    rows.sort_by(|a, b| {
        if column.measure() == RackMeasure::Words {
            let (a, b) = (
                a.words(column).to_lowercase(),
                b.words(column).to_lowercase(),
            );
            return turned(a.cmp(&b));
        }
        match (a.number(column), b.number(column)) {
            (Some(a), Some(b)) => turned(a.total_cmp(&b)),
            (Some(_), None) => Ordering::Less,
            (None, Some(_)) => Ordering::Greater,
            (None, None) => Ordering::Equal,
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::orchard_set;
    use crate::weighing::weigh;

    fn rows() -> Vec<RackRow> {
        let set = orchard_set();
        let of = |knife: &std::sync::Arc<Knife>| RackRow::of(knife, &set, &weigh(knife, &set));
        set.knives.iter().map(of).collect()
    }

    #[test]
    fn every_column_can_be_put_in_order_both_ways() {
        for column in RackColumn::ALL {
            let mut rising = rows();
            sort_rack(&mut rising, column, false);
            let mut falling = rows();
            sort_rack(&mut falling, column, true);
            for pair in rising.windows(2) {
                let (a, b) = (&pair[0], &pair[1]);
                match a.number(column).zip(b.number(column)) {
                    Some((a, b)) => assert!(a <= b, "{column:?}"),
                    None => {
                        assert!(a.words(column).to_lowercase() <= b.words(column).to_lowercase())
                    }
                }
            }
            let ends = (rising[0].number(column), falling[0].number(column));
            if let (Some(least), Some(most)) = ends {
                assert!(least <= most, "{column:?}");
            }
        }
    }

    #[test]
    fn what_is_missing_stands_last_either_way() {
        for falling in [false, true] {
            let mut rows = rows();
            rows[0].balance_mm = None;
            let lost = rows[0].knife;
            sort_rack(&mut rows, RackColumn::Balance, falling);
            assert_eq!(rows.last().unwrap().knife, lost);
        }
    }

    #[test]
    fn equal_ones_keep_the_order_of_the_rack() {
        let mut rows = rows();
        for row in &mut rows {
            row.thickness_mm = 3.0;
        }
        let before = rows.clone();
        sort_rack(&mut rows, RackColumn::Thickness, true);
        assert_eq!(rows, before);
    }
}
