//! The paces of a ride, and the aids given in it.

use reinback_analysis::{Moment, PaceSpan};

use super::Counting;
use crate::model::{MarkKind, Ride};
use crate::observe::Keys;

/// The paces of a ride that have an end.
#[must_use]
pub fn paces(ride: &Ride, keys: &mut Keys) -> Vec<PaceSpan> {
    let closed = ride.paces.iter().filter(|one| one.span.from < one.span.to);
    closed
        .map(|one| PaceSpan {
            pace: one.pace,
            variant: one.variant.as_ref().map(|word| keys.learned(word)),
            span: one.span,
        })
        .collect()
}

/// When aids were marked.
#[must_use]
pub fn aids(ride: &Ride) -> Vec<Moment> {
    let marks = Counting::of(ride).marks;
    let aids = marks.iter().filter(|mark| mark.kind == MarkKind::Aid);
    aids.map(|mark| mark.at).collect()
}
