//! What the verdicts say about rides made up for the purpose.

use reinback_analysis::compare::compare_per_minute;
use reinback_analysis::dispersion::{Likeness, design_effect, pooled_rho, shrunken_rho};
use reinback_analysis::rank::Prior;
use reinback_analysis::shuffle::Dice;
use reinback_analysis::{
    Attempt, Comparison, Day, FaultRate, Key, Method, PerMinute, Rein, Reservation, Ride, Sequence,
    Shortage, Span, Tally, Verdict, after_mistakes, compare_lines, compare_periods, compare_reins,
    compare_reins_lines, exercise_lines, what_first,
};

const SEED: u64 = 7;

fn attempt(exercise: u32, rein: Option<Rein>, faulty: bool) -> Attempt {
    Attempt {
        exercise: Key(exercise),
        variant: None,
        rein,
        span: Span::default(),
        faults: if faulty { vec![Key(9)] } else { vec![] },
        repeated: false,
    }
}

/// A ride with so many faulty attempts of so many, per exercise.
fn ride(id: u64, exercises: &[(u32, Tally)]) -> Ride {
    let attempts = exercises
        .iter()
        .flat_map(|(exercise, tally)| {
            (0..tally.attempts).map(|place| attempt(*exercise, None, place < tally.faulty))
        })
        .collect();
    Ride {
        id,
        day: Day(i32::try_from(id).unwrap_or(0)),
        attempts,
        ..Ride::default()
    }
}

fn tallies(faulty: &[u32], attempts: u32) -> Vec<Tally> {
    faulty
        .iter()
        .map(|&faulty| Tally { faulty, attempts })
        .collect()
}

fn season(exercise: u32, faulty: &[u32]) -> Vec<Ride> {
    tallies(faulty, 10)
        .into_iter()
        .zip(0..)
        .map(|(tally, id)| ride(id, &[(exercise, tally)]))
        .collect()
}

#[test]
fn a_range_alone_is_not_a_verdict() {
    // All of one side's faults come from one bad ride.
    let compared = compare_periods(&tallies(&[0, 10, 0, 1, 0], 10), &tallies(&[0; 5], 10), SEED);
    assert_eq!(compared.verdict, Verdict::NoClearDifference);
    assert!(
        compared.dispersion > 5.0,
        "one bad ride: {}",
        compared.dispersion
    );
    assert!(
        compared.dispersion <= 10.0,
        "never above the attempts per ride"
    );
}

#[test]
fn shuffles_alone_are_not_a_verdict() {
    // A steady single fault against none: 2 of 70 deals, but 4 of 24 against
    // 0 of 24 still leaves zero in the range.
    let compared = compare_periods(&tallies(&[1; 4], 6), &tallies(&[0; 4], 6), SEED);
    assert!(
        compared
            .permutation_p
            .is_some_and(|p| (p - 2.0 / 70.0).abs() < 1e-12)
    );
    assert_eq!(compared.verdict, Verdict::NoClearDifference);
    assert_eq!(compared.reservation, Some(Reservation::ShufflesAlone));
}

/// The verdict, the two witnesses and the reservation must tell one story.
#[track_caller]
fn check_consistent(compared: &Comparison) {
    let (Ok(difference), Some(p)) = (compared.difference, compared.adjusted_p) else {
        assert!(matches!(compared.verdict, Verdict::TooFew(_)));
        return;
    };
    let apart = !difference.covers(0.0);
    match compared.verdict {
        Verdict::Fewer => assert!(apart && p <= 0.05 && difference.high < 0.0),
        Verdict::More => assert!(apart && p <= 0.05 && difference.low > 0.0),
        Verdict::NoClearDifference => {
            assert!(!apart || p > 0.05);
            assert_eq!(compared.reservation.is_some(), apart || p <= 0.05);
        }
        Verdict::TooFew(_) => unreachable!("there was enough"),
    }
}

