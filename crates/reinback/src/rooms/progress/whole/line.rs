//! What of the whole horse belongs to an opened exercise: whether it runs after its changes, its
//! series, and its places.

use egui::Ui;
use reinback_yard::WordId;
use reinback_yard::lower::series::begins;

use super::{Full, Section, lead_in, parts, places, series};
use crate::action::Action;
use crate::report::whole::{AroundWhat, PlaceMoment, Whole};
use crate::rooms::progress::ProgressData;
use crate::rooms::progress::chart::{WholeFigures, leading_ui};
use crate::rooms::progress::figure::{Figures, Shown, figure_ui};

/// How many series are shown at first.
const FIRST: usize = 4;
/// Height of a row of beats, and of the plan, in points.
const BEATS: f32 = 124.0;
const PLAN: f32 = 210.0;

/// Draws the parts an exercise has, below its tempo; nothing for one that has none.
pub(in crate::rooms::progress) fn line_ui(
    ui: &mut Ui,
    (whole, drawn): (&Whole, &WholeFigures),
    (figures, full): (&mut Figures, &mut Full),
    exercise: &WordId,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    let about = match exercise.as_str() {
        "corner" => Some(AroundWhat::Corners),
        "flying-change" => Some(AroundWhat::Changes),
        _ if !drawn.series.is_empty() => Some(AroundWhat::Changes),
        _ => None,
    };
    let found = about.and_then(|about| whole.around.iter().find(|(what, _)| *what == about));
    if let Some((what, found)) = found {
        for sentence in say.around(*what, found) {
            ui.label(sentence);
        }
    }
    if !drawn.series.is_empty() {
        parts::heading(ui, &say.plain("series-heading"));
        beats_ui(ui, drawn, (figures, full.of(Section::Series)), data, out);
    }
    let placed: Vec<&PlaceMoment> = whole
        .places
        .iter()
        .flat_map(|places| places.faults.iter().rev())
        .filter(|fault| fault.exercise.as_ref() == Some(exercise))
        .collect();
    if !placed.is_empty() {
        parts::heading(ui, &say.plain("place-heading"));
        for (at, plan) in drawn.plans.iter().enumerate() {
            let name = format!("plan {at}");
            let state = figures.of(&name);
            leading_ui(ui, plan, (&name, PLAN), state, say, out);
        }
        places::moments_ui(ui, &placed, full.of(Section::Places), data, out);
        parts::soft(ui, say.plain("place-caution"));
    }
}

/// Series one under another, each with what it shows; a row of beats leads to the film.
fn beats_ui(
    ui: &mut Ui,
    drawn: &WholeFigures,
    (figures, full): (&mut Figures, &mut bool),
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    let (marked, bare): (Vec<_>, Vec<_>) = drawn
        .series
        .iter()
        .partition(|(one, _)| series::is_marked(one));
    let many = if *full { marked.len() } else { FIRST };
    for (at, (one, beats)) in marked.iter().take(many).enumerate() {
        let goal = Action::OpenRide(one.ride, Some(lead_in(begins(&one.ridden))));
        let name = data.yard.words.exercise_name(&one.ridden.exercise);
        let title = say.series_title(&say.exercise(&name), one);
        let mut pressed = ui
            .link(title)
            .on_hover_text(say.plain("opens-ride"))
            .clicked();
        for sentence in series::sentences(say, one) {
            parts::soft(ui, sentence);
        }
        if let Some(beats) = beats {
            let name = format!("beats {at}");
            let opens = say.plain("opens-ride");
            let shown = Shown {
                name: &name,
                height: BEATS,
                opens: Some(&opens),
                leading: None,
            };
            let state = figures.of(&name);
            pressed |= figure_ui(ui, beats, shown, state, say, out).is_some();
        }
        if pressed {
            out.push(goal);
        }
        ui.add_space(6.0);
    }
    let count = |many: usize| u32::try_from(many).unwrap_or(u32::MAX);
    let text = say.text("whole-show-all", &[("count", count(marked.len()).into())]);
    parts::more(ui, text, full, marked.len(), FIRST);
    if !bare.is_empty() {
        let text = say.text("series-bare", &[("count", count(bare.len()).into())]);
        parts::soft(ui, text);
    }
}
