//! What the benchmarks print: least times, and how they grow.

use std::time::Instant;

/// The least time of one run, in µs, over `rounds` of `runs` each: what the machine's other work adds is left out as far as it can be.
pub(crate) fn least_us(rounds: u32, runs: u32, mut run: impl FnMut()) -> f64 {
    let mut least = f64::INFINITY;
    for _ in 0..rounds {
        let start = Instant::now();
        for _ in 0..runs {
            run();
        }
        least = least.min(start.elapsed().as_secs_f64());
    }
    least * 1e6 / f64::from(runs)
}

/// Slope of the least-squares line through the points.
pub(crate) fn slope(points: &[(f64, f64)]) -> f64 {
    let n = points.len() as f64;
    let (sx, sy) = points
        .iter()
        .fold((0.0, 0.0), |(a, b), (x, y)| (a + x, b + y));
    let (mx, my) = (sx / n, sy / n);
    let sxy: f64 = points.iter().map(|(x, y)| (x - mx) * (y - my)).sum();
    let sxx: f64 = points.iter().map(|(x, _)| (x - mx).powi(2)).sum();
    sxy / sxx
}
