//! Works on a yard until it is killed: `at_work FOLDER SEED`. After each gesture it waits until the
//! window would say "Saved" and writes "safe N", N being the number of gestures so far.
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
    let mut open = OpenYard::new(Store::open(Path::new(&folder))?, Arc::new(|| ()));
    let mut work = Work::new(seed);
    let mut out = std::io::stdout();
    writeln!(out, "safe 0")?;
    for done in 1_u32.. {
        let gesture = work.next(&open.document).ok_or("the yard has no ride")?;
        // Three gestures a second, so that files are written now and then.
        let now = f64::from(done) / 3.0;
        in_yard(&mut open, gesture, now)?;
        wait_until_safe(&mut open, now)?;
        writeln!(out, "safe {done}")?;
        out.flush()?;
    }
    Ok(())
}

fn wait_until_safe(open: &mut OpenYard, now: f64) -> Result<(), Box<dyn std::error::Error>> {
    let OpenYard {
        document, keeper, ..
    } = open;
    let keeper = keeper.as_mut().ok_or("the yard cannot be written to")?;
    loop {
        keeper.tick(document, now);
        match keeper.safety(document) {
            Safety::Saved | Safety::Journaled => return Ok(()),
            Safety::Failing { what, .. } => return Err(what.into()),
            Safety::Writing => std::thread::sleep(Duration::from_micros(200)),
        }
    }
}
