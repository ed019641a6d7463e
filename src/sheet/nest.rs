//! A whole nest on one sheet: every knife where it lies on the stock, with its holes; and what a nest is made of and comes to.

use super::dxf::{DxfOptions, write_dxf};
use super::exports::ExportFile;
use super::font;
use super::model::{Anchor, Entity, Role, Shape, Sheet, Text};
use super::svg::{SvgOptions, write_svg};
use crate::geometry::{Contour, Motion, Point, Rect, Vec2};
use crate::knife::Knife;
use crate::nesting::{Blank, Nest, Stock, Turns};
use crate::units::{Length, LengthFormat, print_number};

/// Least and most height of a knife's name on the nest, mm.
const NAME_MM: (f64, f64) = (2.5, 8.0);
/// Most of a knife's length and of its height that its name takes.
const NAME_SHARE: (f64, f64) = (0.8, 0.3);

/// Height of the room that is kept for a name, as a share of its letters.
const NAME_AIR: f64 = 1.8;
/// Where a name is tried, from the middle of the steel on: along the knife and across it, as shares of its length and its height.
const NAME_STEPS: [f64; 13] = [
    0.0, 0.04, -0.04, 0.08, -0.08, 0.12, -0.12, 0.16, -0.16, 0.22, -0.22, 0.28, -0.28,
];
const NAME_LEVELS: [f64; 5] = [0.0, 0.1, -0.1, 0.2, -0.2];
/// A knife whose direction has this little to the side stands upright: turns are made of multiples of π.
const ON_END: f64 = 1e-9;

/// A knife's cutting sheet as a blank to be nested: what lies apart is what is cut, with the steel that is left on. `None` for a sheet whose first
/// entity is no outline, which no cutting sheet is.
#[must_use]
pub fn nest_blank(cutting: &Sheet, count: usize, turns: Turns, mirror: bool) -> Option<Blank> {
    let outline = match &cutting.entities.first()?.shape {
        Shape::Contour(outline) => outline.clone(),
        _ => return None,
    };
    Some(Blank {
        outline,
        count,
        turns,
        mirror,
    })
}

/// A knife's cutting sheet as a blank, along the rolling direction or in any turn. Cut with the other face up and turned over in the hand it is the same blank,
/// unless the bar's faces differ.
#[must_use]
pub fn knife_blank(
    knife: &Knife,
    cutting: &Sheet,
    count: usize,
    any_turn: bool,
    mirror: bool,
) -> Option<Blank> {
    let turns = if any_turn { Turns::Free } else { Turns::Along };
    let mirror = mirror && knife.stock.layering.core_offset_mm == 0.0;
    nest_blank(cutting, count, turns, mirror)
}

/// The bars that knives nested together are of, each with the first knife of it: `Paring knife, stock 2.0 mm steel`.
#[must_use]
pub fn nest_bars(cutting: &[Sheet]) -> Vec<String> {
    let mut bars: Vec<(&str, &str)> = Vec::new();
    for sheet in cutting {
        if !bars.iter().any(|(_, note)| *note == sheet.note) {
            bars.push((&sheet.name, &sheet.note));
        }
    }
    let told = bars.iter().map(|(name, note)| format!("{name}, {note}"));
    told.collect()
}

/// What must be said when knives that are nested together are not all of the same stock, which a bar or a sheet is; `None` when they are.
#[must_use]
pub fn nest_of_several_bars(cutting: &[Sheet]) -> Option<String> {
    let bars = nest_bars(cutting);
    (bars.len() > 1).then(|| format!("not all are of one bar: {}", bars.join("; ")))
}

/// The nest in a line: how many on how much of what.
#[must_use]
pub fn nest_words(nest: &Nest, stock: &Stock, lengths: LengthFormat) -> String {
    let print = |mm: f64| lengths.print(Length::mm(mm));
    let on = match stock {
        Stock::Bar {
            width_mm,
            length_mm,
        } => format!(
            "{} of {} by {}",
            print(nest.used_length_mm),
            print(*width_mm),
            print(*length_mm)
        ),
        Stock::Odd { .. } => "the piece".to_owned(),
    };
    format!(
        "{} placed on {on}, {} % of it steel of knives",
        nest.placed.len(),
        print_number(100.0 * nest.density, 1)
    )
}

