//! One picture of the wall with what stands beneath it.

use egui::{
    Align2, Color32, FontId, Key, Modifiers, Rect, Response, Sense, Stroke, StrokeKind,
    TextureHandle, Ui, WidgetInfo, pos2, vec2,
};

use super::grid::{Grid, SHAPE, fit};
use super::place::Lack;
use super::telling::Told;
use crate::command::Command;
use crate::report::moments::{FilmMoment, Seen};
use crate::rooms::progress::rows;
use crate::said::Say;
use crate::theme::{self, Tokens};
use crate::widgets::icon::{self, Icon};

/// Points of the square that marks a picture.
const MARK: f32 = 22.0;
/// Points of the bar that fills while a picture plays.
const BAR: f32 = 4.0;

/// What a tile shows.
pub(super) struct Tile<'a> {
    /// Where.
    pub(super) rect: Rect,
    /// Which, among the widgets.
    pub(super) id: egui::Id,
    /// When it was, whose, and what is to be seen.
    pub(super) told: &'a Told,
    /// All of it, for those who hear it.
    pub(super) spoken: &'a str,
    /// What stands before it, so that it is not a colour alone that tells clean from faulty.
    pub(super) sign: (Icon, Color32),
    /// What is in the frame.
    pub(super) look: Look<'a>,
    /// Its number among the marked ones, from 1.
    pub(super) number: Option<usize>,
    /// Whether others are marked.
    pub(super) marking: bool,
}

/// What is in the frame of a tile.
pub(super) enum Look<'a> {
    /// Nothing yet.
    Waiting,
    /// A still.
    Still(&'a TextureHandle),
    /// A picture that plays; how far it is, and where its mark is, from 0 to 1.
    Playing(&'a TextureHandle, f32, f32),
    /// Why there is none.
    None(Lack),
}

/// The sign of a clean attempt or of a fault.
pub(super) fn sign_of(moment: &FilmMoment, tokens: &Tokens) -> (Icon, Color32) {
    match moment.seen {
        Seen::Clean { .. } => (Icon::Done, tokens.good),
        Seen::Fault { .. } => (Icon::Close, tokens.fault),
    }
}

/// What was done to a tile.
#[derive(Clone, Copy, Debug, Default)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "independent facts, each named at its use"
)]
pub(super) struct Touched {
    /// It is to be opened.
    pub(super) opened: bool,
    /// It is to be marked, or no longer.
    pub(super) marked: bool,
    /// It is to play, or to stop.
    pub(super) pressed: bool,
    /// The pointer is on it.
    pub(super) under_pointer: bool,
    /// It has the focus.
    pub(super) focused: bool,
}

/// Draws a tile.
pub(super) fn tile_ui(ui: &mut Ui, tile: &Tile<'_>, say: &Say) -> Touched {
    // Taken before the tile sees them: Space would press it.
    let focused = ui.memory(|memory| memory.has_focus(tile.id));
    let space = |input: &mut egui::InputState| input.consume_key(Modifiers::NONE, Key::Space);
    let pressed = focused && ui.input_mut(space);
    let response = ui.interact(tile.rect, tile.id, Sense::click());
    let state = match &tile.look {
        Look::Playing(..) => Some(say.plain("moment-playing")),
        Look::None(lack) => Some(lack.said(say).0),
        Look::Waiting | Look::Still(_) => None,
    };
    let spoken = match state {
        Some(state) => format!("{}; {state}", tile.spoken),
        None => tile.spoken.to_owned(),
    };
    let chosen = tile.number.is_some();
    response
        .widget_info(|| WidgetInfo::selected(egui::Role::Button, true, chosen, spoken.as_str()));
    if response.gained_focus() {
        ui.scroll_to_rect(tile.rect, None);
    }
    let picture = Grid::picture(tile.rect);
    if ui.is_rect_visible(tile.rect) {
        frame_ui(ui, tile, picture, say);
        caption_ui(ui, tile, picture);
        outline(ui, tile, picture, &response);
    }
    let lit = response.contains_pointer() || response.has_focus() || tile.marking || chosen;
    let marked = lit && mark_ui(ui, tile, picture, say);
    let on_picture = response
        .hover_pos()
        .is_some_and(|pointer| picture.contains(pointer));
    let under_pointer = response.contains_pointer();
    let opened = response.clicked();
    if !on_picture {
        // Over the picture a text would lie on its neighbours while it plays.
        response.on_hover_text(&spoken);
    }
    Touched {
        opened,
        marked,
        pressed,
        under_pointer,
        focused,
    }
}

/// The picture, or what is in its place.
fn frame_ui(ui: &Ui, tile: &Tile<'_>, picture: Rect, say: &Say) {
    let tokens = theme::tokens(ui);
    ui.painter().rect_filled(picture, 4.0, tokens.stage);
    match &tile.look {
        Look::Waiting => {
            let ink = tokens.on_stage.gamma_multiply(0.4);
            icon::paint(ui.painter(), Icon::Film, picture.center(), 26.0, ink);
        }
        Look::Still(texture) => image(ui, texture, picture),
        Look::Playing(texture, part, mark) => {
            image(ui, texture, picture);
            bar(ui, picture, *part, *mark);
        }
        Look::None(lack) => {
            let (text, next) = lack.said(say);
            let (middle, room) = (picture.center(), picture.width() - 16.0);
            let text = ui
                .painter()
                .layout(text, theme::bold(13.0), tokens.on_stage, room);
            let soft = tokens.on_stage.gamma_multiply(0.75);
            let font = FontId::proportional(12.0);
            let next = next.map(|next| ui.painter().layout(next, font, soft, room));
            let next_height = next.as_ref().map_or(0.0, |next| next.size().y + 2.0);
            let mut top = middle.y - text.size().y.midpoint(next_height);
            for line in std::iter::once(text).chain(next) {
                let at = pos2(middle.x - line.size().x / 2.0, top);
                top += line.size().y + 2.0;
                ui.painter().galley(at, line, tokens.on_stage);
            }
        }
    }
}

