//! The thread behind a film.
use std::path::PathBuf;
use std::sync::Arc;

use crate::error::{FilmError, FilmErrorKind};
use crate::film::{Outbox, Reply, Shared};
use crate::settings::Settings;

/// Starts the thread.
pub(crate) fn start(path: PathBuf, _settings: Settings, _shared: Arc<Shared>, outbox: Outbox) {
    outbox.send(Reply::Failed(FilmError::new(
        FilmErrorKind::WorkerStopped,
        &path,
        "",
    )));
}
