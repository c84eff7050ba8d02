//! The wall of pictures: what it remembers, and what it has made ready.

use std::collections::BTreeMap;

use egui::Context;
use reinback_film::Settings;
use reinback_yard::{Moment, WordId};

use super::attention::{Attention, Hands};
use super::beside::Beside;
use super::choice::Choice;
use super::chosen::Chosen;
use super::place::{Lack, Place, World};
use super::screen::Screens;
use super::stills::{Stills, Trouble};
use super::tile::Look;
use crate::command::Command;
use crate::report::moments::{MomentId, moment_of};
use crate::stage::lap::Lap;
use crate::stage::together::Together;
use crate::stage::{Screen, Stage};

/// Played before and after a mark, in nanoseconds: as long as the film leads in when it is opened.
const AROUND: i64 = 2_000_000_000;
/// How a film is opened for the wall: as small as its picture, with memory for a lap of 60 frames
/// a second, so that each lap but the first needs no decoding. Our own choice.
const SMALL: u32 = 380;
const SMALL_BYTES: usize = 48 << 20;

/// What the wall of moments remembers.
#[derive(Default)]
pub(in crate::rooms::progress) struct Wall {
    /// The line whose moments it shows.
    pub(super) of: Option<WordId>,
    pub(super) choice: Choice,
    pub(super) chosen: Chosen,
    pub(super) beside: Option<Beside>,
    /// The line whose marked moments are set side by side with the next tick.
    pub(super) asked_beside: Option<WordId>,
    pub(super) stills: Stills,
    attention: Attention,
    /// Keys were pressed that play a picture, or mark it.
    play_pressed: bool,
    pick_pressed: bool,
    /// One more was to be marked than can be.
    pub(super) refused: bool,
    /// What was on screen in the last frame.
    pub(super) seen: Option<InSight>,
    /// What the next tick was asked to look for.
    pub(super) sought: Vec<(MomentId, Moment)>,
    places: BTreeMap<MomentId, Place>,
    playing: Option<Playing>,
    /// The state of the yard that was looked at last.
    revision: Option<u64>,
}

/// What a frame showed of the wall.
#[derive(Default)]
pub(super) struct InSight {
    pub(super) hands: Hands,
    pub(super) moments: Vec<(MomentId, Moment)>,
}

/// The picture that plays.
struct Playing {
    id: MomentId,
    place: Place,
    together: Together,
    screens: Screens,
    /// It turned out that it cannot be played.
    failed: bool,
}

/// The commands that mean something while the moments of a line are in sight.
pub(super) const COMMANDS: &[Command] = &[Command::PlayPause, Command::PickMoment, Command::Beside];

impl Wall {
    /// Does what a key asks for, with the next tick: then it is known which picture is meant.
    pub(super) fn run(&mut self, command: Command) {
        match command {
            Command::PlayPause => self.play_pressed = true,
            Command::PickMoment => self.pick_pressed = true,
            Command::Beside => self.asked_beside.clone_from(&self.of),
            _ => {}
        }
    }

    /// Marks a picture of the line, or no longer.
    pub(super) fn turn(&mut self, id: MomentId) {
        if let Some(exercise) = &self.of {
            self.refused |= !self.chosen.turn(exercise, id);
        }
    }

    /// Nothing plays and nothing is made; films that were not there are looked for again.
    pub(super) fn rest(&mut self) {
        self.seen = None;
        self.sought.clear();
        self.attention = Attention::default();
        self.playing = None;
        self.places.clear();
        self.stills.rest();
        self.stills.forget_troubles();
        if let Some(beside) = &mut self.beside {
            beside.rest();
        }
    }

