//! Lays a film's sound on the film's clock: stereo samples without holes or
//! overlaps, sample 0 being heard with the first presented frame.

use std::path::Path;

use crate::error::FilmError;
use crate::time::FilmTime;

use super::graph::{Graph, Shape};
use super::source::{Heard, Source};
use super::{Stereo, signed};

/// A time stamp may be off by this much before silence is put in or samples
/// are left out: more than the rounding of any container's ticks (Matroska's
/// are a millisecond), less than a third of a frame at 60 a second. Our own
/// choice.
const SLACK: i64 = 5_000_000;
/// Samples of silence given out at once.
const BLOCK: usize = 1024;

/// The sound of one film, read from any moment on.
///
/// **Invariant**: between two seeks, the samples of [`Track::next`] follow on
/// each other on the film's clock; where the film has no sound they are zero.
pub(crate) struct Track {
    source: Source,
    rate: u32,
    chain: Option<(Shape, Graph)>,
    run: Option<Run>,
    /// Number of the next sample to put into `ready`.
    cursor: i64,
    /// Samples to leave out, because others stand at their time already.
    skip: i64,
    ready: Vec<Stereo>,
    /// Samples of silence after `ready`.
    silence: i64,
    /// A piece that waits until what stands before it has been given out.
    held: Option<Heard>,
    over: bool,
}

/// Pieces that follow on each other.
struct Run {
    from: FilmTime,
    samples: i64,
    rate: u32,
}

impl Run {
    fn end(&self) -> FilmTime {
        let nanos = i128::from(self.samples) * 1_000_000_000 / i128::from(self.rate);
        self.from + FilmTime(i64::try_from(nanos).unwrap_or(i64::MAX))
    }
}

impl Track {
    /// Opens the sound of the film at `path`, at the film's start; `None`
    /// where it has none. Without `rate` at the film's own.
    pub(crate) fn open(path: &Path, rate: Option<u32>) -> Result<Option<Self>, FilmError> {
        let Some(source) = Source::open(path)? else {
            return Ok(None);
        };
        Ok(Some(Self {
            rate: rate.unwrap_or(source.rate()).max(1),
            source,
            chain: None,
            run: None,
            cursor: 0,
            skip: 0,
            ready: Vec::new(),
            silence: 0,
            held: None,
            over: false,
        }))
    }

    /// Samples a second.
    pub(crate) fn rate(&self) -> u32 {
        self.rate
    }

    /// Length of the picture.
    pub(crate) fn length(&self) -> FilmTime {
        self.source.length()
    }

    /// Goes on from `to`, at `rate`.
    pub(crate) fn seek(&mut self, to: FilmTime, rate: u32) {
        self.rate = rate.max(1);
        (self.chain, self.run) = (None, None);
        self.ready.clear();
        (self.skip, self.silence) = (0, 0);
        self.cursor = self.number(to);
        self.held = self.source.seek(to);
        self.over = self.held.is_none();
    }

    /// The number of the sample nearest to a moment.
    fn number(&self, time: FilmTime) -> i64 {
        let half = 500_000_000;
        let scaled = (i128::from(time.0) * i128::from(self.rate) + half).div_euclid(1_000_000_000);
        i64::try_from(scaled).unwrap_or(i64::MAX)
    }

    /// Takes the silence that comes next, at most so many samples; 0 where sound does.
    pub(crate) fn take_silence(&mut self, most: i64) -> i64 {
        if !self.ready.is_empty() {
            return 0;
        }
        let count = self.silence.min(most.max(0));
        self.silence -= count;
        count
    }

    /// Puts the next samples into `block`, some thousands at most; `false`
    /// where the sound has ended.
    pub(crate) fn next(&mut self, block: &mut Vec<Stereo>) -> bool {
        block.clear();
        loop {
            if !self.ready.is_empty() {
                std::mem::swap(block, &mut self.ready);
                return true;
            }
            if self.silence > 0 {
                let count = usize::try_from(self.silence).map_or(BLOCK, |left| left.min(BLOCK));
                self.silence -= signed(count);
                block.resize(count, [0.0; 2]);
                return true;
            }
            if self.over {
                return false;
            }
            if let Some(heard) = self.held.take().or_else(|| self.source.next()) {
                self.take(heard);
            } else {
                self.finish();
                self.over = true;
            }
        }
    }

    fn take(&mut self, heard: Heard) {
        let shape = Shape::of(&heard.frame);
        let goes_on = self.run.as_ref().is_some_and(|run| {
            heard
                .at
                .is_none_or(|at| (at.0.saturating_sub(run.end().0)).abs() <= SLACK)
        }) && self
            .chain
            .as_ref()
            .is_some_and(|(before, _)| *before == shape);
        if !goes_on {
            self.finish();
            self.begin(&heard, shape);
            if self.silence > 0 {
                self.held = Some(heard);
                return;
            }
        }
        if let (Some(run), Some((_, chain))) = (&mut self.run, &mut self.chain) {
            run.samples += signed(heard.frame.samples());
            if let Err(error) = chain.feed(&heard.frame) {
                log::debug!("a piece of sound is left out: {error}");
            }
        }
        self.drain();
    }

    /// Starts a run of pieces with this one.
    fn begin(&mut self, heard: &Heard, shape: Shape) {
        let place = heard.at.map_or(self.cursor, |at| self.number(at));
        self.silence = place.saturating_sub(self.cursor).max(0);
        self.skip = self.cursor.saturating_sub(place).max(0);
        self.cursor = self.cursor.max(place);
        self.run = Some(Run {
            from: heard.at.unwrap_or_default(),
            samples: 0,
            rate: shape.rate(),
        });
        self.chain = match Graph::to_stereo(&shape, self.rate) {
            Ok(graph) => Some((shape, graph)),
            Err(error) => {
                log::debug!("sound of this shape cannot be brought to stereo: {error}");
                None
            }
        };
    }

    /// Ends the run of pieces.
    fn finish(&mut self) {
        if let Some((_, chain)) = &mut self.chain {
            chain.finish();
        }
        self.drain();
        (self.chain, self.run) = (None, None);
    }

    fn drain(&mut self) {
        let Some((_, chain)) = &mut self.chain else {
            return;
        };
        let before = self.ready.len();
        chain.drain(&mut self.ready);
        let came = self.ready.len() - before;
        let left_out = usize::try_from(self.skip).map_or(came, |skip| skip.min(came));
        self.ready.drain(before..before + left_out);
        self.skip -= signed(left_out);
        self.cursor += signed(came - left_out);
    }
}
