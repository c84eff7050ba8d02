//! A yard counted, and kept up to date ride by ride.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;
use reinback_analysis::columns::{Columns, Lowered};
use reinback_analysis::{Key, Rein};

use super::keys::{Keys, of_ride, vocabulary};
use super::lower::lower;
use crate::id::RideId;
use crate::model::{Ride, Yard};

/// Rides lowered at one time, so that what is lowered does not pile up.
const TOGETHER: usize = 2_048;

/// A yard counted, and kept up to date ride by ride.
///
/// What it counts does not depend on how it came there: rides may come in any order and be changed
/// any number of times, on any number of threads.
#[derive(Debug, Default)]
pub struct Ledger {
    keys: Keys,
    columns: Columns,
    /// The rides as they were counted. Held, so that one with the same address is the same.
    rides: BTreeMap<RideId, Arc<Ride>>,
    /// Only attempts on this rein, if on one.
    only: Option<Rein>,
}

impl Ledger {
    /// One that counts only attempts on this rein, or all of them without one. What is in no rate
    /// is counted whatever its rein.
    #[must_use]
    pub fn of_rein(only: Option<Rein>) -> Self {
        Self {
            only,
            ..Self::default()
        }
    }

    /// Counts what has changed since the last time: the rides of `yard` that are not the very ones
    /// seen then. Lowers many rides on all cores.
    pub fn follow(&mut self, yard: &Yard) {
        let mut known = self.rides.iter().peekable();
        let (mut gone, mut changed): (Vec<RideId>, Vec<&Arc<Ride>>) = (Vec::new(), Vec::new());
        for (id, ride) in &yard.rides {
            while let Some((old, _)) = known.next_if(|(old, _)| *old < id) {
                gone.push(*old);
            }
            let seen = known.next_if(|(old, _)| *old == id);
            if seen.is_none_or(|(_, seen)| !Arc::ptr_eq(seen, ride)) {
                changed.push(ride);
            }
        }
        gone.extend(known.map(|(old, _)| *old));
        for id in gone {
            self.rides.remove(&id);
            self.columns.remove(id.bits());
        }
        if changed.is_empty() {
            return;
        }
        self.keys.learn(vocabulary(&yard.words));
        // In the order of the columns, so that each is appended to.
        changed.sort_unstable_by_key(|ride| (ride.head.date, ride.id));
        for rides in changed.chunks(TOGETHER) {
            self.count(rides);
        }
        for ride in changed {
            self.rides.insert(ride.id, Arc::clone(ride));
        }
    }

    fn count(&mut self, rides: &[&Arc<Ride>]) {
        let lowered: Vec<Option<Lowered>> = rides
            .par_iter()
            .with_min_len(16)
            .map(|ride| counted(ride, &self.keys, self.only))
            .collect();
        for (ride, lowered) in rides.iter().zip(lowered) {
            let lowered = lowered.or_else(|| {
                self.keys.learn(of_ride(ride));
                counted(ride, &self.keys, self.only)
            });
            if let Some(lowered) = lowered {
                self.columns.put(&lowered);
            }
        }
    }

    /// Everything counted.
    #[must_use]
    pub fn columns(&self) -> &Columns {
        &self.columns
    }

    /// The words behind its keys.
    #[must_use]
    pub fn keys(&self) -> &Keys {
        &self.keys
    }

    /// The exercises with attempts, by their words.
    #[must_use]
    pub fn exercises(&self) -> Vec<Key> {
        let mut exercises: Vec<Key> = self.columns.exercises().collect();
        exercises.sort_by_key(|key| self.keys.word(*key));
        exercises
    }
}

fn counted(ride: &Ride, keys: &Keys, only: Option<Rein>) -> Option<Lowered> {
    let (mut lowered, waiting) = lower(ride, keys)?;
    if let Some(rein) = only {
        let attempts = &mut lowered.attempts;
        attempts.retain(|attempt| attempt.rein == Some(rein));
    }
    Some(Lowered::new(ride.head.horse.bits(), &lowered, waiting))
}

#[cfg(test)]
mod tests;
