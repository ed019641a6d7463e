//! Weighed roughly, as in the frames of a drag: within the bound that is told, and as if it had not been once it is weighed again.

use tangwright::geometry::Vec2;
use tangwright::knife::{CutShape, Knife, KnifeSet, orchard_set};
use tangwright::weighing::{Scale, weigh};

/// The brush chopper of the orchard set: bevel, false edge, taper, holes.
fn chopper() -> (Knife, KnifeSet) {
    let set = orchard_set();
    (Knife::clone(&set.knives[0]), set)
}

#[test]
fn a_rough_weigh_up_keeps_its_bound_and_the_digits_that_are_told() {
    let (mut knife, set) = chopper();
    let mut scale = Scale::default();
    let mut unlike = 0;
    for step in 0..40 {
        let node = step % knife.outline.nodes.len();
        knife.outline.nodes[node].at += Vec2::new(0.13, 0.07);
        let exact = weigh(&knife, &set);
        let rough = scale.weigh_roughly(&knife, &set);
        let (Some(a), Some(b)) = (rough.ground, exact.ground) else {
            assert_eq!(rough.missing, exact.missing);
            continue;
        };
        assert!(scale.is_rough());
        let off = (a.volume_mm3 - b.volume_mm3).abs();
        assert!(off <= (a.error_bound + b.error_bound) * b.volume_mm3);
        let off = (a.balance_mm - b.balance_mm).abs();
        assert!(off <= a.balance_error_mm + b.balance_error_mm);
        // A mass is told to a tenth of a gram at best, a balance to a tenth of a millimeter.
        assert!((a.mass_g - b.mass_g).abs() < 0.05, "{a:?} {b:?}");
        assert!((a.balance_mm - b.balance_mm).abs() < 0.05, "{a:?} {b:?}");
        unlike += usize::from(a.volume_mm3 != b.volume_mm3);
        // Nothing of it is left.
        if step % 5 == 0 {
            assert_eq!(scale.weigh(&knife, &set), exact);
            assert!(!scale.is_rough());
        }
    }
    assert!(unlike > 20, "it is rough: {unlike}");
}

/// Steel that is known is not weighed roughly: a hole that is dragged has its own numbers.
#[test]
fn steel_that_is_known_is_not_weighed_roughly() {
    let (mut knife, set) = chopper();
    let mut scale = Scale::default();
    let _ = scale.weigh(&knife, &set);
    for _ in 0..5 {
        if let CutShape::Round { center, .. } = &mut knife.cut_outs[0].shape {
            *center += Vec2::new(0.2, 0.1);
        }
        assert_eq!(scale.weigh_roughly(&knife, &set), weigh(&knife, &set));
        assert!(!scale.is_rough());
    }
}
