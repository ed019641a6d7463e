//! The neutral sheet: shapes with roles, in millimeters, that every writer and the window's preview share.

use crate::geometry::{Contour, Motion, Piece, Point, Rect, Vec2};

use super::font;

/// What an entity is for. Writers sort and draw by it; nothing else about a knife reaches them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Cut through.
    Cut,
    /// A round hole, to be drilled or cut.
    Drill,
    /// A line the cutter only marks: the letters of a name.
    Engrave,
    /// A line scratched or printed on the work.
    Scribe,
    /// Words.
    Label,
    /// Helps for the paper: check bars, join lines, borders.
    Frame,
}

impl Role {
    /// All roles, in the order writers put them.
    pub const ALL: [Self; 6] = [
        Self::Cut,
        Self::Drill,
        Self::Engrave,
        Self::Scribe,
        Self::Label,
        Self::Frame,
    ];

    /// What a cutting service needs, and no more.
    pub const CUTTING: [Self; 2] = [Self::Cut, Self::Drill];

    /// One lower-case word; layers and groups in files are named by it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Cut => "cut",
            Self::Drill => "drill",
            Self::Engrave => "engrave",
            Self::Scribe => "scribe",
            Self::Label => "label",
            Self::Frame => "frame",
        }
    }
}

/// Which end of a line of text its point is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// The text begins there.
    #[default]
    Start,
    /// Its middle is there.
    Middle,
    /// The text ends there.
    End,
}

/// One line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Where, on the line the letters stand on.
    pub at: Point,
    /// Height of capital letters, mm.
    pub height_mm: f64,
    /// The words.
    pub text: String,
    /// Which end of them is at `at`.
    pub anchor: Anchor,
    /// Direction of writing, radians counterclockwise from the x axis.
    pub angle_rad: f64,
}

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A closed contour.
    Contour(Contour),
    /// A chain of pieces that is not closed.
    Open(Vec<Piece>),
    /// A full circle.
    Circle {
        /// Center.
        center: Point,
        /// Radius, mm.
        radius: f64,
    },
    /// A line of text.
    Text(Text),
}

/// A shape and its role.
#[derive(Clone, Debug, PartialEq)]
pub struct Entity {
    /// What it is for.
    pub role: Role,
    /// What it is.
    pub shape: Shape,
}

/// Everything that leaves the program on one drawing. Millimeters, `y` up.
///
/// What construction guarantees: nothing beyond holding the entities. What the caller must keep: every number is finite
/// ([`Sheet::is_finite`] tells); the sheets this room makes are.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// Name of what is drawn.
    pub name: String,
    /// One line about the stock it is made from; may be empty.
    pub note: String,
    /// The entities, in drawing order.
    pub entities: Vec<Entity>,
}

impl Text {
    /// The four corners of the box the words fill, from below the line (for tails of letters) to the top of capitals.
    #[must_use]
    pub fn corners(&self) -> [Point; 4] {
        let width = font::width_mm(&self.text, self.height_mm);
        text_corners(self.at, width, self.height_mm, self.anchor, self.angle_rad)
    }

    fn bounds(&self) -> Rect {
        let [a, b, c, d] = self.corners();
        Rect::from_points(a, c).union_pt(b).union_pt(d)
    }
}

/// The corners of [`Text::corners`] for words of a known width.
pub(super) fn text_corners(
    at: Point,
    width: f64,
    height_mm: f64,
    anchor: Anchor,
    angle_rad: f64,
) -> [Point; 4] {
    /// How far letters like `g` reach below the line, as a share of the capitals.
    const TAIL: f64 = 0.3;
    let left = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::End => -width,
    };
    let along = Vec2::from_angle(angle_rad);
    let up = Vec2::new(-along.y, along.x);
    let corner = |x: f64, y: f64| at + along * x + up * y;
    let (low, high) = (-TAIL * height_mm, height_mm);
    [
        corner(left, low),
        corner(left + width, low),
        corner(left + width, high),
        corner(left, high),
    ]
}

impl Shape {
    /// A single straight line.
    #[must_use]
    pub fn line(from: Point, to: Point) -> Self {
        Self::Open(vec![Piece::line(from, to)])
    }

    /// The smallest upright box around it; `None` for a shape of no pieces.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        let around = |pieces: &[Piece]| {
            pieces
                .iter()
                .map(Piece::bounds)
                .reduce(|all, one| all.union(one))
        };
        match self {
            Self::Contour(contour) => around(&contour.pieces),
            Self::Open(pieces) => around(pieces),
            Self::Circle { center, radius } => Some(Rect::from_center_size(
                *center,
                (2.0 * radius, 2.0 * radius),
            )),
            Self::Text(text) => Some(text.bounds()),
        }
    }

    /// The shape turned about the origin by `turn_rad` and then shifted. Text turns with it.
    #[must_use]
    pub fn moved(&self, turn_rad: f64, shift: Vec2) -> Self {
        let motion = Motion {
            mirrored: false,
            turn_rad,
            shift,
        };
        self.carried(&motion)
    }

    /// The shape after a motion; mirrored words stay readable and run the other way.
    #[must_use]
    pub fn carried(&self, motion: &Motion) -> Self {
        match self {
            Self::Contour(contour) => Self::Contour(contour.moved(motion)),
            Self::Open(pieces) => Self::Open(pieces.iter().map(|p| p.moved(motion)).collect()),
            Self::Circle { center, radius } => Self::Circle {
                center: motion.apply(*center),
                radius: *radius,
            },
            Self::Text(text) => {
                let angle = if motion.mirrored {
                    -text.angle_rad
                } else {
                    text.angle_rad
                };
                Self::Text(Text {
                    at: motion.apply(text.at),
                    angle_rad: angle + motion.turn_rad,
                    ..text.clone()
                })
            }
        }
    }

    fn is_finite(&self) -> bool {
        let numbers = |pieces: &[Piece]| {
            pieces.iter().all(|piece| match piece {
                Piece::Line(line) => line.is_finite(),
                Piece::Arc(arc) => {
                    arc.center.is_finite()
                        && arc.radius.is_finite()
                        && arc.start_angle.is_finite()
                        && arc.sweep.is_finite()
                }
                Piece::Cubic(cubic) => cubic.is_finite(),
            })
        };
        match self {
            Self::Contour(contour) => numbers(&contour.pieces),
            Self::Open(pieces) => numbers(pieces),
            Self::Circle { center, radius } => center.is_finite() && radius.is_finite(),
            Self::Text(text) => {
                text.at.is_finite() && text.height_mm.is_finite() && text.angle_rad.is_finite()
            }
        }
    }
}

