//! Where the parts of a figure stand: the field of the plot, what is written along its axes, and
//! the legend. Pure; how wide words are is told by whoever draws them.

use std::collections::BTreeSet;

use egui::{Pos2, Rect, pos2, vec2};

use super::parts::{Part, Pen, Tint, swatch};
use super::{Anchor, Axis, AxisMark, Event, Figure, Ink, Scale, Shape};

/// Size of the letters along the axes, in points.
pub(crate) const LETTERS: f32 = 12.0;
/// Height of a line of them.
const ROW: f32 = 17.0;
/// Room between the edge of the picture and anything in it; no dot is larger.
pub(crate) const EDGE: f32 = 9.0;
/// Room between two words.
const GAP: f32 = 8.0;

/// The most marks from left to right, and from bottom to top; more would be no calmer.
const MARKS: [usize; 2] = [7, 6];
/// The widest word of the legend and of an event.
const LONGEST: f32 = 180.0;
/// Room for the sign before a word of the legend.
pub(crate) const SIGN: f32 = 20.0;

/// How wide words are, in points.
pub(crate) type Width<'a> = &'a dyn Fn(&str) -> f32;

/// The part of a figure that is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct View {
    /// From left to right.
    pub(crate) x: [f64; 2],
    /// From bottom to top.
    pub(crate) y: [f64; 2],
}

impl View {
    /// All of it.
    pub(crate) fn whole(figure: &Figure) -> Self {
        Self {
            x: ends(&figure.x),
            y: ends(&figure.y),
        }
    }
}

/// The ends of an axis; of one that has none, from nought to one.
fn ends(axis: &Axis) -> [f64; 2] {
    if axis.from.is_finite() && axis.to.is_finite() && axis.from < axis.to {
        [axis.from, axis.to]
    } else {
        [0.0, 1.0]
    }
}

/// From the units of the axes to places on the screen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Map {
    /// The field of the plot.
    pub(crate) plot: Rect,
    /// What is seen in it.
    pub(crate) view: View,
}

impl Map {
    /// The place of a value from left to right; none for what is no number.
    pub(crate) fn x(&self, value: f64) -> Option<f32> {
        along(self.view.x, [self.plot.left(), self.plot.right()], value)
    }

    /// The place of a value from bottom to top.
    pub(crate) fn y(&self, value: f64) -> Option<f32> {
        along(self.view.y, [self.plot.bottom(), self.plot.top()], value)
    }

    /// The place of a point.
    pub(crate) fn at(&self, [x, y]: [f64; 2]) -> Option<Pos2> {
        Some(pos2(self.x(x)?, self.y(y)?))
    }

    /// Whether a place is in the field, or on its rim.
    pub(crate) fn holds(&self, at: Pos2) -> bool {
        self.plot.expand(0.5).contains(at)
    }

    /// The same place, or the nearest on the rim of the field.
    pub(crate) fn held(&self, at: Pos2) -> Pos2 {
        self.plot.clamp(at)
    }
}

/// The place of a value of a stretch between two places; none for what is no number.
fn along(stretch: [f64; 2], [from, to]: [f32; 2], value: f64) -> Option<f32> {
    Some(from + share(stretch, value)? * (to - from))
}

/// How far along a stretch a value is. Halves, so that the longest stretches do not overflow;
/// bounded, so that what is far away still has a place that can be drawn to.
fn share([from, to]: [f64; 2], value: f64) -> Option<f32> {
    if !value.is_finite() {
        return None;
    }
    let share = (value / 2.0 - from / 2.0) / (to / 2.0 - from / 2.0);
    share
        .is_finite()
        .then(|| share.clamp(-1000.0, 1000.0) as f32)
}

/// Where everything but the layers stands.
#[derive(Clone, Debug)]
pub(crate) struct Layout {
    /// The field of the plot.
    pub(crate) map: Map,
    /// Hairlines and words, to be drawn before the layers.
    pub(crate) parts: Vec<Part>,
}

