//! The stretch of outline a run names: its pieces, and the share of its length at a place on it.

use kurbo::{Point, Vec2};

use super::{Knife, LandmarkKind, Outline, Run};
use crate::geometry::{Piece, SAME_POINT_MM};

impl Run {
    /// Whether it lies on the edge, which runs up to the tip; else it lies on the spine, behind the tip in the outline's own sense.
    #[must_use]
    pub fn is_on_edge(self) -> bool {
        matches!(
            self.from,
            LandmarkKind::LowerShoulder
                | LandmarkKind::Heel
                | LandmarkKind::Plunge
                | LandmarkKind::Butt
        )
    }
}

/// A run laid along the outline it is on.
///
/// What construction guarantees: at least one piece, none of them without extent; each ends where the next begins.
#[derive(Clone, Debug)]
pub struct RunPath {
    pieces: Vec<Piece>,
    /// How far along the run each piece ends, mm.
    ends: Vec<f64>,
}

/// A place on a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunPlace {
    /// Share of the run's length, 0..1 from its beginning.
    pub at: f64,
    /// Where.
    pub point: Point,
    /// Unit direction of travel there; steel lies to its left.
    pub along: Vec2,
}

impl RunPlace {
    /// Unit vector into the steel.
    #[must_use]
    pub fn inward(&self) -> Vec2 {
        Vec2::new(-self.along.y, self.along.x)
    }
}

/// A part of one of the outline's pieces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunPart {
    /// Index of the piece.
    pub index: usize,
    /// Parameter on the piece at which the part begins.
    pub begin: f64,
    /// Parameter at which it ends, after its beginning.
    pub end: f64,
}

impl RunPart {
    /// The part as a piece of its own.
    #[must_use]
    pub fn piece(self, outline: &Outline) -> Option<Piece> {
        let piece = outline.piece(self.index)?;
        let whole = self.begin <= 0.0 && self.end >= 1.0;
        Some(if whole {
            piece
        } else {
            piece.part(self.begin, self.end)
        })
    }
}

impl Knife {
    /// The parts of the outline a run goes over, in order of travel. `None` while a landmark of it is not set; none where both are in one place.
    #[must_use]
    pub fn run_parts(&self, run: Run) -> Option<Vec<RunPart>> {
        let (from, to) = (self.landmark(run.from)?, self.landmark(run.to)?);
        let n = self.outline.nodes.len();
        let first = self.outline.index_of(from.node)?;
        let last = self.outline.index_of(to.node)?;
        let ahead = (last + n - first) % n;
        // Back to before its beginning on the same piece, it goes all the way round.
        let count = if ahead == 0 && to.t < from.t {
            n
        } else {
            ahead
        };
        let parts = (0..=count).map(|step| RunPart {
            index: (first + step) % n,
            begin: if step == 0 { from.t } else { 0.0 },
            end: if step == count { to.t } else { 1.0 },
        });
        Some(parts.filter(|part| part.end - part.begin > 1e-9).collect())
    }

    /// A run on the outline as it is now. `None` while a landmark of it is not set, or when nothing lies between the two.
    #[must_use]
    pub fn run_path(&self, run: Run) -> Option<RunPath> {
        let parts = self.run_parts(run)?.into_iter();
        let pieces = parts.filter_map(|part| part.piece(&self.outline));
        let long = pieces.filter(|piece| {
            let hull = piece.hull_bounds();
            hull.width().max(hull.height()) > SAME_POINT_MM
        });
        RunPath::new(long.collect())
    }
}

impl RunPath {
    fn new(pieces: Vec<Piece>) -> Option<Self> {
        let mut way = 0.0;
        let ends: Vec<f64> = pieces
            .iter()
            .map(|piece| {
                way += piece.length();
                way
            })
            .collect();
        (way > 0.0 && way.is_finite()).then_some(Self { pieces, ends })
    }

