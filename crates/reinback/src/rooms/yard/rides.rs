//! The rides, newest first, by month.

use chrono::NaiveDate;
use egui::{
    Align2, Button, FontId, Rect, RichText, ScrollArea, Sense, TextEdit, Ui, WidgetInfo, pos2, vec2,
};
use reinback_film::FilmErrorKind;
use reinback_yard::{Edit, MarkKind, Progress, Ride, RideName};

use super::details::Details;
use super::pictures::Picture;
use super::rows::{GAP, MONTH, ROW, Row, Rows};
use super::{YardData, YardView};
use crate::action::Action;
use crate::clock;
use crate::counted::counted;
use crate::notice::Notice;
use crate::theme;
use crate::widgets::icon::{self, Icon, icon_button};

/// Draws the rides of the chosen horse, or of all.
pub(super) fn rides_ui(
    ui: &mut Ui,
    view: &mut YardView,
    data: &YardData<'_>,
    out: &mut Vec<Action>,
) {
    let tokens = theme::tokens(ui);
    ui.horizontal(|ui| {
        let of = view.horse.and_then(|id| data.yard.horse(id)).map_or_else(
            || "Rides".to_owned(),
            |horse| format!("Rides of {}", horse.name),
        );
        ui.label(RichText::new(of).font(theme::bold(19.0)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let new = Button::new(
                RichText::new("New ride from film…")
                    .font(theme::bold(14.5))
                    .color(tokens.on_leather),
            )
            .fill(tokens.leather);
            if ui
                .add_enabled(data.writable, new)
                .on_hover_text("Or drop films onto the window")
                .clicked()
            {
                out.push(Action::ChooseFilms(view.horse));
            }
            let field = ui.add(
                TextEdit::singleline(&mut view.search)
                    .hint_text("Look for words or a day")
                    .desired_width(200.0),
            );
            field.widget_info(|| {
                WidgetInfo::labeled(egui::Role::TextInput, true, "Look for words or a day")
            });
        });
    });
    problems_ui(ui, view, data);
    ui.add_space(6.0);
    let list = view.sums.rows(view.horse, &view.search, data);
    let Rows { rows, tops } = &*list;
    if rows.is_empty() {
        empty_ui(ui, data);
        return;
    }
    let horse_known = view.horse.is_some();
    let whole = tops.last().copied().unwrap_or_default();
    ScrollArea::vertical()
        .auto_shrink([false, false])
        .show_viewport(ui, |ui, seen| {
            ui.set_height(whole);
            let corner = ui.max_rect().min;
            let width = ui.available_width();
            let first = tops
                .partition_point(|top| *top <= seen.top())
                .saturating_sub(1);
            for (at, (row, top)) in rows
                .iter()
                .zip(tops)
                .enumerate()
                .skip(first)
                .take_while(|(_, (_, top))| **top < seen.bottom())
            {
                let place =
                    Rect::from_min_size(corner + vec2(0.0, *top), vec2(width, row.height() - GAP));
                let mut inner =
                    ui.new_child(egui::UiBuilder::new().id_salt(row.name(at)).max_rect(place));
                match row {
                    Row::Month(day) => month_ui(&mut inner, *day),
                    Row::Ride(ride) => {
                        if let Some(ride) = data.yard.ride(*ride) {
                            ride_ui(&mut inner, ride, horse_known, view, data, out);
                        }
                    }
                    Row::Unread(unread) => unread_ui(&mut inner, unread, data),
                }
            }
        });
}

fn empty_ui(ui: &mut Ui, data: &YardData<'_>) {
    let tokens = theme::tokens(ui);
    ui.vertical_centered(|ui| {
        ui.add_space(ui.available_height() * 0.28);
        let (_, place) = ui.allocate_space(vec2(64.0, 56.0));
        icon::paint(
            ui.painter(),
            Icon::Film,
            place.center(),
            52.0,
            tokens.ink_soft,
        );
        if let Some(reading) = data.reading {
            let Progress { done, total } = reading.progress;
            ui.label(RichText::new("Still reading").font(theme::bold(18.0)));
            let text =
                format!("None fits among the {done} of {total} rides that were read so far.");
            ui.label(RichText::new(text).color(tokens.ink_soft));
        } else if data.yard.rides.is_empty() {
            ui.label(RichText::new("No ride yet").font(theme::bold(18.0)));
            ui.label(
                RichText::new(
                    "Drop the film of a ride onto this window, or choose it with the button above.",
                )
                .color(tokens.ink_soft),
            );
        } else {
            ui.label(RichText::new("No ride fits").font(theme::bold(18.0)));
            ui.label(
                RichText::new("Clear what is looked for, or choose another horse.")
                    .color(tokens.ink_soft),
            );
        }
    });
}

