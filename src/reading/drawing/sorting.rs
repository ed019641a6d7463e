//! Which closed contour is the outline, which ones are cut-outs, and what is neither.

use std::cell::OnceCell;

use kurbo::{Point, Rect};

use super::contour::{Chain, area};
use super::error::ImportError;
use super::imported::{LeftOut, OpeningShape};
use super::recognizing::shape_of;
use crate::geometry::{Piece, SpanIndex};
use crate::knife::{MOST_CUT_OUTS, MOST_NODES, SMALLEST_MM};

/// Two contours with boxes this near and areas within a thousandth are one drawn twice, mm.
const SAME_BOX_MM: f64 = 0.05;

/// Contours by what they are.
#[derive(Debug)]
pub(super) struct Sorted {
    /// The outline of the steel, sealed, counterclockwise.
    pub outline: Vec<Piece>,
    /// The cut-outs, largest first.
    pub openings: Vec<OpeningShape>,
}

/// A closed contour with what is asked of it.
struct Closed {
    drawn: Chain,
    sealed: Vec<Piece>,
    area: f64,
    bounds: Rect,
}

/// Sorts the contours; open chains and contours that are no cut-outs are told in `left_out`.
pub(super) fn sort(
    closed: Vec<Chain>,
    open: Vec<Chain>,
    left_out: &mut Vec<LeftOut>,
    coarse: bool,
) -> Result<Sorted, ImportError> {
    let mut all: Vec<Closed> = closed
        .into_iter()
        .map(|drawn| {
            let sealed = drawn.sealed();
            Closed {
                area: area(&sealed),
                bounds: drawn.bounds(),
                sealed,
                drawn,
            }
        })
        .collect();
    all.sort_by(|a, b| b.area.total_cmp(&a.area));
    let mut all = all.into_iter();
    let Some(outline) = all.next().filter(|outline| outline.area > 0.0) else {
        let gap_mm = open.iter().map(Chain::gap).reduce(f64::min);
        return Err(ImportError::NoOutline {
            open: open.len(),
            gap_mm,
        });
    };
    if outline.sealed.len() > MOST_NODES {
        return Err(ImportError::TooManyNodes {
            what: "the outline".to_owned(),
            nodes: outline.sealed.len(),
        });
    }
    let openings = openings(&outline, all, left_out, coarse)?;
    for chain in open {
        let one = LeftOut::boxed(
            "an open line".to_owned(),
            format!("its ends are {:.2} mm apart", chain.gap()),
            1,
            chain.bounds(),
        );
        left_out.push(one.drawn(chain.pieces));
    }
    Ok(Sorted {
        outline: outline.sealed,
        openings,
    })
}

fn openings(
    outline: &Closed,
    others: impl Iterator<Item = Closed>,
    left_out: &mut Vec<LeftOut>,
    coarse: bool,
) -> Result<Vec<OpeningShape>, ImportError> {
    let steel = SpanIndex::new(&outline.sealed);
    let mut inside: Vec<Closed> = Vec::new();
    let mut leave = |closed: &Closed, why: &str| {
        let one = LeftOut::boxed(
            "a closed shape".to_owned(),
            why.to_owned(),
            1,
            closed.bounds,
        );
        left_out.push(one.drawn(closed.sealed.clone()));
    };
    for other in others {
        if is_same(outline, &other) {
            leave(&other, "it is the outline over again");
        } else if other.bounds.width().min(other.bounds.height()) < SMALLEST_MM {
            leave(&other, "it is too small to be cut");
        } else if !overlap(outline.bounds, other.bounds) {
            leave(&other, "it lies outside the outline");
        } else {
            inside.push(other);
        }
    }
    if inside.len() > MOST_CUT_OUTS {
        return Err(ImportError::TooManyCutOuts {
            cut_outs: inside.len(),
        });
    }
    let mut kept: Vec<(Closed, OnceCell<SpanIndex>)> = Vec::new();
    // What each one kept is, unless it is a free shape.
    let mut known = Vec::new();
    for other in inside {
        let places = some_places(&other.sealed);
        let within = places.iter().filter(|p| steel.contains(**p)).count();
        if within == 0 {
            leave(&other, "it lies outside the outline");
            continue;
        }
        // What reaches beyond the box of the outline crosses it somewhere, wherever its nodes lie.
        let room = outline.bounds.inflate(SAME_BOX_MM, SAME_BOX_MM);
        if within < places.len() || !room.contains_rect(other.bounds) {
            leave(&other, "it crosses the outline");
            continue;
        }
        let holds = |(outer, index): &(Closed, OnceCell<SpanIndex>)| {
            outer.bounds.contains_rect(other.bounds)
                && places.first().is_some_and(|p| {
                    let index = index.get_or_init(|| SpanIndex::new(&outer.sealed));
                    index.contains(*p)
                })
        };
        if kept.iter().any(|(outer, _)| is_same(outer, &other)) {
            leave(&other, "it is a cut-out over again");
            continue;
        }
        if kept.iter().any(holds) {
            leave(&other, "it lies inside a cut-out");
            continue;
        }
        known.push(shape_of(&other.drawn.pieces, coarse));
        kept.push((other, OnceCell::new()));
    }
    let free = |closed: Closed| OpeningShape::Free {
        pieces: closed.sealed,
    };
    let found = kept.into_iter().zip(known);
    Ok(found
        .map(|((closed, _), known)| known.unwrap_or_else(|| free(closed)))
        .collect())
}

