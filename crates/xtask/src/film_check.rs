//! `cargo xtask film-check FILE...`: the film engine against `ffprobe` and `ffmpeg`.

use std::path::PathBuf;

use clap::Args;

use crate::run::{Outcome, cargo, shown};

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