/// The cutting files of a nest, `nest.dxf` (outlines and holes) and `nest.svg` (with the edge of the stock and names).
#[must_use]
pub fn nest_files(drawn: &Sheet) -> [ExportFile; 2] {
    [
        ("nest.dxf", write_dxf(drawn, &DxfOptions::default())),
        ("nest.svg", write_svg(drawn, &SvgOptions::default())),
    ]
    .map(|(name, text)| ExportFile {
        name: name.to_owned(),
        bytes: text.into_bytes(),
    })
}

/// The nest of knives whose cutting sheets are given by blank, in the coordinates of the stock: a bar has its corner at the origin and its length along x.
///
/// Outlines and slots to cut and holes to drill are the sheets' own, moved. The edge of the stock, its flaws and the end of the used length are frame lines,
/// and each knife bears its name along it, never upside down; neither belongs in a cutting file. Placed blanks without a sheet are left out.
#[must_use]
pub fn nest_sheet(name: &str, note: &str, cutting: &[Sheet], nest: &Nest, stock: &Stock) -> Sheet {
    let mut entities = Vec::new();
    let mut names = Vec::new();
    let places: Vec<Option<NamePlace>> = cutting.iter().map(NamePlace::on).collect();
    for placed in &nest.placed {
        let Some(sheet) = cutting.get(placed.blank) else {
            continue;
        };
        let moved = sheet
            .entities
            .iter()
            .map(|entity| entity.carried(&placed.motion));
        entities.extend(moved);
        if let Some(Some(place)) = places.get(placed.blank) {
            names.push(place.label(&sheet.name, &placed.motion));
        }
    }
    entities.extend(names);
    entities.extend(stock_entities(stock, nest.used_length_mm));
    Sheet {
        name: name.to_owned(),
        note: note.to_owned(),
        entities,
    }
}

/// Where a knife's name stands before the knife is moved, and how high its letters are.
struct NamePlace {
    middle: Point,
    height_mm: f64,
}

impl NamePlace {
    /// As large as it is read with ease and finds room; near the middle of the steel, on steel alone and clear of holes if there is such a place.
    fn on(sheet: &Sheet) -> Option<Self> {
        let bounds = |entity: &Entity| entity.shape.bounds();
        let around = sheet.entities.iter().filter_map(bounds);
        let around = around.reduce(|all, one| all.union(one))?;
        let (wide, high) = (
            NAME_SHARE.0 * around.width(),
            NAME_SHARE.1 * around.height(),
        );
        let per_mm = font::width_mm(&sheet.name, 1.0).max(f64::MIN_POSITIVE);
        let height_mm = (wide / per_mm).min(high).clamp(NAME_MM.0, NAME_MM.1);
        let place = |middle| Self { middle, height_mm };
        let Some((Shape::Contour(outline), rest)) = sheet
            .entities
            .split_first()
            .map(|(e, rest)| (&e.shape, rest))
        else {
            return Some(place(around.center()));
        };
        let index = outline.index();
        let holes: Vec<Rect> = rest.iter().filter_map(bounds).collect();
        let size = (per_mm * height_mm, NAME_AIR * height_mm);
        let stands = |middle: &Point| {
            let room = Rect::from_center_size(*middle, size);
            let ends = [room.x0, room.center().x, room.x1];
            let inside = |x: f64| [room.y0, room.y1].map(|y| index.contains(Point::new(x, y)));
            ends.into_iter().flat_map(inside).all(|inside| inside)
                && holes.iter().all(|hole| hole.intersect(room).area() <= 0.0)
        };
        let center = outline.moments().centroid;
        let tried = NAME_STEPS.iter().flat_map(|along| {
            let x = center.x + along * around.width();
            NAME_LEVELS.map(|across| Point::new(x, center.y + across * around.height()))
        });
        Some(place(tried.into_iter().find(stands).unwrap_or(center)))
    }

    /// The name along a knife that was moved, never upside down.
    fn label(&self, name: &str, motion: &Motion) -> Entity {
        let along = motion.apply_vec(Vec2::new(1.0, 0.0));
        // Read from below, or from the right where the knife stands upright.
        let turned = along.x < -ON_END || (along.x < ON_END && along.y < 0.0);
        let along = if turned { -along } else { along };
        let up = Vec2::new(-along.y, along.x);
        Entity::new(
            Role::Label,
            Shape::Text(Text {
                at: motion.apply(self.middle) - up * (self.height_mm / 2.0),
                height_mm: self.height_mm,
                text: name.to_owned(),
                anchor: Anchor::Middle,
                angle_rad: along.atan2(),
            }),
        )
    }
}