#[test]
fn every_small_comparison_is_consistent() {
    let mut dice = Dice::new(1);
    let mut seen = [0; 3];
    for _ in 0..400 {
        let side = |dice: &mut Dice, most: u32| -> Vec<Tally> {
            (0..5)
                .map(|_| Tally {
                    faulty: dice.below(most),
                    attempts: 8,
                })
                .collect()
        };
        let compared = compare_periods(&side(&mut dice, 9), &side(&mut dice, 5), SEED);
        check_consistent(&compared);
        seen[match (compared.verdict, compared.reservation) {
            (Verdict::Fewer | Verdict::More, _) => 0,
            (_, None) => 1,
            (_, Some(_)) => 2,
        }] += 1;
    }
    assert!(seen.iter().all(|times| *times > 0), "{seen:?}");
}

#[test]
fn an_exercise_of_one_period_is_too_few() {
    let lines = compare_lines(&season(1, &[1, 2, 3, 1]), &season(2, &[1, 2, 3, 1]), SEED);
    let verdicts: Vec<(Key, Verdict)> = lines
        .iter()
        .map(|(key, line)| (*key, line.verdict))
        .collect();
    let too_few = Verdict::TooFew(Shortage::NoAttempts);
    assert_eq!(verdicts, vec![(Key(1), too_few), (Key(2), too_few)]);
}

#[test]
fn lines_are_judged_together() {
    // One line at p = 2/70 among four: not found after Benjamini-Hochberg.
    let side = |clear: [u32; 4]| -> Vec<Ride> {
        (0..4)
            .map(|id: u32| {
                let level = |shift: u32| Tally {
                    faulty: 2 + (id + shift) % 2,
                    attempts: 10,
                };
                let clear = Tally {
                    faulty: clear[id as usize],
                    attempts: 10,
                };
                ride(
                    id.into(),
                    &[(1, clear), (2, level(0)), (3, level(1)), (4, level(0))],
                )
            })
            .collect()
    };
    let lines = compare_lines(&side([6, 5, 7, 6]), &side([1, 2, 0, 2]), SEED);
    let (_, clear) = lines[0];
    assert!(
        clear
            .permutation_p
            .is_some_and(|p| (p - 2.0 / 70.0).abs() < 1e-12)
    );
    assert!(
        clear
            .adjusted_p
            .is_some_and(|p| (p - 8.0 / 70.0).abs() < 1e-12)
    );
    assert_eq!(clear.verdict, Verdict::NoClearDifference);
    assert_eq!(clear.reservation, Some(Reservation::ManyLines));
    let alone = compare_lines(&season(1, &[6, 5, 7, 6]), &season(1, &[1, 2, 0, 2]), SEED);
    assert_eq!(alone[0].1.verdict, Verdict::Fewer);
}

fn sided(id: u64, left: Tally, right: Tally) -> Ride {
    let on = |rein, tally: Tally| {
        (0..tally.attempts).map(move |place| attempt(1, Some(rein), place < tally.faulty))
    };
    Ride {
        id,
        attempts: on(Rein::Left, left).chain(on(Rein::Right, right)).collect(),
        ..Ride::default()
    }
}

#[test]
fn reins_are_compared_inside_rides() {
    // Every ride is good or bad as a whole, yet the right rein is worse in each.
    let rides: Vec<Ride> = [(1, 4), (6, 9), (0, 3), (5, 8), (2, 6), (4, 8)]
        .into_iter()
        .zip(0..)
        .map(|((left, right), id)| {
            sided(
                id,
                Tally {
                    faulty: left,
                    attempts: 10,
                },
                Tally {
                    faulty: right,
                    attempts: 10,
                },
            )
        })
        .collect();
    let compared = compare_reins(&rides, Key(1), SEED);
    assert!(
        compared
            .permutation_p
            .is_some_and(|p| (p - 2.0 / 64.0).abs() < 1e-12)
    );
    assert_eq!(
        (compared.before.tally.faulty, compared.after.tally.faulty),
        (18, 38)
    );
    check_consistent(&compared);
    assert_eq!(compare_reins_lines(&rides, SEED)[0].0, Key(1));
}

