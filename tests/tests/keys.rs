//! A rider changes keys, and hints that go away.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::path::Path;

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::{MarkKind, Store};

fn open_demo(folder: &Path) -> Window {
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the film shows a frame", Window::has_picture);
    window
}

fn praises(window: &Window) -> usize {
    let praise = |mark: &&reinback_yard::Mark| mark.kind == MarkKind::Praise;
    window.ride().marks.iter().filter(praise).count()
}

/// Scrolls the page of keys to something and clicks it.
fn click_on_page(window: &mut Window, label: &str) {
    window.harness.get_by_label(label).scroll_to_me();
    // The page glides there.
    window.steps(30);
    window.click(label);
}

#[test]
fn another_key_for_praise() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    let before = praises(&window);
    window.press(Key::F1);
    click_on_page(&mut window, "+: another key for “Praise”");
    window.types("!");
    assert!(
        window.shows("!: another key for “Praise”"),
        "{:?}",
        window.texts()
    );
    assert_eq!(
        praises(&window),
        before,
        "a key that is being chosen marks nothing"
    );
    window.press(Key::Escape);
    window.types("+");
    assert_eq!(praises(&window), before, "its old key does nothing");
    window.types("!");
    assert_eq!(praises(&window), before + 1);
    window.press(Key::F1);
    window.click("All keys as at first");
    window.press(Key::F1);
    window.types("+");
    assert_eq!(praises(&window), before + 2);
}

#[test]
fn a_key_that_is_taken_is_asked_for_and_letters_stay() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    window.press(Key::F1);
    // A letter is refused.
    click_on_page(&mut window, "+: another key for “Praise”");
    window.types("h");
    assert!(
        window.shows("Letters start exercises"),
        "{:?}",
        window.texts()
    );
    // One that is taken is asked for, and left there.
    click_on_page(&mut window, "+: another key for “Praise”");
    window.press(Key::F9);
    assert!(window.shows("F9 is “Light or dark”. Give it up there?"));
    click_on_page(&mut window, "Leave it there");
    assert!(window.shows("+: another key for “Praise”"));
    // Escape leaves it too, and the page stays open.
    click_on_page(&mut window, "+: another key for “Praise”");
    window.press(Key::Escape);
    assert!(
        window.shows("+: another key for “Praise”"),
        "{:?}",
        window.texts()
    );
    // And taken.
    click_on_page(&mut window, "+: another key for “Praise”");
    window.press(Key::F9);
    click_on_page(&mut window, "Give it up there");
    assert!(window.shows("F9: another key for “Praise”"));
    assert!(
        window.shows("A key for “Light or dark”"),
        "{:?}",
        window.texts()
    );
    // The other gets it back only with the rider's word.
    click_on_page(&mut window, "Keys of “Light or dark” as at first");
    assert!(window.shows("F9 is “Praise”. Give it up there?"));
    click_on_page(&mut window, "Give it up there");
    assert!(window.shows("F9: another key for “Light or dark”"));
}

#[test]
fn hints_go_when_the_thing_is_done() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    assert!(window.shows("Play the film (Space) and type the letters"));
    window.press(Key::End);
    window.until("the end is there", |w| {
        !w.app().review().unwrap().stage.is_waiting()
    });
    window.types("hp");
    assert!(!window.shows("type the letters of an exercise as it begins; the"));
    assert!(
        window.shows("press the number of the fault"),
        "{:?}",
        window.texts()
    );
    window.types("1");
    assert!(
        window.shows("writes a note onto the last mark"),
        "{:?}",
        window.texts()
    );
    window.click("Got it");
    assert!(!window.shows("Got it"), "no hint is left here");

    window.press_with(Modifiers::COMMAND, Key::Comma);
    window.click("Show the hints again");
    window.press(Key::Escape);
    assert!(window.shows("Play the film (Space) and type the letters"));
}

#[test]
fn an_empty_yard_has_a_hint() {
    let folder = tempfile::tempdir().unwrap();
    drop(Store::create(&folder.path().join("yard"), "New").unwrap());
    let mut window = Window::open(&[&folder.path().join("yard")]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    assert!(
        window.shows("choose its films (Ctrl+N)"),
        "{:?}",
        window.texts()
    );
}
