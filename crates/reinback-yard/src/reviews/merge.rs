//! A third review of what two reviews have alike and what was chosen where they differ.

use std::collections::{BTreeMap, BTreeSet};

use super::compare::{Comparison, Difference, Thing};
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

/// So many differences nobody has decided yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0} differences are not decided yet")]
pub struct Undecided(pub usize);

/// A review of what is alike and what was chosen, which counts from now on: one change. Of a pair
/// that is alike the mark that was set to its frame is taken, else the first review's; marks go
/// with the bout they were made in, whichever of a pair of bouts is kept.
///
/// # Errors
/// [`Undecided`] while a difference has no choice.
pub fn merge(
    ride: &Ride,
    comparison: &Comparison,
    choices: &Choices,
    ids: &mut IdMaker,
) -> Result<(ReviewId, Edit), Undecided> {
    let undecided = comparison.differences.iter();
    let undecided = undecided.filter(|difference| !choices.contains_key(&difference.key()));
    match undecided.count() {
        0 => {}
        many => return Err(Undecided(many)),
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
        let mark = Mark {
            id,
            review,
            bout: mark.bout.and_then(|bout| bouts.get(&bout).copied()),
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
    let differing = comparison.differences.iter();
    let differing = differing.filter_map(|difference| difference.first.zip(difference.second));
    for pair in comparison.alike.iter().copied().chain(differing) {
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
