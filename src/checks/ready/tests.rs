//! Every finding of the ready check by distances worked out by hand, each against the row of `cutting.csv` named beside it; and every mend.

use super::super::testing::{angle, free, hole, plate, set_of, slot, windowed, with_nodes};
use super::*;
use crate::catalog::{FileCurves, FileEdition, FileLayers, usual_service};
use crate::geometry::Point;
use crate::weighing::weigh;

fn checked(knife: &Knife, service: &Service) -> Vec<Ready> {
    let set = set_of(knife);
    ready_check(
        knife,
        &set,
        &weigh(knife, &set),
        &Thresholds::default(),
        service,
    )
}

fn by(process: &str) -> Service {
    usual_service(process).unwrap()
}

/// The one finding with this code.
fn one(knife: &Knife, service: &Service, code: &str) -> Ready {
    let all = checked(knife, service);
    let mut own = all.iter().filter(|r| r.finding.code == code);
    let first = own.next().cloned();
    assert!(own.next().is_none(), "{code} is found twice");
    first.unwrap_or_else(|| {
        let codes: Vec<_> = all.iter().map(|r| r.finding.code).collect();
        panic!("{code} is not found, only {codes:?}")
    })
}

fn silent(knife: &Knife, service: &Service, code: &str) {
    assert!(
        checked(knife, service)
            .iter()
            .all(|r| r.finding.code != code)
    );
}

/// Makes the mend of a finding and expects the finding gone.
fn mended(knife: &mut Knife, service: &Service, code: &str) {
    let found = one(knife, service, code);
    let Some(ReadyMend::Knife(mend)) = found.mend else {
        panic!("{code} has no mend of the knife")
    };
    mend.make(knife).unwrap();
    silent(knife, service, code);
}

/// `waterjet,hole,minimum practical hole in 1.5-8 mm steel: 1.5 or 0.5 x T`; `fibre laser,hole,guide B: max(1.0 x T, 1 mm)`; `plasma,hole,minimum hole:
/// max(2 x T, 6 mm)`; `bandsaw,hole,closed holes cannot be sawn: drill`.
#[test]
fn each_way_of_cutting_has_its_smallest_hole() {
    for (process, least) in [("waterjet", 2.0), ("laser", 4.0), ("plasma", 8.0)] {
        let service = by(process);
        let mut knife = plate(200.0, 60.0, 4.0);
        hole(&mut knife, 50.0, 30.0, least - 0.01);
        hole(&mut knife, 100.0, 30.0, least);
        let found = one(&knife, &service, "small-for-cutting");
        assert_eq!(found.finding.wanted_mm, Some(least), "{process}");
        assert_eq!(found.finding.place, Some(Point::new(50.0, 30.0)));
        assert!(found.rule.contains("hole"), "{}", found.rule);
        let mend = ReadyMend::Service(ServiceMend::MarkSmallHoles);
        assert_eq!(found.mend, Some(mend));
        silent(
            &knife,
            &service.mended(ServiceMend::MarkSmallHoles),
            "small-for-cutting",
        );
    }
    let mut knife = plate(200.0, 60.0, 4.0);
    silent(&knife, &by("bandsaw"), "drill-openings");
    hole(&mut knife, 50.0, 30.0, 6.0);
    let found = one(&knife, &by("bandsaw"), "drill-openings");
    assert_eq!(found.rule, "the rules of Bandsaw");
    assert_eq!(found.finding.severity, Severity::Note);
}

