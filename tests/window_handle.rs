//! Handle, saw, weigh-ins and the hole planner in the real window, driven by name as a maker or a screen reader would.

#![expect(clippy::expect_used, reason = "helpers of a test may stop it")]

#[path = "common/shell.rs"]
mod common;

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use common::{choose, press, set, window};
use tangwright::geometry::Point;
use tangwright::knife::{CutShape, Faces, Filling, Fixing, FlawKind, Knife, Stage, TangHole};
use tangwright::strength::{StrengthOptions, strength};
use tangwright::window::{Tool, Workshop};

fn knife(harness: &Harness<'_, Workshop>) -> Knife {
    let workshop = harness.state();
    let id = workshop.session().knife.expect("a knife");
    let set = workshop.history().set();
    Knife::clone(set.knife(id).expect("in the rack"))
}

fn total_g(harness: &Harness<'_, Workshop>) -> f64 {
    let workshop = harness.state();
    let id = workshop.session().knife.expect("a knife");
    let results = workshop.results().of(id).expect("weighed");
    results.weighed.up.total.expect("all together").mass_g
}

fn click(harness: &mut Harness<'_, Workshop>, name: &str) {
    harness
        .get_by_role_and_label(Role::Button, name)
        .click_accesskit();
    harness.run_steps(3);
}

fn type_in(harness: &mut Harness<'_, Workshop>, field: &str, text: &str) {
    harness
        .get_by_role_and_label(Role::TextInput, field)
        .focus();
    harness.run_steps(2);
    press(harness, Modifiers::COMMAND, Key::A);
    harness
        .get_by_role_and_label(Role::TextInput, field)
        .type_text(text);
    harness.run_steps(2);
    press(harness, Modifiers::NONE, Key::Enter);
    harness.run_steps(2);
}

#[test]
fn scales_are_added_made_thicker_and_given_a_bolster() {
    let mut harness = window(Workshop::new(set()));
    let bare = total_g(&harness);
    click(&mut harness, "Handle card");
    click(&mut harness, "Add scales");
    let handle = knife(&harness).handle.expect("scales");
    assert!(matches!(handle.fixing, Fixing::Scales { liner: None }));
    let wood = total_g(&harness);
    assert!(wood > bare + 10.0, "{bare} {wood}");
    type_in(&mut harness, "in the palm", "26 mm");
    assert!(total_g(&harness) > wood);
    assert_eq!(
        knife(&harness).handle.expect("scales").stations[1].thickness_mm,
        26.0
    );
    let before = total_g(&harness);
    click(&mut harness, "Add bolster");
    assert_eq!(knife(&harness).handle.expect("scales").parts.len(), 2);
    assert!(
        total_g(&harness) > before + 10.0,
        "brass is heavier than wood"
    );
    // One undo step each.
    let undo = |harness: &mut Harness<'_, Workshop>| press(harness, Modifiers::COMMAND, Key::Z);
    undo(&mut harness);
    assert_eq!(knife(&harness).handle.expect("scales").parts.len(), 1);
    undo(&mut harness);
    choose(&mut harness, "Edit", "Undo add handle");
    assert_eq!(knife(&harness).handle, None);
    assert!((total_g(&harness) - bare).abs() < 1e-9);
}

/// Draws a line over the knife with the tool in hand.
fn draw_line(harness: &mut Harness<'_, Workshop>, from: Point, to: Point) {
    let at = |harness: &Harness<'_, Workshop>, p: Point| {
        let session = harness.state().session();
        session
            .view()
            .screen_from_model(session.canvas.expect("drawn"), p)
    };
    let (a, b) = (at(harness, from), at(harness, to));
    drag(harness, a, b);
}

/// Presses the button at one place of the screen and lets it go at another.
fn drag(harness: &mut Harness<'_, Workshop>, a: egui::Pos2, b: egui::Pos2) {
    harness.hover_at(a);
    harness.run_steps(2);
    harness.drag_at(a);
    harness.run_steps(2);
    harness.hover_at(a.lerp(b, 0.5));
    harness.run_steps(2);
    harness.hover_at(b);
    harness.run_steps(2);
    harness.drop_at(b);
    harness.run_steps(3);
}

