//! The answer of `import` as data.

use serde::Serialize;

use crate::geometry::{Point, Vec2};
use crate::knife::Knife;
use crate::reading::drawing::{Imported, LeftOut, Opening, OpeningShape, Repair, UnitSource};

#[derive(Debug, Serialize)]
pub(super) struct ImportAnswer {
    pub out: String,
    pub thickness_mm: f64,
    pub material: &'static str,
    pub knives: Vec<KnifeAnswer>,
}

#[derive(Debug, Serialize)]
pub(super) struct KnifeAnswer {
    name: String,
    file: String,
    format: &'static str,
    unit: &'static str,
    unit_from: &'static str,
    size_mm: [f64; 2],
    size_in: [f64; 2],
    outline: OutlineAnswer,
    cut_outs: Vec<CutOutAnswer>,
    laid: LaidAnswer,
    landmarks: Vec<LandmarkAnswer>,
    repaired: Vec<RepairAnswer>,
    mended_at_mm: Vec<[f64; 2]>,
    left_out: Vec<LeftOutAnswer>,
}

#[derive(Debug, Serialize)]
struct OutlineAnswer {
    nodes: usize,
    area_mm2: f64,
}

#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
enum CutOutAnswer {
    Round {
        center_mm: [f64; 2],
        diameter_mm: f64,
        drill: Option<&'static str>,
        drill_mm: Option<f64>,
    },
    Slot {
        center_mm: [f64; 2],
        length_mm: f64,
        width_mm: f64,
        angle_deg: f64,
    },
    Free {
        center_mm: [f64; 2],
        size_mm: [f64; 2],
        nodes: usize,
        area_mm2: f64,
    },
}

#[derive(Debug, Serialize)]
struct LaidAnswer {
    quarter_turns: u8,
    turned_over: bool,
    what: String,
}

#[derive(Debug, Serialize)]
struct LandmarkAnswer {
    kind: &'static str,
    at_mm: [f64; 2],
}

#[derive(Debug, Serialize)]
struct RepairAnswer {
    kind: &'static str,
    count: usize,
    widest_mm: Option<f64>,
    at_mm: Option<[f64; 2]>,
    what: String,
}

#[derive(Debug, Serialize)]
struct LeftOutAnswer {
    what: String,
    why: String,
    count: usize,
    at_mm: Option<[f64; 2]>,
    size_mm: Option<[f64; 2]>,
}

fn pair(v: Vec2) -> [f64; 2] {
    [v.x, v.y]
}

fn at(p: Point) -> [f64; 2] {
    [p.x, p.y]
}

impl KnifeAnswer {
    pub(super) fn new(knife: &Knife, read: &Imported) -> Self {
        let (unit, unit_from) = match read.unit {
            UnitSource::File { unit } => (unit, "file"),
            UnitSource::Asked { unit } => (unit, "asked"),
            UnitSource::Usual => ("px96", "usual"),
        };
        Self {
            name: knife.name.clone(),
            file: read.file_name.clone(),
            format: read.format.name(),
            unit,
            unit_from,
            size_mm: pair(read.size_mm),
            size_in: pair(read.size_in()),
            outline: OutlineAnswer {
                nodes: knife.outline.nodes.len(),
                area_mm2: read.outline.moments().area,
            },
            cut_outs: read.openings.iter().map(CutOutAnswer::new).collect(),
            laid: LaidAnswer {
                quarter_turns: read.placing.quarter_turns,
                turned_over: read.placing.turned_over,
                what: read.placing.to_string(),
            },
            landmarks: knife
                .landmarks
                .iter()
                .filter_map(|landmark| {
                    let place = knife.outline.point_at(landmark.spot)?;
                    Some(LandmarkAnswer {
                        kind: landmark.kind.name(),
                        at_mm: at(place),
                    })
                })
                .collect(),
            repaired: read.repaired.iter().map(RepairAnswer::new).collect(),
            mended_at_mm: read.mended_at.iter().map(|p| at(*p)).collect(),
            left_out: read.left_out.iter().map(LeftOutAnswer::new).collect(),
        }
    }
}

impl CutOutAnswer {
    fn new(opening: &Opening) -> Self {
        match &opening.shape {
            OpeningShape::Round {
                center,
                diameter_mm,
            } => Self::Round {
                center_mm: at(*center),
                diameter_mm: *diameter_mm,
                drill: opening.drill.map(|drill| drill.label.as_str()),
                drill_mm: opening.drill.map(|drill| drill.diameter_mm),
            },
            OpeningShape::Slot {
                center,
                length_mm,
                width_mm,
                angle_rad,
            } => Self::Slot {
                center_mm: at(*center),
                length_mm: *length_mm,
                width_mm: *width_mm,
                angle_deg: angle_rad.to_degrees(),
            },
            OpeningShape::Free { pieces } => {
                let contour = opening.shape.contour();
                let bounds = contour.bounds();
                Self::Free {
                    center_mm: at(bounds.center()),
                    size_mm: [bounds.width(), bounds.height()],
                    nodes: pieces.len(),
                    area_mm2: contour.moments().area,
                }
            }
        }
    }
}

impl RepairAnswer {
    fn new(repair: &Repair) -> Self {
        let (kind, count, widest_mm, place) = match repair {
            Repair::EmptyDropped { count } => ("empty_dropped", *count, None, None),
            Repair::DoubledDropped { count } => ("doubled_dropped", *count, None, None),
            Repair::LinesMerged { count } => ("lines_merged", *count, None, None),
            Repair::GapsClosed {
                count,
                widest_mm,
                at,
            } => ("gaps_closed", *count, Some(*widest_mm), Some(*at)),
        };
        Self {
            kind,
            count,
            widest_mm,
            at_mm: place.map(at),
            what: repair.to_string(),
        }
    }
}

impl LeftOutAnswer {
    fn new(one: &LeftOut) -> Self {
        Self {
            what: one.what.clone(),
            why: one.why.clone(),
            count: one.count,
            at_mm: one.place.map(at),
            size_mm: one.size_mm.map(pair),
        }
    }
}
