//! The way of sound from the film's thread to the device that plays it, and
//! the news of what has been heard back to the window.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, OnceLock};
use std::time::{Duration, Instant};

use rtrb::{Consumer, Producer, RingBuffer};

use super::Stereo;
use crate::time::FilmTime;

/// Seconds of sound decoded ahead.
const AHEAD: f64 = 0.4;

/// Sound that is to be played: the end for the device's own thread.
///
/// **Invariant**: no method but dropping it waits, locks or takes memory.
pub struct SoundStream {
    /// `None` for silence without end.
    ring: Option<Consumer<Stereo>>,
    link: Arc<Link>,
    read: u64,
    rate: u32,
}

/// Where the playing of a [`SoundStream`] has come to: the end for the window.
///
/// Dropping it ends the stream.
pub struct Playhead {
    link: Arc<Link>,
    from: FilmTime,
    speed: f64,
    rate: u32,
    /// The most that was told: a device's delay may vary, what was heard stays heard.
    most: AtomicU64,
}

/// The end of the thread that decodes.
pub(crate) struct Feed {
    ring: Producer<Stereo>,
    link: Arc<Link>,
}

/// Makes the three ends of a stream that begins at `from` and plays `speed`
/// times as fast as life, `rate` samples a second.
pub(crate) fn stream(from: FilmTime, speed: f64, rate: u32) -> (Feed, SoundStream, Playhead) {
    let (ring, end) = RingBuffer::new(((f64::from(rate) * AHEAD) as usize).max(1));
    let (stream, playhead) = ends(Some(end), from, speed, rate);
    let link = Arc::clone(&playhead.link);
    (Feed { ring, link }, stream, playhead)
}

fn ends(
    ring: Option<Consumer<Stereo>>,
    from: FilmTime,
    speed: f64,
    rate: u32,
) -> (SoundStream, Playhead) {
    let link = Arc::new(Link::default());
    // The device's thread is not the one to start the clock.
    epoch();
    let stream = SoundStream {
        ring,
        link: Arc::clone(&link),
        read: 0,
        rate,
    };
    let playhead = Playhead {
        link,
        from,
        speed,
        rate: rate.max(1),
        most: AtomicU64::new(0),
    };
    (stream, playhead)
}

impl SoundStream {
    /// Silence without end, where a film is stood in for.
    #[must_use]
    pub fn silence(from: FilmTime, speed: f64, rate: u32) -> (Self, Playhead) {
        ends(None, from, speed, rate)
    }

    /// Takes the next samples, left and right, and says how many: fewer than
    /// asked for where the film's thread is late.
    pub fn read(&mut self, out: &mut [Stereo]) -> usize {
        let count = if let Some(ring) = &mut self.ring {
            let (taken, _rest) = ring.pop_partial_slice(out);
            taken.len()
        } else {
            out.fill([0.0; 2]);
            out.len()
        };
        self.read += count as u64;
        count
    }

    /// Samples a second.
    #[must_use]
    pub fn rate(&self) -> u32 {
        self.rate
    }

    /// Tells that the `count` samples read last will be heard one after the
    /// other, the first of them in `delay` from now; `None` where they count
    /// as heard already.
    pub fn will_be_heard(&self, count: usize, delay: Option<Duration>) {
        let count = (count as u64).min(self.read);
        let at = delay.map_or(ALREADY, |delay| nanos(Instant::now() + delay));
        self.link.meter.set(self.read - count, count, at);
    }

    /// Whether nobody wants to hear it any more.
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.link.over.load(Ordering::Acquire)
    }
}

impl Drop for SoundStream {
    fn drop(&mut self) {
        self.link.gone.store(true, Ordering::Release);
    }
}

impl Playhead {
    /// Whether the device has let go of the stream: nothing more will be heard.
    #[must_use]
    pub fn is_gone(&self) -> bool {
        self.link.gone.load(Ordering::Acquire)
    }

    /// Samples the device has taken by now; they may still be on their way.
    #[must_use]
    pub fn taken(&self) -> u64 {
        let (before, count, _) = self.link.meter.get();
        before + count
    }

    /// Samples heard by now; never fewer than told before.
    #[must_use]
    pub fn heard(&self) -> u64 {
        let now = self.link.meter.heard(self.rate);
        self.most.fetch_max(now, Ordering::Relaxed).max(now)
    }

    /// The moment of the film that is heard now.
    #[must_use]
    pub fn position(&self) -> FilmTime {
        let seconds = self.heard() as f64 / f64::from(self.rate);
        self.from + FilmTime::from_secs_f64(seconds * self.speed)
    }
}

impl Drop for Playhead {
    fn drop(&mut self) {
        self.link.over.store(true, Ordering::Release);
    }
}

impl std::fmt::Debug for SoundStream {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("SoundStream").finish_non_exhaustive()
    }
}

impl std::fmt::Debug for Playhead {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Playhead").finish_non_exhaustive()
    }
}

