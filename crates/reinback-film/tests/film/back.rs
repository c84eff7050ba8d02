//! Ways that save decoding, and what they must not change: skimming on a jump,
//! whole groups of frames behind the hand, and one limit for all memory.

use std::path::Path;
use std::time::Duration;

use reinback_film::proof::{Fault, NativeFrame, Proof};
use reinback_film::{FilmTime, Settings, Want};

use crate::support::{SMALL, Watched, clip, listed, within};

const LONG: &str = "-f lavfi -i testsrc2=size=192x108:rate=25:duration=4 -pix_fmt yuv420p";

/// Films with long ways from a key frame, and whether these can be skimmed.
const WAYS: [(&str, &str, bool); 9] = [
    (
        "pyramid.mp4",
        "-c:v libx264 -g 999 -bf 7 -x264-params b-pyramid=normal:b-adapt=0",
        true,
    ),
    (
        "open.mkv",
        "-c:v libx264 -g 40 -bf 3 -x264-params open-gop=1",
        true,
    ),
    (
        "refresh.mp4",
        "-c:v libx264 -g 40 -bf 2 -x264-params intra-refresh=1",
        true,
    ),
    // Holes longer than what is decoded in full before a wanted frame.
    (
        "holes.mp4",
        "-vf select='lt(mod(n\\,45)\\,12)' -fps_mode vfr -c:v libx264 -g 999 -bf 3",
        true,
    ),
    ("plain.mov", "-c:v libx264 -g 999 -bf 0", true),
    (
        "hevc.mp4",
        "-c:v libx265 -x265-params keyint=999:log-level=none",
        true,
    ),
    (
        "hevc-open.mkv",
        "-c:v libx265 -x265-params keyint=40:bframes=6:log-level=none",
        true,
    ),
    // Frames of the lower layer that are marked unused serve the upper one.
    (
        "hevc-layers.mp4",
        "-c:v libx265 -x265-params keyint=999:temporal-layers=1:log-level=none",
        false,
    ),
    ("stream.ts", "-c:v libx264 -g 999 -bf 3", false),
];

fn forward(path: &Path) -> Vec<NativeFrame> {
    let mut proof = Proof::open(path, 64 << 20).unwrap();
    let mut frames: Vec<_> = proof.at(FilmTime::ZERO).unwrap().into_iter().collect();
    while let Some(next) = proof.after(frames[frames.len() - 1].time).unwrap() {
        frames.push(next);
    }
    assert_eq!(proof.skimmed(), 0, "nothing is left out going forward");
    frames
}

#[test]
fn a_jump_finds_what_forward_decoding_finds() {
    let folder = tempfile::tempdir().unwrap();
    for (name, coding, skims) in WAYS {
        let Some(path) = clip(folder.path(), name, &format!("{LONG} {coding}")) else {
            continue;
        };
        let truth = forward(&path);
        let times: Vec<FilmTime> = truth.iter().map(|frame| frame.time).collect();
        assert_eq!(times.len(), listed(&path).len(), "{name}");
        let mut proof = Proof::open(&path, 0).unwrap();
        let later = |at: usize| match times.get(at + 1) {
            Some(next) => FilmTime(next.0 - 1),
            None => FilmTime::MAX,
        };
        for at in (0..times.len()).rev() {
            for time in [within(&times, at), later(at)] {
                // From the start, so that the way is long.
                proof.at(FilmTime::ZERO).unwrap();
                let found = proof.at(time).unwrap();
                assert_eq!(found, Some(truth[at]), "{name}: frame {at} at {time:?}");
            }
        }
        assert_eq!(proof.skimmed() > 0, skims, "{name}");
    }
}

/// Making a far frame ready lets a newer want in after each frame read, and
/// what was read is not read again.
#[test]
fn reading_ahead_stops_between_any_two_frames() {
    let folder = tempfile::tempdir().unwrap();
    let source = "-f lavfi -i testsrc2=size=96x54:rate=25:duration=12 -pix_fmt yuv420p \
                  -c:v libx264 -g 999 -sc_threshold 0 -bf 0";
    let Some(path) = clip(folder.path(), "film.mp4", source) else {
        return;
    };
    let mut proof = Proof::open(&path, 64 << 20).unwrap();
    let times: Vec<FilmTime> = forward(&path).iter().map(|frame| frame.time).collect();
    assert_eq!(times.len(), 300);
    proof.at(times[0]).unwrap();
    proof.at(times[299]).unwrap();
    // Back at a frame in memory, which reading is far from.
    proof.at(times[0]).unwrap();
    for calls in 1..=28 {
        assert!(!proof.ahead(times[280], 10).unwrap(), "call {calls}");
        assert_eq!(proof.stands_before(), Some(times[10 * calls]));
    }
    assert!(proof.ahead(times[280], 10).unwrap());
    assert_eq!(proof.stands_before(), Some(times[281]));
    // A far want takes over from where it stopped.
    assert!(!proof.ahead(times[200], 1).unwrap());
    assert_eq!(proof.stands_before(), Some(times[1]));
    assert_eq!(proof.at(times[150]).unwrap().unwrap().time, times[150]);
}

