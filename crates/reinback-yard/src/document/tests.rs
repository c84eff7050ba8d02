//! Undo and redo of the open yard.

use proptest::prelude::*;

use super::*;
use crate::arbitrary;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    /// Taking everything back gives the beginning; doing it all again gives the end.
    #[test]
    fn undo_all_redo_all(edits in arbitrary::edits()) {
        let mut document = Document::new(arbitrary::empty());
        let mut steps = 0;
        for edit in edits {
            steps += usize::from(document.apply("step", edit).is_ok());
        }
        let end = document.yard().clone();
        let mut undone = 0;
        while document.undo().is_some() {
            undone += 1;
        }
        prop_assert_eq!(undone, steps);
        prop_assert_eq!(document.yard(), &arbitrary::empty());
        let mut redone = 0;
        while document.redo().is_some() {
            redone += 1;
        }
        prop_assert_eq!(redone, steps);
        prop_assert_eq!(document.yard(), &end);
    }
}

fn name(document: &mut Document, name: &str) {
    document
        .apply(format!("Call it {name}"), Edit::YardName(name.into()))
        .unwrap();
}

#[test]
fn labels_follow_the_steps() {
    let mut document = Document::new(Yard::default());
    assert_eq!((document.undo_label(), document.redo_label()), (None, None));
    name(&mut document, "one");
    name(&mut document, "two");
    let turned = document.undo().unwrap();
    assert_eq!(turned.label, "Call it two");
    assert_eq!(
        turned.applied,
        Edit::YardName("one".into()),
        "what has just been applied"
    );
    assert_eq!(document.undo_label(), Some("Call it one"));
    assert_eq!(document.redo_label(), Some("Call it two"));
    name(&mut document, "three");
    assert_eq!(
        document.redo_label(),
        None,
        "a new step ends what could be redone"
    );
}

#[test]
fn a_refused_step_is_no_step() {
    let mut document = Document::new(Yard::default());
    name(&mut document, "one");
    document.undo();
    let revision = document.revision();
    document.take_unsaved();
    assert!(
        document
            .apply("Remove", Edit::Ride(RideId::from_bits(1), None))
            .is_ok()
    );
    let refused = Edit::Horse(crate::HorseId::from_bits(1), Some(horse_without_name()));
    assert!(document.apply("Add horse", refused).is_err());
    assert_eq!(document.revision(), revision + 1);
}

fn horse_without_name() -> crate::Horse {
    let id = crate::HorseId::from_bits(1);
    let (name, stage, notes) = (String::new(), String::new(), String::new());
    crate::Horse {
        id,
        name,
        foaled: None,
        stage,
        notes,
    }
}

#[test]
fn unsaved_files_are_known() {
    let mut document = Document::new(Yard::default());
    assert!(!document.is_unsaved());
    name(&mut document, "one");
    assert_eq!(document.take_unsaved(), [FileKey::Yard].into());
    assert!(!document.is_unsaved());
    document.undo();
    assert!(document.is_unsaved(), "undo changes files as well");
    let files = document.take_unsaved();
    document.mark_unsaved(files);
    assert!(document.is_unsaved());
}

#[test]
fn history_is_bounded() {
    let mut document = Document::new(Yard::default());
    for step in 0..=HISTORY_LIMIT {
        name(&mut document, &step.to_string());
    }
    let undone = std::iter::from_fn(|| document.undo()).count();
    assert_eq!(undone, HISTORY_LIMIT);
    assert_eq!(
        document.yard().name,
        "0",
        "the first step can no longer be taken back"
    );
}

/// Four thousand gestures on a ride, all taken back and all done again.
#[test]
fn four_thousand_steps_can_be_taken_back() {
    const STEPS: i64 = 4_000;
    let (ride, review) = (RideId::from_bits(2), crate::ReviewId::from_bits(4));
    let mut document = Document::new(Yard::default());
    let horse = crate::Horse {
        name: "Wren".into(),
        ..horse_without_name()
    };
    let own = crate::Review {
        id: review,
        reviewer: String::new(),
        blind: false,
    };
    let date = chrono::NaiveDate::from_ymd_opt(2026, 3, 1).unwrap();
    let blank = crate::Ride::new(ride, horse.id, date, own);
    for edit in [
        Edit::Horse(horse.id, Some(horse)),
        Edit::Ride(ride, Some(Box::new(blank))),
    ] {
        document.apply("prepare", edit).unwrap();
    }
    let start = document.yard().clone();
    for step in 0..STEPS {
        // Each mark is made, moved and taken away again by turns.
        let id = crate::MarkId::from_bits(u64::try_from(step / 3).unwrap() + 1);
        let mark = (step % 3 != 2).then(|| crate::Mark {
            id,
            review,
            at: reinback_analysis::Moment(step * 7_919 % 1_000),
            kind: crate::MarkKind::Praise,
            bout: None,
            note: String::new(),
            origin: None,
            press: None,
            place: None,
        });
        document.apply("mark", Edit::Mark(ride, id, mark)).unwrap();
    }
    let end = document.yard().clone();
    for step in 0..STEPS {
        assert!(document.undo().is_some(), "step {step} is taken back");
    }
    assert_eq!(document.yard(), &start);
    for _ in 0..STEPS {
        document.redo();
    }
    assert_eq!(document.yard(), &end);
}
