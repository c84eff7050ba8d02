//! Tempo pace by pace over the rides, and transitions.

use egui::Ui;
use reinback_yard::WordId;

use super::parts;
use crate::action::Action;
use crate::report::whole::drawn::{Drawn, Leading};
use crate::report::whole::{PaceOver, Whole};
use crate::rooms::progress::ProgressData;
use crate::rooms::progress::chart::bars_ui;
use crate::rooms::progress::figure::{Beside, Figures};
use crate::said::Say;

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
            tap_ui(ui, whole, say, out);
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

/// Offers to tap the tempo of the newest ride with a film.
fn tap_ui(ui: &mut Ui, whole: &Whole, say: &Say, out: &mut Vec<Action>) {
    let Some((ride, at)) = whole.to_tap else {
        parts::soft(ui, say.plain("tap-no-film"));
        return;
    };
    if ui.button(say.plain("tap-tempo")).clicked() {
        out.push(Action::TapTempo(ride, at));
    }
}

/// Draws the section.
pub(super) fn steps_ui(
    ui: &mut Ui,
    whole: &Whole,
    drawn: Option<&Drawn>,
    figures: &mut Figures,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    let nothing = (whole.steps.rides == 0).then(|| say.plain("steps-none"));
    parts::section(ui, &say.plain("steps-heading"), nothing, |ui| {
        for sentence in say.steps(&whole.steps) {
            ui.label(sentence);
        }
        let Some(drawn) = drawn else { return };
        if let Some(kinds) = &drawn.kinds {
            let beside = Beside::Words(&kinds.title);
            bars_ui(ui, kinds, ("kinds", beside), figures, say, out);
        }
        parts::figure(ui, "steps", drawn.steps.as_ref(), figures, data, out);
    });
}
