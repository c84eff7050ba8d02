//! What the device's thread runs: takes the stream of the moment, makes it as loud as asked, and
//! lets one stream fade before the next begins, so that no jump clicks.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::time::Duration;

use reinback_film::sound::{SoundStream, Stereo};
use rtrb::{Consumer, Producer, RingBuffer};

/// From silence to full loudness, in seconds; short enough not to be heard, long enough not to
/// click. Our own choice.
const FADE: f32 = 0.005;
/// Streams on their way at once.
const WAITING: usize = 32;

/// How loud, shared with the device's thread.
#[derive(Clone, Debug, Default)]
pub struct Gain(Arc<AtomicU32>);

impl Gain {
    /// Sets it, 0 to 1.
    pub fn set(&self, gain: f32) {
        let gain = if gain.is_finite() { gain } else { 0.0 };
        self.0
            .store(gain.clamp(0.0, 1.0).to_bits(), Ordering::Relaxed);
    }

    fn get(&self) -> f32 {
        f32::from_bits(self.0.load(Ordering::Relaxed))
    }
}

/// The end that hands streams over.
pub struct Desk {
    inbox: Producer<SoundStream>,
    spent: Consumer<SoundStream>,
    busy: Arc<AtomicBool>,
    rate: u32,
}

impl Desk {
    /// Plays a stream next. The memory of those before is given back here, not on the device's
    /// thread.
    pub fn play(&mut self, stream: SoundStream) {
        while self.spent.pop().is_ok() {}
        if stream.rate() != self.rate {
            log::debug!("a stream of sound was made for another device");
            return;
        }
        self.busy.store(true, Ordering::Relaxed);
        if self.inbox.push(stream).is_err() {
            // The device's thread has not run for the last streams; the window asks again.
            log::debug!("a stream of sound found no place");
        }
    }

    /// Whether anything is being played.
    #[must_use]
    pub fn is_busy(&self) -> bool {
        self.busy.load(Ordering::Relaxed)
    }
}

/// The end on the device's thread.
///
/// **Invariant:** [`Mixer::fill`] does not wait, lock or take memory.
pub struct Mixer {
    inbox: Consumer<SoundStream>,
    spent: Producer<SoundStream>,
    now: Option<SoundStream>,
    next: Option<SoundStream>,
    gain: Gain,
    /// How loud it is at this sample.
    level: f32,
    busy: Arc<AtomicBool>,
    rate: u32,
}

/// Makes both ends, for a device that plays `rate` samples a second.
#[must_use]
pub fn mixer(rate: u32, gain: Gain) -> (Desk, Mixer) {
    let (inbox, streams) = RingBuffer::new(WAITING);
    // Every stream that can be on its way, in hand, or waiting in hand.
    let (back, spent) = RingBuffer::new(2 * WAITING);
    let (busy, rate) = (Arc::<AtomicBool>::default(), rate.max(1));
    let mixer = Mixer {
        inbox: streams,
        spent: back,
        now: None,
        next: None,
        gain,
        level: 0.0,
        busy: Arc::clone(&busy),
        rate,
    };
    let desk = Desk {
        inbox,
        spent,
        busy,
        rate,
    };
    (desk, mixer)
}

impl Mixer {
    /// Fills a buffer of the device whose first sample will be heard after `delay`, or counts as
    /// heard at once without one. Says how many samples were a film's; the others are silence.
    pub fn fill(&mut self, out: &mut [Stereo], delay: Option<Duration>) -> usize {
        while let Ok(stream) = self.inbox.pop() {
            let before = self.next.replace(stream);
            self.retire(before);
        }
        if out.is_empty() {
            return 0;
        }
        let (mut done, mut real) = (0, 0);
        while done < out.len() {
            self.turn();
            let later = Duration::from_secs_f64(done as f64 / f64::from(self.rate));
            let rest = &mut out[done..];
            let (count, films) = self.fill_part(rest, delay.map(|delay| delay + later));
            done += count;
            real += films;
        }
        if self.now.is_none() {
            self.busy.store(false, Ordering::Relaxed);
        }
        real
    }

    /// Once one stream has faded, the next one's turn.
    fn turn(&mut self) {
        let ends = self.now.as_ref().is_none_or(SoundStream::is_over) || self.next.is_some();
        if ends && self.level <= 0.0 {
            let before = self.now.take();
            self.retire(before);
            self.now = self.next.take();
        }
    }

    fn retire(&mut self, stream: Option<SoundStream>) {
        if let Some(stream) = stream
            && let Err(rtrb::PushError::Full(stream)) = self.spent.push(stream)
        {
            // Cannot be: the ring holds more than can be on its way. Giving memory back here
            // might wait.
            std::mem::forget(stream);
        }
    }

