//! The default words.

use std::collections::BTreeSet;

use super::*;

fn id(text: &str) -> WordId {
    WordId::new(text).unwrap()
}

#[test]
fn default_words_are_sound() {
    let words = Words::default();
    assert_eq!(words.validate(), [], "the words a rider starts with");
    assert!(
        words.exercises.len() >= 45,
        "{} exercises",
        words.exercises.len()
    );
    let all = words.exercises.iter().map(|e| &e.id);
    let all = all.chain(
        words
            .exercises
            .iter()
            .flat_map(|e| e.variants.iter().map(|v| &v.id)),
    );
    let all = all.chain(
        words
            .exercises
            .iter()
            .flat_map(|e| e.faults.iter().map(|f| &f.id)),
    );
    let all = all.chain(words.general_faults.iter().map(|f| &f.id));
    for word in all.chain(words.outlines.iter().map(|o| &o.id)) {
        assert_eq!(
            WordId::new(word.as_str()).as_ref(),
            Ok(word),
            "a name must make a sound id"
        );
    }
}

/// With short forms of one length, typing the last letter always starts the bout.
#[test]
fn default_shorts_start_at_once() {
    for exercise in &Words::default().exercises {
        assert_eq!(exercise.short.len(), 2, "{}", exercise.name);
    }
}

#[test]
fn every_default_exercise_has_own_faults() {
    for exercise in &Words::default().exercises {
        assert!(
            exercise.faults.len() >= 7,
            "{} has too few faults",
            exercise.name
        );
    }
}

/// What the trade must find without adding a word: FEI Dressage Rules, articles on halt,
/// paces, rein-back, transitions, figures, lateral movements, pirouettes, passage and piaffe.
#[test]
fn the_exercises_of_the_rules_are_there() {
    let words = Words::default();
    for (exercise, series, sided, pace) in [
        ("halt", false, false, Some(Pace::Halt)),
        ("rein-back", false, false, Some(Pace::ReinBack)),
        ("extended walk", false, false, Some(Pace::Walk)),
        ("extended trot", false, false, Some(Pace::Trot)),
        ("extended canter", false, true, Some(Pace::Canter)),
        ("counter-canter", false, true, Some(Pace::Canter)),
        ("volte", false, true, None),
        ("serpentine", false, false, None),
        ("shoulder-in", false, true, None),
        ("travers", false, true, None),
        ("renvers", false, true, None),
        ("half-pass", false, true, None),
        ("leg-yield", false, true, None),
        ("counter-change of hand", true, false, None),
        ("simple change", false, true, Some(Pace::Canter)),
        ("flying change", false, true, Some(Pace::Canter)),
        ("changes every 4th stride", true, false, Some(Pace::Canter)),
        ("changes every 3rd stride", true, false, Some(Pace::Canter)),
        ("changes every 2nd stride", true, false, Some(Pace::Canter)),
        ("changes every stride", true, false, Some(Pace::Canter)),
        ("half pirouette in walk", false, true, Some(Pace::Walk)),
        ("full pirouette in canter", false, true, Some(Pace::Canter)),
        ("piaffe", false, false, Some(Pace::Piaffe)),
        ("passage", false, false, Some(Pace::Passage)),
    ] {
        let found = words
            .exercises
            .iter()
            .find(|e| e.name == exercise)
            .expect(exercise);
        assert_eq!(
            (found.series, found.sided, found.pace),
            (series, sided, pace),
            "{exercise}"
        );
    }
}

/// The yards of riders hold these ids: one that goes would leave its marks without a name.
/// Add to the file what is new; never take a line away.
#[test]
fn default_ids_stay() {
    let words = Words::default();
    let now: BTreeSet<String> = words
        .exercises
        .iter()
        .flat_map(|e| {
            let own = e
                .faults
                .iter()
                .map(|f| &f.id)
                .chain(e.variants.iter().map(|v| &v.id));
            own.map(|word| format!("{}/{word}", e.id))
                .chain([e.id.to_string()])
        })
        .chain(words.general_faults.iter().map(|f| format!("*/{}", f.id)))
        .chain(words.outlines.iter().map(|o| format!("outline/{}", o.id)))
        .collect();
    let kept = include_str!("../../tests/data/default-word-ids.txt");
    let kept: BTreeSet<String> = kept.lines().map(str::to_owned).collect();
    assert_eq!(
        kept.difference(&now).collect::<Vec<_>>(),
        [] as [&String; 0],
        "gone from the words"
    );
    assert_eq!(
        now.difference(&kept).collect::<Vec<_>>(),
        [] as [&String; 0],
        "not yet in the file"
    );
}

