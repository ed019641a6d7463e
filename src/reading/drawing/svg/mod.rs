//! SVG as strokes, by way of `usvg`, which resolves units, view boxes, transforms, copies and styles.
//!
//! `usvg` trusts its input: a kilobyte can ask it for years of work. So the bytes are judged first ([`bytes`]), then the tree of elements
//! ([`limits`]), and only then does it get them. Coordinates come back in CSS pixels, 96 to the inch, and in single precision: a sheet of
//! 400 mm is true to 0.00002 mm.

mod bytes;
mod limits;

use std::f64::consts::FRAC_PI_2;

use kurbo::{Affine, CubicBez, Point, Vec2};
use usvg::tiny_skia_path::PathSegment;
use usvg::{Group, ImageHrefResolver, Node, Options, Tree, roxmltree};

use super::error::ImportError;
use super::strokes::{Role, Strokes};
use super::units::{PX_PER_INCH, UnitFound};
use super::{DrawingFormat, Drawn, LeftOut, MOST_PIECES};
use crate::geometry::{CircularArc, Piece};
use crate::units::MM_PER_INCH;
use limits::Census;

/// Reads an SVG.
pub(super) fn read(data: &[u8]) -> Result<Drawn, ImportError> {
    let text = bytes::judge(data)?;
    let options = roxmltree::ParsingOptions {
        allow_dtd: true,
        nodes_limit: limits::MOST_NODES,
        ..Default::default()
    };
    let document = roxmltree::Document::parse_with_options(text, options).map_err(not_xml)?;
    let census = limits::judge(&document)?;
    let tree = Tree::from_xmltree(&document, &usvg_options(&census)).map_err(not_svg)?;
    let scale = root_scale(&document, &tree);
    let mut walk = Walk {
        strokes: Strokes::default(),
        hidden: 0,
        images: 0,
    };
    walk.group(tree.root())?;
    let mut left_out = Vec::new();
    let mut leave = |what: &str, why: &str, count: usize| {
        if count > 0 {
            left_out.push(LeftOut::counted(what.to_owned(), why.to_owned(), count));
        }
    };
    leave("words", "turn them into paths to cut them", census.words);
    leave("pictures", "a picture has no lines to cut", walk.images);
    leave(
        "hidden lines",
        "they are not shown in the drawing",
        walk.hidden,
    );
    Ok(Drawn {
        format: DrawingFormat::Svg,
        strokes: walk.strokes,
        unit: scale.unit(),
        left_out,
        coarse: true,
    })
}

/// Nothing outside the file is opened, and nothing that only paints is worked out.
fn usvg_options(census: &Census) -> Options<'static> {
    Options {
        image_href_resolver: ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        style_sheet: census.style_sheet(),
        ..Options::default()
    }
}

fn svg_error(reason: impl Into<String>) -> ImportError {
    ImportError::Svg {
        reason: reason.into(),
    }
}

fn not_xml(error: roxmltree::Error) -> ImportError {
    match error {
        roxmltree::Error::NodesLimitReached => too_many_elements(),
        error => svg_error(format!(
            "the file is not whole or not XML: {error}; save it again as SVG"
        )),
    }
}

fn too_many_elements() -> ImportError {
    svg_error(format!(
        "the drawing has more than {} elements: save the knife alone",
        limits::MOST_NODES
    ))
}

fn not_svg(error: usvg::Error) -> ImportError {
    match error {
        usvg::Error::ElementsLimitReached => too_many_elements(),
        usvg::Error::InvalidSize => svg_error(
            "the drawing has no size: give its width and height in mm, or a viewBox, and save it again",
        ),
        error => svg_error(format!(
            "this is not a drawing that can be read: {error}; save it again as plain SVG"
        )),
    }
}

/// What became of the file's own numbers on the way to coordinates.
struct RootScale {
    /// Pixels for one of the file's numbers.
    px_per_unit: f64,
    /// The coordinates are to be multiplied by this: what single precision made wrong.
    mend: f64,
    /// The unit of width and height, if they have one.
    name: Option<&'static str>,
}

impl RootScale {
    fn unit(&self) -> UnitFound {
        let mm = MM_PER_INCH / PX_PER_INCH * self.mend;
        let per_unit = self.px_per_unit / self.mend;
        match self.name {
            Some(name) => UnitFound::Told { name, mm, per_unit },
            None => UnitFound::Usual { mm, per_unit },
        }
    }
}

