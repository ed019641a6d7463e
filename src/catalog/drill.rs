//! Drills that can be bought: number, letter, inch-fraction and metric sets.

use std::sync::LazyLock;

use super::table::{Row, TableError, folded, read_table};

const TABLE: &str = include_str!("../../assets/drills.csv");

static DRILLS: LazyLock<Vec<Drill>> = LazyLock::new(|| parse(TABLE).unwrap_or_default());

/// The set a drill belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum DrillSet {
    /// #80 to #1.
    Number,
    /// A to Z.
    Letter,
    /// 1/64 in to 1 in.
    Fraction,
    /// Millimeters.
    Metric,
}

impl DrillSet {
    /// All sets, in the order they are shown.
    pub const ALL: [Self; 4] = [Self::Metric, Self::Fraction, Self::Number, Self::Letter];

    /// The name shown to the maker.
    pub fn label(self) -> &'static str {
        match self {
            Self::Number => "Number",
            Self::Letter => "Letter",
            Self::Fraction => "Inch fraction",
            Self::Metric => "Metric",
        }
    }

    fn from_word(word: &str) -> Option<Self> {
        match word {
            "number" => Some(Self::Number),
            "letter" => Some(Self::Letter),
            "fraction" => Some(Self::Fraction),
            "metric" => Some(Self::Metric),
            _ => None,
        }
    }
}

/// One drill.
#[derive(Debug, Clone, PartialEq)]
pub struct Drill {
    /// The set it belongs to.
    pub set: DrillSet,
    /// What stands on it: `#30`, `F`, `1/8`, `3.2 mm`.
    pub label: String,
    /// Nominal diameter, mm; inch sizes are exact.
    pub diameter_mm: f64,
}

/// All drills: number, letter, fraction and metric sets one after the other, each from its first label on.
pub fn drills() -> &'static [Drill] {
    &DRILLS
}

/// The `n` drills nearest to `diameter_mm`, nearest first; of two equally near ones the smaller comes first.
///
/// Empty when `diameter_mm` is not a finite number.
pub fn nearest_drills(diameter_mm: f64, n: usize) -> Vec<&'static Drill> {
    if !diameter_mm.is_finite() {
        return Vec::new();
    }
    let off = |drill: &Drill| (drill.diameter_mm - diameter_mm).abs();
    let mut found: Vec<&'static Drill> = DRILLS.iter().collect();
    found.sort_by(|a, b| {
        off(a)
            .total_cmp(&off(b))
            .then(a.diameter_mm.total_cmp(&b.diameter_mm))
    });
    found.truncate(n);
    found
}

/// The largest drill that is no thicker than `diameter_mm`; of like ones the first of the table. `None` when all are thicker.
pub fn largest_drill_within(diameter_mm: f64) -> Option<&'static Drill> {
    DRILLS
        .iter()
        .filter(|drill| drill.diameter_mm <= diameter_mm)
        .reduce(|best, drill| {
            if drill.diameter_mm > best.diameter_mm {
                drill
            } else {
                best
            }
        })
}

/// The drill with this label. Capitals do not matter, `#` must stand before a number drill, and a trailing `mm` or `in` may be left out or
/// written without a blank: `#30`, `f`, `1/8`, `1/8 in`, `3.2`, `3.2mm`. A bare `1` is 1 mm; the inch drill is `1 in`.
pub fn drill_named(label: &str) -> Option<&'static Drill> {
    let wanted = folded(label);
    let metric = wanted.strip_suffix("mm").map(str::trim_end);
    let inch = wanted
        .strip_suffix("in")
        .or_else(|| wanted.strip_suffix('"'))
        .map(str::trim_end);
    let size = metric.or(inch).unwrap_or(&wanted);
    DRILLS.iter().find(|drill| match drill.set {
        DrillSet::Number | DrillSet::Letter => folded(&drill.label) == wanted,
        DrillSet::Fraction => {
            drill.label == size && metric.is_none() && (inch.is_some() || size.contains('/'))
        }
        DrillSet::Metric => {
            inch.is_none()
                && size
                    .parse::<f64>()
                    .is_ok_and(|value| value == drill.diameter_mm)
        }
    })
}

fn parse(text: &str) -> Result<Vec<Drill>, TableError> {
    read_table("drills.csv", text, one)
}

