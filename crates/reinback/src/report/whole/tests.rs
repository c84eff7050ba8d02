//! Rides made by hand, and what they show together.

use reinback_analysis::load::LoadReason;
use reinback_analysis::outline::Notice;
use reinback_analysis::place::Arena;
use reinback_analysis::series::StrideSource;
use reinback_yard::lower::trouble::Trouble;
use reinback_yard::{IdMaker, Leg, Moment, OutlineSpan, Pace, PaceSpan, Span, SpanId, TempoTrack};

use super::look::What;
use super::*;
use crate::report::sample;

const SECOND: i64 = 1_000_000_000;
const MS: i64 = 1_000_000;

fn span(from: i64, to: i64) -> Span {
    Span::new(Moment(from * SECOND), Moment(to * SECOND))
}

fn of(yard: &Yard, kept: &mut Kept) -> Whole {
    whole(yard, sample::horse(), Days::default(), sample::day(9), kept)
}

fn change(yard: &mut Yard, number: usize, edit: impl FnOnce(&mut Ride)) {
    let id = yard.rides_by_date()[number].id;
    if let Some(ride) = yard.rides.get_mut(&id) {
        edit(Arc::make_mut(ride));
    }
}

fn canter(ride: &mut Ride, step: i64) {
    ride.paces.push(PaceSpan {
        id: SpanId::from_bits(1),
        span: span(0, 600),
        pace: Pace::Canter,
        variant: None,
    });
    ride.tempos.push(TempoTrack {
        id: SpanId::from_bits(2),
        review: ride.head.counting,
        leg: Leg::LeftFore,
        taps: (0..20).map(|n| Moment(n * step * MS)).collect(),
    });
}

fn changes_every(ride: &mut Ride, strides: i64) {
    let mut ids = IdMaker::seeded(77);
    sample::bout(&mut ids, ride, "changes-every-4th-stride", None, None);
    sample::changes(&mut ids, ride, strides * 617 * MS);
}

#[test]
fn a_ride_that_did_not_change_is_not_looked_at_again() {
    let mut yard = sample::yard();
    let mut kept = Kept::default();
    let first = of(&yard, &mut kept);
    assert_eq!(kept.computed, sample::RIDES as u64);
    change(&mut yard, 3, |ride| canter(ride, 617));
    let second = of(&yard, &mut kept);
    assert_eq!(
        kept.computed,
        sample::RIDES as u64 + 1,
        "the edited ride only"
    );
    assert_eq!((first.tempos.len(), second.tempos.len()), (0, 1));
    // Words decide what an outline is, so other words mean other figures.
    yard.words.outlines.pop();
    of(&yard, &mut kept);
    assert_eq!(kept.computed, 2 * sample::RIDES as u64 + 1);
    yard.rides.clear();
    assert!(of(&yard, &mut kept).rides.is_empty());
    assert!(kept.rides.is_empty());
}

/// An earlier canter helps a later series, never an earlier one.
#[test]
fn a_stride_time_comes_from_an_earlier_ride_only() {
    let mut yard = sample::yard();
    change(&mut yard, 2, |ride| changes_every(ride, 3));
    change(&mut yard, 5, |ride| canter(ride, 617));
    change(&mut yard, 8, |ride| changes_every(ride, 3));
    let found = of(&yard, &mut Kept::default());
    let [late, early] = found.series.as_slice() else {
        panic!("two series: {:?}", found.series);
    };
    assert!(early.date < late.date, "newest first");
    assert!(early.found.as_ref().unwrap().count.is_err(), "not verified");
    let count = late.found.as_ref().unwrap().count.as_ref().unwrap();
    assert_eq!(count.stride.source, StrideSource::EarlierCanter);
    assert_eq!(count.steady_every, Some(3));
    assert_eq!(
        (late.stride_of, early.stride_of),
        (Some(sample::day(5)), None)
    );
}

