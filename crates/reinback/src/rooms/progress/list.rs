//! One line an exercise: name, sentence, reins side by side, and the trend as a small picture.

use chrono::NaiveDate;
use egui::text::{LayoutJob, TextFormat};
use egui::{Color32, FontId, Pos2, Rect, RichText, ScrollArea, Stroke, Ui, pos2, vec2};
use reinback_analysis::{Cell, Comparison, Direction, Estimate, Verdict};
use reinback_yard::RideId;

use super::figure::band;
use super::picture::{self, Bar, Course, RowLayout, Side};
use super::{Counted, Order, ProgressData, ProgressView, rows};
use crate::action::Action;
use crate::command::Command;
use crate::report::numbers::{Line, Whose};
use crate::report::period::{Choice, Span};
use crate::said::{Earlier, Say};
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
            no_horse_ui(ui, data.say, out);
        } else if let Err(why) = view.asked(data.revision, data.today) {
            unreadable_days_ui(ui, view, data, &data.say.unclear(&why));
        }
        return;
    };
    if counted.numbers.lines.is_empty() {
        let (rides, newest) = (counted.numbers.rides, counted.numbers.newest);
        nothing_ui(ui, view, (rides, newest), data, out);
        return;
    }
    let mut open = view.open.clone();
    let words = Words {
        say: data.say,
        earlier: counted.earlier(),
    };
    if let Some(why) = &counted.instead {
        ui.label(data.say.instead(why));
        ui.add_space(4.0);
    }
    columns_ui(ui, data.say);
    ScrollArea::vertical()
        .id_salt("progress lines")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            ui.set_max_width(ui.available_width() - SCROLL);
            for line in in_order(counted, view.order, data.say) {
                let here = open.as_ref() == Some(&line.exercise);
                if line_ui(ui, line, words, here) {
                    open = (!here).then(|| line.exercise.clone());
                }
            }
            let gone = words.earlier;
            let gone = gone.and_then(|earlier| data.say.only_before(&counted.numbers, earlier));
            if let Some(gone) = gone {
                let ink = theme::tokens(ui).ink_soft;
                ui.label(RichText::new(gone).color(ink));
            }
        });
    if open != view.open {
        view.all_moments = false;
    }
    view.open = open;
}

/// How the lines speak.
#[derive(Clone, Copy)]
struct Words<'a> {
    say: &'a Say,
    /// Which days are compared with, if any.
    earlier: Option<Earlier>,
}

impl Words<'_> {
    /// The comparison of a line, if there is one to show.
    fn compared(self, line: &Line) -> Option<(&Comparison, Earlier)> {
        let compared = line.compared.as_ref()?;
        Some((&compared.rate, self.earlier?))
    }
}

fn in_order<'a>(counted: &'a Counted, order: Order, say: &Say) -> Vec<&'a Line> {
    let mut lines: Vec<&Line> = counted.numbers.lines.iter().collect();
    if order == Order::Name {
        lines.sort_by_cached_key(|line| say.exercise(&line.name).to_lowercase());
    }
    lines
}

