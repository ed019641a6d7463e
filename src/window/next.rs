//! The next useful thing for a first knife, told from how the knife stands: where the window points, and a line of words.

use egui::{Rect, Stroke, StrokeKind, Ui};

use super::bench::BenchPage;
use super::session::Session;
use super::shown::Shown;
use super::theme::Palette;
use crate::checks::Severity;
use crate::knife::Tang;

/// What the window points at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Next {
    /// The + of the rack.
    Rack,
    /// The Grind card.
    Bevel,
    /// The Drill card.
    Pins,
    /// The Handle card.
    Handle,
    /// The findings.
    Findings,
    /// The File menu.
    Save,
    /// The Template card.
    Template,
}

impl Next {
    /// The next step of the only knife of a set, in the order of the work; `None` once there are more knives, and when all is done.
    #[must_use]
    pub(super) fn of(shown: &Shown<'_>, session: &Session) -> Option<Self> {
        if !session.preferences.next_step || session.page != BenchPage::Drawing {
            return None;
        }
        let knife = match shown.set.knives.as_slice() {
            [] => return Some(Self::Rack),
            [knife] => knife,
            _ => return None,
        };
        let drilled = !(knife.cut_outs.is_empty() && knife.rows.is_empty());
        let full = matches!(knife.tang, Tang::Full(_));
        if knife.grinding.grinds.is_empty() {
            return Some(Self::Bevel);
        }
        if full && !drilled {
            return Some(Self::Pins);
        }
        if knife.handle.is_none() {
            return Some(Self::Handle);
        }
        let findings = shown
            .results
            .of(knife.id)
            .map(|r| r.weighed.findings.as_slice());
        let worst = findings.unwrap_or_default().first().map(|f| f.severity);
        if matches!(worst, Some(Severity::Stop | Severity::Warn)) {
            return Some(Self::Findings);
        }
        if shown.filing.changed() || shown.filing.path().is_none() {
            return Some(Self::Save);
        }
        (!session.printed).then_some(Self::Template)
    }

    /// What to do, in one line.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Rack => "Next: press + in the rack and choose a blade to start from",
            Self::Bevel => {
                "Next: open the Grind card and press Bevel; the steel weighs less at once"
            }
            Self::Pins => "Next: take the Drill and click on the tang, once for each pin",
            Self::Handle => "Next: open the Handle card and put a handle on",
            Self::Findings => {
                "Next: look at the findings here; a click on one shows its place and what mends it"
            }
            Self::Save => "Next: save the set, with File, Save",
            Self::Template => {
                "Next: print the template, on the Template card; it comes out at true size"
            }
        }
    }
}

/// Points at something: a bright line around it.
pub(super) fn point_at(ui: &Ui, rect: Rect, palette: &Palette) {
    let stroke = Stroke::new(2.0, palette.bright);
    ui.painter()
        .rect_stroke(rect.expand(2.0), 6.0, stroke, StrokeKind::Outside);
}
