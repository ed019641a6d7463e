//! A window with the chopper in it, driven by labels and by the pointer.

use std::sync::Arc;

use egui::accesskit::Role;
use egui::{Event, Key, Modifiers, PointerButton, Pos2, Rect, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use tangwright::knife::{
    Cut, CutForm, Faces, Grind, Knife, KnifeSet, LandmarkKind, Material, PlungeLine, Rise, Run,
    Sides, Taper, ThicknessStation, default_sizes, make_starter,
};
use tangwright::window::Workshop;

pub(super) fn set() -> KnifeSet {
    of_form("chopper")
}

/// A hunter, whose usual bevel is a flat of one height.
pub(super) fn hunter() -> KnifeSet {
    of_form("hunter")
}

fn of_form(form: &str) -> KnifeSet {
    let sizes = default_sizes(form).unwrap();
    let mut knife = make_starter(form, &sizes, "steel").unwrap();
    knife.id = 1;
    KnifeSet {
        name: "test bench".into(),
        knives: vec![Arc::new(knife)],
        materials: vec![Material {
            key: "steel".into(),
            name: "Plain steel".into(),
            density_g_cm3: 7.85,
            density_low: 7.8,
            density_high: 7.9,
            data_sheet: String::new(),
        }],
        next_id: 2,
    }
}

/// The chopper, 5 mm thick, tapered to 3 mm at the butt and 2 mm at 250.
pub(super) fn tapered() -> KnifeSet {
    let mut set = set();
    let station = |x_mm, thickness_mm| ThicknessStation { x_mm, thickness_mm };
    set.knife_mut(1).unwrap().grinding.taper = Some(Taper {
        stations: vec![station(-110.0, 3.0), station(0.0, 5.0), station(240.0, 2.0)],
        faces: Faces::Both,
    });
    set
}

pub(super) struct Bench(pub(super) Harness<'static, Workshop>);

impl Bench {
    pub(super) fn new(set: KnifeSet) -> Self {
        let harness = Harness::builder()
            .with_size(egui::vec2(1440.0, 1400.0))
            .with_max_steps(60)
            .with_step_dt(1.0 / 60.0)
            .build_eframe(|_| Workshop::new(set));
        let mut bench = Self(harness);
        bench.0.run_steps(4);
        bench
    }

    pub(super) fn set(&self) -> KnifeSet {
        self.0.state().history().set().clone()
    }

    pub(super) fn knife(&self) -> Arc<Knife> {
        Arc::clone(self.set().knife(1).unwrap())
    }

    pub(super) fn grind(&self, place: usize) -> Grind {
        self.knife().grinding.grinds[place].clone()
    }

    pub(super) fn click(&mut self, label: &str) {
        self.0.get_by_label(label).click();
        self.0.run_steps(4);
    }

    /// Opens the part of the card whose line begins with these words.
    pub(super) fn open(&mut self, words: &str) {
        let line = self.0.query_all_by_label_contains(words).next().unwrap();
        line.click();
        self.0.run_steps(4);
    }

    pub(super) fn press(&mut self, key: Key, modifiers: Modifiers) {
        self.0.key_down_modifiers(modifiers, key);
        self.0.run_steps(1);
        self.0.key_up_modifiers(modifiers, key);
        self.0.run_steps(3);
    }

    pub(super) fn enter(&mut self, label: &str, text: &str) {
        self.0.get_by_label(label).focus();
        self.0.run_steps(2);
        self.0.get_by_label(label).type_text(text);
        self.0.run_steps(2);
        self.press(Key::Enter, Modifiers::NONE);
    }

    pub(super) fn has(&self, words: &str) -> bool {
        self.0.query_all_by_label_contains(words).next().is_some()
    }

    pub(super) fn undo(&mut self) {
        self.0.state_mut().ask(tangwright::window::Action::Undo);
        self.0.run_steps(3);
    }

    pub(super) fn button(&mut self, pos: Pos2, pressed: bool) {
        self.0.event(Event::PointerButton {
            pos,
            button: PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        });
        self.0.run_steps(1);
    }

    pub(super) fn move_to(&mut self, pos: Pos2) {
        self.0.event(Event::PointerMoved(pos));
        self.0.run_steps(1);
    }

    /// Where a control of the drawing is.
    pub(super) fn place_of(&self, words: &str) -> Pos2 {
        let found = self.0.query_all_by_label_contains(words).next();
        found.unwrap().rect().center()
    }

    /// Everything that is written in the window, with its place.
    fn texts(&self) -> Vec<(String, Rect)> {
        let all = self.0.query_all_by_role(Role::Label);
        all.filter_map(|node| Some((node.accesskit_node().value()?, node.rect())))
            .collect()
    }

    /// What is written right under a field.
    pub(super) fn under(&self, field: &str) -> String {
        let place = self.0.get_by_label(field).rect();
        let texts = self.texts().into_iter();
        let below = texts.filter(|(_, rect)| {
            rect.top() >= place.center().y && rect.x_range().intersects(place.x_range())
        });
        let nearest = below.min_by(|a, b| a.1.top().total_cmp(&b.1.top()));
        nearest.map(|(text, _)| text).unwrap_or_default()
    }

    /// What is written next to the right of a text, for each place it stands at, in the order it is read.
    pub(super) fn beside(&self, words: &str) -> Vec<String> {
        let texts = self.texts();
        let own = texts.iter().filter(|(text, _)| text == words);
        own.filter_map(|(_, place)| {
            let line = texts.iter().filter(|(_, rect)| {
                (rect.center().y - place.center().y).abs() < 6.0 && rect.left() > place.right()
            });
            let nearest = line.min_by(|a, b| a.1.left().total_cmp(&b.1.left()));
            nearest.map(|(text, _)| text.clone())
        })
        .collect()
    }

    /// Takes hold of a place and brings it as far, in steps; asks after each of them.
    pub(super) fn drag(&mut self, from: Pos2, by: Vec2, mut look: impl FnMut(&Self)) {
        self.move_to(from);
        self.button(from, true);
        for i in 1..=5u8 {
            self.move_to(from + by * (f32::from(i) / 5.0));
            look(self);
        }
        self.button(from + by, false);
        self.0.run_steps(2);
    }

    pub(super) fn mass(&self) -> f64 {
        let results = self.0.state().results().of(1).unwrap();
        results.weighed.up.total.unwrap().mass_g
    }
}

/// The chopper with an even flat bevel of 20 mm on its edge.
pub(super) fn beveled() -> KnifeSet {
    let mut set = set();
    let knife = set.knife_mut(1).unwrap();
    knife.grinding.grinds.push(Grind {
        id: knife.next_id,
        name: "bevel".into(),
        run: Run {
            from: LandmarkKind::Plunge,
            to: LandmarkKind::Tip,
        },
        sides: Sides::Both(Cut {
            form: CutForm::Flat,
            rise: Rise::even_height(20.0),
        }),
        edge_mm: 0.5,
        edge_offset_mm: 0.0,
        plunge_from: Some(PlungeLine {
            angle_rad: 80f64.to_radians(),
            wheel_radius_mm: 2.0,
        }),
        plunge_to: None,
        after_hardening: false,
    });
    knife.next_id += 1;
    set
}

/// Both together.
pub(super) fn tapered_and_beveled() -> KnifeSet {
    let mut set = beveled();
    let taper = tapered().knives[0].grinding.taper.clone();
    set.knife_mut(1).unwrap().grinding.taper = taper;
    set
}

/// The beveled one with a cladding of 1.5 mm on both sides of a core of 2.
pub(super) fn clad() -> KnifeSet {
    let mut set = beveled();
    let outer = tangwright::knife::Layer {
        name: "cladding".into(),
        material: "steel".into(),
        thickness_mm: 1.5,
    };
    set.knife_mut(1).unwrap().stock.layering.outer.push(outer);
    set
}

/// The picnic knife of the orchard set alone: a core of 0.9, shims of 0.15 and claddings of 0.6 in 2.4 mm.
pub(super) fn picnic() -> KnifeSet {
    let mut set = tangwright::knife::orchard_set();
    set.knives.retain(|knife| knife.name == "Picnic knife");
    Arc::make_mut(&mut set.knives[0]).id = 1;
    set
}

pub(super) fn height(bench: &Bench) -> f64 {
    let Sides::Both(cut) = bench.grind(0).sides else {
        panic!("both faces alike");
    };
    cut.rise.value_at(0.5)
}
