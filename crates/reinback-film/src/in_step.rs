//! Two films shown side by side, in step, on the memory of one.
//!
//! The first film leads. The second shows what an [`Alignment`] says belongs to
//! each of its moments, and a picture is told only when both have theirs: the
//! one never runs ahead of the other. Each film keeps a worker of its own.
//!
//! A step is seen through in both before the next begins, so that a held key
//! shows pictures however long one of them has to decode.

use std::collections::VecDeque;
use std::sync::Arc;

use crate::damage::Flaw;
use crate::error::FilmError;
use crate::film::{Film, Reply, Want};
use crate::frame::Frame;
use crate::index::IndexState;
use crate::info::FilmInfo;
use crate::time::FilmTime;

/// Which of the two films.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The one that leads; all times asked for are its own.
    First,
    /// The one that follows.
    Second,
}

impl Side {
    const BOTH: [Self; 2] = [Self::First, Self::Second];
}

/// Which moment of the second film belongs to one of the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alignment {
    /// A moment of the first film.
    pub first: FilmTime,
    /// The moment of the second film that is shown with it.
    pub second: FilmTime,
    /// Seconds of the second film for each of the first: 1 at equal speed.
    /// What is not a number above zero counts as 1.
    pub rate: f64,
}

impl Alignment {
    /// The moment of the second film that belongs to `time` of the first. It
    /// may lie outside the film, which then shows its first or last frame.
    #[must_use]
    pub fn second_at(&self, time: FilmTime) -> FilmTime {
        let since = time - self.first;
        // Whole nanoseconds stay whole where nothing is stretched.
        let more = since.0 as f64 * (self.rate() - 1.0);
        self.second + since + FilmTime(more.round() as i64)
    }

    fn rate(&self) -> f64 {
        if self.rate.is_finite() && self.rate > 0.0 {
            self.rate
        } else {
            1.0
        }
    }
}

/// What two films in step answer.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub enum PairReply {
    /// A film is open; comes once for each that was not open before, before
    /// any of its frames.
    Opened(Side, FilmInfo),
    /// A frame of each, to be shown together.
    Shown {
        /// What they answer.
        want: Want,
        /// The first film's and the second's.
        frames: [Arc<Frame>; 2],
        /// Whether they are the very frames wanted; later ones replace those
        /// that are not.
        exact: bool,
    },
    /// As [`Reply::Sharp`], of one of them, after the frames it belongs to.
    Sharp(Side, Arc<Frame>),
    /// A step of the first film went past its last frame, or playing has
    /// decoded the last frame of this one.
    AtEnd {
        /// Whose end it is.
        side: Side,
        /// Time of that film's last frame.
        last: FilmTime,
    },
    /// A step went before the first film's first frame.
    AtStart,
    /// As [`Reply::Damaged`], of one of them.
    Damaged {
        /// Which is damaged.
        side: Side,
        /// Pieces skipped so far.
        skipped: u64,
        /// Where, as far as is known.
        flaws: Vec<Flaw>,
    },
    /// As [`Reply::Indexed`], of one of them: [`InStep::index`].
    Indexed {
        /// Whose frames are numbered.
        side: Side,
        /// How many there are.
        frames: u64,
    },
    /// One of them cannot be shown, or no longer: nothing is shown in step any
    /// more.
    Failed(Side, FilmError),
}

/// Two open films in step.
#[derive(Debug)]
pub struct InStep {
    films: [Film; 2],
    alignment: Alignment,
    pending: Option<Pending>,
    /// The newest step, while another is seen through.
    next_step: Option<Want>,
    /// Time of the second film's frame shown last.
    second: Option<FilmTime>,
    told: VecDeque<PairReply>,
}

/// A want that both films are answering.
#[derive(Debug)]
struct Pending {
    want: Want,
    /// What each was asked; a step is first seen through by the first film.
    asked: [Option<Want>; 2],
    shown: [Option<(Arc<Frame>, bool)>; 2],
    /// Larger frames that came before both were told.
    sharp: [Option<Arc<Frame>>; 2],
    /// A border that was met, told once both have their frames.
    border: Option<PairReply>,
}

