//! Every kind of finding that has a mend, each mended on a knife drawn for it, with sizes worked out by hand; and what is left to the maker.

use super::super::testing::{
    angle, find, findings, free, guarded, hidden, hole, plate, set_of, shouldered, windowed,
    with_nodes,
};
use super::*;
use crate::geometry::Point;
use crate::knife::{CutShape, Filling, Guard, Purpose, Row, RowPath, Spot};

/// The mend that is offered for a finding.
fn offered(knife: &Knife, finding: &Finding) -> Option<ShopMend> {
    let set = set_of(knife);
    let up = weigh(knife, &set);
    shop_mend(knife, &set, &up, finding, &Thresholds::default())
}

/// The mend of the first finding with this code, made: there is one finding of the code less, and none is graver than before.
fn mended(knife: &Knife, code: &str) -> (Knife, ShopMend) {
    let before = findings(knife);
    let finding = before.iter().find(|f| f.code == code);
    let finding = finding.unwrap_or_else(|| panic!("{code} is not found"));
    let own = offered(knife, finding).unwrap_or_else(|| panic!("{code} has a mend"));
    let mut after = knife.clone();
    own.mend.make(&mut after).unwrap();
    let left = findings(&after);
    let of_code = |found: &[Finding]| found.iter().filter(|f| f.code == code).count();
    assert_eq!(of_code(&left) + 1, of_code(&before), "{code}");
    let stops = |found: &[Finding]| {
        let stops = found.iter().filter(|f| f.severity == Severity::Stop);
        stops.count()
    };
    assert!(stops(&left) <= stops(&before), "{code}");
    (after, own)
}

fn diameter(knife: &Knife, i: usize) -> f64 {
    match knife.cut_outs[i].shape {
        CutShape::Round { diameter_mm, .. } => diameter_mm,
        _ => 0.0,
    }
}

/// A plate of 200 × 60 × 4 mm with one hole in its middle.
fn with(d: f64, purpose: Purpose, filling: Filling) -> Knife {
    let mut knife = plate(200.0, 60.0, 4.0);
    let cut = hole(&mut knife, 50.0, 30.0, d);
    (cut.purpose, cut.filling) = (purpose, filling);
    knife
}

fn pin(rod_mm: Option<f64>) -> Filling {
    let material = "brass".to_owned();
    Filling::Pin { material, rod_mm }
}

#[test]
fn empty_and_doubled_pieces_go() {
    let (after, own) = mended(&with_nodes(&[(100.0, 0.0)]), "outline-zero-piece");
    assert_eq!(
        (after.outline.nodes.len(), own.mend.label()),
        (4, "join the two nodes")
    );
    // Out to (120, 10) and back.
    let spur = with_nodes(&[(100.0, 10.0), (120.0, 10.0), (100.0, 10.0)]);
    let (after, own) = mended(&spur, "outline-doubled");
    assert_eq!(own.mend.label(), "drop the spur");
    assert!((after.contour().moments().area - 3000.0).abs() < 1e-9);
}

/// What an unsound outline hid does not stand in the way of its mend: the window's sharp corners were there before.
#[test]
fn what_an_unsound_outline_hid_is_no_work_of_its_mend() {
    let mut knife = with_nodes(&[(100.0, 0.0)]);
    free(
        &mut knife,
        &[(40.0, 10.0), (60.0, 10.0), (60.0, 20.0), (40.0, 20.0)],
    );
    assert!(findings(&knife).iter().all(|f| f.code != "cut-out-corner"));
    let (after, _) = mended(&knife, "outline-zero-piece");
    find(&after, "cut-out-corner");
}

#[test]
fn a_cut_out_with_an_empty_piece_or_there_twice_is_mended() {
    let mut knife = plate(200.0, 60.0, 4.0);
    free(
        &mut knife,
        &[(40.0, 20.0), (60.0, 20.0), (60.0, 20.0), (50.0, 40.0)],
    );
    let (after, _) = mended(&knife, "cut-out-unsound");
    // Half of 20 × 20.
    assert!((after.cut_outs[0].shape.moments().area.abs() - 200.0).abs() < 1e-9);
    let mut knife = plate(200.0, 60.0, 4.0);
    hole(&mut knife, 50.0, 30.0, 8.0);
    hole(&mut knife, 50.0, 30.0, 8.0);
    let (after, own) = mended(&knife, "cut-outs-overlap");
    assert_eq!(
        (after.cut_outs.len(), own.mend.label()),
        (1, "drop the double")
    );
}

