//! Draws the icon of the program, a blank with its holes that lies balanced on a pin, as SVG and as PNG of every usual size, into
//! `assets/icon`: `cargo run --example icon`. Run it after changing the drawing.

use std::fmt::Write as _;
use std::io::{Cursor, Error};
use std::path::Path;

/// Sizes of the PNGs, pixels.
pub(crate) const SIZES: [u32; 8] = [16, 24, 32, 48, 64, 128, 256, 512];

/// The drawing is made on a square of this side; `y` is down.
const SIDE: f64 = 64.0;

const GROUND: [u8; 3] = [0x14, 0x27, 0x4a];
const STEEL: [u8; 3] = [0xe6, 0xeb, 0xf5];
const BEAM: [u8; 3] = [0x9f, 0xb2, 0xd3];
const PIN: [u8; 3] = [0xf0, 0xa2, 0x56];

type Place = (f64, f64);

/// What follows a place on an outline.
#[derive(Clone, Copy)]
enum Stroke {
    To(Place),
    Bend(Place, Place, Place),
}
use Stroke::{Bend, To};

/// A filled part of the drawing.
enum Part {
    /// A square with rounded corners: inset from the edge, radius.
    Ground(f64, f64),
    Round(Place, f64),
    Outline(Place, Vec<Stroke>),
}

/// The parts, from the lowest up, each with its color.
fn parts() -> Vec<(Part, [u8; 3])> {
    // Along the edge from the heel to the tip, back along the spine, round the butt.
    let blank = vec![
        Bend((47.0, 38.0), (55.0, 34.5), (60.0, 25.5)),
        Bend((53.0, 20.5), (45.0, 19.0), (35.0, 19.0)),
        To((11.0, 19.0)),
        Bend((2.5, 19.0), (2.5, 32.5), (11.0, 32.5)),
        To((33.0, 32.5)),
    ];
    let hole = |x: f64| (Part::Round((x, 25.75), 3.1), GROUND);
    vec![
        (Part::Ground(1.0, 13.0), GROUND),
        (Part::Outline((35.0, 38.0), blank), STEEL),
        hole(12.0),
        hole(21.0),
        hole(30.0),
        // The pin touches the tang from below; what carries it stands on the beam.
        (Part::Round((29.0, 37.0), 4.5), PIN),
        (
            Part::Outline((29.0, 41.0), vec![To((38.0, 52.0)), To((20.0, 52.0))]),
            PIN,
        ),
        (
            Part::Outline(
                (10.0, 52.0),
                vec![To((54.0, 52.0)), To((54.0, 55.5)), To((10.0, 55.5))],
            ),
            BEAM,
        ),
    ]
}

/// The drawing as SVG.
pub(crate) fn svg() -> String {
    let mut text = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"64\" height=\"64\" viewBox=\"0 0 64 64\">\n",
    );
    for (part, [r, g, b]) in parts() {
        let fill = format!("fill=\"#{r:02x}{g:02x}{b:02x}\"");
        let _ = match part {
            Part::Ground(inset, radius) => {
                let side = SIDE - 2.0 * inset;
                writeln!(
                    text,
                    "  <rect x=\"{inset}\" y=\"{inset}\" width=\"{side}\" height=\"{side}\" rx=\"{radius}\" {fill}/>"
                )
            }
            Part::Round((x, y), radius) => {
                writeln!(
                    text,
                    "  <circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" {fill}/>"
                )
            }
            Part::Outline((x, y), strokes) => {
                let mut path = format!("M{x} {y}");
                for stroke in strokes {
                    let _ = match stroke {
                        To((x, y)) => write!(path, " L{x} {y}"),
                        Bend((a, b), (c, d), (x, y)) => {
                            write!(path, " C{a} {b} {c} {d} {x} {y}")
                        }
                    };
                }
                writeln!(text, "  <path d=\"{path} Z\" {fill}/>")
            }
        };
    }
    text.push_str("</svg>\n");
    text
}

