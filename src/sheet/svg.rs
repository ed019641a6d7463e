//! A sheet as SVG 1.1: millimeters, one group for each role, curves and arcs kept as they are.
//!
//! One user unit is one millimeter: the picture's width and height are given in mm and the view box has the same numbers. The sheet's `y` axis
//! points up and that of SVG down, so heights are counted from the top of the sheet.

use std::f64::consts::PI;
use std::fmt::Write as _;

use super::font;
use super::model::{Anchor, Entity, Role, Shape, Sheet, Text};
use super::number::trimmed;
use crate::geometry::{CircularArc, Piece, Point, Rect};

/// How an SVG is written.
#[derive(Clone, Debug, PartialEq)]
pub struct SvgOptions {
    /// Roles that are written.
    pub roles: Vec<Role>,
    /// Decimals of every number; 4 keep a tenth of a micrometer.
    pub decimals: u8,
    /// Free rim around the drawing, mm, so that no line is cut in half at the edge of the picture.
    pub rim_mm: f64,
}

impl Default for SvgOptions {
    fn default() -> Self {
        Self {
            roles: Role::ALL.to_vec(),
            decimals: 4,
            rim_mm: 2.0,
        }
    }
}

/// The longest single arc written: what is longer is written as equal parts, because the command that names end points
/// only grows unsure toward a full turn.
const LONGEST_ARC_RAD: f64 = 0.75 * PI;

/// The sheet as the text of an SVG file. The same sheet and options give the same text.
#[must_use]
pub fn write_svg(sheet: &Sheet, options: &SvgOptions) -> String {
    let drawn = sheet.only(&options.roles);
    let box_mm = drawn
        .bounds()
        .unwrap_or(Rect::ZERO)
        .inflate(options.rim_mm, options.rim_mm);
    let writer = Writer {
        left: box_mm.x0,
        top: box_mm.y1,
        decimals: options.decimals,
    };
    let (width, height) = (
        writer.number(box_mm.width().max(1.0)),
        writer.number(box_mm.height().max(1.0)),
    );
    let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\">"
    );
    let _ = writeln!(out, "<title>{}</title>", escaped(&drawn.name));
    for role in Role::ALL {
        if !options.roles.contains(&role) {
            continue;
        }
        let mut entities = drawn.of_role(role).peekable();
        if entities.peek().is_none() {
            continue;
        }
        let _ = writeln!(out, "<g id=\"{}\" {}>", role.name(), look(role));
        for entity in entities {
            writer.entity(entity, &mut out);
        }
        out.push_str("</g>\n");
    }
    out.push_str("</svg>\n");
    out
}

/// How the lines of a role look. All black: a cutter's software sorts by group, and a printer prints black.
fn look(role: Role) -> &'static str {
    match role {
        Role::Cut => "fill=\"none\" stroke=\"#000000\" stroke-width=\"0.2\"",
        Role::Drill => "fill=\"none\" stroke=\"#000000\" stroke-width=\"0.18\"",
        Role::Engrave | Role::Scribe | Role::Frame => {
            "fill=\"none\" stroke=\"#000000\" stroke-width=\"0.12\""
        }
        Role::Label => "fill=\"#000000\" stroke=\"none\"",
    }
}

/// Text fit for XML 1.0: markup signs as entities, characters XML does not allow as spaces.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

struct Writer {
    left: f64,
    top: f64,
    decimals: u8,
}

impl Writer {
    fn number(&self, value: f64) -> String {
        trimmed(value, self.decimals)
    }

    fn x(&self, p: Point) -> String {
        self.number(p.x - self.left)
    }

    fn y(&self, p: Point) -> String {
        self.number(self.top - p.y)
    }

    fn xy(&self, p: Point) -> String {
        format!("{} {}", self.x(p), self.y(p))
    }

    fn entity(&self, entity: &Entity, out: &mut String) {
        let _ = match &entity.shape {
            Shape::Contour(contour) => match contour.as_circle() {
                Some((center, radius)) => writeln!(out, "{}", self.circle(center, radius)),
                None => writeln!(out, "<path d=\"{}Z\"/>", self.path(&contour.pieces)),
            },
            Shape::Open(pieces) => {
                let path = self.path(pieces);
                writeln!(out, "<path d=\"{}\"/>", path.trim_end())
            }
            Shape::Circle { center, radius } => {
                writeln!(out, "{}", self.circle(*center, *radius))
            }
            Shape::Text(text) => writeln!(out, "{}", self.text(text)),
        };
    }

    fn circle(&self, center: Point, radius: f64) -> String {
        format!(
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
            self.x(center),
            self.y(center),
            self.number(radius)
        )
    }

    /// Lines and arcs that have no length left once their ends are rounded are not written: a cutter would stop at them.
    fn path(&self, pieces: &[Piece]) -> String {
        let mut out = String::new();
        let mut at = pieces.first().map(|first| self.xy(first.start()));
        if let Some(at) = &at {
            let _ = write!(out, "M{at} ");
        }
        for piece in pieces {
            let end = self.xy(piece.end());
            let stays = at.as_ref() == Some(&end);
            match piece {
                Piece::Line(_) if stays => {}
                Piece::Line(_) => {
                    let _ = write!(out, "L{end} ");
                }
                Piece::Cubic(c) => {
                    let (a, b) = (self.xy(c.p1), self.xy(c.p2));
                    let _ = write!(out, "C{a} {b} {end} ");
                }
                // A full turn ends where it begins as well.
                Piece::Arc(arc) if stays && arc.sweep.abs() < PI => {}
                Piece::Arc(arc) => self.arc(arc, &mut out),
            }
            at = Some(end);
        }
        out
    }

    fn arc(&self, arc: &CircularArc, out: &mut String) {
        // Counterclockwise with y up is against the "positive angle" of SVG, whose y points down.
        let sweep_flag = u8::from(arc.sweep < 0.0);
        let parts = (arc.sweep.abs() / LONGEST_ARC_RAD).ceil().max(1.0);
        let radius = self.number(arc.radius);
        let mut i = 1.0;
        while i <= parts {
            let end = self.xy(arc.eval(i / parts));
            let _ = write!(out, "A{radius} {radius} 0 0 {sweep_flag} {end} ");
            i += 1.0;
        }
    }

    fn text(&self, text: &Text) -> String {
        let (x, y) = (self.x(text.at), self.y(text.at));
        let mut out = format!(
            "<text x=\"{x}\" y=\"{y}\" font-family=\"sans-serif\" font-size=\"{}\"",
            self.number(text.height_mm / font::capital_share())
        );
        match text.anchor {
            Anchor::Start => {}
            Anchor::Middle => out.push_str(" text-anchor=\"middle\""),
            Anchor::End => out.push_str(" text-anchor=\"end\""),
        }
        if text.angle_rad != 0.0 {
            let degrees = self.number(-text.angle_rad.to_degrees());
            let _ = write!(out, " transform=\"rotate({degrees} {x} {y})\"");
        }
        let _ = write!(out, ">{}</text>", escaped(&text.text));
        out
    }
}

#[cfg(test)]
mod tests;
