//! Series of flying changes ridden at published stride durations.
//!
//! Stride durations of Olympic finalists: Deuel & Park, 11th Equine Nutrition
//! and Physiology Symposium (read): one-tempi change stride 0.617 s, two-tempi
//! 0.605 s before and 0.621 s after the change. Collected canter 0.629 s: Burns
//! & Clayton 1997, Equine Vet J Suppl 23 (second-hand).

use proptest::prelude::*;
use reinback_analysis::clean_change::{
    Cleanness, Feet, FeetReason, FootCycle, PairCycles, clean_change,
};
use reinback_analysis::series::{
    Asked, Change, EvennessReason, Series, SeriesInput, SeriesProblem, StrideSource, StrideTime,
    Unverified, series,
};
use reinback_analysis::series_count::Verdict;
use reinback_analysis::{Moment, Rein};

const ONE: i64 = 617_000_000;
const BEFORE: i64 = 605_000_000;
const AFTER: i64 = 621_000_000;
const COLLECTED: i64 = 629_000_000;

/// Time between two changes so many strides apart.
fn between(every: u32) -> i64 {
    match every {
        1 => ONE,
        more => BEFORE + AFTER + (i64::from(more) - 2) * COLLECTED,
    }
}

/// The frame a moment is seen in.
fn frame_of(nanos: i64, frame: i64) -> Moment {
    Moment(nanos.div_euclid(frame) * frame)
}

/// A series ridden with these strides between its changes.
fn ridden(strides: &[u32], asked: (u32, u32), frame: i64) -> SeriesInput {
    let mut at = 3_000_000_017_i64;
    let mut changes = vec![at];
    for one in strides {
        at += between(*one);
        changes.push(at);
    }
    let changes = changes
        .into_iter()
        .zip([Rein::Left, Rein::Right].into_iter().cycle())
        .map(|(at, onto)| Change {
            at: frame_of(at, frame),
            onto: Some(onto),
            refined: true,
            feet: None,
        })
        .collect();
    SeriesInput {
        changes,
        asked: Asked {
            every: asked.0,
            count: asked.1,
        },
        stride: Some(StrideTime::new(ONE, StrideSource::TempoTrack)),
        frame_nanos: frame,
    }
}

#[expect(clippy::expect_used, reason = "shared by the tests")]
fn found(input: &SeriesInput) -> Series {
    series(input).expect("possible input")
}

const FRAMES: [i64; 4] = [40_000_000, 33_366_667, 20_000_000, 4_166_667];

/// 5x4 and 5x3 (Prix St Georges), 9x2 and 15x1 (Grand Prix), ridden as asked.
#[test]
fn published_series_hold_their_count() {
    for (every, count) in [(4, 5), (3, 5), (2, 9), (1, 15)] {
        for frame in FRAMES {
            let strides = vec![every; count - 1];
            let asked = (every, u32::try_from(count).expect("few"));
            let series = found(&ridden(&strides, asked, frame));
            let counted = series.count.expect("verified");
            assert_eq!(counted.wrong.faulty, 0, "{every} {frame}");
            assert_eq!(counted.wrong.attempts, asked.1 - 1);
            assert_eq!((counted.unsure, counted.missed, counted.extra), (0, 0, 0));
            assert_eq!(counted.longest_run, asked.1);
            assert_eq!((counted.surplus, counted.steady_every), (0, None));
            let even = series.evenness.expect("enough");
            assert!(
                even.spread.value <= 2.5 * even.of_frames,
                "{every} {frame}: frames only"
            );
        }
    }
}

/// The case the measure must not miss: even, but not what was asked.
#[test]
fn a_steady_third_stride_is_not_a_fourth() {
    let mut input = ridden(&[3; 4], (4, 5), 20_000_000);
    for (source, uncertainty) in [
        (StrideSource::TempoTrack, 0.02),
        (StrideSource::Taps, 0.03),
        (StrideSource::EarlierCanter, 0.05),
    ] {
        let stride = StrideTime::new(ONE, source);
        assert!((stride.uncertainty - uncertainty).abs() < 1e-12);
        input.stride = Some(stride);
        let counted = found(&input).count.expect("verified");
        assert_eq!(counted.wrong.to_string(), "4 of 4");
        assert_eq!(counted.steady_every, Some(3));
        assert_eq!(counted.longest_run, 1);
        assert!(
            counted
                .intervals
                .iter()
                .all(|one| one.verdict == Verdict::Early { by: 1 })
        );
    }
    input.stride = None;
    let series = found(&input);
    assert_eq!(series.count, Err(Unverified::NoStrideTime));
    assert!(series.evenness.is_ok(), "evenness only");
    input.stride = Some(StrideTime::new(ONE, StrideSource::Taps));
    input.changes[2].refined = false;
    let series = found(&input);
    assert_eq!(series.count, Err(Unverified::MarksNotRefined));
    assert!(!series.evenness.expect("still given").refined);
}

