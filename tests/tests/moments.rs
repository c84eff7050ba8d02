//! The moments of a line: stills, pictures that play in place, films that are not there, and
//! moments side by side, with real films.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::path::{Path, PathBuf};

use egui::{Key, Modifiers, Pos2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use reinback::action::{Chosen, Room};
use reinback::rooms::progress::ProgressView;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::Moment;

/// The fault of the half-pass left in the last ride, as the demo's film has it, and the middle of
/// the clean one on the right (`demo-sessions/films/evening-ride.truth.ron`).
const FAULT: &str = "0:30 quarters trailing, in trot, left";
const CLEAN: &str = "0:22 clean, in trot, right";
/// A fault of the half-pass left in the month before.
const BEFORE: &str = "before: 10 Oct 2026 18:26 quarters trailing, in trot, left";
/// A frame of the evening ride, 30 a second.
const FRAME: i64 = 33_400_000;

/// The line of the half-pass open in the Progress room; the yard.
fn open_line(folder: &Path) -> (Window, PathBuf) {
    let yard = copy_demo(folder).unwrap();
    (open_line_of(&yard), yard)
}

/// As [`open_line`], with the moments of the month before among them, which have a film too.
fn open_line_with_before(folder: &Path) -> Window {
    let yard = copy_demo(folder).unwrap();
    let films = yard.join("films");
    let film = films.join("2026-10-10-sonnet.mp4");
    std::fs::copy(films.join("evening-ride.mp4"), film).unwrap();
    let mut window = open_line_of(&yard);
    window.click_part("also last month (");
    window.until("those of before are there", |w| w.shows(BEFORE));
    window
}

fn open_line_of(yard: &Path) -> Window {
    let mut window = Window::open(&[yard]);
    // High enough to have the wall in sight.
    window.harness.set_size(egui::vec2(1_600.0, 2_400.0));
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("lines are counted", |w| w.shows("faults a minute"));
    window.click_part("half-pass. ");
    window.until("its moments are there", |w| w.shows(FAULT));
    window
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
        mark(window, part);
    }
}

/// Goes to a picture with the keyboard and marks it.
fn mark(window: &mut Window, part: &str) {
    window.harness.get_by_label_contains(part).focus();
    window.steps(2);
    window.types("b");
}

/// Goes on to the next mark of the ride in Review and removes it.
fn remove_next_mark(window: &mut Window) {
    let chosen = |w: &Window| w.app().review().unwrap().chosen;
    while !matches!(chosen(window), Some(Chosen::Mark(_))) {
        window.press(Key::ArrowDown);
    }
    window.press(Key::Delete);
}

/// How far each of those side by side is from its mark, once all have a picture.
fn from_marks(window: &Window) -> Option<Vec<i64>> {
    progress(window).side_by_side()?.into_iter().collect()
}

/// Whether what is side by side runs, and its clock.
fn clock(window: &Window) -> (bool, i64) {
    progress(window).side_by_side_clock().unwrap()
}

/// Whether each shows the frame of the clock's moment, which began up to a frame before.
fn in_step(window: &Window) -> bool {
    let at = clock(window).1;
    let near = |from_mark: &i64| (-FRAME..=1_000_000).contains(&(from_mark - at));
    from_marks(window).is_some_and(|all| all.iter().all(near))
}

/// Checks that nothing on screen lies outside the window; what can be scrolled may do so above and
/// below.
fn check_inside(window: &Window, size: egui::Vec2, scrolls: bool) {
    let (width, height) = (f64::from(size.x) + 0.5, f64::from(size.y) + 0.5);
    let mut open = vec![window.harness.root()];
    while let Some(node) = open.pop() {
        let own = node.accesskit_node();
        if let Some((name, rect)) = own.label().zip(own.bounding_box()) {
            let across = rect.x0 >= -0.5 && rect.x1 <= width;
            let down = rect.y0 >= -0.5 && rect.y1 <= height;
            let inside = across && (down || scrolls);
            assert!(inside, "{name:?} at {rect:?} of {size:?}");
        }
        open.extend(node.children());
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
    let told = format!("{FAULT}: ran out of room, shoulders too far ahead; Film not found");
    window.until("it is told before it is pointed at", |w| w.shows(&told));
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
    window.until("both are there", |w| from_marks(w).is_some());
    window.until("they run", |w| clock(w).0 && clock(w).1 > -1_000_000_000);
    assert!(
        in_step(&window),
        "{:?} {:?}",
        from_marks(&window),
        clock(&window)
    );
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
    remove_next_mark(&mut window);
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

/// Keys mean the picture that was pointed at last where nothing has the focus, and another key can
/// be given to what marks one.
#[test]
fn keys_mean_the_picture_under_the_pointer_and_can_be_changed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _) = open_line(folder.path());
    window.until("the still is there", |w| progress(w).stills_shown() > 0);
    window.types("b");
    assert!(window.shows("Side by side (0)"), "nothing was pointed at");
    window.move_to(middle(&window, FAULT));
    window.until("it plays under the pointer", |w| played(w) > 5);
    window.types("b");
    assert!(window.shows("Side by side (1)"), "{:?}", window.texts());
    window.press(Key::Space);
    window.until("it stops by key", |w| progress(w).moment_played().is_none());
    window.types("b");
    assert!(window.shows("Side by side (0)"));

    window.press(Key::F1);
    let key = "B: another key for “Pick for side by side”";
    window.harness.get_by_label(key).scroll_to_me();
    // The page glides there.
    window.steps(30);
    window.click(key);
    window.types("m");
    assert!(window.shows("M: another key for “Pick for side by side”"));
    window.press(Key::Escape);
    window.move_to(middle(&window, FAULT));
    window.types("b");
    assert!(window.shows("Side by side (0)"), "its old key does nothing");
    assert!(window.shows("pick M."), "{:?}", window.texts());
    window.types("m");
    assert!(window.shows("Side by side (1)"));
}

