//! Outlines: shares ride by ride, and the rides that the timer noticed.

use egui::Ui;
use reinback_analysis::outline::OutlineProblem;

use super::parts;
use crate::action::Action;
use crate::report::whole::Whole;
use crate::report::whole::drawn::Drawn;
use crate::rooms::progress::ProgressData;
use crate::rooms::progress::figure::Figures;

/// Draws the section.
pub(super) fn outline_ui(
    ui: &mut Ui,
    whole: &Whole,
    (drawn, figures): (Option<&Drawn>, &mut Figures),
    full: &mut bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    let marked = whole.rides.iter().filter(|ride| ride.outline.is_some());
    let outlined = u32::try_from(marked.count()).unwrap_or(u32::MAX);
    let nothing = (outlined == 0).then(|| say.plain("outline-none"));
    parts::section(ui, &say.plain("outline-heading"), nothing, |ui| {
        let rides = say.in_rides(whole.rides.len());
        parts::soft(
            ui,
            say.text(
                "outline-timed",
                &[("outlined", outlined.into()), ("rides", rides.into())],
            ),
        );
        if let Some(drawn) = drawn {
            parts::figure(ui, "outline", drawn.outline.as_ref(), figures, data, out);
            parts::noticed(ui, &drawn.noticed, full, data, out);
        }
        for problem in problems(whole) {
            parts::soft(ui, say.outline_problem(problem));
        }
        parts::soft(ui, say.plain("outline-caution"));
    });
}

/// What stands in the way of looking at outlines, each once.
fn problems(whole: &Whole) -> Vec<OutlineProblem> {
    let rides = whole.rides.iter();
    let mut found = Vec::new();
    for problem in rides.filter_map(|ride| ride.outline.as_ref()?.as_ref().err()) {
        if !found.contains(problem) {
            found.push(*problem);
        }
    }
    found
}
