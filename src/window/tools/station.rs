//! Stations of the taper: dragged on the knife from above, along the knife and in thickness at once; moved by arrow keys.

use egui::{Pos2, Response};

use super::Gesture;
use crate::edit::{Change, Edit, Thing};
use crate::geometry::Vec2;
use crate::knife::{Faces, Id, Knife, SMALLEST_MM, ThicknessStation};
use crate::units::{LengthUnit, MM_PER_INCH};
use crate::window::action::Action;
use crate::window::bar::station_z_mm;
use crate::window::session::Session;
use crate::window::shown::Shown;

/// A station is dragged to no less than this, mm: thinner steel is typed, not slipped to.
const LEAST_DRAGGED_MM: f64 = 0.2;

/// Takes hold of a station of the taper.
pub(super) fn start(
    response: &Response,
    shown: &Shown<'_>,
    session: &mut Session,
    place: usize,
    actions: &mut Vec<Action>,
) {
    let origin = response.ctx.input(|i| i.pointer.press_origin());
    let (Some(origin), Some((knife, _))) = (origin, shown.knife(session.knife)) else {
        return;
    };
    let taper = knife.grinding.taper.as_ref();
    let (Some(station), Some(at)) = (
        taper.and_then(|t| t.stations.get(place)),
        pointed_at(session, origin),
    ) else {
        return;
    };
    let grip = Vec2::new(station.x_mm, station_z_mm(knife, *station)) - at;
    actions.push(Action::Pick(vec![Thing::TaperStation(place)]));
    actions.push(Action::Begin("move station of the taper".to_owned()));
    session.gesture = Gesture::Station { place, grip };
}

/// Brings a held station to the pointer.
pub(super) fn follow(
    shown: &Shown<'_>,
    session: &Session,
    (place, grip): (usize, Vec2),
    pos: Pos2,
    free: bool,
    actions: &mut Vec<Action>,
) {
    let Some((knife, results)) = shown.knife(session.knife) else {
        return;
    };
    let (Some(at), Some(taper)) = (pointed_at(session, pos), &knife.grinding.taper) else {
        return;
    };
    let at = at + grip;
    let half = knife.stock.thickness_mm / 2.0;
    let thickness_mm = match taper.faces {
        Faces::Both => -2.0 * at.y,
        Faces::Right => at.y + half,
        Faces::Left => half - at.y,
    };
    let (along, through) = match session.preferences.length_unit {
        _ if free || !session.preferences.snaps.grid => (0.0, 0.0),
        LengthUnit::Mm => (1.0, 0.05),
        LengthUnit::DecimalInch | LengthUnit::FractionInch => {
            (MM_PER_INCH / 32.0, MM_PER_INCH / 500.0)
        }
    };
    let bounds = results.steel.bounds();
    let wanted = ThicknessStation {
        x_mm: rounded(at.x, along).clamp(bounds.x0, bounds.x1),
        thickness_mm: rounded(thickness_mm, through)
            .min(knife.stock.thickness_mm)
            .max(LEAST_DRAGGED_MM.min(knife.stock.thickness_mm)),
    };
    actions.extend(moved(knife, place, wanted));
}

/// A picked station moved by arrow keys: along the knife, and thicker or thinner. Nothing when it is not a station alone that is
/// picked.
pub(super) fn nudged(session: &Session, knife: &Knife, by: Vec2) -> Option<Action> {
    let [Thing::TaperStation(place)] = session.picked.as_slice() else {
        return None;
    };
    let station = knife.grinding.taper.as_ref()?.stations.get(*place)?;
    let wanted = ThicknessStation {
        x_mm: station.x_mm + by.x,
        thickness_mm: (station.thickness_mm + by.y).min(knife.stock.thickness_mm),
    };
    moved(knife, *place, wanted)
}

/// The taper with a station moved; it stays between its neighbors.
fn moved(knife: &Knife, place: usize, wanted: ThicknessStation) -> Option<Action> {
    let mut taper = knife.grinding.taper.clone()?;
    let before = place.checked_sub(1).and_then(|i| taper.stations.get(i));
    let low = before.map_or(f64::NEG_INFINITY, |s| s.x_mm + SMALLEST_MM);
    let after = taper.stations.get(place + 1);
    let high = after.map_or(f64::INFINITY, |s| s.x_mm - SMALLEST_MM);
    let station = taper.stations.get_mut(place)?;
    let new = ThicknessStation {
        x_mm: wanted.x_mm.max(low).min(high),
        ..wanted
    };
    if *station == new {
        return None;
    }
    *station = new;
    Some(change(knife.id, Change::SetTaper { taper: Some(taper) }))
}

fn change(knife: Id, change: Change) -> Action {
    Action::Edit(Edit::knife(knife, change))
}

/// Place along the knife and over the mid-plane under the pointer, mm.
fn pointed_at(session: &Session, pos: Pos2) -> Option<Vec2> {
    let (canvas, strip) = (session.canvas?, session.strip?);
    let x = session.view().model_from_screen(canvas, pos).x;
    Some(Vec2::new(x, strip.z_mm(pos.y)))
}

fn rounded(value: f64, step: f64) -> f64 {
    if step > 0.0 {
        (value / step).round() * step
    } else {
        value
    }
}
