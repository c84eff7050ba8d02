//! One row a bout, of every review.

use std::borrow::Cow;

use reinback_yard::{Bout, Rein, Ride};

use super::column::{Columns, Text};
use super::names::Names;

/// A bout with what its marks say of it.
pub(super) struct BoutRow<'a> {
    pub(super) ride: &'a Ride,
    pub(super) bout: &'a Bout,
    /// Faults that belong to it.
    pub(super) faults: i32,
    /// A "ridden again" belongs to it.
    pub(super) repeated: bool,
    pub(super) names: &'a Names<'a>,
}

/// Whether a bout is in the denominators of its yard's rates.
pub(super) fn is_attempt(ride: &Ride, bout: &Bout) -> bool {
    bout.reviewed && bout.to.is_some() && bout.review == ride.head.counting
}

/// As reins and leads are written.
pub(super) fn rein<'r>(rein: Option<Rein>) -> Text<'r> {
    rein.map(|rein| {
        Cow::Borrowed(match rein {
            Rein::Left => "left",
            Rein::Right => "right",
        })
    })
}

/// `docs/report.md` has this list; a test keeps it so.
pub(super) fn columns<'a>() -> Columns<BoutRow<'a>> {
    how(what(whose(Columns::new())))
}

fn whose(columns: Columns<BoutRow<'_>>) -> Columns<BoutRow<'_>> {
    columns
        .id(
            "bout",
            |row| Some(row.bout.id.bits()),
            "the bout; unique together with `ride`",
        )
        .unique()
        .id(
            "ride",
            |row| Some(row.ride.id.bits()),
            "its ride, in `rides`",
        )
        .id(
            "horse",
            |row| Some(row.ride.head.horse.bits()),
            "the ride's horse",
        )
        .day("day", |row| Some(row.ride.head.date), "the ride's day")
        .id(
            "review",
            |row| Some(row.bout.review.bits()),
            "whose review it belongs to",
        )
        .text(
            "reviewer",
            |row| row.names.reviewer(row.ride, row.bout.review),
            "who made that review: a name, or an id without names",
        )
        .or_null()
        .flag(
            "counting",
            |row| Some(row.bout.review == row.ride.head.counting),
            "whether that review is the one that counts",
        )
        .flag(
            "reviewed",
            |row| Some(row.bout.reviewed),
            "whether it was set to reviewed",
        )
        .flag(
            "attempt",
            |row| Some(is_attempt(row.ride, row.bout)),
            "counting, reviewed and closed: **the denominator of every rate**",
        )
}

fn what(columns: Columns<BoutRow<'_>>) -> Columns<BoutRow<'_>> {
    columns
        .text(
            "exercise",
            |row| Some(row.bout.exercise.as_str().into()),
            "the yard's word, such as `half-pass`",
        )
        .text(
            "exercise_name",
            |row| {
                Some(
                    row.names
                        .yard()
                        .words
                        .exercise_name(&row.bout.exercise)
                        .into(),
                )
            },
            "as the yard calls it",
        )
        .text(
            "variant",
            |row| Some(row.bout.variant.as_ref()?.as_str().into()),
            "its variant, the yard's word",
        )
        .or_null()
        .text(
            "variant_name",
            |row| {
                let variant = row.bout.variant.as_ref()?;
                let words = &row.names.yard().words;
                Some(words.variant_name(&row.bout.exercise, variant).into())
            },
            "as the yard calls it",
        )
        .or_null()
        .text("rein", |row| rein(row.bout.rein), "`left` or `right`")
        .or_null()
        .long(
            "from_ns",
            |row| Some(row.bout.from.0),
            "where it begins on the ride clock, in nanoseconds",
        )
        .long(
            "to_ns",
            |row| Some(row.bout.to?.0),
            "where it ends; null while it runs",
        )
        .or_null()
}

fn how(columns: Columns<BoutRow<'_>>) -> Columns<BoutRow<'_>> {
    columns
        .whole(
            "asked_count",
            |row| row.bout.asked.count.map(i32::from),
            "repetitions asked of a series",
        )
        .or_null()
        .whole(
            "asked_every",
            |row| row.bout.asked.every.map(i32::from),
            "every how many strides they were asked",
        )
        .or_null()
        .number(
            "score",
            |row| row.bout.score.map(|score| f64::from(score.halves()) / 2.0),
            "the rider's own mark, 0 to 10 in halves",
        )
        .or_null()
        .text(
            "letter_from",
            |row| letter(row.bout.letters.0),
            "the arena letter where it began",
        )
        .or_null()
        .text(
            "letter_to",
            |row| letter(row.bout.letters.1),
            "the arena letter where it ended",
        )
        .or_null()
        .whole(
            "faults",
            |row| Some(row.faults),
            "faults of its review that belong to it; **faulty where above 0**",
        )
        .flag(
            "repeated",
            |row| Some(row.repeated),
            "whether it was marked as ridden again",
        )
        .text("note", |row| row.names.free(&row.bout.note), "free text")
        .or_null()
}

fn letter<'r>(letter: Option<char>) -> Text<'r> {
    letter.map(|letter| Cow::Owned(letter.to_string()))
}
