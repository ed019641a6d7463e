//! The files a maker takes away, by name and bytes; nothing is written to disk here.

use std::collections::BTreeSet;

use super::allowance::{LeftForBench, as_cut};
use super::batch::{Counts, batch_sheet, by_bar};
use super::dxf::{DxfCurves, DxfOptions, DxfVersion, write_dxf};
use super::error::Refused;
use super::folded::folded_template;
use super::guard::{guard_as_cut, guard_sheet};
use super::handle::handle_sheet;
use super::model::{Role, Sheet};
use super::pages::{Page, PageError, PageOptions, tiles};
use super::pdf::{PdfError, PdfOptions, write_pdf};
use super::slug::{FOLDED, GUARD, HANDLE, SCRIBING, SPINE, slugs};
use super::strip::{scribing_strip, spine_strip};
use super::svg::{SvgOptions, write_svg};
use super::template::{TemplateOptions, template};
use super::together::together;
use crate::catalog::{CuttingFile, FileCurves, FileEdition};
use crate::knife::{Knife, KnifeSet};

/// A file: its name without folder, and what is in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExportFile {
    /// File name.
    pub name: String,
    /// Content.
    pub bytes: Vec<u8>,
}

/// A kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ExportKind {
    /// The template as SVG, one group for each role: `<knife>.svg`; the handle, the scribing strip and the spine strip beside it:
    /// `<knife>-handle.svg`, `<knife>-scribing.svg`, `<knife>-spine.svg`.
    Svg,
    /// The cutting file as DXF, as the service asks for it, else R2000 with arcs: `<knife>.dxf`.
    Dxf,
    /// The cutting file as DXF R2000 with exact splines: `<knife>-splines.dxf`.
    DxfSplines,
    /// The cutting file as DXF R12: `<knife>-r12.dxf`.
    DxfR12,
    /// The template as PDF at true scale, with guard, handle, scribing strip and spine strip behind it: `<knife>-<paper>.pdf`.
    Pdf,
    /// The template of both faces as PDF, to be folded over the spine: `<knife>-folded-<paper>.pdf`.
    Folded,
}

impl ExportKind {
    /// All kinds, in the order they are written.
    pub const ALL: [Self; 6] = [
        Self::Svg,
        Self::Dxf,
        Self::DxfSplines,
        Self::DxfR12,
        Self::Pdf,
        Self::Folded,
    ];

    /// Whether it goes to a printer.
    #[must_use]
    pub fn is_paper(self) -> bool {
        matches!(self, Self::Pdf | Self::Folded)
    }
}

/// What is written and how.
#[derive(Clone, Debug, PartialEq)]
pub struct ExportOptions {
    /// The kinds of files.
    pub kinds: Vec<ExportKind>,
    /// What templates show.
    pub template: TemplateOptions,
    /// Whether the scribing strip of a ground knife and the spine strip of a tapered one come with SVG and PDF.
    pub scribing: bool,
    /// Whether all knives go into one file of each kind: on as few printed pages as they fit on, side by side as often as they are wanted in a cutting
    /// file. If not, each has its own.
    pub together: bool,
    /// How many of each are cut.
    pub counts: Counts,
    /// Whether SVG and DXF hold the lines to cut and drill alone; if not, the whole template.
    pub svg_cut_only: bool,
    /// The same for DXF files.
    pub dxf_cut_only: bool,
    /// What files of cutting lines alone leave for the bench.
    pub left: LeftForBench,
    /// How far arcs of a DXF may leave the curve, mm.
    pub dxf_tolerance_mm: f64,
    /// What the service asks of a DXF: its layers and unit for every kind, its edition and curves for [`ExportKind::Dxf`].
    pub file: CuttingFile,
    /// Short name of the paper, for the name of the PDF: `a4`.
    pub paper: String,
    /// Paper and printer.
    pub pages: PageOptions,
}

