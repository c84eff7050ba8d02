//! `cargo xtask test`: everything that must hold before a change lands.

use crate::run::{Outcome, cargo, say, shown, succeeds};
use crate::system::{For, ensure};
use crate::{film, film_check, fuzz, reference, tidy};

/// Runs every check, cheapest first, and the tests last so that their summary closes the run.
pub(crate) fn run() -> Outcome {
    ensure(&[For::Build, For::Sound, For::Films, For::Pages])?;
    for (tool, component) in [("fmt", "rustfmt"), ("clippy", "clippy")] {
        if !succeeds("cargo", &[tool, "--version"]) {
            return Err(format!(
                "cargo {tool} is missing; install it with: rustup component add {component}"
            ));
        }
    }
    shown(cargo().args(["fmt", "--all", "--check"]))?;
    say("\n> tidy");
    tidy::run()?;
    say("\n> film --check");
    film::check_all().map_err(|error| error.to_string())?;
    shown(cargo().args([
        "clippy",
        "--workspace",
        "--all-targets",
        "--locked",
        "--",
        "-D",
        "warnings",
    ]))?;
    shown(
        cargo()
            .args(["doc", "--workspace", "--no-deps", "--locked"])
            .env("RUSTDOCFLAGS", "-D warnings"),
    )?;
    shown(cargo().args(["test", "--workspace", "--doc", "--locked", "--quiet"]))?;
    fuzz::run()?;
    reference::run()?;
    film_check::run_here()?;
    // nextest kills a test that hangs; without it the same tests run under cargo's own runner.
    if succeeds("cargo", &["nextest", "--version"]) {
        shown(cargo().args(["nextest", "run", "--workspace", "--locked"]))
    } else {
        shown(cargo().args(["test", "--workspace", "--all-targets", "--locked"]))
    }
}
