//! What the window remembers but never saves: the tool in hand, what is picked, the view, an unfinished drag.

use std::collections::BTreeMap;

use crate::edit::Thing;
use crate::files::{Learned, Services};
use crate::knife::Id;
use crate::sheet::PrinterFactors;
use crate::units::{LengthFormat, LengthUnit, MassUnit, print_number};

use super::bench::BenchPage;
use super::theme::ThemeChoice;
use super::tools::Gesture;
use super::view::View;

/// The tools on the bench.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Tool {
    /// Picks and moves things.
    #[default]
    Shift,
    /// Draws and bends the outline.
    Scribe,
    /// Places round holes.
    Drill,
    /// Places slots.
    Slot,
    /// Saws the knife off along a line.
    Saw,
    /// Measures.
    Rule,
    /// Draws over a picture.
    Trace,
}

impl Tool {
    /// All tools, in the order they hang.
    pub const ALL: [Self; 7] = [
        Self::Shift,
        Self::Scribe,
        Self::Drill,
        Self::Slot,
        Self::Saw,
        Self::Rule,
        Self::Trace,
    ];

    /// Its bench name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Shift => "Shift",
            Self::Scribe => "Scribe",
            Self::Drill => "Drill",
            Self::Slot => "Slot",
            Self::Saw => "Saw",
            Self::Rule => "Rule",
            Self::Trace => "Trace",
        }
    }

    /// One line on what to do with it.
    #[must_use]
    pub fn hint(self) -> &'static str {
        match self {
            Self::Shift => {
                "Drag a node, hole or landmark; arrow keys move what is picked by 0.1 mm"
            }
            Self::Scribe => {
                "Click the outline to add a node, double-click a node to smooth or corner it"
            }
            Self::Drill => "Click to drill a hole; its size stands on the Drill card",
            Self::Slot => {
                "Press at one end and drag to the other; the width stands on the Drill card"
            }
            Self::Saw => {
                "Press beside the steel and drag across it; then choose what becomes of it"
            }
            Self::Rule => "Press at one place and drag to another",
            Self::Trace => {
                "Lay a picture of a knife under the drawing and find its outline; drag it to where it belongs"
            }
        }
    }
}

/// What the snaps catch. All are on at first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of its own in the Bench menu"
)]
pub struct Snaps {
    /// Round millimeters (or inch parts).
    pub grid: bool,
    /// Nodes and hole centers.
    pub nodes: bool,
    /// The middle line of the tang.
    pub middle_line: bool,
    /// The same distance as between neighbors.
    pub spacing: bool,
    /// Level with or straight above other nodes and holes.
    pub level: bool,
}

impl Default for Snaps {
    fn default() -> Self {
        Self {
            grid: true,
            nodes: true,
            middle_line: true,
            spacing: true,
            level: true,
        }
    }
}

/// What the next hole, slot or row will be.
#[derive(Clone, Debug, PartialEq)]
pub struct DrillSetup {
    /// Diameter of a hole, mm.
    pub diameter_mm: f64,
    /// Width of a slot, mm.
    pub slot_width_mm: f64,
    /// What it is for.
    pub purpose: crate::knife::Purpose,
    /// What fills it.
    pub filling: crate::knife::Filling,
}

impl Default for DrillSetup {
    fn default() -> Self {
        Self {
            diameter_mm: 6.0,
            slot_width_mm: 6.0,
            purpose: crate::knife::Purpose::Lightening,
            filling: crate::knife::Filling::Nothing,
        }
    }
}

/// Mass and balance when the present gesture began.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Baseline {
    /// Mass, g.
    pub mass_g: Option<f64>,
    /// Balance point, mm.
    pub balance_mm: Option<f64>,
}

/// The maker's units, theme and screen, as kept in the settings.
#[derive(Clone, Debug, PartialEq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of its own in the Bench menu"
)]
pub struct Preferences {
    /// How lengths are shown.
    pub length_unit: LengthUnit,
    /// How masses are shown.
    pub mass_unit: MassUnit,
    /// Which theme.
    pub theme: ThemeChoice,
    /// Screen points in one real millimeter, found by holding a ruler to the screen.
    pub true_px_per_mm: f64,
    /// Whether the maker has calibrated the screen.
    pub calibrated: bool,
    /// Key of the paper that templates are printed on.
    pub paper: String,
    /// Size of all text, in percent of the usual.
    pub text_percent: u16,
    /// Whether menus and cards open and shut at once, without motion.
    pub still: bool,
    /// Whether the rack stands at the left.
    pub rack: bool,
    /// Whether the cards stand at the right.
    pub cards: bool,
    /// Whether the curvature comb is drawn.
    pub comb: bool,
    /// Whether the knife is shown from above, under the drawing.
    pub from_above: bool,
    /// Whether the section is shown under the drawing.
    pub section: bool,
    /// Whether ground faces, grind lines and reveal lines are drawn.
    pub ground: bool,
    /// How far behind the edge the section tells the thickness, mm.
    pub behind_edge_mm: [f64; 3],
    /// What the snaps catch.
    pub snaps: Snaps,
    /// Figures of the checks that are not the usual ones, by [`crate::checks::Figure::key`].
    pub figures: BTreeMap<String, f64>,
    /// What the scale has taught about the shop's own steel.
    pub learned: Learned,
    /// Cutting services with their rules.
    pub services: Services,
    /// Labels of the drills at hand; none while the maker has not said.
    pub drills: Vec<String>,
    /// What the printer's lengths are multiplied by.
    pub printer: PrinterFactors,
    /// Whether the window points at the next step of a first knife.
    pub next_step: bool,
}

