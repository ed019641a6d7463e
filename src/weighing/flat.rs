//! The flat bar: outline and cut-outs by exact moments, times thickness and density; fillings, guard and everything together.

use super::bands::{Band, PartBand, balance_band};
use super::ground::{GroundBlank, OpeningSolid};
use super::overlap::Opening;
use super::weigh_up::{CutOutWeight, GuardWeight, Missing, SteelWeight, Total, WeighUp};
use crate::geometry::AreaMoments;
use crate::knife::{CutShape, Filling, Guard, GuardSlot, Knife, KnifeSet, LaidLayer, Material};

/// How far the center of a whole of the first measure (area or mass) and place moves along x when a part of the second is taken out: taking `a` at
/// `x_h` from `A` at `x` moves it by `a·(x − x_h)/(A − a)`. `None` when nothing would be left.
pub(super) fn shift_of_taking(whole: (f64, f64), part: (f64, f64)) -> Option<f64> {
    let left = whole.0 - part.0;
    (left > 0.0).then(|| part.0 * (whole.1 - part.1) / left)
}

/// mm³ × g/cm³ = mg.
pub(super) const G_PER_MM3: f64 = 1e-3;

/// What every step of one weigh-up needs.
pub(super) struct Bench<'a> {
    pub knife: &'a Knife,
    pub set: &'a KnifeSet,
    /// Each layer of the bar with its material; none when any is unknown.
    pub layers: Option<Vec<(LaidLayer, &'a Material)>>,
}

