//! Tabs: small bridges that hold a part in the sheet until it is broken out. The cut round the part stops short of each.
//!
//! They stand where the outline runs straight, off the edge that will be ground, clear of every landmark, and as far from each other as they can.

use super::error::Reason;
use crate::geometry::{Contour, Piece, Point, arcs_within};
use crate::knife::{Knife, LandmarkKind, Run};

/// How far the arcs of a cut outline may leave its curves, mm: so its places can be told by their way.
const ARCS_WITHIN_MM: f64 = 0.001;
/// Steps in which places are looked at, mm.
const STEP_MM: f64 = 1.0;
/// Straight cut on either side of a tab, mm.
const BESIDE_MM: f64 = 1.0;
/// How much the outline may turn along a tab, radians: 3°.
const STRAIGHT_RAD: f64 = 0.053;
/// A tab keeps this far from a landmark, mm.
const FROM_LANDMARK_MM: f64 = 4.0;
/// A tab keeps this far from the run of the edge, mm more than the steel that is left on.
const FROM_EDGE_MM: f64 = 2.0;

/// Tabs round a part.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tabs {
    /// How many; none when 0.
    pub count: u32,
    /// Width of each, mm.
    pub width_mm: f64,
}

/// The outline as it is cut, in open chains between the tabs. `outward_mm` is how far it lies outside the drawn one; `kerf_mm` is cut off a tab by the round
/// ends of the two cuts beside it, and given to it here. Only a knife has an edge and landmarks to keep off.
pub(super) fn chains(
    outline: &Contour,
    knife: Option<&Knife>,
    tabs: Tabs,
    outward_mm: f64,
    kerf_mm: f64,
) -> Result<Vec<Vec<Piece>>, Reason> {
    let way = Way::of(outline);
    let gap = tabs.width_mm + kerf_mm;
    let places = way.places(knife, gap, outward_mm);
    let chosen = spread(&places, tabs.count, way.length(), 2.0 * (gap + BESIDE_MM));
    let no_room = Reason::NoRoomForTabs {
        asked: tabs.count,
        found: chosen.len(),
    };
    if chosen.len() < usize::try_from(tabs.count).unwrap_or(usize::MAX) || chosen.is_empty() {
        return Err(no_room);
    }
    let mut chains = Vec::new();
    for (i, from) in chosen.iter().enumerate() {
        let to = chosen
            .get(i + 1)
            .or(chosen.first())
            .copied()
            .unwrap_or(*from);
        chains.push(way.between(from + gap / 2.0, to - gap / 2.0));
    }
    Ok(chains)
}

/// A closed outline by the way along it.
struct Way {
    pieces: Vec<Piece>,
    /// The way to the end of each piece, mm.
    ends: Vec<f64>,
}

impl Way {
    fn of(outline: &Contour) -> Self {
        let pieces: Vec<Piece> = outline
            .pieces
            .iter()
            .flat_map(|piece| arcs_within(piece, ARCS_WITHIN_MM))
            .collect();
        let mut way = 0.0;
        let ends = pieces
            .iter()
            .map(|piece| {
                way += piece.length();
                way
            })
            .collect();
        Self { pieces, ends }
    }

    fn length(&self) -> f64 {
        self.ends.last().copied().unwrap_or(0.0)
    }

    /// The piece at a way, and its share there: lines and arcs go evenly.
    fn at(&self, way: f64) -> Option<(usize, f64)> {
        let way = way.rem_euclid(self.length());
        let i = self.ends.partition_point(|end| *end < way);
        let piece = self.pieces.get(i)?;
        let begin = self.ends.get(i)? - piece.length();
        Some((i, ((way - begin) / piece.length()).clamp(0.0, 1.0)))
    }

    fn look(&self, way: f64) -> Option<(Point, f64)> {
        let (i, t) = self.at(way)?;
        let piece = self.pieces.get(i)?;
        Some((piece.eval(t), piece.direction(t)?.atan2()))
    }

