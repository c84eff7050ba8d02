//! The checks and generators that cargo alone cannot express.
//!
//! Run as `cargo xtask VERB`; `cargo xtask help` lists the verbs.
//!
//! **Invariant:** depends on none of our crates, so that it builds on a machine that has
//! nothing but Rust, and can install what the others need.

// The tests look for the same browser.
#[expect(unreachable_pub, reason = "the tests' library has it for others")]
#[path = "../../../tests/src/browser.rs"]
mod browser;
mod demo;
mod film;
mod film_bench;
mod film_check;
mod fuzz;
mod large_yard;
mod reference;
mod run;
mod system;
mod test;
mod tidy;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// The checks and generators of the project.
#[derive(Parser)]
#[command(name = "xtask")]
struct Cli {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand)]
enum Verb {
    /// Install what is missing, build, draw the demo's short films and open the demo yard.
    Demo(demo::DemoArgs),
    /// Install what is missing and run every check and test.
    Test,
    /// Check what compilers do not: arrows between crates, file lengths, headers.
    Tidy,
    /// Draw the demo films, or check their truth against their scripts.
    Film(film::FilmArgs),
    /// Compare the film engine with ffprobe and ffmpeg on the films named.
    FilmCheck(film_check::FilmCheckArgs),
    /// Compute the statistics' reference figures anew with Python and compare.
    Reference,
    /// Make a yard of ten years and 30 000 rides, to measure with.
    LargeYard(large_yard::LargeYardArgs),
    /// Measure the film engine beside ffmpeg.
    FilmBench(film_bench::FilmBenchArgs),
}

fn main() -> ExitCode {
    let outcome = match Cli::parse().verb {
        Verb::Demo(args) => demo::run(&args),
        Verb::Test => test::run(),
        Verb::Tidy => tidy::run(),
        Verb::Film(args) => film::run(&args).map_err(|error| error.to_string()),
        Verb::FilmCheck(args) => film_check::run(&args),
        Verb::Reference => reference::run(),
        Verb::LargeYard(args) => large_yard::run(&args),
        Verb::FilmBench(args) => film_bench::run(&args),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            run::say_error(&error);
            ExitCode::FAILURE
        }
    }
}
