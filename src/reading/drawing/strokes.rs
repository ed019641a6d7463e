//! What a reader hands on: chains of pieces, each as it was drawn.

use kurbo::{Affine, Point, Rect, Vec2};

use crate::geometry::{CircularArc, Piece};

/// Layers and groups of our own files that hold lines to cut.
const CUTTING: [&str; 2] = ["cut", "drill"];
/// Layers and groups of our own files that hold lines for the bench.
pub(super) const ASIDE: [&str; 3] = ["scribe", "label", "frame"];

/// Two points nearer than this share of their distance from the origin are one: some hundred roundings.
const ROUNDING: f64 = 1e-13;

/// What the file's own layer or group says a stroke is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    /// Nothing is said.
    Plain,
    /// To cut or to drill.
    Cutting,
    /// For the bench, by its name.
    Aside(&'static str),
}

impl Role {
    /// The role a layer or group of this name stands for.
    pub(super) fn named(name: &str) -> Self {
        if CUTTING.contains(&name) {
            return Self::Cutting;
        }
        ASIDE
            .into_iter()
            .find(|aside| *aside == name)
            .map_or(Self::Plain, Self::Aside)
    }
}

/// A chain of pieces, each beginning where the one before ends: a place in [`Strokes::pieces`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stroke {
    /// Index of the first piece.
    pub from: usize,
    /// Index behind the last piece.
    pub to: usize,
    /// Whether it was drawn closed; its last piece ends where its first begins then.
    pub closed: bool,
    /// What it is for.
    pub role: Role,
}

/// All strokes of a drawing, their pieces in one list.
#[derive(Clone, Debug, Default)]
pub(super) struct Strokes {
    pub pieces: Vec<Piece>,
    pub all: Vec<Stroke>,
}

impl Strokes {
    /// Makes a stroke of the pieces pushed since `from`; nothing when there are none. A closed one that does not end where it begins gets a line.
    pub(super) fn finish(&mut self, from: usize, closed: bool, role: Role) {
        let Some(first) = self.pieces.get(from) else {
            return;
        };
        let begin = first.start();
        let end = self.pieces.last().map_or(begin, Piece::end);
        // The ends of arcs differ by a rounding where they are the same point.
        let size = begin.to_vec2().hypot() + end.to_vec2().hypot();
        let back = begin.distance(end) <= ROUNDING * size;
        if closed && !back {
            self.pieces.push(Piece::line(end, begin));
        }
        // What comes back to its first point is closed, whatever the file says.
        let closed = closed || (back && self.pieces.len() > from + 1);
        self.all.push(Stroke {
            from,
            to: self.pieces.len(),
            closed,
            role,
        });
    }

    /// The pieces of a stroke.
    pub(super) fn of(&self, stroke: &Stroke) -> &[Piece] {
        self.pieces.get(stroke.from..stroke.to).unwrap_or_default()
    }

    /// The smallest box around a stroke; `None` when it has no pieces.
    pub(super) fn bounds_of(&self, stroke: &Stroke) -> Option<Rect> {
        let boxes = self.of(stroke).iter().map(Piece::bounds);
        boxes.reduce(|a, b| a.union(b))
    }

    /// A box around everything, quick to get; `None` when there is nothing.
    pub(super) fn bounds(&self) -> Option<Rect> {
        let boxes = self.pieces.iter().map(Piece::hull_bounds);
        boxes.reduce(|a, b| a.union(b))
    }

    /// Multiplies every length.
    pub(super) fn scale(&mut self, factor: f64) {
        if factor != 1.0 {
            for piece in &mut self.pieces {
                *piece = scaled(piece, factor);
            }
        }
    }
}

/// A piece with every length multiplied by a positive factor.
pub(super) fn scaled(piece: &Piece, factor: f64) -> Piece {
    let at = |p: Point| (p.to_vec2() * factor).to_point();
    match piece {
        Piece::Line(line) => Piece::line(at(line.p0), at(line.p1)),
        Piece::Arc(arc) => Piece::Arc(CircularArc {
            center: at(arc.center),
            radius: arc.radius * factor,
            ..*arc
        }),
        Piece::Cubic(c) => {
            Piece::Cubic(kurbo::CubicBez::new(at(c.p0), at(c.p1), at(c.p2), at(c.p3)))
        }
    }
}

/// Appends a piece as an affine map leaves it. A turned, mirrored or evenly scaled arc stays an arc; one that becomes part of an ellipse is given as
/// cubics, which an affine map carries exactly.
pub(super) fn push_mapped(piece: &Piece, map: &Affine, out: &mut Vec<Piece>) {
    match piece {
        Piece::Line(line) => out.push(Piece::line(*map * line.p0, *map * line.p1)),
        Piece::Cubic(cubic) => out.push(Piece::Cubic(*map * *cubic)),
        Piece::Arc(arc) => match mapped_arc(arc, map) {
            Some(arc) => out.push(Piece::Arc(arc)),
            None => out.extend(
                crate::geometry::arc_cubics(arc)
                    .into_iter()
                    .map(|cubic| Piece::Cubic(*map * cubic)),
            ),
        },
    }
}

