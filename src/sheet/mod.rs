//! What leaves the program: one neutral [`Sheet`] of shapes with roles, what is made of it, and the writers.
//!
//! The window draws a sheet and the SVG, DXF and PDF writers write it, so what is seen is what is cut. Writers know sheets only. All of it is
//! pure: a design in, bytes out; the same design gives the same bytes.

#[cfg(test)]
mod bench;
mod dxf;
mod error;
mod font;
mod marks;
mod model;
mod number;
mod parts;
mod placing;
mod svg;
mod template;

pub use dxf::{DXF_TOLERANCE_MM, DxfCurves, DxfLayers, DxfOptions, DxfVersion, write_dxf};
pub use error::{Reason, Refused};
pub use model::{Anchor, Entity, Role, Shape, Sheet, Text};
pub use parts::{cutting_sheet, guard_sheet};
pub use svg::{SvgOptions, write_svg};
pub use template::{TemplateOptions, template};
