//! A knife on the bench with its numbers at hand, and how they are said.

use super::steps::BuildOptions;
use crate::geometry::SpanIndex;
use crate::knife::{Knife, KnifeSet, Stage};
use crate::units::{Length, LengthUnit, Mass, decimals_earned, print_mass};
use crate::weighing::{StageWeight, WeighUp, weigh};

/// Room to write a number by hand.
pub(super) const BLANK: &str = "______";

/// A knife with its numbers at hand.
pub(super) struct Work<'a> {
    pub(super) knife: &'a Knife,
    pub(super) set: &'a KnifeSet,
    pub(super) up: WeighUp,
    pub(super) steel: SpanIndex,
    pub(super) options: BuildOptions,
}

impl<'a> Work<'a> {
    pub(super) fn new(knife: &'a Knife, set: &'a KnifeSet, options: BuildOptions) -> Self {
        Self {
            knife,
            set,
            up: weigh(knife, set),
            steel: knife.contour().index(),
            options,
        }
    }

    pub(super) fn mm(&self, mm: f64) -> String {
        self.options.lengths.print(Length::mm(mm))
    }

    /// A place along the knife, with its sign.
    pub(super) fn place(&self, mm: f64) -> String {
        self.options.lengths.print_signed(Length::mm(mm))
    }

    /// A length without its unit, for tables.
    pub(super) fn bare(&self, mm: f64) -> String {
        self.options.lengths.print_bare(Length::mm(mm))
    }

    /// A length as calipers tell it.
    pub(super) fn caliper(&self, mm: f64) -> String {
        self.options.lengths.caliper().print(Length::mm(mm))
    }

    /// The same without its unit.
    pub(super) fn bare_caliper(&self, mm: f64) -> String {
        self.options.lengths.caliper().print_bare(Length::mm(mm))
    }

    /// The unit of lengths.
    pub(super) fn unit(&self) -> &'static str {
        match self.options.lengths.unit {
            LengthUnit::Mm => "mm",
            LengthUnit::DecimalInch | LengthUnit::FractionInch => "in",
        }
    }

    pub(super) fn mass(&self, g: f64, off_g: f64) -> String {
        let unit = self.options.masses;
        let off = Mass::g(off_g).to_unit(unit);
        print_mass(Mass::g(g), unit, decimals_earned(off))
    }

    pub(super) fn material(&self, key: &str) -> String {
        self.set
            .material(key)
            .map_or_else(|| key.to_owned(), |m| m.name.clone())
    }

    /// What the scale should say at a stage, with room for what it does say, or what it said already.
    pub(super) fn weigh_line(&self, stage: Stage) -> Option<String> {
        let own = StageWeight::of(&self.up, stage)?;
        let half = own.mass_band_g.half_width();
        let said = self.knife.weigh_ins.iter().rev().find(|w| w.stage == stage);
        let said = said.map_or_else(
            || format!("{BLANK} at {BLANK}"),
            |said| {
                let at = said
                    .balance_mm
                    .map_or_else(|| BLANK.to_owned(), |mm| self.place(mm));
                let mass = print_mass(Mass::g(said.mass_g), self.options.masses, 1);
                format!("{mass} at {at}, {}", said.date)
            },
        );
        let unit = self.options.masses;
        let off = Mass::g(half).to_unit(unit);
        let earned = decimals_earned(off);
        // Rounded to the digits it leaves the mass, a doubt of less than half of the last one would be told as none.
        let lost = off > 0.0 && off < 0.5 * 0.1_f64.powi(i32::from(earned));
        let decimals = earned + u8::from(lost);
        let print = |g: f64| print_mass(Mass::g(g), unit, decimals);
        Some(format!(
            "On the scale: {} ± {}, balances at {}. Said: {said}",
            print(own.mass_g),
            print(half),
            self.place(own.balance_mm)
        ))
    }
}
