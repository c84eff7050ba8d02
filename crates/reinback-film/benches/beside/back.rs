//! Going back frame by frame, and resting.

use std::path::Path;
use std::time::{Duration, Instant};

use reinback_film::{FilmInfo, FilmTime, Settings, Want};

use crate::tools::{Fault, Table, Watched, median, ms};

/// Frames that a held key steps back over.
const BACK: u32 = 240;
/// Seconds of film stepped back over without pause, at least.
const BACK_SECONDS: f64 = 8.0;
/// A held key repeats about this often (our own choice).
const REPEAT: Duration = Duration::from_millis(33);
/// The key is held after this long, by which a hand has come to it.
const REACH: Duration = Duration::from_millis(600);

/// Over whole groups of frames, after a moment's rest, as fast as answers come.
pub(crate) fn stepping(
    table: &mut Table,
    path: &Path,
    keys: &[f64],
    rate: f64,
) -> Result<(), Fault> {
    let film = Watched::open(path, Settings::reviewing());
    // From the frame before the last key frame back to another: whole groups.
    let Some(last) = keys.last() else {
        return Ok(());
    };
    let far = |key: &&f64| last - **key >= BACK_SECONDS;
    let first = keys.iter().rev().find(far).or(keys.first());
    let first = FilmTime::from_secs_f64(first.copied().unwrap_or(0.0) + 0.001);
    let mut time = jump(&film, last - 0.001)?;
    std::thread::sleep(REACH);
    let (started, mut longest, mut count) = (Instant::now(), Duration::ZERO, 0);
    while time > first && time > FilmTime::ZERO {
        let step = Instant::now();
        time = film.back(time)?;
        longest = longest.max(step.elapsed());
        count += 1;
    }
    let each = started.elapsed() / count.max(1);
    let played = Duration::from_secs_f64(1.0 / rate);
    let what = format!(
        "a step back over whole groups, mean of {count} without pause (longest {}, a group of frames)",
        ms(longest)
    );
    table.times(&what, each, "a frame handed out while playing", played);
    Ok(())
}

fn jump(film: &Watched, place: f64) -> Result<FilmTime, Fault> {
    let wanted = Want::Exact(FilmTime::from_secs_f64(place));
    Ok(film.ask(wanted)?.time)
}

/// Holds a key for `frames` steps back; the waits, and where it ends.
fn hold(film: &Watched, from: FilmTime, frames: u32) -> Result<(Vec<Duration>, FilmTime), Fault> {
    let (mut time, mut waits) = (from, Vec::new());
    for _ in 0..frames {
        let step = Instant::now();
        time = film.back(time)?;
        waits.push(step.elapsed());
        std::thread::sleep(REPEAT.saturating_sub(step.elapsed()));
        if time <= FilmTime::ZERO {
            break;
        }
    }
    Ok((waits, time))
}

/// A key held after a moment's rest: halts at the borders of groups, and the
/// sharp frame once it is let go.
pub(crate) fn held_key(table: &mut Table, path: &Path, length: f64) -> Result<(), Fault> {
    let film = Watched::open(path, Settings::reviewing());
    let from = jump(&film, length * 0.8)?;
    std::thread::sleep(REACH);
    let (waits, time) = hold(&film, from, BACK)?;
    let halts = waits.iter().filter(|wait| **wait > REPEAT).count();
    let longest = waits.iter().max().copied().unwrap_or_default();
    table.row(
        &format!(
            "a key held for {} steps back, 30 a second: longest wait",
            waits.len()
        ),
        &ms(longest),
        &format!("steps later than the key: {halts}"),
        None,
    );
    if film_enlarges(&film, time)? {
        let took = film.sharp(time)?;
        table.row("sharp after it is let go", &ms(took), "bound: 150 ms", None);
    }
    Ok(())
}

fn film_enlarges(film: &Watched, time: FilmTime) -> Result<bool, Fault> {
    let frame = film.ask(Want::Exact(time))?;
    let largest = Settings::reviewing().max_side;
    Ok(frame.width.max(frame.height) == largest)
}

/// Steps back over a whole group of frames that memory holds two fifths of,
/// and one that it holds whole; then the same as a film is reviewed.
pub(crate) fn passes(table: &mut Table, path: &Path, keys: &[f64], rate: f64) -> Result<(), Fault> {
    let Some(pair) = keys.windows(2).next() else {
        return Ok(());
    };
    let frames = ((pair[1] - pair[0]) * rate).round();
    let probe = Watched::open(
        path,
        Settings {
            full_side: 0,
            ..Settings::reviewing()
        },
    );
    probe.ask(Want::Exact(FilmTime::ZERO))?;
    let group = frames as usize * probe.film.cache_bytes_used();
    let full = Settings::reviewing().full_side;
    for (what, cache_bytes, full_side) in [
        ("that fits", group * 2, 0),
        ("of two and a half caches", group * 2 / 5, 0),
        ("that fits, full-size frames beside it", group * 2, full),
        (
            "of two and a half caches, full-size frames beside it",
            group * 2 / 5,
            full,
        ),
    ] {
        let settings = Settings {
            cache_bytes,
            full_side,
            ..Settings::reviewing()
        };
        let film = Watched::open(path, settings);
        let mut time = jump(&film, pair[1] - 0.5 / rate)?;
        let first = FilmTime::from_secs_f64(pair[0] + 0.5 / rate);
        let before = film.film.passes_back();
        while time > first {
            time = film.back(time)?;
        }
        let passes = film.film.passes_back() - before;
        // Full-size frames take a quarter of the memory; passes for them count too.
        let room = if full_side == 0 {
            cache_bytes
        } else {
            cache_bytes / 4 * 3
        };
        let bound = format!("bound: {}", group.div_ceil(room));
        table.row(
            &format!("passes to step back over a group of frames {what}"),
            &passes.to_string(),
            &bound,
            None,
        );
    }
    Ok(())
}

/// From the small picture to the sharp one, after a jump and after steps back.
pub(crate) fn resting(table: &mut Table, path: &Path, info: &FilmInfo) -> Result<(), Fault> {
    let settings = Settings::reviewing();
    if info.width.max(info.height) <= settings.max_side {
        table.row(
            "the frame rested on",
            "as large as filmed at once",
            "-",
            None,
        );
        return Ok(());
    }
    let film = Watched::open(path, settings);
    let mut time = jump(&film, info.duration.as_secs_f64() * 0.7)?;
    let took = film.sharp(time)?;
    table.row("sharp after a jump", &ms(took), "bound: 150 ms", None);
    let mut waits = Vec::new();
    for _ in 0..7 {
        for _ in 0..3 {
            time = film.back(time)?;
        }
        waits.push(film.sharp(time)?);
    }
    let longest = waits.iter().max().copied().unwrap_or_default();
    let what = format!("sharp after steps back, median (longest {})", ms(longest));
    table.row(&what, &ms(median(waits)), "bound: 150 ms", None);
    Ok(())
}