/// An L with its inside corner at (40, 15): the waterjet leaves 0.508 mm, r²·(1 − π/4) more steel, within what a cubic quarter circle strays.
#[test]
fn sharp_inside_corners_are_rounded() {
    let knife = angle();
    let (after, own) = mended(&knife, "inside-corner");
    let area = |knife: &Knife| knife.contour().moments().area;
    let more = 0.508 * 0.508 * (1.0 - std::f64::consts::FRAC_PI_4);
    assert!((area(&after) - area(&knife) - more).abs() < 1e-2 * more);
    assert_eq!(own.mend.label(), "round the corner");

    let (after, own) = mended(&windowed(), "cut-out-corner");
    let left = after.cut_outs[0].shape.moments().area.abs();
    assert!((400.0 - left - 4.0 * more).abs() < 4e-2 * more);
    assert_eq!(own.mend.label(), "round the corners");
}

#[test]
fn a_sharp_shoulder_is_rounded_to_what_a_hardened_tang_wants() {
    let (after, own) = mended(&hidden(0.0), "shoulder-radius");
    assert!(matches!(own.mend, Mend::RoundCorners { radius_mm, .. } if radius_mm == 1.5));
    mended(&after, "shoulder-radius");
}

/// 2.9 mm in 6 mm stock: the cutting table wants max(0.5 · 6, 1.5) = 3 mm.
#[test]
fn a_hole_too_small_to_cut_is_made_as_large_as_can_be_cut() {
    let mut knife = plate(200.0, 60.0, 6.0);
    hole(&mut knife, 50.0, 30.0, 2.9);
    let (after, own) = mended(&knife, "small-for-cutting");
    assert!((diameter(&after, 0) - 3.0).abs() < 1e-9);
    assert_eq!(own.mend.label(), "size the hole");
    let told = own.told.to_string();
    assert!(told.starts_with("2.9 mm now, 3 mm after; "), "{told}");
}

/// The sizes are those the checks of holes are tested with: the drill nearest to 3.36 is 3.4; 3 mm rod wants 3.1; cord wants 5.
#[test]
fn holes_get_the_size_they_want() {
    let alignment = with(3.36, Purpose::Alignment, Filling::Nothing);
    assert_eq!(diameter(&mended(&alignment, "drill-size").0, 0), 3.4);
    let pinned = with(3.0, Purpose::Pin, pin(None));
    assert_eq!(diameter(&mended(&pinned, "pin-fit").0, 0), 3.1);
    let lanyard = with(4.5, Purpose::Lanyard, Filling::Nothing);
    assert_eq!(diameter(&mended(&lanyard, "lanyard-hole").0, 0), 5.0);
    let tube = Filling::Tube {
        material: "brass".to_owned(),
        bore_mm: 3.0,
    };
    let (after, _) = mended(&with(7.0, Purpose::Tube, tube), "tube-fit");
    assert_ne!(diameter(&after, 0), 7.0);
}

/// A lightening hole of 10 mm whose rim is 1 mm from the edge: 4 mm of stock are asked, so 3 mm go on each side. One with a pin in it is left to the maker.
#[test]
fn a_lightening_hole_gives_way_to_a_web_and_a_pin_does_not() {
    let mut knife = plate(200.0, 60.0, 4.0);
    hole(&mut knife, 50.0, 6.0, 10.0);
    let (after, _) = mended(&knife, "web-outline");
    assert!((diameter(&after, 0) - 4.0).abs() < 1e-5);
    knife.cut_outs[0].purpose = Purpose::Pin;
    assert_eq!(offered(&knife, &find(&knife, "web-outline")), None);
}

