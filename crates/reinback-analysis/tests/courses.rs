//! What trends say about courses of rides made up for the purpose.

use reinback_analysis::shuffle::{Dice, order_p, sign_p, split_p};
use reinback_analysis::{Day, Direction, Method, RidePoint, Shortage, Tally, trend, trends};

const SEED: u64 = 7;

fn course(faulty: &[u32]) -> Vec<RidePoint> {
    faulty
        .iter()
        .zip(0..)
        .map(|(faulty, ride)| RidePoint {
            ride,
            day: Day(i32::try_from(ride).unwrap_or(0) * 2),
            tally: Tally {
                faulty: *faulty,
                attempts: 10,
            },
        })
        .collect()
}

#[test]
fn eight_rides_are_enumerated_exactly() {
    // Strictly falling: only the course and its mirror are as steep, 2 of 8!.
    let state = trend(&course(&[8, 7, 6, 5, 4, 3, 2, 1]), SEED)
        .state
        .expect("eight rides");
    assert!((state.permutation_p - 2.0 / 40_320.0).abs() < 1e-12);
    assert_eq!(state.direction, Direction::Fewer);
    assert!(state.odds_per_month().high < 1.0);
    let rising = trend(&course(&[1, 2, 3, 4, 5, 6, 7, 8]), SEED)
        .state
        .expect("eight rides");
    assert_eq!(rising.direction, Direction::More);
}

#[test]
fn extreme_courses_have_finite_bands() {
    for faulty in [[0; 9], [10; 9], [10, 10, 10, 10, 0, 0, 0, 0, 0]] {
        let state = trend(&course(&faulty), SEED).state.expect("nine rides");
        let band = state.fitted(Day(8));
        assert!(band.low.is_finite() && band.high.is_finite() && band.method == Method::LogitFirth);
    }
    let flat = trend(&course(&[0; 9]), SEED).state.expect("nine rides");
    assert_eq!(flat.direction, Direction::NoClearTrend);
}

#[test]
fn trends_say_why_there_is_none() {
    assert_eq!(trend(&[], SEED).state, Err(Shortage::NoAttempts));
    assert_eq!(
        trend(&course(&[1; 7]), SEED).state,
        Err(Shortage::FewerThanEightRides)
    );
    let mut one_day = course(&[1, 2, 3, 4, 5, 6, 7, 8]);
    for point in &mut one_day {
        point.day = Day(3);
    }
    assert_eq!(trend(&one_day, SEED).state, Err(Shortage::OneDayOnly));
}

#[test]
fn trends_are_judged_together() {
    let slight = course(&[6, 4, 5, 3, 5, 3, 3, 2]);
    let level = course(&[3, 4, 3, 4, 4, 3, 4, 3]);
    let alone = trends(&[&slight], SEED)[0].state.expect("eight rides");
    let crowd = trends(&[&slight, &level, &level, &level], SEED)[0]
        .state
        .expect("eight rides");
    assert!((crowd.adjusted_p - 4.0 * alone.permutation_p).abs() < 1e-12);
    assert_eq!(
        (alone.direction, crowd.direction),
        (Direction::Fewer, Direction::NoClearTrend)
    );
}

/// The closed form above 200 rides must continue what shuffling says below.
#[test]
fn the_closed_form_continues_the_shuffles() {
    let mut dice = Dice::new(5);
    let scores: Vec<f64> = (0..200)
        .map(|place| dice.unit() + 0.0008 * f64::from(place))
        .collect();
    let places: Vec<f64> = (0..200).map(f64::from).collect();
    let shuffled = order_p(&scores, &places, SEED);
    let longer =
        |values: &[f64], last: f64| -> Vec<f64> { values.iter().copied().chain([last]).collect() };
    let mean = |values: &[f64]| values.iter().sum::<f64>() / 200.0;
    let closed = order_p(
        &longer(&scores, mean(&scores)),
        &longer(&places, mean(&places)),
        SEED,
    );
    assert!((shuffled - closed).abs() < 0.02, "{shuffled} {closed}");
    assert!(split_p(&scores, 100, SEED) < 0.05);
    let balanced: Vec<f64> = (0..50)
        .map(|place| if place % 2 == 0 { 1.0 } else { -1.0 })
        .collect();
    assert!(sign_p(&balanced, SEED) > 0.99);
}
