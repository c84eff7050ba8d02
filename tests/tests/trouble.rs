//! Bad films and bad yards: a clear sentence, a next step, nothing lost, no panic.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::fs;
use std::path::{Path, PathBuf};

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use reinback_tests::window::{Window, copy_demo, workspace};

/// Opens an empty yard with these files as films of a new ride, and waits until all are read.
fn offer(folder: &Path, files: &[PathBuf]) -> Window {
    let yard = folder.join("yard");
    fs::create_dir_all(&yard).unwrap();
    drop(reinback_yard::Store::create(&yard, "Trouble").unwrap());
    let mut paths: Vec<&Path> = vec![&yard];
    paths.extend(files.iter().map(PathBuf::as_path));
    let mut window = Window::open(&paths);
    window.until("the films are read", |w| {
        w.shows("New ride") && !w.shows("Reading")
    });
    window
}

fn check_offered(name: &str, content: Option<&[u8]>, expect: &str) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join(name);
    if let Some(content) = content {
        fs::write(&file, content).unwrap();
    }
    let window = offer(folder.path(), &[file]);
    assert!(
        window.shows(expect),
        "{name}: {:?} does not say “{expect}”",
        window.texts()
    );
    assert!(window.shows("None of these files can be used as a film"));
}

#[test]
fn bad_films_get_a_sentence() {
    check_offered("missing.mp4", None, "no longer where it was");
    check_offered("empty.mp4", Some(b""), "empty");
    check_offered(
        "letter.mp4",
        Some(b"Dear trainer, the film follows by post.\n"),
        "not a film",
    );
    check_offered("sound.mp4", Some(&silence()), "no moving picture");
}

/// A second of silence as a WAV file: sound without a picture (RIFF, PCM, 8 kHz, 8 bits).
fn silence() -> Vec<u8> {
    let samples = 8_000_u32;
    let mut file = Vec::new();
    file.extend(b"RIFF");
    file.extend((36 + samples).to_le_bytes());
    file.extend(b"WAVEfmt ");
    file.extend(16_u32.to_le_bytes());
    file.extend([1, 0, 1, 0]);
    file.extend(8_000_u32.to_le_bytes());
    file.extend(8_000_u32.to_le_bytes());
    file.extend([1, 0, 8, 0]);
    file.extend(b"data");
    file.extend(samples.to_le_bytes());
    file.resize(file.len() + 8_000, 128);
    file
}

/// A film whose end is missing plays as far as it goes, and can be marked.
#[test]
fn a_film_cut_off_in_the_middle_plays_what_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let film = yard.join("films/evening-ride.mp4");
    let whole = fs::read(&film).unwrap();
    fs::write(&film, &whole[..whole.len() / 2]).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the first frame shows", Window::has_picture);
    let marks = window.ride().marks.len();
    // Far into what is missing.
    for _ in 0..75 {
        window.press_with(Modifiers::SHIFT, Key::ArrowRight);
    }
    window.types("+");
    assert_eq!(window.ride().marks.len(), marks + 1);
    window.press(Key::Home);
    window.until("the first frame shows again", |w| {
        w.app().review().unwrap().stage.position().0 == 0
    });
}

/// A film with a hole plays past it; the strip and the times' line say so.
#[test]
fn a_damaged_stretch_is_counted_and_shown() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let film = yard.join("films/evening-ride.mp4");
    let mut bytes = fs::read(&film).unwrap();
    // Some 4 KiB of coded picture near the beginning, behind the first key frame.
    let data = bytes.windows(4).position(|four| four == b"mdat").unwrap();
    let hole = data + 150_000;
    bytes[hole..hole + 4_096].fill(0);
    fs::write(&film, &bytes).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the first frame shows", Window::has_picture);
    for _ in 0..40 {
        window.press_with(Modifiers::SHIFT, Key::ArrowRight);
        window.until("the frame is there", |w| {
            !w.app().review().unwrap().stage.is_waiting()
        });
    }
    window.until("the damage is counted", |w| w.shows("damaged"));
    let flaws = window.app().review().unwrap().stage.flaws();
    assert!(!flaws.is_empty());
    assert!(
        flaws.iter().all(|(span, _)| span.from < span.to),
        "{flaws:?}"
    );
}

