//! Faults on the plan of the arena, one plan for each size.

use egui::{FontId, Ui, pos2};

use super::{lead_in, parts};
use crate::action::Action;
use crate::clock;
use crate::report::whole::drawn::{Drawn, Leading};
use crate::report::whole::{PlaceMoment, Whole};
use crate::rooms::progress::chart::leading_ui;
use crate::rooms::progress::figure::Figures;
use crate::rooms::progress::{ProgressData, rows};
use crate::said::Say;
use crate::theme;
use crate::widgets::icon::{self, Icon};

const FIRST: usize = 5;

/// Draws the section.
pub(super) fn places_ui(
    ui: &mut Ui,
    whole: &Whole,
    (drawn, figures): (Option<&Drawn>, &mut Figures),
    full: &mut bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    let nothing = whole.places.is_empty();
    let nothing = nothing.then(|| say.plain("place-none"));
    parts::section(ui, &say.plain("place-heading"), nothing, |ui| {
        for (at, places) in whole.places.iter().enumerate() {
            for sentence in say.places(places) {
                ui.label(sentence);
            }
            if places.found.by_letter.is_empty() {
                continue;
            }
            if let Some(plan) = drawn.and_then(|drawn| drawn.plans.get(at)?.as_ref()) {
                plan_ui(ui, plan, &format!("plan {at}"), figures, say, out);
            }
            let all: Vec<&PlaceMoment> = places.faults.iter().rev().collect();
            moments_ui(ui, &all, full, data, out);
        }
        parts::soft(ui, say.plain("place-caution"));
    });
}

/// Height of a plan, in points.
const PLAN: f32 = 210.0;

/// Draws the plan of an arena; a click in it that is pointed at opens its moment.
pub(super) fn plan_ui(
    ui: &mut Ui,
    plan: &Leading,
    name: &str,
    figures: &mut Figures,
    say: &Say,
    out: &mut Vec<Action>,
) {
    leading_ui(ui, plan, (name, PLAN), figures.of(name), say, out);
}

/// Draws the faults that have a place, newest first; each opens its moment.
pub(super) fn moments_ui(
    ui: &mut Ui,
    moments: &[&PlaceMoment],
    full: &mut bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    let many = if *full { moments.len() } else { FIRST };
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for (at, moment) in moments.iter().take(many).enumerate() {
            if !rows::near(ui, at, 24.0) {
                continue;
            }
            let words = &data.yard.words;
            let name = words.fault_name(moment.exercise.as_ref(), &moment.fault);
            let spoken = say.text(
                "place-moment",
                &[
                    ("day", say.day(moment.date).into()),
                    ("time", clock::short(moment.at).into()),
                    ("fault", say.fault(&name).into_owned().into()),
                ],
            );
            let (rect, response) = rows::row(ui, 24.0, &spoken, false);
            if ui.is_rect_visible(rect) {
                let tokens = theme::tokens(ui);
                let sign = pos2(rect.left() + 12.0, rect.center().y);
                icon::paint(ui.painter(), Icon::Play, sign, 11.0, tokens.leather);
                let at = pos2(rect.left() + 26.0, rect.center().y);
                let font = FontId::proportional(13.0);
                rows::text(ui, at, rect.right() - 6.0, &spoken, font, tokens.ink);
            }
            if response.clicked() {
                out.push(Action::OpenRide(moment.ride, Some(lead_in(moment.at))));
            }
        }
    });
    let count = u32::try_from(moments.len()).unwrap_or(u32::MAX);
    let text = say.text("whole-show-all", &[("count", count.into())]);
    parts::more(ui, text, full, moments.len(), FIRST);
}