impl Entity {
    /// A shape with a role.
    #[must_use]
    pub fn new(role: Role, shape: Shape) -> Self {
        Self { role, shape }
    }

    /// The same after a motion.
    #[must_use]
    pub fn carried(&self, motion: &Motion) -> Self {
        Self::new(self.role, self.shape.carried(motion))
    }

    /// A straight line.
    #[must_use]
    pub fn line(role: Role, from: Point, to: Point) -> Self {
        Self::new(role, Shape::line(from, to))
    }

    /// Level words.
    #[must_use]
    pub fn label(at: Point, height_mm: f64, text: impl Into<String>, anchor: Anchor) -> Self {
        Self::new(
            Role::Label,
            Shape::Text(Text {
                at,
                height_mm,
                text: text.into(),
                anchor,
                angle_rad: 0.0,
            }),
        )
    }
}

impl Sheet {
    /// The smallest upright box around everything; `None` for an empty sheet.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        self.entities
            .iter()
            .filter_map(|entity| entity.shape.bounds())
            .reduce(|all, one| all.union(one))
    }

    /// Whether every number on the sheet is finite.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        self.entities.iter().all(|entity| entity.shape.is_finite())
    }

    /// The entities of one role, in drawing order.
    pub fn of_role(&self, role: Role) -> impl Iterator<Item = &Entity> {
        self.entities.iter().filter(move |e| e.role == role)
    }

    /// The sheet with the entities of some roles only.
    #[must_use]
    pub fn only(&self, roles: &[Role]) -> Self {
        Self {
            name: self.name.clone(),
            note: self.note.clone(),
            entities: self
                .entities
                .iter()
                .filter(|entity| roles.contains(&entity.role))
                .cloned()
                .collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, PI};

    use super::*;

    #[test]
    fn bounds_hold_circles_arcs_and_words() {
        let mut sheet = Sheet::default();
        assert_eq!(sheet.bounds(), None);
        sheet.entities.push(Entity::new(
            Role::Drill,
            Shape::Circle {
                center: Point::new(10.0, 5.0),
                radius: 2.0,
            },
        ));
        assert_eq!(sheet.bounds(), Some(Rect::new(8.0, 3.0, 12.0, 7.0)));
        // A slot 30 by 10 at 90 degrees is 10 wide and 30 high.
        let slot = Contour::slot(Point::ORIGIN, 30.0, 10.0, FRAC_PI_2);
        sheet
            .entities
            .push(Entity::new(Role::Cut, Shape::Contour(slot)));
        let bounds = sheet.bounds().expect("two shapes");
        assert!((bounds.x0 + 5.0).abs() < 1e-12 && (bounds.y1 - 15.0).abs() < 1e-12);
        sheet.entities.push(Entity::label(
            Point::new(20.0, 0.0),
            3.0,
            "heel",
            Anchor::Start,
        ));
        let wider = sheet.bounds().expect("three shapes");
        assert!((wider.x1 - 20.0 - font::width_mm("heel", 3.0)).abs() < 1e-12);
    }

    #[test]
    fn turning_a_sheet_turns_its_words() {
        let label = Entity::label(Point::new(10.0, 0.0), 3.0, "tip", Anchor::Start);
        let Shape::Text(turned) = label.shape.moved(FRAC_PI_2, Vec2::new(1.0, 2.0)) else {
            panic!("text stays text");
        };
        assert!(turned.at.distance(Point::new(1.0, 12.0)) < 1e-12);
        // The words now run upward: the box is as high as they are long.
        let height = turned.bounds().height();
        assert!((height - font::width_mm("tip", 3.0)).abs() < 1e-9);
    }

    #[test]
    fn numbers_that_are_not_finite_are_found() {
        let circle = |radius| Sheet {
            entities: vec![Entity::new(
                Role::Drill,
                Shape::Circle {
                    center: Point::ORIGIN,
                    radius,
                },
            )],
            ..Sheet::default()
        };
        assert!(circle(PI).is_finite());
        assert!(!circle(f64::NAN).is_finite());
    }

    #[test]
    fn roles_have_one_word_each() {
        for role in Role::ALL {
            assert!(role.name().bytes().all(|b| b.is_ascii_lowercase()));
        }
        assert_eq!(Role::CUTTING.map(Role::name), ["cut", "drill"]);
    }
}
