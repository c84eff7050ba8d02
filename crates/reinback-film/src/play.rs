//! Playing: decodes ahead of the film's clock until the cache's share is full.

use crate::cache::Next;
use crate::error::FilmError;
use crate::film::{Reply, Want};
use crate::kept::Kept;
use crate::time::FilmTime;
use crate::worker::Worker;

/// Film seconds decoded ahead at ordinary speed, at most.
const SECONDS_AHEAD: f64 = 10.0;
/// Frames decoded ahead, at most: well below what the cache counts.
const FRAMES_AHEAD: usize = 3000;
/// Pictures a second beyond which playing fast leaves frames out.
const SCREEN_RATE: f64 = 60.0;

/// A stretch decoded for playing.
#[derive(Clone, Copy)]
pub(crate) struct Run {
    /// Where the film was when it was last asked for.
    from: FilmTime,
    /// The last frame decoded.
    head: FilmTime,
    /// What follows it.
    next: Next,
    /// The last frame that was painted.
    painted: FilmTime,
    told_end: bool,
}

impl Worker<'_> {
    /// Answers with the frame at `from` and decodes on from it.
    pub(crate) fn play(
        &mut self,
        number: u64,
        want: Want,
        from: FilmTime,
        speed: f64,
    ) -> Result<(), FilmError> {
        let shared = self.shared;
        let go_on = || !shared.outdated(number);
        // The first picture is owed even where the next Play is here already.
        let still_play = || !shared.outdated_by_other_than_play(number);
        let Some(frame) = self.projector.exact(from, &still_play)? else {
            return Ok(());
        };
        self.shown(want, &frame, true)?;
        let gap = thinning(speed);
        let mut run = self.run_from(&frame, gap);
        if run.next == Next::Unknown {
            // Found while dragging, alone.
            let next = self.projector.successor(run.head, &still_play)?;
            run.next = next.unwrap_or(Next::Unknown);
        }
        // Full-size frames are of no use while playing, and take room.
        self.projector.clear_shelf();
        while go_on() && !self.is_ahead(frame.time, &run, speed) {
            let Next::At(time) = run.next else { break };
            let painted = (time - run.painted).0 >= gap;
            let keep = frame.time..=time;
            let Some(passed) = self.projector.ahead(time, &go_on)? else {
                break;
            };
            if painted {
                self.projector.hold(&passed, &keep)?;
            }
            run.next = passed.next;
            run.head = time;
            if painted {
                run.painted = time;
            }
        }
        if run.next == Next::End && !run.told_end {
            run.told_end = true;
            self.outbox.send(Reply::AtEnd { last: run.head });
        }
        self.run = Some(run);
        Ok(())
    }

    /// The stretch that is being played, or a new one from this frame.
    fn run_from(&self, frame: &Kept, gap: i64) -> Run {
        let from = frame.time;
        let going = self.run.filter(|run| (run.from..=run.head).contains(&from));
        // With frames left out the cache cannot tell how far it goes.
        if let Some(run) = going.filter(|_| gap > 0) {
            return Run { from, ..run };
        }
        let known = self.shared.cache().run_end(from);
        let (head, next) = known.unwrap_or((from, Next::Unknown));
        Run {
            from,
            head,
            next,
            painted: head,
            told_end: going.is_some_and(|run| run.told_end),
        }
    }

    fn is_ahead(&self, from: FilmTime, run: &Run, speed: f64) -> bool {
        let (count, bytes) = self.shared.cache().between(from, run.head);
        let seconds = SECONDS_AHEAD * speed.abs().max(1.0);
        self.is_full(count, bytes)
            || count >= FRAMES_AHEAD
            || (run.head - from).as_secs_f64() >= seconds
    }
}

/// Nanoseconds of film that one screen picture lasts at this speed, less a
/// little, so that a film of just the screen's rate loses nothing.
fn thinning(speed: f64) -> i64 {
    let speed = speed.abs();
    if speed <= 1.0 || !speed.is_finite() {
        return 0;
    }
    FilmTime::from_secs_f64(0.9 * speed / SCREEN_RATE).0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn frames_are_left_out_only_beyond_the_screens_rate() {
        for (speed, rate, expected) in [
            (1.0, 240, false),
            (2.0, 30, false),
            (4.0, 30, true),
            (-4.0, 30, true),
            (2.0, 60, true),
            (f64::NAN, 60, false),
        ] {
            let step = 1_000_000_000 / rate;
            assert_eq!(step < thinning(speed), expected, "{speed} x at {rate}");
        }
    }
}
