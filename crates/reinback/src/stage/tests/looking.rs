//! Creeping, and a stretch that is played again and again.

use super::*;

const SECOND: i64 = 1_000_000_000;

fn span(from_millis: i64, to_millis: i64) -> Span {
    Span {
        from: Moment(from_millis * 1_000_000),
        to: Moment(to_millis * 1_000_000),
    }
}

/// Holds a key for so many ticks of 20 ms, as the window does.
fn hold(theatre: &mut Theatre, to: Creep, ticks: usize) {
    for _ in 0..ticks {
        theatre.stage.creep(Some(to), theatre.now);
        theatre.ticks(1);
    }
}

/// Frames of 40 ms at a tenth of life: one every 0.4 s.
#[test]
fn it_creeps_at_a_tenth_of_life_while_it_is_held_and_then_stands() {
    for (to, expect) in [(Creep::On, 5_200), (Creep::Back, 4_800)] {
        let mut theatre = Theatre::new(&[("10", 0)]);
        theatre.stage.seek(Moment(5 * SECOND), false);
        theatre.ticks(1).check(5_000);
        hold(&mut theatre, to, 103);
        theatre.check(expect);
        assert!(theatre.stage.is_creeping() && !theatre.stage.is_playing());
        assert_eq!(
            theatre.stage.pace().map(f64::signum),
            Some(if to == Creep::On { 1.0 } else { -1.0 })
        );
        theatre.stage.creep(None, theatre.now);
        theatre.ticks(100).check(expect);
        assert_eq!(theatre.stage.pace(), None);
    }
}

#[test]
fn creeping_ends_playing_and_playing_ends_creeping() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(10);
    hold(&mut theatre, Creep::On, 1);
    assert!(!theatre.stage.is_playing());
    theatre.stage.toggle(theatre.now);
    assert!(theatre.stage.is_playing() && !theatre.stage.is_creeping());
}

#[test]
fn no_frame_is_left_out_while_one_is_on_its_way() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    hold(&mut theatre, Creep::On, 1);
    *theatre.shelf.late.lock().unwrap() = true;
    hold(&mut theatre, Creep::On, 200);
    theatre.check(0);
    *theatre.shelf.late.lock().unwrap() = false;
    hold(&mut theatre, Creep::On, 1);
    theatre.check(40);
}

#[test]
fn a_stretch_is_played_again_and_again() {
    for (stretch, length) in [
        (span(2_000, 3_000), 1_000),
        // Between frames, and over the end of the film.
        (span(2_010, 3_030), 1_020),
        (span(9_000, 15_000), 1_000),
    ] {
        let mut theatre = Theatre::new(&[("10", 0)]);
        theatre.stage.repeat(Some(stretch));
        theatre.stage.toggle(theatre.now);
        let from = stretch.from.0 / 1_000_000;
        let mut turns = 0;
        let mut last = 0;
        for _ in 0..400 {
            theatre.ticks(1);
            let here = theatre.stage.position().0 / 1_000_000;
            assert!(
                here > from - 40 && here < from + length,
                "{here} of {stretch:?}"
            );
            turns += usize::from(here < last);
            last = here;
        }
        // Eight seconds of a stretch of one: it turned back some seven times.
        assert!((6..=8).contains(&turns), "{turns} turns of {stretch:?}");
        assert!(theatre.stage.is_playing());
        theatre.stage.repeat(None);
        theatre.ticks(100);
        let beyond = theatre.stage.position().0 / 1_000_000;
        assert!(
            beyond >= from + length.min(960),
            "{beyond}: it goes on as before"
        );
    }
}

#[test]
fn a_stretch_too_short_is_not_repeated() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    theatre.stage.repeat(Some(span(1_000, 1_100)));
    assert_eq!(theatre.stage.repeated(), None);
    // Nor one beside the films: it plays as ever.
    theatre.stage.repeat(Some(span(60_000, 70_000)));
    theatre.stage.toggle(theatre.now);
    theatre.ticks(51).check(1_000);
}

#[test]
fn looking_elsewhere_while_it_stands_is_free_and_play_comes_back() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    theatre.stage.repeat(Some(span(2_000, 3_000)));
    theatre.stage.seek(Moment(7 * SECOND), false);
    theatre.ticks(5).check(7_000);
    theatre.stage.step(1);
    theatre.ticks(1).check(7_040);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(1).check(2_000);
}

/// The sound goes back with the picture, and the clock follows it again.
#[test]
fn a_stretch_is_heard_again_too() {
    use crate::sound::stand_in::stand_in;

    let (mut speaker, hand) = stand_in(1000);
    speaker.set_gain(1.0);
    let mut theatre = Theatre::equipped(&[("10", 0)], 1, Some(Box::new(speaker)));
    theatre.stage.repeat(Some(span(2_000, 3_000)));
    theatre.stage.toggle(theatre.now);
    theatre.ticks(3);
    let (mut turns, mut last) = (0, 0);
    for _ in 0..200 {
        let _played = hand.play(20);
        theatre.ticks(2);
        let here = theatre.stage.position().0 / 1_000_000;
        assert!((1_960..3_000).contains(&here), "{here}");
        turns += usize::from(here < last);
        last = here;
    }
    assert!(turns >= 3, "{turns} turns in four seconds of sound");
    assert!(theatre.stage.follows_sound());
}
