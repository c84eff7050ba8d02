//! Finds frames and puts them into the cache; knows nothing of the thread.

use std::ops::RangeInclusive;
use std::sync::Arc;

use ffmpeg_the_third::frame::Video;

use crate::behind::Back;
use crate::cache::{NO_FRAME, Next};
use crate::damage::Flaw;
use crate::error::{FilmError, FilmErrorKind};
use crate::film::Shared;
use crate::frame::Frame;
use crate::info::FilmInfo;
use crate::kept::{Form, Kept, Shrinker};
use crate::open;
use crate::picture::{Negative, Painter};
use crate::proof::{NativeFrame, Prints, print};
use crate::reader::{Picture, Reader};
use crate::settings::Settings;
use crate::shape::Shape;
use crate::shelf::Shelf;
use crate::time::FilmTime;

/// Frames before one jumped to that go onto the shelf: steps back after a jump
/// are answered from there. Fewer than are decoded in full before it.
pub(crate) const BEFORE_JUMP: u32 = 8;
/// The part of the memory that full-size frames may take.
const SHELF_SHARE: usize = 4;

/// Whether work that takes long is to go on.
pub(crate) type GoOn<'a> = &'a dyn Fn() -> bool;

/// A picture that reading has passed, with what follows it.
pub(crate) struct Passed {
    picture: Picture,
    pub(crate) time: FilmTime,
    pub(crate) next: Next,
}

/// What came of reading on to a frame.
enum Found {
    Frame(Passed),
    Stopped,
    /// Reading has passed it.
    Missed,
}

/// A reader with one frame of look-ahead, and the cache it fills.
///
/// **Invariant**: `held` is the frame that follows the one passed last, so a
/// frame goes into the cache with its successor known; where frames between
/// the two may have been skimmed over, it goes in without.
pub(crate) struct Projector {
    pub(crate) reader: Reader,
    held: Option<Picture>,
    shape: Shape,
    shrinker: Shrinker,
    painter: Painter,
    /// The longest side of a frame rested on.
    full_side: u32,
    pub(crate) shelf: Shelf,
    pub(crate) shared: Arc<Shared>,
    pub(crate) info: FilmInfo,
    pub(crate) back: Back,
    /// What was decoded, where a check asked for it.
    prints: Option<Prints>,
}

impl Projector {
    /// From a fresh reader and its first frame.
    pub(crate) fn new(
        reader: Reader,
        first: Picture,
        settings: Settings,
        shared: Arc<Shared>,
    ) -> Self {
        let shape = open::shape(&reader, &first);
        Self {
            info: open::info(&reader, &first, &shape),
            reader,
            held: Some(first),
            shape,
            shrinker: Shrinker::new(shape, settings.max_side),
            painter: Painter::default(),
            full_side: settings.full_side.max(settings.max_side),
            shelf: Shelf::new(settings.cache_bytes / SHELF_SHARE),
            shared,
            back: Back::default(),
            prints: None,
        }
    }

    pub(crate) fn info(&self) -> &FilmInfo {
        &self.info
    }

    /// Pieces of the film that could not be decoded so far.
    pub(crate) fn skipped(&self) -> u64 {
        self.reader.skipped()
    }

    /// A number that has grown if more, or other, damage is known than before.
    pub(crate) fn damage_changes(&self) -> u64 {
        self.reader.damage_changes()
    }

    /// Where the film is damaged so far.
    pub(crate) fn flaws(&self) -> Vec<Flaw> {
        self.reader.flaws()
    }

    /// From now on notes what each painted picture was before painting.
    pub(crate) fn keep_prints(&mut self) {
        self.prints = Some(Prints::new());
    }

    /// What the frame painted for exactly `time` was.
    pub(crate) fn print_of(&self, time: FilmTime) -> Option<NativeFrame> {
        self.prints.as_ref()?.get(&time).copied()
    }

