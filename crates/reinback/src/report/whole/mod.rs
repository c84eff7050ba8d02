//! Everything but the exercises: what one horse's rides show as a whole, in one period.
//!
//! - `ride`: one ride, measure by measure, computed once and kept
//! - `over`: the rides of a period together
//! - [`drawn`]: the same as figures
//! - `look`: what stands in the way of right numbers
//! - [`sheet`]: the same for the report
//!
//! **Invariant:** pure; the same yard, question and day give the same figures everywhere.
//!
//! **Invariant:** rides are pooled by their counts and their time, each with its own denominator;
//! no mean of rates is ever taken.

pub mod drawn;
pub mod look;
mod over;
mod ride;
pub mod sheet;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use chrono::NaiveDate;
use reinback_analysis::Pace;
use reinback_analysis::load::{Load, LoadRide, Ridden, load, ridden};
use reinback_analysis::series::{Series, SeriesProblem, StrideTime, series};
use reinback_yard::lower::load::{length, load_ride};
use reinback_yard::lower::series::RiddenSeries;
use reinback_yard::{HorseId, Keys, Moment, Ride, RideId, WordId, Words, Yard, day_of};

use super::figures::about::place_to_tap;
use super::numbers::Days;
use look::Look;
pub use over::{AroundWhat, PaceOver, PacePoint, PlaceMoment, Places, Steps, StepsKind};
pub use ride::{Outlines, RideFigures, Tempos};

/// What one horse's rides show as a whole.
#[derive(Clone, Debug)]
pub struct Whole {
    /// The horse.
    pub horse: HorseId,
    /// The days asked about.
    pub days: Days,
    /// The rides of those days, oldest first.
    pub rides: Vec<Arc<RideFigures>>,
    /// Transitions of all of them.
    pub steps: Steps,
    /// Tempo pace by pace, in the order of the paces.
    pub tempos: Vec<PaceOver>,
    /// Where a tempo can be tapped along: in the newest ride with a film, shortly before the first
    /// attempt that one shows, else where its first film begins.
    pub to_tap: Option<(RideId, Moment)>,
    /// The tempo about changes, corners and transitions within a pace; only those there are.
    pub around: Vec<(AroundWhat, reinback_analysis::tempo_around::Around)>,
    /// Reviewed series of changes, newest first.
    pub series: Vec<SeriesShown>,
    /// Series that are not reviewed: looked at nowhere.
    pub unreviewed_series: u32,
    /// Faults by place, one entry for each arena ridden in.
    pub places: Vec<Places>,
    /// Minutes ridden in those days.
    pub ridden: Minutes,
    /// The load as of today, whatever the days.
    pub load: Load,
    /// The last weeks up to this one by pace, oldest first, at most [`WEEKS`], whatever the days.
    pub weeks: Vec<WeekOver>,
    /// What stands in the way of right numbers, in all of the horse's rides.
    pub look: Vec<Look>,
}

/// Weeks whose paces are told: half a year.
pub const WEEKS: usize = 26;

/// A week from Monday, by pace.
#[derive(Clone, Debug, PartialEq)]
pub struct WeekOver {
    /// Its Monday.
    pub monday: NaiveDate,
    /// Rides.
    pub rides: u32,
    /// Time ridden, in nanoseconds.
    pub nanos: i64,
    /// Of that by pace.
    pub paces: BTreeMap<Pace, i64>,
    /// Of that where no pace is noted.
    pub pace_unknown: i64,
}

impl Whole {
    /// The tempo about what belongs to an exercise: corners, or changes where it has any.
    #[must_use]
    pub fn around_of(
        &self,
        exercise: &WordId,
    ) -> Option<&(AroundWhat, reinback_analysis::tempo_around::Around)> {
        let mut series = self.series.iter();
        let about = match exercise.as_str() {
            "corner" => AroundWhat::Corners,
            "flying-change" => AroundWhat::Changes,
            _ if series.any(|one| one.ridden.exercise == *exercise) => AroundWhat::Changes,
            _ => return None,
        };
        self.around.iter().find(|(what, _)| *what == about)
    }
}

/// One series of changes.
#[derive(Clone, Debug, PartialEq)]
pub struct SeriesShown {
    /// Its ride.
    pub ride: RideId,
    /// The day of that.
    pub date: NaiveDate,
    /// Its bout, and what was asked.
    pub ridden: RiddenSeries,
    /// The day of the earlier canter its stride time is from, where it has none of its own ride.
    pub stride_of: Option<NaiveDate>,
    /// What it shows, or what is wrong with it.
    pub found: Result<Series, SeriesProblem>,
}

/// Time ridden, with the words behind the keys.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Minutes {
    /// The sums.
    pub all: Ridden,
    /// By exercise, longest first, in nanoseconds.
    pub exercises: Vec<(WordId, i64)>,
}

/// What was computed of single rides, kept from question to question.
///
/// A ride is known again by its place in memory: an edit puts another one there.
#[derive(Debug, Default)]
pub struct Kept {
    words: Words,
    rides: HashMap<RideId, (Arc<Ride>, Arc<RideFigures>)>,
    /// How many rides were computed anew, ever.
    pub computed: u64,
}

