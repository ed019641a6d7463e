//! Edits of the taper, the grinds, the fullers and the layers, and how these follow other edits.

use tangwright::edit::{Change, EditError, Thing, thing_point};
use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{
    Cut, CutForm, Faces, Fuller, Grind, Id, Knife, KnifeSet, LandmarkKind, Layer, Layering, Node,
    Outline, Rise, Run, Sides, Stock, Taper, ThicknessStation,
};

use super::bench::{assert_at, assert_near, changed, knife, plate, refused, set_of, starters};

pub(crate) fn bevel(id: Id, name: &str) -> Grind {
    Grind {
        id,
        name: name.to_owned(),
        run: Run {
            from: LandmarkKind::Plunge,
            to: LandmarkKind::Tip,
        },
        sides: Sides::Both(Cut {
            form: CutForm::Flat,
            rise: Rise::even_height(12.0),
        }),
        edge_mm: 0.4,
        edge_offset_mm: 0.0,
        plunge_from: None,
        plunge_to: None,
        after_hardening: false,
    }
}

fn taper(stations: &[(f64, f64)]) -> Taper {
    let station = |&(x_mm, thickness_mm): &(f64, f64)| ThicknessStation { x_mm, thickness_mm };
    Taper {
        stations: stations.iter().map(station).collect(),
        faces: Faces::Both,
    }
}

fn fuller(id: Id, first_node: Id, places: &[(f64, f64)]) -> Fuller {
    let nodes = (first_node..).zip(places);
    Fuller {
        id,
        name: "fuller".to_owned(),
        path: Outline {
            nodes: nodes
                .map(|(id, at)| Node::corner(id, Point::from(*at)))
                .collect(),
        },
        faces: Faces::Both,
        nose_radius_mm: 4.0,
        depth_mm: 0.8,
    }
}

fn grinds(set: &KnifeSet) -> Vec<(Id, &str)> {
    let grinds = &knife(set).grinding.grinds;
    grinds.iter().map(|g| (g.id, g.name.as_str())).collect()
}

fn stations(knife: &Knife) -> Vec<f64> {
    let taper = knife.grinding.taper.as_ref().unwrap();
    taper.stations.iter().map(|s| s.x_mm).collect()
}

/// The plate with a taper of five stations from butt to tip and a fuller from (20, 20) to (100, 22).
fn ground_plate() -> KnifeSet {
    let mut plate = plate();
    plate.grinding.taper = Some(taper(&[
        (-100.0, 2.0),
        (-50.0, 3.0),
        (0.0, 4.0),
        (60.0, 3.0),
        (120.0, 1.5),
    ]));
    let first = plate.take_id();
    let (_, _) = (plate.take_id(), plate.take_id());
    let mut path = fuller(first, first + 1, &[(20.0, 20.0), (100.0, 22.0)]);
    path.path.nodes[0].handle_out = Some(Vec2::new(30.0, 3.0));
    path.path.nodes[1].handle_in = Some(Vec2::new(-20.0, 2.0));
    plate.grinding.fullers.push(path);
    set_of(plate)
}

#[test]
fn grinds_get_ids_of_their_own_and_keep_an_order() {
    let mut set = set_of(plate());
    let first = knife(&set).next_id;
    for name in ["primary", "second", "false"] {
        let grind = bevel(0, name);
        set = changed(&set, Change::AddGrind { grind });
    }
    let added = [
        (first, "primary"),
        (first + 1, "second"),
        (first + 2, "false"),
    ];
    assert_eq!(grinds(&set), added);
    let grind = bevel(first + 1, "micro");
    let set = changed(&set, Change::SetGrind { grind });
    assert_eq!(grinds(&set)[1], (first + 1, "micro"));
    let to = |place| Change::MoveGrind { id: first, place };
    let order = |set: &KnifeSet| grinds(set).iter().map(|g| g.0 - first).collect::<Vec<_>>();
    assert_eq!(order(&changed(&set, to(1))), [1, 0, 2]);
    assert_eq!(order(&changed(&set, to(usize::MAX))), [1, 2, 0]);
    let set = changed(&set, Change::RemoveGrind { id: first + 1 });
    assert_eq!(order(&set), [0, 2]);
    let gone = EditError::Gone { what: "grind" };
    let grind = bevel(first + 1, "late");
    assert_eq!(refused(&set, Change::SetGrind { grind }), gone);
    assert_eq!(refused(&set, Change::RemoveGrind { id: first + 1 }), gone);
    let (id, place) = (first + 1, 0);
    assert_eq!(refused(&set, Change::MoveGrind { id, place }), gone);
}

