//! Cards, fields and rack driven by their labels, as a keyboard or a screen reader finds them.

#![expect(clippy::unwrap_used, reason = "helpers of a test may stop it")]

use std::sync::Arc;

use egui::{Key, Modifiers};
use egui_kittest::{Harness, kittest::Queryable};
use tangwright::checks::Severity;
use tangwright::edit::Thing;
use tangwright::knife::{
    CutShape, Filling, Knife, KnifeSet, Material, Purpose, RowPath, Tang, default_sizes,
    make_starter,
};
use tangwright::units::LengthUnit;
use tangwright::window::Workshop;

fn starter(form: &str, id: u32) -> Arc<Knife> {
    let sizes = default_sizes(form).unwrap();
    let mut knife = make_starter(form, &sizes, "steel").unwrap();
    knife.id = id;
    Arc::new(knife)
}

fn set() -> KnifeSet {
    KnifeSet {
        name: "test bench".into(),
        knives: vec![starter("chopper", 1), starter("paring", 2)],
        materials: vec![Material {
            key: "steel".into(),
            name: "Plain steel".into(),
            density_g_cm3: 7.85,
            density_low: 7.8,
            density_high: 7.9,
            data_sheet: String::new(),
        }],
        next_id: 3,
    }
}

struct Bench(Harness<'static, Workshop>);

impl Bench {
    fn new() -> Self {
        let harness = Harness::builder()
            .with_size(egui::vec2(1440.0, 1600.0))
            .with_max_steps(60)
            .build_eframe(|_| Workshop::new(set()));
        let mut bench = Self(harness);
        bench.0.run_steps(4);
        bench
    }

    fn set(&self) -> KnifeSet {
        self.0.state().history().set().clone()
    }

    fn knife(&self) -> Arc<Knife> {
        let id = self.0.state().session().knife.unwrap();
        Arc::clone(self.set().knife(id).unwrap())
    }

    fn focus(&mut self, label: &str) {
        self.0.get_by_label(label).focus();
        self.0.run_steps(2);
    }

    fn press(&mut self, key: Key) {
        self.0.key_press(key);
        self.0.run_steps(3);
    }

    fn write(&mut self, label: &str, text: &str) {
        self.focus(label);
        self.0.get_by_label(label).type_text(text);
        self.0.run_steps(2);
    }

    fn enter(&mut self, label: &str, text: &str) {
        self.write(label, text);
        self.press(Key::Enter);
    }

    fn click(&mut self, label: &str) {
        self.0.get_by_label(label).click();
        self.0.run_steps(4);
    }

    fn undo(&mut self) {
        self.0.state_mut().ask(tangwright::window::Action::Undo);
        self.0.run_steps(2);
    }

    fn has(&self, words: &str) -> bool {
        self.0.query_all_by_label_contains(words).next().is_some()
    }

    fn value(&self, label: &str) -> String {
        self.0.get_by_label(label).value().unwrap()
    }
}

#[test]
fn an_inch_fraction_sets_the_stock_in_one_step() {
    let mut bench = Bench::new();
    let before = bench.set();
    bench.write("stock", "1/8\"");
    // What was understood stands beneath before it is taken.
    assert!(bench.has("= 3.175 mm"));
    assert_eq!(bench.set(), before);
    bench.press(Key::Enter);
    // 25.4 mm to the inch.
    assert_eq!(bench.knife().stock.thickness_mm, 3.175);
    assert!(!bench.has("= 3.175 mm"));
    bench.undo();
    assert_eq!(bench.set(), before);
}

#[test]
fn rubbish_leaves_the_value_and_says_so_beside_the_field() {
    let mut bench = Bench::new();
    let before = bench.set();
    bench.enter("stock", "thick");
    assert_eq!(bench.set(), before);
    assert!(bench.has("length"));
    // Still in the field, with what was typed, so that it can be mended.
    assert_eq!(bench.value("stock"), "thick");
    bench.press(Key::Escape);
    assert_eq!(bench.value("stock"), "5.00 mm");
    assert!(!bench.has("a length"));
    // Leaving it with rubbish keeps the old value and says so.
    bench.write("stock", "thick");
    bench.press(Key::Tab);
    assert_eq!(bench.value("stock"), "5.00 mm");
    assert!(bench.has("5.00 mm stays"));
    assert_eq!(bench.set(), before);
}

#[test]
fn a_value_the_knife_can_not_take_is_refused_beside_the_field() {
    let mut bench = Bench::new();
    let before = bench.set();
    bench.enter("stock", "0");
    assert_eq!(bench.set(), before);
    assert!(bench.has("thickness"));
    assert_eq!(bench.value("stock"), "5.00 mm");
}

#[test]
fn escape_and_a_look_change_nothing() {
    let mut bench = Bench::new();
    bench.enter("stock", "5.4321 mm");
    let before = bench.set();
    bench.write("stock", "9");
    bench.press(Key::Escape);
    // The field shows 5.43; passing through it must not round the 5.4321 it stands for.
    bench.focus("stock");
    bench.press(Key::Tab);
    assert_eq!(bench.set(), before);
    assert_eq!(bench.knife().stock.thickness_mm, 5.4321);
}

#[test]
fn arrow_keys_step_a_size_and_are_one_undo_step() {
    let mut bench = Bench::new();
    let before = bench.set();
    bench.focus("stock");
    bench.0.key_down(Key::ArrowUp);
    bench.0.key_down(Key::ArrowUp);
    bench.0.run_steps(2);
    bench.0.key_up(Key::ArrowUp);
    bench.0.run_steps(3);
    assert!((bench.knife().stock.thickness_mm - 5.2).abs() < 1e-12);
    bench
        .0
        .key_press_modifiers(Modifiers::SHIFT, Key::ArrowDown);
    bench.0.run_steps(3);
    assert!((bench.knife().stock.thickness_mm - 4.2).abs() < 1e-12);
    bench.press(Key::Tab);
    bench.undo();
    assert!((bench.knife().stock.thickness_mm - 5.2).abs() < 1e-12);
    bench.undo();
    assert_eq!(bench.set(), before);
}

#[test]
fn sizes_are_stretched_to_what_is_typed() {
    let mut bench = Bench::new();
    for (label, mm) in [("blade", 250.0), ("overall", 380.0), ("height", 50.0)] {
        bench.enter(label, &format!("{mm}"));
        let id = bench.0.state().session().knife.unwrap();
        let extent = bench
            .0
            .state()
            .results()
            .of(id)
            .unwrap()
            .weighed
            .up
            .steel
            .extent;
        let got = match label {
            "blade" => extent.blade_mm,
            "overall" => extent.overall_mm,
            _ => extent.height_mm,
        };
        assert!((got - mm).abs() < 1e-6, "{label}: {got}");
    }
}

#[test]
fn a_density_is_typed_with_its_spread() {
    let mut bench = Bench::new();
    bench.enter("density, g/cm³", "8.635");
    let steel = bench.set().material("steel").unwrap().clone();
    assert_eq!(steel.density_g_cm3, 8.635);
    // 7.8 and 7.9 by the same 10 %.
    assert!((steel.density_low - 8.58).abs() < 1e-12);
    assert!((steel.density_high - 8.69).abs() < 1e-12);
}

#[test]
fn a_catalog_material_comes_into_the_set_with_the_choice() {
    let mut bench = Bench::new();
    let before = bench.set();
    bench.click("material");
    bench.click("Carbon steel AISI/SAE 1084 (UNS G10840)");
    let knife = bench.knife();
    assert_ne!(knife.stock.material, "steel");
    assert!(bench.set().material(&knife.stock.material).is_some());
    bench.undo();
    assert_eq!(bench.set(), before);
}

#[test]
fn holes_slots_and_rows_are_cut_from_the_card() {
    let mut bench = Bench::new();
    bench.enter("hole diameter", "6.5");
    bench.click("Add hole");
    let cut = bench.knife().cut_outs[0].clone();
    let CutShape::Round { diameter_mm, .. } = cut.shape else {
        panic!("a hole was asked for");
    };
    assert_eq!(diameter_mm, 6.5);
    assert_eq!(
        bench.0.state().session().picked,
        vec![Thing::CutOut(cut.id)]
    );
    bench.enter("diameter", "7");
    bench.enter("x", "-60");
    let cut = bench.knife().cut_outs[0].clone();
    assert!((cut.shape.center().x + 60.0).abs() < 1e-9);
    assert!((cut.shape.moments().area - std::f64::consts::PI * 3.5 * 3.5).abs() < 1e-9);
    bench.click("what for");
    bench.click("lanyard");
    assert_eq!(bench.knife().cut_outs[0].purpose, Purpose::Lanyard);
    bench.click("filling");
    bench.click("tube");
    let tube = bench.knife().cut_outs[0].filling.clone();
    let Filling::Tube { material, .. } = tube else {
        panic!("a tube was asked for");
    };
    assert!(bench.set().material(&material).is_some());
    assert!(bench.has("1 × 7.00 mm"));
    bench.click("Remove hole");
    assert!(bench.knife().cut_outs.is_empty());

    bench.click("Add slot");
    bench.enter("length", "30");
    bench.enter("angle", "5");
    let CutShape::Slot {
        length_mm,
        angle_rad,
        ..
    } = bench.knife().cut_outs[0].shape
    else {
        panic!("a slot was asked for");
    };
    assert_eq!(length_mm, 30.0);
    assert!((angle_rad.to_degrees() - 5.0).abs() < 1e-12);
    bench.click("Remove slot");

    bench.click("Add row");
    bench.enter("holes", "4");
    bench.enter("last hole", "3 mm");
    bench.enter("to x", "-80");
    let row = bench.knife().rows[0].clone();
    assert_eq!(row.count, 4);
    assert_eq!(row.last_diameter_mm, 3.0);
    assert!(matches!(row.path, RowPath::TangMiddle { to_x, .. } if to_x == -80.0));
    // The row is one line, though its holes go from large to small.
    assert!(bench.has("4 × 6.5 to 3.0 mm"));
    bench.click("Break up");
    assert_eq!(bench.knife().cut_outs.len(), 4);
}

#[test]
fn the_tang_is_made_from_numbers() {
    let mut bench = Bench::new();
    bench.click("Handle card");
    bench.enter("drop", "8");
    assert!(matches!(bench.knife().tang, Tang::Full(t) if t.drop_mm == 8.0));
    bench.click("Hidden");
    bench.enter("width at end", "6");
    assert!(matches!(bench.knife().tang, Tang::Hidden(t) if t.end_width_mm == 6.0));
    bench.click("Partial");
    assert!(matches!(bench.knife().tang, Tang::Partial(t) if t.length_mm <= 64.0));
    bench.click("Hidden");
    bench.click("Add guard");
    bench.enter("guard thickness", "8");
    let guard = bench.knife().guard.clone().unwrap();
    assert_eq!(guard.thickness_mm, 8.0);
    assert!(bench.set().material(&guard.material).is_some());
    let id = bench.knife().id;
    assert!(
        bench
            .0
            .state()
            .results()
            .of(id)
            .unwrap()
            .weighed
            .up
            .guard
            .is_some()
    );
    bench.click("Remove guard");
    assert!(bench.knife().guard.is_none());
}

#[test]
fn a_node_is_placed_by_typing() {
    let mut bench = Bench::new();
    let node = bench.knife().outline.nodes[1].id;
    bench.0.state_mut().session_mut().picked = vec![Thing::Node(node)];
    bench.0.run_steps(2);
    bench.enter("y", "-31.5");
    assert_eq!(bench.knife().outline.node(node).unwrap().at.y, -31.5);
    let before = bench.knife().outline.nodes.len();
    bench.click("Add node ahead");
    assert_eq!(bench.knife().outline.nodes.len(), before + 1);
    bench.click("Remove node");
    assert_eq!(bench.knife().outline.nodes.len(), before);
}

fn names(bench: &Bench) -> Vec<String> {
    let set = bench.set();
    set.knives.iter().map(|k| k.name.clone()).collect()
}

/// The whole name of a place in the rack, which begins with the knife's.
fn tile(bench: &Bench, name: &str) -> egui::Rect {
    bench
        .0
        .query_all_by_label_contains(&format!("{name}, "))
        .next()
        .unwrap()
        .rect()
}

#[test]
fn knives_are_shown_doubled_renamed_and_removed_from_the_rack() {
    let mut bench = Bench::new();
    let before = bench.set();
    assert_eq!(names(&bench), ["Chopper", "Paring knife"]);
    let paring = bench
        .0
        .query_all_by_label_contains("Paring knife, ")
        .next()
        .unwrap();
    paring.focus();
    bench.0.run_steps(2);
    bench.press(Key::Enter);
    assert_eq!(bench.0.state().session().knife, Some(2));
    let below = |bench: &Bench| bench.0.get_by_label_contains("2 knives").rect();
    let stood = below(&bench);
    bench.press(Key::F2);
    assert!(bench.0.get_by_label("new name").is_focused());
    assert_eq!(below(&bench), stood, "what lies below stays where it is");
    bench.0.get_by_label("new name").type_text("Bird's beak");
    bench.press(Key::Enter);
    assert_eq!(names(&bench), ["Chopper", "Bird's beak"]);
    assert!(bench.0.query_by_label("new name").is_none());
    // The keyboard is back on the knife: Alt and an arrow moves it.
    bench.0.key_press_modifiers(Modifiers::ALT, Key::ArrowUp);
    bench.0.run_steps(3);
    assert_eq!(names(&bench), ["Bird's beak", "Chopper"]);
    bench.click("More for Bird's beak");
    bench.click("Double");
    assert_eq!(names(&bench), ["Bird's beak", "Bird's beak 2", "Chopper"]);
    bench.click("More for Bird's beak 2");
    bench.click("Remove from the rack");
    assert_eq!(names(&bench), ["Bird's beak", "Chopper"]);
    for _ in 0..4 {
        bench.undo();
    }
    assert_eq!(bench.set(), before);
}

#[test]
fn a_name_with_nothing_in_it_is_not_taken() {
    let mut bench = Bench::new();
    bench.enter("name", "  ");
    assert!(bench.has("give it a name"));
    bench.press(Key::Escape);
    assert_eq!(names(&bench), ["Chopper", "Paring knife"]);
}

#[test]
fn a_knife_is_dragged_to_another_place() {
    let mut bench = Bench::new();
    let from = tile(&bench, "Chopper").center();
    let to = tile(&bench, "Paring knife").center_bottom();
    bench.0.hover_at(from);
    bench.0.drag_at(from);
    bench.0.run_steps(2);
    bench.0.hover_at(from + egui::vec2(0.0, 20.0));
    bench.0.run_steps(2);
    bench.0.hover_at(to);
    bench.0.run_steps(2);
    bench.0.drop_at(to);
    bench.0.run_steps(3);
    assert_eq!(names(&bench), ["Paring knife", "Chopper"]);
}

#[test]
fn a_typed_value_is_taken_when_another_knife_is_shown() {
    let mut bench = Bench::new();
    bench.write("stock", "4.5");
    let at = tile(&bench, "Paring knife").center();
    bench.0.drag_at(at);
    bench.0.run_steps(1);
    bench.0.drop_at(at);
    bench.0.run_steps(4);
    assert_eq!(bench.0.state().session().knife, Some(2));
    assert_eq!(bench.set().knife(1).unwrap().stock.thickness_mm, 4.5);
    assert_eq!(bench.set().knife(2), set().knife(2));
}

#[test]
fn a_finding_is_counted_told_and_leads_to_what_it_speaks_of() {
    let mut bench = Bench::new();
    bench.click("Add hole");
    let cut = bench.knife().cut_outs[0].id;
    // Moved until it hangs over the edge of the steel.
    bench.enter("y", "90");
    bench.0.state_mut().session_mut().picked.clear();
    bench.0.run_steps(2);
    let id = bench.knife().id;
    let findings = bench
        .0
        .state()
        .results()
        .of(id)
        .unwrap()
        .weighed
        .findings
        .clone();
    let stops = findings.iter().filter(|f| f.severity == Severity::Stop);
    let label = format!("findings: {} stop", stops.count());
    assert!(bench.has(&label), "{label}");
    let counts = bench.0.query_all_by_label_contains(&label).next().unwrap();
    counts.click();
    bench.0.run_steps(4);
    let first = bench
        .0
        .query_all_by_label_contains("stop  ")
        .next()
        .unwrap();
    first.click();
    bench.0.run_steps(4);
    let session = bench.0.state().session();
    assert_eq!(session.finding, Some(0));
    assert_eq!(session.picked, vec![Thing::CutOut(cut)]);
    // Mended, it is pointed at no longer.
    bench.undo();
    assert_eq!(bench.0.state().session().finding, None);
}

#[test]
fn lengths_follow_the_unit_of_the_maker() {
    let mut bench = Bench::new();
    bench.0.state_mut().session_mut().preferences.length_unit = LengthUnit::FractionInch;
    bench.0.run_steps(3);
    // A bare number is an inch now; 3/16 in is 4.7625 mm.
    bench.enter("stock", "3/16");
    assert!((bench.knife().stock.thickness_mm - 4.7625).abs() < 1e-12);
    assert_eq!(bench.value("stock"), "3/16\"");
}

#[test]
fn a_number_that_is_missing_is_explained() {
    let mut bench = Bench::new();
    bench.click("Add hole");
    bench.enter("x", "-60");
    bench.enter("y", "90");
    assert!(bench.has("lies outside the steel"));
    let id = bench.knife().id;
    assert!(
        bench
            .0
            .state()
            .results()
            .of(id)
            .unwrap()
            .weighed
            .up
            .total
            .is_none()
    );
}
