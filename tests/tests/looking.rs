//! Looking closely: creeping, jumping, a stretch repeated, two side by side, closer into the
//! picture, over the whole window, and a still.

#![expect(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey; one that is left out says so"
)]

use std::path::{Path, PathBuf};
use std::process::Command;

use egui::{Event, Key, Modifiers, MouseWheelSource, MouseWheelUnit, TouchPhase, vec2};
use egui_kittest::kittest::Queryable as _;
use reinback::action::Chosen;
use reinback::rooms::review::ReviewView;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::{Bout, Moment};

/// The last ride of the demo in the Review room; its yard.
fn open_ride(folder: &Path) -> (Window, PathBuf) {
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the film shows a frame", Window::has_picture);
    until_shown(&mut window);
    (window, yard)
}

fn until_shown(window: &mut Window) {
    window.until("the frame asked for is there", |w| {
        !review(w).stage.is_waiting() && w.has_picture()
    });
}

fn review(window: &Window) -> &ReviewView {
    window.app().review().unwrap()
}

fn position(window: &Window) -> Moment {
    review(window).stage.position()
}

/// The half-passes within the film, right then left.
fn half_passes(window: &Window) -> [Bout; 2] {
    let bouts = window.ride().bouts.iter();
    let mut own = bouts.filter(|bout| bout.exercise.as_str() == "half-pass");
    [own.next().unwrap().clone(), own.next().unwrap().clone()]
}

/// To the half-pass right, by exercise.
fn go_to_half_pass(window: &mut Window) -> [Bout; 2] {
    let [right, left] = half_passes(window);
    while review(window).chosen != Some(Chosen::Bout(right.id)) {
        window.press(Key::PageDown);
        until_shown(window);
    }
    [right, left]
}

fn nanos_apart(one: Moment, other: Moment) -> i64 {
    (one.0 - other.0).abs()
}

/// A frame of the evening ride, 30 a second.
const FRAME: i64 = 33_400_000;

#[test]
fn from_exercise_to_exercise_and_back() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _) = open_ride(folder.path());
    let starts: Vec<Moment> = window.ride().bouts.iter().map(|bout| bout.from).collect();
    // The first starts at the first frame, where the ride is opened.
    for start in &starts[1..4] {
        window.press(Key::PageDown);
        until_shown(&mut window);
        assert!(nanos_apart(position(&window), *start) < FRAME);
    }
    for start in starts[..3].iter().rev() {
        window.press(Key::PageUp);
        until_shown(&mut window);
        assert!(nanos_apart(position(&window), *start) < FRAME);
    }
    window.press(Key::PageUp);
    assert!(window.shows("No exercise before this moment"));
    window.press_with(Modifiers::COMMAND, Key::PageDown);
    assert!(window.shows("No flying change is marked after this moment"));
    window.press_with(Modifiers::COMMAND, Key::ArrowDown);
    assert!(window.shows("No tempo is known in this ride"));
}

#[test]
fn the_film_creeps_while_the_key_is_held() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _) = open_ride(folder.path());
    let key = |pressed| Event::Key {
        key: Key::ArrowRight,
        physical_key: None,
        pressed,
        repeat: false,
        modifiers: Modifiers::ALT,
    };
    window.harness.event(key(true));
    window.steps(2);
    window.until("some frames went by", |w| position(w).0 > 5 * FRAME);
    assert!(!review(&window).stage.is_playing());
    // The keyboard goes elsewhere: nobody tells that the key was let go.
    window.harness.event(Event::WindowFocused(false));
    window.steps(2);
    until_shown(&mut window);
    let stands = position(&window);
    window.steps(60);
    assert_eq!(position(&window), stands);
}

