//! A message, or a question with a few answers.

use egui::{Context, RichText};

use super::sheet::{Foot, FootButton, Sheet, Turn, sheet_ui};
use crate::window::action::Action;
use crate::window::shown::Shown;

/// An answer to a question.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// What the button says.
    pub label: &'static str,
    /// What it does besides closing the question.
    pub action: Option<Action>,
}

/// A question. The first answer is the default; Escape gives the last.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// What it is about.
    pub heading: String,
    /// What happened, and what the answers will do.
    pub lines: Vec<String>,
    /// The answers; at least one.
    pub answers: Vec<Answer>,
}

impl Question {
    /// A message with nothing to decide.
    #[must_use]
    pub fn message(heading: impl Into<String>, lines: Vec<String>) -> Self {
        Self {
            heading: heading.into(),
            lines,
            answers: vec![Answer {
                label: "All right",
                action: None,
            }],
        }
    }
}

/// Draws a question.
pub(super) fn question_ui(
    ctx: &Context,
    shown: &Shown<'_>,
    question: &Question,
    fresh: bool,
    actions: &mut Vec<Action>,
) -> Turn {
    let sheet = Sheet {
        heading: &question.heading,
        width: 480.0,
        fresh,
        focus_default: true,
    };
    let foot = sheet_ui(
        ctx,
        shown.palette,
        sheet,
        |ui| {
            for line in &question.lines {
                ui.label(RichText::new(line).color(shown.palette.line));
            }
        },
        || {
            let label = |answer: &Answer| FootButton::new(answer.label);
            question.answers.iter().map(label).collect()
        },
    );
    let answer = match foot {
        Foot::Nothing => return Turn::Stay,
        Foot::Button(place) => question.answers.get(place),
        Foot::Escape => question.answers.last(),
    };
    actions.extend(answer.and_then(|answer| answer.action.clone()));
    Turn::Done
}
