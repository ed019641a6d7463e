//! Reads an open instance of strip packing; shared by the tests and by `examples/nest_instances.rs`.

#![expect(clippy::expect_used, reason = "helpers of a test may stop it")]

use tangwright::geometry::{Contour, Point};
use tangwright::nesting::{Blank, Turns};

/// The blanks and the height of the strip.
pub(crate) fn read(text: &str) -> (Vec<Blank>, f64) {
    let read: serde_json::Value = serde_json::from_str(text).expect("the file is JSON");
    let number = |value: &serde_json::Value| value.as_f64().expect("a number");
    let list = |value: &serde_json::Value| value.as_array().expect("a list").clone();
    let of = |value: &serde_json::Value, name: &str| value.get(name).cloned().expect("a field");
    let blanks = list(&of(&read, "items"))
        .iter()
        .map(|item| {
            let mut corners: Vec<Point> = list(&of(item, "polygon"))
                .iter()
                .map(|at| {
                    let at: Vec<f64> = list(at).iter().map(number).collect();
                    match at.as_slice() {
                        [x, y] => Point::new(*x, *y),
                        _ => Point::ORIGIN,
                    }
                })
                .collect();
            // The first corner is given again as the last.
            corners.pop();
            let turns = list(&of(item, "allowed_rotation_deg"));
            Blank {
                outline: Contour::polygon(&corners),
                count: of(item, "demand")
                    .as_u64()
                    .and_then(|n| usize::try_from(n).ok())
                    .unwrap_or_default(),
                turns: Turns::Listed(turns.iter().map(|t| number(t).to_radians()).collect()),
                mirror: false,
            }
        })
        .collect();
    (blanks, number(&of(&read, "strip_height")))
}