/// A rim 6 mm from the edge: 10 mm of web are asked for 10 mm of hole, but 7.33 for 7.33, and (2·6 + 10)/3 = 7.33.
#[test]
fn what_is_asked_for_a_hole_shrinks_with_the_hole() {
    let mut knife = plate(200.0, 60.0, 4.0);
    hole(&mut knife, 50.0, 11.0, 10.0);
    let (after, _) = mended(&knife, "web-outline");
    assert!((diameter(&after, 0) - 22.0 / 3.0).abs() < 1e-5);
    // 3 mm between 10 mm and 4 mm: (2·3 + 10)/3, above the 4 mm the smaller one asks.
    let mut pair = plate(200.0, 60.0, 4.0);
    hole(&mut pair, 50.0, 30.0, 10.0);
    hole(&mut pair, 60.0, 30.0, 4.0);
    let (after, _) = mended(&pair, "web-holes");
    assert!((diameter(&after, 0) - 16.0 / 3.0).abs() < 1e-5);
    assert_eq!(diameter(&after, 1), 4.0);
}

#[test]
fn missing_landmarks_are_set_where_the_outline_says() {
    let knife = shouldered(0.0);
    assert!(knife.landmarks.is_empty());
    let (after, own) = mended(&knife, "landmark-missing");
    assert_eq!(own.mend.label(), "set the landmarks");
    // No grind runs to a false edge, so nothing asks for one.
    assert_eq!(after.landmark_point(LandmarkKind::FalseEdge), None);
    let butt = after.landmark_point(LandmarkKind::Butt).unwrap();
    assert_eq!(butt.x, -100.0);
    let shoulder = after.landmark_point(LandmarkKind::UpperShoulder).unwrap();
    assert!(shoulder.distance(Point::new(0.0, 30.0)) < 1e-6);
    // A tip halfway down the blade goes to the foremost point.
    let mut astray = after;
    astray.set_landmark(LandmarkKind::Tip, Spot { node: 1, t: 0.5 });
    let (after, own) = mended(&astray, "landmark-off");
    assert_eq!(own.mend.label(), "set the landmark");
    assert_eq!(after.landmark_point(LandmarkKind::Tip).unwrap().x, 120.0);
}

/// A slot may be 0.05 mm narrower or wider than the tang, half of it on each face.
#[test]
fn a_guards_slot_is_fitted() {
    for (code, clearance_mm, wanted) in [("guard-tight", -0.1, -0.025), ("guard-loose", 0.1, 0.025)]
    {
        let mut knife = guarded(20.0);
        knife.guard.as_mut().unwrap().clearance_mm = clearance_mm;
        let (after, own) = mended(&knife, code);
        assert!((after.guard.unwrap().clearance_mm - wanted).abs() < 1e-12);
        assert_eq!(own.mend.label(), "fit the slot");
    }
}

/// In 4 mm stock the jet cuts from 2 mm up, a 1.5 mm rod wants a hole of 1.6: what the one asks the other takes back.
#[test]
fn no_mend_undoes_another() {
    for filling in [pin(Some(1.5)), pin(None)] {
        let knife = with(1.6, Purpose::Pin, filling);
        assert_eq!(offered(&knife, &find(&knife, "small-for-cutting")), None);
    }
    // A rod in a hole of 2.4 mm is loose; mended, the hole is one that has to be drilled, as it was not before.
    let knife = with(2.4, Purpose::Pin, pin(Some(1.5)));
    assert_eq!(offered(&knife, &find(&knife, "pin-fit")), None);
}

/// 1.9 mm want to be 2 mm, but the rim is 4.02 mm from the edge, and 4 mm are the least.
#[test]
fn a_mend_that_would_break_another_rule_is_not_offered() {
    let mut knife = plate(200.0, 60.0, 4.0);
    hole(&mut knife, 50.0, 4.97, 1.9);
    assert_eq!(offered(&knife, &find(&knife, "small-for-cutting")), None);
    knife.cut_outs.clear();
    hole(&mut knife, 50.0, 5.07, 1.9);
    mended(&knife, "small-for-cutting");
}

