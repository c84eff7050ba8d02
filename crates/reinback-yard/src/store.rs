//! A yard's folder: opening it, keeping it, and losing nothing on the way.
//!
//! **Invariant:** a file is replaced whole or not at all, and one that could not be read is
//! never written to. **Invariant:** after [`Store::journal`] or [`Store::save`] has returned
//! `Ok`, what it was given is there after a crash or a power cut.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::fs::File;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use crate::FileKey;
use crate::edit::Edit;
use crate::file::{self, MAX_FILE_BYTES};
use crate::id::RideId;
use crate::model::{Ride, Yard};
use crate::problem::Problem;

mod disk;
mod error;
#[cfg(test)]
mod faulty;
mod films;
mod found;
mod index;
mod journal;
mod lock;
mod news;
mod reading;
mod scan;
mod stamp;
#[cfg(test)]
mod tests;

pub use disk::replace_file;
pub use error::StoreError;
pub use films::{film_path_in, film_text_in};
pub(crate) use found::{Found, read as read_folder};
pub use found::{look, look_with};
pub use index::{IndexDraft, index_file};
pub use news::{Listed, News, Progress, RideName};
pub(crate) use scan::{YARD_FILE, read_capped};

use disk::{Disk, RealDisk, replace};

/// A yard's folder that is open. Holds the lock while it lives.
#[derive(Debug)]
pub struct Store {
    dir: PathBuf,
    disk: Box<dyn Disk>,
    access: Access,
    /// Locked while it is open.
    _lock: Option<File>,
    /// Where each ride's file lies.
    files: BTreeMap<RideId, PathBuf>,
    /// Files with changes that only the journal holds.
    journaled: BTreeSet<FileKey>,
    /// The journal's last line is not whole.
    journal_torn: bool,
    /// The journal has lines that could not be used; it is kept when it is done with.
    journal_kept: bool,
    /// The format the journal's first line says, if there is one.
    journal_format: Option<u32>,
    /// The largest file that is written, in bytes: what is read again.
    most: u64,
}

/// A yard as it was found.
#[derive(Debug)]
pub struct Opened {
    /// Keeps it.
    pub store: Store,
    /// Everything that could be read, with what the journal held.
    pub yard: Yard,
    /// What could not be read, and what should be looked at.
    pub problems: Vec<Problem>,
    /// Whether changes can be kept.
    pub access: Access,
    /// Files that differ from `yard` because the journal held more; to be saved soon, for
    /// instance with [`crate::Document::mark_unsaved`]. Empty when the last session ended well.
    pub unsaved: BTreeSet<FileKey>,
    /// The index that should be written now, if there is a place for it.
    pub index: Option<IndexDraft>,
}

/// Whether changes to a yard can be kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// They can.
    Write,
    /// The yard can only be looked at.
    ReadOnly(Why),
}

/// Why a yard can only be looked at. Displays as a clause.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Another window of this program has it.
    Locked,
    /// A file of it has a format this version does not know.
    NewerFormat,
    /// The system does not let us write there.
    NoPermission,
}

impl Why {
    /// What the rider can do about it.
    #[must_use]
    pub const fn next_step(self) -> &'static str {
        match self {
            Self::Locked => "Close the other window, then open the yard again.",
            Self::NewerFormat => "Update Reinback on this computer, then open the yard again.",
            Self::NoPermission => {
                "Allow yourself to write to this folder, or copy the yard to one of your own."
            }
        }
    }
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Locked => "it is open in another window",
            Self::NewerFormat => "part of it was written by a newer Reinback",
            Self::NoPermission => "its folder may not be written to",
        })
    }
}

impl Store {
    /// Opens the yard in a folder.
    ///
    /// # Errors
    /// [`StoreError`] when there is no yard or its `yard.ron` cannot be read. A ride that
    /// cannot be read is a [`Problem`] instead, and the others open.
    pub fn open(dir: &Path) -> Result<Opened, StoreError> {
        Self::open_with(dir, None, &mut |_| ControlFlow::Continue(()))
    }

