//! Notes from the rail in the Review room: pasted, from a file, corrected, placed, taken back; and
//! what is written for other programs.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::fmt::Write as _;
use std::path::Path;

use egui::accesskit::Role;
use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::{Mark, MarkKind, Moment, Store};

fn open_last_ride(folder: &Path) -> Window {
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the film shows a frame", Window::has_picture);
    window
}

fn paste(window: &mut Window, text: &str) {
    window.press_with(Modifiers::COMMAND, Key::I);
    window.harness.get_by_label("Notes to read").focus();
    window.steps(2);
    window.harness.event(Event::Paste(text.to_owned()));
    window.steps(3);
    window.click("Read these notes");
    window.until("the notes are read", |w| w.shows("Their times"));
}

/// Chooses what an open list offers; a heading may have the same words.
fn choose(window: &mut Window, label: &str) {
    let offered = window.harness.get_by_role_and_label(Role::Button, label);
    offered.click();
    window.steps(3);
}

fn imported(window: &Window) -> Vec<Mark> {
    let marks = window.ride().marks.iter();
    marks
        .filter(|mark| mark.origin.is_some())
        .cloned()
        .collect()
}

fn go_to(window: &mut Window, forward: usize) {
    window.press(Key::Home);
    for _ in 0..forward {
        window.press_with(Modifiers::SHIFT, Key::ArrowRight);
    }
    window.until("the frame asked for is there", |w| {
        !w.app().review().unwrap().stage.is_waiting()
    });
}

#[test]
fn pasted_notes_are_decided_matched_placed_and_taken_back() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_last_ride(folder.path());
    let before = window.ride().clone();
    paste(
        &mut window,
        "10:42:15 tense\n10:42:25 quaters trailing\n10:42:30 wobbly\nno time here\n21:00:00 lovely\n",
    );
    assert!(window.shows("pasted: 5 notes"));
    // Read another way there is nothing in them; that is said, and they stay.
    window.click("captions");
    window.until("it is said", |w| w.shows("This is no WebVTT"));
    assert!(window.shows("pasted: 5 notes"));
    assert!(
        window.shows("Words to decide: 1 of 1"),
        "{:?}",
        window.texts()
    );
    assert!(window.shows("1 word the yard does not know"));
    assert!(window.shows("it has no time"));

    // The first note is what the film shows five seconds from its start.
    go_to(&mut window, 5);
    let here = window.app().review().unwrap().stage.position();
    window.click_part("tense: fault: tense");
    window.click_part("The chosen note is at this moment");
    assert!(window.shows("Placed by one moment"), "{:?}", window.texts());
    assert!(window.shows("outside every film"), "the note of 21:00");

    window.click_part("Meaning of quaters trailing");
    window.click("quarters trailing (fault)");
    assert!(window.shows("Words to decide: all decided"));
    window.click("Place 4 notes");

    let marks = imported(&window);
    assert_eq!(marks.len(), 4);
    assert_eq!(marks[0].at, here);
    assert_eq!(marks[1].at, Moment(here.0 + 10_000_000_000));
    let kinds: Vec<String> = marks
        .iter()
        .map(|mark| format!("{:?}", mark.kind))
        .collect();
    assert!(
        kinds[0].contains("tense") && kinds[1].contains("quarters-trailing"),
        "{kinds:?}"
    );
    assert_eq!(
        (&marks[2].kind, &marks[3].kind),
        (&MarkKind::Note, &MarkKind::Praise)
    );
    let origin = marks[1].origin.as_ref().unwrap();
    assert_eq!(
        (origin.source.as_str(), origin.line, origin.time.as_str()),
        ("pasted", 2, "10:42:25")
    );
    assert_eq!(origin.text, "quaters trailing");

    window.press_with(Modifiers::COMMAND, Key::S);
    window.until("everything is saved", |w| w.app().is_saved());
    let ride = window.ride().clone();
    let reopened = reinback_yard::look(&folder.path().join("yard")).unwrap().0;
    assert_eq!(
        reopened.ride(ride.id),
        Some(&ride),
        "the file keeps where marks came from"
    );
    window.press_with(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.ride(), &before, "an import is one step");
    window.press_with(Modifiers::COMMAND, Key::S);
    window.until("everything is saved", |w| w.app().is_saved());
    drop(window);
    let reopened = Store::open(&folder.path().join("yard")).unwrap();
    assert_eq!(reopened.yard.ride(before.id), Some(&before));
}

