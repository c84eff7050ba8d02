//! Films of many makers against their listed truth.
//!
//! Beside each film stand `.frames.csv` (number, key, time stamp and kind of
//! each presented frame, from ffprobe 5.1.9) and `.thumb8` (8 by 8 grey means
//! of each picture as displayed). The films are not part of this repository.

use std::path::{Path, PathBuf};

use reinback_film::{FilmTime, Frame, Settings, thumbnail};

use crate::disputed;
use crate::support::{
    Dice, SMALL, Watched, likeness, media, same_time, since_first, thumb, within,
};

/// Films of one constant or of repeated pictures: their pictures say nothing.
const ALIKE: [&str; 5] = [
    "long_1080p_lowbitrate.mp4",
    "edit_list_positive_shift.mp4",
    "sample_fragmented_seekable_multiple_sidx.mp4",
    "sample.avi",
    "sample_iPod.m4v",
];

/// Frames beyond which only both ends and random places are looked at: which
/// frame it is, is told by `native`; here it is about what is displayed.
const LONG: usize = 40;

struct Truth {
    path: PathBuf,
    name: String,
    times: Vec<FilmTime>,
    thumbs: Vec<Vec<f64>>,
}

fn truths() -> Vec<Truth> {
    let Some(folder) = media() else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for part in ["decode", "damaged", "horse"] {
        let Ok(entries) = std::fs::read_dir(folder.join(part)) else {
            continue;
        };
        for entry in entries {
            let list = entry.unwrap().path();
            if let Some(film) = list
                .to_str()
                .and_then(|text| text.strip_suffix(".frames.csv"))
            {
                found.push(truth(Path::new(film), &list));
            }
        }
    }
    found.sort_by(|a, b| a.path.cmp(&b.path));
    println!("{} films with a listed truth", found.len());
    found
}

fn truth(film: &Path, list: &Path) -> Truth {
    let text = std::fs::read_to_string(list).unwrap();
    let seconds: Vec<f64> = text
        .lines()
        .filter_map(|line| line.split(',').nth(2)?.trim().parse().ok())
        .collect();
    let thumbs = std::fs::read(format!("{}.thumb8", film.display())).unwrap_or_default();
    Truth {
        path: film.to_path_buf(),
        name: film.file_name().unwrap().to_string_lossy().into_owned(),
        times: since_first(&seconds),
        thumbs: thumbs
            .chunks_exact(64)
            .map(|means| means.iter().map(|mean| f64::from(*mean)).collect())
            .collect(),
    }
}

impl Truth {
    fn is_disputed(&self) -> bool {
        disputed::reason(&self.path).is_some()
    }

    fn check_time(&self, what: &str, at: usize, frame: &Frame) {
        let (found, expected) = (frame.time, self.times[at]);
        let name = &self.name;
        assert!(
            same_time(found, expected),
            "{name}: {what} to frame {at}: {found:?} instead of {expected:?}"
        );
    }

    /// The picture is the listed one, upright: alike to it, and to no other
    /// listed picture clearly more.
    fn check_picture(&self, film: &Watched, at: usize, frame: &Frame) {
        let Some(truth) = self.thumbs.get(at) else {
            return;
        };
        if ALIKE.contains(&self.name.as_str()) {
            return;
        }
        let seen = thumb(frame);
        let Some(own) = likeness(&seen, truth) else {
            return;
        };
        let name = &self.name;
        // The truth was made without bringing high dynamic range down.
        let enough = if film.info.high_dynamic_range {
            0.9
        } else {
            0.97
        };
        assert!(own > enough, "{name}: picture {at} is another one: {own}");
        if film.info.high_dynamic_range {
            return;
        }
        let better = self
            .thumbs
            .iter()
            .filter_map(|other| likeness(&seen, other))
            .fold(0.0, f64::max);
        assert!(
            better < own + 0.01,
            "{name}: picture {at} is rather another: {own} {better}"
        );
    }

    /// The numbers of the frames to visit.
    fn stops(&self) -> Vec<usize> {
        let count = self.times.len();
        if count <= LONG {
            (0..count).collect()
        } else {
            (0..24).chain(count - 8..count).collect()
        }
    }
}

/// Every film whose truth is listed and not disputed; of the others their order.
fn for_each(check: impl Fn(&Truth, &mut Watched)) {
    for_each_with(SMALL, check);
}

