//! Jumps far and near, and dragging.

use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use reinback_film::proof::Proof;
use reinback_film::{FilmTime, Reply, Settings, Want};

use crate::tools::{Fault, Table, Watched, median, ms, timed};

/// Random places jumped to.
const JUMPS: usize = 11;
/// Moves of a hand that drags, and the time between two.
const MOVES: usize = 60;
const MOVE: Duration = Duration::from_millis(16);

/// Nothing is found in memory, and nothing made ready weighs on the others.
fn forgetful() -> Settings {
    Settings {
        cache_bytes: 0,
        ..Settings::reviewing()
    }
}

pub(crate) fn far(table: &mut Table, path: &Path, length: f64) -> Result<(), Fault> {
    let film = Watched::open(path, forgetful());
    film.ask(Want::Exact(FilmTime::ZERO))?;
    let mut proof = Proof::open(path, 0).map_err(|error| error.to_string())?;
    let (mut ours, mut plain, mut program) = (Vec::new(), Vec::new(), Vec::new());
    for number in 0..JUMPS {
        // The golden ratio's multiples lie evenly and never near the last.
        let place = (0.618_034 * (number + 1) as f64).fract() * length * 0.98;
        let time = FilmTime::from_secs_f64(place);
        let started = Instant::now();
        film.ask(Want::Exact(time))?;
        ours.push(started.elapsed());
        // What is made ready after an answer must not weigh on the others.
        std::thread::sleep(Duration::from_millis(400));
        let started = Instant::now();
        proof.decode_to(time).map_err(|error| error.to_string())?;
        plain.push(started.elapsed());
        if number < 5 {
            program.push(by_ffmpeg(path, place)?);
        }
    }
    let (ours, plain, program) = (median(ours), median(plain), median(program));
    let what = "jump to a random place, median (bound: ratio 1.15)";
    table.times(what, ours, "decoding from the key frame, no more", plain);
    table.times("the same", ours, "ffmpeg -ss", program);
    let frame = film.ask(Want::Exact(FilmTime::ZERO))?;
    let started = Instant::now();
    film.ask(Want::Exact(FilmTime(frame.time.0 + 1)))?;
    let took = ms(started.elapsed());
    table.row("a frame in the cache", &took, "bound: 5 ms", None);
    Ok(())
}

fn by_ffmpeg(path: &Path, place: f64) -> Result<Duration, Fault> {
    let mut program = Command::new("ffmpeg");
    program
        .args(["-v", "error", "-nostdin", "-ss", &place.to_string(), "-i"])
        .arg(path)
        .args(["-frames:v", "1", "-f", "null"])
        .args(["-vf", "scale=1280:-2:flags=bilinear,format=rgba", "-"]);
    timed(&mut program)
}

/// Jumps to the third frame after each of some key frames.
pub(crate) fn near_keys(
    table: &mut Table,
    path: &Path,
    keys: &[f64],
    rate: f64,
) -> Result<(), Fault> {
    let film = Watched::open(path, forgetful());
    film.ask(Want::Exact(FilmTime::ZERO))?;
    let (mut ours, mut program) = (Vec::new(), Vec::new());
    for key in keys.iter().skip(1).take(5) {
        let place = key + 3.2 / rate;
        // From elsewhere, and rested.
        std::thread::sleep(Duration::from_millis(400));
        let started = Instant::now();
        film.ask(Want::Exact(FilmTime::from_secs_f64(place)))?;
        ours.push(started.elapsed());
        program.push(by_ffmpeg(path, place)?);
    }
    if !ours.is_empty() {
        let what = "jump to the third frame after a key frame, median (bound: ratio 0.33)";
        table.times(what, median(ours), "ffmpeg -ss", median(program));
    }
    Ok(())
}

/// A hand that goes over the film in a second, and one that jumps about.
pub(crate) fn dragging(
    table: &mut Table,
    path: &Path,
    keys: &[f64],
    length: f64,
) -> Result<(), Fault> {
    let film = Watched::open(path, Settings::reviewing());
    film.ask(Want::Exact(FilmTime::ZERO))?;
    let (mut answers, mut last, mut exact) = (0, FilmTime::ZERO, false);
    for number in 1..=MOVES {
        last = FilmTime::from_secs_f64(length * 0.9 * number as f64 / MOVES as f64);
        film.film.want(Want::Near(last));
        std::thread::sleep(MOVE);
        for reply in std::iter::from_fn(|| film.film.poll()) {
            answers += usize::from(matches!(reply, Reply::Shown { .. }));
            exact |= is_exact(&reply, last);
        }
    }
    let stopped = Instant::now();
    // The newest position wins: the exact frame that follows is the last one's.
    while !exact {
        exact = is_exact(&film.reply()?, last);
    }
    let what = format!("dragging over the film: pictures for {MOVES} positions");
    let exact = format!(
        "exact frame of the last: {} after it",
        ms(stopped.elapsed())
    );
    table.row(&what, &answers.to_string(), &exact, None);
    let mut proof = Proof::open(path, 0).map_err(|error| error.to_string())?;
    let film = Watched::open(path, forgetful());
    film.ask(Want::Exact(FilmTime::ZERO))?;
    let (mut near, mut key_frame) = (Vec::new(), Vec::new());
    for pair in keys.windows(2).take(5) {
        let place = FilmTime::from_secs_f64(pair[0] + (pair[1] - pair[0]) * 0.7);
        let started = Instant::now();
        film.film.want(Want::Near(place));
        while !matches!(film.reply()?, Reply::Shown { want, .. } if want == Want::Near(place)) {}
        near.push(started.elapsed());
        film.ask(Want::Exact(FilmTime::ZERO))?;
        std::thread::sleep(Duration::from_millis(200));
        let key = FilmTime::from_secs_f64(pair[0]);
        let started = Instant::now();
        proof.decode_to(key).map_err(|error| error.to_string())?;
        key_frame.push(started.elapsed());
    }
    if !near.is_empty() {
        let what = "dragging to a place not in memory: first picture near it, median";
        table.times(
            what,
            median(near),
            "decoding that key frame",
            median(key_frame),
        );
    }
    Ok(())
}

fn is_exact(reply: &Reply, time: FilmTime) -> bool {
    matches!(reply, Reply::Shown { want: Want::Near(near), exact: true, .. } if *near == time)
}
