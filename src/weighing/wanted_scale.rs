//! How many times as large a whole design must be for a wanted mass, its holes and its bar left as they are.

use super::weigh;
use crate::knife::{Knife, KnifeSet};

/// Why there is no such size.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoScale {
    /// No mass.
    #[error("{wanted_g} g is no mass for a knife: give more than 0 g")]
    NoMass {
        /// What was asked, g.
        wanted_g: f64,
    },
    /// Not to be weighed.
    #[error("the knife can't be weighed: mend what the findings name first")]
    NotWeighed,
    /// Out of reach.
    #[error(
        "no size from a quarter to four times this one weighs {wanted_g:.1} g: change the bar or the holes instead"
    )]
    OutOfReach {
        /// What was asked, g.
        wanted_g: f64,
    },
}

/// The mass is met within this share.
const CLOSE: f64 = 1e-7;
/// Sizes tried, against the present one.
const SIZES: (f64, f64) = (0.25, 4.0);
/// Weighings at most.
const MOST_TRIES: u32 = 60;

/// The factor for [`Knife::scaled`] with which the finished knife weighs `wanted_g`. Mass has no closed form in it, as holes, bar and handle do not grow
/// with the outline: it is closed in on by the secant's steps (Illinois' rule), first from the size it would have if only the face counted.
///
/// # Errors
/// The mass is none, the knife can't be weighed, or no size reaches it.
pub fn scale_for_mass(knife: &Knife, set: &KnifeSet, wanted_g: f64) -> Result<f64, NoScale> {
    if !(wanted_g.is_finite() && wanted_g > 0.0) {
        return Err(NoScale::NoMass { wanted_g });
    }
    let mass = |factor: f64| weigh(&knife.scaled(factor), set).total.map(|t| t.mass_g);
    let now = mass(1.0).filter(|g| *g > 0.0).ok_or(NoScale::NotWeighed)?;
    let out = NoScale::OutOfReach { wanted_g };
    let off = |factor: f64| mass(factor).map(|g| g - wanted_g);
    if (now - wanted_g).abs() <= CLOSE * wanted_g {
        return Ok(1.0);
    }
    // From the present size to where it would be, and further until the mass lies between.
    let (mut a, mut off_a) = (1.0, now - wanted_g);
    let guess = (wanted_g / now).sqrt();
    let mut b = guess.clamp(SIZES.0, SIZES.1);
    let mut off_b = off(b).ok_or(out)?;
    while off_a * off_b > 0.0 {
        if b <= SIZES.0 || b >= SIZES.1 {
            return Err(out);
        }
        (a, off_a) = (b, off_b);
        b = (b * if off_b < 0.0 { 1.2 } else { 1.0 / 1.2 }).clamp(SIZES.0, SIZES.1);
        off_b = off(b).ok_or(out)?;
    }
    for _ in 0..MOST_TRIES {
        let next = b - off_b * (b - a) / (off_b - off_a);
        let off_next = off(next).ok_or(out)?;
        if off_next.abs() <= CLOSE * wanted_g {
            return Ok(next);
        }
        if off_next * off_b < 0.0 {
            (a, off_a) = (b, off_b);
        } else {
            off_a /= 2.0;
        }
        (b, off_b) = (next, off_next);
    }
    Err(out)
}
