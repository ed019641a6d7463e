//! Laws: what must not change when a knife is moved, turned, mirrored, scaled, run the other way, cut in more pieces, or
//! put together from parts.

use proptest::prelude::*;
use tangwright::geometry::{AreaMoments, Contour, CubicBez, Motion, Piece, Point, Vec2};
use tangwright::knife::{CutShape, Knife, Spot};
use tangwright::weighing::{WeighUp, weigh};

use super::bench::{
    camp_outline, close, free, knife, on_the_rack, outline_of, polygon, quarter_turn, round, set,
    slot,
};

/// Simple closed outlines of lines and cubics about the origin, counterclockwise.
fn outline() -> impl Strategy<Value = Contour> {
    prop::collection::vec((20.0..60.0, any::<bool>()), 4..12).prop_map(|nodes| {
        let n = nodes.len();
        let step = std::f64::consts::TAU / n as f64;
        let on = |i: usize| Vec2::from_angle(step * (i % n) as f64) * nodes[i % n].0;
        let pieces = (0..n).map(|i| {
            let (a, b) = (on(i), on(i + 1));
            let (p, q) = (a.to_point(), b.to_point());
            if nodes[i].1 {
                let reach = step * 0.3;
                Piece::Cubic(CubicBez::new(
                    p,
                    p + quarter_turn(a) * reach,
                    q - quarter_turn(b) * reach,
                    q,
                ))
            } else {
                Piece::line(p, q)
            }
        });
        Contour {
            pieces: pieces.collect(),
        }
    })
}

fn motion() -> impl Strategy<Value = Motion> {
    (any::<bool>(), -7.0..7.0, -300.0..300.0, -300.0..300.0).prop_map(
        |(mirrored, turn_rad, x, y)| Motion {
            mirrored,
            turn_rad,
            shift: Vec2::new(x, y),
        },
    )
}

/// A knife with holes near the origin, where every outline of [`outline`] has steel.
fn drilled(contour: &Contour) -> Knife {
    let mut knife = knife(contour);
    let square = polygon(&[(-9.0, -3.0), (-5.0, -3.0), (-5.0, 3.0), (-9.0, 3.0)]);
    knife.cut_outs = vec![
        round(500, 6.0, 2.0, 5.0),
        slot(501, 0.0, -4.0, 9.0, 2.0, 0.7),
        free(502, &square),
    ];
    knife
}

fn weighed(knife: &Knife) -> WeighUp {
    let up = weigh(knife, &on_the_rack(set(), knife.clone()));
    assert_eq!(up.missing, vec![]);
    up
}

/// The cut-out after a motion; round holes and slots do not mind being mirrored.
fn moved(shape: &CutShape, motion: &Motion) -> CutShape {
    match shape {
        CutShape::Round {
            center,
            diameter_mm,
        } => CutShape::Round {
            center: motion.apply(*center),
            diameter_mm: *diameter_mm,
        },
        CutShape::Slot {
            center,
            length_mm,
            width_mm,
            angle_rad,
        } => CutShape::Slot {
            center: motion.apply(*center),
            length_mm: *length_mm,
            width_mm: *width_mm,
            angle_rad: motion.apply_vec(Vec2::from_angle(*angle_rad)).atan2(),
        },
        CutShape::Free { outline } => CutShape::Free {
            outline: outline.moved(motion),
        },
    }
}

/// Everything that does not depend on where the knife lies.
fn same_but_for_place(a: &WeighUp, b: &WeighUp) {
    let pair = |f: fn(&WeighUp) -> Option<f64>| {
        let (a, b) = (f(a), f(b));
        assert!(a.is_some() && b.is_some());
        close(a.unwrap_or_default(), b.unwrap_or_default(), 0.0);
    };
    pair(|up| up.steel.area_mm2);
    pair(|up| up.steel.perimeter_mm);
    pair(|up| up.steel.volume_mm3);
    pair(|up| up.steel.blank_mass_g);
    pair(|up| up.steel.drilled_mass_g);
    pair(|up| up.steel.inertia_g_mm2);
    pair(|up| up.total.map(|t| t.mass_g));
    for (a, b) in a.cut_outs.iter().zip(&b.cut_outs) {
        close(a.area_mm2, b.area_mm2, 0.0);
        close(
            a.removed_g.unwrap_or(f64::NAN),
            b.removed_g.unwrap_or(f64::NAN),
            0.0,
        );
    }
}

