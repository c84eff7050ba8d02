//! What is drawn of a figure, as discs, areas, strokes and words: the window and the vector picture
//! only have to paint these. Pure.

use std::collections::BTreeSet;

use egui::{Pos2, Rect, pos2, vec2};

use super::clip::{inside, within};
use super::layout::{EDGE, LETTERS, Map, Width, between, short};
use super::{Anchor, Dot, Figure, Filled, Ink, Layer, Pick, Shape, Sign};

/// What something is coloured with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tint {
    /// A colour; none for that of what lies behind the figure.
    pub(crate) ink: Option<Ink>,
    /// How much of it, 0 to 1.
    pub(crate) strength: f32,
}

impl Tint {
    /// All of a colour.
    pub(crate) const fn of(ink: Ink) -> Self {
        Self {
            ink: Some(ink),
            strength: 1.0,
        }
    }

    const GROUND: Self = Self {
        ink: None,
        strength: 1.0,
    };

    /// So much of a colour, 0 to 1.
    pub(crate) fn weak(ink: Ink, strength: f32) -> Self {
        let strength = if strength.is_finite() { strength } else { 1.0 };
        Self {
            ink: Some(ink),
            strength: strength.clamp(0.0, 1.0),
        }
    }
}

/// A line's colour and width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pen {
    /// Its colour.
    pub(crate) tint: Tint,
    /// In points.
    pub(crate) width: f32,
}

/// One thing to paint.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Part {
    /// A round.
    Disc {
        /// Its middle.
        at: Pos2,
        /// In points.
        radius: f32,
        /// Inside.
        fill: Option<Tint>,
        /// Around.
        rim: Option<Pen>,
    },
    /// What bulges everywhere.
    Area {
        /// Corner by corner.
        points: Vec<Pos2>,
        /// Inside.
        fill: Option<Tint>,
        /// Around.
        rim: Option<Pen>,
    },
    /// Between two curves with as many points.
    Band {
        /// The lower.
        low: Vec<Pos2>,
        /// The upper.
        high: Vec<Pos2>,
        /// Inside.
        fill: Tint,
    },
    /// A line.
    Stroke {
        /// From the first to the last.
        points: Vec<Pos2>,
        /// How it is drawn.
        pen: Pen,
        /// Broken.
        dashed: bool,
    },
    /// Words, their middle at the height of their place.
    Text {
        /// Where.
        at: Pos2,
        /// Which end of them is there.
        anchor: Anchor,
        /// What.
        text: String,
        /// Their colour.
        ink: Tint,
    },
}

/// How strongly a band is filled.
pub(crate) const BAND: f32 = 0.18;
/// Half the length of the ends of a range.
const END: f32 = 3.5;
/// Room between the edge of a box and what is written in it.
const INSIDE: f32 = 4.0;
/// Room between a place and the words beside it.
const BESIDE: f32 = 5.0;

/// The layers as they are drawn, each with what it is a part of.
pub(crate) fn layers(
    figure: &Figure,
    off: &BTreeSet<usize>,
    map: &Map,
    width: Width<'_>,
) -> Vec<(Part, Option<Pick>)> {
    let mut parts = Vec::new();
    for (at, layer) in figure.shown(off) {
        of_layer(&mut parts, (at, layer), map, width);
    }
    parts
}

