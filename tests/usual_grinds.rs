//! What a grind begins as: on every starter form it keeps the rules, can be ground and weighed, fits the blade, and lies where practice has it.

#![expect(
    clippy::expect_used,
    clippy::unwrap_used,
    reason = "helpers of a test may stop it with a message"
)]

use std::sync::Arc;

use tangwright::catalog::practice_rule;
use tangwright::checks::{Thresholds, check};
use tangwright::edit::{Change, Edit, apply};
use tangwright::geometry::Point;
use tangwright::knife::{
    CutForm, Face, Faces, Grind, Knife, KnifeSet, LandmarkKind, Material, Rise, Sides, Tang,
    default_sizes, make_starter, set_faults, starter_forms, usual_bevel, usual_false_edge,
    usual_fuller, usual_layering, usual_second_bevel, usual_taper, with_tang_end,
};
use tangwright::weighing::{Scale, weigh};

fn starter(form: &str) -> Knife {
    make_starter(form, &default_sizes(form).unwrap(), "steel").unwrap()
}

fn starters() -> Vec<Knife> {
    starter_forms().iter().map(|f| starter(f.key)).collect()
}

fn set_of(knife: Knife) -> KnifeSet {
    let material = |key: &str, density_g_cm3: f64| Material {
        key: key.to_owned(),
        name: key.to_owned(),
        density_g_cm3,
        density_low: density_g_cm3,
        density_high: density_g_cm3,
        data_sheet: String::new(),
    };
    KnifeSet {
        name: String::new(),
        knives: vec![Arc::new(knife)],
        materials: vec![material("steel", 7.85), material("iron", 7.87)],
        next_id: 1,
    }
}

fn range(rule: &str) -> (f64, f64) {
    practice_rule(rule).expect("a rule of the table").range()
}

#[track_caller]
fn within(value: f64, rule: &str) {
    let (low, high) = range(rule);
    let hair = 1e-9;
    assert!(
        (low - hair..=high + hair).contains(&value),
        "{value} is not within {rule}: {low} to {high}"
    );
}

/// All of it together, in the order of the bench: taper, bevel, false edge, fuller, second bevel.
fn ground(knife: Knife) -> KnifeSet {
    let mut set = set_of(knife);
    let mut done = |change: fn(&Knife) -> Option<Change>| {
        let change = change(&set.knives[0]).expect("there is a usual one");
        set = apply(&set, &Edit::knife(0, change)).expect("it keeps the rules");
    };
    done(|k| {
        let taper = usual_taper(k);
        Some(Change::SetTaper { taper })
    });
    done(|k| usual_bevel(k).map(|grind| Change::AddGrind { grind }));
    done(|k| usual_false_edge(k).map(|grind| Change::AddGrind { grind }));
    done(|k| usual_fuller(k).map(|fuller| Change::AddFuller { fuller }));
    done(|k| usual_second_bevel(k).map(|grind| Change::AddGrind { grind }));
    set
}

#[test]
fn every_usual_grind_keeps_the_rules_and_can_be_weighed() {
    for start in starters() {
        let form = start.form.clone();
        let flat = weigh(&start, &set_of(start.clone()));
        let set = ground(start);
        assert_eq!(set_faults(&set), vec![], "{form}");
        let knife = &set.knives[0];
        assert_eq!(knife.grinding.grinds.len(), 3, "{form}");
        let up = weigh(knife, &set);
        assert_eq!(up.missing, vec![], "{form}");
        let mass = up.ground.as_ref().expect("it can be ground").mass_g;
        let bar = flat.steel.blank_mass_g.unwrap();
        assert!(
            mass > 0.3 * bar && mass < 0.95 * bar,
            "{form}: {mass} {bar}"
        );
    }
}

/// A full flat reaches the spine where the blade is deepest and no farther.
#[test]
fn usual_bevels_are_not_too_tall() {
    for start in starters() {
        let set = ground(start);
        let knife = &set.knives[0];
        let up = weigh(knife, &set);
        let found = check(knife, &set, &up, &Thresholds::default());
        let tall: Vec<String> = found
            .iter()
            .filter(|f| f.code == "bevel-too-tall")
            .map(|f| f.what.to_string())
            .collect();
        assert_eq!(tall, Vec::<String>::new(), "{}", knife.form);
    }
}

