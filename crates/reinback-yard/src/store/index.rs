//! The index of a yard: its rides as they were read, so that only files that have changed since
//! are read again.
//!
//! It lies in a folder of the user's, never in the yard, can be made anew at any time, and is
//! believed only where everything about it fits: a name, a version, a checksum over its table, one
//! for each ride, and for each file the [`Stamp`] that it has now. It is written whole or not at
//! all, once enough files have been read to make it worth while.
//!
//! ```text
//! MAGIC | ride | ride | ... | table | checksum of the table | length of the table
//! ```

use std::fs::{self, File};
use std::io::{self, BufWriter, Read as _, Write as _};
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use rayon::prelude::*;
use tempfile::NamedTempFile;

use super::Progress;
use super::stamp::Stamp;
use crate::edit;
use crate::file::FORMAT;
use crate::model::Ride;
use crate::packed::{self, Bytes, BytesOut};

#[cfg(test)]
mod tests;

const MAGIC: &[u8] = b"Reinback index\n";

/// Raised with every change to the table; what stands in the rides has a version of its own.
const VERSION: u64 = 2;

/// The program that has read the files: another one may read them otherwise.
const PROGRAM: &str = env!("CARGO_PKG_VERSION");

/// How the file ends while it is written.
const PART: &str = ".part";

/// A file that ends so and is older than the one being written was left by a program that was
/// stopped. Our own choice.
const LEFT_BEHIND: Duration = Duration::from_hours(24);

/// Bytes of a ride's checksum.
const SUM: usize = 16;

/// Bytes of the table's checksum.
const TABLE_SUM: usize = 32;

/// Rides that are packed before they are written.
const BATCH: usize = 256;

/// More than the table holds of one file besides its name.
const ROW: u64 = 512;

/// Where the index of a yard lies in a folder for such files: named after the yard's own folder.
#[must_use]
pub fn index_file(folder: &Path, yard: &Path) -> PathBuf {
    let name = blake3::hash(place(yard).as_bytes()).to_hex();
    folder.join(format!("{}.index", name.get(..32).unwrap_or(&name)))
}

/// The yard's folder as a text, the same however it is named.
fn place(yard: &Path) -> String {
    let yard = fs::canonicalize(yard).unwrap_or_else(|_| yard.to_owned());
    yard.to_string_lossy().into_owned()
}

/// How the index calls a file; `None` for names it cannot hold.
pub(super) fn name_in<'a>(yard: &Path, path: &'a Path) -> Option<&'a str> {
    path.strip_prefix(yard).ok()?.to_str()
}

/// An index that was found.
#[derive(Debug)]
pub(super) struct Index {
    bytes: Vec<u8>,
    /// By their names.
    rows: Vec<Row>,
}

#[derive(Debug)]
struct Row {
    name: String,
    stamp: Stamp,
    /// Of its ride in the bytes.
    start: usize,
    length: usize,
    sum: [u8; SUM],
}

impl Index {
    /// The index in a file, if it is one, of this yard and this version. `files` and `bytes` are
    /// how many ride files there are and how large they are together: no index of them is larger.
    pub(super) fn read(path: &Path, yard: &Path, files: usize, bytes: u64) -> Option<Self> {
        let most = bytes.saturating_add((files as u64 + 1).saturating_mul(ROW));
        let file = File::open(path).ok()?;
        let length = file.metadata().ok()?.len();
        if length > most {
            return None;
        }
        let mut bytes = Vec::with_capacity(usize::try_from(length).ok()?);
        file.take(most).read_to_end(&mut bytes).ok()?;
        let rows = rows(&bytes, &place(yard))?;
        Some(Self { bytes, rows })
    }

    /// The ride in a file, if that is still the file it was read from.
    pub(super) fn ride(&self, name: &str, stamp: &Stamp) -> Option<Ride> {
        let row = self
            .rows
            .binary_search_by(|row| row.name.as_str().cmp(name));
        let row = self.rows.get(row.ok()?).filter(|row| row.stamp == *stamp)?;
        let end = row.start.checked_add(row.length)?;
        let bytes = self.bytes.get(row.start..end)?;
        if checksum(bytes) != row.sum {
            return None;
        }
        // What the model forbids is not believed either, whoever has written it.
        let ride = edit::in_order(packed::unpack(bytes)?);
        edit::flaw_in_ride(&ride).is_none().then_some(ride)
    }
}

fn checksum(bytes: &[u8]) -> [u8; SUM] {
    let mut sum = [0; SUM];
    blake3::Hasher::new()
        .update(bytes)
        .finalize_xof()
        .fill(&mut sum);
    sum
}

