//! The lines of the list put into words and in their order: once for an answer, not in every frame.

use std::cell::Cell;

use super::Counted;
use super::words::Words;
use crate::report::numbers::Measure;
use crate::report::shown::{Order, Yardstick};
use crate::said::Language;

/// The lines in words.
#[derive(Default)]
pub(super) struct Prepared {
    made: Option<Made>,
    lines: Vec<PreparedLine>,
    /// What was ridden only in the days compared with.
    gone: Option<String>,
}

/// What they were made from.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Made {
    /// How many answers had come.
    answers: u64,
    order: Order,
    yardstick: Yardstick,
    measure: Measure,
    language: Language,
}

/// A line in words.
pub(super) struct PreparedLine {
    /// Its place among the lines of the answer.
    pub(super) at: usize,
    /// Why it is one of the first, if it is.
    pub(super) reason: Option<String>,
    /// What matters most, and what stands under it.
    pub(super) sentences: [String; 2],
    /// All of it for those who hear it.
    pub(super) spoken: String,
    /// How high it is in a list of some width, once it was drawn.
    height: Cell<(f32, f32)>,
}

/// The height of a line that was not drawn yet: its name, two sentences, and room around them.
const HEIGHT: f32 = 88.0;

impl PreparedLine {
    /// Its height in a list of this width, near enough to leave its room.
    pub(super) fn height(&self, width: f32) -> f32 {
        let (own, height) = self.height.get();
        if (own - width).abs() < 0.5 {
            height
        } else {
            HEIGHT
        }
    }

    /// Keeps the height it was drawn with.
    pub(super) fn keep_height(&self, width: f32, height: f32) {
        self.height.set((width, height));
    }
}

impl Prepared {
    /// Makes them anew where anything they depend on has changed; `answers` grows with each answer.
    pub(super) fn make(&mut self, counted: &Counted, answers: u64, order: Order, words: Words<'_>) {
        let made = Made {
            answers,
            order,
            yardstick: words.yardstick,
            measure: words.measure,
            language: words.say.language(),
        };
        if self.made != Some(made) {
            *self = Self {
                made: Some(made),
                lines: lines(counted, order, words),
                gone: counted
                    .earlier()
                    .and_then(|earlier| words.say.only_before(&counted.numbers, earlier)),
            };
        }
    }

    /// The lines in their order.
    pub(super) fn lines(&self) -> &[PreparedLine] {
        &self.lines
    }

    /// What was ridden only in the days compared with.
    pub(super) fn gone(&self) -> Option<&str> {
        self.gone.as_deref()
    }
}

fn lines(counted: &Counted, order: Order, words: Words<'_>) -> Vec<PreparedLine> {
    let (numbers, say) = (&counted.numbers, words.say);
    let reasoned = order == Order::WorkOnFirst;
    let places = order.places(&numbers.lines, say).into_iter();
    places
        .filter_map(|at| {
            let line = numbers.lines.get(at)?;
            let reason = say.why_first(line, (numbers, words.measure), counted.earlier());
            let reason = reason.filter(|_| reasoned);
            Some(PreparedLine {
                at,
                sentences: words.sentences(line),
                spoken: words.spoken(line, reason.as_deref()),
                reason,
                height: Cell::new((0.0, 0.0)),
            })
        })
        .collect()
}
