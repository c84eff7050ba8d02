//! Finds frames and puts them into the cache; knows nothing of the thread.

use std::ops::RangeInclusive;
use std::sync::Arc;

use crate::cache::Next;
use crate::error::{FilmError, FilmErrorKind};
use crate::film::Shared;
use crate::frame::Frame;
use crate::info::FilmInfo;
use crate::open;
use crate::picture::Painter;
use crate::proof::{NativeFrame, Prints, print};
use crate::reader::{Picture, Reader};
use crate::settings::Settings;
use crate::time::FilmTime;

/// Most frames decoded in one go towards the start of the film.
const MOST_BEHIND: i64 = 512;

/// Whether work that takes long is to go on.
pub(crate) type GoOn<'a> = &'a dyn Fn() -> bool;

/// A picture that reading has passed, with what follows it.
struct Passed {
    picture: Picture,
    time: FilmTime,
    next: Next,
}

/// A reader with one frame of look-ahead, and the cache it fills.
///
/// **Invariant**: `held` is the frame that follows the one passed last, so a
/// frame goes into the cache with its successor known.
pub(crate) struct Projector {
    reader: Reader,
    held: Option<Picture>,
    painter: Painter,
    /// Paints the frame that is rested on.
    full: Painter,
    /// The picture found last as such, to be painted again larger.
    found: Option<(FilmTime, Picture)>,
    shared: Arc<Shared>,
    info: FilmInfo,
    cache_bytes: usize,
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
            painter: Painter::new(shape, settings.max_side),
            full: Painter::new(shape, settings.full_side.max(settings.max_side)),
            found: None,
            shared,
            cache_bytes: settings.cache_bytes,
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
    ) -> Result<Option<Arc<Frame>>, FilmError> {
        let time = time.max(FilmTime::ZERO);
        if let Some(frame) = self.shared.cache().shown_at(time) {
            return Ok(Some(frame));
        }
        self.approach(time)?;
        while let Some(passed) = self.advance()? {
            if passed.covers(time) {
                let keep = passed.time..=passed.time;
                let frame = self.hold(&passed, &keep)?;
                self.found = self.enlarges().then_some((passed.time, passed.picture));
                return Ok(Some(frame));
            }
            if !go_on() {
                return Ok(None);
            }
        }
        Err(self.lost(time))
    }

    /// Whether a frame rested on would be larger than one in the cache.
    pub(crate) fn enlarges(&self) -> bool {
        let longer = self.info.width.max(self.info.height);
        longer > self.painter.max_side() && self.full.max_side() > self.painter.max_side()
    }

    /// The frame at exactly `time` as large as it may be, past the cache;
    /// `None` when told to stop first.
    pub(crate) fn sharp(
        &mut self,
        time: FilmTime,
        go_on: GoOn<'_>,
    ) -> Result<Option<Arc<Frame>>, FilmError> {
        if self.found.as_ref().is_none_or(|(found, _)| *found != time) {
            self.found = None;
            self.approach(time)?;
            while let Some(passed) = self.advance()? {
                if passed.covers(time) {
                    self.found = Some((passed.time, passed.picture));
                    break;
                }
                if !go_on() {
                    return Ok(None);
                }
            }
        }
        let Some((found, picture)) = &self.found else {
            return Err(self.lost(time));
        };
        let pixels = paint(&mut self.full, picture, &self.reader)?;
        Ok(Some(Arc::new(Frame {
            time: *found,
            end: None,
            width: pixels.width,
            height: pixels.height,
            rgba: pixels.rgba,
        })))
    }

    /// Seeks and decodes up to the frame at `time`, without painting.
    pub(crate) fn decode_to(&mut self, time: FilmTime) -> Result<(), FilmError> {
        let tick = self.reader.tick(time);
        self.held = self.reader.seek(tick)?;
        while self.held.as_ref().is_some_and(|held| held.tick < tick) {
            self.held = self.reader.next()?;
        }
        Ok(())
    }

    /// Some frame not far before `time` that can be had at once.
    pub(crate) fn near(&mut self, time: FilmTime) -> Result<Option<Arc<Frame>>, FilmError> {
        self.approach(time.max(FilmTime::ZERO))?;
        let Some(held) = &self.held else {
            return Ok(None);
        };
        let frame_time = self.reader.time(held.tick);
        if let Some(frame) = self.shared.cache().learn(frame_time, Next::Unknown) {
            return Ok(Some(frame));
        }
        let pixels = paint(&mut self.painter, held, &self.reader)?;
        let frame = Arc::new(Frame {
            time: frame_time,
            end: Some(frame_time + self.info.frame_length()),
            width: pixels.width,
            height: pixels.height,
            rgba: pixels.rgba,
        });
        let keep = frame_time..=frame_time;
        self.shared.hold(Arc::clone(&frame), Next::Unknown, &keep);
        Ok(Some(frame))
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
        self.approach(time)?;
        while let Some(passed) = self.advance()? {
            if passed.covers(time) {
                self.shared.cache().learn(passed.time, passed.next);
                return Ok(Some(passed.next));
            }
            if !go_on() {
                return Ok(None);
            }
        }
        Err(self.lost(time))
    }

    /// Decodes the stretch before the frame at exactly `time` into the cache,
    /// as much of it as half the cache holds; at least the frame before.
    /// Returns that frame's time: `None` at the start of the film or when told
    /// to stop first. Frames from there up to `shown` make no room.
    pub(crate) fn behind(
        &mut self,
        time: FilmTime,
        shown: FilmTime,
        go_on: GoOn<'_>,
    ) -> Result<Option<FilmTime>, FilmError> {
        if time <= FilmTime::ZERO {
            return Ok(None);
        }
        if let Some(before) = self.shared.cache().before(time) {
            return Ok(Some(before));
        }
        let window = self
            .info
            .frame_length()
            .0
            .saturating_mul(self.frames_behind());
        let start = time - FilmTime(window);
        let keep = start..=shown.max(time);
        self.approach(FilmTime(time.0 - 1))?;
        while let Some(passed) = self.advance()? {
            if passed.time >= time {
                return Ok(None);
            }
            let last = passed.covers(FilmTime(time.0 - 1));
            if last || passed.time >= start {
                self.hold(&passed, &keep)?;
            }
            if last {
                return Ok(Some(passed.time));
            }
            if !go_on() {
                return Ok(None);
            }
        }
        Err(self.lost(time))
    }

    /// Half the cache, in frames.
    fn frames_behind(&self) -> i64 {
        let held = {
            let cache = self.shared.cache();
            cache.bytes() / cache.len().max(1)
        };
        let frames = self.cache_bytes / 2 / held.max(1);
        i64::try_from(frames)
            .unwrap_or(MOST_BEHIND)
            .clamp(1, MOST_BEHIND)
    }

    /// Decodes the frame at exactly `time` into the cache, or only passes it
    /// where it is not to be `shown`; returns what follows it.
    pub(crate) fn ahead(
        &mut self,
        time: FilmTime,
        shown: bool,
        keep: &RangeInclusive<FilmTime>,
    ) -> Result<Next, FilmError> {
        self.approach(time)?;
        while let Some(passed) = self.advance()? {
            if passed.covers(time) {
                if shown {
                    self.hold(&passed, keep)?;
                }
                return Ok(passed.next);
            }
        }
        Err(self.lost(time))
    }

    /// Makes `held` a frame at or before `time` with no better place to start.
    fn approach(&mut self, time: FilmTime) -> Result<(), FilmError> {
        let tick = self.reader.tick(time);
        let near = self.held.as_ref().is_some_and(|held| {
            held.tick == tick || (held.tick < tick && !self.reader.seek_saves(tick))
        });
        if !near {
            self.held = self.reader.seek(tick)?;
        }
        Ok(())
    }

    /// Passes the held frame and reads the one after it.
    fn advance(&mut self) -> Result<Option<Passed>, FilmError> {
        let Some(picture) = self.held.take() else {
            return Ok(None);
        };
        self.held = self.reader.next()?;
        let next = self
            .held
            .as_ref()
            .map_or(Next::End, |held| Next::At(self.reader.time(held.tick)));
        Ok(Some(Passed {
            time: self.reader.time(picture.tick),
            picture,
            next,
        }))
    }

    /// Paints a passed frame into the cache, unless it is there already.
    fn hold(
        &mut self,
        passed: &Passed,
        keep: &RangeInclusive<FilmTime>,
    ) -> Result<Arc<Frame>, FilmError> {
        if let Some(frame) = self.shared.cache().learn(passed.time, passed.next) {
            return Ok(frame);
        }
        let pixels = paint(&mut self.painter, &passed.picture, &self.reader)?;
        if let Some(prints) = &mut self.prints {
            prints.insert(passed.time, print(&passed.picture, passed.time));
        }
        let end = match passed.next {
            Next::At(next) => next,
            Next::Unknown | Next::End => passed.time + self.info.frame_length(),
        };
        let frame = Arc::new(Frame {
            time: passed.time,
            end: Some(end),
            width: pixels.width,
            height: pixels.height,
            rgba: pixels.rgba,
        });
        self.shared.hold(Arc::clone(&frame), passed.next, keep);
        Ok(frame)
    }

    fn lost(&self, time: FilmTime) -> FilmError {
        let detail = format!("no frame found at {} ns", time.0);
        FilmError::new(FilmErrorKind::Damaged, self.reader.path(), detail)
    }
}

impl Passed {
    /// Whether this is the frame on screen at `time`, given that it does not
    /// start later.
    fn covers(&self, time: FilmTime) -> bool {
        match self.next {
            Next::At(next) => time < next,
            Next::End | Next::Unknown => true,
        }
    }
}

/// The pixels of a picture; what cannot be painted is a coding we do not know.
fn paint(
    painter: &mut Painter,
    picture: &Picture,
    reader: &Reader,
) -> Result<crate::picture::Pixels, FilmError> {
    painter.paint(&picture.frame).map_err(|error| {
        FilmError::new(FilmErrorKind::Unsupported, reader.path(), error.to_string())
    })
}
