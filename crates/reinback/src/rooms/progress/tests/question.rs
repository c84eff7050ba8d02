//! Which days against which, rein against rein, and input that is hardly any.

use egui_kittest::kittest::{NodeT as _, Queryable as _};
use reinback_yard::{IdMaker, Rein};

use super::*;
use crate::rooms::progress::words::{Sign, Words};

#[test]
fn a_month_with_too_few_rides_says_so_and_shows_the_latest_that_has_some() {
    let mut harness = room(sample::yard());
    harness.state_mut().today = "2026-06-02".parse().expect("a day");
    settle(&mut harness);
    let why =
        "June has no ride to compare yet; that takes 4. These are the 28 days up to 31 May 2026.";
    harness.get_by_label(why);
    harness.get_by_label_contains("half-pass. 15 of 40 attempts");
    // On every page, with the days that are shown.
    harness.get_by_label("The whole horse").click();
    settle(&mut harness);
    harness.get_by_label(why);
    let period = harness.get_by_label("Days").accesskit_node();
    assert_eq!(period.value().as_deref(), Some("28 days to 31 May 2026"));
    harness.get_by_label("Exercises").click();
    settle(&mut harness);
    // What somebody has chosen stays.
    let today = harness.state().today;
    harness.state_mut().view.choose_span(Span::Month(0), today);
    settle(&mut harness);
    harness.get_by_label("No ride of Juniper in these days");
}

/// Days typed to compare with are held against the days on screen, and not against days that come
/// and go with the calendar.
#[test]
fn typed_days_are_compared_with_the_days_on_screen() {
    let mut harness = room(sample::yard());
    let today = "2026-06-02".parse().expect("a day");
    harness.state_mut().today = today;
    settle(&mut harness);
    let days = |harness: &Harness<'_, Room>| {
        let (_, counted) = harness.state().view.counted().expect("numbers");
        counted.numbers.question.days
    };
    let shown = days(&harness);
    let view = &mut harness.state_mut().view;
    view.choose_against(Against::Typed, today);
    view.choice.others = ["2026-05-01".into(), "2026-05-03".into()];
    settle(&mut harness);
    assert_eq!(days(&harness), shown);
    let (_, counted) = harness.state().view.counted().expect("numbers");
    let against = counted.numbers.question.against.expect("typed days");
    assert_eq!(against.to, NaiveDate::from_ymd_opt(2026, 5, 3));
}

#[test]
fn months_are_stepped_through() {
    let mut harness = room(sample::yard());
    harness.state_mut().today = "2026-06-02".parse().expect("a day");
    settle(&mut harness);
    harness.get_by_label("The month before").click();
    settle(&mut harness);
    harness.get_by_label_contains("10 rides, 1 May 2026 to 31 May 2026");
    harness.get_by_label("No ride in April 2026: nothing to compare with.");
    harness.get_by_label("The month after").click();
    settle(&mut harness);
    assert_eq!(harness.state().view.choice.span, Span::Month(0));
}

#[test]
fn one_rein_is_counted_alone() {
    let mut harness = room(sample::yard());
    harness.state_mut().view.reins = Reins::Only(Rein::Left);
    settle(&mut harness);
    harness
        .get_by_label_contains("half-pass. 10 of 20 attempts")
        .click();
    settle(&mut harness);
    let (_, counted) = harness.state().view.counted().expect("numbers");
    assert_eq!(
        counted.moments.faults.len(),
        10,
        "those of the other rein are not behind it"
    );
    // Halts have no rein.
    assert!(harness.query_by_label_contains("halt. ").is_none());
}

