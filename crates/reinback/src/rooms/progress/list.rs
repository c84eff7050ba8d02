//! One line an exercise: name, sentences, reins side by side, and the rides as a small picture.

use egui::text::{LayoutJob, TextFormat};
use egui::{Color32, FontId, Pos2, Rect, Response, RichText, ScrollArea, Stroke, Ui, pos2, vec2};
use reinback_analysis::{Cell, Direction, Estimate};
use reinback_yard::{Rein, WordId};

use super::figure::band;
use super::picture::{self, Bar, Course, RowLayout, Side};
use super::prepared::LineSaid;
use super::words::{Sign, Words};
use super::{ProgressData, ProgressView, digest, empty, faults, rows};
use crate::action::Action;
use crate::report::numbers::{Line, Measure};
use crate::said::Say;
use crate::theme::{self, Tokens};

/// Room for the scroll bar.
const SCROLL: f32 = 8.0;

/// Draws the lines, or what to do where there are none.
pub(super) fn list_ui(
    ui: &mut Ui,
    view: &mut ProgressView,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let Some((_, counted)) = view.counted() else {
        if view.whose.is_none() {
            empty::no_horse_ui(ui, data.say, out);
        } else if let Err(why) = view.asked(data.revision, data.today) {
            empty::unreadable_days_ui(ui, view, data, &data.say.unclear(&why));
        }
        return;
    };
    if counted.numbers.lines.is_empty() {
        let (rides, newest) = (counted.numbers.rides, counted.numbers.newest);
        empty::nothing_ui(ui, view, (rides, newest), data, out);
        return;
    }
    if let Some(found) = lines_ui(ui, view, data) {
        view.open = found.open;
        view.reveal = found.reveal;
    }
}

/// How long a line that was asked for is followed: opening it makes the list narrower and its rows
/// higher, and rows out of sight are measured only when they come near.
const FOLLOWED_FRAMES: u8 = 6;

/// What is so from now on.
struct Found {
    /// Which line is open.
    open: Option<WordId>,
    /// Which is brought into sight, for so many frames.
    reveal: Option<(WordId, u8)>,
}

/// Draws them.
fn lines_ui(ui: &mut Ui, view: &ProgressView, data: &ProgressData<'_>) -> Option<Found> {
    let (_, counted) = view.counted()?;
    let mut open = view.open.clone();
    let (words, prepared) = (view.words(counted, data.say), &view.prepared);
    let mut reveal = view.reveal.clone();
    if let Some(exercise) = digest::digest_ui(ui, prepared.digested(), open.is_some()) {
        open = Some(exercise.clone());
        reveal = Some((exercise, FOLLOWED_FRAMES));
    }
    ui.add_space(4.0);
    columns_ui(ui, words);
    ScrollArea::vertical()
        .id_salt("progress lines")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            ui.set_max_width(ui.available_width() - SCROLL);
            let width = ui.available_width();
            for (at, own) in prepared.lines().iter().enumerate() {
                let Some(line) = counted.numbers.lines.get(own.at) else {
                    continue;
                };
                let revealed = reveal.as_ref();
                let revealed = revealed.is_some_and(|(exercise, _)| *exercise == line.exercise);
                if !revealed && !rows::near(ui, at, own.height(width)) {
                    continue;
                }
                let here = open.as_ref() == Some(&line.exercise);
                let said = own.said(line, counted, view.order, words);
                let row = line_ui(ui, line, words, (here, said));
                own.keep_height(width, row.rect.height());
                if revealed {
                    row.scroll_to_me(Some(egui::Align::Center));
                }
                if row.clicked() {
                    open = (!here).then(|| line.exercise.clone());
                }
            }
            if let Some(gone) = prepared.gone() {
                let ink = theme::tokens(ui).ink_soft;
                ui.label(RichText::new(gone).color(ink));
            }
        });
    let reveal = reveal.and_then(|(exercise, left)| Some((exercise, left.checked_sub(1)?)));
    if reveal.is_some() {
        ui.ctx().request_repaint();
    }
    Some(Found { open, reveal })
}