impl Bench<'_> {
    fn thickness(&self) -> f64 {
        self.knife.stock.thickness_mm
    }

    /// Grams per mm² of face by one of the densities.
    fn steel_per_mm2(&self, density: impl Fn(&Material) -> f64) -> Option<f64> {
        let layers = self.layers.as_ref()?.iter();
        let per_mm2 = |(layer, material): &(LaidLayer, &Material)| {
            layer.thickness_mm() * density(material) * G_PER_MM3
        };
        Some(layers.map(per_mm2).sum())
    }

    /// Share of the thickness that the bar may be off by.
    fn tolerance(&self) -> f64 {
        self.knife.stock.tolerance_mm / self.thickness()
    }

    /// Factors that turn a nominal mass of a material into its lowest and highest, thickness tolerance included.
    fn spread(&self, material: &Material) -> Band {
        let share = self.tolerance();
        Band {
            low: (1.0 - share) * material.density_low / material.density_g_cm3,
            high: (1.0 + share) * material.density_high / material.density_g_cm3,
        }
    }

    pub(super) fn weigh_steel(
        &self,
        steel: &mut SteelWeight,
        blank: &AreaMoments,
        drilled: Option<&AreaMoments>,
    ) {
        let per_mm2 = self.steel_per_mm2(|m| m.density_g_cm3);
        let bar_mm2 = steel.extent.overall_mm * steel.extent.bar_width_mm;
        steel.bar_mass_g = per_mm2.map(|g| g * bar_mm2);
        steel.blank_mass_g = per_mm2.map(|g| g * blank.area);
        steel.blank_balance_mm = Some(blank.centroid.x);
        steel.blank_inertia_g_mm2 = per_mm2.map(|g| g * blank.polar());
        let Some(drilled) = drilled.filter(|d| d.area > 0.0) else {
            return;
        };
        steel.area_mm2 = Some(drilled.area);
        steel.volume_mm3 = Some(drilled.area * self.thickness());
        let c = drilled.centroid;
        steel.balance_mm = Some(c.x);
        steel.balance_band_mm = Some(Band::of(c.x));
        steel.centroid_mm = Some([c.x, c.y, self.lean_mm()]);
        if let Some(g) = per_mm2 {
            let mass = drilled.area * g;
            let share = self.tolerance();
            steel.drilled_mass_g = Some(mass);
            let end = |g: Option<f64>, thick: f64| g.map(|g| drilled.area * g * thick);
            let low = end(self.steel_per_mm2(|m| m.density_low), 1.0 - share);
            let high = end(self.steel_per_mm2(|m| m.density_high), 1.0 + share);
            steel.mass_band_g = low.zip(high).map(|(low, high)| Band { low, high });
            steel.inertia_g_mm2 = Some(drilled.polar() * g);
        }
    }

    /// How far the middle of mass of the flat bar lies off the mid-plane, mm: of layers of unlike density with the core off the middle.
    fn lean_mm(&self) -> f64 {
        let (mut mass, mut moment) = (0.0, 0.0);
        for (layer, material) in self.layers.iter().flatten() {
            let weight = layer.thickness_mm() * material.density_g_cm3;
            mass += weight;
            moment += weight * f64::midpoint(layer.from_mm, layer.to_mm);
        }
        if mass > 0.0 { moment / mass } else { 0.0 }
    }

    /// `blank` is the sound outline without cut-outs, to one that counts; `ground` the ground steel without cut-outs and what is taken of it; `filled` what
    /// fills it, where that can be counted.
    pub(super) fn weigh_cut_out(
        &self,
        opening: &Opening<'_>,
        blank: Option<&AreaMoments>,
        ground: Option<Taken<'_>>,
        filled: Option<&Filled>,
    ) -> CutOutWeight {
        let (cut, moments) = (opening.cut, &opening.moments);
        let (removed, shift) = match (&ground, blank) {
            (Some(taken), Some(_)) => {
                let ((mass, x), (part, at)) =
                    (taken.blank.undrilled(), taken.blank.weight(taken.solid));
                (Some(part), shift_of_taking((mass, x), (part, at)))
            }
            (None, Some(blank)) => {
                let flat = self.steel_per_mm2(|m| m.density_g_cm3);
                let from = (blank.area, blank.centroid.x);
                let shift = shift_of_taking(from, (moments.area, moments.centroid.x));
                (flat.map(|g| g * moments.area), shift)
            }
            _ => (None, None),
        };
        CutOutWeight {
            name: opening.name.to_owned(),
            kind: cut.shape.kind(),
            purpose: cut.purpose,
            center: moments.centroid,
            area_mm2: moments.area,
            removed_g: removed,
            filling_g: match cut.filling {
                Filling::Nothing => Some(0.0),
                _ => filled.map(|f| f.mass_g),
            },
            balance_shift_mm: shift,
        }
    }

    /// What fills an opening, as deep as the steel is where it goes through. `None` when nothing does, or its material is unknown.
    pub(super) fn filled(
        &self,
        opening: &Opening<'_>,
        ground: Option<&Taken<'_>>,
    ) -> Option<Filled> {
        let cut = opening.cut;
        let whole = match ground {
            Some(taken) => taken.solid.volume(),
            None => opening.moments.area * self.thickness(),
        };
        let filled = match &cut.filling {
            Filling::Nothing => return None,
            Filling::Pin { .. } | Filling::Epoxy { .. } => match cut.rod() {
                Some(rod) => self.steel_within(&rod, ground),
                None => whole,
            },
            Filling::Tube { bore_mm, .. } => {
                let bore = CutShape::Round {
                    center: opening.moments.centroid,
                    diameter_mm: *bore_mm,
                };
                whole - self.steel_within(&bore, ground)
            }
        };
        let material = self.set.material(cut.filling.material()?)?;
        let mass_g = filled * material.density_g_cm3 * G_PER_MM3;
        let spread = self.spread(material);
        let middle = ground.and_then(|taken| taken.solid.middle_x());
        Some(Filled {
            mass_g,
            part: PartBand {
                mass: Band {
                    low: mass_g * spread.low,
                    high: mass_g * spread.high,
                },
                x_mm: middle.unwrap_or(opening.moments.centroid.x),
            },
            y_mm: opening.moments.centroid.y,
            inertia_g_mm2: mass_g * square_of_turning(opening),
        })
    }

    /// Volume of the steel within a shape, mm³, as if nothing else were cut there.
    fn steel_within(&self, shape: &CutShape, ground: Option<&Taken<'_>>) -> f64 {
        let moments = shape.moments();
        let deep = ground.and_then(|taken| {
            let mut surveyor = taken.blank.surveyor();
            taken.blank.within(&mut surveyor, shape, &moments).ok()
        });
        deep.map_or(moments.area * self.thickness(), |solid| solid.volume())
    }

    /// A reason for every material that is named and not in the set, each once.
    pub(super) fn unknown_materials(&self, openings: &[Opening<'_>]) -> Vec<Missing> {
        let stock = &self.knife.stock;
        let outer = stock.layering.outer.iter().map(|l| l.material.as_str());
        let steel = std::iter::once(stock.material.as_str()).chain(outer);
        let guard = self.knife.guard.iter().map(|g| g.material.as_str());
        let handle = self.knife.handle.iter().flat_map(|h| h.materials());
        let fillings = openings.iter().filter_map(|o| o.cut.filling.material());
        let mut keys: Vec<&str> = Vec::new();
        for key in steel.chain(fillings).chain(guard).chain(handle) {
            if !keys.contains(&key) && self.set.material(key).is_none() {
                keys.push(key);
            }
        }
        keys.into_iter()
            .map(|key| Missing::Material {
                key: key.to_owned(),
            })
            .collect()
    }

    /// The guard's weight, less its slot; `None` when its material is unknown, which is told elsewhere.
    pub(super) fn weigh_guard(
        &self,
        guard: &Guard,
        slot: Option<GuardSlot>,
    ) -> Result<Option<GuardWeight>, Missing> {
        let slot = slot.ok_or(Missing::GuardSlot)?;
        let (plate, opening) = (guard.plate(), slot.contour());
        if !slot.fits_on(&plate) {
            return Err(Missing::GuardPlate);
        }
        let Some(material) = self.set.material(&guard.material) else {
            return Ok(None);
        };
        let left = plate
            .moments()
            .turned_positive()
            .plus(&opening.moments().turned_positive().negated());
        let area = left.area;
        let volume_mm3 = area * guard.thickness_mm;
        let per_mm3 = |density: f64| volume_mm3 * density * G_PER_MM3;
        Ok(Some(GuardWeight {
            mass_g: per_mm3(material.density_g_cm3),
            mass_band_g: Band {
                low: per_mm3(material.density_low),
                high: per_mm3(material.density_high),
            },
            x_mm: -guard.thickness_mm / 2.0,
            y_mm: left.centroid.y,
            volume_mm3,
            // The plate stands across the knife: its height lies in the face, its width does not.
            inertia_g_mm2: per_mm3(material.density_g_cm3)
                * (left.ixx / area + guard.thickness_mm.powi(2) / 12.0),
        }))
    }

    /// All parts together; `None` when any of them is missing. `steel` are the parts of the ground steel; `fillings` hold one for every opening that
    /// something fills.
    pub(super) fn total(
        &self,
        up: &WeighUp,
        steel: Option<&[PartBand]>,
        fillings: &[Option<Filled>],
    ) -> Option<Total> {
        let ground = up.ground?;
        let mut bands: Vec<PartBand> = steel?.to_vec();
        let mut band = ground.mass_band_g;
        let mut bodies = vec![Body {
            mass_g: ground.mass_g,
            center: ground.centroid_mm,
            inertia_g_mm2: ground.inertia_g_mm2,
        }];
        let mut add = |body: Body, part: PartBand| {
            band.low += part.mass.low;
            band.high += part.mass.high;
            bands.push(part);
            bodies.push(body);
        };
        for filled in fillings {
            let filled = (*filled)?;
            let body = Body {
                mass_g: filled.mass_g,
                center: [filled.part.x_mm, filled.y_mm, 0.0],
                inertia_g_mm2: filled.inertia_g_mm2,
            };
            add(body, filled.part);
        }
        if self.knife.guard.is_some() {
            let guard = up.guard?;
            let part = PartBand {
                mass: guard.mass_band_g,
                x_mm: guard.x_mm,
            };
            let body = Body {
                mass_g: guard.mass_g,
                center: [guard.x_mm, guard.y_mm, 0.0],
                inertia_g_mm2: guard.inertia_g_mm2,
            };
            add(body, part);
        }
        if let Some(handle) = &self.knife.handle
            && (up.parts.is_empty()
                || handle
                    .materials()
                    .any(|key| self.set.material(key).is_none()))
        {
            return None;
        }
        for own in &up.parts {
            let part = PartBand {
                mass: own.mass_band_g,
                x_mm: own.center_mm[0],
            };
            let body = Body {
                mass_g: own.mass_g,
                center: own.center_mm,
                inertia_g_mm2: own.inertia_g_mm2,
            };
            add(body, part);
        }
        let whole = Body::together(&bodies);
        Some(Total {
            mass_g: whole.mass_g,
            mass_band_g: band,
            balance_mm: whole.center[0],
            balance_band_mm: balance_band(&bands)?,
            centroid_mm: whole.center,
            inertia_g_mm2: whole.inertia_g_mm2,
        })
    }
}

