//! Looking closely at a ride: creeping, jumping, repeating a stretch, coming closer to the
//! picture.

use egui::Context;
use reinback_yard::{BoutId, Moment, ReviewId, Ride, Span};

use super::App;
use crate::action::{Chosen, Room};
use crate::command::Command;
use crate::keys::KeyListener;
use crate::notice::Notice;
use crate::rooms::review::jumps::{self, Stop};
use crate::rooms::review::lapses::lapses;
use crate::rooms::review::{Repeat, ReviewView};
use crate::stage::{Creep, SHORTEST_REPEAT};

/// How much closer a key comes to the picture.
const CLOSER: f64 = 1.5;

impl App {
    pub(super) fn look(&mut self, command: Command) {
        match command {
            Command::CreepForward => self.step_aside(1),
            Command::CreepBack => self.step_aside(-1),
            Command::PreviousBout => self.jump_to_bout(false),
            Command::NextBout => self.jump_to_bout(true),
            Command::PreviousChange => self.jump_to_change(false),
            Command::NextChange => self.jump_to_change(true),
            Command::PreviousLapse => self.jump_to_lapse(false),
            Command::NextLapse => self.jump_to_lapse(true),
            Command::Repeat => self.toggle_repeat(),
            Command::LookCloser => self.look_closer(CLOSER),
            Command::LookWider => self.look_closer(1.0 / CLOSER),
            Command::Fill => self.fill(),
            _ => {}
        }
    }

    /// A press of a key that then creeps: the first frame at once.
    fn step_aside(&mut self, frames: i32) {
        if let Some(review) = &mut self.review {
            review.stage.step(frames);
        }
    }

    /// Creeps while a key, or a button of the transport, is held.
    pub(super) fn creep(&mut self, ctx: &Context) {
        let held = ctx.plugin::<KeyListener>().lock().held();
        let now = self.now;
        let here = self.room == Room::Review;
        let Some(review) = &mut self.review else {
            return;
        };
        let by_key = match held {
            Some(Command::CreepForward) => Some(Creep::On),
            Some(Command::CreepBack) => Some(Creep::Back),
            _ => None,
        };
        let held = by_key.or(review.looking.creep).filter(|_| here);
        review.stage.creep(held, now);
        if review.stage.is_creeping() {
            ctx.request_repaint();
        }
    }

    fn jump_to_bout(&mut self, forward: bool) {
        let stops = self.review_of_ride(jumps::bouts);
        self.jump_along(&stops, forward, "exercise");
    }

    fn jump_to_change(&mut self, forward: bool) {
        let stops = self.review_of_ride(jumps::changes);
        self.jump_along(&stops, forward, "flying change is marked");
    }

    fn jump_to_lapse(&mut self, forward: bool) {
        let Some(open) = &self.open else { return };
        let words = &open.document.yard().words;
        let found = self.review_of_ride(|ride, review| Some(lapses(ride, words, review)));
        match found {
            Some(Ok(spans)) => {
                let stop = |span: &Span| Stop {
                    at: span.from,
                    choose: None,
                };
                let stops: Vec<Stop> = spans.iter().map(stop).collect();
                self.jump_along(&stops, forward, "lapse of the tempo");
            }
            Some(Err(why)) => self.tell(Notice::told(why)),
            None => {}
        }
    }

    /// What is found in the open ride, for the review that is made.
    fn review_of_ride<T: Default>(&self, find: impl FnOnce(&Ride, ReviewId) -> T) -> T {
        let marking = self.marking();
        marking.map_or_else(T::default, |own| find(own.ride, own.review))
    }

    fn jump_along(&mut self, stops: &[Stop], forward: bool, what: &str) {
        let Some(review) = &mut self.review else {
            return;
        };
        let now = review.stage.position();
        let Some(stop) = jumps::neighbour(stops, now, review.looking.jumped, forward) else {
            let side = if forward { "after" } else { "before" };
            self.tell(Notice::told(format!("No {what} {side} this moment")));
            return;
        };
        review.looking.jumped = Some(stop.at);
        if stop.choose.is_some() {
            review.chosen = stop.choose;
            review.reveal = true;
        }
        self.seek(stop.at, false);
    }

