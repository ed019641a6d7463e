//! The picture under the drawing.

use super::*;
use crate::geometry::Point;
use crate::knife::{LaidPicture, SquaredBy};

#[test]
fn a_picture_is_kept_and_may_be_left_out() {
    let mut set = read(GOOD.as_bytes()).expect("a good file");
    assert_eq!(set.knives[0].picture, None);
    assert!(!write(&set).contains("picture"));
    let plain = LaidPicture {
        turn_rad: -0.125,
        mirrored: true,
        locked: true,
        ..LaidPicture::new(
            "shots/pruner \"2\".jpg".to_owned(),
            (4032, 3024),
            Point::new(-12.5, 3.0),
            310.0,
        )
    };
    let corners = [
        (100.5, 2900.0),
        (3900.0, 2950.25),
        (3700.0, 120.0),
        (300.0, 80.0),
    ]
    .map(Point::from);
    let sheet = SquaredBy::of(corners, (210.0, 297.0), true).expect("a sheet");
    for own in [plain.clone(), plain.squared_by(sheet)] {
        std::sync::Arc::make_mut(&mut set.knives[0]).picture = Some(own);
        assert_eq!(read(write(&set).as_bytes()), Ok(set.clone()));
    }
}

#[test]
fn corners_that_make_no_sheet_are_told() {
    let picture = |corners: &str| {
        format!(
            "\"notes\": \"\", \"picture\": {{\"file\": \"a.jpg\", \"width_px\": 100, \"height_px\": 80, \
            \"squared\": {{\"corners\": [{corners}], \"width_mm\": 297, \"height_mm\": 210, \"beside\": false}}, \
            \"middle\": [0, 0], \"turn_rad\": 0, \"mirrored\": false, \"scale\": 1, \"strength\": 1, \"locked\": false}}"
        )
    };
    check(
        "\"notes\": \"\"",
        &picture("{\"at\": [0, 0]}, {\"at\": [9, 0]}"),
        "knives[0].picture.squared.corners: has 2 corners; a sheet has 4",
    );
    check(
        "\"notes\": \"\"",
        &picture("{\"at\": [0, 70]}, {\"at\": [90, 70]}, {\"at\": [30, 60]}, {\"at\": [0, 10]}"),
        "knives[0].picture.squared: the corners of the sheet make no four-sided figure; mark them anew",
    );
}
