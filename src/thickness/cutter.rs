//! One grind on one face, and the surface it leaves along a ray.

use kurbo::Vec2;

use super::face::FaceHeight;
use crate::knife::{CutForm, Id, Rise};

/// A grind on one face, made ready.
#[derive(Clone, Debug)]
pub(super) struct Cutter {
    /// Id of the grind or fuller.
    pub id: Id,
    /// Place among all grinds and fullers, in the order of grinding.
    pub order: usize,
    pub name: String,
    pub kind: CutterKind,
    /// The walls at its ends.
    pub walls: Vec<Wall>,
}

#[derive(Clone, Debug)]
pub(super) enum CutterKind {
    /// Rises from a run.
    Rising {
        form: CutForm,
        rise: Rise,
        start: Start,
    },
    /// The channel of a round nose.
    Nose { radius: f64, depth: f64 },
}

/// Height of the surface at the run.
#[derive(Clone, Copy, Debug)]
pub(super) enum Start {
    /// This much over the mid-plane.
    Over(f64),
    /// The edge, so thick, lies on the other face.
    OnOtherFace { edge: f64 },
}

/// A plunge line: the grind acts where `across` points.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wall {
    pub through: Vec2,
    /// Unit vector square to the line, into the grind.
    pub across: Vec2,
    pub radius: f64,
}

/// A surface along a ray, as height over the mid-plane by the distance `d` from the foot.
#[derive(Clone, Copy, Debug)]
pub(super) enum Surface {
    Flat {
        z0: f64,
        slope: f64,
    },
    /// `z = zc + bow·√(r² − (d − dc)²)` up to `h`.
    Circle {
        zc: f64,
        dc: f64,
        r: f64,
        bow: f64,
        h: f64,
    },
    /// `z = T − p + r − √(r² − d²)` up to half the width.
    Nose {
        r: f64,
        p: f64,
        w: f64,
    },
}

/// Where a wall stands on a ray: `u = u0 + u1·d` behind the plunge line.
#[derive(Clone, Copy, Debug)]
pub(super) struct WallOnRay {
    pub u0: f64,
    pub u1: f64,
    pub r: f64,
}

/// How a height runs along a stretch of a ray.
#[derive(Clone, Copy, Debug)]
pub(super) enum Course {
    Straight,
    Smooth,
    /// Along a circle, by its middle and radius along the ray.
    Round {
        middle: f64,
        radius: f64,
    },
}

/// A cutter on one ray.
#[derive(Clone, Copy, Debug)]
pub(super) struct OnRay {
    pub surface: Surface,
    pub walls: [Option<WallOnRay>; 2],
    /// How much the height at the face follows the bar's thickness: `share = d·per_mm`, of half the bar's change.
    pub follows_per_mm: f64,
}

/// Why there is no surface on a ray.
#[derive(Clone, Copy, Debug)]
pub(super) enum NoSurface {
    /// Nothing is left to grind: the edge is as thick as the face is high, or the ray lies behind a plunge line.
    Idle,
    /// No circle of that radius reaches.
    RadiusTooSmall { radius: f64, least: f64 },
}

impl Cutter {
    /// The surface along a ray from `foot`, which is at `share` of the run.
    pub(super) fn on_ray(
        &self,
        foot: Vec2,
        n: Vec2,
        share: impl FnOnce() -> f64,
        extension: bool,
        own: &FaceHeight,
        other: &FaceHeight,
    ) -> Result<OnRay, NoSurface> {
        if extension && self.walls.is_empty() {
            return Err(NoSurface::Idle);
        }
        let (surface, follows_per_mm) = self.surface_from(foot, share, own, other)?;
        let mut walls = [None; 2];
        for (slot, wall) in walls.iter_mut().zip(&self.walls) {
            let u1 = -n.dot(wall.across);
            *slot = Some(WallOnRay {
                u0: -(foot - wall.through).dot(wall.across),
                // A ray along the wall keeps its distance, whatever rounding says.
                u1: if u1.abs() < 1e-9 { 0.0 } else { u1 },
                r: wall.radius,
            });
        }
        Ok(OnRay {
            surface,
            walls,
            follows_per_mm,
        })
    }

