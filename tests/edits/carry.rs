//! Grind, holes and handle copied from one knife to another.

use tangwright::edit::{Carried, Change, Edit, EditError, History, Thing, apply};
use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{
    CutOut, CutShape, Filling, Knife, KnifeSet, Purpose, Row, RowPath, orchard_set, set_faults,
};
use tangwright::units::print_number;
use tangwright::weighing::weigh;

/// From the knife at one place of the orchard rack to that at another.
fn carried(from: usize, to: usize, what: Carried) -> (KnifeSet, Knife, Knife) {
    let set = orchard_set();
    let edit = Edit::CarryOver {
        from: set.knives[from].id,
        to: set.knives[to].id,
        what,
    };
    let next = apply(&set, &edit).unwrap();
    assert_eq!(set_faults(&next), vec![]);
    // All other knives are the very same.
    for (place, (old, new)) in set.knives.iter().zip(&next.knives).enumerate() {
        assert_eq!(std::sync::Arc::ptr_eq(old, new), place != to);
    }
    let (source, copy) = (
        Knife::clone(&set.knives[from]),
        Knife::clone(&next.knives[to]),
    );
    (next, source, copy)
}

fn with(what: Carried) -> Vec<usize> {
    let set = orchard_set();
    let places = 0..set.knives.len();
    places.filter(|i| what.is_on(&set.knives[*i])).collect()
}

#[test]
fn a_grind_is_copied_with_every_number_and_can_be_weighed() {
    for from in with(Carried::Grind) {
        for to in (0..4).filter(|to| *to != from) {
            let (set, source, copy) = carried(from, to, Carried::Grind);
            assert_eq!(copy.grinding.grinds.len(), source.grinding.grinds.len());
            for (a, b) in source.grinding.grinds.iter().zip(&copy.grinding.grinds) {
                let same = tangwright::knife::Grind {
                    id: a.id,
                    ..b.clone()
                };
                assert_eq!(*a, same);
                for kind in [b.run.from, b.run.to] {
                    assert!(copy.landmark(kind).is_some(), "{kind:?} is seated");
                }
            }
            // What was not asked for stays.
            let old = &orchard_set().knives[to].grinding.taper.clone();
            assert_eq!(copy.grinding.taper, *old);
            let up = weigh(&copy, &set);
            assert!(
                up.ground.is_some(),
                "{} of {}: {:?}",
                copy.name,
                source.name,
                up.missing
            );
        }
    }
}

/// Each hole as far from the shoulder line, and as far from the middle of the steel there, as on the other knife.
#[test]
fn holes_keep_their_place_along_and_off_the_middle() {
    let (from, to) = (with(Carried::Holes)[0], with(Carried::Holes)[1]);
    let (_, source, copy) = carried(from, to, Carried::Holes);
    assert!(!copy.cut_outs.is_empty() || !copy.rows.is_empty());
    let (there, here) = (source.contour().index(), copy.contour().index());
    let off = |steel: &tangwright::geometry::SpanIndex, x: f64, y: f64| {
        steel.depth_at(x).map(|(a, b)| y - f64::midpoint(a, b))
    };
    assert_eq!(source.cut_outs.len(), copy.cut_outs.len());
    for (a, b) in source.cut_outs.iter().zip(&copy.cut_outs) {
        let (p, q) = (a.shape.center(), b.shape.center());
        assert!((p.x - q.x).abs() < 1e-9);
        if let Some((a, b)) = off(&there, p.x, p.y).zip(off(&here, q.x, q.y)) {
            assert!((a - b).abs() < 1e-9, "{a} {b}");
        }
        assert_eq!((a.purpose, &a.filling), (b.purpose, &b.filling));
    }
    for (a, b) in source.rows.iter().zip(&copy.rows) {
        assert_eq!(
            (a.count, a.path),
            (b.count, b.path),
            "along the middle of the tang"
        );
    }
}

