//! The drill for a pin: which of all drills make a hole it sits tight in, slips through, or has room in to swell when it is peened.
//!
//! Nothing of a drill's own runout is counted: a twist drill cuts a little over its size, by how much nobody knows beforehand.

use super::Thresholds;
use crate::catalog::{Drill, StockKind, StockSize, drills, stock_of};

/// How a pin sits in its hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PinFit {
    /// Pressed or tapped in.
    Tight,
    /// Slips through by hand: the hole in the scale.
    Slip,
    /// Larger, in the tang: the pin swells when it is peened, and must not lift the scale.
    Peened,
}

impl PinFit {
    /// All of them, from the tightest.
    pub const ALL: [Self; 3] = [Self::Tight, Self::Slip, Self::Peened];

    /// The word the maker reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Tight => "tight",
            Self::Slip => "slip",
            Self::Peened => "peened",
        }
    }

    /// Keys of the shop figures it goes by: least and most.
    #[must_use]
    pub fn figures(self) -> [&'static str; 2] {
        match self {
            Self::Tight => ["tight-least", "tight-most"],
            Self::Slip => ["slip-least", "slip-most"],
            Self::Peened => ["peened-least", "peened-most"],
        }
    }

    /// Hole less pin, least and most, mm, for a pin of this diameter by the shop's figures.
    #[must_use]
    pub fn clearance_mm(self, pin_mm: f64, figures: &Thresholds) -> (f64, f64) {
        match self {
            Self::Tight => figures.tight_mm,
            Self::Slip => figures.slip_mm,
            Self::Peened => {
                let (least, most) = figures.peened_share;
                (pin_mm * least, pin_mm * most)
            }
        }
    }
}

/// A drill for a pin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FitDrill {
    /// Which.
    pub drill: &'static Drill,
    /// Its hole less the pin, mm; negative where the pin is thicker.
    pub clearance_mm: f64,
    /// Whether that is within the shop's figures.
    pub fits: bool,
}

/// The `n` drills of the whole index that are nearest to a fit for a pin, those within the shop's figures first, each by how near it is to their
/// middle. Empty for a pin that has no size.
#[must_use]
pub fn drills_for_pin(pin_mm: f64, fit: PinFit, figures: &Thresholds, n: usize) -> Vec<FitDrill> {
    // Sizes in the tables carry up to seven digits; a clearance that is exactly on an end is inside.
    const ROUNDING_MM: f64 = 1e-9;
    if !pin_mm.is_finite() || pin_mm <= 0.0 {
        return Vec::new();
    }
    let (least, most) = fit.clearance_mm(pin_mm, figures);
    let within = least - ROUNDING_MM..=most + ROUNDING_MM;
    let mut all: Vec<FitDrill> = drills()
        .iter()
        .map(|drill| {
            let clearance_mm = drill.diameter_mm - pin_mm;
            FitDrill {
                drill,
                clearance_mm,
                fits: within.contains(&clearance_mm),
            }
        })
        .collect();
    let middle = f64::midpoint(least, most);
    let off = |d: &FitDrill| (d.clearance_mm - middle).abs();
    all.sort_by(|a, b| {
        let order = b.fits.cmp(&a.fits).then(off(a).total_cmp(&off(b)));
        order.then(a.clearance_mm.total_cmp(&b.clearance_mm))
    });
    all.truncate(n);
    all
}

