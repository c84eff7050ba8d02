//! The page follows how the room looks at its question.

use super::*;
use crate::report::numbers::Measure;
use crate::report::shown::Order;

fn read(yard: &Yard, wish: &Wish) -> Html {
    checked(&text(yard, wish, Language::English), Language::English)
}

fn said(page: &Html, css: &str) -> Vec<String> {
    select(page, css).into_iter().map(words).collect()
}

#[test]
fn clean_attempts_are_not_called_missing() {
    let mut yard = of_sample();
    for ride in yard.rides.values_mut() {
        let halt = sample::word("not-square");
        let other =
            |mark: &reinback_yard::Mark| mark.kind != reinback_yard::MarkKind::Fault(halt.clone());
        Arc::make_mut(ride).marks.retain(other);
    }
    let page = read(&yard, &all(&yard));
    let halt = said(&page, "section.line");
    let halt = halt
        .iter()
        .find(|line| line.starts_with("halt"))
        .expect("a line");
    assert!(halt.contains("10 attempts"), "{halt}");
    assert!(halt.contains("No fault to look at."), "{halt}");
    assert!(!halt.contains("No attempt to look at"), "{halt}");
}

#[test]
fn left_against_right_is_said_line_by_line() {
    let yard = of_sample();
    let reins = Wish {
        shown: Shown {
            reins: true,
            ..Shown::default()
        },
        ..all(&yard)
    };
    let page = read(&yard, &reins);
    let header = said(&page, "header");
    assert!(header[0].contains("The left rein is held against the right."));
    assert!(!header[0].contains("Compared with nothing"));
    let first = said(&page, "main ol > li");
    let half_pass = "half-pass: left 10 of 20, right 5 of 20: no clear difference";
    assert!(
        first.iter().any(|line| line.starts_with(half_pass)),
        "{first:?}"
    );
    let columns = said(&page, "table.overview thead th");
    assert_eq!(
        columns.last().map(String::as_str),
        Some("Left against right")
    );
    let whole = words(page.root_element());
    assert!(whole.contains("Nothing is clearly one-sided."));
}

#[test]
fn faults_a_minute_are_on_the_page_where_they_are_in_the_room() {
    let yard = of_sample();
    let faults = Wish {
        shown: Shown {
            measure: Measure::Faults,
            ..Shown::default()
        },
        ..all(&yard)
    };
    let page = read(&yard, &faults);
    assert!(said(&page, "header")[0].contains("Faults a minute are counted"));
    let rows = said(&page, "table.overview tbody tr");
    // 15 faults in 40 half-passes of 15 seconds.
    assert!(rows[0].contains("1.5 a min"), "{rows:?}");
    assert!(!rows[0].contains("15 of 40"), "{rows:?}");
}

#[test]
fn lines_go_by_name_where_the_room_does() {
    let mut yard = of_sample();
    for exercise in &mut yard.words.exercises {
        if exercise.id == sample::word("half-pass") {
            exercise.name = "Zigzag".into();
        }
    }
    let first = |wish: &Wish| said(&read(&yard, wish), "table.overview tbody th").remove(0);
    assert_eq!(first(&all(&yard)), "Zigzag");
    let by_name = Wish {
        shown: Shown {
            order: Order::Name,
            ..Shown::default()
        },
        ..all(&yard)
    };
    assert_eq!(first(&by_name), "halt");
}

/// Taps strides so many milliseconds long before the first half-pass of a ride, and after it.
fn tap(ride: &mut reinback_yard::Ride, [before, after]: [i64; 2]) {
    let mut bouts = ride.bouts.iter();
    let bout = bouts.find(|bout| bout.exercise == sample::word("half-pass"));
    let bout = bout.expect("a half-pass");
    let (from, to) = (bout.from.0, bout.to.expect("an end").0);
    let earlier = (1..=4).rev().map(|n| from - n * before * 1_000_000);
    let taps = earlier.chain((0..=5).map(|n| to + n * after * 1_000_000));
    ride.tempos.push(reinback_yard::TempoTrack {
        id: reinback_yard::SpanId::from_bits(2),
        review: ride.head.counting,
        leg: reinback_yard::Leg::LeftFore,
        taps: taps.map(Moment).collect(),
    });
}

