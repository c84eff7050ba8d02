//! Faults on the plan of the arena, one plan for each size.

use egui::{Align2, FontId, Rect, Stroke, Ui, WidgetInfo, pos2, vec2};
use reinback_analysis::place::Spot;

use super::{lead_in, parts};
use crate::action::Action;
use crate::clock;
use crate::report::whole::{PlaceMoment, Places, Whole};
use crate::rooms::progress::{ProgressData, rows};
use crate::theme;
use crate::widgets::icon::{self, Icon};

const FIRST: usize = 5;

/// Draws the section.
pub(super) fn places_ui(
    ui: &mut Ui,
    whole: &Whole,
    full: &mut bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    parts::card(ui, &say.plain("place-heading"), |ui| {
        if whole.places.is_empty() {
            parts::soft(ui, say.plain("place-none"));
            return;
        }
        for places in &whole.places {
            for sentence in say.places(places) {
                ui.label(sentence);
            }
            if places.found.by_letter.is_empty() {
                continue;
            }
            plan_ui(ui, places, data);
            let all: Vec<&PlaceMoment> = places.faults.iter().rev().collect();
            moments_ui(ui, &all, full, data, out);
        }
        parts::soft(ui, say.plain("place-caution"));
    });
}

/// The arena lying on its side, A at the left and K below, with a dot for each click and a count
/// at each letter.
fn plan_ui(ui: &mut Ui, places: &Places, data: &ProgressData<'_>) {
    let tokens = theme::tokens(ui);
    let (across, along) = places.arena.size();
    let width = ui.available_width().min(620.0);
    let scale = (width - 44.0) / along as f32;
    let size = vec2(width, across as f32 * scale + 44.0);
    let (rect, response) = ui.allocate_exact_size(size, egui::Sense::hover());
    let counts = places.found.by_letter.iter();
    let said: Vec<String> = counts
        .map(|(letter, times)| data.say.at_letter(*letter, *times))
        .collect();
    let said = said.join(", ");
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, &said));
    if !ui.is_rect_visible(rect) {
        return;
    }
    let painter = ui.painter();
    let fence = rect.shrink(22.0);
    let screen = |x: f64, y: f64| {
        pos2(
            fence.left() + y as f32 * scale,
            fence.bottom() - x as f32 * scale,
        )
    };
    let line = Stroke::new(1.2, tokens.ink_soft);
    painter.rect(fence, 0.0, tokens.field, line, egui::StrokeKind::Middle);
    let faint = Stroke::new(1.0, tokens.line);
    painter.hline(fence.x_range(), fence.center().y, faint);
    for fault in &places.faults {
        if let Spot::Clicked(place) = fault.spot {
            let at = screen(place.x, place.y);
            painter.circle_filled(at, 3.0, tokens.fault.gamma_multiply(0.8));
        }
    }
    for (letter, place) in places.arena.letters() {
        let at = screen(place.x, place.y);
        let outward = vec2(
            if place.y <= 0.0 {
                -12.0
            } else if place.y >= along {
                12.0
            } else {
                0.0
            },
            if place.x <= 0.0 {
                12.0
            } else if place.x >= across {
                -12.0
            } else {
                0.0
            },
        );
        let font = theme::bold(12.0);
        let own = places.found.by_letter.iter().find(|(own, _)| own == letter);
        painter.text(
            at + outward,
            Align2::CENTER_CENTER,
            letter.to_string(),
            font.clone(),
            tokens.ink_soft,
        );
        if let Some((_, times)) = own {
            let inward = vec2(
                if place.x > 0.0 && place.x < across && outward.x == 0.0 {
                    20.0
                } else {
                    -outward.x
                },
                -outward.y,
            );
            let badge = Rect::from_center_size(at + inward, vec2(20.0, 16.0));
            painter.rect_filled(badge, 8.0, tokens.fault);
            painter.text(
                badge.center(),
                Align2::CENTER_CENTER,
                times.to_string(),
                font,
                tokens.raised,
            );
        }
    }
    response.on_hover_text(said);
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
