//! The picture of the ride along time: laid out ([`layout`] on an [`axis`], with the films'
//! pictures of [`roll`]), painted ([`paint`]) and listened to here.

pub mod axis;
pub mod layout;
pub mod paint;
pub mod roll;
pub mod sound;
pub mod view;

use egui::{CursorIcon, PointerButton, Pos2, Response, Sense, Ui, WidgetInfo};
use reinback_yard::{Bout, BoutId, Edit, Moment, Span};

use crate::action::{Action, Chosen};
use crate::clock;
use layout::Layout;
pub use layout::StripData;
use roll::Roll;

/// What the strip remembers from frame to frame.
#[derive(Clone, Debug, Default)]
pub struct StripView {
    /// The stretch shown; the whole ride if `None`.
    zoom: Option<Span>,
    drag: Option<Drag>,
    /// Where the play head was.
    head: Option<Moment>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Drag {
    /// The play head follows the pointer.
    Head,
    /// An edge of a bout follows the pointer.
    Edge {
        bout: BoutId,
        start: bool,
        at: Moment,
    },
}

/// Reach of a bout's edge for the pointer, in points.
const EDGE_REACH: f32 = 5.0;
/// A bout keeps at least this length while its edge is dragged: a frame at 25 a second.
const SHORTEST_BOUT: i64 = 40_000_000;

impl StripView {
    /// The stretch shown.
    #[must_use]
    pub fn view(&self, extent: Span) -> Span {
        self.zoom.unwrap_or(extent)
    }

    /// Zooms around a moment.
    pub fn zoom(&mut self, extent: Span, around: Moment, factor: f64) {
        self.zoom = view::zoomed(self.view(extent), extent, around, factor);
    }

    /// Shows the whole ride.
    pub fn fit(&mut self) {
        self.zoom = None;
    }

    /// Keeps the play head in view when it has moved, by playing or by a jump. A stretch that was
    /// chosen with the wheel stays while it stands still.
    pub fn follow(&mut self, extent: Span, now: Moment) {
        let moved = self.head.replace(now) != Some(now);
        if let Some(view) = self.zoom.filter(|_| moved && self.drag.is_none()) {
            self.zoom = Some(view::following(view, extent, now));
        }
    }
}

/// Draws the strip and asks for what the pointer does on it.
pub fn strip_ui(
    ui: &mut Ui,
    view: &mut StripView,
    roll: &mut Roll,
    data: &StripData<'_>,
    chosen: Option<Chosen>,
    out: &mut Vec<Action>,
) {
    let size = egui::vec2(ui.available_width(), layout::height(data));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    describe(&response, data);
    scroll_and_zoom(ui, view, data, &response);

    let preview = view
        .drag
        .and_then(|drag| edge_preview(drag, data))
        .map(|bout| {
            let mut ride = data.ride.clone();
            for own in ride.bouts.iter_mut().filter(|own| own.id == bout.id) {
                own.clone_from(&bout);
            }
            ride
        });
    let shown = StripData {
        ride: preview.as_ref().unwrap_or(data.ride),
        ..*data
    };
    let layout = layout::layout(&shown, view.view(data.extent), rect);
    roll.tick(ui.ctx(), &layout.tiles, data.playing);
    paint::paint(ui, &layout, roll, data.now, chosen);
    point_at(ui, view, data, &layout, &response, out);
}

fn describe(response: &Response, data: &StripData<'_>) {
    let text = format!(
        "Strip of the ride, at {} of {}",
        clock::exact(data.now),
        clock::short(data.extent.to)
    );
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, &text));
}

fn scroll_and_zoom(ui: &Ui, view: &mut StripView, data: &StripData<'_>, response: &Response) {
    let Some(pointer) = response.hover_pos() else {
        return;
    };
    let (zoom, scroll) = ui.input(|i| (f64::from(i.zoom_delta()), i.smooth_scroll_delta()));
    let axis = axis::Axis {
        view: view.view(data.extent),
        left: response.rect.left(),
        right: response.rect.right(),
    };
    if (zoom - 1.0).abs() > 1e-3 {
        view.zoom(data.extent, axis.moment_from_x(pointer.x), zoom);
    } else if view.zoom.is_some() && scroll != egui::Vec2::ZERO {
        let points = if scroll.x.abs() > scroll.y.abs() {
            scroll.x
        } else {
            scroll.y
        };
        let nanos = -(f64::from(points) * axis.nanos_per_point()) as i64;
        view.zoom = Some(view::panned(axis.view, data.extent, nanos));
    }
}

