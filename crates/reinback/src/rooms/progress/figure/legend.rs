//! The legend of a figure: one switch a layer.

use egui::{Align2, FontId, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

use super::{FigureState, paint};
use crate::figure::layout::{LETTERS, SIGN, short};
use crate::figure::parts::swatch;
use crate::figure::{Figure, Layer};
use crate::theme;

/// The widest name.
const LONGEST: f32 = 170.0;
/// Height of a switch.
const HIGH: f32 = 24.0;

/// Draws the switches of the layers that have a name.
pub(super) fn legend_ui(ui: &mut Ui, figure: &Figure, state: &mut FigureState) {
    for (_, layer) in figure.legend() {
        let on = !state.off.contains(&layer.name);
        if switch_ui(ui, layer, on) && !state.off.remove(&layer.name) {
            state.off.insert(layer.name.clone());
        }
    }
}

/// Sign and name of a layer; true when it was pressed.
fn switch_ui(ui: &mut Ui, layer: &Layer, on: bool) -> bool {
    let tokens = theme::tokens(ui);
    let font = FontId::proportional(LETTERS);
    let width = |words: &str| paint::width(ui.painter(), words);
    let name = short(&layer.name, LONGEST, &width);
    let wide = SIGN + width(&name) + 4.0;
    let (rect, response) = ui.allocate_exact_size(vec2(wide, HIGH), Sense::click());
    response.widget_info(|| WidgetInfo::selected(egui::Role::CheckBox, true, on, &layer.name));
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        if response.hovered() || response.has_focus() {
            painter.rect_filled(rect, 6.0, tokens.button_hover);
        }
        if response.has_focus() {
            let rim = egui::Stroke::new(1.5, tokens.leather);
            painter.rect_stroke(rect, 6.0, rim, egui::StrokeKind::Inside);
        }
        let middle = rect.center().y;
        let sign = pos2(rect.left() + SIGN / 2.0 + 1.0, middle);
        if on {
            let place = Rect::from_center_size(sign, vec2(14.0, 12.0));
            for part in swatch(layer, place) {
                paint::part(painter, &part, tokens);
            }
        }
        let ink = if on { tokens.ink } else { tokens.ink_soft };
        let at = pos2(rect.left() + SIGN + 2.0, middle);
        let place = painter.text(at, Align2::LEFT_CENTER, &name, font, ink);
        if !on {
            let through = egui::Stroke::new(1.0, tokens.ink_soft);
            painter.hline(place.x_range(), place.center().y + 1.0, through);
        }
    }
    response.on_hover_text(&layer.name).clicked()
}
