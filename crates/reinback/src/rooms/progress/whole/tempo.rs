//! Tempo pace by pace over the rides, and transitions.

use egui::Ui;
use reinback_yard::{Moment, WordId};

use super::{lead_in, parts};
use crate::action::Action;
use crate::report::whole::drawn::{Drawn, Leading};
use crate::report::whole::{PaceOver, Whole};
use crate::rooms::progress::ProgressData;
use crate::rooms::progress::chart::bars_ui;
use crate::rooms::progress::figure::{Beside, Figures};

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
            tap_ui(ui, whole, data, out);
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

/// Offers to tap the tempo of the newest ride, from its first attempt on.
fn tap_ui(ui: &mut Ui, whole: &Whole, data: &ProgressData<'_>, out: &mut Vec<Action>) {
    let Some(newest) = whole.rides.last() else {
        return;
    };
    if ui.button(data.say.plain("tap-tempo")).clicked() {
        let ride = data.yard.ride(newest.ride);
        let first = ride.and_then(|ride| ride.bouts.iter().map(|bout| bout.from).min());
        let at = first.map_or(Moment(0), |from| Moment(lead_in(from).0.max(0)));
        out.push(Action::TapTempo(newest.ride, at));
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
    parts::card(ui, &say.plain("steps-heading"), |ui| {
        if whole.steps.rides == 0 {
            parts::soft(ui, say.plain("steps-none"));
            return;
        }
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
