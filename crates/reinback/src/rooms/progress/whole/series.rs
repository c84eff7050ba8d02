//! Series of changes as rows of beats against what was asked.

use egui::{FontId, Rect, Stroke, Ui, pos2, vec2};
use reinback_analysis::series::Series;
use reinback_analysis::series_count::Verdict;
use reinback_yard::lower::series::begins;

use super::{lead_in, parts};
use crate::action::Action;
use crate::report::whole::{SeriesShown, Whole};
use crate::rooms::progress::{ProgressData, rows};
use crate::said::Say;
use crate::theme;

const FIRST: usize = 4;

/// Draws the section.
pub(super) fn series_ui(
    ui: &mut Ui,
    series: &[SeriesShown],
    full: &mut bool,
    whole: &Whole,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    parts::card(ui, &say.plain("series-heading"), |ui| {
        if series.is_empty() {
            parts::soft(ui, say.plain("series-none"));
        }
        let all: Vec<&SeriesShown> = series.iter().collect();
        rows_ui(ui, &all, full, data, out);
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

/// Draws series one under another.
pub(super) fn rows_ui(
    ui: &mut Ui,
    series: &[&SeriesShown],
    full: &mut bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let (marked, bare): (Vec<&SeriesShown>, Vec<&SeriesShown>) =
        series.iter().copied().partition(|one| is_marked(one));
    let many = if *full { marked.len() } else { FIRST };
    for one in marked.iter().take(many) {
        one_ui(ui, one, data, out);
    }
    let count = |series: &[&SeriesShown]| u32::try_from(series.len()).unwrap_or(u32::MAX);
    let text = data
        .say
        .text("whole-show-all", &[("count", count(&marked).into())]);
    parts::more(ui, text, full, marked.len(), FIRST);
    if !marked.is_empty() {
        parts::soft(ui, data.say.plain("series-legend"));
    }
    if !bare.is_empty() {
        let text = data
            .say
            .text("series-bare", &[("count", count(&bare).into())]);
        parts::soft(ui, text);
    }
}

/// Whether enough of its changes are marked to say something of it.
pub(super) fn is_marked(one: &SeriesShown) -> bool {
    one.ridden.changes.len() > 1 || one.found.is_err()
}

/// What a series shows, the most important first.
pub(super) fn sentences(say: &Say, one: &SeriesShown) -> Vec<String> {
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

fn one_ui(ui: &mut Ui, one: &SeriesShown, data: &ProgressData<'_>, out: &mut Vec<Action>) {
    let say = data.say;
    let tokens = theme::tokens(ui);
    let name = data.yard.words.exercise_name(&one.ridden.exercise);
    let name = say.exercise(&name).into_owned();
    let asked = say.series_asked(one.ridden.asked_count, one.ridden.every);
    let said = sentences(say, one);
    let first = said.first().cloned().unwrap_or_default();
    let spoken = say.text(
        "series-row",
        &[
            ("day", say.day(one.date).into()),
            ("exercise", name.as_str().into()),
            ("asked", asked.as_str().into()),
            ("found", first.as_str().into()),
        ],
    );
    let beats = one.found.as_ref().ok().filter(|found| found.shown > 1);
    let height = if beats.is_some() { 66.0 } else { 26.0 };
    let (rect, response) = rows::row(ui, height, &spoken, false);
    if ui.is_rect_visible(rect) {
        let top = pos2(rect.left() + 6.0, rect.top() + 13.0);
        let head = format!("{}   {name}, {asked}", say.day(one.date));
        let font = FontId::proportional(13.0);
        rows::text(ui, top, rect.right() - 6.0, &head, font, tokens.ink);
        if let Some(found) = beats {
            let bed = Rect::from_min_max(
                pos2(rect.left() + 14.0, rect.top() + 26.0),
                pos2(rect.right() - 14.0, rect.bottom() - 4.0),
            );
            beats_ui(ui, found, one, bed, say);
        }
    }
    if response.on_hover_text(said.join("\n")).clicked() {
        out.push(Action::OpenRide(
            one.ride,
            Some(lead_in(begins(&one.ridden))),
        ));
    }
    ui.label(first);
    if said.len() > 1 {
        parts::soft(ui, said[1..].join(" "));
    }
    ui.add_space(6.0);
}

/// A dot a change with its lead, the strides between, and below the line where the changes asked
/// would have come.
fn beats_ui(ui: &Ui, found: &Series, one: &SeriesShown, bed: Rect, say: &Say) {
    let (Some(first), Some(last)) = (found.moments.first(), found.moments.last()) else {
        return;
    };
    let tokens = theme::tokens(ui);
    let painter = ui.painter();
    let count = found.count.as_ref().ok();
    let step = count.map(|count| count.stride.nanos as f64 * f64::from(found.asked.every));
    let asked = one.ridden.asked_count.map_or(found.shown, u32::from);
    let asked_end = step.map_or(0.0, |step| step * f64::from(asked.saturating_sub(1)));
    let long = (last.0.saturating_sub(first.0) as f64)
        .max(asked_end)
        .max(1.0);
    let x = |nanos: f64| bed.left() + bed.width() * (nanos / long) as f32;
    let y = bed.center().y - 2.0;
    painter.hline(bed.x_range(), y, Stroke::new(1.0, tokens.line));
    if let Some(step) = step {
        for n in 0..asked.min(200) {
            let at = x(step * f64::from(n));
            let stroke = Stroke::new(1.6, tokens.good);
            painter.vline(at, y + 8.0..=y + 15.0, stroke);
        }
    }
    let small = FontId::proportional(11.5);
    for interval in count.map_or(&[][..], |count| &count.intervals) {
        let from = x(interval.from.0.saturating_sub(first.0) as f64);
        let to = x(interval.to.0.saturating_sub(first.0) as f64);
        let wrong = interval.verdict.is_wrong() == Some(true);
        let ink = match interval.verdict {
            Verdict::Unsure { .. } => tokens.caution,
            _ if wrong => tokens.fault,
            _ => tokens.ink_soft,
        };
        let font = if wrong {
            theme::bold(11.5)
        } else {
            small.clone()
        };
        let text = say.interval(interval.strides, interval.verdict);
        let galley = painter.layout_no_wrap(text, font, ink);
        // A text that does not fit is in the sentences below.
        if galley.size().x < to - from - 2.0 {
            let at = pos2((from + to - galley.size().x) / 2.0, y - 15.0);
            painter.galley(at, galley, ink);
        }
    }
    for moment in &found.moments {
        let at = pos2(x(moment.0.saturating_sub(first.0) as f64), y);
        painter.circle(at, 4.5, tokens.leather, Stroke::new(1.0, tokens.raised));
        let twice = found.same_lead_twice.contains(moment);
        if twice {
            let mark = Rect::from_center_size(at, vec2(13.0, 13.0));
            let stroke = Stroke::new(1.2, tokens.caution);
            painter.rect_stroke(mark, 2.0, stroke, egui::StrokeKind::Outside);
        }
    }
}