#[test]
fn the_chosen_exercise_is_repeated_until_escape() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _) = open_ride(folder.path());
    window.press_with(Modifiers::COMMAND, Key::R);
    assert!(window.shows("Choose an exercise"), "{:?}", window.texts());
    let [right, _] = go_to_half_pass(&mut window);
    window.press_with(Modifiers::COMMAND, Key::R);
    let span = review(&window).stage.repeated().unwrap();
    assert_eq!((span.from, Some(span.to)), (right.from, right.to));
    window.press(Key::Space);
    let late = Moment(span.to.0 - 600_000_000);
    window.until("it nears its end", |w| position(w) > late);
    window.until("it begins again", |w| {
        position(w).0 < span.from.0 + 1_500_000_000
    });
    assert!(review(&window).stage.is_playing());
    window.press(Key::Escape);
    window.until("it goes on past its end", |w| position(w) > span.to);
}

#[test]
fn a_jump_out_of_what_is_repeated_ends_the_repeat() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _) = open_ride(folder.path());
    let [right, left] = go_to_half_pass(&mut window);
    window.press_with(Modifiers::COMMAND, Key::R);
    window.press(Key::Space);
    let second = Moment(right.from.0 + 1_000_000_000);
    window.until("it plays", |w| position(w) > second);
    // A second back is still within it.
    window.press_with(Modifiers::SHIFT, Key::ArrowLeft);
    assert!(review(&window).stage.repeated().is_some());
    window.press(Key::PageDown);
    assert!(window.shows("The repeat has ended"), "{:?}", window.texts());
    assert_eq!(review(&window).stage.repeated(), None);
    let later = Moment(left.from.0 + 500_000_000);
    window.until("it plays on from there", |w| position(w) > later);
    assert!(review(&window).stage.is_playing());
}

#[test]
fn two_stretches_run_in_step_and_the_one_comes_back_at_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _) = open_ride(folder.path());
    let [right, left] = go_to_half_pass(&mut window);
    window.press_with(Modifiers::COMMAND, Key::B);
    window.click_part("half-pass, in trot, left, at 0:28");
    window.until("both are there", |w| review(w).stage.second().is_some());
    until_shown(&mut window);
    let apart = left.from.0 - right.from.0;
    let in_step = |w: &Window| {
        let there = review(w).stage.second().unwrap().at;
        (there.0 - position(w).0 - apart).abs() <= FRAME
    };
    assert!(in_step(&window), "at their starts");
    assert!(window.shows("mirrored"), "left beside right is mirrored");
    window.press_with(Modifiers::COMMAND, Key::M);
    assert!(!review(&window).beside.as_ref().unwrap().mirrored);
    let before = position(&window);
    window.press(Key::ArrowRight);
    until_shown(&mut window);
    assert!(position(&window) > before && in_step(&window));
    window.press(Key::Space);
    let later = Moment(before.0 + 2_000_000_000);
    window.until("they play", |w| position(w) > later);
    assert!(in_step(&window), "while they play");
    window.press(Key::Space);
    until_shown(&mut window);

    // The second is held while the first goes on a second; then they belong together as shown.
    window.click("Hold the second");
    let held = review(&window).stage.second().unwrap().at;
    window.press_with(Modifiers::SHIFT, Key::ArrowRight);
    until_shown(&mut window);
    let stood = review(&window).stage.second().unwrap().at;
    assert_eq!(held, stood);
    window.click("These two belong together");
    window.press_with(Modifiers::SHIFT, Key::ArrowLeft);
    until_shown(&mut window);
    window.until("the second went back with it", |w| {
        let there = review(w).stage.second().map(|second| second.at);
        there.is_some_and(|there| nanos_apart(there, Moment(held.0 - 1_000_000_000)) <= FRAME)
    });

    let path = folder.path().join("both.png");
    window.will_answer(vec![path.clone()]);
    window.press_with(Modifiers::COMMAND, Key::P);
    window.until("both are saved", |w| w.shows("Written: both.png"));
    let wide = image::image_dimensions(&path).unwrap().0;
    assert_eq!(wide, 2 * review(&window).stage.info().unwrap().width);

    let place = position(&window);
    window.press_with(Modifiers::COMMAND, Key::B);
    until_shown(&mut window);
    assert!(review(&window).stage.second().is_none());
    assert_eq!(position(&window), place);
}

