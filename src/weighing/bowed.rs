//! Hollow and convex bevels asked backward: the circle of a wheel or a bow through an edge and a grind line.
//!
//! The edge lies at (0, 0), the face at the height `c` over it, the grind line at the distance `h`. A circle that leaves the edge at the angle `a` has its middle
//! `R` square to that direction: hollow above it, at `(−R·sin a, R·cos a)`, so that it comes to a height `z` at `√(R² − (R·cos a − z)²) − R·sin a`; convex below it, at
//! `(R·sin a, −R·cos a)`, so that it comes there at `R·sin a − √(R² − (R·cos a + z)²)`. Given by its height instead, the angle follows from chord and
//! tangent: `atan(c/h) ∓ asin(√(h² + c²)/(2·R))` (Euclid III.32: between chord and tangent lies half the angle of the chord at the middle).

use super::wanted::WantedError;
use crate::knife::CutForm;

/// The circle of a hollow or convex grind on one face, from the edge up.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bow {
    radius_mm: f64,
    /// −1 for a hollow, 1 for a bow outward.
    sense: f64,
    /// Angle at the edge to the mid-plane, radians; of a hollow it may point downward.
    angle_rad: f64,
}

/// Radius and sense; `None` for a flat.
pub(super) fn circle(form: CutForm) -> Option<(f64, f64)> {
    match form {
        CutForm::Flat => None,
        CutForm::Hollow { wheel_radius_mm } => Some((wheel_radius_mm, -1.0)),
        CutForm::Convex { radius_mm } => Some((radius_mm, 1.0)),
    }
}

impl Bow {
    /// The circle of a form that rises `rise_mm` over `height_mm`; `None` for a flat.
    pub(super) fn over(
        form: CutForm,
        rise_mm: f64,
        height_mm: f64,
    ) -> Option<Result<Self, WantedError>> {
        let (radius_mm, sense) = circle(form)?;
        let chord = height_mm.hypot(rise_mm);
        // Upright at one end of the arc is the limit: then R = chord²/(2·h).
        let least_mm = chord * chord / (2.0 * height_mm);
        if radius_mm < least_mm {
            return Some(Err(WantedError::RadiusTooSmall {
                radius_mm,
                least_mm,
            }));
        }
        let half = (chord / (2.0 * radius_mm)).min(1.0).asin();
        Some(Ok(Self {
            radius_mm,
            sense,
            angle_rad: rise_mm.atan2(height_mm) + sense * half,
        }))
    }

    /// The circle of a form that leaves the edge at an angle; `None` for a flat.
    pub(super) fn leaving(form: CutForm, angle_rad: f64) -> Option<Self> {
        let (radius_mm, sense) = circle(form)?;
        Some(Self {
            radius_mm,
            sense,
            angle_rad,
        })
    }

    pub(super) fn radius_mm(&self) -> f64 {
        self.radius_mm
    }

    pub(super) fn angle_rad(&self) -> f64 {
        self.angle_rad
    }

    /// How far from the edge it comes to a height over it on its way up, mm; `None` where it never gets so high.
    pub(super) fn distance_mm(&self, above_mm: f64) -> Option<f64> {
        let (sin, cos) = self.angle_rad.sin_cos();
        let r = self.radius_mm;
        // From the middle's height down to the place on a hollow, up to it on a bow.
        let to_middle = r * cos + self.sense * above_mm;
        let left = r * r - to_middle * to_middle;
        let upright = to_middle < 0.0;
        if left < 0.0 || upright {
            return None;
        }
        Some(self.sense * (r * sin - left.sqrt()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FORMS: [CutForm; 2] = [
        CutForm::Hollow {
            wheel_radius_mm: 127.0,
        },
        CutForm::Convex { radius_mm: 400.0 },
    ];

    /// Both ways round: the circle over a height has an angle, and leaves the edge at that angle to the same height. Halfway up the face a hollow is farther out than the
    /// chord, a bow nearer.
    #[test]
    fn angle_and_height_are_two_ways_to_one_circle() {
        for (form, sense) in FORMS.into_iter().zip([-1.0, 1.0]) {
            for height in [6.0, 15.0, 24.0] {
                let over = Bow::over(form, 1.75, height).unwrap().unwrap();
                let leaving = Bow::leaving(form, over.angle_rad()).unwrap();
                let back = leaving.distance_mm(1.75).unwrap();
                assert!((back - height).abs() < 1e-9, "{form:?} {height}: {back}");
                let middle = leaving.distance_mm(0.875).unwrap();
                assert!(
                    (middle - height / 2.0) * sense < 0.0,
                    "{middle} of {height}"
                );
                assert!(leaving.distance_mm(0.0).unwrap().abs() < 1e-9 || over.angle_rad() < 0.0);
            }
        }
        assert!(Bow::leaving(CutForm::Flat, 0.1).is_none());
    }

    /// By hand, a wheel of 127 on a chord over 15 and 1.75: 6.6544° less asin(15.10174/254) = 3.4086° is 3.2458°.
    #[test]
    fn a_hollow_is_less_steep_at_the_edge_than_its_chord() {
        let own = Bow::over(FORMS[0], 1.75, 15.0).unwrap().unwrap();
        assert!(
            (own.angle_rad().to_degrees() - 3.245_8).abs() < 1e-3,
            "{own:?}"
        );
    }

    /// A bow of 50 that leaves at 10° has risen 50·(1 − cos 10°) = 0.7596 when it is level: it never comes to 0.8.
    #[test]
    fn a_bow_that_turns_level_first_never_meets_the_face() {
        let bow = Bow::leaving(CutForm::Convex { radius_mm: 50.0 }, 10_f64.to_radians()).unwrap();
        assert!(bow.distance_mm(0.759).is_some());
        assert_eq!(bow.distance_mm(0.8), None);
    }
}
