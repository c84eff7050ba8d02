//! What must hold whatever the numbers are.

use proptest::prelude::*;
use reinback_analysis::interval::{
    binomial_mid_p, clopper_pearson, garwood, newcombe, poisson_mid_p, wilson, wilson_effective,
};
use reinback_analysis::{
    Attempt, Day, Estimate, ExerciseLine, InputError, Key, Moment, Rein, Ride, RidePoint, Span,
    Tally, after_mistakes, compare_lines, compare_periods, compare_reins_lines, exercise_lines,
    remainder, trend, what_first,
};

type Interval = fn(u32, u32, f64) -> Result<Estimate, InputError>;
const INTERVALS: [Interval; 3] = [wilson, clopper_pearson, binomial_mid_p];

fn sound(estimate: &Estimate) -> bool {
    [estimate.value, estimate.low, estimate.high, estimate.level]
        .iter()
        .all(|number| number.is_finite())
        && estimate.low <= estimate.value
        && estimate.value <= estimate.high
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * (1.0 + one.abs())
}

prop_compose! {
    fn counts()(attempts in 1_u32..400)(faulty in 0..=attempts, attempts in Just(attempts)) -> (u32, u32) {
        (faulty, attempts)
    }
}

prop_compose! {
    fn attempt()(
        exercise in 0_u32..4,
        variant in proptest::option::of(0_u32..2),
        rein in proptest::option::of(any::<bool>()),
        from in 0_i64..3_000,
        length in 0_i64..60,
        faults in proptest::collection::vec(0_u32..5, 0..3),
        repeated in any::<bool>(),
    ) -> Attempt {
        Attempt {
            exercise: Key(exercise),
            variant: variant.map(Key),
            rein: rein.map(|left| if left { Rein::Left } else { Rein::Right }),
            span: Span::new(Moment(from * 1_000_000_000), Moment((from + length) * 1_000_000_000)),
            faults: faults.into_iter().map(Key).collect(),
            repeated,
        }
    }
}

fn rides(most: usize) -> impl Strategy<Value = Vec<Ride>> {
    let ride = (
        0_i32..200,
        proptest::collection::vec(attempt(), 0..12),
        0_u32..3,
        0_u32..3,
    );
    proptest::collection::vec(ride, 0..most).prop_map(|drawn| {
        drawn
            .into_iter()
            .zip(0..)
            .map(|((day, attempts, unreviewed, loose), id)| Ride {
                id,
                day: Day(day),
                attempts,
                unreviewed,
                loose_faults: vec![(Key(1), loose)],
            })
            .collect()
    })
}