/// Bytes that a film's frames take in memory at this size, at most.
const LIMIT: usize = 1 << 20;

/// Stepping back through a film larger than memory, small and full-size frames
/// together: never more than the limit and one frame.
#[test]
fn all_frames_together_stay_within_the_limit() {
    let folder = tempfile::tempdir().unwrap();
    let source = "-f lavfi -i testsrc2=size=320x180:rate=25:duration=4 -c:v libx264 -g 25 -bf 2 \
                  -pix_fmt yuv420p";
    let Some(path) = clip(folder.path(), "film.mp4", source) else {
        return;
    };
    let settings = Settings {
        max_side: 160,
        full_side: 4000,
        cache_bytes: LIMIT,
        hardware: false,
    };
    let mut film = Watched::open(&path, settings).unwrap();
    let mut time = film.exact(FilmTime::MAX).time;
    // A full-size frame: 1.5 bytes a pixel, rows and columns padded.
    let one = 512 * 256 * 3 / 2;
    let mut most = 0;
    while time > FilmTime::ZERO {
        time = film.step(time, -1).time;
        std::thread::sleep(Duration::from_millis(3));
        most = most.max(film.film.cache_bytes_used());
        assert!(most <= LIMIT + one, "{most} bytes at {time:?}");
    }
    assert!(most > LIMIT / 2, "{most} bytes: memory is used");
    film.ask(Want::Play {
        from: FilmTime::ZERO,
        speed: 1.0,
    });
    for _ in 0..50 {
        std::thread::sleep(Duration::from_millis(4));
        let used = film.film.cache_bytes_used();
        assert!(used <= LIMIT + one, "{used} bytes while playing");
    }
}

/// Steps back over one group of frames, which fills memory so many times.
#[test]
fn a_group_of_frames_takes_no_more_passes_than_memories() {
    let folder = tempfile::tempdir().unwrap();
    let Some(path) = clip(
        folder.path(),
        "film.mp4",
        &format!("{LONG} -c:v libx264 -g 999 -bf 2"),
    ) else {
        return;
    };
    let times = listed(&path);
    let small = Settings {
        max_side: 96,
        full_side: 0,
        cache_bytes: 64 << 20,
        hardware: false,
    };
    let frame = {
        let mut one = Watched::open(
            &path,
            Settings {
                cache_bytes: 0,
                ..small
            },
        )
        .unwrap();
        one.exact(FilmTime::ZERO);
        one.film.cache_bytes_used()
    };
    for (parts, passes) in [(0.9, 1), (1.8, 2), (3.7, 4)] {
        let cache_bytes = (frame as f64 * times.len() as f64 / parts) as usize;
        let settings = Settings {
            cache_bytes,
            ..small
        };
        let mut film = Watched::open(&path, settings).unwrap();
        let mut time = film.exact(FilmTime::MAX).time;
        while time > FilmTime::ZERO {
            time = film.step(time, -1).time;
        }
        let found = film.film.passes_back();
        assert!((1..=passes).contains(&found), "{found} passes for {parts}");
    }
}

/// Steps back over a film of one group of frames, which is rested on in full
/// size as [`Settings::reviewing`] does, with `pause` after each step: the
/// passes it took.
fn passes_in_full_size(path: &Path, cache_bytes: usize, pause: Duration) -> u64 {
    let settings = Settings {
        max_side: 96,
        full_side: Settings::reviewing().full_side,
        cache_bytes,
        hardware: false,
    };
    let mut film = Watched::open(path, settings).unwrap();
    let mut time = film.exact(FilmTime::MAX).time;
    while time > FilmTime::ZERO {
        time = film.step(time, -1).time;
        std::thread::sleep(pause);
    }
    film.film.passes_back()
}

