//! What is heard of a film and when, against sounds whose truth is known
//! because `ffmpeg` made them for the test.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;
use std::time::{Duration, Instant};

use reinback_film::FilmTime;
use reinback_film::sound::{Playhead, Sound, SoundState, SoundStream, Stereo};

use crate::support::{SMALL, Watched, clip, first_time, media};

const RATE: u32 = 48_000;
/// Only a hang reaches it.
const LIMIT: Duration = Duration::from_mins(1);

fn open(path: &Path) -> (Sound, SoundState) {
    let sound = Sound::open(path, Arc::new(|| {}));
    let started = Instant::now();
    loop {
        match sound.state() {
            SoundState::Opening => std::thread::sleep(Duration::from_millis(1)),
            state => return (sound, state),
        }
        assert!(started.elapsed() < LIMIT, "the sound does not open");
    }
}

fn open_ready(path: &Path) -> Sound {
    let (sound, state) = open(path);
    assert!(matches!(state, SoundState::Ready), "{path:?}: {state:?}");
    sound
}

/// Takes so many samples, as a device that waits for them.
fn take(stream: &mut SoundStream, count: usize) -> Vec<Stereo> {
    let mut samples = vec![[0.0; 2]; count];
    let (mut done, started) = (0, Instant::now());
    while done < count {
        let read = stream.read(&mut samples[done..]);
        stream.will_be_heard(read, None);
        done += read;
        if read == 0 {
            std::thread::sleep(Duration::from_millis(1));
        }
        assert!(started.elapsed() < LIMIT, "no sound within {LIMIT:?}");
    }
    samples
}

fn hear(sound: &Sound, from: FilmTime, speed: f64, seconds: f64) -> Vec<Stereo> {
    let (mut stream, _playhead) = sound.play(from, speed, RATE);
    take(&mut stream, (seconds * f64::from(RATE)) as usize)
}

fn seconds(value: f64) -> FilmTime {
    FilmTime::from_secs_f64(value)
}

/// Pitch by counting where the wave rises through zero, between the first and
/// the last of these places.
fn pitch(samples: &[Stereo]) -> f64 {
    let rises: Vec<f64> = samples
        .windows(2)
        .enumerate()
        .filter(|(_, pair)| pair[0][0] < 0.0 && pair[1][0] >= 0.0)
        .map(|(at, pair)| {
            let (low, high) = (f64::from(pair[0][0]), f64::from(pair[1][0]));
            at as f64 - low / (high - low)
        })
        .collect();
    let span = rises.last().unwrap() - rises[0];
    (rises.len() - 1) as f64 * f64::from(RATE) / span
}

fn loud([left, right]: Stereo) -> f32 {
    left.abs().max(right.abs())
}

/// The codings a film may have its sound in, with a container for each. The
/// AAC of MP4 and MOV has an edit list for the priming of the encoder; that of
/// MPEG-TS has none.
const CODINGS: [(&str, &str, &str); 9] = [
    ("aac.mp4", "-c:a aac -b:a 128k", "libx264"),
    ("aac44.mov", "-c:a aac -ar 44100 -b:a 128k", "libx264"),
    ("aac.mkv", "-c:a aac -b:a 128k", "libx264"),
    ("pcm.mov", "-c:a pcm_s16le", "libx264"),
    ("pcm.avi", "-c:a pcm_s16le -ar 44100", "mpeg4"),
    ("ac3.mp4", "-c:a ac3 -b:a 192k", "libx264"),
    ("ac3.ts", "-c:a ac3 -b:a 192k", "libx264"),
    ("opus.mkv", "-c:a libopus -b:a 128k", "libx264"),
    ("opus.mp4", "-c:a libopus -b:a 128k -strict -2", "libx264"),
];

/// A film of small moving pictures with the sound of an expression over time.
fn film(
    folder: &Path,
    name: &str,
    length: f64,
    wave: &str,
    coding: &str,
    picture: &str,
) -> Option<PathBuf> {
    let arguments = format!(
        "-f lavfi -i testsrc2=size=96x64:rate=25:duration={length} \
         -f lavfi -i aevalsrc='{wave}':s=48000:d={length} \
         -pix_fmt yuv420p -c:v {picture} -g 25 {coding}"
    );
    // The expression stands in quotes for ffmpeg's own parser.
    clip(folder, name, &arguments)
}

