//! Going back: films are decoded forwards only, so whole stretches before the
//! hand are decoded early.
//!
//! Reading goes from a key frame up to what is held already: a *pass*. A group
//! of frames that fits the cache takes one; one that does not takes as many as
//! it holds caches full, each begun when the last is used up.

use crate::cache::MOST_FRAMES;
use crate::error::FilmError;
use crate::projector::{GoOn, Projector};
use crate::time::FilmTime;

/// Passes begin at least this far back, so that films of many key frames are
/// not decoded one frame a pass. Our own choice.
const LEAST: FilmTime = FilmTime(500_000_000);

/// Where going back stands.
#[derive(Default)]
pub(crate) struct Back {
    pass: Option<Pass>,
    /// Where the last pass that had no room yet would have begun.
    waits: Option<Pass>,
    /// Up to where the shelf is being filled. No pass: its frames do not go
    /// into the cache.
    restock: Option<FilmTime>,
}

/// Reading on from `start` until it meets `low`.
#[derive(Clone, Copy, PartialEq)]
struct Pass {
    low: FilmTime,
    start: FilmTime,
}

impl Back {
    /// Reading goes elsewhere.
    pub(crate) fn leave(&mut self) {
        self.pass = None;
        self.restock = None;
    }
}

/// What is asked of a pass.
#[derive(Clone, Copy)]
pub(crate) struct Stretch {
    /// The first frame held already; what comes before it is decoded.
    pub(crate) low: FilmTime,
    /// The frame on screen: from there down to the pass nothing makes room.
    pub(crate) shown: FilmTime,
    /// Whether the frame before `low` is waited for. Where it is not, a pass
    /// whose frames have no room yet is put off.
    pub(crate) urgent: bool,
}

impl Projector {
    /// Decodes the stretch before the frame at exactly `low` into the cache,
    /// its whole group of frames where that fits. Returns the time of the
    /// frame before `low`: `None` at the start of the film, when told to stop
    /// first, or when put off.
    pub(crate) fn behind(
        &mut self,
        stretch: Stretch,
        go_on: GoOn<'_>,
    ) -> Result<Option<FilmTime>, FilmError> {
        let Stretch { low, shown, .. } = stretch;
        if low <= FilmTime::ZERO {
            return Ok(None);
        }
        if let Some(before) = self.shared.cache().before(low) {
            return Ok(Some(before));
        }
        if let Some(before) = self.take_down(low, &(low..=shown.max(low)))? {
            return Ok(Some(before));
        }
        let Some(start) = self.begin(stretch)? else {
            return Ok(None);
        };
        let keep = start..=shown.max(low);
        while let Some(passed) = self.advance()? {
            if passed.time >= low {
                self.back.leave();
                return Ok(None);
            }
            let last = passed.covers(FilmTime(low.0 - 1));
            if last || passed.time >= start {
                self.hold(&passed, &keep)?;
                self.shelve(&passed, &keep);
            }
            if last {
                self.back.leave();
                return Ok(Some(passed.time));
            }
            if !go_on() {
                return Ok(None);
            }
        }
        Err(self.lost(low))
    }

    /// Goes to where the pass begins, or finds that reading is in the middle
    /// of it; from which time on its frames are held.
    fn begin(&mut self, stretch: Stretch) -> Result<Option<FilmTime>, FilmError> {
        let Stretch { low, shown, urgent } = stretch;
        // Frames taken from the shelf meanwhile bring its end nearer.
        let under_way = self.back.pass.filter(|pass| pass.low >= low);
        if let Some(pass) = under_way
            && self.held_time().is_some_and(|held| held < low)
        {
            return Ok(Some(pass.start));
        }
        let room = self.room(low, shown);
        let put_off = self.back.waits.filter(|pass| pass.low == low);
        if let Some(pass) = put_off
            && !urgent
            && self.frames(pass.start, low) > room
        {
            return Ok(None);
        }
        self.approach(FilmTime((low - LEAST).0.max(0)), false)?;
        let Some(mut start) = self.held_time() else {
            return Err(self.lost(low));
        };
        if self.frames(start, low) > room {
            if !urgent {
                self.back.waits = Some(Pass { low, start });
                return Ok(None);
            }
            // Full-size frames give way: fewer passes are worth more.
            self.shelf.clear();
            self.shared.cache().set_aside(0, &(low..=shown));
            let frames = i64::try_from(self.room(low, shown)).unwrap_or(i64::MAX);
            let length = self.info.frame_length().0.saturating_mul(frames.max(1));
            start = start.max(low - FilmTime(length));
        }
        self.shared.count_pass();
        self.back.pass = Some(Pass { low, start });
        Ok(Some(start))
    }

    /// Frames from `start` to `low`, judged by the average.
    fn frames(&self, start: FilmTime, low: FilmTime) -> usize {
        let length = self.info.frame_length().0.max(1);
        usize::try_from((low - start).0 / length).unwrap_or(0)
    }

    /// Frames that the cache can take while it keeps those from `low` to
    /// `shown`.
    fn room(&self, low: FilmTime, shown: FilmTime) -> usize {
        let cache = self.shared.cache();
        let (kept, bytes) = cache.between(low, shown);
        let each = (cache.bytes() / cache.len().max(1)).max(1);
        let left = cache.room().saturating_sub(bytes) / each;
        left.min(MOST_FRAMES.saturating_sub(kept))
    }

    /// Fills the shelf backwards from the hand before it runs out. Whether
    /// there was anything to do.
    pub(crate) fn restock(&mut self, go_on: GoOn<'_>) -> Result<bool, FilmError> {
        let (stock, hand) = (self.shelf.stock(), self.shelf.hand());
        let capacity = self.shelf.capacity();
        let enough = stock.frames > capacity / 2 || stock.first <= FilmTime::ZERO;
        if !self.enlarges() || capacity < 2 || (stock.frames > 0 && enough) {
            return Ok(false);
        }
        // Where the hand's own frame is missing, up to that one.
        let until = if stock.frames == 0 {
            FilmTime(hand.0 + 1)
        } else {
            stock.first
        };
        let under_way = self.back.restock == Some(until);
        if !under_way || self.held_time().is_none_or(|held| held >= until) {
            self.approach(FilmTime((until - LEAST).0.max(0)), false)?;
            self.shared.count_pass();
            self.back.restock = Some(until);
        }
        while let Some(passed) = self.advance()? {
            if passed.time >= until {
                break;
            }
            self.shelve(&passed, &(hand..=hand));
            if passed.covers(FilmTime(until.0 - 1)) {
                break;
            }
            if !go_on() {
                return Ok(true);
            }
        }
        self.back.leave();
        Ok(self.shelf.stock().frames > stock.frames)
    }
}
