//! From one review of the open ride to the next.

use reinback_yard::reviews::{self, NotMerged};
use reinback_yard::{Edit, IdMaker, ReviewId, Ride};

use super::App;
use crate::action::{Action, ReviewsStep};
use crate::clock;
use crate::command::Command;
use crate::notice::Notice;
use crate::rooms::review::second::Second;

impl App {
    /// Opens or closes the panel of reviews.
    pub(super) fn show_reviews(&mut self) {
        if !self.has_room_beside() {
            return;
        }
        let Some(review) = &mut self.review else {
            return;
        };
        let closed = review.second.is_none();
        review.clear_side();
        review.second = closed.then(Second::default);
    }

    pub(super) fn reviews_step(&mut self, step: ReviewsStep) {
        match step {
            ReviewsStep::Start(name) => self.start_review(&name),
            ReviewsStep::Show(review) => self.show_review(review),
            ReviewsStep::Done(review) => self.finish_review(review),
            ReviewsStep::Count(review) => {
                self.change_reviews("let a review count", |ride, _| {
                    reviews::let_count(ride, review)
                });
            }
            ReviewsStep::Remove(review) => {
                self.change_reviews("remove a review", |ride, _| reviews::remove(ride, review));
            }
            ReviewsStep::Merge => self.merge_reviews(),
        }
    }

    /// Makes a change of the open ride's reviews; whether there was one to make and it was made.
    fn change_reviews(
        &mut self,
        label: &str,
        make: impl FnOnce(&Ride, &mut IdMaker) -> Option<Edit>,
    ) -> bool {
        let (Some(open), Some(review)) = (&mut self.open, &self.review) else {
            return false;
        };
        let Some(ride) = open.document.yard().ride(review.ride) else {
            return false;
        };
        let mut ids = open.ids.clone();
        let Some(edit) = make(ride, &mut ids) else {
            return false;
        };
        open.ids = ids;
        let revision = open.document.revision();
        self.apply(label, edit);
        let open = self.open.as_ref();
        open.is_some_and(|open| open.document.revision() != revision)
    }

    fn start_review(&mut self, name: &str) {
        let mut started = None;
        let done = self.change_reviews("start a second review", |ride, ids| {
            let (id, edit) = reviews::start(ride, name, ids);
            started = Some(id);
            Some(edit)
        });
        if let Some(id) = started.filter(|_| done) {
            self.show_review(id);
            if let Some(review) = &mut self.review {
                review.second = None;
                review.stage.pause();
            }
            let next = "Everything you mark goes into your own review ({Reviews})";
            self.tell(Notice::told("Marks of others are hidden now").next(next));
        }
    }

    fn show_review(&mut self, id: ReviewId) {
        if let Some(review) = &mut self.review {
            review.reviewing = Some(id);
            review.chosen = None;
            review.typed.clear();
            review.note = None;
        }
    }

    /// The blind review is done; it is compared with the one that counts.
    fn finish_review(&mut self, id: ReviewId) {
        if !self.has_room_beside() {
            return;
        }
        let done = self.change_reviews("finish a review", |ride, _| reviews::unblind(ride, id));
        if !done {
            return;
        }
        let counting = self.open.as_ref().zip(self.review.as_ref());
        let counting = counting
            .and_then(|(open, review)| open.document.yard().ride(review.ride))
            .map(|ride| ride.head.counting);
        if let (Some(review), Some(counting)) = (&mut self.review, counting) {
            review.clear_side();
            review.second = Some(Second::default());
            review.compared.compare(counting, id);
        }
    }

    fn merge_reviews(&mut self) {
        let mut merged = None;
        let Some(review) = &mut self.review else {
            return;
        };
        let mut compared = std::mem::take(&mut review.compared);
        let revision = self
            .open
            .as_ref()
            .map_or(0, |open| open.document.revision());
        let mut refused = None;
        let done = self.change_reviews("merge two reviews", |ride, ids| {
            let choices = compared.choices().clone();
            let comparison = compared.comparison(ride, revision)?;
            match reviews::merge(ride, comparison, &choices, ids) {
                Ok((id, edit)) => {
                    merged = Some(id);
                    Some(edit)
                }
                Err(why) => {
                    refused = Some(why);
                    None
                }
            }
        });
        if let Some(review) = &mut self.review {
            review.compared = compared;
        }
        if let Some(why) = refused {
            let notice = Notice::told(format!("Not merged: {why}"));
            self.tell(match why {
                NotMerged::Overlapping { at, .. } => {
                    notice.next(format!("The first of them starts at {}", clock::short(at)))
                }
                NotMerged::Undecided(_) => notice,
            });
        }
        if let Some(id) = merged.filter(|_| done) {
            self.show_review(id);
            let text = "Merged; the merged review counts in the rates from now on";
            self.tell(Notice::told(text).offer("Undo", Action::Run(Command::Undo)));
        }
    }
}