/// What stands over the columns.
fn columns_ui(ui: &mut Ui, say: &Say) {
    let width = ui.available_width() - SCROLL;
    if !picture::in_columns(width) {
        return;
    }
    let (rect, _) = ui.allocate_exact_size(vec2(width, 16.0), egui::Sense::hover());
    let layout = picture::row_layout(rect.min, width, 16.0);
    let ink = theme::tokens(ui).ink_soft;
    for (place, name) in [
        (layout.text, say.plain("column-exercise")),
        (layout.reins, say.plain("column-reins")),
        (layout.trend, say.plain("column-trend")),
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

/// Draws one line; true when it was pressed.
fn line_ui(ui: &mut Ui, line: &Line, words: Words<'_>, open: bool) -> bool {
    let tokens = theme::tokens(ui);
    let width = ui.available_width();
    let job = line_text(line, words, tokens, picture::text_width(width));
    let galley = ui.painter().layout_job(job);
    let height = picture::row_layout(pos2(0.0, 0.0), width, galley.size().y).height;
    let (rect, response) = rows::row(ui, height, &spoken(line, words), open);
    if ui.is_rect_visible(rect) {
        if !open && !response.hovered() && !response.has_focus() {
            ui.painter().rect_filled(rect, 6.0, tokens.raised);
        }
        let layout = picture::row_layout(rect.min, width, galley.size().y);
        if let Some(up) = words.compared(line).and_then(|(found, _)| arrow(found)) {
            let first = galley.rows.first().map_or(22.0, |row| row.row.size.y);
            let at = pos2(layout.text.left() + 6.0, layout.text.top() + first / 2.0);
            arrow_ui(ui, at, up);
        }
        ui.painter().galley(layout.text.min, galley, tokens.ink);
        pictures_ui(ui, line, words.say, &layout);
    }
    response.clicked()
}

/// Whether faults became more (true) or fewer, where that is more than luck; nothing else has an
/// arrow.
fn arrow(found: &Comparison) -> Option<bool> {
    match found.verdict {
        Verdict::More => Some(true),
        Verdict::Fewer => Some(false),
        Verdict::NoClearDifference | Verdict::TooFew(_) => None,
    }
}

/// An arrow up or down, so that shape and colour both say it; the sentence says it in words.
fn arrow_ui(ui: &Ui, at: Pos2, up: bool) {
    let tokens = theme::tokens(ui);
    let (ink, way) = if up {
        (tokens.fault, -1.0)
    } else {
        (tokens.good, 1.0)
    };
    let stroke = Stroke::new(2.0, ink);
    let tip = at + vec2(0.0, 6.0 * way);
    let painter = ui.painter();
    painter.line_segment([at - vec2(0.0, 6.0 * way), tip], stroke);
    for side in [-4.0, 4.0] {
        painter.line_segment([tip, tip + vec2(side, -4.5 * way)], stroke);
    }
}

/// Room before the name for an arrow.
const ARROW: f32 = 18.0;

fn line_text(line: &Line, words: Words<'_>, tokens: &Tokens, width: f32) -> LayoutJob {
    let mut job = LayoutJob::default();
    job.wrap.max_width = width;
    let say = words.say;
    let compared = words.compared(line);
    let shown = compared.and_then(|(found, _)| arrow(found));
    let mut before = if shown.is_some() { ARROW } else { 0.0 };
    let mut add = |text: String, font_id: FontId, color: Color32| {
        let format = TextFormat {
            line_height: Some(font_id.size * 1.4),
            font_id,
            color,
            ..TextFormat::default()
        };
        job.append(&text, before, format);
        before = 0.0;
    };
    add(
        format!("{}\n", say.exercise(&line.name)),
        theme::bold(16.0),
        tokens.ink,
    );
    let [first, second] = sentences(line, words);
    add(format!("{first}\n"), FontId::proportional(14.0), tokens.ink);
    add(second, FontId::proportional(12.5), tokens.ink_soft);
    job
}

/// What matters most about a line, and what stands under it: the two periods where they are
/// compared, else the rate.
fn sentences(line: &Line, words: Words<'_>) -> [String; 2] {
    let (say, all) = (words.say, &line.figures.all);
    match words.compared(line) {
        Some((found, earlier)) => {
            let apart = say.periods_apart_in_short(found);
            let second = apart.unwrap_or_else(|| say.per_minute(&all.per_minute));
            [say.periods(found, earlier), second]
        }
        None => [say.rate(&all.rate), say.per_minute(&all.per_minute)],
    }
}

/// What a line says to those who hear it.
fn spoken(line: &Line, words: Words<'_>) -> String {
    let (say, figures) = (words.say, &line.figures);
    let [first, second] = sentences(line, words);
    let mut parts = vec![say.exercise(&line.name).into_owned(), first, second];
    for (side, cell) in picture::bars(figures) {
        let tally = say.tally(cell.rate.tally);
        parts.push(match side {
            Side::All => continue,
            Side::Left => say.text("reins-left-count", &[("tally", tally.into())]),
            Side::Right => say.text("reins-right-count", &[("tally", tally.into())]),
            Side::Unsided => say.text("reins-none-count", &[("tally", tally.into())]),
        });
    }
    parts.push(say.trend(&figures.trend, line.rides.len()));
    parts.join(". ")
}

fn pictures_ui(ui: &Ui, line: &Line, say: &Say, layout: &RowLayout) {
    let bars = picture::bars(&line.figures);
    let names: Vec<String> = bars.iter().map(|(side, _)| side.short(say)).collect();
    let widths = [picture::name_width(&names), counts_width(ui, &bars, say)];
    let step = (layout.reins.height() / bars.len() as f32).min(24.0);
    let top = layout.reins.center().y - step * bars.len() as f32 / 2.0;
    for (at, (name, (_, cell))) in names.iter().zip(bars).enumerate() {
        let place = Rect::from_min_size(
            pos2(layout.reins.left(), top + step * at as f32),
            vec2(layout.reins.width(), step),
        );
        bar_ui(ui, (name, widths), (cell, say), place);
    }
    trend_ui(ui, line, say, layout.trend);
}

/// Room for the counts behind bars that stand together.
pub(super) fn counts_width(ui: &Ui, bars: &[(Side, &Cell)], say: &Say) -> f32 {
    let font = FontId::proportional(13.0);
    let ink = theme::tokens(ui).ink;
    let widths = bars.iter().map(|(_, cell)| {
        let counts = say.tally(cell.rate.tally);
        ui.painter()
            .layout_no_wrap(counts, font.clone(), ink)
            .size()
            .x
    });
    widths.fold(50.0, f32::max) + 8.0
}

/// A bar with its name before it and its counts behind it.
pub(super) fn bar_ui(
    ui: &Ui,
    (name, [name_width, counts_width]): (&str, [f32; 2]),
    (cell, say): (&Cell, &Say),
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
        &say.tally(cell.rate.tally),
        FontId::proportional(13.0),
        tokens.ink,
    );
    let bed = Rect::from_min_max(
        pos2(place.left() + name_width, middle - 5.0),
        pos2(place.right() - counts_width, middle + 5.0),
    );
    match picture::bar(cell) {
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

/// Dots for rides, the fitted line where there is one, and the words.
fn trend_ui(ui: &Ui, line: &Line, say: &Say, place: Rect) {
    let tokens = theme::tokens(ui);
    let painter = ui.painter();
    let (picture, words) = place.split_top_bottom_at_y(place.bottom() - 18.0);
    let hairline = Stroke::new(1.0, tokens.line);
    painter.hline(picture.x_range(), picture.top() + 5.5, hairline);
    painter.hline(picture.x_range(), picture.bottom() - 5.5, hairline);
    let points = picture::drawn(&line.course);
    if let Some(course) = Course::new(&points, picture) {
        if let Ok(trend) = &line.figures.trend.state {
            let days = course.days(32);
            let at = |part: fn(&Estimate) -> f64| -> Vec<Pos2> {
                let found = days.iter().map(|day| (day, trend.fitted(*day)));
                found
                    .map(|(day, own)| course.place(f64::from(day.0), part(&own)))
                    .collect()
            };
            band(painter, at(|own| own.low), at(|own| own.high), tokens);
            let fitted = at(|own| own.value);
            // A line that says nothing clear must not look as if it did.
            let stroke = match trend.direction {
                Direction::NoClearTrend => Stroke::new(1.0, tokens.leather.gamma_multiply(0.6)),
                Direction::Fewer | Direction::More => Stroke::new(2.0, tokens.leather),
            };
            painter.line(fitted, stroke);
        }
        for point in &points {
            let share = point.tally.share().unwrap_or(0.0);
            let at = course.place(f64::from(point.day.0), share);
            let radius = picture::dot_radius(point.tally.attempts);
            painter.circle(
                at,
                radius,
                tokens.ink_soft.gamma_multiply(0.75),
                Stroke::new(1.0, tokens.raised),
            );
        }
    }
    rows::text(
        ui,
        pos2(words.left(), words.center().y + 1.0),
        words.right(),
        &say.trend(&line.figures.trend, line.rides.len()),
        FontId::proportional(12.5),
        tokens.ink_soft,
    );
}

fn no_horse_ui(ui: &mut Ui, say: &Say, out: &mut Vec<Action>) {
    let (head, next) = (
        say.plain("empty-no-horse"),
        say.plain("empty-no-horse-next"),
    );
    if empty_ui(ui, &head, &next, &say.plain("to-the-yard")) {
        out.push(Action::Run(Command::ToYard));
    }
}

/// Another horse was chosen while the typed days make no sense.
fn unreadable_days_ui(ui: &mut Ui, view: &mut ProgressView, data: &ProgressData<'_>, why: &str) {
    let offer = Span::ThreeMonths;
    let head = data.say.plain("empty-days");
    if empty_ui(ui, &head, why, &show(data, offer)) {
        view.choose_span(offer, data.today);
    }
}

/// A horse without a counted exercise in these days, with so many rides in them and with its
/// newest ride of all days.
fn nothing_ui(
    ui: &mut Ui,
    view: &mut ProgressView,
    (rides, newest): (usize, Option<(NaiveDate, RideId)>),
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let Some(whose) = view.whose else { return };
    let say = data.say;
    let name = match whose {
        // As it follows "of": in German another case than where it stands alone.
        Whose::One(horse) => match data.yard.horse(horse) {
            Some(horse) => horse.name.clone(),
            None => say.plain("this-horse"),
        },
        Whose::All => say.plain("the-horses"),
    };
    let Some((day, newest)) = newest else {
        let head = say.text("empty-no-ride", &[("horse", name.into())]);
        let next = say.plain("empty-no-ride-next");
        if empty_ui(ui, &head, &next, &say.plain("new-ride")) {
            out.push(Action::ChooseFilms(whose.horse()));
        }
        return;
    };
    if rides > 0 {
        let head = say.text("empty-nothing-counts", &[("horse", name.into())]);
        let next = say.plain("empty-nothing-counts-next");
        if empty_ui(ui, &head, &next, &say.plain("open-newest")) {
            out.push(Action::OpenRide(newest, None));
        }
        return;
    }
    let holds = |span: &Span| {
        let choice = Choice {
            span: *span,
            ..Choice::default()
        };
        let days = choice.days(data.today);
        days.is_ok_and(|days| days.hold(day))
    };
    let mut offers = [Span::FourWeeks, Span::Month(0), Span::ThreeMonths].into_iter();
    let offer = offers.find(holds).unwrap_or(Span::Everything);
    let head = say.text("empty-not-in-days", &[("horse", name.into())]);
    let day = say.day_in_full(day);
    let last = say.text("newest-ride", &[("day", day.into())]);
    if empty_ui(ui, &head, &last, &show(data, offer)) {
        view.choose_span(offer, data.today);
    }
}

/// On a button that offers other days.
fn show(data: &ProgressData<'_>, span: Span) -> String {
    let name = data.say.span(span, data.today);
    data.say.text("show-period", &[("period", name.into())])
}

/// A heading, what to do next, and a button for it; true when that was pressed.
fn empty_ui(ui: &mut Ui, head: &str, next: &str, button: &str) -> bool {
    let tokens = theme::tokens(ui);
    let mut pressed = false;
    ui.vertical_centered(|ui| {
        ui.add_space(ui.available_height() * 0.3);
        ui.label(RichText::new(head).font(theme::bold(18.0)));
        ui.label(RichText::new(next).color(tokens.ink_soft));
        ui.add_space(8.0);
        pressed = ui.button(button).clicked();
    });
    pressed
}
