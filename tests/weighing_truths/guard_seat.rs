//! The guard's slot against the tang that goes through it: rounded at the shoulder, tapered or ground on both faces or one.

use tangwright::geometry::{Contour, SpanIndex};
use tangwright::knife::{
    Cut, CutForm, Faces, Grind, HiddenTang, Knife, Landmark, LandmarkKind, Rise, Run, Sides, Spot,
    Tang, TangEnd, Taper, ThicknessStation,
};
use tangwright::weighing::{Scale, guard_slot};

use super::bench::{guard, knife, polygon, set};

#[test]
fn the_slot_spans_the_tallest_place_behind_the_rounding() {
    // A stick tang that narrows backward: 10 mm high at x = −2, 8 mm at x = −52; the shoulder is rounded over 2 mm.
    let tang = polygon(&[
        (-52.0, -4.0),
        (-2.0, -5.0),
        (0.0, -5.0),
        (0.0, 5.0),
        (-2.0, 5.0),
        (-52.0, 4.0),
    ]);
    let mut knife = knife(&tang);
    knife.tang = Tang::Hidden(HiddenTang {
        length_mm: 52.0,
        shoulder_width_mm: 10.0,
        end_width_mm: 8.0,
        shoulder_radius_mm: 2.0,
        end: TangEnd::Square,
    });
    let steel = tang.index();
    let mut guard = guard();
    guard.clearance_mm = 0.2;
    let slot = guard_slot(&knife, &guard, &steel, None).map(|s| s.rect);
    let rect = slot.unwrap_or_default();
    // 4 mm stock and 10 mm of height, 0.2 mm play all round.
    assert!((rect.width() - 4.4).abs() < 1e-9);
    assert!((rect.y0 + 5.2).abs() < 1e-6 && (rect.y1 - 5.2).abs() < 1e-6);
    let nothing = Contour::default().index();
    assert!(guard_slot(&knife, &guard, &nothing, None).is_none());
    guard.thickness_mm = 60.0;
    assert!(guard_slot(&knife, &guard, &steel, None).is_none());
}

/// A bar 4 mm thick and 20 high, from the butt at -60 to 100, with a landmark at either end of its edge.
fn tanged() -> (Knife, SpanIndex) {
    let contour = polygon(&[(-60.0, 0.0), (100.0, 0.0), (100.0, 20.0), (-60.0, 20.0)]);
    let mut own = knife(&contour);
    let at = |kind, node: usize| Landmark {
        kind,
        spot: Spot {
            node: own.outline.nodes[node].id,
            t: 0.0,
        },
    };
    own.landmarks = vec![at(LandmarkKind::Plunge, 0), at(LandmarkKind::Tip, 1)];
    own.landmarks.sort_by_key(|l| l.kind);
    (own, contour.index())
}

/// How far the slot reaches toward the left and the right face, without its play.
fn reaches(own: &Knife, steel: &SpanIndex) -> (f64, f64) {
    let guard = guard();
    let slot = guard_slot(own, &guard, steel, None);
    let rect = slot.map(|s| s.rect).unwrap_or_default();
    (-rect.x0 - guard.clearance_mm, rect.x1 - guard.clearance_mm)
}

#[track_caller]
fn near(found: (f64, f64), wanted: (f64, f64)) {
    let off = (found.0 - wanted.0).abs().max((found.1 - wanted.1).abs());
    assert!(off < 1e-9, "{found:?} is not {wanted:?}");
}

/// From 3 mm at x = 20 to 1 mm at the butt: `1 + 2·60/80 = 2.5` mm at the shoulder line, where the tang is thickest behind the guard's front.
#[test]
fn a_tapered_tang_has_a_narrower_slot() {
    let (mut own, steel) = tanged();
    near(reaches(&own, &steel), (2.0, 2.0));
    let station = |x_mm, thickness_mm| ThicknessStation { x_mm, thickness_mm };
    let mut taper = Taper {
        stations: vec![station(-60.0, 1.0), station(20.0, 3.0)],
        faces: Faces::Both,
    };
    own.grinding.taper = Some(taper.clone());
    near(reaches(&own, &steel), (1.25, 1.25));
    // All from the right face: the left one stays.
    taper.faces = Faces::Right;
    own.grinding.taper = Some(taper);
    near(reaches(&own, &steel), (2.0, 0.5));
}

/// A bevel that goes on over the tang, 40 high over an edge of 1 mm, leaves `0.5 + 1.5·20/40 = 1.25` mm of each half at the back; as a chisel on the right
/// face alone `1 − 2 + 3·20/40 = 0.5` there, and the left face whole.
#[test]
fn a_ground_tang_has_a_narrower_slot() {
    let (mut own, steel) = tanged();
    let cut = Cut {
        form: CutForm::Flat,
        rise: Rise::even_height(40.0),
    };
    let mut bevel = Grind {
        id: 800,
        name: "bevel".to_owned(),
        run: Run {
            from: LandmarkKind::Plunge,
            to: LandmarkKind::Tip,
        },
        sides: Sides::Both(cut.clone()),
        edge_mm: 1.0,
        edge_offset_mm: 0.0,
        plunge_from: None,
        plunge_to: None,
        after_hardening: false,
    };
    own.grinding.grinds = vec![bevel.clone()];
    near(reaches(&own, &steel), (1.25, 1.25));
    bevel.sides = Sides::Right(cut);
    own.grinding.grinds = vec![bevel];
    near(reaches(&own, &steel), (2.0, 0.5));
}

/// A scale that has weighed the knife before fits the guard anew when it, the shoulder or the steel has changed, and never otherwise than a new one would.
#[test]
fn a_scale_that_goes_on_fits_each_guard_anew() {
    let mut scale = Scale::default();
    let (mut own, _) = tanged();
    let fitted = |scale: &mut Scale, own: &Knife| {
        // Whether the slot has room on its plate is another question.
        let _ = scale.weigh(own, &set());
        let steel = own.contour().index();
        let fresh = own
            .guard
            .as_ref()
            .and_then(|g| guard_slot(own, g, &steel, None));
        assert_eq!(scale.guard_slot(), fresh);
        fresh.map(|slot| slot.rect)
    };
    assert_eq!(fitted(&mut scale, &own), None);
    own.guard = Some(guard());
    let first = fitted(&mut scale, &own);
    assert!(first.is_some());
    if let Some(guard) = &mut own.guard {
        guard.clearance_mm = 0.3;
    }
    let wider = fitted(&mut scale, &own);
    assert_ne!(wider, first);
    own.stock.thickness_mm = 5.0;
    assert_ne!(fitted(&mut scale, &own), wider);
    own.guard = None;
    assert_eq!(fitted(&mut scale, &own), None);
}
