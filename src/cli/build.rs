//! `build`: the work on one knife or all of them, step by step, on paper and in words.

use super::args::BuildArguments;
use super::complaint::{Complaint, one_line};
use super::shop::Shop;
use super::{Answer, choose, open};
use crate::files::write_atomically;
use crate::sheet::{PdfOptions, build_sheet, build_steps, tiles, write_pdf};
use crate::units::LengthFormat;

/// Air between the words and the border of a page, mm, on all sides together.
const AIR_MM: f64 = 6.0;

pub(super) fn run(asked: &BuildArguments) -> Result<Answer, Complaint> {
    let set = open::design(&asked.file)?;
    let knives = choose::knives(&set, asked.knife.as_deref())?;
    let title = match knives.as_slice() {
        [knife] => knife.name.clone(),
        _ => set.name.clone(),
    };
    let steps = build_steps(
        knives.into_iter().map(AsRef::as_ref),
        &set,
        LengthFormat::default(),
    );
    let mut text = String::new();
    for (place, step) in steps.iter().enumerate() {
        text.push_str(&format!("{}  {}\n", place + 1, step.heading));
        for caution in &step.cautions {
            text.push_str(&format!("  ! {caution}\n"));
        }
        for share in &step.shares {
            text.push_str(&format!("  {}\n", one_line(&share.knife)));
            for line in &share.lines {
                text.push_str(&format!("    {}\n", one_line(line)));
            }
        }
        text.push('\n');
    }
    if let Some(out) = &asked.out {
        let options = Shop::load().pages(asked.paper);
        let room = |paper_mm: f64, margin_mm: f64| paper_mm - 2.0 * margin_mm - AIR_MM;
        let (width, height) = (
            room(options.paper_width_mm, options.margin_mm),
            room(options.paper_height_mm, options.margin_mm + BARS_MM),
        );
        let mut pages = Vec::new();
        for sheet in build_sheet(&title, &steps, width, height) {
            let own = tiles(&sheet, &options).map_err(Complaint::bad)?;
            pages.extend(own);
        }
        let bytes = write_pdf(&pages, &PdfOptions::default()).map_err(Complaint::bad)?;
        write_atomically(out, &bytes).map_err(|error| Complaint::bad_file(out, &error))?;
        text.push_str(&format!("{}\n", out.display()));
    }
    Ok(Answer {
        text,
        ..Answer::default()
    })
}

/// Room for the check bars below and beside the words, mm.
const BARS_MM: f64 = 14.0;
