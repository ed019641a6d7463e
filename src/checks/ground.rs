//! The grinds of a knife laid along its outline, ready to be measured against the steel.

use super::bench::Bench;
use crate::geometry::{Point, Vec2};
use crate::knife::{Face, Grind, Rise, RunPath, RunPlace};
use crate::weighing::EdgePlan;

/// How far the chords that depths are measured against leave the outline, mm.
const CHORD_MM: f64 = 0.02;
/// A ray leaves the outline it starts on within this, mm.
const LEAVES_MM: f64 = 0.05;
/// Places looked at on each piece of a run.
const LOOKS: u32 = 12;

/// A grind and the run it starts from.
pub(super) struct GroundRun<'a> {
    pub grind: &'a Grind,
    pub path: RunPath,
    /// Places along the run, with the share of it each stands for.
    pub looks: Vec<Look>,
}

/// A place on a run.
#[derive(Clone, Copy, Debug)]
pub(super) struct Look {
    pub place: RunPlace,
    pub share: f64,
    /// Steel from there square to the run, up to the far side, mm.
    pub depth_mm: f64,
}

/// All grinds that have a run, in the order of grinding.
pub(super) struct Ground<'a> {
    pub runs: Vec<GroundRun<'a>>,
    corners: Vec<Point>,
}

impl<'a> Ground<'a> {
    /// Lays out the grinds; none while the outline can't be measured against.
    pub(super) fn new(bench: &Bench<'a>) -> Self {
        let mut ground = Self {
            runs: Vec::new(),
            corners: Vec::new(),
        };
        let grinds = &bench.knife.grinding.grinds;
        if !bench.sound || grinds.is_empty() {
            return ground;
        }
        ground.corners = bench.steel.flattened(CHORD_MM);
        for grind in grinds {
            let Some(path) = bench.knife.run_path(grind.run) else {
                continue;
            };
            let looks = path
                .looks(LOOKS)
                .filter_map(|(place, share)| {
                    Some(Look {
                        place,
                        share,
                        depth_mm: ground.depth_mm(place.point, place.inward())?,
                    })
                })
                .collect();
            ground.runs.push(GroundRun { grind, path, looks });
        }
        ground
    }

    /// How far it is from a point of the outline to the far side of the steel in a direction, mm.
    pub(super) fn depth_mm(&self, from: Point, toward: Vec2) -> Option<f64> {
        let next = self.corners.iter().cycle().skip(1);
        let mut nearest = f64::INFINITY;
        for (a, b) in self.corners.iter().zip(next) {
            let (pa, side) = (*a - from, *b - *a);
            // The side crosses the ray's line where its ends lie on both sides of it.
            let (ca, cb) = (toward.cross(pa), toward.cross(*b - from));
            if (ca < 0.0) == (cb < 0.0) {
                continue;
            }
            let d = toward.dot(pa + side * (ca / (ca - cb)));
            if d > LEAVES_MM && d < nearest {
                nearest = d;
            }
        }
        nearest.is_finite().then_some(nearest)
    }
}

impl GroundRun<'_> {
    /// What the maker calls the grind, in quotes.
    pub(super) fn name(&self) -> String {
        name_of(self.grind)
    }

    /// The faces it is ground on.
    pub(super) fn faces(&self) -> impl Iterator<Item = Face> {
        let faces = self.grind.sides.faces();
        Face::ALL.into_iter().filter(move |face| faces.has(*face))
    }

    /// Height at which it meets a face, mm; `None` for a face that is not ground or where there is nothing to grind.
    pub(super) fn height_mm(&self, bench: &Bench<'_>, face: Face, place: &RunPlace) -> Option<f64> {
        let cut = self.grind.sides.on(face)?;
        let plan = EdgePlan::at(bench.knife, self.grind, place.point.x);
        let rise = plan.rise_mm(face).ok()?;
        let value = cut.rise.value_at(place.at);
        let height = match cut.rise {
            Rise::Height(_) => value,
            Rise::Angle(_) => rise / value.tan(),
        };
        (height.is_finite() && height > 0.0).then_some(height)
    }

    /// The greater of its heights on the two faces.
    pub(super) fn tallest_mm(&self, bench: &Bench<'_>, place: &RunPlace) -> Option<f64> {
        self.faces()
            .filter_map(|face| self.height_mm(bench, face, place))
            .reduce(f64::max)
    }
}

/// What the maker calls a grind, in quotes.
pub(super) fn name_of(grind: &Grind) -> String {
    if grind.name.is_empty() {
        "A grind".to_owned()
    } else {
        format!("'{}'", grind.name)
    }
}

#[cfg(test)]
pub(super) mod bench {
    //! A plate with an edge and a spine to grind, for the tests of the checks.

    use super::super::testing::from_corners;
    use crate::knife::{Cut, CutForm, Grind, Knife, LandmarkKind, Rise, Run, Sides, Spot};

    /// A plate 4 mm thick from x = −100 to 120 and 30 high: edge below from the plunge at `plunge_x` to the tip at (120, 0), false edge above
    /// from x = 60 to the front. The front side is upright, so the tip's landmark is its lower corner.
    pub(in super::super) fn blade(plunge_x: f64) -> Knife {
        let mut knife = from_corners(
            &[
                (-100.0, 0.0),
                (plunge_x, 0.0),
                (120.0, 0.0),
                (120.0, 30.0),
                (60.0, 30.0),
                (0.0, 30.0),
                (-100.0, 30.0),
            ],
            4.0,
        );
        for (kind, node) in [
            (LandmarkKind::Plunge, 1),
            (LandmarkKind::Tip, 2),
            (LandmarkKind::SpineStart, 3),
            (LandmarkKind::FalseEdge, 4),
            (LandmarkKind::UpperShoulder, 5),
            (LandmarkKind::Butt, 6),
        ] {
            knife.set_landmark(kind, Spot { node, t: 0.0 });
        }
        knife
    }

    fn grind(id: u32, name: &str, run: Run, height_mm: f64, edge_mm: f64) -> Grind {
        Grind {
            id,
            name: name.to_owned(),
            run,
            sides: Sides::Both(Cut {
                form: CutForm::Flat,
                rise: Rise::even_height(height_mm),
            }),
            edge_mm,
            edge_offset_mm: 0.0,
            plunge_from: None,
            plunge_to: None,
            after_hardening: false,
        }
    }

    /// A flat bevel on both faces of the edge.
    pub(in super::super) fn bevel(height_mm: f64, edge_mm: f64) -> Grind {
        let run = Run {
            from: LandmarkKind::Plunge,
            to: LandmarkKind::Tip,
        };
        grind(70, "bevel", run, height_mm, edge_mm)
    }

    /// A flat false edge on both faces of the spine's front half.
    pub(in super::super) fn false_edge(height_mm: f64, edge_mm: f64) -> Grind {
        let run = Run {
            from: LandmarkKind::SpineStart,
            to: LandmarkKind::FalseEdge,
        };
        grind(71, "false edge", run, height_mm, edge_mm)
    }
}
