//! Reading of one CSV table into rows, with errors that name the table, the row and the column.

use csv::StringRecord;

/// Why a table could not be read. `row` counts from 1 at the first row under the heading.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TableError {
    /// The text is not CSV, or a row has more or fewer fields than the heading.
    #[error("{table}, row {row}: {reason}; give the row as many fields as the heading has")]
    Malformed {
        /// Name of the table.
        table: &'static str,
        /// Row under the heading, from 1; 0 is the heading itself.
        row: usize,
        /// What the CSV reader said.
        reason: String,
    },
    /// The heading lacks a column.
    #[error("{table}: the heading has no column `{column}`; add it")]
    NoColumn {
        /// Name of the table.
        table: &'static str,
        /// The missing column.
        column: &'static str,
    },
    /// A field is not what its column asks for.
    #[error("{table}, row {row}, column `{column}`: `{found}` is not {wanted}; mend the field")]
    Field {
        /// Name of the table.
        table: &'static str,
        /// Row under the heading, from 1.
        row: usize,
        /// Column of the field.
        column: &'static str,
        /// The text that stands there.
        found: String,
        /// What should stand there.
        wanted: &'static str,
    },
}

/// How far the main figure of a row was checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verified {
    /// Seen in a text whose address the row gives.
    Read,
    /// Recalled; a source named beside it was not opened.
    Memory,
}

impl Verified {
    /// The word the tables use.
    pub fn label(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Memory => "memory",
        }
    }
}

/// One row under the heading, asked for its fields by column name.
pub(super) struct Row<'a> {
    table: &'static str,
    number: usize,
    heading: &'a StringRecord,
    fields: &'a StringRecord,
}

impl Row<'_> {
    /// The field as it stands, without blanks around it; may be empty.
    pub(super) fn text(&self, column: &'static str) -> Result<String, TableError> {
        let field = self
            .heading
            .iter()
            .position(|name| name == column)
            .and_then(|at| self.fields.get(at));
        match field {
            Some(text) => Ok(text.trim().to_owned()),
            None => Err(TableError::NoColumn {
                table: self.table,
                column,
            }),
        }
    }

    /// A field that must say something.
    pub(super) fn filled(&self, column: &'static str) -> Result<String, TableError> {
        let text = self.text(column)?;
        if text.is_empty() {
            Err(self.wrong(column, "some text"))
        } else {
            Ok(text)
        }
    }

    /// A finite number.
    pub(super) fn number(&self, column: &'static str) -> Result<f64, TableError> {
        let text = self.text(column)?;
        match text.parse::<f64>() {
            Ok(value) if value.is_finite() => Ok(value),
            _ => Err(self.wrong(column, "a number")),
        }
    }

    /// A finite number above zero.
    pub(super) fn positive(&self, column: &'static str) -> Result<f64, TableError> {
        let value = self.number(column)?;
        if value > 0.0 {
            Ok(value)
        } else {
            Err(self.wrong(column, "a number above zero"))
        }
    }

    /// A finite number, or `None` where the field is empty.
    pub(super) fn optional_number(&self, column: &'static str) -> Result<Option<f64>, TableError> {
        if self.text(column)?.is_empty() {
            Ok(None)
        } else {
            self.number(column).map(Some)
        }
    }

    /// The word in `column`, translated by `meaning`; `wanted` describes the words it knows.
    pub(super) fn word<T>(
        &self,
        column: &'static str,
        wanted: &'static str,
        meaning: impl Fn(&str) -> Option<T>,
    ) -> Result<T, TableError> {
        meaning(&self.text(column)?).ok_or_else(|| self.wrong(column, wanted))
    }

    /// The column `verified`.
    pub(super) fn verified(&self) -> Result<Verified, TableError> {
        self.word("verified", "`read` or `memory`", |word| match word {
            "read" => Some(Verified::Read),
            "memory" => Some(Verified::Memory),
            _ => None,
        })
    }

    /// The error for a field that is not `wanted`.
    pub(super) fn wrong(&self, column: &'static str, wanted: &'static str) -> TableError {
        TableError::Field {
            table: self.table,
            row: self.number,
            column,
            found: self.text(column).unwrap_or_default(),
            wanted,
        }
    }
}

/// Reads `text` as CSV with a heading and turns each row into a `T`; stops at the first fault.
///
/// # Errors
/// See [`TableError`].
pub(super) fn read_table<T>(
    table: &'static str,
    text: &str,
    row: impl Fn(&Row<'_>) -> Result<T, TableError>,
) -> Result<Vec<T>, TableError> {
    let malformed = |row: usize, fault: &csv::Error| TableError::Malformed {
        table,
        row,
        reason: fault.to_string(),
    };
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let heading = reader
        .headers()
        .map_err(|fault| malformed(0, &fault))?
        .clone();
    let mut rows = Vec::new();
    for (index, record) in reader.records().enumerate() {
        let number = index + 1;
        let fields = record.map_err(|fault| malformed(number, &fault))?;
        rows.push(row(&Row {
            table,
            number,
            heading: &heading,
            fields: &fields,
        })?);
    }
    Ok(rows)
}

/// A key or label as it is compared: without blanks around it, lower case.
pub(super) fn folded(text: &str) -> String {
    text.trim().to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(text: &str) -> Result<Vec<f64>, TableError> {
        read_table("t.csv", text, |row| row.positive("n"))
    }

    #[test]
    fn rows_come_in_order() {
        assert_eq!(numbers("k,n\na,1\nb, 2.5 \n"), Ok(vec![1.0, 2.5]));
    }

    #[test]
    fn a_bad_field_is_named_by_row_and_column() {
        for bad in ["x", "", "NaN", "inf", "0", "-1", "1e999"] {
            let fault = numbers(&format!("k,n\na,1\nb,{bad}\n")).expect_err("must be refused");
            let said = fault.to_string();
            assert!(
                said.starts_with(&format!(
                    "t.csv, row 2, column `n`: `{bad}` is not a number"
                )),
                "{said}"
            );
        }
    }

    #[test]
    fn a_missing_column_is_named() {
        let fault = numbers("k,m\na,1\n").expect_err("must be refused");
        assert_eq!(
            fault,
            TableError::NoColumn {
                table: "t.csv",
                column: "n"
            }
        );
    }

    #[test]
    fn a_row_of_another_length_is_named() {
        let fault = numbers("k,n\na,1\nb\n").expect_err("must be refused");
        assert!(
            matches!(fault, TableError::Malformed { row: 2, .. }),
            "{fault:?}"
        );
    }

    #[test]
    fn only_the_two_words_count_as_verified() {
        let read = |word: &str| {
            read_table("t.csv", &format!("verified\n{word}\n"), |row| {
                row.verified()
            })
        };
        assert_eq!(read("read"), Ok(vec![Verified::Read]));
        assert_eq!(read("memory"), Ok(vec![Verified::Memory]));
        assert!(read("hearsay").is_err());
        assert_eq!(
            [Verified::Read.label(), Verified::Memory.label()],
            ["read", "memory"]
        );
    }
}