#[test]
fn the_saw_parts_the_knife_where_its_line_lies() {
    let mut harness = window(Workshop::new(set()));
    let before = knife(&harness);
    harness.state_mut().session_mut().tool = Tool::Saw;
    harness.run_steps(2);
    draw_line(
        &mut harness,
        Point::new(-60.0, 40.0),
        Point::new(-60.0, -60.0),
    );
    harness.get_by_label_contains("may run further than you see");
    click(&mut harness, "Mark a crack");
    assert_eq!(knife(&harness).flaws.len(), 1);
    draw_line(
        &mut harness,
        Point::new(-60.0, 40.0),
        Point::new(-60.0, -60.0),
    );
    click(&mut harness, "Saw, wrap handle");
    let sawn = knife(&harness);
    let back = sawn.contour().bounds().x0;
    // To where the pointer let go, within a screen point or two.
    assert!((back + 60.0).abs() < 3.0, "{back}");
    let handle = sawn.handle.expect("a handle");
    assert!(matches!(
        handle.fixing,
        Fixing::Block {
            hole: TangHole::BurntIn
        }
    ));
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(knife(&harness).outline, before.outline);
    assert_eq!(knife(&harness).handle, None);
}

/// A marked line is made what it is on the Profile card: a pit on one face, so wide and so deep; then the mark is taken away.
#[test]
fn a_flaw_is_told_more_of_and_taken_away() {
    let mut harness = window(Workshop::new(set()));
    harness.state_mut().session_mut().tool = Tool::Saw;
    harness.run_steps(2);
    let line = [Point::new(-60.0, 4.0), Point::new(-64.0, 4.0)];
    draw_line(&mut harness, line[0], line[1]);
    click(&mut harness, "Mark a crack");
    if harness
        .query_by_label_contains("Take the mark away")
        .is_none()
    {
        click(&mut harness, "Profile card");
    }
    click(&mut harness, "pit, flaw 1");
    click(&mut harness, "left face, flaw 1");
    type_in(&mut harness, "flaw 1, to either side", "1.5 mm");
    type_in(&mut harness, "flaw 1, deep", "0.4 mm");
    let flaw = knife(&harness).flaws[0].clone();
    assert_eq!((flaw.kind, flaw.faces), (FlawKind::Pit, Faces::Left));
    assert_eq!((flaw.reach_mm, flaw.depth_mm), (1.5, Some(0.4)));
    type_in(&mut harness, "flaw 1, deep", "0");
    assert_eq!(knife(&harness).flaws[0].depth_mm, None);
    click(&mut harness, "Take the mark away: flaw 1");
    assert!(knife(&harness).flaws.is_empty());
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(knife(&harness).flaws.len(), 1);
}

#[test]
fn the_middle_of_the_saws_line_bends_it() {
    let mut harness = window(Workshop::new(set()));
    harness.state_mut().session_mut().tool = Tool::Saw;
    harness.run_steps(2);
    let (from, to) = (Point::new(-60.0, 40.0), Point::new(-60.0, -60.0));
    draw_line(&mut harness, from, to);
    harness.get_by_role_and_label(Role::Button, "bow of the cut");
    draw_line(&mut harness, from.midpoint(to), Point::new(-70.0, -10.0));
    click(&mut harness, "Saw off");
    let curved = knife(&harness);
    let back = curved.contour().bounds().x0;
    assert!((-71.0..-66.0).contains(&back), "{back}");
    let handles = curved.outline.nodes.iter();
    let bent =
        handles.filter(|n| n.at.x < -50.0 && (n.handle_in.is_some() || n.handle_out.is_some()));
    assert!(bent.count() >= 2, "the cut is a curve");
}