#[test]
fn a_second_whose_film_is_missing_says_so_and_the_first_stays() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, yard) = open_ride(folder.path());
    let rides = window.yard().rides_by_date();
    let own = window.ride();
    let missing = rides.iter().rev().find_map(|ride| {
        let film = ride.films.first()?;
        let span = film.span()?;
        let gone = ride.head.horse == own.head.horse && !yard.join(&film.path).exists();
        let bout = ride.bouts.iter().find(|bout| {
            bout.exercise.as_str() == "half-pass" && span.from <= bout.from && bout.from <= span.to
        });
        bout.filter(|_| gone).map(|bout| bout.from)
    });
    let at = reinback::clock::short(missing.unwrap());
    go_to_half_pass(&mut window);
    let place = position(&window);
    window.press_with(Modifiers::COMMAND, Key::B);
    window.click_part(&format!("at {at}, "));
    window.until("it is told", |w| w.shows("The second film cannot be shown"));
    until_shown(&mut window);
    assert!(nanos_apart(position(&window), place) <= FRAME);
    assert!(review(&window).stage.second().is_none());
}

#[test]
fn the_film_fills_the_window_and_marks_are_made_all_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _) = open_ride(folder.path());
    go_to_half_pass(&mut window);
    let marks = window.ride().marks.len();
    assert!(window.shows("Strip of the ride"));
    let beside = review(&window).sight.unwrap().shown();
    window.press(Key::F11);
    assert!(!window.shows("Strip of the ride") && !window.shows("Progress"));
    let over = review(&window).sight.unwrap().shown();
    assert!(over.width() > 1.3 * beside.width(), "{over:?} {beside:?}");
    window.types("1");
    assert_eq!(window.ride().marks.len(), marks + 1);
    window.press(Key::PageDown);
    until_shown(&mut window);
    window.press(Key::Escape);
    assert!(window.shows("Strip of the ride"));
    assert!(
        review(&window).chosen.is_some(),
        "Escape put only that away"
    );
}

#[test]
fn the_wheel_comes_closer_around_the_pointer_and_a_double_click_goes_back() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _) = open_ride(folder.path());
    let whole = review(&window).sight.unwrap();
    let pointer = whole.shown().lerp_inside(vec2(0.6, 0.4));
    let spot = whole.spot(pointer);
    window.harness.hover_at(pointer);
    window.steps(2);
    for _ in 0..4 {
        window.harness.event(Event::MouseWheel {
            unit: MouseWheelUnit::Point,
            delta: vec2(0.0, 100.0),
            phase: TouchPhase::Move,
            source: MouseWheelSource::Wheel,
            modifiers: Modifiers::COMMAND | Modifiers::CTRL,
        });
        window.steps(10);
    }
    let near = review(&window).sight.unwrap();
    assert!(near.scale() > 1.5 * whole.scale());
    let there = near.screen(spot);
    assert!((there - pointer).length() < 0.5, "{there:?} {pointer:?}");
    // The same look while the film goes on.
    window.press(Key::ArrowRight);
    until_shown(&mut window);
    assert_eq!(review(&window).sight.unwrap(), near);
    window.press_with(Modifiers::ALT, Key::PageDown);
    assert!(review(&window).sight.unwrap().scale() < near.scale());
    // A double click shows the whole picture, and the film stands where it stood.
    let stood = position(&window);
    for _ in 0..2 {
        window.harness.drag_at(pointer);
        window.harness.drop_at(pointer);
        window.steps(2);
    }
    assert!(review(&window).lens.is_whole());
    until_shown(&mut window);
    assert!(!review(&window).stage.is_playing());
    assert_eq!(position(&window), stood);
    window.press_with(Modifiers::ALT, Key::PageUp);
    assert!(!review(&window).lens.is_whole());
    window.click_part("closer");
    assert!(review(&window).lens.is_whole());
}

