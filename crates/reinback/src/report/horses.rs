//! All horses at a glance: a row for each, from its own answer of the books and from what its
//! rides show without looking at exercises.
//!
//! **Invariant:** a row says what the horse's own page says: it asks the same question, also where
//! a month that nobody chose gives way to other days for this horse and not for another.

use std::cmp::Reverse;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use chrono::NaiveDate;
use reinback_analysis::load::{Caution, Week};
use reinback_analysis::outline::{Notice, TimerRules, longest_run, outline};
use reinback_analysis::{Rein, Verdict};
use reinback_yard::lower::{self, extent};
use reinback_yard::{HorseId, Keys, Ride, RideId, Words, Yard};

use super::digest::digest;
use super::numbers::{Days, Line, Measure, Numbers, Question, Reins, Whose};
use super::period::{self, Instead, settled_of};
use super::shown::Yardstick;
use super::whole::load_of;
use crate::said::Earlier;

/// Weeks that a row shows.
pub const WEEKS: usize = 12;

/// What one horse's row shows.
#[derive(Clone, Debug, PartialEq)]
pub struct HorseRow {
    /// The horse.
    pub horse: HorseId,
    /// How the days compared with are called.
    pub earlier: Option<Earlier>,
    /// Why its days are not those asked for.
    pub instead: Option<Instead>,
    /// Whether its newest reviewed ride is too long ago for its days to be news.
    pub rests: bool,
    /// Rides in the days asked about, marked or not.
    pub rides: usize,
    /// The day of the newest ride of all.
    pub newest: Option<NaiveDate>,
    /// Whether any exercise counts in the days asked about.
    pub counts: bool,
    /// Time ridden in the days asked about, in nanoseconds; a ride of unknown length has none.
    pub ridden_nanos: i64,
    /// Exercises with clearly fewer faulty attempts than before, by what to work on first.
    pub better: Vec<String>,
    /// Exercises with clearly more faulty attempts than before, likewise.
    pub worse: Vec<String>,
    /// How many exercises had enough attempts in both periods to tell.
    pub judged: usize,
    /// What to work on first: the first line with a fault, one with enough attempts to tell where
    /// there is one; `None` where nothing was faulty.
    pub first: Option<Line>,
    /// Exercises that go clearly worse on one rein, and on which, by what to work on first.
    pub one_sided: Vec<(String, Rein)>,
    /// The last weeks up to this one, oldest first, at most [`WEEKS`].
    pub weeks: Vec<Week>,
    /// Calendar years, where the year of birth is known.
    pub age: Option<i32>,
    /// Things to think about in the load, as of today.
    pub cautions: Vec<Caution>,
    /// The outlines of the days asked about.
    pub held: Held,
}

/// How long outlines were held without a stretch.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Held {
    /// Rides with outlines that could be timed.
    pub timed: u32,
    /// Of those, rides that reached the early notice and no more.
    pub early: u32,
    /// Of those, rides that reached the notice.
    pub full: u32,
}

impl HorseRow {
    /// Whether something is to be thought about before any exercise. That a horse is young is no
    /// news of these days.
    #[must_use]
    pub fn asks_for_care(&self) -> bool {
        let lasting = |caution: &Caution| matches!(caution, Caution::Young { .. });
        self.held.full > 0 || self.cautions.iter().any(|caution| !lasting(caution))
    }
}

/// What is asked of one horse among several.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Own {
    /// The horse.
    pub horse: HorseId,
    /// The days, as they are for this horse.
    pub days: period::Asked,
    /// Why they are not those asked for.
    pub instead: Option<Instead>,
    /// Which attempts.
    pub reins: Reins,
}

impl Own {
    /// The question of it.
    #[must_use]
    pub fn question(&self) -> Question {
        self.days.question(Whose::One(self.horse), self.reins)
    }
}

/// The rides of a yard by horse, oldest first.
#[derive(Debug)]
pub struct Stable<'a> {
    yard: &'a Yard,
    rides: BTreeMap<HorseId, Vec<&'a Arc<Ride>>>,
}

impl<'a> Stable<'a> {
    /// Sorts the rides of a yard by horse.
    #[must_use]
    pub fn new(yard: &'a Yard) -> Self {
        let mut rides: BTreeMap<HorseId, Vec<&'a Arc<Ride>>> = BTreeMap::new();
        for ride in yard.rides.values() {
            rides.entry(ride.head.horse).or_default().push(ride);
        }
        for own in rides.values_mut() {
            own.sort_by_key(|ride| (ride.head.date, ride.head.time, ride.id));
        }
        Self { yard, rides }
    }

    /// What a horse's own page asks when these days are asked for.
    #[must_use]
    pub fn own(
        &self,
        horse: HorseId,
        (days, reins): (period::Asked, Reins),
        today: NaiveDate,
    ) -> Own {
        let (days, instead) = settled_of(self.of(horse).iter().copied(), days, today);
        Own {
            horse,
            days,
            instead,
            reins,
        }
    }

    /// The rides of a horse, oldest first.
    fn of(&self, horse: HorseId) -> &[&'a Arc<Ride>] {
        self.rides.get(&horse).map_or(&[], Vec::as_slice)
    }

