//! What a drag makes of a ride.

use chrono::NaiveDate;
use proptest::prelude::*;
use reinback_yard::{Film, HorseId, MarkId, MarkKind, Pace, Review, RideId, WordId};

use super::*;

const SECOND: i64 = 1_000_000_000;

fn seconds(count: i64) -> Moment {
    Moment(count * SECOND)
}

fn span(from: i64, to: i64) -> Span {
    Span {
        from: seconds(from),
        to: seconds(to),
    }
}

fn blank() -> Ride {
    let review = Review {
        id: ReviewId::from_bits(9),
        reviewer: String::new(),
        blind: false,
    };
    let date = NaiveDate::from_ymd_opt(2026, 11, 20).unwrap();
    Ride::new(RideId::from_bits(1), HorseId::from_bits(2), date, review)
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
        asked: reinback_yard::Asked::default(),
        score: None,
        letters: (None, None),
        reviewed: to.is_some(),
        note: String::new(),
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
            shown: seconds(at),
            correction: 0,
            refined: true,
        }),
        place: None,
    }
}

fn pace(id: u64, from: i64, to: i64) -> PaceSpan {
    PaceSpan {
        id: SpanId::from_bits(id),
        span: span(from, to),
        pace: Pace::Trot,
        variant: None,
    }
}

/// A bout 10-20, another that runs since 40, marks at 5, 15 and 30, paces 0-20-40 and 50-60.
fn ride() -> Ride {
    Ride {
        bouts: vec![bout(1, 10, Some(20)), bout(2, 40, None)],
        marks: vec![mark(1, 5), mark(2, 15), mark(3, 30)],
        paces: vec![pace(1, 0, 20), pace(2, 20, 40), pace(3, 50, 60)],
        ..blank()
    }
}

fn hold(ride: &Ride) -> Hold<'_> {
    Hold {
        ride,
        review: ride.head.counting,
        extent: span(0, 60),
        now: seconds(45),
        playing: false,
    }
}

/// The ride after something was dragged to a second.
fn dragged(ride: &Ride, grip: &Grip, to: i64) -> Option<Ride> {
    let edit = grip.moved(seconds(to), &hold(ride))?;
    Some(after(ride, &edit).unwrap())
}

fn bout_one() -> Chosen {
    Chosen::Bout(BoutId::from_bits(1))
}

fn mark_of(id: u64) -> Chosen {
    Chosen::Mark(MarkId::from_bits(id))
}

#[test]
fn edges_of_bouts_stay_in_order_and_on_the_ride() {
    let edge = |id, end| Grip::Edge(Chosen::Bout(BoutId::from_bits(id)), end);
    let shortest = |nanos: i64| Moment(nanos);
    for (grip, to, expect) in [
        (edge(1, End::Start), 12, (seconds(12), Some(seconds(20)))),
        (edge(1, End::Start), -5, (seconds(0), Some(seconds(20)))),
        (
            edge(1, End::Start),
            50,
            (shortest(20 * SECOND - SHORTEST), Some(seconds(20))),
        ),
        (edge(1, End::End), 25, (seconds(10), Some(seconds(25)))),
        (edge(1, End::End), 90, (seconds(10), Some(seconds(60)))),
        (
            edge(1, End::End),
            3,
            (seconds(10), Some(shortest(10 * SECOND + SHORTEST))),
        ),
        // A running bout has begun by the frame on screen.
        (edge(2, End::Start), 55, (seconds(45), None)),
    ] {
        let after = dragged(&ride(), &grip, to).unwrap();
        let Grip::Edge(Chosen::Bout(id), _) = grip else {
            unreachable!("only edges of bouts are listed")
        };
        let bout = after.bouts.iter().find(|bout| bout.id == id).unwrap();
        assert_eq!((bout.from, bout.to), expect, "{grip:?} to {to}");
    }
    assert!(
        dragged(&ride(), &edge(1, End::Start), 10).is_none(),
        "it lies there"
    );
    assert!(
        dragged(&ride(), &edge(2, End::End), 50).is_none(),
        "it has no end"
    );
}

