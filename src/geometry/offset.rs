//! A contour moved outward by a distance: steel left on for the grinder, true arcs round the corners.
//!
//! 1. Curves become lines and arcs ([`super::arcs_within`]), which keep their kind when they are moved: a line shifts, an arc changes its radius.
//! 2. Round every corner that stands out goes an arc about it; at one that points inward the moved pieces run past each other.
//! 3. All are cut where they meet, and what is nearer to the contour than the distance is dropped: the definition itself.
//! 4. What is left is chained. It must be one loop: where the mouth of a notch closes there is no one outline to cut. Where pieces only just touch, all is
//!    tried once more a hair's breadth beside.

use kurbo::{Line, Point, Vec2};

use super::{CircularArc, Contour, Piece, SAME_POINT_MM, arcs_within, outline_faults};

/// How far the moved contour may be off the true distance, mm: what its curves lose as arcs, and rounding.
pub const OFFSET_WITHIN_MM: f64 = 0.002;

/// How far arcs may leave the curves they stand for, mm.
const ARCS_WITHIN_MM: f64 = 0.001;
/// Where two moved pieces only just touch, as in a hollow whose radius is the distance, no numbers tell whether they meet: then it is tried this much
/// farther out. With what the arcs lose it stays within [`OFFSET_WITHIN_MM`].
const NUDGES_MM: [f64; 3] = [0.0, 4e-4, 8e-4];
/// Parts shorter than this are rounding, mm.
const NO_PART_MM: f64 = 1e-7;
/// A part this much nearer than the distance is still at it, mm: rounding.
const AT_DISTANCE_MM: f64 = 2e-6;
/// Ends this near are one joint, mm.
const JOINT_MM: f64 = 1e-5;
/// Joints whose moved ends are no farther apart than this are given one end, mm.
const ONE_END_MM: f64 = 2e-5;
/// Pieces that run past each other by less than about this at a joint are cut off there at once, mm.
const SHALLOW_MM: f64 = 0.05;
/// Arcs that sweep more than this keep their own ends, radians: their center would hang on a chord too short.
const MOST_SWEEP: f64 = 6.0;

/// Why a contour can't be moved outward.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OffsetError {
    /// The distance is none.
    #[error("an allowance of {by_mm} mm is none: give it between 0 and 50 mm")]
    Distance {
        /// The distance asked for, mm.
        by_mm: f64,
    },
    /// The moved outline closes over a part of the outside.
    #[error(
        "with an allowance of {by_mm:.2} mm the notch near x {:.1} y {:.1} mm closes: take less, or cut the notch afterwards", at.x, at.y
    )]
    Closes {
        /// The distance asked for, mm.
        by_mm: f64,
        /// Within what is closed over.
        at: Point,
    },
    /// No clean outline comes out.
    #[error(
        "no clean outline lies {by_mm:.2} mm outside this one near x {:.1} y {:.1} mm: take a little more or less", at.x, at.y
    )]
    Unclean {
        /// The distance asked for, mm.
        by_mm: f64,
        /// Where.
        at: Point,
    },
}

/// The greatest distance that is taken for one, mm.
const MOST_MM: f64 = 50.0;

/// A counterclockwise contour moved outward by a distance in mm, as lines and arcs within [`OFFSET_WITHIN_MM`]. The contour must be simple
/// ([`super::outline_faults`]).
///
/// # Errors
/// The distance is not above 0 and at most 50 mm, or no one simple outline lies at it.
pub fn moved_outward(contour: &Contour, by_mm: f64) -> Result<Contour, OffsetError> {
    if !(by_mm > 0.0 && by_mm <= MOST_MM) {
        return Err(OffsetError::Distance { by_mm });
    }
    let pieces = contour.pieces.iter();
    let own = Contour {
        pieces: pieces
            .flat_map(|p| arcs_within(p, ARCS_WITHIN_MM))
            .collect(),
    };
    let mut unclean = OffsetError::Distance { by_mm };
    for nudge in NUDGES_MM {
        let by = by_mm + nudge;
        let kept = kept_parts(&raw_pieces(&own.pieces, by), &own, by);
        match one_loop(kept, by_mm) {
            Err(reason @ OffsetError::Unclean { .. }) if nudge == 0.0 => unclean = reason,
            Err(OffsetError::Unclean { .. }) => {}
            other => return other,
        }
    }
    Err(unclean)
}

/// A simple contour, whichever way it runs, moved inward by a distance in mm, as lines and arcs within [`OFFSET_WITHIN_MM`]: an opening whose cutter takes
/// that much on the steel's side. It keeps its sense.
///
/// # Errors
/// The distance is not above 0 and at most 50 mm, or nothing simple is left within.
pub fn moved_inward(contour: &Contour, by_mm: f64) -> Result<Contour, OffsetError> {
    // To the right of travel is inward when the contour runs clockwise.
    if contour.moments().area > 0.0 {
        Ok(moved_outward(&contour.reversed(), by_mm)?.reversed())
    } else {
        moved_outward(contour, by_mm)
    }
}