fn centroid(up: &WeighUp) -> Point {
    up.steel
        .centroid_mm
        .map_or(Point::new(f64::NAN, f64::NAN), |[x, y, _]| Point::new(x, y))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn moving_turning_mirroring(contour in outline(), motion in motion()) {
        let here = drilled(&contour);
        let mut there = here.clone();
        there.outline = here.outline.moved(&motion);
        for cut in &mut there.cut_outs {
            cut.shape = moved(&cut.shape, &motion);
        }
        let (a, b) = (weighed(&here), weighed(&there));
        same_but_for_place(&a, &b);
        prop_assert!(motion.apply(centroid(&a)).distance(centroid(&b)) < 1e-9);
        // The tensor of second moments turns with the knife: trace and determinant stay.
        let (m, n) = (contour.moments(), contour.moved(&motion).moments());
        close(n.polar(), m.polar(), 0.0);
        close(n.ixx * n.iyy - n.ixy * n.ixy, m.ixx * m.iyy - m.ixy * m.ixy, 0.0);
        prop_assert!(n.area > 0.0);
    }

    #[test]
    fn scaling(contour in outline(), k in 0.05..20.0_f64) {
        let scale = |p: Point| (p.to_vec2() * k).to_point();
        let scaled = Contour {
            pieces: contour.pieces.iter().map(|piece| match piece {
                Piece::Cubic(c) => Piece::Cubic(CubicBez::new(scale(c.p0), scale(c.p1), scale(c.p2), scale(c.p3))),
                other => Piece::line(scale(other.start()), scale(other.end())),
            }).collect(),
        };
        let (m, n) = (contour.moments(), scaled.moments());
        close(n.area, m.area * k * k, 0.0);
        close(n.ixx, m.ixx * k.powi(4), 0.0);
        close(n.iyy, m.iyy * k.powi(4), 0.0);
        close(n.ixy, m.ixy * k.powi(4), n.ixx);
        prop_assert!(n.centroid.distance(scale(m.centroid)) < 1e-9 * k * 60.0);
        close(scaled.perimeter(), contour.perimeter() * k, 0.0);
    }

    #[test]
    fn running_the_other_way(contour in outline()) {
        let (a, b) = (drilled(&contour), drilled(&contour.reversed()));
        let (a, b) = (weighed(&a), weighed(&b));
        same_but_for_place(&a, &b);
        prop_assert!(centroid(&a).distance(centroid(&b)) < 1e-9);
        let m = contour.moments().plus(&contour.reversed().moments());
        prop_assert!(m.area.abs() < 1e-9 && m.ixx.abs() < 1e-6);
    }

    #[test]
    fn a_node_more_changes_nothing(
        contour in outline(),
        splits in prop::collection::vec((0usize..40, 0.01..0.99), 1..6),
    ) {
        let mut more = drilled(&contour);
        let before = weighed(&more);
        for (which, t) in splits {
            let node = more.outline.nodes[which % more.outline.nodes.len()].id;
            let added = more.split_outline(Spot { node, t });
            prop_assert!(added.is_some());
        }
        let after = weighed(&more);
        same_but_for_place(&before, &after);
        prop_assert!(centroid(&before).distance(centroid(&after)) < 1e-9);
    }

    /// Sawn in two along a line between two nodes: the parts make the whole.
    #[test]
    fn sum_of_parts(contour in outline(), from in 0usize..12, over in 2usize..10) {
        let n = contour.pieces.len();
        let (i, j) = (from % n, (from + 2 + over % (n - 3).max(1)) % n);
        prop_assume!(i != j);
        let mut pieces = contour.pieces.clone();
        pieces.rotate_left(i);
        let cut = (j + n - i) % n;
        let (a, b) = pieces.split_at(cut);
        let (p, q) = (pieces[0].start(), pieces[cut].start());
        let close_with = |side: &[Piece], line: Piece| {
            AreaMoments::of_pieces(&[side, &[line]].concat())
        };
        let sum = close_with(a, Piece::line(q, p)).plus(&close_with(b, Piece::line(p, q)));
        let whole = contour.moments();
        close(sum.area, whole.area, 0.0);
        prop_assert!(sum.centroid.distance(whole.centroid) < 1e-9 * 60.0);
        close(sum.ixx, whole.ixx, 0.0);
        close(sum.iyy, whole.iyy, 0.0);
        close(sum.ixy, whole.ixy, whole.ixx);
    }

    /// Steel less holes: what is weighed with holes is what is weighed without, less each.
    #[test]
    fn outline_less_holes(contour in outline()) {
        let up = weighed(&drilled(&contour));
        let holes: f64 = up.cut_outs.iter().map(|c| c.area_mm2).sum();
        close(up.steel.area_mm2.unwrap(), contour.moments().area - holes, 0.0);
        let removed: f64 = up.cut_outs.iter().filter_map(|c| c.removed_g).sum();
        close(up.steel.drilled_mass_g.unwrap(), up.steel.blank_mass_g.unwrap() - removed, 0.0);
        let expected = 25.0 * std::f64::consts::PI / 4.0 + (7.0 * 2.0 + std::f64::consts::PI) + 24.0;
        close(holes, expected, 0.0);
    }

    /// The shift a hole claims is the difference between weighing with that hole alone and without it.
    #[test]
    fn balance_shift_is_the_difference(contour in outline(), which in 0usize..3) {
        let all = drilled(&contour);
        let claimed = weighed(&all).cut_outs[which].balance_shift_mm.unwrap();
        let mut without = all.clone();
        without.cut_outs.clear();
        let mut with = all.clone();
        with.cut_outs = vec![all.cut_outs[which].clone()];
        let truth = weighed(&with).steel.balance_mm.unwrap() - weighed(&without).steel.balance_mm.unwrap();
        prop_assert!((claimed - truth).abs() < 1e-10, "{} {}", claimed, truth);
    }

    /// `plus` does not mind the order, and taking away what was added leaves what was.
    #[test]
    fn sums_are_sums(a in outline(), b in outline(), c in outline(), motion in motion()) {
        let (a, b, c) = (a.moments(), b.moved(&motion).moments(), c.moments());
        let (one, two) = (a.plus(&b).plus(&c), c.plus(&a).plus(&b));
        close(one.area, two.area, 0.0);
        close(one.iyy, two.iyy, 0.0);
        close(one.ixy, two.ixy, one.ixx);
        let back = a.plus(&b).plus(&b.negated());
        close(back.area, a.area, 0.0);
        prop_assert!(back.centroid.distance(a.centroid) < 1e-9);
        close(back.ixx, a.ixx, b.ixx);
        close(a.scaled_by(3.0).iyy, a.iyy * 3.0, 0.0);
    }
}

#[test]
fn far_from_the_origin_no_digit_is_lost() {
    let near = camp_outline().moments();
    let far = camp_outline()
        .moved(&Motion::shift(Vec2::new(9000.0, -7000.0)))
        .moments();
    close(far.area, near.area, 0.0);
    close(far.ixx, near.ixx, 0.0);
    close(far.iyy, near.iyy, 0.0);
    assert!((far.centroid - near.centroid - Vec2::new(9000.0, -7000.0)).hypot() < 1e-9);
}

#[test]
fn outlines_keep_their_pieces() {
    let contour = camp_outline();
    assert_eq!(outline_of(&contour, 0).contour(), contour);
}
