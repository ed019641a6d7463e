//! The page a printer is trued by: two long bars printed as they come, and the factors that follow from what they measure on paper.
//!
//! Printers shrink and stretch the two ways of the paper by different little shares. A bar drawn `L` long that comes out `M` long wants every later
//! length that way times `L/M`; measured to a tenth of a millimeter over some 200 mm that is good to 0.05 %.

use super::model::{Anchor, Entity, Role, Sheet};
use super::page_marks;
use super::pages::{Page, PageError, PageOptions, tiles};
use crate::geometry::{Point, Rect};

/// Half the length of the strokes at a bar's ends, mm.
const END_MM: f64 = 4.0;
/// From the upright bar to the beginning of the level one, mm.
const APART_MM: f64 = 14.0;
/// Bars are full steps of this, mm: easy to check with a steel rule.
const STEP_MM: f64 = 10.0;
/// Room kept around the bars within a page, mm.
const ROOM_MM: f64 = 8.0;
/// Height of the words, mm.
const WORDS_MM: f64 = 3.0;

/// Factors that a printer can need; beyond them the page was fitted to the paper, or the wrong bar was measured.
const FACTORS: std::ops::RangeInclusive<f64> = 0.9..=1.1;

/// The two bars of a printer page, mm as drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrinterBars {
    /// Along the longer side of the paper.
    pub long_mm: f64,
    /// Along the shorter side.
    pub short_mm: f64,
}

/// What lengths are multiplied by to come out true, as [`PageOptions`] takes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrinterFactors {
    /// Along the width of the upright paper.
    pub x: f64,
    /// Along its height.
    pub y: f64,
}

/// A measured length that no bar of the page can have.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error(
    "the {side} bar is drawn {drawn_mm:.0} mm long and can't measure {measured_mm:.1} mm: print at 100 %, not fitted to the page, and measure from line to line"
)]
pub struct BarError {
    /// Which bar: `long` or `short`.
    pub side: &'static str,
    /// Its length as drawn, mm.
    pub drawn_mm: f64,
    /// What was typed, mm.
    pub measured_mm: f64,
}

impl PrinterFactors {
    /// Those of a printer that is true.
    pub const PLAIN: Self = Self { x: 1.0, y: 1.0 };
}

impl PrinterBars {
    /// The longest bars of full centimeters on a paper.
    ///
    /// # Errors
    /// The paper is too small, or a measure of it is none.
    pub fn on(options: &PageOptions) -> Result<Self, PageError> {
        let (short, long) = (options.paper_width_mm, options.paper_height_mm);
        let margin = options.margin_mm;
        // The page lies on its side.
        let usable = Rect::new(margin, margin, long - margin, short - margin);
        let window = page_marks::window(usable).ok_or(PageError::PaperTooSmall {
            width_mm: short,
            height_mm: long,
        })?;
        let fits = |room: f64| ((room - 2.0 * ROOM_MM) / STEP_MM).floor() * STEP_MM;
        Ok(Self {
            long_mm: fits(window.width() - APART_MM),
            short_mm: fits(window.height()),
        })
    }

    /// The factors of a printer whose bars measure so much on paper.
    ///
    /// # Errors
    /// A length that is out of the question.
    pub fn factors(&self, long_mm: f64, short_mm: f64) -> Result<PrinterFactors, BarError> {
        let factor = |side: &'static str, drawn_mm: f64, measured_mm: f64| {
            Some(drawn_mm / measured_mm)
                .filter(|factor| FACTORS.contains(factor))
                .ok_or(BarError {
                    side,
                    drawn_mm,
                    measured_mm,
                })
        };
        Ok(PrinterFactors {
            y: factor("long", self.long_mm, long_mm)?,
            x: factor("short", self.short_mm, short_mm)?,
        })
    }

    /// The bars as a sheet, for a page on its side.
    #[must_use]
    pub fn sheet(&self) -> Sheet {
        let (long, short) = (self.long_mm, self.short_mm);
        let stroke = |a: (f64, f64), b: (f64, f64)| {
            Entity::line(Role::Frame, Point::from(a), Point::from(b))
        };
        let level = (APART_MM, APART_MM + long);
        let mut entities = vec![
            stroke((level.0, 0.0), (level.1, 0.0)),
            stroke((0.0, 0.0), (0.0, short)),
        ];
        for x in [level.0, level.1] {
            entities.push(stroke((x, -END_MM), (x, END_MM)));
        }
        for y in [0.0, short] {
            entities.push(stroke((-END_MM, y), (END_MM, y)));
        }
        for (line, words) in [
            "Print this page at 100 %, not fitted to the page.".to_owned(),
            "Measure both bars from line to line, to a tenth of a millimeter.".to_owned(),
            format!("The long bar, level here, is drawn {long:.0} mm. It measures:"),
            format!("The short bar, upright here, is drawn {short:.0} mm. It measures:"),
            "Type both where the printer is trued.".to_owned(),
        ]
        .into_iter()
        .enumerate()
        {
            let at = Point::new(APART_MM + 10.0, short - 14.0 - 9.0 * line as f64);
            entities.push(Entity::label(at, WORDS_MM, words, Anchor::Start));
        }
        Sheet {
            name: "Printer page".to_owned(),
            note: "not corrected".to_owned(),
            entities,
        }
    }
}

