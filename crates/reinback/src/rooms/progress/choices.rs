//! The head of the room: which horse, which days, in which order.

use egui::{ComboBox, RichText, TextEdit, Ui, WidgetInfo};
use reinback_yard::HorseId;

use super::against::Against;
use super::period::{self, Period};
use super::{Order, Page, ProgressData, ProgressView};
use crate::report::numbers::Whose;
use crate::said::Say;
use crate::theme;
use crate::widgets::icon::{self, Icon};

/// Draws the choices, and what they come to.
pub(super) fn choices_ui(ui: &mut Ui, view: &mut ProgressView, data: &ProgressData<'_>) {
    ui.horizontal_wrapped(|ui| {
        horse_ui(ui, view, data);
        ui.add_space(6.0);
        for choice in Period::ALL {
            let name = choice.name(data.say, data.today);
            if ui.selectable_label(view.period == choice, name).clicked() {
                choose_period(view, choice, data);
            }
        }
        if view.period == Period::Days {
            typed_ui(ui, view, data.say);
        } else {
            against_ui(ui, view, data);
        }
    });
    // With fields before it there is no room left in the row of a small window.
    if view.period == Period::Days {
        ui.horizontal(|ui| against_ui(ui, view, data));
    }
    let asked = view.against.asked(view.period, &view.typed, data.today);
    if let Err(why) = asked {
        let ink = theme::tokens(ui).fault;
        ui.label(RichText::new(why.said(data.say)).color(ink));
    }
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if view.page() != Page::Whole {
                order_ui(ui, view, data.say);
            }
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                page_ui(ui, view, data);
                summary_ui(ui, view, data.say);
            });
        });
    });
}

fn horse_ui(ui: &mut Ui, view: &mut ProgressView, data: &ProgressData<'_>) {
    let say = data.say;
    let name = match view.whose {
        Some(Whose::All) => say.plain("horse-all"),
        Some(Whose::One(horse)) => named(data, horse),
        None => say.plain("horse-none"),
    };
    let label = ui.label(data.say.plain("horse"));
    let list = ComboBox::from_id_salt("progress horse")
        .selected_text(RichText::new(name).font(theme::bold(14.5)))
        .width(150.0)
        .show_ui(ui, |ui| {
            if data.yard.horses.len() > 1 {
                let all = say.plain("horse-all");
                ui.selectable_value(&mut view.whose, Some(Whose::All), all);
            }
            for horse in &data.yard.horses {
                let one = Some(Whose::One(horse.id));
                ui.selectable_value(&mut view.whose, one, &horse.name);
            }
        });
    list.response.labelled_by(label.id);
}

/// The name of a horse.
pub(super) fn named(data: &ProgressData<'_>, horse: HorseId) -> String {
    let found = data.yard.horse(horse).map(|horse| horse.name.clone());
    found.unwrap_or_else(|| data.say.plain("horse-unnamed"))
}

/// What the days are compared with.
fn against_ui(ui: &mut Ui, view: &mut ProgressView, data: &ProgressData<'_>) {
    let (period, say) = (view.period, data.say);
    let name = |wanted: bool| Against::name(wanted, period, say, data.today);
    ui.add_space(6.0);
    let label = ui.label(say.plain("compare"));
    let list = ComboBox::from_id_salt("progress against")
        .selected_text(name(view.against.wanted))
        .width(170.0)
        .show_ui(ui, |ui| {
            for wanted in [true, false] {
                ui.selectable_value(&mut view.against.wanted, wanted, name(wanted));
            }
        });
    list.response.labelled_by(label.id);
    if view.against.wanted && Against::needs_a_day(period) {
        let field = TextEdit::singleline(&mut view.against.parting)
            .hint_text(say.plain("day-example"))
            .desired_width(104.0);
        let response = ui.add(field).on_hover_text(say.plain("against-first"));
        let spoken = say.plain("against-day");
        response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, &spoken));
    }
}

/// Typed days begin with those that were looked at.
fn choose_period(view: &mut ProgressView, choice: Period, data: &ProgressData<'_>) {
    if choice == Period::Days
        && view.typed.iter().all(String::is_empty)
        && let Ok(days) = period::bounds(view.period, &view.typed, data.today)
    {
        view.typed =
            [days.from, days.to].map(|day| day.map_or_else(String::new, |day| day.to_string()));
    }
    view.period = choice;
}

fn typed_ui(ui: &mut Ui, view: &mut ProgressView, say: &Say) {
    let names = [say.plain("first-day"), say.plain("last-day")];
    for (text, name) in view.typed.iter_mut().zip(names) {
        let field = TextEdit::singleline(text)
            .hint_text(say.plain("day-example"))
            .desired_width(104.0);
        let hint = say.text("day-hint", &[("day", name.as_str().into())]);
        let response = ui.add(field).on_hover_text(hint);
        response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, &name));
    }
}

fn page_ui(ui: &mut Ui, view: &mut ProgressView, data: &ProgressData<'_>) {
    let say = data.say;
    let (many, all) = (data.yard.horses.len() > 1, view.whose == Some(Whose::All));
    for (page, name, there) in [
        (Page::Horses, say.plain("page-horses"), many),
        (Page::Exercises, say.plain("page-exercises"), true),
        (Page::Whole, say.plain("page-whole"), !all),
    ] {
        if there && ui.selectable_label(view.page() == page, name).clicked() {
            view.turn_to(page);
        }
    }
    ui.add_space(8.0);
}

fn order_ui(ui: &mut Ui, view: &mut ProgressView, say: &Say) {
    let [first, first_tip] = if view.page() == Page::Horses {
        [say.plain("order-need"), say.plain("order-need-tip")]
    } else {
        [say.plain("order-first"), say.plain("order-first-tip")]
    };
    for (order, name, tip) in [
        (
            Order::Name,
            say.plain("order-name"),
            say.plain("order-name-tip"),
        ),
        (Order::WorkOnFirst, first, first_tip),
    ] {
        let button = ui.selectable_label(view.order == order, name);
        if button.on_hover_text(tip).clicked() {
            view.order = order;
        }
    }
}

fn summary_ui(ui: &mut Ui, view: &ProgressView, say: &Say) {
    let tokens = theme::tokens(ui);
    if view.is_counting() || view.whole.is_looking() || view.glance.is_gathering() {
        let (_, place) = ui.allocate_space(egui::vec2(16.0, 18.0));
        icon::paint(
            ui.painter(),
            Icon::Pending,
            place.center(),
            12.0,
            tokens.ink_soft,
        );
        ui.label(
            RichText::new(say.plain("counting"))
                .small()
                .color(tokens.ink_soft),
        );
    }
    if view.counting.has_failed() || view.whole.has_failed() || view.glance.has_failed() {
        let text = RichText::new(say.plain("counting-failed")).color(tokens.fault);
        ui.label(text);
    }
    let Some((wanted, counted)) = view.counted() else {
        return;
    };
    let numbers = &counted.numbers;
    let days = say.days(numbers.question.days);
    let rides = say.rides(numbers.rides);
    let mut parts = vec![say.text("summary", &[("rides", rides.into()), ("days", days.into())])];
    if let Some(earlier) = wanted.asked.earlier {
        parts.extend(say.few_rides(numbers, earlier));
    }
    parts.extend(say.left_out(numbers));
    let said = parts.join("; ");
    let label = egui::Label::new(RichText::new(&said).color(tokens.ink_soft)).truncate();
    ui.add(label)
        .on_hover_text(format!("{said}.\n{}", say.plain("summary-tip")));
}