/// How the root's size and view box scale what is drawn, worked out from its attributes in full precision.
fn root_scale(document: &roxmltree::Document<'_>, tree: &Tree) -> RootScale {
    let root = document.root_element();
    let lengths = ["width", "height"].map(|name| root.attribute(name).and_then(absolute_length));
    let name = lengths.iter().flatten().map(|(_, name)| *name).next();
    let done = match tree.root().children() {
        [Node::Group(group)] => f64::from(group.transform().sx.hypot(group.transform().ky)),
        _ => 1.0,
    };
    let mut scale = RootScale {
        px_per_unit: 1.0,
        mend: 1.0,
        name,
    };
    let view_box: Vec<f64> = root
        .attribute("viewBox")
        .unwrap_or_default()
        .split([' ', ',', '\t', '\n', '\r'])
        .filter(|word| !word.is_empty())
        .filter_map(|word| word.parse().ok())
        .collect();
    let &[_, _, width, height] = &view_box[..] else {
        return scale;
    };
    let told = [width, height]
        .into_iter()
        .zip(lengths)
        .filter_map(|(units, length)| length.map(|(px, _)| px / units));
    let exact = told.reduce(f64::min);
    let from_tree = f64::from(tree.size().width()) / width;
    scale.px_per_unit = exact.unwrap_or(from_tree);
    // Only a difference of rounding is mended; anything larger has a reason that `usvg` knows.
    if let Some(exact) = exact
        && (done / exact - 1.0).abs() < 1e-5
    {
        scale.mend = exact / done;
    }
    if !(scale.px_per_unit.is_finite() && scale.px_per_unit > 0.0) {
        scale.px_per_unit = 1.0;
    }
    scale
}

/// A length with an absolute unit, in pixels, and the name of the unit.
fn absolute_length(text: &str) -> Option<(f64, &'static str)> {
    let text = text.trim();
    [
        ("mm", PX_PER_INCH / MM_PER_INCH),
        ("cm", PX_PER_INCH / MM_PER_INCH * 10.0),
        ("in", PX_PER_INCH),
        ("pt", PX_PER_INCH / 72.0),
        ("pc", PX_PER_INCH / 6.0),
    ]
    .into_iter()
    .find_map(|(name, px)| {
        let number: f64 = text.strip_suffix(name)?.trim_end().parse().ok()?;
        (number.is_finite() && number > 0.0).then_some((number * px, name))
    })
}

/// Collects the strokes of a tree.
struct Walk {
    strokes: Strokes,
    hidden: usize,
    images: usize,
}

impl Walk {
    /// Goes through a group and all below it, without recursion.
    fn group(&mut self, root: &Group) -> Result<(), ImportError> {
        let mut waiting: Vec<(&Node, Role)> = Vec::new();
        waiting.extend(root.children().iter().rev().map(|node| (node, Role::Plain)));
        while let Some((node, role)) = waiting.pop() {
            match node {
                Node::Group(group) => {
                    let own = Role::named(group.id());
                    let role = if own == Role::Plain { role } else { own };
                    waiting.extend(group.children().iter().rev().map(|node| (node, role)));
                }
                Node::Path(path) if path.is_visible() => self.path(path, role)?,
                Node::Path(_) => self.hidden += 1,
                Node::Image(_) => self.images += 1,
                Node::Text(_) => {}
            }
        }
        Ok(())
    }

    fn path(&mut self, path: &usvg::Path, role: Role) -> Result<(), ImportError> {
        let map = to_affine(path.abs_transform());
        // What is filled and has no line of its own is the shape that the filling ends at.
        let filled = path.fill().is_some() && path.stroke().is_none();
        let mut from = self.strokes.pieces.len();
        let (mut begin, mut at) = (Point::ZERO, Point::ZERO);
        for segment in path.data().segments() {
            let point =
                |p: usvg::tiny_skia_path::Point| map * Point::new(f64::from(p.x), f64::from(p.y));
            let piece = match segment {
                PathSegment::MoveTo(p) => {
                    self.finish(from, filled, role);
                    from = self.strokes.pieces.len();
                    begin = point(p);
                    at = begin;
                    continue;
                }
                PathSegment::Close => {
                    self.finish(from, true, role);
                    from = self.strokes.pieces.len();
                    at = begin;
                    continue;
                }
                PathSegment::LineTo(p) => Piece::line(at, point(p)),
                PathSegment::QuadTo(q, p) => {
                    // Degree elevation: the inner control points lie two thirds of the way to the quadratic's.
                    let (q, p) = (point(q), point(p));
                    let two_thirds = 2.0 / 3.0;
                    Piece::Cubic(CubicBez::new(
                        at,
                        at.lerp(q, two_thirds),
                        p.lerp(q, two_thirds),
                        p,
                    ))
                }
                PathSegment::CubicTo(a, b, p) => {
                    arc_or_cubic(CubicBez::new(at, point(a), point(b), point(p)))
                }
            };
            at = piece.end();
            if !piece.is_finite() {
                return Err(ImportError::BadNumber {
                    place: "a transform".to_owned(),
                    number: "infinite".to_owned(),
                });
            }
            self.strokes.pieces.push(piece);
            if self.strokes.pieces.len() > MOST_PIECES {
                return Err(ImportError::TooManyPieces);
            }
        }
        self.finish(from, filled, role);
        Ok(())
    }