/// Every piece moved outward, with an arc round every corner that stands out. At joints that are smooth but for rounding the two moved pieces get one end;
/// where the joint turns inward a little they are cut off where they meet, as what they run past each other is too shallow to be told by its distance.
fn raw_pieces(pieces: &[Piece], by: f64) -> Vec<Piece> {
    let n = pieces.len();
    let turns: Vec<Option<(Vec2, f64)>> = (0..n)
        .map(|i| {
            let before = pieces[(i + n - 1) % n];
            let (from, to) = (before.direction(1.0)?, pieces[i].direction(0.0)?);
            Some((from, from.cross(to).atan2(from.dot(to))))
        })
        .collect();
    let shared = |i: usize| {
        let (from, turn) = turns[i % n].filter(|(_, turn)| by * turn.abs() <= ONE_END_MM)?;
        // Half the turn from the direction before the joint.
        let middle = Vec2::from_angle(from.atan2() + turn / 2.0);
        Some(pieces[i % n].start() + outward(middle) * by)
    };
    let mut moved_pieces: Vec<Option<Piece>> = (0..n)
        .map(|i| Some(between(&moved(&pieces[i], by)?, shared(i), shared(i + 1))))
        .collect();
    for i in 0..n {
        let before = (i + n - 1) % n;
        let shallow = turns[i].is_some_and(|(_, turn)| turn < 0.0 && -by * turn <= SHALLOW_MM);
        if shallow && let (Some(a), Some(b)) = (moved_pieces[before], moved_pieces[i]) {
            let nearest = meetings(&a, &b)
                .into_iter()
                .max_by(|one, other| (one.0 - one.1).total_cmp(&(other.0 - other.1)));
            let (a, b) = match nearest.filter(|(t, u)| *t > 0.5 && *u < 0.5) {
                Some((t, u)) => (a.part(0.0, t), b.part(u, 1.0)),
                // Too nearly tangent to meet in numbers.
                None => {
                    let middle = a.end().midpoint(b.start());
                    (
                        between(&a, None, Some(middle)),
                        between(&b, Some(middle), None),
                    )
                }
            };
            (moved_pieces[before], moved_pieces[i]) = (Some(a), Some(b));
        }
    }
    let mut raw = Vec::with_capacity(2 * n);
    for (i, piece) in moved_pieces.into_iter().enumerate() {
        if let Some((from, turn)) = turns[i]
            && by * turn > ONE_END_MM
        {
            raw.push(Piece::Arc(CircularArc {
                center: pieces[i].start(),
                radius: by,
                start_angle: outward(from).atan2(),
                sweep: turn,
            }));
        }
        raw.extend(piece);
    }
    raw
}

/// A line or arc whose ends are put somewhere beside, if they are; an arc keeps its sweep.
fn between(piece: &Piece, start: Option<Point>, end: Option<Point>) -> Piece {
    let (start, end) = (
        start.unwrap_or_else(|| piece.start()),
        end.unwrap_or_else(|| piece.end()),
    );
    match piece {
        Piece::Arc(arc) if arc.sweep.abs() < MOST_SWEEP && start != end => {
            // The center stands off the middle of the chord by half of it over the tangent of half the sweep.
            let half = (end - start) / 2.0;
            let off = Vec2::new(-half.y, half.x) / (arc.sweep / 2.0).tan();
            let center = start + half + off;
            Piece::Arc(CircularArc {
                center,
                radius: (start - center).hypot(),
                start_angle: (start - center).atan2(),
                sweep: arc.sweep,
            })
        }
        Piece::Line(_) => Piece::line(start, end),
        other => *other,
    }
}

/// To the right of the direction of travel, which is outward of a counterclockwise contour.
fn outward(direction: Vec2) -> Vec2 {
    Vec2::new(direction.y, -direction.x)
}

/// A piece moved; `None` for an arc that bends inward more sharply than the distance, all of which comes too near to the contour.
fn moved(piece: &Piece, by: f64) -> Option<Piece> {
    match piece {
        Piece::Line(line) => {
            let shift = outward((line.p1 - line.p0).normalize()) * by;
            Some(Piece::line(line.p0 + shift, line.p1 + shift))
        }
        Piece::Arc(arc) => {
            let radius = arc.radius + by * arc.sweep.signum();
            (radius > NO_PART_MM).then_some(Piece::Arc(CircularArc { radius, ..*arc }))
        }
        // None is left after the curves have become arcs.
        Piece::Cubic(_) => None,
    }
}

