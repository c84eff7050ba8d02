//! Moments that no film shows, a line each.

use egui::{FontId, Rect, Ui, pos2};

use super::place::Lack;
use super::telling::{Telling, Told};
use super::tile::sign_of;
use crate::action::Action;
use crate::report::moments::FilmMoment;
use crate::rooms::progress::rows;
use crate::theme;
use crate::widgets::icon;

/// Points of a line.
const LINE: f32 = 23.0;

/// Points for when it was, and for that with the word that it was before.
const WHEN: f32 = 125.0;
const BEFORE: f32 = 175.0;

/// Draws them.
pub(super) fn lines_ui(
    ui: &mut Ui,
    list: &[&FilmMoment],
    telling: &Telling<'_>,
    out: &mut Vec<Action>,
) {
    let (yard, say) = (telling.data.yard, telling.data.say);
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        for (at, moment) in list.iter().enumerate() {
            if !rows::near(ui, at, LINE) {
                continue;
            }
            let lack = match yard.ride(moment.id.ride()) {
                Some(ride) if !ride.films.is_empty() => Lack::NotFilmed,
                _ => Lack::NoFilm,
            };
            let told = telling.tell(moment);
            let spoken = format!("{}; {}", told.spoken(say), lack.said(say).0);
            let (rect, response) = rows::row(ui, LINE, &spoken, false);
            if ui.is_rect_visible(rect) {
                let before = telling.question.is_before(moment.date);
                let when = if before { BEFORE } else { WHEN };
                line(ui, rect, (moment, &told), when);
            }
            if response.on_hover_text(spoken).clicked() {
                out.push(Action::OpenRide(moment.id.ride(), Some(moment.lead_in())));
            }
        }
    });
}

fn line(ui: &Ui, rect: Rect, (moment, told): (&FilmMoment, &Told), when: f32) {
    let tokens = theme::tokens(ui);
    let (middle, mut left) = (rect.center().y, rect.left() + 6.0);
    let (sign, ink) = sign_of(moment, tokens);
    icon::paint(ui.painter(), sign, pos2(left + 4.0, middle), 8.0, ink);
    left += 16.0;
    let small = FontId::proportional(12.5);
    let mut part = |text: &str, width: f32, font: FontId, ink| {
        let right = (left + width).min(rect.right() - 4.0);
        rows::text(ui, pos2(left, middle), right, text, font, ink);
        left += width;
    };
    part(&told.when, when, small.clone(), tokens.ink_soft);
    if let Some(horse) = &told.horse {
        part(horse, 90.0, small, tokens.ink_soft);
    }
    let larger = FontId::proportional(13.5);
    part(&told.what, f32::INFINITY, larger, tokens.ink);
}
