//! Films that are rough to their reader: bytes changed at random, times that
//! jump or run backwards, sizes and lengths at the borders, files that go.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use reinback_film::proof::chew;
use reinback_film::{FilmErrorKind, FilmTime, probe};

use crate::support::{Dice, SMALL, Watched, clip};

/// Changed films in all; each is one to four changed bytes.
const FLIPS: usize = 2000;
/// A film that takes longer, twice, is a hang.
const HANG: Duration = Duration::from_secs(2);
/// Kibibytes that all tests of this process together may ever hold.
const MEMORY: u64 = 2 << 20;

const TINY: &str = "-f lavfi -i testsrc2=size=64x48:rate=25:duration=0.4 -pix_fmt yuv420p";
/// The same with sound.
const HEARD: &str = "-f lavfi -i testsrc2=size=64x48:rate=25:duration=0.4 -f lavfi -i \
                     sine=frequency=440:duration=0.4 -pix_fmt yuv420p";

/// Small films of the containers and codings that cameras and phones write.
const SEEDS: [(&str, &str); 8] = [
    ("h264.mp4", "-c:v libx264 -g 4 -bf 2 -c:a aac"),
    (
        "fast.mov",
        "-c:v libx264 -g 4 -movflags +faststart -c:a pcm_s16le",
    ),
    (
        "pieces.mp4",
        "-c:v libx264 -g 4 -movflags +frag_keyframe+empty_moov -c:a aac",
    ),
    (
        "hevc.mp4",
        "-c:v libx265 -x265-params keyint=4:log-level=none -an",
    ),
    ("h264.mkv", "-c:v libx264 -g 4 -bf 2 -c:a ac3"),
    (
        "vp9.webm",
        "-c:v libvpx-vp9 -g 4 -deadline realtime -cpu-used 8 -c:a libopus",
    ),
    ("stream.ts", "-c:v libx264 -g 4 -bf 2 -c:a ac3"),
    ("jpeg.avi", "-c:v mjpeg -q:v 20 -c:a pcm_s16le"),
];

/// The body of the fuzz target in `fuzz/`, over changes that are the same in
/// each run.
#[test]
fn two_thousand_changed_films_neither_stop_nor_hang() {
    let folder = tempfile::tempdir().unwrap();
    let mut dice = Dice(2000);
    let mut seeds = Vec::new();
    for (name, coding) in SEEDS {
        let made = clip(folder.path(), name, &format!("{HEARD} {coding}"));
        seeds.extend(made.map(|path| (path.clone(), std::fs::read(path).unwrap())));
    }
    for number in 0..FLIPS {
        let Some((seed, whole)) = seeds.get(number % seeds.len().max(1)) else {
            return;
        };
        let mut bytes = whole.clone();
        let changes: Vec<(usize, u8)> = (0..=dice.below(4))
            .map(|_| (place(&mut dice, bytes.len()), dice.below(255) as u8 + 1))
            .collect();
        for (at, by) in &changes {
            bytes[*at] ^= by;
        }
        let path = seed.with_file_name(format!("changed_{}", seed.file_name().unwrap().display()));
        std::fs::write(&path, &bytes).unwrap();
        let took = [timed(&path, &changes), Duration::ZERO];
        let again = if took[0] > HANG {
            timed(&path, &changes)
        } else {
            took[1]
        };
        // Some headers keep libav's own parser busy for seconds; `ffprobe` tells how long. Then
        // each of the three times that the film is opened here may take as long.
        assert!(
            again < HANG || again < HANG + 3 * probing(&path),
            "{}: {changes:?}: {again:?}",
            seed.display()
        );
    }
    if let Some(most) = most_memory() {
        assert!(most < MEMORY, "{most} KiB were held at once");
    }
}

/// Half of the changes fall into the first and last bytes, where containers
/// keep their tables.
fn place(dice: &mut Dice, size: usize) -> usize {
    match dice.below(4) {
        0 => dice.below(size.min(512)),
        1 => size - 1 - dice.below(size.min(1024)),
        _ => dice.below(size),
    }
}

