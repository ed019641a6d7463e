//! Pages as PDF at true scale.
//!
//! One point is 1/72 in (ISO 32000-1), so 100 mm are 283.4646 points. Lines and curves go out as they are, arcs as cubics
//! that leave the circle by less than 2e-7 of its radius. No date, no chance: the same pages give the same bytes.

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Rect as PdfRect, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};

use super::font;
use super::model::{Anchor, Entity, Role, Shape, Text};
use super::pages::Page;
use crate::catalog::PAPER_POINT_MM;
use crate::geometry::{CircularArc, Piece, Point, arc_cubics};

/// How a PDF is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PdfOptions {
    /// Title of the document.
    pub title: String,
    /// Whether what the pages hold is packed; unpacked, a person can read it.
    pub packed: bool,
}

impl Default for PdfOptions {
    fn default() -> Self {
        Self {
            title: String::new(),
            packed: true,
        }
    }
}

/// Why a PDF can't be written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PdfError {
    /// A page has no size a PDF can have.
    #[error("page {page} has no usable size: choose another paper")]
    PageSize {
        /// Number of the page.
        page: usize,
    },
    /// The lettering can't be embedded.
    #[error("the lettering of the pages can't be used: install the program anew")]
    Lettering,
    /// The PDF library gave up.
    #[error("the PDF can't be put together: {reason}: print from the SVG instead")]
    Library {
        /// In the library's words.
        reason: String,
    },
}

/// The pages as the bytes of a PDF file.
///
/// # Errors
/// A page has no usable size, or the PDF library gives up.
pub fn write_pdf(pages: &[Page], options: &PdfOptions) -> Result<Vec<u8>, PdfError> {
    let fonts = font::FACES
        .iter()
        .map(|data| Font::new((*data).into(), 0))
        .collect::<Option<Vec<Font>>>()
        .ok_or(PdfError::Lettering)?;
    let mut document = Document::new_with(SerializeSettings {
        compress_content_streams: options.packed,
        pretty: !options.packed,
        ascii_compatible: !options.packed,
        xmp_metadata: false,
        enable_tagging: false,
        ..SerializeSettings::default()
    });
    document.set_metadata(
        Metadata::new()
            .title(options.title.clone())
            .creator("Tangwright".to_owned()),
    );
    for page in pages {
        let size = (points(page.width_mm), points(page.height_mm));
        let settings = PageSettings::from_wh(size.0, size.1)
            .ok_or(PdfError::PageSize { page: page.number })?;
        let mut pdf_page = document.start_page_with(settings);
        let mut surface = pdf_page.surface();
        let drawing = Drawing {
            page,
            fonts: &fonts,
        };
        drawing.draw(&mut surface);
        surface.finish();
        pdf_page.finish();
    }
    document.finish().map_err(|error| PdfError::Library {
        reason: format!("{error:?}"),
    })
}

/// Millimeters as points; a PDF counts in single precision.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a page is far inside single precision, which keeps 1e-4 points there"
)]
fn points(mm: f64) -> f32 {
    (mm / PAPER_POINT_MM) as f32
}

struct Drawing<'a> {
    page: &'a Page,
    fonts: &'a [Font],
}

