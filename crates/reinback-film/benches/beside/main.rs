//! How long a rider waits, beside what the `ffmpeg` program needs for the same
//! film on the same machine in the same minute.
//!
//! `cargo bench -p reinback-film` makes the usual films with `ffmpeg` and prints
//! a table of each; a word behind `--` keeps those whose name contains it, and a
//! path is a film of one's own instead. Ratios are told with what they compare.
//! With `--into PAGE` the tables also replace those of a page, between the two
//! marks it has for them.

mod back;
mod forward;
mod jumps;
mod opening;
mod tools;

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;

use tools::{Fault, Table, run};

/// A film that `ffmpeg` makes.
struct Usual {
    name: &'static str,
    arguments: &'static str,
    /// How often it is repeated; a film that is, is only opened.
    repeats: u32,
}

const fn usual(name: &'static str, arguments: &'static str, repeats: u32) -> Usual {
    Usual {
        name,
        arguments,
        repeats,
    }
}

const USUAL: [Usual; 6] = [
    usual(
        "1080p30 H.264, key each 2 s",
        "testsrc2=size=1920x1080:rate=30:duration=20 -c:v libx264 -preset veryfast -g 60 -bf 2",
        0,
    ),
    usual(
        "1080p30 H.264, key each 10 s",
        "testsrc2=size=1920x1080:rate=30:duration=20 -c:v libx264 -preset veryfast -g 300 \
         -keyint_min 300 -sc_threshold 0 -bf 2",
        0,
    ),
    usual(
        "4K30 H.264, key each 2 s",
        "testsrc2=size=3840x2160:rate=30:duration=10 -c:v libx264 -preset ultrafast -g 60 -bf 2",
        0,
    ),
    // In less detail, so that the hour takes no more room than one that was filmed.
    usual(
        "An hour of 4K30 H.264, key each 2 s",
        "testsrc2=size=3840x2160:rate=30:duration=10 -c:v libx264 -preset ultrafast -g 60 -bf 2 \
         -crf 31",
        359,
    ),
    usual(
        "4K30 H.264, key each 10 s",
        "testsrc2=size=3840x2160:rate=30:duration=13 -c:v libx264 -preset ultrafast -g 300 \
         -keyint_min 300 -sc_threshold 0 -bf 2",
        0,
    ),
    usual(
        "1080p30 HEVC, key each 2 s",
        "testsrc2=size=1920x1080:rate=30:duration=10 -c:v libx265 -preset ultrafast \
         -x265-params keyint=60:log-level=none",
        0,
    ),
];

const START_MARK: &str = "<!-- film-bench: made by the command, not by hand -->\n";
const END_MARK: &str = "<!-- film-bench ends -->\n";

fn main() {
    let words: Vec<OsString> = std::env::args_os().skip(1).collect();
    // `cargo test --all-targets` starts it too, without this word.
    if !words.iter().any(|word| word == "--bench") {
        return;
    }
    let words = words.into_iter().filter(|word| word != "--bench");
    if let Err(fault) = measure(words) {
        tools::say(&format!("stopped: {fault}"));
        std::process::exit(1);
    }
}

fn measure(mut words: impl Iterator<Item = OsString>) -> Result<(), Fault> {
    let (mut films, mut names) = (Vec::new(), Vec::new());
    let mut page = None;
    while let Some(word) = words.next() {
        let path = PathBuf::from(&word);
        if word == "--into" {
            page = Some(PathBuf::from(words.next().ok_or("--into needs a page")?));
        } else if path.is_file() {
            films.push(path);
        } else {
            names.push(word.to_string_lossy().into_owned());
        }
    }
    let mut table = Table::default();
    let wanted = |film: &&Usual| names.iter().any(|name| film.name.contains(name));
    let all = names.is_empty() && films.is_empty();
    if let Some(unknown) = names
        .iter()
        .find(|name| !USUAL.iter().any(|film| film.name.contains(*name)))
    {
        return Err(format!(
            "{unknown} is neither a film nor the name of a usual one"
        ));
    }
    if page.is_some() && !all {
        return Err("--into needs all of the usual films: it replaces every table".into());
    }
    for film in USUAL.iter().filter(|film| all || wanted(film)) {
        film.measure(&mut table)?;
    }
    for path in films {
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

impl Usual {
    fn measure(&self, table: &mut Table) -> Result<(), Fault> {
        let folder = tempfile::tempdir().map_err(|error| error.to_string())?;
        let path = folder.path().join("film.mp4");
        let mut made = ffmpeg();
        made.args(["-f", "lavfi", "-i"])
            .args(self.arguments.split_whitespace())
            .args(["-pix_fmt", "yuv420p"]);
        run(made.arg(&path))?;
        if self.repeats == 0 {
            return bench(table, self.name, &path);
        }
        let long = folder.path().join("long.mp4");
        let mut made = ffmpeg();
        made.args(["-stream_loop", &self.repeats.to_string(), "-i"])
            .arg(&path)
            .args(["-c", "copy"]);
        table.head(self.name);
        if let Err(fault) = run(made.arg(&long)) {
            // It takes sixteen gigabytes, which not every machine has to spare.
            let words = format!("not measured, it could not be made: {fault}");
            table.row("opening", "-", &words, None);
            return Ok(());
        }
        opening::warm(table, &long)?;
        opening::indexed(table, &long)?;
        opening::cold(table, &long)
    }
}

fn ffmpeg() -> Command {
    let mut command = Command::new("ffmpeg");
    command.args(["-v", "error", "-nostdin", "-y"]);
    command
}

fn bench(table: &mut Table, name: &str, path: &Path) -> Result<(), Fault> {
    table.head(name);
    let info = reinback_film::probe(path).map_err(|error| error.to_string())?;
    let length = info.duration.as_secs_f64();
    let keys = tools::keys(path)?;
    // First, while the process is still small.
    let rate = forward::playing(table, path, (length * info.average_rate).round().max(1.0))?;
    opening::warm(table, path)?;
    jumps::far(table, path, length)?;
    jumps::near_keys(table, path, &keys, info.average_rate)?;
    jumps::dragging(table, path, &keys, length)?;
    back::stepping(table, path, &keys, rate)?;
    back::held_key(table, path, length)?;
    back::passes(table, path, &keys, info.average_rate)?;
    back::resting(table, path, &info)
}
