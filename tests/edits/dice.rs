//! Random edits of every kind from a seed: sensible ones, and ones no sane hand would make.

#[path = "dice/fitted.rs"]
mod fitted;
#[path = "dice/grinding.rs"]
mod grinding;
#[path = "dice/shapes.rs"]
mod shapes;
#[path = "dice/stretches.rs"]
mod stretches;

use tangwright::edit::{Carried, Change, Edit, Thing};
use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{
    CutOut, CutShape, Filling, Id, Joint, Knife, KnifeSet, LandmarkKind, Purpose, Spot, Stock,
    default_sizes, make_starter, starter_forms,
};

/// Every kind of edit, by the name of its variant.
pub(crate) const KINDS: [&str; 71] = [
    "AddKnife",
    "DoubleKnife",
    "RemoveKnife",
    "MoveKnife",
    "NameSet",
    "SetMaterial",
    "Rename",
    "SetForm",
    "SetNotes",
    "SetHeatWords",
    "Shift",
    "Place",
    "Remove",
    "AddNode",
    "SetJoint",
    "SetHandle",
    "BendPiece",
    "PullPiece",
    "SetOutline",
    "SetLandmark",
    "MoveShoulderLine",
    "AddCutOut",
    "SetCutOut",
    "AddRow",
    "SetRow",
    "BreakRow",
    "SetStock",
    "FitTang",
    "SetGuard",
    "SetBladeLength",
    "SetTangLength",
    "SetHeight",
    "Shift many",
    "Forge",
    "PlanForging",
    "SetTaper",
    "AddGrind",
    "SetGrind",
    "RemoveGrind",
    "MoveGrind",
    "AddFuller",
    "SetFuller",
    "RemoveFuller",
    "SetGrindTolerance",
    "FitHandle",
    "MarkFlaw",
    "RemoveFlaw",
    "WriteWeighIn",
    "RemoveWeighIn",
    "OpenTang",
    "Saw",
    "Mend",
    "Engrave",
    "LayPicture",
    "Straighten",
    "Fair",
    "JoinPieces",
    "SplitPiece",
    "ChangeRadius",
    "Redraw",
    "FullerAlong",
    "Both",
    "MirrorSide",
    "Clamp",
    "LineUp",
    "Space",
    "Turn",
    "StepOff",
    "Scale",
    "CarryOver",
    "CopyAside",
];

/// Numbers that have broken programs before.
const HOSTILE: [f64; 14] = [
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    1e300,
    -1e300,
    1e-300,
    0.0,
    -0.0,
    -1.0,
    9_999.0,
    -9_999.0,
    10_000.000_1,
    1e-9,
    0.01,
];

