//! Tempo pace by pace over the rides, and transitions.

use egui::{Ui, WidgetInfo};
use egui_plot::{HoverPosition, MarkerShape, Plot, Points};
use reinback_yard::WordId;

use super::{lead_in, parts};
use crate::action::Action;
use crate::report::whole::{PaceOver, PacePoint, Whole};
use crate::rooms::progress::{ProgressData, chart};
use crate::theme;

/// One for each pace, so that they are told apart without colour.
const SHAPES: [MarkerShape; 7] = [
    MarkerShape::Square,
    MarkerShape::Circle,
    MarkerShape::Diamond,
    MarkerShape::Up,
    MarkerShape::Down,
    MarkerShape::Cross,
    MarkerShape::Plus,
];

fn variant(over: &PaceOver) -> Option<String> {
    over.variant.as_ref().map(WordId::spelled)
}

/// Draws the section.
pub(super) fn tempo_ui(
    ui: &mut Ui,
    whole: &Whole,
    table: bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    parts::card(ui, &say.plain("tempo-heading"), |ui| {
        if whole.tempos.is_empty() {
            parts::soft(ui, say.plain("tempo-none"));
            return;
        }
        for over in &whole.tempos {
            let said = say.tempo(over, variant(over).as_deref());
            ui.label(format!("{}.", said.join("; ")));
        }
        let points: Vec<(&PaceOver, &PacePoint)> = whole
            .tempos
            .iter()
            .flat_map(|over| over.course.iter().map(move |point| (over, point)))
            .collect();
        if table || points.len() < 2 {
            let row = |at: usize| {
                let (over, point) = points[at];
                say.tempo_point(over, point)
            };
            let pressed = ui.scope(|ui| parts::table(ui, points.len(), row)).inner;
            if let Some((_, point)) = pressed.and_then(|at| points.get(at)) {
                out.push(Action::OpenRide(point.ride, point.lapse.map(lead_in)));
            }
        } else {
            plot_ui(ui, &points, data);
        }
        for (what, found) in &whole.around {
            for sentence in say.around(*what, found) {
                ui.label(sentence);
            }
        }
        parts::soft(ui, say.plain("tempo-caution"));
    });
}

/// Each dot has its place in `points` as its name; the words are made for the one pointed at.
fn plot_ui(ui: &mut Ui, points: &[(&PaceOver, &PacePoint)], data: &ProgressData<'_>) {
    let tokens = theme::tokens(ui);
    let dates = || points.iter().map(|(_, point)| point.date);
    let (Some(first), Some(last)) = (dates().min(), dates().max()) else {
        return;
    };
    let say = data.say.clone();
    let shown = Plot::new("whole tempo")
        .height(150.0)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .show_crosshair(false)
        .show_background(false)
        .grid_color(tokens.line)
        .x_axis_formatter(move |mark, _| chart::day_label(&say, mark.value, first, last))
        .label_formatter(|at| match at {
            HoverPosition::NearDataPoint { plot_name, .. } => {
                let (over, point) = points.get(plot_name.parse::<usize>().ok()?)?;
                Some(data.say.tempo_point(over, point))
            }
            HoverPosition::Elsewhere { .. } => None,
        })
        .show(ui, |plot| {
            for (place, (over, point)) in points.iter().enumerate() {
                let pace = over.pace as usize % SHAPES.len();
                let at = [f64::from(point.date.to_epoch_days()), point.median];
                let dot = Points::new(place.to_string(), at)
                    .color(tokens.paces[pace])
                    .shape(SHAPES[pace])
                    .radius(4.5)
                    .filled(point.straight);
                plot.points(dot);
            }
        });
    let spoken = data.say.plain("tempo-heading");
    shown
        .response
        .widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, &spoken));
}

/// How many rides and kinds are listed.
const LISTED: usize = 8;

/// Draws the section.
pub(super) fn steps_ui(ui: &mut Ui, whole: &Whole, data: &ProgressData<'_>, out: &mut Vec<Action>) {
    let say = data.say;
    parts::card(ui, &say.plain("steps-heading"), |ui| {
        if whole.steps.rides == 0 {
            parts::soft(ui, say.plain("steps-none"));
            return;
        }
        for sentence in say.steps(&whole.steps) {
            ui.label(sentence);
        }
        let most = whole.steps.by_kind.first().map_or(1, |(_, times)| *times);
        let fill = theme::tokens(ui).leather;
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            for (kind, times) in whole.steps.by_kind.iter().take(LISTED) {
                let share = *times as f32 / most.max(1) as f32;
                parts::bar_row(ui, &say.steps_kind(kind), share, &say.count(*times), fill);
            }
        });
        let listed: Vec<_> = whole
            .rides
            .iter()
            .rev()
            .filter_map(|ride| Some((ride, ride.steps.as_ref()?)))
            .take(LISTED)
            .collect();
        let row = |at: usize| {
            let (ride, steps) = listed[at];
            say.text(
                "steps-row",
                &[
                    ("day", say.day(ride.date).into()),
                    ("between", steps.between.count.into()),
                    ("within", steps.within.count.into()),
                    ("length", say.length(steps.known_nanos).into()),
                ],
            )
        };
        let pressed = ui.scope(|ui| parts::table(ui, listed.len(), row)).inner;
        if let Some((ride, steps)) = pressed.and_then(|at| listed.get(at)) {
            let first = steps.all.first().map(|step| lead_in(step.at));
            out.push(Action::OpenRide(ride.ride, first));
        }
    });
}
