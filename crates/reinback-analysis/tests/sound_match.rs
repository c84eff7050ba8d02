//! Two microphones at one ride: made sound with a known place, noise and loudness.

use proptest::prelude::*;
use reinback_analysis::sound_match::{Confidence, NoMatch, STEP_NANOS, SoundMatch, match_sound};

const SECOND: i64 = 1_000_000_000;

/// Repeatable numbers from 0 to 1: `SplitMix64` (Steele, Lea and Flood 2014).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// When something is heard: time in seconds and how loud.
type Events = Vec<(f64, f64)>;

/// A ride of so many seconds: hoofbeats of a trot, voices and bangs now and then.
fn ride(seconds: f64, seed: u64) -> Events {
    let mut dice = Dice(seed);
    let mut events: Events = Vec::new();
    let mut hoof = 0.0;
    while hoof < seconds {
        events.push((hoof, 0.04 + 0.08 * dice.next()));
        hoof += 0.36 + 0.03 * dice.next();
    }
    let mut at = 0.0;
    while at < seconds {
        at += -(1.0 - dice.next()).ln() * 2.5;
        events.push((at, 0.1 + 0.5 * dice.next()));
    }
    events
}

/// The loudness of a clip from `from` on: each event dies away within a fifth of a second.
fn clip(events: &Events, from: f64, seconds: f64, gain: f64, noise: f64, seed: u64) -> Vec<f32> {
    let step = STEP_NANOS as f64 / 1e9;
    let steps = (seconds / step) as usize;
    let mut dice = Dice(seed ^ 0xabcd);
    let mut loud: Vec<f64> = (0..steps).map(|_| noise * (0.5 + dice.next())).collect();
    for (at, volume) in events {
        let first = ((at - from) / step).ceil().max(0.0) as usize;
        for (index, value) in loud.iter_mut().enumerate().skip(first).take(20) {
            let since = index as f64 * step - (at - from);
            *value += volume * (-since / 0.05).exp();
        }
    }
    loud.iter()
        .map(|value| (gain * value).min(1.0) as f32)
        .collect()
}

fn error_millis(found: SoundMatch, expect_seconds: f64) -> f64 {
    (found.offset_nanos as f64 / 1e9 - expect_seconds).abs() * 1e3
}

#[test]
fn a_second_camera_is_found_whatever_its_loudness() {
    let events = ride(300.0, 1);
    let first = clip(&events, 0.0, 200.0, 0.9, 0.01, 1);
    for (from, gain, noise) in [
        (61.234, 0.9, 0.01),
        (61.234, 0.05, 0.01),
        (150.007, 0.4, 0.03),
        (0.0, 0.3, 0.05),
    ] {
        let second = clip(&events, from, 100.0, gain, noise, 2);
        let found = match_sound(&first, &second, STEP_NANOS).expect("they overlap");
        assert!(error_millis(found, from) < 8.0, "{from}: {found:?}");
        assert_eq!(found.confidence(), Confidence::Sure, "{from}: {found:?}");
        // The other way round it lies as far before.
        let turned = match_sound(&second, &first, STEP_NANOS).expect("they overlap");
        assert!(error_millis(turned, -from) < 8.0, "{from}: {turned:?}");
        let overlap = (200.0 - from).min(100.0);
        assert!((found.overlap_nanos as f64 / 1e9 - overlap).abs() < 0.1);
    }
}

/// Cameras whose clocks drift against each other over twenty minutes in common: the place is one
/// that was right at some moment of the overlap.
#[test]
fn drifting_cameras_are_put_within_their_drift() {
    let (from, seconds) = (100.0, 1_200.0);
    let events = ride(1_500.0, 21);
    let first = clip(&events, 0.0, 1_400.0, 0.8, 0.01, 1);
    for ppm in [-100.0, -50.0, 50.0, 100.0] {
        let on_second = |(at, loud): &(f64, f64)| (from + (at - from) * (1.0 + ppm * 1e-6), *loud);
        let drifting: Events = events.iter().map(on_second).collect();
        let second = clip(&drifting, from, seconds, 0.3, 0.01, 2);
        let found = match_sound(&first, &second, STEP_NANOS).expect("they overlap");
        let middle = from - seconds / 2.0 * ppm * 1e-6;
        let reach = seconds / 2.0 * ppm.abs() * 1e-6 * 1e3 + 5.0;
        assert!(error_millis(found, middle) < reach, "{ppm}: {found:?}");
    }
}