/// A film of 1920 pixels a row, which memory keeps smaller; `false`, with a printed line, without
/// `ffmpeg`.
fn large_film(to: &Path) -> bool {
    let source = "testsrc2=size=1920x1080:rate=25:duration=2";
    let made = Command::new("ffmpeg")
        .args([
            "-v", "error", "-f", "lavfi", "-i", source, "-c:v", "mpeg4", "-q:v", "3",
        ])
        .arg(to)
        .status();
    let Ok(status) = made else {
        println!("skipped: ffmpeg makes no films");
        return false;
    };
    assert!(status.success(), "ffmpeg: {status}");
    true
}

#[test]
fn a_film_that_stands_is_looked_into_at_its_full_size() {
    let folder = tempfile::tempdir().unwrap();
    let film = folder.path().join("large.mp4");
    if !large_film(&film) {
        return;
    }
    let yard = folder.path().join("yard");
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
    let width = |w: &Window| review(w).stage.picture().map(|(_, frame)| frame.width);
    window.press_with(Modifiers::ALT, Key::PageUp);
    let near = review(&window).sight.unwrap();
    window.press(Key::Space);
    window.until("it plays", |w| position(w).0 > 400_000_000);
    assert_eq!(width(&window), Some(1280), "as memory keeps it");
    window.press(Key::Space);
    window.until("it comes as filmed", |w| width(w) == Some(1920));
    assert_eq!(review(&window).sight.unwrap(), near, "in the same place");
}

#[test]
fn a_still_holds_the_frame_on_screen_with_its_words_beneath() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _) = open_ride(folder.path());
    go_to_half_pass(&mut window);
    let (_, frame) = review(&window).stage.picture().unwrap();
    let frame = frame.clone();
    let path = folder.path().join("half-pass.png");
    window.will_answer(vec![path.clone()]);
    window.press_with(Modifiers::COMMAND, Key::P);
    window.until("it is written", |w| w.shows("Written: half-pass.png"));

    let bytes = std::fs::read(&path).unwrap();
    let read = image::load_from_memory_with_format(&bytes, image::ImageFormat::Png);
    let read = read.unwrap().to_rgb8();
    let info = review(&window).stage.info().unwrap();
    assert_eq!((read.width(), frame.width), (info.width, info.width));
    assert!(read.height() > info.height, "a bar beneath");
    // The frame on screen has been through the smaller colours of memory.
    let mut far = 0;
    for (at, own) in frame.rgba.chunks_exact(4).enumerate() {
        let at = u32::try_from(at).unwrap();
        let found = read.get_pixel(at % info.width, at / info.width).0;
        let off = |(one, other): (&u8, &u8)| one.abs_diff(*other) > 4;
        far += usize::from(own.iter().zip(&found).any(off));
    }
    assert!(far * 200 < frame.rgba.len() / 4, "{far} pixels are others");
    let text = String::from_utf8_lossy(&bytes);
    for part in ["Sonnet", "half-pass", "0:19.", "evening-ride.mp4"] {
        assert!(text.contains(part), "{part} is written into it");
    }

    // With a mark chosen, what it says.
    while !matches!(review(&window).chosen, Some(Chosen::Mark(_))) {
        window.press(Key::ArrowDown);
        until_shown(&mut window);
    }
    let path = folder.path().join("marked.png");
    window.will_answer(vec![path.clone()]);
    window.press_with(Modifiers::COMMAND, Key::P);
    window.until("it is written", |w| w.shows("Written: marked.png"));
    let text = String::from_utf8_lossy(&std::fs::read(&path).unwrap()).into_owned();
    assert!(
        text.contains("quarters trailing: ran out of room"),
        "the fault and its note"
    );
}
