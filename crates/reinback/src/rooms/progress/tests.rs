//! The room in a window without a screen.

use std::sync::Arc;
use std::time::{Duration, Instant};

use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use reinback_yard::{Moment, Yard};

use super::*;
use crate::report::sample;

mod glance;
mod many;
mod moments;
mod question;
mod whole;
use crate::said::Language;

/// The room with what surrounds it in the application.
struct Room {
    view: ProgressView,
    yard: Yard,
    revision: u64,
    today: NaiveDate,
    out: Vec<Action>,
    say: Say,
}

impl Room {
    fn new(yard: Yard, today: NaiveDate) -> Self {
        Self {
            view: ProgressView::new(Arc::new(|| {})),
            yard,
            revision: 1,
            today,
            out: Vec::new(),
            say: Say::new(Language::English),
        }
    }
}

fn room(yard: Yard) -> Harness<'static, Room> {
    room_of_size(yard, [1280.0, 756.0])
}

fn room_of_size(yard: Yard, size: [f32; 2]) -> Harness<'static, Room> {
    let mut harness = Harness::builder()
        .with_size(size)
        // Every new widget asks for another frame, and two workers answer one after the other.
        .with_max_steps(12)
        .with_context_setup(theme::install)
        .build_ui_state(
            |ui, room: &mut Room| {
                room.view.tick(&room.yard, room.revision, room.today);
                let data = ProgressData {
                    yard: &room.yard,
                    revision: room.revision,
                    today: room.today,
                    say: &room.say,
                };
                progress_ui(ui, &mut room.view, &data, &mut room.out);
            },
            Room::new(yard, sample::day(9)),
        );
    settle(&mut harness);
    harness
}

/// Runs until the worker has answered.
fn settle(harness: &mut Harness<'_, Room>) {
    let begun = Instant::now();
    loop {
        harness.run();
        // What a click chose is computed from the frame after it on.
        harness.step();
        let view = &harness.state().view;
        let busy = view.whole.is_looking() || view.glance.is_gathering();
        if view.counting.on_its_way().is_none() && !busy {
            break;
        }
        assert!(
            begun.elapsed() < Duration::from_mins(1),
            "the worker never answered"
        );
        std::thread::sleep(Duration::from_millis(10));
    }
    harness.run();
}

#[test]
fn lines_open_and_their_moments_lead_to_the_film() {
    let mut harness = room(sample::yard());
    harness.get_by_label_contains("halt. 1 of 10 attempts");
    harness
        .get_by_label_contains("half-pass. 15 of 40 attempts")
        .click();
    settle(&mut harness);
    harness.get_by_label("The moments");
    harness
        .get_by_label("Show all 15 moments")
        .click_accesskit();
    harness.run();
    let moments = harness
        .query_all_by_label_contains("quarters trailing, left")
        .count();
    assert_eq!(moments, 10, "one in each ride");
    let newest = harness
        .query_all_by_label_contains("quarters trailing, left")
        .next();
    // It is below the fold, where the pointer cannot reach it.
    newest.expect("a moment").click_accesskit();
    harness.run();
    let newest_ride = harness
        .state()
        .yard
        .rides_by_date()
        .last()
        .map(|ride| ride.id);
    // The first bout begins at 60 s and is marked 5 s in.
    let wanted = Moment(63_000_000_000);
    assert!(
        harness.state().out.iter().any(
            |action| matches!(action, Action::OpenRide(ride, Some(at)) if Some(*ride) == newest_ride && *at == wanted)
        ),
        "{:?}",
        harness.state().out
    );
}

#[test]
fn the_table_says_what_the_plot_shows() {
    let mut harness = room(sample::yard());
    harness.get_by_label_contains("half-pass. ").click();
    harness.run();
    harness.get_by_label_contains("Share of faulty attempts in 10 rides of half-pass");
    harness
        .get_by_label("half-pass, ride by ride as a table")
        .click();
    harness.run();
    harness.get_by_label_contains("Day: 31 May 2026; Attempts: 4; Faulty: 1; Faults: 1");
    harness
        .get_by_label_contains("Day: 4 May 2026; Attempts: 4; Faulty: 2; Faults: 2")
        .click();
    harness.run();
    let oldest = harness
        .state()
        .yard
        .rides_by_date()
        .first()
        .map(|ride| ride.id);
    assert!(
        matches!(harness.state().out.last(), Some(Action::OpenRide(ride, None)) if Some(*ride) == oldest)
    );
}

#[test]
fn a_line_opens_and_closes_from_the_keyboard() {
    let mut harness = room(sample::yard());
    for open in [true, false] {
        harness
            .get_by_label_contains("half-pass. 15 of 40 attempts")
            .focus();
        harness.run();
        harness.key_press(egui::Key::Enter);
        harness.run();
        let shown = harness.query_by_label("The moments").is_some();
        assert_eq!(shown, open, "after Enter");
    }
}

