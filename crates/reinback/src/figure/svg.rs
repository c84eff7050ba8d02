//! A figure as a vector picture that needs nothing beside it: readable by browsers, word processors
//! and screen readers, with the words of what is pointed at.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use egui::{Pos2, Rect, pos2, vec2};
use maud::{Markup, html};
use ttf_parser::Face;

use super::layout::{self, LETTERS, View};
use super::parts::{self, Part, Pen, Tint};
use super::{Anchor, Figure, Pick};
use crate::theme::Tokens;
use crate::typeface;

/// What a picture is drawn on.
#[derive(Clone, Copy, Debug)]
pub struct Sheet<'a> {
    /// Width and height of the figure in points; heading and legend are added to the height.
    /// Taken to be at least 160 by 120 and at most 4000 either way.
    pub size: [f32; 2],
    /// The colours.
    pub tokens: &'a Tokens,
    /// Whether its title stands over it: where nothing else says what it is.
    pub heading: bool,
}

/// The house typeface, and what comes near where it is missing.
const FAMILY: &str = "Lato, 'Helvetica Neue', Arial, sans-serif";
/// Height of the heading, and size of its letters.
const HEADING: (f32, f32) = (30.0, 16.0);
const SMALLEST: [f32; 2] = [160.0, 120.0];
const LARGEST: f32 = 4000.0;

/// Draws a figure: a whole `<svg>` element, well-formed XML whatever the words in it.
#[must_use]
pub fn svg(figure: &Figure, sheet: &Sheet<'_>) -> String {
    let (size, parts) = drawn(figure, sheet);
    let ground = hex(
        sheet.tokens,
        Tint {
            ink: None,
            strength: 1.0,
        },
    );
    let heading = sheet.heading.then(|| {
        let face = Face::parse(typeface::BOLD, 0).ok();
        let wide = |words: &str| width_of(face.as_ref(), words, HEADING.1);
        layout::short(&clean(&figure.title), size.x - 2.0 * layout::EDGE, &wide)
    });
    html! {
        svg xmlns="http://www.w3.org/2000/svg" role="img"
            viewBox=(format!("0 0 {} {}", number(size.x), number(size.y)))
            width=(number(size.x)) height=(number(size.y))
            font-family=(FAMILY) font-size=(number(LETTERS)) {
            title { (clean(&figure.title)) }
            desc { (clean(&figure.spoken)) }
            rect width=(number(size.x)) height=(number(size.y)) fill=(ground) {}
            @if let Some(heading) = heading {
                text x=(number(layout::EDGE)) y=(number(22.0)) font-size=(number(HEADING.1))
                    font-weight="bold" fill=(hex(sheet.tokens, Tint::of(super::Ink::Ink))) {
                    (heading)
                }
            }
            @for (part, pick) in &parts {
                (part_of(part, pick.and_then(|pick| figure.said(pick)), sheet.tokens))
            }
        }
    }
    .into_string()
}

/// The size of the whole picture, and everything in it but the heading.
pub(super) fn drawn(figure: &Figure, sheet: &Sheet<'_>) -> (egui::Vec2, Vec<(Part, Option<Pick>)>) {
    let face = Face::parse(typeface::REGULAR, 0).ok();
    let wide = |words: &str| width_of(face.as_ref(), words, LETTERS);
    let [width, height] = [0, 1].map(|way| {
        let asked = sheet.size[way];
        let asked = if asked.is_finite() {
            asked
        } else {
            SMALLEST[way]
        };
        asked.clamp(SMALLEST[way], LARGEST)
    });
    let top = if sheet.heading { HEADING.0 } else { 0.0 };
    let place = Rect::from_min_size(pos2(0.0, top), vec2(width, height));
    let all = BTreeSet::new();
    let laid = layout::lay(figure, &all, View::whole(figure), place, &wide);
    let corner = pos2(layout::EDGE, place.bottom());
    let (legend, high) = layout::legend(figure, corner, width - 2.0 * layout::EDGE, &wide);
    let plain = |part: Part| (part, None);
    let mut parts: Vec<(Part, Option<Pick>)> = laid.parts.into_iter().map(plain).collect();
    parts.extend(parts::layers(figure, &all, &laid.map, &wide));
    parts.extend(legend.into_iter().map(plain));
    let below = if high > 0.0 { high + 6.0 } else { 0.0 };
    (vec2(width, place.bottom() + below), parts)
}

