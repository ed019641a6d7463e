//! Rules of the name on the tang.

use super::judge::Judge;
use crate::knife::engraving::{Engraving, EngravingError, LETTER_MM, LONGEST_NAME};
use crate::knife::letters::strokes;

pub(super) fn judge_engraving(judge: &mut Judge<'_>, name: &Engraving) {
    if name.words.len() > 4 * LONGEST_NAME || name.words.chars().count() > LONGEST_NAME {
        judge.fault(
            "words",
            format!("a name of more than {LONGEST_NAME} signs is too long: shorten it"),
        );
    } else if name.words.trim().is_empty() {
        judge.fault(
            "words",
            "there is nothing to engrave: take the name off instead",
        );
    } else if let Err(sign) = strokes(&name.words) {
        judge.fault("words", EngravingError::Sign { sign }.to_string());
    }
    judge.within("height_mm", name.height_mm, LETTER_MM.0, LETTER_MM.1);
    if let Some(at) = name.at {
        judge.point("at", at);
    }
}
