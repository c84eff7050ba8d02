//! The browser that opens the page of the report, under whichever name a system has it.
//!
//! `cargo xtask` has this file too, and none of our crates: it needs nothing but `std`.

use std::process::Command;

/// What the browser is called: Debian, Fedora and Arch; Ubuntu and older ones; the vendor's own
/// packages; macOS. From memory but for the first.
const NAMES: [&str; 6] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
];

/// The first of its names that is there.
#[must_use]
pub fn chromium() -> Option<&'static str> {
    let answers = |name: &&str| {
        let output = Command::new(name).arg("--version").output();
        output.is_ok_and(|output| output.status.success())
    };
    NAMES.into_iter().find(answers)
}
