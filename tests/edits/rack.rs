//! Edits of the set, of whole parts, the history's gestures, and the names in the Edit menu.

use tangwright::edit::{Change, Edit, EditError, History, Thing, apply};
use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{
    CutShape, Filling, Guard, Id, Knife, KnifeSet, LONGEST_TEXT, Material, Purpose, Stock,
    set_faults,
};

use super::bench::{changed, cut, hole, knife, material, plate, set_of, starter};
use super::dice::{Dice, KINDS};

fn add(set: &KnifeSet, knife: Knife, materials: &[Material]) -> KnifeSet {
    let edit = Edit::AddKnife {
        knife: Box::new(knife),
        materials: materials.to_vec(),
    };
    let next = apply(set, &edit).unwrap();
    assert_eq!(set_faults(&next), vec![]);
    next
}

fn names(set: &KnifeSet) -> Vec<&str> {
    set.knives.iter().map(|k| k.name.as_str()).collect()
}

fn ids(set: &KnifeSet) -> Vec<Id> {
    set.knives.iter().map(|k| k.id).collect()
}

#[test]
fn knives_get_names_and_ids_of_their_own() {
    let set = set_of(plate());
    let set = add(&set, plate(), &[]);
    let set = add(&set, plate(), &[]);
    assert_eq!(names(&set), ["plate", "plate 2", "plate 3"]);
    assert_eq!(ids(&set), [0, 1, 2]);
    // A copy stands behind its source and counts on from its name.
    let set = apply(&set, &Edit::DoubleKnife { knife: 1 }).unwrap();
    assert_eq!(names(&set), ["plate", "plate 2", "plate 4", "plate 3"]);
    assert_eq!(ids(&set), [0, 1, 3, 2]);
    let copy = Knife {
        id: 1,
        name: "plate 2".to_owned(),
        ..Knife::clone(&set.knives[2])
    };
    assert_eq!(copy, *set.knives[1]);
    for gone in [
        Edit::DoubleKnife { knife: 9 },
        Edit::RemoveKnife { knife: 9 },
    ] {
        assert_eq!(apply(&set, &gone), Err(EditError::NoKnife));
    }
}

#[test]
fn hundreds_of_copies_and_names_at_the_limit_stay_apart() {
    let long = "x".repeat(LONGEST_TEXT);
    for (name, expected) in [
        ("plate", "plate 300".to_owned()),
        (&long, format!("{} 300", &long[12..])),
    ] {
        let mut set = set_of(Knife {
            name: name.to_owned(),
            ..plate()
        });
        for _ in 0..299 {
            set = apply(&set, &Edit::DoubleKnife { knife: 0 }).unwrap();
        }
        assert_eq!(set.knives[1].name, expected);
        let all: std::collections::BTreeSet<&str> = names(&set).into_iter().collect();
        assert_eq!(all.len(), 300);
        assert_eq!(set_faults(&set), vec![]);
    }
}

#[test]
fn a_used_up_id_is_refused_not_given_twice() {
    let mut set = set_of(plate());
    set.next_id = Id::MAX;
    let double = Edit::DoubleKnife { knife: 0 };
    assert!(matches!(apply(&set, &double), Err(EditError::Rule { .. })));
    let full = Knife {
        next_id: Id::MAX,
        ..plate()
    };
    let spot = tangwright::knife::Spot { node: 1, t: 0.5 };
    let node = Edit::knife(0, Change::AddNode { spot });
    assert!(matches!(
        apply(&set_of(full), &node),
        Err(EditError::Rule { .. })
    ));
}

#[test]
fn a_removed_knife_comes_back_by_undo() {
    let mut history = History::new(add(&set_of(plate()), starter("camp"), &[]));
    let start = history.set().clone();
    history.apply(&Edit::RemoveKnife { knife: 0 }).unwrap();
    assert_eq!(ids(history.set()), [1]);
    assert_eq!(history.undo_label(), Some("remove knife"));
    assert!(history.undo() && *history.set() == start);
}

#[test]
fn knives_move_in_the_rack() {
    let mut set = set_of(plate());
    for _ in 0..3 {
        set = add(&set, plate(), &[]);
    }
    for (knife, place, expected) in [
        (0, 2, [1, 2, 0, 3]),
        (3, 0, [3, 0, 1, 2]),
        (1, usize::MAX, [0, 2, 3, 1]),
        (2, 2, [0, 1, 2, 3]),
    ] {
        let moved = apply(&set, &Edit::MoveKnife { knife, place }).unwrap();
        assert_eq!(ids(&moved), expected);
    }
}

