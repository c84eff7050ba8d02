//! A column of a table: its name and meaning, and how its cells come from a row.
//!
//! The schema, the cells and the description in `docs/report.md` all come from one list of these,
//! so that they cannot differ.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::Arc;

use arrow_array::builder::StringBuilder;
use arrow_array::{
    ArrayRef, BooleanArray, Date32Array, Float64Array, Int32Array, Int64Array, StringArray,
};
use arrow_schema::{DataType, Field, Schema};
use chrono::NaiveDate;

/// What a row has for a text column.
pub(super) type Text<'r> = Option<Cow<'r, str>>;

/// How cells come from a row, by the type they are kept as.
enum Cells<R> {
    /// An id, as the 16 digits it is written with everywhere.
    Id(fn(&R) -> Option<u64>),
    Text(fn(&R) -> Text<'_>),
    Day(fn(&R) -> Option<NaiveDate>),
    Long(fn(&R) -> Option<i64>),
    Whole(fn(&R) -> Option<i32>),
    Number(fn(&R) -> Option<f64>),
    Flag(fn(&R) -> Option<bool>),
}

/// One column.
pub(super) struct Column<R> {
    /// As queries call it.
    pub(super) name: &'static str,
    meaning: &'static str,
    nullable: bool,
    /// Its values are hardly ever met twice, so that a dictionary of them would be a waste.
    pub(super) unique: bool,
    cells: Cells<R>,
}

/// The columns of a table, in their order. Each has a value in every row, unless said otherwise.
pub(super) struct Columns<R>(Vec<Column<R>>);

impl<R> Columns<R> {
    /// None yet.
    pub(super) const fn new() -> Self {
        Self(Vec::new())
    }

    /// An id.
    pub(super) fn id(
        self,
        name: &'static str,
        of: fn(&R) -> Option<u64>,
        meaning: &'static str,
    ) -> Self {
        self.with(name, Cells::Id(of), meaning)
    }

    /// Text.
    pub(super) fn text(
        self,
        name: &'static str,
        of: fn(&R) -> Text<'_>,
        meaning: &'static str,
    ) -> Self {
        self.with(name, Cells::Text(of), meaning)
    }

    /// A calendar day.
    pub(super) fn day(
        self,
        name: &'static str,
        of: fn(&R) -> Option<NaiveDate>,
        meaning: &'static str,
    ) -> Self {
        self.with(name, Cells::Day(of), meaning)
    }

    /// A whole number of 64 bits.
    pub(super) fn long(
        self,
        name: &'static str,
        of: fn(&R) -> Option<i64>,
        meaning: &'static str,
    ) -> Self {
        self.with(name, Cells::Long(of), meaning)
    }

    /// A whole number of 32 bits.
    pub(super) fn whole(
        self,
        name: &'static str,
        of: fn(&R) -> Option<i32>,
        meaning: &'static str,
    ) -> Self {
        self.with(name, Cells::Whole(of), meaning)
    }

    /// A number with a fraction.
    pub(super) fn number(
        self,
        name: &'static str,
        of: fn(&R) -> Option<f64>,
        meaning: &'static str,
    ) -> Self {
        self.with(name, Cells::Number(of), meaning)
    }

    /// Yes or no.
    pub(super) fn flag(
        self,
        name: &'static str,
        of: fn(&R) -> Option<bool>,
        meaning: &'static str,
    ) -> Self {
        self.with(name, Cells::Flag(of), meaning)
    }

    /// Lets the last one be without a value.
    pub(super) fn or_null(mut self) -> Self {
        if let Some(last) = self.0.last_mut() {
            last.nullable = true;
        }
        self
    }

    /// Says of the last one that it hardly ever has a value twice.
    pub(super) fn unique(mut self) -> Self {
        if let Some(last) = self.0.last_mut() {
            last.unique = true;
        }
        self
    }

    /// One after the other.
    pub(super) fn iter(&self) -> impl Iterator<Item = &Column<R>> {
        self.0.iter()
    }

    /// As a schema.
    pub(super) fn schema(&self) -> Schema {
        Schema::new(self.iter().map(Column::field).collect::<Vec<_>>())
    }

    fn with(mut self, name: &'static str, cells: Cells<R>, meaning: &'static str) -> Self {
        self.0.push(Column {
            name,
            meaning,
            nullable: false,
            unique: false,
            cells,
        });
        self
    }
}

impl<R> Column<R> {
    fn data_type(&self) -> DataType {
        match self.cells {
            Cells::Id(_) | Cells::Text(_) => DataType::Utf8,
            Cells::Day(_) => DataType::Date32,
            Cells::Long(_) => DataType::Int64,
            Cells::Whole(_) => DataType::Int32,
            Cells::Number(_) => DataType::Float64,
            Cells::Flag(_) => DataType::Boolean,
        }
    }

    /// Its entry in the schema, its meaning with it.
    fn field(&self) -> Field {
        let meaning = HashMap::from([("description".to_owned(), self.meaning.to_owned())]);
        Field::new(self.name, self.data_type(), self.nullable).with_metadata(meaning)
    }

    /// Its cells of these rows.
    pub(super) fn array(&self, rows: &[R]) -> ArrayRef {
        let rows = rows.iter();
        match self.cells {
            Cells::Id(of) => ids(rows.map(of)),
            Cells::Text(of) => Arc::new(rows.map(of).collect::<StringArray>()),
            Cells::Day(of) => {
                let days = rows.map(|row| of(row).map(|day| day.to_epoch_days()));
                Arc::new(days.collect::<Date32Array>())
            }
            Cells::Long(of) => Arc::new(rows.map(of).collect::<Int64Array>()),
            Cells::Whole(of) => Arc::new(rows.map(of).collect::<Int32Array>()),
            Cells::Number(of) => Arc::new(rows.map(of).collect::<Float64Array>()),
            Cells::Flag(of) => Arc::new(rows.map(of).collect::<BooleanArray>()),
        }
    }

    /// Its line in the description.
    #[cfg(test)]
    pub(super) fn described(&self) -> String {
        let kind = match self.cells {
            Cells::Id(_) => "text, id",
            Cells::Text(_) => "text",
            Cells::Day(_) => "date",
            Cells::Long(_) => "int64",
            Cells::Whole(_) => "int32",
            Cells::Number(_) => "double",
            Cells::Flag(_) => "boolean",
        };
        let null = if self.nullable { "yes" } else { "no" };
        format!("| `{}` | {kind} | {null} | {} |", self.name, self.meaning)
    }
}

/// Written digit by digit: an id is in every row, and a text of its own for each would be most
/// of the work.
fn ids(values: impl ExactSizeIterator<Item = Option<u64>>) -> ArrayRef {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    let count = values.len();
    let mut built = StringBuilder::with_capacity(count, 16 * count);
    for value in values {
        let Some(value) = value else {
            built.append_null();
            continue;
        };
        let mut text = [b'0'; 16];
        for (place, digit) in text.iter_mut().rev().enumerate() {
            *digit = DIGITS[(value >> (4 * place)) as usize & 15];
        }
        built.append_option(std::str::from_utf8(&text).ok());
    }
    Arc::new(built.finish())
}
