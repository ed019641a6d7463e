//! Fifty made-up tangs, each searched fully over a small grid of holes by a program of its own: the planner is never worse than that by 2 % of
//! the shift there is to be had.
//!
//! The search knows nothing of the planner: a square plate is weighed by hand, webs are measured to its straight sides, and every set of holes of
//! the grid that keeps the rules is looked at.

use super::super::{PlanRules, UsableDrill, Wanted, plan};
use super::stage::{Plate, pin, set_of};
use crate::knife::CutShape;

/// Numbers that look random and are always the same (D. Knuth, The Art of Computer Programming, vol. 2: the MMIX multiplier).
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.roll()
    }

    fn pick<T: Copy>(&mut self, all: &[T]) -> T {
        all[(self.roll() * all.len() as f64) as usize % all.len()]
    }
}

#[derive(Debug)]
struct Case {
    plate: Plate,
    /// Place and diameter of pin holes on the axis.
    pins: Vec<(f64, f64)>,
    drills: Vec<f64>,
    webs: (f64, f64),
    most: usize,
    grid: Vec<(f64, f64)>,
}

fn case(dice: &mut Dice) -> Case {
    let tang = (dice.between(50.0, 90.0), dice.between(12.0, 26.0));
    let plate = Plate {
        tang,
        blade: (dice.between(80.0, 160.0), dice.between(26.0, 40.0)),
        stock: dice.pick(&[2.0, 2.5, 3.0, 4.0]),
    };
    let pins = if dice.roll() < 0.5 {
        vec![(-tang.0 * dice.between(0.3, 0.7), dice.pick(&[4.0, 5.0]))]
    } else {
        vec![]
    };
    let drills = dice.pick(&[&[4.0, 6.0][..], &[3.0, 5.0, 8.0], &[5.0], &[4.0, 4.5, 7.0]]);
    let most = dice.pick(&[2, 3, 4]);
    let step = if most == 4 { 8.0 } else { 5.0 };
    let rows = dice.pick(&[&[0.0][..], &[-0.25, 0.0, 0.25], &[-0.2, 0.2]]);
    let mut grid = Vec::new();
    let mut x = -tang.0 + dice.between(4.0, 9.0);
    while x < -4.0 {
        grid.extend(rows.iter().map(|y| (x, y * tang.1)));
        x += step;
    }
    Case {
        plate,
        pins,
        drills: drills.to_vec(),
        webs: (dice.pick(&[1.0, 0.75, 0.5]), dice.pick(&[1.0, 0.5])),
        most,
        grid,
    }
}

impl Case {
    fn web(&self, d: f64) -> f64 {
        (self.webs.0 * d).max(self.webs.1 * self.plate.stock)
    }

    fn fits(&self, (x, y, d): (f64, f64, f64)) -> bool {
        let (l, h) = self.plate.tang;
        let side = (h / 2.0 - y.abs()).min(x + l) - d / 2.0;
        let clear =
            |&(p, e): &(f64, f64)| (x - p).hypot(y) - d / 2.0 - e / 2.0 >= self.web(d.max(e));
        side >= self.web(d) && x + d / 2.0 <= -2.0 && self.pins.iter().all(clear)
    }

    fn apart(&self, a: (f64, f64, f64), b: (f64, f64, f64)) -> bool {
        (a.0 - b.0).hypot(a.1 - b.1) - (a.2 + b.2) / 2.0 >= self.web(a.2.max(b.2))
    }

    /// Mass and moment with the pin holes drilled.
    fn start(&self) -> (f64, f64) {
        let per_mm2 = 7.8e-3 * self.plate.stock;
        let (mut m, mut mx) = self.plate.solid();
        for (x, d) in &self.pins {
            let g = per_mm2 * std::f64::consts::PI * d * d / 4.0;
            m -= g;
            mx -= g * x;
        }
        (m, mx)
    }

    /// Calls with the weight of every allowed set of holes.
    fn search(&self, visit: &mut impl FnMut(f64, f64)) {
        let all: Vec<(f64, f64, f64)> = self
            .grid
            .iter()
            .flat_map(|(x, y)| self.drills.iter().map(move |d| (*x, *y, *d)))
            .filter(|hole| self.fits(*hole))
            .collect();
        let mut chosen = Vec::new();
        self.deeper(&all, self.start(), &mut chosen, visit);
    }

