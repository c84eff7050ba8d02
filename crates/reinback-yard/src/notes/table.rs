//! Tables, as spreadsheets save them: which sign parts the columns, and what each holds.

use csv::{Reader, ReaderBuilder, StringRecord, Trim};

use super::read::{NoteFlaw, RawNote, note};
use super::stamp::{Stamp, read_day, read_stamp};

/// How a table is to be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// The sign between the columns: a comma, a semicolon, a tab or an upright stroke.
    pub delimiter: u8,
    /// Whether the first row holds the names of the columns.
    pub header: bool,
    /// What each column holds.
    pub columns: Vec<Column>,
    /// The names of the columns, for the rider; empty where there are none.
    pub names: Vec<String>,
}

impl Table {
    /// Says what a column holds. There is one column of times and one of days: the one before
    /// is not wanted any more.
    pub fn set(&mut self, index: usize, holds: Column) {
        if matches!(holds, Column::Time | Column::Day) {
            for column in self.columns.iter_mut().filter(|own| **own == holds) {
                *column = Column::Unused;
            }
        }
        if let Some(column) = self.columns.get_mut(index) {
            *column = holds;
        }
    }
}

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    /// When it was noted.
    Time,
    /// The day of that.
    Day,
    /// Words; those of several columns are put together.
    Text,
    /// Nothing that is wanted.
    Unused,
}

/// The signs that part columns, the likelier first.
pub const DELIMITERS: [u8; 4] = [b',', b';', b'\t', b'|'];

/// Rows on which guesses rest. Our own choice.
const LOOKED_AT: usize = 200;

/// Lines of one row at most: a quote that reaches further was never closed. Our own choice.
const MOST_LINES: usize = 20;

/// A row of cells with its line.
struct Row {
    line: u32,
    cells: StringRecord,
}

/// The table that a text most likely is; `None` where it is none.
pub(super) fn guess(text: &str) -> Option<Table> {
    let told = told_delimiter(text);
    let candidates: Vec<u8> = told.map_or(DELIMITERS.to_vec(), |sign| vec![sign]);
    // The one that makes the most columns alike wins; "10:42, late, again" are lines.
    let tables = candidates.into_iter().filter_map(|delimiter| {
        let rows = beginning(text, delimiter);
        let width = usual_width(&rows)?;
        let table = columns(delimiter, width, &rows)?;
        let alike = rows.iter().filter(|row| row.cells.len() == width).count();
        // Rows of a table are alike; so few are anything.
        (alike * 10 >= rows.len() * 9).then_some((alike, width, table))
    });
    tables
        .max_by_key(|(alike, width, _)| (*alike, *width))
        .map(|(_, _, table)| table)
}

/// A table with another sign between its columns, guessed anew.
#[must_use]
pub fn table_with(text: &str, delimiter: u8) -> Table {
    let rows = beginning(text, delimiter);
    let width = rows.iter().map(|row| row.cells.len()).max().unwrap_or(1);
    columns(delimiter, width, &rows).unwrap_or_else(|| Table {
        delimiter,
        header: false,
        columns: vec![Column::Text; width],
        names: Vec::new(),
    })
}

/// "sep=;", with which one spreadsheet program tells itself the sign.
fn told_delimiter(text: &str) -> Option<u8> {
    let sign = text.lines().next()?.trim().strip_prefix("sep=")?;
    let sign = sign.bytes().next().unwrap_or(b'\t');
    DELIMITERS.contains(&sign).then_some(sign)
}

/// The rows of a table, from behind the line with the sign, if there is one; of a row that cannot
/// be read, its line.
fn all_rows(text: &str, delimiter: u8) -> Rows<'_> {
    let told = told_delimiter(text).is_some();
    let body = match text.split_once('\n') {
        Some((_, body)) if told => body,
        _ => text,
    };
    Rows {
        delimiter,
        rest: body,
        line: u32::from(told).saturating_add(1),
        reader: reader(body, delimiter),
        read: 0,
    }
}

fn reader(text: &str, delimiter: u8) -> Reader<&[u8]> {
    ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .trim(Trim::All)
        .from_reader(text.as_bytes())
}

