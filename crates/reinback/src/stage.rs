//! The films of one ride, played on the ride clock.
//!
//! The clock never runs ahead of the picture: while a frame is not there yet it stands still,
//! so that what is marked is what was seen. While sound plays it follows what is heard; without
//! sound it runs with the window's time.

mod beside;
mod damage;
pub mod lap;
mod led;
mod looking;
mod play;
mod replies;
mod sound;
pub mod together;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use reinback_film::{FilmError, FilmInfo, FilmTime, Frame, FrameIndex, Settings, Want};
use reinback_yard::{Film, FilmId, Moment, Span};

use crate::services::{FilmHandle, OnReady, Services};
use crate::sound::Speaker;
pub use beside::{Beside, SecondPicture};
use damage::Damage;
use looking::Creeping;
pub use looking::{Creep, SHORTEST_REPEAT};
use play::Run;
pub use sound::Hearing;
use sound::Voice;

/// A film and where its file is now.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// As the yard knows it.
    pub film: Film,
    /// The file.
    pub path: PathBuf,
    /// Whether that file holds another film than the one that was marked; then it is not shown.
    pub another: bool,
}

/// What there is to see.
pub enum Screen {
    /// The ride has no film at all.
    NoFilms,
    /// No film covers this moment.
    Gap,
    /// The film is being opened.
    Opening,
    /// Where the film was lies another.
    Another(Placed),
    /// The film cannot be shown.
    Failed(FilmError),
    /// A picture.
    Picture,
}

/// News from the film that the application must act on.
#[derive(Clone, Debug, PartialEq)]
pub enum News {
    /// A film was opened; its length in nanoseconds.
    Length(FilmId, i64),
    /// Some of a film could not be decoded, told once.
    Damaged,
}

/// The slowest and the fastest play.
pub const SPEEDS: [f64; 9] = [0.1, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0];

struct Showing {
    id: FilmId,
    handle: Box<dyn FilmHandle>,
    info: Option<FilmInfo>,
    error: Option<FilmError>,
    shown: Option<Arc<Frame>>,
    /// Frames to step from where, not yet answered.
    steps: Option<(FilmTime, i32)>,
    /// Frames of the step answered last; past the film's end it goes on in the next film.
    stepped: i32,
    /// What was asked for last; an answer to anything else is only shown until this one comes.
    wanted: Want,
    /// Whether the frame for the clock's moment is still to come.
    awaited: bool,
}

/// The films of one ride and the clock they are played on.
pub struct Stage {
    films: Vec<Placed>,
    showing: Option<Showing>,
    clock: Moment,
    run: Option<Run>,
    speed: f64,
    creeping: Option<Creeping>,
    /// Played again and again.
    repeated: Option<Span>,
    /// Shown beside the ride's own film.
    beside: Option<Beside>,
    news: Vec<News>,
    /// Where films could not be decoded, as far as is known.
    damage: BTreeMap<FilmId, Damage>,
    /// End of what is marked, so that a ride without film has a clock too.
    marked_end: Moment,
    /// Grows with every new picture.
    picture: u64,
    voice: Option<Voice>,
    /// Nothing is to be heard of it.
    silent: bool,
    /// Playing has begun, and a device may have to be opened for it.
    wake_speaker: bool,
}

impl Stage {
    /// A stage for these films, at the start of the ride.
    #[must_use]
    pub fn new(films: Vec<Placed>, marked_end: Moment) -> Self {
        let mut stage = Self {
            films: Vec::new(),
            showing: None,
            clock: Moment(0),
            run: None,
            speed: 1.0,
            creeping: None,
            repeated: None,
            beside: None,
            news: Vec::new(),
            damage: BTreeMap::new(),
            marked_end,
            picture: 0,
            voice: None,
            silent: false,
            wake_speaker: false,
        };
        stage.films = films;
        stage.clock = stage.extent().from;
        stage
    }

    /// Follows the yard's films: placed, found again, removed.
    pub fn set_films(&mut self, films: Vec<Placed>, marked_end: Moment) {
        self.marked_end = marked_end;
        if films == self.films {
            return;
        }
        let file = |list: &[Placed], id| {
            list.iter()
                .find(|p| p.film.id == id)
                .map(|p| (p.path.clone(), p.another))
        };
        if let Some(id) = self.showing.as_ref().map(|s| s.id)
            && file(&self.films, id) != file(&films, id)
        {
            self.reopen();
        }
        self.films = films;
    }

    /// Forgets the open film, so that the next tick opens it again.
    pub fn reopen(&mut self) {
        if let Some(showing) = self.showing.take() {
            self.damage.remove(&showing.id);
        }
    }

