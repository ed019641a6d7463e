//! Random edits of the layers and of what is ground off.

use tangwright::edit::{Change, Thing};
use tangwright::geometry::Point;
use tangwright::knife::{
    Cut, CutForm, Faces, ForgePlan, ForgeStart, ForgingLosses, Fuller, Grind, Id, Knife,
    LandmarkKind, Layer, Layering, OwnRatio, PlungeLine, Rise, RiseStation, Run, Sides, Taper,
    ThicknessStation,
};

use super::Dice;

impl Dice {
    /// Layers that mostly fit in a bar of some millimeters.
    pub(super) fn layering(&mut self) -> Layering {
        if self.once_in(2) {
            return Layering::default();
        }
        let layers = (0..self.below(3)).map(|_| Layer {
            name: self.text(),
            material: if self.once_in(10) {
                self.key()
            } else {
                "brass".to_owned()
            },
            thickness_mm: self.number(0.1, 0.6),
        });
        Layering {
            outer: layers.collect(),
            core_offset_mm: self.number(-0.1, 0.1),
            waviness_mm: self.number(0.0, 0.1),
        }
    }

    fn forge_plan(&mut self) -> ForgePlan {
        let start = if self.once_in(2) {
            ForgeStart::Bar {
                width_mm: self.number(10.0, 60.0),
                thickness_mm: self.number(3.0, 20.0),
            }
        } else {
            let own = (0..self.below(4)).map(|_| OwnRatio {
                layer: self.below(5) as u32,
                ratio: self.number(1.0, 9.0),
            });
            ForgeStart::Billet {
                own_ratios: own.collect(),
                width_mm: self.number(10.0, 60.0),
                reduction: self.number(1.0, 9.0),
            }
        };
        ForgePlan {
            start,
            losses: ForgingLosses {
                scale_per_heat: self.number(0.0, 0.1),
                heats: self.below(9) as u32,
                grinding_per_side_mm: self.number(0.0, 2.0),
                grinding_profile_mm: self.number(0.0, 4.0),
                end_crop_mm: self.number(0.0, 10.0),
                weld: self.number(0.0, 0.1),
            },
        }
    }

    fn faces(&mut self) -> Faces {
        self.pick(&Faces::ALL).unwrap_or_default()
    }

    fn taper(&mut self) -> Taper {
        let mut x = self.number(-110.0, 0.0);
        let stations = (0..self.below(5)).map(|_| {
            x += self.number(0.1, 60.0);
            ThicknessStation {
                x_mm: x,
                thickness_mm: self.number(0.5, 5.0),
            }
        });
        Taper {
            stations: stations.collect(),
            faces: self.faces(),
        }
    }

    fn cut(&mut self) -> Cut {
        let by_angle = self.once_in(3);
        let mut at = 0.0;
        let n = self.below(8).min(4);
        let stations = (0..n).map(|_| {
            at += self.number(0.0, 0.25);
            let value = if by_angle {
                self.number(0.05, 0.6)
            } else {
                self.number(1.0, 20.0)
            };
            RiseStation { at, value }
        });
        let stations = stations.collect();
        let radius_mm = self.number(40.0, 400.0);
        let form = match self.below(4) {
            0 if !by_angle => CutForm::Hollow {
                wheel_radius_mm: radius_mm,
            },
            1 if !by_angle || self.once_in(4) => CutForm::Convex { radius_mm },
            _ => CutForm::Flat,
        };
        let rise = if by_angle {
            Rise::Angle(stations)
        } else {
            Rise::Height(stations)
        };
        Cut { form, rise }
    }

    fn plunge(&mut self) -> Option<PlungeLine> {
        self.once_in(2).then(|| PlungeLine {
            angle_rad: self.number(0.5, 2.5),
            wheel_radius_mm: self.number(0.0, 20.0),
        })
    }

