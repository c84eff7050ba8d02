//! A horse's row, drawn.

use egui::{Color32, FontId, Pos2, Rect, Stroke, StrokeKind, Ui, pos2, vec2};

use super::words::Words;
use crate::report::horses::{HorseRow, WEEKS};
use crate::rooms::progress::words::Sign;
use crate::rooms::progress::{list, rows};
use crate::said::Say;
use crate::theme;
use crate::widgets::icon::{self, Icon};

/// Room for the scroll bar.
pub(super) const SCROLL: f32 = 8.0;
/// The height of a row: six of them stand in a small window.
pub(super) const HEIGHT: f32 = 88.0;
/// Below this width there is no picture of the weeks.
const WITH_WEEKS: f32 = 820.0;

/// What a row shows.
pub(super) struct Shown<'a> {
    pub(super) row: &'a HorseRow,
    pub(super) words: &'a Words,
    /// What a bar of full height stands for, in nanoseconds.
    pub(super) longest_week: i64,
}

/// Where the parts of a row stand.
struct Columns {
    horse: Rect,
    first: Rect,
    changed: Rect,
    weeks: Option<Rect>,
}

impl Columns {
    fn new(rect: Rect) -> Self {
        let inner = rect.shrink2(vec2(10.0, 6.0));
        let weeks = (rect.width() >= WITH_WEEKS).then(|| {
            let left = inner.right() - 130.0;
            Rect::from_min_max(pos2(left, inner.top()), inner.max)
        });
        let right = weeks.map_or(inner.right(), |weeks| weeks.left() - 16.0);
        let all = right - inner.left();
        let part = |from: f32, to: f32| {
            Rect::from_min_max(
                pos2(inner.left() + all * from, inner.top()),
                pos2(inner.left() + all * to - 12.0, inner.bottom()),
            )
        };
        Self {
            horse: part(0.0, 0.2),
            first: part(0.2, 0.66),
            changed: part(0.66, 1.0),
            weeks,
        }
    }
}

/// What stands over the columns.
pub(super) fn columns_ui(ui: &mut Ui, say: &Say) {
    let size = vec2(ui.available_width() - SCROLL, 16.0);
    let (rect, _) = ui.allocate_exact_size(size, egui::Sense::hover());
    let columns = Columns::new(rect.expand2(vec2(0.0, 6.0)));
    let ink = theme::tokens(ui).ink_soft;
    let over = |place: Rect, name: &str| {
        let at = pos2(place.left(), rect.center().y);
        let font = FontId::proportional(12.5);
        rows::text(ui, at, place.right(), name, font, ink);
    };
    over(columns.horse, &say.plain("horse"));
    over(columns.first, &say.plain("column-first"));
    over(columns.changed, &say.plain("column-changed"));
    if let Some(weeks) = columns.weeks {
        over(weeks, &say.plain("column-weeks"));
    }
}

/// Draws a horse whose row has not come yet.
pub(super) fn waiting_ui(ui: &mut Ui, name: &str, say: &Say) {
    let tokens = theme::tokens(ui);
    let size = vec2(ui.available_width(), HEIGHT);
    let (rect, _) = ui.allocate_exact_size(size, egui::Sense::hover());
    if !ui.is_rect_visible(rect) {
        return;
    }
    ui.painter().rect_filled(rect, 6.0, tokens.raised);
    let columns = Columns::new(rect);
    let place = columns.horse;
    let at = pos2(place.left(), place.top() + 12.0);
    rows::text(ui, at, place.right(), name, theme::bold(16.0), tokens.ink);
    let at = pos2(columns.first.left(), rect.center().y);
    let small = FontId::proportional(13.0);
    let waiting = say.plain("horses-counting");
    rows::text(
        ui,
        at,
        columns.first.right(),
        &waiting,
        small,
        tokens.ink_soft,
    );
}

/// Draws a row; true when it was pressed.
pub(super) fn row_ui(ui: &mut Ui, shown: &Shown<'_>) -> bool {
    let tokens = theme::tokens(ui);
    let (rect, response) = rows::row(ui, HEIGHT, &shown.words.spoken, false);
    if ui.is_rect_visible(rect) {
        if !response.hovered() && !response.has_focus() {
            ui.painter().rect_filled(rect, 6.0, tokens.raised);
        }
        let columns = Columns::new(rect);
        horse_ui(ui, shown.words, columns.horse);
        first_ui(ui, shown, columns.first);
        changed_ui(ui, shown.words, columns.changed);
        let (left, right) = (columns.first.left(), columns.changed.right());
        cautions_ui(
            ui,
            shown.words,
            pos2(left, columns.first.bottom() - 8.0),
            right,
        );
        if let Some(place) = columns.weeks {
            weeks_ui(ui, shown, place);
        }
    }
    let response = response.on_hover_ui(|ui| {
        ui.set_max_width(420.0);
        for line in &shown.words.tip {
            ui.label(line);
        }
    });
    response.clicked()
}

