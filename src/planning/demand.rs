//! What a plan is asked for, as something each hole brings a part of.
//!
//! Taking masses `m` at `x` from a knife of mass `M` that balances at `B` brings the balance to `B*` when `Σ m·(B* − x) = M·(B* − B)`: for one
//! wanted balance the holes simply add up. For a wanted mass they do anyway.

use super::field::{Field, Hole};

/// What is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wanted {
    /// The balance of the finished knife, mm from the shoulder line.
    BalanceMm(f64),
    /// Its mass, g.
    MassG(f64),
}

/// Mass, g, and balance, mm.
pub(super) type Weight = (f64, f64);

/// What all holes together must bring, and what each brings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Demand {
    pub wanted: Wanted,
    /// 1 or −1, so that `amount` is not negative.
    sign: f64,
    /// g·mm for a balance, g for a mass.
    pub amount: f64,
}

impl Demand {
    pub(super) fn new(wanted: Wanted, now: Weight) -> Self {
        let signed = match wanted {
            Wanted::BalanceMm(mm) => now.0 * (mm - now.1),
            Wanted::MassG(g) => now.0 - g,
        };
        Self {
            wanted,
            sign: if signed < 0.0 { -1.0 } else { 1.0 },
            amount: signed.abs(),
        }
    }

    /// As much as can be had one way: toward the front, or the other.
    pub(super) fn most(wanted: Wanted, sign: f64) -> Self {
        Self {
            wanted,
            sign,
            amount: f64::INFINITY,
        }
    }

    /// As much as can be had the same way, counted from the balance the knife has: whether a hole helps at all.
    pub(super) fn as_from_now(&self, now: Weight) -> Self {
        let wanted = match self.wanted {
            Wanted::BalanceMm(_) => Wanted::BalanceMm(now.1),
            Wanted::MassG(_) => self.wanted,
        };
        Self::most(wanted, self.sign)
    }

    pub(super) fn with_amount(self, amount: f64) -> Self {
        Self { amount, ..self }
    }

    /// Whether it is wanted that the balance goes forward, or the mass down.
    pub(super) fn is_forward(&self) -> bool {
        self.sign > 0.0
    }

    /// What a gram taken at a place brings.
    pub(super) fn lever(&self, x: f64) -> f64 {
        match self.wanted {
            Wanted::BalanceMm(mm) => self.sign * (mm - x),
            Wanted::MassG(_) => self.sign,
        }
    }

    /// Whether places matter.
    pub(super) fn has_lever(&self) -> bool {
        matches!(self.wanted, Wanted::BalanceMm(_))
    }

    /// Which way along x a hole brings more.
    pub(super) fn outward(&self, field: &Field<'_>) -> f64 {
        // What is filled with something heavier than steel works the other way round.
        let middle = f64::midpoint(field.region.0, field.region.1);
        -self.sign * field.per_mm2(middle).signum()
    }

    /// What a hole brings.
    pub(super) fn worth(&self, field: &Field<'_>, hole: &Hole) -> f64 {
        field.per_mm2(hole.at.x) * hole.area() * self.lever(hole.at.x)
    }

    pub(super) fn worth_of(&self, field: &Field<'_>, holes: &[Hole]) -> f64 {
        holes.iter().map(|h| self.worth(field, h)).sum()
    }

    /// What a change of the finished knife from one weight to another has really brought.
    pub(super) fn brought(&self, before: Weight, after: Weight) -> f64 {
        let signed = match self.wanted {
            Wanted::BalanceMm(mm) => before.0 * (mm - before.1) - after.0 * (mm - after.1),
            Wanted::MassG(_) => before.0 - after.0,
        };
        self.sign * signed
    }

    /// How far a finished knife is off what is wanted, mm or g.
    pub(super) fn off(&self, weight: Weight) -> f64 {
        match self.wanted {
            Wanted::BalanceMm(mm) => weight.1 - mm,
            Wanted::MassG(g) => weight.0 - g,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 200 g at −10, and 5 g taken at −80: the rest balances at (−2000 + 400)/195.
    #[test]
    fn what_is_brought_is_what_is_wanted() {
        let (before, after) = ((200.0, -10.0), (195.0, -1600.0 / 195.0));
        let demand = Demand::new(Wanted::BalanceMm(after.1), before);
        assert!((demand.amount - 5.0 * demand.lever(-80.0)).abs() < 1e-9);
        assert!((demand.brought(before, after) - demand.amount).abs() < 1e-9);
        assert!(demand.off(after).abs() < 1e-12);
        let back = Demand::new(Wanted::BalanceMm(-12.0), before);
        // Behind the wanted balance and ahead of the present one a hole moves the knife the wrong way.
        assert!(back.lever(-11.0) > 0.0 && back.as_from_now(before).lever(-11.0) < 0.0);
        assert!(back.as_from_now(before).lever(-9.0) > 0.0);
        assert!(back.lever(-80.0) < 0.0 && back.lever(0.0) > 0.0);
        let light = Demand::new(Wanted::MassG(180.0), before);
        assert_eq!((light.amount, light.lever(-80.0)), (20.0, 1.0));
        assert_eq!(light.brought(before, after), 5.0);
    }
}
