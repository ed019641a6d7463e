//! The rules one service cuts by, or the shop's own saw: what it can cut, what it wants left on, and the file it asks for.
//!
//! Those of a way of cutting ([`usual_services`]) are where a maker starts from; what their own service answers is typed over them field by
//! field ([`ServiceField`]), each judged when it is typed.

mod field;

use super::cutting::{CuttingProcess, Limit, cutting_processes};
use super::table::folded;

pub use field::{ServiceError, ServiceField};

/// Most services that are kept: more than any shop sends work to.
pub const MOST_SERVICES: usize = 50;

/// Steps and pieces of an outline no longer than this are closed up, mm, unless the service says otherwise: half the ±0.1 mm a cut keeps at best
/// (`tolerance` in the cutting rules).
const USUAL_JOIN_MM: f64 = 0.05;

/// Width of a tab unless the service says otherwise, mm. Common practice, no source: about what breaks off by hand and files flat.
const USUAL_TAB_MM: f64 = 1.0;

/// A limit no opening reaches: all are marked.
const ANY_OPENING: Limit = Limit {
    times_thickness: 0.0,
    at_least_mm: 1e6,
};

/// Edition of the drawing exchange format.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FileEdition {
    /// R2000.
    #[default]
    R2000,
    /// Release 12.
    R12,
}

/// What curves are written as.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FileCurves {
    /// Lines and arcs.
    #[default]
    Arcs,
    /// Exact splines; release 12 has none.
    Splines,
}

/// What a unit of the file is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FileUnit {
    /// Millimeters.
    #[default]
    Mm,
    /// Inches.
    Inch,
}

/// The layers of a cutting file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum FileLayers {
    /// A layer for each role, by its word: cut, drill, scribe, engrave.
    #[default]
    ByRole,
    /// Lines to cut on a layer of this name, and each other role on a layer of its own word.
    CutNamed(String),
    /// All on one layer of this name.
    One(String),
}

/// The file a service asks for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CuttingFile {
    /// Edition.
    pub edition: FileEdition,
    /// Curves.
    pub curves: FileCurves,
    /// Layers.
    pub layers: FileLayers,
    /// Unit.
    pub unit: FileUnit,
}

/// A service, or the shop's own saw.
#[derive(Clone, Debug, PartialEq)]
pub struct Service {
    /// Its name.
    pub name: String,
    /// Key of the way of cutting it began with; its notes and sources are told.
    pub process: String,
    /// Smallest round hole or narrowest slot; `None` when closed openings are drilled instead.
    pub hole: Option<Limit>,
    /// Least steel between two cuts.
    pub web: Limit,
    /// Sharpest inside corner, mm.
    pub inside_radius_mm: f64,
    /// Width the cut takes, mm.
    pub kerf_mm: f64,
    /// How deep the cut edge is heated, mm.
    pub heat_edge_mm: f64,
    /// Side of the smallest part that is cut without tabs, mm; 0 for any.
    pub part_mm: f64,
    /// Pieces no longer than this are closed up, mm.
    pub join_mm: f64,
    /// Steel left on all round, mm.
    pub left_on_mm: f64,
    /// How much smaller than drawn round holes are cut, mm.
    pub holes_under_mm: f64,
    /// Tabs that hold a part in the sheet; none for 0.
    pub tabs: u32,
    /// Width of a tab, mm.
    pub tab_mm: f64,
    /// Whether holes too small to cut are marked for the drill, not cut.
    pub marks_small_holes: bool,
    /// Whether the file allows for the kerf. If not, the service does, as they usually want to.
    pub draws_kerf: bool,
    /// The file.
    pub file: CuttingFile,
}

/// A mend of the rules a file is written by; the knife stays as it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ServiceMend {
    /// Leaves this much steel on all round.
    LeaveOn {
        /// How much, mm.
        mm: f64,
    },
    /// Marks holes too small to cut for the drill.
    MarkSmallHoles,
    /// Holds the part by two tabs.
    AddTabs,
    /// Spreads the roles over layers of their own.
    SplitLayers,
    /// Writes arcs in place of splines.
    WriteArcs,
}

impl ServiceMend {
    /// What it does, as a button says it.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::LeaveOn { .. } => "leave steel on",
            Self::MarkSmallHoles => "mark for the drill",
            Self::AddTabs => "hold it by tabs",
            Self::SplitLayers => "split the layers",
            Self::WriteArcs => "write arcs",
        }
    }
}

