//! Finds films that were moved or renamed, by what they hold.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use walkdir::{DirEntry, WalkDir};

use crate::fingerprint::{Fingerprint, fingerprint};

/// The endings of film files, without the dot, in small letters.
pub const FILM_ENDINGS: [&str; 10] = [
    "mp4", "mov", "m4v", "mkv", "webm", "avi", "mts", "m2ts", "ts", "3gp",
];

/// Folders inside folders that are looked into.
const DEPTH: usize = 12;
/// Files looked at, at most: three MiB are read of each.
const MOST_FILES: usize = 20_000;

/// A film that is not where it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sought {
    /// What it holds.
    pub print: Fingerprint,
    /// Where it was; a file of the same name is looked at first.
    pub was: PathBuf,
}

/// How far a search is: files looked at, and files to look at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Searched {
    /// Files whose content was compared.
    pub files: usize,
    /// Files there are to compare.
    pub of: usize,
}

/// Looks for films below these folders and says where each that was found is now.
///
/// A film is the same when its [`fingerprint`] is, whatever its name. Files of a film's old name
/// are compared first, then all others whose ending is one of [`FILM_ENDINGS`]. Hidden folders
/// and links to folders are left out, as is what may not be read. `go_on` hears of every file and
/// ends the search by breaking; what was found until then is returned.
///
/// Blocks, for as long as reading three MiB of every film takes; for a task thread.
pub fn find_films(
    sought: &[Sought],
    folders: &[PathBuf],
    go_on: &mut dyn FnMut(Searched) -> ControlFlow<()>,
) -> BTreeMap<Fingerprint, PathBuf> {
    let mut found = BTreeMap::new();
    let files = candidates(sought, folders, go_on);
    let of = files.len();
    for (number, file) in files.into_iter().enumerate() {
        let missing = |one: &Sought| !found.contains_key(&one.print);
        if !sought.iter().any(missing) || go_on(Searched { files: number, of }).is_break() {
            break;
        }
        // A file that cannot be read is not the film that is looked for, as far as can be told.
        let Ok(print) = fingerprint(&file) else {
            continue;
        };
        if sought.iter().any(|one| one.print == print) {
            found.entry(print).or_insert(file);
        }
    }
    found
}

/// The files to compare, those of a known name first.
fn candidates(
    sought: &[Sought],
    folders: &[PathBuf],
    go_on: &mut dyn FnMut(Searched) -> ControlFlow<()>,
) -> Vec<PathBuf> {
    let named = |file: &Path| {
        let mut names = sought.iter().filter_map(|one| one.was.file_name());
        names.any(|name| file.file_name() == Some(name))
    };
    let (mut first, mut others) = (Vec::new(), Vec::new());
    for folder in folders {
        let walk = WalkDir::new(folder)
            .max_depth(DEPTH)
            .sort_by_file_name()
            .into_iter()
            .filter_entry(|entry| entry.depth() == 0 || !is_hidden(entry));
        for entry in walk.filter_map(Result::ok) {
            let count = first.len() + others.len();
            let searched = Searched {
                files: 0,
                of: count,
            };
            if count >= MOST_FILES || go_on(searched).is_break() {
                break;
            }
            // A pipe or a device of that name would be read for ever.
            if is_film(entry.path()) && entry.path().is_file() {
                let list = if named(entry.path()) {
                    &mut first
                } else {
                    &mut others
                };
                list.push(entry.into_path());
            }
        }
    }
    first.append(&mut others);
    let mut seen = std::collections::BTreeSet::new();
    first.retain(|file| seen.insert(file.clone()));
    first
}

fn is_hidden(entry: &DirEntry) -> bool {
    entry.file_name().to_string_lossy().starts_with('.')
}

fn is_film(path: &Path) -> bool {
    let ending = path.extension().and_then(OsStr::to_str);
    ending.is_some_and(|ending| FILM_ENDINGS.contains(&ending.to_ascii_lowercase().as_str()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    fn go_on(_: Searched) -> ControlFlow<()> {
        ControlFlow::Continue(())
    }

    fn write(path: &Path, content: &[u8]) {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, content).unwrap();
    }

    fn sought(content: &[u8], was: &str) -> Sought {
        let file = tempfile::NamedTempFile::new().unwrap();
        fs::write(file.path(), content).unwrap();
        Sought {
            print: fingerprint(file.path()).unwrap(),
            was: PathBuf::from(was),
        }
    }

    /// Where the film that held "trot" and was called ride.mp4 is found among these files.
    #[track_caller]
    fn check(files: &[(&str, &str)], expect: Option<&str>) {
        let folder = tempfile::tempdir().unwrap();
        for (name, content) in files {
            write(&folder.path().join(name), content.as_bytes());
        }
        let sought = [sought(b"trot", "/gone/ride.mp4")];
        let folders = [folder.path().to_path_buf(), folder.path().join("inner")];
        let found = find_films(&sought, &folders, &mut go_on);
        let found = found.get(&sought[0].print).cloned();
        assert_eq!(
            found,
            expect.map(|name| folder.path().join(name)),
            "{files:?}"
        );
    }

    #[test]
    fn a_film_is_found_by_what_it_holds() {
        check(&[], None);
        check(&[("ride.mp4", "walk")], None);
        check(&[("ride.mp4", "trot")], Some("ride.mp4"));
        check(
            &[("2026/May/renamed.MOV", "trot")],
            Some("2026/May/renamed.MOV"),
        );
        check(
            &[("ride.mp4", "walk"), ("inner/b.mp4", "trot")],
            Some("inner/b.mp4"),
        );
        // Of two copies the one that kept its name.
        check(
            &[("a.mp4", "trot"), ("z/ride.mp4", "trot")],
            Some("z/ride.mp4"),
        );
        check(&[("ride.txt", "trot"), (".hidden/ride.mp4", "trot")], None);
    }

    #[test]
    fn a_search_ends_when_told_to_and_when_all_is_found() {
        let folder = tempfile::tempdir().unwrap();
        for number in 0..20 {
            write(&folder.path().join(format!("{number:02}.mp4")), &[number]);
        }
        let folders = [folder.path().to_path_buf()];
        let third = [sought(&[2], "x.mp4")];
        let mut most = 0;
        let found = find_films(&third, &folders, &mut |searched| {
            most = most.max(searched.files);
            ControlFlow::Continue(())
        });
        assert_eq!((found.len(), most), (1, 2), "not looked on after the third");
        let last = [sought(&[19], "x.mp4")];
        let found = find_films(&last, &folders, &mut |searched| {
            if searched.files < 5 {
                ControlFlow::Continue(())
            } else {
                ControlFlow::Break(())
            }
        });
        assert_eq!(found.len(), 0, "cancelled before the last");
    }

    #[test]
    fn folders_that_are_not_there_hold_nothing() {
        let sought = [sought(b"trot", "ride.mp4")];
        let found = find_films(&sought, &[PathBuf::from("/no/such/folder")], &mut go_on);
        assert_eq!(found.len(), 0);
    }
}
