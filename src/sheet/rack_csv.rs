//! The table of the set as comma-separated values (RFC 4180), for other programs to read.

use super::exports::ExportFile;
use super::slug::slug;
use crate::weighing::{BarNeed, RackColumn, RackMeasure, RackRow};

/// Characters by which programs that open such a file take a cell for something to be worked out or run (OWASP, "CSV Injection"): a name that begins with
/// one is written behind an apostrophe.
const WORKED_OUT: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// The table in the given order, then what bar it needs behind an empty line. Millimeters, grams, a full stop before the decimals whatever the maker's
/// units are; a number that can't be known is an empty cell.
#[must_use]
pub fn rack_csv(rows: &[RackRow], bars: &[BarNeed]) -> String {
    let mut text = String::new();
    line(&mut text, RackColumn::ALL.map(heading));
    for row in rows {
        let cells = RackColumn::ALL.map(|column| match column.measure() {
            RackMeasure::Words => words(row.words(column)),
            measure => number(row.number(column), decimals(measure)),
        });
        line(&mut text, cells);
    }
    text.push_str("\r\n");
    let headings = [
        "bar",
        "work",
        "thick mm",
        "least width mm",
        "length mm",
        "mass g",
        "blanks",
        "knives",
    ];
    line(&mut text, headings.map(str::to_owned));
    for bar in bars {
        let cells = [
            words(&bar.material),
            bar.work.name().to_owned(),
            number(Some(bar.thickness_mm), 2),
            number(Some(bar.width_mm), 1),
            number(Some(bar.length_mm), 1),
            number(bar.mass_g, 1),
            bar.blanks.to_string(),
            words(&bar.knives.join("; ")),
        ];
        line(&mut text, cells);
    }
    text
}

/// That table as a file: `<set>-table.csv`.
#[must_use]
pub fn rack_file(set: &str, rows: &[RackRow], bars: &[BarNeed]) -> ExportFile {
    ExportFile {
        name: format!("{}-table.csv", slug(set)),
        bytes: rack_csv(rows, bars).into_bytes(),
    }
}

fn heading(column: RackColumn) -> String {
    let unit = match column.measure() {
        RackMeasure::Words => return column.name().to_owned(),
        RackMeasure::Length | RackMeasure::Place => "mm",
        RackMeasure::Mass => "g",
        RackMeasure::Swing => "kg·cm²",
    };
    format!("{} {unit}", column.name())
}

fn decimals(measure: RackMeasure) -> usize {
    match measure {
        RackMeasure::Words => 0,
        RackMeasure::Length | RackMeasure::Place | RackMeasure::Swing => 2,
        RackMeasure::Mass => 1,
    }
}

fn number(value: Option<f64>, decimals: usize) -> String {
    let text = value.map_or_else(String::new, |value| format!("{value:.decimals$}"));
    // Nothing is less than nothing: −0.00 is 0.00.
    let zero = text.trim_start_matches('-').chars();
    if text.starts_with('-') && zero.clone().all(|c| matches!(c, '0' | '.')) {
        return zero.collect();
    }
    text
}

/// Words that no program works out.
fn words(text: &str) -> String {
    if text.starts_with(WORKED_OUT) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// Cells between commas; those with a comma, a quote or a line break stand in quotes (RFC 4180, 2.6 and 2.7).
fn line(text: &mut String, cells: impl IntoIterator<Item = String>) {
    for (place, cell) in cells.into_iter().enumerate() {
        if place > 0 {
            text.push(',');
        }
        if cell.contains([',', '"', '\n', '\r']) {
            text.push('"');
            text.push_str(&cell.replace('"', "\"\""));
            text.push('"');
        } else {
            text.push_str(&cell);
        }
    }
    text.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::orchard_set;
    use crate::weighing::{WeighUp, bars_needed, weigh};

    /// Read back by the `csv` crate, which knows nothing of this writer.
    fn read(text: &str) -> Vec<Vec<String>> {
        csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes())
            .records()
            .map(|record| record.unwrap().iter().map(str::to_owned).collect())
            .collect()
    }

    fn orchard() -> (Vec<RackRow>, Vec<BarNeed>) {
        let set = orchard_set();
        let ups: Vec<WeighUp> = set.knives.iter().map(|k| weigh(k, &set)).collect();
        let knives = || set.knives.iter().map(AsRef::as_ref).zip(&ups);
        let rows = knives().map(|(k, up)| RackRow::of(k, &set, up)).collect();
        (rows, bars_needed(knives(), &set, |_| 1).0)
    }

    #[test]
    fn another_reader_finds_every_number() {
        let (rows, bars) = orchard();
        let read = read(&rack_csv(&rows, &bars));
        assert_eq!(read[0][0], "knife");
        assert_eq!(read[0][8], "finished g");
        for (row, cells) in rows.iter().zip(&read[1..]) {
            assert_eq!(cells.len(), RackColumn::ALL.len());
            for (column, cell) in RackColumn::ALL.into_iter().zip(cells) {
                match row.number(column) {
                    Some(value) => {
                        let cell: f64 = cell.parse().unwrap();
                        assert!((cell - value).abs() <= 0.051, "{column:?}");
                    }
                    None => assert_eq!(cell, row.words(column)),
                }
            }
        }
        let of_bars = &read[1 + rows.len()..];
        assert_eq!(of_bars.len(), 1 + bars.len());
        assert!(of_bars[1..].iter().all(|cells| cells.len() == 8));
    }

    #[test]
    fn hostile_names_stay_words_and_missing_numbers_stay_empty() {
        let (mut rows, _) = orchard();
        rows[0].name = "=1+1".to_owned();
        rows[1].name = "a \"b\", c\nd".to_owned();
        rows[1].balance_mm = None;
        rows[2].balance_mm = Some(-0.001);
        let read = read(&rack_csv(&rows, &[]));
        assert_eq!(read[1][0], "'=1+1");
        assert_eq!(read[2][0], "a \"b\", c\nd");
        assert_eq!((read[2][9].as_str(), read[3][9].as_str()), ("", "0.00"));
    }
}