fn timed(path: &Path, changes: &[(usize, u8)]) -> Duration {
    let started = Instant::now();
    if let Err(words) = chew(path) {
        panic!("{}: {changes:?}: {words}", path.display());
    }
    started.elapsed()
}

/// How long `ffprobe` takes to open the film.
fn probing(path: &Path) -> Duration {
    let started = Instant::now();
    let opened = std::process::Command::new("ffprobe")
        .args(["-v", "quiet"])
        .arg(path)
        .status();
    opened.map_or(Duration::ZERO, |_| started.elapsed())
}

/// The most memory this process ever held, in KiB (Linux: `proc_pid_status(5)`).
fn most_memory() -> Option<u64> {
    let text = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().strip_suffix("kB")?.trim().parse().ok()
}

/// Steps to the end; the times met, rising.
fn walk(path: &Path) -> Vec<FilmTime> {
    let mut film = Watched::open(path, SMALL).unwrap();
    let mut times = vec![film.exact(FilmTime::ZERO).time];
    assert_eq!(times[0], FilmTime::ZERO);
    loop {
        let last = *times.last().unwrap();
        let next = film.step(last, 1).time;
        if next == last {
            break;
        }
        assert!(next > last, "{}: {next:?} after {last:?}", path.display());
        times.push(next);
        assert!(times.len() < 1000, "{}: no end", path.display());
    }
    times
}

/// Steps from the end to the start; the times met, in that order.
fn walk_back(path: &Path) -> Vec<FilmTime> {
    let mut film = Watched::open(path, SMALL).unwrap();
    let mut times = vec![film.exact(FilmTime::MAX).time];
    loop {
        let last = *times.last().unwrap();
        let before = film.step(last, -1).time;
        if before == last {
            assert_eq!(last, FilmTime::ZERO, "{}", path.display());
            return times;
        }
        assert!(
            before < last,
            "{}: {before:?} before {last:?}",
            path.display()
        );
        times.push(before);
        assert!(times.len() < 1000, "{}: no start", path.display());
    }
}

/// Two recordings in one file, as recorders and `cat` leave them: the second
/// one's times run backwards, or lie far ahead.
#[test]
fn times_that_jump_or_run_backwards_still_rise() {
    let folder = tempfile::tempdir().unwrap();
    let source = format!("{TINY} -c:v libx264 -g 4 -bf 2");
    let ahead = format!("{source} -output_ts_offset 50");
    let (Some(early), Some(late)) = (
        clip(folder.path(), "early.ts", &source),
        clip(folder.path(), "late.ts", &ahead),
    ) else {
        return;
    };
    let joined = |name: &str, parts: [&PathBuf; 2]| {
        let path = folder.path().join(name);
        let bytes: Vec<u8> = parts
            .into_iter()
            .flat_map(|part| std::fs::read(part).unwrap())
            .collect();
        std::fs::write(&path, bytes).unwrap();
        path
    };
    for (name, parts, at_least) in [
        ("jump.ts", [&early, &late], 20),
        ("back.ts", [&late, &early], 10),
        ("repeat.ts", [&early, &early], 10),
    ] {
        let path = joined(name, parts);
        let times = walk(&path);
        let mut back = walk_back(&path);
        back.reverse();
        assert_eq!(back, times, "{name}: backward");
        println!("{name}: {} frames", times.len());
        assert!(times.len() >= at_least, "{name}: {} frames", times.len());
    }
}

/// A time stamp that stands still, and one that leaps and comes back. Which
/// frames come after the leap depends on the way there; order and both ends
/// never do.
#[test]
fn single_odd_times_leave_the_others() {
    let folder = tempfile::tempdir().unwrap();
    let Some(film) = clip(folder.path(), "film.mkv", &format!("{TINY} -c:v mjpeg")) else {
        return;
    };
    for (name, change) in [
        ("still.mkv", "if(eq(N\\,5)\\,PREV_OUTPTS\\,PTS)"),
        ("leap.mkv", "if(eq(N\\,5)\\,PTS+9000\\,PTS)"),
    ] {
        let copy = format!("-i {} -c copy -bsf:v setts=pts={change}", film.display());
        let Some(path) = clip(folder.path(), name, &copy) else {
            continue;
        };
        let times = walk(&path);
        let back = walk_back(&path);
        println!("{name}: {} frames, {} backward", times.len(), back.len());
        assert!(times.len() >= 6 && back.len() >= 6, "{name}");
    }
}

