//! Notes on their way, without a window.

use std::ops::ControlFlow;

use reinback_yard::{MarkKind, Yard};

use super::read::{Source, read};
use super::*;
use crate::report::sample;

const SECOND: i64 = 1_000_000_000;

fn text(text: &str) -> Source {
    Source::Text {
        name: "pasted".into(),
        text: text.into(),
        about: None,
        layout: None,
    }
}

fn import(notes: &str) -> NotesImport {
    let mut import = NotesImport {
        reading: Some(1),
        ..NotesImport::default()
    };
    let result = read(text(notes), &Words::default(), &mut || {
        ControlFlow::Continue(())
    });
    import.take(1, result);
    import
}

/// A ride of the sample yard without a time of day.
fn ride() -> (Yard, Arc<Ride>) {
    let yard = sample::yard();
    let mut ride = yard.rides_by_date()[0].clone();
    ride.head.time = None;
    (yard.clone(), Arc::new(ride))
}

fn work_out(import: &mut NotesImport, ride: &Arc<Ride>) -> Vec<i64> {
    import.work_out(ride, ride.head.counting, &chrono::Utc);
    let rounded = |at: &Moment| (at.0 + SECOND / 2) / SECOND;
    import.moments().iter().map(rounded).collect()
}

#[test]
fn moments_place_notes_and_a_third_replaces_the_nearer() {
    let (_, ride) = ride();
    let mut import = import("10:42:00 late\n10:43:00 tense\n10:52:00 stuck\n");
    assert!(work_out(&mut import, &ride).is_empty());
    let placement = import.outcome().unwrap().placement;
    assert_eq!(placement, Err(Unplaced::NoTimeOfDay));
    import.match_moment(0, Moment(10 * SECOND));
    assert_eq!(work_out(&mut import, &ride), [10, 70, 610]);
    import.match_moment(2, Moment(616 * SECOND));
    assert_eq!(work_out(&mut import, &ride), [10, 71, 616]);
    assert_eq!(import.outcome().unwrap().by, PlacedBy::TwoMoments);
    // The first note once more, then a third one near it.
    import.match_moment(0, Moment(12 * SECOND));
    import.match_moment(1, Moment(75 * SECOND));
    assert_eq!(
        import.anchors,
        [(1, Moment(75 * SECOND)), (2, Moment(616 * SECOND))]
    );
    import.match_moment(2, Moment(20 * SECOND));
    assert!(work_out(&mut import, &ride).is_empty());
    let placement = import.outcome().unwrap().placement;
    assert_eq!(placement, Err(Unplaced::Anchors(AnchorError::Reversed)));
}

#[test]
fn a_decision_changes_what_is_placed() {
    let (_, ride) = ride();
    let mut import = import("0:10 quaters trailing\n0:20 wobbly\n");
    work_out(&mut import, &ride);
    let kinds = |import: &NotesImport| import.outcome().unwrap().placed[0].kinds.clone();
    assert_eq!(kinds(&import), [MarkKind::Note]);
    assert_eq!(import.open_questions().count(), 1);
    let question = import.open_questions().next().unwrap().clone();
    import
        .decisions
        .insert(question.key, Some(question.candidates[0].clone()));
    import.changed();
    work_out(&mut import, &ride);
    assert_eq!(
        kinds(&import),
        [MarkKind::Fault(sample::word("quarters-trailing"))]
    );
    assert_eq!(import.open_questions().count(), 0);
    let mut ids = IdMaker::seeded(1);
    let (label, edit) = import.step(&ride, ride.head.counting, &mut ids).unwrap();
    assert_eq!(label, "place 2 notes");
    assert!(matches!(edit, Edit::Batch(marks) if marks.len() == 2));
}

/// As many exercises as before, but another: what was worked out of the old one is not placed.
#[test]
fn a_ride_changed_meanwhile_is_worked_out_anew() {
    let (_, ride) = ride();
    let mut import = import("1:05 half-pass tense\n");
    work_out(&mut import, &ride);
    let about = |import: &NotesImport| import.outcome().unwrap().placed[0].bouts[0];
    assert_eq!(about(&import), Some(ride.bouts[0].id));
    let mut changed = Ride::clone(&ride);
    changed.bouts[0].id = reinback_yard::BoutId::from_bits(77);
    work_out(&mut import, &Arc::new(changed.clone()));
    assert_eq!(about(&import), Some(changed.bouts[0].id));
}

#[test]
fn a_late_answer_is_not_taken() {
    let mut import = import("0:10 late");
    let other = read(text("0:20 tense"), &Words::default(), &mut || {
        ControlFlow::Continue(())
    });
    import.take(7, other);
    assert_eq!(import.notes.as_ref().unwrap().notes[0].text, "late");
}

#[test]
fn what_cannot_be_read_is_said() {
    let words = Words::default();
    let go_on = &mut || ControlFlow::Continue(());
    let error = read(text(" \n"), &words, go_on).unwrap_err();
    assert_eq!(error, "pasted holds no notes");
    let error = read(Source::File("/nowhere/rail.csv".into()), &words, go_on).unwrap_err();
    assert!(error.starts_with("rail.csv: cannot be read"), "{error}");
    let stopped = read(text("0:10 late"), &words, &mut || ControlFlow::Break(()));
    assert!(stopped.is_err());
}
