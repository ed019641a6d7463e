//! Every rule, broken alone, gives exactly its place.

use std::sync::Arc;

use tangwright::geometry::Point;
use tangwright::knife::{
    CutShape, Filling, FullTang, HiddenTang, Joint, Knife, KnifeSet, LARGEST_MM, LONGEST_TEXT,
    Landmark, LandmarkKind, MOST_CUT_OUTS, MOST_IN_ROW, MOST_KNIVES, MOST_NODES, Node, Purpose,
    Row, RowPath, Spot, Tang, TangEnd, knife_faults, set_faults,
};

use super::bench::{at, camp_outline, free, guard, knife, polygon, round, set, slot};

/// A set with one knife that has something of everything.
pub(crate) fn sound() -> KnifeSet {
    let mut knife = knife(&camp_outline());
    knife.set_landmark(LandmarkKind::Tip, Spot { node: 2, t: 0.0 });
    knife.set_landmark(LandmarkKind::Heel, Spot { node: 1, t: 0.2 });
    knife.cut_outs = vec![
        round(500, -20.0, 8.0, 6.0),
        slot(501, -55.0, 6.0, 30.0, 9.0, 0.2),
        free(1, &polygon(&[(20.0, 0.0), (30.0, 0.0), (25.0, 8.0)])),
    ];
    knife.cut_outs[2].id = 502;
    knife.cut_outs[0].filling = Filling::Tube {
        material: "brass".to_owned(),
        bore_mm: 4.0,
    };
    knife.rows = vec![
        Row {
            id: 503,
            path: RowPath::TangMiddle {
                from_x: -100.0,
                to_x: -80.0,
            },
            count: 3,
            first_diameter_mm: 5.0,
            last_diameter_mm: 4.0,
            purpose: Purpose::Pin,
            filling: Filling::pin("brass"),
        },
        Row {
            id: 504,
            path: RowPath::Line {
                from: at(60.0, 0.0),
                to: at(90.0, 0.0),
            },
            count: 2,
            first_diameter_mm: 5.0,
            last_diameter_mm: 4.0,
            purpose: Purpose::Lightening,
            filling: Filling::Nothing,
        },
    ];
    knife.guard = Some(guard());
    knife.next_id = 20_000;
    let mut set = set();
    set.knives = vec![Arc::new(knife)];
    set
}

/// Breaks one thing in the sound set and expects just the fault at `place`.
#[track_caller]
fn breaks(place: &str, change: impl FnOnce(&mut KnifeSet)) {
    let mut set = sound();
    change(&mut set);
    let places: Vec<String> = set_faults(&set).into_iter().map(|f| f.place).collect();
    assert_eq!(places, [place]);
}

/// The same for its knife; the place is below the knife.
#[track_caller]
pub(crate) fn breaks_knife(place: &str, change: impl FnOnce(&mut Knife)) {
    breaks(&format!("knives[0].{place}"), |set| {
        change(Arc::make_mut(&mut set.knives[0]));
    });
}

#[test]
fn the_sound_set_breaks_no_rule() {
    assert_eq!(set_faults(&sound()), vec![]);
    assert_eq!(knife_faults(&sound().knives[0], &sound()), vec![]);
    // The limits themselves are within.
    let mut set = sound();
    let knife = Arc::make_mut(&mut set.knives[0]);
    knife.stock.thickness_mm = 100.0;
    knife.stock.tolerance_mm = 100.0;
    knife.outline.nodes[0].at = at(-LARGEST_MM, LARGEST_MM);
    knife.notes = "x".repeat(LONGEST_TEXT);
    knife.rows[0].count = MOST_IN_ROW;
    assert_eq!(set_faults(&set), vec![]);
}

