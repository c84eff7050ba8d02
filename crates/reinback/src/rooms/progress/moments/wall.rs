//! The wall of pictures: what it remembers, what it has made ready, and how it is drawn.

use std::collections::BTreeMap;

use egui::{Button, Context, Id, Rect, Ui, vec2};
use reinback_film::Settings;
use reinback_yard::{Moment, WordId};

use super::attention::{Attention, Hands};
use super::beside::Beside;
use super::choice::{Choice, MOST_SHOWN};
use super::chosen::Chosen;
use super::grid::Grid;
use super::lines::lines_ui;
use super::place::{Lack, Place, World, spoken};
use super::screen::Screens;
use super::stills::{Stills, Trouble};
use super::switches::choice_ui;
use super::tile::{Look, Tile, Touched, sign_of, tile_ui};
use crate::action::Action;
use crate::command::Command;
use crate::notice::Notice;
use crate::report::moments::{FilmMoment, MomentId, Moments};
use crate::rooms::progress::ProgressData;
use crate::rooms::progress::choices::named;
use crate::rooms::progress::detail::{heading, soft};
use crate::said::Say;
use crate::stage::Screen;
use crate::stage::lap::Lap;
use crate::stage::together::{MOST_TOGETHER, Together};
use crate::theme;

/// Played before and after a mark, in nanoseconds: as long as the film leads in when it is opened.
const AROUND: i64 = 2_000_000_000;
/// Rows before all are asked for.
const FIRST_ROWS: usize = 2;
/// Lines for moments without film, before all are asked for.
const FIRST_LINES: usize = 4;
/// Tiles that are always there for those who go by key; of the others those near.
const ALWAYS: usize = 60;
/// How a film is opened for the wall: as small as its picture, with memory for a lap of 60 frames
/// a second, so that each lap but the first needs no decoding. Our own choice.
const SMALL: u32 = 380;
const SMALL_BYTES: usize = 48 << 20;

/// What the wall of moments remembers.
#[derive(Default)]
pub(in crate::rooms::progress) struct Wall {
    /// The line whose moments it shows.
    of: Option<WordId>,
    choice: Choice,
    pub(super) chosen: Chosen,
    pub(super) beside: Option<Beside>,
    /// Set side by side with the next tick.
    pub(super) asked_beside: Option<Vec<FilmMoment>>,
    pub(super) stills: Stills,
    attention: Attention,
    /// What was on screen in the last frame.
    seen: Option<InSight>,
    /// What the next tick was asked to look for.
    sought: Vec<(MomentId, Moment)>,
    places: BTreeMap<MomentId, Place>,
    playing: Option<Playing>,
    /// The state of the yard that was looked at last.
    revision: Option<u64>,
}

/// What a frame showed of the wall.
#[derive(Default)]
struct InSight {
    hands: Hands,
    moments: Vec<(MomentId, Moment)>,
}

/// The picture that plays.
struct Playing {
    id: MomentId,
    place: Place,
    together: Together,
    screens: Screens,
}

/// What is drawn.
pub(in crate::rooms::progress) struct Shown<'a> {
    /// The line.
    pub(in crate::rooms::progress) exercise: &'a WordId,
    /// Its moments, once they are found.
    pub(in crate::rooms::progress) moments: Option<&'a Moments>,
    /// How many faults and how many clean attempts the line counts.
    pub(in crate::rooms::progress) counted: (u32, u32),
    /// Whether it is of many horses.
    pub(in crate::rooms::progress) many: bool,
}