fn point_at(
    ui: &Ui,
    view: &mut StripView,
    data: &StripData<'_>,
    layout: &Layout,
    response: &Response,
    out: &mut Vec<Action>,
) {
    let Some(pointer) = response.interact_pointer_pos().or(response.hover_pos()) else {
        return;
    };
    let moment = layout.axis.moment_from_x(pointer.x);
    if view.drag.is_none() && edge_under(layout, pointer).is_some() {
        ui.set_cursor_icon(CursorIcon::ResizeHorizontal);
    }
    if response.drag_started_by(PointerButton::Primary) {
        let pressed_at = ui.input(|i| i.pointer.press_origin()).unwrap_or(pointer);
        view.drag = Some(match edge_under(layout, pressed_at) {
            Some((bout, start)) => Drag::Edge {
                bout,
                start,
                at: moment,
            },
            None => Drag::Head,
        });
    }
    match &mut view.drag {
        Some(Drag::Head) if response.dragged() => out.push(Action::Drag(moment)),
        Some(Drag::Edge { at, .. }) if response.dragged() => *at = moment,
        _ => {}
    }
    if response.drag_stopped() {
        match view.drag.take() {
            Some(Drag::Head) => out.push(Action::Seek(moment)),
            Some(drag @ Drag::Edge { .. }) => out.extend(edge_preview(drag, data).map(|bout| {
                Action::Edit(
                    "move the edge of a bout".into(),
                    Edit::Bout(data.ride.id, bout.id, Some(bout)),
                )
            })),
            None => {}
        }
    }
    if response.clicked() {
        click(data, layout, pointer, moment, out);
    }
    if response.double_clicked() {
        view.fit();
    }
}

fn click(
    data: &StripData<'_>,
    layout: &Layout,
    pointer: Pos2,
    moment: Moment,
    out: &mut Vec<Action>,
) {
    let sign = layout
        .signs
        .iter()
        .rev()
        .find(|sign| sign.rect.expand(3.0).contains(pointer));
    if let Some(sign) = sign {
        let at = data
            .ride
            .marks
            .iter()
            .find(|mark| mark.id == sign.id)
            .map_or(moment, |mark| mark.at);
        out.push(Action::Choose(Some(Chosen::Mark(sign.id))));
        out.push(Action::Seek(at));
        return;
    }
    let bout = layout
        .bouts
        .iter()
        .rev()
        .find(|block| block.rect.contains(pointer));
    out.push(Action::Choose(bout.map(|block| Chosen::Bout(block.id))));
    out.push(Action::Seek(moment));
}

/// The edge of a closed bout under the pointer: which bout, and whether its start.
fn edge_under(layout: &Layout, pointer: Pos2) -> Option<(BoutId, bool)> {
    let mut best: Option<(f32, BoutId, bool)> = None;
    for block in &layout.bouts {
        if !block
            .rect
            .expand2(egui::vec2(EDGE_REACH, 0.0))
            .contains(pointer)
        {
            continue;
        }
        for (x, start) in [(block.rect.left(), true), (block.rect.right(), false)] {
            let far = (pointer.x - x).abs();
            if far <= EDGE_REACH && best.is_none_or(|(nearest, ..)| far < nearest) {
                best = Some((far, block.id, start));
            }
        }
    }
    best.map(|(_, bout, start)| (bout, start))
}

/// The bout as it would be if the pointer let go now.
fn edge_preview(drag: Drag, data: &StripData<'_>) -> Option<Bout> {
    let Drag::Edge { bout, start, at } = drag else {
        return None;
    };
    let mut bout = data.ride.bouts.iter().find(|own| own.id == bout)?.clone();
    match (start, bout.to) {
        (true, Some(to)) => {
            bout.from = Moment(at.0.min(to.0 - SHORTEST_BOUT).max(data.extent.from.0));
        }
        (true, None) => bout.from = Moment(at.0.min(data.now.0)),
        (false, Some(_)) => bout.to = Some(Moment(at.0.max(bout.from.0 + SHORTEST_BOUT))),
        (false, None) => return None,
    }
    Some(bout)
}
