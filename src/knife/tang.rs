//! Tangs made from a handful of numbers at the shoulder line, then freely edited as outline.

mod full;
mod hidden;
#[cfg(test)]
mod tests;
mod windows;

pub(super) use windows::smooth;

use kurbo::{Point, Vec2};

pub use windows::{MOST_BRIDGES, tang_windows};

use super::{Joint, Knife, LandmarkKind, Node, Spot};
use crate::geometry::SAME_POINT_MM;

/// Handle length of a quarter circle of radius 1 drawn as a cubic: 4/3·(√2 − 1). The curve then leaves the circle by at most 2.7e-4 of the
/// radius (M. Goldapp, "Approximation of circular arcs by cubic polynomials", CAGD 8 (1991)).
const QUARTER: f64 = 0.552_284_749_830_793_4;

/// Least height of a shoulder, and of a full tang anywhere, mm: less is not a handle but a break.
const THINNEST_MM: f64 = 1.0;

/// The end of a hidden tang.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TangEnd {
    /// Cut off square.
    #[default]
    Square,
    /// A half round.
    Round,
    /// Brought to a blunt point.
    Pointed,
}

/// A tang as wide as the handle; scales are fixed to both faces.
///
/// The numbers below the length are measured from the **base line**, straight from the lower shoulder to the foot of the butt. The upper side
/// goes on as the spine arrives and bends one way to the butt.
///
/// ```text
///   butt ______________________________ shoulder
///       (                               \
///        \__ . - - - . _ . - - . _ . - -  finger relief: up from the base line
///       hook   waist   belly: down from the base line
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FullTang {
    /// From the shoulder line to the butt, mm, positive.
    pub length_mm: f64,
    /// Height at the butt without the hook, from the base line's foot to the upper side, mm, positive.
    pub butt_height_mm: f64,
    /// How far the underside swells below the base line in the palm, at [`FullTang::BELLY_AT`], mm; negative hollows it.
    pub belly_mm: f64,
    /// How far the butt's middle lies below the shoulder's middle, mm; negative lifts it.
    pub drop_mm: f64,
    /// How far the underside rises above the base line for the forefinger, at [`FullTang::FINGER_AT`], mm.
    pub finger_mm: f64,
    /// How far the lower corner of the butt hooks down below the base line, mm.
    pub hook_mm: f64,
}

impl FullTang {
    /// A tang with neither belly nor drop, finger relief nor hook.
    #[must_use]
    pub fn straight(length_mm: f64, butt_height_mm: f64) -> Self {
        Self {
            length_mm,
            butt_height_mm,
            belly_mm: 0.0,
            drop_mm: 0.0,
            finger_mm: 0.0,
            hook_mm: 0.0,
        }
    }

    /// Where the forefinger lies, as a share of the way from the lower shoulder to the butt: 17 to 20 mm on handles of 110 to 130 mm, the
    /// middle of a forefinger that touches the shoulder.
    pub const FINGER_AT: f64 = 0.155;
    /// Where the palm is fullest, as a share of the way from the lower shoulder to the butt.
    pub const BELLY_AT: f64 = 0.47;
    /// Where the underside draws in again ahead of the butt, as a share of the way from the lower shoulder to the butt.
    pub const WAIST_AT: f64 = 0.75;
}

/// A narrow tang that goes into the handle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HiddenTang {
    /// From the shoulder line to its end, mm.
    pub length_mm: f64,
    /// Width at the shoulder, behind the rounding, mm.
    pub shoulder_width_mm: f64,
    /// Width at the end, mm.
    pub end_width_mm: f64,
    /// Radius of the inside corners at the shoulder, mm.
    pub shoulder_radius_mm: f64,
    /// How the end is cut.
    pub end: TangEnd,
}

/// The tang's kind, with the numbers it was last made from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tang {
    /// As wide as the handle.
    Full(FullTang),
    /// Narrow, inside the handle.
    Hidden(HiddenTang),
    /// Shorter than the handle, often lower too, between scales that go round it: from a stub to three quarters of the handle. It has the
    /// numbers of a hidden tang; as high as the shoulder and without a radius it leaves no step.
    Partial(HiddenTang),
}

