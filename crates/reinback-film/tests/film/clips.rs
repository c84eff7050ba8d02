//! Clips made at test time by the `ffmpeg` program, listed by `ffprobe`: the
//! same questions as for real films, where those are absent.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use reinback_film::{FilmTime, Frame, Reply, Settings, Want, probe, thumbnail};

use crate::support::{
    Dice, SMALL, Watched, appears, clip, likeness, listed, same_time, thumb, within,
};

const PICTURE: &str = "-f lavfi -i testsrc2=size=192x108:rate=25:duration=2";

/// Codings, containers and time lines, each with what makes it hard.
const CLIPS: [(&str, &str); 9] = [
    ("h264_b.mp4", "-c:v libx264 -g 12 -bf 3 -pix_fmt yuv420p"),
    (
        "h264_open_gop.mkv",
        "-c:v libx264 -g 12 -bf 3 -x264-params open-gop=1 -pix_fmt yuv420p",
    ),
    (
        "hevc_10bit.mp4",
        "-c:v libx265 -x265-params keyint=12:log-level=none -pix_fmt yuv420p10le",
    ),
    (
        "vfr.mp4",
        "-vf select='lt(mod(n\\,7)\\,4)' -fps_mode vfr -c:v libx264 -g 12 -bf 2 -pix_fmt yuv420p",
    ),
    (
        "late.mp4",
        "-c:v libx264 -bf 2 -g 25 -pix_fmt yuv420p -output_ts_offset 7.3",
    ),
    ("stream.ts", "-c:v libx264 -bf 2 -g 12 -pix_fmt yuv420p"),
    (
        "web.webm",
        "-c:v libvpx-vp9 -g 12 -deadline realtime -cpu-used 8 -pix_fmt yuv420p",
    ),
    ("old.avi", "-c:v mpeg4 -g 12"),
    ("one_key.mov", "-c:v libx264 -g 999 -bf 3 -pix_fmt yuv420p"),
];

fn made(folder: &Path, name: &str, coding: &str) -> Option<(PathBuf, Vec<FilmTime>)> {
    let path = clip(folder, name, &format!("{PICTURE} {coding}"))?;
    let times = listed(&path);
    assert!(
        times.len() > 20,
        "{name}: ffprobe lists {} frames",
        times.len()
    );
    Some((path, times))
}

#[track_caller]
fn check(name: &str, frame: &Frame, expected: FilmTime) {
    let found = frame.time;
    assert!(
        same_time(found, expected),
        "{name}: {found:?} instead of {expected:?}"
    );
}

#[test]
fn every_frame_is_reached_forward_backward_and_at_random() {
    let folder = tempfile::tempdir().unwrap();
    for (name, coding) in CLIPS {
        let Some((path, times)) = made(folder.path(), name, coding) else {
            continue;
        };
        let mut film = Watched::open(&path, SMALL).unwrap();
        let mut forward = vec![film.exact(FilmTime::ZERO)];
        for at in 1..times.len() {
            forward.push(film.step(within(&times, at - 1), 1));
            check(name, &forward[at], times[at]);
        }
        // A second film, so that nothing is in its cache.
        let mut film = Watched::open(&path, SMALL).unwrap();
        let mut back = film.exact(FilmTime::MAX);
        for at in (0..times.len()).rev() {
            check(name, &back, times[at]);
            assert_eq!(
                back.rgba, forward[at].rgba,
                "{name}: frame {at} differs backward"
            );
            back = film.step(within(&times, at), -1);
        }
        let mut dice = Dice(3);
        for _ in 0..12 {
            let mut film = Watched::open(&path, SMALL).unwrap();
            let at = dice.below(times.len());
            let frame = film.exact(within(&times, at));
            check(name, &frame, times[at]);
            assert_eq!(
                frame.rgba, forward[at].rgba,
                "{name}: frame {at} differs after a jump"
            );
        }
    }
}

#[test]
fn long_steps_land_where_single_steps_do() {
    let folder = tempfile::tempdir().unwrap();
    let Some((path, times)) = made(folder.path(), CLIPS[0].0, CLIPS[0].1) else {
        return;
    };
    let mut film = Watched::open(&path, SMALL).unwrap();
    for (from, frames, expected) in [
        (3, 10, 13),
        (20, -10, 10),
        (5, 0, 5),
        (40, 100, times.len() - 1),
        (4, -100, 0),
    ] {
        let frame = film.step(times[from], frames);
        check("long step", &frame, times[expected]);
    }
}

#[test]
fn the_ends_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let Some((path, times)) = made(folder.path(), CLIPS[0].0, CLIPS[0].1) else {
        return;
    };
    let mut film = Watched::open(&path, SMALL).unwrap();
    film.step(FilmTime::ZERO, -1);
    assert!(matches!(film.reply(), Reply::AtStart));
    let last = *times.last().unwrap();
    film.step(last, 1);
    assert!(matches!(film.reply(), Reply::AtEnd { last: told } if same_time(told, last)));
}

