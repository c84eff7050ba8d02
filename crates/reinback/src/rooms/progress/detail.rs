//! One exercise opened: its trend, faults, reins, what follows a mistake, and the film moments.

use egui::{FontId, Label, RichText, ScrollArea, Stroke, Ui, WidgetInfo, pos2};
use reinback_yard::Rein;

use super::chart::{LineFigures, across_ui, bars_ui, tempo_ui};
use super::choices::named;
use super::figure::Figures;
use super::moments::FaultMoment;
use super::whole::line_ui;
use super::{OpenLine, ProgressData, ProgressView, rows};
use crate::action::Action;
use crate::clock;
use crate::report::numbers::{Line, Whose};
use crate::said::{Earlier, Say};
use crate::theme;
use crate::widgets::icon::{self, Icon, icon_button};

/// Draws the open line.
pub(super) fn detail_ui(
    ui: &mut Ui,
    view: &mut ProgressView,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let drawn = view.line_figures(data.say);
    let of_whole = view.whole_figures(data.say);
    let mut figures = std::mem::take(&mut view.figures);
    let mut all_moments = view.all_moments;
    let mut close = false;
    let whole = view.whole.whole(view.horse());
    let mut full = view.whole.full;
    let Some(OpenLine {
        line,
        moments,
        earlier,
    }) = view.open_line()
    else {
        view.figures = figures;
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
                trend_ui(ui, (line, drawn), &mut figures, say, out);
                faults_ui(ui, drawn, &mut figures, say, out);
            }
            let marked = line.figures.all.faults;
            moments_ui(ui, (moments, marked, many), &mut all_moments, data, out);
            if let Some(drawn) = &drawn {
                reins_ui(ui, (line, drawn), &mut figures, say, out);
                variants_ui(ui, drawn, &mut figures, say, out);
                after_ui(ui, (line, drawn), &mut figures, say, out);
                heading(ui, &say.plain("tempo-heading"));
                tempo_ui(ui, drawn, &mut figures, say, out);
            }
            if let Some((whole, drawn)) = whole.as_ref().zip(of_whole.as_ref()) {
                let shown = (&mut figures, &mut full);
                line_ui(ui, (whole, drawn), shown, &line.exercise, data, out);
            }
            method_ui(ui, line, say);
            ui.add_space(8.0);
        });
    view.figures = figures;
    view.all_moments = all_moments;
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

fn faults_ui(
    ui: &mut Ui,
    drawn: &LineFigures,
    figures: &mut Figures,
    say: &Say,
    out: &mut Vec<Action>,
) {
    heading(ui, &say.plain("heading-faults"));
    match &drawn.faults {
        Some(faults) => bars_ui(ui, faults, "faults", figures, say, out),
        None => soft(ui, say.plain("no-faults")),
    }
}

fn reins_ui(
    ui: &mut Ui,
    (line, drawn): (&Line, &LineFigures),
    figures: &mut Figures,
    say: &Say,
    out: &mut Vec<Action>,
) {
    heading(ui, &say.plain("heading-reins"));
    if let Some(reins) = &drawn.reins {
        bars_ui(ui, reins, "reins", figures, say, out);
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
        heading(ui, &say.plain("heading-variants"));
        bars_ui(ui, variants, "variants", figures, say, out);
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
        bars_ui(ui, after, "after", figures, say, out);
    }
}

/// How many moments are shown before all are asked for.
const FIRST_MOMENTS: usize = 6;

fn moments_ui(
    ui: &mut Ui,
    (moments, marked, many_horses): (Option<&[FaultMoment]>, u32, bool),
    all: &mut bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    heading(ui, &say.plain("heading-moments"));
    // They are looked up when a line is opened, and are there in a moment.
    let Some(moments) = moments else { return };
    if moments.is_empty() {
        soft(ui, say.plain("no-moments"));
        return;
    }
    soft(ui, say.plain("moments-tip"));
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        let many = if *all { moments.len() } else { FIRST_MOMENTS };
        for moment in moments.iter().take(many) {
            let ride = data.yard.ride(moment.ride);
            let filmed = ride.is_some_and(|ride| !ride.films.is_empty());
            let mut name = moment_name(moment, say);
            if let Some(ride) = ride.filter(|_| many_horses) {
                let horse = named(data, ride.head.horse);
                name = say.text(
                    "moment-of",
                    &[("horse", horse.into()), ("moment", name.into())],
                );
            }
            if moment_ui(ui, moment, (&name, say), filmed) {
                out.push(Action::OpenRide(moment.ride, Some(moment.lead_in())));
            }
        }
    });
    // Of very many only the newest are looked up; that is said, or the rest would seem not to be.
    let many = u32::try_from(moments.len()).unwrap_or(u32::MAX);
    let capped = marked > many;
    if !*all && moments.len() > FIRST_MOMENTS {
        let text = if capped {
            say.text(
                "newest-moments",
                &[("moments", many.into()), ("all", marked.into())],
            )
        } else {
            say.text("all-moments", &[("moments", many.into())])
        };
        *all = ui.button(text).clicked();
    } else if capped {
        let text = say.text(
            "moments-capped",
            &[("moments", many.into()), ("all", marked.into())],
        );
        soft(ui, text);
    }
}

/// "quarters trailing, in trot, left".
fn moment_name(moment: &FaultMoment, say: &Say) -> String {
    let rein = moment.rein.map(|rein| match rein {
        Rein::Left => say.plain("left"),
        Rein::Right => say.plain("right"),
    });
    let fault = say.fault(&moment.fault).into_owned();
    let variant = moment.variant.as_deref();
    let variant = variant.map(|name| say.variant(name).into_owned());
    let parts = [Some(fault), variant, rein];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// One moment; true when it was pressed.
fn moment_ui(ui: &mut Ui, moment: &FaultMoment, (name, say): (&str, &Say), filmed: bool) -> bool {
    let tokens = theme::tokens(ui);
    let noted = if moment.note.is_empty() {
        String::new()
    } else {
        format!(": {}", moment.note)
    };
    let spoken = format!(
        "{} {} {name}{noted}",
        say.day(moment.date),
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
            (say.day(moment.date), 86.0),
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
        format!("{spoken}\n{}", say.plain("no-film"))
    };
    response.on_hover_text(tip).clicked()
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
