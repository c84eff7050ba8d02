//! From times as written to one running clock: over midnight, and on the days on which the
//! clocks are changed.

use chrono::{DateTime, Days, LocalResult, NaiveDate, NaiveTime, TimeDelta, TimeZone, Utc};

use super::stamp::Stamp;

const SECOND: i64 = 1_000_000_000;
const HOUR: i64 = 3_600 * SECOND;
const DAY: i64 = 24 * HOUR;
/// No ride lasts longer. Our own choice.
const LONGEST_RIDE: i64 = 4 * HOUR;

/// What clock a column of times is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimeKind {
    /// The time of day, as a watch shows it.
    OfDay,
    /// Time since some beginning, as a stop watch shows it.
    Elapsed,
}

/// A kind of time, and whether the times leave no doubt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KindGuess {
    /// The likelier one.
    pub kind: TimeKind,
    /// No time could be of the other kind.
    pub sure: bool,
}

/// Where and when notes were taken.
#[derive(Debug)]
pub struct Scene<'a, Zone: TimeZone> {
    /// The ride's day.
    pub day: NaiveDate,
    /// The time of day at the ride clock's zero, if it is known.
    pub time: Option<NaiveTime>,
    /// Where the watch was.
    pub zone: &'a Zone,
}

#[expect(
    clippy::expl_impl_clone_on_copy,
    reason = "derived, it would ask the zone itself to be copied"
)]
impl<Zone: TimeZone> Clone for Scene<'_, Zone> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<Zone: TimeZone> Copy for Scene<'_, Zone> {}

/// A time on the notes' own clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OwnTime {
    /// Nanoseconds from the clock's zero: the beginning of the ride's day for times of day, else
    /// whatever the times count from. Hours that a change of the clocks repeats or leaves out
    /// are real hours here.
    pub nanos: i64,
    /// What the rider should know about it.
    pub remark: Option<TimeRemark>,
}

/// What is to be known about a time. Displays as a clause for a rider.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TimeRemark {
    /// It is taken to be on another day than the line before, because no day is written.
    #[error("taken to be past midnight")]
    PastMidnight,
    /// It lies further from the lines around it than any ride lasts.
    #[error("far from the lines around it: perhaps a slip of the pen")]
    Far,
    /// A watch that shows twelve hours: its second half of the day.
    #[error("taken to be after noon, as the lines around it are")]
    TwelveHours,
    /// It lies before the line before it.
    #[error("earlier than the line before")]
    Earlier,
    /// The clocks were put back that day, and the time came twice.
    #[error("this time came twice that day, as the clocks were put back")]
    CameTwice,
    /// The clocks were put forward that day, and no clock showed this time.
    #[error("no clock showed this time that day, as the clocks were put forward")]
    LeftOut,
}

/// Which kind of time it is, judging by all of them.
#[must_use]
pub fn guess_kind(stamps: &[Stamp], time: Option<NaiveTime>) -> KindGuess {
    let of = |kind, sure| KindGuess { kind, sure };
    let count = |fits: fn(&Stamp) -> bool| stamps.iter().filter(|stamp| fits(stamp)).count();
    let mut clock = count(|stamp| matches!(stamp, Stamp::Clock { .. }));
    let mut elapsed = count(|stamp| matches!(stamp, Stamp::Elapsed(_)));
    let open = stamps.len() - clock - elapsed;
    let guess = guess_open(stamps, time);
    // "pm" is no slip of the pen; a minus or a missing digit may be.
    let few = clock == 0 && elapsed * FEW < open;
    let counts = guess.sure || few;
    match guess.kind {
        TimeKind::OfDay if counts => clock += open,
        TimeKind::Elapsed if counts => elapsed += open,
        TimeKind::OfDay | TimeKind::Elapsed => {}
    }
    if clock + elapsed == 0 {
        return guess;
    }
    let kind = if clock >= elapsed {
        TimeKind::OfDay
    } else {
        TimeKind::Elapsed
    };
    let sure = clock.min(elapsed) * FEW <= clock.max(elapsed);
    of(kind, sure && (guess.sure || !few))
}

/// So many times as many are the rule, and the others slips. Our own choice.
const FEW: usize = 10;

