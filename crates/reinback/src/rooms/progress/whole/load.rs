//! The load: minutes by pace and exercise, week by week, and what to think about.

use egui::{Ui, vec2};

use super::parts;
use crate::action::Action;
use crate::figure::Figure;
use crate::report::whole::Whole;
use crate::report::whole::drawn::Drawn;
use crate::rooms::progress::ProgressData;
use crate::rooms::progress::chart::bars_ui;
use crate::rooms::progress::figure::{Beside, Figures};
use crate::theme;
use crate::widgets::icon::{self, Icon};

/// Exercises that are listed.
const LISTED: usize = 6;

/// Draws the section.
pub(super) fn load_ui(
    ui: &mut Ui,
    whole: &Whole,
    drawn: Option<&Drawn>,
    figures: &mut Figures,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    parts::card(ui, &say.plain("load-heading"), |ui| {
        for caution in say.load_cautions(&whole.load.cautions) {
            caution_ui(ui, caution);
        }
        for sentence in say.load(&whole.load) {
            ui.label(sentence);
        }
        let weeks = drawn.and_then(|drawn| drawn.weeks.as_ref());
        parts::figure(ui, "load", weeks, figures, data, out);
        let paces = drawn.and_then(|drawn| drawn.paces.as_ref());
        paces_ui(ui, whole, (paces, figures), data, out);
        parts::soft(ui, say.plain("load-caution"));
    });
}

fn caution_ui(ui: &mut Ui, text: String) {
    let ink = theme::tokens(ui).caution;
    ui.horizontal_wrapped(|ui| {
        let (_, place) = ui.allocate_space(vec2(16.0, 18.0));
        icon::paint(ui.painter(), Icon::Trouble, place.center(), 13.0, ink);
        ui.label(egui::RichText::new(text).color(ink));
    });
}

fn paces_ui(
    ui: &mut Ui,
    whole: &Whole,
    (paces, figures): (Option<&Figure>, &mut Figures),
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    let ridden = &whole.ridden.all;
    if ridden.all <= 0 {
        return;
    }
    ui.add_space(4.0);
    let in_days = say.text(
        "load-in-days",
        &[
            ("length", say.length(ridden.all).into()),
            ("rides", say.in_rides(ridden.rides as usize).into()),
        ],
    );
    match paces {
        Some(paces) => {
            let beside = Beside::Words(&in_days);
            bars_ui(ui, paces, ("paces", beside), figures, say, out);
        }
        None => {
            ui.label(in_days);
        }
    }
    let listed: Vec<String> = whole
        .ridden
        .exercises
        .iter()
        .take(LISTED)
        .map(|(word, nanos)| {
            let name = data.yard.words.exercise_name(word);
            say.text(
                "load-exercise",
                &[
                    ("exercise", say.exercise(&name).into_owned().into()),
                    ("length", say.length(*nanos).into()),
                ],
            )
        })
        .collect();
    if !listed.is_empty() {
        parts::soft(ui, listed.join("; "));
    }
    if ridden.left + ridden.right > 0 {
        parts::soft(ui, say.on_reins(ridden));
    }
}
