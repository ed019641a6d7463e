//! Cut-outs made ready for measuring: each a segment with a radius about it (round holes, slots) or a free contour.

use crate::geometry::SpanIndex;
use crate::geometry::{Contour, Piece, Point, Rect, contour_gap, segment_gap};
use crate::knife::{CutOut, Filling, Id, Knife, Purpose};

/// One cut-out, or one hole of a row.
#[derive(Debug)]
pub(super) struct Opening<'a> {
    id: Id,
    /// Place within its row, from 1.
    in_row: Option<usize>,
    pub purpose: Purpose,
    pub filling: &'a Filling,
    pub center: Point,
    pub form: Form,
}

/// The shape to measure to.
#[derive(Debug)]
pub(super) enum Form {
    /// All points within `radius` of the segment; a round hole has a segment without length.
    Capsule { core: (Point, Point), radius: f64 },
    /// Any closed shape.
    Free { contour: Contour },
}

/// What lies between two boundaries: its width, mm, and its two ends. Negative where they overlap.
pub(super) type Gap = (f64, Point, Point);

impl<'a> Opening<'a> {
    fn of_cut_out(cut: &'a CutOut) -> Self {
        let form = match cut.shape.capsule() {
            Some((core, radius)) => Form::Capsule { core, radius },
            None => Form::Free {
                contour: cut.shape.contour(),
            },
        };
        let center = match &form {
            Form::Capsule { core, .. } => core.0.midpoint(core.1),
            Form::Free { contour } => contour.bounds().center(),
        };
        Self {
            id: cut.id,
            in_row: None,
            purpose: cut.purpose,
            filling: &cut.filling,
            center,
            form,
        }
    }

    /// Name as [`Knife::all_cut_outs`] gives it.
    pub(super) fn name(&self) -> String {
        match self.in_row {
            None => self.id.to_string(),
            Some(place) => format!("{}.{place}", self.id),
        }
    }

    /// The row it belongs to.
    pub(super) fn row(&self) -> Option<Id> {
        self.in_row.map(|_| self.id)
    }

    /// The word for it in a sentence.
    pub(super) fn noun(&self) -> &'static str {
        match &self.form {
            Form::Capsule { .. } if self.is_round() => "hole",
            Form::Capsule { .. } => "slot",
            Form::Free { .. } => "cut-out",
        }
    }

    pub(super) fn is_round(&self) -> bool {
        matches!(&self.form, Form::Capsule { core, .. } if core.0 == core.1)
    }

    /// The cut-out, if it is one by itself.
    pub(super) fn cut_out(&self) -> Option<Id> {
        self.in_row.is_none().then_some(self.id)
    }

    /// Whether a pin or a tube goes through it, whose size says how large it is.
    pub(super) fn is_fitted(&self) -> bool {
        matches!(self.filling, Filling::Pin { .. } | Filling::Tube { .. })
            || matches!(
                self.purpose,
                Purpose::Pin | Purpose::Tube | Purpose::GuardPin
            )
    }

    /// Whether it is there for the weight it takes away, and for nothing else.
    pub(super) fn only_lightens(&self) -> bool {
        self.purpose == Purpose::Lightening && *self.filling == Filling::Nothing
    }

    /// Diameter of a hole or width of a slot, mm.
    pub(super) fn width_mm(&self) -> Option<f64> {
        match &self.form {
            Form::Capsule { radius, .. } => Some(2.0 * radius),
            Form::Free { .. } => None,
        }
    }

    /// Whether what goes through it pulls on the steel round it.
    pub(super) fn carries_load(&self) -> bool {
        matches!(
            self.purpose,
            Purpose::Pin | Purpose::Tube | Purpose::GuardPin | Purpose::Lanyard
        )
    }

    pub(super) fn bounds(&self) -> Rect {
        match &self.form {
            Form::Capsule { core, radius } => {
                Rect::from_points(core.0, core.1).inflate(*radius, *radius)
            }
            Form::Free { contour } => contour.bounds(),
        }
    }

    /// Radius of a circle about the middle that holds the whole opening.
    fn reach(&self) -> f64 {
        match &self.form {
            Form::Capsule { core, radius } => core.0.distance(core.1) / 2.0 + radius,
            Form::Free { contour } => {
                let b = contour.bounds();
                b.width().hypot(b.height()) / 2.0
            }
        }
    }

    fn contour(&self) -> Contour {
        match &self.form {
            Form::Capsule { core, radius } => {
                let along = core.1 - core.0;
                Contour::slot(
                    core.0.midpoint(core.1),
                    along.hypot() + 2.0 * radius,
                    2.0 * radius,
                    along.atan2(),
                )
            }
            Form::Free { contour } => contour.clone(),
        }
    }

    /// What lies between two openings.
    pub(super) fn gap_to(&self, other: &Self) -> Option<Gap> {
        if let (Form::Capsule { core: a, radius: r }, Form::Capsule { core: b, radius: s }) =
            (&self.form, &other.form)
        {
            let (d, p, q) = segment_gap(*a, *b);
            return Some(shrink(d, p, q, *r, *s));
        }
        contour_gap(&self.contour(), &other.contour())
    }

    /// What lies between the opening and the steel outline, if less than `limit` mm. For an opening that lies within the
    /// steel or, if round, anywhere: then the gap is measured from the middle, and its sign tells nothing.
    pub(super) fn gap_to_outline(
        &self,
        steel: &Contour,
        index: &SpanIndex,
        limit: f64,
    ) -> Option<Gap> {
        if !index.comes_within(self.center, self.reach() + limit) {
            return None;
        }
        let gap = match &self.form {
            Form::Capsule { core, radius } => {
                let (d, p, q) = if core.0 == core.1 {
                    let nearest = steel.nearest(core.0)?;
                    (nearest.distance, core.0, nearest.at)
                } else {
                    let line = Contour {
                        pieces: vec![Piece::line(core.0, core.1)],
                    };
                    contour_gap(&line, steel)?
                };
                shrink(d, p, q, *radius, 0.0)
            }
            Form::Free { contour } => contour_gap(contour, steel)?,
        };
        (gap.0 < limit).then_some(gap)
    }
}

/// A distance between two cores, less the radii about them.
fn shrink(d: f64, p: Point, q: Point, r: f64, s: f64) -> Gap {
    if d <= 0.0 {
        return (-r - s, p, q);
    }
    let u = (q - p) / d;
    (d - r - s, p + u * r, q - u * s)
}

/// All openings of a knife, single cut-outs first, then rows hole by hole, in the order of [`Knife::all_cut_outs`].
pub(super) fn openings<'a>(knife: &'a Knife, index: &SpanIndex) -> Vec<Opening<'a>> {
    let single = knife.cut_outs.iter().map(Opening::of_cut_out);
    let rows = knife.rows.iter().flat_map(|row| {
        row.holes(index)
            .into_iter()
            .enumerate()
            .map(|(i, (center, d))| Opening {
                id: row.id,
                in_row: Some(i + 1),
                purpose: row.purpose,
                filling: &row.filling,
                center,
                form: Form::Capsule {
                    core: (center, center),
                    radius: d / 2.0,
                },
            })
    });
    single.chain(rows).collect()
}