/// `waterjet,web: max(1 mm, 0.5 x T)`; `fibre laser,web: 1.0 x T minimum`; `plasma,web: max(2 x T, 6 mm)`; `bandsaw,web: 3`. The upper side is at y = 60.
#[test]
fn each_way_of_cutting_has_its_thinnest_web() {
    for (process, web) in [
        ("waterjet", 2.0),
        ("laser", 4.0),
        ("plasma", 8.0),
        ("bandsaw", 3.0),
    ] {
        let service = by(process);
        let mut knife = plate(200.0, 60.0, 4.0);
        hole(&mut knife, 50.0, 60.0 - web - 5.0 + 0.01, 10.0);
        hole(&mut knife, 100.0, 60.0 - web - 5.0, 10.0);
        let found = one(&knife, &service, "web-outline");
        let f = &found.finding;
        assert!((f.measured_mm.unwrap() - (web - 0.01)).abs() < 1e-9);
        assert_eq!(f.wanted_mm, Some(web), "{process}");
        assert_eq!(f.place.unwrap().x, 50.0);
        assert!(found.rule.contains("web"), "{}", found.rule);
        // Between two holes: middles 10 + web − 0.01 apart.
        let mut pair = plate(200.0, 60.0, 4.0);
        hole(&mut pair, 50.0, 30.0, 10.0);
        hole(&mut pair, 60.0 + web - 0.01, 30.0, 10.0);
        let f = one(&pair, &service, "web-holes").finding;
        assert!((f.measured_mm.unwrap() - (web - 0.01)).abs() < 1e-9);
    }
}

/// `waterjet,corner,smallest inside radius to draw: 0.02 in`; `fibre laser,corner: ask for 0.5 mm`; `plasma,corner: 1.0`; `bandsaw,corner: 16 mm`, for which
/// the sides of 15 and 40 mm have no room.
#[test]
fn inside_corners_are_rounded_to_what_is_left() {
    for (process, radius) in [("waterjet", 0.508), ("laser", 0.5), ("plasma", 1.0)] {
        let service = by(process);
        let mut knife = angle();
        let found = one(&knife, &service, "inside-corner");
        assert_eq!(found.finding.place, Some(Point::new(40.0, 15.0)));
        assert_eq!(found.finding.wanted_mm, Some(radius), "{process}");
        let told = found
            .mend
            .as_ref()
            .unwrap()
            .told(&knife, &service)
            .to_string();
        // r²·(1 − π/4) more steel.
        let more = radius * radius * (1.0 - std::f64::consts::FRAC_PI_4);
        assert!(told.contains(&format!("{more:+.2} mm²")), "{told}");
        mended(&mut knife, &service, "inside-corner");
    }
    let found = one(&angle(), &by("bandsaw"), "inside-corner");
    assert_eq!(
        (found.finding.wanted_mm, found.mend),
        (Some(16.0), None),
        "no room for it"
    );
}

#[test]
fn a_window_is_rounded_at_once() {
    let mut knife = windowed();
    let service = by("waterjet");
    let found = one(&knife, &service, "cut-out-corner");
    let told = found
        .mend
        .as_ref()
        .unwrap()
        .told(&knife, &service)
        .to_string();
    assert!(told.starts_with("4 corners sharp now"), "{told}");
    mended(&mut knife, &service, "cut-out-corner");
}

/// `any (DXF),contour: no overlapping, crossing or duplicate lines`.
#[test]
fn doubled_holes_slots_and_windows_are_cut_once() {
    let service = by("waterjet");
    for kind in 0..3 {
        let mut knife = plate(200.0, 60.0, 4.0);
        for _ in 0..2 {
            match kind {
                0 => hole(&mut knife, 50.0, 30.0, 8.0),
                1 => slot(&mut knife, 50.0, 30.0, 20.0, 8.0),
                _ => free(&mut knife, &[(40.0, 20.0), (60.0, 20.0), (50.0, 40.0)]),
            };
        }
        let found = one(&knife, &service, "cut-out-doubled");
        assert_eq!(found.finding.severity, Severity::Stop);
        assert_eq!(found.rule, NO_DOUBLES);
        mended(&mut knife, &service, "cut-out-doubled");
        assert_eq!(knife.cut_outs.len(), 1);
    }
    // 0.02 mm apart they are two holes that overlap, which wants judgment.
    let mut knife = plate(200.0, 60.0, 4.0);
    hole(&mut knife, 50.0, 30.0, 8.0);
    hole(&mut knife, 50.02, 30.0, 8.0);
    silent(&knife, &service, "cut-out-doubled");
    assert_eq!(one(&knife, &service, "cut-outs-overlap").mend, None);
}