    /// Opens the yard in a folder, with the help of its index (see [`index_file`]), telling what
    /// is known before all of it is; `Break` stops it.
    ///
    /// # Errors
    /// As [`Store::open`], and [`StoreError::Cancelled`].
    pub fn open_with(
        dir: &Path,
        index: Option<&Path>,
        tell: &mut dyn FnMut(News) -> ControlFlow<()>,
    ) -> Result<Opened, StoreError> {
        Self::open_on(Box::new(RealDisk), dir, index, tell)
    }

    /// Makes a new yard in a folder, which is made as well if it is not there.
    ///
    /// # Errors
    /// [`StoreError::AlreadyAYard`], or whatever keeps the folder from being written to.
    pub fn create(dir: &Path, name: &str) -> Result<Opened, StoreError> {
        Self::create_on(Box::new(RealDisk), dir, name)
    }

    fn create_on(disk: Box<dyn Disk>, dir: &Path, name: &str) -> Result<Opened, StoreError> {
        disk.create_dir(dir)
            .map_err(|error| StoreError::from_io(dir, &error))?;
        let path = dir.join(YARD_FILE);
        if path.exists() {
            return Err(StoreError::AlreadyAYard {
                path: dir.to_owned(),
            });
        }
        let yard = Yard {
            name: name.to_owned(),
            ..Yard::default()
        };
        let text = checked(&path, file::write_yard(&yard), MAX_FILE_BYTES)?;
        write_text(&*disk, &path, &text)?;
        Self::open_on(disk, dir, None, &mut |_| ControlFlow::Continue(()))
    }

    fn open_on(
        disk: Box<dyn Disk>,
        dir: &Path,
        index: Option<&Path>,
        tell: &mut dyn FnMut(News) -> ControlFlow<()>,
    ) -> Result<Opened, StoreError> {
        let mut problems = Vec::new();
        found::expect_yard(dir)?;
        // Before reading, so that nobody writes in between.
        let (mut access, mut lock) = lock::acquire(&*disk, dir, &mut problems)?;
        let found = found::read(dir, index, &mut problems, tell)?;
        if found.newer && access == Access::Write {
            (access, lock) = (Access::ReadOnly(Why::NewerFormat), None);
        }
        if access == Access::Write {
            for leftover in &found.scanned.leftovers {
                // Left by a crash while writing; one that stays does no harm.
                let _stays = disk.remove(leftover);
            }
        }
        let store = Self {
            dir: dir.to_owned(),
            disk,
            access,
            _lock: lock,
            files: found.scanned.files,
            journaled: found.unsaved.clone(),
            journal_torn: found.journal_torn,
            journal_kept: found.journal_kept,
            journal_format: found.journal_format,
            most: MAX_FILE_BYTES,
        };
        Ok(Opened {
            store,
            yard: found.yard,
            problems,
            access,
            unsaved: found.unsaved,
            index: found.scanned.draft,
        })
    }

    /// The yard's folder.
    #[must_use]
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// Whether changes can be kept.
    #[must_use]
    pub fn access(&self) -> Access {
        self.access
    }

    /// Where a ride's file lies, once it has one.
    #[must_use]
    pub fn ride_file(&self, ride: RideId) -> Option<&Path> {
        self.files.get(&ride).map(PathBuf::as_path)
    }

    /// Writes these files of the yard. A ride that is no longer in the yard has its file moved
    /// to `removed/`. Once no file lacks anything the journal holds, the journal is cleared.
    ///
    /// The yard must hold every edit that was given to [`Store::journal`] before.
    ///
    /// # Errors
    /// [`StoreError`]; each file is then either as it was or as it should be, the journal still
    /// holds what is not in them, and the same call can be made again.
    pub fn save(&mut self, yard: &Yard, files: &BTreeSet<FileKey>) -> Result<(), StoreError> {
        self.writable()?;
        let of_ride = |key: &FileKey| match key {
            FileKey::Ride(id) => Some(*id),
            FileKey::Yard => None,
        };
        let (kept, gone): (Vec<_>, Vec<_>) = files
            .iter()
            .filter_map(of_ride)
            .partition(|id| yard.rides.contains_key(id));
        // Every text before any file: what could not be read again replaces nothing.
        let yard_path = self.dir.join(YARD_FILE);
        let yard_text = files
            .contains(&FileKey::Yard)
            .then(|| checked(&yard_path, file::write_yard(yard), self.most))
            .transpose()?;
        let mut rides = Vec::with_capacity(kept.len());
        for ride in kept.into_iter().filter_map(|id| yard.ride(id)) {
            let own = self.files.get(&ride.id).cloned();
            let path = own.unwrap_or_else(|| scan::canonical_path(&self.dir, yard, ride));
            rides.push((ride, checked(&path, file::write_ride(ride), self.most)?));
        }
        // Rides go before their horse does, and come after it.
        for id in gone {
            self.move_away(id)?;
        }
        if let Some(text) = yard_text {
            write_text(&*self.disk, &yard_path, &text)?;
        }
        for (ride, text) in rides {
            let path = self.place(yard, ride)?;
            self.keep_older(&path, &text)?;
            write_text(&*self.disk, &path, &text)?;
        }
        self.note_saved(files)
    }