    /// Where a tab can stand, by the way to its middle.
    fn places(&self, knife: Option<&Knife>, gap: f64, outward: f64) -> Vec<f64> {
        let runs = [
            (LandmarkKind::Heel, LandmarkKind::Tip),
            (LandmarkKind::Tip, LandmarkKind::FalseEdge),
        ];
        let edges: Vec<_> = runs
            .into_iter()
            .filter_map(|(from, to)| knife?.run_path(Run { from, to }))
            .collect();
        let marks: Vec<Point> = LandmarkKind::ALL
            .into_iter()
            .filter_map(|kind| knife?.landmark_point(kind))
            .collect();
        let off_edge = outward + gap / 2.0 + FROM_EDGE_MM;
        let off_mark = outward + gap / 2.0 + FROM_LANDMARK_MM;
        let fits = |way: &f64| {
            let Some((at, _)) = self.look(*way) else {
                return false;
            };
            self.is_straight(*way, gap / 2.0 + BESIDE_MM)
                && marks.iter().all(|mark| mark.distance(at) >= off_mark)
                && edges
                    .iter()
                    .all(|run| run.nearest(at).is_none_or(|(_, d)| d >= off_edge))
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "an outline is some meters long at most"
        )]
        let steps = (self.length() / STEP_MM).clamp(0.0, 1e5) as u32;
        (0..steps)
            .map(|step| f64::from(step) * STEP_MM)
            .filter(fits)
            .collect()
    }

    /// Whether the outline hardly turns within a reach to either side.
    fn is_straight(&self, way: f64, reach: f64) -> bool {
        const LOOKS: u32 = 8;
        let looks: Vec<f64> = (0..=LOOKS)
            .filter_map(|i| {
                let off = (2.0 * f64::from(i) / f64::from(LOOKS) - 1.0) * reach;
                self.look(way + off).map(|(_, angle)| angle)
            })
            .collect();
        let Some(first) = looks.first() else {
            return false;
        };
        let turned = |angle: &f64| {
            let off = angle - first;
            off.sin().atan2(off.cos()).abs()
        };
        looks.iter().all(|angle| turned(angle) <= STRAIGHT_RAD)
    }

    /// The pieces from one way to another, on past the beginning if need be.
    fn between(&self, from: f64, to: f64) -> Vec<Piece> {
        let (Some((first, t0)), Some((last, t1))) = (self.at(from), self.at(to)) else {
            return Vec::new();
        };
        let n = self.pieces.len();
        if first == last && t0 < t1 {
            let piece = self.pieces.get(first);
            return piece.map(|p| p.part(t0, t1)).into_iter().collect();
        }
        let steps = (last + n - first) % n;
        let steps = if steps == 0 { n } else { steps };
        let mut chain = Vec::new();
        for step in 0..=steps {
            let Some(piece) = self.pieces.get((first + step) % n) else {
                continue;
            };
            let begin = if step == 0 { t0 } else { 0.0 };
            let end = if step == steps { t1 } else { 1.0 };
            let part = piece.part(begin, end);
            if end > begin && part.length() > crate::geometry::SAME_POINT_MM {
                chain.push(part);
            }
        }
        chain
    }
}

/// So many places as far from each other as they can, in the order of the way; fewer where no more find room.
fn spread(places: &[f64], count: u32, length: f64, apart: f64) -> Vec<f64> {
    let round = |a: f64, b: f64| {
        let d = (a - b).abs();
        d.min(length - d)
    };
    let mut chosen: Vec<f64> = Vec::new();
    for _ in 0..count {
        let room = |place: f64| {
            let nearest = chosen.iter().map(|own| round(*own, place));
            nearest.fold(length, f64::min)
        };
        let best = places
            .iter()
            .copied()
            .max_by(|a, b| room(*a).total_cmp(&room(*b)).then(b.total_cmp(a)));
        match best {
            Some(best) if chosen.is_empty() || room(best) >= apart => chosen.push(best),
            _ => break,
        }
    }
    chosen.sort_by(f64::total_cmp);
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::{default_sizes, make_starter, starter_forms};

    /// On every form: as many chains as tabs, gaps as wide as the tab and the kerf, and no tab on the edge or by a landmark. The way round is the outline's less
    /// the gaps.
    #[test]
    fn tabs_stand_on_straight_cuts_off_the_edge() {
        for form in starter_forms() {
            let knife = make_starter(form.key, &default_sizes(form.key).unwrap(), "steel").unwrap();
            let outline = knife.contour();
            let tabs = Tabs {
                count: 2,
                width_mm: 1.0,
            };
            let cut = chains(&outline, Some(&knife), tabs, 0.0, 0.5)
                .unwrap_or_else(|e| panic!("{}: {e}", form.key));
            assert_eq!(cut.len(), 2, "{}", form.key);
            let way: f64 = cut.iter().flatten().map(Piece::length).sum();
            let wanted = outline.perimeter() - 2.0 * 1.5;
            assert!((way - wanted).abs() < 1e-3 * wanted, "{}", form.key);
            for (a, b) in [(0, 1), (1, 0)] {
                let (end, begin) = (cut[a].last().unwrap().end(), cut[b][0].start());
                assert!((end.distance(begin) - 1.5).abs() < 0.01, "{}", form.key);
                let middle = end.midpoint(begin);
                for kind in LandmarkKind::ALL {
                    let off = knife.landmark_point(kind).map(|p| p.distance(middle));
                    assert!(
                        off.is_none_or(|off| off >= FROM_LANDMARK_MM),
                        "{}",
                        form.key
                    );
                }
                let edge = knife.run_path(Run {
                    from: LandmarkKind::Heel,
                    to: LandmarkKind::Tip,
                });
                let off = edge.and_then(|run| run.nearest(middle)).map(|(_, d)| d);
                assert!(off.is_none_or(|off| off >= FROM_EDGE_MM), "{}", form.key);
            }
        }
    }

    #[test]
    fn tabs_that_find_no_room_are_refused() {
        let knife = make_starter("paring", &default_sizes("paring").unwrap(), "steel").unwrap();
        let tabs = Tabs {
            count: 20,
            width_mm: 20.0,
        };
        let refused = chains(&knife.contour(), Some(&knife), tabs, 0.0, 0.0).unwrap_err();
        assert!(
            matches!(refused, Reason::NoRoomForTabs { asked: 20, .. }),
            "{refused}"
        );
    }
}
