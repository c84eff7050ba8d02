//! A device without sound that is driven by hand: what tests hear with.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use reinback_film::sound::{SoundStream, Stereo};

use super::mixer::{Desk, Gain, Mixer, mixer};
use super::{Speaker, SpeakerState};

struct Inner {
    desk: Desk,
    mixer: Mixer,
    state: SpeakerState,
    plugged: bool,
    rate: u32,
}

/// The application's end of the device.
pub struct StandIn {
    gain: Gain,
    inner: Arc<Mutex<Inner>>,
}

/// The hand that drives it.
#[derive(Clone)]
pub struct Hand(Arc<Mutex<Inner>>);

/// A device of `rate` samples a second, and the hand for it.
#[must_use]
pub fn stand_in(rate: u32) -> (StandIn, Hand) {
    let gain = Gain::default();
    let (desk, mixer) = mixer(rate, gain.clone());
    let inner = Arc::new(Mutex::new(Inner {
        desk,
        mixer,
        state: SpeakerState::Asleep,
        plugged: true,
        rate,
    }));
    let hand = Hand(Arc::clone(&inner));
    (StandIn { gain, inner }, hand)
}

fn lock(inner: &Mutex<Inner>) -> MutexGuard<'_, Inner> {
    inner.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Speaker for StandIn {
    fn state(&self) -> SpeakerState {
        lock(&self.inner).state
    }

    fn wake(&mut self) {
        let mut inner = lock(&self.inner);
        inner.state = if inner.plugged {
            SpeakerState::Ready(inner.rate)
        } else {
            SpeakerState::NoDevice
        };
    }

    fn play(&mut self, stream: SoundStream) {
        lock(&self.inner).desk.play(stream);
    }

    fn set_gain(&mut self, gain: f32) {
        self.gain.set(gain);
    }
}

impl Hand {
    /// Plays so many samples at once: what is heard, and how many of them were a film's.
    #[must_use]
    pub fn play(&self, count: usize) -> (Vec<Stereo>, usize) {
        let mut out = vec![[0.0; 2]; count];
        let mut inner = lock(&self.0);
        let real = match inner.state {
            SpeakerState::Ready(_) => inner.mixer.fill(&mut out, None),
            _ => 0,
        };
        (out, real)
    }

    /// Pulls the plug.
    pub fn lose(&self) {
        let mut inner = lock(&self.0);
        inner.plugged = false;
        inner.state = SpeakerState::Lost;
    }

    /// Puts the plug back.
    pub fn plug(&self) {
        lock(&self.0).plugged = true;
    }
}