/// Which kind those are that could be of either.
fn guess_open(stamps: &[Stamp], time: Option<NaiveTime>) -> KindGuess {
    let of = |kind, sure| KindGuess { kind, sure };
    let either: Vec<(i64, i64)> = stamps
        .iter()
        .filter_map(|stamp| match stamp {
            Stamp::Either { of_day, elapsed } => Some((*of_day, *elapsed)),
            Stamp::Clock { .. } | Stamp::Elapsed(_) => None,
        })
        .collect();
    let Some((first, _)) = either.first().copied() else {
        return of(TimeKind::Elapsed, false);
    };
    let twelve = may_show_twelve(stamps);
    let near = time.map(|time| around_the_clock(first, of_day(time)) <= LONGEST_RIDE);
    let is_of_day = |of_day: i64| {
        let afternoon = after_noon(of_day).filter(|_| twelve);
        let mut readings = std::iter::once(of_day).chain(afternoon);
        readings.any(|of_day| around_the_clock(of_day, first) <= LONGEST_RIDE)
    };
    let may_be = near.unwrap_or(first >= LONGEST_RIDE);
    let of_day_fits = either
        .iter()
        .filter(|(of_day, _)| may_be && is_of_day(*of_day))
        .count();
    let elapsed_fits = either
        .iter()
        .filter(|(_, elapsed)| *elapsed <= LONGEST_RIDE)
        .count();
    let (as_of_day, as_elapsed) = (of_day_fits == either.len(), elapsed_fits == either.len());
    match (as_of_day, as_elapsed) {
        (true, false) => of(TimeKind::OfDay, true),
        (false, true) => of(TimeKind::Elapsed, near.is_some()),
        (true, true) if near.is_some() || crowded(&either) => of(TimeKind::OfDay, false),
        (false, false) if of_day_fits > elapsed_fits => of(TimeKind::OfDay, false),
        _ => of(TimeKind::Elapsed, false),
    }
}

/// Nobody writes a note every other second: "10:42, 10:43, 10:45" are minutes of the day.
fn crowded(either: &[(i64, i64)]) -> bool {
    let mut steps: Vec<i64> = either
        .windows(2)
        .filter_map(|pair| match pair {
            [(_, one), (_, other)] => Some(other.abs_diff(*one).cast_signed()),
            _ => None,
        })
        .collect();
    steps.sort_unstable();
    steps
        .get(steps.len() / 2)
        .is_some_and(|middle| *middle < 3 * SECOND)
}

fn around_the_clock(one: i64, other: i64) -> i64 {
    let apart = (one - other).rem_euclid(DAY);
    apart.min(DAY - apart)
}

/// Whether the watch may be one of twelve hours: it never shows thirteen.
fn may_show_twelve(stamps: &[Stamp]) -> bool {
    let shows_more =
        |stamp: &Stamp| matches!(stamp, Stamp::Either { of_day, .. } if *of_day >= 13 * HOUR);
    !stamps.iter().any(shows_more)
}

/// The same time on a watch of twelve hours in the second half of the day.
fn after_noon(of_day: i64) -> Option<i64> {
    (HOUR..DAY / 2)
        .contains(&of_day)
        .then_some(of_day + DAY / 2)
}

fn of_day(time: NaiveTime) -> i64 {
    time.signed_duration_since(NaiveTime::MIN)
        .num_nanoseconds()
        .unwrap_or(0)
}

/// The times of one file on their own clock, in the order of the file.
///
/// A time of day without a day is on the day that brings it next behind the line before it, or
/// before that line if that is three times as near: people go back a minute, not a day. (Our own
/// choice.) One that is further from the lines around it than a ride lasts is on the nearest day,
/// and says nothing about the lines behind it.
pub(super) fn own_times<Zone: TimeZone>(
    stamps: &[Stamp],
    kind: TimeKind,
    scene: Scene<'_, Zone>,
) -> Vec<OwnTime> {
    match kind {
        TimeKind::Elapsed => elapsed_times(stamps),
        TimeKind::OfDay => times_of_day(stamps, scene),
    }
}

/// The ride clock's zero on the clock of times of day, if the ride's time of day is known.
#[must_use]
pub fn ride_zero<Zone: TimeZone>(scene: Scene<'_, Zone>) -> Option<i64> {
    let found = instant(scene.zone, scene.day, of_day(scene.time?), None);
    Some(since(beginning(scene), found.at))
}

fn elapsed_times(stamps: &[Stamp]) -> Vec<OwnTime> {
    let mut before = None;
    let mut time = |stamp: &Stamp| {
        let nanos = match stamp {
            Stamp::Elapsed(elapsed) | Stamp::Either { elapsed, .. } => *elapsed,
            Stamp::Clock { of_day, .. } => *of_day,
        };
        let earlier = before.is_some_and(|before| nanos < before);
        before = Some(nanos);
        OwnTime {
            nanos,
            remark: earlier.then_some(TimeRemark::Earlier),
        }
    };
    stamps.iter().map(&mut time).collect()
}

