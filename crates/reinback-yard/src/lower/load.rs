//! A ride as far as its load goes.

use reinback_analysis::Span;
use reinback_analysis::load::{LoadRide, Work};

use super::{Counting, extent, transitions};
use crate::model::Ride;
use crate::observe::{Keys, day_of};

/// A ride without what was ridden in it: its day and its length, which is all that weeks need.
/// One of unknown length has none.
#[must_use]
pub fn length(ride: &Ride, id: u32) -> LoadRide {
    LoadRide {
        id,
        day: day_of(ride.head.date),
        ridden: extent(ride).unwrap_or_default(),
        paces: Vec::new(),
        work: Vec::new(),
    }
}

/// The whole ride. Every bout that has an end was ridden, whether it is reviewed or not.
#[must_use]
pub fn load_ride(ride: &Ride, id: u32, keys: &mut Keys) -> LoadRide {
    let counting = Counting::of(ride);
    let mut lowered = length(ride, id);
    if lowered.ridden == Span::default() {
        return lowered;
    }
    lowered.paces = transitions::paces(ride, keys);
    lowered.work = counting
        .bouts
        .iter()
        .filter_map(|bout| {
            Some(Work {
                exercise: keys.learned(&bout.exercise),
                rein: bout.rein,
                span: bout.span()?,
            })
        })
        .collect();
    lowered
}
