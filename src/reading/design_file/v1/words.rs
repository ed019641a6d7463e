//! Words of version 1 that stand for choices.

use crate::knife::{Joint, LandmarkKind, Purpose, TangEnd};

/// The words of a file for a few choices.
pub(in super::super) type Words<T> = &'static [(&'static str, T)];

/// Kinds of cut-out shape.
#[derive(Clone, Copy, PartialEq)]
pub(in super::super) enum ShapeKind {
    Round,
    Slot,
    Free,
}

/// Kinds of filling.
#[derive(Clone, Copy, PartialEq)]
pub(in super::super) enum FillingKind {
    Pin,
    Tube,
    Epoxy,
}

/// Kinds of tang.
#[derive(Clone, Copy, PartialEq)]
pub(in super::super) enum TangKind {
    Full,
    Hidden,
    /// Since version 3.
    Partial,
}

/// What a row follows.
#[derive(Clone, Copy, PartialEq)]
pub(in super::super) enum Along {
    Line,
    TangMiddle,
}

pub(in super::super) const SHAPES: Words<ShapeKind> = &[
    ("round", ShapeKind::Round),
    ("slot", ShapeKind::Slot),
    ("free", ShapeKind::Free),
];

pub(in super::super) const FILLINGS: Words<FillingKind> = &[
    ("pin", FillingKind::Pin),
    ("tube", FillingKind::Tube),
    ("epoxy", FillingKind::Epoxy),
];

pub(in super::super) const TANGS: Words<TangKind> =
    &[("full", TangKind::Full), ("hidden", TangKind::Hidden)];

pub(in super::super) const ALONG: Words<Along> =
    &[("line", Along::Line), ("tang_middle", Along::TangMiddle)];

pub(in super::super) const JOINTS: Words<Joint> =
    &[("corner", Joint::Corner), ("smooth", Joint::Smooth)];

pub(in super::super) const TANG_ENDS: Words<TangEnd> = &[
    ("square", TangEnd::Square),
    ("round", TangEnd::Round),
    ("pointed", TangEnd::Pointed),
];

pub(in super::super) const PURPOSES: Words<Purpose> = &[
    ("pin", Purpose::Pin),
    ("tube", Purpose::Tube),
    ("lanyard", Purpose::Lanyard),
    ("lightening", Purpose::Lightening),
    ("guard_pin", Purpose::GuardPin),
    ("alignment", Purpose::Alignment),
    ("tooling", Purpose::Tooling),
];

pub(in super::super) const LANDMARKS: Words<LandmarkKind> = &[
    ("tip", LandmarkKind::Tip),
    ("heel", LandmarkKind::Heel),
    ("plunge", LandmarkKind::Plunge),
    ("spine_start", LandmarkKind::SpineStart),
    ("upper_shoulder", LandmarkKind::UpperShoulder),
    ("lower_shoulder", LandmarkKind::LowerShoulder),
    ("butt", LandmarkKind::Butt),
];
