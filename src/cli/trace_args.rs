//! What `trace` can be asked.

use std::path::PathBuf;

use clap::{ArgGroup, Args};

use crate::geometry::Point;
use crate::knife::PICTURE_SCALE;

/// Places in the picture are in pixels from its upper left corner, as any viewer of pictures tells them, upright.
#[derive(Debug, Args)]
#[command(group(ArgGroup::new("size").required(true).args(["sheet", "apart", "scale"])))]
pub(super) struct TraceArguments {
    /// Picture of a knife on plain ground, PNG or JPEG
    #[arg(value_name = "PICTURE")]
    pub picture: PathBuf,
    /// Design file to write
    #[arg(long, value_name = "SET.tangwright")]
    pub out: PathBuf,
    /// Sheet of known size in the picture: a4, letter, card, ...
    #[arg(long, value_name = "SHEET", requires = "corners")]
    pub sheet: Option<String>,
    /// Its four corners, pixels: '812,1904 2893,1733 2571,402 1003,511'
    #[arg(long, value_name = "X,Y ...", value_parser = places, requires = "sheet")]
    pub corners: Option<Places>,
    /// The knife lies beside the sheet, not on it
    #[arg(long, requires = "sheet")]
    pub beside: bool,
    /// True distance of two places in the picture: mm, or inch as 4in
    #[arg(long, value_name = "LENGTH", value_parser = super::nest_args::length, requires = "places")]
    pub apart: Option<f64>,
    /// The two places, pixels: '310,200 2110,212'
    #[arg(long, value_name = "X,Y X,Y", value_parser = places, requires = "apart")]
    pub places: Option<Places>,
    /// Size of a pixel, mm
    #[arg(long, value_name = "MM", value_parser = scale)]
    pub scale: Option<f64>,
    /// From which darkness on a pixel is knife, 0 to 1; told from the shadow if not given
    #[arg(long, value_name = "SHARE", value_parser = share)]
    pub darkness: Option<f64>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// Places in a picture, pixels.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Places(pub Vec<Point>);

fn places(text: &str) -> Result<Places, String> {
    let place = |pair: &str| {
        let (x, y) = pair.split_once(',')?;
        let number = |text: &str| text.parse::<f64>().ok().filter(|n| n.is_finite());
        Some(Point::new(number(x)?, number(y)?))
    };
    let all: Option<Vec<Point>> = text.split_whitespace().map(place).collect();
    all.filter(|all| !all.is_empty())
        .map(Places)
        .ok_or_else(|| "give places as x,y with a blank between them: 310,200 2110,212".to_owned())
}

fn scale(text: &str) -> Result<f64, String> {
    let (low, high) = PICTURE_SCALE;
    match text.trim().parse::<f64>() {
        Ok(mm) if (low..=high).contains(&mm) => Ok(mm),
        _ => Err(format!("give the size of a pixel from {low} to {high} mm")),
    }
}

fn share(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(share) if (0.0..=1.0).contains(&share) => Ok(share),
        _ => Err("give a number from 0 to 1".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_pairs_of_numbers() {
        let found = places(" 1,2.5  -3,4 ").unwrap();
        assert_eq!(found.0, [Point::new(1.0, 2.5), Point::new(-3.0, 4.0)]);
        for bad in ["", "1", "1,2 3", "1,NaN", "a,b", "1;2"] {
            assert!(places(bad).is_err(), "{bad}");
        }
        assert!(scale("0").is_err() && scale("nan").is_err() && scale("0.1").is_ok());
        assert!(share("1.2").is_err() && share("0.4").is_ok());
    }
}
