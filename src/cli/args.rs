//! What can be asked for on the command line.

use std::path::PathBuf;

use clap::builder::{PossibleValue, PossibleValuesParser};
use clap::{ArgGroup, Args, Parser, Subcommand, ValueEnum};

use super::counts::CountArguments;
use super::engrave::EngraveArguments;
use super::left::LeftArguments;
use super::nest_args::NestArguments;
use super::rack_table::TableArguments;
use super::ready::ReadyArguments;
use super::service::ServiceArguments;
use super::trace_args::TraceArguments;
use crate::geometry::Point;
use crate::knife::starter_forms;
use crate::planning::KeepOff;
use crate::reading::drawing::{DrawingUnit, JOIN_MM};
use crate::sheet::exports::ExportKind;
use crate::strength::LoadAt;

/// Draw a blade with its tang at true size, and know what it weighs before any steel is cut.
#[derive(Debug, Parser)]
#[command(
    name = "tangwright",
    version,
    args_conflicts_with_subcommands = true,
    after_help = "Without a command the window opens, on FILE if one is given.\n\
        Exit codes: 0 done; 1 the design has a stop finding, or what was read or written is bad; 2 wrong use."
)]
pub(super) struct Arguments {
    /// Design file to open in the window
    #[arg(value_name = "FILE")]
    pub file: Option<PathBuf>,
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// The commands that need no window.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Tell area, mass and balance, and what each cut-out takes
    Weigh(WeighArguments),
    /// Put the knives of a set in a table, and tell the bar they take
    Table(TableArguments),
    /// Look for what can't be made, or is likely to fail
    Check(CheckArguments),
    /// Look for what a cutting service would ask about, and mend what needs no judgment
    Ready(ReadyArguments),
    /// Show, change and keep the rules of the services work is sent to
    Service(ServiceArguments),
    /// Engrave a name on a tang, or take it off
    Engrave(EngraveArguments),
    /// Compare what sections, holes and shoulders bear
    Strength(StrengthArguments),
    /// Name the drills for a pin: tight, to slip through, to be peened
    Drills(DrillsArguments),
    /// Find holes, a slot or a taper for a wanted balance or mass
    Plan(PlanArguments),
    /// Write true-size templates, cutting files and scribing strips
    Template(TemplateArguments),
    /// Tell the work step by step, and print it as a sheet for the bench
    Build(BuildArguments),
    /// Write the page a printer is trued by, and take in what it measures
    Printer(PrinterArguments),
    /// Lay knives on a bar or a sheet with as little waste as possible
    Nest(NestArguments),
    /// Begin a design from a blade form
    New(NewArguments),
    /// Read drawings (SVG, DXF) into a design, one knife for each
    Import(ImportArguments),
    /// Find the outline of a knife in a picture and begin a design with it
    Trace(TraceArguments),
}

#[derive(Debug, Args)]
pub(super) struct WeighArguments {
    /// Design file
    pub file: PathBuf,
    /// Only the knife of this name
    #[arg(long, value_name = "NAME")]
    pub knife: Option<String>,
    /// Where the hand holds it, for the center of percussion: mm from the shoulder line, less than nothing behind it
    #[arg(long, value_name = "MM", value_parser = place_mm, allow_hyphen_values = true)]
    pub grip: Option<f64>,
    #[command(flatten)]
    pub forge: ForgeArguments,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub(super) struct DrillsArguments {
    /// Size of the pin: mm, or inch as 3/16in
    pub pin: String,
    /// So many drills for each fit
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=50))]
    pub show: u8,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// What a blank is forged from, when that is not the plan in the file.
#[derive(Debug, Args)]
pub(super) struct ForgeArguments {
    /// Tell how much of a bar of this section to forge, such as 25x6
    #[arg(long, value_name = "WIDTHxTHICK", value_parser = super::nest_args::sizes, conflicts_with = "forge_billet")]
    pub forge_bar: Option<(f64, f64)>,
    /// Tell what pieces of this width to stack and weld
    #[arg(long, value_name = "WIDTH", value_parser = super::nest_args::length)]
    pub forge_billet: Option<f64>,
    /// How many times thinner the billet comes out
    #[arg(long, value_name = "TIMES", requires = "forge_billet")]
    pub thinned: Option<f64>,
    /// Sets of heats it takes
    #[arg(long, value_name = "N")]
    pub heats: Option<u32>,
}

