//! What can go wrong while a film is read, drawn or checked.

use std::path::{Path, PathBuf};

/// A film could not be drawn or checked. The text says what to do next.
#[derive(Debug, thiserror::Error)]
pub(crate) enum FilmError {
    /// A file could not be read or written.
    #[error("{doing} {}: {source}", path.display())]
    File {
        /// What was tried, as the start of a sentence.
        doing: &'static str,
        /// The file it was tried on.
        path: PathBuf,
        /// What the operating system answered.
        source: std::io::Error,
    },
    /// The script is not RON, or has a field the format does not know.
    #[error("cannot understand {}: {reason}\nThe format is described in demo-sessions/films/README.md.", path.display())]
    Syntax {
        /// The script.
        path: PathBuf,
        /// Line, column and reason from the parser.
        reason: String,
    },
    /// The script asks for something that cannot be ridden.
    #[error("segment {segment} of the script: {reason}")]
    Script {
        /// Which segment, counted from 1; 0 for the film as a whole.
        segment: usize,
        /// What is wrong with it and what would be right.
        reason: String,
    },
    /// The committed truth is not what its script says now.
    #[error("{} does not follow from its script: {reason}\nRun `cargo xtask film` to draw it again.", path.display())]
    Stale {
        /// The truth file.
        path: PathBuf,
        /// The first difference.
        reason: String,
    },
    /// The encoder program is not installed.
    #[error(
        "the program `ffmpeg` is not installed, and it writes the film file. Install it (on Debian: apt install ffmpeg) and try again."
    )]
    NoEncoder,
    /// The encoder stopped or refused.
    #[error("ffmpeg could not write the film: {0}")]
    Encoder(String),
    /// A picture of the asked size cannot be made.
    #[error("cannot draw pictures of {0}x{1}; choose even numbers from 160x90 to 3840x2160")]
    Size(u32, u32),
    /// The built-in typeface cannot be read.
    #[error("the typeface in assets/fonts cannot be read: {0}")]
    Typeface(String),
    /// A text file could not be formed.
    #[error("cannot write the truth as RON: {0}")]
    Form(String),
    /// The command line asks for two things at once.
    #[error("{0}")]
    Usage(String),
}

impl FilmError {
    /// A reason that a segment (counted from 0) cannot be ridden.
    pub(crate) fn segment(index: usize, reason: impl Into<String>) -> Self {
        Self::Script {
            segment: index + 1,
            reason: reason.into(),
        }
    }

    /// Turns an operating-system error on `path` into a sentence.
    pub(crate) fn file(doing: &'static str, path: &Path) -> impl FnOnce(std::io::Error) -> Self {
        move |source| Self::File {
            doing,
            path: path.to_owned(),
            source,
        }
    }
}
