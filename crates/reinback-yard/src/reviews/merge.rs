//! A third review of what two reviews have alike and what was chosen where they differ.

use std::collections::{BTreeMap, BTreeSet};

use reinback_analysis::Moment;

use super::compare::{CLOSE_BOUTS, Comparison, Difference, Thing};
use crate::edit::Edit;
use crate::id::{BoutId, IdMaker, MarkId, ReviewId};
use crate::model::{Bout, Mark, Review, Ride, TempoTrack};

/// What becomes of a difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Keep {
    /// As the first review has it; where it has nothing, nothing.
    First,
    /// As the second review has it; where it has nothing, nothing.
    Second,
    /// Both.
    Both,
    /// Neither.
    Neither,
}

/// What was chosen, by the two things that differ.
pub type Choices = BTreeMap<(Option<Thing>, Option<Thing>), Keep>;

impl Difference {
    /// Under what its choice stands.
    #[must_use]
    pub fn key(&self) -> (Option<Thing>, Option<Thing>) {
        (self.first, self.second)
    }
}

/// Why two reviews were not merged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotMerged {
    /// So many differences nobody has decided yet.
    #[error("{0} differences are not decided yet")]
    Undecided(usize),
    /// One riding would count twice.
    #[error("{count} exercises lie over each other: decide which of them to keep")]
    Overlapping {
        /// How many exercises.
        count: usize,
        /// Where the first of them starts.
        at: Moment,
    },
}

/// A review of what is alike and what was chosen, which counts from now on: one change. Of a pair
/// that is alike the mark that was set to its frame is taken, else the first review's; marks go
/// with the bout they were made in, whichever of a pair of bouts is kept. Where a bout of one review
/// reaches no further into one of the other than is no difference ([`CLOSE_BOUTS`]), the earlier
/// one ends where the later one starts.
///
/// # Errors
/// [`NotMerged`] while a difference has no choice, or bouts of the two lie over each other that do
/// not in either review by itself.
pub fn merge(
    ride: &Ride,
    comparison: &Comparison,
    choices: &Choices,
    ids: &mut IdMaker,
) -> Result<(ReviewId, Edit), NotMerged> {
    let undecided = comparison.differences.iter();
    let undecided = undecided.filter(|difference| !choices.contains_key(&difference.key()));
    match undecided.count() {
        0 => {}
        many => return Err(NotMerged::Undecided(many)),
    }
    let mut kept: BTreeSet<Thing> = BTreeSet::new();
    // The bout of the merged review for each bout of the two that is in it.
    let mut bouts: BTreeMap<BoutId, BoutId> = BTreeMap::new();
    let of_alike = comparison.alike.iter().map(|pair| better(ride, *pair));
    kept.extend(of_alike);
    for difference in &comparison.differences {
        let keep = choices.get(&difference.key()).copied();
        let first = matches!(keep, Some(Keep::First | Keep::Both));
        let second = matches!(keep, Some(Keep::Second | Keep::Both));
        kept.extend(difference.first.filter(|_| first));
        kept.extend(difference.second.filter(|_| second));
    }
    for thing in &kept {
        if let Thing::Bout(id) = thing {
            bouts.insert(*id, ids.next());
        }
    }
    follow_partners(comparison, &mut bouts);
    let ends = ends_apart(ride, comparison, &kept)?;
    let partners = mark_partners(comparison);

    let review: ReviewId = ids.next();
    let mut head = ride.head.clone();
    let names = [comparison.first, comparison.second].map(|id| ride.head.review_name(id));
    head.reviews.push(Review {
        id: review,
        reviewer: format!("{} and {}, merged", names[0], names[1]),
        blind: false,
    });
    head.counting = review;
    let mut edits = vec![Edit::RideHead(ride.id, Box::new(head))];
    for bout in ride
        .bouts
        .iter()
        .filter(|b| kept.contains(&Thing::Bout(b.id)))
    {
        if let Some(&id) = bouts.get(&bout.id) {
            let bout = Bout {
                id,
                review,
                to: ends.get(&bout.id).copied().or(bout.to),
                ..bout.clone()
            };
            edits.push(Edit::Bout(ride.id, id, Some(bout)));
        }
    }
    for mark in ride
        .marks
        .iter()
        .filter(|m| kept.contains(&Thing::Mark(m.id)))
    {
        let id: MarkId = ids.next();
        // The bout of the mark that stands for both may have been left out, the other's not.
        let stands_for = partners.get(&mark.id).copied();
        let stands_for = stands_for.filter(|other| !kept.contains(&Thing::Mark(*other)));
        let other = ride.marks.iter().find(|own| Some(own.id) == stands_for);
        let made_in = [mark.bout, other.and_then(|other| other.bout)];
        let mut made_in = made_in.into_iter().flatten();
        let mark = Mark {
            id,
            review,
            bout: made_in.find_map(|bout| bouts.get(&bout).copied()),
            ..mark.clone()
        };
        edits.push(Edit::Mark(ride.id, id, Some(mark)));
    }
    for track in ride
        .tempos
        .iter()
        .filter(|t| kept.contains(&Thing::Tempo(t.id)))
    {
        let id = ids.next();
        let track = TempoTrack {
            id,
            review,
            ..track.clone()
        };
        edits.push(Edit::Tempo(ride.id, id, Some(track)));
    }
    Ok((review, Edit::Batch(edits)))
}

