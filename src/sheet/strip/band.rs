//! One strip: the steel seen along its edge or its spine at true size, lines on it, and the stations named above it.

use super::super::font;
use super::super::model::{Anchor, Entity, Role, Shape};
use crate::geometry::{Contour, Point};
use crate::knife::Face;
use crate::weighing::FaceHeights;

/// Height of small words, mm.
const SMALL_MM: f64 = 1.8;
/// From one row of station names to the next, mm.
const LEVEL_MM: f64 = 3.2;
/// The most rows of station names; the table below names the others.
const MOST_LEVELS: usize = 16;
/// Air between a tick and its words, mm.
const BESIDE_MM: f64 = 0.7;
/// Air above and below a strip, mm.
const AIR_MM: f64 = 2.5;
/// Dash and gap of the mid-plane and the core, mm.
const DASH_MM: f64 = 3.0;
const GAP_MM: f64 = 1.5;
/// A strip shorter than this along the knife is none, mm.
const SHORTEST_MM: f64 = 0.1;

/// From where a strip is seen, tip to the right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum View {
    /// From below, at the edge: the right face is up.
    Below,
    /// From above, at the spine: the left face is up.
    Above,
}

/// A face as the upper side of a strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Side(Face);

impl Side {
    /// Its name.
    pub(super) fn name(self) -> &'static str {
        match self.0 {
            Face::Right => "right",
            Face::Left => "left",
        }
    }

    /// The other one.
    pub(super) fn other(self) -> Self {
        Self(match self.0 {
            Face::Right => Face::Left,
            Face::Left => Face::Right,
        })
    }
}

impl View {
    pub(super) fn upper_face(self) -> Side {
        Side(match self {
            Self::Below => Face::Right,
            Self::Above => Face::Left,
        })
    }

    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Below => "seen from below",
            Self::Above => "seen from above",
        }
    }

    /// What belongs to the upper face, then what belongs to the lower.
    pub(super) fn ordered<T>(self, right: T, left: T) -> [T; 2] {
        match self {
            Self::Below => [right, left],
            Self::Above => [left, right],
        }
    }

    /// How far up on paper a height over the mid-plane lies.
    fn up(self, z: f64) -> f64 {
        match self {
            Self::Below => z,
            Self::Above => -z,
        }
    }
}

/// A place along the strip where something is to be told; one without words is a corner of the strip and no more.
pub(super) struct Station {
    pub x_mm: f64,
    pub faces: FaceHeights,
    pub words: String,
}

/// A line on the strip: its height over the mid-plane at each station, where it is on the steel.
pub(super) struct Line {
    pub points: Vec<Option<f64>>,
    pub dashed: bool,
}

/// A strip to draw.
pub(super) struct Band {
    pub view: View,
    /// In rising order.
    pub stations: Vec<Station>,
    pub lines: Vec<Line>,
}

impl Band {
    /// Draws it below `y` and gives its lower end.
    pub(super) fn draw(&self, y: f64, out: &mut Vec<Entity>) -> f64 {
        let (Some(first), Some(last)) = (self.stations.first(), self.stations.last()) else {
            return y;
        };
        if last.x_mm - first.x_mm < SHORTEST_MM {
            return y;
        }
        let levels = self.levels();
        let deepest = levels.iter().flatten().max().copied().unwrap_or(0);
        let highest = self.extreme(|top, _| top).max(0.0);
        let lowest = self.extreme(|_, bottom| -bottom).max(0.0);
        let above = AIR_MM * 2.0 + LEVEL_MM * (as_f64(deepest) + 1.0);
        let middle = y - above - highest;
        let at = |station: &Station, z: f64| Point::new(station.x_mm, middle + self.view.up(z));
        self.outline(&at, out);
        for line in &self.lines {
            self.line(line, &at, out);
        }
        for (station, level) in self.stations.iter().zip(&levels) {
            let (upper, lower) = self.sides(station);
            let (upper, lower) = (at(station, upper), at(station, lower));
            if station.words.is_empty() {
                continue;
            }
            let Some(level) = level else {
                out.push(Entity::line(Role::Scribe, upper, lower));
                continue;
            };
            let foot = middle + highest + AIR_MM + LEVEL_MM * as_f64(*level);
            let tick = Point::new(station.x_mm, foot + SMALL_MM);
            out.push(Entity::line(Role::Scribe, lower, tick));
            let words = Point::new(station.x_mm + BESIDE_MM, foot);
            let label = Entity::label(words, SMALL_MM, station.words.clone(), Anchor::Start);
            out.push(label);
        }
        let upper = self.view.upper_face();
        // Behind the first station: the words of the stations stand ahead of theirs.
        let beside = first.x_mm - 2.0;
        for (z, face) in [(highest, upper), (-lowest, upper.other())] {
            // Words of thin steel would stand in each other: they stand outward of the faces.
            let foot = if z >= 0.0 {
                middle + z
            } else {
                middle + z - SMALL_MM
            };
            let words = format!("{} face", face.name());
            let at = Point::new(beside, foot);
            out.push(Entity::label(at, SMALL_MM, words, Anchor::End));
        }
        middle - lowest - AIR_MM
    }

