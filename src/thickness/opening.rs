//! A cut-out as the rays of a grind meet it.

use kurbo::{Rect, Vec2};

use super::exits::{Boundary, Stretch};
use super::marks::Mark;
use super::strip::Ray;
use crate::geometry::Contour;
use crate::knife::CutShape;

/// A cut-out's shape, made ready for rays.
#[derive(Clone, Debug)]
pub(super) enum Opening {
    /// A round hole or a slot: all within `radius` of a segment.
    Capsule { core: (Vec2, Vec2), radius: f64 },
    /// Any other shape.
    Free { boundary: Boundary, bounds: Rect },
}

impl Opening {
    pub(super) fn of(shape: &CutShape) -> Self {
        match shape.capsule() {
            Some((core, radius)) => Self::Capsule {
                core: (core.0.to_vec2(), core.1.to_vec2()),
                radius,
            },
            None => Self::free(&shape.contour()),
        }
    }

    fn free(contour: &Contour) -> Self {
        Self::Free {
            boundary: Boundary::around_path(contour),
            bounds: contour.bounds(),
        }
    }

    pub(super) fn is_round(&self) -> bool {
        matches!(self, Self::Capsule { core, .. } if core.0 == core.1)
    }

    pub(super) fn bounds(&self) -> Rect {
        match self {
            Self::Capsule { core, radius } => {
                Rect::from_points(core.0.to_point(), core.1.to_point()).inflate(*radius, *radius)
            }
            Self::Free { bounds, .. } => *bounds,
        }
    }

    /// The stretches of a ray within the opening, up to `longest`.
    pub(super) fn stretches(&self, ray: &Ray, longest: f64, inside: &mut Vec<Stretch>) {
        inside.clear();
        match self {
            Self::Capsule { core, radius } => {
                let (mut lo, mut hi) = (f64::INFINITY, f64::NEG_INFINITY);
                for center in [core.0, core.1] {
                    let to = center - ray.foot;
                    let (along, across) = (to.dot(ray.n), to.cross(ray.n));
                    let half2 = radius * radius - across * across;
                    if half2 > 0.0 {
                        let half = half2.sqrt();
                        lo = lo.min(along - half);
                        hi = hi.max(along + half);
                    }
                }
                if let Some((a, b)) = straight_run(*core, *radius, ray) {
                    lo = lo.min(a);
                    hi = hi.max(b);
                }
                let (lo, hi) = (lo.max(0.0), hi.min(longest));
                if lo < hi {
                    inside.push(Stretch {
                        from: lo,
                        to: hi,
                        begins: if lo > 0.0 { Mark::edge(0) } else { Mark::NONE },
                        ends: if hi < longest {
                            Mark::edge(0)
                        } else {
                            Mark::NONE
                        },
                    });
                }
            }
            Self::Free { boundary, .. } => {
                let mut meets = Vec::new();
                boundary.stretches(ray, longest, &[], &mut meets, inside);
            }
        }
    }

    /// How far the opening's middle lies beside the line of a ray, and how far it reaches to either side of that: a ray meets the opening only
    /// where the first is no more than the second.
    pub(super) fn beside(&self, ray: &Ray) -> (f64, f64) {
        match self {
            Self::Capsule { core, radius } => {
                let middle = (core.0 + core.1) / 2.0 - ray.foot;
                let reach = ((core.1 - core.0) / 2.0).cross(ray.n).abs() + radius;
                (middle.cross(ray.n), reach)
            }
            Self::Free { bounds, .. } => {
                let middle = bounds.center().to_vec2() - ray.foot;
                let half = bounds.size().to_vec2() / 2.0;
                let reach = (half.x * ray.n.y).abs() + (half.y * ray.n.x).abs();
                (middle.cross(ray.n), reach)
            }
        }
    }
}

/// Where a ray passes the rectangle between the two round ends.
fn straight_run(core: (Vec2, Vec2), radius: f64, ray: &Ray) -> Option<(f64, f64)> {
    let axis = core.1 - core.0;
    let length = axis.hypot();
    if length <= 0.0 {
        return None;
    }
    let u = axis / length;
    let from = ray.foot - core.0;
    let (mut lo, mut hi) = (f64::NEG_INFINITY, f64::INFINITY);
    for (start, rate, least, most) in [
        (from.dot(u), ray.n.dot(u), 0.0, length),
        (u.cross(from), u.cross(ray.n), -radius, radius),
    ] {
        if rate == 0.0 {
            if start < least || start > most {
                return None;
            }
            continue;
        }
        let (a, b) = ((least - start) / rate, (most - start) / rate);
        lo = lo.max(a.min(b));
        hi = hi.min(a.max(b));
    }
    (lo < hi).then_some((lo, hi))
}
