//! What a press means while a ride is marked: pure functions from the ride as it is to an edit.

mod asked;
mod hand;
mod measured;
mod ridden;
mod spans;
mod typed;

use reinback_yard::{
    Bout, BoutId, Edit, Exercise, IdMaker, Mark, MarkKind, Moment, Press, Rein, ReviewId, Ride,
    WordId, Words,
};

use super::selection;
use crate::action::Chosen;
use crate::clock;
pub use asked::{AskedDraft, TAKEN_AFTER, asked_text};
pub use hand::{Delays, Hand, MOST_DELAY};
pub use spans::shown_until;
pub use typed::{Typed, Used, look_up, most_used_first, used};

/// A step to be made, with what it is called in "Undo …".
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its name.
    pub label: String,
    /// The change.
    pub edit: Edit,
    /// What is chosen afterwards.
    pub choose: Option<Chosen>,
}

/// Why a press did nothing, as a sentence for the rider, in which names of commands in braces stand
/// for their keys.
pub type Refusal = String;

/// How long after its end a bout still takes a fault, in nanoseconds: hands are slower than
/// eyes. Our own choice.
pub const GRACE_NANOS: i64 = 10_000_000_000;

/// An exercise that another follows within this time, in nanoseconds of the day, was mistyped:
/// as long as it takes to see that, and to type two letters. Our own choice.
const MISTYPED_NANOS: i64 = 1_000_000_000;

/// No film shows a frame for longer than this, in nanoseconds: ten frames a second.
const FRAME_AT_MOST: i64 = 100_000_000;

/// The ride as it is at the moment of a press.
pub struct Marking<'a> {
    /// The yard's words.
    pub words: &'a Words,
    /// The ride.
    pub ride: &'a Ride,
    /// Whose review is being made.
    pub review: ReviewId,
    /// The frame on screen.
    pub now: Moment,
    /// What the rider has chosen.
    pub chosen: Option<Chosen>,
    /// How late the press is.
    pub hand: Hand,
}

