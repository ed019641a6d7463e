//! The template of the knife on the drawing, as it will be printed: made only while the maker looks at it.

use std::sync::Arc;

use crate::geometry::{Contour, Point};
use crate::knife::{Id, Knife, KnifeSet};
use crate::sheet::{Entity, Role, Shape, TemplateOptions, Text, template};
use crate::units::LengthFormat;

/// Chords of drawn curves leave them by at most this, mm.
const DRAWN_WITHIN_MM: f64 = 0.01;

/// A line of the sheet ready for the screen.
#[derive(Clone, Debug)]
pub(super) struct Stroke {
    pub role: Role,
    pub points: Vec<Point>,
    pub closed: bool,
}

/// A sheet ready for the screen.
#[derive(Clone, Debug, Default)]
pub(super) struct Lines {
    pub strokes: Vec<Stroke>,
    pub texts: Vec<Text>,
}

/// The template last looked at, and the knife it belongs to.
#[derive(Debug, Default)]
pub(super) struct Preview {
    of: Option<(Arc<Knife>, LengthFormat)>,
    lines: Option<Result<Lines, String>>,
}

impl Preview {
    /// The template, or why there is none; nothing while nobody looks.
    pub(super) fn lines(&self) -> Option<&Result<Lines, String>> {
        self.lines.as_ref()
    }

    /// Makes the template of a knife, unless it is there already; without a knife forgets it.
    pub(super) fn refresh(&mut self, set: &KnifeSet, id: Option<Id>, lengths: LengthFormat) {
        let Some(knife) = id.and_then(|id| set.knife(id)) else {
            *self = Self::default();
            return;
        };
        let known = self
            .of
            .as_ref()
            .is_some_and(|(of, with)| Arc::ptr_eq(of, knife) && *with == lengths);
        if known {
            return;
        }
        let options = TemplateOptions {
            lengths,
            ..TemplateOptions::default()
        };
        let made = template(knife, set, &options);
        self.lines = Some(made.map(|s| drawn(&s.entities)).map_err(|e| e.to_string()));
        self.of = Some((Arc::clone(knife), lengths));
    }
}

/// The lines and words of a sheet, ready for the screen.
pub(super) fn drawn<'a>(entities: impl IntoIterator<Item = &'a Entity>) -> Lines {
    let mut lines = Lines::default();
    for entity in entities {
        let (points, closed) = match &entity.shape {
            Shape::Contour(contour) => (contour.flattened(DRAWN_WITHIN_MM), true),
            Shape::Circle { center, radius } => {
                let circle = Contour::circle(*center, *radius);
                (circle.flattened(DRAWN_WITHIN_MM), true)
            }
            Shape::Open(pieces) => {
                let open = Contour {
                    pieces: pieces.clone(),
                };
                let mut points = open.flattened(DRAWN_WITHIN_MM);
                points.extend(pieces.last().map(crate::geometry::Piece::end));
                (points, false)
            }
            Shape::Text(text) => {
                lines.texts.push(text.clone());
                continue;
            }
        };
        lines.strokes.push(Stroke {
            role: entity.role,
            points,
            closed,
        });
    }
    lines
}
