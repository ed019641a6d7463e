//! Every rule of layers, taper, grinds and fullers, broken alone, gives exactly its place.

use std::sync::Arc;

use tangwright::knife::{
    Cut, CutForm, Faces, Fuller, Grind, Knife, KnifeSet, LARGEST_MM, LONGEST_TEXT, LandmarkKind,
    Layer, Layering, MOST_FULLERS, MOST_GRINDS, MOST_LAYERS, MOST_STATIONS, Node, Outline,
    PlungeLine, Rise, RiseStation, Run, SMALLEST_MM, Sides, Taper, ThicknessStation, set_faults,
};

use super::bench::at;
use super::rules;

fn layer(name: &str, thickness_mm: f64) -> Layer {
    Layer {
        name: name.to_owned(),
        material: "brass".to_owned(),
        thickness_mm,
    }
}

fn heights(stations: &[(f64, f64)]) -> Cut {
    let station = |&(at, value): &(f64, f64)| RiseStation { at, value };
    Cut {
        form: CutForm::Flat,
        rise: Rise::Height(stations.iter().map(station).collect()),
    }
}

fn angle(degrees: f64) -> Cut {
    Cut {
        form: CutForm::Flat,
        rise: Rise::even_angle(degrees.to_radians()),
    }
}

fn grind(id: u32, sides: Sides) -> Grind {
    Grind {
        id,
        name: "bevel".to_owned(),
        run: Run {
            from: LandmarkKind::Heel,
            to: LandmarkKind::Tip,
        },
        sides,
        edge_mm: 0.4,
        edge_offset_mm: 0.1,
        plunge_from: Some(PlungeLine {
            angle_rad: 1.4,
            wheel_radius_mm: 5.0,
        }),
        plunge_to: None,
        after_hardening: false,
    }
}

/// A knife with layers of 0.2 and 1 on a core of 1.6, a taper, three grinds and a fuller.
fn ground(knife: &mut Knife) {
    knife.stock.layering = Layering {
        outer: vec![layer("shim", 0.2), layer("cladding", 1.0)],
        core_offset_mm: 0.1,
        waviness_mm: 0.05,
    };
    let places = [(-100.0, 2.0), (0.0, 4.0), (120.0, 1.5)];
    knife.grinding.taper = Some(Taper {
        stations: places
            .map(|(x_mm, thickness_mm)| ThicknessStation { x_mm, thickness_mm })
            .to_vec(),
        faces: Faces::Left,
    });
    let right = Cut {
        form: CutForm::Hollow {
            wheel_radius_mm: 125.0,
        },
        rise: Rise::even_height(14.0),
    };
    let left = Cut {
        form: CutForm::Convex { radius_mm: 300.0 },
        rise: Rise::even_height(14.0),
    };
    knife.grinding.grinds = vec![
        grind(600, Sides::Both(heights(&[(0.0, 20.0), (1.0, 8.0)]))),
        grind(601, Sides::Right(angle(15.0))),
        grind(602, Sides::Each { right, left }),
    ];
    knife.grinding.fullers = vec![Fuller {
        id: 603,
        name: "fuller".to_owned(),
        path: Outline {
            nodes: vec![
                Node::corner(604, at(20.0, 5.0)),
                Node::corner(605, at(80.0, 5.0)),
            ],
        },
        faces: Faces::Both,
        nose_radius_mm: 4.0,
        depth_mm: 0.8,
    }];
}

fn sound() -> KnifeSet {
    let mut set = rules::sound();
    ground(Arc::make_mut(&mut set.knives[0]));
    set
}

#[track_caller]
fn breaks(place: &str, change: impl FnOnce(&mut Knife)) {
    rules::breaks_knife(place, |knife| {
        ground(knife);
        change(knife);
    });
}

#[test]
fn a_sound_ground_knife_breaks_no_rule() {
    assert_eq!(set_faults(&sound()), vec![]);
    // The limits themselves are within.
    let mut set = sound();
    let knife = Arc::make_mut(&mut set.knives[0]);
    let grinds = &mut knife.grinding.grinds;
    grinds[0].edge_mm = 0.0;
    grinds[0].sides = Sides::Left(angle(80.0));
    grinds[1].sides = Sides::Both(angle(0.2));
    let plunge = |degrees: f64, wheel_radius_mm| {
        let angle_rad = degrees.to_radians();
        Some(PlungeLine {
            angle_rad,
            wheel_radius_mm,
        })
    };
    grinds[0].plunge_from = plunge(10.0, 0.0);
    grinds[0].plunge_to = plunge(170.0, 100.0);
    let at = |i: usize| i as f64 / (MOST_STATIONS - 1) as f64;
    let many: Vec<(f64, f64)> = (0..MOST_STATIONS)
        .map(|i| (at(i), if i == 0 { SMALLEST_MM } else { LARGEST_MM }))
        .collect();
    grinds[2].sides = Sides::Both(heights(&many));
    knife.stock.layering.outer[1].thickness_mm = 1.795 - 1e-9;
    knife.stock.layering.waviness_mm = 2.0;
    assert_eq!(set_faults(&set), vec![]);
}