#[test]
fn a_weigh_in_is_written_read_and_taken_over() {
    let mut harness = window(Workshop::new(set()));
    let id = harness.state().session().knife.expect("a knife");
    let drilled = {
        let results = harness.state().results().of(id).expect("weighed");
        results.weighed.up.steel.drilled_mass_g.expect("known")
    };
    click(&mut harness, "On the scale: none yet");
    let heavy = drilled * 1.02;
    type_in(&mut harness, "scale says", &format!("{heavy:.3} g"));
    click(&mut harness, "Write down");
    let written = knife(&harness).weigh_ins;
    assert_eq!(written.len(), 1);
    assert_eq!(written[0].stage, Stage::Drilled);
    assert!((written[0].mass_g - heavy).abs() < 0.001);
    // Two parts in a hundred of the bar: thicker by as much.
    let thick = knife(&harness).stock.thickness_mm;
    let words = harness.get_by_label_contains("Take over: stock");
    words.click_accesskit();
    harness.run_steps(3);
    let now = knife(&harness).stock.thickness_mm;
    assert!((now / thick - 1.02).abs() < 1e-4, "{thick} {now}");
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(knife(&harness).stock.thickness_mm, thick);
    // Kept for later knives it changes no design, and is offered for this bar.
    let before = knife(&harness);
    let keep = harness.get_by_label_contains("Keep for later: stock");
    keep.click_accesskit();
    harness.run_steps(3);
    assert_eq!(knife(&harness), before);
    let learned = &harness.state().session().preferences.learned;
    let real = learned.thickness_mm(&before.stock.material, thick);
    assert!((real.expect("learned") / thick - 1.02).abs() < 1e-4);
    click(&mut harness, "Use this thickness");
    let now = knife(&harness).stock.thickness_mm;
    assert!((now / thick - 1.02).abs() < 1e-4, "{thick} {now}");
    assert!(harness.query_by_label("Use this thickness").is_none());
}

/// A density the shop has learned is offered for a later knife of that steel, and taken over for the set when asked.
#[test]
fn a_density_that_was_learned_is_taken_over() {
    let mut harness = window(Workshop::new(set()));
    let key = knife(&harness).stock.material;
    let density = |harness: &Harness<'_, Workshop>| {
        let set = harness.state().history().set();
        set.material(&key).expect("in the set").density_g_cm3
    };
    let before = density(&harness);
    let session = harness.state_mut().session_mut();
    let learned = &mut session.preferences.learned;
    assert!(learned.learn_density(&key, 1.008 * before));
    harness.run_steps(3);
    assert_eq!(density(&harness), before, "no design changes unasked");
    click(&mut harness, "Use this density");
    let now = density(&harness);
    assert!((now / before - 1.008).abs() < 1e-4, "{before} {now}");
    assert!(harness.query_by_label("Use this density").is_none());
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(density(&harness), before);
}

fn balance_mm(harness: &Harness<'_, Workshop>) -> f64 {
    let workshop = harness.state();
    let id = workshop.session().knife.expect("a knife");
    let results = workshop.results().of(id).expect("weighed");
    results.weighed.up.total.expect("all together").balance_mm
}

#[test]
fn a_wanted_balance_is_planned_shown_and_taken_as_one_step() {
    let mut harness = window(Workshop::new(set()));
    let (before, now) = (knife(&harness), balance_mm(&harness));
    harness.get_by_role_and_label(Role::Slider, "wanted balance");
    click(&mut harness, "Wanted balance or mass: no wish yet");
    type_in(&mut harness, "balance at", &format!("{:.1} mm", now + 1.5));
    wait_for_plans(&mut harness);
    // Nothing is done unasked.
    assert_eq!(knife(&harness), before);
    let take = harness.get_by_label_contains("Take this: fewest holes");
    take.click_accesskit();
    harness.run_steps(4);
    let wanted = ((now + 1.5) * 10.0).round() / 10.0;
    assert!(
        (balance_mm(&harness) - wanted).abs() <= 0.1,
        "{} {wanted}",
        balance_mm(&harness)
    );
    assert!(knife(&harness).cut_outs.len() > before.cut_outs.len());
    choose(&mut harness, "Edit", "Undo drill for balance: fewest holes");
    assert_eq!(knife(&harness).cut_outs, before.cut_outs);
}

