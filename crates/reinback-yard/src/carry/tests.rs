//! What goes along with a film.

use std::sync::Arc;

use chrono::NaiveDate;
use proptest::prelude::*;

use super::*;
use crate::id::{BoutId, HorseId, MarkId, ReviewId, RideId, SpanId};
use crate::model::{Asked, Leg, Measured, Pace, Plumb, Point, Review, Yard};
use crate::words::WordId;
use crate::{MeasureKind, arbitrary};

const SECOND: i64 = 1_000_000_000;

fn seconds(count: i64) -> Moment {
    Moment(count * SECOND)
}

fn film(id: u64, offset: i64, length: Option<i64>) -> Film {
    Film {
        id: FilmId::from_bits(id),
        path: format!("films/{id}.mp4"),
        fingerprint: None,
        offset: seconds(offset),
        drift_ppb: 0,
        duration_nanos: length.map(|length| length * SECOND),
        tilt: None,
    }
}

fn mark(id: u64, at: i64) -> Mark {
    Mark {
        id: MarkId::from_bits(id),
        review: ReviewId::from_bits(9),
        at: seconds(at),
        kind: MarkKind::Praise,
        bout: None,
        note: String::new(),
        origin: None,
        press: Some(Press {
            shown: seconds(at + 1),
            correction: SECOND,
            refined: false,
        }),
        place: None,
    }
}

/// A nose line measured on a film.
fn measured(id: u64, at: i64, on: u64) -> Mark {
    let point = |x| Point { x, y: 0 };
    let measured = Measured {
        kind: MeasureKind::NoseLine,
        film: FilmId::from_bits(on),
        points: [0, 1000, 2000].map(point).to_vec(),
        plumb: Plumb::Film,
    };
    Mark {
        kind: MarkKind::Measured(Box::new(measured)),
        press: None,
        ..mark(id, at)
    }
}

fn bout(id: u64, from: i64, to: Option<i64>) -> Bout {
    Bout {
        id: BoutId::from_bits(id),
        review: ReviewId::from_bits(9),
        exercise: WordId::new("half-pass").unwrap(),
        from: seconds(from),
        to: to.map(seconds),
        rein: None,
        variant: None,
        asked: Asked::default(),
        score: None,
        letters: (None, None),
        reviewed: to.is_some(),
        note: String::new(),
    }
}

fn pace(id: u64, from: i64, to: i64) -> PaceSpan {
    PaceSpan {
        id: SpanId::from_bits(id),
        span: Span {
            from: seconds(from),
            to: seconds(to),
        },
        pace: Pace::Trot,
        variant: None,
    }
}

fn outline(id: u64, from: i64, to: i64) -> OutlineSpan {
    OutlineSpan {
        id: SpanId::from_bits(id),
        span: pace(id, from, to).span,
        outline: WordId::new("long").unwrap(),
    }
}

fn tempo(id: u64, taps: [i64; 3]) -> TempoTrack {
    TempoTrack {
        id: SpanId::from_bits(id),
        review: ReviewId::from_bits(9),
        leg: Leg::LeftHind,
        taps: taps.map(seconds).to_vec(),
    }
}

/// Films 0-60, 60-120 and 110-170.
fn ride() -> Ride {
    let review = Review {
        id: ReviewId::from_bits(9),
        reviewer: String::new(),
        blind: false,
    };
    let date = NaiveDate::from_ymd_opt(2026, 11, 20).unwrap();
    let blank = Ride::new(RideId::from_bits(1), HorseId::from_bits(2), date, review);
    Ride {
        films: vec![
            film(1, 0, Some(60)),
            film(2, 60, Some(60)),
            film(3, 110, Some(60)),
        ],
        bouts: vec![
            bout(1, 50, Some(70)),
            bout(2, 60, Some(80)),
            bout(3, 90, Some(110)),
            bout(4, 100, Some(111)),
            bout(5, 105, None),
        ],
        marks: vec![
            mark(1, 59),
            mark(2, 60),
            mark(3, 100),
            measured(4, 115, 2),
            measured(5, 116, 3),
            mark(6, 117),
        ],
        paces: vec![pace(1, 0, 60), pace(2, 60, 110), pace(3, 110, 110)],
        outlines: vec![outline(4, 55, 70), outline(5, 70, 90)],
        tempos: vec![tempo(6, [58, 59, 61]), tempo(7, [61, 62, 63])],
        test: None,
        ..blank
    }
}

fn yard_of(ride: &Ride) -> Yard {
    let mut yard = Yard::default();
    yard.rides.insert(ride.id, Arc::new(ride.clone()));
    yard
}

/// The ride with a film placed; that one step takes all of it back is seen to on the way.
fn placed(ride: &Ride, film: &Film) -> Ride {
    let mut yard = yard_of(ride);
    let back = place_film(ride, film).unwrap().apply(&mut yard).unwrap();
    let after = yard.rides[&ride.id].clone();
    back.apply(&mut yard).unwrap();
    assert_eq!(&*yard.rides[&ride.id], ride, "one step takes it back");
    Arc::unwrap_or_clone(after)
}

#[test]
fn what_lies_on_a_film_alone() {
    let ride = ride();
    let on = |id: u64| {
        let found = on_film(&ride, FilmId::from_bits(id));
        (
            found
                .bouts
                .iter()
                .map(|own| own.id.bits())
                .collect::<Vec<_>>(),
            found
                .marks
                .iter()
                .map(|own| own.id.bits())
                .collect::<Vec<_>>(),
            found
                .paces
                .iter()
                .map(|own| own.id.bits())
                .collect::<Vec<_>>(),
            found
                .outlines
                .iter()
                .map(|own| own.id.bits())
                .collect::<Vec<_>>(),
            found
                .tempos
                .iter()
                .map(|own| own.id.bits())
                .collect::<Vec<_>>(),
        )
    };
    assert_eq!(on(1), (vec![], vec![1], vec![1], vec![], vec![]));
    // The mark at 60 is on the film that begins there. What both films show stays, as does what
    // still runs; what was measured belongs to its film wherever it lies.
    assert_eq!(
        on(2),
        (vec![2, 3], vec![2, 3, 4], vec![2], vec![5], vec![7])
    );
    assert_eq!(on(3), (vec![], vec![5], vec![], vec![], vec![]));
    assert_eq!(on(8), (vec![], vec![], vec![], vec![], vec![]));
}

