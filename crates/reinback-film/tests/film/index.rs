//! Numbering a film's frames, against what `ffprobe` lists.

use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use reinback_film::{Film, FilmTime, FrameIndex, IndexState, Reply};

use crate::support::{SMALL, clip, listed, media, same_time, since_first};

/// The index of a film, made or read in `folder`; `None` where there is none.
fn index(film: &Film) -> Option<Arc<FrameIndex>> {
    let started = Instant::now();
    let mut opened = false;
    loop {
        match film.poll() {
            Some(Reply::Indexed { frames }) => {
                let IndexState::Ready(index) = film.index() else {
                    panic!("told, but not there");
                };
                assert_eq!(index.frames(), frames);
                return Some(index);
            }
            Some(Reply::Failed(error)) => panic!("{error}"),
            Some(Reply::Opened(_)) => opened = true,
            Some(_) => {}
            None => std::thread::sleep(Duration::from_millis(1)),
        }
        if opened && matches!(film.index(), IndexState::Absent) {
            return None;
        }
        assert!(
            started.elapsed() < Duration::from_mins(1),
            "no index of the film"
        );
    }
}

fn open(path: &Path, folder: &Path) -> Film {
    Film::open_indexed(path, SMALL, folder, Arc::new(|| {}))
}

fn check(name: &str, index: &FrameIndex, expected: &[FilmTime]) {
    assert_eq!(index.frames(), expected.len() as u64, "{name}");
    for (number, time) in (0..).zip(expected) {
        let found = index.time(number).unwrap();
        assert!(same_time(found, *time), "{name}: frame {number}: {found:?}");
        assert_eq!(index.number(found), number, "{name}");
    }
}

/// Containers with and without a list of frames, B-frames, open groups of
/// pictures, fields, a late start.
#[test]
fn made_films_are_numbered_as_ffprobe_lists_them() {
    let folder = tempfile::tempdir().unwrap();
    let source = "-f lavfi -i testsrc2=size=96x64:rate=25:duration=2 -pix_fmt yuv420p";
    for (name, coding) in [
        ("b.mp4", "-c:v libx264 -g 12 -bf 3"),
        (
            "open.mkv",
            "-c:v libx264 -g 12 -bf 3 -x264-params open-gop=1",
        ),
        ("late.mp4", "-c:v libx264 -bf 2 -output_ts_offset 7.3"),
        ("stream.ts", "-c:v libx264 -bf 2 -g 12"),
        // With B-frames ffprobe gives no time for the last one.
        ("old.avi", "-c:v mpeg4 -g 12"),
        (
            "fields.ts",
            "-vf interlace -c:v libx264 -flags +ildct+ilme -g 10",
        ),
    ] {
        let Some(path) = clip(folder.path(), name, &format!("{source} {coding}")) else {
            continue;
        };
        let index = index(&open(&path, &folder.path().join("kept"))).unwrap();
        check(name, &index, &listed(&path));
    }
}

#[test]
fn films_of_many_makers_are_numbered_as_listed() {
    let Some(media) = media() else { return };
    let folder = tempfile::tempdir().unwrap();
    for (name, more) in [
        ("decode/sample_edit_list.mp4", 0),
        ("decode/sample_sef_slow_motion.mp4", 0),
        ("decode/edit_list_positive_shift.mp4", 0),
        ("decode/FLIR_vfr.mp4", 0),
        ("decode/nasa_13013.mp4", 0),
        ("decode/sample_h264.ts", 0),
        ("decode/Sony_A7M3_avchd.mts", 0),
        ("decode/sample.avi", 0),
        ("decode/bear-vp9-odd-dimensions.webm", 0),
        ("decode/long_1080p_lowbitrate.mp4", 0),
        // One stored frame turns out damaged: it counts.
        ("damaged/corrupted.mp4", 1),
    ] {
        let path = media.join(name);
        let Ok(list) = std::fs::read_to_string(format!("{}.frames.csv", path.display())) else {
            println!("skipped: no {name}");
            continue;
        };
        let seconds: Vec<f64> = list
            .lines()
            .filter_map(|line| line.split(',').nth(2)?.trim().parse().ok())
            .collect();
        let index = index(&open(&path, folder.path())).expect(name);
        if more == 0 {
            check(name, &index, &since_first(&seconds));
        } else {
            assert_eq!(index.frames(), seconds.len() as u64 + more, "{name}");
        }
    }
}

#[test]
fn a_kept_index_is_used_and_a_damaged_one_is_made_again() {
    let folder = tempfile::tempdir().unwrap();
    let source = "-f lavfi -i testsrc2=size=96x64:rate=25:duration=2 -c:v libx264 -pix_fmt yuv420p";
    let Some(path) = clip(folder.path(), "film.mp4", source) else {
        return;
    };
    let kept = folder.path().join("kept");
    let made = index(&open(&path, &kept)).unwrap();
    let files: Vec<_> = std::fs::read_dir(&kept)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    let [file] = files.as_slice() else {
        panic!("{files:?}");
    };
    let whole = std::fs::read(file).unwrap();
    // A moved film finds its index by content.
    let moved = folder.path().join("moved.mp4");
    std::fs::rename(&path, &moved).unwrap();
    let written = std::fs::metadata(file).unwrap().modified().unwrap();
    assert_eq!(index(&open(&moved, &kept)).unwrap(), made);
    assert_eq!(
        std::fs::metadata(file).unwrap().modified().unwrap(),
        written
    );
    for broken in [&b""[..], b"RBFRAMES", &whole[..whole.len() - 1]] {
        std::fs::write(file, broken).unwrap();
        assert_eq!(index(&open(&moved, &kept)).unwrap(), made);
        assert_eq!(
            std::fs::read(file).unwrap(),
            whole,
            "it is kept whole again"
        );
    }
}

#[test]
fn two_windows_number_one_film_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let source = "-f lavfi -i testsrc2=size=96x64:rate=25:duration=2 -c:v libx264 -pix_fmt yuv420p";
    let Some(path) = clip(folder.path(), "film.mp4", source) else {
        return;
    };
    let kept = folder.path().join("kept");
    let films: Vec<Film> = (0..4).map(|_| open(&path, &kept)).collect();
    for film in &films {
        assert_eq!(index(film).unwrap().frames(), 50);
    }
    assert_eq!(std::fs::read_dir(&kept).unwrap().count(), 1);
}

/// Where the folder cannot be written, frames are numbered all the same.
#[test]
fn a_folder_that_cannot_be_written_is_no_hindrance() {
    let folder = tempfile::tempdir().unwrap();
    let source = "-f lavfi -i testsrc2=size=96x64:rate=25:duration=1 -c:v libx264 -pix_fmt yuv420p";
    let Some(path) = clip(folder.path(), "film.mp4", source) else {
        return;
    };
    let index = index(&open(&path, &path.join("no folder"))).unwrap();
    assert_eq!(index.frames(), 25);
}
