//! Lowers a yard to the plain data the analysis works on.
//!
//! The rules (docs/measures.md says why):
//! - Of each ride only the **counting review** is looked at; other reviews never add to rates.
//! - An **attempt** is a bout that its reviewer has closed and set to reviewed. Every other
//!   bout is counted in `unreviewed` and is in no denominator.
//! - A fault or a "ridden again" **belongs** to the bout it names, if that bout is in the
//!   review; else to the bout of the review that spans its moment, if exactly one does; else to
//!   none. A span holds its start and not its end; a bout still running has no end.
//! - A fault of an attempt counts with it. A fault of a bout that is not reviewed **waits** with
//!   it. A fault without a bout is **loose**: counted, never part of a rate.
//! - A bout was **ridden again** if a "ridden again" belongs to it.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike as _, NaiveDate};
use reinback_analysis::observation::{self, Attempt, Key};
use reinback_analysis::{Day, Moment, Span};

use crate::id::{BoutId, HorseId, RideId};
use crate::model::{Bout, Mark, MarkKind, Ride, Yard};
use crate::words::WordId;

/// Which rides to look at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Filter {
    /// Only this horse's.
    pub horse: Option<HorseId>,
    /// From this day on.
    pub from: Option<NaiveDate>,
    /// Up to and with this day.
    pub to: Option<NaiveDate>,
}

impl Filter {
    fn takes(&self, ride: &Ride) -> bool {
        self.horse.is_none_or(|horse| ride.head.horse == horse)
            && self.from.is_none_or(|from| ride.head.date >= from)
            && self.to.is_none_or(|to| ride.head.date <= to)
    }
}

/// The words behind the keys of the analysis.
///
/// Every word of the yard and of its rides has its key, whatever the filter was: what two
/// filters of one yard give can be compared.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Keys {
    /// Sorted; a word's key is its index.
    words: Vec<WordId>,
}

impl Keys {
    /// The word behind a key.
    #[must_use]
    pub fn word(&self, key: Key) -> Option<&WordId> {
        self.words.get(key.0 as usize)
    }

    /// The key of a word; `None` for one that is neither in the yard's words nor in its rides.
    #[must_use]
    pub fn key(&self, word: &WordId) -> Option<Key> {
        let index = self.words.binary_search(word).ok()?;
        u32::try_from(index).ok().map(Key)
    }

    fn of(yard: &Yard) -> Self {
        let words = &yard.words;
        let of_exercises = words.exercises.iter().flat_map(|exercise| {
            let faults = exercise.faults.iter().map(|fault| &fault.id);
            faults
                .chain(exercise.variants.iter().map(|word| &word.id))
                .chain([&exercise.id])
        });
        let general = words.general_faults.iter().map(|fault| &fault.id);
        let of_rides = yard.rides.values().flat_map(|ride| {
            let bouts = ride
                .bouts
                .iter()
                .flat_map(|b| [Some(&b.exercise), b.variant.as_ref()]);
            let marks = ride.marks.iter().map(|mark| match &mark.kind {
                MarkKind::Fault(fault) => Some(fault),
                _ => None,
            });
            bouts.chain(marks).flatten()
        });
        let all: BTreeSet<&WordId> = of_exercises.chain(general).chain(of_rides).collect();
        Self {
            words: all.into_iter().cloned().collect(),
        }
    }
}

/// What the analysis works on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Observed {
    /// The rides the filter takes, oldest first.
    pub rides: Vec<observation::Ride>,
    /// The words behind their keys.
    pub keys: Keys,
    /// All rides of the yard, oldest first; `rides[i].id` is an index into it.
    pub ride_ids: Vec<RideId>,
    /// Faults of the rides taken whose bout is not reviewed yet.
    pub waiting_faults: u32,
}

impl Observed {
    /// The yard's ride behind an analysis ride's number.
    #[must_use]
    pub fn ride_id(&self, id: u32) -> Option<RideId> {
        self.ride_ids.get(id as usize).copied()
    }
}

