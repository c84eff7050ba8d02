//! An exercise ride by ride: dots sized by attempts, the range of each, the fitted trend, and the
//! tests, shows and notes of those days.

use chrono::NaiveDate;
use reinback_analysis::{Day, Direction, FaultRate, TrendEstimate};
use reinback_yard::{Ride, RideId, Yard};

use super::{Lead, Leading, axes};
use crate::figure::{Column, Dot, Event, Figure, Ink, Layer, Range, Shape, Sign, Table};
use crate::report::numbers::{CoursePoint, Days, Line, Question};
use crate::said::Say;

/// What kind of thing happened on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Occasion {
    /// A test was ridden, or the title of the ride says so, or that it was a show.
    Show,
    /// Something is noted about the ride.
    Note,
}

/// Something that happened on a day of riding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Happened {
    /// The day.
    pub day: NaiveDate,
    /// The ride.
    pub ride: RideId,
    /// What kind of thing.
    pub occasion: Occasion,
    /// Title of the ride, or what is noted.
    pub text: String,
}

/// Words of an English title that name a test or a show, in small letters. Common words, no source.
const ENGLISH: [&str; 8] = [
    "show",
    "shows",
    "competition",
    "competitions",
    "championship",
    "championships",
    "test",
    "tests",
];
/// What such a word ends in in German, which writes "Dressurprüfung" as one. Common words, no source.
const GERMAN: [&str; 9] = [
    "turnier",
    "turniere",
    "prüfung",
    "prüfungen",
    "wettkampf",
    "wettkämpfe",
    "championat",
    "meisterschaft",
    "meisterschaften",
];
/// After one of these, not more than an article between, the title speaks of a show on another day:
/// "last schooling before the show".
const ANOTHER_DAY: [&str; 11] = [
    "before", "after", "for", "to", "from", "vor", "nach", "für", "vom", "zum", "aufs",
];
const ARTICLES: [&str; 12] = [
    "the", "a", "our", "my", "next", "first", "dem", "der", "das", "die", "den", "unserem",
];

/// Tests, shows and notes of the days of a question, oldest first.
#[must_use]
pub fn happened(yard: &Yard, question: &Question) -> Vec<Happened> {
    let mut found: Vec<Happened> = yard
        .rides
        .values()
        .filter(|ride| question.holds(ride))
        .flat_map(|ride| on_a_ride(ride))
        .collect();
    found.sort_by_key(|one| (one.day, one.ride));
    found
}

fn on_a_ride(ride: &Ride) -> impl Iterator<Item = Happened> {
    let make = |occasion, text: &str| Happened {
        day: ride.head.date,
        ride: ride.id,
        occasion,
        text: text.trim().to_owned(),
    };
    let competed = ride.test.is_some() || is_show(&ride.head.title);
    let competed = competed.then(|| make(Occasion::Show, &ride.head.title));
    let noted = !ride.head.notes.trim().is_empty();
    let noted = noted.then(|| make(Occasion::Note, &ride.head.notes));
    competed.into_iter().chain(noted)
}

/// Whether a title says that a test was ridden or that it was a show, that day.
fn is_show(title: &str) -> bool {
    let title = title.to_lowercase();
    let words = title.split(|sign: char| !sign.is_alphabetic());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.iter().enumerate().any(|(at, word)| {
        let names = ENGLISH.contains(word) || GERMAN.iter().any(|end| word.ends_with(end));
        let mut before = words.iter().take(at).rev();
        let before = before.find(|word| !ARTICLES.contains(word));
        names && before.is_none_or(|word| !ANOTHER_DAY.contains(word))
    })
}

/// The largest dot, in points.
const LARGEST: f32 = 7.0;

