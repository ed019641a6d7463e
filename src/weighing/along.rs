//! How the steel lies along a knife: grams to the millimeter, place by place.

use super::scale::Scale;
use crate::geometry::{Point, SpanIndex};
use crate::knife::{Knife, KnifeSet};
use crate::thickness::GroundBlade;

/// Places along the knife between which the line is straight.
const PLACES: u32 = 360;
/// The sum up the blade is closed in on until two rules agree to this, g/mm: a thousandth of what a thin tip has.
const CLOSE_G_PER_MM: f64 = 1e-5;
/// Halvings of the steel at one place: the last is a 4000th of it.
const HALVINGS: u32 = 12;
/// A place this near to an end of the steel stands for the end, mm: at the very end there is none to ask.
const INSIDE_MM: f64 = 1e-6;

/// The mass of a knife's steel at one place along it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MassAt {
    /// Place from the shoulder line, mm.
    pub x_mm: f64,
    /// Grams to the millimeter there: after tapers, grinds and cut-outs.
    pub g_per_mm: f64,
}

/// The mass of a knife's steel along it, from butt to tip. `scale` is the one the knife was weighed on, `steel` the index of its outline.
///
/// At each place the thickness of every layer times its density is summed up the blade, cut-outs left out (Simpson's rule, halved until it holds). `None`
/// while the knife can't be ground as designed or a material is unknown.
#[must_use]
pub fn mass_along(
    knife: &Knife,
    set: &KnifeSet,
    scale: &Scale,
    steel: &SpanIndex,
) -> Option<Vec<MassAt>> {
    let blade = scale.blade()?;
    let layers: Vec<(f64, f64, f64)> = knife
        .stock
        .laid_layers()
        .into_iter()
        .map(|layer| {
            let density = set.material(&layer.material)?.density_g_cm3;
            Some((layer.from_mm, layer.to_mm, density / 1000.0))
        })
        .collect::<Option<_>>()?;
    let openings: Vec<SpanIndex> = knife
        .all_cut_outs(steel)
        .iter()
        .map(|(_, cut)| cut.shape.contour().index())
        .collect();
    let section = Across {
        blade,
        steel,
        layers,
        openings,
    };
    let bounds = steel.bounds();
    let (low, high) = (bounds.x0 + INSIDE_MM, bounds.x1 - INSIDE_MM);
    let places = (0..=PLACES).map(|i| {
        let x_mm = low + (high - low) * f64::from(i) / f64::from(PLACES);
        MassAt {
            x_mm,
            g_per_mm: section.g_per_mm(x_mm),
        }
    });
    Some(places.collect())
}

/// What a sum across the knife asks.
struct Across<'a> {
    blade: &'a GroundBlade,
    steel: &'a SpanIndex,
    /// Each layer: from, to, g/mm³.
    layers: Vec<(f64, f64, f64)>,
    openings: Vec<SpanIndex>,
}

