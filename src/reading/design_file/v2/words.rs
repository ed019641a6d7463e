//! Words that version 2 has beyond those of version 1, and the way from a choice to its word.

use super::super::v1::words::Words;
use crate::knife::{Faces, LandmarkKind};

/// Which faces a grind is on, and whether they are alike.
#[derive(Clone, Copy, PartialEq)]
pub(in super::super) enum SidesKind {
    Both,
    Right,
    Left,
    Each,
}

/// Forms of a ground surface.
#[derive(Clone, Copy, PartialEq)]
pub(in super::super) enum FormKind {
    Flat,
    Hollow,
    Convex,
}

/// What a rise is given by.
#[derive(Clone, Copy, PartialEq)]
pub(in super::super) enum RiseKind {
    Height,
    Angle,
}

pub(in super::super) const SIDES: Words<SidesKind> = &[
    ("both", SidesKind::Both),
    ("right", SidesKind::Right),
    ("left", SidesKind::Left),
    ("each", SidesKind::Each),
];

pub(in super::super) const FORMS: Words<FormKind> = &[
    ("flat", FormKind::Flat),
    ("hollow", FormKind::Hollow),
    ("convex", FormKind::Convex),
];

pub(in super::super) const RISES: Words<RiseKind> =
    &[("height", RiseKind::Height), ("angle", RiseKind::Angle)];

pub(in super::super) const FACES: Words<Faces> = &[
    ("both", Faces::Both),
    ("right", Faces::Right),
    ("left", Faces::Left),
];

pub(in super::super) const LANDMARKS: Words<LandmarkKind> = &[
    ("tip", LandmarkKind::Tip),
    ("heel", LandmarkKind::Heel),
    ("plunge", LandmarkKind::Plunge),
    ("spine_start", LandmarkKind::SpineStart),
    ("false_edge", LandmarkKind::FalseEdge),
    ("upper_shoulder", LandmarkKind::UpperShoulder),
    ("lower_shoulder", LandmarkKind::LowerShoulder),
    ("butt", LandmarkKind::Butt),
];

/// The word for a choice; empty for a choice this version has no word for, which the tests rule out.
pub(in super::super) fn word_for<T: PartialEq>(words: Words<T>, meaning: T) -> &'static str {
    words
        .iter()
        .find(|(_, own)| *own == meaning)
        .map_or("", |(word, _)| word)
}

#[cfg(test)]
mod tests {
    use super::super::super::v1::words::{JOINTS, PURPOSES, TANG_ENDS};
    use super::*;
    use crate::knife::{Joint, Purpose, TangEnd};

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
        assert!(Faces::ALL.iter().all(|f| !word_for(FACES, *f).is_empty()));
        for end in [TangEnd::Square, TangEnd::Round, TangEnd::Pointed] {
            assert!(!word_for(TANG_ENDS, end).is_empty());
        }
        for joint in [Joint::Corner, Joint::Smooth] {
            assert!(!word_for(JOINTS, joint).is_empty());
        }
    }
}