/// A ride whose taps are impossible keeps an older ride's stride time for the rides after it.
#[test]
fn impossible_taps_do_not_reach_later_rides() {
    let mut yard = sample::yard();
    change(&mut yard, 3, |ride| canter(ride, 617));
    change(&mut yard, 5, |ride| canter(ride, 300));
    change(&mut yard, 8, |ride| changes_every(ride, 3));
    let found = of(&yard, &mut Kept::default());
    let [late] = found.series.as_slice() else {
        panic!("one series: {:?}", found.series);
    };
    let count = late.found.as_ref().unwrap().count.as_ref().unwrap();
    assert_eq!(count.stride.nanos, 617 * MS);
    assert_eq!(late.stride_of, Some(sample::day(3)));
    let told = found.look.iter().filter(|look| {
        look.what == What::InRide(Trouble::ImpossibleTaps)
            && look.at.is_some_and(|(_, day, _)| day == sample::day(5))
    });
    assert_eq!(told.count(), 1, "once, in the ride tapped");
}

#[test]
fn transitions_are_pooled_over_the_time_of_all_rides() {
    let mut yard = sample::yard();
    let paces = |minutes: i64| {
        let pace = |id, pace, from, to| PaceSpan {
            id: SpanId::from_bits(id),
            span: span(from, to),
            pace,
            variant: None,
        };
        vec![
            pace(1, Pace::Walk, 0, 60),
            pace(2, Pace::Trot, 60, minutes * 60),
        ]
    };
    change(&mut yard, 0, |ride| ride.paces = paces(2));
    change(&mut yard, 1, |ride| ride.paces = paces(8));
    let steps = of(&yard, &mut Kept::default()).steps;
    assert_eq!((steps.rides, steps.all.between.count), (2, 2));
    let rate = steps.all.between.per_minute.unwrap();
    assert!(
        (rate.value - 0.2).abs() < 1e-12,
        "2 in 10 minutes, not the mean of 1/2 and 1/8"
    );
    assert_eq!(
        steps.by_kind,
        [(StepsKind::Between(Pace::Walk, Pace::Trot), 2)]
    );
}

#[test]
fn outlines_have_their_own_ride_and_words() {
    let mut yard = sample::yard();
    change(&mut yard, 4, |ride| {
        ride.outlines = vec![OutlineSpan {
            id: SpanId::from_bits(1),
            span: span(0, 640),
            outline: sample::word("competition"),
        }];
    });
    let found = of(&yard, &mut Kept::default());
    let marked: Vec<_> = found
        .rides
        .iter()
        .filter(|ride| ride.outline.is_some())
        .collect();
    assert_eq!(marked.len(), 1);
    let report = marked[0].outline.as_ref().unwrap().as_ref().unwrap();
    assert_eq!(report.runs[0].notice(), Notice::Full);
    let word = marked[0].word(report.shares[0].outline);
    assert_eq!(word, Some(&sample::word("competition")));
}

#[test]
fn the_load_is_of_today_and_the_minutes_of_the_period() {
    let yard = sample::yard();
    let days = Days {
        from: Some(sample::day(0)),
        to: Some(sample::day(1)),
    };
    let found = whole(
        &yard,
        sample::horse(),
        days,
        sample::day(9),
        &mut Kept::default(),
    );
    assert_eq!((found.rides.len(), found.ridden.all.rides), (2, 2));
    assert_eq!(found.load.last_seven.rides, 3, "every third day");
    assert_eq!(found.load.usual_week, Err(LoadReason::TooShort));
    let longest = found.ridden.exercises.first();
    assert_eq!(
        longest,
        Some(&(sample::word("half-pass"), 2 * 4 * 15 * SECOND))
    );
}

#[test]
fn what_stands_in_the_way_leads_to_its_ride() {
    let mut yard = sample::yard();
    change(&mut yard, 6, |ride| {
        let from = ride.bouts[0].from;
        ride.bouts[1].exercise = ride.bouts[0].exercise.clone();
        ride.bouts[1].from = from;
    });
    let id = yard.rides_by_date()[6].id;
    let found = of(&yard, &mut Kept::default());
    let overlap = found
        .look
        .iter()
        .find(|look| matches!(look.what, What::InRide(Trouble::Overlap(_))));
    let (ride, day, at) = overlap.unwrap().at.unwrap();
    assert_eq!((ride, day, at.is_some()), (id, sample::day(6), true));

    let early = whole(
        &yard,
        sample::horse(),
        Days::default(),
        sample::day(2),
        &mut Kept::default(),
    );
    let ahead = early
        .look
        .iter()
        .filter(|look| look.what == What::InRide(Trouble::Ahead));
    assert_eq!(ahead.count(), 7);
    assert_eq!(early.load.ahead, 7, "and in no load");
}

