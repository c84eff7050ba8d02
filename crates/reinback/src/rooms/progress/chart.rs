//! The trend of one exercise across its rides: a plot, and the same as a table.

use chrono::{Datelike as _, Months, NaiveDate};
use egui::{FontId, Rect, Stroke, Ui, WidgetInfo, pos2};
use egui_plot::{FilledArea, GridMark, HoverPosition, Line as Curve, Plot, PlotUi, Points};
use reinback_analysis::{Day, Direction, FaultRate, TrendEstimate};

use super::picture::{days_between, dot_radius};
use super::rows;
use crate::action::Action;
use crate::report::numbers::{CoursePoint, Days, Line};
use crate::said::Say;
use crate::theme::{self, Tokens};

/// Marks along the days, at most.
const MARKS: usize = 7;

/// Draws the plot.
pub(super) fn plot_ui(ui: &mut Ui, line: &Line, say: &Say) {
    let (Some(first), Some(last)) = (line.rides.first(), line.rides.last()) else {
        return;
    };
    let tokens = theme::tokens(ui);
    let (first, last) = (first.date, last.date);
    let edge = (f64::from(number(last) - number(first)) * 0.03).max(1.0);
    let marks = day_marks(first, last, MARKS);
    let plot = Plot::new(("progress plot", &line.exercise))
        .height(216.0)
        .reset()
        .default_x_bounds(
            f64::from(number(first)) - edge,
            f64::from(number(last)) + edge,
        )
        .default_y_bounds(-0.06, 1.06)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_axis_zoom_drag(false)
        .allow_double_click_reset(false)
        .show_crosshair(false)
        .show_background(false)
        .grid_color(tokens.line)
        .x_grid_spacer(move |_| x_marks(&marks))
        .y_grid_spacer(|_| y_marks())
        .x_axis_formatter({
            let say = say.clone();
            move |mark, _| day_label(&say, mark.value, first, last)
        })
        .y_axis_formatter({
            let say = say.clone();
            move |mark, _| say.share(mark.value)
        })
        .label_formatter(|at| match at {
            HoverPosition::NearDataPoint { plot_name, .. } if !plot_name.is_empty() => {
                Some((*plot_name).to_owned())
            }
            _ => None,
        });
    let shown = plot.show(ui, |plot| {
        if let Ok(trend) = &line.figures.trend.state {
            fitted(plot, trend, (first, last), tokens);
        }
        for point in line.course.iter() {
            dot(plot, point, say, tokens);
        }
    });
    let spoken = say.text(
        "plot-spoken",
        &[
            ("rides", say.rides(line.rides.len()).into()),
            ("exercise", say.exercise(&line.name).into()),
        ],
    );
    shown
        .response
        .widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, &spoken));
}

fn fitted(
    plot: &mut PlotUi<'_>,
    trend: &TrendEstimate,
    (first, last): (NaiveDate, NaiveDate),
    tokens: &Tokens,
) {
    let days = days_between(Day(number(first)), Day(number(last)), 64);
    let xs: Vec<f64> = days.iter().map(|day| f64::from(day.0)).collect();
    let found: Vec<_> = days.iter().map(|day| trend.fitted(*day)).collect();
    let lows: Vec<f64> = found.iter().map(|estimate| estimate.low).collect();
    let highs: Vec<f64> = found.iter().map(|estimate| estimate.high).collect();
    let band = FilledArea::new("", &xs, &lows, &highs)
        .fill_color(tokens.leather.gamma_multiply(0.16))
        .allow_hover(false);
    plot.add(band);
    let middle: Vec<[f64; 2]> = xs
        .iter()
        .zip(&found)
        .map(|(x, estimate)| [*x, estimate.value])
        .collect();
    let line = Curve::new("", middle)
        .color(tokens.leather)
        .width(match trend.direction {
            Direction::NoClearTrend => 1.0,
            Direction::Fewer | Direction::More => 2.0,
        })
        .allow_hover(false);
    plot.line(line);
}

fn dot(plot: &mut PlotUi<'_>, point: &CoursePoint, say: &Say, tokens: &Tokens) {
    let x = 0.5 * (f64::from(number(point.from)) + f64::from(number(point.to)));
    // Six attempts in a ride are rare; below, a range would say little but "anything".
    if let Ok(range) = FaultRate::new(point.tally).range {
        let whisker = Curve::new("", vec![[x, range.low], [x, range.high]])
            .stroke(Stroke::new(1.2, tokens.ink_soft))
            .allow_hover(false);
        plot.line(whisker);
    }
    let dot = Points::new(
        in_words(point, say),
        [x, point.tally.share().unwrap_or(0.0)],
    )
    .color(tokens.ink)
    .radius(1.2 * dot_radius(point.tally.attempts))
    .filled(true);
    plot.points(dot);
}

/// "4 May 2026: 2 of 6 attempts faulty, 3 faults".
fn in_words(point: &CoursePoint, say: &Say) -> String {
    say.text(
        "ride-in-words",
        &[
            ("day", days(point, say).into()),
            ("faulty", point.tally.faulty.into()),
            ("attempts", point.tally.attempts.into()),
            ("faults", point.faults.into()),
        ],
    )
}

/// The day of a ride; of a month its days and how many rides.
fn days(point: &CoursePoint, say: &Say) -> String {
    if point.ride.is_some() {
        return say.day(point.from);
    }
    let days = say.days(Days {
        from: Some(point.from),
        to: Some(point.to),
    });
    format!("{days} ({})", say.rides(point.rides as usize))
}

/// Where the columns of the table end, as a share of the width.
const COLUMNS: [f32; 4] = [0.3, 0.54, 0.76, 0.97];

