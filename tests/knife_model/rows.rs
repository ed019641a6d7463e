//! Rows of holes, and the guard's slot in the tang it fits.

use tangwright::knife::{CutShape, Filling, Purpose, Row, RowPath};

use super::bench::{at, camp_outline, plate, polygon};

fn row(path: RowPath, count: u32) -> Row {
    Row {
        id: 7,
        path,
        count,
        first_diameter_mm: 4.0,
        last_diameter_mm: 10.0,
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    }
}

#[test]
fn holes_are_even_along_a_line() {
    let path = RowPath::Line {
        from: at(-50.0, 2.0),
        to: at(-10.0, -2.0),
    };
    let steel = plate().index();
    let holes = row(path, 5).holes(&steel);
    let expected = [
        (-50.0, 2.0, 4.0),
        (-40.0, 1.0, 5.5),
        (-30.0, 0.0, 7.0),
        (-20.0, -1.0, 8.5),
        (-10.0, -2.0, 10.0),
    ];
    assert_eq!(holes.len(), 5);
    for ((center, d), (x, y, diameter)) in holes.into_iter().zip(expected) {
        assert!(center.distance(at(x, y)) < 1e-12 && (d - diameter).abs() < 1e-12);
    }
    // One alone sits in the middle; none is none.
    assert_eq!(row(path, 1).holes(&steel), [(at(-30.0, 0.0), 7.0)]);
    assert_eq!(row(path, 0).holes(&steel), []);
    let cut_outs = row(path, 5).cut_outs(&steel);
    assert!(
        cut_outs
            .iter()
            .all(|c| c.id == 7 && matches!(c.shape, CutShape::Round { .. }))
    );
}

#[test]
fn holes_follow_the_middle_of_the_tang() {
    // A tang that falls and narrows: between y = 8 − x/10 … at the top and −6 at the bottom the middle is known.
    let wedge = polygon(&[(-100.0, -6.0), (0.0, -6.0), (0.0, 10.0), (-100.0, 2.0)]);
    let path = RowPath::TangMiddle {
        from_x: -90.0,
        to_x: -10.0,
    };
    let holes = row(path, 3).holes(&wedge.index());
    assert_eq!(holes.len(), 3);
    for (center, _) in &holes {
        let top = 10.0 + center.x * 0.08;
        assert!((center.y - f64::midpoint(top, -6.0)).abs() < 1e-12);
    }
    // Places behind the butt have no middle, and no hole.
    let path = RowPath::TangMiddle {
        from_x: -150.0,
        to_x: -50.0,
    };
    assert_eq!(row(path, 3).holes(&wedge.index()).len(), 2);
    // On the curved tang every hole is halfway between the two sides.
    let steel = camp_outline().index();
    let path = RowPath::TangMiddle {
        from_x: -110.0,
        to_x: -10.0,
    };
    let contour = camp_outline();
    for (center, _) in row(path, 9).holes(&steel) {
        let (low, high) = steel.depth_at(center.x).unwrap_or_default();
        assert!((center.y - f64::midpoint(low, high)).abs() < 1e-12);
        for y in [low, high] {
            assert!(
                contour
                    .nearest(at(center.x, y))
                    .is_some_and(|n| n.distance < 1e-9)
            );
        }
    }
}
