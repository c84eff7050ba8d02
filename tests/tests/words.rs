//! The page of words: what is kept, and what must not be written over.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use reinback_tests::window::{Window, copy_demo};

fn open_page(window: &mut Window) {
    window.press_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::W);
    window.steps(4);
    assert!(window.shows("Keep these words"), "{:?}", window.texts());
}

/// Moves the first fault of the exercise on the page one key on.
fn change(window: &mut Window) {
    let down = window.harness.get_all_by_label("Down").next();
    down.unwrap().click();
    window.steps(4);
}

#[test]
fn a_page_is_not_kept_over_words_that_changed_behind_it() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    let first = window.yard().words.clone();
    open_page(&mut window);
    change(&mut window);
    window.click("Keep these words");
    let second = window.yard().words.clone();
    assert_ne!(second, first);
    assert!(!window.shows("Keep these words"), "the page is put away");

    open_page(&mut window);
    change(&mut window);
    window.press_with(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.yard().words, first, "taken back behind the page");
    window.click("Keep these words");
    assert_eq!(window.yard().words, first);
    assert!(
        window.shows("the words of this yard have changed"),
        "{:?}",
        window.texts()
    );
    assert!(window.shows("Keep these words"), "the page is still there");
    window.click("Leave them as they were");

    // Another yard has other words.
    open_page(&mut window);
    let other = folder.path().join("other");
    std::fs::create_dir(&other).unwrap();
    let other = copy_demo(&other).unwrap();
    window.will_answer(vec![other.clone()]);
    window.press_with(Modifiers::COMMAND, Key::O);
    window.until("the other yard is open", |w| {
        w.app().open_yard().is_some_and(|open| open.folder == other)
    });
    window.steps(2);
    assert!(!window.shows("Keep these words"), "{:?}", window.texts());
}