impl InStep {
    /// Puts two films in step. Together they hold at most `cache_bytes` bytes
    /// of pixels from now on, half each.
    #[must_use]
    pub fn new(films: [Film; 2], alignment: Alignment, cache_bytes: usize) -> Self {
        for film in &films {
            film.hold_at_most(cache_bytes / 2);
        }
        Self {
            films,
            alignment,
            pending: None,
            next_step: None,
            second: None,
            told: VecDeque::new(),
        }
    }

    /// The films, each for itself again; [`Film::hold_at_most`] gives them back
    /// their memory. Answers that were not polled are gone.
    #[must_use]
    pub fn into_films(self) -> [Film; 2] {
        self.films
    }

    /// From the next want on, other moments belong together.
    pub fn align(&mut self, alignment: Alignment) {
        self.alignment = alignment;
    }

    /// Which moments belong together.
    #[must_use]
    pub fn alignment(&self) -> Alignment {
        self.alignment
    }

    /// Asks both for their frames, at times of the first film; a step is one of
    /// the first film. An older want that is not answered yet is dropped; a step
    /// waits for one under way, and a newer one takes its place.
    pub fn want(&mut self, want: Want) {
        let step = |want: Want| matches!(want, Want::Step { .. });
        let under_way = |pending: &Pending| step(pending.want) && !pending.is_done();
        if step(want) && self.pending.as_ref().is_some_and(under_way) {
            self.next_step = Some(want);
        } else {
            self.next_step = None;
            self.begin(want);
        }
    }

    fn begin(&mut self, want: Want) {
        let there = |time| self.alignment.second_at(time);
        let follower = match want {
            Want::Exact(time) => Some(Want::Exact(there(time))),
            Want::Near(time) => Some(Want::Near(there(time))),
            Want::Play { from, speed } => Some(Want::Play {
                from: there(from),
                speed: speed * self.alignment.rate(),
            }),
            Want::Step { .. } => None,
        };
        self.pending = Some(Pending {
            want,
            asked: [Some(want), follower],
            shown: [None, None],
            sharp: [None, None],
            border: None,
        });
        self.films[0].want(want);
        if let Some(follower) = follower {
            self.films[1].want(follower);
        }
    }

    /// The next answer, if one is there. Take all of them in each window frame.
    pub fn poll(&mut self) -> Option<PairReply> {
        loop {
            if let Some(reply) = self.told.pop_front() {
                return Some(reply);
            }
            let mut quiet = true;
            for side in Side::BOTH {
                if let Some(reply) = self.films[side as usize].poll() {
                    quiet = false;
                    self.take(side, reply);
                }
            }
            if quiet {
                return None;
            }
        }
    }

    /// The frames on screen at `time` of the first film, if both are in memory
    /// now and known to be the right ones.
    #[must_use]
    pub fn cached(&self, time: FilmTime) -> Option<[Arc<Frame>; 2]> {
        let [first, second] = &self.films;
        let there = self.alignment.second_at(time);
        // Neither is painted for nothing.
        let kept = (first.kept_at(time)?, second.kept_at(there)?);
        Some([first.paint(&kept.0)?, second.paint(&kept.1)?])
    }

    /// The newest frames in memory at or before `time` of the first film, if
    /// both have one. While playing fast, frames between them and `time` may
    /// have been left out; check their distance.
    #[must_use]
    pub fn latest_cached(&self, time: FilmTime) -> Option<[Arc<Frame>; 2]> {
        let [first, second] = &self.films;
        let there = self.alignment.second_at(time);
        Some([first.latest_cached(time)?, second.latest_cached(there)?])
    }

    /// How far numbering the frames of one of them has come.
    #[must_use]
    pub fn index(&self, side: Side) -> IndexState {
        self.films[side as usize].index()
    }

    /// Bytes of pixels that both hold in memory now.
    #[must_use]
    pub fn cache_bytes_used(&self) -> usize {
        self.films.iter().map(Film::cache_bytes_used).sum()
    }

