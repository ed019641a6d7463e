//! The knife as a beam: how it is held, the bending moment of a load, and how far it gives.

use crate::knife::FullTang;

/// How the knife is held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hold {
    /// In a vise: nothing behind the place moves or is bent.
    Clamped {
        /// Place along the knife, mm.
        at_mm: f64,
    },
    /// In a hand, which presses one way at the front and the other way at the rear of the grip. The moment grows from nothing at the rear to its
    /// greatest at the front.
    Hand {
        /// Where the forefinger presses, mm.
        front_mm: f64,
        /// Where the heel of the hand presses, mm; behind the front.
        rear_mm: f64,
    },
}

/// Share of the tang behind the shoulder line where the heel of the hand presses (common practice, no source).
const REAR_OF_HAND: f64 = 0.8;

impl Hold {
    /// A hand on a tang that ends at `butt_mm`; where nothing lies behind the shoulder line, a vise on the rear end. The one place that says where a
    /// hand holds a knife.
    #[must_use]
    pub fn usual(butt_mm: f64) -> Self {
        if butt_mm < -1.0 {
            Self::Hand {
                front_mm: FullTang::FINGER_AT * butt_mm,
                rear_mm: REAR_OF_HAND * butt_mm,
            }
        } else {
            Self::Clamped { at_mm: butt_mm }
        }
    }

    /// The middle of the hold, mm: what the hand turns the knife about.
    #[must_use]
    pub fn grip_mm(&self) -> f64 {
        f64::midpoint(self.front_mm(), self.rear_mm())
    }

    /// Where the greatest moment is, mm.
    #[must_use]
    pub fn front_mm(&self) -> f64 {
        match *self {
            Self::Clamped { at_mm } => at_mm,
            Self::Hand { front_mm, .. } => front_mm,
        }
    }

    /// Behind this nothing is bent, mm.
    #[must_use]
    pub fn rear_mm(&self) -> f64 {
        match *self {
            Self::Clamped { at_mm } => at_mm,
            Self::Hand { rear_mm, .. } => rear_mm,
        }
    }

    /// Bending moment at `x_mm` of a force across the knife at `load_mm`, N·mm; positive for a positive force.
    #[must_use]
    pub fn moment_nmm(&self, force_n: f64, load_mm: f64, x_mm: f64) -> f64 {
        if x_mm >= load_mm || x_mm < self.rear_mm() {
            return 0.0;
        }
        match *self {
            Self::Hand { front_mm, rear_mm } if x_mm < front_mm => {
                force_n * (load_mm - front_mm) * (x_mm - rear_mm) / (front_mm - rear_mm)
            }
            _ => force_n * (load_mm - x_mm),
        }
    }
}

/// How far the place of the load gives, mm, in the direction of the force.
///
/// `stations` are places along the knife, mm, in rising order, with the second moment there, mm⁴. Curvature `M/(E·I)` is taken to run straight
/// between them and integrated twice in closed form; past the last station the knife is straight. `modulus_gpa` is Young's modulus. `None` when
/// the stations do not reach from the rear of the hold to its front, or a moment of area is not positive.
#[must_use]
pub fn deflection_mm(
    hold: &Hold,
    force_n: f64,
    load_mm: f64,
    stations: &[(f64, f64)],
    modulus_gpa: f64,
) -> Option<f64> {
    let line = BentLine::new(hold, force_n, load_mm, stations, modulus_gpa * 1e3)?;
    let rest = match *hold {
        Hold::Clamped { at_mm } => {
            let (v, slope) = line.at(at_mm)?;
            v + slope * (load_mm - at_mm)
        }
        Hold::Hand { front_mm, rear_mm } => {
            let (front, rear) = (line.at(front_mm)?.0, line.at(rear_mm)?.0);
            rear + (front - rear) * (load_mm - rear_mm) / (front_mm - rear_mm)
        }
    };
    Some(line.at(load_mm)?.0 - rest)
}

/// A bent middle line, level where it begins.
struct BentLine {
    /// Place, curvature, slope and height.
    nodes: Vec<(f64, f64, f64, f64)>,
}

impl BentLine {
    fn new(
        hold: &Hold,
        force_n: f64,
        load_mm: f64,
        stations: &[(f64, f64)],
        modulus_mpa: f64,
    ) -> Option<Self> {
        let rear = hold.rear_mm();
        let from = second_moment_at(stations, rear)?;
        second_moment_at(stations, hold.front_mm())?;
        let on = stations.iter().filter(|s| s.0 > rear && s.0 <= load_mm);
        let places = std::iter::once((rear, from)).chain(on.copied());
        let mut nodes: Vec<(f64, f64, f64, f64)> = Vec::new();
        for (x, i) in places {
            let bend = hold.moment_nmm(force_n, load_mm, x) / (modulus_mpa * i);
            if !bend.is_finite() || i <= 0.0 {
                return None;
            }
            let node = match nodes.last() {
                Some(&(x0, k0, slope, height)) => {
                    let h = x - x0;
                    let slope_here = slope + h * f64::midpoint(k0, bend);
                    (
                        x,
                        bend,
                        slope_here,
                        height + h * slope + h * h * (2.0 * k0 + bend) / 6.0,
                    )
                }
                None => (x, bend, 0.0, 0.0),
            };
            nodes.push(node);
        }
        Some(Self { nodes })
    }