#[test]
fn miscounts_are_named() {
    let verdicts = |strides: &[u32], asked| {
        let counted = found(&ridden(strides, asked, 20_000_000))
            .count
            .expect("verified");
        let verdicts: Vec<Verdict> = counted.intervals.iter().map(|one| one.verdict).collect();
        (
            verdicts,
            (counted.early, counted.late, counted.missed, counted.extra),
            counted.longest_run,
        )
    };
    let late = Verdict::Late { by: 1 };
    let early = Verdict::Early { by: 1 };
    let missed = Verdict::Missed { changes: 1 };
    let good = Verdict::AsAsked;
    for (strides, asked, wanted, sums, run) in [
        (
            vec![4, 5, 4, 4],
            (4, 5),
            vec![good, late, good, good],
            (0, 1, 0, 0),
            3,
        ),
        (
            vec![4, 4, 3, 4],
            (4, 5),
            vec![good, good, early, good],
            (1, 0, 0, 0),
            3,
        ),
        (
            vec![3, 6, 3],
            (3, 5),
            vec![good, missed, good],
            (0, 0, 1, 0),
            2,
        ),
        (
            vec![1, 1, 2, 1],
            (1, 6),
            vec![good, good, missed, good],
            (0, 0, 1, 0),
            3,
        ),
        (
            vec![2, 1, 1, 2],
            (2, 4),
            vec![good, Verdict::Extra, Verdict::Extra, good],
            (0, 0, 0, 1),
            2,
        ),
        (
            vec![4, 1, 3, 4],
            (4, 4),
            vec![good, Verdict::Extra, Verdict::Extra, good],
            (0, 0, 0, 1),
            2,
        ),
        (
            vec![3, 3, 7],
            (3, 4),
            vec![good, good, Verdict::Late { by: 4 }],
            (0, 1, 0, 0),
            3,
        ),
    ] {
        assert_eq!(
            verdicts(&strides, asked),
            (wanted, sums, run),
            "{strides:?}"
        );
    }
}

/// A long gap and a stride time from another day leave two numbers open; a
/// wrong number is never given.
#[test]
fn what_is_not_sure_is_said() {
    let mut input = ridden(&[12, 12], (12, 3), 20_000_000);
    input.stride = Some(StrideTime::new(ONE, StrideSource::EarlierCanter));
    let counted = found(&input).count.expect("refined");
    assert_eq!((counted.wrong.attempts, counted.unsure), (0, 2));
    assert!(matches!(
        counted.intervals[0].verdict,
        Verdict::Unsure {
            fewest: 11..=12,
            most: 12..=13
        }
    ));
}

#[test]
fn leads_are_counted_apart() {
    // every change onto the right comes a stride late
    let series = found(&ridden(&[5, 4, 5, 4], (4, 5), 20_000_000));
    assert_eq!(series.onto_right.miscounted.to_string(), "2 of 2");
    assert_eq!(series.onto_left.miscounted.to_string(), "0 of 2");
    assert_eq!(
        (series.onto_left.changes, series.onto_right.changes),
        (3, 2)
    );
    let right = series.onto_right.mean_strides.expect("counted");
    assert!((right - 5.0).abs() < 0.1, "{right}");
    assert!(series.same_lead_twice.is_empty());
    let mut input = ridden(&[4; 4], (4, 5), 20_000_000);
    input.changes[3].onto = input.changes[2].onto;
    assert_eq!(
        found(&input).same_lead_twice,
        vec![input.changes[3].at, input.changes[4].at],
        "left, right, left, left, left"
    );
}

