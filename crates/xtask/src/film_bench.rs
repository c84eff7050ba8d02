//! `cargo xtask film-bench [FILE...]`: how long a rider waits, beside `ffmpeg`.

use std::path::PathBuf;

use clap::Args;

use crate::run::{Outcome, cargo, shown};

/// Measure the film engine beside ffmpeg, in one run.
#[derive(Args)]
pub(crate) struct FilmBenchArgs {
    /// The films; without any, the usual ones are made first.
    films: Vec<PathBuf>,
}

/// Runs the engine's own measuring program, so that this crate needs no libav.
pub(crate) fn run(args: &FilmBenchArgs) -> Outcome {
    let here = std::env::current_dir()
        .map_err(|error| format!("the current folder is not known: {error}"))?;
    shown(
        cargo()
            .args(["run", "--release", "--quiet", "-p", "reinback-film"])
            .args(["--example", "film_bench", "--"])
            .args(args.films.iter().map(|film| here.join(film))),
    )
}
