//! A window that is killed in the middle of its work, and two windows on one yard.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};

use egui::{Key, Modifiers};
use reinback_tests::window::{Window, copy_demo};
use reinback_tests::work::{Work, in_document};
use reinback_yard::{Access, Document, Store, Why};

/// How often it is killed.
const KILLS: u64 = 20;

struct AtWork {
    child: Child,
    says: BufReader<ChildStdout>,
}

impl AtWork {
    fn start(yard: &Path, seed: u64) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_at_work"))
            .arg(yard)
            .arg(seed.to_string())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let says = BufReader::new(child.stdout.take().unwrap());
        Self { child, says }
    }

    /// The next number of gestures that are safe; `None` once it is dead.
    fn safe(&mut self) -> Option<u64> {
        let mut line = String::new();
        self.says.read_line(&mut line).unwrap();
        // A line that was being written when it died says nothing.
        let whole = line.strip_suffix('\n')?;
        Some(whole.strip_prefix("safe ").unwrap().parse().unwrap())
    }

    /// Kills it once so many gestures are safe (on Unix by SIGKILL, which it cannot hear), and
    /// returns how many were in the end.
    fn kill_after(mut self, gestures: u64) -> u64 {
        let mut safe = 0;
        while safe < gestures {
            // It works on until it is killed.
            safe = self.safe().unwrap();
        }
        self.child.kill().unwrap();
        while let Some(more) = self.safe() {
            safe = more;
        }
        let status = self.child.wait().unwrap();
        assert!(!status.success(), "it was killed: {status}");
        safe
    }
}

/// Whatever was said to be safe is there after a kill, and at most the gesture under the hand is
/// not. Each time the yard is opened as the kill before left it.
#[test]
fn a_kill_loses_at_most_the_gesture_under_the_hand() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let mut before = Store::open(&yard).unwrap().yard;
    let mut brought_back = 0;
    for seed in 0..KILLS {
        // Somewhere in the first eighty gestures, from the very first on.
        let safe = AtWork::start(&yard, seed).kill_after(seed * 37 % 80);
        let mut document = Document::new(before);
        let mut work = Work::new(seed);
        for _ in 0..safe {
            let gesture = work.next(&document).unwrap();
            in_document(&mut document, gesture).unwrap();
        }
        let said_safe = document.yard().clone();
        let gesture = work.next(&document).unwrap();
        in_document(&mut document, gesture).unwrap();

        let opened = Store::open(&yard).unwrap();
        assert!(
            opened.yard == said_safe || opened.yard == *document.yard(),
            "kill {seed} after {safe} safe gestures lost some of them: {:?}",
            opened.problems
        );
        assert_eq!(
            opened.access,
            Access::Write,
            "the lock dies with its window"
        );
        let told = opened
            .problems
            .iter()
            .any(|p| p.message.contains("brought back"));
        assert_eq!(told, !opened.unsaved.is_empty(), "{:?}", opened.problems);
        brought_back += u64::from(told);
        before = opened.yard;
    }
    assert!(
        brought_back > KILLS / 2,
        "most kills leave something to the journal, {brought_back} did"
    );
}

/// The window says what it found of a session that did not end well, and has it.
#[test]
fn the_window_says_what_was_brought_back() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    AtWork::start(&yard, 1).kill_after(3);
    let found = Store::open(&yard).unwrap();
    assert!(
        !found.unsaved.is_empty(),
        "three gestures are not in the files yet"
    );
    let expected = found.yard.clone();
    drop(found);
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    assert!(
        window.shows("what had been marked was brought back"),
        "{:?}",
        window.texts()
    );
    assert_eq!(*window.yard(), expected);
    window.until("it is saved", |w| w.app().is_saved());
    drop(window);
    let opened = Store::open(&yard).unwrap();
    assert_eq!((opened.yard, opened.unsaved.len()), (expected, 0));
}

/// A second window looks only, says so, and writes nothing; when the first is gone it can be
/// opened again and written to.
#[test]
fn two_windows_on_one_yard() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let mut first = AtWork::start(&yard, 2);
    assert_eq!(first.safe(), Some(0), "the first one has the yard");

    let mut second = Window::open(&[&yard]);
    second.until("the yard is open", |w| w.app().open_yard().is_some());
    let access = second.app().open_yard().unwrap().access;
    assert_eq!(access, Access::ReadOnly(Why::Locked));
    assert!(
        second.shows("it is open in another window"),
        "{:?}",
        second.texts()
    );
    assert!(
        second.shows("Close the other window"),
        "{:?}",
        second.texts()
    );
    second.press_with(Modifiers::COMMAND, Key::Num2);
    second.until("the film shows", Window::has_picture);
    let marks = second.ride().marks.len();
    second.types("+");
    assert_eq!(second.ride().marks.len(), marks, "nothing is marked");
    assert!(
        second.shows("nothing can be changed"),
        "{:?}",
        second.texts()
    );
    drop(second);

    first.kill_after(5);
    let mut alone = Window::open(&[&yard]);
    alone.until("the yard is open", |w| w.app().open_yard().is_some());
    assert_eq!(alone.app().open_yard().unwrap().access, Access::Write);
}
