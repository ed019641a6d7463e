//! Strips: the smooth parts of a run that a grind rises from, each with the rays that leave it square.
//!
//! A strip lies along a piece of the run, or is the fan about a corner of it that points into the steel. A ray leaves its foot square to the run;
//! together the rays cover every point that has its nearest place on that part of the run, once. With parameter `t` along the strip and distance
//! `d` along the ray the area element is `(j0 + j1·d) dt dd`: on a piece `j0 = |p'|` and `j1 = −κ·|p'|`, with `κ` the curvature toward the
//! steel; on a fan `j0 = 0` and `j1` the sweep.

use std::f64::consts::{FRAC_PI_2, TAU};

use kurbo::{CubicBez, Point, Rect, Vec2};

use crate::geometry::{GAUSS_8, Piece};

/// A cubic or straight piece by its powers: `a + t·(b + t·(c + t·d))`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Powers {
    a: Vec2,
    b: Vec2,
    c: Vec2,
    d: Vec2,
    stall: Stall,
}

/// At which ends the curve stands still for a moment, because a handle there has no length.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Stall {
    None,
    Start,
    End,
    Both,
}

/// Handles shorter than this have no direction, mm.
const NO_HANDLE_MM: f64 = 1e-9;

impl Powers {
    pub(super) fn of_cubic(q: &CubicBez) -> Self {
        let gone = |handle: Vec2| handle.hypot() <= NO_HANDLE_MM;
        Self {
            stall: match (gone(q.p1 - q.p0), gone(q.p3 - q.p2)) {
                (false, false) => Stall::None,
                (true, false) => Stall::Start,
                (false, true) => Stall::End,
                (true, true) => Stall::Both,
            },
            a: q.p0.to_vec2(),
            b: 3.0 * (q.p1 - q.p0),
            c: 3.0 * (q.p2.to_vec2() - 2.0 * q.p1.to_vec2() + q.p0.to_vec2()),
            d: (q.p3 - q.p0) - 3.0 * (q.p2 - q.p1),
        }
    }

    pub(super) fn of_line(from: Point, to: Point) -> Self {
        Self {
            a: from.to_vec2(),
            b: to - from,
            c: Vec2::ZERO,
            d: Vec2::ZERO,
            stall: Stall::None,
        }
    }

    pub(super) fn at(&self, t: f64) -> Vec2 {
        self.a + t * (self.b + t * (self.c + t * self.d))
    }

    pub(super) fn slope(&self, t: f64) -> Vec2 {
        self.b + t * (2.0 * self.c + (3.0 * t) * self.d)
    }

    pub(super) fn bend(&self, t: f64) -> Vec2 {
        2.0 * self.c + (6.0 * t) * self.d
    }

    /// Along the curve's direction of travel, and nowhere of no length by a handle that has none: the slope is divided by how far the end of such a
    /// handle is away in `t`.
    pub(super) fn tangent(&self, t: f64) -> Vec2 {
        match self.stall {
            Stall::None => self.slope(t),
            Stall::Start => 2.0 * self.c + (3.0 * t) * self.d,
            Stall::End => self.b - (3.0 * t) * self.d,
            Stall::Both => -self.d,
        }
    }

    /// How the tangent changes with `t`.
    fn tangent_slope(&self, t: f64) -> Vec2 {
        match self.stall {
            Stall::None => self.bend(t),
            Stall::Start => 3.0 * self.d,
            Stall::End => -3.0 * self.d,
            Stall::Both => Vec2::ZERO,
        }
    }

    /// The place between two others where a point lies square to the curve; `away` there, negative at the first and not at the second.
    /// Newton's rule, held between the two.
    fn square_to(&self, q: Vec2, (mut lo, f_lo): (f64, f64), (mut hi, f_hi): (f64, f64)) -> f64 {
        let mut t = lo + (hi - lo) * f_lo / (f_lo - f_hi);
        for _ in 0..40 {
            let (off, w) = (self.at(t) - q, self.tangent(t));
            let away = off.dot(w);
            if away < 0.0 {
                lo = t;
            } else {
                hi = t;
            }
            let rate = self.slope(t).dot(w) + off.dot(self.tangent_slope(t));
            let newton = t - away / rate;
            // Arrived: the last step is rounding, and may well point out of the bracket.
            if (newton - t).abs() < 1e-14 {
                return newton.clamp(0.0, 1.0);
            }
            let within = newton > lo && newton < hi;
            let next = if within {
                newton
            } else {
                f64::midpoint(lo, hi)
            };
            t = next;
        }
        t
    }

    pub(super) fn coefficients(&self) -> [Vec2; 4] {
        [self.a, self.b, self.c, self.d]
    }

