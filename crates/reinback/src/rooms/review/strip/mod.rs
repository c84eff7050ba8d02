//! The picture of the ride along time: laid out ([`layout`] on an [`axis`], with the [`bands`]'
//! stretches, the [`tempo`], the marks' [`signs`], the films' pictures of [`roll`] and the [`overview`]), painted
//! ([`paint`]), and listened to here. What is dragged is a [`grip`], which catches on what
//! [`snap`] finds.

pub mod axis;
pub mod bands;
pub mod frames;
pub mod grip;
pub mod layout;
pub mod names;
pub mod overview;
pub mod paint;
mod pointer;
pub mod roll;
pub mod signs;
pub mod snap;
pub mod sound;
pub mod tempo;
pub mod under;
pub mod view;

use egui::{Rect, Response, Sense, Ui, WidgetInfo};
use reinback_yard::{Moment, Span};

use crate::action::{Action, Chosen};
use crate::clock;
use layout::Layout;
pub use layout::StripData;
use pointer::Drag;
use roll::Roll;

/// What the strip remembers from frame to frame.
#[derive(Debug, Default)]
pub struct StripView {
    /// The stretch shown; the whole ride if `None`.
    zoom: Option<Span>,
    drag: Option<Drag>,
    /// Where the play head was.
    head: Option<Moment>,
}

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

    /// Puts back what is being dragged. Whether anything was.
    pub fn give_up(&mut self) -> bool {
        let held = matches!(self.drag, Some(Drag::Held(_) | Drag::Lasso(..)));
        if held {
            self.drag = None;
        }
        held
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
    let whole = view.view(data.extent) == data.extent;
    let size = egui::vec2(ui.available_width(), layout::height(data, whole));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    describe(&response, data, chosen);
    scroll_and_zoom(ui, view, data, &response);

    let held = match &view.drag {
        Some(Drag::Held(held)) => Some(held),
        _ => None,
    };
    let films = held.and_then(|held| held.films(data.films));
    let shown = StripData {
        ride: held.and_then(|held| held.ride()).unwrap_or(data.ride),
        films: films.as_deref().unwrap_or(data.films),
        ..*data
    };
    let layout = layout::layout(&shown, view.view(data.extent), rect);
    roll.tick(ui.ctx(), &layout.tiles, data.playing);
    paint::paint(ui, &layout, roll, data.now);
    if let Some((at, name)) = held.and_then(|held| held.line()) {
        paint::caught(ui, &layout, at, name);
    }
    if let Some(Drag::Lasso(from, _)) = view.drag
        && let Some(pointer) = response.interact_pointer_pos()
    {
        paint::lasso(ui, &layout, Rect::from_two_pos(from, pointer));
    }
    tell_chosen(ui, &layout, &shown, chosen);
    // What is taken hold of is the ride as it is, not as it would be.
    pointer::point_at(ui, view, data, &layout, &response, out);
}

fn describe(response: &Response, data: &StripData<'_>, chosen: Option<Chosen>) {
    let mut text = format!(
        "Strip of the ride, at {} of {}",
        clock::exact(data.now),
        clock::short(data.extent.to)
    );
    let one = chosen.and_then(|own| names::name(data.words, data.ride, own, data.now));
    match (data.selected.len(), one) {
        (0 | 1, Some(name)) => text = format!("{text}; chosen: {name}"),
        (0 | 1, None) => {}
        (count, _) => text = format!("{text}; {count} things chosen"),
    }
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, &text));
}

/// A node of its own for the one thing that is chosen, where it stands on the strip.
fn tell_chosen(ui: &Ui, layout: &Layout, data: &StripData<'_>, chosen: Option<Chosen>) {
    let Some(chosen) = chosen else { return };
    let sign = || {
        let mut signs = layout.signs.iter();
        let sign = signs.find(|sign| Chosen::Mark(sign.id) == chosen);
        sign.map(|sign| sign.rect)
    };
    let mut blocks = layout.blocks();
    let block = blocks.find(|block| block.chosen == Some(chosen));
    let tempo = || {
        let mut tracks = layout.tempo.tracks.iter();
        let holds = |id| match chosen {
            Chosen::Tempo(own) | Chosen::Tap(own, _) => own == id,
            _ => false,
        };
        tracks.find(|track| holds(track.id)).map(|track| track.rect)
    };
    let rect = block.map(|block| block.rect).or_else(sign).or_else(tempo);
    let Some(rect) = rect else {
        return;
    };
    let Some(name) = names::name(data.words, data.ride, chosen, data.now) else {
        return;
    };
    let response = ui.interact(rect, ui.scope_id().with("chosen"), Sense::empty());
    response.widget_info(|| {
        WidgetInfo::selected(egui::Role::ListItem, true, true, format!("Chosen: {name}"))
    });
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