/// `any (DXF),contour: no stray points, empty objects or open paths`; `end points must meet exactly`.
#[test]
fn empty_short_and_doubled_pieces_are_mended() {
    let service = by("waterjet");
    let mut zero = with_nodes(&[(100.0, 0.0)]);
    assert_eq!(
        one(&zero, &service, "outline-zero-piece").rule,
        NOTHING_STRAY
    );
    mended(&mut zero, &service, "outline-zero-piece");
    // A step of 0.04 mm is at or below the 0.05 mm that are closed up, one of 0.06 is not.
    let mut short = with_nodes(&[(100.0, 0.04)]);
    let found = one(&short, &service, "short-piece");
    assert!((found.finding.measured_mm.unwrap() - 0.04).abs() < 1e-12);
    assert_eq!(found.finding.wanted_mm, Some(0.05));
    mended(&mut short, &service, "short-piece");
    silent(&with_nodes(&[(100.0, 0.06)]), &service, "short-piece");
    // Out to (120, 10) and back.
    let mut spur = with_nodes(&[(100.0, 10.0), (120.0, 10.0), (100.0, 10.0)]);
    mended(&mut spur, &service, "outline-doubled");
    assert!(checked(&spur, &service).is_empty());
}

/// A clamp is let go by the maker alone: a mend that would move what it holds is not offered.
#[test]
fn what_is_clamped_is_mended_by_nobody() {
    let service = by("waterjet");
    let mut knife = with_nodes(&[(100.0, 0.0)]);
    assert!(one(&knife, &service, "outline-zero-piece").mend.is_some());
    knife.clamped.insert(knife.outline.nodes[2].id);
    assert_eq!(one(&knife, &service, "outline-zero-piece").mend, None);
}

/// `any (DXF),contour: no crossing`: a bow tie crosses in its middle; no machine can know which side was meant.
#[test]
fn what_crosses_itself_is_told_without_a_mend() {
    let mut knife = plate(100.0, 30.0, 4.0);
    knife.outline.nodes.swap(2, 3);
    let found = one(&knife, &by("waterjet"), "outline-crossing");
    assert_eq!((found.mend, found.rule.as_str()), (None, NO_DOUBLES));
    let at = found.finding.place.unwrap();
    assert!(at.distance(Point::new(50.0, 15.0)) < 1e-6);
}

/// `fibre laser,heat,heat-affected (tempered) zone depth: 0.005-0.020 in`, so 0.508 mm; `plasma,heat: 0.5-1.5`; `waterjet,heat,no heat-affected zone: 0`.
#[test]
fn a_heated_edge_wants_steel_left_on() {
    let knife = plate(100.0, 30.0, 4.0);
    for (process, deep) in [("laser", 0.508), ("plasma", 1.5)] {
        let service = by(process);
        let found = one(&knife, &service, "heated-edge");
        let f = &found.finding;
        assert_eq!((f.measured_mm, f.wanted_mm), (Some(0.0), Some(deep)));
        let Some(ReadyMend::Service(mend)) = found.mend else {
            panic!("no mend")
        };
        silent(&knife, &service.mended(mend), "heated-edge");
    }
    silent(&knife, &by("waterjet"), "heated-edge");
    silent(&knife, &by("bandsaw"), "heated-edge");
}

/// `any (DXF),layers: separate layers for cut, engrave, score, drill`, against `single layer`: cuts alone may share one.
#[test]
fn marks_among_the_cuts_are_split_off() {
    let mut service = by("waterjet");
    service.file.layers = FileLayers::One("0".to_owned());
    let mut knife = plate(200.0, 60.0, 4.0);
    hole(&mut knife, 50.0, 30.0, 1.0);
    silent(&knife, &service, "layers-mixed");
    service.marks_small_holes = true;
    let found = one(&knife, &service, "layers-mixed");
    assert_eq!(found.finding.severity, Severity::Stop);
    let Some(ReadyMend::Service(mend)) = found.mend else {
        panic!("no mend")
    };
    silent(&knife, &service.mended(mend), "layers-mixed");
}