#[test]
fn the_tempo_about_an_exercise_is_drawn() {
    let mut yard = of_sample();
    let plain = read(&yard, &all(&yard));
    let drawn = |page: &Html| {
        let titles = said(page, "section.line figure > figcaption");
        let own = titles.into_iter().filter(|title| title.contains("tempo"));
        own.collect::<Vec<_>>()
    };
    assert!(drawn(&plain).is_empty(), "nobody tapped one");
    let ride = yard.rides.values_mut().next_back().expect("a ride");
    tap(Arc::make_mut(ride), [750, 600]);
    let page = read(&yard, &all(&yard));
    assert_eq!(drawn(&page).len(), 1, "{:?}", drawn(&page));
    let rows = select(&page, "section.line .part:has(> figure) .paper tbody tr");
    let rows: Vec<String> = rows.into_iter().map(words).collect();
    // 60 s over 0.75 s and over 0.6 s.
    assert!(
        rows.iter()
            .any(|row| row.contains("80") && row.contains("100")),
        "{rows:?}"
    );
}

/// The sample with a second horse, which nobody has ridden yet.
fn with_another() -> (Yard, HorseId) {
    let mut yard = of_sample();
    let other = HorseId::from(0x12);
    yard.horses.push(Horse {
        id: other,
        name: "Marlow".into(),
        ..yard.horses[0].clone()
    });
    (yard, other)
}

#[test]
fn a_tempo_of_several_horses_names_none_where_no_names_are_wanted() {
    let (mut yard, other) = with_another();
    let rides = yard.rides.values_mut().take(2);
    for (ride, horse) in rides.zip([sample::horse(), other]) {
        let ride = Arc::make_mut(ride);
        ride.head.horse = horse;
        tap(ride, [750, 600]);
    }
    let named = Wish {
        together: true,
        ..all(&yard)
    };
    let nameless = Wish {
        naming: Naming::WithoutNames,
        ..named.clone()
    };
    let of = |wish| said(&read(&yard, wish), "section.line .part:has(figure)").join("\n");
    let (named, nameless) = (of(&named), of(&nameless));
    assert!(named.contains("Juniper") && named.contains("Marlow"));
    assert!(!nameless.contains("Juniper") && !nameless.contains("Marlow"));
    assert!(nameless.contains(&other.to_string()), "{nameless}");
}

/// The first half-pass on the left is faulty in each ride of the sample.
#[test]
fn a_chosen_moment_of_the_days_before_has_its_still() {
    let yard = of_sample();
    let (before, after) = (sample::day(4), sample::day(5));
    let fault = |number: usize| {
        let ride = yard.rides_by_date()[number];
        let mark = ride
            .marks
            .iter()
            .min_by_key(|mark| mark.at)
            .expect("a mark");
        (sample::word("half-pass"), MomentId::Fault(ride.id, mark.id))
    };
    let of = |against: Option<Days>| {
        let wish = Wish {
            asked: period::Asked {
                days: Days {
                    from: Some(after),
                    to: None,
                },
                against: against.map(|days| (days, Earlier::Before(after))),
                unchosen: None,
            },
            chosen: vec![fault(0), fault(9)],
            ..all(&yard)
        };
        said(&read(&yard, &wish), ".still figcaption")
    };
    let earlier = Days {
        from: None,
        to: Some(before),
    };
    let told = of(Some(earlier));
    assert_eq!(told.len(), 2, "{told:?}");
    let marked = told.iter().filter(|told| told.starts_with("before: "));
    assert_eq!(marked.count(), 1, "{told:?}");
    assert_eq!(
        of(None).len(),
        1,
        "one of days that nobody asks about has none"
    );
}

/// Two horses, each with the rides of the sample.
#[test]
fn all_horses_together_are_one_page() {
    let (mut yard, other) = with_another();
    let mut ids = IdMaker::seeded(51);
    for ride in of_sample().rides.into_values() {
        let mut ride = (*ride).clone();
        ride.id = ids.next();
        ride.head.horse = other;
        yard.rides.insert(ride.id, Arc::new(ride));
    }
    let together = Wish {
        together: true,
        ..all(&yard)
    };
    let page = read(&yard, &together);
    assert_eq!(said(&page, "h1"), ["All horses"]);
    let lines = said(&page, "section.line");
    assert_eq!(lines.len(), 2, "one an exercise, not one a horse");
    assert!(lines[0].contains("30 of 80 attempts"), "{}", lines[0]);
    assert!(lines[0].contains("Juniper") && lines[0].contains("Marlow"));
    let whole = words(page.root_element());
    assert!(whole.contains("stand on the page of each horse"));
    assert_eq!(said(&read(&yard, &all(&yard)), "section.line").len(), 4);
}
