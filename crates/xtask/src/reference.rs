//! `cargo xtask reference`: the committed reference figures, computed anew by Python.

use std::process::Command;

use crate::run::{Outcome, root, say, shown, succeeds};

/// The Python whose packages the committed figures were computed with.
const VERSION: &str = "3.11";

/// Runs the comparison in an environment below `target`; told and skipped where that Python, or
/// its venv, is not there, since a machine that builds Reinback need not have it.
pub(crate) fn run() -> Outcome {
    let Some(python) = python() else {
        say(&format!(
            "\nskipped: reference figures (no Python {VERSION} with venv and pip)"
        ));
        return Ok(());
    };
    shown(
        Command::new(python)
            .current_dir(root())
            .args(["tests/reference/compare.py", "target/reference-venv"]),
    )
}

fn python() -> Option<String> {
    let check = format!(
        "import sys, venv, ensurepip; sys.exit('{VERSION}' != '%d.%d' % sys.version_info[:2])"
    );
    let names = [format!("python{VERSION}"), "python3".to_owned()];
    names
        .into_iter()
        .find(|name| succeeds(name, &["-c", &check]))
}