/// One ride can be looked at, and nothing pretends to more.
#[test]
fn a_single_ride_is_shown_without_any_verdict() {
    let mut yard = sample::yard();
    let first = yard.rides_by_date()[0].id;
    yard.rides.retain(|id, _| *id == first);
    let harness = room(yard);
    harness.get_by_label(
        "May has only 1 ride to compare yet; that takes 4. These are the 28 days up to 4 May 2026.",
    );
    harness.get_by_label("No ride in the 28 days before: nothing to compare with.");
    harness.get_by_label("Too few to tell:");
    harness.get_by_label_contains("half-pass. 2 of 4 attempts: too few for a rate, which takes 6");
    let (_, counted) = harness.state().view.counted().expect("numbers");
    let words = Words {
        say: &harness.state().say,
        yardstick: harness.state().view.yardstick(counted),
        measure: Measure::Attempts,
    };
    for line in &counted.numbers.lines {
        assert_eq!(words.sign(line), None, "{}", line.name);
        let why = words
            .say
            .why_first(line, (&counted.numbers, Measure::Attempts), None);
        assert_eq!(why, None, "{}", line.name);
    }
}

/// Long names are cut or wrapped, in the digest as in the lines, and nothing needs scrolling
/// sideways.
#[test]
fn names_of_200_signs_stay_in_the_window() {
    let mut yard = sample::yard();
    for exercise in &mut yard.words.exercises {
        exercise.name = format!("{} {}", exercise.name, "very long name ".repeat(14));
    }
    yard.horses[0].name = "Juniper of the very long stable name ".repeat(6);
    for size in [[960.0, 560.0], [1280.0, 756.0]] {
        let mut harness = room_of_size(yard.clone(), size);
        harness.state_mut().view.choice.span = Span::Everything;
        harness.state_mut().view.choice.between = sample::day(5).to_string();
        settle(&mut harness);
        for label in ["Too few to tell:", "Compare with", "By name"] {
            let rect = harness.get_by_label(label).rect();
            assert!(
                rect.left() >= 0.0 && rect.right() <= size[0],
                "{label}: {rect}"
            );
        }
        for part in ["halt very long", "half-pass very long"] {
            for node in harness.query_all_by_label_contains(part) {
                let rect = node.rect();
                assert!(
                    rect.left() >= 0.0 && rect.right() <= size[0],
                    "{part}: {rect}"
                );
            }
        }
    }
}

/// What is drawn beside a name where the reins are compared points to the weaker one: halts all go
/// wrong on the left and none on the right; of half-passes 10 against 5 of 20 may be luck.
#[test]
fn reins_are_compared_line_by_line() {
    let mut yard = sample::yard();
    let mut ids = IdMaker::seeded(12);
    for ride in yard.rides.values_mut() {
        let ride = Arc::make_mut(ride);
        for _ in 0..4 {
            sample::bout(&mut ids, ride, "halt", Some(Rein::Left), Some("not-square"));
            sample::bout(&mut ids, ride, "halt", Some(Rein::Right), None);
        }
    }
    let mut harness = room(yard);
    harness.state_mut().view.choice.against = Against::Reins;
    harness.state_mut().view.reins = Reins::Only(Rein::Left);
    settle(&mut harness);
    let line = harness.get_by_label_contains("half-pass. left 10 of 20, right 5 of 20: ");
    assert!(line.rect().height() > 40.0);
    harness.get_by_label_contains("halt. left 40 of 40, right 0 of 40: ");
    let (_, counted) = harness.state().view.counted().expect("numbers");
    let sign = |exercise: &str, measure: Measure| {
        let words = Words {
            say: &harness.state().say,
            yardstick: Yardstick::Reins,
            measure,
        };
        let mut lines = counted.numbers.lines.iter();
        let line = lines.find(|line| line.name == exercise);
        words.sign(line.expect("a line"))
    };
    let left = Some(Sign::Weaker(Rein::Left));
    assert_eq!(sign("halt", Measure::Attempts), left);
    assert_eq!(sign("half-pass", Measure::Attempts), None);
    // What tells the reins apart are their attempts.
    assert_eq!(sign("halt", Measure::Faults), None);
}
