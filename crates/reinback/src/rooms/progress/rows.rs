//! Rows that can be pressed: one shape for lines, rides and moments.

use egui::{
    Align2, Color32, FontId, Painter, Pos2, Rect, Response, Sense, Stroke, Ui, WidgetInfo, pos2,
    vec2,
};

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
            let stroke = Stroke::new(1.5, tokens.leather);
            ui.painter()
                .rect_stroke(rect, 6.0, stroke, egui::StrokeKind::Inside);
        }
    }
    (rect, response)
}

/// How many rows of a list always have their words.
const ALWAYS: usize = 60;

/// Whether the next row, of a list whose `at`th it is, has to be made: the first ones always, of
/// the others only those in sight and one screen around. For one that has not, its room is left.
pub(super) fn near(ui: &mut Ui, at: usize, height: f32) -> bool {
    let size = vec2(ui.available_width(), height);
    let place = Rect::from_min_size(ui.cursor().min, size);
    let sight = ui.clip_rect();
    let sight = sight.expand2(vec2(0.0, sight.height()));
    if at < ALWAYS || sight.intersects(place) {
        return true;
    }
    ui.allocate_space(size);
    false
}

/// One line of text from a place to the right, cut off with dots at `right`.
pub(super) fn text(ui: &Ui, at: Pos2, right: f32, text: &str, font: FontId, ink: Color32) {
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, ink);
    job.wrap = egui::text::TextWrapping::truncate_at_width((right - at.x).max(0.0));
    let galley = ui.painter().layout_job(job);
    let top = at.y - galley.size().y / 2.0;
    ui.painter().galley(pos2(at.x, top), galley, ink);
}

/// Text from a place on, in at most so many lines up to `right`; the last is cut off with dots.
pub(super) fn wrapped_lines(
    ui: &Ui,
    (at, right): (Pos2, f32),
    most: usize,
    text: &str,
    font: FontId,
    ink: Color32,
) {
    let width = (right - at.x).max(0.0);
    let mut job = egui::text::LayoutJob::simple(text.to_owned(), font, ink, width);
    job.wrap.max_rows = most;
    let galley = ui.painter().layout_job(job);
    ui.painter().galley(at, galley, ink);
}

/// One line of text that ends at a place.
pub(super) fn text_to(ui: &Ui, at: Pos2, text: &str, font: FontId, ink: Color32) {
    ui.painter().text(at, Align2::RIGHT_CENTER, text, font, ink);
}

/// A dot with a rim of so many points that keeps it apart from the next. Both are discs, which cost
/// four corners each; a rim drawn as a line costs a hundred, and a list has thousands of dots.
pub(super) fn dot(painter: &Painter, at: Pos2, radius: f32, (ink, rim): (Color32, Stroke)) {
    painter.circle_filled(at, radius + rim.width / 2.0, rim.color);
    painter.circle_filled(at, radius - rim.width / 2.0, ink);
}