    fn grind(&mut self, id: Id) -> Grind {
        let usual = [
            (LandmarkKind::Plunge, LandmarkKind::Tip),
            (LandmarkKind::Heel, LandmarkKind::Tip),
            (LandmarkKind::Tip, LandmarkKind::FalseEdge),
        ];
        let (from, to) = if self.once_in(8) {
            let any = |dice: &mut Self| dice.pick(&LandmarkKind::ALL).unwrap_or(LandmarkKind::Tip);
            (any(self), any(self))
        } else {
            self.pick(&usual).unwrap_or(usual[0])
        };
        let sides = match self.below(4) {
            0 => Sides::Right(self.cut()),
            1 => Sides::Left(self.cut()),
            2 => Sides::Each {
                right: self.cut(),
                left: self.cut(),
            },
            _ => Sides::Both(self.cut()),
        };
        Grind {
            id,
            name: self.text(),
            run: Run { from, to },
            sides,
            edge_mm: self.number(0.0, 1.0),
            edge_offset_mm: self.number(-0.3, 0.3),
            plunge_from: self.plunge(),
            plunge_to: self.plunge(),
            after_hardening: self.once_in(3),
        }
    }

    fn fuller(&mut self, id: Id) -> Fuller {
        let n = 2 + self.below(3);
        let path = self.outline(n, Point::new(60.0, 0.0), 12.0);
        Fuller {
            id,
            name: self.text(),
            path,
            faces: self.faces(),
            nose_radius_mm: self.number(2.0, 12.0),
            depth_mm: self.number(0.1, 1.5),
        }
    }

    /// A station of the taper or a node of a fuller; now and then one that is not there.
    pub(super) fn ground_thing(&mut self, knife: &Knife) -> Thing {
        let stations = knife.grinding.taper.iter().flat_map(|t| &t.stations);
        let n = stations.count() as u64;
        let fuller = self.pick(&knife.grinding.fullers);
        match fuller {
            Some(fuller) if self.once_in(2) => {
                let node = self.pick(&fuller.path.nodes).map_or(Id::MAX, |n| n.id);
                Thing::FullerNode {
                    fuller: fuller.id,
                    node,
                }
            }
            _ if self.once_in(20) => Thing::TaperStation(usize::MAX),
            _ => Thing::TaperStation(self.below(n) as usize),
        }
    }

    pub(super) fn ground_change(&mut self, kind: &str, knife: &Knife) -> Change {
        let grind = self.pick(&knife.grinding.grinds).map(|g| g.id);
        let id = grind.unwrap_or(Id::MAX);
        match kind {
            "Forge" => {
                let layers = 1 + knife.stock.layering.outer.len() as u64;
                let n = if self.once_in(10) { 7 } else { layers };
                Change::Forge {
                    thickness_mm: self.number(1.0, 6.0),
                    ratios: (0..n).map(|_| self.number(0.8, 1.2)).collect(),
                }
            }
            "PlanForging" => Change::PlanForging {
                plan: if self.once_in(5) {
                    None
                } else {
                    Some(self.forge_plan())
                },
            },
            "SetTaper" => Change::SetTaper {
                taper: if self.once_in(5) {
                    None
                } else {
                    Some(self.taper())
                },
            },
            "AddGrind" => Change::AddGrind {
                grind: self.grind(0),
            },
            "SetGrind" => Change::SetGrind {
                grind: self.grind(id),
            },
            "RemoveGrind" => Change::RemoveGrind { id },
            "MoveGrind" => Change::MoveGrind {
                id,
                place: self.pick(&[0, 1, 2, usize::MAX]).unwrap_or_default(),
            },
            "AddFuller" => Change::AddFuller {
                fuller: self.fuller(0),
            },
            "SetFuller" => {
                let own = self.pick(&knife.grinding.fullers).map(|f| f.id);
                Change::SetFuller {
                    fuller: self.fuller(own.unwrap_or(Id::MAX)),
                }
            }
            "RemoveFuller" => Change::RemoveFuller {
                id: self.pick(&knife.grinding.fullers).map_or(Id::MAX, |f| f.id),
            },
            "SetGrindTolerance" => Change::SetGrindTolerance {
                tolerance_mm: self.number(0.0, 0.2),
            },
            other => panic!("no such kind of edit: {other}"),
        }
    }
}
