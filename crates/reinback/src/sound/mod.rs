//! From a film's sound to the loudspeaker: what plays it ([`Speaker`]), how
//! streams follow on each other without clicks ([`mixer`]), the machine's own
//! device ([`device`]) and one that tests drive by hand ([`stand_in`]).
//!
//! **Invariant:** the thread of the device never waits, locks or takes memory; the window's
//! never waits for a device.

pub mod device;
pub mod mixer;
pub mod stand_in;

use reinback_film::sound::SoundStream;

/// What a speaker is doing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SpeakerState {
    /// Not needed for a while; [`Speaker::wake`] opens it.
    #[default]
    Asleep,
    /// Its device is being opened.
    Opening,
    /// It plays so many samples a second.
    Ready(u32),
    /// This machine has no device for sound, or it cannot be used.
    NoDevice,
    /// The device went away while it was in use.
    Lost,
}

/// Plays sound.
pub trait Speaker {
    /// What it is doing.
    fn state(&self) -> SpeakerState;
    /// Opens its device if it is not open; after a loss this looks for one again. Does not wait.
    fn wake(&mut self);
    /// Plays this in place of what it played; its rate must be that of [`SpeakerState::Ready`].
    fn play(&mut self, stream: SoundStream);
    /// How loud, from 0 to 1 times the film's own.
    fn set_gain(&mut self, gain: f32);
}

/// How loud a control at `volume`, 0 to 1, makes it. The square is common practice: the ear
/// hears it as more even than the volume itself.
#[must_use]
pub fn gain(volume: f32) -> f32 {
    let volume = volume.clamp(0.0, 1.0);
    volume * volume
}

/// A machine without a device.
#[derive(Debug)]
pub struct NoSpeaker;

impl Speaker for NoSpeaker {
    fn state(&self) -> SpeakerState {
        SpeakerState::NoDevice
    }

    fn wake(&mut self) {}

    fn play(&mut self, _stream: SoundStream) {}

    fn set_gain(&mut self, _gain: f32) {}
}
