//! Every command of the maker: its name, its keys and when it makes sense. Menus and keys share this one list.

mod pressed;
mod sense;
mod work;

use egui::{Key, KeyboardShortcut, Modifiers};

use crate::knife::MiddleLine;
use crate::units::{LengthUnit, MassUnit};

use super::action::ExportWish;
use super::bench::BenchPage;
use super::session::{Snaps, Tool};
use super::shown::Shown;
use super::theme::ThemeChoice;

pub(super) use pressed::pressed;
pub(super) use sense::text_size_beside;
pub(super) use work::picked_nodes;
pub use work::{StepWay, Work, WorkWish};

/// Text sizes the maker can choose, in percent of the usual size.
pub const TEXT_SIZES: [u16; 7] = [80, 90, 100, 115, 130, 150, 200];

/// One thing that can be snapped to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Snap {
    /// Round lengths.
    Grid,
    /// Nodes and hole centers.
    Nodes,
    /// The middle line of the tang.
    MiddleLine,
    /// The same distance as between neighbors.
    Spacing,
    /// Level with or straight above other things.
    Level,
}

impl Snap {
    /// All of them, in menu order.
    pub const ALL: [Self; 5] = [
        Self::Grid,
        Self::Nodes,
        Self::MiddleLine,
        Self::Spacing,
        Self::Level,
    ];

    /// Whether this snap is on.
    #[must_use]
    pub fn of(self, snaps: Snaps) -> bool {
        match self {
            Self::Grid => snaps.grid,
            Self::Nodes => snaps.nodes,
            Self::MiddleLine => snaps.middle_line,
            Self::Spacing => snaps.spacing,
            Self::Level => snaps.level,
        }
    }

    /// Turns this snap on or off.
    pub fn flip(self, snaps: &mut Snaps) {
        let own = match self {
            Self::Grid => &mut snaps.grid,
            Self::Nodes => &mut snaps.nodes,
            Self::MiddleLine => &mut snaps.middle_line,
            Self::Spacing => &mut snaps.spacing,
            Self::Level => &mut snaps.level,
        };
        *own = !*own;
    }
}

/// A command of the maker.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Command {
    /// Put an empty set on the bench.
    NewSet,
    /// Add a knife from a starter form.
    NewKnife,
    /// Open a design with the desktop's dialog.
    Open,
    /// Open a design by its path, without the desktop's dialog.
    OpenByPath,
    /// Lay a picture under the drawing.
    LayPicture,
    /// Save to the design's own file.
    Save,
    /// Save to another file.
    SaveAs,
    /// Save to a path, without the desktop's dialog.
    SaveByPath,
    /// Write files of the knife on the drawing, or of all.
    Export(ExportWish),
    /// Close the window.
    Close,
    /// Take the last step back.
    Undo,
    /// Do the last undone step again.
    Redo,
    /// Pick every node, cut-out and row of the knife.
    PickAll,
    /// Remove what is picked.
    RemovePicked,
    /// Work on what is picked.
    Work(Work),
    /// Draw over a stretch of the outline with a free hand.
    DrawOver,
    /// Keep both sides of a middle line alike, or no longer.
    Both(MiddleLine),
    /// Put a copy of the knife behind it.
    DoubleKnife,
    /// Take the knife out of the rack.
    RemoveKnife,
    /// Move the knife one place up in the rack.
    KnifeUp,
    /// Move the knife one place down in the rack.
    KnifeDown,
    /// Show the knife above in the rack.
    KnifeAbove,
    /// Show the knife below in the rack.
    KnifeBelow,
    /// Take a tool in hand.
    Take(Tool),
    /// Lay a page of the bench into the middle of the window.
    Page(BenchPage),
    /// Fit the knife into the drawing.
    Fit,
    /// Show at true size.
    TrueSize,
    /// Look closer.
    Closer,
    /// Look from farther away.
    Farther,
    /// Show the rack or give its room to the drawing.
    Rack,
    /// Show the cards or give their room to the drawing.
    Cards,
    /// Show the curvature comb or not.
    Comb,
    /// Show the knife from above, under the drawing, or not.
    FromAbove,
    /// Show the section under the drawing or not.
    Section,
    /// Show what is ground on the drawing or not.
    Ground,
    /// Show the picture under the drawing or not.
    Picture,
    /// Turn one snap on or off.
    Snap(Snap),
    /// Choose the theme.
    Theme(ThemeChoice),
    /// Choose how lengths are shown.
    Lengths(LengthUnit),
    /// Choose how masses are shown.
    Masses(MassUnit),
    /// Make all text larger.
    LargerText,
    /// Make all text smaller.
    SmallerText,
    /// The usual text size.
    UsualText,
    /// Show menus and cards at once, without motion, or not.
    Still,
    /// Hold a ruler to the screen.
    Calibrate,
    /// Type what the printer page measures.
    Printer,
    /// Change what the checks go by.
    Figures,
    /// Point at the next step of a first knife or not.
    NextStep,
    /// List the keys.
    Keys,
    /// Working safely.
    Cautions,
    /// What this program is.
    About,
}