/// A folder that may not be written to opens for reading and says so.
#[cfg(unix)]
#[test]
fn a_yard_that_may_not_be_written_to_opens_for_reading() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    fs::set_permissions(&yard, fs::Permissions::from_mode(0o555)).unwrap();
    if fs::write(yard.join("probe"), "").is_ok() {
        println!("skipped: this user may write everywhere");
        return;
    }
    let mut window = Window::open(&[&yard]);
    window.until("the window says so", |w| w.shows("reading only"));
    fs::set_permissions(&yard, fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn a_truncated_film_gets_a_sentence() {
    let whole = fs::read(workspace().join("demo-sessions/films/evening-ride.mp4")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("cut.mp4");
    fs::write(&file, &whole[..4_000]).unwrap();
    let window = offer(folder.path(), &[file]);
    assert!(
        window.shows("None of these files can be used as a film"),
        "{:?}",
        window.texts()
    );
}

#[test]
fn a_good_film_becomes_a_ride() {
    let folder = tempfile::tempdir().unwrap();
    let film = folder.path().join("film.mp4");
    fs::copy(
        workspace().join("demo-sessions/films/evening-ride.mp4"),
        &film,
    )
    .unwrap();
    let mut window = offer(folder.path(), &[film]);
    window.harness.get_by_label("Name of the new horse").focus();
    window.steps(2);
    window.types("Wren");
    window.click("Make the ride");
    window.until("the film shows", Window::has_picture);
    assert_eq!(window.yard().horses[0].name, "Wren");
    assert_eq!(window.ride().films.len(), 1);
    assert!(window.ride().films[0].fingerprint.is_some());
}

#[test]
fn a_moved_film_is_asked_for_and_found() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let moved = folder.path().join("elsewhere.mp4");
    fs::rename(yard.join("films/evening-ride.mp4"), &moved).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the trouble is told", |w| w.shows("Where is it now?…"));
    assert!(window.shows("Your marks are safe"));
    // Marking goes on without the film.
    let marks = window.ride().marks.len();
    window.types("+");
    assert_eq!(window.ride().marks.len(), marks + 1);

    window.will_answer(vec![moved]);
    window.click("Where is it now?…");
    window.until("the film shows", Window::has_picture);
}

#[test]
fn a_damaged_ride_leaves_the_others() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let rides: Vec<PathBuf> = fs::read_dir(yard.join("rides/2026"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    let damaged = rides.iter().min().unwrap();
    fs::write(damaged, "(format: 1, id: ").unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    assert!(window.shows("could not be read"), "{:?}", window.texts());
    assert_eq!(window.yard().rides.len(), rides.len() - 1);
    assert_eq!(
        fs::read_to_string(damaged).unwrap(),
        "(format: 1, id: ",
        "the damaged file is left alone"
    );
}

#[test]
fn a_newer_yard_opens_for_reading() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let file = yard.join("yard.ron");
    let old = fs::read_to_string(&file).unwrap();
    let (first, rest) = old.split_once("format: ").unwrap();
    let behind = rest.trim_start_matches(|sign: char| sign.is_ascii_digit());
    let text = format!("{first}format: 99{behind}");
    fs::write(&file, &text).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the window says so", |w| {
        w.shows("newer") || w.shows("reading only")
    });
    assert_eq!(
        fs::read_to_string(&file).unwrap(),
        text,
        "a newer yard is never written to"
    );
}

#[test]
fn a_folder_that_is_no_yard_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = Window::open(&[folder.path()]);
    window.until("the window says so", |w| w.shows("Try again"));
    assert!(
        window.shows("Make a new yard…"),
        "the way on is still there"
    );
}
