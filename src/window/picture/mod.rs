//! The picture under the drawing: laid, read, traced, and its outline taken.

mod bench;
mod shelf;
mod tracer;

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use egui::Context;

use super::action::Action;
use super::app::Workshop;
use super::dialogs::Question;
use super::session::Tool;
use crate::edit::{Change, Edit};
use crate::geometry::Rect;
use crate::knife::{Id, Knife, LaidPicture};
use crate::reading::drawing::{knife_of_outline, name_of_file};

pub(super) use bench::mark_within;
pub use bench::{PictureBench, TrueBy};
pub(super) use shelf::{Looks, PictureShelf};
use tracer::TraceWish;
pub(super) use tracer::{Ghost, Tracer};

/// A picture is laid so much wider than its knife is long.
const WIDER_THAN_KNIFE: f64 = 1.25;
/// A wider picture is not fitted into the drawing: it reaches toward its horizon.
const WIDEST_FITTED_MM: f64 = 3_000.0;
/// While something is read or traced the window looks again after so long.
const LOOK_AGAIN: Duration = Duration::from_millis(50);

/// A wish that concerns the picture of the knife on the drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PictureWish {
    /// Lay this file under the drawing; a picture that is there gives its place to one of the same size.
    Lay(PathBuf),
    /// Look for the file again.
    LookAgain,
    /// Take the picture from under the drawing.
    TakeAway,
    /// Find the outline.
    Trace,
    /// Stop that, or forget the outline that was found.
    Leave,
    /// Give the knife on the drawing the outline that was found.
    Take,
    /// Make a knife of its own of it.
    TakeAsNew,
}

impl Workshop {
    /// Carries out a wish that concerns the picture.
    pub(super) fn picture(&mut self, wish: PictureWish) {
        match wish {
            PictureWish::Leave => self.kept.tracer.drop_all(),
            PictureWish::TakeAway => self.take_away(),
            PictureWish::Take => self.take_traced(false),
            PictureWish::TakeAsNew => self.take_traced(true),
            // These need the screen, or to be woken: they wait for it.
            PictureWish::Lay(_) | PictureWish::LookAgain | PictureWish::Trace => {
                self.picture_wish = Some(wish);
            }
        }
    }

    /// Reads the picture of the knife on the drawing, lays one that was asked for, and looks after tracing. Cheap when nothing happened.
    pub(super) fn tend_picture(&mut self, ctx: &Context) {
        match self.picture_wish.take() {
            Some(PictureWish::Lay(path)) => self.begin_to_lay(&path, ctx),
            Some(PictureWish::LookAgain) => self.kept.pictures.look_again(ctx),
            Some(PictureWish::Trace) => self.start_tracing(ctx),
            _ => {}
        }
        let knife = self.session.knife;
        let own = knife.and_then(|id| self.history.set().knife(id));
        let picture = own.and_then(|knife| knife.picture.as_ref());
        if let (Some(id), Some(picture)) = (knife, picture) {
            self.session.picture.look_at(id, picture);
        }
        self.kept.tracer.keep_only(knife, picture);
        let file = picture.map(|own| own.file.as_str());
        let kept = &mut self.kept;
        kept.pictures.show(self.filing.path(), file, ctx);
        let reads = kept.pictures.tend(ctx);
        let traces = kept.tracer.tend();
        self.take_laid();
        if reads || traces {
            ctx.request_repaint_after(LOOK_AGAIN);
        }
    }

    fn begin_to_lay(&mut self, path: &Path, ctx: &Context) {
        let Some(knife) = self.session.knife else {
            let first = "Take a knife first: a picture is laid under one";
            self.session.message = Some(first.to_owned());
            return;
        };
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        self.kept.pictures.lay(knife, path, ctx);
    }

    /// The knife on the drawing and its picture.
    fn picture_on_drawing(&self) -> Option<(&Knife, &LaidPicture)> {
        let knife = self.knife_on_drawing()?;
        Some((knife, knife.picture.as_ref()?))
    }

    /// What of the bench the picture covers, while it is worked on: it is looked at as a whole then.
    pub(super) fn picture_in_hand(&self) -> Option<Rect> {
        let in_hand = self.session.tool == Tool::Trace && self.session.picture.shown;
        let (_, picture) = self.picture_on_drawing().filter(|_| in_hand)?;
        let seen = picture.covers()?;
        (seen.width().max(seen.height()) <= WIDEST_FITTED_MM).then_some(seen)
    }

