//! Fifty made-up knives, always the same: every form, every kind of tang, most with pins and a handle, some with a guard.

use std::sync::Arc;

use tangwright::geometry::Point;
use tangwright::knife::{
    CutOut, CutShape, Filling, FullTang, Grind, Guard, HiddenTang, Knife, KnifeSet, Purpose,
    StarterSizes, Tang, TangEnd, default_sizes, fit_tang, make_starter, orchard_set, starter_forms,
    tang_windows, usual_bevel, usual_handle, usual_taper,
};

/// Numbers that look random and are always the same (D. Knuth, The Art of Computer Programming, vol. 2: the MMIX multiplier).
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// How many knives there are.
pub(crate) const KNIVES: u32 = 50;

const STEEL: &str = "steel_80crv2";
const BRASS: &str = "brass_c260";

/// A set of the knives, with the materials of the orchard set.
pub(crate) fn made_up_set() -> KnifeSet {
    let mut set = orchard_set();
    let mut dice = Dice(11);
    let all = (1..=KNIVES).filter_map(|n| made_up(n, &mut dice));
    set.knives = all.map(Arc::new).collect();
    set.next_id = KNIVES + 1;
    set
}

fn made_up(n: u32, dice: &mut Dice) -> Option<Knife> {
    let forms = starter_forms();
    let form = forms[n as usize % forms.len()];
    let usual = default_sizes(form.key)?;
    let blade_mm = usual.blade_mm * dice.between(0.85, 1.15);
    let sizes = StarterSizes {
        blade_mm,
        overall_mm: blade_mm + dice.between(105.0, 130.0),
        height_mm: usual.height_mm * dice.between(0.9, 1.1),
        stock_mm: usual.stock_mm * dice.between(0.8, 1.2),
    };
    let mut knife = make_starter(form.key, &sizes, STEEL).ok()?;
    knife.id = n;
    knife.name = format!("{n} {}", form.key);
    tang(n, &mut knife, dice);
    if let Some(grind) = usual_bevel(&knife) {
        let id = knife.take_id();
        knife.grinding.grinds.push(Grind { id, ..grind });
    }
    let narrow = !matches!(knife.tang, Tang::Full(_));
    let pins: &[f64] = if narrow { &[0.5] } else { &[0.12, 0.5, 0.86] };
    for share in pins.iter().take((n % 4) as usize) {
        pin(&mut knife, *share, [3.0, 4.0, 5.0][n as usize % 3]);
    }
    if matches!(knife.tang, Tang::Hidden(_)) && n.is_multiple_of(2) {
        guard(&mut knife);
    }
    if !n.is_multiple_of(3) {
        knife.handle = usual_handle(&knife, "wood_walnut_english", "epoxy_cured");
    }
    Some(knife)
}

/// Each kind in turn; where the numbers make none the form's own stays.
fn tang(n: u32, knife: &mut Knife, dice: &mut Dice) {
    let length_mm = knife.tang.length_mm();
    let full = FullTang {
        length_mm,
        butt_height_mm: dice.between(18.0, 28.0),
        belly_mm: dice.between(0.0, 2.0),
        drop_mm: dice.between(0.0, 4.0),
        finger_mm: dice.between(0.0, 2.0),
        hook_mm: 0.0,
    };
    let narrow = HiddenTang {
        length_mm: length_mm * dice.between(0.5, 0.8),
        shoulder_width_mm: dice.between(9.0, 16.0),
        end_width_mm: dice.between(7.0, 9.0),
        shoulder_radius_mm: dice.between(1.5, 3.0),
        end: TangEnd::Round,
    };
    let wanted = match n % 5 {
        0 | 1 | 4 => Tang::Full(full),
        2 => Tang::Hidden(narrow),
        _ => Tang::Partial(narrow),
    };
    let _ = fit_tang(knife, wanted);
    match n % 5 {
        1 => knife.grinding.taper = usual_taper(knife),
        4 => {
            let windows = tang_windows(knife, dice.between(4.0, 6.0), n % 3).unwrap_or_default();
            for mut outline in windows {
                for node in &mut outline.nodes {
                    node.id = knife.take_id();
                }
                put(
                    knife,
                    CutShape::Free { outline },
                    Purpose::Lightening,
                    Filling::Nothing,
                );
            }
        }
        _ => {}
    }
}

fn put(knife: &mut Knife, shape: CutShape, purpose: Purpose, filling: Filling) {
    let id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape,
        purpose,
        filling,
    });
}

/// A brass pin on the middle line, a share of the way back.
fn pin(knife: &mut Knife, share: f64, diameter_mm: f64) {
    let steel = knife.contour().index();
    let x = steel.bounds().x0 * share;
    let Some((low, high)) = steel.depth_at(x) else {
        return;
    };
    let center = Point::new(x, f64::midpoint(low, high));
    let shape = CutShape::Round {
        center,
        diameter_mm,
    };
    put(knife, shape, Purpose::Pin, Filling::pin(BRASS));
}

fn guard(knife: &mut Knife) {
    let id = knife.take_id();
    knife.guard = Some(Guard {
        id,
        name: "guard".to_owned(),
        width_mm: 16.0,
        height_mm: 34.0,
        middle_y_mm: 0.0,
        corner_radius_mm: 5.0,
        thickness_mm: 5.0,
        material: BRASS.to_owned(),
        clearance_mm: 0.0,
        slot_corner_mm: 0.1,
    });
}
