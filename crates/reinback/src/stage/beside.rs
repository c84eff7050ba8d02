//! A second film beside the one on screen, in step with it.

use std::path::PathBuf;
use std::sync::Arc;

use reinback_film::{Alignment, FilmError, FilmTime, Frame, Want};
use reinback_yard::{Film, Moment};

use super::{Stage, film_time};

/// The film to show beside the ride's own.
#[derive(Clone, Debug, PartialEq)]
pub struct Beside {
    /// As its ride knows it.
    pub film: Film,
    /// Its file.
    pub path: PathBuf,
    /// A moment of this ride.
    pub here: Moment,
    /// The moment of its own ride's clock that is shown with it.
    pub there: Moment,
    /// Seconds of its ride for each of this one; 1 at equal speed.
    pub rate: f64,
}

/// What is seen beside the film on screen.
pub struct SecondPicture {
    /// The picture.
    pub frame: Arc<Frame>,
    /// Its moment, on its own ride's clock.
    pub at: Moment,
    /// Its size as displayed, in pixels.
    pub size: (u32, u32),
    /// From one frame to the next, in nanoseconds of its film.
    pub frame_nanos: i64,
    /// Whether it is not surely what was filmed.
    pub doubtful: bool,
    /// Whether the film had not begun yet, or is over, at the moment that belongs here.
    pub outside: bool,
}

impl Beside {
    /// Which times of the films belong together, where `first` is the one on screen.
    pub(super) fn alignment(&self, first: &Film) -> Alignment {
        let runs = |film: &Film| 1.0 + f64::from(film.drift_ppb) / 1e9;
        Alignment {
            first: FilmTime(first.film_from_ride(self.here)),
            second: FilmTime(self.film.film_from_ride(self.there)),
            rate: self.rate * runs(&self.film) / runs(first),
        }
    }
}

impl Stage {
    /// Shows a film beside the one on screen, moves it against that one, or shows one film again.
    /// The clock stays where it is.
    pub fn set_beside(&mut self, beside: Option<Beside>) {
        if self.beside == beside {
            return;
        }
        let same = |old: &Beside, new: &Beside| old.path == new.path && old.film.id == new.film.id;
        let moved = matches!((&self.beside, &beside), (Some(old), Some(new)) if same(old, new));
        self.beside = beside;
        if moved {
            self.align();
        } else {
            self.clock = self.position();
            self.hush();
            self.reopen();
        }
    }

    /// What is to be seen beside the film on screen, if anything.
    #[must_use]
    pub fn beside(&self) -> Option<&Beside> {
        self.beside.as_ref()
    }

    /// Has both show what belongs together now.
    fn align(&mut self) {
        let clock = self.clock;
        let beside = self.beside.clone();
        if let Some(run) = &mut self.run {
            run.last_renewed = f64::NEG_INFINITY;
        }
        let playing = self.run.is_some();
        let Some(((showing, film), beside)) = self.showing_here().zip(beside) else {
            return;
        };
        let Some(second) = showing.handle.second() else {
            return;
        };
        second.align(beside.alignment(&film));
        if playing {
            return;
        }
        let shown = showing.shown.as_ref().filter(|_| !showing.awaited);
        let at = shown.map_or_else(
            || film_time(&film, clock, showing.info.as_ref()),
            |frame| frame.time,
        );
        showing.wanted = Want::Exact(at);
        showing.handle.want(showing.wanted);
    }

    /// The picture beside the one on screen, once both are there.
    #[must_use]
    pub fn second(&self) -> Option<SecondPicture> {
        let beside = self.beside.as_ref()?;
        let showing = self.showing.as_ref()?;
        let second = showing.handle.second()?;
        let here = showing.shown.as_ref()?.time;
        let frame = second.frame(here)?;
        let info = second.info()?;
        let own = self.films.iter().find(|own| own.film.id == showing.id)?;
        let due = beside.alignment(&own.film).second_at(here);
        Some(SecondPicture {
            at: beside.film.ride_from_film(frame.time.0),
            size: (info.width, info.height),
            frame_nanos: info.frame_length().0,
            doubtful: second.is_doubtful(frame.time),
            outside: due < FilmTime::ZERO || due >= info.duration,
            frame,
        })
    }

    /// Why the film beside the one on screen cannot be shown; then neither is.
    #[must_use]
    pub fn second_error(&self) -> Option<FilmError> {
        self.showing.as_ref()?.handle.second()?.error()
    }
}