    /// Lays a picture that was read under its knife.
    fn take_laid(&mut self) {
        let Some((id, read)) = self.kept.pictures.laid() else {
            return;
        };
        let laid = read.and_then(|looks| {
            let strange = "its path has signs that can't be kept: rename the file or its folder";
            let file = looks.path.to_str().ok_or_else(|| strange.to_owned())?;
            Ok((file.to_owned(), looks.size_px()))
        });
        let (file, size) = match laid {
            Ok(laid) => laid,
            Err(reason) => {
                let lines = reason.lines().map(str::to_owned).collect();
                let question = Question::message("This picture was not laid", lines);
                self.filing.question(question);
                return;
            }
        };
        let Some(knife) = self.history.set().knife(id) else {
            return;
        };
        let picture = laid_under(knife, file, size);
        self.act(lay(id, picture));
        self.act(Action::ShowKnife(id));
        self.act(Action::Take(Tool::Trace));
        self.session.picture.shown = true;
        self.act(Action::Fit);
    }

    fn take_away(&mut self) {
        if let Some((knife, _)) = self.picture_on_drawing() {
            let change = Change::LayPicture { picture: None };
            self.act(Action::Edit(Edit::knife(knife.id, change)));
        }
    }

    fn start_tracing(&mut self, ctx: &Context) {
        let Some((knife, picture)) = self.picture_on_drawing() else {
            return;
        };
        let looks = self.kept.pictures.looks();
        let Some(looks) = looks.filter(|looks| looks.shows(picture)) else {
            return;
        };
        let wish = TraceWish {
            knife: knife.id,
            picture: picture.clone(),
            pixels: Arc::clone(&looks.pixels),
            darkness: self.session.picture.darkness,
        };
        let ctx = ctx.clone();
        self.kept.tracer.start(wish, move || ctx.request_repaint());
    }

    /// Takes the outline that was found, as one undo step. A picture that is not held fast is laid level with it; one that is keeps the outline
    /// where it is seen.
    fn take_traced(&mut self, as_new: bool) {
        let (Some(ghost), Some((knife, picture))) =
            (self.kept.tracer.ghost(), self.picture_on_drawing())
        else {
            return;
        };
        let id = knife.id;
        let mut outline = ghost.traced.outline.clone();
        let mut picture = picture.clone();
        if !picture.locked {
            outline = outline.moved(&ghost.level);
            picture = picture.moved(&ghost.level);
        }
        let (label, edits) = if as_new {
            let name = name_of_file(&picture.file);
            let stock = &knife.stock;
            let contour = outline.contour();
            let mut new = knife_of_outline(&contour, &name, stock.thickness_mm, &stock.material);
            new.picture = Some(picture);
            let added = Edit::AddKnife {
                knife: Box::new(new),
                materials: Vec::new(),
            };
            let away = Edit::knife(id, Change::LayPicture { picture: None });
            ("new knife from picture", [added, away])
        } else {
            let picture = Some(Box::new(picture));
            let changes = [
                Change::SetOutline { outline },
                Change::LayPicture { picture },
            ];
            ("take traced outline", changes.map(|c| Edit::knife(id, c)))
        };
        if self.all_or_none(label, edits) {
            self.kept.tracer.drop_all();
            // The nodes are there to be corrected, and the knife is looked at as a whole.
            self.act(Action::Take(Tool::Scribe));
            if let Some(id) = self.session.knife {
                self.session.views.remove(&id);
            }
        }
    }

    /// Makes edits as one undo step; when one is refused, none, and its reason stands in the message.
    fn all_or_none(&mut self, label: &str, edits: impl IntoIterator<Item = Edit>) -> bool {
        self.act(Action::Begin(label.to_owned()));
        for edit in edits {
            self.session.message = None;
            self.act(Action::Edit(edit));
            if self.session.message.is_some() {
                let reason = self.session.message.take();
                self.act(Action::Cancel);
                self.session.message = reason;
                return false;
            }
        }
        self.act(Action::End);
        true
    }
}

/// A new picture under a knife: in the place of the one before if it has the same size, else across the knife.
fn laid_under(knife: &Knife, file: String, size: (u32, u32)) -> LaidPicture {
    if let Some(old) = &knife.picture
        && (old.width_px, old.height_px) == size
    {
        return LaidPicture {
            file,
            ..old.clone()
        };
    }
    let bounds = knife.contour().bounds();
    let wide = (WIDER_THAN_KNIFE * bounds.width()).max(1.0);
    LaidPicture::new(file, size, bounds.center(), wide)
}

/// A change of how a knife's picture lies.
pub(super) fn lay(knife: Id, picture: LaidPicture) -> Action {
    let picture = Some(Box::new(picture));
    Action::Edit(Edit::knife(knife, Change::LayPicture { picture }))
}
