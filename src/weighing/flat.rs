//! The weigh-up of flat steel: outline and cut-outs by exact moments, times thickness and density.

use super::bands::{Band, PartBand, balance_band};
use super::overlap::{Opening, uncountable};
use super::weigh_up::{CutOutWeight, GuardWeight, Missing, SteelWeight, Total, WeighUp};
use crate::geometry::{AreaMoments, SpanIndex, indexed_faults, not_finite};
use crate::knife::{CutOut, Filling, Guard, Knife, KnifeSet, Material, extent};

/// How far the center of an area `A` at `x` moves along x when a part of it is taken out: taking `a` at `x_h` moves it by
/// `a·(x − x_h)/(A − a)`. `None` when nothing would be left.
pub(super) fn shift_of_taking(area_mm2: f64, x_mm: f64, part: &AreaMoments) -> Option<f64> {
    let left = area_mm2 - part.area;
    (left > 0.0).then(|| part.area * (x_mm - part.centroid.x) / left)
}

/// mm³ × g/cm³ = mg.
pub(super) const G_PER_MM3: f64 = 1e-3;

/// Weighs a knife of a set.
///
/// Exact for flat steel: areas and moments are closed forms of the pieces, within rounding (relative 1e-12 or better
/// on outlines of ordinary size); lengths of curves are within 1e-10 mm.
#[must_use]
pub fn weigh(knife: &Knife, set: &KnifeSet) -> WeighUp {
    let mut up = WeighUp::default();
    let contour = knife.contour();
    let wild = not_finite(&contour.pieces);
    if !wild.is_empty() {
        let faults = wild.into_iter();
        up.missing
            .extend(faults.map(|fault| Missing::Outline { fault }));
        return up;
    }
    let index = contour.index();
    up.steel.extent = extent(knife, &index);
    let cut_outs = knife.all_cut_outs(&index);
    up.steel.pierces = 1 + cut_outs.len();
    let bench = Bench {
        knife,
        set,
        material: set.material(&knife.stock.material),
    };
    let faults = indexed_faults(&contour.pieces, &index);
    let sound = faults.is_empty();
    let faults = faults.into_iter();
    up.missing
        .extend(faults.map(|fault| Missing::Outline { fault }));

    let openings: Vec<Opening<'_>> = cut_outs
        .iter()
        .map(|(name, cut)| Opening::new(name, cut))
        .collect();
    let mut bad = uncountable(&openings, &index, sound);
    let blank = contour.moments().turned_positive();
    let mut drilled = blank;
    let mut cut_length = contour.perimeter();
    let all_counted = sound && bad.iter().all(Option::is_none);
    up.cut_outs.reserve(openings.len());
    for (opening, reason) in openings.iter().zip(&mut bad) {
        drilled = drilled.plus(&opening.moments.negated());
        cut_length += opening.perimeter_mm;
        let counted = reason.is_none();
        up.missing.extend(reason.take());
        let blank = (sound && counted).then_some(&blank);
        up.cut_outs
            .push(bench.weigh_cut_out(opening, blank, counted));
    }
    if sound {
        up.steel.perimeter_mm = Some(cut_length);
        bench.weigh_steel(&mut up.steel, &blank, all_counted.then_some(&drilled));
    }
    if let Some(guard) = &knife.guard {
        match bench.weigh_guard(guard, &index) {
            Ok(weight) => up.guard = weight,
            Err(reason) => up.missing.push(reason),
        }
    }
    up.missing.extend(bench.unknown_materials(&openings));
    up.total = bench.total(&up, &openings);
    up
}

/// What every step of one weigh-up needs.
struct Bench<'a> {
    knife: &'a Knife,
    set: &'a KnifeSet,
    material: Option<&'a Material>,
}

