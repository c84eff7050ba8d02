//! One picture, or only the facts, of a film; for task threads.

use std::path::Path;
use std::sync::Arc;

use crate::error::{FilmError, FilmErrorKind};
use crate::film::Shared;
use crate::frame::Frame;
use crate::info::FilmInfo;
use crate::open;
use crate::projector::Projector;
use crate::reader::Reader;
use crate::settings::Settings;
use crate::time::FilmTime;
use crate::worker::guarded;

/// Thumbnails are made many at a time, by several tasks.
const THREADS: usize = 1;

/// The picture on screen at `at`, at most `max_side` pixels a side
/// (`u32::MAX` for a still of full size); without a time, one a tenth into the
/// film: past the hand on the camera.
///
/// Blocks while it reads and decodes; for a task thread.
///
/// # Errors
/// Any [`FilmErrorKind`].
pub fn thumbnail(path: &Path, at: Option<FilmTime>, max_side: u32) -> Result<Frame, FilmError> {
    guarded(path, || {
        let (reader, first) = Reader::open(path, THREADS)?;
        let settings = Settings {
            max_side,
            full_side: max_side,
            cache_bytes: 0,
            hardware: false,
        };
        let shared = Arc::new(Shared::new(settings.cache_bytes));
        let mut projector = Projector::new(reader, first, settings, shared);
        let time = at.unwrap_or(FilmTime(projector.info().duration.0 / 10));
        // Past the cache, which keeps less colour than a still may have.
        let frame = projector.sharp(time.max(FilmTime::ZERO), &|| true)?;
        frame
            .map(|frame| (*frame).clone())
            .ok_or_else(|| FilmError::new(FilmErrorKind::Damaged, path, "no frame"))
    })
}

/// What is known about the film at `path`.
///
/// Blocks while it reads and decodes one frame; for a task thread.
///
/// # Errors
/// Any [`FilmErrorKind`].
pub fn probe(path: &Path) -> Result<FilmInfo, FilmError> {
    guarded(path, || {
        let (reader, first) = Reader::open(path, THREADS)?;
        let shape = open::shape(&reader, &first);
        Ok(open::info(&reader, &first, &shape))
    })
}
