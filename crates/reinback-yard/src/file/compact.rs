//! A ride that was just read, made as small in memory as it can be: a large yard holds millions
//! of things, and the same few words again and again.

use std::collections::BTreeSet;

use crate::model::{MarkKind, Ride};
use crate::words::WordId;

/// The same ride, without room to spare and with each of its words once. Words are shared within
/// a ride and no further, so that threads that work on different rides share nothing.
pub(super) fn ride(mut ride: Ride) -> Ride {
    let mut known = BTreeSet::new();
    for bout in &mut ride.bouts {
        share(&mut known, Some(&mut bout.exercise));
        share(&mut known, bout.variant.as_mut());
    }
    for mark in &mut ride.marks {
        if let MarkKind::Fault(fault) = &mut mark.kind {
            share(&mut known, Some(fault));
        }
    }
    for pace in &mut ride.paces {
        share(&mut known, pace.variant.as_mut());
    }
    for outline in &mut ride.outlines {
        share(&mut known, Some(&mut outline.outline));
    }
    ride.films.shrink_to_fit();
    ride.bouts.shrink_to_fit();
    ride.marks.shrink_to_fit();
    ride.paces.shrink_to_fit();
    ride.outlines.shrink_to_fit();
    ride.tempos.shrink_to_fit();
    ride
}

fn share(known: &mut BTreeSet<WordId>, word: Option<&mut WordId>) {
    let Some(word) = word else { return };
    if let Some(same) = known.get(word) {
        *word = same.clone();
    } else {
        known.insert(word.clone());
    }
}
