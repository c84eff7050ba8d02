//! Running programs, and saying so.

use std::ffi::OsStr;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Stdio};

/// What a verb comes to: nothing, or a sentence.
pub(crate) type Outcome = Result<(), String>;

/// The workspace's folder.
pub(crate) fn root() -> PathBuf {
    // Cargo says which checkout it runs us from; what was known when this was compiled stands
    // in for it when the program is started by itself.
    let ours = std::env::var_os("CARGO_MANIFEST_DIR");
    let crates = ours.map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from);
    crates
        .ancestors()
        .nth(2)
        .map_or_else(|| PathBuf::from("."), PathBuf::from)
}

/// The folder that cargo builds into.
pub(crate) fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR")
        .map_or_else(|| root().join("target"), |dir| root().join(dir))
}

/// A line for the person at the terminal.
pub(crate) fn say(text: &str) {
    // A closed terminal is no reason to stop.
    let _closed = writeln!(std::io::stdout(), "{text}");
}

/// A line on the error stream.
pub(crate) fn say_error(text: &str) {
    let _closed = writeln!(std::io::stderr(), "{text}");
}

/// Cargo, as whoever called us uses it.
pub(crate) fn cargo() -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(root());
    command
}

/// Runs a program with its output shown; anything but success is an error.
pub(crate) fn shown(command: &mut Command) -> Outcome {
    let line = line_of(command);
    say(&format!("\n> {line}"));
    let status = command
        .status()
        .map_err(|error| format!("{line}: could not be started: {error}"))?;
    if status.success() {
        Ok(())
    } else {
        Err(format!("{line}: failed ({status})"))
    }
}

/// Whether a program runs and succeeds, quietly.
pub(crate) fn succeeds(program: &str, arguments: &[&str]) -> bool {
    let status = Command::new(program)
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    status.is_ok_and(|status| status.success())
}

fn line_of(command: &Command) -> String {
    let parts = std::iter::once(command.get_program()).chain(command.get_args());
    parts
        .map(OsStr::to_string_lossy)
        .collect::<Vec<_>>()
        .join(" ")
}
