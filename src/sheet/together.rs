//! Several sheets on as few pages as they fit on: knives, guards, handles and strips side by side at true size.
//!
//! Boxes go, the longest first, into the free rectangle of the first page with room that leaves the least beside its shorter side (J. Jylänki, "A
//! Thousand Ways to Pack the Bin", 2010, "maximal rectangles, best short side fit"). What is larger than a page gets pages of its own.

use super::font;
use super::model::{Anchor, Entity, Shape, Sheet};
use super::pages::{Page, PageError, PageOptions, Place, on_one_page, room, tiles};
use crate::geometry::{Motion, Point, Rect, Vec2};

/// Air between two drawings, mm.
const AIR_MM: f64 = 5.0;
/// Height of a name that a drawing does not bear itself, mm, and from line to line.
const NAME_MM: f64 = 2.4;
const PITCH_MM: f64 = 4.0;
/// Room for such a name, mm, however small the drawing is.
const LEAST_ROOM_MM: f64 = 50.0;
/// Rounding that still fits, mm.
const ROUNDING_MM: f64 = 1e-9;

/// Where a box lies: on which page, its lower left corner, and whether it is turned a quarter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    pub page: usize,
    pub at: Point,
    pub turned: bool,
}

/// The sheets laid together on pages; the paper lies upright or on its side, whichever needs fewer. Sheets larger than a page come first, over as many
/// pages as each takes.
///
/// # Errors
/// The paper is too small, a measure is none, or a sheet would take too many pages.
pub(super) fn together(sheets: &[&Sheet], options: &PageOptions) -> Result<Vec<Page>, PageError> {
    let named: Vec<Sheet> = sheets.iter().map(|sheet| named(sheet)).collect();
    let mut best: Option<Vec<Page>> = None;
    // Lying on its side comes first: knives are long, and a level drawing is easier to read.
    for on_its_side in [true, false] {
        let pages = laid(&named, options, on_its_side)?;
        if best.as_ref().is_none_or(|best| pages.len() < best.len()) {
            best = Some(pages);
        }
    }
    Ok(best.unwrap_or_default())
}

fn laid(
    sheets: &[Sheet],
    options: &PageOptions,
    on_its_side: bool,
) -> Result<Vec<Page>, PageError> {
    let room = room(options, on_its_side)?;
    let boxes: Vec<Rect> = sheets
        .iter()
        .map(|sheet| sheet.bounds().unwrap_or(Rect::ZERO))
        .collect();
    let sizes: Vec<(f64, f64)> = boxes.iter().map(|b| (b.width(), b.height())).collect();
    let spots = packed(&sizes, room);
    let mut pages = Vec::new();
    for (sheet, spot) in sheets.iter().zip(&spots) {
        if spot.is_none() {
            pages.extend(tiles(sheet, options)?);
        }
    }
    let of = spots.iter().flatten().map(|s| s.page + 1).max();
    for number in 1..=of.unwrap_or(0) {
        let here = sheets.iter().zip(&boxes).zip(&spots);
        let here = here.filter_map(|((sheet, bounds), spot)| {
            spot.filter(|spot| spot.page + 1 == number)
                .map(|spot| (sheet, *bounds, spot))
        });
        let place = Place {
            number,
            of: of.unwrap_or(number),
        };
        let area = Rect::new(0.0, 0.0, room.0, room.1);
        pages.push(on_one_page(
            &one_page(here),
            area,
            options,
            on_its_side,
            place,
        )?);
    }
    Ok(pages)
}

/// What lies on one page as one sheet.
fn one_page<'a>(here: impl Iterator<Item = (&'a Sheet, Rect, Spot)>) -> Sheet {
    let mut page = Sheet::default();
    let mut names: Vec<&str> = Vec::new();
    for (sheet, bounds, spot) in here {
        // Turned counterclockwise, the lower left corner of the box is what was its upper left.
        let (turn_rad, corner) = if spot.turned {
            (
                std::f64::consts::FRAC_PI_2,
                Vec2::new(-bounds.y1, bounds.x0),
            )
        } else {
            (0.0, Vec2::new(bounds.x0, bounds.y0))
        };
        let motion = Motion {
            mirrored: false,
            turn_rad,
            shift: spot.at.to_vec2() - corner,
        };
        page.entities
            .extend(sheet.entities.iter().map(|e| e.carried(&motion)));
        names.push(&sheet.name);
    }
    page.name = names.join(", ");
    page
}