    /// Height and slope at a place.
    fn at(&self, x: f64) -> Option<(f64, f64)> {
        let i = self.nodes.partition_point(|n| n.0 <= x).checked_sub(1)?;
        let &(x0, k0, slope, height) = self.nodes.get(i)?;
        let h = x - x0;
        let Some(&(x1, k1, ..)) = self.nodes.get(i + 1) else {
            return Some((height + slope * h, slope));
        };
        let k = k0 + (k1 - k0) * h / (x1 - x0);
        Some((
            height + h * slope + h * h * (2.0 * k0 + k) / 6.0,
            slope + h * f64::midpoint(k0, k),
        ))
    }
}

/// Straight between the stations; `None` outside them.
fn second_moment_at(stations: &[(f64, f64)], x: f64) -> Option<f64> {
    let i = stations.partition_point(|s| s.0 <= x);
    let &(x0, a) = stations.get(i.checked_sub(1)?)?;
    match stations.get(i) {
        Some(&(x1, b)) => Some(a + (b - a) * (x - x0) / (x1 - x0)),
        None => (x == x0).then_some(a),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FORCE: f64 = 50.0;
    const LENGTH: f64 = 100.0;
    const CLAMPED: Hold = Hold::Clamped { at_mm: 0.0 };

    fn stations(n: u32, i: impl Fn(f64) -> f64) -> Vec<(f64, f64)> {
        let x = |k: u32| LENGTH * f64::from(k) / f64::from(n);
        (0..=n).map(|k| (x(k), i(x(k)))).collect()
    }

    fn near(a: f64, b: f64, share: f64) {
        assert!((a - b).abs() <= share * b.abs(), "{a} is not {b}");
    }

    /// Bar 30 × 3, 50 N at 100 mm, E = 205 GPa (Roark, 7th ed., Table 8.1 case 1a; from memory): I = 67.5, Z = 45, stress PL/Z = 111.1111111 MPa,
    /// deflection PL³/3EI = 1.204456489 mm.
    #[test]
    fn a_straight_cantilever_is_the_handbooks() {
        let i = 30.0 * 27.0 / 12.0;
        let moment = CLAMPED.moment_nmm(FORCE, LENGTH, 0.0);
        near(moment / (30.0 * 9.0 / 6.0), 111.111_111_1, 1e-9);
        let bent = deflection_mm(&CLAMPED, FORCE, LENGTH, &stations(10, |_| i), 205.0).unwrap();
        near(bent, 1.204_456_489, 1e-9);
    }

    /// The same, its width running to a point (triangular leaf spring, Shigley; from memory): PL³/2EI₀ = 1.806684734 mm, stress constant.
    #[test]
    fn a_width_that_runs_to_a_point_is_a_leaf_spring() {
        let i = |x: f64| 67.5 * (1.0 - x / LENGTH);
        for x in [0.0, 30.0, 80.0] {
            let z = 45.0 * (1.0 - x / LENGTH);
            near(
                CLAMPED.moment_nmm(FORCE, LENGTH, x) / z,
                111.111_111_1,
                1e-9,
            );
        }
        // The stations stop short of the point; from there on the little that is left is straight.
        let mut all = stations(400, i);
        all.pop();
        let bent = deflection_mm(&CLAMPED, FORCE, LENGTH, &all, 205.0).unwrap();
        near(bent, 1.806_684_734, 1e-5);
    }

    /// Distal taper of a bar 30 wide from 4 to 2 mm (integrated: 12P/(Ebk³)·[ln(t₀/t₁) + 2t₁/t₀ − t₁²/2t₀² − 3/2]): 0.8310631776 mm.
    #[test]
    fn a_distal_taper_gives_as_integrated() {
        let i = |x: f64| 30.0 * (4.0 - 2.0 * x / LENGTH).powi(3) / 12.0;
        let bent = deflection_mm(&CLAMPED, FORCE, LENGTH, &stations(200, i), 205.0).unwrap();
        near(bent, 0.831_063_177_6, 2e-5);
    }

    /// A beam on two supports with an overhang a and a span l, load at its end: P·a²(l + a)/3EI (Roark, 7th ed., Table 8.1; from memory), moment
    /// at the front support P·a.
    #[test]
    fn a_hand_is_two_supports() {
        let hold = Hold::Hand {
            front_mm: 40.0,
            rear_mm: 10.0,
        };
        let bent = deflection_mm(&hold, FORCE, LENGTH, &stations(20, |_| 67.5), 205.0).unwrap();
        near(bent, FORCE * 3600.0 * 90.0 / (3.0 * 205e3 * 67.5), 1e-9);
        near(hold.moment_nmm(FORCE, LENGTH, 40.0), FORCE * 60.0, 1e-12);
        near(hold.moment_nmm(FORCE, LENGTH, 25.0), FORCE * 30.0, 1e-12);
        assert_eq!(hold.moment_nmm(FORCE, LENGTH, 9.0), 0.0);
        assert_eq!(hold.moment_nmm(FORCE, LENGTH, 101.0), 0.0);
    }

    #[test]
    fn stations_that_do_not_reach_the_hold_tell_nothing() {
        let on = stations(10, |_| 67.5);
        let far = Hold::Clamped { at_mm: -1.0 };
        assert_eq!(deflection_mm(&far, FORCE, LENGTH, &on, 205.0), None);
        assert_eq!(deflection_mm(&CLAMPED, FORCE, LENGTH, &[], 205.0), None);
        let none = stations(10, |_| 0.0);
        assert_eq!(deflection_mm(&CLAMPED, FORCE, LENGTH, &none, 205.0), None);
    }
}