#[test]
fn lines_are_sorted_by_name_on_request() {
    let mut harness = room(sample::yard());
    let tops = |harness: &Harness<'_, Room>| {
        ["half-pass. ", "halt. "].map(|name| harness.get_by_label_contains(name).rect().top())
    };
    let [half_pass, halt] = tops(&harness);
    assert!(half_pass < halt, "half-pass goes wrong oftener");
    harness
        .state_mut()
        .yard
        .words
        .exercises
        .iter_mut()
        .for_each(|exercise| {
            if exercise.name == "half-pass" {
                exercise.name = "the half-pass".into();
            }
        });
    harness.state_mut().revision += 1;
    settle(&mut harness);
    harness.get_by_label("By name").click();
    harness.run();
    let [half_pass, halt] = tops(&harness);
    assert!(halt < half_pass, "h stands before t");
}

#[test]
fn what_is_not_counted_is_said() {
    let harness = room(sample::yard());
    harness.get_by_label_contains("1 exercise is not in the count");
}

#[test]
fn a_change_of_the_yard_is_counted_again() {
    let mut harness = room(sample::yard());
    let state = harness.state_mut();
    let first = *state.yard.rides.keys().next().expect("a ride");
    state.yard.rides.remove(&first);
    state.revision += 1;
    settle(&mut harness);
    harness.get_by_label_contains("of 36 attempts");
}

#[test]
fn another_yard_never_shows_the_numbers_of_the_last() {
    let mut harness = room(sample::yard());
    harness.state_mut().view.forget();
    harness.state_mut().yard = Yard::default();
    settle(&mut harness);
    harness.get_by_label("No horse yet");
    assert!(harness.query_by_label_contains("half-pass").is_none());
}

#[test]
fn days_without_a_ride_offer_days_with_some() {
    let mut harness = room(sample::yard());
    harness.state_mut().today = sample::day(9) + chrono::Days::new(400);
    harness.state_mut().view.choice.by_hand = true;
    settle(&mut harness);
    harness.get_by_label("No ride of Juniper in these days");
    harness.get_by_label("Show Everything").click();
    settle(&mut harness);
    harness.get_by_label_contains("half-pass. 15 of 40 attempts");
}

#[test]
fn a_horse_without_rides_or_marks_is_told_what_to_do() {
    let mut yard = sample::yard();
    yard.rides.clear();
    let mut harness = room(yard);
    harness.get_by_label("No ride of Juniper yet");
    harness.get_by_label("New ride from film…").click();
    harness.run();
    assert!(matches!(
        harness.state().out.last(),
        Some(Action::ChooseFilms(Some(horse))) if *horse == sample::horse()
    ));

    let mut yard = sample::yard();
    for ride in yard.rides.values_mut() {
        Arc::make_mut(ride).bouts.clear();
    }
    let mut harness = room(yard);
    harness.get_by_label("No exercise of Juniper counts in these days");
    harness.get_by_label("Open the newest ride").click();
    harness.run();
    assert!(matches!(
        harness.state().out.last(),
        Some(Action::OpenRide(_, None))
    ));
}

/// A first day that is typed.
fn typed(first: &str) -> Choice {
    Choice {
        span: Span::Typed,
        typed: [first.into(), String::new()],
        ..Choice::default()
    }
}

#[test]
fn days_that_cannot_be_read_are_told_and_the_numbers_stay() {
    let mut harness = room(sample::yard());
    harness.state_mut().view.choice = typed("soon");
    settle(&mut harness);
    harness.get_by_label_contains("“soon” is not a day");
    harness.get_by_label_contains("half-pass. 15 of 40 attempts");
}

#[test]
fn another_horse_with_days_that_cannot_be_read_is_offered_days() {
    let mut harness = room(sample::yard());
    let state = harness.state_mut();
    let mut other = state.yard.horses[0].clone();
    other.id = HorseId::from(0x22);
    state.yard.horses.push(other);
    state.view.choose_horse(HorseId::from(0x22));
    state.view.choice = typed("soon");
    settle(&mut harness);
    harness.get_by_label("Which days?");
    harness.get_by_label("Show Last three months").click();
    settle(&mut harness);
    harness.get_by_label("No ride of Juniper yet");
}

/// Every row is as wide as it may be and no wider, down to the smallest window.
#[test]
fn nothing_is_cut_off_in_a_small_window() {
    for size in [[960.0, 560.0], [1280.0, 756.0], [1920.0, 1040.0]] {
        let mut harness = room_of_size(sample::yard(), size);
        harness.get_by_label_contains("half-pass. ").click();
        harness.run();
        for label in ["half-pass. 15", "halt. ", "quarters trailing: marked"] {
            let rect = harness.get_by_label_contains(label).rect();
            assert!(
                rect.left() >= 0.0 && rect.right() <= size[0],
                "{label} reaches from {} to {} in {size:?}",
                rect.left(),
                rect.right()
            );
        }
    }
}

