//! What of the whole horse belongs to an opened exercise: whether it runs after its changes, its
//! series, and its places.

use egui::Ui;
use reinback_yard::WordId;

use super::{Full, Section, parts, places, series};
use crate::action::Action;
use crate::report::whole::{PlaceMoment, Whole};
use crate::rooms::progress::ProgressData;
use crate::rooms::progress::chart::WholeFigures;
use crate::rooms::progress::figure::Figures;

/// Draws the parts an exercise has, below its tempo; nothing for one that has none.
pub(in crate::rooms::progress) fn line_ui(
    ui: &mut Ui,
    (whole, drawn): (&Whole, &WholeFigures),
    (figures, full): (&mut Figures, &mut Full),
    exercise: &WordId,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    if let Some((what, found)) = whole.around_of(exercise) {
        for sentence in say.around(*what, found) {
            ui.label(sentence);
        }
    }
    if !drawn.series.is_empty() {
        parts::heading(ui, &say.plain("series-heading"));
        let series = drawn.series.iter();
        let series: Vec<_> = series.map(|(one, beats)| (one, beats.as_ref())).collect();
        series::rows_ui(ui, &series, (figures, full.of(Section::Series)), data, out);
    }
    let placed: Vec<&PlaceMoment> = whole
        .places
        .iter()
        .flat_map(|places| places.faults.iter().rev())
        .filter(|fault| fault.exercise.as_ref() == Some(exercise))
        .collect();
    if !placed.is_empty() {
        parts::heading(ui, &say.plain("place-heading"));
        for (at, plan) in drawn.plans.iter().enumerate() {
            places::plan_ui(ui, plan, &format!("plan {at}"), figures, say, out);
        }
        places::moments_ui(ui, &placed, full.of(Section::Places), data, out);
        parts::soft(ui, say.plain("place-caution"));
    }
}