/// Which of two that are alike is taken.
fn better(ride: &Ride, (first, second): (Thing, Thing)) -> Thing {
    let on_its_frame = |thing: Thing| match thing {
        Thing::Mark(id) => {
            let mut marks = ride.marks.iter();
            marks.any(|mark| mark.id == id && mark.is_on_its_frame())
        }
        Thing::Bout(_) | Thing::Tempo(_) => false,
    };
    if on_its_frame(second) && !on_its_frame(first) {
        second
    } else {
        first
    }
}

/// Where one of a pair of bouts is kept, the marks of the other go into it.
fn follow_partners(comparison: &Comparison, bouts: &mut BTreeMap<BoutId, BoutId>) {
    for pair in pairs(comparison) {
        let (Thing::Bout(first), Thing::Bout(second)) = pair else {
            continue;
        };
        match (bouts.get(&first).copied(), bouts.get(&second).copied()) {
            (Some(kept), None) => {
                bouts.insert(second, kept);
            }
            (None, Some(kept)) => {
                bouts.insert(first, kept);
            }
            _ => {}
        }
    }
}

/// The other one of each mark that both have.
fn mark_partners(comparison: &Comparison) -> BTreeMap<MarkId, MarkId> {
    let mut partners = BTreeMap::new();
    for pair in pairs(comparison) {
        if let (Thing::Mark(first), Thing::Mark(second)) = pair {
            partners.insert(first, second);
            partners.insert(second, first);
        }
    }
    partners
}

/// What both have, alike or in its own way.
fn pairs(comparison: &Comparison) -> impl Iterator<Item = (Thing, Thing)> {
    let differing = comparison.differences.iter();
    let differing = differing.filter_map(|difference| difference.first.zip(difference.second));
    comparison.alike.iter().copied().chain(differing)
}

/// Whether two bouts lie over each other; they may touch. A running one has no end.
#[must_use]
pub fn lie_over(one: &Bout, other: &Bout) -> bool {
    let before_end = |at: Moment, of: &Bout| of.to.is_none_or(|to| at < to);
    before_end(one.from, other) && before_end(other.from, one)
}

/// Ends that bouts get where they reach a little into the next.
///
/// # Errors
/// Bouts of the two reviews lie over each other by more than that.
fn ends_apart(
    ride: &Ride,
    comparison: &Comparison,
    kept: &BTreeSet<Thing>,
) -> Result<BTreeMap<BoutId, Moment>, NotMerged> {
    let mut all: Vec<&Bout> = ride.bouts.iter().collect();
    all.retain(|bout| kept.contains(&Thing::Bout(bout.id)));
    all.sort_by_key(|bout| bout.from);
    let twins: BTreeMap<BoutId, &Bout> = comparison
        .alike
        .iter()
        .filter_map(|pair| match *pair {
            (Thing::Bout(first), Thing::Bout(second)) => {
                let twin = ride.bouts.iter().find(|bout| bout.id == second)?;
                Some((first, twin))
            }
            _ => None,
        })
        .collect();
    // A review may itself have bouts that lie over each other: of one that is alike the second
    // review's was as good.
    let in_one_review = |one: &Bout, other: &Bout| {
        let twin_over = |of: &Bout, other: &Bout| {
            let twin = twins.get(&of.id);
            twin.is_some_and(|twin| twin.review == other.review && lie_over(twin, other))
        };
        one.review == other.review || twin_over(one, other) || twin_over(other, one)
    };
    let mut ends: BTreeMap<BoutId, Moment> = BTreeMap::new();
    let mut clashing: BTreeSet<(Moment, BoutId)> = BTreeSet::new();
    for (place, one) in all.iter().enumerate() {
        for other in all.iter().skip(place + 1) {
            if !lie_over(one, other) || in_one_review(one, other) {
                continue;
            }
            let reach = one.to.map(|to| to.0.saturating_sub(other.from.0));
            let goes_on = one.from < other.from && other.to.is_none_or(|to| one.to < Some(to));
            if goes_on && reach.is_some_and(|reach| reach <= CLOSE_BOUTS) {
                let end = ends.entry(one.id).or_insert(other.from);
                *end = (*end).min(other.from);
            } else {
                clashing.extend([(one.from, one.id), (other.from, other.id)]);
            }
        }
    }
    match clashing.first() {
        None => Ok(ends),
        Some((at, _)) => Err(NotMerged::Overlapping {
            count: clashing.len(),
            at: *at,
        }),
    }
}
