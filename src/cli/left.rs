//! What cutting files leave for the bench: as asked, or as the shop usually does.

use clap::Args;
use clap::builder::{PossibleValue, PossibleValuesParser};

use super::complaint::Complaint;
use crate::catalog::{cutting_process, cutting_processes};
use crate::checks::Thresholds;
use crate::sheet::LeftForBench;

/// What is left for the bench.
#[derive(Debug, Args)]
pub(super) struct LeftArguments {
    /// Steel the cutting files leave on all round, for the grinder, mm; else the shop's own figure
    #[arg(long, value_name = "MM")]
    allowance: Option<f64>,
    /// How much smaller than drawn round holes are cut, for the reamer, mm; else the shop's own figure
    #[arg(long, value_name = "MM")]
    holes_under: Option<f64>,
    /// Way of cutting: holes too small for it are marked to be drilled
    #[arg(long, value_name = "NAME", value_parser = ways_of_cutting())]
    service: Option<String>,
}

/// The ways of cutting the catalog knows.
fn ways_of_cutting() -> PossibleValuesParser {
    cutting_processes()
        .iter()
        .map(|process| PossibleValue::new(process.key.as_str()))
        .collect::<Vec<_>>()
        .into()
}

impl LeftArguments {
    /// As asked, or as the shop's figures say.
    pub(super) fn left(&self, figures: &Thresholds) -> Result<LeftForBench, Complaint> {
        let mm = |flag: &str, asked: Option<f64>, usual: f64| match asked {
            Some(mm) if !(mm >= 0.0 && mm.is_finite()) => Err(Complaint::wrong_use(format!(
                "{flag} {mm}: give millimeters, 0 or more"
            ))),
            asked => Ok(asked.unwrap_or(usual)),
        };
        let process = self.service.as_deref().and_then(cutting_process);
        Ok(LeftForBench {
            allowance_mm: mm("--allowance", self.allowance, figures.left_on_mm)?,
            holes_under_mm: mm("--holes-under", self.holes_under, figures.holes_under_mm)?,
            smallest_hole: process.and_then(|process| process.hole),
        })
    }
}
