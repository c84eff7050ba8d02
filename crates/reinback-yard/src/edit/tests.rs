//! Edits, their inverses and what they refuse.

use std::collections::BTreeMap;

use proptest::prelude::*;
use reinback_analysis::{Moment, Span};

use super::*;
use crate::arbitrary;
use crate::model::{Asked, MarkKind, Pace, Review};
use crate::{ReviewId, WordId};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    /// Taking a change back leaves no trace; a refused one leaves none either.
    #[test]
    fn inverse_is_identity(edits in arbitrary::edits()) {
        let mut yard = arbitrary::empty();
        for edit in edits {
            let before = yard.clone();
            if let Ok(inverse) = edit.apply(&mut yard) {
                let mut back = yard.clone();
                let again = inverse.apply(&mut back).expect("an inverse always applies");
                prop_assert_eq!(&back, &before, "the inverse must lead back");
                again.apply(&mut back).expect("and so does its own");
                prop_assert_eq!(&back, &yard, "and its own inverse forth again");
            } else {
                prop_assert_eq!(&yard, &before, "a refused change must change nothing");
            }
        }
    }

    /// Whatever is done, the model's invariants hold and its lists stay in order.
    #[test]
    fn invariants_hold(yard in arbitrary::yard()) {
        prop_assert_eq!(flaw_in_yard(&yard), None);
        let mut sorted = yard.clone();
        sort_yard(&mut sorted);
        prop_assert_eq!(&sorted.horses, &yard.horses, "horses by name");
        prop_assert_eq!(&sorted.sheets, &yard.sheets, "sheets by name");
        for (id, ride) in &yard.rides {
            prop_assert_eq!(ride.id, *id);
            prop_assert_eq!(flaw_in_ride(ride), None);
            prop_assert!(yard.horse(ride.head.horse).is_some(), "a ride has its horse");
            prop_assert_eq!(&in_order(Ride::clone(ride)), ride.as_ref(), "everything by its moment");
        }
    }

    /// What a change touches is what it says it touches.
    #[test]
    fn files_tell_what_changed(edits in arbitrary::edits()) {
        let mut yard = arbitrary::empty();
        for edit in edits {
            let (before, files) = (yard.clone(), edit.files());
            if edit.apply(&mut yard).is_err() {
                continue;
            }
            let heads = |yard: &Yard| Yard { rides: BTreeMap::new(), ..yard.clone() };
            if heads(&before) != heads(&yard) {
                prop_assert!(files.contains(&FileKey::Yard));
            }
            for id in before.rides.keys().chain(yard.rides.keys()) {
                if before.ride(*id) != yard.ride(*id) {
                    prop_assert!(files.contains(&FileKey::Ride(*id)));
                }
            }
        }
    }
}

const RIDE: RideId = RideId::from_bits(1);
const HORSE: HorseId = HorseId::from_bits(1);
const REVIEW: ReviewId = ReviewId::from_bits(1);

fn head() -> RideHead {
    RideHead {
        horse: HORSE,
        date: chrono::NaiveDate::from_ymd_opt(2026, 3, 1).unwrap(),
        time: None,
        title: String::new(),
        notes: String::new(),
        reviews: vec![Review {
            id: REVIEW,
            reviewer: String::new(),
            blind: false,
        }],
        counting: REVIEW,
        arena: None,
    }
}

fn horse(id: u64, name: &str) -> Edit {
    let id = HorseId::from_bits(id);
    let (name, stage, notes) = (name.to_owned(), String::new(), String::new());
    Edit::Horse(
        id,
        Some(Horse {
            id,
            name,
            foaled: None,
            stage,
            notes,
        }),
    )
}

fn yard() -> Yard {
    let ride = Ride {
        id: RIDE,
        head: head(),
        films: Vec::new(),
        bouts: Vec::new(),
        marks: Vec::new(),
        paces: Vec::new(),
        outlines: Vec::new(),
        tempos: Vec::new(),
        test: None,
    };
    let mut yard = Yard::default();
    horse(1, "Astra").apply(&mut yard).unwrap();
    Edit::Ride(RIDE, Some(Box::new(ride)))
        .apply(&mut yard)
        .unwrap();
    yard
}

