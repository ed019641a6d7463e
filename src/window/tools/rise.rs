//! Grinds held on the drawing: how far one rises at a station, and the line it ends at.

use egui::Response;

use super::Gesture;
use crate::edit::{Change, Edit};
use crate::geometry::{Point, Vec2};
use crate::knife::{Cut, Face, Grind, Id, Knife, PlungeLine, Rise, RunPlace, Sides};
use crate::units::{LengthUnit, MM_PER_INCH};
use crate::weighing::EdgePlan;
use crate::window::action::Action;
use crate::window::session::Session;
use crate::window::shown::Shown;

/// A rise is dragged to no less than this, mm.
const LEAST_RISE_MM: f64 = 0.2;
/// Plunge lines are dragged within these, degrees.
const PLUNGE_DEGREES: std::ops::RangeInclusive<f64> = 20.0..=160.0;
/// An even rise is held in the middle of its run.
const HELD_AT: f64 = 0.5;

/// What of a grind is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum GrindGrip {
    /// How far it rises at a station.
    Rise {
        /// The grind.
        grind: Id,
        /// The face.
        face: Face,
        /// The station's place.
        station: usize,
    },
    /// The line it ends at.
    Plunge {
        /// The grind.
        grind: Id,
        /// Whether it is the line at the end of the run, not at its beginning.
        at_end: bool,
    },
}

impl GrindGrip {
    /// The grind it is on.
    #[must_use]
    pub fn grind(self) -> Id {
        match self {
            Self::Rise { grind, .. } | Self::Plunge { grind, .. } => grind,
        }
    }

    /// What the edit is called.
    #[must_use]
    pub(in crate::window) fn label(self) -> &'static str {
        match self {
            Self::Rise { .. } => "change bevel height",
            Self::Plunge { .. } => "turn plunge line",
        }
    }
}

/// A grip on the drawing: the foot on the run, the way into the steel, and where it is held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::window) struct Held {
    /// Where the grip's line begins, on the run.
    pub foot: Point,
    /// Unit vector it goes along.
    pub way: Vec2,
    /// How far it reaches along it, mm.
    pub reach_mm: f64,
    /// Where it is held.
    pub at: Point,
    /// Height, mm, or angle, radians: what its number says.
    pub value: f64,
}

/// Every grip of a grind.
pub(in crate::window) fn grips(grind: &Grind) -> Vec<GrindGrip> {
    let id = grind.id;
    let faces: &[Face] = match &grind.sides {
        Sides::Both(_) | Sides::Right(_) => &[Face::Right],
        Sides::Left(_) => &[Face::Left],
        Sides::Each { .. } => &[Face::Right, Face::Left],
    };
    let mut grips = Vec::new();
    for face in faces {
        let stations = grind.sides.on(*face).map_or(0, |c| c.rise.stations().len());
        grips.extend((0..stations).map(|station| GrindGrip::Rise {
            grind: id,
            face: *face,
            station,
        }));
    }
    for (at_end, line) in [(false, &grind.plunge_from), (true, &grind.plunge_to)] {
        if line.is_some() {
            grips.push(GrindGrip::Plunge { grind: id, at_end });
        }
    }
    grips
}

/// Where a grip is held; `None` when the grind has no run or is gone.
pub(in crate::window) fn held(knife: &Knife, grip: GrindGrip) -> Option<Held> {
    let grind = grind_of(knife, grip.grind())?;
    let path = knife.run_path(grind.run)?;
    match grip {
        GrindGrip::Rise { face, station, .. } => {
            let cut = grind.sides.on(face)?;
            let place = path.at_share(share_of(cut, station)?)?;
            let height = height_at(knife, grind, face, cut, station, &place)?;
            let at = place.point + place.inward() * height;
            Some(Held {
                foot: place.point,
                way: place.inward(),
                reach_mm: height,
                at,
                value: height,
            })
        }
        GrindGrip::Plunge { at_end, .. } => {
            let (place, line) = if at_end {
                (path.end()?, grind.plunge_to?)
            } else {
                (path.start()?, grind.plunge_from?)
            };
            let (sin, cos) = line.angle_rad.sin_cos();
            let way = into_grind(&place, at_end) * cos + place.inward() * sin;
            let (face, cut) = first_cut(grind)?;
            let last = cut.rise.stations().len().saturating_sub(1);
            let station = if at_end { last } else { 0 };
            let height = height_at(knife, grind, face, cut, station, &place)?;
            let reach_mm = height / sin.max(0.2);
            Some(Held {
                foot: place.point,
                way,
                reach_mm,
                at: place.point + way * reach_mm,
                value: line.angle_rad,
            })
        }
    }
}

fn grind_of(knife: &Knife, id: Id) -> Option<&Grind> {
    knife.grinding.grinds.iter().find(|g| g.id == id)
}

fn first_cut(grind: &Grind) -> Option<(Face, &Cut)> {
    Face::ALL
        .into_iter()
        .find_map(|face| Some((face, grind.sides.on(face)?)))
}

fn share_of(cut: &Cut, station: usize) -> Option<f64> {
    match cut.rise.stations() {
        [_] => Some(HELD_AT),
        stations => stations.get(station).map(|s| s.at),
    }
}