    fn take(&mut self, side: Side, reply: Reply) {
        let told = match reply {
            Reply::Shown { want, frame, exact } => return self.shown(side, want, frame, exact),
            Reply::Opened(info) => PairReply::Opened(side, info),
            Reply::Sharp(frame) => return self.sharp(side, frame),
            Reply::AtEnd { last } if side == Side::First || self.is_playing() => {
                return self.met(side, PairReply::AtEnd { side, last });
            }
            Reply::AtStart if side == Side::First => return self.met(side, PairReply::AtStart),
            Reply::Damaged { skipped, flaws } => PairReply::Damaged {
                side,
                skipped,
                flaws,
            },
            Reply::Indexed { frames } => PairReply::Indexed { side, frames },
            Reply::Failed(error) => {
                self.pending = None;
                self.next_step = None;
                PairReply::Failed(side, error)
            }
            Reply::AtEnd { .. } | Reply::AtStart => return,
        };
        self.told.push_back(told);
    }

    fn is_playing(&self) -> bool {
        let want = self.pending.as_ref().map(|pending| pending.want);
        matches!(want, Some(Want::Play { .. }))
    }

    /// A border comes after the frame that met it; one of an older want, whose
    /// frame is not there, is left out.
    fn met(&mut self, side: Side, border: PairReply) {
        let Some(pending) = &mut self.pending else {
            return;
        };
        if pending.is_done() {
            self.told.push_back(border);
        } else if pending.shown[side as usize].is_some() {
            pending.border = Some(border);
        }
    }

    fn sharp(&mut self, side: Side, frame: Arc<Frame>) {
        match &mut self.pending {
            Some(pending) if !pending.is_done() => pending.sharp[side as usize] = Some(frame),
            _ => self.told.push_back(PairReply::Sharp(side, frame)),
        }
    }

    fn shown(&mut self, side: Side, want: Want, frame: Arc<Frame>, exact: bool) {
        let Some(pending) = &mut self.pending else {
            return;
        };
        if pending.asked[side as usize] != Some(want) {
            return;
        }
        if side == Side::First && pending.asked[1].is_none() {
            let to = self.alignment.second_at(frame.time);
            pending.asked[1] = Some(Want::Exact(to));
            match self.second {
                Some(from) => self.films[1].follow(from, to),
                None => self.films[1].want(Want::Exact(to)),
            }
        }
        pending.shown[side as usize] = Some((frame, exact));
        let [Some((first, sure)), Some((second, also))] = &pending.shown else {
            return;
        };
        let frames = [Arc::clone(first), Arc::clone(second)];
        let exact = *sure && *also;
        self.second = Some(second.time);
        let want = pending.want;
        let sharp = std::mem::take(&mut pending.sharp);
        let border = pending.border.take();
        let held = Side::BOTH.into_iter().zip(sharp);
        let belongs = |side: Side, sharp: &Arc<Frame>| sharp.time == frames[side as usize].time;
        let held: Vec<PairReply> = held
            .filter_map(|(side, sharp)| Some((side, sharp?)))
            .filter(|(side, sharp)| belongs(*side, sharp))
            .map(|(side, sharp)| PairReply::Sharp(side, sharp))
            .collect();
        self.told.push_back(PairReply::Shown {
            want,
            frames,
            exact,
        });
        self.told.extend(held);
        self.told.extend(border);
        if exact && let Some(step) = self.next_step.take() {
            self.begin(step);
        }
    }
}

impl Pending {
    /// Whether both very frames were told.
    fn is_done(&self) -> bool {
        let exact = |shown: &Option<(Arc<Frame>, bool)>| shown.as_ref().is_some_and(|s| s.1);
        self.shown.iter().all(exact)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_that_belong_together() {
        let aligned = |rate| Alignment {
            first: FilmTime(1_000),
            second: FilmTime(5_000),
            rate,
        };
        for (rate, time, expected) in [
            (1.0, 1_000, 5_000),
            (1.0, 0, 4_000),
            (1.0, i64::MAX / 4, i64::MAX / 4 + 4_000),
            (0.5, 2_000, 5_500),
            (2.0, 0, 3_000),
            (0.0, 2_000, 6_000),
            (-1.0, 2_000, 6_000),
            (f64::NAN, 2_000, 6_000),
        ] {
            let found = aligned(rate).second_at(FilmTime(time));
            assert_eq!(found, FilmTime(expected), "{rate} {time}");
        }
    }
}
