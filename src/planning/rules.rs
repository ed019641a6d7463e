//! The rules a plan keeps: what the shop has, and where and how near holes may be drilled.

use crate::catalog::{DrillSet, drills};
use crate::geometry::Point;
use crate::knife::{Filling, Knife};

/// A drill that may be used.
#[derive(Clone, Debug, PartialEq)]
pub struct UsableDrill {
    /// What stands on it.
    pub label: String,
    /// Diameter, mm.
    pub diameter_mm: f64,
}

/// A place that holes keep away from: all points within a radius.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeepOff {
    /// Its middle.
    pub center: Point,
    /// How far it reaches, mm.
    pub radius_mm: f64,
}

/// What a plan must keep to. [`PlanRules::default`] is common practice.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanRules {
    /// Steel between a hole and the edge of the tang or another opening, in hole diameters. Practice `web.hole-diameters`: 1.
    pub web_diameters: f64,
    /// The same steel in stock thicknesses, whatever the hole. Practice `web.stock-thicknesses`: 1.
    pub web_thicknesses: f64,
    /// Drills that can be had, in rising order. Default: whole and half millimeters from 3 to 13, and inch fractions by 1/32 from 1/8 to 1/2.
    pub drills: Vec<UsableDrill>,
    /// Drills at hand, in rising order; empty when that is not known.
    pub owned: Vec<UsableDrill>,
    /// Holes stay behind this place, mm; `None`: behind the shoulder's rounding, the guard and the front of the handle, and 2 mm behind the shoulder line at least, so
    /// that the handle covers them.
    pub front_mm: Option<f64>,
    /// Holes stay ahead of this place, mm; `None` for the end of the tang, or of a handle that ends before it.
    pub rear_mm: Option<f64>,
    /// Holes sit on the middle line of the tang, or in pairs beside it.
    pub symmetric: bool,
    /// What holes keep away from, besides the flaws marked on the knife.
    pub keep_off: Vec<KeepOff>,
    /// What fills the new holes.
    pub filling: Filling,
    /// Most holes in one plan.
    pub most_holes: usize,
    /// Most steel that may be taken, g.
    pub most_removed_g: Option<f64>,
    /// Whether slots may be cut.
    pub slots: bool,
    /// Whether the taper may be changed.
    pub taper: bool,
    /// Least thickness a tapered tang keeps at the butt, mm. Practice `taper.tang-end`: 1 to 2.
    pub butt_mm: f64,
}

impl Default for PlanRules {
    fn default() -> Self {
        Self {
            web_diameters: 1.0,
            web_thicknesses: 1.0,
            drills: usual_drills(),
            owned: Vec::new(),
            front_mm: None,
            rear_mm: None,
            symmetric: false,
            keep_off: Vec::new(),
            filling: Filling::Nothing,
            most_holes: 12,
            most_removed_g: None,
            slots: true,
            taper: true,
            butt_mm: 1.0,
        }
    }
}

/// Least distance from the shoulder line to a hole, mm, so that what is glued over it covers it (common practice, no source).
const COVER_MM: f64 = 2.0;

impl PlanRules {
    /// The web a hole of a diameter keeps in steel of a thickness, mm.
    #[must_use]
    pub fn web_mm(&self, diameter_mm: f64, stock_mm: f64) -> f64 {
        (self.web_diameters * diameter_mm).max(self.web_thicknesses * stock_mm)
    }

    /// Diameter of the smallest drill there is, mm; infinite without any.
    pub(super) fn smallest(&self) -> f64 {
        let all = self.drills.iter().chain(&self.owned);
        all.map(|d| d.diameter_mm).fold(f64::INFINITY, f64::min)
    }

