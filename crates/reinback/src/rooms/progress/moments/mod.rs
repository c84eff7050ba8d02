//! The moments of an open line as a wall of small pictures that play in place, and two to four of
//! them side by side.
//!
//! - `wall`: what is remembered, `wall_ui`: drawn; `tile`: one picture with its caption; `grid`:
//!   where pictures lie; `choice`: which of the moments are shown, `switches`: chosen how; `lines`:
//!   those that no film shows; `telling`: how each is told
//! - `attention`: which picture plays; `stills`: the pictures that do not, made on a thread
//! - `chosen`: what is marked; `beside`, `beside_ui`: that side by side
//! - `place`: where the film of a moment is, or why there is none; `screen`: pictures that play on
//!   the graphics card
//!
//! **Invariant:** a frame of the window only says what is in sight. Films are looked for and opened
//! by the tick before the next, stills are made by a worker, and at most four films are open.

mod attention;
mod beside;
mod beside_ui;
mod choice;
mod chosen;
mod grid;
mod lines;
mod place;
mod screen;
mod stills;
mod switches;
mod telling;
mod tile;
mod wall;
mod wall_ui;

use std::collections::BTreeSet;

use egui::{Context, Ui};
use reinback_yard::{HorseId, WordId, Yard};

use super::{Page, ProgressData, ProgressView};
use crate::action::Action;
use crate::command::Command;
use crate::report::moments::{FilmMoment, MomentId, moment_of};
use crate::report::numbers::Whose;
pub use place::World;
use telling::Telling;
pub(super) use wall::Wall;
pub(super) use wall_ui::{Group, Shown, wall_ui};

/// A moment that the rider marked.
#[derive(Clone, Debug, PartialEq)]
pub struct ChosenMoment {
    /// Of which exercise.
    pub exercise: WordId,
    /// What is to be seen.
    pub moment: FilmMoment,
}

impl ProgressView {
    /// Makes stills, plays what is looked at, follows changes of the yard.
    pub fn tick_moments(&mut self, ctx: &Context, world: &World<'_>) {
        self.wall.tick(ctx, world);
    }

    /// Whether moments are side by side, over the room.
    pub(super) fn has_side_by_side(&self) -> bool {
        self.wall.beside.is_some()
    }

    /// The room is not looked at: no film stays open.
    pub fn rest(&mut self) {
        self.wall.rest();
    }

    /// The commands whose keys mean something here now.
    #[must_use]
    pub fn listens(&self) -> &'static [Command] {
        if self.wall.beside.is_some() {
            return beside::COMMANDS;
        }
        if self.open_line().is_some() && self.shown_page() == Page::Exercises {
            wall::COMMANDS
        } else {
            &[]
        }
    }

    /// Does what the key of a command asks for; false for one that means nothing here now.
    pub fn run(&mut self, command: Command, now: f64) -> bool {
        if !self.listens().contains(&command) {
            return false;
        }
        if let Some(beside) = &mut self.wall.beside {
            return beside.run(command, now);
        }
        self.wall.run(command);
        true
    }

    /// Which moments are marked, of which exercises, whatever is asked.
    pub(super) fn marked(&self) -> Vec<(WordId, MomentId)> {
        self.wall.chosen.all().to_vec()
    }

    /// The moments that are marked, of all lines, as far as the question asks for their rides; in
    /// the order in which they were marked. For tests.
    #[must_use]
    pub fn chosen_moments(&self, yard: &Yard) -> Vec<ChosenMoment> {
        let Some((_, counted)) = self.counted() else {
            return Vec::new();
        };
        let question = &counted.numbers.question;
        let all = self.wall.chosen.all().iter();
        all.filter_map(|(exercise, id)| {
            yard.ride(id.ride()).filter(|ride| question.holds(ride))?;
            let moment = moment_of(yard, exercise, *id)?;
            question.reins.hold(moment.rein).then(|| ChosenMoment {
                exercise: exercise.clone(),
                moment,
            })
        })
        .collect()
    }

    /// How many moments are side by side and how far each is from its mark, in nanoseconds of its
    /// ride; nothing for one without a picture. For tests.
    #[must_use]
    pub fn side_by_side(&self) -> Option<Vec<Option<i64>>> {
        let beside = self.wall.beside.as_ref()?;
        let from_mark = |(at, moment): (usize, &FilmMoment)| {
            let stage = beside.together.stage(beside.member(at).ok()??)?;
            stage.picture()?;
            Some(stage.position().0 - moment.at.0)
        };
        Some(beside.moments.iter().enumerate().map(from_mark).collect())
    }

    /// Whether what is side by side runs, and how far its clock is from the marks, in nanoseconds.
    /// For tests.
    #[must_use]
    pub fn side_by_side_clock(&self) -> Option<(bool, i64)> {
        let together = &self.wall.beside.as_ref()?.together;
        Some((together.is_playing(), together.clock()))
    }

    /// Which picture of the wall plays, and how many frames of it were shown. For tests.
    #[must_use]
    pub fn moment_played(&self) -> Option<(MomentId, u64)> {
        self.wall.played()
    }

    /// How many stills of the wall are on screen. For tests.
    #[must_use]
    pub fn stills_shown(&self) -> usize {
        self.wall.stills_shown()
    }
}

/// Draws what is side by side over the room.
pub(super) fn over_room_ui(
    ui: &mut Ui,
    view: &mut ProgressView,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let Some((_, counted)) = view.counted() else {
        return;
    };
    let question = counted.numbers.question;
    let Some(beside) = &mut view.wall.beside else {
        return;
    };
    // Marked ones may be of other horses than are looked at.
    let rides = beside.moments.iter().map(|moment| moment.id.ride());
    let horses = rides.filter_map(|ride| Some(data.yard.ride(ride)?.head.horse));
    let horses: BTreeSet<HorseId> = horses.collect();
    let telling = Telling {
        question,
        many: question.whose == Whose::All || horses.len() > 1,
        data,
    };
    beside_ui::beside_ui(ui, beside, &telling, out);
}
