//! Films on the ride clock, ages, scores.

use proptest::prelude::*;

use super::*;

fn film(offset: i64, drift_ppb: i32) -> Film {
    Film {
        id: FilmId::from_bits(1),
        path: String::new(),
        fingerprint: None,
        offset: Moment(offset),
        drift_ppb,
        duration_nanos: None,
        tilt: None,
    }
}

const SECOND: i64 = 1_000_000_000;

#[test]
fn films_lie_on_the_ride_clock() {
    let check = |offset, drift, in_film, on_ride| {
        let film = film(offset, drift);
        assert_eq!(
            film.ride_from_film(in_film),
            Moment(on_ride),
            "from the film"
        );
        assert_eq!(
            film.film_from_ride(Moment(on_ride)),
            in_film,
            "from the ride"
        );
    };
    check(0, 0, 5, 5);
    check(10 * SECOND, 0, -SECOND, 9 * SECOND);
    // A film that runs a tenth faster shows 11 s of itself in 10 s of the ride.
    check(0, 100_000_000, 11 * SECOND, 10 * SECOND);
    check(3 * SECOND, -100_000_000, 9 * SECOND, 13 * SECOND);
    // One part in a million over an hour is 3.6 ms; the quotient is rounded.
    check(0, 1_000, 3_600 * SECOND + 3_600_000, 3_600 * SECOND);
}

#[test]
fn a_film_spans_its_length() {
    let with = |duration_nanos| {
        Film {
            duration_nanos,
            ..film(5, 0)
        }
        .span()
    };
    assert_eq!(with(None), None);
    assert_eq!(
        with(Some(10)),
        Some(Span {
            from: Moment(5),
            to: Moment(15)
        })
    );
    assert_eq!(
        with(Some(-10)),
        Some(Span {
            from: Moment(5),
            to: Moment(5)
        }),
        "never backwards"
    );
}

proptest! {
    #[test]
    fn film_time_comes_back(
        offset in any::<i32>(),
        drift in -MAX_DRIFT_PPB..=MAX_DRIFT_PPB,
        nanos in -1_000_000 * SECOND..1_000_000 * SECOND,
    ) {
        let film = film(i64::from(offset), drift);
        let back = film.film_from_ride(film.ride_from_film(nanos));
        prop_assert!((back - nanos).abs() <= 1, "off by more than the rounding: {back}");
    }

    /// A file can say anything; no moment of it may stop the program.
    #[test]
    fn extreme_films_saturate(offset: i64, drift in -MAX_DRIFT_PPB..=MAX_DRIFT_PPB, nanos: i64) {
        let film = Film { duration_nanos: Some(nanos), ..film(offset, drift) };
        let _any = (film.ride_from_film(nanos), film.film_from_ride(Moment(nanos)));
        let span = film.span().expect("it has a length");
        prop_assert!(span.from <= span.to);
    }
}

#[test]
fn ages_count_calendar_years() {
    let check = |foaled, day: &str, age| {
        let (name, stage, notes) = (String::new(), String::new(), String::new());
        let horse = Horse {
            id: HorseId::from_bits(1),
            name,
            foaled,
            stage,
            notes,
        };
        assert_eq!(
            horse.age_on(day.parse().unwrap()),
            age,
            "{foaled:?} on {day}"
        );
    };
    check(Some(2020), "2026-01-01", Some(6));
    check(Some(2020), "2026-12-31", Some(6));
    check(Some(2026), "2026-06-01", Some(0));
    check(Some(2027), "2026-06-01", None);
    check(Some(i32::MIN), "2026-06-01", None);
    check(None, "2026-06-01", None);
}

/// Marks from 0 to 10 with halves, as the FEI Dressage Rules have them.
#[test]
fn scores_are_halves_up_to_ten() {
    let shown: Vec<String> = (0..=21)
        .filter_map(Score::from_halves)
        .map(|score| score.to_string())
        .collect();
    assert_eq!(shown.len(), 21);
    assert_eq!(
        (&*shown[0], &*shown[1], &*shown[13], &*shown[20]),
        ("0", "0.5", "6.5", "10")
    );
}

proptest! {
    /// Whether the two have rides in common or not, and whichever of them changed.
    #[test]
    fn a_yard_that_follows_another_is_a_copy_of_it(
        before in crate::arbitrary::yard(),
        other in crate::arbitrary::yard(),
        kept in any::<u64>(),
    ) {
        let mut now = other.clone();
        let shared = before.rides.iter().enumerate();
        now.rides.extend(
            shared
                .filter(|(at, _)| kept >> (at % 64) & 1 == 1)
                .map(|(_, (id, ride))| (*id, ride.clone())),
        );
        let mut own = before;
        for now in [now, other] {
            own.follow(&now);
            prop_assert_eq!(&own, &now);
            let same = |id: &RideId| Arc::ptr_eq(&own.rides[id], &now.rides[id]);
            prop_assert!(now.rides.keys().all(same), "no ride is copied");
        }
    }
}
