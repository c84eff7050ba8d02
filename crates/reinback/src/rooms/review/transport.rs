//! Play, steps, speed and times, above the strip.

use egui::{ComboBox, Ui};

use super::{ReviewData, ReviewView, hearing};
use crate::action::Action;
use crate::clock;
use crate::command::Command;
use crate::stage::SPEEDS;
use crate::theme;
use crate::widgets::{Icon, icon_button};

/// Room for the words on what does not count, in points.
const LEGEND_WIDTH: f32 = 180.0;

/// Draws the row.
pub(super) fn transport_ui(
    ui: &mut Ui,
    view: &ReviewView,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        let play = if view.stage.is_playing() {
            Icon::Pause
        } else {
            Icon::Play
        };
        for (icon, command) in [
            (Icon::StepBack, Command::StepBack),
            (play, Command::PlayPause),
            (Icon::StepForward, Command::StepForward),
        ] {
            if icon_button(ui, icon, &hint(ui, command), true).clicked() {
                out.push(Action::Run(command));
            }
        }
        speed_ui(ui, view.stage.speed(), out);
        times_ui(ui, view);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            for (icon, command) in [
                (Icon::Fit, Command::ZoomAll),
                (Icon::Plus, Command::ZoomIn),
                (Icon::Minus, Command::ZoomOut),
            ] {
                if icon_button(ui, icon, &hint(ui, command), true).clicked() {
                    out.push(Action::Run(command));
                }
            }
            ui.add_space(6.0);
            hearing::hearing_ui(ui, data, out);
            legend_ui(ui, data);
        });
    });
}

fn hint(ui: &Ui, command: Command) -> String {
    command.named(ui.ctx())
}

fn speed_ui(ui: &mut Ui, speed: f64, out: &mut Vec<Action>) {
    let text = |speed: f64| format!("{speed}×");
    let response = ComboBox::from_id_salt("speed")
        .width(64.0)
        .selected_text(text(speed))
        .show_ui(ui, |ui| {
            for choice in SPEEDS {
                if ui
                    .selectable_label((choice - speed).abs() < 1e-9, text(choice))
                    .clicked()
                {
                    out.push(Action::Speed(choice));
                }
            }
        });
    response.response.widget_info(|| {
        egui::WidgetInfo::labeled(
            egui::Role::ComboBox,
            true,
            format!("Speed, {}", text(speed)),
        )
    });
}

fn times_ui(ui: &mut Ui, view: &ReviewView) {
    let tokens = theme::tokens(ui);
    let now = clock::exact(view.stage.position());
    ui.label(egui::RichText::new(now).font(theme::bold(17.0)));
    // Of fixed width, so that nothing beside it moves while the film runs.
    let frame = view
        .stage
        .frame_of_second()
        .map_or_else(String::new, |n| format!("frame {n}"));
    let frame = egui::RichText::new(frame).small().color(tokens.ink_soft);
    ui.add_sized(egui::vec2(56.0, 20.0), egui::Label::new(frame));
    let whole = format!("of {}", clock::short(view.stage.extent().to));
    ui.label(egui::RichText::new(whole).color(tokens.ink_soft));
    if let Some(info) = view.stage.info() {
        let varying = if info.variable_rate { ", varying" } else { "" };
        let rate = trimmed(info.average_rate);
        let about = format!("{}×{}, {rate} frames/s{varying}", info.width, info.height);
        ui.label(egui::RichText::new(about).small().color(tokens.ink_soft));
    }
    let damaged = match view.stage.damaged_places() {
        0 => return,
        1 => "1 place damaged".to_owned(),
        places => format!("{places} places damaged"),
    };
    ui.label(egui::RichText::new(damaged).small().color(tokens.fault))
        .on_hover_text(
            "What cannot be decoded is left out, and pictures with made-up parts say so; counted as far as the film was seen, and the strip shows where",
        );
}

fn trimmed(rate: f64) -> String {
    format!("{rate:.2}")
        .trim_end_matches('0')
        .trim_end_matches('.')
        .to_owned()
}

/// How many bouts do not count, if any.
fn legend_ui(ui: &mut Ui, data: &ReviewData<'_>) {
    let own = data
        .ride
        .bouts
        .iter()
        .filter(|bout| bout.review == data.review);
    let open = own
        .filter(|bout| bout.to.is_some() && !bout.reviewed)
        .count();
    if open > 0 {
        let long = format!("{open} not in the count (hatched)");
        // Where there is no room for it, its short form beside the times, and this under the
        // pointer.
        let room = ui.available_width() > LEGEND_WIDTH;
        let text = if room {
            long.clone()
        } else {
            format!("{open} hatched")
        };
        let ink = theme::tokens(ui).ink_soft;
        ui.label(egui::RichText::new(text).small().color(ink))
            .on_hover_text(long);
    }
}
