//! Writing what leaves the program: built by the sheet room, put into a folder of the maker's choice.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::flow::{answer, leave};
use super::{FileWish, Purpose};
use crate::catalog::paper;
use crate::files::write_atomically;
use crate::knife::Knife;
use crate::sheet::{
    BuildOptions, Counts, ExportFile, ExportKind, ExportOptions, LeftForBench, PageOptions,
    PdfOptions, export_set, printer_page, rack_file, slug, write_pdf,
};
use crate::window::action::ExportWish;
use crate::window::app::Workshop;
use crate::window::bench::{BuildWish, SetShelf, SetWish, build_file};
use crate::window::dialogs::{Dialog, Question};

impl Workshop {
    /// Begins an export: finds out whether it can be made at all, then asks for a folder.
    pub(in crate::window) fn export(&mut self, wish: ExportWish) {
        match self.export_files(wish) {
            Ok(files) if files.is_empty() => {
                self.session.message =
                    Some("There is no knife to write: add one from the rack".into());
            }
            Ok(_) => self.pick(Purpose::Export(wish)),
            Err(reason) => self.not_exported(&reason),
        }
    }

    /// Writes the files into a folder; asks before any is written over, unless that was said to be right.
    pub(super) fn export_into(&mut self, wish: ExportWish, folder: &Path, replace: bool) {
        let files = match self.export_files(wish) {
            Ok(files) => files,
            Err(reason) => return self.not_exported(&reason),
        };
        // Told without the slash it may have been typed with.
        let folder: &Path = &folder.components().collect::<PathBuf>();
        let there: Vec<&str> = files
            .iter()
            .filter(|file| folder.join(&file.name).exists())
            .map(|file| file.name.as_str())
            .collect();
        if !replace && !there.is_empty() {
            let question = Question {
                heading: "Replace what is there?".to_owned(),
                lines: vec![
                    format!("In {} there is already:", folder.display()),
                    there.join(", "),
                ],
                answers: vec![
                    answer("Replace", FileWish::ReplaceExports(wish, folder.to_owned())),
                    leave("Stay"),
                ],
            };
            self.filing.question(question);
            return;
        }
        self.filing.export_folder = Some(folder.to_owned());
        for file in &files {
            if let Err(error) = write_atomically(&folder.join(&file.name), &file.bytes) {
                self.not_exported(&error.to_string());
                return;
            }
        }
        let paper = matches!(
            wish,
            ExportWish::Pdf | ExportWish::Folded | ExportWish::Together | ExportWish::All
        );
        self.session.printed |= paper;
        let names: Vec<&str> = files.iter().map(|file| file.name.as_str()).collect();
        self.session.message = Some(format!(
            "Written into {}: {}",
            folder.display(),
            names.join(", ")
        ));
    }

    fn export_files(&self, wish: ExportWish) -> Result<Vec<ExportFile>, String> {
        match wish {
            ExportWish::PrinterPage => return self.printer_page().map(|file| vec![file]),
            ExportWish::Nest => return Ok(self.kept.nest.files()),
            ExportWish::Table => return Ok(self.table_file().into_iter().collect()),
            ExportWish::Build => {
                let paper = &self.session.preferences.paper;
                let file = build_file(self.history.set(), &self.build_wish(), paper);
                return file.map(|file| file.into_iter().collect());
            }
            _ => {}
        }
        let set = self.history.set();
        let shown = self.knife_on_drawing();
        let knives: Vec<&Knife> = match wish {
            ExportWish::All | ExportWish::Together | ExportWish::CutTogether => {
                set.knives.iter().map(Arc::as_ref).collect()
            }
            _ => shown.map(Arc::as_ref).into_iter().collect(),
        };
        let options = self.export_options(wish);
        export_set(knives, set, &options).map_err(|error| error.to_string())
    }

