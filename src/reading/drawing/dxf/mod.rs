//! DXF as strokes: pairs of a code and a value, grouped into entities, blocks laid out where they are inserted.
//!
//! Read here by hand, entity by entity, because the format lets a few bytes ask for billions of things: nothing is made before it is counted, and
//! the counts that stand in a file are never believed. The layout of entities follows the published "DXF Reference" of AutoCAD 2000 and Release 12.

mod blocks;
mod curves;
mod entities;
mod pairs;
mod record;
mod spline;

use super::error::ImportError;
use super::units::UnitFound;
use super::{DrawingFormat, Drawn};
use crate::units::MM_PER_INCH;
use blocks::Layout;
use pairs::{Pair, Pairs};

/// Whether text begins as a DXF does: with a group code 0 or a comment, 999.
pub(super) fn looks_like(begin: &[u8]) -> bool {
    let first = begin.split(|b| *b == b'\n').next().unwrap_or_default();
    matches!(first.trim_ascii(), b"0" | b"999")
}

/// Reads a DXF.
pub(super) fn read(text: &[u8]) -> Result<Drawn, ImportError> {
    let mut pairs = Pairs::new(text);
    let mut layout = Layout::default();
    let mut unit = UnitFound::Untold;
    let mut ended = false;
    while let Some(pair) = pairs.next()? {
        match (pair.code, pair.value) {
            (0, b"EOF") => {
                ended = true;
                break;
            }
            (0, b"SECTION") => match section_name(&mut pairs)? {
                b"HEADER" => unit = header_unit(&mut pairs)?,
                b"TABLES" => layout.read_tables(&mut pairs)?,
                b"BLOCKS" => layout.read_blocks(&mut pairs)?,
                b"ENTITIES" => layout.read_entities(&mut pairs)?,
                _ => skip_section(&mut pairs)?,
            },
            _ => {}
        }
    }
    if !ended {
        return Err(pairs.error(
            "the file ends before its EOF mark, so a part is missing: copy or save it again",
        ));
    }
    let (strokes, left_out) = layout.laid_out()?;
    Ok(Drawn {
        format: DrawingFormat::Dxf,
        strokes,
        unit,
        left_out,
        coarse: false,
    })
}

fn section_name<'a>(pairs: &mut Pairs<'a>) -> Result<&'a [u8], ImportError> {
    match pairs.next()? {
        Some(Pair { code: 2, value }) => Ok(value),
        _ => Err(pairs.error("a section without a name: save the drawing again as DXF")),
    }
}

fn skip_section(pairs: &mut Pairs<'_>) -> Result<(), ImportError> {
    while let Some(pair) = pairs.next()? {
        if pair.code == 0 && pair.value == b"ENDSEC" {
            break;
        }
    }
    Ok(())
}

/// The unit of `$INSUNITS`.
fn header_unit(pairs: &mut Pairs<'_>) -> Result<UnitFound, ImportError> {
    let mut unit = UnitFound::Untold;
    let mut asked = false;
    while let Some(pair) = pairs.next()? {
        match (pair.code, pair.value) {
            (0, b"ENDSEC") => break,
            (9, name) => asked = name == b"$INSUNITS",
            (70, _) if asked => unit = unit_of(pairs.whole(&pair)?),
            _ => {}
        }
    }
    Ok(unit)
}

/// The units of the DXF Reference, header variable `$INSUNITS`, that a workshop could mean.
fn unit_of(code: i64) -> UnitFound {
    let (name, mm) = match code {
        1 => ("in", MM_PER_INCH),
        2 => ("ft", 12.0 * MM_PER_INCH),
        4 => ("mm", 1.0),
        5 => ("cm", 10.0),
        6 => ("m", 1000.0),
        8 => ("microinches", MM_PER_INCH * 1e-6),
        9 => ("mils", MM_PER_INCH * 1e-3),
        10 => ("yd", 36.0 * MM_PER_INCH),
        13 => ("microns", 1e-3),
        14 => ("dm", 100.0),
        _ => return UnitFound::Untold,
    };
    UnitFound::Told {
        name,
        mm,
        per_unit: 1.0,
    }
}
