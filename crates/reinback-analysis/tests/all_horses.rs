//! Several horses, each compared with itself: false alarms where nothing changed, and what adding
//! all counts up first would have said.

mod common;

use common::{Horse, rho_for};
use reinback_analysis::compare::compare_periods_of_horses;
use reinback_analysis::shuffle::{Dice, mix, order_p, order_p_within, split_p, split_p_within};
use reinback_analysis::stratified::{Stratum, newcombe_stratified, rate_ratio_stratified};
use reinback_analysis::trend::trend_of_horses;
use reinback_analysis::{
    Comparison, Day, Direction, RidePoint, Tally, Trend, Verdict, compare_periods, trend,
};

/// Highest share of false alarms accepted.
const MOST_FALSE_ALARMS: f64 = 0.06;

/// Poor, middling and good horses.
const RATES: [f64; 4] = [0.6, 0.4, 0.2, 0.08];

/// How often each was ridden in either period: the poor ones first, the good ones later.
const RIDES: [(usize, usize); 4] = [(10, 3), (8, 4), (4, 8), (3, 10)];

fn is_alarm(compared: &Comparison) -> bool {
    matches!(compared.verdict, Verdict::Fewer | Verdict::More)
}

type Periods = Vec<(Vec<Tally>, Vec<Tally>)>;

/// Rides of horses whose rates are multiplied by `change` in the second period.
fn periods(dispersion: f64, change: f64, dice: &mut Dice) -> Periods {
    let rho = rho_for(dispersion, 10);
    RATES
        .iter()
        .zip(RIDES)
        .map(|(rate, (before, after))| {
            let then = Horse { rate: *rate, rho };
            let now = Horse {
                rate: *rate * change,
                rho,
            };
            (
                then.rides(before, (6, 14), dice),
                now.rides(after, (6, 14), dice),
            )
        })
        .collect()
}

fn apart(horses: &Periods, seed: u64) -> Comparison {
    let horses: Vec<(&[Tally], &[Tally])> = horses
        .iter()
        .map(|(before, after)| (before.as_slice(), after.as_slice()))
        .collect();
    compare_periods_of_horses(&horses, seed)
}

fn thrown_together(horses: &Periods, seed: u64) -> Comparison {
    let (before, after): (Vec<_>, Vec<_>) = horses.iter().cloned().unzip();
    compare_periods(&before.concat(), &after.concat(), seed)
}

#[test]
fn riding_other_horses_seldom_raises_an_alarm() {
    const REPEATS: u32 = 250;
    for (cell, dispersion) in (0..).zip([1.0, 1.5, 3.0]) {
        let mut dice = Dice::new(mix(31, cell));
        let (mut own, mut pooled) = (0, 0);
        for repeat in 0..REPEATS {
            let horses = periods(dispersion, 1.0, &mut dice);
            own += u32::from(is_alarm(&apart(&horses, repeat.into())));
            pooled += u32::from(is_alarm(&thrown_together(&horses, repeat.into())));
        }
        let share = |alarms: u32| f64::from(alarms) / f64::from(REPEATS);
        assert!(
            share(own) <= MOST_FALSE_ALARMS,
            "dispersion {dispersion}: {} raised",
            share(own)
        );
        assert!(
            share(pooled) >= 0.5,
            "dispersion {dispersion}: thrown together {} raised, so this grid asks little",
            share(pooled)
        );
    }
}

#[test]
fn an_improvement_of_all_horses_is_found() {
    let mut dice = Dice::new(37);
    let found = (0..60)
        .filter(|repeat| apart(&periods(1.5, 0.5, &mut dice), *repeat).verdict == Verdict::Fewer)
        .count();
    assert!(found >= 50, "found {found} of 60");
}

/// How often the range holds the truth, with rates that fall by three tenths.
#[test]
fn the_range_holds_the_difference_inside_horses() {
    const REPEATS: u32 = 400;
    for (cell, dispersion) in (0..).zip([1.0, 2.0]) {
        let mut dice = Dice::new(mix(41, cell));
        let mut held = 0;
        for repeat in 0..REPEATS {
            let horses = periods(dispersion, 0.7, &mut dice);
            let attempts =
                |rides: &[Tally]| f64::from(rides.iter().map(|ride| ride.attempts).sum::<u32>());
            let (mut truth, mut weights) = (0.0, 0.0);
            for (rate, (before, after)) in RATES.iter().zip(&horses) {
                let (n, m) = (attempts(before), attempts(after));
                truth += n * m / (n + m) * rate * (0.7 - 1.0);
                weights += n * m / (n + m);
            }
            let range = apart(&horses, repeat.into()).difference.expect("a range");
            held += u32::from(range.covers(truth / weights));
        }
        let share = f64::from(held) / f64::from(REPEATS);
        assert!(
            (0.92..=0.99).contains(&share),
            "dispersion {dispersion}: {share}"
        );
    }
}

