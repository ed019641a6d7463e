//! Mass, balance and liveliness at every stage of the work.

use super::bands::Band;
use super::weigh_up::{WeighUp, percussion_beyond_mm};
use crate::knife::Stage;

/// g·mm² in one kg·cm².
const G_MM2_PER_KG_CM2: f64 = 1e5;

/// What the scale and the hand would tell at one stage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StageWeight {
    /// The stage.
    pub stage: Stage,
    /// Mass, g.
    pub mass_g: f64,
    /// Its band, g.
    pub mass_band_g: Band,
    /// Balance point from the shoulder line, mm.
    pub balance_mm: f64,
    /// Moment of inertia about the axis through the center of mass, square to the face, g·mm².
    pub inertia_g_mm2: f64,
}

impl StageWeight {
    /// The numbers of one stage; `None` while they are missing.
    #[must_use]
    pub fn of(up: &WeighUp, stage: Stage) -> Option<Self> {
        let steel = &up.steel;
        let (mass_g, mass_band_g, balance_mm, inertia_g_mm2) = match stage {
            Stage::Blank => {
                let (mass, drilled) = (steel.blank_mass_g?, steel.drilled_mass_g?);
                let band = steel.mass_band_g?;
                let scaled = Band {
                    low: band.low * mass / drilled,
                    high: band.high * mass / drilled,
                };
                (
                    mass,
                    scaled,
                    steel.blank_balance_mm?,
                    steel.blank_inertia_g_mm2?,
                )
            }
            Stage::Drilled => (
                steel.drilled_mass_g?,
                steel.mass_band_g?,
                steel.balance_mm?,
                steel.inertia_g_mm2?,
            ),
            Stage::Ground => {
                let own = up.ground?;
                (
                    own.mass_g,
                    own.mass_band_g,
                    own.balance_mm,
                    own.inertia_g_mm2,
                )
            }
            Stage::Finished => {
                let own = up.total?;
                (
                    own.mass_g,
                    own.mass_band_g,
                    own.balance_mm,
                    own.inertia_g_mm2,
                )
            }
        };
        Some(Self {
            stage,
            mass_g,
            mass_band_g,
            balance_mm,
            inertia_g_mm2,
        })
    }

    /// All stages whose numbers are known, in the order of the work.
    #[must_use]
    pub fn all(up: &WeighUp) -> Vec<Self> {
        Stage::ALL
            .into_iter()
            .filter_map(|stage| Self::of(up, stage))
            .collect()
    }

    /// The moment of inertia in kg·cm², a handy number for a knife.
    #[must_use]
    pub fn inertia_kg_cm2(&self) -> f64 {
        self.inertia_g_mm2 / G_MM2_PER_KG_CM2
    }

    /// The center of percussion for a hand that holds the knife at `grip_x_mm`: a blow there does not kick in the hand. Mm from the shoulder
    /// line; `None` for a hand at the balance point, where there is none.
    #[must_use]
    pub fn percussion_mm(&self, grip_x_mm: f64) -> Option<f64> {
        let arm = self.balance_mm - grip_x_mm;
        let beyond = percussion_beyond_mm(self.mass_g, self.inertia_g_mm2, arm)?;
        Some(self.balance_mm + beyond)
    }
}
