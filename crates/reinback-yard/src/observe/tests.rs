//! What of a yard enters a rate, and what does not.

use reinback_analysis::Rein;

use reinback_analysis::{Day, Moment, Span};

use super::*;
use crate::model::{Asked, Bout, Mark, MarkKind, Review, RideHead};
use crate::words::WordId;
use crate::{BoutId, Edit, Horse, MarkId, ReviewId, RideId};

const HORSE: HorseId = HorseId::from_bits(1);
const COUNTING: ReviewId = ReviewId::from_bits(1);
const SECOND: ReviewId = ReviewId::from_bits(2);

fn word(text: &str) -> WordId {
    WordId::new(text).unwrap()
}

fn bout(id: u64, from: i64, to: Option<i64>) -> Bout {
    Bout {
        id: BoutId::from_bits(id),
        review: COUNTING,
        exercise: word("half-pass"),
        from: Moment(from),
        to: to.map(Moment),
        rein: Some(Rein::Left),
        variant: Some(word("in-trot")),
        asked: Asked::default(),
        score: None,
        letters: (None, None),
        reviewed: to.is_some(),
        note: String::new(),
    }
}

fn mark(at: i64, kind: MarkKind, bout: Option<u64>) -> Mark {
    Mark {
        id: MarkId::from_bits(u64::try_from(at).unwrap()),
        review: COUNTING,
        at: Moment(at),
        kind,
        bout: bout.map(BoutId::from_bits),
        note: String::new(),
        origin: None,
        press: None,
        place: None,
    }
}

fn fault(at: i64, bout: Option<u64>) -> Mark {
    mark(at, MarkKind::Fault(word("quarters-trailing")), bout)
}

fn ride(id: u64, date: &str, bouts: Vec<Bout>, marks: Vec<Mark>) -> Ride {
    let review = |id| Review {
        id,
        reviewer: String::new(),
        blind: false,
    };
    Ride {
        id: RideId::from_bits(id),
        head: RideHead {
            horse: HORSE,
            date: date.parse().unwrap(),
            time: None,
            title: String::new(),
            notes: String::new(),
            reviews: vec![review(COUNTING), review(SECOND)],
            counting: COUNTING,
            arena: None,
        },
        films: Vec::new(),
        bouts,
        marks,
        paces: Vec::new(),
        outlines: Vec::new(),
        tempos: Vec::new(),
        test: None,
    }
}

fn yard(rides: Vec<Ride>) -> Yard {
    let (name, stage, notes) = ("Astra".to_owned(), String::new(), String::new());
    let horse = Horse {
        id: HORSE,
        name,
        foaled: None,
        stage,
        notes,
    };
    let mut yard = Yard::default();
    Edit::Horse(HORSE, Some(horse)).apply(&mut yard).unwrap();
    for ride in rides {
        Edit::Ride(ride.id, Some(Box::new(ride)))
            .apply(&mut yard)
            .unwrap();
    }
    yard
}

/// Faults of each attempt, whether it was ridden again, loose faults, unreviewed bouts, and
/// faults that wait.
fn check(
    bouts: Vec<Bout>,
    marks: Vec<Mark>,
    attempts: &[(usize, bool)],
    loose: u32,
    unreviewed: u32,
    waiting: u32,
) {
    let observed = observe(
        &yard(vec![ride(1, "2026-03-01", bouts, marks)]),
        &Filter::default(),
    );
    let ride = &observed.rides[0];
    let got: Vec<_> = ride
        .attempts
        .iter()
        .map(|a| (a.faults.len(), a.repeated))
        .collect();
    assert_eq!(
        got, attempts,
        "faults of each attempt, and whether it was ridden again"
    );
    let got: u32 = ride.loose_faults.iter().map(|(_, count)| count).sum();
    assert_eq!(got, loose, "loose faults");
    assert_eq!(ride.unreviewed, unreviewed, "bouts not reviewed");
    assert_eq!(observed.waiting_faults, waiting, "faults that wait");
}

#[test]
fn marks_find_their_bouts() {
    let two = || vec![bout(1, 0, Some(10)), bout(2, 20, Some(30))];
    // Named, late press and all.
    check(
        two(),
        vec![fault(13, Some(1))],
        &[(1, false), (0, false)],
        0,
        0,
        0,
    );
    // A name goes before the moment.
    check(
        two(),
        vec![fault(25, Some(1))],
        &[(1, false), (0, false)],
        0,
        0,
        0,
    );
    // Without a name, or with that of a bout that is gone, by the moment.
    check(
        two(),
        vec![fault(25, None)],
        &[(0, false), (1, false)],
        0,
        0,
        0,
    );
    check(
        two(),
        vec![fault(25, Some(9))],
        &[(0, false), (1, false)],
        0,
        0,
        0,
    );
    // A start belongs to the bout, an end does not.
    check(
        two(),
        vec![fault(20, None), fault(10, None)],
        &[(0, false), (1, false)],
        1,
        0,
        0,
    );
    // In no bout, or in two: loose.
    check(
        two(),
        vec![fault(15, None)],
        &[(0, false), (0, false)],
        1,
        0,
        0,
    );
    let crossing = vec![bout(1, 0, Some(10)), bout(2, 5, Some(30))];
    check(
        crossing,
        vec![fault(7, None)],
        &[(0, false), (0, false)],
        1,
        0,
        0,
    );
    // The same fault twice counts twice, and makes the attempt faulty once.
    check(
        two(),
        vec![fault(1, None), fault(2, None)],
        &[(2, false), (0, false)],
        0,
        0,
        0,
    );
}

