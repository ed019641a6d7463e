//! What to grind for a wanted result of any form: flats by their triangle, hollow and convex bevels by their circle.

use std::f64::consts::FRAC_PI_2;

use super::bowed::{Bow, circle};
use super::wanted::{CoreBand, EdgePlan, WantedError, positive, toward};
use crate::geometry::root;
use crate::knife::{CutForm, Face};

/// Lowest and highest bevel looked at, mm: higher than any blade is deep.
const LOWEST_MM: f64 = 0.01;
const HIGHEST_MM: f64 = 1000.0;

impl EdgePlan {
    /// The angle of one face's bevel to the mid-plane right at the edge, radians. Of a deep hollow it may be negative: the surface falls away behind the edge.
    ///
    /// # Errors
    /// As [`EdgePlan::angle_for_height_rad`], or the radius does not reach.
    pub fn edge_angle_rad(
        &self,
        face: Face,
        form: CutForm,
        height_mm: f64,
    ) -> Result<f64, WantedError> {
        positive("the bevel height", height_mm)?;
        match Bow::over(form, self.rise_mm(face)?, height_mm) {
            None => self.angle_for_height_rad(face, height_mm),
            Some(bow) => Ok(bow?.angle_rad()),
        }
    }

    /// The bevel height at which one face leaves the edge at an angle, mm.
    ///
    /// # Errors
    /// As [`EdgePlan::height_for_angle_mm`], or the circle does not meet the face.
    pub fn height_for_edge_angle_mm(
        &self,
        face: Face,
        form: CutForm,
        angle_rad: f64,
    ) -> Result<f64, WantedError> {
        let Some(bow) = Bow::leaving(form, angle_rad) else {
            return self.height_for_angle_mm(face, angle_rad);
        };
        if !(angle_rad > 0.0 && angle_rad < FRAC_PI_2) {
            return Err(WantedError::NoAngle {
                value_rad: angle_rad,
            });
        }
        let height = bow.distance_mm(self.rise_mm(face)?);
        height.filter(|h| *h > 0.0).ok_or(WantedError::NeverMeets {
            radius_mm: bow.radius_mm(),
            angle_rad,
        })
    }

    /// Where the core shows on one face's bevel. `core_mm` are its lower and upper boundary over the mid-plane, positive toward the right face.
    ///
    /// # Errors
    /// As [`EdgePlan::core_band_mm`], or the radius does not reach.
    pub fn core_band_on_mm(
        &self,
        face: Face,
        form: CutForm,
        core_mm: (f64, f64),
        height_mm: f64,
    ) -> Result<CoreBand, WantedError> {
        positive("the bevel height", height_mm)?;
        let (rise, start) = (self.rise_mm(face)?, self.start_mm(face));
        let Some(bow) = Bow::over(form, rise, height_mm) else {
            return self.core_band_mm(face, core_mm, height_mm);
        };
        let bow = bow?;
        let (low, high) = toward(face, core_mm);
        let place = |k: f64| {
            let above = k - start;
            if above <= 0.0 {
                0.0
            } else if above >= rise {
                height_mm
            } else {
                bow.distance_mm(above).unwrap_or(height_mm)
            }
        };
        let (from_mm, to_mm) = (place(low), place(high));
        if to_mm > from_mm {
            Ok(CoreBand { from_mm, to_mm })
        } else {
            Err(WantedError::NoCore)
        }
    }