/// Full-size frames take passes of their own where each frame is rested on.
/// Each fills half of the quarter of memory that they have, so there are as
/// many as the film has such halves; half as many again may be begun anew
/// where a step comes in between (our own allowance), and one is for the small
/// frames.
#[test]
fn passes_for_full_size_frames_are_counted_and_bounded() {
    const FRAMES: u64 = 50;
    let folder = tempfile::tempdir().unwrap();
    let source = "-f lavfi -i testsrc2=size=192x108:rate=25:duration=2 -pix_fmt yuv420p \
                  -c:v libx264 -g 999 -bf 2";
    let Some(path) = clip(folder.path(), "film.mp4", source) else {
        return;
    };
    assert_eq!(listed(&path).len() as u64, FRAMES);
    // A full-size frame: 1.5 bytes a pixel, rows and columns padded.
    let full = 256 * 136 * 3 / 2;
    for cache_bytes in [1 << 20, 4 << 20] {
        let halves = FRAMES.div_ceil(cache_bytes / 4 / full / 2);
        for (pause, least) in [(0, 1), (100, 2)] {
            let pause = Duration::from_millis(pause);
            let found = passes_in_full_size(&path, usize::try_from(cache_bytes).unwrap(), pause);
            println!("{found} passes in {cache_bytes} bytes, {pause:?} after each of {FRAMES}");
            let most = halves + halves / 2 + 1;
            assert!(
                (least..=most).contains(&found),
                "{found} passes, at most {most}"
            );
        }
    }
}

/// Asked for hardware, a film shows the same frames, whether there is any or
/// not: the standards of these codings leave a decoder no choice.
#[test]
fn asking_for_hardware_changes_no_frame() {
    let folder = tempfile::tempdir().unwrap();
    for (name, coding) in [
        ("film.mp4", "-c:v libx264 -g 25 -bf 2"),
        (
            "hevc.mp4",
            "-c:v libx265 -x265-params keyint=25:log-level=none",
        ),
        ("old.avi", "-c:v mpeg4 -g 12"),
    ] {
        let Some(path) = clip(folder.path(), name, &format!("{LONG} {coding}")) else {
            continue;
        };
        let asked = Settings {
            hardware: true,
            ..SMALL
        };
        let mut plain = Watched::open(&path, SMALL).unwrap();
        let mut film = Watched::open(&path, asked).unwrap();
        for second in [0.0, 2.4, 1.1, 3.9] {
            let time = FilmTime::from_secs_f64(second);
            let (frame, truth) = (film.exact(time), plain.exact(time));
            assert_eq!(frame.time, truth.time, "{name}");
            assert_eq!(frame.rgba, truth.rgba, "{name} at {second}");
        }
    }
}

/// A machine's decoder that fails, at whatever moment and however, costs no
/// frame and is not told as damage of the film.
#[test]
fn software_takes_over_from_failing_hardware() {
    let folder = tempfile::tempdir().unwrap();
    for (name, coding) in [
        ("film.mp4", "-c:v libx264 -g 25 -bf 2"),
        (
            "open.mkv",
            "-c:v libx264 -g 25 -bf 3 -x264-params open-gop=1",
        ),
        ("old.avi", "-c:v mpeg4 -g 12"),
    ] {
        let Some(path) = clip(folder.path(), name, &format!("{LONG} {coding}")) else {
            continue;
        };
        let truth = forward(&path);
        for fault in [Fault::Send, Fault::Receive, Fault::Mute] {
            for after in [0, 1, 7, 40, 99] {
                if fault == Fault::Mute && after > 0 {
                    continue;
                }
                let what = format!("{name}: {fault:?} after {after}");
                let mut proof = Proof::open_failing(&path, 64 << 20, fault, after).unwrap();
                let mut found: Vec<_> = proof.at(FilmTime::ZERO).unwrap().into_iter().collect();
                while let Some(next) = proof.after(found[found.len() - 1].time).unwrap() {
                    found.push(next);
                }
                assert_eq!(found, truth, "{what}");
                assert_eq!(proof.skipped(), 0, "{what}");
                // The fault is met on a jump.
                let mut proof = Proof::open_failing(&path, 0, fault, after).unwrap();
                for at in [60, 5, 99] {
                    let frame = proof.at(truth[at].time).unwrap();
                    assert_eq!(frame, Some(truth[at]), "{what}: frame {at}");
                }
                assert_eq!(proof.skipped(), 0, "{what}");
            }
        }
    }
}