#[test]
fn sizes_and_lengths_at_the_borders() {
    let folder = tempfile::tempdir().unwrap();
    for (name, source, size, at) in [
        (
            "dot.mkv",
            "color=size=1x1:rate=25:duration=1 -c:v ffv1 -pix_fmt yuv444p",
            (1, 1),
            0.5,
        ),
        (
            "wide.mp4",
            "testsrc2=size=7680x4320:rate=25:duration=0.12 -c:v mjpeg -q:v 20 -pix_fmt yuvj420p",
            (7680, 4320),
            0.05,
        ),
        (
            "day.mp4",
            "color=size=16x16:rate=1:duration=28800 -c:v mpeg4 -g 300 -pix_fmt yuv420p",
            (16, 16),
            28_790.0,
        ),
    ] {
        let Some(path) = clip(folder.path(), name, &format!("-f lavfi -i {source}")) else {
            continue;
        };
        let mut film = Watched::open(&path, SMALL).unwrap();
        assert_eq!((film.info.width, film.info.height), size, "{name}");
        let wanted = FilmTime::from_secs_f64(at);
        let frame = film.exact(wanted);
        assert!(wanted - frame.time <= film.info.frame_length(), "{name}");
        assert!(film.exact(FilmTime::MAX).time >= frame.time, "{name}");
    }
}

#[test]
fn a_film_without_a_frame_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let none = format!("{TINY} -c:v libx264 -frames:v 0");
    for name in ["none.mp4", "none.mkv", "none.avi"] {
        let Some(path) = clip(folder.path(), name, &none) else {
            continue;
        };
        let kind = probe(&path).unwrap_err().kind();
        let fit = [
            FilmErrorKind::Damaged,
            FilmErrorKind::NoPicture,
            FilmErrorKind::Empty,
        ];
        assert!(fit.contains(&kind), "{name}: {kind:?}");
    }
}

/// A disk is pulled, or a program puts another film in place: what is shown
/// is the film that was opened, or a word that it is gone.
#[test]
fn a_film_that_goes_while_open_is_never_mistaken() {
    let folder = tempfile::tempdir().unwrap();
    let source =
        "-f lavfi -i testsrc2=size=96x64:rate=25:duration=4 -c:v libx264 -g 10 -pix_fmt yuv420p";
    let other =
        "-f lavfi -i color=red:size=96x64:rate=50:duration=4 -c:v libx264 -g 10 -pix_fmt yuv420p";
    for ending in ["mp4", "ts", "mkv"] {
        let name = format!("film.{ending}");
        let Some(path) = clip(folder.path(), &name, source) else {
            continue;
        };
        let Some(other) = clip(folder.path(), &format!("other.{ending}"), other) else {
            continue;
        };
        for replace in [false, true] {
            let copy = folder.path().join(format!("open.{ending}"));
            std::fs::copy(&path, &copy).unwrap();
            let mut truth = Watched::open(&path, SMALL).unwrap();
            let mut film = Watched::open(&copy, SMALL).unwrap();
            std::fs::remove_file(&copy).unwrap();
            if replace {
                std::fs::copy(&other, &copy).unwrap();
            }
            for place in [3.5, 0.0, 2.0, 0.1] {
                let time = FilmTime::from_secs_f64(place);
                match film.try_exact(time) {
                    Ok(frame) => assert_eq!(frame.rgba, truth.exact(time).rgba, "{name}"),
                    Err(error) => {
                        assert_eq!(error.kind(), FilmErrorKind::NotFound, "{name}");
                        break;
                    }
                }
            }
        }
    }
}
