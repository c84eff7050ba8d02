//! Two people review one ride: the panel of its reviews, the comparison, and the line that says
//! whose review is on screen.
//!
//! - this file: what the panel and the comparison remember
//! - `panel`: the reviews, and how one goes on to the next
//! - `compared`: figures and differences of two, and what is merged
//! - `text`: what those say, as pure functions

mod compared;
pub(super) mod panel;
mod text;

use reinback_yard::reviews::{Choices, Comparison, Tolerance, compare};
use reinback_yard::{ReviewId, Ride};

/// What the panel of reviews remembers while it is open.
#[derive(Debug, Default)]
pub struct Second {
    /// Who is to review next.
    name: Option<String>,
    /// A review that is to go, before the last word.
    removing: Option<ReviewId>,
}

/// A comparison under way. Outlasts the panel, so that choices are there again after a look at
/// something else.
#[derive(Debug, Default)]
pub struct Compared {
    /// The two that are compared.
    pair: Option<(ReviewId, ReviewId)>,
    /// How far apart things may be and still be the same.
    tolerance: Tolerance,
    /// What was chosen where they differ.
    choices: Choices,
    /// The comparison, and of what it was made.
    made: Option<Made>,
}

#[derive(Debug)]
struct Made {
    revision: u64,
    pair: (ReviewId, ReviewId),
    tolerance: Tolerance,
    comparison: Comparison,
}

impl Compared {
    /// Compares these two from now on.
    pub fn compare(&mut self, first: ReviewId, second: ReviewId) {
        if self.pair.replace((first, second)) != Some((first, second)) {
            self.choices.clear();
        }
    }

    /// What was chosen so far.
    #[must_use]
    pub fn choices(&self) -> &Choices {
        &self.choices
    }

    /// The comparison of the two as they are now; none while there are not two, or one is blind.
    pub fn comparison(&mut self, ride: &Ride, revision: u64) -> Option<&Comparison> {
        let open = |id: ReviewId| ride.head.review(id).is_some_and(|review| !review.blind);
        let pair = self
            .pair
            .filter(|(first, second)| first != second && open(*first) && open(*second))?;
        let current = self.made.as_ref().is_some_and(|made| {
            (made.revision, made.pair, made.tolerance) == (revision, pair, self.tolerance)
        });
        if !current {
            self.made = Some(Made {
                revision,
                pair,
                tolerance: self.tolerance,
                comparison: compare(ride, pair.0, pair.1, self.tolerance),
            });
        }
        self.made.as_ref().map(|made| &made.comparison)
    }
}

/// The review that is on screen: the one asked for, while the ride has it, else the one that
/// counts.
#[must_use]
pub fn shown(ride: &Ride, asked: Option<ReviewId>) -> ReviewId {
    asked
        .filter(|id| ride.head.review(*id).is_some())
        .unwrap_or(ride.head.counting)
}

/// Whether the paces and outlines of a ride are seen with this review. A ride has one set of them,
/// made with the review that counts: they would tell a blind reviewer what is ridden where, and no
/// other review may change what the rates are of.
#[must_use]
pub fn has_stretches(ride: &Ride, review: ReviewId) -> bool {
    review == ride.head.counting
}

/// A ride without its paces and outlines, kept until the yard changes.
#[derive(Debug, Default)]
pub struct Bare(Option<(u64, Ride)>);

impl Bare {
    /// The ride as the strip shows it with this review.
    pub fn of<'a>(&'a mut self, ride: &'a Ride, review: ReviewId, revision: u64) -> &'a Ride {
        if has_stretches(ride, review) {
            self.0 = None;
            return ride;
        }
        let kept = self.0.take().filter(|(known, _)| *known == revision);
        let (_, bare) = self.0.insert(kept.unwrap_or_else(|| {
            let (paces, outlines) = (Vec::new(), Vec::new());
            let bare = Ride {
                paces,
                outlines,
                ..ride.clone()
            };
            (revision, bare)
        }));
        bare
    }
}

/// The review to begin with when a ride is opened: a blind one of this reviewer that waits to be
/// gone on with, else the one that counts.
#[must_use]
pub fn first_shown(ride: &Ride, reviewer: &str) -> Option<ReviewId> {
    let reviewer = reviewer.trim();
    let mut reviews = ride.head.reviews.iter();
    reviews
        .find(|review| review.blind && !reviewer.is_empty() && review.reviewer == reviewer)
        .map(|review| review.id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample;
    use reinback_yard::{IdMaker, reviews};

    #[test]
    fn the_review_that_counts_is_shown_until_another_is_asked_for() {
        let mut ids = IdMaker::seeded(5);
        let mut ride = sample::blank(&mut ids, sample::day(0));
        let counting = ride.head.counting;
        let (second, edit) = reviews::start(&ride, "Jon", &mut ids);
        assert_eq!(shown(&ride, Some(second)), counting, "it is not there yet");
        if let reinback_yard::Edit::RideHead(_, head) = edit {
            ride.head = *head;
        }
        assert_eq!(shown(&ride, None), counting);
        assert_eq!(shown(&ride, Some(second)), second);
        assert_eq!(
            first_shown(&ride, "Jon"),
            Some(second),
            "Jon goes on with his"
        );
        assert_eq!(first_shown(&ride, ""), None);
        assert_eq!(first_shown(&ride, "Mara"), None);
    }

    #[test]
    fn nothing_is_compared_while_one_is_blind() {
        let mut ids = IdMaker::seeded(5);
        let mut ride = sample::blank(&mut ids, sample::day(0));
        let first = ride.head.counting;
        let (other, edit) = reviews::start(&ride, "Jon", &mut ids);
        if let reinback_yard::Edit::RideHead(_, head) = edit {
            ride.head = *head;
        }
        let mut compared = Compared::default();
        assert_eq!(compared.comparison(&ride, 1), None);
        compared.compare(first, other);
        assert_eq!(compared.comparison(&ride, 1), None, "Jon's is blind");
        ride.head.reviews[1].blind = false;
        assert!(compared.comparison(&ride, 2).is_some());
        compared.compare(first, first);
        assert_eq!(compared.comparison(&ride, 2), None);
    }
}