#[test]
fn a_tone_keeps_its_pitch_and_its_length_follows_the_speed() {
    let folder = tempfile::tempdir().unwrap();
    // 440 Hz from one second to three, then silence.
    let wave = "0.5*sin(2*PI*440*t)*between(t,1,3)";
    for (name, coding, picture) in CODINGS {
        let Some(path) = film(folder.path(), name, 4.0, wave, coding, picture) else {
            continue;
        };
        let sound = open_ready(&path);
        let mut real = (0.0, 0.0);
        for speed in [1.0, 0.5, 0.8, 1.5, 2.0] {
            let samples = hear(&sound, FilmTime::ZERO, speed, 4.0 / speed);
            let inner = |at: f64| (at / speed * f64::from(RATE)) as usize;
            let found = pitch(&samples[inner(1.2)..inner(2.8)]);
            assert!(
                (found / 440.0 - 1.0).abs() < 0.01,
                "{name} at {speed}: {found} Hz"
            );
            let half = |s: &Stereo| loud(*s) > 0.25;
            let first = samples.iter().position(half).unwrap() as f64;
            let last = samples.iter().rposition(half).unwrap() as f64;
            let ends = (first / f64::from(RATE), last / f64::from(RATE));
            if (speed - 1.0).abs() < 1e-9 {
                real = ends;
                let off = (ends.0 - 1.0).abs().max((ends.1 - 3.0).abs());
                assert!(off < 0.009, "{name}: the tone is heard from {ends:?} s");
            }
            // The tempo filter works in pieces of 43 ms at this rate and lets
            // each grow into the next, so that an onset is heard up to a piece
            // early; ends are sharper.
            let early = ends.0 - real.0 / speed;
            let late = ends.1 - real.1 / speed;
            assert!(
                (-0.045..0.005).contains(&early),
                "{name} at {speed}: {early} s"
            );
            assert!(late.abs() < 0.012, "{name} at {speed}: {late} s");
        }
    }
}

/// The moment of the loudest sample, in seconds from `from`.
fn click(samples: &[Stereo]) -> f64 {
    let loudest = (0..samples.len())
        .max_by(|a, b| loud(samples[*a]).total_cmp(&loud(samples[*b])))
        .unwrap();
    assert!(loud(samples[loudest]) > 0.1, "there is no click");
    loudest as f64 / f64::from(RATE)
}

/// A click of a millisecond at 2.5 s, looked for from the start, from a
/// moment before it and, with the sound begun there, from the click itself.
fn check_click(path: &Path, name: &str, at: f64) {
    let sound = open_ready(path);
    let begins = [0.0, 0.37, 1.9, at - 0.05, at - 0.01];
    for from in begins.into_iter().filter(|from| *from < at) {
        let samples = hear(&sound, seconds(from), 1.0, at - from + 0.5);
        let found = from + click(&samples);
        assert!(
            (found - at).abs() < 0.002,
            "{name}: the click of {at} s is heard at {found} s, begun at {from} s"
        );
    }
    let after = hear(&sound, seconds(at + 0.1), 1.0, 0.5);
    assert!(after.iter().all(|s| loud(*s) < 0.05), "{name}: heard again");
}

/// The moment of the loudest sample as the `ffmpeg` and `ffprobe` programs
/// have it, in seconds from the first picture.
fn click_of_ffmpeg(path: &Path) -> f64 {
    let output = Command::new("ffmpeg")
        .args(["-v", "error", "-i"])
        .arg(path)
        .args([
            "-map", "0:a", "-ac", "2", "-ar", "48000", "-f", "f32le", "-",
        ])
        .output()
        .unwrap();
    let value = |bytes: &[u8]| f32::from_le_bytes(bytes.try_into().unwrap());
    let samples = output.stdout.chunks_exact(8);
    let samples: Vec<Stereo> = samples
        .map(|both| [value(&both[..4]), value(&both[4..])])
        .collect();
    click(&samples) + first_time(path, "a:0") - first_time(path, "v:0")
}