/// The sheet with its name and note above it where it does not bear its name itself: on a page of its own the page tells.
fn named(sheet: &Sheet) -> Sheet {
    let mut own = sheet.clone();
    // A strip bears the knife's name above words that say what it is.
    let knife = sheet.name.split(": ").next().unwrap_or(&sheet.name);
    let says = |entity: &Entity| match &entity.shape {
        Shape::Text(text) => text.text == sheet.name || text.text == knife,
        _ => false,
    };
    let Some(bounds) = sheet.bounds() else {
        return own;
    };
    if own.entities.iter().any(says) {
        return own;
    }
    let words = if sheet.note.is_empty() {
        sheet.name.clone()
    } else {
        format!("{}, {}", sheet.name, sheet.note)
    };
    let lines = font::wrapped(&words, NAME_MM, bounds.width().max(LEAST_ROOM_MM));
    let mut y = bounds.y1 + 2.0;
    for line in lines.into_iter().rev() {
        let at = Point::new(bounds.x0, y);
        own.entities
            .push(Entity::label(at, NAME_MM, line, Anchor::Start));
        y += PITCH_MM;
    }
    own
}

/// A place for each box on pages of a size, with air between any two; `None` for one larger than a page.
pub(super) fn packed(sizes: &[(f64, f64)], room: (f64, f64)) -> Vec<Option<Spot>> {
    let mut order: Vec<usize> = (0..sizes.len()).collect();
    let longest = |i: &usize| sizes.get(*i).map_or(0.0, |(w, h)| w.max(*h));
    // A stable sort: equal ones stay in their order, so that the same set gives the same pages.
    order.sort_by(|a, b| longest(b).total_cmp(&longest(a)));
    // Air goes along at the right and above; the last row's may reach over the edge.
    let whole = Rect::new(0.0, 0.0, room.0 + AIR_MM, room.1 + AIR_MM);
    let mut pages: Vec<Vec<Rect>> = Vec::new();
    let mut spots = vec![None; sizes.len()];
    for i in order {
        let Some((w, h)) = sizes.get(i).map(|(w, h)| (w + AIR_MM, h + AIR_MM)) else {
            continue;
        };
        let there = pages
            .iter()
            .enumerate()
            .find_map(|(page, free)| best_in(free, w, h).map(|best| (page, best)));
        let found = there.or_else(|| {
            let best = best_in(&[whole], w, h)?;
            pages.push(vec![whole]);
            Some((pages.len() - 1, best))
        });
        if let (Some((page, (at, turned))), Some(spot)) = (found, spots.get_mut(i)) {
            let size = if turned { (h, w) } else { (w, h) };
            if let Some(free) = pages.get_mut(page) {
                take(free, Rect::from_origin_size(at, size));
            }
            *spot = Some(Spot { page, at, turned });
        }
    }
    spots
}

/// The corner of the free rectangle that leaves the least beside the shorter side of a box, and whether the box is turned there: only where it does not
/// fit level, so that most of a page is read without turning it.
fn best_in(free: &[Rect], w: f64, h: f64) -> Option<(Point, bool)> {
    let best = |w: f64, h: f64| {
        free.iter()
            .map(|rect| (rect.width() - w, rect.height() - h, rect.origin()))
            .filter(|(dx, dy, _)| *dx >= -ROUNDING_MM && *dy >= -ROUNDING_MM)
            .min_by(|a, b| a.0.min(a.1).total_cmp(&b.0.min(b.1)))
            .map(|(_, _, at)| at)
    };
    let level = best(w, h).map(|at| (at, false));
    level.or_else(|| best(h, w).map(|at| (at, true)))
}