/// Blade 0 to 120: one third behind the tip is 80, on the upper side of the plate at 30.
#[test]
fn a_grind_seats_the_landmarks_its_run_lacks() {
    let set = set_of(plate());
    assert_eq!(knife(&set).landmark(LandmarkKind::FalseEdge), None);
    let mut grind = bevel(0, "false edge");
    grind.run = Run {
        from: LandmarkKind::Tip,
        to: LandmarkKind::FalseEdge,
    };
    let tip = knife(&set).landmark(LandmarkKind::Tip);
    let add = Change::AddGrind { grind };
    let set = changed(&set, add.clone());
    let seated = knife(&set).landmark_point(LandmarkKind::FalseEdge).unwrap();
    assert_at(seated, Point::new(80.0, 30.0), 1e-9);
    assert_eq!(knife(&set).landmark(LandmarkKind::Tip), tip);
    // One that is there stays where the maker put it.
    let at = Point::new(50.0, 30.0);
    let thing = Thing::Landmark(LandmarkKind::FalseEdge);
    let set = changed(&changed(&set, Change::Place { thing, at }), add);
    let kept = knife(&set).landmark_point(LandmarkKind::FalseEdge).unwrap();
    assert_at(kept, at, 1e-9);
    // A newly scribed outline keeps a false edge, seated anew.
    let mut outline = plate().outline;
    for node in &mut outline.nodes {
        node.at.x *= 0.5;
    }
    let set = changed(&set, Change::SetOutline { outline });
    let anew = knife(&set).landmark_point(LandmarkKind::FalseEdge).unwrap();
    assert_at(anew, Point::new(40.0, 30.0), 1e-9);
}

#[test]
fn fullers_and_their_nodes_get_ids_of_their_own() {
    let set = set_of(plate());
    let next = knife(&set).next_id;
    let one = fuller(0, 0, &[(20.0, 20.0), (60.0, 21.0), (100.0, 22.0)]);
    let set = changed(&set, Change::AddFuller { fuller: one });
    let own = knife(&set).grinding.fullers[0].clone();
    let ids = |f: &Fuller| f.path.nodes.iter().map(|n| n.id).collect::<Vec<_>>();
    assert_eq!(own.id, next);
    assert_eq!(ids(&own), [next + 1, next + 2, next + 3]);
    // A node that was put in between gets a fresh id, even if it was given one twice.
    let mut changed_one = own.clone();
    let doubled = Node::corner(next + 2, Point::new(80.0, 21.0));
    changed_one.path.nodes.insert(2, doubled);
    let fuller = changed_one;
    let set = changed(&set, Change::SetFuller { fuller });
    let now = &knife(&set).grinding.fullers[0];
    assert_eq!(ids(now), [next + 1, next + 2, next + 4, next + 3]);
    let stranger = super::grinding::fuller(99, 0, &[(0.0, 0.0), (1.0, 0.0)]);
    let gone = EditError::Gone { what: "fuller" };
    assert_eq!(
        refused(&set, Change::SetFuller { fuller: stranger }),
        gone.clone()
    );
    assert_eq!(refused(&set, Change::RemoveFuller { id: 99 }), gone);
    let set = changed(&set, Change::RemoveFuller { id: next });
    assert_eq!(knife(&set).grinding.fullers, []);
}

