//! Tempo pace by pace over the rides, and transitions.

use egui::Ui;
use reinback_yard::WordId;

use super::parts;
use crate::action::Action;
use crate::report::whole::drawn::Leading;
use crate::report::whole::{PaceOver, Whole};
use crate::rooms::progress::ProgressData;
use crate::rooms::progress::figure::Figures;
use crate::theme;

fn variant(over: &PaceOver) -> Option<String> {
    over.variant.as_ref().map(WordId::spelled)
}

/// Draws the section.
pub(super) fn tempo_ui(
    ui: &mut Ui,
    whole: &Whole,
    drawn: Option<&Leading>,
    figures: &mut Figures,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    parts::card(ui, &say.plain("tempo-heading"), |ui| {
        if whole.tempos.is_empty() {
            parts::soft(ui, say.plain("tempo-none"));
            return;
        }
        for over in &whole.tempos {
            let said = say.tempo(over, variant(over).as_deref());
            ui.label(format!("{}.", said.join("; ")));
        }
        parts::figure(ui, "tempo", drawn, figures, data, out);
        for (what, found) in &whole.around {
            for sentence in say.around(*what, found) {
                ui.label(sentence);
            }
        }
        parts::soft(ui, say.plain("tempo-caution"));
    });
}

/// How many kinds are listed.
const LISTED: usize = 8;

/// Draws the section.
pub(super) fn steps_ui(
    ui: &mut Ui,
    whole: &Whole,
    drawn: Option<&Leading>,
    figures: &mut Figures,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    parts::card(ui, &say.plain("steps-heading"), |ui| {
        if whole.steps.rides == 0 {
            parts::soft(ui, say.plain("steps-none"));
            return;
        }
        for sentence in say.steps(&whole.steps) {
            ui.label(sentence);
        }
        let most = whole.steps.by_kind.first().map_or(1, |(_, times)| *times);
        let fill = theme::tokens(ui).leather;
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            for (kind, times) in whole.steps.by_kind.iter().take(LISTED) {
                let share = *times as f32 / most.max(1) as f32;
                parts::bar_row(ui, &say.steps_kind(kind), share, &say.count(*times), fill);
            }
        });
        parts::figure(ui, "steps", drawn, figures, data, out);
    });
}
