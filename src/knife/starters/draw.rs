//! From a form's drawing and the asked sizes to a knife.

use kurbo::{Point, Vec2};

use super::forms;
use super::stroke::{Drawing, Handle};
use super::{StarterError, StarterSizes};
use crate::geometry::outline_faults;
use crate::knife::{
    FullTang, HiddenTang, Joint, Knife, LARGEST_MM, LandmarkKind, Node, Outline, Spot, Stock, Tang,
    TangEnd, extent, fit_tang,
};

/// Least blade length, height and overall length of a starter, mm: below, no tool makes it.
const LEAST_MM: f64 = 5.0;
/// Least and most stock thickness, mm.
const STOCK_MM: (f64, f64) = (0.2, 30.0);
/// How far bar of this kind is usually off its nominal thickness, as a share: common practice, no source.
const STOCK_OFF: f64 = 0.025;
/// Tolerances are told in steps of a twentieth of a millimeter.
const STEPS_PER_MM: f64 = 20.0;
/// Inside radius at the shoulders of a hidden tang as a share of the shoulder's height: 1.5 to 2 mm on the shoulders drawn here.
const SHOULDER_RADIUS: f64 = 0.12;

pub(super) fn make(
    key: &str,
    sizes: &StarterSizes,
    material_key: &str,
) -> Result<Knife, StarterError> {
    let unknown = || StarterError::UnknownForm {
        key: key.to_owned(),
    };
    let drawing = forms::drawing(key).ok_or_else(unknown)?;
    judge(sizes)?;
    let mut knife = blade(drawing, sizes);
    knife.stock.material = material_key.to_owned();
    let tang = knife.tang;
    fit_tang(&mut knife, tang)?;
    match outline_faults(&knife.contour().pieces).into_iter().next() {
        Some(fault) => Err(StarterError::Outline { fault }),
        None => Ok(knife),
    }
}

fn judge(sizes: &StarterSizes) -> Result<(), StarterError> {
    let (thin, thick) = STOCK_MM;
    for (what, value, least, most) in [
        ("overall length", sizes.overall_mm, LEAST_MM, LARGEST_MM),
        ("blade length", sizes.blade_mm, LEAST_MM, LARGEST_MM),
        ("height", sizes.height_mm, LEAST_MM, LARGEST_MM),
        ("stock thickness", sizes.stock_mm, thin, thick),
    ] {
        if !(least..=most).contains(&value) {
            return Err(StarterError::OutOfRange {
                what,
                value,
                least,
                most,
            });
        }
    }
    let StarterSizes {
        overall_mm,
        blade_mm,
        height_mm,
        ..
    } = *sizes;
    if blade_mm >= overall_mm {
        return Err(StarterError::NoHandle {
            blade_mm,
            overall_mm,
        });
    }
    if height_mm >= blade_mm {
        return Err(StarterError::TooDeep {
            blade_mm,
            height_mm,
        });
    }
    Ok(())
}

/// The blade at its asked sizes, closed straight behind the shoulders, with the tang's numbers set but the tang not yet made.
fn blade(drawing: &Drawing, sizes: &StarterSizes) -> Knife {
    let mut knife = drawn(drawing);
    // The drawing's own depth is measured, so that the asked height comes out whatever the curves do.
    let depth_mm = extent(&knife, &knife.contour().index()).height_mm;
    let along = sizes.blade_mm / drawing.sizes.blade_mm;
    let across = sizes.height_mm / depth_mm;
    let scaled = |v: Vec2| Vec2::new(v.x * along, v.y * across);
    for node in &mut knife.outline.nodes {
        node.at = scaled(node.at.to_vec2()).to_point();
        node.handle_in = node.handle_in.map(scaled);
        node.handle_out = node.handle_out.map(scaled);
    }
    knife.stock.thickness_mm = sizes.stock_mm;
    knife.stock.tolerance_mm = stock_tolerance(sizes.stock_mm);
    let handle_mm = sizes.overall_mm - sizes.blade_mm;
    knife.tang = tang(&drawing.handle, handle_mm, drawing.shoulder_mm * across);
    knife
}

/// The blade as drawn, closed straight behind the shoulders.
fn drawn(drawing: &Drawing) -> Knife {
    let mut knife = Knife {
        form: drawing.form.key.to_owned(),
        next_id: 1,
        ..Knife::bare(
            drawing.form.name,
            Outline::default(),
            Stock::plain(drawing.sizes.stock_mm, 0.0, ""),
            tang(&drawing.handle, 0.0, drawing.shoulder_mm),
        )
    };
    for stroke in drawing.blade {
        let id = knife.take_id();
        knife.outline.nodes.push(Node {
            id,
            at: Point::from(stroke.at),
            handle_in: stroke.handle_in(),
            handle_out: stroke.handle_out(),
            joint: if stroke.smooth {
                Joint::Smooth
            } else {
                Joint::Corner
            },
        });
        if let Some(kind) = stroke.mark {
            knife.set_landmark(kind, Spot { node: id, t: 0.0 });
        }
        let (kind, t) = match stroke.mark {
            Some(LandmarkKind::Heel) => (LandmarkKind::Plunge, drawing.plunge),
            Some(LandmarkKind::Tip) => (LandmarkKind::SpineStart, drawing.spine_start),
            _ => continue,
        };
        // The end of a piece is the node after it, which has the next id.
        let spot = if t < 1.0 {
            Spot { node: id, t }
        } else {
            Spot {
                node: knife.next_id,
                t: 0.0,
            }
        };
        knife.set_landmark(kind, spot);
    }
    knife
}

/// Thickness tolerance of a bar, mm, rounded up to 0.05 mm.
fn stock_tolerance(stock_mm: f64) -> f64 {
    (stock_mm * STOCK_OFF * STEPS_PER_MM).ceil() / STEPS_PER_MM
}

/// The tang's numbers for a shoulder of the given height, to 0.1 mm as a maker would set them.
fn tang(handle: &Handle, length_mm: f64, shoulder_mm: f64) -> Tang {
    let share = |share: f64| (share * shoulder_mm * 10.0).round() / 10.0;
    match *handle {
        Handle::Full {
            butt,
            belly,
            drop,
            finger,
            hook,
        } => Tang::Full(FullTang {
            length_mm,
            butt_height_mm: share(butt),
            belly_mm: share(belly),
            drop_mm: share(drop),
            finger_mm: share(finger),
            hook_mm: share(hook),
        }),
        Handle::Hidden { root, end } => Tang::Hidden(HiddenTang {
            length_mm,
            shoulder_width_mm: share(root),
            end_width_mm: share(end),
            shoulder_radius_mm: share(SHOULDER_RADIUS),
            end: TangEnd::Round,
        }),
    }
}
