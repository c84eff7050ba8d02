//! What the decoder gave, before it is scaled and coloured; for checks only.
//!
//! A [`Proof`] finds frames by the same code as a [`Film`](crate::Film), on
//! the caller's own thread, and tells each one's time stamp in the container's
//! ticks and the MD5 of its pixels as decoded, in the form in which the
//! `ffmpeg` program writes them with `-f framemd5`.

use std::cell::Cell;
use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::path::Path;
use std::sync::Arc;

use ffmpeg_the_third::frame::Video;

use crate::behind::Stretch;
use crate::cache::Next;
use crate::damage::Flaw;
use crate::error::{FilmError, FilmErrorKind};
use crate::film::Shared;
pub use crate::hardware::Fault;
use crate::hardware::Hardware;
use crate::index;
use crate::libav;
use crate::projector::Projector;
use crate::reader::Reader;
use crate::settings::Settings;
use crate::sound::waveform;
use crate::time::FilmTime;
use crate::worker::guarded;

/// One frame as it came from the decoder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NativeFrame {
    /// When it is presented.
    pub time: FilmTime,
    /// Its time stamp in the container's own ticks.
    pub tick: i64,
    /// MD5 (RFC 1321) of its planes without padding; neither turned nor scaled.
    pub md5: [u8; 16],
}

/// The frames painted so far, by time.
pub(crate) type Prints = BTreeMap<FilmTime, NativeFrame>;

/// The native side of a decoded picture.
pub(crate) fn print(frame: &Video, tick: i64, time: FilmTime) -> NativeFrame {
    NativeFrame {
        time,
        tick,
        md5: libav::native_md5(frame),
    }
}

/// What a frame rested on is, when it is handed out as filmed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rested {
    /// What it was before painting.
    pub frame: NativeFrame,
    /// Whether it was held at full size already.
    pub shelved: bool,
    /// Width and height of the picture handed out, in pixels.
    pub size: (u32, u32),
}

/// An open film that tells what was decoded.
pub struct Proof {
    projector: Projector,
    time_base: (i32, i32),
    stream: usize,
}

impl Proof {
    /// Opens the film at `path`; `cache_bytes` as in
    /// [`Settings::cache_bytes`](crate::Settings::cache_bytes), for frames of
    /// at most 32 pixels a side. Blocks.
    ///
    /// # Errors
    /// Any [`FilmErrorKind`](crate::FilmErrorKind).
    pub fn open(path: &Path, cache_bytes: usize) -> Result<Self, FilmError> {
        Self::open_with(path, cache_bytes, 0, 0, Hardware::Off)
    }

    /// As [`Proof::open`], decoded by one thread: with more, libav may give a
    /// frame out before it has noted there that parts of it are made up.
    ///
    /// # Errors
    /// Any [`FilmErrorKind`](crate::FilmErrorKind).
    pub fn open_single(path: &Path, cache_bytes: usize) -> Result<Self, FilmError> {
        Self::open_with(path, cache_bytes, 0, 1, Hardware::Off)
    }

    /// As [`Proof::open`], and frames as filmed are held beside the small ones,
    /// in a quarter of `cache_bytes` at most.
    ///
    /// # Errors
    /// Any [`FilmErrorKind`](crate::FilmErrorKind).
    pub fn open_shelved(path: &Path, cache_bytes: usize) -> Result<Self, FilmError> {
        Self::open_with(path, cache_bytes, u32::MAX, 0, Hardware::Off)
    }

    /// As [`Proof::open`], as on a machine whose own decoder fails once `after`
    /// packets or frames went well.
    ///
    /// # Errors
    /// Any [`FilmErrorKind`](crate::FilmErrorKind).
    pub fn open_failing(
        path: &Path,
        cache_bytes: usize,
        fault: Fault,
        after: u32,
    ) -> Result<Self, FilmError> {
        Self::open_with(path, cache_bytes, 0, 0, Hardware::Failing { fault, after })
    }

    fn open_with(
        path: &Path,
        cache_bytes: usize,
        full_side: u32,
        threads: usize,
        hardware: Hardware,
    ) -> Result<Self, FilmError> {
        guarded(path, || {
            let (reader, first) = Reader::open_with(path, threads, hardware)?;
            let settings = Settings {
                max_side: 32,
                full_side,
                cache_bytes,
                hardware: false,
            };
            let (stream, time_base) = (reader.stream(), reader.clock().base());
            let shared = Arc::new(Shared::new(cache_bytes));
            let mut projector = Projector::new(reader, first, settings, shared);
            projector.keep_prints();
            Ok(Self {
                projector,
                time_base,
                stream,
            })
        })
    }

    /// Seconds a tick, as numerator and denominator.
    #[must_use]
    pub fn time_base(&self) -> (i32, i32) {
        self.time_base
    }

    /// The number of the stream that is shown.
    #[must_use]
    pub fn stream(&self) -> usize {
        self.stream
    }

    /// Pieces of the film that could not be decoded so far.
    #[must_use]
    pub fn skipped(&self) -> u64 {
        self.projector.skipped()
    }

