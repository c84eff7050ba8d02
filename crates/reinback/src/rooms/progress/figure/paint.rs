//! The parts of a figure on the screen.

use egui::epaint::{Mesh, PathShape, PathStroke};
use egui::{Align2, Color32, FontId, Painter, Pos2, Shape, Stroke};

use crate::figure::layout::LETTERS;
use crate::figure::parts::{BAND, Part, Pen, Tint};
use crate::figure::{Anchor, Ink};
use crate::rooms::progress::rows;
use crate::theme::Tokens;

/// How wide words along an axis are.
pub(super) fn width(painter: &Painter, words: &str) -> f32 {
    let font = FontId::proportional(LETTERS);
    let galley = painter.layout_no_wrap(words.to_owned(), font, Color32::PLACEHOLDER);
    galley.size().x
}

fn colour(tint: Tint, tokens: &Tokens) -> Color32 {
    let colour = tint.ink.map_or(tokens.raised, |ink| ink.colour(tokens));
    colour.gamma_multiply(tint.strength)
}

fn stroke(pen: Option<Pen>, tokens: &Tokens) -> Stroke {
    pen.map_or(Stroke::NONE, |pen| {
        Stroke::new(pen.width, colour(pen.tint, tokens))
    })
}

/// Paints one part.
pub(super) fn part(painter: &Painter, part: &Part, tokens: &Tokens) {
    let fill = |fill: Option<Tint>| fill.map_or(Color32::TRANSPARENT, |tint| colour(tint, tokens));
    match part {
        Part::Disc {
            at,
            radius,
            fill: inside,
            rim,
        } => {
            let (rim, inside) = (stroke(*rim, tokens), fill(*inside));
            if inside.is_opaque() && rim.width > 0.0 {
                rows::dot(painter, *at, *radius, (inside, rim));
            } else {
                painter.circle(*at, *radius, inside, rim);
            }
        }
        Part::Area {
            points,
            fill: inside,
            rim,
        } => {
            painter.add(PathShape {
                points: points.clone(),
                closed: true,
                fill: fill(*inside),
                stroke: PathStroke::from(stroke(*rim, tokens)),
            });
        }
        Part::Band {
            low,
            high,
            fill: inside,
        } => {
            between(painter, low, high, colour(*inside, tokens));
        }
        Part::Stroke {
            points,
            pen,
            dashed,
        } => {
            let stroke = stroke(Some(*pen), tokens);
            if *dashed {
                painter.extend(Shape::dashed_line(points, stroke, 6.0, 4.0));
            } else {
                painter.line(points.clone(), stroke);
            }
        }
        Part::Text {
            at,
            anchor,
            text,
            ink,
        } => {
            let align = match anchor {
                Anchor::Start => Align2::LEFT_CENTER,
                Anchor::Middle => Align2::CENTER_CENTER,
                Anchor::End => Align2::RIGHT_CENTER,
            };
            let font = FontId::proportional(LETTERS);
            painter.text(*at, align, text, font, colour(*ink, tokens));
        }
    }
}

/// The range of a fitted line in a small picture.
pub(in crate::rooms::progress) fn band(
    painter: &Painter,
    low: Vec<Pos2>,
    high: Vec<Pos2>,
    tokens: &Tokens,
) {
    let fill = Tint::weak(Ink::Leather, BAND);
    part(painter, &Part::Band { low, high, fill }, tokens);
}

fn between(painter: &Painter, low: &[Pos2], high: &[Pos2], fill: Color32) {
    let mut mesh = Mesh::default();
    for (low, high) in low.iter().zip(high) {
        mesh.colored_vertex(*low, fill);
        mesh.colored_vertex(*high, fill);
    }
    for at in 1..low.len().min(high.len()) as u32 {
        mesh.add_triangle(2 * at - 2, 2 * at - 1, 2 * at);
        mesh.add_triangle(2 * at - 1, 2 * at, 2 * at + 1);
    }
    painter.add(Shape::mesh(mesh));
}
