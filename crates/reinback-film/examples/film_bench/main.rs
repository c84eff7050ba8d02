//! How long a rider waits, beside what the `ffmpeg` program needs for the same
//! film on the same machine in the same minute.
//!
//! `film_bench [--into PAGE] [FILE...]` prints a table a film; without films it
//! makes the usual ones with `ffmpeg` first. Ratios are told with what they
//! compare. With `--into` the tables also replace those of a page, between the
//! two marks it has for them.

mod back;
mod forward;
mod jumps;
mod tools;

use std::path::{Path, PathBuf};
use std::process::Command;

use tools::{Fault, Table, run};

/// Name and `ffmpeg` arguments of the usual films.
const USUAL: [(&str, &str); 4] = [
    (
        "1080p30 H.264, key each 2 s",
        "-f lavfi -i testsrc2=size=1920x1080:rate=30:duration=20 -c:v libx264 -preset veryfast -g 60 -bf 2",
    ),
    (
        "1080p30 H.264, key each 10 s",
        "-f lavfi -i testsrc2=size=1920x1080:rate=30:duration=20 -c:v libx264 -preset veryfast -g 300 \
         -keyint_min 300 -sc_threshold 0 -bf 2",
    ),
    (
        "4K30 H.264, key each 2 s",
        "-f lavfi -i testsrc2=size=3840x2160:rate=30:duration=10 -c:v libx264 -preset ultrafast -g 60 -bf 2",
    ),
    (
        "1080p30 HEVC, key each 2 s",
        "-f lavfi -i testsrc2=size=1920x1080:rate=30:duration=10 -c:v libx265 -preset ultrafast \
         -x265-params keyint=60:log-level=none",
    ),
];

/// The usual 4K film that is made an hour long, and how often it is repeated.
const HOUR: (usize, &str) = (2, "359");
const START_MARK: &str = "<!-- film-bench: made by the command, not by hand -->\n";
const END_MARK: &str = "<!-- film-bench ends -->\n";

fn main() {
    if let Err(fault) = measure() {
        tools::say(&format!("stopped: {fault}"));
        std::process::exit(1);
    }
}

fn measure() -> Result<(), Fault> {
    let mut named: Vec<PathBuf> = Vec::new();
    let mut page = None;
    let mut words = std::env::args_os().skip(1);
    while let Some(word) = words.next() {
        if word == "--into" {
            page = Some(PathBuf::from(words.next().ok_or("--into needs a page")?));
        } else {
            named.push(PathBuf::from(word));
        }
    }
    let mut table = Table::default();
    if named.is_empty() {
        usual(&mut table)?;
    }
    for path in named {
        bench(&mut table, &path.display().to_string(), &path)?;
    }
    page.map_or(Ok(()), |page| write_into(&page, &table.text))
}

/// Replaces what a page has between its two marks.
fn write_into(page: &Path, tables: &str) -> Result<(), Fault> {
    let fault = |error: std::io::Error| format!("{}: {error}", page.display());
    let text = std::fs::read_to_string(page).map_err(fault)?;
    let parts = text
        .split_once(START_MARK)
        .and_then(|(before, rest)| Some((before, rest.split_once(END_MARK)?.1)));
    let (before, after) = parts.ok_or_else(|| format!("{}: no marks", page.display()))?;
    let whole = format!("{before}{START_MARK}{tables}\n{END_MARK}{after}");
    std::fs::write(page, whole).map_err(fault)
}

fn usual(table: &mut Table) -> Result<(), Fault> {
    let folder = tempfile::tempdir().map_err(|error| error.to_string())?;
    for (number, (name, arguments)) in USUAL.iter().enumerate() {
        let path = folder.path().join(format!("{number}.mp4"));
        let mut made = Command::new("ffmpeg");
        made.args(["-v", "error", "-nostdin", "-y"])
            .args(arguments.split_whitespace())
            .args(["-pix_fmt", "yuv420p"])
            .arg(&path);
        run(&mut made)?;
        bench(table, name, &path)?;
        if number == HOUR.0 {
            let long = folder.path().join("hour.mp4");
            let mut made = Command::new("ffmpeg");
            made.args([
                "-v",
                "error",
                "-nostdin",
                "-y",
                "-stream_loop",
                HOUR.1,
                "-i",
            ])
            .arg(&path)
            .args(["-c", "copy"])
            .arg(&long);
            run(&mut made)?;
            table.head("An hour of the 4K film");
            forward::opening(table, &long)?;
            std::fs::remove_file(&long).map_err(|error| error.to_string())?;
        }
    }
    Ok(())
}

fn bench(table: &mut Table, name: &str, path: &Path) -> Result<(), Fault> {
    table.head(name);
    let info = reinback_film::probe(path).map_err(|error| error.to_string())?;
    let length = info.duration.as_secs_f64();
    let keys = tools::keys(path)?;
    // First, while the process is still small.
    let rate = forward::playing(table, path, (length * info.average_rate).round().max(1.0))?;
    forward::opening(table, path)?;
    jumps::far(table, path, length)?;
    jumps::near_keys(table, path, &keys, info.average_rate)?;
    jumps::dragging(table, path, &keys, length)?;
    back::stepping(table, path, length, rate)?;
    back::held_key(table, path, length)?;
    back::passes(table, path, &keys, info.average_rate)?;
    back::resting(table, path, &info)
}
