//! The numbers of a figure in rows, each with the names of its columns for those who hear it.

use egui::{FontId, Rect, Sense, Ui, pos2, vec2};

use crate::figure::{Align, Table};
use crate::rooms::progress::rows;
use crate::theme;

/// Height of a row.
const HIGH: f32 = 24.0;
/// Room between two columns.
const GAP: f32 = 12.0;
/// How many letters of a field count for the width of its column, at least and at most.
const LETTERS: [usize; 2] = [4, 40];
/// How many rows are looked at for the widths.
const LOOKED_AT: usize = 40;

/// Draws the rows; gives the one that was pressed, where pressing does something.
pub(super) fn table_ui(ui: &mut Ui, table: &Table, opens: Option<&str>) -> Option<usize> {
    let tokens = theme::tokens(ui);
    let shares = shares(table);
    let (head, _) = ui.allocate_exact_size(vec2(ui.available_width(), HIGH), Sense::hover());
    let names: Vec<&str> = table.columns.iter().map(|own| own.name.as_str()).collect();
    fields_ui(
        ui,
        table,
        (&names, &shares),
        head,
        &theme::bold(13.0),
        tokens.ink_soft,
    );
    let mut pressed = None;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for (at, row) in table.rows.iter().enumerate() {
            if !rows::near(ui, at, HIGH) {
                continue;
            }
            let spoken = spoken(&names, row);
            let (rect, response) = rows::row(ui, HIGH, &spoken, false);
            let fields: Vec<&str> = row.iter().map(String::as_str).collect();
            let font = FontId::proportional(13.0);
            fields_ui(ui, table, (&fields, &shares), rect, &font, tokens.ink);
            let tip = opens.map_or_else(|| spoken.clone(), |opens| format!("{spoken}\n{opens}"));
            if response.on_hover_text(tip).clicked() && opens.is_some() {
                pressed = Some(at);
            }
        }
    });
    pressed
}

/// "Day: 4 May; Attempts: 6".
fn spoken(names: &[&str], row: &[String]) -> String {
    let fields = names.iter().zip(row);
    let fields = fields.filter(|(_, field)| !field.is_empty());
    let fields = fields.map(|(name, field)| {
        if name.is_empty() {
            field.clone()
        } else {
            format!("{name}: {field}")
        }
    });
    fields.collect::<Vec<_>>().join("; ")
}

/// What of the width each column takes: by its longest field, within bounds.
fn shares(table: &Table) -> Vec<f32> {
    let [least, most] = LETTERS;
    let longest = table.columns.iter().enumerate().map(|(at, column)| {
        let fields = table.rows.iter().take(LOOKED_AT);
        let fields = fields.filter_map(|row| row.get(at));
        let letters = fields.map(|field| field.chars().count());
        let letters = letters.chain([column.name.chars().count()]).max();
        letters.unwrap_or(least).clamp(least, most) as f32
    });
    let longest: Vec<f32> = longest.collect();
    let all: f32 = longest.iter().sum::<f32>().max(1.0);
    longest.iter().map(|letters| letters / all).collect()
}

fn fields_ui(
    ui: &Ui,
    table: &Table,
    (fields, shares): (&[&str], &[f32]),
    rect: Rect,
    font: &FontId,
    ink: egui::Color32,
) {
    if !ui.is_rect_visible(rect) {
        return;
    }
    let y = rect.center().y;
    let room = rect.width() - 12.0;
    let mut left = rect.left() + 6.0;
    for ((column, field), share) in table.columns.iter().zip(fields).zip(shares) {
        let right = left + room * share;
        match column.align {
            Align::Left => rows::text(ui, pos2(left, y), right - GAP, field, font.clone(), ink),
            Align::Right => rows::text_to(ui, pos2(right - GAP, y), field, font.clone(), ink),
        }
        left = right;
    }
}
