//! What the figures of an opened line show.

use chrono::NaiveDate;
use reinback_yard::{
    ArenaPlace, ErrorRules, Film, IdMaker, Leg, MarkKind, Moment, Pace, PaceSpan, RiddenTest, Ride,
    SheetId, Span, SpanId, TempoTrack, TestSheet, Yard,
};

use super::about::{KindAbout, Middle};
use super::*;
use crate::figure::{Layer, Scale, Shape};
use crate::report::numbers::{Days, Line, Question, Reins, Whose, numbers};
use crate::report::sample;
use crate::report::whole::{Kept, whole};
use crate::said::{Language, Say};

fn question() -> Question {
    Question {
        whose: Whose::One(sample::horse()),
        days: Days::default(),
        against: None,
        reins: Reins::Both,
    }
}

fn half_pass(yard: &Yard) -> Line {
    let found = numbers(yard, &question());
    let line = found
        .lines
        .into_iter()
        .find(|line| line.name == "half-pass");
    line.expect("the sample has half-passes")
}

fn english() -> Say {
    Say::new(Language::English)
}

/// The same with a show, a test that was ridden, and notes.
fn with_occasions() -> Yard {
    let mut yard = sample::yard();
    let days = [sample::day(1), sample::day(3), sample::day(5)];
    for ride in yard.rides.values_mut() {
        let mut own = Ride::clone(ride);
        let place = days.iter().position(|day| *day == own.head.date);
        match place {
            Some(0) => own.head.title = "Show, Prix St Georges".to_owned(),
            Some(1) => own.head.notes = "windy, and the\nflags were out".to_owned(),
            Some(2) => own.head.title = "showing off the new saddle".to_owned(),
            _ => {}
        }
        *ride = std::sync::Arc::new(own);
    }
    yard
}

#[test]
fn shows_and_notes_are_found_and_nothing_else() {
    let found = happened(&with_occasions(), &question());
    let found: Vec<(NaiveDate, Occasion, &str)> = found
        .iter()
        .map(|one| (one.day, one.occasion, one.text.as_str()))
        .collect();
    assert_eq!(
        found,
        [
            (sample::day(1), Occasion::Show, "Show, Prix St Georges"),
            (
                sample::day(3),
                Occasion::Note,
                "windy, and the\nflags were out"
            ),
        ]
    );
    let mut few = question();
    few.days.from = Some(sample::day(2));
    assert_eq!(happened(&with_occasions(), &few).len(), 1);
    few.whose = Whose::One(reinback_yard::HorseId::from_bits(99));
    assert!(happened(&with_occasions(), &few).is_empty());
}

/// By its title in either language, and by the test that was ridden whatever the title.
#[test]
fn a_test_or_a_show_is_known_by_its_title_or_its_test() {
    let yard = sample::yard();
    let first = yard.rides_by_date()[0].clone();
    let sheet = TestSheet {
        id: SheetId::from_bits(1),
        name: "Intermediate I".to_owned(),
        as_of: String::new(),
        lines: Vec::new(),
        printed_most: None,
        rules: ErrorRules::proposals().remove(0),
        decimals: 3,
    };
    let occasions = |title: &str, tested: bool| {
        let mut ride = Ride::clone(&first);
        ride.head.title = title.to_owned();
        ride.head.notes.clear();
        if tested {
            ride.test = Some(Box::new(RiddenTest::new(sheet.clone())));
        }
        let mut yard = sample::yard();
        yard.rides = [(ride.id, std::sync::Arc::new(ride))].into_iter().collect();
        let found = happened(&yard, &question());
        found.iter().map(|one| one.occasion).collect::<Vec<_>>()
    };
    for (title, is_one) in [
        ("Show, Prix St Georges", true),
        ("regional championships", true),
        ("test riding, Intermediate I", true),
        ("Dressurprüfung Kl. M", true),
        ("Hallenturnier", true),
        ("Landesmeisterschaften", true),
        ("", false),
        ("schooling, the right rein", false),
        ("showing off the new saddle", false),
        ("testing the new bit", false),
        ("Last schooling before the show", false),
        ("Turniervorbereitung", false),
        ("Training vor dem Turnier", false),
    ] {
        let expect: &[Occasion] = if is_one { &[Occasion::Show] } else { &[] };
        assert_eq!(occasions(title, false), expect, "{title}");
        assert_eq!(occasions(title, true), [Occasion::Show], "{title}, a test");
    }
}