impl Command {
    /// Every command.
    pub const ALL: [Self; 92] = [
        Self::NewSet,
        Self::NewKnife,
        Self::Open,
        Self::OpenByPath,
        Self::LayPicture,
        Self::Save,
        Self::SaveAs,
        Self::SaveByPath,
        Self::Export(ExportWish::Pdf),
        Self::Export(ExportWish::Folded),
        Self::Export(ExportWish::Together),
        Self::Export(ExportWish::Svg),
        Self::Export(ExportWish::Dxf),
        Self::Export(ExportWish::DxfR12),
        Self::Export(ExportWish::CutTogether),
        Self::Export(ExportWish::All),
        Self::Export(ExportWish::PrinterPage),
        Self::Export(ExportWish::Build),
        Self::Export(ExportWish::Table),
        Self::Close,
        Self::Undo,
        Self::Redo,
        Self::PickAll,
        Self::RemovePicked,
        Self::Work(Work::Straighten),
        Self::Work(Work::Fair),
        Self::Work(Work::OneCurve),
        Self::Work(Work::Split),
        Self::DrawOver,
        Self::Work(Work::FullerAlong),
        Self::Both(MiddleLine::Knife),
        Self::Both(MiddleLine::Tang),
        Self::Work(Work::MirrorDown),
        Self::Work(Work::MirrorUp),
        Self::Work(Work::Level),
        Self::Work(Work::Upright),
        Self::Work(Work::EvenMiddles),
        Self::Work(Work::EvenSteel),
        Self::Work(Work::StepOff),
        Self::Work(Work::Clamp),
        Self::DoubleKnife,
        Self::RemoveKnife,
        Self::KnifeUp,
        Self::KnifeDown,
        Self::KnifeAbove,
        Self::KnifeBelow,
        Self::Take(Tool::Shift),
        Self::Take(Tool::Scribe),
        Self::Take(Tool::Drill),
        Self::Take(Tool::Slot),
        Self::Take(Tool::Saw),
        Self::Take(Tool::Rule),
        Self::Take(Tool::Trace),
        Self::Page(BenchPage::Drawing),
        Self::Page(BenchPage::Set),
        Self::Page(BenchPage::Nest),
        Self::Page(BenchPage::Build),
        Self::Fit,
        Self::TrueSize,
        Self::Closer,
        Self::Farther,
        Self::Rack,
        Self::Cards,
        Self::Comb,
        Self::FromAbove,
        Self::Section,
        Self::Ground,
        Self::Picture,
        Self::Snap(Snap::Grid),
        Self::Snap(Snap::Nodes),
        Self::Snap(Snap::MiddleLine),
        Self::Snap(Snap::Spacing),
        Self::Snap(Snap::Level),
        Self::Theme(ThemeChoice::System),
        Self::Theme(ThemeChoice::Blue),
        Self::Theme(ThemeChoice::Paper),
        Self::Lengths(LengthUnit::Mm),
        Self::Lengths(LengthUnit::DecimalInch),
        Self::Lengths(LengthUnit::FractionInch),
        Self::Masses(MassUnit::Gram),
        Self::Masses(MassUnit::Ounce),
        Self::LargerText,
        Self::SmallerText,
        Self::UsualText,
        Self::Still,
        Self::Calibrate,
        Self::Printer,
        Self::Figures,
        Self::NextStep,
        Self::Keys,
        Self::Cautions,
        Self::About,
    ];