/// Lowers the rides a filter takes.
#[must_use]
pub fn observe(yard: &Yard, filter: &Filter) -> Observed {
    let keys = Keys::of(yard);
    let all = yard.rides_by_date();
    let mut observed = Observed::default();
    for (ride, id) in all.iter().zip(0_u32..) {
        if filter.takes(ride) {
            let (lowered, waiting) = lower(ride, id, &keys);
            observed.rides.push(lowered);
            observed.waiting_faults += waiting;
        }
    }
    observed.ride_ids = all.iter().map(|ride| ride.id).collect();
    observed.keys = keys;
    observed
}

/// The number of days from 1970-01-01.
fn day(date: NaiveDate) -> Day {
    /// 1970-01-01 in days of the Common Era.
    const EPOCH: i32 = 719_163;
    Day(date.num_days_from_ce() - EPOCH)
}

fn lower(ride: &Ride, id: u32, keys: &Keys) -> (observation::Ride, u32) {
    let counting = ride.head.counting;
    let bouts: Vec<&Bout> = ride
        .bouts
        .iter()
        .filter(|bout| bout.review == counting)
        .collect();
    let mut faults: BTreeMap<BoutId, Vec<Key>> = BTreeMap::new();
    let mut repeated = BTreeSet::new();
    let mut loose: BTreeMap<Key, u32> = BTreeMap::new();
    for mark in ride.marks.iter().filter(|mark| mark.review == counting) {
        match (&mark.kind, owner_of(mark, &bouts)) {
            (MarkKind::Fault(fault), owner) => {
                let Some(key) = keys.key(fault) else { continue };
                match owner {
                    Some(bout) => faults.entry(bout).or_default().push(key),
                    None => *loose.entry(key).or_default() += 1,
                }
            }
            (MarkKind::Repeated, Some(bout)) => {
                repeated.insert(bout);
            }
            (
                MarkKind::Repeated
                | MarkKind::Praise
                | MarkKind::Note
                | MarkKind::Change(_)
                | MarkKind::Aid
                | MarkKind::Measured(_),
                _,
            ) => {}
        }
    }
    let mut lowered = observation::Ride {
        id,
        day: day(ride.head.date),
        loose_faults: loose.into_iter().collect(),
        ..observation::Ride::default()
    };
    for bout in bouts {
        let attempt = closed_span(bout)
            .filter(|_| bout.reviewed)
            .and_then(|span| {
                Some(Attempt {
                    exercise: keys.key(&bout.exercise)?,
                    variant: bout.variant.as_ref().and_then(|variant| keys.key(variant)),
                    rein: bout.rein,
                    span,
                    faults: faults.remove(&bout.id).unwrap_or_default(),
                    repeated: repeated.contains(&bout.id),
                })
            });
        match attempt {
            Some(attempt) => lowered.attempts.push(attempt),
            None => lowered.unreviewed += 1,
        }
    }
    let waiting = faults.values().map(Vec::len).sum::<usize>();
    (lowered, u32::try_from(waiting).unwrap_or(u32::MAX))
}

fn closed_span(bout: &Bout) -> Option<Span> {
    bout.to.map(|to| Span {
        from: bout.from,
        to,
    })
}

/// The bout a mark belongs to, of the bouts of its review; see the rules on top of this file.
#[must_use]
pub fn owner_of(mark: &Mark, bouts: &[&Bout]) -> Option<BoutId> {
    let named = mark
        .bout
        .filter(|named| bouts.iter().any(|bout| bout.id == *named));
    named.or_else(|| {
        let mut spanning = bouts.iter().filter(|bout| spans(bout, mark.at));
        let first = spanning.next()?;
        spanning.next().is_none().then_some(first.id)
    })
}

fn spans(bout: &Bout, moment: Moment) -> bool {
    bout.from <= moment && bout.to.is_none_or(|to| moment < to)
}

#[cfg(test)]
mod tests;
