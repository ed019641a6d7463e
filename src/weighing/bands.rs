//! The bands that stock tolerance and density spread put around a mass and a balance point.

/// The lowest and highest value a number may really have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

impl Band {
    /// The band of a number that is known exactly.
    #[must_use]
    pub fn of(value: f64) -> Self {
        Self {
            low: value,
            high: value,
        }
    }

    /// Half its width.
    #[must_use]
    pub fn half_width(&self) -> f64 {
        (self.high - self.low) / 2.0
    }

    /// Whether a value lies within.
    #[must_use]
    pub fn contains(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }
}

/// A part for the balance band: the band of its mass (g) and where its center is (mm).
#[derive(Clone, Copy, Debug)]
pub(super) struct PartBand {
    pub mass: Band,
    pub x_mm: f64,
}

/// Lowest and highest balance point when every part's mass may lie anywhere in its own band. `None` when all of them
/// together have no mass.
///
/// The balance is a weighted mean of the parts' places, so its extremes lie where each part is at one end of its band: heavy in front of
/// the balance and light behind it, or the other way round. Taking turns (balance, then ends) reaches the extreme in at most one
/// turn for each part (Dinkelbach's method, Management Science 13 (1967), pp. 492-498).
pub(super) fn balance_band(parts: &[PartBand]) -> Option<Band> {
    let extreme = |front_heavy: bool| -> Option<f64> {
        // From the middle of all bands, so that a start without mass means that there is none at all.
        let (mass, moment) = parts.iter().fold((0.0, 0.0), |(mass, moment), part| {
            let m = f64::midpoint(part.mass.low, part.mass.high);
            (mass + m, moment + m * part.x_mm)
        });
        if mass <= 0.0 {
            return None;
        }
        let mut balance = moment / mass;
        for _ in 0..=parts.len() {
            let (mut mass, mut moment) = (0.0, 0.0);
            for part in parts {
                let ahead = part.x_mm > balance;
                let m = if ahead == front_heavy {
                    part.mass.high
                } else {
                    part.mass.low
                };
                mass += m;
                moment += m * part.x_mm;
            }
            // Everything that could be lighter may weigh nothing: the rest, at the balance itself, stays.
            if mass <= 0.0 {
                break;
            }
            let next = moment / mass;
            if next == balance {
                break;
            }
            balance = next;
        }
        Some(balance)
    };
    Some(Band {
        low: extreme(false)?,
        high: extreme(true)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against trying every combination of ends.
    #[test]
    fn balance_band_is_the_extreme_over_all_corners() {
        let parts: Vec<PartBand> = [
            (140.0, 144.0, 118.0),
            (30.0, 33.0, -3.0),
            (40.0, 52.0, -62.0),
            (8.0, 10.0, -58.0),
            (5.0, 7.0, 40.0),
        ]
        .iter()
        .map(|&(low, high, x_mm)| PartBand {
            mass: Band { low, high },
            x_mm,
        })
        .collect();
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for corner in 0..1u32 << parts.len() {
            let (mut m, mut s) = (0.0, 0.0);
            for (i, p) in parts.iter().enumerate() {
                let mass = if corner >> i & 1 == 1 {
                    p.mass.high
                } else {
                    p.mass.low
                };
                m += mass;
                s += mass * p.x_mm;
            }
            low = low.min(s / m);
            high = high.max(s / m);
        }
        let band = balance_band(&parts).unwrap();
        assert!((band.low - low).abs() < 1e-12, "{} {low}", band.low);
        assert!((band.high - high).abs() < 1e-12, "{} {high}", band.high);
    }
}
