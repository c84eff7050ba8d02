//! The load: how much was ridden, of what, and how that compares with before.
//!
//! Information with cautions. No published limit exists for the minutes, days
//! in a row or growth of a dressage horse's work, so every threshold here is our
//! own choice and says so. Nothing is said about soundness.

use std::collections::{BTreeMap, BTreeSet};

use crate::observation::{Key, Pace, PaceSpan, Rein};
use crate::special::count;
use crate::time::{Day, Span, covered_nanos, seconds};
use crate::timeline::{State, nanos_where, pieces};

/// A stretch of one exercise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Work {
    /// Which.
    pub exercise: Key,
    /// On which rein, if it has one.
    pub rein: Option<Rein>,
    /// From where to where.
    pub span: Span,
}

/// A ride as far as its load goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LoadRide {
    /// The caller's number for it.
    pub id: u32,
    /// The calendar day.
    pub day: Day,
    /// From mounting to dismounting, or as long as the film.
    pub ridden: Span,
    /// Its paces, as far as marked.
    pub paces: Vec<PaceSpan>,
    /// Its exercises, as far as marked.
    pub work: Vec<Work>,
}

/// Time ridden, in nanoseconds.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ridden {
    /// Rides.
    pub rides: u32,
    /// From mounting to dismounting.
    pub all: i64,
    /// By pace, sorted.
    pub paces: Vec<(Pace, i64)>,
    /// Without a pace marked, or with two at once.
    pub pace_unknown: i64,
    /// By exercise, sorted. Exercises may be ridden together, so these need not
    /// add up; time of one exercise marked twice counts once.
    pub exercises: Vec<(Key, i64)>,
    /// On the left rein, in exercises that have a rein.
    pub left: i64,
    /// On the right rein.
    pub right: i64,
}

/// A week from Monday.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Week {
    /// Its Monday.
    pub monday: Day,
    /// Rides.
    pub rides: u32,
    /// Time ridden, in nanoseconds.
    pub nanos: i64,
}

/// Why there is no comparison or count. Its text is a sentence for the rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum LoadReason {
    /// No ride up to today.
    #[error("No ride up to today yet.")]
    NoRides,
    /// The record begins less than five weeks ago.
    #[error("The record is shorter than five weeks, so a usual week is not known yet.")]
    TooShort,
    /// No ride in the four weeks before.
    #[error("No ride in the four weeks before, so there is nothing to compare with.")]
    NothingBefore,
    /// Ridden on every day of the record.
    #[error("No day without a ride since the record begins.")]
    NoRestRecorded,
    /// No competition ahead.
    #[error("No competition is entered from today on.")]
    NoCompetition,
    /// No year of birth, or one after today.
    #[error("The year of birth is missing or lies ahead. Correct it in the yard.")]
    NoAge,
}

/// Something to think about. Its text is a sentence for the rider; all limits
/// are our own choices unless it says otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum Caution {
    /// The last seven days exceed the usual week by half or more.
    #[error(
        "Much more in the last seven days than in a usual week. Work that grows slowly is easier on the horse."
    )]
    MuchMore,
    /// Seven days or more without a day off.
    #[error("Ridden for {days} days in a row. A day off, or out in the field, may do good.")]
    NoDayOff {
        /// Days in a row.
        days: u32,
    },
    /// A ride of the last seven days had more than an hour in known paces other
    /// than walk and halt.
    #[error(
        "A ride with more than an hour outside the walk. At shows the FEI allows a session of an hour, walking not counted (as quoted in 2018; check the current rules)."
    )]
    LongRide {
        /// The caller's number for the ride.
        ride: u32,
    },
    /// As [`Caution::LongRide`], if enough of the time whose pace is not known
    /// was outside the walk.
    #[error(
        "A ride with perhaps more than an hour outside the walk: the paces are not noted for all of it."
    )]
    PerhapsLongRide {
        /// The caller's number for the ride.
        ride: u32,
    },
    /// Five years or younger.
    #[error(
        "A horse of {age} is still growing. Short rides and days off matter more than progress."
    )]
    Young {
        /// In calendar years.
        age: i32,
    },
}

