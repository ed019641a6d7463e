//! A sheet as DXF: the drawing exchange format of R2000 (AC1015) or R12 (AC1009), as text.
//!
//! One entity for each contour. Curves become chains of arcs within a stated tolerance (polylines with bulges) or stay exact as splines. Units are
//! millimeters, or inches where a service asks for them. A file holds every section and table its version asks for, with handles that are unique and owners that exist, so that a
//! strict reader has nothing to mend. The layout of the sections follows the published "DXF Reference" for AutoCAD 2000 and Release 12.

mod entities;
mod pairs;
mod r12;
mod r2000;
mod shapes;

use super::model::{Role, Sheet};
use crate::catalog::{FileLayers, FileUnit};

/// Which edition of the format is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DxfVersion {
    /// R2000: lightweight polylines, splines.
    #[default]
    R2000,
    /// R12: old-style polylines, no splines. For cutters and programs that read nothing newer.
    R12,
}

/// What becomes of curves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DxfCurves {
    /// Arcs within this distance of the curve, mm.
    Arcs {
        /// Largest distance, mm, positive.
        tolerance_mm: f64,
    },
    /// Splines that are the curve itself. Contours of lines and arcs alone stay polylines, which are exact for them. R12 knows no
    /// splines and gets arcs of [`DXF_TOLERANCE_MM`].
    Splines,
}

/// How far fitted arcs may leave the curve, mm, unless asked otherwise: a tenth of what a waterjet holds.
pub const DXF_TOLERANCE_MM: f64 = 0.01;

/// The finest tolerance that is honored, mm: below it arcs would outnumber the digits of a file.
const FINEST_TOLERANCE_MM: f64 = 1e-5;

/// How a DXF is written.
#[derive(Clone, Debug, PartialEq)]
pub struct DxfOptions {
    /// Edition of the format.
    pub version: DxfVersion,
    /// What becomes of curves.
    pub curves: DxfCurves,
    /// Layers; signs in their names that the format does not allow become `_`.
    pub layers: FileLayers,
    /// What a unit of the file is.
    pub unit: FileUnit,
    /// Roles that are written.
    pub roles: Vec<Role>,
}

impl Default for DxfOptions {
    fn default() -> Self {
        Self {
            version: DxfVersion::R2000,
            curves: DxfCurves::Arcs {
                tolerance_mm: DXF_TOLERANCE_MM,
            },
            layers: FileLayers::ByRole,
            unit: FileUnit::Mm,
            roles: Role::CUTTING.to_vec(),
        }
    }
}

impl DxfOptions {
    /// The tolerance for arcs, mm; `None` when curves stay splines.
    fn arc_tolerance(&self) -> Option<f64> {
        match (self.curves, self.version) {
            (DxfCurves::Arcs { tolerance_mm }, _) if tolerance_mm.is_finite() => {
                Some(tolerance_mm.max(FINEST_TOLERANCE_MM))
            }
            (DxfCurves::Splines, DxfVersion::R2000) => None,
            _ => Some(DXF_TOLERANCE_MM),
        }
    }

    /// The layer of a role.
    fn layer(&self, role: Role) -> String {
        match &self.layers {
            FileLayers::CutNamed(name) if role == Role::Cut => pairs::symbol_name(name),
            FileLayers::One(name) => pairs::symbol_name(name),
            _ => role.name().to_owned(),
        }
    }

    /// All layers that are used, each once, besides the layer `0` that every file has.
    fn layer_names(&self) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for role in Role::ALL {
            let name = self.layer(role);
            if self.roles.contains(&role) && name != "0" && !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }
}

/// The sheet as the text of a DXF file: ASCII, lines ended by carriage return and line feed. The same sheet and options
/// give the same text.
#[must_use]
pub fn write_dxf(sheet: &Sheet, options: &DxfOptions) -> String {
    let drawn = sheet.only(&options.roles);
    match options.version {
        DxfVersion::R2000 => r2000::write(&drawn, options),
        DxfVersion::R12 => r12::write(&drawn, options),
    }
}

#[cfg(test)]
mod tests;
