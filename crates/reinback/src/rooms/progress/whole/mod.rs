//! The whole horse: outlines, series of changes, tempo, transitions, load, places, and what stands
//! in the way of right numbers.
//!
//! - `parts`: cards, tables and rows that the sections share
//! - `look`, `outline`, `series`, `tempo`, `load`, `places`: one section a file
//! - `line`: what of it belongs to an opened exercise
//!
//! **Invariant:** nothing is computed on the window's thread, and only rides that changed are
//! computed anew.

mod line;
mod load;
mod look;
mod outline;
mod parts;
mod places;
mod series;
mod tempo;

use std::sync::{Arc, Mutex};

use chrono::NaiveDate;
use egui::{RichText, ScrollArea, Ui};
use reinback_yard::{HorseId, Yard};

use super::ProgressData;
use super::asking::{Asking, Snapshot, anew_if_left_open};
use super::figure::Figures;
use crate::action::Action;
use crate::report::moments::lead_in;
use crate::report::numbers::Days;
use crate::report::whole::drawn::Drawn;
use crate::report::whole::{Kept, Whole, whole};
use crate::said::Language;
use crate::services::OnReady;
use crate::theme;

pub(super) use line::line_ui;

/// What the view of the whole horse remembers.
pub(super) struct WholeView {
    looking: Asking<Asked, Arc<Whole>>,
    kept: Arc<Mutex<Kept>>,
    /// Which sections show all of their rows.
    pub(super) full: Full,
    /// The figures of what was looked at, in one language.
    drawing: Asking<(Asked, Language), Drawn>,
    figures: Figures,
}

/// Which sections show all of their rows.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Full([bool; 4]);

/// A section with more rows than are shown at first.
#[derive(Clone, Copy)]
enum Section {
    Look,
    Outline,
    Series,
    Places,
}

impl Full {
    fn of(&mut self, section: Section) -> &mut bool {
        &mut self.0[section as usize]
    }
}

/// What was looked at, and of which state of the yard.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Asked {
    revision: u64,
    horse: HorseId,
    days: Days,
    today: NaiveDate,
}

impl WholeView {
    pub(super) fn new(on_ready: OnReady) -> Self {
        Self {
            looking: Asking::new(on_ready.clone()),
            kept: Arc::default(),
            full: Full::default(),
            drawing: Asking::new(on_ready),
            figures: Figures::default(),
        }
    }

    /// Another yard has been opened.
    pub(super) fn forget(&mut self) {
        self.looking.forget();
        self.drawing.forget();
        self.kept = Arc::default();
    }

    /// Whether a worker could not answer.
    pub(super) fn has_failed(&self) -> bool {
        self.looking.has_failed() || self.drawing.has_failed()
    }

    /// Whether something is on its way.
    pub(super) fn is_looking(&self) -> bool {
        self.looking.on_its_way().is_some() || self.drawing.on_its_way().is_some()
    }

    /// Takes in what was found and starts what is due.
    pub(super) fn tick(
        &mut self,
        (yard, revision): (&Yard, u64),
        asked: Option<(HorseId, Days)>,
        today: NaiveDate,
        snapshot: &mut Snapshot,
    ) {
        self.looking.take_in();
        let Some((horse, days)) = asked else { return };
        let asked = Asked {
            revision,
            horse,
            days,
            today,
        };
        if self.looking.is_due(&asked) {
            self.start(snapshot.of(yard, revision), asked);
        }
    }

    fn start(&mut self, yard: Arc<Yard>, asked: Asked) {
        let kept = self.kept.clone();
        self.looking
            .ask(asked, "whole horse", move |asked, control| {
                let mut kept = anew_if_left_open(&kept);
                // One that was called back while it waited has nothing to find.
                if control.flow().is_break() {
                    return None;
                }
                let whole = whole(&yard, asked.horse, asked.days, asked.today, &mut kept);
                Some(Arc::new(whole))
            });
    }

