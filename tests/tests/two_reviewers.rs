//! A second reviewer: blind, compared, merged, and taken back.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::path::Path;

use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable as _;
use reinback_analysis::observation;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::reviews::{held, only};
use reinback_yard::{Filter, Moment, ReviewId, observe};

fn open_demo(folder: &Path) -> Window {
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the film shows a frame", Window::has_picture);
    window
}

fn rates(window: &Window) -> Vec<observation::Ride> {
    observe(window.yard(), &Filter::default()).rides
}

fn show_reviews(window: &mut Window) {
    window.press_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::R);
}

fn start_second(window: &mut Window, name: &str) -> ReviewId {
    show_reviews(window);
    window.click("Start a second review…");
    let field = window
        .harness
        .get_by_role_and_label(Role::TextInput, "Who reviews");
    field.focus();
    window.steps(2);
    window.types(name);
    window.click("Start");
    window.ride().head.reviews.last().unwrap().id
}

fn position(window: &Window) -> Moment {
    window.app().review().unwrap().stage.position()
}

fn go_to_second(window: &mut Window, second: usize) {
    window.press(Key::Home);
    for _ in 0..second {
        window.press_with(Modifiers::SHIFT, Key::ArrowRight);
    }
    window.until("the frame is there", |w| {
        !w.app().review().unwrap().stage.is_waiting()
    });
}

/// Scrolls the panel to something and clicks it.
fn click_in_panel(window: &mut Window, part: &str) {
    let found = window.harness.get_all_by_label_contains(part).next();
    found.unwrap().scroll_to_me();
    // The panel glides there.
    window.steps(30);
    window.click_part(part);
}

fn find(window: &Window, part: &str) -> Vec<String> {
    let texts: Vec<String> = window.texts();
    texts
        .into_iter()
        .filter(|text| text.contains(part))
        .collect()
}

/// Jon sees the half-pass of 0:19 as well, a little later, and calls one fault.
fn jon_marks(window: &mut Window) {
    go_to_second(window, 20);
    window.types("hp1");
    go_to_second(window, 25);
    window.types("0");
}

#[test]
fn a_second_review_is_blind_and_adds_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    let (before, first) = (rates(&window), window.ride().head.counting);
    let own = window.ride().clone();
    assert!(!find(&window, "walk, medium").is_empty());

    let jon = start_second(&mut window, "Jon");
    assert!(window.ride().head.review(jon).unwrap().blind);
    assert!(window.shows("Review by Jon"), "{:?}", window.texts());
    assert!(
        window.shows("is hidden until you compare"),
        "{:?}",
        window.texts()
    );
    assert_eq!(find(&window, "walk, medium"), Vec::<String>::new());
    assert!(window.shows("0 exercises, 0 faults"));
    window.press(Key::ArrowDown);
    assert_eq!(
        position(&window),
        Moment(0),
        "jumps do not tell where others marked"
    );

    jon_marks(&mut window);
    let his = held(window.ride(), jon);
    assert_eq!((his.bouts, his.marks), (1, 1));
    let firsts = only(window.ride(), first);
    assert_eq!((firsts.bouts, firsts.marks), (own.bouts, own.marks));
    assert_eq!(rates(&window), before, "a second review adds nothing");
    show_reviews(&mut window);
    assert!(window.shows("Hidden until the blind review is compared"));
    assert!(
        !window.shows("exercises, "),
        "not even their number: {:?}",
        window.texts()
    );
}