/// `bandsaw,hole,closed holes cannot be sawn: drill`: all of them are marked, of whatever size.
#[test]
fn a_saw_s_marks_want_a_layer_of_their_own() {
    let mut service = by("bandsaw").mended(ServiceMend::MarkSmallHoles);
    service.file.layers = FileLayers::One("0".to_owned());
    let mut knife = plate(200.0, 60.0, 4.0);
    silent(&knife, &service, "layers-mixed");
    hole(&mut knife, 50.0, 30.0, 20.0);
    let found = one(&knife, &service, "layers-mixed");
    assert_eq!(found.finding.place, Some(Point::new(50.0, 30.0)));
    silent(
        &knife,
        &service.mended(ServiceMend::SplitLayers),
        "layers-mixed",
    );
}

/// `any (DXF),version,R12 has no lightweight polylines`; nor splines (the format's own reference).
#[test]
fn old_files_hold_no_splines() {
    let mut service = by("waterjet");
    service.file.curves = FileCurves::Splines;
    let knife = plate(100.0, 30.0, 4.0);
    silent(&knife, &service, "splines-old");
    service.file.edition = FileEdition::R12;
    let found = one(&knife, &service, "splines-old");
    assert_eq!(found.mend, Some(ReadyMend::Service(ServiceMend::WriteArcs)));
}

/// `fibre laser,size,smallest separate part: 20 x 20`.
#[test]
fn small_parts_fall_through() {
    let service = by("laser");
    let found = one(&plate(100.0, 19.9, 2.0), &service, "small-part");
    assert_eq!(found.finding.wanted_mm, Some(20.0));
    assert_eq!(found.mend, Some(ReadyMend::Service(ServiceMend::AddTabs)));
    let held = service.mended(ServiceMend::AddTabs);
    silent(&plate(100.0, 19.9, 2.0), &held, "small-part");
    silent(&plate(100.0, 20.0, 2.0), &service, "small-part");
    silent(&plate(100.0, 10.0, 2.0), &by("waterjet"), "small-part");
}

/// `waterjet,depth,no controlled depth; no engraving: through cuts only`; `any (DXF),layers: separate layers for cut, engrave`.
#[test]
fn a_name_is_engraved_by_a_laser_on_a_layer_of_its_own() {
    let mut knife = plate(100.0, 30.0, 4.0);
    knife.engraving = Some(crate::knife::Engraving {
        words: "A7".to_owned(),
        height_mm: 4.0,
        at: Some(Point::new(50.0, 15.0)),
    });
    let found = one(&knife, &by("waterjet"), "engraving-not-cut");
    assert_eq!(found.finding.place, Some(Point::new(50.0, 15.0)));
    let mut laser = by("laser");
    silent(&knife, &laser, "engraving-not-cut");
    laser.file.layers = FileLayers::One("0".to_owned());
    one(&knife, &laser, "layers-mixed");
    silent(
        &knife,
        &laser.mended(ServiceMend::SplitLayers),
        "layers-mixed",
    );
    if let Some(name) = &mut knife.engraving {
        name.height_mm = 29.0;
    }
    let found = one(&knife, &laser, "engraving-no-room");
    assert_eq!(found.finding.severity, Severity::Stop);
}

/// A plain plate is ready for every cold way of cutting; what the shop holds a good tang to is not asked here.
#[test]
fn a_plain_plate_is_ready() {
    let mut knife = plate(200.0, 60.0, 4.0);
    // One diameter of 20 mm is no web here, 15 mm, which only the shop's own figures want.
    hole(&mut knife, 50.0, 60.0 - 15.0 - 10.0, 20.0);
    assert_eq!(checked(&knife, &by("waterjet")), []);
}
