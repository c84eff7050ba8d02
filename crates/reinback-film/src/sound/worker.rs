//! The handle on a film's sound and the thread behind it.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use super::graph::Graph;
use super::stream::{Feed, stream};
use super::track::Track;
use super::{Playhead, SoundStream, Stereo};
use crate::error::FilmError;
use crate::lock::lock;
use crate::time::FilmTime;

/// How long the thread sleeps while the ring is full: an eighth of what it
/// holds, so that it never runs dry.
const NAP: Duration = Duration::from_millis(50);
/// Samples of silence after the sound's end, at once.
const SILENCE: usize = 1024;

/// What there is to hear of a film.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub enum SoundState {
    /// Being opened.
    #[default]
    Opening,
    /// It can be played.
    Ready,
    /// The film has no sound.
    Absent,
    /// The film has sound, but it cannot be played here.
    Unreadable(FilmError),
}

/// The sound of a film, open or being opened.
///
/// Dropping it tells its thread to stop and does not wait for that.
pub struct Sound {
    shared: Arc<Shared>,
}

#[derive(Default)]
struct Shared {
    job: Mutex<Option<Job>>,
    bell: Condvar,
    stop: AtomicBool,
    state: Mutex<SoundState>,
}

/// Sound wanted from a moment on.
struct Job {
    from: FilmTime,
    speed: f64,
    rate: u32,
    feed: Feed,
}

impl Sound {
    /// The slowest and the fastest play with sound, 1 being life.
    pub const SPEEDS: std::ops::RangeInclusive<f64> = 0.5..=2.0;

    /// Starts opening the sound of the film at `path` and returns at once.
    /// `on_ready` is called from the thread when [`Sound::state`] has changed.
    #[must_use]
    pub fn open(path: impl Into<PathBuf>, on_ready: Arc<dyn Fn() + Send + Sync>) -> Self {
        let shared = Arc::new(Shared::default());
        let (path, inner) = (path.into(), Arc::clone(&shared));
        let body = move || {
            let run = AssertUnwindSafe(|| run(&path, &inner, &*on_ready));
            if catch_unwind(run).is_err() {
                inner.tell(SoundState::Unreadable(stopped(&path)), &*on_ready);
            }
        };
        let thread = thread::Builder::new().name("sound".to_owned()).spawn(body);
        if let Err(error) = thread {
            log::error!("no thread for a film's sound: {error}");
            *lock(&shared.state) = SoundState::Absent;
        }
        Self { shared }
    }

    /// What there is to hear.
    #[must_use]
    pub fn state(&self) -> SoundState {
        lock(&self.shared.state).clone()
    }

    /// Sound from this moment of the film on, `speed` times as fast as life at
    /// the same pitch, `rate` samples a second; a stream given before gets
    /// nothing more. It is decoded while it is played; before the sound is
    /// open nothing comes. Outside [`Sound::SPEEDS`] the stream stays empty and
    /// an earlier one goes on: who plays so fast lets go of it.
    #[must_use]
    pub fn play(&self, from: FilmTime, speed: f64, rate: u32) -> (SoundStream, Playhead) {
        let (feed, stream, playhead) = stream(from, speed, rate);
        if Self::SPEEDS.contains(&speed) && rate > 0 {
            let job = Job {
                from,
                speed,
                rate,
                feed,
            };
            *lock(&self.shared.job) = Some(job);
            self.shared.bell.notify_one();
        }
        (stream, playhead)
    }
}

impl Drop for Sound {
    fn drop(&mut self) {
        self.shared.stop.store(true, Ordering::Release);
        // With the lock, so that a thread about to sleep cannot miss the bell.
        let _job = lock(&self.shared.job);
        self.shared.bell.notify_one();
    }
}

impl std::fmt::Debug for Sound {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Sound").finish_non_exhaustive()
    }
}

impl Shared {
    fn tell(&self, state: SoundState, on_ready: &(dyn Fn() + Send + Sync)) {
        *lock(&self.state) = state;
        if !self.stopped() {
            on_ready();
        }
    }

    fn stopped(&self) -> bool {
        self.stop.load(Ordering::Acquire)
    }