#[test]
fn impossible_input_is_refused() {
    let good = ridden(&[4; 4], (4, 5), 20_000_000);
    let check = |change: &dyn Fn(&mut SeriesInput), problem| {
        let mut input = good.clone();
        change(&mut input);
        assert_eq!(series(&input), Err(problem));
    };
    for asked in [(0, 5), (21, 5), (4, 0), (4, 1), (4, 201)] {
        check(
            &|input| {
                input.asked = Asked {
                    every: asked.0,
                    count: asked.1,
                }
            },
            SeriesProblem::ImpossibleAsked,
        );
    }
    for nanos in [-1, 0, 399_999_999, 1_200_000_001, i64::MAX] {
        check(
            &|input| input.stride = Some(StrideTime::new(nanos, StrideSource::Taps)),
            SeriesProblem::ImpossibleStride,
        );
    }
    for frame in [-1, 0, 200_000_001] {
        check(
            &|input| input.frame_nanos = frame,
            SeriesProblem::ImpossibleFrame,
        );
    }
    let twice = Moment(good.changes[2].at.0 + 100_000_000);
    check(
        &|input| {
            input.changes.push(Change {
                at: twice,
                ..input.changes[2]
            });
        },
        SeriesProblem::MarkedTwice { at: twice },
    );
    for changes in 0..2 {
        let mut few = good.clone();
        few.changes.truncate(changes);
        let few = found(&few);
        assert_eq!(few.count, Err(Unverified::TooFewChanges));
        assert_eq!(few.evenness, Err(EvennessReason::TooFewChanges));
    }
}

/// Landings of a change from the right to the left lead at phases 0, 0.25,
/// 0.25, 0.50, with the hind pair changing `hind_late` and the fore pair
/// `fore_late` strides after the marked one, seen in frames.
fn feet(stride: i64, hind_late: f64, fore_late: f64, frame: i64) -> Feet {
    let at = |phase: f64, late: f64| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_precision_loss,
            reason = "below a minute"
        )]
        let nanos = ((phase + late) * stride as f64) as i64 + 7_000_003;
        frame_of(nanos, frame)
    };
    let foot = |before, after, late| FootCycle {
        before: at(before, late),
        after: at(after, late),
    };
    Feet {
        hind: PairCycles {
            trailing: foot(0.25, 1.0, hind_late),
            leading: foot(0.0, 1.25, hind_late),
        },
        fore: PairCycles {
            trailing: foot(0.5, 1.25, fore_late),
            leading: foot(0.25, 1.5, fore_late),
        },
    }
}

fn judged(feet: &Feet, frame: i64) -> Result<Cleanness, FeetReason> {
    clean_change(
        feet,
        Some(StrideTime::new(ONE, StrideSource::TempoTrack)),
        frame,
    )
}

#[test]
fn clean_and_late_changes_are_told_at_usual_frame_rates() {
    for frame in FRAMES {
        assert_eq!(
            judged(&feet(ONE, 0.0, 0.0, frame), frame),
            Ok(Cleanness::Clean),
            "{frame}"
        );
        for strides in [1.0, 2.0] {
            let behind = judged(&feet(ONE, strides, 0.0, frame), frame);
            let Ok(Cleanness::LateBehind(delay)) = behind else {
                panic!("{frame}: {behind:?}")
            };
            assert!((delay.strides - strides).abs() <= delay.error, "{delay:?}");
            let in_front = judged(&feet(ONE, 0.0, strides, frame), frame);
            assert!(
                matches!(in_front, Ok(Cleanness::LateInFront(_))),
                "{in_front:?}"
            );
        }
    }
}

