//! The outline timer, second by second against a plain clock, and its edges.
//!
//! Ten minutes: FEI Stewards Manual Dressage, Annex XIII (2010), read in an
//! excerpt. Eight minutes and ten seconds are our own choices.

use proptest::prelude::*;
use reinback_analysis::outline::{
    Ended, Hold, Notice, OutlineProblem, OutlineReport, OutlineSpan, TimerRules, longest_run,
    notices, outline,
};
use reinback_analysis::{Key, Moment, Span};

const SECOND: i64 = 1_000_000_000;
const WORKING: Key = Key(1);
const COMPETITION: Key = Key(2);
const STRETCH: Key = Key(3);

fn seconds(from: i64, to: i64) -> Span {
    Span::new(Moment(from * SECOND), Moment(to * SECOND))
}

fn marked(outline: Key, from: i64, to: i64) -> OutlineSpan {
    let hold = if outline == STRETCH {
        Hold::Released
    } else {
        Hold::Held
    };
    OutlineSpan {
        outline,
        hold,
        span: seconds(from, to),
    }
}

#[expect(clippy::expect_used, reason = "shared by the tests")]
fn found(spans: &[OutlineSpan], length: i64) -> OutlineReport {
    outline(spans, seconds(0, length), TimerRules::default()).expect("possible input")
}

#[test]
fn the_notices_come_at_eight_and_at_ten_minutes() {
    for (held, wanted) in [
        (479, Notice::Quiet),
        (480, Notice::Early),
        (599, Notice::Early),
        (600, Notice::Full),
        (1200, Notice::Full),
    ] {
        let report = found(&[marked(WORKING, 0, held)], 1800);
        assert_eq!(report.runs.len(), 1);
        assert_eq!(report.runs[0].notice(), wanted, "{held}");
        assert_eq!(report.runs[0].timed_nanos, held * SECOND);
    }
    let report = found(&[marked(WORKING, 100, 900)], 1000);
    assert_eq!(report.runs[0].early_at, Some(Moment(580 * SECOND)));
    assert_eq!(report.runs[0].notice_at, Some(Moment(700 * SECOND)));
    assert_eq!(notices(&report), 1);
    for notice in [Notice::Quiet, Notice::Early, Notice::Full] {
        assert!(!notice.to_string().contains("breach"), "never called one");
    }
    assert!(Notice::Full.to_string().contains("check the current rules"));
}

#[test]
fn ten_seconds_of_release_end_the_timer_and_nine_do_not() {
    let ridden = |release: i64| {
        let spans = [
            marked(WORKING, 0, 400),
            marked(STRETCH, 400, 400 + release),
            marked(WORKING, 400 + release, 800),
        ];
        found(&spans, 800)
    };
    let brief = ridden(9);
    assert_eq!(brief.runs.len(), 1);
    assert_eq!(
        (brief.runs[0].brief_releases, brief.runs[0].timed_nanos),
        (1, 800 * SECOND)
    );
    assert_eq!(brief.runs[0].notice(), Notice::Full);
    let lasting = ridden(10);
    assert_eq!(lasting.runs.len(), 2);
    assert_eq!(lasting.runs[0].ended, Ended::ByRelease);
    assert_eq!(lasting.runs[1].ended, Ended::WithTheRide);
    assert_eq!(lasting.runs[1].timed_nanos, 390 * SECOND);
    assert!(lasting.runs.iter().all(|run| run.notice() == Notice::Quiet));
}

#[test]
fn another_held_outline_does_not_end_the_timer() {
    let report = found(
        &[marked(WORKING, 0, 300), marked(COMPETITION, 300, 610)],
        610,
    );
    assert_eq!(report.runs.len(), 1);
    assert_eq!(report.runs[0].notice(), Notice::Full);
    assert_eq!(report.changes.changes, 1);
    assert_eq!(
        longest_run(&report).map(|run| run.timed_nanos),
        Some(610 * SECOND)
    );
}

#[test]
fn unknown_time_pauses_the_timer() {
    let spans = [marked(WORKING, 0, 300), marked(WORKING, 500, 700)];
    let report = found(&spans, 800);
    let run = report.runs[0];
    assert_eq!(report.runs.len(), 1, "a gap ends nothing");
    assert_eq!(
        (run.timed_nanos, run.paused_nanos),
        (500 * SECOND, 300 * SECOND)
    );
    assert_eq!(
        run.early_at,
        Some(Moment(680 * SECOND)),
        "480 s held, 200 s not known"
    );
    assert_eq!(report.unknown_nanos, 300 * SECOND);
    assert!(
        (report.shares[0].share - 1.0).abs() < 1e-12,
        "of the time known"
    );
    assert_eq!(report.shares[0].longest, seconds(0, 300));
}

