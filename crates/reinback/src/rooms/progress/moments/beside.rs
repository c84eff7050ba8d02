//! Two to four marked moments side by side: what is remembered of them, and what keys do.

use egui::Context;
use reinback_film::Settings;
use reinback_yard::{Rein, WordId, Yard};

use super::place::{Lack, Place, World};
use super::screen::Screens;
use super::stills::{Stills, Trouble, Wish};
use crate::command::Command;
use crate::report::moments::{FilmMoment, MomentId, moment_of};
use crate::stage::lap::Lap;
use crate::stage::together::Together;
use crate::stage::{Placed, Screen, Stage};

const SECOND: i64 = 1_000_000_000;

/// The longer side of a picture among two, and among more, in pixels: as large as it is shown, and
/// small enough that four films are decoded in time. Our own choice.
const LARGE: u32 = 960;
const LESS_LARGE: u32 = 720;

/// The commands that mean something while moments are side by side.
pub(super) const COMMANDS: &[Command] = &[
    Command::PlayPause,
    Command::StepForward,
    Command::StepBack,
    Command::SecondForward,
    Command::SecondBack,
    Command::NextMark,
    Command::PreviousMark,
    Command::Slower,
    Command::Faster,
    Command::ToStart,
    Command::ToEnd,
    Command::Repeat,
    Command::Mirror,
    Command::Beside,
    Command::Cancel,
];

/// Moments side by side.
pub(super) struct Beside {
    /// The exercise they are of.
    pub(super) of: WordId,
    pub(super) moments: Vec<FilmMoment>,
    pub(super) together: Together,
    pub(super) screens: Screens,
    /// Whether those on the other rein than the first are shown left for right.
    pub(super) mirrored: bool,
    /// The films as they are open, or why they are not; nothing before they were looked for.
    cast: Option<Vec<Result<Placed, Lack>>>,
    /// They are to be put away.
    closed: bool,
    /// Whether they begin to play as soon as they are open.
    begins: bool,
}

impl Beside {
    /// Side by side from now on, playing; `None` for fewer than two.
    pub(super) fn new(of: WordId, chosen: &[MomentId], world: &World<'_>) -> Option<Self> {
        let now = |id: &MomentId| moment_of(world.yard, &of, *id);
        let moments: Vec<FilmMoment> = chosen.iter().filter_map(now).collect();
        if moments.len() < 2 {
            return None;
        }
        let mut beside = Self {
            together: Together::new([], Lap::new(2 * SECOND, 2 * SECOND)),
            screens: Screens::default(),
            mirrored: false,
            cast: None,
            closed: false,
            begins: true,
            of,
            moments,
        };
        beside.mirrored = (0..beside.moments.len()).any(|at| beside.is_opposite(at));
        beside.together.go(beside.together.lap().start());
        Some(beside)
    }

    /// Puts them away.
    pub(super) fn close(&mut self) {
        self.closed = true;
    }

    /// Whether they are to be put away: asked for, or fewer than two are left.
    pub(super) fn is_done(&self) -> bool {
        self.closed || self.moments.len() < 2
    }

    /// Lets go of the films until the next tick; they stand then.
    pub(super) fn rest(&mut self) {
        self.together.cast([]);
        self.cast = None;
        self.begins = false;
    }

    /// The moments as they are now; those that are gone are left out.
    pub(super) fn follow_yard(&mut self, yard: &Yard) {
        let now = |moment: &FilmMoment| moment_of(yard, &self.of, moment.id);
        let moments: Vec<FilmMoment> = self.moments.iter().filter_map(now).collect();
        if moments != self.moments {
            self.moments = moments;
            self.cast = None;
        }
    }

