//! Everything in a yard's folder put together: the files, and the journal over them.

use std::collections::BTreeSet;
use std::ops::ControlFlow;
use std::path::Path;

use super::journal::{self, Replayed};
use super::reading::{Reading, Rules};
use super::scan::{self, Scanned};
use super::{News, StoreError};
use crate::FileKey;
use crate::file;
use crate::model::Yard;
use crate::problem::{Problem, Severity};

/// What a folder holds.
#[derive(Debug)]
pub(crate) struct Found {
    /// With what the journal held.
    pub(crate) yard: Yard,
    /// Its rides have been moved into the yard.
    pub(super) scanned: Scanned,
    /// Files that lack something the journal holds.
    pub(super) unsaved: BTreeSet<FileKey>,
    /// The journal's last line is not whole.
    pub(super) journal_torn: bool,
    /// The journal has lines that could not be used.
    pub(super) journal_kept: bool,
    /// The journal's format, if there is one.
    pub(super) journal_format: Option<u32>,
    /// Some file has a format this version does not know.
    pub(super) newer: bool,
}

impl Found {
    /// The file of a ride.
    pub(crate) fn ride_file(&self, ride: crate::RideId) -> Option<&Path> {
        self.scanned
            .files
            .get(&ride)
            .map(std::path::PathBuf::as_path)
    }
}

/// Whether there is a yard to read.
pub(super) fn expect_yard(dir: &Path) -> Result<(), StoreError> {
    let path = dir.to_owned();
    if !dir.is_dir() {
        Err(StoreError::NotFound { path })
    } else if dir.join(scan::YARD_FILE).is_file() {
        Ok(())
    } else {
        Err(StoreError::NotAYard { path })
    }
}

/// Reads a yard's folder, with the help of its index if it has one, and changes nothing.
pub(crate) fn read(
    dir: &Path,
    index: Option<&Path>,
    problems: &mut Vec<Problem>,
    tell: &mut dyn FnMut(News) -> ControlFlow<()>,
) -> Result<Found, StoreError> {
    expect_yard(dir)?;
    let (mut yard, format) = scan::read_yard_file(&dir.join(scan::YARD_FILE))?;
    let mut reading = Reading {
        dir,
        index,
        // Only for what is told on the way; what counts is read when the files have been.
        journaled: scan::read_journal(dir).map_or_else(|_| BTreeSet::new(), |j| j.rides()),
        rules: Rules::default(),
        tell,
    };
    let mut scanned = reading.rides(&yard, problems)?;
    let journal = scan::read_journal(dir)?;
    problems.extend(newer_notes(dir, format, journal.newer));
    let newer = format > file::FORMAT || scanned.newer || journal.newer.is_some();

    yard.rides = std::mem::take(&mut scanned.rides);
    let (torn, damaged) = (journal.torn, journal.damaged.clone());
    let journal_format = journal.format;
    let replayed = journal::replay(journal, &mut yard);
    problems.extend(journal_problems(dir, torn, &damaged, &replayed));
    problems.extend(scan::strangers(&yard, &scanned.files));
    Ok(Found {
        yard,
        scanned,
        journal_torn: torn,
        journal_format,
        journal_kept: !damaged.is_empty() || !replayed.refused.is_empty(),
        unsaved: replayed.files,
        newer,
    })
}

/// Reads a yard without opening it: takes no lock, writes nothing, and so can be used beside an
/// open window. What that window has not yet written to its journal is not seen.
///
/// # Errors
/// As [`super::Store::open`].
pub fn look(dir: &Path) -> Result<(Yard, Vec<Problem>), StoreError> {
    look_with(dir, None)
}

/// The like, with the help of the yard's index (see [`super::index_file`]) if there is one.
///
/// # Errors
/// As [`super::Store::open`].
pub fn look_with(dir: &Path, index: Option<&Path>) -> Result<(Yard, Vec<Problem>), StoreError> {
    let mut problems = Vec::new();
    let found = read(
        dir,
        index,
        &mut problems,
        &mut |_| ControlFlow::Continue(()),
    )?;
    Ok((found.yard, problems))
}

fn newer_notes(dir: &Path, yard: u32, journal: Option<u32>) -> Vec<Problem> {
    let note = |name: &str, format: u32| Problem {
        file: dir.join(name),
        line: Some(1),
        severity: Severity::Warning,
        message: format!(
            "This was written by a newer Reinback (format {format}; this one knows {}). The yard \
             is open for looking only; update Reinback to change it.",
            file::FORMAT
        ),
    };
    let yard = (yard > file::FORMAT).then(|| note(scan::YARD_FILE, yard));
    yard.into_iter()
        .chain(journal.map(|format| note(journal::NAME, format)))
        .collect()
}

fn journal_problems(dir: &Path, torn: bool, damaged: &[u32], replayed: &Replayed) -> Vec<Problem> {
    let path = dir.join(journal::NAME);
    let at = |line: Option<u32>, severity, message: String| Problem {
        file: path.clone(),
        line,
        severity,
        message,
    };
    let mut problems = Vec::new();
    if !replayed.files.is_empty() {
        let message = "Reinback was closed without saving; what had been marked was brought back.";
        problems.push(at(None, Severity::Note, message.into()));
    }
    if torn {
        let message = "The last change was being written when Reinback stopped, and is not there.";
        problems.push(at(None, Severity::Note, message.into()));
    }
    for line in damaged {
        let message = "A change kept here has been damaged and was passed over; after the next \
                       save this file stands in the folder “removed”.";
        problems.push(at(Some(*line), Severity::Error, message.into()));
    }
    for (line, error) in &replayed.refused {
        let message = format!(
            "A change kept here could not be made again: {error}. After the next save this file \
             stands in the folder “removed”."
        );
        problems.push(at(Some(*line), Severity::Warning, message));
    }
    problems
}