/// Why a tang can't be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TangError {
    /// A landmark the tang begins at is missing.
    #[error("the {} landmark is missing: set it on the outline first", .missing.name())]
    NoShoulder {
        /// Which one.
        missing: LandmarkKind,
    },
    /// The shoulder is too low for the asked tang.
    #[error(
        "the shoulder is {shoulder_mm:.1} mm high, too low for a tang {needed_mm:.1} mm wide with its rounding: make the tang narrower or the radius smaller"
    )]
    ShoulderTooLow {
        /// Height of the shoulder.
        shoulder_mm: f64,
        /// Height needed.
        needed_mm: f64,
    },
    /// A number is out of range.
    #[error("{what} must be more than zero")]
    NotPositive {
        /// Which number.
        what: &'static str,
    },
    /// A number is not a length.
    #[error("{what} is not a number: give it a length in millimeters")]
    NotANumber {
        /// Which number.
        what: &'static str,
    },
    /// A number is larger than anything on a bench.
    #[error("{what} is more than {} mm: make it smaller", crate::knife::LARGEST_MM)]
    TooLarge {
        /// Which number.
        what: &'static str,
    },
    /// The upper side and the underside meet.
    #[error(
        "the tang is pinched off {behind_mm:.1} mm behind the shoulder line: make the butt higher, or take some of the finger relief or the drop away"
    )]
    Pinched {
        /// Where, from the shoulder line back, mm.
        behind_mm: f64,
    },
    /// A rim leaves no window in the tang.
    #[error(
        "a rim of {rim_mm:.1} mm leaves no window in the tang: make the rim narrower, or leave fewer bridges"
    )]
    NoWindow {
        /// The asked rim.
        rim_mm: f64,
    },
    /// The rounding and the end need more length than there is.
    #[error("the tang is too short: {length_mm:.1} mm leaves no room for its rounding and its end")]
    TooShort {
        /// The asked length.
        length_mm: f64,
    },
}

impl Tang {
    /// The kind's name.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Full(_) => "full",
            Self::Hidden(_) => "hidden",
            Self::Partial(_) => "partial",
        }
    }

    /// Length from the shoulder line, mm.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        match self {
            Self::Full(t) => t.length_mm,
            Self::Hidden(t) | Self::Partial(t) => t.length_mm,
        }
    }

    /// The same length, to be changed.
    pub fn length_mut(&mut self) -> &mut f64 {
        match self {
            Self::Full(t) => &mut t.length_mm,
            Self::Hidden(t) | Self::Partial(t) => &mut t.length_mm,
        }
    }

    /// The numbers of a tang that is narrower than its handle: hidden or partial.
    #[must_use]
    pub fn narrow(&self) -> Option<&HiddenTang> {
        match self {
            Self::Full(_) => None,
            Self::Hidden(t) | Self::Partial(t) => Some(t),
        }
    }

    /// Radius of the inside corners where it meets the shoulder, mm; nothing where it leaves no step.
    #[must_use]
    pub fn shoulder_radius_mm(&self) -> f64 {
        self.narrow().map_or(0.0, |t| t.shoulder_radius_mm.max(0.0))
    }
}

