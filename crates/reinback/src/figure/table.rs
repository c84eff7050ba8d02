//! The twin of a figure: its numbers in rows and columns, for those who read, hear or copy them.

use reinback_yard::export::plain_cell;

/// Numbers in rows and columns. Every row has one field for each column.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// What stands over the columns.
    pub columns: Vec<Column>,
    /// Fields, as they are to be read.
    pub rows: Vec<Vec<String>>,
}

/// One column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// What stands over it.
    pub name: String,
    /// Where its fields stand.
    pub align: Align,
}

/// Where a field stands in its column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

impl Column {
    /// A column of words.
    #[must_use]
    pub fn words(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            align: Align::Left,
        }
    }

    /// A column of numbers.
    #[must_use]
    pub fn numbers(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            align: Align::Right,
        }
    }
}

impl Table {
    /// The names of the columns and the rows as CSV (RFC 4180). What a spreadsheet would take for a
    /// formula has an apostrophe before it, but for numbers.
    ///
    /// # Errors
    /// What the CSV writer says.
    pub fn csv(&self) -> csv::Result<Vec<u8>> {
        self.written(b',', csv::Terminator::CRLF)
    }

    /// The same with tabs, as spreadsheets take it from the clipboard.
    ///
    /// # Errors
    /// What the CSV writer says.
    pub fn tabbed(&self) -> csv::Result<String> {
        let bytes = self.written(b'\t', csv::Terminator::Any(b'\n'))?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }

    fn written(&self, between: u8, end: csv::Terminator) -> csv::Result<Vec<u8>> {
        let mut rows = csv::WriterBuilder::new()
            .delimiter(between)
            .terminator(end)
            .flexible(true)
            .from_writer(Vec::new());
        let names = self.columns.iter().map(|column| column.name.clone());
        rows.write_record(names.map(plain_cell))?;
        for row in &self.rows {
            rows.write_record(row.iter().map(|field| cell(field)))?;
        }
        rows.into_inner()
            .map_err(|error| csv::Error::from(error.into_error()))
    }
}

/// A number below nought is none of a spreadsheet's formulas.
fn cell(field: &str) -> String {
    if field.parse::<f64>().is_ok() {
        field.to_owned()
    } else {
        plain_cell(field.to_owned())
    }
}
