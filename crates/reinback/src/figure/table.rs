//! The twin of a figure: its numbers in rows and columns, for those who read, hear or copy them.

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
