//! `docs/keyboard.md` is written from the list of commands. Run with `UPDATE_DOCS=1` to renew it.

#![expect(
    clippy::unwrap_used,
    reason = "a page that cannot be written fails the test"
)]

use std::fmt::Write as _;
use std::path::Path;

use reinback::command::{Command, FIXED};
use reinback::keymap::KeyMap;
use reinback::rooms::review::measure;

fn page() -> String {
    let ctx = egui::Context::default();
    ctx.set_os(egui::os::OperatingSystem::Nix);
    let mut text = String::from(
        "# Keys\n\nWritten from the program's list of commands by `UPDATE_DOCS=1 cargo test -p reinback --test keyboard`.\n\
         On a Mac, Ctrl is Command.\n",
    );
    let mut group = "";
    for &command in Command::ALL {
        if command.group() != group {
            group = command.group();
            write!(
                text,
                "\n## {group}\n\n| Keys | What | |\n| --- | --- | --- |\n"
            )
            .unwrap();
            for (_, keys, what, tip) in FIXED.iter().filter(|row| row.0 == group) {
                let keys = KeyMap::default().in_text(keys, &ctx);
                writeln!(text, "| {keys} | {what} | {tip} |").unwrap();
            }
        }
        let keys: Vec<String> = command
            .presses()
            .iter()
            .map(|press| format!("`{}`", press.text(&ctx)))
            .collect();
        writeln!(
            text,
            "| {} | {} | {} |",
            keys.join(" or "),
            command.text(),
            command.tip()
        )
        .unwrap();
        if command == Command::Measure {
            for (keys, what, tip) in measure::keys::PAGE {
                let keys = KeyMap::default().in_text(keys, &ctx);
                writeln!(text, "| measuring: {keys} | {what} | {tip} |").unwrap();
            }
        }
    }
    text
}

#[test]
fn the_page_of_keys_is_current() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/keyboard.md");
    let page = page();
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&path, &page).unwrap();
    }
    let written = std::fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(written, page, "renew docs/keyboard.md with UPDATE_DOCS=1");
}
