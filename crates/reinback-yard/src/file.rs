//! The texts of the files: the only place that knows how anything is written down.
//!
//! **Invariant:** reading never panics and never takes memory out of proportion to the text,
//! whatever the text is.

use std::fmt;
use std::sync::Arc;

use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::FileKey;
use crate::edit::{self, Edit};
use crate::model::{Ride, Yard};

mod compact;
mod format;
mod line;
mod mark;
mod peek;
mod ride;
mod sheet;
#[cfg(test)]
mod tests;
mod text;
mod yard;

pub use format::FORMAT;

/// The largest file that is read, in bytes. Our own choice.
pub const MAX_FILE_BYTES: u64 = 64 * 1024 * 1024;

/// Deeper than any structure of the format, and shallow enough for every stack. Our own choice.
const MAX_DEPTH: usize = 64;

/// Why a text could not be read, in words for a rider.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TextError {
    /// Counted from 1, where the place is known.
    pub(crate) line: Option<u32>,
    /// Counted from 1, in characters.
    pub(crate) column: Option<u32>,
    /// A clause that reads after "cannot be read: ".
    pub(crate) message: String,
    /// The format the text says it has, if that is newer than [`FORMAT`].
    pub(crate) newer: Option<u32>,
}

impl fmt::Display for TextError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

/// Something read, and the format it was written in.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Read<T> {
    pub(crate) value: T,
    pub(crate) format: u32,
}

/// Reads `yard.ron`; the yard has no rides yet.
pub(crate) fn read_yard(bytes: &[u8]) -> Result<Read<Yard>, TextError> {
    let yard = |text: &str| {
        let stored = parse::<yard::StoredYard>(text)?;
        let needed = stored.needed();
        let mut yard = stored.into_model();
        edit::sort_yard(&mut yard);
        match edit::flaw_in_yard(&yard) {
            Some((id, flaw)) => Err(flawed(text, &id, &flaw)),
            None => Ok((needed, yard)),
        }
    };
    read(bytes, yard)
}

/// Writes `yard.ron`.
pub(crate) fn write_yard(yard: &Yard) -> Result<String, ron::Error> {
    write_pretty(&yard::StoredYard::from_model(yard), 3)
}

/// Reads the file of a ride.
pub(crate) fn read_ride(bytes: &[u8]) -> Result<Read<Ride>, TextError> {
    read(bytes, |text| {
        let ride = edit::in_order(parse::<ride::StoredRide>(text)?.into_model());
        match edit::flaw_in_ride(&ride) {
            Some((id, flaw)) => Err(flawed(text, &id, &flaw)),
            None => Ok((format::of_ride(&ride), compact::ride(ride))),
        }
    })
}

/// Writes the file of a ride: one thing a line, so that sync tools and people can compare.
pub(crate) fn write_ride(ride: &Ride) -> Result<String, ron::Error> {
    write_pretty(&ride::StoredRide::from_model(ride), 2)
}

/// What a change would make too large. Displays as a sentence for a rider.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "That is too much for one ride: its file would be larger than {} MiB, and could not be read again",
    MAX_FILE_BYTES / 1024 / 1024
)]
pub struct TooMuch;

/// Whether a ride can hold a change to it: its file and the change's line in the journal stay
/// below what is read again. To be asked before an import is applied. A change that does not apply
/// at all fits, and is refused when it is applied.
///
/// # Errors
/// [`TooMuch`].
pub fn fits(ride: &Ride, edit: &Edit) -> Result<(), TooMuch> {
    fits_within(ride, edit, MAX_FILE_BYTES)
}

fn fits_within(ride: &Ride, edit: &Edit, most: u64) -> Result<(), TooMuch> {
    let small = |length: Option<usize>| length.is_none_or(|length| length as u64 <= most);
    let line = write_change(edit).ok().map(|line| line.text.len());
    let room = usize::try_from(JOURNAL_ROOM.min(most / 2)).unwrap_or(usize::MAX);
    if !small(line.map(|length| length.saturating_add(room))) {
        return Err(TooMuch);
    }
    let mut yard = Yard::default();
    yard.rides.insert(ride.id, Arc::new(ride.clone()));
    let applies = edit.clone().apply(&mut yard).is_ok();
    let file = yard.ride(ride.id).filter(|_| applies);
    let file = file.and_then(|ride| write_ride(ride).ok());
    if small(file.map(|text| text.len())) {
        Ok(())
    } else {
        Err(TooMuch)
    }
}

/// Bytes of the journal that are kept free for saying which files were saved. Our own choice.
pub(crate) const JOURNAL_ROOM: u64 = 1024 * 1024;

/// What one line of the journal says.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Entry {
    /// The rider changed something.
    Changed(Edit),
    /// These files hold everything that stands above this line.
    Saved(Vec<FileKey>),
}

/// A line of the journal without its checksum and end, and the format it is written in.
#[derive(Debug)]
pub(crate) struct Line {
    pub(crate) text: String,
    pub(crate) format: u32,
}

/// Reads what stands behind the checksum of a line of a journal that says it has this format.
pub(crate) fn read_entry(text: &str, said: u32) -> Result<Entry, TextError> {
    let entry = parse::<line::StoredLine>(text)?.into_entry();
    let needed = match &entry {
        Entry::Changed(edit) => format::of_edit(edit),
        Entry::Saved(_) => 1,
    };
    if needed > said {
        return Err(too_new(needed, said));
    }
    Ok(entry)
}

/// Writes a change as one line.
pub(crate) fn write_change(edit: &Edit) -> Result<Line, ron::Error> {
    line(&line::StoredLine::changed(edit), format::of_edit(edit))
}