fn of_layer(
    parts: &mut Vec<(Part, Option<Pick>)>,
    (at, layer): (usize, &Layer),
    map: &Map,
    width: Width<'_>,
) {
    let ink = layer.ink;
    let pick = |item: usize| Some(Pick { layer: at, item });
    let mut plain = |part: Part| parts.push((part, None));
    match &layer.shape {
        Shape::Dots(dots) => {
            for (item, dot) in dots.iter().enumerate() {
                let place = map.at(dot.at).filter(|place| map.holds(*place));
                let own = place.into_iter().flat_map(|place| sign(dot, place, ink));
                parts.extend(own.map(|part| (part, pick(item))));
            }
        }
        Shape::Ranges(ranges) => {
            for range in ranges {
                let ends = [map.at([range.x, range.low]), map.at([range.x, range.high])];
                stretch(ends, vec2(END, 0.0), ink, map)
                    .into_iter()
                    .for_each(&mut plain);
            }
        }
        Shape::Spans(spans) => {
            for span in spans {
                let ends = [map.at([span.low, span.y]), map.at([span.high, span.y])];
                stretch(ends, vec2(0.0, END), ink, map)
                    .into_iter()
                    .for_each(&mut plain);
            }
        }
        Shape::Band(ranges) => {
            let ends = ranges.iter().filter_map(|range| {
                let low = map.at([range.x, range.low])?;
                Some((low, map.at([range.x, range.high])?))
            });
            let (low, high) = within(&ends.collect::<Vec<_>>(), map.plot);
            if low.len() > 1 {
                let fill = Tint::weak(ink, BAND);
                plain(Part::Band { low, high, fill });
            }
        }
        Shape::Line {
            points,
            width,
            dashed,
        } => {
            let points = points.iter().filter_map(|point| map.at(*point));
            let pen = Pen {
                tint: Tint::of(ink),
                width: thick(*width),
            };
            for points in inside(&points.collect::<Vec<Pos2>>(), map.plot) {
                plain(Part::Stroke {
                    points,
                    pen,
                    dashed: *dashed,
                });
            }
        }
        Shape::Boxes(boxes) => {
            for (item, filled) in boxes.iter().enumerate() {
                if let Some(place) = place_of(filled, map) {
                    parts.push((cell(place, ink, filled.strength), pick(item)));
                    parts.extend(written(filled, place, width).map(|part| (part, None)));
                }
            }
        }
        Shape::Events(events) => {
            for (item, event) in events.iter().enumerate() {
                let x = map.x(event.x).filter(|x| map.plot.x_range().contains(*x));
                if let Some(x) = x {
                    let points = [pos2(x, map.plot.top()), pos2(x, map.plot.bottom())];
                    let line = line(points, ink, 1.2);
                    parts.push((line, pick(item)));
                }
            }
        }
        Shape::Words(words) => {
            let room = map.plot.expand(EDGE);
            for word in words {
                let Some(at) = map.at(word.at).filter(|at| map.holds(*at)) else {
                    continue;
                };
                let text = short(&word.text, room.width() - 2.0, width);
                let half = width(&text) / 2.0;
                let middle = match word.anchor {
                    Anchor::Start => at.x + BESIDE + half,
                    Anchor::Middle => at.x,
                    Anchor::End => at.x - BESIDE - half,
                };
                plain(Part::Text {
                    at: pos2(between(middle, half, room), at.y),
                    anchor: Anchor::Middle,
                    text,
                    ink: Tint::of(ink),
                });
            }
        }
    }
}

fn thick(width: f32) -> f32 {
    if width.is_finite() {
        width.clamp(0.5, 6.0)
    } else {
        1.0
    }
}

fn line(points: [Pos2; 2], ink: Ink, width: f32) -> Part {
    Part::Stroke {
        points: points.to_vec(),
        pen: Pen {
            tint: Tint::of(ink),
            width,
        },
        dashed: false,
    }
}

/// A line with ends across it; where it is longer than the plot, without the end outside.
fn stretch(ends: [Option<Pos2>; 2], across: egui::Vec2, ink: Ink, map: &Map) -> Vec<Part> {
    let [Some(low), Some(high)] = ends else {
        return Vec::new();
    };
    // Wholly to one side of the field.
    let (near, far) = (map.held(low), map.held(high));
    let beside = if across.x > 0.0 {
        (near.x - low.x).abs() > 0.5
    } else {
        (near.y - low.y).abs() > 0.5
    };
    if beside || (near == far && near != low) {
        return Vec::new();
    }
    let mut parts = vec![line([near, far], ink, 1.2)];
    for (end, inside) in [(low, near), (high, far)] {
        if end.distance(inside) < 0.5 {
            let ends = [map.held(inside - across), map.held(inside + across)];
            parts.push(line(ends, ink, 1.2));
        }
    }
    parts
}

/// Where a box stands; none for one outside.
pub(crate) fn place_of(filled: &Filled, map: &Map) -> Option<Rect> {
    let one = map.at([filled.x[0], filled.y[0]])?;
    let place = Rect::from_two_pos(one, map.at([filled.x[1], filled.y[1]])?);
    let place = place.intersect(map.plot);
    (place.width() >= 0.0 && place.height() >= 0.0).then_some(place)
}

/// What is written in a box, if it has room.
fn written(filled: &Filled, place: Rect, width: Width<'_>) -> Option<Part> {
    let text = filled.written.as_str();
    let room = width(text) + 2.0 * INSIDE <= place.width() && LETTERS + INSIDE <= place.height();
    (!text.is_empty() && room).then(|| Part::Text {
        at: place.left_top() + vec2(INSIDE, INSIDE / 2.0 + LETTERS / 2.0),
        anchor: Anchor::Start,
        text: text.to_owned(),
        ink: Tint::of(Ink::Ink),
    })
}

fn cell(place: Rect, ink: Ink, strength: f32) -> Part {
    Part::Area {
        points: corners(place).to_vec(),
        fill: Some(Tint::weak(ink, strength)),
        rim: None,
    }
}

fn corners(place: Rect) -> [Pos2; 4] {
    [
        place.left_top(),
        place.right_top(),
        place.right_bottom(),
        place.left_bottom(),
    ]
}

/// How large a dot is drawn, in points.
pub(crate) fn radius(dot: &Dot) -> f32 {
    if dot.radius.is_finite() {
        dot.radius.clamp(1.0, EDGE - 1.5)
    } else {
        1.0
    }
}