/// Takes a box out of the free rectangles of a page; what is left are again the largest free ones, which overlap.
fn take(free: &mut Vec<Rect>, taken: Rect) {
    let mut left = Vec::new();
    for rect in free.drain(..) {
        let apart = rect.x1 <= taken.x0
            || taken.x1 <= rect.x0
            || rect.y1 <= taken.y0
            || taken.y1 <= rect.y0;
        if apart {
            left.push(rect);
            continue;
        }
        let sides = [
            Rect {
                x1: taken.x0,
                ..rect
            },
            Rect {
                x0: taken.x1,
                ..rect
            },
            Rect {
                y1: taken.y0,
                ..rect
            },
            Rect {
                y0: taken.y1,
                ..rect
            },
        ];
        left.extend(
            sides
                .into_iter()
                .filter(|s| s.x1 - s.x0 > ROUNDING_MM && s.y1 - s.y0 > ROUNDING_MM),
        );
    }
    for (i, rect) in left.iter().enumerate() {
        let within = left.iter().enumerate().any(|(j, other)| {
            // Of two equal ones the first stays.
            j != i && other.contains_rect(*rect) && (j < i || !rect.contains_rect(*other))
        });
        if !within {
            free.push(*rect);
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::geometry::Contour;
    use crate::knife::orchard_set;
    use crate::sheet::{Role, TemplateOptions, template};

    fn placed(sizes: &[(f64, f64)], spots: &[Option<Spot>]) -> Vec<(usize, Rect)> {
        let placed = sizes.iter().zip(spots).filter_map(|((w, h), spot)| {
            let spot = (*spot)?;
            let size = if spot.turned { (*h, *w) } else { (*w, *h) };
            Some((spot.page, Rect::from_origin_size(spot.at, size)))
        });
        placed.collect()
    }

    /// Six boxes of 100 × 50 fill 205 × 160 to the last millimeter, air between; a seventh needs another page.
    #[test]
    fn boxes_fill_a_page_to_its_edge() {
        let sizes = vec![(100.0, 50.0); 6];
        let pages = |sizes: &[(f64, f64)]| {
            let spots = packed(sizes, (205.0, 160.0));
            assert!(spots.iter().all(Option::is_some));
            spots.iter().flatten().map(|s| s.page + 1).max()
        };
        assert_eq!(pages(&sizes), Some(1));
        assert_eq!(pages(&[sizes, vec![(50.0, 100.0)]].concat()), Some(2));
        // One too long lies turned, one larger than the page nowhere.
        let spots = packed(&[(20.0, 200.0), (206.0, 161.0)], (205.0, 160.0));
        assert!(spots[0].is_some_and(|s| s.turned) && spots[1].is_none());
    }

    proptest! {
        #[test]
        fn no_box_comes_near_another_or_over_the_edge(
            sizes in prop::collection::vec((5.0..250.0_f64, 3.0..150.0_f64), 1..40)
        ) {
            let room = (268.0, 180.0);
            let spots = packed(&sizes, room);
            for ((w, h), spot) in sizes.iter().zip(&spots) {
                let fits = (*w <= room.0 && *h <= room.1) || (*h <= room.0 && *w <= room.1);
                prop_assert_eq!(spot.is_some(), fits);
            }
            let all = placed(&sizes, &spots);
            let page = Rect::new(0.0, 0.0, room.0, room.1).inflate(1e-6, 1e-6);
            for (i, (on, a)) in all.iter().enumerate() {
                prop_assert!(page.contains_rect(*a));
                for (other, b) in &all[i + 1..] {
                    let gap = |a0: f64, a1: f64, b0: f64, b1: f64| (b0 - a1).max(a0 - b1);
                    let apart = gap(a.x0, a.x1, b.x0, b.x1).max(gap(a.y0, a.y1, b.y0, b.y1));
                    prop_assert!(on != other || apart >= AIR_MM - 1e-6, "{:?} {:?}", a, b);
                }
            }
        }
    }

    /// Every line of every knife stands on the pages at its true size, and they are fewer than one after the other.
    #[test]
    fn small_knives_share_a_page() {
        let set = orchard_set();
        let drawn: Vec<Sheet> = set
            .knives
            .iter()
            .map(|knife| template(knife, &set, &TemplateOptions::default()).expect("sound"))
            .collect();
        let options = PageOptions::default();
        let apart: usize = drawn
            .iter()
            .map(|sheet| tiles(sheet, &options).expect("they fit").len())
            .sum();
        let sheets: Vec<&Sheet> = drawn.iter().collect();
        let pages = together(&sheets, &options).expect("they fit");
        assert!(pages.len() < apart, "{} of {apart}", pages.len());
        for (knife, sheet) in set.knives.iter().zip(&drawn).skip(1) {
            let area = knife.contour().moments().area;
            let found = pages.iter().any(|page| {
                let holds = |e: &Entity| match &e.shape {
                    Shape::Contour(c) => {
                        (Contour::moments(c).area - area).abs() < 1e-6
                            && page.window.contains_rect(c.bounds())
                    }
                    _ => false,
                };
                page.drawing.iter().any(holds)
            });
            assert!(found, "{}", sheet.name);
        }
        assert_eq!(together(&[], &options), Ok(Vec::new()));
        assert_eq!(together(&sheets, &options), Ok(pages));
    }

    #[test]
    fn what_bears_no_name_gets_one() {
        let bare = Sheet {
            name: "Knife: guard".to_owned(),
            note: "stock 5.0 mm brass".to_owned(),
            entities: vec![Entity::new(
                Role::Cut,
                Shape::Contour(Contour::circle(Point::ORIGIN, 10.0)),
            )],
        };
        let texts = |sheet: &Sheet| -> Vec<String> {
            let texts = sheet.entities.iter().filter_map(|e| match &e.shape {
                Shape::Text(text) => Some(text.text.clone()),
                _ => None,
            });
            texts.collect()
        };
        let with = named(&bare);
        assert_eq!(texts(&with), ["Knife: guard, stock 5.0 mm brass"]);
        assert!(with.bounds().is_some_and(|b| b.y1 > 12.0));
        let mut own = bare;
        own.entities
            .push(Entity::label(Point::ORIGIN, 3.0, "Knife", Anchor::Start));
        assert_eq!(named(&own), own);
    }
}
