//! Transitions counted by hand, with gaps, overlaps and aids.

use proptest::prelude::*;
use reinback_analysis::transitions::{Kind, Transitions, transitions};
use reinback_analysis::{Key, Moment, Pace, PaceSpan, Shortage, Span};

const MS: i64 = 1_000_000;

fn span(from: i64, to: i64) -> Span {
    Span::new(Moment(from * MS), Moment(to * MS))
}

fn pace(pace: Pace, variant: Option<u32>, from: i64, to: i64) -> PaceSpan {
    PaceSpan {
        pace,
        variant: variant.map(Key),
        span: span(from, to),
    }
}

fn found(ridden: &[PaceSpan], aids: &[i64], length: i64) -> Transitions {
    let aids: Vec<Moment> = aids.iter().map(|at| Moment(at * MS)).collect();
    transitions(ridden, &aids, span(0, length))
}

const COLLECTED: Option<u32> = Some(1);
const MEDIUM: Option<u32> = Some(2);

#[test]
fn between_and_within_are_counted_by_kind() {
    let ridden = [
        pace(Pace::Canter, COLLECTED, 40_000, 50_000),
        pace(Pace::Trot, COLLECTED, 0, 20_000),
        pace(Pace::Trot, MEDIUM, 20_000, 30_000),
        pace(Pace::Trot, COLLECTED, 30_500, 40_000),
        pace(Pace::Trot, COLLECTED, 50_000, 60_000),
        pace(Pace::Trot, None, 60_000, 70_000),
        pace(Pace::Canter, None, 70_000, 120_000),
    ];
    let found = found(&ridden, &[], 120_000);
    assert_eq!((found.between.count, found.within.count), (3, 2));
    assert_eq!(found.unnamed, 1, "collected to a trot without a variant");
    let to_canter = Kind::Between {
        from: Pace::Trot,
        to: Pace::Canter,
    };
    assert_eq!(found.by_kind[0], (to_canter, 2));
    assert_eq!(found.by_kind.iter().map(|(_, times)| times).sum::<u32>(), 5);
    assert_eq!(found.known_nanos, 119_500 * MS);
    let rate = found.between.per_minute.expect("time known");
    assert!((rate.value - 3.0 / (119.5 / 60.0)).abs() < 1e-12 && rate.low < rate.value);
}

#[test]
fn gaps_and_overlaps_are_not_guessed() {
    let far = found(
        &[
            pace(Pace::Walk, None, 0, 10_000),
            pace(Pace::Trot, None, 12_001, 20_000),
        ],
        &[],
        20_000,
    );
    assert_eq!((far.between.count, far.across_unknown), (0, 1));
    let near = found(
        &[
            pace(Pace::Walk, None, 0, 10_000),
            pace(Pace::Trot, None, 12_000, 20_000),
        ],
        &[],
        20_000,
    );
    assert_eq!((near.between.count, near.across_unknown), (1, 0));
    let both = found(
        &[
            pace(Pace::Walk, None, 0, 12_000),
            pace(Pace::Trot, None, 9_000, 20_000),
        ],
        &[],
        20_000,
    );
    assert_eq!(
        (both.across_unknown, both.contradicted_nanos),
        (1, 3_000 * MS)
    );
    let none = found(&[], &[5_000], 20_000);
    assert_eq!(none.between.per_minute, Err(Shortage::NoTime));
    assert_eq!((none.answers.not_known, none.answers.unanswered), (1, 0));
}

#[test]
fn aids_are_answered_in_time_or_not() {
    let ridden = [
        pace(Pace::Walk, None, 0, 10_000),
        pace(Pace::Trot, None, 10_000, 30_000),
        pace(Pace::Canter, None, 30_000, 50_000),
        pace(Pace::Halt, None, 50_000, 60_000),
    ];
    // 0.8 s; none before the next aid; 1.2 s; too early for the halt; 2 s
    let answers = found(&ridden, &[9_200, 20_000, 28_800, 40_000, 48_000], 60_000).answers;
    assert_eq!(
        (answers.answered, answers.unanswered, answers.not_known),
        (3, 2, 0)
    );
    let times = answers.times.expect("three answers");
    for (got, wanted) in [
        (times.quickest, 0.8),
        (times.lower_quarter, 1.0),
        (times.median, 1.2),
        (times.upper_quarter, 1.6),
        (times.slowest, 2.0),
    ] {
        assert!((got - wanted).abs() < 1e-9, "{got} {wanted}");
    }
    let two = found(&ridden, &[9_000, 29_000], 60_000).answers;
    assert_eq!((two.answered, two.times), (2, None));
    let repeated = found(&ridden, &[9_000, 9_500], 60_000).answers;
    assert_eq!(
        (repeated.answered, repeated.unanswered),
        (1, 1),
        "the second aid was answered"
    );
    let at_the_end = found(&ridden, &[58_000], 60_000).answers;
    assert_eq!(
        at_the_end.not_known, 1,
        "the ride ended before an answer could come"
    );
}

proptest! {
    #[test]
    fn every_aid_and_every_step_is_counted_once(
        ridden in proptest::collection::vec((0_usize..3, 0_u32..3, 0_i64..60_000, 1_i64..9_000), 0..12),
        aids in proptest::collection::btree_set(-2_000_i64..70_000, 0..8),
    ) {
        let paces = [Pace::Walk, Pace::Trot, Pace::Canter];
        let ridden: Vec<_> = ridden
            .into_iter()
            .map(|(which, variant, from, long)| pace(paces[which], (variant > 0).then_some(variant), from, from + long))
            .collect();
        let aids: Vec<i64> = aids.into_iter().collect();
        let found = found(&ridden, &aids, 60_000);
        let answers = found.answers;
        prop_assert_eq!((answers.answered + answers.unanswered + answers.not_known) as usize, aids.len());
        prop_assert_eq!((found.between.count + found.within.count) as usize, found.all.len());
        prop_assert!(found.all.windows(2).all(|pair| pair[0].at < pair[1].at));
        let mut reversed = ridden.clone();
        reversed.reverse();
        let again: Vec<Moment> = aids.iter().rev().map(|at| Moment(at * MS)).collect();
        prop_assert_eq!(transitions(&reversed, &again, span(0, 60_000)), found);
    }
}