    /// Fills the beginning of `out`; how far, and how many samples of it are the film's.
    fn fill_part(&mut self, out: &mut [Stereo], delay: Option<Duration>) -> (usize, usize) {
        let step = 1.0 / (FADE * self.rate as f32).max(1.0);
        let Some(stream) = &mut self.now else {
            out.fill([0.0; 2]);
            self.level = 0.0;
            return (out.len(), 0);
        };
        let fades = stream.is_over() || self.next.is_some();
        let target = if fades { 0.0 } else { self.gain.get() };
        let count = if fades {
            out.len().min(((self.level / step).ceil() as usize).max(1))
        } else {
            out.len()
        };
        let read = stream.read(&mut out[..count]);
        if read > 0 {
            stream.will_be_heard(read, delay);
        }
        for [left, right] in &mut out[..read] {
            self.level = if self.level < target {
                (self.level + step).min(target)
            } else {
                (self.level - step).max(target)
            };
            *left *= self.level;
            *right *= self.level;
        }
        if fades && self.level < step / 2.0 {
            self.level = 0.0;
        }
        if read < count {
            // The film's thread is late: what comes next fades in again.
            out[read..count].fill([0.0; 2]);
            self.level = 0.0;
        }
        (count, read)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use reinback_film::FilmTime;

    const RATE: u32 = 1000;

    fn full() -> (Desk, Mixer) {
        let gain = Gain::default();
        gain.set(1.0);
        mixer(RATE, gain)
    }

    #[test]
    fn a_stream_is_played_from_its_beginning_and_counted() {
        let (mut desk, mut mixer) = full();
        let mut out = [[1.0; 2]; 50];
        assert_eq!(mixer.fill(&mut out, None), 0, "nothing to play");
        let (stream, playhead) = SoundStream::silence(FilmTime::ZERO, 1.0, RATE);
        desk.play(stream);
        assert_eq!(mixer.fill(&mut out, None), 50);
        assert_eq!(playhead.position(), FilmTime(50_000_000));
    }

    #[test]
    fn the_next_stream_begins_when_the_one_before_has_faded() {
        let (mut desk, mut mixer) = full();
        let mut out = [[0.0; 2]; 20];
        let (first, before) = SoundStream::silence(FilmTime::ZERO, 1.0, RATE);
        desk.play(first);
        mixer.fill(&mut out, None);
        let (second, after) = SoundStream::silence(FilmTime(9_000_000_000), 2.0, RATE);
        desk.play(second);
        mixer.fill(&mut out, None);
        // Five milliseconds of fading, at a thousand samples a second.
        assert_eq!((before.heard(), after.heard()), (25, 15));
        assert_eq!(after.position(), FilmTime(9_030_000_000));
    }

    #[test]
    fn a_stream_nobody_wants_ends() {
        let (mut desk, mut mixer) = full();
        let mut out = [[0.0; 2]; 20];
        let (stream, playhead) = SoundStream::silence(FilmTime::ZERO, 1.0, RATE);
        desk.play(stream);
        assert_eq!(mixer.fill(&mut out, None), 20);
        drop(playhead);
        assert_eq!(mixer.fill(&mut out, None), 5);
        assert_eq!(mixer.fill(&mut out, None), 0);
    }

    #[test]
    fn of_many_jumps_the_last_is_heard_and_none_is_left_behind() {
        let (mut desk, mut mixer) = full();
        let mut out = [[0.0; 2]; 20];
        let mut heads = Vec::new();
        for round in 0..10 {
            for _ in 0..20 {
                let (stream, playhead) = SoundStream::silence(FilmTime::ZERO, 1.0, RATE);
                desk.play(stream);
                heads.push(playhead);
            }
            mixer.fill(&mut out, None);
            mixer.fill(&mut out, None);
            let heard = heads.iter().filter(|head| head.heard() > 0).count();
            assert_eq!(heard, round + 1);
            assert!(heads.last().unwrap().heard() > 0);
        }
    }

    #[test]
    fn later_samples_of_a_buffer_are_heard_later() {
        let (mut desk, mut mixer) = full();
        let mut out = [[0.0; 2]; 2000];
        let (stream, playhead) = SoundStream::silence(FilmTime::ZERO, 1.0, RATE);
        desk.play(stream);
        mixer.fill(&mut out, Some(Duration::from_hours(1)));
        assert_eq!(playhead.heard(), 0, "an hour on its way");
    }

    #[test]
    fn what_is_no_number_is_not_loud() {
        let gain = Gain::default();
        for (set, expected) in [(0.5, 0.5), (7.0, 1.0), (-1.0, 0.0), (f32::NAN, 0.0)] {
            gain.set(set);
            assert!((gain.get() - expected).abs() < 1e-9, "{set}");
        }
    }
}
