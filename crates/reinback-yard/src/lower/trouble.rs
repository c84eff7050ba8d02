//! What in a ride stands in the way of right numbers, each with the moment to look at.
//!
//! No measure breaks on it; this says what was left out, and why, so that somebody can put it
//! right. What only many rides show together is found where they are pooled.

use std::collections::BTreeMap;

use chrono::{Datelike as _, NaiveDate};
use reinback_analysis::Moment;
use reinback_analysis::series::{SeriesProblem, series};
use reinback_analysis::timeline::{State, nanos_where, pieces};

use super::series::{SeriesOfRide, begins};
use super::{Counting, LONGEST_RIDE, outline, transitions, whole_extent};
use crate::id::BoutId;
use crate::model::{Bout, Horse, MarkKind, Ride};
use crate::observe::Keys;
use crate::words::{WordId, Words};

/// What is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Trouble {
    /// Dated after today: in no load.
    Ahead,
    /// Dated before the horse's year of birth.
    BeforeBirth,
    /// More than half a day long: a clock was changed, perhaps. Its length is in no sum.
    FarApart,
    /// A bout without length: it counts as an attempt and in no rate per minute.
    NoLength(BoutId),
    /// Two bouts of one exercise that overlap: both count, the time they share counts once.
    Overlap(BoutId),
    /// Faults in no bout: in no rate.
    LooseFaults(u32),
    /// Flying changes in no bout: in no series.
    LooseChanges(u32),
    /// Two paces marked at once, for so many nanoseconds: taken as not known.
    TwoPaces(i64),
    /// Two outlines marked at once, for so many nanoseconds: taken as not known.
    TwoOutlines(i64),
    /// Taps on the canter that come to a stride no horse has: they are used nowhere.
    ImpossibleTaps,
    /// A series that cannot be looked at.
    Series(BoutId, SeriesProblem),
}

/// Something wrong and the moment to look at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Found {
    /// What.
    pub trouble: Trouble,
    /// Where on the ride clock; `None` where it is of the whole ride.
    pub at: Option<Moment>,
}

/// What is wrong with a ride, on whatever day it is looked at.
#[must_use]
pub fn of_ride(ride: &Ride, words: &Words, own: &SeriesOfRide) -> Vec<Found> {
    let counting = Counting::of(ride);
    let owners = counting.owners();
    let mut found = Vec::new();
    if whole_extent(ride).is_some_and(|all| all.duration_nanos() > LONGEST_RIDE) {
        found.push(Found {
            trouble: Trouble::FarApart,
            at: None,
        });
    }
    found.extend(of_bouts(&counting.bouts));
    let loose = |is: fn(&MarkKind) -> bool| {
        let marks = counting.marks.iter();
        let mut own = marks.filter(|mark| is(&mark.kind) && owners.owner(mark).is_none());
        let first = own.next()?;
        let count = 1 + own.count();
        Some((u32::try_from(count).unwrap_or(u32::MAX), first.at))
    };
    if let Some((count, at)) = loose(|kind| matches!(kind, MarkKind::Fault(_))) {
        found.push(Found {
            trouble: Trouble::LooseFaults(count),
            at: Some(at),
        });
    }
    if let Some((count, at)) = loose(|kind| matches!(kind, MarkKind::Change(_))) {
        found.push(Found {
            trouble: Trouble::LooseChanges(count),
            at: Some(at),
        });
    }
    found.extend(contradictions(ride, words));
    found.extend(own.impossible_taps.map(|at| Found {
        trouble: Trouble::ImpossibleTaps,
        at: Some(at),
    }));
    for one in &own.series {
        // Whether anybody marked its changes is said where series are shown.
        if let Err(problem) = series(&one.input(None)) {
            let at = match problem {
                SeriesProblem::MarkedTwice { at } => at,
                _ => begins(one),
            };
            found.push(Found {
                trouble: Trouble::Series(one.bout, problem),
                at: Some(at),
            });
        }
    }
    found
}

/// What is wrong with the day of a ride.
#[must_use]
pub fn of_day(ride: &Ride, horse: Option<&Horse>, today: NaiveDate) -> Option<Trouble> {
    let date = ride.head.date;
    let foaled = horse.and_then(|horse| horse.foaled);
    if date > today {
        Some(Trouble::Ahead)
    } else if foaled.is_some_and(|year| date.year() < year) {
        Some(Trouble::BeforeBirth)
    } else {
        None
    }
}

fn of_bouts(bouts: &[&Bout]) -> Vec<Found> {
    let mut found = Vec::new();
    let mut sorted: Vec<&&Bout> = bouts
        .iter()
        .filter(|b| b.reviewed && b.to.is_some())
        .collect();
    sorted.sort_by_key(|bout| (bout.from, bout.id));
    // How far each exercise has reached so far: what begins before that overlaps.
    let mut reached: BTreeMap<&WordId, Moment> = BTreeMap::new();
    for bout in sorted {
        let Some(span) = bout.span() else { continue };
        if span.duration_nanos() == 0 {
            found.push(Found {
                trouble: Trouble::NoLength(bout.id),
                at: Some(bout.from),
            });
            continue;
        }
        let reach = reached.entry(&bout.exercise).or_insert(span.from);
        if span.from < *reach {
            found.push(Found {
                trouble: Trouble::Overlap(bout.id),
                at: Some(bout.from),
            });
        }
        *reach = (*reach).max(span.to);
    }
    found
}

/// Where two paces or two outlines are marked at once.
fn contradictions(ride: &Ride, words: &Words) -> Vec<Found> {
    let Some(window) = whole_extent(ride) else {
        return Vec::new();
    };
    let mut keys = Keys::default();
    let paces: Vec<_> = transitions::paces(ride, &mut keys)
        .into_iter()
        .map(|one| ((one.pace, one.variant), one.span))
        .collect();
    let outlines: Vec<_> = outline::outlines(ride, words, &mut keys)
        .into_iter()
        .map(|one| (one.outline, one.span))
        .collect();
    let mut found = Vec::new();
    found.extend(contradicted(&pieces(&paces, window), Trouble::TwoPaces));
    found.extend(contradicted(
        &pieces(&outlines, window),
        Trouble::TwoOutlines,
    ));
    found
}

fn contradicted<T: Copy + Eq>(
    line: &[reinback_analysis::timeline::Piece<T>],
    trouble: fn(i64) -> Trouble,
) -> Option<Found> {
    let first = line
        .iter()
        .find(|piece| piece.state == State::Contradicted)?;
    let nanos = nanos_where(line, |state| state == State::Contradicted);
    Some(Found {
        trouble: trouble(nanos),
        at: Some(first.span.from),
    })
}
