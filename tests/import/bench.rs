//! What every test of reading drawings uses.

use tangwright::geometry::Point;
use tangwright::reading::drawing::{
    ImportError, ImportOptions, Imported, OpeningShape, read_drawing,
};

/// Reads with the usual options.
pub(crate) fn read(text: &str) -> Result<Imported, ImportError> {
    read_drawing(text.as_bytes(), "drawing.x", &ImportOptions::default())
}

/// Reads what must be readable.
pub(crate) fn good(text: &str) -> Imported {
    read(text).unwrap_or_else(|error| panic!("{error}\n{}", text.get(..2000).unwrap_or(text)))
}

/// The message of what must not be readable.
pub(crate) fn refused(text: &str) -> String {
    match read(text) {
        Ok(read) => panic!("it was read: {:?}", read.size_mm),
        Err(error) => error.to_string(),
    }
}

/// Centers and diameters of the round holes, from left to right.
pub(crate) fn holes(read: &Imported) -> Vec<(Point, f64)> {
    let mut holes: Vec<(Point, f64)> = read
        .openings
        .iter()
        .filter_map(|opening| match opening.shape {
            OpeningShape::Round {
                center,
                diameter_mm,
            } => Some((center, diameter_mm)),
            _ => None,
        })
        .collect();
    holes.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
    holes
}

/// A DXF of some entities, in millimeters.
pub(crate) fn dxf(entities: &str) -> String {
    dxf_with("", entities)
}

/// A DXF of some blocks and entities, in millimeters. Pairs may be written on one line, parted by a bar.
pub(crate) fn dxf_with(blocks: &str, entities: &str) -> String {
    format!(
        "0|SECTION|2|HEADER|9|$INSUNITS|70|4|0|ENDSEC|\
         0|SECTION|2|BLOCKS|{blocks}0|ENDSEC|0|SECTION|2|ENTITIES|{entities}0|ENDSEC|0|EOF|"
    )
    .replace('|', "\n")
}

/// A closed rectangle as a lightweight polyline.
pub(crate) fn plate(x0: f64, y0: f64, x1: f64, y1: f64) -> String {
    format!(
        "0|LWPOLYLINE|8|0|90|4|70|1|10|{x0}|20|{y0}|10|{x1}|20|{y0}|10|{x1}|20|{y1}|10|{x0}|20|{y1}|"
    )
}

/// An SVG in millimeters.
pub(crate) fn svg(inside: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" \
         width=\"200mm\" height=\"100mm\" viewBox=\"0 0 200 100\" fill=\"none\" stroke=\"black\">{inside}</svg>"
    )
}