#[test]
fn a_film_of_unknown_length_may_show_what_comes_after_its_start() {
    let mut ride = ride();
    ride.films[0].duration_nanos = None;
    let second = on_film(&ride, FilmId::from_bits(2));
    assert_eq!(second.marks.len(), 1, "only what was measured");
    assert!(on_film(&ride, FilmId::from_bits(1)).marks.is_empty());
}

#[test]
fn a_film_takes_along_what_was_marked_on_it() {
    let ride = ride();
    let after = placed(&ride, &film(2, 200, Some(60)));
    let bouts: Vec<_> = after
        .bouts
        .iter()
        .map(|own| (own.id.bits(), own.from))
        .collect();
    let at = seconds;
    assert_eq!(
        bouts,
        [
            (1, at(50)),
            (4, at(100)),
            (5, at(105)),
            (2, at(200)),
            (3, at(230))
        ]
    );
    assert_eq!(after.bouts[3].to, Some(seconds(220)));
    let marks: Vec<_> = after
        .marks
        .iter()
        .map(|own| (own.id.bits(), own.at))
        .collect();
    assert_eq!(
        marks,
        [
            (1, at(59)),
            (5, at(116)),
            (6, at(117)),
            (2, at(200)),
            (3, at(240)),
            (4, at(255))
        ]
    );
    let press = after.marks[4].press.unwrap();
    assert_eq!((press.shown, press.correction), (seconds(241), SECOND));
    assert_eq!(after.tempos[1].taps, [201, 202, 203].map(seconds));
    assert_eq!(after.outlines[1].span, outline(5, 210, 230).span);
    // The pace that still runs since 110 would be lain upon: nothing is put behind it.
    assert_eq!(after.paces, ride.paces);
    // To the other side there is room.
    let after = placed(&ride, &film(2, -100, Some(60)));
    assert_eq!(after.paces[0].span, pace(2, -100, -50).span);
}

#[test]
fn a_stretch_is_not_put_onto_one_that_stays() {
    let ride = Ride {
        films: vec![film(1, 0, Some(60)), film(2, 60, Some(60))],
        paces: vec![pace(1, 0, 60), pace(2, 60, 90), pace(3, 90, 120)],
        ..ride()
    };
    let after = placed(&ride, &film(2, 40, Some(60)));
    let spans: Vec<_> = after.paces.iter().map(|own| own.span).collect();
    // The second would lie on the first; where it stays, the third cannot come either.
    let expect = [(0, 60), (60, 90), (90, 120)];
    assert_eq!(spans, expect.map(|(from, to)| pace(0, from, to).span));
}

#[test]
fn a_rate_is_followed() {
    let ride = ride();
    // It loses a thousandth, so that a second of it takes a little longer.
    let slow = Film {
        drift_ppb: -1_000_000,
        ..film(2, 100, Some(60))
    };
    let after = placed(&ride, &slow);
    let mark = after.marks.iter().find(|own| own.id.bits() == 3).unwrap();
    // 40 s of film are 40 / 0.999 s of the ride.
    assert_eq!(mark.at, Moment(140_040_040_040));
    assert_eq!(slow.film_from_ride(mark.at), 40 * SECOND);
}

proptest! {
    /// Whatever a ride holds, placing a film of it is one change that can be taken back exactly,
    /// and placing it where it lies changes nothing.
    #[test]
    fn placing_is_one_step(
        yard in arbitrary::yard(),
        which in any::<prop::sample::Index>(),
        by in -200_i64..200,
        drift in -1_000_000_i32..1_000_000,
    ) {
        for ride in yard.rides.values().filter(|ride| !ride.films.is_empty()) {
            let film = ride.films[which.index(ride.films.len())].clone();
            prop_assert_eq!(&placed(ride, &film), &**ride);
            let moved = Film {
                offset: Moment(film.offset.0.saturating_add(by * SECOND)),
                drift_ppb: drift,
                ..film
            };
            placed(ride, &moved);
        }
    }
}

/// Lines of a test that are seen from a moment of the film go along, and those seen as a bout
/// follow their bout.
#[test]
fn a_test_goes_along_with_its_film() {
    let mut ride = ride();
    let sheet = crate::sheets::offered(&mut crate::IdMaker::seeded(1)).swap_remove(0);
    let mut test = crate::RiddenTest::new(sheet);
    test.lines[0].seen = Some(Seen::At(seconds(10)));
    test.lines[1].seen = Some(Seen::At(seconds(70)));
    test.lines[2].seen = Some(Seen::Bout(BoutId::from_bits(1)));
    ride.test = Some(Box::new(test));
    assert_eq!(on_film(&ride, FilmId::from_bits(1)).lines, [0]);
    let after = placed(&ride, &film(1, -5, Some(60)));
    let seen: Vec<_> = after.test.unwrap().lines[..3]
        .iter()
        .map(|line| line.seen)
        .collect();
    assert_eq!(
        seen,
        [
            Some(Seen::At(seconds(5))),
            Some(Seen::At(seconds(70))),
            Some(Seen::Bout(BoutId::from_bits(1)))
        ]
    );
}
