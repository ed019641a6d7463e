//! Sizes that can usually be bought: bars, widths, pin rod, tube, rivets, handle sheet.

use std::sync::LazyLock;

use super::table::{Row, TableError, Verified, read_table};

const TABLE: &str = include_str!("../../assets/stock.csv");

static STOCK: LazyLock<Vec<StockSize>> = LazyLock::new(|| parse(TABLE).unwrap_or_default());

/// What a stock size measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum StockKind {
    /// Thickness of bar and sheet for blades.
    BladeBar,
    /// Width of bar.
    BarWidth,
    /// Diameter of pin rod.
    PinRod,
    /// Outside diameter of tube.
    TubeOutside,
    /// Outside diameter of patterned pins.
    MosaicPin,
    /// Head diameter of cutlery rivets.
    RivetHead,
    /// Thickness of scales, liners and spacers.
    ScaleSheet,
    /// Thickness of bar for guards and bolsters.
    GuardBar,
}

impl StockKind {
    /// All kinds, in the order they are shown.
    pub const ALL: [Self; 8] = [
        Self::BladeBar,
        Self::BarWidth,
        Self::PinRod,
        Self::TubeOutside,
        Self::MosaicPin,
        Self::RivetHead,
        Self::ScaleSheet,
        Self::GuardBar,
    ];

    /// The name shown to the maker.
    pub fn label(self) -> &'static str {
        match self {
            Self::BladeBar => "Bar thickness",
            Self::BarWidth => "Bar width",
            Self::PinRod => "Pin rod",
            Self::TubeOutside => "Tube, outside",
            Self::MosaicPin => "Patterned pin",
            Self::RivetHead => "Rivet head",
            Self::ScaleSheet => "Scale and liner thickness",
            Self::GuardBar => "Guard bar thickness",
        }
    }

    fn from_word(word: &str) -> Option<Self> {
        match word {
            "blade_bar" => Some(Self::BladeBar),
            "bar_width" => Some(Self::BarWidth),
            "pin_rod" => Some(Self::PinRod),
            "tube_od" => Some(Self::TubeOutside),
            "mosaic_pin" => Some(Self::MosaicPin),
            "rivet_head" => Some(Self::RivetHead),
            "scale_sheet" => Some(Self::ScaleSheet),
            "guard_bar" => Some(Self::GuardBar),
            _ => None,
        }
    }
}

/// One size that can be bought.
#[derive(Debug, Clone, PartialEq)]
pub struct StockSize {
    /// What it measures.
    pub kind: StockKind,
    /// As the dealer writes it: `1/8 in`, `3.2 mm`.
    pub label: String,
    /// The size, mm; inch sizes are exact.
    pub size_mm: f64,
    /// Whether it is sold in inches.
    pub inch: bool,
    /// What it is used for.
    pub usage: String,
    /// Where the entry comes from.
    pub source: String,
    /// How far it was checked.
    pub verified: Verified,
}

/// All stock sizes, in the order of the table.
pub fn stock() -> &'static [StockSize] {
    &STOCK
}

/// The sizes of one kind: inch sizes growing, then metric sizes growing.
pub fn stock_of(kind: StockKind) -> impl Iterator<Item = &'static StockSize> {
    STOCK.iter().filter(move |size| size.kind == kind)
}

fn parse(text: &str) -> Result<Vec<StockSize>, TableError> {
    read_table("stock.csv", text, one)
}

fn one(row: &Row<'_>) -> Result<StockSize, TableError> {
    Ok(StockSize {
        kind: row.word("kind", "a known kind", StockKind::from_word)?,
        label: row.filled("label")?,
        size_mm: row.positive("size_mm")?,
        inch: row.word("system", "`inch` or `metric`", |word| match word {
            "inch" => Some(true),
            "metric" => Some(false),
            _ => None,
        })?,
        usage: row.filled("use")?,
        source: row.filled("source")?,
        verified: row.verified()?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_embedded_row_is_sound() {
        let rows = parse(TABLE).expect("stock.csv must parse");
        assert_eq!(rows.len(), 97);
        let counts = StockKind::ALL.map(|kind| stock_of(kind).count());
        assert_eq!(counts, [33, 15, 16, 8, 4, 3, 13, 5]);
        for kind in StockKind::ALL {
            for inch in [true, false] {
                let sizes: Vec<f64> = stock_of(kind)
                    .filter(|size| size.inch == inch)
                    .map(|size| size.size_mm)
                    .collect();
                assert!(
                    sizes.is_sorted_by(|a, b| a < b),
                    "{}: {sizes:?}",
                    kind.label()
                );
            }
        }
    }

    #[test]
    fn labels_say_the_size() {
        for size in stock() {
            let mut words = size.label.split_whitespace();
            let mut value = 0.0;
            let unit = loop {
                let word = words.next().expect("a label ends with its unit");
                match (word, word.split_once('/')) {
                    ("in" | "mm", _) => break word,
                    (_, Some((top, bottom))) => {
                        value += top.parse::<f64>().expect("top")
                            / bottom.parse::<f64>().expect("bottom");
                    }
                    (_, None) => value += word.parse::<f64>().expect("size"),
                }
            };
            assert_eq!(unit == "in", size.inch, "{}", size.label);
            // The inch is 25.4 mm by definition.
            let mm = if size.inch { value * 25.4 } else { value };
            assert!(
                (mm - size.size_mm).abs() < 1e-9,
                "{}: {}",
                size.label,
                size.size_mm
            );
        }
    }

    #[test]
    fn inch_column_agrees() {
        let both = read_table("stock.csv", TABLE, |row| {
            Ok((row.number("size_mm")?, row.number("size_in")?))
        });
        for (mm, inch) in both.expect("stock.csv must parse") {
            assert!(
                (mm - inch * 25.4).abs() <= 0.00005 * 25.4 + 1e-9,
                "{mm} mm, {inch} in"
            );
        }
    }

    #[test]
    fn an_unknown_kind_is_refused() {
        let text = "kind,label,size_in,size_mm,system,use,source,verified,where_read\nbrick,1 in,1,25.4,inch,u,s,memory,\n";
        assert!(matches!(
            parse(text),
            Err(TableError::Field {
                column: "kind",
                row: 1,
                ..
            })
        ));
    }
}
