//! Files that are no films, or broken ones: a clear word, or what is left of
//! the film, never a hang.

use std::path::Path;

use reinback_film::{
    Film, FilmError, FilmErrorKind, FilmInfo, FilmTime, Flaw, FlawKind, Reply, fingerprint, probe,
    thumbnail,
};

use reinback_film::proof::Proof;

use crate::support::{Dice, SMALL, Watched, clip, media, same_time, since_first};

#[track_caller]
fn refuses(path: &Path, kind: FilmErrorKind) {
    let opened = Watched::open(path, SMALL).map(|film| film.info);
    let error = opened.expect_err("it opened");
    assert_eq!(error.kind(), kind, "{error} ({})", error.detail());
    assert!(error.to_string().ends_with(&path.display().to_string()));
    assert_eq!(probe(path).unwrap_err().kind(), kind);
    assert_eq!(thumbnail(path, None, 64).unwrap_err().kind(), kind);
}

#[test]
fn what_is_no_film_is_refused_with_its_reason() {
    let folder = tempfile::tempdir().unwrap();
    for (name, content, kind) in [
        ("empty.mp4", &b""[..], FilmErrorKind::Empty),
        (
            "text.mp4",
            b"Warm-up, then half-pass left.\n",
            FilmErrorKind::NotAFilm,
        ),
        (
            "list.mp4",
            b"#EXTM3U\n#EXTINF:1,\nhttp://127.0.0.1/a.ts\n",
            FilmErrorKind::NotAFilm,
        ),
        (
            "cut.mp4",
            b"\0\0\0\x18ftypisom\0\0\0\0isommp41\0\0\0\x10mdat12345678",
            FilmErrorKind::Damaged,
        ),
    ] {
        let path = folder.path().join(name);
        std::fs::write(&path, content).unwrap();
        refuses(&path, kind);
    }
    refuses(folder.path(), FilmErrorKind::NotAFilm);
    let missing = folder.path().join("gone.mp4");
    refuses(&missing, FilmErrorKind::NotFound);
    assert!(probe(&missing).unwrap_err().can_retry());
    assert_eq!(
        fingerprint(&missing).unwrap_err().kind(),
        FilmErrorKind::NotFound
    );
}

#[cfg(unix)]
#[test]
fn a_film_that_may_not_be_read_says_so() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("locked.mp4");
    std::fs::write(&path, b"some bytes").unwrap();
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o0)).unwrap();
    if std::fs::read(&path).is_ok() {
        println!("skipped: this user may read every file");
        return;
    }
    refuses(&path, FilmErrorKind::Unreadable);
}

/// What a stand-in for a film needs in the tests of other crates.
#[test]
fn facts_replies_and_errors_can_be_made_without_a_film() {
    let info = FilmInfo {
        width: 640,
        frames: Some(3),
        ..FilmInfo::default()
    };
    assert_eq!(info.frame_length(), FilmTime(40_000_000));
    assert!(matches!(Reply::Opened(info), Reply::Opened(told) if told.width == 640));
    let error = FilmError::new(FilmErrorKind::NotFound, Path::new("a.mp4"), "x");
    assert!(matches!(Reply::Failed(error), Reply::Failed(told) if told.can_retry()));
}

#[test]
fn sound_without_a_picture_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let sound = "-f lavfi -i sine=duration=1 -c:a aac";
    if let Some(path) = clip(folder.path(), "sound.m4a", sound) {
        refuses(&path, FilmErrorKind::NoPicture);
    }
}

/// A cover picture is a picture stream to libav, but no film.
#[test]
fn a_song_with_a_cover_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let song = "-f lavfi -i sine=duration=1 -f lavfi -i testsrc2=size=64x64:duration=0.04 \
                -map 0 -map 1 -c:a libmp3lame -c:v mjpeg -disposition:v attached_pic";
    if let Some(path) = clip(folder.path(), "song.mp3", song) {
        refuses(&path, FilmErrorKind::NoPicture);
    }
}

fn one_gop(folder: &Path, name: &str, more: &str) -> Option<Vec<u8>> {
    let arguments = format!(
        "-f lavfi -i testsrc2=size=160x120:rate=25:duration=2 -c:v libx264 -g 10 -pix_fmt yuv420p {more}"
    );
    clip(folder, name, &arguments).map(|path| std::fs::read(path).unwrap())
}