/// Corners of an outline, its bends in short chords.
fn corners(start: Place, strokes: &[Stroke]) -> Vec<Place> {
    let mut corners = vec![start];
    let mut at = start;
    for stroke in strokes {
        match *stroke {
            To(to) => corners.push(to),
            Bend(c, d, to) => corners.extend((1..=32).map(|i| {
                let t = f64::from(i) / 32.0;
                let s = 1.0 - t;
                let on = |a: f64, c: f64, d: f64, b: f64| {
                    s * s * s * a + 3.0 * s * s * t * c + 3.0 * s * t * t * d + t * t * t * b
                };
                (on(at.0, c.0, d.0, to.0), on(at.1, c.1, d.1, to.1))
            })),
        }
        at = corners.last().copied().unwrap_or(at);
    }
    corners
}

/// A part made ready to ask whether a place lies in it.
enum Ready {
    Ground(f64, f64),
    Round(Place, f64),
    Corners(Vec<Place>),
}

impl Ready {
    fn holds(&self, (x, y): Place) -> bool {
        match self {
            Self::Ground(inset, radius) => {
                let middle = SIDE / 2.0;
                let flat = middle - inset - radius;
                let over = |v: f64| ((v - middle).abs() - flat).max(0.0);
                over(x).hypot(over(y)) <= *radius
            }
            Self::Round(center, radius) => (x - center.0).hypot(y - center.1) <= *radius,
            Self::Corners(corners) => {
                let next = corners.iter().cycle().skip(1);
                let crossed = corners.iter().zip(next).filter(|((ax, ay), (bx, by))| {
                    (*ay <= y) != (*by <= y) && ax + (y - ay) / (by - ay) * (bx - ax) > x
                });
                crossed.count() % 2 == 1
            }
        }
    }
}

/// The drawing as pixels, red, green, blue and opacity, row by row from the top.
pub(crate) fn pixels(size: u32) -> Vec<u8> {
    let ready: Vec<(Ready, [u8; 3])> = parts()
        .into_iter()
        .map(|(part, color)| {
            let ready = match part {
                Part::Ground(inset, radius) => Ready::Ground(inset, radius),
                Part::Round(center, radius) => Ready::Round(center, radius),
                Part::Outline(start, strokes) => Ready::Corners(corners(start, &strokes)),
            };
            (ready, color)
        })
        .collect();
    let looks = if size > 64 { 4 } else { 12 };
    let step = SIDE / f64::from(size);
    let mut bytes = Vec::new();
    for row in 0..size {
        for column in 0..size {
            let (mut sum, mut covered) = ([0_u32; 3], 0_u32);
            for i in 0..looks * looks {
                let within = |n: u32, k: u32| {
                    (f64::from(n) + (f64::from(k) + 0.5) / f64::from(looks)) * step
                };
                let at = (within(column, i % looks), within(row, i / looks));
                let top = ready.iter().rev().find(|(part, _)| part.holds(at));
                if let Some((_, color)) = top {
                    covered += 1;
                    for (own, part) in sum.iter_mut().zip(color) {
                        *own += u32::from(*part);
                    }
                }
            }
            let all = looks * looks;
            let level = |v: u32, of: u32| u8::try_from((v + of / 2) / of.max(1)).unwrap_or(255);
            bytes.extend(sum.map(|v| level(v, covered)));
            bytes.push(level(255 * covered, all));
        }
    }
    bytes
}

/// A PNG of the drawing.
fn png(size: u32) -> Result<Vec<u8>, Error> {
    let mut bytes = Cursor::new(Vec::new());
    let format = image::ImageFormat::Png;
    image::write_buffer_with_format(
        &mut bytes,
        &pixels(size),
        size,
        size,
        image::ExtendedColorType::Rgba8,
        format,
    )
    .map_err(Error::other)?;
    Ok(bytes.into_inner())
}

fn main() -> Result<(), Error> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/icon");
    let put = |name: String, bytes: &[u8]| {
        tangwright::files::write_atomically(&folder.join(name), bytes).map_err(Error::other)
    };
    put("tangwright.svg".to_owned(), svg().as_bytes())?;
    for size in SIZES {
        put(format!("tangwright-{size}.png"), &png(size)?)?;
    }
    Ok(())
}
