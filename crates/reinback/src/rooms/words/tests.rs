//! Words changed and kept.

use super::*;

#[test]
fn what_is_not_changed_stays_as_it_is() {
    let words = Words::default();
    let draft = WordsDraft::new(&words);
    assert_eq!(draft.words(), words);
    assert!(!draft.is_changed());
    assert_eq!(draft.problems().0, []);
}

/// A page opened before the yard's words changed is not kept over them.
#[test]
fn a_draft_knows_what_it_began_from() {
    let words = Words::default();
    let mut draft = WordsDraft::new(&words);
    draft.outlines[0].name = "another name".into();
    assert!(draft.began_from(&words));
    assert!(!draft.began_from(&draft.words()));
}

/// A rename keeps the id, so that every ride keeps its word; what is new gets an id from its name,
/// also one like a word that is there.
#[test]
fn names_change_and_ids_stay() {
    let words = Words::default();
    let mut draft = WordsDraft::new(&words);
    draft.exercises[0].exercise.name = " another name ".into();
    draft.exercises[0].faults[0].name = "another fault".into();
    draft.exercises[0].faults.push(WordDraft {
        id: None,
        name: words.exercises[0].faults[1].name.clone(),
    });
    draft.exercises[0].faults.push(WordDraft::default());
    let (old, kept) = (&words.exercises[0], &draft.words().exercises[0]);
    assert_eq!((&kept.id, kept.name.as_str()), (&old.id, "another name"));
    assert_eq!(kept.faults[0].id, old.faults[0].id);
    assert_eq!(kept.faults[0].name, "another fault");
    let new = kept.faults.last().unwrap();
    assert_eq!(new.id.as_str(), format!("{}-2", old.faults[1].id));
    assert_eq!(
        kept.faults.len(),
        old.faults.len() + 1,
        "nameless ones are left out"
    );
}

#[test]
fn a_new_exercise_is_told_what_it_lacks() {
    let mut draft = WordsDraft::new(&Words::default());
    draft.add_exercise();
    let new = draft.exercises.len() - 1;
    let (bars, _) = draft.problems();
    assert!(
        bars.iter()
            .any(|problem| matches!(problem, WordProblem::NoName { .. })),
        "{bars:?}"
    );
    draft.exercises[new].exercise.name = "Half-pass".into();
    let taken = draft.exercises[0].exercise.short.clone();
    draft.exercises[new].exercise.short = taken;
    let (bars, _) = draft.problems();
    assert!(
        bars.iter()
            .any(|problem| matches!(problem, WordProblem::DuplicateShort { .. })),
        "{bars:?}"
    );
    draft.exercises[new].exercise.short = " XY ".into();
    assert_eq!(draft.problems().0, []);
    let words = draft.words();
    assert_eq!(words.exercises[new].short, "xy");
    assert_eq!(
        words.exercises[new].id.as_str(),
        "half-pass-2",
        "the first stays the first"
    );
    draft.remove_exercise(new);
    assert!(!draft.is_changed());
}

/// A number of strides belongs to a series only.
#[test]
fn what_is_no_series_asks_for_no_strides() {
    let mut draft = WordsDraft::new(&Words::default());
    let place = draft
        .exercises
        .iter()
        .position(|own| own.exercise.every.is_some())
        .unwrap();
    draft.exercises[place].exercise.series = false;
    assert_eq!(draft.words().exercises[place].every, None);
}
