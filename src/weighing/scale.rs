//! The scale: weighs a knife, and keeps what stays while only its cut-outs change.

use super::flat::{Bench, Filled, Taken};
use super::ground::{Care, GroundBlank, OpeningSolid};
use super::guard_slot::guard_slot;
use super::handle::HandleBlank;
use super::opening::OpeningTaken;
use super::overlap::{Opening, uncountable};
use super::weigh_up::{Missing, WeighUp};
use crate::geometry::{AreaMoments, OutlineFault, SpanIndex, indexed_faults, not_finite};
use crate::knife::{
    CutShape, Extent, Filling, Grinding, Guard, GuardSlot, Knife, KnifeSet, Landmark, Material,
    Outline, Stock, extent,
};
use crate::thickness::{GrindFault, GroundBlade, Relief};

/// Weighs a knife of a set.
///
/// Flat steel is exact: areas and moments are closed forms of the pieces, within rounding (relative 1e-12 or better on outlines of ordinary size);
/// lengths of curves are within 1e-10 mm. Ground steel tells the bound of its own error.
#[must_use]
pub fn weigh(knife: &Knife, set: &KnifeSet) -> WeighUp {
    Scale::default().weigh(knife, set)
}

/// Weighs one knife again and again while it is worked on: whatever did not change since the last time is not computed anew. The numbers are the
/// same as those of [`weigh`].
#[derive(Clone, Debug, Default)]
pub struct Scale {
    kept: Option<Kept>,
}

/// What one weigh-up leaves for the next.
#[derive(Clone, Debug)]
struct Kept {
    care: Care,
    outline: Outline,
    landmarks: Vec<Landmark>,
    stock: Stock,
    grinding: Grinding,
    materials: Vec<Material>,
    index: SpanIndex,
    wild: Vec<OutlineFault>,
    faults: Vec<OutlineFault>,
    extent: Extent,
    moments: AreaMoments,
    perimeter_mm: f64,
    /// `None` while the outline is not sound or a layer's material is unknown.
    ground: Option<Result<GroundBlank, Vec<GrindFault>>>,
    openings: Vec<(CutShape, Result<OpeningSolid, GrindFault>)>,
    /// The handle of the last weigh-up that had one.
    handle: Option<HandleBlank>,
    /// The guard of the last weigh-up, and where it sits.
    seat: Option<Seat>,
}

/// A guard with its slot: it is fitted to the steel that is kept, and to the rounding of the shoulder.
#[derive(Clone, Debug)]
struct Seat {
    guard: Guard,
    shoulder_radius_mm: f64,
    slot: Option<GuardSlot>,
}

impl Kept {
    fn fits(&self, knife: &Knife, set: &KnifeSet, care: Care) -> bool {
        self.care <= care
            && self.outline == knife.outline
            && self.landmarks == knife.landmarks
            && self.stock == knife.stock
            && self.grinding == knife.grinding
            && self.materials == set.materials
    }

    fn new(knife: &Knife, set: &KnifeSet, care: Care) -> Self {
        let contour = knife.contour();
        let wild = not_finite(&contour.pieces);
        let finite = wild.is_empty();
        let index = if finite {
            contour.index()
        } else {
            SpanIndex::new(&[])
        };
        let faults = if finite {
            indexed_faults(&contour.pieces, &index)
        } else {
            Vec::new()
        };
        let moments = if finite {
            contour.moments().turned_positive()
        } else {
            AreaMoments::default()
        };
        let layers = layers_of(knife, set);
        let sound = finite && faults.is_empty() && moments.area > 0.0;
        let ground = layers.filter(|_| sound).map(|layers| {
            let densities = layers.iter().map(|(_, m)| m.density_g_cm3).collect();
            let laid = layers.into_iter().map(|(laid, _)| laid).collect();
            let layers = (laid, densities);
            GroundBlank::new(knife, &contour, &index, &moments, layers, care)
        });
        Self {
            care,
            outline: knife.outline.clone(),
            landmarks: knife.landmarks.clone(),
            stock: knife.stock.clone(),
            grinding: knife.grinding.clone(),
            materials: set.materials.clone(),
            extent: if finite {
                extent(knife, &index)
            } else {
                Extent::default()
            },
            perimeter_mm: if finite { contour.perimeter() } else { 0.0 },
            index,
            wild,
            faults,
            moments,
            ground,
            openings: Vec::new(),
            handle: None,
            seat: None,
        }
    }