/// The parts of the moved pieces, cut where they meet, that lie at the distance from the contour.
fn kept_parts(raw: &[Piece], own: &Contour, by: f64) -> Vec<Piece> {
    let bounds: Vec<_> = raw.iter().map(|p| p.bounds().inflate(1e-6, 1e-6)).collect();
    let mut cuts: Vec<Vec<f64>> = vec![vec![0.0, 1.0]; raw.len()];
    for i in 0..raw.len() {
        for j in i + 1..raw.len() {
            if !bounds[i].overlaps(bounds[j]) {
                continue;
            }
            for (t, u) in meetings(&raw[i], &raw[j]) {
                cuts[i].push(t);
                cuts[j].push(u);
            }
        }
    }
    let mut kept = Vec::new();
    for (piece, mut cuts) in raw.iter().zip(cuts) {
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.windows(2) {
            let [a, b] = pair else { continue };
            let part = piece.part(*a, *b);
            if part.length() <= NO_PART_MM {
                continue;
            }
            let away = own.nearest(part.eval(0.5)).map_or(0.0, |n| n.distance);
            if away >= by - AT_DISTANCE_MM {
                kept.push(part);
            }
        }
    }
    kept
}

/// The parameters at which two lines or arcs meet.
fn meetings(a: &Piece, b: &Piece) -> Vec<(f64, f64)> {
    let points = match (a, b) {
        (Piece::Line(a), Piece::Line(b)) => line_line(a, b).into_iter().collect(),
        (Piece::Line(line), Piece::Arc(arc)) | (Piece::Arc(arc), Piece::Line(line)) => {
            line_circle(line, arc)
        }
        (Piece::Arc(a), Piece::Arc(b)) => circle_circle(a, b),
        _ => Vec::new(),
    };
    points
        .into_iter()
        .filter_map(|p| Some((parameter(a, p)?, parameter(b, p)?)))
        .collect()
}

/// The parameter of a point of a piece's line or circle, if the piece reaches it.
fn parameter(piece: &Piece, p: Point) -> Option<f64> {
    let t = match piece {
        Piece::Line(line) => {
            let along = line.p1 - line.p0;
            (p - line.p0).dot(along) / along.hypot2()
        }
        Piece::Arc(arc) => arc.parameter_of_angle((p - arc.center).atan2())?,
        Piece::Cubic(_) => return None,
    };
    (0.0..=1.0).contains(&t).then_some(t)
}

fn line_line(a: &Line, b: &Line) -> Option<Point> {
    let (u, v) = (a.p1 - a.p0, b.p1 - b.p0);
    let across = u.cross(v);
    // Lines that run the same way have no one place.
    (across.abs() > 1e-12 * u.hypot() * v.hypot())
        .then(|| a.p0 + u * ((b.p0 - a.p0).cross(v) / across))
}

fn line_circle(line: &Line, arc: &CircularArc) -> Vec<Point> {
    let along = (line.p1 - line.p0).normalize();
    let to = arc.center - line.p0;
    let foot = line.p0 + along * to.dot(along);
    let across = to.cross(along);
    let half2 = (arc.radius - across) * (arc.radius + across);
    if half2 < 0.0 {
        return Vec::new();
    }
    let half = along * half2.sqrt();
    vec![foot - half, foot + half]
}

fn circle_circle(a: &CircularArc, b: &CircularArc) -> Vec<Point> {
    let between = b.center - a.center;
    let distance = between.hypot();
    if distance <= 1e-9 {
        return Vec::new();
    }
    let along = between / distance;
    let d = (distance * distance + a.radius * a.radius - b.radius * b.radius) / (2.0 * distance);
    let half2 = (a.radius - d) * (a.radius + d);
    if half2 < 0.0 {
        return Vec::new();
    }
    let foot = a.center + along * d;
    let half = Vec2::new(-along.y, along.x) * half2.sqrt();
    vec![foot - half, foot + half]
}

/// Chains the parts; they must close to one outline.
fn one_loop(mut parts: Vec<Piece>, by_mm: f64) -> Result<Contour, OffsetError> {
    let mut loops: Vec<Contour> = Vec::new();
    while let Some(first) = parts.pop() {
        let mut chain = vec![first];
        let mut end = first.end();
        while end.distance(first.start()) > JOINT_MM {
            let next = (0..parts.len())
                .map(|i| (i, parts[i].start().distance(end)))
                .min_by(|a, b| a.1.total_cmp(&b.1))
                .filter(|(_, off)| *off <= JOINT_MM);
            let Some((next, _)) = next else {
                return Err(OffsetError::Unclean { by_mm, at: end });
            };
            let part = parts.swap_remove(next);
            end = part.end();
            chain.push(part);
        }
        loops.push(Contour { pieces: chain });
    }
    loops.sort_by(|a, b| b.moments().area.total_cmp(&a.moments().area));
    let mut loops = loops.into_iter();
    let Some(outline) = loops.next() else {
        let at = Point::ZERO;
        return Err(OffsetError::Unclean { by_mm, at });
    };
    if let Some(other) = loops.find(|l| l.moments().area.abs() > SAME_POINT_MM) {
        let at = other.bounds().center();
        return Err(OffsetError::Closes { by_mm, at });
    }
    match outline_faults(&outline.pieces).first() {
        None => Ok(outline),
        Some(_) => Err(OffsetError::Unclean {
            by_mm,
            at: outline.bounds().center(),
        }),
    }
}

#[cfg(test)]
mod tests;
