//! The few things that are done to a disk, so that tests can let each of them fail.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::path::Path;

use tempfile::{Builder, TempPath};

/// Begins and ends the names of files on their way to their place.
const TEMP: (&str, &str) = (".reinback-", ".tmp");

/// Whether this is the name of a file that never got to its place.
pub(super) fn is_leftover(name: &str) -> bool {
    name.starts_with(TEMP.0) && name.ends_with(TEMP.1)
}

/// Every way in which a [`super::Store`] changes a disk. Each returns once the change would
/// outlast a power cut.
pub(super) trait Disk: Send + std::fmt::Debug {
    /// Writes a new file with a name of its own in this folder.
    fn write_temp(&self, dir: &Path, bytes: &[u8]) -> io::Result<TempPath>;
    /// Gives a file its new name, over whatever had that name.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Makes the names in a folder last.
    fn sync_dir(&self, dir: &Path) -> io::Result<()>;
    /// Adds to the end of a file, which is made if it is not there.
    fn append(&self, path: &Path, bytes: &[u8]) -> io::Result<()>;
    /// Cuts a file off.
    fn truncate(&self, path: &Path, len: u64) -> io::Result<()>;
    /// Takes a file away.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// Makes a folder and those above it.
    fn create_dir(&self, dir: &Path) -> io::Result<()>;
}

/// Puts a whole file in its place: afterwards it is either the old or the new one.
pub(super) fn replace(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> io::Result<()> {
    let dir = path.parent().unwrap_or(Path::new("."));
    disk.create_dir(dir)?;
    let temp = disk.write_temp(dir, bytes)?;
    disk.rename(&temp, path)?;
    // The temporary name is gone; there is nothing left to clean up.
    let _moved = temp.keep();
    disk.sync_dir(dir)
}

/// Puts a whole file in its place, as those of a yard are: afterwards it is either the old or the
/// new one. Waits for the disk.
///
/// # Errors
/// As the disk; the old file is there then.
pub fn replace_file(path: &Path, bytes: &[u8]) -> io::Result<()> {
    replace(&RealDisk, path, bytes)
}

/// The disk of this computer.
#[derive(Debug)]
pub(super) struct RealDisk;

impl Disk for RealDisk {
    fn write_temp(&self, dir: &Path, bytes: &[u8]) -> io::Result<TempPath> {
        let mut builder = Builder::new();
        builder.prefix(TEMP.0).suffix(TEMP.1);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            // As any program would make it, less what the user's mask takes away: a yard in
            // a shared folder must stay readable to the others.
            builder.permissions(fs::Permissions::from_mode(0o666));
        }
        let mut file = builder.tempfile_in(dir)?;
        file.write_all(bytes)?;
        file.as_file().sync_all()?;
        Ok(file.into_temp_path())
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        if cfg!(unix) {
            File::open(dir)?.sync_all()
        } else {
            Ok(())
        }
    }

    fn append(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        let mut file = OpenOptions::new().append(true).create(true).open(path)?;
        file.write_all(bytes)?;
        file.sync_all()
    }

    fn truncate(&self, path: &Path, len: u64) -> io::Result<()> {
        let file = OpenOptions::new().write(true).open(path)?;
        file.set_len(len)?;
        file.sync_all()
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn create_dir(&self, dir: &Path) -> io::Result<()> {
        fs::create_dir_all(dir)
    }
}