    pub(super) fn is_straight(&self) -> bool {
        self.c == Vec2::ZERO && self.d == Vec2::ZERO
    }
}

/// Where rays leave from.
#[derive(Clone, Copy, Debug)]
pub(super) enum Source {
    /// A piece; rays leave to its left, or to its right where `side` is −1.
    Along { curve: Powers, side: f64 },
    /// A corner: rays fan out from the direction `from`, turning by `sweep`, radians.
    Fan { corner: Vec2, from: f64, sweep: f64 },
}

/// One smooth part of a run.
#[derive(Clone, Debug)]
pub(super) struct Strip {
    pub source: Source,
    /// Share of the run's length at its start and end; both 0 or 1 on an extension.
    pub share: (f64, f64),
    /// Length along the run, mm; nothing for a fan.
    pub length: f64,
    /// Straight continuation of the run beyond its end, where only a plunge line lets the grind act.
    pub extension: bool,
    /// Box of the strip itself.
    pub bounds: Rect,
    /// Least and greatest direction of travel, radians, unwound along the run.
    pub heading: (f64, f64),
    /// Greatest curvature toward the rays, 1/mm, never below 0.
    pub sharpest: f64,
    /// Turn of the corner before it toward the rays, which meet those of the strip before at once; 0 where it goes on smoothly, radians.
    pub pinch: f64,
}

/// A ray: its foot, its direction and its area element.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ray {
    pub foot: Vec2,
    pub n: Vec2,
    pub j0: f64,
    pub j1: f64,
    /// Share of the run's length.
    pub share: f64,
}

/// Turns below this are rounding at a smooth joint, radians; the rays that meet or miss there cover less than 1e-3 mm² on any blade.
pub(super) const SMOOTH_TURN: f64 = 1e-6;

impl Strip {
    pub(super) fn ray(&self, t: f64) -> Ray {
        let share = self.share.0 + (self.share.1 - self.share.0) * self.way(t);
        match self.source {
            Source::Along { curve, side } => {
                // The turn of the direction, v × v' / |v|², is the same for the slope and for the tangent.
                let w = curve.tangent(t);
                let size = w.hypot();
                let bend = if curve.is_straight() {
                    0.0
                } else {
                    w.cross(curve.tangent_slope(t)) / (size * size)
                };
                Ray {
                    foot: curve.at(t),
                    n: Vec2::new(-w.y, w.x) * (side / size),
                    j0: curve.slope(t).hypot(),
                    j1: -side * bend,
                    share,
                }
            }
            Source::Fan {
                corner,
                from,
                sweep,
            } => Ray {
                foot: corner,
                n: Vec2::from_angle(from + sweep * t),
                j0: 0.0,
                j1: sweep.abs(),
                share,
            },
        }
    }

    /// Share of the strip's own length passed at `t`: exact for straight pieces, by eight-point Gauss–Legendre on curves.
    fn way(&self, t: f64) -> f64 {
        match self.source {
            Source::Along { curve, .. } if !curve.is_straight() && self.share.0 != self.share.1 => {
                arc_length(&curve, t) / self.length
            }
            _ => t,
        }
    }

    /// The parameter at a share of the run's length within this strip.
    pub(super) fn parameter_at(&self, share: f64) -> f64 {
        let part = (share - self.share.0) / (self.share.1 - self.share.0);
        let mut t = part;
        if let Source::Along { curve, .. } = self.source
            && !curve.is_straight()
        {
            for _ in 0..8 {
                let speed = curve.slope(t).hypot();
                if speed <= 0.0 {
                    break;
                }
                t = (t - (self.way(t) - part) * self.length / speed).clamp(0.0, 1.0);
            }
        }
        t
    }

    pub(super) fn of_piece(piece: &Piece, side: f64) -> Option<Self> {
        let curve = Powers::of_piece(piece)?;
        let straight = curve.is_straight();
        let length = if straight {
            curve.b.hypot()
        } else {
            arc_length(&curve, 1.0)
        };
        let (heading, sharpest) = bending(&curve, side)?;
        Some(Self {
            source: Source::Along { curve, side },
            share: (0.0, 0.0),
            length,
            extension: false,
            bounds: piece.hull_bounds(),
            heading,
            sharpest,
            pinch: 0.0,
        })
    }

    /// The straight continuation of a run's beginning or end, `length` long, in the direction of travel.
    pub(super) fn extension(from: Vec2, to: Vec2, share: f64) -> Option<Self> {
        let piece = Piece::line(from.to_point(), to.to_point());
        let mut strip = Self::of_piece(&piece, 1.0)?;
        strip.share = (share, share);
        strip.extension = true;
        Some(strip)
    }

