//! The name on the tang.

use super::*;
use crate::geometry::Point;
use crate::knife::Engraving;

#[test]
fn an_engraved_name_is_kept_and_may_be_left_out() {
    let mut set = read(GOOD.as_bytes()).expect("a good file");
    assert_eq!(set.knives[0].engraving, None);
    assert!(!write(&set).contains("engraving"));
    for at in [None, Some(Point::new(-40.5, 2.25))] {
        std::sync::Arc::make_mut(&mut set.knives[0]).engraving = Some(Engraving {
            words: "Orchard 7".to_owned(),
            height_mm: 3.5,
            at,
        });
        assert_eq!(read(write(&set).as_bytes()), Ok(set.clone()));
    }
}

#[test]
fn a_sign_without_a_letter_is_told() {
    check(
        "\"notes\": \"\"",
        "\"notes\": \"\", \"engraving\": {\"words\": \"a_b\", \"height_mm\": 3}",
        "knives[0].engraving.words: '_' can't be engraved: write A to Z, 0 to 9, blanks and - + / . , : ' &",
    );
}