#[test]
fn the_nodes_of_a_fuller_move_and_go() {
    let set = ground_plate();
    let own = knife(&set).grinding.fullers[0].clone();
    let (id, nodes) = (own.id, own.path.nodes);
    let thing = |node: Id| Thing::FullerNode { fuller: id, node };
    let (a, b) = (thing(nodes[0].id), thing(nodes[1].id));
    let by = Vec2::new(2.0, -1.0);
    let things = vec![a];
    let moved = changed(&set, Change::Shift { things, by });
    assert_eq!(
        thing_point(knife(&moved), a),
        Some(Point::new(22.0, 19.0)),
        "the node"
    );
    assert_eq!(thing_point(knife(&moved), b), Some(nodes[1].at));
    let at = Point::new(90.0, 25.0);
    let placed = changed(&set, Change::Place { thing: b, at });
    assert_eq!(thing_point(knife(&placed), b), Some(at));
    let things = vec![b];
    let error = refused(&set, Change::Remove { things });
    assert_eq!(error, EditError::PathTooShort);
    let stranger = thing(999);
    let error = refused(
        &set,
        Change::Place {
            thing: stranger,
            at,
        },
    );
    assert_eq!(error, EditError::Gone { what: "node" });
}

/// A node that only divided one curve goes without a trace; one at the end takes its piece with it.
#[test]
fn a_node_leaves_a_path_as_it_leaves_an_outline() {
    let whole = knife(&ground_plate()).grinding.fullers[0].path.clone();
    let start = whole.nodes[0].id;
    let mut divided = whole.clone();
    let t = 0.3;
    let spot = tangwright::knife::Spot { node: start, t };
    assert_eq!(divided.split(spot, 50), Some(1));
    let mut joined = divided.clone();
    assert!(joined.remove_from_chain(50).is_some());
    for (now, was) in joined.nodes.iter().zip(&whole.nodes) {
        assert_at(now.at, was.at, 1e-12);
        let length = |h: Option<Vec2>| h.unwrap_or_default();
        let ends = [
            (now.handle_in, was.handle_in),
            (now.handle_out, was.handle_out),
        ];
        for (a, b) in ends {
            assert!((length(a) - length(b)).hypot() < 1e-9, "{a:?} {b:?}");
        }
    }
    let mut shortened = divided.clone();
    assert!(shortened.remove_from_chain(start).is_some());
    assert_eq!(shortened.nodes[0].id, 50);
    assert_eq!(shortened.nodes[0].handle_in, None);
    assert_eq!(shortened.nodes[1], divided.nodes[2]);
    assert!(shortened.remove_from_chain(50).is_none(), "two stay");
}

#[test]
fn stations_of_the_taper_slide_along_the_knife_only() {
    let set = ground_plate();
    let places = [-100.0, -50.0, 0.0, 60.0, 120.0];
    assert_eq!(stations(knife(&set)), places);
    let thing = Thing::TaperStation(3);
    // The plate's middle is at 15.
    assert_eq!(
        thing_point(knife(&set), thing),
        Some(Point::new(60.0, 15.0))
    );
    let by = Vec2::new(5.0, 7.0);
    let things = vec![thing, Thing::TaperStation(4)];
    let moved = changed(&set, Change::Shift { things, by });
    assert_eq!(stations(knife(&moved)), [-100.0, -50.0, 0.0, 65.0, 125.0]);
    // A dragged one stops before its neighbors.
    for (x, stops) in [(200.0, 119.99), (-7.0, 0.01), (44.0, 44.0)] {
        let at = Point::new(x, -90.0);
        let placed = changed(&set, Change::Place { thing, at });
        assert_near(stations(knife(&placed))[3], stops, 1e-9);
    }
    let things = vec![Thing::TaperStation(1), Thing::TaperStation(3)];
    let fewer = changed(&set, Change::Remove { things });
    assert_eq!(stations(knife(&fewer)), [-100.0, 0.0, 120.0]);
    let things = (0..5).map(Thing::TaperStation).collect();
    let none = changed(&set, Change::Remove { things });
    assert_eq!(knife(&none).grinding.taper, None);
    let things = vec![Thing::TaperStation(5)];
    let error = refused(&set, Change::Remove { things });
    let what = "station of the taper";
    assert_eq!(error, EditError::Gone { what });
}

