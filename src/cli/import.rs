//! `import`: drawings made elsewhere to a design, one knife for each; all of them or none.

use std::fs::File;
use std::io::Read;
use std::path::Path;
use std::sync::Arc;

use super::args::ImportArguments;
use super::complaint::{Complaint, about, one_line};
use super::import_json::{ImportAnswer, KnifeAnswer};
use super::table::{Side, aligned};
use super::{Answer, BAD_INPUT, WRONG_USE, new, open};
use crate::files::write_atomically;
use crate::knife::{Id, Knife, KnifeSet, MOST_KNIVES, set_faults};
use crate::reading::design_file;
use crate::reading::drawing::{
    FIRST_THICKNESS_MM, ImportError, ImportOptions, Imported, MOST_BYTES, Opening, OpeningShape,
    read_drawing,
};
use crate::units::{Length, LengthFormat};

/// Most cut-outs and left out things that are listed for people; JSON has all.
const MOST_LISTED: usize = 24;

pub(super) fn run(asked: &ImportArguments) -> Result<Answer, Complaint> {
    new::free(&asked.out)?;
    if asked.files.len() > MOST_KNIVES {
        return Err(Complaint::wrong_use(format!(
            "{} files; at most {MOST_KNIVES} knives fit in one set",
            asked.files.len()
        )));
    }
    let options = ImportOptions {
        unit: asked.units.map(super::args::UnitArgument::unit),
        scale: asked.scale,
        join_mm: asked.join,
        blade_mm: asked.blade,
        as_drawn: false,
    };
    let read = read_all(&asked.files, &options)?;
    let set = set_of(&asked.out, &read);
    // Every part was judged when it was read; this is the last look before anything is written.
    if let Some(fault) = set_faults(&set).first() {
        return Err(Complaint::bad_file(&asked.out, fault));
    }
    let text = design_file::write(&set);
    write_atomically(&asked.out, text.as_bytes())
        .map_err(|error| Complaint::bad_file(&asked.out, &error))?;
    let knives = || set.knives.iter().map(AsRef::as_ref).zip(&read);
    let text = if asked.json {
        open::json(&ImportAnswer {
            out: asked.out.display().to_string(),
            thickness_mm: FIRST_THICKNESS_MM,
            material: new::FIRST_BAR,
            knives: knives()
                .map(|(knife, read)| KnifeAnswer::new(knife, read))
                .collect(),
        })?
    } else {
        let mut text: String = knives().map(|(knife, read)| told(knife, read)).collect();
        let bar = new::material(new::FIRST_BAR).map_or_else(String::new, |m| m.name);
        text.push_str(&format!(
            "The bar is taken as {} of {bar}, nothing ground: set it in the window.\n{}\n",
            mm(FIRST_THICKNESS_MM),
            asked.out.display()
        ));
        text
    };
    Ok(Answer {
        text,
        ..Answer::default()
    })
}

/// Reads all drawings; every one that can't be read is complained of.
pub(super) fn read_all(
    files: &[std::path::PathBuf],
    options: &ImportOptions,
) -> Result<Vec<Imported>, Complaint> {
    let mut read = Vec::new();
    let mut messages = Vec::new();
    let mut code = BAD_INPUT;
    for file in files {
        let name = file.file_name().map(|name| name.to_string_lossy());
        let bytes = bytes_of(file)?;
        match read_drawing(&bytes, &name.unwrap_or_default(), options) {
            Ok(one) => read.push(one),
            Err(error) => {
                let asks = matches!(
                    error,
                    ImportError::UnitNeeded { .. }
                        | ImportError::BadScale { .. }
                        | ImportError::BadJoin { .. }
                        | ImportError::BadBlade { .. }
                );
                if asks {
                    code = WRONG_USE;
                }
                let told = error.to_string();
                let mend = option_for(&error).map(|option| format!("{told} ({option})"));
                messages.push(about(file, &mend.unwrap_or(told)));
            }
        }
    }
    if messages.is_empty() {
        return Ok(read);
    }
    Err(Complaint {
        message: messages.join("\n"),
        code,
    })
}

/// What is in a file, no more of it than is read.
/// The option that may mend what is wrong.
fn option_for(error: &ImportError) -> Option<&'static str> {
    match error {
        ImportError::UnitNeeded { .. } => Some("--units mm, or --units in"),
        ImportError::TooSmall { .. } => Some("--units or --scale"),
        ImportError::TooWide { width_mm, .. } => {
            width_mm.is_finite().then_some("--units or --scale")
        }
        ImportError::NoOutline { .. } => Some("--join for wider gaps"),
        _ => None,
    }
}