#[test]
fn rules_of_layers() {
    breaks("stock.layering.outer[0].name", |k| {
        k.stock.layering.outer[0].name = "x".repeat(LONGEST_TEXT + 1);
    });
    breaks("stock.layering.outer[1].material", |k| {
        k.stock.layering.outer[1].material = "butter".to_owned();
    });
    for bad in [0.0, -1.0, f64::NAN, 101.0] {
        breaks("stock.layering.outer[1].thickness_mm", |k| {
            k.stock.layering.outer[1].thickness_mm = bad;
        });
    }
    // 0.2 and 1.8 on each side are the whole bar of 4 mm.
    for fills in [1.8, 2.5] {
        breaks("stock.layering.outer", |k| {
            k.stock.layering.outer[1].thickness_mm = fills;
        });
    }
    breaks("stock.layering.outer", |k| {
        k.stock.layering.outer = vec![layer("thin", 0.01); MOST_LAYERS + 1];
    });
    // The outermost layer of 1 mm makes up for what the core is off.
    for bad in [1.0, -1.0, 3.0, f64::NAN, f64::INFINITY, 5.0] {
        breaks("stock.layering.core_offset_mm", |k| {
            k.stock.layering.core_offset_mm = bad;
        });
    }
    for bad in [-0.01, 2.01, f64::NAN] {
        breaks("stock.layering.waviness_mm", |k| {
            k.stock.layering.waviness_mm = bad;
        });
    }
}

#[test]
fn rules_of_the_taper() {
    fn station(knife: &mut Knife, i: usize) -> &mut ThicknessStation {
        &mut knife.grinding.taper.as_mut().unwrap().stations[i]
    }
    for bad in [-100.0, -200.0] {
        breaks("grinding.taper.stations[1].x_mm", |k| {
            station(k, 1).x_mm = bad;
        });
    }
    // A station ahead of the next is told at the next.
    breaks("grinding.taper.stations[2].x_mm", |k| {
        station(k, 1).x_mm = 121.0;
    });
    for bad in [f64::NAN, 1e5] {
        breaks("grinding.taper.stations[2].x_mm", |k| {
            station(k, 2).x_mm = bad;
        });
    }
    for bad in [0.0, -2.0, f64::NAN, 101.0] {
        breaks("grinding.taper.stations[0].thickness_mm", |k| {
            station(k, 0).thickness_mm = bad;
        });
    }
    let only = |n: usize| {
        move |k: &mut Knife| {
            let stations = (0..n).map(|i| ThicknessStation {
                x_mm: i as f64,
                thickness_mm: 2.0,
            });
            k.grinding.taper.as_mut().unwrap().stations = stations.collect();
        }
    };
    breaks("grinding.taper.stations", only(0));
    breaks("grinding.taper.stations", only(MOST_STATIONS + 1));
}

#[test]
fn rules_of_grinds() {
    breaks("grinding.grinds[1].id", |k| k.grinding.grinds[1].id = 600);
    breaks("grinding.grinds[1].id", |k| k.grinding.grinds[1].id = 3);
    breaks("grinding.grinds[1].id", |k| {
        k.grinding.grinds[1].id = 20_000
    });
    breaks("cut_outs[0].id", |k| k.grinding.grinds[1].id = 500);
    breaks("grinding.grinds[0].name", |k| {
        k.grinding.grinds[0].name = "x".repeat(LONGEST_TEXT + 1);
    });
    breaks("grinding.grinds[0].run.to", |k| {
        k.grinding.grinds[0].run.to = LandmarkKind::Heel;
    });
    breaks("grinding.grinds[2].run.from", |k| {
        k.grinding.grinds[2].run.from = LandmarkKind::FalseEdge;
    });
    for bad in [-0.1, f64::NAN, 101.0] {
        breaks("grinding.grinds[0].edge_mm", |k| {
            k.grinding.grinds[0].edge_mm = bad;
        });
    }
    for bad in [-51.0, 51.0, f64::NAN] {
        breaks("grinding.grinds[0].edge_offset_mm", |k| {
            k.grinding.grinds[0].edge_offset_mm = bad;
        });
    }
    let line = |angle_rad: f64, wheel_radius_mm: f64| {
        Some(PlungeLine {
            angle_rad,
            wheel_radius_mm,
        })
    };
    for bad in [0.1, 3.0, f64::NAN] {
        breaks("grinding.grinds[0].plunge_from.angle_rad", |k| {
            k.grinding.grinds[0].plunge_from = line(bad, 3.0);
        });
    }
    for bad in [-0.1, 101.0, f64::NAN] {
        breaks("grinding.grinds[0].plunge_to.wheel_radius_mm", |k| {
            k.grinding.grinds[0].plunge_to = line(1.5, bad);
        });
    }
    breaks("grinding.grinds", |k| {
        k.grinding.grinds = vec![k.grinding.grinds[0].clone(); MOST_GRINDS + 1];
        k.grinding.fullers.clear();
    });
    for bad in [-0.01, 10.1, f64::NAN] {
        breaks("grinding.tolerance_mm", |k| k.grinding.tolerance_mm = bad);
    }
}

