//! The clock while sound plays on a device driven by hand.

use super::*;
use crate::sound::SpeakerState;
use crate::sound::stand_in::{Hand, stand_in};
use crate::stage::Hearing;

/// Samples a second; a tick of 20 ms is 20 of them.
const RATE: u32 = 1000;

fn sounding(films: &[(&str, i64)]) -> (Theatre, Hand) {
    let (mut speaker, hand) = stand_in(RATE);
    speaker.set_gain(1.0);
    (Theatre::equipped(films, 1, Some(Box::new(speaker))), hand)
}

/// Lets the device play so many milliseconds while the window runs at its own pace.
fn play(theatre: &mut Theatre, hand: &Hand, millis: usize) {
    let (_, real) = hand.play(millis);
    assert_eq!(real, millis, "the device found sound to play");
    theatre.ticks(1);
}

fn hearing(theatre: &Theatre) -> Hearing {
    theatre.stage.hearing(theatre.speaker.state())
}

#[test]
fn the_picture_follows_what_is_heard_and_not_the_window() {
    let (mut theatre, hand) = sounding(&[("10", 0)]);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(3);
    assert!(theatre.stage.follows_sound());
    let began = theatre.stage.clock.0 / 1_000_000;
    assert!(began <= 40, "the sound begins with the picture: {began} ms");
    theatre.ticks(20);
    assert_eq!(
        theatre.stage.clock.0 / 1_000_000,
        began,
        "nothing heard yet"
    );
    for round in 1..=50 {
        play(&mut theatre, &hand, 30);
        assert_eq!(theatre.stage.clock.0 / 1_000_000, began + 30 * round);
    }
}

#[test]
fn the_clock_of_the_sound_keeps_the_speed() {
    for speed in [0.5, 0.75, 1.5, 2.0] {
        let (mut theatre, hand) = sounding(&[("10", 0)]);
        theatre.stage.set_speed(speed);
        theatre.stage.toggle(theatre.now);
        theatre.ticks(2);
        let began = theatre.stage.clock.0;
        for _ in 0..20 {
            play(&mut theatre, &hand, 50);
        }
        let played = (theatre.stage.clock.0 - began) as f64 / 1e9;
        assert!((played - speed).abs() < 1e-3, "{speed}: {played} s in one");
    }
}

#[test]
fn outside_its_speeds_the_window_keeps_the_time() {
    for (speed, millis) in [(0.25, 240), (4.0, 4_040)] {
        let (mut theatre, _hand) = sounding(&[("10", 0)]);
        theatre.stage.set_speed(speed);
        theatre.stage.toggle(theatre.now);
        theatre.ticks(51).check(millis);
        assert!(!theatre.stage.follows_sound());
        assert_eq!(hearing(&theatre), Hearing::OutOfSpeed);
    }
}

#[test]
fn pausing_and_jumping_end_what_is_heard_at_once() {
    let (mut theatre, hand) = sounding(&[("10", 0)]);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(3);
    play(&mut theatre, &hand, 100);
    theatre.stage.seek(Moment(5_000_000_000), false);
    assert!(!theatre.stage.follows_sound());
    theatre.ticks(3);
    assert!(theatre.stage.follows_sound(), "it goes on from there");
    // Five milliseconds of the old place fade.
    let (_, real) = hand.play(105);
    assert_eq!(real, 105);
    theatre.ticks(1);
    let clock = theatre.stage.clock.0 / 1_000_000;
    assert!((5_100..5_170).contains(&clock), "{clock} ms");
    theatre.stage.toggle(theatre.now);
    assert_eq!(hand.play(100).1, 5, "a pause fades and ends");
}