    /// Moves the films on; the stills by which it is known whether they are the right ones.
    pub(super) fn tick(&mut self, ctx: &Context, world: &World<'_>, stills: &Stills) -> Vec<Wish> {
        let places: Vec<Place> = self
            .moments
            .iter()
            .map(|moment| {
                let found = Place::find(world, moment.id, moment.at);
                found.unwrap_or(Place::None(Lack::NoFilm))
            })
            .collect();
        let film = |place: &Place| {
            let here = place.film()?.clone();
            let still = place.spot().and_then(|spot| stills.get(&spot));
            match still {
                Some(Err(trouble)) => Err(Lack::Trouble(trouble)),
                _ => Ok(here),
            }
        };
        let films: Vec<Result<Placed, Lack>> = places.iter().map(film).collect();
        if self.cast.as_ref() != Some(&films) {
            let plays = std::mem::take(&mut self.begins) || self.together.is_playing();
            let there = films.iter().zip(&self.moments);
            let there = there.filter_map(|(film, moment)| Some((film.clone().ok()?, moment.at)));
            self.together.cast(there.collect::<Vec<_>>());
            self.screens = Screens::default();
            if plays {
                self.together.toggle(world.now);
            }
            self.cast = Some(films);
        }
        let many = self.together.len().max(1);
        let settings = Settings {
            max_side: if many > 2 { LESS_LARGE } else { LARGE },
            full_side: 0,
            cache_bytes: world.settings.cache_bytes / many,
            ..world.settings
        };
        let together = &mut self.together;
        together.tick(world.now, world.services, settings, world.on_ready);
        self.screens.follow(ctx, together);
        if together.is_playing() {
            ctx.request_repaint();
        } else if together.is_waiting() {
            // The worker asks for a frame itself; this only bridges a lost wake-up.
            ctx.request_repaint_after(std::time::Duration::from_millis(200));
        }
        places.iter().filter_map(Place::wish).collect()
    }

    /// Which of the films that run is a moment's, from 0, or why none is; nothing before they are
    /// opened.
    pub(super) fn member(&self, at: usize) -> Result<Option<usize>, Lack> {
        let cast = self.cast.as_deref().unwrap_or_default();
        match cast.get(at) {
            Some(Err(lack)) => return Err(*lack),
            None => return Ok(None),
            Some(Ok(_)) => {}
        }
        let member = cast[..at].iter().filter(|film| film.is_ok()).count();
        match self.together.stage(member).map(Stage::screen) {
            Some(Screen::Failed(error)) => Err(Lack::Trouble(Trouble::of(&error))),
            _ => Ok(Some(member)),
        }
    }

    /// Whether a moment is on the other rein than the first.
    fn is_opposite(&self, at: usize) -> bool {
        let rein = |at: usize| self.moments.get(at).and_then(|moment| moment.rein);
        let other = |rein| match rein {
            Rein::Left => Rein::Right,
            Rein::Right => Rein::Left,
        };
        rein(0).is_some_and(|first| rein(at) == Some(other(first)))
    }

    /// Whether mirroring turns those on the other rein, or, where there is none, all but the
    /// first.
    pub(super) fn has_opposite(&self) -> bool {
        (0..self.moments.len()).any(|at| self.is_opposite(at))
    }

    /// Whether a moment is shown left for right.
    pub(super) fn is_mirrored(&self, at: usize) -> bool {
        let turns = if self.has_opposite() {
            self.is_opposite(at)
        } else {
            at > 0
        };
        self.mirrored && turns
    }

    /// Does what a key asks for; false for one that means nothing here.
    pub(super) fn run(&mut self, command: Command, now: f64) -> bool {
        let together = &mut self.together;
        match command {
            Command::PlayPause => together.toggle(now),
            Command::StepForward => together.step(1),
            Command::StepBack => together.step(-1),
            Command::SecondForward => together.go(together.clock().saturating_add(SECOND)),
            Command::SecondBack => together.go(together.clock().saturating_sub(SECOND)),
            Command::NextMark | Command::PreviousMark => together.go(0),
            Command::Slower => together.change_speed(false),
            Command::Faster => together.change_speed(true),
            Command::ToStart => together.go(together.lap().start()),
            Command::ToEnd => together.go(together.lap().after()),
            Command::Repeat => together.set_repeats(!together.repeats()),
            Command::Mirror => self.mirrored = !self.mirrored,
            Command::Beside | Command::Cancel => self.close(),
            _ => return false,
        }
        true
    }
}
