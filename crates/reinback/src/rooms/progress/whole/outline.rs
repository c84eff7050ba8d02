//! Outlines: shares ride by ride, and the rides that the timer noticed.

use egui::Ui;
use reinback_analysis::outline::{Notice, OutlineReport, longest_run};
use reinback_yard::Moment;

use super::{lead_in, parts};
use crate::action::Action;
use crate::report::whole::drawn::Leading;
use crate::report::whole::{RideFigures, Whole};
use crate::rooms::progress::ProgressData;
use crate::rooms::progress::figure::Figures;

/// Noticed rides that are listed at first.
const FIRST: usize = 4;

/// Draws the section.
pub(super) fn outline_ui(
    ui: &mut Ui,
    whole: &Whole,
    (drawn, figures): (Option<&Leading>, &mut Figures),
    full: &mut bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    parts::card(ui, &say.plain("outline-heading"), |ui| {
        let marked = whole.rides.iter().filter(|ride| ride.outline.is_some());
        let outlined = u32::try_from(marked.count()).unwrap_or(u32::MAX);
        if outlined == 0 {
            parts::soft(ui, say.plain("outline-none"));
            return;
        }
        let rides = say.in_rides(whole.rides.len());
        parts::soft(
            ui,
            say.text(
                "outline-timed",
                &[("outlined", outlined.into()), ("rides", rides.into())],
            ),
        );
        parts::figure(ui, "outline", drawn, figures, data, out);
        noticed_ui(ui, whole, full, data, out);
        for problem in problems(whole) {
            parts::soft(ui, say.outline_problem(problem));
        }
        parts::soft(ui, say.plain("outline-caution"));
    });
}

/// What stands in the way of looking at outlines, each once.
fn problems(whole: &Whole) -> Vec<reinback_analysis::outline::OutlineProblem> {
    let rides = whole.rides.iter();
    let mut found = Vec::new();
    for problem in rides.filter_map(|ride| ride.outline.as_ref()?.as_ref().err()) {
        if !found.contains(problem) {
            found.push(*problem);
        }
    }
    found
}

/// The rides whose outline was held for long, the newest first.
fn noticed_ui(
    ui: &mut Ui,
    whole: &Whole,
    full: &mut bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    let noticed: Vec<(&RideFigures, &OutlineReport)> = whole
        .rides
        .iter()
        .rev()
        .filter_map(|ride| Some((ride.as_ref(), ride.outline.as_ref()?.as_ref().ok()?)))
        .filter(|(_, report)| longest_run(report).is_some_and(|run| run.notice() != Notice::Quiet))
        .collect();
    let many = if *full {
        noticed.len()
    } else {
        noticed.len().min(FIRST)
    };
    let row = |at: usize| {
        let (ride, report) = noticed[at];
        say.text(
            "outline-noticed",
            &[
                ("when", say.day(ride.date).into()),
                ("timer", say.outline_timer(report).into()),
            ],
        )
    };
    let pressed = ui.scope(|ui| parts::noticed(ui, many, row)).inner;
    if let Some((ride, report)) = pressed.and_then(|at| noticed.get(at)) {
        out.push(Action::OpenRide(ride.ride, to_look_at(report)));
    }
    let count = u32::try_from(noticed.len()).unwrap_or(u32::MAX);
    let text = say.text("whole-show-all", &[("count", count.into())]);
    parts::more(ui, text, full, noticed.len(), FIRST);
}

/// A little before the longest run was noticed.
fn to_look_at(report: &OutlineReport) -> Option<Moment> {
    let run = longest_run(report)?;
    run.notice_at.or(run.early_at).map(lead_in)
}