#[test]
fn a_recording_cut_off_before_its_index_is_damaged() {
    let folder = tempfile::tempdir().unwrap();
    let Some(bytes) = one_gop(folder.path(), "whole.mp4", "") else {
        return;
    };
    let path = folder.path().join("half.mp4");
    std::fs::write(&path, &bytes[..bytes.len() / 2]).unwrap();
    refuses(&path, FilmErrorKind::Damaged);
}

#[test]
fn a_film_cut_off_after_its_index_plays_to_the_cut() {
    let folder = tempfile::tempdir().unwrap();
    let Some(bytes) = one_gop(folder.path(), "whole.mp4", "-movflags +faststart") else {
        return;
    };
    let path = folder.path().join("half.mp4");
    std::fs::write(&path, &bytes[..bytes.len() / 2]).unwrap();
    let mut film = Watched::open(&path, SMALL).unwrap();
    let last = film.exact(FilmTime::MAX).time;
    assert!(last > FilmTime::from_secs_f64(0.3), "{last:?}");
    assert!(last < FilmTime::from_secs_f64(1.9), "{last:?}");
    assert_eq!(film.exact(FilmTime::ZERO).time, FilmTime::ZERO);
}

/// The presented frames of these films, listed by ffprobe, and how many of
/// the stored ones cannot be decoded.
#[test]
fn damaged_films_play_on_with_their_holes() {
    let Some(folder) = media() else { return };
    for (name, frames, at_least) in [
        ("sample_with_invalid_nalu.mp4", 29, 1),
        ("corrupted.mp4", 49, 1),
        ("sample_mdat_too_long.mp4", 30, 0),
    ] {
        let path = folder.join("damaged").join(name);
        let Ok(list) = std::fs::read_to_string(format!("{}.frames.csv", path.display())) else {
            println!("skipped: no {name}");
            continue;
        };
        let seconds: Vec<f64> = list
            .lines()
            .filter_map(|line| line.split(',').nth(2)?.parse().ok())
            .collect();
        let truth = since_first(&seconds);
        assert_eq!(truth.len(), frames, "{name}");
        let mut film = Watched::open(&path, SMALL).unwrap();
        let mut time = film.exact(FilmTime::ZERO).time;
        for expected in &truth[1..] {
            let frame = film.step(time, 1);
            assert!(
                same_time(frame.time, *expected),
                "{name}: {:?} {expected:?}",
                frame.time
            );
            time = frame.time;
        }
        film.settle();
        assert!(film.skipped >= at_least, "{name}: {} skipped", film.skipped);
        assert_eq!(
            film.skipped > 0,
            at_least > 0,
            "{name}: {} skipped",
            film.skipped
        );
    }
}

/// Where a packet of the film lies in its file, and its time in seconds, as ffprobe tells.
fn packet(path: &Path, number: usize) -> Option<(usize, usize, f64)> {
    let output = std::process::Command::new("ffprobe")
        .args(["-v", "error", "-select_streams", "v:0", "-of", "csv=p=0"])
        .args(["-show_entries", "packet=pts_time,size,pos"])
        .arg(path)
        .output()
        .ok()?;
    let text = String::from_utf8(output.stdout).ok()?;
    let mut parts = text.lines().nth(number)?.split(',');
    let seconds = parts.next()?.parse().ok()?;
    let size = parts.next()?.parse().ok()?;
    Some((parts.next()?.parse().ok()?, size, seconds))
}