/// Writes as one line that these files now hold everything above it.
pub(crate) fn write_saved(files: impl IntoIterator<Item = FileKey>) -> Result<Line, ron::Error> {
    line(&line::StoredLine::saved(files), 1)
}

fn line(value: &impl Serialize, format: u32) -> Result<Line, ron::Error> {
    let text = options().to_string(value)?;
    Ok(Line { text, format })
}

/// The format a text says it has, without reading the rest of it.
pub(crate) fn format_of(text: &str) -> Option<u32> {
    peek::format_of(text)
}

fn options() -> ron::Options {
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME)
        .with_recursion_limit(MAX_DEPTH)
}

fn write_pretty(value: &impl Serialize, depth: usize) -> Result<String, ron::Error> {
    let layout = PrettyConfig::new()
        .depth_limit(depth)
        .new_line("\n")
        .indentor("  ");
    let mut text = options().to_string_pretty(value, layout)?;
    text.push('\n');
    Ok(text)
}

/// Reads a text with what reads a thing and tells the format it needs.
fn read<T>(
    bytes: &[u8],
    thing: impl Fn(&str) -> Result<(u32, T), TextError>,
) -> Result<Read<T>, TextError> {
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let before = String::from_utf8_lossy(bytes.get(..error.valid_up_to()).unwrap_or_default());
        let (line, column) = end_of(&before);
        TextError {
            line: Some(line),
            column: Some(column),
            newer: None,
            message:
                "it holds signs that are not text; it may have been damaged while being copied"
                    .into(),
        }
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    match peek::format_of(text) {
        Some(format @ 1..=FORMAT) => match thing(text)? {
            (needed, _) if needed > format => Err(too_new(needed, format)),
            (_, value) => Ok(Read { value, format }),
        },
        Some(format) if format > FORMAT => match thing(text) {
            // Nothing in it is new to us: it can be looked at.
            Ok((_, value)) => Ok(Read { value, format }),
            Err(error) => Err(TextError {
                message: format!(
                    "it was written by a newer Reinback (format {format}; this one knows {FORMAT})"
                ),
                newer: Some(format),
                ..error
            }),
        },
        Some(format) => Err(first_line(format!("there is no format {format}"))),
        None if text.trim().is_empty() => Err(first_line("it is empty".into())),
        None => Err(first_line("it does not begin with “(format: 1,”".into())),
    }
}

fn too_new(needed: u32, said: u32) -> TextError {
    first_line(format!(
        "it says that it is format {said}, and holds an entry of format {needed}"
    ))
}

fn first_line(message: String) -> TextError {
    TextError {
        line: Some(1),
        column: Some(1),
        message,
        newer: None,
    }
}

fn parse<T: DeserializeOwned>(text: &str) -> Result<T, TextError> {
    options().from_str(text).map_err(|error| {
        let place = |number: usize| u32::try_from(number).ok();
        TextError {
            line: place(error.span.start.line),
            column: place(error.span.start.col),
            message: sentence(&error.code),
            newer: None,
        }
    })
}

/// A flaw found after reading has no place; the thing's own id tells the line.
fn flawed(text: &str, id: &str, flaw: &crate::EditError) -> TextError {
    let (line, column) = place_of(text, id).unzip();
    TextError {
        line,
        column,
        message: flaw.to_string(),
        newer: None,
    }
}

/// The line on which the thing with this id stands, counted from 1.
pub(crate) fn line_of(text: &str, id: &str) -> Option<u32> {
    place_of(text, id).map(|(line, _)| line)
}

fn place_of(text: &str, id: &str) -> Option<(u32, u32)> {
    // As we write it; else wherever the id is first named.
    let at = text
        .find(&format!("id: \"{id}\""))
        .or_else(|| text.find(id))?;
    text.get(..at).map(end_of)
}

/// Line and column of the sign that would follow this text.
fn end_of(text: &str) -> (u32, u32) {
    let line = text.bytes().filter(|b| *b == b'\n').count() + 1;
    let column = text.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
    (
        u32::try_from(line).unwrap_or(u32::MAX),
        u32::try_from(column).unwrap_or(u32::MAX),
    )
}

fn sentence(error: &ron::Error) -> String {
    use ron::Error as E;
    match error {
        E::Eof | E::ExpectedStringEnd | E::UnclosedBlockComment => {
            "it ends too early; it may have been cut off while being copied".into()
        }
        E::NoSuchStructField { found, outer, .. } => {
            format!(
                "“{found}” is not an entry of {}",
                outer.as_deref().map_or("this".into(), kind)
            )
        }
        E::MissingStructField { field, outer } => {
            format!(
                "{} has no entry “{field}”",
                outer.as_deref().map_or("this".into(), kind)
            )
        }
        E::DuplicateStructField { field, outer } => {
            format!(
                "{} has the entry “{field}” twice",
                outer.as_deref().map_or("this".into(), kind)
            )
        }
        E::NoSuchEnumVariant {
            found, expected, ..
        } => {
            format!("“{found}” is not one of {}", expected.join(", "))
        }
        E::ExceededRecursionLimit => "it is nested too deeply to be a file of Reinback".into(),
        E::TrailingCharacters => "there is something behind its end".into(),
        E::Message(message) => message.clone(),
        other => format!(
            "it is not written as it should be here ({})",
            lower_first(&other.to_string())
        ),
    }
}

/// "`PaceSpan`" as "a pace span".
fn kind(name: &str) -> String {
    let mut words = String::new();
    for c in name.chars() {
        if c.is_uppercase() && !words.is_empty() {
            words.push(' ');
        }
        words.extend(c.to_lowercase());
    }
    let article = if words.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {words}")
}

fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(chars).collect()
    })
}
