//! The picture of a figure: pointing says a value, a box or the wheel looks closer.

use egui::{Id, PointerButton, Rect, Response, Sense, Stroke, Ui, UiBuilder, WidgetInfo, vec2};
use egui_plot::{Plot, PlotBounds};

use super::{FigureState, Pressed, Shown, paint};
use crate::figure::layout::{self, Map, View};
use crate::figure::pick::nearest;
use crate::figure::{Figure, Pick, parts};
use crate::theme;

/// A box has to be so large, in points, to be one; else it was a press.
const SMALLEST_BOX: f32 = 8.0;
/// How much closer than the whole can be looked.
const CLOSEST: f64 = 1e-4;

/// Draws the plot; gives the mark that was pressed.
pub(super) fn plot_ui(
    ui: &mut Ui,
    figure: &Figure,
    shown: Shown<'_>,
    state: &mut FigureState,
) -> Option<Pick> {
    let size = vec2(ui.available_width().max(160.0), shown.height.max(56.0));
    let (place, room) = ui.allocate_exact_size(size, Sense::hover());
    let whole = View::whole(figure);
    // Another horse, exercise or period: what was looked at closer is no more.
    state.closer = state.closer.filter(|(_, of)| *of == whole);
    let info = || WidgetInfo::labeled(egui::Role::Canvas, true, &figure.spoken);
    if !ui.is_rect_visible(place) {
        // Out of sight it is still there for those who hear the page.
        room.widget_info(info);
        return None;
    }
    let tokens = theme::tokens(ui);
    let off = state.off(figure);
    let view = state.closer.map_or(whole, |(view, _)| view);
    let measured = ui.painter().clone();
    let width = |words: &str| paint::width(&measured, words);
    let laid = layout::lay(figure, &off, view, place, &width);
    for part in &laid.parts {
        paint::part(ui.painter(), part, tokens);
    }
    let plot = laid.map.plot;
    let id = ui.scope_id().with("plot");
    let (response, seen) = surface_ui(ui, id, &laid.map, state.closer.is_some(), figure.to_scale);
    response.widget_info(info);
    if seen != view {
        state.closer = inside(seen, figure).map(|view| (view, whole));
    }
    let map = Map { plot, view: seen };
    let painter = ui
        .painter()
        .with_clip_rect(plot.expand(layout::EDGE).intersect(ui.clip_rect()));
    let pointed = response
        .hover_pos()
        .filter(|_| state.from.is_none())
        .and_then(|at| nearest(figure, &off, &map, at));
    for (part, pick) in parts::layers(figure, &off, &map, &width) {
        paint::part(&painter, &part, tokens);
        if pick.is_some() && pick == pointed {
            around(&painter, &part, Stroke::new(1.6, tokens.leather));
        }
    }
    if !figure.to_scale {
        look_closer(ui, &response, &map, figure, state);
    }
    if response.double_clicked() {
        state.closer = None;
        return None;
    }
    let pointed = pointed?;
    let pressed = response.clicked();
    let opens = shown.opens(Pressed::Mark(pointed));
    if let Some(said) = figure.said(pointed) {
        let said = match opens {
            Some(opens) => format!("{said}\n{opens}"),
            None => said.to_owned(),
        };
        response.on_hover_text_at_pointer(said);
    }
    if opens.is_some() {
        ui.set_cursor_icon(egui::CursorIcon::PointingHand);
    }
    (pressed && opens.is_some()).then_some(pointed)
}

/// The field that is pointed at, zoomed and dragged; gives what is seen in it now. Turning the wheel
/// alone is left to the page.
fn surface_ui(ui: &mut Ui, id: Id, map: &Map, closer: bool, to_scale: bool) -> (Response, View) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(map.plot));
    let View { x, y } = map.view;
    let shown = Plot::new(id)
        .id(id)
        .width(map.plot.width())
        .height(map.plot.height())
        .show_axes(false)
        .show_grid(false)
        .show_background(false)
        .show_crosshair(false)
        .show_x(false)
        .show_y(false)
        .allow_zoom(!to_scale)
        .allow_drag(closer)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_axis_zoom_drag(false)
        .allow_double_click_reset(false)
        .show(&mut child, |plot| {
            plot.set_plot_bounds(PlotBounds::from_min_max([x[0], y[0]], [x[1], y[1]]));
        });
    let bounds = shown.transform.bounds();
    let (min, max) = (bounds.min(), bounds.max());
    let seen = View {
        x: [min[0], max[0]],
        y: [min[1], max[1]],
    };
    (shown.response, seen)
}

