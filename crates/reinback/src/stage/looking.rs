//! Looking closely: creeping while a key is held, and a stretch that is played again and again.

use reinback_yard::{Moment, Span};

use super::Stage;

/// Film seconds per second of the day while the film creeps. Our own choice: as the slowest play.
const CREEP: f64 = 0.1;
/// Seconds of the day a frame stays while the film creeps, at least and at most, whatever the
/// film says of it.
const CREEP_FRAME: std::ops::RangeInclusive<f64> = 0.03..=1.0;

/// The shortest stretch that is repeated, in nanoseconds. Our own choice: a few frames.
pub const SHORTEST_REPEAT: i64 = 200_000_000;

/// Which way the film creeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Creep {
    /// Towards the end.
    On,
    /// Towards the start.
    Back,
}

/// A film that creeps.
#[derive(Clone, Copy)]
pub(super) struct Creeping {
    to: Creep,
    /// Window time at which the next frame is due, in seconds.
    next: f64,
}

impl Stage {
    /// Creeps as long as this is said again, from the frame on screen; `None` lets the film stand.
    /// The first frame is due after its time, so that a press may step one by itself.
    pub fn creep(&mut self, to: Option<Creep>, now: f64) {
        if self.creeping.map(|creeping| creeping.to) == to {
            return;
        }
        if to.is_some() {
            self.pause();
        }
        self.creeping = to.map(|to| Creeping {
            to,
            next: now + self.creep_frame(),
        });
    }

    /// Whether the film creeps.
    #[must_use]
    pub fn is_creeping(&self) -> bool {
        self.creeping.is_some()
    }

    /// Film seconds per second of the day, below zero while it creeps back; `None` while the film
    /// stands.
    #[must_use]
    pub fn pace(&self) -> Option<f64> {
        let creeping = self.creeping.map(|creeping| match creeping.to {
            Creep::On => CREEP,
            Creep::Back => -CREEP,
        });
        self.is_playing().then_some(self.speed).or(creeping)
    }

    /// Seconds of the day the frame on screen stays.
    fn creep_frame(&self) -> f64 {
        let showing = self.showing.as_ref();
        let own = showing
            .and_then(|showing| showing.shown.as_ref())
            .and_then(|frame| Some((frame.end? - frame.time).0 as f64 / 1e9));
        let usual = showing.and_then(|showing| showing.info.as_ref());
        let usual = usual.map(|info| info.frame_length().0 as f64 / 1e9);
        let seconds = own.or(usual).unwrap_or(0.04) / CREEP;
        seconds.clamp(*CREEP_FRAME.start(), *CREEP_FRAME.end())
    }

    /// Steps where a frame is due. One that is still on its way is waited for.
    pub(super) fn creep_on(&mut self, now: f64) {
        let Some(creeping) = self.creeping else {
            return;
        };
        let under_way = |showing: &super::Showing| showing.steps.is_some();
        if now < creeping.next || self.showing.as_ref().is_some_and(under_way) {
            return;
        }
        self.step(match creeping.to {
            Creep::On => 1,
            Creep::Back => -1,
        });
        let next = now + self.creep_frame();
        self.creeping = Some(Creeping { next, ..creeping });
    }

    /// The stretch that is played again and again.
    #[must_use]
    pub fn repeated(&self) -> Option<Span> {
        self.repeated
    }

    /// Plays this stretch again and again from now on, or no more. One that is too short is
    /// played as any other.
    pub fn repeat(&mut self, stretch: Option<Span>) {
        self.repeated =
            stretch.filter(|own| own.to.0.saturating_sub(own.from.0) >= SHORTEST_REPEAT);
    }

    /// Whether a moment lies outside the stretch that is repeated, so that playing from there
    /// would turn back.
    #[must_use]
    pub fn is_outside_repeat(&self, moment: Moment) -> bool {
        let outside = |own: Span| moment < own.from || moment >= own.to;
        self.repeated.is_some_and(outside)
    }

    /// Where playing goes on instead of at `target`, if that is outside the repeated stretch.
    pub(super) fn turns_back(&self, target: Moment) -> Option<Moment> {
        let stretch = self.repeated?;
        let extent = self.extent();
        let from = stretch.from.max(extent.from);
        let to = stretch.to.min(extent.to);
        let outside = target >= to || target < from;
        (outside && from < to).then_some(from)
    }
}
