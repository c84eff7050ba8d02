//! One exercise opened: its trend, faults, reins, what follows a mistake, and the film moments.

use egui::{FontId, Label, Rect, RichText, ScrollArea, Stroke, Ui, WidgetInfo, pos2, vec2};
use reinback_yard::Rein;

use super::moments::FaultMoment;
use super::{ProgressData, ProgressView, chart, list, picture, rows, text};
use crate::action::Action;
use crate::clock;
use crate::counted::counted;
use crate::report::numbers::{Line, Times};
use crate::theme;
use crate::widgets::icon::{self, Icon, icon_button};

/// Draws the open line.
pub(super) fn detail_ui(
    ui: &mut Ui,
    view: &mut ProgressView,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let mut as_table = view.as_table;
    let mut all_moments = view.all_moments;
    let mut close = false;
    let Some((line, moments)) = view.open_line() else {
        return;
    };
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            close = icon_button(ui, Icon::Close, "Close this exercise", true).clicked();
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                ui.add(Label::new(RichText::new(&line.name).font(theme::bold(19.0))).truncate());
            });
        });
    });
    ScrollArea::vertical()
        .id_salt(("progress detail", &line.exercise))
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.set_max_width(ui.available_width() - 10.0);
            rate_ui(ui, line);
            trend_ui(ui, line, &mut as_table, out);
            faults_ui(ui, &line.faults);
            moments_ui(ui, moments, &mut all_moments, data, out);
            reins_ui(ui, line);
            variants_ui(ui, line);
            after_ui(ui, line);
            method_ui(ui, line);
            ui.add_space(8.0);
        });
    view.as_table = as_table;
    view.all_moments = all_moments;
    if close {
        view.open = None;
    }
}

fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(12.0);
    let ink = theme::tokens(ui).ink;
    let label = ui.label(RichText::new(text).font(theme::bold(15.5)).color(ink));
    label.widget_info(|| WidgetInfo::labeled(egui::Role::Heading, true, text));
}

fn soft(ui: &mut Ui, text: impl Into<String>) {
    let ink = theme::tokens(ui).ink_soft;
    ui.label(RichText::new(text).size(13.0).color(ink));
}

fn rate_ui(ui: &mut Ui, line: &Line) {
    let all = &line.figures.all;
    ui.label(text::rate(&all.rate));
    soft(ui, text::per_minute(&all.per_minute));
}

fn trend_ui(ui: &mut Ui, line: &Line, as_table: &mut bool, out: &mut Vec<Action>) {
    heading(ui, "Ride by ride");
    ui.label(text::trend_in_full(&line.figures.trend, line.rides.len()));
    ui.checkbox(as_table, "Show as table");
    if *as_table {
        ui.scope(|ui| chart::table_ui(ui, line, out));
    } else {
        chart::plot_ui(ui, line);
        let band = if line.figures.trend.state.is_ok() {
            " The line is the fitted trend, the band its range."
        } else {
            ""
        };
        soft(
            ui,
            format!(
                "A dot is a ride: its height the share of faulty attempts, its size how many \
                 attempts. An upright line is its range, from 6 attempts on.{band}"
            ),
        );
    }
}

fn faults_ui(ui: &mut Ui, faults: &[Times]) {
    heading(ui, "Faults");
    let Some(most) = faults.iter().map(|fault| fault.times).max() else {
        soft(ui, "None was marked.");
        return;
    };
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for fault in faults {
            fault_ui(ui, fault, most);
        }
    });
}

/// Name, bar and count of one kind.
fn fault_ui(ui: &mut Ui, fault: &Times, most: u32) {
    let tokens = theme::tokens(ui);
    let size = vec2(ui.available_width(), 22.0);
    let (rect, response) = ui.allocate_exact_size(size, egui::Sense::hover());
    let spoken = format!(
        "{}: marked {}",
        fault.name,
        counted(fault.times, "time", "times")
    );
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &spoken));
    if !ui.is_rect_visible(rect) {
        return;
    }
    let middle = rect.center().y;
    let bar_left = rect.left() + rect.width() * 0.36;
    let font = FontId::proportional(13.5);
    rows::text(
        ui,
        pos2(rect.left(), middle),
        bar_left - 8.0,
        &fault.name,
        font.clone(),
        tokens.ink,
    );
    let room = rect.right() - 36.0 - bar_left;
    let length = (room * fault.times as f32 / most.max(1) as f32).max(2.0);
    let bar = Rect::from_min_size(pos2(bar_left, middle - 5.0), vec2(length, 10.0));
    ui.painter().rect_filled(bar, 2.0, tokens.fault);
    let count = fault.times.to_string();
    rows::text(
        ui,
        pos2(bar.right() + 6.0, middle),
        rect.right(),
        &count,
        font,
        tokens.ink,
    );
}

