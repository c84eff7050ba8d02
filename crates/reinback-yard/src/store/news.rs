//! What is told while a yard is read, so that its rides can be shown before all are there.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::path::Path;
use std::sync::Arc;

use chrono::NaiveDate;

use super::scan::slug;
use crate::id::{HorseId, RideId};
use crate::model::{Ride, Yard};

/// How far opening has got.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Ride files read.
    pub done: usize,
    /// Ride files there are.
    pub total: usize,
}

/// Something that is known before the whole yard is.
#[derive(Debug)]
pub enum News {
    /// Told once, and first: what lies in the folder.
    Listed(Box<Listed>),
    /// More of the files have been read, those of the newest rides first.
    Rides {
        /// As they are in their files. Those that the journal has changes for are left out until
        /// everything is put together, and so is a file that cannot be read.
        rides: Vec<Arc<Ride>>,
        /// How many files that makes.
        progress: Progress,
    },
}

/// What a yard's folder holds by the names of its files.
#[derive(Clone, Debug)]
pub struct Listed {
    /// `yard.ron`; without any ride.
    pub yard: Yard,
    /// The ride files, newest first.
    pub files: Vec<RideName>,
}

/// What the name of a ride's file says (`rides/<year>/<date>-<horse>-<id>.ron`). A hint: only
/// the content counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RideName {
    /// The day.
    pub date: Option<NaiveDate>,
    /// The horse, where one of the yard is called so.
    pub horse: Option<HorseId>,
    /// The ride.
    pub ride: Option<RideId>,
}

impl Listed {
    pub(super) fn new(yard: &Yard, paths: &[impl AsRef<Path>]) -> Self {
        let horses: Vec<(String, HorseId)> = yard
            .horses
            .iter()
            .map(|horse| (slug(&horse.name), horse.id))
            .collect();
        let files = paths
            .iter()
            .map(|path| RideName::read(path.as_ref(), &horses))
            .collect();
        Self {
            yard: yard.clone(),
            files,
        }
    }
}

impl RideName {
    fn read(path: &Path, horses: &[(String, HorseId)]) -> Self {
        let stem = path.file_stem().and_then(OsStr::to_str).unwrap_or_default();
        let date = stem.get(..10).and_then(|day| day.parse().ok());
        let (name, id) = stem.rsplit_once('-').unwrap_or_default();
        let ride = id.parse().ok();
        let name = name.get(11..).filter(|_| date.is_some() && ride.is_some());
        let mut called = horses
            .iter()
            .filter(|(slug, _)| Some(slug.as_str()) == name)
            .map(|(_, horse)| *horse);
        // Two horses of one name cannot be told apart here.
        let horse = called.next().filter(|_| called.next().is_none());
        Self { date, horse, ride }
    }
}

/// The rides of a batch that are already whole.
pub(super) fn whole<'a>(
    rides: impl Iterator<Item = &'a Arc<Ride>>,
    journaled: &BTreeSet<RideId>,
) -> Vec<Arc<Ride>> {
    rides
        .filter(|ride| !journaled.contains(&ride.id))
        .cloned()
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_tells_what_it_can() {
        let horses = [("astra".to_owned(), 1), ("sir-t".to_owned(), 2)];
        let twice = [("bora".to_owned(), 3), ("bora".to_owned(), 4)];
        let horses: Vec<_> = horses
            .into_iter()
            .chain(twice)
            .map(|(name, id)| (name, HorseId::from_bits(id)))
            .collect();
        let read = |name: &str| {
            let RideName { date, horse, ride } = RideName::read(Path::new(name), &horses);
            let date = date.map(|date| date.to_string());
            (date, horse.map(HorseId::bits), ride.map(RideId::bits))
        };
        let day = Some("2026-03-01".to_owned());
        for (name, expected) in [
            (
                "rides/2026-03-01-astra-00000000000000ff.ron",
                (day.clone(), Some(1), Some(255)),
            ),
            (
                "2026-03-01-sir-t-00000000000000ff.ron",
                (day.clone(), Some(2), Some(255)),
            ),
            (
                "2026-03-01-bora-00000000000000ff.ron",
                (day.clone(), None, Some(255)),
            ),
            (
                "2026-03-01-00000000000000ff.ron",
                (day.clone(), None, Some(255)),
            ),
            ("2026-03-01-astra-copy.ron", (day, None, None)),
            (
                "2026-02-30-astra-00000000000000ff.ron",
                (None, None, Some(255)),
            ),
            ("ähnlich-ähnlich.ron", (None, None, None)),
            (".ron", (None, None, None)),
        ] {
            assert_eq!(read(name), expected, "{name}");
        }
    }
}