/// A louder microphone gives the very same answer.
#[test]
fn gain_changes_nothing() {
    let events = ride(120.0, 3);
    let first = clip(&events, 0.0, 80.0, 0.5, 0.02, 4);
    let second = clip(&events, 20.0, 80.0, 0.5, 0.02, 5);
    let louder: Vec<f32> = second.iter().map(|value| value * 0.25).collect();
    let (one, other) = (
        match_sound(&first, &second, STEP_NANOS).expect("a match"),
        match_sound(&first, &louder, STEP_NANOS).expect("a match"),
    );
    assert_eq!(one.offset_nanos / 1_000, other.offset_nanos / 1_000);
    assert!((one.correlation - other.correlation).abs() < 1e-6);
}

#[test]
fn clips_without_a_common_moment_are_refused() {
    for seed in 0..12 {
        let first = clip(&ride(200.0, seed), 0.0, 200.0, 0.8, 0.02, seed);
        let second = clip(&ride(200.0, seed + 100), 0.0, 150.0, 0.8, 0.02, seed + 50);
        let answer = match_sound(&first, &second, STEP_NANOS);
        assert!(
            matches!(
                answer,
                Err(NoMatch::NothingInCommon { .. } | NoMatch::NotDistinct { .. })
            ),
            "seed {seed}: {answer:?}"
        );
    }
}

/// Nothing but even hoofbeats fits at every stride.
#[test]
fn hoofbeats_alone_are_not_distinct() {
    let beats: Events = (0..800).map(|beat| (f64::from(beat) * 0.36, 0.3)).collect();
    let first = clip(&beats, 0.0, 120.0, 0.8, 0.01, 1);
    let second = clip(&beats, 30.1, 120.0, 0.8, 0.01, 2);
    let answer = match_sound(&first, &second, STEP_NANOS);
    assert!(
        matches!(answer, Err(NoMatch::NotDistinct { .. })),
        "{answer:?}"
    );
}

#[test]
fn what_cannot_be_compared_is_refused() {
    let sound = clip(&ride(60.0, 1), 0.0, 60.0, 0.8, 0.02, 1);
    let check = |first: &[f32], second: &[f32], step: i64, expect: NoMatch| {
        assert_eq!(match_sound(first, second, step), Err(expect));
        if step > 0 {
            assert_eq!(match_sound(second, first, step), Err(expect));
        }
    };
    check(&sound, &[], STEP_NANOS, NoMatch::TooShort);
    check(&sound, &sound[..499], STEP_NANOS, NoMatch::TooShort);
    check(&sound, &vec![0.0; 5_000], STEP_NANOS, NoMatch::NoOnsets);
    check(&sound, &vec![0.5; 5_000], STEP_NANOS, NoMatch::NoOnsets);
    check(
        &sound,
        &vec![f32::NAN; 5_000],
        STEP_NANOS,
        NoMatch::BadInput,
    );
    check(&sound, &sound, 0, NoMatch::BadInput);
    check(&sound, &sound, -1, NoMatch::BadInput);
    // The last five seconds of one are the first of the other: below the least overlap.
    let events = ride(120.0, 9);
    let (first, second) = (
        clip(&events, 0.0, 60.0, 0.8, 0.01, 1),
        clip(&events, 55.0, 60.0, 0.8, 0.01, 2),
    );
    let answer = match_sound(&first, &second, STEP_NANOS);
    assert!(answer.is_err(), "{answer:?}");
}

/// A clip matches itself at once and wholly.
#[test]
fn a_clip_is_its_own_match() {
    let sound = clip(&ride(60.0, 1), 0.0, 60.0, 0.8, 0.02, 1);
    let found = match_sound(&sound, &sound, STEP_NANOS).expect("itself");
    assert!(found.offset_nanos.abs() < 1_000, "{found:?}");
    assert!((found.correlation - 1.0).abs() < 1e-9);
    assert_eq!(found.overlap_nanos, 60 * SECOND);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Wherever the second camera was started, it is put there or not at all.
    #[test]
    fn never_put_elsewhere(seed in 0_u64..1_000, from in 0.0_f64..170.0, noise in 0.005_f64..0.3) {
        let events = ride(260.0, seed);
        let first = clip(&events, 0.0, 180.0, 0.8, 0.02, seed);
        let second = clip(&events, from, 60.0, 0.4, noise, seed + 7);
        if let Ok(found) = match_sound(&first, &second, STEP_NANOS) {
            prop_assert!(error_millis(found, from) < 25.0, "{:?}", found);
            prop_assert!((0.0..=1.0).contains(&found.rival) && found.correlation <= 1.0);
        }
    }

    /// Any numbers give an answer.
    #[test]
    fn any_loudness(
        first in proptest::collection::vec(any::<f32>(), 0..1_500),
        second in proptest::collection::vec(-1.0_f32..2.0, 0..1_500),
        step in any::<i64>(),
    ) {
        let _any = match_sound(&first, &second, step);
        let _other = match_sound(&second, &first, STEP_NANOS);
    }
}