    /// The surface without its walls, and how much its height at the face follows the bar's thickness (see [`OnRay::follows_per_mm`]).
    pub(super) fn surface_from(
        &self,
        foot: Vec2,
        share: impl FnOnce() -> f64,
        own: &FaceHeight,
        other: &FaceHeight,
    ) -> Result<(Surface, f64), NoSurface> {
        let (form, rise, start) = match &self.kind {
            CutterKind::Nose { radius, depth } => {
                let nose = Surface::Nose {
                    r: *radius,
                    p: *depth,
                    w: nose_half_width(*radius, *depth),
                };
                return Ok((nose, 0.0));
            }
            CutterKind::Rising { form, rise, start } => (*form, rise, *start),
        };
        let top = own.at(foot.x);
        let z0 = match start {
            Start::Over(z0) => z0,
            Start::OnOtherFace { edge } => edge - other.at(foot.x),
        };
        let value = match rise.stations() {
            [only] => only.value,
            _ => rise.value_at(share()),
        };
        let climb = top - z0;
        if climb <= 0.0 {
            return Err(NoSurface::Idle);
        }
        let h = match rise {
            Rise::Height(_) => value,
            Rise::Angle(_) => {
                let slope = value.tan();
                return Ok((Surface::Flat { z0, slope }, 0.0));
            }
        };
        let follows_per_mm = if own.is_untouched(top) { 1.0 / h } else { 0.0 };
        let (r, bow) = match form {
            CutForm::Flat => {
                let slope = climb / h;
                return Ok((Surface::Flat { z0, slope }, follows_per_mm));
            }
            CutForm::Hollow { wheel_radius_mm } => (wheel_radius_mm, -1.0),
            CutForm::Convex { radius_mm } => (radius_mm, 1.0),
        };
        // Upright at one end of the arc is the limit: then R = c²/(2h), c being the chord.
        let chord2 = h * h + climb * climb;
        let least = chord2 / (2.0 * h);
        if r < least {
            return Err(NoSurface::RadiusTooSmall { radius: r, least });
        }
        let chord = chord2.sqrt();
        let off = (r * r - chord2 / 4.0).max(0.0).sqrt();
        let circle = Surface::Circle {
            zc: z0 + climb / 2.0 - bow * off * h / chord,
            dc: h / 2.0 + bow * off * climb / chord,
            r,
            bow,
            h,
        };
        Ok((circle, follows_per_mm))
    }

    /// A distance from the run beyond which it surely leaves the face alone, mm; infinite when it never meets it.
    pub(super) fn reach(&self, own: &FaceHeight, other: &FaceHeight) -> f64 {
        match &self.kind {
            CutterKind::Nose { radius, depth } => nose_half_width(*radius, *depth),
            CutterKind::Rising { form, rise, start } => {
                let values = rise.stations().iter().map(|s| s.value);
                match rise {
                    Rise::Height(_) if *form != CutForm::Flat || own.is_level() => {
                        values.fold(0.0, f64::max)
                    }
                    Rise::Height(_) => {
                        // A flat goes on in its slope where the face rises away from it: the least slope decides.
                        let height = values.fold(0.0, f64::max);
                        let climbs = own
                            .corners()
                            .iter()
                            .map(|(x, top)| top - start.height(other, *x));
                        let (least, most) = climbs
                            .fold((f64::INFINITY, 0.0_f64), |(least, most), climb| {
                                (least.min(climb), most.max(climb))
                            });
                        if least <= 0.0 && most > 0.0 {
                            // Somewhere it rises from the face itself and never leaves it.
                            return f64::INFINITY;
                        }
                        let z0 = own
                            .corners()
                            .iter()
                            .map(|(x, _)| start.height(other, *x))
                            .fold(f64::INFINITY, f64::min);
                        height * (own.greatest() - z0) / least
                    }
                    Rise::Angle(_) => {
                        let least = values.fold(f64::INFINITY, f64::min);
                        let z0 = own
                            .corners()
                            .iter()
                            .chain(other.corners())
                            .map(|(x, _)| start.height(other, *x))
                            .fold(f64::INFINITY, f64::min);
                        ((own.greatest() - z0) / least.tan()).max(0.0)
                    }
                }
            }
        }
    }
}