#[test]
fn a_good_day_does_not_pass_for_a_good_rein() {
    // Left was ridden on the good days, right on the bad ones.
    let tally = |faulty, attempts| Tally { faulty, attempts };
    let rides: Vec<Ride> = (0..6)
        .map(|id| {
            if id < 3 {
                sided(id, tally(0, 9), tally(0, 0))
            } else {
                sided(id, tally(0, 0), tally(9, 9))
            }
        })
        .collect();
    assert_eq!(
        compare_reins(&rides, Key(1), SEED).verdict,
        Verdict::TooFew(Shortage::NoAttempts)
    );
}

#[test]
fn opposite_witnesses_give_no_verdict() {
    // Pooled, the right rein looks better; inside each ride it is worse.
    let tally = |faulty, attempts| Tally { faulty, attempts };
    let mut rides: Vec<Ride> = (0..4)
        .map(|id| sided(id, tally(45, 50), tally(2, 2)))
        .collect();
    rides.extend((4..8).map(|id| sided(id, tally(0, 2), tally(3, 50))));
    let compared = compare_reins(&rides, Key(1), SEED);
    assert!(
        compared
            .difference
            .is_ok_and(|difference| difference.value < 0.0)
    );
    assert_eq!(compared.permutation_p, Some(1.0));
    assert_eq!(compared.verdict, Verdict::NoClearDifference);
}

#[test]
fn likeness_is_pulled_towards_the_other_exercises() {
    let unknown = Likeness::default();
    let well_known = Likeness {
        rho: 0.4,
        precision: 1e6,
    };
    assert!((pooled_rho(&[unknown, well_known]) - 0.4).abs() < 1e-9);
    assert!((shrunken_rho(unknown, 0.4) - 0.4).abs() < 1e-9);
    assert!((shrunken_rho(well_known, 0.0) - 0.4).abs() < 1e-3);
    let negative = Likeness {
        rho: -0.9,
        precision: 1e6,
    };
    assert!(shrunken_rho(negative, 0.0).abs() < 1e-12 && pooled_rho(&[negative]).abs() < 1e-12);
    assert!((design_effect(&[], 0.5) - 1.0).abs() < 1e-12);
}

#[test]
fn a_line_of_lumpy_rides_has_a_wider_range() {
    let lumpy = exercise_lines(&season(1, &[0, 10, 0, 10, 0, 10, 0, 10]));
    let even = exercise_lines(&season(1, &[5; 8]));
    let rate = |lines: &[reinback_analysis::ExerciseLine]| lines[0].all.rate;
    assert!(rate(&lumpy).dispersion > 3.0);
    assert!((rate(&even).dispersion - 1.0).abs() < 1e-12);
    let width = |rate: FaultRate| rate.range.expect("eighty attempts").width();
    assert!(width(rate(&lumpy)) > 1.5 * width(rate(&even)));
    assert_eq!(
        rate(&lumpy).range.expect("a range").method,
        Method::WilsonEffective
    );
}

#[test]
fn the_same_seed_gives_the_same_answer() {
    let (before, after) = (
        tallies(&[3; 20], 10),
        tallies(&[2, 4, 1, 3, 2, 4, 1, 3, 2, 4, 1, 3, 2, 4, 1, 3], 10),
    );
    let first = compare_periods(&before, &after, SEED);
    assert_eq!(first, compare_periods(&before, &after, SEED));
    assert_eq!(Dice::new(3).bits(), Dice::new(3).bits());
    assert_ne!(Dice::new(3).bits(), Dice::new(4).bits());
}

#[test]
fn one_fault_in_three_does_not_top_the_list() {
    let often = Tally {
        faulty: 3,
        attempts: 8,
    };
    let rides: Vec<Ride> = (0..5)
        .map(|id| {
            let mut exercises = vec![
                (1, often),
                (
                    2,
                    Tally {
                        faulty: 1,
                        attempts: 8,
                    },
                ),
                (
                    3,
                    Tally {
                        faulty: 1,
                        attempts: 9,
                    },
                ),
            ];
            if id == 0 {
                exercises.push((
                    4,
                    Tally {
                        faulty: 2,
                        attempts: 3,
                    },
                ));
            }
            ride(id, &exercises)
        })
        .collect();
    let order = what_first(&exercise_lines(&rides), rides.len());
    assert_eq!(order[0].exercise, Key(1));
    assert_eq!(
        order[3].exercise,
        Key(4),
        "ridden three times in five rides"
    );
    let seldom = order[3];
    assert!(
        seldom.shrunken.value < 2.0 / 3.0,
        "pulled towards the others"
    );
    let places: Vec<u32> = order
        .iter()
        .map(|priority| priority.place_by_rate)
        .collect();
    assert!([1, 2, 3, 4].iter().all(|place| places.contains(place)));
}