/// Lays a figure out in a place of at least 160 by 56 points.
pub(crate) fn lay(
    figure: &Figure,
    off: &BTreeSet<usize>,
    view: View,
    place: Rect,
    width: Width<'_>,
) -> Layout {
    let events = events(figure, off);
    let rows = |has: bool| if has { ROW } else { 0.0 };
    let titled = !figure.y.title.is_empty();
    // A title keeps clear of what is written at the very top.
    let title = if titled { ROW + 4.0 } else { 0.0 };
    let top = place.top() + EDGE + title + rows(!events.is_empty());
    let below = rows(!figure.x.scale.is_bare()) + rows(!figure.x.title.is_empty());
    let bottom = (place.bottom() - EDGE - below).max(top + 10.0);
    let levels = levels(&figure.y, view.y, [bottom, top]);
    // At least the room that all of it takes, so that nothing moves sideways while it is zoomed.
    let all = self::levels(&figure.y, View::whole(figure).y, [bottom, top]);
    let widest = levels.iter().chain(&all);
    let widest = widest.map(|(_, mark)| width(&mark.text));
    let beside = if figure.y.scale.is_bare() {
        0.0
    } else {
        widest.fold(0.0, f32::max).min(0.4 * place.width()) + 6.0
    };
    let field = Rect::from_min_max(
        pos2(place.left() + EDGE + beside, top),
        pos2(place.right() - EDGE, bottom),
    );
    let plot = if figure.to_scale {
        to_scale(field, view)
    } else {
        field
    };
    let map = Map { plot, view };
    let mut parts = Vec::new();
    if titled {
        let room = place.width() - 2.0 * EDGE;
        let at = pos2(place.left() + EDGE, place.top() + EDGE + ROW / 2.0 - 2.0);
        let title = short(&figure.y.title, room, width);
        parts.push(word(at, Anchor::Start, title, Ink::Soft));
    }
    for (y, mark) in levels {
        if figure.y.grid {
            parts.push(hairline([pos2(plot.left(), y), pos2(plot.right(), y)]));
        }
        let text = short(&mark.text, beside - 6.0, width);
        let at = pos2(plot.left() - 6.0, y);
        parts.push(word(at, Anchor::End, text, Ink::Soft));
    }
    uprights(&mut parts, &figure.x, &map, place, width);
    if !figure.x.title.is_empty() {
        let title = short(&figure.x.title, place.width() - 2.0 * EDGE, width);
        let y = plot.bottom() + rows(!figure.x.scale.is_bare()) + ROW / 2.0;
        let half = width(&title) / 2.0;
        let at = pos2(between(plot.center().x, half, place), y);
        parts.push(word(at, Anchor::Middle, title, Ink::Soft));
    }
    names_of_events(&mut parts, &events, &map, place, width);
    Layout { map, parts }
}

/// The largest field inside one in which a unit is as long either way.
fn to_scale(field: Rect, view: View) -> Rect {
    let long = |[from, to]: [f64; 2]| to / 2.0 - from / 2.0;
    let ratio = (long(view.x) / long(view.y)) as f32;
    if !ratio.is_finite() || ratio <= 0.0 {
        return field;
    }
    let width = field.width().min(field.height() * ratio);
    Rect::from_center_size(field.center(), vec2(width, width / ratio))
}

fn word(at: Pos2, anchor: Anchor, text: String, ink: Ink) -> Part {
    Part::Text {
        at,
        anchor,
        text,
        ink: Tint::of(ink),
    }
}

/// A place for the middle of something of half this width, all of it inside.
pub(crate) fn between(x: f32, half: f32, place: Rect) -> f32 {
    let (left, right) = (place.left() + half + 1.0, place.right() - half - 1.0);
    if left < right {
        x.clamp(left, right)
    } else {
        place.center().x
    }
}

/// Words cut to a width, with dots in place of what is missing.
pub(crate) fn short(text: &str, room: f32, width: Width<'_>) -> String {
    if width(text) <= room {
        return text.to_owned();
    }
    let ends: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
    let cut = |many: usize| {
        let kept = text.get(..ends.get(many).copied().unwrap_or(0));
        format!("{}…", kept.unwrap_or_default().trim_end())
    };
    let (mut fits, mut too_many) = (0, ends.len());
    while too_many - fits > 1 {
        let middle = usize::midpoint(fits, too_many);
        if width(&cut(middle)) <= room {
            fits = middle;
        } else {
            too_many = middle;
        }
    }
    cut(fits)
}

/// What is written from bottom to top, each with its height.
fn levels(axis: &Axis, seen: [f64; 2], ends: [f32; 2]) -> Vec<(f32, AxisMark)> {
    let height = |mark: &AxisMark| along(seen, ends, mark.at);
    // Names of rows stand as close as they must.
    let room = match axis.scale {
        Scale::Names(_) => LETTERS,
        _ => ROW,
    };
    let apart = |one: &AxisMark, next: &AxisMark| {
        let pair = height(one).zip(height(next));
        pair.is_some_and(|(one, next)| (one - next).abs() >= room)
    };
    let marks = axis.scale.marks(seen, MARKS[1], apart).into_iter();
    let marks = marks.filter_map(|mark| Some((height(&mark)?, mark)));
    marks.collect()
}