impl Start {
    pub(super) fn height(self, other: &FaceHeight, x: f64) -> f64 {
        match self {
            Self::Over(z0) => z0,
            Self::OnOtherFace { edge } => edge - other.at(x),
        }
    }
}

fn nose_half_width(r: f64, p: f64) -> f64 {
    if p >= r {
        r
    } else {
        (r * r - (r - p) * (r - p)).sqrt()
    }
}

impl OnRay {
    /// Height of the surface at `d`, where the face is at `top`; infinite where it does not act.
    pub(super) fn height(&self, d: f64, top: f64) -> f64 {
        let mut z = self.surface.height_where_it_acts(d, top);
        if self.walls[0].is_none() {
            return z;
        }
        for wall in self.walls.iter().flatten() {
            let u = wall.u0 + wall.u1 * d;
            if u > 0.0 {
                if u >= wall.r {
                    return f64::INFINITY;
                }
                z += wall.r - (wall.r * wall.r - u * u).sqrt();
            }
        }
        z
    }

    /// The same by its formula alone, also where it does not act.
    pub(super) fn formula(&self, d: f64, top: f64) -> f64 {
        let mut z = self.surface.height(d, top);
        if self.walls[0].is_none() {
            return z;
        }
        for wall in self.walls.iter().flatten() {
            let u = (wall.u0 + wall.u1 * d).clamp(0.0, wall.r);
            z += wall.r - (wall.r * wall.r - u * u).max(0.0).sqrt();
        }
        z
    }

    /// A distance beyond which it leaves a face no higher than `top` alone.
    pub(super) fn reach(&self, top: f64) -> f64 {
        match self.surface {
            Surface::Flat { z0, slope } => (top - z0) / slope,
            Surface::Circle { h, .. } => h,
            Surface::Nose { w, .. } => w,
        }
    }

    /// Where it meets the face along a ray, mm, to a hundredth or so; `most` where it never does.
    pub(super) fn depth_in(&self, face: &FaceHeight, x: f64, nx: f64, most: f64) -> f64 {
        // The face changes little on the way: a few turns of "how far up to a face as high as where the ray came out" settle it.
        let mut d = self.reach(face.at(x)).min(most);
        if face.is_level() {
            return d;
        }
        for _ in 0..4 {
            d = self.reach(face.at(x + nx * d)).clamp(0.0, most);
        }
        d
    }

    /// How it climbs along the ray at `d`, as far as that is a matter of its formula alone: none beside a wall, or where it follows the face.
    pub(super) fn climb(&self, d: f64) -> Option<f64> {
        let plain = self.walls[0].is_none() && !matches!(self.surface, Surface::Nose { .. });
        plain.then(|| self.surface.slope(d))
    }

    /// How it climbs all along the ray, where that is the same everywhere.
    pub(super) fn even_climb(&self) -> Option<f64> {
        match self.surface {
            Surface::Flat { slope, .. } if self.walls[0].is_none() => Some(slope),
            _ => None,
        }
    }

    /// How its height runs between two kinks around `d`.
    pub(super) fn course(&self, d: f64) -> Course {
        /// Along a wall that a ray passes flatter than this its height hardly bends.
        const SLANT: f64 = 0.05;
        let mut along_wall = false;
        for wall in self.walls.iter().flatten() {
            let u = wall.u0 + wall.u1 * d;
            if u > 0.0 && u < wall.r {
                if wall.u1.abs() > SLANT {
                    return Course::Round {
                        middle: -wall.u0 / wall.u1,
                        radius: wall.r / wall.u1.abs(),
                    };
                }
                along_wall |= wall.u1 != 0.0;
            }
        }
        match self.surface {
            Surface::Flat { .. } if along_wall => Course::Smooth,
            Surface::Flat { .. } => Course::Straight,
            Surface::Circle { dc, r, .. } => Course::Round {
                middle: dc,
                radius: r,
            },
            Surface::Nose { r, .. } => Course::Round {
                middle: 0.0,
                radius: r,
            },
        }
    }

