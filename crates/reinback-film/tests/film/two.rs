//! Two films beside each other, in step, on the memory of one.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex};
use std::time::Instant;

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

/// Looks until there is something; only a hang reaches the limit.
fn until<T>(mut look: impl FnMut() -> Option<T>) -> T {
    let started = Instant::now();
    loop {
        if let Some(found) = look() {
            return found;
        }
        assert!(started.elapsed() < LIMIT, "nothing within {LIMIT:?}");
        std::thread::yield_now();
    }
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

/// As a held key does: each step is asked for while the one before is under way.
#[test]
fn a_held_key_shows_pictures_on_its_way() {
    for alignment in ALIGNMENTS {
        let Some(mut pair) = Pair::open(alignment) else {
            return;
        };
        let from = pair.ask(Want::Exact(FilmTime(3_500_000_000)));
        let (mut shown, mut last) = (0, from);
        for steps in 1..=40 {
            pair.films.want(Want::Step {
                from,
                frames: -steps,
            });
            while let Some(reply) = pair.films.poll() {
                if let PairReply::Shown { frames, .. } = reply {
                    assert!(frames[0].time < last, "{:?}", frames[0].time);
                    last = frames[0].time;
                    shown += 1;
                    pair.check(&frames, last);
                }
            }
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        let before = pair.times[0].iter().rev().copied();
        let to = before.filter(|at| *at < from).nth(39);
        while Some(last) != to {
            if let PairReply::Shown { frames, .. } = pair.reply() {
                last = frames[0].time;
                shown += 1;
            }
        }
        assert!(shown > 1, "pictures come while the key is held");
    }
}

/// Full-size frames come after the pair they belong to, of both films.
#[test]
fn frames_rested_on_come_sharp_in_both_after_the_pair() {
    let Some(mut pair) = Pair::open(ALIGNMENTS[1]) else {
        return;
    };
    let small = Settings {
        max_side: 64,
        full_side: 192,
        ..SETTINGS
    };
    let (ring, bell) = channel();
    let ring = Arc::new(Mutex::new(ring));
    let films = pair.paths.each_ref().map(|path| {
        let ring = Arc::clone(&ring);
        let on_ready = Arc::new(move || {
            let _ = ring.lock().unwrap().send(());
        });
        Film::open(path, small, on_ready)
    });
    pair.films = InStep::new(films, ALIGNMENTS[1], small.cache_bytes);
    pair.bell = bell;
    pair.films.want(Want::Exact(FilmTime(1_700_000_000)));
    let (mut times, mut sharp) = (None, [false, false]);
    while sharp != [true, true] {
        match pair.reply() {
            PairReply::Shown {
                frames,
                exact: true,
                ..
            } => times = Some(frames.map(|frame| frame.time)),
            PairReply::Sharp(side, frame) => {
                let times = times.expect("the pair comes first");
                assert_eq!(frame.time, times[side as usize]);
                assert_eq!(frame.width, 192);
                sharp[side as usize] = true;
            }
            _ => {}
        }
    }
}

#[test]
fn playing_fast_shows_the_newest_frames_of_both() {
    let Some(mut pair) = Pair::open(Alignment {
        rate: 2.0,
        ..ALIGNMENTS[0]
    }) else {
        return;
    };
    pair.ask(Want::Play {
        from: FilmTime::ZERO,
        speed: 4.0,
    });
    let moment = FilmTime(400_000_000);
    let near = |times: [FilmTime; 2]| {
        let there = pair.films.alignment().second_at(moment);
        (moment - times[0]).0 < 200_000_000 && (there - times[1]).0 < 400_000_000
    };
    until(|| {
        let frames = pair.films.latest_cached(moment)?;
        near(frames.map(|frame| frame.time)).then_some(())
    });
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
        let frames = until(|| pair.films.cached(next));
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
        let wanted = Want::Near(FilmTime(millis * 1_000_000));
        pair.films.want(wanted);
        while let Some(reply) = pair.films.poll() {
            if let PairReply::Shown { want, .. } = reply {
                assert_eq!(want, wanted, "an older place is not shown after it");
            }
        }
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
    let side = until(|| match pair.films.poll()? {
        PairReply::Failed(side, _) => Some(side),
        PairReply::Shown { frames, .. } => panic!("{frames:?}"),
        _ => None,
    });
    assert_eq!(side, Side::Second);
    // Nothing is shown in step any more.
    pair.films.want(Want::Step {
        from: FilmTime::ZERO,
        frames: 1,
    });
    assert!(pair.films.poll().is_none());
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
    until(|| (film.cache_bytes_used() > SETTINGS.cache_bytes / 2).then_some(()));
    let [_, other] = Pair::open(ALIGNMENTS[0]).unwrap().films.into_films();
    pair.films = InStep::new([film, other], ALIGNMENTS[0], SETTINGS.cache_bytes);
    let held = pair.films.cache_bytes_used();
    assert!(held <= SETTINGS.cache_bytes + FRAME, "{held} bytes");
    let [film, _] = pair.films.into_films();
    assert!(film.cache_bytes_used() <= SETTINGS.cache_bytes / 2 + FRAME);
}
