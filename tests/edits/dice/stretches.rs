//! Random work on stretches of the outline, on several things, and on both sides of a middle line.

use tangwright::edit::{Change, StepAlong, Thing, whole_things};
use tangwright::geometry::Point;
use tangwright::knife::{Faces, Fuller, Id, Knife, MiddleLine, Outline, Side};

use super::Dice;

impl Dice {
    pub(super) fn stretch_change(&mut self, kind: &str, knife: &Knife) -> Change {
        let nodes: Vec<Id> = (0..self.below(4)).map(|_| self.node(knife)).collect();
        match kind {
            "Straighten" => Change::Straighten { nodes },
            "Fair" => Change::Fair {
                nodes,
                within_mm: self.number(0.05, 3.0),
            },
            "JoinPieces" => Change::JoinPieces {
                nodes,
                within_mm: self.number(0.1, 20.0),
            },
            "ChangeRadius" => {
                let rounded =
                    |n: &&tangwright::knife::Node| knife.outline.rounded_at(n.id).is_some();
                let round: Vec<Id> = knife
                    .outline
                    .nodes
                    .iter()
                    .filter(rounded)
                    .map(|n| n.id)
                    .collect();
                Change::ChangeRadius {
                    node: self.pick(&round).unwrap_or_else(|| self.node(knife)),
                    radius_mm: (!self.once_in(3)).then(|| self.number(0.2, 5.0)),
                }
            }
            "Redraw" => Change::Redraw {
                stroke: self.stroke(knife),
                within_mm: self.number(0.1, 1.0),
            },
            "FullerAlong" => Change::FullerAlong {
                nodes,
                in_mm: self.number(0.0, 15.0),
                fuller: Fuller {
                    id: 7,
                    name: self.text(),
                    path: Outline::default(),
                    faces: Faces::Both,
                    nose_radius_mm: self.number(1.0, 6.0),
                    depth_mm: self.number(0.1, 0.6),
                },
            },
            _ => Change::SplitPiece {
                node: self.node(knife),
                parts: self.pick(&[0, 1, 2, 3, 5, u32::MAX]).unwrap_or(2),
            },
        }
    }

    /// A shaky stroke from one place on the outline to another.
    fn stroke(&mut self, knife: &Knife) -> Vec<Point> {
        let contour = knife.contour();
        let place = |dice: &mut Self| {
            let piece = dice.pick(&contour.pieces);
            let t = dice.unit();
            piece.map_or(Point::ZERO, |p| p.eval(t))
        };
        let (from, to) = (place(self), place(self));
        let n = 2 + self.below(40);
        let shaken = (0..=n).map(|i| {
            let on = from.lerp(to, i as f64 / n as f64);
            on + self.vector(1.0)
        });
        shaken.collect()
    }

    fn line(&mut self) -> MiddleLine {
        self.pick(&[MiddleLine::Knife, MiddleLine::Tang])
            .unwrap_or(MiddleLine::Tang)
    }

    pub(super) fn order_change(&mut self, kind: &str, knife: &Knife) -> Change {
        // Mostly what can be put in order, and enough of it.
        let things = if self.once_in(6) {
            self.things(knife, 5)
        } else {
            let whole: Vec<Thing> = whole_things(knife).collect();
            let n = 3 + self.below(3);
            (0..n).filter_map(|_| self.pick(&whole)).collect()
        };
        match kind {
            "Both" => {
                let inner = [
                    "Shift",
                    "Place",
                    "Remove",
                    "AddNode",
                    "SetHandle",
                    "PullPiece",
                ];
                let inner = self.pick(&inner).unwrap_or("Shift");
                Change::Both {
                    line: self.line(),
                    change: Box::new(self.change(inner, knife)),
                }
            }
            "MirrorSide" => Change::MirrorSide {
                line: self.line(),
                keep: self
                    .pick(&[Side::Upper, Side::Lower])
                    .unwrap_or(Side::Upper),
            },
            "Clamp" if self.once_in(2) => {
                let things = knife.clamped.iter().map(|id| {
                    let node = knife.outline.node(*id).map(|_| Thing::Node(*id));
                    let row = knife.rows.iter().any(|r| r.id == *id);
                    node.unwrap_or(if row {
                        Thing::Row(*id)
                    } else {
                        Thing::CutOut(*id)
                    })
                });
                Change::Clamp {
                    things: things.collect(),
                    clamped: false,
                }
            }
            "Clamp" => Change::Clamp {
                things: self.things(knife, 1),
                clamped: true,
            },
            "LineUp" => Change::LineUp {
                things,
                upright: self.once_in(2),
            },
            "Space" => Change::Space {
                things,
                webs: self.once_in(2),
            },
            "Turn" => Change::Turn {
                things,
                by_rad: self.number(-1.0, 1.0),
            },
            "Scale" => Change::Scale {
                factor: self.number(0.8, 1.2),
            },
            _ => {
                let step_mm = self.number(-12.0, 12.0);
                let along = match self.below(3) {
                    0 => StepAlong::Line {
                        by: self.vector(12.0),
                    },
                    1 => StepAlong::Outline { step_mm },
                    _ => StepAlong::TangMiddle { step_mm },
                };
                let openings: Vec<Thing> = knife
                    .cut_outs
                    .iter()
                    .map(|c| Thing::CutOut(c.id))
                    .chain(knife.rows.iter().map(|r| Thing::Row(r.id)))
                    .collect();
                let things = match self.pick(&openings) {
                    Some(thing) if !self.once_in(6) => vec![thing],
                    _ => self.things(knife, 2),
                };
                Change::StepOff {
                    things,
                    along,
                    copies: self.pick(&[1, 2, 1, 2, 3, u32::MAX]).unwrap_or(1),
                }
            }
        }
    }
}
