//! Makes `demo-sessions/yard` and the scripts and truths of its short films anew.
//!
//! `cargo run -p reinback-tests --bin demo_yard` writes the same bytes every time; the truths
//! come from `cargo xtask film --truths`, which knows how the scripts are ridden.

use std::fs;
use std::process::{Command, ExitCode};

use reinback_tests::demo::{Failure, demo_dir, write_scripts, write_yard};

#[expect(clippy::print_stderr, reason = "a program for the terminal")]
fn main() -> ExitCode {
    match make() {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("demo_yard: {why}");
            ExitCode::FAILURE
        }
    }
}

#[expect(clippy::print_stdout, reason = "a program for the terminal")]
fn make() -> Result<(), Failure> {
    let demo = demo_dir();
    let (films, yard) = (demo.join("films"), demo.join("yard"));
    write_scripts(&films)?;
    let drawn = Command::new("cargo")
        .args(["xtask", "film", "--truths"])
        .current_dir(&demo)
        .status()?;
    if !drawn.success() {
        return Err("the truths of the films could not be written".into());
    }
    if yard.exists() {
        fs::remove_dir_all(&yard)?;
    }
    write_yard(&yard, &films)?;
    // The lock of a yard that is no longer open.
    let _absent = fs::remove_file(yard.join(".lock"));
    println!("The demo yard is in {}", yard.display());
    Ok(())
}