fn problems_ui(ui: &mut Ui, view: &mut YardView, data: &YardData<'_>) {
    if data.problems.is_empty() {
        return;
    }
    let tokens = theme::tokens(ui);
    let text = match data.problems.len() {
        1 => "1 thing to look at in this yard's files".to_owned(),
        n => format!("{n} things to look at in this yard's files"),
    };
    ui.horizontal(|ui| {
        let (_, place) = ui.allocate_space(vec2(18.0, 18.0));
        icon::paint(
            ui.painter(),
            Icon::Trouble,
            place.center(),
            16.0,
            tokens.caution,
        );
        ui.label(RichText::new(text).color(tokens.caution));
        if ui
            .button(if view.problems_open { "Hide" } else { "Show" })
            .clicked()
        {
            view.problems_open = !view.problems_open;
        }
    });
    if view.problems_open {
        ScrollArea::vertical()
            .id_salt("problems")
            .max_height(160.0)
            .show(ui, |ui| {
                for problem in data.problems {
                    let file = problem
                        .file
                        .strip_prefix(data.folder)
                        .unwrap_or(&problem.file)
                        .display();
                    let line = problem
                        .line
                        .map_or_else(String::new, |line| format!(", line {line}"));
                    ui.label(format!("{file}{line}: {}", problem.message));
                }
            });
    }
}

fn month_ui(ui: &mut Ui, day: Option<NaiveDate>) {
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), MONTH), Sense::hover());
    let text = day.map_or_else(
        || "Day not known yet".to_owned(),
        |day| day.format("%B %Y").to_string(),
    );
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Heading, true, &text));
    let at = pos2(rect.left() + 2.0, rect.bottom() - 6.0);
    ui.painter().text(
        at,
        Align2::LEFT_BOTTOM,
        text,
        theme::bold(15.5),
        theme::tokens(ui).ink_soft,
    );
}

/// A ride of which only the file's name is known.
fn unread_ui(ui: &mut Ui, unread: &RideName, data: &YardData<'_>) {
    let tokens = theme::tokens(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    let horse = unread.horse.and_then(|horse| data.yard.horse(horse));
    let horse = horse.map_or("A ride", |horse| &horse.name);
    let name = match unread.date {
        Some(day) => format!("{horse}, {}", day.format("%A, %-d %B")),
        None => horse.to_owned(),
    };
    response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::Label, true, format!("{name}, not read yet"))
    });
    if ui.is_rect_visible(rect) {
        let stroke = egui::Stroke::new(1.0, tokens.line);
        let painter = ui.painter();
        painter.rect_stroke(rect, 8.0, stroke, egui::StrokeKind::Inside);
        let left = rect.left() + 8.0 + (ROW - 16.0) * 16.0 / 9.0 + 14.0;
        for (y, text, font) in [
            (10.0, name.as_str(), theme::bold(15.5)),
            (54.0, "not read yet", FontId::proportional(13.0)),
        ] {
            let at = pos2(left, rect.top() + y);
            painter.text(at, Align2::LEFT_TOP, text, font, tokens.ink_soft);
        }
    }
}

fn ride_ui(
    ui: &mut Ui,
    ride: &Ride,
    horse_known: bool,
    view: &mut YardView,
    data: &YardData<'_>,
    out: &mut Vec<Action>,
) {
    let tokens = theme::tokens(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::click());
    let horse = data
        .yard
        .horse(ride.head.horse)
        .map_or("a horse", |horse| &horse.name);
    let day = ride.head.date.format("%A, %-d %B").to_string();
    let name = if horse_known {
        day.clone()
    } else {
        format!("{horse}, {day}")
    };
    response.widget_info(|| {
        WidgetInfo::labeled(
            egui::Role::Button,
            data.reading.is_none(),
            format!("Review {name}, {}, {}", ride.head.title, marked(ride)),
        )
    });
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        let fill = if response.hovered() || response.has_focus() {
            tokens.button_hover
        } else {
            tokens.raised
        };
        painter.rect(
            rect,
            8.0,
            fill,
            egui::Stroke::new(1.0, tokens.line),
            egui::StrokeKind::Inside,
        );
        let frame = Rect::from_min_size(
            rect.min + vec2(8.0, 8.0),
            vec2((ROW - 16.0) * 16.0 / 9.0, ROW - 16.0),
        );
        picture_ui(ui, ride, view, data, frame);
        let left = frame.right() + 14.0;
        let painter = ui.painter();
        let line = |y: f32, text: &str, font: FontId, ink| {
            let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, ink);
            job.wrap = egui::text::TextWrapping::truncate_at_width(rect.right() - left - 90.0);
            let galley = painter.layout_job(job);
            painter.galley(pos2(left, rect.top() + y), galley, ink);
        };
        line(10.0, &name, theme::bold(15.5), tokens.ink);
        line(
            32.0,
            &ride.head.title,
            FontId::proportional(14.0),
            tokens.ink,
        );
        line(
            54.0,
            &marked(ride),
            FontId::proportional(13.0),
            tokens.ink_soft,
        );
    }
    if data.writable && row_buttons(ui, rect, ride, &name, view, out) {
        return;
    }
    if data.reading.is_some() {
        response.on_hover_text("It can be opened once all rides are read");
    } else if response.clicked() {
        out.push(Action::OpenRide(ride.id, None));
    }
}

