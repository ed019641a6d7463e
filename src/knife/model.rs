//! A knife and the set it belongs to.

use std::collections::BTreeSet;
use std::sync::Arc;

use kurbo::Point;

use super::{
    CutOut, Engraving, Filling, Flaw, ForgePlan, Grinding, Guard, Handle, LaidPicture, Landmark,
    LandmarkKind, Material, Outline, Row, Spot, Stock, Tang, WeighIn,
};
use crate::geometry::{Contour, SpanIndex};

/// A stable number for a node, cut-out, row or fitting; unique within its knife, and never used again.
pub type Id = u32;

/// One knife.
#[derive(Clone, Debug, PartialEq)]
pub struct Knife {
    /// Stable within the set.
    pub id: Id,
    /// Name the maker reads.
    pub name: String,
    /// What the blade is for: the key of a starter form, or empty.
    pub form: String,
    /// Outline of blade and tang together, counterclockwise.
    pub outline: Outline,
    /// The landmarks that are set, at most one of a kind, in the order of [`LandmarkKind::ALL`].
    pub landmarks: Vec<Landmark>,
    /// The bar.
    pub stock: Stock,
    /// How the blank is forged; nothing when it is cut from the bar as it comes.
    pub forging: Option<ForgePlan>,
    /// What is ground off it.
    pub grinding: Grinding,
    /// The tang's kind and the numbers it was last made from.
    pub tang: Tang,
    /// Single cut-outs.
    pub cut_outs: Vec<CutOut>,
    /// Rows of holes.
    pub rows: Vec<Row>,
    /// The guard, if there is one.
    pub guard: Option<Guard>,
    /// The handle, once it is designed.
    pub handle: Option<Handle>,
    /// The name engraved on the tang.
    pub engraving: Option<Engraving>,
    /// The picture under the drawing, if one is laid there.
    pub picture: Option<LaidPicture>,
    /// Flaws of the steel the maker has marked.
    pub flaws: Vec<Flaw>,
    /// What the scale said, in the order it was written down.
    pub weigh_ins: Vec<WeighIn>,
    /// The maker's own words.
    pub notes: String,
    /// The maker's own words on the heat treatment.
    pub heat_words: String,
    /// Ids of nodes, cut-outs and rows that are clamped: no edit moves them.
    pub clamped: BTreeSet<Id>,
    /// The next free id.
    pub next_id: Id,
}

/// The knives worked on side by side, with the materials they use.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct KnifeSet {
    /// Name of the set.
    pub name: String,
    /// The knives, in rack order. Shared, so that a snapshot of the set is cheap.
    pub knives: Vec<Arc<Knife>>,
    /// Every material a knife refers to.
    pub materials: Vec<Material>,
    /// The next free knife id.
    pub next_id: Id,
}

impl Knife {
    /// A knife of nothing but its steel: id 0, no landmarks, nothing ground or cut or fitted, ids free from just past the outline's own.
    #[must_use]
    pub fn bare(name: &str, outline: Outline, stock: Stock, tang: Tang) -> Self {
        let used = outline.nodes.iter().map(|node| node.id).max();
        Self {
            id: 0,
            name: name.to_owned(),
            form: String::new(),
            next_id: used.map_or(0, |id| id.saturating_add(1)),
            outline,
            landmarks: Vec::new(),
            stock,
            forging: None,
            grinding: Grinding::default(),
            tang,
            cut_outs: Vec::new(),
            rows: Vec::new(),
            guard: None,
            handle: None,
            engraving: None,
            picture: None,
            flaws: Vec::new(),
            weigh_ins: Vec::new(),
            notes: String::new(),
            heat_words: String::new(),
            clamped: BTreeSet::new(),
        }
    }

    /// Takes the next free id.
    pub fn take_id(&mut self) -> Id {
        let id = self.next_id;
        self.next_id = self.next_id.saturating_add(1);
        id
    }

