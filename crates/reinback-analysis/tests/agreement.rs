//! Two reviewers against published tables and library values.
//!
//! Pairs: `mir_eval` 0.8.2, `match_events`. Kappa and AC1: sources beside them.

use proptest::prelude::*;
use reinback_analysis::agreement::{Agreement, AgreementReason, Event, agreement};
use reinback_analysis::kappa::{ac1, kappa};
use reinback_analysis::{InputError, Key, Moment};

#[expect(clippy::cast_possible_truncation, reason = "seconds of a ride")]
fn marks(seconds: &[f64]) -> Vec<Event> {
    let event = |at: &f64| Event {
        at: Moment((at * 1e9).round() as i64),
        class: Key(1),
    };
    seconds.iter().map(event).collect()
}

#[expect(clippy::expect_used, reason = "shared by the tests")]
fn found(first: &[Event], second: &[Event], tolerance: i64) -> Agreement {
    agreement(first, second, tolerance).expect("a tolerance")
}

#[test]
fn pairs_agree_with_the_library() {
    type Row<'a> = (&'a [f64], &'a [f64], usize, Option<f64>);
    let table: [Row<'_>; 4] = [
        (
            &[1.0, 2.0, 2.45, 5.0, 9.0],
            &[0.6, 1.55, 2.2, 2.9, 5.49, 5.51, 12.0],
            4,
            Some(2.0 / 3.0),
        ),
        (&[0.5, 1.0], &[0.9, 1.45], 2, Some(1.0)),
        (&[1.0], &[1.5], 1, Some(1.0)),
        (&[], &[], 0, None),
    ];
    for (first, second, pairs, f) in table {
        let found = found(&marks(first), &marks(second), 500_000_000);
        assert_eq!(found.pairs.len(), pairs);
        assert_eq!(found.only_first as usize, first.len() - pairs);
        assert_eq!(found.only_second as usize, second.len() - pairs);
        match (found.f, f) {
            (Some(got), Some(wanted)) => assert!((got - wanted).abs() < 1e-12),
            (got, wanted) => assert_eq!(got, wanted),
        }
    }
}

/// 118, 5, 2, 0: Gwet 2002 (memory). Two abstractors: Gwet 2014, Handbook of
/// Inter-Rater Reliability, 4th ed. (second-hand). First table: Cohen 1960
/// (memory).
#[test]
fn published_kappas_are_reproduced() {
    let near = |got: f64, wanted: f64, tolerance: f64| {
        assert!((got - wanted).abs() < tolerance, "{got} {wanted}");
    };
    let cohen = [vec![88, 10, 2], vec![14, 40, 6], vec![18, 10, 12]];
    near(kappa(&cohen, 0.95).expect("kappa").value, 0.492, 6e-4);
    let abstractors = [vec![13, 0, 0], vec![0, 20, 7], vec![0, 4, 56]];
    near(kappa(&abstractors, 0.95).expect("kappa").value, 0.796, 6e-4);
    near(ac1(&abstractors, 0.95).expect("AC1").value, 0.849, 6e-4);
    let paradox = [vec![118, 5], vec![2, 0]];
    near(kappa(&paradox, 0.95).expect("kappa").value, -0.0234, 6e-5);
    near(ac1(&paradox, 0.95).expect("AC1").value, 0.9408, 6e-5);
    // SAS PROC FREQ, quoted in the tests of statsmodels (second-hand)
    let sas = kappa(&[vec![0, 4, 1], vec![0, 8, 0], vec![0, 1, 5]], 0.95).expect("kappa");
    near(sas.value, 0.4842, 6e-5);
    near(sas.low, 0.2137, 6e-5);
    near(sas.high, 0.7547, 6e-5);
}

#[test]
fn tables_without_a_kappa_say_so() {
    for (table, error) in [
        (vec![], InputError::NothingToDivideBy),
        (vec![vec![0, 0], vec![0, 0]], InputError::NothingToDivideBy),
        (vec![vec![3, 1]], InputError::NothingToDivideBy),
        (vec![vec![9]], InputError::NotFinite),
        (vec![vec![9, 0], vec![0, 0]], InputError::NotFinite),
    ] {
        assert_eq!(kappa(&table, 0.95), Err(error), "{table:?}");
    }
    assert_eq!(ac1(&[vec![9]], 0.95), Err(InputError::NothingToDivideBy));
    let alike = ac1(&[vec![9, 0], vec![0, 0]], 0.95).expect("defined");
    assert!((alike.value - 1.0).abs() < 1e-12);
}

