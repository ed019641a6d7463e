//! What came of reading a drawing: a preview to look at, and the knife it makes.

use std::fmt;

use kurbo::{Point, Rect, Vec2};

use super::builds;
use super::sorting::Sorted;
use super::strokes::scaled;
use super::{MOST_LEFT_OUT, middle_and_size};
use crate::catalog::{Drill, nearest_drills};
use crate::geometry::{Contour, Motion, Piece};
use crate::knife::{CutShape, Id, Knife};
use crate::units::{MM_PER_INCH, print_number};

/// The format of a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DrawingFormat {
    /// Scalable Vector Graphics.
    Svg,
    /// Drawing exchange format, as text.
    Dxf,
}

impl DrawingFormat {
    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Svg => "SVG",
            Self::Dxf => "DXF",
        }
    }
}

/// Where the unit of the drawing is known from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitSource {
    /// The file says it.
    File {
        /// Its name.
        unit: &'static str,
    },
    /// It was asked for.
    Asked {
        /// The word it was asked by.
        unit: &'static str,
    },
    /// The file says nothing; SVG numbers are pixels then, 96 to the inch.
    Usual,
}

impl fmt::Display for UnitSource {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File { unit } => write!(f, "{unit}, as the file says"),
            Self::Asked { unit } => write!(f, "{unit}, as asked"),
            Self::Usual => f.write_str("pixels, 96 to the inch, because the file says no unit"),
        }
    }
}

/// What was mended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Repair {
    /// Pieces without length were dropped.
    EmptyDropped {
        /// How many.
        count: usize,
    },
    /// Pieces drawn twice were dropped.
    DoubledDropped {
        /// How many.
        count: usize,
    },
    /// Lines that lay over each other in part became one.
    LinesMerged {
        /// How many went.
        count: usize,
    },
    /// Gaps between ends were closed.
    GapsClosed {
        /// How many.
        count: usize,
        /// The widest, mm.
        widest_mm: f64,
        /// Where it was.
        at: Point,
    },
}

/// So many of a thing: `1 gap`, `3 gaps`.
pub(super) fn counted(count: usize, thing: &str) -> String {
    match count {
        1 => format!("1 {thing}"),
        n => format!("{n} {thing}s"),
    }
}

/// A place of the drawing.
pub(super) fn placed(at: Point) -> String {
    format!(
        "x {}, y {} mm",
        print_number(at.x, 1),
        print_number(at.y, 1)
    )
}

impl fmt::Display for Repair {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::EmptyDropped { count } => {
                write!(f, "dropped {} without length", counted(*count, "piece"))
            }
            Self::DoubledDropped { count } => {
                write!(f, "dropped {} drawn twice", counted(*count, "piece"))
            }
            Self::LinesMerged { count } => {
                write!(f, "merged {} that lay over others", counted(*count, "line"))
            }
            Self::GapsClosed {
                count,
                widest_mm,
                at,
            } => write!(
                f,
                "closed {}, the widest {widest_mm:.4} mm at {}",
                counted(*count, "gap"),
                placed(*at)
            ),
        }
    }
}

/// What was mended, and where.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Mending {
    pub repaired: Vec<Repair>,
    /// Where something was mended, at most [`MOST_LEFT_OUT`] places.
    pub places: Vec<Point>,
}

impl Mending {
    pub(super) fn mark(&mut self, at: Point) {
        if self.places.len() < MOST_LEFT_OUT {
            self.places.push(at);
        }
    }

    pub(super) fn moved(&mut self, motion: &Motion) {
        for one in &mut self.repaired {
            if let Repair::GapsClosed { at, .. } = one {
                *at = motion.apply(*at);
            }
        }
        for at in &mut self.places {
            *at = motion.apply(*at);
        }
    }
}

/// Something of the drawing that is not in the knife.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut {
    /// What it is.
    pub what: String,
    /// Why it is left out, and the mend where there is one.
    pub why: String,
    /// How many of the kind.
    pub count: usize,
    /// Its middle, mm, in the knife's axes; missing where it has no place.
    pub place: Option<Point>,
    /// Its width and height, mm.
    pub size_mm: Option<Vec2>,
    /// Its lines, for an open line or a shape that is no cut-out.
    pub lines: Vec<Piece>,
}

