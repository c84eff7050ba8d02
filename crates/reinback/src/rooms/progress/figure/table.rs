//! The numbers of a figure in rows, each with the names of its columns for those who hear it.
//! Columns for which a line has no room stand in a second one below, so that nothing is cut off and
//! nothing scrolls sideways.

use egui::{Align2, Color32, FontId, Rect, Sense, Ui, pos2, vec2};

use super::{Pressed, Shown};
use crate::figure::{Align, Table};
use crate::rooms::progress::rows;
use crate::theme;

/// Height of a line, and what a row has beyond its lines.
const LINE: f32 = 18.0;
const AROUND: f32 = 6.0;
/// Room between two columns.
const GAP: f32 = 16.0;
/// The widest column; longer words are cut off, and said in whole when they are pointed at.
const WIDEST: f32 = 240.0;
/// How many rows are looked at for the widths.
const LOOKED_AT: usize = 40;

/// Where a column stands: its line, and from where to where from the left.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Place {
    line: usize,
    left: f32,
    right: f32,
}

/// Draws the rows; gives the one that was pressed, where pressing does something.
pub(super) fn table_ui(ui: &mut Ui, table: &Table, shown: Shown<'_>) -> Option<usize> {
    let tokens = theme::tokens(ui);
    let (bold, plain) = (theme::bold(13.0), FontId::proportional(13.0));
    let names: Vec<&str> = table.columns.iter().map(|own| own.name.as_str()).collect();
    let places = placed(
        &widths(ui, table, &bold, &plain),
        ui.available_width() - 12.0,
    );
    let lines = places.iter().map(|place| place.line + 1).max().unwrap_or(1);
    let high = LINE * lines as f32 + AROUND;
    let (head, _) = ui.allocate_exact_size(vec2(ui.available_width(), high), Sense::hover());
    fields_ui(ui, table, (&names, &places), head, &bold, tokens.ink_soft);
    let mut pressed = None;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for (at, row) in table.rows.iter().enumerate() {
            if !rows::near(ui, at, high) {
                continue;
            }
            let spoken = spoken(&names, row);
            let (rect, response) = rows::row(ui, high, &spoken, false);
            let fields: Vec<&str> = row.iter().map(String::as_str).collect();
            fields_ui(ui, table, (&fields, &places), rect, &plain, tokens.ink);
            let opens = shown.opens(Pressed::Row(at));
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
    let fields = fields.map(|(name, field)| format!("{name}: {field}"));
    fields.collect::<Vec<_>>().join("; ")
}

/// How wide each column is by its name and its first fields.
fn widths(ui: &Ui, table: &Table, bold: &FontId, plain: &FontId) -> Vec<f32> {
    let width = |text: &str, font: &FontId| {
        let font = font.clone();
        let galley = ui
            .painter()
            .layout_no_wrap(text.to_owned(), font, Color32::PLACEHOLDER);
        galley.size().x
    };
    let columns = table.columns.iter().enumerate().map(|(at, column)| {
        let fields = table.rows.iter().take(LOOKED_AT);
        let fields = fields.filter_map(|row| row.get(at));
        let widest = fields.map(|field| width(field, plain)).fold(0.0, f32::max);
        widest.max(width(&column.name, bold)).min(WIDEST)
    });
    columns.collect()
}

/// Columns of these widths from the left, line by line in a room of this width.
fn placed(widths: &[f32], room: f32) -> Vec<Place> {
    let mut places: Vec<Place> = Vec::new();
    let (mut line, mut left) = (0, 0.0);
    for width in widths {
        let width = width.min(room);
        if left > 0.0 && left + width > room {
            line += 1;
            left = 0.0;
        }
        places.push(Place {
            line,
            left,
            right: left + width,
        });
        left += width + GAP;
    }
    places
}

fn fields_ui(
    ui: &Ui,
    table: &Table,
    (fields, places): (&[&str], &[Place]),
    rect: Rect,
    font: &FontId,
    ink: Color32,
) {
    if !ui.is_rect_visible(rect) {
        return;
    }
    let (x, top) = (rect.left() + 6.0, rect.top() + AROUND / 2.0);
    for ((column, field), place) in table.columns.iter().zip(fields).zip(places) {
        let y = top + LINE * (place.line as f32 + 0.5);
        let (left, right) = (x + place.left, x + place.right);
        let mut job =
            egui::text::LayoutJob::simple_singleline((*field).to_owned(), font.clone(), ink);
        job.wrap = egui::text::TextWrapping::truncate_at_width(right - left + 1.0);
        let galley = ui.painter().layout_job(job);
        let at = match column.align {
            Align::Left => Align2::LEFT_CENTER.anchor_size(pos2(left, y), galley.size()),
            Align::Right => Align2::RIGHT_CENTER.anchor_size(pos2(right, y), galley.size()),
        };
        ui.painter().galley(at.min, galley, ink);
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// No column lies over another or outside, down to the narrowest panel.
        #[test]
        fn columns_keep_apart(
            widths in proptest::collection::vec(1.0_f32..WIDEST, 1..12),
            room in 120.0_f32..900.0,
        ) {
            let places = placed(&widths, room);
            prop_assert_eq!(places.len(), widths.len());
            for place in &places {
                prop_assert!(place.left >= 0.0 && place.right <= room + 0.01, "{place:?}");
            }
            for pair in places.windows(2) {
                let apart = pair[0].right + GAP <= pair[1].left + 0.01;
                let below = pair[1].line == pair[0].line + 1 && pair[1].left == 0.0;
                prop_assert!(apart || below, "{pair:?}");
            }
        }
    }
}
