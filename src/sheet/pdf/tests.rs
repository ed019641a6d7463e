//! The pages are read back from the file itself: page objects, and the unpacked drawing orders with their matrices.

use kurbo::{Affine, BezPath, Shape as _};

use super::super::bench::{chopper, paring, set};
use super::super::model::Sheet;
use super::super::pages::{PageOptions, tiles};
use super::super::{TemplateOptions, template};
use super::*;
use crate::catalog::paper;
use crate::geometry::{Contour, Rect};
use crate::knife::Knife;

const MM_PER_POINT: f64 = 25.4 / 72.0;

fn plain() -> PdfOptions {
    PdfOptions {
        title: "test".to_owned(),
        packed: false,
    }
}

fn sheet_of(knife: &Knife) -> Sheet {
    let set = set(vec![knife.clone()]);
    template(knife, &set, &TemplateOptions::default()).expect("a sound knife")
}

fn pdf(sheet: &Sheet, options: &PageOptions) -> (Vec<Page>, String) {
    let pages = tiles(sheet, options).expect("fits");
    let bytes = write_pdf(&pages, &plain()).expect("written");
    (pages, String::from_utf8_lossy(&bytes).into_owned())
}

/// The streams that draw pages: those that set a matrix first, in the order of the file.
fn contents(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(start) = rest.find("stream\n") {
        let body = &rest[start + "stream\n".len()..];
        let end = body.find("endstream").unwrap_or(body.len());
        let stream = &body[..end];
        if stream.contains(" re\n") || stream.contains(" l\n") {
            found.push(stream);
        }
        rest = &body[end + "endstream".len().min(body.len() - end)..];
    }
    found
}

/// Stroked paths of a content stream in mm on the page, `y` up (ISO 32000-1, tables 57 and 59).
fn stroked(content: &str) -> Vec<BezPath> {
    let mut paths = Vec::new();
    let mut matrix = vec![Affine::IDENTITY];
    let mut path = BezPath::new();
    let mut numbers: Vec<f64> = Vec::new();
    for token in content.split_whitespace() {
        if let Ok(number) = token.parse::<f64>() {
            numbers.push(number);
            continue;
        }
        let now = *matrix.last().expect("balanced");
        let at = |i: usize| now * Point::new(numbers[i], numbers[i + 1]);
        match token {
            "q" => matrix.push(now),
            "Q" => {
                matrix.pop();
            }
            "cm" => {
                let m: [f64; 6] = numbers[..6].try_into().expect("six numbers");
                *matrix.last_mut().expect("balanced") = now * Affine::new(m);
            }
            "m" => path.move_to(at(0)),
            "l" => path.line_to(at(0)),
            "c" => path.curve_to(at(0), at(2), at(4)),
            "h" => path.close_path(),
            "S" => {
                let mut done = std::mem::take(&mut path);
                done.apply_affine(Affine::scale(MM_PER_POINT));
                paths.push(done);
            }
            "s" => panic!("not expected"),
            "n" | "f" | "f*" => path = BezPath::new(),
            _ => {}
        }
        numbers.clear();
    }
    paths
}

/// Straight lines among the paths, as differences of their ends.
fn spans(paths: &[BezPath]) -> Vec<(f64, f64)> {
    paths
        .iter()
        .filter(|path| path.elements().len() == 2)
        .map(|path| {
            let b = path.bounding_box();
            (b.width(), b.height())
        })
        .collect()
}

#[test]
fn media_boxes_are_the_paper() {
    for key in ["a4", "letter", "a3"] {
        let size = paper(key).expect("a known paper");
        let (pages, text) = pdf(&sheet_of(&chopper()), &PageOptions::on(size));
        let boxes: Vec<Vec<f64>> = text
            .match_indices("/MediaBox")
            .map(|(at, _)| {
                let rest = &text[at..];
                let inner = &rest[rest.find('[').expect("[") + 1..rest.find(']').expect("]")];
                inner
                    .split_whitespace()
                    .map(|n| n.parse().expect("a number"))
                    .collect()
            })
            .collect();
        assert_eq!(boxes.len(), pages.len(), "one box for each page");
        for (found, page) in boxes.iter().zip(&pages) {
            assert!((found[2] * MM_PER_POINT - page.width_mm).abs() < 1e-3);
            assert!((found[3] * MM_PER_POINT - page.height_mm).abs() < 1e-3);
            let mut sides = [page.width_mm, page.height_mm];
            sides.sort_by(f64::total_cmp);
            assert_eq!(sides, [size.width_mm, size.height_mm]);
        }
    }
}

