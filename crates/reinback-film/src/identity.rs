//! Tells a film's file from another one put in its place.

use std::path::Path;
use std::time::SystemTime;

use crate::error::{FilmError, FilmErrorKind};

/// What a file is known by; film files are not written to while they are
/// reviewed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Identity {
    size: u64,
    changed: Option<SystemTime>,
}

impl Identity {
    /// That of the file which lies at `path` now.
    pub(crate) fn of(path: &Path) -> Result<Self, FilmError> {
        let facts = std::fs::metadata(path).map_err(|error| FilmError::from_io(path, &error))?;
        Ok(Self {
            size: facts.len(),
            changed: facts.modified().ok(),
        })
    }

    /// An error where this file lies at `path` no longer.
    pub(crate) fn check(self, path: &Path) -> Result<(), FilmError> {
        if Self::of(path)? == self {
            return Ok(());
        }
        let detail = "another file took its place";
        Err(FilmError::new(FilmErrorKind::NotFound, path, detail))
    }
}