    /// Its name in menus and in the list of keys.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::NewSet => "New set",
            Self::NewKnife => "New knife…",
            Self::Open => "Open…",
            Self::OpenByPath => "Open by path…",
            Self::LayPicture => "Lay a picture under…",
            Self::Save => "Save",
            Self::SaveAs => "Save as…",
            Self::SaveByPath => "Save by path…",
            Self::Export(wish) => match wish {
                ExportWish::Pdf => "Write template for print…",
                ExportWish::Svg => "Write SVG…",
                ExportWish::Dxf => "Write DXF for cutting…",
                ExportWish::DxfR12 => "Write DXF, release 12…",
                ExportWish::Folded => "Write folded template…",
                ExportWish::Together => "Write templates of all knives, few pages…",
                ExportWish::CutTogether => "Write one cutting file of all knives…",
                ExportWish::All => "Write all files of all knives…",
                ExportWish::PrinterPage => "Write printer page…",
                ExportWish::Build => "Write build sheet…",
                ExportWish::Table => "Write table of the set…",
                ExportWish::Nest => "Write nest…",
            },
            Self::Close => "Close window",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
            Self::PickAll => "Pick all",
            Self::RemovePicked => "Remove picked",
            Self::Work(work) => work.name(),
            Self::DrawOver => "Draw over a stretch",
            Self::Both(MiddleLine::Knife) => "Both sides of the knife alike",
            Self::Both(MiddleLine::Tang) => "Both sides of the tang alike",
            Self::DoubleKnife => "Double knife",
            Self::RemoveKnife => "Remove knife",
            Self::KnifeUp => "Move knife up",
            Self::KnifeDown => "Move knife down",
            Self::KnifeAbove => "Knife above",
            Self::KnifeBelow => "Knife below",
            Self::Take(tool) => tool.name(),
            Self::Page(page) => page.name(),
            Self::Fit => "Fit",
            Self::TrueSize => "True size 1:1",
            Self::Closer => "Closer",
            Self::Farther => "Farther",
            Self::Rack => "Rack",
            Self::Cards => "Cards",
            Self::Comb => "Curvature comb",
            Self::FromAbove => "From above",
            Self::Section => "Section",
            Self::Ground => "Ground faces",
            Self::Picture => "Picture",
            Self::Snap(snap) => match snap {
                Snap::Grid => "Snap to round lengths",
                Snap::Nodes => "Snap to nodes and hole centers",
                Snap::MiddleLine => "Snap to the tang's middle line",
                Snap::Spacing => "Snap to even spacing",
                Snap::Level => "Snap level and upright",
            },
            Self::Theme(theme) => match theme {
                ThemeChoice::System => "Colors as the desktop",
                ThemeChoice::Blue => "Layout blue",
                ThemeChoice::Paper => "Paper",
            },
            Self::Lengths(unit) => match unit {
                LengthUnit::Mm => "Millimeters",
                LengthUnit::DecimalInch => "Inches, decimal",
                LengthUnit::FractionInch => "Inches, fractions",
            },
            Self::Masses(unit) => match unit {
                MassUnit::Gram => "Grams",
                MassUnit::Ounce => "Ounces",
            },
            Self::LargerText => "Larger text",
            Self::SmallerText => "Smaller text",
            Self::UsualText => "Usual text size",
            Self::Still => "Reduced motion",
            Self::Calibrate => "Calibrate screen…",
            Self::Printer => "True the printer…",
            Self::Figures => "Shop figures…",
            Self::NextStep => "Point at the next step",
            Self::Keys => "Keys",
            Self::Cautions => "Working safely",
            Self::About => "About Tangwright",
        }
    }

    /// Its name as it stands now: undo and redo say what they take back or do again.
    #[must_use]
    pub(super) fn label(self, shown: &Shown<'_>) -> String {
        let what = match self {
            Self::Undo => shown.history.undo_label(),
            Self::Redo => shown.history.redo_label(),
            _ => None,
        };
        match what {
            Some(what) => format!("{} {what}", self.name()),
            None => self.name().to_owned(),
        }
    }

    /// Its keys; the first is the one shown in menus.
    #[must_use]
    pub fn keys(self) -> &'static [KeyboardShortcut] {
        const fn plain(key: Key) -> KeyboardShortcut {
            KeyboardShortcut::new(Modifiers::NONE, key)
        }
        const fn with(key: Key) -> KeyboardShortcut {
            KeyboardShortcut::new(Modifiers::COMMAND, key)
        }
        const fn with_shift(key: Key) -> KeyboardShortcut {
            KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key)
        }
        match self {
            Self::NewSet => const { &[with(Key::N)] },
            Self::NewKnife => const { &[with_shift(Key::N)] },
            Self::Open => const { &[with(Key::O)] },
            Self::OpenByPath => const { &[with_shift(Key::O)] },
            Self::Save => const { &[with(Key::S)] },
            Self::SaveAs => const { &[with_shift(Key::S)] },
            Self::Export(ExportWish::Pdf) => const { &[with(Key::P)] },
            Self::Export(ExportWish::All) => const { &[with(Key::E)] },
            Self::Close => const { &[with(Key::Q), with(Key::W)] },
            Self::Undo => const { &[with(Key::Z)] },
            Self::Redo => const { &[with_shift(Key::Z), with(Key::Y)] },
            Self::PickAll => const { &[with(Key::A)] },
            Self::RemovePicked => const { &[plain(Key::Delete), plain(Key::Backspace)] },
            Self::Work(work) => work.keys(),
            Self::DrawOver => const { &[plain(Key::U)] },
            Self::Both(MiddleLine::Knife) => const { &[plain(Key::B)] },
            Self::Both(MiddleLine::Tang) => const { &[plain(Key::H)] },
            Self::DoubleKnife => const { &[with(Key::D)] },
            Self::RemoveKnife => const { &[with(Key::Delete), with(Key::Backspace)] },
            Self::KnifeUp => const { &[with(Key::PageUp)] },
            Self::KnifeDown => const { &[with(Key::PageDown)] },
            Self::KnifeAbove => const { &[plain(Key::PageUp)] },
            Self::KnifeBelow => const { &[plain(Key::PageDown)] },
            Self::Take(tool) => match tool {
                Tool::Shift => const { &[plain(Key::Num1)] },
                Tool::Scribe => const { &[plain(Key::Num2)] },
                Tool::Drill => const { &[plain(Key::Num3)] },
                Tool::Slot => const { &[plain(Key::Num4)] },
                Tool::Saw => const { &[plain(Key::Num5)] },
                Tool::Rule => const { &[plain(Key::Num6)] },
                Tool::Trace => const { &[plain(Key::Num7)] },
            },
            Self::Page(page) => match page {
                BenchPage::Drawing => const { &[plain(Key::F6)] },
                BenchPage::Set => const { &[plain(Key::F9)] },
                BenchPage::Nest => const { &[plain(Key::F7)] },
                BenchPage::Build => const { &[plain(Key::F8)] },
            },
            Self::Fit => const { &[plain(Key::F)] },
            Self::TrueSize => const { &[plain(Key::T)] },
            Self::Closer => const { &[plain(Key::Plus), plain(Key::Equals)] },
            Self::Farther => const { &[plain(Key::Minus)] },
            Self::Rack => const { &[plain(Key::R)] },
            Self::Cards => const { &[plain(Key::K)] },
            Self::Comb => const { &[plain(Key::C)] },
            Self::FromAbove => const { &[plain(Key::A)] },
            Self::Section => const { &[plain(Key::S)] },
            Self::Ground => const { &[plain(Key::D)] },
            Self::Picture => const { &[plain(Key::P)] },
            Self::Snap(snap) => match snap {
                Snap::Grid => const { &[plain(Key::G)] },
                Snap::Nodes => const { &[plain(Key::N)] },
                Snap::MiddleLine => const { &[plain(Key::M)] },
                Snap::Spacing => const { &[plain(Key::E)] },
                Snap::Level => const { &[plain(Key::L)] },
            },
            Self::LargerText => const { &[with(Key::Plus), with(Key::Equals)] },
            Self::SmallerText => const { &[with(Key::Minus)] },
            Self::UsualText => const { &[with(Key::Num0)] },
            Self::Keys => const { &[plain(Key::F1)] },
            Self::SaveByPath
            | Self::LayPicture
            | Self::Export(_)
            | Self::Theme(_)
            | Self::Lengths(_)
            | Self::Masses(_)
            | Self::Still
            | Self::Calibrate
            | Self::Printer
            | Self::Figures
            | Self::NextStep
            | Self::Cautions
            | Self::About => &[],
        }
    }

    /// Whether its keys work while text is being typed: those that concern the whole file or window, never those a
    /// text field has a use of its own for.
    #[must_use]
    pub fn works_while_typing(self) -> bool {
        matches!(
            self,
            Self::NewSet
                | Self::NewKnife
                | Self::Open
                | Self::OpenByPath
                | Self::Save
                | Self::SaveAs
                | Self::Close
                | Self::LargerText
                | Self::SmallerText
                | Self::UsualText
                | Self::Keys
                | Self::Page(_)
        )
    }
}

#[cfg(test)]
mod tests;
