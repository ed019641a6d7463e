//! Typed sizes: stretching the blade or the tang until a length or height is as asked.
//!
//! One factor is looked for with which the measured size comes out: where the stretched nodes alone decide, the first guess is right; where a
//! curve overshoots its nodes or is held at the shoulder line, the factor is closed in on. Everything is stretched once, by the factor found.

use super::EditError;
use crate::geometry::{Point, Vec2};
use crate::knife::{Joint, Knife, LARGEST_MM, LandmarkKind, Node, RowPath, SMALLEST_MM, extent};

/// Smallest size that can be stretched, mm; also how far beside the shoulder line a node still counts as on it.
const NOTHING_MM: f64 = 1e-6;

/// How near the measured size comes to the asked one, mm.
const CLOSE_MM: f64 = 1e-9;

/// How many times larger the next factor may be than the last.
const MOST_GROWTH: f64 = 4.0;

/// The most factors that are tried; halving alone brings them within 1e-15 of each other.
const MOST_TRIES: u32 = 80;

pub(super) fn set_blade_length(knife: &mut Knife, length_mm: f64) -> Result<(), EditError> {
    let bounds = |k: &Knife| k.contour().bounds().x1;
    let along = |s: f64| Stretch {
        ahead: true,
        scale: Vec2::new(s, 1.0),
        level: 0.0,
    };
    reach(knife, "the blade's length", length_mm, bounds, along)
}

pub(super) fn set_tang_length(knife: &mut Knife, length_mm: f64) -> Result<(), EditError> {
    let bounds = |k: &Knife| -k.contour().bounds().x0;
    let along = |s: f64| Stretch {
        ahead: false,
        scale: Vec2::new(s, 1.0),
        level: 0.0,
    };
    reach(knife, "the tang's length", length_mm, bounds, along)?;
    *knife.tang.length_mut() = length_mm;
    Ok(())
}

/// Stretches the tang's part of the taper after the tang was made anew, `before_mm` being how long it was.
pub(super) fn tang_taper_follows(knife: &mut Knife, before_mm: f64) {
    let now = -knife.contour().bounds().x0;
    let scale = now / before_mm;
    if before_mm > NOTHING_MM && now > NOTHING_MM && scale.is_finite() {
        let stretch = Stretch {
            ahead: false,
            scale: Vec2::new(scale, 1.0),
            level: 0.0,
        };
        stretch.taper(knife);
    }
}

/// Stretches the depth of the blade about the height of the upper shoulder.
pub(super) fn set_height(knife: &mut Knife, height_mm: f64) -> Result<(), EditError> {
    let level = knife
        .landmark_point(LandmarkKind::UpperShoulder)
        .map_or_else(|| knife.contour().bounds().y1, |p| p.y);
    let height = |k: &Knife| extent(k, &k.contour().index()).height_mm;
    let across = |s: f64| Stretch {
        ahead: true,
        scale: Vec2::new(1.0, s),
        level,
    };
    reach(knife, "the blade's height", height_mm, height, across)
}

/// Stretches a knife by the factor with which `measure` gives `asked_mm`.
///
/// The factor is found by secant steps, each kept within the factors already known to be too small and too large, or halving between
/// them when it leaves those.
fn reach(
    knife: &mut Knife,
    what: &'static str,
    asked_mm: f64,
    measure: impl Fn(&Knife) -> f64,
    stretch: impl Fn(f64) -> Stretch,
) -> Result<(), EditError> {
    if !(SMALLEST_MM..=LARGEST_MM).contains(&asked_mm) {
        let value_mm = asked_mm;
        return Err(EditError::NoSize { what, value_mm });
    }
    let now = measure(knife);
    if now.is_nan() || now <= NOTHING_MM {
        return Err(EditError::NothingToStretch { what });
    }
    let off = |size: f64| size - asked_mm;
    if off(now).abs() <= CLOSE_MM {
        return Ok(());
    }
    let (mut before, mut off_before) = (1.0, off(now));
    let (mut low, mut high) = (0.0, f64::INFINITY);
    let mut factor = asked_mm / now;
    for _ in 0..MOST_TRIES {
        let tried = stretch(factor).of(knife);
        let off_now = off(measure(&tried));
        if off_now.abs() <= CLOSE_MM {
            *knife = tried;
            return Ok(());
        }
        if off_now < 0.0 {
            low = factor;
        } else {
            high = factor;
        }
        let secant = factor - off_now * (factor - before) / (off_now - off_before);
        (before, off_before) = (factor, off_now);
        // A size held at the shoulder line answers late: without this bound the first steps would overshoot by far.
        let most = high.min(MOST_GROWTH * factor);
        factor = if secant > low && secant < most {
            secant
        } else if high.is_finite() {
            f64::midpoint(low, high)
        } else {
            low * 2.0
        };
        if !factor.is_finite() || factor > LARGEST_MM / NOTHING_MM {
            break;
        }
    }
    Err(EditError::OutOfReach { what, asked_mm })
}