#[test]
fn rules_of_the_set() {
    breaks("name", |s| s.name = "x".repeat(LONGEST_TEXT + 1));
    breaks("materials[2].key", |s| {
        s.materials.insert(0, set().materials[1].clone())
    });
    breaks("materials[2].name", |s| {
        s.materials[2].name = "x".repeat(LONGEST_TEXT + 1)
    });
    for bad in [30.0, 0.0, -1.0, f64::NAN] {
        breaks("materials[2].density_g_cm3", |s| {
            s.materials[2].density_g_cm3 = bad
        });
    }
    breaks("materials[2].density_high", |s| {
        s.materials[2].density_high = 26.0
    });
    breaks("materials[1].density_low", |s| {
        s.materials[1].density_low = 9.0
    });
    breaks("materials[1].density_low", |s| {
        s.materials[1].density_low = f64::NAN
    });
    breaks("materials[1].density_high", |s| {
        s.materials[1].density_high = 8.0
    });
    breaks("knives[0].id", |s| s.next_id = 0);
    breaks("knives[1].id", |s| s.knives.push(s.knives[0].clone()));
    breaks("knives", |s| {
        s.knives = vec![s.knives[0].clone(); MOST_KNIVES + 1]
    });
    let mut set = sound();
    set.materials[2].key.clear();
    assert_eq!(set_faults(&set)[0].place, "materials[2].key");
}

#[test]
fn rules_of_the_outline() {
    breaks_knife("outline.nodes", |k| {
        k.outline.nodes.truncate(1);
        k.landmarks.clear();
    });
    breaks_knife("outline.nodes", |k| {
        k.outline.nodes = vec![Node::corner(3, Point::ZERO); MOST_NODES + 1];
        k.landmarks.clear();
    });
    breaks_knife("outline.nodes[4].id", |k| k.outline.nodes[4].id = 3);
    breaks_knife("outline.nodes[4].id", |k| k.outline.nodes[4].id = 20_000);
    for bad in [f64::NAN, f64::INFINITY, -1e300, 10_000.1] {
        breaks_knife("outline.nodes[3].at[0]", |k| k.outline.nodes[3].at.x = bad);
        breaks_knife("outline.nodes[3].at[1]", |k| k.outline.nodes[3].at.y = bad);
        breaks_knife("outline.nodes[3].in[0]", |k| {
            k.outline.nodes[3].handle_in = Some((bad, 0.0).into())
        });
        breaks_knife("outline.nodes[3].out[1]", |k| {
            k.outline.nodes[3].handle_out = Some((0.0, bad).into())
        });
    }
    breaks_knife("landmarks[0].node", |k| k.landmarks[0].spot.node = 77);
    breaks_knife("landmarks[1].t", |k| k.landmarks[1].spot.t = 1.5);
    breaks_knife("landmarks[1].t", |k| k.landmarks[1].spot.t = f64::NAN);
    breaks_knife("landmarks[2].kind", |k| {
        k.landmarks.push(Landmark {
            kind: LandmarkKind::Tip,
            spot: Spot { node: 0, t: 0.0 },
        });
    });
    // A joint is a matter of taste.
    let mut set = sound();
    Arc::make_mut(&mut set.knives[0]).outline.nodes[2].joint = Joint::Smooth;
    assert_eq!(set_faults(&set), vec![]);
}

#[test]
fn rules_of_stock_and_text() {
    breaks_knife("name", |k| k.name = "x".repeat(LONGEST_TEXT + 1));
    breaks_knife("form", |k| k.form = "x".repeat(LONGEST_TEXT + 1));
    breaks_knife("notes", |k| k.notes = "ü".repeat(LONGEST_TEXT + 1));
    breaks_knife("heat_words", |k| {
        k.heat_words = "x".repeat(LONGEST_TEXT + 1)
    });
    breaks_knife("clamped", |k| {
        k.clamped.insert(9_999);
    });
    breaks("materials[0].data_sheet", |s| {
        s.materials[0].data_sheet = "x".repeat(LONGEST_TEXT + 1)
    });
    breaks_knife("stock.tolerance_mm", |k| k.stock.tolerance_mm = -0.1);
    breaks_knife("stock.tolerance_mm", |k| k.stock.tolerance_mm = 4.1);
    breaks_knife("stock.material", |k| k.stock.material = "butter".to_owned());
    for bad in [101.0, 0.0, -4.0, f64::NAN] {
        breaks_knife("stock.thickness_mm", |k| k.stock.thickness_mm = bad);
    }
}

