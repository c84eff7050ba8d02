//! How often the verdicts raise a false alarm, and how often they find a real
//! difference, over a grid of rides, rates and dispersions.
//!
//! `cargo run --release -p reinback-analysis --example false_alarms` takes
//! seconds; `-- --long` repeats every cell 20 000 times and takes minutes.
//! Everything is seeded, so the table is the same on every machine.
#![expect(clippy::print_stdout, reason = "a program that prints a table")]

#[path = "../tests/common/mod.rs"]
mod common;

use common::{Horse, rho_for};
use reinback_analysis::interval::newcombe;
use reinback_analysis::shuffle::{Dice, mix};
use reinback_analysis::{
    Attempt, Day, Direction, Key, Ride, RidePoint, Span, Tally, Verdict, compare_lines,
    compare_periods, trend,
};

const DISPERSIONS: [f64; 4] = [1.0, 1.5, 2.0, 3.0];
const RATES: [f64; 3] = [0.1, 0.3, 0.5];
const RIDES: [(usize, usize); 5] = [(4, 4), (4, 8), (6, 6), (8, 8), (10, 20)];

fn main() {
    let long = std::env::args().any(|argument| argument == "--long");
    let repeats = if long { 20_000 } else { 1_000 };
    println!("Two like periods, 6 to 14 attempts a ride, {repeats} repeats");
    println!("rides | rate | dispersion | verdict % | range alone, rides ignored %");
    for rides in RIDES {
        for rate in RATES {
            for dispersion in DISPERSIONS {
                let (ours, plain) = periods(rides, rate, rate, dispersion, repeats);
                println!("{rides:?} | {rate} | {dispersion} | {ours:.1} | {plain:.1}");
            }
        }
    }
    println!("\nFrom 50 % to 20 %: how often it is found");
    for rides in RIDES {
        for dispersion in DISPERSIONS {
            let (found, _) = periods(rides, 0.5, 0.2, dispersion, repeats / 4);
            println!("{rides:?} | {dispersion} | {found:.1}");
        }
    }
    println!("\nA page of six like exercises, 8 rides a side: any line flagged %");
    for dispersion in DISPERSIONS {
        println!("{dispersion} | {:.1}", pages(dispersion, repeats / 4));
    }
    println!("\nA level course: trend shown % (2 to 25 attempts a ride)");
    for rides in [8, 12, 20, 40] {
        for rho in [0.0, 0.1] {
            println!(
                "{rides} rides | rho {rho} | {:.1}",
                level_trends(rides, rho, repeats / 4)
            );
        }
    }
}

fn percent(hits: u32, of: u32) -> f64 {
    100.0 * f64::from(hits) / f64::from(of.max(1))
}

fn is_alarm(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::Fewer | Verdict::More)
}

fn periods(
    rides: (usize, usize),
    first: f64,
    second: f64,
    dispersion: f64,
    repeats: u32,
) -> (f64, f64) {
    let rho = rho_for(dispersion, 10);
    let mut dice = Dice::new(mix(1, rides.1 as u64));
    let (mut ours, mut plain) = (0, 0);
    for repeat in 0..repeats {
        let before = Horse { rate: first, rho }.rides(rides.0, (6, 14), &mut dice);
        let after = Horse { rate: second, rho }.rides(rides.1, (6, 14), &mut dice);
        ours += u32::from(is_alarm(
            compare_periods(&before, &after, u64::from(repeat)).verdict,
        ));
        let total = |side: &[Tally]| side.iter().copied().sum::<Tally>();
        let (one, other) = (total(&before), total(&after));
        let naive = newcombe(
            (one.faulty, one.attempts),
            (other.faulty, other.attempts),
            0.95,
        );
        plain += u32::from(naive.is_ok_and(|range| !range.covers(0.0)));
    }
    (percent(ours, repeats), percent(plain, repeats))
}

fn ride_of(id: u64, horse: Horse, dice: &mut Dice) -> Ride {
    let mut attempts = Vec::new();
    for exercise in 0..6 {
        let total = 6 + dice.below(9);
        let tally = horse.ride(total, dice);
        attempts.extend((0..tally.attempts).map(|place| Attempt {
            exercise: Key(exercise),
            variant: None,
            rein: None,
            span: Span::default(),
            faults: if place < tally.faulty {
                vec![Key(99)]
            } else {
                vec![]
            },
            repeated: false,
        }));
    }
    Ride {
        id,
        attempts,
        ..Ride::default()
    }
}

fn pages(dispersion: f64, repeats: u32) -> f64 {
    let horse = Horse {
        rate: 0.3,
        rho: rho_for(dispersion, 10),
    };
    let mut dice = Dice::new(2);
    let mut flagged = 0;
    for repeat in 0..repeats {
        let mut side = || {
            (0..8)
                .map(|id| ride_of(id, horse, &mut dice))
                .collect::<Vec<_>>()
        };
        let (before, after) = (side(), side());
        let lines = compare_lines(&before, &after, u64::from(repeat));
        flagged += u32::from(lines.iter().any(|(_, line)| is_alarm(line.verdict)));
    }
    percent(flagged, repeats)
}

fn level_trends(rides: u32, rho: f64, repeats: u32) -> f64 {
    let horse = Horse { rate: 0.3, rho };
    let mut dice = Dice::new(3);
    let mut shown = 0;
    for repeat in 0..repeats {
        let points: Vec<RidePoint> = (0..rides)
            .zip(0..)
            .map(|(ride, day)| {
                let attempts = 2 + dice.below(24);
                RidePoint {
                    ride: ride.into(),
                    day: Day(3 * day),
                    tally: horse.ride(attempts, &mut dice),
                }
            })
            .collect();
        let found = trend(&points, u64::from(repeat)).state;
        shown += u32::from(found.is_ok_and(|state| state.direction != Direction::NoClearTrend));
    }
    percent(shown, repeats)
}