/// A body with its mass, its center and its moment of inertia about the axis through that, square to the face.
#[derive(Clone, Copy, Debug)]
struct Body {
    mass_g: f64,
    center: [f64; 3],
    inertia_g_mm2: f64,
}

impl Body {
    /// Several as one: centers by mass, moments by the theorem of parallel axes (Steiner).
    fn together(bodies: &[Self]) -> Self {
        let mass_g: f64 = bodies.iter().map(|b| b.mass_g).sum();
        let middle = |axis: fn(&Self) -> f64| {
            let moment: f64 = bodies.iter().map(|b| b.mass_g * axis(b)).sum();
            moment / mass_g
        };
        let center = [
            middle(|b| b.center[0]),
            middle(|b| b.center[1]),
            middle(|b| b.center[2]),
        ];
        let inertia = |b: &Self| {
            let (dx, dy) = (b.center[0] - center[0], b.center[1] - center[1]);
            b.inertia_g_mm2 + b.mass_g * (dx * dx + dy * dy)
        };
        Self {
            mass_g,
            center,
            inertia_g_mm2: bodies.iter().map(inertia).sum(),
        }
    }
}

/// What fills an opening.
#[derive(Clone, Copy, Debug)]
pub(super) struct Filled {
    /// Nominal mass, g.
    pub mass_g: f64,
    /// Its band and its middle.
    pub part: PartBand,
    /// Height of its middle, mm.
    pub y_mm: f64,
    /// Moment of inertia about its own middle, square to the face, g·mm².
    pub inertia_g_mm2: f64,
}

/// An opening in ground steel.
#[derive(Clone, Copy)]
pub(super) struct Taken<'a> {
    pub blank: &'a GroundBlank,
    pub solid: &'a OpeningSolid,
}

/// Square of the radius of gyration of what fills an opening, mm²: of a rod `d²/8`, of a tube `(D² + d²)/8`, else that of the whole opening
/// (Machinery's Handbook, radii of gyration).
fn square_of_turning(opening: &Opening<'_>) -> f64 {
    let moments = match opening.cut.rod() {
        Some(rod) => rod.moments(),
        None => opening.moments,
    };
    let whole = moments.polar() / moments.area;
    match opening.cut.filling {
        Filling::Tube { bore_mm, .. } => whole + bore_mm * bore_mm / 8.0,
        _ => whole,
    }
}
