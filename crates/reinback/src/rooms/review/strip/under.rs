//! What lies under the pointer, or inside a lasso: pure.

use std::collections::BTreeSet;

use egui::{Pos2, Rect};
use reinback_yard::{FilmId, MarkId, Moment, Span, SpanId};

use super::bands::Block;
use super::grip::End;
use super::layout::{Layout, May, StripData};
use super::overview::Part;
use super::signs::Sign;
use super::tempo::Tap;
use crate::action::Chosen;

/// Reach of an edge for the pointer, in points.
const EDGE_REACH: f32 = 5.0;
/// An edge is taken hold of from inside a stretch only up to this part of it, so that its middle
/// stays free.
const EDGE_PART: f32 = 0.25;
/// How much nearer an edge must be from outside than another from inside, in points.
const OUTSIDE: f32 = 0.5;
/// Reach of a mark's sign beyond its rectangle, in points.
const SIGN_REACH: f32 = 3.0;
/// Reach of a tap, in points.
const TAP_REACH: f32 = 4.0;

/// What the pointer is on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Under {
    /// The band of the whole ride, and the part of the window there, if any.
    Overview(Option<Part>),
    /// An edge that can be dragged.
    Edge(Chosen, End),
    /// The sign of one mark, or of more than one.
    Sign(MarkId, bool),
    /// A stretch.
    Block(Chosen),
    /// A tap.
    Tap(SpanId, Moment),
    /// The band of the tempo, at one of its stretches or beside them.
    Tempo(Option<SpanId>),
    /// A clip that can be moved.
    Clip(FilmId),
    /// Nothing that can be held.
    Nothing,
}

/// What is at a place of the strip.
#[must_use]
pub fn under(layout: &Layout, data: &StripData<'_>, pointer: Pos2) -> Under {
    if let Some(overview) = &layout.overview
        && overview.bed.contains(pointer)
    {
        return Under::Overview(overview.part_at(pointer.x));
    }
    if data.may == May::PlaceClips && layout.beds.films.contains(pointer) {
        // Of two that show the same time the later one lies on top.
        let mut films = layout.films.iter().rev();
        let clip = films.find(|(_, rect)| rect.contains(pointer));
        return clip.map_or(Under::Nothing, |(id, _)| Under::Clip(*id));
    }
    if let Some(sign) = sign_at(layout, pointer) {
        return Under::Sign(sign.id, sign.count > 1);
    }
    if layout.beds.tempo.is_some_and(|bed| bed.contains(pointer)) {
        return tempo_at(layout, pointer);
    }
    let edge = data.writable().then(|| edge_at(layout, pointer)).flatten();
    if let Some((chosen, end)) = edge {
        return Under::Edge(chosen, end);
    }
    let block = layout.blocks().rev().find(|b| b.rect.contains(pointer));
    match block.and_then(|block| block.chosen) {
        Some(chosen) => Under::Block(chosen),
        None => Under::Nothing,
    }
}

/// The sign nearest to the pointer within its reach.
fn sign_at(layout: &Layout, pointer: Pos2) -> Option<&Sign> {
    let reached = |sign: &&Sign| sign.rect.expand(SIGN_REACH).contains(pointer);
    let far = |sign: &Sign| (sign.rect.center().x - pointer.x).abs();
    let signs = layout.signs.iter().rev().filter(reached);
    signs.min_by(|one, other| far(one).total_cmp(&far(other)))
}

fn tempo_at(layout: &Layout, pointer: Pos2) -> Under {
    let far = |tap: &Tap| (tap.x - pointer.x).abs();
    let taps = layout.tempo.taps.iter();
    let nearest = taps.min_by(|one, other| far(one).total_cmp(&far(other)));
    if let Some(tap) = nearest.filter(|tap| far(tap) <= TAP_REACH) {
        return Under::Tap(tap.track, tap.at);
    }
    let mut tracks = layout.tempo.tracks.iter();
    let track = tracks.find(|track| track.rect.contains(pointer));
    Under::Tempo(track.map(|track| track.id))
}

fn edge_at(layout: &Layout, pointer: Pos2) -> Option<(Chosen, End)> {
    let part = |block: &Block| (block.rect.width() * EDGE_PART).min(EDGE_REACH);
    // From inside another stretch an edge is reached no further than that one's own.
    let mut blocks = layout.blocks().rev();
    let home = blocks.find(|block| block.chosen.is_some() && block.rect.contains(pointer));
    let outside = home.map_or(EDGE_REACH, part);
    let mut best: Option<(f32, Chosen, End)> = None;
    for block in layout.blocks() {
        let Some(chosen) = block.chosen else { continue };
        let reach = block.rect.expand2(egui::vec2(EDGE_REACH, 0.0));
        if !reach.contains(pointer) {
            continue;
        }
        let inside = part(block);
        for (into, end, there) in [
            (pointer.x - block.rect.left(), End::Start, block.ends.0),
            (block.rect.right() - pointer.x, End::End, block.ends.1),
        ] {
            let near = there && (-outside..=inside).contains(&into);
            // Where two stretches touch, the edge is that of the one the pointer is in.
            let far = if into < 0.0 { OUTSIDE - into } else { into };
            if near && best.is_none_or(|(nearest, ..)| far < nearest) {
                best = Some((far, chosen, end));
            }
        }
    }
    best.map(|(_, chosen, end)| (chosen, end))
}

/// Everything that a rectangle on the strip takes in, in the order of the list; taps last. Of a
/// stretch it must hold an end: else a lasso across the bands would take what lies all around it.
#[must_use]
pub fn inside(layout: &Layout, data: &StripData<'_>, lasso: Rect) -> Vec<Chosen> {
    let across = |x: f32| lasso.left() <= x && x <= lasso.right();
    let over = |bed: Rect| lasso.top() <= bed.bottom() && bed.top() <= lasso.bottom();
    let holds = |block: &&Block| {
        let start = block.ends.0 && across(block.rect.left());
        let end = block.ends.1 && across(block.rect.right());
        over(block.rect) && (start || end)
    };
    let blocks = layout.blocks().filter(holds);
    let mut found: Vec<Chosen> = blocks.filter_map(|block| block.chosen).collect();
    // The marks themselves rather than their signs, of which one may stand for several.
    if over(layout.beds.marks) {
        let (from, to) = (
            layout.axis.moment_from_x(lasso.left()),
            layout.axis.moment_from_x(lasso.right()),
        );
        let stretch = Span { from, to };
        let marks = data.ride.marks.iter();
        let own = marks.filter(|mark| mark.review == data.review);
        let own = own.filter(|mark| stretch.from <= mark.at && mark.at <= stretch.to);
        found.extend(own.map(|mark| Chosen::Mark(mark.id)));
    }
    let taps = layout.tempo.taps.iter();
    let taps = taps.filter(|tap| across(tap.x) && layout.beds.tempo.is_some_and(over));
    let taps = taps.map(|tap| Chosen::Tap(tap.track, tap.at));
    let order = super::super::selection::things(data.ride, data.review);
    let found: BTreeSet<Chosen> = found.into_iter().collect();
    let order = order.into_iter().map(|thing| thing.chosen);
    let listed = order.filter(|chosen| found.contains(chosen));
    listed.chain(taps).collect()
}