fn layer<'a>(figure: &'a Figure, name: &str) -> &'a Layer {
    let found = figure.legend().find(|(_, layer)| layer.name == name);
    found.map(|(_, layer)| layer).expect("a layer")
}

/// Every dot, and every range that is drawn, is a row of the table with the same numbers.
#[test]
fn rides_are_dots_and_rows_and_lead_to_their_ride() {
    let yard = with_occasions();
    let line = half_pass(&yard);
    let own = across(&line, &happened(&yard, &question()), &english()).expect("rides");
    let figure = &own.figure;
    let Shape::Dots(dots) = &layer(figure, "Rides").shape else {
        panic!("rides are dots")
    };
    assert_eq!(dots.len(), sample::RIDES);
    assert_eq!(figure.table.rows.len(), sample::RIDES);
    let first = f64::from(sample::day(0).to_epoch_days());
    assert!((dots[0].at[0] - first).abs() < 1e-9);
    assert!((dots[0].at[1] - 0.5).abs() < 1e-12, "2 of 4 attempts");
    let oldest = figure.table.rows.last().expect("a row");
    assert_eq!(oldest[1..5], ["4", "2", "2", "50 %"]);
    let rides: Vec<_> = line
        .rides
        .iter()
        .rev()
        .map(|ride| Some((ride.ride, None)))
        .collect();
    assert_eq!(own.rows, rides);
    let (at, _) = figure
        .legend()
        .find(|(_, own)| own.name == "Rides")
        .expect("rides");
    let first = Pick { layer: at, item: 0 };
    assert_eq!(own.of_mark(first), Some((line.rides[0].ride, None)));
    let Shape::Events(shows) = &layer(figure, "Tests and shows").shape else {
        panic!("shows are events")
    };
    assert_eq!(shows[0].name, "Show, Prix St Georges");
    let Shape::Events(notes) = &layer(figure, "Notes").shape else {
        panic!("notes are events")
    };
    assert!(
        notes[0].said.ends_with("windy, and the flags were out"),
        "{notes:?}"
    );
    let rows: Vec<&String> = figure
        .table
        .rows
        .iter()
        .filter_map(|row| row.last())
        .collect();
    assert_eq!(
        rows.iter().filter(|text| !text.is_empty()).count(),
        2,
        "{rows:?}"
    );
    for row in &figure.table.rows {
        assert_eq!(row.len(), figure.table.columns.len());
    }
}

#[test]
fn bars_say_what_the_line_counted() {
    let line = half_pass(&sample::yard());
    let say = english();
    let faults = bars::faults(&line, &say).expect("faults");
    let Shape::Boxes(boxes) = &faults.layers[0].shape else {
        panic!("faults are boxes")
    };
    let drawn: Vec<f64> = boxes.iter().map(|own| own.x[1]).collect();
    let times: Vec<f64> = line.faults.iter().map(|own| f64::from(own.times)).collect();
    assert_eq!(drawn, times);
    assert!(
        boxes.windows(2).all(|pair| pair[0].y[0] > pair[1].y[1]),
        "from the top"
    );
    let reins = bars::reins(&line, &say).expect("reins");
    let Shape::Spans(spans) = &layer(&reins, "Range").shape else {
        panic!("ranges lie down")
    };
    let left = line.figures.left.rate.range.expect("enough on the left");
    assert_eq!((spans[0].low, spans[0].high), (left.low, left.high));
    assert!(bars::variants(&line, &say).is_none(), "one variant only");
    for figure in [&faults, &reins] {
        for row in &figure.table.rows {
            assert_eq!(row.len(), figure.table.columns.len());
        }
        let Scale::Names(names) = &figure.y.scale else {
            panic!("bars have names")
        };
        let marks: Vec<f64> = names.iter().map(|mark| mark.at).collect();
        assert!(marks.windows(2).all(|pair| pair[0] < pair[1]), "{marks:?}");
    }
}

