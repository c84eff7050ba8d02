//! Cards, tables and rows that the sections share.

use egui::{Align, FontId, Frame, Layout, Margin, Rect, RichText, Ui, WidgetInfo, pos2, vec2};

use crate::rooms::progress::rows;
use crate::theme;

/// A card with a heading.
pub(super) fn card(ui: &mut Ui, heading: &str, fill: impl FnOnce(&mut Ui)) {
    let tokens = theme::tokens(ui);
    Frame::new()
        .fill(tokens.raised)
        .corner_radius(8)
        .inner_margin(Margin::symmetric(14, 10))
        .outer_margin(Margin {
            bottom: 8,
            ..Margin::ZERO
        })
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            // Columns would justify the text.
            ui.with_layout(Layout::top_down(Align::Min), |ui| {
                self::heading(ui, heading);
                fill(ui);
            });
        });
}

/// A heading.
pub(super) fn heading(ui: &mut Ui, text: &str) {
    let ink = theme::tokens(ui).ink;
    ui.add_space(2.0);
    let label = ui.label(RichText::new(text).font(theme::bold(16.0)).color(ink));
    label.widget_info(|| WidgetInfo::labeled(egui::Role::Heading, true, text));
}

/// Text of second rank.
pub(super) fn soft(ui: &mut Ui, text: impl Into<String>) {
    let ink = theme::tokens(ui).ink_soft;
    ui.label(RichText::new(text).size(13.0).color(ink));
}

/// A button that shows the rest; true when it was pressed.
pub(super) fn more(ui: &mut Ui, text: String, full: &mut bool, all: usize, first: usize) {
    if !*full && all > first {
        *full = ui.button(text).clicked();
    }
}

/// A table of texts: heads and rows; gives the row that was pressed.
pub(super) fn table(ui: &mut Ui, heads: &[String], rows: &[Vec<String>]) -> Option<usize> {
    let tokens = theme::tokens(ui);
    let columns = heads.len().max(1);
    let mut pressed = None;
    ui.spacing_mut().item_spacing.y = 0.0;
    let size = vec2(ui.available_width(), 22.0);
    if heads.iter().any(|head| !head.is_empty()) {
        let (head, _) = ui.allocate_exact_size(size, egui::Sense::hover());
        let font = theme::bold(12.5);
        cells(ui, head, heads, columns, &font, tokens.ink_soft);
    }
    for (at, row) in rows.iter().enumerate() {
        let (rect, response) = rows::row(ui, 24.0, &row.join(", "), false);
        cells(
            ui,
            rect,
            row,
            columns,
            &FontId::proportional(13.0),
            tokens.ink,
        );
        if response.on_hover_text(row.join("\n")).clicked() {
            pressed = Some(at);
        }
    }
    pressed
}

fn cells(ui: &Ui, rect: Rect, texts: &[String], columns: usize, font: &FontId, ink: egui::Color32) {
    if !ui.is_rect_visible(rect) {
        return;
    }
    let width = rect.width() / columns as f32;
    for (at, text) in texts.iter().enumerate() {
        let left = rect.left() + width * at as f32 + 4.0;
        let place = pos2(left, rect.center().y);
        rows::text(ui, place, left + width - 8.0, text, font.clone(), ink);
    }
}

/// A name, a bar for its share, and a text behind it.
pub(super) fn bar_row(ui: &mut Ui, name: &str, share: f32, text: &str, fill: egui::Color32) {
    let tokens = theme::tokens(ui);
    let size = vec2(ui.available_width(), 22.0);
    let (rect, response) = ui.allocate_exact_size(size, egui::Sense::hover());
    let spoken = format!("{name}: {text}");
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &spoken));
    if !ui.is_rect_visible(rect) {
        return;
    }
    let middle = rect.center().y;
    let left = rect.left() + rect.width() * 0.28;
    let room = rect.width() * 0.42;
    let font = FontId::proportional(13.0);
    rows::text(
        ui,
        pos2(rect.left(), middle),
        left - 6.0,
        name,
        font.clone(),
        tokens.ink,
    );
    let long = (room * share.clamp(0.0, 1.0)).max(2.0);
    let bar = Rect::from_min_size(pos2(left, middle - 5.0), vec2(long, 10.0));
    ui.painter().rect_filled(bar, 2.0, fill);
    let at = pos2(left + room + 8.0, middle);
    rows::text(ui, at, rect.right(), text, font, tokens.ink_soft);
    response.on_hover_text(spoken);
}
