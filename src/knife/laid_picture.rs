//! A picture laid under the drawing of a knife: which file it is, and how it lies on the bench.

use std::f64::consts::{PI, TAU};

use crate::geometry::{Motion, Point, Projection, Rect, Vec2, is_convex};

/// Most pixels along a side of a picture, as far as a design remembers one.
pub const MOST_PICTURE_SIDE_PX: u32 = 1_000_000;
/// Bench for a pixel, or for a millimeter of the sheet, mm: from a microscope's to a landscape's.
pub const PICTURE_SCALE: (f64, f64) = (1e-4, 1e3);

/// A new picture shows so strongly: names and lines over white paper can still be read.
const FIRST_STRENGTH: f64 = 0.4;

/// A picture under the drawing. Its file stays where it is, untouched; a design only remembers where that was and how the picture lies.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidPicture {
    /// Where its file is: its whole path in memory; in a design's file a path from that file's folder, with `/` between its parts, if it lies below.
    pub file: String,
    /// Pixels side by side of the upright picture.
    pub width_px: u32,
    /// Rows of the upright picture.
    pub height_px: u32,
    /// The sheet it was squared by; nothing while it lies as the camera saw it.
    pub squared: Option<SquaredBy>,
    /// Where the middle of the picture lies, or that of the sheet it is squared by.
    pub middle: Point,
    /// Turn about the middle, radians, counterclockwise, after it was mirrored.
    pub turn_rad: f64,
    /// Whether it is seen from the other face: upper and lower side of the picture change places.
    pub mirrored: bool,
    /// Millimeters of the bench for a pixel, or for a millimeter of the sheet where it is squared.
    pub scale: f64,
    /// How strongly it shows, 0 (not at all) to 1.
    pub strength: f64,
    /// Whether it is held where it lies.
    pub locked: bool,
}

/// A sheet of known size in a picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SquaredBy {
    /// Its corners in pixels of the picture, `x` to the right and `y` down: lower left, lower right, upper right, upper left.
    pub corners: [Point; 4],
    /// Length of the sides from the first corner to the second, and from the third to the fourth, mm.
    pub width_mm: f64,
    /// Length of the other two, mm.
    pub height_mm: f64,
    /// Whether the knife lies beside the sheet, not on it.
    pub beside: bool,
}

impl SquaredBy {
    /// A sheet by four corners in any order and the lengths of its sides: the longer one belongs to the sides that look longer. `None` when the
    /// corners make no figure that bulges at each.
    #[must_use]
    pub fn of(corners: [Point; 4], sides_mm: (f64, f64), beside: bool) -> Option<Self> {
        let corners = in_turn(corners).filter(|corners| is_convex(*corners))?;
        let [a, b, c, d] = corners;
        let level = a.distance(b) + c.distance(d);
        let upright = b.distance(c) + d.distance(a);
        let (long, short) = (sides_mm.0.max(sides_mm.1), sides_mm.0.min(sides_mm.1));
        let (width_mm, height_mm) = if level >= upright {
            (long, short)
        } else {
            (short, long)
        };
        Some(Self {
            corners,
            width_mm,
            height_mm,
            beside,
        })
    }

    /// The same sheet with its sides the other way, where the picture was taken so flat that the longer ones look shorter.
    #[must_use]
    pub fn other_way(self) -> Self {
        Self {
            width_mm: self.height_mm,
            height_mm: self.width_mm,
            ..self
        }
    }
}

/// Corners in turn round their middle, so that the lowest side comes first, from left to right, as seen with `y` down.
fn in_turn(corners: [Point; 4]) -> Option<[Point; 4]> {
    let sum = corners.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
    let middle = (sum / 4.0).to_point();
    let mut turned = corners;
    // Counterclockwise on the bench is with `y` down against the angle.
    let angle = |p: &Point| (*p - middle).atan2();
    turned.sort_by(|p, q| angle(q).total_cmp(&angle(p)));
    let side = |i: usize| Some((*turned.get(i)?, *turned.get((i + 1) % 4)?));
    let low = |i: &usize| side(*i).map_or(f64::MIN, |(p, q)| p.y + q.y);
    let first = (0..4).max_by(|i, j| low(i).total_cmp(&low(j)))?;
    turned.rotate_left(first);
    Some(turned)
}

impl LaidPicture {
    /// A picture that was not looked at yet: as large on the bench as a knife, its middle at a place.
    #[must_use]
    pub fn new(
        file: String,
        (width_px, height_px): (u32, u32),
        middle: Point,
        wide_mm: f64,
    ) -> Self {
        let wide = f64::from(width_px.max(1));
        Self {
            file,
            width_px,
            height_px,
            squared: None,
            middle,
            turn_rad: 0.0,
            mirrored: false,
            scale: (wide_mm / wide).clamp(PICTURE_SCALE.0, PICTURE_SCALE.1),
            strength: FIRST_STRENGTH,
            locked: false,
        }
    }

