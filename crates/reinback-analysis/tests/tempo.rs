//! Tempo of made-up rides at published stride rates.
//!
//! Stride rates: trot 76.8 and canter 95.4 a minute (Clayton 1994; Burns &
//! Clayton 1997; both second-hand), pirouette 68.3 (the same).

use proptest::prelude::*;
use reinback_analysis::strides::{Convention, Stride, from_taps, from_track, timing_error};
use reinback_analysis::tempo::{
    Course, Off, PaceTempo, Section, Tempo, TempoReason, orientation, tempo,
};
use reinback_analysis::tempo_around::around;
use reinback_analysis::{Key, Moment, Pace, Shortage, Span};

const SECOND: i64 = 1_000_000_000;

/// Taps at these strides per minute, one after another.
#[expect(clippy::cast_possible_truncation, reason = "below a minute")]
fn taps(rates: &[f64]) -> Vec<Moment> {
    let mut at = 5 * SECOND;
    let mut taps = vec![Moment(at)];
    for rate in rates {
        at += (60.0 / rate * 1e9).round() as i64;
        taps.push(Moment(at));
    }
    taps
}

fn strides(rates: &[f64]) -> Vec<Stride> {
    from_taps(&taps(rates), Convention::Strides).strides
}

fn section(pace: Pace, course: Course, from: Moment, to: Moment) -> Section {
    Section {
        span: Span::new(from, to),
        pace,
        variant: None,
        course,
    }
}

fn whole(course: Course) -> Section {
    section(Pace::Canter, course, Moment(0), Moment(3_600 * SECOND))
}

fn one_pace(rates: &[f64], course: Course) -> PaceTempo {
    tempo(&strides(rates), &[whole(course)])
        .paces
        .swap_remove(0)
}

#[expect(clippy::expect_used, reason = "shared by the tests")]
fn straight(rates: &[f64]) -> Tempo {
    one_pace(rates, Course::Straight)
        .straight
        .expect("enough strides")
}

#[test]
fn a_steady_tempo_is_steady() {
    for rate in [52.0, 76.8, 95.4] {
        let found = straight(&[rate; 80]);
        assert!((found.median - rate).abs() < 1e-6 && (found.strides - 80.0).abs() < 1e-9);
        assert!(found.middle.0 <= found.median && found.median <= found.middle.1);
        assert!(found.steadiness.expect("even").value < 1e-6);
        assert!(found.drift.expect("blocks").value.abs() < 1e-4);
        assert!(found.lapses.is_empty());
    }
}

#[test]
fn lapses_need_four_percent_and_three_strides() {
    let ride = |rate: f64, strides: usize| {
        let mut rates = vec![95.0; 30];
        rates.extend(vec![rate; strides]);
        rates.extend([95.0; 30]);
        straight(&rates).lapses
    };
    assert!(ride(98.7, 8).is_empty(), "3.9 %");
    assert!(ride(105.0, 2).is_empty(), "two strides");
    let quick = ride(99.0, 3);
    assert_eq!((quick.len(), quick[0].off), (1, Off::Quicker));
    assert!(
        (quick[0].by - (99.0 / 95.0 - 1.0)).abs() < 1e-6 && (quick[0].strides - 3.0).abs() < 1e-9
    );
    assert_eq!(ride(90.0, 5)[0].off, Off::Slower);
    let mut both = vec![95.0; 30];
    both.extend([105.0, 105.0, 85.0, 85.0]);
    assert!(
        straight(&both).lapses.is_empty(),
        "two and two are not four"
    );
}

