//! An evening by keys alone: exercises, faults, a series with its asked numbers, an outline, notes
//! from the rail, an angle and a tempo; then the process is gone, and everything is there again.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::io::{BufRead as _, BufReader, Write as _};
use std::path::Path;
use std::process::{Command, Stdio};

use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::NodeT as _;
use reinback::keeper::Safety;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::{Asked, Leg, MarkKind, MeasureKind, Moment, Rein, Ride, Store};

const CTRL: Modifiers = Modifiers::COMMAND;

fn until_still(window: &mut Window) {
    window.until("the frame asked for is there", |w| {
        !w.app().review().unwrap().stage.is_waiting()
    });
}

fn on(window: &mut Window, frames: usize) {
    for _ in 0..frames {
        window.press(Key::ArrowRight);
        until_still(window);
    }
}

/// Goes with Tab to what has this in its name.
fn tab_to(window: &mut Window, name: &str) {
    let has = |w: &Window| {
        let mut open = vec![w.harness.root()];
        while let Some(node) = open.pop() {
            let own = node.accesskit_node();
            let label = own.label().or_else(|| own.value()).unwrap_or_default();
            if own.is_focused() && label.contains(name) {
                return true;
            }
            open.extend(node.children());
        }
        false
    };
    let mut presses = 0;
    while !has(window) {
        presses += 1;
        assert!(
            presses < 400,
            "Tab never comes to {name}: {:?}",
            window.texts()
        );
        window.press(Key::Tab);
    }
}

fn here(window: &Window) -> Moment {
    window.app().review().unwrap().stage.position()
}

/// A key that writes a sign which depends on the layout, as Shift with a digit does.
fn shift_digit(window: &mut Window, physical: Key, sign: &str) {
    let key = |pressed| Event::Key {
        key: physical,
        physical_key: Some(physical),
        pressed,
        repeat: false,
        modifiers: Modifiers::SHIFT,
    };
    for event in [
        Event::ModifiersChanged(Modifiers::SHIFT),
        key(true),
        Event::Text(sign.into()),
        key(false),
        Event::ModifiersChanged(Modifiers::NONE),
    ] {
        window.harness.event(event);
    }
    window.steps(2);
}