    /// The frame on screen at `time`; `None` when told to stop first.
    pub(crate) fn exact(
        &mut self,
        time: FilmTime,
        go_on: GoOn<'_>,
    ) -> Result<Option<Arc<Kept>>, FilmError> {
        let time = time.max(FilmTime::ZERO);
        if let Some(kept) = self.shared.cache().shown_at(time) {
            return Ok(Some(kept));
        }
        if let Some(kept) = self.copy_shelved(time)? {
            return Ok(Some(kept));
        }
        let Some(passed) = self.find(time, go_on)? else {
            return Ok(None);
        };
        let keep = passed.time..=passed.time;
        self.hold(&passed, &keep).map(Some)
    }

    fn copy_shelved(&mut self, time: FilmTime) -> Result<Option<Arc<Kept>>, FilmError> {
        let Some((time, next, frame)) = self.shelf.shown_at(time) else {
            return Ok(None);
        };
        let form = self.shrinker.shrink(frame);
        let key = frame.is_key();
        note(&mut self.prints, &self.reader, time, frame);
        let form = form.map_err(|error| self.unsupported(error))?;
        Ok(Some(self.keep(time, next, key, form, &(time..=time))))
    }

    /// Whether a frame rested on would be larger than one in the cache.
    pub(crate) fn enlarges(&self) -> bool {
        let longer = self.info.width.max(self.info.height);
        longer > self.shrinker.max_side() && self.full_side > self.shrinker.max_side()
    }

    /// The frame at exactly `time` as large as it may be, past the cache;
    /// `None` when told to stop first.
    pub(crate) fn sharp(
        &mut self,
        time: FilmTime,
        go_on: GoOn<'_>,
    ) -> Result<Option<Arc<Frame>>, FilmError> {
        let found = match self.shelf.get(time) {
            Some(_) => None,
            None => match self.find(time, go_on)? {
                Some(passed) => Some(passed),
                None => return Ok(None),
            },
        };
        let on_shelf = self.shelf.get(time);
        let frame = found
            .as_ref()
            .map(|passed| &passed.picture.frame)
            .or(on_shelf);
        let Some(frame) = frame else {
            return Err(self.lost(time));
        };
        let time = found.as_ref().map_or(time, |passed| passed.time);
        note(&mut self.prints, &self.reader, time, frame);
        let negative = Negative::of(frame, &self.shape, self.full_side);
        let painted = negative.and_then(|negative| self.painter.paint(&negative));
        let pixels = painted.map_err(|error| self.unsupported(error))?;
        Ok(Some(Arc::new(Frame {
            time,
            end: None,
            width: pixels.width,
            height: pixels.height,
            rgba: pixels.rgba,
        })))
    }

    /// Seeks and decodes up to the frame at `time`, without painting.
    pub(crate) fn decode_to(&mut self, time: FilmTime) -> Result<(), FilmError> {
        let tick = self.reader.tick(time);
        self.held = self.reader.seek(tick, None)?;
        while self.held.as_ref().is_some_and(|held| held.tick < tick) {
            self.held = self.reader.next()?;
        }
        Ok(())
    }

    /// Some frame not far before `time` that can be had at once.
    pub(crate) fn near(&mut self, time: FilmTime) -> Result<Option<Arc<Kept>>, FilmError> {
        self.approach(time.max(FilmTime::ZERO), true)?;
        let Some(held) = &self.held else {
            return Ok(None);
        };
        let time = self.reader.time(held.tick);
        if let Some(kept) = self.shared.cache().learn(time, Next::Unknown) {
            return Ok(Some(kept));
        }
        let form = self.shrinker.shrink(&held.frame);
        let key = held.frame.is_key();
        let form = form.map_err(|error| self.unsupported(error))?;
        Ok(Some(self.keep(
            time,
            Next::Unknown,
            key,
            form,
            &(time..=time),
        )))
    }

    /// What follows the frame at exactly `time`, without painting it; `None`
    /// when told to stop first.
    pub(crate) fn successor(
        &mut self,
        time: FilmTime,
        go_on: GoOn<'_>,
    ) -> Result<Option<Next>, FilmError> {
        let known = self.shared.cache().next_of(time);
        if let Some(next @ (Next::At(_) | Next::End)) = known {
            return Ok(Some(next));
        }
        let Some(passed) = self.find(time, go_on)? else {
            return Ok(None);
        };
        self.shared.cache().learn(passed.time, passed.next);
        Ok(Some(passed.next))
    }

