//! Tangs to begin from when the maker asks for the other kind: numbers, nothing fitted yet.

use crate::catalog::{hidden_tang, stub_tang};
use crate::knife::{FullTang, HiddenTang, Knife, LandmarkKind, Tang, TangEnd};

/// Height of the shoulder, mm; 0 where it is not marked.
#[must_use]
pub(super) fn shoulder_mm(knife: &Knife) -> f64 {
    let y = |kind| knife.landmark_point(kind).map(|p| p.y);
    match (
        y(LandmarkKind::UpperShoulder),
        y(LandmarkKind::LowerShoulder),
    ) {
        (Some(upper), Some(lower)) => upper - lower,
        _ => 0.0,
    }
}

/// A full tang as long as the present tang, with an even, modest swell.
#[must_use]
pub(super) fn usual_full(knife: &Knife) -> Tang {
    let shoulder = shoulder_mm(knife);
    Tang::Full(FullTang {
        length_mm: held_mm(knife),
        butt_height_mm: shoulder.max(10.0),
        belly_mm: 0.1 * shoulder,
        drop_mm: 0.15 * shoulder,
        finger_mm: 0.05 * shoulder,
        hook_mm: 0.15 * shoulder,
    })
}

/// A hidden tang as long as the present tang, of the usual width as far as the shoulder leaves room.
#[must_use]
pub(super) fn usual_hidden(knife: &Knife) -> Tang {
    let usual = hidden_tang();
    let middle = |(low, high): (f64, f64)| f64::midpoint(low, high);
    let radius = middle(usual.shoulder_radius_mm);
    let most = (shoulder_mm(knife) - 2.0 * radius - 1.0).max(1.0);
    let width = middle(usual.width_mm).min(most);
    Tang::Hidden(HiddenTang {
        length_mm: held_mm(knife),
        shoulder_width_mm: width,
        end_width_mm: 0.7 * width,
        shoulder_radius_mm: radius,
        end: TangEnd::Square,
    })
}

/// A partial tang as makers cut a stub: as high as the shoulder leaves room for up to the usual height, no longer than one pin holds.
#[must_use]
pub(super) fn usual_partial(knife: &Knife) -> Tang {
    let usual = stub_tang();
    let radius = hidden_tang().shoulder_radius_mm.0;
    let most = (shoulder_mm(knife) - 2.0 * radius - 1.0).max(1.0);
    let width = usual.width_mm.1.min(most);
    Tang::Partial(HiddenTang {
        length_mm: (PARTIAL_SHARE * held_mm(knife)).min(usual.most_length_mm),
        shoulder_width_mm: width,
        end_width_mm: 0.85 * width,
        shoulder_radius_mm: radius,
        end: TangEnd::Round,
    })
}

/// A partial tang's share of the handle, where nothing else is said. Our own choice.
const PARTIAL_SHARE: f64 = 0.6;

/// Length of what the hand holds, mm: the tang's, but for a partial one the handle's, or what it would be the usual share of.
fn held_mm(knife: &Knife) -> f64 {
    let length = knife.tang.length_mm();
    let Tang::Partial(_) = knife.tang else {
        return length;
    };
    let own = knife.handle.as_ref().and_then(|h| h.outline.as_ref());
    own.map_or(length / PARTIAL_SHARE, |outline| {
        (-outline.contour().bounds().x0).max(length)
    })
}
