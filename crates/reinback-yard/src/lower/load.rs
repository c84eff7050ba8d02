//! A ride as far as its load goes.

use chrono::{Datelike as _, NaiveDate};
use reinback_analysis::load::{LoadRide, Work};
use reinback_analysis::{Day, Span};

use super::{Counting, Table, closed, extent, transitions};
use crate::model::Ride;

/// The number of days from 1970-01-01.
///
/// ```
/// use chrono::NaiveDate;
/// use reinback_yard::lower::load::day;
/// assert_eq!(NaiveDate::from_ymd_opt(1970, 1, 2).map(|date| day(date).0), Some(1));
/// ```
#[must_use]
pub fn day(date: NaiveDate) -> Day {
    /// 1970-01-01 in days of the Common Era.
    const EPOCH: i32 = 719_163;
    Day(date.num_days_from_ce() - EPOCH)
}

/// A ride without what was ridden in it: its day and its length, which is all that weeks need.
/// One of unknown length has none.
#[must_use]
pub fn length(ride: &Ride, id: u32) -> LoadRide {
    LoadRide {
        id,
        day: day(ride.head.date),
        ridden: extent(ride).unwrap_or_default(),
        paces: Vec::new(),
        work: Vec::new(),
    }
}

/// The whole ride. Every bout that has an end was ridden, whether it is reviewed or not.
#[must_use]
pub fn load_ride(ride: &Ride, id: u32, table: &mut Table) -> LoadRide {
    let counting = Counting::of(ride);
    let mut lowered = length(ride, id);
    if lowered.ridden == Span::default() {
        return lowered;
    }
    lowered.paces = transitions::paces(ride, table);
    lowered.work = counting
        .bouts
        .iter()
        .filter_map(|bout| {
            Some(Work {
                exercise: table.key(&bout.exercise),
                rein: bout.rein,
                span: closed(bout)?,
            })
        })
        .collect();
    lowered
}
