//! Up to four moments of films that run together on one clock, whose zero is each one's mark.
//!
//! The clock goes on only when every picture is there, so that what is seen together belongs
//! together. Each film is a [`Stage`] of its own, also where two moments are of one film.

use reinback_film::{FilmInfo, Settings};
use reinback_yard::Moment;

use super::lap::{Lap, Onward};
use super::play::{LONGEST_TICK, RENEW_SECONDS};
use super::{Placed, SPEEDS, Screen, Stage};
use crate::services::{OnReady, Services};
use crate::sound::NoSpeaker;

/// Films open at once, at most: each takes a decoder with its threads and its own memory, and
/// more pictures than four can neither be large nor be watched.
pub const MOST_TOGETHER: usize = 4;
/// The fastest play: what is set side by side is looked at closely. Our own choice.
const FASTEST: f64 = 2.0;
/// Window seconds after which a picture that does not come with the others is asked for by
/// itself, which is always answered. Our own choice.
const PATIENCE: f64 = 2.0;
/// A frame that begins so soon after a moment is the moment's, in nanoseconds: time stamps and
/// clocks are rounded, and no film has a frame as short.
const SLACK: i64 = 500_000;

/// Whether a film shows the clock's moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Covers {
    /// It does.
    Here,
    /// It begins later: its first frame is shown.
    Later,
    /// It is over: its last frame is shown.
    Over,
}

/// One of the films.
struct Member {
    stage: Stage,
    placed: Placed,
    /// The mark, on its ride's clock.
    zero: Moment,
}

/// They run.
struct Run {
    /// Window time of the last tick, in seconds.
    last_tick: f64,
    /// When the films were last told where it goes on.
    last_renewed: f64,
    /// Where they go on once every picture is there, and since when that is awaited.
    awaited: Option<(i64, f64)>,
}

/// Films that run together.
pub struct Together {
    members: Vec<Member>,
    lap: Lap,
    /// Nanoseconds from the marks.
    clock: i64,
    speed: f64,
    repeats: bool,
    run: Option<Run>,
    /// Which film is being stepped through; the others follow it.
    stepping: Option<usize>,
}

impl Together {
    /// Films with the moments of their marks, of which the first four are taken. They stand at
    /// their marks, and open with the first tick.
    #[must_use]
    pub fn new(films: impl IntoIterator<Item = (Placed, Moment)>, lap: Lap) -> Self {
        let mut together = Self {
            members: Vec::new(),
            lap,
            clock: 0,
            speed: 1.0,
            repeats: true,
            run: None,
            stepping: None,
        };
        together.cast(films);
        together
    }

    /// Other films in place of these, at the same time from their marks; they stand.
    pub fn cast(&mut self, films: impl IntoIterator<Item = (Placed, Moment)>) {
        let members = films.into_iter().take(MOST_TOGETHER);
        let members = members.map(|(placed, zero)| Member {
            stage: Stage::silent(placed.clone()),
            placed,
            zero,
        });
        self.members = members.collect();
        self.run = None;
        self.go(self.clock);
    }

    /// Moves everything on to `now` (window time in seconds).
    pub fn tick(
        &mut self,
        now: f64,
        services: &dyn Services,
        settings: Settings,
        on_ready: &OnReady,
    ) {
        for member in &mut self.members {
            let stage = &mut member.stage;
            stage.tick(now, services, settings, on_ready, &mut NoSpeaker);
        }
        self.follow_step();
        self.advance(now);
    }

    /// Nanoseconds from the marks, below zero before them.
    #[must_use]
    pub fn clock(&self) -> i64 {
        self.clock
    }

    /// What is played of each.
    #[must_use]
    pub fn lap(&self) -> Lap {
        self.lap
    }

    /// Plays so much around the marks from now on.
    pub fn set_lap(&mut self, lap: Lap) {
        self.lap = lap;
    }

    /// Whether it begins again at its end.
    #[must_use]
    pub fn repeats(&self) -> bool {
        self.repeats
    }

    /// Lets it begin again at its end, or stand there.
    pub fn set_repeats(&mut self, repeats: bool) {
        self.repeats = repeats;
    }

    /// Whether they run.
    #[must_use]
    pub fn is_playing(&self) -> bool {
        self.run.is_some()
    }

    /// Whether a picture is awaited.
    #[must_use]
    pub fn is_waiting(&self) -> bool {
        let waits = |member: &Member| member.stage.is_waiting();
        self.members.iter().any(waits)
    }

    /// How fast they play, 1 being life.
    #[must_use]
    pub fn speed(&self) -> f64 {
        self.speed
    }

    /// The next speed up or down the scale, from a tenth to twice.
    pub fn change_speed(&mut self, faster: bool) {
        let scale = || SPEEDS.iter().filter(|speed| **speed <= FASTEST);
        let next = if faster {
            scale().find(|speed| **speed > self.speed + 1e-9)
        } else {
            scale().rev().find(|speed| **speed < self.speed - 1e-9)
        };
        self.speed = next.copied().unwrap_or(self.speed);
        self.renew();
    }

    /// Plays or pauses. From the end it begins again.
    pub fn toggle(&mut self, now: f64) {
        if self.run.take().is_some() {
            self.go(self.clock);
            return;
        }
        self.stepping = None;
        if self.clock >= self.lap.after() {
            self.go(self.lap.start());
        }
        self.run = Some(Run {
            last_tick: now,
            last_renewed: f64::NEG_INFINITY,
            awaited: None,
        });
    }

