//! What a drawing of a form is made of: strokes from node to node, and a handle.

use kurbo::Vec2;

use super::{StarterForm, StarterSizes};
use crate::knife::LandmarkKind;

/// One node of a drawing, with the heading and length of the handles on either side.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stroke {
    /// Where, mm.
    pub at: (f64, f64),
    /// Heading of travel on arriving, degrees, and length of the handle, mm.
    pub arrive: Option<(f64, f64)>,
    /// Heading of travel on leaving, degrees, and length of the handle, mm.
    pub leave: Option<(f64, f64)>,
    /// Whether both headings are one.
    pub smooth: bool,
    /// The landmark that sits here.
    pub mark: Option<LandmarkKind>,
}

impl Stroke {
    /// Handle toward the piece before.
    pub(super) fn handle_in(&self) -> Option<Vec2> {
        let (heading, length) = self.arrive?;
        Some(direction(heading) * -length)
    }

    /// Handle toward the piece after.
    pub(super) fn handle_out(&self) -> Option<Vec2> {
        let (heading, length) = self.leave?;
        Some(direction(heading) * length)
    }

    pub(super) const fn arrive(mut self, heading: f64, length: f64) -> Self {
        self.arrive = Some((heading, length));
        self
    }

    pub(super) const fn leave(mut self, heading: f64, length: f64) -> Self {
        self.leave = Some((heading, length));
        self
    }

    pub(super) const fn mark(mut self, kind: LandmarkKind) -> Self {
        self.mark = Some(kind);
        self
    }
}

/// Direction of a heading in degrees, its parts to 1e-9: the last digits of sines differ between platforms, and the same form must give the
/// same knife on all of them.
fn direction(heading: f64) -> Vec2 {
    let (sin, cos) = heading.to_radians().sin_cos();
    let part = |v: f64| (v * 1e9).round() / 1e9;
    Vec2::new(part(cos), part(sin))
}

/// A corner at a point.
pub(super) const fn corner(x: f64, y: f64) -> Stroke {
    Stroke {
        at: (x, y),
        arrive: None,
        leave: None,
        smooth: false,
        mark: None,
    }
}

/// A smooth node passed at a heading, with handle lengths before and after.
pub(super) const fn smooth(x: f64, y: f64, heading: f64, before: f64, after: f64) -> Stroke {
    Stroke {
        at: (x, y),
        arrive: Some((heading, before)),
        leave: Some((heading, after)),
        smooth: true,
        mark: None,
    }
}

/// The handle of a form, as shares of the shoulder's height.
#[derive(Clone, Copy, Debug)]
pub(super) enum Handle {
    /// See [`crate::knife::FullTang`].
    Full {
        butt: f64,
        belly: f64,
        drop: f64,
        finger: f64,
        hook: f64,
    },
    /// Widths at the shoulder and at the end; see [`crate::knife::HiddenTang`].
    Hidden { root: f64, end: f64 },
}

/// A form's drawing.
#[derive(Clone, Copy, Debug)]
pub(super) struct Drawing {
    /// Key, name, hint.
    pub form: StarterForm,
    /// Usual sizes. The drawing is as long as its blade; its depth is near the height and is measured.
    pub sizes: StarterSizes,
    /// Height of the shoulder as drawn.
    pub shoulder_mm: f64,
    /// From the lower shoulder to the upper.
    pub blade: &'static [Stroke],
    /// Where the bevel begins on the edge piece that leaves the heel, 0..1.
    pub plunge: f64,
    /// Where the spine begins to fall, on the piece that leaves the tip, 0..1.
    pub spine_start: f64,
    /// The handle.
    pub handle: Handle,
}
