//! `cargo xtask film-check FILE...`: the film engine against `ffprobe` and `ffmpeg`.

use std::path::{Path, PathBuf};

use clap::Args;
use walkdir::WalkDir;

use crate::run::{Outcome, cargo, root, say, shown};

/// Compare the film engine with ffprobe and ffmpeg, frame by frame.
#[derive(Args)]
pub(crate) struct FilmCheckArgs {
    /// Random places to look at in each film.
    #[arg(long, default_value_t = 25)]
    random: usize,
    /// The films.
    #[arg(required = true)]
    films: Vec<PathBuf>,
}

/// Endings of the test films.
const ENDINGS: [&str; 10] = [
    "mp4", "mov", "m4v", "mkv", "webm", "avi", "mts", "m2ts", "ts", "3gp",
];
/// Random places looked at in each film that is here.
const RANDOM_HERE: usize = 10;

/// Checks every film that is here: the demo's, and the test films where there are some.
pub(crate) fn run_here() -> Outcome {
    let media = std::env::var_os("REINBACK_MEDIA")
        .map_or_else(|| root().join("../shared/media"), PathBuf::from);
    if !media.is_dir() {
        say("\nskipped: film-check on test films (no REINBACK_MEDIA and no ../shared/media)");
    }
    let films = films_below(&root().join("demo-sessions/films"))
        .chain(films_below(&media))
        .collect();
    run(&FilmCheckArgs {
        random: RANDOM_HERE,
        films,
    })
}

fn films_below(folder: &Path) -> impl Iterator<Item = PathBuf> + use<> {
    let files = WalkDir::new(folder).sort_by_file_name().into_iter();
    let is_film = |path: &Path| {
        let ending = path.extension().unwrap_or_default().to_ascii_lowercase();
        ENDINGS.iter().any(|known| ending == *known)
    };
    files
        .filter_map(Result::ok)
        .map(walkdir::DirEntry::into_path)
        .filter(move |path| is_film(path))
}

/// Runs the engine's own comparing program, so that this crate needs no libav.
pub(crate) fn run(args: &FilmCheckArgs) -> Outcome {
    let here = std::env::current_dir()
        .map_err(|error| format!("the current folder is not known: {error}"))?;
    let example = [
        "run",
        "--release",
        "--quiet",
        "-p",
        "reinback-film",
        "--example",
        "film_check",
        "--",
    ];
    shown(
        cargo()
            .args(example)
            .args(["--random", &args.random.to_string()])
            .args(args.films.iter().map(|film| here.join(film))),
    )
}
