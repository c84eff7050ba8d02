//! What could stand beside a bout, and how two stretches lie on each other. Pure.

use chrono::NaiveDate;
use reinback_yard::{Bout, Film, Moment, Ride, Span, Yard};

use super::Stretch;

/// A bout that could be shown beside another.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// Which one.
    pub stretch: Stretch,
    /// The day it was ridden.
    pub date: NaiveDate,
    /// Whether it is of the same ride.
    pub same_ride: bool,
    /// Whether it is ridden on the other rein.
    pub other_rein: bool,
    /// Whether a film of its ride covers its start.
    pub filmed: bool,
}

/// The other bouts of the same exercise that the same horse was ridden in: of other rides by the
/// review that counts, of its own by the bout's review; newest rides first, in a ride by their starts.
#[must_use]
pub fn candidates(yard: &Yard, ride: &Ride, bout: &Bout) -> Vec<Candidate> {
    let mut rides = yard.rides_by_date();
    rides.reverse();
    let own = rides
        .into_iter()
        .filter(|other| other.head.horse == ride.head.horse);
    // In its own ride the review that is on screen: what another saw there may be hidden.
    let review_of = |other: &Ride| {
        if other.id == ride.id {
            bout.review
        } else {
            other.head.counting
        }
    };
    own.flat_map(|other| {
        let fits = |own: &&Bout| {
            own.exercise == bout.exercise
                && own.review == review_of(other)
                && own.to.is_some()
                && (other.id, own.id) != (ride.id, bout.id)
        };
        other.bouts.iter().filter(fits).map(|own| Candidate {
            stretch: (other.id, own.id),
            date: other.head.date,
            same_ride: other.id == ride.id,
            other_rein: own.rein.is_some() && bout.rein.is_some() && own.rein != bout.rein,
            filmed: film_at(other, own.from).is_some(),
        })
    })
    .collect()
}

/// The film that shows a moment; where several do, the one that started last, as on the stage.
#[must_use]
pub fn film_at(ride: &Ride, moment: Moment) -> Option<&Film> {
    let covers = |film: &&Film| match film.span() {
        Some(span) => span.from <= moment && moment <= span.to,
        None => film.offset <= moment,
    };
    ride.films
        .iter()
        .filter(covers)
        .max_by_key(|film| film.offset)
}

/// The stretch of the first's clock in which both are ridden, where the moments of `together`
/// belong together and the second runs `rate` times as fast; empty where there is none.
#[must_use]
pub fn shared(first: Span, second: Span, together: (Moment, Moment), rate: f64) -> Span {
    let here = |there: Moment| {
        let since = there.0.saturating_sub(together.1.0) as f64 / rate;
        Moment(together.0.0.saturating_add(since.round() as i64))
    };
    let from = first.from.max(here(second.from));
    let to = first.to.min(here(second.to)).max(from);
    Span { from, to }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample;
    use reinback_yard::{BoutId, Rein, RideId};
    use std::sync::Arc;

    const SECOND: i64 = 1_000_000_000;

    fn span(from: i64, to: i64) -> Span {
        Span {
            from: Moment(from * SECOND),
            to: Moment(to * SECOND),
        }
    }

    #[test]
    fn both_are_ridden_in_the_shorter_of_them() {
        for (first, second, together, rate, expected) in [
            // At their starts, the shorter one ends it.
            (span(10, 20), span(100, 106), (10, 100), 1.0, span(10, 16)),
            (span(10, 14), span(100, 106), (10, 100), 1.0, span(10, 14)),
            // Aligned within: the first begins with what the second has before it.
            (span(10, 20), span(100, 106), (15, 102), 1.0, span(13, 19)),
            // The second runs twice as fast, so it lasts half as long here.
            (span(10, 20), span(100, 106), (10, 100), 2.0, span(10, 13)),
            // Nothing in common.
            (span(10, 20), span(100, 106), (90, 100), 1.0, span(90, 90)),
        ] {
            let together = (Moment(together.0 * SECOND), Moment(together.1 * SECOND));
            let found = shared(first, second, together, rate);
            assert_eq!(found, expected, "{first:?} {second:?} {together:?} {rate}");
        }
    }

    /// Two rides of one horse, the later with the exercise on both reins.
    #[test]
    fn other_bouts_of_the_exercise_newest_ride_first() {
        let mut yard = sample::yard();
        let old = yard.rides_by_date()[0].clone();
        let bout = Bout {
            rein: Some(Rein::Left),
            ..old.bouts[0].clone()
        };
        let made = |id: u64, from: i64, rein| Bout {
            id: BoutId::from_bits(id),
            from: Moment(from * SECOND),
            to: Some(Moment((from + 5) * SECOND)),
            rein: Some(rein),
            ..bout.clone()
        };
        let mut new = old.clone();
        new.id = RideId::from_bits(900);
        new.head.date = old.head.date.succ_opt().unwrap();
        new.bouts = vec![made(901, 10, Rein::Left), made(902, 30, Rein::Right)];
        let mut running = made(903, 50, Rein::Left);
        running.to = None;
        new.bouts.push(running);
        let mut foreign = made(904, 60, Rein::Left);
        foreign.review = reinback_yard::ReviewId::from_bits(77);
        new.bouts.push(foreign);
        let mut old_ride = old.clone();
        old_ride.bouts = vec![bout.clone(), made(905, 500, Rein::Right)];
        let ride = old_ride.clone();
        yard.rides = [
            (old.id, Arc::new(old_ride)),
            (new.id, Arc::new(new.clone())),
        ]
        .into();
        let found = candidates(&yard, &ride, &bout);
        let told: Vec<_> = found
            .iter()
            .map(|own| (own.stretch.1.bits(), own.same_ride, own.other_rein))
            .collect();
        assert_eq!(
            told,
            [(901, false, false), (902, false, true), (905, true, true)]
        );
    }

    #[test]
    fn the_film_that_started_last_shows_a_moment() {
        let yard = sample::yard();
        let mut ride = yard.rides_by_date()[0].clone();
        let film = |bits: u64, from: i64, seconds: Option<i64>| Film {
            id: reinback_yard::FilmId::from_bits(bits),
            path: String::new(),
            fingerprint: None,
            offset: Moment(from * SECOND),
            drift_ppb: 0,
            tilt: None,
            duration_nanos: seconds.map(|seconds| seconds * SECOND),
        };
        ride.films = vec![
            film(1, 0, Some(60)),
            film(2, 50, Some(60)),
            film(3, 300, None),
        ];
        for (at, expected) in [
            (-1, None),
            (10, Some(1)),
            (55, Some(2)),
            (200, None),
            (400, Some(3)),
        ] {
            let found = film_at(&ride, Moment(at * SECOND)).map(|film| film.id.bits());
            assert_eq!(found, expected, "{at}");
        }
    }
}
