//! Two films beside each other, in step, on the memory of one.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex};

use reinback_film::{Alignment, Film, FilmTime, Frame, InStep, PairReply, Settings, Side, Want};

use crate::support::{LIMIT, clip, listed};

const FRAME: usize = 192 * 108 * 2;
/// Room for some forty frames of both together, of three hundred.
const SETTINGS: Settings = Settings {
    max_side: 192,
    full_side: 0,
    cache_bytes: 2 * 20 * 192 * 108 * 3 / 2,
    hardware: false,
};

fn made(folder: &Path, name: &str, rate: u32) -> Option<PathBuf> {
    let source = format!(
        "-f lavfi -i testsrc2=size=192x108:rate={rate}:duration=4 -c:v libx264 -g 25 -bf 2 \
         -pix_fmt yuv420p"
    );
    clip(folder, name, &source)
}

/// Two films with a watch on them.
struct Pair {
    films: InStep,
    bell: Receiver<()>,
    times: [Vec<FilmTime>; 2],
    /// The folder the films lie in.
    _folder: tempfile::TempDir,
    paths: [PathBuf; 2],
}

impl Pair {
    /// Films of 25 and 50 pictures a second; `None` without `ffmpeg`.
    fn open(alignment: Alignment) -> Option<Self> {
        let folder = tempfile::tempdir().unwrap();
        let one = made(folder.path(), "one.mp4", 25)?;
        let paths = [one, made(folder.path(), "other.mp4", 50)?];
        let (ring, bell) = channel();
        let ring = Arc::new(Mutex::new(ring));
        let films = paths.each_ref().map(|path| {
            let ring = Arc::clone(&ring);
            let on_ready = Arc::new(move || {
                let _ = ring.lock().unwrap().send(());
            });
            Film::open(path, SETTINGS, on_ready)
        });
        Some(Self {
            films: InStep::new(films, alignment, SETTINGS.cache_bytes),
            bell,
            times: paths.each_ref().map(|path| listed(path)),
            _folder: folder,
            paths,
        })
    }

    fn reply(&mut self) -> PairReply {
        loop {
            match self.films.poll() {
                Some(reply) => return reply,
                None => self.bell.recv_timeout(LIMIT).unwrap(),
            }
        }
    }

    /// The exact frames of a want, checked to be those of one moment, in both
    /// films and within the memory of one.
    fn ask(&mut self, wanted: Want) -> FilmTime {
        self.films.want(wanted);
        let frames = loop {
            match self.reply() {
                PairReply::Shown {
                    want,
                    frames,
                    exact: true,
                } if want == wanted => break frames,
                PairReply::Failed(side, error) => panic!("{side:?}: {error}"),
                _ => {}
            }
        };
        let moment = match wanted {
            Want::Step { .. } => frames[0].time,
            Want::Exact(time) | Want::Near(time) | Want::Play { from: time, .. } => time,
        };
        self.check(&frames, moment);
        frames[0].time
    }

    fn check(&self, frames: &[Arc<Frame>; 2], moment: FilmTime) {
        let there = self.films.alignment().second_at(moment);
        for (at, moment) in [moment, there].into_iter().enumerate() {
            let times = &self.times[at];
            let due = times.iter().rev().find(|time| **time <= moment);
            let due = due.unwrap_or(&times[0]);
            assert_eq!(&frames[at].time, due, "film {at} at {moment:?}");
        }
        let held = self.films.cache_bytes_used();
        assert!(held <= SETTINGS.cache_bytes + 2 * FRAME, "{held} bytes");
    }
}

/// The second film a little later, at its own speed and slowed down to half.
const ALIGNMENTS: [Alignment; 3] = [
    Alignment {
        first: FilmTime::ZERO,
        second: FilmTime::ZERO,
        rate: 1.0,
    },
    Alignment {
        first: FilmTime(500_000_000),
        second: FilmTime(710_000_000),
        rate: 1.0,
    },
    Alignment {
        first: FilmTime(2_000_000_000),
        second: FilmTime(1_030_000_000),
        rate: 0.5,
    },
];

#[test]
fn two_films_show_their_frames_of_one_moment_within_one_limit() {
    for alignment in ALIGNMENTS {
        let Some(mut pair) = Pair::open(alignment) else {
            return;
        };
        // On, back over the border of a group, far away, and past both ends.
        for millis in (0..40)
            .map(|n| n * 37)
            .chain((10..30).rev().map(|n| n * 37))
            .chain([3_700, 90, -400, 5_000])
        {
            pair.ask(Want::Exact(FilmTime(millis * 1_000_000)));
        }
    }
}