/// The shown plan stands as ghosts where its holes would be, each named by its drill, until it is taken.
#[test]
fn planned_holes_stand_as_ghosts_on_the_drawing() {
    let mut harness = window(Workshop::new(set()));
    let (before, now) = (knife(&harness), balance_mm(&harness));
    assert_eq!(harness.query_all_by_label_contains("planned ").count(), 0);
    click(&mut harness, "Wanted balance or mass: no wish yet");
    type_in(&mut harness, "balance at", &format!("{:.1} mm", now + 1.5));
    wait_for_plans(&mut harness);
    harness.run_steps(2);
    let ghosts: Vec<egui::Rect> = harness
        .query_all_by_label_contains("planned ")
        .map(|ghost| ghost.rect())
        .collect();
    harness
        .get_by_label_contains("Take this: fewest holes")
        .click_accesskit();
    harness.run_steps(4);
    let made = knife(&harness);
    let new = &made.cut_outs[before.cut_outs.len()..];
    assert!(!new.is_empty());
    assert_eq!(ghosts.len(), new.len());
    let view = harness.state().session().view();
    for (ghost, cut) in ghosts.iter().zip(new) {
        let CutShape::Round { diameter_mm, .. } = cut.shape else {
            panic!("{cut:?} is no hole");
        };
        let wide = diameter_mm * view.px_per_mm;
        assert!(
            (f64::from(ghost.width()) - wide).abs() < 1.0,
            "{ghost:?} {wide}"
        );
    }
    assert_eq!(harness.query_all_by_label_contains("planned ").count(), 0);
}

/// The stretch that holes keep to, their evenness and the drills at hand are told the planner, and kept.
#[test]
fn plans_keep_to_the_makers_stretch_and_drills() {
    let mut harness = window(Workshop::new(set()));
    let (before, now) = (knife(&harness), balance_mm(&harness));
    click(&mut harness, "Wanted balance or mass: no wish yet");
    type_in(&mut harness, "holes from", "-25 mm");
    type_in(&mut harness, "back to", "-85 mm");
    type_in(&mut harness, "drills at hand", "6, none such");
    harness.get_by_label_contains("no drill is called none such");
    type_in(&mut harness, "drills at hand", "6, 1/4");
    harness
        .get_by_role_and_label(Role::CheckBox, "Even about the middle line")
        .click_accesskit();
    harness.run_steps(2);
    type_in(&mut harness, "balance at", &format!("{:.1} mm", now + 1.0));
    wait_for_plans(&mut harness);
    harness
        .get_by_label_contains("Take this: own drills")
        .click_accesskit();
    harness.run_steps(4);
    let made = knife(&harness);
    let new = &made.cut_outs[before.cut_outs.len()..];
    assert!(!new.is_empty());
    for cut in new {
        let CutShape::Round {
            center,
            diameter_mm,
        } = cut.shape
        else {
            panic!("{cut:?} is no hole");
        };
        assert!([6.0, 6.35].contains(&diameter_mm), "{diameter_mm}");
        let half = diameter_mm / 2.0;
        assert!(
            center.x + half <= -25.0 && center.x - half >= -85.0,
            "{center}"
        );
    }
    assert_eq!(
        harness.state().session().preferences.drills,
        ["6.0 mm", "1/4"]
    );
}

/// The open marker over the beam is dragged where the knife shall balance; the planner starts when it is let go.
#[test]
fn the_wish_is_dragged_along_the_beam() {
    let mut harness = window(Workshop::new(set()));
    let now = balance_mm(&harness);
    let marker = harness.get_by_role_and_label(Role::Slider, "wanted balance");
    let from = marker.rect().center();
    drag(&mut harness, from, from + egui::vec2(8.0, 0.0));
    wait_for_plans(&mut harness);
    let take = harness.get_by_label_contains("Take this: fewest holes");
    take.click_accesskit();
    harness.run_steps(4);
    assert!(balance_mm(&harness) > now, "{} {now}", balance_mm(&harness));
}

