//! Choosing several things, and what becomes of them.

use std::sync::Arc;

use chrono::NaiveDate;
use reinback_yard::{
    Asked, HorseId, Leg, MarkKind, Pace, PaceSpan, Review, RideId, Span, SpanId, WordId, Yard,
};

use super::*;

const SECOND: i64 = 1_000_000_000;
const OWN: ReviewId = ReviewId::from_bits(9);

fn seconds(count: i64) -> Moment {
    Moment(count * SECOND)
}

fn bout(id: u64, from: i64, to: Option<i64>) -> Bout {
    Bout {
        id: BoutId::from_bits(id),
        review: OWN,
        exercise: WordId::new("half-pass").unwrap(),
        from: seconds(from),
        to: to.map(seconds),
        rein: None,
        variant: None,
        asked: Asked::default(),
        score: None,
        letters: (None, None),
        reviewed: to.is_some(),
        note: String::new(),
    }
}

fn mark(id: u64, at: i64, bout: Option<u64>) -> Mark {
    Mark {
        id: MarkId::from_bits(id),
        review: OWN,
        at: seconds(at),
        kind: MarkKind::Praise,
        bout: bout.map(BoutId::from_bits),
        note: String::new(),
        origin: None,
        press: None,
        place: None,
    }
}

/// Bouts 0-10 and since 20, a mark in each and one at the start of the second, a pace from 0, and
/// taps at 5, 6 and 7.
fn ride() -> Ride {
    let review = Review {
        id: OWN,
        reviewer: String::new(),
        blind: false,
    };
    let date = NaiveDate::from_ymd_opt(2026, 11, 20).unwrap();
    let other = Mark {
        review: ReviewId::from_bits(8),
        ..mark(9, 1, None)
    };
    Ride {
        bouts: vec![bout(1, 0, Some(10)), bout(2, 20, None)],
        marks: vec![
            other,
            mark(1, 3, Some(1)),
            mark(2, 20, None),
            mark(3, 25, Some(2)),
        ],
        paces: vec![PaceSpan {
            id: SpanId::from_bits(1),
            span: Span {
                from: seconds(0),
                to: seconds(30),
            },
            pace: Pace::Trot,
            variant: None,
        }],
        tempos: vec![TempoTrack {
            id: tempo(),
            review: OWN,
            leg: Leg::LeftHind,
            taps: [5, 6, 7].map(seconds).to_vec(),
        }],
        ..Ride::new(RideId::from_bits(1), HorseId::from_bits(1), date, review)
    }
}

const fn tempo() -> SpanId {
    SpanId::from_bits(7)
}

fn bout_of(id: u64) -> Chosen {
    Chosen::Bout(BoutId::from_bits(id))
}

fn mark_of(id: u64) -> Chosen {
    Chosen::Mark(MarkId::from_bits(id))
}

fn pace() -> Chosen {
    Chosen::Pace(SpanId::from_bits(1))
}

fn after(ride: &Ride, step: Step) -> Ride {
    let mut yard = Yard::default();
    yard.rides.insert(ride.id, Arc::new(ride.clone()));
    step.edit.apply(&mut yard).unwrap();
    Ride::clone(&yard.rides[&ride.id])
}

#[test]
fn the_list_is_in_order_and_has_no_other_review_in_it() {
    let order = things(&ride(), OWN);
    let order: Vec<Chosen> = order.iter().map(|thing| thing.chosen).collect();
    let expect = [
        pace(),
        bout_of(1),
        mark_of(1),
        Chosen::Tempo(tempo()),
        bout_of(2),
        mark_of(2),
        mark_of(3),
    ];
    assert_eq!(order, expect);
    // Paces go with the review that counts.
    let other = things(&ride(), ReviewId::from_bits(8));
    assert!(
        other
            .iter()
            .all(|thing| matches!(thing.chosen, Chosen::Mark(_)))
    );
    assert_eq!(other.len(), 1);
}