/// What stands over the columns.
fn columns_ui(ui: &mut Ui, words: Words<'_>) {
    let say = words.say;
    let width = ui.available_width() - SCROLL;
    if !picture::in_columns(width) {
        return;
    }
    let (rect, _) = ui.allocate_exact_size(vec2(width, 16.0), egui::Sense::hover());
    let layout = picture::row_layout(rect.min, width, 16.0);
    let ink = theme::tokens(ui).ink_soft;
    let [reins, trend] = match words.measure {
        Measure::Attempts => [say.plain("column-reins"), say.plain("column-trend")],
        Measure::Faults => [
            say.plain("column-reins-faults"),
            say.plain("column-trend-faults"),
        ],
    };
    for (place, name) in [
        (layout.text, say.plain("column-exercise")),
        (layout.reins, reins),
        (layout.trend, trend),
    ] {
        let at = pos2(place.left(), rect.center().y);
        rows::text(
            ui,
            at,
            place.right(),
            &name,
            FontId::proportional(12.5),
            ink,
        );
    }
}

/// Draws one line, with why it is there if it is one of the first.
fn line_ui(
    ui: &mut Ui,
    line: &Line,
    words: Words<'_>,
    (open, said): (bool, &LineSaid),
) -> Response {
    let tokens = theme::tokens(ui);
    let width = ui.available_width();
    let job = line_text((line, said), words, tokens, picture::text_width(width));
    let galley = ui.painter().layout_job(job);
    let height = picture::row_layout(pos2(0.0, 0.0), width, galley.size().y).height;
    let (rect, response) = rows::row(ui, height, &said.spoken, open);
    if ui.is_rect_visible(rect) {
        if !open && !response.hovered() && !response.has_focus() {
            ui.painter().rect_filled(rect, 6.0, tokens.raised);
        }
        let layout = picture::row_layout(rect.min, width, galley.size().y);
        if let Some(sign) = words.sign(line) {
            let first = galley.rows.first().map_or(22.0, |row| row.row.size.y);
            let at = pos2(layout.text.left() + 6.0, layout.text.top() + first / 2.0);
            sign_ui(ui, at, sign);
        }
        ui.painter().galley(layout.text.min, galley, tokens.ink);
        pictures_ui(ui, line, words, &layout);
    }
    response
}

/// An arrow up or down, or to the weaker rein, so that shape and colour both say it; the sentence
/// says it in words.
pub(super) fn sign_ui(ui: &Ui, at: Pos2, sign: Sign) {
    let tokens = theme::tokens(ui);
    let (ink, way) = match sign {
        Sign::Up => (tokens.fault, vec2(0.0, -1.0)),
        Sign::Down => (tokens.good, vec2(0.0, 1.0)),
        Sign::Weaker(Rein::Left) => (tokens.fault, vec2(-1.0, 0.0)),
        Sign::Weaker(Rein::Right) => (tokens.fault, vec2(1.0, 0.0)),
    };
    let stroke = Stroke::new(2.0, ink);
    let tip = at + 6.0 * way;
    let painter = ui.painter();
    painter.line_segment([at - 6.0 * way, tip], stroke);
    for side in [way.rot90(), -way.rot90()] {
        painter.line_segment([tip, tip + 4.0 * side - 4.5 * way], stroke);
    }
}

/// Room before the name for an arrow.
const ARROW: f32 = 18.0;

fn line_text(
    (line, said): (&Line, &LineSaid),
    words: Words<'_>,
    tokens: &Tokens,
    width: f32,
) -> LayoutJob {
    let mut job = LayoutJob::default();
    job.wrap.max_width = width;
    let say = words.say;
    let mut before = if words.sign(line).is_some() {
        ARROW
    } else {
        0.0
    };
    let mut add = |text: &str, font_id: FontId, color: Color32| {
        let format = TextFormat {
            line_height: Some(font_id.size * 1.4),
            font_id,
            color,
            ..TextFormat::default()
        };
        job.append(text, before, format);
        before = 0.0;
    };
    let name = say.exercise(&line.name);
    let reason = said.reason.as_ref();
    let end = if reason.is_some() { "   " } else { "\n" };
    add(&format!("{name}{end}"), theme::bold(16.0), tokens.ink);
    if let Some(reason) = reason {
        add(
            &format!("{reason}\n"),
            FontId::proportional(13.0),
            tokens.leather,
        );
    }
    let [first, second] = &said.sentences;
    add(
        &format!("{first}\n"),
        FontId::proportional(14.0),
        tokens.ink,
    );
    add(second, FontId::proportional(12.5), tokens.ink_soft);
    job
}

