use std::collections::BTreeMap;

use proptest::prelude::*;

use super::super::bench::{chopper, paring, set};
use super::super::model::{Anchor, Role, Shape, Text};
use super::super::{TemplateOptions, template};
use super::*;
use crate::catalog::{paper, papers};

fn on(key: &str) -> PageOptions {
    PageOptions::on(paper(key).expect("a known paper"))
}

/// A sheet that fills a box: its two diagonals.
fn filling(bounds: Rect) -> Sheet {
    let diagonal =
        |from: (f64, f64), to: (f64, f64)| Entity::line(Role::Cut, from.into(), to.into());
    Sheet {
        name: "test".to_owned(),
        note: String::new(),
        entities: vec![
            diagonal((bounds.x0, bounds.y0), (bounds.x1, bounds.y1)),
            diagonal((bounds.x0, bounds.y1), (bounds.x1, bounds.y0)),
        ],
    }
}

fn words(page: &Page) -> Vec<&Text> {
    page.marks
        .iter()
        .filter_map(|entity| match &entity.shape {
            Shape::Text(text) => Some(text),
            _ => None,
        })
        .collect()
}

/// Straight single lines among the marks, as start and end.
fn lines(page: &Page) -> Vec<(Point, Point)> {
    page.marks
        .iter()
        .filter_map(|entity| match &entity.shape {
            Shape::Open(pieces) if pieces.len() == 1 => {
                pieces.first().map(|p| (p.start(), p.end()))
            }
            _ => None,
        })
        .collect()
}

#[test]
fn every_page_has_exact_bars_on_both_axes() {
    let knife = chopper();
    let set = set(vec![knife.clone()]);
    let sheet = template(&knife, &set, &TemplateOptions::default()).expect("a sound knife");
    for size in papers() {
        let pages = tiles(&sheet, &PageOptions::on(size)).expect(&size.key);
        for page in &pages {
            // 4 in are 101.6 mm (the inch of 1959 is 25.4 mm).
            for length in [100.0, 101.6] {
                let of_length: Vec<_> = lines(page)
                    .into_iter()
                    .filter(|(a, b)| (a.distance(*b) - length).abs() < 1e-9)
                    .collect();
                let level = of_length.iter().filter(|(a, b)| a.y == b.y).count();
                let upright = of_length.iter().filter(|(a, b)| a.x == b.x).count();
                assert_eq!((level, upright), (1, 1), "{} {length}", size.key);
            }
        }
    }
}

#[test]
fn nothing_stands_in_the_printers_margin() {
    let knife = chopper();
    let set = set(vec![knife.clone()]);
    let sheet = template(&knife, &set, &TemplateOptions::default()).expect("a sound knife");
    for size in papers() {
        for (correction_x, correction_y) in [(1.0, 1.0), (1.02, 0.97)] {
            let options = PageOptions {
                correction_x,
                correction_y,
                ..PageOptions::on(size)
            };
            for page in tiles(&sheet, &options).expect(&size.key) {
                let inner = Rect::new(
                    options.margin_mm,
                    options.margin_mm,
                    page.width_mm - options.margin_mm,
                    page.height_mm - options.margin_mm,
                )
                .inflate(1e-6, 1e-6);
                for mark in &page.marks {
                    let b = mark.shape.bounds().expect("a mark has a place");
                    // As the file has it: corrected.
                    let b = Rect::new(
                        b.x0 * page.scale_x,
                        b.y0 * page.scale_y,
                        b.x1 * page.scale_x,
                        b.y1 * page.scale_y,
                    );
                    assert!(inner.contains_rect(b), "{}: {mark:?}", size.key);
                }
            }
        }
    }
}

#[test]
fn words_bars_and_window_keep_apart() {
    let knife = paring();
    let set = set(vec![knife.clone()]);
    let sheet = template(&knife, &set, &TemplateOptions::default()).expect("a sound knife");
    for size in papers() {
        for page in tiles(&sheet, &PageOptions::on(size)).expect(&size.key) {
            let mut boxes: Vec<Rect> = words(&page)
                .iter()
                .map(|text| Shape::Text((*text).clone()))
                .filter_map(|shape| shape.bounds())
                .collect();
            let join = |text: &&&Text| text.text.starts_with("join ");
            assert_eq!(
                words(&page).iter().filter(join).count(),
                joins_expected(&page)
            );
            boxes.extend(
                lines(&page)
                    .into_iter()
                    .filter(|(a, b)| a.distance(*b) > 50.0)
                    .map(|(a, b)| Rect::from_points(a, b)),
            );
            for (i, a) in boxes.iter().enumerate() {
                for b in &boxes[i + 1..] {
                    let apart = a.x1 <= b.x0 || b.x1 <= a.x0 || a.y1 <= b.y0 || b.y1 <= a.y0;
                    assert!(apart, "{}: {a:?} {b:?}", size.key);
                }
            }
        }
    }
}