    /// Adds a change to the journal, so that it outlasts a crash before the next save.
    ///
    /// # Errors
    /// [`StoreError`]; the journal then holds what it held before.
    pub fn journal(&mut self, edit: &Edit) -> Result<(), StoreError> {
        self.writable()?;
        let entry = file::write_change(edit);
        let room = self
            .most
            .saturating_sub(file::JOURNAL_ROOM.min(self.most / 2));
        self.append(entry, room)?;
        self.journaled.extend(edit.files());
        Ok(())
    }

    /// Keeps the text of a file that is about to pass to a newer format, beside it.
    fn keep_older(&self, path: &Path, new: &str) -> Result<(), StoreError> {
        let format = file::format_of(new);
        if format.is_none_or(|format| format <= 1) || !path.exists() {
            return Ok(());
        }
        let old = read_capped(path).map_err(|error| StoreError::from_io(path, &error))?;
        let older = std::str::from_utf8(&old).ok().and_then(file::format_of);
        let Some(older) = older.filter(|older| Some(*older) < format) else {
            return Ok(());
        };
        let mut name = path.file_name().unwrap_or_default().to_owned();
        name.push(format!(".format-{older}.bak"));
        let kept = path.with_file_name(name);
        replace(&*self.disk, &kept, &old).map_err(|error| StoreError::from_io(&kept, &error))
    }

    fn writable(&self) -> Result<(), StoreError> {
        match self.access {
            Access::Write => Ok(()),
            Access::ReadOnly(Why::Locked) => Err(StoreError::Locked {
                path: self.dir.clone(),
            }),
            Access::ReadOnly(why) => Err(StoreError::ReadOnly {
                path: self.dir.clone(),
                why,
            }),
        }
    }

    /// Where a ride's file belongs; one whose day has changed is moved there first. The place
    /// is kept from now on, whatever becomes of the writing: it is this ride's own.
    fn place(&mut self, yard: &Yard, ride: &Ride) -> Result<PathBuf, StoreError> {
        let present = self.files.get(&ride.id).cloned();
        if let Some(path) = &present
            && scan::names_day(path, ride)
        {
            return Ok(path.clone());
        }
        let path = scan::free_path(&scan::canonical_path(&self.dir, yard, ride));
        let moved = match present.filter(|present| present.exists()) {
            Some(present) => self.rename(&present, &path),
            None => Ok(()),
        };
        // A move can fail after the file has its new name.
        if moved.is_ok() || path.exists() {
            self.files.insert(ride.id, path.clone());
        }
        moved.map(|()| path)
    }

    fn move_away(&mut self, id: RideId) -> Result<(), StoreError> {
        let Some(path) = self.files.get(&id).cloned() else {
            return Ok(());
        };
        if path.exists() {
            let name = path.file_name().unwrap_or_default();
            let target = scan::free_path(&self.dir.join(scan::REMOVED).join(name));
            self.rename(&path, &target)?;
        }
        self.files.remove(&id);
        Ok(())
    }

    fn rename(&self, from: &Path, to: &Path) -> Result<(), StoreError> {
        let dir = |path: &Path| path.parent().unwrap_or(&self.dir).to_owned();
        self.disk
            .create_dir(&dir(to))
            .and_then(|()| self.disk.rename(from, to))
            .and_then(|()| self.disk.sync_dir(&dir(to)))
            .and_then(|()| self.disk.sync_dir(&dir(from)))
            .map_err(|error| StoreError::from_io(from, &error))
    }