impl Kept {
    /// Forgets what was computed with other words, and the rides of other horses.
    fn fit(&mut self, yard: &Yard, horse: HorseId) {
        if self.words != yard.words {
            self.rides.clear();
            self.words = yard.words.clone();
        }
        self.rides
            .retain(|id, (ride, _)| ride.head.horse == horse && yard.rides.contains_key(id));
    }

    fn figures(&mut self, yard: &Yard, ride: &Arc<Ride>) -> Arc<RideFigures> {
        if let Some((known, figures)) = self.rides.get(&ride.id)
            && Arc::ptr_eq(known, ride)
        {
            return figures.clone();
        }
        let figures = Arc::new(RideFigures::new(ride, &yard.words));
        self.computed += 1;
        let entry = (ride.clone(), figures.clone());
        self.rides.insert(ride.id, entry);
        figures
    }
}

/// What a horse's rides of some days show as a whole.
#[must_use]
pub fn whole(yard: &Yard, horse: HorseId, days: Days, today: NaiveDate, kept: &mut Kept) -> Whole {
    kept.fit(yard, horse);
    let mut own: Vec<&Arc<Ride>> = yard
        .rides
        .values()
        .filter(|ride| ride.head.horse == horse)
        .collect();
    own.sort_by_key(|ride| (ride.head.date, ride.head.time, ride.id));
    let all: Vec<Arc<RideFigures>> = own.iter().map(|ride| kept.figures(yard, ride)).collect();
    let rides: Vec<Arc<RideFigures>> = all
        .iter()
        .filter(|ride| days.hold(ride.date))
        .cloned()
        .collect();
    let (series, unreviewed_series) = all_series(&all, days);
    let foaled = yard.horse(horse).and_then(|horse| horse.foaled);
    let load = load_of(foaled, &own, today);
    Whole {
        horse,
        days,
        steps: over::steps(&rides),
        tempos: over::tempos(&rides),
        to_tap: to_tap(own.iter().rev().filter(|ride| days.hold(ride.head.date))),
        around: over::around(&rides),
        places: over::places(&rides),
        series,
        unreviewed_series,
        ridden: minutes(own.iter().filter(|ride| days.hold(ride.head.date))),
        weeks: over::weeks(&load.weeks, &all, today),
        load,
        look: look::look(yard, horse, &own, &all, days, today),
        rides,
    }
}

/// In the first of these rides with a film.
fn to_tap<'a>(mut rides: impl Iterator<Item = &'a &'a Arc<Ride>>) -> Option<(RideId, Moment)> {
    rides.find_map(|ride| {
        let begins = ride.films.iter().map(|film| film.offset).min()?;
        let attempt = place_to_tap(ride, ride.bouts.iter().map(|bout| bout.from));
        Some((ride.id, attempt.unwrap_or(begins)))
    })
}

/// The series of the days, each with the stride time of the horse's last canter tapped before it,
/// however long ago; its day is told.
fn all_series(all: &[Arc<RideFigures>], days: Days) -> (Vec<SeriesShown>, u32) {
    let (mut found, mut unreviewed) = (Vec::new(), 0);
    let mut earlier: Option<(StrideTime, NaiveDate)> = None;
    for ride in all {
        for one in ride.series.series.iter().filter(|_| days.hold(ride.date)) {
            if !one.reviewed {
                unreviewed += 1;
                continue;
            }
            let borrowed = earlier.filter(|_| one.stride.is_none());
            found.push(SeriesShown {
                ride: ride.ride,
                date: ride.date,
                found: series(&one.input(borrowed.map(|(stride, _)| stride))),
                stride_of: borrowed.map(|(_, date)| date),
                ridden: one.clone(),
            });
        }
        let own = ride.series.canter_stride;
        earlier = own.map(|stride| (stride, ride.date)).or(earlier);
    }
    found.reverse();
    (found, unreviewed)
}

fn minutes<'a>(rides: impl Iterator<Item = &'a &'a Arc<Ride>>) -> Minutes {
    let mut keys = Keys::default();
    let lowered: Vec<LoadRide> = rides
        .zip(0_u32..)
        .map(|(ride, id)| load_ride(ride, id, &mut keys))
        .collect();
    let all = ridden(&lowered);
    let exercises = all.exercises.iter();
    let mut exercises: Vec<(WordId, i64)> = exercises
        .filter_map(|(key, nanos)| Some((keys.word(*key)?.clone(), *nanos)))
        .collect();
    exercises.sort_by(|one, other| other.1.cmp(&one.1).then_with(|| one.0.cmp(&other.0)));
    Minutes { all, exercises }
}

/// The load of a horse born in this year. Only the last seven days need to be known in full; weeks
/// need lengths.
pub(super) fn load_of<R: AsRef<Ride>>(foaled: Option<i32>, own: &[R], today: NaiveDate) -> Load {
    let mut keys = Keys::default();
    let recent = day_of(today).0.saturating_sub(6);
    let rides: Vec<LoadRide> = own
        .iter()
        .map(AsRef::as_ref)
        .zip(0_u32..)
        .map(|(ride, id)| {
            if day_of(ride.head.date).0 >= recent {
                load_ride(ride, id, &mut keys)
            } else {
                length(ride, id)
            }
        })
        .collect();
    load(&rides, day_of(today), &[], foaled)
}
