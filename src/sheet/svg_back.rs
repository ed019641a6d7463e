//! Sheets read back from SVG by `usvg` (resvg project), for tests: it reads one user unit as one pixel and applies the outer size itself.

use kurbo::BezPath;
use usvg::tiny_skia_path::PathSegment;

use crate::geometry::Point;

/// CSS pixels to the inch, as SVG reads physical sizes.
pub(super) const DPI: f64 = 96.0;

pub(super) fn read(svg: &str) -> usvg::Tree {
    usvg::Tree::from_str(svg, &usvg::Options::default()).expect("usvg reads it")
}

/// All paths of the group with this id, in mm, y down.
pub(super) fn paths(tree: &usvg::Tree, id: &str) -> Vec<BezPath> {
    let mut found = Vec::new();
    let Some(usvg::Node::Group(group)) = tree.node_by_id(id) else {
        return found;
    };
    for node in group.children() {
        let usvg::Node::Path(path) = node else {
            continue;
        };
        let mut bez = BezPath::new();
        let t = path.abs_transform();
        let mm = |p: usvg::tiny_skia_path::Point| {
            let (x, y) = (
                f64::from(t.sx * p.x + t.kx * p.y + t.tx),
                f64::from(t.ky * p.x + t.sy * p.y + t.ty),
            );
            Point::new(x * 25.4 / DPI, y * 25.4 / DPI)
        };
        for segment in path.data().segments() {
            match segment {
                PathSegment::MoveTo(p) => bez.move_to(mm(p)),
                PathSegment::LineTo(p) => bez.line_to(mm(p)),
                PathSegment::QuadTo(a, p) => bez.quad_to(mm(a), mm(p)),
                PathSegment::CubicTo(a, b, p) => bez.curve_to(mm(a), mm(b), mm(p)),
                PathSegment::Close => bez.close_path(),
            }
        }
        found.push(bez);
    }
    found
}