/// The figure of a line; `None` without rides.
#[must_use]
pub fn across(line: &Line, happened: &[Happened], say: &Say) -> Option<Leading> {
    let (first, last) = (line.rides.first()?.date, line.rides.last()?.date);
    let exercise = say.exercise(&line.name).into_owned();
    let mut layers = Vec::new();
    if let Ok(trend) = &line.figures.trend.state {
        layers.extend(fitted(trend, (first, last), say));
    }
    let ranges = line.course.iter().filter_map(|point| {
        // Six attempts in a ride are rare; below, a range would say little but "anything".
        let range = FaultRate::new(point.tally).range.ok()?;
        Some(Range {
            x: middle(point),
            low: range.low,
            high: range.high,
        })
    });
    let ranges: Vec<Range> = ranges.collect();
    if !ranges.is_empty() {
        layers.push(Layer {
            name: say.plain("layer-ranges"),
            ink: Ink::Soft,
            shape: Shape::Ranges(ranges),
        });
    }
    let of_ride = |point: &CoursePoint| point.ride.map(|ride| -> Lead { (ride, None) });
    let mut leads = vec![Vec::new(); layers.len()];
    leads.push(line.course.iter().map(of_ride).collect());
    let of_months = line.course.iter().any(|point| point.ride.is_none());
    layers.push(Layer {
        name: if of_months {
            say.plain("layer-months")
        } else {
            say.plain("layer-rides")
        },
        ink: Ink::Ink,
        shape: Shape::Dots(line.course.iter().map(|point| dot(point, say)).collect()),
    });
    for occasion in [Occasion::Show, Occasion::Note] {
        let own = happened.iter().filter(|one| one.occasion == occasion);
        let own = own.filter(|one| first <= one.day && one.day <= last);
        let own: Vec<&Happened> = own.collect();
        if !own.is_empty() {
            leads.push(own.iter().map(|one| Some((one.ride, None))).collect());
            layers.push(occasions(occasion, &own, say));
        }
    }
    let rides = say.rides(line.rides.len());
    let figure = Figure {
        title: say.text("across-title", &[("exercise", exercise.as_str().into())]),
        spoken: say.text(
            "plot-spoken",
            &[("rides", rides.into()), ("exercise", exercise.into())],
        ),
        x: axes::days(first, last, say),
        // With room for half a dot at none and at all.
        y: axes::shares(say.plain("axis-faulty"), -0.06, 1.06, say),
        to_scale: false,
        layers,
        table: table(line, happened, say),
    };
    Some(Leading {
        figure,
        leads,
        rows: line.course.iter().rev().map(of_ride).collect(),
    })
}

/// The name of the layer of notes, which is off at first.
#[must_use]
pub fn notes_layer(say: &Say) -> String {
    say.plain("layer-notes")
}

/// Where a dot stands: a ride on its day, a month in the middle of its days.
fn middle(point: &CoursePoint) -> f64 {
    0.5 * (axes::number(point.from) + axes::number(point.to))
}

fn dot(point: &CoursePoint, say: &Say) -> Dot {
    Dot {
        at: [middle(point), point.tally.share().unwrap_or(0.0)],
        // The area grows with the attempts.
        radius: (1.9 * (point.tally.attempts as f32).sqrt()).clamp(2.8, LARGEST),
        sign: Sign::Circle,
        filled: true,
        said: in_words(point, say),
    }
}

/// "4 May 2026: 2 of 6 attempts faulty, 3 faults".
fn in_words(point: &CoursePoint, say: &Say) -> String {
    say.text(
        "ride-in-words",
        &[
            ("day", day(point, say).into()),
            ("faulty", point.tally.faulty.into()),
            ("attempts", point.tally.attempts.into()),
            ("faults", point.faults.into()),
        ],
    )
}

/// The day of a ride; of a month its days and how many rides.
fn day(point: &CoursePoint, say: &Say) -> String {
    if point.ride.is_some() {
        return say.day(point.from);
    }
    let days = say.days(Days {
        from: Some(point.from),
        to: Some(point.to),
    });
    format!("{days} ({})", say.rides(point.rides as usize))
}

/// Days spread evenly from one to another, at most `most` of them, both included.
#[must_use]
pub fn days_between(first: Day, last: Day, most: u32) -> Vec<Day> {
    let steps = f64::from(most.max(2) - 1);
    let span = f64::from(last.0) - f64::from(first.0);
    let mut days: Vec<Day> = (0..most.max(2))
        .map(|step| Day((f64::from(first.0) + span * f64::from(step) / steps).round() as i32))
        .collect();
    days.dedup();
    days
}

/// The fitted trend: its range as a band, its middle as a line.
fn fitted(trend: &TrendEstimate, (first, last): (NaiveDate, NaiveDate), say: &Say) -> [Layer; 2] {
    let [first, last] = [first, last].map(|day| Day(day.to_epoch_days()));
    let found = days_between(first, last, 64).into_iter();
    let found = found.map(|day| (f64::from(day.0), trend.fitted(day)));
    let found: Vec<_> = found.collect();
    let band = found.iter().map(|(x, estimate)| Range {
        x: *x,
        low: estimate.low,
        high: estimate.high,
    });
    let line = Shape::Line {
        points: found.iter().map(|(x, own)| [*x, own.value]).collect(),
        // A line that says nothing clear must not look as if it did.
        width: match trend.direction {
            Direction::NoClearTrend => 1.0,
            Direction::Fewer | Direction::More => 2.0,
        },
        dashed: trend.direction == Direction::NoClearTrend,
    };
    let layer = |name, shape| Layer {
        name,
        ink: Ink::Leather,
        shape,
    };
    [
        layer(say.plain("layer-trend"), Shape::Band(band.collect())),
        layer(String::new(), line),
    ]
}