/// Places of the orchard's knives with the longest and the shortest tang, and how far those reach behind the shoulder line, mm.
fn long_and_short() -> [(usize, f64); 2] {
    let set = orchard_set();
    let knives = set.knives.iter().enumerate();
    let mut all: Vec<(usize, f64)> = knives
        .map(|(i, knife)| (i, knife.contour().index().bounds().x0))
        .collect();
    all.sort_by(|a, b| a.1.total_cmp(&b.1));
    [all[0], all[all.len() - 1]]
}

fn row(path: RowPath, count: u32) -> Row {
    Row {
        id: 900,
        path,
        count,
        first_diameter_mm: 2.0,
        last_diameter_mm: 2.0,
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    }
}

/// Copies what is drilled in the long tang to the knife with the short one.
fn drilled(
    cut_outs: Vec<CutOut>,
    rows: Vec<Row>,
    [from, to]: [usize; 2],
) -> Result<(Knife, Knife), EditError> {
    let mut set = orchard_set();
    let source = std::sync::Arc::make_mut(&mut set.knives[from]);
    (source.cut_outs, source.rows) = (cut_outs, rows);
    source.next_id = 1000;
    let edit = Edit::CarryOver {
        from: source.id,
        to: set.knives[to].id,
        what: Carried::Holes,
    };
    let next = apply(&set, &edit)?;
    let knife = |set: &KnifeSet, place: usize| Knife::clone(&set.knives[place]);
    Ok((knife(&set, from), knife(&next, to)))
}

fn middle(knife: &Knife, x: f64) -> f64 {
    let (low, high) = knife.contour().index().depth_at(x).unwrap();
    f64::midpoint(low, high)
}

/// A row along a line keeps both ends as far off the middle; one along the middle of the tang keeps every hole, or is not copied.
#[test]
fn rows_are_copied_whole_or_not_at_all() {
    let [(long, deep), (short, shallow)] = long_and_short();
    assert!(deep < shallow - 10.0, "{deep} {shallow}");
    let set = orchard_set();
    let at = |x: f64| at_point(&set, long, x) + Vec2::new(0.0, 0.5);
    let line = RowPath::Line {
        from: at(shallow + 30.0),
        to: at(shallow + 10.0),
    };
    let (source, copy) = drilled(vec![], vec![row(line, 3)], [long, short]).unwrap();
    let (RowPath::Line { from: a, to: b }, RowPath::Line { from: p, to: q }) =
        (source.rows[0].path, copy.rows[0].path)
    else {
        panic!("a line stays a line");
    };
    for (a, p) in [(a, p), (b, q)] {
        assert!((a.x - p.x).abs() < 1e-9);
        let (there, here) = (a.y - middle(&source, a.x), p.y - middle(&copy, p.x));
        assert!((there - here).abs() < 1e-9, "{there} {here}");
    }
    // The rear half of this one would find no tang at all.
    let along = RowPath::TangMiddle {
        from_x: shallow + 10.0,
        to_x: deep + 5.0,
    };
    let refused = drilled(vec![], vec![row(along, 8)], [long, short]).unwrap_err();
    let EditError::NotInSteel { at } = refused else {
        panic!("{refused:?}");
    };
    assert!(at.x < shallow, "{at:?} {shallow}");
    let told = EditError::NotInSteel { at }.to_string();
    assert!(
        told.contains(&format!("x {}", print_number(at.x, 1))) && told.contains("tang"),
        "{told}"
    );
    // Nor the far end of a line.
    let out = RowPath::Line {
        from: at_point(&set, long, shallow + 10.0),
        to: at_point(&set, long, deep + 5.0),
    };
    let refused = drilled(vec![], vec![row(out, 8)], [long, short]);
    assert!(
        matches!(refused, Err(EditError::NotInSteel { .. })),
        "{refused:?}"
    );
}

fn at_point(set: &KnifeSet, place: usize, x: f64) -> Point {
    Point::new(x, middle(&set.knives[place], x))
}

