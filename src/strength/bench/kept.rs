//! What a plan leaves of a knife's strength: by its highest stress, and by the section that loses most.

use super::StrengthBench;
use crate::knife::CutShape;
use crate::strength::net::NetSection;
use crate::strength::opening::Opening;

/// Stations from the rear of the hold to the shoulder line, or to the load.
const STATIONS: u32 = 32;

/// How near the last section that bears is told, mm.
const NEAR_MM: f64 = 1e-3;

/// What is left of a section modulus, the lesser of edgewise and flatwise.
fn share_kept(before: &NetSection, after: &NetSection) -> f64 {
    let edgewise = after.edgewise_mm3() / before.edgewise_mm3();
    edgewise.min(after.flatwise_mm3() / before.flatwise_mm3())
}

impl StrengthBench<'_> {
    /// The highest net stress of the tang, edgewise and flatwise, MPa, with more openings cut; `None` where they leave a section without steel,
    /// or the load bends nothing behind the shoulder line.
    #[must_use]
    pub fn tang_stress(&self, more: &[CutShape]) -> Option<(f64, f64)> {
        let more: Vec<Opening> = more.iter().map(|shape| Opening::new("", shape)).collect();
        let openings = self.all(&more);
        let range = (self.hold.rear_mm(), self.load_mm.min(0.0));
        let places = self.places(range, STATIONS, &openings);
        let mut worst: Option<(f64, f64)> = None;
        for x in places {
            let moment = self.moment(x);
            if moment <= 0.0 {
                continue;
            }
            let section = self.net(x, &openings, None)?;
            let (e, f) = (
                moment / section.edgewise_mm3(),
                moment / section.flatwise_mm3(),
            );
            worst = Some(worst.map_or((e, f), |(a, b)| (a.max(e), b.max(f))));
        }
        worst
    }

    /// How much of the tang's strength more openings leave: its highest net stress without them over that with them, the lesser of edgewise and
    /// flatwise, at most 1. `None` as [`StrengthBench::tang_stress`].
    #[must_use]
    pub fn tang_kept(&self, before: (f64, f64), more: &[CutShape]) -> Option<f64> {
        let after = self.tang_stress(more)?;
        Some((before.0 / after.0).min(before.1 / after.1).min(1.0))
    }

    /// Share of the section modulus that more openings leave where all of them together take most, the lesser of edgewise and flatwise, each section
    /// against itself without them; 1 for none. `None` where they leave a section without steel.
    #[must_use]
    pub fn sections_kept(&self, more: &[CutShape]) -> Option<f64> {
        let more: Vec<Opening> = more.iter().map(|shape| Opening::new("", shape)).collect();
        let (with, without) = (self.all(&more), self.all(&[]));
        let mut kept = 1.0_f64;
        for x in more.iter().flat_map(Opening::stations) {
            let (after, before) = (self.net(x, &with, None)?, self.net(x, &without, None)?);
            kept = kept.min(share_kept(&before, &after));
        }
        Some(kept)
    }

    /// The same share for this knife ground thinner, as `thinner` has it: of the section that loses most among those that bear, from the rear of the
    /// hold to where the load is nearer than the section is high.
    #[must_use]
    pub fn sections_kept_by(&self, thinner: &Self) -> Option<f64> {
        let openings = self.all(&[]);
        let range = (self.hold.rear_mm(), self.foremost_mm(&openings)?);
        let mut kept = 1.0_f64;
        for x in self.places(range, STATIONS, &openings) {
            let (before, after) = (
                self.net(x, &openings, None)?,
                thinner.net(x, &openings, None)?,
            );
            kept = kept.min(share_kept(&before, &after));
        }
        Some(kept)
    }

    /// The foremost place whose section still bears the load as a beam does, mm.
    fn foremost_mm(&self, openings: &[&Opening]) -> Option<f64> {
        let (mut bears, mut not) = (self.hold.front_mm(), self.load_mm);
        while not - bears > NEAR_MM {
            let middle = f64::midpoint(bears, not);
            let section = self.net(middle, openings, None);
            if section.is_some_and(|section| self.bears(&section)) {
                bears = middle;
            } else {
                not = middle;
            }
        }
        bears.is_finite().then_some(bears)
    }
}
