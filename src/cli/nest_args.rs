//! What `nest` is told: stock, counts, gap, margin, time.

use std::path::PathBuf;

use clap::{ArgGroup, Args};

use super::args::UnitArgument;
use super::counts::CountArguments;
use super::left::LeftArguments;
use crate::units::{LengthUnit, read_length};

/// The longest a search may be asked to take, s.
const LONGEST_S: f64 = 3600.0;

#[derive(Debug, Args)]
#[command(after_help = "\
The bar's length runs along x, and knives lie along it: as drawn or turned end for end, so that the rolling direction runs \
along the blade. An odd piece, such as a forging, is a drawing (SVG, DXF: its largest outline; what lies within are flaws to keep out of), a design whose first \
knife is that piece with its marked flaws, or typed corners: --piece '0,0 300,0 280,60 0,55' --flaw 120,30,4.\n\
What is nested is what is cut: the outlines with the steel that is left on. DIR gets nest.dxf (outlines and holes) and nest.svg (with the edge of the stock and names).\n\
JSON places a knife by mirroring it (y to -y) if `mirrored`, then turning it by `turn_deg` counterclockwise about its own origin (shoulder line), \
then shifting it by `x_mm`, `y_mm`; the corner of a bar is at 0, 0, an odd piece lies as it was drawn.\n\
Exit code 1 also when a knife is left over; the files are written all the same.")]
#[command(group = ArgGroup::new("stock").required(true).args(["bar", "sheet", "piece"]))]
pub(super) struct NestArguments {
    /// Design files; every knife of each is laid
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// Bar to cut from, such as 50x1000 or 2x36in
    #[arg(long, value_name = "WIDTHxLENGTH", value_parser = bar)]
    pub bar: Option<Bar>,
    /// Sheet to cut from; its first size runs along the rolling direction
    #[arg(long, value_name = "WxH", value_parser = sheet)]
    pub sheet: Option<Bar>,
    /// Odd piece to cut from: a drawing, a design, or its corners
    #[arg(long, value_name = "FILE|CORNERS")]
    pub piece: Option<String>,
    /// A place of the odd piece to keep out of and how far it reaches around it; may be given again
    #[arg(
        long,
        value_name = "X,Y,R",
        requires = "piece",
        allow_hyphen_values = true
    )]
    pub flaw: Vec<String>,
    /// What one unit of the piece's drawing is, if the file does not say
    #[arg(long, value_enum)]
    pub units: Option<UnitArgument>,
    /// Least distance between two knives
    #[arg(long, value_name = "MM", value_parser = length)]
    pub gap: f64,
    /// Least distance from the edge of the stock; the gap unless told otherwise
    #[arg(long, value_name = "MM", value_parser = length)]
    edge: Option<f64>,
    /// Folder to write to; it is made if need be
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
    #[command(flatten)]
    pub counts: CountArguments,
    /// Let knives lie across the rolling direction too, in steps of 15 degrees
    #[arg(long)]
    pub any_turn: bool,
    /// Let knives be cut with the other face up; one whose bar has its core off the middle never is
    #[arg(long)]
    pub mirror: bool,
    /// Longest time to search
    #[arg(long, value_name = "N", default_value_t = 10.0, value_parser = seconds)]
    pub seconds: f64,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    #[command(flatten)]
    pub left: LeftArguments,
}

/// A bar or a sheet, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bar {
    /// Along y.
    pub width_mm: f64,
    /// Along x, the rolling direction.
    pub length_mm: f64,
}

impl NestArguments {
    /// Distance from its edge, mm.
    pub(super) fn edge(&self) -> f64 {
        self.edge.unwrap_or(self.gap)
    }
}

pub(super) fn length(text: &str) -> Result<f64, String> {
    read_length(text, LengthUnit::Mm)
        .map(|length| length.to_mm())
        .map_err(|error| error.to_string())
}

fn bar(text: &str) -> Result<Bar, String> {
    let (width_mm, length_mm) = sizes(text)?;
    Ok(Bar {
        width_mm,
        length_mm,
    })
}

fn sheet(text: &str) -> Result<Bar, String> {
    let (length_mm, width_mm) = sizes(text)?;
    Ok(Bar {
        width_mm,
        length_mm,
    })
}

/// Two lengths with an x between; a unit behind the second alone is that of both.
pub(super) fn sizes(text: &str) -> Result<(f64, f64), String> {
    let Some((first, second)) = text.split_once(['x', 'X', '×']) else {
        return Err("give two sizes with an x between, such as 50x1000".to_owned());
    };
    let (first, second) = (first.trim(), second.trim());
    let number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' ');
    let unit = second.trim_start_matches(number);
    let first = if first.ends_with(|c: char| c.is_ascii_digit()) {
        format!("{first}{unit}")
    } else {
        first.to_owned()
    };
    Ok((length(&first)?, length(second)?))
}

fn seconds(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(seconds) if (0.0..=LONGEST_S).contains(&seconds) => Ok(seconds),
        _ => Err(format!("give seconds from 0 to {LONGEST_S}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_take_units_as_everywhere() {
        for (text, expected) in [
            ("50x1000", (50.0, 1000.0)),
            ("50 × 1000 mm", (50.0, 1000.0)),
            ("2x36in", (50.8, 914.4)),
            ("1 1/2\" X 36\"", (38.1, 914.4)),
            ("50mm x 1m", (50.0, 1000.0)),
            ("40,5x600", (40.5, 600.0)),
        ] {
            let (a, b) = sizes(text).expect(text);
            assert!(
                (a - expected.0).abs() < 1e-9 && (b - expected.1).abs() < 1e-9,
                "{text}"
            );
        }
        for bad in [
            "",
            "50",
            "x",
            "50x",
            "x1000",
            "50x1000x3",
            "wide x long",
            "NaNx5",
        ] {
            assert!(sizes(bad).is_err(), "{bad}");
        }
        let lies = |width_mm, length_mm| {
            Ok(Bar {
                width_mm,
                length_mm,
            })
        };
        assert_eq!(bar("50x1000"), lies(50.0, 1000.0));
        assert_eq!(sheet("500x300"), lies(300.0, 500.0));
    }

    #[test]
    fn seconds_end() {
        assert_eq!(seconds("0.5"), Ok(0.5));
        for bad in ["-1", "NaN", "inf", "1e9", "soon"] {
            assert!(seconds(bad).is_err(), "{bad}");
        }
    }
}
