//! Films that were moved, renamed or exchanged behind the window's back.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use reinback_tests::window::{Window, copy_demo};

/// A ride of one film in a yard of its own; the film lies in the yard's folder.
fn ride_of_one_film(folder: &Path) -> (PathBuf, PathBuf) {
    let demo = copy_demo(&folder.join("demo")).unwrap();
    let yard = folder.join("yard");
    let film = yard.join("films/trot.mp4");
    fs::create_dir_all(film.parent().unwrap()).unwrap();
    fs::copy(demo.join("films/evening-ride.mp4"), &film).unwrap();
    drop(reinback_yard::Store::create(&yard, "Journeys").unwrap());
    let mut window = Window::open(&[&yard, &film]);
    window.until("the film is read", |w| {
        w.shows("New ride") && !w.shows("Reading")
    });
    window.harness.get_by_label("Name of the new horse").focus();
    window.steps(2);
    window.types("Wren");
    window.click("Make the ride");
    window.until("the film shows", Window::has_picture);
    window.press_with(Modifiers::COMMAND, Key::S);
    window.until("everything is saved", |w| w.app().is_saved());
    (yard, film)
}

fn open_review(yard: &Path) -> Window {
    let mut window = Window::open(&[yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window
}

#[test]
fn a_film_moved_within_the_yard_is_found_by_what_it_holds() {
    let folder = tempfile::tempdir().unwrap();
    let (yard, film) = ride_of_one_film(folder.path());
    let moved = yard.join("2026/November/first ride.mp4");
    fs::create_dir_all(moved.parent().unwrap()).unwrap();
    fs::rename(&film, &moved).unwrap();

    let mut window = open_review(&yard);
    window.until("the film shows", Window::has_picture);
    assert!(window.shows("is found again"), "{:?}", window.texts());
    assert_eq!(window.ride().films[0].path, "2026/November/first ride.mp4");
    let document = &window.app().open_yard().unwrap().document;
    assert_eq!(document.undo_label(), None, "it is no step of the rider's");
    // As many pictures as the strip has room for, some from 32 to 64 points each.
    window.until("the strip shows pictures", |w| {
        w.app().review().unwrap().roll.made() > 10
    });
}

#[test]
fn another_film_of_the_same_name_is_not_taken_for_it() {
    let folder = tempfile::tempdir().unwrap();
    let (yard, film) = ride_of_one_film(folder.path());
    // A whole film with something behind it (an empty box, ISO 14496-12 8.1.2) is another file.
    let mut other = fs::File::options().append(true).open(&film).unwrap();
    other.write_all(b"\0\0\0\x08free").unwrap();
    drop(other);

    let mut window = open_review(&yard);
    window.until("it is told", |w| w.shows("Another film lies here"));
    assert!(!window.has_picture());
    window.steps(10);
    let review = window.app().review().unwrap();
    assert_eq!(review.roll.made(), 0, "nothing of the other film is shown");
    window.click("Take this film");
    window.until("the film shows", Window::has_picture);
    window.press_with(Modifiers::COMMAND, Key::Z);
    window.until("it is told again", |w| w.shows("Another film lies here"));
}

/// A drive that is not plugged in: looked for once, and again when asked.
#[test]
fn a_film_looked_for_in_vain_is_looked_for_again_when_asked() {
    let folder = tempfile::tempdir().unwrap();
    let (yard, film) = ride_of_one_film(folder.path());
    let away = folder.path().join("drive/trot.mp4");
    fs::create_dir_all(away.parent().unwrap()).unwrap();
    fs::rename(&film, &away).unwrap();

    let mut window = open_review(&yard);
    let again = |w: &Window| w.harness.query_by_label("Try again").is_some();
    window.until("it is gone", again);
    let in_vain = |w: &Window| w.app().sought_in_vain() == 1;
    window.until("it was looked for", in_vain);
    fs::rename(&away, yard.join("found.mp4")).unwrap();
    window.click("Try again");
    window.until("the film shows", Window::has_picture);
    assert_eq!(window.ride().films[0].path, "found.mp4");
}

/// Many films to compare, each of which would take its time.
#[test]
fn a_search_that_takes_too_long_is_ended() {
    let folder = tempfile::tempdir().unwrap();
    let (yard, film) = ride_of_one_film(folder.path());
    fs::remove_file(&film).unwrap();
    for number in 0..2_000 {
        let other = fs::File::create(yard.join(format!("films/{number}.mp4"))).unwrap();
        // Without content of its own, it needs no room on the disk.
        other.set_len(4 << 20).unwrap();
    }
    let mut window = open_review(&yard);
    window.until("it is looked for", |w| w.shows("Look no further"));
    assert_eq!(window.app().sought_in_vain(), 0);
    window.click("Look no further");
    for _ in 0..20 {
        window.steps(1);
        assert!(!window.shows("Looking for it"), "{:?}", window.texts());
    }
    assert_eq!(window.app().sought_in_vain(), 1);
}
