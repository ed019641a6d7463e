//! `build`: the work on one knife or all of them, step by step, on paper and in words.

use super::args::BuildArguments;
use super::complaint::{Complaint, one_line};
use super::shop::Shop;
use super::table::{Side, aligned};
use super::{Answer, choose, open};
use crate::files::write_atomically;
use crate::sheet::{
    BuildOptions, BuildStep, Item, PdfOptions, build_pages, build_steps, write_pdf,
};

pub(super) fn run(asked: &BuildArguments) -> Result<Answer, Complaint> {
    let set = open::design(&asked.file)?;
    let knives = choose::knives(&set, asked.knife.as_deref())?;
    let title = match knives.as_slice() {
        [knife] => knife.name.clone(),
        _ => set.name.clone(),
    };
    let shop = Shop::load();
    let options = BuildOptions {
        left_on_mm: shop.figures.left_on_mm,
        ..BuildOptions::default()
    };
    let steps = build_steps(knives.into_iter().map(AsRef::as_ref), &set, options);
    let mut text = told(&steps);
    if let Some(out) = &asked.out {
        let pages =
            build_pages(&title, &steps, &shop.pages(asked.paper)).map_err(Complaint::bad)?;
        let pdf = PdfOptions {
            title: format!("{title}: build sheet"),
            ..PdfOptions::default()
        };
        let bytes = write_pdf(&pages, &pdf).map_err(Complaint::bad)?;
        write_atomically(out, &bytes).map_err(|error| Complaint::bad_file(out, &error))?;
        text.push_str(&format!("{}\n", out.display()));
    }
    Ok(Answer {
        text,
        notes: shop.notes,
        ..Answer::default()
    })
}

/// The steps in words.
fn told(steps: &[BuildStep]) -> String {
    let mut text = String::new();
    for (place, step) in steps.iter().enumerate() {
        text.push_str(&format!("{}  {}\n", place + 1, step.heading));
        for caution in &step.cautions {
            text.push_str(&format!("  ! {caution}\n"));
        }
        for share in &step.shares {
            text.push_str(&format!("  {}\n", one_line(&share.knife)));
            for item in &share.items {
                match item {
                    Item::Line(line) => text.push_str(&format!("    {}\n", one_line(line))),
                    Item::Table(table) => {
                        text.push_str(&format!("    {}\n", one_line(&table.title)));
                        let rows: Vec<Vec<String>> = std::iter::once(&table.columns)
                            .chain(&table.rows)
                            .map(|row| row.iter().map(|cell| one_line(cell)).collect())
                            .collect();
                        let sides = vec![Side::Left; table.columns.len()];
                        text.push_str(&aligned(&rows, &sides, "      "));
                    }
                }
            }
        }
        text.push('\n');
    }
    text
}