#[test]
fn rules_of_tangs() {
    let full = |change: fn(&mut FullTang)| {
        move |k: &mut Knife| {
            if let Tang::Full(tang) = &mut k.tang {
                change(tang);
            }
        }
    };
    breaks_knife("tang.length_mm", full(|t| t.length_mm = 0.0));
    breaks_knife("tang.butt_height_mm", full(|t| t.butt_height_mm = f64::NAN));
    breaks_knife("tang.belly_mm", full(|t| t.belly_mm = f64::INFINITY));
    breaks_knife("tang.drop_mm", full(|t| t.drop_mm = -1e9));
    breaks_knife("tang.finger_mm", full(|t| t.finger_mm = f64::NAN));
    breaks_knife("tang.hook_mm", full(|t| t.hook_mm = f64::NAN));
    let hidden = |change: fn(&mut HiddenTang)| {
        move |k: &mut Knife| {
            let mut tang = HiddenTang {
                length_mm: 90.0,
                shoulder_width_mm: 10.0,
                end_width_mm: 6.0,
                shoulder_radius_mm: 2.0,
                end: TangEnd::Round,
            };
            change(&mut tang);
            k.tang = Tang::Hidden(tang);
        }
    };
    breaks_knife("tang.length_mm", hidden(|t| t.length_mm = -5.0));
    breaks_knife(
        "tang.shoulder_width_mm",
        hidden(|t| t.shoulder_width_mm = 0.0),
    );
    breaks_knife("tang.end_width_mm", hidden(|t| t.end_width_mm = 1e5));
    breaks_knife(
        "tang.shoulder_radius_mm",
        hidden(|t| t.shoulder_radius_mm = -1.0),
    );
}

#[test]
fn rules_of_cut_outs() {
    let shape = |i: usize, new: CutShape| move |k: &mut Knife| k.cut_outs[i].shape = new;
    let hole = |x: f64, diameter_mm: f64| CutShape::Round {
        center: at(x, 0.0),
        diameter_mm,
    };
    for bad in [0.0, f64::NAN] {
        // With a tube in it: its bore is not held against a size that is none.
        breaks_knife("cut_outs[0].diameter_mm", shape(0, hole(0.0, bad)));
    }
    breaks_knife("cut_outs[0].center[0]", shape(0, hole(f64::NAN, 6.0)));
    for bad in [0.0, -3.0, f64::NAN, 1e5] {
        breaks_knife("cut_outs[1].diameter_mm", shape(1, hole(0.0, bad)));
    }
    let slot = |y: f64, length_mm: f64, width_mm: f64, angle_rad: f64| CutShape::Slot {
        center: at(0.0, y),
        length_mm,
        width_mm,
        angle_rad,
    };
    breaks_knife("cut_outs[1].center[1]", shape(1, slot(1e6, 30.0, 9.0, 0.0)));
    breaks_knife("cut_outs[1].length_mm", shape(1, slot(0.0, 8.0, 9.0, 0.0)));
    breaks_knife("cut_outs[1].length_mm", shape(1, slot(0.0, 1e5, 9.0, 0.0)));
    breaks_knife(
        "cut_outs[1].length_mm",
        shape(1, slot(0.0, f64::NAN, 9.0, 0.0)),
    );
    breaks_knife("cut_outs[1].width_mm", shape(1, slot(0.0, 30.0, 0.0, 0.0)));
    breaks_knife(
        "cut_outs[1].angle_rad",
        shape(1, slot(0.0, 30.0, 9.0, f64::NAN)),
    );
    breaks_knife("cut_outs[1].id", |k| k.cut_outs[1].id = 500);
    breaks_knife("cut_outs[1].id", |k| k.cut_outs[1].id = 20_000);
    breaks_knife("cut_outs[1].id", |k| k.cut_outs[1].id = 3);
    let first = |k: &mut Knife| match &mut k.cut_outs[2].shape {
        CutShape::Free { outline } => outline.nodes[1].at.x = f64::NAN,
        _ => k.name.clear(),
    };
    breaks_knife("cut_outs[2].outline.nodes[1].at[0]", first);
    breaks_knife("cut_outs[2].outline.nodes", |k| {
        if let CutShape::Free { outline } = &mut k.cut_outs[2].shape {
            outline.nodes.truncate(1);
        }
    });
    breaks_knife("cut_outs", |k| {
        k.cut_outs = vec![k.cut_outs[0].clone(); MOST_CUT_OUTS];
    });
}

