//! Tangs made from a handful of numbers at the shoulder line, then freely edited as outline.

use kurbo::{Point, Vec2};

use super::{Joint, Knife, LandmarkKind, Node, Spot};

/// Handle length of a quarter circle of radius 1 drawn as a cubic: 4/3·(√2 − 1). The curve then leaves the circle by at most 2.7e-4 of the
/// radius (M. Goldapp, "Approximation of circular arcs by cubic polynomials", CAGD 8 (1991)).
const QUARTER: f64 = 0.552_284_749_830_793_4;

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
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FullTang {
    /// From the shoulder line to the butt, mm.
    pub length_mm: f64,
    /// Height at the butt, mm.
    pub butt_height_mm: f64,
    /// How far the lower side swells below the line from shoulder to butt, mm.
    pub belly_mm: f64,
    /// How far the butt's middle lies below the shoulder's middle, mm.
    pub drop_mm: f64,
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
        }
    }

    /// Length from the shoulder line, mm.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        match self {
            Self::Full(t) => t.length_mm,
            Self::Hidden(t) => t.length_mm,
        }
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
    let places: Vec<_> = made
        .landmarks
        .iter()
        .map(|l| (l.kind, made.outline.point_at(l.spot)))
        .collect();
    made.outline.nodes.truncate(end + 1);
    let top = match made.outline.nodes.last_mut() {
        Some(node) => {
            node.handle_out = None;
            node.joint = Joint::Corner;
            node.at
        }
        None => Point::ZERO,
    };
    let bottom = match made.outline.nodes.first_mut() {
        Some(node) => {
            node.handle_in = None;
            node.joint = Joint::Corner;
            node.at
        }
        None => Point::ZERO,
    };
    let butt = match tang {
        Tang::Full(full) => grow_full(&mut made, full, top, bottom)?,
        Tang::Hidden(hidden) => grow_hidden(&mut made, hidden, top, bottom)?,
    };
    made.tang = tang;
    made.seat_landmarks(&places);
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