#[test]
fn two_periods_are_compared_and_their_days_can_be_chosen() {
    let mut harness = room(sample::yard());
    harness.get_by_label_contains("No ride last month");
    assert!(harness.query_by_label("Two periods").is_none());
    harness.state_mut().view.choice.span = Span::Everything;
    harness.state_mut().view.choice.between = sample::day(5).to_string();
    settle(&mut harness);
    let (_, counted) = harness.state().view.counted().expect("numbers");
    let line = &counted.numbers.lines[0];
    let compared = line.compared.expect("two periods");
    let [before, now] = [compared.rate.before.tally, compared.rate.after.tally];
    assert_eq!(before.attempts + now.attempts, 40);
    let day = Say::new(Language::English).day_in_full(sample::day(5));
    let expect = format!("before {day} {before}: no clear difference");
    harness.get_by_label_contains(&expect).click();
    harness.run();
    harness.get_by_label("Two periods");
    harness.get_by_label("Compare with");
    harness.state_mut().view.choice.against = Against::Nothing;
    settle(&mut harness);
    assert!(harness.query_by_label("Two periods").is_none());
    harness.get_by_label_contains("half-pass. 15 of 40 attempts");
}

#[test]
fn a_day_between_that_cannot_be_read_is_told() {
    let mut harness = room(sample::yard());
    harness.state_mut().view.choice.span = Span::Everything;
    harness.state_mut().view.choice.between = "whenever".into();
    settle(&mut harness);
    harness.get_by_label_contains("“whenever” is not a day");
}

#[test]
fn all_horses_are_one_choice_among_several() {
    let mut yard = sample::yard();
    let mut other = yard.horses[0].clone();
    other.id = HorseId::from(0x22);
    other.name = "Sorrel".into();
    yard.horses.push(other);
    let last = *yard.rides.keys().last().expect("a ride");
    if let Some(ride) = yard.rides.get_mut(&last) {
        Arc::make_mut(ride).head.horse = HorseId::from(0x22);
    }
    let mut harness = room(yard);
    harness.state_mut().view.whose = Some(Whose::All);
    settle(&mut harness);
    harness.get_by_label("Exercises").click();
    settle(&mut harness);
    harness
        .get_by_label_contains("half-pass. 15 of 40 attempts")
        .click();
    harness.run();
    harness
        .get_by_label("Show all 15 moments")
        .click_accesskit();
    harness.run();
    assert!(harness.query_all_by_label_contains("Sorrel: ").count() > 0);
    assert!(harness.query_all_by_label_contains("Juniper: ").count() > 0);
}

/// Every row is as wide as it may be and no wider, in the longer language too.
#[test]
fn the_room_speaks_german_wholly() {
    for size in [[960.0, 560.0], [1280.0, 756.0], [1920.0, 1040.0]] {
        let mut harness = room_of_size(sample::yard(), size);
        harness.state_mut().say = Say::new(Language::German);
        settle(&mut harness);
        harness.get_by_label("Verglichen mit");
        harness
            .get_by_label_contains("Traversale. 15 von 40 Versuchen mit Fehler")
            .click();
        harness.run();
        harness.get_by_label("Die Stellen im Film");
        harness.get_by_label("Nach einem Fehler");
        for label in ["Traversale. 15", "Halten. ", "Hinterhand schleppt nach: "] {
            let rect = harness.get_by_label_contains(label).rect();
            assert!(
                rect.left() >= 0.0 && rect.right() <= size[0],
                "{label} reaches from {} to {} in {size:?}",
                rect.left(),
                rect.right()
            );
        }
        harness
            .get_by_label("Traversale, Ritt für Ritt als Tabelle")
            .click();
        harness.run();
        harness.get_by_label_contains("Tag: 31. Mai 2026; Versuche: 4; Mit Fehler: 1; Fehler: 1");
    }
}

/// Every heading, button and tooltip that is English is one that a language was forgotten for.
#[test]
fn the_empty_room_speaks_german() {
    let mut yard = sample::yard();
    yard.rides.clear();
    let mut harness = room(yard);
    harness.state_mut().say = Say::new(Language::German);
    settle(&mut harness);
    harness.get_by_label("Noch kein Ritt von Juniper");
    harness.get_by_label("Neuer Ritt aus Film…");
    harness.state_mut().yard = Yard::default();
    harness.state_mut().revision += 1;
    settle(&mut harness);
    harness.get_by_label("Noch kein Pferd");
}
