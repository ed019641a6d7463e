//! Pictures for the drawing: read on threads of their own, kept while their knife may come back to the drawing.

use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};

use egui::{Color32, ColorImage, Context, TextureHandle, TextureOptions};

use crate::files::{open_picture, picture_places};
use crate::geometry::Vec2;
use crate::knife::{Id, LaidPicture};
use crate::tracing::Pixels;
use crate::window::beside::work_beside;

/// So many pictures are kept; each takes up to some hundred megabytes.
const MOST_KEPT: usize = 2;
/// Longest side of what is drawn, pixels: handing more over to the screen would hold a frame up.
const MOST_DRAWN_PX: usize = 2560;

/// A picture that was read.
pub(in crate::window) struct Looks {
    /// Where it was found.
    pub path: PathBuf,
    /// Its pixels, to be traced.
    pub pixels: Arc<Pixels>,
    /// What is drawn of it.
    pub texture: TextureHandle,
    /// How much of the picture as it was taken the texture covers, pixels.
    pub covers: Vec2,
}

impl Looks {
    /// Pixels side by side and rows of the picture as it was taken.
    #[must_use]
    pub(in crate::window) fn size_px(&self) -> (u32, u32) {
        LaidPicture::size_px(self.pixels.taken().size())
    }

    /// Whether it has the size of the picture that was laid.
    #[must_use]
    pub(in crate::window) fn shows(&self, picture: &LaidPicture) -> bool {
        self.size_px() == (picture.width_px, picture.height_px)
    }
}

impl fmt::Debug for Looks {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Looks")
            .field("path", &self.path)
            .field("taken", &self.pixels.taken())
            .finish_non_exhaustive()
    }
}

/// What a thread has read.
type Read = Result<Drawn, String>;

/// A picture, and what is drawn of it.
struct Drawn {
    path: PathBuf,
    pixels: Arc<Pixels>,
    image: ColorImage,
    covers: Vec2,
}

#[derive(Debug)]
enum State {
    Reading(Receiver<Read>),
    There(Looks),
    Bad(String),
}

#[derive(Debug)]
struct Shelved {
    places: Vec<PathBuf>,
    state: State,
}

/// A picture that shall be laid under a knife once it is read.
#[derive(Debug)]
struct Laying {
    knife: Id,
    path: PathBuf,
}

/// The pictures at hand.
#[derive(Debug, Default)]
pub(in crate::window) struct PictureShelf {
    /// The last one looked for comes last.
    shelved: Vec<Shelved>,
    laying: Option<Laying>,
    /// The file of the picture of the knife on the drawing, and of the design that names it.
    shown_of: Option<(Option<PathBuf>, String)>,
    /// Where that picture may be.
    shown: Vec<PathBuf>,
}

impl PictureShelf {
    /// Begins to read a picture that shall be laid under a knife.
    pub(super) fn lay(&mut self, knife: Id, path: PathBuf, ctx: &Context) {
        // Read anew even if it was read before: it may have been mended meanwhile.
        let places = vec![path.clone()];
        self.shelved.retain(|own| !own.serves(&places));
        self.look_for(places, ctx);
        self.laying = Some(Laying { knife, path });
    }

    /// Looks for the picture of the knife on the drawing, named by a design; none when it has no picture. Cheap when it is the same as before.
    pub(super) fn show(&mut self, design: Option<&Path>, file: Option<&str>, ctx: &Context) {
        let known = self.shown_of.as_ref();
        let known = known.map(|(design, file)| (design.as_deref(), file.as_str()));
        if known == file.map(|file| (design, file)) {
            return;
        }
        self.shown_of = file.map(|file| (design.map(Path::to_owned), file.to_owned()));
        self.shown = file.map_or_else(Vec::new, |file| picture_places(design, file));
        self.look_for_shown(ctx);
    }

    /// Looks anew for what was not found.
    pub(super) fn look_again(&mut self, ctx: &Context) {
        self.shelved
            .retain(|own| !matches!(own.state, State::Bad(_)));
        self.look_for_shown(ctx);
    }

    fn look_for_shown(&mut self, ctx: &Context) {
        if !self.shown.is_empty() {
            self.look_for(self.shown.clone(), ctx);
        }
    }

