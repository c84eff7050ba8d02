//! What is wrong with a yard's files, said so that a rider can act on it.

use std::fmt;
use std::path::PathBuf;

/// How bad a [`Problem`] is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Nothing to do; good to know.
    Note,
    /// Everything opens, but something should be looked at.
    Warning,
    /// Something could not be opened; its file is left as it is.
    Error,
}

impl Severity {
    /// A word for it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

/// One thing that is wrong, with its place.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Problem {
    /// The file concerned.
    pub file: PathBuf,
    /// The line, counted from 1, where one can be named.
    pub line: Option<u32>,
    /// How bad it is.
    pub severity: Severity,
    /// One or two sentences for a rider, with what to do about it.
    pub message: String,
}

impl fmt::Display for Problem {
    /// `path:line: severity: message`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:", self.file.display())?;
        if let Some(line) = self.line {
            write!(f, "{line}:")?;
        }
        write!(f, " {}: {}", self.severity.name(), self.message)
    }
}
