//! The sound of the film on screen. While it plays, the clock is what is heard.

use reinback_film::FilmTime;
use reinback_film::sound::{Playhead, Sound, SoundState};
use reinback_yard::{FilmId, Moment};

use super::{Showing, Stage};
use crate::services::{OnReady, Services, SoundHandle};
use crate::sound::{Speaker, SpeakerState};

/// Window seconds without a sample heard after which the picture goes on without sound.
const PATIENCE: f64 = 1.0;
/// Seconds of film by which the picture may be behind the sound before the sound waits for it.
const LAG: f64 = 0.25;

/// The sound of one film.
pub(super) struct Voice {
    film: FilmId,
    handle: Box<dyn SoundHandle>,
    running: Option<Running>,
    /// The device took nothing in this run of the film: no more is tried until the next.
    given_up: bool,
}

/// Sound that plays.
struct Running {
    playhead: Playhead,
    heard: u64,
    /// Window time at which something was heard last.
    heard_last: f64,
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
        self.voice.as_ref().is_some_and(|v| v.running.is_some())
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
        let showing = self.showing.as_ref().filter(sounding).map(|s| s.id);
        if self.voice.as_ref().map(|voice| voice.film) == showing {
            return;
        }
        self.voice = showing.and_then(|film| {
            let placed = self.films.iter().find(|placed| placed.film.id == film)?;
            Some(Voice {
                film,
                handle: services.open_sound(&placed.path, on_ready.clone()),
                running: None,
                given_up: false,
            })
        });
    }

    /// Gives a device that was silent another try: the rider pressed play.
    pub(super) fn try_sound_again(&mut self) {
        if let Some(voice) = &mut self.voice {
            voice.given_up = false;
        }
        self.wake_speaker = Sound::SPEEDS.contains(&self.speed);
    }

    /// The moment that is heard, while sound plays.
    pub(super) fn heard(&mut self, now: f64, speaker: &mut dyn Speaker) -> Option<Moment> {
        if std::mem::take(&mut self.wake_speaker) && self.voice.is_some() {
            speaker.wake();
        }
        let voice = self.voice.as_mut()?;
        let running = voice.running.as_mut()?;
        let heard = running.playhead.heard();
        if heard > running.heard {
            (running.heard, running.heard_last) = (heard, now);
        }
        let there = matches!(speaker.state(), SpeakerState::Ready(_));
        let silent = now - running.heard_last > PATIENCE;
        if !there || silent || running.playhead.is_gone() {
            log::debug!("sound ends after {heard} samples; ready: {there}, silent: {silent}");
            voice.given_up |= there && silent;
            voice.running = None;
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
        if voice.running.is_some() || voice.given_up || !Sound::SPEEDS.contains(&speed) {
            return;
        }
        match speaker.state() {
            SpeakerState::Ready(rate) if matches!(voice.handle.state(), SoundState::Ready) => {
                let (stream, playhead) = voice.handle.play(at, speed, rate);
                speaker.play(stream);
                voice.running = Some(Running {
                    playhead,
                    heard: 0,
                    heard_last: now,
                });
            }
            SpeakerState::Asleep => speaker.wake(),
            _ => {}
        }
    }

    /// The picture for `target` is not there: sound that is well ahead of the clock waits for it.
    pub(super) fn sound_waits(&mut self, target: Moment) {
        let behind = target.0.saturating_sub(self.clock.0) as f64 / 1e9;
        if behind > LAG {
            self.hush();
        }
    }
}