/// Reads row by row. A quote that is not closed costs its own line and no other.
struct Rows<'a> {
    delimiter: u8,
    /// What is not read yet.
    rest: &'a str,
    /// The line on which that begins.
    line: u32,
    /// Stands at its beginning.
    reader: Reader<&'a [u8]>,
    /// How far the reader has come in what it was given.
    read: u64,
}

impl Rows<'_> {
    /// Goes on behind so many bytes of the rest.
    fn pass(&mut self, bytes: usize) {
        let (passed, rest) = self.rest.split_at_checked(bytes).unwrap_or((self.rest, ""));
        let lines = u32::try_from(passed.matches('\n').count()).unwrap_or(u32::MAX);
        self.line = self.line.saturating_add(lines);
        self.rest = rest;
    }
}

impl Iterator for Rows<'_> {
    type Item = Result<Row, u32>;

    fn next(&mut self) -> Option<Self::Item> {
        let mut cells = StringRecord::new();
        let found = self.reader.read_record(&mut cells);
        let end = self.reader.position().byte();
        let length = usize::try_from(end - self.read).unwrap_or(usize::MAX);
        self.read = end;
        if matches!(found, Ok(false)) {
            return None;
        }
        // Empty lines before a row are read with it.
        let empty = self.rest.len() - self.rest.trim_start_matches('\n').len();
        self.pass(empty);
        let length = length.saturating_sub(empty);
        let (own, behind) = self
            .rest
            .split_at_checked(length)
            .unwrap_or((self.rest, ""));
        let lines = own.trim_end_matches('\n').matches('\n').count() + 1;
        let endless = behind.is_empty() && is_open(own, self.delimiter);
        let line = self.line;
        if found.is_err() || lines > MOST_LINES || endless {
            let first = own.find('\n').map_or(own.len(), |end| end + 1);
            self.pass(first);
            self.reader = reader(self.rest, self.delimiter);
            self.read = 0;
            return Some(Err(line));
        }
        self.pass(length);
        Some(Ok(Row { line, cells }))
    }
}

/// Whether a row ends within quotes. These begin with a cell and are doubled within it (RFC 4180,
/// section 2).
fn is_open(row: &str, delimiter: u8) -> bool {
    let (mut quoted, mut begins) = (false, true);
    for byte in row.bytes() {
        quoted = match byte {
            // A doubled quote closes and opens again.
            b'"' if quoted => false,
            b'"' => begins,
            _ => quoted,
        };
        begins = !quoted && (byte == delimiter || byte == b'\n' || byte == b'"');
    }
    quoted
}

fn beginning(text: &str, delimiter: u8) -> Vec<Row> {
    all_rows(text, delimiter)
        .filter_map(Result::ok)
        .take(LOOKED_AT)
        .collect()
}

/// The number of columns that most rows have, if that is more than one.
fn usual_width(rows: &[Row]) -> Option<usize> {
    let mut widths: Vec<usize> = rows.iter().map(|row| row.cells.len()).collect();
    widths.sort_unstable();
    let middle = widths.get(widths.len() / 2).copied()?;
    (middle > 1).then_some(middle)
}

