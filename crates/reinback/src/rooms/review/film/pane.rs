//! One picture on the stage, seen through its lens.

use egui::{CursorIcon, Rect, Response, Sense, Ui, UiBuilder, WidgetInfo, vec2};
use reinback_yard::Moment;

use super::lens::{Lens, Sight};
use crate::action::Action;
use crate::command::Command;
use crate::theme;

/// One picture on the stage.
pub(super) struct Pane<'a> {
    pub(super) area: Rect,
    pub(super) texture: Option<egui::TextureId>,
    /// As displayed, in pixels of the film.
    pub(super) size: (u32, u32),
    pub(super) mirrored: bool,
    pub(super) doubtful: bool,
    /// Its own among the panes.
    pub(super) id: &'static str,
    pub(super) name: &'a str,
    /// Where the film stands, unless it runs.
    pub(super) stands: Option<Moment>,
}

/// Draws a picture through its lens and follows the hand on it, unless the hand draws on the
/// picture. Where it lies now.
pub(super) fn pane_ui(
    ui: &mut Ui,
    pane: &Pane<'_>,
    lens: &mut Lens,
    draws: impl FnOnce(&Ui, &Response, &Sight) -> bool,
    out: &mut Vec<Action>,
) -> Sight {
    let response = ui.interact(
        pane.area,
        ui.scope_id().with(pane.id),
        Sense::click_and_drag(),
    );
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, pane.name));
    let sight = lens.over(pane.area, pane.size, pane.mirrored);
    let was_closer = !lens.is_whole();
    let drawing = draws(ui, &response, &sight);
    if !drawing && move_lens(ui, &response, &sight, lens) {
        ui.request_repaint();
    }
    if !lens.is_whole() {
        let held = response.is_pointer_button_down_on();
        response.clone().on_hover_cursor(if held {
            CursorIcon::Grabbing
        } else {
            CursorIcon::Grab
        });
    }
    let sight = lens.over(pane.area, pane.size, pane.mirrored);
    if let Some(texture) = pane.texture {
        let white = egui::Color32::WHITE;
        ui.painter()
            .image(texture, sight.shown(), sight.part(), white);
    }
    if response.clicked() && !drawing {
        let before = response.id.with("stood before the first click");
        out.push(Action::Run(Command::PlayPause));
        if response.double_clicked() && was_closer {
            // It was to show the whole picture: a film that stood has not been played.
            let stood = ui.data(|data| data.get_temp::<Option<Moment>>(before));
            out.extend(stood.flatten().map(Action::Seek));
        } else {
            ui.data_mut(|data| data.insert_temp(before, pane.stands));
        }
    }
    if pane.doubtful {
        doubt_ui(ui, sight.shown());
    }
    closeness_ui(ui, pane.area, lens);
    sight
}

/// Follows the hand: looks closer or wider around the pointer, moves the picture, or shows the
/// whole of it again. Whether anything changed.
fn move_lens(ui: &Ui, response: &Response, sight: &Sight, lens: &mut Lens) -> bool {
    let before = *lens;
    if let Some(pointer) = response.hover_pos() {
        let (zoom, scroll) = ui.input(|i| (f64::from(i.zoom_delta()), i.smooth_scroll_delta()));
        if (zoom - 1.0).abs() > 1e-3 {
            lens.zoom_at(sight, pointer, zoom);
        } else if !lens.is_whole() && scroll != egui::Vec2::ZERO {
            lens.pan(sight, scroll);
        }
    }
    if response.dragged_by(egui::PointerButton::Primary) && !lens.is_whole() {
        lens.pan(sight, response.drag_delta());
    }
    if response.double_clicked() {
        *lens = Lens::default();
    }
    *lens != before
}

/// How close the picture is looked at, as the button that shows the whole of it again.
fn closeness_ui(ui: &mut Ui, rect: Rect, lens: &mut Lens) {
    if lens.is_whole() {
        return;
    }
    let corner = Rect::from_min_max(rect.right_top() + vec2(-150.0, 10.0), rect.max);
    let layout = egui::Layout::right_to_left(egui::Align::Min);
    let mut inner = ui.new_child(
        UiBuilder::new()
            .max_rect(corner.with_max_x(rect.right() - 10.0))
            .layout(layout),
    );
    let text = format!("{:.1}× closer", lens.zoom());
    let button = inner.button(text).on_hover_text("Show the whole picture");
    if button.clicked() {
        *lens = Lens::default();
    }
}

/// Says in the picture's lower corner that it is not to be trusted.
fn doubt_ui(ui: &mut Ui, picture: Rect) {
    let tokens = theme::tokens(ui);
    let text = "The film is damaged here: parts of this picture are made up";
    let text = egui::RichText::new(text).small().color(tokens.on_stage);
    let area = Rect::from_min_max(picture.left_bottom() - vec2(0.0, 34.0), picture.max);
    let mut inner = ui.new_child(UiBuilder::new().max_rect(area.shrink(8.0)));
    egui::Frame::new()
        .fill(tokens.stage.gamma_multiply(0.85))
        .corner_radius(4.0)
        .inner_margin(egui::Margin::symmetric(8, 2))
        .show(&mut inner, |ui| {
            ui.add(egui::Label::new(text).truncate());
        });
}
