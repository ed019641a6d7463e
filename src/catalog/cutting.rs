//! What cutting services and shop saws can do: smallest hole, web, inside corner, kerf, and how deep the edge is heated.
//!
//! `assets/cutting.csv` keeps what services state, each row with its source. The figures that checks use are in
//! `assets/cutting_limits.csv`; every line there names the row of `cutting.csv` it was taken from, and a test follows the names. They are
//! general guidelines and services differ, so a breach is a reason to warn and to ask, not to refuse.

use std::sync::LazyLock;

use super::table::{Row, TableError, Verified, folded, read_table};

const RULES: &str = include_str!("../../assets/cutting.csv");
const LIMITS: &str = include_str!("../../assets/cutting_limits.csv");

static CUTTING_RULES: LazyLock<Vec<CuttingRule>> =
    LazyLock::new(|| parse_rules(RULES).unwrap_or_default());
static PROCESSES: LazyLock<Vec<CuttingProcess>> = LazyLock::new(|| {
    parse_limits(LIMITS)
        .map(|lines| processes_from(&lines))
        .unwrap_or_default()
});

/// One statement about a way of cutting, in the words and unit of its source.
#[derive(Debug, Clone, PartialEq)]
pub struct CuttingRule {
    /// Way of cutting, or `any (DXF)` for what concerns the file.
    pub process: String,
    /// Subject: `hole`, `web`, `kerf`, `corner` ...
    pub topic: String,
    /// What is ruled.
    pub rule: String,
    /// The figure as stated.
    pub value: String,
    /// Its unit; may be empty.
    pub unit: String,
    /// Where it comes from.
    pub source: String,
    /// How far it was checked.
    pub verified: Verified,
    /// Address of the text; empty when recalled.
    pub where_read: String,
    /// What else to know; may be empty.
    pub note: String,
}

/// A smallest size that may grow with the stock: `max(times_thickness · T, at_least_mm)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// Share of the stock thickness, no unit.
    pub times_thickness: f64,
    /// Floor for thin stock, mm.
    pub at_least_mm: f64,
}

impl Limit {
    /// The limit for stock of `thickness_mm`, mm. A thickness that is negative or not a number counts as zero.
    pub fn at(self, thickness_mm: f64) -> f64 {
        (self.times_thickness * thickness_mm.max(0.0)).max(self.at_least_mm)
    }
}

/// The limits of a way of cutting, as `assets/cutting_limits.csv` calls them.
pub const LIMITED: [&str; 6] = ["hole", "web", "inside-radius", "kerf", "heat-edge", "part"];

/// One way of cutting the blank, with the limits the checks use.
///
/// | | smallest hole | smallest web | inside radius | kerf | heated edge | smallest part |
/// | --- | --- | --- | --- | --- | --- | --- |
/// | `waterjet` | max(0.5 T, 1.5) | max(0.5 T, 1) | 0.508 | 1.0 | none | any |
/// | `laser` | max(T, 1) | T | 0.5 | 0.25 | 0.508 | 20 |
/// | `plasma` | max(2 T, 6) | max(2 T, 6) | 1.0 | 2.0 | 1.5 | any |
/// | `bandsaw` | none: drill it | 3 | 16 | 1.3 | none | any |
///
/// All in mm, T being the stock thickness. The row each figure comes from stands in `assets/cutting_limits.csv` and in [`Self::basis`].
#[derive(Debug, Clone, PartialEq)]
pub struct CuttingProcess {
    /// Stable name: `waterjet`, `laser`, `plasma`, `bandsaw`.
    pub key: String,
    /// Name shown to the maker.
    pub name: String,
    /// Smallest round hole; `None` when closed holes cannot be cut and are drilled instead.
    pub hole: Option<Limit>,
    /// Least steel left between two cuts.
    pub web: Limit,
    /// Sharpest inside corner that comes out as drawn, mm.
    pub inside_radius_mm: f64,
    /// Width the cut takes, mm.
    pub kerf_mm: f64,
    /// How deep the edge is hardened or tempered by the cut, at most, mm; 0 for a cold cut.
    pub heat_edge_mm: f64,
    /// Side of the smallest part that stays on the table by itself, mm; 0 where no size is named.
    pub part_mm: f64,
    /// What to know when choosing this way of cutting.
    pub note: &'static str,
    /// Which rows of [`cutting_rules`] the figures come from.
    pub basis: Vec<LimitBasis>,
}

/// Where one figure of a [`CuttingProcess`] comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LimitBasis {
    /// The figure, one of [`LIMITED`].
    pub limit: String,
    /// Topic of the row of [`cutting_rules`].
    pub topic: String,
    /// Its rule.
    pub rule: String,
}

impl CuttingProcess {
    /// Diameter of the smallest hole to be cut in stock of `thickness_mm`, mm; 0 when holes are drilled anyway (see [`Self::hole`]).
    pub fn smallest_hole_mm(&self, thickness_mm: f64) -> f64 {
        self.hole.map_or(0.0, |limit| limit.at(thickness_mm))
    }