    /// The pieces, in order of travel.
    #[must_use]
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// Length, mm.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        self.ends.last().copied().unwrap_or(0.0)
    }

    /// The least and the greatest place along the knife it reaches, mm.
    #[must_use]
    pub fn reach_mm(&self) -> (f64, f64) {
        self.pieces
            .iter()
            .map(Piece::bounds)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), b| {
                (low.min(b.x0), high.max(b.x1))
            })
    }

    /// Where it begins.
    #[must_use]
    pub fn start(&self) -> Option<RunPlace> {
        self.place(0, 0.0)
    }

    /// Where it ends.
    #[must_use]
    pub fn end(&self) -> Option<RunPlace> {
        self.place(self.pieces.len().checked_sub(1)?, 1.0)
    }

    /// The place at parameter `t` of a piece; its share is within 1e-9 of the true one.
    #[must_use]
    pub fn place(&self, piece: usize, t: f64) -> Option<RunPlace> {
        let curve = self.pieces.get(piece)?;
        let end = *self.ends.get(piece)?;
        let way = match curve {
            _ if t >= 1.0 => end,
            Piece::Cubic(_) if t > 0.0 => end - curve.part(t, 1.0).length(),
            _ => end - curve.length() * (1.0 - t),
        };
        Some(RunPlace {
            at: (way / self.length_mm()).clamp(0.0, 1.0),
            point: curve.eval(t),
            along: curve.direction(t)?,
        })
    }

    /// The place at a share of the run's length, 0..1 from its beginning; within 1e-6 of a piece of the true one.
    #[must_use]
    pub fn at_share(&self, share: f64) -> Option<RunPlace> {
        let way = share.clamp(0.0, 1.0) * self.length_mm();
        let piece = self.ends.partition_point(|end| *end < way);
        let piece = piece.min(self.pieces.len().checked_sub(1)?);
        let before = piece.checked_sub(1).and_then(|i| self.ends.get(i));
        let wanted = way - before.copied().unwrap_or(0.0);
        let curve = self.pieces.get(piece)?;
        let (mut low, mut high) = (0.0, 1.0);
        // Each round halves what is left of the piece: 20 of them leave less than a millionth.
        for _ in 0..20 {
            let middle = f64::midpoint(low, high);
            if curve.part(0.0, middle).length() < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        let t = f64::midpoint(low, high);
        Some(RunPlace {
            at: share.clamp(0.0, 1.0),
            point: curve.eval(t),
            along: curve.direction(t)?,
        })
    }

    /// Places in the middle of equal parts of the run by length, `per_piece` of them on each piece, with the share of the run each stands
    /// for. Where a piece is not run through evenly the parts are as unequal as that; their shares say so.
    pub fn looks(&self, per_piece: u32) -> impl Iterator<Item = (RunPlace, f64)> {
        let total = self.length_mm();
        self.pieces.iter().enumerate().flat_map(move |(i, curve)| {
            (0..per_piece).filter_map(move |k| {
                let (a, b) = (
                    f64::from(k) / f64::from(per_piece),
                    f64::from(k + 1) / f64::from(per_piece),
                );
                let place = self.place(i, f64::midpoint(a, b))?;
                Some((place, curve.part(a, b).length() / total))
            })
        })
    }

    /// The place of the run nearest to a point, and the distance, mm.
    #[must_use]
    pub fn nearest(&self, point: Point) -> Option<(RunPlace, f64)> {
        let (piece, t, distance) = self
            .pieces
            .iter()
            .enumerate()
            .map(|(i, curve)| {
                let (t, distance) = curve.nearest(point);
                (i, t, distance)
            })
            .min_by(|a, b| a.2.total_cmp(&b.2))?;
        Some((self.place(piece, t)?, distance))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::make_starter;
    use crate::knife::{StarterSizes, orchard_set};

    fn run(from: LandmarkKind, to: LandmarkKind) -> Run {
        Run { from, to }
    }

    #[test]
    fn a_run_goes_from_landmark_to_landmark() {
        for knife in &orchard_set().knives {
            let point = |kind| knife.landmark_point(kind).unwrap();
            for (from, to) in [
                (LandmarkKind::Heel, LandmarkKind::Tip),
                (LandmarkKind::Tip, LandmarkKind::SpineStart),
                (LandmarkKind::SpineStart, LandmarkKind::UpperShoulder),
                (LandmarkKind::UpperShoulder, LandmarkKind::Heel),
            ] {
                let path = knife.run_path(run(from, to)).unwrap();
                let (start, end) = (path.start().unwrap(), path.end().unwrap());
                assert!(start.point.distance(point(from)) < 1e-9, "{}", knife.name);
                assert!(end.point.distance(point(to)) < 1e-9, "{}", knife.name);
                assert_eq!((start.at, end.at), (0.0, 1.0));
                let joined = path.pieces().windows(2);
                assert!(joined.into_iter().all(|w| w[0].end() == w[1].start()));
            }
        }
    }

    /// Two runs that share both ends go once round together.
    #[test]
    fn a_run_and_its_rest_are_the_whole_outline() {
        let set = orchard_set();
        for knife in &set.knives {
            let length = |from, to| knife.run_path(run(from, to)).unwrap().length_mm();
            let there = length(LandmarkKind::Plunge, LandmarkKind::SpineStart);
            let back = length(LandmarkKind::SpineStart, LandmarkKind::Plunge);
            let around = knife.contour().perimeter();
            assert!((there + back - around).abs() < 1e-8, "{}", knife.name);
        }
    }

    #[test]
    fn looks_stand_for_the_whole_run_and_places_know_their_share() {
        let set = orchard_set();
        let path = set.knives[0]
            .run_path(run(LandmarkKind::Heel, LandmarkKind::Tip))
            .unwrap();
        let looks: Vec<_> = path.looks(16).collect();
        let all: f64 = looks.iter().map(|(_, share)| share).sum();
        assert!((all - 1.0).abs() < 1e-9, "{all}");
        let mut before = 0.0;
        for (place, share) in looks {
            let again = path.at_share(place.at).unwrap();
            assert!(again.point.distance(place.point) < 1e-3, "{again:?}");
            // A look lies within the part it stands for.
            assert!(before < place.at && place.at < before + share + 1e-12);
            before += share;
            let (found, distance) = path.nearest(place.point + place.inward() * 0.5).unwrap();
            assert!((distance - 0.5).abs() < 1e-6 && (found.at - place.at).abs() < 1e-6);
            // Steel to the left.
            let inside = place.point + place.inward() * 0.1;
            assert!(set.knives[0].contour().index().contains(inside));
        }
    }

    #[test]
    fn a_run_between_unset_landmarks_is_none() {
        let sizes = StarterSizes {
            overall_mm: 200.0,
            blade_mm: 100.0,
            height_mm: 28.0,
            stock_mm: 3.0,
        };
        let knife = make_starter("hunter", &sizes, "steel").unwrap();
        let missing = run(LandmarkKind::FalseEdge, LandmarkKind::SpineStart);
        assert!(knife.run_path(missing).is_none());
        // From a landmark to itself there is nothing.
        let nothing = run(LandmarkKind::Tip, LandmarkKind::Tip);
        assert!(knife.run_path(nothing).is_none());
    }

    #[test]
    fn runs_up_to_the_tip_are_on_the_edge() {
        assert!(run(LandmarkKind::Plunge, LandmarkKind::Tip).is_on_edge());
        assert!(!run(LandmarkKind::Tip, LandmarkKind::FalseEdge).is_on_edge());
        assert!(!run(LandmarkKind::SpineStart, LandmarkKind::UpperShoulder).is_on_edge());
    }
}
