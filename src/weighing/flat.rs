//! The weigh-up of flat steel: outline and cut-outs by exact moments, times thickness and density.

use super::bands::{Band, PartBand, balance_band};
use super::overlap::uncountable;
use crate::geometry::{
    AreaMoments, OutlineFault, Point, SpanIndex, crossings_between, outline_faults,
};
use crate::knife::{CutOut, Extent, Filling, Guard, Knife, KnifeSet, Material, Purpose, extent};

/// Why a number is missing.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Missing {
    /// The outline is not fit to be weighed.
    #[error("{fault}")]
    Outline {
        /// What is wrong with it.
        fault: OutlineFault,
    },
    /// A cut-out reaches over the outline.
    #[error("cut-out {cut_out} reaches over the edge of the steel: move it in or make it smaller")]
    AcrossOutline {
        /// Name of the cut-out.
        cut_out: String,
        /// Its middle.
        at: Point,
    },
    /// A cut-out lies outside the steel.
    #[error("cut-out {cut_out} lies outside the steel: move it in or remove it")]
    OutsideSteel {
        /// Name of the cut-out.
        cut_out: String,
        /// Its middle.
        at: Point,
    },
    /// Two cut-outs overlap.
    #[error("cut-outs {cut_out} and {other} overlap: move them apart or make one of them")]
    OverCutOut {
        /// Name of the cut-out.
        cut_out: String,
        /// Name of the other one.
        other: String,
        /// Its middle.
        at: Point,
    },
    /// The set does not hold the material.
    #[error("material '{key}' is not in the set: choose one that is")]
    Material {
        /// Key of the material.
        key: String,
    },
    /// The guard's slot can't be fitted to the tang.
    #[error(
        "the guard finds no tang to fit behind the shoulder line: lengthen the tang or remove the guard"
    )]
    GuardSlot,
    /// The guard's slot does not fit on its plate.
    #[error("the guard's slot does not fit on its plate: make the plate larger")]
    GuardPlate,
}

impl Missing {
    /// The place it speaks of, if it has one.
    #[must_use]
    pub fn place(&self) -> Option<Point> {
        match self {
            Self::Outline { fault } => fault.place(),
            Self::AcrossOutline { at, .. }
            | Self::OutsideSteel { at, .. }
            | Self::OverCutOut { at, .. } => Some(*at),
            Self::Material { .. } | Self::GuardSlot | Self::GuardPlate => None,
        }
    }

    /// The cut-out it speaks of, if any.
    #[must_use]
    pub fn cut_out(&self) -> Option<&str> {
        match self {
            Self::AcrossOutline { cut_out, .. }
            | Self::OutsideSteel { cut_out, .. }
            | Self::OverCutOut { cut_out, .. } => Some(cut_out),
            _ => None,
        }
    }
}

/// Numbers of the steel alone, its cut-outs taken out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SteelWeight {
    /// Lengths and heights.
    pub extent: Extent,
    /// Face area less cut-outs, mm².
    pub area_mm2: Option<f64>,
    /// Cut length: outline and all cut-outs, mm.
    pub perimeter_mm: Option<f64>,
    /// Contours to cut, so pierces: the outline and every cut-out.
    pub pierces: usize,
    /// Volume less cut-outs, mm³.
    pub volume_mm3: Option<f64>,
    /// Mass of the straight bar the outline needs, g.
    pub bar_mass_g: Option<f64>,
    /// Mass as cut, before any hole, g.
    pub blank_mass_g: Option<f64>,
    /// Mass after all cut-outs, g.
    pub drilled_mass_g: Option<f64>,
    /// What stock tolerance and density spread make of the drilled mass, g.
    pub mass_band_g: Option<Band>,
    /// Balance point of the drilled steel from the shoulder line, mm.
    pub balance_mm: Option<f64>,
    /// Its band; of no width for flat steel of one material, whose thickness and density cancel.
    pub balance_band_mm: Option<Band>,
    /// Center of mass `(x, y, z)`, mm.
    pub centroid_mm: Option<[f64; 3]>,
    /// Moment of inertia about the axis through the center of mass, square to the face, g·mm².
    pub inertia_g_mm2: Option<f64>,
}