/// Everything that the evening marks, found in a ride.
fn check(ride: &Ride, before: &Ride, at: &Marked) {
    let new = || {
        ride.marks
            .iter()
            .filter(|mark| !before.marks.contains(mark))
    };
    let bouts: Vec<_> = ride
        .bouts
        .iter()
        .filter(|b| !before.bouts.contains(b))
        .collect();
    let half_pass = bouts
        .iter()
        .find(|b| b.exercise.as_str() == "half-pass")
        .unwrap();
    assert_eq!(half_pass.rein, Some(Rein::Left));
    assert_eq!(half_pass.from, at.half_pass);
    let own = new().filter(|m| m.bout == Some(half_pass.id));
    let faults: Vec<&str> = own
        .filter_map(|m| match &m.kind {
            MarkKind::Fault(fault) => Some(fault.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(faults, ["quarters-trailing", "quarters-leading"]);
    let series = bouts
        .iter()
        .find(|b| b.exercise.as_str() == "changes-every-3rd-stride");
    let asked = Asked {
        count: Some(5),
        every: Some(3),
    };
    assert_eq!(series.unwrap().asked, asked);
    assert!(series.unwrap().reviewed);
    let outline = ride.outlines.iter().find(|own| own.span.from == at.outline);
    assert_eq!(outline.unwrap().outline.as_str(), "deep-and-round");
    let note = new().find(|m| m.origin.is_some()).unwrap();
    assert_eq!((note.at, note.note.as_str()), (at.note, "tense"));
    let typed = new().find(|m| m.note == "looked at the flowers");
    assert!(typed.is_some(), "the quick note");
    let angle = new().find_map(|m| match &m.kind {
        MarkKind::Measured(measured) => Some(measured.kind),
        _ => None,
    });
    assert_eq!(angle, Some(MeasureKind::Angle));
    let tempo = ride.tempos.first().unwrap();
    assert_eq!((tempo.leg, tempo.taps.len()), (Leg::RightHind, 8));
}

/// Where the evening marked what.
struct Marked {
    half_pass: Moment,
    outline: Moment,
    note: Moment,
}

fn mark(window: &mut Window) -> Marked {
    window.press(Key::Home);
    until_still(window);
    on(window, 3);
    let half_pass = here(window);
    window.types("hp,1");
    on(window, 2);
    window.types("2");
    window.press(Key::Enter);
    window.types("looked at the flowers");
    window.press(Key::Enter);

    on(window, 2);
    window.types("ft/5");
    on(window, 2);
    let outline = here(window);
    shift_digit(window, Key::Num3, "#");
    on(window, 2);
    window.types("0");

    window.press_with(CTRL, Key::T);
    window.types("2");
    for _ in 0..8 {
        window.press_with(Modifiers::SHIFT, Key::ArrowRight);
        until_still(window);
        window.types("x");
    }
    assert!(window.shows("60 strides a minute"), "{:?}", window.texts());
    window.press_with(CTRL, Key::T);

    // A note of the rail lies on the frame on screen.
    let note = here(window);
    window.press_with(CTRL, Key::I);
    tab_to(window, "Notes to read");
    window.harness.event(Event::Paste("10:42:15 tense".into()));
    window.steps(3);
    tab_to(window, "Read these notes");
    window.press(Key::Space);
    window.until("the notes are read", |w| w.shows("Their times"));
    tab_to(window, "tense: fault: tense");
    window.press(Key::Space);
    tab_to(window, "The chosen note is at this moment");
    window.press(Key::Space);
    tab_to(window, "Place 1 note");
    window.press(Key::Space);
    window.press(Key::Escape);

    window.press(Key::F10);
    window.types("4");
    for _ in 0..2 {
        window.press(Key::Enter);
        for _ in 0..5 {
            window.press_with(Modifiers::SHIFT, Key::ArrowUp);
        }
    }
    window.press(Key::Enter);
    window.press_with(Modifiers::SHIFT, Key::ArrowRight);
    window.press(Key::Enter);
    Marked {
        half_pass,
        outline,
        note,
    }
}

/// The folder of the yard, in the process that is to be killed.
const YARD: &str = "REINBACK_TEST_EVENING";

#[test]
#[ignore = "runs in a process of its own, which is killed"]
fn an_evening_until_the_end_of_the_process() {
    let Some(yard) = std::env::var_os(YARD) else {
        return;
    };
    let mut window = Window::open(&[Path::new(&yard)]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(CTRL, Key::Num2);
    window.until("the film shows a frame", Window::has_picture);
    let before = window.ride().clone();
    let marked = mark(&mut window);
    check(window.ride(), &before, &marked);
    window.until("all of it is durable", |w| {
        let open = w.app().open_yard().unwrap();
        open.keeper.as_ref().unwrap().safety(&open.document) != Safety::Writing
    });
    let Marked {
        half_pass,
        outline,
        note,
    } = marked;
    println!("\nmarked {} {} {}", half_pass.0, outline.0, note.0);
    std::io::stdout().flush().unwrap();
    loop {
        std::thread::park();
    }
}

#[test]
fn what_is_marked_by_keys_alone_is_there_after_the_process_was_killed() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let before = Store::open(&yard).unwrap().yard;
    let ride = before.rides_by_date().last().unwrap().id;

    let mut child = Command::new(std::env::current_exe().unwrap())
        .args([
            "--ignored",
            "--exact",
            "an_evening_until_the_end_of_the_process",
        ])
        .arg("--nocapture")
        .env(YARD, &yard)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let told = BufReader::new(child.stdout.take().unwrap());
    let marked = told.lines().map_while(Result::ok).find_map(|line| {
        let mut numbers = line.strip_prefix("marked ")?.split(' ').map(str::parse);
        let mut next = || numbers.next()?.ok().map(Moment);
        Some(Marked {
            half_pass: next()?,
            outline: next()?,
            note: next()?,
        })
    });
    // SIGKILL, or what comes nearest to it on this system: no farewell.
    child.kill().unwrap();
    child.wait().unwrap();
    let marked = marked.expect("the evening was marked");

    let mut window = Window::open(&[&yard]);
    window.until("the yard is open again", |w| w.app().open_yard().is_some());
    assert!(window.app().open_yard().unwrap().writable());
    assert!(window.shows("brought back"), "{:?}", window.texts());
    let found = window.yard().ride(ride).unwrap();
    check(found, before.ride(ride).unwrap(), &marked);
}
