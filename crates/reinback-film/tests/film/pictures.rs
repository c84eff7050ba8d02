//! Small pictures for strips and lists.

use std::fs;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use reinback_film::{FilmTime, Frame, Pictures, thumbnail};

use crate::support::{clip, listed, within};

fn made(folder: &Path) -> Option<PathBuf> {
    let source = "-f lavfi -i testsrc2=size=192x108:rate=25:duration=2 -c:v libx264 -g 12 -bf 2 \
                  -pix_fmt yuv420p";
    clip(folder, "film.mp4", source)
}

fn make(wish: &Pictures, path: &Path, wanted: &[FilmTime]) -> Vec<(FilmTime, Frame)> {
    let mut made = Vec::new();
    wish.make(path, wanted, &mut |time, frame| {
        made.push((time, frame));
        ControlFlow::Continue(())
    })
    .unwrap();
    made
}

fn wish(slack_millis: i64, folder: Option<&Path>) -> Pictures {
    Pictures {
        max_side: 96,
        slack: FilmTime(slack_millis * 1_000_000),
        folder: folder.map(Path::to_path_buf),
    }
}

/// Mean difference of two pictures' bytes.
fn apart(one: &Frame, other: &Frame) -> f64 {
    assert_eq!((one.width, one.height), (other.width, other.height));
    let pairs = one.rgba.iter().zip(&*other.rgba);
    let sum: u64 = pairs.map(|(a, b)| u64::from(a.abs_diff(*b))).sum();
    sum as f64 / one.rgba.len() as f64
}

#[test]
fn pictures_are_those_of_the_times_wanted() {
    let folder = tempfile::tempdir().unwrap();
    let Some(path) = made(folder.path()) else {
        return;
    };
    let times = listed(&path);
    let wanted: Vec<FilmTime> = [30, 3, 17, 44].map(|n| within(&times, n)).into();
    let exact = make(&wish(0, None), &path, &wanted);
    assert_eq!(exact.len(), wanted.len());
    for ((time, frame), wanted) in exact.iter().zip(&wanted) {
        assert_eq!(time, wanted);
        let truth = thumbnail(&path, Some(*wanted), 96).unwrap();
        assert_eq!(frame.time, truth.time);
        assert_eq!(frame.rgba, truth.rgba);
    }
    // With slack a frame that is quicker to have will do, never a later one.
    for (time, frame) in make(&wish(300, None), &path, &wanted) {
        assert!(frame.time <= time && (time - frame.time).0 <= 300_000_000);
    }
}

#[test]
fn kept_pictures_are_read_again_and_damaged_ones_made_anew() {
    let folder = tempfile::tempdir().unwrap();
    let Some(path) = made(folder.path()) else {
        return;
    };
    let shelf = folder.path().join("kept");
    let wish = wish(0, Some(&shelf));
    // Between two frames: a picture made has its own time, a kept one that it was wanted for.
    let wanted = [FilmTime(510_000_000), FilmTime(990_000_000)];
    let first = make(&wish, &path, &wanted);
    assert!(first.iter().all(|(time, frame)| frame.time < *time));
    let again = make(&wish, &path, &wanted);
    for ((time, kept), (_, made)) in again.iter().zip(&first) {
        assert_eq!(kept.time, *time, "read from the folder");
        assert!(apart(kept, made) < 4.0, "{}", apart(kept, made));
    }
    for file in fs::read_dir(&shelf).unwrap() {
        fs::write(file.unwrap().path(), b"\xFF\xD8\xFFno picture").unwrap();
    }
    let anew = make(&wish, &path, &wanted);
    assert!(anew.iter().all(|(time, frame)| frame.time < *time));
}

#[test]
fn work_ends_when_told_to() {
    let folder = tempfile::tempdir().unwrap();
    let Some(path) = made(folder.path()) else {
        return;
    };
    let mut count = 0;
    let wanted = [FilmTime(0), FilmTime(40_000_000), FilmTime(80_000_000)];
    let ended = wish(0, None).make(&path, &wanted, &mut |_, _| {
        count += 1;
        ControlFlow::Break(())
    });
    assert!(ended.is_ok());
    assert_eq!(count, 1);
}