fn for_each_with(settings: Settings, check: impl Fn(&Truth, &mut Watched)) {
    for truth in truths() {
        if truth.times.is_empty() {
            println!("{}: no frame is listed", truth.name);
            continue;
        }
        let started = std::time::Instant::now();
        let mut film = Watched::open(&truth.path, settings)
            .unwrap_or_else(|error| panic!("{error} ({})", error.detail()));
        if let Some(reason) = disputed::reason(&truth.path) {
            println!("{}: only order ({reason})", truth.name);
            check_order(&truth, &mut film);
        } else {
            check(&truth, &mut film);
        }
        println!("{}: {:?}", truth.name, started.elapsed());
    }
}

fn check_order(truth: &Truth, film: &mut Watched) {
    let mut last = film.exact(FilmTime::ZERO).time;
    assert_eq!(last, FilmTime::ZERO);
    let mut count = 1;
    loop {
        let next = film.step(last, 1).time;
        if next == last {
            break;
        }
        assert!(next > last, "{}: time goes back", truth.name);
        last = next;
        count += 1;
    }
    // Releases give between a third and all of the frames listed.
    let listed = truth.times.len();
    assert!(
        count * 4 > listed,
        "{}: {count} of {listed} frames",
        truth.name
    );
    assert!(
        count <= listed + 2,
        "{}: {count} of {listed} frames",
        truth.name
    );
}

#[test]
fn stepping_forward_reaches_every_frame() {
    for_each(|truth, film| {
        let mut last = None;
        for at in truth.stops() {
            let frame = match last {
                Some(before) if at == before + 1 => film.step(within(&truth.times, before), 1),
                _ => film.exact(within(&truth.times, at)),
            };
            truth.check_time("forward", at, &frame);
            truth.check_picture(film, at, &frame);
            last = Some(at);
        }
        let end = film.step(within(&truth.times, truth.times.len() - 1), 1);
        truth.check_time("past the end", truth.times.len() - 1, &end);
    });
}

#[test]
fn stepping_back_reaches_every_frame() {
    for_each(|truth, film| {
        let mut last: Option<usize> = None;
        for at in truth.stops().into_iter().rev() {
            let frame = match last {
                Some(after) if at + 1 == after => film.step(within(&truth.times, after), -1),
                _ => film.exact(within(&truth.times, at)),
            };
            truth.check_time("backward", at, &frame);
            truth.check_picture(film, at, &frame);
            last = Some(at);
        }
        let start = film.step(FilmTime::ZERO, -1);
        truth.check_time("before the start", 0, &start);
    });
}

#[test]
fn random_places_show_the_right_frame() {
    for_each(|truth, film| {
        let mut dice = Dice(7);
        let count = truth.times.len();
        let large = film.info.width * film.info.height > 1_000_000;
        for _ in 0..if large { 1 } else { 4 } {
            let at = dice.below(count);
            let frame = film.exact(within(&truth.times, at));
            truth.check_time("jump", at, &frame);
            truth.check_picture(film, at, &frame);
        }
    });
}

/// Rested on after steps back, a frame comes again as filmed: the same one, and to the last byte
/// the picture that a film opened only for it gives.
#[test]
fn resting_after_steps_back_shows_the_frame_as_filmed() {
    let settings = Settings {
        full_side: u32::MAX,
        cache_bytes: 128 << 20,
        ..SMALL
    };
    for_each_with(settings, |truth, film| {
        let size = (film.info.width, film.info.height);
        if size.0.max(size.1) <= settings.max_side {
            return;
        }
        let mut at = Dice(5).below(truth.times.len());
        let mut shown = film.exact(within(&truth.times, at));
        for steps in [0, 3, 1] {
            if at < steps {
                break;
            }
            for _ in 0..steps {
                shown = film.step(shown.time, -1);
                at -= 1;
            }
            let sharp = film.sharp(shown.time);
            truth.check_time("rested", at, &sharp);
            truth.check_picture(film, at, &sharp);
            assert_eq!((sharp.width, sharp.height), size, "{}", truth.name);
            // One thread conceals damage otherwise than several, in the ffmpeg program too
            // (-threads); there the pixels are `native`'s to check.
            if truth.path.parent().unwrap().ends_with("damaged") {
                continue;
            }
            let alone = thumbnail(&truth.path, Some(shown.time), u32::MAX).unwrap();
            assert_eq!(alone.time, sharp.time, "{}", truth.name);
            assert!(
                alone.rgba == sharp.rgba,
                "{}: other pixels at {at}",
                truth.name
            );
        }
    });
}