    fn look_for(&mut self, places: Vec<PathBuf>, ctx: &Context) {
        if let Some(place) = self.shelved.iter().position(|own| own.serves(&places)) {
            let own = self.shelved.remove(place);
            self.shelved.push(own);
            return;
        }
        let (tell, told) = channel();
        let most = ctx.input(|i| i.max_texture_side).min(MOST_DRAWN_PX);
        let (ctx, own) = (ctx.clone(), places.clone());
        let begun = work_beside("picture", move || {
            read(&own, most, &tell);
            ctx.request_repaint();
        });
        let state = match begun {
            Ok(_) => State::Reading(told),
            Err(_) => State::Bad(
                "the picture can't be read just now: close something and try again".to_owned(),
            ),
        };
        self.shelved.push(Shelved { places, state });
        if self.shelved.len() > MOST_KEPT {
            let shown = &self.shown;
            let spare = self.shelved.iter().position(|own| !own.serves(shown));
            self.shelved.remove(spare.unwrap_or(0));
        }
    }

    /// Takes over what was read; whether something is still being read.
    pub(super) fn tend(&mut self, ctx: &Context) -> bool {
        let mut works = false;
        for own in &mut self.shelved {
            let State::Reading(told) = &own.state else {
                continue;
            };
            own.state = match told.try_recv() {
                Ok(Ok(drawn)) => {
                    let name = drawn.path.display().to_string();
                    let texture = ctx.load_texture(name, drawn.image, TextureOptions::LINEAR);
                    State::There(Looks {
                        path: drawn.path,
                        pixels: drawn.pixels,
                        texture,
                        covers: drawn.covers,
                    })
                }
                Ok(Err(reason)) => State::Bad(reason),
                Err(TryRecvError::Empty) => {
                    works = true;
                    continue;
                }
                Err(TryRecvError::Disconnected) => {
                    State::Bad("the picture could not be read: choose another one".to_owned())
                }
            };
        }
        works
    }

    /// The picture that was to be laid under a knife, once it is read, or why it can't be.
    pub(super) fn laid(&mut self) -> Option<(Id, Result<&Looks, String>)> {
        let laying = self.laying.take()?;
        let wanted = [laying.path.clone()];
        let Some(place) = self.shelved.iter().position(|own| own.places == wanted) else {
            let let_go = "the picture was let go while it was read: lay it again";
            return Some((laying.knife, Err(let_go.to_owned())));
        };
        let state = self.shelved.get(place).map(|own| &own.state)?;
        match state {
            State::Reading(_) => {
                self.laying = Some(laying);
                None
            }
            State::There(looks) => Some((laying.knife, Ok(looks))),
            State::Bad(reason) => Some((laying.knife, Err(reason.clone()))),
        }
    }

    fn own(&self) -> Option<&Shelved> {
        let shown = &self.shown;
        let own = || self.shelved.iter().find(|own| own.serves(shown));
        (!shown.is_empty()).then(own).flatten()
    }

    /// The picture of the knife on the drawing, once it is read.
    #[must_use]
    pub(in crate::window) fn looks(&self) -> Option<&Looks> {
        match &self.own()?.state {
            State::There(looks) => Some(looks),
            _ => None,
        }
    }

    /// Why the picture of the knife on the drawing can't be shown.
    #[must_use]
    pub(in crate::window) fn trouble(&self) -> Option<&str> {
        match &self.own()?.state {
            State::Bad(reason) => Some(reason),
            _ => None,
        }
    }

    /// Whether a picture is being read.
    #[must_use]
    pub(in crate::window) fn reads(&self) -> bool {
        let reading = |own: &Shelved| matches!(own.state, State::Reading(_));
        self.laying.is_some() || self.own().is_some_and(reading)
    }
}

impl Shelved {
    /// Whether it is what would be found in these places.
    fn serves(&self, places: &[PathBuf]) -> bool {
        let first = places.first().map(PathBuf::as_path);
        match &self.state {
            State::There(looks) => first == Some(looks.path.as_path()) || self.places == places,
            _ => self.places == places,
        }
    }
}

/// Reads the first picture found in some places.
fn read(places: &[PathBuf], most_px: usize, tell: &Sender<Read>) {
    let there = |path: &&PathBuf| Path::is_file(path);
    let path = places.iter().find(there).or(places.first());
    let Some(path) = path else { return };
    let read = match open_picture(path) {
        Ok(pixels) => {
            let small = pixels.at_most(most_px.max(1));
            Ok(Drawn {
                path: path.clone(),
                image: image_of(&small),
                covers: small.taken().size().to_vec2(),
                pixels: Arc::new(pixels),
            })
        }
        Err(problem) => Err(problem.to_string()),
    };
    // Nobody listens any more once it was let go.
    let _ = tell.send(read);
}

fn image_of(pixels: &Pixels) -> ColorImage {
    let color = |[r, g, b]: &[u8; 3]| Color32::from_rgb(*r, *g, *b);
    ColorImage::new(
        [pixels.width(), pixels.height()],
        pixels.rgb().iter().map(color).collect(),
    )
}
