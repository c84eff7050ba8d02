//! The yard that speed is measured with is a yard like any other.

use std::process::Command;

use reinback_tests::demo::demo_dir;
use reinback_yard::{MarkKind, Ride, Words, check, look};

#[test]
fn it_opens_without_a_word_and_holds_what_it_should() {
    let dir = tempfile::TempDir::new().unwrap();
    let folder = dir.path().join("yard");
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let made = Command::new(cargo)
        .current_dir(demo_dir())
        .args(["xtask", "large-yard", "--rides", "60", "--into"])
        .arg(&folder)
        .output()
        .unwrap();
    assert!(
        made.status.success(),
        "{}",
        String::from_utf8_lossy(&made.stderr)
    );
    let mut problems = check(&folder);
    // It has no films; each ride names one.
    problems.retain(|problem| !problem.message.starts_with("The film"));
    assert_eq!(problems, [], "nothing else is to be said of its files");
    let (yard, _) = look(&folder).unwrap();
    assert_eq!(yard.rides.len(), 60);
    let marks: usize = yard.rides.values().map(|ride| ride.marks.len()).sum();
    assert!((60 * 150..60 * 250).contains(&marks), "{marks} marks");
    let any = |wanted: fn(&MarkKind) -> bool| {
        let mut marks = yard.rides.values().flat_map(|ride| &ride.marks);
        marks.any(|mark| wanted(&mark.kind))
    };
    assert!(any(|kind| matches!(kind, MarkKind::Fault(_))));
    assert!(any(|kind| matches!(kind, MarkKind::Change(Some(_)))));
    assert!(any(|kind| matches!(kind, MarkKind::Aid)));
    assert!(any(|kind| matches!(kind, MarkKind::Praise)));
    let some = |has: fn(&Ride) -> bool| yard.rides.values().any(|ride| has(ride));
    assert!(some(|ride| ride.bouts.iter().any(|bout| !bout.reviewed)));
    assert!(some(|ride| !ride.paces.is_empty()));
    assert!(some(|ride| !ride.outlines.is_empty()));
    assert!(some(|ride| !ride.tempos.is_empty()));
    for ride in yard.rides.values() {
        check_words(&yard.words, ride);
    }
}

/// Every word in it is one of those a yard starts with.
fn check_words(words: &Words, ride: &Ride) {
    for bout in &ride.bouts {
        let exercise = words.exercise(&bout.exercise);
        assert!(exercise.is_some(), "{} is no word", bout.exercise);
        let Some(exercise) = exercise else { continue };
        assert_eq!(exercise.sided, bout.rein.is_some(), "{}", bout.exercise);
        if let Some(variant) = &bout.variant {
            let known = exercise.variants.iter().any(|word| word.id == *variant);
            assert!(known, "{}: {variant}", bout.exercise);
        }
        for mark in ride.marks.iter().filter(|mark| mark.bout == Some(bout.id)) {
            if let MarkKind::Fault(fault) = &mark.kind {
                let known = exercise.faults.iter().any(|word| word.id == *fault);
                assert!(known, "{}: {fault}", bout.exercise);
            }
        }
    }
}
