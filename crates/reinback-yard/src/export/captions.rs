//! Captions in `WebVTT`, which players show over the film (W3C, "WebVTT: The Web Video Text Tracks
//! Format", Candidate Recommendation of 4 April 2019; from memory).

use std::fmt::Write as _;

use reinback_analysis::Moment;

use super::{Thing, bout_name, bout_of, mark_name, millis, things};
use crate::id::FilmId;
use crate::model::{Film, Ride};
use crate::words::Words;

/// How long a mark is shown, in milliseconds: long enough to be read. Our own choice.
const SHOWN: u64 = 2_000;

/// What the times of captions count from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CaptionClock {
    /// The ride clock.
    Ride,
    /// The first frame of one of the ride's films, so that a player can show them over it.
    Film(FilmId),
}

/// Captions as a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Captions {
    /// The file's text.
    pub text: String,
    /// Bouts and marks in it.
    pub written: usize,
    /// Bouts and marks that are not in it: `WebVTT` knows no time before zero, and what is on another
    /// film is not on this one.
    pub left_out: usize,
}

/// The bouts and marks of a ride as `WebVTT`, one cue each with its id; `None` if the ride has no
/// such film.
#[must_use]
pub fn marks_as_vtt(words: &Words, ride: &Ride, clock: CaptionClock) -> Option<Captions> {
    let film = match clock {
        CaptionClock::Ride => None,
        CaptionClock::Film(id) => Some(ride.films.iter().find(|film| film.id == id)?),
    };
    let things = things(ride);
    let mut text = String::from("WEBVTT\n");
    let mut written = 0;
    let mut cues: Vec<(u64, u64, String)> = things
        .iter()
        .filter_map(|thing| cue(words, ride, film, *thing))
        .collect();
    // A film that runs backwards there is none; rounding may still swap neighbours.
    cues.sort_by_key(|(from, ..)| *from);
    for (from, to, cue) in cues {
        // Writing to a text never fails.
        let _written = write!(text, "\n{}", block(from, to, &cue));
        written += 1;
    }
    Some(Captions {
        text,
        written,
        left_out: things.len() - written,
    })
}

fn block(from: u64, to: u64, cue: &str) -> String {
    let (id, words) = cue.split_once('\n').unwrap_or(("", cue));
    format!("{id}\n{} --> {}\n{words}\n", stamp(from), stamp(to))
}

/// From, to (milliseconds), and the id with the words on lines of their own.
fn cue(
    words: &Words,
    ride: &Ride,
    film: Option<&Film>,
    thing: Thing<'_>,
) -> Option<(u64, u64, String)> {
    let own = |at: Moment| film.map_or(at.0, |film| film.film_from_ride(at));
    let length = film
        .and_then(|film| film.duration_nanos)
        .unwrap_or(i64::MAX);
    let (from, to, id, said, note) = match thing {
        Thing::Bout(bout) => {
            let to = own(bout.to.unwrap_or(bout.from));
            let from = own(bout.from);
            // What reaches over an end of the film is shown as far as the film goes.
            let from = if to >= 0 { from.max(0) } else { from };
            (
                from,
                to.min(length),
                bout.id.to_string(),
                bout_name(words, bout),
                &bout.note,
            )
        }
        Thing::Mark(mark) => {
            let at = own(mark.at);
            let bout = bout_of(ride, mark);
            (
                at,
                at,
                mark.id.to_string(),
                mark_name(words, bout, mark),
                &mark.note,
            )
        }
    };
    if from < 0 || from > length {
        return None;
    }
    let (from, to) = (millis(from), millis(to.max(0)));
    let to = to.max(from + SHOWN);
    let said = match note.trim() {
        "" => said,
        note => format!("{said}: {note}"),
    };
    Some((from, to, format!("{id}\n{}", escaped(&said))))
}

/// "hh:mm:ss.mmm".
fn stamp(millis: u64) -> String {
    let seconds = millis / 1_000;
    format!(
        "{:02}:{:02}:{:02}.{:03}",
        seconds / 3_600,
        seconds / 60 % 60,
        seconds % 60,
        millis % 1_000
    )
}

/// Signs that mean something in a cue as escapes; an empty line would end it.
fn escaped(text: &str) -> String {
    // The specification ends a line at a carriage return, too.
    let text = text.replace('\r', "\n");
    let lines = text
        .lines()
        .map(str::trim_end)
        .filter(|line| !line.is_empty());
    let text = lines.collect::<Vec<_>>().join("\n");
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
