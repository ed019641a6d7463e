//! Facts the bench relies on: materials, drills, stock sizes, paper, what cutting services can do, and rules of practice.
//!
//! Everything here is read once from the CSV tables in `assets/`, which are part of the program; each row keeps its source and how far it was
//! checked. Lengths are millimeters, densities g/cm³, masses grams, angles degrees per side as the trade states them.
//!
//! The tables cannot fail at run time: the parsers return errors that name table, row and column, and the tests of this room run them over
//! every embedded table.

mod cutting;
mod drill;
mod known_sheet;
mod material;
mod paper;
mod practice;
mod service;
mod stock;
mod table;

pub use cutting::{
    CuttingProcess, CuttingRule, LIMITED, Limit, LimitBasis, cutting_process, cutting_processes,
    cutting_rules,
};
pub use drill::{Drill, DrillSet, drill_named, drills, largest_drill_within, nearest_drills};
pub use known_sheet::{KnownSheet, known_sheet, known_sheets};
pub use material::{Material, MaterialCategory, material, materials, materials_in, may_skate};
pub use paper::{
    CARD_MM, PAPER_POINT_MM, PRINTER_MARGIN_MM, PaperFact, PaperSize, TILE_OVERLAP_MM, paper,
    paper_facts, papers,
};
pub use practice::{
    BladeUse, EdgeClass, HiddenTang, PracticeRule, SizeRange, StubTang, balance_range_mm, cautions,
    edge_class, hidden_tang, mass_range_g, practice, practice_rule, size_range, slip_fit_drills,
    smallest_web_mm, stub_tang, tang_hole_range_mm,
};
pub use service::{
    CuttingFile, FileCurves, FileEdition, FileLayers, FileUnit, MOST_SERVICES, Service,
    ServiceError, ServiceField, ServiceMend, usual_service, usual_services,
};
pub use stock::{StockKind, StockSize, stock, stock_of};
pub use table::{TableError, Verified};