/// Everything, on A4: the template as SVG and PDF, cutting lines alone as DXF.
impl Default for ExportOptions {
    fn default() -> Self {
        Self {
            kinds: ExportKind::ALL.to_vec(),
            template: TemplateOptions::default(),
            scribing: true,
            together: false,
            counts: Counts::default(),
            svg_cut_only: false,
            dxf_cut_only: true,
            left: LeftForBench::default(),
            dxf_tolerance_mm: super::DXF_TOLERANCE_MM,
            file: CuttingFile::default(),
            paper: "a4".to_owned(),
            pages: PageOptions::default(),
        }
    }
}

/// Why a file can't be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ExportError {
    /// The knife can't be drawn.
    #[error("{0}")]
    Knife(#[from] Refused),
    /// The pages can't be laid out.
    #[error("'{knife}' is not printed: {reason}")]
    Pages {
        /// Name of the knife.
        knife: String,
        /// Why.
        reason: PageError,
    },
    /// The PDF can't be written.
    #[error("'{knife}' is not printed: {reason}")]
    Pdf {
        /// Name of the knife.
        knife: String,
        /// Why.
        reason: PdfError,
    },
}

/// All files of one knife, as they are named when it is the only one.
///
/// # Errors
/// See [`export_set`].
pub fn export_knife(
    knife: &Knife,
    set: &KnifeSet,
    options: &ExportOptions,
) -> Result<Vec<ExportFile>, ExportError> {
    let names = slugs([knife.name.as_str()]);
    let slug = names.first().map_or("knife", String::as_str);
    export_as(knife, set, slug, options)
}

/// All files of some knives of a set; names that would collide get `-2`, `-3` ... behind the knife's part. Printed together they are
/// `<set>-together-<paper>.pdf`, last; a cutting file of all is `<set>-together.dxf`, or one for each bar with what it is cut from behind.
///
/// # Errors
/// The first knife that can't be drawn or printed; nothing of the others is given then, so that no half set gets cut.
pub fn export_set<'a>(
    knives: impl IntoIterator<Item = &'a Knife>,
    set: &KnifeSet,
    options: &ExportOptions,
) -> Result<Vec<ExportFile>, ExportError> {
    let knives: Vec<&Knife> = knives.into_iter().collect();
    let names = slugs(knives.iter().map(|knife| knife.name.as_str()));
    let mut own = options.clone();
    if options.together {
        own.kinds.retain(|kind| *kind == ExportKind::Folded);
    }
    let mut files = Vec::new();
    for (knife, slug) in knives.iter().zip(&names) {
        files.extend(export_as(knife, set, slug, &own)?);
    }
    if options.together && !knives.is_empty() {
        files.extend(cut_together(&knives, &names, set, options)?);
        if options.kinds.contains(&ExportKind::Pdf) {
            files.push(printed_together(&knives, set, options)?);
        }
    }
    Ok(files)
}

/// One file of each kind for all knives of a bar, and the guards', which are of other stock.
fn cut_together(
    knives: &[&Knife],
    names: &[String],
    set: &KnifeSet,
    options: &ExportOptions,
) -> Result<Vec<ExportFile>, ExportError> {
    let lengths = options.template.lengths;
    let mut kinds = options.kinds.clone();
    kinds.retain(|kind| !kind.is_paper());
    kinds.sort();
    kinds.dedup();
    let mut cutting = Vec::new();
    let mut files = Vec::new();
    if kinds.is_empty() {
        return Ok(files);
    }
    for (knife, slug) in knives.iter().zip(names) {
        let sheet = as_cut(knife, set, &options.left, lengths)?;
        cutting.push((sheet, options.counts.of_knife(knife.id)));
        if let Some(guard) = guard_as_cut(knife, set, &options.left, lengths)? {
            files.extend(guard_files(&guard, knife, slug, &kinds, options));
        }
    }
    let bars = by_bar(&cutting);
    let notes = slugs(bars.iter().map(|(note, _)| *note));
    let base = format!("{}-together", super::slug::slug(&set.name));
    for ((_, own), note) in bars.iter().zip(&notes) {
        let sheet = batch_sheet(&set.name, own);
        let name = if bars.len() == 1 {
            base.clone()
        } else {
            format!("{base}-{note}")
        };
        files.extend(kinds.iter().map(|kind| ExportFile {
            name: format!("{name}{}", ending(*kind, options)),
            bytes: text(&sheet, *kind, options).into_bytes(),
        }));
    }
    Ok(files)
}

