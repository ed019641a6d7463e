//! Grind, holes and handle copied from one knife to another.

use tangwright::edit::{Carried, Change, Edit, EditError, History, Thing, apply};
use tangwright::knife::{Knife, KnifeSet, RowPath, orchard_set, set_faults};
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
            let _ = weigh(&copy, &set);
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
        assert_eq!(a.count, b.count);
        if let (RowPath::TangMiddle { .. }, path) = (a.path, b.path) {
            assert_eq!(a.path, path);
        }
    }
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
