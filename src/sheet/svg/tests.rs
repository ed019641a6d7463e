//! Read back by `usvg`.

use kurbo::Shape as _;
use proptest::prelude::*;
use usvg::roxmltree;

use super::super::svg_back::{DPI, paths, read};
use super::*;
use crate::geometry::{Contour, CubicBez};

fn sheet(entities: Vec<Entity>) -> Sheet {
    Sheet {
        name: "test".to_owned(),
        note: String::new(),
        entities,
    }
}

fn cut(contour: Contour) -> Entity {
    Entity::new(Role::Cut, Shape::Contour(contour))
}

/// Lines, a cubic, and arcs of both senses in one closed contour.
fn mixed() -> Contour {
    let arc = |x: f64, start_angle: f64, sweep: f64| {
        Piece::Arc(CircularArc {
            center: Point::new(x, 0.0),
            radius: 5.0,
            start_angle,
            sweep,
        })
    };
    Contour {
        pieces: vec![
            Piece::line(Point::new(-40.0, 0.0), Point::new(-15.0, 0.0)),
            arc(-10.0, PI, -PI),
            Piece::line(Point::new(-5.0, 0.0), Point::new(5.0, 0.0)),
            arc(10.0, PI, PI),
            Piece::line(Point::new(15.0, 0.0), Point::new(60.0, 0.0)),
            Piece::Cubic(CubicBez::new(
                (60.0, 0.0),
                (50.0, 40.0),
                (-20.0, 50.0),
                (-40.0, 0.0),
            )),
        ],
    }
}

#[test]
fn size_area_and_box_come_back() {
    let contour = mixed();
    let model = contour.moments();
    let bounds = contour.bounds();
    let svg = write_svg(&sheet(vec![cut(contour)]), &SvgOptions::default());
    let tree = read(&svg);
    // Physical size: the box and a rim of 2 mm all round, at 96 pixels to the inch.
    let width_mm = f64::from(tree.size().width()) * 25.4 / DPI;
    let height_mm = f64::from(tree.size().height()) * 25.4 / DPI;
    assert!((width_mm - bounds.width() - 4.0).abs() < 1e-3, "{width_mm}");
    assert!((height_mm - bounds.height() - 4.0).abs() < 1e-3);
    let found = paths(&tree, "cut");
    assert_eq!(found.len(), 1);
    // usvg counts in single precision and turns arcs into cubics, hence not the last digits.
    let area = found[0].area();
    assert!(
        (area.abs() / model.area - 1.0).abs() < 2e-5,
        "{area} for {}",
        model.area
    );
    // y down turns counterclockwise into a negative signed area with y read as up.
    assert!(area < 0.0);
    let b = found[0].bounding_box();
    assert!((b.x0 - 2.0).abs() < 1e-3 && (b.y0 - 2.0).abs() < 1e-3);
    assert!((b.width() - bounds.width()).abs() < 1e-3);
    assert!((b.height() - bounds.height()).abs() < 1e-3);
}

#[test]
fn up_stays_up() {
    // A wedge whose point is up: its centroid lies a third of its height above its base.
    let wedge = Contour::polygon(&[(0.0, 0.0).into(), (30.0, 0.0).into(), (15.0, 30.0).into()]);
    let tree = read(&write_svg(&sheet(vec![cut(wedge)]), &SvgOptions::default()));
    let points: Vec<Point> = paths(&tree, "cut")[0]
        .segments()
        .map(|s| kurbo::ParamCurve::start(&s))
        .collect();
    let top = points.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
    let apex = points.iter().filter(|p| p.y < top + 1.0).count();
    assert_eq!(apex, 1, "the point is at the top of the picture");
}

#[test]
fn curves_arcs_and_circles_are_kept() {
    let round = Entity::new(
        Role::Drill,
        Shape::Circle {
            center: Point::new(3.0, 4.0),
            radius: 2.5,
        },
    );
    let two_halves = cut(Contour::circle(Point::new(30.0, 4.0), 3.0));
    let svg = write_svg(
        &sheet(vec![cut(mixed()), round, two_halves]),
        &SvgOptions::default(),
    );
    let document = roxmltree::Document::parse(&svg).expect("well-formed XML");
    let count = |tag: &str| {
        document
            .descendants()
            .filter(|n| n.has_tag_name(tag))
            .count()
    };
    assert_eq!((count("path"), count("circle")), (1, 2));
    let path = document
        .descendants()
        .find(|n| n.has_tag_name("path"))
        .and_then(|n| n.attribute("d"))
        .expect("a path");
    // Half turns go out in two parts; the cubic stays one cubic.
    assert_eq!(path.matches('A').count(), 4);
    assert_eq!(path.matches('C').count(), 1);
    assert_eq!(path.matches('L').count(), 3);
}

