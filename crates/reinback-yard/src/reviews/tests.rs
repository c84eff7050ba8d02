//! Two reviews of a ride, compared and merged.

use reinback_analysis::{Moment, Rein};

use super::*;
use crate::id::{BoutId, HorseId, MarkId, RideId, SpanId};
use crate::model::{Asked, Bout, Leg, Mark, MarkKind, Press, TempoTrack, Yard};
use crate::words::WordId;
use crate::{Document, Filter, Horse, observe};

mod properties;

const RIDE: RideId = RideId::from_bits(1);
const HORSE: HorseId = HorseId::from_bits(2);
const MARA: ReviewId = ReviewId::from_bits(10);
const JON: ReviewId = ReviewId::from_bits(20);

fn word(text: &str) -> WordId {
    WordId::new(text).expect("a word")
}

fn seconds(seconds: f64) -> Moment {
    Moment((seconds * 1e9) as i64)
}

fn bout(id: u64, review: ReviewId, exercise: &str, from: f64, to: f64) -> Bout {
    Bout {
        id: BoutId::from_bits(id),
        review,
        exercise: word(exercise),
        from: seconds(from),
        to: Some(seconds(to)),
        rein: None,
        variant: None,
        asked: Asked::default(),
        score: None,
        letters: (None, None),
        reviewed: true,
        note: String::new(),
    }
}

fn mark(id: u64, review: ReviewId, fault: &str, at: f64, bout: Option<u64>) -> Mark {
    Mark {
        id: MarkId::from_bits(id),
        review,
        at: seconds(at),
        kind: MarkKind::Fault(word(fault)),
        bout: bout.map(BoutId::from_bits),
        note: String::new(),
        origin: None,
        press: None,
        place: None,
    }
}

fn note(id: u64, review: ReviewId, at: f64, text: &str) -> Mark {
    Mark {
        kind: MarkKind::Note,
        note: text.into(),
        ..mark(id, review, "none", at, None)
    }
}

/// A ride that Mara and Jon both reviewed, Mara's counting.
fn ride(bouts: Vec<Bout>, marks: Vec<Mark>) -> Ride {
    let date = chrono::NaiveDate::from_ymd_opt(2026, 3, 1).expect("a day");
    let review = |id, reviewer: &str| Review {
        id,
        reviewer: reviewer.into(),
        blind: false,
    };
    let mut ride = Ride::new(RIDE, HORSE, date, review(MARA, "Mara"));
    ride.head.reviews.push(review(JON, "Jon"));
    (ride.bouts, ride.marks) = (bouts, marks);
    ride
}

fn yard(ride: Ride) -> Yard {
    let horse = Horse {
        id: HORSE,
        name: "Wren".into(),
        foaled: None,
        stage: String::new(),
        notes: String::new(),
    };
    let mut yard = Yard::default();
    Edit::Horse(HORSE, Some(horse))
        .apply(&mut yard)
        .expect("a horse");
    Edit::Ride(RIDE, Some(Box::new(ride)))
        .apply(&mut yard)
        .expect("a ride");
    yard
}

fn check(bouts: Vec<Bout>, marks: Vec<Mark>, expect: &[What]) -> Comparison {
    let found = compare(&ride(bouts, marks), MARA, JON, Tolerance::default());
    let whats: Vec<What> = found.differences.iter().map(|d| d.what).collect();
    assert_eq!(whats, expect, "{found:#?}");
    found
}

#[test]
fn differences_are_named() {
    let two = |second: Mark| vec![mark(1, MARA, "tense", 10.0, None), second];
    let alike = check(vec![], two(mark(2, JON, "tense", 10.4, None)), &[]);
    assert_eq!(alike.alike.len(), 1);
    check(vec![], two(mark(2, JON, "late", 10.4, None)), &[What::Word]);
    check(
        vec![],
        two(mark(2, JON, "tense", 11.0, None)),
        &[What::Time(1_000_000_000)],
    );
    check(
        vec![],
        two(mark(2, JON, "tense", 12.5, None)),
        &[What::OnlyFirst, What::OnlySecond],
    );
    let noted = Mark {
        note: "left".into(),
        ..mark(2, JON, "tense", 10.0, None)
    };
    check(vec![], two(noted), &[What::Else]);
    check(
        vec![],
        vec![note(1, MARA, 3.0, "nice"), note(2, JON, 4.0, "nice")],
        &[What::Time(1_000_000_000)],
    );
    check(
        vec![],
        vec![note(1, MARA, 3.0, "nice"), note(2, JON, 3.0, "good")],
        &[What::OnlyFirst, What::OnlySecond],
    );
}

