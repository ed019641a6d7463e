//! What raises the stress: a hole, a slot's end, the rounding of a shoulder. Elastic factors on the stress of the net section.

/// Factor at a round hole in the middle of a plate under tension, on the stress of the net section; `share` is diameter over width, 0 to 1.
///
/// `K = 3 − 3.13x + 3.66x² − 1.53x³`, R. Roark, Formulas for Stress and Strain, 7th ed., Table 17.1 (read at eng-calculations.com, central
/// circular hole, axial tension).
#[must_use]
pub fn hole_in_tension(share: f64) -> f64 {
    let x = share.clamp(0.0, 1.0);
    3.0 + x * (-3.13 + x * (3.66 - 1.53 * x))
}

/// Factor at the wall of a round hole in the neutral axis of a plate bent in its own plane, on the stress `M·r/I` of the net section at that
/// wall: 2, whatever the width (Roark, 7th ed., Table 17.1; Peterson's Stress Concentration Factors, ch. 4; from memory).
pub const HOLE_IN_EDGEWISE_BENDING: f64 = 2.0;

/// Up to this share of the width the formula below holds; beyond it the factor is kept.
const WIDEST_SHARE: f64 = 0.3;

/// Factor at a round hole in a plate bent out of its plane, on the stress of the net section; `by_thickness` is diameter over thickness, `share`
/// diameter over width.
///
/// `K = [1.79 + 0.25/(0.39 + u) + 0.81/(1 + u²) − 0.26/(1 + u³)]·[1 − 1.04x + 1.22x²]`: Roark, 7th ed., Table 17.1, the first bracket read at
/// eng-calculations.com (circular hole in an infinite plate, out-of-plane bending), the second for the width from memory, good up to x = 0.3.
#[must_use]
pub fn hole_in_flatwise_bending(by_thickness: f64, share: f64) -> f64 {
    let (u, x) = (by_thickness.max(0.0), share.clamp(0.0, WIDEST_SHARE));
    let wide = 1.79 + 0.25 / (0.39 + u) + 0.81 / (1.0 + u * u) - 0.26 / (1.0 + u * u * u);
    wide * (1.0 - 1.04 * x + 1.22 * x * x)
}

/// How much more an opening raises the stress than a round hole as tall: of the ellipse as tall with the same end radius, `(1 + 2√(a/ρ))/3` with
/// half the height `a` across the knife and the radius `ρ` at its upper and lower end (C. Inglis 1913, as in Peterson, ch. 4; from memory). An
/// opening that lies along the knife raises less than a round hole; it is taken as one.
#[must_use]
pub fn across(half_height_mm: f64, end_radius_mm: f64) -> f64 {
    let ratio = half_height_mm / end_radius_mm;
    if ratio.is_finite() && ratio > 1.0 {
        (1.0 + 2.0 * ratio.sqrt()) / 3.0
    } else {
        1.0
    }
}

/// Steps over radius for which the factor of a shoulder is known; outside it is that of the nearer end.
const STEP_OVER_RADIUS: (f64, f64) = (0.1, 20.0);

/// Factor at the rounded shoulders of a flat bar bent in its plane, on the stress of the narrow part: each side steps in by `step_mm` with radius
/// `radius_mm` down to a width of `narrow_mm`. 1 without a step. A sharp corner counts as a radius of a twentieth of the step, though nothing
/// bounds what it really does.
///
/// `K = C1 + C2·x + C3·x² + C4·x³`, `x = 2t/D`: W. Pilkey, Peterson's Stress Concentration Factors, chart 3.8, also Roark, 7th ed., Table 17.1.
/// Coefficients from memory; those of each power of √(t/r) add up to what makes `K = 1` for `x = 1`, which a test holds them to.
#[must_use]
pub fn shoulder_in_edgewise_bending(step_mm: f64, radius_mm: f64, narrow_mm: f64) -> f64 {
    if !(step_mm > 0.0 && narrow_mm > 0.0) {
        return 1.0;
    }
    let (least, most) = STEP_OVER_RADIUS;
    let ratio = (step_mm / radius_mm.max(0.0)).clamp(least, most);
    let x = 2.0 * step_mm / (narrow_mm + 2.0 * step_mm);
    let [c1, c2, c3, c4] = shoulder_coefficients(ratio);
    (c1 + x * (c2 + x * (c3 + x * c4))).max(1.0)
}

