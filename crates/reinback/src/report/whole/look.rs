//! What stands in the way of right numbers: in single rides, and in all of them together.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::NaiveDate;
use reinback_yard::lower::faulty_bouts;
use reinback_yard::lower::trouble::{Trouble, of_day};
use reinback_yard::{HorseId, Moment, Ride, RideId, WordId, Yard};

use super::RideFigures;
use crate::report::numbers::Days;

/// Something to look at.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// What.
    pub what: What,
    /// Where it leads: a ride, its day, and the moment, where there is one.
    pub at: Option<(RideId, NaiveDate, Option<Moment>)>,
}

/// What there is to look at.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// Something in a ride.
    InRide(Trouble),
    /// The same film is in an earlier ride too, so that it may be counted twice.
    SameFilm,
    /// One ride only: nothing can be compared.
    OneRide,
    /// An exercise with attempts and no time at all: no rate per minute.
    NoTime(WordId),
    /// Every attempt of an exercise had a fault, of so many.
    AllFaulty(WordId, u32),
    /// No attempt of an exercise had a fault, of so many.
    NoneFaulty(WordId, u32),
}

/// Below so many attempts it is no news that all or none were faulty. Our own choice: the floor
/// of rates.
const NEWS_FROM: u32 = reinback_analysis::MIN_ATTEMPTS_FOR_RATE;

/// Rides first, newest at the top; then what they show together.
pub(super) fn look(
    yard: &Yard,
    horse: HorseId,
    own: &[&Arc<Ride>],
    all: &[Arc<RideFigures>],
    days: Days,
    today: NaiveDate,
) -> Vec<Look> {
    let mut found = Vec::new();
    for (ride, figures) in own.iter().zip(all).rev() {
        let in_ride = |trouble, at| Look {
            what: What::InRide(trouble),
            at: Some((ride.id, ride.head.date, at)),
        };
        // A ride ahead is in no period that ends today; it is told wherever one looks.
        let of_day = of_day(ride, yard.horse(horse), today);
        found.extend(of_day.map(|trouble| in_ride(trouble, None)));
        if days.hold(ride.head.date) {
            let troubles = figures.troubles.iter();
            found.extend(troubles.map(|own| in_ride(own.trouble, own.at)));
        }
    }
    found.extend(same_films(own));
    let rides: Vec<&Ride> = own
        .iter()
        .filter(|ride| days.hold(ride.head.date))
        .map(AsRef::as_ref)
        .collect();
    if let [only] = rides.as_slice() {
        found.push(Look {
            what: What::OneRide,
            at: Some((only.id, only.head.date, None)),
        });
    }
    let exercises = exercises(&rides);
    found.extend(exercises.into_iter().map(|what| Look { what, at: None }));
    found
}

/// Rides that show a film an earlier ride of this horse shows too, by its content where that is
/// known, else by its path.
fn same_films(own: &[&Arc<Ride>]) -> Vec<Look> {
    let mut seen: BTreeMap<&str, RideId> = BTreeMap::new();
    let mut found = Vec::new();
    for ride in own {
        let twice = ride.films.iter().any(|film| {
            let print = film.fingerprint.as_deref().unwrap_or(&film.path);
            *seen.entry(print).or_insert(ride.id) != ride.id
        });
        if twice {
            found.push(Look {
                what: What::SameFilm,
                at: Some((ride.id, ride.head.date, None)),
            });
        }
    }
    found
}

#[derive(Default)]
struct Sum {
    attempts: u32,
    faulty: u32,
    nanos: i64,
}

fn exercises(rides: &[&Ride]) -> Vec<What> {
    let mut sums: BTreeMap<&WordId, Sum> = BTreeMap::new();
    for ride in rides {
        let faulty = faulty_bouts(ride);
        let bouts = ride.bouts.iter();
        for bout in bouts.filter(|bout| bout.review == ride.head.counting && bout.reviewed) {
            let Some(to) = bout.to else { continue };
            let sum = sums.entry(&bout.exercise).or_default();
            sum.attempts += 1;
            sum.faulty += u32::from(faulty.contains(&bout.id));
            sum.nanos = sum.nanos.saturating_add(to.0.saturating_sub(bout.from.0));
        }
    }
    let mut found = Vec::new();
    for (exercise, sum) in sums {
        if sum.nanos == 0 {
            found.push(What::NoTime(exercise.clone()));
        }
        if sum.attempts < NEWS_FROM {
            continue;
        }
        if sum.faulty == sum.attempts {
            found.push(What::AllFaulty(exercise.clone(), sum.attempts));
        } else if sum.faulty == 0 {
            found.push(What::NoneFaulty(exercise.clone(), sum.attempts));
        }
    }
    found
}
