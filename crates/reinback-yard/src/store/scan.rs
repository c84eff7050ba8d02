//! Finding and reading what lies in a yard's folder.

use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsStr;
use std::fs::{self, File};
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::disk::is_leftover;
use super::journal::{self, Journal};
use super::{IndexDraft, StoreError};
use crate::file::{self, MAX_FILE_BYTES, TextError};
use crate::id::RideId;
use crate::model::{Ride, Yard};
use crate::problem::{Problem, Severity};

/// The file that makes a folder a yard.
pub(crate) const YARD_FILE: &str = "yard.ron";
const RIDES: &str = "rides";
pub(super) const REMOVED: &str = "removed";

/// The ride files of a yard.
#[derive(Debug, Default)]
pub(super) struct Scanned {
    pub(super) rides: BTreeMap<RideId, Arc<Ride>>,
    pub(super) files: BTreeMap<RideId, PathBuf>,
    /// Files on their way when the program stopped.
    pub(super) leftovers: Vec<PathBuf>,
    /// At least one file has a format this version does not know.
    pub(super) newer: bool,
    /// The index that should be written of it.
    pub(super) draft: Option<IndexDraft>,
}

/// Reads a file that is not larger than anything we write.
pub(crate) fn read_capped(path: &Path) -> io::Result<Vec<u8>> {
    read_open(&File::open(path)?)
}

/// The like, of a file that is open at its beginning.
pub(super) fn read_open(file: &File) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    file.take(MAX_FILE_BYTES + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > MAX_FILE_BYTES {
        let message = format!("it is larger than {} MiB", MAX_FILE_BYTES / 1024 / 1024);
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, message));
    }
    Ok(bytes)
}

pub(super) fn read_yard_file(path: &Path) -> Result<(Yard, u32), StoreError> {
    let bytes = read_capped(path).map_err(|error| StoreError::from_io(path, &error))?;
    let read = file::read_yard(&bytes).map_err(|error| StoreError::from_text(path, error))?;
    Ok((read.value, read.format))
}

pub(super) fn read_journal(dir: &Path) -> Result<Journal, StoreError> {
    let path = dir.join(journal::NAME);
    match read_capped(&path) {
        Ok(bytes) => Ok(journal::read(&bytes)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Journal::default()),
        Err(error) => Err(StoreError::from_io(&path, &error)),
    }
}

/// The ride files, in the order of their paths.
pub(super) fn find(
    dir: &Path,
    leftovers: &mut Vec<PathBuf>,
    problems: &mut Vec<Problem>,
) -> Vec<PathBuf> {
    let mut found = BTreeSet::new();
    let rides = dir.join(RIDES);
    let years = list(&rides, problems)
        .into_iter()
        .filter(|path| path.is_dir())
        .collect::<Vec<_>>();
    for folder in years.iter().chain([&rides]) {
        for path in list(folder, problems) {
            let name = path.file_name().and_then(OsStr::to_str).unwrap_or_default();
            if is_leftover(name) {
                leftovers.push(path);
            } else if !name.starts_with('.')
                && path.extension() == Some(OsStr::new("ron"))
                && path.is_file()
            {
                found.insert(path);
            }
        }
    }
    leftovers.extend(list(dir, problems).into_iter().filter(|path| {
        path.file_name()
            .and_then(OsStr::to_str)
            .is_some_and(is_leftover)
    }));
    found.into_iter().collect()
}

fn list(dir: &Path, problems: &mut Vec<Problem>) -> Vec<PathBuf> {
    let entries = fs::read_dir(dir).and_then(|entries| {
        entries
            .map(|entry| entry.map(|entry| entry.path()))
            .collect::<io::Result<Vec<_>>>()
    });
    match entries {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => Vec::new(),
        Err(error) => {
            problems.push(Problem {
                file: dir.to_owned(),
                line: None,
                severity: Severity::Error,
                message: format!(
                    "This folder cannot be read: {error}. The rides in it are not shown."
                ),
            });
            Vec::new()
        }
    }
}

/// The best copy of a ride sorts first: the one whose name is the ride's own.
pub(super) fn rank(path: &Path, ride: &Ride) -> (bool, bool, PathBuf) {
    let stem = path.file_stem().and_then(OsStr::to_str).unwrap_or_default();
    let id = ride.id.to_string();
    (
        !stem.ends_with(&id),
        !names_day(path, ride),
        path.to_owned(),
    )
}

