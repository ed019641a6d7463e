//! Words of version 1 that stand for choices.

use crate::knife::{Joint, LandmarkKind, Purpose, TangEnd};

/// Kinds of cut-out shape.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum ShapeKind {
    Round,
    Slot,
    Free,
}

/// Kinds of filling.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum FillingKind {
    Pin,
    Tube,
    Epoxy,
}

/// Kinds of tang.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum TangKind {
    Full,
    Hidden,
}

/// What a row follows.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Along {
    Line,
    TangMiddle,
}

pub(super) const SHAPES: &[(&str, ShapeKind)] = &[
    ("round", ShapeKind::Round),
    ("slot", ShapeKind::Slot),
    ("free", ShapeKind::Free),
];

pub(super) const FILLINGS: &[(&str, FillingKind)] = &[
    ("pin", FillingKind::Pin),
    ("tube", FillingKind::Tube),
    ("epoxy", FillingKind::Epoxy),
];

pub(super) const TANGS: &[(&str, TangKind)] =
    &[("full", TangKind::Full), ("hidden", TangKind::Hidden)];

pub(super) const ALONG: &[(&str, Along)] =
    &[("line", Along::Line), ("tang_middle", Along::TangMiddle)];

pub(super) const JOINTS: &[(&str, Joint)] = &[("corner", Joint::Corner), ("smooth", Joint::Smooth)];

pub(super) const TANG_ENDS: &[(&str, TangEnd)] = &[
    ("square", TangEnd::Square),
    ("round", TangEnd::Round),
    ("pointed", TangEnd::Pointed),
];

pub(super) const PURPOSES: &[(&str, Purpose)] = &[
    ("pin", Purpose::Pin),
    ("tube", Purpose::Tube),
    ("lanyard", Purpose::Lanyard),
    ("lightening", Purpose::Lightening),
    ("guard_pin", Purpose::GuardPin),
    ("alignment", Purpose::Alignment),
    ("tooling", Purpose::Tooling),
];

pub(super) const LANDMARKS: &[(&str, LandmarkKind)] = &[
    ("tip", LandmarkKind::Tip),
    ("heel", LandmarkKind::Heel),
    ("plunge", LandmarkKind::Plunge),
    ("spine_start", LandmarkKind::SpineStart),
    ("upper_shoulder", LandmarkKind::UpperShoulder),
    ("lower_shoulder", LandmarkKind::LowerShoulder),
    ("butt", LandmarkKind::Butt),
];

/// The word for a choice; empty for a choice this version has no word for, which the tests rule out.
pub(super) fn word_for<T: PartialEq>(
    words: &'static [(&'static str, T)],
    meaning: T,
) -> &'static str {
    words
        .iter()
        .find(|(_, own)| *own == meaning)
        .map_or("", |(word, _)| word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_choice_has_a_word() {
        assert!(
            Purpose::ALL
                .iter()
                .all(|p| !word_for(PURPOSES, *p).is_empty())
        );
        assert!(
            LandmarkKind::ALL
                .iter()
                .all(|k| !word_for(LANDMARKS, *k).is_empty())
        );
        for end in [TangEnd::Square, TangEnd::Round, TangEnd::Pointed] {
            assert!(!word_for(TANG_ENDS, end).is_empty());
        }
        for joint in [Joint::Corner, Joint::Smooth] {
            assert!(!word_for(JOINTS, joint).is_empty());
        }
    }
}
