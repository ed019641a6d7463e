//! The window: one state, drawn; input turned into edits. It computes nothing itself.
//!
//! Each frame: [`Workshop::logic`](eframe::App::logic) carries out what was asked in the last frame and brings the results up to date; then the
//! bars, the rack, the cards and the drawing are drawn from them, and push [`Action`]s.

mod acting;
mod action;
mod app;
mod bar;
mod bench;
mod beside;
mod cards;
mod carry_out;
mod commands;
mod dashes;
mod desk;
mod dialogs;
mod drawing;
mod fields;
mod filing;
mod finding_mark;
mod finding_shelf;
mod findings_bar;
mod hands;
mod icon;
mod key_point;
mod keyboard;
mod keys;
mod menu_bar;
mod next;
mod opening;
mod picture;
mod planner;
mod preview;
mod rack;
mod ready_shelf;
mod results;
mod section;
mod session;
mod settle;
mod shown;
mod strip;
mod theme;
mod tools;
mod usual_grind;
mod usual_tang;
mod view;
mod workers;

pub use action::{Action, ExportWish};
pub use app::{Workshop, run};
pub use bar::{Bar, LayerAt, LayerBand};
pub use bench::{BenchPage, NestView, PieceFrom, SetView, StockKind};
pub use cards::GrindPart;
pub use commands::{Command, Snap, StepWay, TEXT_SIZES, Work, WorkWish};
pub use dialogs::{Answer, Calibrate, Dialog, NewKnife, PathDialog, Question, TruePrinter};
pub use filing::{After, FileWish, Filing, Purpose, StartOptions};
pub use next::Next;
pub use opening::OpeningGroup;
pub use picture::{PictureBench, PictureWish, TrueBy};
pub use results::{KnifeResults, Results};
pub use section::SectionView;
pub use session::{Baseline, DrillSetup, Preferences, SectionPlace, Session, Snaps, Tool};
pub use strip::Strip;
pub use theme::{Palette, ThemeChoice};
pub use tools::{DraftNode, Gesture, GrindGrip, Rounding, Snapped};
pub use view::View;
pub use workers::Beside;