/// Replaces everything behind the two shoulder landmarks by a tang of the given kind. The blade is left as it is;
/// landmarks on the blade stay, the butt landmark moves to the new end.
///
/// # Errors
/// A shoulder landmark is missing, or the numbers do not fit each other or the shoulder; the knife is unchanged then.
pub fn fit_tang(knife: &mut Knife, tang: Tang) -> Result<(), TangError> {
    let mut made = knife.clone();
    let spot = |k: &Knife, kind| {
        k.landmark(kind)
            .ok_or(TangError::NoShoulder { missing: kind })
    };
    let lower = spot(&made, LandmarkKind::LowerShoulder)?;
    let Some(lower) = made.split_outline(lower) else {
        return Err(TangError::NoShoulder {
            missing: LandmarkKind::LowerShoulder,
        });
    };
    let upper = spot(&made, LandmarkKind::UpperShoulder)?;
    let Some(upper) = made.split_outline(upper) else {
        return Err(TangError::NoShoulder {
            missing: LandmarkKind::UpperShoulder,
        });
    };
    // The blade runs from the lower shoulder forward round the tip to the upper one.
    let start = made.outline.index_of(lower).unwrap_or(0);
    made.outline.nodes.rotate_left(start);
    let end = made.outline.index_of(upper).unwrap_or(0);
    // Landmarks on the blade keep their very spots; others are seated anew when the tang is there.
    let astray: Vec<_> = made
        .landmarks
        .iter()
        .filter(|l| {
            let index = made.outline.index_of(l.spot.node);
            !index.is_some_and(|i| i < end || (i == end && l.spot.t == 0.0))
        })
        .map(|l| (l.kind, made.outline.point_at(l.spot)))
        .collect();
    made.outline.nodes.truncate(end + 1);
    if let Some(node) = made.outline.nodes.last_mut() {
        node.handle_out = None;
        node.joint = Joint::Corner;
    }
    if let Some(node) = made.outline.nodes.first_mut() {
        node.handle_in = None;
        node.joint = Joint::Corner;
    }
    let at = |node: Option<&Node>| node.map_or(Point::ZERO, |n| n.at);
    let (top, bottom) = (
        at(made.outline.nodes.last()),
        at(made.outline.nodes.first()),
    );
    if top.y - bottom.y < THINNEST_MM {
        return Err(TangError::ShoulderTooLow {
            shoulder_mm: top.y - bottom.y,
            needed_mm: THINNEST_MM,
        });
    }
    let butt = match tang {
        Tang::Full(tang) => full::grow(&mut made, tang, top, bottom)?,
        Tang::Hidden(tang) | Tang::Partial(tang) => hidden::grow(&mut made, tang, top, bottom)?,
    };
    made.tang = tang;
    made.seat_landmarks(&astray);
    made.set_landmark(LandmarkKind::Butt, butt);
    for (kind, node) in [
        (LandmarkKind::LowerShoulder, lower),
        (LandmarkKind::UpperShoulder, upper),
    ] {
        made.set_landmark(kind, Spot { node, t: 0.0 });
    }
    *knife = made;
    Ok(())
}

fn finite(value: f64, what: &'static str) -> Result<(), TangError> {
    if !value.is_finite() {
        Err(TangError::NotANumber { what })
    } else if value.abs() > super::LARGEST_MM {
        Err(TangError::TooLarge { what })
    } else {
        Ok(())
    }
}

fn positive(value: f64, what: &'static str) -> Result<(), TangError> {
    finite(value, what)?;
    if value > 0.0 {
        Ok(())
    } else {
        Err(TangError::NotPositive { what })
    }
}

/// Appends a node and gives its id.
fn push(
    knife: &mut Knife,
    at: Point,
    handle_in: Option<Vec2>,
    handle_out: Option<Vec2>,
) -> super::Id {
    let id = knife.take_id();
    let in_line = matches!((handle_in, handle_out), (Some(i), Some(o))
        if i.cross(o).abs() <= 1e-9 * i.hypot() * o.hypot() && i.dot(o) < 0.0);
    let joint = if in_line {
        Joint::Smooth
    } else {
        Joint::Corner
    };
    knife.outline.nodes.push(Node {
        id,
        at,
        handle_in,
        handle_out,
        joint,
    });
    id
}

/// Takes out tang nodes that fall on a shoulder node.
fn drop_doubles(knife: &mut Knife, top: Point, bottom: Point) {
    let nodes = &mut knife.outline.nodes;
    if let Some(i) = nodes.iter().position(|n| n.at == top)
        && let Some(next) = nodes.get(i + 1)
        && next.at.distance(top) <= SAME_POINT_MM
    {
        let out = next.handle_out;
        nodes.remove(i + 1);
        if let Some(node) = nodes.get_mut(i) {
            node.handle_out = out;
        }
    }
    if let Some(last) = nodes.last()
        && last.at.distance(bottom) <= SAME_POINT_MM
        && nodes.len() > 3
    {
        let into = last.handle_in;
        nodes.pop();
        if let Some(first) = nodes.first_mut() {
            first.handle_in = into;
        }
    }
}
