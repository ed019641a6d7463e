//! Rules of the trade: usual blade sizes by use, tangs, pins, webs, balance and mass, and the cautions a maker should see.
//!
//! All figures come from `assets/practice.csv`. They are planning defaults, mostly common practice without a published source, and makers
//! differ: use them to warn and to start a new knife, never to refuse one.

use std::sync::LazyLock;

use super::drill::{Drill, drills};
use super::table::{Row, TableError, Verified, read_table};

const TABLE: &str = include_str!("../../assets/practice.csv");

static RULES: LazyLock<Vec<PracticeRule>> = LazyLock::new(|| parse(TABLE).unwrap_or_default());

/// A range that excludes nothing: what a rule gives when it is not in the table (the tests see to it that this does not happen).
const ANYTHING: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

/// What a blade is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(
    missing_docs,
    reason = "each variant is the trade's own name for the knife; `label` and `size_range` say the rest"
)]
pub enum BladeUse {
    Paring,
    Utility,
    Chef,
    Slicer,
    Boning,
    Fillet,
    Cleaver,
    Skinner,
    Hunter,
    Bush,
    Neck,
    Camp,
    Bowie,
    Chopper,
    Machete,
    Carving,
    Grafting,
}

impl BladeUse {
    /// All uses, kitchen first, in the order they are shown.
    pub const ALL: [Self; 17] = [
        Self::Paring,
        Self::Utility,
        Self::Chef,
        Self::Slicer,
        Self::Boning,
        Self::Fillet,
        Self::Cleaver,
        Self::Skinner,
        Self::Hunter,
        Self::Bush,
        Self::Neck,
        Self::Camp,
        Self::Bowie,
        Self::Chopper,
        Self::Machete,
        Self::Carving,
        Self::Grafting,
    ];

    /// Stable name, as the keys of the table carry it: `paring`, `bush`.
    pub fn key(self) -> &'static str {
        match self {
            Self::Paring => "paring",
            Self::Utility => "utility",
            Self::Chef => "chef",
            Self::Slicer => "slicer",
            Self::Boning => "boning",
            Self::Fillet => "fillet",
            Self::Cleaver => "cleaver",
            Self::Skinner => "skinner",
            Self::Hunter => "hunter",
            Self::Bush => "bush",
            Self::Neck => "neck",
            Self::Camp => "camp",
            Self::Bowie => "bowie",
            Self::Chopper => "chopper",
            Self::Machete => "machete",
            Self::Carving => "carving",
            Self::Grafting => "grafting",
        }
    }

    /// The name shown to the maker.
    pub fn label(self) -> &'static str {
        match self {
            Self::Paring => "Paring knife",
            Self::Utility => "Utility knife",
            Self::Chef => "Chef's knife",
            Self::Slicer => "Slicer",
            Self::Boning => "Boning knife",
            Self::Fillet => "Fillet knife",
            Self::Cleaver => "Cleaver",
            Self::Skinner => "Skinner",
            Self::Hunter => "Hunter",
            Self::Bush => "Bush knife",
            Self::Neck => "Neck knife",
            Self::Camp => "Camp knife",
            Self::Bowie => "Bowie",
            Self::Chopper => "Chopper",
            Self::Machete => "Machete",
            Self::Carving => "Carving knife",
            Self::Grafting => "Grafting knife",
        }
    }

    /// The use with this stable name.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|candidate| candidate.key() == key)
    }
}

/// One rule or caution.
#[derive(Debug, Clone, PartialEq)]
pub struct PracticeRule {
    /// Stable name: `tang.hidden.width`, `caution.epoxy`.
    pub key: String,
    /// Lower end; `None` when the rule has only a ceiling, or no figure.
    pub low: Option<f64>,
    /// Upper end; `None` when the rule has only a floor, or no figure.
    pub high: Option<f64>,
    /// Unit of both; empty when there is no figure.
    pub unit: String,
    /// The rule in a sentence.
    pub text: String,
    /// Where it comes from.
    pub source: String,
    /// How far it was checked.
    pub verified: Verified,
}