#[test]
fn a_pace_moves_the_edge_of_the_one_it_touches_or_is_pushed_onto() {
    let edge = |id, end| Grip::Edge(Chosen::Pace(SpanId::from_bits(id)), end);
    let frame = SHORTEST;
    let second = SECOND;
    for (grip, to, expect) in [
        // They touch, so they go together, both ways.
        (edge(1, End::End), 25, [(0, 25), (25, 40), (50, 60)]),
        (edge(1, End::End), 15, [(0, 15), (15, 40), (50, 60)]),
        (edge(2, End::Start), 12, [(0, 12), (12, 40), (50, 60)]),
        // There is room in between, and then the other gives way.
        (edge(2, End::End), 45, [(0, 20), (20, 45), (50, 60)]),
        (edge(2, End::End), 55, [(0, 20), (20, 55), (55, 60)]),
        (edge(3, End::Start), 30, [(0, 20), (20, 30), (30, 60)]),
    ] {
        let after = dragged(&ride(), &grip, to).unwrap();
        let spans: Vec<Span> = after.paces.iter().map(|own| own.span).collect();
        let expect = expect.map(|(from, to)| span(from, to));
        assert_eq!(spans, expect, "{grip:?} to {to}");
    }
    let after = dragged(&ride(), &edge(1, End::End), 90).unwrap();
    assert_eq!(
        after.paces[1].span.from.0,
        40 * second - frame,
        "not to nothing"
    );
}

#[test]
fn a_pace_that_still_runs_keeps_running() {
    let edge = |id, end| Grip::Edge(Chosen::Pace(SpanId::from_bits(id)), end);
    let running = Ride {
        paces: vec![pace(1, 0, 20), pace(2, 20, 40), pace(3, 40, 40)],
        ..blank()
    };
    for (grip, to, expect) in [
        // It begins elsewhere, by the frame on screen, and the one before it gives way.
        (edge(3, End::Start), 30, [(0, 20), (20, 30), (30, 30)]),
        (edge(3, End::Start), 55, [(0, 20), (20, 45), (45, 45)]),
        // The one before it pushes and pulls it as a whole.
        (edge(2, End::End), 43, [(0, 20), (20, 43), (43, 43)]),
        (edge(2, End::End), 35, [(0, 20), (20, 35), (35, 35)]),
        (edge(2, End::End), 55, [(0, 20), (20, 45), (45, 45)]),
        // "Ends here" ends it.
        (edge(3, End::End), 45, [(0, 20), (20, 40), (40, 45)]),
    ] {
        let after = dragged(&running, &grip, to).unwrap();
        let spans: Vec<Span> = after.paces.iter().map(|own| own.span).collect();
        let expect = expect.map(|(from, to)| span(from, to));
        assert_eq!(spans, expect, "{grip:?} to {to}");
    }
    assert!(
        dragged(&running, &edge(3, End::End), 30).is_none(),
        "not before it has begun"
    );
    let third = Chosen::Pace(SpanId::from_bits(3));
    let whole = Grip::Things(third, [third].into());
    let after = dragged(&running, &whole, 55).unwrap();
    assert_eq!(after.paces[2].span, span(45, 45), "not ahead of the film");
}

#[test]
fn things_move_together_as_far_as_all_of_them_can() {
    let grip = Grip::Things(mark_of(2), [mark_of(2), mark_of(3), bout_one()].into());
    for (to, by) in [(18, 3), (-20, -10), (90, 30)] {
        let (before, after) = (ride(), dragged(&ride(), &grip, to).unwrap());
        assert_eq!(after.bouts[0].from, seconds(10 + by), "{to}");
        assert_eq!(after.bouts[0].to, Some(seconds(20 + by)), "{to}");
        let at = |ride: &Ride, id: u64| {
            let mark = ride.marks.iter().find(|own| own.id.bits() == id);
            mark.unwrap().at
        };
        assert_eq!(at(&after, 2), seconds(15 + by), "{to}");
        assert_eq!(at(&after, 3), seconds(30 + by), "{to}");
        assert_eq!(at(&after, 1), at(&before, 1), "it was not chosen");
    }
    // A pace does not run into one that stays.
    let paces = Grip::Things(
        Chosen::Pace(SpanId::from_bits(2)),
        [Chosen::Pace(SpanId::from_bits(2)), mark_of(1)].into(),
    );
    let after = dragged(&ride(), &paces, 90).unwrap();
    assert_eq!(after.paces[1].span, span(30, 50));
    assert!(dragged(&ride(), &paces, 0).is_none());
}

