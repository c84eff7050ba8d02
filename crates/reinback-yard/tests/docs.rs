//! The examples of docs/file-format.md are what it says they are.

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "what a test calls may fail as the test does"
)]

use std::fs;
use std::path::Path;

use reinback_yard::{MarkKind, Store};
use tempfile::TempDir;

/// The fenced block of this kind.
fn example(kind: &str) -> String {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/file-format.md");
    let page = fs::read_to_string(page).unwrap().replace("\r\n", "\n");
    let (_, rest) = page.split_once(&format!("```{kind}\n")).expect(kind);
    rest.split_once("```")
        .expect("the end of the block")
        .0
        .to_owned()
}

#[test]
fn the_examples_make_a_yard() {
    let dir = TempDir::new().unwrap();
    let rides = dir.path().join("rides/2026");
    fs::create_dir_all(&rides).unwrap();
    fs::write(dir.path().join("yard.ron"), example("ron yard")).unwrap();
    fs::write(rides.join("ride.ron"), example("ron ride")).unwrap();
    let opened = Store::open(dir.path()).unwrap();
    assert_eq!(opened.problems, [], "the examples are sound");
    let ride = opened.yard.rides_by_date()[0].clone();
    assert_eq!(opened.yard.horse(ride.head.horse).unwrap().name, "Astra");
    assert_eq!(
        (ride.bouts.len(), ride.marks.len(), ride.films.len()),
        (1, 1, 1)
    );
    drop(opened);

    fs::write(dir.path().join("journal.ron"), example("text journal")).unwrap();
    let opened = Store::open(dir.path()).unwrap();
    let ride = opened.yard.rides_by_date()[0];
    assert_eq!(
        ride.marks.len(),
        2,
        "the journal's mark has come: {:?}",
        opened.problems
    );
    assert_eq!(
        (&ride.marks[1].kind, &*ride.marks[1].note),
        (&MarkKind::Praise, "late\nthought")
    );
}