    /// The bevel height, the same on every ground face, at which the core shows over a width of `band_mm`: on the face where it shows less.
    ///
    /// # Errors
    /// As [`EdgePlan::height_for_core_band_mm`], or no bevel of that radius shows so much.
    pub fn height_for_core_band_on_mm(
        &self,
        form: CutForm,
        core_mm: (f64, f64),
        band_mm: f64,
    ) -> Result<f64, WantedError> {
        if form == CutForm::Flat {
            return self.height_for_core_band_mm(core_mm, band_mm);
        }
        positive("the band of core", band_mm)?;
        let mut tallest: f64 = 0.0;
        for face in self.ground_faces() {
            let (low, high) = heights(form, self.rise_mm(face)?)?;
            // Whether the core is met at all does not hang on the height.
            self.core_band_on_mm(face, form, core_mm, low)?;
            let off = |h: f64| {
                let band = self.core_band_on_mm(face, form, core_mm, h);
                band.map_or(f64::NAN, |band| band.width_mm()) - band_mm
            };
            let found =
                root(low, high, off).ok_or(WantedError::NoSuchBand { wanted_mm: band_mm })?;
            tallest = tallest.max(found);
        }
        Ok(tallest)
    }

    /// The thickness of a core whose middle lies `core_offset_mm` off the mid-plane that shows over a width of `band_mm` of a bevel `height_mm` high: on
    /// the face where it shows less.
    ///
    /// # Errors
    /// As [`EdgePlan::core_for_band_mm`], or the radius does not reach.
    pub fn core_for_band_on_mm(
        &self,
        form: CutForm,
        core_offset_mm: f64,
        band_mm: f64,
        height_mm: f64,
    ) -> Result<f64, WantedError> {
        if form == CutForm::Flat {
            return self.core_for_band_mm(core_offset_mm, band_mm, height_mm);
        }
        positive("the band of core", band_mm)?;
        positive("the bevel height", height_mm)?;
        let thickness_mm = self.faces.thickness_mm();
        let mut core: f64 = 0.0;
        for face in self.ground_faces() {
            if let Some(bow) = Bow::over(form, self.rise_mm(face)?, height_mm) {
                bow?;
            }
            // The thicker the core, the wider it shows.
            let off = |thick: f64| {
                let half = thick / 2.0;
                let ends = (core_offset_mm - half, core_offset_mm + half);
                let band = self.core_band_on_mm(face, form, ends, height_mm);
                band.map_or(0.0, |band| band.width_mm()) - band_mm
            };
            let found = root(0.0, thickness_mm, off).ok_or(WantedError::AboveBevel {
                wanted_mm: band_mm,
                height_mm,
            })?;
            core = core.max(found);
        }
        Ok(core)
    }
}

