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

use chrono::NaiveDate;
use reinback_analysis::observation;

use crate::id::HorseId;
use crate::model::{Ride, Yard};

mod keys;
mod ledger;
mod lower;

pub use keys::Keys;
pub use ledger::Ledger;
pub use lower::{Owners, day_of};

use lower::lower;

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

/// What the analysis works on.
///
/// Every word of the yard and of its rides has its key, whatever the filter was: what two filters
/// of one yard give can be compared.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Observed {
    /// The rides the filter takes, oldest first; their numbers are the bits of their ids.
    pub rides: Vec<observation::Ride>,
    /// The words behind their keys.
    pub keys: Keys,
    /// Faults of the rides taken whose bout is not reviewed yet.
    pub waiting_faults: u32,
}

/// Lowers the rides a filter takes. What is asked more than once is better kept in a [`Ledger`].
#[must_use]
pub fn observe(yard: &Yard, filter: &Filter) -> Observed {
    let mut observed = Observed {
        keys: Keys::of(yard),
        ..Observed::default()
    };
    for ride in yard.rides_by_date() {
        if filter.takes(ride)
            && let Some((lowered, waiting)) = lower(ride, &observed.keys)
        {
            observed.rides.push(lowered);
            observed.waiting_faults = observed.waiting_faults.saturating_add(waiting);
        }
    }
    observed
}

#[cfg(test)]
mod tests;