    /// Fits the guard, if it is another one or none yet.
    fn refresh_seat(&mut self, knife: &Knife) {
        let radius = knife.tang.shoulder_radius_mm();
        let same =
            |seat: &Seat, guard: &Guard| seat.guard == *guard && seat.shoulder_radius_mm == radius;
        self.seat = match (&knife.guard, self.seat.take()) {
            (None, _) => None,
            (Some(guard), Some(seat)) if same(&seat, guard) => Some(seat),
            (Some(guard), _) => Some(Seat {
                guard: guard.clone(),
                shoulder_radius_mm: radius,
                slot: guard_slot(knife, guard, &self.index, self.blade()),
            }),
        };
    }

    fn blade(&self) -> Option<&GroundBlade> {
        match self.ground.as_ref()? {
            Ok(blank) => Some(blank.blade()),
            Err(_) => None,
        }
    }

    fn slot(&self) -> Option<GuardSlot> {
        self.seat.as_ref()?.slot
    }

    /// What each opening takes of the ground steel, in their order; those that did not change are kept.
    fn refresh_openings(&mut self, openings: &[Opening<'_>]) {
        let Some(Ok(blank)) = &self.ground else {
            self.openings.clear();
            return;
        };
        let mut old: Vec<Option<(CutShape, Result<OpeningSolid, GrindFault>)>> =
            std::mem::take(&mut self.openings)
                .into_iter()
                .map(Some)
                .collect();
        let mut surveyor = blank.surveyor();
        for (place, opening) in openings.iter().enumerate() {
            // The same place, or one beside it after another was put in or taken out.
            let near = [Some(place), place.checked_sub(1), Some(place + 1)];
            let known = near.into_iter().flatten().find_map(|i| {
                let slot = old.get_mut(i)?;
                let same = slot.as_ref().is_some_and(|(s, _)| *s == opening.cut.shape);
                if same { slot.take() } else { None }
            });
            self.openings.push(known.unwrap_or_else(|| {
                let shape = opening.cut.shape.clone();
                let solid = if opening.is_sound() {
                    blank.within(&mut surveyor, &shape, &opening.moments)
                } else {
                    Ok(OpeningSolid::default())
                };
                (shape, solid)
            }));
        }
    }
}

/// The layers with their materials; `None` when the set lacks one.
fn layers_of<'a>(
    knife: &Knife,
    set: &'a KnifeSet,
) -> Option<Vec<(crate::knife::LaidLayer, &'a Material)>> {
    knife
        .stock
        .laid_layers()
        .into_iter()
        .map(|layer| {
            let material = set.material(&layer.material)?;
            Some((layer, material))
        })
        .collect()
}

impl Scale {
    /// The weigh-up of a knife.
    #[must_use]
    pub fn weigh(&mut self, knife: &Knife, set: &KnifeSet) -> WeighUp {
        self.weigh_with(knife, set, Care::Usual)
    }

    /// The weigh-up of a knife of which the next frame of a drag makes another: ground steel that is not known yet is surveyed more roughly, and tells the bound
    /// of that error.
    #[must_use]
    pub fn weigh_roughly(&mut self, knife: &Knife, set: &KnifeSet) -> WeighUp {
        self.weigh_with(knife, set, Care::Rough)
    }

