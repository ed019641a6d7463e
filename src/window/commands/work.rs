//! What is done with what is picked: each a command with a name and a key, and the change it makes now.

use egui::{Key, KeyboardShortcut, Modifiers};

use crate::edit::{Change, StepAlong, Thing, is_clamped};
use crate::geometry::Vec2;
use crate::knife::{Faces, Fuller, Id, Knife, Outline, Side};
use crate::window::session::Session;

/// Work on what is picked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Work {
    /// The stretch between the picked nodes becomes a straight line.
    Straighten,
    /// It becomes as few fair curves as stay within a distance of it.
    Fair,
    /// It becomes one curve.
    OneCurve,
    /// The piece ahead of the picked node becomes several.
    Split,
    /// A fuller is laid along the stretch.
    FullerAlong,
    /// The upper side of the chosen middle line is mirrored down.
    MirrorDown,
    /// The lower side is mirrored up.
    MirrorUp,
    /// What is picked comes level with the first of it.
    Level,
    /// Straight above and below it.
    Upright,
    /// Even steps from middle to middle.
    EvenMiddles,
    /// Even steel between.
    EvenSteel,
    /// Copies of the picked openings, a step on each.
    StepOff,
    /// What is picked is held where it is, or let go.
    Clamp,
}

impl Work {
    /// Work on the outline, in menu order.
    pub const ON_OUTLINE: [Self; 7] = [
        Self::Straighten,
        Self::Fair,
        Self::OneCurve,
        Self::Split,
        Self::FullerAlong,
        Self::MirrorDown,
        Self::MirrorUp,
    ];

    /// Work on several things, in menu order.
    pub const ON_SEVERAL: [Self; 6] = [
        Self::Level,
        Self::Upright,
        Self::EvenMiddles,
        Self::EvenSteel,
        Self::StepOff,
        Self::Clamp,
    ];

    /// Its name in menus and in the list of keys.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Straighten => "Straighten stretch",
            Self::Fair => "Make stretch fair",
            Self::OneCurve => "Join into one curve",
            Self::Split => "Split piece ahead",
            Self::FullerAlong => "Lay a fuller along it",
            Self::MirrorDown => "Mirror the upper side down",
            Self::MirrorUp => "Mirror the lower side up",
            Self::Level => "Bring level",
            Self::Upright => "Bring upright",
            Self::EvenMiddles => "Even middles",
            Self::EvenSteel => "Even steel between",
            Self::StepOff => "Step off copies",
            Self::Clamp => "Clamp or let go",
        }
    }

    /// What it does, in one line.
    #[must_use]
    pub fn hint(self) -> &'static str {
        match self {
            Self::Straighten => {
                "One straight line between the picked nodes; a single node goes, and its sides become one line"
            }
            Self::Fair => {
                "As few curves as stay within the distance beside it, smooth where they meet"
            }
            Self::OneCurve => "One curve in the place of the picked stretch",
            Self::Split => "Cuts the piece ahead into equal parts, without changing its shape",
            Self::FullerAlong => "A fuller whose path follows the stretch, so far inside the steel",
            Self::MirrorDown => {
                "The side above the middle line stays, the other becomes its picture"
            }
            Self::MirrorUp => "The side below the middle line stays, the other becomes its picture",
            Self::Level => "Level with the first that was picked, or with what is clamped",
            Self::Upright => "Above and below the first that was picked, or what is clamped",
            Self::EvenMiddles => "Equal steps from middle to middle between the outer two",
            Self::EvenSteel => "Equal steel left between them, the outer two stay",
            Self::StepOff => "Copies behind each other, as dividers step along a line",
            Self::Clamp => "Holds what is picked, so that nothing moves it, or lets it go",
        }
    }

    /// Its keys.
    #[must_use]
    pub fn keys(self) -> &'static [KeyboardShortcut] {
        const fn plain(key: Key) -> KeyboardShortcut {
            KeyboardShortcut::new(Modifiers::NONE, key)
        }
        match self {
            Self::Straighten => const { &[plain(Key::I)] },
            Self::Fair => const { &[plain(Key::W)] },
            Self::OneCurve => const { &[plain(Key::J)] },
            Self::Split => const { &[plain(Key::V)] },
            Self::Level => const { &[plain(Key::Y)] },
            Self::Upright => const { &[plain(Key::X)] },
            Self::EvenMiddles => const { &[plain(Key::Q)] },
            Self::EvenSteel => const { &[plain(Key::Z)] },
            Self::StepOff => const { &[plain(Key::O)] },
            Self::Clamp => const { &[plain(Key::F3)] },
            Self::FullerAlong => const { &[plain(Key::F5)] },
            Self::MirrorDown => const { &[plain(Key::Comma)] },
            Self::MirrorUp => const { &[plain(Key::Period)] },
        }
    }

    /// The change it makes of the knife now; `None` where nothing is picked that it works on.
    #[must_use]
    pub(in crate::window) fn change(self, knife: &Knife, session: &Session) -> Option<Change> {
        let nodes = picked_nodes(session);
        let within_mm = session.work.within_mm;
        let many = |least: usize| {
            let movable: Vec<Thing> = whole_picked(session);
            (movable.len() >= least).then_some(movable)
        };
        match self {
            Self::Straighten if !nodes.is_empty() => Some(Change::Straighten { nodes }),
            Self::Fair if !nodes.is_empty() => Some(Change::Fair { nodes, within_mm }),
            Self::OneCurve if !nodes.is_empty() => Some(Change::JoinPieces { nodes, within_mm }),
            Self::Split => {
                let [node] = nodes.as_slice() else {
                    return None;
                };
                let (node, parts) = (*node, session.work.parts);
                Some(Change::SplitPiece { node, parts })
            }
            Self::FullerAlong if nodes.len() > 1 => Some(Change::FullerAlong {
                nodes,
                in_mm: session.work.in_mm,
                fuller: next_fuller(knife),
            }),
            Self::MirrorDown | Self::MirrorUp => Some(Change::MirrorSide {
                line: session.both?,
                keep: if self == Self::MirrorDown {
                    Side::Upper
                } else {
                    Side::Lower
                },
            }),
            Self::Level | Self::Upright => Some(Change::LineUp {
                things: many(2)?,
                upright: self == Self::Upright,
            }),
            Self::EvenMiddles | Self::EvenSteel => Some(Change::Space {
                things: many(3)?,
                webs: self == Self::EvenSteel,
            }),
            Self::StepOff => {
                let openings = |t: &Thing| matches!(t, Thing::CutOut(_) | Thing::Row(_));
                let things: Vec<Thing> = many(1)?.into_iter().filter(openings).collect();
                (!things.is_empty()).then_some(Change::StepOff {
                    things,
                    along: session.work.along(),
                    copies: session.work.copies,
                })
            }
            Self::Clamp => {
                let things = many(1)?;
                let clamped = !things.iter().all(|t| is_clamped(knife, *t));
                Some(Change::Clamp { things, clamped })
            }
            _ => None,
        }
    }
}