impl Default for Preferences {
    fn default() -> Self {
        Self {
            length_unit: LengthUnit::Mm,
            mass_unit: MassUnit::Gram,
            theme: ThemeChoice::System,
            // 96 points to the inch, the nominal screen, until it is measured.
            true_px_per_mm: 96.0 / 25.4,
            calibrated: false,
            paper: "a4".to_owned(),
            text_percent: 100,
            still: false,
            rack: true,
            cards: true,
            comb: false,
            from_above: true,
            section: true,
            ground: true,
            behind_edge_mm: [1.0, 5.0, 10.0],
            snaps: Snaps::default(),
            figures: BTreeMap::new(),
            learned: Learned::default(),
            services: Services::default(),
            drills: Vec::new(),
            printer: PrinterFactors::PLAIN,
            next_step: true,
        }
    }
}

impl Preferences {
    /// The usual length print: tenths of a millimeter, thousandths of an inch, or 1/64.
    #[must_use]
    pub fn lengths(&self) -> LengthFormat {
        LengthFormat {
            unit: self.length_unit,
            decimals: if self.length_unit == LengthUnit::Mm {
                1
            } else {
                3
            },
        }
    }

    /// The print of thicknesses, as calipers tell them: never in fractions.
    #[must_use]
    pub fn caliper_lengths(&self) -> LengthFormat {
        self.lengths().caliper()
    }

    /// The fine length print, for coordinates and hole sizes.
    #[must_use]
    pub fn fine_lengths(&self) -> LengthFormat {
        LengthFormat {
            unit: self.length_unit,
            decimals: if self.length_unit == LengthUnit::Mm {
                2
            } else {
                4
            },
        }
    }
}

/// Where the section is taken.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SectionPlace {
    /// Place along the knife, mm, once the pointer or the maker has said one.
    pub x_mm: Option<f64>,
    /// Whether it stays there when the pointer moves.
    pub pinned: bool,
}