/// A point in time, and what was odd about its spelling.
#[derive(Clone, Copy)]
struct Found {
    at: DateTime<Utc>,
    remark: Option<TimeRemark>,
}

fn times_of_day<Zone: TimeZone>(stamps: &[Stamp], scene: Scene<'_, Zone>) -> Vec<OwnTime> {
    let zero = beginning(scene);
    let twelve = may_show_twelve(stamps);
    let mut before: Option<(DateTime<Utc>, NaiveDate)> = None;
    let mut times = Vec::with_capacity(stamps.len());
    for (at, stamp) in stamps.iter().enumerate() {
        let mut slip = false;
        let mut afternoon = false;
        let (date, of_day, offset) = match stamp {
            Stamp::Clock { date, of_day, zone } => (*date, *of_day, *zone),
            Stamp::Either { of_day, .. } => (None, *of_day, None),
            // A stop watch among times of day counts from the ride's midnight: to be seen at once.
            Stamp::Elapsed(elapsed) => (None, elapsed.rem_euclid(DAY), None),
        };
        let (found, day) = match (date, offset) {
            (Some(date), Some(east)) => (at_offset(date, of_day, east), date),
            (Some(date), None) => {
                let last = before.map(|(at, _)| at);
                (instant(scene.zone, date, of_day, last), date)
            }
            (None, _) => {
                let next = [at + 1, at + 2].map(|at| stamps.get(at).map(own_of_day));
                let twelve = twelve && matches!(stamp, Stamp::Either { .. });
                let (found, day, how) = likeliest(scene, of_day, twelve, before, next);
                (slip, afternoon) = (how == How::Slip, how == How::AfterNoon);
                (found, day)
            }
        };
        let remark = found.remark.or_else(|| match before {
            _ if slip => Some(TimeRemark::Far),
            _ if afternoon => Some(TimeRemark::TwelveHours),
            Some((last, _)) if found.at < last => Some(TimeRemark::Earlier),
            Some((_, last_day)) if date.is_none() && day > last_day => {
                Some(TimeRemark::PastMidnight)
            }
            _ => None,
        });
        if !slip {
            before = Some((found.at, day));
        }
        times.push(OwnTime {
            nanos: since(zero, found.at),
            remark,
        });
    }
    times
}

/// The time of day as it is written.
fn own_of_day(stamp: &Stamp) -> i64 {
    match stamp {
        Stamp::Clock { of_day, .. } | Stamp::Either { of_day, .. } => *of_day,
        Stamp::Elapsed(elapsed) => elapsed.rem_euclid(DAY),
    }
}

/// Whether two times of day can be of one ride, perhaps by a watch of twelve hours.
fn is_alike(one: i64, other: i64, twelve: bool) -> bool {
    let near = |one: i64, other: i64| around_the_clock(one, other) <= LONGEST_RIDE;
    let later = |of_day: i64| after_noon(of_day).filter(|_| twelve);
    near(one, other)
        || later(one).is_some_and(|one| near(one, other))
        || later(other).is_some_and(|other| near(one, other))
}

/// How a time without a day was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum How {
    Plainly,
    /// As the second half of the day on a watch of twelve hours.
    AfterNoon,
    /// As a slip of the pen.
    Slip,
}

/// A time without a day on the day it most likely belongs to, by the line before it or else the
/// ride's own time, and by the times of day of the two lines behind it.
fn likeliest<Zone: TimeZone>(
    scene: Scene<'_, Zone>,
    of_day: i64,
    twelve: bool,
    before: Option<(DateTime<Utc>, NaiveDate)>,
    next: [Option<i64>; 2],
) -> (Found, NaiveDate, How) {
    let (found, day) = likeliest_day(scene, of_day, before);
    let near = before.map(|(at, _)| at).or_else(|| {
        let time = scene.time?;
        Some(instant(scene.zone, scene.day, self::of_day(time), None).at)
    });
    let [next, after] = next;
    let Some(near) = near else {
        // Nothing to go by but the lines behind it, where these agree with each other.
        let alone = next.zip(after).is_some_and(|(next, after)| {
            let alike = |one, other| is_alike(one, other, twelve);
            alike(next, after) && !alike(of_day, next) && !alike(of_day, after)
        });
        let how = if alone { How::Slip } else { How::Plainly };
        return (found, day, how);
    };
    let is_far = |found: &Found| since(near, found.at).saturating_abs() > LONGEST_RIDE;
    if !is_far(&found) {
        return (found, day, How::Plainly);
    }
    if let Some(later) = after_noon(of_day).filter(|_| twelve) {
        let (later, day) = likeliest_day(scene, later, before);
        if !is_far(&later) {
            return (later, day, How::AfterNoon);
        }
    }
    // Two lines that agree are no slip: there was a break, or another ride.
    let agrees = next.is_some_and(|next| around_the_clock(next, of_day) <= LONGEST_RIDE);
    if agrees {
        return (found, day, How::Plainly);
    }
    let (found, day) = nearest_day(scene, of_day, near, day);
    (found, day, How::Slip)
}

