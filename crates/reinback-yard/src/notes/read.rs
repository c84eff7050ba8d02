//! From a text to notes: which kind of text it is, and the lines of it.

use std::borrow::Cow;
use std::ops::ControlFlow;

use super::cues;
use super::stamp::{Stamp, leading_stamp, read_stamp};
use super::table::{self, Table};

/// Notes read at most; what is behind them is left out, and said. Our own choice.
pub const MAX_NOTES: usize = 100_000;

/// Signs of one note at most; a longer one is cut, and said. Our own choice.
pub const MAX_NOTE_SIGNS: usize = 2_000;

/// How a text is to be read. Guessed by [`guess_layout`]; the rider may say otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Layout {
    /// One note a line, each beginning with its time.
    Lines,
    /// A table, such as a spreadsheet saved as CSV.
    Table(Table),
    /// Captions in `WebVTT`.
    Cues,
}

/// One note as it stands in the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RawNote {
    /// The line on which it begins, counted from 1.
    pub line: u32,
    /// Its time as it is written; empty where there is none.
    pub time: String,
    /// What that says.
    pub stamp: Option<Stamp>,
    /// The words.
    pub text: String,
    /// Why it cannot be placed or is not whole.
    pub flaw: Option<NoteFlaw>,
}

/// What is wrong with a note. Displays as a clause for a rider.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoteFlaw {
    /// Nothing on the line is a time.
    #[error("it has no time")]
    NoTime,
    /// What stands where the time should be is none.
    #[error("its time cannot be read")]
    BadTime,
    /// A time and nothing else.
    #[error("it has no words")]
    NoText,
    /// Longer than [`MAX_NOTE_SIGNS`].
    #[error("it is too long, and was cut off")]
    Cut,
    /// A table's row that is not one, such as a quote that is never closed.
    #[error("it cannot be read as a row of the table")]
    BadRow,
}

/// All notes of a text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RawNotes {
    /// In the order of the text.
    pub notes: Vec<RawNote>,
    /// There are more than [`MAX_NOTES`]; the rest was left out.
    pub cut: bool,
}

/// Why nothing was read. Displays as a sentence for a rider.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// The rider did not want to wait.
    #[error("The notes were not read to their end")]
    Cancelled,
    /// `WebVTT` begins with that word.
    #[error("This is no WebVTT: its first line is not “WEBVTT”")]
    NotWebVtt,
}

/// How a text is most likely meant, judging by its beginning.
#[must_use]
pub fn guess_layout(text: &str) -> Layout {
    let text = &plain_line_ends(text);
    if cues::is_signed(text) {
        Layout::Cues
    } else if let Some(table) = table::guess(text) {
        Layout::Table(table)
    } else {
        Layout::Lines
    }
}

/// Reads a text. `flow` is asked now and then whether to go on, with the number of notes so far.
///
/// # Errors
/// [`ReadError`]. What is wrong with a single note stands beside it instead.
pub fn read_notes(
    text: &str,
    layout: &Layout,
    flow: &mut dyn FnMut(usize) -> ControlFlow<()>,
) -> Result<RawNotes, ReadError> {
    let text = &plain_line_ends(text);
    match layout {
        Layout::Lines => gather(lines(text), flow),
        Layout::Table(table) => gather(table::rows(text, table), flow),
        Layout::Cues if !cues::is_signed(text) => Err(ReadError::NotWebVtt),
        Layout::Cues => gather(cues::cues(text), flow),
    }
}

/// With every line ended by a line feed, and without a byte order mark.
pub(super) fn plain_line_ends(text: &str) -> Cow<'_, str> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.contains('\r') {
        Cow::Owned(text.replace("\r\n", "\n").replace('\r', "\n"))
    } else {
        Cow::Borrowed(text)
    }
}

fn gather(
    notes: impl Iterator<Item = RawNote>,
    flow: &mut dyn FnMut(usize) -> ControlFlow<()>,
) -> Result<RawNotes, ReadError> {
    let mut gathered = RawNotes::default();
    for note in notes {
        if gathered.notes.len() == MAX_NOTES {
            gathered.cut = true;
            break;
        }
        if gathered.notes.len().is_multiple_of(1_000) && flow(gathered.notes.len()).is_break() {
            return Err(ReadError::Cancelled);
        }
        gathered.notes.push(shortened(note));
    }
    Ok(gathered)
}

fn shortened(mut note: RawNote) -> RawNote {
    if let Some((end, _)) = note.text.char_indices().nth(MAX_NOTE_SIGNS) {
        note.text.truncate(end);
        note.flaw = note.flaw.or(Some(NoteFlaw::Cut));
    }
    note
}

/// A note from its parts, with what is wrong with them.
pub(super) fn note(line: u32, time: &str, stamp: Option<Stamp>, text: String) -> RawNote {
    let flaw = match stamp {
        None if time.trim().is_empty() => Some(NoteFlaw::NoTime),
        None => Some(NoteFlaw::BadTime),
        Some(_) if text.is_empty() => Some(NoteFlaw::NoText),
        Some(_) => None,
    };
    RawNote {
        line,
        time: time.trim().to_owned(),
        stamp,
        text,
        flaw,
    }
}

/// One note a line; empty lines are none.
fn lines(text: &str) -> impl Iterator<Item = RawNote> {
    let numbered = text.lines().zip(1_u32..);
    numbered
        .filter(|(line, _)| !line.trim().is_empty())
        .map(|(line, number)| {
            let line = without_bullet(line.trim());
            if let Some((stamp, rest)) = leading_stamp(line) {
                let (time, _) = line.split_at(line.len() - rest.len());
                return note(number, time, Some(stamp), words(rest));
            }
            // "half-pass left, quarters trailing 10:42"
            let last = line.rsplit(char::is_whitespace).next().unwrap_or_default();
            let clock = |stamp: &Stamp| {
                last.contains(':') && !matches!(stamp, Stamp::Elapsed(nanos) if *nanos < 0)
            };
            match read_stamp(last).filter(clock) {
                Some(stamp) => {
                    let (rest, _) = line.split_at(line.len() - last.len());
                    note(number, last, Some(stamp), words(rest))
                }
                None => note(number, "", None, words(line)),
            }
        })
}

/// A list's bullet has a space behind it; a minus has none.
fn without_bullet(line: &str) -> &str {
    ["- ", "* ", "• ", "– "]
        .iter()
        .find_map(|bullet| line.strip_prefix(bullet))
        .unwrap_or(line)
        .trim_start()
}

/// Without what parts a time from its words.
fn words(text: &str) -> String {
    let parts = |sign: char| {
        sign.is_whitespace()
            || matches!(
                sign,
                '-' | '–' | '—' | ':' | ',' | ';' | '.' | '|' | '=' | '>'
            )
    };
    text.trim_start_matches(parts)
        .trim_end()
        .trim_end_matches(['@', '(', '[', '|', '\t'])
        .trim_end()
        .to_owned()
}