/// Horses come and go along the days; each loses this share of its own faults meanwhile.
fn courses(lost: f64, rho: f64, dice: &mut Dice) -> Vec<Vec<RidePoint>> {
    RATES
        .iter()
        .zip([0_i32, 10, 20, 30])
        .map(|(rate, first)| {
            (0..10)
                .map(|ride| {
                    let day = first + 3 * ride;
                    let rate = rate * (1.0 - lost * f64::from(ride) / 9.0);
                    RidePoint {
                        ride: u64::try_from(100 * first + ride).unwrap_or(0),
                        day: Day(day),
                        tally: Horse { rate, rho }.ride(6 + dice.below(8), dice),
                    }
                })
                .collect()
        })
        .collect()
}

fn moves(trend: &Trend) -> bool {
    trend
        .state
        .is_ok_and(|state| state.direction != Direction::NoClearTrend)
}

#[test]
fn riding_other_horses_is_seldom_a_trend() {
    const REPEATS: u64 = 150;
    let mut dice = Dice::new(43);
    let (mut own, mut pooled) = (0, 0);
    for repeat in 0..REPEATS {
        let horses = courses(0.0, 0.1, &mut dice);
        let apart: Vec<&[RidePoint]> = horses.iter().map(Vec::as_slice).collect();
        own += u32::from(moves(&trend_of_horses(&apart, repeat)));
        pooled += u32::from(moves(&trend(&horses.concat(), repeat)));
    }
    // 5 % expected; 15 is 2.8 standard errors above.
    assert!(own <= 15, "{own} of {REPEATS}");
    assert!(pooled >= 120, "thrown together {pooled} of {REPEATS}");
    let falling = (0..40)
        .filter(|repeat| {
            let horses = courses(0.7, 0.05, &mut dice);
            let apart: Vec<&[RidePoint]> = horses.iter().map(Vec::as_slice).collect();
            moves(&trend_of_horses(&apart, *repeat))
        })
        .count();
    assert!(falling >= 30, "{falling} of 40");
}

#[test]
fn one_horse_is_the_same_by_either_way() {
    let mut dice = Dice::new(47);
    let horse = Horse {
        rate: 0.3,
        rho: 0.1,
    };
    for seed in 0..20 {
        let (before, after) = (
            horse.rides(9, (4, 9), &mut dice),
            horse.rides(7, (4, 9), &mut dice),
        );
        let alone = compare_periods(&before, &after, seed);
        assert_eq!(compare_periods_of_horses(&[(&before, &after)], seed), alone);
        // A horse of one period only says nothing of a change.
        let gone = horse.rides(5, (4, 9), &mut dice);
        assert_eq!(
            compare_periods_of_horses(&[(&before, &after), (&gone, &[])], seed),
            alone
        );
    }
}

/// Above 200 scores the closed form; just below, shuffles. Both of the same kind of rides.
#[test]
fn the_closed_form_agrees_with_shuffles_inside_groups() {
    let mut dice = Dice::new(53);
    for repeat in 0..12 {
        let mut values = |length: usize, shift: f64| -> Vec<f64> {
            (0..length)
                .map(|place| dice.unit() + if place % 2 == 0 { shift } else { 0.0 })
                .collect()
        };
        let shift = 0.02 * f64::from(repeat);
        let (one, other) = (values(90, shift), values(100, shift));
        let groups = [(one.as_slice(), 45), (other.as_slice(), 50)];
        let sampled = split_p_within(&groups, 1);
        // Six scores of 0 in a group of their own take the total above 200 and add nothing.
        let nothing = [0.0; 12];
        let closed = split_p_within(&[groups[0], groups[1], (&nothing, 6)], 1);
        let noise = 4.0 * (sampled * (1.0 - sampled) / 10_000.0).sqrt() + 0.004;
        assert!((sampled - closed).abs() < noise, "{sampled} {closed}");
        let (one_place, other_place) = (values(90, 0.0), values(100, 0.0));
        let courses = [
            (one.as_slice(), one_place.as_slice()),
            (other.as_slice(), other_place.as_slice()),
        ];
        let sampled = order_p_within(&courses, 1);
        let closed = order_p_within(&[courses[0], courses[1], (&nothing, &nothing)], 1);
        let noise = 4.0 * (sampled * (1.0 - sampled) / 10_000.0).sqrt() + 0.004;
        assert!((sampled - closed).abs() < noise, "{sampled} {closed}");
    }
    let scores = [3.0, 1.0, 4.0, 1.0, 5.0, 9.0, 2.0];
    // Groups that cannot be dealt or put in order change nothing, to the bit.
    let bits = |p: f64| p.to_bits();
    assert_eq!(
        bits(split_p(&scores, 3, 1)),
        bits(split_p_within(&[(&scores, 3), (&[1.0], 1)], 1))
    );
    assert_eq!(
        bits(order_p(&scores, &scores, 1)),
        bits(order_p_within(&[(&scores, &scores), (&[], &[])], 1))
    );
}