    fn export_options(&self, wish: ExportWish) -> ExportOptions {
        let kinds = match wish {
            ExportWish::Svg => vec![ExportKind::Svg],
            ExportWish::Dxf | ExportWish::CutTogether => vec![ExportKind::Dxf],
            ExportWish::DxfR12 => vec![ExportKind::DxfR12],
            ExportWish::Pdf | ExportWish::Together => vec![ExportKind::Pdf],
            ExportWish::Folded => vec![ExportKind::Folded],
            ExportWish::All => ExportKind::ALL.to_vec(),
            ExportWish::PrinterPage | ExportWish::Build | ExportWish::Table | ExportWish::Nest => {
                Vec::new()
            }
        };
        let preferences = &self.session.preferences;
        let mut options = ExportOptions {
            kinds,
            together: matches!(wish, ExportWish::Together | ExportWish::CutTogether),
            ..ExportOptions::default()
        };
        options.template.lengths = preferences.lengths();
        if let Some(paper) = paper(&preferences.paper) {
            options.paper.clone_from(&paper.key);
        }
        options.pages = PageOptions::printed_on(&preferences.paper, preferences.printer);
        options.left = self.left_for_bench();
        if let Some(service) = self.results.service() {
            options.file = service.file;
        }
        options.counts = self.counts();
        options
    }

    /// How many of each knife are cut; nothing is said while it is one of each.
    fn counts(&self) -> Counts {
        let count = |knife: &Arc<Knife>| self.session.nest.count_of(knife.id);
        let knives = &self.history.set().knives;
        let mut counts = Counts::default();
        if knives.iter().any(|knife| count(knife) != 1) {
            let number = |knife| usize::try_from(count(knife)).unwrap_or(1);
            counts.of = knives.iter().map(|k| (k.id, number(k))).collect();
        }
        counts
    }

    /// What cutting files leave for the bench, as the service wants it or the shop does.
    pub(in crate::window) fn left_for_bench(&self) -> LeftForBench {
        let service = self.results.service();
        service.as_ref().map(LeftForBench::of).unwrap_or_default()
    }

    /// The build sheet that is wanted now.
    pub(in crate::window) fn build_wish(&self) -> BuildWish {
        let preferences = &self.session.preferences;
        BuildWish {
            knife: self.session.knife.filter(|_| self.session.build.one_knife),
            options: BuildOptions {
                lengths: preferences.lengths(),
                masses: preferences.mass_unit,
                left_on_mm: self.results.thresholds().left_on_mm,
            },
            paper: PageOptions::printed_on(&preferences.paper, preferences.printer),
        }
    }

    /// The table of the set in the order it is looked at; none of an empty rack.
    fn table_file(&self) -> Option<ExportFile> {
        let mut shelf = SetShelf::default();
        let wish = SetWish {
            compared: None,
            ..self.set_wish()
        };
        shelf.refresh(self.history.set(), &self.results, Some(wish));
        let name = &self.history.set().name;
        (!shelf.rows().is_empty()).then(|| rack_file(name, shelf.rows(), shelf.bars()))
    }

    /// The table that is wanted now.
    pub(in crate::window) fn set_wish(&self) -> SetWish {
        let knives = self.history.set().knives.iter();
        SetWish {
            sort: self.session.set.sort,
            counts: knives
                .map(|k| (k.id, self.session.nest.count_of(k.id)))
                .collect(),
            // Only one over the other shows how steel lies along them, which takes long to sum.
            compared: self
                .session
                .set
                .compared(self.history.set(), self.session.knife)
                .filter(|_| self.session.set.over),
        }
    }

    /// The page the printer is trued by, on the paper of the preferences.
    fn printer_page(&self) -> Result<ExportFile, String> {
        let options = self.export_options(ExportWish::PrinterPage);
        let pages = printer_page(&options.pages).map_err(|error| error.to_string())?;
        let bytes = write_pdf(&pages, &PdfOptions::default()).map_err(|error| error.to_string())?;
        Ok(ExportFile {
            name: format!("printer-{}.pdf", slug(&options.paper)),
            bytes,
        })
    }

    fn not_exported(&mut self, reason: &str) {
        let lines = reason.lines().map(str::to_owned).collect();
        let question = Question::message("No files were written", lines);
        if self.session.dialog.is_open() {
            self.filing.question(question);
        } else {
            self.session.dialog = Dialog::Question(question);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::knife::orchard_set;
    use crate::window::app::Workshop;

    /// What nobody sees is not summed: knives side by side have no lines of mass, nor has the table's file.
    #[test]
    fn steel_is_summed_along_knives_only_where_it_is_seen() {
        let mut workshop = Workshop::new(orchard_set());
        assert_eq!(workshop.set_wish().compared, None);
        workshop.session.set.over = true;
        let ids: Vec<_> = workshop.history.set().knives.iter().map(|k| k.id).collect();
        assert_eq!(workshop.set_wish().compared, Some([ids[0], ids[1]]));
    }
}