#[test]
fn a_table_of_an_old_program_is_read_and_its_columns_corrected() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_last_ride(folder.path());
    let file = folder.path().join("notes.csv");
    // Windows-1252, semicolons, and numbers that look like times in the first column.
    let table =
        b"lap;time;what\n1;0:05;half pass left\n2;0:09;m\xfcde, tense\n3;0:12;sp\xe4ter gut\n";
    std::fs::write(&file, table).unwrap();
    window.press_with(Modifiers::COMMAND, Key::I);
    window.will_answer(vec![file]);
    window.click("Choose a file…");
    window.until("the notes are read", |w| w.shows("Their times"));
    assert!(
        window.shows("notes.csv: 3 notes, read as windows-1252, which was guessed"),
        "{:?}",
        window.texts()
    );
    assert!(window.shows("müde, tense"));
    assert!(window.shows("Column time, time") && window.shows("Column lap, not wanted"));
    window.click_part("Column lap, not wanted");
    choose(&mut window, "time");
    window.until("the laps count as times", |w| {
        w.shows("Column lap, time") && w.shows("Column time, not wanted")
    });
    window.click_part("Column time, not wanted");
    choose(&mut window, "time");
    window.until("the times are times again", |w| {
        w.shows("Column time, time")
    });
    window.click("Place 3 notes");
    let marks = imported(&window);
    let first = window.ride().films[0].offset.0;
    let seconds: Vec<i64> = marks
        .iter()
        .map(|mark| (mark.at.0 - first) / 1_000_000_000)
        .collect();
    assert_eq!(seconds, [5, 9, 12]);
    assert_eq!(marks[1].note, "müde, tense");
}

#[test]
fn what_cannot_be_read_is_said_and_the_panel_stays() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_last_ride(folder.path());
    let file = folder.path().join("empty.txt");
    std::fs::write(&file, "").unwrap();
    window.press_with(Modifiers::COMMAND, Key::I);
    window.will_answer(vec![file]);
    window.click("Choose a file…");
    window.until("it is said", |w| w.shows("empty.txt holds no notes"));
    window.click("Put the notes away");
    assert!(!window.shows("Notes to read"));
}

#[test]
fn marks_are_written_for_other_programs() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_last_ride(folder.path());
    let (table, captions) = (
        folder.path().join("marks.csv"),
        folder.path().join("film.vtt"),
    );
    window.will_answer(vec![table.clone()]);
    window.press_with(Modifiers::COMMAND, Key::E);
    window.until("the table is there", |w| w.shows("Written: marks.csv"));
    let rows = std::fs::read_to_string(&table).unwrap();
    let ride = window.ride();
    let things = ride.bouts.len() + ride.marks.len();
    let ends = rows.matches("\r\n").count();
    assert_eq!(ends, things + 1, "a row for each and the names");

    window.will_answer(vec![captions.clone()]);
    window.press_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::E);
    window.until("the captions are there", |w| w.shows("Written: film.vtt"));
    let text = std::fs::read_to_string(&captions).unwrap();
    assert!(text.starts_with("WEBVTT\n\n"));
    assert!(text.matches(" --> ").count() <= things && text.contains(" --> "));
}

/// As many notes as are read at all: the window stays at hand, and all become marks in one step.
#[test]
fn a_hundred_thousand_notes() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_last_ride(folder.path());
    let before = window.ride().marks.len();
    let mut text = String::new();
    for at in 0..100_001 {
        let (minute, second, part) = (at / 600 % 60, at / 10 % 60, at % 10);
        let hour = at / 36_000;
        writeln!(
            text,
            "{hour}:{minute:02}:{second:02}.{part} half pass left, tense"
        )
        .unwrap();
    }
    let file = folder.path().join("many.txt");
    std::fs::write(&file, text).unwrap();
    window.press_with(Modifiers::COMMAND, Key::I);
    window.will_answer(vec![file]);
    window.click("Choose a file…");
    window.until("the notes are read", |w| w.shows("Their times"));
    assert!(window.shows("many.txt: 100000 notes"));
    assert!(window.shows("Only the first 100000 notes were read"));
    window.click("Place 100000 notes");
    assert_eq!(window.ride().marks.len(), before + 100_000);
    window.press_with(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.ride().marks.len(), before);
}

/// Whatever else is asked for, notes on their way in stay until they are placed or put away.
#[test]
fn notes_on_their_way_in_are_not_thrown_away() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_last_ride(folder.path());
    window.press_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::R);
    window.click("Start a second review…");
    let field = window
        .harness
        .get_by_role_and_label(Role::TextInput, "Who reviews");
    field.focus();
    window.steps(2);
    window.types("Jon");
    window.click("Start");
    window.types("hp");
    paste(&mut window, "10:42:15 tense\n10:42:25 late\n");
    let command = Modifiers::COMMAND;
    for (modifiers, key) in [
        (command, Key::B),
        (command | Modifiers::SHIFT, Key::R),
        (Modifiers::NONE, Key::F10),
        (Modifiers::NONE, Key::F12),
    ] {
        window.press_with(modifiers, key);
        assert!(window.shows("pasted: 2 notes"), "{key:?}");
        assert!(window.shows("Place the notes or put them away first"));
    }
    window.click("I am done: compare");
    assert!(window.shows("pasted: 2 notes"), "{:?}", window.texts());
    let review = window.ride().head.reviews.last().unwrap();
    assert!(review.blind, "done only when it can be compared");
}