    /// The places on the ray where its formula changes, each with a number; 0 where it only turns.
    pub(super) fn kinks(&self, push: &mut impl FnMut(f64, u32)) {
        match self.surface {
            Surface::Flat { .. } => {}
            Surface::Circle { dc, h, .. } => {
                push(h, 1);
                if dc > 0.0 && dc < h {
                    push(dc, 0);
                }
            }
            Surface::Nose { w, .. } => push(w, 1),
        }
        for (which, wall) in (0..).zip(self.walls.iter().flatten()) {
            if wall.u1 != 0.0 {
                push(-wall.u0 / wall.u1, 2 + 2 * which);
                if wall.r > 0.0 {
                    push((wall.r - wall.u0) / wall.u1, 3 + 2 * which);
                }
            }
        }
    }

    /// Whether it is surely nowhere below the mid-plane.
    pub(super) fn stays_over_middle(&self) -> bool {
        matches!(self.surface, Surface::Flat { z0, slope } if z0 >= 0.0 && slope >= 0.0)
    }

    /// Whether the height is straight between two kinks.
    pub(super) fn is_straight(&self) -> bool {
        matches!(self.surface, Surface::Flat { .. })
            && self.walls.iter().flatten().all(|w| w.r == 0.0)
    }

    /// Where a circle runs as steep as the face: between such places it meets the face once at most.
    pub(super) fn steep_as(&self, face_slope: f64) -> Option<f64> {
        match self.surface {
            Surface::Circle { dc, r, bow, h, .. } => {
                // dz/dd = −bow·δ/√(r² − δ²) = τ, δ = d − dc.
                let delta = -bow * face_slope * r / (1.0 + face_slope * face_slope).sqrt();
                Some(dc + delta).filter(|d| *d > 0.0 && *d < h)
            }
            _ => None,
        }
    }

    /// Where a wall's rise along the ray and the surface's own make up for each other, against a face of that slope; between kinks there is one such
    /// place at most for each wall.
    pub(super) fn balance_at_walls(&self, face_slope: f64, push: &mut impl FnMut(f64)) {
        for wall in self.walls.iter().flatten() {
            if wall.u1 == 0.0 || wall.r == 0.0 {
                continue;
            }
            // d/dd of r − √(r² − u²) is u1·u/√(r² − u²); on a bowed surface its own slope changes a little on the way.
            let mut d = (wall.r / 2.0 - wall.u0) / wall.u1;
            for _ in 0..6 {
                let k = (face_slope - self.surface.slope(d)) / wall.u1;
                let u = wall.r * k / (1.0 + k * k).sqrt();
                d = (u - wall.u0) / wall.u1;
            }
            push(d);
        }
    }
}

impl Surface {
    fn slope(self, d: f64) -> f64 {
        match self {
            Self::Flat { slope, .. } => slope,
            Self::Circle { dc, r, bow, .. } => {
                let delta = (d - dc).clamp(-0.999 * r, 0.999 * r);
                -bow * delta / (r * r - delta * delta).sqrt()
            }
            Self::Nose { r, .. } => {
                let d = d.clamp(-0.999 * r, 0.999 * r);
                d / (r * r - d * d).sqrt()
            }
        }
    }

    /// Height at `d`, where the face is at `top`; infinite where it does not act.
    pub(super) fn height_where_it_acts(self, d: f64, top: f64) -> f64 {
        match self {
            Self::Circle { h, .. } if d > h => f64::INFINITY,
            Self::Nose { w, .. } if d > w => f64::INFINITY,
            surface => surface.height(d, top),
        }
    }

    fn height(self, d: f64, top: f64) -> f64 {
        match self {
            Self::Flat { z0, slope } => z0 + slope * d,
            Self::Circle { zc, dc, r, bow, .. } => {
                zc + bow * (r * r - (d - dc) * (d - dc)).max(0.0).sqrt()
            }
            Self::Nose { r, p, .. } => top - p + r - (r * r - d * d).max(0.0).sqrt(),
        }
    }
}
