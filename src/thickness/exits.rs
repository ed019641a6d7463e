//! Where a ray leaves the steel.

use kurbo::{Rect, Vec2};
use smallvec::SmallVec;

use super::boxes::{boxes_meet, passes};
use super::marks::Mark;
use super::powers::Powers;
use super::strip::{Ray, SMOOTH_TURN};
use crate::geometry::{Contour, Piece};
use crate::knife::{Knife, Run, RunPart};

/// The outline as the rays of one run meet it.
#[derive(Clone, Debug, Default)]
pub(super) struct Boundary {
    edges: Vec<Edge>,
    /// Whether every ray starts on the run, so inside the steel, and the run's own pieces can be left out: a ray that met them again would have come
    /// nearer to another place of the run before.
    starts_inside: bool,
}

#[derive(Clone, Debug)]
struct Edge {
    curve: Powers,
    bounds: Rect,
    /// Edges that follow each other smoothly have the same number.
    chain: u32,
}

/// Room around an edge, mm.
const ROOM_MM: f64 = 1e-6;

/// A stretch of a ray within the steel, with what begins and ends it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    pub from: f64,
    pub to: f64,
    pub begins: Mark,
    pub ends: Mark,
}

impl Stretch {
    /// From the foot as far as is asked for.
    fn up_to(longest: f64) -> Self {
        Self {
            from: 0.0,
            to: longest,
            begins: Mark::NONE,
            ends: Mark::NONE,
        }
    }
}

/// A place where a ray meets the outline, by its distance and the edge's chain.
pub(super) type Meet = (f64, u32);

impl Boundary {
    /// The outline without a run.
    pub(super) fn beside_run(contour: &Contour, knife: &Knife, run: Run) -> Self {
        let parts = knife.run_parts(run).unwrap_or_default();
        let mut edges = Vec::with_capacity(contour.pieces.len());
        for (index, piece) in contour.pieces.iter().enumerate() {
            let mut own: SmallVec<[RunPart; 2]> =
                parts.iter().filter(|p| p.index == index).copied().collect();
            own.sort_by(|a, b| a.begin.total_cmp(&b.begin));
            let mut from = 0.0;
            for part in own {
                if part.begin - from > 1e-9 {
                    edges.extend(Edge::of(&piece.part(from, part.begin)));
                }
                from = part.end;
            }
            if from == 0.0 {
                edges.extend(Edge::of(piece));
            } else if 1.0 - from > 1e-9 {
                edges.extend(Edge::of(&piece.part(from, 1.0)));
            }
        }
        Self {
            edges: chained(edges),
            starts_inside: true,
        }
    }

    /// The whole outline, for a run that goes on straight past its ends, where rays may start outside the steel.
    pub(super) fn with_extensions(contour: &Contour, knife: &Knife, run: Run) -> Self {
        let mut own = Self::around_path(contour);
        // The run's own pieces still count, in their parts, so that a ray from the run starts on them and not near them.
        own.edges = Self::beside_run(contour, knife, run).edges;
        for part in knife.run_parts(run).unwrap_or_default() {
            own.edges
                .extend(part.piece(&knife.outline).and_then(|p| Edge::of(&p)));
        }
        own.edges = chained(own.edges);
        own
    }

    /// The whole outline, for a path within the steel.
    pub(super) fn around_path(contour: &Contour) -> Self {
        Self {
            edges: chained(contour.pieces.iter().filter_map(Edge::of).collect()),
            starts_inside: false,
        }
    }

    /// The corners of the outline: where an edge does not go on smoothly from the one before.
    pub(super) fn corners(&self) -> impl Iterator<Item = Vec2> + '_ {
        let chains = self.edges.windows(2).filter_map(|pair| match pair {
            [before, after] if before.chain != after.chain => Some(after.curve.at(0.0)),
            _ => None,
        });
        self.edges
            .first()
            .map(|e| e.curve.at(0.0))
            .into_iter()
            .chain(chains)
    }

    /// Indices of the edges that may be met by rays within a box.
    pub(super) fn near(&self, reach: &Rect, near: &mut Vec<usize>) {
        near.clear();
        for (i, edge) in self.edges.iter().enumerate() {
            if boxes_meet(&edge.bounds, reach) {
                near.push(i);
            }
        }
    }

    /// The stretches of a ray within the steel, up to `longest`. `near` must hold every edge the ray may meet up to there.
    pub(super) fn stretches(
        &self,
        ray: &Ray,
        longest: f64,
        near: &[usize],
        meets: &mut Vec<Meet>,
        inside: &mut Vec<Stretch>,
    ) {
        meets.clear();
        inside.clear();
        if self.starts_inside && near.is_empty() {
            inside.push(Stretch::up_to(longest));
            return;
        }
        // A ray that starts inside is followed no farther than asked for: edges beyond make no difference.
        let asked = (0.0, longest);
        let mut meet = |edge: &Edge| {
            if !self.starts_inside || passes(ray.foot, ray.n, asked, &edge.bounds) {
                edge.curve.meet(ray, &mut |d| meets.push((d, edge.chain)));
            }
        };
        if self.starts_inside {
            near.iter()
                .filter_map(|i| self.edges.get(*i))
                .for_each(&mut meet);
        } else {
            self.edges.iter().for_each(&mut meet);
        }
        meets.sort_by(|a, b| a.0.total_cmp(&b.0));
        // From far outside inward an odd number of crossings still ahead means inside.
        let mut inner = self.starts_inside || meets.len() % 2 == 1;
        let mut begin = (0.0, Mark::NONE);
        for &(d, chain) in meets.iter() {
            if begin.0 >= longest {
                return;
            }
            if inner {
                inside.push(Stretch {
                    from: begin.0,
                    to: d.min(longest),
                    begins: begin.1,
                    ends: if d < longest {
                        Mark::edge(chain)
                    } else {
                        Mark::NONE
                    },
                });
            }
            begin = (d, Mark::edge(chain));
            inner = !inner;
        }
        if inner && begin.0 < longest {
            inside.push(Stretch {
                from: begin.0,
                to: longest,
                begins: begin.1,
                ends: Mark::NONE,
            });
        }
    }
}

/// Gives edges that follow each other smoothly one number.
fn chained(mut edges: Vec<Edge>) -> Vec<Edge> {
    let mut chain = 0;
    let mut before: Option<Powers> = None;
    for edge in &mut edges {
        let smooth = before.is_some_and(|before| {
            let (a, b) = (before.tangent(1.0), edge.curve.tangent(0.0));
            let joined = (before.at(1.0) - edge.curve.at(0.0)).hypot2() < 1e-18;
            joined && a.cross(b).abs() <= SMOOTH_TURN * a.dot(b)
        });
        if !smooth {
            chain += 1;
        }
        edge.chain = chain;
        before = Some(edge.curve);
    }
    edges
}

impl Edge {
    fn of(piece: &Piece) -> Option<Self> {
        let curve = Powers::of_piece(piece)?;
        Some(Self {
            curve,
            // A little more than the edge's own, so that rounding lets no ray slip through at a joint.
            bounds: piece.hull_bounds().inflate(ROOM_MM, ROOM_MM),
            chain: 0,
        })
    }
}