/// The sign of a dot around a place. A full one has a rim of the ground, so that dots that lie over
/// each other can be counted.
fn sign(dot: &Dot, at: Pos2, ink: Ink) -> Vec<Part> {
    let r = radius(dot);
    let pen = |tint, width| Some(Pen { tint, width });
    let (fill, rim) = if dot.filled {
        (Some(Tint::of(ink)), pen(Tint::GROUND, 1.0))
    } else {
        (Some(Tint::GROUND), pen(Tint::of(ink), 1.4))
    };
    let area = |points: &[(f32, f32)]| {
        let points = points.iter().map(|(x, y)| at + vec2(x * r, y * r));
        vec![Part::Area {
            points: points.collect(),
            fill,
            rim,
        }]
    };
    let lines = |ends: [(f32, f32); 2]| {
        let line = |(x, y): (f32, f32)| line([at - vec2(x, y) * r, at + vec2(x, y) * r], ink, 2.0);
        ends.map(line).to_vec()
    };
    match dot.sign {
        Sign::Circle => vec![Part::Disc {
            at,
            radius: r,
            fill,
            rim,
        }],
        Sign::Square => area(&[(-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)]),
        Sign::Diamond => area(&[(0.0, -1.1), (1.1, 0.0), (0.0, 1.1), (-1.1, 0.0)]),
        Sign::Up => area(&[(0.0, -1.0), (1.0, 0.8), (-1.0, 0.8)]),
        Sign::Down => area(&[(0.0, 1.0), (-1.0, -0.8), (1.0, -0.8)]),
        Sign::Cross => lines([(0.8, 0.8), (0.8, -0.8)]),
        Sign::Plus => lines([(1.0, 0.0), (0.0, 1.0)]),
    }
}

/// The sign of a layer in the legend.
pub(crate) fn swatch(layer: &Layer, place: Rect) -> Vec<Part> {
    let ink = layer.ink;
    let middle = place.center();
    match &layer.shape {
        Shape::Dots(dots) => {
            let first = dots.first();
            let dot = Dot {
                at: [0.0; 2],
                radius: 4.5,
                sign: first.map(|dot| dot.sign).unwrap_or_default(),
                filled: first.is_none_or(|dot| dot.filled),
                said: String::new(),
            };
            sign(&dot, middle, ink)
        }
        Shape::Ranges(_) => {
            let [top, bottom] = [place.center_top(), place.center_bottom()];
            let across = vec2(END, 0.0);
            [
                (top, bottom),
                (top - across, top + across),
                (bottom - across, bottom + across),
            ]
            .map(|(from, to)| line([from, to], ink, 1.2))
            .to_vec()
        }
        Shape::Spans(_) => {
            let [left, right] = [place.left_center(), place.right_center()];
            let across = vec2(0.0, END);
            [
                (left, right),
                (left - across, left + across),
                (right - across, right + across),
            ]
            .map(|(from, to)| line([from, to], ink, 1.2))
            .to_vec()
        }
        Shape::Band(_) => vec![cell(place, ink, BAND)],
        Shape::Line { width, dashed, .. } => vec![Part::Stroke {
            points: vec![place.left_center(), place.right_center()],
            pen: Pen {
                tint: Tint::of(ink),
                width: thick(*width),
            },
            dashed: *dashed,
        }],
        Shape::Boxes(boxes) => {
            let strength = boxes.iter().map(|one| one.strength).fold(0.0, f32::max);
            vec![cell(place.shrink(1.0), ink, strength)]
        }
        Shape::Events(_) => vec![line([place.center_top(), place.center_bottom()], ink, 1.2)],
        Shape::Words(words) => vec![Part::Text {
            at: middle,
            anchor: Anchor::Middle,
            text: words
                .first()
                .and_then(|word| word.text.chars().next())
                .map(String::from)
                .unwrap_or_default(),
            ink: Tint::of(ink),
        }],
    }
}

/// How far a part reaches: its corners.
#[cfg(test)]
pub(crate) fn reach(part: &Part, width: Width<'_>) -> Vec<Pos2> {
    match part {
        Part::Disc { at, radius, .. } => {
            let all = vec2(*radius, *radius);
            vec![*at - all, *at + all]
        }
        Part::Area { points, .. } | Part::Stroke { points, .. } => points.clone(),
        Part::Band { low, high, .. } => low.iter().chain(high).copied().collect(),
        Part::Text {
            at, anchor, text, ..
        } => {
            let wide = width(text);
            let left = match anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => wide / 2.0,
                Anchor::End => wide,
            };
            let high = vec2(0.0, LETTERS / 2.0);
            let left = *at - vec2(left, 0.0);
            vec![left - high, left + vec2(wide, 0.0) + high]
        }
    }
}
