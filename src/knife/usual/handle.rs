//! The handle that is usual on a tang: scales on a full one, a block around a hidden one, scales that go round a partial one.

use kurbo::{Point, Vec2};

use super::wrap;
use crate::knife::{
    Fixing, Glue, Handle, HandlePart, HandleStation, Joint, Knife, Node, Outline, PartKind, Tang,
    TangHole,
};

/// Thickness over all behind the front, in the palm and at the butt, mm: 16 to 25 are met. Common practice, no source.
const SWELL_MM: [f64; 3] = [17.0, 22.0, 19.0];
/// The same for small knives, whose steel is thin.
const SMALL_SWELL_MM: [f64; 3] = [12.0, 15.0, 13.5];
/// Knives whose bar is thinner than this are small, mm. Our own line.
const SMALL_BAR_MM: f64 = 3.0;
/// Where the palm is fullest, as a share of the way from front to butt.
const PALM_AT: f64 = 0.5;
/// Height of a block at its front, in the palm and at the butt, mm: 22 to 32 are met. Common practice, no source.
const BLOCK_HEIGHT_MM: [f64; 3] = [20.0, 25.0, 23.0];
/// The same for small knives.
const SMALL_BLOCK_HEIGHT_MM: [f64; 3] = [17.0, 21.0, 19.0];
/// A block reaches past the end of its tang by at least this, mm: end grain around the hole. Common practice, no source.
const PAST_TANG_MM: f64 = 12.0;
/// Least length of a block, mm: a palm with 15 to 20 mm to spare is 100 to 120. Common practice, no source.
const LEAST_BLOCK_MM: f64 = 100.0;
/// A rounding between an ellipse and a box: flat enough to stay put in the hand.
const ROUNDING: f64 = 2.6;
/// A film of glue on each face, and the gap around a burnt-in tang, mm. Common practice, no source.
const FILM_MM: f64 = 0.05;
const GAP_MM: f64 = 0.3;
/// Wood that a handle which goes round its tang keeps on all sides of it, mm: 3 to 6 are met. Common practice, no source.
pub const USUAL_WRAP_MM: f64 = 4.0;
/// Most that makes sense, mm: no hand closes round more.
const MOST_WRAP_MM: f64 = 60.0;

/// The handle that is usual on this tang, of one material (its key); glued with another. Ids are 0. `None` while no steel lies behind the shoulder
/// line.
#[must_use]
pub fn usual_handle(knife: &Knife, material: &str, glue: &str) -> Option<Handle> {
    let steel = knife.contour().index();
    let butt = steel.bounds().x0;
    let front = -knife.guard.as_ref().map_or(0.0, |guard| guard.thickness_mm);
    if butt >= front - 1.0 {
        return None;
    }
    let small = knife.stock.thickness_mm < SMALL_BAR_MM;
    let swell = if small { SMALL_SWELL_MM } else { SWELL_MM };
    let grip = HandlePart {
        id: 0,
        kind: PartKind::Grip,
        material: material.to_owned(),
        from_x_mm: front,
    };
    let (fixing, outline, back, gap_mm) = match knife.tang {
        Tang::Full(_) => (Fixing::Scales { liner: None }, None, butt, FILM_MM),
        Tang::Partial(_) => {
            let outline = wrap_round(knife, USUAL_WRAP_MM)?;
            let back = outline.contour().bounds().x0;
            (Fixing::Scales { liner: None }, Some(outline), back, FILM_MM)
        }
        Tang::Hidden(_) => {
            let back = back_of_block(butt, front);
            let heights = heights_mm(small);
            let (low, high) = steel.depth_at(f64::midpoint(butt, 0.0))?;
            let outline = block(front, back, f64::midpoint(low, high), heights);
            let hole = TangHole::BurntIn;
            (Fixing::Block { hole }, Some(outline), back, GAP_MM)
        }
    };
    let at = |share: f64| front + (back - front) * share;
    let places = [
        (at(1.0), swell[2]),
        (at(PALM_AT), swell[1]),
        (at(0.0), swell[0]),
    ];
    Some(Handle {
        fixing,
        outline,
        stations: places
            .map(|(x_mm, thickness_mm)| HandleStation { x_mm, thickness_mm })
            .to_vec(),
        rounding: ROUNDING,
        parts: vec![grip],
        glue: Some(Glue {
            material: glue.to_owned(),
            gap_mm,
        }),
    })
}

/// Where a handle that goes past the end of its tang ends, mm.
fn back_of_block(butt: f64, front: f64) -> f64 {
    (butt - PAST_TANG_MM).min(front - LEAST_BLOCK_MM)
}

fn heights_mm(small: bool) -> [f64; 3] {
    if small {
        SMALL_BLOCK_HEIGHT_MM
    } else {
        BLOCK_HEIGHT_MM
    }
}

/// The outline of a handle that goes round the tang: it stands out of the steel by at least `around_mm` above, below and behind, and is as high as
/// a handle usually is where the tang is lower. A tang that reaches to the end of the hand is followed; a shorter one is passed. Ids are 0. `None`
/// while no steel lies behind the shoulder line, or for a width that is none.
#[must_use]
pub fn wrap_round(knife: &Knife, around_mm: f64) -> Option<Outline> {
    let steel = knife.contour();
    let index = steel.index();
    let butt = index.bounds().x0;
    let front = -knife.guard.as_ref().map_or(0.0, |guard| guard.thickness_mm);
    if butt >= front - 1.0 || !(0.0..=MOST_WRAP_MM).contains(&around_mm) {
        return None;
    }
    let (back, heights) = match knife.tang {
        Tang::Full(_) => (butt - around_mm, [0.0; 3]),
        Tang::Hidden(_) | Tang::Partial(_) => (
            back_of_block(butt, front).min(butt - around_mm),
            heights_mm(knife.stock.thickness_mm < SMALL_BAR_MM),
        ),
    };
    wrap::outline(&steel, &index, (front, back), around_mm, heights)
}

/// The side view of a block: a swell between front and butt, the butt rounded. Counterclockwise from the lower front corner back.
fn block(front: f64, back: f64, middle: f64, heights: [f64; 3]) -> Outline {
    let [h_front, h_palm, h_butt] = heights.map(|h| h / 2.0);
    let palm = front + (back - front) * PALM_AT;
    let butt = back + h_butt * 0.6;
    let reach = (front - palm) / 3.0;
    let behind = (palm - butt) / 3.0;
    let round = 0.552 * h_butt;
    let node = |x: f64, y: f64, into: Option<(f64, f64)>, out: Option<(f64, f64)>| Node {
        id: 0,
        at: Point::new(x, middle + y),
        handle_in: into.map(Vec2::from),
        handle_out: out.map(Vec2::from),
        joint: if into.is_some() && out.is_some() {
            Joint::Smooth
        } else {
            Joint::Corner
        },
    };
    Outline {
        nodes: vec![
            node(front, h_front, None, Some((-reach, 0.0))),
            node(palm, h_palm, Some((reach, 0.0)), Some((-behind, 0.0))),
            node(
                butt,
                h_butt,
                Some((behind, 0.0)),
                Some((-0.552 * (butt - back), 0.0)),
            ),
            node(back, 0.0, Some((0.0, round)), Some((0.0, -round))),
            node(
                butt,
                -h_butt,
                Some((-0.552 * (butt - back), 0.0)),
                Some((behind, 0.0)),
            ),
            node(palm, -h_palm, Some((-behind, 0.0)), Some((reach, 0.0))),
            node(front, -h_front, Some((-reach, 0.0)), None),
        ],
    }
}
