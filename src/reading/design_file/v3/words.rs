//! Words that version 3 has beyond those of version 2.

use super::super::v1::words::{TangKind, Words};
use crate::knife::{FlawKind, PartKind, Stage};

/// How a handle sits on the tang.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum FixingKind {
    Scales,
    Block,
}

/// Kinds of hole for the tang.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum HoleKind {
    Drilled,
    BurntIn,
}

pub(super) const TANGS: Words<TangKind> = &[
    ("full", TangKind::Full),
    ("hidden", TangKind::Hidden),
    ("partial", TangKind::Partial),
];

pub(super) const FIXINGS: Words<FixingKind> =
    &[("scales", FixingKind::Scales), ("block", FixingKind::Block)];

pub(super) const HOLES: Words<HoleKind> = &[
    ("drilled", HoleKind::Drilled),
    ("burnt_in", HoleKind::BurntIn),
];

pub(super) const PARTS: Words<PartKind> = &[
    ("grip", PartKind::Grip),
    ("bolster", PartKind::Bolster),
    ("spacer", PartKind::Spacer),
    ("butt_cap", PartKind::ButtCap),
];

/// What a blank is forged from.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum StartKind {
    Bar,
    Billet,
}

pub(super) const STARTS: Words<StartKind> =
    &[("bar", StartKind::Bar), ("billet", StartKind::Billet)];

pub(super) const FLAWS: Words<FlawKind> = &[
    ("crack", FlawKind::Crack),
    ("pit", FlawKind::Pit),
    ("open_weld", FlawKind::OpenWeld),
];

pub(super) const STAGES: Words<Stage> = &[
    ("blank", Stage::Blank),
    ("drilled", Stage::Drilled),
    ("ground", Stage::Ground),
    ("finished", Stage::Finished),
];

#[cfg(test)]
mod tests {
    use super::super::super::v2::words::word_for;
    use super::*;

    #[test]
    fn every_choice_has_a_word() {
        assert!(
            PartKind::ALL
                .iter()
                .all(|k| !word_for(PARTS, *k).is_empty())
        );
        assert!(
            FlawKind::ALL
                .iter()
                .all(|k| !word_for(FLAWS, *k).is_empty())
        );
        assert!(Stage::ALL.iter().all(|k| !word_for(STAGES, *k).is_empty()));
    }
}
