//! Random blades, always the same ones: outlines, grinds, tapers and fullers as a maker might draw them, and some no maker would.

use tangwright::geometry::{Point, Vec2, outline_faults};
use tangwright::knife::{
    Cut, CutForm, Faces, Fuller, Grind, Knife, LandmarkKind, Node, Outline, PlungeLine, Rise,
    RiseStation, Run, Sides, Spot, Taper, ThicknessStation,
};

use crate::bench::{blade, grind};

/// A xorshift generator (Marsaglia, Journal of Statistical Software 8 (2003), no. 14).
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// From 0 up to 1.
    pub(crate) fn share(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    pub(crate) fn one_in(&mut self, n: f64) -> bool {
        self.share() * n < 1.0
    }
}

fn node(id: u32, at: (f64, f64), into: Option<Vec2>, out: Option<Vec2>) -> Node {
    Node {
        handle_in: into,
        handle_out: out,
        ..Node::corner(id, Point::from(at))
    }
}

/// A sound outline with its landmarks: edge from (0, −low) to the tip, back over the spine.
fn outline(dice: &mut Dice) -> Option<Knife> {
    let length = dice.between(60.0, 260.0);
    let (low, high) = (dice.between(5.0, 28.0), dice.between(5.0, 18.0));
    let tip = dice.between(-0.9 * low, 0.9 * high);
    let mut nodes = vec![node(0, (0.0, -low), None, None)];
    // The edge: straight to where the belly starts, or one curve all the way, now and then recurved or with a corner.
    let start = length * dice.between(0.2, 0.75);
    let sag = match dice.share() {
        s if s < 0.2 => dice.between(-0.25, 0.35) * low,
        _ => 0.0,
    };
    let y = -low + sag;
    let lift = Vec2::new(
        -dice.between(0.1, 0.45),
        -dice.between(0.05, 0.6) * (tip + low) / length,
    ) * (length - start);
    if dice.one_in(4.0) {
        let pull = dice.between(0.2, 0.6) * start;
        let slope = dice.between(-0.15, 0.1);
        nodes[0].handle_out = Some(Vec2::new(pull, pull * slope));
        let along = Vec2::new(1.0, dice.between(-0.05, 0.05));
        nodes.push(node(
            1,
            (start, y),
            Some(-along * dice.between(0.2, 0.5) * start),
            Some(along * dice.between(0.2, 0.6) * (length - start)),
        ));
    } else {
        let turn = if dice.one_in(6.0) {
            dice.between(-0.2, 0.3)
        } else {
            0.0
        };
        let along = (Point::new(start, y) - Point::new(0.0, -low)).normalize();
        let out =
            Vec2::from_angle(along.atan2() + turn) * dice.between(0.2, 0.6) * (length - start);
        nodes.push(node(1, (start, y), None, Some(out)));
    }
    // The spine: dropping to the tip, a clip bowed inward, straight, or as a needle close over the edge.
    let back = length * dice.between(0.35, 0.8);
    let needle = dice.one_in(7.0);
    let out = match dice.share() {
        _ if needle => Some(lift.normalize() * 0.3 * (length - back) + Vec2::new(0.0, 0.0)),
        s if s < 0.3 => None,
        s if s < 0.6 => {
            Some(Vec2::new(-dice.between(0.1, 0.5), dice.between(0.0, 0.12)) * (length - back))
        }
        _ => Some(
            Vec2::new(
                -dice.between(0.2, 0.5),
                (high - tip) / (length - back) * dice.between(0.2, 0.9),
            ) * (length - back),
        ),
    };
    let needle_turn = if needle {
        -dice.between(0.035, 0.06)
    } else {
        0.0
    };
    let out = out.map(|v| rotated(v, needle_turn));
    nodes.push(node(2, (length, tip), Some(lift), out));
    let rounded = out.is_some() && dice.one_in(1.3);
    nodes.push(node(
        3,
        (back, high),
        rounded.then(|| {
            Vec2::new(
                dice.between(0.2, 0.6) * (length - back),
                dice.between(-3.0, 2.0),
            )
        }),
        None,
    ));
    nodes.push(node(4, (0.0, high), None, None));
    let knife = blade(
        nodes,
        &[
            (LandmarkKind::Plunge, 0),
            (LandmarkKind::Tip, 2),
            (LandmarkKind::FalseEdge, 3),
        ],
    );
    let contour = knife.contour();
    (outline_faults(&contour.pieces).is_empty() && contour.moments().area > 0.0).then_some(knife)
}

fn rotated(v: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = angle.sin_cos();
    Vec2::new(cos * v.x - sin * v.y, sin * v.x + cos * v.y)
}

fn rise(dice: &mut Dice, least: f64, most: f64) -> Rise {
    if dice.one_in(2.0) {
        return Rise::even_height(dice.between(least, most));
    }
    let mut at = 0.0;
    let mut stations = Vec::new();
    for _ in 0..2 + (dice.share() * 3.0) as u32 {
        stations.push(RiseStation {
            at,
            value: dice.between(least, most),
        });
        at += dice.between(0.1, 0.45);
    }
    stations.retain(|s| s.at <= 1.0);
    Rise::Height(stations)
}