#[test]
fn rules_of_cuts() {
    let cut = |new: Cut| move |k: &mut Knife| k.grinding.grinds[0].sides = Sides::Both(new);
    let rise = "grinding.grinds[0].sides.cut.rise";
    for bad in [0.0, -3.0, f64::NAN, 1e5] {
        let place = format!("{rise}.stations[1].height_mm");
        breaks(&place, cut(heights(&[(0.0, 20.0), (0.5, bad)])));
    }
    for bad in [-0.1, 1.1, f64::NAN] {
        let place = format!("{rise}.stations[0].at");
        breaks(&place, cut(heights(&[(bad, 20.0)])));
    }
    for bad in [0.2, 0.5] {
        let place = format!("{rise}.stations[1].at");
        breaks(&place, cut(heights(&[(0.5, 20.0), (bad, 20.0)])));
    }
    breaks(&format!("{rise}.stations"), cut(heights(&[])));
    let many = vec![(0.5, 20.0); MOST_STATIONS + 1];
    breaks(&format!("{rise}.stations"), cut(heights(&many)));
    for bad in [0.19, 80.1, -15.0, f64::NAN] {
        let place = format!("{rise}.stations[0].angle_rad");
        breaks(&place, cut(angle(bad)));
    }
    let formed = |form: CutForm, rise: Rise| cut(Cut { form, rise });
    let (high, steep) = (Rise::even_height(9.0), Rise::even_angle(0.3));
    for bad in [0.0, -1.0, f64::NAN, 1e5] {
        let (hollow, convex) = (
            CutForm::Hollow {
                wheel_radius_mm: bad,
            },
            CutForm::Convex { radius_mm: bad },
        );
        let form = "grinding.grinds[0].sides.cut.form";
        breaks(
            &format!("{form}.wheel_radius_mm"),
            formed(hollow, high.clone()),
        );
        breaks(&format!("{form}.radius_mm"), formed(convex, high.clone()));
    }
    for form in [
        CutForm::Hollow {
            wheel_radius_mm: 100.0,
        },
        CutForm::Convex { radius_mm: 100.0 },
    ] {
        breaks(&format!("{rise}.kind"), formed(form, steep.clone()));
    }
    // Each face has a place of its own.
    breaks("grinding.grinds[2].sides.left.form.radius_mm", |k| {
        if let Sides::Each { left, .. } = &mut k.grinding.grinds[2].sides {
            left.form = CutForm::Convex { radius_mm: 0.0 };
        }
    });
    breaks("grinding.grinds[2].sides.right.rise.stations", |k| {
        if let Sides::Each { right, .. } = &mut k.grinding.grinds[2].sides {
            right.rise.stations_mut().clear();
        }
    });
}

#[test]
fn rules_of_fullers() {
    fn own(knife: &mut Knife) -> &mut Fuller {
        &mut knife.grinding.fullers[0]
    }
    breaks("grinding.fullers[0].id", |k| own(k).id = 601);
    breaks("grinding.fullers[0].path.nodes[1].id", |k| {
        own(k).path.nodes[1].id = 603;
    });
    breaks("grinding.fullers[0].path.nodes[0].at[0]", |k| {
        own(k).path.nodes[0].at.x = f64::NAN;
    });
    breaks("grinding.fullers[0].path.nodes", |k| {
        own(k).path.nodes.truncate(1);
    });
    breaks("grinding.fullers[0].path.nodes", |k| {
        own(k).path.nodes = vec![Node::corner(700, at(0.0, 0.0)); 201];
    });
    breaks("grinding.fullers[0].name", |k| {
        own(k).name = "x".repeat(LONGEST_TEXT + 1);
    });
    for bad in [0.0, f64::NAN, 1e5] {
        breaks("grinding.fullers[0].nose_radius_mm", |k| {
            own(k).nose_radius_mm = bad;
        });
    }
    for bad in [0.0, -1.0, f64::NAN, 101.0] {
        breaks("grinding.fullers[0].depth_mm", |k| own(k).depth_mm = bad);
    }
    breaks("grinding.fullers", |k| {
        k.grinding.fullers = vec![own(k).clone(); MOST_FULLERS + 1];
    });
}

#[test]
fn messages_of_grinding_speak_degrees_and_name_the_mend() {
    let told = |change: fn(&mut Knife)| {
        let mut set = sound();
        change(Arc::make_mut(&mut set.knives[0]));
        set_faults(&set)[0].to_string()
    };
    assert_eq!(
        told(|k| k.grinding.grinds[1].sides = Sides::Right(angle(90.0))),
        "knives[0].grinding.grinds[1].sides.cut.rise.stations[0].angle_rad: 90 degrees are not between 0.2 and 80"
    );
    assert_eq!(
        told(|k| k.grinding.grinds[0].run.from = LandmarkKind::Plunge),
        "knives[0].grinding.grinds[0].run.from: the landmark 'plunge' is not set; set it or run the grind to another"
    );
}
