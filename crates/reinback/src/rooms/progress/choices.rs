//! The head of the room: which horse, which days, in which order.

use egui::{ComboBox, RichText, TextEdit, Ui, WidgetInfo};

use super::period::{self, Period};
use super::{Order, ProgressData, ProgressView, text};
use crate::counted::counted;
use crate::theme;
use crate::widgets::icon::{self, Icon};

/// Draws the choices, and what they come to.
pub(super) fn choices_ui(ui: &mut Ui, view: &mut ProgressView, data: &ProgressData<'_>) {
    ui.horizontal_wrapped(|ui| {
        horse_ui(ui, view, data);
        ui.add_space(6.0);
        for choice in Period::ALL {
            let name = choice.name(data.today);
            if ui.selectable_label(view.period == choice, name).clicked() {
                choose_period(view, choice, data);
            }
        }
        if view.period == Period::Days {
            typed_ui(ui, view);
        }
    });
    if let Err(why) = period::bounds(view.period, &view.typed, data.today) {
        let ink = theme::tokens(ui).fault;
        ui.label(RichText::new(why).color(ink));
    }
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            order_ui(ui, view);
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                summary_ui(ui, view);
            });
        });
    });
}

fn horse_ui(ui: &mut Ui, view: &mut ProgressView, data: &ProgressData<'_>) {
    let chosen = view.horse.and_then(|id| data.yard.horse(id));
    let name = chosen.map_or("No horse", |horse| &horse.name);
    let label = ui.label("Horse");
    let list = ComboBox::from_id_salt("progress horse")
        .selected_text(RichText::new(name).font(theme::bold(14.5)))
        .width(150.0)
        .show_ui(ui, |ui| {
            for horse in &data.yard.horses {
                ui.selectable_value(&mut view.horse, Some(horse.id), &horse.name);
            }
        });
    list.response.labelled_by(label.id);
}

/// Typed days begin with those that were looked at.
fn choose_period(view: &mut ProgressView, choice: Period, data: &ProgressData<'_>) {
    if choice == Period::Days
        && view.typed.iter().all(String::is_empty)
        && let Ok((from, to)) = period::bounds(view.period, &view.typed, data.today)
    {
        view.typed = [from, to].map(|day| day.map_or_else(String::new, |day| day.to_string()));
    }
    view.period = choice;
}

fn typed_ui(ui: &mut Ui, view: &mut ProgressView) {
    for (text, name) in view.typed.iter_mut().zip(["First day", "Last day"]) {
        let field = TextEdit::singleline(text)
            .hint_text("2026-03-01")
            .desired_width(104.0);
        let response = ui
            .add(field)
            .on_hover_text(format!("{name}; empty for any"));
        response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, name));
    }
}

fn order_ui(ui: &mut Ui, view: &mut ProgressView) {
    for (order, name, tip) in [
        (Order::Name, "By name", "From A to Z"),
        (
            Order::WorkOnFirst,
            "What to work on first",
            "By faulty attempts to expect in a ride: how often it goes wrong times how often it is \
             ridden. Rarely ridden exercises are pulled towards the horse's usual rate.",
        ),
    ] {
        let button = ui.selectable_label(view.order == order, name);
        if button.on_hover_text(tip).clicked() {
            view.order = order;
        }
    }
}

fn summary_ui(ui: &mut Ui, view: &ProgressView) {
    let tokens = theme::tokens(ui);
    if view.running.is_some() {
        let (_, place) = ui.allocate_space(egui::vec2(16.0, 18.0));
        icon::paint(
            ui.painter(),
            Icon::Pending,
            place.center(),
            12.0,
            tokens.ink_soft,
        );
        ui.label(RichText::new("Counting").small().color(tokens.ink_soft));
    }
    let Some(result) = view.counted() else {
        return;
    };
    let numbers = &result.numbers;
    let rides = u32::try_from(numbers.rides).unwrap_or(u32::MAX);
    let days = period::in_words((numbers.question.days.from, numbers.question.days.to));
    let mut parts = vec![format!("{}, {days}", counted(rides, "ride", "rides"))];
    parts.extend(text::left_out(numbers));
    let said = parts.join("; ");
    let label = egui::Label::new(RichText::new(&said).color(tokens.ink_soft)).truncate();
    ui.add(label).on_hover_text(format!(
        "{said}.\nOnly exercises set to reviewed are in a rate; closing one while marking does that."
    ));
}