    fn deeper(
        &self,
        rest: &[(f64, f64, f64)],
        weight: (f64, f64),
        chosen: &mut Vec<(f64, f64, f64)>,
        visit: &mut impl FnMut(f64, f64),
    ) {
        visit(weight.0, weight.1 / weight.0);
        if chosen.len() == self.most {
            return;
        }
        for (i, hole) in rest.iter().enumerate() {
            if chosen.iter().all(|c| self.apart(*c, *hole)) {
                let g = 7.8e-3 * self.plate.stock * std::f64::consts::PI * hole.2 * hole.2 / 4.0;
                chosen.push(*hole);
                let lighter = (weight.0 - g, weight.1 - g * hole.0);
                self.deeper(&rest[i + 1..], lighter, chosen, visit);
                chosen.pop();
            }
        }
    }
}

#[test]
fn fifty_full_searches_find_nothing_better() {
    let mut dice = Dice(20);
    let mut looked_at = 0_u64;
    for n in 0..50 {
        let case = case(&mut dice);
        let mut knife = case.plate.knife();
        for (x, d) in &case.pins {
            pin(&mut knife, *x, *d);
        }
        let set = set_of(&knife);
        let rules = PlanRules {
            web_diameters: case.webs.0,
            web_thicknesses: case.webs.1,
            drills: case
                .drills
                .iter()
                .map(|d| UsableDrill {
                    label: d.to_string(),
                    diameter_mm: *d,
                })
                .collect(),
            most_holes: case.most,
            slots: false,
            taper: false,
            ..PlanRules::default()
        };
        let start = case.start();
        let now = start.1 / start.0;
        let (mut farthest, mut lightest) = (now, start.0);
        case.search(&mut |g, mm| {
            looked_at += 1;
            farthest = farthest.max(mm);
            lightest = lightest.min(g);
        });
        let shift = farthest - now;
        for share in [0.15, 0.4, 0.7, 0.95, 1.0, 1.3] {
            let wanted = now + share * shift;
            let mut nearest = f64::INFINITY;
            case.search(&mut |_, mm| nearest = nearest.min((mm - wanted).abs()));
            let planning = plan(&knife, &set, Wanted::BalanceMm(wanted), &rules, &|| true).unwrap();
            assert!(
                (planning.balance_mm - now).abs() < 1e-6,
                "{n}: weighed otherwise"
            );
            let found = planning.plans.iter().map(|p| p.off.abs());
            let found = found.fold((now - wanted).abs(), f64::min);
            let worse = if shift > 0.0 {
                (found - nearest) / shift
            } else {
                0.0
            };
            assert!(
                worse <= 0.02,
                "{n} at {share}: {found} off, {nearest} found, of {shift}; {case:?} {planning:?}"
            );
            assert!(
                planning.reachable.1 >= farthest - 0.02 * shift - 1e-9,
                "{n}: {:?} {farthest}",
                planning.reachable
            );
        }
        // The same for a wanted mass.
        for share in [0.3, 0.8, 1.1] {
            let wanted = start.0 - share * (start.0 - lightest);
            let mut nearest = f64::INFINITY;
            case.search(&mut |g, _| nearest = nearest.min((g - wanted).abs()));
            let planning = plan(&knife, &set, Wanted::MassG(wanted), &rules, &|| true).unwrap();
            let found = planning.plans.iter().map(|p| p.off.abs());
            let found = found.fold((start.0 - wanted).abs(), f64::min);
            let most = start.0 - lightest;
            assert!(
                found - nearest <= 0.02 * most,
                "{n} g at {share}: {found} off, {nearest} found, of {most}; {case:?} {planning:?}"
            );
        }
        for p in plan(&knife, &set, Wanted::BalanceMm(farthest), &rules, &|| true)
            .unwrap()
            .plans
        {
            keeps_rules(
                &case,
                &p.cuts.iter().map(|c| c.shape.clone()).collect::<Vec<_>>(),
            );
        }
    }
    // The searches were full ones, and some of them large.
    assert!(looked_at > 100_000, "{looked_at}");
}

/// By the search's own measure.
fn keeps_rules(case: &Case, shapes: &[CutShape]) {
    let holes: Vec<(f64, f64, f64)> = shapes
        .iter()
        .map(|shape| match shape {
            CutShape::Round {
                center,
                diameter_mm,
            } => (center.x, center.y, *diameter_mm),
            other => panic!("{other:?} is no hole"),
        })
        .collect();
    assert!(holes.len() <= case.most);
    for (i, hole) in holes.iter().enumerate() {
        assert!(case.fits(*hole), "{hole:?} {case:?}");
        assert!(case.drills.contains(&hole.2));
        for other in &holes[i + 1..] {
            assert!(case.apart(*hole, *other), "{hole:?} {other:?}");
        }
    }
}
