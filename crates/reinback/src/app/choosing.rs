//! Choosing more than one thing in the Review room, and what is done with all of it.

use std::collections::BTreeSet;

use reinback_yard::Ride;

use super::App;
use crate::action::{Chosen, Select};
use crate::notice::Notice;
use crate::rooms::review::ReviewView;
use crate::rooms::review::marking::{Refusal, Step};
use crate::rooms::review::selection;
use crate::rooms::review::strip::grip::{End, Grip, Hold, after};

impl App {
    /// Changes what is chosen.
    pub(super) fn select(&mut self, select: Select) {
        let (Some(open), Some(review)) = (&self.open, &mut self.review) else {
            return;
        };
        let Some(ride) = open.document.yard().ride(review.ride) else {
            return;
        };
        review.selection.settle(review.chosen);
        let shown = review.review_of(ride);
        review.chosen = review.selection.select(select, ride, shown);
        review.reveal = true;
    }

    /// Takes the next line of the list to what is chosen, or back from it.
    pub(super) fn choose_next(&mut self, forward: bool) {
        let (Some(open), Some(review)) = (&self.open, &mut self.review) else {
            return;
        };
        let Some(ride) = open.document.yard().ride(review.ride) else {
            return;
        };
        review.selection.settle(review.chosen);
        let now = review.stage.position();
        let next = review
            .selection
            .beyond(forward, now, ride, review.review_of(ride));
        if let Some(next) = next {
            self.select(Select::Through(next));
        }
    }

    /// Chooses every line of the list.
    pub(super) fn choose_all(&mut self) {
        let (Some(open), Some(review)) = (&self.open, &self.review) else {
            return;
        };
        let Some(ride) = open.document.yard().ride(review.ride) else {
            return;
        };
        let things = selection::things(ride, review.review_of(ride));
        let all = things.into_iter().map(|thing| thing.chosen).collect();
        self.select(Select::These(all));
    }

    /// Removes all that is chosen.
    pub(super) fn remove_chosen(&mut self) {
        if self.has_many() {
            self.with_chosen(|ride, all, _| selection::remove(ride, all));
        } else {
            self.mark(|marking, _| marking.remove());
        }
    }

    /// Takes what is chosen out of the count, or back in.
    pub(super) fn toggle_reviewed(&mut self) {
        if self.has_many() {
            self.with_chosen(selection::toggle_reviewed);
        } else {
            self.mark(|marking, _| marking.toggle_reviewed());
        }
    }

    /// Sets the one thing that is chosen to the frame on screen.
    pub(super) fn set_to_frame(&mut self) {
        let chosen = self.review.as_ref().and_then(|review| review.chosen);
        if self.has_many() {
            let why = "More than one thing is chosen: only one can be set to a frame";
            self.tell(Notice::told(why));
        } else if matches!(chosen, Some(Chosen::Pace(_) | Chosen::Outline(_))) {
            self.end_here(End::Start);
        } else if let Some(tap @ Chosen::Tap(..)) = chosen {
            self.tap_here(tap);
        } else {
            self.mark(|marking, _| marking.set_to_frame());
        }
    }

    /// Moves an end of what is chosen to the frame on screen.
    pub(super) fn end_here(&mut self, end: End) {
        let many = self.has_many();
        let (Some(open), Some(review)) = (&self.open, &self.review) else {
            return;
        };
        let Some(ride) = open.document.yard().ride(review.ride) else {
            return;
        };
        let chosen = match review.chosen {
            Some(Chosen::Mark(_) | Chosen::Tempo(_) | Chosen::Tap(..)) | None => {
                let why = "Choose an exercise, a pace or an outline first";
                self.tell(Notice::told(why));
                return;
            }
            Some(_) if many => {
                let why = "More than one thing is chosen: only one can start or end here";
                self.tell(Notice::told(why));
                return;
            }
            Some(chosen) => chosen,
        };
        let now = review.stage.position();
        let hold = hold(ride, review);
        let grip = Grip::Edge(chosen, end);
        let before = grip.at(ride);
        let Some(before) = before else {
            let why = "This exercise is still running: 0 ends it";
            self.tell(Notice::told(why));
            return;
        };
        match grip.moved(now, &hold) {
            Some(edit) => self.apply(&grip.label(), edit),
            None if before == now => {}
            None => {
                let why = "This frame lies beyond its other end";
                self.tell(Notice::told(why));
            }
        }
    }

    /// Moves a tap to the frame on screen.
    fn tap_here(&mut self, tap: Chosen) {
        let (Some(open), Some(review)) = (&self.open, &self.review) else {
            return;
        };
        let Some(ride) = open.document.yard().ride(review.ride) else {
            return;
        };
        let hold = hold(ride, review);
        let grip = Grip::Things(tap, [tap].into());
        let Some(edit) = grip.moved(hold.now, &hold) else {
            return;
        };
        let names = after(ride, &edit).and_then(|after| grip.renamed(ride, &after));
        self.apply(&grip.label(), edit);
        if let Some(names) = names {
            self.select(Select::These(names));
        }
    }

    /// Whether more than one thing is chosen.
    fn has_many(&mut self) -> bool {
        let Some(review) = &mut self.review else {
            return false;
        };
        review.selection.settle(review.chosen);
        review.selection.is_many()
    }

    fn with_chosen(
        &mut self,
        make: impl FnOnce(&Ride, &BTreeSet<Chosen>, Option<Chosen>) -> Result<Step, Refusal>,
    ) {
        let (Some(open), Some(review)) = (&self.open, &self.review) else {
            return;
        };
        let Some(ride) = open.document.yard().ride(review.ride) else {
            return;
        };
        match make(ride, review.selection.all(), review.chosen) {
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

fn hold<'a>(ride: &'a Ride, review: &ReviewView) -> Hold<'a> {
    Hold {
        ride,
        review: ride.head.counting,
        extent: review.stage.extent(),
        now: review.stage.position(),
        playing: review.stage.is_playing(),
    }
}
