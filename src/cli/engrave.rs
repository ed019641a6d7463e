//! `engrave`: the name on a knife's tang, its letters and its place.

use std::path::PathBuf;

use clap::Args;

use super::complaint::{Complaint, one_line};
use super::{Answer, choose, new, open};
use crate::edit::{Change, Edit, apply};
use crate::files::write_atomically;
use crate::geometry::Point;
use crate::knife::{Engraving, Knife, USUAL_LETTER_MM};
use crate::reading::design_file;
use crate::units::{Length, LengthFormat, read_number};

#[derive(Debug, Args)]
pub(super) struct EngraveArguments {
    /// Design file
    pub file: PathBuf,
    /// The knife of this name; may be left out when there is only one
    #[arg(long, value_name = "NAME")]
    pub knife: Option<String>,
    /// The words; the ones there stay when left out
    #[arg(long, value_name = "TEXT", required_unless_present_any = ["letters", "at", "anywhere", "off"])]
    pub words: Option<String>,
    /// Height of the letters, mm
    #[arg(long, value_name = "MM")]
    pub letters: Option<f64>,
    /// The middle of the name, mm from the shoulder line and from the knife's middle line: -40,2
    #[arg(long, value_name = "X,Y", value_parser = place, allow_hyphen_values = true)]
    pub at: Option<Point>,
    /// Let it find room on the tang by itself again
    #[arg(long, conflicts_with = "at")]
    pub anywhere: bool,
    /// Take the name off
    #[arg(long, conflicts_with_all = ["words", "letters", "at", "anywhere"])]
    pub off: bool,
    /// Design file to write
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
}

fn place(text: &str) -> Result<Point, String> {
    let number = |text: &str| read_number(text).map_err(|error| error.to_string());
    match text.split_once(',') {
        Some((x, y)) => Ok(Point::new(number(x)?, number(y)?)),
        None => Err("give two numbers in mm with a comma between them: -40,2".to_owned()),
    }
}

pub(super) fn run(asked: &EngraveArguments) -> Result<Answer, Complaint> {
    new::free(&asked.out)?;
    let set = open::design(&asked.file)?;
    let knife = choose::the_one(&set, &asked.file, asked.knife.as_deref())?;
    let (id, name) = (knife.id, wanted(asked, knife)?);
    let edit = Edit::knife(id, Change::Engrave { name });
    let set = apply(&set, &edit).map_err(Complaint::wrong_use)?;
    let told = match set.knife(id) {
        Some(knife) => told(knife).map_err(|reason| {
            let name = one_line(&knife.name);
            Complaint::bad_file(&asked.file, &format!("{name}: {reason}"))
        })?,
        None => String::new(),
    };
    let text = design_file::write(&set);
    write_atomically(&asked.out, text.as_bytes())
        .map_err(|error| Complaint::bad_file(&asked.out, &error))?;
    Ok(Answer {
        text: format!("{told}\n{}\n", asked.out.display()),
        ..Answer::default()
    })
}

/// The name as it is to be: what was not asked for stays.
fn wanted(asked: &EngraveArguments, knife: &Knife) -> Result<Option<Engraving>, Complaint> {
    if asked.off {
        return Ok(None);
    }
    let now = knife.engraving.as_ref();
    let words = asked.words.clone().or(now.map(|name| name.words.clone()));
    let words = words.ok_or_else(|| {
        let name = one_line(&knife.name);
        Complaint::wrong_use(format!("{name} has no engraved name yet: give --words"))
    })?;
    let usual = now.map_or(USUAL_LETTER_MM, |name| name.height_mm);
    let at = now.and_then(|name| name.at).filter(|_| !asked.anywhere);
    Ok(Some(Engraving {
        words,
        height_mm: asked.letters.unwrap_or(usual),
        at: asked.at.or(at),
    }))
}

/// Where the name stands; or why it finds no room.
fn told(knife: &Knife) -> Result<String, String> {
    let name = one_line(&knife.name);
    let Some(engraving) = &knife.engraving else {
        return Ok(format!("{name}: no name is engraved"));
    };
    let contour = knife.contour();
    let found = engraving.on(knife, &contour, &contour.index());
    let middle = found.map_err(|reason| reason.to_string())?.middle;
    let print = |mm: f64| LengthFormat::default().print(Length::mm(mm));
    Ok(format!(
        "{name}: '{}' in letters of {}, its middle at x {}, y {}",
        one_line(&engraving.words),
        print(engraving.height_mm),
        print(middle.x),
        print(middle.y)
    ))
}