    /// Least steel to leave between two cuts in stock of `thickness_mm`, mm.
    pub fn smallest_web_mm(&self, thickness_mm: f64) -> f64 {
        self.web.at(thickness_mm)
    }
}

/// Everything the services were found to state, in the order of the table.
pub fn cutting_rules() -> &'static [CuttingRule] {
    &CUTTING_RULES
}

/// The ways of cutting that checks know: waterjet, fiber laser, plasma, bandsaw.
pub fn cutting_processes() -> &'static [CuttingProcess] {
    &PROCESSES
}

/// The way of cutting with this key or shown name; capitals do not matter.
pub fn cutting_process(name: &str) -> Option<&'static CuttingProcess> {
    let name = folded(name);
    PROCESSES
        .iter()
        .find(|process| process.key == name || folded(&process.name) == name)
}

fn note(key: &str) -> &'static str {
    match key {
        "waterjet" => {
            "no heat, so hardened and annealed bar cut alike; the edge tapers slightly and wants grinding. Order pin holes \
             undersize and finish them with a drill or reamer."
        }
        "laser" => {
            "the cut edge is hardened for up to half a millimeter: grind the profile back and expect hard hole rims. \
             Draw to nominal size; the service allows for its kerf."
        }
        "plasma" => {
            "wide kerf, hard and drossy edge: leave a millimeter or more around the outline and drill every pin hole."
        }
        "bandsaw" => {
            "holes are drilled; saw about a millimeter outside the line and drill a relief hole at tight corners."
        }
        _ => "",
    }
}

struct LimitLine {
    key: String,
    name: String,
    value: Limit,
    basis: LimitBasis,
}

/// Joins the lines of one process; a process that lacks web, inside radius or kerf is left out (the tests count them).
fn processes_from(lines: &[LimitLine]) -> Vec<CuttingProcess> {
    let mut keys: Vec<&str> = lines.iter().map(|line| line.key.as_str()).collect();
    keys.dedup();
    keys.into_iter()
        .filter_map(|key| {
            let own: Vec<&LimitLine> = lines.iter().filter(|line| line.key == key).collect();
            let limit = |name: &str| {
                own.iter()
                    .find(|line| line.basis.limit == name)
                    .map(|line| line.value)
            };
            Some(CuttingProcess {
                key: key.to_owned(),
                name: own.first()?.name.clone(),
                hole: limit("hole"),
                web: limit("web")?,
                inside_radius_mm: limit("inside-radius")?.at_least_mm,
                kerf_mm: limit("kerf")?.at_least_mm,
                heat_edge_mm: limit("heat-edge").map_or(0.0, |limit| limit.at_least_mm),
                part_mm: limit("part").map_or(0.0, |limit| limit.at_least_mm),
                note: note(key),
                basis: own.iter().map(|line| line.basis.clone()).collect(),
            })
        })
        .collect()
}

fn parse_limits(text: &str) -> Result<Vec<LimitLine>, TableError> {
    read_table("cutting_limits.csv", text, |row| {
        let times_thickness = row.number("times_thickness")?;
        let at_least_mm = row.number("at_least_mm")?;
        if times_thickness < 0.0 {
            return Err(row.wrong("times_thickness", "zero or more"));
        }
        if at_least_mm < 0.0 || (times_thickness == 0.0 && at_least_mm == 0.0) {
            return Err(row.wrong("at_least_mm", "above zero where times_thickness is zero"));
        }
        let known = |word: &str| LIMITED.contains(&word).then(|| word.to_owned());
        Ok(LimitLine {
            key: row.filled("key")?,
            name: row.filled("name")?,
            value: Limit {
                times_thickness,
                at_least_mm,
            },
            basis: LimitBasis {
                limit: row.word("limit", "one of the known limits", known)?,
                topic: row.filled("topic")?,
                rule: row.filled("rule")?,
            },
        })
    })
}

fn parse_rules(text: &str) -> Result<Vec<CuttingRule>, TableError> {
    read_table("cutting.csv", text, one_rule)
}

