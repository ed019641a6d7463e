//! The marks on a template: shoulder line, landmarks, middle line of the tang, centers of holes, balance point.

use super::model::{Anchor, Entity, Role, Shape};
use super::parts::Steel;
use super::placing::{Ground, Placer};
use crate::geometry::{Piece, Point, Rect, SAME_POINT_MM, Vec2};
use crate::knife::{CutShape, Knife, LandmarkKind};
use crate::units::{Length, LengthFormat};
use crate::weighing::WeighUp;

/// How far the shoulder line reaches past the steel, mm.
const REACH_MM: f64 = 5.0;
/// Half the length of a landmark's tick, mm.
const TICK_MM: f64 = 1.5;
/// Height of small words, mm.
const SMALL_MM: f64 = 1.8;
/// Dash and gap of the middle line, mm.
const DASH_MM: f64 = 4.0;
const GAP_MM: f64 = 2.0;
/// The most dashes drawn; a tang of a meter has 167.
const MOST_DASHES: u32 = 1000;
/// Arms of a hole's center cross: this share of its radius, at most so many mm.
const CROSS_SHARE: f64 = 0.5;
const CROSS_MM: f64 = 2.5;
/// Steel up to this high may have the sizes of its holes beside it; on higher steel it would be unclear which hole is meant, mm.
const NARROW_MM: f64 = 15.0;
/// Height of the balance mark's triangle, mm.
const FULCRUM_MM: f64 = 5.0;

/// What the marks are drawn from.
pub(super) struct Marks<'a> {
    pub knife: &'a Knife,
    pub steel: &'a Steel,
    pub weighed: &'a WeighUp,
    pub lengths: LengthFormat,
    /// Whether marks are named.
    pub words: bool,
}

