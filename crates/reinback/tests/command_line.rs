//! The program itself, run as a person or a script runs it: what it prints, its exit code, and
//! that it leaves the yard as it was.

#![expect(
    clippy::unwrap_used,
    reason = "a run that cannot be made fails the test"
)]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-sessions/yard")
}

fn reinback(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_reinback"))
        .args(arguments)
        .output()
        .unwrap()
}

fn content(folder: &Path, found: &mut BTreeMap<PathBuf, Vec<u8>>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            content(&path, found);
        } else {
            found.insert(path.clone(), fs::read(&path).unwrap());
        }
    }
}

/// Runs it on the demo, which must be the same afterwards.
#[track_caller]
fn check(arguments: &[&str], code: i32, said: &str) -> Output {
    let yard = demo();
    let (mut before, mut after) = (BTreeMap::new(), BTreeMap::new());
    content(&yard, &mut before);
    let mut all = arguments.to_vec();
    all.extend(["--yard", yard.to_str().unwrap()]);
    let output = reinback(&all);
    content(&yard, &mut after);
    assert!(before == after, "{arguments:?} changed the yard");
    let printed = [&output.stdout[..], &output.stderr[..]].concat();
    let printed = String::from_utf8(printed).unwrap();
    assert_eq!(output.status.code(), Some(code), "{arguments:?}: {printed}");
    assert!(printed.contains(said), "{arguments:?} says: {printed}");
    output
}

#[test]
fn each_verb_answers_and_leaves_the_yard_as_it_was() {
    check(&["report", "--format", "csv"], 0, "half-pass");
    check(&["report", "--horse", "nobody"], 2, "nobody");
    check(&["report", "--from", "2026-13-01"], 2, "2026-13-01");
    let report = check(&["report", "--horse", "quill"], 0, "Wilson");
    let report: Value = serde_json::from_slice(&report.stdout).unwrap();
    assert_eq!(report["horses"].as_array().unwrap().len(), 1);
    assert_eq!(report["horses"][0]["name"], "Quill");
}

#[test]
fn check_names_films_that_are_not_there() {
    // The films lie beside the yard until `cargo xtask demo` puts them into its copy.
    check(&["check"], 1, "The film");
}

#[test]
fn a_folder_that_is_not_there_gets_a_sentence() {
    for verb in ["report", "check"] {
        let output = reinback(&[verb, "--yard", "/no/such/yard"]);
        assert_eq!(output.status.code(), Some(2));
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(said.contains("/no/such/yard"), "{said}");
    }
}

/// The four stories of the demo, from its files: what is better, worse, one-sided and too rare.
#[test]
fn the_month_tells_the_four_stories_of_the_demo() {
    let asked = ["report", "--horse", "sonnet", "--period", "month"];
    let report = check(&asked, 0, "now_against_before");
    let report: Value = serde_json::from_slice(&report.stdout).unwrap();
    assert_eq!(report["period"]["from"], "2026-11-01");
    assert_eq!(report["period"]["to"], "2026-11-20");
    assert_eq!(report["compared_with"]["to"], "2026-10-31");
    let exercises = report["horses"][0]["exercises"].as_array().unwrap();
    let line = |name: &str| {
        let found = exercises.iter().find(|line| line["exercise"] == name);
        found.unwrap().clone()
    };
    let verdict = |name: &str| line(name)["against_before"]["now_against_before"].clone();
    assert_eq!(verdict("flying-change"), "fewer");
    assert_eq!(verdict("halt"), "more");
    assert_eq!(verdict("half-pirouette-in-canter"), "too_few");
    assert_eq!(line("half-pass")["reins"]["right_against_left"], "fewer");
    for (place, name, why) in [
        (1, "halt", "more_than_before"),
        (2, "half-pass", "left_worse"),
    ] {
        let line = line(name);
        assert_eq!(line["work_on_first"], place);
        assert_eq!(line["work_on_first_because"], Value::from(vec![why]));
    }
    check(
        &["report", "--period", "month", "--from", "2026-11-01"],
        2,
        "cannot be used with",
    );
}
