//! The head of the room: which horse, which days, against what, and in which order.

use egui::{ComboBox, RichText, TextEdit, Ui, WidgetInfo};
use reinback_yard::{HorseId, Rein};

use super::{Order, Page, ProgressData, ProgressView};
use crate::report::numbers::{Measure, Reins, Whose};
use crate::report::period::{Against, Span};
use crate::said::Say;
use crate::theme;
use crate::widgets::icon::{self, Icon, icon_button};

/// Draws the choices, and what they come to.
pub(super) fn choices_ui(ui: &mut Ui, view: &mut ProgressView, data: &ProgressData<'_>) {
    ui.horizontal_wrapped(|ui| {
        horse_ui(ui, view, data);
        ui.add_space(6.0);
        span_ui(ui, view, data);
        ui.add_space(6.0);
        against_ui(ui, view, data);
    });
    if let Err(why) = view.asked(data.revision, data.today) {
        let ink = theme::tokens(ui).fault;
        ui.label(RichText::new(data.say.unclear(&why)).color(ink));
    }
    let why = match view.shown_page() {
        Page::Horses => {
            let asked = view.asked(data.revision, data.today).ok().flatten();
            asked.and_then(|asked| view.glance.instead(&asked, data))
        }
        Page::Exercises | Page::Whole => {
            let stands_in = view.stands_in(data.today).and(view.prepared.instead());
            stands_in.map(str::to_owned)
        }
    };
    if let Some(why) = why {
        ui.label(why);
    }
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if view.shown_page() != Page::Whole {
                order_ui(ui, view, data.say);
                ui.add_space(6.0);
                if view.shown_page() == Page::Exercises {
                    measure_ui(ui, view, data.say);
                }
                reins_ui(ui, view, data.say);
            }
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                page_ui(ui, view, data);
                summary_ui(ui, view, data.say);
            });
        });
    });
}

/// Which days: one list, arrows from month to month, and fields for days of one's own.
fn span_ui(ui: &mut Ui, view: &mut ProgressView, data: &ProgressData<'_>) {
    let (say, today) = (data.say, data.today);
    let now = view.choice.span;
    let stands_in = view.stands_in(today).map(|(_, why)| why);
    let shown = match &stands_in {
        Some(why) => say.span_instead(why),
        None => say.span(now, today),
    };
    let step = |ui: &mut Ui, icon, name: String, forward| {
        let to = now.stepped(forward);
        let pressed = icon_button(ui, icon, &name, to.is_some()).clicked();
        to.filter(|_| pressed)
    };
    let months = matches!(now, Span::Month(_));
    let mut chosen = None;
    if months {
        chosen = step(ui, Icon::Before, say.plain("month-before"), false);
    }
    let list = ComboBox::from_id_salt("progress days")
        .selected_text(RichText::new(&shown).font(theme::bold(14.5)))
        .width(170.0)
        .height(320.0)
        .show_ui(ui, |ui| {
            // A month further back is listed while it is shown.
            let far = Some(now).filter(|now| matches!(now, Span::Month(2..)));
            let spans = [
                Span::Month(0),
                Span::Month(1),
                Span::FourWeeks,
                Span::ThreeMonths,
                Span::Everything,
                Span::Typed,
            ];
            for span in far.into_iter().chain(spans) {
                let name = say.span(span, today);
                let here = now == span && stands_in.is_none();
                if ui.selectable_label(here, name).clicked() {
                    chosen = Some(span);
                }
            }
        });
    named_list(&list.response, &say.plain("period-label"), &shown);
    if months {
        let on = step(ui, Icon::After, say.plain("month-after"), true);
        chosen = chosen.or(on);
    }
    if let Some(span) = chosen {
        view.choose_span(span, data.today);
    }
    if view.choice.span == Span::Typed {
        let names = [say.plain("first-day"), say.plain("last-day")];
        days_ui(ui, &mut view.choice.typed, names, say);
    }
}