/// A stretch of everything on one side of the shoulder line about the point (0, `level`).
struct Stretch {
    /// Whether what lies ahead of the line is stretched, not what lies behind it.
    ahead: bool,
    scale: Vec2,
    level: f64,
}

impl Stretch {
    fn on_side(&self, p: Point) -> bool {
        if self.ahead {
            p.x > NOTHING_MM
        } else {
            p.x < -NOTHING_MM
        }
    }

    fn point(&self, p: Point) -> Point {
        let y = self.level + (p.y - self.level) * self.scale.y;
        Point::new(p.x * self.scale.x, y)
    }

    fn vector(&self, v: Vec2) -> Vec2 {
        Vec2::new(v.x * self.scale.x, v.y * self.scale.y)
    }

    fn of(&self, knife: &Knife) -> Knife {
        let mut knife = knife.clone();
        self.nodes(&mut knife.outline.nodes, true);
        for cut in &mut knife.cut_outs {
            let center = cut.shape.center();
            if self.on_side(center) {
                // A hole keeps its size: it is drilled, not stretched.
                cut.shape = cut.shape.shifted(self.point(center) - center);
            }
        }
        for row in &mut knife.rows {
            self.row(&mut row.path);
        }
        self.taper(&mut knife);
        for fuller in &mut knife.grinding.fullers {
            self.nodes(&mut fuller.path.nodes, false);
        }
        knife
    }

    fn taper(&self, knife: &mut Knife) {
        let taper = knife.grinding.taper.iter_mut();
        for station in taper.flat_map(|t| &mut t.stations) {
            let p = Point::new(station.x_mm, self.level);
            if self.on_side(p) {
                station.x_mm = self.point(p).x;
            }
        }
    }

    /// Stretches the nodes of an outline, or of an open chain.
    fn nodes(&self, nodes: &mut [Node], closed: bool) {
        let n = nodes.len();
        let sides: Vec<bool> = nodes.iter().map(|node| self.on_side(node.at)).collect();
        for (i, node) in nodes.iter_mut().enumerate() {
            let side = |k: usize| sides.get(k % n).copied().unwrap_or(false);
            if side(i) {
                node.handle_in = node.handle_in.map(|h| self.vector(h));
                node.handle_out = node.handle_out.map(|h| self.vector(h));
                node.at = self.point(node.at);
            } else {
                // A handle of a node on the shoulder line belongs to the piece it shapes.
                let before = (closed || i > 0) && side(i + n - 1);
                let after = (closed || i + 1 < n) && side(i + 1);
                self.held_node(node, before, after);
            }
        }
    }

    /// Stretches the handles with which a node that stays shapes the stretched side. Where it passes smoothly, the direction is that of the
    /// side that stays, and only the length is stretched.
    fn held_node(&self, node: &mut Node, before: bool, after: bool) {
        let reaches = |h: Option<Vec2>| h.is_some_and(|h| self.on_side(node.at + h));
        let (into, out) = (
            before || reaches(node.handle_in),
            after || reaches(node.handle_out),
        );
        let in_line = node.joint == Joint::Smooth
            && into != out
            && node.handle_in.is_some()
            && node.handle_out.is_some();
        let handle = |h: Vec2| {
            let stretched = self.vector(h);
            let length = h.hypot();
            if in_line && length > 0.0 {
                h * (stretched.hypot() / length)
            } else {
                stretched
            }
        };
        if into {
            node.handle_in = node.handle_in.map(handle);
        }
        if out {
            node.handle_out = node.handle_out.map(handle);
        }
    }

    fn row(&self, path: &mut RowPath) {
        match path {
            RowPath::Line { from, to } => {
                for end in [from, to] {
                    if self.on_side(*end) {
                        *end = self.point(*end);
                    }
                }
            }
            RowPath::TangMiddle { from_x, to_x } => {
                for x in [from_x, to_x] {
                    let p = Point::new(*x, self.level);
                    if self.on_side(p) {
                        *x = self.point(p).x;
                    }
                }
            }
        }
    }
}