impl Wall {
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
            super::keep_chosen(&mut self.chosen, world.yard);
            if let Some(beside) = &mut self.beside {
                beside.follow_yard(world.yard);
            }
        }
        if let Some(moments) = self.asked_beside.take() {
            self.beside = Beside::new(moments, world);
        }
        if self.beside.as_ref().is_some_and(Beside::is_done) {
            self.beside = None;
        }
        let seen = self.seen.take();
        let mut wishes = Vec::new();
        if let Some(beside) = &mut self.beside {
            wishes = beside.tick(ctx, world, &self.stills);
        } else if let Some(seen) = &seen {
            self.attention.follow(seen.hands);
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

    fn look(&self, id: MomentId) -> Look<'_> {
        let Some(place) = self.places.get(&id) else {
            return Look::Waiting;
        };
        if let Some(playing) = self.playing.as_ref().filter(|playing| playing.id == id) {
            let together = &playing.together;
            if let Some(Screen::Failed(error)) = together.stage(0).map(crate::stage::Stage::screen)
            {
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

/// Draws the wall of a line's moments.
pub(in crate::rooms::progress) fn wall_ui(
    ui: &mut Ui,
    wall: &mut Wall,
    shown: &Shown<'_>,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    if wall.of.as_ref() != Some(shown.exercise) {
        wall.of = Some(shown.exercise.clone());
        wall.choice = Choice::default();
    }
    let say = data.say;
    heading(ui, &say.plain("heading-moments"));
    // They are looked up when a line is opened, and are there in a moment.
    let Some(moments) = shown.moments else { return };
    if moments.faults.is_empty() && moments.clean.is_empty() {
        soft(ui, say.plain("no-moments"));
        return;
    }
    soft(ui, say.plain("moments-tip"));
    choice_ui(ui, &mut wall.choice, (moments, shown.counted.1), say);
    beside_bar_ui(ui, wall, (shown, moments), say);
    let list = wall.choice.shown(moments);
    if list.is_empty() {
        soft(ui, say.plain("no-moments-so"));
        return;
    }
    let filmed = list.iter().take_while(|moment| moment.filmed).count();
    let (filmed, unfilmed) = list.split_at(filmed);
    let more = if shown.many { 16.0 } else { 0.0 };
    let grid = Grid::new(ui.available_width(), more);
    let first = (FIRST_ROWS * grid.columns).min(filmed.len());
    let first_lines = FIRST_LINES.min(unfilmed.len());
    let (tiles, lines) = if wall.choice.all {
        (filmed.len(), unfilmed.len())
    } else {
        (first, first_lines)
    };
    if tiles > 0 {
        grid_ui(ui, wall, (&grid, &filmed[..tiles]), (shown, data), out);
    }
    if lines > 0 {
        if tiles > 0 {
            let many = u32::try_from(unfilmed.len()).unwrap_or(u32::MAX);
            ui.add_space(4.0);
            soft(
                ui,
                say.text("moments-unfilmed", &[("moments", many.into())]),
            );
        }
        lines_ui(ui, (&unfilmed[..lines], shown.many), data, out);
    }
    more_ui(ui, wall, (list.len(), first + first_lines), shown, say);
}

/// The pictures.
fn grid_ui(
    ui: &mut Ui,
    wall: &mut Wall,
    (grid, list): (&Grid, &[&FilmMoment]),
    (shown, data): (&Shown<'_>, &ProgressData<'_>),
    out: &mut Vec<Action>,
) {
    let size = vec2(ui.available_width(), grid.height(list.len()));
    let (room, _) = ui.allocate_exact_size(size, egui::Sense::hover());
    let sight = ui.clip_rect();
    let in_sight = grid.between(list.len(), room.top(), (sight.top(), sight.bottom()));
    let around = (
        sight.top() - sight.height(),
        sight.bottom() + sight.height(),
    );
    let near = grid.between(list.len(), room.top(), around);
    let mut seen = InSight {
        hands: Hands {
            now: ui.input(|input| input.time),
            ..Hands::default()
        },
        moments: Vec::new(),
    };
    let marking = !wall.chosen.of(shown.exercise).is_empty();
    for (at, moment) in list.iter().enumerate() {
        if at >= ALWAYS && !near.contains(&at) {
            continue;
        }
        if in_sight.contains(&at) {
            seen.moments.push((moment.id, moment.at));
        }
        let rect = grid.tile(room.min, at);
        let touched = one_ui(ui, wall, (moment, rect, marking), shown.many, data);
        let hands = &mut seen.hands;
        if touched.under_pointer {
            hands.pointer = Some(moment.id);
        }
        if touched.focused {
            hands.focus = Some(moment.id);
        }
        hands.pressed |= touched.pressed;
        if touched.opened {
            out.push(Action::OpenRide(moment.id.ride(), Some(moment.lead_in())));
        }
        if touched.marked && !wall.chosen.turn(shown.exercise, moment.id) {
            let most = u32::try_from(MOST_TOGETHER).unwrap_or(u32::MAX);
            let text = data.say.text("moments-most", &[("most", most.into())]);
            out.push(Action::Tell(Box::new(Notice::told(text))));
        }
    }
    // What came into sight is looked for with the next tick.
    if seen.hands.pressed || seen.moments != wall.sought {
        wall.sought.clone_from(&seen.moments);
        ui.request_repaint();
    }
    wall.seen = Some(seen);
}

fn one_ui(
    ui: &mut Ui,
    wall: &Wall,
    (moment, rect, marking): (&FilmMoment, Rect, bool),
    many: bool,
    data: &ProgressData<'_>,
) -> Touched {
    let say = data.say;
    let horse = data.yard.ride(moment.id.ride()).filter(|_| many);
    let horse = horse.map(|ride| named(data, ride.head.horse));
    let horse = horse.as_deref();
    let tile = Tile {
        rect,
        id: Id::unique(("moment", moment.id)),
        when: &say.moment_time(moment),
        what: &say.moment(moment),
        horse,
        spoken: &spoken(moment, horse, say),
        sign: sign_of(moment, theme::tokens(ui)),
        look: wall.look(moment.id),
        number: wall.chosen.number(moment.id),
        marking,
    };
    tile_ui(ui, &tile, say)
}

/// What is marked, and the way to see it side by side.
fn beside_bar_ui(
    ui: &mut Ui,
    wall: &mut Wall,
    (shown, moments): (&Shown<'_>, &Moments),
    say: &Say,
) {
    let chosen = wall.chosen.of(shown.exercise);
    let all = moments.faults.iter().chain(&moments.clean);
    // There before anything is marked, or the pictures would move away under the pointer.
    if chosen.is_empty() && all.filter(|moment| moment.filmed).count() < 2 {
        return;
    }
    ui.horizontal(|ui| {
        let many = u32::try_from(chosen.len()).unwrap_or(u32::MAX);
        let text = say.text("beside-these", &[("moments", many.into())]);
        let key = Command::Beside.key_text(ui.ctx());
        let button = ui.add_enabled(chosen.len() > 1, Button::new(text));
        let tip = if chosen.len() > 1 {
            say.text("beside-these-tip", &[("key", key.into())])
        } else if chosen.is_empty() {
            say.plain("beside-two")
        } else {
            say.plain("beside-one-more")
        };
        if button
            .on_hover_text(&tip)
            .on_disabled_hover_text(&tip)
            .clicked()
        {
            wall.ask_beside(shown.exercise, moments);
        }
        let none = Button::new(say.plain("beside-none"));
        if ui.add_enabled(!chosen.is_empty(), none).clicked() {
            wall.chosen.clear(shown.exercise);
        }
        if chosen.len() < 2 {
            soft(ui, tip);
        }
    });
    ui.add_space(2.0);
}

impl Wall {
    /// Sets the marked moments of a line side by side, if there are two.
    pub(super) fn ask_beside(&mut self, exercise: &WordId, moments: &Moments) {
        let all = || moments.faults.iter().chain(&moments.clean);
        let chosen = self.chosen.of(exercise);
        let found = chosen
            .into_iter()
            .filter_map(|id| all().find(|own| own.id == id));
        let found: Vec<FilmMoment> = found.cloned().collect();
        self.asked_beside = (found.len() > 1).then_some(found);
    }
}

/// A button for those that are not shown yet. Of very many only the newest are looked up; that is
/// said, or the rest would seem not to be.
fn more_ui(
    ui: &mut Ui,
    wall: &mut Wall,
    (found, first): (usize, usize),
    shown: &Shown<'_>,
    say: &Say,
) {
    let many = u32::try_from(found).unwrap_or(u32::MAX);
    let (faults, clean) = shown.counted;
    let with_clean = shown
        .moments
        .is_some_and(|own| wall.choice.shows_clean(own));
    let counted = if with_clean {
        faults.saturating_add(clean)
    } else {
        faults
    };
    let capped = found >= MOST_SHOWN && counted > many;
    ui.add_space(4.0);
    if !wall.choice.all && found > first {
        let text = if capped {
            say.text(
                "newest-moments",
                &[("moments", many.into()), ("all", counted.into())],
            )
        } else {
            say.text("all-moments", &[("moments", many.into())])
        };
        wall.choice.all = ui.button(text).clicked();
    } else if capped {
        let text = say.text(
            "moments-capped",
            &[("moments", many.into()), ("all", counted.into())],
        );
        soft(ui, text);
    }
}
