//! What stands beside the film: the exercise and the list, or a panel in their place.

use std::ops::RangeInclusive;

use egui::{Frame, Margin, Panel, Ui};

use super::{
    ReviewData, ReviewView, arena, beside, clips, current, list, measure, notes, second, sheet,
};
use crate::action::Action;
use crate::stage::Placed;
use crate::theme;

/// Draws it.
pub(super) fn side_ui(
    ui: &mut Ui,
    view: &mut ReviewView,
    placed: &[Placed],
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let now = view.stage.position();
    if view.notes.is_some() {
        panel(ui, "notes side", 440.0, 360.0..=640.0, |ui| {
            list::note_ui(ui, view, data, out);
            if let Some(import) = &mut view.notes {
                notes::panel::panel_ui(ui, import, now, data, out);
            }
        });
    } else if view.clips.is_some() {
        panel(ui, "clips side", 400.0, 340.0..=560.0, |ui| {
            list::note_ui(ui, view, data, out);
            let film = (&view.stage, &view.waves);
            if let Some(clips) = &mut view.clips {
                clips::panel::panel_ui(ui, clips, film, placed, data, out);
            }
        });
    } else if view.second.is_some() {
        panel(ui, "reviews side", 440.0, 360.0..=640.0, |ui| {
            list::note_ui(ui, view, data, out);
            if let Some(second) = &mut view.second {
                second::panel::panel_ui(ui, (second, &mut view.compared), data, out);
            }
        });
    } else if view.measuring.is_some() {
        panel(ui, "measure side", 380.0, 320.0..=560.0, |ui| {
            list::note_ui(ui, view, data, out);
            if let Some(measuring) = &view.measuring {
                let film = (&view.stage, view.chosen);
                measure::panel::panel_ui(ui, measuring, film, data, out);
            }
        });
    } else if view.plan.is_some() {
        panel(ui, "plan side", 380.0, 320.0..=560.0, |ui| {
            list::note_ui(ui, view, data, out);
            let chosen = view.chosen;
            if let Some(plan) = &mut view.plan {
                arena::panel::panel_ui(ui, plan, chosen, data, out);
            }
        });
    } else if view.sheet.is_some() {
        panel(ui, "sheet side", 460.0, 380.0..=760.0, |ui| {
            list::note_ui(ui, view, data, out);
            let film = (&view.stage, view.chosen);
            if let Some(panel) = &mut view.sheet {
                sheet::panel::panel_ui(ui, panel, film, data, out);
            }
        });
    } else if view.beside.is_some() {
        panel(ui, "beside side", 348.0, 300.0..=520.0, |ui| {
            list::note_ui(ui, view, data, out);
            if let Some(beside) = &mut view.beside {
                beside::panel::panel_ui(ui, beside, &view.stage, data, out);
            }
        });
    } else {
        panel(ui, "review side", 348.0, 300.0..=520.0, |ui| {
            current::current_ui(ui, view, data, out);
            ui.add_space(6.0);
            ui.separator();
            list::list_ui(ui, view, data, out);
        });
    }
}

/// A panel of its own width, which the rider may change.
fn panel(
    ui: &mut Ui,
    name: &'static str,
    width: f32,
    widths: RangeInclusive<f32>,
    contents: impl FnOnce(&mut Ui),
) {
    let frame = Frame::new()
        .fill(theme::tokens(ui).raised)
        .inner_margin(Margin::symmetric(14, 10));
    Panel::right(name)
        .resizable(true)
        .default_size(width)
        .size_range(widths)
        .frame(frame)
        .show(ui, contents);
}
