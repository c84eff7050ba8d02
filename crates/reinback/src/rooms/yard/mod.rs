//! The Yard room: horses, rides, and a new ride from films.

mod details;
mod draft;
mod horses;
mod pictures;
mod reading;
mod rides;
mod rows;

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use egui::{CentralPanel, Frame, Margin, Panel, Ui};
use reinback_yard::{Film, HorseId, Problem, Yard};

use crate::action::Action;
use crate::app::{ReadFilm, RideDraft};
use crate::services::OnReady;
use crate::theme;
use details::Details;
use horses::HorseDraft;
use pictures::Pictures;
pub use reading::Reading;
use rows::Sums;

/// What the Yard room remembers.
pub struct YardView {
    /// The ride about to be made.
    pub draft: Option<RideDraft>,
    /// Only this horse's rides.
    horse: Option<HorseId>,
    /// Words looked for.
    search: String,
    editing: Option<HorseDraft>,
    details: Option<Details>,
    pictures: Pictures,
    sums: Sums,
    problems_open: bool,
}

impl YardView {
    /// An empty room; `on_ready` is called when a picture has been made. Pictures are kept in a
    /// folder, if there is one.
    #[must_use]
    pub fn new(on_ready: OnReady, folder: Option<PathBuf>) -> Self {
        Self {
            draft: None,
            horse: None,
            search: String::new(),
            editing: None,
            details: None,
            pictures: Pictures::new(on_ready, folder),
            sums: Sums::default(),
            problems_open: false,
        }
    }

    /// Another yard has been opened.
    pub fn forget(&mut self) {
        self.draft = None;
        self.horse = None;
        self.search.clear();
        self.editing = None;
        self.details = None;
        self.pictures.forget();
        self.sums = Sums::default();
        self.problems_open = false;
    }

    /// The yard that was shown while it was read is whole now; what is looked for stays.
    pub fn whole(&mut self) {
        self.sums = Sums::default();
    }

    /// Takes in what was found in a film of the draft.
    pub fn film_read(&mut self, path: &Path, read: ReadFilm) {
        if let Some(draft) = &mut self.draft {
            draft.film_read(path, read);
        }
    }
}

/// What the Yard room shows.
pub struct YardData<'a> {
    /// The yard.
    pub yard: &'a Yard,
    /// The day that counts as today.
    pub today: NaiveDate,
    /// Whether anything can be changed.
    pub writable: bool,
    /// What was found wrong on opening.
    pub problems: &'a [Problem],
    /// Where a film's file is.
    pub film_path: &'a dyn Fn(&Film) -> PathBuf,
    /// The yard's folder.
    pub folder: &'a Path,
    /// Grows with every change of the yard.
    pub revision: u64,
    /// What is still to be read; `None` once the yard is whole.
    pub reading: Option<&'a Reading>,
}

/// Draws the room.
pub fn yard_ui(ui: &mut Ui, view: &mut YardView, data: &YardData<'_>, out: &mut Vec<Action>) {
    view.pictures.tick(ui.ctx());
    let tokens = theme::tokens(ui);
    let side = Frame::new()
        .fill(tokens.raised)
        .inner_margin(Margin::symmetric(14, 12));
    Panel::left("horses")
        .resizable(false)
        .exact_size(286.0)
        .frame(side)
        .show(ui, |ui| {
            horses::horses_ui(ui, view, data, out);
        });
    if view.draft.is_some() || view.details.is_some() {
        let frame = Frame::new()
            .fill(tokens.raised)
            .inner_margin(Margin::symmetric(16, 12));
        Panel::right("form")
            .resizable(false)
            .exact_size(400.0)
            .frame(frame)
            .show(ui, |ui| {
                if view.draft.is_some() {
                    draft::draft_ui(ui, &mut view.draft, data, out);
                } else {
                    details::details_ui(ui, &mut view.details, data, out);
                }
            });
    }
    CentralPanel::default()
        .frame(
            Frame::new()
                .fill(tokens.ground)
                .inner_margin(Margin::symmetric(18, 12)),
        )
        .show(ui, |ui| {
            rides::rides_ui(ui, view, data, out);
        });
}

#[cfg(test)]
mod tests;