#[test]
fn overlaps_are_not_guessed() {
    let spans = [
        marked(WORKING, 0, 100),
        marked(STRETCH, 80, 200),
        marked(WORKING, 50, 90),
    ];
    let report = found(&spans, 200);
    assert_eq!(report.contradicted_nanos, 20 * SECOND);
    assert_eq!(report.runs[0].timed_nanos, 80 * SECOND);
    assert_eq!(report.runs[0].paused_nanos, 20 * SECOND);
    assert_eq!(report.changes.across_unknown, 1);
}

#[test]
fn changes_are_counted_where_they_stay() {
    let spans = [
        marked(WORKING, 0, 60),
        marked(STRETCH, 60, 62),
        marked(WORKING, 62, 100),
        marked(STRETCH, 100, 120),
        marked(COMPETITION, 130, 300),
    ];
    let changes = found(&spans, 300).changes;
    assert_eq!(
        (changes.changes, changes.across_unknown, changes.short_stays),
        (2, 1, 1)
    );
    let per_ten = changes.per_ten_minutes.expect("known long enough");
    assert!((per_ten - 2.0 / 290.0 * 600.0).abs() < 1e-9);
    assert_eq!(found(&spans[..1], 59).changes.per_ten_minutes, None);
    let nothing = found(&[], 100);
    assert!(nothing.shares.is_empty() && nothing.runs.is_empty());
    assert_eq!(longest_run(&nothing), None);
}

/// Three seconds count as a change, a little less does not.
#[test]
fn an_outline_kept_for_three_seconds_is_a_change() {
    for (kept, changes, short) in [(3, 2, 0), (2, 0, 1)] {
        let spans = [
            marked(WORKING, 0, 60),
            marked(COMPETITION, 60, 60 + kept),
            marked(WORKING, 60 + kept, 120),
        ];
        let found = found(&spans, 120).changes;
        assert_eq!(
            (found.changes, found.short_stays),
            (changes, short),
            "{kept} s"
        );
    }
}

#[test]
fn impossible_input_is_refused() {
    let rules = TimerRules::default();
    assert_eq!(
        outline(&[], seconds(5, 5), rules),
        Err(OutlineProblem::NoRide)
    );
    for wrong in [
        TimerRules {
            early: 700 * SECOND,
            ..rules
        },
        TimerRules { early: 0, ..rules },
        TimerRules {
            release: -1,
            ..rules
        },
        TimerRules { stay: 0, ..rules },
    ] {
        assert_eq!(
            outline(&[], seconds(0, 9), wrong),
            Err(OutlineProblem::Rules)
        );
    }
    let both = [
        marked(WORKING, 0, 5),
        OutlineSpan {
            hold: Hold::Released,
            ..marked(WORKING, 5, 9)
        },
    ];
    assert_eq!(
        outline(&both, seconds(0, 9), rules),
        Err(OutlineProblem::HeldAndReleased(WORKING))
    );
}

/// The same timer as a clock that looks once a second.
fn clock(spans: &[OutlineSpan], length: i64) -> Vec<(i64, i64)> {
    let hold_at = |second: i64| {
        let at = Moment(second * SECOND);
        let mut there: Vec<_> = spans.iter().filter(|one| one.span.contains(at)).collect();
        there.dedup_by_key(|one| one.outline);
        match there.as_slice() {
            [] => None,
            [first, rest @ ..] => rest
                .iter()
                .all(|one| one.outline == first.outline)
                .then_some(first.hold),
        }
    };
    let mut runs = Vec::new();
    let mut open: Option<(i64, i64)> = None;
    let mut second = 0;
    while second < length {
        let hold = hold_at(second);
        let end = (second..length)
            .find(|later| hold_at(*later) != hold)
            .unwrap_or(length);
        let long = end - second;
        match (hold, &mut open) {
            (Some(Hold::Held), None) => open = Some((long, 0)),
            (Some(Hold::Released), _) if long >= 10 => runs.extend(open.take()),
            (Some(_), Some(run)) => run.0 += long,
            (None, Some(run)) => run.1 += long,
            (_, None) => {}
        }
        second = end;
    }
    runs.extend(open);
    runs
}

proptest! {
    #[test]
    fn the_timer_agrees_with_a_clock(
        spans in proptest::collection::vec((1_u32..4, 0_i64..120, 1_i64..40), 0..9),
    ) {
        let spans: Vec<_> = spans.into_iter().map(|(key, from, long)| marked(Key(key), from, from + long)).collect();
        let report = found(&spans, 130);
        let runs: Vec<_> = report
            .runs
            .iter()
            .map(|run| (run.timed_nanos / SECOND, run.paused_nanos / SECOND))
            .collect();
        prop_assert_eq!(runs, clock(&spans, 130));
        let known: i64 = report.shares.iter().map(|share| share.nanos).sum();
        prop_assert_eq!(known + report.unknown_nanos + report.contradicted_nanos, 130 * SECOND);
        let whole: f64 = report.shares.iter().map(|share| share.share).sum();
        prop_assert!(report.shares.is_empty() || (whole - 1.0).abs() < 1e-9);
    }
}
