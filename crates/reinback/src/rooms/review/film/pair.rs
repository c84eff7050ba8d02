//! The second of two pictures side by side, and the words under both.

use egui::{Rect, TextureOptions, Ui, UiBuilder, pos2, vec2};

use super::pane::{Pane, pane_ui};
use super::{message, stands};
use crate::action::Action;
use crate::rooms::review::beside::{bout_of, caption};
use crate::rooms::review::{ReviewData, ReviewView};
use crate::theme;
use crate::widgets;
use crate::widgets::icon::Icon;

/// Height of the words under each of two pictures.
const CAPTION: f32 = 44.0;

pub(super) fn above_caption(rect: Rect) -> Rect {
    rect.with_max_y((rect.bottom() - CAPTION).max(rect.top()))
}

/// The second picture, and the words under both.
pub(super) fn beside_ui(
    ui: &mut Ui,
    view: &mut ReviewView,
    data: &ReviewData<'_>,
    (left, right): (Rect, Rect),
    out: &mut Vec<Action>,
) {
    let Some(beside) = &mut view.beside else {
        return;
    };
    let own = data.ride.bouts.iter().find(|bout| bout.id == beside.first);
    let lines = caption(data.yard, data.ride, own, view.stage.position());
    let under = view
        .sight
        .map_or(above_caption(left), |sight| sight.shown());
    caption_ui(ui, left, under, lines);
    let Some(second) = view.stage.second() else {
        message(
            ui,
            above_caption(right),
            Icon::Film,
            "Opening the second film…",
            None,
        );
        return;
    };
    let key = (second.frame.time, second.frame.width);
    if beside.texture.as_ref().is_none_or(|(old, _)| *old != key) {
        let image = widgets::picture::image(&second.frame);
        match &mut beside.texture {
            Some((shown, texture)) => {
                texture.set(image, TextureOptions::LINEAR);
                *shown = key;
            }
            None => {
                beside.texture = Some((
                    key,
                    ui.load_texture("second film", image, TextureOptions::LINEAR),
                ));
            }
        }
    }
    let pane = Pane {
        area: above_caption(right),
        texture: beside.texture.as_ref().map(|(_, texture)| texture.id()),
        size: second.size,
        mirrored: beside.mirrored,
        doubtful: second.doubtful,
        id: "second film",
        name: "Second film; a click plays or pauses",
        stands: stands(&view.stage),
    };
    let under = pane_ui(ui, &pane, &mut beside.lens, |_, _, _| false, out).shown();
    let shown = beside
        .second
        .and_then(|stretch| bout_of(data.yard, stretch));
    if let Some((ride, bout)) = shown {
        let [whose, mut what] = caption(data.yard, ride, Some(bout), second.at);
        if beside.mirrored {
            what.push_str(", mirrored");
        }
        if second.outside {
            what.push_str("; its film shows no more than this");
        }
        caption_ui(ui, right, under, [whose, what]);
    }
}

/// Two lines right under a picture.
fn caption_ui(ui: &mut Ui, pane: Rect, picture: Rect, [whose, what]: [String; 2]) {
    let tokens = theme::tokens(ui);
    let top = picture.bottom().min(above_caption(pane).bottom());
    let area = Rect::from_min_max(pos2(pane.left(), top), pos2(pane.right(), top + CAPTION));
    let mut inner = ui.new_child(UiBuilder::new().max_rect(area.shrink2(vec2(10.0, 3.0))));
    inner.spacing_mut().item_spacing.y = 1.0;
    let line = |text: String| egui::RichText::new(text).color(tokens.on_stage);
    inner.add(egui::Label::new(line(what).font(theme::bold(14.0))).truncate());
    inner.add(egui::Label::new(line(whose).size(12.5)).truncate());
}
