//! Plane geometry of outlines: pieces, closed contours, exact moments, nearest points, crossings, arc fitting.
//!
//! All lengths are millimeters, all angles radians, `x` to the right and `y` up. Contours that bound
//! steel run counterclockwise for a positive area; every function that cares says so.

mod arc;
mod arc_cubics;
mod arcfit;
mod contour;
mod crossing;
mod depth;
mod distance;
mod fairing;
mod gauss;
mod hull;
mod meeting;
mod moments;
mod offset;
mod piece;
mod projection;
mod roots;
mod span;

pub use arc::CircularArc;
pub use arc_cubics::arc_cubics;
pub use arcfit::arcs_within;
pub use contour::{Contour, Nearest};
pub use crossing::{Crossing, OutlineFault, crossings_between, outline_faults};
pub(crate) use crossing::{indexed_faults, not_finite};
pub use distance::{GAP_ACCURACY_MM, circle_gap, contour_gap, segment_gap};
pub use fairing::{Faired, apart, faired, one_curve};
pub use gauss::{GAUSS_3, GAUSS_8};
pub use hull::hull;
pub use kurbo::{CubicBez, Line, Point, Rect, Vec2};
pub use moments::AreaMoments;
pub use offset::{OFFSET_WITHIN_MM, OffsetError, moved_inward, moved_outward};
pub use piece::{Motion, Piece};
pub use projection::{Projection, is_convex};
pub(crate) use roots::{
    NEAR_STEP, STRIP_LOOKS, crossings_among, crossings_of, root, root_among, root_between,
    straight_root,
};
pub use span::SpanIndex;

/// Two points nearer than this are one point (mm).
///
/// A hundredth of a micrometer: far below anything a shop can cut or a file prints, far above the
/// rounding of coordinates of a few hundred millimeters.
pub const SAME_POINT_MM: f64 = 1e-5;