/// A tang of 4 × 12 mm with square corners, in a slot that is 2c larger and has corners of radius r: the tang's corner, c in from both sides, lies in
/// the slot while it is within r of the arc's middle, (r − c)·√2 ≤ r. At the mend's radius it just is; a ten-thousandth more, and it is not.
#[test]
fn a_slot_s_corners_are_filed_until_a_square_tang_passes() {
    for c in [0.0, 0.01, 0.025] {
        let mut knife = guarded(14.0);
        let guard = knife.guard.as_mut().unwrap();
        (guard.clearance_mm, guard.slot_corner_mm) = (c, 1.0);
        let (after, own) = mended(&knife, "guard-corner");
        assert_eq!(own.mend.label(), "file the slot's corners");
        let filed = after.guard.unwrap();
        let stands_in = |r: f64| (r - c) * 2.0_f64.sqrt() > r + 1e-9;
        assert!(!stands_in(filed.slot_corner_mm), "{}", filed.slot_corner_mm);
        assert!(stands_in(filed.slot_corner_mm + 1e-4));
        // Nothing else of the guard is touched, nor the tang.
        let untouched = Guard {
            slot_corner_mm: 1.0,
            ..filed
        };
        assert_eq!(Some(&untouched), knife.guard.as_ref());
        assert_eq!(after.outline, knife.outline);
        let told = own.told.to_string();
        assert!(
            told.starts_with("the slot's corners have 1 mm now, "),
            "{told}"
        );
    }
    // A slot that is narrower than the tang has to be square.
    let mut pressed = guarded(14.0);
    let guard = pressed.guard.as_mut().unwrap();
    (guard.clearance_mm, guard.slot_corner_mm) = (-0.02, 1.0);
    let (after, _) = mended(&pressed, "guard-corner");
    assert_eq!(after.guard.unwrap().slot_corner_mm, 0.0);
}

#[test]
fn what_is_clamped_is_not_offered_to_be_changed() {
    let mut knife = with(3.36, Purpose::Alignment, Filling::Nothing);
    let finding = find(&knife, "drill-size");
    assert!(offered(&knife, &finding).is_some());
    knife.clamped.insert(knife.cut_outs[0].id);
    assert_eq!(offered(&knife, &finding), None);
    // The smaller of two lightening holes gives way where the larger is clamped, if it can.
    let mut pair = plate(200.0, 60.0, 4.0);
    let large = hole(&mut pair, 50.0, 30.0, 5.0).id;
    hole(&mut pair, 59.0, 30.0, 4.9);
    pair.clamped.insert(large);
    let (after, _) = mended(&pair, "web-holes");
    assert_eq!(diameter(&after, 0), 5.0);
    // 4.05 mm between them, 5 mm asked for the larger one: 4.9 − 2·0.95.
    assert!((diameter(&after, 1) - 3.0).abs() < 1e-5);
    // A row keeps its path, and its sizes are free.
    let mut knife = plate(200.0, 60.0, 4.0);
    let id = knife.take_id();
    knife.rows.push(Row {
        id,
        path: RowPath::Line {
            from: Point::new(60.0, 30.0),
            to: Point::new(120.0, 30.0),
        },
        count: 3,
        first_diameter_mm: 3.36,
        last_diameter_mm: 3.36,
        purpose: Purpose::Tooling,
        filling: Filling::Nothing,
    });
    knife.clamped.insert(id);
    let (after, own) = mended(&knife, "drill-size");
    assert_eq!(after.rows[0].first_diameter_mm, 3.4);
    assert_eq!(own.mend.label(), "size the row");
    // An outline's mend that would move a clamped node.
    let mut knife = with_nodes(&[(100.0, 0.0)]);
    let finding = find(&knife, "outline-zero-piece");
    knife.clamped.insert(knife.outline.nodes[2].id);
    assert_eq!(offered(&knife, &finding), None);
}

#[test]
fn a_mend_that_finds_nothing_says_so() {
    let mut knife = plate(200.0, 60.0, 4.0);
    let gone = Mend::SizeHoles {
        cut_outs: vec![99],
        rows: vec![],
        size_mm: 3.0,
    };
    assert!(gone.make(&mut knife).is_err());
    for no_guard in [
        Mend::FitGuard { clearance_mm: 0.0 },
        Mend::FileSlotCorners { radius_mm: 0.0 },
    ] {
        assert!(no_guard.make(&mut knife).is_err());
    }
}