fn bytes_of(path: &Path) -> Result<Vec<u8>, Complaint> {
    let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX);
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(most.saturating_add(1)).read_to_end(&mut bytes))
        .map_err(|error| {
            let reason =
                format!("the drawing can't be read: {error}; look for it and name it again");
            Complaint::bad_file(path, &reason)
        })?;
    Ok(bytes)
}

/// A set of the knives, each with a name of its own, named after its file.
pub(super) fn set_of(out: &Path, read: &[Imported]) -> KnifeSet {
    let mut knives: Vec<Arc<Knife>> = Vec::new();
    let mut next_id: Id = 1;
    for one in read {
        let wanted = one.name();
        let taken = |name: &str| knives.iter().any(|knife| knife.name == name);
        let mut name = wanted.clone();
        let mut number = 2;
        while taken(&name) {
            name = format!("{wanted} {number}");
            number += 1;
        }
        let knife = one.knife(&name, FIRST_THICKNESS_MM, new::FIRST_BAR);
        knives.push(Arc::new(Knife {
            id: next_id,
            ..knife
        }));
        next_id += 1;
    }
    KnifeSet {
        name: new::name_after(out),
        knives,
        materials: new::material(new::FIRST_BAR).into_iter().collect(),
        next_id,
    }
}

/// A length to a hundredth of a millimeter.
fn mm(mm: f64) -> String {
    LengthFormat::default().caliper().print(Length::mm(mm))
}

/// What is said about one drawing.
fn told(knife: &Knife, read: &Imported) -> String {
    let (size, inch) = (read.size_mm, read.size_in());
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut row = |head: &str, text: String| rows.push(vec![head.to_owned(), one_line(&text)]);
    row(
        "size",
        format!(
            "{} × {} mm ({:.3} × {:.3} in)",
            fixed(size.x),
            fixed(size.y),
            inch.x,
            inch.y
        ),
    );
    row("outline", format!("{} nodes", knife.outline.nodes.len()));
    listed(&read.openings, "cut-out", &mut row, told_opening);
    row("laid", read.placing.to_string());
    for repair in &read.repaired {
        row("mended", repair.to_string());
    }
    listed(&read.mended_at, "at", &mut row, |at| {
        format!("x {:.2}, y {:.2} mm", at.x, at.y)
    });
    listed(&read.left_out, "left out", &mut row, ToString::to_string);
    let heads = [Side::Left, Side::Left];
    format!(
        "{}: {} {}; unit {}\n{}",
        one_line(&knife.name),
        read.format.name(),
        one_line(&read.file_name),
        read.unit,
        aligned(&without_doubled_heads(rows), &heads, "  ")
    )
}

fn listed<T>(
    all: &[T],
    head: &str,
    row: &mut impl FnMut(&str, String),
    words: impl Fn(&T) -> String,
) {
    for one in all.iter().take(MOST_LISTED) {
        row(head, words(one));
    }
    if all.len() > MOST_LISTED {
        row(head, format!("and {} more", all.len() - MOST_LISTED));
    }
}

/// A head stands only before the first row of its kind.
fn without_doubled_heads(mut rows: Vec<Vec<String>>) -> Vec<Vec<String>> {
    let mut last = String::new();
    for row in &mut rows {
        if let Some(head) = row.first_mut() {
            if *head == last {
                head.clear();
            } else if !head.is_empty() {
                last.clone_from(head);
            }
        }
    }
    rows
}

fn fixed(mm: f64) -> String {
    format!("{mm:.2}")
}

fn told_opening(opening: &Opening) -> String {
    match &opening.shape {
        OpeningShape::Round {
            center,
            diameter_mm,
        } => {
            let drill = opening.drill.map_or(String::new(), |drill| {
                let off = diameter_mm - drill.diameter_mm;
                if off.abs() < 0.0005 {
                    format!(", drill {}", drill.label)
                } else {
                    format!(
                        ", nearest drill {} ({:.3} mm {})",
                        drill.label,
                        off.abs(),
                        if off > 0.0 { "smaller" } else { "larger" }
                    )
                }
            });
            format!(
                "round {} at x {:.2}, y {:.2} mm{drill}",
                mm(*diameter_mm),
                center.x,
                center.y
            )
        }
        OpeningShape::Slot {
            center,
            length_mm,
            width_mm,
            angle_rad,
        } => format!(
            "slot {} × {} at x {:.2}, y {:.2} mm, turned {:.1}°",
            fixed(*length_mm),
            mm(*width_mm),
            center.x,
            center.y,
            angle_rad.to_degrees()
        ),
        OpeningShape::Free { pieces } => {
            let bounds = opening.shape.contour().bounds();
            format!(
                "free shape of {} nodes, {} × {} at x {:.2}, y {:.2} mm",
                pieces.len(),
                fixed(bounds.width()),
                mm(bounds.height()),
                bounds.center().x,
                bounds.center().y
            )
        }
    }
}
