//! `cargo xtask reference`: the committed reference figures, computed anew by Python, and the
//! Parquet files of two yards, read back by other engines.

use std::fs;
use std::process::Command;

use crate::large_yard;
use crate::run::{Outcome, cargo, root, say, shown, succeeds, target};

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
            .args(["tests/reference/compare.py", ENVIRONMENT]),
    )?;
    read_back()
}

/// Where the packages are installed; below the workspace's folder.
const ENVIRONMENT: &str = "target/reference-venv";

/// The demo yard and a small invented one with other reviewers, as Parquet: the same counts in
/// every engine, and the queries of `docs/at-scale.md`.
fn read_back() -> Outcome {
    shown(cargo().args(["build", "--workspace", "--bin", "reinback", "--locked"]))?;
    let program = format!("reinback{}", std::env::consts::EXE_SUFFIX);
    let yard = target().join("reference-yard");
    if yard.exists() {
        fs::remove_dir_all(&yard).map_err(|error| format!("{}: {error}", yard.display()))?;
    }
    large_yard::make(300, &yard)?;
    shown(
        Command::new(root().join(ENVIRONMENT).join("bin/python"))
            .current_dir(root())
            .arg("tests/reference/scale.py")
            .arg(target().join("debug").join(program))
            .arg("demo-sessions/yard")
            .arg(yard),
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
