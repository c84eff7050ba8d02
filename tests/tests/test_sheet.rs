//! Judges' marks typed from the keyboard, line by line, with what they come to and where they are on
//! film.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::path::Path;

use egui::{Key, Modifiers};
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::{RiddenTest, Seen};

const CTRL_SHIFT: Modifiers = Modifiers {
    shift: true,
    ..Modifiers::COMMAND
};

fn open_sheet(folder: &Path) -> Window {
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the film shows a frame", Window::has_picture);
    window.press_with(CTRL_SHIFT, Key::T);
    window
}

fn test(window: &Window) -> &RiddenTest {
    window.ride().test.as_deref().unwrap()
}

/// Types into the field that has the keyboard, and goes on.
fn enter(window: &mut Window, mark: &str) {
    window.types(mark);
    window.press(Key::Enter);
}

#[test]
fn a_grand_prix_is_typed_in_and_comes_to_its_percentage() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_sheet(folder.path());
    assert!(window.shows("Which test was ridden?"));
    let before = window.ride().clone();
    window.click("Grand Prix, 34 lines, 460 points");
    assert_eq!(test(&window).lines.len(), 34);
    assert_eq!(window.yard().sheets.len(), 1, "the yard keeps it");
    assert!(window.shows("Not whole: no percentage yet, 34 marks missing"));

    // The keyboard is in the first mark. Halves with point or comma; a tenth is refused, and mended.
    enter(&mut window, "6.5");
    enter(&mut window, "6,5");
    window.types("7.3");
    window.press(Key::Enter);
    assert!(window.shows("This line is marked in halves, as 6.5"));
    assert_eq!(test(&window).lines[2].marks, [None]);
    for _ in 0..3 {
        window.press(Key::Backspace);
    }
    enter(&mut window, "7.5");
    for _ in 3..34 {
        enter(&mut window, "7");
    }
    // 7 throughout is 322; half a mark less on two single lines, half a mark more on one that
    // counts twice: 322 again of 460.
    assert!(window.shows("70.000 %"), "{:?}", window.texts());
    assert!(window.shows("C: 322 of 460, 70.000 %"));
    window.click("One error more");
    assert!(
        window.shows("68.000 %"),
        "two percentage points for an error"
    );

    window.press(Key::Escape);
    for _ in 0..35 {
        window.press_with(Modifiers::COMMAND, Key::Z);
    }
    assert!(
        window.shows("34 marks missing"),
        "every mark was a step: {:?}",
        window.texts()
    );
    window.press_with(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.ride(), &before);
    assert!(
        window.yard().sheets.is_empty(),
        "the sheet goes with the step that brought it"
    );
}

#[test]
fn judges_sit_beside_each_other_and_lines_lead_to_the_film() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_sheet(folder.path());
    window.click("Grand Prix Special, 37 lines, 470 points");
    window.click("Another judge");
    assert_eq!(test(&window).judges[1].position, 'H');
    window.click("Mark of H for 1 entry, halt: –");
    enter(&mut window, "8");
    assert_eq!(
        window.ride().test.as_deref().unwrap().lines[0].marks[1]
            .unwrap()
            .tenths(),
        80
    );
    window.click("Mark of C for 1 entry, halt: –");
    enter(&mut window, "6.5");
    assert!(window.shows("Judges furthest apart: 1 entry, halt, by 1.5"));

    // The line where the keyboard now is: the second.
    window.click_part("It is here,");
    let Some(Seen::At(at)) = test(&window).lines[1].seen else {
        unreachable!("a line is seen from a moment: {:?}", test(&window).lines[1])
    };
    assert_eq!(at, window.app().review().unwrap().stage.position());
    window.press(Key::Escape);
    window.press(Key::End);
    let moved = window.app().review().unwrap().stage.position();
    assert_ne!(moved, at);
    assert!(window.shows("On film at"));
    window.click(&reinback::clock::short(at));
    window.until("the film is where the line is seen", |window| {
        window.app().review().unwrap().stage.position() == at
    });
}