/// The oldest ride with taps about its first half-pass: strides of this length, in milliseconds,
/// before it, in it and after it.
fn tapped(step: [i64; 3]) -> Yard {
    let mut yard = sample::yard();
    let id = yard.rides_by_date()[0].id;
    let ride = yard.rides.get_mut(&id).expect("a ride");
    let ride = std::sync::Arc::make_mut(ride);
    let mut bouts = ride.bouts.iter();
    let bout = bouts.find(|bout| bout.exercise.as_str() == "half-pass");
    let bout = bout.expect("a half-pass");
    let (from, to) = (bout.from.0, bout.to.expect("an end").0);
    let step = step.map(|step| step * 1_000_000);
    let mut taps: Vec<i64> = (1..=4).map(|n| from - n * step[0]).rev().collect();
    let within = (0..).map(|n| from + n * step[1]);
    taps.extend(within.take_while(|at| *at < to));
    taps.extend((0..=4).map(|n| to + n * step[2]));
    ride.tempos.push(TempoTrack {
        id: SpanId::from_bits(2),
        review: ride.head.counting,
        leg: Leg::LeftFore,
        taps: taps.into_iter().map(Moment).collect(),
    });
    yard
}

#[test]
fn the_tempo_about_an_exercise_is_that_of_its_taps() {
    let yard = tapped([750, 800, 600]);
    let found = tempo_about(&yard, &question(), &sample::word("half-pass"));
    assert_eq!(found.events.len(), 1);
    let kinds = found.kinds();
    assert_eq!(kinds.len(), 1);
    let [before, _, after] = kinds[0].middles();
    let near = |middle: Option<Middle>, expect: f64| {
        let value = middle.expect("a tempo").median;
        assert!((value - expect).abs() < 1e-6, "{value} is not {expect}");
    };
    near(before, 80.0);
    near(after, 100.0);
    let drawn = about::about(&found, "half-pass", &english()).expect("a figure");
    let rows = &drawn.figure.table.rows;
    assert_eq!(rows.len(), 2);
    assert_eq!(
        (rows[0][0].as_str(), &*rows[0][1], &*rows[0][3]),
        ("One attempt", "80.0", "100.0")
    );
    assert_eq!(rows[1][1..], rows[0][1..], "the median of one is its own");
    assert!(
        drawn.figure.spoken.contains("80 strides a minute before"),
        "{}",
        drawn.figure.spoken
    );
    let ride = yard.rides_by_date()[0].id;
    assert_eq!(drawn.rows[0], None);
    assert_eq!(drawn.rows[1].map(|(own, _)| own), Some(ride));
    let mut leads = drawn.leads.iter().flatten().flatten();
    assert!(leads.all(|(own, _)| *own == ride));
    assert_eq!(found.to_tap, ToTap::NoFilm, "no ride has one");
}

/// A half-pass in trot and one in canter have no tempo in common.
#[test]
fn every_pace_and_variant_has_its_own_tempo() {
    let mut yard = tapped([750, 800, 600]);
    let other = tapped([600, 610, 620]);
    let ids: Vec<_> = yard.rides_by_date().iter().map(|ride| ride.id).collect();
    let mut canter = Ride::clone(&other.rides[&ids[0]]);
    canter.id = RideId::from_bits(77);
    for (ride, pace) in [(ids[0], Pace::Trot), (canter.id, Pace::Canter)] {
        let all = Span::new(Moment(0), Moment(600_000_000_000));
        let span = PaceSpan {
            id: SpanId::from_bits(1),
            span: all,
            pace,
            variant: None,
        };
        if ride == canter.id {
            canter.paces = vec![span];
        } else {
            let own = yard.rides.get_mut(&ride).expect("a ride");
            std::sync::Arc::make_mut(own).paces = vec![span];
        }
    }
    yard.rides.insert(canter.id, std::sync::Arc::new(canter));
    let found = tempo_about(&yard, &question(), &sample::word("half-pass"));
    let before = |kind: &KindAbout<'_>| {
        let middle = kind.middles()[0].expect("a tempo");
        (kind.kind.pace, middle.median.round() as i64, middle.known)
    };
    let kinds: Vec<_> = found.kinds().iter().map(before).collect();
    assert_eq!(
        kinds,
        [(Some(Pace::Trot), 80, 1), (Some(Pace::Canter), 100, 1)]
    );
    let said = english().tempo_about(&found);
    assert!(said.contains("trot: In one attempt 80"), "{said}");
    assert!(said.contains("canter: In one attempt 100"), "{said}");
    let drawn = about::about(&found, "half-pass", &english()).expect("a figure");
    layer(&drawn.figure, "Median, trot");
    layer(&drawn.figure, "Median, canter");
    let which: Vec<&str> = drawn
        .figure
        .table
        .rows
        .iter()
        .map(|row| row[1].as_str())
        .collect();
    assert!(
        which.contains(&"trot") && which.contains(&"canter"),
        "{which:?}"
    );
    // Of all horses each has its own.
    let mut all = question();
    all.whose = Whose::All;
    let found = tempo_about(&yard, &all, &sample::word("half-pass"));
    assert!(found.kinds().iter().all(|own| own.kind.horse.is_some()));
}