#[test]
fn a_lost_device_only_mutes() {
    let (mut theatre, hand) = sounding(&[("10", 0)]);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(3);
    play(&mut theatre, &hand, 1_000);
    let before = theatre.stage.clock.0;
    hand.lose();
    theatre.ticks(51);
    assert!(theatre.stage.is_playing());
    let passed = (theatre.stage.clock.0 - before) / 1_000_000;
    assert!((960..=1_040).contains(&passed), "{passed} ms in a second");
    assert_eq!(hearing(&theatre), Hearing::Lost);
    // Without one it stays so; with one the next play is heard.
    theatre.stage.toggle(theatre.now);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(5);
    assert_eq!(hearing(&theatre), Hearing::NoDevice);
    assert!(!theatre.stage.follows_sound());
    hand.plug();
    theatre.stage.toggle(theatre.now);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(5);
    assert_eq!(hearing(&theatre), Hearing::Sound);
    play(&mut theatre, &hand, 50);
    assert!(theatre.stage.follows_sound());
}

#[test]
fn a_device_that_is_slow_to_wake_does_not_hold_the_picture() {
    let (mut theatre, hand) = sounding(&[("10", 0)]);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(151);
    let clock = theatre.stage.clock.0 / 1_000_000;
    assert!(
        (2_400..2_600).contains(&clock),
        "half a second of patience: {clock} ms"
    );
    assert!(!theatre.stage.follows_sound());
    // Once it takes something, the sound of this moment is heard, not of the beginning.
    let _heard = hand.play(20);
    theatre.ticks(2);
    assert!(theatre.stage.follows_sound());
    let before = theatre.stage.clock.0;
    let (_, real) = hand.play(505);
    assert_eq!(real, 505, "five milliseconds of the old place fade");
    theatre.ticks(1);
    let played = (theatre.stage.clock.0 - before) / 1_000_000;
    assert!((470..=510).contains(&played), "{played} ms");
    // A device that stops taking lets the picture go on.
    theatre.ticks(101);
    let passed = (theatre.stage.clock.0 - before) / 1_000_000 - played;
    assert!(
        (1_400..1_600).contains(&passed),
        "{passed} ms in two seconds"
    );
}

#[test]
fn sound_waits_for_a_picture_that_is_late() {
    let (mut theatre, hand) = sounding(&[("10", 0)]);
    *theatre.shelf.decoded.lock().unwrap() = 1_000_000_000;
    theatre.stage.toggle(theatre.now);
    theatre.ticks(3);
    for _ in 0..80 {
        let _heard = hand.play(20);
        theatre.ticks(1);
    }
    theatre.check(960);
    let (_, real) = hand.play(100);
    assert!(real <= 5, "{real} samples while the picture is not there");
    *theatre.shelf.decoded.lock().unwrap() = i64::MAX;
    theatre.ticks(3);
    let from = theatre.stage.clock.0 / 1_000_000;
    assert!(
        (960..1_080).contains(&from),
        "it goes on where it was: {from} ms"
    );
    play(&mut theatre, &hand, 500);
    let clock = theatre.stage.clock.0 / 1_000_000;
    assert!((1_450..1_600).contains(&clock), "{clock} ms");
}

#[test]
fn sound_goes_on_from_film_to_film_and_stops_with_the_last() {
    let (mut theatre, hand) = sounding(&[("2", 0), ("3", 600)]);
    theatre.stage.toggle(theatre.now);
    for _ in 0..300 {
        let _heard = hand.play(20);
        theatre.ticks(1);
    }
    assert!(!theatre.stage.is_playing());
    theatre.check(602_960);
    assert_eq!(hand.play(100).1, 0);
}

#[test]
fn a_film_without_sound_says_so() {
    let (speaker, _hand) = stand_in(RATE);
    let mut theatre = Theatre::new(&[("10", 0)]);
    theatre.speaker = Box::new(speaker);
    assert_eq!(hearing(&theatre), Hearing::NoSound);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(51).check(1_000);
    assert_eq!(
        theatre.speaker.state(),
        SpeakerState::Asleep,
        "no device is opened"
    );
    let nothing = Theatre::new(&[]);
    assert_eq!(hearing(&nothing), Hearing::NoFilm);
}
