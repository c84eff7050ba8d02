//! Two people review one ride: a second review that starts blind, what differs, and the merged one.
//!
//! - this file: the steps from one review to the next, each one change
//! - `compare`: what two reviews have in common and where they differ
//! - `merge`: a third review of what both have and what was chosen
//!
//! **Invariant:** none of this adds to rates. Those are of the one review that counts, which is
//! set here and by nothing else.

mod compare;
mod merge;
#[cfg(test)]
mod tests;

pub use compare::{
    CLOSE_BOUTS, CLOSE_MARKS, Comparison, Difference, Thing, Tolerance, What, compare,
};
pub use merge::{Choices, Keep, NotMerged, lie_over, merge};

use crate::edit::Edit;
use crate::id::{IdMaker, ReviewId};
use crate::model::{Review, Ride, RideHead};

impl RideHead {
    /// The review of this id.
    #[must_use]
    pub fn review(&self, id: ReviewId) -> Option<&Review> {
        self.reviews.iter().find(|review| review.id == id)
    }

    /// Whose review it is: the reviewer's name, or "review 2" where there is none. Where an earlier
    /// review of the ride has the same name, a number tells them apart: "Jon (2)".
    #[must_use]
    pub fn review_name(&self, id: ReviewId) -> String {
        let mut taken: Vec<String> = Vec::with_capacity(self.reviews.len());
        for (number, review) in (1..).zip(&self.reviews) {
            let own = match review.reviewer.trim() {
                "" => format!("review {number}"),
                named => named.to_owned(),
            };
            let mut name = own.clone();
            let mut times = 1;
            while taken.contains(&name) {
                times += 1;
                name = format!("{own} ({times})");
            }
            if review.id == id {
                return name;
            }
            taken.push(name);
        }
        "a review that is gone".to_owned()
    }
}

/// How much a review holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Held {
    /// Bouts.
    pub bouts: usize,
    /// Marks.
    pub marks: usize,
    /// Stretches whose tempo was tapped.
    pub tempos: usize,
}

/// How much a review of a ride holds.
#[must_use]
pub fn held(ride: &Ride, review: ReviewId) -> Held {
    Held {
        bouts: ride.bouts.iter().filter(|b| b.review == review).count(),
        marks: ride.marks.iter().filter(|m| m.review == review).count(),
        tempos: ride.tempos.iter().filter(|t| t.review == review).count(),
    }
}

/// The ride as one review has it: nothing of the others is left.
#[must_use]
pub fn only(ride: &Ride, review: ReviewId) -> Ride {
    let mut own = ride.clone();
    own.bouts.retain(|bout| bout.review == review);
    own.marks.retain(|mark| mark.review == review);
    own.tempos.retain(|track| track.review == review);
    own
}

/// A further review, which begins empty and blind.
pub fn start(ride: &Ride, reviewer: &str, ids: &mut IdMaker) -> (ReviewId, Edit) {
    let id = ids.next();
    let mut head = ride.head.clone();
    head.reviews.push(Review {
        id,
        reviewer: reviewer.trim().to_owned(),
        blind: true,
    });
    (id, Edit::RideHead(ride.id, Box::new(head)))
}

/// A review that is done: it is blind no more. `None` where it is not blind.
#[must_use]
pub fn unblind(ride: &Ride, review: ReviewId) -> Option<Edit> {
    let mut head = ride.head.clone();
    let mut reviews = head.reviews.iter_mut();
    let own = reviews.find(|own| own.id == review && own.blind)?;
    own.blind = false;
    Some(Edit::RideHead(ride.id, Box::new(head)))
}

/// The review that counts from now on. `None` where it counts already, is not of this ride, or is
/// still blind.
#[must_use]
pub fn let_count(ride: &Ride, review: ReviewId) -> Option<Edit> {
    let own = ride.head.review(review)?;
    if own.blind || ride.head.counting == review {
        return None;
    }
    let mut head = ride.head.clone();
    head.counting = review;
    Some(Edit::RideHead(ride.id, Box::new(head)))
}

/// A review away, with everything in it. `None` for the one that counts.
#[must_use]
pub fn remove(ride: &Ride, review: ReviewId) -> Option<Edit> {
    ride.head.review(review)?;
    if ride.head.counting == review {
        return None;
    }
    let own = only(ride, review);
    let bouts = own.bouts.iter();
    let marks = own.marks.iter();
    let tempos = own.tempos.iter();
    let mut head = ride.head.clone();
    head.reviews.retain(|own| own.id != review);
    let edits = marks
        .map(|mark| Edit::Mark(ride.id, mark.id, None))
        .chain(bouts.map(|bout| Edit::Bout(ride.id, bout.id, None)))
        .chain(tempos.map(|track| Edit::Tempo(ride.id, track.id, None)))
        .chain([Edit::RideHead(ride.id, Box::new(head))]);
    Some(Edit::Batch(edits.collect()))
}