#[test]
fn without_taps_there_is_no_tempo_but_a_place_to_tap() {
    let exercise = sample::word("half-pass");
    let found = tempo_about(&sample::yard(), &question(), &exercise);
    assert!(found.events.is_empty());
    assert!(about::about(&found, "half-pass", &english()).is_none());
    let other = tempo_about(&sample::yard(), &question(), &sample::word("pirouette"));
    assert_eq!(other, TempoAbout::default());
}

/// The sample's first two attempts at a half-pass last from 60 to 75 and from 120 to 135 seconds.
#[test]
fn a_tempo_is_tapped_where_a_film_shows_the_exercise() {
    let second = |seconds: i64| Moment(seconds * 1_000_000_000);
    let to_tap = |films: &[(usize, i64, i64)]| {
        let mut yard = sample::yard();
        let order: Vec<RideId> = yard.rides_by_date().iter().map(|ride| ride.id).collect();
        let mut ids = IdMaker::seeded(61);
        for (number, begins, length) in films {
            let ride = yard.rides.get_mut(&order[*number]).expect("a ride");
            std::sync::Arc::make_mut(ride).films.push(Film {
                id: ids.next(),
                path: "films/a.mp4".into(),
                fingerprint: None,
                offset: second(*begins),
                drift_ppb: 0,
                duration_nanos: Some(second(*length).0),
                tilt: None,
            });
        }
        let found = tempo_about(&yard, &question(), &sample::word("half-pass"));
        let place = match found.to_tap {
            ToTap::At(ride, at) => {
                let number = order.iter().position(|own| *own == ride);
                Ok((number.expect("a ride"), at))
            }
            other => Err(other),
        };
        let everything = whole(
            &yard,
            sample::horse(),
            question().days,
            sample::day(9),
            &mut Kept::default(),
        );
        let number = |(ride, at)| (order.iter().position(|own| *own == ride), at);
        (place, everything.to_tap.map(number))
    };
    assert_eq!(to_tap(&[]), (Err(ToTap::NoFilm), None));
    let minutes_of = |number| (number, 0, 600);
    // The newest of those with a film, whatever newer rides there are.
    let found = to_tap(&[minutes_of(2), minutes_of(4)]);
    assert_eq!(found.0, Ok((4, second(55))));
    assert_eq!(found.1, Some((Some(4), second(55))));
    // A film that begins after the first attempt shows the second, and is begun where it begins.
    let found = to_tap(&[(3, 118, 600)]);
    assert_eq!(found.0, Ok((3, second(118))));
    // One that shows no attempt is of no use to an exercise, but to the horse.
    let found = to_tap(&[minutes_of(2), (5, 0, 20)]);
    assert_eq!(found.0, Ok((2, second(55))));
    assert_eq!(found.1, Some((Some(5), second(0))));
}

