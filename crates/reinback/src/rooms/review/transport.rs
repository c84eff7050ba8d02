//! Play, steps, ways of looking, speed and times, above the strip.

use egui::{ComboBox, Ui};

use super::{ReviewData, ReviewView, hearing};
use crate::action::Action;
use crate::clock;
use crate::command::Command;
use crate::stage::{Creep, SPEEDS};
use crate::theme;
use crate::widgets::{Icon, icon_button};

/// Room for the words on what does not count, in points.
const LEGEND_WIDTH: f32 = 180.0;

/// Room for the size and the rate of the film, in points; else they are told under the pointer.
const ABOUT_WIDTH: f32 = 520.0;

/// Draws the row.
pub(super) fn transport_ui(
    ui: &mut Ui,
    view: &mut ReviewView,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        film_ui(ui, view, out);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            for (icon, command) in [
                (Icon::Fit, Command::ZoomAll),
                (Icon::Plus, Command::ZoomIn),
                (Icon::Minus, Command::ZoomOut),
            ] {
                command_icon(ui, icon, command, false, out);
            }
            ui.add_space(6.0);
            hearing::hearing_ui(ui, data, out);
            legend_ui(ui, data);
        });
    });
}

/// The row beneath a film that fills the window.
pub(super) fn slim_ui(
    ui: &mut Ui,
    view: &mut ReviewView,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        film_ui(ui, view, out);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            hearing::hearing_ui(ui, data, out);
            let running = data.marking(view).current();
            if let Some(bout) = running {
                let ink = theme::tokens(ui).ink_soft;
                let name = super::bout_name(data.words(), bout);
                ui.add(egui::Label::new(egui::RichText::new(name).color(ink)).truncate());
            }
        });
    });
}

/// What is done with the film, and where it is.
fn film_ui(ui: &mut Ui, view: &mut ReviewView, out: &mut Vec<Action>) {
    play_ui(ui, view, out);
    looking_ui(ui, view, out);
    speed_ui(ui, view.stage.speed(), out);
    times_ui(ui, view);
}

/// Play, and a frame either way; a button that stays down creeps.
fn play_ui(ui: &mut Ui, view: &mut ReviewView, out: &mut Vec<Action>) {
    let play = if view.stage.is_playing() {
        Icon::Pause
    } else {
        Icon::Play
    };
    for (icon, command, creep) in [
        (Icon::StepBack, Command::StepBack, Some(Creep::Back)),
        (play, Command::PlayPause, None),
        (Icon::StepForward, Command::StepForward, Some(Creep::On)),
    ] {
        let response = command_icon(ui, icon, command, false, out);
        let held = response.is_pointer_button_down_on()
            && ui.input(|i| !i.pointer.could_any_button_be_click());
        if held && creep.is_some() {
            view.looking.creep = creep;
        }
    }
}

/// Repeat, side by side, fill, still.
fn looking_ui(ui: &mut Ui, view: &ReviewView, out: &mut Vec<Action>) {
    for (icon, command, on) in [
        (Icon::Repeat, Command::Repeat, view.looking.repeat.is_some()),
        (Icon::Beside, Command::Beside, view.beside.is_some()),
        (Icon::Fill, Command::Fill, view.looking.filling),
        (Icon::Still, Command::Still, false),
    ] {
        command_icon(ui, icon, command, on, out);
    }
}

fn command_icon(
    ui: &mut Ui,
    icon: Icon,
    command: Command,
    on: bool,
    out: &mut Vec<Action>,
) -> egui::Response {
    let name = hint(ui, command);
    let response = if on {
        let chosen = egui::Frame::new()
            .fill(theme::tokens(ui).chosen)
            .corner_radius(4.0);
        let inner = chosen.show(ui, |ui| icon_button(ui, icon, &name, true));
        inner.inner
    } else {
        icon_button(ui, icon, &name, true)
    };
    if response.clicked() {
        out.push(Action::Run(command));
    }
    response
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
    let whole = ui.label(egui::RichText::new(whole).color(tokens.ink_soft));
    if let Some(info) = view.stage.info() {
        let varying = if info.variable_rate { ", varying" } else { "" };
        let rate = trimmed(info.average_rate);
        let about = format!("{}×{}, {rate} frames/s{varying}", info.width, info.height);
        if ui.available_width() > ABOUT_WIDTH {
            ui.label(egui::RichText::new(about).small().color(tokens.ink_soft));
        } else {
            whole.on_hover_text(about);
        }
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