#[test]
fn a_step_of_the_first_film_takes_the_second_with_it() {
    for alignment in ALIGNMENTS {
        let Some(mut pair) = Pair::open(alignment) else {
            return;
        };
        let mut time = pair.ask(Want::Exact(FilmTime(1_500_000_000)));
        let here = pair.times[0].iter().position(|at| *at == time).unwrap();
        for expected in pair.times[0][here - 30..here].to_vec().iter().rev() {
            time = pair.ask(Want::Step {
                from: time,
                frames: -1,
            });
            assert_eq!(time, *expected);
        }
        let from = time;
        time = pair.ask(Want::Step { from, frames: 12 });
        assert_eq!(time, pair.times[0][here - 30 + 12]);
        // Past the last frame of the first film.
        pair.ask(Want::Exact(FilmTime(3_960_000_000)));
        pair.ask(Want::Step {
            from: FilmTime(3_960_000_000),
            frames: 1,
        });
        let end = pair.reply();
        let last = FilmTime(3_960_000_000);
        let told = matches!(end, PairReply::AtEnd { side: Side::First, last: at } if at == last);
        assert!(told, "{end:?}");
    }
}

#[test]
fn playing_finds_both_in_memory_or_none() {
    let Some(mut pair) = Pair::open(ALIGNMENTS[1]) else {
        return;
    };
    let mut from = FilmTime(300_000_000);
    for _ in 0..20 {
        pair.ask(Want::Play { from, speed: 1.0 });
        let next = from + FilmTime(80_000_000);
        // Decoding goes on by itself until both have what comes next.
        let frames = loop {
            if let Some(frames) = pair.films.cached(next) {
                break frames;
            }
            std::thread::yield_now();
        };
        pair.check(&frames, next);
        from = next;
    }
}

#[test]
fn while_dragging_the_newest_place_wins_in_both() {
    let Some(mut pair) = Pair::open(ALIGNMENTS[2]) else {
        return;
    };
    for millis in (0..40).map(|n| n * 90) {
        pair.films.want(Want::Near(FilmTime(millis * 1_000_000)));
    }
    let wanted = Want::Near(FilmTime(39 * 90 * 1_000_000));
    let frames = loop {
        if let PairReply::Shown {
            want,
            frames,
            exact: true,
        } = pair.reply()
        {
            assert_eq!(want, wanted, "an older place is not shown after it");
            break frames;
        }
    };
    pair.check(&frames, FilmTime(39 * 90 * 1_000_000));
}

#[test]
fn a_film_that_is_lost_is_told_by_its_side() {
    let Some(mut pair) = Pair::open(ALIGNMENTS[0]) else {
        return;
    };
    pair.ask(Want::Exact(FilmTime::ZERO));
    let [first, _] = pair.films.into_films();
    let gone = Film::open(
        pair.paths[1].with_extension("gone"),
        SETTINGS,
        Arc::new(|| {}),
    );
    pair.films = InStep::new([first, gone], ALIGNMENTS[0], SETTINGS.cache_bytes);
    pair.films.want(Want::Exact(FilmTime(80_000_000)));
    let side = loop {
        match pair.films.poll() {
            Some(PairReply::Failed(side, _)) => break side,
            Some(PairReply::Shown { frames, .. }) => panic!("{frames:?}"),
            _ => std::thread::yield_now(),
        }
    };
    assert_eq!(side, Side::Second);
}

/// One film alone takes all of the memory, and gives half of it back at once.
#[test]
fn a_lower_limit_holds_at_once() {
    let Some(mut pair) = Pair::open(ALIGNMENTS[0]) else {
        return;
    };
    let [film, _] = pair.films.into_films();
    film.hold_at_most(SETTINGS.cache_bytes);
    let play = Want::Play {
        from: FilmTime::ZERO,
        speed: 1.0,
    };
    film.want(play);
    while film.cache_bytes_used() <= SETTINGS.cache_bytes / 2 {
        std::thread::yield_now();
    }
    let [_, other] = Pair::open(ALIGNMENTS[0]).unwrap().films.into_films();
    pair.films = InStep::new([film, other], ALIGNMENTS[0], SETTINGS.cache_bytes);
    let held = pair.films.cache_bytes_used();
    assert!(held <= SETTINGS.cache_bytes + FRAME, "{held} bytes");
    let [film, _] = pair.films.into_films();
    assert!(film.cache_bytes_used() <= SETTINGS.cache_bytes / 2 + FRAME);
}
