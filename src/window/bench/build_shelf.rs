//! The build sheet ready for the screen: told and laid out when something changed, and only while the maker looks at it.

use std::sync::Arc;

use crate::knife::{Id, Knife, KnifeSet, Material};
use crate::sheet::{
    BuildOptions, ExportFile, Page, PageOptions, PdfOptions, Shape, ToldKnife, build_pages, slug,
    steps_of, write_pdf,
};
use crate::window::preview::{Lines, drawn};

/// A page as it lies on the screen.
#[derive(Clone, Debug)]
pub(super) struct SheetPage {
    /// Size of the paper in the sheet's own millimeters.
    pub size_mm: (f64, f64),
    /// Everything on it.
    pub lines: Lines,
    /// Its words, for those who can't see them.
    pub words: String,
}

/// A step and the page it begins on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct StepAt {
    pub heading: String,
    pub page: usize,
}

/// What a build sheet is made for.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::window) struct BuildWish {
    /// One knife alone; none for the whole set.
    pub knife: Option<Id>,
    /// How it is told.
    pub options: BuildOptions,
    /// Paper and printer.
    pub paper: PageOptions,
}

/// A knife that was told, and how.
#[derive(Clone, Debug)]
struct Told {
    of: Arc<Knife>,
    told: ToldKnife,
}

/// The build sheet last looked at.
#[derive(Debug, Default)]
pub(in crate::window) struct BuildShelf {
    wish: Option<BuildWish>,
    title: String,
    materials: Vec<Material>,
    told: Vec<Told>,
    pages: Vec<SheetPage>,
    steps: Vec<StepAt>,
    trouble: Option<String>,
}

impl BuildShelf {
    /// The pages, first to last.
    pub(super) fn pages(&self) -> &[SheetPage] {
        &self.pages
    }

    /// The steps and their pages.
    pub(super) fn steps(&self) -> &[StepAt] {
        &self.steps
    }

    /// Why there are no pages.
    pub(super) fn trouble(&self) -> Option<&str> {
        self.trouble.as_deref()
    }

    /// Brings the sheet up to date; without a wish forgets it.
    pub(in crate::window) fn refresh(&mut self, set: &KnifeSet, wish: Option<BuildWish>) {
        let Some(wish) = wish else {
            if self.wish.is_some() {
                *self = Self::default();
            }
            return;
        };
        let knives = chosen(set, wish.knife);
        let title = title_of(set, &knives);
        let as_before = self.wish.as_ref() == Some(&wish)
            && self.title == title
            && self.materials == set.materials
            && self.told.len() == knives.len()
            && self
                .told
                .iter()
                .zip(&knives)
                .all(|(own, knife)| Arc::ptr_eq(&own.of, knife));
        if as_before {
            return;
        }
        // What is told of a knife stays while the knife does, its materials, and the way of telling.
        let same = self
            .wish
            .as_ref()
            .is_some_and(|old| old.options == wish.options)
            && self.materials == set.materials;
        let old = if same {
            std::mem::take(&mut self.told)
        } else {
            Vec::new()
        };
        self.told = knives
            .iter()
            .map(|knife| {
                let known = old.iter().find(|own| Arc::ptr_eq(&own.of, knife));
                known.cloned().unwrap_or_else(|| Told {
                    of: Arc::clone(knife),
                    told: ToldKnife::new(knife, set, wish.options),
                })
            })
            .collect();
        self.materials.clone_from(&set.materials);
        self.title = title;
        self.lay_out(&wish.paper);
        self.wish = Some(wish);
    }

    fn lay_out(&mut self, paper: &PageOptions) {
        let told: Vec<&ToldKnife> = self.told.iter().map(|own| &own.told).collect();
        let steps = steps_of(&told);
        self.steps.clear();
        self.pages.clear();
        self.trouble = None;
        if steps.is_empty() {
            return;
        }
        match build_pages(&self.title, &steps, paper) {
            Ok(pages) => {
                self.pages = pages.iter().map(shown).collect();
                for (place, step) in steps.iter().enumerate() {
                    let heading = format!("{}  {}", place + 1, step.heading);
                    let page = pages.iter().position(|page| holds(page, &heading));
                    let page = page.unwrap_or_default();
                    self.steps.push(StepAt { heading, page });
                }
            }
            Err(error) => self.trouble = Some(error.to_string()),
        }
    }
}

/// The build sheet as a PDF; what is seen is what is written.
pub(in crate::window) fn build_file(
    set: &KnifeSet,
    wish: &BuildWish,
    paper: &str,
) -> Result<Option<ExportFile>, String> {
    let knives = chosen(set, wish.knife);
    if knives.is_empty() {
        return Ok(None);
    }
    let title = title_of(set, &knives);
    let told: Vec<ToldKnife> = knives
        .iter()
        .map(|knife| ToldKnife::new(knife, set, wish.options))
        .collect();
    let steps = steps_of(&told.iter().collect::<Vec<_>>());
    let pages = build_pages(&title, &steps, &wish.paper).map_err(|error| error.to_string())?;
    let options = PdfOptions {
        title: format!("{title}: build sheet"),
        ..PdfOptions::default()
    };
    let bytes = write_pdf(&pages, &options).map_err(|error| error.to_string())?;
    Ok(Some(ExportFile {
        name: format!("{}-build-{}.pdf", slug(&title), slug(paper)),
        bytes,
    }))
}

fn chosen(set: &KnifeSet, knife: Option<Id>) -> Vec<Arc<Knife>> {
    match knife {
        Some(id) => set.knife(id).into_iter().cloned().collect(),
        None => set.knives.clone(),
    }
}

fn title_of(set: &KnifeSet, knives: &[Arc<Knife>]) -> String {
    match knives {
        [knife] => knife.name.clone(),
        _ => set.name.clone(),
    }
}

fn shown(page: &Page) -> SheetPage {
    let all = || page.drawing.iter().chain(&page.marks);
    let words: Vec<&str> = all()
        .filter_map(|entity| match &entity.shape {
            Shape::Text(text) => Some(text.text.as_str()),
            _ => None,
        })
        .collect();
    SheetPage {
        size_mm: (page.width_mm / page.scale_x, page.height_mm / page.scale_y),
        lines: drawn(all()),
        words: words.join("\n"),
    }
}

fn holds(page: &Page, heading: &str) -> bool {
    page.drawing
        .iter()
        .any(|entity| matches!(&entity.shape, Shape::Text(text) if text.text == heading))
}
