//! Reading the ride files: on every core, the newest first, and from the index where a file has
//! not changed since.
//!
//! **Invariant:** what comes of it is the same whatever the number of cores, and with or without
//! an index.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::io;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

use rayon::prelude::*;

use super::index::{self, Drafted, Index, IndexDraft};
use super::news::{self, Listed};
use super::scan::{self, Scanned};
use super::stamp::Stamp;
use super::{News, Progress, StoreError};
use crate::file::{self, Read, TextError};
use crate::id::RideId;
use crate::model::{Ride, Yard};
use crate::problem::Problem;

/// Files read before the first rides are told: a screenful, for the eye that waits.
const FIRST_BATCH: usize = 32;

/// Files read between one report and the next.
const BATCH: usize = 256;

/// A ride file that has been looked at.
struct Looked {
    read: Result<Read<Arc<Ride>>, TextError>,
    /// What the file was when it was read; `None` if a change could go unseen.
    stamp: Option<Stamp>,
    /// Whether the index had it.
    indexed: bool,
}

/// When the index is believed and written.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rules {
    /// The time of day.
    pub(super) now: fn() -> SystemTime,
    /// How many files must have been read again for the index to be written again.
    pub(super) worth_writing: usize,
}

impl Default for Rules {
    /// Fewer files take less time to read than the whole index to write. Our own choice.
    #[expect(
        clippy::disallowed_methods,
        reason = "dates of files are set beside the system's clock; tests give another"
    )]
    fn default() -> Self {
        Self {
            now: SystemTime::now,
            worth_writing: 64,
        }
    }
}

/// What is read, and who is told.
pub(super) struct Reading<'a> {
    /// The yard's folder.
    pub(super) dir: &'a Path,
    /// Where its index is, if anywhere.
    pub(super) index: Option<&'a Path>,
    /// Rides that the journal has changes for.
    pub(super) journaled: BTreeSet<RideId>,
    pub(super) rules: Rules,
    pub(super) tell: &'a mut dyn FnMut(News) -> ControlFlow<()>,
}

impl Reading<'_> {
    /// Reads every ride file below `rides/`.
    pub(super) fn rides(
        &mut self,
        yard: &Yard,
        problems: &mut Vec<Problem>,
    ) -> Result<Scanned, StoreError> {
        let mut scanned = Scanned::default();
        let mut paths = scan::find(self.dir, &mut scanned.leftovers, problems);
        paths.sort_by(|a, b| b.file_name().cmp(&a.file_name()).then(a.cmp(b)));
        self.say(News::Listed(Box::new(Listed::new(yard, &paths))))?;
        let looked = self.look_at(&paths)?;
        let mut looked: Vec<(PathBuf, Looked)> = paths.into_iter().zip(looked).collect();
        looked.sort_by(|(a, _), (b, _)| a.cmp(b));
        scanned.draft = self.draft(&looked);
        take_in(&mut scanned, looked, problems);
        Ok(scanned)
    }

    fn say(&mut self, news: News) -> Result<(), StoreError> {
        let path = self.dir.to_owned();
        let flow = (self.tell)(news);
        flow.is_continue()
            .then_some(())
            .ok_or(StoreError::Cancelled { path })
    }

    /// Reads each of the files, in their order.
    fn look_at(&mut self, paths: &[PathBuf]) -> Result<Vec<Looked>, StoreError> {
        let index = self.find_index(paths);
        let (dir, now) = (self.dir, self.rules.now);
        let total = paths.len();
        let mut looked: Vec<Looked> = Vec::with_capacity(total);
        self.say(progress(0, total))?;
        while let Some(left) = paths.get(looked.len()..).filter(|left| !left.is_empty()) {
            let many = if looked.is_empty() {
                FIRST_BATCH
            } else {
                BATCH
            };
            let batch = left.get(..many).unwrap_or(left);
            let more: Vec<Looked> = batch
                .par_iter()
                .map(|path| Looked::at(dir, path, index.as_ref(), now))
                .collect();
            let rides = more
                .iter()
                .filter_map(|looked| Some(&looked.read.as_ref().ok()?.value));
            let rides = news::whole(rides, &self.journaled);
            looked.extend(more);
            let done = looked.len();
            let told = self.say(News::Rides {
                rides,
                progress: Progress { done, total },
            });
            // The last report is not a question: everything has been read.
            if done < total {
                told?;
            }
        }
        Ok(looked)
    }

    fn find_index(&self, paths: &[PathBuf]) -> Option<Index> {
        let sizes = paths
            .par_iter()
            .map(|path| fs::metadata(path).map_or(0, |file| file.len()));
        Index::read(self.index?, self.dir, paths.len(), sizes.sum())
    }

    /// The index that should be written of what was read.
    fn draft(&self, looked: &[(PathBuf, Looked)]) -> Option<IndexDraft> {
        let mut read_again = 0;
        let drafted = looked.iter().filter_map(|(path, looked)| {
            let read = looked.read.as_ref().ok()?;
            if read.format > file::FORMAT {
                return None;
            }
            let drafted = Drafted {
                name: index::name_in(self.dir, path)?.to_owned(),
                stamp: looked.stamp?,
                ride: read.value.clone(),
            };
            read_again += usize::from(!looked.indexed);
            Some(drafted)
        });
        let drafted = drafted.collect();
        (read_again >= self.rules.worth_writing)
            .then(|| Some(IndexDraft::new(self.index?, self.dir, drafted, read_again)))?
    }
}

