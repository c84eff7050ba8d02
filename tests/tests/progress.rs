//! Two periods set against each other in the real window, in one language and then in the other.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::path::Path;

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use reinback_tests::window::{Window, copy_demo};

/// What the line of an exercise says.
fn line(window: &Window, exercise: &str) -> String {
    let texts = window.texts();
    let begins = format!("{exercise}. ");
    let found = texts.iter().find(|text| text.starts_with(&begins));
    assert!(found.is_some(), "no line of {exercise} in {texts:?}");
    found.cloned().unwrap_or_default()
}

/// Chooses from a list, by what it shows now.
fn choose(window: &mut Window, now: &str, then: &str) {
    window.harness.get_by_value(now).click();
    window.steps(3);
    window.click(then);
}

/// A window with a copy of the demo yard open.
fn opened(folder: &Path) -> Window {
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window
}

/// Who opens the demo yard and goes to Progress, one press, finds its four stories told at once:
/// what is better, worse, one-sided and too rare, without scrolling either way.
#[test]
fn a_newcomer_finds_the_four_stories_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = opened(folder.path());
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("lines are counted", |w| w.shows("Worse:"));
    let seen = window.harness.ctx.content_rect();
    for label in [
        "Worse:",
        "halt",
        "One-sided:",
        "half-pass (worse on the left)",
        "Better:",
        "flying change",
        "Too few to tell:",
        "half pirouette in canter,",
    ] {
        let place = window.harness.get_by_label(label).rect();
        assert!(seen.contains_rect(place), "{label} is at {place}");
    }
    assert!(line(&window, "halt").contains("more often faulty than last month"));
    let sided = "the left goes wrong more often than the right";
    assert!(line(&window, "half-pass").contains(sided));
    // A name leads to its line, opened.
    window.click("half pirouette in canter,");
    window.until("it is open", |w| w.shows("The moments"));
    window.until("its rides are shown", |w| {
        w.shows("rides of half pirouette in canter")
    });
    window.steps(40);
    let row = window
        .harness
        .get_by_label_contains("half pirouette in canter. 1 of 2")
        .rect();
    assert!(seen.contains_rect(row), "the line is at {row}");
}

/// The list and what stands over it make room for a line that is opened.
#[test]
fn an_open_line_covers_nothing_of_the_list() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = opened(folder.path());
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("lines are counted", |w| w.shows("Worse:"));
    window.click_part("halt. ");
    window.until("it is open", |w| w.shows("The moments"));
    window.steps(10);
    let panel = window.harness.get_by_label("Two periods").rect().left();
    for part in [
        "Worse:",
        "half-pass (worse on the left)",
        "flying change. ",
        "half-pass. ",
        "travers, ",
        "walk-canter",
        " more",
    ] {
        for node in window.harness.query_all_by_label_contains(part) {
            let place = node.rect();
            if place.left() < panel {
                assert!(place.right() <= panel, "{part} at {place} is under {panel}");
            }
        }
    }
}

/// One key shows the last 28 days, and the month again.
#[test]
fn one_key_shows_the_last_28_days() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = opened(folder.path());
    window.press_with(Modifiers::COMMAND, Key::D);
    window.until("28 days are counted", |w| w.shows("in the 28 days before"));
    window.press_with(Modifiers::COMMAND, Key::D);
    window.until("the month is counted", |w| w.shows("; last month"));
}

/// The reins against each other, then faults a minute, chosen by hand.
#[test]
fn the_reins_are_compared_and_faults_are_counted() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = opened(folder.path());
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("lines are counted", |w| w.shows("Worse:"));
    choose(&mut window, "all of October", "the other rein");
    window.until("reins are compared", |w| w.shows("fewer on the right"));
    let said = line(&window, "half-pass");
    assert!(
        said.contains("left 13 of 22, right 0 of 19: fewer on the right"),
        "{said}"
    );
    choose(&mut window, "the other rein", "all of October");
    window.until("months are compared", |w| w.shows("Worse:"));
    choose(&mut window, "Faulty attempts", "Faults a minute");
    window.until("faults are counted", |w| w.shows("times as many a minute"));
    let said = line(&window, "halt");
    assert!(
        said.contains("a minute: more, and likely more than luck"),
        "{said}"
    );
}

/// A bout marked in Review while Progress was open is in its numbers when it is shown again.
#[test]
fn what_is_marked_in_review_changes_progress() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = opened(folder.path());
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("lines are counted", |w| w.shows("Worse:"));
    assert!(line(&window, "half-pass").contains("13 of 41 attempts"));
    window.click_part("half-pass. ");
    window.until("it is open", |w| w.shows("The moments"));
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the film shows a frame", Window::has_picture);
    let stands = |w: &Window| {
        let review = w.app().review();
        review.is_some_and(|review| !review.stage.is_waiting())
    };
    // Behind what is marked already: one half-pass more, without a fault.
    window.press(Key::End);
    window.until("the end is there", stands);
    window.press_with(Modifiers::SHIFT, Key::ArrowLeft);
    window.until("a second before is there", stands);
    window.types("hp");
    window.press(Key::ArrowRight);
    window.until("the next frame is there", stands);
    window.types("0");
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("it is counted", |w| w.shows("13 of 42 attempts"));
    assert!(!window.shows("13 of 41 attempts"), "nothing old is left");
}

/// What the demo yard was made to show (`demo-sessions/README.md`): changes get better, halts
/// worse, and the half-pass stays as it is.
#[test]
fn two_periods_are_compared_in_english_and_in_german() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = opened(folder.path());
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("lines are counted", |w| w.shows("no clear difference"));
    choose(&mut window, "November to date", "Everything");
    let field = window.harness.get_by_label("The day between");
    field.focus();
    field.type_text("2026-10-27");
    window.steps(3);
    window.until("two periods are compared", |w| {
        w.shows("before 27 October 2026")
    });
    for (exercise, expect) in [
        ("flying change", ": fewer, and likely more than luck"),
        ("halt", ": more, and likely more than luck"),
        ("half-pass", ": no clear difference"),
    ] {
        let said = line(&window, exercise);
        assert!(said.contains(expect), "{said}");
    }

    window.press_with(Modifiers::COMMAND, Key::Comma);
    window.until("the page is open", |w| w.shows("Deutsch"));
    window.click("Deutsch");
    window.press(Key::Escape);
    window.until("the room speaks German", |w| w.shows("Verglichen mit"));
    for (exercise, expect) in [
        (
            "fliegender Galoppwechsel",
            ": weniger, und das ist wohl kein Zufall",
        ),
        ("Halten", ": mehr, und das ist wohl kein Zufall"),
        ("Traversale", ": kein klarer Unterschied"),
    ] {
        let said = line(&window, exercise);
        assert!(said.contains(expect), "{said}");
    }
    for english in ["attempts", "faults a minute", "no clear"] {
        assert!(!window.shows(english), "{english}: {:?}", window.texts());
    }
}