#[test]
fn bouts_are_paired_by_their_starts() {
    let two = |second: Bout| vec![bout(1, MARA, "half-pass", 10.0, 20.0), second];
    check(two(bout(2, JON, "half-pass", 11.0, 21.0)), vec![], &[]);
    check(
        two(bout(2, JON, "leg-yield", 11.0, 21.0)),
        vec![],
        &[What::Word],
    );
    check(
        two(bout(2, JON, "half-pass", 10.0, 24.0)),
        vec![],
        &[What::Time(4_000_000_000)],
    );
    let left = Bout {
        rein: Some(Rein::Left),
        ..bout(2, JON, "half-pass", 10.0, 20.0)
    };
    check(two(left), vec![], &[What::Else]);
    check(
        two(bout(2, JON, "half-pass", 15.5, 20.0)),
        vec![],
        &[What::OnlyFirst, What::OnlySecond],
    );
}

/// Two marks of one moment, told apart by their notes alone.
#[test]
fn ties_go_to_the_like() {
    let noted = |id, review, text: &str| Mark {
        note: text.into(),
        ..mark(id, review, "tense", 5.0, None)
    };
    let marks = vec![
        noted(1, MARA, "one"),
        noted(2, MARA, "two"),
        noted(3, JON, "two"),
        noted(4, JON, "one"),
    ];
    check(vec![], marks, &[]);
}

fn decide_all(comparison: &Comparison, keep: Keep) -> Choices {
    let differences = comparison.differences.iter();
    differences
        .map(|difference| (difference.key(), keep))
        .collect()
}

#[test]
fn nothing_is_merged_before_all_is_decided() {
    let marks = vec![
        mark(1, MARA, "tense", 1.0, None),
        mark(2, JON, "late", 9.0, None),
    ];
    let ride = ride(vec![], marks);
    let found = compare(&ride, MARA, JON, Tolerance::default());
    let mut ids = IdMaker::seeded(1);
    let refused = merge(&ride, &found, &Choices::new(), &mut ids);
    assert_eq!(refused, Err(NotMerged::Undecided(2)));
}

fn check_merged(keep: Keep, expect: &[(&str, i64)]) {
    let before = ride(
        vec![
            bout(1, MARA, "half-pass", 10.0, 20.0),
            bout(2, JON, "half-pass", 10.5, 20.5),
            bout(3, JON, "halt", 40.0, 44.0),
        ],
        vec![
            // Both, in the same bout.
            mark(11, MARA, "tense", 12.0, Some(1)),
            mark(12, JON, "tense", 12.2, Some(2)),
            // Only Jon, in a bout that both have.
            mark(13, JON, "late", 18.0, Some(2)),
            // Only Jon, in his own bout.
            mark(14, JON, "crooked", 41.0, Some(3)),
            mark(15, MARA, "short", 30.0, None),
        ],
    );
    let found = compare(&before, MARA, JON, Tolerance::default());
    let choices = decide_all(&found, keep);
    let (review, edit) =
        merge(&before, &found, &choices, &mut IdMaker::seeded(1)).expect("decided");
    let mut document = Document::new(yard(before));
    let start = document.yard().clone();
    document.apply("merge", edit).expect("it applies");
    let after = document.yard().ride(RIDE).expect("the ride").clone();
    assert_eq!(after.head.counting, review);
    assert_eq!(after.head.review_name(review), "Mara and Jon, merged");
    let merged = only(&after, review);
    let marks: Vec<(&str, i64)> = merged
        .marks
        .iter()
        .map(|mark| match &mark.kind {
            MarkKind::Fault(fault) => (fault.as_str(), mark.at.0 / 100_000_000),
            _ => ("", 0),
        })
        .collect();
    assert_eq!(marks, expect, "{keep:?}");
    for mark in &merged.marks {
        let inside = |bout: &&Bout| bout.from <= mark.at && Some(mark.at) <= bout.to;
        let holder = merged.bouts.iter().find(inside).map(|bout| bout.id);
        assert_eq!(
            mark.bout, holder,
            "{mark:?} is in the merged review's own bout"
        );
    }
    document.undo();
    assert_eq!(document.yard(), &start, "one step back takes it all back");
}