#[test]
fn a_prior_needs_exercises() {
    let none = Prior::learn(&[]);
    assert!((none.alpha - 1.0).abs() < 1e-12 && (none.beta - 1.0).abs() < 1e-12);
    let three = Prior::learn(&[(1.0, 10.0), (9.0, 10.0), (5.0, 10.0)]);
    assert!((three.alpha + three.beta - 10.0).abs() < 1e-9 && (three.mean() - 0.5).abs() < 1e-9);
    let alike = Prior::learn(&[(20.0, 100.0); 6]);
    assert!(alike.alpha + alike.beta > 1_000.0, "equal rates pull hard");
}

fn sequence(id: u64, faulty: &[bool]) -> Ride {
    Ride {
        id,
        attempts: faulty
            .iter()
            .map(|faulty| attempt(1, None, *faulty))
            .collect(),
        ..Ride::default()
    }
}

#[test]
fn mistakes_in_a_row_are_found_and_chance_is_not() {
    let streaks = [
        false, false, false, false, true, true, true, false, false, false,
    ];
    let clumped: Vec<Ride> = (0..8).map(|id| sequence(id, &streaks)).collect();
    let found = after_mistakes(&clumped, SEED)[0];
    assert_eq!(found.verdict, Sequence::InARow);
    assert!(found.runs.is_ok_and(|runs| runs.z < -3.0 && runs.p < 0.01));
    let turns = [true, false, true, false, true, false, true, false];
    let settled = after_mistakes(
        &(0..6).map(|id| sequence(id, &turns)).collect::<Vec<_>>(),
        SEED,
    )[0];
    assert_eq!(settled.verdict, Sequence::SettlesAfter);
    // A bad day and good days: streaks between rides, none inside them.
    let days: Vec<Ride> = (0..6).map(|id| sequence(id, &[id == 0; 10])).collect();
    let found = after_mistakes(&days, SEED)[0];
    assert_eq!(found.verdict, Sequence::NoClearPattern);
    assert_eq!(found.permutation_p, Some(1.0));
}

#[test]
fn a_repeat_is_the_same_thing_at_once() {
    let first = attempt(1, Some(Rein::Left), true);
    let other_rein = attempt(1, Some(Rein::Right), false);
    let mut marked = other_rein.clone();
    marked.repeated = true;
    let between = attempt(2, None, false);
    let check = |attempts: Vec<Attempt>, wanted: &str| {
        let rides = [Ride {
            attempts,
            ..Ride::default()
        }];
        assert_eq!(
            after_mistakes(&rides, SEED)[0].repeated.tally.to_string(),
            wanted
        );
    };
    check(
        vec![first.clone(), attempt(1, Some(Rein::Left), false)],
        "1 of 1",
    );
    check(vec![first.clone(), other_rein], "0 of 1");
    check(vec![first.clone(), marked.clone()], "1 of 1");
    check(vec![first.clone(), between, marked], "0 of 1");
    check(vec![first], "0 of 1");
}

#[test]
fn rates_per_minute_compare_or_say_why_not() {
    let minute: i64 = 60_000_000_000;
    let rate = |faults, minutes: i64| PerMinute::new(faults, minutes * minute);
    assert!(compare_per_minute(&rate(20, 10), &rate(20, 10)).is_ok_and(|ratio| ratio.covers(1.0)));
    assert_eq!(
        compare_per_minute(&rate(0, 10), &rate(2, 10)),
        Err(Shortage::NoFaultsToCompare)
    );
    assert_eq!(
        compare_per_minute(&rate(1, 0), &rate(2, 10)),
        Err(Shortage::NoTime)
    );
}