/// The load on a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// The last seven days, today among them.
    pub last_seven: Ridden,
    /// The four weeks before these, a week: their mean. Nanoseconds.
    pub usual_week: Result<i64, LoadReason>,
    /// The last seven days over the usual week.
    pub against_usual: Result<f64, LoadReason>,
    /// Week by week, oldest first, empty weeks among them, up to this one; at
    /// most the last 520.
    pub weeks: Vec<Week>,
    /// Days in a row with a ride, up to today, or to yesterday where today has
    /// none yet.
    pub days_in_a_row: u32,
    /// Days since the last ride; 0 where there is one today, `None` without any.
    pub days_since_ride: Option<u32>,
    /// Days since the last day without a ride; 0 where today has none.
    pub days_since_rest: Result<u32, LoadReason>,
    /// Days to the next competition; 0 on its day.
    pub days_to_competition: Result<u32, LoadReason>,
    /// Calendar years, counted from 1 January of the year of birth.
    pub age: Result<i32, LoadReason>,
    /// Things to think about.
    pub cautions: Vec<Caution>,
    /// Rides dated after today: in nothing.
    pub ahead: u32,
    /// Rides without a length: counted as rides, with no time.
    pub without_length: u32,
}

const MUCH_MORE: f64 = 1.5;
const ROW: u32 = 7;
const LONG_RIDE: i64 = 3_600_000_000_000;
const YOUNG: i32 = 5;
const MOST_WEEKS: i32 = 520;

/// Adds up the time of some rides.
///
/// ```
/// use reinback_analysis::load::{LoadRide, ridden};
/// use reinback_analysis::{Day, Moment, Pace, PaceSpan, Span};
/// let minute = 60_000_000_000;
/// let span = |from: i64, to: i64| Span::new(Moment(from * minute), Moment(to * minute));
/// let ride = LoadRide {
///     id: 1, day: Day(20_000), ridden: span(0, 40), work: vec![],
///     paces: vec![PaceSpan { pace: Pace::Walk, variant: None, span: span(0, 10) }],
/// };
/// let found = ridden(&[ride]);
/// assert_eq!(found.paces, vec![(Pace::Walk, 10 * minute)]);
/// assert_eq!((found.all, found.pace_unknown), (40 * minute, 30 * minute));
/// ```
#[must_use]
pub fn ridden(rides: &[LoadRide]) -> Ridden {
    let mut sum = Ridden::default();
    let mut paces: BTreeMap<Pace, i64> = BTreeMap::new();
    let mut exercises: BTreeMap<Key, i64> = BTreeMap::new();
    for ride in rides {
        sum.rides += 1;
        sum.all = sum.all.saturating_add(ride.ridden.duration_nanos());
        for (pace, nanos) in by_pace(ride) {
            let place = match pace {
                Some(pace) => paces.entry(pace).or_default(),
                None => &mut sum.pace_unknown,
            };
            *place = place.saturating_add(nanos);
        }
        let mut own: BTreeMap<Key, Vec<Span>> = BTreeMap::new();
        for work in &ride.work {
            own.entry(work.exercise).or_default().push(work.span);
        }
        for (exercise, spans) in own {
            let place = exercises.entry(exercise).or_default();
            *place = place.saturating_add(covered_nanos(&spans));
        }
        sum.left = sum.left.saturating_add(on_rein(ride, Rein::Left));
        sum.right = sum.right.saturating_add(on_rein(ride, Rein::Right));
    }
    sum.paces = paces.into_iter().collect();
    sum.exercises = exercises.into_iter().collect();
    sum
}

/// Time by pace; `None` where it is not known.
fn by_pace(ride: &LoadRide) -> Vec<(Option<Pace>, i64)> {
    let labels: Vec<(Pace, Span)> = ride.paces.iter().map(|one| (one.pace, one.span)).collect();
    let line = pieces(&labels, ride.ridden);
    let states: BTreeSet<Option<Pace>> = line.iter().map(|piece| piece.state.known()).collect();
    states
        .into_iter()
        .map(|pace| {
            (
                pace,
                nanos_where(&line, |state: State<Pace>| state.known() == pace),
            )
        })
        .collect()
}