#[test]
fn what_is_chosen_is_merged() {
    check_merged(Keep::First, &[("tense", 120), ("short", 300)]);
    check_merged(
        Keep::Second,
        &[("tense", 120), ("late", 180), ("crooked", 410)],
    );
    check_merged(
        Keep::Both,
        &[
            ("tense", 120),
            ("late", 180),
            ("short", 300),
            ("crooked", 410),
        ],
    );
    check_merged(Keep::Neither, &[("tense", 120)]);
}

#[test]
fn the_mark_on_its_frame_is_taken() {
    let pressed = |id, review, at, refined| Mark {
        press: Some(Press {
            shown: seconds(at),
            correction: 0,
            refined,
        }),
        ..mark(id, review, "tense", at, None)
    };
    let before = ride(
        vec![],
        vec![pressed(1, MARA, 5.0, false), pressed(2, JON, 5.2, true)],
    );
    let found = compare(&before, MARA, JON, Tolerance::default());
    let (review, edit) =
        merge(&before, &found, &Choices::new(), &mut IdMaker::seeded(1)).expect("nothing differs");
    let mut yard = yard(before);
    edit.apply(&mut yard).expect("it applies");
    let merged = only(yard.ride(RIDE).expect("the ride"), review);
    assert_eq!(merged.marks.len(), 1);
    assert_eq!(merged.marks[0].at, seconds(5.2));
}

/// Exercises of the two as (review, from, to, exercise), all of both kept: the merged ones as
/// (from, to), or how many lie over each other and where.
fn check_over(bouts: &[(ReviewId, f64, f64, &str)], expect: Result<&[(f64, f64)], (usize, f64)>) {
    let bouts = (1..).zip(bouts);
    let bouts = bouts.map(|(id, (review, from, to, what))| bout(id, *review, what, *from, *to));
    let before = ride(bouts.collect(), vec![]);
    let found = compare(&before, MARA, JON, Tolerance::default());
    let choices = decide_all(&found, Keep::Both);
    let merged = merge(&before, &found, &choices, &mut IdMaker::seeded(1));
    let spans = merged.map(|(review, edit)| {
        let mut yard = yard(before.clone());
        edit.apply(&mut yard).expect("it applies");
        let merged = only(yard.ride(RIDE).expect("the ride"), review);
        let spans = merged.bouts.iter();
        let spans = spans.map(|bout| (bout.from, bout.to.expect("it has ended")));
        spans.collect::<Vec<_>>()
    });
    let expect = expect
        .map(|spans| {
            let spans = spans.iter();
            spans
                .map(|(from, to)| (seconds(*from), seconds(*to)))
                .collect()
        })
        .map_err(|(count, at)| NotMerged::Overlapping {
            count,
            at: seconds(at),
        });
    assert_eq!(spans, expect, "{before:#?}");
}