fn bout(change: impl FnOnce(&mut Bout)) -> Edit {
    let id = BoutId::from_bits(1);
    let mut bout = Bout {
        id,
        review: REVIEW,
        exercise: WordId::new("half-pass").unwrap(),
        from: Moment(5),
        to: Some(Moment(9)),
        rein: None,
        variant: None,
        asked: Asked::default(),
        score: None,
        letters: (None, None),
        reviewed: true,
        note: String::new(),
    };
    change(&mut bout);
    Edit::Bout(RIDE, id, Some(bout))
}

fn mark(review: ReviewId) -> Edit {
    let id = MarkId::from_bits(1);
    let (kind, note) = (MarkKind::Praise, String::new());
    Edit::Mark(
        RIDE,
        id,
        Some(Mark {
            id,
            review,
            at: Moment(6),
            kind,
            bout: None,
            note,
            origin: None,
            press: None,
            place: None,
        }),
    )
}

fn film(drift_ppb: i32) -> Edit {
    let id = FilmId::from_bits(1);
    let (path, offset) = ("a.mp4".to_owned(), Moment(0));
    let film = Film {
        id,
        path,
        fingerprint: None,
        offset,
        drift_ppb,
        duration_nanos: None,
        tilt: None,
    };
    Edit::Film(RIDE, id, Some(film))
}

fn pace(from: i64, to: i64) -> Edit {
    let id = SpanId::from_bits(1);
    let span = Span {
        from: Moment(from),
        to: Moment(to),
    };
    Edit::Pace(
        RIDE,
        id,
        Some(PaceSpan {
            id,
            span,
            pace: Pace::Trot,
            variant: None,
        }),
    )
}

#[expect(clippy::needless_pass_by_value, reason = "the calls read better")]
fn check(edit: Edit, expected: Result<(), EditError>) {
    let mut after = yard();
    let before = after.clone();
    let result = edit.clone().apply(&mut after).map(|_| ());
    assert_eq!(result, expected, "{edit:?}");
    assert_eq!(
        after != before,
        expected.is_ok(),
        "{edit:?} must change the yard if it is legal"
    );
}

#[test]
fn what_is_legal() {
    let other = ReviewId::from_bits(2);
    check(bout(|_| {}), Ok(()));
    check(bout(|b| b.to = Some(Moment(5))), Ok(()));
    check(
        bout(|b| b.to = Some(Moment(4))),
        Err(EditError::EndBeforeStart),
    );
    check(bout(|b| b.to = None), Err(EditError::ReviewedWhileRunning));
    check(bout(|b| (b.to, b.reviewed) = (None, false)), Ok(()));
    check(bout(|b| b.asked.count = Some(0)), Err(EditError::AskedZero));
    check(bout(|b| b.asked.every = Some(0)), Err(EditError::AskedZero));
    check(bout(|b| b.review = other), Err(EditError::NoSuchReview));
    check(
        bout(|b| b.id = BoutId::from_bits(7)),
        Err(EditError::IdMismatch),
    );
    check(mark(REVIEW), Ok(()));
    check(mark(other), Err(EditError::NoSuchReview));
    check(film(MAX_DRIFT_PPB), Ok(()));
    check(film(-MAX_DRIFT_PPB), Ok(()));
    check(film(-MAX_DRIFT_PPB - 1), Err(EditError::DriftTooLarge));
    check(film(i32::MIN), Err(EditError::DriftTooLarge));
    check(pace(3, 3), Ok(()));
    check(pace(3, 2), Err(EditError::EndBeforeStart));
    check(horse(2, "Bora"), Ok(()));
    check(horse(2, "  "), Err(EditError::NoName));
    check(Edit::Horse(HORSE, None), Err(EditError::HorseHasRides(1)));
    check(Edit::Ride(RIDE, None), Ok(()));
    let nowhere = RideId::from_bits(9);
    check(
        Edit::Mark(nowhere, MarkId::from_bits(1), None),
        Err(EditError::NoSuchRide(nowhere)),
    );
}