#[test]
fn the_same_class_is_preferred_where_it_costs_no_pair() {
    let event = |at, class| Event {
        at: Moment(at),
        class: Key(class),
    };
    let first = [event(100, 1), event(110, 2)];
    let second = [event(105, 2), event(112, 1)];
    let found = found(&first, &second, 20);
    assert_eq!(found.pairs, [(0, 1), (1, 0)]);
    assert_eq!((found.same_class, found.classes.len()), (2, 2));
    assert_eq!(found.kappa, Err(AgreementReason::FewerThanTen));
}

#[test]
fn delays_and_counts_are_given_from_six_on() {
    let seconds: Vec<f64> = (0..12).map(|n| 10.0 * f64::from(n)).collect();
    let later: Vec<f64> = seconds
        .iter()
        .zip([0.2, 0.4].into_iter().cycle())
        .map(|(at, d)| at + d)
        .collect();
    let all = found(&marks(&seconds), &marks(&later), 500_000_000);
    let delay = all.delay.expect("twelve");
    assert!((delay.value - 0.3).abs() < 1e-9 && delay.low < 0.2 && delay.high > 0.4);
    assert!((all.median_delay.expect("some") - 0.3).abs() < 1e-9);
    assert_eq!(all.kappa, Err(AgreementReason::OneClass));
    assert!(all.shared.expect("twelve").covers(1.0));
    let few = found(&marks(&seconds[..3]), &marks(&later[1..4]), 500_000_000);
    assert_eq!(few.shared, Err(AgreementReason::FewerThanSix));
    assert_eq!(few.delay, Err(AgreementReason::FewerThanSix));
    assert_eq!(
        (few.pairs.len(), few.only_first, few.only_second),
        (2, 1, 1)
    );
    assert_eq!(
        found(&[], &[], 0).shared,
        Err(AgreementReason::NothingMarked)
    );
}

#[test]
fn impossible_tolerances_are_refused() {
    let many = marks(&(0..301).map(f64::from).collect::<Vec<_>>());
    for tolerance in [-1, 60_000_000_001] {
        assert_eq!(
            agreement(&many, &many, tolerance),
            Err(AgreementReason::Tolerance)
        );
    }
    assert_eq!(
        agreement(&many, &many, 1_000_000_000),
        Err(AgreementReason::ToleranceTooWide)
    );
    assert_eq!(found(&many, &many, 400_000_000).pairs.len(), 301);
    let dense = found(&many[..150], &many[..150], 2_000_000_000);
    assert_eq!(dense.pairs.len(), 150, "each with itself");
    assert!(dense.pairs.iter().all(|(one, other)| one == other));
}

proptest! {
    #[test]
    fn who_comes_first_only_turns_the_result(
        first in proptest::collection::vec((0_i64..400, 0_u32..3), 0..30),
        second in proptest::collection::vec((0_i64..400, 0_u32..3), 0..30),
        tolerance in 0_i64..9,
    ) {
        let events = |marks: Vec<(i64, u32)>| -> Vec<Event> {
            marks.into_iter().map(|(at, class)| Event { at: Moment(at), class: Key(class) }).collect()
        };
        let (first, second) = (events(first), events(second));
        let (one, other) = (found(&first, &second, tolerance), found(&second, &first, tolerance));
        prop_assert_eq!(one.pairs.len(), other.pairs.len());
        prop_assert_eq!(one.same_class, other.same_class);
        prop_assert_eq!((one.only_first, one.only_second), (other.only_second, other.only_first));
        for figure in [one.kappa, one.ac1, one.shared].into_iter().flatten() {
            prop_assert!(figure.low <= figure.value && figure.value <= figure.high && figure.high <= 1.0);
        }
        let own = found(&first, &first, tolerance);
        prop_assert_eq!(own.pairs.len(), first.len());
    }
}