/// This month's half-passes beside last month's, at both sizes and in both themes.
#[test]
fn three_of_two_rides_run_in_step_side_by_side() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_line_with_before(folder.path());
    mark_both(&mut window);
    mark(&mut window, BEFORE);
    assert!(window.shows("Side by side (3)"), "{:?}", window.texts());
    for (size, dark) in [([1_280.0, 800.0], false), ([1_920.0, 1_080.0], true)] {
        let size = egui::Vec2::from(size);
        window.harness.set_size(size);
        window.steps(3);
        if (window.harness.ctx.theme() == egui::Theme::Dark) != dark {
            window.press(Key::F9);
        }
        assert_eq!(window.harness.ctx.theme() == egui::Theme::Dark, dark);
        window.steps(10);
        check_inside(&window, size, true);
        window.press_with(Modifiers::COMMAND, Key::B);
        window.until("all three are there", |w| {
            from_marks(w).is_some_and(|own| own.len() == 3)
        });
        window.until("they run", |w| clock(w).0 && clock(w).1 > -1_500_000_000);
        assert!(
            in_step(&window),
            "{:?} {:?}",
            from_marks(&window),
            clock(&window)
        );
        assert!(window.shows(BEFORE), "{:?}", window.texts());
        window.press(Key::Space);
        window.press(Key::ArrowDown);
        window.until("each stands at its mark", |w| clock(w).1 == 0 && in_step(w));
        check_inside(&window, size, false);
        window.press(Key::Escape);
        assert!(progress(&window).side_by_side().is_none());
    }
}

#[test]
fn a_ride_that_is_removed_takes_its_pictures_with_it() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_line_with_before(folder.path());
    mark_both(&mut window);
    mark(&mut window, BEFORE);
    window.press_with(Modifiers::COMMAND, Key::B);
    window.until("they run", |w| {
        from_marks(w).is_some_and(|own| own.len() == 3)
    });
    let rides = window.yard().rides.len();
    window.press_with(Modifiers::COMMAND, Key::Num1);
    window.click_part("Remove the ride of Sonnet, Friday, 20 November");
    assert_eq!(window.yard().rides.len(), rides - 1);
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("two of its three are gone", |w| {
        progress(w).side_by_side().is_none()
    });
    window.until("those of other rides stay", |w| {
        w.shows(BEFORE) && !w.shows(FAULT)
    });
    assert!(window.shows("Side by side (1)"), "{:?}", window.texts());
    let yard = window.yard().clone();
    assert_eq!(
        progress(&window).chosen_moments(&yard),
        [],
        "of these days none"
    );
    window.press_with(Modifiers::COMMAND, Key::Z);
    window.until("it is there again", |w| w.shows(FAULT));
    assert_eq!(window.yard().rides.len(), rides);
}

#[test]
fn an_edit_of_an_earlier_ride_is_followed_among_the_moments_of_before() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_line_with_before(folder.path());
    let offered = |w: &Window| {
        let texts = w.texts();
        let chip = texts
            .iter()
            .find(|text| text.starts_with("also last month ("));
        chip.unwrap().clone()
    };
    let first = offered(&window);
    window.click_part(BEFORE);
    window.until("the film shows", Window::has_picture);
    remove_next_mark(&mut window);
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("it is gone", |w| !w.shows(BEFORE) && offered(w) != first);
    // Taken back while they are in sight.
    window.press_with(Modifiers::COMMAND, Key::Z);
    window.until("it is back", |w| w.shows(BEFORE) && offered(w) == first);
}
