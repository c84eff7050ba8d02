//! Where a page goes: whole or not at all, and over nothing that is not a page of ours.

use std::fs::{self, File};
use std::io::Read as _;
use std::path::{Path, PathBuf};

use super::frame::GENERATOR;

/// As far into a file as the line that says what made it.
const HEAD: u64 = 2048;

/// Why a page does not go where it was to go.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// It is in the yard's own folder, into which no report is written.
    #[error("“{}” lies in the yard itself; choose a place outside it", .0.display())]
    InYard(PathBuf),
    /// It is a folder.
    #[error("“{}” is a folder; name the file, such as progress.html", .0.display())]
    Folder(PathBuf),
    /// Another file is there.
    #[error(
        "“{}” is there already and is no page of Reinback's; choose another name", .0.display()
    )]
    NotOurs(PathBuf),
    /// The disk refuses; in its words.
    #[error("“{}” could not be written: {why}; choose another place", .file.display())]
    Disk {
        /// Where.
        file: PathBuf,
        /// Why.
        why: String,
    },
}

/// A place that a page may be written to.
#[derive(Debug)]
pub struct Place {
    /// As it was asked for.
    asked: PathBuf,
    /// What a link there points at.
    file: PathBuf,
}

impl Place {
    /// Judges a place before there is anything to write; `home` is the yard's own folder.
    ///
    /// What is in the way is replaced only if it is a page of ours, or nothing is in it.
    ///
    /// # Errors
    /// Why no page goes there.
    pub fn judge(home: &Path, into: &Path) -> Result<Self, Refused> {
        let asked = into.to_owned();
        let file = fs::canonicalize(into).unwrap_or_else(|_| asked.clone());
        let folder = file
            .parent()
            .filter(|folder| !folder.as_os_str().is_empty());
        let folder = folder.unwrap_or(Path::new(".")).canonicalize();
        // Of a folder that is not there the disk speaks when it is written to.
        let inside = folder.is_ok_and(|folder| {
            let home = home.canonicalize();
            home.is_ok_and(|home| folder.starts_with(home))
        });
        if inside {
            Err(Refused::InYard(asked))
        } else if file.is_dir() {
            Err(Refused::Folder(asked))
        } else if file.exists() && !is_ours(&file) {
            Err(Refused::NotOurs(asked))
        } else {
            Ok(Self { asked, file })
        }
    }

    /// The place as it was asked for.
    #[must_use]
    pub fn asked(&self) -> &Path {
        &self.asked
    }

    /// Writes the page.
    ///
    /// # Errors
    /// What the disk says; what was there before is there still.
    pub fn write(&self, page: &str) -> Result<(), Refused> {
        let written = reinback_yard::replace_file(&self.file, page.as_bytes());
        written.map_err(|error| Refused::Disk {
            file: self.asked.clone(),
            why: error.to_string(),
        })
    }
}

/// Whether a file is a page that this program made, whatever its version, or is empty.
fn is_ours(file: &Path) -> bool {
    let mut head = Vec::new();
    let read = File::open(file).and_then(|file| file.take(HEAD).read_to_end(&mut head));
    let program = GENERATOR.split(' ').next().unwrap_or(GENERATOR);
    let ours = format!("<meta name=\"generator\" content=\"{program} ");
    read.is_ok() && (head.is_empty() || String::from_utf8_lossy(&head).contains(&ours))
}
