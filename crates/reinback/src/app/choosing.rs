//! Choosing more than one thing in the Review room, and what is done with all of it.

use std::collections::BTreeSet;

use reinback_yard::Ride;

use super::App;
use crate::action::{Chosen, Select};
use crate::notice::Notice;
use crate::rooms::review::marking::{Refusal, Step};
use crate::rooms::review::selection::{self, Selection};
use crate::rooms::review::strip::grip::{End, Grip, Hold, after};

impl App {
    /// Changes what is chosen.
    pub(super) fn select(&mut self, select: Select) {
        let mut selection = self.settled();
        let Some(marking) = self.marking() else {
            return;
        };
        let chosen = selection.select(select, marking.ride, marking.review);
        if let Some(review) = &mut self.review {
            review.selection = selection;
            review.chosen = chosen;
            review.reveal = true;
        }
    }

    /// Takes the next line of the list to what is chosen, or back from it.
    pub(super) fn choose_next(&mut self, forward: bool) {
        let selection = self.settled();
        let Some(marking) = self.marking() else {
            return;
        };
        let (ride, review) = (marking.ride, marking.review);
        let next = selection.beyond(forward, marking.now, ride, review);
        if let Some(next) = next {
            self.select(Select::Through(next));
        }
    }

    /// Chooses every line of the list.
    pub(super) fn choose_all(&mut self) {
        let Some(marking) = self.marking() else {
            return;
        };
        let things = selection::things(marking.ride, marking.review);
        let all = things.into_iter().map(|thing| thing.chosen).collect();
        self.select(Select::These(all));
    }

    /// Removes all that is chosen.
    pub(super) fn remove_chosen(&mut self) {
        if let Err(why) = self.has_what_is_chosen() {
            self.tell(Notice::told(why));
            return;
        }
        if self.settled().is_many() {
            self.with_chosen(|ride, all, _| selection::remove(ride, all));
        } else {
            self.mark(|marking, _| marking.remove());
        }
    }

    /// Takes what is chosen out of the count, or back in.
    pub(super) fn toggle_reviewed(&mut self) {
        if self.settled().is_many() {
            self.with_chosen(selection::toggle_reviewed);
        } else {
            self.mark(|marking, _| marking.toggle_reviewed());
        }
    }

    /// Sets the one thing that is chosen to the frame on screen.
    pub(super) fn set_to_frame(&mut self) {
        let chosen = self.review.as_ref().and_then(|review| review.chosen);
        if self.settled().is_many() {
            let why = "More than one thing is chosen: only one can be set to a frame";
            self.tell(Notice::told(why));
            return;
        }
        match chosen {
            Some(Chosen::Pace(_) | Chosen::Outline(_)) => self.end_here(End::Start),
            Some(tap @ Chosen::Tap(..)) => self.tap_here(tap),
            _ => self.mark(|marking, _| marking.set_to_frame()),
        }
    }

    /// Moves an end of what is chosen to the frame on screen.
    pub(super) fn end_here(&mut self, end: End) {
        if let Err(why) = self.try_to_end_here(end) {
            self.tell(Notice::told(why));
        }
    }

    fn try_to_end_here(&mut self, end: End) -> Result<(), Refusal> {
        self.has_what_is_chosen()?;
        if self.settled().is_many() {
            return Err("More than one thing is chosen: only one can start or end here".into());
        }
        let Some((hold, chosen)) = self.held() else {
            return Ok(());
        };
        let chosen = chosen
            .filter(|own| matches!(own, Chosen::Bout(_) | Chosen::Pace(_) | Chosen::Outline(_)))
            .ok_or("Choose an exercise, a pace or an outline first")?;
        let grip = Grip::Edge(chosen, end);
        let before = grip.at(hold.ride);
        let before = before.ok_or("This exercise is still running: {EndBout} ends it")?;
        match grip.moved(hold.now, &hold) {
            Some(edit) => self.apply(&grip.label(), edit),
            None if before == hold.now => {}
            None => return Err("This frame lies beyond its other end".into()),
        }
        Ok(())
    }

    /// Moves a tap to the frame on screen.
    fn tap_here(&mut self, tap: Chosen) {
        let Some((hold, _)) = self.held() else { return };
        let grip = Grip::Things(tap, [tap].into());
        let Some(edit) = grip.moved(hold.now, &hold) else {
            return;
        };
        let names = after(hold.ride, &edit).and_then(|after| grip.renamed(hold.ride, &after));
        self.apply(&grip.label(), edit);
        if let Some(names) = names {
            self.select(Select::These(names));
        }
    }

    /// The ride to take hold of, and what is chosen in it.
    fn held(&self) -> Option<(Hold<'_>, Option<Chosen>)> {
        let (marking, stage) = (self.marking()?, &self.review.as_ref()?.stage);
        let hold = Hold {
            ride: marking.ride,
            review: marking.review,
            extent: stage.extent(),
            now: marking.now,
            playing: stage.is_playing(),
        };
        Some((hold, marking.chosen))
    }

    /// Whether all that is chosen may be changed with the review on screen: another may have begun
    /// to count since it was chosen.
    fn has_what_is_chosen(&mut self) -> Result<(), Refusal> {
        let selection = self.settled();
        let stretch = |own: &Chosen| matches!(own, Chosen::Pace(_) | Chosen::Outline(_));
        match self.marking() {
            Some(marking) if selection.all().iter().any(stretch) => marking.has_stretches(),
            _ => Ok(()),
        }
    }

    /// What is chosen, without what was chosen beside something else.
    fn settled(&mut self) -> Selection {
        let Some(review) = &mut self.review else {
            return Selection::default();
        };
        review.selection.settle(review.chosen);
        review.selection.clone()
    }

    fn with_chosen(
        &mut self,
        make: impl FnOnce(&Ride, &BTreeSet<Chosen>, Option<Chosen>) -> Result<Step, Refusal>,
    ) {
        let selection = self.settled();
        let Some(marking) = self.marking() else {
            return;
        };
        match make(marking.ride, selection.all(), marking.chosen) {
            Ok(step) => {
                self.apply(&step.label, step.edit);
                if let Some(review) = &mut self.review {
                    review.chosen = step.choose;
                }
            }
            Err(refusal) => self.tell(Notice::told(refusal)),
        }
    }
}
