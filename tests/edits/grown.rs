//! A whole design larger and smaller with its holes: they keep their sizes and move along, whatever their kind.

use tangwright::edit::Change;
use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{
    CutOut, CutShape, Filling, Id, Knife, Node, Outline, Purpose, Row, RowPath, orchard_set,
};
use tangwright::weighing::{scale_for_mass, weigh};

use super::bench::{assert_at, assert_near, changed, cut, hole, knife, plate, set_of};

/// Larger by a quarter; seen from the shoulder line's zero.
const FACTOR: f64 = 1.25;

fn grown_place(p: Point) -> Point {
    Point::new(p.x * FACTOR, p.y * FACTOR)
}

/// A window of three sides.
const WINDOW: [(f64, f64); 3] = [(70.0, 8.0), (94.0, 8.0), (76.0, 20.0)];

fn row(id: Id, path: RowPath) -> Row {
    Row {
        id,
        path,
        count: 4,
        first_diameter_mm: 2.0,
        last_diameter_mm: 5.0,
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    }
}

/// The plate, alike on both sides of y = 15, with an opening of each kind: a round hole, a slot, a window, a row on a line and one on the middle of the tang.
fn pierced() -> Knife {
    let mut knife = plate();
    hole(&mut knife, -85.0, 9.0, 6.0);
    let slot = CutShape::Slot {
        center: Point::new(30.0, 20.0),
        length_mm: 18.0,
        width_mm: 4.0,
        angle_rad: 0.3,
    };
    cut(&mut knife, slot);
    let nodes = WINDOW.map(|at| Node::corner(knife.take_id(), Point::from(at)));
    let outline = Outline {
        nodes: nodes.to_vec(),
    };
    cut(&mut knife, CutShape::Free { outline });
    let line = RowPath::Line {
        from: Point::new(5.0, 6.0),
        to: Point::new(50.0, 9.0),
    };
    let middle = RowPath::TangMiddle {
        from_x: -70.0,
        to_x: -10.0,
    };
    for path in [line, middle] {
        let id = knife.take_id();
        knife.rows.push(row(id, path));
    }
    knife
}

/// Holes, rows spread out.
fn openings(knife: &Knife) -> Vec<CutOut> {
    let steel = knife.contour().index();
    let all = knife.all_cut_outs(&steel).into_iter();
    all.map(|(_, cut)| cut).collect()
}

#[test]
fn holes_of_every_kind_keep_their_sizes_and_move_along() {
    let set = set_of(pierced());
    let made = changed(&set, Change::Scale { factor: FACTOR });
    let (own, new) = (knife(&set), knife(&made));
    let bounds = new.contour().bounds();
    assert_near(bounds.width(), 220.0 * FACTOR, 1e-9);
    assert_near(bounds.height(), 30.0 * FACTOR, 1e-9);
    assert_near(bounds.x0, -100.0 * FACTOR, 1e-9);
    assert_eq!(new.stock, own.stock);
    let CutShape::Round {
        center,
        diameter_mm,
    } = new.cut_outs[0].shape
    else {
        panic!("a round hole")
    };
    assert_eq!(diameter_mm, 6.0);
    assert_at(center, Point::new(-106.25, 11.25), 1e-9);
    let CutShape::Slot {
        center,
        length_mm,
        width_mm,
        angle_rad,
    } = new.cut_outs[1].shape
    else {
        panic!("a slot")
    };
    assert_eq!((length_mm, width_mm, angle_rad), (18.0, 4.0, 0.3));
    assert_at(center, Point::new(37.5, 25.0), 1e-9);
    let CutShape::Free { outline } = &new.cut_outs[2].shape else {
        panic!("a window")
    };
    // The middle of its box goes from (82, 14) to (102.5, 17.5): every corner by as much.
    let by = Vec2::new(20.5, 3.5);
    for (node, at) in outline.nodes.iter().zip(WINDOW) {
        assert_at(node.at, Point::from(at) + by, 1e-9);
    }
    // Four holes of 2, 3, 4 and 5 mm each, at even steps of the longer way; the middle of the tang lies at 15 · 1.25.
    let rows: Vec<Vec<(Point, f64)>> = new
        .rows
        .iter()
        .map(|row| row.holes(&new.contour().index()))
        .collect();
    let ends = [
        (Point::new(6.25, 7.5), Point::new(62.5, 11.25)),
        (Point::new(-87.5, 18.75), Point::new(-12.5, 18.75)),
    ];
    assert_eq!(rows.len(), 2);
    for (holes, (from, to)) in rows.iter().zip(ends) {
        assert_eq!(holes.len(), 4);
        for (i, (at, d)) in (0..).zip(holes) {
            let share = f64::from(i) / 3.0;
            assert_at(*at, from.lerp(to, share), 1e-9);
            assert_near(*d, 2.0 + f64::from(i), 1e-12);
        }
    }
    // Back again, and it is what it was.
    let back = changed(
        &made,
        Change::Scale {
            factor: 1.0 / FACTOR,
        },
    );
    for (own, new) in openings(own).iter().zip(openings(knife(&back))) {
        assert_at(new.shape.center(), own.shape.center(), 1e-9);
    }
}

