//! The ground steel: the tapered plate less what the grinds take, less the cut-outs with the steel that is really there.

use super::bands::{Band, PartBand, balance_band};
use super::flat::G_PER_MM3;
use super::plate::Plate;
use super::weigh_up::{GrindWeight, GroundWeight, LayerWeight};
use crate::geometry::{AreaMoments, Contour, GAUSS_8, SpanIndex};
use crate::knife::{CutShape, Face, Knife, LaidLayer, Material};
use crate::thickness::{
    BladeLayers, FaceHeight, GrindFault, GroundBlade, Relief, Removed, Solid, Surveyor,
};

/// Rounding of the closed forms, as a share of the volume.
const ROUNDING: f64 = 1e-12;

/// How carefully ground steel is weighed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Care {
    /// As it is told.
    Usual,
    /// For one frame of a drag, of which the next knows better.
    Rough,
}

impl Care {
    /// So many times as much as usual may each panel of a survey be off. With a thousand the mass of a laminated chopper with two grinds and 160 holes keeps within
    /// a hundredth of a gram, its balance within a few thousandths of a millimeter, and its lines lie where they are drawn.
    fn times(self) -> f64 {
        match self {
            Self::Usual => 1.0,
            Self::Rough => 1000.0,
        }
    }
}

/// A knife's ground steel before its cut-outs, kept while only these change.
#[derive(Clone, Debug)]
pub(super) struct GroundBlank {
    care: Care,
    plate: Plate,
    blade: GroundBlade,
    layers: BladeLayers,
    densities: Vec<f64>,
    blank_volume: f64,
    /// Each layer of the whole outline, ground.
    solids: Vec<Solid>,
    removed: Removed,
    /// Lines and patches of the faces.
    relief: Relief,
    /// Area of face the bar still has as bought, both faces counted half, and its moment along x.
    untouched: (f64, f64),
}

/// What an opening takes of the ground steel.
#[derive(Clone, Debug, Default)]
pub(super) struct OpeningSolid {
    /// Of each layer.
    pub solids: Vec<Solid>,
    /// Rays that were followed for it.
    pub rays: usize,
    /// Bounds of the error in volume and its moment.
    error: (f64, f64),
    /// Share of the grinds' take and of the untouched face it had.
    by_grind: Vec<f64>,
    ground_area: (f64, f64),
    follows: (f64, f64),
}

impl OpeningSolid {
    /// Its whole volume, mm³.
    pub(super) fn volume(&self) -> f64 {
        self.solids.iter().map(|s| s.volume).sum()
    }

    /// Where its middle of volume lies along the knife, mm.
    pub(super) fn middle_x(&self) -> Option<f64> {
        let volume = self.volume();
        let moment: f64 = self.solids.iter().map(|s| s.moment[0]).sum();
        (volume > 0.0).then(|| moment / volume)
    }
}

impl GroundBlank {
    pub(super) fn new(
        knife: &Knife,
        contour: &Contour,
        index: &SpanIndex,
        moments: &AreaMoments,
        (laid, densities): (Vec<LaidLayer>, Vec<f64>),
        care: Care,
    ) -> Result<Self, Vec<GrindFault>> {
        let taper = knife.grinding.taper.as_ref();
        let layers = BladeLayers::of(&knife.stock, &laid);
        let plate = Plate::of(&knife.stock, taper, laid);
        let blade = GroundBlade::new(knife, contour, index)?;
        let blank_volume = moments.area * knife.stock.thickness_mm;
        let mut solids = plate.within(|| contour.clone(), moments);
        let (removed, relief) = Surveyor::new(&blade, &layers, &densities, blank_volume)
            .rougher(care.times())
            .whole_with_relief(&layers)
            .map_err(|fault| vec![fault])?;
        for (solid, taken) in solids.iter_mut().zip(&removed.layers) {
            solid.add(taken, -1.0);
        }
        let untouched = untouched(knife, index, moments);
        Ok(Self {
            care,
            plate,
            blade,
            layers,
            densities,
            blank_volume,
            solids,
            removed,
            relief,
            untouched,
        })
    }

    /// What an opening takes, by a surveyor of this blank.
    pub(super) fn within(
        &self,
        surveyor: &mut Surveyor<'_>,
        shape: &CutShape,
        moments: &AreaMoments,
    ) -> Result<OpeningSolid, GrindFault> {
        let mut solids = self.plate.within_opening(shape, moments);
        let spared = surveyor.within(shape)?;
        for (solid, taken) in solids.iter_mut().zip(&spared.layers) {
            solid.add(taken, -1.0);
        }
        Ok(OpeningSolid {
            solids,
            rays: spared.rays,
            error: spared.error,
            by_grind: spared.by_grind,
            ground_area: spared.ground_area,
            follows: spared.follows_stock,
        })
    }