    /// Where the film is damaged, as far as it was read.
    #[must_use]
    pub fn flaws(&self) -> Vec<Flaw> {
        self.projector.flaws()
    }

    /// Packets read so far whose frames could be left out on the way to
    /// another, had nothing referred to them.
    #[must_use]
    pub fn skimmed(&self) -> u64 {
        self.projector.reader.skimmed()
    }

    /// The frame on screen at `time`.
    ///
    /// # Errors
    /// Any [`FilmErrorKind`](crate::FilmErrorKind).
    pub fn at(&mut self, time: FilmTime) -> Result<Option<NativeFrame>, FilmError> {
        let frame = self.projector.exact(time, &|| true)?;
        Ok(frame.and_then(|frame| self.projector.print_of(frame.time)))
    }

    /// Reads on towards the frame at exactly `time` as making frames ready
    /// does, told to stop once `most` frames were read; whether it came there.
    /// Another call goes on from where this one stopped.
    ///
    /// # Errors
    /// Any [`FilmErrorKind`](crate::FilmErrorKind).
    pub fn ahead(&mut self, time: FilmTime, most: usize) -> Result<bool, FilmError> {
        let read = Cell::new(0);
        let passed = self.projector.ahead(time, &|| {
            read.set(read.get() + 1);
            read.get() < most
        })?;
        Ok(passed.is_some())
    }

    /// Where reading stands: the frame it comes to next.
    #[must_use]
    pub fn stands_before(&self) -> Option<FilmTime> {
        self.projector.held_time()
    }

    /// Seeks, decodes up to the frame on screen at `time` and does no more:
    /// what a jump costs at least.
    ///
    /// # Errors
    /// Any [`FilmErrorKind`](crate::FilmErrorKind).
    pub fn decode_to(&mut self, time: FilmTime) -> Result<(), FilmError> {
        self.projector.decode_to(time)
    }

    /// The frame after the one at exactly `time`; `None` at the end.
    ///
    /// # Errors
    /// Any [`FilmErrorKind`](crate::FilmErrorKind).
    pub fn after(&mut self, time: FilmTime) -> Result<Option<NativeFrame>, FilmError> {
        match self.projector.successor(time, &|| true)? {
            Some(Next::At(next)) => self.at(next),
            _ => Ok(None),
        }
    }

    /// The frame before the one at exactly `time`; `None` at the start.
    ///
    /// # Errors
    /// Any [`FilmErrorKind`](crate::FilmErrorKind).
    pub fn before(&mut self, time: FilmTime) -> Result<Option<NativeFrame>, FilmError> {
        let stretch = Stretch {
            low: time,
            shown: time,
            urgent: true,
        };
        match self.projector.behind(stretch, &|| true)? {
            Some(before) => self.at(before),
            None => Ok(None),
        }
    }

    /// The frame at exactly `time` as it is handed out when a hand that went
    /// back rests on it: full-size frames before it are made ready first.
    ///
    /// # Errors
    /// Any [`FilmErrorKind`](crate::FilmErrorKind).
    pub fn rested(&mut self, time: FilmTime) -> Result<Option<Rested>, FilmError> {
        self.projector.face(time, true);
        while self.projector.restock(&|| true)? {}
        let shelved = self.projector.shelf.get(time).is_some();
        let Some(shown) = self.projector.sharp(time, &|| true)? else {
            return Ok(None);
        };
        let frame = self.projector.print_of(shown.time);
        Ok(frame.map(|frame| Rested {
            frame,
            shelved,
            size: (shown.width, shown.height),
        }))
    }
}

impl std::fmt::Debug for Proof {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Proof").finish_non_exhaustive()
    }
}

/// Opens whatever is at `path` as a film and looks at both ends, some places
/// between, its index and its sound: the body of the fuzz target and of its
/// test.
///
/// # Errors
/// Says what panicked. A film that is refused or that fails is no error.
pub fn chew(path: &Path) -> Result<(), String> {
    let outcome = guarded(path, || {
        let mut proof = Proof::open(path, 1 << 20)?;
        for place in [0, 120_000_000, 320_000_000, 40_000_000] {
            proof.at(FilmTime(place))?;
        }
        if let Some(last) = proof.at(FilmTime::MAX)? {
            proof.before(last.time)?;
            proof.after(last.time)?;
        }
        let length = proof.projector.info().duration;
        proof.at(FilmTime(length.0 / 2))?;
        index::make(path, &|_| true).map(|_| ())
    });
    let heard = waveform(path, None, &mut |_| ControlFlow::Continue(()));
    for outcome in [outcome, heard.map(|_| ())] {
        if let Err(error) = outcome
            && error.kind() == FilmErrorKind::WorkerStopped
        {
            return Err(error.detail().to_owned());
        }
    }
    Ok(())
}

/// The release of the FFmpeg that decodes here, e.g. `5.1.9-0+deb12u1`.
#[must_use]
pub fn ffmpeg_release() -> String {
    libav::release()
}