    /// From the first to the last thing on the clock.
    #[must_use]
    pub fn extent(&self) -> Span {
        let spans = || self.films.iter().map(|placed| self.film_span(placed));
        let from = spans()
            .map(|s| s.from)
            .min()
            .unwrap_or(Moment(0))
            .min(Moment(0));
        let to = spans()
            .map(|s| s.to)
            .max()
            .unwrap_or(Moment(0))
            .max(self.marked_end);
        Span {
            from,
            to: to.max(Moment(from.0.saturating_add(1_000_000_000))),
        }
    }

    fn film_span(&self, placed: &Placed) -> Span {
        let known = self
            .showing
            .as_ref()
            .filter(|s| s.id == placed.film.id)
            .and_then(|s| s.info.as_ref());
        let nanos = known
            .map(|info| info.duration.0)
            .or(placed.film.duration_nanos)
            .unwrap_or(0);
        Span {
            from: placed.film.offset,
            to: placed.film.ride_from_film(nanos),
        }
    }

    /// The clock: the moment of the frame on screen where there is one.
    #[must_use]
    pub fn position(&self) -> Moment {
        let here = self.film_at(self.clock);
        let on_screen = here.and_then(|placed| {
            let showing = self
                .showing
                .as_ref()
                .filter(|s| s.id == placed.film.id && !s.awaited && s.error.is_none())?;
            Some(placed.film.ride_from_film(showing.shown.as_ref()?.time.0))
        });
        on_screen.unwrap_or(self.clock)
    }

    /// Whether the film runs.
    #[must_use]
    pub fn is_playing(&self) -> bool {
        self.run.is_some()
    }

    /// How fast it plays, 1 being life.
    #[must_use]
    pub fn speed(&self) -> f64 {
        self.speed
    }

    /// Sets how fast it plays.
    pub fn set_speed(&mut self, speed: f64) {
        self.speed = speed.clamp(SPEEDS[0], SPEEDS[SPEEDS.len() - 1]);
        self.hush();
        if let Some(run) = &mut self.run {
            run.last_renewed = f64::NEG_INFINITY;
        }
    }

    /// The next speed up or down the scale.
    pub fn change_speed(&mut self, faster: bool) {
        let next = if faster {
            SPEEDS.iter().find(|s| **s > self.speed + 1e-9)
        } else {
            SPEEDS.iter().rev().find(|s| **s < self.speed - 1e-9)
        };
        if let Some(&speed) = next {
            self.set_speed(speed);
        }
    }

    /// Goes to a moment. While `dragging`, a quick frame near it will do at first.
    pub fn seek(&mut self, moment: Moment, dragging: bool) {
        let extent = self.extent();
        self.clock = Moment(moment.0.clamp(extent.from.0, extent.to.0));
        self.hush();
        if let Some(run) = &mut self.run {
            run.last_renewed = f64::NEG_INFINITY;
        }
        let clock = self.clock;
        let Some((showing, film)) = self.showing_here() else {
            return;
        };
        showing.steps = None;
        showing.stepped = 0;
        let at = film_time(&film, clock, showing.info.as_ref());
        if let Some(frame) = showing.handle.cached(at) {
            showing.shown = Some(frame);
            showing.awaited = false;
            self.picture += 1;
        } else {
            showing.awaited = true;
        }
        let wanted = if dragging {
            Want::Near(at)
        } else {
            Want::Exact(at)
        };
        if let Some((showing, _)) = self.showing_here() {
            showing.wanted = wanted;
            showing.handle.want(wanted);
        }
    }

    /// Goes to a moment of a ride that has only just been opened, however long it may be.
    pub fn start_at(&mut self, moment: Moment) {
        self.pause();
        self.marked_end = self.marked_end.max(moment);
        self.seek(moment, false);
    }

    /// Goes so many frames on (or back). Quick presses add up.
    pub fn step(&mut self, frames: i32) {
        self.pause();
        let clock = self.clock;
        let Some((showing, film)) = self.showing_here() else {
            self.seek(
                Moment(clock.0.saturating_add(i64::from(frames) * 40_000_000)),
                false,
            );
            return;
        };
        let here = match (&showing.shown, showing.awaited) {
            (Some(frame), false) => frame.time,
            _ => film_time(&film, clock, showing.info.as_ref()),
        };
        let (from, before) = showing.steps.unwrap_or((here, 0));
        let sum = before.saturating_add(frames);
        showing.steps = Some((from, sum));
        showing.handle.want(Want::Step { from, frames: sum });
    }