/// How many letters of a note are said.
const LONGEST_NOTE: usize = 160;

fn occasions(occasion: Occasion, own: &[&Happened], say: &Say) -> Layer {
    let name = |one: &Happened| match occasion {
        Occasion::Show if one.text.is_empty() => say.plain("event-show"),
        Occasion::Show => one.text.clone(),
        // Notes are long; the line says where one is.
        Occasion::Note => String::new(),
    };
    let events = own.iter().map(|one| {
        let what = match occasion {
            Occasion::Show => name(one),
            Occasion::Note => beginning(&one.text),
        };
        Event {
            x: axes::number(one.day),
            name: name(one),
            said: say.text(
                "event-said",
                &[("day", say.day(one.day).into()), ("what", what.into())],
            ),
        }
    });
    Layer {
        name: match occasion {
            Occasion::Show => say.plain("layer-shows"),
            Occasion::Note => notes_layer(say),
        },
        ink: match occasion {
            Occasion::Show => Ink::Caution,
            Occasion::Note => Ink::Soft,
        },
        shape: Shape::Events(events.collect()),
    }
}

fn beginning(text: &str) -> String {
    let mut letters = text.chars();
    let kept: String = letters.by_ref().take(LONGEST_NOTE).collect();
    let kept = kept.split_whitespace().collect::<Vec<_>>().join(" ");
    if letters.next().is_some() {
        format!("{kept}…")
    } else {
        kept
    }
}

/// Newest first.
fn table(line: &Line, happened: &[Happened], say: &Say) -> Table {
    let trend = line.figures.trend.state.as_ref().ok();
    let days: Vec<NaiveDate> = line.course.iter().map(|point| point.from).collect();
    let within = |one: &&Happened| {
        let (first, last) = (days.first(), line.course.last().map(|point| point.to));
        first.is_some_and(|first| *first <= one.day) && last.is_some_and(|last| one.day <= last)
    };
    let happened: Vec<&Happened> = happened.iter().filter(within).collect();
    let mut columns = vec![
        Column::words(say.plain("table-day")),
        Column::numbers(say.plain("table-attempts")),
        Column::numbers(say.plain("table-faulty")),
        Column::numbers(say.plain("table-faults")),
        Column::numbers(say.plain("table-share")),
        Column::numbers(say.plain("table-range")),
    ];
    if trend.is_some() {
        columns.push(Column::numbers(say.plain("table-trend")));
    }
    if !happened.is_empty() {
        columns.push(Column::words(say.plain("table-happened")));
    }
    let rows = line.course.iter().enumerate().rev().map(|(at, point)| {
        let mut row = vec![
            day(point, say),
            say.count(point.tally.attempts),
            say.count(point.tally.faulty),
            say.count(point.faults),
            point
                .tally
                .share()
                .map_or_else(String::new, |share| say.percent(share)),
            super::bars::range(&FaultRate::new(point.tally), say),
        ];
        if let Some(trend) = trend {
            let found = trend.fitted(Day(middle(point).round() as i32));
            let range = super::bars::from_to(&found, say);
            row.push(say.text(
                "table-fitted",
                &[
                    ("share", say.percent(found.value).into()),
                    ("range", range.into()),
                ],
            ));
        }
        if !happened.is_empty() {
            // Of rides without this exercise too: from this one until the next.
            let next = days.get(at + 1);
            let own = happened
                .iter()
                .filter(|one| point.from <= one.day && next.is_none_or(|next| one.day < *next));
            let own = own.map(|one| {
                let what = if one.text.is_empty() {
                    say.plain("event-show")
                } else {
                    beginning(&one.text)
                };
                if one.day == point.from {
                    what
                } else {
                    say.text(
                        "event-said",
                        &[("day", say.day(one.day).into()), ("what", what.into())],
                    )
                }
            });
            row.push(own.collect::<Vec<_>>().join("; "));
        }
        row
    });
    let rows = rows.collect();
    Table { columns, rows }
}
