//! Small drawings: valid ones to change, and the cases that `examples/shake_readers` or a test once found.

use super::bench::{dxf, dxf_with, good, plate, refused, svg};
use super::mutations::judge;

/// What a case must come to.
enum Truth {
    /// It is read; this is told of its mending, in words.
    Mended(&'static [&'static str]),
    /// It is refused with these words.
    Refused(&'static str),
}

/// Cases that once came out wrong, smallest first.
fn found() -> Vec<(&'static str, String, Truth)> {
    vec![
        (
            "half circles that end a rounding beside where they began were closed with a line of no length",
            dxf(
                "0|LWPOLYLINE|70|1|10|0.1|20|0.3|10|70.7|20|0.3|42|1|10|70.7|20|10.9|10|0.1|20|10.9|42|1|0|CIRCLE|10|33.3|20|5.1|40|1.7|",
            ),
            Truth::Mended(&[]),
        ),
        (
            "lines through the middle of the drawing lie at +0 and at -0, which sorting took for two",
            dxf(
                "0|LINE|10|0|20|-5|11|20|21|-5|0|LINE|10|20|20|-5|11|20|21|5|0|LINE|10|20|20|5|11|0|21|5|0|LINE|10|0|20|5|11|0|21|-5|\
                 0|LINE|10|4|20|0|11|12|21|0|0|LINE|10|16|20|0|11|8|21|0|0|LINE|10|9|20|0|11|10|21|0|",
            ),
            Truth::Mended(&["merged 2 lines that lay over others"]),
        ),
        (
            "a handle reached far beyond the bench though its curve did not",
            dxf(
                "0|SPLINE|71|3|40|0|40|0|40|0|40|0|40|1|40|1|40|1|40|1|10|0|20|0|10|19000|20|0|10|1000|20|40|10|0|20|40|0|LINE|10|0|20|40|11|0|21|0|",
            ),
            Truth::Refused("a handle farther than 10000 mm"),
        ),
        (
            "a shape with its nodes inside the outline and a bow far outside was taken for a cut-out",
            svg("<path d=\"M0 0H99V9H0Z\"/><path d=\"M20 2C20 90 40 90 40 2Z\"/>"),
            Truth::Mended(&[]),
        ),
        (
            "a loop of one curve made an outline of one node",
            svg("<path d=\"M50 10C0 90 100 90 50 10Z\"/>"),
            Truth::Mended(&[]),
        ),
        (
            "a hole too small for any drill broke the rules of the set",
            svg("<path d=\"M0 0H99V9H0Z\"/><circle cx=\"50\" cy=\"5\" r=\"0.004\"/>"),
            Truth::Mended(&[]),
        ),
        (
            "a style attribute was read in the square of its length",
            svg(&format!(
                "<path style=\"{}\" d=\"M0 0H99V9H0Z\"/>",
                "fill:none;".repeat(20_000)
            )),
            Truth::Refused("too many style rules"),
        ),
        (
            "kinds of things unknown were each told in a text of their own, which took seconds",
            dxf(&format!(
                "{}{}",
                plate(0.0, 0.0, 60.0, 12.0),
                "0|X|8|0|".repeat(300_000)
            )),
            Truth::Mended(&[]),
        ),
    ]
}

/// Valid drawings that use a bit of everything, small enough that a change often matters.
pub(crate) fn valid() -> Vec<(&'static str, Vec<u8>)> {
    let blocks = format!(
        "0|BLOCK|8|0|2|b|70|0|10|1|20|0|{}0|INSERT|8|0|2|c|10|2|20|1|70|3|44|3|0|ENDBLK|8|0|\
         0|BLOCK|8|0|2|c|0|CIRCLE|8|0|10|0|20|0|40|0.5|0|ENDBLK|",
        plate(0.0, 0.0, 60.0, 12.0)
    );
    let curves = "0|ARC|8|0|10|50|20|5|40|20|50|0|51|180|0|LINE|8|0|10|30|20|5|11|70|21|5|\
                  0|ELLIPSE|8|0|10|50|20|12|11|5|21|1|40|0.5|41|0|42|6.283185307179586|\
                  0|SPLINE|8|0|70|8|71|2|40|0|40|0|40|0|40|1|40|2|40|2|40|2|41|1|41|2|41|1|41|1|10|40|20|8|10|45|20|9|10|47|20|15|10|44|20|16|\
                  0|POLYLINE|8|0|66|1|70|1|0|VERTEX|8|0|10|60|20|8|42|0.3|0|VERTEX|8|0|10|62|20|8|0|VERTEX|8|0|10|62|20|10|0|SEQEND|8|0|";
    let knife = svg(
        "<style>.c{fill:none;stroke:#000}</style><g id=\"cut\"><path class=\"c\" d=\"M10 20H90V10H180L199 25V40H90V30H10Z\"/></g>\
         <g id=\"drill\" transform=\"translate(1 2) rotate(3)\"><circle cx=\"30\" cy=\"22\" r=\"1.6\"/><use xlink:href=\"#h\" x=\"9\"/></g>\
         <defs><ellipse id=\"h\" cx=\"40\" cy=\"22\" rx=\"2\" ry=\"2\"/></defs><g id=\"label\"><text x=\"3\" y=\"4\">a &amp; b</text></g>\
         <rect x=\"100\" y=\"20\" width=\"20\" height=\"6\" rx=\"3\"/><polygon points=\"130,20 140,20 135,30\"/>\
         <path d=\"m150 20a3 3 0 1 0 6 0 3 3 0 1 0-6 0q1 1 2 0t2 0s1 1 1 2\"/>",
    );
    vec![
        ("svg", knife.into_bytes()),
        ("dxf curves", dxf(curves).into_bytes()),
        (
            "dxf blocks",
            dxf_with(&blocks, "0|INSERT|8|0|2|b|10|9|20|9|41|2|42|2|50|30|").into_bytes(),
        ),
    ]
}

#[test]
fn the_valid_ones_are_read() {
    for (name, bytes) in valid() {
        let text = String::from_utf8(bytes).expect("it is text");
        let read = good(&text);
        assert!(!read.openings.is_empty(), "{name}: {read:?}");
    }
}

#[test]
fn found_cases_stay_mended() {
    for (name, text, truth) in found() {
        assert_eq!(judge(text.as_bytes()), Ok(()), "{name}");
        match truth {
            Truth::Mended(words) => {
                let told: Vec<String> = good(&text)
                    .repaired
                    .iter()
                    .map(ToString::to_string)
                    .collect();
                assert_eq!(told, words, "{name}");
                let bounds = good(&text).outline.bounds();
                for opening in good(&text).openings {
                    assert!(
                        bounds.contains_rect(opening.shape.contour().bounds()),
                        "{name}"
                    );
                }
            }
            Truth::Refused(words) => {
                let message = refused(&text);
                assert!(message.contains(words), "{name}: {message}");
            }
        }
    }
}