/// The formulas of Yan & Su written out once more, step by step, without the shared code; and a
/// ratio whose logarithm should scatter as its range says.
#[test]
fn stratified_ranges_agree_with_the_formulas_written_out() {
    let tables = [
        ((7, 31), (12, 25)),
        ((3, 40), (5, 28)),
        ((20, 36), (31, 44)),
    ];
    let strata = tables.map(|(one, other)| Stratum {
        one,
        other,
        dispersions: (1.0, 1.0),
    });
    let found = newcombe_stratified(&strata, 0.95).expect("a range");
    let quantile = 1.959_963_984_540_054_f64;
    let raw: Vec<f64> = tables
        .iter()
        .map(|(one, other)| f64::from(one.1 * other.1) / f64::from(one.1 + other.1))
        .collect();
    let total: f64 = raw.iter().sum();
    let mut sides = Vec::new();
    for second in [false, true] {
        let counts = tables.map(|(one, other)| if second { other } else { one });
        let (mut rate, mut lambda, mut squares, mut sum) = (0.0, 0.0, 0.0, 0.0);
        for ((k, n), weight) in counts.iter().zip(&raw) {
            let (w, n) = (weight / total, f64::from(*n));
            let share = f64::from(*k) / n;
            rate += w * share;
            lambda += w * w / n;
            squares += w * w * share * (1.0 - share) / n;
            sum += w * (share * (1.0 - share) / n).sqrt();
        }
        let narrowed = quantile * f64::sqrt(squares) / sum;
        let (mut low, mut high) = (0.0, 0.0);
        for ((k, n), weight) in counts.iter().zip(&raw) {
            let (w, k, n) = (weight / total, f64::from(*k), f64::from(*n));
            let z2 = narrowed * narrowed;
            let centre = (k + 0.5 * z2) / (n + z2);
            let half = narrowed / (n + z2) * (k * (n - k) / n + 0.25 * z2).sqrt();
            low += w * (centre - half);
            high += w * (centre + half);
        }
        sides.push((rate, lambda, low, high));
    }
    let ((p1, a, l1, u1), (p2, b, l2, u2)) = (sides[0], sides[1]);
    let low = p1 - p2 - quantile * (a * l1 * (1.0 - l1) + b * u2 * (1.0 - u2)).sqrt();
    let high = p1 - p2 + quantile * (a * u1 * (1.0 - u1) + b * l2 * (1.0 - l2)).sqrt();
    assert!((found.value - (p1 - p2)).abs() < 1e-12);
    assert!((found.low - low).abs() < 1e-12 && (found.high - high).abs() < 1e-12);

    // Counts of a thousandth chance in each of many moments are all but Poisson.
    let mut dice = Dice::new(59);
    let mut held = 0;
    for _ in 0..400 {
        let mut count = |mean: f64| {
            let moments = 400;
            (0..moments)
                .map(|_| u32::from(dice.unit() < mean / f64::from(moments)))
                .sum::<u32>()
        };
        let strata = [
            ((count(12.0), 30.0), (count(8.0), 40.0)),
            ((count(30.0), 10.0), (count(15.0), 10.0)),
        ];
        held +=
            u32::from(rate_ratio_stratified(&strata, 0.95).is_ok_and(|ratio| ratio.covers(2.0)));
    }
    assert!((368..=396).contains(&held), "{held} of 400");
}