/// A page in a single row joins one neighbor at each inner side.
fn joins_expected(page: &Page) -> usize {
    usize::from(page.number > 1) + usize::from(page.number < page.of)
}

#[test]
fn the_way_that_needs_fewest_pages_is_taken() {
    // 250 mm do not fit across an upright A4 (210 mm wide), but on its side.
    let long = filling(Rect::new(-100.0, 0.0, 150.0, 50.0));
    let pages = tiles(&long, &on("a4")).expect("fits");
    assert_eq!(pages.len(), 1);
    assert!(pages[0].width_mm > pages[0].height_mm);
    // A long knife: two A4 on their sides, one A3.
    let chopper = filling(Rect::new(-140.0, -40.0, 226.0, 40.0));
    assert_eq!(tiles(&chopper, &on("a4")).expect("fits").len(), 2);
    assert_eq!(tiles(&chopper, &on("a3")).expect("fits").len(), 1);
    assert_eq!(tiles(&chopper, &on("letter")).expect("fits").len(), 2);
}

#[test]
fn pages_are_named_in_reading_order_and_join_their_neighbors() {
    let big = filling(Rect::new(0.0, 0.0, 450.0, 300.0));
    let pages = tiles(&big, &on("a4")).expect("fits");
    assert_eq!(pages.len(), 4);
    let names: Vec<&str> = pages.iter().map(|page| page.name.as_str()).collect();
    assert_eq!(names, ["A", "B", "C", "D"]);
    let joins: Vec<Vec<String>> = pages
        .iter()
        .map(|page| {
            let mut joins: Vec<String> = words(page)
                .iter()
                .filter(|text| text.text.starts_with("join "))
                .map(|text| text.text.clone())
                .collect();
            joins.sort();
            joins
        })
        .collect();
    assert_eq!(
        joins,
        [
            ["join A–B", "join A–C"],
            ["join A–B", "join B–D"],
            ["join A–C", "join C–D"],
            ["join B–D", "join C–D"]
        ]
    );
    // A is left of B and above C: a place of the sheet lies farther left on B's paper, and higher on C's.
    let place = |i: usize| pages[i].place(Point::new(10.0, 10.0));
    assert!(place(1).x < place(0).x);
    assert!(place(2).y > place(0).y);
}

#[test]
fn join_lines_lie_at_one_place_of_the_drawing() {
    let big = filling(Rect::new(0.0, 0.0, 450.0, 300.0));
    let pages = tiles(&big, &on("a4")).expect("fits");
    let mut seams: BTreeMap<String, Vec<Point>> = BTreeMap::new();
    for page in &pages {
        // Diamonds: closed chains of four; where they are on the sheet.
        let centers = page.marks.iter().filter_map(|mark| match &mark.shape {
            Shape::Contour(contour) if contour.bounds().width() < 5.0 => {
                Some(contour.bounds().center())
            }
            _ => None,
        });
        for center in centers {
            let on_sheet = center - page.place(Point::ORIGIN).to_vec2();
            let key = format!("{:.6} {:.6}", on_sheet.x, on_sheet.y);
            seams.entry(key).or_default().push(on_sheet);
        }
    }
    // Four seams with two diamonds each, every one on exactly two pages.
    assert_eq!(seams.len(), 8);
    assert!(seams.values().all(|places| places.len() == 2), "{seams:?}");
}

#[test]
fn an_empty_sheet_is_one_page_with_bars() {
    let pages = tiles(&Sheet::default(), &PageOptions::default()).expect("fits");
    assert_eq!(pages.len(), 1);
    assert!(pages[0].drawing.is_empty());
    assert!(lines(&pages[0]).len() >= 4);
}

#[test]
fn bad_papers_and_measures_are_refused() {
    let sheet = filling(Rect::new(0.0, 0.0, 100.0, 20.0));
    let refused = |change: &dyn Fn(&mut PageOptions)| {
        let mut options = PageOptions::default();
        change(&mut options);
        tiles(&sheet, &options).expect_err("refused")
    };
    assert!(matches!(
        refused(&|o| o.paper_width_mm = 60.0),
        PageError::PaperTooSmall { .. }
    ));
    assert!(matches!(
        refused(&|o| o.margin_mm = 60.0),
        PageError::PaperTooSmall { .. }
    ));
    for wrong in [f64::NAN, f64::INFINITY, -1.0] {
        let bad = |change: &dyn Fn(&mut PageOptions)| {
            assert!(matches!(refused(change), PageError::BadMeasure { .. }));
        };
        bad(&|o| o.margin_mm = wrong);
        bad(&|o| o.overlap_mm = wrong);
        bad(&|o| o.paper_height_mm = wrong);
        bad(&|o| o.correction_x = wrong);
    }
    assert!(matches!(
        refused(&|o| o.correction_y = 2.0),
        PageError::BadMeasure { .. }
    ));
    let huge = filling(Rect::new(0.0, 0.0, 9000.0, 9000.0));
    assert_eq!(
        tiles(&huge, &PageOptions::default()),
        Err(PageError::TooManyPages)
    );
}

