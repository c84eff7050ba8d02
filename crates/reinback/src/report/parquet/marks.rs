//! One row a mark, of every review.

use std::borrow::Cow;

use reinback_analysis::angle::Reading;
use reinback_yard::{Bout, Mark, MarkKind, Measured, Origin, Ride};

use super::bouts::{is_attempt, rein};
use super::column::{Columns, Text};
use super::names::Names;

/// A mark with the bout it belongs to.
pub(super) struct MarkRow<'a> {
    pub(super) ride: &'a Ride,
    pub(super) mark: &'a Mark,
    pub(super) bout: Option<&'a Bout>,
    reading: Option<Reading>,
    pub(super) names: &'a Names<'a>,
}

impl<'a> MarkRow<'a> {
    pub(super) fn new(
        ride: &'a Ride,
        mark: &'a Mark,
        bout: Option<&'a Bout>,
        names: &'a Names<'a>,
    ) -> Self {
        let reading = match &mark.kind {
            MarkKind::Measured(measured) => reading(ride, measured),
            _ => None,
        };
        Self {
            ride,
            mark,
            bout,
            reading,
            names,
        }
    }

    fn origin(&self) -> Option<&'a Origin> {
        self.mark.origin.as_deref()
    }
}

/// What was measured; nothing where the points cannot be read.
fn reading(ride: &Ride, measured: &Measured) -> Option<Reading> {
    let film = ride.films.iter().find(|film| film.id == measured.film);
    measured.read(film.and_then(|film| film.tilt))?.ok()
}

/// `docs/report.md` has this list; a test keeps it so.
pub(super) fn columns<'a>() -> Columns<MarkRow<'a>> {
    where_from(what(whose(Columns::new())))
}

fn whose(columns: Columns<MarkRow<'_>>) -> Columns<MarkRow<'_>> {
    columns
        .id("mark", |row| Some(row.mark.id.bits()), "the mark; unique together with `ride`").unique()
        .id("ride", |row| Some(row.ride.id.bits()), "its ride, in `rides`")
        .id("horse", |row| Some(row.ride.head.horse.bits()), "the ride's horse")
        .day("day", |row| Some(row.ride.head.date), "the ride's day")
        .id("review", |row| Some(row.mark.review.bits()), "whose review it belongs to")
        .text(
            "reviewer",
            |row| row.names.reviewer(row.ride, row.mark.review),
            "who made that review: a name, or an id without names",
        )
        .or_null()
        .flag(
            "counting",
            |row| Some(row.mark.review == row.ride.head.counting),
            "whether that review is the one that counts",
        )
        .id(
            "bout",
            |row| row.bout.map(|bout| bout.id.bits()),
            "the bout it belongs to, in `bouts`: the one it names, or the only one of its review that spans its moment",
        )
        .unique()
        .or_null()
        .flag(
            "attempt",
            |row| Some(row.bout.is_some_and(|bout| is_attempt(row.ride, bout))),
            "whether that bout is an attempt: **only then a fault is in a rate**",
        )
        .text(
            "exercise",
            |row| Some(row.bout?.exercise.as_str().into()),
            "that bout's exercise",
        )
        .or_null()
}

fn what(columns: Columns<MarkRow<'_>>) -> Columns<MarkRow<'_>> {
    columns
        .long(
            "at_ns",
            |row| Some(row.mark.at.0),
            "its moment on the ride clock, in nanoseconds",
        )
        .text(
            "kind",
            |row| Some(row.mark.kind.name().into()),
            "`fault`, `praise`, `repeated`, `note`, `change`, `aid` or `measured`",
        )
        .text(
            "fault",
            |row| match &row.mark.kind {
                MarkKind::Fault(fault) => Some(fault.as_str().into()),
                _ => None,
            },
            "the yard's word for the fault; null for other kinds",
        )
        .or_null()
        .text("fault_name", fault_name, "as the yard calls it")
        .or_null()
        .text(
            "lead",
            |row| match row.mark.kind {
                MarkKind::Change(lead) => rein(lead),
                _ => None,
            },
            "onto which lead a change went: `left` or `right`",
        )
        .or_null()
        .text(
            "measure",
            |row| match &row.mark.kind {
                MarkKind::Measured(measured) => Some(measured.kind.name().into()),
                _ => None,
            },
            "what was measured on the frame, such as `nose line`",
        )
        .or_null()
        .number(
            "measured",
            |row| Some(row.reading?.value),
            "its value: degrees, a ratio has no unit",
        )
        .or_null()
        .number(
            "measured_low",
            |row| Some(row.reading?.low),
            "lower end of its range",
        )
        .or_null()
        .number(
            "measured_high",
            |row| Some(row.reading?.high),
            "upper end of its range",
        )
        .or_null()
        .whole(
            "across_cm",
            |row| Some(row.mark.place?.across_cm),
            "place in the arena: centimetres from the long side with K",
        )
        .or_null()
        .whole(
            "along_cm",
            |row| Some(row.mark.place?.along_cm),
            "place in the arena: centimetres from the short side with A",
        )
        .or_null()
        .text(
            "letter",
            letter,
            "the letter nearest to that place; null where the ride's arena is not known",
        )
        .or_null()
        .text("note", |row| row.names.free(&row.mark.note), "free text")
        .or_null()
}

fn where_from(columns: Columns<MarkRow<'_>>) -> Columns<MarkRow<'_>> {
    columns
        .long(
            "shown_ns",
            |row| Some(row.mark.press?.shown.0),
            "the moment on screen when the key was pressed",
        )
        .or_null()
        .long(
            "correction_ns",
            |row| Some(row.mark.press?.correction),
            "what was taken off for the reviewer's delay",
        )
        .or_null()
        .flag(
            "on_its_frame",
            |row| Some(row.mark.press?.refined),
            "whether it stands on the very frame it is about; only such marks count strides",
        )
        .or_null()
        .text(
            "origin",
            |row| row.names.free(&row.origin()?.source),
            "the file it was brought in from",
        )
        .or_null()
        .whole(
            "origin_line",
            |row| i32::try_from(row.origin()?.line).ok(),
            "the line there, from 1",
        )
        .or_null()
        .text(
            "origin_time",
            |row| row.names.free(&row.origin()?.time),
            "the time as written there",
        )
        .or_null()
        .text(
            "origin_text",
            |row| row.names.free(&row.origin()?.text),
            "the words as written there",
        )
        .or_null()
}

fn fault_name<'r>(row: &'r MarkRow<'_>) -> Text<'r> {
    let MarkKind::Fault(fault) = &row.mark.kind else {
        return None;
    };
    let exercise = row.bout.map(|bout| &bout.exercise);
    Some(Cow::Owned(
        row.names.yard().words.fault_name(exercise, fault),
    ))
}

fn letter<'r>(row: &'r MarkRow<'_>) -> Text<'r> {
    let nearest = row.ride.head.arena?.nearest(row.mark.place?.place())?;
    Some(Cow::Owned(nearest.to_string()))
}