/// A belt runs on past the tip: beside the spine, 2 mm behind the tip, nothing of the bar's own thickness is left, however blunt the tip.
#[test]
fn bevels_run_out_over_the_tip() {
    for knife in starters() {
        let add = Change::AddGrind {
            grind: usual_bevel(&knife).unwrap(),
        };
        let set = apply(&set_of(knife), &Edit::knife(0, add)).unwrap();
        let knife = &set.knives[0];
        let mut scale = Scale::default();
        let _ = scale.weigh(knife, &set);
        let tip = knife.landmark_point(LandmarkKind::Tip).unwrap();
        let x = tip.x - 2.0;
        let (_, high) = knife.contour().index().depth_at(x).unwrap();
        let place = scale.blade().unwrap().place_at(Point::new(x, high - 0.001));
        let share = place.thickness_mm() / knife.stock.thickness_mm;
        assert!(share < 0.7, "{}: {share}", knife.form);
    }
}

/// How deep the blade is from a place of its run, straight into the steel: by a fine polygon of the outline.
fn depth(knife: &Knife, grind: &Grind, share: f64) -> f64 {
    let path = knife.run_path(grind.run).unwrap();
    let place = path.at_share(share).unwrap();
    let corners = knife.contour().flattened(0.001);
    let (from, along) = (place.point, place.inward());
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .filter_map(|(a, b)| {
            let (side, edge) = (*b - *a, *a - from);
            let turn = along.cross(side);
            let (way, on) = (edge.cross(side) / turn, edge.cross(along) / turn);
            ((0.0..=1.0).contains(&on) && way > 0.1).then_some(way)
        })
        .fold(f64::INFINITY, f64::min)
}

/// Heights at their stations, angles where the flat they make ends over the middle of the run.
#[test]
fn bevels_fit_the_blade() {
    for knife in starters() {
        let grind = usual_bevel(&knife).unwrap();
        let kitchen = ["paring", "utility", "kitchen", "slicer"];
        let full = kitchen.contains(&knife.form.as_str()) || knife.form == "hunter";
        for face in Face::ALL {
            let Some(cut) = grind.sides.on(face) else {
                assert_eq!(knife.form, "grafting");
                continue;
            };
            let thickness = knife.stock.thickness_mm - grind.edge_mm;
            let drop = if grind.sides.is_chisel() {
                thickness
            } else {
                thickness / 2.0
            };
            match &cut.rise {
                Rise::Height(stations) => {
                    for station in stations {
                        let depth = depth(&knife, &grind, station.at);
                        let share = station.value / depth;
                        let wanted = if full { 0.99..1.3 } else { 0.5..0.9 };
                        assert!(wanted.contains(&share), "{}: {share}", knife.form);
                    }
                }
                Rise::Angle(stations) => {
                    let height = drop / stations[0].value.tan();
                    let depth = depth(&knife, &grind, 0.5);
                    assert!(height < 0.9 * depth, "{}: {height} {depth}", knife.form);
                }
            }
        }
    }
}

