//! Knives to plan for.

use std::sync::Arc;

use super::super::{PlanRules, Planning, Wanted, plan};
use crate::geometry::Point;
use crate::knife::{
    CutOut, CutShape, Filling, FullTang, Grinding, Knife, KnifeSet, Material, Node, Outline,
    Purpose, Stock, Tang,
};
use crate::weighing::weigh;

/// Steel of 7.8 g/cm³ and brass of 8.5.
pub(super) fn set_of(knife: &Knife) -> KnifeSet {
    let material = |key: &str, density_g_cm3: f64| Material {
        key: key.to_owned(),
        name: key.to_owned(),
        density_g_cm3,
        density_low: density_g_cm3,
        density_high: density_g_cm3,
        data_sheet: String::new(),
    };
    KnifeSet {
        name: "set".to_owned(),
        knives: vec![Arc::new(knife.clone())],
        materials: vec![material("steel", 7.8), material("tungsten", 19.3)],
        next_id: 2,
    }
}

/// A square tang behind a square blade, both about the x axis.
#[derive(Clone, Copy, Debug)]
pub(super) struct Plate {
    pub tang: (f64, f64),
    pub blade: (f64, f64),
    pub stock: f64,
}

impl Plate {
    pub(super) fn knife(&self) -> Knife {
        let ((l, h), (b, g)) = (self.tang, self.blade);
        let corners = [
            (-l, -h / 2.0),
            (0.0, -h / 2.0),
            (0.0, -g / 2.0),
            (b, -g / 2.0),
            (b, g / 2.0),
            (0.0, g / 2.0),
            (0.0, h / 2.0),
            (-l, h / 2.0),
        ];
        let nodes = (1..)
            .zip(corners)
            .map(|(id, at)| Node::corner(id, Point::from(at)))
            .collect();
        Knife {
            id: 1,
            name: "plate".to_owned(),
            form: String::new(),
            outline: Outline { nodes },
            landmarks: vec![],
            stock: Stock::plain(self.stock, 0.1, "steel"),
            grinding: Grinding::default(),
            tang: Tang::Full(FullTang {
                length_mm: l,
                butt_height_mm: h,
                belly_mm: 0.0,
                drop_mm: 0.0,
                finger_mm: 0.0,
                hook_mm: 0.0,
            }),
            cut_outs: vec![],
            rows: vec![],
            guard: None,
            handle: None,
            engraving: None,
            flaws: vec![],
            weigh_ins: vec![],
            notes: String::new(),
            heat_words: String::new(),
            picture: None,
            clamped: std::collections::BTreeSet::new(),
            forging: None,
            next_id: 100,
        }
    }

    /// Mass and first moment of the plate, g and g·mm.
    pub(super) fn solid(&self) -> (f64, f64) {
        let per_mm2 = 7.8e-3 * self.stock;
        let (tang, blade) = (self.tang.0 * self.tang.1, self.blade.0 * self.blade.1);
        (
            per_mm2 * (tang + blade),
            per_mm2 * (blade * self.blade.0 - tang * self.tang.0) / 2.0,
        )
    }
}

pub(super) fn pin(knife: &mut Knife, x: f64, d: f64) {
    let id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape: CutShape::Round {
            center: Point::new(x, 0.0),
            diameter_mm: d,
        },
        purpose: Purpose::Pin,
        filling: Filling::Nothing,
    });
}

pub(super) fn of(knife: &Knife, set: &KnifeSet, wanted: Wanted, rules: &PlanRules) -> Planning {
    plan(knife, set, wanted, rules, &|| true).expect(&knife.name)
}

pub(super) fn plate() -> Knife {
    let plate = Plate {
        tang: (100.0, 24.0),
        blade: (120.0, 30.0),
        stock: 3.0,
    };
    plate.knife()
}

pub(super) fn round(shape: &CutShape) -> (Point, f64) {
    match shape {
        CutShape::Round {
            center,
            diameter_mm,
        } => (*center, *diameter_mm),
        other => panic!("{other:?} is no hole"),
    }
}

/// The round holes of all plans.
pub(super) fn holes(planning: &Planning) -> Vec<(Point, f64)> {
    let cuts = planning.plans.iter().flat_map(|p| &p.cuts);
    cuts.map(|cut| round(&cut.shape)).collect()
}

/// An outline through corners.
pub(super) fn outline(corners: &[(f64, f64)]) -> Outline {
    let nodes = (800..).zip(corners);
    Outline {
        nodes: nodes
            .map(|(id, at)| Node::corner(id, Point::from(*at)))
            .collect(),
    }
}

pub(super) fn balance(knife: &Knife, set: &KnifeSet) -> f64 {
    weigh(knife, set).total.unwrap().balance_mm
}