/// The arc a map makes of an arc, if the map keeps circles round.
fn mapped_arc(arc: &CircularArc, map: &Affine) -> Option<CircularArc> {
    let [a, b, c, d, ..] = map.as_coeffs();
    let (x, y) = (Vec2::new(a, b), Vec2::new(c, d));
    let (long, wide) = (x.hypot(), y.hypot());
    // A ten-millionth off square or even moves no point of a knife by more than a tenth of a micrometer.
    let near = 1e-7 * long.max(wide);
    let round = (long - wide).abs() <= near && x.dot(y).abs() <= near * long.max(wide);
    let mirrored = x.cross(y) < 0.0;
    let start = Vec2::from_angle(arc.start_angle);
    let turned = x * start.x + y * start.y;
    (round && long > 0.0).then(|| CircularArc {
        center: *map * arc.center,
        radius: arc.radius * long,
        start_angle: turned.atan2(),
        sweep: if mirrored { -arc.sweep } else { arc.sweep },
    })
}

/// A cubic whose control points stand on its chord in their order is the straight line it looks like.
pub(super) fn straightened(piece: &Piece, within: f64) -> Piece {
    let Piece::Cubic(c) = piece else {
        return *piece;
    };
    let chord = c.p3 - c.p0;
    let length = chord.hypot();
    let (one, two) = (c.p1 - c.p0, c.p2 - c.p0);
    let off = chord.cross(one).abs().max(chord.cross(two).abs());
    let forward = chord.dot(one) >= 0.0
        && chord.dot(two) >= chord.dot(one)
        && chord.dot(two) <= length * length;
    if length > within && off <= within * length && forward {
        Piece::line(c.p0, c.p3)
    } else {
        *piece
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn an_arc_is_mapped_as_its_points_are(
            turn in -3.0..3.0, sx in 0.2..3.0, uneven in 0.2..3.0, even in any::<bool>(), flip in any::<bool>(),
            start in -4.0..4.0, sweep in -6.0..6.0,
        ) {
            let arc = CircularArc { center: Point::new(3.0, -2.0), radius: 5.0, start_angle: start, sweep };
            let sy = if even { sx } else { uneven } * if flip { -1.0 } else { 1.0 };
            let map = Affine::translate((7.0, 1.0)) * Affine::rotate(turn) * Affine::scale_non_uniform(sx, sy);
            let mut out = Vec::new();
            push_mapped(&Piece::Arc(arc), &map, &mut out);
            prop_assert!(!even || matches!(out[..], [Piece::Arc(_)]), "an even scale keeps arcs");
            // The map of any point of the arc lies on the result.
            for i in 0..=10 {
                let p = map * arc.eval(f64::from(i) / 10.0);
                let off = out.iter().map(|piece| piece.nearest(p).1).fold(f64::INFINITY, f64::min);
                prop_assert!(off < 1e-5, "{off}");
            }
            prop_assert!(out[0].start().distance(map * arc.eval(0.0)) < 1e-9);
        }
    }

    #[test]
    fn only_straight_cubics_become_lines() {
        let cubic = |points: [(f64, f64); 4]| {
            let [a, b, c, d] = points.map(Point::from);
            Piece::Cubic(kurbo::CubicBez::new(a, b, c, d))
        };
        let straight = cubic([(0.0, 0.0), (1.0, 1.0), (2.0, 2.0), (3.0, 3.0)]);
        assert_eq!(
            straightened(&straight, 1e-7),
            Piece::line(Point::ZERO, Point::new(3.0, 3.0))
        );
        for bent in [
            [(0.0, 0.0), (1.0, 1.1), (2.0, 2.0), (3.0, 3.0)],
            // It runs past its end and comes back.
            [(0.0, 0.0), (1.0, 1.0), (9.0, 9.0), (3.0, 3.0)],
            [(0.0, 0.0), (0.0, 0.0), (0.0, 0.0), (0.0, 0.0)],
        ] {
            assert_eq!(straightened(&cubic(bent), 1e-7), cubic(bent));
        }
    }

    #[test]
    fn a_line_closes_what_was_drawn_closed() {
        let mut strokes = Strokes::default();
        for (a, b) in [((0.0, 0.0), (4.0, 0.0)), ((4.0, 0.0), (4.0, 3.0))] {
            strokes.pieces.push(Piece::line(a.into(), b.into()));
        }
        strokes.finish(0, true, Role::Plain);
        // 3, 4, 5: the closing side of the triangle.
        assert_eq!(strokes.pieces.len(), 3);
        assert!((strokes.pieces[2].length() - 5.0).abs() < 1e-12);
    }

    #[test]
    fn only_our_own_names_have_a_role() {
        assert_eq!(Role::named("drill"), Role::Cutting);
        assert_eq!(Role::named("label"), Role::Aside("label"));
        assert_eq!(Role::named("Labels"), Role::Plain);
    }
}
