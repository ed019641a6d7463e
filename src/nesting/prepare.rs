//! A problem checked and made ready for the search.

use crate::geometry::{Contour, Motion, Point, Rect, Vec2};

use super::convex::convex_parts;
use super::cover::{Cover, cover, outside_parts};
use super::layout::Item;
use super::problem::{
    Blank, LONGEST_BAR_MM, LeftOver, MOST_BLANKS, MOST_FLAWS, MOST_KINDS, MOST_TURNS, Nest,
    NestError, NestOptions, Placed, Stock, WIDEST_GAP_MM,
};
use super::table::{Shape, Table};

/// The least width of a bar, mm.
const LEAST_MM: f64 = 0.1;

/// One turn of a blank.
#[derive(Clone, Copy, Debug)]
struct Turned {
    blank: usize,
    /// Without shift.
    motion: Motion,
}

/// A problem ready to be searched, without its shapes.
#[derive(Debug)]
pub(super) struct Ready {
    /// Box of each shape about its own origin.
    bounds: Vec<Rect>,
    /// What stands fast.
    pub fixed: Vec<Item>,
    /// Area of each blank's outline, mm².
    pub areas: Vec<f64>,
    /// How many of each.
    pub counts: Vec<usize>,
    turned: Vec<Turned>,
    /// Origin of each blank's shapes in its own coordinates.
    origins: Vec<Point>,
    edge_mm: f64,
    /// The bar's width, or none for an odd piece.
    pub width_mm: Option<f64>,
    /// Area of an odd piece less its flaws, mm².
    stock_area: f64,
}

/// The shapes of a problem and which of them are turns of which blank.
#[derive(Debug)]
pub(super) struct Shapes {
    /// All of them, and the room.
    pub table: Table,
    /// Those of each blank.
    pub turns: Vec<Vec<usize>>,
}

/// Checks everything and makes the shapes.
pub(super) fn ready(
    blanks: &[Blank],
    stock: &Stock,
    options: &NestOptions,
) -> Result<(Ready, Shapes), NestError> {
    check_counts(blanks)?;
    check_size("the gap", options.gap_mm, 0.0, WIDEST_GAP_MM)?;
    check_size("the edge margin", options.edge_mm, 0.0, WIDEST_GAP_MM)?;
    let mut shapes = Vec::new();
    let mut turned = Vec::new();
    let mut turns = Vec::new();
    let mut origins = Vec::new();
    let mut areas = Vec::new();
    for (i, blank) in blanks.iter().enumerate() {
        let cover = covered(&blank.outline, "blank", i)?;
        let parts = convex_parts(&cover.corners);
        let origin = blank.outline.bounds().center();
        let motions = motions(blank, i)?;
        turns.push((shapes.len()..shapes.len() + motions.len()).collect());
        for motion in motions {
            shapes.push(Shape::of_blank(
                &blank.outline,
                &cover,
                &parts,
                origin,
                &motion,
            ));
            turned.push(Turned { blank: i, motion });
        }
        origins.push(origin);
        areas.push(blank.outline.moments().area.abs());
    }
    let (room, fixed_shapes, width_mm, stock_area) = stock_of(stock, options.edge_mm)?;
    let fixed = (shapes.len()..shapes.len() + fixed_shapes.len())
        .map(|shape| Item {
            blank: usize::MAX,
            shape,
            at: Point::ORIGIN,
        })
        .collect();
    shapes.extend(fixed_shapes);
    let ready = Ready {
        bounds: shapes.iter().map(|shape| shape.bounds).collect(),
        fixed,
        areas,
        counts: blanks.iter().map(|b| b.count).collect(),
        turned,
        origins,
        edge_mm: options.edge_mm,
        width_mm,
        stock_area,
    };
    let table = Table::new(shapes, options.gap_mm, room);
    Ok((ready, Shapes { table, turns }))
}

fn check_counts(blanks: &[Blank]) -> Result<(), NestError> {
    let count = blanks
        .iter()
        .fold(0, |n: usize, b| n.saturating_add(b.count));
    let too_many = |what, count, most| Err(NestError::TooMany { what, count, most });
    if count == 0 {
        Err(NestError::Nothing)
    } else if blanks.len() > MOST_KINDS {
        too_many("kinds of blanks", blanks.len(), MOST_KINDS)
    } else if count > MOST_BLANKS {
        too_many("blanks", count, MOST_BLANKS)
    } else {
        Ok(())
    }
}

fn check_size(what: &'static str, mm: f64, least: f64, most: f64) -> Result<(), NestError> {
    if (least..=most).contains(&mm) {
        Ok(())
    } else {
        Err(NestError::Size {
            what,
            mm,
            least,
            most,
        })
    }
}