#[test]
fn rules_of_fillings() {
    let tube = |material: &str, bore_mm: f64| Filling::Tube {
        material: material.to_owned(),
        bore_mm,
    };
    breaks_knife("cut_outs[0].filling.material", |k| {
        k.cut_outs[0].filling = tube("butter", 4.0)
    });
    for bore in [6.0, 6.1, -0.1, f64::NAN] {
        breaks_knife("cut_outs[0].filling.bore_mm", |k| {
            k.cut_outs[0].filling = tube("brass", bore)
        });
    }
    breaks_knife("cut_outs[1].filling.kind", |k| {
        k.cut_outs[1].filling = tube("brass", 4.0)
    });
    breaks_knife("cut_outs[2].filling.kind", |k| {
        k.cut_outs[2].filling = tube("brass", 1.0)
    });
    let thin = |rod: f64| Filling::Pin {
        material: "brass".to_owned(),
        rod_mm: Some(rod),
    };
    for rod in [6.1, 0.0, -1.0, f64::NAN] {
        breaks_knife("cut_outs[0].filling.rod_mm", |k| {
            k.cut_outs[0].filling = thin(rod)
        });
    }
    breaks_knife("cut_outs[1].filling.rod_mm", |k| {
        k.cut_outs[1].filling = thin(2.0)
    });
    breaks_knife("rows[0].filling.rod_mm", |k| k.rows[0].filling = thin(4.5));
    breaks_knife("rows[0].filling.bore_mm", |k| {
        k.rows[0].filling = tube("brass", 4.5)
    });
    breaks_knife("rows[0].filling.material", |k| {
        k.rows[0].filling = Filling::Epoxy {
            material: "butter".to_owned(),
        };
    });
}

#[test]
fn rules_of_rows_and_guard() {
    breaks_knife("rows[0].from_x", |k| {
        k.rows[0].path = RowPath::TangMiddle {
            from_x: f64::NAN,
            to_x: -80.0,
        };
    });
    breaks_knife("rows[0].to_x", |k| {
        k.rows[0].path = RowPath::TangMiddle {
            from_x: -90.0,
            to_x: 1e6,
        };
    });
    breaks_knife("rows[1].to[1]", |k| {
        k.rows[1].path = RowPath::Line {
            from: at(0.0, 0.0),
            to: at(0.0, f64::NAN),
        };
    });
    breaks_knife("rows[0].count", |k| k.rows[0].count = 0);
    breaks_knife("rows[0].count", |k| k.rows[0].count = MOST_IN_ROW + 1);
    breaks_knife("rows[0].first_diameter_mm", |k| {
        k.rows[0].first_diameter_mm = 0.0
    });
    breaks_knife("rows[0].last_diameter_mm", |k| {
        k.rows[0].last_diameter_mm = f64::NAN
    });
    breaks_knife("rows[1].id", |k| k.rows[1].id = 503);
    let plate = |change: fn(&mut tangwright::knife::Guard)| {
        move |k: &mut Knife| k.guard.iter_mut().for_each(change)
    };
    breaks_knife("guard.id", plate(|g| g.id = 503));
    breaks_knife(
        "guard.name",
        plate(|g| g.name = "x".repeat(LONGEST_TEXT + 1)),
    );
    breaks_knife("guard.width_mm", plate(|g| g.width_mm = 0.0));
    breaks_knife("guard.height_mm", plate(|g| g.height_mm = f64::NAN));
    breaks_knife("guard.thickness_mm", plate(|g| g.thickness_mm = -1.0));
    breaks_knife("guard.middle_y_mm", plate(|g| g.middle_y_mm = 1e6));
    breaks_knife(
        "guard.corner_radius_mm",
        plate(|g| g.corner_radius_mm = -0.1),
    );
    breaks_knife("guard.clearance_mm", plate(|g| g.clearance_mm = 11.0));
    breaks_knife(
        "guard.slot_corner_mm",
        plate(|g| g.slot_corner_mm = f64::NAN),
    );
    breaks_knife(
        "guard.material",
        plate(|g| g.material = "butter".to_owned()),
    );
}

#[test]
fn messages_name_the_value_and_the_mend() {
    let mut set = sound();
    Arc::make_mut(&mut set.knives[0]).cut_outs[0].filling = Filling::pin("butter");
    let told = set_faults(&set)[0].to_string();
    assert_eq!(
        told,
        "knives[0].cut_outs[0].filling.material: the set has no material 'butter'; add it to materials or name another"
    );
    let set = sound();
    let mut knife = Knife::clone(&set.knives[0]);
    knife.stock.tolerance_mm = -1.0;
    assert_eq!(
        knife_faults(&knife, &set)[0].to_string(),
        "stock.tolerance_mm: -1 is not between 0 and 4"
    );
}