fn pictures_ui(ui: &Ui, line: &Line, words: Words<'_>, layout: &RowLayout) {
    let (say, measure) = (words.say, words.measure);
    let bars = picture::bars(&line.figures);
    let scale = faults::scale(&bars);
    let names: Vec<String> = bars.iter().map(|(side, _)| side.short(say)).collect();
    let widths = [
        picture::name_width(&names),
        counts_width(ui, &bars, say, measure),
    ];
    let step = (layout.reins.height() / bars.len() as f32).min(24.0);
    let top = layout.reins.center().y - step * bars.len() as f32 / 2.0;
    for (at, (name, (_, cell))) in names.iter().zip(bars).enumerate() {
        let place = Rect::from_min_size(
            pos2(layout.reins.left(), top + step * at as f32),
            vec2(layout.reins.width(), step),
        );
        let bar = match measure {
            Measure::Attempts => picture::bar(cell),
            Measure::Faults => faults::bar(cell, scale),
        };
        let counts = say.counts(cell, measure);
        named_bar_ui(ui, (name, widths), (bar, &counts), place);
    }
    let below = match measure {
        Measure::Attempts => trend_ui(ui, line, layout.trend),
        Measure::Faults => faults::rides_ui(ui, line, layout.trend),
    };
    let tokens = theme::tokens(ui);
    rows::text(
        ui,
        pos2(below.left(), below.center().y + 1.0),
        below.right(),
        &words.course(line),
        FontId::proportional(12.5),
        tokens.ink_soft,
    );
}

/// Room for the counts behind bars that stand together.
pub(super) fn counts_width(ui: &Ui, bars: &[(Side, &Cell)], say: &Say, measure: Measure) -> f32 {
    let font = FontId::proportional(13.0);
    let ink = theme::tokens(ui).ink;
    let widths = bars.iter().map(|(_, cell)| {
        let counts = say.counts(cell, measure);
        ui.painter()
            .layout_no_wrap(counts, font.clone(), ink)
            .size()
            .x
    });
    widths.fold(50.0, f32::max) + 8.0
}

fn named_bar_ui(
    ui: &Ui,
    (name, [name_width, counts_width]): (&str, [f32; 2]),
    (bar, counts): (Bar, &str),
    place: Rect,
) {
    let tokens = theme::tokens(ui);
    let middle = place.center().y;
    rows::text(
        ui,
        pos2(place.left(), middle),
        place.left() + name_width,
        name,
        theme::bold(13.0),
        tokens.ink_soft,
    );
    rows::text_to(
        ui,
        pos2(place.right(), middle),
        counts,
        FontId::proportional(13.0),
        tokens.ink,
    );
    let bed = Rect::from_min_max(
        pos2(place.left() + name_width, middle - 5.0),
        pos2(place.right() - counts_width, middle + 5.0),
    );
    match bar {
        Bar::Empty => {}
        Bar::Single { faulty, attempts } => pips(ui, bed, faulty, attempts),
        Bar::Share { value, low, high } => {
            share_bar(ui, bed, value as f32, [low as f32, high as f32]);
        }
    }
}

/// Each attempt for itself: a full dot was faulty, a ring was clean.
fn pips(ui: &Ui, bed: Rect, faulty: u32, attempts: u32) {
    let tokens = theme::tokens(ui);
    for at in 0..attempts {
        let center = pos2(bed.left() + 5.0 + 12.0 * at as f32, bed.center().y);
        if at < faulty {
            ui.painter().circle_filled(center, 4.0, tokens.fault);
        } else {
            let stroke = Stroke::new(1.2, tokens.ink_soft);
            ui.painter().circle_stroke(center, 3.6, stroke);
        }
    }
}

