//! The figures of the open line: made once for an answer, drawn in every frame.

use egui::Ui;

use super::detail::soft;
use super::figure::{Beside, Figures, Pressed, Shown, figure_ui};
use crate::action::Action;
use crate::figure::Figure;
use crate::report::figures::{self, Happened, Leading, TempoAbout, ToTap, bars};
use crate::report::numbers::Line;
use crate::report::whole::{SeriesShown, Whole};
use crate::said::Say;

/// The figures of a line.
#[derive(Debug)]
pub(super) struct LineFigures {
    /// Ride by ride.
    across: Option<Leading>,
    pub(super) faults: Option<Figure>,
    pub(super) reins: Option<Figure>,
    pub(super) variants: Option<Figure>,
    pub(super) after: Option<Figure>,
    /// The tempo before, in and after it.
    tempo: Option<Leading>,
    /// What is said about that.
    tempo_said: String,
    /// Where its tempo could be tapped; nothing while that is looked up.
    to_tap: Option<ToTap>,
}

impl LineFigures {
    /// `tempo` is nothing while it is looked up.
    pub(super) fn new(
        line: &Line,
        happened: &[Happened],
        tempo: Option<&TempoAbout>,
        say: &Say,
    ) -> Self {
        let exercise = say.exercise(&line.name);
        Self {
            tempo: tempo.and_then(|tempo| figures::about::about(tempo, &exercise, say)),
            tempo_said: tempo.map_or_else(|| say.plain("counting"), |tempo| say.tempo_about(tempo)),
            to_tap: tempo.map(|tempo| tempo.to_tap),
            across: figures::across(line, happened, say),
            faults: bars::faults(line, say),
            reins: bars::reins(line, say),
            variants: bars::variants(line, say),
            after: bars::after(line, say),
        }
    }
}

/// The figures of a line that rest on the whole horse.
#[derive(Debug, Default)]
pub(super) struct WholeFigures {
    /// Series of changes, newest first, and their beats where there are any.
    pub(super) series: Vec<(SeriesShown, Option<Figure>)>,
    /// Faults on the plan, one an arena.
    pub(super) plans: Vec<Leading>,
}

impl WholeFigures {
    pub(super) fn new(line: &Line, whole: &Whole, say: &Say) -> Self {
        let exercise = say.exercise(&line.name);
        let series = whole.series.iter();
        let series = series.filter(|one| one.ridden.exercise == line.exercise);
        let series = series.map(|one| {
            let title = say.series_title(&exercise, one);
            (one.clone(), figures::beats::beats(one, title, say))
        });
        let plans = whole.places.iter().filter_map(|places| {
            let own = figures::plan::of_exercise(places, &line.exercise)?;
            let title = say.text(
                "place-title",
                &[
                    ("exercise", exercise.as_ref().into()),
                    ("arena", say.arena(own.arena).into()),
                ],
            );
            figures::plan::plan(&own, title, say)
        });
        Self {
            series: series.collect(),
            plans: plans.collect(),
        }
    }
}

/// Height of the rides, in points.
const ACROSS: f32 = 232.0;

/// Draws the rides; a dot, an event or a row opens its ride.
pub(super) fn across_ui(
    ui: &mut Ui,
    own: &LineFigures,
    figures: &mut Figures,
    say: &Say,
    out: &mut Vec<Action>,
) {
    let Some(across) = &own.across else { return };
    let state = figures.of_quiet("across", &[figures::across::notes_layer(say)]);
    leading_ui(ui, across, ("across", ACROSS), state, say, out);
}

/// Height of the tempo, in points.
const TEMPO: f32 = 190.0;

/// Draws the tempo before, in and after the exercise; where none is known, offers to tap it.
pub(super) fn tempo_ui(
    ui: &mut Ui,
    own: &LineFigures,
    figures: &mut Figures,
    say: &Say,
    out: &mut Vec<Action>,
) {
    ui.label(own.tempo_said.as_str());
    if let Some(tempo) = &own.tempo {
        let name = "tempo about";
        leading_ui(ui, tempo, (name, TEMPO), figures.of(name), say, out);
        return;
    }
    match own.to_tap {
        Some(ToTap::At(ride, at)) => {
            if ui.button(say.plain("tap-tempo")).clicked() {
                out.push(Action::TapTempo(ride, at));
            }
        }
        Some(ToTap::NoFilm) => soft(ui, say.plain("tap-no-film-about")),
        Some(ToTap::NoAttempt) | None => {}
    }
}

/// Draws a figure whose marks and rows lead to rides.
pub(super) fn leading_ui(
    ui: &mut Ui,
    leading: &Leading,
    (name, height): (&str, f32),
    state: &mut super::figure::FigureState,
    say: &Say,
    out: &mut Vec<Action>,
) {
    let opens = say.plain("opens-ride");
    let shown = Shown {
        name,
        height,
        opens: Some(&opens),
        leading: Some(leading),
        beside: Beside::Legend,
    };
    let lead = match figure_ui(ui, &leading.figure, shown, state, say, out) {
        Some(Pressed::Mark(pick)) => leading.of_mark(pick),
        Some(Pressed::Row(row)) => leading.of_row(row),
        None => None,
    };
    if let Some((ride, at)) = lead {
        out.push(Action::OpenRide(ride, at));
    }
}

/// Draws bars that lead nowhere.
pub(super) fn bars_ui(
    ui: &mut Ui,
    figure: &Figure,
    (name, beside): (&str, Beside<'_>),
    figures: &mut Figures,
    say: &Say,
    out: &mut Vec<Action>,
) {
    let shown = Shown {
        name,
        height: bars::height(figure),
        opens: None,
        leading: None,
        beside,
    };
    let _nothing_to_open = figure_ui(ui, figure, shown, figures.of(name), say, out);
}
