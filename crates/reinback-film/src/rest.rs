//! The time after an answer: neighbours are made ready, and once the hand
//! rests, the frame is shown sharp.

use std::cell::Cell;
use std::time::{Duration, Instant};

use crate::behind::Stretch;
use crate::cache::Next;
use crate::error::FilmError;
use crate::film::{Known, Outbox, Reply, Shared, Want};
use crate::projector::BEFORE_JUMP;
use crate::time::FilmTime;
use crate::worker::Worker;

/// A hand that asked for nothing this long rests: longer than the pause
/// between two steps of a held key. Our own choice.
const REST: Duration = Duration::from_millis(60);
/// Frames made ready after the one on screen while the hand moves.
const READY: usize = 8;
/// The same once it rests, before reading turns to the frames behind, unless a
/// border is near there: coming back to where these end costs a group of frames.
const READY_RESTED: usize = 30;
/// Frames made ready before the one on screen, at least. Their groups are made
/// ready whole, and the group before its own too.
const BEHIND: usize = 30;

/// A hand that asked for nothing this long is not faster than a held key.
const PAUSE: Duration = Duration::from_millis(8);

/// What is made ready after an answer.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Ready {
    /// What follows; what comes before it too, once the hand rests.
    Ahead,
    Behind,
    Neither,
}

impl Ready {
    pub(crate) fn after_step(frames: i32) -> Self {
        if frames < 0 {
            Self::Behind
        } else {
            Self::Ahead
        }
    }
}

/// The answer given last.
#[derive(Clone, Copy)]
struct Served {
    number: u64,
    time: FilmTime,
    at: Instant,
    ready: Ready,
}

