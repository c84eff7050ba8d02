//! The moments of a line: stills, pictures that play in place, films that are not there, and
//! moments side by side, with real films.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::path::{Path, PathBuf};

use egui::{Key, Modifiers, Pos2};
use egui_kittest::kittest::Queryable as _;
use reinback::action::Room;
use reinback::rooms::progress::ProgressView;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::Moment;

/// The fault of the half-pass left in the last ride, as the demo's film has it, and the middle of
/// the clean one on the right (`demo-sessions/films/evening-ride.truth.ron`).
const FAULT: &str = "0:30 quarters trailing, in trot, left";
const CLEAN: &str = "0:22 clean, in trot, right";
/// A frame of the evening ride, 30 a second.
const FRAME: i64 = 33_400_000;

/// The line of the half-pass open in the Progress room; the yard.
fn open_line(folder: &Path) -> (Window, PathBuf) {
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    // High enough to have the wall in sight.
    window.harness.set_size(egui::vec2(1_600.0, 2_400.0));
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("lines are counted", |w| w.shows("faults a minute"));
    window.click_part("half-pass. ");
    window.until("its moments are there", |w| w.shows(FAULT));
    (window, yard)
}

fn progress(window: &Window) -> &ProgressView {
    window.app().progress()
}

/// Where the middle of a moment's picture is.
fn middle(window: &Window, part: &str) -> Pos2 {
    let tile = window.harness.get_by_label_contains(part).rect();
    tile.center_top() + egui::vec2(0.0, 40.0)
}

/// Marks the clean attempt and the fault, in this order.
fn mark_both(window: &mut Window) {
    window.click_part("clean attempts too");
    window.until("clean ones are among them", |w| w.shows(CLEAN));
    for part in [CLEAN, FAULT] {
        window.harness.get_by_label_contains(part).focus();
        window.steps(2);
        window.press(Key::B);
    }
}

fn played(window: &Window) -> u64 {
    progress(window)
        .moment_played()
        .map_or(0, |(_, frames)| frames)
}

#[test]
fn a_picture_plays_under_the_pointer_and_by_key() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _) = open_line(folder.path());
    window.until("the still is there", |w| progress(w).stills_shown() > 0);
    assert_eq!(progress(&window).moment_played(), None);

    let tile = middle(&window, FAULT);
    window.move_to(tile);
    window.until("it plays under the pointer", |w| played(w) > 20);
    assert!(window.shows(&format!(
        "{FAULT}: ran out of room, shoulders too far ahead; playing"
    )));
    window.move_to(Pos2::new(4.0, 4.0));
    window.until("left, it stops", |w| progress(w).moment_played().is_none());

    window.harness.get_by_label_contains(FAULT).focus();
    window.steps(2);
    window.press(Key::Space);
    window.until("it plays by key", |w| played(w) > 20);
    window.press(Key::Space);
    window.until("it stops by key", |w| progress(w).moment_played().is_none());
    assert_eq!(window.app().room(), Room::Progress);

    window.press(Key::Enter);
    assert_eq!(window.app().room(), Room::Review);
    window.until("the film shows", Window::has_picture);
    window.until("the frame is there", |w| {
        !w.app().review().unwrap().stage.is_waiting()
    });
    let from = window.app().review().unwrap().stage.position();
    let wanted = Moment(28_710_411_161);
    assert!((from.0 - wanted.0).abs() <= FRAME, "{from:?}");
}

#[test]
fn a_film_that_is_not_there_is_told_and_its_ride_opens() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, yard) = open_line(folder.path());
    // Of the demo's films only the newest is in the repository.
    window.until("the others are told", |w| w.shows("; Film not found"));
    let missing = |w: &Window| {
        let told = w.texts();
        told.into_iter()
            .find(|text| text.ends_with("; Film not found"))
            .unwrap()
    };
    let name = missing(&window);
    window.move_to(middle(&window, &name));
    window.steps(20);
    assert_eq!(progress(&window).moment_played(), None);
    window.click(&name);
    assert_eq!(window.app().room(), Room::Review);
    window.until("the film can be looked for", |w| {
        w.shows("Where is it now?")
    });

    // The disk is connected again: a film lies where the yard says.
    let path = window.ride().films[0].path.clone();
    std::fs::copy(yard.join("films/evening-ride.mp4"), yard.join(path)).unwrap();
    window.press_with(Modifiers::COMMAND, Key::Num3);
    let still = name.strip_suffix("; Film not found").unwrap().to_owned();
    window.until("it is found again", |w| {
        w.texts().contains(&still) && progress(w).stills_shown() > 1
    });
}

