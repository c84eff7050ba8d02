//! The fuzz target, built like any program and run over one film, so that it cannot rot unseen.
//!
//! Without a sanitizer and without searching: that is for `cargo fuzz`, see the target's README.

use std::fs;

use crate::run::{Outcome, cargo, root, shown, target};

/// Builds the target with the workspace's versions of what both use, and runs it once.
pub(crate) fn run() -> Outcome {
    let folder = root().join("crates/reinback-film/fuzz");
    // The target is a workspace of its own, whose lock is not kept.
    fs::copy(root().join("Cargo.lock"), folder.join("Cargo.lock"))
        .map_err(|error| format!("{}: {error}", folder.display()))?;
    shown(
        cargo()
            .args(["run", "--quiet", "--manifest-path"])
            .arg(folder.join("Cargo.toml"))
            .arg("--target-dir")
            .arg(target())
            .arg("--")
            .arg(root().join("demo-sessions/films/evening-ride.mp4")),
    )
}
