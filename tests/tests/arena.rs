//! Saying on the plan of the arena where it was, by clicks and by letters.

#![expect(
    clippy::panic,
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::path::Path;

use egui::{Key, Modifiers, Pos2, Rect};
use egui_kittest::kittest::Queryable as _;
use reinback::action::Chosen;
use reinback_analysis::place::Arena;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::{ArenaPlace, MarkKind};

fn open_plan(folder: &Path) -> Window {
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the film shows a frame", Window::has_picture);
    window.press(Key::Home);
    window.press(Key::F12);
    window
}

/// Where a place of the arena, in metres, is on the screen: by hand from the plan's rectangle, in
/// whose middle lie 20 by 60 metres with three around them.
fn on_screen(plan: Rect, x: f32, y: f32) -> Pos2 {
    let scale = (plan.width() / 26.0).min(plan.height() / 66.0);
    plan.center() + egui::vec2(x - 10.0, 30.0 - y) * scale
}

fn plan(window: &Window) -> Rect {
    window
        .harness
        .get_by_label_contains("Plan of the arena, 20 by 60 metres")
        .rect()
}

/// Goes down through bouts and marks until this is chosen.
fn choose(window: &mut Window, wanted: Chosen) {
    for _ in 0..window.ride().bouts.len() + window.ride().marks.len() {
        window.press(Key::ArrowDown);
        if window.app().review().unwrap().chosen == Some(wanted) {
            return;
        }
    }
    panic!("Down never came to {wanted:?}");
}

fn click(window: &mut Window, at: Pos2) {
    window.harness.hover_at(at);
    window.steps(1);
    window.harness.drag_at(at);
    window.steps(1);
    window.harness.drop_at(at);
    window.steps(3);
}

#[test]
fn a_bout_goes_from_letter_to_letter() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_plan(folder.path());
    let before = window.ride().clone();
    let bout = before
        .bouts
        .iter()
        .rfind(|bout| bout.letters == (None, None) && bout.review == before.head.counting)
        .unwrap()
        .clone();
    choose(&mut window, Chosen::Bout(bout.id));
    let area = plan(&window);
    click(&mut window, on_screen(area, 0.5, 6.5));
    assert!(window.shows("From K: click the letter where it ended"));
    assert_eq!(window.ride(), &before, "one click alone changes nothing");
    click(&mut window, on_screen(area, 19.5, 29.5));
    let letters = |window: &Window| {
        let mut bouts = window.ride().bouts.iter();
        bouts.find(|own| own.id == bout.id).unwrap().letters
    };
    assert_eq!(letters(&window), (Some('K'), Some('B')));
    // The published steep half-pass line, 31.2 m at 39.8 degrees: the root of 20² + 24², and
    // atan(20/24).
    assert!(
        window.shows("31.2 m, 39.8° to the long side"),
        "{:?}",
        window.texts()
    );

    // The same by the keyboard.
    window.click("Letter where it ended");
    window.types("m");
    assert_eq!(letters(&window), (Some('K'), Some('M')));
    assert!(window.shows("52.0 m, 22.6° to the long side"));
    window.types("q");
    assert_eq!(letters(&window), (Some('K'), Some('M')), "no such letter");
    window.press(Key::Escape);
    window.press_with(Modifiers::COMMAND, Key::Z);
    window.press_with(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.ride(), &before);
}

#[test]
fn a_mark_is_put_where_it_was_and_counted_there() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_plan(folder.path());
    let before = window.ride().clone();
    let fault = before
        .marks
        .iter()
        .find(|mark| matches!(mark.kind, MarkKind::Fault(_)))
        .unwrap()
        .clone();
    choose(&mut window, Chosen::Mark(fault.id));
    let area = plan(&window);
    click(&mut window, on_screen(area, 19.0, 31.0));
    let place = |window: &Window| {
        let mut marks = window.ride().marks.iter();
        marks.find(|own| own.id == fault.id).unwrap().place
    };
    let ArenaPlace {
        across_cm,
        along_cm,
    } = place(&window).unwrap();
    assert!((across_cm - 1_900).abs() <= 2 && (along_cm - 3_100).abs() <= 2);
    assert!(
        window.shows("Faults by letter: B 1"),
        "{:?}",
        window.texts()
    );

    // Typed, a place is known by both of its numbers only, and is one step.
    window.press_with(Modifiers::COMMAND, Key::Z);
    assert_eq!(place(&window), None);
    let typed = |window: &mut Window, field: &str, metres: &str| {
        window.harness.get_by_label(field).focus();
        window.steps(3);
        window.press_with(Modifiers::COMMAND, Key::A);
        window.types(metres);
        window.press(Key::Enter);
        window.steps(3);
    };
    typed(&mut window, "Metres from the side of K", "0");
    assert_eq!(window.ride(), &before, "half of a place is none");
    typed(&mut window, "Metres from A", "31");
    let there = place(&window).unwrap();
    assert_eq!((there.across_cm, there.along_cm), (0, 3_100));
    window.press_with(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.ride(), &before);
    window.press_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);

    // Which arena it was is a change of its own, and changes no place.
    window.click("20 by 40 m");
    assert_eq!(window.ride().head.arena, Some(Arena::Small));
    assert!(place(&window).is_some());
    assert!(window.shows("Plan of the arena, 20 by 40 metres"));
    window.press_with(Modifiers::COMMAND, Key::Z);
    window.click("Take away");
    assert_eq!(place(&window), None);
    window.press_with(Modifiers::COMMAND, Key::Z);
    window.press_with(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.ride(), &before);
}
