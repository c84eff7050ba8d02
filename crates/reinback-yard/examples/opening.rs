//! How long a yard takes to open and what it weighs, without its index or with it:
//! `cargo run --release -p reinback-yard --example opening -- FOLDER [INDEX]`. Writes nothing into
//! the yard; an index that is named is kept, and used the next time.
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
    let named = std::env::args().nth(2).map(PathBuf::from);
    let index = named.unwrap_or_else(|| index_file(keep.path(), &folder));
    if index.exists() {
        timed("with the index", &folder, &index)?;
        return Ok(());
    }
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
    Ok(())
}

fn timed(how: &str, folder: &Path, index: &Path) -> Result<Opened, Box<dyn Error>> {
    let (began, worked) = (Instant::now(), cpu().unwrap_or(0.0));
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
        "{how}: listed {:.2} s, first rides {:.2} s, {} rides open {:.2} s ({:.2} s of \
         processor), {} MB resident",
        listed.as_secs_f64(),
        first.unwrap_or_default().as_secs_f64(),
        opened.yard.rides.len(),
        seconds(began),
        cpu().unwrap_or(0.0) - worked,
        resident().unwrap_or(0)
    );
    Ok(opened)
}

fn seconds(began: Instant) -> f64 {
    began.elapsed().as_secs_f64()
}

/// Seconds all cores have worked for this program; only Linux tells it so, in hundredths
/// (proc(5), from memory).
fn cpu() -> Option<f64> {
    let stat = fs::read_to_string("/proc/self/stat").ok()?;
    let (_, behind_name) = stat.rsplit_once(") ")?;
    let ticks = behind_name.split_whitespace().skip(11).take(2);
    let ticks: Vec<f64> = ticks.filter_map(|ticks| ticks.parse().ok()).collect();
    Some(ticks.iter().sum::<f64>() / 100.0)
}

/// What the system says this program takes, in MB; only Linux tells it so.
fn resident() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    let kilobytes: u64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kilobytes / 1024)
}