/// Rotation and mirroring as ffprobe tells them; sizes after rotation and
/// pixel aspect.
#[test]
fn facts_are_those_of_the_films_list() {
    let Some(folder) = media() else { return };
    for (name, size, turn, mirrored, sound) in [
        ("sample_edit_list.mp4", (1080, 1920), 90, false, true),
        (
            "sample_rotate_and_reflect.mp4",
            (720, 1080),
            270,
            true,
            true,
        ),
        ("iphone_with-gps.mov", (320, 568), 90, false, true),
        ("video_180.mov", (568, 320), 180, false, false),
        ("video_270.mov", (320, 568), 270, false, false),
        (
            "bbb_800x640_768kbps_30fps_avc_2b_firstpts_10_sec.mp4",
            (1137, 640),
            0,
            false,
            false,
        ),
        ("bear-vp9-odd-dimensions.webm", (161, 121), 0, false, false),
    ] {
        let path = folder.join("decode").join(name);
        if !path.exists() {
            println!("skipped: no {name}");
            continue;
        }
        let info = reinback_film::probe(&path).unwrap();
        assert_eq!((info.width, info.height), size, "{name}");
        assert_eq!(
            (info.rotation_degrees, info.mirrored),
            (turn, mirrored),
            "{name}"
        );
        assert_eq!(info.has_sound, sound, "{name}");
    }
}

/// The film's stated length is its last frame's time and a frame more, give
/// or take two frames; MPEG-TS can only be estimated.
#[test]
fn lengths_agree_with_the_last_frame() {
    for truth in truths() {
        let Ok(info) = reinback_film::probe(&truth.path) else {
            continue;
        };
        if truth.is_disputed() {
            continue;
        }
        let last = truth.times.last().unwrap().as_secs_f64();
        let length = info.duration.as_secs_f64();
        let slack = 0.15 + 2.5 / info.average_rate;
        assert!(
            (length - last).abs() < slack,
            "{}: {length} s, last {last} s",
            truth.name
        );
    }
}

/// MP4, MOV and AVI list their frames: as many as ffprobe presents, and in
/// damaged films those that cannot be decoded too.
#[test]
fn listed_frames_are_counted() {
    let mut counted = 0;
    for truth in truths() {
        let Ok(info) = reinback_film::probe(&truth.path) else {
            continue;
        };
        let Some(frames) = info.frames else { continue };
        let presented = truth.times.len() as u64;
        let damaged = truth.path.parent().unwrap().ends_with("damaged");
        assert!(
            frames == presented || (damaged && frames == presented + 1),
            "{}: {frames} instead of {presented}",
            truth.name
        );
        counted += 1;
    }
    println!("{counted} films list their frames");
}

/// The spacing in the lists of ffprobe: one film of truly variable rate, one
/// with a hole, and even ones.
#[test]
fn variable_rate_is_told_from_rounding_and_holes() {
    for truth in truths() {
        let expected = match truth.name.as_str() {
            "FLIR_vfr.mp4" => true,
            "sample.mp4"
            | "corrupted.mp4"
            | "iphone_with-gps.mov"
            | "sample_h264.ts"
            | "Sony_A7M3_avchd.mts"
            | "bear-vp9-odd-dimensions.webm"
            | "MVI_4823.AVI" => false,
            _ => continue,
        };
        let info = reinback_film::probe(&truth.path).unwrap();
        assert_eq!(info.variable_rate, expected, "{}", truth.name);
    }
}

#[test]
fn a_small_cache_is_enough_and_never_exceeded() {
    let Some(folder) = media() else { return };
    let path = folder.join("decode/sample_with_increasing_timestamps_320w_240h.mp4");
    if !path.exists() {
        println!("skipped: no {}", path.display());
        return;
    }
    let settings = Settings {
        max_side: 320,
        full_side: 0,
        cache_bytes: 3_000_000,
        hardware: false,
    };
    let mut film = Watched::open(&path, settings).unwrap();
    let mut time = FilmTime::from_secs_f64(8.0);
    for _ in 0..40 {
        let frame = film.step(time, -1);
        assert!(frame.time < time);
        time = frame.time;
        assert!(film.film.cache_bytes_used() <= settings.cache_bytes);
    }
}