/// A part of a figure, moved and cut so that it lies inside; none where it is all of it.
fn inside(view: View, figure: &Figure) -> Option<View> {
    let whole = View::whole(figure);
    let x = within(view.x, whole.x, figure.x.scale.least())?;
    let y = within(view.y, whole.y, figure.y.scale.least())?;
    let view = View { x, y };
    (view != whole).then_some(view)
}

/// At least so much of the whole is seen.
fn within([from, to]: [f64; 2], whole: [f64; 2], least: f64) -> Option<[f64; 2]> {
    let all = whole[1] - whole[0];
    let long = to - from;
    if !long.is_finite() || !all.is_finite() || long <= 0.0 {
        return None;
    }
    if long >= all {
        return Some(whole);
    }
    let long = long.max(all * CLOSEST).max(least).min(all);
    let from = from.clamp(whole[0], whole[1] - long);
    Some([from, from + long])
}

/// A box that is drawn around what to look at.
fn look_closer(ui: &Ui, response: &Response, map: &Map, figure: &Figure, state: &mut FigureState) {
    if response.drag_started_by(PointerButton::Primary) && state.closer.is_none() {
        state.from = ui.input(|i| i.pointer.press_origin());
    }
    let Some(from) = state.from else { return };
    let now = ui.input(|i| i.pointer.latest_pos()).unwrap_or(from);
    let drawn = Rect::from_two_pos(map.held(from), map.held(now));
    if response.dragged() {
        let tokens = theme::tokens(ui);
        let fill = tokens.leather.gamma_multiply(0.12);
        let rim = Stroke::new(1.2, tokens.leather);
        ui.painter()
            .rect(drawn, 2.0, fill, rim, egui::StrokeKind::Inside);
        return;
    }
    state.from = None;
    if response.drag_stopped() && drawn.width() >= SMALLEST_BOX && drawn.height() >= SMALLEST_BOX {
        let share = |at: f32, [from, to]: [f32; 2]| f64::from((at - from) / (to - from));
        let of = |[from, to]: [f64; 2], share: f64| from + (to - from) * share;
        let across = [map.plot.left(), map.plot.right()];
        let up = [map.plot.bottom(), map.plot.top()];
        let view = View {
            x: [drawn.left(), drawn.right()].map(|at| of(map.view.x, share(at, across))),
            y: [drawn.bottom(), drawn.top()].map(|at| of(map.view.y, share(at, up))),
        };
        state.closer = inside(view, figure).map(|view| (view, View::whole(figure)));
    }
}

/// Picks a part out.
fn around(painter: &egui::Painter, part: &parts::Part, stroke: Stroke) {
    match part {
        parts::Part::Disc { at, radius, .. } => {
            painter.circle_stroke(*at, radius + 2.5, stroke);
        }
        parts::Part::Area { points, .. } => {
            let place = Rect::from_points(points).expand(2.0);
            painter.rect_stroke(place, 2.0, stroke, egui::StrokeKind::Middle);
        }
        parts::Part::Stroke { points, .. } => {
            painter.line(points.clone(), stroke);
        }
        parts::Part::Band { .. } | parts::Part::Text { .. } => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_looked_at_closer_lies_in_the_whole() {
        let whole = [0.0, 10.0];
        for (seen, expect) in [
            ([2.0, 4.0], Some([2.0, 4.0])),
            ([-3.0, 1.0], Some([0.0, 4.0])),
            ([9.0, 13.0], Some([6.0, 10.0])),
            ([-5.0, 20.0], Some(whole)),
            ([3.0, 3.0], None),
            ([4.0, f64::NAN], None),
            ([4.0, f64::INFINITY], None),
        ] {
            assert_eq!(within(seen, whole, 0.0), expect, "{seen:?}");
        }
        let two_days = within([9.5, 9.6], whole, 2.0);
        assert_eq!(two_days, Some([8.0, 10.0]), "nothing is finer than a day");
    }
}