    /// Pixels side by side and rows of a picture of this size, whole ones; a side has at least one.
    #[must_use]
    pub fn size_px(size: kurbo::Size) -> (u32, u32) {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a picture's side is positive and far shorter"
        )]
        let side = |length: f64| length.round().max(1.0) as u32;
        (side(size.width), side(size.height))
    }

    /// The corners of the whole picture in its pixels: lower left, lower right, upper right, upper left.
    #[must_use]
    pub fn own_corners(&self) -> [Point; 4] {
        let (w, h) = (f64::from(self.width_px), f64::from(self.height_px));
        [(0.0, h), (w, h), (w, 0.0), (0.0, 0.0)].map(Point::from)
    }

    /// The way from pixels of the picture to the bench, mm; `None` when it has no size or its sheet's corners make no figure.
    #[must_use]
    pub fn bench_from_picture(&self) -> Option<Projection> {
        let (from, width, height) = match &self.squared {
            None => {
                let (w, h) = (f64::from(self.width_px), f64::from(self.height_px));
                (self.own_corners(), w, h)
            }
            Some(sheet) => (sheet.corners, sheet.width_mm, sheet.height_mm),
        };
        let half = Vec2::new(width, height) * (self.scale / 2.0);
        let signs = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
        let lies = Motion {
            mirrored: self.mirrored,
            turn_rad: self.turn_rad,
            shift: self.middle.to_vec2(),
        };
        let to = signs.map(|(x, y)| lies.apply(Point::new(x * half.x, y * half.y)));
        Projection::of_corners(from, to)
    }

    /// What of the bench it covers, mm: the sheet where the knife lies on one, else the whole picture. `None` when that has no bounds, for the
    /// picture reaches to its horizon.
    #[must_use]
    pub fn covers(&self) -> Option<Rect> {
        let way = self.bench_from_picture()?;
        let corners = match &self.squared {
            Some(sheet) if !sheet.beside => sheet.corners,
            _ => self.own_corners(),
        };
        let mut seen = corners.iter().map(|p| way.apply(*p));
        let first = seen.next()??;
        seen.try_fold(Rect::from_points(first, first), |all, p| {
            Some(all.union_pt(p?))
        })
    }

    /// The picture after a motion of the bench.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Self {
        let own = if motion.mirrored {
            -self.turn_rad
        } else {
            self.turn_rad
        };
        Self {
            middle: motion.apply(self.middle),
            turn_rad: within_a_turn(own + motion.turn_rad),
            mirrored: self.mirrored != motion.mirrored,
            ..self.clone()
        }
    }

    /// The picture turned on about its middle, radians, counterclockwise.
    #[must_use]
    pub fn turned(&self, by_rad: f64) -> Self {
        Self {
            turn_rad: within_a_turn(self.turn_rad + by_rad),
            ..self.clone()
        }
    }

    /// The picture seen from the other face, about the upright line through its middle.
    #[must_use]
    pub fn turned_over(&self) -> Self {
        // Left and right change places as upper and lower side do when it is then turned by half.
        Self {
            mirrored: !self.mirrored,
            turn_rad: within_a_turn(PI - self.turn_rad),
            ..self.clone()
        }
    }

    /// The picture grown by a factor about a place that stays.
    #[must_use]
    pub fn grown(&self, by: f64, about: Point) -> Self {
        Self {
            middle: about + (self.middle - about) * by,
            scale: self.scale * by,
            ..self.clone()
        }
    }

    /// The picture squared by a sheet, which comes to lie where it was seen: its middle, and its lower side's direction, stay.
    #[must_use]
    pub fn squared_by(&self, sheet: SquaredBy) -> Self {
        let seen = self.bench_from_picture();
        let middle = |seen: &Projection| {
            // The middle of a sheet is seen where its diagonals cross.
            let sheet_from_square = Projection::of_corners(
                [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)].map(Point::from),
                sheet.corners,
            )?;
            seen.apply(sheet_from_square.apply(Point::new(0.5, 0.5))?)
        };
        Self {
            middle: seen.as_ref().and_then(middle).unwrap_or(self.middle),
            scale: 1.0,
            squared: Some(sheet),
            ..self.clone()
        }
    }

    /// The picture as the camera saw it again, its middle where that of the sheet was and about as large.
    #[must_use]
    pub fn unsquared(&self) -> Self {
        let seen = self.bench_from_picture();
        let middle = Point::new(
            f64::from(self.width_px) / 2.0,
            f64::from(self.height_px) / 2.0,
        );
        let at = seen.as_ref().and_then(|seen| seen.apply(middle));
        let scale = seen.as_ref().and_then(|seen| seen.scale_at(middle));
        let (low, high) = PICTURE_SCALE;
        Self {
            squared: None,
            middle: at.unwrap_or(self.middle),
            scale: scale.unwrap_or(self.scale).clamp(low, high),
            ..self.clone()
        }
    }
}