/// A knife that refers to `alloy` in its bar, a layer, a hole, a row and its guard.
fn of_alloy() -> Knife {
    let mut knife = plate();
    knife.stock.material = "alloy".to_owned();
    knife.stock.layering.outer = vec![tangwright::knife::Layer {
        name: "cladding".to_owned(),
        material: "alloy".to_owned(),
        thickness_mm: 1.0,
    }];
    let id = hole(&mut knife, -30.0, 15.0, 5.0);
    let own = knife.cut_outs.iter_mut().find(|c| c.id == id).unwrap();
    own.filling = Filling::pin("alloy");
    let pin = own.filling.clone();
    let id = knife.take_id();
    knife.rows.push(tangwright::knife::Row {
        id,
        path: tangwright::knife::RowPath::TangMiddle {
            from_x: -80.0,
            to_x: -50.0,
        },
        count: 3,
        first_diameter_mm: 3.0,
        last_diameter_mm: 3.0,
        purpose: Purpose::Pin,
        filling: pin,
    });
    knife.guard = Some(guard(&mut knife));
    knife
}

fn guard(knife: &mut Knife) -> Guard {
    Guard {
        id: knife.take_id(),
        name: "guard".to_owned(),
        width_mm: 12.0,
        height_mm: 40.0,
        middle_y_mm: 15.0,
        corner_radius_mm: 2.0,
        thickness_mm: 5.0,
        material: "alloy".to_owned(),
        clearance_mm: 0.05,
        slot_corner_mm: 0.5,
    }
}

fn keys(knife: &Knife) -> Vec<&str> {
    vec![
        &knife.stock.material,
        &knife.stock.layering.outer[0].material,
        knife.cut_outs[0].filling.material().unwrap(),
        knife.rows[0].filling.material().unwrap(),
        &knife.guard.as_ref().unwrap().material,
    ]
}

#[test]
fn a_material_key_never_changes_what_it_means() {
    // The set's own alloy is light; the knife brings a heavy one of the same key, and one that takes the next name.
    let mut set = set_of(plate());
    set.materials.push(material("alloy", 2.7));
    let brought = [material("alloy", 4.43), material("alloy-2", 1.0)];
    let after = add(&set, of_alloy(), &brought);
    assert_eq!(after.material("alloy"), set.material("alloy"));
    assert_eq!(keys(&after.knives[1]), ["alloy-3"; 5]);
    let heavy = after.material("alloy-3").unwrap();
    assert_eq!((heavy.density_g_cm3, heavy.name.as_str()), (4.43, "alloy"));
    // Brought again, it is known.
    let again = add(&after, of_alloy(), &brought);
    assert_eq!(again.materials, after.materials);
    assert_eq!(keys(&again.knives[2]), ["alloy-3"; 5]);
}

#[test]
fn only_needed_materials_come_along() {
    let brought = [material("alloy", 2.7), material("walnut", 0.65)];
    let after = add(&set_of(plate()), of_alloy(), &brought);
    assert_eq!(keys(&after.knives[1]), ["alloy"; 5]);
    assert_eq!(after.material("walnut"), None);
    // Without the material the knife is not taken; with the set's own it is.
    let edit = |key: &str| {
        let mut knife = plate();
        knife.stock.material = key.to_owned();
        Edit::AddKnife {
            knife: Box::new(knife),
            materials: Vec::new(),
        }
    };
    let set = set_of(plate());
    assert!(matches!(
        apply(&set, &edit("alloy")),
        Err(EditError::Rule { .. })
    ));
    assert!(apply(&set, &edit("brass")).is_ok());
    // The same numbers under the same key are the same material, whatever it is called.
    let same = Material {
        name: "other words".to_owned(),
        ..material("steel", 7.85)
    };
    assert_eq!(add(&set, plate(), &[same]).materials, set.materials);
}

#[test]
fn materials_are_added_and_changed() {
    let set = set_of(plate());
    let with = |material: Material| apply(&set, &Edit::SetMaterial { material });
    let after = with(material("brass", 8.4)).unwrap();
    assert_eq!(after.materials.len(), 2);
    assert_eq!(after.material("brass").map(|m| m.density_g_cm3), Some(8.4));
    assert_eq!(with(material("horn", 1.3)).unwrap().materials.len(), 3);
    let long = "k".repeat(100_000);
    for bad in [
        material("", 1.0),
        material("x", f64::NAN),
        material("x", 0.0),
        material(&long, 1.0),
    ] {
        assert!(matches!(with(bad), Err(EditError::Rule { .. })));
    }
}

#[test]
fn a_guard_keeps_its_id() {
    let set = set_of(plate());
    let drawn = |width_mm: f64| {
        let id = 4_000_000;
        let material = "brass".to_owned();
        Some(Guard {
            id,
            material,
            width_mm,
            ..guard(&mut plate())
        })
    };
    let first = changed(&set, Change::SetGuard { guard: drawn(12.0) });
    let own = knife(&first).guard.clone().unwrap();
    assert_eq!(own.id, knife(&set).next_id);
    let second = changed(&first, Change::SetGuard { guard: drawn(14.0) });
    let wider = knife(&second).guard.clone().unwrap();
    assert_eq!((wider.id, wider.width_mm), (own.id, 14.0));
    assert_eq!(knife(&second).next_id, knife(&first).next_id);
    let none = changed(&second, Change::SetGuard { guard: None });
    assert_eq!(knife(&none).guard, None);
}