    /// Whether ground steel was surveyed roughly for the last weigh-up.
    #[must_use]
    pub fn is_rough(&self) -> bool {
        let kept = self.kept.as_ref();
        kept.is_some_and(|kept| kept.care == Care::Rough && kept.ground.is_some())
    }

    /// Whether it keeps the steel of this knife, however roughly surveyed, so that only what is cut and fitted would be weighed.
    #[must_use]
    pub fn knows_blank_of(&self, knife: &Knife, set: &KnifeSet) -> bool {
        let kept = self.kept.as_ref();
        kept.is_some_and(|kept| kept.fits(knife, set, Care::Rough))
    }

    /// How many rays were followed for what it keeps: what a survey of the like takes.
    #[must_use]
    pub fn rays(&self) -> usize {
        let Some(kept) = &self.kept else { return 0 };
        let blank = kept.ground.iter().flatten().map(GroundBlank::rays);
        let openings = kept.openings.iter().flat_map(|(_, solid)| solid);
        blank.sum::<usize>() + openings.map(|solid| solid.rays).sum::<usize>()
    }

    /// The index of the outline as of the last weigh-up; `None` before the first.
    #[must_use]
    pub fn steel(&self) -> Option<&SpanIndex> {
        self.kept.as_ref().map(|kept| &kept.index)
    }

    fn weigh_with(&mut self, knife: &Knife, set: &KnifeSet, care: Care) -> WeighUp {
        let fits = |kept: &Kept| kept.fits(knife, set, care);
        if !self.kept.as_ref().is_some_and(fits) {
            self.kept = Some(Kept::new(knife, set, care));
        }
        let mut up = WeighUp::default();
        let Some(kept) = &mut self.kept else {
            return up;
        };
        let faulty = |faults: &[OutlineFault]| {
            let faults = faults.iter().cloned();
            faults
                .map(|fault| Missing::Outline { fault })
                .collect::<Vec<_>>()
        };
        if !kept.wild.is_empty() {
            up.missing = faulty(&kept.wild);
            return up;
        }
        up.steel.extent = kept.extent;
        let cut_outs = knife.all_cut_outs(&kept.index);
        up.steel.pierces = 1 + cut_outs.len();
        let sound = kept.faults.is_empty();
        up.missing.extend(faulty(&kept.faults));
        let openings: Vec<Opening<'_>> = cut_outs
            .iter()
            .map(|(name, cut)| Opening::new(name, cut))
            .collect();
        let mut reasons = uncountable(&openings, &kept.index, sound);
        kept.refresh_openings(&openings);
        kept.refresh_seat(knife);
        let bench = Bench {
            knife,
            set,
            layers: layers_of(knife, set),
        };
        if let Some(handle) = knife.handle.as_ref().filter(|_| sound) {
            if !kept.handle.as_ref().is_some_and(|own| own.is_of(handle)) {
                kept.handle = HandleBlank::new(knife, handle, &kept.index);
            }
            match &kept.handle {
                Some(own) => up.parts = own.weigh(knife, set, &kept.index, &cut_outs),
                None => up.missing.push(Missing::HandleShape),
            }
        }
        kept.weigh_openings(&bench, &openings, &mut reasons, &mut up);
        up
    }

    /// The blade of the last weigh-up, ready for questions about its heights; `None` while it can't be ground.
    #[must_use]
    pub fn blade(&self) -> Option<&GroundBlade> {
        self.kept.as_ref()?.blade()
    }

    /// The guard's slot as of the last weigh-up; `None` without a guard, or where there is no tang for it.
    #[must_use]
    pub fn guard_slot(&self) -> Option<GuardSlot> {
        self.kept.as_ref()?.slot()
    }

    /// Lines and shaded patches of the faces as of the last weigh-up; `None` while the blade can't be ground.
    #[must_use]
    pub fn relief(&self) -> Option<&Relief> {
        match self.kept.as_ref()?.ground.as_ref()? {
            Ok(blank) => Some(blank.relief()),
            Err(_) => None,
        }
    }