    fn finish(&mut self, from: usize, closed: bool, role: Role) {
        let alone = self.strokes.pieces.len() <= from + 1;
        let line = matches!(self.strokes.pieces.get(from), Some(Piece::Line(_)));
        self.strokes.finish(from, closed && !(alone && line), role);
    }
}

/// Cubics that leave the arc they stand for by less than this stay what they are, px: a micrometer.
const ARC_ERROR_PX: f64 = 0.004;
/// Handles of an arc's cubic lie within this share of their length of where they should, single precision and all.
const ARC_HANDLES: f64 = 2e-4;

/// A cubic, or the circular arc that it stands for.
///
/// Arcs come as cubics with handles of 4/3·tan(θ/4) of the radius, θ being the angle they turn by; such a cubic leaves the arc by some
/// 2.7e-4·(θ/90°)⁶ of the radius (M. Goldapp, "Approximation of circular arcs by cubic polynomials", CAGD 8 (1991)). Where that is worth
/// mending, a cubic with just these handles is taken for the arc.
fn arc_or_cubic(cubic: CubicBez) -> Piece {
    arc_of(&cubic).map_or(Piece::Cubic(cubic), Piece::Arc)
}

fn arc_of(c: &CubicBez) -> Option<CircularArc> {
    let (out, into, chord) = (c.p1 - c.p0, c.p3 - c.p2, c.p3 - c.p0);
    let (long, other) = (out.hypot(), into.hypot());
    if (long - other).abs() > ARC_HANDLES * long || chord.hypot2() == 0.0 {
        return None;
    }
    let sweep = out.cross(into).atan2(out.dot(into));
    let radius = chord.hypot() / (2.0 * (sweep / 2.0).sin().abs());
    let error = 2.7e-4 * (sweep / FRAC_PI_2).powi(6).abs() * radius;
    if !(error > ARC_ERROR_PX && sweep.abs() < 2.0) {
        return None;
    }
    // The chord makes half the angle with either end.
    let half = out.cross(chord).atan2(out.dot(chord));
    let handle = 4.0 / 3.0 * (sweep / 4.0).tan().abs() * radius;
    let matches =
        (half - sweep / 2.0).abs() <= ARC_HANDLES && (handle - long).abs() <= ARC_HANDLES * handle;
    if !matches {
        return None;
    }
    // From the chord itself, so that the ends stay where they are.
    let left = Vec2::new(-chord.y, chord.x);
    let center = c.p0.midpoint(c.p3) + left / (2.0 * (sweep / 2.0).tan());
    Some(CircularArc {
        center,
        radius,
        start_angle: (c.p0 - center).atan2(),
        sweep,
    })
}

/// The map of a transform, its heights turned over: `y` points down in an SVG.
fn to_affine(t: usvg::Transform) -> Affine {
    let [sx, ky, kx, sy, tx, ty] = [t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from);
    Affine::new([sx, -ky, kx, -sy, tx, -ty])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::arc_cubics;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_cubic_of_an_arc_is_taken_for_it(
            radius in 300.0_f64..3000.0, start in -3.0_f64..3.0, sweep in 1.0_f64..1.57, clockwise in any::<bool>(), nudge in -0.05_f64..0.05,
        ) {
            let sweep = if clockwise { -sweep } else { sweep };
            let arc = CircularArc { center: Point::new(30.0, 70.0), radius, start_angle: start, sweep };
            // One cubic for the whole arc, by the formula above.
            let k = 4.0 / 3.0 * (sweep / 4.0).tan() * radius;
            let along = |angle: f64| Vec2::new(-angle.sin(), angle.cos());
            let (a, b) = (arc.eval(0.0), arc.eval(1.0));
            let whole = CubicBez::new(a, a + along(start) * k, b - along(start + sweep) * k, b);
            let found = arc_of(&whole);
            prop_assert!(found.is_some());
            if let Some(found) = found {
                prop_assert!((found.radius - radius).abs() < 1e-9 * radius);
                prop_assert!(found.eval(0.5).distance(arc.eval(0.5)) < 1e-6);
            }
            // With its handles a hundredth off it is a curve of its own.
            let bent = CubicBez::new(a, a + along(start) * (k * 1.01), b - along(start + sweep) * (k * 1.01), b);
            prop_assert_eq!(arc_of(&bent), None);
            let askew = CubicBez::new(a, a + along(start + nudge) * k, b - along(start + sweep) * k, b);
            prop_assert!(nudge.abs() < 3e-3 || arc_of(&askew).is_none());
            // Small parts are true enough as they are.
            let part = arc_cubics(&CircularArc { radius: 5.0, ..arc });
            prop_assert!(part.iter().all(|c| arc_of(c).is_none()));
        }
    }
}
