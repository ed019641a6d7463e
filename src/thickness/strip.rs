//! Strips: the smooth parts of a run that a grind rises from, each with the rays that leave it square.
//!
//! A strip lies along a piece of the run, or is the fan about a corner of it that points into the steel. A ray leaves its foot square to the run;
//! together the rays cover every point that has its nearest place on that part of the run, once. With parameter `t` along the strip and distance
//! `d` along the ray the area element is `(j0 + j1·d) dt dd`: on a piece `j0 = |p'|` and `j1 = −κ·|p'|`, with `κ` the curvature toward the
//! steel; on a fan `j0 = 0` and `j1` the sweep.

use std::f64::consts::{FRAC_PI_2, TAU};
use std::sync::OnceLock;

use kurbo::{Rect, Vec2};

use super::powers::{PASSED, Powers, Square, arc_length, length, passed};
use crate::geometry::Piece;

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
    /// Strips that follow each other smoothly have the same number.
    pub chain: u32,
    /// Share of its own length passed, as a polynomial of the parameter, where that is as good as the integral.
    passed: OnceLock<Option<[f64; PASSED]>>,
}

/// A ray: its foot, its direction and its area element.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ray {
    pub foot: Vec2,
    pub n: Vec2,
    pub j0: f64,
    pub j1: f64,
}

/// How far off square to an end of a run, or behind it, a point may lie and still be counted as square to it and over it; rounding, mm.
pub(super) const SQUARE_MM: f64 = 1e-9;

/// Turns below this are rounding at a smooth joint, radians; the rays that meet or miss there cover less than 1e-3 mm² on any blade.
pub(super) const SMOOTH_TURN: f64 = 1e-6;

impl Strip {
    pub(super) fn ray(&self, t: f64) -> Ray {
        match self.source {
            Source::Along { curve, side } => {
                // The turn of the direction, v × v' / |v|², is the same for the slope and for the tangent.
                let w = curve.tangent(t);
                let size = length(w);
                let bend = if curve.is_straight() {
                    0.0
                } else {
                    w.cross(curve.tangent_slope(t)) / (size * size)
                };
                Ray {
                    foot: curve.at(t),
                    n: Vec2::new(-w.y, w.x) * (side / size),
                    j0: length(curve.slope(t)),
                    j1: -side * bend,
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
            },
        }
    }

    /// Where a ray leaves from.
    pub(super) fn foot_at(&self, t: f64) -> Vec2 {
        match self.source {
            Source::Along { curve, .. } => curve.at(t),
            Source::Fan { corner, .. } => corner,
        }
    }

    /// Whether a point that lies square to the strip lies on the side of its rays, or on the strip itself but for rounding.
    pub(super) fn is_over(&self, q: Vec2, t: f64) -> bool {
        match self.source {
            Source::Along { curve, side } => {
                let along = curve.tangent(t);
                side * along.cross(q - curve.at(t)) >= -SQUARE_MM * length(along)
            }
            Source::Fan { .. } => true,
        }
    }

    pub(super) fn is_piece(&self) -> bool {
        matches!(self.source, Source::Along { .. })
    }

    /// Share of the run's length at a parameter.
    pub(super) fn share_at(&self, t: f64) -> f64 {
        self.share.0 + (self.share.1 - self.share.0) * self.way(t)
    }

    /// Share of the strip's own length passed at `t`: exact for straight pieces, by eight-point Gauss–Legendre on curves.
    fn way(&self, t: f64) -> f64 {
        match self.source {
            Source::Along { curve, .. } if !curve.is_straight() && self.share.0 != self.share.1 => {
                match self.passed.get_or_init(|| passed(&curve, self.length)) {
                    Some(p) => p.iter().rev().fold(0.0, |sum, c| sum * t + c),
                    None => arc_length(&curve, t) / self.length,
                }
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
            curve.slope(0.0).hypot()
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
            chain: 0,
            passed: OnceLock::new(),
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
            chain: 0,
            passed: OnceLock::new(),
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

    /// A place of the strip to which a point lies square, searched from `t`: past an end the search stops there. `None` where it does not settle.
    pub(super) fn square_near(&self, q: Vec2, t: f64) -> Option<Square> {
        match self.source {
            Source::Along { curve, .. } if curve.is_straight() => {
                Some(Square::at(curve.along_line(q)))
            }
            Source::Along { curve, .. } => curve.square_from(q, t),
            Source::Fan {
                corner,
                from,
                sweep,
            } => {
                // Turn from the first ray to the point, in the sense of the fan.
                let (off, first) = (q - corner, Vec2::from_angle(from));
                let turn = first.cross(off).atan2(first.dot(off)) * sweep.signum();
                Some(Square::at(turn / sweep.abs()))
            }
        }
    }

    /// The nearest place of a piece to a point: parameter and distance. `None` on a fan.
    pub(super) fn nearest(&self, q: Vec2) -> Option<(f64, f64)> {
        let Source::Along { curve, .. } = self.source else {
            return None;
        };
        if curve.is_straight() {
            let t = curve.along_line(q).clamp(0.0, 1.0);
            return Some((t, length(q - curve.at(t))));
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
        Some((t, length(curve.at(t) - q)))
    }
}

/// Least and greatest direction of travel, and greatest curvature toward the rays. Taken at steps along the curve, with room for what lies
/// between: used only to decide where the careful search can be left out.
fn bending(curve: &Powers, side: f64) -> Option<((f64, f64), f64)> {
    if curve.is_straight() {
        let way = curve.slope(0.0);
        let length = way.hypot();
        return (length > 0.0).then(|| {
            let angle = way.atan2();
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
