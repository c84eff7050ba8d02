//! Lowers single rides to what the measures of whole rides work on, one file a measure.
//!
//! The rules they share:
//! - Of bouts, marks and taps only the **counting review** is looked at; paces and outlines there
//!   is one set of.
//! - What **still runs** (a bout without an end, a last pace or outline whose end is its start) is
//!   not ridden time yet and is left out.
//! - A mark belongs to the bout it names, else to the only one that spans it, as for rates.
//! - What lies further apart than [`LONGEST_RIDE`] is no ride: somebody's clock was changed. Such a
//!   ride has no length, and [`trouble`] says so.

pub mod course;
pub mod load;
pub mod outline;
pub mod place;
pub mod series;
pub mod sheet;
pub mod tempo;
pub mod transitions;
pub mod trouble;

#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

use reinback_analysis::{Moment, Span};

use crate::id::{BoutId, ReviewId};
use crate::model::{Bout, Mark, MarkKind, Ride};
use crate::observe::Owners;

/// No ride is longer, in nanoseconds: 12 h, as for the bouts of a ride in the analysis. Our own
/// choice.
pub const LONGEST_RIDE: i64 = 12 * 3_600_000_000_000;

/// The bouts and marks of a ride that count.
pub(crate) struct Counting<'a> {
    pub(crate) bouts: Vec<&'a Bout>,
    pub(crate) marks: Vec<&'a Mark>,
}

impl<'a> Counting<'a> {
    pub(crate) fn of(ride: &'a Ride) -> Self {
        Self::of_review(ride, ride.head.counting)
    }

    /// Those of one review, as if it were the one that counts.
    pub(crate) fn of_review(ride: &'a Ride, own: ReviewId) -> Self {
        Self {
            bouts: ride.bouts.iter().filter(|b| b.review == own).collect(),
            marks: ride.marks.iter().filter(|m| m.review == own).collect(),
        }
    }

    /// Which bout each mark belongs to.
    pub(crate) fn owners(&self) -> Owners<'_> {
        Owners::of(&self.bouts)
    }
}

/// The bouts of a ride that a fault belongs to.
#[must_use]
pub fn faulty_bouts(ride: &Ride) -> BTreeSet<BoutId> {
    let counting = Counting::of(ride);
    let owners = counting.owners();
    let marks = counting.marks.iter();
    let faults = marks.filter(|mark| matches!(mark.kind, MarkKind::Fault(_)));
    faults
        .filter_map(|mark| owners.owner(mark).map(|bout| bout.id))
        .collect()
}

/// From mounting to dismounting, as far as is known: everything filmed or marked as a stretch.
///
/// `None` where there is nothing, and where it is longer than [`LONGEST_RIDE`].
#[must_use]
pub fn extent(ride: &Ride) -> Option<Span> {
    whole_extent(ride).filter(|all| all.duration_nanos() <= LONGEST_RIDE)
}

/// The same, however long.
pub(crate) fn whole_extent(ride: &Ride) -> Option<Span> {
    let own = ride.head.counting;
    let films = ride.films.iter().filter_map(crate::model::Film::span);
    let bouts = ride.bouts.iter().filter(|b| b.review == own);
    let stretches = films
        .chain(bouts.filter_map(Bout::span))
        .chain(ride.paces.iter().map(|one| one.span))
        .chain(ride.outlines.iter().map(|one| one.span));
    hull(stretches.filter(|span| span.from < span.to))
}

fn hull(spans: impl Iterator<Item = Span>) -> Option<Span> {
    spans.reduce(|all, one| Span {
        from: all.from.min(one.from),
        to: all.to.max(one.to),
    })
}

/// A moment so many nanoseconds earlier or later.
pub(crate) fn shifted(at: Moment, by: i64) -> Moment {
    Moment(at.0.saturating_add(by))
}