#[test]
fn bevels_are_those_of_the_use() {
    let bevel = |form: &str| usual_bevel(&starter(form)).unwrap();
    let degrees = |grind: &Grind| {
        let cut = grind.sides.on(Face::Right).unwrap();
        let Rise::Angle(stations) = &cut.rise else {
            panic!("{} rises by its height", grind.name);
        };
        stations[0].value.to_degrees()
    };
    let grafting = bevel("grafting");
    assert_eq!(grafting.sides.faces(), Faces::Right);
    within(degrees(&grafting), "angle.edge.single-bevel");
    let bush = bevel("bush");
    assert_eq!(bush.sides.faces(), Faces::Both);
    within(degrees(&bush), "angle.bevel.zero-edge");
    let Sides::Both(skinner) = bevel("skinner").sides else {
        panic!("both faces");
    };
    let CutForm::Hollow { wheel_radius_mm } = skinner.form else {
        panic!("hollow");
    };
    within(2.0 * wheel_radius_mm, "hollow.wheel-diameter");
    // Flat from edge to grind line, as steep as practice has it.
    let camp = starter("camp");
    let grind = bevel("camp");
    let height = grind.sides.on(Face::Left).unwrap().rise.value_at(0.0);
    let steep = (camp.stock.thickness_mm - grind.edge_mm) / (2.0 * height);
    within(steep.atan().to_degrees(), "angle.bevel.part-flat");
    // A full flat of a blade is as steep as its depth makes it: (T − e)/2 over the height.
    for (form, rule) in [
        ("paring", "angle.bevel.full-flat.kitchen"),
        ("utility", "angle.bevel.full-flat.kitchen"),
        ("kitchen", "angle.bevel.full-flat.kitchen"),
        ("slicer", "angle.bevel.full-flat.kitchen"),
        ("hunter", "angle.bevel.full-flat.hunter"),
    ] {
        let (knife, grind) = (starter(form), bevel(form));
        let height = grind.sides.on(Face::Right).unwrap().rise.value_at(0.0);
        let steep = (knife.stock.thickness_mm - grind.edge_mm) / (2.0 * height);
        within(steep.atan().to_degrees(), rule);
    }
    // The plunge leaves plain steel before a guard; on large knives it stands farther forward, with room for a finger.
    for knife in starters() {
        let plunge = knife.landmark_point(LandmarkKind::Plunge).unwrap().x;
        if ["camp", "chopper"].contains(&knife.form.as_str()) {
            assert!(plunge > range("ricasso.length").1, "{plunge}");
        } else {
            within(plunge, "ricasso.length");
        }
    }
    // The edge is left as for an oil quench, or between plates.
    let (least, most) = (
        range("edge.before-quench.plates").0,
        range("edge.before-quench.oil").1,
    );
    for knife in starters() {
        let edge = usual_bevel(&knife).unwrap().edge_mm;
        assert!((least..=most).contains(&edge), "{}: {edge}", knife.form);
    }
}

/// A circle through the edge and the grind line whose middle lies so far out that it meets the face in a line, not level with it: the surface leaves
/// the face by an angle of more than 0 and less than the chord's.
#[test]
fn the_choppers_bow_meets_its_face_in_a_line() {
    let knife = starter("chopper");
    let grind = usual_bevel(&knife).unwrap();
    let cut = grind.sides.on(Face::Right).unwrap();
    let CutForm::Convex { radius_mm } = cut.form else {
        panic!("convex");
    };
    let drop = (knife.stock.thickness_mm - grind.edge_mm) / 2.0;
    for station in cut.rise.stations() {
        let chord = station.value.hypot(drop);
        let (slope, half_turn) = (
            (drop / station.value).atan(),
            (chord / (2.0 * radius_mm)).asin(),
        );
        assert!(half_turn < slope, "{half_turn} {slope}");
        assert!(half_turn > 0.3 * slope, "bowed enough to see");
    }
}

#[test]
fn second_bevels_are_steeper_on_the_same_faces() {
    assert_eq!(usual_second_bevel(&starter("hunter")), None);
    for (form, rule) in [
        ("paring", "angle.edge.kitchen"),
        ("kitchen", "angle.edge.kitchen"),
        ("grafting", "angle.edge.single-bevel"),
        ("hunter", "angle.edge.hunting"),
        ("chopper", "angle.edge.chopping"),
        ("bush", "angle.edge.any"),
    ] {
        let set = ground(starter(form));
        let [first, _, second] = &set.knives[0].grinding.grinds[..] else {
            panic!("three grinds");
        };
        assert_eq!(second.sides.faces(), first.sides.faces(), "{form}");
        assert!(second.after_hardening && !first.after_hardening);
        let steep = second.sides.on(Face::Right).unwrap().rise.value_at(0.5);
        within(steep.to_degrees(), rule);
        if let Rise::Angle(stations) = &first.sides.on(Face::Right).unwrap().rise {
            assert!(steep > stations[0].value);
        }
    }
}

#[test]
fn false_edges_lie_on_the_spine_behind_the_tip() {
    for start in starters() {
        let blade = start.landmark_point(LandmarkKind::Tip).unwrap().x;
        let set = ground(start);
        let knife = &set.knives[0];
        let grind = &knife.grinding.grinds[1];
        let steep = grind.sides.on(Face::Right).unwrap().rise.value_at(0.0);
        within(steep.to_degrees(), "angle.false-edge");
        let start = knife.landmark_point(LandmarkKind::FalseEdge).unwrap();
        // One third to one half of the blade's length: common practice, no source.
        let share = (blade - start.x) / blade;
        assert!((0.33..0.5).contains(&share), "{share}");
        let (_, high) = knife.contour().index().depth_at(start.x).unwrap();
        assert!((start.y - high).abs() < 1e-6);
    }
}