#[test]
fn turns_and_transitions_are_reported_apart() {
    let rates = [vec![95.4; 40], vec![68.3; 8], vec![95.4; 40]].concat();
    let taps = taps(&rates);
    let strides = from_taps(&taps, Convention::Strides).strides;
    let marked = [
        section(Pace::Canter, Course::Straight, taps[0], taps[40]),
        section(Pace::Canter, Course::Turn, taps[40], taps[48]),
        section(Pace::Canter, Course::Straight, taps[48], taps[88]),
    ];
    let report = tempo(&strides, &marked);
    let canter = &report.paces[0];
    assert!(
        canter
            .straight
            .as_ref()
            .is_ok_and(|tempo| tempo.lapses.is_empty())
    );
    let turns = canter.turns.expect("a pirouette");
    assert!((turns.strides - 8.0).abs() < 1e-9 && (turns.median - 68.3).abs() < 1e-6);
    assert!((turns.by.expect("a median") + 0.284).abs() < 1e-3);
    // the same with nothing marked: no lapse is claimed
    let blind = tempo(&strides, &[whole(Course::NotMarked)]);
    assert_eq!(blind.paces[0].straight, Err(TempoReason::NoStraight));
    assert!(
        blind.paces[0]
            .not_marked
            .is_some_and(|apart| apart.by.is_none())
    );
    // contradicting sections place nothing
    let both = [
        whole(Course::Straight),
        section(Pace::Trot, Course::Straight, taps[0], taps[20]),
    ];
    assert!((tempo(&strides, &both).unplaced - 20.0).abs() < 1e-9);
    assert!((tempo(&strides, &[]).unplaced - 88.0).abs() < 1e-9);
}

#[test]
fn a_drift_is_found_and_too_little_is_said() {
    let rising: Vec<f64> = (0..200).map(|n| 95.0 + 0.02 * f64::from(n)).collect();
    let drift = straight(&rising).drift.expect("blocks");
    // 4 strides a minute over 200 strides of about 0.62 s
    assert!(
        (drift.value - 1.95).abs() < 0.1 && drift.low > 0.0,
        "{drift:?}"
    );
    assert_eq!(
        straight(&[95.0; 59]).drift,
        Err(TempoReason::FewerThanSixty)
    );
    let few = one_pace(&[95.0; 9], Course::Straight);
    assert_eq!(few.straight, Err(TempoReason::FewerThanTen));
    let mut variant = whole(Course::Straight);
    variant.variant = Some(Key(4));
    let report = tempo(&strides(&[95.0; 12]), &[variant]);
    assert_eq!(report.paces[0].variant, Some(Key(4)));
}

#[test]
fn taps_that_cannot_be_are_not_strides() {
    let mut good = taps(&[75.0; 20]);
    good.remove(10);
    let missing = from_taps(&good, Convention::Strides);
    assert_eq!(
        (missing.strides.len(), missing.breaks, missing.refused),
        (18, 1, 0)
    );
    assert!(
        missing
            .strides
            .iter()
            .all(|one| (one.rate() - 75.0).abs() < 1e-6)
    );
    good.push(Moment(good[3].0 + 100_000_000));
    assert_eq!(from_taps(&good, Convention::Strides).refused, 1);
    for few in 0..2 {
        assert!(
            from_taps(&good[..few], Convention::Strides)
                .strides
                .is_empty()
        );
    }
    let track = [
        (0, 95.0),
        (1, 96.0),
        (2, f64::NAN),
        (3, 96.0),
        (4, 300.0),
        (9, 95.0),
        (10, 95.0),
    ]
    .map(|(at, rate)| (Moment(at * SECOND), rate));
    let read = from_track(&track);
    assert_eq!((read.strides.len(), read.breaks, read.refused), (2, 1, 2));
}

/// A track of the same ride says the same as its taps.
#[test]
fn track_and_taps_agree() {
    let rates = [vec![95.0; 40], vec![102.0; 10], vec![95.0; 40]].concat();
    let taps = taps(&rates);
    let track: Vec<(Moment, f64)> = (0..550)
        .map(|tenth| Moment(taps[0].0 + tenth * SECOND / 10))
        .map(|at| {
            let stride = taps.partition_point(|tap| *tap <= at).clamp(1, 90) - 1;
            (at, rates[stride])
        })
        .collect();
    let report = tempo(&from_track(&track).strides, &[whole(Course::Straight)]);
    let found = report.paces[0].straight.as_ref().expect("enough");
    assert!((found.median - 95.0).abs() < 1e-9);
    assert_eq!(found.lapses.len(), 1);
    assert!((found.lapses[0].strides - 10.0).abs() < 0.5);
    assert!((found.lapses[0].by - (102.0 / 95.0 - 1.0)).abs() < 2e-3);
}

