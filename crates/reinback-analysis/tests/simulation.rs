//! How often the verdicts are wrong, and how often the ranges hold the truth.
//!
//! A short fixed grid, the same on every machine. The long form is
//! `cargo run --release --example false_alarms -- --long`.

mod common;

use common::{Horse, rho_for};
use reinback_analysis::interval::{
    binomial_mid_p, clopper_pearson, garwood, poisson_mid_p, wilson,
};
use reinback_analysis::shuffle::{Dice, mix};
use reinback_analysis::special::{binomial_point, poisson_point};
use reinback_analysis::{
    Attempt, Day, Direction, Estimate, InputError, Key, Rein, Ride, RidePoint, Shortage, Span,
    Verdict, compare_periods, compare_reins, trend,
};

/// Highest share of false alarms accepted, in any cell of the grid.
const MOST_FALSE_ALARMS: f64 = 0.06;

fn is_alarm(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::Fewer | Verdict::More)
}

/// Share of comparisons of the same horse with itself that raise an alarm.
fn false_alarms(horse: Horse, rides: (usize, usize), repeats: u32, seed: u64) -> f64 {
    let mut dice = Dice::new(seed);
    let mut alarms = 0;
    for repeat in 0..repeats {
        let before = horse.rides(rides.0, (6, 14), &mut dice);
        let after = horse.rides(rides.1, (6, 14), &mut dice);
        let compared = compare_periods(&before, &after, mix(seed, u64::from(repeat)));
        alarms += u32::from(is_alarm(compared.verdict));
    }
    f64::from(alarms) / f64::from(repeats)
}

#[test]
fn two_like_periods_seldom_raise_an_alarm() {
    for (place, dispersion) in (0..).zip([1.0, 1.5, 2.0, 3.0]) {
        let rho = rho_for(dispersion, 10);
        for (cell, (rate, rides)) in (0..).zip([(0.1, (4, 4)), (0.3, (5, 8)), (0.5, (6, 6))]) {
            let share = false_alarms(Horse { rate, rho }, rides, 600, mix(place, cell));
            assert!(
                share <= MOST_FALSE_ALARMS,
                "dispersion {dispersion}, rate {rate}, rides {rides:?}: {share}"
            );
        }
    }
}

/// Sampled shuffles, as for longer periods.
#[test]
fn many_rides_are_judged_as_carefully() {
    let horse = Horse {
        rate: 0.25,
        rho: rho_for(2.0, 10),
    };
    let share = false_alarms(horse, (12, 12), 150, 5);
    assert!(
        share <= MOST_FALSE_ALARMS + 0.02,
        "150 repeats leave 2 points of noise: {share}"
    );
}

/// Two like reins on good and bad days: the ride's rate is drawn anew each time.
#[test]
fn two_like_reins_seldom_raise_an_alarm() {
    let mut dice = Dice::new(23);
    let mut alarms = 0;
    for repeat in 0..500 {
        let rides: Vec<Ride> = (0..8)
            .map(|id| {
                let rate = 0.1 + 0.6 * dice.unit();
                let attempts = (0..16).map(|place| Attempt {
                    exercise: Key(1),
                    variant: None,
                    rein: Some(if place % 2 == 0 {
                        Rein::Left
                    } else {
                        Rein::Right
                    }),
                    span: Span::default(),
                    faults: if dice.unit() < rate {
                        vec![Key(9)]
                    } else {
                        vec![]
                    },
                    repeated: false,
                });
                Ride {
                    id,
                    attempts: attempts.collect(),
                    ..Ride::default()
                }
            })
            .collect();
        alarms += u32::from(is_alarm(compare_reins(&rides, Key(1), repeat).verdict));
    }
    let share = f64::from(alarms) / 500.0;
    assert!(share <= MOST_FALSE_ALARMS, "{share}");
}

/// The verdicts are careful, not blind.
#[test]
fn a_clear_improvement_is_found() {
    let mut dice = Dice::new(11);
    let mut found = 0;
    for repeat in 0..100 {
        let before = Horse {
            rate: 0.6,
            rho: 0.05,
        }
        .rides(6, (6, 14), &mut dice);
        let after = Horse {
            rate: 0.15,
            rho: 0.05,
        }
        .rides(6, (6, 14), &mut dice);
        found += u32::from(compare_periods(&before, &after, repeat).verdict == Verdict::Fewer);
    }
    assert!(found >= 90, "found {found} of 100");
}