/// The rod a hole is meant for, if nobody says: the thickest that goes in, or the thinnest that is sold.
#[must_use]
pub fn rod_for_hole(diameter_mm: f64) -> Option<&'static StockSize> {
    // Half of what tells two rods apart: a hole of the nominal size is for that rod, tight as it may be.
    const NEARLY_MM: f64 = 0.05;
    let goes_in = |size: &&StockSize| size.size_mm <= diameter_mm + NEARLY_MM;
    let by_size = |a: &&StockSize, b: &&StockSize| a.size_mm.total_cmp(&b.size_mm);
    let rods = || stock_of(StockKind::PinRod);
    rods()
        .filter(goes_in)
        .max_by(by_size)
        .or_else(|| rods().min_by(by_size))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::slip_fit_drills;

    fn labels(pin_mm: f64, fit: PinFit, n: usize) -> Vec<&'static str> {
        let found = drills_for_pin(pin_mm, fit, &Thresholds::default(), n);
        found.iter().map(|d| d.drill.label.as_str()).collect()
    }

    /// 1/8 in rod is 3.175 mm. Drill sizes in inches are those of ASME B94.11M: #30 is 0.1285 in = 3.2639 mm.
    #[test]
    fn an_eighth_of_an_inch_has_its_usual_drills() {
        let found = drills_for_pin(3.175, PinFit::Slip, &Thresholds::default(), 3);
        let nearest: Vec<(&str, f64)> = found
            .iter()
            .map(|d| (d.drill.label.as_str(), d.clearance_mm))
            .collect();
        // The middle of 0.01 to 0.2 is 0.105: 3.3 mm (0.125), #30 (0.0889), 3.25 mm (0.075) are off by 0.020, 0.016, 0.030.
        assert_eq!(
            nearest.iter().map(|d| d.0).collect::<Vec<_>>(),
            ["#30", "3.3 mm", "3.25 mm"]
        );
        assert!((nearest[0].1 - (0.1285 * 25.4 - 3.175)).abs() < 1e-9);
        assert!(found.iter().all(|d| d.fits));
        // Its own size is the tight one.
        assert!(labels(3.175, PinFit::Tight, 2).contains(&"1/8"));
    }

    /// A maker's own example: a 3/16 in pin in a 1/4 in hole (practice `pin.tang-hole-oversize`).
    #[test]
    fn a_peened_pin_has_room_in_the_tang() {
        let found = drills_for_pin(4.7625, PinFit::Peened, &Thresholds::default(), 40);
        let quarter = found.iter().find(|d| d.drill.label == "1/4").unwrap();
        assert!(quarter.fits);
        assert!((quarter.clearance_mm - 25.4 / 16.0).abs() < 1e-9);
    }

    #[test]
    fn the_nearest_are_the_nearest_of_all() {
        // Against a plain scan of the table.
        let figures = Thresholds::default();
        for tenth in 10..120 {
            let pin = f64::from(tenth) * 0.1;
            for fit in PinFit::ALL {
                let (least, most) = fit.clearance_mm(pin, &figures);
                let middle = pin + f64::midpoint(least, most);
                let fits =
                    |d: &&Drill| (least - 1e-9..=most + 1e-9).contains(&(d.diameter_mm - pin));
                let off = |d: &Drill| (d.diameter_mm - middle).abs();
                let best = drills().iter().filter(fits).map(off).reduce(f64::min);
                let first = drills_for_pin(pin, fit, &figures, 1)[0];
                assert_eq!(first.fits, best.is_some(), "{pin} {fit:?}");
                if let Some(best) = best {
                    assert!((off(first.drill) - best).abs() < 1e-12, "{pin} {fit:?}");
                }
            }
            // The drills the catalog knows for a slip fit are those that fit here.
            let all = drills_for_pin(pin, PinFit::Slip, &figures, 1000);
            let fitting = all.iter().filter(|d| d.fits).count();
            assert_eq!(fitting, slip_fit_drills(pin).len(), "{pin}");
        }
        assert!(drills_for_pin(f64::NAN, PinFit::Slip, &figures, 3).is_empty());
    }

    #[test]
    fn the_shop_s_figures_decide() {
        let shop = Thresholds {
            slip_mm: (0.02, 0.06),
            ..Thresholds::default()
        };
        // 3.2 mm is 0.025 over 3.175, #30 is 0.089 over.
        let found = drills_for_pin(3.175, PinFit::Slip, &shop, 400);
        let fits = |label| found.iter().find(|d| d.drill.label == label).unwrap().fits;
        assert!(fits("3.2 mm") && !fits("#30"));
    }

    #[test]
    fn a_hole_tells_its_rod() {
        let rod = |mm| rod_for_hole(mm).map(|r| r.label.as_str());
        assert_eq!(rod(3.25), Some("1/8 in"));
        assert_eq!(rod(3.1), Some("3 mm"));
        assert_eq!(rod(3.0), Some("3 mm"));
        assert_eq!(rod(0.5), Some("1.5 mm"));
    }
}