#[test]
fn bouts_take_their_marks_along() {
    let of_bout = |id: u64, at: i64, bout: u64| Mark {
        bout: Some(BoutId::from_bits(bout)),
        ..mark(id, at)
    };
    let measured = reinback_yard::Measured {
        kind: reinback_yard::MeasureKind::NeckLine,
        film: FilmId::from_bits(1),
        points: Vec::new(),
        plumb: reinback_yard::Plumb::Film,
    };
    let measured = Mark {
        kind: MarkKind::Measured(Box::new(measured)),
        ..of_bout(4, 16, 1)
    };
    let ride = Ride {
        marks: vec![mark(1, 12), of_bout(2, 15, 1), measured, of_bout(3, 21, 2)],
        ..ride()
    };
    let check = |all: &[Chosen], expect: &[Chosen]| {
        let all = all.iter().copied().collect();
        let found = with_their_marks(&ride, &all);
        assert_eq!(found, expect.iter().copied().collect(), "{all:?}");
    };
    check(&[mark_of(1)], &[mark_of(1)]);
    check(&[bout_one()], &[bout_one(), mark_of(2)]);
    check(
        &[bout_one(), mark_of(1), mark_of(2)],
        &[bout_one(), mark_of(1), mark_of(2)],
    );
}

#[test]
fn taps_move_between_their_neighbours_and_are_chosen_still() {
    let id = SpanId::from_bits(7);
    let tempo = TempoTrack {
        id,
        review: ReviewId::from_bits(9),
        leg: reinback_yard::Leg::LeftHind,
        taps: [10, 11, 12, 13].map(seconds).to_vec(),
    };
    let ride = Ride {
        tempos: vec![tempo],
        ..blank()
    };
    let taps = |ride: &Ride| -> Vec<i64> { ride.tempos[0].taps.iter().map(|tap| tap.0).collect() };
    let tap = |second: i64| Chosen::Tap(id, seconds(second));
    let one = Grip::Things(tap(11), [tap(11)].into());
    let nanos = |all: [i64; 4]| all.to_vec();
    let (ten, twelve, thirteen) = (10 * SECOND, 12 * SECOND, 13 * SECOND);
    let far = dragged(&ride, &one, 40).unwrap();
    let held = twelve - SHORTEST;
    assert_eq!(taps(&far), nanos([ten, held, twelve, thirteen]));
    let renamed = one.renamed(&ride, &far).unwrap();
    assert_eq!(renamed, [Chosen::Tap(id, Moment(held))]);
    let back = dragged(&ride, &one, 0).unwrap();
    assert_eq!(taps(&back)[1], ten + SHORTEST);

    let two = Grip::Things(tap(11), [tap(11), tap(12)].into());
    let both = dragged(&ride, &two, 40).unwrap();
    let last = thirteen - SHORTEST;
    assert_eq!(taps(&both), nanos([ten, last - SECOND, last, thirteen]));
    let all = Grip::Things(Chosen::Tempo(id), [Chosen::Tempo(id)].into());
    let moved = dragged(&ride, &all, 15).unwrap();
    assert_eq!(taps(&moved), [15, 16, 17, 18].map(|second| second * SECOND));
    assert_eq!(all.renamed(&ride, &moved), None, "a tempo keeps its name");
}

#[test]
fn a_dragged_mark_is_on_its_frame_only_where_that_is_on_screen() {
    let grip = Grip::Things(mark_of(2), [mark_of(2)].into());
    let on_frame = |ride: &Ride, at: i64| {
        let mark = ride.marks.iter().find(|mark| mark.at == seconds(at));
        mark.unwrap().is_on_its_frame()
    };
    let ride = ride();
    assert!(!on_frame(&dragged(&ride, &grip, 16).unwrap(), 16));
    assert!(on_frame(&dragged(&ride, &grip, 45).unwrap(), 45));
    let playing = Hold {
        playing: true,
        ..hold(&ride)
    };
    let edit = grip.moved(seconds(45), &playing).unwrap();
    assert!(!on_frame(&after(&ride, &edit).unwrap(), 45));
}