#[derive(Debug, Args)]
pub(super) struct CheckArguments {
    /// Design file
    pub file: PathBuf,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub(super) struct StrengthArguments {
    /// Design file
    pub file: PathBuf,
    /// Only the knife of this name
    #[arg(long, value_name = "NAME")]
    pub knife: Option<String>,
    /// Force across the knife, N
    #[arg(long, value_name = "N", default_value_t = 100.0)]
    pub load: f64,
    /// Where it bears: tip, percussion, or mm from the shoulder line
    #[arg(long, value_name = "PLACE", default_value = "tip", value_parser = load_place, allow_hyphen_values = true)]
    pub at: LoadAt,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
#[command(group(ArgGroup::new("wanted").required(true).args(["balance", "mass"])))]
pub(super) struct PlanArguments {
    /// Design file
    pub file: PathBuf,
    /// The knife of this name; needed when there are several
    #[arg(long, value_name = "NAME")]
    pub knife: Option<String>,
    /// Wanted balance of the finished knife, mm from the shoulder line
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub balance: Option<f64>,
    /// Wanted mass of the finished knife, g
    #[arg(long, value_name = "G")]
    pub mass: Option<f64>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Write the design with the first plan carried out, or the one named
    #[arg(long, value_name = "OUT")]
    pub apply: Option<PathBuf>,
    /// The plan to carry out, by its name
    #[arg(long, value_name = "NAME", requires = "apply")]
    pub plan: Option<String>,
    #[command(flatten)]
    pub rules: PlanRuleArguments,
}

/// What a plan must keep to, besides the shop's figures.
#[derive(Debug, Args)]
pub(super) struct PlanRuleArguments {
    /// Only these drills, by what stands on them: 5,1/4,F
    #[arg(long, value_name = "LIST", value_delimiter = ',')]
    pub drills: Vec<String>,
    /// Holes on the middle line of the tang, or in pairs beside it
    #[arg(long)]
    pub symmetric: bool,
    /// Round holes only, no slots and no taper
    #[arg(long)]
    pub only_holes: bool,
    /// Most holes in one plan
    #[arg(long, value_name = "N", default_value_t = 12, value_parser = clap::value_parser!(u8).range(1..=24))]
    pub most_holes: u8,
    /// Most steel to take, g
    #[arg(long, value_name = "G")]
    pub most_removed: Option<f64>,
    /// Holes stay behind this place, mm from the shoulder line
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub front: Option<f64>,
    /// Holes stay ahead of this place, mm from the shoulder line
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub rear: Option<f64>,
    /// A place to keep off, besides marked flaws: its middle and how far it reaches, mm; may be given again
    #[arg(long, value_name = "X,Y,R", value_parser = keep_off, allow_hyphen_values = true)]
    pub keep_off: Vec<KeepOff>,
    /// Key of the material in the set that fills the new holes
    #[arg(long, value_name = "KEY")]
    pub fill: Option<String>,
}

fn keep_off(word: &str) -> Result<KeepOff, String> {
    let numbers: Vec<f64> = word
        .split(',')
        .filter_map(|n| n.trim().parse().ok())
        .collect();
    match numbers[..] {
        [x, y, radius_mm] if (x + y + radius_mm).is_finite() && radius_mm >= 0.0 => Ok(KeepOff {
            center: Point::new(x, y),
            radius_mm,
        }),
        _ => Err("give three numbers of mm, as -40,2,5".to_owned()),
    }
}

fn place_mm(word: &str) -> Result<f64, String> {
    match word.parse::<f64>() {
        Ok(mm) if mm.is_finite() => Ok(mm),
        _ => Err("give a number of mm".to_owned()),
    }
}

fn load_place(word: &str) -> Result<LoadAt, String> {
    match word {
        "tip" => Ok(LoadAt::Tip),
        "percussion" => Ok(LoadAt::Percussion),
        place => place_mm(place)
            .map(LoadAt::Place)
            .map_err(|_not_a_place| "give tip, percussion, or a number of mm".to_owned()),
    }
}

#[derive(Debug, Args)]
pub(super) struct TemplateArguments {
    /// Design file
    pub file: PathBuf,
    /// Folder to write to; it is made if need be
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
    #[command(flatten)]
    pub formats: FormatArguments,
    /// Paper the PDF is printed on
    #[arg(long, value_enum, default_value_t = PaperArgument::A4)]
    pub paper: PaperArgument,
    /// Only the knife of this name
    #[arg(long, value_name = "NAME")]
    pub knife: Option<String>,
    #[command(flatten)]
    pub counts: CountArguments,
    #[command(flatten)]
    pub left: LeftArguments,
}

#[derive(Debug, Args)]
pub(super) struct BuildArguments {
    /// Design file
    pub file: PathBuf,
    /// PDF to print and lay on the bench
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Paper it is printed on
    #[arg(long, value_enum, default_value_t = PaperArgument::A4)]
    pub paper: PaperArgument,
    /// Only the knife of this name
    #[arg(long, value_name = "NAME")]
    pub knife: Option<String>,
}

#[derive(Debug, Args)]
#[command(group(ArgGroup::new("asked").required(true).multiple(true).args(["out", "long", "plain"])))]
pub(super) struct PrinterArguments {
    /// PDF with the two bars, to print at 100 %
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Paper it is printed on
    #[arg(long, value_enum, default_value_t = PaperArgument::A4)]
    pub paper: PaperArgument,
    /// What the long bar measures on paper, mm
    #[arg(long, value_name = "MM", requires = "short")]
    pub long: Option<f64>,
    /// What the short bar measures on paper, mm
    #[arg(long, value_name = "MM", requires = "long")]
    pub short: Option<f64>,
    /// Print lengths as they are drawn again
    #[arg(long, conflicts_with = "long")]
    pub plain: bool,
}

/// What to write; all of it when nothing is asked for.
#[derive(Clone, Copy, Debug, Args)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a flag of its own on the command line"
)]
pub(super) struct FormatArguments {
    /// Write SVG, with curves kept; for a ground blade also its scribing strip
    #[arg(long)]
    pub svg: bool,
    /// Write DXF with lines and arcs
    #[arg(long)]
    pub dxf: bool,
    /// Write DXF with exact splines
    #[arg(long)]
    pub dxf_splines: bool,
    /// Write DXF R12, for old machines
    #[arg(long)]
    pub dxf_r12: bool,
    /// Write a PDF to print at true size, the scribing strip and the spine strip behind the template
    #[arg(long)]
    pub pdf: bool,
    /// Write a PDF of both faces, to fold over the spine
    #[arg(long)]
    pub folded: bool,
    /// One file of each kind for all knives: a PDF on as few pages as they fit on, unless told otherwise; an SVG or DXF of all that are cut from one bar
    #[arg(long)]
    pub together: bool,
}