    /// Goes to a time from the marks.
    pub fn go(&mut self, clock: i64) {
        self.clock = self.lap.within(clock);
        self.stepping = None;
        for member in &mut self.members {
            let moment = member.moment(self.clock);
            member.stage.seek(moment, false);
        }
        self.renew();
        if let Some(run) = &mut self.run {
            run.awaited = None;
        }
    }

    /// Goes so many frames on (or back) in the film with the most frames a second, so that none
    /// is left out; the others show what belongs with it.
    pub fn step(&mut self, frames: i32) {
        self.run = None;
        let clock = self.clock;
        let rate = |member: &Member| member.stage.info().map_or(0.0, |info| info.average_rate);
        let can = |member: &Member| {
            matches!(member.stage.screen(), Screen::Picture) && member.covers(clock) == Covers::Here
        };
        let leads = self.stepping.or_else(|| {
            let able = self.members.iter().enumerate();
            let able = able.filter(|(_, member)| can(member));
            // Of two that are as fast the first.
            let best = able
                .rev()
                .max_by(|(_, one), (_, other)| rate(one).total_cmp(&rate(other)));
            best.map(|(at, _)| at)
        });
        if let Some(member) = leads.and_then(|at| self.members.get_mut(at)) {
            member.stage.step(frames);
        }
        self.stepping = leads;
    }

    /// How many films there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.members.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.members.is_empty()
    }

    /// The stage of a film, from 0.
    #[must_use]
    pub fn stage(&self, at: usize) -> Option<&Stage> {
        self.members.get(at).map(|member| &member.stage)
    }

    /// Whether a film shows the clock's moment.
    #[must_use]
    pub fn covers(&self, at: usize) -> Covers {
        let member = self.members.get(at);
        member.map_or(Covers::Here, |member| member.covers(self.clock))
    }

    fn renew(&mut self) {
        if let Some(run) = &mut self.run {
            run.last_renewed = f64::NEG_INFINITY;
        }
    }

    /// The film that is stepped through has its frame: that is where the clock is.
    fn follow_step(&mut self) {
        let Some(leads) = self.stepping else { return };
        let Some(leader) = self.members.get(leads) else {
            return;
        };
        if leader.stage.is_waiting() {
            return;
        }
        self.stepping = None;
        let moment = leader.stage.position();
        self.clock = moment.0.saturating_sub(leader.zero.0);
        for (at, member) in self.members.iter_mut().enumerate() {
            if at != leads {
                let moment = member.moment(self.clock);
                member.stage.seek(moment, false);
            }
        }
    }

    fn advance(&mut self, now: f64) {
        let Some(run) = &mut self.run else { return };
        let passed = (now - run.last_tick).clamp(0.0, LONGEST_TICK) * self.speed;
        run.last_tick = now;
        if now - run.last_renewed >= RENEW_SECONDS {
            run.last_renewed = now;
            for member in &self.members {
                member.stage.prepare(member.moment(self.clock), self.speed);
            }
        }
        let passed = (passed * 1e9) as i64;
        let onward = self.lap.onward(self.clock, passed, self.repeats);
        let target = match (run.awaited, onward) {
            (Some((target, _)), _) | (None, Onward::To(target)) => target,
            (None, Onward::Again(start)) => {
                self.clock = start;
                self.renew();
                start
            }
            (None, Onward::Ended(end)) => {
                self.run = None;
                self.go(end);
                return;
            }
        };
        self.show(target, now);
    }

    /// Shows a time in every film, if each has its picture.
    fn show(&mut self, target: i64, now: f64) {
        let speed = self.speed;
        let Some(run) = &mut self.run else { return };
        let there = |member: &Member| member.stage.is_at_hand(member.moment(target), speed);
        if self.members.iter().all(there) {
            for member in &mut self.members {
                let moment = member.moment(target);
                member.stage.lead(moment, speed);
            }
            run.awaited = None;
            self.clock = target;
            return;
        }
        let since = run.awaited.map_or(now, |(_, since)| since);
        run.awaited = Some((target, since));
        if now - since < PATIENCE {
            return;
        }
        run.awaited = Some((target, now));
        run.last_renewed = now + PATIENCE;
        for member in self.members.iter_mut().filter(|member| !there(member)) {
            let moment = member.moment(target);
            member.stage.seek(moment, false);
        }
    }
}

impl Member {
    /// The moment of its ride at a time from the marks, within the film.
    fn moment(&self, clock: i64) -> Moment {
        let due = self.due(clock);
        let (from, to) = self.ends();
        Moment(due.0.clamp(from.0, to.0.saturating_sub(1).max(from.0)))
    }

    fn due(&self, clock: i64) -> Moment {
        Moment(self.zero.0.saturating_add(clock).saturating_add(SLACK))
    }

    fn covers(&self, clock: i64) -> Covers {
        let due = self.due(clock);
        let (from, to) = self.ends();
        if due < from {
            Covers::Later
        } else if due > to {
            Covers::Over
        } else {
            Covers::Here
        }
    }

    /// The film's first moment and its end, as far as it is known.
    fn ends(&self) -> (Moment, Moment) {
        let film = &self.placed.film;
        let told = |info: &FilmInfo| info.duration.0;
        let length = self.stage.info().map(told).or(film.duration_nanos);
        let to = length.map_or(Moment(i64::MAX), |nanos| film.ride_from_film(nanos));
        (film.offset, to)
    }
}