/// A single hole behind the end of the shorter tang, and one too large for its height.
#[test]
fn a_hole_without_steel_is_not_copied() {
    let [(long, deep), (short, shallow)] = long_and_short();
    let set = orchard_set();
    let round = |center: Point, diameter_mm: f64| {
        vec![CutOut {
            id: 900,
            shape: CutShape::Round {
                center,
                diameter_mm,
            },
            purpose: Purpose::Lightening,
            filling: Filling::Nothing,
        }]
    };
    let behind = at_point(&set, long, f64::midpoint(deep, shallow));
    let refused = drilled(round(behind, 2.0), vec![], [long, short]).unwrap_err();
    assert_eq!(refused, EditError::NotInSteel { at: behind });
    let inside = at_point(&set, long, shallow + 20.0);
    let (_, copy) = drilled(round(inside, 2.0), vec![], [long, short]).unwrap();
    assert_eq!(copy.cut_outs.len(), 1);
    let refused = drilled(round(inside, 90.0), vec![], [long, short]);
    assert!(
        matches!(refused, Err(EditError::NotInSteel { .. })),
        "{refused:?}"
    );
}

#[test]
fn a_handle_is_copied_with_its_parts() {
    for from in with(Carried::Handle) {
        let to = (from + 1) % 4;
        let (_, source, copy) = carried(from, to, Carried::Handle);
        let (a, b) = (source.handle.unwrap(), copy.handle.unwrap());
        assert_eq!(
            (&a.fixing, &a.stations, a.rounding),
            (&b.fixing, &b.stations, b.rounding)
        );
        let parts = |h: &tangwright::knife::Handle| -> Vec<_> {
            let of = h.parts.iter();
            of.map(|p| (p.kind, p.material.clone(), p.from_x_mm))
                .collect()
        };
        assert_eq!(parts(&a), parts(&b));
    }
}

#[test]
fn copying_is_one_step_and_says_what_it_was() {
    let mut history = History::new(orchard_set());
    let from = history.set().knives[with(Carried::Grind)[0]].id;
    let to = history
        .set()
        .knives
        .iter()
        .find(|k| k.id != from)
        .unwrap()
        .id;
    let edit = Edit::CarryOver {
        from,
        to,
        what: Carried::Grind,
    };
    history.apply(&edit).unwrap();
    assert_eq!(history.undo_label(), Some("copy grind"));
    assert!(history.undo());
    assert_eq!(*history.set(), orchard_set());
}

#[test]
fn nothing_to_copy_is_said() {
    let set = orchard_set();
    let from = set.knives[0].id;
    let bare = Edit::knife(from, Change::FitHandle { handle: None });
    let set = apply(&set, &bare).unwrap();
    let edit = Edit::CarryOver {
        from,
        to: set.knives[1].id,
        what: Carried::Handle,
    };
    let error = apply(&set, &edit).unwrap_err();
    assert_eq!(error, EditError::NothingToCopy { what: "handle" });
    assert_eq!(
        error.to_string(),
        "that knife has no handle to copy: choose another"
    );
}

/// What is clamped stays, also against another knife's holes.
#[test]
fn a_clamped_hole_is_not_taken_away_by_copied_ones() {
    let set = orchard_set();
    let [from, to] = [with(Carried::Holes)[0], with(Carried::Holes)[1]];
    let (from, to) = (set.knives[from].id, set.knives[to].id);
    let hole = set.knife(to).unwrap().cut_outs[0].id;
    let clamp = Change::Clamp {
        things: vec![Thing::CutOut(hole)],
        clamped: true,
    };
    let set = apply(&set, &Edit::knife(to, clamp)).unwrap();
    let what = Carried::Holes;
    let refused = apply(&set, &Edit::CarryOver { from, to, what });
    assert!(
        matches!(refused, Err(EditError::Clamped { .. })),
        "{refused:?}"
    );
}
