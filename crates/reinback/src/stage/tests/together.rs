//! Several films on one clock.

use super::*;
use crate::stage::lap::Lap;
use crate::stage::together::{Covers, MOST_TOGETHER, Together};

const SECOND: i64 = 1_000_000_000;

/// Films that run together, with hands.
struct Group {
    together: Together,
    shelf: Shelf,
    now: f64,
}

impl Group {
    /// Films as (path, second of their mark), each with two seconds around it.
    fn new(films: &[(&str, i64)]) -> Self {
        let films: Vec<(&str, i64)> = films.to_vec();
        let theatre = Theatre::new(&films.iter().map(|own| (own.0, 0)).collect::<Vec<_>>());
        let placed = theatre.stage.films.clone();
        let marks = films.iter().map(|own| Moment(own.1 * SECOND));
        let lap = Lap::new(2 * SECOND, 2 * SECOND);
        let mut group = Self {
            together: Together::new(placed.into_iter().zip(marks), lap),
            shelf: theatre.shelf,
            now: 0.0,
        };
        group.ticks(3);
        group
    }

    fn ticks(&mut self, count: usize) -> &mut Self {
        for _ in 0..count {
            self.now += 0.02;
            let ready: OnReady = Arc::new(|| ());
            self.together
                .tick(self.now, &self.shelf, Settings::default(), &ready);
        }
        self
    }

    fn millis(&self, at: usize) -> i64 {
        let stage = self.together.stage(at).expect("a film");
        stage.position().0 / 1_000_000
    }
}

#[test]
fn they_stand_at_their_marks_and_run_in_step() {
    let mut group = Group::new(&[("60", 10), ("60", 35), ("20", 5)]);
    let zeros = [10_000, 35_000, 5_000];
    assert_eq!([0, 1, 2].map(|at| group.millis(at)), zeros);
    group.together.toggle(group.now);
    let mut turns = 0;
    let mut last = 0;
    for _ in 0..1_000 {
        group.ticks(1);
        let clock = group.together.clock() / 1_000_000;
        assert!((-2_000..2_000).contains(&clock), "{clock}");
        for (at, zero) in zeros.iter().enumerate() {
            let behind = zero + clock - group.millis(at);
            // A frame that begins within half a millisecond is shown already.
            assert!((-1..40).contains(&behind), "{behind} ms at {clock}");
        }
        turns += usize::from(clock < last);
        last = clock;
    }
    // Twenty seconds, two to the first end and then laps of four.
    assert!((4..=5).contains(&turns), "{turns} turns");
    group.together.toggle(group.now);
    let stood = group.together.clock();
    group.ticks(50);
    assert_eq!(group.together.clock(), stood);
}

#[test]
fn they_wait_for_the_one_whose_picture_is_late() {
    let mut group = Group::new(&[("60", 10), ("60", 35)]);
    // The second is not decoded beyond half a second after its mark.
    *group.shelf.decoded.lock().unwrap() = 35 * SECOND + SECOND / 2;
    group.together.toggle(group.now);
    group.ticks(60);
    let clock = group.together.clock();
    assert!((440_000_000..500_000_000).contains(&clock), "{clock}");
    assert_eq!(group.millis(0), 10_000 + group.millis(1) - 35_000);
    *group.shelf.decoded.lock().unwrap() = i64::MAX;
    group.ticks(10);
    assert!(group.together.clock() > clock + 100_000_000);
}

/// The cache never holds the picture past the last frame of a film that is shorter than it says.
#[test]
fn a_picture_that_never_comes_by_itself_is_asked_for() {
    let mut group = Group::new(&[("60", 10), ("60", 35)]);
    *group.shelf.decoded.lock().unwrap() = 35 * SECOND + SECOND / 2;
    group.together.toggle(group.now);
    group.ticks(60);
    let clock = group.together.clock();
    group.ticks(120);
    assert!(group.together.clock() > clock, "it went on");
}

