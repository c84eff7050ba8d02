//! Finds a place in a film.

use ffmpeg_the_third as av;

use super::{Picture, Place, Reader};
use crate::decoder as decoders;
use crate::error::FilmError;
use crate::libav;
use crate::open;

/// First distance, in seconds, to go further back where a seek came too late.
const FIRST_RETREAT: i64 = 1;
/// Retreats before the start of the film is taken; each is four times the last.
const RETREATS: u32 = 5;

impl Reader {
    /// Goes to a place from which the frame shown at `tick` will be reached by
    /// [`Reader::next`], and gives the first frame found there: at or before
    /// `tick`, or the first of the film. With `skim`, frames on the way to
    /// that tick may be left out as by [`Reader::skim_to`].
    pub(crate) fn seek(
        &mut self,
        tick: i64,
        skim: Option<i64>,
    ) -> Result<Option<Picture>, FilmError> {
        let second = self.clock.second();
        let mut retreat = 0;
        for attempt in 0..=RETREATS {
            let target = tick.saturating_sub(retreat);
            if target <= self.clock.zero() {
                break;
            }
            if let Err(error) = libav::seek_back(&mut self.input, self.stream, target) {
                log::debug!("seeking to tick {target} failed: {error}");
                break;
            }
            self.restart(Place::AFTER_SEEK);
            if let Some(aim) = skim {
                self.skim_to(aim);
            }
            if let Some(picture) = self.next()?
                && picture.tick <= tick
            {
                return Ok(Some(picture));
            }
            retreat = second.saturating_mul(FIRST_RETREAT << (2 * attempt));
        }
        self.rewind()
    }

    /// Goes to the first presented frame and gives it.
    pub(crate) fn rewind(&mut self) -> Result<Option<Picture>, FilmError> {
        if self.seek_first().is_ok() {
            self.restart(Place::START);
            if let Some(picture) = self.next()?
                && picture.tick == self.clock.zero()
            {
                return Ok(Some(picture));
            }
        }
        // Some containers do not lead back to their first frame; a second
        // opening always does.
        self.reopen()?;
        self.next()
    }

    /// Stands before the first frame of the file, as long as it is the same.
    pub(super) fn reopen(&mut self) -> Result<(), FilmError> {
        self.identity.check(&self.path)?;
        let opened = open::open(&self.path)?;
        self.decoder = decoders::open(
            &self.path,
            &opened.input,
            opened.stream,
            self.threads,
            self.hardware,
        )?;
        self.input = opened.input;
        self.debts.forget();
        self.place = Place::START;
        Ok(())
    }

    fn seek_first(&mut self) -> Result<(), av::Error> {
        let flags = self.input.format().flags();
        let by_byte = flags.contains(av::format::Flags::TS_DISCONT)
            && !flags.contains(av::format::Flags::NO_BYTE_SEEK);
        if by_byte {
            libav::seek_first_byte(&mut self.input)
        } else {
            let start = self.start_tick();
            libav::seek_back(&mut self.input, self.stream, start)
        }
    }

    /// At or before every time stamp of the stream.
    fn start_tick(&self) -> i64 {
        let start = self
            .input
            .stream(self.stream)
            .map(|stream| stream.start_time());
        let start = start.filter(|start| *start != av::ffi::AV_NOPTS_VALUE);
        let zero = self.clock.zero();
        // A little earlier still: decoding times lie before presented ones.
        start.unwrap_or(zero).min(zero) - self.clock.second()
    }

    pub(super) fn restart(&mut self, place: Place) {
        self.decoder.flush();
        self.debts.forget();
        self.place = place;
    }

    /// Whether a seek to `tick` would land later than reading stands now, so
    /// that it saves decoding.
    pub(crate) fn seek_saves(&self, tick: i64) -> bool {
        let Some(sent) = self.place.sent else {
            return true;
        };
        match libav::indexed_key(&self.input, self.stream, tick) {
            Some(key) => key > sent,
            None => tick.saturating_sub(sent) > 2 * self.clock.second(),
        }
    }
}
