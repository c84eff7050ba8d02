//! Why a yard could not be opened or saved.

use std::io;
use std::path::{Path, PathBuf};

use super::Why;
use crate::file::TextError;

/// Why a yard could not be opened or saved. Displays as one sentence with the path;
/// [`StoreError::next_step`] says what can be done.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StoreError {
    /// There is no such folder.
    #[error("There is no folder “{}”.", path.display())]
    NotFound {
        /// The folder looked for.
        path: PathBuf,
    },
    /// The folder holds no `yard.ron`.
    #[error("“{}” is not a yard: there is no yard.ron in it.", path.display())]
    NotAYard {
        /// The folder.
        path: PathBuf,
    },
    /// A new yard was to be made where there is one.
    #[error("There is already a yard in “{}”.", path.display())]
    AlreadyAYard {
        /// The folder.
        path: PathBuf,
    },
    /// The system refuses.
    #[error("“{}” may not be read or written.", path.display())]
    NoPermission {
        /// The file or folder.
        path: PathBuf,
    },
    /// No room left.
    #[error("The disk is full: “{}” could not be written. What was saved before is unharmed.", path.display())]
    DiskFull {
        /// The file that did not fit.
        path: PathBuf,
    },
    /// More than is read again.
    #[error("“{}” would be larger than {} MiB and could not be read again, so it was left as it is.", path.display(), crate::MAX_FILE_BYTES / 1024 / 1024)]
    TooLarge {
        /// The file that was not written.
        path: PathBuf,
    },
    /// This yard is only being looked at.
    #[error("The yard in “{}” is open for looking only: {why}.", path.display())]
    ReadOnly {
        /// The yard's folder.
        path: PathBuf,
        /// Why.
        why: Why,
    },
    /// Another window has the yard.
    #[error("The yard in “{}” is open in another window.", path.display())]
    Locked {
        /// The yard's folder.
        path: PathBuf,
    },
    /// `yard.ron` was written by a newer version and has things in it this one does not know.
    #[error("“{}” was written by a newer Reinback (format {format}) and cannot be read by this one.", path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its format.
        format: u32,
    },
    /// The file does not hold what it should.
    #[error("“{}” cannot be read{}: {message}.", path.display(), place(*line, *column))]
    Damaged {
        /// The file.
        path: PathBuf,
        /// Counted from 1.
        line: Option<u32>,
        /// Counted from 1, in characters.
        column: Option<u32>,
        /// What is wrong there, as a clause.
        message: String,
    },
    /// The one who asked does not want it any more.
    #[error("Opening “{}” was stopped.", path.display())]
    Cancelled {
        /// The yard's folder.
        path: PathBuf,
    },
    /// Anything else the system says.
    #[error("“{}” could not be read or written: {message}.", path.display())]
    Other {
        /// The file or folder.
        path: PathBuf,
        /// In the system's words.
        message: String,
    },
}

fn place(line: Option<u32>, column: Option<u32>) -> String {
    match (line, column) {
        (Some(line), Some(column)) => format!(" (line {line}, column {column})"),
        (Some(line), None) => format!(" (line {line})"),
        _ => String::new(),
    }
}

impl StoreError {
    /// What the rider can do about it.
    #[must_use]
    pub const fn next_step(&self) -> &'static str {
        match self {
            Self::NotFound { .. } => {
                "Check whether the drive is connected, or choose the yard's folder again."
            }
            Self::NotAYard { .. } => {
                "Choose the folder that holds yard.ron, or make a new yard here."
            }
            Self::AlreadyAYard { .. } => "Open it, or choose another folder for the new one.",
            Self::NoPermission { .. } => {
                "Allow yourself to read and write this folder, or copy the yard to one of your own."
            }
            Self::DiskFull { .. } => {
                "Make room on the disk, then save again; nothing marked is lost."
            }
            Self::TooLarge { .. } => {
                "Take back the last import or long note, or save first; what was saved before is unharmed."
            }
            Self::ReadOnly { why, .. } => why.next_step(),
            Self::Locked { .. } => "Close the other window, then open the yard again.",
            Self::Newer { .. } => "Update Reinback on this computer; the file is left as it is.",
            Self::Damaged { .. } => {
                "Put back this file from your backup, or mend the line in a text editor; it is left as it is."
            }
            Self::Cancelled { .. } => "Open it again when you like.",
            Self::Other { .. } => "Check whether the drive is connected, then try again.",
        }
    }

    /// The file or folder concerned.
    #[must_use]
    pub fn path(&self) -> &Path {
        match self {
            Self::NotFound { path }
            | Self::NotAYard { path }
            | Self::AlreadyAYard { path }
            | Self::NoPermission { path }
            | Self::DiskFull { path }
            | Self::TooLarge { path }
            | Self::ReadOnly { path, .. }
            | Self::Locked { path }
            | Self::Newer { path, .. }
            | Self::Damaged { path, .. }
            | Self::Cancelled { path }
            | Self::Other { path, .. } => path,
        }
    }

    pub(super) fn from_io(path: &Path, error: &io::Error) -> Self {
        let path = path.to_owned();
        match error.kind() {
            io::ErrorKind::NotFound => Self::NotFound { path },
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                Self::NoPermission { path }
            }
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::DiskFull { path },
            _ => Self::Other {
                path,
                message: error.to_string(),
            },
        }
    }

    pub(super) fn from_text(path: &Path, error: TextError) -> Self {
        let path = path.to_owned();
        match error.newer {
            Some(format) => Self::Newer { path, format },
            None => Self::Damaged {
                path,
                line: error.line,
                column: error.column,
                message: error.message,
            },
        }
    }
}