/// Fills a place with a picture: what is too high or too wide for it is cut off evenly.
fn image(ui: &Ui, texture: &TextureHandle, place: Rect) {
    let size = texture.size_vec2();
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    // A film filmed upright would show a strip of its middle only: it stands whole.
    if size.x < size.y {
        let place = fit(place, size);
        ui.painter()
            .image(texture.id(), place, whole, Color32::WHITE);
        return;
    }
    let shape = size.x / size.y.max(1.0);
    let part = if shape > SHAPE {
        vec2(SHAPE / shape, 1.0)
    } else {
        vec2(1.0, shape / SHAPE)
    };
    let part = Rect::from_center_size(pos2(0.5, 0.5), part);
    ui.painter()
        .image(texture.id(), place, part, Color32::WHITE);
}

/// How far a picture has played, with a sign where its mark is.
pub(super) fn bar(ui: &Ui, picture: Rect, part: f32, mark: f32) {
    let tokens = theme::tokens(ui);
    let bed = picture.with_min_y(picture.bottom() - BAR);
    let painter = ui.painter();
    painter.rect_filled(bed, 0.0, tokens.stage.gamma_multiply(0.7));
    let done = bed.with_max_x(bed.left() + bed.width() * part);
    painter.rect_filled(done, 0.0, tokens.leather);
    let at = bed.left() + bed.width() * mark;
    let sign = Rect::from_min_max(
        pos2(at - 1.0, bed.top() - 4.0),
        pos2(at + 1.0, bed.bottom()),
    );
    painter.rect_filled(sign, 0.0, tokens.on_stage);
}

fn caption_ui(ui: &Ui, tile: &Tile<'_>, picture: Rect) {
    let tokens = theme::tokens(ui);
    let (left, right) = (picture.left() + 2.0, picture.right() - 2.0);
    let mut middle = picture.bottom() + 10.0;
    let mut line = |text: &str, size: f32, ink: Color32| {
        let at = pos2(left, middle);
        rows::text(ui, at, right, text, FontId::proportional(size), ink);
        middle += 16.0;
    };
    if let Some(horse) = &tile.told.horse {
        line(horse, 12.5, tokens.ink);
    }
    line(&tile.told.when, 12.0, tokens.ink_soft);
    let (sign, ink) = tile.sign;
    icon::paint(ui.painter(), sign, pos2(left + 5.0, middle), 9.0, ink);
    // Two lines: the rein comes last, and must not be cut off.
    let (at, font) = (pos2(left + 15.0, middle - 8.0), FontId::proportional(13.0));
    rows::wrapped_lines(ui, (at, right), 2, &tile.told.what, font, tokens.ink);
}

fn outline(ui: &Ui, tile: &Tile<'_>, picture: Rect, response: &Response) {
    let tokens = theme::tokens(ui);
    let stroke = if response.has_focus() {
        Stroke::new(2.5, tokens.leather)
    } else if tile.number.is_some() {
        Stroke::new(2.0, tokens.leather)
    } else if response.contains_pointer() {
        Stroke::new(1.5, tokens.leather)
    } else {
        return;
    };
    ui.painter()
        .rect_stroke(picture, 4.0, stroke, StrokeKind::Outside);
}

/// The square that marks a picture; true when it was pressed.
fn mark_ui(ui: &Ui, tile: &Tile<'_>, picture: Rect, say: &Say) -> bool {
    let tokens = theme::tokens(ui);
    let corner = picture.right_top() + vec2(-MARK - 4.0, 4.0);
    let square = Rect::from_min_size(corner, vec2(MARK, MARK));
    // Not one more stop on the way with Tab: on the picture itself a key does the same.
    let response = ui.interact(square, tile.id.with("mark"), Sense::CLICK);
    let when = tile.told.when.as_str();
    let name = if tile.number.is_some() {
        say.text("moment-unmark", &[("when", when.into())])
    } else {
        say.text("moment-mark", &[("when", when.into())])
    };
    let chosen = tile.number.is_some();
    response.widget_info(|| WidgetInfo::selected(egui::Role::CheckBox, true, chosen, &name));
    if ui.is_rect_visible(square) {
        let painter = ui.painter();
        let middle = square.center();
        if let Some(number) = tile.number {
            painter.rect_filled(square, 4.0, tokens.leather);
            let (font, ink) = (theme::bold(14.0), tokens.on_leather);
            painter.text(middle, Align2::CENTER_CENTER, number.to_string(), font, ink);
        } else {
            painter.rect_filled(square, 4.0, tokens.stage.gamma_multiply(0.75));
            icon::paint(painter, Icon::Beside, middle, 13.0, tokens.on_stage);
        }
        if response.hovered() {
            let stroke = Stroke::new(1.5, tokens.on_stage);
            painter.rect_stroke(square, 4.0, stroke, StrokeKind::Inside);
        }
    }
    let tip = Command::MarkMoment.with_key(&name, ui.ctx());
    response.on_hover_text(tip).clicked()
}