/// A number of wants faster than any of them can be answered.
#[test]
fn two_hundred_rapid_wants_end_on_the_last() {
    let folder = tempfile::tempdir().unwrap();
    let Some((path, times)) = made(folder.path(), CLIPS[0].0, CLIPS[0].1) else {
        return;
    };
    let mut film = Watched::open(&path, SMALL).unwrap();
    let mut dice = Dice(1);
    for _ in 0..199 {
        let time = within(&times, dice.below(times.len()));
        film.film.want(match dice.below(3) {
            0 => Want::Exact(time),
            1 => Want::Near(time),
            _ => Want::Play {
                from: time,
                speed: 1.0,
            },
        });
    }
    let frame = film.exact(within(&times, 31));
    check("last of 200", &frame, times[31]);
    // What was left over would be answered before frames are made ready ahead.
    appears(&film, within(&times, 34));
    while let Some(reply) = film.film.poll() {
        assert!(
            !matches!(reply, Reply::Shown { .. }),
            "{reply:?} after the last want"
        );
    }
}

#[test]
fn dragging_ends_on_the_exact_frame() {
    let folder = tempfile::tempdir().unwrap();
    let Some((path, times)) = made(folder.path(), "one_key.mov", CLIPS[8].1) else {
        return;
    };
    let mut film = Watched::open(&path, SMALL).unwrap();
    let wanted = Want::Near(within(&times, 45));
    film.film.want(wanted);
    let mut quick = 0;
    loop {
        match film.reply() {
            Reply::Shown { want, frame, exact } if want == wanted => {
                if exact {
                    check("drag", &frame, times[45]);
                    break;
                }
                assert!(frame.time < times[45]);
                quick += 1;
            }
            other => panic!("{other:?}"),
        }
    }
    assert_eq!(quick, 1, "the only key frame is shown at once");
}

/// As an app plays: it looks into the cache as its clock runs.
#[test]
fn playing_fills_the_cache_ahead() {
    let folder = tempfile::tempdir().unwrap();
    let Some((path, times)) = made(folder.path(), CLIPS[0].0, CLIPS[0].1) else {
        return;
    };
    let settings = Settings {
        max_side: 96,
        full_side: 0,
        // Twelve frames of 96 by 54 in 4:2:0: far fewer than the film has.
        cache_bytes: 12 * 96 * 54 * 3 / 2,
        hardware: false,
    };
    let mut film = Watched::open(&path, settings).unwrap();
    film.ask(Want::Play {
        from: FilmTime::ZERO,
        speed: 1.0,
    });
    for (at, time) in times.iter().enumerate() {
        if at % 4 == 0 {
            film.film.want(Want::Play {
                from: *time,
                speed: 1.0,
            });
        }
        let frame = appears(&film, within(&times, at));
        check("playing", &frame, *time);
        assert!(film.film.cache_bytes_used() <= settings.cache_bytes);
    }
    let told = std::iter::from_fn(|| film.film.poll())
        .filter(|reply| matches!(reply, Reply::AtEnd { .. }))
        .count();
    assert_eq!(told, 1, "the end is told once");
}

/// A stretch played again and again does not rest on what the cache no longer
/// holds, and playing can start at a frame that dragging found alone.
#[test]
fn a_stretch_is_repeated_from_a_small_cache() {
    let folder = tempfile::tempdir().unwrap();
    let Some((path, times)) = made(folder.path(), CLIPS[8].0, CLIPS[8].1) else {
        return;
    };
    let settings = Settings {
        max_side: 96,
        full_side: 0,
        cache_bytes: 12 * 96 * 54 * 3 / 2,
        hardware: false,
    };
    let mut film = Watched::open(&path, settings).unwrap();
    film.ask(Want::Near(times[0]));
    for _round in 0..3 {
        for at in 0..30 {
            if at % 4 == 0 {
                let from = times[at];
                film.film.want(Want::Play { from, speed: 1.0 });
            }
            check("repeat", &appears(&film, within(&times, at)), times[at]);
        }
    }
    while film.film.poll().is_some() {}
    // A key frame found while dragging has no known successor.
    film.film.want(Want::Near(times[40]));
    while !matches!(film.reply(), Reply::Shown { exact: false, .. }) {}
    let from = FilmTime::ZERO;
    film.ask(Want::Play { from, speed: 1.0 });
    check("after dragging", &appears(&film, times[3]), times[3]);
}

#[test]
fn playing_fast_leaves_frames_out_but_keeps_close() {
    let folder = tempfile::tempdir().unwrap();
    let Some((path, times)) = made(folder.path(), CLIPS[0].0, CLIPS[0].1) else {
        return;
    };
    let mut film = Watched::open(&path, SMALL).unwrap();
    film.ask(Want::Play {
        from: FilmTime::ZERO,
        speed: 8.0,
    });
    let started = Instant::now();
    while !matches!(film.film.poll(), Some(Reply::AtEnd { .. })) {
        assert!(started.elapsed() < Duration::from_secs(20));
        std::thread::sleep(Duration::from_millis(1));
    }
    let step = FilmTime::from_secs_f64(8.0 / 60.0 + 0.04);
    let mut exact = 0;
    for time in &times {
        let frame = film.film.latest_cached(*time).unwrap();
        assert!(*time - frame.time <= step, "{:?} for {time:?}", frame.time);
        exact += usize::from(film.film.cached(*time).is_some());
    }
    assert!(
        exact < times.len() * 2 / 3,
        "{exact} of {} painted",
        times.len()
    );
}