#[test]
fn a_range_goes_from_where_it_began_and_back() {
    let ride = ride();
    let mut selection = Selection::default();
    selection.settle(Some(mark_of(1)));
    for (press, count, expect) in [
        (true, 2, Chosen::Tempo(tempo())),
        (true, 3, bout_of(2)),
        (false, 2, Chosen::Tempo(tempo())),
        (false, 1, mark_of(1)),
        (false, 2, bout_of(1)),
        (false, 3, pace()),
        (false, 3, pace()),
    ] {
        let next = selection.beyond(press, seconds(0), &ride, OWN).unwrap();
        let first = selection.select(Select::Through(next), &ride, OWN);
        assert_eq!((first, selection.all().len()), (Some(expect), count));
    }
    // Another thing chosen ends it.
    selection.settle(Some(mark_of(3)));
    assert_eq!(*selection.all(), [mark_of(3)].into());
}

#[test]
fn without_anything_chosen_the_next_thing_is_taken() {
    let ride = ride();
    let selection = Selection::default();
    let next = |forward, at| selection.beyond(forward, seconds(at), &ride, OWN);
    assert_eq!(next(true, 4), Some(Chosen::Tempo(tempo())));
    assert_eq!(next(false, 4), Some(mark_of(1)));
    assert_eq!(next(true, 60), None);
    assert_eq!(next(false, -1), None);
}

#[test]
fn one_is_taken_in_and_out_again() {
    let ride = ride();
    let mut selection = Selection::default();
    let mut toggle = |one| selection.select(Select::Toggle(one), &ride, OWN);
    assert_eq!(toggle(mark_of(1)), Some(mark_of(1)));
    assert_eq!(toggle(bout_of(2)), Some(bout_of(2)));
    assert_eq!(
        toggle(bout_of(2)),
        Some(mark_of(1)),
        "the other one is left"
    );
    assert_eq!(toggle(mark_of(1)), None);
}

#[test]
fn removing_takes_marks_along_and_a_tempo_of_one_tap() {
    let ride = ride();
    let remove = |all: &[Chosen]| {
        let all: BTreeSet<Chosen> = all.iter().copied().collect();
        after(&ride, remove(&ride, &all).unwrap())
    };
    let marks = |ride: &Ride| -> Vec<u64> { ride.marks.iter().map(|m| m.id.bits()).collect() };
    let left = remove(&[bout_of(1), mark_of(2), pace()]);
    assert_eq!((left.bouts.len(), left.paces.len()), (1, 0));
    assert_eq!(marks(&left), [9, 3]);
    let tap = |second| Chosen::Tap(tempo(), seconds(second));
    let left = remove(&[tap(6)]);
    assert_eq!(left.tempos[0].taps, [5, 7].map(seconds));
    assert_eq!(remove(&[tap(5), tap(7)]).tempos, []);
    assert_eq!(remove(&[Chosen::Tempo(tempo())]).tempos, []);
    assert!(super::remove(&ride, &[mark_of(77)].into()).is_err());
}

#[test]
fn exercises_leave_the_count_together_and_come_back_together() {
    let mut ride = ride();
    ride.bouts.push(Bout {
        reviewed: false,
        ..bout(3, 40, Some(50))
    });
    let all: BTreeSet<Chosen> = [bout_of(1), bout_of(2), bout_of(3), mark_of(1)].into();
    let counted = |ride: &Ride| -> Vec<bool> { ride.bouts.iter().map(|b| b.reviewed).collect() };
    let once = after(&ride, toggle_reviewed(&ride, &all, None).unwrap());
    assert_eq!(counted(&once), [true, false, true], "one still runs");
    let twice = after(&once, toggle_reviewed(&once, &all, None).unwrap());
    assert_eq!(counted(&twice), [false, false, false]);
    let none = toggle_reviewed(&ride, &[bout_of(2)].into(), None);
    assert!(none.is_err());
}