    /// Where holes may lie on a knife whose steel begins at `butt_mm`: rear and front, mm.
    #[must_use]
    pub fn region_mm(&self, knife: &Knife, butt_mm: f64) -> (f64, f64) {
        let rounding = knife.tang.shoulder_radius_mm();
        let guard = knife.guard.as_ref().map_or(0.0, |g| g.thickness_mm);
        let handle = knife.handle.as_ref().map_or(0.0, |h| -h.front_x_mm());
        let covered = -(rounding.max(guard).max(handle).max(COVER_MM));
        // A handle of its own shape may end ahead of the butt; what lies behind it is not covered.
        let outline = knife.handle.as_ref().and_then(|h| h.outline.as_ref());
        let end = outline
            .map(|own| own.contour().bounds().x0 + COVER_MM)
            .filter(|end| end.is_finite() && *end > butt_mm + COVER_MM);
        let usual = end.unwrap_or(butt_mm);
        (
            self.rear_mm.map_or(usual, |mm| mm.max(butt_mm)),
            self.front_mm.unwrap_or(covered),
        )
    }
}

/// Whole and half millimeters from 3 to 13, and fractions of an inch by 1/32 from 1/8 to 1/2: what most boxes of drills hold (common practice, no
/// source).
fn usual_drills() -> Vec<UsableDrill> {
    let in_box = |set: DrillSet, d: f64| match set {
        DrillSet::Metric => (3.0..=13.0).contains(&d) && (2.0 * d).fract() == 0.0,
        DrillSet::Fraction => {
            let parts = 32.0 * d / 25.4;
            (4.0..=16.0).contains(&(parts.round())) && (parts - parts.round()).abs() < 1e-6
        }
        _ => false,
    };
    let mut found: Vec<UsableDrill> = drills()
        .iter()
        .filter(|drill| in_box(drill.set, drill.diameter_mm))
        .map(|drill| UsableDrill {
            label: drill.label.clone(),
            diameter_mm: drill.diameter_mm,
        })
        .collect();
    found.sort_by(|a, b| a.diameter_mm.total_cmp(&b.diameter_mm));
    found
}

/// Drills by their labels, in rising order.
///
/// # Errors
/// The first label that is no drill's.
pub fn drills_named<'a>(
    labels: impl IntoIterator<Item = &'a str>,
) -> Result<Vec<UsableDrill>, String> {
    let mut found = Vec::new();
    for label in labels {
        let drill = crate::catalog::drill_named(label).ok_or_else(|| label.trim().to_owned())?;
        found.push(UsableDrill {
            label: drill.label.clone(),
            diameter_mm: drill.diameter_mm,
        });
    }
    found.sort_by(|a, b| a.diameter_mm.total_cmp(&b.diameter_mm));
    found.dedup();
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::practice_rule;

    #[test]
    fn defaults_are_what_the_tables_say() {
        let rules = PlanRules::default();
        let low = |key: &str| practice_rule(key).expect(key).range().0;
        assert_eq!(rules.web_diameters, low("web.hole-diameters"));
        assert_eq!(rules.web_thicknesses, low("web.stock-thicknesses"));
        assert_eq!(rules.butt_mm, low("taper.tang-end"));
        // 21 metric sizes from 3 to 13 by halves, 13 fractions from 4/32 to 16/32.
        assert_eq!(rules.drills.len(), 21 + 13);
        assert!(
            rules
                .drills
                .is_sorted_by(|a, b| a.diameter_mm <= b.diameter_mm)
        );
        let labels: Vec<&str> = rules.drills.iter().map(|d| d.label.as_str()).collect();
        assert!(
            labels.contains(&"6.5 mm") && labels.contains(&"5/32"),
            "{labels:?}"
        );
    }

    #[test]
    fn drills_are_found_by_what_stands_on_them() {
        let found = drills_named(["8", "1/8", "F", "8.0 mm"]).unwrap();
        let labels: Vec<&str> = found.iter().map(|d| d.label.as_str()).collect();
        assert_eq!(labels, ["1/8", "F", "8.0 mm"]);
        assert_eq!(drills_named(["8", " 30th "]), Err("30th".to_owned()));
    }
}
