//! One picture, or only the facts, of a film; for task threads.

use std::path::Path;

use crate::error::{FilmError, FilmErrorKind};
use crate::frame::Frame;
use crate::info::FilmInfo;
use crate::time::FilmTime;

/// The picture shown at `at`.
///
/// # Errors
/// Any [`FilmErrorKind`].
pub fn thumbnail(path: &Path, _at: Option<FilmTime>, _max_side: u32) -> Result<Frame, FilmError> {
    Err(FilmError::new(FilmErrorKind::Unsupported, path, ""))
}

/// What is known about the film at `path`.
///
/// # Errors
/// Any [`FilmErrorKind`].
pub fn probe(path: &Path) -> Result<FilmInfo, FilmError> {
    Err(FilmError::new(FilmErrorKind::Unsupported, path, ""))
}