impl LeftOut {
    pub(super) fn counted(what: String, why: String, count: usize) -> Self {
        Self {
            what,
            why,
            count,
            place: None,
            size_mm: None,
            lines: Vec::new(),
        }
    }

    pub(super) fn boxed(what: String, why: String, count: usize, bounds: Rect) -> Self {
        let (place, size) = middle_and_size(bounds);
        Self {
            what,
            why,
            count,
            place: Some(place),
            size_mm: Some(size),
            lines: Vec::new(),
        }
    }

    /// With its lines, to be shown.
    pub(super) fn drawn(self, lines: Vec<Piece>) -> Self {
        Self { lines, ..self }
    }

    pub(super) fn scale(&mut self, factor: f64) {
        self.place = self.place.map(|p| (p.to_vec2() * factor).to_point());
        self.size_mm = self.size_mm.map(|s| s * factor);
        for piece in &mut self.lines {
            *piece = scaled(piece, factor);
        }
    }

    pub(super) fn moved(&mut self, motion: &Motion) {
        self.place = self.place.map(|p| motion.apply(p));
        self.size_mm = self.size_mm.map(|s| {
            let turned = motion.apply_vec(s);
            Vec2::new(turned.x.abs(), turned.y.abs())
        });
        for piece in &mut self.lines {
            *piece = piece.moved(motion);
        }
    }
}

impl fmt::Display for LeftOut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.count > 1 {
            write!(f, "{} × ", self.count)?;
        }
        write!(f, "{}: {}", self.what, self.why)?;
        if let Some(size) = self.size_mm {
            write!(f, "; {:.1} × {:.1} mm", size.x, size.y)?;
        }
        if let Some(at) = self.place {
            write!(f, " at {}", placed(at))?;
        }
        Ok(())
    }
}

/// The shape of a cut-out as it was recognized, in the knife's axes.
#[derive(Clone, Debug, PartialEq)]
pub enum OpeningShape {
    /// A round hole.
    Round {
        /// Center, mm.
        center: Point,
        /// Diameter, mm.
        diameter_mm: f64,
    },
    /// An obround.
    Slot {
        /// Middle, mm.
        center: Point,
        /// Length over all, mm.
        length_mm: f64,
        /// Width, mm.
        width_mm: f64,
        /// Direction of its length, radians, in (−π/2, π/2].
        angle_rad: f64,
    },
    /// Any other shape: lines and cubics, counterclockwise.
    Free {
        /// Its pieces.
        pieces: Vec<Piece>,
    },
}

impl OpeningShape {
    /// The shape as a knife keeps it; takes ids from `next_id` for the nodes of a free shape.
    #[must_use]
    pub fn cut_shape(&self, next_id: &mut Id) -> CutShape {
        builds::cut_shape(self, next_id)
    }

    /// Where it lies along the knife.
    fn middle_x(&self) -> f64 {
        match self {
            Self::Round { center, .. } | Self::Slot { center, .. } => center.x,
            Self::Free { pieces } => {
                let boxes = pieces.iter().map(Piece::bounds);
                boxes
                    .reduce(|a, b| a.union(b))
                    .unwrap_or_default()
                    .center()
                    .x
            }
        }
    }

    /// Its boundary.
    #[must_use]
    pub fn contour(&self) -> Contour {
        match self {
            Self::Round {
                center,
                diameter_mm,
            } => Contour::circle(*center, diameter_mm / 2.0),
            Self::Slot {
                center,
                length_mm,
                width_mm,
                angle_rad,
            } => Contour::slot(*center, *length_mm, *width_mm, *angle_rad),
            Self::Free { pieces } => Contour {
                pieces: pieces.clone(),
            },
        }
    }
}

/// A cut-out of the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// What it is.
    pub shape: OpeningShape,
    /// For a round hole, the drill nearest to it that can be bought.
    pub drill: Option<&'static Drill>,
}

/// Where `x = 0` was put.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Zero {
    /// Where the asked blade length puts it.
    Asked,
    /// The drawing's own zero lies on the steel and was kept.
    Kept,
    /// At the step where the tang begins.
    Step,
    /// At the narrowest place between blade and handle.
    Neck,
    /// No shoulder was found: at the rear end.
    RearEnd,
}

