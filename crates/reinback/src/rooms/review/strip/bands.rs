//! The bands of stretches: paces, exercises and outlines. Pure.

use egui::Rect;
use reinback_yard::{Bout, BoutId, MarkKind, Pace, Span, SpanId, Words};

use super::axis::Axis;
use super::layout::{StripData, stretch_on};
use crate::action::Chosen;
use crate::rooms::review::marking::shown_until;

/// A filled stretch with a word.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// What it stands for; nothing where it is only derived from other things.
    pub chosen: Option<Chosen>,
    /// Where.
    pub rect: Rect,
    /// Whether its start and its end are in view.
    pub ends: (bool, bool),
    /// Shown inside as far as it fits.
    pub text: String,
    /// Which of the palette's fills.
    pub fill: usize,
    /// Drawn solid; else hatched: not in the count.
    pub counts: bool,
    /// Has a fault.
    pub faulty: bool,
    /// Whether it is chosen.
    pub marked: bool,
}

/// A word is only made for what is wide enough to show some of it, in points.
pub(super) const WORDY: f32 = 14.0;

impl Block {
    fn new(
        data: &StripData<'_>,
        axis: &Axis,
        bed: Rect,
        chosen: Option<Chosen>,
        span: Span,
    ) -> Option<Self> {
        Some(Self {
            chosen,
            rect: stretch_on(axis, span, bed)?,
            ends: (span.from >= axis.view.from, span.to <= axis.view.to),
            text: String::new(),
            fill: 0,
            counts: true,
            faulty: false,
            marked: chosen.is_some_and(|own| data.selected.contains(&own)),
        })
    }

    fn with(mut self, fill: usize, text: impl FnOnce() -> String) -> Self {
        self.fill = fill;
        if self.rect.width() >= WORDY {
            self.text = text();
        }
        self
    }
}

fn own_bouts<'a>(data: &StripData<'a>) -> impl Iterator<Item = &'a Bout> + use<'a> {
    let review = data.review;
    let bouts = data.ride.bouts.iter();
    bouts.filter(move |bout| bout.review == review)
}

/// The paces as noted; where none are noted at all, those of the exercises.
pub(super) fn paces(data: &StripData<'_>, axis: &Axis, bed: Rect) -> Vec<Block> {
    let block = |id: Option<SpanId>, pace: Pace, span: Span| {
        let block = Block::new(data, axis, bed, id.map(Chosen::Pace), span)?;
        let fill = Pace::ALL.iter().position(|own| *own == pace).unwrap_or(0);
        Some(block.with(fill, || pace.name().to_owned()))
    };
    if data.ride.paces.is_empty() {
        let known = own_bouts(data).filter_map(|bout| {
            let pace = data.words.exercise(&bout.exercise)?.pace?;
            block(None, pace, bout.span_until(data.now))
        });
        return known.collect();
    }
    let last = data.ride.paces.last().map(|own| own.id);
    let noted = data.ride.paces.iter().filter_map(|own| {
        let shown = shown_until(own.span, last == Some(own.id), data.now);
        Some(open_ended(
            block(Some(own.id), own.pace, shown)?,
            shown != own.span,
        ))
    });
    noted.collect()
}

/// What still runs has no end to take hold of.
fn open_ended(block: Block, running: bool) -> Block {
    Block {
        ends: (block.ends.0, block.ends.1 && !running),
        ..block
    }
}

/// The exercises.
pub(super) fn bouts(data: &StripData<'_>, axis: &Axis, bed: Rect) -> Vec<Block> {
    let families = families(data.words);
    let faulty = faulty(data);
    let block = |bout: &Bout| {
        let chosen = Some(Chosen::Bout(bout.id));
        let block = Block::new(data, axis, bed, chosen, bout.span_until(data.now))?;
        let fill = family(data.words, &families, bout);
        let text = || super::super::bout_name(data.words, bout);
        Some(Block {
            counts: bout.reviewed,
            faulty: faulty.binary_search(&bout.id).is_ok(),
            // A running bout has no end to take hold of.
            ends: (block.ends.0, block.ends.1 && bout.to.is_some()),
            ..block.with(fill, text)
        })
    };
    own_bouts(data).filter_map(block).collect()
}

/// The exercises without words, for the whole ride at a glance; each point once.
pub(super) fn bouts_on(data: &StripData<'_>, axis: &Axis, bed: Rect) -> Vec<(Rect, usize)> {
    let families = families(data.words);
    let mut bouts: Vec<(Rect, usize)> = Vec::new();
    for bout in own_bouts(data) {
        let Some(rect) = stretch_on(axis, bout.span_until(data.now), bed) else {
            continue;
        };
        let covered = bouts
            .last()
            .is_some_and(|(last, _)| rect.right() <= last.right() + 0.5);
        if !covered {
            bouts.push((rect, family(data.words, &families, bout)));
        }
    }
    bouts
}

/// The outlines.
pub(super) fn outlines(data: &StripData<'_>, axis: &Axis, bed: Rect) -> Vec<Block> {
    let last = data.ride.outlines.last().map(|own| own.id);
    let block = |own: &reinback_yard::OutlineSpan| {
        let chosen = Some(Chosen::Outline(own.id));
        let shown = shown_until(own.span, last == Some(own.id), data.now);
        let block = Block::new(data, axis, bed, chosen, shown)?;
        let block = open_ended(block, shown != own.span);
        let mut known = data.words.outlines.iter();
        let fill = known.position(|w| w.id == own.outline).unwrap_or(0);
        Some(block.with(fill, || data.words.outline_name(&own.outline)))
    };
    data.ride.outlines.iter().filter_map(block).collect()
}

/// The bouts that have a fault, in order.
fn faulty(data: &StripData<'_>) -> Vec<BoutId> {
    let faults = data.ride.marks.iter();
    let faults = faults.filter(|mark| matches!(mark.kind, MarkKind::Fault(_)));
    let mut found: Vec<BoutId> = faults.filter_map(|mark| mark.bout).collect();
    // Marks of one bout mostly stand together, which leaves few to sort.
    found.dedup();
    found.sort_unstable();
    found.dedup();
    found
}

fn family(words: &Words, families: &[&str], bout: &Bout) -> usize {
    let exercise = words.exercise(&bout.exercise);
    let family = exercise.and_then(|own| families.iter().position(|f| *f == own.family));
    family.unwrap_or(0)
}

/// The families of exercises in the order of the words.
fn families(words: &Words) -> Vec<&str> {
    let mut families: Vec<&str> = Vec::new();
    for exercise in &words.exercises {
        if !families.contains(&exercise.family.as_str()) {
            families.push(&exercise.family);
        }
    }
    families
}