impl PracticeRule {
    /// Both ends; an end the rule does not have is infinite.
    pub fn range(&self) -> (f64, f64) {
        (
            self.low.unwrap_or(f64::NEG_INFINITY),
            self.high.unwrap_or(f64::INFINITY),
        )
    }
}

/// Usual sizes of a blade for one use, each `(low, high)`, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeRange {
    /// Blade length: edge and any plain part ahead of the handle.
    pub length_mm: (f64, f64),
    /// Height at the heel or the widest place.
    pub height_mm: (f64, f64),
    /// Bar thickness.
    pub stock_mm: (f64, f64),
}

/// Usual sizes of a hidden tang, each `(low, high)`, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HiddenTang {
    /// Width, spine side to edge side.
    pub width_mm: (f64, f64),
    /// Length behind the shoulder.
    pub length_mm: (f64, f64),
    /// Radius of the inside corner at the shoulder; a sharp one is where the tang breaks.
    pub shoulder_radius_mm: (f64, f64),
}

/// Usual sizes of a stub tang under scales, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StubTang {
    /// Height, spine side to edge side, `(low, high)`.
    pub width_mm: (f64, f64),
    /// Longest that one pin holds.
    pub most_length_mm: f64,
}

/// Usual sizes of a stub tang (the rows `tang.stub.width` and `tang.stub.length`).
pub fn stub_tang() -> StubTang {
    StubTang {
        width_mm: range("tang.stub.width"),
        most_length_mm: range("tang.stub.length").1,
    }
}

/// All rules and cautions, in the order of the table.
pub fn practice() -> &'static [PracticeRule] {
    &RULES
}

/// The rule with exactly this key.
pub fn practice_rule(key: &str) -> Option<&'static PracticeRule> {
    RULES.iter().find(|rule| rule.key == key)
}

/// The cautions: rules whose key starts with `caution.`.
pub fn cautions() -> impl Iterator<Item = &'static PracticeRule> {
    RULES.iter().filter(|rule| rule.key.starts_with("caution."))
}

/// Usual length, height and stock of a blade for this use: the rows `size.<use>.*`.
pub fn size_range(purpose: BladeUse) -> SizeRange {
    let of = |what: &str| range(&format!("size.{}.{what}", purpose.key()));
    SizeRange {
        length_mm: of("length"),
        height_mm: of("height"),
        stock_mm: of("stock"),
    }
}

/// Usual size of a hidden tang: the rows `tang.hidden.*` and `tang.shoulder-radius`.
pub fn hidden_tang() -> HiddenTang {
    HiddenTang {
        width_mm: range("tang.hidden.width"),
        length_mm: range("tang.hidden.length"),
        shoulder_radius_mm: range("tang.shoulder-radius"),
    }
}

/// Where the balance point usually lies, mm from the shoulder line, positive toward the tip; `None` for uses without a rule.
pub fn balance_range_mm(purpose: BladeUse) -> Option<(f64, f64)> {
    let group = match purpose {
        BladeUse::Chef => "chef",
        BladeUse::Hunter | BladeUse::Bush => "hunter",
        BladeUse::Camp | BladeUse::Chopper => "camp",
        BladeUse::Bowie => "bowie",
        _ => return None,
    };
    practice_rule(&format!("balance.{group}")).map(PracticeRule::range)
}

/// Usual mass of the finished knife, g; `None` for uses without a rule.
pub fn mass_range_g(purpose: BladeUse) -> Option<(f64, f64)> {
    let group = match purpose {
        BladeUse::Paring | BladeUse::Utility => "paring",
        BladeUse::Chef => "chef",
        BladeUse::Hunter | BladeUse::Bush => "hunter",
        BladeUse::Camp | BladeUse::Bowie | BladeUse::Chopper => "camp",
        _ => return None,
    };
    practice_rule(&format!("mass.{group}")).map(PracticeRule::range)
}

/// Blades whose edges are left about equally thick before sharpening.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EdgeClass {
    /// The row `edge.finished.kitchen`.
    Kitchen,
    /// The row `edge.finished.hunter`.
    Hunter,
    /// The row `edge.finished.chopper`.
    Chopper,
    /// The row `edge.finished.carving`.
    Carving,
}