fn on_rein(ride: &LoadRide, rein: Rein) -> i64 {
    let spans: Vec<Span> = ride
        .work
        .iter()
        .filter(|work| work.rein == Some(rein))
        .map(|work| work.span)
        .collect();
    covered_nanos(&spans)
}

/// The load of one horse on a day.
///
/// `competitions` are days, `foaled` is the calendar year of birth. Rides may
/// come in any order.
///
/// ```
/// use reinback_analysis::load::{LoadReason, LoadRide, load};
/// use reinback_analysis::{Day, Moment, Span};
/// let hour = Span::new(Moment(0), Moment(3_600_000_000_000));
/// let rides: Vec<LoadRide> = [-30, -23, -16, -9, -2, -1, 0]
///     .map(|day| LoadRide { id: 0, day: Day(20_000 + day), ridden: hour, paces: vec![], work: vec![] })
///     .to_vec();
/// // 20 000 days after 1970-01-01 is 2024-10-04
/// let found = load(&rides, Day(20_000), &[Day(20_009)], Some(2018));
/// assert_eq!((found.last_seven.rides, found.days_in_a_row), (3, 3));
/// assert_eq!((found.days_to_competition, found.age), (Ok(9), Ok(6)));
/// assert_eq!(found.against_usual, Err(LoadReason::TooShort), "the record begins 30 days ago");
/// ```
#[must_use]
pub fn load(rides: &[LoadRide], today: Day, competitions: &[Day], foaled: Option<i32>) -> Load {
    let past: Vec<LoadRide> = rides
        .iter()
        .filter(|ride| ride.day <= today)
        .cloned()
        .collect();
    let days: BTreeSet<i32> = past.iter().map(|ride| ride.day.0).collect();
    let between = |from: i32, to: i32| -> Vec<LoadRide> {
        let chosen = past.iter().filter(|ride| (from..=to).contains(&ride.day.0));
        chosen.cloned().collect()
    };
    let recent = between(today.0.saturating_sub(6), today.0);
    let last_seven = ridden(&recent);
    let before = ridden(&between(
        today.0.saturating_sub(34),
        today.0.saturating_sub(7),
    ));
    let usual_week = usual_week(&days, today, &before);
    let against_usual = usual_week.map(|usual| seconds(last_seven.all) / seconds(usual));
    let (days_in_a_row, days_since_rest) = row(&days, today);
    let age = age(today, foaled);
    let ahead = competitions.iter().filter(|day| **day >= today).min();
    Load {
        cautions: cautions(against_usual.ok(), days_in_a_row, &recent, age.ok()),
        usual_week,
        against_usual,
        weeks: weeks(&past, today),
        days_in_a_row,
        days_since_ride: days.last().map(|last| today.0.abs_diff(*last)),
        days_since_rest,
        days_to_competition: ahead
            .map(|day| day.0.abs_diff(today.0))
            .ok_or(LoadReason::NoCompetition),
        age,
        ahead: count(rides.len() - past.len()),
        without_length: count(
            past.iter()
                .filter(|ride| ride.ridden.duration_nanos() == 0)
                .count(),
        ),
        last_seven,
    }
}

fn usual_week(days: &BTreeSet<i32>, today: Day, before: &Ridden) -> Result<i64, LoadReason> {
    match days.first() {
        None => Err(LoadReason::NoRides),
        Some(first) if *first > today.0.saturating_sub(34) => Err(LoadReason::TooShort),
        Some(_) if before.all == 0 => Err(LoadReason::NothingBefore),
        Some(_) => Ok(before.all / 4),
    }
}

/// Days in a row, and days since a day without a ride.
fn row(days: &BTreeSet<i32>, today: Day) -> (u32, Result<u32, LoadReason>) {
    let Some(first) = days.first() else {
        return (0, Err(LoadReason::NoRides));
    };
    let back = |from: i32| {
        let mut day = from;
        while days.contains(&day) && day > i32::MIN {
            day -= 1;
        }
        day
    };
    let rest = back(today.0);
    let in_a_row = if rest == today.0 {
        let yesterday = today.0.saturating_sub(1);
        yesterday.abs_diff(back(yesterday))
    } else {
        today.0.abs_diff(rest)
    };
    let since = if rest < *first {
        Err(LoadReason::NoRestRecorded)
    } else {
        Ok(today.0.abs_diff(rest))
    };
    (in_a_row, since)
}

