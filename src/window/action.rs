//! What drawing asks for; carried out after the frame, in order.

use crate::edit::{Edit, Thing};
use crate::knife::Id;
use crate::planning::Wanted;

use super::bench::BenchPage;
use super::commands::Command;
use super::filing::FileWish;
use super::picture::PictureWish;
use super::session::Tool;

/// What shall leave the program, of the knife on the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ExportWish {
    /// The true-size drawing as SVG.
    Svg,
    /// The cutting file as DXF.
    Dxf,
    /// The cutting file as DXF of release 12, for old controllers.
    DxfR12,
    /// The true-size template as PDF, on the paper of the preferences.
    Pdf,
    /// The template of both faces as PDF, to be folded over the spine.
    Folded,
    /// The templates of all knives as one PDF, on as few pages as they fit on.
    Together,
    /// The cutting files of all knives, each as often as it is wanted, one file for each bar.
    CutTogether,
    /// Every file of every knife, into a folder.
    All,
    /// The page the printer is trued by.
    PrinterPage,
    /// The build sheet as it is looked at.
    Build,
    /// The table of the set as comma-separated values.
    Table,
    /// The cutting files of the nest that was found.
    Nest,
}

/// A wish pushed while drawing.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Change the set.
    Edit(Edit),
    /// Change the set as it was when the gesture began, in the place of what the gesture has changed; nothing takes that back.
    EditAnew(Option<Edit>),
    /// Make the whole design so large that the finished knife weighs this, g.
    ScaleToMass(f64),
    /// Begin a gesture: edits until [`Action::End`] are one undo step with this name.
    Begin(String),
    /// End the gesture.
    End,
    /// Drop the gesture and what it changed.
    Cancel,
    /// Pick these things, and no others.
    Pick(Vec<Thing>),
    /// Bring a knife onto the drawing.
    ShowKnife(Id),
    /// Take a tool in hand.
    Take(Tool),
    /// Lay a page of the bench into the middle of the window.
    ShowPage(BenchPage),
    /// Undo one step.
    Undo,
    /// Redo one step.
    Redo,
    /// Fit the knife into the drawing.
    Fit,
    /// Show at true size.
    TrueSize,
    /// Write a file.
    Export(ExportWish),
    /// Do a command of the menus.
    Do(Command),
    /// Something that concerns files.
    File(FileWish),
    /// Plan holes for a wanted balance or mass of the knife on the drawing.
    Plan(Wanted),
    /// Stop planning and forget the plans.
    DropPlans,
    /// Lay the knives out on the stock.
    StartNest,
    /// Stop that, and keep the best nest so far.
    StopNest,
    /// Something that concerns the picture under the drawing.
    Picture(PictureWish),
    /// Say something in the line below the drawing.
    Say(String),
}
