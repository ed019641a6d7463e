//! The bevel, the false edge and the second bevel that are usual for a blade.

use super::habit::{Bevel, Habit, habit};
use super::{USUAL_PLUNGE, USUAL_WHEEL_RADIUS_MM, depth_mm, edge_run, tenths};
use crate::geometry::Contour;
use crate::knife::{
    Cut, CutForm, Faces, Grind, Knife, LandmarkKind, Rise, RiseStation, Run, RunPath, Sides,
};

/// Most of the blade's depth a bevel of part height takes, even if its angle would ask for more.
const MOST_OF_DEPTH: f64 = 0.9;
/// Most of the bar's thickness left as an edge.
const MOST_EDGE: f64 = 0.3;
/// Where the second station of a bevel stands, as a share of the run: ahead of the belly, behind the tip, where the blade runs out.
const SECOND_STATION: f64 = 0.75;
/// A bow as full as this times the one that comes out level with the face: it still meets the face in a line.
const BOW: f64 = 2.0;
/// Angle of a false edge that is not sharpened, degrees of one face, of the 15 to 30 that are met. Common practice, no source.
const FALSE_EDGE_DEG: f64 = 20.0;
/// How much steeper a second bevel is at least than the first, degrees, so that it cuts anything.
const STEEPER_DEG: f64 = 3.0;

fn grind(name: &str, run: Run, sides: Sides, edge_mm: f64) -> Grind {
    Grind {
        id: 0,
        name: name.to_owned(),
        run,
        sides,
        edge_mm,
        edge_offset_mm: 0.0,
        plunge_from: None,
        plunge_to: None,
        after_hardening: false,
    }
}

fn flat(rise: Rise) -> Cut {
    Cut {
        form: CutForm::Flat,
        rise,
    }
}

/// The bevel on the edge that is usual for the blade's use, before hardening. `None` while the knife has no run for it: no tip, or neither
/// plunge, heel nor shoulder.
#[must_use]
pub fn usual_bevel(knife: &Knife) -> Option<Grind> {
    let run = edge_run(knife)?;
    let Habit { bevel, edge_mm, .. } = habit(knife);
    let edge_mm = edge_mm.min(MOST_EDGE * knife.stock.thickness_mm);
    let blade = Blade {
        contour: knife.contour(),
        path: knife.run_path(run)?,
    };
    // From the face to the edge, where both faces are ground alike.
    let drop = (knife.stock.thickness_mm - edge_mm) / 2.0;
    let sides = match bevel {
        Bevel::FullFlat => Sides::Both(flat(Rise::even_height(blade.deepest_mm()?))),
        Bevel::PartFlat(share) => Sides::Both(flat(blade.part_height(share)?)),
        Bevel::Angle(degrees) => Sides::Both(flat(blade.angle(degrees, drop)?)),
        Bevel::Chisel(degrees) => Sides::Right(flat(blade.angle(degrees, 2.0 * drop)?)),
        Bevel::Hollow(share) => Sides::Both(Cut {
            form: CutForm::Hollow {
                wheel_radius_mm: USUAL_WHEEL_RADIUS_MM,
            },
            rise: blade.part_height(share)?,
        }),
        Bevel::Convex(share) => {
            let rise = blade.part_height(share)?;
            let radius_mm = bow_mm(&rise, drop);
            Sides::Both(Cut {
                form: CutForm::Convex { radius_mm },
                rise,
            })
        }
    };
    let mut new = grind("bevel", run, sides, edge_mm);
    new.plunge_from = Some(USUAL_PLUNGE);
    Some(new)
}

/// Radius of a bow of moderate fullness, mm, whole. One that drops by `d` over the height `h` and comes out level with the face has the radius
/// `(h² + d²)/(2·d)`: Pythagoras in the triangle from its middle to the edge.
fn bow_mm(rise: &Rise, drop: f64) -> f64 {
    let height = rise.stations().iter().fold(1.0, |h: f64, s| h.max(s.value));
    (BOW * (height * height + drop * drop) / (2.0 * drop)).ceil()
}

/// The faces that are ground at the edge: those of the first bevel there, or before there is one, of the usual bevel. The flat face of a chisel
/// grind stays flat all over.
pub(super) fn edge_faces(knife: &Knife) -> Faces {
    let mut grinds = knife.grinding.grinds.iter();
    match grinds.find(|grind| grind.run.is_on_edge()) {
        Some(first) => first.sides.faces(),
        None if matches!(habit(knife).bevel, Bevel::Chisel(_)) => Faces::Right,
        None => Faces::Both,
    }
}

