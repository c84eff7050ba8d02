//! Small files kept in the user's cache folder: named by a film's content,
//! sealed against damage where nothing else would show it, with a limit on
//! all of a kind together.
//!
//! What is kept can always be made again, so a failure here is never more than
//! lost time.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

use crate::fingerprint::Fingerprint;

/// Bytes of the seal at a file's end.
pub(crate) const SUM: usize = 32;

/// Where files of one kind are kept in the user's own cache folder; `None`
/// where the system names none.
pub(crate) fn folder(kind: &str) -> Option<PathBuf> {
    let folders = directories::ProjectDirs::from("", "", "reinback")?;
    Some(folders.cache_dir().join(kind))
}

/// One kind of kept files.
pub(crate) struct FileCache {
    /// What each file's name ends with.
    pub(crate) ending: &'static str,
    /// Bytes kept for all films together; the oldest go first.
    pub(crate) room: u64,
    /// No kept file is larger.
    pub(crate) largest: u64,
}

impl FileCache {
    /// Where a film's file is kept.
    pub(crate) fn path(&self, folder: &Path, print: &Fingerprint) -> PathBuf {
        folder.join(format!("{print}.{}", self.ending))
    }

    /// The bytes kept at `path`, if there are any and not too many.
    pub(crate) fn read(&self, path: &Path) -> Option<Vec<u8>> {
        let size = fs::metadata(path).ok()?.len();
        if size > self.largest {
            return None;
        }
        fs::read(path).ok()
    }

    /// Keeps bytes, and of all files no more than there is room for.
    pub(crate) fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        Self::put(path, bytes)?;
        self.prune(path)
    }

    /// Keeps bytes without making room: written beside their place and moved
    /// there whole, so that two windows never read or leave half a file.
    pub(crate) fn put(path: &Path, bytes: &[u8]) -> io::Result<()> {
        static NUMBER: AtomicU32 = AtomicU32::new(0);
        fs::create_dir_all(path.parent().unwrap_or(Path::new(".")))?;
        let number = NUMBER.fetch_add(1, Ordering::Relaxed);
        let part = path.with_extension(format!("{}-{number}.part", std::process::id()));
        let written = fs::File::create_new(&part)
            .and_then(|mut file| file.write_all(bytes))
            .and_then(|()| fs::rename(&part, path));
        if written.is_err() {
            // Nothing more can be done where even this fails.
            let _left = fs::remove_file(&part);
        }
        written
    }

    /// Removes the files written longest ago until the rest takes at most the
    /// room there is; `newest` stays.
    pub(crate) fn prune(&self, newest: &Path) -> io::Result<()> {
        let folder = newest.parent().unwrap_or(Path::new("."));
        let mut kept = Vec::new();
        for entry in fs::read_dir(folder)?.flatten() {
            let path = entry.path();
            let ours = path
                .extension()
                .is_some_and(|end| end == self.ending || end == "part");
            if let Ok(facts) = entry.metadata()
                && ours
                && path != newest
            {
                kept.push((facts.modified()?, facts.len(), path));
            }
        }
        kept.sort();
        let own = fs::metadata(newest).map_or(0, |facts| facts.len());
        let mut total = own + kept.iter().map(|(_, size, _)| size).sum::<u64>();
        for (_, size, path) in kept {
            if total <= self.room {
                break;
            }
            // Another window may have been first.
            let _gone = fs::remove_file(path);
            total -= size;
        }
        Ok(())
    }
}

/// Adds BLAKE3 of the bytes to them.
pub(crate) fn seal(mut bytes: Vec<u8>) -> Vec<u8> {
    let sum = blake3::hash(&bytes);
    bytes.extend_from_slice(sum.as_bytes());
    bytes
}

/// What was sealed; `None` where anything of it has changed.
pub(crate) fn unseal(bytes: &[u8]) -> Option<&[u8]> {
    let (body, sum) = bytes.split_at_checked(bytes.len().checked_sub(SUM)?)?;
    (blake3::hash(body).as_bytes() == sum).then_some(body)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_oldest_files_make_room_and_no_part_is_left() {
        let folder = tempfile::tempdir().unwrap();
        let shelf = |room| FileCache {
            ending: "frames",
            room,
            largest: 1000,
        };
        for name in ["a.frames", "b.frames", "c.frames"] {
            shelf(1 << 20)
                .write(&folder.path().join(name), &[1; 100])
                .unwrap();
            std::thread::sleep(std::time::Duration::from_millis(15));
        }
        fs::write(folder.path().join("note.txt"), "not ours").unwrap();
        shelf(200).prune(&folder.path().join("c.frames")).unwrap();
        let mut left: Vec<_> = fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name())
            .collect();
        left.sort();
        assert_eq!(left, ["b.frames", "c.frames", "note.txt"]);
    }

    #[test]
    fn a_file_too_large_is_not_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.frames");
        let shelf = FileCache {
            ending: "frames",
            room: 1 << 20,
            largest: 10,
        };
        for (size, expected) in [(10, true), (11, false)] {
            shelf.write(&path, &vec![7; size]).unwrap();
            assert_eq!(shelf.read(&path).is_some(), expected, "{size}");
        }
    }

    #[test]
    fn a_seal_tells_of_any_change() {
        let sealed = seal(vec![1, 2, 3]);
        assert_eq!(unseal(&sealed), Some(&[1, 2, 3][..]));
        for at in 0..sealed.len() {
            let mut changed = sealed.clone();
            changed[at] ^= 4;
            assert_eq!(unseal(&changed), None, "byte {at}");
        }
        assert_eq!(unseal(&sealed[..20]), None);
    }
}
