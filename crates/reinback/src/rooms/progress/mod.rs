//! The Progress room: fault rates and trends of a horse.

use chrono::NaiveDate;
use egui::{CentralPanel, Ui};
use reinback_yard::{HorseId, Yard};

use crate::action::Action;
use crate::services::OnReady;

/// What the Progress room remembers.
pub struct ProgressView {
    horse: Option<HorseId>,
    _on_ready: OnReady,
}

impl ProgressView {
    /// Nothing computed yet; `on_ready` is called from the worker when something is.
    #[must_use]
    pub fn new(on_ready: OnReady) -> Self {
        Self {
            horse: None,
            _on_ready: on_ready,
        }
    }

    /// Another yard has been opened.
    pub fn forget(&mut self) {
        self.horse = None;
    }

    /// Shows this horse.
    pub fn choose_horse(&mut self, horse: HorseId) {
        self.horse = Some(horse);
    }

    /// Takes in results and starts what is due.
    pub fn tick(&mut self, _yard: &Yard, _revision: u64, _today: NaiveDate) {}
}

/// What the Progress room shows.
#[derive(Clone, Copy)]
pub struct ProgressData<'a> {
    /// The yard.
    pub yard: &'a Yard,
    /// Grows with every change of the yard.
    pub revision: u64,
    /// The day that counts as today.
    pub today: NaiveDate,
}

/// Draws the room.
pub fn progress_ui(
    ui: &mut Ui,
    _view: &mut ProgressView,
    _data: &ProgressData<'_>,
    _out: &mut Vec<Action>,
) {
    CentralPanel::default().show(ui, |ui| {
        ui.label("…");
    });
}
