//! The moments of an open line as a wall of small pictures that play in place, and two to four of
//! them side by side.
//!
//! - `wall`: what is remembered, and the wall; `tile`: one picture with its caption; `grid`: where
//!   pictures lie; `choice`: which of the moments are shown, `switches`: chosen how; `lines`: those
//!   that no film shows
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
mod tile;
mod wall;

use egui::{Context, Ui};
use reinback_yard::{WordId, Yard};

use super::{Page, ProgressData, ProgressView};
use crate::action::Action;
use crate::command::Command;
use crate::report::moments::{FilmMoment, MomentId, moment_now, moment_of};
use crate::report::numbers::Whose;
use chosen::Chosen;
pub use place::World;
pub(super) use wall::{Shown, Wall, wall_ui};

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
        let open = self.open.as_ref().filter(|_| self.page == Page::Exercises);
        match open {
            Some(open) if self.wall.chosen.of(open).len() > 1 => &[Command::Beside],
            _ => &[],
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
        self.set_beside();
        true
    }

    /// Sets the marked moments of the open line side by side.
    fn set_beside(&mut self) {
        let Some(open) = self.open_line() else { return };
        let (exercise, moments) = (open.line.exercise.clone(), open.moments.cloned());
        if let Some(moments) = moments {
            self.wall.ask_beside(&exercise, &moments);
        }
    }

    /// The moments that are marked, of all lines, as far as the question asks for their rides; in
    /// the order in which they were marked.
    #[must_use]
    pub fn chosen_moments(&self, yard: &Yard) -> Vec<ChosenMoment> {
        let Some((_, counted)) = self.counted() else {
            return Vec::new();
        };
        let question = &counted.numbers.question;
        let all = self.wall.chosen.all().iter();
        all.filter_map(|(exercise, id)| {
            let moment = moment_now(yard, question, exercise, *id)?;
            Some(ChosenMoment {
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
    let many = view.whose == Some(Whose::All);
    let line = view.open_line().map(|open| open.line.name.clone());
    if let Some(beside) = &mut view.wall.beside {
        let name = line.as_deref().unwrap_or_default();
        beside_ui::beside_ui(ui, beside, (name, many), data, out);
    }
}

/// Keeps of the marked moments those that are still in the yard.
fn keep_chosen(chosen: &mut Chosen, yard: &Yard) {
    chosen.keep(|_, id| moment_of(yard, id).is_some());
}