    /// What there is to see at the clock's moment.
    #[must_use]
    pub fn screen(&self) -> Screen {
        if self.films.is_empty() {
            return Screen::NoFilms;
        }
        let Some(placed) = self.film_at(self.clock) else {
            return Screen::Gap;
        };
        if placed.another {
            return Screen::Another(placed.clone());
        }
        match self.showing.as_ref().filter(|s| s.id == placed.film.id) {
            Some(Showing {
                error: Some(error), ..
            }) => Screen::Failed(error.clone()),
            Some(Showing { shown: Some(_), .. }) => Screen::Picture,
            _ => Screen::Opening,
        }
    }

    /// The film under the clock.
    #[must_use]
    pub fn current_film(&self) -> Option<&Placed> {
        self.film_at(self.clock)
    }

    /// What is known of the film on screen.
    #[must_use]
    pub fn info(&self) -> Option<&FilmInfo> {
        self.showing.as_ref()?.info.as_ref()
    }

    /// The number of the frame on screen among those of its second of film, from 0, once known.
    #[must_use]
    pub fn frame_of_second(&self) -> Option<u32> {
        let showing = self.showing.as_ref().filter(|showing| !showing.awaited)?;
        showing.handle.frame_of_second(showing.shown.as_ref()?.time)
    }

    /// The film that is open and the times of its frames, once they have been numbered.
    #[must_use]
    pub fn frame_index(&self) -> Option<(FilmId, Arc<FrameIndex>)> {
        let showing = self.showing.as_ref()?;
        Some((showing.id, showing.handle.index()?))
    }

    /// The picture on screen and its number, which grows with every new one.
    #[must_use]
    pub fn picture(&self) -> Option<(u64, &Arc<Frame>)> {
        let frame = self.showing.as_ref()?.shown.as_ref()?;
        Some((self.picture, frame))
    }

    /// Whether a picture is still awaited, so that the window looks again.
    #[must_use]
    pub fn is_waiting(&self) -> bool {
        self.showing.as_ref().is_some_and(|s| {
            s.error.is_none() && (s.awaited || s.steps.is_some() || s.info.is_none())
        })
    }

    /// What happened that the application must act on.
    pub fn take_news(&mut self) -> Vec<News> {
        std::mem::take(&mut self.news)
    }

    /// Moves everything on to `now` (window time in seconds).
    pub fn tick(
        &mut self,
        now: f64,
        services: &dyn Services,
        settings: Settings,
        on_ready: &OnReady,
        speaker: &mut dyn Speaker,
    ) {
        self.open_what_is_due(services, settings, on_ready);
        self.take_replies();
        self.keep_voice(services, on_ready);
        self.creep_on(now);
        self.advance(now, speaker);
        self.open_what_is_due(services, settings, on_ready);
    }

    fn film_at(&self, moment: Moment) -> Option<&Placed> {
        let covers = |placed: &&Placed| {
            let span = self.film_span(placed);
            let unknown = span.from == span.to;
            span.from <= moment && (moment <= span.to || unknown)
        };
        // Where films overlap the one that started last is shown.
        self.films
            .iter()
            .filter(covers)
            .max_by_key(|placed| placed.film.offset)
    }

    fn showing_here(&mut self) -> Option<(&mut Showing, Film)> {
        let film = self.film_at(self.clock)?.film.clone();
        let showing = self
            .showing
            .as_mut()
            .filter(|s| s.id == film.id && s.error.is_none())?;
        Some((showing, film))
    }

    fn open_what_is_due(
        &mut self,
        services: &dyn Services,
        settings: Settings,
        on_ready: &OnReady,
    ) {
        let Some(placed) = self.film_at(self.clock).filter(|placed| !placed.another) else {
            return;
        };
        if self
            .showing
            .as_ref()
            .is_some_and(|s| s.id == placed.film.id)
        {
            return;
        }
        let handle = match &self.beside {
            Some(beside) => services.open_pair(
                [&placed.path, &beside.path],
                beside.alignment(&placed.film),
                settings,
                on_ready.clone(),
            ),
            None => services.open_film(&placed.path, settings, on_ready.clone()),
        };
        let wanted = Want::Exact(film_time(&placed.film, self.clock, None));
        handle.want(wanted);
        self.showing = Some(Showing {
            id: placed.film.id,
            handle,
            info: None,
            error: None,
            shown: None,
            steps: None,
            stepped: 0,
            wanted,
            awaited: true,
        });
        if let Some(run) = &mut self.run {
            run.last_renewed = f64::NEG_INFINITY;
        }
    }
}

/// The film's time at a moment, within the film where its length is known.
fn film_time(film: &Film, moment: Moment, info: Option<&FilmInfo>) -> FilmTime {
    let last = info.map_or(i64::MAX, |info| (info.duration.0 - 1).max(0));
    FilmTime(film.film_from_ride(moment).clamp(0, last))
}

#[cfg(test)]
mod tests;