/// Draws the rides as a table, newest first; a row opens its ride.
pub(super) fn table_ui(ui: &mut Ui, line: &Line, say: &Say, out: &mut Vec<Action>) {
    let tokens = theme::tokens(ui);
    let (head, _) =
        ui.allocate_exact_size(egui::vec2(ui.available_width(), 24.0), egui::Sense::hover());
    cells(
        ui,
        head,
        &[
            say.plain("table-day"),
            say.plain("table-attempts"),
            say.plain("table-faulty"),
            say.plain("table-faults"),
        ],
        &theme::bold(13.0),
        tokens.ink_soft,
    );
    ui.spacing_mut().item_spacing.y = 0.0;
    for point in line.course.iter().rev() {
        let (rect, response) = rows::row(ui, 24.0, &in_words(point, say), false);
        let texts = [
            days(point, say),
            say.count(point.tally.attempts),
            say.count(point.tally.faulty),
            say.count(point.faults),
        ];
        cells(ui, rect, &texts, &FontId::proportional(13.5), tokens.ink);
        if let Some(ride) = point.ride
            && response.on_hover_text(say.plain("opens-ride")).clicked()
        {
            out.push(Action::OpenRide(ride, None));
        }
    }
}

fn cells(ui: &Ui, rect: Rect, texts: &[String; 4], font: &FontId, ink: egui::Color32) {
    if !ui.is_rect_visible(rect) {
        return;
    }
    let y = rect.center().y;
    for (at, (text, end)) in texts.iter().zip(COLUMNS).enumerate() {
        let right = rect.left() + rect.width() * end;
        if at == 0 {
            rows::text(
                ui,
                pos2(rect.left() + 6.0, y),
                right,
                text,
                font.clone(),
                ink,
            );
        } else {
            rows::text_to(ui, pos2(right, y), text, font.clone(), ink);
        }
    }
}

fn number(date: NaiveDate) -> i32 {
    date.to_epoch_days()
}

/// Days to mark between two days, at most so many: every day, every week, or firsts of months.
fn day_marks(first: NaiveDate, last: NaiveDate, most: usize) -> Vec<NaiveDate> {
    let most = most.max(2);
    for step in [1_u64, 2, 7, 14] {
        let marks: Vec<NaiveDate> = first
            .iter_days()
            .step_by(step as usize)
            .take_while(|day| *day <= last)
            .take(most + 1)
            .collect();
        if marks.len() <= most {
            return marks;
        }
    }
    for step in [1, 2, 3, 6, 12, 24, 60, 120] {
        let marks = months(first, last, step, most + 1);
        if marks.len() <= most {
            return marks;
        }
    }
    vec![first, last]
}

/// The firsts of every so many months, counted from January.
fn months(first: NaiveDate, last: NaiveDate, step: u32, most: usize) -> Vec<NaiveDate> {
    let january = NaiveDate::from_ymd_opt(first.year(), 1, 1).unwrap_or(first);
    (0..)
        .map_while(|at| january.checked_add_months(Months::new(at * step)))
        .take_while(|day| *day <= last)
        .filter(|day| *day >= first)
        .take(most)
        .collect()
}

fn x_marks(days: &[NaiveDate]) -> Vec<GridMark> {
    let numbers: Vec<f64> = days.iter().map(|day| f64::from(number(*day))).collect();
    let apart = numbers.windows(2).map(|pair| pair[1] - pair[0]);
    let step_size = apart.reduce(f64::min).unwrap_or(1.0);
    numbers
        .into_iter()
        .map(|value| GridMark { value, step_size })
        .collect()
}

fn y_marks() -> Vec<GridMark> {
    [0.0, 0.25, 0.5, 0.75, 1.0]
        .map(|value| GridMark {
            value,
            step_size: 0.25,
        })
        .to_vec()
}

/// "4 May", with the year where more than one is shown.
pub(super) fn day_label(say: &Say, value: f64, first: NaiveDate, last: NaiveDate) -> String {
    let Some(day) = NaiveDate::from_epoch_days(value.round() as i32) else {
        return String::new();
    };
    if last - first > chrono::TimeDelta::days(500) {
        say.month_of_year(day)
    } else {
        say.day_of_month(day)
    }
}

#[cfg(test)]
mod tests {
    use chrono::Days;
    use proptest::prelude::*;

    use super::*;

    fn check_marks(first: &str, span: u64, expect: &[&str]) {
        let first: NaiveDate = first.parse().expect("a day");
        let marks = day_marks(first, first + Days::new(span), MARKS);
        let found: Vec<String> = marks.iter().map(ToString::to_string).collect();
        assert_eq!(found, expect);
    }

    #[test]
    fn marks_stand_where_a_rider_counts() {
        check_marks("2026-05-04", 0, &["2026-05-04"]);
        check_marks(
            "2026-05-04",
            27,
            &["2026-05-04", "2026-05-11", "2026-05-18", "2026-05-25"],
        );
        check_marks(
            "2026-01-20",
            120,
            &["2026-02-01", "2026-03-01", "2026-04-01", "2026-05-01"],
        );
    }

    proptest! {
        #[test]
        fn marks_are_few_in_order_and_inside(start in 0_u64..20_000, span in 0_u64..30_000) {
            let first = NaiveDate::from_ymd_opt(1990, 1, 1).expect("a day") + Days::new(start);
            let last = first + Days::new(span);
            let marks = day_marks(first, last, MARKS);
            prop_assert!(!marks.is_empty() && marks.len() <= MARKS, "{marks:?}");
            prop_assert!(marks.windows(2).all(|pair| pair[0] < pair[1]), "{marks:?}");
            prop_assert!(marks.iter().all(|day| first <= *day && *day <= last), "{marks:?}");
        }
    }
}