#[test]
fn groups_follow_roles() {
    let at = |role| Entity::line(role, Point::ORIGIN, Point::new(5.0, 0.0));
    let all = sheet(vec![
        at(Role::Frame),
        at(Role::Cut),
        at(Role::Scribe),
        Entity::label(Point::ORIGIN, 3.0, "tip", Anchor::Middle),
    ]);
    let groups = |roles: &[Role]| {
        let options = SvgOptions {
            roles: roles.to_vec(),
            ..SvgOptions::default()
        };
        let svg = write_svg(&all, &options);
        let document = roxmltree::Document::parse(&svg).expect("well-formed XML");
        document
            .descendants()
            .filter(|n| n.has_tag_name("g"))
            .filter_map(|n| n.attribute("id").map(str::to_owned))
            .collect::<Vec<_>>()
    };
    assert_eq!(groups(&Role::ALL), ["cut", "scribe", "label", "frame"]);
    assert_eq!(groups(&Role::CUTTING), ["cut"]);
}

#[test]
fn any_words_are_well_formed() {
    let long = "long ".repeat(4000);
    for words in [
        "a & b",
        "<script>\"x\"</script>",
        "knife 🔪 Ω",
        "line\nbreak\u{0}\u{1b}",
        "]]>",
        "",
        &long,
    ] {
        let mut all = sheet(vec![Entity::label(
            Point::ORIGIN,
            3.0,
            words,
            Anchor::Start,
        )]);
        all.name = words.to_owned();
        let svg = write_svg(&all, &SvgOptions::default());
        let document = roxmltree::Document::parse(&svg).expect("well-formed XML");
        let kept: String = words
            .chars()
            .map(|c| if c.is_control() { ' ' } else { c })
            .collect();
        for tag in ["title", "text"] {
            let node = document
                .descendants()
                .find(|n| n.has_tag_name(tag))
                .expect(tag);
            assert_eq!(node.text().unwrap_or_default(), kept, "{tag}");
        }
    }
}

#[test]
fn an_empty_sheet_is_a_small_empty_picture() {
    let svg = write_svg(&Sheet::default(), &SvgOptions::default());
    let tree = read(&svg);
    // usvg may wrap the view box into a group of its own; it holds nothing.
    let hollow = |node: &usvg::Node| matches!(node, usvg::Node::Group(g) if !g.has_children());
    assert!(tree.root().children().iter().all(hollow));
    assert!(tree.size().width() > 0.0);
}

/// Four decimals keep nothing of an arc of 0.00002 mm or a line of 0.00001 mm, and an arc of no length is a stop for a cutter (SVG 1.1, F.6.2: it is left out).
#[test]
fn pieces_that_have_no_length_left_are_not_written() {
    let arc = CircularArc {
        center: Point::new(10.0, 5.0),
        radius: 5.0,
        start_angle: -PI / 2.0,
        sweep: 4e-6,
    };
    let short = Point::new(arc.eval(1.0).x, 1e-5);
    let chain = vec![
        Piece::line(Point::ZERO, Point::new(10.0, 0.0)),
        Piece::Arc(arc),
        Piece::line(arc.eval(1.0), short),
        Piece::line(short, Point::new(10.0, 8.0)),
    ];
    let svg = write_svg(
        &sheet(vec![Entity::new(Role::Cut, Shape::Open(chain))]),
        &SvgOptions::default(),
    );
    // Left edge at x = 0 and top at y = 8, with a rim of 2 mm all round.
    assert!(svg.contains("<path d=\"M2 10 L12 10 L12 2\"/>"), "{svg}");
}

#[test]
fn turned_words_turn_the_same_way_as_the_drawing() {
    let mut label = Entity::label(Point::new(10.0, 20.0), 3.0, "up", Anchor::Start);
    label.shape = label
        .shape
        .moved(std::f64::consts::FRAC_PI_2, crate::geometry::Vec2::ZERO);
    let svg = write_svg(&sheet(vec![label]), &SvgOptions::default());
    // Upward text is a turn by −90° where y points down (SVG 1.1, section 7.6).
    assert!(svg.contains("transform=\"rotate(-90 "), "{svg}");
}

proptest! {
    #[test]
    fn slots_and_plates_keep_their_area(
        length in 5.0..80.0, share in 0.05..1.0, angle in -3.2..3.2, x in -300.0..300.0, clockwise: bool
    ) {
        let width = length * share;
        let mut slot = Contour::slot(Point::new(x, 1.0), length, width, angle);
        if clockwise {
            slot = slot.reversed();
        }
        let tree = read(&write_svg(&sheet(vec![cut(slot)]), &SvgOptions::default()));
        let found = paths(&tree, "cut");
        // An obround is a rectangle and a disc.
        let exact = (length - width) * width + PI * width * width / 4.0;
        let area = found[0].area().abs();
        prop_assert!((area / exact - 1.0).abs() < 1e-3, "{} for {}", area, exact);
    }
}
