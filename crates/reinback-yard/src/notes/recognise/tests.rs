//! What the words of a note say, and what is left to the rider.

use proptest::prelude::*;
use reinback_analysis::Rein;

use super::*;
use crate::words::Words;

fn id(text: &str) -> WordId {
    WordId::new(text).unwrap()
}

fn exercise(text: &str) -> Meaning {
    Meaning::Exercise(id(text))
}

fn fault(text: &str) -> Meaning {
    Meaning::Fault(id(text))
}

fn pieces(text: &str) -> Vec<Piece> {
    Recogniser::new(&Vocabulary::new(&Words::default())).pieces(text)
}

/// What is certain.
fn check(text: &str, expect: &[Meaning]) {
    let pieces = pieces(text);
    assert_eq!(
        meanings(&pieces, &Decisions::new()),
        expect,
        "{text}: {pieces:?}"
    );
}

/// What is not certain, with the words it stands for.
fn check_uncertain(text: &str, word: &str, candidates: &[Meaning]) {
    let pieces = pieces(text);
    let piece = pieces
        .iter()
        .find(|piece| &text[piece.range.clone()] == word);
    let found = piece.map(|piece| piece.found.clone());
    let expect = if candidates.is_empty() {
        Found::Unknown
    } else {
        Found::Uncertain(candidates.to_vec())
    };
    assert_eq!(found, Some(expect), "{text}: {pieces:?}");
}

#[test]
fn names_in_every_spelling() {
    let left = Meaning::Rein(Rein::Left);
    let trailing = fault("quarters-trailing");
    let half_pass = exercise("half-pass");
    check(
        "half pass left, quarters trailing",
        &[half_pass.clone(), left.clone(), trailing.clone()],
    );
    check(
        "Half-Pass LEFT: Quarters Trailing!",
        &[half_pass.clone(), left.clone(), trailing.clone()],
    );
    check(
        "halfpass on the left rein",
        &[half_pass.clone(), left.clone()],
    );
    check(
        "hp left quarters trailing",
        &[half_pass.clone(), left, trailing],
    );
    check("two half-passes", &[half_pass]);
    check(
        "shoulder-ins, travers and renvers",
        &[
            exercise("shoulder-in"),
            exercise("travers"),
            exercise("renvers"),
        ],
    );
    check("haunches-in", &[exercise("travers")]);
    check(
        "flying changes late behind",
        &[exercise("flying-change"), fault("late-behind")],
    );
    check("twos", &[exercise("changes-every-2nd-stride")]);
    check(
        "rein back crooked",
        &[exercise("rein-back"), fault("crooked")],
    );
    check("ｈａｌｆ ｐáss", &[exercise("half-pass")]);
    check(
        "half pass in trot",
        &[exercise("half-pass"), Meaning::Variant(id("in-trot"))],
    );
    check(
        "half pass trot",
        &[exercise("half-pass"), Meaning::Variant(id("in-trot"))],
    );
    check("good, once more", &[Meaning::Praise, Meaning::Repeated]);
    check("tense", &[fault("tense")]);
    check("", &[]);
    check("at 12 m from H", &[]);
}

#[test]
fn nothing_is_guessed() {
    // One word of some exercises only, and none of these is named.
    check_uncertain("late", "late", &[fault("late")]);
    check("walk-trot late", &[exercise("walk-trot"), fault("late")]);
    // Typing errors.
    check_uncertain("half pss left", "half pss", &[exercise("half-pass")]);
    check_uncertain(
        "quaters trailing",
        "quaters trailing",
        &[fault("quarters-trailing")],
    );
    check_uncertain("travesr", "travesr", &[exercise("travers")]);
    // Words of no yard.
    check_uncertain("half pass wobbly", "wobbly", &[]);
    check_uncertain("gaul müde", "müde", &[]);
    // A short form in the middle may be a word of its own.
    check_uncertain("talked to her re stirrups", "re", &[exercise("renvers")]);
    check_uncertain("late again", "again", &[Meaning::Repeated]);
    check("ridden again", &[Meaning::Repeated]);
    // What is denied is not said.
    check("not good", &[]);
    check_uncertain("not tense", "tense", &[fault("tense")]);
    check("it isn't good", &[]);
    for text in [
        "not good",
        "it didn't look good today",
        "doesn't feel good",
        "never once was it good",
        "cannot be called good",
        "without a good start",
    ] {
        check_uncertain(text, "good", &[Meaning::Praise]);
    }
    // A comma ends it, and a "not" in the name of a fault denies nothing else.
    check("not yet, good", &[Meaning::Praise]);
    check(
        "not straight good",
        &[fault("not-straight"), Meaning::Praise],
    );
    // No name reaches over a comma.
    check("half, pass", &[]);
}