fn trend_alarms(rides: u32, slope: f64, rho: f64, repeats: u64) -> u64 {
    let mut dice = Dice::new(mix(17, u64::from(rides)));
    (0..repeats)
        .filter(|repeat| {
            let points: Vec<RidePoint> = (0..rides)
                .map(|ride| {
                    let rate = 0.6 + slope * f64::from(ride) / f64::from(rides - 1);
                    let attempts = 4 + dice.below(12);
                    RidePoint {
                        ride: ride.into(),
                        day: Day(i32::try_from(2 * ride).unwrap_or(0)),
                        tally: Horse { rate, rho }.ride(attempts, &mut dice),
                    }
                })
                .collect();
            trend(&points, *repeat)
                .state
                .is_ok_and(|state| state.direction != Direction::NoClearTrend)
        })
        .count() as u64
}

#[test]
fn a_level_course_seldom_shows_a_trend() {
    let level = trend_alarms(10, 0.0, 0.1, 200);
    assert!(
        level <= 20,
        "{level} of 200; 5 % expected, 20 is 3.2 standard errors above"
    );
    let falling = trend_alarms(16, -0.5, 0.05, 50);
    assert!(falling >= 40, "{falling} of 50");
}

type Interval = fn(u32, u32, f64) -> Result<Estimate, InputError>;

/// Coverage of an interval at each true rate of 2 to 60 %, by enumeration.
fn coverages(interval: Interval, attempts: u32) -> Vec<f64> {
    let ranges: Vec<Option<Estimate>> = (0..=attempts)
        .map(|k| interval(k, attempts, 0.95).ok())
        .collect();
    (2..=60_u32)
        .map(|percent| {
            let rate = f64::from(percent) / 100.0;
            (0..=attempts)
                .zip(&ranges)
                .filter(|(_, range)| range.is_some_and(|range| range.covers(rate)))
                .map(|(k, _)| binomial_point(f64::from(k), f64::from(attempts), rate))
                .sum()
        })
        .collect()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / f64::from(u32::try_from(values.len()).unwrap_or(u32::MAX))
}

#[test]
fn wilson_covers_as_often_as_it_says_on_average() {
    for attempts in 3..=60 {
        let average = mean(&coverages(wilson, attempts));
        assert!(
            (0.93..=0.98).contains(&average),
            "{attempts} attempts: {average}"
        );
    }
}

#[test]
fn exact_intervals_never_cover_less_than_they_say() {
    for attempts in 3..=60 {
        for coverage in coverages(clopper_pearson, attempts) {
            assert!(coverage >= 0.95 - 1e-9, "{attempts} attempts: {coverage}");
        }
        let average = mean(&coverages(binomial_mid_p, attempts));
        assert!(
            (0.945..=0.99).contains(&average),
            "mid-p, {attempts} attempts: {average}"
        );
    }
}

/// Why rates start at six attempts: below, the worst case is far off.
#[test]
fn below_six_attempts_the_worst_case_is_poor() {
    let worst = |attempts| coverages(wilson, attempts).into_iter().fold(1.0, f64::min);
    assert!(worst(3) < 0.85);
    assert!(worst(20) > 0.90);
}

#[test]
fn exact_counts_never_cover_less_than_they_say() {
    type Counted = fn(u32, f64, f64) -> Result<Estimate, InputError>;
    let coverage = |interval: Counted, expected: f64| -> f64 {
        (0..=80)
            .filter(|count| interval(*count, 1.0, 0.95).is_ok_and(|range| range.covers(expected)))
            .map(|count| poisson_point(f64::from(count), expected))
            .sum()
    };
    let means: Vec<f64> = (1..=60).map(|step| 0.5 * f64::from(step)).collect();
    for expected in &means {
        let covered = coverage(garwood, *expected);
        assert!(covered >= 0.95 - 1e-9, "mean {expected}: {covered}");
    }
    let average = mean(
        &means
            .iter()
            .map(|expected| coverage(poisson_mid_p, *expected))
            .collect::<Vec<_>>(),
    );
    assert!((0.945..=0.98).contains(&average), "mid-p: {average}");
}

#[test]
fn three_rides_are_too_few() {
    let mut dice = Dice::new(3);
    let horse = Horse {
        rate: 0.5,
        rho: 0.0,
    };
    let few = compare_periods(
        &horse.rides(3, (6, 9), &mut dice),
        &horse.rides(9, (6, 9), &mut dice),
        1,
    );
    assert_eq!(few.verdict, Verdict::TooFew(Shortage::FewerThanFourRides));
}
