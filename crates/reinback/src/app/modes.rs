//! Presses that mean something else for a while: asked numbers being typed, a tempo being tapped.

use std::time::Duration;

use egui::Context;
use reinback_yard::{Moment, RideId};

use super::App;
use crate::action::Chosen;
use crate::command::Command;
use crate::keys::Pressed;
use crate::notice::Notice;
use crate::rooms::review::Tapping;
use crate::rooms::review::marking::{AskedDraft, TAKEN_AFTER};

impl App {
    /// Presses while asked numbers are typed or a tempo is tapped, which mean something else then.
    /// Gives a press back that has its usual meaning.
    pub(super) fn press_in_a_mode(&mut self, press: Pressed) -> Option<Pressed> {
        let Some(review) = &mut self.review else {
            return Some(press);
        };
        if review.asked.is_some() {
            return self.press_while_asking(press);
        }
        let Some(tapping) = &mut review.tapping else {
            return Some(press);
        };
        let now = review.stage.position();
        match press {
            Pressed::Letter(_) => tapping.tap(now),
            Pressed::Fault(number) => tapping.choose_leg(number),
            Pressed::Command(Command::Remove) => {
                tapping.take_back();
            }
            Pressed::Command(Command::Cancel) => review.tapping = None,
            other => return Some(other),
        }
        None
    }

    fn press_while_asking(&mut self, press: Pressed) -> Option<Pressed> {
        let now = self.now;
        let review = self.review.as_mut()?;
        let draft = review.asked.as_mut()?;
        draft.at = now;
        match press {
            Pressed::Fault(digit) => draft.digit(digit),
            Pressed::Command(Command::Ask) => draft.stroke(),
            Pressed::Command(Command::Remove) => {
                if draft.text.pop().is_none() {
                    review.asked = None;
                }
            }
            Pressed::Command(Command::Cancel) => review.asked = None,
            Pressed::Command(Command::WriteNote) => self.take_asked(),
            other => {
                self.take_asked();
                return Some(other);
            }
        }
        None
    }

    fn take_asked(&mut self) {
        let draft = self
            .review
            .as_mut()
            .and_then(|review| review.asked.take())
            .filter(|draft| !draft.text.is_empty());
        if let Some(draft) = draft {
            self.mark(|marking, _| marking.ask(&draft));
        }
    }

    /// Takes the asked numbers once no further key has come for a while.
    pub(super) fn tick_asked(&mut self, ctx: &Context) {
        let asked = self
            .review
            .as_ref()
            .and_then(|review| review.asked.as_ref());
        if let Some(draft) = asked {
            let left = draft.at + TAKEN_AFTER - self.now;
            if left <= 0.0 {
                self.take_asked();
            } else {
                ctx.request_repaint_after(Duration::from_secs_f64(left));
            }
        }
    }

    pub(super) fn start_asking(&mut self) {
        match self.marking().map(|marking| marking.may_ask()) {
            Some(Ok(())) => {
                let at = self.now;
                if let Some(review) = &mut self.review {
                    review.asked = Some(AskedDraft {
                        at,
                        ..AskedDraft::default()
                    });
                }
            }
            Some(Err(refusal)) => self.tell(Notice::told(refusal)),
            None => {}
        }
    }

    /// Shows a ride at a moment and begins tapping, unless something is being tapped in it.
    pub(super) fn open_for_taps(&mut self, ride: RideId, at: Moment) {
        self.open_ride(ride, Some(at));
        let own = self.review.as_ref().filter(|review| review.ride == ride);
        if own.is_some_and(|review| review.tapping.is_none()) {
            self.turn_tapping();
        }
    }

    /// Begins tapping a tempo, or goes on with the chosen one; or keeps what was tapped.
    pub(super) fn turn_tapping(&mut self) {
        let chosen = self.chosen_tempo();
        let Some(review) = &mut self.review else {
            return;
        };
        let Some(tapping) = review.tapping.take() else {
            review.tapping = Some(chosen.unwrap_or_default());
            return;
        };
        if let Err(reason) = tapping.found() {
            // What is too little goes on.
            review.tapping = Some(tapping);
            self.tell(Notice::told(reason.to_string()));
            return;
        }
        self.mark(|marking, ids| {
            let kept = tapping.keep(marking.ride, marking.review, ids);
            kept.map_err(|reason| reason.to_string())
        });
    }

    /// The taps of the tempo that is chosen.
    fn chosen_tempo(&self) -> Option<Tapping> {
        let marking = self.marking()?;
        let (Chosen::Tempo(id) | Chosen::Tap(id, _)) = marking.chosen? else {
            return None;
        };
        let track = marking.ride.tempos.iter().find(|own| own.id == id);
        track.map(Tapping::of)
    }
}
