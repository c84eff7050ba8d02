//! One window at a time may change a yard.

use std::fs::{File, OpenOptions, TryLockError};
use std::io;
use std::path::Path;

use super::disk::Disk;
use super::{Access, StoreError, Why};
use crate::problem::{Problem, Severity};

/// The file that is locked; it holds nothing.
const NAME: &str = ".lock";

/// Takes the lock of a yard's folder, or says why it can only be looked at.
pub(super) fn acquire(
    disk: &dyn Disk,
    dir: &Path,
    problems: &mut Vec<Problem>,
) -> Result<(Access, Option<File>), StoreError> {
    let refused = |error: &io::Error| {
        matches!(
            error.kind(),
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem
        )
    };
    // Saving needs new names in the folder, which a writable lock file does not prove.
    if disk
        .write_temp(dir, b"")
        .is_err_and(|error| refused(&error))
    {
        return Ok((Access::ReadOnly(Why::NoPermission), None));
    }
    let path = dir.join(NAME);
    let file = match OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(false)
        .open(&path)
    {
        Ok(file) => file,
        Err(error) if refused(&error) => {
            return Ok((Access::ReadOnly(Why::NoPermission), None));
        }
        Err(error) => return Err(StoreError::from_io(&path, &error)),
    };
    match file.try_lock() {
        Ok(()) => Ok((Access::Write, Some(file))),
        Err(TryLockError::WouldBlock) => Ok((Access::ReadOnly(Why::Locked), None)),
        Err(TryLockError::Error(_)) => {
            problems.push(Problem {
                file: path,
                line: None,
                severity: Severity::Warning,
                message: "This drive cannot keep two windows apart. Open the yard in one window \
                          only."
                    .into(),
            });
            Ok((Access::Write, Some(file)))
        }
    }
}