fn positive(value: f64, what: &'static str) -> Result<(), TangError> {
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

fn grow_full(
    knife: &mut Knife,
    tang: FullTang,
    top: Point,
    bottom: Point,
) -> Result<Spot, TangError> {
    positive(tang.length_mm, "the tang's length")?;
    positive(tang.butt_height_mm, "the height at the butt")?;
    let length = tang.length_mm;
    let half = tang.butt_height_mm / 2.0;
    let corner = (half * 0.8).min(length * 0.25);
    let k = corner * QUARTER;
    let middle = f64::midpoint(top.y, bottom.y) - tang.drop_mm;
    let (high, low) = (middle + half, middle - half);
    let x = |share: f64| -length * share;

    // The spine runs on level from the shoulder and eases over to the butt's height.
    if let Some(node) = knife.outline.nodes.last_mut() {
        node.handle_out = Some(Vec2::new(x(0.3), 0.0));
    }
    let reach = (length - corner) * 0.3;
    push(
        knife,
        Point::new(-length + corner, high),
        Some(Vec2::new(reach, (top.y - high) * 0.2)),
        Some(Vec2::new(-k, -(top.y - high) * 0.2 * k / reach)),
    );
    let butt = push(
        knife,
        Point::new(-length, middle),
        Some(Vec2::new(0.0, k.max(half * QUARTER))),
        Some(Vec2::new(0.0, -k.max(half * QUARTER))),
    );
    push(
        knife,
        Point::new(-length + corner, low),
        Some(Vec2::new(-k, 0.0)),
        Some(Vec2::new(length * 0.12, 0.0)),
    );
    let belly_at = Point::new(x(0.45), f64::midpoint(bottom.y, low) - tang.belly_mm);
    push(
        knife,
        belly_at,
        Some(Vec2::new(-length * 0.15, 0.0)),
        Some(Vec2::new(length * 0.15, 0.0)),
    );
    if let Some(node) = knife.outline.nodes.first_mut() {
        node.handle_in = Some(Vec2::new(-length * 0.15, 0.0));
    }
    Ok(Spot { node: butt, t: 0.0 })
}

fn grow_hidden(
    knife: &mut Knife,
    tang: HiddenTang,
    top: Point,
    bottom: Point,
) -> Result<Spot, TangError> {
    positive(tang.length_mm, "the tang's length")?;
    positive(tang.shoulder_width_mm, "the width at the shoulder")?;
    positive(tang.end_width_mm, "the width at the end")?;
    let (r, length) = (tang.shoulder_radius_mm.max(0.0), tang.length_mm);
    let (root, tail) = (tang.shoulder_width_mm / 2.0, tang.end_width_mm / 2.0);
    let shoulder_mm = top.y - bottom.y;
    let needed_mm = 2.0 * (root + r);
    if needed_mm > shoulder_mm {
        return Err(TangError::ShoulderTooLow {
            shoulder_mm,
            needed_mm,
        });
    }
    let end_run = match tang.end {
        TangEnd::Square => 0.0,
        TangEnd::Round | TangEnd::Pointed => tail,
    };
    if r + end_run >= length {
        return Err(TangError::TooShort { length_mm: length });
    }
    let middle = f64::midpoint(top.y, bottom.y);
    // The side leans in from root to tail; the rounding ends in the side's own direction.
    let (from, to) = (-r, -length + end_run);
    let lean = Vec2::new(to - from, tail - root).normalize();
    let k = r * QUARTER;
    let side = |upper: bool| {
        let s = if upper { 1.0 } else { -1.0 };
        let at = |x: f64, y: f64| Point::new(x, middle + s * y);
        let along = Vec2::new(lean.x, s * lean.y);
        let face = Vec2::new(0.0, -s * k);
        let mut nodes = Vec::new();
        if r > 0.0 {
            nodes.push((at(0.0, root + r), None, Some(face)));
            nodes.push((at(from, root), Some(-along * k), None));
        } else {
            nodes.push((at(0.0, root), None, None));
        }
        match tang.end {
            TangEnd::Square | TangEnd::Pointed => nodes.push((at(to, tail), None, None)),
            TangEnd::Round => {
                nodes.push((at(to, tail), None, Some(Vec2::new(-tail * QUARTER, 0.0))))
            }
        }
        nodes
    };
    for (at, into, out) in side(true) {
        push(knife, at, into, out);
    }
    let butt = match tang.end {
        // The square end is one straight piece; its middle is the butt.
        TangEnd::Square => knife
            .outline
            .nodes
            .last()
            .map(|n| Spot { node: n.id, t: 0.5 }),
        TangEnd::Round => {
            let handle = Vec2::new(0.0, tail * QUARTER);
            let node = push(
                knife,
                Point::new(-length, middle),
                Some(handle),
                Some(-handle),
            );
            Some(Spot { node, t: 0.0 })
        }
        TangEnd::Pointed => {
            let node = push(knife, Point::new(-length, middle), None, None);
            Some(Spot { node, t: 0.0 })
        }
    };
    for (at, into, out) in side(false).into_iter().rev() {
        // The lower side is run the other way, so incoming and outgoing change places.
        push(knife, at, out, into);
    }
    // A tang as wide as the shoulder leaves no face: drop a node that would stand on the shoulder itself.
    drop_doubles(knife, top, bottom);
    butt.ok_or(TangError::TooShort { length_mm: length })
}

/// Takes out tang nodes that fall on a shoulder node.
fn drop_doubles(knife: &mut Knife, top: Point, bottom: Point) {
    let nodes = &mut knife.outline.nodes;
    if let Some(i) = nodes.iter().position(|n| n.at == top)
        && let Some(next) = nodes.get(i + 1)
        && next.at.distance(top) < 1e-6
    {
        let out = next.handle_out;
        nodes.remove(i + 1);
        if let Some(node) = nodes.get_mut(i) {
            node.handle_out = out;
        }
    }
    if let Some(last) = nodes.last()
        && last.at.distance(bottom) < 1e-6
        && nodes.len() > 3
    {
        let into = last.handle_in;
        nodes.pop();
        if let Some(first) = nodes.first_mut() {
            first.handle_in = into;
        }
    }
}