/// A guard's files of the kinds that it has a file of.
fn guard_files(
    guard: &Sheet,
    knife: &Knife,
    slug: &str,
    kinds: &[ExportKind],
    options: &ExportOptions,
) -> Vec<ExportFile> {
    // A guard is lines and arcs, which the plain DXF keeps exactly; splines would add nothing.
    let apart =
        |kind: &&ExportKind| matches!(kind, ExportKind::Svg | ExportKind::Dxf | ExportKind::DxfR12);
    let file = |kind: &ExportKind| ExportFile {
        name: format!("{slug}{GUARD}{}", counted(*kind, knife, options)),
        bytes: text(guard, *kind, options).into_bytes(),
    };
    kinds.iter().filter(apart).map(file).collect()
}

/// The ending of a knife's own file, with how many are cut in a cutting file's.
fn counted(kind: ExportKind, knife: &Knife, options: &ExportOptions) -> String {
    let ending = ending(kind, options);
    match ending.rsplit_once('.') {
        Some((name, kind_of_file)) if !kind.is_paper() => {
            format!("{name}{}.{kind_of_file}", options.counts.ending(knife.id))
        }
        _ => ending,
    }
}

/// What is drawn of a knife besides its cutting lines.
struct Drawn {
    template: Sheet,
    guard: Option<Sheet>,
    handle: Option<Sheet>,
    /// The scribing strip.
    strip: Option<Sheet>,
    /// The spine strip.
    spine: Option<Sheet>,
}

impl Drawn {
    fn of(knife: &Knife, set: &KnifeSet, options: &ExportOptions) -> Result<Self, Refused> {
        let lengths = options.template.lengths;
        let mut drawn = Self {
            template: template(knife, set, &options.template)?,
            guard: guard_sheet(knife, set, lengths)?,
            handle: handle_sheet(knife, set, lengths)?,
            strip: None,
            spine: None,
        };
        if options.scribing {
            drawn.strip = scribing_strip(knife, set, lengths)?;
            drawn.spine = spine_strip(knife, set, lengths)?;
        }
        Ok(drawn)
    }

    /// In the order they are printed.
    fn sheets(&self) -> impl Iterator<Item = &Sheet> {
        let behind = [&self.guard, &self.handle, &self.strip, &self.spine];
        std::iter::once(&self.template).chain(behind.into_iter().flatten())
    }
}

/// One PDF of all knives.
fn printed_together(
    knives: &[&Knife],
    set: &KnifeSet,
    options: &ExportOptions,
) -> Result<ExportFile, ExportError> {
    let drawn = knives
        .iter()
        .map(|knife| Drawn::of(knife, set, options))
        .collect::<Result<Vec<Drawn>, Refused>>()?;
    let sheets: Vec<&Sheet> = drawn.iter().flat_map(Drawn::sheets).collect();
    let pages = together(&sheets, &options.pages).map_err(|reason| ExportError::Pages {
        knife: set.name.clone(),
        reason,
    })?;
    Ok(ExportFile {
        name: format!(
            "{}-together{}",
            super::slug::slug(&set.name),
            ending(ExportKind::Pdf, options)
        ),
        bytes: pdf(&set.name, &pages)?,
    })
}

