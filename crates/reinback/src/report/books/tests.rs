//! Books that followed a yard say what books begun anew say.

use proptest::prelude::*;
use rayon::ThreadPoolBuilder;
use reinback_yard::{HorseId, IdMaker, Rein, Ride};

use super::*;
use crate::report::numbers::{Measure, Reins, numbers};
use crate::report::sample;

/// A second horse.
const OTHER: u64 = 0x22;

/// What is done to a yard: a ride of a horse on a day with these bouts, in a place of ten, or none.
type Change = (usize, Option<(bool, u64, Vec<(usize, usize, bool)>)>);

fn change() -> impl Strategy<Value = Change> {
    let bout = (0_usize..3, 0_usize..3, any::<bool>());
    let ride = (
        any::<bool>(),
        0_u64..9,
        proptest::collection::vec(bout, 0..9),
    );
    (0_usize..10, proptest::option::weighted(0.9, ride))
}

fn made(ids: &mut IdMaker, (other, day, bouts): (bool, u64, Vec<(usize, usize, bool)>)) -> Ride {
    let mut ride = sample::blank(ids, sample::day(day));
    if other {
        ride.head.horse = HorseId::from_bits(OTHER);
    }
    for (exercise, rein, faulty) in bouts {
        sample::bout(
            ids,
            &mut ride,
            ["half-pass", "halt", "travers"][exercise],
            [Some(Rein::Left), Some(Rein::Right), None][rein],
            faulty.then_some("tense"),
        );
    }
    ride
}

fn questions() -> Vec<Question> {
    let days = |from: u64, to: u64| Days {
        from: Some(sample::day(from)),
        to: Some(sample::day(to)),
    };
    [
        Whose::One(sample::horse()),
        Whose::One(HorseId::from_bits(OTHER)),
        Whose::All,
    ]
    .into_iter()
    .flat_map(|whose| {
        [(Days::default(), None), (days(4, 8), Some(days(0, 3)))].map(|(days, against)| Question {
            whose,
            days,
            against,
            reins: Reins::Both,
        })
    })
    .collect()
}

proptest! {
    // Each case shuffles rides thousands of times.
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn followed_or_begun_anew_on_any_number_of_threads(
        changes in proptest::collection::vec(change(), 1..16),
    ) {
        let mut yard = sample::yard();
        let places: Vec<RideId> = yard.rides.keys().copied().collect();
        let mut ids = IdMaker::seeded(4);
        let mut books = Books::default();
        let questions = questions();
        for (step, (place, ride)) in changes.into_iter().enumerate() {
            let id = places[place];
            match ride {
                Some(ride) => {
                    let ride = Ride { id, ..made(&mut ids, ride) };
                    yard.rides.insert(id, Arc::new(ride));
                }
                None => {
                    yard.rides.remove(&id);
                }
            }
            books.answer(&yard, &questions[step % questions.len()]);
        }
        let single = ThreadPoolBuilder::new().num_threads(1).build().unwrap();
        for question in &questions {
            let followed = books.answer(&yard, question);
            let anew = single.install(|| numbers(&yard, question));
            prop_assert_eq!(followed, anew);
        }
    }
}

#[test]
fn periods_that_share_a_day_are_not_compared() {
    let question = Question {
        whose: Whose::All,
        days: Days::default(),
        against: Some(Days::default()),
        reins: Reins::Both,
    };
    let found = numbers(&sample::yard(), &question);
    let compared = found.lines[0].compared.expect("asked for");
    assert_eq!(
        compared.rate.verdict,
        Verdict::TooFew(Shortage::PeriodsOverlap)
    );
    assert_eq!(compared.per_minute, Err(Shortage::PeriodsOverlap));
}

