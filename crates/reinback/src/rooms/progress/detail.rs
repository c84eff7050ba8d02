//! One exercise opened: its trend, faults, reins, what follows a mistake, and the film moments.

use egui::{FontId, Label, Rect, RichText, ScrollArea, Ui, WidgetInfo, pos2, vec2};

use super::moments::{Shown, Wall, wall_ui};
use super::picture::{self, Side};
use super::whole::line_ui;
use super::{OpenLine, ProgressData, ProgressView, chart, list, rows};
use crate::action::Action;
use crate::report::numbers::{Line, Measure, Times, Whose};
use crate::said::{Earlier, Say};
use crate::theme;
use crate::widgets::icon::{Icon, icon_button};

/// Draws the open line.
pub(super) fn detail_ui(
    ui: &mut Ui,
    view: &mut ProgressView,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let mut wall = std::mem::take(&mut view.wall);
    line_open_ui(ui, view, &mut wall, data, out);
    view.wall = wall;
}

fn line_open_ui(
    ui: &mut Ui,
    view: &mut ProgressView,
    wall: &mut Wall,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let mut as_table = view.as_table;
    let mut close = false;
    let whole = view.whole.whole(view.horse());
    let mut full = view.whole.full;
    let Some(OpenLine {
        line,
        moments,
        earlier,
    }) = view.open_line()
    else {
        return;
    };
    let say = data.say;
    let many = view.whose == Some(Whose::All);
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            close = icon_button(ui, Icon::Close, &say.plain("close-line"), true).clicked();
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                ui.add(
                    Label::new(RichText::new(say.exercise(&line.name)).font(theme::bold(19.0)))
                        .truncate(),
                );
            });
        });
    });
    ScrollArea::vertical()
        .id_salt(("progress detail", &line.exercise))
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.set_max_width(ui.available_width() - 10.0);
            rate_ui(ui, line, say);
            periods_ui(ui, line, say, earlier);
            trend_ui(ui, (line, say), &mut as_table, out);
            faults_ui(ui, &line.faults, say);
            let (all, tally) = (&line.figures.all, line.figures.all.rate.tally);
            let shown = Shown {
                exercise: &line.exercise,
                moments,
                counted: (all.faults, tally.attempts.saturating_sub(tally.faulty)),
                many,
            };
            wall_ui(ui, wall, &shown, data, out);
            reins_ui(ui, line, say);
            variants_ui(ui, line, say);
            after_ui(ui, line, say);
            if let Some(whole) = &whole {
                line_ui(ui, whole, &mut full, &line.exercise, data, out);
            }
            method_ui(ui, line, say);
            ui.add_space(8.0);
        });
    view.as_table = as_table;
    view.whole.full = full;
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

fn rate_ui(ui: &mut Ui, line: &Line, say: &Say) {
    let all = &line.figures.all;
    ui.label(say.rate(&all.rate));
    soft(ui, say.per_minute(&all.per_minute));
}

/// The two periods, where two are compared.
fn periods_ui(ui: &mut Ui, line: &Line, say: &Say, earlier: Option<Earlier>) {
    let (Some(compared), Some(earlier)) = (&line.compared, earlier) else {
        return;
    };
    heading(ui, &say.plain("heading-periods"));
    ui.label(say.periods(&compared.rate, earlier));
    for sentence in say.periods_apart(&compared.rate) {
        soft(ui, sentence);
    }
}

fn trend_ui(ui: &mut Ui, (line, say): (&Line, &Say), as_table: &mut bool, out: &mut Vec<Action>) {
    heading(ui, &say.plain("heading-rides"));
    ui.label(say.trend_in_full(&line.figures.trend, line.rides.len()));
    ui.checkbox(as_table, say.plain("show-as-table"));
    if *as_table {
        ui.scope(|ui| chart::table_ui(ui, line, say, out));
    } else {
        chart::plot_ui(ui, line, say);
        let key = if line.figures.trend.state.is_ok() {
            say.plain("plot-key-trend")
        } else {
            say.plain("plot-key")
        };
        soft(ui, key);
    }
}

fn faults_ui(ui: &mut Ui, faults: &[Times], say: &Say) {
    heading(ui, &say.plain("heading-faults"));
    let Some(most) = faults.iter().map(|fault| fault.times).max() else {
        soft(ui, say.plain("no-faults"));
        return;
    };
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for fault in faults {
            fault_ui(ui, fault, say, most);
        }
    });
}

