//! Opening: as a film is met again, while its index is made, and when nothing of it is in the
//! system's memory.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use reinback_film::{FilmTime, IndexState, Settings, Want};

use crate::tools::{Fault, ROUNDS, Table, Watched, median, ms, timed};

const FIRST: Want = Want::Exact(FilmTime::ZERO);
const BESIDE: &str = "ffmpeg, one frame";

/// To the first picture of a film that was read lately.
pub(crate) fn warm(table: &mut Table, path: &Path) -> Result<(), Fault> {
    let (mut ours, mut beside) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        ours.push(open(path)?);
        beside.push(by_ffmpeg(path)?);
    }
    let what = "opening to the first picture (bound: 300 ms)";
    table.times(what, median(ours), BESIDE, median(beside));
    Ok(())
}

/// The same of a film so long that making its index goes on all the while.
pub(crate) fn indexed(table: &mut Table, path: &Path) -> Result<(), Fault> {
    let (mut ours, mut again, mut beside) = (Vec::new(), Vec::new(), Vec::new());
    let (mut jumps, mut parts, mut done) = (Vec::new(), Vec::new(), false);
    for round in 1..=ROUNDS {
        let folder = tempfile::tempdir().map_err(|error| error.to_string())?;
        let (film, took) = open_indexed(path, folder.path())?;
        ours.push(took);
        again.push(open(path)?);
        let jump = FilmTime::from_secs_f64(600.0 * round as f64);
        let started = Instant::now();
        film.ask(Want::Exact(jump))?;
        jumps.push(started.elapsed());
        beside.push(by_ffmpeg(path)?);
        match film.film.index() {
            IndexState::Building(part) => parts.push(part),
            _ => done = true,
        }
    }
    let made = if done {
        "THE INDEX WAS DONE BEFORE".to_owned()
    } else {
        format!("index then made to {:.0} %", median(parts) * 100.0)
    };
    let beside = median(beside);
    let besides = format!("{BESIDE}, {made}");
    table.times(
        "opening with its index, to the first picture",
        median(ours),
        &besides,
        beside,
    );
    table.times(
        "opening once more while the index is made",
        median(again),
        &besides,
        beside,
    );
    let jumped = ms(median(jumps));
    table.row("a jump while the index is made", &jumped, &made, None);
    Ok(())
}

/// The same of a film of our own making that the system holds nothing of in memory. What the
/// disk itself remembers is not ours to clear.
pub(crate) fn cold(table: &mut Table, path: &Path) -> Result<(), Fault> {
    let (mut ours, mut with_index, mut beside) = (Vec::new(), Vec::new(), Vec::new());
    let mut held = String::new();
    for _ in 0..ROUNDS {
        let folder = tempfile::tempdir().map_err(|error| error.to_string())?;
        match forget(path) {
            Ok(words) => held = words,
            Err(words) => {
                let words = format!("not measured: {words}");
                table.row("opening from the disk", "-", &words, None);
                return Ok(());
            }
        }
        ours.push(open(path)?);
        forget(path)?;
        with_index.push(open_indexed(path, folder.path())?.1);
        forget(path)?;
        beside.push(by_ffmpeg(path)?);
    }
    let beside = median(beside);
    let besides = format!("{BESIDE}, {held}");
    table.times("opening from the disk", median(ours), &besides, beside);
    table.times(
        "opening from the disk with its index",
        median(with_index),
        &besides,
        beside,
    );
    Ok(())
}

fn open(path: &Path) -> Result<Duration, Fault> {
    let started = Instant::now();
    Watched::open(path, Settings::reviewing()).ask(FIRST)?;
    Ok(started.elapsed())
}

fn open_indexed(path: &Path, folder: &Path) -> Result<(Watched, Duration), Fault> {
    let started = Instant::now();
    let film = Watched::open_indexed(path, Settings::reviewing(), folder);
    film.ask(FIRST)?;
    Ok((film, started.elapsed()))
}

fn by_ffmpeg(path: &Path) -> Result<Duration, Fault> {
    let mut program = Command::new("ffmpeg");
    program
        .args(["-v", "error", "-nostdin", "-i"])
        .arg(path)
        .args(["-frames:v", "1", "-f", "null", "-"]);
    timed(&mut program)
}

/// Makes the system drop what it holds of a file (`posix_fadvise(2)`, as the manual of GNU `dd`
/// says how), and tells what it holds still. The file is opened for writing; nothing is written.
fn forget(path: &Path) -> Result<String, Fault> {
    let mut of = std::ffi::OsString::from("of=");
    of.push(path);
    let mut dd = Command::new("dd");
    dd.arg(of)
        .args(["oflag=nocache", "conv=notrunc,fdatasync", "count=0"])
        .args(["status=none"])
        .stdin(Stdio::null());
    let output = dd.output().map_err(|error| format!("dd: {error}"))?;
    if !output.status.success() {
        let words = String::from_utf8_lossy(&output.stderr);
        return Err(format!("dd cannot: {}", words.trim()));
    }
    let fincore = Command::new("fincore")
        .args(["--bytes", "--noheadings", "--output", "RES"])
        .arg(path)
        .output();
    let held = fincore.ok().and_then(|output| {
        let text = String::from_utf8(output.stdout).ok()?;
        text.trim().parse::<u64>().ok()
    });
    Ok(held.map_or_else(
        || "unchecked how much memory holds of it".to_owned(),
        |bytes| format!("{} MiB of it in memory before", bytes >> 20),
    ))
}