/// Everything the window remembers but never saves with a design.
#[derive(Clone, Debug, Default)]
pub struct Session {
    /// The knife on the drawing.
    pub knife: Option<Id>,
    /// The page of the bench in the middle of the window.
    pub page: BenchPage,
    /// How the build sheet is looked at.
    pub build: super::bench::BuildView,
    /// How the knives of the set are looked at side by side.
    pub set: super::bench::SetView,
    /// What is laid out for nesting.
    pub nest: super::bench::NestView,
    /// What is looked at of the ready check.
    pub ready: super::ready_shelf::ReadyView,
    /// Whether keys moved the keyboard last: then a ring shows where it is.
    pub by_keys: bool,
    /// Where the point moved by keys is, screen points, while it is in hand.
    pub key_point: Option<egui::Pos2>,
    /// The tool in hand.
    pub tool: Tool,
    /// What is picked on that knife.
    pub picked: Vec<Thing>,
    /// What was picked when the cards last looked.
    pub picked_on_cards: Vec<Thing>,
    /// Whether what was just picked is still to be brought into sight on its card.
    pub pick_to_show: bool,
    /// The knife that is being renamed in the rack.
    pub renaming: Option<Id>,
    /// Where each knife was last looked at.
    pub views: BTreeMap<Id, View>,
    /// An unfinished drag or drawing.
    pub gesture: Gesture,
    /// Mass and balance when the gesture began.
    pub baseline: Option<Baseline>,
    /// What the next hole will be.
    pub drill: DrillSetup,
    /// The numbers work on what is picked goes by.
    pub work: super::commands::WorkWish,
    /// The middle line whose two sides are kept alike.
    pub both: Option<crate::knife::MiddleLine>,
    /// Whether the numbers that make the whole design larger or smaller stand open on the Profile card.
    pub resize_open: bool,
    /// The drills nearest to the diameter last looked at.
    pub near_drills: super::cards::NearDrills,
    /// The rod a pin is cut from, and the drills for it.
    pub pin_rod: super::cards::PinRod,
    /// Where the pointer is on the drawing, mm.
    pub pointer: Option<crate::geometry::Point>,
    /// Last message for the line below the drawing.
    pub message: Option<String>,
    /// Typed text and errors of fields that are being edited, by field.
    pub fields: super::fields::FieldDrafts,
    /// Units, theme, screen.
    pub preferences: Preferences,
    /// The rectangle the drawing had in the last frame.
    pub canvas: Option<egui::Rect>,
    /// The knife from above as it lay in the last frame, if it was shown.
    pub strip: Option<super::strip::Strip>,
    /// Where the section is taken.
    pub section: SectionPlace,
    /// The part of the Grind card that is open.
    pub grind_part: Option<super::cards::GrindPart>,
    /// What the maker wants of a grind, as last typed on the Grind card.
    pub wanted: super::cards::Wanted,
    /// The saw's line, and what would be lost by it.
    pub saw: Option<super::drawing::SawLine>,
    /// The load that is tried.
    pub bearing: super::cards::Bearing,
    /// The wanted balance, and which plan for it is shown.
    pub plan: super::cards::PlanWish,
    /// How much wood the next handle that goes round a tang keeps.
    pub wrap: super::cards::WrapWish,
    /// The weigh-in that is written next.
    pub weigh_in: super::cards::NewWeighIn,
    /// Whether the lines to scribe stand open on the Grind card.
    pub scribe_open: bool,
    /// What the next forging of the bar shall be.
    pub forging: super::cards::Forging,
    /// Size of the drawing each knife was last fitted to, and the view that came of it: while the maker leaves that view, it is
    /// fitted again when the size is another.
    pub fitted: BTreeMap<Id, (egui::Vec2, View)>,
    /// Whether the pointer is over the drawing itself, not over something lying on it.
    pub over_ground: bool,
    /// Whether the keyboard is on a thing of the drawing.
    pub object_has_focus: bool,
    /// Whether the drawing shows the template as it will be printed.
    pub show_template: bool,
    /// What the window points at: the next step of a first knife.
    pub next: Option<super::next::Next>,
    /// The step whose card was last brought into sight.
    pub next_seen: Option<super::next::Next>,
    /// Whether a template was written since the set lies on the bench.
    pub printed: bool,
    /// The open dialog, if any.
    pub dialog: super::dialogs::Dialog,
    /// Where the keyboard was before the dialog opened.
    pub dialog_focus: super::dialogs::DialogFocus,
    /// What the bar at the top remembers.
    pub menu_bar: super::menu_bar::MenuBarState,
    /// What is marked on the picture under the drawing.
    pub picture: super::picture::PictureBench,
    /// The finding pointed at in the list, by place in it.
    pub finding: Option<usize>,
    /// What that finding is, to know it again when the list changes.
    pub finding_kept: Option<(&'static str, Option<crate::checks::Subject>)>,
    /// The finding under the pointer in the list, by place in it.
    pub finding_hovered: Option<usize>,
}

impl Session {
    /// The view of the knife on the drawing.
    #[must_use]
    pub fn view(&self) -> View {
        self.knife
            .and_then(|id| self.views.get(&id))
            .copied()
            .unwrap_or_default()
    }

    /// The view of the knife on the drawing, to change it.
    pub fn view_mut(&mut self) -> Option<&mut View> {
        Some(self.views.entry(self.knife?).or_default())
    }

    /// The scale of the drawing in words, against true size: `1 : 1.4`.
    #[must_use]
    pub fn scale_text(&self) -> String {
        let ratio = self.preferences.true_px_per_mm / self.view().px_per_mm;
        if ratio >= 1.0 {
            format!("1 : {}", print_number(ratio, 1))
        } else {
            format!("{} : 1", print_number(1.0 / ratio, 1))
        }
    }

    /// Whether a dialog is open and has the keyboard.
    #[must_use]
    pub fn dialog_open(&self) -> bool {
        self.dialog != super::dialogs::Dialog::None
    }

    /// Whether a thing is picked.
    #[must_use]
    pub fn is_picked(&self, thing: Thing) -> bool {
        self.picked.contains(&thing)
    }

    /// Whether a node, a row or a free shape is picked, or a grip of it: its grips stay while the keyboard goes from one to the next.
    #[must_use]
    pub fn is_open(&self, thing: Thing) -> bool {
        self.picked.iter().any(|picked| match *picked {
            Thing::Handle { node, .. } => thing == Thing::Node(node),
            Thing::RowEnd { row, .. } => thing == Thing::Row(row),
            Thing::CutOutNode { cut_out, .. } => thing == Thing::CutOut(cut_out),
            _ => false,
        }) || self.is_picked(thing)
    }
}