/// Worst case of ten strides with a frame at each end, worked by hand from
/// rates of 54.5, 76.5 and 96.3.
#[test]
fn the_error_of_timing_ten_strides() {
    for (rate, at_30, at_60) in [(54.5, 0.33, 0.16), (76.5, 0.65, 0.33), (96.3, 1.03, 0.52)] {
        for (frame, wanted) in [(33_333_333, at_30), (16_666_667, at_60)] {
            let found = timing_error(10, rate, frame).expect("frames are short");
            assert!((found - wanted).abs() < 0.02, "{rate} {found}");
        }
    }
    assert_eq!(timing_error(1, 95.0, 400_000_000), None);
    assert_eq!(
        (timing_error(5, 0.0, 1), timing_error(0, 95.0, 0)),
        (None, None)
    );
}

#[test]
fn changes_that_make_the_tempo_run_are_counted() {
    let mut rates = Vec::new();
    let mut after = Vec::new();
    for n in 0..8 {
        rates.extend([95.0; 6]);
        after.push(rates.len());
        rates.extend(if n < 5 { [101.0; 6] } else { [95.0; 6] });
    }
    let taps = taps(&rates);
    let events: Vec<Span> = after
        .iter()
        .map(|at| Span::new(taps[at - 1], taps[*at]))
        .collect();
    let strides = from_taps(&taps, Convention::Strides).strides;
    let found = around(&strides, &events);
    assert_eq!(found.quicker.tally.to_string(), "5 of 8");
    assert_eq!(found.slower.tally.to_string(), "0 of 8");
    assert!(found.quicker.range.is_ok_and(|range| range.covers(0.625)));
    assert!((found.median_by.expect("events") - (101.0 / 95.0 - 1.0)).abs() < 1e-6);
    assert!(
        found
            .events
            .iter()
            .all(|one| one.within.is_some_and(|rate| (rate - 95.0).abs() < 1e-6))
    );
    let edges = around(
        &strides,
        &[Span::new(taps[1], taps[2]), Span::new(taps[94], taps[95])],
    );
    assert_eq!((edges.events.len(), edges.left_out), (0, 2));
    assert_eq!(
        (edges.median_by, edges.quicker.range),
        (None, Err(Shortage::NoAttempts))
    );
    let far = Span::new(Moment(500 * SECOND), Moment(501 * SECOND));
    assert_eq!(around(&strides, &[far]).left_out, 1);
    let mut torn = strides.clone();
    torn.remove(after[0] - 3);
    assert_eq!(
        around(&torn, &events[..1]).left_out,
        1,
        "a pause in the three strides"
    );
}

#[test]
fn the_convention_is_only_shown() {
    let steps = from_taps(&taps(&[150.0; 40]), Convention::Steps).strides;
    assert_eq!(steps.len(), 20);
    assert!(steps.iter().all(|one| (one.rate() - 75.0).abs() < 1e-6));
    assert!((Convention::Steps.shown(75.0) - 150.0).abs() < 1e-12);
    for pace in [
        Pace::Walk,
        Pace::Trot,
        Pace::Canter,
        Pace::Passage,
        Pace::Piaffe,
    ] {
        assert!(orientation(pace).is_some_and(|(low, high)| low < high));
    }
    assert_eq!(orientation(Pace::Halt), None);
}

proptest! {
    #[test]
    fn every_stride_is_counted_once(
        rates in proptest::collection::vec(60.0..110.0_f64, 0..80),
        cuts in proptest::collection::vec((0_i64..60, 0_i64..20, 0_usize..4), 0..6),
    ) {
        let courses = [Course::Straight, Course::Turn, Course::Transition, Course::NotMarked];
        let sections: Vec<Section> = cuts
            .iter()
            .map(|(from, long, course)| section(
                Pace::Canter, courses[*course], Moment(from * SECOND), Moment((from + long) * SECOND),
            ))
            .collect();
        let read = from_taps(&taps(&rates), Convention::Strides);
        let report = tempo(&read.strides, &sections);
        let all: f64 = read.strides.iter().map(|one| one.strides).sum();
        let mut placed = report.unplaced;
        for pace in &report.paces {
            match &pace.straight {
                Ok(found) => {
                    placed += found.strides;
                    prop_assert!(found.lapses.iter().all(|lapse| lapse.by.abs() > 0.04 && lapse.strides >= 2.99));
                }
                Err(_) => return Ok(()),
            }
            for apart in [pace.turns, pace.transitions, pace.not_marked].into_iter().flatten() {
                placed += apart.strides;
            }
        }
        prop_assert!((placed - all).abs() < 1e-6);
    }
}