/// A fuller like the last one on the knife; the first is a seventh of the bar deep on each face (common practice, no source).
fn next_fuller(knife: &Knife) -> Fuller {
    let last = knife.grinding.fullers.last().cloned();
    last.unwrap_or_else(|| Fuller {
        id: 0,
        name: "fuller".to_owned(),
        path: Outline::default(),
        faces: Faces::Both,
        nose_radius_mm: 4.0,
        depth_mm: knife.stock.thickness_mm / 7.0,
    })
}

/// The whole things among what is picked: nodes, cut-outs, rows.
fn whole_picked(session: &Session) -> Vec<Thing> {
    let whole = |t: &&Thing| matches!(t, Thing::Node(_) | Thing::CutOut(_) | Thing::Row(_));
    session.picked.iter().filter(whole).copied().collect()
}

/// The nodes of the outline among what is picked.
#[must_use]
pub(in crate::window) fn picked_nodes(session: &Session) -> Vec<Id> {
    let node = |thing: &Thing| match thing {
        Thing::Node(id) => Some(*id),
        _ => None,
    };
    session.picked.iter().filter_map(node).collect()
}

/// The numbers the next work goes by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorkWish {
    /// How far a fair curve may leave the stretch it stands for, mm.
    pub within_mm: f64,
    /// Parts a piece is split in.
    pub parts: u32,
    /// How far inside a stretch a fuller is laid along it, mm.
    pub in_mm: f64,
    /// How far outside an outline (inside, below 0) its copy lies, mm.
    pub aside_mm: f64,
    /// One step of copies that are stepped off, mm.
    pub step_mm: f64,
    /// How many copies.
    pub copies: u32,
    /// Where the steps go.
    pub way: StepWay,
}

/// Where copies are stepped off to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum StepWay {
    /// Along the knife, toward the tip.
    #[default]
    Knife,
    /// Up, toward the spine.
    Up,
    /// Along the outline.
    Outline,
    /// Along the middle of the tang.
    TangMiddle,
}

impl StepWay {
    /// All ways with their words, as a switch shows them.
    pub const WORDS: [(Self, &'static str); 4] = [
        (Self::Knife, "along"),
        (Self::Up, "up"),
        (Self::Outline, "outline"),
        (Self::TangMiddle, "tang's middle"),
    ];
}

impl WorkWish {
    /// The steps as the edit takes them.
    #[must_use]
    pub fn along(&self) -> StepAlong {
        let step_mm = self.step_mm;
        match self.way {
            StepWay::Knife => StepAlong::Line {
                by: Vec2::new(step_mm, 0.0),
            },
            StepWay::Up => StepAlong::Line {
                by: Vec2::new(0.0, step_mm),
            },
            StepWay::Outline => StepAlong::Outline { step_mm },
            StepWay::TangMiddle => StepAlong::TangMiddle { step_mm },
        }
    }
}

impl Default for WorkWish {
    fn default() -> Self {
        Self {
            within_mm: 0.2,
            aside_mm: 3.0,
            parts: 2,
            in_mm: 6.0,
            step_mm: 10.0,
            copies: 3,
            way: StepWay::default(),
        }
    }
}
