//! Playing: the clock follows what is heard, or else the window's time, as far as pictures are
//! there.

use reinback_film::{FilmInfo, FilmTime, Frame, Want};
use reinback_yard::Moment;
use std::sync::Arc;

use super::{Showing, Stage, film_time};
use crate::sound::Speaker;

/// A film that runs.
pub(super) struct Run {
    /// Window time of the last tick, in seconds.
    pub(super) last_tick: f64,
    /// When the wish to decode ahead was sent last.
    pub(super) last_renewed: f64,
}

/// Longest advance of one tick in seconds: after a hiccup of the window the film goes on from
/// where it was.
pub(super) const LONGEST_TICK: f64 = 0.25;
/// While playing, the wish to decode ahead is renewed this often, in seconds.
pub(super) const RENEW_SECONDS: f64 = 0.2;
/// Beyond this rate the engine leaves frames out, as a screen could not show them.
const SCREEN_RATE: f64 = 60.0;
const SECOND: f64 = 1e9;

impl Stage {
    /// Plays or pauses.
    pub fn toggle(&mut self, now: f64) {
        if self.run.take().is_some() {
            self.rest();
            return;
        }
        if let Some(showing) = &mut self.showing {
            // A step still on its way is overtaken.
            showing.steps = None;
            showing.stepped = 0;
        }
        if let Some(start) = self.turns_back(self.position()) {
            self.seek(start, false);
        } else if self.clock.0 >= self.extent().to.0 - 1_000_000 {
            self.clock = self.extent().from;
        }
        self.creeping = None;
        self.run = Some(Run {
            last_tick: now,
            last_renewed: f64::NEG_INFINITY,
        });
        self.try_sound_again();
    }

    /// Pauses.
    pub fn pause(&mut self) {
        if self.run.take().is_some() {
            self.rest();
        }
    }

    fn rest(&mut self) {
        self.hush();
        self.clock = self.position();
        // The frame is on screen already; asked for by itself it comes once more, sharp.
        if let Some((showing, _)) = self.showing_here()
            && let Some(time) = showing.shown.as_ref().map(|frame| frame.time)
        {
            showing.wanted = Want::Exact(time);
            showing.handle.want(showing.wanted);
        }
    }

    pub(super) fn advance(&mut self, now: f64, speaker: &mut dyn Speaker) {
        let heard = self.heard(now, speaker);
        let Some(run) = &mut self.run else { return };
        let passed = (now - run.last_tick).clamp(0.0, LONGEST_TICK) * self.speed;
        run.last_tick = now;
        let renew = now - run.last_renewed >= RENEW_SECONDS;
        if renew {
            run.last_renewed = now;
        }
        let target = heard.map_or(
            Moment(self.clock.0.saturating_add((passed * SECOND) as i64)),
            |heard| heard.max(self.clock),
        );
        if let Some(start) = self.turns_back(target) {
            self.seek(start, false);
            return;
        }
        let speed = self.speed;
        let Some(placed) = self.film_at(self.clock).cloned() else {
            self.cross_gap(target);
            return;
        };
        let end = self.film_span(&placed).to;
        let Some((showing, film)) = self.showing_here() else {
            return;
        };
        let Some(info) = showing.info.as_ref() else {
            return;
        };
        if target >= end {
            self.end_of_film(end);
            return;
        }
        let at = film_time(&film, target, Some(info));
        if renew {
            showing.handle.want(Want::Play { from: at, speed });
        }
        if let Some(frame) = frame_for(showing, info, at, speed) {
            showing.awaited = false;
            let new = showing
                .shown
                .as_ref()
                .is_none_or(|old| old.time != frame.time);
            showing.shown = Some(frame);
            self.clock = target;
            self.picture += u64::from(new);
            self.sound_from(film.id, at, now, speaker);
        } else {
            self.sound_waits(target);
        }
    }

    fn end_of_film(&mut self, end: Moment) {
        self.hush();
        let offsets = self.films.iter().map(|placed| placed.film.offset);
        let next = offsets.filter(|offset| *offset > end).min();
        let overlapping = self.film_at(Moment(end.0 + 1)).is_some();
        match next {
            _ if overlapping => self.clock = Moment(end.0 + 1),
            Some(start) => self.clock = start,
            None => {
                self.run = None;
                self.seek(end, false);
            }
        }
    }

    fn cross_gap(&mut self, target: Moment) {
        let extent = self.extent();
        if target >= extent.to {
            self.run = None;
            self.clock = extent.to;
        } else {
            self.clock = target;
        }
    }
}

/// The frame to show at a time while playing: the very frame, or, where the engine leaves frames
/// out because the film runs fast, the one kept before it. `None` while it is not there yet.
pub(super) fn frame_for(
    showing: &Showing,
    info: &FilmInfo,
    at: FilmTime,
    speed: f64,
) -> Option<Arc<Frame>> {
    if let Some(frame) = showing.handle.cached(at) {
        return Some(frame);
    }
    let left_out = speed / SCREEN_RATE + 1.0 / info.average_rate.max(1.0);
    let frame = showing.handle.latest_cached(at).filter(|_| speed > 1.0)?;
    ((at.0 - frame.time.0) as f64 <= left_out * SECOND).then_some(frame)
}
