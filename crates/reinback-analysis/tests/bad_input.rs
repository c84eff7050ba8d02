//! Bad input gives a named problem or a reason, never a wrong number.

use proptest::prelude::*;
use reinback_analysis::{
    Attempt, Day, Estimate, Key, Moment, Ride, Sequence, Shortage, Span, Verdict, after_mistakes,
    compare_lines, compare_reins_lines, exercise_lines, what_first,
};

const SECOND: i64 = 1_000_000_000;

fn bout(exercise: u32, from: i64, to: i64, faulty: bool) -> Attempt {
    Attempt {
        exercise: Key(exercise),
        variant: None,
        rein: None,
        span: Span {
            from: Moment(from * SECOND),
            to: Moment(to * SECOND),
        },
        faults: if faulty { vec![Key(9)] } else { vec![] },
        repeated: false,
    }
}

fn ride(id: u32, attempts: Vec<Attempt>) -> Ride {
    Ride {
        id: id.into(),
        day: Day(20_000 + i32::try_from(id).unwrap_or(0)),
        attempts,
        ..Ride::default()
    }
}

/// Rides of eight attempts of ten seconds, of which so many are faulty.
fn alike(rides: u32, faulty: usize) -> Vec<Ride> {
    (0..rides)
        .map(|id| {
            ride(
                id,
                (0..8)
                    .zip(0_usize..)
                    .map(|(at, place)| bout(1, 10 * at, 10 * at + 10, place < faulty))
                    .collect(),
            )
        })
        .collect()
}

#[test]
fn all_faulty_and_none_faulty_have_finite_ranges() {
    for (faulty, value) in [(0, 0.0), (8, 1.0)] {
        let rides = alike(10, faulty);
        let line = &exercise_lines(&rides)[0];
        let rate = line.all.rate.range.expect("enough");
        assert!((rate.value - value).abs() < 1e-12 && rate.width() > 0.0);
        let trend = line.trend.state.expect("ten rides");
        assert!(trend.fitted(Day(20_005)).width().is_finite());
        assert!((trend.permutation_p - 1.0).abs() < 1e-12);
        let compared = &compare_lines(&rides[..5], &rides[5..], 1)[0].1;
        assert_eq!(compared.verdict, Verdict::NoClearDifference);
        let after = &after_mistakes(&rides, 1)[0];
        assert_eq!(after.verdict, Sequence::TooFew(Shortage::AllAlike));
        assert_eq!(what_first(std::slice::from_ref(line), 10).len(), 1);
    }
}

#[test]
fn one_ride_says_what_it_can() {
    let rides = alike(1, 3);
    let line = &exercise_lines(&rides)[0];
    assert_eq!(line.all.rate.tally.to_string(), "3 of 8");
    assert!(line.all.rate.range.is_ok());
    assert_eq!(line.trend.state, Err(Shortage::FewerThanEightRides));
    let compared = &compare_lines(&rides, &rides, 1)[0].1;
    assert_eq!(
        compared.verdict,
        Verdict::TooFew(Shortage::FewerThanFourRides)
    );
}

#[test]
fn bouts_without_time_have_no_rate_per_minute() {
    let still = ride(1, vec![bout(1, 5, 5, true), bout(1, 9, 3, false)]);
    let line = &exercise_lines(std::slice::from_ref(&still))[0];
    assert_eq!(line.all.per_minute.range, Err(Shortage::NoTime));
    assert_eq!(line.all.rate.tally.to_string(), "1 of 2", "still attempts");
    let ended = ride(1, vec![bout(1, 5, 5, true), bout(1, 10, 70, true)]);
    let line = &exercise_lines(&[ended])[0];
    assert_eq!((line.all.faults, line.all.per_minute.faults), (2, 1));
    let range = line.all.per_minute.range.expect("a minute");
    assert!(
        (range.value - 1.0).abs() < 1e-12,
        "the other fault has no minute"
    );
    let overlapping = ride(1, vec![bout(1, 0, 60, true), bout(1, 30, 90, true)]);
    let line = &exercise_lines(&[overlapping])[0];
    assert!(
        (line.all.per_minute.minutes() - 1.5).abs() < 1e-12,
        "shared time once"
    );
}

fn sound(estimate: &Estimate) -> bool {
    estimate.value.is_finite()
        && estimate.low.is_finite()
        && estimate.high.is_finite()
        && estimate.low <= estimate.value
        && estimate.value <= estimate.high
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn no_input_gives_a_broken_number(
        rides in proptest::collection::vec(
            (0_u32..6, any::<i32>(), proptest::collection::vec((0_u32..3, any::<i64>(), any::<i64>(), any::<bool>()), 0..9)),
            0..12,
        ),
    ) {
        let rides: Vec<Ride> = rides
            .into_iter()
            .map(|(id, day, bouts)| Ride {
                id: id.into(),
                day: Day(day),
                attempts: bouts
                    .into_iter()
                    .map(|(exercise, from, to, faulty)| Attempt {
                        span: Span { from: Moment(from), to: Moment(to) },
                        ..bout(exercise, 0, 0, faulty)
                    })
                    .collect(),
                ..Ride::default()
            })
            .collect();
        let mut turned = rides.clone();
        turned.reverse();
        let lines = exercise_lines(&rides);
        for line in &lines {
            for range in [line.all.rate.range, line.all.per_minute.range].into_iter().flatten() {
                prop_assert!(sound(&range), "{:?}", range);
            }
            if let Ok(trend) = line.trend.state {
                prop_assert!(sound(&trend.odds_per_month()) && sound(&trend.fitted(Day(0))));
            }
        }
        for priority in what_first(&lines, rides.len()) {
            prop_assert!(sound(&priority.shrunken));
        }
        let half = rides.len() / 2;
        let compared = compare_lines(&rides[..half], &rides[half..], 1);
        for (_, line) in compared.into_iter().chain(compare_reins_lines(&rides, 1)) {
            prop_assert!(line.difference.is_err() || line.difference.is_ok_and(|one| sound(&one)));
        }
        for line in after_mistakes(&rides, 1) {
            prop_assert!(line.runs.is_err() || line.runs.is_ok_and(|runs| runs.p <= 1.0 && runs.z.is_finite()));
        }
    }
}
