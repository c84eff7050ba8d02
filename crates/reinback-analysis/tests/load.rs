//! The load, worked by hand. Calendar facts: 1970-01-01 was a Thursday,
//! 2000-02-29 existed, 1900-02-29 did not.

use proptest::prelude::*;
use reinback_analysis::load::{
    Caution, Load, LoadReason, LoadRide, Work, load, monday, ridden, year,
};
use reinback_analysis::{Day, Key, Moment, Pace, PaceSpan, Rein, Span};

const MINUTE: i64 = 60_000_000_000;
const TODAY: i32 = 20_000;

fn minutes(from: i64, to: i64) -> Span {
    Span::new(Moment(from * MINUTE), Moment(to * MINUTE))
}

fn ride(back: i32, length: i64) -> LoadRide {
    LoadRide {
        id: u32::try_from(back.max(0)).unwrap_or(0),
        day: Day(TODAY - back),
        ridden: minutes(0, length),
        paces: vec![],
        work: vec![],
    }
}

fn of(rides: &[(i32, i64)]) -> Load {
    let rides: Vec<LoadRide> = rides
        .iter()
        .map(|(back, length)| ride(*back, *length))
        .collect();
    load(&rides, Day(TODAY), &[], None)
}

#[test]
fn minutes_are_added_by_pace_exercise_and_rein() {
    let pace = |pace, from, to| PaceSpan {
        pace,
        variant: None,
        span: minutes(from, to),
    };
    let work = |exercise, rein, from, to| Work {
        exercise: Key(exercise),
        rein,
        span: minutes(from, to),
    };
    let mut one = ride(0, 40);
    one.paces = vec![
        pace(Pace::Walk, 0, 10),
        pace(Pace::Trot, 10, 22),
        pace(Pace::Canter, 20, 30),
        pace(Pace::Walk, 35, 60),
    ];
    one.work = vec![
        work(1, Some(Rein::Left), 10, 14),
        work(1, Some(Rein::Left), 12, 16),
        work(1, Some(Rein::Right), 20, 25),
        work(2, None, 11, 12),
    ];
    let found = ridden(&[one, ride(1, 20)]);
    assert_eq!((found.rides, found.all), (2, 60 * MINUTE));
    assert_eq!(
        found.paces,
        [
            (Pace::Walk, 15 * MINUTE),
            (Pace::Trot, 10 * MINUTE),
            (Pace::Canter, 8 * MINUTE)
        ]
    );
    assert_eq!(
        found.pace_unknown,
        27 * MINUTE,
        "two paces at once, none, and a whole ride"
    );
    assert_eq!(found.exercises, [(Key(1), 11 * MINUTE), (Key(2), MINUTE)]);
    assert_eq!((found.left, found.right), (6 * MINUTE, 5 * MINUTE));
}

#[test]
fn the_last_seven_days_stand_against_four_weeks() {
    let steady = of(&[
        (34, 60),
        (28, 60),
        (20, 60),
        (10, 60),
        (7, 60),
        (6, 60),
        (0, 30),
    ]);
    assert_eq!(steady.last_seven.rides, 2);
    assert_eq!(steady.usual_week, Ok(75 * MINUTE));
    assert!((steady.against_usual.expect("known") - 1.2).abs() < 1e-12);
    assert!(steady.cautions.is_empty());
    let more = of(&[(34, 60), (20, 60), (10, 60), (3, 60), (0, 60)]);
    assert_eq!(more.cautions, [Caution::MuchMore]);
    // half as much again: 45 and 45 minutes against 60 a week; a minute less is not
    let week = |last| {
        let record = [(34, 60), (27, 60), (20, 60), (13, 60), (2, 45), (0, last)];
        of(&record).cautions
    };
    assert_eq!(week(45), [Caution::MuchMore]);
    assert_eq!(week(44), []);
    // an hour is not more than an hour
    assert_eq!(of(&[(0, 60)]).cautions, []);
    assert_eq!(
        of(&[(0, 61)]).cautions,
        [Caution::PerhapsLongRide { ride: 0 }],
        "no pace is noted"
    );
    for (rides, reason) in [
        (vec![], LoadReason::NoRides),
        (vec![(33, 60), (0, 60)], LoadReason::TooShort),
        (vec![(35, 60), (0, 60)], LoadReason::NothingBefore),
        (vec![(34, 0), (0, 60)], LoadReason::NothingBefore),
    ] {
        assert_eq!(of(&rides).against_usual, Err(reason), "{rides:?}");
    }
}

#[test]
fn days_in_a_row_and_days_off() {
    for (rides, in_a_row, since) in [
        (vec![], 0, Err(LoadReason::NoRides)),
        (vec![0], 1, Err(LoadReason::NoRestRecorded)),
        (vec![0, 1, 2], 3, Err(LoadReason::NoRestRecorded)),
        (vec![0, 1, 3], 2, Ok(2)),
        (vec![1, 2, 4], 2, Ok(0)),
        (vec![2, 3], 0, Ok(0)),
        (vec![0, 0, 9], 1, Ok(1)),
    ] {
        let dated: Vec<(i32, i64)> = rides.iter().map(|back| (*back, 30)).collect();
        let found = of(&dated);
        assert_eq!(
            (found.days_in_a_row, found.days_since_rest),
            (in_a_row, since),
            "{rides:?}"
        );
    }
    let row: Vec<(i32, i64)> = (0..7).map(|back| (back, 30)).collect();
    assert_eq!(of(&row).cautions, [Caution::NoDayOff { days: 7 }]);
    assert!(of(&row[..6]).cautions.is_empty());
}

