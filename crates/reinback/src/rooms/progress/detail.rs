//! One exercise opened: its trend, faults, reins, what follows a mistake, and the film moments.

use egui::{Label, RichText, ScrollArea, Ui, WidgetInfo};

use super::chart::{LineFigures, across_ui, bars_ui, tempo_ui};
use super::figure::{Beside, Figures};
use super::moments::{Group, Shown, Wall, wall_ui};
use super::open::OpenLine;
use super::whole::line_ui;
use super::{ProgressData, ProgressView};
use crate::action::Action;
use crate::figure::Figure;
use crate::report::numbers::{Line, Whose};
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
    let mut figures = std::mem::take(&mut view.figures);
    line_open_ui(ui, view, (&mut wall, &mut figures), data, out);
    view.wall = wall;
    view.figures = figures;
}

fn line_open_ui(
    ui: &mut Ui,
    view: &mut ProgressView,
    (wall, figures): (&mut Wall, &mut Figures),
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let drawn = view.line_figures(data.say);
    let of_whole = view.whole_figures(data.say);
    let mut close = false;
    let whole = view.whole.whole(view.horse());
    let mut full = view.whole.full;
    let Some(OpenLine {
        line,
        moments,
        before,
        question,
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
            if let Some(drawn) = &drawn {
                trend_ui(ui, (line, drawn), figures, say, out);
                faults_ui(ui, drawn, figures, say, out);
            }
            let compared = line.compared.as_ref().zip(earlier);
            let shown = Shown {
                exercise: &line.exercise,
                question,
                now: moments.map(|own| Group::new(own, &line.figures.all)),
                before: compared.map(|(compared, earlier)| {
                    let group = Group::before(before, &compared.earlier, &question);
                    (earlier, group)
                }),
                many,
            };
            wall_ui(ui, wall, &shown, data, out);
            if let Some(drawn) = &drawn {
                reins_ui(ui, (line, drawn), figures, say, out);
                variants_ui(ui, drawn, figures, say, out);
                after_ui(ui, (line, drawn), figures, say, out);
                heading(ui, &say.plain("tempo-heading"));
                tempo_ui(ui, drawn, figures, say, out);
            }
            if let Some((whole, drawn)) = whole.as_ref().zip(of_whole.as_ref()) {
                let shown = (&mut *figures, &mut full);
                line_ui(ui, (whole, drawn), shown, &line.exercise, data, out);
            }
            method_ui(ui, line, say);
            ui.add_space(8.0);
        });
    view.whole.full = full;
    if close {
        view.open = None;
    }
}

/// A heading with room above it.
pub(super) fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(BEFORE_HEADING);
    heading_label(ui, text);
}

/// Room above a heading.
const BEFORE_HEADING: f32 = 12.0;

/// A heading, wherever it stands.
pub(super) fn heading_label(ui: &mut Ui, text: &str) {
    let ink = theme::tokens(ui).ink;
    let label = ui.label(RichText::new(text).font(theme::bold(15.5)).color(ink));
    label.widget_info(|| WidgetInfo::labeled(egui::Role::Heading, true, text));
}

/// Text of second rank.
pub(super) fn soft(ui: &mut Ui, text: impl Into<String>) {
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

fn trend_ui(
    ui: &mut Ui,
    (line, drawn): (&Line, &LineFigures),
    figures: &mut Figures,
    say: &Say,
    out: &mut Vec<Action>,
) {
    heading(ui, &say.plain("heading-rides"));
    ui.label(say.trend_in_full(&line.figures.trend, line.rides.len()));
    across_ui(ui, drawn, figures, say, out);
    soft(ui, say.plain("plot-key"));
}

/// Bars whose buttons stand in the row of their heading.
fn under_heading_ui(
    ui: &mut Ui,
    heading: &str,
    (figure, name): (&Figure, &str),
    figures: &mut Figures,
    say: &Say,
    out: &mut Vec<Action>,
) {
    ui.add_space(BEFORE_HEADING);
    let own = (name, Beside::Heading(heading));
    bars_ui(ui, figure, own, figures, say, out);
}

fn faults_ui(
    ui: &mut Ui,
    drawn: &LineFigures,
    figures: &mut Figures,
    say: &Say,
    out: &mut Vec<Action>,
) {
    let text = say.plain("heading-faults");
    if let Some(faults) = &drawn.faults {
        under_heading_ui(ui, &text, (faults, "faults"), figures, say, out);
        return;
    }
    heading(ui, &text);
    soft(ui, say.plain("no-faults"));
}

fn reins_ui(
    ui: &mut Ui,
    (line, drawn): (&Line, &LineFigures),
    figures: &mut Figures,
    say: &Say,
    out: &mut Vec<Action>,
) {
    let text = say.plain("heading-reins");
    match &drawn.reins {
        Some(reins) => under_heading_ui(ui, &text, (reins, "reins"), figures, say, out),
        None => heading(ui, &text),
    }
    ui.label(say.reins(line));
}

fn variants_ui(
    ui: &mut Ui,
    drawn: &LineFigures,
    figures: &mut Figures,
    say: &Say,
    out: &mut Vec<Action>,
) {
    if let Some(variants) = &drawn.variants {
        let text = say.plain("heading-variants");
        under_heading_ui(ui, &text, (variants, "variants"), figures, say, out);
    }
}

fn after_ui(
    ui: &mut Ui,
    (line, drawn): (&Line, &LineFigures),
    figures: &mut Figures,
    say: &Say,
    out: &mut Vec<Action>,
) {
    let Some(after) = &line.after else { return };
    heading(ui, &say.plain("heading-after"));
    for sentence in say.after_mistake(after) {
        ui.label(sentence);
    }
    if let Some(after) = &drawn.after {
        let own = ("after", Beside::Legend);
        bars_ui(ui, after, own, figures, say, out);
    }
}

fn method_ui(ui: &mut Ui, line: &Line, say: &Say) {
    ui.add_space(12.0);
    egui::CollapsingHeader::new(say.plain("how-heading"))
        .id_salt(("progress method", &line.exercise))
        .show(ui, |ui| {
            for sentence in say.how_line(line) {
                soft(ui, sentence);
            }
        });
}