    /// What one more opening would take from the steel of the last weigh-up.
    #[must_use]
    pub(super) fn taken_by(&self, shape: &CutShape) -> Option<OpeningTaken> {
        match self.kept.as_ref()?.ground.as_ref()? {
            Ok(blank) => {
                let mut surveyor = blank.surveyor();
                let solid = blank.within(&mut surveyor, shape, &shape.moments()).ok()?;
                let (mass_g, x_mm) = blank.weight(&solid);
                Some(OpeningTaken {
                    mass_g,
                    x_mm,
                    volume_mm3: solid.volume(),
                    middle_x_mm: solid.middle_x().unwrap_or(x_mm),
                })
            }
            Err(_) => None,
        }
    }
}

impl Kept {
    fn weigh_openings(
        &self,
        bench: &Bench<'_>,
        openings: &[Opening<'_>],
        reasons: &mut [Option<Missing>],
        up: &mut WeighUp,
    ) {
        let sound = self.faults.is_empty();
        let mut drilled = self.moments;
        let mut cut_length = self.perimeter_mm;
        let all_counted = sound && reasons.iter().all(Option::is_none);
        let blank = match &self.ground {
            Some(Ok(blank)) => Some(blank),
            _ => None,
        };
        let mut solids: Vec<&OpeningSolid> = Vec::with_capacity(openings.len());
        let mut fillings: Vec<Option<Filled>> = Vec::new();
        let mut grind_faults: Vec<&GrindFault> = Vec::new();
        if let Some(Err(faults)) = &self.ground {
            grind_faults.extend(faults);
        }
        for (place, (opening, reason)) in openings.iter().zip(reasons).enumerate() {
            drilled = drilled.plus(&opening.moments.negated());
            cut_length += opening.perimeter_mm;
            let counted = reason.is_none();
            up.missing.extend(reason.take());
            let solid = match self.openings.get(place) {
                Some((_, Ok(solid))) => Some(solid),
                Some((_, Err(fault))) => {
                    grind_faults.push(fault);
                    None
                }
                None => None,
            };
            let own = blank
                .zip(solid)
                .map(|(blank, solid)| Taken { blank, solid });
            let face = (sound && counted).then_some(&self.moments);
            let filled = if counted {
                bench.filled(opening, own.as_ref())
            } else {
                None
            };
            up.cut_outs
                .push(bench.weigh_cut_out(opening, face, own, filled.as_ref()));
            solids.extend(own.map(|own| own.solid));
            if opening.cut.filling != Filling::Nothing {
                fillings.push(filled);
            }
        }
        let counted_face = all_counted.then_some(&drilled).filter(|d| d.area > 0.0);
        if sound {
            up.steel.perimeter_mm = Some(cut_length);
            bench.weigh_steel(&mut up.steel, &self.moments, counted_face);
        }
        let mut parts = None;
        if let (Some(blank), Some(face), Some(layers), true) =
            (blank, counted_face, &bench.layers, grind_faults.is_empty())
        {
            let materials: Vec<&Material> = layers.iter().map(|(_, m)| *m).collect();
            let ground = blank.weigh(bench.knife, &materials, &solids, face);
            up.ground = Some(ground.weight);
            up.layers = ground.layers;
            up.grinds = ground.grinds;
            parts = Some(ground.parts);
        }
        let faults = grind_faults.into_iter().cloned();
        up.missing
            .extend(faults.map(|fault| Missing::Grind { fault }));
        if let Some(guard) = &bench.knife.guard {
            match bench.weigh_guard(guard, self.slot()) {
                Ok(weight) => up.guard = weight,
                Err(reason) => up.missing.push(reason),
            }
        }
        up.missing.extend(bench.unknown_materials(openings));
        up.total = bench.total(up, parts.as_deref(), &fillings);
    }
}