const CLICK: &str = "0.9*between(t,2.4995,2.5005)";

#[test]
fn a_click_is_heard_at_its_moment_in_every_coding() {
    let folder = tempfile::tempdir().unwrap();
    for (name, coding, picture) in CODINGS {
        let Some(path) = film(folder.path(), name, 6.0, CLICK, coding, picture) else {
            continue;
        };
        // FFmpeg 5.1 writes Opus into Matroska some milliseconds too early
        // against the picture; its own reader says so too.
        let at = click_of_ffmpeg(&path);
        assert!((at - 2.5).abs() < 0.009, "{name}: made wrongly, at {at} s");
        check_click(&path, name, at);
    }
}

/// The sound begins before or after the picture, or the picture is cut by an
/// edit list so that it begins between two key frames.
#[test]
fn a_click_is_heard_at_its_moment_whatever_begins_first() {
    let folder = tempfile::tempdir().unwrap();
    let part = |name: &str, source: &str, coding: &str| {
        clip(
            folder.path(),
            name,
            &format!("-f lavfi -i {source} {coding}"),
        )
    };
    let picture = part(
        "picture.mp4",
        "testsrc2=size=96x64:rate=25:duration=6",
        "-pix_fmt yuv420p -c:v libx264 -g 50 -bf 2",
    );
    let sound = part("sound.wav", &format!("aevalsrc='{CLICK}':s=48000:d=6"), "");
    let (Some(picture), Some(sound)) = (picture, sound) else {
        return;
    };
    let (picture, sound) = (picture.display(), sound.display());
    for (name, inputs, coding, at) in [
        (
            "late.mp4",
            format!("-i {picture} -itsoffset 1.25 -i {sound}"),
            "-c:v copy -c:a aac",
            3.75,
        ),
        (
            "late.mkv",
            format!("-i {picture} -itsoffset 1.25 -i {sound}"),
            "-c:v copy -c:a libopus",
            3.75,
        ),
        (
            "early.mp4",
            format!("-itsoffset 0.5 -i {picture} -i {sound}"),
            "-c:v copy -c:a aac",
            2.0,
        ),
        (
            "early.mkv",
            format!("-itsoffset 0.5 -i {picture} -i {sound}"),
            "-c:v copy -c:a pcm_s16le",
            2.0,
        ),
        (
            "whole.mp4",
            format!("-i {picture} -i {sound}"),
            "-c:v copy -c:a aac",
            2.5,
        ),
    ] {
        let Some(path) = clip(folder.path(), name, &format!("{inputs} {coding}")) else {
            continue;
        };
        let made = click_of_ffmpeg(&path);
        assert!(
            (made - at).abs() < 0.009,
            "{name}: made wrongly, at {made} s"
        );
        check_click(&path, name, made);
        if name == "whole.mp4" {
            // Copying from between two key frames makes an edit list that
            // hides the pictures before.
            let cut = format!("-ss 1.0 -i {} -c copy", path.display());
            if let Some(cut) = clip(folder.path(), "cut.mp4", &cut) {
                check_click(&cut, "cut.mp4", 1.5);
            }
        }
    }
}

