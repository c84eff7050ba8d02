//! The loudness of films, against a plain reckoning on the samples that the
//! `ffmpeg` program decodes.

use std::ops::ControlFlow;
use std::path::Path;
use std::process::Command;

use reinback_film::FilmTime;
use reinback_film::sound::{Waveform, waveform};

use crate::support::{clip, first_time, media, probe};

fn wave(path: &Path, folder: Option<&Path>) -> Option<Waveform> {
    let mut last = 0.0;
    waveform(path, folder, &mut |part| {
        assert!(part >= last && part <= 1.0, "progress goes from 0 to 1");
        last = part;
        ControlFlow::Continue(())
    })
    .unwrap()
}

/// The left and right samples as `ffmpeg` decodes them, laid on the film's
/// clock by what `ffprobe` says of the first ones, and their rate.
fn decoded(path: &Path) -> (Vec<[f32; 2]>, u32) {
    let rate: u32 = probe(path, "a:0", "stream=sample_rate").parse().unwrap();
    let file = path.to_str().unwrap();
    let output = Command::new("ffmpeg")
        .args(["-v", "error", "-i", file])
        .args(["-map", "0:a:0", "-ac", "2", "-f", "f32le", "-"])
        .output()
        .unwrap();
    let value = |bytes: &[u8]| f32::from_le_bytes(bytes.try_into().unwrap());
    let samples = output.stdout.chunks_exact(8);
    let samples = samples.map(|both| [value(&both[..4]), value(&both[4..])]);
    let late = (first_time(path, "a:0") - first_time(path, "v:0")) * f64::from(rate);
    let silence = vec![[0.0; 2]; late.round().max(0.0) as usize];
    let hidden = (-late).round().max(0.0) as usize;
    let samples = silence.into_iter().chain(samples.skip(hidden));
    (samples.collect(), rate)
}

/// Lowest, highest and root mean square over a stretch of milliseconds.
fn reckoned(samples: &[[f32; 2]], rate: u32, from: u64, to: u64) -> Option<[f64; 3]> {
    let edge = |ms: u64| usize::try_from((ms * u64::from(rate)).div_ceil(1000)).unwrap();
    let part = samples.get(edge(from)..edge(to).min(samples.len()))?;
    let values = || {
        part.iter()
            .flatten()
            .map(|value| f64::from(*value).clamp(-1.0, 1.0))
    };
    let squares: f64 = values().map(|value| value * value).sum();
    let count = values().count();
    (count > 0).then(|| {
        [
            values().fold(f64::MAX, f64::min),
            values().fold(f64::MIN, f64::max),
            (squares / count as f64).sqrt(),
        ]
    })
}

fn check(name: &str, path: &Path) {
    let wave = wave(path, None).unwrap();
    let (samples, rate) = decoded(path);
    let length = samples.len() as f64 / f64::from(rate);
    let known = wave.length().as_secs_f64();
    assert!(
        (known - length).abs() < 0.005,
        "{name}: {known} s, not {length}"
    );
    let whole = samples.len() as u64 * 1000 / u64::from(rate);
    // Whole steps of each level, so that both reckon over the same samples.
    for width in [2, 8, 32, 128, 512] {
        for from in (0..whole.saturating_sub(width)).step_by(usize::try_from(width).unwrap()) {
            let time = |ms: u64| FilmTime(i64::try_from(ms).unwrap() * 1_000_000);
            let over = wave.over(time(from), time(from + width)).unwrap();
            let found = [over.min, over.max, over.rms].map(f64::from);
            let expected = reckoned(&samples, rate, from, from + width).unwrap();
            for (found, expected) in found.iter().zip(expected) {
                // One step of sixteen bits, rounded once a level; steps that
                // hold one sample more or fewer at 44 100 weigh the same.
                assert!(
                    (found - expected).abs() < 0.0002 + 0.01 * expected.abs(),
                    "{name}: {from} to {} ms: {found}, not {expected}",
                    from + width
                );
            }
        }
    }
}

#[test]
fn loudness_is_that_of_the_samples_ffmpeg_decodes() {
    let folder = tempfile::tempdir().unwrap();
    let source = "-f lavfi -i testsrc2=size=96x64:rate=25:duration=3 \
                  -f lavfi -i aevalsrc=0.7*sin(2*PI*(200+300*t)*t)*abs(sin(3*t))|0.2*random(0):s=48000:d=3 \
                  -pix_fmt yuv420p -c:v libx264";
    for (name, coding) in [
        ("a.mov", "-c:a pcm_s16le"),
        ("b.mp4", "-c:a aac"),
        ("c.mkv", "-c:a pcm_s16le -ar 44100"),
        ("d.mp4", "-c:a aac -ac 1"),
        ("e.mkv", "-c:a ac3 -ac 6"),
    ] {
        if let Some(path) = clip(folder.path(), name, &format!("{source} {coding}")) {
            check(name, &path);
        }
    }
}

#[test]
fn films_of_many_makers_are_as_loud_as_ffmpeg_has_them() {
    let Some(media) = media() else { return };
    for name in [
        "decode/sowt-with-video.mov",
        "decode/MVI_4823.AVI",
        "decode/sample.mp4",
    ] {
        let path = media.join(name);
        if path.is_file() {
            check(name, &path);
        } else {
            println!("skipped: no {name}");
        }
    }
}

#[test]
fn loudness_is_kept_and_made_again_when_the_copy_is_damaged() {
    let folder = tempfile::tempdir().unwrap();
    let source = "-f lavfi -i testsrc2=size=96x64:rate=25:duration=8 \
                  -f lavfi -i sine=frequency=300:duration=8 -pix_fmt yuv420p -c:v libx264 -c:a aac";
    let Some(path) = clip(folder.path(), "a.mp4", source) else {
        return;
    };
    let kept = folder.path().join("kept");
    let stop = &mut |_: f32| ControlFlow::Break(());
    assert_eq!(waveform(&path, Some(&kept), stop).unwrap(), None, "stopped");
    assert!(!kept.exists(), "half a film is not kept");
    let first = wave(&path, Some(&kept)).unwrap();
    let file = std::fs::read_dir(&kept)
        .unwrap()
        .next()
        .unwrap()
        .unwrap()
        .path();
    // A stop that is never looked at: the copy was read.
    assert_eq!(
        waveform(&path, Some(&kept), stop).unwrap(),
        Some(first.clone())
    );
    let mut bytes = std::fs::read(&file).unwrap();
    bytes[100] ^= 1;
    std::fs::write(&file, &bytes).unwrap();
    assert_eq!(wave(&path, Some(&kept)), Some(first));
    assert_ne!(std::fs::read(&file).unwrap(), bytes, "written again");
    assert_eq!(std::fs::read_dir(&kept).unwrap().count(), 1);
}

#[test]
fn a_film_without_sound_has_no_loudness() {
    let folder = tempfile::tempdir().unwrap();
    let silent = "-f lavfi -i testsrc2=size=96x64:rate=25:duration=1 -pix_fmt yuv420p -c:v libx264";
    if let Some(path) = clip(folder.path(), "silent.mp4", silent) {
        assert_eq!(wave(&path, None), None);
    }
}