/// Starts six seconds apart are not taken for one exercise; both kept, one riding would count twice.
#[test]
fn one_riding_is_not_merged_into_two() {
    check_over(
        &[
            (MARA, 10.0, 30.0, "half-pass"),
            (JON, 16.0, 31.0, "half-pass"),
        ],
        Err((2, 10.0)),
    );
    // The same start under two words, both kept.
    check_over(
        &[
            (MARA, 10.0, 30.0, "half-pass"),
            (JON, 10.0, 30.0, "leg-yield"),
        ],
        Err((2, 10.0)),
    );
    // Inside, however short.
    check_over(
        &[(MARA, 10.0, 30.0, "half-pass"), (JON, 20.0, 21.0, "halt")],
        Err((2, 10.0)),
    );
    // One after the other.
    check_over(
        &[
            (MARA, 10.0, 16.0, "half-pass"),
            (JON, 16.0, 31.0, "half-pass"),
        ],
        Ok(&[(10.0, 16.0), (16.0, 31.0)]),
    );
    // A second of both is no difference of opinion.
    check_over(
        &[
            (MARA, 10.0, 17.0, "half-pass"),
            (JON, 16.0, 31.0, "half-pass"),
        ],
        Ok(&[(10.0, 16.0), (16.0, 31.0)]),
    );
    // What one review has over each other stays so, also where it is alike.
    check_over(
        &[(MARA, 10.0, 30.0, "half-pass"), (MARA, 20.0, 25.0, "halt")],
        Ok(&[(10.0, 30.0), (20.0, 25.0)]),
    );
    check_over(
        &[
            (MARA, 10.0, 30.0, "half-pass"),
            (JON, 10.0, 30.0, "half-pass"),
            (JON, 20.0, 25.0, "halt"),
        ],
        Ok(&[(10.0, 30.0), (20.0, 25.0)]),
    );
}

/// A mark that both have, in an exercise of which only Jon's is kept, goes into Jon's.
#[test]
fn a_mark_of_both_goes_into_the_exercise_that_is_kept() {
    let before = ride(
        vec![
            bout(1, MARA, "half-pass", 10.0, 30.0),
            bout(2, JON, "half-pass", 16.0, 31.0),
        ],
        vec![
            mark(11, MARA, "tense", 20.0, Some(1)),
            mark(12, JON, "tense", 20.2, Some(2)),
        ],
    );
    let found = compare(&before, MARA, JON, Tolerance::default());
    for (keep_first, keep_second, expect) in [
        (Keep::Neither, Keep::Second, Some(16.0)),
        (Keep::First, Keep::Neither, Some(10.0)),
        (Keep::Neither, Keep::Neither, None),
    ] {
        let choices = found.differences.iter().map(|difference| {
            let keep = if difference.first.is_some() {
                keep_first
            } else {
                keep_second
            };
            (difference.key(), keep)
        });
        let choices = choices.collect();
        let (review, edit) =
            merge(&before, &found, &choices, &mut IdMaker::seeded(1)).expect("decided");
        let mut yard = yard(before.clone());
        edit.apply(&mut yard).expect("it applies");
        let merged = only(yard.ride(RIDE).expect("the ride"), review);
        assert_eq!(merged.marks.len(), 1);
        let into = merged.bouts.iter();
        let into = into.filter(|bout| Some(bout.id) == merged.marks[0].bout);
        let into: Vec<Moment> = into.map(|bout| bout.from).collect();
        assert_eq!(into, expect.map(seconds).into_iter().collect::<Vec<_>>());
    }
}

#[test]
fn reviews_of_one_name_are_told_apart() {
    for (reviewers, expect) in [
        (vec!["Mara", "Jon"], vec!["Mara", "Jon"]),
        (
            vec!["Jon", " Jon", "Jon"],
            vec!["Jon", "Jon (2)", "Jon (3)"],
        ),
        (
            vec!["", "", "review 2"],
            vec!["review 1", "review 2", "review 2 (2)"],
        ),
        (
            vec!["Jon", "Jon (2)", "Jon"],
            vec!["Jon", "Jon (2)", "Jon (3)"],
        ),
    ] {
        let mut head = ride(vec![], vec![]).head;
        let reviews = (1..).zip(reviewers);
        head.reviews = reviews
            .map(|(id, reviewer)| Review {
                id: ReviewId::from_bits(id),
                reviewer: reviewer.into(),
                blind: false,
            })
            .collect();
        let names: Vec<String> = head
            .reviews
            .iter()
            .map(|r| head.review_name(r.id))
            .collect();
        assert_eq!(names, expect);
    }
}

