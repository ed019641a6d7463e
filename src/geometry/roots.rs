//! Roots of functions of one number.

/// A root in a stretch on which `f` runs one way; none where it keeps its sign.
pub(crate) fn root(lo: f64, hi: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
    let (a, b) = (f(lo), f(hi));
    if (a < 0.0) == (b < 0.0) || a == 0.0 || b == 0.0 {
        return None;
    }
    root_between((lo, a), (hi, b), &f)
}

/// The root of a straight line between two of its points; none where it keeps its sign or is nothing at one of them.
pub(crate) fn straight_root((lo, a): (f64, f64), (hi, b): (f64, f64)) -> Option<f64> {
    (a * b < 0.0).then(|| lo + (hi - lo) * a / (a - b))
}

/// Steps shorter than this, over the size of the numbers, end a search: what is left after a step goes with a power of it of 1.8 or so, and would be
/// rounding.
const LAST_STEP: f64 = 1e-8;

/// The same where a root a little off makes no difference that counts: what is left is about 1e-7 of the size of the numbers.
pub(crate) const NEAR_STEP: f64 = 1e-4;

/// A root between two places where `f` has opposite signs.
pub(crate) fn root_between(lo: (f64, f64), hi: (f64, f64), f: &impl Fn(f64) -> f64) -> Option<f64> {
    root_among(lo, hi, None, LAST_STEP, f)
}

/// The same where a third place beyond the first one may be known, to a last step over the size of the numbers. Chandrupatla's rule (Advances in Engineering Software 28 (1997), pp. 145-149): the inverse
/// parabola through three places where it can be trusted, halving where not.
pub(crate) fn root_among(
    mut a: (f64, f64),
    mut b: (f64, f64),
    mut third: Option<(f64, f64)>,
    last_step: f64,
    f: &impl Fn(f64) -> f64,
) -> Option<f64> {
    let size = (a.0.abs() + b.0.abs()).max(1.0);
    for _ in 0..80 {
        let (share, trusted) = match third {
            None => (a.1 / (a.1 - b.1), false),
            Some(c) => inverse_parabola(a, b, c).map_or((0.5, false), |share| (share, true)),
        };
        let d = a.0 + share * (b.0 - a.0);
        if trusted && (d - a.0).abs() < last_step * size {
            return Some(d);
        }
        let now = (d, f(d));
        if now.1.abs() < 1e-14 || (b.0 - a.0).abs() < 1e-13 * size {
            return Some(d);
        }
        // The newest place comes first, with one of the other sign beside it.
        if (now.1 < 0.0) == (a.1 < 0.0) {
            third = Some(a);
        } else {
            third = Some(b);
            b = a;
        }
        a = now;
    }
    Some(f64::midpoint(a.0, b.0))
}

/// How far from `a` to `b` the inverse parabola through three places comes to nothing; `None` where it does not run one way between the two.
fn inverse_parabola(a: (f64, f64), b: (f64, f64), c: (f64, f64)) -> Option<f64> {
    let xi = (a.0 - b.0) / (c.0 - b.0);
    let phi = (a.1 - b.1) / (c.1 - b.1);
    if phi * phi >= xi || (1.0 - phi) * (1.0 - phi) >= 1.0 - xi {
        return None;
    }
    let by_b = a.1 / (b.1 - a.1) * c.1 / (b.1 - c.1);
    let by_c = (c.0 - a.0) / (b.0 - a.0) * a.1 / (c.1 - a.1) * b.1 / (c.1 - b.1);
    let share = by_b + by_c;
    (share > 0.0 && share < 1.0).then_some(share)
}

/// Adds the parameters at which a function along a strip changes its sign.
pub(crate) fn crossings_of(f: impl Fn(f64) -> f64, found: &mut Vec<f64>) {
    crossings_among(&STRIP_LOOKS.map(|t| (t, f(t))), f, found);
}

/// Places of a strip at which functions along it are looked at before their signs are compared.
pub(crate) const STRIP_LOOKS: [f64; 9] = [0.0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0];

/// The same where the function is known at some places.
pub(crate) fn crossings_among(known: &[(f64, f64)], f: impl Fn(f64) -> f64, found: &mut Vec<f64>) {
    for pair in known.windows(2) {
        let [before, now] = pair else { continue };
        if (before.1 < 0.0) != (now.1 < 0.0)
            && let Some(t) = root_between(*before, *now, &f).filter(|t| *t > 0.0 && *t < 1.0)
        {
            found.push(t);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{LAST_STEP, NEAR_STEP, crossings_of, root_among, root_between};

    /// The fixed point of the cosine (Finch, Mathematical Constants (2003), section 1.1; digits of OEIS A003957, from memory).
    const FIXED: f64 = 0.739_085_133_215_160_6;

    #[test]
    fn two_places_are_enough_and_a_third_saves_looks() {
        let looks = std::cell::Cell::new(0);
        let off = |x: f64| {
            looks.set(looks.get() + 1);
            x.cos() - x
        };
        let at = |x: f64| (x, x.cos() - x);
        let found = root_between(at(0.0), at(1.5), &off).unwrap();
        assert!((found - FIXED).abs() < 1e-13, "{found}");
        let by_two = looks.replace(0);
        let found = root_among(at(0.7), at(1.5), Some(at(0.0)), LAST_STEP, &off).unwrap();
        assert!((found - FIXED).abs() < 1e-13, "{found}");
        let by_three = looks.replace(0);
        assert!(by_three < by_two, "{by_three} and {by_two}");
        let found = root_among(at(0.7), at(1.5), Some(at(0.0)), NEAR_STEP, &off).unwrap();
        assert!((found - FIXED).abs() < 1e-9, "{found}");
        assert!(looks.get() < by_three, "{} and {by_three}", looks.get());
    }

    #[test]
    fn a_steep_end_and_a_bend_do_not_lead_astray() {
        let steep = |x: f64| x.powi(9) - 1e-9;
        let found = root_between((0.0, -1e-9), (1.0, 1.0 - 1e-9), &steep).unwrap();
        assert!((found - 0.1).abs() < 1e-6, "{found}");
        // A bend right before the root: the slope of one side tells nothing of the other.
        let bent = |x: f64| {
            if x < 0.3 {
                100.0 * (x - 0.3) - 0.01
            } else {
                (x - 0.3) - 0.01
            }
        };
        let found = root_between((0.0, bent(0.0)), (1.0, bent(1.0)), &bent).unwrap();
        assert!((found - 0.31).abs() < 1e-9, "{found}");
    }

    #[test]
    fn every_change_of_sign_is_a_crossing() {
        let mut found = Vec::new();
        crossings_of(|t| (10.0 * t).sin(), &mut found);
        let pi = std::f64::consts::PI;
        let closed = [pi / 10.0, pi / 5.0, 3.0 * pi / 10.0];
        assert_eq!(found.len(), closed.len(), "{found:?}");
        for (a, b) in found.iter().zip(closed) {
            assert!((a - b).abs() < 1e-13, "{a} and {b}");
        }
    }
}
