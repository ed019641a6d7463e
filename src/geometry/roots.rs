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

/// A root between two places where `f` has opposite signs, by the Illinois rule (Dowell & Jarratt, BIT 11 (1971), pp. 168-174); halving where
/// that stalls.
pub(crate) fn root_between(
    (mut lo, mut f_lo): (f64, f64),
    (mut hi, mut f_hi): (f64, f64),
    f: &impl Fn(f64) -> f64,
) -> Option<f64> {
    let close = 1e-13 * (lo.abs() + hi.abs()).max(1.0);
    let mut stayed = 0_i32;
    for round in 0..80 {
        let secant = (lo * f_hi - hi * f_lo) / (f_hi - f_lo);
        let d = if (round > 9 && round % 2 == 1) || !(lo..=hi).contains(&secant) {
            f64::midpoint(lo, hi)
        } else {
            secant
        };
        let value = f(d);
        if value.abs() < 1e-14 || hi - lo < close {
            return Some(d);
        }
        if (value < 0.0) == (f_hi < 0.0) {
            (hi, f_hi) = (d, value);
            if stayed < 0 {
                f_lo /= 2.0;
            }
            stayed = -1;
        } else {
            (lo, f_lo) = (d, value);
            if stayed > 0 {
                f_hi /= 2.0;
            }
            stayed = 1;
        }
    }
    Some(f64::midpoint(lo, hi))
}

/// Adds the parameters at which a function along a strip changes its sign.
pub(crate) fn crossings_of(f: impl Fn(f64) -> f64, found: &mut Vec<f64>) {
    const STEPS: u32 = 8;
    let mut before = (0.0, f(0.0));
    for i in 1..=STEPS {
        let t = f64::from(i) / f64::from(STEPS);
        let now = (t, f(t));
        if (before.1 < 0.0) != (now.1 < 0.0)
            && let Some(t) = root_between(before, now, &f).filter(|t| *t > 0.0 && *t < 1.0)
        {
            found.push(t);
        }
        before = now;
    }
}
