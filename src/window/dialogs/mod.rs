//! Dialogs: one at a time, over everything else. Escape closes, Enter takes the default, focus goes in and comes back.

mod calibrate;
mod drawing_in;
mod figures;
mod help;
mod new_knife;
mod new_knife_picture;
mod path;
mod printer;
mod question;
mod service;
mod sheet;

use std::mem::Discriminant;

use super::action::Action;
use super::filing::Purpose;
use super::session::Session;
use super::shown::Shown;

pub use calibrate::Calibrate;
pub(super) use drawing_in::DrawingIn;
pub use new_knife::NewKnife;
pub use path::PathDialog;
pub use printer::TruePrinter;
pub use question::{Answer, Question};
use sheet::Turn;

/// The open dialog.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Dialog {
    /// None is open.
    #[default]
    None,
    /// A message, or a question with a few answers.
    Question(Question),
    /// Holding a ruler or a card to the screen.
    Calibrate(Calibrate),
    /// Typing what the printer page measures.
    Printer(TruePrinter),
    /// Choosing the form and sizes of a new knife.
    NewKnife(Box<NewKnife>),
    /// A drawing from elsewhere, looked at before it becomes a knife.
    DrawingIn(Box<DrawingIn>),
    /// Choosing a path without the desktop's dialog.
    Path(PathDialog),
    /// The desktop's file dialog is open.
    Waiting(Purpose),
    /// What the checks go by.
    Figures,
    /// The rules of the service work goes to.
    Service,
    /// The list of keys.
    Keys,
    /// Working safely.
    Cautions,
    /// What this program is.
    About,
}

impl Dialog {
    /// Whether a dialog is open.
    #[must_use]
    pub fn is_open(&self) -> bool {
        *self != Self::None
    }
}

/// Where the keyboard was before a dialog opened.
#[derive(Clone, Debug, Default)]
pub struct DialogFocus {
    /// The dialog that was drawn in the last frame.
    drawn: Option<Drawn>,
    before: Option<egui::Id>,
    /// Takes the keyboard back in the frame after the dialog is gone; until then the dialog's layer keeps it.
    back: Option<egui::Id>,
}

/// Tells one dialog from the next, so that each takes the keyboard when it opens.
#[derive(Clone, Debug, PartialEq)]
struct Drawn {
    kind: Discriminant<Dialog>,
    heading: String,
}

impl Drawn {
    fn of(dialog: &Dialog) -> Self {
        let heading = match dialog {
            Dialog::Question(question) => question.heading.clone(),
            _ => String::new(),
        };
        Self {
            kind: std::mem::discriminant(dialog),
            heading,
        }
    }
}

/// Draws the open dialog.
pub(super) fn dialogs_ui(
    ui: &mut egui::Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let ctx = ui.ctx().clone();
    if !session.dialog.is_open() {
        let focus = &mut session.dialog_focus;
        focus.drawn = None;
        if let Some(id) = focus.back.take() {
            ctx.memory_mut(|m| m.request_focus(id));
        }
        return;
    }
    let focus = &mut session.dialog_focus;
    let drawn = Drawn::of(&session.dialog);
    let fresh = focus.drawn.as_ref() != Some(&drawn);
    if focus.drawn.is_none() {
        // One dialog that follows another gives the keyboard back to where the first one took it.
        let held = ctx.memory(egui::Memory::focused);
        focus.before = focus.back.take().or(held);
    }
    focus.drawn = Some(drawn);
    // Taken out while it is drawn, so that it may change the session; put back unless it is done.
    let mut dialog = std::mem::take(&mut session.dialog);
    let turn = match &mut dialog {
        Dialog::None => Turn::Done,
        Dialog::Question(question) => question::question_ui(&ctx, shown, question, fresh, actions),
        Dialog::Calibrate(calibrate) => {
            calibrate::calibrate_ui(&ctx, shown, calibrate, fresh, &mut session.preferences)
        }
        Dialog::Printer(own) => {
            printer::printer_ui(&ctx, shown, own, fresh, &mut session.preferences)
        }
        Dialog::NewKnife(knife) => new_knife::new_knife_ui(&ctx, shown, knife, fresh, actions),
        Dialog::DrawingIn(own) => drawing_in::drawing_in_ui(&ctx, shown, own, fresh, actions),
        Dialog::Path(path) => path::path_ui(&ctx, shown, path, fresh, actions),
        Dialog::Waiting(purpose) => path::waiting_ui(&ctx, shown, purpose, fresh, actions),
        Dialog::Figures => figures::figures_ui(&ctx, shown, session, fresh, actions),
        Dialog::Service => service::service_ui(&ctx, shown, session, fresh, actions),
        Dialog::Keys => help::keys_ui(&ctx, shown, fresh),
        Dialog::Cautions => help::cautions_ui(&ctx, shown, fresh),
        Dialog::About => help::about_ui(&ctx, shown, fresh),
    };
    match turn {
        Turn::Stay => session.dialog = dialog,
        Turn::Done => {
            session.dialog_focus.drawn = None;
            session.dialog_focus.back = session.dialog_focus.before.take();
            ctx.request_repaint();
        }
    }
}
