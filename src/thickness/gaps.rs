//! How far the surface of another grind lies below that of a ray, sampled along it: where more places must be looked at before it is believed that the two never
//! pass each other.

/// How much lower the other surface is at a place between two cuts: less than nothing where it is lower.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sample {
    pub d: f64,
    pub gap: f64,
    /// The stretch that was searched as one.
    pub span: usize,
    /// The other surface, where one acts.
    pub found: Option<Foreign>,
    /// The gap to that surface even where the face is lower.
    pub open: f64,
}

/// The lowest surface of the other families.
#[derive(Clone, Copy, Debug)]
pub(super) struct Foreign {
    pub z: f64,
    pub family: usize,
    /// Its cutter and chain of strips.
    pub which: u32,
}

/// Adds samples between those of one span, where two of the same sign lie so near to nothing that the gap, running one and a half times as steep as it is seen
/// to run anywhere, would reach it between them.
pub(super) fn look_closer(
    samples: &mut Vec<Sample>,
    first: usize,
    sample: &impl Fn(f64) -> Sample,
) {
    const LOOKS: u32 = 8;
    const STEEPER: f64 = 1.5;
    for _ in 0..LOOKS {
        let searched = samples.get(first..).unwrap_or_default();
        let pairs = || {
            searched
                .windows(2)
                .filter_map(|pair| <&[Sample; 2]>::try_from(pair).ok())
        };
        let steepest = pairs()
            .map(|[a, b]| ((b.open - a.open) / (b.d - a.d)).abs())
            .filter(|slope| slope.is_finite())
            .fold(0.0, f64::max);
        let span = searched
            .last()
            .zip(searched.first())
            .map_or(0.0, |(b, a)| b.d - a.d);
        let lowest = |[a, b]: &[Sample; 2]| {
            let falls = STEEPER * steepest * (b.d - a.d);
            let near = a.open.abs().min(b.open.abs());
            let far = a.open.abs().max(b.open.abs());
            // Where the other surface ends on the way there is no second height to go by.
            if far.is_finite() {
                near + far - falls
            } else {
                near - falls
            }
        };
        let place = pairs()
            .enumerate()
            .filter(|(_, [a, b])| (a.gap < 0.0) == (b.gap < 0.0) && b.d - a.d > span / 64.0)
            .map(|(i, pair)| (i, lowest(pair)))
            .filter(|(i, low)| *low < 0.0 && !runs_one_way(searched, *i))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let Some((i, _)) = place else { return };
        let (Some(a), Some(b)) = (searched.get(i), searched.get(i + 1)) else {
            return;
        };
        let now = sample(f64::midpoint(a.d, b.d));
        samples.insert(first + i + 1, now);
    }
}

/// Whether the gap runs one way from a sample to the next, as far as its slope there and those beside it tell: all of one surface, and nearly the same.
fn runs_one_way(samples: &[Sample], i: usize) -> bool {
    const ALIKE: f64 = 0.3;
    let slope = |k: usize| {
        let (a, b) = (samples.get(k)?, samples.get(k + 1)?);
        let one = a.found?.which == b.found?.which && a.found?.family == b.found?.family;
        one.then(|| (b.open - a.open) / (b.d - a.d))
    };
    let Some(own) = slope(i) else { return false };
    let beside = [i.checked_sub(1), Some(i + 1)];
    let beside = beside
        .into_iter()
        .flatten()
        .filter(|k| k + 1 < samples.len());
    let alike = |k: usize| slope(k).is_some_and(|s| (s - own).abs() < ALIKE * own.abs());
    beside.clone().next().is_some() && beside.into_iter().all(alike)
}

/// Where three samples have one sign but their parabola turns between them, a place where the gap has the other sign, if a few steps of successive
/// parabolas (Brent, Algorithms for Minimization without Derivatives (1973), ch. 5) find one. Where these stand still before they have come to the other
/// sign, as they do beside a wall, the wider side of the least sample is halved.
pub(super) fn dip(mut three: [Sample; 3], sample: &impl Fn(f64) -> Sample) -> Option<Sample> {
    const STEPS: u32 = 5;
    let sign = if three[1].gap < 0.0 { -1.0 } else { 1.0 };
    if three.iter().any(|s| s.gap * sign < 0.0) {
        return None;
    }
    for step in 0..STEPS {
        let [a, b, c] = three;
        let (left, right) = ((b.gap - a.gap) / (b.d - a.d), (c.gap - b.gap) / (c.d - b.d));
        // Bent away from nothing, or running on past the ends.
        let bend = (right - left) / (c.d - a.d);
        if bend * sign <= 0.0 {
            return None;
        }
        let mut d = f64::midpoint(a.d, b.d) - left / (2.0 * bend);
        let room = (c.d - a.d) * 1e-2;
        if d <= a.d + room || d >= c.d - room {
            return None;
        }
        if (d - b.d).abs() < room {
            if step == 0 || step + 1 == STEPS {
                return None;
            }
            d = if b.d - a.d > c.d - b.d {
                f64::midpoint(a.d, b.d)
            } else {
                f64::midpoint(b.d, c.d)
            };
        }
        let now = sample(d);
        if now.gap * sign < 0.0 {
            return Some(now);
        }
        // The lower of the two inner ones stays between the others.
        three = match (d < b.d, now.gap * sign < b.gap * sign) {
            (true, true) => [a, now, b],
            (true, false) => [now, b, c],
            (false, true) => [b, now, c],
            (false, false) => [a, b, now],
        };
    }
    None
}