    /// Has the figures of what is on screen made, on a worker: of many rides that takes longer than
    /// a frame may.
    fn draw(&mut self, data: &ProgressData<'_>) {
        self.drawing.take_in();
        let Some((asked, whole)) = self.looking.answered() else {
            return;
        };
        let wanted = (*asked, data.say.language());
        if self.drawing.is_due(&wanted) {
            let (whole, say) = (whole.clone(), data.say.clone());
            let words = data.yard.words.clone();
            self.drawing.ask(wanted, "figures", move |_, _| {
                Some(Drawn::new(&whole, &words, &say))
            });
        }
    }

    /// What is on screen, if it is of this horse.
    pub(super) fn whole(&self, horse: Option<HorseId>) -> Option<Arc<Whole>> {
        let shown = self.looking.answered();
        let own = shown.filter(|(asked, _)| Some(asked.horse) == horse);
        own.map(|(_, whole)| whole.clone())
    }
}

/// From this width on the sections stand in two columns.
const TWO_COLUMNS: f32 = 1000.0;

/// Draws the sections.
pub(super) fn whole_ui(
    ui: &mut Ui,
    view: &mut WholeView,
    horse: Option<HorseId>,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    view.draw(data);
    let Some(whole) = view.whole(horse) else {
        let text = if horse.is_none() {
            data.say.plain("whole-one-horse")
        } else {
            data.say.plain("whole-counting")
        };
        ui.add_space(24.0);
        ui.label(RichText::new(text).color(theme::tokens(ui).ink_soft));
        return;
    };
    ScrollArea::vertical()
        .id_salt("whole horse")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.set_max_width(ui.available_width() - 10.0);
            let WholeView {
                full,
                drawing,
                figures,
                ..
            } = view;
            look::look_ui(ui, &whole, full.of(Section::Look), data, out);
            let drawn = drawing.answered();
            let drawn = drawn.filter(|((asked, _), _)| Some(asked.horse) == horse);
            let page = Page {
                whole: &whole,
                drawn: drawn.map(|(_, drawn)| drawn),
                data,
            };
            if whole.rides.is_empty() {
                ui.label(data.say.plain("whole-no-rides"));
                page.load_ui(ui, figures, out);
                return;
            }
            if ui.available_width() < TWO_COLUMNS {
                page.first_ui(ui, full, figures, out);
                page.second_ui(ui, figures, out);
                return;
            }
            ui.columns(2, |columns| {
                if let [left, right] = columns {
                    page.first_ui(left, full, figures, out);
                    page.second_ui(right, figures, out);
                }
            });
        });
}

/// What the sections are made of.
struct Page<'a> {
    whole: &'a Whole,
    /// Its figures, once they are made.
    drawn: Option<&'a Drawn>,
    data: &'a ProgressData<'a>,
}

impl Page<'_> {
    fn first_ui(&self, ui: &mut Ui, full: &mut Full, figures: &mut Figures, out: &mut Vec<Action>) {
        let (whole, data) = (self.whole, self.data);
        let outlines = full.of(Section::Outline);
        outline::outline_ui(ui, whole, (self.drawn, figures), outlines, data, out);
        let series = full.of(Section::Series);
        series::series_ui(ui, whole, (self.drawn, figures), series, data, out);
        let places = full.of(Section::Places);
        places::places_ui(ui, whole, (self.drawn, figures), places, data, out);
    }

    fn second_ui(&self, ui: &mut Ui, figures: &mut Figures, out: &mut Vec<Action>) {
        let (whole, data) = (self.whole, self.data);
        self.load_ui(ui, figures, out);
        let drawn = self.drawn.and_then(|drawn| drawn.tempo.as_ref());
        tempo::tempo_ui(ui, whole, drawn, figures, data, out);
        tempo::steps_ui(ui, whole, self.drawn, figures, data, out);
    }

    fn load_ui(&self, ui: &mut Ui, figures: &mut Figures, out: &mut Vec<Action>) {
        load::load_ui(ui, self.whole, self.drawn, figures, self.data, out);
    }
}