    /// A surveyor of openings in it.
    pub(super) fn surveyor(&self) -> Surveyor<'_> {
        Surveyor::new(
            &self.blade,
            &self.layers,
            &self.densities,
            self.blank_volume,
        )
        .rougher(self.care.times())
    }

    /// Rays that were followed for the whole of it.
    pub(super) fn rays(&self) -> usize {
        self.removed.rays
    }

    pub(super) fn blade(&self) -> &GroundBlade {
        &self.blade
    }

    pub(super) fn relief(&self) -> &Relief {
        &self.relief
    }

    /// Mass in g and balance in mm of the steel before its cut-outs.
    pub(super) fn undrilled(&self) -> (f64, f64) {
        weight_of(&self.solids, &self.densities)
    }

    /// Mass of an opening's steel, g, and its center along the knife, mm.
    pub(super) fn weight(&self, opening: &OpeningSolid) -> (f64, f64) {
        weight_of(&opening.solids, &self.densities)
    }

    /// The ground steel with all its cut-outs. `moments` are those of the drilled face.
    pub(super) fn weigh(
        &self,
        knife: &Knife,
        materials: &[&Material],
        openings: &[&OpeningSolid],
        drilled: &AreaMoments,
    ) -> Ground {
        let mut solids = self.solids.clone();
        let mut error = self.removed.error;
        let mut by_grind = self.removed.by_grind.clone();
        let mut ground_area = self.removed.ground_area;
        let mut follows = self.removed.follows_stock;
        for opening in openings {
            for (solid, taken) in solids.iter_mut().zip(&opening.solids) {
                solid.add(taken, -1.0);
            }
            for (grind, spared) in by_grind.iter_mut().zip(&opening.by_grind) {
                *grind -= spared;
            }
            error.0 += opening.error.0;
            error.1 += opening.error.1;
            ground_area.0 -= opening.ground_area.0;
            ground_area.1 -= opening.ground_area.1;
            follows.0 -= opening.follows.0;
            follows.1 -= opening.follows.1;
        }
        let mut whole = Solid::default();
        let mut mass = Solid::default();
        for (solid, density) in solids.iter().zip(&self.densities) {
            whole.add(solid, 1.0);
            mass.add(solid, density * G_PER_MM3);
        }
        let centroid = mass.moment.map(|m| m / mass.volume);
        let (mass_g, x) = (mass.volume, centroid[0]);
        let layers = self.layer_weights(materials, &solids, knife.stock.thickness_mm);
        // The holes' share of what the bar's own thickness decides.
        let drilled_share = drilled.area * knife.stock.thickness_mm / self.blank_volume;
        let untouched = (
            self.untouched.0 * drilled_share,
            self.untouched.1 * drilled_share,
        );
        let bands = Spread {
            stock: (untouched.0 - follows.0, untouched.1 - follows.1),
            stock_mm: knife.stock.tolerance_mm,
            ground: (
                ground_area.0 + 2.0 * (drilled.area - untouched.0),
                ground_area.1 + 2.0 * (drilled.area * drilled.centroid.x - untouched.1),
            ),
            ground_mm: knife.grinding.tolerance_mm,
        };
        let mut parts = bands.parts(
            knife.stock.thickness_mm,
            self.plate.layers(),
            materials,
            (&solids, &self.densities),
        );
        let mass_band_g = bands.mass(&parts, mass_g);
        if knife.grinding.is_empty() && !knife.stock.is_laminated() {
            // All of a plain bar gets heavier or lighter at once.
            parts = vec![PartBand {
                mass: mass_band_g,
                x_mm: x,
            }];
        }
        let weight = GroundWeight {
            mass_g,
            mass_band_g,
            balance_mm: x,
            balance_band_mm: balance_band(&parts).unwrap_or(Band::of(x)),
            volume_mm3: whole.volume,
            centroid_mm: centroid,
            inertia_g_mm2: mass.polar - mass_g * (x * x + centroid[1] * centroid[1]),
            error_bound: error.0 / whole.volume + ROUNDING,
            balance_error_mm: (error.1 + x.abs() * error.0) / whole.volume,
        };
        let grinds = self
            .blade
            .grind_names()
            .zip(by_grind)
            .map(|((id, name), taken)| GrindWeight {
                id,
                name: name.to_owned(),
                removed_g: taken * G_PER_MM3,
            })
            .collect();
        Ground {
            weight,
            layers,
            grinds,
            parts,
        }
    }

    /// Each layer in the blank as it is cut out, before any hole, and as it is ground.
    fn layer_weights(
        &self,
        materials: &[&Material],
        solids: &[Solid],
        stock_mm: f64,
    ) -> Vec<LayerWeight> {
        let area = self.blank_volume / stock_mm;
        self.plate
            .layers()
            .iter()
            .zip(materials)
            .zip(solids)
            .map(|((layer, material), solid)| {
                let thickness_mm = layer.thickness_mm();
                let per_mm3 = material.density_g_cm3 * G_PER_MM3;
                LayerWeight {
                    name: layer.name.clone(),
                    material: layer.material.clone(),
                    thickness_mm,
                    blank_mass_g: area * thickness_mm * per_mm3,
                    ground_mass_g: solid.volume * per_mm3,
                    ground_volume_mm3: solid.volume,
                }
            })
            .collect()
    }
}