/// What is written from left to right.
fn uprights(parts: &mut Vec<Part>, axis: &Axis, map: &Map, place: Rect, width: Width<'_>) {
    let plot = map.plot;
    let text = |mark: &AxisMark| short(&mark.text, 0.5 * place.width(), width);
    let middle = |mark: &AxisMark| {
        let half = width(&text(mark)) / 2.0;
        Some((between(map.x(mark.at)?, half, place), half))
    };
    let room = match axis.scale {
        Scale::Names(_) => GAP,
        _ => 2.0 * GAP,
    };
    let apart = |one: &AxisMark, next: &AxisMark| {
        let pair = middle(one).zip(middle(next));
        pair.is_some_and(|(one, next)| next.0 - next.1 - (one.0 + one.1) >= room)
    };
    for mark in axis.scale.marks(map.view.x, MARKS[0], apart) {
        let Some((x, (middle, _))) = map.x(mark.at).zip(middle(&mark)) else {
            continue;
        };
        if axis.grid {
            parts.push(hairline([pos2(x, plot.top()), pos2(x, plot.bottom())]));
        }
        let at = pos2(middle, plot.bottom() + ROW / 2.0 + 2.0);
        parts.push(word(at, Anchor::Middle, text(&mark), Ink::Soft));
    }
    if !axis.scale.is_bare() {
        parts.push(hairline([plot.left_bottom(), plot.right_bottom()]));
    }
}

fn hairline(points: [Pos2; 2]) -> Part {
    Part::Stroke {
        points: points.to_vec(),
        pen: Pen {
            tint: Tint::of(Ink::Hairline),
            width: 1.0,
        },
        dashed: false,
    }
}

/// The events of the layers that are shown, with their colour.
fn events<'a>(figure: &'a Figure, off: &'a BTreeSet<usize>) -> Vec<(&'a Event, Ink)> {
    let mut all: Vec<(&Event, Ink)> = figure
        .shown(off)
        .flat_map(|(_, layer)| match &layer.shape {
            Shape::Events(events) => events.iter().map(|event| (event, layer.ink)).collect(),
            _ => Vec::new(),
        })
        .filter(|(event, _)| event.x.is_finite())
        .collect();
    all.sort_by(|one, next| one.0.x.total_cmp(&next.0.x));
    all
}

/// Their names over the plot, where there is room; each says its name when it is pointed at.
fn names_of_events(
    parts: &mut Vec<Part>,
    events: &[(&Event, Ink)],
    map: &Map,
    place: Rect,
    width: Width<'_>,
) {
    let y = map.plot.top() - ROW / 2.0;
    let mut taken = f32::NEG_INFINITY;
    for (event, ink) in events {
        let Some(x) = map.x(event.x).filter(|x| map.plot.x_range().contains(*x)) else {
            continue;
        };
        let text = short(&event.name, LONGEST.min(0.5 * place.width()), width);
        let half = width(&text) / 2.0;
        let middle = between(x, half, place);
        if middle - half >= taken {
            parts.push(word(pos2(middle, y), Anchor::Middle, text, *ink));
            taken = middle + half + GAP;
        }
    }
}

/// The legend from an upper left corner on, as wide as it may be: its parts and its height.
pub(crate) fn legend(figure: &Figure, at: Pos2, room: f32, width: Width<'_>) -> (Vec<Part>, f32) {
    let mut parts = Vec::new();
    let mut corner = at;
    let mut rows = 0.0;
    for (_, layer) in figure.legend() {
        let name = short(&layer.name, LONGEST.min(room - SIGN), width);
        let wide = SIGN + width(&name);
        if corner.x > at.x && corner.x + wide > at.x + room {
            corner = pos2(at.x, corner.y + ROW);
        }
        let middle = corner.y + ROW / 2.0;
        let sign =
            Rect::from_center_size(pos2(corner.x + SIGN / 2.0 - 2.0, middle), vec2(14.0, 12.0));
        parts.extend(swatch(layer, sign));
        parts.push(word(
            pos2(corner.x + SIGN, middle),
            Anchor::Start,
            name,
            Ink::Ink,
        ));
        corner.x += wide + 2.0 * GAP;
        rows = corner.y + ROW - at.y;
    }
    (parts, rows)
}
