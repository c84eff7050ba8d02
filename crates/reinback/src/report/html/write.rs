//! Where a page goes: whole or not at all, and over nothing that is not a page of ours.

use std::fs::File;
use std::io::Read as _;
use std::path::Path;

use super::frame::GENERATOR;

/// As far into a file as the line that says what made it.
const HEAD: u64 = 2048;

/// Writes a page into a file. One that is in the way is replaced only if it is a page of ours.
///
/// `home` is the yard's own folder, into which no report is written.
///
/// # Errors
/// A clause for the rider; nothing has been written then.
pub fn write(page: &str, home: &Path, into: &Path) -> Result<(), String> {
    let shown = into.display();
    let inside = |folder: &Path| {
        Some(
            folder
                .canonicalize()
                .ok()?
                .starts_with(home.canonicalize().ok()?),
        )
    };
    let folder = into
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    if inside(folder.unwrap_or(Path::new("."))) == Some(true) {
        return Err(format!(
            "“{shown}” lies in the yard itself; choose a place outside it"
        ));
    }
    if into.is_dir() {
        return Err(format!(
            "“{shown}” is a folder; name the file, such as progress.html"
        ));
    }
    if into.exists() && !is_ours(into) {
        return Err(format!(
            "“{shown}” is there already and is no page of Reinback's; choose another name"
        ));
    }
    reinback_yard::replace_file(into, page.as_bytes())
        .map_err(|error| format!("“{shown}” could not be written: {error}; choose another place"))
}

/// Whether a file is a page that this program made, whatever its version.
fn is_ours(file: &Path) -> bool {
    let mut head = Vec::new();
    let read = File::open(file).and_then(|file| file.take(HEAD).read_to_end(&mut head));
    let program = GENERATOR.split(' ').next().unwrap_or(GENERATOR);
    let ours = format!("<meta name=\"generator\" content=\"{program} ");
    read.is_ok() && String::from_utf8_lossy(&head).contains(&ours)
}
