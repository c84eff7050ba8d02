//! Two periods set against each other in the real window, in one language and then in the other.

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

/// What the demo yard was made to show (`demo-sessions/README.md`): changes get better, halts
/// worse, and the half-pass stays as it is.
#[test]
fn two_periods_are_compared_in_english_and_in_german() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("lines are counted", |w| w.shows("faults a minute"));
    window.click("Everything");
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