/// Up to four starts of pieces, spread over the contour.
fn some_places(pieces: &[Piece]) -> Vec<Point> {
    let step = (pieces.len() / 4).max(1);
    let starts = pieces.iter().step_by(step).map(Piece::start);
    starts.take(4).collect()
}

fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}

fn is_same(a: &Closed, b: &Closed) -> bool {
    let near = |p: f64, q: f64| (p - q).abs() <= SAME_BOX_MM;
    near(a.bounds.x0, b.bounds.x0)
        && near(a.bounds.x1, b.bounds.x1)
        && near(a.bounds.y0, b.bounds.y0)
        && near(a.bounds.y1, b.bounds.y1)
        && (a.area - b.area).abs() <= 1e-3 * a.area
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Contour;

    fn rect(x0: f64, y0: f64, x1: f64, y1: f64) -> Chain {
        Chain {
            pieces: Contour::rounded_rect(Rect::new(x0, y0, x1, y1), 0.0).pieces,
        }
    }

    fn circle(x: f64, y: f64, d: f64) -> Chain {
        Chain {
            pieces: Contour::circle(Point::new(x, y), d / 2.0).pieces,
        }
    }

    #[test]
    fn each_contour_finds_its_place() {
        let closed = vec![
            circle(50.0, 10.0, 6.0),
            rect(0.0, 0.0, 100.0, 20.0),
            // The outline again, begun at another corner and a trifle off.
            rect(0.01, 0.0, 100.0, 20.0),
            circle(50.0, 10.0, 2.0),
            circle(300.0, 10.0, 8.0),
            circle(100.0, 10.0, 3.0),
            rect(10.0, 5.0, 20.0, 15.0),
            circle(50.0, 10.01, 6.0),
        ];
        let open = [Chain {
            pieces: vec![Piece::line(Point::new(1.0, 1.0), Point::new(4.0, 5.0))],
        }];
        let mut left_out = Vec::new();
        let sorted = sort(closed, open.into(), &mut left_out, false).expect("an outline");
        assert!(
            (Contour {
                pieces: sorted.outline
            }
            .moments()
            .area
                - 2000.0)
                .abs()
                < 1.0
        );
        assert_eq!(sorted.openings.len(), 2);
        assert!(matches!(sorted.openings[0], OpeningShape::Free { .. }));
        assert!(
            matches!(sorted.openings[1], OpeningShape::Round { diameter_mm, .. } if diameter_mm == 6.0)
        );
        let why: Vec<&str> = left_out.iter().map(|one| one.why.as_str()).collect();
        assert_eq!(
            why,
            [
                "it is the outline over again",
                "it lies outside the outline",
                "it is a cut-out over again",
                "it crosses the outline",
                "it lies inside a cut-out",
                "its ends are 5.00 mm apart",
            ]
        );
    }

    #[test]
    fn without_a_closed_contour_the_nearest_gap_is_told() {
        let open = [Chain {
            pieces: vec![Piece::line(Point::ZERO, Point::new(3.0, 4.0))],
        }];
        let error = sort(Vec::new(), open.into(), &mut Vec::new(), false).unwrap_err();
        assert_eq!(
            error,
            ImportError::NoOutline {
                open: 1,
                gap_mm: Some(5.0)
            }
        );
    }
}