#[test]
fn cut_outs_get_ids_of_their_own() {
    let mut start = plate();
    // Drawn elsewhere, with ids the knife has given away.
    let outline = tangwright::knife::Outline {
        nodes: plate().outline.nodes[1..4].to_vec(),
    };
    let set = set_of(start.clone());
    let after = changed(
        &set,
        Change::AddCutOut {
            shape: CutShape::Free { outline },
            purpose: Purpose::Lightening,
            filling: Filling::Nothing,
        },
    );
    assert_eq!(set_faults(&after), vec![]);
    let id = cut(
        &mut start,
        CutShape::Round {
            center: Point::ZERO,
            diameter_mm: 3.0,
        },
    );
    let set = set_of(start.clone());
    let mut cut_out = start.cut_outs[0].clone();
    cut_out.purpose = Purpose::Lanyard;
    let after = changed(
        &set,
        Change::SetCutOut {
            cut_out: cut_out.clone(),
        },
    );
    assert_eq!(knife(&after).cut_outs, vec![cut_out.clone()]);
    cut_out.id = id + 1;
    let error = apply(&set, &Edit::knife(0, Change::SetCutOut { cut_out }));
    assert_eq!(error, Err(EditError::Gone { what: "cut-out" }));
}

#[test]
fn a_broken_rule_is_told_with_its_place() {
    let set = set_of(plate());
    let stock = Stock {
        thickness_mm: -3.0,
        ..plate().stock
    };
    let Err(EditError::Rule { fault }) = apply(&set, &Edit::knife(0, Change::SetStock { stock }))
    else {
        panic!("a negative thickness is refused");
    };
    assert_eq!(fault.place, "stock.thickness_mm");
    let mut bad = plate();
    bad.outline.nodes[3].at.y = f64::NAN;
    let edit = Edit::AddKnife {
        knife: Box::new(bad),
        materials: Vec::new(),
    };
    let Err(EditError::Rule { fault }) = apply(&set, &edit) else {
        panic!("a node that is nowhere is refused");
    };
    assert_eq!(fault.place, "knives[1].outline.nodes[3].at[1]");
}

#[test]
fn an_open_gesture_is_what_undo_takes_back() {
    let start = set_of(plate());
    let mut history = History::new(start.clone());
    let shift = |x: f64| {
        let things = vec![Thing::Node(2)];
        Edit::knife(
            0,
            Change::Shift {
                things,
                by: Vec2::new(x, 0.0),
            },
        )
    };
    history.apply(&shift(5.0)).unwrap();
    let middle = history.set().clone();
    history.begin_gesture("drag");
    assert_eq!(
        (history.undo_depth(), history.undo_label()),
        (1, Some("move node"))
    );
    history.apply(&shift(1.0)).unwrap();
    history.apply(&shift(1.0)).unwrap();
    assert_eq!(
        (history.undo_depth(), history.undo_label()),
        (2, Some("drag"))
    );
    assert!(history.undo() && *history.set() == middle && !history.in_gesture());
    assert_eq!(history.redo_label(), Some("drag"));
    // A gesture that ends where it began leaves the undone future alone; one that does not, cuts it off.
    history.begin_gesture("there and back");
    history.apply(&shift(1.0)).unwrap();
    assert_eq!(history.redo_label(), None);
    history.apply(&shift(-1.0)).unwrap();
    assert_eq!(history.redo_label(), Some("drag"));
    history.begin_gesture("left open");
    history.apply(&shift(2.0)).unwrap();
    assert!(!history.redo(), "the future is cut off");
    assert_eq!(history.undo_depth(), 2);
    assert!(history.undo() && history.undo() && *history.set() == start);
}

/// The first words of all labels: what is done, as in "Undo drill hole".
const VERBS: [&str; 38] = [
    "add",
    "bend",
    "break",
    "change",
    "clamp",
    "copy",
    "cut",
    "double",
    "draw",
    "drill",
    "drop",
    "fit",
    "forge",
    "join",
    "lay",
    "let",
    "line",
    "make",
    "mark",
    "mirror",
    "move",
    "name",
    "open",
    "remove",
    "rename",
    "round",
    "saw",
    "scribe",
    "set",
    "space",
    "split",
    "step",
    "size",
    "straighten",
    "stretch",
    "strike",
    "turn",
    "write",
];

#[test]
fn labels_read_well_after_undo() {
    let mut dice = Dice::new(11);
    dice.hostile = 0;
    let set = add(&set_of(plate()), starter("hunter"), &[]);
    for kind in KINDS {
        for _ in 0..40 {
            let label = dice.edit(kind, &set).label();
            let first = label.split(' ').next().unwrap_or_default();
            assert!(VERBS.contains(&first), "Undo {label}");
            assert!(label.len() < 24 && !label.ends_with('.'), "Undo {label}");
        }
    }
}