/// The plate's blade is 120 long and stretched by 1.5, its tang 100 and stretched by 0.8; the line moves by 10.
#[test]
fn what_is_ground_follows_the_sizes() {
    let set = ground_plate();
    let path = |set: &KnifeSet| knife(set).grinding.fullers[0].path.clone();
    let before = path(&set);
    let length_mm = 180.0;
    let longer = changed(&set, Change::SetBladeLength { length_mm });
    let places = [-100.0, -50.0, 0.0, 90.0, 180.0];
    for (now, wanted) in stations(knife(&longer)).into_iter().zip(places) {
        assert_near(now, wanted, 1e-6);
    }
    let now = path(&longer);
    assert_at(now.nodes[0].at, Point::new(30.0, 20.0), 1e-6);
    assert_at(now.nodes[1].at, Point::new(150.0, 22.0), 1e-6);
    let out = now.nodes[0].handle_out.unwrap();
    assert!((out - Vec2::new(45.0, 3.0)).hypot() < 1e-6);
    assert_eq!(now.nodes[0].handle_in, None);

    let length_mm = 80.0;
    let shorter = changed(&set, Change::SetTangLength { length_mm });
    let places = [-80.0, -40.0, 0.0, 60.0, 120.0];
    for (now, wanted) in stations(knife(&shorter)).into_iter().zip(places) {
        assert_near(now, wanted, 1e-6);
    }
    assert_eq!(path(&shorter), before);

    let height_mm = 60.0;
    let deeper = changed(&set, Change::SetHeight { height_mm });
    assert_eq!(stations(knife(&deeper)), stations(knife(&set)));
    // Depth is stretched by 2 about the upper shoulder at 30: 20 comes to 10.
    assert_at(path(&deeper).nodes[0].at, Point::new(20.0, 10.0), 1e-6);

    let moved = changed(&set, Change::MoveShoulderLine { to_x: 10.0 });
    assert_eq!(stations(knife(&moved)), [-110.0, -60.0, -10.0, 50.0, 110.0]);
    assert_eq!(path(&moved).nodes[1].at, Point::new(90.0, 22.0));
}

/// A taper from a tang's rearmost place ends at the new tang's.
#[test]
fn a_tangs_taper_follows_a_new_tang() {
    for mut start in starters() {
        let back = start.contour().bounds().x0;
        start.grinding.taper = Some(taper(&[(back, 2.0), (0.0, 4.0), (30.0, 4.0)]));
        let mut tang = start.tang;
        *tang.length_mut() *= 1.1;
        let set = changed(&set_of(start), Change::FitTang { tang });
        let now = knife(&set);
        let places = stations(now);
        assert_near(places[0], now.contour().bounds().x0, 1e-9);
        assert_eq!(places[1..], [0.0, 30.0]);
    }
}

#[test]
fn forging_thins_the_layers_and_asks_for_a_ratio_each() {
    let mut plate = plate();
    plate.stock.layering = Layering {
        outer: vec![Layer {
            name: "cladding".to_owned(),
            material: "brass".to_owned(),
            thickness_mm: 1.0,
        }],
        ..Layering::default()
    };
    let set = set_of(plate);
    let forge = |ratios: &[f64]| Change::Forge {
        thickness_mm: 3.0,
        ratios: ratios.to_vec(),
    };
    // 4 mm: core 2, cladding 1 on each side. Thinned 1 to 2: 2 k + 2·0.5 k = 3, so k = 1.
    let forged = changed(&set, forge(&[1.0, 2.0]));
    let stock: &Stock = &knife(&forged).stock;
    assert_near(stock.thickness_mm, 3.0, 0.0);
    assert_near(stock.core_thickness_mm(), 2.0, 1e-12);
    assert_near(stock.layering.outer[0].thickness_mm, 0.5, 1e-12);
    for wrong in [&[][..], &[1.0], &[1.0, 1.0, 1.0]] {
        let (layers, given) = (2, wrong.len());
        let error = refused(&set, forge(wrong));
        assert_eq!(error, EditError::Ratios { layers, given });
    }
}

#[test]
fn the_taper_and_the_tolerance_are_set_as_given() {
    let set = set_of(plate());
    let wanted = Some(taper(&[(0.0, 4.0), (120.0, 1.0)]));
    let taper = wanted.clone();
    let with = changed(&set, Change::SetTaper { taper });
    assert_eq!(knife(&with).grinding.taper, wanted);
    let without = changed(&with, Change::SetTaper { taper: None });
    assert_eq!(knife(&without), knife(&set));
    let tolerance_mm = 0.02;
    let finer = changed(&set, Change::SetGrindTolerance { tolerance_mm });
    assert_near(knife(&finer).grinding.tolerance_mm, 0.02, 0.0);
}