/// Squares and dots show the same faults as the table counts.
#[test]
fn the_plan_counts_the_faults_of_one_exercise() {
    let mut yard = sample::yard();
    let mut clicked = 0;
    for ride in yard.rides.values_mut() {
        let ride = std::sync::Arc::make_mut(ride);
        for mark in &mut ride.marks {
            if matches!(&mark.kind, MarkKind::Fault(_)) {
                mark.place = Some(ArenaPlace {
                    across_cm: 100,
                    along_cm: 3000,
                });
                clicked += 1;
            }
        }
    }
    let mut kept = Kept::default();
    let (horse, days) = (sample::horse(), Days::default());
    let found = whole(&yard, horse, days, sample::day(9), &mut kept);
    let places = &found.places[0];
    let own = plan::of_exercise(places, &sample::word("half-pass")).expect("faults of it");
    assert!(own.faults.len() < clicked, "halts have faults too");
    let drawn = plan::plan(&own, "half-pass".to_owned(), &english()).expect("a plan");
    let figure = &drawn.figure;
    assert!(figure.to_scale);
    let Shape::Dots(dots) = &layer(figure, "Places").shape else {
        panic!("clicks are dots")
    };
    assert_eq!(dots.len(), own.faults.len());
    let Shape::Boxes(squares) = &layer(figure, "Squares of 5 metres").shape else {
        panic!("squares are boxes")
    };
    assert_eq!(squares.len(), 1, "all in one square");
    assert_eq!(squares[0].written, own.faults.len().to_string());
    assert_eq!((squares[0].x, squares[0].y), ([30.0, 35.0], [0.0, 5.0]));
    // 30 m along on the K side is E; the square and every click are rows too.
    let rows = &figure.table.rows;
    let times = own.faults.len().to_string();
    assert_eq!(rows[0], ["Counts by letter", "E", &times, ""]);
    let square = "30–35 m from the short side with A, 0–5 m from the long side with K";
    assert_eq!(rows[1], ["Squares of 5 metres", square, &times, ""]);
    let click = "30.0 m from the short side with A, 1.0 m from the long side with K";
    assert!(
        rows[2..].iter().all(|row| row[1] == click && row[2] == "1"),
        "{rows:?}"
    );
    assert_eq!(rows.len(), 2 + own.faults.len());
    assert_eq!((drawn.rows[0], drawn.rows[1]), (None, None));
    let newest = own.faults.last().map(|fault| fault.ride);
    assert_eq!(drawn.rows[2].map(|(ride, _)| ride), newest);
    assert!(plan::of_exercise(places, &sample::word("pirouette")).is_none());
}

/// A change every three strides of 0.6 s where every fourth was asked: each beat is a dot and a row,
/// and the changes asked stand where they would have come.
#[test]
fn a_series_is_a_row_of_beats_against_what_was_asked() {
    let mut yard = sample::yard();
    let id = yard.rides_by_date()[0].id;
    let ride = std::sync::Arc::make_mut(yard.rides.get_mut(&id).expect("a ride"));
    let mut ids = IdMaker::seeded(5);
    sample::bout(&mut ids, ride, "changes-every-4th-stride", None, None);
    let bout = ride.bouts.last_mut().expect("a bout");
    (bout.asked.every, bout.asked.count) = (Some(4), Some(5));
    let step = 600_000_000;
    sample::changes(&mut ids, ride, 3 * step);
    ride.paces.push(PaceSpan {
        id: SpanId::from_bits(1),
        span: Span::new(Moment(0), Moment(600_000_000_000)),
        pace: Pace::Canter,
        variant: None,
    });
    ride.tempos.push(TempoTrack {
        id: SpanId::from_bits(2),
        review: ride.head.counting,
        leg: Leg::LeftFore,
        taps: (0..20).map(|n| Moment(n * step)).collect(),
    });
    let mut kept = Kept::default();
    let (horse, days) = (sample::horse(), Days::default());
    let found = whole(&yard, horse, days, sample::day(9), &mut kept);
    let one = found.series.first().expect("a series");
    let figure = beats::beats(one, "a series".to_owned(), &english()).expect("beats");
    let Shape::Dots(dots) = &layer(&figure, "Changes").shape else {
        panic!("changes are dots")
    };
    let at: Vec<f64> = dots.iter().map(|dot| (dot.at[0] * 100.0).round()).collect();
    assert_eq!(at, [0.0, 180.0, 360.0, 540.0, 720.0]);
    let Shape::Ranges(asked) = &layer(&figure, "Asked").shape else {
        panic!("what was asked are ticks")
    };
    assert_eq!(asked.len(), 5);
    assert!((asked[1].x - 2.4).abs() < 1e-9, "{asked:?}");
    assert_eq!(figure.table.rows.len(), 5);
    assert_eq!(figure.table.rows[1], ["2", "1.80", "3 early", "2.40"]);
}