fn into_grind(place: &RunPlace, at_end: bool) -> Vec2 {
    if at_end { -place.along } else { place.along }
}

fn height_at(
    knife: &Knife,
    grind: &Grind,
    face: Face,
    cut: &Cut,
    station: usize,
    place: &RunPlace,
) -> Option<f64> {
    let value = cut.rise.stations().get(station)?.value;
    match cut.rise {
        Rise::Height(_) => Some(value),
        Rise::Angle(_) => EdgePlan::at(knife, grind, place.point.x)
            .height_for_angle_mm(face, value)
            .ok(),
    }
}

/// Takes hold of a grip.
pub(in crate::window) fn start(
    response: &Response,
    shown: &Shown<'_>,
    session: &mut Session,
    grip: GrindGrip,
    actions: &mut Vec<Action>,
) {
    let origin = response.ctx.input(|i| i.pointer.press_origin());
    let (Some(origin), Some(canvas), Some((knife, _))) =
        (origin, session.canvas, shown.knife(session.knife))
    else {
        return;
    };
    let Some(held) = held(knife, grip) else {
        return;
    };
    let off = held.at - session.view().model_from_screen(canvas, origin);
    actions.push(Action::Begin(grip.label().to_owned()));
    session.gesture = Gesture::Grind { grip, off };
}

/// Brings a held grip to a place.
pub(super) fn follow(
    shown: &Shown<'_>,
    session: &Session,
    grip: GrindGrip,
    at: Point,
    free: bool,
    actions: &mut Vec<Action>,
) {
    let Some((knife, _)) = shown.knife(session.knife) else {
        return;
    };
    let Some(held) = held(knife, grip) else {
        return;
    };
    let off = at - held.foot;
    let snaps = session.preferences.snaps.grid && !free;
    let value = match grip {
        GrindGrip::Rise { .. } => {
            let step = match session.preferences.length_unit {
                _ if !snaps => 0.0,
                LengthUnit::Mm => 0.1,
                LengthUnit::DecimalInch | LengthUnit::FractionInch => MM_PER_INCH / 256.0,
            };
            rounded(off.dot(held.way), step)
        }
        GrindGrip::Plunge { at_end, .. } => {
            let Some(place) = end_place(knife, grip.grind(), at_end) else {
                return;
            };
            let (into, inward) = (into_grind(&place, at_end), place.inward());
            let degrees = off.dot(inward).atan2(off.dot(into)).to_degrees();
            rounded(degrees, if snaps { 1.0 } else { 0.0 }).to_radians()
        }
    };
    actions.extend(set(knife, grip, value));
}

/// A grip moved by an arrow key: `by` millimeters higher, or that many times five degrees.
pub(in crate::window) fn stepped(knife: &Knife, grip: GrindGrip, by: f64) -> Option<Action> {
    let now = held(knife, grip)?.value;
    let step = match grip {
        GrindGrip::Rise { .. } => by,
        GrindGrip::Plunge { .. } => (10.0 * by).to_radians(),
    };
    set(knife, grip, now + step)
}

fn end_place(knife: &Knife, grind: Id, at_end: bool) -> Option<RunPlace> {
    let path = knife.run_path(grind_of(knife, grind)?.run)?;
    if at_end { path.end() } else { path.start() }
}

/// The grind with a grip brought to a height, mm, or an angle, radians.
fn set(knife: &Knife, grip: GrindGrip, value: f64) -> Option<Action> {
    let mut new = grind_of(knife, grip.grind())?.clone();
    match grip {
        GrindGrip::Rise { face, station, .. } => {
            let height = value.max(LEAST_RISE_MM);
            let path = knife.run_path(new.run)?;
            let cut = new.sides.on(face)?;
            let by_angle = matches!(cut.rise, Rise::Angle(_));
            let value = if by_angle {
                let place = path.at_share(share_of(cut, station)?)?;
                let plan = EdgePlan::at(knife, &new, place.point.x);
                plan.angle_for_height_rad(face, height).ok()?
            } else {
                height
            };
            let cut = match (&mut new.sides, face) {
                (Sides::Both(cut) | Sides::Right(cut) | Sides::Left(cut), _)
                | (Sides::Each { right: cut, .. }, Face::Right)
                | (Sides::Each { left: cut, .. }, Face::Left) => cut,
            };
            cut.rise.stations_mut().get_mut(station)?.value = value;
        }
        GrindGrip::Plunge { at_end, .. } => {
            let line = if at_end {
                &mut new.plunge_to
            } else {
                &mut new.plunge_from
            };
            let degrees = value
                .to_degrees()
                .clamp(*PLUNGE_DEGREES.start(), *PLUNGE_DEGREES.end());
            *line = line.map(|line| PlungeLine {
                angle_rad: degrees.to_radians(),
                ..line
            });
        }
    }
    let same = grind_of(knife, new.id) == Some(&new);
    (!same).then(|| Action::Edit(Edit::knife(knife.id, Change::SetGrind { grind: new })))
}

fn rounded(value: f64, step: f64) -> f64 {
    if step > 0.0 {
        (value / step).round() * step
    } else {
        value
    }
}
