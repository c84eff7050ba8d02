//! The sound of the film on screen. While it plays, the clock is what is heard.

use reinback_film::FilmTime;
use reinback_film::sound::{Playhead, Sound, SoundState};
use reinback_yard::{FilmId, Moment};

use super::{Showing, Stage};
use crate::services::{OnReady, Services, SoundHandle};
use crate::sound::{Speaker, SpeakerState};

/// Window seconds without a sample taken after which the picture goes on without sound: a
/// loudspeaker without a wire may need a second and more to wake. Our own choice.
const PATIENCE: f64 = 0.5;
/// Seconds of film by which the picture may be behind the sound before the sound waits for it.
const LAG: f64 = 0.25;

/// The sound of one film.
pub(super) struct Voice {
    film: FilmId,
    handle: Box<dyn SoundHandle>,
    running: Option<Running>,
}

/// Sound that plays.
struct Running {
    playhead: Playhead,
    taken: u64,
    /// Window time at which the device took something last.
    taken_last: f64,
    /// Whether the clock follows it; not while the device takes nothing.
    leads: bool,
}

/// What the rider can be told of the sound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hearing {
    /// No film is on screen.
    NoFilm,
    /// The film has no sound.
    NoSound,
    /// Its sound cannot be decoded.
    Unreadable,
    /// This machine has no device for sound.
    NoDevice,
    /// The device went away.
    Lost,
    /// The film plays slower or faster than sound is played.
    OutOfSpeed,
    /// There is sound, or will be.
    Sound,
}

impl Stage {
    /// What can be heard of the film on screen.
    #[must_use]
    pub fn hearing(&self, speaker: SpeakerState) -> Hearing {
        let Some(info) = self.showing.as_ref().and_then(|s| s.info.as_ref()) else {
            return Hearing::NoFilm;
        };
        let state = self.voice.as_ref().map(|voice| voice.handle.state());
        match (state, speaker) {
            _ if !info.has_sound => Hearing::NoSound,
            (Some(SoundState::Absent), _) => Hearing::NoSound,
            (Some(SoundState::Unreadable(_)), _) => Hearing::Unreadable,
            (_, SpeakerState::NoDevice) => Hearing::NoDevice,
            (_, SpeakerState::Lost) => Hearing::Lost,
            _ if !Sound::SPEEDS.contains(&self.speed) => Hearing::OutOfSpeed,
            _ => Hearing::Sound,
        }
    }

    /// Whether the clock follows what is heard, for tests.
    #[must_use]
    pub fn follows_sound(&self) -> bool {
        let running = self.voice.as_ref().and_then(|v| v.running.as_ref());
        running.is_some_and(|running| running.leads)
    }

    /// Ends what is heard at once; playing begins it again.
    pub(super) fn hush(&mut self) {
        if let Some(voice) = &mut self.voice {
            voice.running = None;
        }
    }

    /// Opens the sound of the film on screen, once its picture is there, and lets go of another's.
    pub(super) fn keep_voice(&mut self, services: &dyn Services, on_ready: &OnReady) {
        let sounding = |s: &&Showing| {
            s.error.is_none() && s.shown.is_some() && s.info.as_ref().is_some_and(|i| i.has_sound)
        };
        let showing = self.showing.as_ref().filter(|_| !self.silent);
        let showing = showing.filter(sounding).map(|s| s.id);
        if self.voice.as_ref().map(|voice| voice.film) == showing {
            return;
        }
        self.voice = showing.and_then(|film| {
            let placed = self.films.iter().find(|placed| placed.film.id == film)?;
            Some(Voice {
                film,
                handle: services.open_sound(&placed.path, on_ready.clone()),
                running: None,
            })
        });
    }

    /// The rider pressed play: a device that is asleep or was lost gets a try.
    pub(super) fn try_sound_again(&mut self) {
        self.wake_speaker = Sound::SPEEDS.contains(&self.speed);
    }

    /// The moment that is heard, while sound plays.
    pub(super) fn heard(&mut self, now: f64, speaker: &mut dyn Speaker) -> Option<Moment> {
        if std::mem::take(&mut self.wake_speaker) && self.voice.is_some() {
            speaker.wake();
        }
        let voice = self.voice.as_mut()?;
        let running = voice.running.as_mut()?;
        let taken = running.playhead.taken();
        let woken = taken > running.taken && !running.leads;
        if taken > running.taken {
            (running.taken, running.taken_last) = (taken, now);
        }
        running.leads &= now - running.taken_last <= PATIENCE;
        let there = matches!(speaker.state(), SpeakerState::Ready(_));
        if !there || woken || running.playhead.is_gone() {
            log::debug!("sound ends after {taken} samples; there: {there}, woken: {woken}");
            // Where the device is there, it begins again with the picture of now.
            voice.running = None;
            return None;
        }
        if !running.leads {
            return None;
        }
        let film = voice.film;
        let position = running.playhead.position();
        let placed = self.films.iter().find(|placed| placed.film.id == film)?;
        Some(placed.film.ride_from_film(position.0))
    }

    /// The picture for `target` is there: sound may begin with it.
    pub(super) fn sound_from(
        &mut self,
        film: FilmId,
        at: FilmTime,
        now: f64,
        speaker: &mut dyn Speaker,
    ) {
        let speed = self.speed;
        let Some(voice) = self.voice.as_mut().filter(|voice| voice.film == film) else {
            return;
        };
        if voice.running.is_some() || !Sound::SPEEDS.contains(&speed) {
            return;
        }
        match speaker.state() {
            SpeakerState::Ready(rate) if matches!(voice.handle.state(), SoundState::Ready) => {
                let (stream, playhead) = voice.handle.play(at, speed, rate);
                speaker.play(stream);
                voice.running = Some(Running {
                    playhead,
                    taken: 0,
                    taken_last: now,
                    leads: true,
                });
            }
            SpeakerState::Asleep => speaker.wake(),
            _ => {}
        }
    }

    /// The picture for `target` is not there: sound that is well ahead of the clock waits for it.
    pub(super) fn sound_waits(&mut self, target: Moment) {
        if !self.follows_sound() {
            return;
        }
        let behind = target.0.saturating_sub(self.clock.0) as f64 / 1e9;
        if behind > LAG {
            self.hush();
        }
    }
}