impl Marks<'_> {
    /// All marks, and their words where there is room.
    pub(super) fn draw(&self) -> Vec<Entity> {
        let mut out = Vec::new();
        let mut placer = Placer::new(&self.steel.index);
        // Words keep off the engraved name.
        let mut name = self.steel.name.iter().flatten().copied();
        if let Some(first) = name.next() {
            let bounds = Rect::from_points(first, first);
            placer.take(name.fold(bounds, |all, p| all.union_pt(p)));
        }
        self.hole_crosses(&mut out, &mut placer);
        self.middle_line(&mut out, &mut placer);
        self.shoulder_line(&mut out, &mut placer);
        self.balance(&mut out, &mut placer);
        self.landmarks(&mut out, &mut placer);
        if self.words {
            self.hole_sizes(&mut out, &mut placer);
        }
        out
    }

    fn round_holes(&self) -> impl Iterator<Item = (Point, f64)> {
        self.steel.cut_outs.iter().filter_map(|(_, cut)| {
            if let CutShape::Round {
                center,
                diameter_mm,
            } = cut.shape
            {
                Some((center, diameter_mm))
            } else {
                None
            }
        })
    }

    fn hole_crosses(&self, out: &mut Vec<Entity>, placer: &mut Placer<'_>) {
        for (_, cut) in &self.steel.cut_outs {
            placer.take(cut.shape.contour().bounds());
        }
        for (center, diameter) in self.round_holes() {
            let arm = (diameter / 2.0 * CROSS_SHARE).min(CROSS_MM);
            for d in [Vec2::new(arm, 0.0), Vec2::new(0.0, arm)] {
                out.push(Entity::line(Role::Scribe, center - d, center + d));
            }
        }
    }

    /// Halfway between the upper and lower side, from the butt to the shoulder line, in dashes.
    fn middle_line(&self, out: &mut Vec<Entity>, placer: &mut Placer<'_>) {
        let middle = |x: f64| {
            let (low, high) = self.steel.index.depth_at(x)?;
            Some(Point::new(x, f64::midpoint(low, high)))
        };
        let butt = self.steel.index.bounds().x0;
        for i in 0..MOST_DASHES {
            // From the shoulder line back, so that the dashes do not shift when the tang grows.
            let front = -GAP_MM - f64::from(i) * (DASH_MM + GAP_MM);
            let rear = (front - DASH_MM).max(butt + GAP_MM);
            if rear >= front {
                break;
            }
            if let (Some(a), Some(b)) = (middle(rear), middle(front)) {
                placer.take(Rect::from_points(a, b));
                out.push(Entity::line(Role::Scribe, a, b));
            }
        }
    }

    fn shoulder_line(&self, out: &mut Vec<Entity>, placer: &mut Placer<'_>) {
        let bounds = self.steel.index.bounds();
        if bounds.x1 < 0.0 || bounds.x0 > 0.0 {
            return;
        }
        // Just ahead and just behind, because a step in the outline may stand exactly at the line.
        let (low, high) = [-1e-3, 1e-3]
            .into_iter()
            .filter_map(|x| self.steel.index.depth_at(x))
            .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
            .unwrap_or((bounds.y0, bounds.y1));
        let (low, high) = (low - REACH_MM, high + REACH_MM);
        out.push(Entity::line(
            Role::Scribe,
            Point::new(0.0, low),
            Point::new(0.0, high),
        ));
        placer.take(Rect::new(-0.2, low, 0.2, high));
        if self.words {
            let places = [1.0, 4.0, 8.0].map(|up| (Point::new(0.0, high + up), Anchor::Middle));
            out.extend(placer.place("shoulder", SMALL_MM, Ground::Outside, &places));
        }
    }

    /// A fulcrum under the steel at the balance point of the knife as it stands, or of the steel alone when the rest can't
    /// be weighed; short strokes at both sides of the steel.
    fn balance(&self, out: &mut Vec<Entity>, placer: &mut Placer<'_>) {
        let finished = self.weighed.total.map(|total| total.balance_mm);
        let Some(x) = finished.or(self.weighed.steel.balance_mm) else {
            return;
        };
        let Some((low, high)) = self.steel.index.depth_at(x) else {
            return;
        };
        let apex = Point::new(x, low - 0.5);
        let half = FULCRUM_MM * 0.6;
        let feet = [-half, half].map(|dx| Point::new(x + dx, apex.y - FULCRUM_MM));
        let [left, right] = feet;
        out.push(Entity::new(
            Role::Scribe,
            Shape::Open(vec![
                Piece::line(apex, left),
                Piece::line(left, right),
                Piece::line(right, apex),
            ]),
        ));
        let stroke = (high - low) * 0.15;
        for (from, to) in [(low, low + stroke), (high, high - stroke)] {
            out.push(Entity::line(
                Role::Scribe,
                Point::new(x, from),
                Point::new(x, to),
            ));
        }
        placer.take(Rect::from_points(left, Point::new(right.x, apex.y)));
        if self.words {
            let words = format!("balance {}", self.lengths.print_signed(Length::mm(x)));
            let below = left.y - SMALL_MM - 1.2;
            let places =
                [0.0, 4.0, 8.0, 12.0].map(|down| (Point::new(x, below - down), Anchor::Middle));
            out.extend(placer.place(&words, SMALL_MM, Ground::Outside, &places));
        }
    }

    fn landmarks(&self, out: &mut Vec<Entity>, placer: &mut Placer<'_>) {
        for kind in LandmarkKind::ALL {
            let Some(at) = self.knife.landmark_point(kind) else {
                continue;
            };
            let outward = self.outward_at(at).unwrap_or(Vec2::new(0.0, 1.0));
            out.push(Entity::line(
                Role::Scribe,
                at - outward * TICK_MM,
                at + outward * TICK_MM,
            ));
            // The shoulder line has its own word; its ends need none.
            let on_shoulder_line = at.x.abs() < 1.0
                && matches!(
                    kind,
                    LandmarkKind::UpperShoulder | LandmarkKind::LowerShoulder
                );
            if self.words && !on_shoulder_line {
                let places = around(at, outward);
                out.extend(placer.place(kind.name(), SMALL_MM, Ground::Outside, &places));
            }
        }
    }

    /// Unit vector out of the steel at a place on the outline, which runs counterclockwise or not.
    fn outward_at(&self, at: Point) -> Option<Vec2> {
        let pieces = &self.steel.contour.pieces;
        let nearest = self.steel.contour.nearest(at)?;
        let leaving = pieces.get(nearest.piece)?.direction(nearest.t)?;
        // At a node, the middle between the sides that meet there.
        let arriving = pieces
            .iter()
            .filter(|piece| piece.end().distance(at) <= SAME_POINT_MM)
            .find_map(|piece| piece.direction(1.0));
        let departing = pieces
            .iter()
            .filter(|piece| piece.start().distance(at) <= SAME_POINT_MM)
            .find_map(|piece| piece.direction(0.0));
        let along = match (arriving, departing) {
            (Some(a), Some(b)) if (a + b).hypot() > 1e-3 => (a + b).normalize(),
            _ => leaving,
        };
        let right = Vec2::new(along.y, -along.x);
        let inside = self.steel.index.contains(at + right * 0.05);
        Some(if inside { -right } else { right })
    }

    fn hole_sizes(&self, out: &mut Vec<Entity>, placer: &mut Placer<'_>) {
        for (center, diameter) in self.round_holes() {
            let words = self.lengths.print(Length::mm(diameter));
            let r = diameter / 2.0 + 1.0;
            let above = (center + Vec2::new(0.0, r), Anchor::Middle);
            let below = (center - Vec2::new(0.0, r + SMALL_MM), Anchor::Middle);
            let level = Vec2::new(r, -SMALL_MM / 2.0);
            let right = (center + level, Anchor::Start);
            let left = (center + Vec2::new(-level.x, level.y), Anchor::End);
            let places = [below, above, right, left];
            let placed = placer.place(&words, SMALL_MM, Ground::Inside, &places);
            out.extend(placed.or_else(|| self.size_beside(center, &words, placer)));
        }
    }

    /// The size of a hole in steel too narrow for words, straight above or below the steel.
    fn size_beside(&self, center: Point, words: &str, placer: &mut Placer<'_>) -> Option<Entity> {
        let (low, high) = self.steel.index.depth_at(center.x)?;
        if high - low > NARROW_MM {
            return None;
        }
        let places =
            [low - SMALL_MM - 1.5, high + 1.5].map(|y| (Point::new(center.x, y), Anchor::Middle));
        placer.place(words, SMALL_MM, Ground::Outside, &places)
    }
}

/// Places for words about a point on the outline: first straight out of the steel, then to the sides, then farther off.
fn around(at: Point, outward: Vec2) -> Vec<(Point, Anchor)> {
    let mut places = Vec::new();
    for distance in [3.0, 6.0, 10.0, 15.0] {
        for turn in [0.0, 0.6, -0.6, 1.2, -1.2] {
            let toward = Vec2::from_angle(outward.atan2() + turn);
            let anchor = match toward.x {
                x if x > 0.4 => Anchor::Start,
                x if x < -0.4 => Anchor::End,
                _ => Anchor::Middle,
            };
            // The point given is on the letters' foot line: below the steel they hang from it.
            let foot = SMALL_MM * (toward.y - 1.0) / 2.0;
            places.push((at + toward * distance + Vec2::new(0.0, foot), anchor));
        }
    }
    places
}