fn export_as(
    knife: &Knife,
    set: &KnifeSet,
    slug: &str,
    options: &ExportOptions,
) -> Result<Vec<ExportFile>, ExportError> {
    let kinds: BTreeSet<ExportKind> = options.kinds.iter().copied().collect();
    let lengths = options.template.lengths;
    let drawn = Drawn::of(knife, set, options)?;
    // A template shows a hole that runs over the edge; a cutter must not get it.
    let cut_only = |kind| match kind {
        ExportKind::Svg => options.svg_cut_only,
        ExportKind::Pdf | ExportKind::Folded => false,
        _ => options.dxf_cut_only,
    };
    let (cutting, plate) = if kinds.iter().any(|kind| !kind.is_paper()) {
        let left = &options.left;
        (
            Some(as_cut(knife, set, left, lengths)?),
            guard_as_cut(knife, set, left, lengths)?,
        )
    } else {
        (None, None)
    };
    let mut files = Vec::new();
    for kind in kinds {
        let sheet = cutting
            .as_ref()
            .filter(|_| cut_only(kind))
            .unwrap_or(&drawn.template);
        let bytes = match kind {
            ExportKind::Pdf => printed(knife, drawn.sheets(), options)?,
            ExportKind::Folded => {
                let folded = folded_template(knife, set, lengths)?;
                printed(knife, std::iter::once(&folded), options)?
            }
            _ => text(sheet, kind, options).into_bytes(),
        };
        let name = format!("{slug}{}", counted(kind, knife, options));
        files.push(ExportFile { name, bytes });
        let plate = plate.as_ref().filter(|_| cut_only(kind));
        if let Some(guard) = plate.or(drawn.guard.as_ref()) {
            files.extend(guard_files(guard, knife, slug, &[kind], options));
        }
        let whole = kind == ExportKind::Svg && !options.svg_cut_only;
        for (sheet, part) in [
            (&drawn.handle, HANDLE),
            (&drawn.strip, SCRIBING),
            (&drawn.spine, SPINE),
        ] {
            if let Some(sheet) = sheet.as_ref().filter(|_| whole) {
                files.push(ExportFile {
                    name: format!("{slug}{part}{}", ending(kind, options)),
                    bytes: text(sheet, kind, options).into_bytes(),
                });
            }
        }
    }
    Ok(files)
}

fn ending(kind: ExportKind, options: &ExportOptions) -> String {
    match kind {
        ExportKind::Svg => ".svg".to_owned(),
        ExportKind::Dxf => ".dxf".to_owned(),
        ExportKind::DxfSplines => "-splines.dxf".to_owned(),
        ExportKind::DxfR12 => "-r12.dxf".to_owned(),
        ExportKind::Pdf => format!("-{}.pdf", super::slug::slug(&options.paper)),
        ExportKind::Folded => {
            format!("{FOLDED}-{}.pdf", super::slug::slug(&options.paper))
        }
    }
}

fn text(sheet: &Sheet, kind: ExportKind, options: &ExportOptions) -> String {
    if kind == ExportKind::Svg {
        return write_svg(sheet, &SvgOptions::default());
    }
    let as_asked = kind == ExportKind::Dxf;
    let old = kind == ExportKind::DxfR12 || (as_asked && options.file.edition == FileEdition::R12);
    let splines =
        kind == ExportKind::DxfSplines || (as_asked && options.file.curves == FileCurves::Splines);
    let dxf = DxfOptions {
        version: if old {
            DxfVersion::R12
        } else {
            DxfVersion::R2000
        },
        curves: if splines {
            DxfCurves::Splines
        } else {
            DxfCurves::Arcs {
                tolerance_mm: options.dxf_tolerance_mm,
            }
        },
        layers: options.file.layers.clone(),
        unit: options.file.unit,
        roles: Role::ALL.to_vec(),
    };
    write_dxf(sheet, &dxf)
}

/// The pages of all sheets, one behind the other.
fn pages<'a>(
    knife: &Knife,
    sheets: impl IntoIterator<Item = &'a Sheet>,
    options: &PageOptions,
) -> Result<Vec<Page>, ExportError> {
    let mut pages = Vec::new();
    for sheet in sheets {
        let laid = tiles(sheet, options).map_err(|reason| ExportError::Pages {
            knife: knife.name.clone(),
            reason,
        })?;
        pages.extend(laid);
    }
    Ok(pages)
}

fn printed<'a>(
    knife: &Knife,
    sheets: impl IntoIterator<Item = &'a Sheet>,
    options: &ExportOptions,
) -> Result<Vec<u8>, ExportError> {
    pdf(&knife.name, &pages(knife, sheets, &options.pages)?)
}

fn pdf(title: &str, pages: &[Page]) -> Result<Vec<u8>, ExportError> {
    let options = PdfOptions {
        title: title.to_owned(),
        ..PdfOptions::default()
    };
    write_pdf(pages, &options).map_err(|reason| ExportError::Pdf {
        knife: title.to_owned(),
        reason,
    })
}

#[cfg(test)]
mod tests;
