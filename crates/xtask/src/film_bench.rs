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
    /// Of the usual films, those whose name contains this, as "4K30" or "HEVC".
    #[arg(long)]
    only: Option<String>,
    /// The films; without any, the usual ones are made first.
    films: Vec<PathBuf>,
}

/// Runs the engine's own bench, so that this crate needs no libav.
pub(crate) fn run(args: &FilmBenchArgs) -> Outcome {
    let here = std::env::current_dir()
        .map_err(|error| format!("the current folder is not known: {error}"))?;
    let films: Vec<PathBuf> = args.films.iter().map(|film| here.join(film)).collect();
    if let Some(film) = films.iter().find(|film| !film.is_file()) {
        return Err(format!("there is no film {}", film.display()));
    }
    let mut bench = cargo();
    bench
        .args(["bench", "--quiet", "-p", "reinback-film"])
        .args(["--bench", "beside", "--"]);
    if let Some(page) = &args.into {
        bench.arg("--into").arg(here.join(page));
    }
    shown(bench.args(&args.only).args(films))
}
