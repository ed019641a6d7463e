//! The names of landmarks: each stands beside its flag, where it touches neither an outline nor a grip nor another name.

use egui::{Align2, FontId, Pos2, Rect, Stroke, pos2, vec2};

use super::Pen;
use super::handles::landmark_flag;
use crate::edit::Thing;
use crate::knife::{Knife, LandmarkKind};
use crate::window::results::KnifeResults;
use crate::window::session::{Session, Tool};
use crate::window::tools::{grips, held};

/// Size of a name, screen points.
const NAME_PX: f32 = 11.0;
/// From a flag to its name.
const BESIDE_PX: f32 = 9.0;
/// Half the size of what a flag or a grip covers.
const MARK_PX: f32 = 5.0;
/// How far a name moves out where there is no room beside its flag.
const ROW_PX: f32 = 13.0;
/// Least air between a name and a line.
const AIR_PX: f32 = 2.0;
/// Width at the left that the tools cover.
const TOOLS_PX: f32 = 80.0;

/// What names keep clear of.
#[derive(Default)]
struct Taken {
    /// Lines on the screen.
    lines: Vec<Vec<Pos2>>,
    /// Marks, and names that stand already.
    rects: Vec<Rect>,
}

impl Taken {
    fn of(pen: &Pen<'_>, knife: &Knife, results: &KnifeResults, session: &Session) -> Self {
        let closed = |points: &[crate::geometry::Point]| {
            let first = points.first();
            points.iter().chain(first).map(|p| pen.pos(*p)).collect()
        };
        // The tools hang over the drawing at its left.
        let tools = Rect::from_min_max(
            pen.canvas.min,
            pos2(pen.canvas.left() + TOOLS_PX, pen.canvas.bottom()),
        );
        let mut taken = Self {
            lines: vec![closed(&results.points), closed(&results.handle_points)],
            rects: vec![tools],
        };
        if session.tool != Tool::Shift {
            return taken;
        }
        let mark = |at: Pos2| Rect::from_center_size(at, vec2(2.0, 2.0) * MARK_PX);
        for kind in LandmarkKind::ALL {
            let flag = knife.landmark_point(kind).map(|at| pen.pos(at));
            let flag = flag.map(|at| mark(at + vec2(0.0, landmark_flag(kind))));
            taken.rects.extend(flag);
        }
        if session.preferences.ground {
            let grips = knife.grinding.grinds.iter().flat_map(grips);
            let places = grips.filter_map(|grip| held(knife, grip));
            taken.rects.extend(places.map(|h| mark(pen.pos(h.at))));
        }
        taken
    }

    /// Whether nothing is there yet.
    fn leaves(&self, rect: Rect) -> bool {
        let near = rect.expand(AIR_PX);
        let crossed = |line: &Vec<Pos2>| line.array_windows().any(|[a, b]| meets(near, *a, *b));
        !self.rects.iter().any(|own| own.intersects(rect)) && !self.lines.iter().any(crossed)
    }
}

/// Whether a straight line touches a rectangle: it does if some of it lies between all four sides.
fn meets(rect: Rect, a: Pos2, b: Pos2) -> bool {
    let d = b - a;
    let (mut from, mut to) = (0.0_f32, 1.0_f32);
    for (start, way, range) in [(a.x, d.x, rect.x_range()), (a.y, d.y, rect.y_range())] {
        if way == 0.0 {
            if !range.contains(start) {
                return false;
            }
            continue;
        }
        let ends = [(range.min - start) / way, (range.max - start) / way];
        from = from.max(ends[0].min(ends[1]));
        to = to.min(ends[0].max(ends[1]));
    }
    from <= to
}