    pub(super) fn fan(corner: Vec2, from: f64, sweep: f64, share: f64) -> Self {
        Self {
            source: Source::Fan {
                corner,
                from,
                sweep,
            },
            share: (share, share),
            length: 0.0,
            extension: false,
            bounds: Rect::from_points(corner.to_point(), corner.to_point()),
            heading: (0.0, 0.0),
            sharpest: 0.0,
            pinch: 0.0,
        }
    }

    /// Unit direction of travel at an end; `None` on a fan.
    pub(super) fn heading_at(&self, t: f64) -> Option<Vec2> {
        let Source::Along { side, .. } = self.source else {
            return None;
        };
        let n = self.ray(t).n * side;
        Some(Vec2::new(n.y, -n.x))
    }

    /// The nearest place of a piece to a point: parameter and distance. `None` on a fan.
    pub(super) fn nearest(&self, q: Vec2) -> Option<(f64, f64)> {
        let Source::Along { curve, .. } = self.source else {
            return None;
        };
        if curve.is_straight() {
            let t = ((q - curve.a).dot(curve.b) / curve.b.hypot2()).clamp(0.0, 1.0);
            return Some((t, (q - curve.at(t)).hypot()));
        }
        // Distance falls where the tangent points toward the point and grows where it points away: each change from the one to the other is a least
        // distance, and so may be an end.
        let hardly_bends = self.heading.1 - self.heading.0 < 0.6;
        let parts = if hardly_bends { 3 } else { 8 };
        let away = |t: f64| (curve.at(t) - q).dot(curve.tangent(t));
        // An end is least only where distance falls toward it; beside a true least, rounding would take one for the other.
        let mut before = (0.0, away(0.0));
        let (mut t, mut best) = (0.0, f64::INFINITY);
        if before.1 >= 0.0 {
            best = (curve.at(0.0) - q).hypot2();
        }
        for i in 1..=parts {
            let now = f64::from(i) / f64::from(parts);
            let now = (now, away(now));
            if before.1 < 0.0 && now.1 >= 0.0 {
                let place = curve.square_to(q, before, now);
                let d2 = (curve.at(place) - q).hypot2();
                if d2 < best {
                    (t, best) = (place, d2);
                }
            }
            before = now;
        }
        if before.1 < 0.0 && (curve.at(1.0) - q).hypot2() < best {
            t = 1.0;
        }
        Some((t, (curve.at(t) - q).hypot()))
    }
}

/// Least and greatest direction of travel, and greatest curvature toward the rays. Taken at steps along the curve, with room for what lies
/// between: used only to decide where the careful search can be left out.
fn bending(curve: &Powers, side: f64) -> Option<((f64, f64), f64)> {
    if curve.is_straight() {
        let length = curve.b.hypot();
        return (length > 0.0).then(|| {
            let angle = curve.b.atan2();
            ((angle, angle), 0.0)
        });
    }
    const STEPS: u32 = 16;
    let mut heading: Option<(f64, f64, f64)> = None;
    let mut sharpest = 0.0_f64;
    let mut widest_step = 0.0_f64;
    for i in 0..=STEPS {
        let t = f64::from(i) / f64::from(STEPS);
        let v = curve.tangent(t);
        if v.hypot() <= 0.0 {
            return None;
        }
        let speed = curve.slope(t).hypot();
        let kappa = if speed > 0.0 {
            side * v.cross(curve.tangent_slope(t)) / (v.hypot2() * speed)
        } else {
            0.0
        };
        sharpest = sharpest.max(kappa);
        heading = Some(match heading {
            None => (v.atan2(), v.atan2(), v.atan2()),
            Some((low, high, last)) => {
                let turn = unwound(v.atan2() - last);
                widest_step = widest_step.max(turn.abs());
                let now = last + turn;
                (low.min(now), high.max(now), now)
            }
        });
    }
    let (low, high, _) = heading?;
    Some((
        (low - widest_step / 4.0, high + widest_step / 4.0),
        sharpest * 1.1,
    ))
}

/// An angle brought between −π and π.
pub(super) fn unwound(angle: f64) -> f64 {
    angle - (angle / TAU).round() * TAU
}

/// The left normal's angle of a direction.
pub(super) fn left_of(direction: Vec2) -> f64 {
    direction.atan2() + FRAC_PI_2
}

fn arc_length(curve: &Powers, to: f64) -> f64 {
    GAUSS_8
        .iter()
        .map(|(x, w)| curve.slope(to * (0.5 + 0.5 * x)).hypot() * w * to * 0.5)
        .sum()
}
