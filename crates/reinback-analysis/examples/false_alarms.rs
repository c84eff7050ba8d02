//! How often the verdicts raise a false alarm, and how often they find a real
//! difference, over a grid of rides, rates and dispersions.
//!
//! `cargo run --release -p reinback-analysis --example false_alarms` takes
//! seconds; `-- --long` repeats every cell 20 000 times and takes minutes; names of
//! sections behind it (periods, power, pages, trends, ranges) run only these.
//! Everything is seeded, so the table is the same on every machine.
#![expect(clippy::print_stdout, reason = "a program that prints a table")]

#[path = "../tests/common/mod.rs"]
mod common;
#[path = "../tests/common/lumpy.rs"]
mod lumpy;

use common::{Horse, rho_for};
use lumpy::{covered, trend_shown};
use reinback_analysis::interval::newcombe;
use reinback_analysis::shuffle::{Dice, mix};
use reinback_analysis::{Attempt, Key, Ride, Span, Tally, Verdict, compare_lines, compare_periods};

const DISPERSIONS: [f64; 4] = [1.0, 1.5, 2.0, 3.0];
const RATES: [f64; 3] = [0.1, 0.3, 0.5];
const RIDES: [(usize, usize); 5] = [(4, 4), (4, 8), (6, 6), (8, 8), (10, 20)];

/// A part of the table: its name, and what prints it after so many repeats.
type Section = (&'static str, fn(u32));

fn main() {
    let given: Vec<String> = std::env::args().skip(1).collect();
    let long = given.iter().any(|argument| argument == "--long");
    let repeats = if long { 20_000 } else { 1_000 };
    let sections: [Section; 5] = [
        ("periods", like_periods),
        ("power", unlike_periods),
        ("pages", whole_pages),
        ("trends", all_trends),
        ("ranges", all_ranges),
    ];
    let named = sections.map(|(name, _)| name);
    let chosen = given
        .iter()
        .any(|argument| named.contains(&argument.as_str()));
    for (name, section) in sections {
        if !chosen || given.iter().any(|argument| argument == name) {
            section(repeats);
        }
    }
}

fn like_periods(repeats: u32) {
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
}

fn unlike_periods(repeats: u32) {
    println!("\nFrom 50 % to 20 %: how often it is found");
    for rides in RIDES {
        for dispersion in DISPERSIONS {
            let (found, _) = periods(rides, 0.5, 0.2, dispersion, repeats / 4);
            println!("{rides:?} | {dispersion} | {found:.1}");
        }
    }
}

fn whole_pages(repeats: u32) {
    println!("\nA page of six like exercises, 8 rides a side: any line flagged %");
    for dispersion in DISPERSIONS {
        println!("{dispersion} | {:.1}", pages(dispersion, repeats / 4));
    }
}

fn all_trends(repeats: u32) {
    println!("\nA level course: trend shown % (30 % faulty, 2 to 25 attempts a ride)");
    for rides in [8, 12, 20, 40] {
        for dispersion in DISPERSIONS {
            let shown = trends(0.3, 0.0, rides, dispersion, repeats / 4);
            println!("{rides} rides | {dispersion} | {shown:.1}");
        }
    }
    println!("\nA course from 60 % to 20 %: how often the trend is found");
    for rides in [8, 12, 20, 40] {
        for dispersion in DISPERSIONS {
            let found = trends(0.6, -0.4, rides, dispersion, repeats / 20);
            println!("{rides} rides | {dispersion} | {found:.1}");
        }
    }
}

fn all_ranges(repeats: u32) {
    println!("\nHow often the range of a rate holds the truth %, 6 to 14 attempts a ride");
    println!("rides | rate | dispersion | this exercise alone | five others beside it");
    for rides in [4, 8, 20] {
        for rate in RATES {
            for dispersion in DISPERSIONS {
                let horse = Horse {
                    rate,
                    rho: rho_for(dispersion, 10),
                };
                let share =
                    |others| 100.0 * covered(horse, rides, others, repeats, &mut Dice::new(5));
                println!(
                    "{rides} | {rate} | {dispersion} | {:.1} | {:.1}",
                    share(0),
                    share(5)
                );
            }
        }
    }
}

fn trends(rate: f64, slope: f64, rides: u32, dispersion: f64, repeats: u32) -> f64 {
    let horse = Horse {
        rate,
        rho: rho_for(dispersion, 10),
    };
    percent(
        trend_shown(horse, slope, rides, repeats, &mut Dice::new(3)),
        repeats,
    )
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