/// The same turn, from −π to π.
fn within_a_turn(rad: f64) -> f64 {
    let turn = rad.rem_euclid(TAU);
    if turn > PI { turn - TAU } else { turn }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: Point, b: Point) {
        assert!(a.distance(b) < 1e-6, "{a} is not {b}");
    }

    fn picture() -> LaidPicture {
        LaidPicture::new("a.png".into(), (400, 200), Point::new(10.0, 5.0), 100.0)
    }

    #[test]
    fn a_plain_picture_is_scaled_turned_and_mirrored_by_hand() {
        let own = picture();
        let way = own.bench_from_picture().unwrap();
        // A quarter of a millimeter to the pixel: 200 px from the middle are 50 mm.
        near(
            way.apply(Point::new(200.0, 100.0)).unwrap(),
            Point::new(10.0, 5.0),
        );
        near(
            way.apply(Point::new(400.0, 0.0)).unwrap(),
            Point::new(60.0, 30.0),
        );
        assert_eq!(own.covers(), Some(Rect::new(-40.0, -20.0, 60.0, 30.0)));
        let turned = LaidPicture {
            turn_rad: PI / 2.0,
            ..own.clone()
        };
        let way = turned.bench_from_picture().unwrap();
        near(
            way.apply(Point::new(400.0, 100.0)).unwrap(),
            Point::new(10.0, 55.0),
        );
        let over = own.turned(0.3).turned_over();
        let before = own.turned(0.3).bench_from_picture().unwrap();
        let pixel = Point::new(333.0, 21.0);
        let (from, to) = (
            before.apply(pixel).unwrap(),
            over.bench_from_picture().unwrap().apply(pixel).unwrap(),
        );
        near(to, Point::new(20.0 - from.x, from.y));
        let mirrored = LaidPicture {
            mirrored: true,
            ..own
        };
        let way = mirrored.bench_from_picture().unwrap();
        near(
            way.apply(Point::new(400.0, 0.0)).unwrap(),
            Point::new(60.0, -20.0),
        );
    }

    #[test]
    fn it_moves_as_the_bench_does() {
        let sheet = SquaredBy {
            corners: [(50.0, 180.0), (350.0, 170.0), (300.0, 30.0), (90.0, 40.0)].map(Point::from),
            width_mm: 297.0,
            height_mm: 210.0,
            beside: false,
        };
        for own in [picture(), picture().squared_by(sheet)] {
            for mirrored in [false, true] {
                let motion = Motion {
                    mirrored,
                    turn_rad: 0.7,
                    shift: Vec2::new(3.0, -8.0),
                };
                let (way, moved) = (own.bench_from_picture(), own.moved(&motion));
                let pixel = Point::new(123.0, 45.0);
                let before = way.unwrap().apply(pixel).unwrap();
                let after = moved.bench_from_picture().unwrap().apply(pixel).unwrap();
                near(after, motion.apply(before));
            }
            let grown = own.grown(2.0, Point::new(1.0, 1.0));
            let at = |own: &LaidPicture| {
                let way = own.bench_from_picture().unwrap();
                way.apply(Point::new(77.0, 31.0)).unwrap() - Point::new(1.0, 1.0)
            };
            assert!((at(&grown) - 2.0 * at(&own)).hypot() < 1e-9);
        }
    }

    #[test]
    fn corners_in_any_order_make_the_sheet_as_it_is_seen() {
        let [a, b, c, d] =
            [(60.0, 190.0), (340.0, 180.0), (310.0, 20.0), (80.0, 30.0)].map(Point::from);
        for corners in [[a, b, c, d], [c, a, d, b], [d, c, b, a]] {
            let sheet = SquaredBy::of(corners, (210.0, 297.0), false).unwrap();
            assert_eq!(sheet.corners, [a, b, c, d]);
            assert_eq!((sheet.width_mm, sheet.height_mm), (297.0, 210.0));
        }
        let dented = [a, b, Point::new(200.0, 150.0), d];
        assert_eq!(SquaredBy::of(dented, (210.0, 297.0), false), None);
        // Squared, its corners are as far apart as the sheet's, and it stays where it was seen.
        let own = picture();
        let sheet = SquaredBy::of([a, b, c, d], (210.0, 297.0), false).unwrap();
        let way = own.squared_by(sheet).bench_from_picture().unwrap();
        let seen = [a, b, c, d].map(|p| way.apply(p).unwrap());
        assert!((seen[0].distance(seen[1]) - 297.0).abs() < 1e-9);
        assert!((seen[0].distance(seen[2]) - 297.0_f64.hypot(210.0)).abs() < 1e-9);
        let cross = seen[0].midpoint(seen[2]);
        near(cross, own.squared_by(sheet).middle);
        let back = own.squared_by(sheet).unsquared();
        assert_eq!(back.squared, None);
        assert!(back.bench_from_picture().is_some());
    }
}