fn totals(lines: &[ExerciseLine]) -> Vec<(Key, Tally, u32, Tally, Tally, Tally)> {
    lines
        .iter()
        .map(|line| {
            let tally = |cell: &reinback_analysis::Cell| cell.rate.tally;
            let reins = (tally(&line.left), tally(&line.right), tally(&line.unsided));
            (
                line.exercise,
                tally(&line.all),
                line.all.faults,
                reins.0,
                reins.1,
                reins.2,
            )
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn ranges_are_sound_and_mirror_each_other((k, n) in counts(), level in 0.5..0.999_f64) {
        for interval in INTERVALS {
            let range = interval(k, n, level)?;
            prop_assert!(sound(&range) && range.low >= 0.0 && range.high <= 1.0);
            let mirror = interval(n - k, n, level)?;
            prop_assert!(near(range.low, 1.0 - mirror.high) && near(range.high, 1.0 - mirror.low));
        }
    }

    #[test]
    fn more_attempts_narrow_the_range((k, n) in counts(), times in 2_u32..5) {
        for interval in INTERVALS {
            prop_assert!(interval(times * k, times * n, 0.95)?.width() < interval(k, n, 0.95)?.width());
        }
    }

    #[test]
    fn a_higher_level_widens_the_range((k, n) in counts()) {
        for interval in INTERVALS {
            prop_assert!(interval(k, n, 0.99)?.width() > interval(k, n, 0.9)?.width());
        }
    }

    #[test]
    fn dispersion_only_widens((k, n) in counts(), phi in 1.0..50.0_f64) {
        let plain = wilson(k, n, 0.95)?;
        let wide = wilson_effective(k, n, phi, 0.95)?;
        prop_assert!(sound(&wide));
        prop_assert!(wide.low <= plain.low + 1e-12 && wide.high >= plain.high - 1e-12);
    }

    #[test]
    fn differences_are_sound_and_opposite((k, n) in counts(), (l, m) in counts()) {
        let there = newcombe((k, n), (l, m), 0.95)?;
        let back = newcombe((l, m), (k, n), 0.95)?;
        prop_assert!(sound(&there) && there.low >= -1.0 && there.high <= 1.0);
        prop_assert!(near(there.low, -back.high) && near(there.high, -back.low));
    }

    #[test]
    fn counts_over_time_are_sound(count in 0_u32..3_000, exposure in 1e-6..1e6_f64) {
        let exact = garwood(count, exposure, 0.95)?;
        let mid_p = poisson_mid_p(count, exposure, 0.95)?;
        prop_assert!(sound(&exact) && sound(&mid_p) && exact.low >= 0.0);
        prop_assert!(mid_p.low >= exact.low * (1.0 - 1e-12) && mid_p.high <= exact.high * (1.0 + 1e-12));
    }

    #[test]
    fn impossible_input_is_refused(k in 1_u32..50, level in prop_oneof![Just(0.0), Just(1.0), Just(f64::NAN), Just(-3.0)]) {
        for interval in INTERVALS {
            prop_assert_eq!(interval(k, k - 1, 0.95).is_err(), true);
            prop_assert_eq!(interval(0, 0, 0.95), Err(InputError::NothingToDivideBy));
            prop_assert_eq!(interval(1, 2, level), Err(InputError::Level));
        }
        for exposure in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            prop_assert!(garwood(k, exposure, 0.95).is_err());
        }
    }

    #[test]
    fn lines_do_not_depend_on_the_order_of_rides(rides in rides(12), turn in 0_usize..12) {
        let mut turned = rides.clone();
        turned.rotate_left(turn.min(rides.len()));
        turned.reverse();
        prop_assert_eq!(exercise_lines(&rides), exercise_lines(&turned));
        prop_assert_eq!(remainder(&rides), remainder(&turned));
        prop_assert_eq!(compare_reins_lines(&rides, 1), compare_reins_lines(&turned, 1));
    }

    #[test]
    fn every_attempt_is_in_exactly_one_cell(rides in rides(12)) {
        let attempts: usize = rides.iter().map(|ride| ride.attempts.len()).sum();
        let lines = exercise_lines(&rides);
        let counted: u32 = lines.iter().map(|line| line.all.rate.tally.attempts).sum();
        prop_assert_eq!(counted as usize, attempts);
        for line in &lines {
            let all = line.all.rate.tally;
            let reins = line.left.rate.tally + line.right.rate.tally + line.unsided.rate.tally;
            let variants: Tally = line.variants.iter().map(|(_, cell)| cell.rate.tally).sum();
            let points: Tally = line.points.iter().map(|point| point.tally).sum();
            prop_assert_eq!((reins, variants, points), (all, all, all));
            let faults: u32 = line.faults.iter().map(|(_, times)| times).sum();
            prop_assert_eq!(faults, line.all.faults);
        }
    }

    #[test]
    fn splitting_a_ride_keeps_the_totals(rides in rides(8), at in 0_usize..12) {
        let split: Vec<Ride> = rides
            .iter()
            .flat_map(|ride| {
                let (first, second) = ride.attempts.split_at(at.min(ride.attempts.len()));
                let part = |attempts: &[Attempt], id| Ride { id, attempts: attempts.to_vec(), ..ride.clone() };
                [part(first, ride.id), part(second, ride.id + 100)]
            })
            .collect();
        prop_assert_eq!(totals(&exercise_lines(&rides)), totals(&exercise_lines(&split)));
    }

    #[test]
    fn every_number_on_a_line_is_sound(rides in rides(20)) {
        let lines = exercise_lines(&rides);
        for line in &lines {
            for cell in [line.all, line.left, line.right, line.unsided] {
                prop_assert!(cell.rate.range.is_ok_and(|range| sound(&range)) || cell.rate.range.is_err());
                prop_assert!(cell.per_minute.range.is_ok_and(|range| sound(&range)) || cell.per_minute.range.is_err());
                prop_assert!(cell.rate.dispersion >= 1.0);
                prop_assert!(cell.rate.dispersion <= f64::from(cell.rate.tally.attempts.max(1)));
            }
            if let Ok(state) = line.trend.state {
                for day in [i32::MIN, 0, 100, i32::MAX] {
                    prop_assert!(sound(&state.fitted(Day(day))));
                }
                prop_assert!(sound(&state.odds_per_month()));
                prop_assert!(state.adjusted_p >= state.permutation_p && state.adjusted_p <= 1.0);
            }
        }
        for priority in what_first(&lines, rides.len()) {
            prop_assert!(sound(&priority.shrunken) && priority.faulty_per_ride.is_finite());
        }
        for line in after_mistakes(&rides, 5) {
            prop_assert!(line.difference.is_ok_and(|range| sound(&range)) || line.difference.is_err());
            prop_assert!(line.runs.is_ok_and(|runs| runs.z.is_finite() && runs.p <= 1.0) || line.runs.is_err());
        }
    }

    #[test]
    fn comparisons_are_sound_and_opposite(before in rides(9), after in rides(9)) {
        let there = compare_lines(&before, &after, 3);
        let back = compare_lines(&after, &before, 3);
        for ((key, there), (other, back)) in there.iter().zip(&back) {
            prop_assert_eq!(key, other);
            prop_assert!(there.dispersion >= 1.0);
            if let (Ok(difference), Ok(opposite)) = (there.difference, back.difference) {
                prop_assert!(sound(&difference));
                prop_assert!(near(difference.value, -opposite.value));
                prop_assert!(there.adjusted_p >= there.permutation_p);
            }
        }
    }

    #[test]
    fn the_order_inside_a_period_does_not_matter(
        mut before in proptest::collection::vec(counts(), 0..9),
        after in proptest::collection::vec(counts(), 0..9),
    ) {
        let tallies = |counts: &[(u32, u32)]| -> Vec<Tally> {
            counts.iter().map(|&(faulty, attempts)| Tally { faulty, attempts }).collect()
        };
        let first = compare_periods(&tallies(&before), &tallies(&after), 9);
        before.reverse();
        prop_assert_eq!(first, compare_periods(&tallies(&before), &tallies(&after), 9));
    }

    #[test]
    fn hostile_tallies_never_break_anything(
        tallies in proptest::collection::vec((any::<u32>(), any::<u32>()), 0..10),
        days in proptest::collection::vec(any::<i32>(), 10),
    ) {
        let tallies: Vec<Tally> = tallies.into_iter().map(|(faulty, attempts)| Tally { faulty, attempts }).collect();
        let compared = compare_periods(&tallies, &tallies, 1);
        prop_assert!(compared.difference.is_ok_and(|range| sound(&range)) || compared.difference.is_err());
        let points: Vec<RidePoint> = tallies
            .iter()
            .zip(days)
            .zip(0..)
            .map(|((tally, day), ride)| RidePoint { ride, day: Day(day), tally: *tally })
            .collect();
        if let Ok(state) = trend(&points, 1).state {
            prop_assert!(sound(&state.fitted(Day(0))));
        }
    }
}
