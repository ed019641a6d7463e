//! What cutting files leave for the bench: as asked, as the service wants it, or as the shop usually does.

use clap::Args;

use super::complaint::Complaint;
use super::shop::Shop;
use crate::catalog::{Service, usual_service};
use crate::sheet::{ExportOptions, LeftForBench};

/// What is left for the bench.
#[derive(Debug, Args)]
pub(super) struct LeftArguments {
    /// Steel the cutting files leave on all round, for the grinder, mm; else as the service or the shop's own figure says
    #[arg(long, value_name = "MM")]
    allowance: Option<f64>,
    /// How much smaller than drawn round holes are cut, for the reamer, mm; else as the service or the shop's own figure says
    #[arg(long, value_name = "MM")]
    holes_under: Option<f64>,
    /// Way of cutting, or a service of your own: the file is written by its rules; for a way of cutting, holes too small for it are marked to be drilled
    #[arg(long, value_name = "NAME")]
    service: Option<String>,
}

impl LeftArguments {
    /// The service with what is left as asked, or as its rules or the shop's figures say.
    fn service(&self, shop: &Shop) -> Result<Service, Complaint> {
        let mm = |flag: &str, asked: Option<f64>, usual: f64| match asked {
            Some(mm) if !(mm >= 0.0 && mm.is_finite()) => Err(Complaint::wrong_use(format!(
                "{flag} {mm}: give millimeters, 0 or more"
            ))),
            asked => Ok(asked.unwrap_or(usual)),
        };
        let mut service = shop.service(self.service.as_deref())?;
        if self.service.as_deref().and_then(usual_service).is_some() {
            // A way of cutting says nothing of the shop's habits.
            service.left_on_mm = shop.figures.left_on_mm;
            service.holes_under_mm = shop.figures.holes_under_mm;
            service.marks_small_holes = service.hole.is_some();
        }
        service.left_on_mm = mm("--allowance", self.allowance, service.left_on_mm)?;
        service.holes_under_mm = mm("--holes-under", self.holes_under, service.holes_under_mm)?;
        Ok(service)
    }

    /// As asked, or as the service or the shop's figures say.
    pub(super) fn left(&self, shop: &Shop) -> Result<LeftForBench, Complaint> {
        Ok(LeftForBench::of(&self.service(shop)?))
    }

    /// Puts what is left and the file the service asks for into export options.
    pub(super) fn put(&self, shop: &Shop, options: &mut ExportOptions) -> Result<(), Complaint> {
        let service = self.service(shop)?;
        options.left = LeftForBench::of(&service);
        options.file = service.file;
        Ok(())
    }
}
