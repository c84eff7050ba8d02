//! `cargo xtask film-bench [FILE...]`: how long a rider waits, beside `ffmpeg`.

use std::path::PathBuf;

use clap::Args;

use crate::run::{Outcome, cargo, shown};

/// Measure the film engine beside ffmpeg, in one run.
#[derive(Args)]
pub(crate) struct FilmBenchArgs {
    /// Also write the tables into this page, between its marks.
    #[arg(long)]
    into: Option<PathBuf>,
    /// The films; without any, the usual ones are made first.
    films: Vec<PathBuf>,
}

/// Runs the engine's own measuring program, so that this crate needs no libav.
pub(crate) fn run(args: &FilmBenchArgs) -> Outcome {
    let here = std::env::current_dir()
        .map_err(|error| format!("the current folder is not known: {error}"))?;
    let mut bench = cargo();
    bench
        .args(["run", "--release", "--quiet", "-p", "reinback-film"])
        .args(["--example", "film_bench", "--"]);
    if let Some(page) = &args.into {
        bench.arg("--into").arg(here.join(page));
    }
    shown(bench.args(args.films.iter().map(|film| here.join(film))))
}