/// The faulty share filled, its range as a line across.
fn share_bar(ui: &Ui, bed: Rect, value: f32, range: [f32; 2]) {
    let tokens = theme::tokens(ui);
    let painter = ui.painter();
    let x = |share: f32| bed.left() + share * bed.width();
    let hairline = Stroke::new(1.0, tokens.line);
    painter.rect(bed, 2.0, tokens.field, hairline, egui::StrokeKind::Inside);
    let full = Rect::from_min_max(bed.min, pos2(x(value), bed.bottom()));
    painter.rect_filled(full, 2.0, tokens.fault);
    let y = bed.center().y;
    // A rim, so that the line stands out from the filled part as well.
    for stroke in [
        Stroke::new(3.6, tokens.raised),
        Stroke::new(1.4, tokens.ink),
    ] {
        painter.hline(x(range[0])..=x(range[1]), y, stroke);
        for end in range {
            painter.vline(x(end), y - 3.5..=y + 3.5, stroke);
        }
    }
}

/// Dots for rides, rings for those of the days before, and the fitted line where there is one; gives
/// the room for words below.
fn trend_ui(ui: &Ui, line: &Line, place: Rect) -> Rect {
    let tokens = theme::tokens(ui);
    let painter = ui.painter();
    let (picture, words) = place.split_top_bottom_at_y(place.bottom() - 18.0);
    let hairline = Stroke::new(1.0, tokens.line);
    painter.hline(picture.x_range(), picture.top() + 5.5, hairline);
    painter.hline(picture.x_range(), picture.bottom() - 5.5, hairline);
    let points = picture::drawn(&line.course);
    let before = picture::drawn(&line.course_before);
    let all = [before.as_slice(), points.as_slice()].concat();
    if let Some(course) = Course::new(&all, picture) {
        if let ([.., last], [first, ..]) = (before.as_slice(), points.as_slice()) {
            let between = f64::midpoint(f64::from(last.day.0), f64::from(first.day.0));
            let x = course.place(between, 0.0).x;
            painter.vline(x, picture.y_range(), hairline);
        }
        for point in &before {
            let share = point.tally.share().unwrap_or(0.0);
            let at = course.place(f64::from(point.day.0), share);
            let radius = picture::dot_radius(point.tally.attempts) - 0.5;
            let rim = Stroke::new(1.0, tokens.ink_soft.gamma_multiply(0.75));
            painter.circle_stroke(at, radius, rim);
        }
        if let (Ok(trend), Some(first)) = (&line.figures.trend.state, points.first()) {
            // Before the days it is fitted to it would be a guess.
            let mut days = course.days(64);
            days.retain(|day| *day >= first.day);
            let fitted = days
                .iter()
                .map(|day| (f64::from(day.0), trend.fitted(*day)));
            let fitted: Vec<(f64, Estimate)> = fitted.collect();
            let at = |part: fn(&Estimate) -> f64| -> Vec<Pos2> {
                let both = fitted.iter();
                both.map(|(day, own)| course.place(*day, part(own)))
                    .collect()
            };
            band(painter, at(|own| own.low), at(|own| own.high), tokens);
            // A line that says nothing clear must not look as if it did.
            let stroke = match trend.direction {
                Direction::NoClearTrend => Stroke::new(1.0, tokens.leather.gamma_multiply(0.6)),
                Direction::Fewer | Direction::More => Stroke::new(2.0, tokens.leather),
            };
            painter.line(at(|own| own.value), stroke);
        }
        for point in &points {
            let share = point.tally.share().unwrap_or(0.0);
            let at = course.place(f64::from(point.day.0), share);
            let radius = picture::dot_radius(point.tally.attempts);
            rows::dot(
                painter,
                at,
                radius,
                (
                    tokens.ink_soft.gamma_multiply(0.75),
                    Stroke::new(1.0, tokens.raised),
                ),
            );
        }
    }
    words
}
