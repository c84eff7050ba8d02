//! Points put, held, moved and taken away.

use chrono::NaiveDate;
use proptest::prelude::*;
use reinback_yard::{Film, HorseId, IdMaker, Review, RideId};

use super::*;

const FILM: u64 = 7;

fn frame(at: i64) -> OnFrame {
    OnFrame {
        film: FilmId::from_bits(FILM),
        at: Moment(at),
    }
}

fn point(x: i32, y: i32) -> Point {
    Point {
        x: x * 1_000,
        y: y * 1_000,
    }
}

/// A ride with one film, and marks that measured these nose lines.
fn ride(nose_ends: &[Point]) -> (Ride, ReviewId) {
    let mut ids = IdMaker::seeded(3);
    let (horse, ride, review): (HorseId, RideId, ReviewId) = (ids.next(), ids.next(), ids.next());
    let date = NaiveDate::from_ymd_opt(2026, 11, 20).unwrap();
    let own = Review {
        id: review,
        reviewer: String::new(),
        blind: false,
    };
    let mut ride = Ride::new(ride, horse, date, own);
    ride.films.push(Film {
        id: FilmId::from_bits(FILM),
        path: "films/one.mp4".into(),
        fingerprint: None,
        offset: Moment(0),
        drift_ppb: 0,
        duration_nanos: None,
        tilt: None,
    });
    for (at, end) in (0_i64..).zip(nose_ends) {
        ride.marks.push(Mark {
            id: ids.next(),
            review,
            at: Moment(at * 40_000_000),
            kind: MarkKind::Measured(Box::new(Measured {
                kind: MeasureKind::NoseLine,
                film: FilmId::from_bits(FILM),
                points: vec![point(400, 100), *end, point(200, 100)],
                plumb: Plumb::Film,
            })),
            bout: None,
            note: String::new(),
            origin: None,
            press: None,
            place: None,
        });
    }
    (ride, review)
}

#[test]
fn points_are_put_in_the_order_of_the_kind() {
    let mut own = Measuring::default();
    assert_eq!(own.missing(), Some(Handle::Point(0)));
    for (at, place) in [point(400, 100), point(430, 140), point(200, 100)]
        .into_iter()
        .enumerate()
    {
        assert_eq!(own.measured(), None);
        assert!(own.put(frame(0), place));
        assert_eq!(own.held(), Some(Handle::Point(at)), "the last one is held");
    }
    assert_eq!(own.missing(), None);
    assert!(!own.put(frame(0), point(1, 1)), "there is none to put");
    assert_eq!(own.points().len(), 3);
    // atan(3/4), as worked in the tests of the geometry.
    let reading = own.reading(None).unwrap().unwrap();
    assert!((reading.value - 36.8699).abs() < 1e-4);
    assert!(own.is_changed());
}

#[test]
fn another_frame_begins_anew() {
    let mut own = Measuring::default();
    own.put(frame(0), point(400, 100));
    own.put(frame(500_000), point(430, 140));
    assert_eq!(own.points().len(), 2, "half a millisecond is rounding");
    own.put(frame(40_000_000), point(1, 1));
    assert_eq!(own.points(), [point(1, 1)]);
    assert_eq!(own.frame(), Some(frame(40_000_000)));
}

#[test]
fn an_edge_comes_before_the_points() {
    let mut own = Measuring::default();
    own.take_edge(true);
    assert_eq!(own.missing(), Some(Handle::Edge(0)));
    own.put(frame(0), point(60, 0));
    own.put(frame(0), point(50, 100));
    assert_eq!(own.missing(), Some(Handle::Point(0)));
    assert!((own.edge_tilt().unwrap().unwrap().tilt() - 5.7106).abs() < 1e-4);
    for place in [point(400, 100), point(400, 300), point(200, 100)] {
        own.put(frame(0), place);
    }
    let reading = own.reading(None).unwrap().unwrap();
    assert!(
        (reading.value - 5.7106).abs() < 1e-4,
        "in front of the post"
    );
    own.take_edge(false);
    assert_eq!(own.measured().unwrap().plumb, Plumb::Film);
    assert!(own.edge().is_empty());
    // What needs no plumb asks for none.
    own.choose_kind(MeasureKind::Angle);
    own.take_edge(true);
    assert!(!own.is_by_edge());
    assert_eq!(own.missing(), Some(Handle::Point(0)));
}

#[test]
fn what_is_held_moves_and_stays_in_the_picture() {
    let (ride, review) = ride(&[]);
    let mut own = Measuring::default();
    own.follow(None, &ride, review, Some((640, 360)));
    own.choose_kind(MeasureKind::NeckLine);
    own.put(frame(0), point(10, 10));
    own.nudge(-3, 4);
    assert_eq!(own.points(), [point(7, 14)]);
    own.nudge(-30, 0);
    assert_eq!(own.points(), [point(0, 14)]);
    own.nudge(9_999, 9_999);
    assert_eq!(own.points(), [point(640, 360)]);
    assert!(own.put_by_key(frame(0)), "beside the one that is held");
    assert_eq!(
        own.points()[1],
        point(640, 360),
        "and not out of the picture"
    );
    own.hold_next();
    assert_eq!(own.held(), Some(Handle::Point(0)));
    own.hold_next();
    assert_eq!(own.held(), Some(Handle::Point(1)));
    assert_eq!(own.near(point(639, 352), 9.0), Some(Handle::Point(0)));
    assert_eq!(own.near(point(639, 340), 9.0), None);
    assert!(own.take_last());
    assert_eq!(
        (own.points().len(), own.held()),
        (1, Some(Handle::Point(0)))
    );
    assert!(own.let_go() && !own.is_empty(), "first the hand opens");
    assert!(own.let_go() && own.is_empty());
    assert!(!own.let_go());
    own.nudge(1, 1);
    assert!(own.is_empty());
}

