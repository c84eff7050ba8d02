//! Bouts and marks of a ride for other programs: a table, and captions that players show.

mod captions;
mod table;

pub use captions::{CaptionClock, Captions, marks_as_vtt};
pub use table::marks_as_csv;

use crate::model::{Bout, Mark, Ride};
use crate::words::Words;
use reinback_analysis::{Moment, Rein};

/// Text for a cell of a table: what a spreadsheet would take for a formula, with an apostrophe
/// before it. The signs and the remedy are those of the OWASP page "CSV Injection", from memory.
/// Quotes do not help there.
#[must_use]
pub fn plain_cell(text: String) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}")
    } else {
        text
    }
}

/// A bout or a mark, in the order of a ride.
#[derive(Clone, Copy, Debug)]
enum Thing<'a> {
    Bout(&'a Bout),
    Mark(&'a Mark),
}

impl Thing<'_> {
    fn at(self) -> Moment {
        match self {
            Self::Bout(bout) => bout.from,
            Self::Mark(mark) => mark.at,
        }
    }
}

/// Everything in a ride by its start; a bout stands before the marks of its first moment.
fn things(ride: &Ride) -> Vec<Thing<'_>> {
    let bouts = ride.bouts.iter().map(Thing::Bout);
    let mut things: Vec<Thing<'_>> = bouts.chain(ride.marks.iter().map(Thing::Mark)).collect();
    things.sort_by_key(|thing| thing.at());
    things
}

/// The bout a mark was given to.
fn bout_of<'a>(ride: &'a Ride, mark: &Mark) -> Option<&'a Bout> {
    let id = mark.bout?;
    ride.bouts.iter().find(|bout| bout.id == id)
}

const fn rein_name(rein: Rein) -> &'static str {
    match rein {
        Rein::Left => "left",
        Rein::Right => "right",
    }
}

/// Whole milliseconds, rounded, without the sign.
fn millis(nanos: i64) -> u64 {
    nanos.unsigned_abs().saturating_add(500_000) / 1_000_000
}

/// "half-pass, in trot, left".
fn bout_name(words: &Words, bout: &Bout) -> String {
    let mut parts = vec![words.exercise_name(&bout.exercise)];
    parts.extend(
        bout.variant
            .as_ref()
            .map(|own| words.variant_name(&bout.exercise, own)),
    );
    parts.extend(bout.rein.map(|rein| rein_name(rein).to_owned()));
    parts.join(", ")
}

/// "quarters trailing".
fn mark_name(words: &Words, bout: Option<&Bout>, mark: &Mark) -> String {
    words.mark_name(bout.map(|bout| &bout.exercise), &mark.kind)
}

#[cfg(test)]
mod tests;