#[test]
fn two_reviews_are_compared_merged_and_taken_back() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    let (before, first) = (rates(&window), window.ride().head.counting);
    let own = window.ride().clone();
    let jon = start_second(&mut window, "Jon");
    jon_marks(&mut window);

    window.click("I am done: compare");
    assert!(!window.ride().head.review(jon).unwrap().blind);
    assert!(window.shows("1 in common, "), "{:?}", window.texts());
    assert!(
        window.shows("Fewer than 10 exercises in common"),
        "too few for kappa says so"
    );
    assert_eq!(rates(&window), before);
    // A click goes to the moment of a difference.
    let late = own
        .bouts
        .iter()
        .rev()
        .find(|bout| bout.from.0 > 60_000_000_000)
        .unwrap();
    let at = reinback::clock::short(late.from);
    let starts = format!("{at}  only");
    let line = window
        .texts()
        .into_iter()
        .find(|text| text.starts_with(&starts));
    let line = line.unwrap();
    window.harness.get_by_label(&line).scroll_to_me();
    window.steps(30);
    window.click(&line);
    assert_eq!(position(&window), late.from);

    click_in_panel(&mut window, "all of both");
    // A look at the list of marks in between loses no choice.
    show_reviews(&mut window);
    assert!(!window.shows("Compared"));
    show_reviews(&mut window);
    assert!(!window.shows("still to decide"), "{:?}", window.texts());
    click_in_panel(&mut window, "Merge into a third review");
    let ride = window.ride().clone();
    let merged = ride.head.counting;
    assert_eq!(ride.head.reviews.len(), 3);
    assert!(merged != first && merged != jon);
    assert_eq!(
        held(&ride, merged).bouts,
        own.bouts.len(),
        "Jon's bout is one of these"
    );
    assert_eq!(held(&ride, merged).marks, own.marks.len() + 1);
    let attempts = |rides: &[observation::Ride]| -> usize {
        rides.iter().map(|ride| ride.attempts.len()).sum()
    };
    assert_eq!(
        attempts(&rates(&window)),
        attempts(&before),
        "nothing counts twice"
    );

    window.press_with(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.ride().head.counting, first);
    assert_eq!(window.ride().head.reviews.len(), 2);
    assert_eq!(
        rates(&window),
        before,
        "one step takes the merged review back"
    );
    for _ in 0..5 {
        window.press_with(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(*window.ride(), own, "and five more everything");
}

/// There is one set of paces and outlines, and it is made with the review that counts.
#[test]
fn a_second_review_neither_sees_nor_changes_paces_and_outlines() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    if window.ride().outlines.is_empty() {
        window.press_with(Modifiers::SHIFT, Key::Num1);
    }
    let stretches = |window: &Window| {
        let ride = window.ride();
        (ride.paces.clone(), ride.outlines.clone())
    };
    window.press_with(Modifiers::SHIFT, Key::T);
    let before = stretches(&window);
    assert!(!before.0.is_empty() && !before.1.is_empty());
    assert!(!find(&window, "pace: trot").is_empty() || !find(&window, "trot").is_empty());

    let jon = start_second(&mut window, "Jon");
    window.types("+");
    window.press_with(Modifiers::SHIFT, Key::C);
    assert!(
        window.shows("Paces and outlines belong to the review that counts"),
        "{:?}",
        window.texts()
    );
    window.press_with(Modifiers::SHIFT, Key::Num2);
    assert_eq!(stretches(&window), before);
    assert_eq!(find(&window, "pace…"), Vec::<String>::new());

    window.press_with(Modifiers::COMMAND, Key::A);
    window.press(Key::Backspace);
    assert_eq!(held(window.ride(), jon).marks, 0, "his own mark is gone");
    assert_eq!(stretches(&window), before);
    window.press_with(Modifiers::COMMAND, Key::A);
    window.press(Key::Backspace);
    assert_eq!(stretches(&window), before);

    // Done and on screen, it still does not count.
    show_reviews(&mut window);
    window.click("I am done: compare");
    window.press_with(Modifiers::COMMAND, Key::A);
    window.press(Key::Backspace);
    assert_eq!(stretches(&window), before);
}

#[test]
fn a_blind_review_is_left_and_gone_on_with() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    let first = window.ride().head.counting;
    let jon = start_second(&mut window, "Jon");
    window.types("+");
    assert_eq!(held(window.ride(), jon).marks, 1);
    show_reviews(&mut window);
    window.click("Leave it for later: Jon");
    let before = held(window.ride(), first).marks;
    window.types("+");
    assert_eq!(
        held(window.ride(), first).marks,
        before + 1,
        "the first marks again"
    );
    assert!(
        !window.shows("Let it count: Jon"),
        "a blind review cannot count"
    );
    window.click("Go on with it: Jon");
    window.types("+");
    assert_eq!(held(window.ride(), jon).marks, 2);
    window.click("I am done: compare");
    window.click("Let it count: Jon");
    assert_eq!(window.ride().head.counting, jon);
    let name = window.ride().head.review_name(first);
    window.click(&format!("Remove…: {name}"));
    window.click("Remove it with all its marks");
    assert_eq!(window.ride().head.reviews.len(), 1);
    assert!(window.ride().marks.iter().all(|mark| mark.review == jon));
}