/// How wide words are; without the typeface, as wide as letters are on average.
pub(super) fn width_of(face: Option<&Face<'_>>, words: &str, size: f32) -> f32 {
    let known = face.map(|face| typeface::width(face, words));
    // What the face lacks is drawn with another, about as wide as its letters are high.
    let missing = words
        .chars()
        .filter(|letter| face.is_none_or(|face| face.glyph_index(*letter).is_none()))
        .count();
    size * (known.unwrap_or_default() + missing as f32)
}

/// Text without what XML has no place for (XML 1.0, section 2.2, "Characters").
fn clean(text: &str) -> String {
    let allowed = |sign: &char| !sign.is_control() && !matches!(sign, '\u{fffe}' | '\u{ffff}');
    text.chars()
        .map(|sign| {
            if sign == '\n' || sign == '\t' {
                ' '
            } else {
                sign
            }
        })
        .filter(allowed)
        .collect()
}

/// A number as short as it can be said to a hundredth.
fn number(value: f32) -> String {
    let text = format!("{value:.2}");
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" {
        "0".to_owned()
    } else {
        short.to_owned()
    }
}

fn hex(tokens: &Tokens, tint: Tint) -> String {
    let colour = tint.ink.map_or(tokens.raised, |ink| ink.colour(tokens));
    let [r, g, b, _] = colour.to_array();
    format!("#{r:02x}{g:02x}{b:02x}")
}

fn path(points: &[Pos2], closed: bool) -> String {
    let mut text = String::new();
    for (at, point) in points.iter().enumerate() {
        let sign = if at == 0 { 'M' } else { 'L' };
        // Writing to text cannot fail.
        let _written = write!(text, "{sign}{} {}", number(point.x), number(point.y));
    }
    if closed {
        text.push('Z');
    }
    text
}

fn strength(tint: Option<Tint>) -> Option<String> {
    let strength = tint?.strength;
    (strength < 1.0).then(|| number(strength))
}

fn part_of(part: &Part, said: Option<&str>, tokens: &Tokens) -> Markup {
    let fill =
        |fill: &Option<Tint>| fill.map_or_else(|| "none".to_owned(), |tint| hex(tokens, tint));
    let rim = |rim: &Option<Pen>| rim.map(|pen| (hex(tokens, pen.tint), number(pen.width)));
    html! {
        @match part {
            Part::Disc { at, radius, fill: inside, rim: around } => {
                @let around = rim(around);
                circle cx=(number(at.x)) cy=(number(at.y)) r=(number(*radius)) fill=(fill(inside))
                    fill-opacity=[strength(*inside)] stroke=[around.as_ref().map(|rim| &rim.0)]
                    stroke-width=[around.as_ref().map(|rim| &rim.1)] {
                    @if let Some(said) = said { title { (clean(said)) } }
                }
            }
            Part::Area { points, fill: inside, rim: around } => {
                @let around = rim(around);
                path d=(path(points, true)) fill=(fill(inside)) fill-opacity=[strength(*inside)]
                    stroke=[around.as_ref().map(|rim| &rim.0)]
                    stroke-width=[around.as_ref().map(|rim| &rim.1)] {
                    @if let Some(said) = said { title { (clean(said)) } }
                }
            }
            Part::Band { low, high, fill: inside } => {
                @let around: Vec<Pos2> = low.iter().chain(high.iter().rev()).copied().collect();
                path d=(path(&around, true)) fill=(hex(tokens, *inside))
                    fill-opacity=[strength(Some(*inside))] {}
            }
            Part::Stroke { points, pen, dashed } => {
                path d=(path(points, false)) fill="none" stroke=(hex(tokens, pen.tint))
                    stroke-width=(number(pen.width)) stroke-opacity=[strength(Some(pen.tint))]
                    stroke-dasharray=[dashed.then_some("6 4")] {
                    @if let Some(said) = said { title { (clean(said)) } }
                }
            }
            Part::Text { at, anchor, text, ink } => {
                text x=(number(at.x)) y=(number(at.y + 0.36 * LETTERS)) fill=(hex(tokens, *ink))
                    text-anchor=[match anchor {
                        Anchor::Start => None,
                        Anchor::Middle => Some("middle"),
                        Anchor::End => Some("end"),
                    }] { (clean(text)) }
            }
        }
    }
}