#[test]
fn one_ride_and_none_faulty_are_told_and_nothing_else() {
    let yard = sample::yard();
    let days = Days {
        from: Some(sample::day(9)),
        to: None,
    };
    let found = whole(
        &yard,
        sample::horse(),
        days,
        sample::day(9),
        &mut Kept::default(),
    );
    let what: Vec<&What> = found.look.iter().map(|look| &look.what).collect();
    assert_eq!(what, [&What::OneRide]);
    let mut clean = sample::yard();
    for number in 0..sample::RIDES {
        change(&mut clean, number, |ride| ride.marks.clear());
    }
    let found = of(&clean, &mut Kept::default());
    let what: Vec<&What> = found.look.iter().map(|look| &look.what).collect();
    assert_eq!(
        what,
        [
            &What::NoneFaulty(sample::word("half-pass"), 40),
            &What::NoneFaulty(sample::word("halt"), 10)
        ]
    );
}

#[test]
fn the_same_film_in_two_rides_is_told() {
    let mut yard = sample::yard();
    for number in [1, 4] {
        change(&mut yard, number, |ride| {
            ride.films.push(reinback_yard::Film {
                id: reinback_yard::FilmId::from_bits(9),
                path: format!("films/{number}.mp4"),
                fingerprint: Some("same".into()),
                offset: Moment(0),
                drift_ppb: 0,
                duration_nanos: None,
                tilt: None,
            });
        });
    }
    let later = yard.rides_by_date()[4].id;
    let found = of(&yard, &mut Kept::default());
    let same: Vec<_> = found
        .look
        .iter()
        .filter(|look| look.what == What::SameFilm)
        .collect();
    assert_eq!(same.len(), 1);
    assert_eq!(same[0].at.map(|(ride, ..)| ride), Some(later));
}

/// Of an arena whose size nobody gave, the places stand apart.
#[test]
fn places_of_an_arena_not_given_are_not_pooled() {
    let mut yard = sample::yard();
    change(&mut yard, 2, |ride| ride.head.arena = Some(Arena::Standard));
    change(&mut yard, 4, |ride| ride.head.arena = Some(Arena::Small));
    let found = of(&yard, &mut Kept::default());
    let rides: Vec<_> = found
        .places
        .iter()
        .map(|own| (own.given, own.rides))
        .collect();
    assert_eq!(
        rides,
        [
            (Some(Arena::Standard), 1),
            (Some(Arena::Small), 1),
            (None, sample::RIDES - 2)
        ]
    );
    let sheet = sheet::WholeSheet::new(&found, &yard);
    let arenas: Vec<_> = sheet.places.iter().map(|own| own.arena).collect();
    assert_eq!(arenas, [Some("20x60"), Some("20x40"), None]);
}

#[test]
fn the_sheet_says_the_same() {
    let mut yard = sample::yard();
    change(&mut yard, 5, |ride| canter(ride, 617));
    change(&mut yard, 8, |ride| changes_every(ride, 3));
    let found = of(&yard, &mut Kept::default());
    let sheet = sheet::WholeSheet::new(&found, &yard);
    let series = &sheet.series_of_changes[0];
    assert_eq!(
        (series.steady_every, series.wrong, series.sure),
        (Some(3), Some(4), Some(4))
    );
    assert_eq!(series.stride_from, Some("earlier_canter"));
    assert_eq!(
        series
            .intervals
            .iter()
            .filter(|one| one.verdict == "early")
            .count(),
        4
    );
    assert_eq!(sheet.tempo[0].pace, "canter");
    assert_eq!(
        sheet.tempo[0].lapses, None,
        "no line is known to be straight"
    );
}