fn horse_ui(ui: &Ui, words: &Words, place: Rect) {
    let tokens = theme::tokens(ui);
    let line = |down: f32, text: &str, font: FontId, ink: Color32| {
        let at = pos2(place.left(), place.top() + down);
        rows::text(ui, at, place.right(), text, font, ink);
    };
    let small = FontId::proportional(13.0);
    line(12.0, &words.name, theme::bold(16.0), tokens.ink);
    line(34.0, &words.age, small.clone(), tokens.ink_soft);
    line(52.0, &words.ridden, small.clone(), tokens.ink_soft);
    if let Some(days) = &words.days {
        line(70.0, days, small, tokens.ink_soft);
    }
}

fn first_ui(ui: &Ui, shown: &Shown<'_>, place: Rect) {
    let tokens = theme::tokens(ui);
    let words = shown.words;
    let small = FontId::proportional(13.5);
    let top = pos2(place.left(), place.top() + 12.0);
    match &words.first {
        Ok([exercise, sentence]) => {
            rows::text(
                ui,
                top,
                place.right(),
                exercise,
                theme::bold(15.0),
                tokens.ink,
            );
            let at = pos2(place.left(), place.top() + 23.0);
            rows::wrapped_lines(ui, (at, place.right()), 2, sentence, small, tokens.ink);
        }
        Err(why) => rows::text(ui, top, place.right(), why, small, tokens.ink_soft),
    }
}

/// The cautions in one line under everything else a row says.
fn cautions_ui(ui: &Ui, words: &Words, at: Pos2, right: f32) {
    if words.cautions.is_empty() {
        return;
    }
    let ink = theme::tokens(ui).caution;
    icon::paint(ui.painter(), Icon::Trouble, at + vec2(7.0, 0.0), 12.0, ink);
    let font = FontId::proportional(13.0);
    rows::text(ui, at + vec2(19.0, 0.0), right, &words.cautions, font, ink);
}

/// Room before a line for its arrow.
const ARROW: f32 = 18.0;

fn changed_ui(ui: &Ui, words: &Words, place: Rect) {
    let tokens = theme::tokens(ui);
    let mut middle = place.top() + 12.0;
    let mut line = |text: &Option<String>, sign: Option<Sign>, ink: Color32| {
        let Some(text) = text else { return };
        let mut left = place.left();
        if let Some(sign) = sign {
            list::sign_ui(ui, pos2(left + 6.0, middle), sign);
            left += ARROW;
        }
        let font = FontId::proportional(13.5);
        rows::text(ui, pos2(left, middle), place.right(), text, font, ink);
        middle += 20.0;
    };
    line(&words.worse, Some(Sign::Up), tokens.ink);
    line(&words.better, Some(Sign::Down), tokens.ink);
    line(&words.unchanged, None, tokens.ink_soft);
    line(&words.one_sided, None, tokens.ink);
}

/// A bar a week; the one that still runs stands apart by its fill and its rim.
fn weeks_ui(ui: &Ui, shown: &Shown<'_>, place: Rect) {
    let tokens = theme::tokens(ui);
    let painter = ui.painter();
    let picture = Rect::from_min_max(place.min + vec2(0.0, 4.0), place.max - vec2(0.0, 4.0));
    let hairline = Stroke::new(1.0, tokens.line);
    painter.hline(picture.x_range(), picture.bottom(), hairline);
    if shown.longest_week <= 0 {
        return;
    }
    let step = picture.width() / WEEKS as f32;
    let weeks = &shown.row.weeks;
    let empty = WEEKS.saturating_sub(weeks.len());
    for (at, week) in weeks.iter().enumerate() {
        let left = picture.left() + step * (empty + at) as f32;
        let height = picture.height() * week.nanos as f32 / shown.longest_week as f32;
        let corner = Pos2::new(left + 1.0, picture.bottom() - height);
        let bar = Rect::from_min_max(corner, pos2(left + step - 2.0, picture.bottom()));
        let running = at + 1 == weeks.len();
        let fill = if running {
            tokens.field
        } else {
            tokens.leather
        };
        let rim = Stroke::new(1.0, tokens.leather);
        if week.nanos > 0 {
            painter.rect(bar, 1.0, fill, rim, StrokeKind::Inside);
        }
    }
}