fn weeks(past: &[LoadRide], today: Day) -> Vec<Week> {
    let this = monday(today);
    let Some(first) = past.iter().map(|ride| monday(ride.day).0).min() else {
        return Vec::new();
    };
    let first = first.max(this.0.saturating_sub(7 * (MOST_WEEKS - 1)));
    let mut sums: BTreeMap<i32, Week> = (0..MOST_WEEKS)
        .map(|week| first.saturating_add(7 * week))
        .take_while(|monday| *monday <= this.0)
        .map(|day| {
            (
                day,
                Week {
                    monday: Day(day),
                    rides: 0,
                    nanos: 0,
                },
            )
        })
        .collect();
    for ride in past {
        if let Some(week) = sums.get_mut(&monday(ride.day).0) {
            week.rides += 1;
            week.nanos = week.nanos.saturating_add(ride.ridden.duration_nanos());
        }
    }
    sums.into_values().collect()
}

/// The Monday of a day's week. 1970-01-01 was a Thursday.
///
/// ```
/// use reinback_analysis::{Day, load::monday};
/// // 1970-01-01 was a Thursday
/// assert_eq!((monday(Day(0)), monday(Day(4)), monday(Day(10))), (Day(-3), Day(4), Day(4)));
/// ```
#[must_use]
pub fn monday(day: Day) -> Day {
    Day(day.0.saturating_sub((day.0.rem_euclid(7) + 3) % 7))
}

/// The calendar year of a day, in the Gregorian calendar.
///
/// ```
/// use reinback_analysis::{Day, load::year};
/// assert_eq!((year(Day(-1)), year(Day(0)), year(Day(20_453)), year(Day(20_454))), (1969, 1970, 2025, 2026));
/// ```
#[must_use]
pub fn year(day: Day) -> i32 {
    let day = i64::from(day.0);
    // Leap days before the year, and from them its first day.
    let leaps = |year: i64| year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400);
    let first = |year: i64| 365 * (year - 1970) + leaps(year - 1) - leaps(1969);
    let guess = 1970 + (day * 400).div_euclid(146_097);
    let year = [guess + 1, guess, guess - 1]
        .into_iter()
        .find(|year| first(*year) <= day)
        .unwrap_or(guess);
    i32::try_from(year).unwrap_or(i32::MAX)
}

fn age(today: Day, foaled: Option<i32>) -> Result<i32, LoadReason> {
    foaled
        .and_then(|foaled| year(today).checked_sub(foaled))
        .filter(|age| *age >= 0)
        .ok_or(LoadReason::NoAge)
}

fn cautions(
    against: Option<f64>,
    in_a_row: u32,
    recent: &[LoadRide],
    age: Option<i32>,
) -> Vec<Caution> {
    let mut found = Vec::new();
    if against.is_some_and(|against| against >= MUCH_MORE) {
        found.push(Caution::MuchMore);
    }
    if in_a_row >= ROW {
        found.push(Caution::NoDayOff { days: in_a_row });
    }
    for ride in recent {
        let (mut worked, mut unknown) = (0_i64, 0_i64);
        for (pace, nanos) in by_pace(ride) {
            match pace {
                Some(Pace::Walk | Pace::Halt) => {}
                Some(_) => worked += nanos,
                None => unknown += nanos,
            }
        }
        if worked > LONG_RIDE {
            found.push(Caution::LongRide { ride: ride.id });
        } else if worked + unknown > LONG_RIDE {
            found.push(Caution::PerhapsLongRide { ride: ride.id });
        }
    }
    found.extend(
        age.filter(|age| *age <= YOUNG)
            .map(|age| Caution::Young { age }),
    );
    found.sort_unstable();
    found
}