#[test]
fn only_reviewed_bouts_are_attempts() {
    let open = Bout {
        reviewed: false,
        ..bout(1, 0, Some(10))
    };
    check(vec![open.clone()], vec![fault(5, None)], &[], 0, 1, 1);
    check(vec![bout(1, 0, None)], vec![fault(500, None)], &[], 0, 1, 1);
    check(
        vec![open, bout(2, 20, Some(30))],
        vec![fault(25, None)],
        &[(1, false)],
        0,
        1,
        0,
    );
    check(
        vec![bout(1, 0, Some(10))],
        Vec::new(),
        &[(0, false)],
        0,
        0,
        0,
    );
    check(Vec::new(), Vec::new(), &[], 0, 0, 0);
}

#[test]
fn only_the_counting_review_counts() {
    let other_bout = Bout {
        review: SECOND,
        ..bout(2, 0, Some(10))
    };
    let other_mark = Mark {
        review: SECOND,
        ..fault(5, Some(1))
    };
    check(
        vec![bout(1, 0, Some(10)), other_bout.clone()],
        vec![other_mark],
        &[(0, false)],
        0,
        0,
        0,
    );
    // A bout of another review is none for this one's marks.
    check(
        vec![bout(1, 0, Some(10)), other_bout],
        vec![fault(5, Some(2))],
        &[(1, false)],
        0,
        0,
        0,
    );
}

#[test]
fn ridden_again() {
    let bouts = || vec![bout(1, 0, Some(10)), bout(2, 20, Some(30))];
    let again = |at, bout| vec![mark(at, MarkKind::Repeated, bout)];
    check(
        bouts(),
        again(40, Some(1)),
        &[(0, true), (0, false)],
        0,
        0,
        0,
    );
    check(bouts(), again(25, None), &[(0, false), (0, true)], 0, 0, 0);
    check(bouts(), again(15, None), &[(0, false), (0, false)], 0, 0, 0);
    check(
        bouts(),
        vec![mark(5, MarkKind::Praise, None)],
        &[(0, false), (0, false)],
        0,
        0,
        0,
    );
}

#[test]
fn an_attempt_is_lowered_whole() {
    let marks = vec![fault(5, None)];
    let rides = vec![ride(7, "1970-01-02", vec![bout(1, 2, Some(9))], marks)];
    let observed = observe(&yard(rides), &Filter::default());
    let [ride] = &observed.rides[..] else {
        panic!("one ride")
    };
    assert_eq!(
        (ride.id, ride.day),
        (7, Day(1)),
        "days count from 1970-01-01"
    );
    let attempt = &ride.attempts[0];
    let spelled = |key| observed.keys.word(key).map(WordId::as_str);
    assert_eq!(spelled(attempt.exercise), Some("half-pass"));
    assert_eq!(attempt.variant.and_then(spelled), Some("in-trot"));
    assert_eq!(spelled(attempt.faults[0]), Some("quarters-trailing"));
    assert_eq!(
        (attempt.rein, attempt.span),
        (Some(Rein::Left), Span::new(Moment(2), Moment(9)))
    );
    assert_eq!(
        day_of("2000-03-01".parse().unwrap()),
        Day(11_017),
        "GNU date -d 2000-03-01 +%s / 86400"
    );
}

#[test]
fn filters_share_their_keys() {
    let unknown = Bout {
        exercise: word("my-own-thing"),
        ..bout(1, 0, Some(5))
    };
    let rides = vec![
        ride(3, "2026-03-01", vec![bout(1, 0, Some(5))], Vec::new()),
        ride(1, "2026-03-02", vec![unknown], Vec::new()),
        ride(2, "2026-03-03", Vec::new(), Vec::new()),
    ];
    let yard = yard(rides);
    let days = |from: Option<&str>, to: Option<&str>| {
        let day = |day: &str| day.parse().unwrap();
        let filter = Filter {
            horse: None,
            from: from.map(day),
            to: to.map(day),
        };
        let observed = observe(&yard, &filter);
        (
            observed
                .rides
                .iter()
                .map(|ride| ride.id)
                .collect::<Vec<_>>(),
            observed.keys,
        )
    };
    let (all, keys) = days(None, None);
    assert_eq!(all, [3, 1, 2], "oldest first");
    assert!(
        keys.key(&word("my-own-thing")).is_some(),
        "a word the yard does not know"
    );
    assert_eq!(keys.key(&word("never-used")), None);
    assert_eq!(
        days(Some("2026-03-02"), Some("2026-03-02")),
        (vec![1], keys.clone()),
        "both ends count"
    );
    assert_eq!(days(Some("2026-03-03"), None), (vec![2], keys.clone()));
    assert_eq!(days(None, Some("2026-02-28")), (vec![], keys));
    let nobody = Filter {
        horse: Some(HorseId::from_bits(9)),
        ..Filter::default()
    };
    assert!(observe(&yard, &nobody).rides.is_empty());
}