/// Numbers of one cut-out.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOutWeight {
    /// Name: its id, or `row.place` for a hole of a row.
    pub name: String,
    /// Kind of shape.
    pub kind: &'static str,
    /// What it is for.
    pub purpose: Purpose,
    /// Its middle.
    pub center: Point,
    /// Area of the opening, mm².
    pub area_mm2: f64,
    /// Steel taken away, g.
    pub removed_g: Option<f64>,
    /// What its filling puts back within the steel, g.
    pub filling_g: Option<f64>,
    /// How far it alone, empty, moves the balance of the blank, mm.
    pub balance_shift_mm: Option<f64>,
}

/// Numbers of the guard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GuardWeight {
    /// Mass of the slotted plate, g.
    pub mass_g: f64,
    /// Its band from density spread, g.
    pub mass_band_g: Band,
    /// Center of mass along the knife, mm.
    pub x_mm: f64,
    /// Volume, mm³.
    pub volume_mm3: f64,
}

/// The knife as it stands: drilled steel, fillings and guard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Total {
    /// Mass, g.
    pub mass_g: f64,
    /// Its band, g.
    pub mass_band_g: Band,
    /// Balance point from the shoulder line, mm.
    pub balance_mm: f64,
    /// Its band, mm.
    pub balance_band_mm: Band,
}

/// Everything the scale and the finger would tell.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WeighUp {
    /// The steel alone.
    pub steel: SteelWeight,
    /// Each cut-out.
    pub cut_outs: Vec<CutOutWeight>,
    /// The guard, when there is one and it can be weighed.
    pub guard: Option<GuardWeight>,
    /// All together.
    pub total: Option<Total>,
    /// Why numbers are missing; empty when none is.
    pub missing: Vec<Missing>,
}

/// mm³ × g/cm³ = mg.
pub(super) const G_PER_MM3: f64 = 1e-3;

/// Weighs a knife of a set.
///
/// Exact for flat steel: areas and moments are closed forms of the pieces, within rounding (relative 1e-12 or better
/// on outlines of ordinary size); lengths of curves are within 1e-10 mm.
#[must_use]
pub fn weigh(knife: &Knife, set: &KnifeSet) -> WeighUp {
    let contour = knife.contour();
    let index = contour.index();
    let mut up = WeighUp::default();
    up.steel.extent = extent(knife, &index);
    let cut_outs = knife.all_cut_outs(&index);
    up.steel.pierces = 1 + cut_outs.len();
    let material = set.material(&knife.stock.material);
    if material.is_none() {
        let key = knife.stock.material.clone();
        up.missing.push(Missing::Material { key });
    }
    let faults = outline_faults(&contour.pieces);
    let sound = faults.is_empty();
    up.missing
        .extend(faults.into_iter().map(|fault| Missing::Outline { fault }));

    let mut blank = contour.moments();
    if blank.area < 0.0 {
        blank = blank.negated();
    }
    let bad = if sound {
        uncountable(&cut_outs, &index)
    } else {
        Default::default()
    };
    let bench = Bench {
        knife,
        set,
        material,
        blank: sound.then_some(blank),
    };
    let mut drilled = blank;
    let mut cut_length = contour.perimeter();
    for (i, (name, cut)) in cut_outs.iter().enumerate() {
        let moments = cut.shape.moments();
        drilled = drilled.plus(&moments.negated());
        cut_length += cut.shape.perimeter_mm();
        let countable = !bad.contains_key(&i);
        let weight = bench.weigh_cut_out(name, cut, &moments, countable);
        up.cut_outs.push(weight);
    }
    let countable = sound && bad.is_empty();
    up.missing.extend(bad.into_values());
    up.missing.extend(bench.unknown_fillings(&cut_outs));
    if sound {
        up.steel.perimeter_mm = Some(cut_length);
        bench.weigh_steel(&mut up.steel, &blank, countable.then_some(&drilled));
    }
    if let Some(guard) = &knife.guard {
        match bench.weigh_guard(guard, &index) {
            Ok(weight) => up.guard = Some(weight),
            Err(reason) => up.missing.push(reason),
        }
    }
    up.total = bench.total(&up, &cut_outs);
    up
}