#[test]
fn long_rides_and_young_horses_are_pointed_out() {
    let mut long = ride(2, 75);
    assert_eq!(
        load(&[long.clone()], Day(TODAY), &[], None).cautions,
        [Caution::PerhapsLongRide { ride: 2 }],
        "no pace is noted: nobody knows"
    );
    let ridden = |pace, from, to| PaceSpan {
        pace,
        variant: None,
        span: minutes(from, to),
    };
    for (trot, halt, caution) in [
        (61, 75, vec![Caution::LongRide { ride: 2 }]),
        (60, 75, vec![]),
        (59, 60, vec![Caution::PerhapsLongRide { ride: 2 }]),
        (40, 60, vec![]),
    ] {
        long.paces = vec![ridden(Pace::Trot, 0, trot), ridden(Pace::Halt, trot, halt)];
        let found = load(&[long.clone()], Day(TODAY), &[], None).cautions;
        assert_eq!(found, caution, "{trot} minutes of trot, halted to {halt}");
    }
    long.paces = vec![ridden(Pace::Walk, 0, 15)];
    assert!(
        load(&[long.clone()], Day(TODAY), &[], None)
            .cautions
            .is_empty(),
        "walking is not counted"
    );
    long.day = Day(TODAY - 7);
    long.paces.clear();
    assert!(
        load(&[long], Day(TODAY), &[], None).cautions.is_empty(),
        "long ago"
    );
    for (foaled, age, young) in [
        (Some(2019), Ok(5), true),
        (Some(2018), Ok(6), false),
        (Some(2024), Ok(0), true),
        (Some(2025), Err(LoadReason::NoAge), false),
        (None, Err(LoadReason::NoAge), false),
        (Some(i32::MIN), Err(LoadReason::NoAge), false),
    ] {
        let found = load(&[], Day(TODAY), &[], foaled);
        assert_eq!(found.age, age);
        assert_eq!(!found.cautions.is_empty(), young);
    }
    for caution in [
        Caution::MuchMore,
        Caution::NoDayOff { days: 8 },
        Caution::LongRide { ride: 1 },
        Caution::PerhapsLongRide { ride: 1 },
        Caution::Young { age: 4 },
    ] {
        assert!(caution.to_string().ends_with('.'));
    }
}

#[test]
fn competitions_weeks_and_rides_ahead() {
    let days = [Day(TODAY - 1), Day(TODAY + 30), Day(TODAY + 9)];
    assert_eq!(
        load(&[], Day(TODAY), &days, None).days_to_competition,
        Ok(9)
    );
    assert_eq!(
        load(&[], Day(TODAY), &[Day(TODAY)], None).days_to_competition,
        Ok(0)
    );
    assert_eq!(
        load(&[], Day(TODAY), &days[..1], None).days_to_competition,
        Err(LoadReason::NoCompetition)
    );
    // 2024-10-04 was a Friday
    let found = of(&[(-1, 60), (0, 30), (4, 30), (5, 30), (20, 0)]);
    assert_eq!((found.ahead, found.without_length), (1, 1));
    let weeks: Vec<(i32, u32, i64)> = found
        .weeks
        .iter()
        .map(|week| (week.monday.0 - TODAY, week.rides, week.nanos / MINUTE))
        .collect();
    assert_eq!(weeks, [(-25, 1, 0), (-18, 0, 0), (-11, 1, 30), (-4, 2, 60)]);
    assert_eq!(
        of(&[(100_000, 60), (0, 30)]).weeks.len(),
        520,
        "ten years at most"
    );
}

#[test]
fn the_calendar_is_gregorian() {
    for (day, wanted) in [
        (-719_162, 1), // 0001-01-01
        (-25_567, 1900),
        (-25_202, 1901), // 1900 had no leap day
        (10_956, 1999),
        (10_957, 2000),
        (11_322, 2000), // 2000-12-31 is the 366th
        (11_323, 2001),
        (i32::MAX, 5_881_580),
        (i32::MIN, -5_877_641),
    ] {
        assert_eq!(year(Day(day)), wanted, "{day}");
    }
    for day in [i32::MIN, i32::MAX] {
        let only = LoadRide {
            day: Day(day),
            ..ride(0, 30)
        };
        assert_eq!(
            load(&[only], Day(day), &[Day(day)], None).days_in_a_row,
            u32::from(day > 0)
        );
    }
    assert_eq!(monday(Day(0)), Day(-3));
    assert_eq!(
        (monday(Day(4)), monday(Day(10)), monday(Day(11))),
        (Day(4), Day(4), Day(11))
    );
}

proptest! {
    #[test]
    fn no_ride_is_lost_and_the_order_does_not_matter(
        rides in proptest::collection::vec((-5_i32..200, 0_i64..120), 0..40),
    ) {
        let found = of(&rides);
        let in_weeks: u32 = found.weeks.iter().map(|week| week.rides).sum();
        prop_assert_eq!((in_weeks + found.ahead) as usize, rides.len());
        let mut turned = rides.clone();
        turned.reverse();
        let other = of(&turned);
        prop_assert_eq!(other.weeks, found.weeks);
        prop_assert_eq!(other.days_since_rest, found.days_since_rest);
        prop_assert_eq!(other.cautions, found.cautions);
        if let (Ok(since), true) = (found.days_since_rest, rides.iter().any(|(back, _)| *back == 0)) {
            prop_assert_eq!(since, found.days_in_a_row);
        }
    }
}