/// Each turn and its mirror image, written by ffmpeg as a display matrix and
/// undone by ffmpeg's own rotation for the comparison.
#[test]
fn turned_films_are_shown_as_ffmpeg_shows_them() {
    let folder = tempfile::tempdir().unwrap();
    let Some((plain, _)) = made(folder.path(), "plain.mp4", CLIPS[0].1) else {
        return;
    };
    for turn in [90, 180, 270] {
        let name = format!("turned_{turn}.mp4");
        let source = format!(
            "-i {} -c copy -metadata:s:v:0 rotate={turn}",
            plain.display()
        );
        let Some(turned) = clip(folder.path(), &name, &source) else {
            continue;
        };
        let info = probe(&turned).unwrap();
        if info.rotation_degrees == 0 {
            println!("skipped {turn}: this ffmpeg writes no rotation from metadata");
            continue;
        }
        let size = if turn == 180 { (192, 108) } else { (108, 192) };
        assert_eq!((info.width, info.height), size);
        let seen = thumbnail(&turned, Some(FilmTime::ZERO), 400).unwrap();
        let shown = as_ffmpeg_shows(folder.path(), &turned);
        let alike = likeness(&thumb(&seen), &shown).unwrap();
        assert!(alike > 0.99, "{turn}: {alike}");
    }
}

/// The first frame by ffmpeg, as eight by eight grey means.
fn as_ffmpeg_shows(folder: &Path, film: &Path) -> Vec<f64> {
    let arguments = format!(
        "-i {} -frames:v 1 -vf scale=8:8:flags=area,format=gray -f rawvideo",
        film.display()
    );
    let grey = clip(folder, "grey.raw", &arguments).unwrap();
    let bytes = std::fs::read(grey).unwrap();
    assert_eq!(bytes.len(), 64);
    bytes.into_iter().map(f64::from).collect()
}

#[test]
fn facts_of_a_made_film_are_what_it_was_made_with() {
    let folder = tempfile::tempdir().unwrap();
    let film = format!(
        "{PICTURE} -f lavfi -i sine=duration=2 -c:v libx264 -c:a aac -vf setsar=4/3 \
         -pix_fmt yuv420p -metadata creation_time=2026-05-04T10:00:00Z"
    );
    let Some(path) = clip(folder.path(), "facts.mp4", &film) else {
        return;
    };
    let info = probe(&path).unwrap();
    assert_eq!((info.width, info.height), (256, 108));
    assert_eq!(info.codec, "h264");
    assert!(info.has_sound && !info.variable_rate && !info.interlaced);
    assert!((info.average_rate - 25.0).abs() < 0.01);
    assert!((info.duration.as_secs_f64() - 2.0).abs() < 0.05);
    // `date -u -d 2026-05-04T10:00:00Z +%s`
    assert_eq!(info.recorded_at, Some(1_777_888_800));
}

#[test]
fn thumbnails_are_small_and_of_the_time_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let Some((path, times)) = made(folder.path(), CLIPS[0].0, CLIPS[0].1) else {
        return;
    };
    let frame = thumbnail(&path, Some(within(&times, 30)), 64).unwrap();
    check("thumbnail", &frame, times[30]);
    assert_eq!((frame.width, frame.height), (64, 36));
    assert_eq!(frame.rgba.len(), 64 * 36 * 4);
    assert!(thumbnail(&path, None, 64).unwrap().time > FilmTime::ZERO);
}

/// Fields a fiftieth of a second apart: shown by one of them, without combs.
#[test]
fn interleaved_fields_are_not_shown_as_combs() {
    let folder = tempfile::tempdir().unwrap();
    let fields = "-f lavfi -i testsrc2=size=192x108:rate=50:duration=1 \
                  -vf interlace=lowpass=off -c:v libx264 -flags +ildct+ilme -g 10 -pix_fmt yuv420p";
    let Some(path) = clip(folder.path(), "fields.mp4", fields) else {
        return;
    };
    assert!(probe(&path).unwrap().interlaced);
    let frame = thumbnail(&path, Some(FilmTime::from_secs_f64(0.5)), 400).unwrap();
    let row = |y: usize| &frame.rgba[y * 192 * 4..(y + 1) * 192 * 4];
    let differ = |a: usize, b: usize| -> u64 {
        let pairs = row(a).iter().zip(row(b));
        pairs.map(|(x, y)| u64::from(x.abs_diff(*y))).sum()
    };
    // In a comb a row is more like the one after next than like its neighbour.
    let (mut next, mut after) = (0, 0);
    for y in 0..106 {
        next += differ(y, y + 1);
        after += differ(y, y + 2);
    }
    assert!(next < after, "{next} {after}");
}