    /// Whether there is a node, a cut-out or a row of this id: what can be clamped.
    #[must_use]
    pub fn can_clamp(&self, id: Id) -> bool {
        self.outline.node(id).is_some()
            || self.cut_outs.iter().any(|c| c.id == id)
            || self.rows.iter().any(|r| r.id == id)
    }

    /// Forgets the clamps of what is not there any more.
    pub fn let_go_of_what_is_gone(&mut self) {
        if !self.clamped.is_empty() {
            let clamped = std::mem::take(&mut self.clamped);
            self.clamped = clamped
                .into_iter()
                .filter(|id| self.can_clamp(*id))
                .collect();
        }
    }

    /// The cut-out with an id.
    #[must_use]
    pub fn cut_out(&self, id: Id) -> Option<&CutOut> {
        self.cut_outs.iter().find(|cut| cut.id == id)
    }

    /// The same, to be changed.
    pub fn cut_out_mut(&mut self, id: Id) -> Option<&mut CutOut> {
        self.cut_outs.iter_mut().find(|cut| cut.id == id)
    }

    /// The row with an id.
    #[must_use]
    pub fn row(&self, id: Id) -> Option<&Row> {
        self.rows.iter().find(|row| row.id == id)
    }

    /// The same, to be changed.
    pub fn row_mut(&mut self, id: Id) -> Option<&mut Row> {
        self.rows.iter_mut().find(|row| row.id == id)
    }

    /// The spot of a landmark.
    #[must_use]
    pub fn landmark(&self, kind: LandmarkKind) -> Option<Spot> {
        self.landmarks
            .iter()
            .find(|l| l.kind == kind)
            .map(|l| l.spot)
    }

    /// Where a landmark is.
    #[must_use]
    pub fn landmark_point(&self, kind: LandmarkKind) -> Option<Point> {
        self.outline.point_at(self.landmark(kind)?)
    }

    /// Sets a landmark, keeping the order of kinds.
    pub fn set_landmark(&mut self, kind: LandmarkKind, spot: Spot) {
        self.landmarks.retain(|l| l.kind != kind);
        self.landmarks.push(Landmark { kind, spot });
        self.landmarks.sort_by_key(|l| l.kind);
    }

    /// Puts a node on the outline at a spot; landmarks on the split piece keep their places. Gives the node's id.
    pub fn split_outline(&mut self, spot: Spot) -> Option<Id> {
        let id = self.next_id;
        let before = self.outline.nodes.len();
        let index = self.outline.split(spot, id)?;
        if self.outline.nodes.len() == before {
            return Some(self.outline.nodes.get(index)?.id);
        }
        self.next_id = self.next_id.saturating_add(1);
        for landmark in &mut self.landmarks {
            let old = landmark.spot;
            if old.node == spot.node {
                landmark.spot = if old.t >= spot.t {
                    Spot {
                        node: id,
                        t: (old.t - spot.t) / (1.0 - spot.t),
                    }
                } else {
                    Spot {
                        node: old.node,
                        t: old.t / spot.t,
                    }
                };
            }
        }
        Some(id)
    }

    /// Takes a node out of the outline; landmarks that sat on the two pieces move to the nearest place on the new
    /// piece, all others keep their very spots. `false` when the node is unknown or the outline would fall below three nodes.
    pub fn remove_node(&mut self, id: Id) -> bool {
        let n = self.outline.nodes.len();
        let before = self.outline.index_of(id).and_then(|index| {
            let before = self.outline.nodes.get((index + n - 1) % n)?;
            Some(before.id)
        });
        let Some(before) = before else {
            return false;
        };
        let astray: Vec<(LandmarkKind, Option<Point>)> = self
            .landmarks
            .iter()
            .filter(|l| l.spot.node == id || (l.spot.node == before && l.spot.t > 0.0))
            .map(|l| (l.kind, self.outline.point_at(l.spot)))
            .collect();
        if self.outline.remove(id).is_none() {
            return false;
        }
        let piece = self
            .outline
            .index_of(before)
            .and_then(|index| self.outline.piece(index));
        for (kind, place) in astray {
            let t = place
                .zip(piece)
                .map(|(place, piece)| piece.nearest(place).0);
            let spot = Spot {
                node: before,
                t: t.unwrap_or(0.0),
            };
            self.set_landmark(kind, spot);
        }
        true
    }