impl Drawing<'_> {
    fn draw(&self, surface: &mut Surface<'_>) {
        let w = self.page.window;
        let (x0, y0) = self.at(Point::new(w.x0, w.y1));
        let (x1, y1) = self.at(Point::new(w.x1, w.y0));
        let mut clip = PathBuilder::new();
        if let Some(rect) = PdfRect::from_ltrb(x0, y0, x1, y1) {
            clip.push_rect(rect);
        }
        if let Some(clip) = clip.finish() {
            surface.push_clip_path(&clip, &FillRule::NonZero);
            for entity in &self.page.drawing {
                self.entity(entity, surface);
            }
            surface.pop();
        }
        for entity in &self.page.marks {
            self.entity(entity, surface);
        }
    }

    /// A place on the page in points, `y` down from the top as the library wants it.
    fn at(&self, p: Point) -> (f32, f32) {
        (
            points(p.x * self.page.scale_x),
            points(self.page.height_mm - p.y * self.page.scale_y),
        )
    }

    fn entity(&self, entity: &Entity, surface: &mut Surface<'_>) {
        if let Shape::Text(text) = &entity.shape {
            self.text(text, surface);
            return;
        }
        let Some(path) = self.path(&entity.shape) else {
            return;
        };
        surface.set_fill(None);
        surface.set_stroke(Some(stroke(entity.role)));
        surface.draw_path(&path);
    }

    fn path(&self, shape: &Shape) -> Option<Path> {
        let mut builder = PathBuilder::new();
        match shape {
            Shape::Text(_) => return None,
            Shape::Contour(contour) => {
                self.pieces(&contour.pieces, &mut builder);
                builder.close();
            }
            Shape::Open(pieces) => self.pieces(pieces, &mut builder),
            Shape::Circle { center, radius } => {
                let turn = CircularArc {
                    center: *center,
                    radius: *radius,
                    start_angle: 0.0,
                    sweep: std::f64::consts::TAU,
                };
                self.pieces(&[Piece::Arc(turn)], &mut builder);
                builder.close();
            }
        }
        builder.finish()
    }

    fn pieces(&self, pieces: &[Piece], builder: &mut PathBuilder) {
        if let Some(first) = pieces.first() {
            let (x, y) = self.at(first.start());
            builder.move_to(x, y);
        }
        for piece in pieces {
            let cubics = match piece {
                Piece::Line(line) => {
                    let (x, y) = self.at(line.p1);
                    builder.line_to(x, y);
                    continue;
                }
                Piece::Cubic(cubic) => vec![*cubic],
                Piece::Arc(arc) => arc_cubics(arc),
            };
            for cubic in cubics {
                let [(ax, ay), (bx, by), (x, y)] =
                    [cubic.p1, cubic.p2, cubic.p3].map(|p| self.at(p));
                builder.cubic_to(ax, ay, bx, by, x, y);
            }
        }
    }

    fn text(&self, text: &Text, surface: &mut Surface<'_>) {
        let size_mm = text.height_mm / font::capital_share();
        let letters = font::letters(&text.text);
        let width: f64 = letters.iter().map(|letter| letter.advance * size_mm).sum();
        let mut along = match text.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -width / 2.0,
            Anchor::End => -width,
        };
        let (x, y) = self.at(text.at);
        let (sin, cos) = text.angle_rad.sin_cos();
        #[expect(
            clippy::cast_possible_truncation,
            reason = "sines need no more than single precision to turn a line of words"
        )]
        let (sin, cos) = (sin as f32, cos as f32);
        // Counterclockwise on paper is against the sense of axes whose y points down.
        surface.push_transform(&Transform::from_row(cos, -sin, sin, cos, x, y));
        surface.set_stroke(None);
        surface.set_fill(Some(Fill {
            paint: rgb::Color::black().into(),
            opacity: NormalizedF32::ONE,
            rule: FillRule::NonZero,
        }));
        // One run for each stretch of one typeface.
        for run in letters.chunk_by(|a, b| a.face == b.face) {
            let (Some(first), Some(last)) = (run.first(), run.last()) else {
                continue;
            };
            let bytes = first.range.start..last.range.end;
            let (Some(font), Some(words)) =
                (self.fonts.get(first.face), text.text.get(bytes.clone()))
            else {
                continue;
            };
            let glyphs: Vec<KrillaGlyph> = run
                .iter()
                .map(|letter| {
                    let range = letter.range.start - bytes.start..letter.range.end - bytes.start;
                    #[expect(
                        clippy::cast_possible_truncation,
                        reason = "the width of a letter as a share of its size"
                    )]
                    let advance = letter.advance as f32;
                    KrillaGlyph::new(
                        GlyphId::new(letter.glyph),
                        advance,
                        0.0,
                        0.0,
                        0.0,
                        range,
                        None,
                    )
                })
                .collect();
            surface.draw_glyphs(
                krilla::geom::Point::from_xy(points(along), 0.0),
                &glyphs,
                font.clone(),
                words,
                points(size_mm),
                false,
            );
            along += run
                .iter()
                .map(|letter| letter.advance * size_mm)
                .sum::<f64>();
        }
        surface.pop();
    }
}

/// How the lines of a role look: square ends, so that a bar is as long as it says.
fn stroke(role: Role) -> Stroke {
    let (width_mm, gray) = match role {
        Role::Cut => (0.25, 0),
        Role::Drill => (0.2, 0),
        Role::Engrave | Role::Scribe => (0.13, 40),
        Role::Label | Role::Frame => (0.13, 90),
    };
    Stroke {
        paint: rgb::Color::new(gray, gray, gray).into(),
        width: points(width_mm),
        miter_limit: 4.0,
        line_cap: LineCap::Butt,
        line_join: LineJoin::Miter,
        opacity: NormalizedF32::ONE,
        dash: None,
    }
}

#[cfg(test)]
mod tests;
