//! Works on a yard until it is killed: `at_work FOLDER SEED [ahead]`. It writes "begun N" before its
//! Nth gesture, and "safe N" when the window would say "Saved" after N of them. It waits for that
//! after each gesture, or goes on like a rider, who does not.
//!
//! The journeys kill it; nothing else is it good for.

use std::io::Write as _;
use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;
use std::time::Duration;

use reinback::keeper::Safety;
use reinback::open_yard::OpenYard;
use reinback_tests::work::{Work, in_yard};
use reinback_yard::Store;

/// A rider who goes on makes so many gestures at once,
const AT_ONCE: u32 = 3;
/// and then none for so long, in which they mostly get to the disk.
const BETWEEN: Duration = Duration::from_millis(12);

#[expect(clippy::print_stderr, reason = "a program for the terminal")]
fn main() -> ExitCode {
    match work() {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("at_work: {why}");
            ExitCode::FAILURE
        }
    }
}

fn work() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder = arguments.next().ok_or("a yard's folder is missing")?;
    let seed: u64 = arguments.next().ok_or("a seed is missing")?.parse()?;
    let ahead = arguments.next().is_some_and(|way| way == "ahead");
    let mut open = OpenYard::new(Store::open(Path::new(&folder))?, Arc::new(|| ()));
    let mut work = Work::new(seed);
    let mut out = std::io::stdout();
    writeln!(out, "safe 0")?;
    for done in 1_u32.. {
        let gesture = work.next(&open.document).ok_or("the yard has no ride")?;
        // Three gestures a second, so that files are written now and then.
        let now = f64::from(done) / 3.0;
        writeln!(out, "begun {done}")?;
        in_yard(&mut open, gesture, now)?;
        if ahead && done.is_multiple_of(AT_ONCE) {
            std::thread::sleep(BETWEEN);
        }
        let mut safe = is_safe(&mut open, now)?;
        while !safe && !ahead {
            std::thread::sleep(Duration::from_micros(200));
            safe = is_safe(&mut open, now)?;
        }
        if safe {
            writeln!(out, "safe {done}")?;
        }
        out.flush()?;
    }
    Ok(())
}

/// Whether the window would say "Saved".
fn is_safe(open: &mut OpenYard, now: f64) -> Result<bool, Box<dyn std::error::Error>> {
    let OpenYard {
        document, keeper, ..
    } = open;
    let keeper = keeper.as_mut().ok_or("the yard cannot be written to")?;
    keeper.tick(document, now);
    match keeper.safety(document) {
        Safety::Saved | Safety::Journaled => Ok(true),
        Safety::Failing { what, .. } => Err(what.into()),
        Safety::Writing => Ok(false),
    }
}
