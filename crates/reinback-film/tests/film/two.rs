//! Two films beside each other, in step, on the memory of one.

use std::path::{Path, PathBuf};

use reinback_film::{FilmTime, Settings, Want};

use crate::support::{Watched, clip, listed, within};

fn made(folder: &Path, name: &str, rate: u32) -> Option<PathBuf> {
    let source = format!(
        "-f lavfi -i testsrc2=size=192x108:rate={rate}:duration=4 -c:v libx264 -g 25 -bf 2 \
         -pix_fmt yuv420p"
    );
    clip(folder, name, &source)
}

#[test]
fn two_films_show_their_frames_of_one_moment_within_one_limit() {
    let folder = tempfile::tempdir().unwrap();
    let Some(one) = made(folder.path(), "one.mp4", 25) else {
        return;
    };
    let Some(other) = made(folder.path(), "other.mp4", 50) else {
        return;
    };
    // Room for some forty frames of either, of a hundred and more.
    let both = Settings {
        max_side: 192,
        cache_bytes: 2 * 20 * 192 * 108 * 3 / 2,
        ..Settings::default()
    };
    let share = both.shared_by(2);
    let frame = 192 * 108 * 2;
    let paths = [one, other];
    let times = paths.each_ref().map(|path| listed(path));
    let mut films = paths.map(|path| Watched::open(&path, share).unwrap());

    // On, back over the border of a group, and far away.
    for millis in (0..40)
        .map(|n| n * 37)
        .chain((10..30).rev().map(|n| n * 37))
        .chain([3_700, 90])
    {
        let moment = FilmTime(millis * 1_000_000);
        for (film, times) in films.iter_mut().zip(&times) {
            let shown = film.ask(Want::Exact(moment));
            let due = times.iter().rev().find(|time| **time <= moment);
            assert_eq!(Some(&shown.time), due, "at {millis} ms");
        }
        let held: usize = films.iter().map(|film| film.film.cache_bytes_used()).sum();
        assert!(
            held <= both.cache_bytes + 2 * frame,
            "{held} bytes at {millis} ms"
        );
    }
    for (film, times) in films.iter_mut().zip(&times) {
        let end = within(times, times.len() - 1);
        assert_eq!(film.ask(Want::Exact(end)).time, times[times.len() - 1]);
    }
}