    /// Goes where the rider asks. What is repeated ends where that lies outside it, else playing
    /// would turn back from there at once.
    pub(super) fn seek(&mut self, moment: Moment, dragging: bool) {
        let Some(review) = &mut self.review else {
            return;
        };
        review.stage.seek(moment, dragging);
        if review.stage.is_outside_repeat(moment) {
            review.looking.repeat = None;
            review.stage.repeat(None);
            self.tell(Notice::told("The repeat has ended: this is outside it"));
        }
    }

    fn toggle_repeat(&mut self) {
        let Some(review) = &mut self.review else {
            return;
        };
        if review.looking.repeat.take().is_some() {
            return;
        }
        let extent = review.stage.extent();
        let shown = Some(review.strip.view(extent)).filter(|shown| *shown != extent);
        let shown = shown.map(Repeat::Stretch);
        let beside = review.beside.as_ref();
        let beside = beside.is_some_and(|beside| beside.second.is_some());
        let chosen = review.chosen;
        let repeat = match chosen {
            _ if beside => Some(Repeat::Beside),
            Some(Chosen::Bout(bout)) => Some(self.repeat_of(bout)),
            _ => shown,
        };
        let Some(review) = &mut self.review else {
            return;
        };
        review.looking.repeat = repeat;
        let Some(repeat) = repeat else {
            let what = "Choose an exercise, or have the strip show a shorter stretch; that is then repeated";
            self.tell(Notice::told(what));
            return;
        };
        if self.repeated(repeat).is_none() {
            self.forget_repeat();
            self.tell(Notice::told("This is too short to be repeated"));
        }
    }

    /// A bout that runs has no end yet: what was ridden of it is repeated.
    fn repeat_of(&self, bout: BoutId) -> Repeat {
        let now = self.review.as_ref().map(|review| review.stage.position());
        let running = self.review_of_ride(|ride, _| {
            let mut bouts = ride.bouts.iter();
            bouts
                .find(|own| own.id == bout && own.to.is_none())
                .cloned()
        });
        match running.zip(now) {
            Some((running, now)) => Repeat::Stretch(running.span_until(now)),
            None => Repeat::Bout(bout),
        }
    }

    /// The stretch to be repeated as it is now; `None` where it is gone or too short.
    fn repeated(&self, repeat: Repeat) -> Option<Span> {
        let review = self.review.as_ref()?;
        let now = review.stage.position();
        let span = match repeat {
            Repeat::Stretch(span) => Some(span),
            Repeat::Beside => self.shorter_beside(),
            Repeat::Bout(id) => self.review_of_ride(|ride, _| {
                let bout = ride.bouts.iter().find(|bout| bout.id == id);
                bout.map(|bout| bout.span_until(now))
            }),
        };
        span.filter(|span| span.to.0.saturating_sub(span.from.0) >= SHORTEST_REPEAT)
    }

    fn forget_repeat(&mut self) {
        if let Some(review) = &mut self.review {
            review.looking.repeat = None;
        }
    }

    /// Has the stage repeat what is to be repeated: the edges of a bout may have been moved.
    pub(super) fn follow_repeat(&mut self) {
        let repeat = self
            .review
            .as_ref()
            .and_then(|review| review.looking.repeat);
        let span = repeat.and_then(|repeat| self.repeated(repeat));
        if span.is_none() {
            self.forget_repeat();
        }
        self.with_stage(|stage| stage.repeat(span));
    }

    fn look_closer(&mut self, factor: f64) {
        if let Some(review) = &mut self.review {
            review.look_closer(factor);
        }
    }

    fn fill(&mut self) {
        if let Some(review) = &mut self.review {
            review.looking.filling = !review.looking.filling;
        }
    }

    /// Puts away what covers the ride or holds it; whether there was anything.
    pub(super) fn put_looking_away(&mut self) -> bool {
        let away = |review: &mut ReviewView| {
            if review.looking.filling {
                review.looking.filling = false;
                return true;
            }
            review.looking.repeat.take().is_some()
        };
        self.review.as_mut().is_some_and(away)
    }
}