fn progress(done: usize, total: usize) -> News {
    News::Rides {
        rides: Vec::new(),
        progress: Progress { done, total },
    }
}

impl Looked {
    fn at(dir: &Path, path: &Path, index: Option<&Index>, now: fn() -> SystemTime) -> Self {
        Self::indexed(dir, path, index).unwrap_or_else(|| Self::afresh(path, now()))
    }

    fn indexed(dir: &Path, path: &Path, index: Option<&Index>) -> Option<Self> {
        let (index, name) = (index?, index::name_in(dir, path)?);
        let stamp = Stamp::of(&fs::metadata(path).ok()?)?;
        let value = Arc::new(index.ride(name, &stamp)?);
        // Only files of formats this version knows are in the index.
        let format = file::FORMAT;
        Some(Self {
            read: Ok(Read { value, format }),
            stamp: Some(stamp),
            indexed: true,
        })
    }

    fn afresh(path: &Path, now: SystemTime) -> Self {
        let (read, stamp) = match bytes_and_stamp(path, now) {
            Ok((bytes, stamp)) => (file::read_ride(&bytes), stamp),
            Err(error) => {
                let error = TextError {
                    line: None,
                    column: None,
                    message: error.to_string(),
                    newer: None,
                };
                (Err(error), None)
            }
        };
        let read = read.map(|Read { value, format }| Read {
            value: Arc::new(value),
            format,
        });
        Self {
            read,
            stamp,
            indexed: false,
        }
    }
}

/// A file's bytes, and its stamp if it was the same before and after they were read.
fn bytes_and_stamp(path: &Path, now: SystemTime) -> io::Result<(Vec<u8>, Option<Stamp>)> {
    let file = File::open(path)?;
    let before = Stamp::of(&file.metadata()?);
    let bytes = scan::read_open(&file)?;
    let after = Stamp::of(&file.metadata()?);
    let stamp = before.filter(|before| Some(*before) == after);
    let whole = |stamp: &Stamp| stamp.size() == bytes.len() as u64 && stamp.is_settled(now);
    let stamp = stamp.filter(whole);
    Ok((bytes, stamp))
}

/// Puts the rides together, the best copy of each, with what is to be said of the files.
fn take_in(scanned: &mut Scanned, looked: Vec<(PathBuf, Looked)>, problems: &mut Vec<Problem>) {
    let mut copies: BTreeMap<RideId, Vec<(PathBuf, Arc<Ride>)>> = BTreeMap::new();
    for (path, looked) in looked {
        match looked.read {
            Ok(Read { value, format }) => {
                if format > file::FORMAT {
                    scanned.newer = true;
                    problems.push(scan::newer(&path, format));
                }
                copies.entry(value.id).or_default().push((path, value));
            }
            Err(error) => {
                scanned.newer |= error.newer.is_some();
                problems.push(scan::unreadable(&path, &error));
            }
        }
    }
    for (id, mut copies) in copies {
        copies.sort_by_cached_key(|(path, ride)| scan::rank(path, ride));
        let mut copies = copies.into_iter();
        let Some((path, ride)) = copies.next() else {
            continue;
        };
        problems.extend(copies.map(|(copy, other)| scan::conflict(&path, &copy, ride == other)));
        scanned.rides.insert(id, ride);
        scanned.files.insert(id, path);
    }
}