fn check(change: impl FnOnce(&mut Words), expected: &str) {
    let mut words = Words::default();
    change(&mut words);
    let messages: Vec<String> = words.validate().iter().map(ToString::to_string).collect();
    assert_eq!(messages.len(), 1, "exactly one problem: {messages:?}");
    assert!(
        messages[0].contains(expected),
        "{messages:?} must say {expected:?}"
    );
}

#[test]
fn each_problem_is_found() {
    check(
        |w| {
            let mut series = w.exercises.iter_mut().filter(|e| e.every.is_some());
            series.next().expect("a series").every = Some(0);
        },
        "asks for a change every 0 strides",
    );
    check(|w| w.exercises[0].name = " ".into(), "has no name");
    check(
        |w| w.exercises[0].short = String::new(),
        "one to three letters",
    );
    check(
        |w| w.exercises[0].short = "Ab".into(),
        "one to three letters",
    );
    check(
        |w| w.exercises[0].short = "äb".into(),
        "one to three letters",
    );
    check(
        |w| w.exercises[0].short = "abcd".into(),
        "one to three letters",
    );
    check(
        |w| w.exercises[1].short = w.exercises[0].short.clone(),
        "the same short form “wa”",
    );
    check(
        |w| w.exercises[0].short = "gra".into(),
        "“gr” is the beginning of “gra”",
    );
    check(
        |w| w.exercises[1].id = w.exercises[0].id.clone(),
        "“walk” is there twice among the exercises",
    );
    check(
        |w| w.outlines[1].id = w.outlines[0].id.clone(),
        "among the outlines",
    );
    check(
        |w| w.general_faults[1].name.clear(),
        "among the general faults",
    );
    check(
        |w| w.exercises[0].faults[0].id = w.exercises[0].faults[1].id.clone(),
        "faults of “walk”",
    );
    check(
        |w| w.exercises[0].faults[0].id = id("tense"),
        "a general fault as well",
    );
}

#[test]
fn names_fall_back() {
    let words = Words::default();
    assert_eq!(words.exercise_name(&id("half-pass")), "half-pass");
    assert_eq!(words.exercise_name(&id("my-old-word")), "my old word");
    assert_eq!(
        words.fault_name(Some(&id("half-pass")), &id("quarters-trailing")),
        "quarters trailing"
    );
    assert_eq!(
        words.fault_name(Some(&id("half-pass")), &id("tense")),
        "tense",
        "a general fault"
    );
    assert_eq!(
        words.fault_name(None, &id("late-behind")),
        "late behind",
        "of any exercise"
    );
    assert_eq!(words.variant_name(&id("circle"), &id("20-m")), "20 m");
    assert_eq!(words.outline_name(&id("long-and-low")), "long and low");
}

#[test]
fn word_ids() {
    for good in ["a", "half-pass", "20-m", &"a".repeat(80)] {
        assert!(WordId::new(good).is_ok(), "{good}");
    }
    for bad in [
        "",
        "-a",
        "a-",
        "a--b",
        "A",
        "ä",
        "a b",
        "a_b",
        &"a".repeat(81),
    ] {
        assert!(WordId::new(bad).is_err(), "{bad}");
    }
}

#[test]
fn a_name_gives_an_id_of_its_own() {
    let mut taken = std::collections::BTreeSet::new();
    for (name, id) in [
        ("Half-pass", "half-pass"),
        ("half pass", "half-pass-2"),
        ("half--pass!", "half-pass-3"),
        ("  10 m  ", "10-m"),
        ("Übergänge", "berg-nge"),
        ("§", "word"),
        ("", "word-2"),
    ] {
        let made = WordId::for_name(name, &taken);
        assert_eq!(made.as_str(), id, "{name}");
        assert_eq!(WordId::new(id), Ok(made.clone()), "it can be read back");
        taken.insert(made);
    }
    let long = WordId::for_name(&"a b".repeat(200), &taken);
    assert!(WordId::new(long.as_str()).is_ok());
}