/// A flash and a click at two seconds: the moment of the bright frame and that of the click,
/// each as the film is asked for it, are the same.
#[test]
fn a_flash_and_its_click_are_one() {
    let folder = tempfile::tempdir().unwrap();
    for (name, coding) in [
        ("a.mp4", "-c:v libx264 -g 30 -bf 2 -c:a aac"),
        ("b.mov", "-c:v libx264 -g 30 -bf 2 -c:a pcm_s16le"),
        ("c.mkv", "-c:v libx264 -g 30 -bf 2 -c:a ac3"),
        ("d.ts", "-c:v libx264 -g 30 -bf 2 -c:a ac3"),
        ("e.ts", "-c:v libx264 -g 30 -bf 2 -c:a aac"),
        ("f.avi", "-c:v mpeg4 -g 30 -c:a pcm_s16le"),
        (
            "g.mp4",
            "-c:v libx264 -g 30 -bf 2 -c:a libopus -strict -2 -output_ts_offset 5",
        ),
    ] {
        let arguments = format!(
            "-f lavfi -i color=black:size=96x64:rate=25:duration=4,\
             drawbox=color=white:t=fill:enable='between(t,1.99,2.01)' \
             -f lavfi -i aevalsrc='0.9*between(t,1.9995,2.0005)':s=48000:d=4 \
             -pix_fmt yuv420p {coding}"
        );
        let Some(path) = clip(folder.path(), name, &arguments) else {
            continue;
        };
        let mut film = Watched::open(&path, SMALL).unwrap();
        let flash = (0..100).find_map(|number| {
            let frame = film.exact(seconds(f64::from(number) * 0.04 + 0.01));
            let bright = frame
                .rgba
                .chunks_exact(4)
                .next()
                .is_some_and(|p| p[0] > 128);
            bright.then_some(frame.time)
        });
        let flash = flash.expect(name).as_secs_f64();
        let sound = open_ready(&path);
        for from in [0.0, 0.9, flash - 0.1] {
            let samples = hear(&sound, seconds(from), 1.0, flash - from + 0.5);
            let found = from + click(&samples);
            assert!(
                (found - flash).abs() < 0.002,
                "{name}: a flash at {flash} s, its click at {found} s, begun at {from} s"
            );
        }
    }
}

/// Where no sound is, silence is heard, and time goes on.
#[test]
fn silence_fills_what_the_sound_does_not_cover() {
    let folder = tempfile::tempdir().unwrap();
    let arguments = "-f lavfi -i testsrc2=size=96x64:rate=25:duration=4 \
                     -f lavfi -i sine=frequency=300:duration=1.5 \
                     -pix_fmt yuv420p -c:v libx264 -c:a aac";
    let Some(path) = clip(folder.path(), "short.mp4", arguments) else {
        return;
    };
    let sound = open_ready(&path);
    let level = |samples: &[Stereo]| samples.iter().copied().map(loud).fold(0.0, f32::max);
    for (from, length, heard) in [(0.0, 0.5, true), (1.6, 2.0, false), (3.9, 3.0, false)] {
        let samples = hear(&sound, seconds(from), 1.0, length);
        assert_eq!(level(&samples) > 0.02, heard, "from {from} s");
    }
}

#[test]
fn a_jump_ends_what_was_heard_before() {
    let folder = tempfile::tempdir().unwrap();
    let wave = "0.5*sin(2*PI*440*t)";
    let Some(path) = film(folder.path(), "a.mp4", 8.0, wave, "-c:a aac", "libx264") else {
        return;
    };
    let sound = open_ready(&path);
    let mut last: Option<(SoundStream, Playhead)> = None;
    for number in 0..40 {
        let from = seconds(f64::from(number * 7 % 16) / 2.0);
        let (mut stream, playhead) = sound.play(from, 1.0, RATE);
        let heard = take(&mut stream, 480);
        assert_eq!(heard.len(), 480);
        assert_eq!(playhead.heard(), 480);
        assert_eq!(playhead.position(), from + FilmTime(10_000_000));
        last = Some((stream, playhead));
    }
    let (stream, playhead) = last.unwrap();
    assert!(!stream.is_over());
    drop(playhead);
    assert!(stream.is_over(), "the device is told at once");
}

#[test]
fn a_film_without_sound_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let silent = "-f lavfi -i testsrc2=size=96x64:rate=25:duration=1 -pix_fmt yuv420p -c:v libx264";
    let Some(path) = clip(folder.path(), "silent.mp4", silent) else {
        return;
    };
    let (sound, state) = open(&path);
    assert!(matches!(state, SoundState::Absent), "{state:?}");
    let (mut stream, _playhead) = sound.play(FilmTime::ZERO, 1.0, RATE);
    assert_eq!(stream.read(&mut [[0.0; 2]; 100]), 0);
    let (_sound, state) = open(&folder.path().join("nowhere.mp4"));
    assert!(matches!(state, SoundState::Unreadable(_)), "{state:?}");
}

