//! Random edits of the handle, the flaws, the weigh-ins, and what the saw leaves.

use tangwright::edit::{AfterSaw, Change};
use tangwright::geometry::Point;
use tangwright::knife::{
    CutShape, Engraving, Faces, Fixing, Flaw, FlawKind, Handle, HandleStation, Id, Knife,
    LaidPicture, LandmarkKind, Liner, Mend, SquaredBy, Stage, TangHole, WeighIn, usual_handle,
    wrap_round,
};

use super::Dice;

impl Dice {
    /// A handle as it is usual, with one thing about it changed at random.
    fn handle(&mut self, knife: &Knife) -> Option<Box<Handle>> {
        let (material, glue) = (self.key(), self.key());
        let mut handle = usual_handle(knife, &material, &glue)?;
        match self.below(7) {
            0 => handle.rounding = self.number(1.5, 12.0),
            1 => handle.stations.push(HandleStation {
                x_mm: self.number(-20.0, 0.0),
                thickness_mm: self.number(10.0, 30.0),
            }),
            2 => {
                handle.fixing = Fixing::Scales {
                    liner: Some(Liner {
                        material: self.key(),
                        thickness_mm: self.number(0.3, 2.0),
                    }),
                }
            }
            3 => {
                handle.fixing = Fixing::Block {
                    hole: TangHole::Drilled {
                        width_mm: self.number(3.0, 9.0),
                        height_mm: self.number(6.0, 20.0),
                        depth_mm: self.number(20.0, 120.0),
                    },
                }
            }
            4 => handle.outline = wrap_round(knife, self.number(0.0, 8.0)),
            5 => {
                for part in &mut handle.parts {
                    part.from_x_mm = self.number(-60.0, 0.0);
                }
            }
            _ => {}
        }
        Some(Box::new(handle))
    }

    fn flaw(&mut self, id: Id) -> Flaw {
        Flaw {
            id,
            kind: self.pick(&FlawKind::ALL).unwrap_or(FlawKind::Crack),
            line: (0..self.below(4)).map(|_| self.point()).collect(),
            reach_mm: self.number(0.0, 3.0),
            faces: self.pick(&Faces::ALL).unwrap_or_default(),
            depth_mm: None,
        }
    }

    fn after_saw(&mut self) -> AfterSaw {
        match self.below(3) {
            0 => AfterSaw::Stump,
            1 => AfterSaw::NewTang {
                shoulder_x_mm: self.number(0.0, 60.0),
                tang: self.tang(),
            },
            _ => AfterSaw::WrapHandle {
                material: self.key(),
                glue: self.key(),
            },
        }
    }

    fn mend(&mut self, knife: &Knife) -> Mend {
        let free = knife.cut_outs.iter().find_map(|c| match &c.shape {
            CutShape::Free { outline } => Some((c.id, outline.nodes.first()?.id)),
            _ => None,
        });
        let own = (None, self.node(knife));
        let of_cut_out = free.map(|(cut_out, node)| (Some(cut_out), node));
        let (of, node) = of_cut_out.filter(|_| self.once_in(2)).unwrap_or(own);
        match self.below(8) {
            5 => Mend::SizeHoles {
                cut_outs: knife.cut_outs.iter().take(2).map(|c| c.id).collect(),
                rows: knife.rows.iter().take(1).map(|r| r.id).collect(),
                size_mm: self.number(1.0, 9.0),
            },
            6 => Mend::SeatLandmarks {
                places: LandmarkKind::ALL.map(|kind| (kind, self.point())).to_vec(),
            },
            7 if self.once_in(2) => Mend::FileSlotCorners {
                radius_mm: self.number(0.0, 1.0),
            },
            7 => Mend::FitGuard {
                clearance_mm: self.number(-0.1, 0.2),
            },
            0 => Mend::JoinNodes { of, node },
            1 => Mend::DropSpur { of, node },
            2 => Mend::DropCutOut {
                cut_out: self.pick(&knife.cut_outs).map_or(Id::MAX, |c| c.id),
            },
            _ => Mend::RoundCorners {
                of,
                nodes: vec![node; self.below(3) as usize],
                radius_mm: self.number(0.1, 3.0),
            },
        }
    }

    /// A change of what is fitted to a knife or happened to it.
    pub(super) fn fitted_change(&mut self, kind: &str, knife: &Knife) -> Change {
        match kind {
            "FitHandle" => Change::FitHandle {
                handle: self.handle(knife),
            },
            "MarkFlaw" => {
                let known = self.pick(&knife.flaws).map_or(Id::MAX, |f| f.id);
                Change::MarkFlaw {
                    flaw: self.flaw(known),
                }
            }
            "RemoveFlaw" => Change::RemoveFlaw {
                id: self.pick(&knife.flaws).map_or(Id::MAX, |f| f.id),
            },
            "WriteWeighIn" => Change::WriteWeighIn {
                weigh_in: WeighIn {
                    id: self.pick(&knife.weigh_ins).map_or(Id::MAX, |w| w.id),
                    stage: self.pick(&Stage::ALL).unwrap_or(Stage::Ground),
                    date: self.text(),
                    mass_g: self.number(10.0, 900.0),
                    balance_mm: None,
                },
            },
            "RemoveWeighIn" => Change::RemoveWeighIn {
                id: self.pick(&knife.weigh_ins).map_or(Id::MAX, |w| w.id),
            },
            "OpenTang" => Change::OpenTang {
                rim_mm: self.number(1.0, 9.0),
                bridges: self.below(15) as u32,
            },
            "Engrave" => Change::Engrave {
                name: (!self.once_in(4)).then(|| Engraving {
                    words: if self.once_in(2) {
                        "ORCHARD".to_owned()
                    } else {
                        self.text()
                    },
                    height_mm: self.number(0.5, 12.0),
                    at: self.once_in(2).then(|| self.point()),
                }),
            },
            "LayPicture" => Change::LayPicture {
                picture: (!self.once_in(4)).then(|| Box::new(self.laid_picture())),
            },
            "Mend" => Change::Mend {
                mend: self.mend(knife),
            },
            _ => Change::Saw {
                line: (0..self.below(4)).map(|_| self.point()).collect(),
                bow: self.once_in(3).then(|| self.point()),
                after: self.after_saw(),
            },
        }
    }

    /// A picture that lies somehow; now and then by numbers that can't be.
    fn laid_picture(&mut self) -> LaidPicture {
        let middle = self.point();
        let own = LaidPicture {
            turn_rad: self.number(-3.0, 3.0),
            mirrored: self.once_in(2),
            scale: self.number(0.01, 3.0),
            strength: self.number(0.0, 1.0),
            ..LaidPicture::new("/bench/photo.jpg".to_owned(), (4000, 3000), middle, 300.0)
        };
        let corners =
            [(); 4].map(|()| Point::new(self.number(0.0, 4000.0), self.number(0.0, 3000.0)));
        let sheet = SquaredBy::of(corners, (297.0, 210.0), self.once_in(2));
        LaidPicture {
            squared: sheet.filter(|_| self.once_in(2)),
            ..own
        }
    }
}
