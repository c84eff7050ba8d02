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
    waits: bool,
    /// How many gestures are begun, and how many of them are safe.
    begun: u64,
    safe: u64,
}

impl AtWork {
    fn start(yard: &Path, seed: u64, way: &str) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_at_work"))
            .arg(yard)
            .arg(seed.to_string())
            .arg(way)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let says = BufReader::new(child.stdout.take().unwrap());
        Self {
            child,
            says,
            waits: way == "waiting",
            begun: 0,
            safe: 0,
        }
    }

    /// Hears the next thing it says; `None` once it is dead.
    fn hear(&mut self) -> Option<()> {
        let mut line = String::new();
        self.says.read_line(&mut line).unwrap();
        // A line that was being written when it died says nothing.
        let whole = line.strip_suffix('\n')?;
        let (what, number) = whole.split_once(' ').unwrap();
        let number = number.parse().unwrap();
        match what {
            "begun" => self.begun = number,
            _ => self.safe = number,
        }
        Some(())
    }

    /// Kills it once so many gestures are safe, or begun where it goes on (on Unix by SIGKILL,
    /// which it cannot hear), and returns how many were safe and begun in the end.
    fn kill_after(mut self, gestures: u64) -> (u64, u64) {
        while gestures > if self.waits { self.safe } else { self.begun } {
            // It works on until it is killed.
            self.hear().unwrap();
        }
        self.child.kill().unwrap();
        while self.hear().is_some() {}
        let status = self.child.wait().unwrap();
        assert!(!status.success(), "it was killed: {status}");
        (self.safe, self.begun)
    }
}

/// Whatever was said to be safe is there after a kill, and the yard is as it was after one of the
/// gestures from then on: at most the one under the hand is lost where each is waited for, and no
/// gesture without those after it where the rider goes on. Each time the yard is opened as the kill
/// before left it.
#[test]
fn a_kill_loses_nothing_that_was_said_to_be_safe() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let mut before = Store::open(&yard).unwrap().yard;
    let (mut brought_back, mut ran_ahead) = (0, 0);
    for seed in 0..KILLS {
        // Somewhere in the first eighty gestures, from the very first on.
        let way = ["waiting", "ahead"][(seed % 2) as usize];
        let (safe, begun) = AtWork::start(&yard, seed, way).kill_after(seed * 37 % 80);
        let mut document = Document::new(before);
        let mut work = Work::new(seed);
        for _ in 0..safe {
            let gesture = work.next(&document).unwrap();
            in_document(&mut document, gesture).unwrap();
        }
        assert!(way == "ahead" || begun <= safe + 1, "it waits for each");
        ran_ahead += u64::from(safe > 0 && begun > safe + 1);
        let opened = Store::open(&yard).unwrap();
        let mut after = safe;
        while opened.yard != *document.yard() {
            assert!(
                after < begun,
                "kill {seed} ({way}) after {safe} safe gestures of {begun} lost some of them: {:?}",
                opened.problems
            );
            let gesture = work.next(&document).unwrap();
            in_document(&mut document, gesture).unwrap();
            after += 1;
        }
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
    println!("{ran_ahead} of {KILLS} kills met several gestures on their way to the disk");
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
    AtWork::start(&yard, 1, "waiting").kill_after(3);
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
    let mut first = AtWork::start(&yard, 2, "waiting");
    first.hear().expect("the first one has the yard");

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
