//! Random outlines, openings, rows, guards, tangs and materials.

use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{
    CutShape, FullTang, Guard, HiddenTang, Id, Joint, Material, Node, Outline, Row, RowPath, Tang,
    TangEnd,
};

use super::Dice;

impl Dice {
    pub(super) fn outline(&mut self, nodes: u64, at: Point, reach: f64) -> Outline {
        let n = if self.once_in(self.hostile) {
            self.below(3)
        } else {
            nodes
        };
        // With so many numbers in it, hardly an outline would be without a hostile one.
        let hostile = self.hostile;
        if self.once_in(2) {
            self.hostile = 0;
        }
        let turn = if self.once_in(3) { -1.0 } else { 1.0 };
        let nodes = (0..n).map(|i| {
            let angle = turn * i as f64 / n as f64 * std::f64::consts::TAU;
            let r = self.number(0.4, 1.0) * reach;
            let mut node = Node::corner(
                i as Id,
                at + Vec2::new(2.5 * r * angle.cos(), r * angle.sin()),
            );
            if self.once_in(3) {
                node.handle_in = Some(self.vector(reach / 5.0));
            }
            if self.once_in(3) {
                node.handle_out = Some(self.vector(reach / 5.0));
            }
            if self.once_in(4) {
                node.joint = Joint::Smooth;
            }
            node
        });
        let nodes = nodes.collect();
        self.hostile = hostile;
        Outline { nodes }
    }

    pub(super) fn shape(&mut self) -> CutShape {
        let center = self.point();
        match self.below(4) {
            0 => CutShape::Slot {
                center,
                length_mm: self.number(6.0, 30.0),
                width_mm: self.number(1.0, 6.0),
                angle_rad: self.number(-7.0, 7.0),
            },
            1 => CutShape::Free {
                outline: self.outline(6, center, 4.0),
            },
            _ => CutShape::Round {
                center,
                diameter_mm: self.number(1.0, 8.0),
            },
        }
    }

    pub(super) fn row(&mut self, id: Id) -> Row {
        let path = if self.once_in(2) {
            RowPath::TangMiddle {
                from_x: self.number(-110.0, 10.0),
                to_x: self.number(-110.0, 10.0),
            }
        } else {
            RowPath::Line {
                from: self.point(),
                to: self.point(),
            }
        };
        let count = match self.below(12) {
            0 => 0,
            1 => u32::MAX,
            2 => 200,
            n => n as u32,
        };
        Row {
            id,
            path,
            count,
            first_diameter_mm: self.number(1.0, 6.0),
            last_diameter_mm: self.number(1.0, 6.0),
            purpose: self.purpose(),
            filling: self.filling(),
        }
    }

    pub(super) fn guard(&mut self) -> Guard {
        Guard {
            id: self.below(50) as Id,
            name: self.text(),
            width_mm: self.number(8.0, 20.0),
            height_mm: self.number(20.0, 60.0),
            middle_y_mm: self.number(-10.0, 5.0),
            corner_radius_mm: self.number(0.0, 4.0),
            thickness_mm: self.number(2.0, 10.0),
            material: if self.once_in(5) {
                self.key()
            } else {
                "brass".to_owned()
            },
            clearance_mm: self.number(-0.05, 0.1),
            slot_corner_mm: self.number(0.0, 1.0),
        }
    }

    pub(super) fn tang(&mut self) -> Tang {
        if self.once_in(2) {
            Tang::Full(FullTang {
                length_mm: self.number(60.0, 140.0),
                butt_height_mm: self.number(15.0, 35.0),
                belly_mm: self.number(-3.0, 5.0),
                drop_mm: self.number(-5.0, 15.0),
                finger_mm: self.number(-2.0, 5.0),
                hook_mm: self.number(0.0, 6.0),
            })
        } else {
            let ends = [TangEnd::Square, TangEnd::Round, TangEnd::Pointed];
            let narrow = HiddenTang {
                length_mm: self.number(40.0, 110.0),
                shoulder_width_mm: self.number(6.0, 14.0),
                end_width_mm: self.number(3.0, 8.0),
                shoulder_radius_mm: self.number(0.0, 2.0),
                end: self.pick(&ends).unwrap_or_default(),
            };
            if self.once_in(2) {
                Tang::Hidden(narrow)
            } else {
                Tang::Partial(narrow)
            }
        }
    }

    pub(super) fn material(&mut self) -> Material {
        let density = self.number(0.5, 9.0);
        Material {
            key: if self.once_in(40) {
                self.text()
            } else {
                self.key()
            },
            name: self.text(),
            density_g_cm3: density,
            density_low: density * self.number(0.95, 1.0),
            density_high: density * self.number(1.0, 1.05),
            data_sheet: self.text(),
        }
    }
}
