//! A frame that is rested on comes again as filmed.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use reinback_film::{FilmTime, Frame, Reply, Settings, Want, thumbnail};

use crate::support::{Watched, appears, clip, listed, within};

const SETTINGS: Settings = Settings {
    max_side: 96,
    full_side: 4000,
    cache_bytes: 12 * 96 * 54 * 4,
    hardware: false,
};

/// Room for the whole film.
const ROOMY: Settings = Settings {
    cache_bytes: 64 << 20,
    ..SETTINGS
};

fn made(folder: &Path) -> Option<PathBuf> {
    let source = "-f lavfi -i testsrc2=size=192x108:rate=25:duration=2 -c:v libx264 -g 12 -bf 2 \
                  -pix_fmt yuv420p";
    clip(folder, "film.mp4", source)
}

/// The next sharp frame, or `None` when none comes for five seconds.
fn sharp(film: &Watched) -> Option<std::sync::Arc<Frame>> {
    let started = Instant::now();
    while started.elapsed() < Duration::from_secs(5) {
        match film.film.poll() {
            Some(Reply::Sharp(frame)) => return Some(frame),
            Some(Reply::Failed(error)) => panic!("{error}"),
            Some(_) => {}
            None => std::thread::sleep(Duration::from_millis(1)),
        }
    }
    None
}

#[track_caller]
fn check(path: &Path, film: &Watched, shown: &Frame) {
    assert_eq!((shown.width, shown.height), (96, 54));
    let frame = sharp(film).expect("no sharp frame");
    assert_eq!(frame.time, shown.time);
    assert_eq!((frame.width, frame.height), (192, 108));
    let truth = thumbnail(path, Some(shown.time), u32::MAX).unwrap();
    assert_eq!(frame.rgba, truth.rgba);
    assert!(film.film.cache_bytes_used() <= SETTINGS.cache_bytes);
}

#[test]
fn every_kind_of_rest_is_sharp() {
    let folder = tempfile::tempdir().unwrap();
    let Some(path) = made(folder.path()) else {
        return;
    };
    let times = listed(&path);
    let mut film = Watched::open(&path, SETTINGS).unwrap();
    let frame = film.exact(within(&times, 20));
    check(&path, &film, &frame);
    // Back to a frame that the cache answers, forward to one not decoded yet.
    for frames in [-1, -1, 1, 5, -9] {
        let frame = film.step(frame.time, frames);
        check(&path, &film, &frame);
    }
    let frame = film.ask(Want::Near(within(&times, 33)));
    check(&path, &film, &frame);
}

/// A held key: the sharp frame is that of the last step, whatever was between.
#[test]
fn after_many_steps_the_last_is_sharp() {
    let folder = tempfile::tempdir().unwrap();
    let Some(path) = made(folder.path()) else {
        return;
    };
    let times = listed(&path);
    let mut film = Watched::open(&path, SETTINGS).unwrap();
    let mut shown = film.exact(within(&times, 30));
    for _ in 0..12 {
        shown = film.step(shown.time, -1);
    }
    let mut last = sharp(&film).expect("no sharp frame");
    while last.time != shown.time {
        last = sharp(&film).expect("no sharp frame of the last step");
    }
    assert_eq!(shown.time, times[18]);
}

/// Where the frame shown is as large as filmed, resting brings no other. Rest is seen by what
/// is made ready then: more frames ahead than while the hand moves, after the sharp frame.
#[test]
fn a_small_film_brings_no_second_frame() {
    let folder = tempfile::tempdir().unwrap();
    let Some(path) = made(folder.path()) else {
        return;
    };
    let times = listed(&path);
    let as_filmed = Settings {
        max_side: 192,
        ..ROOMY
    };
    for (settings, expected) in [(as_filmed, 0), (ROOMY, 1)] {
        let mut film = Watched::open(&path, settings).unwrap();
        film.exact(FilmTime::ZERO);
        appears(&film, within(&times, 20));
        assert_eq!(count_sharp(&film), expected, "at {}", settings.max_side);
    }
}

/// Playing brings none either, not even once it has come to the end and as much time has gone by
/// as another film, at rest since then, needs to bring its own.
#[test]
fn playing_brings_no_second_frame() {
    let folder = tempfile::tempdir().unwrap();
    let Some(path) = made(folder.path()) else {
        return;
    };
    let mut resting = Watched::open(&path, ROOMY).unwrap();
    let mut played = Watched::open(&path, ROOMY).unwrap();
    let from = FilmTime::ZERO;
    played.ask(Want::Play { from, speed: 1.0 });
    loop {
        match played.reply() {
            Reply::AtEnd { .. } => break,
            Reply::Sharp(frame) => panic!("sharp while playing, at {:?}", frame.time),
            _ => {}
        }
    }
    resting.exact(FilmTime::ZERO);
    sharp(&resting).expect("no sharp frame at rest");
    assert_eq!(count_sharp(&played), 0);
}

/// Sharp frames among the replies that are there.
fn count_sharp(film: &Watched) -> usize {
    let replies = std::iter::from_fn(|| film.film.poll());
    let sharp = replies.filter(|reply| matches!(reply, Reply::Sharp(_)));
    sharp.count()
}

/// Where memory takes only a few frames, and one as filmed takes more than a
/// quarter of it, playing still comes from each frame to the next, up to the
/// end, without one that was made ready being lost again.
#[test]
fn playing_in_little_memory_reaches_the_end() {
    let folder = tempfile::tempdir().unwrap();
    let Some(path) = made(folder.path()) else {
        return;
    };
    let times = listed(&path);
    let one = {
        let cache_bytes = 0;
        let none = Settings {
            cache_bytes,
            full_side: 0,
            ..SETTINGS
        };
        let mut film = Watched::open(&path, none).unwrap();
        film.exact(FilmTime::ZERO);
        film.film.cache_bytes_used()
    };
    for tenths in [20, 22, 26, 30, 34, 38, 45] {
        let settings = Settings {
            cache_bytes: one * tenths / 10,
            ..SETTINGS
        };
        let mut film = Watched::open(&path, settings).unwrap();
        film.exact(FilmTime::ZERO);
        // The full-size frame is in memory too.
        sharp(&film).expect("no sharp frame");
        for pair in times.windows(2) {
            let from = FilmTime(pair[0].0 + 2000);
            film.ask(Want::Play { from, speed: 1.0 });
            let next = FilmTime(pair[1].0 + 2000);
            let started = Instant::now();
            while film.film.cached(next).is_none() {
                let stands = started.elapsed() > Duration::from_secs(10);
                assert!(!stands, "stands still at {from:?} with {tenths} tenths");
                std::thread::sleep(Duration::from_micros(200));
            }
        }
    }
}