/// The knives of the orchard have pins, slots, rows, handles and bevels.
#[test]
fn the_orchard_s_knives_keep_their_holes() {
    let set = orchard_set();
    let mut n = 0;
    for knife in &set.knives {
        let edit = tangwright::edit::Edit::knife(knife.id, Change::Scale { factor: FACTOR });
        let made = tangwright::edit::apply(&set, &edit).unwrap();
        let new = made.knife(knife.id).unwrap();
        let (old, new) = (openings(knife), openings(new));
        assert_eq!(old.len(), new.len(), "{}", knife.name);
        for (old, new) in old.iter().zip(&new) {
            n += 1;
            let area = |cut: &CutOut| cut.shape.moments().area.abs();
            assert_near(area(new), area(old), 1e-9);
            assert_eq!((&new.filling, new.purpose), (&old.filling, old.purpose));
            assert_at(
                new.shape.center(),
                grown_place(old.shape.center()),
                // The middle of a tang is found again on the larger outline.
                1e-6,
            );
        }
    }
    assert!(n >= 10, "{n}");
}

/// What a pierced plate weighs has a closed form: 4 mm · 7.85 g/cm³ · (6600 mm² · f² − A), the openings' area A by hand.
#[test]
fn a_wanted_mass_comes_out_beside_holes_that_stay() {
    use std::f64::consts::PI;
    let set = set_of(pierced());
    let round = |d: f64| PI / 4.0 * d * d;
    let slot = 14.0 * 4.0 + round(4.0);
    let window = 24.0 * 12.0 / 2.0;
    let rows = 2.0 * [2.0, 3.0, 4.0, 5.0].map(round).iter().sum::<f64>();
    let pierced_mm2 = round(6.0) + slot + window + rows;
    let g_a_mm2 = 4.0 * 7.85e-3;
    let own = weigh(knife(&set), &set).total.unwrap().mass_g;
    assert_near(own, g_a_mm2 * (6600.0 - pierced_mm2), 1e-6);
    for share in [0.7, 1.0, 1.9] {
        let wanted = share * own;
        let factor = scale_for_mass(knife(&set), &set, wanted).unwrap();
        let by_hand = ((wanted / g_a_mm2 + pierced_mm2) / 6600.0).sqrt();
        assert_near(factor, by_hand, 1e-6);
        // Not what it were if the holes grew along.
        assert!(share == 1.0 || (factor - share.sqrt()).abs() > 0.005);
        let made = changed(&set, Change::Scale { factor });
        let mass = weigh(knife(&made), &made).total.unwrap().mass_g;
        assert_near(mass / wanted, 1.0, 1e-6);
    }
}
