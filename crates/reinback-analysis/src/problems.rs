//! What is wrong with the input, said before any number is read.
//!
//! The measures refuse or survive bad input; this names it, so that somebody
//! can put it right. **Invariant**: the same rides in another order give the same
//! findings.

use std::collections::BTreeMap;

use crate::observation::{Attempt, Ride};

/// What is wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum Wrong {
    /// Two rides with the same number: one ride given twice, perhaps.
    #[error("This ride is in the list twice, so its attempts count twice. Remove one of the two.")]
    SameRideTwice,
    /// A bout that ends before it begins. It counts as an attempt without time.
    #[error("A bout ends before it begins. Set its ends again.")]
    Backwards {
        /// The attempt's place in the ride, from 0.
        attempt: usize,
    },
    /// A bout without length. It counts as an attempt without time.
    #[error("A bout has no length, so its faults per minute cannot be right. Give it an end.")]
    NoLength {
        /// The attempt's place in the ride, from 0.
        attempt: usize,
    },
    /// Two bouts of one exercise that share time. Both count as attempts; the
    /// shared time counts once.
    #[error("Two bouts of the same exercise overlap: perhaps one attempt was marked twice.")]
    Overlap {
        /// The earlier one's place in the ride.
        attempt: usize,
        /// The later one's.
        other: usize,
    },
    /// A bout that begins before the one listed before it. What follows a
    /// mistake is then read in the wrong order.
    #[error("The bouts are not in the order ridden, so what followed a mistake cannot be right.")]
    OutOfOrder {
        /// The attempt's place in the ride, from 0.
        attempt: usize,
    },
    /// Bouts more than twelve hours apart: a camera's or a watch's clock was
    /// changed in between, perhaps.
    #[error(
        "Bouts of one ride lie more than twelve hours apart. Check the clock of its films and notes."
    )]
    FarApart,
    /// Faults in no bout. They are counted but in no rate.
    #[error("{faults} faults lie in no bout and so are in no rate. Assign them or mark the bout.")]
    LooseFaults {
        /// How many.
        faults: u32,
    },
}

/// A finding and the ride it was made in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Problem {
    /// The caller's number of the ride.
    pub ride: u64,
    /// What is wrong.
    pub wrong: Wrong,
}

const HALF_A_DAY: i64 = 12 * 3_600_000_000_000;

/// Looks rides over; sorted by ride. Rides may come in any order.
///
/// ```
/// use reinback_analysis::problems::{Wrong, problems};
/// use reinback_analysis::{Attempt, Key, Moment, Ride, Span};
/// let bout = |from, to| Attempt {
///     exercise: Key(1), variant: None, rein: None, faults: vec![], repeated: false,
///     span: Span::new(Moment(from), Moment(to)),
/// };
/// let ride = Ride { attempts: vec![bout(0, 9), bout(5, 12)], ..Ride::default() };
/// assert_eq!(problems(&[ride])[0].wrong, Wrong::Overlap { attempt: 0, other: 1 });
/// ```
#[must_use]
pub fn problems(rides: &[Ride]) -> Vec<Problem> {
    let mut seen: BTreeMap<u64, u32> = BTreeMap::new();
    let mut found = Vec::new();
    for ride in rides {
        let times = seen.entry(ride.id).or_default();
        *times += 1;
        let mut wrongs = of_ride(ride);
        if *times == 2 {
            wrongs.push(Wrong::SameRideTwice);
        }
        found.extend(wrongs.into_iter().map(|wrong| Problem {
            ride: ride.id,
            wrong,
        }));
    }
    found.sort_unstable();
    found
}

fn of_ride(ride: &Ride) -> Vec<Wrong> {
    let mut found = Vec::new();
    for (attempt, one) in ride.attempts.iter().enumerate() {
        if one.span.to < one.span.from {
            found.push(Wrong::Backwards { attempt });
        } else if one.span.to == one.span.from {
            found.push(Wrong::NoLength { attempt });
        }
        if attempt > 0 && one.span.from < ride.attempts[attempt - 1].span.from {
            found.push(Wrong::OutOfOrder { attempt });
        }
    }
    found.extend(overlaps(&ride.attempts));
    let first = ride.attempts.iter().map(|one| one.span.from).min();
    let last = ride.attempts.iter().map(|one| one.span.to).max();
    if let (Some(first), Some(last)) = (first, last)
        && last.0.saturating_sub(first.0) > HALF_A_DAY
    {
        found.push(Wrong::FarApart);
    }
    let faults = ride
        .loose_faults
        .iter()
        .fold(0_u32, |sum, (_, times)| sum.saturating_add(*times));
    if faults > 0 {
        found.push(Wrong::LooseFaults { faults });
    }
    found
}

/// Each attempt against the one of its exercise that reached furthest so far.
fn overlaps(attempts: &[Attempt]) -> Vec<Wrong> {
    let mut order: Vec<usize> = (0..attempts.len()).collect();
    order.sort_by_key(|place| (attempts[*place].span, *place));
    let mut furthest = BTreeMap::new();
    let mut found = Vec::new();
    for place in order {
        let one = &attempts[place];
        if one.span.duration_nanos() == 0 {
            continue;
        }
        let before = furthest.entry(one.exercise).or_insert(place);
        if *before != place && attempts[*before].span.overlaps(one.span) {
            found.push(Wrong::Overlap {
                attempt: *before,
                other: place,
            });
        }
        if attempts[*before].span.to < one.span.to {
            *before = place;
        }
    }
    found
}