/// What is ground on one face at the edge leaves the other face flat all over, to lie on the cut.
#[test]
fn the_flat_face_of_a_grafting_knife_stays_flat() {
    let set = ground(starter("grafting"));
    let grinding = &set.knives[0].grinding;
    let faces = grinding.grinds.iter().map(|g| g.sides.faces());
    let faces = faces.chain(grinding.fullers.iter().map(|f| f.faces));
    let faces = faces.chain(grinding.taper.iter().map(|t| t.faces));
    assert_eq!(faces.collect::<Vec<_>>(), [Faces::Right; 5]);
}

#[test]
fn tapers_thin_toward_the_tip_and_the_butt() {
    for knife in starters() {
        let bar = knife.stock.thickness_mm;
        let taper = usual_taper(&knife).unwrap();
        let at = |kind| {
            let x = knife.landmark_point(kind).map(|p: Point| p.x).unwrap();
            taper.thickness_at(x, bar)
        };
        let spine = at(LandmarkKind::SpineStart);
        within(100.0 * spine / bar, "taper.distal");
        assert!(at(LandmarkKind::Tip) < spine && at(LandmarkKind::Heel) < bar);
        assert!((taper.thickness_at(0.0, bar) - bar).abs() < 1e-12);
        let butt = at(LandmarkKind::Butt);
        if matches!(knife.tang, Tang::Full(_)) && bar > 2.6 {
            within(butt, "taper.tang-end");
        } else {
            assert!((butt - bar).abs() < 1e-12, "{}", knife.form);
        }
    }
}

/// Straight from the shoulder line to the end, the blade as it was: half way it is half as much thinner.
#[test]
fn a_tang_is_tapered_by_one_number() {
    for mut knife in starters() {
        let bar = knife.stock.thickness_mm;
        let end = knife.contour().bounds().x0;
        let tapers = [None, usual_taper(&knife)];
        for blade in tapers {
            knife.grinding.taper = blade.clone();
            let taper = with_tang_end(&knife, bar - 1.0).unwrap();
            for (share, off) in [(0.0, 0.0), (0.5, 0.5), (1.0, 1.0)] {
                let there = taper.thickness_at(share * end, bar);
                assert!((there - (bar - off)).abs() < 1e-9, "{} {there}", knife.form);
            }
            let own = |x| blade.as_ref().map_or(bar, |t| t.thickness_at(x, bar));
            for x in [10.0, 60.0, 100.0] {
                assert!((taper.thickness_at(x, bar) - own(x)).abs() < 1e-12);
            }
            knife.grinding.taper = Some(taper.clone());
            assert_eq!(with_tang_end(&knife, bar - 1.0), Some(taper));
            let level = with_tang_end(&knife, bar).unwrap();
            assert_eq!(level.thickness_at(end, bar), bar);
            assert_eq!(set_faults(&set_of(knife.clone())), vec![]);
        }
    }
}

/// A fuller lies within the blade, its channel clear of edge and spine, and leaves steel between its two faces.
#[test]
fn fullers_lie_within_the_blade() {
    for knife in starters() {
        let fuller = usual_fuller(&knife).unwrap();
        let steel = knife.contour().index();
        let half = fuller.half_width_mm();
        for node in &fuller.path.nodes {
            let (low, high) = steel.depth_at(node.at.x).unwrap();
            assert!(node.at.y - half > low + (high - low) / 4.0);
            assert!(node.at.y + half < high - 0.5, "{}", knife.form);
        }
        assert!(2.0 * fuller.depth_mm < knife.stock.thickness_mm / 2.0);
    }
}

/// Core of 30 to 40 percent: common practice, no source.
#[test]
fn three_layers_make_the_bar() {
    for mut knife in starters() {
        knife.stock.layering = usual_layering(&knife.stock, "iron");
        let share = knife.stock.core_thickness_mm() / knife.stock.thickness_mm;
        assert!((0.3..0.4).contains(&share), "{share}");
        assert_eq!(set_faults(&set_of(knife)), vec![]);
    }
}

#[test]
fn a_knife_without_landmarks_gets_nothing() {
    let mut knife = starter("hunter");
    knife.landmarks.clear();
    assert_eq!(usual_bevel(&knife), None);
    assert_eq!(usual_false_edge(&knife), None);
    assert_eq!(usual_taper(&knife), None);
    assert_eq!(usual_fuller(&knife), None);
}
