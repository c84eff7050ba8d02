//! The moments of an open line, of the days asked about and of those compared with.

use egui_kittest::kittest::{By, NodeT as _, Queryable as _};
use reinback_yard::{Film, IdMaker, Moment};

use super::*;

/// The half-pass of the sample open, from its sixth ride on against the five before.
fn parted(size: [f32; 2], language: Language) -> Harness<'static, Room> {
    let mut harness = room_of_size(sample::yard(), size);
    let state = harness.state_mut();
    state.say = Say::new(language);
    state.view.choice.span = Span::Everything;
    state.view.choice.against = Against::DayBetween;
    state.view.choice.between = sample::day(5).to_string();
    state.view.open = Some(sample::word("half-pass"));
    settle(&mut harness);
    harness
}

fn count(harness: &Harness<'_, Room>, part: &str) -> usize {
    harness.query_all_by_label_contains(part).count()
}

/// How many are told to be of before.
fn before(harness: &Harness<'_, Room>) -> usize {
    let all = harness.query_all_by_label_contains("before: ");
    let starts = |label: &String| label.starts_with("before: ");
    let labels = all.filter_map(|node| node.accesskit_node().label());
    labels.filter(starts).count()
}

fn click(harness: &mut Harness<'_, Room>, label: &str) {
    harness.get_by_label(label).click_accesskit();
    harness.run();
}

/// Five faults since, ten before, as the line counts them; each is told to be of before.
#[test]
fn the_moments_of_the_days_before_stand_under_those_of_now() {
    let mut harness = parted([1280.0, 2_400.0], Language::English);
    harness.get_by_label("Show all 5 moments");
    assert_eq!(before(&harness), 0, "nobody asked for them");
    click(&mut harness, "also before 19 May 2026 (10)");
    harness.get_by_label("The moments before: up to 18 May 2026");
    click(&mut harness, "Show all 5 moments");
    click(&mut harness, "Show all 10 moments");
    assert_eq!(before(&harness), 10);
    assert_eq!(
        count(&harness, "before: 4 May 2026 1:05 quarters trailing"),
        1
    );
    assert_eq!(
        count(&harness, "quarters trailing, left; This ride has no film"),
        10
    );
    // One choice holds for both.
    click(&mut harness, "right rein");
    assert_eq!(before(&harness), 5);
    harness.get_by_label("No moment of this choice.");
    click(&mut harness, "25 clean attempts too");
    assert_eq!(before(&harness), 10);
    click(&mut harness, "also before 19 May 2026 (10)");
    assert_eq!(before(&harness), 0);
}

/// Days that are in both periods are now: no moment stands there twice.
#[test]
fn a_ride_of_both_periods_is_shown_once() {
    let mut harness = parted([1280.0, 2_400.0], Language::English);
    let view = &mut harness.state_mut().view;
    view.choice.span = Span::Typed;
    view.choice.typed = [sample::day(2), sample::day(9)].map(|day| day.to_string());
    view.choice.against = Against::Typed;
    view.choice.others = [sample::day(0), sample::day(4)].map(|day| day.to_string());
    settle(&mut harness);
    let (_, counted) = harness.state().view.counted().expect("numbers");
    let line = &counted.numbers.lines[0];
    let compared = line.compared.expect("days compared with");
    assert_eq!(compared.earlier.faults, 10, "the line counts both wholly");
    assert_eq!(counted.moments.faults.len(), 6 + 5);
    assert_eq!(counted.before.faults.len(), 4);
}

#[test]
fn moments_before_are_said_in_german_and_stay_in_the_window() {
    for size in [[1280.0, 756.0], [1920.0, 1040.0]] {
        let mut harness = parted(size, Language::German);
        click(&mut harness, "auch vor dem 19. Mai 2026 (10)");
        harness.get_by_label("Die Stellen vorher: bis 18. Mai 2026");
        let lines: Vec<_> = harness
            .query_all_by_label_contains("vorher: 16. Mai 2026")
            .map(|node| node.rect())
            .collect();
        assert!(!lines.is_empty());
        for line in lines {
            assert!(line.left() >= 0.0 && line.right() <= size[0], "{line:?}");
        }
    }
}

/// Rides that go away take their moments with them, those of before as well.
#[test]
fn moments_before_follow_the_yard() {
    let mut harness = parted([1280.0, 2_400.0], Language::English);
    click(&mut harness, "also before 19 May 2026 (10)");
    let state = harness.state_mut();
    let first = state.yard.rides_by_date()[0].id;
    state.yard.rides.remove(&first);
    state.revision += 1;
    settle(&mut harness);
    harness.get_by_label("also before 19 May 2026 (8)");
    assert_eq!(count(&harness, "before: 4 May 2026"), 0);
    // Where none is left, they are offered no more.
    let state = harness.state_mut();
    let earlier = |ride: &&Arc<reinback_yard::Ride>| ride.head.date < sample::day(5);
    let gone: Vec<_> = state
        .yard
        .rides
        .values()
        .filter(earlier)
        .map(|r| r.id)
        .collect();
    for id in gone {
        state.yard.rides.remove(&id);
    }
    state.revision += 1;
    settle(&mut harness);
    assert_eq!(count(&harness, "also before"), 0);
    assert_eq!(count(&harness, "The moments before"), 0);
    harness.get_by_label("The moments");
}

/// A film of each ride, so that everything about pictures is offered; nothing of it may be wider than
/// the panel, which would be moved out of the window with all that is in it.
#[test]
fn an_open_line_stays_in_the_window_in_every_language() {
    let mut yard = sample::yard();
    let mut ids = IdMaker::seeded(14);
    for ride in yard.rides.values_mut() {
        Arc::make_mut(ride).films.push(Film {
            id: ids.next(),
            path: "not-there.mp4".into(),
            fingerprint: None,
            offset: Moment(0),
            drift_ppb: 0,
            duration_nanos: None,
            tilt: None,
        });
    }
    for language in Language::ALL {
        for size in [[960.0, 4_000.0], [1280.0, 4_000.0]] {
            let mut harness = room_of_size(yard.clone(), size);
            let state = harness.state_mut();
            state.say = Say::new(language);
            state.view.choice.span = Span::Everything;
            state.view.open = Some(sample::word("half-pass"));
            settle(&mut harness);
            let heading = harness.state().say.plain("heading-moments");
            let left = harness.get_by_label(&heading).rect().left();
            let close = harness.state().say.plain("close-line");
            let top = harness.get_by_label(&close).rect().top();
            let named = harness.query_all(By::new().predicate(|node| node.label().is_some()));
            let mut beside = 0;
            for node in named {
                let (rect, label) = (node.rect(), node.accesskit_node().label());
                assert!(rect.right() <= size[0], "{language:?} {size:?}: {label:?}");
                // Between head and foot everything is of the list or of the panel.
                if rect.top() < top || rect.bottom() > size[1] - 60.0 {
                    continue;
                }
                let panel = rect.left() >= left - 8.0;
                beside += usize::from(panel);
                let apart = panel || rect.right() <= left;
                assert!(apart, "{language:?} {size:?}: {label:?} {rect}");
            }
            assert!(beside > 30, "{beside} of the panel");
        }
    }
}