#[test]
fn bars_measure_true_on_every_page() {
    for (correction_x, correction_y) in [(1.0, 1.0), (1.013, 0.991)] {
        let options = PageOptions {
            correction_x,
            correction_y,
            ..PageOptions::default()
        };
        let (pages, text) = pdf(&sheet_of(&chopper()), &options);
        let streams = contents(&text);
        assert_eq!(streams.len(), pages.len());
        for (page, stream) in pages.iter().zip(streams) {
            let spans = spans(&stroked(stream));
            // The paper measures true when the file has each length times the factor of its axis.
            for length in [100.0, 101.6] {
                let level = spans
                    .iter()
                    .any(|(w, h)| (w - length * page.scale_x).abs() < 1e-3 && h.abs() < 1e-3);
                let upright = spans
                    .iter()
                    .any(|(w, h)| (h - length * page.scale_y).abs() < 1e-3 && w.abs() < 1e-3);
                assert!(
                    level && upright,
                    "{length} on page {}: {spans:?}",
                    page.name
                );
            }
        }
    }
}

#[test]
fn a_shape_on_one_page_keeps_its_size_and_place() {
    let contour = Contour::slot(Point::new(40.0, 10.0), 60.0, 20.0, 0.3);
    let sheet = Sheet {
        name: "slot".to_owned(),
        note: String::new(),
        entities: vec![Entity::new(Role::Cut, Shape::Contour(contour.clone()))],
    };
    let (pages, text) = pdf(&sheet, &PageOptions::default());
    let [page] = &pages[..] else {
        panic!("one page");
    };
    let paths = stroked(contents(&text)[0]);
    // An obround is a rectangle and a disc.
    let exact = 40.0 * 20.0 + std::f64::consts::PI * 100.0;
    let found = paths
        .iter()
        .find(|path| (path.area().abs() / exact - 1.0).abs() < 1e-5)
        .expect("the slot");
    let (low, high) = (
        page.place(Point::new(contour.bounds().x0, contour.bounds().y0)),
        page.place(Point::new(contour.bounds().x1, contour.bounds().y1)),
    );
    let b = found.bounding_box();
    let expected = Rect::from_points(low, high);
    assert!((b.x0 - expected.x0).abs() < 1e-3 && (b.y0 - expected.y0).abs() < 1e-3);
    assert!((b.x1 - expected.x1).abs() < 1e-3 && (b.y1 - expected.y1).abs() < 1e-3);
    // Counterclockwise stays so: nothing is mirrored.
    assert!(found.area() > 0.0);
}

#[test]
fn the_same_pages_give_the_same_bytes() {
    for knife in [chopper(), paring()] {
        let sheet = sheet_of(&knife);
        let write = |packed| {
            let pages = tiles(&sheet, &PageOptions::default()).expect("fits");
            let options = PdfOptions {
                title: knife.name.clone(),
                packed,
            };
            write_pdf(&pages, &options).expect("written")
        };
        for packed in [true, false] {
            let first = write(packed);
            for _ in 0..5 {
                assert!(write(packed) == first, "{}", knife.name);
            }
            let text = String::from_utf8_lossy(&first);
            assert!(text.starts_with("%PDF-") && !text.contains("CreationDate"));
        }
    }
}

#[test]
fn any_words_and_empty_sheets_are_written() {
    let long = "very long ".repeat(2000);
    for words in ["a & <b>", "🔪 Ω ┼", "line\nbreak\0", "", &long] {
        let on_the_sheet: String = words.chars().take(200).collect();
        let sheet = Sheet {
            name: words.to_owned(),
            note: words.to_owned(),
            entities: vec![Entity::label(
                Point::ORIGIN,
                3.0,
                on_the_sheet,
                Anchor::Middle,
            )],
        };
        let pages = tiles(&sheet, &PageOptions::default()).expect("fits");
        let bytes = write_pdf(&pages, &plain()).expect("written");
        assert!(bytes.starts_with(b"%PDF-"));
    }
    let pages = tiles(&Sheet::default(), &PageOptions::default()).expect("fits");
    assert!(write_pdf(&pages, &plain()).is_ok());
}

#[test]
fn a_page_without_size_is_refused() {
    let mut pages = tiles(&Sheet::default(), &PageOptions::default()).expect("fits");
    pages[0].width_mm = 0.0;
    assert_eq!(
        write_pdf(&pages, &plain()),
        Err(PdfError::PageSize { page: 1 })
    );
}
