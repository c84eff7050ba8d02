//! How long a yard takes to open and what it weighs, once without its index and twice with it:
//! `cargo run --release -p reinback-yard --example opening -- FOLDER`. Writes nothing there.
#![expect(clippy::print_stdout, reason = "it is what this program is for")]

use std::error::Error;
use std::fs;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use reinback_yard::{News, Opened, Store, index_file};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(std::env::args().nth(1).ok_or("which folder?")?);
    let keep = tempfile::TempDir::new()?;
    let index = index_file(keep.path(), &folder);
    let opened = timed("without an index", &folder, &index)?;
    if let Some(draft) = &opened.index {
        let began = Instant::now();
        draft.write(&mut |_| ControlFlow::Continue(()))?;
        let size = fs::metadata(&index)?.len();
        println!(
            "index written: {:.2} s, {} MB",
            seconds(began),
            size / 1_000_000
        );
    }
    drop(opened);
    for _ in 0..2 {
        timed("with the index", &folder, &index)?;
    }
    Ok(())
}

fn timed(how: &str, folder: &Path, index: &Path) -> Result<Opened, Box<dyn Error>> {
    let began = Instant::now();
    let (mut listed, mut first) = (Duration::ZERO, None);
    let opened = Store::open_with(folder, Some(index), &mut |news| {
        match news {
            News::Listed(_) => listed = began.elapsed(),
            News::Rides { rides, .. } if !rides.is_empty() => {
                first.get_or_insert_with(|| began.elapsed());
            }
            News::Rides { .. } => {}
        }
        ControlFlow::Continue(())
    })?;
    println!(
        "{how}: listed {:.2} s, first rides {:.2} s, {} rides open {:.2} s, {} MB resident",
        listed.as_secs_f64(),
        first.unwrap_or_default().as_secs_f64(),
        opened.yard.rides.len(),
        seconds(began),
        resident().unwrap_or(0)
    );
    Ok(opened)
}

fn seconds(began: Instant) -> f64 {
    began.elapsed().as_secs_f64()
}

/// What the system says this program takes, in MB; only Linux tells it so.
fn resident() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    let kilobytes: u64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kilobytes / 1024)
}