/// The planner works on a thread of its own; the window goes on drawing until it has an answer.
fn wait_for_plans(harness: &mut Harness<'_, Workshop>) {
    wait_for(harness, "Take this: fewest holes");
}

/// Waits for an answer that is worked out beside the window.
fn wait_for(harness: &mut Harness<'_, Workshop>, told: &str) {
    let found = |harness: &Harness<'_, Workshop>| harness.query_by_label_contains(told).is_some();
    for _ in 0..2_000 {
        if found(harness) {
            break;
        }
        std::thread::yield_now();
        std::thread::sleep(std::time::Duration::from_millis(5));
        harness.step();
    }
    assert!(found(harness), "an answer within ten seconds: {told}");
}

#[test]
fn a_wanted_mass_is_planned_as_well() {
    let mut harness = window(Workshop::new(set()));
    let (before, now) = (knife(&harness), total_g(&harness));
    click(&mut harness, "Wanted balance or mass: no wish yet");
    let wanted = ((now - 1.5) * 10.0).round() / 10.0;
    type_in(&mut harness, "or a mass of", &format!("{wanted} g"));
    wait_for_plans(&mut harness);
    assert_eq!(knife(&harness), before, "nothing is done unasked");
    let take = harness.get_by_label_contains("Take this: fewest holes");
    take.click_accesskit();
    harness.run_steps(4);
    let made = total_g(&harness);
    assert!((made - wanted).abs() <= 0.1, "{made} {wanted}");
    choose(&mut harness, "Edit", "Undo drill for mass: fewest holes");
    assert_eq!(knife(&harness).cut_outs, before.cut_outs);
}

#[test]
fn strength_is_told_with_its_caution_and_marked() {
    let mut harness = window(Workshop::new(set()));
    click(&mut harness, "Strength: 100 N at the tip");
    harness.get_by_label_contains("comparison between designs");
    wait_for(&mut harness, "weakest edgewise");
    // The mark stands on the drawing where the library finds the weakest section, as high as the steel there.
    let own = strength(&knife(&harness), &set(), &StrengthOptions::default()).expect("strength");
    let places = [own.weakest_edgewise, own.weakest_flatwise];
    let view = harness.state().session().view();
    let marks: Vec<egui::Rect> = harness
        .query_all_by_label_contains("weakest section at ")
        .map(|mark| mark.rect())
        .collect();
    assert!(!marks.is_empty());
    for mark in &marks {
        let steel = knife(&harness).contour().index();
        let near = |place: &usize| {
            let x = own.stations[*place].section.x_mm;
            let (low, high) = steel.depth_at(x).expect("steel");
            (f64::from(mark.height()) - (high - low) * view.px_per_mm).abs() < 1.0
        };
        assert!(places.iter().flatten().any(near), "{mark:?}");
    }
    harness.get_by_label("gives flatwise");
    type_in(&mut harness, "load, N", "200");
    harness.get_by_label("Strength: 200 N at the tip");
}

#[test]
fn scales_go_round_the_tang_when_asked() {
    let mut harness = window(Workshop::new(set()));
    click(&mut harness, "Handle card");
    click(&mut harness, "Add scales");
    assert_eq!(knife(&harness).handle.expect("scales").outline, None);
    let flush = total_g(&harness);
    click(&mut harness, "round the tang, handle outline");
    let wrapped = knife(&harness);
    let outline = wrapped.handle.as_ref().and_then(|h| h.outline.clone());
    let around = |outline: tangwright::knife::Outline| {
        wrapped.contour().bounds().x0 - outline.contour().bounds().x0
    };
    let first = around(outline.expect("its own"));
    assert!(first >= 4.0, "{first}");
    assert!(total_g(&harness) > flush);
    type_in(&mut harness, "wood round the tang", "7 mm");
    let outline = knife(&harness).handle.expect("scales").outline;
    assert!(around(outline.expect("its own")) >= 7.0);
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    click(&mut harness, "the tang's, handle outline");
    assert_eq!(knife(&harness).handle.expect("scales").outline, None);
}

