//! A table of everything in a ride, one bout or mark a row (RFC 4180).

use reinback_analysis::Moment;

use super::{Thing, bout_of, mark_name, millis, plain_cell, rein_name, things};
use crate::id::ReviewId;
use crate::model::{Bout, Film, Mark, MarkKind, Measured, Ride, Yard};
use crate::words::Words;

/// The columns. Seconds and clock times are those of the ride clock; film times those of the
/// first film that shows the moment.
const COLUMNS: [&str; 28] = [
    "kind",
    "time",
    "seconds",
    "end_seconds",
    "film",
    "film_seconds",
    "reviewer",
    "exercise",
    "variant",
    "rein",
    "what",
    "score",
    "asked_count",
    "asked_every",
    "letters",
    "reviewed",
    "note",
    "origin",
    "origin_line",
    "origin_time",
    "origin_text",
    "pressed_seconds",
    "on_its_frame",
    "measured",
    "measured_low",
    "measured_high",
    "across_m",
    "along_m",
];

/// The bouts and marks of a ride as CSV: UTF-8, comma, quotes where they are needed, lines ended
/// by CR LF, decimals with a point.
///
/// # Errors
/// As writing to memory: none that can be met.
pub fn marks_as_csv(yard: &Yard, ride: &Ride) -> csv::Result<Vec<u8>> {
    let mut rows = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    rows.write_record(COLUMNS)?;
    for thing in things(ride) {
        let row = match thing {
            Thing::Bout(bout) => bout_row(&yard.words, ride, bout),
            Thing::Mark(mark) => mark_row(&yard.words, ride, mark),
        };
        rows.write_record(COLUMNS.iter().map(|column| row.of(column)))?;
    }
    rows.into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))
}

/// Cells by the name of their column; what is not set is empty.
#[derive(Default)]
struct Row(Vec<(&'static str, String)>);

impl Row {
    fn set(&mut self, column: &'static str, cell: impl Into<String>) {
        self.0.push((column, cell.into()));
    }

    /// What people wrote; numbers and times keep their sign.
    fn set_text(&mut self, column: &'static str, text: impl Into<String>) {
        self.set(column, plain_cell(text.into()));
    }

    fn of(&self, column: &str) -> &str {
        let cell = self.0.iter().find(|(own, _)| *own == column);
        cell.map_or("", |(_, cell)| cell)
    }
}

fn beginning(ride: &Ride, kind: &str, at: Moment, review: ReviewId, note: &str) -> Row {
    let mut row = Row::default();
    row.set("kind", kind);
    row.set("time", clock(at.0));
    row.set("seconds", seconds(at.0));
    if let Some(film) = film_at(ride, at) {
        row.set_text("film", &film.path);
        row.set("film_seconds", seconds(film.film_from_ride(at)));
    }
    let reviewer = ride.head.reviews.iter().find(|own| own.id == review);
    row.set_text("reviewer", reviewer.map_or("", |own| &own.reviewer));
    row.set_text("note", note);
    row
}

fn bout_row(words: &Words, ride: &Ride, bout: &Bout) -> Row {
    let mut row = beginning(ride, "exercise", bout.from, bout.review, &bout.note);
    set_exercise(&mut row, words, bout);
    if let Some(to) = bout.to {
        row.set("end_seconds", seconds(to.0));
    }
    if let Some(score) = bout.score {
        row.set("score", score.to_string());
    }
    if let Some(count) = bout.asked.count {
        row.set("asked_count", count.to_string());
    }
    if let Some(every) = bout.asked.every {
        row.set("asked_every", every.to_string());
    }
    // "KX", "K-", and not "-X", which is a formula.
    match bout.letters {
        (Some(from), to) => row.set_text(
            "letters",
            [from, to.unwrap_or('-')].iter().collect::<String>(),
        ),
        (None, Some(to)) => row.set("letters", format!("to {to}")),
        (None, None) => {}
    }
    row.set("reviewed", if bout.reviewed { "yes" } else { "no" });
    row
}

fn mark_row(words: &Words, ride: &Ride, mark: &Mark) -> Row {
    let mut row = beginning(ride, mark.kind.name(), mark.at, mark.review, &mark.note);
    let bout = bout_of(ride, mark);
    if let Some(bout) = bout {
        set_exercise(&mut row, words, bout);
    }
    row.set_text("what", mark_name(words, bout, mark));
    if let Some(origin) = &mark.origin {
        row.set_text("origin", &origin.source);
        row.set("origin_line", origin.line.to_string());
        row.set_text("origin_time", &origin.time);
        row.set_text("origin_text", &origin.text);
    }
    if let Some(press) = &mark.press {
        row.set("pressed_seconds", seconds(press.shown.0));
        row.set("on_its_frame", if press.refined { "yes" } else { "no" });
    }
    if let MarkKind::Measured(measured) = &mark.kind {
        set_measured(&mut row, ride, measured);
    }
    if let Some(place) = mark.place {
        row.set("across_m", metres(place.across_cm));
        row.set("along_m", metres(place.along_cm));
    }
    row
}

/// What was measured and its range; nothing where the points cannot be read.
fn set_measured(row: &mut Row, ride: &Ride, measured: &Measured) {
    let film = ride.films.iter().find(|film| film.id == measured.film);
    let tilt = film.and_then(|film| film.tilt);
    if let Some(Ok(reading)) = measured.read(tilt) {
        for (column, number) in [
            ("measured", reading.value),
            ("measured_low", reading.low),
            ("measured_high", reading.high),
        ] {
            row.set(column, decimals(number));
        }
    }
}

/// With three decimals; no minus before nothing.
fn decimals(number: f64) -> String {
    let text = format!("{number:.3}");
    if text == "-0.000" {
        "0.000".into()
    } else {
        text
    }
}

/// Metres with two decimals.
fn metres(centimetres: i32) -> String {
    format!("{:.2}", f64::from(centimetres) / 100.0)
}

fn set_exercise(row: &mut Row, words: &Words, bout: &Bout) {
    row.set_text("exercise", words.exercise_name(&bout.exercise));
    if let Some(variant) = &bout.variant {
        row.set_text("variant", words.variant_name(&bout.exercise, variant));
    }
    if let Some(rein) = bout.rein {
        row.set("rein", rein_name(rein));
    }
}

fn film_at(ride: &Ride, at: Moment) -> Option<&Film> {
    ride.films.iter().find(|film| {
        film.span()
            .is_some_and(|span| span.from <= at && at <= span.to)
    })
}

/// Seconds with three decimals, rounded; the sign stands before all of it.
fn seconds(nanos: i64) -> String {
    let millis = millis(nanos);
    let sign = if nanos < 0 && millis > 0 { "-" } else { "" };
    format!("{sign}{}.{:03}", millis / 1_000, millis % 1_000)
}

/// "h:mm:ss.mmm".
fn clock(nanos: i64) -> String {
    let millis = millis(nanos);
    let sign = if nanos < 0 && millis > 0 { "-" } else { "" };
    let seconds = millis / 1_000;
    format!(
        "{sign}{}:{:02}:{:02}.{:03}",
        seconds / 3_600,
        seconds / 60 % 60,
        seconds % 60,
        millis % 1_000
    )
}
