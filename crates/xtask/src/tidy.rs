//! `cargo xtask tidy`: what compilers do not check.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use cargo_metadata::MetadataCommand;

use crate::run::{Outcome, root, say};

/// Arrows between our crates, as DEVELOPERS.md draws them. Anything else fails.
const ARROWS: [(&str, &[&str]); 6] = [
    ("reinback-analysis", &[]),
    ("reinback-film", &[]),
    ("reinback-yard", &["reinback-analysis"]),
    (
        "reinback",
        &["reinback-analysis", "reinback-film", "reinback-yard"],
    ),
    (
        "reinback-tests",
        &[
            "reinback",
            "reinback-analysis",
            "reinback-film",
            "reinback-yard",
        ],
    ),
    ("xtask", &[]),
];

/// Packages that only one of our crates may use.
const RESERVED: [(&str, &[&str]); 5] = [
    ("cpal", &["reinback"]),
    ("ffmpeg-the-third", &["reinback-film"]),
    ("ffmpeg-sys-the-third", &["reinback-film"]),
    ("egui", &["reinback", "reinback-tests"]),
    ("eframe", &["reinback", "reinback-tests"]),
];

/// A file with more lines than this has a second subject in it.
const LONGEST_FILE: usize = 700;

/// Runs the checks; every finding is listed.
pub(crate) fn run() -> Outcome {
    let mut findings = arrows()?;
    for file in tracked_files()? {
        let Ok(text) = fs::read_to_string(root().join(&file)) else {
            continue;
        };
        findings.extend(text_findings(&file, &text));
    }
    if findings.is_empty() {
        say("tidy: nothing found");
        return Ok(());
    }
    Err(format!(
        "{}\ntidy: {} findings",
        findings.join("\n"),
        findings.len()
    ))
}

fn arrows() -> Result<Vec<String>, String> {
    let metadata = MetadataCommand::new()
        .manifest_path(root().join("Cargo.toml"))
        .no_deps()
        .exec()
        .map_err(|error| format!("cargo metadata: {error}"))?;
    let ours: BTreeSet<&str> = metadata
        .packages
        .iter()
        .map(|package| package.name.as_str())
        .collect();
    let mut findings = Vec::new();
    for package in &metadata.packages {
        let name = package.name.as_str();
        let Some((_, allowed)) = ARROWS.iter().find(|(from, _)| *from == name) else {
            findings.push(format!(
                "{name}: not drawn in the arrows of tidy.rs and DEVELOPERS.md"
            ));
            continue;
        };
        for dependency in &package.dependencies {
            let to = dependency.name.as_str();
            if ours.contains(to) && !allowed.contains(&to) {
                findings.push(format!("{name}: must not depend on {to}"));
            }
            let reserved = RESERVED.iter().find(|(what, _)| *what == to);
            if reserved.is_some_and(|(_, users)| !users.contains(&name)) {
                findings.push(format!("{name}: {to} is used in another crate only"));
            }
        }
    }
    Ok(findings)
}

/// Files git tracks or would track.
fn tracked_files() -> Result<Vec<PathBuf>, String> {
    let output = Command::new("git")
        .current_dir(root())
        .args([
            "ls-files",
            "-z",
            "--cached",
            "--others",
            "--exclude-standard",
        ])
        .output()
        .map_err(|error| format!("git ls-files: {error}"))?;
    if !output.status.success() {
        let why = String::from_utf8_lossy(&output.stderr);
        return Err(format!("git ls-files: {}", why.trim()));
    }
    let list = String::from_utf8_lossy(&output.stdout).into_owned();
    Ok(list
        .split('\0')
        .filter(|name| !name.is_empty())
        .map(PathBuf::from)
        .collect())
}

fn text_findings(file: &Path, text: &str) -> Vec<String> {
    let name = file.display();
    let ending = file
        .extension()
        .and_then(|e| e.to_str())
        .unwrap_or_default();
    let mut findings = Vec::new();
    if matches!(ending, "rs" | "toml" | "md" | "ron") {
        for (at, line) in text.lines().enumerate() {
            if line.ends_with([' ', '\t']) && ending != "md" {
                findings.push(format!("{name}:{}: space at the end of the line", at + 1));
            }
        }
        if !text.is_empty() && !text.ends_with('\n') {
            findings.push(format!("{name}: no line end at the end"));
        }
    }
    if ending == "md" {
        findings.extend(
            placeholders(text).map(|(at, word)| format!("{name}:{at}: {word} was to be filled in")),
        );
    }
    if ending == "rs" {
        findings.extend(rust_findings(file, text));
    }
    findings
}

/// Words between at signs, all in capitals, with their lines.
fn placeholders(text: &str) -> impl Iterator<Item = (usize, String)> {
    let in_line = |line: &str| -> Vec<String> {
        let parts: Vec<&str> = line.split('@').collect();
        let between = parts.get(1..parts.len() - 1).unwrap_or_default();
        between
            .iter()
            .filter(|word| !word.is_empty() && word.chars().all(|c| c.is_ascii_uppercase()))
            .map(|word| format!("@{word}@"))
            .collect()
    };
    text.lines()
        .zip(1..)
        .flat_map(move |(line, at)| in_line(line).into_iter().map(move |word| (at, word)))
}

fn rust_findings(file: &Path, text: &str) -> Vec<String> {
    let name = file.display();
    let mut findings = Vec::new();
    if !text.starts_with("//!") {
        findings.push(format!(
            "{name}: does not begin with what it is about (//!)"
        ));
    }
    let lines = text.lines().count();
    if lines > LONGEST_FILE {
        findings.push(format!(
            "{name}: {lines} lines, more than {LONGEST_FILE}; look for the second subject"
        ));
    }
    // Spelled apart, so that this file does not find itself.
    for word in [
        concat!("TO", "DO"),
        concat!("FIX", "ME"),
        concat!("XX", "X"),
    ] {
        for (at, line) in text.lines().enumerate() {
            let whole = line
                .split(|c: char| !c.is_alphanumeric())
                .any(|part| part == word);
            if whole {
                findings.push(format!("{name}:{}: {word} left over", at + 1));
            }
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(file: &str, text: &str, expect: &[&str]) {
        let found = text_findings(Path::new(file), text);
        assert_eq!(found.len(), expect.len(), "{found:?}");
        for (found, expect) in found.iter().zip(expect) {
            assert!(found.contains(expect), "{found} does not say {expect}");
        }
    }

    #[test]
    fn findings_are_found() {
        check("a.rs", "//! About.\nfn a() {}\n", &[]);
        check("a.rs", "fn a() {}\n", &["does not begin"]);
        check("a.rs", "//! About. \n", &["space at the end"]);
        check("a.toml", "[a]", &["no line end"]);
        check("a.md", "Took @FIGURES@ ms.\n", &["@FIGURES@ was to be"]);
        check("a.md", "Ask a@b.example or b@c.example, @ 3 @.\n", &[]);
        check(
            "a.rs",
            concat!("//! About.\n// TO", "DO later\n"),
            &["left over"],
        );
        check(
            "a.rs",
            &format!("//! About.\n{}", "\n".repeat(LONGEST_FILE)),
            &["more than"],
        );
        check("film.mp4", "x ", &[]);
    }

    #[test]
    fn arrows_of_this_tree_are_drawn() {
        assert_eq!(arrows(), Ok(Vec::new()));
    }
}