/// What a list of choices is called, beside what is chosen in it.
fn named_list(response: &egui::Response, name: &str, chosen: &str) {
    response.widget_info(|| WidgetInfo {
        current_text_value: Some(chosen.to_owned()),
        ..WidgetInfo::labeled(egui::Role::ComboBox, true, name)
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
    let whose = &mut view.whose;
    let list = ComboBox::from_id_salt("progress horse")
        .selected_text(RichText::new(name).font(theme::bold(14.5)))
        .width(150.0)
        .show_ui(ui, |ui| {
            if data.yard.horses.len() > 1 {
                let all = say.plain("horse-all");
                ui.selectable_value(whose, Some(Whose::All), all);
            }
            for horse in &data.yard.horses {
                let one = Some(Whose::One(horse.id));
                ui.selectable_value(whose, one, &horse.name);
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
    let say = data.say;
    // What is before the days on screen, where these took the place of a month.
    let span = match view.stands_in(data.today) {
        Some(_) => Span::FourWeeks,
        None => view.choice.span,
    };
    let (choice, today) = (&view.choice, data.today);
    let name = |against: Against| say.against(choice, (span, against), today);
    let now = choice.against();
    let mut chosen = now;
    let label = ui.label(say.plain("compare"));
    let list = ComboBox::from_id_salt("progress against")
        .selected_text(name(now))
        .width(150.0)
        .show_ui(ui, |ui| {
            for against in choice.span.comparisons() {
                ui.selectable_value(&mut chosen, *against, name(*against));
            }
        });
    list.response.labelled_by(label.id);
    if chosen != now {
        view.choose_against(chosen, today);
    }
    match chosen {
        Against::Typed => {
            let names = [say.plain("other-first-day"), say.plain("other-last-day")];
            days_ui(ui, &mut view.choice.others, names, say);
        }
        Against::DayBetween => {
            let tip = say.plain("against-first");
            let name = say.plain("against-day");
            day_ui(ui, &mut view.choice.between, &name, tip, say);
        }
        Against::Earlier | Against::Reins | Against::Nothing => {}
    }
}

/// Two fields for days.
fn days_ui(ui: &mut Ui, days: &mut [String; 2], names: [String; 2], say: &Say) {
    for (text, name) in days.iter_mut().zip(names) {
        let tip = say.text("day-hint", &[("day", name.as_str().into())]);
        day_ui(ui, text, &name, tip, say);
    }
}

fn day_ui(ui: &mut Ui, text: &mut String, name: &str, tip: String, say: &Say) {
    let field = TextEdit::singleline(text)
        .hint_text(say.plain("day-example"))
        .desired_width(104.0);
    let response = ui.add(field).on_hover_text(tip);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, name));
}

/// Which attempts are counted.
fn reins_ui(ui: &mut Ui, view: &mut ProgressView, say: &Say) {
    let both = [
        Reins::Both,
        Reins::Only(Rein::Left),
        Reins::Only(Rein::Right),
    ];
    let compared = view.choice.against() == Against::Reins;
    let now = if compared { Reins::Both } else { view.reins };
    ui.add_enabled_ui(!compared, |ui| {
        let list = ComboBox::from_id_salt("progress reins")
            .selected_text(say.reins_counted(now))
            .width(110.0)
            .show_ui(ui, |ui| {
                for reins in both {
                    ui.selectable_value(&mut view.reins, reins, say.reins_counted(reins));
                }
            });
        named_list(
            &list.response,
            &say.plain("reins-label"),
            &say.reins_counted(now),
        );
    });
}

/// What of the attempts is counted.
fn measure_ui(ui: &mut Ui, view: &mut ProgressView, say: &Say) {
    let list = ComboBox::from_id_salt("progress measure")
        .selected_text(say.measure(view.measure))
        .width(130.0)
        .show_ui(ui, |ui| {
            for (measure, tip) in [
                (Measure::Attempts, say.plain("measure-attempts-tip")),
                (Measure::Faults, say.plain("measure-faults-tip")),
            ] {
                let name = say.measure(measure);
                ui.selectable_value(&mut view.measure, measure, name)
                    .on_hover_text(tip);
            }
        });
    let chosen = say.measure(view.measure);
    named_list(&list.response, &say.plain("measure-label"), &chosen);
}

fn page_ui(ui: &mut Ui, view: &mut ProgressView, data: &ProgressData<'_>) {
    let say = data.say;
    let (many, all) = (data.yard.horses.len() > 1, view.whose == Some(Whose::All));
    for (page, name, there) in [
        (Page::Horses, say.plain("page-horses"), many),
        (Page::Exercises, say.plain("page-exercises"), true),
        (Page::Whole, say.plain("page-whole"), !all),
    ] {
        if there
            && ui
                .selectable_label(view.shown_page() == page, name)
                .clicked()
        {
            view.turn_to(page);
        }
    }
    ui.add_space(8.0);
}

fn order_ui(ui: &mut Ui, view: &mut ProgressView, say: &Say) {
    let [first, first_tip] = if view.shown_page() == Page::Horses {
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
    // The rows of all horses say each how many rides of which days.
    if view.counted().is_none() || view.shown_page() == Page::Horses {
        return;
    }
    let said = view.prepared.summary();
    let label = egui::Label::new(RichText::new(said).color(tokens.ink_soft)).truncate();
    ui.add(label)
        .on_hover_text(format!("{said}.\n{}", say.plain("summary-tip")));
}