impl Service {
    /// The rules of a way of cutting.
    #[must_use]
    pub fn of_process(process: &CuttingProcess) -> Self {
        Self {
            name: process.name.clone(),
            process: process.key.clone(),
            hole: process.hole,
            web: process.web,
            inside_radius_mm: process.inside_radius_mm,
            kerf_mm: process.kerf_mm,
            heat_edge_mm: process.heat_edge_mm,
            part_mm: process.part_mm,
            join_mm: USUAL_JOIN_MM,
            left_on_mm: 0.0,
            holes_under_mm: 0.0,
            tabs: 0,
            tab_mm: USUAL_TAB_MM,
            marks_small_holes: false,
            draws_kerf: false,
            file: CuttingFile::default(),
        }
    }

    /// Openings below this are marked for the drill, not cut; `None` when all are cut. Where no closed opening can be cut at all, all are marked.
    #[must_use]
    pub fn marks_below(&self) -> Option<Limit> {
        let smallest = self.hole.unwrap_or(ANY_OPENING);
        self.marks_small_holes.then_some(smallest)
    }

    /// Its rules after a mend.
    #[must_use]
    pub fn mended(&self, mend: ServiceMend) -> Self {
        let mut own = self.clone();
        match mend {
            ServiceMend::LeaveOn { mm } => own.left_on_mm = mm,
            ServiceMend::MarkSmallHoles => own.marks_small_holes = true,
            ServiceMend::AddTabs => own.tabs = 2,
            ServiceMend::SplitLayers => {
                own.file.layers = match &self.file.layers {
                    FileLayers::One(name) => FileLayers::CutNamed(name.clone()),
                    other => other.clone(),
                }
            }
            ServiceMend::WriteArcs => own.file.curves = FileCurves::Arcs,
        }
        own
    }

    /// Where one of its limits ([`super::LIMITED`]) comes from: the row of the cutting rules, or the maker's own rules.
    #[must_use]
    pub fn basis(&self, limit: &str) -> String {
        let own = || format!("the rules of {}", self.name);
        let Some(usual) = usual_service(&self.process) else {
            return own();
        };
        let same = match limit {
            "hole" => usual.hole == self.hole,
            "web" => usual.web == self.web,
            "inside-radius" => usual.inside_radius_mm == self.inside_radius_mm,
            "heat-edge" => usual.heat_edge_mm == self.heat_edge_mm,
            "part" => usual.part_mm == self.part_mm,
            _ => usual.kerf_mm == self.kerf_mm,
        };
        let process = cutting_processes().iter().find(|p| p.key == self.process);
        let row = process
            .and_then(|process| process.basis.iter().find(|basis| basis.limit == limit))
            .filter(|_| same);
        row.map_or_else(own, |row| format!("{}: {}", usual.name, row.rule))
    }
}

/// The services that every shop can start from, one for each way of cutting.
pub fn usual_services() -> impl Iterator<Item = Service> {
    cutting_processes().iter().map(Service::of_process)
}

/// The usual service with this key or name; capitals do not matter.
#[must_use]
pub fn usual_service(name: &str) -> Option<Service> {
    let name = folded(name);
    usual_services().find(|s| s.process == name || folded(&s.name) == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_usual_service_says_which_row_it_goes_by() {
        let laser = usual_service("Fiber Laser").unwrap();
        assert_eq!(laser.process, "laser");
        assert_eq!(
            laser.basis("hole"),
            "Fiber laser: minimum hole or slot (guide B)"
        );
        let own = Service {
            name: "River cutters".to_owned(),
            kerf_mm: 0.3,
            ..laser
        };
        assert_eq!(own.basis("kerf"), "the rules of River cutters");
        assert!(own.basis("web").starts_with("Fiber laser:"));
        assert_eq!(usual_service("chisel"), None);
    }

    #[test]
    fn mends_change_one_rule() {
        let jet = usual_service("waterjet").unwrap();
        assert_eq!(jet.mended(ServiceMend::LeaveOn { mm: 0.6 }).left_on_mm, 0.6);
        assert!(jet.mended(ServiceMend::MarkSmallHoles).marks_small_holes);
        let mut one = jet.clone();
        one.file.layers = FileLayers::One("0".to_owned());
        let split = one.mended(ServiceMend::SplitLayers);
        assert_eq!(split.file.layers, FileLayers::CutNamed("0".to_owned()));
        assert_eq!(jet.mended(ServiceMend::SplitLayers), jet);
    }
}
