//! The entities of a sheet in either edition.

use super::super::model::{Anchor, Sheet, Text};
use super::pairs::{Pairs, words};
use super::shapes::{Drawn, drawn};
use super::{DxfOptions, DxfVersion};
use crate::geometry::Point;

/// How near control points and knots count as one; only readers that fit splines ask.
const SPLINE_TOLERANCE: f64 = 1e-7;

/// Gives out handles in ascending order.
#[derive(Debug)]
pub(super) struct Handles {
    next: u32,
}

impl Handles {
    pub(super) fn from(first: u32) -> Self {
        Self { next: first }
    }

    pub(super) fn take(&mut self) -> u32 {
        let handle = self.next;
        self.next += 1;
        handle
    }

    /// The first handle nobody has.
    pub(super) fn seed(&self) -> u32 {
        self.next
    }
}

/// What entities of R2000 need to be owned; R12 does without.
pub(super) struct Owned<'a> {
    pub handles: &'a mut Handles,
    pub owner: u32,
}

/// Writes all entities of a sheet.
pub(super) fn write(
    sheet: &Sheet,
    options: &DxfOptions,
    mut owned: Option<Owned<'_>>,
    out: &mut Pairs,
) {
    for entity in &sheet.entities {
        let Some(shape) = drawn(&entity.shape, options.arc_tolerance()) else {
            continue;
        };
        let layer = options.layer(entity.role);
        let mut writer = EntityWriter {
            layer: &layer,
            version: options.version,
            owned: owned.as_mut(),
            out,
        };
        writer.shape(&shape);
    }
}

struct EntityWriter<'a, 'b> {
    layer: &'a str,
    version: DxfVersion,
    owned: Option<&'a mut Owned<'b>>,
    out: &'a mut Pairs,
}

impl EntityWriter<'_, '_> {
    /// The head every entity has; `class` is the subclass marker of R2000.
    fn head(&mut self, kind: &str, class: &str) {
        self.out.text(0, kind);
        if let Some(owned) = &mut self.owned {
            let handle = owned.handles.take();
            self.out.handle(5, handle);
            self.out.handle(330, owned.owner);
            self.out.text(100, "AcDbEntity");
        }
        self.out.text(8, self.layer);
        self.class(class);
    }

    fn class(&mut self, class: &str) {
        if self.owned.is_some() {
            self.out.text(100, class);
        }
    }

    fn shape(&mut self, shape: &Drawn<'_>) {
        match shape {
            Drawn::Line(line) => {
                self.head("LINE", "AcDbLine");
                self.out.point(10, line.p0);
                self.out.point(11, line.p1);
            }
            Drawn::Circle { center, radius } => {
                self.head("CIRCLE", "AcDbCircle");
                self.out.point(10, *center);
                self.out.length(40, *radius);
            }
            Drawn::Polyline { corners, closed } => match self.version {
                DxfVersion::R2000 => self.light_polyline(corners, *closed),
                DxfVersion::R12 => self.old_polyline(corners, *closed),
            },
            Drawn::Spline { control, closed } => self.spline(control, *closed),
            Drawn::Text(text) => self.text(text),
        }
    }

    fn light_polyline(&mut self, corners: &[(Point, f64)], closed: bool) {
        self.head("LWPOLYLINE", "AcDbPolyline");
        self.out.int(90, count(corners.len()));
        self.out.int(70, i64::from(closed));
        self.out.real(43, 0.0);
        for (at, bulge) in corners {
            self.out.point_2d(10, *at);
            if *bulge != 0.0 {
                self.out.real(42, *bulge);
            }
        }
    }

    fn old_polyline(&mut self, corners: &[(Point, f64)], closed: bool) {
        self.head("POLYLINE", "AcDb2dPolyline");
        self.out.int(66, 1);
        self.out.point(10, Point::ORIGIN);
        self.out.int(70, i64::from(closed));
        for (at, bulge) in corners {
            self.out.text(0, "VERTEX");
            self.out.text(8, self.layer);
            self.out.point(10, *at);
            if *bulge != 0.0 {
                self.out.real(42, *bulge);
            }
        }
        self.out.text(0, "SEQEND");
        self.out.text(8, self.layer);
    }

    /// Bézier pieces as one B-spline of degree 3: every inner knot three times, the outer ones four times.
    fn spline(&mut self, control: &[Point], closed: bool) {
        let pieces = count(control.len().saturating_sub(1) / 3);
        self.head("SPLINE", "AcDbSpline");
        self.out.reals(&[(210, 0.0), (220, 0.0), (230, 1.0)]);
        // 8: planar; 1: closed.
        self.out.int(70, 8 + i64::from(closed));
        self.out.ints(&[
            (71, 3),
            (72, 3 * pieces + 5),
            (73, count(control.len())),
            (74, 0),
        ]);
        self.out
            .reals(&[(42, SPLINE_TOLERANCE), (43, SPLINE_TOLERANCE)]);
        self.out.real(40, 0.0);
        for knot in 0..=pieces {
            for _ in 0..3 {
                self.out.int_as_real(40, knot);
            }
        }
        self.out.int_as_real(40, pieces);
        for point in control {
            self.out.point(10, *point);
        }
    }

    fn text(&mut self, text: &Text) {
        self.head("TEXT", "AcDbText");
        self.out.point(10, text.at);
        self.out.length(40, text.height_mm);
        self.out.text(1, &words(&text.text));
        self.out.real(50, text.angle_rad.to_degrees());
        self.out.text(7, super::r2000::STYLE);
        let side = match text.anchor {
            Anchor::Start => 0,
            Anchor::Middle => 1,
            Anchor::End => 2,
        };
        if side != 0 {
            self.out.int(72, side);
            self.out.point(11, text.at);
        }
        self.class("AcDbText");
    }
}

fn count(n: usize) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}
