//! A rider's evening in the Review room: open the demo, mark, undo, save, reopen, read the rate.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::path::Path;

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::{MarkKind, Moment, Store};

const UNDO: Modifiers = Modifiers::COMMAND;

fn open_demo(folder: &Path) -> Window {
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window
}

fn open_last_ride(window: &mut Window) {
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the film shows a frame", Window::has_picture);
}

fn until_shown(window: &mut Window) {
    window.until("the frame asked for is there", |w| {
        !w.app().review().unwrap().stage.is_waiting()
    });
}

/// To a second before the film's end, behind what is marked already.
fn go_past_the_marks(window: &mut Window) {
    window.press(Key::End);
    until_shown(window);
    window.press_with(Modifiers::SHIFT, Key::ArrowLeft);
    until_shown(window);
}

/// One frame on.
fn step(window: &mut Window) {
    window.press(Key::ArrowRight);
    until_shown(window);
}

fn faults(window: &Window) -> usize {
    window
        .ride()
        .marks
        .iter()
        .filter(|mark| matches!(mark.kind, MarkKind::Fault(_)))
        .count()
}

#[test]
fn a_bout_and_two_faults_by_keys() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    assert!(
        window.shows("as of its last ride"),
        "the demo must say which day it takes for today"
    );
    open_last_ride(&mut window);
    let (bouts, marks) = (window.ride().bouts.len(), faults(&window));

    go_past_the_marks(&mut window);
    window.types("hp");
    assert_eq!(
        window.ride().bouts.len(),
        bouts + 1,
        "two letters start a bout"
    );
    let bout = window
        .ride()
        .bouts
        .iter()
        .find(|bout| bout.to.is_none())
        .unwrap()
        .clone();
    assert_eq!(bout.exercise.as_str(), "half-pass");
    assert_eq!(bout.from, window.app().review().unwrap().stage.position());

    window.types(",12");
    assert_eq!(faults(&window), marks + 2, "one key a fault");
    assert!(
        window
            .ride()
            .marks
            .iter()
            .filter(|mark| mark.bout == Some(bout.id))
            .count()
            == 2
    );

    window.press_with(UNDO, Key::Z);
    assert_eq!(faults(&window), marks + 1);
    window.press_with(UNDO | Modifiers::SHIFT, Key::Z);
    assert_eq!(faults(&window), marks + 2);
    step(&mut window);
    window.types("0");
    let ended = window
        .ride()
        .bouts
        .iter()
        .find(|own| own.id == bout.id)
        .unwrap();
    assert!(
        ended.reviewed && ended.to.is_some(),
        "ending a bout sets it to reviewed"
    );

    window.press_with(Modifiers::COMMAND, Key::S);
    window.until("everything is saved", |w| w.app().is_saved());
    let ride = window.ride().clone();
    drop(window);

    let reopened = Store::open(&folder.path().join("yard")).unwrap();
    assert_eq!(
        reopened.yard.ride(ride.id),
        Some(&ride),
        "the file holds what the window showed"
    );
    assert!(
        reopened.unsaved.is_empty(),
        "nothing is left in the journal"
    );
}

#[test]
fn marks_outlast_a_window_that_dies() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    open_last_ride(&mut window);
    window.press(Key::End);
    window.types("fc1");
    let ride = window.ride().clone();
    window.until("the journal has it", |w| {
        let open = w.app().open_yard().unwrap();
        open.keeper.as_ref().unwrap().safety(&open.document) != reinback::keeper::Safety::Writing
    });
    // No farewell: the process is gone, the lock with it.
    let copy = tempfile::tempdir().unwrap();
    let target = copy.path().join("yard");
    std::process::Command::new("cp")
        .arg("-r")
        .arg(folder.path().join("yard"))
        .arg(&target)
        .status()
        .unwrap();
    let reopened = Store::open(&target).unwrap();
    assert_eq!(reopened.yard.ride(ride.id), Some(&ride));
}

/// The attempts and faulty attempts of an exercise, as the Progress room says them.
fn shown_rate(window: &mut Window, exercise: &str) -> (u32, u32) {
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("the numbers are there", |w| {
        w.shows("attempts") && !w.shows("Counting")
    });
    let texts = window.texts();
    let line = texts
        .iter()
        .find(|text| text.starts_with(exercise) && text.contains(" attempts"));
    assert!(line.is_some(), "no line of {exercise} in {texts:?}");
    let numbers: Vec<u32> = line
        .unwrap()
        .split(|sign: char| !sign.is_ascii_digit())
        .filter_map(|part| part.parse().ok())
        .take(2)
        .collect();
    (numbers[0], numbers[1])
}