fn shoulder_coefficients(ratio: f64) -> [f64; 4] {
    const SHALLOW: [[f64; 3]; 4] = [
        [1.007, 1.000, -0.031],
        [-0.270, -2.404, 0.749],
        [0.677, 1.133, -0.904],
        [-0.414, 0.271, 0.186],
    ];
    const DEEP: [[f64; 3]; 4] = [
        [1.042, 0.982, -0.036],
        [-3.599, 1.619, -0.431],
        [6.084, -5.607, 1.158],
        [-2.527, 3.006, -0.691],
    ];
    let rows = if ratio <= 2.0 { SHALLOW } else { DEEP };
    rows.map(|[a, b, c]| a + b * ratio.sqrt() + c * ratio)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Net factors of Howland (Phil. Trans. A 229, 1930) and Heywood's 2 + (1 − x)³, both from memory, and the fit's own values, at d/W = 0.1 to 0.5.
    #[test]
    fn tension_follows_howland() {
        let table = [
            (0.1, 2.727, 2.722_07),
            (0.2, 2.512, 2.508_16),
            (0.3, 2.352, 2.349_09),
            (0.4, 2.244, 2.235_68),
            (0.5, 2.160, 2.158_75),
        ];
        for (x, howland, fit) in table {
            let k = hole_in_tension(x);
            assert!((k - fit).abs() < 1e-5, "{x}: {k}");
            assert!((k / howland - 1.0).abs() < 0.004, "{x}: {k}");
            let heywood: f64 = 2.0 + (1.0_f64 - x).powi(3);
            assert!((k / heywood - 1.0).abs() < 0.02, "{x}: {k} {heywood}");
        }
        assert_eq!(hole_in_tension(0.0), 3.0);
    }

    /// The ends of the formula: a hole small against the thickness is one in tension (3, less 1 % of the fit), a very wide one in a thin plate is
    /// Goodier's (5 + 3ν)/(3 + ν) = 1.788 for ν = 0.3 (J. Goodier, Phil. Mag. 22, 1936; from memory).
    #[test]
    fn flatwise_runs_from_kirsch_to_goodier() {
        assert!((hole_in_flatwise_bending(0.0, 0.0) / 3.0 - 1.0).abs() < 0.01);
        let goodier = (5.0 + 3.0 * 0.3) / (3.0 + 0.3);
        assert!((hole_in_flatwise_bending(1e6, 0.0) / goodier - 1.0).abs() < 0.002);
        assert!(hole_in_flatwise_bending(2.0, 0.2) < hole_in_flatwise_bending(2.0, 0.0));
        assert_eq!(
            hole_in_flatwise_bending(2.0, 0.3),
            hole_in_flatwise_bending(2.0, 0.6)
        );
    }

    /// K → 1 where the narrow part vanishes beside the steps, for every ratio: each column of coefficients adds up to (1, 0, 0).
    #[test]
    fn shoulder_coefficients_add_up_to_one() {
        for ratio in [0.1, 0.5, 1.0, 1.9, 2.1, 5.0, 12.0, 20.0] {
            let sum: f64 = shoulder_coefficients(ratio).iter().sum();
            assert!((sum - 1.0).abs() < 1e-9, "{ratio}: {sum}");
        }
    }

    /// A flat bar's factor lies a little over that of a round shaft with the same profile. For shafts, R. Norton, Machine Design, app. C: K =
    /// A·(r/d)^b with A = 0.90879, b = −0.28598 for D/d = 2 and A = 0.93836, b = −0.26759 for 1.5 (the table read in public code); that charts of
    /// the two lie within 15 % is from memory.
    #[test]
    fn shoulders_lie_a_little_over_those_of_shafts() {
        for (wide, a, b) in [(2.0, 0.908_79, -0.285_98), (1.5, 0.938_36, -0.267_59)] {
            for r in [0.05_f64, 0.1, 0.15, 0.2, 0.3] {
                let k = shoulder_in_edgewise_bending((wide - 1.0) / 2.0 * 10.0, r * 10.0, 10.0);
                let shaft = a * r.powf(b);
                assert!(
                    (0.99..1.15).contains(&(k / shaft)),
                    "{wide} {r}: {k} {shaft}"
                );
            }
        }
    }

    #[test]
    fn shoulders_cost_more_the_sharper_they_are() {
        let k = |r: f64| shoulder_in_edgewise_bending(5.0, r, 12.0);
        assert!(k(0.5) > k(1.5) && k(1.5) > k(3.0) && k(3.0) > 1.0);
        assert_eq!(k(0.0), k(0.25));
        assert_eq!(shoulder_in_edgewise_bending(0.0, 1.0, 12.0), 1.0);
        // The two sets of coefficients meet where they join, as near as charts are read.
        let (a, b) = (k(5.0 / 1.999), k(5.0 / 2.001));
        assert!((a / b - 1.0).abs() < 0.02, "{a} {b}");
    }

    /// An ellipse of half axes a and b has K = 1 + 2a/b, and ρ = b²/a at its ends: for a/b = 2 that is 5 = 3·5/3.
    #[test]
    fn an_opening_across_is_an_ellipse() {
        assert!((3.0 * across(4.0, 1.0) - 5.0).abs() < 1e-12);
        assert_eq!(across(2.0, 2.0), 1.0);
        assert_eq!(across(2.0, 5.0), 1.0);
        assert_eq!(across(2.0, 0.0), 1.0);
    }
}
