//! The bevel, the false edge and the second bevel that are usual for a blade.

use std::f64::consts::FRAC_PI_2;

use super::habit::{Bevel, Habit, habit};
use super::{USUAL_PLUNGE, USUAL_WHEEL_RADIUS_MM, depth_mm, edge_run, tenths};
use crate::geometry::Contour;
use crate::knife::{
    Cut, CutForm, Faces, Grind, Knife, LandmarkKind, PlungeLine, Rise, RiseStation, Run, RunPath,
    Sides,
};

/// Most of the blade's depth a bevel of part height takes, even if its angle would ask for more.
const MOST_OF_DEPTH: f64 = 0.9;
/// Most of the bar's thickness left as an edge.
const MOST_EDGE: f64 = 0.3;
/// Where the second station of a bevel stands, as a share of the run: ahead of the belly, behind the tip, where the blade runs out.
const SECOND_STATION: f64 = 0.75;
/// Places along a run at which the largest depth is looked for, less one.
const DEPTHS: u32 = 24;
/// A bow as full as this times the one that comes out level with the face: it still meets the face in a line.
const BOW: f64 = 2.0;
/// The same at the end of the run.
const BOW_AT_END: f64 = 1.1;
/// Edge and spine that meet at less than this leave no steel beyond the square end of the edge's run, degrees; room for a bowed spine included.
const BLUNT_DEG: f64 = 80.0;
/// How far outside the spine the end of a bevel leans beyond a blunt tip, and the most it leans, degrees.
const CLEAR_DEG: f64 = 15.0;
const MOST_LEAN_DEG: f64 = 165.0;
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
            let radius_mm = blade.bow_mm(knife, &rise, edge_mm);
            Sides::Both(Cut {
                form: CutForm::Convex { radius_mm },
                rise,
            })
        }
    };
    let mut new = grind("bevel", run, sides, edge_mm);
    new.plunge_from = Some(USUAL_PLUNGE);
    new.plunge_to = blade.past_the_tip(knife);
    Some(new)
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
    new.plunge_to = first.plunge_to.filter(|line| line.angle_rad > FRAC_PI_2);
    new.after_hardening = true;
    Some(new)
}

/// The blade a bevel goes on.
struct Blade {
    contour: Contour,
    path: RunPath,
}

impl Blade {
    /// The largest depth along the run, mm, set up to a whole tenth: a flat of that height takes in the whole face, and where the blade is less
    /// deep, toward the tip, it goes on through the spine at the same angle, as a flat platen grinds it.
    fn deepest_mm(&self) -> Option<f64> {
        let shares = (0..=DEPTHS).map(|i| f64::from(i) / f64::from(DEPTHS));
        let deepest = shares.filter_map(|at| self.depth_mm(at)).reduce(f64::max)?;
        // Depths that come out a rounding error over a tenth stay there.
        Some((deepest * 10.0 - 1e-6).ceil() / 10.0)
    }

    /// The line a bevel ends at beyond a blunt tip. A belt runs on past the tip, but a run ends square to itself there, and where edge and spine
    /// meet at more than a right angle, steel beside the spine would be left: the line leans out over it. `None` at a keen tip.
    fn past_the_tip(&self, knife: &Knife) -> Option<PlungeLine> {
        let spot = knife.landmark(LandmarkKind::Tip)?;
        let node = knife.outline.nodes.iter().position(|n| n.id == spot.node)?;
        let spine = self.contour.pieces.get(node)?.direction(spot.t)?;
        let edge = -self.path.end()?.along;
        let corner = spine.cross(edge).atan2(spine.dot(edge));
        (corner > BLUNT_DEG.to_radians()).then(|| PlungeLine {
            angle_rad: (corner + CLEAR_DEG.to_radians()).min(MOST_LEAN_DEG.to_radians()),
            wheel_radius_mm: 0.0,
        })
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

    /// Radius of a bow of moderate fullness, mm, whole. One that drops by `d` over the height `h` and comes out level with the face has the
    /// radius `(h² + d²)/(2·d)`: Pythagoras in the triangle from its middle to the edge. Where a taper leaves less to drop by, the bow is flatter;
    /// at the end of the run, where it leaves least, it may come out nearly level.
    fn bow_mm(&self, knife: &Knife, rise: &Rise, edge_mm: f64) -> f64 {
        let level = |at: f64| {
            let place = self.path.at_share(at)?;
            let thickness = knife.thickness_at(place.point.x);
            let (h, d) = (rise.value_at(at), (thickness - edge_mm) / 2.0);
            (d > 0.0).then_some((h * h + d * d) / (2.0 * d))
        };
        let stations = rise.stations().iter().map(|s| (s.at, BOW));
        stations
            .chain([(1.0, BOW_AT_END)])
            .filter_map(|(at, bow)| Some(bow * level(at)?))
            .fold(1.0, f64::max)
            .ceil()
    }
}
