//! Moving the name on the tang, and taking it off.

use tangwright::edit::{Change, EditError, Thing, thing_point};
use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{Engraving, Knife, KnifeSet};

use super::bench::{changed, knife, refused, set_of, starter};

const BY: Vec2 = Vec2::new(1.25, -0.5);

fn shift(things: &[Thing]) -> Change {
    Change::Shift {
        things: things.to_vec(),
        by: BY,
    }
}

fn named(at: Option<Point>) -> Knife {
    let mut knife = starter("hunter");
    knife.engraving = Some(Engraving {
        words: "ORCHARD 7".to_owned(),
        height_mm: 3.0,
        at,
    });
    knife
}

/// A name that found its place by itself is taken from there; from then on it has a place of its own, which the shoulder line takes along.
#[test]
fn an_engraved_name_is_moved_and_taken_off() {
    let set = set_of(named(None));
    let contour = knife(&set).contour();
    let name = knife(&set).engraving.as_ref().unwrap();
    let found = name.on(knife(&set), &contour, &contour.index());
    let middle = found.unwrap().middle;
    let at = |set: &KnifeSet| knife(set).engraving.as_ref().unwrap().at;
    let after = changed(&set, shift(&[Thing::Name]));
    assert_eq!(at(&after), Some(middle + BY));
    let to = Point::new(-42.0, 1.5);
    let placed = changed(
        &after,
        Change::Place {
            thing: Thing::Name,
            at: to,
        },
    );
    assert_eq!(
        (at(&placed), thing_point(knife(&placed), Thing::Name)),
        (Some(to), Some(to))
    );
    let shifted = changed(&placed, Change::MoveShoulderLine { to_x: -3.0 });
    assert_eq!(at(&shifted), Some(Point::new(-39.0, 1.5)));
    let gone = changed(
        &placed,
        Change::Remove {
            things: vec![Thing::Name],
        },
    );
    assert_eq!(knife(&gone).engraving, None);
    assert_eq!(
        refused(&gone, shift(&[Thing::Name])),
        EditError::Gone {
            what: "engraved name"
        }
    );
}

/// Letters that find no room on the tang are offered a place behind the shoulder line, to be moved from.
#[test]
fn a_name_without_room_has_a_place_to_begin_from() {
    let mut own = named(None);
    if let Some(name) = &mut own.engraving {
        name.height_mm = 25.0;
    }
    let begin = thing_point(&own, Thing::Name).unwrap();
    assert!(begin.x < 0.0, "{begin:?}");
    let after = changed(&set_of(own), shift(&[Thing::Name]));
    let name = knife(&after).engraving.clone().unwrap();
    assert_eq!(name.at, Some(begin + BY));
}
