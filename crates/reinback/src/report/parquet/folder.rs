//! The folder that the files go into.
//!
//! All of them are made beside their places first. What is there and not ours is never replaced.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

use parquet::file::reader::{FileReader as _, SerializedFileReader};
use reinback_yard::Yard;
use tempfile::{Builder, NamedTempFile};

use super::{HORSES, Naming, TABLE, YARD};

/// By what a yard is known again.
pub(super) struct Identity<'a> {
    /// What it is called; `None` without names.
    pub(super) name: Option<&'a str>,
    /// The ids of its horses. They are random, so two yards that share one are the same yard or
    /// copies of it; and they stay while rides and horses come and go.
    pub(super) horses: BTreeSet<String>,
}

impl<'a> Identity<'a> {
    pub(super) fn of(yard: &'a Yard, naming: Naming) -> Self {
        Self {
            name: (naming == Naming::Named).then_some(yard.name.as_str()),
            horses: yard
                .horses
                .iter()
                .map(|horse| horse.id.to_string())
                .collect(),
        }
    }

    /// The ids as a file keeps them.
    pub(super) fn written(&self) -> String {
        let ids: Vec<&str> = self.horses.iter().map(String::as_str).collect();
        ids.join(" ")
    }

    /// Whether a file that says this of its yard may be an earlier one of this yard.
    fn may_be(&self, name: Option<&str>, horses: Option<&str>) -> Result<(), String> {
        let now = self
            .name
            .map_or_else(String::new, |own| format!(" “{own}”"));
        if let (Some(other), Some(own)) = (name, self.name)
            && other != own
        {
            return Err(format!("holds the yard “{other}”, and this is “{own}”"));
        }
        let mut ids = horses.unwrap_or_default().split_whitespace().peekable();
        // A yard without a horse has no ride that could be lost.
        let known = match horses {
            Some(_) => ids.peek().is_none() || ids.any(|id| self.horses.contains(id)),
            None => false,
        };
        if known {
            return Ok(());
        }
        Err(match name {
            Some(other) => {
                format!("holds the yard “{other}”, none of whose horses this yard{now} has")
            }
            None => format!("holds another yard: none of its horses is in this one{now}"),
        })
    }
}

/// A folder that may be written to, as far as can be seen.
pub(super) struct Folder {
    dir: PathBuf,
}

impl Folder {
    /// Looks at what stands where files of these names will go; changes nothing.
    ///
    /// `home` is the folder of the yard.
    pub(super) fn look(
        dir: &Path,
        names: &[&str],
        home: &Path,
        yard: &Identity<'_>,
    ) -> Result<Self, String> {
        if lies_within(dir, home) {
            return Err(format!(
                "“{}” lies in the yard itself; choose a folder outside it",
                dir.display()
            ));
        }
        for file in names {
            expect_ours(&dir.join(format!("{file}.parquet")), file, yard)?;
        }
        Ok(Self {
            dir: dir.to_owned(),
        })
    }

    /// A file on its way to its place. Makes the folder where it is not there.
    pub(super) fn begin(&self) -> Result<NamedTempFile, String> {
        let mut builder = Builder::new();
        builder.prefix(".reinback-").suffix(".tmp");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            // As any program would make it, less what the user's mask takes away.
            builder.permissions(fs::Permissions::from_mode(0o666));
        }
        fs::create_dir_all(&self.dir)
            .and_then(|()| builder.tempfile_in(&self.dir))
            .map_err(|error| in_words(&self.dir, &error))
    }

    /// Puts whole files in their places, once the disk has all of each.
    pub(super) fn put(&self, files: Vec<(&'static str, NamedTempFile)>) -> Result<(), String> {
        for (_, file) in &files {
            let synced = file.as_file().sync_all();
            synced.map_err(|error| in_words(&self.dir, &error))?;
        }
        for (name, file) in files {
            let path = self.path(name);
            file.persist(&path)
                .map_err(|error| in_words(&path, &error.error))?;
        }
        if cfg!(unix) {
            File::open(&self.dir)
                .and_then(|dir| dir.sync_all())
                .map_err(|error| in_words(&self.dir, &error))?;
        }
        Ok(())
    }

    /// Where the file of a table goes.
    pub(super) fn path(&self, name: &str) -> PathBuf {
        self.dir.join(format!("{name}.parquet"))
    }
}

fn lies_within(dir: &Path, yard: &Path) -> bool {
    let Ok(yard) = fs::canonicalize(yard) else {
        return false;
    };
    // The folder itself may not be there yet; the nearest above it that is decides.
    let absolute = std::path::absolute(dir).unwrap_or_else(|_| dir.to_owned());
    let there = absolute
        .ancestors()
        .find_map(|path| fs::canonicalize(path).ok());
    there.is_some_and(|there| there.starts_with(&yard))
}

/// An error where something stands at the path that is not an earlier export of the same yard.
fn expect_ours(path: &Path, table: &str, yard: &Identity<'_>) -> Result<(), String> {
    // A link that leads nowhere is something, too.
    if fs::symlink_metadata(path).is_err() {
        return Ok(());
    }
    let about = about(path);
    let value = |key: &str| {
        let entry = about.iter().find(|(own, _)| own == key);
        entry.map(|(_, value)| value.as_str())
    };
    if value(TABLE) != Some(table) {
        return Err(format!(
            "“{}” is there already and was not written by Reinback, so nothing was written; \
             choose another folder, or move that file away",
            path.display()
        ));
    }
    yard.may_be(value(YARD), value(HORSES)).map_err(|why| {
        format!(
            "“{}” {why}, so nothing was written; choose a folder for each yard",
            path.display()
        )
    })
}

/// What a Parquet file says about itself; nothing where it is none.
fn about(path: &Path) -> Vec<(String, String)> {
    let reader = File::open(path)
        .ok()
        .and_then(|file| SerializedFileReader::new(file).ok());
    let entries = reader.and_then(|reader| {
        let metadata = reader.metadata().file_metadata();
        metadata.key_value_metadata().cloned()
    });
    entries
        .into_iter()
        .flatten()
        .filter_map(|entry| Some((entry.key, entry.value?)))
        .collect()
}

/// Why a file could not be written, for a rider. What was there before is still there.
fn in_words(path: &Path, error: &io::Error) -> String {
    let what = match error.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "the disk is full",
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            "the system does not let us write there"
        }
        io::ErrorKind::NotADirectory | io::ErrorKind::AlreadyExists => {
            "a file is in the way of the folder"
        }
        _ => {
            return format!(
                "“{}” could not be written: {error}; choose another folder",
                path.display()
            );
        }
    };
    format!(
        "“{}” could not be written: {what}; choose another folder",
        path.display()
    )
}
