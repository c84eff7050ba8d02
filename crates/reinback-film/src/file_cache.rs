//! Small files kept in the user's cache folder: written whole, the oldest removed first.
//!
//! What is kept can always be made again, so a failure here is never more than lost time.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

/// Where files of one kind are kept in the user's own cache folder; `None` where the system
/// names none.
pub(crate) fn folder(kind: &str) -> Option<PathBuf> {
    let folders = directories::ProjectDirs::from("", "", "reinback")?;
    Some(folders.cache_dir().join(kind))
}

/// The content of a kept file that is not larger than `largest` bytes.
pub(crate) fn read(path: &Path, largest: u64) -> Option<Vec<u8>> {
    let size = fs::metadata(path).ok()?.len();
    if size > largest {
        return None;
    }
    fs::read(path).ok()
}

/// Keeps a file: written beside its place and moved there whole, so that two windows never read
/// or leave half a file.
pub(crate) fn write(path: &Path, bytes: &[u8]) -> io::Result<()> {
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

/// Removes the files with this ending that were written longest ago until the rest takes at most
/// `room` bytes; `newest` stays.
pub(crate) fn prune(folder: &Path, ending: &str, newest: &Path, room: u64) -> io::Result<()> {
    let mut kept = Vec::new();
    for entry in fs::read_dir(folder)?.flatten() {
        let path = entry.path();
        let ours = path
            .extension()
            .is_some_and(|end| end == ending || end == "part");
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
        if total <= room {
            break;
        }
        // Another window may have been first.
        let _gone = fs::remove_file(path);
        total -= size;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_oldest_files_make_room_and_no_part_is_left() {
        let folder = tempfile::tempdir().unwrap();
        for name in ["a.frames", "b.frames", "c.frames"] {
            write(&folder.path().join(name), &[1; 100]).unwrap();
            std::thread::sleep(std::time::Duration::from_millis(15));
        }
        write(&folder.path().join("note.txt"), b"not ours").unwrap();
        let newest = folder.path().join("c.frames");
        prune(folder.path(), "frames", &newest, 200).unwrap();
        let mut left: Vec<_> = fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name())
            .collect();
        left.sort();
        assert_eq!(left, ["b.frames", "c.frames", "note.txt"]);
    }

    #[test]
    fn what_is_too_large_or_not_there_is_not_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("deep/a.frames");
        assert_eq!(read(&path, 100), None);
        write(&path, b"trot").unwrap();
        assert_eq!(read(&path, 4).as_deref(), Some(&b"trot"[..]));
        assert_eq!(read(&path, 3), None);
    }
}