#[test]
fn nothing_catches_on_itself() {
    let ride = ride();
    let caught_on = |grip: &Grip| -> Vec<(i64, Catch)> {
        let targets = grip.targets(&hold(&ride));
        targets.map(|own| (own.at.0 / SECOND, own.what)).collect()
    };
    let things = caught_on(&Grip::Things(mark_of(2), [mark_of(2), bout_one()].into()));
    assert!(things.contains(&(5, Catch::Mark)) && things.contains(&(45, Catch::Head)));
    assert!(things.contains(&(20, Catch::Pace)) && things.contains(&(40, Catch::Exercise)));
    assert!(!things.contains(&(15, Catch::Mark)) && !things.contains(&(10, Catch::Exercise)));
}

#[test]
fn a_clip_meets_others_with_both_its_ends() {
    let film = |id: u64, offset: i64, length: i64| Film {
        id: FilmId::from_bits(id),
        path: format!("{id}.mp4"),
        fingerprint: None,
        offset: seconds(offset),
        drift_ppb: 0,
        duration_nanos: Some(length * SECOND),
        tilt: None,
    };
    let ride = Ride {
        films: vec![film(1, 0, 60), film(2, 100, 10)],
        ..blank()
    };
    let grip = Grip::Clip(FilmId::from_bits(2));
    let mut starts: Vec<i64> = grip
        .targets(&hold(&ride))
        .map(|own| own.at.0 / SECOND)
        .collect();
    starts.sort_unstable();
    assert_eq!(starts, [-10, 0, 0, 50, 60]);
    let after = dragged(&ride, &grip, 60).unwrap();
    assert_eq!(after.films[1].offset, seconds(60));
}

proptest! {
    /// However paces lie and wherever an edge is dragged: they stay in order, apart, on the ride
    /// and not empty, only the one dragged and its neighbour change, and one that still runs goes
    /// on running unless its end is set.
    #[test]
    fn paces_never_overlap(
        lengths in prop::collection::vec((0_i64..5, 1_i64..10), 1..6),
        which in any::<prop::sample::Index>(),
        start in any::<bool>(),
        runs in any::<bool>(),
        to in -20_i64..120,
    ) {
        let mut at = 0;
        let mut paces = Vec::new();
        for (number, (gap, length)) in lengths.iter().enumerate() {
            at += gap;
            paces.push(pace(number as u64 + 1, at, at + length));
            at += length;
        }
        let last = paces.len() - 1;
        if runs {
            paces[last].span.to = paces[last].span.from;
        }
        let place = which.index(paces.len());
        let ride = Ride { paces, ..blank() };
        let end = if start { End::Start } else { End::End };
        let grip = Grip::Edge(Chosen::Pace(ride.paces[place].id), end);
        let hold = Hold { extent: span(0, at), ..hold(&ride) };
        let Some(edit) = grip.moved(seconds(to), &hold) else { return Ok(()) };
        let changed = after(&ride, &edit).unwrap();
        for pair in changed.paces.windows(2) {
            prop_assert!(pair[0].span.to <= pair[1].span.from);
        }
        for (number, (own, before)) in changed.paces.iter().zip(&ride.paces).enumerate() {
            if runs && number == last && (start || place != last) {
                prop_assert_eq!(own.span.to, own.span.from);
                prop_assert!(own.span.from <= hold.now.max(before.span.from));
            } else {
                prop_assert!(own.span.to.0 - own.span.from.0 >= SHORTEST);
            }
            prop_assert!(own.span.from >= seconds(0) && own.span.to <= seconds(at));
            prop_assert!(number.abs_diff(place) <= 1 || own == before);
        }
    }

    /// What moves together keeps its distances, and one step takes it all back.
    #[test]
    fn moving_together_keeps_distances(to in -100_i64..100) {
        let ride = ride();
        let all = [mark_of(1), mark_of(3), bout_one()];
        let grip = Grip::Things(mark_of(3), all.into());
        let Some(edit) = grip.moved(seconds(to), &hold(&ride)) else { return Ok(()) };
        let mut yard = Yard::default();
        yard.rides.insert(ride.id, Arc::new(ride.clone()));
        let back = edit.apply(&mut yard).unwrap();
        let moved = yard.rides[&ride.id].clone();
        let ends = |ride: &Ride| all.map(|own| ends(ride, own).unwrap().0.0);
        let (was, is) = (ends(&ride), ends(&moved));
        let by = is[0] - was[0];
        prop_assert!(was.iter().zip(&is).all(|(was, is)| is - was == by));
        back.apply(&mut yard).unwrap();
        prop_assert_eq!(&*yard.rides[&ride.id], &ride);
    }
}
