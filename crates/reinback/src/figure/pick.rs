//! What of a figure is pointed at. Pure.

use std::collections::BTreeSet;

use egui::Pos2;

use super::layout::Map;
use super::parts::{place_of, radius};
use super::{Figure, Shape};

/// One dot, box or event of a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pick {
    /// The place of its layer.
    pub layer: usize,
    /// Its place in the layer.
    pub item: usize,
}

/// How far from a dot it is still meant, in points.
const REACH: f32 = 10.0;
/// How far from an event.
const REACH_OF_EVENT: f32 = 4.0;

impl Figure {
    /// What something says when it is pointed at.
    #[must_use]
    pub fn said(&self, pick: Pick) -> Option<&str> {
        let said = match &self.layers.get(pick.layer)?.shape {
            Shape::Dots(dots) => &dots.get(pick.item)?.said,
            Shape::Boxes(boxes) => &boxes.get(pick.item)?.said,
            Shape::Events(events) => &events.get(pick.item)?.said,
            Shape::Ranges(_)
            | Shape::Spans(_)
            | Shape::Band(_)
            | Shape::Line { .. }
            | Shape::Words(_) => return None,
        };
        (!said.is_empty()).then_some(said)
    }
}

/// What is meant by a pointer: the nearest dot in reach, else an event, else the uppermost box.
pub(crate) fn nearest(
    figure: &Figure,
    off: &BTreeSet<usize>,
    map: &Map,
    pointer: Pos2,
) -> Option<Pick> {
    let mut dot: Option<(f32, Pick)> = None;
    let mut event: Option<(f32, Pick)> = None;
    let mut filled = None;
    for (layer, own) in figure.shown(off) {
        match &own.shape {
            Shape::Dots(dots) => {
                for (item, one) in dots.iter().enumerate() {
                    let Some(at) = map.at(one.at).filter(|at| map.holds(*at)) else {
                        continue;
                    };
                    let away = (at.distance(pointer) - radius(one)).max(0.0);
                    if away <= REACH && dot.is_none_or(|(best, _)| away <= best) {
                        dot = Some((away, Pick { layer, item }));
                    }
                }
            }
            Shape::Events(events) => {
                for (item, one) in events.iter().enumerate() {
                    let Some(x) = map.x(one.x) else { continue };
                    let away = (x - pointer.x).abs();
                    if away <= REACH_OF_EVENT && event.is_none_or(|(best, _)| away <= best) {
                        event = Some((away, Pick { layer, item }));
                    }
                }
            }
            Shape::Boxes(boxes) => {
                for (item, one) in boxes.iter().enumerate() {
                    let place = place_of(one, map);
                    if place.is_some_and(|place| place.expand(1.0).contains(pointer)) {
                        filled = Some(Pick { layer, item });
                    }
                }
            }
            Shape::Ranges(_)
            | Shape::Spans(_)
            | Shape::Band(_)
            | Shape::Line { .. }
            | Shape::Words(_) => {}
        }
    }
    let nearest = dot.or(event).map(|(_, pick)| pick);
    nearest.or(filled)
}
