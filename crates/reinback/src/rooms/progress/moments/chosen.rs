//! The moments that are marked: to be seen side by side, and as stills on a page. Pure.

use reinback_yard::WordId;

use crate::report::moments::MomentId;
use crate::stage::together::MOST_TOGETHER;

/// Marked moments, in the order in which they were marked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Chosen(Vec<(WordId, MomentId)>);

impl Chosen {
    /// Marks one of an exercise, or no longer. False where so many of the exercise are marked
    /// that no other can be.
    pub(super) fn turn(&mut self, exercise: &WordId, id: MomentId) -> bool {
        let before = self.0.len();
        self.0.retain(|(_, own)| *own != id);
        if self.0.len() < before {
            return true;
        }
        let room = self.of(exercise).len() < MOST_TOGETHER;
        if room {
            self.0.push((exercise.clone(), id));
        }
        room
    }

    /// Those of an exercise.
    pub(super) fn of(&self, exercise: &WordId) -> Vec<MomentId> {
        let own = self.0.iter().filter(|(of, _)| of == exercise);
        own.map(|(_, id)| *id).collect()
    }

    /// Which of its exercise's one is, from 1.
    pub(super) fn number(&self, id: MomentId) -> Option<usize> {
        let (exercise, _) = self.0.iter().find(|(_, own)| *own == id)?;
        let place = self.of(exercise).into_iter().position(|own| own == id);
        place.map(|at| at + 1)
    }

    /// Marks none of an exercise any more.
    pub(super) fn clear(&mut self, exercise: &WordId) {
        self.0.retain(|(of, _)| of != exercise);
    }

    /// Keeps those that are still there.
    pub(super) fn keep(&mut self, mut there: impl FnMut(&WordId, MomentId) -> bool) {
        self.0.retain(|(exercise, id)| there(exercise, *id));
    }

    /// All of them.
    pub(super) fn all(&self) -> &[(WordId, MomentId)] {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use reinback_yard::{MarkId, RideId};

    use super::*;

    #[test]
    fn four_of_each_exercise_are_marked_in_their_order() {
        let fault = |number: u64| MomentId::Fault(RideId::from(1), MarkId::from(number));
        let [halt, travers] = ["halt", "travers"].map(|text| WordId::new(text).expect("a word"));
        let mut chosen = Chosen::default();
        for number in 1..=4 {
            assert!(chosen.turn(&halt, fault(number)));
        }
        assert!(!chosen.turn(&halt, fault(5)), "there are four");
        assert!(
            chosen.turn(&travers, fault(6)),
            "those of others count apart"
        );
        assert_eq!(chosen.number(fault(3)), Some(3));
        assert!(chosen.turn(&halt, fault(2)));
        assert_eq!(chosen.number(fault(3)), Some(2));
        assert_eq!(chosen.number(fault(2)), None);
        assert_eq!(chosen.number(fault(6)), Some(1));
        chosen.keep(|_, id| id != fault(1));
        assert_eq!(chosen.of(&halt), [3, 4].map(fault));
        chosen.clear(&halt);
        assert_eq!(chosen.all(), [(travers, fault(6))]);
    }
}