#[test]
fn a_chosen_mark_shows_its_points_until_it_is_changed() {
    let (mut ride, review) = ride(&[point(430, 140)]);
    let id = ride.marks[0].id;
    let chosen = Some(Chosen::Mark(id));
    let mut own = Measuring::default();
    own.follow(chosen, &ride, review, None);
    assert_eq!((own.mark(), own.points().len()), (Some(id), 3));
    assert!(!own.is_changed());
    own.hold(Handle::Point(1));
    own.nudge(5, 0);
    assert!(own.is_changed());
    own.follow(chosen, &ride, review, None);
    assert!(own.is_changed(), "looking again changes nothing");
    // It was changed elsewhere, as by undo.
    let MarkKind::Measured(measured) = &mut ride.marks[0].kind else {
        panic!("a mark that measures");
    };
    measured.points[1] = point(400, 200);
    own.follow(chosen, &ride, review, None);
    assert_eq!(own.points()[1], point(400, 200));
    assert!(!own.is_changed());
    own.follow(None, &ride, review, None);
    assert!(own.is_empty() && own.mark().is_none());
    // Points of one's own are not lost when nothing is chosen.
    own.put(frame(0), point(1, 1));
    own.follow(None, &ride, review, None);
    assert_eq!(own.points().len(), 1);
}

/// A bout of this review.
fn bout(id: u64, review: ReviewId) -> Bout {
    Bout {
        id: BoutId::from_bits(id),
        review,
        exercise: reinback_yard::WordId::new("half-pass").unwrap(),
        from: Moment(0),
        to: Some(Moment(1_000_000_000)),
        rein: None,
        variant: None,
        asked: reinback_yard::Asked::default(),
        score: None,
        letters: (None, None),
        reviewed: true,
        note: String::new(),
    }
}

#[test]
fn readings_of_one_bout_are_taken_together() {
    // -45 and atan(1) = 45 and 0 degrees: mean 0, deviation 45. One more belongs to no bout, and
    // one to a bout that is gone.
    let ends = [300, 500, 400, 310, 320].map(|x| point(x, 200));
    let (mut ride, review) = ride(&ends);
    ride.bouts = vec![bout(1, review), bout(2, review)];
    for mark in &mut ride.marks[..3] {
        mark.bout = Some(BoutId::from_bits(1));
    }
    ride.marks[4].bout = Some(BoutId::from_bits(9));
    let all = together(&ride, review, MeasureKind::NoseLine);
    let [(of, all)] = all.as_slice() else {
        panic!("of one bout only: {all:?}");
    };
    assert_eq!((of.id, all.count), (BoutId::from_bits(1), 3));
    assert!(all.mean.abs() < 1e-9 && (all.spread.unwrap() - 45.0).abs() < 1e-9);
    assert!(all.is_few());
    assert!(together(&ride, review, MeasureKind::NeckLine).is_empty());
    // Turned by one degree clockwise, a horse that faces right has all of them one further ahead.
    ride.films[0].tilt = Some(1_000);
    let turned = together(&ride, review, MeasureKind::NoseLine);
    assert!((turned[0].1.mean - 1.0).abs() < 1e-9);
}

/// Two angles of one bout may be of different things.
#[test]
fn only_what_is_of_one_thing_has_a_mean() {
    for kind in MeasureKind::ALL {
        let (mut ride, review) = ride(&[point(300, 200)]);
        ride.bouts = vec![bout(1, review)];
        ride.marks[0].bout = Some(BoutId::from_bits(1));
        let dots = [(400, 100), (300, 200), (200, 110), (260, 320)];
        ride.marks[0].kind = MarkKind::Measured(Box::new(Measured {
            kind,
            film: FilmId::from_bits(FILM),
            points: dots[..kind.points()]
                .iter()
                .map(|(x, y)| point(*x, *y))
                .collect(),
            plumb: Plumb::Film,
        }));
        let found = together(&ride, review, kind).len();
        let expect = !matches!(kind, MeasureKind::Angle | MeasureKind::Ratio);
        assert_eq!(found == 1, expect, "{kind:?}");
    }
}

fn steps() -> impl Strategy<Value = Vec<(u8, i32, i32)>> {
    proptest::collection::vec((0_u8..9, -50..700_i32, -50..400_i32), 0..40)
}

proptest! {
    /// Whatever the hand does, points are as many as the kind takes at most, inside the picture,
    /// and what is held is there.
    #[test]
    fn no_hand_breaks_it(steps in steps()) {
        let (ride, review) = ride(&[]);
        let mut own = Measuring::default();
        own.follow(None, &ride, review, Some((640, 360)));
        for (what, x, y) in steps {
            match what {
                0 | 1 => { own.put(frame(0), point(x, y)); }
                2 => { own.put(frame(i64::from(x) * 40_000_000), point(x, y)); }
                3 => own.nudge(x, y),
                4 => own.hold_next(),
                5 => { own.take_last(); }
                6 => own.take_edge(x % 2 == 0),
                7 => own.choose_kind(MeasureKind::ALL[usize::try_from(x.rem_euclid(5)).unwrap()]),
                _ => { own.put_by_key(frame(0)); }
            }
            prop_assert!(own.points().len() <= own.kind().points() && own.edge().len() <= 2);
            let inside = own.handles().all(|(_, point)| {
                (0..=640_000).contains(&point.x) && (0..=360_000).contains(&point.y)
            });
            prop_assert!(inside);
            let there = |held| own.handles().any(|(handle, _)| handle == held);
            prop_assert!(own.held().is_none_or(there));
            prop_assert_eq!(own.measured().is_some(), own.missing().is_none());
        }
    }
}