    /// Looks for what came into sight, and moves on what plays.
    pub(super) fn tick(&mut self, ctx: &Context, world: &World<'_>) {
        if self.revision != Some(world.revision) {
            self.revision = Some(world.revision);
            let there = |exercise: &WordId, id| moment_of(world.yard, exercise, id).is_some();
            self.chosen.keep(there);
            if let Some(beside) = &mut self.beside {
                beside.follow_yard(world.yard);
            }
        }
        if let Some(exercise) = self.asked_beside.take() {
            let chosen = self.chosen.of(&exercise);
            self.beside = Beside::new(exercise, &chosen, world);
        }
        if self.beside.as_ref().is_some_and(Beside::is_done) {
            self.beside = None;
        }
        let mut seen = self.seen.take();
        let (play, mark) = (&mut self.play_pressed, &mut self.pick_pressed);
        let (play, mark) = (std::mem::take(play), std::mem::take(mark));
        let mut wishes = Vec::new();
        if let Some(beside) = &mut self.beside {
            wishes = beside.tick(ctx, world, &self.stills);
        } else if let Some(seen) = &mut seen {
            seen.hands.pressed |= play;
            self.attention.follow(seen.hands);
            if let Some(id) = self.attention.at().filter(|_| mark) {
                self.turn(id);
            }
            self.places.clear();
            for (id, at) in &seen.moments {
                let place = Place::find(world, *id, *at);
                wishes.extend(place.as_ref().and_then(Place::wish));
                self.places.extend(place.map(|place| (*id, place)));
            }
        }
        if seen.is_none() {
            self.attention = Attention::default();
        }
        let folder = || world.services.picture_folder();
        self.stills.tick(ctx, wishes, folder, world.on_ready);
        self.play(ctx, world, &seen.unwrap_or_default());
    }

    /// Plays what has the rider's attention, and nothing else.
    fn play(&mut self, ctx: &Context, world: &World<'_>, seen: &InSight) {
        let plays = self.attention.plays();
        let place = plays.and_then(|id| self.places.get(&id));
        let place = place.filter(|place| self.lack(place).is_none());
        let same = |playing: &Playing| Some(playing.id) == plays && Some(&playing.place) == place;
        if !self.playing.as_ref().is_some_and(same) {
            let at = |id| seen.moments.iter().find(|(own, _)| *own == id);
            self.playing = plays.zip(place).and_then(|(id, place)| {
                let (film, (_, at)) = (place.film().ok()?, at(id)?);
                let lap = Lap::new(AROUND, AROUND);
                let mut together = Together::new([(film.clone(), *at)], lap);
                together.go(lap.start());
                together.toggle(world.now);
                Some(Playing {
                    id,
                    place: place.clone(),
                    together,
                    screens: Screens::default(),
                    failed: false,
                })
            });
        }
        if let Some(playing) = &mut self.playing {
            let settings = Settings {
                max_side: SMALL,
                full_side: 0,
                cache_bytes: SMALL_BYTES,
                ..world.settings
            };
            let together = &mut playing.together;
            together.tick(world.now, world.services, settings, world.on_ready);
            playing.screens.follow(ctx, together);
            if let Some(Screen::Failed(_)) = together.stage(0).map(Stage::screen)
                && let Ok(film) = playing.place.film()
                && !std::mem::replace(&mut playing.failed, true)
            {
                self.stills.doubt(&film.path);
            }
            ctx.request_repaint();
        } else if let Some(seconds) = self.attention.due_in(world.now) {
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(seconds));
        }
    }

    /// Why there is nothing to see at a place, as far as is known.
    fn lack(&self, place: &Place) -> Option<Lack> {
        match place {
            Place::None(lack) => Some(*lack),
            Place::On(..) => match self.stills.get(&place.spot()?)? {
                Ok(_) => None,
                Err(trouble) => Some(Lack::Trouble(trouble)),
            },
        }
    }

    /// What is in the frame of a picture.
    pub(super) fn look(&self, id: MomentId) -> Look<'_> {
        let Some(place) = self.places.get(&id) else {
            return Look::Waiting;
        };
        if let Some(playing) = self.playing.as_ref().filter(|playing| playing.id == id) {
            let together = &playing.together;
            if let Some(Screen::Failed(error)) = together.stage(0).map(Stage::screen) {
                return Look::None(Lack::Trouble(Trouble::of(&error)));
            }
            if let Some(texture) = playing.screens.get(0) {
                let lap = together.lap();
                return Look::Playing(texture, lap.part(together.clock()), lap.part(0));
            }
        }
        if let Some(lack) = self.lack(place) {
            return Look::None(lack);
        }
        let still = place.spot().and_then(|spot| self.stills.get(&spot));
        match still {
            Some(Ok(texture)) => Look::Still(texture),
            _ => Look::Waiting,
        }
    }

    /// Frames of the picture that plays, so far; for tests.
    pub(super) fn played(&self) -> Option<(MomentId, u64)> {
        let playing = self.playing.as_ref()?;
        let (number, _) = playing.together.stage(0)?.picture()?;
        Some((playing.id, number))
    }

    /// How many stills are on screen; for tests.
    pub(super) fn stills_shown(&self) -> usize {
        let spots = self.places.values().filter_map(Place::spot);
        let there = |spot| matches!(self.stills.get(&spot), Some(Ok(_)));
        spots.filter(|spot| there(spot.clone())).count()
    }
}
