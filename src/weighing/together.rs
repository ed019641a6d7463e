//! What several cut-outs do to the balance together.

use super::WeighUp;

/// How far these cut-outs (by their places in [`WeighUp::cut_outs`]), empty, move the balance of the steel together, mm. `None` when a number it needs is missing.
///
/// Taking masses `mᵢ` at `xᵢ` from mass `M` at `x` moves the center by `Σ mᵢ·(x − xᵢ) / (M − Σ mᵢ)`; each alone moves it by
/// `sᵢ = mᵢ·(x − xᵢ) / (M − mᵢ)`, hence the sum of `sᵢ·(M − mᵢ)` over `M − Σ mᵢ`.
#[must_use]
pub fn shift_together(up: &WeighUp, places: &[usize]) -> Option<f64> {
    let mut whole = up.ground?.mass_g;
    for cut in &up.cut_outs {
        whole += cut.removed_g?;
    }
    let (mut moment, mut taken) = (0.0, 0.0);
    for place in places {
        let cut = up.cut_outs.get(*place)?;
        let mass = cut.removed_g?;
        moment += cut.balance_shift_mm? * (whole - mass);
        taken += mass;
    }
    Some(moment / (whole - taken))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::knife::{
        CutOut, CutShape, Filling, HiddenTang, Id, Knife, KnifeSet, Material, Node, Outline,
        Purpose, Stock, Tang, TangEnd,
    };
    use crate::weighing::weigh;

    /// Against the balance of the very blank with those holes and without any.
    #[test]
    fn the_shift_of_several_is_that_of_the_whole_lot_drilled_at_once() {
        let mut set = KnifeSet {
            materials: vec![Material {
                key: "steel".to_owned(),
                name: "Steel".to_owned(),
                density_g_cm3: 7.8,
                density_low: 7.7,
                density_high: 7.9,
                data_sheet: String::new(),
            }],
            ..KnifeSet::default()
        };
        let corners = [(0.0, 0.0), (200.0, 0.0), (200.0, 30.0), (0.0, 30.0)];
        let nodes = (1..)
            .zip(corners)
            .map(|(id, (x, y))| Node::corner(id, Point::new(x, y)))
            .collect();
        let blank = Knife {
            id: 1,
            next_id: 100,
            ..Knife::bare(
                "plate",
                Outline { nodes },
                Stock::plain(4.0, 0.1, "steel"),
                Tang::Hidden(HiddenTang {
                    length_mm: 80.0,
                    shoulder_width_mm: 10.0,
                    end_width_mm: 8.0,
                    shoulder_radius_mm: 2.0,
                    end: TangEnd::Square,
                }),
            )
        };
        let hole = |id: Id, x: f64, d: f64| CutOut {
            id,
            shape: CutShape::Round {
                center: Point::new(x, 15.0),
                diameter_mm: d,
            },
            purpose: Purpose::Pin,
            filling: Filling::Nothing,
        };
        let of = |set: &mut KnifeSet, cut_outs: Vec<CutOut>| {
            let knife = Knife {
                cut_outs,
                ..blank.clone()
            };
            weigh(&knife, set)
        };
        let plain = of(&mut set, vec![]).steel.balance_mm.unwrap();
        let lot = vec![hole(91, 30.0, 12.0), hole(92, 55.0, 9.0)];
        let drilled = of(&mut set, lot.clone()).steel.balance_mm.unwrap();
        let mut more = lot;
        more.push(hole(93, 150.0, 14.0));
        let up = of(&mut set, more);
        let shift = shift_together(&up, &[0, 1]).unwrap();
        assert!((shift - (drilled - plain)).abs() < 1e-10, "{shift}");
        assert!(shift > 0.1);
    }
}