/// How thick the edge of a blade for this use is left before sharpening; `None` for cleavers, which are made for vegetables or for bone.
pub fn edge_class(purpose: BladeUse) -> Option<EdgeClass> {
    Some(match purpose {
        BladeUse::Paring
        | BladeUse::Utility
        | BladeUse::Chef
        | BladeUse::Slicer
        | BladeUse::Boning
        | BladeUse::Fillet => EdgeClass::Kitchen,
        BladeUse::Skinner
        | BladeUse::Hunter
        | BladeUse::Bush
        | BladeUse::Neck
        | BladeUse::Bowie => EdgeClass::Hunter,
        BladeUse::Camp | BladeUse::Chopper | BladeUse::Machete => EdgeClass::Chopper,
        BladeUse::Carving | BladeUse::Grafting => EdgeClass::Carving,
        BladeUse::Cleaver => return None,
    })
}

impl EdgeClass {
    /// Usual thickness, `(low, high)`, mm.
    pub fn range_mm(self) -> (f64, f64) {
        range(match self {
            Self::Kitchen => "edge.finished.kitchen",
            Self::Hunter => "edge.finished.hunter",
            Self::Chopper => "edge.finished.chopper",
            Self::Carving => "edge.finished.carving",
        })
    }
}

/// Least steel to leave between a hole of `diameter_mm` and the next hole or the edge of the tang, in stock of `stock_mm`, mm:
/// one hole diameter, and never under the stock thickness (the rows `web.hole-diameters`, `web.stock-thicknesses`).
pub fn smallest_web_mm(diameter_mm: f64, stock_mm: f64) -> f64 {
    let times = |key: &str| {
        practice_rule(key)
            .and_then(|rule| rule.low)
            .unwrap_or_default()
    };
    (times("web.hole-diameters") * diameter_mm).max(times("web.stock-thicknesses") * stock_mm)
}

/// Hole in the tang for a pin of `pin_mm` that is peened, `(low, high)`, mm: the row `pin.tang-hole-oversize`, so that a pin that swells
/// does not lift the scale.
pub fn tang_hole_range_mm(pin_mm: f64) -> (f64, f64) {
    let (low, high) = range("pin.tang-hole-oversize");
    (pin_mm * (1.0 + low / 100.0), pin_mm * (1.0 + high / 100.0))
}

/// Drills whose hole a pin of `pin_mm` slips through closely (the row `pin.slip-clearance`), tightest first.
pub fn slip_fit_drills(pin_mm: f64) -> Vec<&'static Drill> {
    let (low, high) = range("pin.slip-clearance");
    // Drill sizes carry up to seven digits; the slack keeps a clearance that is exactly on an end inside.
    const SLACK_MM: f64 = 1e-9;
    let fits =
        |drill: &&Drill| (low - SLACK_MM..=high + SLACK_MM).contains(&(drill.diameter_mm - pin_mm));
    let mut found: Vec<&'static Drill> = drills().iter().filter(fits).collect();
    found.sort_by(|a, b| a.diameter_mm.total_cmp(&b.diameter_mm));
    found
}

fn range(key: &str) -> (f64, f64) {
    practice_rule(key).map_or(ANYTHING, PracticeRule::range)
}

fn parse(text: &str) -> Result<Vec<PracticeRule>, TableError> {
    read_table("practice.csv", text, one)
}

fn one(row: &Row<'_>) -> Result<PracticeRule, TableError> {
    let rule = PracticeRule {
        key: row.filled("key")?,
        low: row.optional_number("value_low")?,
        high: row.optional_number("value_high")?,
        unit: row.text("unit")?,
        text: row.filled("text")?,
        source: row.filled("source")?,
        verified: row.verified()?,
    };
    let (low, high) = rule.range();
    if low > high {
        return Err(row.wrong("value_high", "at or over value_low"));
    }
    let has_figure = rule.low.is_some() || rule.high.is_some();
    if has_figure == rule.unit.is_empty() {
        return Err(row.wrong("unit", "given exactly when there is a figure"));
    }
    if !has_figure && !rule.key.starts_with("caution.") {
        return Err(row.wrong("value_low", "a number; only cautions go without"));
    }
    Ok(rule)
}

#[cfg(test)]
mod tests;