impl Feed {
    /// Puts samples in as far as there is room; gives back the rest.
    pub(crate) fn push<'a>(&mut self, samples: &'a [Stereo]) -> &'a [Stereo] {
        self.ring.push_partial_slice(samples).1
    }

    /// Whether nobody waits at the other end.
    pub(crate) fn is_over(&self) -> bool {
        self.ring.is_abandoned() || self.link.over.load(Ordering::Acquire)
    }
}

/// What the ends share.
#[derive(Default)]
struct Link {
    /// The window wants no more.
    over: AtomicBool,
    /// The device has let go.
    gone: AtomicBool,
    meter: Meter,
}

/// A moment that means "heard already".
const ALREADY: u64 = u64::MAX;

/// Which samples are heard when. One thread writes and never waits; readers
/// look again where they met a change: the number is odd while one is made.
#[derive(Default)]
struct Meter {
    change: AtomicU64,
    /// Samples before the last buffer.
    before: AtomicU64,
    /// Samples in the last buffer.
    count: AtomicU64,
    /// When the first of them is heard, in nanoseconds of [`epoch`].
    at: AtomicU64,
}

impl Meter {
    fn set(&self, before: u64, count: u64, at: u64) {
        let order = Ordering::SeqCst;
        self.change.fetch_add(1, order);
        self.before.store(before, order);
        self.count.store(count, order);
        self.at.store(at, order);
        self.change.fetch_add(1, order);
    }

    fn get(&self) -> (u64, u64, u64) {
        let order = Ordering::SeqCst;
        loop {
            let change = self.change.load(order);
            let found = (
                self.before.load(order),
                self.count.load(order),
                self.at.load(order),
            );
            if change.is_multiple_of(2) && self.change.load(order) == change {
                return found;
            }
            std::hint::spin_loop();
        }
    }

    fn heard(&self, rate: u32) -> u64 {
        let (before, count, at) = self.get();
        if at == ALREADY {
            return before + count;
        }
        heard_at(before, count, at, nanos(Instant::now()), rate)
    }
}

/// Samples heard at `now` where `count` of them, after `before` others, are
/// heard from `at` on; both in nanoseconds.
fn heard_at(before: u64, count: u64, at: u64, now: u64, rate: u32) -> u64 {
    let samples = |nanos: u64| {
        u64::try_from(u128::from(nanos) * u128::from(rate) / 1_000_000_000).unwrap_or(u64::MAX)
    };
    match now.checked_sub(at) {
        Some(since) => before + samples(since).min(count),
        // Those before it are still on their way.
        None => before.saturating_sub(samples(at - now)),
    }
}

fn epoch() -> Instant {
    static EPOCH: OnceLock<Instant> = OnceLock::new();
    *EPOCH.get_or_init(Instant::now)
}

fn nanos(at: Instant) -> u64 {
    u64::try_from(at.saturating_duration_since(epoch()).as_nanos()).unwrap_or(ALREADY - 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn samples_are_heard_one_after_the_other_and_never_ahead() {
        // A buffer of 480 samples after 4800, at 48 000 a second: from 1.0 s.
        for (now_ms, expected) in [
            (1000, 4800),
            (1005, 5040),
            (1010, 5280),
            (1500, 5280),
            (990, 4320),
            (0, 0),
        ] {
            let heard = heard_at(4800, 480, 1_000_000_000, now_ms * 1_000_000, 48_000);
            assert_eq!(heard, expected, "{now_ms} ms");
        }
    }

    #[test]
    fn a_playhead_counts_what_was_heard_times_the_speed() {
        let (mut stream, playhead) = SoundStream::silence(FilmTime(2_000_000_000), 0.5, 1000);
        assert_eq!(playhead.position(), FilmTime(2_000_000_000));
        let mut out = [[1.0; 2]; 300];
        for expected in [2_150_000_000, 2_300_000_000] {
            assert_eq!(stream.read(&mut out), 300);
            stream.will_be_heard(300, None);
            assert_eq!(playhead.position(), FilmTime(expected));
        }
        assert!(out.iter().flatten().all(|value| value.abs() < 1e-9));
        stream.will_be_heard(300, Some(Duration::from_hours(1)));
        assert_eq!(playhead.heard(), 600, "what was heard stays heard");
        let (mut stream, playhead) = SoundStream::silence(FilmTime::ZERO, 1.0, 1000);
        stream.read(&mut out);
        stream.will_be_heard(300, Some(Duration::from_hours(1)));
        assert_eq!(playhead.heard(), 0, "an hour on its way");
        assert_eq!(playhead.taken(), 300);
    }

    #[test]
    fn each_end_learns_that_another_is_gone() {
        let (mut feed, stream, playhead) = stream(FilmTime::ZERO, 1.0, 1000);
        let many = [[0.5; 2]; 1000];
        assert_eq!(feed.push(&many).len(), 600, "0.4 s fit");
        assert!(!stream.is_over() && !feed.is_over());
        drop(playhead);
        assert!(stream.is_over() && feed.is_over());
        let (feed, stream, playhead) = super::stream(FilmTime::ZERO, 1.0, 1000);
        assert!(!playhead.is_gone());
        drop(stream);
        assert!(feed.is_over() && playhead.is_gone());
    }
}