    /// Sleeps until there is something to play; `None` when the handle is gone.
    fn wait(&self) -> Option<Job> {
        let mut job = lock(&self.job);
        loop {
            if self.stopped() {
                return None;
            }
            if let Some(job) = job.take() {
                return Some(job);
            }
            job = self.bell.wait(job).unwrap_or_else(PoisonError::into_inner);
        }
    }

    /// Whether something else is to be done, after a nap at most.
    fn nap(&self) {
        let job = lock(&self.job);
        let nothing = |job: &mut Option<Job>| job.is_none() && !self.stopped();
        drop(self.bell.wait_timeout_while(job, NAP, nothing));
    }

    fn interrupted(&self) -> bool {
        self.stopped() || lock(&self.job).is_some()
    }
}

fn stopped(path: &Path) -> FilmError {
    let kind = crate::error::FilmErrorKind::WorkerStopped;
    FilmError::new(kind, path, "the thread of its sound died")
}

fn run(path: &Path, shared: &Shared, on_ready: &(dyn Fn() + Send + Sync)) {
    let mut track = match Track::open(path, None) {
        Ok(Some(track)) => track,
        Ok(None) => return shared.tell(SoundState::Absent, on_ready),
        Err(error) => return shared.tell(SoundState::Unreadable(error), on_ready),
    };
    let mut block = Vec::new();
    if !track.next(&mut block) {
        let kind = crate::error::FilmErrorKind::Damaged;
        let error = FilmError::new(kind, path, "none of the sound could be decoded");
        return shared.tell(SoundState::Unreadable(error), on_ready);
    }
    shared.tell(SoundState::Ready, on_ready);
    while let Some(job) = shared.wait() {
        play(&mut track, job, shared);
    }
}

/// Fills the stream until something else is to be done.
fn play(track: &mut Track, mut job: Job, shared: &Shared) {
    track.seek(job.from, job.rate);
    let mut tempo = match tempo(&job) {
        Ok(tempo) => tempo,
        Err(error) => {
            log::warn!("no sound at this speed: {error}");
            return;
        }
    };
    let (mut block, mut out) = (Vec::new(), Vec::new());
    while !job.feed.is_over() && !shared.interrupted() {
        if !track.next(&mut block) {
            block.resize(SILENCE, [0.0; 2]);
        }
        let samples = match &mut tempo {
            None => &block,
            Some(graph) => {
                out.clear();
                if let Err(error) = graph.feed_stereo(&block, job.rate) {
                    log::debug!("a piece of sound keeps no tempo: {error}");
                }
                graph.drain(&mut out);
                &out
            }
        };
        push_all(&mut job, samples, shared);
    }
}

/// The filter that keeps the pitch; none at life's own speed.
fn tempo(job: &Job) -> Result<Option<Graph>, ffmpeg_the_third::Error> {
    let ordinary = (job.speed - 1.0).abs() < 1e-6;
    (!ordinary)
        .then(|| Graph::tempo(job.rate, job.speed))
        .transpose()
}

fn push_all(job: &mut Job, samples: &[Stereo], shared: &Shared) {
    let mut rest = samples;
    loop {
        rest = job.feed.push(rest);
        if rest.is_empty() || job.feed.is_over() || shared.interrupted() {
            return;
        }
        shared.nap();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// On a handle without a thread: what is asked for is still there to be seen.
    #[test]
    fn outside_its_speeds_nothing_is_asked_of_the_thread() {
        let shared = Arc::<Shared>::default();
        let sound = Sound {
            shared: Arc::clone(&shared),
        };
        for (speed, rate, wanted) in [
            (0.1, 48_000, false),
            (0.49, 48_000, false),
            (0.5, 48_000, true),
            (1.0, 44_100, true),
            (2.0, 48_000, true),
            (2.01, 48_000, false),
            (4.0, 48_000, false),
            (f64::NAN, 48_000, false),
            (1.0, 0, false),
        ] {
            let (mut stream, _playhead) = sound.play(FilmTime(7), speed, rate);
            let job = lock(&shared.job).take();
            let asked = job.map(|job| (job.from, job.speed, job.rate));
            let expected = wanted.then_some((FilmTime(7), speed, rate));
            assert_eq!(asked, expected, "at {speed}, {rate} samples a second");
            assert_eq!(stream.read(&mut [[0.0; 2]; 100]), 0, "nobody decodes");
        }
    }
}