#[test]
fn a_drill_is_taken_by_the_fit_of_its_pin() {
    let mut harness = window(Workshop::new(set()));
    harness.get_by_label("what for").click_accesskit();
    harness.run_steps(3);
    click(&mut harness, "pin");
    type_in(&mut harness, "hole diameter", "1/8 in");
    // The shop's slip fit for 1/8 in rod: #30 leaves 0.1285 in - 1/8 in.
    click(&mut harness, "drill #30 for a slip pin");
    let d = harness.state().session().drill.diameter_mm;
    assert!((d - 0.1285 * 25.4).abs() < 1e-9, "{d}");
    click(&mut harness, "Add hole");
    let drilled = knife(&harness);
    let hole = drilled.cut_outs.last().expect("drilled");
    assert_eq!(hole.purpose, tangwright::knife::Purpose::Pin);
}

/// A pin to be peened: 3/16 in rod in a 1/4 in hole (practice `pin.tang-hole-oversize`).
#[test]
fn a_rod_thinner_than_its_hole_is_chosen_or_typed() {
    let mut harness = window(Workshop::new(set()));
    let rod = |harness: &Harness<'_, Workshop>| {
        let hole = knife(harness).cut_outs.last().cloned().expect("drilled");
        let CutShape::Round { diameter_mm, .. } = hole.shape else {
            return (0.0, None);
        };
        match hole.filling {
            Filling::Pin { rod_mm, .. } => (diameter_mm, rod_mm),
            _ => (diameter_mm, None),
        }
    };
    harness.get_by_label("what for").click_accesskit();
    harness.run_steps(3);
    click(&mut harness, "pin");
    harness.get_by_label("filling").click_accesskit();
    harness.run_steps(3);
    click(&mut harness, "pin");
    type_in(&mut harness, "hole diameter", "1/4 in");
    click(&mut harness, "Add hole");
    let full = total_g(&harness);
    assert_eq!(rod(&harness), (6.35, None));
    harness.get_by_label("pin from rod").click_accesskit();
    harness.run_steps(3);
    click(&mut harness, "3/16 in");
    assert_eq!(rod(&harness), (6.35, Some(4.7625)));
    let thin = total_g(&harness);
    assert!(thin < full, "{thin} {full}");
    harness.get_by_label_contains("to the rod, peened");
    type_in(&mut harness, "rod", "5 mm");
    assert_eq!(rod(&harness), (6.35, Some(5.0)));
    assert!((thin..full).contains(&total_g(&harness)));
    // A hole drilled smaller than its rod is filled by it.
    type_in(&mut harness, "diameter", "4 mm");
    assert_eq!(rod(&harness), (4.0, None));
}

#[test]
fn a_tang_is_tapered_from_its_card() {
    let mut harness = window(Workshop::new(set()));
    click(&mut harness, "Handle card");
    let before = total_g(&harness);
    let bar = knife(&harness).stock.thickness_mm;
    type_in(&mut harness, "thick at its end", "2 mm");
    let tapered = knife(&harness);
    let end = tapered.contour().bounds().x0;
    assert!((tapered.thickness_at(end) - 2.0).abs() < 1e-9);
    assert!((tapered.thickness_at(0.0) - bar).abs() < 1e-9);
    assert!(total_g(&harness) < before);
}

#[test]
fn the_guard_stands_on_the_drawing() {
    let mut harness = window(Workshop::new(set()));
    assert!(harness.query_by_label("guard from the side").is_none());
    click(&mut harness, "Handle card");
    click(&mut harness, "Add guard");
    harness.get_by_label("guard from the side");
}