/// Name, bar and count of one kind.
fn fault_ui(ui: &mut Ui, fault: &Times, say: &Say, most: u32) {
    let tokens = theme::tokens(ui);
    let size = vec2(ui.available_width(), 22.0);
    let (rect, response) = ui.allocate_exact_size(size, egui::Sense::hover());
    let name = say.fault(&fault.name);
    let spoken = say.text(
        "fault-times",
        &[
            ("fault", name.as_ref().into()),
            ("times", fault.times.into()),
        ],
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
        &name,
        font.clone(),
        tokens.ink,
    );
    let room = rect.right() - 36.0 - bar_left;
    let length = (room * fault.times as f32 / most.max(1) as f32).max(2.0);
    let bar = Rect::from_min_size(pos2(bar_left, middle - 5.0), vec2(length, 10.0));
    ui.painter().rect_filled(bar, 2.0, tokens.fault);
    let count = say.count(fault.times);
    rows::text(
        ui,
        pos2(bar.right() + 6.0, middle),
        rect.right(),
        &count,
        font,
        tokens.ink,
    );
}

fn reins_ui(ui: &mut Ui, line: &Line, say: &Say) {
    heading(ui, &say.plain("heading-reins"));
    let figures = &line.figures;
    if figures.left.rate.tally.attempts + figures.right.rate.tally.attempts > 0 {
        let bars = picture::bars(figures);
        let names: Vec<String> = bars.iter().map(|(side, _)| side.short(say)).collect();
        let widths = [
            picture::name_width(&names),
            list::counts_width(ui, &bars, say, Measure::Attempts),
        ];
        for (side, cell) in bars {
            cell_ui(ui, (side, widths), cell, say);
        }
    }
    ui.label(say.reins(line));
}

/// A bar with the sentence for those who hear it.
fn cell_ui(
    ui: &mut Ui,
    (side, widths): (Side, [f32; 2]),
    cell: &reinback_analysis::Cell,
    say: &Say,
) {
    let room = vec2(ui.available_width(), 22.0);
    let (rect, response) = ui.allocate_exact_size(room, egui::Sense::hover());
    let whole = side.in_full(say);
    let rate = say.rate(&cell.rate);
    let spoken = say.text(
        "variant-rate",
        &[("variant", whole.into()), ("rate", rate.into())],
    );
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &spoken));
    if ui.is_rect_visible(rect) {
        list::bar_ui(ui, (&side.short(say), widths), (cell, say), rect);
    }
    response.on_hover_text(spoken);
}

fn variants_ui(ui: &mut Ui, line: &Line, say: &Say) {
    if line.variants.len() < 2 {
        return;
    }
    heading(ui, &say.plain("heading-variants"));
    for variant in &line.variants {
        let name = match &variant.name {
            Some(name) => say.variant(name).into_owned(),
            None => say.plain("variant-not-noted"),
        };
        let rate = say.rate(&variant.cell.rate);
        ui.label(say.text(
            "variant-rate",
            &[("variant", name.into()), ("rate", rate.into())],
        ));
    }
}

fn after_ui(ui: &mut Ui, line: &Line, say: &Say) {
    let Some(after) = &line.after else { return };
    heading(ui, &say.plain("heading-after"));
    for sentence in say.after_mistake(after) {
        ui.label(sentence);
    }
}

fn method_ui(ui: &mut Ui, line: &Line, say: &Say) {
    ui.add_space(12.0);
    egui::CollapsingHeader::new(say.plain("how-heading"))
        .id_salt(("progress method", &line.exercise))
        .show(ui, |ui| {
            let all = &line.figures.all;
            let mut how = say.how(&all.rate, &all.per_minute);
            if let Some(compared) = &line.compared {
                how.extend(say.how_compared(&compared.rate));
                how.extend(say.how_ratio(&compared.per_minute));
            }
            how.extend(say.how_trend(&line.figures.trend));
            how.extend(line.reins.iter().flat_map(|reins| say.how_reins(reins)));
            how.push(say.how_usual(&line.priority.shrunken));
            for sentence in how {
                soft(ui, sentence);
            }
        });
}
