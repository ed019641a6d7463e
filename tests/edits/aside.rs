//! Copies of a closed outline at a distance beside it.

use geo::{Contains as _, Distance as _, Euclidean, LineString, Polygon, coord};
use tangwright::edit::{Edit, EditError, apply};
use tangwright::geometry::{Point, outline_faults};
use tangwright::knife::{Id, Knife, KnifeSet, knife_faults};
use tangwright::weighing::weigh;

use super::bench::{assert_near, hole, plate, set_of, starters};

/// What moving and making fair may be off together, mm, as `edit/copy_aside.rs` states it; flattening adds as much as it is told.
const WITHIN_MM: f64 = 0.01;
const FLAT_MM: f64 = 2e-3;

fn copied(set: &KnifeSet, of: Option<Id>, by_mm: f64) -> Result<(KnifeSet, Knife), EditError> {
    let made = apply(
        set,
        &Edit::CopyAside {
            knife: 0,
            of,
            by_mm,
        },
    )?;
    let copy = Knife::clone(&made.knives[1]);
    Ok((made, copy))
}

fn ring(points: &[Point]) -> LineString<f64> {
    LineString::from_iter(points.iter().map(|p| coord! { x: p.x, y: p.y }))
}

fn closed(knife: &Knife) -> LineString<f64> {
    let mut points = knife.contour().flattened(FLAT_MM);
    points.extend(points.first().copied());
    ring(&points)
}

/// Every place of the copy is at the distance by `geo`'s own distance of a point from a line, on the right side, and the copy is a knife without faults.
#[test]
fn every_place_of_a_copy_is_at_its_distance() {
    let mut made = 0;
    for start in starters() {
        let set = set_of(start.clone());
        let own = closed(&start);
        let steel = Polygon::new(own.clone(), Vec::new());
        for by_mm in [0.3, 3.0, 8.0, -0.3, -1.0] {
            let Ok((set, copy)) = copied(&set, None, by_mm) else {
                continue;
            };
            made += 1;
            for p in copy.contour().flattened(FLAT_MM) {
                let at = geo::Point::new(p.x, p.y);
                let off = Euclidean.distance(&at, &own);
                assert!(
                    (off - by_mm.abs()).abs() <= WITHIN_MM + FLAT_MM,
                    "{} {by_mm}: {off} at {p:?}",
                    start.name
                );
                assert_eq!(
                    steel.contains(&at),
                    by_mm < 0.0,
                    "{} {by_mm} {p:?}",
                    start.name
                );
            }
            assert!(outline_faults(&copy.contour().pieces).is_empty());
            assert!(knife_faults(&copy, &set).is_empty());
            let (own, new) = (start.outline.nodes.len(), copy.outline.nodes.len());
            assert!(new <= 3 * own + 20, "{}: {own} nodes, {new}", start.name);
            assert!(copy.cut_outs.is_empty() && copy.grinding.grinds.is_empty());
            assert_eq!(copy.stock, start.stock);
            assert!(weigh(&copy, &set).total.is_some());
        }
    }
    // Ten forms at five distances.
    assert_eq!(made, 50);
}

/// An inlay for a hole: a disc with half a tenth of play all round has the radius less that (exact for circles, as their moved arcs are arcs; as cubics
/// they are within 2e-7 of it).
#[test]
fn an_inlay_of_a_hole_is_a_smaller_disc() {
    let mut start = plate();
    let id = hole(&mut start, -20.0, 1.0, 6.0);
    let (_, copy) = copied(&set_of(start), Some(id), -0.05).unwrap();
    let radius = 2.95;
    let area = copy.contour().moments().area;
    assert_near(area / (std::f64::consts::PI * radius * radius), 1.0, 1e-5);
    let bounds = copy.contour().bounds();
    assert_near(bounds.x0 + bounds.x1, 0.0, 1e-9);
    assert_near(bounds.y0 + bounds.y1, 0.0, 1e-9);
}

#[test]
fn a_copy_that_vanishes_is_refused_with_its_place() {
    let set = set_of(plate());
    for by_mm in [0.0, 51.0, f64::NAN] {
        let refused = copied(&set, None, by_mm).unwrap_err();
        assert!(matches!(refused, EditError::NoDistance { .. }), "{refused}");
        assert!(refused.to_string().contains("up to 50 mm"), "{refused}");
    }
    let refused = copied(&set, None, -49.0).unwrap_err();
    assert!(
        matches!(refused, EditError::NoCopyAside { .. }),
        "{refused}"
    );
    assert!(
        refused.to_string().contains("smaller distance"),
        "{refused}"
    );
    let gone = copied(&set, Some(9_999), 1.0).unwrap_err();
    assert_eq!(gone, EditError::Gone { what: "cut-out" });
}