/// The buttons at the end of a ride's row; whether one was pressed.
fn row_buttons(
    ui: &mut Ui,
    rect: Rect,
    ride: &Ride,
    name: &str,
    view: &mut YardView,
    out: &mut Vec<Action>,
) -> bool {
    let corner =
        Rect::from_center_size(pos2(rect.right() - 44.0, rect.center().y), vec2(68.0, 30.0));
    let mut inner = ui.new_child(egui::UiBuilder::new().max_rect(corner));
    inner
        .horizontal(|ui| {
            let change = format!("Change the details of {name}");
            let change = icon_button(ui, Icon::Pen, &change, true).clicked();
            if change {
                view.details = Some(Details::of(ride));
            }
            let remove = format!("Remove the ride of {name}");
            let remove = icon_button(ui, Icon::Close, &remove, true).clicked();
            if remove {
                let edit = Edit::Ride(ride.id, None);
                out.push(Action::Edit("remove ride".into(), edit));
                let text = format!("The ride of {name} was removed; its films stay where they are");
                let notice = Notice::told(text).next("Undo brings it back");
                out.push(Action::Tell(Box::new(notice)));
            }
            change || remove
        })
        .inner
}

fn picture_ui(ui: &Ui, ride: &Ride, view: &mut YardView, data: &YardData<'_>, frame: Rect) {
    let tokens = theme::tokens(ui);
    let painter = ui.painter();
    let font = FontId::proportional(11.5);
    let Some(film) = ride.films.first() else {
        painter.rect_filled(frame, 5.0, tokens.stripe);
        painter.text(
            frame.center(),
            Align2::CENTER_CENTER,
            "no film",
            font,
            tokens.ink_soft,
        );
        return;
    };
    painter.rect_filled(frame, 5.0, tokens.stage);
    let say = |text: &str| {
        let ink = tokens.on_stage.gamma_multiply(0.8);
        painter.text(
            frame.center(),
            Align2::CENTER_CENTER,
            text,
            font.clone(),
            ink,
        );
    };
    match view.pictures.get(&(data.film_path)(film)) {
        Picture::Ready(texture) => {
            let size = texture.size_vec2();
            let scale = (frame.width() / size.x).min(frame.height() / size.y);
            let shown = Rect::from_center_size(frame.center(), size * scale);
            let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            painter.image(texture.id(), shown, whole, egui::Color32::WHITE);
        }
        Picture::Waiting => say("…"),
        Picture::None(error) => say(match error.kind() {
            FilmErrorKind::NotFound => "film not found",
            _ => "film not readable",
        }),
    }
}

/// "24 exercises, 9 faults; film 42 min".
fn marked(ride: &Ride) -> String {
    let own_bouts = ride
        .bouts
        .iter()
        .filter(|bout| bout.review == ride.head.counting);
    let (mut counting, mut open) = (0, 0);
    for bout in own_bouts {
        if bout.reviewed {
            counting += 1;
        } else {
            open += 1;
        }
    }
    let own_marks = ride
        .marks
        .iter()
        .filter(|mark| mark.review == ride.head.counting);
    let faults = own_marks
        .filter(|mark| matches!(mark.kind, MarkKind::Fault(_)))
        .count();
    let mut text = if counting + open == 0 {
        "not marked yet".to_owned()
    } else {
        format!(
            "{}, {}",
            counted(counting, "exercise", "exercises"),
            counted(faults, "fault", "faults")
        )
    };
    let not_counted = (open > 0).then(|| format!(", {open} not in the count"));
    let filmed: i64 = ride
        .films
        .iter()
        .filter_map(|film| film.duration_nanos)
        .sum();
    let film = (filmed > 0).then(|| format!("; film {}", clock::length(filmed)));
    text.extend(not_counted.into_iter().chain(film));
    text
}
