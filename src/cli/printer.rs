//! `printer`: the page a printer is trued by, and what it tells taken into the settings.

use super::Answer;
use super::args::PrinterArguments;
use super::complaint::Complaint;
use super::shop::Shop;
use crate::files::{Folders, Settings, write_atomically};
use crate::sheet::{PdfOptions, PrinterBars, PrinterFactors, printer_page, write_pdf};

pub(super) fn run(asked: &PrinterArguments) -> Result<Answer, Complaint> {
    let options = Shop::load().pages(asked.paper);
    let mut answer = Answer::default();
    if let Some(out) = &asked.out {
        let pages = printer_page(&options).map_err(Complaint::bad)?;
        let bytes = write_pdf(&pages, &PdfOptions::default()).map_err(Complaint::bad)?;
        write_atomically(out, &bytes).map_err(|error| Complaint::bad_file(out, &error))?;
        answer.text.push_str(&format!("{}\n", out.display()));
    }
    if let (Some(long), Some(short)) = (asked.long, asked.short) {
        let bars = PrinterBars::on(&options).map_err(Complaint::bad)?;
        let factors = bars.factors(long, short).map_err(Complaint::bad)?;
        keep(factors, &mut answer)?;
    } else if asked.plain {
        keep(PrinterFactors::PLAIN, &mut answer)?;
    }
    Ok(answer)
}

fn keep(PrinterFactors { x, y }: PrinterFactors, answer: &mut Answer) -> Result<(), Complaint> {
    let folders = Folders::find().map_err(Complaint::bad)?;
    let loaded = Settings::load(&folders);
    answer.notes.extend(loaded.messages);
    let mut settings = loaded.settings;
    (settings.printer_x, settings.printer_y) = (x, y);
    settings.save(&folders).map_err(Complaint::bad)?;
    answer.text.push_str(&format!(
        "every page is printed × {x:.4} along the shorter side of the paper and × {y:.4} along the longer\n"
    ));
    Ok(())
}
