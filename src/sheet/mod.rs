//! What leaves the program: one neutral [`Sheet`] of shapes with roles, what is made of it, and the writers.
//!
//! The window draws a sheet and the SVG, DXF and PDF writers write it, so what is seen is what is cut. Writers know sheets only. All of it is
//! pure: a design in, bytes out; the same design gives the same bytes.

mod allowance;
mod batch;
#[cfg(test)]
mod bench;
mod build;
mod dxf;
mod error;
pub mod exports;
mod folded;
mod font;
mod guard;
mod handle;
mod marks;
mod model;
mod nest;
mod number;
mod page_marks;
mod pages;
mod parts;
mod pdf;
mod pilots;
mod placing;
mod printer;
mod rack_csv;
mod slug;
mod strip;
mod svg;
#[cfg(test)]
mod svg_back;
mod tabs;
mod template;
mod together;

pub use allowance::{LeftForBench, as_cut};
pub use batch::Counts;
pub use build::{
    BuildOptions, BuildStep, BuildTable, Item, Share, ToldKnife, build_pages, build_steps, steps_of,
};
pub use dxf::{DXF_TOLERANCE_MM, DxfCurves, DxfOptions, DxfVersion, write_dxf};
pub use error::{Reason, Refused};
pub use exports::{ExportError, ExportFile, ExportKind, ExportOptions, export_knife, export_set};
pub use folded::folded_template;
pub use guard::{guard_as_cut, guard_sheet};
pub use handle::handle_sheet;
pub use model::{Anchor, Entity, Role, Shape, Sheet, Text};
pub use nest::{
    knife_blank, nest_bars, nest_blank, nest_files, nest_of_several_bars, nest_sheet, nest_words,
};
pub use pages::{BAR_INCH_MM, BAR_MM, Page, PageError, PageOptions, tiles};
pub use parts::cutting_sheet;
pub use pdf::{PdfError, PdfOptions, write_pdf};
pub use pilots::pilot_holes;
pub use printer::{BarError, PrinterBars, PrinterFactors, printer_page};
pub use rack_csv::{rack_csv, rack_file};
pub use slug::slug;
pub use strip::{scribing_strip, spine_strip};
pub use svg::{SvgOptions, write_svg};
pub use tabs::Tabs;
pub use template::{TemplateOptions, template};