#[test]
fn many_rides_are_drawn_month_by_month() {
    let ride = |day: u64| RideLine {
        ride: RideId::from_bits(day),
        date: sample::day(0) + chrono::Days::new(day),
        tally: reinback_analysis::Tally {
            faulty: 1,
            attempts: 3,
        },
        faults: 2,
    };
    let few: Vec<RideLine> = (0..30).map(ride).collect();
    assert!(
        course(&few)
            .iter()
            .all(|point| point.ride.is_some() && point.rides == 1)
    );
    let many: Vec<RideLine> = (0..400).map(ride).collect();
    let drawn = course(&many);
    // From 4 May 2026 to 7 June 2027.
    assert_eq!(drawn.len(), 14);
    assert_eq!((drawn[0].rides, drawn[1].rides), (28, 30));
    assert_eq!(drawn[0].tally.to_string(), "28 of 84");
    assert_eq!(drawn.iter().map(|point| point.rides).sum::<u32>(), 400);
    assert!(
        drawn
            .iter()
            .all(|point| point.ride.is_none() && point.from <= point.to)
    );
}

/// A yard with rides of nothing but halts: of a horse, on a day, clean or each with a fault.
fn halts(rides: &[(u64, u64, bool)]) -> Yard {
    let mut yard = sample::yard();
    yard.rides.clear();
    let mut ids = IdMaker::seeded(32);
    for (horse, day, faulty) in rides {
        let mut ride = sample::blank(&mut ids, sample::day(*day));
        ride.head.horse = HorseId::from_bits(*horse);
        for _ in 0..4 {
            sample::bout(&mut ids, &mut ride, "halt", None, faulty.then_some("tense"));
        }
        yard.rides.insert(ride.id, Arc::new(ride));
    }
    yard
}

fn before_and_after(yard: &Yard) -> Compared {
    let question = Question {
        whose: Whose::All,
        days: Days {
            from: Some(sample::day(5)),
            to: None,
        },
        against: Some(Days {
            from: None,
            to: Some(sample::day(4)),
        }),
        reins: Reins::Both,
    };
    numbers(yard, &question).lines[0]
        .compared
        .expect("asked for")
}

#[test]
fn faults_where_there_were_none_are_more() {
    let rides: Vec<_> = (0..10).map(|day| (0x11, day, day >= 5)).collect();
    let found = before_and_after(&halts(&rides));
    assert_eq!(found.per_minute, Err(Shortage::NoFaultsToCompare));
    assert_eq!(found.verdict(Measure::Attempts), Verdict::More);
    assert_eq!(found.verdict(Measure::Faults), Verdict::More);
    // Two faults in as much time: half of (1/2)², well above 2.5 %.
    let rides: Vec<_> = (0..10).map(|day| (0x11, day, false)).collect();
    let mut yard = halts(&rides);
    let (id, ride) = yard.rides.pop_last().expect("a ride");
    let mut ride = (*ride).clone();
    let mut ids = IdMaker::seeded(33);
    for _ in 0..2 {
        sample::bout(&mut ids, &mut ride, "halt", None, Some("tense"));
    }
    yard.rides.insert(id, Arc::new(ride));
    assert!(!before_and_after(&yard).timed.more_than_none);
}

/// Two horses ridden in both periods, clean before; a third comes new with many faults.
#[test]
fn faults_of_two_periods_are_those_of_horses_ridden_in_both() {
    let old = (0..10).flat_map(|day| [(0x11, day, day >= 5), (OTHER, day, false)]);
    let new = (5..10).map(|day| (0x33, day, true));
    let rides: Vec<_> = old.chain(new).collect();
    let found = before_and_after(&halts(&rides));
    assert_eq!(
        (found.timed.before.faults, found.timed.after.faults),
        (0, 20)
    );
    // Two horses in five rides with four halts of 15 seconds.
    let minutes = 2.0 * 5.0 * 4.0 * 0.25;
    assert!((found.timed.after.minutes() - minutes).abs() < 1e-9);
    assert_eq!(found.rate.after.tally.attempts, 40);
}