/// A time on the day that brings it nearest to a point in time, before or behind it.
fn nearest_day<Zone: TimeZone>(
    scene: Scene<'_, Zone>,
    of_day: i64,
    near: DateTime<Utc>,
    around: NaiveDate,
) -> (Found, NaiveDate) {
    let days = [
        Some(around),
        around.checked_sub_days(Days::new(1)),
        around.checked_add_days(Days::new(1)),
    ];
    let on = |day: NaiveDate| (instant(scene.zone, day, of_day, None), day);
    let far = |(found, _): &(Found, NaiveDate)| since(near, found.at).saturating_abs();
    let nearest = days.into_iter().flatten().map(on).min_by_key(far);
    nearest.unwrap_or_else(|| on(around))
}

/// The day that a time without one most likely belongs to.
fn likeliest_day<Zone: TimeZone>(
    scene: Scene<'_, Zone>,
    of_day: i64,
    before: Option<(DateTime<Utc>, NaiveDate)>,
) -> (Found, NaiveDate) {
    let near = before.map(|(at, _)| at).or_else(|| {
        let time = scene.time?;
        Some(instant(scene.zone, scene.day, self::of_day(time), None).at)
    });
    let around = before.map_or(scene.day, |(_, day)| day);
    let on = |day: NaiveDate| {
        (
            instant(scene.zone, day, of_day, before.map(|(at, _)| at)),
            day,
        )
    };
    let Some(near) = near else { return on(around) };
    let days = [
        Some(around),
        around.checked_add_days(Days::new(1)),
        around.checked_sub_days(Days::new(1)),
    ];
    let far = |(found, _): &(Found, NaiveDate)| {
        let ahead = since(near, found.at);
        // Before the first line nothing was written: the ride's own time is near on both sides.
        let back = if before.is_some() { 3 } else { 1 };
        if ahead < 0 {
            ahead.saturating_mul(-back)
        } else {
            ahead
        }
    };
    let nearest = days.into_iter().flatten().map(on).min_by_key(far);
    nearest.unwrap_or_else(|| on(around))
}

fn at_offset(date: NaiveDate, of_day: i64, east: i32) -> Found {
    let local = date.and_time(NaiveTime::MIN) + TimeDelta::nanoseconds(of_day);
    Found {
        at: (local - TimeDelta::seconds(east.into())).and_utc(),
        remark: None,
    }
}

/// The point in time of a local time of day. Of a time that came twice, the first that is not
/// before the line before; a time left out counts as if the clocks had not yet been changed.
fn instant<Zone: TimeZone>(
    zone: &Zone,
    day: NaiveDate,
    of_day: i64,
    before: Option<DateTime<Utc>>,
) -> Found {
    let local = day.and_time(NaiveTime::MIN) + TimeDelta::nanoseconds(of_day);
    match zone.from_local_datetime(&local) {
        LocalResult::Single(at) => Found {
            at: at.with_timezone(&Utc),
            remark: None,
        },
        LocalResult::Ambiguous(one, other) => {
            let mut both = [one.with_timezone(&Utc), other.with_timezone(&Utc)];
            both.sort_unstable();
            let [first, second] = both;
            let passed = before.is_some_and(|before| first < before);
            Found {
                at: if passed { second } else { first },
                remark: Some(TimeRemark::CameTwice),
            }
        }
        LocalResult::None => {
            // Clocks are put forward by three hours at most; before that the zone is plain.
            let earlier = local - TimeDelta::hours(3);
            let at = zone.from_local_datetime(&earlier).earliest().map_or_else(
                || local.and_utc(),
                |at| at.with_timezone(&Utc) + TimeDelta::hours(3),
            );
            Found {
                at,
                remark: Some(TimeRemark::LeftOut),
            }
        }
    }
}

/// The first moment of the ride's day.
fn beginning<Zone: TimeZone>(scene: Scene<'_, Zone>) -> DateTime<Utc> {
    instant(scene.zone, scene.day, 0, None).at
}

fn since(zero: DateTime<Utc>, at: DateTime<Utc>) -> i64 {
    let apart = at.signed_duration_since(zero);
    apart
        .num_nanoseconds()
        .unwrap_or(if apart < TimeDelta::zero() {
            i64::MIN
        } else {
            i64::MAX
        })
}

#[cfg(test)]
mod tests;