    /// Heights of the upper and the lower face at a station, as they lie on paper.
    fn sides(&self, station: &Station) -> (f64, f64) {
        let (right, left) = (station.faces.right_mm, -station.faces.left_mm);
        match self.view {
            View::Below => (right, left),
            View::Above => (left, right),
        }
    }

    /// The largest of something told by how far up on paper both faces lie.
    fn extreme(&self, of: fn(f64, f64) -> f64) -> f64 {
        self.stations
            .iter()
            .map(|station| {
                let (upper, lower) = self.sides(station);
                of(self.view.up(upper), self.view.up(lower))
            })
            .fold(f64::NEG_INFINITY, f64::max)
    }

    fn outline(&self, at: &impl Fn(&Station, f64) -> Point, out: &mut Vec<Entity>) {
        let lower = self.stations.iter().map(|s| at(s, self.sides(s).1));
        let upper = self.stations.iter().rev().map(|s| at(s, self.sides(s).0));
        let corners: Vec<Point> = lower.chain(upper).collect();
        let contour = Contour::polygon(&corners);
        out.push(Entity::new(Role::Cut, Shape::Contour(contour)));
    }

    fn line(&self, line: &Line, at: &impl Fn(&Station, f64) -> Point, out: &mut Vec<Entity>) {
        let points: Vec<Option<Point>> = self
            .stations
            .iter()
            .zip(&line.points)
            .map(|(station, z)| z.map(|z| at(station, z)))
            .collect();
        for pair in points.windows(2) {
            let [Some(from), Some(to)] = *pair else {
                continue;
            };
            if line.dashed {
                dashes(from, to, out);
            } else {
                out.push(Entity::line(Role::Scribe, from, to));
            }
        }
    }

    /// In which row above the strip each station is named; `None` when there are too many. From the front to the rear each stands in the lowest
    /// row in which its words pass above the ticks of those ahead of it.
    fn levels(&self) -> Vec<Option<usize>> {
        let mut levels: Vec<Option<usize>> = vec![None; self.stations.len()];
        let mut ahead: Vec<(f64, usize)> = Vec::new();
        let named = self.stations.iter().zip(&mut levels).rev();
        for (station, level) in named.filter(|(station, _)| !station.words.is_empty()) {
            let end = station.x_mm + 2.0 * BESIDE_MM + font::width_mm(&station.words, SMALL_MM);
            let over = ahead.iter().filter(|(x, _)| *x < end).map(|(_, l)| l + 1);
            let own = over.max().unwrap_or(0);
            if own < MOST_LEVELS {
                ahead.push((station.x_mm, own));
                *level = Some(own);
            }
        }
        levels
    }
}

fn dashes(from: Point, to: Point, out: &mut Vec<Entity>) {
    let length = from.distance(to);
    let mut start = 0.0;
    while start < length {
        let end = (start + DASH_MM).min(length);
        out.push(Entity::line(
            Role::Scribe,
            from.lerp(to, start / length),
            from.lerp(to, end / length),
        ));
        start = end + GAP_MM;
    }
}

fn as_f64(n: usize) -> f64 {
    u32::try_from(n).map_or(f64::from(u32::MAX), f64::from)
}