    /// Seats landmarks at the nearest spots to given places.
    pub fn seat_landmarks(&mut self, places: &[(LandmarkKind, Option<Point>)]) {
        let contour = self.outline.contour();
        for (kind, place) in places {
            let spot = place
                .and_then(|p| contour.nearest(p))
                .and_then(|nearest| self.outline.spot_of(&nearest));
            if let Some(spot) = spot {
                self.set_landmark(*kind, spot);
            } else {
                self.landmarks.retain(|l| l.kind != *kind);
            }
        }
    }

    /// Thickness at a place along the knife before any bevel, mm: what the taper leaves of the bar.
    #[must_use]
    pub fn thickness_at(&self, x_mm: f64) -> f64 {
        let stock = self.stock.thickness_mm;
        let taper = self.grinding.taper.as_ref();
        taper.map_or(stock, |taper| taper.thickness_at(x_mm, stock))
    }

    /// Every cut-out, the holes of rows spread out, with a name for each: `12`, or `12.3` for the third hole of row 12.
    #[must_use]
    pub fn all_cut_outs(&self, steel: &SpanIndex) -> Vec<(String, CutOut)> {
        let single = self.cut_outs.iter().map(|c| (c.id.to_string(), c.clone()));
        let rows = self.rows.iter().flat_map(|row| {
            row.cut_outs(steel)
                .into_iter()
                .enumerate()
                .map(|(i, cut)| (format!("{}.{}", row.id, i + 1), cut))
        });
        single.chain(rows).collect()
    }

    /// Keys of every material the knife refers to, some of them more than once.
    pub fn materials(&self) -> impl Iterator<Item = &str> {
        let layers = self
            .stock
            .layering
            .outer
            .iter()
            .map(|l| l.material.as_str());
        let fillings = self.cut_outs.iter().map(|c| &c.filling);
        let fillings = fillings.chain(self.rows.iter().map(|r| &r.filling));
        let guard = self.guard.iter().map(|g| g.material.as_str());
        std::iter::once(self.stock.material.as_str())
            .chain(layers)
            .chain(fillings.filter_map(|filling| filling.material()))
            .chain(guard)
            .chain(self.handle.iter().flat_map(|h| h.materials()))
    }

    /// The same keys, to be changed.
    pub fn materials_mut(&mut self) -> impl Iterator<Item = &mut String> {
        let layers = self.stock.layering.outer.iter_mut();
        let fillings = self.cut_outs.iter_mut().map(|c| &mut c.filling);
        let fillings = fillings.chain(self.rows.iter_mut().map(|r| &mut r.filling));
        let guard = self.guard.iter_mut().map(|g| &mut g.material);
        std::iter::once(&mut self.stock.material)
            .chain(layers.map(|l| &mut l.material))
            .chain(fillings.filter_map(Filling::material_mut))
            .chain(guard)
            .chain(self.handle.iter_mut().flat_map(Handle::materials_mut))
    }

    /// The boundary of the steel, without its cut-outs.
    #[must_use]
    pub fn contour(&self) -> Contour {
        self.outline.contour()
    }
}

impl KnifeSet {
    /// A material by its key.
    #[must_use]
    pub fn material(&self, key: &str) -> Option<&Material> {
        self.materials.iter().find(|m| m.key == key)
    }

    /// A knife by its id.
    #[must_use]
    pub fn knife(&self, id: Id) -> Option<&Arc<Knife>> {
        self.knives.iter().find(|k| k.id == id)
    }

    /// A knife by its id, to change it; a shared one is copied first.
    pub fn knife_mut(&mut self, id: Id) -> Option<&mut Knife> {
        self.knives
            .iter_mut()
            .find(|k| k.id == id)
            .map(Arc::make_mut)
    }
}
