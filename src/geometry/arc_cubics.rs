//! Arcs as cubics, for outlines and formats that have no arcs.

use std::f64::consts::FRAC_PI_8;

use kurbo::{CubicBez, Vec2};

use super::CircularArc;

/// The most of an arc that one cubic stands for, 22.5°: it leaves the circle by less than 2e-7 of the radius then, a hundredth
/// of a micrometer on the largest knife. Twice the angle would make it sixty-four times as much.
const STEP_RAD: f64 = FRAC_PI_8;

/// An arc as cubics, by the handles of length 4/3·tan(θ/4)·r (M. Goldapp, "Approximation of
/// circular arcs by cubic polynomials", CAGD 8 (1991)).
#[must_use]
pub fn arc_cubics(arc: &CircularArc) -> Vec<CubicBez> {
    let parts = (arc.sweep.abs() / STEP_RAD).ceil().clamp(1.0, 1e4);
    let handle = 4.0 / 3.0 * (arc.sweep / parts / 4.0).tan();
    let mut out = Vec::new();
    let mut i = 0.0;
    while i < parts {
        let part = arc.part(i / parts, (i + 1.0) / parts);
        // The derivative at unit speed along the angle: r times the direction of travel for a positive sweep.
        let tangent = |angle: f64| {
            let radius = part.at_angle(angle) - part.center;
            Vec2::new(-radius.y, radius.x)
        };
        let (from, to) = (part.start_angle, part.start_angle + part.sweep);
        let (start, end) = (part.at_angle(from), part.at_angle(to));
        out.push(CubicBez::new(
            start,
            start + tangent(from) * handle,
            end - tangent(to) * handle,
            end,
        ));
        i += 1.0;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::ParamCurve;
    use kurbo::Point;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn cubics_of_an_arc_stay_on_its_circle(start in -7.0..7.0, sweep in -6.2..6.2) {
            let arc = CircularArc {
                center: Point::new(3.0, -2.0),
                radius: 25.0,
                start_angle: start,
                sweep,
            };
            let cubics = arc_cubics(&arc);
            let first = cubics.first().expect("one at least").p0;
            let last = cubics.last().expect("one at least").p3;
            prop_assert!(first.distance(arc.eval(0.0)) < 1e-12);
            prop_assert!(last.distance(arc.eval(1.0)) < 1e-12);
            for cubic in &cubics {
                for i in 0..=8 {
                    let p = cubic.eval(f64::from(i) / 8.0);
                    // Equation of the circle, within 2e-7 of the radius as Goldapp's bound gives for 22.5°.
                    prop_assert!((p.distance(arc.center) / arc.radius - 1.0).abs() < 2e-7);
                }
            }
        }
    }
}
