//! A yard of which not everything has been read: what can be shown of it meanwhile.

use std::sync::Arc;

use chrono::NaiveDate;
use reinback_yard::{Listed, Progress, Ride, RideName, Yard};

/// The rides that have been read, and the names of the others' files.
pub struct Reading {
    /// Holds what has been read, without what only the journal holds.
    pub yard: Yard,
    /// How far reading is.
    pub progress: Progress,
    files: Vec<RideName>,
    last_day: Option<NaiveDate>,
    /// Grows with every batch.
    revision: u64,
}

impl Reading {
    /// Nothing read yet.
    #[must_use]
    pub fn new(listed: Listed) -> Self {
        let Listed { yard, files } = listed;
        let total = files.len();
        let last_day = files.iter().filter_map(|name| name.date).max();
        Self {
            yard,
            progress: Progress { done: 0, total },
            files,
            last_day,
            revision: 0,
        }
    }

    /// Takes in what has been read.
    pub fn take(&mut self, rides: Vec<Arc<Ride>>, progress: Progress) {
        self.revision += 1;
        self.progress = progress;
        let rides = rides.into_iter().map(|ride| (ride.id, ride));
        self.yard.rides.extend(rides);
    }

    /// Grows with everything that is taken in.
    #[must_use]
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// What is known by its file's name alone.
    pub fn unread(&self) -> impl Iterator<Item = &RideName> {
        let read = |name: &RideName| {
            name.ride
                .is_some_and(|id| self.yard.rides.contains_key(&id))
        };
        self.files.iter().filter(move |name| !read(name))
    }

    /// The day of the newest ride by the names of the files, read or not.
    #[must_use]
    pub fn last_day(&self) -> Option<NaiveDate> {
        self.last_day
    }

    /// How much has been read, 0 to 1.
    #[must_use]
    pub fn part(&self) -> f32 {
        self.progress.done as f32 / self.progress.total.max(1) as f32
    }
}

#[cfg(test)]
mod tests {
    use reinback_yard::{HorseId, Review, RideId};

    use super::*;

    #[test]
    fn what_is_read_is_no_longer_named() {
        let day = "2026-03-01".parse().unwrap();
        let id = RideId::from_bits;
        let name = |ride: Option<u64>| RideName {
            date: Some(day),
            horse: None,
            ride: ride.map(id),
        };
        let mut reading = Reading::new(Listed {
            yard: Yard::default(),
            files: vec![name(Some(1)), name(Some(2)), name(None)],
        });
        assert_eq!(reading.unread().count(), 3);
        assert_eq!(reading.last_day(), Some(day));
        assert!(reading.part() < 0.01);
        let review = Review {
            id: 9.into(),
            reviewer: String::new(),
            blind: false,
        };
        let ride = Ride::new(id(2), HorseId::from_bits(1), day, review);
        let before = reading.revision();
        reading.take(vec![Arc::new(ride)], Progress { done: 1, total: 3 });
        let left: Vec<_> = reading.unread().map(|name| name.ride).collect();
        assert_eq!(left, [Some(id(1)), None]);
        assert_ne!(reading.revision(), before);
        assert!((reading.part() - 1.0 / 3.0).abs() < 1e-6);
    }
}