fn reins_ui(ui: &mut Ui, line: &Line) {
    heading(ui, "Left and right");
    let figures = &line.figures;
    if figures.left.rate.tally.attempts + figures.right.rate.tally.attempts > 0 {
        let bars = picture::bars(figures);
        let names: Vec<&str> = bars.iter().map(|(name, _)| *name).collect();
        let name_width = picture::name_width(&names);
        for (name, cell) in bars {
            cell_ui(ui, (name, name_width), cell);
        }
    }
    ui.label(text::reins(line));
}

/// A bar with the sentence for those who hear it.
fn cell_ui(ui: &mut Ui, (name, name_width): (&str, f32), cell: &reinback_analysis::Cell) {
    let size = vec2(ui.available_width(), 22.0);
    let (rect, response) = ui.allocate_exact_size(size, egui::Sense::hover());
    let whole = match name {
        "L" => "Left rein",
        "R" => "Right rein",
        other => other,
    };
    let spoken = format!("{whole}: {}", text::rate(&cell.rate));
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &spoken));
    if ui.is_rect_visible(rect) {
        list::bar_ui(ui, (name, name_width), cell, rect);
    }
    response.on_hover_text(spoken);
}

fn variants_ui(ui: &mut Ui, line: &Line) {
    if line.variants.len() < 2 {
        return;
    }
    heading(ui, "Variants");
    for variant in &line.variants {
        let name = variant.name.as_deref().unwrap_or("not noted");
        ui.label(format!("{name}: {}", text::rate(&variant.cell.rate)));
    }
}

fn after_ui(ui: &mut Ui, line: &Line) {
    let Some(after) = &line.after else { return };
    heading(ui, "After a mistake");
    for sentence in text::after_mistake(after) {
        ui.label(sentence);
    }
}

/// How many moments are shown before all are asked for.
const FIRST_MOMENTS: usize = 6;

fn moments_ui(
    ui: &mut Ui,
    moments: Option<&[FaultMoment]>,
    all: &mut bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    heading(ui, "The moments");
    // They are looked up when a line is opened, and are there in a moment.
    let Some(moments) = moments else { return };
    if moments.is_empty() {
        soft(ui, "No fault to look at in these days.");
        return;
    }
    soft(ui, "Press one to see it; the film starts 2 seconds before.");
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        let many = if *all { moments.len() } else { FIRST_MOMENTS };
        for moment in moments.iter().take(many) {
            let filmed = data
                .yard
                .ride(moment.ride)
                .is_some_and(|ride| !ride.films.is_empty());
            if moment_ui(ui, moment, filmed) {
                out.push(Action::OpenRide(moment.ride, Some(moment.lead_in())));
            }
        }
    });
    if !*all && moments.len() > FIRST_MOMENTS {
        let text = format!("Show all {} moments", moments.len());
        *all = ui.button(text).clicked();
    }
}

/// "quarters trailing, in trot, left".
fn moment_name(moment: &FaultMoment) -> String {
    let rein = moment.rein.map(|rein| match rein {
        Rein::Left => "left",
        Rein::Right => "right",
    });
    let parts = [Some(moment.fault.as_str()), moment.variant.as_deref(), rein];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// One moment; true when it was pressed.
fn moment_ui(ui: &mut Ui, moment: &FaultMoment, filmed: bool) -> bool {
    let tokens = theme::tokens(ui);
    let name = moment_name(moment);
    let noted = if moment.note.is_empty() {
        String::new()
    } else {
        format!(": {}", moment.note)
    };
    let spoken = format!(
        "{} {} {name}{noted}",
        text::day(moment.date),
        clock::short(moment.at)
    );
    let (rect, response) = rows::row(ui, 26.0, &spoken, false);
    if ui.is_rect_visible(rect) {
        let middle = rect.center().y;
        let sign = pos2(rect.left() + 12.0, middle);
        if filmed {
            icon::paint(ui.painter(), Icon::Play, sign, 11.0, tokens.leather);
        } else {
            let stroke = Stroke::new(1.2, tokens.ink_soft);
            ui.painter().circle_stroke(sign, 3.0, stroke);
        }
        let small = FontId::proportional(12.5);
        let mut left = rect.left() + 26.0;
        for (what, width) in [
            (text::day(moment.date), 86.0),
            (clock::short(moment.at), 50.0),
        ] {
            let at = pos2(left, middle);
            rows::text(ui, at, left + width, &what, small.clone(), tokens.ink_soft);
            left += width;
        }
        let font = FontId::proportional(13.5);
        let what = format!("{name}{noted}");
        rows::text(
            ui,
            pos2(left, middle),
            rect.right() - 6.0,
            &what,
            font,
            tokens.ink,
        );
    }
    let tip = if filmed {
        spoken
    } else {
        format!("{spoken}\nThis ride has no film.")
    };
    response.on_hover_text(tip).clicked()
}

fn method_ui(ui: &mut Ui, line: &Line) {
    ui.add_space(12.0);
    egui::CollapsingHeader::new("How this is counted")
        .id_salt(("progress method", &line.exercise))
        .show(ui, |ui| {
            let all = &line.figures.all;
            for sentence in text::method(&all.rate, &all.per_minute) {
                soft(ui, sentence);
            }
        });
}