#[test]
fn one_that_is_not_there_holds_nobody_up() {
    let mut group = Group::new(&[("missing", 10), ("60", 35)]);
    let failed = |group: &Group| {
        matches!(
            group.together.stage(0).expect("a film").screen(),
            Screen::Failed(_)
        )
    };
    assert!(failed(&group));
    group.together.toggle(group.now);
    group.ticks(50);
    assert!(group.together.clock() > SECOND / 2);
    group.together.step(1);
    group.ticks(3);
    assert_eq!(group.millis(1) % 40, 0);
    // The disk goes away while they run.
    group.together.toggle(group.now);
    *group.shelf.lost.lock().unwrap() = true;
    group.ticks(400);
    assert!(failed(&group) && group.together.is_playing());
}

#[test]
fn at_the_ends_of_a_film_its_first_or_last_frame_stands() {
    let mut group = Group::new(&[("10", 1), ("10", 9), ("60", 30)]);
    group.together.go(-2 * SECOND);
    group.ticks(3);
    assert_eq!([0, 1, 2].map(|at| group.millis(at)), [0, 7_000, 28_000]);
    let covers = |group: &Group| [0, 1, 2].map(|at| group.together.covers(at));
    assert_eq!(covers(&group), [Covers::Later, Covers::Here, Covers::Here]);
    group.together.go(2 * SECOND);
    group.ticks(3);
    assert_eq!([0, 1, 2].map(|at| group.millis(at)), [3_000, 9_960, 32_000]);
    assert_eq!(covers(&group), [Covers::Here, Covers::Over, Covers::Here]);
    // And they play over both.
    group.together.toggle(group.now);
    group.ticks(150);
    assert!(group.together.is_playing());
}

#[test]
fn a_step_goes_by_real_frames_and_keeps_them_together() {
    let mut group = Group::new(&[("60", 10), ("60", 35)]);
    for (frames, expect) in [(1, 40), (1, 80), (-1, 40), (-3, -80)] {
        group.together.step(frames);
        group.ticks(3);
        assert_eq!(group.together.clock(), expect * 1_000_000);
        assert_eq!(
            [group.millis(0), group.millis(1)],
            [10_000 + expect, 35_000 + expect]
        );
    }
    group.together.step(1);
    group.together.step(1);
    group.ticks(5);
    assert_eq!(group.together.clock(), 0, "quick steps add up");
}

#[test]
fn without_repeat_they_stand_at_the_end_and_begin_again_when_asked() {
    let mut group = Group::new(&[("60", 10), ("60", 35)]);
    group.together.set_repeats(false);
    group.together.toggle(group.now);
    group.ticks(150);
    assert!(!group.together.is_playing());
    assert_eq!(group.together.clock(), 2 * SECOND);
    group.together.toggle(group.now);
    group.ticks(10);
    assert!(group.together.clock() < -SECOND);
}

#[test]
fn speeds_go_from_a_tenth_to_twice() {
    let mut group = Group::new(&[("60", 10), ("60", 35)]);
    for faster in [true, false] {
        for _ in 0..12 {
            group.together.change_speed(faster);
        }
        let end = if faster { 2.0 } else { 0.1 };
        assert!((group.together.speed() - end).abs() < 1e-9);
    }
    group.together.toggle(group.now);
    group.ticks(100);
    // Two seconds at a tenth.
    let clock = group.together.clock();
    assert!((150_000_000..=200_000_000).contains(&clock), "{clock}");
}

#[test]
fn four_are_open_at_once_at_most() {
    let films = [("60", 10); 6];
    let group = Group::new(&films);
    assert_eq!(group.together.len(), MOST_TOGETHER);
    let mut none = Together::new([], Lap::new(0, 0));
    none.toggle(0.0);
    none.step(1);
    assert!(none.is_empty() && !none.is_waiting());
}

#[test]
fn their_sound_is_not_even_opened() {
    let theatre = Theatre::equipped(&[("60", 0)], 1, Some(Box::new(NoSpeaker)));
    assert!(theatre.stage.voice.is_some());
    let mut silent = Theatre {
        stage: Stage::silent(theatre.stage.films[0].clone()),
        ..theatre
    };
    silent.ticks(5);
    assert!(silent.stage.picture().is_some() && silent.stage.voice.is_none());
}
