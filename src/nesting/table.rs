//! Every shape in every turn it may take, the room it has, and the no-fit regions of pairs, made when first asked for.

use std::rc::Rc;

use crate::geometry::{Contour, Motion, Point, Rect, Vec2};

use super::convex::{difference, grown};
use super::cover::Cover;
use super::random::Random;
use super::zone::NoFit;

/// How far a rounded corner of a grown zone may stand off the true arc, mm.
const CORNER_MM: f64 = 0.02;

/// A shape that misses its room by no more than this fits exactly, mm.
const FITS_MM: f64 = 1e-9;

/// Most corners of all no-fit regions together: about a gigabyte. When there are more, all are forgotten and made anew as needed.
const MOST_CORNERS: usize = 15_000_000;

/// A shape in one turn. Its origin is the middle of the blank's box before turning.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    /// Box of the outline itself.
    pub bounds: Rect,
    /// Convex parts of its cover.
    parts: Vec<Vec<Point>>,
    /// How far the outline may reach out of the parts, mm.
    tolerance_mm: f64,
    /// Distance others keep from it, mm: edge or flaw instead of a blank.
    keeps_mm: Option<f64>,
}

impl Shape {
    /// A blank in one turn; `origin` becomes the shape's own. The motion's shift must be zero.
    pub(super) fn of_blank(
        contour: &Contour,
        cover: &Cover,
        parts: &[Vec<Point>],
        origin: Point,
        motion: &Motion,
    ) -> Self {
        let turned = |part: &Vec<Point>| {
            let mut part: Vec<Point> = part
                .iter()
                .map(|p| motion.apply((*p - origin).to_point()))
                .collect();
            if motion.mirrored {
                part.reverse();
            }
            part
        };
        Self {
            bounds: contour
                .moved(&Motion::shift(-origin.to_vec2()))
                .moved(motion)
                .bounds(),
            parts: parts.iter().map(turned).collect(),
            tolerance_mm: cover.tolerance_mm,
            keeps_mm: None,
        }
    }

    /// What nothing may come nearer to than `keeps_mm`.
    pub(super) fn fixed(parts: Vec<Vec<Point>>, tolerance_mm: f64, keeps_mm: f64) -> Self {
        Self {
            bounds: Rect::ZERO,
            parts,
            tolerance_mm,
            keeps_mm: Some(keeps_mm),
        }
    }
}

/// All shapes and what is known of their pairs.
#[derive(Debug)]
pub(super) struct Table {
    shapes: Vec<Shape>,
    gap_mm: f64,
    /// Room for the boxes of shapes, margins taken off.
    room: Rect,
    known: Vec<Option<Rc<NoFit>>>,
    corners: usize,
}

impl Table {
    pub(super) fn new(shapes: Vec<Shape>, gap_mm: f64, room: Rect) -> Self {
        let pairs = shapes.len() * shapes.len();
        Self {
            shapes,
            gap_mm,
            room,
            known: vec![None; pairs],
            corners: 0,
        }
    }

    /// Box of a shape about its own origin.
    pub(super) fn bounds(&self, shape: usize) -> Rect {
        self.shapes.get(shape).map_or(Rect::ZERO, |s| s.bounds)
    }

    /// The room of boxes, margins taken off.
    pub(super) fn room(&self) -> Rect {
        self.room
    }

    /// The same room, as long as `length_mm`.
    pub(super) fn set_length(&mut self, length_mm: f64) {
        self.room.x1 = self.room.x0 + length_mm;
    }

    /// Where the origin of a shape may stand; `None` if the shape is too large for the room.
    pub(super) fn places(&self, shape: usize) -> Option<Rect> {
        let (room, b) = (self.room, self.bounds(shape));
        let range = |low: f64, high: f64| {
            if high >= low {
                Some((low, high))
            } else {
                (high >= low - FITS_MM).then_some((high, high))
            }
        };
        let (x0, x1) = range(room.x0 - b.x0, room.x1 - b.x1)?;
        let (y0, y1) = range(room.y0 - b.y0, room.y1 - b.y1)?;
        Some(Rect::new(x0, y0, x1, y1))
    }

    /// Where the origin of `moving` may not stand, seen from that of `still`.
    pub(super) fn no_fit(&mut self, still: usize, moving: usize) -> Option<Rc<NoFit>> {
        let index = still * self.shapes.len() + moving;
        if let Some(Some(known)) = self.known.get(index) {
            return Some(Rc::clone(known));
        }
        let made = Rc::new(self.make(still, moving)?);
        if self.corners > MOST_CORNERS {
            self.known.fill(None);
            self.corners = 0;
        }
        self.corners += made.size();
        if let Some(place) = self.known.get_mut(index) {
            *place = Some(Rc::clone(&made));
        }
        Some(made)
    }

    fn make(&self, still: usize, moving: usize) -> Option<NoFit> {
        let (still, moving) = (self.shapes.get(still)?, self.shapes.get(moving)?);
        let apart = still.keeps_mm.unwrap_or(self.gap_mm);
        let radius = apart + still.tolerance_mm + moving.tolerance_mm;
        let zones: Vec<Vec<Point>> = still
            .parts
            .iter()
            .flat_map(|a| moving.parts.iter().map(move |b| difference(a, b)))
            .map(|zone| grown(&zone, radius, CORNER_MM))
            .collect();
        NoFit::new(zones.iter().map(Vec::as_slice))
    }
}

/// Moves a point into a box.
pub(super) fn clamped(at: Point, places: Rect) -> Point {
    let within = |v: f64, low: f64, high: f64| v.max(low).min(high);
    Point::new(
        within(at.x, places.x0, places.x1),
        within(at.y, places.y0, places.y1),
    )
}

/// A random point of a box.
pub(super) fn anywhere(random: &mut Random, places: Rect) -> Point {
    places.origin()
        + Vec2::new(
            random.share() * places.width(),
            random.share() * places.height(),
        )
}