/// The lowest and the highest bevel a circle can make of a rise, mm: `h² − 2·R·h + c² ≤ 0`; of a bow no higher than where it comes out level with the face, at
/// `√(2·R·c − c²)`: beyond that it stands over the face and meets it sooner.
fn heights(form: CutForm, rise_mm: f64) -> Result<(f64, f64), WantedError> {
    let Some((r, sense)) = circle(form) else {
        return Ok((LOWEST_MM, HIGHEST_MM));
    };
    if r <= rise_mm {
        return Err(WantedError::RadiusTooSmall {
            radius_mm: r,
            least_mm: rise_mm,
        });
    }
    let half = (r * r - rise_mm * rise_mm).sqrt();
    let most = if sense > 0.0 {
        (rise_mm * (2.0 * r - rise_mm)).sqrt()
    } else {
        r + half
    };
    // A hair inside, so that rounding does not ask for more than there is.
    let (low, high) = ((r - half) * (1.0 + 1e-9), most * (1.0 - 1e-9));
    Ok((low.max(LOWEST_MM), high.min(HIGHEST_MM)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOLLOW: CutForm = CutForm::Hollow {
        wheel_radius_mm: 150.0,
    };
    const CONVEX: CutForm = CutForm::Convex { radius_mm: 300.0 };

    fn near(found: f64, truth: f64, within: f64) {
        assert!((found - truth).abs() <= within, "{found} {truth}");
    }

    /// T = 4 and e = 0.5: a rise of 1.75. A hollow of 150 at 3° comes there at √(150² − (150·cos 3° − 1.75)²) − 150·sin 3° = 16.29182 mm; a bow of 300 at 8° at
    /// 300·sin 8° − √(300² − (300·cos 8° + 1.75)²) = 15.28724 mm (worked out apart from the program).
    #[test]
    fn a_wanted_angle_at_a_bowed_edge_has_its_height() {
        let plan = EdgePlan::even(4.0, 0.5);
        for (form, degrees, truth) in [(HOLLOW, 3.0_f64, 16.29182442), (CONVEX, 8.0, 15.28724229)] {
            for face in Face::ALL {
                let angle = degrees.to_radians();
                let height = plan.height_for_edge_angle_mm(face, form, angle).unwrap();
                near(height, truth, 1e-6);
                let back = plan.edge_angle_rad(face, form, height).unwrap();
                near(back, angle, 1e-12);
            }
        }
        let flat = plan.height_for_edge_angle_mm(Face::Right, CutForm::Flat, 0.1);
        assert_eq!(flat, plan.height_for_angle_mm(Face::Right, 0.1));
    }

    /// Where the surface is asked for by its own formula, the boundary of the core lies on it: with the middle of the circle by chord and sagitta, as a wheel is set up.
    #[test]
    fn the_core_shows_where_the_circle_passes_it() {
        let plan = EdgePlan::even(4.0, 0.5);
        let (h, c) = (16.0_f64, 1.75_f64);
        for (form, r, bow) in [(HOLLOW, 150.0_f64, -1.0), (CONVEX, 300.0, 1.0)] {
            let chord = h.hypot(c);
            let off = (r * r - chord * chord / 4.0).sqrt();
            // The middle lies square off the middle of the chord, into the air for a hollow.
            let (mx, mz) = (
                h / 2.0 + bow * off * c / chord,
                c / 2.0 - bow * off * h / chord,
            );
            let surface = |d: f64| mz + bow * (r * r - (d - mx) * (d - mx)).sqrt();
            let band = plan
                .core_band_on_mm(Face::Left, form, (-0.8, 0.8), h)
                .unwrap();
            assert_eq!(band.from_mm, 0.0);
            near(surface(band.to_mm), 0.8 - 0.25, 1e-9);
            // Asked backward: the same height, and the same core.
            let width = band.to_mm;
            let height = plan
                .height_for_core_band_on_mm(form, (-0.8, 0.8), width)
                .unwrap();
            near(height, h, 1e-6);
            near(
                plan.core_for_band_on_mm(form, 0.0, width, h).unwrap(),
                1.6,
                1e-6,
            );
        }
    }

    #[test]
    fn what_no_circle_does_is_told() {
        let plan = EdgePlan::even(4.0, 0.5);
        let small = CutForm::Convex { radius_mm: 20.0 };
        let angle = 8_f64.to_radians();
        assert!(matches!(
            plan.height_for_edge_angle_mm(Face::Right, small, angle),
            Err(WantedError::NeverMeets { .. })
        ));
        assert!(matches!(
            plan.height_for_edge_angle_mm(Face::Right, HOLLOW, -0.1),
            Err(WantedError::NoAngle { .. })
        ));
        assert!(matches!(
            plan.edge_angle_rad(
                Face::Right,
                CutForm::Hollow {
                    wheel_radius_mm: 5.0
                },
                20.0
            ),
            Err(WantedError::RadiusTooSmall { .. })
        ));
        assert!(matches!(
            plan.height_for_core_band_on_mm(HOLLOW, (-0.1, 0.1), 5.0),
            Err(WantedError::NoCore)
        ));
        assert!(matches!(
            plan.height_for_core_band_on_mm(HOLLOW, (-0.8, 0.8), 900.0),
            Err(WantedError::NoSuchBand { .. })
        ));
        assert!(matches!(
            plan.core_for_band_on_mm(HOLLOW, 0.0, 18.0, 16.0),
            Err(WantedError::AboveBevel { .. })
        ));
    }
}
