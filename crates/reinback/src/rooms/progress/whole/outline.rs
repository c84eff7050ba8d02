//! Outlines ride by ride: shares as a bar, and what the timer says.

use egui::{FontId, Rect, Ui, pos2, vec2};
use reinback_analysis::outline::{Notice, OutlineReport, longest_run};
use reinback_yard::Moment;

use super::{lead_in, parts};
use crate::action::Action;
use crate::report::whole::{RideFigures, Whole};
use crate::rooms::progress::{ProgressData, rows};
use crate::theme;
use crate::widgets::icon::{self, Icon};

const FIRST: usize = 8;

/// Draws the section.
pub(super) fn outline_ui(
    ui: &mut Ui,
    whole: &Whole,
    full: &mut bool,
    table: bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let say = data.say;
    parts::card(ui, &say.plain("outline-heading"), |ui| {
        let marked: Vec<&RideFigures> = whole
            .rides
            .iter()
            .rev()
            .map(AsRef::as_ref)
            .filter(|ride| ride.outline.is_some())
            .collect();
        if marked.is_empty() {
            parts::soft(ui, say.plain("outline-none"));
            return;
        }
        let outlined = u32::try_from(marked.len()).unwrap_or(u32::MAX);
        let rides = say.in_rides(whole.rides.len());
        parts::soft(
            ui,
            say.text(
                "outline-timed",
                &[("outlined", outlined.into()), ("rides", rides.into())],
            ),
        );
        let many = if *full { marked.len() } else { FIRST };
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            for (at, ride) in marked.iter().take(many).enumerate() {
                match &ride.outline {
                    Some(Ok(report)) => {
                        if !rows::near(ui, at, height(ui, report, table)) {
                            continue;
                        }
                        let said = Said::of(ride, report, data);
                        if ride_ui(ui, ride, report, &said, table, data) {
                            out.push(Action::OpenRide(ride.ride, Some(to_look_at(ride, report))));
                        }
                    }
                    Some(Err(problem)) => parts::soft(ui, say.outline_problem(*problem)),
                    None => {}
                }
            }
        });
        let text = say.text("whole-show-all", &[("count", outlined.into())]);
        parts::more(ui, text, full, marked.len(), FIRST);
        parts::soft(ui, say.plain("outline-caution"));
    });
}

/// A ride's outlines in words.
struct Said {
    day: String,
    shares: String,
    timer: String,
    row: String,
}

impl Said {
    fn of(ride: &RideFigures, report: &OutlineReport, data: &ProgressData<'_>) -> Self {
        let say = data.say;
        let names: Vec<String> = report
            .shares
            .iter()
            .map(|share| {
                let word = ride.word(share.outline);
                word.map_or_else(String::new, |word| data.yard.words.outline_name(word))
            })
            .collect();
        let day = say.day(ride.date);
        let shares = say.outline_shares(&names, report);
        let timer = say.outline_timer(report);
        let changes = say.outline_changes(report);
        let row = say.text(
            "outline-row",
            &[
                ("day", day.as_str().into()),
                ("shares", shares.as_str().into()),
                ("timer", timer.as_str().into()),
                ("changes", changes.into()),
            ],
        );
        Self {
            day,
            shares,
            timer,
            row,
        }
    }
}

/// The moment the longest run was noticed, else its beginning, else that of the ride.
fn to_look_at(ride: &RideFigures, report: &OutlineReport) -> Moment {
    let run = longest_run(report);
    let noticed = run.and_then(|run| run.notice_at.or(run.early_at));
    let begins = run.map(|run| run.span.from);
    let first = ride.extent.map(|all| all.from);
    noticed
        .map(lead_in)
        .or(begins)
        .or(first)
        .unwrap_or_default()
}

/// A line of the small text of a row, and the width of one of its letters, at most on average.
const LINE: f32 = 16.0;
const LETTER: f32 = 6.6;
/// How many letters the longest sentence of the timer has in any language, by what it says.
const LETTERS: [f32; 4] = [80.0, 110.0, 110.0, 160.0];
/// How many letters a share takes in a table, and what is not known.
const LETTERS_OF_SHARE: f32 = 26.0;