/// The ground steel's numbers, and the parts of its balance band.
pub(super) struct Ground {
    pub weight: GroundWeight,
    pub layers: Vec<LayerWeight>,
    pub grinds: Vec<GrindWeight>,
    pub parts: Vec<PartBand>,
}

/// What moves the mass besides density: areas that follow a tolerance, each with its moment along x, and the tolerance, mm.
struct Spread {
    stock: (f64, f64),
    stock_mm: f64,
    ground: (f64, f64),
    ground_mm: f64,
}

impl Spread {
    /// Every part that may be heavier or lighter by itself: each layer by its density, the bar's thickness, the ground faces.
    fn parts(
        &self,
        stock_mm: f64,
        laid: &[LaidLayer],
        materials: &[&Material],
        (solids, densities): (&[Solid], &[f64]),
    ) -> Vec<PartBand> {
        let mut parts: Vec<PartBand> = solids
            .iter()
            .zip(materials)
            .filter(|(solid, _)| solid.volume > 0.0)
            .map(|(solid, material)| {
                let per = |density: f64| solid.volume * density * G_PER_MM3;
                PartBand {
                    mass: Band {
                        low: per(material.density_low),
                        high: per(material.density_high),
                    },
                    x_mm: solid.moment[0] / solid.volume,
                }
            })
            .collect();
        let mean: f64 = laid
            .iter()
            .zip(densities)
            .map(|(layer, density)| layer.thickness_mm() * density)
            .sum::<f64>()
            / stock_mm;
        for ((area, moment), mm) in [(self.stock, self.stock_mm), (self.ground, self.ground_mm)] {
            let half = area * mm * mean * G_PER_MM3;
            if half > 0.0 && area > 0.0 {
                parts.push(PartBand {
                    mass: Band {
                        low: -half,
                        high: half,
                    },
                    x_mm: moment / area,
                });
            }
        }
        parts
    }

    fn mass(&self, parts: &[PartBand], nominal: f64) -> Band {
        // Thickness acts on the steel at its own density: (m ± Δ)·ρ'/ρ.
        let dense = |pick: fn(&Band) -> f64| -> f64 {
            parts
                .iter()
                .filter(|p| p.mass.low >= 0.0)
                .map(|p| pick(&p.mass))
                .sum()
        };
        let thick: f64 = parts
            .iter()
            .filter(|p| p.mass.low < 0.0)
            .map(|p| p.mass.high)
            .sum();
        Band {
            low: dense(|b| b.low) * (1.0 - thick / nominal),
            high: dense(|b| b.high) * (1.0 + thick / nominal),
        }
    }
}

fn weight_of(solids: &[Solid], densities: &[f64]) -> (f64, f64) {
    let (mut mass, mut moment) = (0.0, 0.0);
    for (solid, density) in solids.iter().zip(densities) {
        mass += solid.volume * density * G_PER_MM3;
        moment += solid.moment[0] * density * G_PER_MM3;
    }
    (mass, moment / mass)
}

/// Area of face that is still as the bar came, each face counted half, with its moment along x. Between the bends of a taper a face is left or it is not; there
/// by eight-point Gauss–Legendre on the outline's depth, which serves the bands alone.
fn untouched(knife: &Knife, index: &SpanIndex, moments: &AreaMoments) -> (f64, f64) {
    let taper = knife.grinding.taper.as_ref();
    let faces = Face::ALL.map(|face| FaceHeight::of(&knife.stock, taper, face));
    let half = knife.stock.thickness_mm / 2.0;
    if faces.iter().all(|f| f.is_level() && f.at(0.0) >= half) {
        return (moments.area, moments.area * moments.centroid.x);
    }
    let bounds = index.bounds();
    let bends = faces.iter().flat_map(FaceHeight::bends);
    let mut ends: Vec<f64> = bends
        .filter(|x| *x > bounds.x0 && *x < bounds.x1)
        .chain([bounds.x0, bounds.x1])
        .collect();
    ends.sort_by(f64::total_cmp);
    let (mut left, mut moment) = (0.0, 0.0);
    for pair in ends.windows(2) {
        let [from, to] = pair else { continue };
        let middle = f64::midpoint(*from, *to);
        let kept = faces.iter().filter(|f| f.is_untouched_at(middle)).count();
        if kept == 0 {
            continue;
        }
        for (at, weight) in GAUSS_8 {
            let x = middle + (to - from) / 2.0 * at;
            let depth = index.depth_at(x).map_or(0.0, |(low, high)| high - low);
            let area = kept as f64 / 2.0 * depth * weight * (to - from) / 2.0;
            left += area;
            moment += area * x;
        }
    }
    (left, moment)
}
