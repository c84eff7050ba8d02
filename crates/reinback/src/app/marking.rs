//! Marking in the Review room: a press on the ride as it is, and the step it makes.

use reinback_yard::{Mark, MarkKind, Moment, Pace, Rein, WordId};

use super::App;
use crate::action::Chosen;
use crate::notice::Notice;
use crate::rooms::review::NoteDraft;
use crate::rooms::review::marking::{Hand, Marking, Refusal, Step, Typed, look_up};

impl App {
    pub(super) fn marking(&self) -> Option<Marking<'_>> {
        let (open, review) = (self.open.as_ref()?, self.review.as_ref()?);
        let yard = open.document.yard();
        let ride = yard.ride(review.ride)?;
        Some(Marking {
            words: &yard.words,
            ride,
            review: review.review_of(ride),
            now: review.stage.position(),
            chosen: review.chosen,
            hand: Hand {
                speed: review.stage.pace(),
                floor: review
                    .stage
                    .current_film()
                    .map_or(Moment(i64::MIN), |placed| placed.film.offset),
                delays: self.prefs.delays(),
            },
        })
    }

    pub(super) fn mark(
        &mut self,
        make: impl FnOnce(&Marking<'_>, &mut reinback_yard::IdMaker) -> Result<Step, Refusal>,
    ) {
        let Some(mut ids) = self.open.as_ref().map(|open| open.ids.clone()) else {
            return;
        };
        let Some(marking) = self.marking() else {
            return;
        };
        match make(&marking, &mut ids) {
            Ok(step) => {
                if let Some(open) = &mut self.open {
                    open.ids = ids;
                }
                self.apply(&step.label, step.edit);
                if let Some(review) = &mut self.review {
                    review.typed.clear();
                    review.chosen = step.choose;
                }
            }
            Err(refusal) => self.tell(Notice::told(refusal)),
        }
    }

    pub(super) fn start_bout(&mut self, exercise: &WordId) {
        self.mark(|marking, ids| marking.start_bout(exercise, ids));
    }

    pub(super) fn set_pace(&mut self, pace: Pace) {
        self.mark(|marking, ids| marking.set_pace(pace, ids));
    }

    /// A flying change onto this lead; by itself, onto the other one than before.
    pub(super) fn mark_change(&mut self, onto: Option<Rein>) {
        self.mark(|marking, ids| {
            let onto = onto.or_else(|| marking.lead_after_next_change());
            Ok(marking.remark(MarkKind::Change(onto), ids))
        });
    }

    pub(super) fn type_letter(&mut self, letter: char) {
        let Some(review) = &mut self.review else {
            return;
        };
        let Some(open) = &self.open else { return };
        let words = &open.document.yard().words;
        review.typed.push(letter);
        // A slip, or a letter left standing long ago, does not keep what is typed now from starting.
        if look_up(words, &review.used, &review.typed) == Typed::Nothing {
            review.typed = letter.to_string();
        }
        if let Typed::One(exercise) = look_up(words, &review.used, &review.typed) {
            let exercise = exercise.id.clone();
            self.take_typed(&exercise);
        }
    }

    fn take_typed(&mut self, exercise: &WordId) {
        if let Some(review) = &mut self.review {
            review.typed.clear();
        }
        self.start_bout(exercise);
    }

    pub(super) fn write_note(&mut self) {
        let typed = self
            .review
            .as_ref()
            .map(|review| review.typed.clone())
            .unwrap_or_default();
        if !typed.is_empty() {
            let (Some(open), Some(review)) = (&self.open, &self.review) else {
                return;
            };
            let words = &open.document.yard().words;
            let first = match look_up(words, &review.used, &typed) {
                Typed::One(exercise) => Some(exercise.id.clone()),
                Typed::Several(several) => several.first().map(|exercise| exercise.id.clone()),
                Typed::Nothing => None,
            };
            if let Some(exercise) = first {
                self.take_typed(&exercise);
            }
            return;
        }
        let existing = self
            .marking()
            .and_then(|marking| marking.noted_mark().cloned());
        let existing = existing.filter(|_| self.is_near_a_mark());
        let target = existing.or_else(|| self.new_note());
        if let Some(review) = &mut self.review {
            review.note = target.map(|mark| NoteDraft {
                text: mark.note.clone(),
                mark,
                fresh: true,
            });
        }
    }

    /// A note at this moment; it becomes a mark once it says something.
    fn new_note(&mut self) -> Option<Mark> {
        let mut ids = self.open.as_ref()?.ids.clone();
        let mark = self.marking()?.bare_note(&mut ids);
        self.open.as_mut()?.ids = ids;
        Some(mark)
    }

    /// Whether the mark a note would go onto is chosen or has only just been made.
    fn is_near_a_mark(&self) -> bool {
        self.marking().is_some_and(|marking| match marking.chosen {
            Some(Chosen::Mark(_)) => true,
            _ => marking.noted_mark().is_some_and(|mark| {
                (0..=crate::rooms::review::marking::GRACE_NANOS)
                    .contains(&marking.now.0.saturating_sub(mark.at.0))
            }),
        })
    }

    pub(super) fn remove(&mut self) {
        if let Some(review) = &mut self.review
            && review.typed.pop().is_some()
        {
            return;
        }
        self.remove_chosen();
    }

    pub(super) fn cancel(&mut self) {
        let Some(review) = &mut self.review else {
            return;
        };
        if review.strip.give_up() {
            return;
        }
        if !review.typed.is_empty() {
            review.typed.clear();
        } else if !self.put_looking_away()
            && let Some(review) = &mut self.review
        {
            review.chosen = None;
        }
    }
}