    /// The row of a horse, from the answer to its own question.
    pub fn row(
        &self,
        asked: &Own,
        numbers: &Numbers,
        today: NaiveDate,
        seen: &mut Seen,
    ) -> HorseRow {
        seen.fit(self.yard);
        let horse = asked.horse;
        let own = self.of(horse);
        let foaled = self.yard.horse(horse).and_then(|horse| horse.foaled);
        let load = load_of(foaled, own, today);
        let (ridden_nanos, held) = seen.together(own, &self.yard.words, numbers.question.days);
        let against = match numbers.question.against {
            Some(days) => Yardstick::Days(Earlier::Others(days)),
            None => Yardstick::Nothing,
        };
        let found = digest(numbers, against, Measure::Attempts);
        let names = |lines: &[&Line]| lines.iter().map(|line| line.name.clone()).collect();
        let one_sided = found.one_sided.iter();
        let told =
            |line: &&Line| verdict(line).is_some_and(|found| !matches!(found, Verdict::TooFew(_)));
        HorseRow {
            horse,
            earlier: asked.days.earlier(),
            instead: asked.instead,
            rests: asked.instead.is_some_and(|why| why.is_old(today)),
            rides: numbers.rides,
            newest: numbers.newest.map(|(day, _)| day),
            counts: !numbers.lines.is_empty(),
            ridden_nanos,
            better: names(&found.better),
            worse: names(&found.worse),
            judged: numbers.lines.iter().filter(told).count(),
            first: first(numbers).cloned(),
            one_sided: one_sided
                .map(|(line, rein)| (line.name.clone(), *rein))
                .collect(),
            weeks: load.weeks[load.weeks.len().saturating_sub(WEEKS)..].to_vec(),
            age: load.age.ok(),
            cautions: load.cautions,
            held,
        }
    }
}

fn verdict(line: &Line) -> Option<Verdict> {
    line.compared.as_ref().map(|compared| compared.rate.verdict)
}

/// One of which something can be told, where there is one.
fn first(numbers: &Numbers) -> Option<&Line> {
    let faulty = || {
        let lines = numbers.lines.iter();
        lines.filter(|line| line.figures.all.rate.tally.faulty > 0)
    };
    let can_be_told = |line: &&Line| {
        let few = verdict(line).is_some_and(|found| matches!(found, Verdict::TooFew(_)));
        !few && line.figures.all.rate.range.is_ok()
    };
    faulty().find(can_be_told).or_else(|| faulty().next())
}

/// What was seen in single rides, kept from row to row. A ride is known again by its place in
/// memory: an edit puts another one there.
#[derive(Debug, Default)]
pub struct Seen {
    words: Words,
    rides: HashMap<RideId, (Arc<Ride>, Sight)>,
}

/// What was seen in a ride.
#[derive(Clone, Copy, Debug)]
struct Sight {
    nanos: i64,
    /// How far the timer of its outlines went, where they can be timed.
    held: Option<Notice>,
}

impl Seen {
    /// Forgets what was seen with other words, and rides that are gone.
    fn fit(&mut self, yard: &Yard) {
        if self.words != yard.words {
            self.rides.clear();
            self.words = yard.words.clone();
        }
        if self.rides.len() > yard.rides.len() {
            self.rides.retain(|id, _| yard.rides.contains_key(id));
        }
    }

    fn sight(&mut self, ride: &Arc<Ride>, words: &Words) -> Sight {
        if let Some((known, sight)) = self.rides.get(&ride.id)
            && Arc::ptr_eq(known, ride)
        {
            return *sight;
        }
        let all = extent(ride);
        let spans = lower::outline::outlines(ride, words, &mut Keys::default());
        let timed = all
            .filter(|_| !spans.is_empty())
            .and_then(|all| outline(&spans, all, TimerRules::default()).ok());
        let sight = Sight {
            nanos: all.map_or(0, reinback_analysis::Span::duration_nanos),
            held: timed.map(|report| {
                longest_run(&report)
                    .map_or(Notice::Quiet, reinback_analysis::outline::TimerRun::notice)
            }),
        };
        self.rides.insert(ride.id, (Arc::clone(ride), sight));
        sight
    }

    /// The time of the rides of these days, and how long their outlines were held.
    fn together(&mut self, own: &[&Arc<Ride>], words: &Words, days: Days) -> (i64, Held) {
        let (mut nanos, mut held) = (0_i64, Held::default());
        for ride in own.iter().filter(|ride| days.hold(ride.head.date)) {
            let sight = self.sight(ride, words);
            nanos = nanos.saturating_add(sight.nanos);
            held.timed += u32::from(sight.held.is_some());
            held.early += u32::from(sight.held == Some(Notice::Early));
            held.full += u32::from(sight.held == Some(Notice::Full));
        }
        (nanos, held)
    }
}

/// What needs looking at first; rows that need it alike keep their order. Our own choice: horses that
/// rest come last, as what their rows say is of long ago. Of the others a
/// caution about the horse's load or outline comes before any exercise, then what became worse,
/// then what is one-sided, then how many faulty attempts a reviewed ride has of what to work on first.
pub fn by_need(rows: &mut [&HorseRow]) {
    rows.sort_by(|one, other| {
        let counts = |row: &HorseRow| {
            let care = row.asks_for_care();
            Reverse((!row.rests, care, row.worse.len(), row.one_sided.len()))
        };
        let faulty = |row: &HorseRow| {
            let first = row.first.as_ref();
            first.map_or(0.0, |line| line.priority.faulty_per_ride)
        };
        counts(one)
            .cmp(&counts(other))
            .then_with(|| faulty(other).total_cmp(&faulty(one)))
    });
}

#[cfg(test)]
mod tests;