/// What every step of one weigh-up needs.
struct Bench<'a> {
    knife: &'a Knife,
    set: &'a KnifeSet,
    material: Option<&'a Material>,
    /// Moments of the outline without cut-outs, when the outline is sound.
    blank: Option<AreaMoments>,
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
        steel.balance_band_mm = Some(Band {
            low: c.x,
            high: c.x,
        });
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

    fn weigh_cut_out(
        &self,
        name: &str,
        cut: &CutOut,
        moments: &AreaMoments,
        countable: bool,
    ) -> CutOutWeight {
        let blank = self.blank.filter(|_| countable);
        let shift = blank.and_then(|blank| {
            let left = blank.area - moments.area;
            // Taking area a at x_h from area A at x moves the center by a·(x − x_h)/(A − a).
            (left > 0.0).then(|| moments.area * (blank.centroid.x - moments.centroid.x) / left)
        });
        CutOutWeight {
            name: name.to_owned(),
            kind: cut.shape.kind(),
            purpose: cut.purpose,
            center: moments.centroid,
            area_mm2: moments.area,
            removed_g: blank.and(self.steel_per_mm2()).map(|g| g * moments.area),
            filling_g: self.filling_mass(cut, moments.area).map(|(mass, _)| mass),
            balance_shift_mm: shift,
        }
    }

    /// Nominal mass of a filling and its band, g.
    fn filling_mass(&self, cut: &CutOut, area_mm2: f64) -> Option<(f64, Band)> {
        let filled = match &cut.filling {
            Filling::Nothing => {
                return Some((
                    0.0,
                    Band {
                        low: 0.0,
                        high: 0.0,
                    },
                ));
            }
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

    fn unknown_fillings(&self, cut_outs: &[(String, CutOut)]) -> Vec<Missing> {
        let mut keys: Vec<&str> = cut_outs
            .iter()
            .filter_map(|(_, cut)| cut.filling.material())
            .filter(|key| self.set.material(key).is_none())
            .collect();
        keys.sort_unstable();
        keys.dedup();
        keys.into_iter()
            .map(|key| Missing::Material {
                key: key.to_owned(),
            })
            .collect()
    }

    fn weigh_guard(&self, guard: &Guard, steel: &SpanIndex) -> Result<GuardWeight, Missing> {
        let material = self
            .set
            .material(&guard.material)
            .ok_or_else(|| Missing::Material {
                key: guard.material.clone(),
            })?;
        let slot = self
            .knife
            .guard_slot(guard, steel)
            .ok_or(Missing::GuardSlot)?;
        let (plate, opening) = (guard.plate(), slot.contour());
        let crossed = !crossings_between(&plate.index(), &opening.index()).is_empty();
        if crossed || !plate.bounds().contains_rect(slot.rect) || slot.rect.area() <= 0.0 {
            return Err(Missing::GuardPlate);
        }
        let area = plate.moments().area - opening.moments().area;
        let volume_mm3 = area * guard.thickness_mm;
        let per_mm3 = |density: f64| volume_mm3 * density * G_PER_MM3;
        Ok(GuardWeight {
            mass_g: per_mm3(material.density_g_cm3),
            mass_band_g: Band {
                low: per_mm3(material.density_low),
                high: per_mm3(material.density_high),
            },
            x_mm: -guard.thickness_mm / 2.0,
            volume_mm3,
        })
    }

    /// All parts together; `None` when any of them is missing.
    fn total(&self, up: &WeighUp, cut_outs: &[(String, CutOut)]) -> Option<Total> {
        let mut parts = vec![(
            up.steel.drilled_mass_g?,
            PartBand {
                mass: up.steel.mass_band_g?,
                x_mm: up.steel.balance_mm?,
            },
        )];
        for (weight, (_, cut)) in up.cut_outs.iter().zip(cut_outs) {
            if cut.filling == Filling::Nothing {
                continue;
            }
            let (mass, band) = self.filling_mass(cut, weight.area_mm2)?;
            let x_mm = weight.center.x;
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