/// How the drawing was laid on the bench.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placing {
    /// Quarter turns counterclockwise.
    pub quarter_turns: u8,
    /// Whether it was turned over left to right, so that the tip is at the right.
    pub turned_over: bool,
    /// Where `x = 0` is.
    pub zero: Zero,
}

impl Placing {
    /// As it lies in the file.
    pub const AS_DRAWN: Self = Self {
        quarter_turns: 0,
        turned_over: false,
        zero: Zero::Kept,
    };
}

impl fmt::Display for Placing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.quarter_turns > 0 {
            f.write_str("laid level; ")?;
        }
        if self.turned_over {
            f.write_str("turned over, so that the tip is at the right; ")?;
        }
        f.write_str(match self.zero {
            Zero::Asked => "x = 0 is where the asked blade length puts it",
            Zero::Kept => "x = 0 is the drawing's own zero",
            Zero::Step => "x = 0 is the step where the tang begins",
            Zero::Neck => "x = 0 is the narrowest place between blade and handle, as a guess",
            Zero::RearEnd => "no shoulder was found, so x = 0 is the rear end",
        })
    }
}

/// A drawing read: a preview with all that is to be known before it becomes a knife.
#[derive(Clone, Debug, PartialEq)]
pub struct Imported {
    /// Name of the file.
    pub file_name: String,
    /// Its format.
    pub format: DrawingFormat,
    /// Where its unit is known from.
    pub unit: UnitSource,
    /// Length and height of the outline, mm. A wrong unit shows here.
    pub size_mm: Vec2,
    /// The outline: lines and cubics, closed, counterclockwise, tip to the right.
    pub outline: Contour,
    /// The cut-outs, from the rear to the tip.
    pub openings: Vec<Opening>,
    /// How it was laid.
    pub placing: Placing,
    /// What was mended.
    pub repaired: Vec<Repair>,
    /// Where something was mended, mm, at most [`MOST_LEFT_OUT`] places.
    pub mended_at: Vec<Point>,
    /// What was left out, at most [`MOST_LEFT_OUT`] entries; the last one counts the rest.
    pub left_out: Vec<LeftOut>,
}

impl Imported {
    pub(super) fn new(
        file_name: &str,
        format: DrawingFormat,
        unit: UnitSource,
        sorted: Sorted,
        placing: Placing,
        mending: Mending,
        mut left_out: Vec<LeftOut>,
    ) -> Self {
        let outline = Contour {
            pieces: sorted.outline,
        };
        let bounds = outline.bounds();
        if left_out.len() > MOST_LEFT_OUT {
            let rest = left_out.split_off(MOST_LEFT_OUT - 1);
            let count = rest.iter().map(|one| one.count).sum();
            left_out.push(LeftOut::counted(
                "more".to_owned(),
                "too many to list".to_owned(),
                count,
            ));
        }
        let mut shapes = sorted.openings;
        shapes.sort_by(|a, b| a.middle_x().total_cmp(&b.middle_x()));
        let openings = shapes
            .into_iter()
            .map(|shape| Opening {
                drill: match shape {
                    OpeningShape::Round { diameter_mm, .. } => {
                        nearest_drills(diameter_mm, 1).first().copied()
                    }
                    _ => None,
                },
                shape,
            })
            .collect();
        Self {
            file_name: file_name.to_owned(),
            format,
            unit,
            size_mm: Vec2::new(bounds.width(), bounds.height()),
            outline,
            openings,
            placing,
            repaired: mending.repaired,
            mended_at: mending.places,
            left_out,
        }
    }

    /// Length and height of the outline, inches.
    #[must_use]
    pub fn size_in(&self) -> Vec2 {
        self.size_mm / MM_PER_INCH
    }

    /// The name the file gives the knife: its own without folder and ending, or `Knife`.
    #[must_use]
    pub fn name(&self) -> String {
        builds::name_of_file(&self.file_name)
    }

    /// The knife: outline, cut-outs, guessed landmarks, of plain bar of `thickness_mm` and the material of that key, nothing ground. It
    /// has id 0; a set gives it its own.
    #[must_use]
    pub fn knife(&self, name: &str, thickness_mm: f64, material_key: &str) -> Knife {
        builds::knife(self, name, thickness_mm, material_key)
    }
}