/// The printer page itself, never corrected: what the paper shows is the printer's own.
///
/// # Errors
/// The paper is too small, or a measure of it is none.
pub fn printer_page(options: &PageOptions) -> Result<Vec<Page>, PageError> {
    let plain = PageOptions {
        correction_x: PrinterFactors::PLAIN.x,
        correction_y: PrinterFactors::PLAIN.y,
        ..options.clone()
    };
    tiles(&PrinterBars::on(&plain)?.sheet(), &plain)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog;
    use crate::sheet::Shape;

    fn on(paper: &str) -> PageOptions {
        PageOptions::on(catalog::paper(paper).expect("in the catalog"))
    }

    /// A4 on its side is 297 × 210 mm (ISO 216); what margins and check bars leave is six tenths and more of the long side.
    #[test]
    fn the_bars_fill_one_page_on_its_side() {
        for paper in ["a5", "a4", "a3", "letter"] {
            let options = on(paper);
            let bars = PrinterBars::on(&options).expect("it fits");
            let pages = printer_page(&options).expect("it fits");
            assert_eq!(pages.len(), 1, "{paper}");
            assert!(pages[0].width_mm > pages[0].height_mm, "{paper}");
            assert!(bars.long_mm >= 0.6 * options.paper_height_mm, "{bars:?}");
            assert!(bars.short_mm >= 0.5 * options.paper_width_mm, "{bars:?}");
            assert!(
                pages[0]
                    .drawing
                    .iter()
                    .filter_map(|entity| entity.shape.bounds())
                    .all(|b| pages[0].window.contains_rect(b)),
                "{paper}: all within the window"
            );
        }
    }

    /// By hand: 250 mm that come out 248.0 want 250/248, 160 that come out 160.8 want 160/160.8; the long side is the height of the upright paper.
    #[test]
    fn factors_are_drawn_over_measured() {
        let bars = PrinterBars {
            long_mm: 250.0,
            short_mm: 160.0,
        };
        let factors = bars.factors(248.0, 160.8).expect("sound");
        assert!((factors.y - 1.008_064_516_129).abs() < 1e-12);
        assert!((factors.x - 0.995_024_875_622).abs() < 1e-12);
    }

    #[test]
    fn the_wrong_bar_is_told() {
        let bars = PrinterBars {
            long_mm: 250.0,
            short_mm: 160.0,
        };
        let error = bars.factors(250.0, 250.0).expect_err("not that long");
        assert_eq!(error.side, "short");
        assert!(error.to_string().contains("160 mm"), "{error}");
        for bad in [f64::NAN, 0.0, -160.0, f64::INFINITY] {
            assert!(bars.factors(250.0, bad).is_err(), "{bad}");
        }
    }

    /// A corrected printer still gets the page as it is drawn.
    #[test]
    fn the_page_is_never_corrected() {
        let mut options = on("a4");
        options.correction_x = 1.02;
        let page = &printer_page(&options).expect("it fits")[0];
        assert_eq!((page.scale_x, page.scale_y), (1.0, 1.0));
        let words = |entity: &Entity| matches!(&entity.shape, Shape::Text(t) if t.text.contains("long bar"));
        assert!(page.drawing.iter().any(words));
    }
}
