//! Series of changes as rows of beats against what was asked.

use egui::Ui;
use reinback_yard::lower::series::begins;

use super::{lead_in, parts};
use crate::action::Action;
use crate::figure::Figure;
use crate::report::whole::drawn::Drawn;
use crate::report::whole::{SeriesShown, Whole};
use crate::rooms::progress::ProgressData;
use crate::rooms::progress::figure::{Beside, Figures, Shown, figure_ui};
use crate::said::Say;

/// How many series are shown at first.
const FIRST: usize = 4;
/// Height of a row of beats, in points.
const BEATS: f32 = 124.0;

/// Draws the section.
pub(super) fn series_ui(
    ui: &mut Ui,
    whole: &Whole,
    (drawn, figures): (Option<&Drawn>, &mut Figures),
    full: &mut bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    parts::card(ui, &say.plain("series-heading"), |ui| {
        if whole.series.is_empty() {
            parts::soft(ui, say.plain("series-none"));
        }
        let beats = |at: usize| drawn.and_then(|drawn| drawn.series.get(at)?.as_ref());
        let all = whole.series.iter().enumerate();
        let all: Vec<_> = all.map(|(at, one)| (one, beats(at))).collect();
        rows_ui(ui, &all, (figures, full), data, out);
        if whole.unreviewed_series > 0 {
            parts::soft(
                ui,
                say.text(
                    "series-unreviewed",
                    &[("count", whole.unreviewed_series.into())],
                ),
            );
        }
    });
}

/// Draws series one under another, each with what it shows; its title and its beats lead to the film.
pub(super) fn rows_ui(
    ui: &mut Ui,
    series: &[(&SeriesShown, Option<&Figure>)],
    (figures, full): (&mut Figures, &mut bool),
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    let (marked, bare): (Vec<_>, Vec<_>) = series.iter().partition(|(one, _)| is_marked(one));
    let many = if *full { marked.len() } else { FIRST };
    for (at, (one, beats)) in marked.iter().take(many).enumerate() {
        let name = format!("beats {at}");
        one_ui(ui, one, (*beats, &name), figures, data, out);
    }
    let count = |many: usize| u32::try_from(many).unwrap_or(u32::MAX);
    let text = say.text("whole-show-all", &[("count", count(marked.len()).into())]);
    parts::more(ui, text, full, marked.len(), FIRST);
    if !bare.is_empty() {
        let text = say.text("series-bare", &[("count", count(bare.len()).into())]);
        parts::soft(ui, text);
    }
}

fn one_ui(
    ui: &mut Ui,
    one: &SeriesShown,
    (beats, name): (Option<&Figure>, &str),
    figures: &mut Figures,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    let exercise = data.yard.words.exercise_name(&one.ridden.exercise);
    let title = say.series_title(&say.exercise(&exercise), one);
    let opens = say.plain("opens-ride");
    let mut pressed = ui.link(title).on_hover_text(&opens).clicked();
    for (at, sentence) in sentences(say, one).into_iter().enumerate() {
        if at == 0 {
            ui.label(sentence);
        } else {
            parts::soft(ui, sentence);
        }
    }
    if let Some(beats) = beats {
        let shown = Shown {
            name,
            height: BEATS,
            opens: Some(&opens),
            leading: None,
            beside: Beside::Legend,
        };
        pressed |= figure_ui(ui, beats, shown, figures.of(name), say, out).is_some();
    }
    if pressed {
        let begin = lead_in(begins(&one.ridden));
        out.push(Action::OpenRide(one.ride, Some(begin)));
    }
    ui.add_space(6.0);
}

/// Whether enough of its changes are marked to say something of it.
fn is_marked(one: &SeriesShown) -> bool {
    one.ridden.changes.len() > 1 || one.found.is_err()
}

/// What a series shows, the most important first.
fn sentences(say: &Say, one: &SeriesShown) -> Vec<String> {
    match &one.found {
        Ok(found) => {
            let mut said = say.series(
                found,
                one.ridden.every.is_some(),
                one.ridden.asked_count.is_some(),
            );
            if let Some(day) = one.stride_of.filter(|_| found.count.is_ok()) {
                said.push(say.text("series-stride-day", &[("day", say.day(day).into())]));
            }
            said
        }
        Err(problem) => vec![say.series_problem(*problem)],
    }
}
