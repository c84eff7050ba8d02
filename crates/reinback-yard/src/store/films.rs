//! Where films lie, seen from the yard's folder.

use std::path::{Component, Path, PathBuf};

use super::Store;
use crate::model::Film;

impl Store {
    /// The place of a film's file, whether it is there or not.
    #[must_use]
    pub fn film_path(&self, film: &Film) -> PathBuf {
        film_path_in(&self.dir, film)
    }

    /// How to write the place of a file into [`Film::path`]: relative to the yard's folder
    /// where the file lies below it, so that the yard can move with its films; else absolute.
    /// Parts are parted by `/` on every system. Signs of a name that are no Unicode are
    /// replaced, and such a file will not be found again.
    #[must_use]
    pub fn film_path_text(&self, path: &Path) -> String {
        film_text_in(&self.dir, path)
    }
}

/// As [`Store::film_path`], for whoever has no store at hand.
#[must_use]
pub fn film_path_in(dir: &Path, film: &Film) -> PathBuf {
    // An absolute path replaces the folder when it is joined to it.
    dir.join(&film.path)
}

/// As [`Store::film_path_text`], for whoever has no store at hand.
#[must_use]
pub fn film_text_in(dir: &Path, path: &Path) -> String {
    let absolute = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    let below = below(dir, &absolute).or_else(|| {
        let (dir, file) = (dir.canonicalize().ok()?, absolute.canonicalize().ok()?);
        below(&dir, &file)
    });
    below.map_or_else(
        || with_slashes(&absolute),
        |relative| with_slashes(&relative),
    )
}

fn below(dir: &Path, file: &Path) -> Option<PathBuf> {
    let dir = std::path::absolute(dir).ok()?;
    let relative = file.strip_prefix(dir).ok()?;
    let plain = |part: Component<'_>| matches!(part, Component::Normal(_));
    (relative.components().count() > 0 && relative.components().all(plain))
        .then(|| relative.to_owned())
}

fn with_slashes(path: &Path) -> String {
    let text = path.to_string_lossy();
    if cfg!(windows) {
        text.replace('\\', "/")
    } else {
        text.into_owned()
    }
}
