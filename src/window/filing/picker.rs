//! The desktop's file dialog: asked for from the window's own thread, waited for on another, so that the window goes on drawing.

use std::future::Future;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{self, Receiver, TryRecvError};
use std::task::{Context, Poll, Wake, Waker};
use std::thread::{self, Thread};
use std::time::{Duration, Instant};

use super::wish::Purpose;

/// A dialog that is gone sooner than this was never there: nobody reads and cancels one so quickly. A desktop without dialogs answers
/// like a canceled one.
const TOO_SOON: Duration = Duration::from_millis(700);

/// Endings of the pictures that are read, as some systems tell capitals apart.
const PICTURE_ENDINGS: [&str; 6] = ["png", "jpg", "jpeg", "PNG", "JPG", "JPEG"];

/// What a dialog begins with.
#[derive(Clone, Debug, Default)]
pub(super) struct Beginning {
    pub(super) folder: Option<PathBuf>,
    pub(super) file_name: String,
}

/// What came of a dialog.
#[derive(Debug, PartialEq)]
pub(super) enum Outcome {
    /// A path was chosen.
    Chosen(Purpose, PathBuf),
    /// The maker closed it.
    Canceled,
    /// The desktop has none.
    None(Purpose),
}

/// The desktop's file dialog, if one is open.
#[derive(Debug, Default)]
pub(super) struct Picker {
    /// Whether the desktop is asked at all.
    pub(super) native: bool,
    /// What a dialog is wanted for, with what it begins with; opened in the next frame.
    wanted: Option<(Purpose, Beginning)>,
    open: Option<Open>,
}

#[derive(Debug)]
struct Open {
    purpose: Purpose,
    answer: Receiver<Option<PathBuf>>,
    since: Instant,
}

impl Picker {
    /// Wants a dialog; it opens at the next [`Picker::turn`].
    pub(super) fn want(&mut self, purpose: Purpose, beginning: Beginning) {
        self.wanted = Some((purpose, beginning));
    }

    /// Stops waiting. The dialog may stay on the screen; what it answers is not heard.
    pub(super) fn give_up(&mut self) {
        self.wanted = None;
        self.open = None;
    }

    /// Opens a wanted dialog, and tells what came of an open one.
    pub(super) fn turn(&mut self, ctx: &egui::Context, frame: &eframe::Frame) -> Option<Outcome> {
        if let Some((purpose, beginning)) = self.wanted.take() {
            match ask(&purpose, &beginning, ctx, frame) {
                Some(answer) => {
                    self.open = Some(Open {
                        purpose,
                        answer,
                        since: Instant::now(),
                    });
                }
                None => return Some(Outcome::None(purpose)),
            }
        }
        let open = self.open.as_ref()?;
        let answer = match open.answer.try_recv() {
            Err(TryRecvError::Empty) => return None,
            Err(TryRecvError::Disconnected) => None,
            Ok(answer) => answer,
        };
        let open = self.open.take()?;
        Some(match answer {
            Some(path) => Outcome::Chosen(open.purpose, path),
            None if open.since.elapsed() < TOO_SOON => Outcome::None(open.purpose),
            None => Outcome::Canceled,
        })
    }
}

/// Opens the dialog; `None` when the system has no thread to wait for it.
fn ask(
    purpose: &Purpose,
    beginning: &Beginning,
    ctx: &egui::Context,
    frame: &eframe::Frame,
) -> Option<Receiver<Option<PathBuf>>> {
    let mut dialog = rfd::AsyncFileDialog::new().set_parent(frame);
    if let Some(folder) = beginning.folder.as_deref().filter(|f| f.is_dir()) {
        dialog = dialog.set_directory(folder);
    }
    let designs = |dialog: rfd::AsyncFileDialog| dialog.add_filter("Designs", &["tangwright"]);
    // Some systems open dialogs only from the thread that owns the window, so the future is made here and waited for elsewhere.
    match purpose {
        Purpose::Open => {
            let dialog = designs(dialog.set_title("Open a design")).add_filter("All files", &["*"]);
            wait(ctx, dialog.pick_file())
        }
        Purpose::Save(_) => {
            let dialog = designs(dialog.set_title("Save the design"));
            wait(ctx, dialog.set_file_name(&beginning.file_name).save_file())
        }
        Purpose::Picture => {
            let dialog = dialog.set_title(purpose.heading());
            let pictures = dialog.add_filter("Pictures", &PICTURE_ENDINGS);
            wait(ctx, pictures.add_filter("All files", &["*"]).pick_file())
        }
        Purpose::Export(_) => {
            let dialog = dialog.set_title("Choose a folder for the files");
            wait(ctx, dialog.pick_folder())
        }
    }
}

fn wait(
    ctx: &egui::Context,
    future: impl Future<Output = Option<rfd::FileHandle>> + Send + 'static,
) -> Option<Receiver<Option<PathBuf>>> {
    let (answer, answered) = mpsc::channel();
    let ctx = ctx.clone();
    thread::Builder::new()
        .name("file dialog".to_owned())
        .spawn(move || {
            let chosen = block_on(future);
            // Nobody listens any more when the maker gave up waiting.
            let _ = answer.send(chosen.map(|file| Path::to_owned(file.path())));
            ctx.request_repaint();
        })
        .ok()?;
    Some(answered)
}

/// Wakes the thread that waits for a future.
struct Unpark(Thread);

impl Wake for Unpark {
    fn wake(self: Arc<Self>) {
        self.0.unpark();
    }
}

/// Waits on this thread until a future is done.
fn block_on<T>(future: impl Future<Output = T>) -> T {
    let waker = Waker::from(Arc::new(Unpark(thread::current())));
    let mut context = Context::from_waker(&waker);
    let mut future = Box::pin(future);
    loop {
        match future.as_mut().poll(&mut context) {
            Poll::Ready(value) => return value,
            Poll::Pending => thread::park(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_future_is_waited_for_across_threads() {
        let (send, heard) = mpsc::channel();
        let mut waker_sent = false;
        let done = Arc::new(std::sync::atomic::AtomicBool::new(false));
        let seen = Arc::clone(&done);
        let future = std::future::poll_fn(move |context| {
            if seen.load(std::sync::atomic::Ordering::SeqCst) {
                return Poll::Ready(7);
            }
            if !waker_sent {
                waker_sent = true;
                send.send(context.waker().clone()).unwrap();
            }
            Poll::Pending
        });
        let other = thread::spawn(move || {
            let waker: Waker = heard.recv().unwrap();
            done.store(true, std::sync::atomic::Ordering::SeqCst);
            waker.wake();
        });
        assert_eq!(block_on(future), 7);
        other.join().unwrap();
    }
}