#[test]
fn the_rate_follows_the_marks_and_is_there_again_after_reopening() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    let (faulty, attempts) = shown_rate(&mut window, "half-pass");

    open_last_ride(&mut window);
    go_past_the_marks(&mut window);
    window.types("hp12");
    step(&mut window);
    window.types("0");
    let expect = (faulty + 1, attempts + 1);
    assert_eq!(shown_rate(&mut window, "half-pass"), expect);
    window.press_with(Modifiers::COMMAND, Key::S);
    window.until("everything is saved", |w| w.app().is_saved());
    drop(window);

    let yard = folder.path().join("yard");
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    assert_eq!(shown_rate(&mut window, "half-pass"), expect);
}

#[test]
fn stepping_shows_every_frame_of_a_decoded_film() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    open_last_ride(&mut window);
    window.press(Key::Home);
    window.until("the first frame is there", |w| {
        w.app().review().unwrap().stage.position() == Moment(0)
    });
    // 30 frames a second: the time stamps of the first frames, in nanoseconds.
    for frame in 1..=12_i64 {
        window.press(Key::ArrowRight);
        let expect = frame * 1_000_000_000 / 30;
        window.until("the next frame is there", |w| {
            (w.app().review().unwrap().stage.position().0 - expect).abs() <= 1_000_000
        });
    }
    for frame in (0..12_i64).rev() {
        window.press(Key::ArrowLeft);
        let expect = frame * 1_000_000_000 / 30;
        window.until("the frame before is there", |w| {
            (w.app().review().unwrap().stage.position().0 - expect).abs() <= 1_000_000
        });
    }
}

#[test]
fn playing_moves_the_clock_and_pausing_holds_it() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    open_last_ride(&mut window);
    window.press(Key::Home);
    window.press(Key::Space);
    window.until("two seconds have been played", |w| {
        w.app().review().unwrap().stage.position().0 > 2_000_000_000
    });
    window.press(Key::Space);
    let stage = |w: &Window| w.app().review().unwrap().stage.position();
    let held = stage(&window);
    window.steps(20);
    assert_eq!(stage(&window), held, "a paused film stands still");
}

#[test]
fn letters_half_typed_can_be_taken_back() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    open_last_ride(&mut window);
    let bouts = window.ride().bouts.len();
    window.types("h");
    assert_eq!(window.app().review().unwrap().typed, "h");
    window.press(Key::Backspace);
    assert_eq!(window.app().review().unwrap().typed, "");
    window.types("h");
    window.press(Key::Escape);
    assert_eq!(window.app().review().unwrap().typed, "");
    assert_eq!(window.ride().bouts.len(), bouts);
}

#[test]
fn notes_are_typed_onto_the_last_mark() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    open_last_ride(&mut window);
    window.press(Key::End);
    window.types("hp1");
    window.press(Key::Enter);
    // Signs that mean something while marking are plain text now.
    window.types("lost it at H, 2nd time");
    window.press(Key::Enter);
    let noted = window
        .ride()
        .marks
        .iter()
        .any(|mark| mark.note == "lost it at H, 2nd time");
    assert!(noted, "marks: {:?}", window.ride().marks.last());
}

/// Half a second of the day is a quarter of a second of a film at half speed.
#[test]
fn a_fault_pressed_while_the_film_plays_is_set_back_by_the_reviewers_delay() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    open_last_ride(&mut window);
    window.press_with(Modifiers::COMMAND, Key::Comma);
    let field = "Faults and other marks";
    window.harness.get_by_label(field).focus();
    window.steps(2);
    window.types("500");
    window.press(Key::Enter);
    window.press(Key::Escape);
    window.until("the settings are closed", |w| !w.shows(field));

    window.press(Key::Home);
    window.press(Key::F2);
    window.press(Key::F2);
    let speed = window.app().review().unwrap().stage.speed();
    assert!((speed - 0.5).abs() < 1e-9, "{speed}");
    window.press(Key::Space);
    window.until("two seconds have been played", |w| {
        w.app().review().unwrap().stage.position().0 > 2_000_000_000
    });
    let before: Vec<_> = window.ride().marks.iter().map(|mark| mark.id).collect();
    window.types("1");
    window.press(Key::Space);
    let made = |w: &Window| {
        let new = |mark: &&reinback_yard::Mark| !before.contains(&mark.id);
        w.ride().marks.iter().find(new).cloned()
    };
    let mark = made(&window).unwrap();
    let press = mark.press.unwrap();
    assert_eq!(press.correction, 250_000_000);
    assert_eq!(mark.at.0 + press.correction, press.shown.0);
    assert!(!press.refined);
    assert!(window.shows("about 0:0"), "{:?}", window.texts());

    // Chosen, and set to the frame three further on.
    window.press(Key::ArrowUp);
    for _ in 0..3 {
        window.press(Key::ArrowRight);
        window.until("the frame is there", |w| {
            !w.app().review().unwrap().stage.is_waiting()
        });
    }
    let here = window.app().review().unwrap().stage.position();
    window.types("=");
    let set = made(&window).unwrap();
    assert_eq!(set.at, here);
    assert!(set.is_on_its_frame() && set.press.unwrap().shown == press.shown);
    assert!(!window.shows("about 0:0"));
}
