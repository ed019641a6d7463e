//! A whole nest on one sheet: every knife where it lies on the bar, with its holes.

use super::model::{Anchor, Entity, Role, Shape, Sheet};
use crate::geometry::{Contour, Motion, Point, Rect};
use crate::nesting::Nest;

/// Height of a knife's name on the nest, mm.
const NAME_MM: f64 = 3.0;

/// The nest of knives whose cutting sheets are given by blank, in the coordinates of the bar: its corner at the origin, its length along x.
///
/// Outlines and slots to cut and holes to drill are the sheets' own, moved. The bar's edge and the end of the used length are frame lines, and each knife
/// bears its name; neither belongs in a cutting file. Placed blanks without a sheet are left out.
#[must_use]
pub fn nest_sheet(name: &str, note: &str, cutting: &[Sheet], nest: &Nest, bar: Rect) -> Sheet {
    let mut entities = Vec::new();
    let mut names = Vec::new();
    for placed in &nest.placed {
        let Some(sheet) = cutting.get(placed.blank) else {
            continue;
        };
        let moved = sheet
            .entities
            .iter()
            .map(|entity| Entity::new(entity.role, carried(&entity.shape, &placed.motion)));
        let start = entities.len();
        entities.extend(moved);
        let around = entities
            .get(start..)
            .unwrap_or_default()
            .iter()
            .filter_map(|entity| entity.shape.bounds())
            .reduce(|all, one| all.union(one));
        if let Some(around) = around {
            names.push(Entity::label(
                around.center(),
                NAME_MM,
                sheet.name.clone(),
                Anchor::Middle,
            ));
        }
    }
    entities.extend(names);
    let edge = Contour::rounded_rect(bar, 0.0);
    entities.push(Entity::new(Role::Frame, Shape::Contour(edge)));
    let used = bar.x0 + nest.used_length_mm;
    if used > bar.x0 && used < bar.x1 {
        entities.push(Entity::line(
            Role::Frame,
            Point::new(used, bar.y0),
            Point::new(used, bar.y1),
        ));
    }
    Sheet {
        name: name.to_owned(),
        note: note.to_owned(),
        entities,
    }
}

/// A shape after a motion; mirrored words stay readable and run the other way.
fn carried(shape: &Shape, motion: &Motion) -> Shape {
    match shape {
        Shape::Contour(contour) => Shape::Contour(contour.moved(motion)),
        Shape::Open(pieces) => Shape::Open(pieces.iter().map(|p| p.moved(motion)).collect()),
        Shape::Circle { center, radius } => Shape::Circle {
            center: motion.apply(*center),
            radius: *radius,
        },
        Shape::Text(text) => {
            let mut text = text.clone();
            text.at = motion.apply(text.at);
            let angle = if motion.mirrored {
                -text.angle_rad
            } else {
                text.angle_rad
            };
            text.angle_rad = angle + motion.turn_rad;
            Shape::Text(text)
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::geometry::Vec2;
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
        let bar = Rect::new(0.0, 0.0, 500.0, 10.0);
        let sheet = nest_sheet("nest", "", &[plate()], &nest, bar);
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
}
