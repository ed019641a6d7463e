//! What hostile drawings hold.

use tangwright::reading::drawing::MOST_BYTES;

use super::bench::{dxf, dxf_with, plate, svg};

/// One input: its name, whether it may be read all the same, and what makes it.
pub(crate) type Input = (&'static str, bool, fn() -> String);

const FULL: usize = MOST_BYTES;

const SVG: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" viewBox=\"0 0 100 100\" fill=\"none\" stroke=\"black\">";

/// `piece` again and again between `start` and `end`, `bytes` long at most.
fn filled(start: &str, piece: &str, end: &str, bytes: usize) -> String {
    let room = bytes.saturating_sub(start.len() + end.len());
    format!("{start}{}{end}", piece.repeat(room / piece.len()))
}

/// All inputs.
pub(crate) fn inputs() -> Vec<Input> {
    let groups = [
        bytes_and_elements(),
        copies(),
        painting(),
        numbers_and_paths(),
        crowds(),
        dxf_files(),
        dxf_counts(),
    ];
    groups.into_iter().flatten().collect()
}

/// SVG whose bytes or elements are too many, or too deep.
fn bytes_and_elements() -> Vec<Input> {
    vec![
        ("too large", false, || {
            filled("<svg>", " ", "</svg>", FULL + 2)
        }),
        ("blanks", false, || " ".repeat(FULL)),
        ("a million groups", false, || {
            format!(
                "{SVG}{}{}</svg>",
                "<g>".repeat(1_000_000),
                "</g>".repeat(1_000_000)
            )
        }),
        ("a million groups unclosed", false, || {
            format!("{SVG}{}", "<g>".repeat(1_000_000))
        }),
        ("groups to the brim", false, || filled(SVG, "<g>", "", FULL)),
        ("empty elements", false, || {
            filled(SVG, "<g/>", "</svg>", FULL)
        }),
        ("empty paths", false, || {
            filled(SVG, "<path/>", "</svg>", 3_000_000)
        }),
        ("groups as deep as may be", true, || {
            let open = "<g transform=\"rotate(1)\" opacity=\"0.9\"><switch><svg>".repeat(35);
            let close = "</svg></switch></g>".repeat(35);
            svg(&format!(
                "{open}<path d=\"M0 0H99V9H0Z\"/>{close}<path d=\"M0 0H99V9H0Z\"/>"
            ))
        }),
        ("words in words", false, || {
            svg(&format!(
                "<text>{}a{}</text>",
                "<tspan>".repeat(100_000),
                "</tspan>".repeat(100_000)
            ))
        }),
        ("a large picture", false, || {
            svg(&format!(
                "<image width=\"9\" height=\"9\" xlink:href=\"data:image/png;base64,{}\"/>",
                "AAAA".repeat(9_000_000)
            ))
        }),
        ("laughter", false, || {
            let mut text = String::from("<!DOCTYPE svg [<!ENTITY a0 \"ha\">");
            for i in 1..12 {
                let names = format!("&a{};", i - 1).repeat(10);
                text.push_str(&format!("<!ENTITY a{i} \"{names}\">"));
            }
            text + "]><svg xmlns=\"http://www.w3.org/2000/svg\"><text>&a11;</text></svg>"
        }),
        ("one long entity", false, || {
            let start = format!(
                "<!DOCTYPE svg [<!ENTITY a \"{}\">]>{SVG}<text>",
                "x".repeat(4000)
            );
            filled(&start, "&a;", "</text></svg>", 20_000_000)
        }),
        ("many attributes", false, || {
            let many: String = (0..500_000).map(|i| format!(" a{i}=\"\"")).collect();
            format!("{SVG}<path{many}/></svg>")
        }),
        ("attributes everywhere", false, || {
            filled(
                SVG,
                "<g a=\"\" b=\"\" c=\"\" d=\"\" e=\"\"/>",
                "</svg>",
                FULL,
            )
        }),
        ("namespaces", false, || {
            let many: String = (0..250).map(|i| format!(" xmlns:a{i}=\"b{i}\"")).collect();
            filled(
                &format!("<svg xmlns=\"http://www.w3.org/2000/svg\"{many}>"),
                "<g xmlns:x=\"y\"/>",
                "</svg>",
                10_000_000,
            )
        }),
    ]
}

/// Copies of copies.
fn copies() -> Vec<Input> {
    vec![
        ("copies of copies", false, || {
            let mut text = String::from("<g id=\"a0\"><path d=\"M0 0H9V9Z\"/></g>");
            for i in 1..30 {
                let copies = format!("<use xlink:href=\"#a{}\"/>", i - 1).repeat(10);
                text.push_str(&format!("<g id=\"a{i}\">{copies}</g>"));
            }
            svg(&text)
        }),
        ("copies in a circle", false, || {
            svg(
                "<g id=\"a\"><use xlink:href=\"#b\"/></g><g id=\"b\"><use xlink:href=\"#c\"/></g><g id=\"c\"><use xlink:href=\"#a\"/></g>",
            )
        }),
        ("many copies of much", false, || {
            let much = "<path d=\"M0 0H9V9Z\"/>".repeat(10_000);
            let copies = "<use xlink:href=\"#a\"/>".repeat(10_000);
            svg(&format!("<g id=\"a\">{much}</g>{copies}"))
        }),
        ("a chain of copies", false, || {
            let chain: String = (0..5000)
                .map(|i| format!("<use id=\"u{i}\" xlink:href=\"#u{}\"/>", i + 1))
                .collect();
            svg(&format!("{chain}<path id=\"u5000\" d=\"M0 0H9V9Z\"/>"))
        }),
    ]
}

/// What only paints, and styles.
fn painting() -> Vec<Input> {
    vec![
        ("markers on markers", true, || {
            let inside = "<path d=\"M0 0H1V1Z\"/>".repeat(1_000);
            let corners = "L1 1L2 0".repeat(5_000);
            svg(&format!(
                "<marker id=\"m\">{inside}</marker><path marker-mid=\"url(#m)\" d=\"M0 0{corners}\"/><path d=\"M0 0H99V9H0Z\"/>"
            ))
        }),
        ("patterns in patterns", true, || {
            let patterns: String = (0..300)
                .map(|i| format!("<pattern id=\"p{i}\" width=\"9\" height=\"9\"><path fill=\"url(#p{})\" stroke=\"url(#p{})\" d=\"M0 0H9V9Z\"/></pattern>", i + 1, (i * 7) % 300))
                .collect();
            svg(&format!(
                "{patterns}<path fill=\"url(#p0)\" d=\"M0 0H99V9H0Z\"/>"
            ))
        }),
        ("clips and masks and filters", true, || {
            let clips: String = (0..500)
                .map(|i| format!("<clipPath id=\"c{i}\" clip-path=\"url(#c{})\"><path d=\"M0 0H9V9Z\"/></clipPath>", (i + 1) % 500))
                .collect();
            svg(&format!(
                "{clips}<mask id=\"m\"><path mask=\"url(#m)\" d=\"M0 0H9V9Z\"/></mask><filter id=\"f\"><feImage xlink:href=\"#g\"/></filter>\
                <g id=\"g\" filter=\"url(#f)\" mask=\"url(#m)\" clip-path=\"url(#c0)\"><path d=\"M0 0H99V9H0Z\"/></g>"
            ))
        }),
        ("gradients for everyone", true, || {
            let stops = "<stop offset=\"0.5\"/>".repeat(30_000);
            let paths = "<path fill=\"url(#g)\" d=\"M0 0H9V9Z\"/>".repeat(30_000);
            svg(&format!(
                "<linearGradient id=\"g\">{stops}</linearGradient><path d=\"M0 0H99V9H0Z\"/>{paths}"
            ))
        }),
        ("gradients in a circle", true, || {
            let all: String = (0..2_000)
                .map(|i| format!("<radialGradient id=\"g{i}\" xlink:href=\"#g{}\"/><path fill=\"url(#g{i})\" stroke=\"url(#g0)\" d=\"M0 0H9V9Z\"/>", (i + 1) % 2_000))
                .collect();
            svg(&format!("{all}<path d=\"M0 0H99V9H0Z\"/>"))
        }),
        ("style rules", false, || {
            let rules = "g>g>g~path[d]{fill:none}".repeat(40_000);
            let paths = "<path d=\"M0 0H9V9Z\"/>".repeat(20_000);
            svg(&format!("<style>{rules}</style>{paths}"))
        }),
        ("one long selector", false, || {
            let rules = format!("*{}{{fill:none}}", "[d]".repeat(100_000));
            let paths = "<path d=\"M0 0H9V9Z\"/>".repeat(20_000);
            svg(&format!("<style>{rules}</style>{paths}"))
        }),
        ("styles in a style", false, || {
            svg(&format!(
                "<path style=\"{}\" d=\"M0 0H99V9H0Z\"/>",
                "fill:none;".repeat(500_000)
            ))
        }),
    ]
}

/// Numbers out of all measure, and long paths.
fn numbers_and_paths() -> Vec<Input> {
    vec![
        ("huge arc", false, || {
            svg("<path d=\"M0 0A1e300 1e300 0 1 1 1e300 0Z\"/>")
        }),
        ("huge circle", false, || svg("<circle r=\"1e38\"/>")),
        ("huge circles in em", false, || {
            svg("<circle style=\"font-size:1e30px\" r=\"1000000em\"/>")
        }),
        ("infinite transform", false, || {
            svg(
                "<g transform=\"scale(1e30)\"><g transform=\"scale(1e30)\"><rect width=\"9\" height=\"9\"/></g></g>",
            )
        }),
        ("no numbers", false, || {
            svg("<path d=\"MNaN,inf L-inf nan\"/><rect width=\"NaN\" height=\"1\"/>")
        }),
        ("long path of lines", false, || {
            filled(&format!("{SVG}<path d=\"M0 0"), "h1", "\"/></svg>", FULL)
        }),
        ("long path of arcs", false, || {
            filled(
                &format!("{SVG}<path d=\"M0 0"),
                "a1 1 0 012 0",
                "\"/></svg>",
                9_000_000,
            )
        }),
        ("long path of moves", false, || {
            filled(
                &format!("{SVG}<path d=\"M0 0"),
                "m1 1",
                "\"/></svg>",
                9_000_000,
            )
        }),
    ]
}

/// Drawings that are right, but crowded.
fn crowds() -> Vec<Input> {
    vec![
        ("crowded path", true, || {
            filled(
                &format!("{SVG}<path d=\"M0 0H99V9H0ZM0 0"),
                "L9 1 1 8",
                "\"/></svg>",
                500_000,
            )
        }),
        ("star of lines", false, || {
            let lines: String = (0..60_000)
                .map(|i| format!("<path d=\"M50 50L{} {}\"/>", i % 997, i % 991))
                .collect();
            svg(&lines)
        }),
        ("lines in one spot", false, || {
            let lines: String = (0..60_000)
                .map(|i| format!("<path d=\"M50 50l0.0{} 0.01\"/>", i % 97))
                .collect();
            svg(&lines)
        }),
        ("lines along each other", false, || {
            let lines: String = (0..60_000)
                .map(|i| format!("<path d=\"M{} 5H{}\"/>", i % 89, 90 + i % 97))
                .collect();
            svg(&lines)
        }),
        ("rings in rings", false, || {
            let rings: String = (1..20_000)
                .map(|i| {
                    format!(
                        "<circle cx=\"50\" cy=\"50\" r=\"{}\"/>",
                        f64::from(i) / 400.0
                    )
                })
                .collect();
            svg(&rings)
        }),
        ("holes by thousands", true, || {
            let holes: String = (0..4_900)
                .map(|i| {
                    format!(
                        "<circle cx=\"{}\" cy=\"{}\" r=\"0.4\"/>",
                        1 + i % 98,
                        1 + i / 98
                    )
                })
                .collect();
            svg(&format!("<rect width=\"100\" height=\"100\"/>{holes}"))
        }),
        ("a jagged outline with holes", true, || {
            let teeth: String = (0..9_000)
                .map(|i| format!("L{} {}", 0.01 * f64::from(i), i % 2))
                .collect();
            let holes: String = (0..4_900)
                .map(|i| format!("<path d=\"M{} {}h.4v.4z\"/>", 1 + i % 80, 10 + i / 80))
                .collect();
            svg(&format!("<path d=\"M0 90V0{teeth}V90Z\"/>{holes}"))
        }),
        ("not text", false, || svg("\u{0}\u{1}")),
    ]
}

/// DXF files whose lines are too many.
fn dxf_files() -> Vec<Input> {
    vec![
        ("dxf pairs to the brim", false, || {
            filled(
                "0\nSECTION\n2\nENTITIES\n",
                "0\nX\n",
                "0\nENDSEC\n0\nEOF\n",
                FULL,
            )
        }),
        ("dxf lines to the brim", false, || {
            filled(
                "0\nSECTION\n2\nENTITIES\n",
                "0\nLINE\n10\n1\n20\n2\n11\n3\n21\n4\n",
                "0\nENDSEC\n0\nEOF\n",
                FULL,
            )
        }),
        ("dxf blocks to the brim", false, || {
            filled(
                "0\nSECTION\n2\nBLOCKS\n",
                "0\nBLOCK\n2\na\n0\nENDBLK\n",
                "0\nENDSEC\n0\nEOF\n",
                FULL,
            )
        }),
        ("dxf one long polyline", false, || {
            filled(
                "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n",
                "10\n1\n20\n2\n",
                "0\nENDSEC\n0\nEOF\n",
                FULL,
            )
        }),
        ("dxf values without end", false, || {
            filled("0\nSECTION\n2\nENTITIES\n0\nLINE\n", "50\n1\n", "", FULL)
        }),
        ("dxf blank lines", false, || {
            filled("0\nSECTION\n", "\n", "", FULL)
        }),
    ]
}

/// DXF files with counts, blocks and numbers out of all measure.
fn dxf_counts() -> Vec<Input> {
    vec![
        ("dxf blocks in blocks", false, || {
            let mut blocks = format!("0|BLOCK|2|b0|{}0|ENDBLK|", plate(0.0, 0.0, 9.0, 9.0));
            for i in 1..20 {
                let inserts = format!("0|INSERT|2|b{}|10|1|20|1|", i - 1).repeat(10);
                blocks.push_str(&format!("0|BLOCK|2|b{i}|{inserts}0|ENDBLK|"));
            }
            dxf_with(&blocks, "0|INSERT|2|b19|10|0|20|0|")
        }),
        ("dxf block in itself", false, || {
            dxf_with(
                "0|BLOCK|2|b|0|INSERT|2|b|10|0|20|0|0|ENDBLK|",
                "0|INSERT|2|b|10|0|20|0|",
            )
        }),
        ("dxf billions of rows", false, || {
            let block = format!("0|BLOCK|2|b|{}0|ENDBLK|", plate(0.0, 0.0, 9.0, 9.0));
            dxf_with(
                &block,
                "0|INSERT|2|b|10|0|20|0|70|2000000000|71|2000000000|",
            )
        }),
        ("dxf billions of nothing", true, || {
            let empty = "0|BLOCK|2|b|0|ENDBLK|0|BLOCK|2|c|0|INSERT|2|b|10|0|20|0|70|2000000000|71|2000000000|0|ENDBLK|";
            dxf_with(
                empty,
                &format!(
                    "{}0|INSERT|2|c|10|0|20|0|70|2000000000|71|2000000000|",
                    plate(0.0, 0.0, 90.0, 9.0)
                ),
            )
        }),
        ("dxf billions in counts", true, || {
            dxf(&plate(0.0, 0.0, 90.0, 9.0).replace("90|4|", "90|4000000000|"))
        }),
        ("dxf counts beyond all", false, || {
            dxf(&plate(0.0, 0.0, 90.0, 9.0).replace("90|4|", "90|99999999999999999999|"))
        }),
        ("dxf spline of billions", false, || {
            dxf(
                "0|SPLINE|70|8|71|2000000000|72|2000000000|73|2000000000|40|0|40|1|10|0|20|0|10|1|20|1|",
            )
        }),
        ("dxf many weighted splines", false, || {
            let one = "0|SPLINE|71|3|40|0|40|0|40|0|40|0|40|1|40|1|40|1|40|1|41|1|41|1000000|41|0.000001|41|1|10|0|20|0|10|9|20|99|10|1|20|-99|10|5|20|1|";
            dxf(&one.repeat(3_000))
        }),
        ("dxf huge but finite", false, || {
            dxf(&plate(-9e11, -9e11, 9e11, 9e11))
        }),
        ("dxf no numbers", false, || {
            dxf(&plate(f64::NAN, 0.0, f64::INFINITY, 9.0))
        }),
    ]
}