#[test]
fn a_film_that_goes_away_while_it_plays_ends_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, yard) = open_line(folder.path());
    window.until("the still is there", |w| progress(w).stills_shown() > 0);
    window.move_to(middle(&window, FAULT));
    window.until("it plays", |w| played(w) > 5);
    std::fs::remove_file(yard.join("films/evening-ride.mp4")).unwrap();
    window.steps(30);
    window.move_to(Pos2::new(4.0, 4.0));
    // To Review and back, after which it is looked for again.
    window.press_with(Modifiers::COMMAND, Key::Num1);
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.move_to(middle(&window, FAULT));
    window.steps(30);
    assert!(window.shows(FAULT), "what was marked is still told");
    assert_eq!(progress(&window).moment_played(), None);
}

#[test]
fn two_of_one_film_run_in_step_side_by_side() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _) = open_line(folder.path());
    mark_both(&mut window);
    assert!(window.shows("Side by side (2)"));
    let yard = window.yard().clone();
    assert_eq!(progress(&window).chosen_moments(&yard).len(), 2);
    window.press_with(Modifiers::COMMAND, Key::B);
    let both = |w: &Window| {
        let apart = progress(w).side_by_side()?;
        apart.into_iter().collect::<Option<Vec<i64>>>()
    };
    window.until("both are there", |w| both(w).is_some());
    let clock = |w: &Window| progress(w).side_by_side_clock().unwrap();
    window.until("they run", |w| clock(w).0 && clock(w).1 > -1_000_000_000);
    let in_step = |w: &Window| {
        let at = clock(w).1;
        // Each shows the frame of that moment, which began up to a frame before.
        let near = |from_mark: &i64| (-FRAME..=1_000_000).contains(&(from_mark - at));
        both(w).is_some_and(|both| both.iter().all(near))
    };
    assert!(in_step(&window), "{:?} {:?}", both(&window), clock(&window));
    // Left beside right is mirrored.
    assert!(window.shows("; mirrored"), "{:?}", window.texts());

    window.press(Key::Space);
    assert!(!clock(&window).0);
    window.press(Key::ArrowDown);
    window.until("each stands at its mark", |w| clock(w).1 == 0 && in_step(w));
    for key in [Key::ArrowRight, Key::ArrowRight, Key::ArrowLeft] {
        let before = clock(&window).1;
        window.press(key);
        let on = if key == Key::ArrowRight { 1 } else { -1 };
        window.until("a frame further", |w| {
            let gone = on * (clock(w).1 - before);
            (1..=FRAME).contains(&gone) && in_step(w)
        });
    }
    window.press(Key::F2);
    assert!(window.shows("0.75×"));
    // Back, with everything as it was.
    window.press(Key::Escape);
    assert!(progress(&window).side_by_side().is_none());
    assert!(window.shows("Side by side (2)"));
}

#[test]
fn a_mark_that_is_taken_away_takes_its_picture_with_it() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _) = open_line(folder.path());
    mark_both(&mut window);
    window.press_with(Modifiers::COMMAND, Key::B);
    window.until("they run", |w| progress(w).side_by_side().is_some());
    // The fault is removed in Review.
    window.click_part("Open in Review: 20 Nov 2026 0:30");
    window.until("the film shows", Window::has_picture);
    let marked = |w: &Window| w.ride().marks.len();
    let before = marked(&window);
    window.press(Key::ArrowDown);
    while !matches!(
        window.app().review().unwrap().chosen,
        Some(reinback::action::Chosen::Mark(_))
    ) {
        window.press(Key::ArrowDown);
    }
    window.press(Key::Delete);
    assert_eq!(marked(&window), before - 1);
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("one alone is not side by side", |w| {
        progress(w).side_by_side().is_none() && !w.shows(FAULT)
    });
    // The attempt is a clean one now.
    window.until("it is counted again", |w| {
        w.shows("0:31 clean, in trot, left")
    });
}