impl Bench<'_> {
    fn thickness(&self) -> f64 {
        self.knife.stock.thickness_mm
    }

    /// Grams per mm² of face, nominal.
    fn steel_per_mm2(&self) -> Option<f64> {
        Some(self.thickness() * self.material?.density_g_cm3 * G_PER_MM3)
    }

    /// Factors that turn a nominal mass of a material into its lowest and highest, thickness tolerance included.
    fn spread(&self, material: &Material) -> Band {
        let share = self.knife.stock.tolerance_mm / self.thickness();
        Band {
            low: (1.0 - share) * material.density_low / material.density_g_cm3,
            high: (1.0 + share) * material.density_high / material.density_g_cm3,
        }
    }

    fn weigh_steel(
        &self,
        steel: &mut SteelWeight,
        blank: &AreaMoments,
        drilled: Option<&AreaMoments>,
    ) {
        let per_mm2 = self.steel_per_mm2();
        let bar_mm2 = steel.extent.overall_mm * steel.extent.bar_width_mm;
        steel.bar_mass_g = per_mm2.map(|g| g * bar_mm2);
        steel.blank_mass_g = per_mm2.map(|g| g * blank.area);
        let Some(drilled) = drilled.filter(|d| d.area > 0.0) else {
            return;
        };
        steel.area_mm2 = Some(drilled.area);
        steel.volume_mm3 = Some(drilled.area * self.thickness());
        let c = drilled.centroid;
        steel.balance_mm = Some(c.x);
        steel.balance_band_mm = Some(Band::of(c.x));
        steel.centroid_mm = Some([c.x, c.y, 0.0]);
        if let (Some(g), Some(material)) = (per_mm2, self.material) {
            let mass = drilled.area * g;
            let spread = self.spread(material);
            steel.drilled_mass_g = Some(mass);
            steel.mass_band_g = Some(Band {
                low: mass * spread.low,
                high: mass * spread.high,
            });
            steel.inertia_g_mm2 = Some(drilled.polar() * g);
        }
    }

    /// `blank` is the sound outline without cut-outs, to one that counts.
    fn weigh_cut_out(
        &self,
        opening: &Opening<'_>,
        blank: Option<&AreaMoments>,
        counted: bool,
    ) -> CutOutWeight {
        let (cut, moments) = (opening.cut, &opening.moments);
        let shift = blank.and_then(|blank| shift_of_taking(blank.area, blank.centroid.x, moments));
        let filling = if counted || cut.filling == Filling::Nothing {
            self.filling_mass(cut, moments.area)
        } else {
            None
        };
        CutOutWeight {
            name: opening.name.to_owned(),
            kind: cut.shape.kind(),
            purpose: cut.purpose,
            center: moments.centroid,
            area_mm2: moments.area,
            removed_g: blank.and(self.steel_per_mm2()).map(|g| g * moments.area),
            filling_g: filling.map(|(mass, _)| mass),
            balance_shift_mm: shift,
        }
    }

    /// Nominal mass of a filling and its band, g.
    fn filling_mass(&self, cut: &CutOut, area_mm2: f64) -> Option<(f64, Band)> {
        let filled = match &cut.filling {
            Filling::Nothing => return Some((0.0, Band::of(0.0))),
            Filling::Pin { .. } | Filling::Epoxy { .. } => area_mm2,
            Filling::Tube { bore_mm, .. } => {
                area_mm2 - std::f64::consts::PI * bore_mm * bore_mm / 4.0
            }
        };
        let material = self.set.material(cut.filling.material()?)?;
        let mass = filled * self.thickness() * material.density_g_cm3 * G_PER_MM3;
        let spread = self.spread(material);
        Some((
            mass,
            Band {
                low: mass * spread.low,
                high: mass * spread.high,
            },
        ))
    }

    /// A reason for every material that is named and not in the set, each once.
    fn unknown_materials(&self, openings: &[Opening<'_>]) -> Vec<Missing> {
        let steel = self.knife.stock.material.as_str();
        let guard = self.knife.guard.iter().map(|g| g.material.as_str());
        let fillings = openings.iter().filter_map(|o| o.cut.filling.material());
        let mut keys: Vec<&str> = Vec::new();
        for key in std::iter::once(steel).chain(fillings).chain(guard) {
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

    /// The guard's weight; `None` when its material is unknown, which is told elsewhere.
    fn weigh_guard(
        &self,
        guard: &Guard,
        steel: &SpanIndex,
    ) -> Result<Option<GuardWeight>, Missing> {
        let slot = self
            .knife
            .guard_slot(guard, steel)
            .ok_or(Missing::GuardSlot)?;
        let (plate, opening) = (guard.plate(), slot.contour());
        if !slot.fits_on(&plate) {
            return Err(Missing::GuardPlate);
        }
        let Some(material) = self.set.material(&guard.material) else {
            return Ok(None);
        };
        let area = plate.moments().area - opening.moments().area;
        let volume_mm3 = area * guard.thickness_mm;
        let per_mm3 = |density: f64| volume_mm3 * density * G_PER_MM3;
        Ok(Some(GuardWeight {
            mass_g: per_mm3(material.density_g_cm3),
            mass_band_g: Band {
                low: per_mm3(material.density_low),
                high: per_mm3(material.density_high),
            },
            x_mm: -guard.thickness_mm / 2.0,
            volume_mm3,
        }))
    }

    /// All parts together; `None` when any of them is missing.
    fn total(&self, up: &WeighUp, openings: &[Opening<'_>]) -> Option<Total> {
        let mut parts = vec![(
            up.steel.drilled_mass_g?,
            PartBand {
                mass: up.steel.mass_band_g?,
                x_mm: up.steel.balance_mm?,
            },
        )];
        for opening in openings {
            if opening.cut.filling == Filling::Nothing {
                continue;
            }
            let (mass, band) = self.filling_mass(opening.cut, opening.moments.area)?;
            let x_mm = opening.moments.centroid.x;
            parts.push((mass, PartBand { mass: band, x_mm }));
        }
        if self.knife.guard.is_some() {
            let guard = up.guard?;
            parts.push((
                guard.mass_g,
                PartBand {
                    mass: guard.mass_band_g,
                    x_mm: guard.x_mm,
                },
            ));
        }
        let mass_g: f64 = parts.iter().map(|(m, _)| m).sum();
        let moment: f64 = parts.iter().map(|(m, p)| m * p.x_mm).sum();
        let bands: Vec<PartBand> = parts.iter().map(|(_, p)| *p).collect();
        Some(Total {
            mass_g,
            mass_band_g: Band {
                low: bands.iter().map(|p| p.mass.low).sum(),
                high: bands.iter().map(|p| p.mass.high).sum(),
            },
            balance_mm: moment / mass_g,
            balance_band_mm: balance_band(&bands)?,
        })
    }
}