#[test]
fn the_correction_stays_with_its_side_of_the_paper() {
    let options = PageOptions {
        correction_x: 1.01,
        correction_y: 0.99,
        ..PageOptions::default()
    };
    let tall = tiles(&filling(Rect::new(0.0, 0.0, 10.0, 240.0)), &options).expect("fits");
    let upright = tall
        .iter()
        .find(|page| page.width_mm < page.height_mm)
        .expect("an upright page");
    assert_eq!((upright.scale_x, upright.scale_y), (1.01, 0.99));
    let wide = tiles(&filling(Rect::new(0.0, 0.0, 240.0, 10.0)), &options).expect("fits");
    assert_eq!((wide[0].scale_x, wide[0].scale_y), (0.99, 1.01));
    assert!(words(&wide[0]).iter().any(|text| {
        text.text
            .contains("corrected × 0.9900 level, × 1.0100 upright")
    }));
}

#[test]
fn long_names_stay_on_the_page() {
    let mut sheet = filling(Rect::new(0.0, 0.0, 100.0, 20.0));
    sheet.name = "a very long name & more ".repeat(100);
    sheet.note = "stock ".repeat(100);
    for size in papers() {
        for page in tiles(&sheet, &PageOptions::on(size)).expect(&size.key) {
            for text in words(&page) {
                let b = Shape::Text(text.clone()).bounds().expect("words");
                assert!(b.x1 <= page.width_mm - 10.0 + 1e-9, "{}", text.text);
            }
        }
    }
}

#[test]
fn page_names_go_on_after_z() {
    let names = [0, 25, 26, 51, 52, 701, 702].map(page_name);
    assert_eq!(names, ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
}

proptest! {
    #[test]
    fn every_place_is_shown_and_neighbors_overlap(
        x in -300.0..300.0, y in -100.0..100.0, width in 1.0..1500.0, height in 1.0..700.0,
        u in 0.0..1.0, v in 0.0..1.0, which in 0..3_usize, overlap_mm in 0.0..30.0
    ) {
        let bounds = Rect::new(x, y, x + width, y + height);
        let options = PageOptions { overlap_mm, ..on(["a4", "letter", "a3"][which]) };
        let pages = tiles(&filling(bounds), &options).expect("fits");
        let point = Point::new(x + u * width, y + v * height);
        let shown = pages.iter().filter(|page| page.window.contains(page.place(point))).count();
        prop_assert!(shown >= 1, "{point:?} is on no page");
        // Windows lie side by side in steps of their size less the overlap.
        let first = &pages[0];
        let origin = |page: &Page| page.window.origin() - page.place(Point::ORIGIN);
        for page in &pages {
            let d = origin(page) - origin(first);
            for (off, size) in [(d.x, first.window.width()), (d.y, first.window.height())] {
                let steps = off / (size - overlap_mm);
                prop_assert!((steps - steps.round()).abs() < 1e-9);
            }
        }
        // One page less in the chosen layout would not do.
        let columns = pages.iter().filter(|page| (origin(page) - origin(first)).y.abs() < 1e-6).count();
        let (along, window) = if first.turn_rad == 0.0 {
            (width + 4.0, first.window.width())
        } else {
            (height + 4.0, first.window.width())
        };
        if columns > 1 {
            let less = f64::from(u32::try_from(columns - 1).expect("few"));
            prop_assert!(window + (less - 1.0) * (window - overlap_mm) < along);
        }
        // What is drawn on a page is the sheet, moved.
        let line = first.drawing.iter().find_map(|entity| match &entity.shape {
            Shape::Open(pieces) => pieces.first().map(|p| (p.start(), p.end())),
            _ => None,
        });
        if let Some((from, to)) = line {
            prop_assert!((from.distance(to) - f64::hypot(width, height)).abs() < 1e-6);
        }
        prop_assert!(pages.iter().all(|page| page.of == pages.len()));
        let label = Text { at: point, height_mm: 2.0, text: "x".to_owned(), anchor: Anchor::Start, angle_rad: 0.0 };
        let moved = Shape::Text(label).moved(first.turn_rad, first.shift);
        if let Shape::Text(text) = moved {
            prop_assert!(text.at.distance(first.place(point)) < 1e-9);
        }
    }
}