/// Bytes of the sound changed here and there: what is whole is heard at its
/// moment, and nothing else happens.
#[test]
fn damaged_sound_keeps_its_time() {
    let folder = tempfile::tempdir().unwrap();
    for (name, coding) in [
        ("a.mkv", "-c:a aac"),
        ("b.ts", "-c:a ac3"),
        ("c.mkv", "-c:a libopus"),
    ] {
        let Some(path) = film(folder.path(), name, 6.0, CLICK, coding, "libx264") else {
            continue;
        };
        let mut bytes = std::fs::read(&path).unwrap();
        let end = bytes.len() / 3;
        for at in (4000..end).step_by(701) {
            bytes[at] ^= 0x55;
        }
        std::fs::write(&path, &bytes).unwrap();
        let (sound, state) = open(&path);
        if !matches!(state, SoundState::Ready) {
            println!("{name}: nothing left to hear: {state:?}");
            continue;
        }
        let samples = hear(&sound, FilmTime::ZERO, 1.0, 4.0);
        let found = samples[2 * RATE as usize..]
            .iter()
            .position(|s| loud(*s) > 0.3);
        let at = 2.0 + found.expect(name) as f64 / f64::from(RATE);
        assert!((at - 2.5).abs() < 0.01, "{name}: {at}");
    }
}

/// Films of many makers: the moment of the loudest sample is the same however
/// it is reached.
#[test]
fn films_of_many_makers_sound_the_same_from_anywhere() {
    let Some(media) = media() else { return };
    for name in [
        "decode/sample.mp4",
        "decode/sample_edit_list.mp4",
        "decode/edit_list_positive_shift.mp4",
        "decode/sowt-with-video.mov",
        "decode/MVI_4823.AVI",
        "decode/iphone_with-gps.mov",
        "decode/Sony_A7M3_avchd.mts",
        "decode/FLIR_vfr.mp4",
        "decode/nasa_13013.mp4",
        "decode/sample.avi",
        "decode/sample_with_increasing_timestamps_320w_240h.mp4",
        "damaged/sample_mdat_too_long.mp4",
    ] {
        let path = media.join(name);
        if !path.is_file() {
            println!("skipped: no {name}");
            continue;
        }
        let sound = open_ready(&path);
        let whole = hear(&sound, FilmTime::ZERO, 1.0, 2.5);
        for from in [0.2, 0.35, 0.6] {
            let part = hear(&sound, seconds(from), 1.0, 1.0);
            let at = (from * f64::from(RATE)).round() as usize;
            let shift = best_shift(&whole[at..], &part);
            let level = |samples: &[Stereo]| samples.iter().copied().map(loud).fold(0.0, f32::max);
            println!(
                "{name} from {from} s: shift {shift:?}, level {}",
                level(&part)
            );
            if let Some(shift) = shift {
                assert!(shift.abs() <= 48, "{name} from {from} s: off by {shift}");
            }
        }
    }
}

/// By how many samples, 20 ms at most, a part has to be moved to fit best;
/// `None` where it is too quiet, or a tone, to tell.
fn best_shift(whole: &[Stereo], part: &[Stereo]) -> Option<i64> {
    const REACH: usize = 960;
    let window = 9600;
    let mid: Vec<f64> = part[2 * REACH..2 * REACH + window]
        .iter()
        .map(|s| f64::from(s[0]))
        .collect();
    let energy: f64 = mid.iter().map(|v| v * v).sum();
    if energy < 1e-3 {
        return None;
    }
    let error = |shift: usize| -> f64 {
        let start = REACH + shift;
        mid.iter()
            .zip(&whole[start..])
            .map(|(a, b)| (a - f64::from(b[0])).powi(2))
            .sum()
    };
    let best = (0..=2 * REACH).min_by(|a, b| error(*a).total_cmp(&error(*b)))?;
    assert!(
        error(best) < 0.05 * energy,
        "nothing fits: {} of {energy}",
        error(best)
    );
    i64::try_from(best).ok().map(|best| best - 960)
}
