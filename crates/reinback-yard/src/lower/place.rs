//! Where in the arena the faults of a ride lie.

use reinback_analysis::place::{Letter, Spot};
use reinback_analysis::{Moment, Pace};

use super::Counting;
use crate::id::BoutId;
use crate::model::{ArenaPlace, Bout, Mark, MarkKind, Ride};
use crate::words::{WordId, Words};

/// One fault with where it was.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedFault {
    /// When.
    pub at: Moment,
    /// Which fault.
    pub fault: WordId,
    /// The exercise and bout it belongs to, if any.
    pub of: Option<(WordId, BoutId)>,
    /// Where.
    pub spot: Spot,
}

/// The faults of a ride with their places.
#[must_use]
pub fn placed_faults(ride: &Ride, words: &Words) -> Vec<PlacedFault> {
    let counting = Counting::of(ride);
    let owners = counting.owners();
    let marks = counting.marks.iter();
    marks
        .filter_map(|mark| {
            let MarkKind::Fault(fault) = &mark.kind else {
                return None;
            };
            let bout = owners.owner(mark);
            Some(PlacedFault {
                at: mark.at,
                fault: fault.clone(),
                of: bout.map(|bout| (bout.exercise.clone(), bout.id)),
                spot: spot(mark, bout, words),
            })
        })
        .collect()
}

/// Where a mark was: clicked on the plan; else at the letter of its bout, if that was ridden on
/// the spot. From letter to letter says nothing of where between them a fault was.
#[must_use]
pub fn spot(mark: &Mark, bout: Option<&Bout>, words: &Words) -> Spot {
    if let Some(place) = mark.place.map(ArenaPlace::place) {
        return Spot::Clicked(place);
    }
    let at_letter = || {
        let bout = bout?;
        let pace = words.exercise(&bout.exercise)?.pace?;
        let on_the_spot = matches!(pace, Pace::Halt | Pace::ReinBack | Pace::Piaffe);
        let letter = match bout.letters {
            (Some(from), None) => from,
            (Some(from), Some(to)) if from == to => from,
            _ => return None,
        };
        Letter::from_char(letter).filter(|_| on_the_spot)
    };
    at_letter().map_or(Spot::Unplaced, Spot::Letter)
}