/// Papers a template can be printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum PaperArgument {
    /// 210 × 297 mm
    A4,
    /// 297 × 420 mm
    A3,
    /// 8.5 × 11 in
    Letter,
}

impl PaperArgument {
    /// Its key in the catalog.
    pub(super) fn key(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::A3 => "a3",
            Self::Letter => "letter",
        }
    }
}

impl FormatArguments {
    /// The kinds of files asked for.
    pub(super) fn kinds(self) -> Vec<ExportKind> {
        let asked = |kind: &ExportKind| match kind {
            ExportKind::Svg => self.svg,
            ExportKind::Dxf => self.dxf,
            ExportKind::DxfSplines => self.dxf_splines,
            ExportKind::DxfR12 => self.dxf_r12,
            ExportKind::Pdf => self.pdf,
            ExportKind::Folded => self.folded,
        };
        let kinds: Vec<ExportKind> = ExportKind::ALL.into_iter().filter(asked).collect();
        if kinds.is_empty() && self.together {
            return vec![ExportKind::Pdf];
        }
        if kinds.is_empty() {
            return ExportKind::ALL.to_vec();
        }
        kinds
    }
}

#[derive(Debug, Args)]
pub(super) struct NewArguments {
    /// Blade form to start from
    #[arg(value_parser = forms())]
    pub form: String,
    /// File to write
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
}

