//! What can go wrong with a film, in words for the person who opened it.

use std::fmt;
use std::path::{Path, PathBuf};

/// The kind of trouble.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum FilmErrorKind {
    /// No file is at this path.
    NotFound,
    /// The file is there, but may not or cannot be read.
    Unreadable,
    /// The file has no content.
    Empty,
    /// The file is something else: a text, a picture, a folder.
    NotAFilm,
    /// The file has sound but no moving picture.
    NoPicture,
    /// The file is a film, but broken, or cut off before it was finished.
    Damaged,
    /// The film is coded in a way the installed decoders do not know.
    Unsupported,
    /// The thread that reads the film died.
    WorkerStopped,
}

/// Why a film cannot be shown.
///
/// Its text is one sentence followed by the path; [`FilmError::next_step`]
/// says what to do about it and [`FilmError::detail`] what the decoder said.
#[derive(Clone, Debug, thiserror::Error)]
pub struct FilmError {
    kind: FilmErrorKind,
    path: PathBuf,
    detail: String,
}

impl fmt::Display for FilmError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.sentence(), self.path.display())
    }
}

impl FilmError {
    /// An error about the file at `path`; `detail` is for the log.
    #[must_use]
    pub fn new(kind: FilmErrorKind, path: &Path, detail: impl Into<String>) -> Self {
        Self {
            kind,
            path: path.to_path_buf(),
            detail: detail.into(),
        }
    }

    /// From a failed look at the file itself.
    pub(crate) fn from_io(path: &Path, error: &std::io::Error) -> Self {
        let kind = match error.kind() {
            std::io::ErrorKind::NotFound => FilmErrorKind::NotFound,
            _ => FilmErrorKind::Unreadable,
        };
        Self::new(kind, path, error.to_string())
    }

    /// The kind of trouble.
    #[must_use]
    pub fn kind(&self) -> FilmErrorKind {
        self.kind
    }

    /// The file it is about.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// What the system or the decoder said; may be empty, not for riders.
    #[must_use]
    pub fn detail(&self) -> &str {
        &self.detail
    }

    /// The trouble as a sentence without the path and the full stop.
    #[must_use]
    pub fn sentence(&self) -> &'static str {
        match self.kind {
            FilmErrorKind::NotFound => "This film is no longer where it was",
            FilmErrorKind::Unreadable => "This film may not be read",
            FilmErrorKind::Empty => "This film is empty",
            FilmErrorKind::NotAFilm => "This file is not a film",
            FilmErrorKind::NoPicture => "This file has no moving picture",
            FilmErrorKind::Damaged => "This film is damaged and none of it can be shown",
            FilmErrorKind::Unsupported => "This film is coded in a way that cannot be read here",
            FilmErrorKind::WorkerStopped => "Reading this film stopped unexpectedly",
        }
    }

    /// What the person can do next: one sentence.
    #[must_use]
    pub fn next_step(&self) -> &'static str {
        match self.kind {
            FilmErrorKind::NotFound => "Connect the disk it is on, or point to where it is now.",
            FilmErrorKind::Unreadable => {
                "Check that you may open the file, and that its disk is connected."
            }
            FilmErrorKind::Empty => "Copy it from the camera or phone again.",
            FilmErrorKind::NotAFilm => "Choose a film: MP4, MOV, MKV, WebM, AVI or MTS.",
            FilmErrorKind::NoPicture => "Choose the file that has the picture.",
            FilmErrorKind::Damaged => {
                "Copy it from the camera or phone again; a recording that was cut off may need a repair program."
            }
            FilmErrorKind::Unsupported => "Save it as H.264 in an MP4 file and open that.",
            FilmErrorKind::WorkerStopped => "Open the film again; your marks are not touched.",
        }
    }

    /// Whether opening the same path again may succeed without a new file.
    #[must_use]
    pub fn can_retry(&self) -> bool {
        matches!(
            self.kind,
            FilmErrorKind::NotFound | FilmErrorKind::Unreadable | FilmErrorKind::WorkerStopped
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const KINDS: [FilmErrorKind; 8] = [
        FilmErrorKind::NotFound,
        FilmErrorKind::Unreadable,
        FilmErrorKind::Empty,
        FilmErrorKind::NotAFilm,
        FilmErrorKind::NoPicture,
        FilmErrorKind::Damaged,
        FilmErrorKind::Unsupported,
        FilmErrorKind::WorkerStopped,
    ];

    #[test]
    fn every_error_is_a_sentence_with_the_path_last() {
        for kind in KINDS {
            let text = FilmError::new(kind, Path::new("/films/ride.mp4"), "x").to_string();
            assert!(text.ends_with(": /films/ride.mp4"), "{text}");
            assert!(
                text.starts_with("This ") || text.starts_with("Reading "),
                "{text}"
            );
            assert!(!text.contains("libav") && !text.contains("codec"), "{text}");
        }
    }

    #[test]
    fn every_error_says_what_to_do() {
        for kind in KINDS {
            let error = FilmError::new(kind, Path::new("a"), "");
            assert!(error.next_step().ends_with('.'), "{}", error.next_step());
        }
    }
}