fn covered(outline: &Contour, what: &'static str, index: usize) -> Result<Cover, NestError> {
    let covered = cover(outline).map_err(|fault| match fault {
        Some(fault) => NestError::Outline { what, index, fault },
        None => NestError::TooFine { what, index },
    })?;
    let size = outline.bounds();
    check_size(what, size.width().max(size.height()), 0.0, LONGEST_BAR_MM)?;
    Ok(covered)
}

/// The turns of a blank, plain ones first.
fn motions(blank: &Blank, index: usize) -> Result<Vec<Motion>, NestError> {
    let angles = blank.turns.angles();
    if angles.is_empty() || angles.iter().any(|a| !a.is_finite()) {
        return Err(NestError::Turn { blank: index });
    }
    if angles.len() > MOST_TURNS {
        return Err(NestError::TooMany {
            what: "turns",
            count: angles.len(),
            most: MOST_TURNS,
        });
    }
    let faces: &[bool] = if blank.mirror {
        &[false, true]
    } else {
        &[false]
    };
    Ok(faces
        .iter()
        .flat_map(|mirrored| {
            angles.iter().map(|turn_rad| Motion {
                mirrored: *mirrored,
                turn_rad: *turn_rad,
                shift: Vec2::ZERO,
            })
        })
        .collect())
}

type StockParts = (Rect, Vec<Shape>, Option<f64>, f64);

/// Room, what stands fast, the width of a bar, the area of an odd piece.
fn stock_of(stock: &Stock, edge_mm: f64) -> Result<StockParts, NestError> {
    match stock {
        Stock::Bar {
            width_mm,
            length_mm,
        } => {
            check_size("the width of the bar", *width_mm, LEAST_MM, LONGEST_BAR_MM)?;
            check_size(
                "the length of the bar",
                *length_mm,
                LEAST_MM,
                LONGEST_BAR_MM,
            )?;
            let room = Rect {
                x0: edge_mm,
                y0: edge_mm,
                x1: length_mm - edge_mm,
                y1: width_mm - edge_mm,
            };
            Ok((room, Vec::new(), Some(*width_mm), 0.0))
        }
        Stock::Odd { outline, flaws } => {
            if flaws.len() > MOST_FLAWS {
                return Err(NestError::TooMany {
                    what: "flaws",
                    count: flaws.len(),
                    most: MOST_FLAWS,
                });
            }
            let around = covered(outline, "the stock", 0)?;
            let mut area = outline.moments().area.abs();
            let outside = outside_parts(&around.corners);
            let mut fixed = vec![Shape::fixed(outside, around.tolerance_mm, edge_mm)];
            for (i, flaw) in flaws.iter().enumerate() {
                let cover = covered(flaw, "flaw", i)?;
                let parts = convex_parts(&cover.corners);
                fixed.push(Shape::fixed(parts, cover.tolerance_mm, edge_mm));
                area -= flaw.moments().area.abs();
            }
            let b = outline.bounds();
            let room = Rect {
                x0: b.x0 + edge_mm,
                y0: b.y0 + edge_mm,
                x1: b.x1 - edge_mm,
                y1: b.y1 - edge_mm,
            };
            Ok((room, fixed, None, area))
        }
    }
}

impl Ready {
    /// How far a layout reaches along x, to the edges of its shapes.
    pub(super) fn reach(&self, items: &[Item]) -> f64 {
        items
            .iter()
            .filter_map(|item| Some(item.at.x + self.bounds.get(item.shape)?.x1))
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// Items as a nest.
    pub(super) fn nest(&self, items: &[Item], left_over: Vec<LeftOver>) -> Nest {
        let placed: Vec<Placed> = items
            .iter()
            .filter_map(|item| {
                let turned = self.turned.get(item.shape)?;
                let origin = self.origins.get(turned.blank)?;
                let shift = item.at.to_vec2() - turned.motion.apply_vec(origin.to_vec2());
                Some(Placed {
                    blank: turned.blank,
                    motion: Motion {
                        shift,
                        ..turned.motion
                    },
                })
            })
            .collect();
        let area: f64 = items
            .iter()
            .filter_map(|item| self.areas.get(item.blank))
            .sum();
        let used_length_mm = if items.is_empty() {
            0.0
        } else {
            self.reach(items) + self.edge_mm
        };
        let taken = self
            .width_mm
            .map_or(self.stock_area, |width| width * used_length_mm);
        Nest {
            placed,
            left_over,
            used_length_mm,
            density: if taken > 0.0 { area / taken } else { 0.0 },
        }
    }

    /// The order of all blanks, the largest first.
    pub(super) fn largest_first(&self) -> Vec<usize> {
        let mut kinds: Vec<usize> = (0..self.counts.len()).collect();
        let area = |i: &usize| self.areas.get(*i).copied().unwrap_or(0.0);
        kinds.sort_by(|a, b| area(b).total_cmp(&area(a)));
        kinds
            .into_iter()
            .flat_map(|i| std::iter::repeat_n(i, self.counts.get(i).copied().unwrap_or(0)))
            .collect()
    }
}
