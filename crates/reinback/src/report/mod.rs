//! The numbers of the Progress room for other programs, and a check of a yard's files.

use std::path::PathBuf;
use std::process::ExitCode;

/// What the command line can be asked.
#[derive(Debug, clap::Subcommand)]
pub enum Verb {
    /// Prints the numbers of the Progress room.
    Report {
        /// The yard's folder.
        #[arg(long)]
        yard: PathBuf,
    },
}

/// Answers on the command line.
#[must_use]
pub fn run(_verb: &Verb) -> ExitCode {
    ExitCode::SUCCESS
}

/// Says why nothing could be done; exit code 2.
#[must_use]
pub fn could_not_run(_why: &str) -> ExitCode {
    ExitCode::from(2)
}
