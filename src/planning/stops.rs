//! Which rule keeps a wish out of reach: the one without which more could be had.

use super::bench::{Bench, Without};
use super::demand::{Demand, Wanted};
use super::plan::NoPlan;
use super::rules::{PlanRules, UsableDrill};

/// A rule that stops a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, thiserror::Error)]
pub enum Stop {
    /// Taking steel there moves the balance the other way.
    #[error(
        "side: steel taken there moves the balance the other way; thin the other end, or add weight behind"
    )]
    Side,
    /// Taking steel makes the knife lighter.
    #[error("side: taking steel makes the knife lighter only")]
    Lighter,
    /// There is no room for a hole at all.
    #[error("room: no drill fits behind the shoulder line with its web")]
    Room,
    /// The webs.
    #[error("web: the steel kept beside each hole leaves no room for more")]
    Web,
    /// The drills.
    #[error("drills: larger ones than there are would fit")]
    Drills,
    /// The number of holes.
    #[error("holes: more than are allowed would fit")]
    Holes,
    /// The steel that may be taken.
    #[error("steel: no more of it may be taken")]
    Removed,
    /// Where holes may be drilled.
    #[error("region: holes may not be drilled farther along the knife")]
    Region,
    /// Flaws.
    #[error("flaws: holes keep away from them")]
    Flaws,
    /// Pins, fittings and holes that are there.
    #[error("pins: holes and fittings that are there are kept")]
    Kept,
    /// Evenness about the middle line.
    #[error("even: holes sit even about the middle line")]
    Symmetric,
    /// What a taper leaves.
    #[error("taper: steel is left as thick at the thin end as the rules ask")]
    Taper,
    /// Nothing but the tang itself.
    #[error("tang: it has no more steel to give")]
    Tang,
}

impl Stop {
    /// One word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Side | Self::Lighter => "side",
            Self::Room => "room",
            Self::Web => "web",
            Self::Drills => "drills",
            Self::Holes => "holes",
            Self::Removed => "steel",
            Self::Region => "region",
            Self::Flaws => "flaws",
            Self::Kept => "pins",
            Self::Symmetric => "even",
            Self::Taper => "taper",
            Self::Tang => "tang",
        }
    }
}

/// More by this share is more.
const MORE: f64 = 1.01;

/// The rules that stop a wish, each found by letting go of it alone. `tapers`: a taper was tried and did not do.
pub(super) fn what_stops(
    bench: &Bench<'_>,
    demand: &Demand,
    tapers: bool,
) -> Result<Vec<Stop>, NoPlan> {
    let drills = bench.diameters();
    let rules = bench.rules;
    let field = &bench.field;
    let first = demand.as_from_now(bench.now);
    let brings = |x: f64| field.per_mm2(x) * first.lever(x) > 0.0;
    let mut found = Vec::new();
    if tapers {
        found.push(Stop::Taper);
    }
    let smallest = drills.first().copied().unwrap_or(f64::INFINITY);
    let mut fitting = bench
        .strip
        .widths()
        .filter(|(_, d)| *d >= smallest)
        .peekable();
    if fitting.peek().is_some() && !fitting.any(|(x, _)| brings(x)) {
        found.push(match demand.wanted {
            Wanted::BalanceMm(_) => Stop::Side,
            Wanted::MassG(_) => Stop::Lighter,
        });
        return Ok(found);
    }
    let had = bench.most_by(rules, Without::Nothing, demand);
    let before = found.len();
    let mut try_without = |stop: Stop, freer: PlanRules, without: Without| -> Result<(), NoPlan> {
        bench.go_on()?;
        if bench.most_by(&freer, without, demand) > had * MORE {
            found.push(stop);
        }
        Ok(())
    };
    let freer = || rules.clone();
    let web = PlanRules {
        web_diameters: rules.web_diameters / 2.0,
        web_thicknesses: rules.web_thicknesses / 2.0,
        ..freer()
    };
    try_without(Stop::Web, web, Without::Nothing)?;
    let largest = drills.last().copied().unwrap_or_default();
    let more_drills = (1..=10).map(|i| UsableDrill {
        label: String::new(),
        diameter_mm: largest + f64::from(i),
    });
    let drilled = PlanRules {
        drills: rules.drills.iter().cloned().chain(more_drills).collect(),
        ..freer()
    };
    try_without(Stop::Drills, drilled, Without::Nothing)?;
    let holes = PlanRules {
        most_holes: rules.most_holes + 4,
        ..freer()
    };
    try_without(Stop::Holes, holes, Without::Nothing)?;
    if rules.most_removed_g.is_some() {
        let steel = PlanRules {
            most_removed_g: None,
            ..freer()
        };
        try_without(Stop::Removed, steel, Without::Nothing)?;
    }
    if rules.front_mm.is_some() || rules.rear_mm.is_some() {
        let region = PlanRules {
            front_mm: None,
            rear_mm: None,
            ..freer()
        };
        try_without(Stop::Region, region, Without::Nothing)?;
    }
    if !rules.keep_off.is_empty() || !bench.knife.flaws.is_empty() {
        let flawless = PlanRules {
            keep_off: Vec::new(),
            ..freer()
        };
        try_without(Stop::Flaws, flawless, Without::Flaws)?;
    }
    if rules.symmetric {
        let even = PlanRules {
            symmetric: false,
            ..freer()
        };
        try_without(Stop::Symmetric, even, Without::Nothing)?;
    }
    try_without(Stop::Kept, freer(), Without::Openings)?;
    if had <= 0.0 {
        found.push(Stop::Room);
    }
    if found.len() == before {
        found.push(Stop::Tang);
    }
    Ok(found)
}