#[test]
fn a_gap_is_told_where_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let source = "-f lavfi -i testsrc2=size=192x108:rate=25:duration=3 -c:v libx264 -g 25 -bf 2 \
                  -pix_fmt yuv420p";
    let Some(path) = clip(folder.path(), "film.mp4", source) else {
        return;
    };
    let (at, size, seconds) = packet(&path, 40).unwrap();
    let mut bytes = std::fs::read(&path).unwrap();
    bytes[at..at + size].fill(0);
    std::fs::write(&path, &bytes).unwrap();

    let mut film = Watched::open(&path, SMALL).unwrap();
    let mut time = film.exact(FilmTime::ZERO).time;
    for _ in 0..74 {
        time = film.step(time, 1).time;
    }
    film.settle();
    let lost = FilmTime::from_secs_f64(seconds);
    let (from, to) = (FilmTime(1_000_000_000), FilmTime(2_000_000_000));
    let told = |flaw: &&Flaw| flaw.from <= lost && lost < flaw.to;
    let flaw = film.flaws.iter().find(told);
    let kind = flaw.map(|flaw| flaw.kind);
    assert_eq!(kind, Some(FlawKind::Missing), "{:?}", film.flaws);
    let missing = film.flaws.iter().filter(|f| f.kind == FlawKind::Missing);
    let missing: i64 = missing.map(|flaw| (flaw.to - flaw.from).0).sum();
    assert!(missing <= 200_000_000, "of one packet: {:?}", film.flaws);
    // Nothing before the group of frames it is in, and nothing after the next key frame.
    let within = |flaw: &Flaw| flaw.from > from && flaw.to <= to;
    assert!(film.flaws.iter().all(within), "{:?}", film.flaws);
}

/// Garbles one packet, and has the engine tell, decoding on one thread, which frames are in doubt. By ITU-T H.264,
/// 8.2.1, a picture can lean only on those back to the last one that begins anew.
#[test]
fn frames_that_a_decoder_made_up_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let source = "-f lavfi -i testsrc2=size=320x180:rate=25:duration=4 -c:v libx264 -g 25 -bf 2 \
                  -pix_fmt yuv420p";
    let Some(path) = clip(folder.path(), "film.mp4", source) else {
        return;
    };
    let mut bytes = std::fs::read(&path).unwrap();
    // The largest packet of the second group but its first: one that others lean on.
    let group = (26..50).filter_map(|number| packet(&path, number));
    let (at, size, seconds) = group.max_by_key(|(_, size, _)| *size).unwrap();
    let mut dice = Dice(5);
    for byte in &mut bytes[at + size / 4..at + size] {
        *byte = u8::try_from(dice.below(256)).unwrap();
    }
    std::fs::write(&path, &bytes).unwrap();

    let mut film = Proof::open_single(&path, 64 << 20).unwrap();
    let mut time = film.at(FilmTime::ZERO).unwrap().unwrap().time;
    while let Some(next) = film.after(time).unwrap() {
        time = next.time;
    }
    assert_eq!(time, FilmTime(3_960_000_000), "no frame is left out");
    let flaws = film.flaws();
    let hit = FilmTime::from_secs_f64(seconds);
    let doubtful = |flaw: &Flaw| flaw.kind == FlawKind::Doubtful;
    assert!(flaws.iter().all(doubtful), "{flaws:?}");
    // The frame hit and the one after it, which leans on it.
    for time in [hit, hit + FilmTime(40_000_000)] {
        let told = |flaw: &Flaw| flaw.from <= time && time < flaw.to;
        assert!(flaws.iter().any(told), "{time:?} {flaws:?}");
    }
    let (from, to) = (FilmTime(1_000_000_000), FilmTime(2_000_000_000));
    let within = |flaw: &Flaw| flaw.from > from && flaw.to <= to;
    assert!(flaws.iter().all(within), "{flaws:?}");
}

#[test]
fn a_film_of_which_nothing_decodes_is_damaged() {
    let Some(folder) = media() else { return };
    let path = folder.join("damaged/invalid-bitstream.webm");
    if path.exists() {
        refuses(&path, FilmErrorKind::Damaged);
    } else {
        println!("skipped: no {}", path.display());
    }
}

/// A file that never answers: a pipe nobody writes to. Whoever waited for it would wait for ever,
/// and the runner would end this test.
#[test]
fn opening_asking_and_dropping_never_wait() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("film.mp4");
    let pipe = std::process::Command::new("mkfifo").arg(&path).status();
    if !pipe.is_ok_and(|status| status.success()) {
        println!("skipped: no pipes here");
        return;
    }
    let film = Film::open(&path, SMALL, std::sync::Arc::new(|| {}));
    film.want(reinback_film::Want::Exact(FilmTime(1)));
    assert!(film.cached(FilmTime::ZERO).is_none());
    drop(film);
}