/// A second review, blind or compared, never changes what the rates are made of; only letting it
/// count does.
#[test]
fn a_second_review_adds_nothing_to_the_rates() {
    let own = vec![bout(1, MARA, "half-pass", 10.0, 20.0)];
    let yard_of = |bouts, marks| yard(ride(bouts, marks));
    let marks = vec![mark(11, MARA, "tense", 12.0, Some(1))];
    let alone = observe(&yard_of(own.clone(), marks.clone()), &Filter::default());
    let mut bouts = own;
    bouts.push(bout(2, JON, "half-pass", 10.2, 20.0));
    bouts.push(bout(3, JON, "half-pass", 30.0, 40.0));
    let mut all_marks = marks;
    all_marks.push(mark(12, JON, "tense", 13.0, Some(2)));
    all_marks.push(mark(13, JON, "late", 50.0, None));
    let mut both = yard_of(bouts, all_marks);
    let rides = |yard: &Yard| observe(yard, &Filter::default()).rides;
    assert_eq!(rides(&both), alone.rides);
    let count = let_count(both.ride(RIDE).expect("the ride"), JON).expect("it can count");
    count.apply(&mut both).expect("it applies");
    assert_eq!(rides(&both)[0].attempts.len(), 2, "now Jon's alone count");
    assert_ne!(rides(&both), alone.rides);
}

#[test]
fn from_one_review_to_the_next() {
    let mut document = Document::new(yard(ride(vec![], vec![])));
    let mut ids = IdMaker::seeded(3);
    let now = |document: &Document| document.yard().ride(RIDE).expect("the ride").clone();
    let (eva, edit) = start(&now(&document), " Eva ", &mut ids);
    document.apply("start", edit).expect("it applies");
    let review = now(&document)
        .head
        .review(eva)
        .cloned()
        .expect("it is there");
    assert_eq!((review.reviewer.as_str(), review.blind), ("Eva", true));
    assert_eq!(now(&document).head.counting, MARA, "it does not count");
    assert_eq!(
        let_count(&now(&document), eva),
        None,
        "a blind one cannot count"
    );
    let own = mark(1, eva, "tense", 1.0, None);
    document
        .apply("mark", Edit::Mark(RIDE, own.id, Some(own)))
        .expect("it applies");
    assert_eq!(held(&now(&document), eva).marks, 1);
    document
        .apply("done", unblind(&now(&document), eva).expect("it was blind"))
        .expect("it applies");
    assert_eq!(unblind(&now(&document), eva), None);
    assert_eq!(
        remove(&now(&document), MARA),
        None,
        "the one that counts stays"
    );
    let before = document.yard().clone();
    document
        .apply("remove", remove(&now(&document), eva).expect("it can go"))
        .expect("it applies");
    assert_eq!(now(&document).head.review(eva), None);
    assert!(now(&document).marks.is_empty());
    document.undo();
    assert_eq!(document.yard(), &before);
}

#[test]
fn taps_are_paired_by_leg_and_stretch() {
    let track = |id, review, leg, from: f64| TempoTrack {
        id: SpanId::from_bits(id),
        review,
        leg,
        taps: vec![seconds(from), seconds(from + 1.0), seconds(from + 2.0)],
    };
    let mut both = ride(vec![], vec![]);
    both.tempos = vec![
        track(1, MARA, Leg::LeftFore, 1.0),
        track(2, JON, Leg::LeftFore, 1.0),
        track(3, MARA, Leg::RightHind, 8.0),
        track(4, JON, Leg::RightHind, 8.5),
        track(5, JON, Leg::LeftHind, 20.0),
    ];
    let found = compare(&both, MARA, JON, Tolerance::default());
    let whats: Vec<What> = found.differences.iter().map(|d| d.what).collect();
    assert_eq!(
        (found.alike.len(), whats),
        (1, vec![What::Else, What::OnlySecond])
    );
    let choices = decide_all(&found, Keep::Second);
    let (review, edit) = merge(&both, &found, &choices, &mut IdMaker::seeded(1)).expect("decided");
    let mut yard = yard(both);
    edit.apply(&mut yard).expect("it applies");
    let merged = only(yard.ride(RIDE).expect("the ride"), review);
    let starts: Vec<Moment> = merged.tempos.iter().map(|t| t.taps[0]).collect();
    assert_eq!(starts, [seconds(1.0), seconds(8.5), seconds(20.0)]);
}