/// What the columns hold; `None` where none holds times.
fn columns(delimiter: u8, width: usize, rows: &[Row]) -> Option<Table> {
    let first = rows.first()?;
    let body = |header: bool| rows.get(usize::from(header)..).unwrap_or_default();
    let share = |column: usize, header: bool, fits: &dyn Fn(&str) -> bool| {
        let cells = body(header).iter().filter_map(|row| row.cells.get(column));
        let filled: Vec<&str> = cells.filter(|cell| !cell.is_empty()).collect();
        let fitting = filled.iter().filter(|cell| fits(cell)).count();
        if filled.is_empty() {
            0.0
        } else {
            fitting as f64 / filled.len() as f64
        }
    };
    let is_time = |cell: &str| read_stamp(cell).is_some();
    let called = |column: usize| first.cells.get(column).unwrap_or_default().to_lowercase();
    let looks_named = rows.len() > 1
        && (0..width).all(|column| {
            let name = called(column);
            !name.is_empty() && !is_time(&name) && read_day(&name).is_none()
        });
    let time = best(width, |column| {
        let times = share(column, looks_named, &is_time);
        // Half the rows at least; a name decides between several.
        let name = called(column);
        let says_time = looks_named && TIME_NAMES.iter().any(|word| name.contains(word));
        let plain = share(column, looks_named, &|cell| cell.contains(':'));
        (times >= 0.5).then_some(times + 2.0 * f64::from(u8::from(says_time)) + plain)
    })?;
    let header = looks_named && !first.cells.get(time).is_some_and(is_time);
    let days = |column: usize| share(column, header, &|cell| read_day(cell).is_some()) >= 0.5;
    let letters = |column: usize| {
        share(column, header, &|cell| {
            cell.chars().any(char::is_alphabetic)
        }) > 0.0
    };
    let column = |column: usize| {
        if column == time {
            Column::Time
        } else if days(column) {
            Column::Day
        } else if letters(column) && share(column, header, &is_time) < 0.5 {
            Column::Text
        } else {
            Column::Unused
        }
    };
    let names = (0..width).map(|column| first.cells.get(column).unwrap_or_default().to_owned());
    Some(Table {
        delimiter,
        header,
        columns: (0..width).map(column).collect(),
        names: if header { names.collect() } else { Vec::new() },
    })
}

/// What columns of times are called. The trade has no word of its own for it.
const TIME_NAMES: [&str; 6] = ["time", "clock", "start", "from", "zeit", "uhr"];

fn best(width: usize, weight: impl Fn(usize) -> Option<f64>) -> Option<usize> {
    let weighed = (0..width).filter_map(|column| Some((column, weight(column)?)));
    // Of two alike the first.
    weighed
        .rev()
        .max_by(|(_, one), (_, other)| one.total_cmp(other))
        .map(|(column, _)| column)
}

/// The notes of a table.
pub(super) fn rows<'a>(text: &'a str, table: &'a Table) -> impl Iterator<Item = RawNote> + 'a {
    let skip = usize::from(table.header);
    all_rows(text, table.delimiter)
        .skip(skip)
        .map(|row| match row {
            Ok(row) => row_note(&row, table),
            Err(line) => RawNote {
                line,
                time: String::new(),
                stamp: None,
                text: String::new(),
                flaw: Some(NoteFlaw::BadRow),
            },
        })
        // A row of nothing but delimiters is an empty line.
        .filter(|note| {
            !(note.time.is_empty() && note.text.is_empty()) || note.flaw == Some(NoteFlaw::BadRow)
        })
}

fn row_note(row: &Row, table: &Table) -> RawNote {
    let of = |wanted: Column| {
        // A comma that nobody quoted makes cells of its own; their words belong to the note.
        let columns = table.columns.iter().chain(std::iter::repeat(&Column::Text));
        let held = columns.zip(&row.cells);
        held.filter(move |(column, cell)| **column == wanted && !cell.is_empty())
            .map(|(_, cell)| cell)
    };
    let time = of(Column::Time).next().unwrap_or_default();
    let day = of(Column::Day).next().unwrap_or_default();
    let stamp = read_stamp(time).map(|stamp| with_day(stamp, day));
    let text: Vec<&str> = of(Column::Text).collect();
    let shown = if day.is_empty() {
        time.to_owned()
    } else {
        format!("{day} {time}")
    };
    note(row.line, &shown, stamp, text.join(", "))
}

/// A time of day on the day that stands beside it.
fn with_day(stamp: Stamp, day: &str) -> Stamp {
    match (stamp, read_day(day)) {
        (
            Stamp::Clock {
                date: None,
                of_day,
                zone,
            },
            Some(day),
        ) => Stamp::Clock {
            date: Some(day),
            of_day,
            zone,
        },
        (Stamp::Either { of_day, .. }, Some(day)) => Stamp::Clock {
            date: Some(day),
            of_day,
            zone: None,
        },
        (stamp, _) => stamp,
    }
}