/// A small generator (S. Vigna's SplitMix64, public domain reference code), so that every run makes the same edits.
pub(crate) struct Dice {
    state: u64,
    /// One number in how many is hostile; 0 for none.
    pub(crate) hostile: u64,
}

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        let mut dice = Self {
            state: seed,
            hostile: 20,
        };
        // The generator steps by a constant: seeds go through it once, or neighbors would run through the same numbers.
        dice.state = dice.next();
        dice
    }

    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number below `n`.
    pub(crate) fn below(&mut self, n: u64) -> u64 {
        self.next() % n.max(1)
    }

    pub(crate) fn pick<T: Clone>(&mut self, list: &[T]) -> Option<T> {
        let i = self.below(list.len() as u64) as usize;
        list.get(i).cloned()
    }

    /// True once in `n`.
    pub(crate) fn once_in(&mut self, n: u64) -> bool {
        n > 0 && self.below(n) == 0
    }

    fn unit(&mut self) -> f64 {
        self.below(1 << 53) as f64 / (1_u64 << 53) as f64
    }

    /// A number between two bounds, now and then a hostile one.
    fn number(&mut self, low: f64, high: f64) -> f64 {
        if self.once_in(self.hostile) {
            let i = self.below(HOSTILE.len() as u64) as usize;
            return HOSTILE[i];
        }
        low + self.unit() * (high - low)
    }

    fn point(&mut self) -> Point {
        Point::new(self.number(-130.0, 250.0), self.number(-45.0, 25.0))
    }

    fn vector(&mut self, most: f64) -> Vec2 {
        Vec2::new(self.number(-most, most), self.number(-most, most))
    }

    fn text(&mut self) -> String {
        match self.below(8) {
            0 => String::new(),
            1 => "long ".repeat(20_000),
            2 => "\u{0}\n\u{202e}ﷺ\u{1F52A}".to_owned(),
            n => format!("name {n}"),
        }
    }

    fn key(&mut self) -> String {
        let keys = ["steel", "brass", "walnut", "brass", "nothing like it", ""];
        self.pick(&keys).unwrap_or_default().to_owned()
    }

    fn purpose(&mut self) -> Purpose {
        self.pick(&Purpose::ALL).unwrap_or_default()
    }

    fn filling(&mut self) -> Filling {
        let material = if self.once_in(6) {
            self.key()
        } else {
            "brass".to_owned()
        };
        match self.below(5) {
            0 => Filling::Pin {
                material,
                rod_mm: self.once_in(2).then(|| self.number(0.0, 3.0)),
            },
            1 => Filling::Tube {
                material,
                bore_mm: self.number(0.0, 3.0),
            },
            2 => Filling::Epoxy { material },
            _ => Filling::Nothing,
        }
    }

    /// A starter of a random form; now and then with a hostile id or a material nobody knows.
    pub(crate) fn starter(&mut self) -> Knife {
        let forms = starter_forms();
        let form = forms[self.below(forms.len() as u64) as usize];
        let sizes = default_sizes(form.key).unwrap();
        let mut knife = make_starter(form.key, &sizes, "steel").unwrap();
        if self.once_in(self.hostile) {
            knife.stock.material = self.key();
        }
        if self.once_in(self.hostile) {
            knife.next_id = self.pick(&[0, 3, Id::MAX]).unwrap_or_default();
        }
        knife
    }

    fn node(&mut self, knife: &Knife) -> Id {
        if self.once_in(self.hostile) {
            return self.pick(&[0, 9_999, Id::MAX]).unwrap_or_default();
        }
        let ids: Vec<Id> = knife.outline.nodes.iter().map(|n| n.id).collect();
        self.pick(&ids).unwrap_or_default()
    }

    fn thing(&mut self, knife: &Knife) -> Thing {
        let node = self.node(knife);
        let cut = self.pick(&knife.cut_outs);
        let row = self.pick(&knife.rows).map_or(7, |r| r.id);
        let cut_id = cut.as_ref().map_or(7, |c| c.id);
        match self.below(10) {
            8 | 9 => self.ground_thing(knife),
            0 | 1 => Thing::Node(node),
            2 => Thing::Handle {
                node,
                outgoing: self.once_in(2),
            },
            3 => Thing::Landmark(self.pick(&LandmarkKind::ALL).unwrap_or(LandmarkKind::Tip)),
            4 => Thing::CutOut(cut_id),
            5 => {
                let free = cut.and_then(|c| match c.shape {
                    CutShape::Free { outline } => self.pick(&outline.nodes).map(|n| n.id),
                    _ => None,
                });
                Thing::CutOutNode {
                    cut_out: cut_id,
                    node: free.unwrap_or(node),
                }
            }
            6 => Thing::Row(row),
            7 if self.once_in(3) => Thing::Name,
            _ => Thing::RowEnd {
                row,
                last: self.once_in(2),
            },
        }
    }

    fn things(&mut self, knife: &Knife, most: u64) -> Vec<Thing> {
        let n = self.below(most + 1);
        (0..n).map(|_| self.thing(knife)).collect()
    }

    /// An edit of the given kind for the set.
    pub(crate) fn edit(&mut self, kind: &str, set: &KnifeSet) -> Edit {
        let ids: Vec<Id> = set.knives.iter().map(|k| k.id).collect();
        let own = self.pick(&ids);
        let id = match own {
            Some(id) if !self.once_in(25) => id,
            _ => Id::MAX,
        };
        match kind {
            "AddKnife" => Edit::AddKnife {
                knife: Box::new(self.starter()),
                materials: (0..self.below(4)).map(|_| self.material()).collect(),
            },
            "DoubleKnife" => Edit::DoubleKnife { knife: id },
            "RemoveKnife" => Edit::RemoveKnife { knife: id },
            "MoveKnife" => Edit::MoveKnife {
                knife: id,
                place: self.pick(&[0, 1, 2, usize::MAX]).unwrap_or_default(),
            },
            "NameSet" => Edit::NameSet { name: self.text() },
            "SetMaterial" => Edit::SetMaterial {
                material: self.material(),
            },
            "CopyAside" => Edit::CopyAside {
                knife: id,
                of: {
                    let cut_outs = set.knife(id).map_or(&[][..], |k| &k.cut_outs);
                    let ids: Vec<_> = cut_outs.iter().map(|c| Some(c.id)).collect();
                    self.pick(&ids).flatten().filter(|_| self.once_in(2))
                },
                by_mm: self.number(-8.0, 12.0),
            },
            "CarryOver" => Edit::CarryOver {
                from: id,
                to: self.pick(&ids).unwrap_or_default(),
                what: self.pick(&Carried::ALL).unwrap_or(Carried::Holes),
            },
            _ => {
                let first = set.knives.first();
                let change = match set.knife(id).or(first) {
                    Some(knife) => self.change(kind, knife),
                    None => Change::Rename {
                        name: String::new(),
                    },
                };
                Edit::knife(id, change)
            }
        }
    }

    fn change(&mut self, kind: &str, knife: &Knife) -> Change {
        let node = self.node(knife);
        match kind {
            "Rename" => Change::Rename { name: self.text() },
            "SetForm" => Change::SetForm { form: self.text() },
            "SetNotes" => Change::SetNotes { notes: self.text() },
            "SetHeatWords" => Change::SetHeatWords { words: self.text() },
            "Shift" => Change::Shift {
                things: vec![self.thing(knife)],
                by: self.vector(3.0),
            },
            "Shift many" => Change::Shift {
                things: self.things(knife, 12),
                by: self.vector(3.0),
            },
            "Place" => Change::Place {
                thing: self.thing(knife),
                at: self.point(),
            },
            "Remove" => Change::Remove {
                things: self.things(knife, 3),
            },
            "AddNode" => Change::AddNode {
                spot: Spot {
                    node,
                    t: self.number(0.0, 1.0),
                },
            },
            "SetJoint" => Change::SetJoint {
                node,
                joint: self
                    .pick(&[Joint::Corner, Joint::Smooth])
                    .unwrap_or_default(),
            },
            "SetHandle" => Change::SetHandle {
                node,
                outgoing: self.once_in(2),
                handle: if self.once_in(4) {
                    None
                } else {
                    Some(self.vector(20.0))
                },
            },
            "BendPiece" => Change::BendPiece {
                node,
                curved: self.once_in(2),
            },
            "PullPiece" => Change::PullPiece {
                node,
                t: self.number(-0.2, 1.2),
                to: self.point(),
            },
            "SetLandmark" => Change::SetLandmark {
                kind: self.pick(&LandmarkKind::ALL).unwrap_or(LandmarkKind::Tip),
                spot: Spot {
                    node,
                    t: self.number(0.0, 1.0),
                },
            },
            _ => self.wider_change(kind, knife),
        }
    }

    fn wider_change(&mut self, kind: &str, knife: &Knife) -> Change {
        match kind {
            "SetOutline" => Change::SetOutline {
                outline: self.outline(9, Point::new(20.0, 0.0), 30.0),
            },
            "MoveShoulderLine" => Change::MoveShoulderLine {
                to_x: self.number(-15.0, 15.0),
            },
            "AddCutOut" => Change::AddCutOut {
                shape: self.shape(),
                purpose: self.purpose(),
                filling: self.filling(),
            },
            "SetCutOut" => Change::SetCutOut {
                cut_out: CutOut {
                    id: self.pick(&knife.cut_outs).map_or(Id::MAX, |c| c.id),
                    shape: self.shape(),
                    purpose: self.purpose(),
                    filling: self.filling(),
                },
            },
            "AddRow" => Change::AddRow { row: self.row(0) },
            "SetRow" => {
                let id = self.pick(&knife.rows).map_or(Id::MAX, |r| r.id);
                Change::SetRow { row: self.row(id) }
            }
            "BreakRow" => Change::BreakRow {
                row: self.pick(&knife.rows).map_or(Id::MAX, |r| r.id),
            },
            "SetStock" => Change::SetStock {
                stock: Stock {
                    thickness_mm: self.number(1.0, 8.0),
                    tolerance_mm: self.number(0.0, 0.2),
                    material: if self.once_in(8) {
                        self.key()
                    } else {
                        "steel".to_owned()
                    },
                    layering: self.layering(),
                },
            },
            "FitTang" => Change::FitTang { tang: self.tang() },
            "SetGuard" => Change::SetGuard {
                guard: if self.once_in(3) {
                    None
                } else {
                    Some(self.guard())
                },
            },
            "SetBladeLength" => Change::SetBladeLength {
                length_mm: self.number(50.0, 300.0),
            },
            "SetTangLength" => Change::SetTangLength {
                length_mm: self.number(50.0, 150.0),
            },
            "SetHeight" => Change::SetHeight {
                height_mm: self.number(15.0, 70.0),
            },
            "FitHandle" | "MarkFlaw" | "RemoveFlaw" | "WriteWeighIn" | "RemoveWeighIn"
            | "OpenTang" | "Saw" | "Mend" | "Engrave" | "LayPicture" => {
                self.fitted_change(kind, knife)
            }
            "Straighten" | "Fair" | "JoinPieces" | "SplitPiece" | "ChangeRadius" | "Redraw"
            | "FullerAlong" => self.stretch_change(kind, knife),
            "Both" | "MirrorSide" | "Clamp" | "LineUp" | "Space" | "Turn" | "StepOff" | "Scale" => {
                self.order_change(kind, knife)
            }
            _ => self.ground_change(kind, knife),
        }
    }
}