/// Whether a ride's file still stands under the ride's day.
pub(super) fn names_day(path: &Path, ride: &Ride) -> bool {
    let name = path.file_name().and_then(OsStr::to_str).unwrap_or_default();
    name.starts_with(&day(ride))
}

fn day(ride: &Ride) -> String {
    ride.head.date.format("%Y-%m-%d").to_string()
}

/// `rides/<year>/<date>-<horse>-<id>.ron`.
pub(super) fn canonical_path(dir: &Path, yard: &Yard, ride: &Ride) -> PathBuf {
    let horse = yard
        .horse(ride.head.horse)
        .map_or(String::new(), |horse| slug(&horse.name));
    let horse = if horse.is_empty() {
        "horse".to_owned()
    } else {
        horse
    };
    let year = ride.head.date.format("%Y").to_string();
    dir.join(RIDES)
        .join(year)
        .join(format!("{}-{horse}-{}.ron", day(ride), ride.id))
}

/// A name with only the letters every file system keeps apart.
pub(super) fn slug(name: &str) -> String {
    let mut slug = String::new();
    for c in name.chars().flat_map(char::to_lowercase).take(60) {
        if c.is_ascii_alphanumeric() {
            slug.push(c);
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    slug.trim_end_matches('-').to_owned()
}

/// This path, or the first with a number behind it that is not taken.
pub(super) fn free_path(path: &Path) -> PathBuf {
    let stem = path.file_stem().and_then(OsStr::to_str).unwrap_or_default();
    let ending = path.extension().and_then(OsStr::to_str).unwrap_or("ron");
    let numbered = |number: u32| path.with_file_name(format!("{stem}-{number}.{ending}"));
    let mut free = path.to_owned();
    let mut number = 2;
    while free.exists() {
        free = numbered(number);
        number += 1;
    }
    free
}

/// Rides of horses that are not in `yard.ron`.
pub(super) fn strangers(yard: &Yard, files: &BTreeMap<RideId, PathBuf>) -> Vec<Problem> {
    let known: BTreeSet<_> = yard.horses.iter().map(|horse| horse.id).collect();
    let strange = yard
        .rides
        .values()
        .filter(|ride| !known.contains(&ride.head.horse));
    strange
        .filter_map(|ride| {
            Some(Problem {
                file: files.get(&ride.id)?.clone(),
                line: None,
                severity: Severity::Warning,
                message: format!(
                    "The horse of this ride ({}) is not in yard.ron. Choose a horse for it.",
                    ride.head.horse
                ),
            })
        })
        .collect()
}

pub(super) fn unreadable(path: &Path, error: &TextError) -> Problem {
    let next = if error.newer.is_some() {
        "Update Reinback to see this ride. The yard is open for looking only."
    } else {
        "Put the file back from your backup, or mend the line in a text editor."
    };
    let column = error
        .column
        .map_or(String::new(), |column| format!(" (column {column})"));
    Problem {
        file: path.to_owned(),
        line: error.line,
        severity: Severity::Error,
        message: format!(
            "This ride cannot be read{column}: {error}. It is not shown, and its file is left as it \
             is. {next}"
        ),
    }
}

pub(super) fn newer(path: &Path, format: u32) -> Problem {
    Problem {
        file: path.to_owned(),
        line: Some(1),
        severity: Severity::Warning,
        message: format!(
            "This ride was written by a newer Reinback (format {format}; this one knows {}). The yard \
             is open for looking only; update Reinback to change it.",
            file::FORMAT
        ),
    }
}

pub(super) fn conflict(kept: &Path, copy: &Path, same: bool) -> Problem {
    let (message, severity) = if same {
        ("It holds the same; one of the two can go.", Severity::Note)
    } else {
        (
            "The two differ. Compare them, and move away the one you do not want; neither is \
             changed or removed here.",
            Severity::Warning,
        )
    };
    Problem {
        file: copy.to_owned(),
        line: None,
        severity,
        message: format!(
            "This is a second copy of the ride in “{}”, as a sync tool makes when both sides have \
             changed. The ride was opened from there. {message}",
            kept.display()
        ),
    }
}