impl Across<'_> {
    fn g_per_mm(&self, x: f64) -> f64 {
        // Every height at which steel begins or ends, and whether it is steel that begins and ends there or an opening.
        let mut ends: Vec<(f64, i32)> = Vec::new();
        let pairs = |index: &SpanIndex, sign: i32, ends: &mut Vec<(f64, i32)>| {
            for pair in index.heights_at(x).chunks_exact(2) {
                if let [low, high] = pair {
                    ends.extend([(*low, sign), (*high, -sign)]);
                }
            }
        };
        pairs(self.steel, 1, &mut ends);
        for opening in &self.openings {
            let b = opening.bounds();
            if (b.x0..=b.x1).contains(&x) {
                pairs(opening, -1, &mut ends);
            }
        }
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut sum = 0.0;
        let (mut depth, mut from) = (0, 0.0);
        for (y, step) in ends {
            if depth > 0 && y > from {
                sum += self.between(x, from, y);
            }
            depth += step;
            from = y;
        }
        sum
    }

    fn between(&self, x: f64, low: f64, high: f64) -> f64 {
        let [a, m, b] = [low, f64::midpoint(low, high), high].map(|y| (y, self.density(x, y)));
        self.cell(x, [a, m, b], HALVINGS)
    }

    /// Simpson's rule over a stretch, halved until both halves together agree with it.
    fn cell(&self, x: f64, [a, m, b]: [(f64, f64); 3], halvings: u32) -> f64 {
        let at = |y: f64| (y, self.density(x, y));
        let (p, q) = (at(f64::midpoint(a.0, m.0)), at(f64::midpoint(m.0, b.0)));
        let simpson = |a: (f64, f64), m: (f64, f64), b: (f64, f64)| {
            (b.0 - a.0) / 6.0 * (a.1 + 4.0 * m.1 + b.1)
        };
        let (front, back) = (simpson(a, p, m), simpson(m, q, b));
        // The first two halvings are always made, lest a narrow bevel be stepped over.
        let settled = (front + back - simpson(a, m, b)).abs() < CLOSE_G_PER_MM;
        if halvings == 0 || (settled && halvings + 2 <= HALVINGS) {
            return front + back;
        }
        self.cell(x, [a, p, m], halvings - 1) + self.cell(x, [m, q, b], halvings - 1)
    }

    /// Mass through the thickness at a point, g/mm².
    fn density(&self, x: f64, y: f64) -> f64 {
        let place = self.blade.place_at(Point::new(x, y));
        let (low, high) = (-place.left_mm, place.right_mm);
        self.layers
            .iter()
            .map(|(from, to, density)| density * (to.min(high) - from.max(low)).max(0.0))
            .sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::{CutOut, CutShape, Filling, Purpose, orchard_set};

    fn of(knife: &Knife, set: &KnifeSet) -> (Vec<MassAt>, f64, f64) {
        let mut scale = Scale::default();
        let up = scale.weigh(knife, set);
        let steel = knife.contour().index();
        let along = mass_along(knife, set, &scale, &steel).expect("it can be ground");
        let ground = up.ground.expect("it can be weighed");
        (along, ground.mass_g, ground.balance_mm)
    }

    /// Mass and balance of the line, straight between its places.
    fn summed(along: &[MassAt]) -> (f64, f64) {
        let (mut mass, mut moment) = (0.0, 0.0);
        for pair in along.windows(2) {
            let [a, b] = pair else { continue };
            let part = f64::midpoint(a.g_per_mm, b.g_per_mm) * (b.x_mm - a.x_mm);
            mass += part;
            moment += part * f64::midpoint(a.x_mm, b.x_mm);
        }
        (mass, moment / mass)
    }

    /// The chopper without grinds and openings.
    fn flat(set: &KnifeSet) -> Knife {
        let mut knife = Knife::clone(&set.knives[0]);
        knife.grinding = crate::knife::Grinding::default();
        knife.cut_outs.clear();
        knife.rows.clear();
        knife
    }

    /// Flat steel has thickness × depth × density at each place: by hand.
    #[test]
    fn a_flat_bar_weighs_its_depth_times_thickness_times_density() {
        let set = orchard_set();
        let knife = flat(&set);
        let steel = knife.contour().index();
        let (along, ..) = of(&knife, &set);
        let density = set.material(&knife.stock.material).unwrap().density_g_cm3;
        assert!(along.len() > 100);
        for at in along {
            let (low, high) = steel.depth_at(at.x_mm).unwrap();
            let wanted = (high - low) * knife.stock.thickness_mm * density / 1000.0;
            assert!((at.g_per_mm - wanted).abs() < 1e-9, "{at:?} {wanted}");
        }
    }

    /// The line summed is the mass and the balance of the weigh-up, which sums rays square off the edge: another way through the same steel. Straight lines
    /// between places about 1 mm apart leave what a hole's round sides bend.
    #[test]
    fn the_line_sums_up_to_the_weigh_up_of_every_orchard_knife() {
        let set = orchard_set();
        for knife in &set.knives {
            let (along, mass, balance) = of(knife, &set);
            let (summed, middle) = summed(&along);
            let off = (summed - mass).abs() / mass;
            assert!(off < 0.002, "{}: {summed} g for {mass} g", knife.name);
            assert!(
                (middle - balance).abs() < 0.1,
                "{}: {middle} mm for {balance} mm",
                knife.name
            );
        }
    }

    /// Through the middle of a hole as wide as half the depth, half the steel is left.
    #[test]
    fn a_hole_takes_what_it_is_wide() {
        let set = orchard_set();
        let mut knife = flat(&set);
        let steel = knife.contour().index();
        let bounds = steel.bounds();
        // A place the line has.
        let x = bounds.x0 + INSIDE_MM + (bounds.width() - 2.0 * INSIDE_MM) * 0.25;
        let (low, high) = steel.depth_at(x).unwrap();
        knife.cut_outs.push(CutOut {
            id: 900,
            shape: CutShape::Round {
                center: Point::new(x, f64::midpoint(low, high)),
                diameter_mm: (high - low) / 2.0,
            },
            purpose: Purpose::Lightening,
            filling: Filling::Nothing,
        });
        let density = set.material(&knife.stock.material).unwrap().density_g_cm3;
        let (along, ..) = of(&knife, &set);
        let at = along[90];
        assert!((at.x_mm - x).abs() < 1e-9);
        let wanted = (high - low) / 2.0 * knife.stock.thickness_mm * density / 1000.0;
        assert!((at.g_per_mm - wanted).abs() < 1e-6, "{at:?} {wanted}");
    }
}
