//! What is usual by the use of a blade: the kind of its bevel, the edge left before hardening, the angle of the second bevel.

use crate::knife::Knife;

/// What is usual for a use.
#[derive(Clone, Copy, Debug)]
pub(super) struct Habit {
    /// The bevel.
    pub(super) bevel: Bevel,
    /// Edge left before hardening, mm: 0.3 to 0.6 on thin steel hardened between plates, 0.5 to 1.0 before an oil quench. Common
    /// practice, no source.
    pub(super) edge_mm: f64,
    /// Angle of the second bevel on one face, degrees.
    pub(super) second_deg: f64,
}

/// The kinds of bevel that are usual.
#[derive(Clone, Copy, Debug)]
pub(super) enum Bevel {
    /// Flat from the edge to the spine, on both faces.
    FullFlat,
    /// Flat up to a share of the blade's depth, on both faces.
    PartFlat(f64),
    /// Flat on both faces, by its angle in degrees.
    Angle(f64),
    /// Flat on the right face only, by its angle in degrees.
    Chisel(f64),
    /// Hollow up to a share of the blade's depth, on both faces.
    Hollow(f64),
    /// Bowed outward up to a share of the blade's depth, on both faces.
    Convex(f64),
}

/// What is usual for the knife's use; for an unknown one a flat bevel of part height.
///
/// Edge angles: kitchen 20 degrees (knives-sharpeners-uk.blogspot.com), field and hunting 25 (realtree.com, "How to make your knives sharp and
/// keep them that way"), chopping 25 or more (spletnica.info, "Knife sharpening"), ground on one face 10 to 15 (realtree.com). A bevel that runs to the
/// edge 10 to 12.5, and which use has which bevel: common practice, no source.
pub(super) fn habit(knife: &Knife) -> Habit {
    let (bevel, edge_mm, second_deg) = match knife.form.as_str() {
        "paring" => (Bevel::FullFlat, 0.3, 20.0),
        "utility" | "kitchen" | "slicer" => (Bevel::FullFlat, 0.4, 20.0),
        "grafting" => (Bevel::Chisel(12.0), 0.3, 15.0),
        "hunter" => (Bevel::FullFlat, 0.6, 25.0),
        "bush" => (Bevel::Angle(12.0), 0.5, 25.0),
        "skinner" => (Bevel::Hollow(0.6), 0.6, 25.0),
        "camp" => (Bevel::PartFlat(0.6), 0.8, 25.0),
        "chopper" => (Bevel::Convex(0.7), 0.8, 25.0),
        _ => (Bevel::PartFlat(0.6), 0.5, 20.0),
    };
    Habit {
        bevel,
        edge_mm,
        second_deg,
    }
}
