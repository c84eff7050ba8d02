//! The load: minutes by pace and exercise, week by week, and what to think about.

use chrono::NaiveDate;
use egui::{FontId, Rect, Ui, WidgetInfo, pos2, vec2};
use reinback_analysis::load::Week;

use super::parts;
use crate::report::whole::Whole;
use crate::rooms::progress::{ProgressData, rows};
use crate::said::Say;
use crate::theme;
use crate::widgets::icon::{self, Icon};

/// Weeks that are shown.
const WEEKS: usize = 12;
/// Exercises that are listed.
const LISTED: usize = 6;

/// Draws the section.
pub(super) fn load_ui(ui: &mut Ui, whole: &Whole, table: bool, data: &ProgressData<'_>) {
    let say = data.say;
    parts::card(ui, &say.plain("load-heading"), |ui| {
        for caution in say.load_cautions(&whole.load.cautions) {
            caution_ui(ui, caution);
        }
        for sentence in say.load(&whole.load) {
            ui.label(sentence);
        }
        weeks_ui(ui, &whole.load.weeks, table, say);
        paces_ui(ui, whole, data);
        parts::soft(ui, say.plain("load-caution"));
    });
}

fn caution_ui(ui: &mut Ui, text: String) {
    let ink = theme::tokens(ui).caution;
    ui.horizontal_wrapped(|ui| {
        let (_, place) = ui.allocate_space(vec2(16.0, 18.0));
        icon::paint(ui.painter(), Icon::Trouble, place.center(), 13.0, ink);
        ui.label(egui::RichText::new(text).color(ink));
    });
}

fn paces_ui(ui: &mut Ui, whole: &Whole, data: &ProgressData<'_>) {
    let say = data.say;
    let ridden = &whole.ridden.all;
    if ridden.all <= 0 {
        return;
    }
    ui.add_space(4.0);
    ui.label(say.text(
        "load-in-days",
        &[
            ("length", say.length(ridden.all).into()),
            ("rides", say.in_rides(ridden.rides as usize).into()),
        ],
    ));
    let tokens = theme::tokens(ui);
    let share = |nanos: i64| nanos as f64 / ridden.all as f64;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        let mut row = |name: &str, nanos: i64, fill| {
            let text = format!("{}, {}", say.length(nanos), say.percent(share(nanos)));
            parts::bar_row(ui, name, share(nanos) as f32, &text, fill);
        };
        for (pace, nanos) in &ridden.paces {
            let fill = tokens.paces[*pace as usize % tokens.paces.len()];
            row(&say.pace(*pace), *nanos, fill);
        }
        if ridden.pace_unknown > 0 {
            row(
                &say.plain("load-no-pace"),
                ridden.pace_unknown,
                tokens.stripe,
            );
        }
    });
    let listed: Vec<String> = whole
        .ridden
        .exercises
        .iter()
        .take(LISTED)
        .map(|(word, nanos)| {
            let name = data.yard.words.exercise_name(word);
            say.text(
                "load-exercise",
                &[
                    ("exercise", say.exercise(&name).into_owned().into()),
                    ("length", say.length(*nanos).into()),
                ],
            )
        })
        .collect();
    if !listed.is_empty() {
        parts::soft(ui, listed.join("; "));
    }
    if ridden.left + ridden.right > 0 {
        parts::soft(ui, say.on_reins(ridden));
    }
}

fn week_words(week: &Week, say: &Say) -> String {
    let monday = NaiveDate::from_epoch_days(week.monday.0).unwrap_or_default();
    say.text(
        "load-week-row",
        &[
            ("day", say.day(monday).into()),
            ("length", say.length(week.nanos).into()),
            ("rides", say.in_rides(week.rides as usize).into()),
        ],
    )
}

fn weeks_ui(ui: &mut Ui, weeks: &[Week], table: bool, say: &Say) {
    let shown = &weeks[weeks.len().saturating_sub(WEEKS)..];
    let Some(most) = shown
        .iter()
        .map(|week| week.nanos)
        .max()
        .filter(|most| *most > 0)
    else {
        return;
    };
    let tokens = theme::tokens(ui);
    if table {
        for week in shown.iter().rev() {
            parts::soft(ui, week_words(week, say));
        }
        return;
    }
    let size = vec2(ui.available_width(), 84.0);
    let (rect, response) = ui.allocate_exact_size(size, egui::Sense::hover());
    let spoken = shown.iter().map(|week| week_words(week, say));
    let spoken = format!(
        "{}: {}",
        say.plain("load-weeks"),
        spoken.collect::<Vec<_>>().join("; ")
    );
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, &spoken));
    let step = rect.width() / WEEKS as f32;
    let bottom = rect.bottom() - 16.0;
    let mut tip = None;
    for (at, week) in shown.iter().enumerate() {
        let left = rect.left() + step * at as f32;
        let column = Rect::from_min_max(pos2(left, rect.top()), pos2(left + step, rect.bottom()));
        let height = (bottom - rect.top()) * week.nanos as f32 / most as f32;
        let bar = Rect::from_min_max(
            pos2(left + 2.0, bottom - height),
            pos2(left + step - 4.0, bottom),
        );
        // The week that still runs stands apart by its fill and its rim.
        let last = at + 1 == shown.len();
        let fill = if last { tokens.field } else { tokens.leather };
        let rim = egui::Stroke::new(1.0, tokens.leather);
        let painter = ui.painter();
        painter.rect(bar, 2.0, fill, rim, egui::StrokeKind::Inside);
        if at % 3 == 0 {
            let monday = NaiveDate::from_epoch_days(week.monday.0).unwrap_or_default();
            let place = pos2(left + 2.0, rect.bottom() - 6.0);
            let text = say.day_of_month(monday);
            let font = FontId::proportional(11.5);
            rows::text(ui, place, left + 3.0 * step, &text, font, tokens.ink_soft);
        }
        if response
            .hover_pos()
            .is_some_and(|place| column.contains(place))
        {
            tip = Some(week_words(week, say));
        }
    }
    if let Some(tip) = tip {
        response.on_hover_text(tip);
    }
}