/// A side is the rein beside an exercise or with the word; else it may be a leg.
#[test]
fn a_side_is_not_always_the_rein() {
    let (left, right) = (Meaning::Rein(Rein::Left), Meaning::Rein(Rein::Right));
    check_uncertain("left hind late", "left", std::slice::from_ref(&left));
    check_uncertain("looks to the right", "right", std::slice::from_ref(&right));
    check_uncertain(
        "half pass, left leg forward",
        "left",
        std::slice::from_ref(&left),
    );
    check("tense on the left", &[fault("tense"), left.clone()]);
    check("right rein tense", &[right.clone(), fault("tense")]);
    check("left half pass", &[left.clone(), exercise("half-pass")]);
    check(
        "half-pass, left, quarters trailing",
        &[exercise("half-pass"), left, fault("quarters-trailing")],
    );
}

/// What the rider decided on an uncertain word says nothing about notes in which it is certain.
#[test]
fn a_decision_overrides_nothing_certain() {
    let words = Words::default();
    let vocabulary = Vocabulary::new(&words);
    let mut recogniser = Recogniser::new(&vocabulary);
    let notes = ["late", "walk-trot late"].map(|text| recogniser.pieces(text));
    for decided in [None, Some(fault("tense"))] {
        let decisions = Decisions::from([("late".to_owned(), decided.clone())]);
        assert_eq!(
            meanings(&notes[0], &decisions),
            decided.into_iter().collect::<Vec<_>>()
        );
        assert_eq!(
            meanings(&notes[1], &decisions),
            [exercise("walk-trot"), fault("late")]
        );
    }
}

#[test]
fn a_decision_holds_for_every_note() {
    let words = Words::default();
    let vocabulary = Vocabulary::new(&words);
    let mut recogniser = Recogniser::new(&vocabulary);
    let notes: Vec<Vec<Piece>> = [
        "quaters trailing",
        "half pass, quaters trailing",
        "wobbly",
        "late",
    ]
    .iter()
    .map(|text| recogniser.pieces(text))
    .collect();
    let questions = questions(&notes);
    let asked: Vec<(&str, usize, usize)> = questions
        .iter()
        .map(|question| {
            (
                question.key.as_str(),
                question.notes,
                question.candidates.len(),
            )
        })
        .collect();
    assert_eq!(
        asked,
        [("quaters trailing", 2, 1), ("late", 1, 1), ("wobbly", 1, 0)]
    );
    let decisions = Decisions::from([
        (
            "quaters trailing".to_owned(),
            Some(fault("quarters-trailing")),
        ),
        ("late".to_owned(), None),
        ("wobbly".to_owned(), Some(fault("not-straight"))),
    ]);
    let said: Vec<Vec<Meaning>> = notes
        .iter()
        .map(|note| meanings(note, &decisions))
        .collect();
    assert_eq!(said[0], [fault("quarters-trailing")]);
    assert_eq!(said[1], [exercise("half-pass"), fault("quarters-trailing")]);
    assert_eq!(said[2], [fault("not-straight")]);
    assert_eq!(said[3], []);
}

/// Every name of the default words, in whatever case and with or without hyphens, is found: as
/// what it is, or among what it may be.
#[test]
fn every_default_word_is_found() {
    let words = Words::default();
    let vocabulary = Vocabulary::new(&words);
    let mut recogniser = Recogniser::new(&vocabulary);
    let mut has = |text: &str, meaning: &Meaning| {
        for text in [text.to_uppercase(), text.replace('-', " ")] {
            let pieces = recogniser.pieces(&text);
            let found = pieces.iter().any(|piece| match &piece.found {
                Found::Certain(own) => own == meaning,
                Found::Uncertain(candidates) => candidates.contains(meaning),
                Found::Unknown => false,
            });
            assert!(found, "{text}: {pieces:?}");
        }
    };
    for exercise in &words.exercises {
        let own = Meaning::Exercise(exercise.id.clone());
        has(&exercise.name, &own);
        has(&exercise.short, &own);
        for fault in &exercise.faults {
            has(
                &format!("{}, {}", exercise.name, fault.name),
                &Meaning::Fault(fault.id.clone()),
            );
        }
    }
    for fault in &words.general_faults {
        has(&fault.name, &Meaning::Fault(fault.id.clone()));
    }
}

proptest! {
    #[test]
    fn any_words(text in "\\PC{0,60}|(half|pass|left|not|late|quarters|trailing|,|'| ){0,30}") {
        let pieces = pieces(&text);
        let mut end = 0;
        for piece in &pieces {
            prop_assert!(piece.range.start >= end && piece.range.end > piece.range.start);
            prop_assert!(text.get(piece.range.clone()).is_some());
            end = piece.range.end;
        }
    }
}