impl Worker<'_> {
    /// Uses the time after an answer until something else is wanted. Steps
    /// that the cache can answer are answered meanwhile.
    pub(crate) fn settle(
        &mut self,
        number: u64,
        time: FilmTime,
        ready: Ready,
    ) -> Result<(), FilmError> {
        let (shared, outbox) = (self.shared, self.outbox);
        let served = Cell::new(Served {
            number,
            time,
            at: Instant::now(),
            ready,
        });
        let current = || {
            step_from_cache(shared, outbox, &served);
            !shared.outdated(served.get().number)
        };
        let moving = || current() && served.get().at.elapsed() < REST;
        let resting = || !shared.outdated(served.get().number);
        loop {
            let ready_for = served.get().number;
            self.make_ready(&served, false, &moving)?;
            self.tell_damage();
            // A key held sends its next step before the hand could be called resting: then what
            // lies ahead of that step is made ready first.
            while current() && served.get().number == ready_for {
                let left = REST.saturating_sub(served.get().at.elapsed());
                if left.is_zero() {
                    break;
                }
                shared.wait_for(left);
            }
            if !resting() {
                return Ok(());
            }
            if served.get().number != ready_for {
                continue;
            }
            let rested = served.get();
            if self.projector.enlarges()
                && let Some(frame) = self.projector.sharp(rested.time, &resting)?
            {
                outbox.send(Reply::Sharp(frame));
            }
            self.make_ready(&served, true, &|| {
                current() && served.get().number == rested.number
            })?;
            self.tell_damage();
            // A step answered meanwhile rests on another frame.
            if served.get().number == rested.number {
                return Ok(());
            }
        }
    }

    /// Makes neighbours ready, anew for each frame that the hand comes to.
    fn make_ready(
        &mut self,
        served: &Cell<Served>,
        rested: bool,
        idle: &dyn Fn() -> bool,
    ) -> Result<(), FilmError> {
        loop {
            let here = served.get();
            let back = here.ready == Ready::Behind;
            self.projector.face(here.time, back);
            let still = || idle() && served.get().number == here.number;
            if rested && here.ready == Ready::Ahead && self.begins_near(here.time) {
                self.ready_behind(here.time, 0, &still)?;
            }
            if here.ready == Ready::Ahead {
                let frames = if rested { READY_RESTED } else { READY };
                self.ready_ahead(here.time, frames, &still)?;
            }
            if back || (rested && here.ready == Ready::Ahead) {
                self.ready_behind(here.time, 1, &still)?;
                self.restock(&still)?;
            }
            if still() || !idle() {
                return Ok(());
            }
        }
    }

    fn ready_ahead(
        &mut self,
        time: FilmTime,
        frames: usize,
        idle: &dyn Fn() -> bool,
    ) -> Result<(), FilmError> {
        let Some((mut head, mut next)) = self.shared.cache().run_end(time) else {
            return Ok(());
        };
        for _ in 0..frames {
            let (count, bytes) = self.shared.cache().between(time, head);
            let Next::At(following) = next else { break };
            if self.is_full(count, bytes) || count > frames || !idle() {
                break;
            }
            let keep = time..=following;
            let Some(passed) = self.projector.ahead(following, idle)? else {
                break;
            };
            self.projector.hold(&passed, &keep)?;
            self.projector.shelve(&passed, &keep);
            next = passed.next;
            head = following;
        }
        Ok(())
    }

    /// Whether the group of frames under the hand begins so shortly before it
    /// that a few steps back lead over its border.
    fn begins_near(&self, time: FilmTime) -> bool {
        let run = self.shared.cache().run_start(time);
        let stock = self.projector.shelf.stock();
        let first = self.projector.shelf.get(stock.first);
        let few = BEFORE_JUMP as usize;
        let shelved = stock.frames <= few && first.is_some_and(|frame| frame.is_key());
        let cached = run.frames < few && run.keys > 0;
        self.projector.enlarges() && run.first > FilmTime::ZERO && (shelved || cached)
    }

    /// Makes the group of frames under the hand ready and `more` before it, so
    /// that stepping back does not halt where one begins.
    fn ready_behind(
        &mut self,
        time: FilmTime,
        more: usize,
        idle: &dyn Fn() -> bool,
    ) -> Result<(), FilmError> {
        while idle() {
            let run = self.shared.cache().run_start(time);
            let enough = run.first <= FilmTime::ZERO || (run.keys > more && run.frames >= BEHIND);
            let stretch = Stretch {
                low: run.first,
                shown: time,
                urgent: false,
            };
            if enough || self.projector.behind(stretch, idle)?.is_none() {
                break;
            }
        }
        Ok(())
    }

    /// Then those as filmed.
    fn restock(&mut self, idle: &dyn Fn() -> bool) -> Result<(), FilmError> {
        while idle() {
            // Steps that come faster than a hand makes them want small frames.
            self.shared.wait_for(PAUSE);
            if idle() && !self.projector.restock(idle)? {
                break;
            }
        }
        Ok(())
    }
}

/// Answers a waiting single step that the cache can answer, or takes one that
/// the handle answered, so that making frames ready goes on while a key is
/// held, and does not begin anew at each step.
fn step_from_cache(shared: &Shared, outbox: &Outbox, served: &Cell<Served>) {
    let Some(posted) = shared.peek() else {
        return;
    };
    let Want::Step {
        from,
        frames: frames @ (1 | -1),
    } = posted.want
    else {
        return;
    };
    let serve = |time| {
        served.set(Served {
            number: posted.number,
            time,
            at: Instant::now(),
            ready: Ready::after_step(frames),
        });
    };
    if let Known::Answered(time) = posted.known {
        if shared.take_numbered(posted.number) {
            serve(time);
        }
        return;
    }
    let found = shared.cache().neighbour(from, frames > 0);
    if let Some(frame) = found.and_then(|kept| shared.hand_out(&kept).ok())
        && shared.take_numbered(posted.number)
    {
        serve(frame.time);
        let (want, exact) = (posted.want, true);
        outbox.send(Reply::Shown { want, frame, exact });
    }
}