impl<'a> Marking<'a> {
    /// The bout that has been started and not ended.
    #[must_use]
    pub fn running(&self) -> Option<&'a Bout> {
        self.own_bouts().find(|bout| bout.to.is_none())
    }

    /// The bout a press is about: the chosen one, the running one, the one at this moment, or
    /// the one that has only just ended.
    #[must_use]
    pub fn current(&self) -> Option<&'a Bout> {
        let chosen = match self.chosen {
            Some(Chosen::Bout(id)) => self.own_bouts().find(|bout| bout.id == id),
            _ => None,
        };
        // A bout chosen to be looked at does not take the faults of what comes after it.
        let chosen = chosen.filter(|bout| self.reaches(bout, 0));
        let at = || {
            self.own_bouts()
                .rfind(|b| b.from <= self.now && b.to.is_none_or(|to| self.now <= to))
        };
        let just_ended = || {
            self.own_bouts()
                .rfind(|bout| self.reaches(bout, GRACE_NANOS))
        };
        chosen.or_else(at).or_else(just_ended)
    }

    /// Whether a press at this moment may be meant for a bout: it is here, it runs, or it has
    /// ended no longer ago than the grace. The frame on screen may begin a little before the
    /// bout does.
    fn reaches(&self, bout: &Bout, grace_nanos: i64) -> bool {
        let begun = bout.from.0 < self.now.0.saturating_add(FRAME_AT_MOST);
        begun
            && bout
                .to
                .is_none_or(|to| self.now.0.saturating_sub(to.0) <= grace_nanos)
    }

    /// The exercise of the current bout, if the yard knows it.
    #[must_use]
    pub fn exercise(&self) -> Option<&'a Exercise> {
        self.words.exercise(&self.current()?.exercise)
    }

    /// The moment that the start or the end of a bout is meant for.
    fn bout_moment(&self) -> Moment {
        let meant = self.hand.bout(self.now);
        // What runs was begun before: a delay does not reach back over its start.
        // Nor does it end at its start, as where both lie before the film's first frame.
        let after = |bout: &Bout| bout.from < meant || bout.from >= self.now;
        if self.running().is_none_or(after) {
            meant
        } else {
            self.now
        }
    }

    /// Whether a running bout, begun before this frame, was mistyped: another is begun at once,
    /// and nothing was marked in it.
    fn is_mistyped(&self, running: &Bout, at: Moment) -> bool {
        // A start at the film's first frame may have been pressed later than it lies.
        let floored = running.from <= self.hand.floor;
        let until = if floored { self.now } else { at };
        let ridden = until.0.saturating_sub(running.from.0);
        let marked = || {
            let mut marks = self.ride.marks.iter();
            marks.any(|mark| mark.bout == Some(running.id))
        };
        !marked() && (ridden <= 0 || ridden < self.hand.on_film(MISTYPED_NANOS))
    }

    /// Sets the chosen mark, or the start of the chosen bout, to the frame on screen. A mark that
    /// no press made, as one from notes, is moved and still not known to be on its very frame.
    ///
    /// # Errors
    /// The film plays, nothing is chosen, or the bout has ended by this frame.
    pub fn set_to_frame(&self) -> Result<Step, Refusal> {
        if self.hand.speed.is_some() {
            return Err("Pause first: what is set to a frame needs one that stands".into());
        }
        let nothing =
            "Choose a mark or an exercise first; {PreviousMark} and {NextMark} go to them";
        let edit = match self.chosen.ok_or(nothing)? {
            Chosen::Mark(id) => {
                let mark = self.ride.marks.iter().find(|mark| mark.id == id);
                let mark = mark.ok_or(nothing)?.clone();
                if matches!(mark.kind, MarkKind::Measured(_)) {
                    return Err(
                        "What was measured belongs to its own frame; measure this one anew (F10)"
                            .into(),
                    );
                }
                let press = mark.press.map(|press| Press {
                    refined: true,
                    ..press
                });
                let set = Mark {
                    at: self.now,
                    press,
                    ..mark
                };
                Edit::Mark(self.ride.id, id, Some(set))
            }
            Chosen::Bout(id) => {
                let bout = self.own_bouts().find(|bout| bout.id == id);
                let bout = bout.ok_or(nothing)?;
                if bout.to.is_some_and(|to| to <= self.now) {
                    return Err("This exercise has ended by this frame".into());
                }
                self.bout_edit(Bout {
                    from: self.now,
                    ..bout.clone()
                })
            }
            _ => return Err(nothing.into()),
        };
        Ok(Step {
            label: "set to this frame".into(),
            edit,
            choose: self.chosen,
        })
    }

    fn own_bouts(&self) -> impl DoubleEndedIterator<Item = &'a Bout> + use<'a> {
        let review = self.review;
        self.ride
            .bouts
            .iter()
            .filter(move |bout| bout.review == review)
    }

    /// Starts a bout; the running one ends there and is reviewed, or is removed if it was mistyped.
    ///
    /// # Errors
    /// A running bout that starts later than this moment is in the way.
    pub fn start_bout(&self, exercise: &WordId, ids: &mut IdMaker) -> Result<Step, Refusal> {
        let mut edits = Vec::new();
        let mut at = self.bout_moment();
        if let Some(running) = self.running() {
            if running.from > self.now {
                return Err(format!(
                    "{} is running since {}: go there or later, or end it ({{EndBout}}), before you start another",
                    self.words.exercise_name(&running.exercise),
                    clock::short(running.from)
                ));
            }
            if self.is_mistyped(running, at) {
                // The delay reaches back to its start, but not into what was before it.
                at = self.hand.bout(self.now).max(running.from);
                edits.push(Edit::Bout(self.ride.id, running.id, None));
            } else {
                edits.push(self.bout_edit(closed(running, at)));
            }
        }
        let last_of_it = self
            .own_bouts()
            .rfind(|b| b.exercise == *exercise && b.from <= self.now);
        let bout = Bout {
            id: ids.next(),
            review: self.review,
            exercise: exercise.clone(),
            from: at,
            to: None,
            rein: None,
            variant: last_of_it.and_then(|b| b.variant.clone()),
            asked: self.asked_at_first(exercise, last_of_it),
            score: None,
            letters: (None, None),
            reviewed: false,
            note: String::new(),
        };
        let label = format!("start {}", self.words.exercise_name(exercise));
        edits.push(self.bout_edit(bout));
        Ok(Step {
            label,
            edit: one_or_batch(edits),
            choose: None,
        })
    }

    /// Ends the running bout and sets it to reviewed.
    ///
    /// # Errors
    /// No bout runs, or it starts later than this moment.
    pub fn end_bout(&self) -> Result<Step, Refusal> {
        let running = self
            .running()
            .ok_or("No exercise is running; type its letters to start one")?;
        if running.from >= self.now {
            return Err(format!(
                "This exercise starts at {}: go on to end it, or undo to take it back",
                clock::short(running.from)
            ));
        }
        let label = format!("end {}", self.words.exercise_name(&running.exercise));
        Ok(Step {
            label,
            edit: self.bout_edit(closed(running, self.bout_moment())),
            choose: None,
        })
    }

    /// Marks a fault of the current bout.
    ///
    /// # Errors
    /// There is no bout at this moment.
    pub fn fault(&self, fault: &WordId, ids: &mut IdMaker) -> Result<Step, Refusal> {
        let bout = self
            .current()
            .ok_or("No exercise at this moment; type its letters to start one")?;
        let label = format!(
            "mark {}",
            self.words.fault_name(Some(&bout.exercise), fault)
        );
        Ok(self.mark(label, MarkKind::Fault(fault.clone()), Some(bout.id), ids))
    }

    /// The fault on a key (1 to 9) of the current exercise.
    ///
    /// # Errors
    /// There is no bout at this moment, or the key has no fault.
    pub fn fault_on_key(&self, key: usize, ids: &mut IdMaker) -> Result<Step, Refusal> {
        self.current()
            .ok_or("No exercise at this moment; type its letters to start one")?;
        let known = self
            .exercise()
            .and_then(|exercise| exercise.faults.get(key.wrapping_sub(1)));
        let fault = known.ok_or_else(|| format!("Key {key} has no fault for this exercise"))?;
        self.fault(&fault.id, ids)
    }

    /// The general fault on a key (1 to 9).
    ///
    /// # Errors
    /// There is no bout at this moment, or the key has no fault.
    pub fn general_fault_on_key(&self, key: usize, ids: &mut IdMaker) -> Result<Step, Refusal> {
        let fault = self.words.general_faults.get(key.wrapping_sub(1));
        let fault = fault.ok_or_else(|| format!("Alt+{key} has no fault"))?;
        self.fault(&fault.id, ids)
    }

    /// Praise or ridden again at this moment.
    #[must_use]
    pub fn remark(&self, kind: MarkKind, ids: &mut IdMaker) -> Step {
        let label = match kind {
            MarkKind::Praise => "praise",
            MarkKind::Repeated => "mark ridden again",
            MarkKind::Change(_) => "mark flying change",
            MarkKind::Aid => "mark aid",
            MarkKind::Note | MarkKind::Fault(_) | MarkKind::Measured(_) => "note",
        };
        self.mark(
            label.to_owned(),
            kind,
            self.current().map(|bout| bout.id),
            ids,
        )
    }

    /// Onto which lead the next change of the current bout goes: the other one than the last.
    #[must_use]
    pub fn lead_after_next_change(&self) -> Option<Rein> {
        let bout = self.current()?;
        let last = self
            .ride
            .marks
            .iter()
            .rev()
            .find_map(|mark| match mark.kind {
                MarkKind::Change(onto) if mark.bout == Some(bout.id) && mark.at <= self.now => onto,
                _ => None,
            });
        last.map(|lead| match lead {
            Rein::Left => Rein::Right,
            Rein::Right => Rein::Left,
        })
    }

    /// A note at this moment, not yet part of the ride.
    #[must_use]
    pub fn bare_note(&self, ids: &mut IdMaker) -> Mark {
        let bout = self.current().map(|bout| bout.id);
        self.new_mark(MarkKind::Note, bout, ids)
    }

    /// Removes the chosen thing. A bout takes its marks along.
    ///
    /// # Errors
    /// Nothing is chosen.
    pub fn remove(&self) -> Result<Step, Refusal> {
        let chosen = self.chosen.ok_or("Choose a mark or an exercise first")?;
        selection::remove(self.ride, &[chosen].into())
    }

    /// The mark a note goes onto: the chosen one, or the last one up to this moment.
    #[must_use]
    pub fn noted_mark(&self) -> Option<&'a Mark> {
        let own = || {
            self.ride
                .marks
                .iter()
                .filter(|mark| mark.review == self.review)
        };
        match self.chosen {
            Some(Chosen::Mark(id)) => own().find(|mark| mark.id == id),
            _ => own().rfind(|mark| mark.at <= self.now),
        }
    }

    /// The start of the mark or bout next to this moment.
    #[must_use]
    pub fn neighbour(&self, forward: bool) -> Option<(Moment, Chosen)> {
        let here = self.here();
        if forward {
            self.starts()
                .filter(|(at, _)| *at > here)
                .min_by_key(|(at, _)| *at)
        } else {
            self.starts()
                .filter(|(at, _)| *at < here)
                .max_by_key(|(at, _)| *at)
        }
    }

    fn starts(&self) -> impl Iterator<Item = (Moment, Chosen)> + use<'a> {
        let review = self.review;
        let bouts = self
            .own_bouts()
            .map(|bout| (bout.from, Chosen::Bout(bout.id)));
        let own_marks = self
            .ride
            .marks
            .iter()
            .filter(move |mark| mark.review == review);
        bouts.chain(own_marks.map(|mark| (mark.at, Chosen::Mark(mark.id))))
    }

    /// Where the rider is: at what is chosen, if its frame is on screen. What was marked between
    /// two frames is shown by the earlier one, and would else be jumped to again and again.
    fn here(&self) -> Moment {
        let chosen = self
            .starts()
            .find(|(_, chosen)| Some(*chosen) == self.chosen);
        let shown = |at: &Moment| (0..FRAME_AT_MOST).contains(&at.0.saturating_sub(self.now.0));
        chosen.map(|(at, _)| at).filter(shown).unwrap_or(self.now)
    }

    fn mark(&self, label: String, kind: MarkKind, bout: Option<BoutId>, ids: &mut IdMaker) -> Step {
        let mark = self.new_mark(kind, bout, ids);
        Step {
            label,
            edit: Edit::Mark(self.ride.id, mark.id, Some(mark)),
            choose: None,
        }
    }

    fn new_mark(&self, kind: MarkKind, bout: Option<BoutId>, ids: &mut IdMaker) -> Mark {
        let review = self.review;
        let (at, press) = self.hand.mark(self.now);
        Mark {
            id: ids.next(),
            review,
            at,
            kind,
            bout,
            note: String::new(),
            origin: None,
            press: Some(press),
            place: None,
        }
    }

    fn bout_edit(&self, bout: Bout) -> Edit {
        Edit::Bout(self.ride.id, bout.id, Some(bout))
    }
}

fn closed(running: &Bout, at: Moment) -> Bout {
    Bout {
        to: Some(at),
        reviewed: true,
        ..running.clone()
    }
}

fn one_or_batch(mut edits: Vec<Edit>) -> Edit {
    if edits.len() == 1 {
        edits.remove(0)
    } else {
        Edit::Batch(edits)
    }
}

#[cfg(test)]
mod tests;