#[test]
fn what_the_film_cannot_show_is_not_judged() {
    let slow = 100_000_000;
    assert_eq!(
        judged(&feet(ONE, 1.0, 0.0, slow), slow),
        Err(FeetReason::TooCoarse)
    );
    let clean = feet(ONE, 0.0, 0.0, 20_000_000);
    assert_eq!(
        clean_change(&clean, None, 20_000_000),
        Err(FeetReason::NoStrideTime)
    );
    let frame = 4_166_667;
    let short_of_half = judged(&feet(ONE, 0.25, 0.0, frame), frame);
    assert_eq!(short_of_half, Err(FeetReason::BetweenCleanAndLate));
    // 0.4 and what 30 frames leave open (0.06) is not half a stride yet; 0.5 and more is.
    for frame in [33_333_333, 16_666_667, frame] {
        for (hind, fore) in [(0.4, 0.0), (0.0, 0.4)] {
            let found = judged(&feet(ONE, hind, fore, frame), frame);
            assert_eq!(found, Err(FeetReason::BetweenCleanAndLate), "{frame}");
        }
        let late = judged(&feet(ONE, 0.6, 0.0, frame), frame);
        assert!(matches!(late, Ok(Cleanness::LateBehind(_))), "{late:?}");
    }
    let plain = |pair: PairCycles| PairCycles {
        trailing: FootCycle {
            after: Moment(pair.trailing.before.0 + ONE),
            ..pair.trailing
        },
        leading: FootCycle {
            after: Moment(pair.leading.before.0 + ONE),
            ..pair.leading
        },
    };
    let only = |hind: bool, fore: bool| Feet {
        hind: if hind { clean.hind } else { plain(clean.hind) },
        fore: if fore { clean.fore } else { plain(clean.fore) },
    };
    assert_eq!(
        judged(&only(false, true), 20_000_000),
        Ok(Cleanness::NotBehind)
    );
    assert_eq!(
        judged(&only(true, false), 20_000_000),
        Ok(Cleanness::NotInFront)
    );
    assert_eq!(
        judged(&only(false, false), 20_000_000),
        Err(FeetReason::NoPattern)
    );
    let mut backwards = clean;
    backwards.hind.leading.after = Moment(0);
    assert_eq!(judged(&backwards, 20_000_000), Err(FeetReason::Disorder));
}

/// From which frame rate on a change of 0.617 s strides is judged: a frame and the stride time may
/// leave an eighth of a stride open. With 2 % that is a frame of 0.1 stride, 16.2 frames a second;
/// with the 5 % of another day 0.0625 stride, 25.9 frames a second.
#[test]
fn the_frame_rate_from_which_a_change_is_judged() {
    let told = |frames_per_second: f64, source| {
        #[expect(clippy::cast_possible_truncation, reason = "below a second")]
        let frame = (1e9 / frames_per_second) as i64;
        let stride = StrideTime::new(ONE, source);
        clean_change(&feet(ONE, 0.0, 0.0, frame), Some(stride), frame)
    };
    for (source, told_from) in [
        (StrideSource::TempoTrack, 16.21),
        (StrideSource::EarlierCanter, 25.94),
    ] {
        assert_eq!(told(told_from + 0.05, source), Ok(Cleanness::Clean));
        assert_eq!(told(told_from - 0.05, source), Err(FeetReason::TooCoarse));
    }
}

#[test]
fn unclean_changes_are_counted_by_lead() {
    let frame = 20_000_000;
    let mut input = ridden(&[4; 4], (4, 5), frame);
    for (change, late) in input.changes.iter_mut().zip([0.0, 1.0, 0.0, 1.0, 0.0]) {
        change.feet = Some(feet(ONE, late, 0.0, frame));
    }
    let series = found(&input);
    assert_eq!(series.onto_right.unclean.to_string(), "2 of 2");
    assert_eq!(series.onto_left.unclean.to_string(), "0 of 3");
    let text = series.feet[1].expect("marked").expect("judged").to_string();
    assert!(text.starts_with("late behind by 1.0 strides"), "{text}");
}

proptest! {
    /// Whatever was ridden, a number called sure is the number ridden.
    #[test]
    fn a_sure_count_is_right(
        strides in proptest::collection::vec(1_u32..9, 1..14),
        every in 1_u32..5,
        frame in prop::sample::select(FRAMES.to_vec()),
        stretch in -0.02..0.02_f64,
    ) {
        let mut input = ridden(&strides, (every, 5), frame);
        // the true stride is about 0.617 s; the one given is off by what it admits
        #[expect(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "below a second")]
        let nanos = (ONE as f64 * (1.0 + stretch)) as i64;
        input.stride = Some(StrideTime { nanos, source: StrideSource::Taps, uncertainty: 0.045 });
        let counted = found(&input).count.expect("refined");
        for (interval, ridden) in counted.intervals.iter().zip(&strides) {
            let sure = match interval.verdict {
                Verdict::AsAsked => every,
                Verdict::Early { by } => every - by,
                Verdict::Late { by } => every + by,
                Verdict::Missed { changes } => every * (changes + 1),
                Verdict::Extra => *ridden,
                Verdict::Unsure { fewest, most } => {
                    prop_assert!(fewest <= *ridden && *ridden <= most);
                    *ridden
                }
            };
            prop_assert_eq!(sure, *ridden);
        }
        let reversed = SeriesInput { changes: input.changes.iter().rev().copied().collect(), ..input.clone() };
        prop_assert_eq!(series(&reversed), series(&input));
    }
}