    fn note_saved(&mut self, files: &BTreeSet<FileKey>) -> Result<(), StoreError> {
        let left: BTreeSet<_> = self.journaled.difference(files).copied().collect();
        if left.is_empty() {
            self.clear_journal()?;
        } else if left.len() < self.journaled.len() {
            // A change that never reached the journal must not be undone by an older one in it.
            self.append(file::write_saved(files.iter().copied()), self.most)?;
        }
        self.journaled = left;
        Ok(())
    }

    fn clear_journal(&mut self) -> Result<(), StoreError> {
        let path = self.dir.join(journal::NAME);
        if path.exists() {
            if self.journal_kept {
                let target = scan::free_path(&self.dir.join(scan::REMOVED).join(journal::NAME));
                self.rename(&path, &target)?;
            } else {
                self.disk
                    .remove(&path)
                    .and_then(|()| self.disk.sync_dir(&self.dir))
                    .map_err(|error| StoreError::from_io(&path, &error))?;
            }
        }
        (self.journal_kept, self.journal_torn) = (false, false);
        self.journal_format = None;
        Ok(())
    }

    /// Adds a line to the journal, which may grow to `most` bytes with it.
    fn append(
        &mut self,
        entry: Result<file::Line, ron::Error>,
        most: u64,
    ) -> Result<(), StoreError> {
        let path = self.dir.join(journal::NAME);
        let entry = entry.map_err(|error| unwritable(&path, &error))?;
        let len = std::fs::metadata(&path).map_or(0, |metadata| metadata.len());
        // With its checksum, its ends and the journal's first line.
        let length = entry.text.len() as u64 + 64;
        if len.saturating_add(length) > most {
            return Err(StoreError::TooLarge { path });
        }
        self.raise_journal(&path, entry.format)?;
        let len = std::fs::metadata(&path).map_or(0, |metadata| metadata.len());
        let start = match (len, self.journal_torn) {
            (0, _) => journal::header(entry.format),
            (_, true) => "\n".to_owned(),
            (_, false) => String::new(),
        };
        let text = start + &journal::line(&entry.text);
        let appended = self.disk.append(&path, text.as_bytes());
        let lasting = match &appended {
            Ok(()) if len == 0 => self.disk.sync_dir(&self.dir),
            _ => appended,
        };
        if let Err(error) = lasting {
            // What got there of the line must not spoil the next one.
            let stays = self.disk.truncate(&path, len).is_err();
            self.journal_torn |= stays;
            if stays && len == 0 {
                // A first line that stays says what may stand below it.
                self.journal_format = Some(entry.format);
            }
            return Err(StoreError::from_io(&path, &error));
        }
        self.journal_torn = false;
        if len == 0 {
            self.journal_format = Some(entry.format);
        }
        Ok(())
    }

    /// Makes the journal's first line say a format that can hold the next line.
    fn raise_journal(&mut self, path: &Path, format: u32) -> Result<(), StoreError> {
        if self.journal_format.is_none_or(|own| own >= format) {
            return Ok(());
        }
        let failed = |error: &std::io::Error| StoreError::from_io(path, error);
        let bytes = std::fs::read(path).map_err(|error| failed(&error))?;
        let raised = journal::with_header(&bytes, format);
        replace(&*self.disk, path, &raised).map_err(|error| failed(&error))?;
        self.journal_format = Some(format);
        Ok(())
    }
}

/// A file's text, if it can be written and read again.
fn checked(path: &Path, text: Result<String, ron::Error>, most: u64) -> Result<String, StoreError> {
    let text = text.map_err(|error| unwritable(path, &error))?;
    if text.len() as u64 > most {
        return Err(StoreError::TooLarge {
            path: path.to_owned(),
        });
    }
    Ok(text)
}

fn write_text(disk: &dyn Disk, path: &Path, text: &str) -> Result<(), StoreError> {
    replace(disk, path, text.as_bytes()).map_err(|error| StoreError::from_io(path, &error))
}

fn unwritable(path: &Path, error: &ron::Error) -> StoreError {
    StoreError::Other {
        path: path.to_owned(),
        message: error.to_string(),
    }
}