    /// Decodes the frame at exactly `time`; `None` when told to stop first.
    /// Where reading stood elsewhere that may be a whole group of frames, and
    /// another call goes on from where this one stopped.
    pub(crate) fn ahead(
        &mut self,
        time: FilmTime,
        go_on: GoOn<'_>,
    ) -> Result<Option<Passed>, FilmError> {
        self.approach(time, false)?;
        while let Some(passed) = self.advance()? {
            if passed.covers(time) {
                return Ok(Some(passed));
            }
            if !go_on() {
                return Ok(None);
            }
        }
        Err(self.lost(time))
    }

    /// Tells where the hand is and whether it goes back.
    pub(crate) fn face(&mut self, hand: FilmTime, back: bool) {
        self.shelf.face(hand, back);
    }

    /// Decodes up to the frame on screen at `time`; `None` when told to stop
    /// first.
    fn find(&mut self, time: FilmTime, go_on: GoOn<'_>) -> Result<Option<Passed>, FilmError> {
        self.shelf.face(time, true);
        self.approach(time, true)?;
        let mut found = self.read_to(time, go_on)?;
        if matches!(found, Found::Missed) && self.skimmed() {
            // It stands further back than the stretch decoded in full.
            self.approach(time, false)?;
            found = self.read_to(time, go_on)?;
        }
        match found {
            Found::Frame(passed) => Ok(Some(passed)),
            Found::Stopped => Ok(None),
            Found::Missed => Err(self.lost(time)),
        }
    }

    fn read_to(&mut self, time: FilmTime, go_on: GoOn<'_>) -> Result<Found, FilmError> {
        let before = self
            .info
            .frame_length()
            .0
            .saturating_mul(i64::from(BEFORE_JUMP));
        let shelved = time - FilmTime(before);
        while let Some(passed) = self.advance()? {
            if passed.time > time && self.skimmed() {
                return Ok(Found::Missed);
            }
            if passed.time >= shelved && passed.next != Next::Unknown {
                self.shelve(&passed, &(time..=time));
            }
            if passed.covers(time) {
                return Ok(Found::Frame(passed));
            }
            if !go_on() {
                return Ok(Found::Stopped);
            }
        }
        Ok(Found::Missed)
    }

    /// Whether frames may be missing in what was read since the last seek.
    fn skimmed(&self) -> bool {
        self.reader.whole_from() > self.reader.clock().zero()
    }

    /// Makes `held` a frame at or before `time` with no better place to start.
    /// With `skim`, frames on the way may be left out, but not the one on
    /// screen at `time`, or reading to it misses.
    pub(crate) fn approach(&mut self, time: FilmTime, skim: bool) -> Result<(), FilmError> {
        self.back.leave();
        let tick = self.reader.tick(time);
        let whole_from = self.reader.whole_from();
        let near = self.held.as_ref().is_some_and(|held| {
            let whole = held.tick >= whole_from || (skim && tick >= whole_from);
            let short = held.tick < tick && !self.reader.seek_saves(tick);
            whole && (held.tick == tick || short)
        });
        // Past the end it is the last frame that is wanted.
        let aim = skim.then(|| self.reader.tick(time.min(self.info.duration)));
        if !near {
            self.held = self.reader.seek(tick, aim)?;
        } else if let Some(aim) = aim {
            self.reader.skim_to(aim);
        } else {
            self.reader.skim_no_more();
        }
        Ok(())
    }

    /// The time of the frame that reading stands before.
    pub(crate) fn held_time(&self) -> Option<FilmTime> {
        self.held.as_ref().map(|held| self.reader.time(held.tick))
    }

    /// Passes the held frame and reads the one after it.
    pub(crate) fn advance(&mut self) -> Result<Option<Passed>, FilmError> {
        let Some(picture) = self.held.take() else {
            return Ok(None);
        };
        self.held = self.reader.next()?;
        let next = match &self.held {
            _ if picture.tick < self.reader.whole_from() => Next::Unknown,
            Some(held) => Next::At(self.reader.time(held.tick)),
            None => Next::End,
        };
        Ok(Some(Passed {
            time: self.reader.time(picture.tick),
            picture,
            next,
        }))
    }