/// The false edge that is usual on the spine behind the tip, unsharpened, on the faces that are ground at the edge. Its landmark is seated when it is added, if it is not set. `None` while the
/// knife has no tip.
#[must_use]
pub fn usual_false_edge(knife: &Knife) -> Option<Grind> {
    knife.landmark(LandmarkKind::Tip)?;
    let run = Run {
        from: LandmarkKind::Tip,
        to: LandmarkKind::FalseEdge,
    };
    let cut = flat(Rise::even_angle(FALSE_EDGE_DEG.to_radians()));
    let thickness = knife.stock.thickness_mm;
    // Left blunt: a fifth of the bar, within what is met. Common practice, no source.
    let edge_mm = (0.2 * thickness).clamp(0.5, 1.2).min(MOST_EDGE * thickness);
    let sides = match edge_faces(knife) {
        Faces::Both => Sides::Both(cut),
        Faces::Right => Sides::Right(cut),
        Faces::Left => Sides::Left(cut),
    };
    let mut new = grind("false edge", run, sides, edge_mm);
    new.plunge_to = Some(USUAL_PLUNGE);
    Some(new)
}

/// The second bevel that is usual over the first one on the edge, on the same faces, to nothing, after hardening. `None` while there is no bevel on
/// the edge.
#[must_use]
pub fn usual_second_bevel(knife: &Knife) -> Option<Grind> {
    let grinds = &knife.grinding.grinds;
    let first = grinds.iter().find(|grind| grind.run.is_on_edge())?;
    let usual = habit(knife).second_deg;
    let second = |cut: &Cut| {
        let steepest = match &cut.rise {
            Rise::Angle(stations) => stations.iter().fold(0.0, |a: f64, s| a.max(s.value)),
            Rise::Height(_) => 0.0,
        };
        let degrees = usual.max(steepest.to_degrees() + STEEPER_DEG).min(80.0);
        flat(Rise::even_angle(degrees.to_radians()))
    };
    let sides = match &first.sides {
        Sides::Both(cut) => Sides::Both(second(cut)),
        Sides::Right(cut) => Sides::Right(second(cut)),
        Sides::Left(cut) => Sides::Left(second(cut)),
        Sides::Each { right, left } => Sides::Each {
            right: second(right),
            left: second(left),
        },
    };
    let mut new = grind("second bevel", first.run, sides, 0.0);
    new.edge_offset_mm = first.edge_offset_mm;
    new.after_hardening = true;
    Some(new)
}

/// The blade a bevel goes on.
struct Blade {
    contour: Contour,
    path: RunPath,
}

impl Blade {
    /// The largest depth along the run, mm, straight up: a flat of that height takes in the whole face, and where the blade is less deep, toward
    /// the tip, it goes on through the spine at the same angle, as a flat platen grinds it.
    fn deepest_mm(&self) -> Option<f64> {
        let (from, to) = self.path.reach_mm();
        let deepest = self.contour.index().largest_depth(from, to);
        (deepest > 0.0).then(|| (deepest * 10.0).ceil() / 10.0)
    }

    fn depth_mm(&self, share: f64) -> Option<f64> {
        depth_mm(&self.contour, &self.path, share)
    }

    /// Heights of a share of the depth at the run's beginning and ahead of the belly.
    fn part_height(&self, share: f64) -> Option<Rise> {
        let heights = [0.0, SECOND_STATION].map(|at| {
            Some(RiseStation {
                at,
                value: tenths(share * self.depth_mm(at)?).max(0.1),
            })
        });
        let stations: Vec<RiseStation> = heights.into_iter().flatten().collect();
        (!stations.is_empty()).then_some(Rise::Height(stations))
    }

    /// An angle, raised where the bevel would take more than [`MOST_OF_DEPTH`] of the blade in its middle.
    fn angle(&self, degrees: f64, drop: f64) -> Option<Rise> {
        let most = MOST_OF_DEPTH * self.depth_mm(0.5)?;
        let angle = degrees.to_radians().max((drop / most).atan());
        Some(Rise::even_angle(angle))
    }
}
