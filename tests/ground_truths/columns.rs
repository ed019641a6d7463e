//! A second method, unlike the first: heights asked for point by point on vertical columns, with no rays and no runs.

use tangwright::geometry::{Point, SpanIndex};
use tangwright::knife::{Face, Knife};
use tangwright::thickness::GroundBlade;

use crate::bench::ready;

/// What the grinds take, by columns: adaptive Simpson along each, composite Gauss–Legendre (two points a panel) across, `panels` of them between the ends of
/// the outline's pieces and its landmarks.
pub(crate) fn by_columns(knife: &Knife, panels: u32) -> f64 {
    let Ok((blade, contour)) = ready(knife) else {
        return f64::NAN;
    };
    let index = contour.index();
    let mut ends: Vec<f64> = contour.pieces.iter().map(|p| p.start().x).collect();
    // Where a run ends the ground face may end in a step.
    let marks = knife.landmarks.iter().map(|l| l.kind);
    ends.extend(
        marks
            .filter_map(|kind| knife.landmark_point(kind))
            .map(|p| p.x),
    );
    ends.sort_by(f64::total_cmp);
    ends.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let (from, to) = (ends[0], ends[ends.len() - 1]);
    let mut sum = 0.0;
    for pair in ends.windows(2) {
        let share = (pair[1] - pair[0]) / (to - from);
        let n = (f64::from(panels) * share).ceil().max(4.0);
        let h = (pair[1] - pair[0]) / n;
        for i in 0..n as u32 {
            let middle = pair[0] + h * (f64::from(i) + 0.5);
            for x in [-1.0, 1.0] {
                let x = middle + x * h / 2.0 / 3.0_f64.sqrt();
                sum += column(&blade, &index, x) * h / 2.0;
            }
        }
    }
    sum
}

fn column(blade: &GroundBlade, index: &SpanIndex, x: f64) -> f64 {
    let heights = index.heights_at(x);
    let mut sum = 0.0;
    for pair in heights.chunks(2) {
        let &[low, high] = pair else { continue };
        for face in Face::ALL {
            let top = blade.face_height(face, x);
            let taken = |y: f64| top - blade.height(face, Point::new(x, y));
            const PARTS: u32 = 12;
            let step = (high - low) / f64::from(PARTS);
            for i in 0..PARTS {
                let (a, b) = (low + step * f64::from(i), low + step * f64::from(i + 1));
                let m = f64::midpoint(a, b);
                let (fa, fm, fb) = (taken(a + 1e-12), taken(m), taken(b - 1e-12));
                sum += simpson(&taken, (a, fa), (m, fm), (b, fb), 22);
            }
        }
    }
    sum
}

/// Adaptive Simpson rule (Lyness, J. ACM 16 (1969), pp. 483-495).
fn simpson(
    f: &impl Fn(f64) -> f64,
    (a, fa): (f64, f64),
    (m, fm): (f64, f64),
    (b, fb): (f64, f64),
    depth: u32,
) -> f64 {
    let (l, r) = (f64::midpoint(a, m), f64::midpoint(m, b));
    let (fl, fr) = (f(l), f(r));
    let whole = (b - a) / 6.0 * (fa + 4.0 * fm + fb);
    let halves = (b - a) / 12.0 * (fa + 4.0 * fl + 2.0 * fm + 4.0 * fr + fb);
    if depth == 0 || (halves - whole).abs() < 1e-8 {
        return halves + (halves - whole) / 15.0;
    }
    simpson(f, (a, fa), (l, fl), (m, fm), depth - 1)
        + simpson(f, (m, fm), (r, fr), (b, fb), depth - 1)
}