    /// Puts a passed frame into the cache, unless it is there already.
    pub(crate) fn hold(
        &mut self,
        passed: &Passed,
        keep: &RangeInclusive<FilmTime>,
    ) -> Result<Arc<Kept>, FilmError> {
        if let Some(kept) = self.shared.cache().learn(passed.time, passed.next) {
            return Ok(kept);
        }
        let frame = &passed.picture.frame;
        note(&mut self.prints, &self.reader, passed.time, frame);
        let form = self.shrinker.shrink(frame);
        let form = form.map_err(|error| self.unsupported(error))?;
        Ok(self.keep(passed.time, passed.next, frame.is_key(), form, keep))
    }

    /// Puts the frame before the one at exactly `time` from the shelf into the
    /// cache; its time, if it was there.
    pub(crate) fn take_down(
        &mut self,
        time: FilmTime,
        keep: &RangeInclusive<FilmTime>,
    ) -> Result<Option<FilmTime>, FilmError> {
        let Some((before, frame)) = self.shelf.before(time) else {
            return Ok(None);
        };
        let form = self.shrinker.shrink(frame);
        let key = frame.is_key();
        note(&mut self.prints, &self.reader, before, frame);
        let form = form.map_err(|error| self.unsupported(error))?;
        self.keep(before, Next::At(time), key, form, keep);
        Ok(Some(before))
    }

    fn keep(
        &self,
        time: FilmTime,
        next: Next,
        key: bool,
        form: Form,
        keep: &RangeInclusive<FilmTime>,
    ) -> Arc<Kept> {
        let end = match next {
            Next::At(next) => next,
            Next::Unknown | Next::End => time + self.info.frame_length(),
        };
        let end = Some(end);
        let kept = Arc::new(Kept {
            time,
            end,
            key,
            form,
        });
        self.shared.hold(Arc::clone(&kept), next, keep);
        kept
    }

    /// Puts a passed frame onto the shelf, where frames are shown larger than
    /// the cache holds them.
    pub(crate) fn shelve(&mut self, passed: &Passed, keep: &RangeInclusive<FilmTime>) {
        if self.enlarges() {
            self.keep_to_limit();
            self.shelf
                .put(passed.time, passed.next, &passed.picture.frame);
            self.shared.cache().set_aside(self.shelf.bytes(), keep);
        }
    }

    /// Lets go of full-size frames that the limit of memory has no room for any
    /// more.
    pub(crate) fn keep_to_limit(&mut self) {
        let share = self.shared.cache().limit() / SHELF_SHARE;
        if self.shelf.set_limit(share) {
            let bytes = self.shelf.bytes();
            self.shared.cache().set_aside(bytes, &NO_FRAME);
        }
    }

    /// Lets go of the full-size frames; the cache has their room.
    pub(crate) fn clear_shelf(&mut self) {
        self.shelf.clear();
        self.shared.cache().set_aside(0, &NO_FRAME);
    }

    pub(crate) fn lost(&self, time: FilmTime) -> FilmError {
        let detail = format!("no frame found at {} ns", time.0);
        FilmError::new(FilmErrorKind::Damaged, self.reader.path(), detail)
    }

    /// What cannot be painted is a coding we do not know.
    pub(crate) fn unsupported(&self, error: ffmpeg_the_third::Error) -> FilmError {
        let path = self.reader.path();
        FilmError::new(FilmErrorKind::Unsupported, path, error.to_string())
    }
}

/// Notes what a picture was before it was kept or painted, where a check asked for it.
fn note(prints: &mut Option<Prints>, reader: &Reader, time: FilmTime, frame: &Video) {
    if let Some(prints) = prints {
        prints.insert(time, print(frame, reader.tick(time), time));
    }
}

impl Passed {
    /// Whether this is surely the frame on screen at `time`, given that it
    /// does not start later.
    pub(crate) fn covers(&self, time: FilmTime) -> bool {
        match self.next {
            Next::At(next) => time < next,
            Next::End => true,
            Next::Unknown => false,
        }
    }
}