/// The edge of the stock with its flaws, and where the used length of a bar ends.
fn stock_entities(stock: &Stock, used_mm: f64) -> Vec<Entity> {
    let frame = |contour: Contour| Entity::new(Role::Frame, Shape::Contour(contour));
    match stock {
        Stock::Bar {
            width_mm,
            length_mm,
        } => {
            let edge = Rect::new(0.0, 0.0, *length_mm, *width_mm);
            let end = (used_mm > 0.0 && used_mm < *length_mm).then(|| {
                let (low, high) = (Point::new(used_mm, 0.0), Point::new(used_mm, *width_mm));
                Entity::line(Role::Frame, low, high)
            });
            let edge = frame(Contour::rounded_rect(edge, 0.0));
            std::iter::once(edge).chain(end).collect()
        }
        Stock::Odd { outline, flaws } => {
            let all = std::iter::once(outline).chain(flaws);
            all.cloned().map(frame).collect()
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::geometry::{Motion, Vec2};
    use crate::nesting::Placed;

    /// A plate of 40 × 10 with a hole at (30, 2).
    fn plate() -> Sheet {
        let circle = Shape::Circle {
            center: Point::new(30.0, 2.0),
            radius: 1.0,
        };
        Sheet {
            name: "plate".to_owned(),
            note: String::new(),
            entities: vec![
                Entity::new(
                    Role::Cut,
                    Shape::Contour(Contour::rounded_rect(Rect::new(0.0, 0.0, 40.0, 10.0), 0.0)),
                ),
                Entity::new(Role::Drill, circle),
            ],
        }
    }

    #[test]
    fn outlines_and_holes_go_where_they_are_placed() {
        let placed = |mirrored, turn_rad, x, y| Placed {
            blank: 0,
            motion: Motion {
                mirrored,
                turn_rad,
                shift: Vec2::new(x, y),
            },
        };
        let nest = Nest {
            placed: vec![placed(false, PI, 40.0, 10.0), placed(true, 0.0, 50.0, 10.0)],
            used_length_mm: 90.0,
            ..Nest::default()
        };
        let bar = Stock::Bar {
            width_mm: 10.0,
            length_mm: 500.0,
        };
        let sheet = nest_sheet("nest", "", &[plate()], &nest, &bar);
        // By hand: half a turn about the origin puts the hole at (−30, −2), mirroring at (30, −2).
        let holes: Vec<Point> = sheet
            .of_role(Role::Drill)
            .map(|e| e.shape.bounds().map_or(Point::ORIGIN, |b| b.center()))
            .collect();
        for (hole, expected) in holes.iter().zip([(10.0, 8.0), (80.0, 8.0)]) {
            assert!(hole.distance(Point::from(expected)) < 1e-9, "{holes:?}");
        }
        assert_eq!(holes.len(), 2);
        let cut: Vec<Rect> = sheet
            .of_role(Role::Cut)
            .filter_map(|e| e.shape.bounds())
            .collect();
        for (cut, expected) in cut.iter().zip([(0.0, 40.0), (50.0, 90.0)]) {
            assert!((cut.x0 - expected.0).abs() < 1e-9 && (cut.x1 - expected.1).abs() < 1e-9);
            assert!(cut.y0.abs() < 1e-9 && (cut.y1 - 10.0).abs() < 1e-9);
        }
        // The edge of the bar and the end of the used length; a name for each.
        assert_eq!(sheet.of_role(Role::Frame).count(), 2);
        assert_eq!(sheet.of_role(Role::Label).count(), 2);
    }

    /// In whatever turn a knife lies, its name is read along it, from below or from the right, and stays within its steel.
    #[test]
    fn names_lie_along_their_knives_and_never_upside_down() {
        for (turn_deg, read_deg) in [
            (0.0, 0.0),
            (30.0, 30.0),
            (90.0, 90.0),
            (120.0, -60.0),
            (180.0, 0.0),
            (270.0, 90.0),
            (-45.0, -45.0),
        ] {
            for mirrored in [false, true] {
                let motion = Motion {
                    mirrored,
                    turn_rad: f64::to_radians(turn_deg),
                    shift: Vec2::new(7.0, 5.0),
                };
                let nest = Nest {
                    placed: vec![Placed { blank: 0, motion }],
                    ..Nest::default()
                };
                let bar = Stock::Bar {
                    width_mm: 100.0,
                    length_mm: 500.0,
                };
                let sheet = nest_sheet("nest", "", &[plate()], &nest, &bar);
                let Shape::Text(text) = &sheet.of_role(Role::Label).next().expect("a name").shape
                else {
                    panic!("a name is a text");
                };
                let off = text.angle_rad - f64::to_radians(read_deg);
                assert!(off.abs() < 1e-9, "{turn_deg}: {}", text.angle_rad);
                // The plate is 40 × 10: three tenths of its height are 3 mm, and the middle of the letters is its own.
                assert!((text.height_mm - 3.0).abs() < 1e-9, "{}", text.height_mm);
                let up = Vec2::new(-text.angle_rad.sin(), text.angle_rad.cos());
                let middle = text.at + up * (text.height_mm / 2.0);
                assert!(middle.distance(motion.apply(Point::new(20.0, 5.0))) < 1e-9);
                assert!(font::width_mm(&text.text, text.height_mm) < 0.8 * 40.0);
            }
        }
    }

    /// A hole in the middle and a thin tang: the name stands beside the hole, on the broad part.
    #[test]
    fn names_keep_clear_of_holes_and_of_the_edge() {
        let mut sheet = plate();
        let corner = [(0.0, 4.0), (30.0, 4.0), (30.0, 0.0), (90.0, 0.0)];
        let rest = [(90.0, 20.0), (30.0, 20.0), (30.0, 8.0), (0.0, 8.0)];
        let corners = [corner, rest].concat();
        let outline = Contour::polygon(&corners.into_iter().map(Point::from).collect::<Vec<_>>());
        let center = outline.moments().centroid;
        sheet.entities = [
            Shape::Contour(outline.clone()),
            Shape::Circle {
                center,
                radius: 2.0,
            },
        ]
        .map(|shape| Entity::new(Role::Cut, shape))
        .into();
        let place = NamePlace::on(&sheet).expect("a place");
        let half = font::width_mm("plate", place.height_mm) / 2.0;
        let off = place.middle - center;
        assert!(
            off.x.abs() > half + 2.0 || off.y.abs() > 2.0 + place.height_mm / 2.0,
            "{off:?}"
        );
        assert!(place.middle.x - half > 30.0 && place.middle.x + half < 90.0);
    }

    /// The piece's own edge and its flaws are drawn, none of it to be cut; the words say how full it is.
    #[test]
    fn an_odd_piece_is_drawn_with_its_flaws() {
        let square =
            |x: f64, side: f64| Contour::rounded_rect(Rect::new(x, 0.0, x + side, side), 0.0);
        let stock = Stock::Odd {
            outline: square(0.0, 90.0),
            flaws: vec![square(50.0, 5.0), square(70.0, 5.0)],
        };
        let nest = Nest {
            density: 0.25,
            ..Nest::default()
        };
        let sheet = nest_sheet("nest", "", &[], &nest, &stock);
        assert_eq!(sheet.of_role(Role::Frame).count(), 3);
        assert_eq!(sheet.entities.len(), 3);
        let words = nest_words(&nest, &stock, LengthFormat::default());
        assert_eq!(words, "0 placed on the piece, 25.0 % of it steel of knives");
    }

    #[test]
    fn bars_of_nearly_one_thickness_are_told_apart_in_fractions() {
        let lengths = LengthFormat {
            unit: crate::units::LengthUnit::FractionInch,
            ..LengthFormat::default()
        };
        let set = crate::knife::orchard_set();
        let note = |mm| super::super::parts::material_note(mm, "steel_52100", &set, lengths);
        assert_ne!(note(2.4), note(2.5));
    }

    #[test]
    fn knives_of_different_bars_are_told() {
        let of = |note: &str| Sheet {
            note: note.to_owned(),
            ..plate()
        };
        let (thin, thick) = (of("stock 2.0 mm steel"), of("stock 5.0 mm steel"));
        assert_eq!(nest_of_several_bars(&[thin.clone(), thin.clone()]), None);
        let told = nest_of_several_bars(&[thin.clone(), thick, thin]).expect("two bars");
        assert_eq!(
            told,
            "not all are of one bar: plate, stock 2.0 mm steel; plate, stock 5.0 mm steel"
        );
    }

    #[test]
    fn what_is_nested_is_what_is_cut() {
        let blank = nest_blank(&plate(), 3, Turns::Along, true).expect("a plate");
        assert!((blank.outline.moments().area - 400.0).abs() < 1e-9);
        assert_eq!((blank.count, blank.mirror), (3, true));
        assert_eq!(nest_blank(&Sheet::default(), 1, Turns::Along, false), None);
    }
}
