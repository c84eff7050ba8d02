//! Rows that can be pressed: one shape for lines, rides and moments.

use egui::{Align2, FontId, Pos2, Rect, Response, Sense, Ui, WidgetInfo, pos2, vec2};

use crate::theme;

/// A row over the whole width; `spoken` is what it says to a screen reader.
pub(super) fn row(ui: &mut Ui, height: f32, spoken: &str, chosen: bool) -> (Rect, Response) {
    let size = vec2(ui.available_width(), height);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, chosen, spoken));
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    if ui.is_rect_visible(rect) {
        let tokens = theme::tokens(ui);
        let lit = response.hovered() || response.has_focus();
        if chosen || lit {
            let fill = if chosen {
                tokens.chosen
            } else {
                tokens.button_hover
            };
            ui.painter().rect_filled(rect, 6.0, fill);
        }
        if response.has_focus() {
            let stroke = egui::Stroke::new(1.5, tokens.leather);
            ui.painter()
                .rect_stroke(rect, 6.0, stroke, egui::StrokeKind::Inside);
        }
    }
    (rect, response)
}

/// One line of text from a place to the right, cut off with dots at `right`.
pub(super) fn text(ui: &Ui, at: Pos2, right: f32, text: &str, font: FontId, ink: egui::Color32) {
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, ink);
    job.wrap = egui::text::TextWrapping::truncate_at_width((right - at.x).max(0.0));
    let galley = ui.painter().layout_job(job);
    let top = at.y - galley.size().y / 2.0;
    ui.painter().galley(pos2(at.x, top), galley, ink);
}

/// One line of text that ends at a place.
pub(super) fn text_to(ui: &Ui, at: Pos2, text: &str, font: FontId, ink: egui::Color32) {
    ui.painter().text(at, Align2::RIGHT_CENTER, text, font, ink);
}
