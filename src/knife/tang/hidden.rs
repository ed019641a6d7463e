//! The hidden tang: shoulders with round inside corners, sides that taper straight, and an end.

use kurbo::{Point, Vec2};

use super::{HiddenTang, TangEnd, TangError, drop_doubles, finite, positive, push};
use crate::knife::{Knife, Spot};

/// Rounds of the search for the taper of a tang with a round end. The taper and the round's start depend on each other; each round
/// shrinks the error by the ratio of end width to length, so far fewer are used up by any real tang.
const TAPER_ROUNDS: u32 = 60;

/// Handle length of a circular arc of radius 1 that turns through an angle of the given sine and cosine, drawn as one cubic: `4/3·tan(angle/4)`
/// (M. Goldapp, "Approximation of circular arcs by cubic polynomials", CAGD 8 (1991)); the tangent by halving the angle twice.
fn arc_handle(sin: f64, cos: f64) -> f64 {
    let half = sin / (1.0 + cos);
    4.0 / 3.0 * half / (1.0 + (1.0 + half * half).sqrt())
}

/// Measures of the upper half about the tang's middle line; the lower half is its mirror. Square roots only, no sines: their last
/// digits differ between platforms, and the same numbers must give the same tang on all of them.
struct Half {
    /// Direction of the side from the shoulder back.
    side: Vec2,
    /// Height of the rounding's center, which is where the rounding leaves the shoulder face.
    face: f64,
    /// Where the rounding ends and the side begins.
    root: Point,
    /// Where the side ends and the end begins.
    tail: Point,
}

fn half(tang: &HiddenTang, r: f64) -> Half {
    let (root, tail, back) = (
        tang.shoulder_width_mm / 2.0,
        tang.end_width_mm / 2.0,
        -tang.length_mm,
    );
    // The side goes through (-r, root) and (tail_x, tail).
    let side_to = |tail_x: f64| {
        let (run, rise) = (tail_x + r, tail - root);
        Vec2::new(run, rise) / (run * run + rise * rise).sqrt()
    };
    let (tail_x, side) = match tang.end {
        TangEnd::Square => (back, side_to(back)),
        TangEnd::Pointed => (back + tail, side_to(back + tail)),
        TangEnd::Round => {
            // A circle of radius tail/cos(lean) about the middle line touches the side where it is `tail` wide.
            let begin = |side: Vec2| back + tail * (1.0 + side.y) / -side.x;
            let mut side = Vec2::new(-1.0, 0.0);
            for _ in 0..TAPER_ROUNDS {
                side = side_to(begin(side));
            }
            (begin(side), side)
        }
    };
    let face = root - r / side.x;
    Half {
        side,
        face,
        root: Point::new(-r * (1.0 + side.y), face + r * side.x),
        tail: Point::new(tail_x, tail),
    }
}

/// Appends a hidden tang behind the last node, which is the upper shoulder; the first node is the lower one. Gives the butt's spot.
pub(super) fn grow(
    knife: &mut Knife,
    tang: HiddenTang,
    top: Point,
    bottom: Point,
) -> Result<Spot, TangError> {
    positive(tang.length_mm, "the tang's length")?;
    positive(tang.shoulder_width_mm, "the width at the shoulder")?;
    positive(tang.end_width_mm, "the width at the end")?;
    finite(tang.shoulder_radius_mm, "the shoulder radius")?;
    let r = tang.shoulder_radius_mm.max(0.0);
    let end_run = match tang.end {
        TangEnd::Square => 0.0,
        TangEnd::Round | TangEnd::Pointed => tang.end_width_mm / 2.0,
    };
    if r + end_run >= tang.length_mm {
        return Err(TangError::TooShort {
            length_mm: tang.length_mm,
        });
    }
    let half = half(&tang, r);
    if half.root.x <= half.tail.x {
        return Err(TangError::TooShort {
            length_mm: tang.length_mm,
        });
    }
    let (shoulder_mm, needed_mm) = (top.y - bottom.y, 2.0 * half.face);
    if needed_mm > shoulder_mm + crate::geometry::SAME_POINT_MM {
        return Err(TangError::ShoulderTooLow {
            shoulder_mm,
            needed_mm,
        });
    }
    let middle = f64::midpoint(top.y, bottom.y);
    // The rounding and the round end both turn from the upright to the side.
    let side = half.side;
    let turn = arc_handle(-side.x, -side.y);
    let rounding = turn * r;
    let cap_handle = turn * half.tail.y / -side.x;

    // Upper half, from the shoulder back.
    let mut steps: Vec<(Point, Option<Vec2>, Option<Vec2>)> = Vec::new();
    if r > 0.0 {
        let face = Point::new(0.0, half.face);
        steps.push((face, None, Some(Vec2::new(0.0, -rounding))));
        steps.push((half.root, Some(-side * rounding), None));
    } else {
        steps.push((half.root, None, None));
    }
    let out = (tang.end == TangEnd::Round).then_some(side * cap_handle);
    steps.push((half.tail, None, out));

    for (at, into, out) in &steps {
        push(knife, Point::new(at.x, middle + at.y), *into, *out);
    }
    let rear = Point::new(-tang.length_mm, middle);
    let butt = match tang.end {
        // The square end is one straight piece; its middle is the butt.
        TangEnd::Square => knife
            .outline
            .nodes
            .last()
            .map(|n| Spot { node: n.id, t: 0.5 }),
        TangEnd::Round => {
            let up = Vec2::new(0.0, cap_handle);
            let node = push(knife, rear, Some(up), Some(-up));
            Some(Spot { node, t: 0.0 })
        }
        TangEnd::Pointed => {
            let node = push(knife, rear, None, None);
            Some(Spot { node, t: 0.0 })
        }
    };
    // Lower half: the mirror image, run the other way, so incoming and outgoing change places.
    let mirrored = |v: Option<Vec2>| v.map(|v| Vec2::new(v.x, -v.y));
    for (at, into, out) in steps.iter().rev() {
        let at = Point::new(at.x, middle - at.y);
        push(knife, at, mirrored(*out), mirrored(*into));
    }
    // A tang as wide as the shoulder leaves no face: drop a node that would stand on the shoulder itself.
    drop_doubles(knife, top, bottom);
    butt.ok_or(TangError::TooShort {
        length_mm: tang.length_mm,
    })
}