/// Draws the names over all lines; with Shift in hand the flags stand beside them.
pub(super) fn draw_names(pen: &Pen<'_>, knife: &Knife, results: &KnifeResults, session: &Session) {
    let mut taken = Taken::of(pen, knife, results, session);
    for kind in LandmarkKind::ALL {
        let Some(at) = knife.landmark_point(kind) else {
            continue;
        };
        let color = if session.is_picked(Thing::Landmark(kind)) {
            pen.palette.bright
        } else {
            pen.palette.quiet
        };
        let held = session.tool == Tool::Shift;
        let beside = !held && kind == LandmarkKind::Tip;
        let down = if beside { -6.0 } else { landmark_flag(kind) };
        let flag = pen.pos(at) + vec2(0.0, down);
        if !held && !beside {
            // No flag to hold, but a stem that tells which place is meant.
            let stem = Stroke::new(1.0, color.gamma_multiply(0.6));
            pen.painter.line_segment([pen.pos(at), flag], stem);
        }
        let name = kind.name().to_owned();
        let galley = pen
            .painter
            .layout_no_wrap(name, FontId::proportional(NAME_PX), color);
        let places = places(kind, flag, down.signum(), galley.size());
        let in_sight = |rect: &Rect| pen.canvas.shrink(AIR_PX).contains_rect(*rect);
        let free = places
            .iter()
            .copied()
            .find(|rect| in_sight(rect) && taken.leaves(*rect));
        if let Some(rect) = free {
            // Lines of the drawing are broken under a name; the knife itself is not.
            let plate = rect.expand2(vec2(3.0, -1.0));
            pen.painter.rect_filled(plate, 2.0, pen.palette.ground);
        }
        let Some(rect) = free.or(places.first().copied()) else {
            continue;
        };
        pen.painter.galley(rect.min, galley, color);
        taken.rects.push(rect);
    }
}

/// Where a name may stand, the best first: at its usual side of the flag, at the other, then farther from the knife.
fn places(kind: LandmarkKind, flag: Pos2, out: f32, size: egui::Vec2) -> [Rect; 6] {
    let left = matches!(
        kind,
        LandmarkKind::UpperShoulder | LandmarkKind::LowerShoulder | LandmarkKind::Butt
    );
    let sides = if left { [-1.0, 1.0] } else { [1.0, -1.0] };
    let rows = [0.0, 1.0, 2.0];
    let place = |i: usize| {
        let (side, row) = (sides[i % 2], rows[i / 2]);
        let at = flag + vec2(side * BESIDE_PX, out * row * ROW_PX);
        let align = if side < 0.0 {
            Align2::RIGHT_CENTER
        } else {
            Align2::LEFT_CENTER
        };
        align.anchor_size(at, size)
    };
    std::array::from_fn(place)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_meets_a_box_it_crosses_ends_in_or_grazes_at_a_corner() {
        let rect = Rect::from_min_max(pos2(10.0, 10.0), pos2(30.0, 20.0));
        let at = |a: (f32, f32), b: (f32, f32)| meets(rect, pos2(a.0, a.1), pos2(b.0, b.1));
        assert!(at((0.0, 0.0), (40.0, 30.0)));
        assert!(at((15.0, 12.0), (16.0, 13.0)));
        assert!(at((20.0, 0.0), (20.0, 11.0)) && !at((20.0, 0.0), (20.0, 9.0)));
        // Its box overlaps, but it passes the corner.
        assert!(!at((0.0, 18.0), (16.0, 30.0)));
        assert!(!at((5.0, 0.0), (5.0, 40.0)));
    }

    #[test]
    fn a_name_goes_to_the_other_side_and_then_farther_out() {
        let flag = pos2(100.0, 50.0);
        let size = vec2(30.0, 12.0);
        let places = places(LandmarkKind::Heel, flag, 1.0, size);
        let mut taken = Taken::default();
        let best = |taken: &Taken| places.iter().position(|rect| taken.leaves(*rect));
        assert_eq!(best(&taken), Some(0));
        assert!(places[0].left() > flag.x && places[1].right() < flag.x);
        taken.lines.push(vec![pos2(110.0, 0.0), pos2(110.0, 52.0)]);
        assert_eq!(best(&taken), Some(1));
        taken.rects.push(places[1]);
        assert_eq!(best(&taken), Some(2));
        assert!(places[2].top() > places[0].bottom());
    }
}
