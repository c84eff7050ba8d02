//! The sentences, word for word.

use std::sync::Arc;

use proptest::prelude::*;
use reinback_analysis::{Day, PerMinute, Rein, RidePoint, Tally};
use reinback_yard::IdMaker;

use super::*;
use crate::report::numbers::{Days, Question, Whose, numbers};
use crate::report::sample;

fn of(faulty: u32, attempts: u32) -> String {
    rate(&FaultRate::new(Tally { faulty, attempts }))
}

/// Ranges: Wilson at 95 %, by the published formula with z = 1.959964 (Wilson 1927):
/// 4 of 23 is 0.070 to 0.371; 0 of 23 reaches 0.143; 23 of 23 begins at 0.857.
#[test]
fn rates_read_well() {
    for (faulty, attempts, expect) in [
        (
            4,
            23,
            "4 of 23 attempts, about 1 in 6 (probably between 1 in 14 and 2 in 5)",
        ),
        (2, 5, "2 of 5 attempts: too few for a rate"),
        (1, 1, "1 of 1 attempt: too few for a rate"),
        (0, 0, "not ridden"),
        (
            0,
            23,
            "0 of 23 attempts: none faulty so far (probably fewer than 1 in 7)",
        ),
        (
            23,
            23,
            "23 of 23 attempts: every one faulty (probably more than 7 in 8)",
        ),
    ] {
        assert_eq!(of(faulty, attempts), expect);
    }
}

#[test]
fn shares_read_well() {
    for (value, expect) in [
        (0.0, "none"),
        (0.001, "fewer than 1 in 200"),
        (0.01, "1 in 100"),
        (0.174, "1 in 6"),
        (0.34, "1 in 3"),
        (0.5, "1 in 2"),
        (0.66, "2 in 3"),
        (0.88, "7 in 8"),
        (1.0, "all"),
    ] {
        assert_eq!(share(value), expect, "{value}");
    }
}

#[test]
fn minutes_read_well() {
    let minute = 60_000_000_000;
    let said = per_minute(&PerMinute::new(6, 3 * minute));
    assert!(said.starts_with("2.0 faults a minute ("), "{said}");
    assert!(said.ends_with("in 3 min 00 s"), "{said}");
    let none = per_minute(&PerMinute::new(6, 0));
    assert!(none.contains("no length"), "{none}");
}

fn points(attempts: u32, faulty: [u32; 10]) -> Vec<RidePoint> {
    let point = |(ride, faulty): (u32, u32)| RidePoint {
        ride,
        day: Day(3 * i32::try_from(ride).expect("few rides")),
        tally: Tally { faulty, attempts },
    };
    (0..).zip(faulty).map(point).collect()
}

#[test]
fn trends_read_well() {
    let steady = points(10, [5, 4, 5, 5, 4, 5, 5, 4, 5, 4]);
    let falling = points(10, [9, 8, 8, 7, 6, 5, 4, 3, 2, 1]);
    let rising = points(10, [1, 2, 3, 4, 5, 6, 7, 8, 8, 9]);
    for (rides, expect) in [
        (&falling[..], "fewer faults lately, more than luck"),
        (&rising[..], "more faults lately, more than luck"),
        (&steady[..], "no clear trend"),
        (&steady[..5], "not enough rides yet (5 of 8)"),
    ] {
        let found = reinback_analysis::trend(rides, 7);
        assert_eq!(trend(&found, rides.len()), expect);
    }
}

/// Left always 6 of 10, right 1 of 10 in so many rides.
fn line_with_reins(rides: u32) -> Line {
    let mut yard = sample::yard();
    let mut ids = IdMaker::seeded(3);
    yard.rides = (0..u64::from(rides))
        .map(|number| {
            let mut ride = sample::blank(&mut ids, sample::day(number));
            for at in 0..20 {
                let left = at % 2 == 0;
                let rein = if left { Rein::Left } else { Rein::Right };
                let faulty = at < 12 && left || at == 1;
                sample::bout(
                    &mut ids,
                    &mut ride,
                    "half-pass",
                    Some(rein),
                    faulty.then_some("tense"),
                );
            }
            (ride.id, Arc::new(ride))
        })
        .collect();
    let question = Question {
        whose: Whose::One(sample::horse()),
        days: Days::default(),
        against: None,
    };
    numbers(&yard, &question).lines.remove(0)
}

#[test]
fn reins_read_well() {
    let clear = reins(&line_with_reins(8));
    assert!(
        clear.starts_with("Fewer faults on the right rein: left 48 of 80, right 8 of 80. Of 100 attempts, probably between "),
        "{clear}"
    );
    assert!(clear.contains(" fewer are faulty on the right."), "{clear}");
    let few = reins(&line_with_reins(3));
    assert_eq!(
        few,
        "Too few to tell: left 18 of 30, right 3 of 30. Fewer than 4 rides have it on both reins."
    );
}

#[test]
fn what_follows_a_mistake_reads_well() {
    let line = line_with_reins(1);
    let said = after_mistake(line.after.as_ref().expect("figures"));
    // Faulty are attempts 0, 1, 2, 4, 6, 8 and 10, of 20: 0-1 and 1-2 follow a mistake.
    assert_eq!(
        said,
        [
            "Ridden again at once after 0 of 7 mistakes.",
            "The next attempt was faulty 2 of 7 times after a mistake, 4 of 12 times after a clean one.",
            "No clear pattern from one attempt to the next.",
        ]
    );
}

proptest! {
    /// The words never turn the order of two shares round, and stay near what they say.
    #[test]
    fn fractions_keep_their_order(a in 0.005_f64..0.995, b in 0.005_f64..0.995) {
        let said = |value| {
            let (some, all) = fraction(value).expect("inside");
            f64::from(some) / f64::from(all)
        };
        let (low, high) = (a.min(b), a.max(b));
        prop_assert!(said(low) <= said(high), "{low} {high}");
        prop_assert!((said(a) - a).abs() <= 0.085, "{a} is not {}", said(a));
    }

    #[test]
    fn every_tally_has_a_sentence(faulty in 0_u32..80, more in 0_u32..80) {
        let said = of(faulty, faulty + more);
        prop_assert!(!said.contains("NaN") && !said.contains("inf"), "{said}");
        if faulty + more > 0 {
            prop_assert!(said.starts_with(&format!("{faulty} of {}", faulty + more)), "{said}");
        }
    }
}