/// The height of a ride's row. Known without its words, so that a row out of sight need not be
/// said to leave its room.
fn height(ui: &Ui, report: &OutlineReport, table: bool) -> f32 {
    let width = (ui.available_width() - 96.0 - 26.0).max(LETTER);
    let lines = |letters: f32| (letters * LETTER / width).ceil().max(1.0);
    let run = longest_run(report);
    let noticed = run.is_some_and(|run| run.notice() != Notice::Quiet);
    let paused = run.is_some_and(|run| run.paused_nanos > 0);
    let letters = LETTERS[usize::from(noticed) + 2 * usize::from(paused)];
    let shares = if table {
        lines(LETTERS_OF_SHARE * (report.shares.len() + 1) as f32)
    } else {
        1.0
    };
    LINE * (lines(letters) + shares) + 12.0
}

/// Draws one ride; true when it was pressed.
fn ride_ui(
    ui: &mut Ui,
    ride: &RideFigures,
    report: &OutlineReport,
    said: &Said,
    table: bool,
    data: &ProgressData<'_>,
) -> bool {
    let tokens = theme::tokens(ui);
    let (rect, response) = rows::row(ui, height(ui, report, table), &said.row, false);
    if ui.is_rect_visible(rect) {
        let small = FontId::proportional(12.5);
        let top = rect.top() + 13.0;
        let left = rect.left() + 96.0;
        let at = pos2(rect.left() + 6.0, top);
        rows::text(
            ui,
            at,
            left - 6.0,
            &said.day,
            small.clone(),
            tokens.ink_soft,
        );
        let bed = Rect::from_min_max(pos2(left, top - 7.0), pos2(rect.right() - 6.0, top + 7.0));
        let mut below = rect.top() + 24.0;
        if table {
            let at = pos2(left, top - 8.0);
            let to = rows::wrapped(ui, at, bed.right(), &said.shares, small.clone(), tokens.ink);
            below = below.max(to);
        } else {
            bar_ui(ui, ride, report, bed, data);
        }
        let notice = longest_run(report).map(reinback_analysis::outline::TimerRun::notice);
        let (mut text_left, mut ink) = (left, tokens.ink_soft);
        if matches!(notice, Some(Notice::Early | Notice::Full)) {
            let sign = pos2(left + 7.0, below + 8.0);
            icon::paint(ui.painter(), Icon::Trouble, sign, 12.0, tokens.caution);
            text_left += 20.0;
            ink = tokens.caution;
        }
        let at = pos2(text_left, below);
        rows::wrapped(ui, at, bed.right(), &said.timer, small, ink);
    }
    response.on_hover_text(said.row.as_str()).clicked()
}

/// The shares of the whole ride side by side, with the name where it fits; what is not known
/// stays empty.
fn bar_ui(ui: &Ui, ride: &RideFigures, report: &OutlineReport, bed: Rect, data: &ProgressData<'_>) {
    let tokens = theme::tokens(ui);
    let painter = ui.painter();
    let hairline = egui::Stroke::new(1.0, tokens.line);
    painter.rect(bed, 2.0, tokens.field, hairline, egui::StrokeKind::Inside);
    let known: i64 = report.shares.iter().map(|share| share.nanos).sum();
    let dark = report
        .unknown_nanos
        .saturating_add(report.contradicted_nanos);
    let all = known.saturating_add(dark).max(1) as f32;
    let words = &data.yard.words;
    let mut left = bed.left();
    for share in &report.shares {
        let Some(word) = ride.word(share.outline) else {
            continue;
        };
        let width = bed.width() * share.nanos as f32 / all;
        let part = Rect::from_min_size(pos2(left, bed.top()), vec2(width, bed.height()));
        let place = words.outlines.iter().position(|own| own.id == *word);
        let fill = tokens.families[place.unwrap_or(5) % tokens.families.len()];
        painter.rect_filled(part.shrink2(vec2(0.5, 0.5)), 2.0, fill);
        if width > 44.0 {
            let name = words.outline_name(word);
            let at = pos2(part.left() + 5.0, part.center().y);
            let font = FontId::proportional(11.5);
            let name = data.say.outline(&name);
            rows::text(ui, at, part.right() - 3.0, &name, font, tokens.on_family);
        }
        left += width;
    }
}
