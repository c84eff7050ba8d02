//! All horses at a glance: one row a horse, and a press opens that horse, which is then in the days
//! of its row.
//!
//! - `gather`: the rows, found by a worker one by one
//! - `words`: what a row says
//! - `row`: a row, drawn
//!
//! **Invariant:** a row is put into words once, not in every frame, and only rows near what is in
//! sight are made.

mod gather;
mod row;
mod words;

use std::collections::HashMap;
use std::sync::{Arc, Mutex};

use egui::{ScrollArea, Ui};
use reinback_yard::{HorseId, Yard};

use super::asking::Snapshot;
use super::{Asked, Order, ProgressData};
use crate::report::books::Books;
use crate::report::horses::{HorseRow, by_need};
use crate::said::Language;
use crate::services::OnReady;

use gather::Gathering;
use words::Words;

/// What the view of all horses remembers.
pub(super) struct Glance {
    gathering: Gathering,
    /// With what they were made from.
    words: HashMap<HorseId, (Made, Words)>,
    sorted: Option<(Sorting, Sorted)>,
}

/// What the words of a row were made from.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Made {
    row: u64,
    revision: u64,
    language: Language,
}

/// What the order of the rows depends on.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Sorting {
    order: Order,
    revision: u64,
    rows: u64,
}

/// The rows in their order.
struct Sorted {
    horses: Vec<HorseId>,
    /// The longest week of all of them, in nanoseconds.
    longest_week: i64,
}

impl Glance {
    /// Nothing gathered yet; `on_ready` is called from the worker with every row.
    pub(super) fn new(on_ready: OnReady) -> Self {
        Self {
            gathering: Gathering::new(on_ready),
            words: HashMap::new(),
            sorted: None,
        }
    }

    /// Another yard has been opened.
    pub(super) fn forget(&mut self) {
        self.gathering.forget();
        self.words.clear();
        self.sorted = None;
    }

    /// Whether rows are on their way.
    pub(super) fn is_gathering(&self) -> bool {
        self.gathering.is_running()
    }

    /// Whether a worker could not answer.
    pub(super) fn has_failed(&self) -> bool {
        self.gathering.has_failed()
    }

    /// That rows are not of the month that nobody chose, once every row of what is asked is there.
    pub(super) fn instead(&self, asked: &Asked, data: &ProgressData<'_>) -> Option<String> {
        if !self.gathering.is_whole_of(asked) {
            return None;
        }
        let horses = data.yard.horses.iter();
        let rows = horses.filter_map(|horse| Some(self.gathering.row(horse.id)?.1));
        data.say.horses_instead(rows)
    }

    /// Takes in what was found and starts what is due.
    pub(super) fn tick(
        &mut self,
        yard: &Yard,
        wanted: Option<Asked>,
        snapshot: &mut Snapshot,
        books: &Arc<Mutex<Books>>,
    ) {
        self.gathering.take_in();
        if let Some(wanted) = wanted
            && self.gathering.is_due(&wanted)
        {
            let yard = snapshot.of(yard, wanted.revision);
            self.gathering.ask(yard, wanted, books);
        }
    }

    /// Sorts the rows where they, or the order asked for, have changed.
    fn sort(&mut self, order: Order, data: &ProgressData<'_>) {
        let sorting = Sorting {
            order,
            revision: data.revision,
            rows: self.gathering.came(),
        };
        if self.sorted.as_ref().is_none_or(|(own, _)| *own != sorting) {
            self.sorted = Some((sorting, sorted(&self.gathering, order, data.yard)));
        }
    }
}

/// By name until every horse has its row, so that no row moves away under the pointer more often
/// than once; horses without a row last.
fn sorted(gathering: &Gathering, order: Order, yard: &Yard) -> Sorted {
    let rows = || {
        let horses = yard.horses.iter();
        horses.filter_map(|horse| Some(gathering.row(horse.id)?.1))
    };
    let mut horses: Vec<HorseId> = yard.horses.iter().map(|horse| horse.id).collect();
    if order == Order::WorkOnFirst && gathering.is_whole() {
        let mut known: Vec<&HorseRow> = rows().collect();
        by_need(&mut known);
        let known = known.into_iter().map(|row| row.horse);
        let unknown = horses.iter().filter(|id| gathering.row(**id).is_none());
        horses = known.chain(unknown.copied()).collect();
    }
    let weeks = rows().flat_map(|row| row.weeks.iter().map(|week| week.nanos));
    Sorted {
        horses,
        longest_week: weeks.max().unwrap_or_default(),
    }
}

/// Draws the rows; gives the horse that was pressed.
pub(super) fn glance_ui(
    ui: &mut Ui,
    view: &mut Glance,
    order: Order,
    data: &ProgressData<'_>,
) -> Option<HorseId> {
    view.sort(order, data);
    let (_, sorted) = view.sorted.as_ref()?;
    row::columns_ui(ui, data.say);
    let mut pressed = None;
    ScrollArea::vertical()
        .id_salt("progress horses")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            ui.set_max_width(ui.available_width() - row::SCROLL);
            for (at, id) in sorted.horses.iter().enumerate() {
                if !super::rows::near(ui, at, row::HEIGHT) {
                    continue;
                }
                let Some(horse) = data.yard.horse(*id) else {
                    continue;
                };
                let Some((came, found)) = view.gathering.row(*id) else {
                    row::waiting_ui(ui, &horse.name, data.say);
                    continue;
                };
                let made = Made {
                    row: came,
                    revision: data.revision,
                    language: data.say.language(),
                };
                let worded = || Words::new(&horse.name, found, data.say);
                let words = view.words.entry(*id).or_insert_with(|| (made, worded()));
                if words.0 != made {
                    *words = (made, worded());
                }
                let shown = row::Shown {
                    row: found,
                    words: &words.1,
                    longest_week: sorted.longest_week,
                };
                if row::row_ui(ui, &shown) {
                    pressed = Some(*id);
                }
            }
        });
    pressed
}