#[test]
fn heads() {
    let with = |change: &dyn Fn(&mut RideHead)| {
        let mut head = head();
        change(&mut head);
        Edit::RideHead(RIDE, Box::new(head))
    };
    let unknown = HorseId::from_bits(9);
    check(with(&|h| h.title = "lesson".into()), Ok(()));
    check(
        with(&|h| h.horse = unknown),
        Err(EditError::NoSuchHorse(unknown)),
    );
    check(with(&|h| h.reviews.clear()), Err(EditError::NoSuchReview));
    check(
        with(&|h| h.reviews.push(h.reviews[0].clone())),
        Err(EditError::DuplicateId),
    );

    let mut yard = yard();
    mark(REVIEW).apply(&mut yard).unwrap();
    let other = ReviewId::from_bits(2);
    let swap = with(&|h| (h.reviews[0].id, h.counting) = (other, other));
    assert_eq!(
        swap.apply(&mut yard),
        Err(EditError::NoSuchReview),
        "a mark still needs its review"
    );
}

#[test]
fn a_batch_is_all_or_nothing() {
    check(
        Edit::Batch(vec![mark(REVIEW), bout(|b| b.to = None)]),
        Err(EditError::ReviewedWhileRunning),
    );
    check(Edit::Batch(vec![mark(REVIEW), bout(|_| {})]), Ok(()));
    let ride = Edit::Ride(RIDE, None);
    check(Edit::Batch(vec![ride, Edit::Horse(HORSE, None)]), Ok(()));
}

#[test]
fn a_ride_with_a_flaw_is_refused_whole() {
    let mut ride = yard().ride(RIDE).unwrap().clone();
    let Edit::Bout(_, _, Some(good)) = bout(|_| {}) else {
        unreachable!()
    };
    ride.bouts = vec![good.clone(), good];
    check(
        Edit::Ride(RIDE, Some(Box::new(ride))),
        Err(EditError::DuplicateId),
    );
}

#[test]
fn edits_know_their_ride() {
    assert_eq!(mark(REVIEW).ride(), Some(RIDE));
    assert_eq!(Edit::YardName(String::new()).ride(), None);
    assert_eq!(
        Edit::Batch(vec![mark(REVIEW), bout(|_| {})]).ride(),
        Some(RIDE)
    );
    assert_eq!(Edit::Batch(vec![mark(REVIEW), horse(1, "A")]).ride(), None);
    assert_eq!(Edit::Batch(Vec::new()).ride(), None);
}

proptest! {
    /// Many marks at once are what they are one after the other: the same ride, the same way back,
    /// and nothing at all where one of them is wrong.
    #[test]
    fn many_marks_are_set_as_one_by_one(
        steps in proptest::collection::vec((0_u64..40, 0_i64..50, any::<bool>()), 64..120),
        wrong in proptest::option::weighted(0.3, any::<proptest::sample::Index>()),
    ) {
        let mut yard = arbitrary::empty();
        let horse = HorseId::from_bits(1);
        let review = Review { id: ReviewId::from_bits(1), reviewer: String::new(), blind: false, };
        let date = chrono::NaiveDate::from_ymd_opt(2026, 3, 1).unwrap();
        yard.rides.insert(RIDE, Arc::new(Ride::new(RIDE, horse, date, review)));
        let mut edits: Vec<Edit> = steps
            .iter()
            .map(|(id, at, gone)| {
                let id = MarkId::from_bits(*id);
                let mark = Mark {
                    id,
                    review: ReviewId::from_bits(1),
                    at: Moment(*at),
                    kind: MarkKind::Praise,
                    bout: None,
                    note: String::new(),
                    origin: None,
                    press: None, place: None, };
                Edit::Mark(RIDE, id, (!gone).then_some(mark))
            })
            .collect();
        if let Some(wrong) = wrong {
            let at = wrong.index(edits.len());
            edits[at] = mark(ReviewId::from_bits(77));
        }
        let mut single = yard.clone();
        let mut inverses = Vec::new();
        let mut failed = None;
        for edit in edits.clone() {
            match edit.apply(&mut single) {
                Ok(inverse) => inverses.insert(0, inverse),
                Err(error) => {
                    failed = Some(error);
                    break;
                }
            }
        }
        let mut many = yard.clone();
        match (Edit::Batch(edits).apply(&mut many), failed) {
            (Ok(Edit::Batch(own)), None) => {
                prop_assert_eq!(&many, &single);
                prop_assert_eq!(&own, &inverses);
                Edit::Batch(own).apply(&mut many).expect("the way back");
                prop_assert_eq!(&many, &yard);
            }
            (Err(error), Some(expect)) => {
                prop_assert_eq!(error, expect);
                prop_assert_eq!(&many, &yard);
            }
            other => prop_assert!(false, "{:?}", other),
        }
    }
}