fn cut(dice: &mut Dice, least: f64, most: f64) -> Cut {
    if dice.one_in(6.0) {
        let angle = dice.between(0.05, 0.3);
        return Cut {
            form: CutForm::Flat,
            rise: Rise::even_angle(angle),
        };
    }
    let form = match dice.share() {
        s if s < 0.5 => CutForm::Flat,
        s if s < 0.75 => CutForm::Hollow {
            wheel_radius_mm: dice.between(100.0, 400.0),
        },
        _ => CutForm::Convex {
            radius_mm: dice.between(60.0, 900.0),
        },
    };
    Cut {
        form,
        rise: rise(dice, least, most),
    }
}

fn sides(dice: &mut Dice, least: f64, most: f64) -> Sides {
    match dice.share() {
        s if s < 0.6 => Sides::Both(cut(dice, least, most)),
        s if s < 0.7 => Sides::Right(cut(dice, least, most)),
        s if s < 0.8 => Sides::Left(cut(dice, least, most)),
        _ => Sides::Each {
            right: cut(dice, least, most),
            left: cut(dice, least, most),
        },
    }
}

fn plunge(dice: &mut Dice) -> PlungeLine {
    PlungeLine {
        angle_rad: dice.between(50.0, 125.0).to_radians(),
        wheel_radius_mm: if dice.one_in(3.0) {
            0.0
        } else {
            dice.between(1.0, 12.0)
        },
    }
}

fn bevel(dice: &mut Dice, height: f64) -> Grind {
    let edge = if dice.one_in(4.0) {
        0.0
    } else {
        dice.between(0.1, 0.8)
    };
    let (least, most) = match dice.share() {
        s if s < 0.5 => (0.25, 0.7),
        s if s < 0.8 => (0.6, 1.1),
        _ => (0.9, 2.0),
    };
    let mut bevel = grind(sides(dice, least * height, most * height), edge);
    if dice.one_in(5.0) && !bevel.sides.is_chisel() {
        bevel.edge_offset_mm = dice.between(-0.3, 0.3);
    }
    if dice.one_in(2.0) {
        bevel.plunge_from = Some(plunge(dice));
    }
    bevel
}

/// The next blade whose outline is sound. Whether it can be ground the survey has to tell.
pub(crate) fn roll(dice: &mut Dice) -> Knife {
    let mut knife = loop {
        if let Some(knife) = outline(dice) {
            break knife;
        }
    };
    let bounds = knife.contour().bounds();
    let height = bounds.height();
    if dice.one_in(3.0) {
        knife.set_landmark(
            LandmarkKind::Plunge,
            Spot {
                node: 0,
                t: dice.between(0.02, 0.5),
            },
        );
    }
    if dice.one_in(3.0) {
        let faces = Faces::ALL[(dice.share() * 3.0) as usize];
        let (a, b) = (
            dice.between(-10.0, 0.4 * bounds.x1),
            dice.between(0.6, 1.05),
        );
        let (middle, tip) = (dice.between(2.4, 3.8), dice.between(1.0, 2.4));
        knife.grinding.taper = Some(Taper {
            stations: [
                (a, 4.0),
                ((a + b * bounds.x1) / 2.0, middle),
                (b * bounds.x1, tip),
            ]
            .map(|(x_mm, thickness_mm)| ThicknessStation { x_mm, thickness_mm })
            .to_vec(),
            faces,
        });
    }
    let first = bevel(dice, height);
    knife.grinding.grinds.push(first);
    if dice.one_in(5.0) {
        let mut second = grind(
            Sides::Both(Cut {
                form: CutForm::Flat,
                rise: Rise::even_angle(dice.between(0.2, 0.5)),
            }),
            0.0,
        );
        second.id = 501;
        knife.grinding.grinds.push(second);
    }
    if dice.one_in(3.0) {
        let mut swedge = grind(
            sides(dice, 0.1 * height, 0.5 * height),
            dice.between(0.3, 1.2),
        );
        swedge.id = 502;
        swedge.run = Run {
            from: LandmarkKind::Tip,
            to: LandmarkKind::FalseEdge,
        };
        if dice.one_in(3.0) {
            swedge.plunge_to = Some(plunge(dice));
        }
        knife.grinding.grinds.push(swedge);
    }
    if dice.one_in(8.0) {
        let fuller = fuller(dice, &knife);
        knife.grinding.fullers.push(fuller);
    }
    knife
}

fn fuller(dice: &mut Dice, knife: &Knife) -> Fuller {
    let bounds = knife.contour().bounds();
    let y = bounds.y1 - dice.between(0.2, 0.45) * bounds.height();
    let (a, b) = (dice.between(0.05, 0.25), dice.between(0.35, 0.6));
    let (from, to) = (a * bounds.x1, b * bounds.x1);
    let bent = dice.one_in(2.0).then(|| dice.between(-0.1, 0.1));
    let handle =
        |toward: f64| bent.map(|slope| Vec2::new(toward * (to - from) / 3.0, slope * 20.0));
    Fuller {
        id: 503,
        name: "fuller".to_owned(),
        path: Outline {
            nodes: vec![
                node(0, (from, y), None, handle(1.0)),
                node(1, (to, y + dice.between(-1.0, 1.0)), handle(-1.0), None),
            ],
        },
        faces: Faces::ALL[(dice.share() * 3.0) as usize],
        nose_radius_mm: dice.between(2.0, 8.0),
        depth_mm: dice.between(0.2, 0.9),
    }
}