fn rows(bytes: &[u8], place: &str) -> Option<Vec<Row>> {
    bytes.starts_with(MAGIC).then_some(())?;
    let (rest, length) = bytes.split_last_chunk()?;
    let length = usize::try_from(u64::from_le_bytes(*length)).ok()?;
    let (rest, sum) = rest.split_last_chunk::<TABLE_SUM>()?;
    let table = rest.get(rest.len().checked_sub(length)?..)?;
    if blake3::hash(table).as_bytes() != sum {
        return None;
    }
    let mut input = Bytes::new(table);
    let fits = input.number()? == VERSION
        && input.number()? == packed::VERSION
        && input.number()? == u64::from(FORMAT)
        && input.str()? == PROGRAM
        && input.str()? == place;
    fits.then_some(())?;
    let mut rows = Vec::new();
    let mut start = MAGIC.len();
    while !input.ended() {
        let (name, stamp) = (input.text()?, Stamp::unpack(&mut input)?);
        let length = input.small()?;
        let sum = input.raw(SUM)?.try_into().ok()?;
        rows.push(Row {
            name,
            stamp,
            start,
            length,
            sum,
        });
        start = start.checked_add(length)?;
    }
    rows.is_sorted_by(|a, b| a.name < b.name).then_some(rows)
}

/// An index that should be written, now that the yard has been read.
#[derive(Debug)]
pub struct IndexDraft {
    file: PathBuf,
    place: String,
    /// By their names.
    rides: Vec<Drafted>,
    /// How many of them were not in the old one.
    read: usize,
}

/// A ride as it was read, and what its file was then.
#[derive(Clone, Debug)]
pub(super) struct Drafted {
    pub(super) name: String,
    pub(super) stamp: Stamp,
    pub(super) ride: Arc<Ride>,
}

impl IndexDraft {
    pub(super) fn new(file: &Path, yard: &Path, mut rides: Vec<Drafted>, read: usize) -> Self {
        rides.sort_by(|a, b| a.name.cmp(&b.name));
        Self {
            file: file.to_owned(),
            place: place(yard),
            rides,
            read,
        }
    }

    /// How many of its files had to be read.
    #[must_use]
    pub fn read_again(&self) -> usize {
        self.read
    }

    /// Writes it; until that is done the old one stays. Waits for the disk, and is for a thread
    /// of its own. `Break` stops it, and then the old one stays as well. Of two windows that write,
    /// the last one's is kept.
    ///
    /// # Errors
    /// As the disk. The yard does not need its index.
    pub fn write(
        &self,
        tell: &mut (dyn FnMut(Progress) -> ControlFlow<()> + Send),
    ) -> io::Result<()> {
        let folder = self.file.parent().unwrap_or(Path::new(""));
        fs::create_dir_all(folder)?;
        let part = tempfile::Builder::new().suffix(PART).tempfile_in(folder)?;
        sweep(folder, &part);
        if self.write_to(part.as_file(), tell)? {
            part.persist(&self.file).map_err(|error| error.error)?;
        }
        Ok(())
    }

    /// Whether it was written to its end.
    fn write_to(
        &self,
        file: &File,
        tell: &mut (dyn FnMut(Progress) -> ControlFlow<()> + Send),
    ) -> io::Result<bool> {
        let mut out = BufWriter::new(file);
        out.write_all(MAGIC)?;
        let mut table = BytesOut::default();
        table.number(VERSION);
        table.number(packed::VERSION);
        table.number(FORMAT.into());
        table.text(PROGRAM);
        table.text(&self.place);
        let total = self.rides.len();
        for (batch, number) in self.rides.chunks(BATCH).zip(0..) {
            let done = number * BATCH;
            if tell(Progress { done, total }).is_break() {
                return Ok(false);
            }
            let packed: Vec<_> = batch
                .par_iter()
                .map(|drafted| {
                    let bytes = packed::pack(&drafted.ride);
                    (checksum(&bytes), bytes)
                })
                .collect();
            for (drafted, (sum, bytes)) in batch.iter().zip(packed) {
                table.text(&drafted.name);
                drafted.stamp.pack(&mut table);
                table.number(bytes.len() as u64);
                table.raw(&sum);
                out.write_all(&bytes)?;
            }
        }
        let table = table.into_bytes();
        out.write_all(&table)?;
        out.write_all(blake3::hash(&table).as_bytes())?;
        out.write_all(&(table.len() as u64).to_le_bytes())?;
        out.flush()?;
        Ok(true)
    }
}

/// Removes what programs that were stopped while they wrote have left in the folder.
fn sweep(folder: &Path, own: &NamedTempFile) {
    let written = |path: &Path| fs::metadata(path).and_then(|file| file.modified());
    let (Ok(now), Ok(files)) = (written(own.path()), fs::read_dir(folder)) else {
        return;
    };
    for path in files.filter_map(|file| Some(file.ok()?.path())) {
        let part = path.to_string_lossy().ends_with(PART);
        let age = written(&path).map(|then| now.duration_since(then).unwrap_or_default());
        if part && age.is_ok_and(|age| age > LEFT_BEHIND) {
            // One that stays takes room and does no harm.
            let _stays = fs::remove_file(&path);
        }
    }
}
