//! `template`: templates and cutting files, all of them or none.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::args::TemplateArguments;
use super::complaint::{Complaint, about};
use super::shop::Shop;
use super::{Answer, BAD_INPUT, check, choose, open};
use crate::files::write_atomically;
use crate::knife::Knife;
use crate::sheet::Counts;
use crate::sheet::exports::{ExportFile, ExportOptions, export_set};

pub(super) fn run(asked: &TemplateArguments) -> Result<Answer, Complaint> {
    let set = open::design(&asked.file)?;
    let knives = choose::knives(&set, asked.knife.as_deref())?;
    let shop = Shop::load();
    let stops: Vec<String> = knives
        .iter()
        .flat_map(|knife| check::stops(knife, &check::findings(knife, &set, &shop.figures)))
        .map(|stop| about(&asked.file, &stop))
        .collect();
    if !stops.is_empty() {
        return Err(Complaint {
            message: stops.join("\n"),
            code: BAD_INPUT,
        });
    }
    asked.counts.judge(knives.iter().map(|k| k.name.as_str()))?;
    let mut counts = Counts::default();
    if asked.counts.is_given() {
        let counted = |knife: &&Arc<Knife>| (knife.id, asked.counts.of(&knife.name));
        counts.of = knives.iter().map(counted).collect();
    }
    // None of it is wanted.
    let knives = knives.into_iter().filter(|k| counts.of_knife(k.id) > 0);
    // Everything is made before anything is written.
    let mut options = ExportOptions {
        kinds: asked.formats.kinds(),
        counts: counts.clone(),
        together: asked.formats.together,
        paper: asked.paper.key().to_owned(),
        pages: shop.pages(asked.paper),
        ..ExportOptions::default()
    };
    asked.left.put(&shop, &mut options)?;
    let files = export_set(knives.map(AsRef::as_ref), &set, &options)
        .map_err(|error| Complaint::bad_file(&asked.file, &error))?;
    let text = write_all(&asked.out, &files)?;
    Ok(Answer {
        text,
        complaints: Vec::new(),
        notes: shop.notes,
    })
}

/// Writes all files into a folder and gives their paths, a line each. Where one can't be written, those that are new are taken
/// away again, and the folder too if it is.
pub(super) fn write_all(folder: &Path, files: &[ExportFile]) -> Result<String, Complaint> {
    let made_folder = !folder.exists();
    fs::create_dir_all(folder).map_err(|error| {
        let reason = format!("the folder can't be made: {error}; name another");
        Complaint::bad_file(folder, &reason)
    })?;
    let mut new: Vec<PathBuf> = Vec::new();
    let mut text = String::new();
    for file in files {
        let path = folder.join(OsStr::new(&file.name));
        let there = path.exists();
        if let Err(error) = write_atomically(&path, &file.bytes) {
            // What can't be taken away stays; the complaint is about the file that failed.
            for path in &new {
                let _ = fs::remove_file(path);
            }
            if made_folder {
                let _ = fs::remove_dir(folder);
            }
            return Err(Complaint::bad_file(&path, &error));
        }
        text.push_str(&format!("{}\n", path.display()));
        if !there {
            new.push(path);
        }
    }
    Ok(text)
}