fn one_rule(row: &Row<'_>) -> Result<CuttingRule, TableError> {
    Ok(CuttingRule {
        process: row.filled("process")?,
        topic: row.filled("topic")?,
        rule: row.filled("rule")?,
        value: row.filled("value")?,
        unit: row.text("unit")?,
        source: row.filled("source")?,
        verified: row.verified()?,
        where_read: row.text("where_read")?,
        note: row.text("note")?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_embedded_row_is_sound() {
        assert_eq!(
            parse_rules(RULES).expect("cutting.csv must parse").len(),
            68
        );
        assert_eq!(
            parse_limits(LIMITS)
                .expect("cutting_limits.csv must parse")
                .len(),
            18
        );
        let keys: Vec<&str> = cutting_processes()
            .iter()
            .map(|process| process.key.as_str())
            .collect();
        assert_eq!(keys, ["waterjet", "laser", "plasma", "bandsaw"]);
        for process in cutting_processes() {
            assert!(!process.note.is_empty(), "{}", process.key);
        }
    }

    #[test]
    fn every_limit_names_the_rule_it_comes_from() {
        for process in cutting_processes() {
            let name = if process.key == "laser" {
                "fibre laser"
            } else {
                &process.key
            };
            for LimitBasis { limit, topic, rule } in &process.basis {
                let named = |row: &&CuttingRule| {
                    row.process == name && row.topic == *topic && row.rule == *rule
                };
                assert_eq!(
                    cutting_rules().iter().filter(named).count(),
                    1,
                    "{name} {limit}: {rule}"
                );
            }
        }
    }

    #[test]
    fn limits_say_what_their_rules_say() {
        // The figure as the source words it, beside the limit for the thickness it speaks of.
        let value = |process: &str, rule: &str| {
            let found = cutting_rules()
                .iter()
                .find(|row| row.process == process && row.rule == rule);
            found.map(|row| row.value.as_str()).unwrap_or_default()
        };
        let laser = cutting_process("laser").expect("laser");
        assert_eq!(
            value("fibre laser", "minimum hole or slot (guide B)"),
            "max(1.0 x T, 1 mm)"
        );
        assert_eq!(
            (laser.smallest_hole_mm(0.5), laser.smallest_hole_mm(4.0)),
            (1.0, 4.0)
        );
        assert_eq!(
            value("fibre laser", "web or bridge between two cuts"),
            "1.0 x T minimum, 1-1.5 x T preferred"
        );
        assert_eq!(laser.smallest_web_mm(4.0), 4.0);
        let waterjet = cutting_process("Waterjet").expect("waterjet");
        assert_eq!(
            value("waterjet", "minimum practical hole in 1.5-8 mm steel"),
            "1.5 or 0.5 x T"
        );
        assert_eq!(
            (
                waterjet.smallest_hole_mm(2.0),
                waterjet.smallest_hole_mm(8.0)
            ),
            (1.5, 4.0)
        );
        assert_eq!(
            value("waterjet", "web between cuts, planning rule"),
            "max(1 mm, 0.5 x T)"
        );
        assert_eq!(
            (waterjet.smallest_web_mm(1.0), waterjet.smallest_web_mm(6.0)),
            (1.0, 3.0)
        );
        // 0.02 in is 0.508 mm; 0.04 in is about 1 mm and the source says 1.
        assert_eq!(value("waterjet", "smallest inside radius to draw"), "0.02");
        assert!((waterjet.inside_radius_mm - 0.02 * 25.4).abs() < 1e-12);
        assert_eq!(
            value("waterjet", "usual kerf (standard nozzle)"),
            "0.04 (1)"
        );
        assert_eq!(waterjet.kerf_mm, 1.0);
        // 0.005-0.020 in: the deeper end, 0.508 mm.
        assert_eq!(
            value("fibre laser", "heat-affected (tempered) zone depth"),
            "0.005-0.020"
        );
        assert!((laser.heat_edge_mm - 0.02 * 25.4).abs() < 1e-12);
        assert_eq!(value("fibre laser", "smallest separate part"), "20 x 20");
        assert_eq!((laser.part_mm, waterjet.part_mm), (20.0, 0.0));
        assert_eq!(value("waterjet", "no heat-affected zone"), "0");
        assert_eq!(waterjet.heat_edge_mm, 0.0);
        let plasma = cutting_process("plasma").expect("plasma");
        assert_eq!(
            value("plasma", "hardened and heat-affected skin on the cut edge"),
            "0.5-1.5"
        );
        assert_eq!(plasma.heat_edge_mm, 1.5);
        assert_eq!(value("plasma", "minimum hole"), "max(2 x T, 6 mm)");
        assert_eq!(
            (plasma.smallest_hole_mm(2.0), plasma.smallest_web_mm(5.0)),
            (6.0, 10.0)
        );
    }

    #[test]
    fn a_cut_corner_is_never_sharper_than_half_the_kerf() {
        // Geometry: a round cutter of width k leaves an inside corner of radius k/2 at least.
        for process in cutting_processes() {
            assert!(
                process.inside_radius_mm >= process.kerf_mm / 2.0,
                "{}",
                process.key
            );
            if let Some(hole) = process.hole {
                assert!(
                    hole.at_least_mm >= process.kerf_mm,
                    "{}: a hole is at least one kerf wide",
                    process.key
                );
            }
        }
    }

    #[test]
    fn odd_thickness_and_unknown_names_do_no_harm() {
        let bandsaw = cutting_process("bandsaw").expect("bandsaw");
        assert_eq!((bandsaw.hole, bandsaw.smallest_hole_mm(3.0)), (None, 0.0));
        let limit = Limit {
            times_thickness: 1.0,
            at_least_mm: 0.5,
        };
        assert_eq!(
            [limit.at(f64::NAN), limit.at(-3.0), limit.at(2.0)],
            [0.5, 0.5, 2.0]
        );
        assert_eq!(cutting_process("chisel"), None);
    }

    #[test]
    fn a_limit_of_nothing_is_refused() {
        let text = "key,name,limit,times_thickness,at_least_mm,topic,rule\nx,X,web,0,0,web,r\n";
        assert!(matches!(
            parse_limits(text),
            Err(TableError::Field {
                column: "at_least_mm",
                row: 1,
                ..
            })
        ));
    }
}