#[derive(Debug, Args)]
pub(super) struct ImportArguments {
    /// Drawings, SVG or DXF
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// Design file to write
    #[arg(long, value_name = "SET.tangwright")]
    pub out: PathBuf,
    /// What one unit of the drawing is, if the file does not say or is wrong
    #[arg(long, value_enum)]
    pub units: Option<UnitArgument>,
    /// Multiply every length
    #[arg(
        long,
        value_name = "FACTOR",
        default_value_t = 1.0,
        allow_negative_numbers = true
    )]
    pub scale: f64,
    /// Join ends nearer than this, mm
    #[arg(long, value_name = "MM", default_value_t = JOIN_MM, allow_negative_numbers = true)]
    pub join: f64,
    /// Length from the shoulder line to the tip, mm, if the guess is wrong
    #[arg(long, value_name = "MM", allow_negative_numbers = true)]
    pub blade: Option<f64>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// Units of a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum UnitArgument {
    /// Millimeters
    Mm,
    /// Inches
    In,
    /// Pixels, 96 to the inch
    Px96,
}

impl UnitArgument {
    /// The unit of the reader.
    pub(super) fn unit(self) -> DrawingUnit {
        match self {
            Self::Mm => DrawingUnit::Mm,
            Self::In => DrawingUnit::Inch,
            Self::Px96 => DrawingUnit::Px96,
        }
    }
}

fn forms() -> PossibleValuesParser {
    PossibleValuesParser::new(
        starter_forms()
            .iter()
            .map(|form| PossibleValue::new(form.key).help(form.hint)),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_description_holds_together() {
        // clap's own check of flags, values and help.
        use clap::CommandFactory;
        Arguments::command().debug_assert();
    }

    #[test]
    fn papers_are_in_the_catalog() {
        for paper in PaperArgument::value_variants() {
            assert!(crate::catalog::paper(paper.key()).is_some(), "{paper:?}");
        }
    }

    #[test]
    fn a_file_alone_is_for_the_window() {
        let read = |words: &[&str]| {
            Arguments::try_parse_from(words).map(|a| (a.file, a.command.is_some()))
        };
        assert_eq!(read(&["tangwright"]).unwrap(), (None, false));
        let (file, command) = read(&["tangwright", "set.tangwright"]).unwrap();
        assert_eq!((file, command), (Some("set.tangwright".into()), false));
        let (file, command) = read(&["tangwright", "weigh", "a"]).unwrap();
        assert_eq!((file, command), (None, true));
        for wrong in [
            &["tangwright", "a", "b"][..],
            &["tangwright", "weigh"],
            &["tangwright", "weigh", "a", "--yaml"],
            &["tangwright", "template", "a"],
            &["tangwright", "template", "a", "--out", "d", "--paper", "a9"],
            &["tangwright", "nest", "a", "--gap", "2", "--out", "d"],
            &["tangwright", "nest", "a", "--bar", "50x900", "--out", "d"],
            &["tangwright", "new", "spoon", "--out", "x"],
            &["tangwright", "new", "paring"],
            &["tangwright", "import", "--out", "x"],
            &["tangwright", "import", "a.svg"],
            &[
                "tangwright",
                "import",
                "a.svg",
                "--out",
                "x",
                "--units",
                "cm",
            ],
        ] {
            assert!(read(wrong).is_err(), "{wrong:?}");
        }
    }
}