fn one(row: &Row<'_>) -> Result<Drill, TableError> {
    row.filled("source")?;
    row.verified()?;
    Ok(Drill {
        set: row.word("set", "a known set", DrillSet::from_word)?,
        label: row.filled("label")?,
        diameter_mm: row.positive("diameter_mm")?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM_PER_INCH: f64 = 25.4;

    fn in_set(set: DrillSet) -> Vec<&'static Drill> {
        DRILLS.iter().filter(|drill| drill.set == set).collect()
    }

    #[test]
    fn every_embedded_row_is_sound() {
        let rows = parse(TABLE).expect("drills.csv must parse");
        assert_eq!(rows.len(), 325);
        let counts = [
            DrillSet::Number,
            DrillSet::Letter,
            DrillSet::Fraction,
            DrillSet::Metric,
        ]
        .map(|set| in_set(set).len());
        assert_eq!(counts, [80, 26, 48, 171]);
        // In every set the drills grow from row to row, so none is doubled or out of place.
        for set in DrillSet::ALL {
            let sizes = in_set(set);
            for pair in sizes.windows(2) {
                assert!(
                    pair[0].diameter_mm < pair[1].diameter_mm,
                    "{} before {}",
                    pair[0].label,
                    pair[1].label
                );
            }
        }
    }

    #[test]
    fn inch_columns_agree() {
        let both = read_table("drills.csv", TABLE, |row| {
            Ok((row.number("diameter_mm")?, row.number("diameter_in")?))
        });
        for (mm, inch) in both.expect("drills.csv must parse") {
            // Metric drills carry their inch size to four places.
            assert!(
                (mm - inch * MM_PER_INCH).abs() <= 0.00005 * MM_PER_INCH + 1e-9,
                "{mm} mm, {inch} in"
            );
        }
    }

    #[test]
    fn labels_say_the_size() {
        for drill in in_set(DrillSet::Fraction) {
            let (top, bottom) = drill.label.split_once('/').unwrap_or((&drill.label, "1"));
            let inches = top.parse::<f64>().expect("top") / bottom.parse::<f64>().expect("bottom");
            assert!(
                (inches * MM_PER_INCH - drill.diameter_mm).abs() < 1e-9,
                "{}",
                drill.label
            );
        }
        for drill in in_set(DrillSet::Metric) {
            let size = drill
                .label
                .strip_suffix(" mm")
                .expect("mm")
                .parse::<f64>()
                .expect("size");
            assert_eq!(size, drill.diameter_mm, "{}", drill.label);
        }
    }

    #[test]
    fn sizes_agree_with_the_drill_standard() {
        // ASME B94.11M, straight shank twist drills: number and letter sizes in inches.
        let standard = [
            ("#80", 0.0135),
            ("#60", 0.0400),
            ("#52", 0.0635),
            ("#41", 0.0960),
            ("#30", 0.1285),
            ("#21", 0.1590),
            ("#7", 0.2010),
            ("#1", 0.2280),
            ("A", 0.2340),
            ("E", 0.2500),
            ("F", 0.2570),
            ("Q", 0.3320),
            ("Z", 0.4130),
        ];
        for (label, inches) in standard {
            let drill = drill_named(label).expect(label);
            assert!(
                (drill.diameter_mm - inches * MM_PER_INCH).abs() < 1e-9,
                "{label}: {}",
                drill.diameter_mm
            );
        }
        // The inch is 25.4 mm by definition, so 1/8 in is 3.175 mm.
        assert_eq!(
            drill_named("1/8").map(|drill| drill.diameter_mm),
            Some(3.175)
        );
    }

    #[test]
    fn names_are_read_as_makers_write_them() {
        let label = |text: &str| drill_named(text).map(|drill| drill.label.as_str());
        assert_eq!(label("#30"), Some("#30"));
        assert_eq!(label(" f "), Some("F"));
        assert_eq!(label("1/8 in"), Some("1/8"));
        assert_eq!(label("1/8\""), Some("1/8"));
        assert_eq!(label("3.2"), Some("3.2 mm"));
        assert_eq!(label("3.20mm"), Some("3.2 mm"));
        assert_eq!(label("3 MM"), Some("3.0 mm"));
        assert_eq!(label("1"), Some("1.0 mm"));
        assert_eq!(label("1 in"), Some("1"));
        for nothing in ["", "30th", "1/8 mm", "3.2 in", "#0", "nan", "-3", "3.21"] {
            assert_eq!(label(nothing), None, "{nothing}");
        }
    }

    #[test]
    fn nearest_come_first() {
        // 3.2 mm pin hole: 3.2 itself, then 1/8 in (3.175, off 0.025), then #30 (3.2639, off 0.0639) after 3.25 (off 0.05).
        let labels: Vec<&str> = nearest_drills(3.2, 5)
            .iter()
            .map(|drill| drill.label.as_str())
            .collect();
        assert_eq!(labels[..3], ["3.2 mm", "1/8", "3.25 mm"]);
        assert!(labels.contains(&"#30"), "{labels:?}");
        // Checked against a plain scan of the table.
        for tenth in 1..300 {
            let wanted = f64::from(tenth) * 0.1;
            let best = DRILLS
                .iter()
                .map(|drill| (drill.diameter_mm - wanted).abs())
                .fold(f64::INFINITY, f64::min);
            let found = nearest_drills(wanted, 3);
            let offs: Vec<f64> = found
                .iter()
                .map(|drill| (drill.diameter_mm - wanted).abs())
                .collect();
            assert_eq!(offs[0], best);
            assert!(offs.is_sorted(), "{offs:?}");
        }
        assert_eq!(nearest_drills(3.0, 10_000).len(), 325);
        assert!(nearest_drills(3.0, 0).is_empty());
        assert!(nearest_drills(f64::NAN, 3).is_empty());
    }
}
